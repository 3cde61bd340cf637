//! The belt, what leaves the shop an hour, and the water and heat of one piece.

use super::facts::Facts;
use super::ink::{Run, of_piece, water_of_piece};
use super::{Amount, figures, figures_of};
use crate::job::{Domain, whole};
use crate::model::{AttributeType, Mask, Value};
use crate::sums::units::{
    Celsius, Count, Grams, GramsPerHour, JoulesPerGramKelvin, Metres, PerHour, Ratio, Seconds, Share, Unit,
};
use crate::sums::{Range, cloth, dryer, heat, through};

/// Rooms are about so warm.
const ROOM: Celsius = Celsius(20.0);

/// Adds what is told of the dryer and the run.
pub(super) fn amounts(facts: &mut Facts<'_>, inks: &[Option<Run>], amounts: &mut Vec<Amount>) {
    facts.afresh();
    let _ = belt(facts, amounts);
    let _ = output(facts, amounts);
    facts.afresh();
    let _ = of_a_piece(facts, inks, amounts);
}

/// Heat cures what lies on top, and a belt carries it.
fn on_a_belt(facts: &Facts<'_>) -> bool {
    let model = &facts.program.model;
    let carries = || {
        let AttributeType::Set(kind) = model.attribute("shop.equipment")?.of(model)?.ty else { return None };
        let (Domain::Set { may, .. }, belt) = (facts.domain("shop.equipment", 0)?, model.property(kind, "belt")?)
        else {
            return None;
        };
        let is = |m| model.member(kind, m)?.facts.get(&belt).map(|f| f.value == Value::YesNo(true));
        Some(may.iter().any(|m| is(m) == Some(true)))
    };
    // What a plate presses and what burns goes on no belt.
    let layers = (0..).map_while(|l| facts.domain("layer.ink", l).map(|_| l));
    let of_any = |property: &str| layers.clone().any(|l| facts.may("layer.ink", property, l));
    if of_any("pressed_on") || of_any("flammable_vapour") {
        return false;
    }
    carries() == Some(true) && facts.least::<Seconds>("cure.time", 0, 1.0).is_some_and(|t| t.0 > 0.0)
}

/// The belt's speed at the time that is set.
fn speed(facts: &mut Facts<'_>) -> Option<crate::sums::units::MetresPerMinute> {
    if !on_a_belt(facts) {
        return None;
    }
    let heated: Range<Metres> = facts.need("shop.heated_length", 0, 1.0)?;
    dryer::belt_speed(heated.low, facts.least("cure.time", 0, 1.0)?)
}

fn belt(facts: &mut Facts<'_>, amounts: &mut Vec<Amount>) -> Option<()> {
    let speed = speed(facts)?;
    let time: Seconds = facts.least("cure.time", 0, 1.0)?;
    let heated: Range<Metres> = facts.known("shop.heated_length", 0, 1.0)?;
    let how = format!(
        "{} heated in {}; cloth takes part of the way to warm up, so slow the belt until a probe in the film agrees",
        figures(heated),
        figures(Range::exactly(time))
    );
    let mut amount = facts.amount("speed", Range::exactly(speed), ("belt_speed", "cure", "belt speed"))?.from(how);
    // More time than the ink bears spoils it: then the belt has a slowest speed too.
    let layers = (0..).take_while(|l| facts.domain("layer.ink", *l).is_some()).count();
    let longest = (0..layers).filter_map(|l| facts.of_choice::<Seconds>("layer.ink", "longest_time", l, 1.0));
    let longest = longest.map(|t| t.low.0).reduce(f64::min);
    let slowest = longest.and_then(|t| dryer::belt_speed(heated.low, Seconds(t)));
    let slowest = slowest.and_then(|s| facts.amount("speed", Range::exactly(s), ("belt_speed", "cure", "")));
    amount.low = slowest.and_then(|s| s.low).filter(|low| *low < amount.high);
    amounts.push(amount.ready());
    Some(())
}

/// Pieces an hour that the dryer lets through.
fn by_dryer(facts: &mut Facts<'_>) -> Option<Range<PerHour>> {
    let speed = speed(facts)?;
    let pitch: Range<Metres> = facts.known("shop.pitch", 0, 1.0)?;
    let lanes = facts.known("shop.lanes", 0, 1.0).unwrap_or(Range::exactly(Count(1.0)));
    through((pitch, lanes), |(p, l)| dryer::pieces_on_belt(speed, p, l))
}

