//! Single changes of what the shop controls, each decided afresh.

use super::words::{Units, one_of};
use crate::job::{Amounts, Domain, whole};
use crate::model::{Attribute, AttributeId, AttributeType, EntityId, Mask, PropertyId, Role, Value};
use crate::program::Program;
use crate::quantity::{LEAST, MOST, System};
use crate::reason::decide::{Decision, Options, decide};
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::statement::{Stated, Statement};
use std::cmp::Ordering;

/// A change that leads to a yes or yes-if.
#[derive(Debug, Clone)]
pub(super) struct Found {
    /// In words.
    pub(super) words: String,
    /// Another material takes the place of the one on top.
    pub(super) other_ink: bool,
    /// Not one that shops usually have.
    seldom: bool,
    /// What would be said then and what is decided; several where any of them will do.
    pub(super) ways: Vec<(Stated, Decision)>,
}

impl Found {
    fn decision(&self) -> Option<&Decision> {
        self.ways.first().map(|w| &w.1)
    }
}

/// Sets that are looked at for one change.
const BUDGET: u32 = 120;

/// The single changes that help: the plain yes first, then what shops usually have, then the fewest conditions.
pub(super) fn single_changes(program: &Program, stated: &Stated, options: Options, system: System) -> Vec<Found> {
    let options = Options { budget: BUDGET, explore: false, rows: false, ..options };
    let mut found = settings(program, stated, options, system);
    found.extend(machines(program, stated, options));
    for Tried { words, other_ink, seldom, stated: changed } in materials(program, stated) {
        let decision = decide(program, &changed, options);
        if decision.verdict.works() {
            found.push(Found { words, other_ink, seldom, ways: vec![(changed, decision)] });
        }
    }
    found.sort_by(|a, b| {
        let rank = |f: &Found| f.decision().map(|d| (d.verdict, f.seldom, conditions(program, d).len()));
        let by_name = if a.other_ink && b.other_ink { a.words.cmp(&b.words) } else { Ordering::Equal };
        rank(a).cmp(&rank(b)).then(by_name)
    });
    found
}

/// The rules behind the conditions.
fn conditions(program: &Program, decision: &Decision) -> Vec<u16> {
    let mut rules: Vec<u16> =
        decision.conditions.iter().filter_map(|c| program.instance(c.instance)).map(|i| i.rule).collect();
    rules.sort_unstable();
    rules.dedup();
    rules
}

/// A template's words, or the label with the value.
fn filled(template: Option<&String>, attribute: &Attribute, value: &str) -> String {
    match template {
        Some(t) => t.replace("{}", value),
        None => format!("{}: {value}", attribute.label),
    }
}

/// What was said without some statements.
fn without(stated: &Stated, gone: impl Fn(&Statement) -> bool) -> Stated {
    let statements = stated.statements.iter().filter(|s| !gone(s)).cloned().collect();
    Stated { layers: stated.layers, statements }
}

/// Settings that were given, left open: one at a time, or else all of them.
fn settings(program: &Program, stated: &Stated, options: Options, system: System) -> Vec<Found> {
    let is_setting =
        |s: &Statement| s.attribute.of(&program.model).is_some_and(|a| matches!(a.ty, AttributeType::Setting(_)));
    let given: Vec<AttributeId> = stated.statements.iter().filter(|s| is_setting(s)).map(|s| s.attribute).collect();
    let units = Units::of(&program.model, stated, system);
    let open = |which: &[AttributeId]| -> Option<Found> {
        let changed = without(stated, |s| which.contains(&s.attribute));
        let decision = decide(program, &changed, options);
        if !decision.verdict.works() {
            return None;
        }
        let words: Option<Vec<String>> = which.iter().map(|id| window(program, &units, &decision, *id)).collect();
        let words = words?.join(" and ");
        Some(Found { words, other_ink: false, seldom: false, ways: vec![(changed, decision)] })
    };
    let mut found: Vec<Found> = given.iter().filter_map(|id| open(&[*id])).collect();
    if found.is_empty() && given.len() > 1 {
        found.extend(open(&given));
    }
    found
}

/// The window of a setting that works for each job still possible.
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

/// Machines that would do, where those that were named do not.
fn machines(program: &Program, stated: &Stated, options: Options) -> Vec<Found> {
    let model = &program.model;
    let mut all = Vec::new();
    for statement in &stated.statements {
        let Some(attribute) = statement.attribute.of(model).filter(|a| a.role == Role::Capability) else { continue };
        let (AttributeType::Set(kind), Domain::Set { must, may }) = (attribute.ty, &statement.domain) else { continue };
        let open = without(stated, |s| s.attribute == statement.attribute);
        if !decide(program, &open, options).verdict.works() {
            continue;
        }
        // Machines that lead to the same are told together.
        let mut helping: Vec<(Vec<String>, Found)> = Vec::new();
        for member in model.everyone(kind).without(*must).iter() {
            let one = Mask::one(member);
            // As well as what is there, or else instead of it.
            let sets = [(must.or(one), may.or(one)), (one, may.without(*must).or(one))];
            let found = sets.into_iter().find_map(|(must, may)| {
                let mut changed = stated.clone();
                let own = changed.statements.iter_mut().find(|s| s.attribute == statement.attribute)?;
                own.domain = Domain::Set { must, may };
                let decision = decide(program, &changed, options);
                decision.verdict.works().then_some((changed, decision))
            });
            let (Some(way), Some(entity)) = (found, model.member(kind, member)) else { continue };
            let like = |d: &Decision| (d.verdict, conditions(program, d));
            let same = helping.iter_mut().find(|h| h.1.decision().is_some_and(|d| like(d) == like(&way.1)));
            match same {
                Some((names, found)) => {
                    names.push(entity.name.clone());
                    found.ways.push(way);
                }
                None => {
                    let found = Found { words: String::new(), other_ink: false, seldom: false, ways: vec![way] };
                    helping.push((vec![entity.name.clone()], found));
                }
            }
        }
        for (names, mut found) in helping {
            found.words = filled(attribute.told.instead.as_ref(), attribute, &one_of(&names));
            all.push(found);
        }
    }
    all
}

