//! A job as the set of jobs still possible: each attribute holds the values that nothing has ruled out.

use crate::model::{AssumedValue, AttributeType, Mask, Model, PropertyId, Value};
use crate::quantity::{LARGEST, LEAST, MOST};
use serde::{Deserialize, Serialize};

/// Where a value is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Slot {
    /// An attribute of the job.
    Root(u16),
    /// An attribute of the layer at hand.
    This(u16),
    /// An attribute of the layer below.
    Below(u16),
    /// A knowledge value that varies.
    Hidden(u16),
}

/// What is still possible of one attribute.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Domain {
    /// One of these members.
    Choice(Mask),
    /// Yes, no or either.
    YesNo {
        /// Yes is possible.
        yes: bool,
        /// No is possible.
        no: bool,
    },
    /// A quantity in this interval, ends included.
    Number {
        /// Lowest.
        low: i64,
        /// Highest.
        high: i64,
    },
    /// Amounts of members.
    Amounts(Amounts),
    /// A set that surely holds some and may hold others.
    Set {
        /// Surely in it.
        must: Mask,
        /// Possibly in it (the former included).
        may: Mask,
    },
}

/// An interval for each member's amount, for their total, and for sums of some of them.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Amounts {
    /// By ordinal.
    pub ranges: Vec<(i64, i64)>,
    /// What all amounts add up to, where that is fixed.
    pub total: Option<i64>,
    /// Sums of members.
    pub sums: Vec<(Mask, i64, i64)>,
}

/// The stated sums, and what they leave of the total to the other members.
fn constraints(
    members: usize,
    total: Option<i64>,
    sums: &[(Mask, i64, i64)],
) -> impl Iterator<Item = (Mask, i64, i64)> + '_ {
    let everyone = Mask::first(members);
    let left =
        total.into_iter().flat_map(move |t| sums.iter().map(move |&(m, a, b)| (everyone.without(m), t - b, t - a)));
    sums.iter().copied().chain(left).chain(total.map(|t| (everyone, t, t)))
}

/// The interval of a sum as the members' own intervals give it.
fn plain(ranges: &[(i64, i64)], mask: Mask) -> (i64, i64) {
    mask.iter().filter_map(|i| ranges.get(i)).fold((0, 0), |(l, h), &(a, b)| (l + a, h + b))
}

impl Amounts {
    /// The interval in which the sum of some members lies.
    pub fn sum(&self, mask: Mask) -> (i64, i64) {
        let (mut low, mut high) = (0, 0);
        let (mut rest_low, mut rest_high) = (0, 0);
        for (i, &(a, b)) in self.ranges.iter().enumerate() {
            if mask.has(i) {
                low += a;
                high += b;
            } else {
                rest_low += a;
                rest_high += b;
            }
        }
        if let Some(total) = self.total {
            low = low.max(total - rest_high);
            high = high.min(total - rest_low);
        }
        if self.sums.is_empty() {
            return (low.max(0), high);
        }
        for (m, a, b) in constraints(self.ranges.len(), self.total, &self.sums) {
            // What the stated sum leaves to members outside it, or takes from members inside.
            let (inside, outside) = (m.without(mask), mask.without(m));
            let (in_low, in_high) = plain(&self.ranges, inside);
            let (out_low, out_high) = plain(&self.ranges, outside);
            low = low.max(a - in_high + out_low);
            high = high.min(b - in_low + out_high);
        }
        (low.max(0), high)
    }

    /// Narrows every interval to what the others leave; false where nothing is left.
    pub fn propagate(&mut self) -> bool {
        for _ in 0..64 {
            let mut moved = false;
            for (mask, a, b) in constraints(self.ranges.len(), self.total, &self.sums) {
                let (low, high) = plain(&self.ranges, mask);
                if low > b || high < a {
                    return false;
                }
                for i in mask.iter() {
                    if let Some(r) = self.ranges.get_mut(i) {
                        let others = (low - r.0, high - r.1);
                        let narrowed = (r.0.max(a - others.1), r.1.min(b - others.0));
                        if narrowed.0 > narrowed.1 {
                            return false;
                        }
                        moved |= *r != narrowed;
                        *r = narrowed;
                    }
                }
                // Ranges moved: later constraints read them afresh, this one at the next round.
            }
            if self.ranges.iter().any(|r| r.0 > r.1) {
                return false;
            }
            if !moved {
                return true;
            }
        }
        true
    }

