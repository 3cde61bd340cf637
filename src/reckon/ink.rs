//! Ink for a run, and grams of what is stirred into it.

use super::mesh::{self, Meshes};
use super::{Found, from_to, quantity, read, rounded, span, text_of, told};
use crate::diagnostic::Problem;
use crate::figures::known;
use crate::model::{Basis, Entity, KindId, Model, Value};
use crate::names::Names;
use crate::question::parse::{Token, TokenKind};
use crate::question::tokens::{self, unit_at};
use crate::show::unknown;
use crate::sums::units::{
    Count, Grams, GramsPerMillilitre, Millilitres, MillilitresPerSquareMetre, Ratio, Share, SquareMetres, Unit,
};
use crate::sums::{Range, ink, through};
use crate::words::folded;

/// Grams of an additive for a mass of ink, by weight of the ink, or as part of the mix where that is said.
///
/// # Errors
/// An unknown additive, no mass, or no dose.
pub(crate) fn how_much(
    model: &Model,
    names: &Names,
    what: &[Token],
    mass: &[Token],
    dose: &[Token],
) -> Result<(Vec<String>, String), Problem> {
    let text = text_of(what);
    let kinds = (0..model.kinds.len()).map(|i| KindId(i as u16));
    let dosed = |e: &&Entity| window(model, e).is_some();
    let found = |k| names.find(k, &text).and_then(|m| model.member(k, m)).filter(dosed);
    let Some(entity) = kinds.filter_map(found).next() else {
        return Err(unknown(model, names, what, "thing that is dosed"));
    };
    let (mass, percent) = (quantity(model, mass, 0)?, quantity(model, dose, 0)?);
    if !mass.is(model, "mass") || !percent.is(model, "percent") {
        let message = "a mass of ink and a dose in per cent are needed";
        return Err(Problem::new("job::bad-quantity", span(dose), "here", message)
            .help("ask like this: how much low-cure additive for 1.5 kg at 8 %"));
    }
    let (Some(masses), Some(shares)) = (model.dim(mass.dimension), model.dim(percent.dimension)) else {
        return Ok((Vec::new(), String::new()));
    };
    let part = percent.reading(model) / 100.0;
    let of_mix = dose.iter().any(|t| t.text.eq_ignore_ascii_case("mix"));
    let (meant, of) = if of_mix {
        (ink::Dose::OfMix(Share(part)), "of the mix")
    } else {
        (ink::Dose::OfInk(Ratio(part)), "by weight of the ink")
    };
    let mix = ink::mix_of_ink(Grams(mass.reading(model)), &[meant]);
    let Some((mix, grams)) = mix.and_then(|m| m.additives.first().copied().map(|g| (m, g.0))) else {
        let message = "the mass of ink must be above zero, and its dose must leave room for ink";
        return Err(Problem::new("job::out-of-range", span(dose), "here", message));
    };
    let symbol = masses.units.first().map_or("", |u| u.symbol.as_str());
    let gram = masses.units.first().map_or(1.0, |u| u.steps as f64);
    let ounces = masses.unit("oz").and_then(|u| masses.units.get(u)).map(|u| grams * gram / u.steps as f64);
    let ounces = ounces.map_or(String::new(), |o| format!(" ({} oz)", rounded(o)));
    let mut lines = vec![format!(
        "{} {symbol}{ounces} of {} into {} of ink: {} {of}, {} {symbol} in all",
        rounded(grams),
        entity.name,
        mass.text,
        percent.text,
        rounded(mix.total.0)
    )];
    // The usual dose is by weight of the ink.
    let percents = shares.units.first().map_or(1.0, |u| u.steps as f64);
    let steps = if of_mix { (mix.load.0 * 100.0 * percents).round() as i64 } else { percent.steps };
    if let Some((low, high)) = window(model, entity)
        && (steps < low || steps > high)
    {
        lines.push(format!("  its usual dose is {}: {} is outside it", shares.range(low, high), percent.text));
    }
    Ok((lines, entity.name.clone()))
}

fn window(model: &Model, entity: &Entity) -> Option<(i64, i64)> {
    let property = model.property(entity.kind, "dose")?;
    match entity.facts.get(&property).map(|f| &f.value) {
        Some(Value::Window(low, high)) => Some((*low, *high)),
        _ => None,
    }
}

/// What a question about the ink of a run says.
struct Run {
    pieces: f64,
    width: Found,
    height: Found,
    strokes: f64,
    coverage: Option<Found>,
}

const SAY: &str = "ask like this: how much plastisol for 240 prints of 30 x 25 cm at 60 % through 43 /cm";

