//! Single changes of a job: what can be changed, how the job is then described, and how a change is told.

use super::words::{Units, filled};
use crate::job::{Amounts, Domain, whole};
use crate::model::{Attribute, AttributeId, AttributeType, EntityId, KindId, Mask, Model, PropertyId, Role, Value};
use crate::program::Program;
use crate::quantity::{LEAST, MOST};
use crate::reason::decide::Decision;
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::statement::{Stated, Statement};

/// One change. Layers are counted from the top, so that one laid below moves none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Move {
    /// What is done.
    pub(super) act: Act,
    /// Of which attribute.
    pub(super) attribute: AttributeId,
    /// Of which layer, 0 on top.
    pub(super) from_top: usize,
}

/// What a change does, that of the least effort first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Act {
    /// A setting that was given is left open.
    Open,
    /// A member is left out.
    Leave(usize),
    /// A member is added at its usual amount.
    Add(usize),
    /// A member is there as well.
    Have(usize),
    /// A member is there instead of those named.
    HaveOnly(usize),
    /// A layer of this lies below all others.
    Below(usize),
    /// Another member takes the place.
    Take(usize),
    /// Nothing but this member.
    Pure(usize),
    /// The opposite.
    Turn,
}

impl Move {
    /// Whether both are of one place, so that the second would undo the first.
    pub(super) fn undoes(&self, other: &Self) -> bool {
        let same_place = self.attribute == other.attribute && self.from_top == other.from_top;
        // Members and layers stand beside each other, each once.
        let beside = match (self.act, other.act) {
            (Act::Add(a) | Act::Leave(a), Act::Add(b) | Act::Leave(b)) => a != b,
            (Act::Below(_), Act::Below(_)) => false,
            (a, b) => matches!(a, Act::Below(_)) || matches!(b, Act::Below(_)),
        };
        same_place && !beside
    }

    /// Whether another material takes the place of the one on top.
    pub(super) fn changes_ink(&self, program: &Program) -> bool {
        matches!(self.act, Act::Take(_))
            && self.attribute.of(&program.model).is_some_and(|a| a.material && a.role == Role::Chosen)
    }

    /// Whether it takes something that is not among the usual.
    pub(super) fn is_seldom(&self, program: &Program) -> bool {
        let (Act::Take(m) | Act::Below(m) | Act::Pure(m)) = self.act else { return false };
        let usual = self.attribute.of(&program.model).map(|a| a.usual.as_slice()).unwrap_or_default();
        !usual.is_empty() && !usual.iter().any(|u| usize::try_from(*u) == Ok(m))
    }

    /// What would be said of the job then; nothing where the change changes nothing.
    pub(super) fn applied(&self, program: &Program, stated: &Stated) -> Option<Stated> {
        let layer = stated.layers.saturating_sub(self.from_top + 1);
        let attribute = self.attribute.of(&program.model)?;
        let changed = match self.act {
            Act::Open => without(stated, |s| s.attribute == self.attribute),
            Act::Leave(m) => left_out(program, stated, self.attribute, m, layer)?,
            Act::Add(m) => added(program, stated, self.attribute, m, layer)?,
            Act::Have(m) => having(stated, self.attribute, m, false)?,
            Act::HaveOnly(m) => having(stated, self.attribute, m, true)?,
            Act::Below(m) => below(program, stated, self.attribute, m)?,
            Act::Take(m) => replaced(stated, self.attribute, layer, Domain::Choice(Mask::one(m)), self.name(program)?)?,
            Act::Pure(m) => {
                let AttributeType::Blend(kind) = attribute.ty else { return None };
                replaced(stated, self.attribute, layer, pure_blend(&program.model, kind, m), self.name(program)?)?
            }
            Act::Turn => {
                let own = stated.statements.iter().find(|s| s.attribute == self.attribute && s.layer == layer)?;
                let Domain::YesNo { yes, no } = own.domain else { return None };
                replaced(stated, self.attribute, layer, Domain::YesNo { yes: no, no: yes }, String::new())?
            }
        };
        Some(changed)
    }