    /// The same with every part of a whole off by so much either way, none of them gone.
    pub fn loosened(&self, by: i64) -> Self {
        let Some(whole) = self.total else { return self.clone() };
        let loose = |&(low, high): &(i64, i64)| {
            let part = low == high && low > 0 && low < whole;
            if part { ((low - by).max(1), (high + by).min(whole)) } else { (low, high) }
        };
        Self { ranges: self.ranges.iter().map(loose).collect(), ..self.clone() }
    }

    /// Restricts the sum of some members; false where nothing is left.
    pub fn restrict(&mut self, mask: Mask, low: i64, high: i64) -> bool {
        match mask.only().and_then(|i| self.ranges.get_mut(i)) {
            Some(r) => {
                *r = (r.0.max(low), r.1.min(high));
                if r.0 > r.1 {
                    return false;
                }
            }
            None => match self.sums.iter_mut().find(|s| s.0 == mask) {
                Some(s) => {
                    *s = (mask, s.1.max(low), s.2.min(high));
                    if s.1 > s.2 {
                        return false;
                    }
                }
                None => self.sums.push((mask, low, high)),
            },
        }
        self.propagate()
    }

    /// One assignment, preferring the usual members; nothing if none was found.
    pub fn settle(&self, usual: &[i64]) -> Option<Vec<i64>> {
        let mut open = self.clone();
        if !open.propagate() {
            return None;
        }
        let order: Vec<usize> = usual
            .iter()
            .map(|u| *u as usize)
            .chain((0..self.ranges.len()).filter(|i| !usual.contains(&(*i as i64))))
            .filter(|i| *i < self.ranges.len())
            .collect();
        // What must be present is decided first and kept low; the usual members then fill the rest.
        let fills = self.total.is_some();
        let (present, others): (Vec<usize>, Vec<usize>) =
            order.iter().partition(|i| open.ranges.get(**i).is_some_and(|r| r.0 > 0));
        let first = present.iter().chain(others.iter()).copied().collect::<Vec<_>>();
        for i in if fills { first } else { order } {
            let (low, high) = *open.ranges.get(i)?;
            let value = if fills { high } else { low };
            let mut tried = open.clone();
            if let Some(r) = tried.ranges.get_mut(i) {
                *r = (value, value);
            }
            if !tried.propagate() {
                tried = open.clone();
                if let Some(r) = tried.ranges.get_mut(i) {
                    *r = (low, low);
                }
                if !tried.propagate() {
                    return None;
                }
            }
            open = tried;
        }
        let values: Vec<i64> = open.ranges.iter().map(|r| r.0).collect();
        let settled = open.ranges.iter().all(|r| r.0 == r.1)
            && self.total.is_none_or(|t| values.iter().sum::<i64>() == t)
            && self.sums.iter().all(|(m, a, b)| {
                let s: i64 = m.iter().filter_map(|i| values.get(i)).sum();
                (*a..=*b).contains(&s)
            });
        settled.then_some(values)
    }
}

impl Domain {
    /// Everything that an attribute of a type can be.
    pub fn everything(ty: AttributeType, model: &Model) -> Self {
        match ty {
            AttributeType::YesNo => Self::YesNo { yes: true, no: true },
            AttributeType::Choice(k) => Self::Choice(model.everyone(k)),
            AttributeType::Set(k) => Self::Set { must: Mask::EMPTY, may: model.everyone(k) },
            AttributeType::Quantity(d) => {
                let least = model.dim(d).and_then(|d| d.least.as_ref()).map_or(-LARGEST, |l| l.0);
                Self::Number { low: least, high: LARGEST }
            }
            AttributeType::Setting(_) => Self::Number { low: LEAST, high: MOST },
            AttributeType::Blend(k) => {
                let count = model.everyone(k).count();
                let whole = whole(model);
                Self::Amounts(Amounts { ranges: vec![(0, whole); count], total: Some(whole), sums: Vec::new() })
            }
            AttributeType::Amounts(k) => {
                let count = model.everyone(k).count();
                Self::Amounts(Amounts { ranges: vec![(0, whole(model)); count], total: None, sums: Vec::new() })
            }
        }
    }

