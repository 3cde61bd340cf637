//! Why an instance fires or a window ends: the tests that hold, the facts they read, the derivations behind those.

use super::decide::strongest;
use super::evaluate::{Evaluation, Interval, Truth};
use crate::model::{AttributeId, End, EntityId, Frame, Number, Place, PropertyId, Role, TestKind};
use crate::program::{Check, Instance, Literal};

/// Something that a test reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FactRead {
    /// An attribute of the job or of a layer.
    Attribute(AttributeId, usize),
    /// A derived attribute, or an end of a setting's window.
    Derived(AttributeId, Option<End>, usize),
    /// A value of the knowledge.
    Knowledge(EntityId, PropertyId),
}

/// A test of a rule, as it stands for a set of jobs.
#[derive(Debug, Clone, PartialEq)]
pub struct TestStep {
    /// Its number in the rule's condition.
    pub test: usize,
    /// The rule needs its opposite.
    pub negated: bool,
    /// How the test itself stands.
    pub truth: Truth,
    /// The quantities compared.
    pub sides: Option<(Interval, Interval)>,
    /// What it reads.
    pub reads: Vec<FactRead>,
}

/// A rule instance, as it stands for a set of jobs.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The instance.
    pub instance: u32,
    /// The layer it is seen at.
    pub layer: usize,
    /// Whether it fires.
    pub truth: Truth,
    /// The tests of the alternative that holds, or may.
    pub tests: Vec<TestStep>,
    /// What it bounds or derives.
    pub value: Option<Interval>,
    /// What its value reads.
    pub reads: Vec<FactRead>,
    /// The rules behind the derived values that it reads.
    pub because: Vec<Step>,
}

/// Explains an instance at a layer.
pub fn explain(e: &Evaluation<'_>, index: u32, layer: usize) -> Option<Step> {
    step(e, index, layer, 6)
}

fn step(e: &Evaluation<'_>, index: u32, layer: usize, depth: u32) -> Option<Step> {
    let instance = e.program.instance(index)?;
    let rule = e.program.model.rules.get(usize::from(instance.rule))?;
    let truth = e.fires(instance, layer);
    let clause = instance
        .clauses
        .iter()
        .find(|c| e.clause(c, layer) == Truth::True)
        .or_else(|| instance.clauses.iter().find(|c| e.clause(c, layer) == Truth::Open));
    let mut tests = Vec::new();
    for literal in clause.into_iter().flatten() {
        tests.extend(test_step(e, instance, *literal, layer));
    }
    let value = instance.value.as_ref().map(|v| e.number(v, layer));
    let mut reads = Vec::new();
    if let Some(number) = effect_value(&rule.effect) {
        number_reads(e, number, instance, layer, &mut reads);
    }
    let mut because: Vec<Step> = Vec::new();
    if depth > 0 {
        let all = tests.iter().flat_map(|t| &t.reads).chain(&reads);
        let mut derived: Vec<FactRead> = all.filter(|r| matches!(r, FactRead::Derived(..))).copied().collect();
        derived.sort();
        derived.dedup();
        for read in derived {
            for s in behind(e, read, depth - 1) {
                if !because.contains(&s) {
                    because.push(s);
                }
            }
        }
    }
    Some(Step { instance: index, layer, truth, tests, value, reads, because })
}

fn effect_value(effect: &crate::model::Effect) -> Option<&Number> {
    match effect {
        crate::model::Effect::Bound { value, .. } => Some(value),
        crate::model::Effect::Derive { value, .. } => value.as_ref(),
        _ => None,
    }
}

/// The rules behind a derived value: all that fire for an attribute, the one that decides for an end.
pub fn behind(e: &Evaluation<'_>, read: FactRead, depth: u32) -> Vec<Step> {
    let FactRead::Derived(id, end, layer) = read else { return Vec::new() };
    let Some(number) = e.program.nodes.iter().position(|n| n.attribute == id && n.end == end) else {
        return Vec::new();
    };
    let Some(node) = e.program.nodes.get(number) else { return Vec::new() };
    if let Some(end) = end {
        let (sure, _) = strongest(e, number as u16, layer, end, Truth::True);
        let by = sure.or_else(|| strongest(e, number as u16, layer, end, Truth::Open).0);
        return by.and_then(|(i, frame)| step(e, i, frame, depth)).into_iter().collect();
    }
    let firing = e.givers(node, layer).filter(|(_, i, frame)| e.fires(i, *frame) != Truth::False);
    firing.filter_map(|(index, _, frame)| step(e, index, frame, depth)).collect()
}