    /// The thing that it names.
    pub(super) fn name(&self, program: &Program) -> Option<String> {
        let kind = self.attribute.of(&program.model)?.ty.members()?;
        let member = match self.act {
            Act::Open | Act::Turn => return None,
            Act::Leave(m)
            | Act::Add(m)
            | Act::Have(m)
            | Act::HaveOnly(m)
            | Act::Below(m)
            | Act::Take(m)
            | Act::Pure(m) => m,
        };
        Some(program.model.member(kind, member)?.name.clone())
    }

    /// In words, given what is decided of the job then; nothing where there is nothing to tell.
    pub(super) fn words(&self, program: &Program, units: &Units, decision: &Decision) -> Option<String> {
        let attribute = self.attribute.of(&program.model)?;
        let told = &attribute.told;
        let name = self.name(program).unwrap_or_default();
        let words = match self.act {
            Act::Open => return window(program, units, decision, self.attribute),
            Act::Leave(_) => filled(told.without.as_ref(), attribute, &name),
            Act::Add(m) => {
                let AttributeType::Amounts(kind) = attribute.ty else { return None };
                let (low, high) = usual(program, kind, m, attribute.unstated?);
                let percent = program.model.dimension("percent")?;
                let dose = Units::default().write(&program.model, Interval { low, high, none: Truth::False }, percent);
                filled(told.add.as_ref(), attribute, &format!("{dose} {name}"))
            }
            Act::Below(_) => filled(told.below.as_ref(), attribute, &name),
            Act::Have(_) | Act::HaveOnly(_) | Act::Take(_) | Act::Pure(_) => {
                filled(told.instead.as_ref(), attribute, &name)
            }
            Act::Turn => {
                let slot = crate::reason::split::slot_of(program, self.attribute);
                let yes = matches!(decision.job.domain(slot, 0), Some(Domain::YesNo { yes: true, .. }));
                let list = if yes { &attribute.words.0 } else { &attribute.words.1 };
                filled(told.instead.as_ref(), attribute, list.first()?)
            }
        };
        Some(words)
    }
}

/// Whose changes are looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Whose {
    /// The shop's: materials, settings, machines, layers.
    Shop,
    /// The customer's: what was said of the order.
    Customer,
}

/// Every change that somebody can make of a job as it is described.
pub(super) fn moves(program: &Program, stated: &Stated, whose: Whose) -> Vec<Move> {
    let mut all = Vec::new();
    for (index, attribute) in program.model.attributes.iter().enumerate() {
        let id = AttributeId(index as u16);
        match (whose, attribute.role) {
            (Whose::Shop, Role::Chosen | Role::Capability) => of_shop(program, stated, id, attribute, &mut all),
            (Whose::Customer, Role::Given) => of_customer(program, stated, id, attribute, &mut all),
            _ => {}
        }
    }
    all.sort();
    all
}

fn of_shop(program: &Program, stated: &Stated, id: AttributeId, attribute: &Attribute, all: &mut Vec<Move>) {
    let said = stated.statements.iter().any(|s| s.attribute == id);
    let mut add = |act: Act, from_top: usize| all.push(Move { act, attribute: id, from_top });
    match attribute.ty {
        AttributeType::Setting(_) if said => add(Act::Open, 0),
        AttributeType::Set(kind) if said && attribute.role == Role::Capability => {
            program.model.everyone(kind).iter().for_each(|m| {
                add(Act::Have(m), 0);
                add(Act::HaveOnly(m), 0);
            });
        }
        AttributeType::Amounts(kind) if attribute.material => {
            for m in program.model.everyone(kind).iter() {
                add(Act::Add(m), 0);
                (0..stated.layers).for_each(|l| add(Act::Leave(m), l));
            }
        }
        AttributeType::Choice(kind) if attribute.material && attribute.per_layer => {
            for m in program.model.everyone(kind).iter() {
                add(Act::Below(m), 0);
                add(Act::Take(m), 0);
            }
        }
        _ => {}
    }
}