/// A change of material that may help.
struct Tried {
    words: String,
    other_ink: bool,
    seldom: bool,
    stated: Stated,
}

/// Materials added, left out, laid below or put in place of the one on top.
fn materials(program: &Program, stated: &Stated) -> Vec<Tried> {
    let model = &program.model;
    let mut all = Vec::new();
    let top = stated.layers.saturating_sub(1);
    for (index, attribute) in model.attributes.iter().enumerate() {
        if attribute.role != Role::Chosen || !attribute.material {
            continue;
        }
        let id = AttributeId(index as u16);
        match attribute.ty {
            AttributeType::Amounts(kind) => {
                for member in model.everyone(kind).iter() {
                    all.extend(added(program, stated, id, member, top));
                    all.extend((0..stated.layers).filter_map(|l| left_out(program, stated, id, member, l)));
                }
            }
            AttributeType::Choice(kind) if attribute.per_layer => {
                let usual: Vec<usize> = attribute.usual.iter().filter_map(|u| usize::try_from(*u).ok()).collect();
                for member in model.everyone(kind).iter() {
                    let Some(entity) = model.member(kind, member) else { continue };
                    let seldom = !usual.is_empty() && !usual.contains(&member);
                    let own = Domain::Choice(Mask::one(member));
                    // A layer of it underneath.
                    let mut under = stated.clone();
                    under.layers += 1;
                    for s in &mut under.statements {
                        if s.attribute.of(model).is_some_and(|a| a.per_layer) {
                            s.layer += 1;
                        }
                    }
                    under.statements.push(Statement {
                        attribute: id,
                        layer: 0,
                        domain: own.clone(),
                        words: entity.name.clone(),
                    });
                    let words = filled(attribute.told.below.as_ref(), attribute, &entity.name);
                    all.push(Tried { words, other_ink: false, seldom, stated: under });
                    // It instead of the top one.
                    let mut instead = stated.clone();
                    let current = instead.statements.iter_mut().find(|s| s.attribute == id && s.layer == top);
                    if let Some(s) = current
                        && s.domain != own
                    {
                        s.domain = own;
                        s.words.clone_from(&entity.name);
                        let words = filled(attribute.told.instead.as_ref(), attribute, &entity.name);
                        all.push(Tried { words, other_ink: true, seldom, stated: instead });
                    }
                }
            }
            _ => {}
        }
    }
    all
}

/// The usual amount of a member.
fn usual(program: &Program, kind: crate::model::KindId, member: usize, property: PropertyId) -> (i64, i64) {
    match program.model.member(kind, member).and_then(|e| e.facts.get(&property)).map(|f| &f.value) {
        Some(Value::Window(low, high)) => ((*low).max(1), *high),
        _ => (1, whole(&program.model)),
    }
}

/// A member of an amounts attribute at its usual dose, added to what was said or brought to that dose.
fn added(program: &Program, stated: &Stated, id: AttributeId, member: usize, layer: usize) -> Option<Tried> {
    let model = &program.model;
    let attribute = id.of(model)?;
    let AttributeType::Amounts(kind) = attribute.ty else { return None };
    let entity = model.member(kind, member)?;
    let (low, high) = usual(program, kind, member, attribute.unstated?);
    let mut changed = stated.clone();
    let own = changed.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer);
    match own {
        Some(Statement { domain: Domain::Amounts(a), .. }) => {
            let range = a.ranges.get_mut(member)?;
            if *range == (low, high) {
                return None;
            }
            *range = (low, high);
        }
        _ => changed.statements.push(amounts(program, id, kind, member, (low, high), layer)?),
    }
    let percent = model.dimension("percent")?;
    let dose = Units::default().write(model, Interval { low, high, none: Truth::False }, percent);
    let words = filled(attribute.told.add.as_ref(), attribute, &format!("{dose} {}", entity.name));
    Some(Tried { words, other_ink: false, seldom: false, stated: changed })
}

/// A member of an amounts attribute left out.
fn left_out(program: &Program, stated: &Stated, id: AttributeId, member: usize, layer: usize) -> Option<Tried> {
    let attribute = id.of(&program.model)?;
    let AttributeType::Amounts(kind) = attribute.ty else { return None };
    let name = &program.model.member(kind, member)?.name;
    let mut changed = stated.clone();
    let own = changed.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer)?;
    let Domain::Amounts(a) = &mut own.domain else { return None };
    let range = a.ranges.get_mut(member)?;
    if range.1 == 0 || *range == (0, whole(&program.model)) {
        return None;
    }
    *range = (0, 0);
    let words = filled(attribute.told.without.as_ref(), attribute, name);
    Some(Tried { words, other_ink: false, seldom: false, stated: changed })
}

fn amounts(
    program: &Program,
    id: AttributeId,
    kind: crate::model::KindId,
    member: usize,
    range: (i64, i64),
    layer: usize,
) -> Option<Statement> {
    let mut ranges = vec![(0, 0); program.model.everyone(kind).count()];
    *ranges.get_mut(member)? = range;
    let words = program.model.member(kind, member)?.name.clone();
    Some(Statement {
        attribute: id,
        layer,
        domain: Domain::Amounts(Amounts { ranges, total: None, sums: Vec::new() }),
        words,
    })
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
