//! What the program says of a set of jobs, in three truth values. Sound: what is true of the set is true of each
//! job in it.

use crate::condition::Comparison;
use crate::job::{Domain, JobSet};
use crate::model::{Combine, End, Frame, Mask, Per};
use crate::program::{Check, Clauses, Instance, Literal, Need, Node, Num, Program, Slot, TestId};
use crate::quantity::{LEAST, MOST, minus, plus, times};
use std::cell::RefCell;

/// True of every possible job, false of every one, or open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Truth {
    /// False of every possible job.
    False,
    /// Neither.
    Open,
    /// True of every possible job.
    True,
}

impl Truth {
    /// Of a plain truth.
    pub fn of(value: bool) -> Self {
        if value { Self::True } else { Self::False }
    }

    /// Both: the lesser.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.min(other)
    }

    /// Either: the greater.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        self.max(other)
    }

    /// The opposite.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Self::False => Self::True,
            Self::Open => Self::Open,
            Self::True => Self::False,
        }
    }
}

/// The interval in which a quantity lies, and whether there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Interval {
    /// Lowest.
    pub low: i64,
    /// Highest.
    pub high: i64,
    /// Whether there is no such quantity.
    pub none: Truth,
}

impl Interval {
    /// One value.
    pub fn point(value: i64) -> Self {
        Self { low: value, high: value, none: Truth::False }
    }

    /// No such quantity.
    pub const NONE: Self = Self { low: MOST, high: LEAST, none: Truth::True };

    fn span(low: i64, high: i64) -> Self {
        Self { low, high, none: Truth::False }
    }

    fn or(self, other: Self) -> Self {
        Self {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
            none: if self.none == other.none { self.none } else { Truth::Open },
        }
    }

    fn map2(self, other: Self, f: impl Fn(i64, i64) -> i64) -> Self {
        let none = self.none.or(other.none);
        if none == Truth::True {
            return Self::NONE;
        }
        let all = [f(self.low, other.low), f(self.low, other.high), f(self.high, other.low), f(self.high, other.high)];
        let low = all.iter().copied().min().unwrap_or(LEAST).clamp(LEAST, MOST);
        let high = all.iter().copied().max().unwrap_or(MOST).clamp(LEAST, MOST);
        Self { low, high, none }
    }

    /// Compares two intervals.
    pub fn compare(self, op: Comparison, other: Self) -> Truth {
        let none = self.none.or(other.none);
        if none == Truth::True {
            return Truth::False;
        }
        let plain = match op {
            Comparison::Less => Self::ordered(self.high < other.low, self.low >= other.high),
            Comparison::AtMost => Self::ordered(self.high <= other.low, self.low > other.high),
            Comparison::More => Self::ordered(self.low > other.high, self.high <= other.low),
            Comparison::AtLeast => Self::ordered(self.low >= other.high, self.high < other.low),
            Comparison::Equal => self.same(other),
            Comparison::Unequal => self.same(other).opposite(),
        };
        if none == Truth::Open { plain.min(Truth::Open) } else { plain }
    }

    fn ordered(surely: bool, never: bool) -> Truth {
        if surely {
            Truth::True
        } else if never {
            Truth::False
        } else {
            Truth::Open
        }
    }

    fn same(self, other: Self) -> Truth {
        let single = self.low == self.high && other.low == other.high;
        Self::ordered(single && self.low == other.low, self.high < other.low || self.low > other.high)
    }
}

/// A derived value.
#[derive(Debug, Clone, Copy)]
enum NodeValue {
    Truth(Truth),
    Interval(Interval),
}

/// The program evaluated over a set of jobs. Tests are computed when first asked for.
pub struct Evaluation<'a> {
    /// The program.
    pub program: &'a Program,
    /// The set.
    pub job: &'a JobSet,
    nodes: RefCell<Vec<Option<NodeValue>>>,
    cache: RefCell<Vec<u8>>,
}

const UNSEEN: u8 = 3;

impl<'a> Evaluation<'a> {
    /// Nothing is computed yet.
    pub fn new(program: &'a Program, job: &'a JobSet) -> Self {
        let layers = job.layers.len().max(1);
        Self {
            program,
            job,
            nodes: RefCell::new(vec![None; program.nodes.len() * layers]),
            cache: RefCell::new(vec![UNSEEN; program.tests.len() * layers]),
        }
    }

