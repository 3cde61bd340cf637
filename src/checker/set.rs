//! A set of jobs seen by the checker: plain three-valued evaluation of the model, written a second time on purpose.
//!
//! Nothing is compiled, kept or searched here. Truth is `Some(true)`, `Some(false)` or open (`None`).

use crate::condition::Comparison;
use crate::job::{Amounts, Domain};
use crate::model::{
    AttributeId, AttributeType, Bound, Combine, Effect, End, EntityId, Formula, Frame, KindId, Mask, Members, Model,
    Number, Per, Place, PropertyId, PropertyType, Role, Rule, Scope, Shape, TestKind, Value,
};
use crate::quantity::{LARGEST, LEAST, MOST};
use std::collections::{BTreeMap, BTreeSet};

/// An interval; `none` says whether there is no such quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    pub(super) low: i64,
    pub(super) high: i64,
    pub(super) none: Option<bool>,
}

impl Range {
    pub(super) fn of(low: i64, high: i64) -> Self {
        Self { low, high, none: Some(false) }
    }

    fn absent() -> Self {
        Self { low: MOST, high: LEAST, none: Some(true) }
    }

    fn hull(self, other: Self) -> Self {
        let none = if self.none == other.none { self.none } else { None };
        Self { low: self.low.min(other.low), high: self.high.max(other.high), none }
    }
}

/// Compares intervals: what holds of every pair, or of none.
pub(super) fn compare(a: Range, op: Comparison, b: Range) -> Option<bool> {
    if a.none == Some(true) || b.none == Some(true) {
        return Some(false);
    }
    let (always, never) = match op {
        Comparison::Less => (a.high < b.low, a.low >= b.high),
        Comparison::AtMost => (a.high <= b.low, a.low > b.high),
        Comparison::More => (a.low > b.high, a.high <= b.low),
        Comparison::AtLeast => (a.low >= b.high, a.high < b.low),
        Comparison::Equal | Comparison::Unequal => {
            let same = a.low == a.high && b.low == b.high && a.low == b.low;
            let apart = a.high < b.low || b.high < a.low;
            if op == Comparison::Equal { (same, apart) } else { (apart, same) }
        }
    };
    match (always, never, a.none.is_none() || b.none.is_none()) {
        (true, _, false) => Some(true),
        (_, true, _) => Some(false),
        _ => None,
    }
}

/// The jobs that are possible.
#[derive(Debug, Clone)]
pub(super) struct Set<'m> {
    pub(super) model: &'m Model,
    pub(super) layers: usize,
    pub(super) values: BTreeMap<(AttributeId, usize), Domain>,
    pub(super) facts: BTreeMap<(EntityId, PropertyId), Domain>,
    pub(super) stated: BTreeSet<(AttributeId, usize)>,
}

/// What a place may hold.
enum Thing {
    YesNo(Option<bool>),
    Choice(Mask),
    Set { must: Mask, may: Mask },
    Amounts(Amounts),
    Quantity(Range),
    Window(i64, i64),
    Schedule(Vec<(i64, i64)>),
    Nothing,
}

/// Where a condition is read.
#[derive(Debug, Clone)]
pub(super) struct At {
    pub(super) layer: usize,
    pub(super) elements: Vec<usize>,
}

fn all(truths: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    let mut open = false;
    for t in truths {
        match t {
            Some(false) => return Some(false),
            None => open = true,
            Some(true) => {}
        }
    }
    if open { None } else { Some(true) }
}

fn any(truths: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    all(truths.map(|t| t.map(|b| !b))).map(|b| !b)
}

/// How the tests of a condition combine, given what is known of each.
pub(super) fn kleene(shape: &Shape, known: &impl Fn(usize) -> Option<bool>) -> Option<bool> {
    match shape {
        Shape::Any(parts) => any(parts.iter().map(|p| kleene(p, known))),
        Shape::All(parts) => all(parts.iter().map(|p| kleene(p, known))),
        Shape::Not(part) => kleene(part, known).map(|b| !b),
        Shape::Test(i) => known(*i),
    }
}

