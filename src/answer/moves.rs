//! Single changes of a job: what can be changed, how the job is then described, and how a change is told.

use super::altered::{
    added, attributes, below, covering, coverings, having, left_out, materials, pure_blend, replaced, swapped, usual,
    without,
};
use super::recipe::Place;
use super::words::{Units, filled};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask, Model, PropertyId, Role, Value};
use crate::program::Program;
use crate::quantity::{LEAST, MOST};
use crate::reason::decide::Decision;
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::statement::{Stated, Statement};

/// One change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Move {
    /// What is done.
    pub(super) act: Act,
    /// Of which attribute.
    pub(super) attribute: AttributeId,
    /// Of which layers.
    pub(super) layers: Layers,
}

/// Some layers, a bit each, the lowest for the one on top: counted from there, a layer laid below moves none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Layers(u32);

/// Layers that a change can be told of.
const MOST_LAYERS: usize = 32;

impl Layers {
    /// The one on top.
    const TOP: Self = Self(1);

    fn one(from_top: usize) -> Self {
        Self(1 << from_top.min(MOST_LAYERS - 1))
    }

    fn all(count: usize) -> Self {
        Self::of(0..count)
    }

    fn of(from_top: impl Iterator<Item = usize>) -> Self {
        from_top.fold(Self(0), |all, l| Self(all.0 | Self::one(l).0))
    }

    fn has(self, from_top: usize) -> bool {
        self.0 & Self::one(from_top).0 != 0
    }

    /// Which they are in a job, counted from the cloth.
    fn in_job(self, layers: usize) -> impl Iterator<Item = usize> {
        (0..layers.min(MOST_LAYERS)).filter(move |l| self.has(*l)).map(move |l| layers - 1 - l)
    }

    /// Which of the layers of a job is meant, in words; nothing where it has but one.
    fn words(self, layers: usize) -> &'static str {
        match layers {
            1 => "",
            2 if self == Self::all(2) => " in both layers",
            _ if self == Self::all(layers) => " in every layer",
            _ if self == Self::TOP => " in the top layer",
            _ if self.has(0) => " in each layer of the same",
            _ if self.0.count_ones() == 1 => " in the layer below",
            _ => " in the layers below",
        }
    }
}

