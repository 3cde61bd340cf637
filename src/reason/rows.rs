//! The rows of an open answer: every case in which a job fails or has no grounds, each told so that it is complete.
//!
//! An alternative of a condition is one case. What it calls by a derived name is replaced by what gives that name,
//! each way of it a case of its own, so that no way is left out.

use super::decide::Cause;
use super::evaluate::{Evaluation, Interval, Truth, present};
use super::search::{Found, Goal, search};
use super::split::slot_of;
use crate::condition::Comparison;
use crate::job::{Domain, JobSet, Slot};
use crate::model::{AttributeId, Combine, End, Frame, Mask};
use crate::program::{Check, Clauses, Literal, Node, Num, Program};
use crate::quantity::MOST;

/// A case in which the job fails.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What refuses here, or lacks grounds.
    pub cause: Cause,
    /// Where it lies.
    pub part: Part,
    /// Every job of this case fails, not only some.
    pub sure: bool,
    /// One concrete job of this case.
    pub witness: JobSet,
}

/// A part of a set in which something holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The part.
    pub set: JobSet,
    /// Where it is narrower than the set it is a part of.
    pub narrowed: Vec<(Slot, usize)>,
    /// What must also hold.
    pub open: Vec<(Literal, usize)>,
}

/// Ways of one condition that are told one by one; what has more is told by its name.
const MOST_WAYS: usize = 12;

/// How deep derived names are replaced by what gives them.
const DEPTH: u32 = 4;

/// All cases in which jobs of a set fail, and whether these are surely all. The search for one may look at so many sets.
pub fn rows(program: &Program, job: &JobSet, share: u32, budget: &mut u32) -> (Vec<Row>, bool) {
    let e = Evaluation::new(program, job);
    let mut rows = Vec::new();
    let mut complete = true;
    for (cause, part, sure) in cases(&e) {
        let allowed = (*budget).min(share);
        let mut left = allowed;
        let found = search(program, &part.set, Goal::Case(cause, &part.open), &mut left);
        *budget -= allowed - left;
        match found {
            Found::Witness(witness) => {
                rows.push(Row { cause: at(program, cause, &witness), part, sure, witness: *witness });
            }
            Found::Undecided => complete = false,
            Found::Nothing => {}
        }
    }
    (rows, complete)
}

/// A crossing with its two ends as they lie at a witness.
fn at(program: &Program, cause: Cause, witness: &JobSet) -> Cause {
    let Cause::Window { setting, layer, low, high, .. } = cause else { return cause };
    let there = Evaluation::new(program, witness);
    let low_at = bound(&there, setting, layer, low, End::Low).low;
    let high_at = bound(&there, setting, layer, high, End::High).high;
    Cause::Window { setting, layer, low, high, low_at, high_at }
}

/// Where a bound of a window lies: what a rule says, or what was stated.
pub fn bound(e: &Evaluation<'_>, setting: AttributeId, layer: usize, by: Option<(u32, usize)>, end: End) -> Interval {
    let value = by.map(|(index, frame)| (e.program.instance(index).and_then(|i| i.value.as_ref()), frame));
    match (value, e.domain(slot_of(e.program, setting), layer)) {
        (Some((Some(num), frame)), _) => e.number(num, frame),
        (None, Some(Domain::Number { low, high })) => Interval::point(if end == End::Low { *low } else { *high }),
        _ => Interval::NONE,
    }
}

/// Whether two bounds cross. A schedule that asks for more than there is cannot be met by any setting.
pub fn cross(low: Interval, high: Interval) -> Truth {
    low.compare(Comparison::More, high).or(low.compare(Comparison::AtLeast, Interval::point(MOST)))
}

fn cases(e: &Evaluation<'_>) -> Vec<(Cause, Part, bool)> {
    let program = e.program;
    let mut found = Vec::new();
    for index in &program.refusals {
        let Some(instance) = program.instance(*index) else { continue };
        for layer in e.frames(program.per(instance)) {
            let parts = ways(e, &instance.clauses, layer);
            found.extend(parts.into_iter().map(|p| (Cause::Rule(*index, layer), p, true)));
        }
    }
    for (setting, low, high) in &program.windows {
        for layer in 0..e.window_layers(*low) {
            found.extend(crossings(e, *setting, *low, *high, layer));
        }
    }
    for (index, need) in program.needs.iter().enumerate() {
        for layer in e.need_frames(need) {
            let grounded = e.grounded(need, layer);
            if grounded == Truth::True {
                continue;
            }
            let parts = ways(e, &need.clauses, layer);
            found.extend(parts.into_iter().map(|p| (Cause::Lack(index as u32, layer), p, grounded == Truth::False)));
        }
    }
    found
}

