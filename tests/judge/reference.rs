//! A naive evaluator of one complete job: plain recursion over the checked model, nothing kept, nothing clever.
//!
//! It shares no evaluation with the reasoner: what a rule means is written here a second time.

use std::collections::{BTreeMap, BTreeSet};
use washfast::condition::Comparison;
use washfast::model::{
    AttributeId, Bound, Combine, Effect, End, EntityId, Formula, Frame, KindId, Members, Model, Number, Per, Place,
    PropertyId, Role, Rule, Scope, Shape, TestKind, Value,
};

/// A quantity, or an end that nothing limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Level {
    /// Below every quantity.
    Below,
    /// Steps.
    At(i64),
    /// Above every quantity.
    Above,
}

impl Level {
    fn map(self, f: impl Fn(i64) -> i64) -> Self {
        match self {
            Self::At(v) => Self::At(f(v)),
            end => end,
        }
    }

    fn turned(self) -> Self {
        match self {
            Self::Below => Self::Above,
            Self::At(v) => Self::At(-v),
            Self::Above => Self::Below,
        }
    }

    fn plus(self, other: Self) -> Self {
        match (self, other) {
            (Self::At(a), Self::At(b)) => Self::At(a + b),
            (Self::At(_), end) | (end, _) => end,
        }
    }
}

/// The one value of an attribute in a complete job.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Val {
    YesNo(bool),
    Choice(usize),
    /// By ordinal.
    Set(Vec<bool>),
    /// By ordinal.
    Amounts(Vec<i64>),
    Number(i64),
    /// What was stated of a setting.
    Window(Level, Level),
}

/// A complete job: nothing is open in it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Job {
    pub(crate) layers: usize,
    pub(crate) values: BTreeMap<(AttributeId, usize), Val>,
    /// What the job speaks of.
    pub(crate) stated: BTreeSet<(AttributeId, usize)>,
    /// The true values of what the knowledge leaves open.
    pub(crate) facts: BTreeMap<(EntityId, PropertyId), Value>,
}

/// A rule or aspect at a layer and for some entities.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Instance {
    /// Number of the rule or aspect.
    pub(crate) of: usize,
    pub(crate) layer: usize,
    pub(crate) elements: Vec<usize>,
}

/// What is to be said of a complete job.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Outcome {
    pub(crate) excluded: Vec<Instance>,
    pub(crate) refused: Vec<Instance>,
    /// Settings with no value left, by layer.
    pub(crate) crossed: Vec<(AttributeId, usize)>,
    pub(crate) lacking: Vec<Instance>,
    pub(crate) required: Vec<Instance>,
    pub(crate) noted: Vec<Instance>,
}

impl Outcome {
    pub(crate) fn is_possible(&self) -> bool {
        self.excluded.is_empty()
    }

    pub(crate) fn is_refused(&self) -> bool {
        !(self.refused.is_empty() && self.crossed.is_empty())
    }

    pub(crate) fn is_accepted(&self) -> bool {
        self.is_possible() && !self.is_refused() && self.lacking.is_empty()
    }
}

/// What a place holds.
enum Thing {
    YesNo(bool),
    Member(usize),
    Set(Vec<bool>),
    Amounts(Vec<i64>),
    Quantity(Level),
    Window(Level, Level),
    Schedule(Vec<(i64, i64)>),
}

/// A complete job under a model.
#[derive(Clone, Copy)]
pub(crate) struct Judge<'a> {
    pub(crate) model: &'a Model,
    pub(crate) job: &'a Job,
}

impl<'a> Judge<'a> {
    pub(crate) fn outcome(self) -> Outcome {
        let mut outcome = Outcome::default();
        for (number, rule) in self.model.rules.iter().enumerate() {
            let list = match &rule.effect {
                Effect::Exclude(_) => &mut outcome.excluded,
                Effect::Refuse(_) => &mut outcome.refused,
                Effect::Require(_) => &mut outcome.required,
                Effect::Note { .. } => &mut outcome.noted,
                _ => continue,
            };
            list.extend(self.firings(number, rule));
        }
        for (index, attribute) in self.model.attributes.iter().enumerate() {
            if !matches!(attribute.ty, washfast::model::AttributeType::Setting(_)) {
                continue;
            }
            let setting = AttributeId(index as u16);
            for layer in 0..if attribute.per_layer { self.job.layers } else { 1 } {
                let (low, high) = (self.end(setting, layer, End::Low), self.end(setting, layer, End::High));
                // What must lie above everything cannot be met, whatever the other end.
                if low > high || low == Level::Above {
                    outcome.crossed.push((setting, layer));
                }
            }
        }
        for (number, aspect) in self.model.aspects.iter().enumerate() {
            for at in self.places(&aspect.scope) {
                if self.at(&at).holds(&aspect.formula) && !self.grounded(number, &at) {
                    outcome.lacking.push(Instance { of: number, ..at });
                }
            }
        }
        outcome
    }

