//! What an overlay changes of things that are known already: further names, values that nobody had written, and
//! values that take the place of others, one at a time and each with its reason.

use super::Reader;
use super::entities::{known_property, names, pairs};
use super::fields::Fields;
use super::values::fact;
use crate::diagnostic::Problem;
use crate::document::Node;
use crate::model::{EntityId, Fact, Model, PropertyId};
use crate::source::Span;
use rustc_hash::FxHashMap;

/// The changes that one file makes to one thing.
pub(super) struct Change {
    pub(super) entity: EntityId,
    /// Further names with their places.
    pub(super) names: Vec<(String, Span)>,
    /// Where the thing is named.
    pub(super) span: Span,
    note: Option<String>,
    adds: Option<Node>,
    replaces: Option<Node>,
}

/// A value that took the place of another.
pub(super) struct Replacement {
    pub(super) entity: EntityId,
    pub(super) property: PropertyId,
    pub(super) old: Fact,
    pub(super) new: Fact,
}

/// Reads the changes to a thing of a lower layer.
pub(super) fn change(
    mut f: Fields<'_>,
    entity: EntityId,
    span: Span,
    model: &Model,
    reader: &mut Reader,
) -> Option<Change> {
    let replaces = f.get("replaces").cloned();
    let described_anew = f.keys().iter().any(|k| ["name", "is", "as", "class", "codes", "basis"].contains(k));
    if replaces.is_none() && described_anew {
        let first = model.entities.get(entity.index())?;
        reader.report(
            Problem::new("knowledge::exists-already", span, "again", format!("`{}` is known already", first.id))
                .also(first.origin.span, "here")
                .help(format!(
                    "change single values of it under `replaces:`, or give yours an id of its own and `as: {}`",
                    first.id
                )),
        );
        return None;
    }
    let names = names(&mut f, reader);
    let note = f.text("note", reader);
    let adds = f.get("properties").cloned();
    f.done(reader);
    Some(Change { entity, names, span, note, adds, replaces })
}

/// Makes the changes; what took another's place is returned, to be held against safety once the rules are known.
pub(super) fn apply(
    change: &Change,
    parents: &FxHashMap<EntityId, EntityId>,
    model: &mut Model,
    reader: &mut Reader,
) -> Vec<Replacement> {
    let mut replacements = Vec::new();
    let lists = [(&change.adds, false), (&change.replaces, true)];
    for (node, replacing) in lists.into_iter().filter_map(|(n, r)| n.as_ref().map(|n| (n, r))) {
        for (key, value) in pairs(node, reader) {
            let Some(own) = model.entities.get(change.entity.index()) else { continue };
            let id = own.id.clone();
            let Some(property) = known_property(key, own.kind, model, reader) else { continue };
            let old = effective(change.entity, property, parents, model);
            match &old {
                Some(old) if !replacing => {
                    reader.report(
                        Problem::new(
                            "knowledge::exists-already",
                            key.span,
                            "again",
                            format!("`{id}` has a `{}` already", key.name),
                        )
                        .also(old.origin.span, "here")
                        .help("write it under `replaces:` with a `reason:`"),
                    );
                    continue;
                }
                None if replacing => {
                    reader.report(
                        Problem::new(
                            "knowledge::replaces-nothing",
                            key.span,
                            "here",
                            format!("`{id}` has no `{}` to take the place of", key.name),
                        )
                        .help("write it under `properties:`"),
                    );
                    continue;
                }
                _ => {}
            }
            let Some(declared) = model.properties.get(property.index()).cloned() else { continue };
            let note = change.note.as_deref();
            let Some(mut new) = fact(value, key.span, &declared, note, replacing, model, reader) else { continue };
            if let Some(old) = old {
                match &mut new.replaced {
                    Some(replaced) => replaced.span = old.origin.span,
                    None => reader.report(
                        Problem::new(
                            "knowledge::replaces-without-reason",
                            key.span,
                            "why?",
                            format!("nothing says why `{}` is replaced", key.name),
                        )
                        .also(old.origin.span, "the value that it replaces")
                        .help("add `reason:` in a few words"),
                    ),
                }
                replacements.push(Replacement { entity: change.entity, property, old, new: new.clone() });
            }
            if let Some(own) = model.entities.get_mut(change.entity.index()) {
                own.facts.insert(property, new);
            }
        }
    }
    replacements
}

/// The value that counts: its own, or else the nearest that it inherits.
fn effective(
    entity: EntityId,
    property: PropertyId,
    parents: &FxHashMap<EntityId, EntityId>,
    model: &Model,
) -> Option<Fact> {
    let mut at = entity;
    // As many steps as there are things: an inheritance that goes round has been reported.
    for _ in 0..=model.entities.len() {
        if let Some(found) = model.entities.get(at.index()).and_then(|e| e.facts.get(&property)) {
            return Some(found.clone());
        }
        at = *parents.get(&at)?;
    }
    None
}