/// What was said of the order, taken back or said otherwise.
fn of_customer(program: &Program, stated: &Stated, id: AttributeId, attribute: &Attribute, all: &mut Vec<Move>) {
    for own in stated.statements.iter().filter(|s| s.attribute == id) {
        let from_top = if attribute.per_layer { stated.layers.saturating_sub(own.layer + 1) } else { 0 };
        let mut add = |act: Act| all.push(Move { act, attribute: id, from_top });
        match (attribute.ty, &own.domain) {
            (AttributeType::Choice(kind), _) => likely(program, attribute, kind).for_each(|m| add(Act::Take(m))),
            (AttributeType::Blend(kind), _) => likely(program, attribute, kind).for_each(|m| add(Act::Pure(m))),
            (AttributeType::Set(_), Domain::Set { must, .. }) => must.iter().for_each(|m| add(Act::Leave(m))),
            (AttributeType::YesNo, _) => add(Act::Turn),
            _ => {}
        }
    }
}

/// The members that are usual; all of them where none is said to be.
fn likely(program: &Program, attribute: &Attribute, kind: KindId) -> impl Iterator<Item = usize> {
    let usual: Vec<usize> = attribute.usual.iter().filter_map(|u| usize::try_from(*u).ok()).collect();
    let everyone = program.model.everyone(kind);
    everyone.iter().filter(move |m| usual.is_empty() || usual.contains(m))
}

/// What was said without some statements.
fn without(stated: &Stated, gone: impl Fn(&Statement) -> bool) -> Stated {
    let statements = stated.statements.iter().filter(|s| !gone(s)).cloned().collect();
    Stated { layers: stated.layers, statements }
}

/// Something else in the place of what was said; nothing where it was said already.
fn replaced(stated: &Stated, id: AttributeId, layer: usize, domain: Domain, words: String) -> Option<Stated> {
    let mut changed = stated.clone();
    let own = changed.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer)?;
    if own.domain == domain {
        return None;
    }
    own.domain = domain;
    own.words = words;
    Some(changed)
}

/// One more member, or one instead of those that were named.
fn having(stated: &Stated, id: AttributeId, member: usize, only: bool) -> Option<Stated> {
    let mut changed = stated.clone();
    let own = changed.statements.iter_mut().find(|s| s.attribute == id)?;
    let Domain::Set { must, may } = &own.domain else { return None };
    if must.has(member) {
        return None;
    }
    let one = Mask::one(member);
    own.domain = if only {
        Domain::Set { must: one, may: may.without(*must).or(one) }
    } else {
        Domain::Set { must: must.or(one), may: may.or(one) }
    };
    Some(changed)
}

/// A layer of a material below all others.
fn below(program: &Program, stated: &Stated, id: AttributeId, member: usize) -> Option<Stated> {
    let model = &program.model;
    let AttributeType::Choice(kind) = id.of(model)?.ty else { return None };
    let mut under = raised(model, stated);
    let words = model.member(kind, member)?.name.clone();
    under.statements.push(Statement { attribute: id, layer: 0, domain: Domain::Choice(Mask::one(member)), words });
    Some(under)
}

/// What was said, with a layer of which nothing is said below all others.
pub(super) fn raised(model: &Model, stated: &Stated) -> Stated {
    let mut under = stated.clone();
    under.layers += 1;
    for s in &mut under.statements {
        if s.attribute.of(model).is_some_and(|a| a.per_layer) {
            s.layer += 1;
        }
    }
    under
}

/// The usual amount of a member.
fn usual(program: &Program, kind: KindId, member: usize, property: PropertyId) -> (i64, i64) {
    match program.model.member(kind, member).and_then(|e| e.facts.get(&property)).map(|f| &f.value) {
        Some(Value::Window(low, high)) => ((*low).max(1), *high),
        _ => (1, whole(&program.model)),
    }
}

