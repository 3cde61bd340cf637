//! Ink and additives for the run.

use super::facts::Facts;
use super::screen::Mesh;
use super::{Amount, figures, figures_of};
use crate::job::Domain;
use crate::model::{AttributeType, Mask};
use crate::sums::units::{Count, Grams, GramsPerMillilitre, Metres, Micrometres, Ratio, Share, SquareMetres, Unit};
use crate::sums::{Range, ink, through};

/// What a layer takes of its ink.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    /// On one piece.
    pub(super) piece: Range<Grams>,
    /// The part of it that is water.
    pub(super) water: Option<Range<Share>>,
}

/// Adds the ink of a layer and what is stirred into it.
pub(super) fn amounts(
    facts: &mut Facts<'_>,
    layer: usize,
    mesh: Option<&Mesh>,
    amounts: &mut Vec<Amount>,
) -> Option<Run> {
    let mesh = mesh?;
    let transfer: Range<Share> = facts.of_choice("layer.ink", "transfer", layer, 0.01)?;
    film(facts, layer, mesh, transfer, amounts);
    let width: Option<Range<Metres>> = facts.need("run.print_width", 0, 1.0);
    let height: Option<Range<Metres>> = facts.need("run.print_height", 0, 1.0);
    let (width, height) = (width?, height?);
    let area = through((width, height), |(w, h)| SquareMetres::made(w.0 * h.0))?;
    let coverage: Option<Range<Share>> = facts.known("run.coverage", 0, 0.01);
    let inked = coverage.map_or("all of it inked".to_owned(), |c| format!("{} of it inked", figures_of(c, 100.0, "%")));
    let coverage = coverage.unwrap_or(Range::exactly(Share(1.0)));
    let strokes = Range::exactly(facts.least::<Count>("layer.strokes", layer, 1.0).unwrap_or(Count(1.0)));
    let volume = through((area, coverage, strokes, mesh.volume, transfer), |(a, c, s, v, t)| {
        ink::volume_of_print(a, c, s, v, t)
    })?;
    let how = format!(
        "{}, {inked}; mesh {}; {} of that goes onto the cloth; strokes: {}, and each further one takes as much again",
        figures(area),
        mesh.names,
        figures_of(transfer, 100.0, "%"),
        figures(strokes)
    );
    let density: Option<Range<GramsPerMillilitre>> = facts.of_choice("layer.ink", "density", layer, 1.0);
    let called = ("ink_for_a_print", "mix", "ink for one print");
    let Some(density) = density else {
        amounts.extend(facts.amount("volume", volume, called).map(|a| a.of(layer).from(how)));
        for_run(facts, layer, volume, "volume", amounts);
        return None;
    };
    let piece = through((volume, density), |(v, d)| ink::mass(v, d))?;
    let how = format!("{how}; {}", figures(density));
    amounts.extend(facts.amount("mass", piece, called).map(|a| a.of(layer).from(how)));
    let water = facts.of_choice("layer.ink", "water", layer, 0.01);
    let run = for_run(facts, layer, piece, "mass", amounts);
    stirred_in(facts, layer, run, amounts);
    Some(Run { piece, water })
}

/// The ink of the whole run, with what is spare.
fn for_run<T: Unit>(
    facts: &mut Facts<'_>,
    layer: usize,
    piece: Range<T>,
    dimension: &str,
    amounts: &mut Vec<Amount>,
) -> Option<Range<T>> {
    let pieces: Range<Count> = facts.need("run.pieces", 0, 1.0)?;
    let spare: Range<Ratio> = facts.of_choice("layer.ink", "spare", layer, 0.01)?;
    let run = through((piece, pieces, spare), |(p, n, s)| ink::for_run(p, n, s))?;
    let how = format!(
        "{} prints, and {} more for what stays in screen and bucket or is misprinted",
        figures(pieces),
        figures_of(spare, 100.0, "%")
    );
    let called = ("ink_for_the_run", "mix", "ink for the run");
    amounts.extend(facts.amount(dimension, run, called).map(|a| a.of(layer).from(how).ready()));
    Some(run)
}