    fn node(&self, node: &Node, layer: usize) -> NodeValue {
        let fired = self.givers(node, layer).map(|(_, i, frame)| (i, frame));
        if node.yes_no {
            let truth = fired.fold(Truth::of(node.otherwise == 1), |t, (i, frame)| t.or(self.fires(i, frame)));
            return NodeValue::Truth(truth);
        }
        let mut sure: Vec<Interval> = Vec::new();
        let mut open: Vec<Interval> = Vec::new();
        for (instance, frame) in fired {
            let truth = self.fires(instance, frame);
            if truth == Truth::False {
                continue;
            }
            let Some(value) = instance.value.as_ref().map(|v| self.number(v, frame)) else {
                continue;
            };
            match (truth, value.none) {
                (_, Truth::True) => {}
                (Truth::True, Truth::False) => sure.push(value),
                _ => open.push(value),
            }
        }
        let interval = match node.end {
            Some(end) => {
                let (low, high) = match self.domain(node.slot, layer) {
                    Some(Domain::Number { low, high }) => (*low, *high),
                    _ => (LEAST, MOST),
                };
                let stated = if end == End::Low { low } else { high };
                combined(node.combine, Some(stated), &sure, &open, stated)
            }
            None => combined(node.combine, None, &sure, &open, node.otherwise),
        };
        NodeValue::Interval(interval)
    }

    /// The layers that a rule of this range is tried at.
    pub fn frames(&self, per: Per) -> std::ops::Range<usize> {
        match per {
            Per::Job => 0..1,
            Per::Layer => 0..self.job.layers.len(),
            Per::Pair => 1..self.job.layers.len().max(1),
        }
    }

    /// The layers at which an instance gives to a node at a layer. A value of the whole job gathers from every layer.
    pub fn gives_at(&self, instance: &Instance, node: &Node, layer: usize) -> std::ops::Range<usize> {
        match (self.program.per(instance), node.per_layer) {
            (Per::Job, _) => 0..1,
            (_, true) => layer..layer + 1,
            (per, false) => self.frames(per),
        }
    }