impl<'m> Set<'m> {
    /// Everything that the vocabulary allows; materials that nobody mentions are absent.
    pub(super) fn everything(model: &'m Model, layers: usize) -> Self {
        let mut set = Self { model, layers, values: BTreeMap::new(), facts: BTreeMap::new(), stated: BTreeSet::new() };
        for (index, attribute) in model.attributes.iter().enumerate() {
            if attribute.role == Role::Derived {
                continue;
            }
            for layer in 0..if attribute.per_layer { layers } else { 1 } {
                let absent = attribute.role == Role::Chosen && attribute.material;
                set.values.insert((AttributeId(index as u16), layer), set.whole(attribute.ty, absent));
            }
        }
        set
    }

    /// All that a type allows, or nothing of it.
    pub(super) fn whole(&self, ty: AttributeType, absent: bool) -> Domain {
        let count = |k: KindId| self.model.kinds.get(k.index()).map_or(0, |k| k.members.len());
        let hundred = self.hundred();
        match ty {
            AttributeType::YesNo => Domain::YesNo { yes: true, no: true },
            AttributeType::Choice(k) => Domain::Choice(Mask::first(count(k))),
            AttributeType::Set(k) => {
                Domain::Set { must: Mask::EMPTY, may: Mask::first(if absent { 0 } else { count(k) }) }
            }
            AttributeType::Quantity(d) => {
                let least = self.model.dim(d).and_then(|d| d.least.as_ref()).map_or(-LARGEST, |l| l.0);
                Domain::Number { low: least, high: LARGEST }
            }
            AttributeType::Setting(_) => Domain::Number { low: LEAST, high: MOST },
            AttributeType::Blend(k) => Domain::Amounts(Amounts {
                ranges: vec![(0, hundred); count(k)],
                total: Some(hundred),
                sums: Vec::new(),
            }),
            AttributeType::Amounts(k) => {
                let most = if absent { 0 } else { hundred };
                Domain::Amounts(Amounts { ranges: vec![(0, most); count(k)], total: None, sums: Vec::new() })
            }
        }
    }

    fn hundred(&self) -> i64 {
        let percent = self.model.dimension("percent").and_then(|d| self.model.dim(d));
        percent.and_then(|d| d.units.first()).map_or(100_000, |u| u.steps * 100)
    }

    /// Layers at which a scope is looked at.
    pub(super) fn frames(&self, per: Per) -> std::ops::Range<usize> {
        match per {
            Per::Job => 0..1,
            Per::Layer => 0..self.layers,
            Per::Pair => 1..self.layers.max(1),
        }
    }

    /// The choices of entities that may be present, and whether they surely are.
    pub(super) fn elements(&self, scope: &Scope, layer: usize) -> Vec<(Vec<usize>, bool)> {
        let mut all = vec![(Vec::new(), true)];
        for bound in &scope.bounds {
            let present = self.present(bound, layer);
            all = all
                .iter()
                .flat_map(|(before, sure): &(Vec<usize>, bool)| {
                    present.iter().map(move |(m, here)| {
                        let mut longer = before.clone();
                        longer.push(*m);
                        (longer, *sure && *here)
                    })
                })
                .collect();
        }
        all
    }

    /// Members that may be present, and whether they surely are.
    fn present(&self, bound: &Bound, layer: usize) -> Vec<(usize, bool)> {
        match self.attribute(bound.attribute, bound.frame, layer) {
            Thing::Set { must, may } => may.iter().map(|m| (m, must.has(m))).collect(),
            Thing::Amounts(a) => {
                let sums = (0..a.ranges.len()).map(|m| (m, sum(&a, Mask::one(m))));
                sums.filter(|(_, s)| s.1 > 0).map(|(m, s)| (m, s.0 > 0)).collect()
            }
            _ => Vec::new(),
        }
    }

