//! What one fact would make of an open job: whether it settles it, and whether it can matter at all.

use super::evaluate::{Evaluation, Truth};
use super::search::Goal;
use super::settle::settle;
use super::split::{propagate, slot_of};
use crate::job::{Domain, JobSet, Slot};
use crate::model::{AttributeId, Role};
use crate::program::Program;

/// The part of a set in which a fact has a value; nothing where no job is left.
pub fn given(program: &Program, set: &JobSet, (slot, layer): (Slot, usize), value: &Domain) -> Option<JobSet> {
    let mut part = set.clone();
    let own = part.domain_mut(slot, layer)?;
    *own = own.and(value);
    propagate(program, &mut part).then_some(part)
}

/// What of a set is refused, crossed or without grounds, one truth each: sets with the same do the same.
pub fn signature(e: &Evaluation<'_>) -> Vec<Truth> {
    let program = e.program;
    let mut all = Vec::new();
    for instance in program.refusals.iter().filter_map(|i| program.instance(*i)) {
        all.extend(e.frames(program.per(instance)).map(|layer| e.fires(instance, layer)));
    }
    for (_, low, high) in &program.windows {
        all.extend((0..e.window_layers(*low)).map(|layer| e.crossed(*low, *high, layer)));
    }
    for need in &program.needs {
        let lacks = |layer| e.needed(need, layer).and(e.grounded(need, layer).opposite());
        all.extend(e.need_frames(need).map(lacks));
    }
    all
}

/// Whether a set is settled as far as evaluation alone shows: all of it refused, or all of it accepted.
pub fn is_settled(e: &Evaluation<'_>) -> bool {
    match e.refused() {
        Truth::True => true,
        Truth::False => e.all_grounded() == Truth::True,
        Truth::Open => false,
    }
}

/// Two complete jobs that differ in one fact and in what goes with it, the first accepted and the second not: the proof
/// that the fact can matter. They are made from `points` by giving the fact each of these values.
pub fn pivot(
    program: &Program,
    points: &[&JobSet],
    set: &JobSet,
    (slot, layer): (Slot, usize),
    values: &[Domain],
) -> Option<Box<[JobSet; 2]>> {
    points.iter().find_map(|point| {
        let (mut accepted, mut failed) = (None, None);
        for value in values {
            let Some(job) = turned(program, point, set, (slot, layer), value) else { continue };
            match Goal::Accepted.met(&Evaluation::new(program, &job)) {
                Truth::True => accepted = accepted.or(Some(job)),
                Truth::False => failed = failed.or(Some(job)),
                Truth::Open => {}
            }
            if let (Some(a), Some(b)) = (&accepted, &failed) {
                return Some(Box::new([a.clone(), b.clone()]));
            }
        }
        None
    })
}

/// A complete job with another value of one fact; nothing where there is no such job.
fn turned(
    program: &Program,
    point: &JobSet,
    set: &JobSet,
    (slot, layer): (Slot, usize),
    value: &Domain,
) -> Option<JobSet> {
    let mut job = opened(program, point, set, (slot, layer));
    let own = job.domain_mut(slot, layer)?;
    *own = own.and(value);
    complete(program, &job).or_else(|| {
        // Where no such job exists, one other fact may go with it: a white cloth is no dyed one.
        program.model.attributes.iter().enumerate().filter(|(_, a)| a.role == Role::Given).find_map(|(index, a)| {
            let other = slot_of(program, AttributeId(index as u16));
            let at = if a.per_layer { layer } else { 0 };
            let free = other != slot && a.follows.is_none();
            if free { complete(program, &opened(program, &job, set, (other, at))) } else { None }
        })
    })
}

/// A job in which a fact, and what follows it, is as open as in a set.
fn opened(program: &Program, job: &JobSet, set: &JobSet, (slot, layer): (Slot, usize)) -> JobSet {
    let mut job = job.clone();
    if let (Slot::Hidden(_), Some(open)) = (slot, set.domain(slot, layer))
        && let Some(own) = job.domain_mut(slot, layer)
    {
        own.clone_from(open);
    }
    for (index, attribute) in program.model.attributes.iter().enumerate() {
        let own = slot_of(program, AttributeId(index as u16));
        let follows = attribute.follows.is_some_and(|f| slot_of(program, f.0) == slot);
        if (own == slot || follows)
            && let (Some(d), Some(open)) = (job.domain_mut(own, layer), set.domain(own, layer))
        {
            d.clone_from(open);
        }
    }
    job
}

/// A complete job of a set, the most ordinary; nothing where there is none at hand.
pub fn complete(program: &Program, set: &JobSet) -> Option<JobSet> {
    let mut set = set.clone();
    let job = if propagate(program, &mut set) { settle(program, &set)? } else { return None };
    (Evaluation::new(program, &job).excluded() == Truth::False).then_some(job)
}
