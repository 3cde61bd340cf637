//! The facts that an open answer hangs on, and the values that each may have.

use super::teller::Teller;
use super::words::attribute_at;
use crate::job::{Domain, JobSet, Slot, whole};
use crate::model::{Attribute, AttributeId, AttributeType, EntityId, Mask};
use crate::program::{Literal, Program};
use crate::reason::decide::Cause;
use crate::reason::evaluate::{Evaluation, Truth, present};
use crate::reason::hangs::{bound_hangs_on, hangs_on};
use crate::reason::outlook::{given, signature};
use crate::reason::split::{slot_of, split_test};
use crate::statement::Place;

/// Something that decides in some case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fact {
    /// Where it is kept.
    pub(super) slot: Slot,
    /// Its layer.
    pub(super) layer: usize,
    /// The attribute; nothing for a value that varies from item to item.
    pub(super) attribute: Option<AttributeId>,
    /// The test by which it decides.
    pub(super) literal: Option<Literal>,
}

impl Fact {
    /// Where what is said of it is kept.
    pub(super) fn place(&self, program: &Program) -> Option<Place> {
        match (self.attribute, self.slot) {
            (Some(id), _) => Some(Place::Attribute(id, self.layer)),
            (None, Slot::Hidden(i)) => program.hidden.get(usize::from(i)).map(|h| Place::Value(h.entity, h.property)),
            _ => None,
        }
    }

    /// What values it has.
    pub(super) fn ty(&self, program: &Program) -> Option<AttributeType> {
        match self.place(program)? {
            Place::Attribute(id, _) => id.of(&program.model).map(|a| a.ty),
            Place::Value(_, property) => program.model.properties.get(property.index())?.ty.of_attribute(),
        }
    }
}

/// Whether a thing lies as asked at one of the places of a job that hold things of its kind. A place is told by its slot
/// and layer, with what it holds and the thing's number.
pub(super) fn lies_somewhere(
    program: &Program,
    job: &JobSet,
    entity: EntityId,
    asked: impl Fn((Slot, usize), &Domain, usize) -> bool,
) -> bool {
    let own = program.model.entities.get(entity.index()).and_then(|e| Some((e.kind, e.ordinal?)));
    let Some((kind, member)) = own else { return false };
    let mut places = program.model.attributes.iter().enumerate().filter(|(_, a)| a.ty.members() == Some(kind));
    places.any(|(index, attribute)| {
        let slot = slot_of(program, AttributeId(index as u16));
        let mut layers = 0..if attribute.per_layer { job.layers.len() } else { 1 };
        layers.any(|layer| job.domain(slot, layer).is_some_and(|d| asked((slot, layer), d, member)))
    })
}

/// Whether a thing is in every job of a set: what is only possible somewhere in it is not asked about.
fn is_there(program: &Program, job: &JobSet, entity: EntityId) -> bool {
    lies_somewhere(program, job, entity, |_, domain, member| match domain {
        Domain::Choice(possible) => possible.only() == Some(member),
        other => present(other, member) == Truth::True,
    })
}

/// The facts that occur in the rows, each once, as the rows name them; what differs from item to item, of things that are
/// in the job for sure.
pub(super) fn facts(teller: &Teller<'_>) -> Vec<Fact> {
    let program = teller.program;
    let mut all: Vec<Fact> = Vec::new();
    let mut add = |slot: Slot, layer: usize, literal: Option<Literal>| note(program, &mut all, slot, layer, literal);
    for row in &teller.decision.rows {
        row.part.narrowed.iter().for_each(|(slot, layer)| add(*slot, *layer, None));
        for (literal, layer) in &row.part.open {
            hangs_on(teller.e, *literal, *layer).into_iter().for_each(|(s, l)| add(s, l, Some(*literal)));
        }
        if let Cause::Window { low, high, .. } = row.cause {
            let bounds = low.into_iter().chain(high).flat_map(|b| bound_hangs_on(teller.e, b));
            bounds.for_each(|(s, l)| add(s, l, None));
        }
    }
    let job = &teller.decision.job;
    all.retain(|f| !matches!(f.place(program), Some(Place::Value(entity, _)) if !is_there(program, job, entity)));
    all
}

/// Adds a fact once. A follower is asked for by its leader.
pub(super) fn note(program: &Program, all: &mut Vec<Fact>, slot: Slot, layer: usize, literal: Option<Literal>) {
    let own = attribute_at(program, slot);
    let leader = own.and_then(|id| id.of(&program.model)?.follows).map(|f| f.0);
    let slot = leader.map_or(slot, |id| slot_of(program, id));
    if !all.iter().any(|f| (f.slot, f.layer) == (slot, layer)) {
        all.push(Fact { slot, layer, attribute: leader.or(own), literal });
    }
}

/// A value that a fact may have, and how usual it is, in thousandths.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Value {
    /// The value.
    pub(super) domain: Domain,
    /// How usual.
    pub(super) weight: u32,
}

/// How often a value is one that nobody calls usual, in thousandths.
const UNUSUAL: u32 = 100;