    /// How a rule stands at a layer for some entities, presence included.
    pub(super) fn rule(&self, rule: &Rule, layer: usize, elements: &[usize], sure: bool) -> Option<bool> {
        let at = At { layer, elements: elements.to_vec() };
        all([if sure { Some(true) } else { None }, self.formula(&rule.formula, &at)].into_iter())
    }

    /// A condition.
    pub(super) fn formula(&self, formula: &Formula, at: &At) -> Option<bool> {
        kleene(&formula.shape, &|i| formula.tests.get(i).and_then(|t| self.test(&t.kind, at)))
    }

    /// A test.
    pub(super) fn test(&self, kind: &TestKind, at: &At) -> Option<bool> {
        match kind {
            TestKind::Compare(a, op, b) => compare(self.number(a, at), *op, self.number(b, at)),
            TestKind::OneOf(place, mask) => same(self.things(place, at).into_iter().map(|t| match t {
                Thing::Choice(possible) => subset(possible, *mask),
                _ => Some(false),
            })),
            TestKind::Holds(place) => same(self.things(place, at).into_iter().map(|t| match t {
                Thing::YesNo(truth) => truth,
                _ => Some(false),
            })),
            TestKind::Has(place, members) => same(self.things(place, at).into_iter().map(|t| match t {
                Thing::Set { must, may } => {
                    let mask = mask_of(members, at);
                    if must.meets(mask) {
                        Some(true)
                    } else if may.meets(mask) {
                        None
                    } else {
                        Some(false)
                    }
                }
                Thing::Amounts(a) => {
                    let (low, high) = sum(&a, mask_of(members, at));
                    compare(Range::of(low, high), Comparison::More, Range::of(0, 0))
                }
                _ => Some(false),
            })),
            TestKind::InSet(choice, set) => {
                let mut truths = Vec::new();
                for c in self.things(choice, at) {
                    for s in self.things(set, at) {
                        truths.push(match (&c, s) {
                            (Thing::Choice(possible), Thing::Set { must, may }) => {
                                if possible.within(must) {
                                    Some(true)
                                } else if possible.meets(may) {
                                    None
                                } else {
                                    Some(false)
                                }
                            }
                            (Thing::Choice(possible), Thing::Amounts(a)) => same(possible.iter().map(|m| {
                                let (low, high) = sum(&a, Mask::one(m));
                                compare(Range::of(low, high), Comparison::More, Range::of(0, 0))
                            })),
                            _ => Some(false),
                        });
                    }
                }
                same(truths.into_iter())
            }
            TestKind::Some(some) => any(self.present(&some.bound, at.layer).into_iter().map(|(member, sure)| {
                let mut elements: Vec<usize> = at.elements.iter().take(some.outer).copied().collect();
                elements.push(member);
                let inner = self.formula(&some.formula, &At { layer: at.layer, elements });
                all([if sure { Some(true) } else { None }, inner].into_iter())
            })),
            TestKind::Stated(id, frame) => Some(self.stated.contains(&(*id, framed(*frame, at.layer)))),
        }
    }

