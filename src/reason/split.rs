//! Narrowing a set: to what the links between attributes leave, to a part in which a test is decided, to one job.

use super::evaluate::{Evaluation, Truth, members, present};
use crate::condition::Comparison;
use crate::job::{Amounts, Domain, JobSet};
use crate::model::{AttributeId, AttributeType, Frame, Mask, Value};
use crate::program::{Check, Clauses, Literal, Num, Program, Slot, TestId};
use crate::quantity::{LEAST, MOST};

/// Narrows a set to what shares, followed properties and exclusions leave; false where nothing is left.
pub fn propagate(program: &Program, job: &mut JobSet) -> bool {
    let mut domains = job.root.iter_mut().chain(job.layers.iter_mut().flatten()).chain(&mut job.hidden);
    if !domains.all(Domain::propagate) {
        return false;
    }
    for _ in 0..32 {
        if !follow(program, job) {
            return false;
        }
        let (slot, layer, left) = match forced_by_exclusion(&Evaluation::new(program, job)) {
            Forced::Empty => return false,
            Forced::Nothing => return true,
            Forced::Domain(slot, layer, left) => (slot, layer, left),
        };
        if let Some(own) = job.domain_mut(slot, layer) {
            *own = left;
            if !own.propagate() {
                return false;
            }
        }
    }
    follow(program, job)
}

/// Narrows what follows a choice, and the choice; false where they have nothing in common.
pub fn follow(program: &Program, job: &mut JobSet) -> bool {
    for (index, attribute) in program.model.attributes.iter().enumerate() {
        let Some((leader, property)) = attribute.follows else {
            continue;
        };
        let layers = if attribute.per_layer { job.layers.len() } else { 1 };
        for layer in 0..layers {
            let (own, lead) = (slot_of(program, AttributeId(index as u16)), slot_of(program, leader));
            // What was measured stands: a name is only near to it.
            if job.is_stated(own, layer) {
                continue;
            }
            let (Some(&Domain::Number { low, high }), Some(&Domain::Choice(possible))) =
                (job.domain(own, layer), job.domain(lead, layer))
            else {
                continue;
            };
            let mut kept = Mask::EMPTY;
            let mut hull = (MOST, LEAST);
            for member in possible.iter() {
                let (a, b) = property_range(program, leader, member, property);
                if a <= high && b >= low {
                    kept.insert(member);
                    hull = (hull.0.min(a), hull.1.max(b));
                }
            }
            if kept.is_empty() {
                return false;
            }
            if let Some(d) = job.domain_mut(lead, layer) {
                *d = Domain::Choice(kept);
            }
            if let Some(d) = job.domain_mut(own, layer) {
                *d = Domain::Number { low: low.max(hull.0), high: high.min(hull.1) };
            }
        }
    }
    true
}

/// The slot of an attribute, read at the layer at hand.
pub fn slot_of(program: &Program, id: AttributeId) -> Slot {
    match program.layout.slots.get(id.index()) {
        Some((true, i)) => Slot::This(*i as u16),
        Some((false, i)) => Slot::Root(*i as u16),
        None => Slot::Root(u16::MAX),
    }
}

fn property_range(
    program: &Program,
    leader: AttributeId,
    member: usize,
    property: crate::model::PropertyId,
) -> (i64, i64) {
    let Some(AttributeType::Choice(kind)) = leader.of(&program.model).map(|a| a.ty) else {
        return (LEAST, MOST);
    };
    match program.model.member(kind, member).and_then(|e| e.facts.get(&property)).map(|f| &f.value) {
        Some(Value::Quantity(q)) => (*q, *q),
        Some(Value::Varies(a, b)) => (*a, *b),
        Some(Value::Disputed { plan, .. }) => (*plan, *plan),
        _ => (LEAST, MOST),
    }
}

enum Forced {
    Empty,
    Nothing,
    Domain(Slot, usize, Domain),
}