fn test_step(e: &Evaluation<'_>, instance: &Instance, literal: Literal, layer: usize) -> Option<TestStep> {
    let rule = e.program.model.rules.get(usize::from(instance.rule))?;
    let test = instance.tests.iter().position(|t| *t == literal.test)?;
    let kind = &rule.formula.tests.get(test)?.kind;
    let sides = match e.program.tests.get(literal.test.index()) {
        Some(Check::Compare(a, _, b)) => Some((e.number(a, layer), e.number(b, layer))),
        _ => None,
    };
    let mut reads = Vec::new();
    kind_reads(e, kind, instance, layer, &mut reads);
    Some(TestStep { test, negated: literal.negated, truth: e.test(literal.test, layer), sides, reads })
}

fn kind_reads(e: &Evaluation<'_>, kind: &TestKind, instance: &Instance, layer: usize, reads: &mut Vec<FactRead>) {
    match kind {
        TestKind::Compare(a, _, b) => {
            number_reads(e, a, instance, layer, reads);
            number_reads(e, b, instance, layer, reads);
        }
        TestKind::OneOf(p, _) | TestKind::Holds(p) | TestKind::Has(p, _) => {
            place_reads(e, p, instance, layer, reads);
        }
        TestKind::InSet(a, b) => {
            place_reads(e, a, instance, layer, reads);
            place_reads(e, b, instance, layer, reads);
        }
        TestKind::Stated(id, frame) => reads.push(FactRead::Attribute(*id, layer_of(*frame, layer))),
        TestKind::Some(some) => {
            reads.push(FactRead::Attribute(some.bound.attribute, layer_of(some.bound.frame, layer)));
            for test in &some.formula.tests {
                kind_reads(e, &test.kind, instance, layer, reads);
            }
        }
    }
    reads.sort();
    reads.dedup();
}

fn layer_of(frame: Frame, layer: usize) -> usize {
    match frame {
        Frame::Job => 0,
        Frame::This => layer,
        Frame::Below => layer.saturating_sub(1),
    }
}

fn number_reads(e: &Evaluation<'_>, number: &Number, instance: &Instance, layer: usize, reads: &mut Vec<FactRead>) {
    match number {
        Number::Constant(_) => {}
        Number::Of(p) | Number::Share(p, _) => {
            place_reads(e, p, instance, layer, reads);
        }
        Number::End(Place::Attribute(id, frame), end) => {
            reads.push(FactRead::Derived(*id, Some(*end), layer_of(*frame, layer)));
        }
        Number::End(p, _) => {
            place_reads(e, p, instance, layer, reads);
        }
        Number::Lookup(p, at) => {
            place_reads(e, p, instance, layer, reads);
            number_reads(e, at, instance, layer, reads);
        }
        Number::Add(a, b) | Number::Subtract(a, b) | Number::Min(a, b) | Number::Max(a, b) => {
            number_reads(e, a, instance, layer, reads);
            number_reads(e, b, instance, layer, reads);
        }
        Number::Scale(a, _) => number_reads(e, a, instance, layer, reads),
    }
}

/// Notes what a place reads, and gives the member that it stands for where there is just one.
fn place_reads(
    e: &Evaluation<'_>,
    place: &Place,
    instance: &Instance,
    layer: usize,
    reads: &mut Vec<FactRead>,
) -> Option<usize> {
    let model = &e.program.model;
    match place {
        Place::Attribute(id, frame) => {
            let at = layer_of(*frame, layer);
            let derived = id.of(model).is_some_and(|a| a.role == Role::Derived);
            reads.push(if derived { FactRead::Derived(*id, None, at) } else { FactRead::Attribute(*id, at) });
            match e.job.domain(super::split::slot_of(e.program, *id), at) {
                Some(crate::job::Domain::Choice(m)) => m.only(),
                _ => None,
            }
        }
        Place::Bound(i) => instance.elements.get(*i).copied(),
        Place::Property(inner, property) => {
            let member = place_reads(e, inner, instance, layer, reads)?;
            let kind = model.properties.get(property.index())?.kind;
            let entity = *model.kinds.get(kind.index())?.members.get(member)?;
            reads.push(FactRead::Knowledge(entity, *property));
            match &model.entities.get(entity.index())?.facts.get(property)?.value {
                crate::model::Value::Choice(m) => Some(*m),
                _ => None,
            }
        }
        Place::First(_) | Place::Last(_) => None,
    }
}