    /// The layers and present entities that a scope ranges over.
    fn places(self, scope: &Scope) -> Vec<Instance> {
        let layers = match scope.per {
            Per::Job => 0..1,
            Per::Layer => 0..self.job.layers,
            Per::Pair => 1..self.job.layers,
        };
        let mut all = Vec::new();
        for layer in layers {
            let mut choices: Vec<Vec<usize>> = vec![Vec::new()];
            for bound in &scope.bounds {
                let present = self.present(bound, layer);
                choices = choices
                    .iter()
                    .flat_map(|c| present.iter().map(move |p| c.iter().copied().chain([*p]).collect()))
                    .collect();
            }
            all.extend(choices.into_iter().map(|elements| Instance { of: 0, layer, elements }));
        }
        all
    }

    fn present(self, bound: &Bound, layer: usize) -> Vec<usize> {
        let at = At { judge: self, layer, elements: Vec::new() };
        match at.attribute(bound.attribute, bound.frame) {
            Some(Thing::Set(members)) => (0..members.len()).filter(|m| members[*m]).collect(),
            Some(Thing::Amounts(amounts)) => (0..amounts.len()).filter(|m| amounts[*m] > 0).collect(),
            _ => Vec::new(),
        }
    }

    pub(crate) fn at(self, instance: &Instance) -> At<'a> {
        At { judge: self, layer: instance.layer, elements: instance.elements.clone() }
    }

    pub(crate) fn firings(self, number: usize, rule: &Rule) -> Vec<Instance> {
        let all = self.places(&rule.scope).into_iter().map(|i| Instance { of: number, ..i });
        all.filter(|i| self.at(i).holds(&rule.formula)).collect()
    }

    /// Grounds: a support for the same layer (or the whole job) and the same entities, or fewer.
    fn grounded(self, aspect: usize, at: &Instance) -> bool {
        let scope = &self.model.aspects[aspect].scope;
        self.model.rules.iter().enumerate().any(|(number, rule)| {
            matches!(rule.effect, Effect::Support { aspect: a, .. } if a.index() == aspect)
                && self.firings(number, rule).iter().any(|f| {
                    (rule.scope.per == Per::Job || f.layer == at.layer)
                        && rule.scope.bounds.iter().zip(&f.elements).all(|(b, e)| {
                            scope.bounds.iter().zip(&at.elements).any(|(o, x)| {
                                (o.kind, o.attribute, o.frame) == (b.kind, b.attribute, b.frame) && x == e
                            })
                        })
                })
        })
    }

    /// Rules of one effect that bear on an attribute of a layer.
    fn contributions(self, layer: usize, per_layer: bool, wanted: impl Fn(&Effect) -> bool) -> Vec<Instance> {
        let rules = self.model.rules.iter().enumerate().filter(|(_, r)| wanted(&r.effect));
        rules
            .flat_map(|(number, rule)| {
                let firings = self.firings(number, rule);
                firings.into_iter().filter(move |f| !per_layer || rule.scope.per == Per::Job || f.layer == layer)
            })
            .collect()
    }

    fn derived(self, id: AttributeId, layer: usize) -> Option<Thing> {
        let attribute = &self.model.attributes[id.index()];
        let all = self.contributions(
            layer,
            attribute.per_layer,
            |e| matches!(e, Effect::Derive { attribute: a, .. } if *a == id),
        );
        if attribute.ty == washfast::model::AttributeType::YesNo {
            return Some(Thing::YesNo(!all.is_empty() || attribute.otherwise == Some(1)));
        }
        let values: Vec<Level> = all
            .iter()
            .filter_map(|i| match &self.model.rules[i.of].effect {
                Effect::Derive { value: Some(v), .. } => self.at(i).number(v),
                _ => None,
            })
            .collect();
        let combined = match attribute.combine {
            Some(Combine::Min) => values.iter().min().copied(),
            Some(Combine::Sum) => values.iter().copied().reduce(Level::plus),
            _ => values.iter().max().copied(),
        };
        Some(Thing::Quantity(combined.unwrap_or(Level::At(attribute.otherwise.unwrap_or(0)))))
    }

    /// The bounds that fire on an end, with where they lie.
    pub(crate) fn bounds(self, setting: AttributeId, layer: usize, wanted: End) -> Vec<(Instance, Level)> {
        let per_layer = self.model.attributes[setting.index()].per_layer;
        let ours = |e: &Effect| matches!(e, Effect::Bound { setting: s, end, .. } if *s == setting && *end == wanted);
        let firing = self.contributions(layer, per_layer, ours).into_iter();
        firing
            .filter_map(|i| match &self.model.rules[i.of].effect {
                Effect::Bound { value, .. } => self.at(&i).number(value).map(|v| (i, v)),
                _ => None,
            })
            .collect()
    }

    pub(crate) fn stated(self, setting: AttributeId, layer: usize, end: End) -> Level {
        match (self.job.values.get(&(setting, layer)), end) {
            (Some(Val::Window(low, _)), End::Low) => *low,
            (Some(Val::Window(_, high)), End::High) => *high,
            (_, End::Low) => Level::Below,
            (_, End::High) => Level::Above,
        }
    }

    /// An end of a setting's window: the strongest of what was stated and what fires.
    pub(crate) fn end(self, setting: AttributeId, layer: usize, end: End) -> Level {
        let stated = self.stated(setting, layer, end);
        let bounds = self.bounds(setting, layer, end);
        let all = bounds.iter().map(|b| b.1).chain([stated]);
        match end {
            End::Low => all.max().unwrap_or(stated),
            End::High => all.min().unwrap_or(stated),
        }
    }
}