/// A member of an amounts attribute at its usual dose, added to what was said or brought to that dose.
fn added(program: &Program, stated: &Stated, id: AttributeId, member: usize, layer: usize) -> Option<Stated> {
    let attribute = id.of(&program.model)?;
    let AttributeType::Amounts(kind) = attribute.ty else { return None };
    let dose = usual(program, kind, member, attribute.unstated?);
    let mut changed = stated.clone();
    let own = changed.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer);
    match own {
        Some(Statement { domain: Domain::Amounts(a), .. }) => {
            let range = a.ranges.get_mut(member)?;
            if *range == dose {
                return None;
            }
            *range = dose;
        }
        _ => changed.statements.push(amounts(program, id, kind, member, dose, layer)?),
    }
    Some(changed)
}

/// A member of a set or an amounts attribute left out.
fn left_out(program: &Program, stated: &Stated, id: AttributeId, member: usize, layer: usize) -> Option<Stated> {
    let mut changed = stated.clone();
    let own = changed.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer)?;
    match &mut own.domain {
        Domain::Amounts(a) => {
            let range = a.ranges.get_mut(member)?;
            if range.1 == 0 || *range == (0, whole(&program.model)) {
                return None;
            }
            *range = (0, 0);
        }
        Domain::Set { must, may } if must.has(member) => {
            must.remove(member);
            may.remove(member);
        }
        _ => return None,
    }
    Some(changed)
}

fn amounts(
    program: &Program,
    id: AttributeId,
    kind: KindId,
    member: usize,
    range: (i64, i64),
    layer: usize,
) -> Option<Statement> {
    let mut ranges = vec![(0, 0); program.model.everyone(kind).count()];
    *ranges.get_mut(member)? = range;
    let words = program.model.member(kind, member)?.name.clone();
    let domain = Domain::Amounts(Amounts { ranges, total: None, sums: Vec::new() });
    Some(Statement { attribute: id, layer, domain, words })
}

/// Nothing but one member of a blend.
pub(super) fn pure_blend(model: &Model, kind: KindId, member: usize) -> Domain {
    let whole = whole(model);
    let share = |i| if i == member { (whole, whole) } else { (0, 0) };
    let ranges = model.everyone(kind).iter().map(share).collect();
    Domain::Amounts(Amounts { ranges, total: Some(whole), sums: Vec::new() })
}

/// The window of a setting that works for each job still possible, in words.
fn window(program: &Program, units: &Units, decision: &Decision, id: AttributeId) -> Option<String> {
    let attribute = id.of(&program.model)?;
    let AttributeType::Setting(dimension) = attribute.ty else { return None };
    let (_, low, high) = program.windows.iter().find(|w| w.0 == id)?;
    let e = Evaluation::new(program, &decision.job);
    let layers = 0..e.window_layers(*low);
    let ends = layers.map(|l| (e.end(*low, l).high, e.end(*high, l).low));
    let (low, high) = ends.fold((LEAST, MOST), |(a, b), (low, high)| (a.max(low), b.min(high)));
    if low > high || (low <= LEAST && high >= MOST) {
        return None;
    }
    let words = units.write(&program.model, Interval { low, high, none: Truth::False }, dimension);
    Some(filled(attribute.told.instead.as_ref(), attribute, &words))
}

/// A job of which nothing is said but that this material is used.
pub(super) fn alone(program: &Program, id: EntityId) -> Option<Stated> {
    let model = &program.model;
    let entity = model.entities.get(id.index())?;
    let member = entity.ordinal?;
    let statement = model.attributes.iter().enumerate().filter(|(_, a)| a.material).find_map(|(index, a)| {
        let id = AttributeId(index as u16);
        match a.ty {
            AttributeType::Amounts(kind) if kind == entity.kind => {
                let range = a.unstated.map_or((1, whole(model)), |p| usual(program, kind, member, p));
                amounts(program, id, kind, member, range, 0)
            }
            AttributeType::Choice(kind) if kind == entity.kind => Some(Statement {
                attribute: id,
                layer: 0,
                domain: Domain::Choice(Mask::one(member)),
                words: entity.name.clone(),
            }),
            _ => None,
        }
    })?;
    Some(Stated { layers: 1, statements: vec![statement] })
}