/// Ink that a run of prints takes through a mesh: volume and mass, as far as knowledge reaches.
///
/// # Errors
/// An unknown ink or mesh, no pieces, no size, or words that are not understood.
pub(crate) fn for_run(
    model: &Model,
    names: &Names,
    what: &[Token],
    run: &[Token],
    screen: &[Token],
) -> Result<(Vec<String>, String), Problem> {
    let Some(entity) = ink_named(model, names, what) else { return Err(unknown(model, names, what, "ink")) };
    if let Some(ink) = entity.filter(|e| value(model, e, "transfer") == Some(&Value::None)) {
        return Ok((vec![format!("{} is not printed through a mesh, so it takes no ink", ink.name)], ink.name.clone()));
    }
    let said = said_of_run(model, names, run)?;
    let meshes = mesh::meant(model, names, screen)?;
    let area = SquareMetres(said.width.reading(model) * said.height.reading(model));
    let coverage = Share(said.coverage.as_ref().map_or(1.0, |c| c.reading(model) / 100.0));
    let print = |transfer: Range<Share>| {
        through((meshes.volume, transfer), |(volume, transfer)| {
            let one = ink::volume_of_print(area, coverage, Count(said.strokes), volume, transfer)?;
            ink::for_run(one, Count(said.pieces), Ratio(0.0))
        })
        .ok_or_else(|| {
            let message = "pieces, size and cover must be above zero, and no more than all of a print is covered";
            Problem::new("job::out-of-range", span(run), "here", message).help(SAY)
        })
    };
    let most = print(Range::exactly(Share(1.0)))?;
    let transfer = entity.and_then(|e| known::<Share>(model, e, "transfer", 0.01));
    let name = entity.map_or("ink", |e| e.name.as_str());
    let order = order(&said, &meshes);
    let mut lines = match (entity, transfer) {
        (Some(entity), Some((part, basis))) => {
            let volume = print(part)?;
            let percent = through((part,), |(s,)| Ratio::made(s.0 * 100.0));
            let part = percent.map(|p| format!("{} %", from_to(&p))).unwrap_or_default();
            let mut lines = masses(model, entity, &volume, &order);
            lines.push(format!("  it is {part} of what the open mesh holds [{}]; {}", basis.words(), meshes.told));
            lines
        }
        (entity, _) => {
            let most = told(model, "volume", &Range::exactly(most.high));
            let first = format!("at most {most} of {name} for {order}");
            let why = match entity {
                Some(e) => format!(
                    "  that is all that the open mesh holds: nobody wrote down which part of {} leaves it",
                    e.name
                ),
                None => {
                    "  that is all that the open mesh holds: name the ink for the part that leaves it, and its mass"
                        .to_owned()
                }
            };
            vec![first, why, format!("  {}", meshes.told)]
        }
    };
    if said.coverage.is_none() {
        lines.push("  the whole size is taken as covered; where half of it is, say `at 50 %`".to_owned());
    }
    lines.push("  an estimate: weigh one garment before and after its print, and count with that".to_owned());
    Ok((lines, name.to_owned()))
}

/// The ink that words name, a colour before it or not; `Some(None)` for `ink` alone.
fn ink_named<'m>(model: &'m Model, names: &Names, tokens: &[Token]) -> Option<Option<&'m Entity>> {
    let (ink, colour) = (model.kind("ink")?, model.kind("colour"));
    (0..tokens.len()).find_map(|cut| {
        let (before, text) = (text_of(tokens.get(..cut)?), text_of(tokens.get(cut..)?));
        let before_is_said = cut == 0 || colour.is_some_and(|c| names.find(c, &before).is_some());
        let named = names.find(ink, &text).and_then(|m| model.member(ink, m));
        (before_is_said && (named.is_some() || text.eq_ignore_ascii_case("ink"))).then_some(named)
    })
}

fn value<'m>(model: &Model, entity: &'m Entity, property: &str) -> Option<&'m Value> {
    entity.facts.get(&model.property(entity.kind, property)?).map(|f| &f.value)
}

/// The size and number of prints, in words.
fn order(said: &Run, meshes: &Meshes) -> String {
    let strokes = if said.strokes == 1.0 { String::new() } else { format!(", {} strokes", rounded(said.strokes)) };
    let cover = said.coverage.as_ref().map_or(String::new(), |c| format!(", {} of it covered", c.text));
    let size = format!("{} x {}", said.width.text, said.height.text);
    format!("{} prints of {size}{cover}{strokes}, through {}", rounded(said.pieces), meshes.name)
}