    /// What may give to a node at a layer: instances by number, and the layer of each.
    pub fn givers<'n>(&'n self, node: &'n Node, layer: usize) -> impl Iterator<Item = (u32, &'a Instance, usize)> + 'n {
        let own = node.from.iter().filter_map(|number| Some((*number, self.program.instance(*number)?)));
        own.flat_map(move |(number, i)| self.gives_at(i, node, layer).map(move |frame| (number, i, frame)))
    }

    /// What is possible at a slot.
    pub fn domain(&self, slot: Slot, layer: usize) -> Option<&'a Domain> {
        self.job.domain(slot, layer)
    }

    /// Whether an instance fires at a layer.
    pub fn fires(&self, instance: &Instance, layer: usize) -> Truth {
        self.clauses(&instance.clauses, layer)
    }

    /// Whether grounds are needed at a layer.
    pub fn needed(&self, need: &Need, layer: usize) -> Truth {
        self.clauses(&need.clauses, layer)
    }

    /// Whether grounds are there.
    pub fn grounded(&self, need: &Need, layer: usize) -> Truth {
        need.grounds.iter().filter_map(|g| self.program.instance(*g)).fold(Truth::False, |t, i| {
            let frame = if self.program.per(i) == Per::Job { 0 } else { layer };
            t.or(self.fires(i, frame))
        })
    }

    /// Alternatives of literals.
    pub fn clauses(&self, clauses: &Clauses, layer: usize) -> Truth {
        let mut any = Truth::False;
        for clause in clauses {
            any = any.or(self.clause(clause, layer));
            if any == Truth::True {
                break;
            }
        }
        any
    }

    /// Literals that must all hold.
    pub fn clause(&self, clause: &[Literal], layer: usize) -> Truth {
        let mut all = Truth::True;
        for literal in clause {
            all = all.and(self.literal(*literal, layer));
            if all == Truth::False {
                break;
            }
        }
        all
    }

    /// A literal.
    pub fn literal(&self, literal: Literal, layer: usize) -> Truth {
        let truth = self.test(literal.test, layer);
        if literal.negated { truth.opposite() } else { truth }
    }

    /// A test.
    pub fn test(&self, id: TestId, layer: usize) -> Truth {
        let layer_index = if self.program.layered.get(id.index()) == Some(&true) { layer } else { 0 };
        let at = layer_index * self.program.tests.len() + id.index();
        match self.cache.borrow().get(at) {
            Some(0) => return Truth::False,
            Some(1) => return Truth::Open,
            Some(2) => return Truth::True,
            _ => {}
        }
        let mut truth = match self.program.tests.get(id.index()) {
            Some(check) => self.check(check, layer),
            None => Truth::Open,
        };
        if truth == Truth::Open && !self.job.decided.is_empty() {
            let decided = self.job.decided.iter().find(|d| d.0 == id.0 && usize::from(d.1) == layer_index);
            truth = decided.map_or(truth, |d| Truth::of(d.2));
        }
        if let Some(seen) = self.cache.borrow_mut().get_mut(at) {
            *seen = truth as u8;
        }
        truth
    }

    fn check(&self, check: &Check, layer: usize) -> Truth {
        match check {
            Check::Constant(value) => Truth::of(*value),
            Check::OneOf(slot, mask) => match self.domain(*slot, layer) {
                Some(Domain::Choice(possible)) => within(*possible, *mask),
                _ => Truth::Open,
            },
            Check::Holds(slot) => match self.domain(*slot, layer) {
                Some(Domain::YesNo { yes, no }) => match (yes, no) {
                    (true, false) => Truth::True,
                    (false, true) => Truth::False,
                    _ => Truth::Open,
                },
                _ => Truth::Open,
            },
            Check::Derived(node, frame) => match self.node_value(*node, *frame, layer) {
                Some(NodeValue::Truth(t)) => t,
                _ => Truth::Open,
            },
            Check::First(frame) => Truth::of(below(*frame, layer) == 0),
            Check::Last(frame) => Truth::of(below(*frame, layer) + 1 == self.job.layers.len()),
            Check::Has(slot, mask) => match self.domain(*slot, layer) {
                Some(Domain::Set { must, may }) => {
                    if must.meets(*mask) {
                        Truth::True
                    } else if may.meets(*mask) {
                        Truth::Open
                    } else {
                        Truth::False
                    }
                }
                Some(Domain::Amounts(a)) => {
                    let (low, high) = a.sum(*mask);
                    Interval::span(low, high).compare(Comparison::More, Interval::point(0))
                }
                _ => Truth::Open,
            },
            Check::Among(choice, set) => {
                match (self.domain(*choice, layer), self.domain(*set, layer).and_then(members)) {
                    (Some(Domain::Choice(possible)), Some((must, may))) => {
                        if possible.within(must) {
                            Truth::True
                        } else if possible.meets(may) {
                            Truth::Open
                        } else {
                            Truth::False
                        }
                    }
                    _ => Truth::Open,
                }
            }
            Check::Switch(slot, arms) => match self.domain(*slot, layer) {
                Some(Domain::Choice(possible)) => {
                    let mut truths = possible.iter().filter_map(|m| arms.get(m)).map(|a| self.test(*a, layer));
                    let Some(first) = truths.next() else {
                        return Truth::Open;
                    };
                    if truths.all(|t| t == first) { first } else { Truth::Open }
                }
                _ => Truth::Open,
            },
            Check::Compare(a, op, b) => self.number(a, layer).compare(*op, self.number(b, layer)),
            Check::Stated(slot) => Truth::of(self.job.is_stated(*slot, layer)),
            Check::Some(slot, arms) => {
                let Some(domain) = self.domain(*slot, layer) else { return Truth::Open };
                arms.iter().fold(Truth::False, |t, (member, clauses)| match present(domain, *member) {
                    Truth::False => t,
                    there => t.or(there.and(self.clauses(clauses, layer))),
                })
            }
        }
    }

    fn node_value(&self, node: u16, frame: Frame, layer: usize) -> Option<NodeValue> {
        let own = self.program.nodes.get(usize::from(node))?;
        let index = if own.per_layer { below(frame, layer) } else { 0 };
        let at = index * self.program.nodes.len() + usize::from(node);
        if let Some(Some(known)) = self.nodes.borrow().get(at) {
            return Some(*known);
        }
        // Derivations form no cycle, so this ends.
        let value = self.node(own, index);
        if let Some(place) = self.nodes.borrow_mut().get_mut(at) {
            *place = Some(value);
        }
        Some(value)
    }

    /// A quantity.
    pub fn number(&self, num: &Num, layer: usize) -> Interval {
        match num {
            Num::Constant(v) => Interval::point(*v),
            Num::None => Interval::NONE,
            Num::Unknown => Interval::span(LEAST, MOST),
            Num::Slot(slot) => match self.domain(*slot, layer) {
                Some(Domain::Number { low, high }) => Interval::span(*low, *high),
                _ => Interval::span(LEAST, MOST),
            },
            Num::Node(node, frame) => match self.node_value(*node, *frame, layer) {
                Some(NodeValue::Interval(i)) => i,
                _ => Interval::span(LEAST, MOST),
            },
            Num::Amount(slot, mask) => match self.domain(*slot, layer) {
                Some(Domain::Amounts(a)) => {
                    let (low, high) = a.sum(*mask);
                    Interval::span(low, high)
                }
                _ => Interval::span(LEAST, MOST),
            },
            Num::Switch(slot, arms) => match self.domain(*slot, layer) {
                Some(Domain::Choice(possible)) => possible
                    .iter()
                    .filter_map(|m| arms.get(m))
                    .map(|a| self.number(a, layer))
                    .reduce(Interval::or)
                    .unwrap_or(Interval::span(LEAST, MOST)),
                _ => Interval::span(LEAST, MOST),
            },
            Num::Schedule(points, at) => {
                let at = self.number(at, layer);
                if at.none == Truth::True {
                    return Interval::NONE;
                }
                // Higher levels need less; below the first point nothing suffices.
                Interval { low: needed(points, at.high), high: needed(points, at.low), none: at.none }
            }
            Num::Add(a, b) => self.number(a, layer).map2(self.number(b, layer), plus),
            Num::Subtract(a, b) => self.number(a, layer).map2(self.number(b, layer), minus),
            Num::Scale(a, by) => self.number(a, layer).map2(Interval::point(0), |x, _| times(x, *by)),
            Num::Min(a, b) => self.number(a, layer).map2(self.number(b, layer), i64::min),
            Num::Max(a, b) => self.number(a, layer).map2(self.number(b, layer), i64::max),
        }
    }

    /// The end of a setting's window.
    pub fn end(&self, node: u16, layer: usize) -> Interval {
        match self.node_value(node, Frame::This, layer) {
            Some(NodeValue::Interval(i)) => i,
            _ => Interval::span(LEAST, MOST),
        }
    }

    /// Whether a setting's window has no value left.
    pub fn crossed(&self, low: u16, high: u16, layer: usize) -> Truth {
        super::rows::cross(self.end(low, layer), self.end(high, layer))
    }

    /// Layers at which a window is to be looked at.
    pub fn window_layers(&self, low: u16) -> usize {
        match self.program.nodes.get(usize::from(low)) {
            Some(node) if node.per_layer => self.job.layers.len(),
            _ => 1,
        }
    }

    /// Whether such jobs cannot exist.
    pub fn excluded(&self) -> Truth {
        self.any(&self.program.excludes)
    }

    /// Whether the job is refused: by a rule, or by a window with no value left.
    pub fn refused(&self) -> Truth {
        let mut truth = self.any(&self.program.refusals);
        for (_, low, high) in &self.program.windows {
            for layer in 0..self.window_layers(*low) {
                truth = truth.or(self.crossed(*low, *high, layer));
            }
        }
        truth
    }

    /// Whether every aspect that applies has grounds.
    pub fn all_grounded(&self) -> Truth {
        let mut truth = Truth::True;
        for need in &self.program.needs {
            for layer in self.need_frames(need) {
                let needed = self.needed(need, layer);
                if needed != Truth::False {
                    truth = truth.and(needed.opposite().or(self.grounded(need, layer)));
                }
            }
        }
        truth
    }

    /// Layers at which an aspect is to be looked at.
    pub fn need_frames(&self, need: &Need) -> std::ops::Range<usize> {
        let per = self.program.model.aspects.get(usize::from(need.aspect)).map_or(Per::Job, |a| a.scope.per);
        self.frames(per)
    }

    /// Whether something is required.
    pub fn conditional(&self) -> Truth {
        self.any(&self.program.requirements)
    }

    fn any(&self, instances: &[u32]) -> Truth {
        let mut truth = Truth::False;
        for instance in instances.iter().filter_map(|i| self.program.instance(*i)) {
            for layer in self.frames(self.program.per(instance)) {
                truth = truth.or(self.fires(instance, layer));
            }
            if truth == Truth::True {
                break;
            }
        }
        truth
    }
}