/// Values of a fact: all of them where they can be listed, of a blend those of one member that are usual, of a quantity
/// the ranges between which it decides.
pub(super) fn values(program: &Program, set: &JobSet, fact: &Fact) -> Vec<Value> {
    let attribute = fact.attribute.and_then(|id| id.of(&program.model));
    let usual = attribute.map_or(&[][..], |a| &a.usual).iter().filter_map(|u| usize::try_from(*u).ok());
    let usual: Vec<usize> = usual.collect();
    match set.domain(fact.slot, fact.layer) {
        Some(Domain::Choice(possible)) => {
            let members: Vec<usize> = possible.iter().collect();
            let one = |(m, weight)| Value { domain: Domain::Choice(Mask::one(m)), weight };
            weighed(&members, &usual).into_iter().map(one).collect()
        }
        Some(Domain::YesNo { yes: true, no: true }) => {
            let weight = |yes: bool| match usual.first() {
                Some(first) if (*first == 1) == yes => 700,
                Some(_) => 300,
                None => 500,
            };
            [true, false].map(|yes| Value { domain: Domain::YesNo { yes, no: !yes }, weight: weight(yes) }).into()
        }
        Some(Domain::Set { must, may }) => attribute.map_or(Vec::new(), |a| of_set(a, *must, *may)),
        Some(Domain::Amounts(amounts)) => {
            let Some(AttributeType::Blend(kind)) = attribute.map(|a| a.ty) else { return Vec::new() };
            let pure = |m: &usize| amounts.ranges.get(*m).is_some_and(|r| r.1 == whole(&program.model));
            let members: Vec<usize> = usual.iter().copied().filter(pure).collect();
            let one = |(m, weight)| Value { domain: super::altered::pure_blend(&program.model, kind, m), weight };
            weighed(&members, &usual).into_iter().map(one).collect()
        }
        Some(Domain::Number { .. }) => of_number(program, set, fact),
        _ => Vec::new(),
    }
}

/// Members with how usual each is: each usual one half as much as the one before.
fn weighed(members: &[usize], usual: &[usize]) -> Vec<(usize, u32)> {
    let known: Vec<usize> = usual.iter().copied().filter(|u| members.contains(u)).collect();
    let rest = u32::try_from(members.len() - known.len()).unwrap_or(u32::MAX);
    let (left, each) = match (known.is_empty(), rest) {
        (true, n) => (0, 1000 / n.max(1)),
        (false, 0) => (1000, 0),
        (false, n) => (1000 - UNUSUAL, UNUSUAL / n),
    };
    let halves: u32 = (0..known.len()).map(|i| 1000 >> i.min(9)).sum();
    let weight = |m: usize| match known.iter().position(|k| *k == m) {
        Some(at) => left * (1000 >> at.min(9)) / halves.max(1),
        None => each,
    };
    members.iter().map(|m| (*m, weight(*m))).collect()
}

/// None, and each member alone. Of a set that naming does not close nothing is listed.
fn of_set(attribute: &Attribute, must: Mask, may: Mask) -> Vec<Value> {
    if attribute.closes.is_some() {
        return Vec::new();
    }
    let open: Vec<usize> = may.without(must).iter().collect();
    let each = 400 / u32::try_from(open.len()).unwrap_or(1).max(1);
    let exactly = |set: Mask| Domain::Set { must: set, may: set };
    let one = |m: &usize| Value { domain: exactly(must.or(Mask::one(*m))), weight: each };
    std::iter::once(Value { domain: exactly(must), weight: 600 }).chain(open.iter().map(one)).collect()
}

/// The two ranges of a quantity in which the test by which it decides comes out otherwise; without a test, those between
/// which what is refused changes first.
fn of_number(program: &Program, set: &JobSet, fact: &Fact) -> Vec<Value> {
    let e = Evaluation::new(program, set);
    let Some(literal) = fact.literal else { return turning(program, set, fact) };
    let Some(parts) = split_test(&e, literal.test, fact.layer, 6) else { return Vec::new() };
    let own = |part: &JobSet| part.domain(fact.slot, fact.layer).cloned();
    let whole = own(set);
    let ranges: Vec<Domain> = [&parts.towards, &parts.away].into_iter().filter_map(own).collect();
    // It may be split on something else.
    if ranges.iter().any(|r| Some(r) == whole.as_ref()) {
        return Vec::new();
    }
    ranges.into_iter().map(|domain| Value { domain, weight: 500 }).collect()
}

/// The ranges of a quantity below and above the value at which something else is refused than at its lower end.
fn turning(program: &Program, set: &JobSet, fact: &Fact) -> Vec<Value> {
    let Some(Domain::Number { low, high }) = set.domain(fact.slot, fact.layer) else { return Vec::new() };
    let range = |low: i64, high: i64| Domain::Number { low, high };
    let at = |value: i64| {
        let part = given(program, set, (fact.slot, fact.layer), &range(value, value))?;
        Some(signature(&Evaluation::new(program, &part)))
    };
    let first = at(*low);
    if first.is_none() || at(*high) == first {
        return Vec::new();
    }
    let (mut same, mut other) = (*low, *high);
    while other - same > 1 {
        let middle = same + (other - same) / 2;
        if at(middle) == first { same = middle } else { other = middle }
    }
    [range(*low, same), range(other, *high)].map(|domain| Value { domain, weight: 500 }).into()
}