/// The pairs of bounds that may cross.
fn crossings(e: &Evaluation<'_>, setting: AttributeId, low: u16, high: u16, layer: usize) -> Vec<(Cause, Part, bool)> {
    let mut found: Vec<(Cause, Part, bool)> = Vec::new();
    let (lows, highs) = (bounds(e, low, layer), bounds(e, high, layer));
    for low in &lows {
        for high in &highs {
            let cause = Cause::Window { setting, layer, low: *low, high: *high, low_at: 0, high_at: 0 };
            let crosses = |e: &Evaluation<'_>| {
                cross(bound(e, setting, layer, *low, End::Low), bound(e, setting, layer, *high, End::High))
            };
            // Nothing is a bound against itself.
            if (low.is_none() && high.is_none()) || crosses(e) == Truth::False {
                continue;
            }
            let clauses = |by: &Option<(u32, usize)>| match by.and_then(|b| Some((e.program.instance(b.0)?, b.1))) {
                Some((instance, frame)) => ways(e, &instance.clauses, frame),
                None => vec![whole(e)],
            };
            for part in clauses(low).iter().flat_map(|a| clauses(high).into_iter().filter_map(|b| both(a, &b))) {
                for (part, truth) in by_choice(e.program, part, &choices_of(e, [low, high]), &crosses) {
                    found.push((cause, part, truth == Truth::True));
                }
            }
        }
    }
    // Of two crossings in one case, the first tells it.
    let mut kept: Vec<(Cause, Part, bool)> = Vec::new();
    for case in found {
        if !kept.iter().any(|k| k.2 && within(&case.1, &k.1)) {
            kept.push(case);
        }
    }
    kept
}

/// Who may end a window: rules, and the statement where there is one.
fn bounds(e: &Evaluation<'_>, node: u16, layer: usize) -> Vec<Option<(u32, usize)>> {
    let Some(own) = e.program.nodes.get(usize::from(node)) else { return Vec::new() };
    let mut found = vec![None];
    let firing = e.givers(own, layer).filter(|(_, i, frame)| e.fires(i, *frame) != Truth::False);
    found.extend(firing.map(|(index, _, frame)| Some((index, frame))));
    found
}

/// The open choices that bounds read, with the layer they are read at.
fn choices_of(e: &Evaluation<'_>, bounds: [&Option<(u32, usize)>; 2]) -> Vec<(Slot, usize)> {
    let mut found = Vec::new();
    for (index, frame) in bounds.into_iter().flatten() {
        if let Some(num) = e.program.instance(*index).and_then(|i| i.value.as_ref()) {
            open_choices(e, num, *frame, &mut found);
        }
    }
    found
}

fn open_choices(e: &Evaluation<'_>, num: &Num, layer: usize, found: &mut Vec<(Slot, usize)>) {
    match num {
        Num::Switch(slot, arms) => {
            let Some(Domain::Choice(possible)) = e.domain(*slot, layer) else { return };
            match possible.only() {
                Some(only) => arms.get(only).into_iter().for_each(|a| open_choices(e, a, layer, found)),
                None => found.push((*slot, layer)),
            }
        }
        Num::Schedule(_, a) | Num::Scale(a, _) => open_choices(e, a, layer, found),
        Num::Add(a, b) | Num::Subtract(a, b) | Num::Min(a, b) | Num::Max(a, b) => {
            open_choices(e, a, layer, found);
            open_choices(e, b, layer, found);
        }
        _ => {}
    }
}