/// The members that are surely, and those that are possibly, in a set, blend or amounts.
pub fn members(domain: &Domain) -> Option<(Mask, Mask)> {
    match domain {
        Domain::Set { must, may } => Some((*must, *may)),
        Domain::Amounts(a) => {
            let (mut must, mut may) = (Mask::EMPTY, Mask::EMPTY);
            for (member, (low, high)) in a.ranges.iter().enumerate() {
                if *low > 0 {
                    must.insert(member);
                }
                if *high > 0 {
                    may.insert(member);
                }
            }
            Some((must, may))
        }
        _ => None,
    }
}

/// Whether a member is present in a set, blend or amounts.
pub fn present(domain: &Domain, member: usize) -> Truth {
    match domain {
        Domain::Set { must, .. } if must.has(member) => Truth::True,
        Domain::Set { may, .. } => {
            if may.has(member) {
                Truth::Open
            } else {
                Truth::False
            }
        }
        Domain::Amounts(a) => match a.ranges.get(member) {
            Some((low, _)) if *low > 0 => Truth::True,
            Some((_, high)) if *high > 0 => Truth::Open,
            _ => Truth::False,
        },
        _ => Truth::Open,
    }
}

fn within(possible: Mask, mask: Mask) -> Truth {
    if possible.within(mask) {
        Truth::True
    } else if possible.meets(mask) {
        Truth::Open
    } else {
        Truth::False
    }
}

