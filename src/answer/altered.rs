//! What is said of a job, said otherwise: something added, left out, laid below or put in another's place.

use crate::job::{Amounts, Domain, whole};
use crate::model::{Attribute, AttributeId, AttributeType, EntityId, KindId, Mask, Model, PropertyId, Role, Value};
use crate::program::Program;
use crate::statement::{Stated, Statement};

/// What was said without some statements.
pub(super) fn without(stated: &Stated, gone: impl Fn(&Statement) -> bool) -> Stated {
    let statements = stated.statements.iter().filter(|s| !gone(s)).cloned().collect();
    Stated { statements, ..stated.clone() }
}

/// What was said of an attribute at a layer.
fn said_of(stated: &mut Stated, id: AttributeId, layer: usize) -> Option<&mut Statement> {
    stated.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer)
}

/// Something else in the place of what was said; nothing where it was said already.
pub(super) fn replaced(
    stated: &Stated,
    id: AttributeId,
    layer: usize,
    domain: Domain,
    words: String,
) -> Option<Stated> {
    let mut changed = stated.clone();
    let own = said_of(&mut changed, id, layer)?;
    if own.domain == domain {
        return None;
    }
    own.domain = domain;
    own.words = words;
    Some(changed)
}

/// One more member, or one instead of those that were named.
pub(super) fn having(stated: &Stated, id: AttributeId, member: usize, only: bool) -> Option<Stated> {
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
pub(super) fn below(program: &Program, stated: &Stated, id: AttributeId, member: usize) -> Option<Stated> {
    let mut under = raised(&program.model, stated);
    under.statements.push(one(&program.model, id, 0, member)?);
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

/// As [`below`], with all of it said that makes a layer below cover best.
pub(super) fn covering(program: &Program, stated: &Stated, id: AttributeId, member: usize) -> Option<Stated> {
    let mut under = below(program, stated, id, member)?;
    under.statements.extend(coverings(&program.model).filter_map(|(id, m)| one(&program.model, id, 0, m)));
    Some(under)
}

/// What makes a layer below cover best: the members that the vocabulary names.
pub(super) fn coverings(model: &Model) -> impl Iterator<Item = (AttributeId, usize)> {
    attributes(model).filter(|(_, a)| a.per_layer).filter_map(|(id, a)| Some((id, a.below?)))
}

/// One member of a choice.
fn one(model: &Model, attribute: AttributeId, layer: usize, member: usize) -> Option<Statement> {
    let AttributeType::Choice(kind) = attribute.of(model)?.ty else { return None };
    let words = model.member(kind, member)?.name.clone();
    Some(Statement { attribute, layer, domain: Domain::Choice(Mask::one(member)), words })
}

/// Two neighbouring layers, the upper one counted from the top, each in the place of the other; nothing where they are
/// alike.
pub(super) fn swapped(program: &Program, stated: &Stated, from_top: usize) -> Option<Stated> {
    let upper = stated.layers.checked_sub(from_top + 1)?;
    let lower = upper.checked_sub(1)?;
    let mut changed = stated.clone();
    for s in &mut changed.statements {
        if s.attribute.of(&program.model).is_some_and(|a| a.per_layer) {
            s.layer = match s.layer {
                l if l == upper => lower,
                l if l == lower => upper,
                l => l,
            };
        }
    }
    changed.statements.iter().any(|s| !stated.statements.contains(s)).then_some(changed)
}

/// The materials that a layer is chosen from.
pub(super) fn materials(model: &Model) -> impl Iterator<Item = (AttributeId, KindId)> {
    attributes(model).filter_map(|(id, a)| match a.ty {
        AttributeType::Choice(kind) if a.role == Role::Chosen && a.material && a.per_layer => Some((id, kind)),
        _ => None,
    })
}

/// Every attribute with its id.
pub(super) fn attributes(model: &Model) -> impl Iterator<Item = (AttributeId, &Attribute)> {
    model.attributes.iter().enumerate().map(|(index, a)| (AttributeId(index as u16), a))
}

/// The usual amount of a member.
pub(super) fn usual(program: &Program, kind: KindId, member: usize, property: PropertyId) -> (i64, i64) {
    match program.model.member(kind, member).and_then(|e| e.facts.get(&property)).map(|f| &f.value) {
        Some(Value::Window(low, high)) => ((*low).max(1), *high),
        _ => (1, whole(&program.model)),
    }
}

/// A member of an amounts attribute at its usual dose, added to what was said or brought to that dose.
pub(super) fn added(
    program: &Program,
    stated: &Stated,
    id: AttributeId,
    member: usize,
    layer: usize,
) -> Option<Stated> {
    let attribute = id.of(&program.model)?;
    let AttributeType::Amounts(kind) = attribute.ty else { return None };
    let dose = usual(program, kind, member, attribute.unstated?);
    let mut changed = stated.clone();
    match said_of(&mut changed, id, layer) {
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
pub(super) fn left_out(
    program: &Program,
    stated: &Stated,
    id: AttributeId,
    member: usize,
    layer: usize,
) -> Option<Stated> {
    let mut changed = stated.clone();
    match &mut said_of(&mut changed, id, layer)?.domain {
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

/// A job of which nothing is said but that this material is used.
pub(super) fn alone(program: &Program, id: EntityId) -> Option<Stated> {
    let model = &program.model;
    let entity = model.entities.get(id.index())?;
    let member = entity.ordinal?;
    let statement = attributes(model).filter(|(_, a)| a.material).find_map(|(id, a)| match a.ty {
        AttributeType::Amounts(kind) if kind == entity.kind => {
            let range = a.unstated.map_or((1, whole(model)), |p| usual(program, kind, member, p));
            amounts(program, id, kind, member, range, 0)
        }
        AttributeType::Choice(kind) if kind == entity.kind => one(model, id, 0, member),
        _ => None,
    })?;
    Some(Stated { layers: 1, ..statement.into() })
}