/// A part by what the members of open choices make of something: those of which it holds, those of which it may.
fn by_choice(
    program: &Program,
    part: Part,
    choices: &[(Slot, usize)],
    truth: &dyn Fn(&Evaluation<'_>) -> Truth,
) -> Vec<(Part, Truth)> {
    let here = truth(&Evaluation::new(program, &part.set));
    let Some(((slot, layer), rest)) = choices.split_first() else {
        return if here == Truth::False { Vec::new() } else { vec![(part, here)] };
    };
    let Some(Domain::Choice(possible)) = part.set.domain(*slot, *layer).cloned() else {
        return by_choice(program, part, rest, truth);
    };
    if here != Truth::Open || possible.only().is_some() {
        return if here == Truth::False { Vec::new() } else { vec![(part, here)] };
    }
    let (mut holds, mut may) = (Mask::EMPTY, Mask::EMPTY);
    for member in possible.iter() {
        let Some(set) = narrowed(&part.set, *slot, *layer, Domain::Choice(Mask::one(member))) else { continue };
        match truth(&Evaluation::new(program, &set)) {
            Truth::True => holds.insert(member),
            Truth::Open => may.insert(member),
            Truth::False => {}
        }
    }
    let mut found = Vec::new();
    for (mask, sure) in [(holds, true), (may, false)] {
        if mask.is_empty() {
            continue;
        }
        let Some(part) = narrow(&part, *slot, *layer, Domain::Choice(mask)) else { continue };
        if sure {
            found.push((part, Truth::True));
        } else {
            found.extend(by_choice(program, part, rest, truth));
        }
    }
    found
}

fn whole(e: &Evaluation<'_>) -> Part {
    Part { set: e.job.clone(), narrowed: Vec::new(), open: Vec::new() }
}

fn narrowed(set: &JobSet, slot: Slot, layer: usize, domain: Domain) -> Option<JobSet> {
    let mut set = set.clone();
    let own = set.domain_mut(slot, layer)?;
    *own = own.and(&domain);
    (!own.is_empty()).then_some(set)
}

fn narrow(part: &Part, slot: Slot, layer: usize, domain: Domain) -> Option<Part> {
    let set = narrowed(&part.set, slot, layer, domain)?;
    let mut places = part.narrowed.clone();
    if set != part.set && !places.contains(&(slot, layer)) {
        places.push((slot, layer));
    }
    Some(Part { set, narrowed: places, open: part.open.clone() })
}

/// The part in which both hold; nothing where they exclude each other.
fn both(a: &Part, b: &Part) -> Option<Part> {
    let mut part = a.clone();
    for (slot, layer) in &b.narrowed {
        part = narrow(&part, *slot, *layer, b.set.domain(*slot, *layer)?.clone())?;
    }
    for open in &b.open {
        if part.open.contains(&(Literal { negated: !open.0.negated, ..open.0 }, open.1)) {
            return None;
        }
        if !part.open.contains(open) {
            part.open.push(*open);
        }
    }
    Some(part)
}

/// Whether one part lies in another, as far as their making shows.
fn within(a: &Part, b: &Part) -> bool {
    b.open.iter().all(|o| a.open.contains(o))
        && b.narrowed.iter().all(|(slot, layer)| match (a.set.domain(*slot, *layer), b.set.domain(*slot, *layer)) {
            (Some(a), Some(b)) => a.and(b) == *a,
            _ => false,
        })
}

/// The ways in which alternatives can hold, none of which lies in another.
pub fn ways(e: &Evaluation<'_>, clauses: &Clauses, layer: usize) -> Vec<Part> {
    least(clauses.iter().flat_map(|c| clause_ways(e, c, layer, DEPTH)).collect())
}

fn least(parts: Vec<Part>) -> Vec<Part> {
    let mut kept: Vec<Part> = Vec::new();
    for part in parts {
        if !kept.iter().any(|k| within(&part, k)) {
            kept.retain(|k| !within(k, &part));
            kept.push(part);
        }
    }
    kept
}

fn clause_ways(e: &Evaluation<'_>, clause: &[Literal], layer: usize, depth: u32) -> Vec<Part> {
    let mut parts = vec![whole(e)];
    for literal in clause {
        match e.literal(*literal, layer) {
            Truth::True => continue,
            Truth::False => return Vec::new(),
            Truth::Open => {}
        }
        let named = || vec![Part { open: vec![(*literal, layer)], ..whole(e) }];
        let mut more = literal_ways(e, *literal, layer, depth).unwrap_or_else(named);
        if more.len() * parts.len() > MOST_WAYS {
            more = named();
        }
        parts = parts.iter().flat_map(|a| more.iter().filter_map(|b| both(a, b))).collect();
    }
    parts
}

/// The ways in which an open literal can hold; none where its own words tell it best.
fn literal_ways(e: &Evaluation<'_>, literal: Literal, layer: usize, depth: u32) -> Option<Vec<Part>> {
    let depth = depth.checked_sub(1)?;
    let program = e.program;
    match program.tests.get(literal.test.index())? {
        Check::Derived(node, frame) if !literal.negated => {
            let own = program.nodes.get(usize::from(*node)).filter(|n| n.otherwise == 0)?;
            let parts = node_ways(e, own, *frame, layer, depth, |_| Truth::True)?;
            (!parts.is_empty()).then_some(parts)
        }
        Check::Switch(slot, arms) => {
            let Some(Domain::Choice(possible)) = e.domain(*slot, layer) else { return None };
            if let Some(only) = possible.only() {
                return Some(clause_ways(e, &[Literal { test: *arms.get(only)?, ..literal }], layer, depth));
            }
            let mut holds = Mask::EMPTY;
            let mut may: Vec<(Literal, Mask)> = Vec::new();
            for member in possible.iter() {
                let arm = Literal { test: *arms.get(member)?, ..literal };
                match (e.literal(arm, layer), may.iter_mut().find(|m| m.0 == arm)) {
                    (Truth::True, _) => holds.insert(member),
                    (Truth::Open, Some(known)) => known.1.insert(member),
                    (Truth::Open, None) => may.push((arm, Mask::one(member))),
                    (Truth::False, _) => {}
                }
            }
            let mut parts: Vec<Part> = narrow(&whole(e), *slot, layer, Domain::Choice(holds)).into_iter().collect();
            for (arm, mask) in may {
                let Some(part) = narrow(&whole(e), *slot, layer, Domain::Choice(mask)) else { continue };
                parts.extend(clause_ways(e, &[arm], layer, depth).iter().filter_map(|w| both(&part, w)));
            }
            Some(parts)
        }
        Check::Compare(a, op, b) => {
            let op = if literal.negated { op.opposite() } else { *op };
            greatest_ways(e, (a, op, b), layer, depth)
                .or_else(|| greatest_ways(e, (b, op.mirrored(), a), layer, depth))
                .or_else(|| {
                    let mut choices = Vec::new();
                    open_choices(e, a, layer, &mut choices);
                    open_choices(e, b, layer, &mut choices);
                    let (first, _) = choices.split_first()?;
                    let parts = by_choice(program, whole(e), &[*first], &|e| e.literal(literal, layer));
                    let named = |(mut part, truth): (Part, Truth)| {
                        if truth == Truth::Open {
                            part.open.push((literal, layer));
                        }
                        part
                    };
                    Some(parts.into_iter().map(named).collect())
                })
        }
        Check::Some(slot, arms) if !literal.negated => {
            let domain = e.domain(*slot, layer)?;
            let some = arms.iter().filter(|(m, c)| present(domain, *m) != Truth::False && !c.is_empty());
            let some: Vec<_> = some.filter(|(_, c)| e.clauses(c, layer) != Truth::False).collect();
            // Where presence alone decides, a list of names tells it best.
            if some.iter().all(|(_, c)| e.clauses(c, layer) == Truth::True) {
                return None;
            }
            let Domain::Set { may, .. } = domain else { return None };
            let mut parts = Vec::new();
            for (member, clauses) in some {
                let there = Domain::Set { must: Mask::one(*member), may: *may };
                let Some(part) = narrow(&whole(e), *slot, layer, there) else { continue };
                let ways = clauses.iter().flat_map(|c| clause_ways(e, c, layer, depth));
                parts.extend(ways.filter_map(|w| both(&part, &w)));
            }
            Some(parts)
        }
        _ => None,
    }
}

/// The ways in which the greatest (or least) of several contributions lies on one side of a known quantity.
fn greatest_ways(
    e: &Evaluation<'_>,
    (side, op, other): (&Num, Comparison, &Num),
    layer: usize,
    depth: u32,
) -> Option<Vec<Part>> {
    let Num::Node(node, frame) = side else { return None };
    let own = e.program.nodes.get(usize::from(*node)).filter(|n| n.end.is_none())?;
    let at = e.number(other, layer);
    let fits = matches!(
        (own.combine, op),
        (Combine::Max, Comparison::More | Comparison::AtLeast) | (Combine::Min, Comparison::Less | Comparison::AtMost)
    );
    if !fits || at.low != at.high || at.none != Truth::False || op.holds(own.otherwise, at.low) {
        return None;
    }
    node_ways(e, own, *frame, layer, depth, |value| match value {
        Some(v) if v.none == Truth::True => Truth::False,
        Some(v) if v.low == v.high && v.none == Truth::False => Truth::of(op.holds(v.low, at.low)),
        _ => Truth::Open,
    })
}

/// The ways in which a contribution of a derived value fires that counts; none where it is open whether one counts.
fn node_ways(
    e: &Evaluation<'_>,
    own: &Node,
    frame: Frame,
    layer: usize,
    depth: u32,
    counts: impl Fn(Option<Interval>) -> Truth,
) -> Option<Vec<Part>> {
    let layer = if frame == Frame::Below { layer.checked_sub(1)? } else { layer };
    let mut parts = Vec::new();
    for (_, instance, frame) in e.givers(own, layer) {
        if e.fires(instance, frame) == Truth::False {
            continue;
        }
        match counts(instance.value.as_ref().map(|v| e.number(v, frame))) {
            Truth::True => parts.extend(instance.clauses.iter().flat_map(|c| clause_ways(e, c, frame, depth))),
            Truth::Open => return None,
            Truth::False => {}
        }
    }
    Some(least(parts))
}