    /// A quantity.
    pub(super) fn number(&self, number: &Number, at: &At) -> Range {
        let two = |a: &Number, b: &Number, f: &dyn Fn(i64, i64) -> i64| {
            let (a, b) = (self.number(a, at), self.number(b, at));
            if a.none == Some(true) || b.none == Some(true) {
                return Range::absent();
            }
            let ends = [f(a.low, b.low), f(a.low, b.high), f(a.high, b.low), f(a.high, b.high)];
            let low = ends.iter().copied().min().unwrap_or(LEAST).clamp(LEAST, MOST);
            let high = ends.iter().copied().max().unwrap_or(MOST).clamp(LEAST, MOST);
            let none = if a.none == Some(false) && b.none == Some(false) { Some(false) } else { None };
            Range { low, high, none }
        };
        match number {
            Number::Constant(v) => Range::of(*v, *v),
            Number::Of(place) => self.hull(place, at, |t| match t {
                Thing::Quantity(r) => r,
                _ => Range::absent(),
            }),
            Number::End(Place::Attribute(id, frame), end) => self.end(*id, framed(*frame, at.layer), *end),
            Number::End(place, end) => self.hull(place, at, |t| match (t, end) {
                (Thing::Window(low, _), End::Low) => Range::of(low, low),
                (Thing::Window(_, high), End::High) => Range::of(high, high),
                _ => Range::absent(),
            }),
            Number::Share(place, members) => self.share(place, mask_of(members, at), at),
            Number::Lookup(place, level) => {
                let level = self.number(level, at);
                self.hull(place, at, |t| match t {
                    Thing::Schedule(_) if level.none == Some(true) => Range::absent(),
                    Thing::Schedule(points) => {
                        let needs =
                            |l: i64| points.iter().filter(|p| p.0 <= l).map(|p| p.1).next_back().unwrap_or(MOST);
                        Range { low: needs(level.high), high: needs(level.low), none: level.none }
                    }
                    _ => Range::absent(),
                })
            }
            Number::Add(a, b) => match shares(number, at) {
                Some((place, mask)) => self.share(place, mask, at),
                None => two(a, b, &|x, y| unless_endless(x, y, x.saturating_add(y))),
            },
            Number::Subtract(a, b) => two(a, b, &|x, y| unless_endless(x, y.saturating_neg(), x.saturating_sub(y))),
            Number::Min(a, b) => two(a, b, &i64::min),
            Number::Max(a, b) => two(a, b, &i64::max),
            Number::Scale(a, by) => {
                let scaled = |x: i64| {
                    if x >= MOST || x <= LEAST {
                        return if (x > 0) == (*by > 0) { MOST } else { LEAST };
                    }
                    let product = i128::from(x) * i128::from(*by);
                    product.div_euclid(1000).clamp(i128::from(LEAST), i128::from(MOST)) as i64
                };
                let r = self.number(a, at);
                if r.none == Some(true) {
                    return Range::absent();
                }
                let (x, y) = (scaled(r.low), scaled(r.high));
                Range { low: x.min(y), high: x.max(y), none: r.none }
            }
        }
    }

    fn share(&self, place: &Place, mask: Mask, at: &At) -> Range {
        self.hull(place, at, |t| match t {
            Thing::Amounts(a) => {
                let (low, high) = sum(&a, mask);
                Range::of(low, high)
            }
            _ => Range::absent(),
        })
    }

    fn hull(&self, place: &Place, at: &At, read: impl Fn(Thing) -> Range) -> Range {
        self.things(place, at).into_iter().map(read).reduce(Range::hull).unwrap_or_else(Range::absent)
    }

    /// What a place may hold: one thing for each member that the choices before it allow.
    fn things(&self, place: &Place, at: &At) -> Vec<Thing> {
        match place {
            Place::Attribute(id, frame) => vec![self.attribute(*id, *frame, at.layer)],
            Place::Bound(i) => at.elements.get(*i).map(|m| Thing::Choice(Mask::one(*m))).into_iter().collect(),
            Place::First(frame) => vec![Thing::YesNo(Some(framed(*frame, at.layer) == 0))],
            Place::Last(frame) => vec![Thing::YesNo(Some(framed(*frame, at.layer) + 1 == self.layers))],
            Place::Property(inner, property) => {
                let mut all = Vec::new();
                for thing in self.things(inner, at) {
                    match thing {
                        Thing::Choice(possible) => all.extend(possible.iter().map(|m| self.property(m, *property))),
                        _ => all.push(Thing::Nothing),
                    }
                }
                all
            }
        }
    }

    fn attribute(&self, id: AttributeId, frame: Frame, layer: usize) -> Thing {
        let layer = framed(frame, layer);
        let Some(attribute) = self.model.attributes.get(id.index()) else { return Thing::Nothing };
        if attribute.role == Role::Derived {
            return self.derived(id, layer);
        }
        self.values.get(&(id, layer)).map_or(Thing::Nothing, thing)
    }