/// A job seen from a layer, with the names bound there.
pub(crate) struct At<'a> {
    judge: Judge<'a>,
    layer: usize,
    elements: Vec<usize>,
}

impl At<'_> {
    pub(crate) fn holds(&self, formula: &Formula) -> bool {
        self.shape(&formula.shape, formula)
    }

    fn shape(&self, shape: &Shape, formula: &Formula) -> bool {
        match shape {
            Shape::Any(parts) => parts.iter().any(|p| self.shape(p, formula)),
            Shape::All(parts) => parts.iter().all(|p| self.shape(p, formula)),
            Shape::Not(part) => !self.shape(part, formula),
            Shape::Test(number) => self.test(&formula.tests[*number].kind),
        }
    }

    pub(crate) fn test(&self, kind: &TestKind) -> bool {
        match kind {
            TestKind::Compare(a, op, b) => match (self.number(a), self.number(b)) {
                (Some(a), Some(b)) => match op {
                    Comparison::Less => a < b,
                    Comparison::AtMost => a <= b,
                    Comparison::More => a > b,
                    Comparison::AtLeast => a >= b,
                    Comparison::Equal => a == b,
                    Comparison::Unequal => a != b,
                },
                _ => false,
            },
            TestKind::OneOf(place, mask) => matches!(self.place(place), Some(Thing::Member(m)) if mask.has(m)),
            TestKind::Holds(place) => matches!(self.place(place), Some(Thing::YesNo(true))),
            TestKind::Has(place, members) => self.amount(place, members).is_some_and(|a| a > 0),
            TestKind::InSet(choice, set) => match (self.place(choice), self.place(set)) {
                (Some(Thing::Member(m)), Some(Thing::Set(s))) => s[m],
                (Some(Thing::Member(m)), Some(Thing::Amounts(a))) => a[m] > 0,
                _ => false,
            },
            TestKind::Stated(id, frame) => self.judge.job.stated.contains(&(*id, self.framed(*frame))),
            TestKind::Some(some) => self.judge.present(&some.bound, self.layer).into_iter().any(|member| {
                let mut elements = self.elements[..some.outer].to_vec();
                elements.push(member);
                At { judge: self.judge, layer: self.layer, elements }.holds(&some.formula)
            }),
        }
    }

    /// How much there is of some members; in a set, how many of them.
    fn amount(&self, place: &Place, members: &Members) -> Option<i64> {
        let counts = |m: usize| match members {
            Members::Any(mask) => mask.has(m),
            Members::Bound(i) => self.elements[*i] == m,
        };
        match self.place(place)? {
            Thing::Set(s) => Some((0..s.len()).filter(|m| s[*m] && counts(*m)).count() as i64),
            Thing::Amounts(a) => Some((0..a.len()).filter(|m| counts(*m)).map(|m| a[m]).sum()),
            _ => None,
        }
    }

    /// A quantity; nothing where there is no such quantity.
    pub(crate) fn number(&self, number: &Number) -> Option<Level> {
        Some(match number {
            Number::Constant(v) => Level::At(*v),
            Number::Of(place) => match self.place(place)? {
                Thing::Quantity(q) => q,
                _ => return None,
            },
            Number::End(Place::Attribute(id, frame), end) => self.judge.end(*id, self.framed(*frame), *end),
            Number::End(place, end) => match (self.place(place)?, end) {
                (Thing::Window(low, _), End::Low) => low,
                (Thing::Window(_, high), End::High) => high,
                _ => return None,
            },
            Number::Share(place, members) => Level::At(self.amount(place, members)?),
            Number::Lookup(place, at) => {
                let Thing::Schedule(points) = self.place(place)? else { return None };
                let level = self.number(at)?;
                let reached = points.iter().rev().find(|p| Level::At(p.0) <= level);
                reached.map_or(Level::Above, |p| Level::At(p.1))
            }
            Number::Add(a, b) => self.number(a)?.plus(self.number(b)?),
            Number::Subtract(a, b) => self.number(a)?.plus(self.number(b)?.turned()),
            Number::Scale(a, by) => self.number(a)?.map(|v| (v * by).div_euclid(1000)),
            Number::Min(a, b) => self.number(a)?.min(self.number(b)?),
            Number::Max(a, b) => self.number(a)?.max(self.number(b)?),
        })
    }

    fn framed(&self, frame: Frame) -> usize {
        match frame {
            Frame::Job => 0,
            Frame::This => self.layer,
            Frame::Below => self.layer - 1,
        }
    }

    fn attribute(&self, id: AttributeId, frame: Frame) -> Option<Thing> {
        let layer = self.framed(frame);
        if self.judge.model.attributes[id.index()].role == Role::Derived {
            return self.judge.derived(id, layer);
        }
        Some(match self.judge.job.values.get(&(id, layer))? {
            Val::YesNo(b) => Thing::YesNo(*b),
            Val::Choice(m) => Thing::Member(*m),
            Val::Set(s) => Thing::Set(s.clone()),
            Val::Amounts(a) => Thing::Amounts(a.clone()),
            Val::Number(n) => Thing::Quantity(Level::At(*n)),
            Val::Window(..) => return None,
        })
    }

    fn place(&self, place: &Place) -> Option<Thing> {
        match place {
            Place::Attribute(id, frame) => self.attribute(*id, *frame),
            Place::Bound(i) => Some(Thing::Member(self.elements[*i])),
            Place::Property(inner, property) => match self.place(inner)? {
                Thing::Member(m) => self.property(m, *property),
                _ => None,
            },
            Place::First(frame) => Some(Thing::YesNo(self.framed(*frame) == 0)),
            Place::Last(frame) => Some(Thing::YesNo(self.framed(*frame) + 1 == self.judge.job.layers)),
        }
    }

    fn property(&self, member: usize, property: PropertyId) -> Option<Thing> {
        let model = self.judge.model;
        let kind = model.properties[property.index()].kind;
        let entity = model.kinds[kind.index()].members[member];
        let written = model.entities[entity.index()].facts.get(&property).map(|f| &f.value);
        let value = match self.judge.job.facts.get(&(entity, property)) {
            Some(fixed) => fixed,
            None => written?,
        };
        Some(match value {
            Value::Quantity(q) => Thing::Quantity(Level::At(*q)),
            Value::Disputed { plan, .. } => Thing::Quantity(Level::At(*plan)),
            Value::YesNo(b) => Thing::YesNo(*b),
            Value::Choice(m) => Thing::Member(*m),
            Value::Set(mask) => {
                let washfast::model::PropertyType::Set(of) = model.properties[property.index()].ty else { return None };
                Thing::Set((0..count(model, of)).map(|m| mask.has(m)).collect())
            }
            Value::Window(low, high) => Thing::Window(Level::At(*low), Level::At(*high)),
            Value::Schedule(points) => Thing::Schedule(points.clone()),
            Value::None | Value::Text(_) => return None,
            Value::Varies(..) | Value::Unknown => panic!("an open fact was left in a complete job"),
        })
    }
}

/// How many members a kind has.
pub(crate) fn count(model: &Model, kind: KindId) -> usize {
    model.kinds[kind.index()].members.len()
}
