//! The mesh of a layer: what it lets through, what it holds, what it can draw.

use super::facts::Facts;
use super::{Amount, figures};
use crate::job::Domain;
use crate::model::{KindId, Mask};
use crate::sums::units::{Micrometres, MillilitresPerSquareMetre, ThreadsPerCm};
use crate::sums::{Range, mesh, through};

/// The mesh that is nearest to what is aimed for, and what its cells hold. Several of one count differ in their threads.
pub(super) struct Mesh {
    /// As they are called.
    pub(super) names: String,
    /// What the open cells hold.
    pub(super) volume: Range<MillilitresPerSquareMetre>,
}

/// Adds what is told of a layer's mesh.
pub(super) fn amounts(facts: &mut Facts<'_>, layer: usize, amounts: &mut Vec<Amount>) -> Option<Mesh> {
    facts.afresh();
    let kind = facts.program.model.kind("mesh")?;
    let wanted: Range<ThreadsPerCm> = facts.known("layer.mesh", layer, 1.0).filter(|r| r.low == r.high)?;
    let members = nearest(facts, kind, wanted.low.0)?;
    let names = names(facts, kind, members);
    let of_each = |facts: &mut Facts<'_>, sum: &Sum| -> Option<Range<f64>> {
        let each = members.iter().map(|m| sum(facts, kind, Mask::one(m)));
        each.reduce(|a, b| Some(a?.hull(b?)))?
    };
    let how = format!("mesh {names}");
    let opening = of_each(facts, &|f, k, m| cell(f, k, m, mesh::opening))?;
    let open = of_each(facts, &|f, k, m| cell(f, k, m, mesh::open_area))?;
    let line = of_each(facts, &|f, k, m| cell(f, k, m, mesh::finest_line))?;
    let volume = of_each(facts, &held)?;
    let add = |amount: Option<Amount>| amount.map(|a| a.of(layer).from(how.clone()));
    let called = |key, label| (key, "screen", label);
    amounts.extend(add(facts.amount("thickness", typed::<Micrometres>(opening)?, called("mesh_opening", "opening"))));
    let percent = Range { low: open.low * 100.0, high: open.high * 100.0 };
    amounts.extend(add(facts.amount("percent", typed::<ThreadsPerCm>(percent)?, called("open_area", "open area"))));
    let volume = typed::<MillilitresPerSquareMetre>(volume)?;
    amounts.extend(add(facts.amount("laydown", volume, called("ink_volume", "ink that the open mesh holds"))));
    amounts.extend(add(facts.amount("thickness", typed::<Micrometres>(line)?, called("finest_line", "finest line"))));
    Some(Mesh { names: format!("{names}, which holds {}", figures(volume)), volume })
}

type Sum = dyn Fn(&mut Facts<'_>, KindId, Mask) -> Option<Range<f64>>;

/// The known meshes whose count is nearest: of those that the shop has, if it says which.
fn nearest(facts: &mut Facts<'_>, kind: KindId, wanted: f64) -> Option<Mask> {
    let everyone = facts.program.model.everyone(kind);
    let stock = match facts.domain("shop.meshes", 0) {
        Some(Domain::Set { must, .. }) if *must != Mask::EMPTY => *must,
        _ => everyone,
    };
    let mut best: Option<(f64, Mask)> = None;
    for member in stock.iter() {
        let threads: Range<ThreadsPerCm> = facts.of_members(kind, Mask::one(member), "threads", 1.0)?;
        let apart = (threads.low.0 - wanted).abs();
        match &mut best {
            Some((least, members)) if apart == *least => members.insert(member),
            Some((least, _)) if apart > *least => {}
            _ => best = Some((apart, Mask::one(member))),
        }
    }
    best.map(|b| b.1)
}

fn names(facts: &Facts<'_>, kind: KindId, members: Mask) -> String {
    let names = members.iter().filter_map(|m| facts.program.model.member(kind, m)).map(|e| e.name.as_str());
    names.collect::<Vec<_>>().join(" or ")
}

/// A sum of threads and thread of one mesh.
fn cell<T: crate::sums::units::Unit>(
    facts: &mut Facts<'_>,
    kind: KindId,
    one: Mask,
    sum: impl Fn(ThreadsPerCm, Micrometres) -> Option<T>,
) -> Option<Range<f64>> {
    let threads = facts.of_members(kind, one, "threads", 1.0)?;
    let thread = facts.of_members(kind, one, "thread", 1.0)?;
    let found = through((threads, thread), |(n, d)| sum(n, d))?;
    Some(Range { low: found.low.number(), high: found.high.number() })
}

/// What the open cells of one mesh hold; where nobody measured how thick it is, with what is usual.
fn held(facts: &mut Facts<'_>, kind: KindId, one: Mask) -> Option<Range<f64>> {
    let threads: Range<ThreadsPerCm> = facts.of_members(kind, one, "threads", 1.0)?;
    let thread: Range<Micrometres> = facts.of_members(kind, one, "thread", 1.0)?;
    let thickness = facts.of_members(kind, one, "thickness", 1.0);
    let thickness = thickness.or_else(|| mesh::unknown_thickness(threads.low, thread.low))?;
    let found = through((threads, thread, thickness), |(n, d, t)| mesh::theoretical_volume(n, d, t))?;
    Some(Range { low: found.low.0, high: found.high.0 })
}

fn typed<T: crate::sums::units::Unit>(range: Range<f64>) -> Option<Range<T>> {
    Range::new(T::made(range.low)?, T::made(range.high)?)
}