/// Pieces an hour that the press prints: its slowest station, the flash among them.
fn by_press(facts: &mut Facts<'_>) -> Option<Range<PerHour>> {
    let station: Range<Seconds> = facts.known("shop.station_time", 0, 1.0)?;
    let layers = (0..).take_while(|l| facts.domain("layer.ink", *l).is_some()).count();
    // What lies below is flashed before the next goes on.
    let mut flash: Option<Range<Seconds>> = Some(Range::exactly(Seconds(0.0)));
    for layer in 0..layers.saturating_sub(1) {
        if facts.has_none("layer.ink", "flash_time", layer) {
            continue;
        }
        let own: Option<Range<Seconds>> = facts.of_choice("layer.ink", "flash_time", layer, 1.0);
        flash = flash.and_then(|f| through((f, own?), |(a, b)| Some(if a.0 > b.0 { a } else { b })));
    }
    through((station, flash?), |(s, f)| dryer::pieces_of_carousel(Seconds(0.0), &[s, f]))
}

/// Pieces an hour that leave the shop.
pub(super) fn pieces_an_hour(facts: &mut Facts<'_>) -> Option<Range<PerHour>> {
    match (by_dryer(facts), by_press(facts)) {
        (Some(d), Some(p)) => through((d, p), |(d, p)| Some(dryer::limit([("", d), ("", p)])?.1)),
        (one, other) => one.or(other),
    }
}

fn output(facts: &mut Facts<'_>, amounts: &mut Vec<Amount>) -> Option<()> {
    let (of_dryer, of_press) = (by_dryer(facts), by_press(facts));
    let an_hour = pieces_an_hour(facts)?;
    let told: Vec<String> = [("dryer", of_dryer), ("press and flash", of_press)]
        .iter()
        .filter_map(|(name, r)| Some(format!("{name}: {}", figures((*r)?))))
        .collect();
    let slower = match (of_dryer, of_press) {
        (Some(d), Some(p)) if d.high < p.low => "; the dryer limits it",
        (Some(d), Some(p)) if p.high < d.low => "; the press limits it",
        _ => "",
    };
    let how = format!("{}{slower}", told.join(", "));
    amounts.extend(facts.amount("rate", an_hour, ("pieces_an_hour", "run", "pieces an hour")).map(|a| a.from(how)));
    let pieces: Range<Count> = facts.known("run.pieces", 0, 1.0)?;
    // In whole minutes, upwards: nobody plans seconds.
    let minutes = |n: Count, r: PerHour| Some((n.0 / r.above_zero()? * 60.0 - 1e-6).ceil());
    let time = through((pieces, an_hour), |(n, r)| Seconds::made(minutes(n, r)? * 60.0))?;
    let called = ("run_time", "run", "time of the run");
    let how = format!("{} pieces without a stop; setting up is not in it", figures(pieces));
    amounts.extend(facts.amount("time", time, called).map(|a| a.from(how)));
    Some(())
}

/// Shares of the cloth that are known, each with a property of its fibre.
fn fibres<T: Unit>(facts: &mut Facts<'_>, property: &str, factor: f64) -> Option<Vec<(Share, Range<T>)>> {
    let model = &facts.program.model;
    let AttributeType::Blend(kind) = model.attribute("fabric")?.of(model)?.ty else { return None };
    let Domain::Amounts(blend) = facts.domain("fabric", 0)? else { return None };
    let all = whole(model) as f64;
    let mut found = Vec::new();
    for (member, (low, high)) in blend.ranges.iter().enumerate() {
        if low != high {
            return None;
        }
        if *low > 0 {
            found.push((Share::made(*low as f64 / all)?, facts.of_members(kind, Mask::one(member), property, factor)?));
        }
    }
    Some(found)
}