    fn property(&self, member: usize, property: PropertyId) -> Thing {
        let Some(declared) = self.model.properties.get(property.index()) else { return Thing::Nothing };
        let kind = self.model.kinds.get(declared.kind.index());
        let Some(entity) = kind.and_then(|k| k.members.get(member)).copied() else { return Thing::Nothing };
        match self.fact(entity, property) {
            Some(domain) => thing(&domain),
            None => {
                match self.model.entities.get(entity.index()).and_then(|e| e.facts.get(&property)).map(|f| &f.value) {
                    Some(Value::Quantity(q) | Value::Disputed { plan: q, .. }) => Thing::Quantity(Range::of(*q, *q)),
                    Some(Value::YesNo(b)) => Thing::YesNo(Some(*b)),
                    Some(Value::Choice(m)) => Thing::Choice(Mask::one(*m)),
                    Some(Value::Set(m)) => Thing::Set { must: *m, may: *m },
                    Some(Value::Window(low, high)) => Thing::Window(*low, *high),
                    Some(Value::Schedule(points)) => Thing::Schedule(points.clone()),
                    _ => Thing::Nothing,
                }
            }
        }
    }

    /// What a knowledge value leaves open; nothing for one that is settled.
    pub(super) fn fact(&self, entity: EntityId, property: PropertyId) -> Option<Domain> {
        if let Some(narrowed) = self.facts.get(&(entity, property)) {
            return Some(narrowed.clone());
        }
        let ty = self.model.properties.get(property.index())?.ty;
        let written = self.model.entities.get(entity.index())?.facts.get(&property).map(|f| &f.value);
        match (written, ty) {
            (Some(Value::Varies(low, high)), _) => Some(Domain::Number { low: *low, high: *high }),
            (None | Some(Value::Unknown), PropertyType::Quantity(d)) => {
                Some(self.whole(AttributeType::Quantity(d), false))
            }
            (None | Some(Value::Unknown), PropertyType::YesNo) => Some(self.whole(AttributeType::YesNo, false)),
            (None | Some(Value::Unknown), PropertyType::Choice(k)) => Some(self.whole(AttributeType::Choice(k), false)),
            (None | Some(Value::Unknown), PropertyType::Set(k)) => Some(self.whole(AttributeType::Set(k), false)),
            _ => None,
        }
    }

    /// Everything that derives an attribute or bounds an end, with how it stands and its value.
    fn contributions(&self, layer: usize, per_layer: bool, ours: impl Fn(&Effect) -> bool) -> Vec<(bool, Range)> {
        let mut found = Vec::new();
        for rule in self.model.rules.iter().filter(|r| ours(&r.effect)) {
            let frames = match rule.scope.per {
                Per::Job => 0..1,
                _ if per_layer => layer..layer + 1,
                per => self.frames(per),
            };
            for frame in frames {
                for (elements, sure) in self.elements(&rule.scope, frame) {
                    let truth = self.rule(rule, frame, &elements, sure);
                    if truth == Some(false) {
                        continue;
                    }
                    let at = At { layer: frame, elements };
                    let value = match &rule.effect {
                        Effect::Bound { value, .. } => self.number(value, &at),
                        Effect::Derive { value: Some(value), .. } => self.number(value, &at),
                        _ => Range::of(1, 1),
                    };
                    if value.none != Some(true) {
                        found.push((truth == Some(true) && value.none == Some(false), value));
                    }
                }
            }
        }
        found
    }