fn below(frame: Frame, layer: usize) -> usize {
    if frame == Frame::Below { layer.saturating_sub(1) } else { layer }
}

fn needed(points: &[(i64, i64)], at: i64) -> i64 {
    points.iter().rev().find(|p| p.0 <= at).map_or(MOST, |p| p.1)
}

/// Combines what surely and what possibly contributes. `always` contributes in any case.
fn combined(how: Combine, always: Option<i64>, sure: &[Interval], open: &[Interval], otherwise: i64) -> Interval {
    let mut certain: Vec<Interval> = always.into_iter().map(Interval::point).collect();
    certain.extend(sure);
    if certain.is_empty() && open.is_empty() {
        return Interval::point(otherwise);
    }
    let lows = |list: &[Interval]| list.iter().map(|i| i.low).collect::<Vec<_>>();
    let highs = |list: &[Interval]| list.iter().map(|i| i.high).collect::<Vec<_>>();
    let max = |v: Vec<i64>| v.into_iter().max();
    let min = |v: Vec<i64>| v.into_iter().min();
    let (low, high) = match how {
        Combine::Max | Combine::Any => {
            (max(lows(&certain)), max(highs(&certain).into_iter().chain(highs(open)).collect()))
        }
        Combine::Min => (min(lows(&certain).into_iter().chain(lows(open)).collect()), min(highs(&certain))),
        Combine::Sum => {
            let base: (i64, i64) = certain.iter().fold((0, 0), |s, i| (s.0 + i.low, s.1 + i.high));
            let extra = open.iter().fold((0, 0), |s, i| (s.0 + i.low.min(0), s.1 + i.high.max(0)));
            let sums = (base.0 + extra.0, base.1 + extra.1);
            if certain.is_empty() {
                // Perhaps one contributes, perhaps none.
                (Some(sums.0.min(min(lows(open)).unwrap_or(0))), Some(sums.1.max(max(highs(open)).unwrap_or(0))))
            } else {
                (Some(sums.0), Some(sums.1))
            }
        }
    };
    let mut interval = Interval::span(low.unwrap_or(MOST), high.unwrap_or(LEAST));
    if certain.is_empty() {
        let none_fires = Interval::point(otherwise);
        interval = match how {
            // The lone contribution may be as low (or as high) as the least (greatest) of them.
            Combine::Max | Combine::Any => {
                Interval::span(min(lows(open)).unwrap_or(otherwise), interval.high).or(none_fires)
            }
            Combine::Min => Interval::span(interval.low, max(highs(open)).unwrap_or(otherwise)).or(none_fires),
            Combine::Sum => interval.or(none_fires),
        };
    }
    interval
}