/// Water and heat of one piece: an estimate.
fn of_a_piece(facts: &mut Facts<'_>, inks: &[Option<Run>], amounts: &mut Vec<Amount>) -> Option<()> {
    let regains: Vec<(Share, Ratio)> =
        fibres(facts, "regain", 0.01)?.into_iter().map(|(s, r): (Share, Range<Ratio>)| (s, r.high)).collect();
    let moisture = cloth::moisture(&regains)?;
    let called = ("moisture", "dry", "water that the cloth holds in ordinary air");
    let percent = Range::exactly(Ratio(moisture.0 * 100.0));
    let how = "agreed allowances of its fibres, by weight of the dry cloth: an upper figure";
    amounts.extend(facts.amount("percent", percent, called).map(|a| a.from(how)));
    let garment: Range<Grams> = facts.of_choice("garment", "garment_weight", 0, 1.0)?;
    let dry = through((garment,), |(g,)| cloth::dry_mass(g, moisture))?;
    let (ink, wet) = (of_piece(inks)?, water_of_piece(inks)?);
    let water = through((dry, wet), |(d, w)| dryer::water_of_garment(w, Share(1.0), d, moisture))?;
    let how = format!("{} in the ink, the rest in {} of cloth", figures(wet), figures(garment));
    let called = ("water_of_a_piece", "cure", "water to drive out of one piece");
    amounts.extend(facts.amount("mass", water, called).map(|a| a.from(how)));
    if let Some(pieces) = facts.known::<Count>("run.pieces", 0, 1.0) {
        let all = through((water, pieces), |(w, n)| Grams::made(w.0 * n.0))?;
        let how = format!("{} pieces", figures(pieces));
        let called = ("water_of_the_run", "run", "water to drive out in the run");
        amounts.extend(facts.amount("mass", all, called).map(|a| a.from(how)));
    }
    if let Some(an_hour) = pieces_an_hour(facts) {
        let each_hour = through((water, an_hour), |(w, n)| dryer::water_an_hour(w, n))?;
        let removes: Option<Range<GramsPerHour>> = facts.known("shop.dryer_removes", 0, 1.0);
        let how = match removes {
            Some(r) if r.low >= each_hour.high => format!("the dryer removes {}: enough", an_hour_of(r)),
            Some(r) => {
                let enough = if r.high < each_hour.low { "too little" } else { "perhaps too little" };
                // So many dry whatever they hold.
                let sure = crate::quantity::three_figures((r.low.0 / water.high.above_zero()?).floor());
                let removes = an_hour_of(r);
                format!("the dryer removes {removes}: {enough}; print no more than {sure} pieces an hour, or dry twice")
            }
            None => "at that output; compare it with what the dryer's maker says that it removes".to_owned(),
        };
        let called = ("water_an_hour", "run", "water to drive out an hour");
        amounts.extend(facts.amount("mass-rate", each_hour, called).map(|a| a.from(how)));
    }
    let to: Range<Celsius> = facts.known("cure.temperature", 0, 1.0)?;
    let film: Range<JoulesPerGramKelvin> = hull_of_films(facts, inks.len())?;
    let cloths: Vec<(Share, Range<JoulesPerGramKelvin>)> = fibres(facts, "specific_heat", 1.0)?;
    let mixed = |pick: fn(&Range<JoulesPerGramKelvin>) -> f64| {
        JoulesPerGramKelvin::made(cloths.iter().map(|(s, h)| s.0 * pick(h)).sum())
    };
    let cloth_heat = Range::new(mixed(|h| h.low.0)?, mixed(|h| h.high.0)?)?;
    // Water is what it is; where an ink is at its least, no more of it is water than there is ink.
    let load = |d: Grams, c, i: Grams, w: Grams, f| heat::Load {
        dry_cloth: d,
        cloth_heat: c,
        regain: moisture,
        ink: i,
        water: Share(if i.0 > 0.0 { (w.0 / i.0).min(1.0) } else { 0.0 }),
        film_heat: f,
    };
    let ranges = (dry, cloth_heat, ink, wet, film);
    let total = through(ranges, |(d, c, i, w, f)| Some(heat::of_garment(&load(d, c, i, w, f), ROOM, to.low)?.total))?;
    let how = format!(
        "an estimate, of the goods alone: cloth and film from {} to {}, their water to steam",
        figures(Range::exactly(ROOM)),
        figures(Range::exactly(to.low))
    );
    let called = ("heat_of_a_piece", "cure", "heat (energy) that one piece takes up");
    amounts.extend(facts.amount("energy", total, called).map(|a| a.from(how)));
    let cooler = Celsius(to.low.0 - 10.0);
    let saved = through(ranges, |(d, c, i, w, f)| heat::saved(&load(d, c, i, w, f), ROOM, to.low, cooler))?;
    let percent = through((saved,), |(s,)| Ratio::made(s.0 * 100.0))?;
    let called = ("heat_saved", "cure", "of that heat, saved by each 10 K less");
    let how = "an estimate; only where the ink's sheet allows it";
    amounts.extend(facts.amount("percent", percent, called).map(|a| a.from(how)));
    Some(())
}

/// Water an hour, in kilograms.
fn an_hour_of(water: Range<GramsPerHour>) -> String {
    figures_of(water, 0.001, "kg/h")
}

/// Specific heat of what is left of the inks.
fn hull_of_films(facts: &mut Facts<'_>, layers: usize) -> Option<Range<JoulesPerGramKelvin>> {
    let mut all: Option<Range<JoulesPerGramKelvin>> = None;
    for layer in 0..layers {
        let own = facts.of_choice("layer.ink", "film_heat", layer, 1.0)?;
        all = Some(all.map_or(own, |so_far| so_far.hull(own)));
    }
    all
}