/// An exclusion of which all but one literal surely hold forces the opposite of that literal.
fn forced_by_exclusion(evaluation: &Evaluation<'_>) -> Forced {
    for index in &evaluation.program.excludes {
        let Some(instance) = evaluation.program.instance(*index) else {
            continue;
        };
        for layer in evaluation.frames(evaluation.program.per(instance)) {
            for clause in &instance.clauses {
                let mut open = None;
                let mut count = 0;
                let mut never = false;
                for literal in clause {
                    match evaluation.literal(*literal, layer) {
                        Truth::True => {}
                        Truth::False => {
                            never = true;
                            break;
                        }
                        Truth::Open => {
                            count += 1;
                            open = Some(*literal);
                        }
                    }
                }
                match (never, count, open) {
                    (false, 0, _) => return Forced::Empty,
                    (false, 1, Some(l)) => {
                        let opposite = Literal { test: l.test, negated: !l.negated };
                        if let Some((slot, left)) = narrowed(evaluation, opposite, layer)
                            && evaluation.domain(slot, layer) != Some(&left)
                        {
                            return Forced::Domain(slot, layer, left);
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    Forced::Nothing
}

/// Restricts one domain so that a literal holds; false where no single domain says so.
pub fn narrow(program: &Program, job: &mut JobSet, literal: Literal, layer: usize) -> bool {
    let Some((slot, left)) = narrowed(&Evaluation::new(program, job), literal, layer) else { return false };
    if let Some(own) = job.domain_mut(slot, layer) {
        *own = left;
    }
    true
}

/// The domain that is left where a literal holds, if a single one says so.
fn narrowed(e: &Evaluation<'_>, literal: Literal, layer: usize) -> Option<(Slot, Domain)> {
    let wanted = !literal.negated;
    match e.program.tests.get(literal.test.index())? {
        Check::OneOf(slot, mask) => match e.domain(*slot, layer)? {
            Domain::Choice(m) => Some((*slot, Domain::Choice(if wanted { m.and(*mask) } else { m.without(*mask) }))),
            _ => None,
        },
        Check::Holds(slot) => match e.domain(*slot, layer)? {
            own @ Domain::YesNo { .. } => Some((*slot, own.and(&Domain::YesNo { yes: wanted, no: !wanted }))),
            _ => None,
        },
        Check::Has(slot, mask) => match e.domain(*slot, layer)? {
            Domain::Set { must, may } => match (wanted, mask.and(*may).only()) {
                (false, _) => Some((*slot, Domain::Set { must: *must, may: may.without(*mask) })),
                (true, Some(only)) => {
                    let mut must = *must;
                    must.insert(only);
                    Some((*slot, Domain::Set { must, may: *may }))
                }
                _ => None,
            },
            Domain::Amounts(a) => {
                let (low, high) = if wanted { (1, MOST) } else { (LEAST, 0) };
                Some((*slot, restricted(a, *mask, low, high)))
            }
            _ => None,
        },
        Check::Switch(slot, arms) => {
            let Domain::Choice(possible) = e.domain(*slot, layer)? else { return None };
            if let Some(arm) = possible.only().and_then(|m| arms.get(m)) {
                return narrowed(e, Literal { test: *arm, negated: literal.negated }, layer);
            }
            let against = if wanted { Truth::False } else { Truth::True };
            let mut kept = Mask::EMPTY;
            for member in possible.iter() {
                if arms.get(member).map_or(Truth::Open, |a| e.test(*a, layer)) != against {
                    kept.insert(member);
                }
            }
            Some((*slot, Domain::Choice(kept)))
        }
        Check::Among(choice, set) => {
            let (must, may) = members(e.domain(*set, layer)?)?;
            match e.domain(*choice, layer)? {
                Domain::Choice(m) => Some((*choice, Domain::Choice(if wanted { m.and(may) } else { m.without(must) }))),
                _ => None,
            }
        }
        Check::Compare(a, op, b) => {
            let (left, right) = (e.number(a, layer), e.number(b, layer));
            if left.none != Truth::False || right.none != Truth::False {
                return None;
            }
            let op = if wanted { *op } else { op.opposite() };
            let first = (left.low == left.high).then(|| limited(e, b, op.mirrored(), left.low, layer)).flatten();
            first.or_else(|| (right.low == right.high).then(|| limited(e, a, op, right.low, layer)).flatten())
        }
        _ => None,
    }
}

/// Amounts with the sum of some members restricted; crossed where nothing is left.
fn restricted(amounts: &Amounts, mask: Mask, low: i64, high: i64) -> Domain {
    let mut left = amounts.clone();
    if !left.restrict(mask, low, high) {
        left.ranges.iter_mut().for_each(|r| *r = (1, 0));
    }
    Domain::Amounts(left)
}

/// The one open quantity of an expression, restricted so that it compares as wanted with a value.
fn limited(e: &Evaluation<'_>, num: &Num, op: Comparison, value: i64, layer: usize) -> Option<(Slot, Domain)> {
    let (low, high) = match op {
        Comparison::Less => (LEAST, value - 1),
        Comparison::AtMost => (LEAST, value),
        Comparison::More => (value + 1, MOST),
        Comparison::AtLeast => (value, MOST),
        Comparison::Equal => (value, value),
        Comparison::Unequal => return None,
    };
    match num {
        Num::Slot(slot) => match e.domain(*slot, layer)? {
            own @ Domain::Number { .. } => Some((*slot, own.and(&Domain::Number { low, high }))),
            _ => None,
        },
        Num::Amount(slot, mask) => match e.domain(*slot, layer)? {
            Domain::Amounts(a) => Some((*slot, restricted(a, *mask, low, high))),
            _ => None,
        },
        Num::Add(a, b) => match (a.as_ref(), b.as_ref()) {
            (inner, Num::Constant(c)) | (Num::Constant(c), inner) => limited(e, inner, op, value - c, layer),
            _ => None,
        },
        Num::Subtract(a, b) => match (a.as_ref(), b.as_ref()) {
            (inner, Num::Constant(c)) => limited(e, inner, op, value + c, layer),
            (Num::Constant(c), inner) => limited(e, inner, op.mirrored(), c - value, layer),
            _ => None,
        },
        _ => None,
    }
}

/// Two parts that cover a set: one in which a test is nearer true, one in which it is nearer false.
pub struct Parts {
    /// Nearer true.
    pub towards: JobSet,
    /// Nearer false.
    pub away: JobSet,
}

impl Parts {
    fn swapped(self) -> Self {
        Self { towards: self.away, away: self.towards }
    }
}

/// Splits a set on the first open literal of the first open alternative.
pub fn split_clauses(evaluation: &Evaluation<'_>, clauses: &Clauses, layer: usize, depth: u32) -> Option<Parts> {
    for clause in clauses {
        if evaluation.clause(clause, layer) != Truth::Open {
            continue;
        }
        for literal in clause {
            if evaluation.literal(*literal, layer) == Truth::Open
                && let Some(parts) = split_literal(evaluation, *literal, layer, depth)
            {
                return Some(parts);
            }
        }
    }
    None
}

/// Splits a set on an open literal.
pub fn split_literal(evaluation: &Evaluation<'_>, literal: Literal, layer: usize, depth: u32) -> Option<Parts> {
    let parts = split_test(evaluation, literal.test, layer, depth)?;
    Some(if literal.negated { parts.swapped() } else { parts })
}

/// Splits a set on an open test.
pub fn split_test(evaluation: &Evaluation<'_>, id: TestId, layer: usize, depth: u32) -> Option<Parts> {
    if depth == 0 {
        return None;
    }
    let job = evaluation.job;
    match evaluation.program.tests.get(id.index())? {
        Check::OneOf(slot, mask) => split_choice(job, *slot, layer, *mask),
        Check::Holds(slot) => {
            let part = |yes: bool| with(job, *slot, layer, Domain::YesNo { yes, no: !yes });
            Some(Parts { towards: part(true)?, away: part(false)? })
        }
        Check::Derived(node, frame) => split_node(evaluation, *node, *frame, layer, depth - 1),
        Check::Has(slot, mask) => match evaluation.domain(*slot, layer)? {
            Domain::Set { must, may } => {
                let member = may.without(*must).and(*mask).iter().next()?;
                split_member(job, *slot, layer, *must, *may, member)
            }
            Domain::Amounts(_) => split_amount(job, *slot, layer, *mask, 0),
            _ => None,
        },
        Check::Among(choice, set) => {
            let Domain::Choice(possible) = evaluation.domain(*choice, layer)? else {
                return None;
            };
            let own = evaluation.domain(*set, layer)?;
            let (must, may) = members(own)?;
            match (possible.only(), own) {
                (Some(only), Domain::Amounts(_)) => split_amount(job, *set, layer, Mask::one(only), 0),
                (Some(only), _) => split_member(job, *set, layer, must, may, only),
                (None, _) if possible.meets(must) && !possible.within(must) => split_choice(job, *choice, layer, must),
                (None, _) => split_choice(job, *choice, layer, Mask::one(possible.iter().next()?)),
            }
        }
        Check::Switch(slot, arms) => {
            let Domain::Choice(possible) = evaluation.domain(*slot, layer)? else {
                return None;
            };
            if let Some(only) = possible.only() {
                return split_test(evaluation, *arms.get(only)?, layer, depth - 1);
            }
            let mut holds = Mask::EMPTY;
            for member in possible.iter() {
                if arms.get(member).map(|a| evaluation.test(*a, layer)) == Some(Truth::True) {
                    holds.insert(member);
                }
            }
            if holds.is_empty() || possible.within(holds) {
                holds = Mask::one(possible.iter().next()?);
            }
            split_choice(job, *slot, layer, holds)
        }
        Check::Compare(a, op, b) => split_compare(evaluation, id, a, *op, b, layer, depth - 1),
        Check::Some(slot, arms) => {
            let domain = evaluation.domain(*slot, layer)?;
            for (member, clauses) in arms {
                if evaluation.clauses(clauses, layer) == Truth::False {
                    continue;
                }
                let parts = match present(domain, *member) {
                    Truth::False => None,
                    Truth::True => split_clauses(evaluation, clauses, layer, depth - 1),
                    Truth::Open => match domain {
                        Domain::Set { must, may } => split_member(job, *slot, layer, *must, *may, *member),
                        _ => split_amount(job, *slot, layer, Mask::one(*member), 0),
                    },
                };
                if parts.is_some() {
                    return parts;
                }
            }
            None
        }
        Check::Constant(_) | Check::First(_) | Check::Last(_) | Check::Stated(_) => None,
    }
}

fn with(job: &JobSet, slot: Slot, layer: usize, domain: Domain) -> Option<JobSet> {
    let mut part = job.clone();
    let own = part.domain_mut(slot, layer)?;
    *own = own.and(&domain);
    Some(part)
}

fn split_choice(job: &JobSet, slot: Slot, layer: usize, mask: Mask) -> Option<Parts> {
    let Domain::Choice(possible) = job.domain(slot, layer)? else {
        return None;
    };
    let (inside, outside) = (possible.and(mask), possible.without(mask));
    if inside.is_empty() || outside.is_empty() {
        return None;
    }
    Some(Parts {
        towards: with(job, slot, layer, Domain::Choice(inside))?,
        away: with(job, slot, layer, Domain::Choice(outside))?,
    })
}

fn split_member(job: &JobSet, slot: Slot, layer: usize, must: Mask, may: Mask, member: usize) -> Option<Parts> {
    if must.has(member) || !may.has(member) {
        return None;
    }
    let mut more = must;
    more.insert(member);
    let mut fewer = may;
    fewer.remove(member);
    Some(Parts {
        towards: with(job, slot, layer, Domain::Set { must: more, may })?,
        away: with(job, slot, layer, Domain::Set { must, may: fewer })?,
    })
}

/// Parts in which the sum of some members lies above a threshold, and at or below it.
fn split_amount(job: &JobSet, slot: Slot, layer: usize, mask: Mask, threshold: i64) -> Option<Parts> {
    let part = |low: i64, high: i64| {
        let mut part = job.clone();
        if let Some(Domain::Amounts(a)) = part.domain_mut(slot, layer)
            && !a.restrict(mask, low, high)
        {
            a.ranges.iter_mut().for_each(|r| *r = (1, 0));
        }
        part
    };
    Some(Parts { towards: part(threshold + 1, MOST), away: part(LEAST, threshold) })
}

fn split_number(job: &JobSet, slot: Slot, layer: usize, threshold: i64) -> Option<Parts> {
    let Domain::Number { low, high } = job.domain(slot, layer)? else {
        return None;
    };
    if threshold < *low || threshold >= *high {
        return None;
    }
    Some(Parts {
        towards: with(job, slot, layer, Domain::Number { low: threshold + 1, high: *high })?,
        away: with(job, slot, layer, Domain::Number { low: *low, high: threshold })?,
    })
}

fn split_compare(
    evaluation: &Evaluation<'_>,
    id: TestId,
    a: &Num,
    op: Comparison,
    b: &Num,
    layer: usize,
    depth: u32,
) -> Option<Parts> {
    // Choices first: a property of an open choice is no quantity to cut.
    for side in [a, b] {
        if let Some((slot, arms)) = open_switch(evaluation, side, layer) {
            return split_by_arm(evaluation, id, slot, arms, layer);
        }
    }
    for side in [a, b] {
        if let Some((node, frame)) = open_node(evaluation, side, layer)
            && let Some(parts) = split_node(evaluation, node, frame, layer, depth)
        {
            return Some(parts);
        }
    }
    let (left, right) = (evaluation.number(a, layer), evaluation.number(b, layer));
    let upward = matches!(op, Comparison::More | Comparison::AtLeast);
    let cut_at = |op: Comparison, value: i64| match op {
        Comparison::Less | Comparison::AtLeast | Comparison::Equal | Comparison::Unequal => value - 1,
        _ => value,
    };
    if right.low == right.high {
        if let Some(parts) = cut(evaluation, a, cut_at(op, right.low), layer) {
            return Some(if upward { parts } else { parts.swapped() });
        }
        if let Some(parts) = cut(evaluation, a, right.low, layer) {
            return Some(if upward { parts } else { parts.swapped() });
        }
    }
    if left.low == left.high {
        let mirrored = op.mirrored();
        for threshold in [cut_at(mirrored, left.low), left.low] {
            if let Some(parts) = cut(evaluation, b, threshold, layer) {
                return Some(if matches!(mirrored, Comparison::More | Comparison::AtLeast) {
                    parts
                } else {
                    parts.swapped()
                });
            }
        }
    }
    // Two open quantities: the comparison itself is decided, neither is cut.
    let layered = evaluation.program.layered.get(id.index()) == Some(&true);
    let at = (id.0, if layered { layer as u16 } else { 0 });
    if evaluation.job.decided.iter().any(|d| (d.0, d.1) == at) {
        return None;
    }
    let decided = |truth: bool| {
        let mut part = evaluation.job.clone();
        part.decided.push((at.0, at.1, truth));
        part
    };
    Some(Parts { towards: decided(true), away: decided(false) })
}

/// Cuts the one open quantity of an expression so that the whole lies above a value, or not.
fn cut(e: &Evaluation<'_>, num: &Num, value: i64, layer: usize) -> Option<Parts> {
    match num {
        Num::Slot(slot) => split_number(e.job, *slot, layer, value),
        Num::Amount(slot, mask) => {
            let Domain::Amounts(a) = e.domain(*slot, layer)? else {
                return None;
            };
            let (low, high) = a.sum(*mask);
            if value < low || value >= high {
                return None;
            }
            split_amount(e.job, *slot, layer, *mask, value)
        }
        Num::Add(a, b) => match (known(e, a, layer), known(e, b, layer)) {
            (_, Some(c)) => cut(e, a, value - c, layer),
            (Some(c), _) => cut(e, b, value - c, layer),
            _ => None,
        },
        Num::Subtract(a, b) => match (known(e, a, layer), known(e, b, layer)) {
            (_, Some(c)) => cut(e, a, value + c, layer),
            (Some(c), _) => cut(e, b, c - value - 1, layer).map(Parts::swapped),
            _ => None,
        },
        Num::Switch(slot, arms) => match e.domain(*slot, layer)? {
            Domain::Choice(m) => cut(e, arms.get(m.only()?)?, value, layer),
            _ => None,
        },
        _ => None,
    }
}

/// The one value that a quantity has.
fn known(e: &Evaluation<'_>, num: &Num, layer: usize) -> Option<i64> {
    let i = e.number(num, layer);
    (i.low == i.high && i.none == Truth::False).then_some(i.low)
}

fn children(num: &Num) -> Vec<&Num> {
    match num {
        Num::Add(a, b) | Num::Subtract(a, b) | Num::Min(a, b) | Num::Max(a, b) => vec![a, b],
        Num::Scale(a, _) | Num::Schedule(_, a) => vec![a],
        _ => Vec::new(),
    }
}

fn open_switch<'n>(evaluation: &Evaluation<'_>, num: &'n Num, layer: usize) -> Option<(Slot, &'n [Num])> {
    if let Num::Switch(slot, arms) = num {
        let Domain::Choice(possible) = evaluation.domain(*slot, layer)? else {
            return None;
        };
        return match possible.only() {
            None => Some((*slot, arms)),
            Some(only) => open_switch(evaluation, arms.get(only)?, layer),
        };
    }
    children(num).into_iter().find_map(|c| open_switch(evaluation, c, layer))
}

fn open_node(evaluation: &Evaluation<'_>, num: &Num, layer: usize) -> Option<(u16, Frame)> {
    match num {
        Num::Node(node, frame) => {
            let i = evaluation.number(num, layer);
            (i.low != i.high || i.none == Truth::Open).then_some((*node, *frame))
        }
        Num::Switch(slot, arms) => match evaluation.domain(*slot, layer)? {
            Domain::Choice(m) => open_node(evaluation, arms.get(m.only()?)?, layer),
            _ => None,
        },
        _ => children(num).into_iter().find_map(|c| open_node(evaluation, c, layer)),
    }
}

/// Groups the members of an open choice by what each makes of the test.
fn split_by_arm(evaluation: &Evaluation<'_>, id: TestId, slot: Slot, arms: &[Num], layer: usize) -> Option<Parts> {
    let Domain::Choice(possible) = evaluation.domain(slot, layer)? else {
        return None;
    };
    let mut holds = Mask::EMPTY;
    let mut values: Vec<(Num, Truth)> = Vec::new();
    for member in possible.iter() {
        let arm = arms.get(member)?;
        let truth = match values.iter().find(|v| v.0 == *arm) {
            Some(known) => known.1,
            None => {
                let job = with(evaluation.job, slot, layer, Domain::Choice(Mask::one(member)))?;
                let truth = Evaluation::new(evaluation.program, &job).test(id, layer);
                values.push((arm.clone(), truth));
                truth
            }
        };
        if truth == Truth::True {
            holds.insert(member);
        }
    }
    if holds.is_empty() || possible.within(holds) {
        holds = Mask::one(possible.iter().next()?);
    }
    split_choice(evaluation.job, slot, layer, holds)
}

/// Splits on what a derived value hangs on.
pub fn split_node(evaluation: &Evaluation<'_>, node: u16, frame: Frame, layer: usize, depth: u32) -> Option<Parts> {
    if depth == 0 {
        return None;
    }
    let own = evaluation.program.nodes.get(usize::from(node))?;
    let layer = if frame == Frame::Below { layer.checked_sub(1)? } else { layer };
    evaluation.givers(own, layer).find_map(|(_, instance, frame)| match evaluation.fires(instance, frame) {
        Truth::False => None,
        Truth::Open => split_clauses(evaluation, &instance.clauses, frame, depth - 1),
        Truth::True => instance.value.as_ref().and_then(|v| split_value(evaluation, v, frame, depth - 1)),
    })
}

/// Splits on whatever keeps a quantity open.
pub fn split_value(evaluation: &Evaluation<'_>, num: &Num, layer: usize, depth: u32) -> Option<Parts> {
    let i = evaluation.number(num, layer);
    if depth == 0 || (i.low == i.high && i.none != Truth::Open) {
        return None;
    }
    match num {
        Num::Slot(slot) => {
            let Domain::Number { low, high } = evaluation.domain(*slot, layer)? else {
                return None;
            };
            split_number(evaluation.job, *slot, layer, low + (high - low) / 2)
        }
        Num::Amount(slot, mask) => split_amount(evaluation.job, *slot, layer, *mask, i.low + (i.high - i.low) / 2),
        Num::Node(node, frame) => split_node(evaluation, *node, *frame, layer, depth - 1),
        Num::Switch(slot, arms) => {
            let Domain::Choice(possible) = evaluation.domain(*slot, layer)? else {
                return None;
            };
            match possible.only() {
                Some(only) => split_value(evaluation, arms.get(only)?, layer, depth - 1),
                None => split_choice(evaluation.job, *slot, layer, Mask::one(possible.iter().next()?)),
            }
        }
        _ => children(num).into_iter().find_map(|c| split_value(evaluation, c, layer, depth - 1)),
    }
}