/// The grams of each additive for the run, by weight of the ink.
fn stirred_in(facts: &mut Facts<'_>, layer: usize, run: Option<Range<Grams>>, amounts: &mut Vec<Amount>) -> Option<()> {
    let model = &facts.program.model;
    let Some(Domain::Amounts(doses)) = facts.domain("layer.additives", layer) else { return None };
    let AttributeType::Amounts(kind) = model.attribute("layer.additives")?.of(model)?.ty else { return None };
    let percent = model.dim(model.dimension("percent")?)?;
    let run = run?;
    for (member, (low, high)) in doses.ranges.iter().enumerate().filter(|(_, r)| r.0 > 0) {
        let dose = Range::new(Ratio(percent.reading(*low, 0) / 100.0), Ratio(percent.reading(*high, 0) / 100.0))?;
        let grams = through((run, dose), |(ink, dose)| {
            ink::mix_of_ink(ink, &[ink::Dose::OfInk(dose)]).and_then(|mix| mix.additives.first().copied())
        })?;
        let thing = model.member(kind, member)?;
        let how = format!("{} of the ink's weight for all of it", figures_of(dose, 100.0, "%"));
        let amount = facts.amount("mass", grams, ("additive_for_the_run", "mix", "")).map(|mut a| {
            a.label.clone_from(&thing.name);
            a.thing = Some(thing.id.clone());
            a.of(layer).from(how)
        });
        amounts.extend(amount);
        batches(facts, layer, (kind, member), run, amounts);
    }
    Some(())
}

/// How long a mix with this in it may be used.
fn batches(
    facts: &mut Facts<'_>,
    layer: usize,
    (kind, member): (crate::model::KindId, usize),
    run: Range<Grams>,
    amounts: &mut Vec<Amount>,
) -> Option<()> {
    let life = facts.of_members(kind, Mask::one(member), "pot_life", 1.0)?;
    let an_hour = super::dryer::pieces_an_hour(facts)?;
    let pieces: Range<Count> = facts.known("run.pieces", 0, 1.0)?;
    // What is used an hour, at the slowest the shop prints; and the shortest life.
    let used = crate::sums::units::GramsPerHour(run.high.0 / pieces.high.above_zero()? * an_hour.low.number());
    let found = ink::batches(run.high, used, life.low)?;
    let how = format!(
        "{} in each, used up within {}",
        figures(Range::exactly(found.each)),
        figures_of::<crate::sums::units::Seconds>(Range::exactly(life.low), 1.0 / 3600.0, "h")
    );
    let called = ("batches", "mix", "batches to mix");
    amounts.extend(facts.amount("count", Range::exactly(found.count), called).map(|a| a.of(layer).from(how)));
    Some(())
}

/// The film that one stroke leaves, wet and dry.
fn film(
    facts: &mut Facts<'_>,
    layer: usize,
    mesh: &Mesh,
    transfer: Range<Share>,
    amounts: &mut Vec<Amount>,
) -> Option<()> {
    // 1 ml on 1 m² is a film of 1 µm.
    let wet = through((mesh.volume, transfer), |(v, t)| Micrometres::made(v.0 * t.0))?;
    let how =
        format!("{} of what the mesh holds, one stroke, as if nothing soaked in", figures_of(transfer, 100.0, "%"));
    let wet_called = ("wet_film", "print", "wet film");
    amounts.extend(facts.amount("thickness", wet, wet_called).map(|a| a.of(layer).from(how)));
    let solids: Range<Share> = facts.of_choice("layer.ink", "volume_solids", layer, 0.01)?;
    let dry = through((wet, solids), |(w, s)| ink::dry_film(w, s))?;
    let how = format!("{} of the wet film stays", figures_of(solids, 100.0, "%"));
    let dry_called = ("dry_film", "cure", "dry film");
    amounts.extend(facts.amount("thickness", dry, dry_called).map(|a| a.of(layer).from(how)));
    Some(())
}

/// All the ink of one piece, where it is known of every layer.
pub(super) fn of_piece(runs: &[Option<Run>]) -> Option<Range<Grams>> {
    let each = runs.iter().map(|r| r.map(|r| r.piece));
    each.reduce(|a, b| through((a?, b?), |(a, b)| Grams::made(a.0 + b.0)))?
}

/// All the water in the ink of one piece, where it is known of every layer.
pub(super) fn water_of_piece(runs: &[Option<Run>]) -> Option<Range<Grams>> {
    let each = runs.iter().map(|r| {
        let run = (*r)?;
        through((run.piece, run.water?), |(g, w)| Grams::made(g.0 * w.0))
    });
    each.reduce(|a, b| through((a?, b?), |(a, b)| Grams::made(a.0 + b.0)))?
}
