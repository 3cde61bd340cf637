//! One concrete job of a set, the most ordinary that there is.

use super::evaluate::{Evaluation, Truth};
use super::hangs::hangs_on;
use super::split::{propagate, slot_of};
use crate::job::{Domain, JobSet, Slot};
use crate::model::{AttributeId, AttributeType, Mask, Role};
use crate::program::{Literal, Program, TestId};
use crate::quantity::LARGEST;
use rustc_hash::FxHashSet;

/// Picks one concrete job, the most ordinary where anything is ordinary.
pub fn settle(program: &Program, job: &JobSet) -> Option<JobSet> {
    let mut point = job.clone();
    let bound = bound_by_exclusion(&Evaluation::new(program, job));
    let attributes = &program.model.attributes;
    for (index, attribute) in attributes.iter().enumerate() {
        let id = AttributeId(index as u16);
        let slot = slot_of(program, id);
        let follows = attribute.follows.is_some() || attributes.iter().any(|a| a.follows.is_some_and(|f| f.0 == id));
        if attribute.role == Role::Derived || matches!(attribute.ty, AttributeType::Setting(_)) {
            continue;
        }
        let layers = if attribute.per_layer { point.layers.len() } else { 1 };
        let mut changed = false;
        for layer in 0..layers {
            let Some(domain) = point.domain_mut(slot, layer) else {
                continue;
            };
            if !domain.is_single() {
                *domain = settled(domain, &attribute.usual)?;
                changed |= follows || bound.contains(&(slot, layer));
            }
        }
        // Followers see the choice of their leader, leaders what exclusions leave.
        if changed && !propagate(program, &mut point) {
            return None;
        }
    }
    for domain in &mut point.hidden {
        *domain = settled(domain, &[])?;
    }
    repaired(program, point, job)
}

/// What is open that an exclusion may still hang on. Nothing follows from what else is settled.
fn bound_by_exclusion(e: &Evaluation<'_>) -> FxHashSet<(Slot, usize)> {
    let mut bound = FxHashSet::default();
    for instance in e.program.excludes.iter().filter_map(|index| e.program.instance(*index)) {
        for layer in e.frames(e.program.per(instance)) {
            let open = instance.clauses.iter().filter(|clause| e.clause(clause, layer) == Truth::Open);
            for (slot, layer) in open.flatten().flat_map(|literal| hangs_on(e, *literal, layer)) {
                bound.insert(match slot {
                    Slot::Below(index) => (Slot::This(index), layer.saturating_sub(1)),
                    other => (other, layer),
                });
            }
        }
    }
    bound
}

fn settled(domain: &Domain, usual: &[i64]) -> Option<Domain> {
    Some(match domain {
        Domain::Choice(m) => {
            let first = usual.iter().map(|u| *u as usize).find(|u| m.has(*u)).or_else(|| m.iter().next())?;
            Domain::Choice(Mask::one(first))
        }
        Domain::YesNo { yes, no } => {
            let pick = match usual.first() {
                Some(1) => *yes,
                _ => *yes && !*no,
            };
            Domain::YesNo { yes: pick, no: !pick }
        }
        Domain::Number { low, high } => {
            let wish = usual.first().copied().unwrap_or(if *low > -LARGEST { *low } else { 0 });
            let value = wish.clamp(*low, *high);
            Domain::Number { low: value, high: value }
        }
        Domain::Set { must, .. } => Domain::Set { must: *must, may: *must },
        Domain::Amounts(a) => {
            let values = a.settle(usual)?;
            let mut settled = a.clone();
            settled.ranges = values.into_iter().map(|v| (v, v)).collect();
            Domain::Amounts(settled)
        }
    })
}

/// Moves quantities to their ends until the decided comparisons come out as decided.
fn repaired(program: &Program, mut point: JobSet, job: &JobSet) -> Option<JobSet> {
    let decided = std::mem::take(&mut point.decided);
    let holds = |point: &JobSet| {
        let evaluation = Evaluation::new(program, point);
        decided.iter().all(|d| evaluation.test(TestId(d.0), usize::from(d.1)) == Truth::of(d.2))
    };
    if decided.is_empty() || holds(&point) {
        return Some(point);
    }
    let movable = movable(program, job, &decided);
    for (i, a) in movable.iter().enumerate() {
        for b in movable.iter().skip(i) {
            let mut tried = point.clone();
            for (x, y) in [(a.low, b.low), (a.low, b.high), (a.high, b.low), (a.high, b.high)] {
                a.put(&mut tried, x);
                b.put(&mut tried, y);
                if holds(&tried) && propagate(program, &mut tried.clone()) {
                    return Some(tried);
                }
            }
        }
    }
    None
}

/// A quantity that may still be moved between two ends.
struct Movable {
    slot: Slot,
    layer: usize,
    low: i64,
    high: i64,
}

impl Movable {
    fn put(&self, point: &mut JobSet, at: i64) {
        if let Some(domain) = point.domain_mut(self.slot, self.layer) {
            *domain = Domain::Number { low: at, high: at };
        }
    }
}

/// The open quantities that decided comparisons hang on.
fn movable(program: &Program, job: &JobSet, decided: &[(u32, u16, bool)]) -> Vec<Movable> {
    let open = JobSet { decided: Vec::new(), ..job.clone() };
    let e = Evaluation::new(program, &open);
    let tests = decided.iter().map(|d| (Literal { test: TestId(d.0), negated: false }, usize::from(d.1)));
    let mut places: Vec<(Slot, usize)> = tests.flat_map(|(test, layer)| hangs_on(&e, test, layer)).collect();
    places.sort_unstable();
    places.dedup();
    let quantity = |(slot, layer): (Slot, usize)| match open.domain(slot, layer) {
        Some(Domain::Number { low, high }) if low < high => Some(Movable { slot, layer, low: *low, high: *high }),
        _ => None,
    };
    places.into_iter().filter_map(quantity).collect()
}
