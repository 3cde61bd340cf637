//! Single changes of what the shop controls, each decided afresh.

use crate::job::{Amounts, Domain, whole};
use crate::model::{AttributeId, AttributeType, Mask, Role, Value};
use crate::program::Program;
use crate::reason::decide::{Options, Verdict, decide};
use crate::statement::{Stated, Statement};

/// A change.
#[derive(Debug, Clone)]
pub(super) struct Change {
    /// In words.
    pub(super) words: String,
    /// Another ink takes the place of this one.
    pub(super) other_ink: bool,
}

/// The single changes that lead to a yes or yes-if, the plain yes first.
pub(super) fn single_changes(program: &Program, stated: &Stated, options: Options) -> Vec<(Change, Verdict)> {
    let mut found = Vec::new();
    for (change, changed) in candidates(program, stated) {
        let decision = decide(program, &changed, Options { budget: 120, explore: false, ..options });
        if decision.verdict.works() {
            found.push((change, decision.verdict));
        }
    }
    found.sort_by_key(|f| f.1);
    found
}

fn candidates(program: &Program, stated: &Stated) -> Vec<(Change, Stated)> {
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
                }
            }
            AttributeType::Choice(kind) if attribute.per_layer => {
                for member in model.everyone(kind).iter() {
                    let Some(entity) = model.member(kind, member) else { continue };
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
                    all.push((
                        Change { words: format!("print {} under it first", entity.name), other_ink: false },
                        under,
                    ));
                    // It instead of the top ink.
                    let mut instead = stated.clone();
                    let current = instead.statements.iter_mut().find(|s| s.attribute == id && s.layer == top);
                    if let Some(s) = current
                        && s.domain != own
                    {
                        s.domain = own;
                        s.words.clone_from(&entity.name);
                        all.push((Change { words: format!("print with {}", entity.name), other_ink: true }, instead));
                    }
                }
            }
            _ => {}
        }
    }
    all
}

/// A member of an amounts attribute at its usual dose, added to what was said.
fn added(program: &Program, stated: &Stated, id: AttributeId, member: usize, layer: usize) -> Option<(Change, Stated)> {
    let model = &program.model;
    let attribute = id.of(model)?;
    let AttributeType::Amounts(kind) = attribute.ty else { return None };
    let entity = model.member(kind, member)?;
    let property = attribute.unstated?;
    let (low, high) = match entity.facts.get(&property).map(|f| &f.value) {
        Some(Value::Window(low, high)) => ((*low).max(1), *high),
        _ => (1, whole(model)),
    };
    let mut changed = stated.clone();
    let own = changed.statements.iter_mut().find(|s| s.attribute == id && s.layer == layer);
    match own {
        Some(Statement { domain: Domain::Amounts(a), .. }) => {
            let range = a.ranges.get_mut(member)?;
            if range.1 > 0 {
                return None;
            }
            *range = (low, high);
        }
        _ => {
            let mut ranges = vec![(0, 0); model.everyone(kind).count()];
            *ranges.get_mut(member)? = (low, high);
            let domain = Domain::Amounts(Amounts { ranges, total: None, sums: Vec::new() });
            changed.statements.push(Statement { attribute: id, layer, domain, words: entity.name.clone() });
        }
    }
    let percent = model.dimension("percent").and_then(|d| model.dim(d));
    let dose = percent.map_or(String::new(), |p| format!(", {} to {}", p.write(low), p.write(high)));
    Some((Change { words: format!("stir in {}{dose}", entity.name), other_ink: false }, changed))
}