/// What a change does, that of the least effort first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Act {
    /// A setting that was given is left open.
    Open,
    /// A member is left out.
    Leave(usize),
    /// The layer and the one below it change places.
    Swap,
    /// A member is added at its usual amount.
    Add(usize),
    /// A member is there as well.
    Have(usize),
    /// A member is there instead of those named.
    HaveOnly(usize),
    /// A layer of this lies below all others.
    Below(usize),
    /// As `Below`, with all that makes it cover best.
    Covering(usize),
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
        let same_place = self.attribute == other.attribute && self.layers.0 & other.layers.0 != 0;
        // Members and layers stand beside each other, each once.
        let beside = match (self.act, other.act) {
            (Act::Add(a) | Act::Leave(a), Act::Add(b) | Act::Leave(b)) => a != b,
            _ => self.lays_below() != other.lays_below(),
        };
        // What is said of one place of a pile says nothing once others lie there.
        let swap = (self.act == Act::Swap) != (other.act == Act::Swap);
        swap || same_place && !beside
    }

    /// Whether it is the other change, or less of the same: in fewer layers, beside what is there, with less said of it.
    pub(super) fn does_for(&self, other: &Self) -> bool {
        let less = match (self.act, other.act) {
            (Act::Have(m), Act::HaveOnly(n)) | (Act::Below(m), Act::Covering(n)) => m == n,
            (a, b) => a == b,
        };
        less && self.attribute == other.attribute && self.layers.0 & other.layers.0 == self.layers.0
    }

    /// Whether a layer is laid below.
    pub(super) fn lays_below(&self) -> bool {
        matches!(self.act, Act::Below(_) | Act::Covering(_))
    }

    /// Whether another material takes the place of the one on top.
    pub(super) fn changes_ink(&self, program: &Program) -> bool {
        matches!(self.act, Act::Take(_))
            && self.layers.has(0)
            && self.attribute.of(&program.model).is_some_and(|a| a.material && a.role == Role::Chosen)
    }

    /// Whether it takes another material of the same sort as the one that was said.
    pub(super) fn is_akin(&self, program: &Program, stated: &Stated) -> bool {
        let model = &program.model;
        let attribute = self.attribute.of(model);
        let akin = attribute.and_then(|a| Some((a.akin?, a.ty.members()?)));
        let (Some((property, kind)), Act::Take(member)) = (akin, self.act) else { return false };
        let top = |s: &&Statement| s.attribute == self.attribute && s.layer + 1 == stated.layers;
        let Some(Domain::Choice(said)) = stated.statements.iter().find(top).map(|s| &s.domain) else { return false };
        let value = |m: usize| chosen(model, kind, m, property);
        self.changes_ink(program) && said.iter().any(|m| value(m).is_some() && value(m) == value(member))
    }

    /// Whether it takes something that is not among the usual.
    pub(super) fn is_seldom(&self, program: &Program) -> bool {
        self.usual_place(program).is_some_and(|(place, known)| place == known)
    }

    /// How usual what it takes is, the most usual first, and how many of them are said to be usual at all.
    pub(super) fn usual_place(&self, program: &Program) -> Option<(usize, usize)> {
        let (Act::Take(m) | Act::Below(m) | Act::Covering(m) | Act::Pure(m)) = self.act else { return None };
        let usual = &self.attribute.of(&program.model)?.usual;
        let place = usual.iter().position(|u| usize::try_from(*u) == Ok(m)).unwrap_or(usual.len());
        (!usual.is_empty()).then_some((place, usual.len()))
    }

    /// What would be said of the job then; nothing where the change changes nothing.
    pub(super) fn applied(&self, program: &Program, stated: &Stated) -> Option<Stated> {
        let attribute = self.attribute.of(&program.model)?;
        let id = self.attribute;
        match self.act {
            Act::Open => Some(without(stated, |s| s.attribute == id)),
            Act::Leave(m) => self.in_each(stated, |s, layer| left_out(program, s, id, m, layer)),
            Act::Swap => swapped(program, stated, self.layers.0.trailing_zeros() as usize),
            Act::Add(m) => self.in_each(stated, |s, layer| added(program, s, id, m, layer)),
            Act::Have(m) => having(stated, id, m, false),
            Act::HaveOnly(m) => having(stated, id, m, true),
            Act::Below(m) => below(program, stated, id, m),
            Act::Covering(m) => covering(program, stated, id, m),
            Act::Take(m) => {
                let name = self.name(program)?;
                self.in_each(stated, |s, layer| replaced(s, id, layer, Domain::Choice(Mask::one(m)), name.clone()))
            }
            Act::Pure(m) => {
                let AttributeType::Blend(kind) = attribute.ty else { return None };
                replaced(stated, id, 0, pure_blend(&program.model, kind, m), self.name(program)?)
            }
            Act::Turn => self.in_each(stated, |s, layer| {
                let own = s.statements.iter().find(|s| s.attribute == id && s.layer == layer)?;
                let Domain::YesNo { yes, no } = own.domain else { return None };
                replaced(s, id, layer, Domain::YesNo { yes: no, no: yes }, String::new())
            }),
        }
    }

    /// A change made in each of its layers; nothing where it changes none.
    fn in_each(&self, stated: &Stated, change: impl Fn(&Stated, usize) -> Option<Stated>) -> Option<Stated> {
        let mut changed = None;
        for layer in self.layers.in_job(stated.layers) {
            changed = change(changed.as_ref().unwrap_or(stated), layer).or(changed);
        }
        changed
    }

    /// The thing that it names.
    pub(super) fn name(&self, program: &Program) -> Option<String> {
        let kind = self.attribute.of(&program.model)?.ty.members()?;
        let member = match self.act {
            Act::Open | Act::Swap | Act::Turn => return None,
            Act::Leave(m)
            | Act::Add(m)
            | Act::Have(m)
            | Act::HaveOnly(m)
            | Act::Below(m)
            | Act::Covering(m)
            | Act::Take(m)
            | Act::Pure(m) => m,
        };
        let name = &program.model.member(kind, member)?.name;
        if !matches!(self.act, Act::Covering(_)) {
            return Some(name.clone());
        }
        let with = coverings(&program.model).filter_map(|(id, m)| {
            let kind = id.of(&program.model)?.ty.members()?;
            Some(format!("{} ", program.model.member(kind, m)?.name))
        });
        Some(with.collect::<String>() + name)
    }

    /// In words, given what is decided of the job then and how many layers it has without the change; nothing where there
    /// is nothing to tell.
    pub(super) fn words(&self, program: &Program, units: &Units, decision: &Decision, layers: usize) -> Option<String> {
        let attribute = self.attribute.of(&program.model)?;
        let told = &attribute.told;
        let name = self.name(program).unwrap_or_default();
        let within = if attribute.per_layer { self.layers.words(layers) } else { "" };
        let words = match self.act {
            Act::Open => return window(program, units, decision, self.attribute),
            Act::Leave(_) => filled(told.without.as_ref(), attribute, &name) + within,
            Act::Swap => filled(told.over.as_ref(), attribute, &self.on_top(program, decision)?),
            Act::Add(m) => {
                let AttributeType::Amounts(kind) = attribute.ty else { return None };
                let (low, high) = usual(program, kind, m, attribute.unstated?);
                let percent = program.model.dimension("percent")?;
                let dose = Units::default().write(&program.model, Interval { low, high, none: Truth::False }, percent);
                filled(told.add.as_ref(), attribute, &format!("{dose} {name}")) + within
            }
            Act::Below(_) | Act::Covering(_) => filled(told.below.as_ref(), attribute, &name),
            Act::Have(_) | Act::HaveOnly(_) | Act::Take(_) | Act::Pure(_) => {
                filled(told.instead.as_ref(), attribute, &name) + within
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

    /// The material that lies in the upper of its layers.
    fn on_top(&self, program: &Program, decision: &Decision) -> Option<String> {
        let layer = self.layers.in_job(decision.job.layers.len()).next()?;
        let slot = crate::reason::split::slot_of(program, self.attribute);
        let Some(Domain::Choice(one)) = decision.job.domain(slot, layer) else { return None };
        Some(program.model.member(self.attribute.of(&program.model)?.ty.members()?, one.only()?)?.name.clone())
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

/// Every change that somebody can make of a job as it is described. Of the layers only those that it had before any
/// change, so many from the top, are changed.
pub(super) fn moves(program: &Program, stated: &Stated, whose: Whose, layers: usize) -> Vec<Move> {
    let mut all = Vec::new();
    for (id, attribute) in attributes(&program.model) {
        match (whose, attribute.role) {
            (Whose::Shop, Role::Chosen | Role::Capability) => {
                of_shop(program, stated, (id, layers), attribute, &mut all)
            }
            (Whose::Customer, Role::Given) if !attribute.never_offered => {
                of_customer(program, stated, id, attribute, &mut all)
            }
            _ => {}
        }
    }
    all.sort();
    all
}

fn of_shop(
    program: &Program,
    stated: &Stated,
    (id, layers): (AttributeId, usize),
    attribute: &Attribute,
    all: &mut Vec<Move>,
) {
    let said = stated.statements.iter().any(|s| s.attribute == id);
    let mut add = |act: Act, layers: Layers| all.push(Move { act, attribute: id, layers });
    match attribute.ty {
        AttributeType::Setting(_) if said => add(Act::Open, Layers::TOP),
        AttributeType::Set(kind) if said && attribute.role == Role::Capability => {
            program.model.everyone(kind).iter().for_each(|m| {
                add(Act::Have(m), Layers::TOP);
                add(Act::HaveOnly(m), Layers::TOP);
            });
        }
        AttributeType::Amounts(kind) if attribute.material => {
            let together = together(&program.model, stated, layers);
            for m in program.model.everyone(kind).iter() {
                together.iter().for_each(|l| add(Act::Add(m), *l));
                (0..stated.layers).for_each(|l| add(Act::Leave(m), Layers::one(l)));
            }
        }
        AttributeType::Choice(kind) if attribute.material && attribute.per_layer => {
            let together = together(&program.model, stated, layers);
            for m in program.model.everyone(kind).iter() {
                add(Act::Below(m), Layers::TOP);
                add(Act::Covering(m), Layers::TOP);
                let mut other: Vec<Layers> = together.iter().map(|l| without_those_of(stated, id, *l, m)).collect();
                other.dedup();
                let said = |l: &usize| {
                    let layer = stated.layers.saturating_sub(l + 1);
                    stated.statements.iter().find(|s| s.attribute == id && s.layer == layer).map(|s| &s.domain)
                };
                let does = |l: usize| match said(&l) {
                    Some(Domain::Choice(said)) => is_alike(&program.model, attribute, kind, (*said, m)),
                    _ => true,
                };
                let does = |layers: &Layers| (0..stated.layers.min(MOST_LAYERS)).filter(|l| layers.has(*l)).all(does);
                other.into_iter().filter(|l| l.0 != 0 && does(l)).for_each(|l| add(Act::Take(m), l));
            }
            (1..layers).for_each(|lower| add(Act::Swap, Layers::one(lower - 1)));
        }
        _ => {}
    }
}

/// The layers that are changed together: the one on top, all of its material, all.
fn together(model: &Model, stated: &Stated, layers: usize) -> Vec<Layers> {
    let ink = |from_top: usize| {
        let layer = stated.layers.checked_sub(from_top + 1)?;
        let own = |id| stated.statements.iter().find(|s| s.attribute == id && s.layer == layer).map(|s| &s.domain);
        materials(model).next().map(|m| own(m.0))
    };
    let alike = Layers::of((0..layers).filter(|l| ink(*l) == ink(0)));
    let mut all = vec![Layers::TOP, alike, Layers::all(layers)];
    all.dedup();
    all
}

/// Layers without those that are of a member already.
fn without_those_of(stated: &Stated, id: AttributeId, layers: Layers, member: usize) -> Layers {
    let member = Domain::Choice(Mask::one(member));
    let other = |from_top: &usize| {
        let layer = stated.layers.saturating_sub(from_top + 1);
        !stated.statements.iter().any(|s| s.attribute == id && s.layer == layer && s.domain == member)
    };
    Layers::of((0..stated.layers.min(MOST_LAYERS)).filter(|l| layers.has(*l)).filter(other))
}

/// What was said of the order, taken back or said otherwise.
fn of_customer(program: &Program, stated: &Stated, id: AttributeId, attribute: &Attribute, all: &mut Vec<Move>) {
    for own in stated.statements.iter().filter(|s| s.attribute == id) {
        let from_top = if attribute.per_layer { stated.layers.saturating_sub(own.layer + 1) } else { 0 };
        let mut add = |act: Act| all.push(Move { act, attribute: id, layers: Layers::one(from_top) });
        match (attribute.ty, &own.domain) {
            (AttributeType::Choice(kind), Domain::Choice(said)) => {
                let alike = |m: &usize| is_alike(&program.model, attribute, kind, (*said, *m));
                likely(program, attribute, kind).filter(alike).for_each(|m| add(Act::Take(m)));
            }
            (AttributeType::Blend(kind), _) => likely(program, attribute, kind).for_each(|m| add(Act::Pure(m))),
            (AttributeType::Set(_), Domain::Set { must, .. }) => must.iter().for_each(|m| add(Act::Leave(m))),
            (AttributeType::YesNo, _) => add(Act::Turn),
            _ => {}
        }
    }
}

/// Whether a member does for one of those that were said, where the vocabulary says by which property: one with the same
/// value, or with the one that does for all.
pub(super) fn is_alike(model: &Model, attribute: &Attribute, kind: KindId, (said, member): (Mask, usize)) -> bool {
    let Some(property) = attribute.alike else { return true };
    let value = |m: usize| chosen(model, kind, m, property);
    let Some(other) = value(member) else { return false };
    said.iter().filter_map(value).any(|own| own == other || attribute.does_for_all == Some(other))
}

/// A property of a member that is itself a choice.
fn chosen(model: &Model, kind: KindId, member: usize, property: PropertyId) -> Option<usize> {
    match model.member(kind, member)?.facts.get(&property).map(|f| &f.value) {
        Some(Value::Choice(value)) => Some(*value),
        _ => None,
    }
}

/// The members that are usual; all of them where none is said to be.
fn likely(program: &Program, attribute: &Attribute, kind: KindId) -> impl Iterator<Item = usize> {
    let usual: Vec<usize> = attribute.usual.iter().filter_map(|u| usize::try_from(*u).ok()).collect();
    let everyone = program.model.everyone(kind);
    everyone.iter().filter(move |m| usual.is_empty() || usual.contains(m))
}

/// The part of a window in which the other settings, as they are, still do: at 150 °C 45 s may be too short.
fn fitting(program: &Program, decision: &Decision, id: AttributeId, (low, high): (i64, i64)) -> Option<(i64, i64)> {
    let AttributeType::Setting(dimension) = id.of(&program.model)?.ty else { return None };
    let step = program.model.dim(dimension)?.units.first()?.steps;
    let place = Place { setting: id, layer: 0 };
    let does = |at: &i64| {
        let job = place.set(program, &decision.job, *at);
        let e = Evaluation::new(program, &job);
        let open = |low: u16, high: u16, layer: usize| e.end(low, layer).high <= e.end(high, layer).low;
        program.windows.iter().all(|(_, low, high)| (0..e.window_layers(*low)).all(|layer| open(*low, *high, layer)))
    };
    if low <= LEAST || high >= MOST || does(&low) && does(&high) || (high - low) / step > MOST_STEPS {
        return None;
    }
    let whole: Vec<i64> = (0..=(high - low) / step).map(|n| low + n * step).chain([high]).collect();
    Some((*whole.iter().find(|at| does(at))?, *whole.iter().rev().find(|at| does(at))?))
}

/// No window of a setting is tried in more places.
const MOST_STEPS: i64 = 400;

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
    let (low, high) = fitting(program, decision, id, (low, high)).unwrap_or((low, high));
    let words = units.write(&program.model, Interval { low, high, none: Truth::False }, dimension);
    Some(filled(attribute.told.instead.as_ref(), attribute, &words))
}
