//! The mesh of a layer: what it lets through, what it holds, what it can draw; and how thick its stencil is.

use super::facts::Facts;
use super::{Amount, figures, figures_of};
use crate::figures::{Weave, meshes, nearest};
use crate::job::Domain;
use crate::model::{KindId, Mask};
use crate::sums::units::{Micrometres, MillilitresPerSquareMetre, Ratio, ThreadsPerCm, Unit};
use crate::sums::{Range, mesh, through};

/// The mesh that is nearest to what is aimed for, and what its cells hold. Several of one count differ in their threads.
pub(super) struct Mesh {
    /// As they are called.
    pub(super) names: String,
    /// What the open cells hold.
    pub(super) volume: Range<MillilitresPerSquareMetre>,
}

/// Adds what is told of a layer's screen.
pub(super) fn amounts(facts: &mut Facts<'_>, layer: usize, amounts: &mut Vec<Amount>) -> Option<Mesh> {
    facts.afresh();
    let kind = meshes(&facts.program.model)?;
    let wanted: Range<ThreadsPerCm> = facts.known("layer.mesh", layer, 1.0).filter(|r| r.low == r.high)?;
    let members = meant(facts, kind, wanted.low)?;
    let names = names(facts, kind, members);
    let weaves: Option<Vec<Weave>> =
        members.iter().map(|m| Weave::of(&facts.program.model, facts.program.model.member(kind, m)?)).collect();
    let weaves = weaves?;
    weaves.iter().for_each(|w| facts.rest_on(w.basis));
    let how = format!("mesh {names}");
    let mut add = |amount: Option<Amount>, how: &str| amounts.extend(amount.map(|a| a.of(layer).from(how)));
    let called = |key, label| (key, "screen", label);
    let opening = hull(&weaves, |w| Some(Range::exactly(w.opening()?)))?;
    add(facts.amount("thickness", opening, called("mesh_opening", "opening")), &how);
    let open = hull(&weaves, |w| Some(Range::exactly(Ratio::made(w.open_area()?.number() * 100.0)?)))?;
    add(facts.amount("percent", open, called("open_area", "open area")), &how);
    let volume = hull(&weaves, Weave::volume)?;
    add(facts.amount("laydown", volume, called("ink_volume", "ink that the open mesh holds")), &how);
    let line = hull(&weaves, |w| Some(Range::exactly(w.finest_line()?)))?;
    add(facts.amount("thickness", line, called("finest_line", "finest line")), &how);
    if let Some((stencil, how)) = stencil(facts, layer, &weaves, &names) {
        add(facts.amount("thickness", stencil, called("stencil_above_mesh", "emulsion above the mesh")), &how);
    }
    Some(Mesh { names: format!("{names}, which holds {}", figures(volume)), volume })
}

/// From the least to the greatest of several.
fn hull<T: Unit>(weaves: &[Weave], of: impl Fn(&Weave) -> Option<Range<T>>) -> Option<Range<T>> {
    weaves.iter().map(of).reduce(|a, b| Some(a?.hull(b?)))?
}

/// The meshes of that count, or the nearest known: of the shop's where it has one of that count.
fn meant(facts: &Facts<'_>, kind: KindId, wanted: ThreadsPerCm) -> Option<Mask> {
    let model = &facts.program.model;
    let of_count = |m: &Mask| {
        m.iter().all(|m| model.member(kind, m).and_then(|e| Weave::of(model, e)).is_some_and(|w| w.away(wanted) < 1e-6))
    };
    let stock = match facts.domain("shop.meshes", 0) {
        Some(Domain::Set { must, .. }) if *must != Mask::EMPTY => nearest(model, kind, *must, wanted).filter(of_count),
        _ => None,
    };
    stock.or_else(|| nearest(model, kind, model.everyone(kind), wanted))
}

fn names(facts: &Facts<'_>, kind: KindId, members: Mask) -> String {
    let names = members.iter().filter_map(|m| facts.program.model.member(kind, m)).map(|e| e.name.as_str());
    names.collect::<Vec<_>>().join(" or ")
}

/// How far the stencil stands above the mesh, and how that comes about.
fn stencil(facts: &mut Facts<'_>, layer: usize, weaves: &[Weave], names: &str) -> Option<(Range<Micrometres>, String)> {
    let end = |facts: &mut Facts<'_>, name| facts.derived::<Ratio>(name, layer, 0.01).map(|r| r.low);
    let part = Range::new(end(facts, "layer.emulsion_least")?, end(facts, "layer.emulsion_most")?)?;
    let thickness = hull(weaves, |w| Some(w.thickness))?;
    let above = through((thickness, part), |(t, p)| mesh::stencil_above(t, p))?;
    let whole = through((thickness, part), |(t, p)| Micrometres::made(t.0 + mesh::stencil_above(t, p)?.0))?;
    let how = format!(
        "{} of mesh {names}, {} thick; mesh and emulsion together {}",
        figures_of(part, 100.0, "%"),
        figures(thickness),
        figures(whole)
    );
    Some((above, how))
}