    fn derived(&self, id: AttributeId, layer: usize) -> Thing {
        let Some(attribute) = self.model.attributes.get(id.index()) else { return Thing::Nothing };
        let ours = |e: &Effect| matches!(e, Effect::Derive { attribute: a, .. } if *a == id);
        let found = self.contributions(layer, attribute.per_layer, ours);
        if attribute.ty == AttributeType::YesNo {
            let sure = attribute.otherwise == Some(1) || found.iter().any(|f| f.0);
            return Thing::YesNo(if sure {
                Some(true)
            } else if found.is_empty() {
                Some(false)
            } else {
                None
            });
        }
        let otherwise = attribute.otherwise.unwrap_or(0);
        let sure: Vec<Range> = found.iter().filter(|f| f.0).map(|f| f.1).collect();
        let every: Vec<Range> = found.iter().map(|f| f.1).collect();
        let lows = |list: &[Range]| list.iter().map(|r| r.low).collect::<Vec<i64>>();
        let highs = |list: &[Range]| list.iter().map(|r| r.high).collect::<Vec<i64>>();
        let (low, high) = match attribute.combine {
            Some(Combine::Min) => (lows(&every).into_iter().min(), highs(&sure).into_iter().min()),
            Some(Combine::Sum) => {
                let base = sure.iter().fold((0, 0), |s, r| (s.0 + r.low, s.1 + r.high));
                let open =
                    found.iter().filter(|f| !f.0).fold((0, 0), |s, f| (s.0 + f.1.low.min(0), s.1 + f.1.high.max(0)));
                let sums = (base.0 + open.0, base.1 + open.1);
                if sure.is_empty() {
                    (
                        lows(&every).into_iter().min().map(|l| l.min(sums.0)),
                        highs(&every).into_iter().max().map(|h| h.max(sums.1)),
                    )
                } else {
                    (Some(sums.0), Some(sums.1))
                }
            }
            _ => (lows(&sure).into_iter().max(), highs(&every).into_iter().max()),
        };
        // Where nothing surely contributes, perhaps nothing does.
        let (low, high) = if sure.is_empty() {
            let least = lows(&every).into_iter().chain([otherwise]).min().unwrap_or(otherwise);
            let most = highs(&every).into_iter().chain([otherwise]).max().unwrap_or(otherwise);
            (low.unwrap_or(least).min(least), high.unwrap_or(most).max(most))
        } else {
            (low.unwrap_or(LEAST), high.unwrap_or(MOST))
        };
        Thing::Quantity(Range::of(low, high))
    }

    /// Where an end of a setting's window lies.
    pub(super) fn end(&self, id: AttributeId, layer: usize, which: End) -> Range {
        let per_layer = self.model.attributes.get(id.index()).is_some_and(|a| a.per_layer);
        let stated = match (self.values.get(&(id, layer)), which) {
            (Some(Domain::Number { low, .. }), End::Low) => *low,
            (Some(Domain::Number { high, .. }), End::High) => *high,
            (_, End::Low) => LEAST,
            (_, End::High) => MOST,
        };
        let ours = |e: &Effect| matches!(e, Effect::Bound { setting, end, .. } if *setting == id && *end == which);
        let found = self.contributions(layer, per_layer, ours);
        let sure = found.iter().filter(|f| f.0).map(|f| f.1);
        match which {
            End::Low => Range::of(
                sure.map(|r| r.low).max().unwrap_or(stated).max(stated),
                found.iter().map(|f| f.1.high).max().unwrap_or(stated).max(stated),
            ),
            End::High => Range::of(
                found.iter().map(|f| f.1.low).min().unwrap_or(stated).min(stated),
                sure.map(|r| r.high).min().unwrap_or(stated).min(stated),
            ),
        }
    }
}

/// A sum of two, unless one of them has no end.
fn unless_endless(x: i64, y: i64, sum: i64) -> i64 {
    if x >= MOST || y >= MOST {
        MOST
    } else if x <= LEAST || y <= LEAST {
        LEAST
    } else {
        sum
    }
}