    /// Whether it only says which members are absent, and nothing of the rest.
    pub fn only_rules_out(&self, ty: AttributeType, model: &Model) -> bool {
        matches!(self, Self::Set { must, may } if must.is_empty() && !may.is_empty())
            && *self != Self::everything(ty, model)
    }

    /// Nothing of a material: what nobody mentioned is not used.
    pub fn nothing(ty: AttributeType, model: &Model) -> Self {
        match ty {
            AttributeType::Set(_) => Self::Set { must: Mask::EMPTY, may: Mask::EMPTY },
            AttributeType::Amounts(k) => Self::Amounts(Amounts {
                ranges: vec![(0, 0); model.everyone(k).count()],
                total: None,
                sums: Vec::new(),
            }),
            _ => Self::everything(ty, model),
        }
    }

    /// What both allow.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        match (self, other) {
            (Self::Choice(a), Self::Choice(b)) => Self::Choice(a.and(*b)),
            (Self::YesNo { yes: a, no: b }, Self::YesNo { yes: c, no: d }) => {
                Self::YesNo { yes: *a && *c, no: *b && *d }
            }
            (Self::Number { low: a, high: b }, Self::Number { low: c, high: d }) => {
                Self::Number { low: *a.max(c), high: *b.min(d) }
            }
            (Self::Set { must: a, may: b }, Self::Set { must: c, may: d }) => {
                Self::Set { must: a.or(*c), may: b.and(*d) }
            }
            (Self::Amounts(a), Self::Amounts(b)) => {
                let ranges = a.ranges.iter().zip(&b.ranges).map(|(x, y)| (x.0.max(y.0), x.1.min(y.1))).collect();
                let mut sums = a.sums.clone();
                sums.extend(b.sums.iter().copied());
                let mut both = Amounts { ranges, total: a.total.or(b.total), sums };
                // An empty result keeps its crossed ranges and is seen as empty.
                both.propagate();
                Self::Amounts(both)
            }
            _ => self.clone(),
        }
    }

    /// Narrows what hangs together in it; false where nothing is left.
    pub fn propagate(&mut self) -> bool {
        match self {
            Self::Amounts(a) => a.propagate(),
            other => !other.is_empty(),
        }
    }

    /// Whether nothing is left.
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Choice(m) => m.is_empty(),
            Self::YesNo { yes, no } => !yes && !no,
            Self::Number { low, high } => low > high,
            Self::Set { must, may } => !must.within(*may),
            Self::Amounts(a) => a.ranges.iter().any(|r| r.0 > r.1) || !a.clone().propagate(),
        }
    }

    /// Whether exactly one value is left.
    pub fn is_single(&self) -> bool {
        match self {
            Self::Choice(m) => m.only().is_some(),
            Self::YesNo { yes, no } => yes != no,
            Self::Number { low, high } => low == high,
            Self::Set { must, may } => must == may,
            Self::Amounts(a) => a.ranges.iter().all(|r| r.0 == r.1),
        }
    }
}

impl AssumedValue {
    /// What it leaves possible.
    pub fn domain(&self) -> Domain {
        match self {
            Self::YesNo(b) => Domain::YesNo { yes: *b, no: !*b },
            Self::Choice(m) => Domain::Choice(Mask::one(*m)),
            Self::Set(m) => Domain::Set { must: *m, may: *m },
            Self::Quantity(q) => Domain::Number { low: *q, high: *q },
        }
    }
}

/// A whole blend, in steps.
pub fn whole(model: &Model) -> i64 {
    model
        .dimension("percent")
        .and_then(|d| model.dim(d))
        .and_then(|d| d.units.first())
        .map_or(100_000, |u| u.steps * 100)
}

/// The jobs still possible. Made by [`crate::statement`], narrowed by the reasoner.
#[derive(Debug, Clone, PartialEq)]
pub struct JobSet {
    /// Attributes of the whole job, by [`Layout`] slot.
    pub root: Vec<Domain>,
    /// Attributes of each layer, first layer on the cloth.
    pub layers: Vec<Vec<Domain>>,
    /// Knowledge values that vary from item to item, by the program's list.
    pub hidden: Vec<Domain>,
    /// What the job speaks of, with the layer (slots of a layer as seen from it).
    pub stated: Vec<(Slot, usize)>,
    /// Tests between two open quantities, decided without narrowing either.
    pub decided: Vec<(u32, u16, bool)>,
}