/// Volume and mass of a run's ink, and what to have of it.
fn masses(model: &Model, entity: &Entity, volume: &Range<Millilitres>, order: &str) -> Vec<String> {
    let name = &entity.name;
    let Some((density, basis)) = known::<GramsPerMillilitre>(model, entity, "density", 1.0) else {
        let volume = told(model, "volume", volume);
        return vec![
            format!("{volume} of {name} for {order}"),
            format!("  its mass is not told: nobody wrote down how dense {name} is"),
        ];
    };
    let Some(mass) = through((*volume, density), |(v, d)| ink::mass(v, d)) else { return Vec::new() };
    let mut lines = vec![
        format!("{} of {name} for {order}", told(model, "mass", &mass)),
        format!("  {} of {} {} [{}]", told(model, "volume", volume), from_to(&density), "g/cm³", basis.words()),
    ];
    if let Some((spare, basis)) = known::<Ratio>(model, entity, "spare", 0.01)
        && let Some(all) = through((mass, spare), |(m, s)| ink::for_run(m, Count(1.0), s))
    {
        let percent = Range { low: Ratio(spare.low.0 * 100.0), high: Ratio(spare.high.0 * 100.0) };
        let basis = Basis::words(basis);
        lines.push(format!(
            "  have {} at hand: {} % more for what stays in screen and bucket and is misprinted [{basis}]",
            told(model, "mass", &all),
            from_to(&percent)
        ));
    }
    lines
}

/// Pieces, size, cover and strokes, in any order; any other word is told.
fn said_of_run(model: &Model, names: &Names, tokens: &[Token]) -> Result<Run, Problem> {
    let (mut pieces, mut strokes, mut coverage, mut size) = (None, None, None, None);
    // How many tokens after a number say what it counts: `240 prints`, `240 long sleeve tees`.
    let counted = |attribute: &str, from: usize| {
        let own = model.attribute(attribute).and_then(|a| model.attributes.get(a.index()));
        let words: Vec<&str> =
            tokens.iter().skip(from).take_while(|t| t.kind == TokenKind::Word).map(|t| t.text.as_str()).collect();
        let first = words.first().map(|w| w.to_lowercase());
        own.map_or(0, |a| match a.speech.counts.and_then(|k| names.longest(&[k], &words)) {
            Some((_, _, count)) => count,
            None => usize::from(first.is_some_and(|w| a.speech.counted.contains(&w))),
        })
    };
    let not_understood = |token: &Token| {
        let message = format!("`{}` is not understood", token.text);
        Problem::new("question::syntax", token.span, "here", message).help(SAY)
    };
    let missing = |message: &str| Problem::new("question::no-quantity", span(tokens), "here", message).help(SAY);
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        if matches!(token.kind, TokenKind::Filler | TokenKind::Mark) {
            at += 1;
            continue;
        }
        if token.kind != TokenKind::Number {
            return Err(not_understood(token));
        }
        if let Some((width, height)) = size_at(model, tokens, at)? {
            at = height.next;
            size = Some((width, height));
            continue;
        }
        let number = token.text.parse::<f64>().ok();
        let (of_strokes, of_pieces) = (counted("layer.strokes", at + 1), counted("run.pieces", at + 1));
        if of_strokes > 0 {
            strokes = number;
            at += 1 + of_strokes;
        } else if of_pieces > 0 {
            pieces = number;
            at += 1 + of_pieces;
        } else {
            let next = tokens.get(at + 1).filter(|t| t.kind == TokenKind::Word);
            if let Some(word) = next.filter(|_| unit_at(model, tokens, at + 1, |_| true).is_none()) {
                return Err(not_understood(word));
            }
            let found = quantity(model, tokens, at)?;
            if !found.is(model, "percent") {
                let message = format!("`{}` says nothing here", found.text);
                return Err(Problem::new("job::bad-quantity", token.span, "here", message).help(SAY));
            }
            at = found.next;
            // `60 % covered`
            let called = tokens.get(at).map(|t| folded(&t.text));
            let of_cover = model.attribute("run.coverage").and_then(|a| a.of(model));
            let heard = called.is_some_and(|w| of_cover.is_some_and(|a| a.speech.called.contains(&w)));
            at += usize::from(heard);
            coverage = Some(found);
        }
    }
    let pieces = pieces.ok_or_else(|| missing("it is not said how many prints"))?;
    let (width, height) = size.ok_or_else(|| missing("it is not said how large a print is"))?;
    Ok(Run { pieces, width, height, strokes: strokes.unwrap_or(1.0), coverage })
}

/// A size such as `30 x 25 cm`, `30 cm x 25 cm` or `12x14 in`.
fn size_at(model: &Model, tokens: &[Token], at: usize) -> Result<Option<(Found, Found)>, Problem> {
    let Some(size) = tokens::size_at(model, tokens, at, "length") else { return Ok(None) };
    let size = size.map_err(|number| {
        let message = "the size has no unit";
        Problem::new("job::bad-quantity", number.span, "no unit", message).help("write it like 30 x 25 cm")
    })?;
    let side = |(number, unit, next): &(Token, String, usize)| read(model, number, unit, size.dimension, *next);
    let [width, height] = &size.sides;
    Ok(Some((side(width)?, side(height)?)))
}

/// What a mesh holds is always some volume on an area.
pub(super) type Volume = Range<MillilitresPerSquareMetre>;