fn thing(domain: &Domain) -> Thing {
    match domain {
        Domain::Choice(m) => Thing::Choice(*m),
        Domain::YesNo { yes, no } => Thing::YesNo(match (yes, no) {
            (true, false) => Some(true),
            (false, true) => Some(false),
            _ => None,
        }),
        Domain::Number { low, high } => Thing::Quantity(Range::of(*low, *high)),
        Domain::Amounts(a) => Thing::Amounts(a.clone()),
        Domain::Set { must, may } => Thing::Set { must: *must, may: *may },
    }
}

fn same(mut truths: impl Iterator<Item = Option<bool>>) -> Option<bool> {
    let first = truths.next()??;
    truths.all(|t| t == Some(first)).then_some(first)
}

fn subset(possible: Mask, mask: Mask) -> Option<bool> {
    if possible.within(mask) {
        Some(true)
    } else if possible.meets(mask) {
        None
    } else {
        Some(false)
    }
}

fn framed(frame: Frame, layer: usize) -> usize {
    match frame {
        Frame::Job => 0,
        Frame::This => layer,
        Frame::Below => layer.saturating_sub(1),
    }
}

/// Members of one blend whose shares are added up, none of them twice: their sum is known more exactly than two sums.
fn shares<'n>(number: &'n Number, at: &At) -> Option<(&'n Place, Mask)> {
    match number {
        Number::Share(place, members) => Some((place, mask_of(members, at))),
        Number::Add(a, b) => {
            let ((one, a), (other, b)) = (shares(a, at)?, shares(b, at)?);
            (one == other && !a.meets(b)).then(|| (one, a.or(b)))
        }
        _ => None,
    }
}

fn mask_of(members: &Members, at: &At) -> Mask {
    match members {
        Members::Any(mask) => *mask,
        Members::Bound(i) => at.elements.get(*i).map_or(Mask::EMPTY, |m| Mask::one(*m)),
    }
}

/// Stated sums, the total, and what the sums leave of it to the others.
fn constraints(a: &Amounts) -> Vec<(Mask, i64, i64)> {
    let everyone = Mask::first(a.ranges.len());
    let mut all = a.sums.clone();
    if let Some(t) = a.total {
        let rest: Vec<(Mask, i64, i64)> =
            a.sums.iter().map(|(m, low, high)| (everyone.without(*m), t - high, t - low)).collect();
        all.extend(rest);
        all.push((everyone, t, t));
    }
    all
}

/// Each member's interval once the constraints have been heard; nothing where they leave none.
pub(super) fn heard(a: &Amounts) -> Option<Vec<(i64, i64)>> {
    let mut ranges = a.ranges.clone();
    for _ in 0..100 {
        let before = ranges.clone();
        for (mask, low, high) in constraints(a) {
            let total =
                |pick: fn(&(i64, i64)) -> i64| -> i64 { mask.iter().filter_map(|i| before.get(i)).map(pick).sum() };
            let (lows, highs) = (total(|r| r.0), total(|r| r.1));
            for i in mask.iter() {
                let (Some(own), Some(old)) = (ranges.get_mut(i), before.get(i)) else { continue };
                own.0 = own.0.max(low - (highs - old.1));
                own.1 = own.1.min(high - (lows - old.0));
            }
            if lows > high || highs < low {
                return None;
            }
        }
        if ranges.iter().any(|r| r.0 > r.1) {
            return None;
        }
        if ranges == before {
            break;
        }
    }
    Some(ranges)
}

/// The interval of a sum of members.
fn sum(a: &Amounts, mask: Mask) -> (i64, i64) {
    let ranges = heard(a).unwrap_or_else(|| a.ranges.clone());
    let total = |m: Mask| m.iter().filter_map(|i| ranges.get(i)).fold((0, 0), |s, r| (s.0 + r.0, s.1 + r.1));
    let (mut low, mut high) = total(mask);
    for (m, a, b) in constraints(a) {
        let (inside, outside) = (total(m.without(mask)), total(mask.without(m)));
        low = low.max(a - inside.1 + outside.0);
        high = high.min(b - inside.0 + outside.1);
    }
    (low.max(0), high)
}
