//! What a job and the knowledge say, as ranges with their unit.

use super::Amount;
use crate::figures::known;
use crate::job::{Domain, JobSet};
use crate::model::{AttributeId, AttributeType, Basis, KindId, Mask, Value};
use crate::program::Program;
use crate::quantity::{DimensionId, LARGEST, three_figures};
use crate::reason::evaluate::{Evaluation, Truth};
use crate::reason::split::slot_of;
use crate::sums::Range;
use crate::sums::units::Unit;

pub(super) struct Facts<'a> {
    pub(super) program: &'a Program,
    job: &'a JobSet,
    asks: Vec<AttributeId>,
    basis: Basis,
}

impl<'a> Facts<'a> {
    pub(super) fn new(program: &'a Program, job: &'a JobSet) -> Self {
        Self { program, job, asks: Vec::new(), basis: Basis::CommonPractice }
    }

    /// What would have to be said, in the order in which it was looked for.
    pub(super) fn asks(self) -> Vec<AttributeId> {
        let mut asks = self.asks;
        asks.sort();
        asks
    }

    /// Forgets what the amounts so far rest on.
    pub(super) fn afresh(&mut self) {
        self.basis = Basis::CommonPractice;
    }

    pub(super) fn domain(&self, attribute: &str, layer: usize) -> Option<&'a Domain> {
        let id = self.program.model.attribute(attribute)?;
        self.job.domain(slot_of(self.program, id), layer)
    }

    /// A quantity of the job, where it is known between two ends.
    pub(super) fn known<T: Unit>(&self, attribute: &str, layer: usize, factor: f64) -> Option<Range<T>> {
        let id = self.program.model.attribute(attribute)?;
        let (AttributeType::Quantity(dimension) | AttributeType::Setting(dimension)) = id.of(&self.program.model)?.ty
        else {
            return None;
        };
        let Domain::Number { low, high } = self.domain(attribute, layer)? else { return None };
        self.range(dimension, (*low, *high), factor)
    }

    /// As [`Facts::known`]; what is not known is asked for.
    pub(super) fn need<T: Unit>(&mut self, attribute: &str, layer: usize, factor: f64) -> Option<Range<T>> {
        let found = self.known(attribute, layer, factor);
        if found.is_none() {
            self.asks.extend(self.program.model.attribute(attribute));
        }
        found
    }

    /// The lower end of a setting or quantity that may have no upper one.
    pub(super) fn least<T: Unit>(&self, attribute: &str, layer: usize, factor: f64) -> Option<T> {
        let id = self.program.model.attribute(attribute)?;
        let (AttributeType::Quantity(dimension) | AttributeType::Setting(dimension)) = id.of(&self.program.model)?.ty
        else {
            return None;
        };
        let Domain::Number { low, .. } = self.domain(attribute, layer)? else { return None };
        self.range(dimension, (*low, *low), factor).map(|r| r.low)
    }

    /// Whether a yes/no property of what a choice may still be is not surely no.
    pub(super) fn may(&self, choice: &str, property: &str, layer: usize) -> bool {
        !self.surely(choice, property, layer, &Value::YesNo(false))
    }

    /// Whether there is surely no such thing for what a choice may still be.
    pub(super) fn has_none(&self, choice: &str, property: &str, layer: usize) -> bool {
        self.surely(choice, property, layer, &Value::None)
    }

    fn surely(&self, choice: &str, property: &str, layer: usize, value: &Value) -> bool {
        let model = &self.program.model;
        let all = || {
            let Domain::Choice(possible) = self.domain(choice, layer)? else { return None };
            let AttributeType::Choice(kind) = model.attribute(choice)?.of(model)?.ty else { return None };
            let id = model.property(kind, property)?;
            let of = |m| Some(model.member(kind, m)?.facts.get(&id)?.value == *value);
            Some(possible.iter().all(|m| of(m) == Some(true)))
        };
        all() == Some(true)
    }

    /// A property of what a choice may still be: from the least to the greatest of all that is possible.
    pub(super) fn of_choice<T: Unit>(
        &mut self,
        choice: &str,
        property: &str,
        layer: usize,
        factor: f64,
    ) -> Option<Range<T>> {
        let Domain::Choice(possible) = self.domain(choice, layer)? else { return None };
        let AttributeType::Choice(kind) = self.program.model.attribute(choice)?.of(&self.program.model)?.ty else {
            return None;
        };
        self.of_members(kind, *possible, property, factor)
    }

    /// A property of some members: from the least to the greatest. `None` where one of them has none or nobody knows.
    pub(super) fn of_members<T: Unit>(
        &mut self,
        kind: KindId,
        members: Mask,
        property: &str,
        factor: f64,
    ) -> Option<Range<T>> {
        let model = &self.program.model;
        let mut all: Option<Range<T>> = None;
        for member in members.iter() {
            let (own, basis) = known(model, model.member(kind, member)?, property, factor)?;
            all = Some(all.map_or(own, |so_far| so_far.hull(own)));
            self.rest_on(basis);
        }
        all
    }

    /// What is derived of a layer, where a rule derives it.
    pub(super) fn derived<T: Unit>(&mut self, attribute: &str, layer: usize, factor: f64) -> Option<Range<T>> {
        let model = &self.program.model;
        let id = model.attribute(attribute)?;
        let AttributeType::Quantity(dimension) = id.of(model)?.ty else { return None };
        let node = self.program.nodes.iter().position(|n| n.attribute == id)?;
        let e = Evaluation::new(self.program, self.job);
        let rules = self.program.nodes.get(node)?.from.iter().filter_map(|i| self.program.instance(*i));
        let deriving: Vec<u16> = rules.filter(|i| e.fires(i, layer) != Truth::False).map(|i| i.rule).collect();
        let found = e.end(u16::try_from(node).ok()?, layer);
        let bases = deriving.iter().filter_map(|r| model.rules.get(usize::from(*r))).map(|r| r.origin.basis);
        let basis = bases.max()?;
        self.rest_on(basis);
        self.range(dimension, (found.low, found.high), factor)
    }

    /// Notes how well something is supported that the amounts from here on rest on.
    pub(super) fn rest_on(&mut self, basis: Basis) {
        self.basis = self.basis.max(basis);
    }

    fn range<T: Unit>(&self, dimension: DimensionId, (low, high): (i64, i64), factor: f64) -> Option<Range<T>> {
        let d = self.program.model.dim(dimension)?;
        let one = |steps: i64| T::made(d.reading(Some(steps).filter(|s| s.abs() < LARGEST)?, 0) * factor);
        Range::new(one(low)?, one(high)?)
    }

    /// An amount in a dimension of the knowledge, rounded to what it is known to.
    pub(super) fn amount<T: Unit>(
        &self,
        dimension: &str,
        range: Range<T>,
        (key, step, label): Called,
    ) -> Option<Amount> {
        let id = self.program.model.dimension(dimension)?;
        let unit = self.program.model.dim(id)?.units.first()?;
        let steps = |number: T| {
            // Times are whole already.
            let figure = if dimension == "time" { number.number() } else { three_figures(number.number()) };
            let steps = figure * unit.steps as f64;
            (steps.abs() < LARGEST as f64).then_some(steps.round() as i64)
        };
        Some(Amount {
            key,
            layer: None,
            step,
            label: label.to_owned(),
            thing: None,
            dimension: id,
            low: Some(steps(range.low)?),
            high: steps(range.high)?,
            suggested: None,
            how: String::new(),
            basis: self.basis,
        })
    }
}

/// How an amount is called: its key, the step of work that it belongs to, and its label.
pub(super) type Called = (&'static str, &'static str, &'static str);

impl Amount {
    /// Of a layer.
    pub(super) fn of(mut self, layer: usize) -> Self {
        self.layer = Some(layer);
        self
    }

    /// With how it comes about.
    pub(super) fn from(mut self, how: impl Into<String>) -> Self {
        self.how = how.into();
        self
    }

    /// To be planned with its upper end.
    pub(super) fn ready(mut self) -> Self {
        self.suggested = Some(self.high);
        self
    }
}