/// Where each attribute is kept in a [`JobSet`].
#[derive(Debug, Clone)]
pub struct Layout {
    /// By attribute: whether it is per layer, and its index there.
    pub slots: Vec<(bool, usize)>,
    /// Attributes of the job by slot.
    pub root: Vec<usize>,
    /// Attributes of a layer by slot.
    pub layer: Vec<usize>,
}

impl Layout {
    /// The layout of a model's attributes.
    pub fn of(model: &Model) -> Self {
        let mut layout = Self { slots: Vec::new(), root: Vec::new(), layer: Vec::new() };
        for (index, attribute) in model.attributes.iter().enumerate() {
            let list = if attribute.per_layer { &mut layout.layer } else { &mut layout.root };
            layout.slots.push((attribute.per_layer, list.len()));
            list.push(index);
        }
        layout
    }
}

/// What a property's value leaves possible, for values that are open; nothing for plain ones.
pub fn hidden_domain(value: &Value, property: PropertyId, model: &Model) -> Option<Domain> {
    let ty = model.properties.get(property.index())?.ty.of_attribute()?;
    match (value, ty) {
        (Value::Varies(low, high), AttributeType::Quantity(_)) => Some(Domain::Number { low: *low, high: *high }),
        (Value::Unknown, ty) => Some(Domain::everything(ty, model)),
        _ => None,
    }
}

impl JobSet {
    /// What is possible at a slot, seen from a layer.
    pub fn domain(&self, slot: Slot, layer: usize) -> Option<&Domain> {
        match slot {
            Slot::Root(i) => self.root.get(usize::from(i)),
            Slot::This(i) => self.layers.get(layer)?.get(usize::from(i)),
            Slot::Below(i) => self.layers.get(layer.checked_sub(1)?)?.get(usize::from(i)),
            Slot::Hidden(i) => self.hidden.get(usize::from(i)),
        }
    }

    /// Whether the job speaks of a slot.
    pub fn is_stated(&self, slot: Slot, layer: usize) -> bool {
        match slot {
            Slot::Root(_) => self.stated.contains(&(slot, 0)),
            Slot::This(_) => self.stated.contains(&(slot, layer)),
            Slot::Below(i) => layer.checked_sub(1).is_some_and(|l| self.stated.contains(&(Slot::This(i), l))),
            Slot::Hidden(_) => false,
        }
    }

    /// As [`JobSet::domain`], to narrow it.
    pub fn domain_mut(&mut self, slot: Slot, layer: usize) -> Option<&mut Domain> {
        match slot {
            Slot::Root(i) => self.root.get_mut(usize::from(i)),
            Slot::This(i) => self.layers.get_mut(layer)?.get_mut(usize::from(i)),
            Slot::Below(i) => self.layers.get_mut(layer.checked_sub(1)?)?.get_mut(usize::from(i)),
            Slot::Hidden(i) => self.hidden.get_mut(usize::from(i)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blend(ranges: &[(i64, i64)]) -> Amounts {
        Amounts { ranges: ranges.to_vec(), total: Some(100), sums: Vec::new() }
    }

    #[test]
    fn sums_use_the_total() {
        let a = blend(&[(60, 70), (0, 40), (0, 40)]);
        assert_eq!(a.sum(Mask::one(1).or(Mask::one(2))), (30, 40));
    }

    #[test]
    fn stated_sums_narrow_their_members() {
        let mut a = blend(&[(0, 100), (0, 100), (0, 100)]);
        assert!(a.restrict(Mask::one(0).or(Mask::one(1)), 90, 100));
        assert_eq!(a.sum(Mask::one(2)), (0, 10));
        assert!(!a.restrict(Mask::one(2), 20, 100));
    }

    #[test]
    fn settling_prefers_the_usual() {
        let mut a = blend(&[(0, 100), (0, 100), (5, 100)]);
        assert_eq!(a.settle(&[1]), Some(vec![0, 0, 100]));
        assert!(a.restrict(Mask::one(2), 5, 12));
        assert_eq!(a.settle(&[1]), Some(vec![0, 88, 12]));
        assert!(!blend(&[(0, 10), (0, 10)]).propagate());
    }
}
