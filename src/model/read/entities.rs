//! Entities, one a file: names, classes, and property values with their origin.

use super::changes::{Change, Replacement, apply, change};
use super::fields::{Fields, id_fits, origin, text, texts};
use super::values::fact;
use super::vocabulary::unknown_member;
use super::{Given, Reader};
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::{self, Key, Node};
use crate::model::{Entity, EntityId, Fact, KindId, Mask, Model, Origin, PropertyId};
use crate::source::Span;
use crate::words::folded;
use rustc_hash::FxHashMap;

struct Draft {
    entity: EntityId,
    is: Vec<(String, Span)>,
    inherits: Option<(String, Span)>,
    properties: Option<Node>,
    /// Its names, each where it is written.
    names: Vec<(String, Span)>,
    span: Span,
    class: bool,
}

/// What a file says: a new thing, or changes to one of a lower layer.
enum Entry {
    New(Draft),
    Changed(Change),
}

/// Reads all entities; what took the place of another value is returned.
pub(super) fn read(model: &mut Model, reader: &mut Reader) -> Vec<Replacement> {
    let mut drafts = Vec::new();
    let mut changes: Vec<Change> = Vec::new();
    for index in 0..model.kinds.len() {
        let kind = KindId(index as u16);
        let Some(folder) = model.kinds.get(index).and_then(|k| k.folder.clone()) else {
            continue;
        };
        for (name, node) in reader.below(&format!("{folder}/")) {
            match entity(&name, &node, kind, model, reader) {
                Some(Entry::New(draft)) => drafts.push(draft),
                Some(Entry::Changed(change)) => {
                    let same =
                        |c: &&Change| c.entity == change.entity && model.depth(c.span) == model.depth(change.span);
                    if let Some(first) = changes.iter().find(same) {
                        let message = "this thing is changed twice in one overlay";
                        reader.report(
                            Problem::new("knowledge::duplicate-id", change.span, "again", message)
                                .also(first.span, "first here")
                                .help("write all changes to a thing in one file"),
                        );
                    }
                    changes.push(change);
                }
                None => {}
            }
        }
        number_members(kind, model);
    }
    for draft in &drafts {
        classes(draft, &drafts, model, reader);
    }
    for draft in &drafts {
        properties(draft, model, reader);
    }
    let parents = parents(&drafts, model);
    let replacements = changes.iter().flat_map(|c| apply(c, &parents, model, reader)).collect();
    for draft in &drafts {
        inherit(draft, &drafts, model, reader);
    }
    for draft in &drafts {
        required(draft, model, reader);
    }
    for change in &changes {
        if let Some(own) = model.entities.get_mut(change.entity.index()) {
            own.aliases.extend(change.names.iter().map(|n| n.0.clone()));
        }
    }
    let given = drafts.iter().map(|d| (d.entity, &d.names)).chain(changes.iter().map(|c| (c.entity, &c.names)));
    let mut names: FxHashMap<EntityId, Vec<(String, Span)>> = FxHashMap::default();
    for (entity, own) in given {
        names.entry(entity).or_default().extend(own.iter().cloned());
    }
    aliases(&names, model, reader);
    replacements
}

fn entity(file: &str, node: &Node, kind: KindId, model: &mut Model, reader: &mut Reader) -> Option<Entry> {
    let mut f = Fields::of(node, "an entity", reader)?;
    let id = f.need_text("id", reader)?;
    let span = node_span(&mut f, "id");
    id_fits(&id, span, reader);
    let stem = file.rsplit('/').next().unwrap_or(file).trim_end_matches(".yaml");
    if stem != id {
        reader.report(
            Problem::new(
                "knowledge::id-is-file-name",
                span,
                "here",
                format!("the id `{id}` differs from the file's name `{stem}`"),
            )
            .help(format!("name the file `{id}.yaml`, or write `id: {stem}`")),
        );
    }
    let known = model.entities.iter().position(|e| e.kind == kind && e.id == id);
    if let Some((index, first)) = known.and_then(|i| model.entities.get(i).map(|e| (i, e.origin.span))) {
        if model.depth(first) < model.depth(span) {
            return change(f, EntityId(index as u16), span, model, reader).map(Entry::Changed);
        }
        reader.report(
            Problem::new("knowledge::duplicate-id", span, "again", format!("`{id}` is written twice"))
                .also(first, "first here"),
        );
        return None;
    }
    if f.get("replaces").is_some() {
        let mut problem = Problem::new(
            "knowledge::replaces-nothing",
            span,
            "not known",
            format!("there is no `{id}` to change a value of"),
        );
        let ids = model.entities.iter().filter(|e| e.kind == kind).map(|e| e.id.as_str());
        problem.help = did_you_mean(&id, ids).or_else(|| Some("write a new thing with `properties:`".to_owned()));
        reader.report(problem);
        return None;
    }
    let name = f.need_text("name", reader).unwrap_or_else(|| id.clone());
    let mut given = names(&mut f, reader);
    given.extend(f.texts("codes", reader));
    let aliases = given.iter().map(|n| n.0.clone()).collect();
    given.push((name.clone(), node_span(&mut f, "name")));
    let loose = f.texts("loosely", reader).into_iter().map(|t| t.0).collect();
    let is = f.texts("is", reader);
    let inherits = f.get("as").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let class = f.flag("class", reader);
    let properties = f.get("properties").cloned();
    let found = origin(&mut f, None, model, reader).map(|o| Origin { span, ..o });
    f.done(reader);
    if class && properties.is_some() {
        reader.report(
            Problem::new("knowledge::class-with-properties", span, "here", "a class has no properties of its own")
                .help("write the properties in its members; `as:` shares them"),
        );
    }
    let entity = EntityId(model.entities.len() as u16);
    model.entities.push(Entity {
        id,
        kind,
        ordinal: (!class).then_some(0),
        name,
        aliases,
        loose,
        members: Mask::EMPTY,
        origin: found?,
        facts: FxHashMap::default(),
    });
    Some(Entry::New(Draft { entity, is, inherits, properties, names: given, span, class }))
}

/// The names under `also` and, by language, under `names`.
pub(super) fn names(f: &mut Fields<'_>, reader: &mut Reader) -> Vec<(String, Span)> {
    let mut names = f.texts("also", reader);
    if let Some(n) = f.get("names") {
        if let document::Value::Map(languages) = &n.value {
            for (_, list) in languages {
                names.extend(texts(list, reader));
            }
        } else {
            reader.report(Problem::new(
                "knowledge::wrong-type",
                n.span,
                "here",
                "`names` lists names by language code",
            ));
        }
    }
    names
}

fn node_span(f: &mut Fields<'_>, key: &'static str) -> Span {
    f.get(key).map_or(f.span, |n| n.span)
}

/// Members are numbered by id, so that the order of files decides nothing.
fn number_members(kind: KindId, model: &mut Model) {
    let mut members: Vec<(String, usize)> = model
        .entities
        .iter()
        .enumerate()
        .filter(|(_, e)| e.kind == kind && e.ordinal.is_some())
        .map(|(i, e)| (e.id.clone(), i))
        .collect();
    members.sort();
    for (ordinal, (_, index)) in members.iter().enumerate() {
        if let Some(e) = model.entities.get_mut(*index) {
            e.ordinal = Some(ordinal);
            e.members = Mask::one(ordinal);
        }
    }
    if let Some(k) = model.kinds.get_mut(kind.index()) {
        k.members = members.into_iter().map(|(_, i)| EntityId(i as u16)).collect();
    }
}

/// Adds a member to every class above it.
fn classes(draft: &Draft, drafts: &[Draft], model: &mut Model, reader: &mut Reader) {
    let Some(own) = model.entities.get(draft.entity.index()).cloned() else {
        return;
    };
    let mut above = vec![draft];
    let mut seen = vec![draft.entity];
    while let Some(next) = above.pop() {
        for (name, span) in &next.is {
            let Some(parent) = drafts
                .iter()
                .find(|d| model.entities.get(d.entity.index()).is_some_and(|e| e.id == *name && e.kind == own.kind))
            else {
                if next.entity == draft.entity {
                    reader.report(unknown_member(name, *span, own.kind, model, true));
                }
                continue;
            };
            if parent.entity == draft.entity {
                reader.report(
                    Problem::new(
                        "knowledge::class-cycle",
                        *span,
                        "leads back",
                        format!("`{}` belongs to itself", own.id),
                    )
                    .help("take one of the `is:` entries out"),
                );
                continue;
            }
            if seen.contains(&parent.entity) {
                continue;
            }
            seen.push(parent.entity);
            above.push(parent);
            if let (Some(ordinal), Some(e)) = (own.ordinal, model.entities.get_mut(parent.entity.index())) {
                e.members.insert(ordinal);
            }
        }
    }
}

fn properties(draft: &Draft, model: &mut Model, reader: &mut Reader) {
    let Some(own) = model.entities.get(draft.entity.index()).cloned() else {
        return;
    };
    let note = own.origin.note.as_deref();
    let written = draft.properties.as_ref().map(|node| pairs(node, reader)).unwrap_or_default();
    for (key, value) in written {
        let Some(id) = known_property(key, own.kind, model, reader) else {
            continue;
        };
        let Some(property) = model.properties.get(id.index()).cloned() else {
            continue;
        };
        if let Some(fact) = fact(value, key.span, &property, note, false, model, reader)
            && let Some(e) = model.entities.get_mut(draft.entity.index())
        {
            e.facts.insert(id, fact);
        }
    }
}

/// Keys and values of properties.
pub(super) fn pairs<'a>(node: &'a Node, reader: &mut Reader) -> &'a [(Key, Node)] {
    match &node.value {
        document::Value::Map(pairs) => pairs,
        _ => {
            reader.report(Problem::new(
                "knowledge::wrong-type",
                node.span,
                "here",
                "properties are written as keys and values",
            ));
            &[]
        }
    }
}

/// The property that a key names; reports one that its kind does not have.
pub(super) fn known_property(key: &Key, kind: KindId, model: &Model, reader: &mut Reader) -> Option<PropertyId> {
    let found = model.property(kind, &key.name);
    if found.is_none() {
        let kind = model.kinds.get(kind.index());
        let known: Vec<&str> = kind
            .iter()
            .flat_map(|k| &k.properties)
            .filter_map(|p| model.properties.get(p.index()))
            .map(|p| p.name.as_str())
            .collect();
        let mut problem =
            Problem::new("knowledge::unknown-key", key.span, "not known", format!("unknown property `{}`", key.name));
        problem.help = did_you_mean(&key.name, known.into_iter())
            .or_else(|| Some("declare it in vocabulary.yaml first".to_owned()));
        reader.report(problem);
    }
    found
}

/// Whom each entity inherits from.
fn parents(drafts: &[Draft], model: &Model) -> FxHashMap<EntityId, EntityId> {
    let parent = |d: &Draft| {
        let (name, _) = d.inherits.as_ref()?;
        let kind = model.entities.get(d.entity.index())?.kind;
        let parent = model.entities.iter().position(|e| e.kind == kind && e.id == *name)?;
        Some((d.entity, EntityId(parent as u16)))
    };
    drafts.iter().filter_map(parent).collect()
}

/// Copies what an entity does not state from the one it is `as`.
fn inherit(draft: &Draft, drafts: &[Draft], model: &mut Model, reader: &mut Reader) {
    let Some(kind) = model.entities.get(draft.entity.index()).map(|e| e.kind) else {
        return;
    };
    let mut seen = vec![draft.entity];
    let mut next = draft.inherits.clone();
    while let Some((name, span)) = next {
        let parent = drafts
            .iter()
            .find(|d| model.entities.get(d.entity.index()).is_some_and(|e| e.id == name && e.kind == kind));
        let Some(parent) = parent else {
            if seen.len() == 1 {
                reader.report(unknown_member(&name, span, kind, model, false));
            }
            return;
        };
        if seen.contains(&parent.entity) {
            reader.report(
                Problem::new(
                    "knowledge::inheritance-cycle",
                    span,
                    "leads back",
                    format!("`{name}` inherits from itself"),
                )
                .help("take one of the `as:` entries out"),
            );
            return;
        }
        seen.push(parent.entity);
        let written: Vec<(PropertyId, Fact)> = model
            .entities
            .get(parent.entity.index())
            .into_iter()
            .flat_map(|e| e.facts.iter())
            .filter(|(_, f)| f.origin.inherited.is_none())
            .map(|(k, v)| (*k, v.clone()))
            .collect();
        if let Some(own) = model.entities.get_mut(draft.entity.index()) {
            for (id, mut fact) in written {
                fact.origin.inherited = Some(parent.entity);
                own.facts.entry(id).or_insert(fact);
            }
        }
        next = parent.inherits.clone();
    }
}

fn required(draft: &Draft, model: &Model, reader: &mut Reader) {
    let Some(own) = model.entities.get(draft.entity.index()) else {
        return;
    };
    if draft.class {
        return;
    }
    let Some(kind) = model.kinds.get(own.kind.index()) else {
        return;
    };
    for id in &kind.properties {
        let Some(property) = model.properties.get(id.index()) else {
            continue;
        };
        let written = match draft.properties.as_ref().map(|n| &n.value) {
            Some(document::Value::Map(pairs)) => pairs.iter().any(|(k, _)| k.name == property.name),
            _ => false,
        };
        // A value that is wrong has been reported as such.
        if property.required && !written && !own.facts.contains_key(id) {
            reader.report(
                Problem::new(
                    "knowledge::missing-property",
                    draft.span,
                    "here",
                    format!("`{}` has no `{}`: {}", own.id, property.name, property.says),
                )
                .help("write the value with its basis, or `none: true`, or `unknown: true` if nobody knows"),
            );
        }
    }
}

fn aliases(names: &FxHashMap<EntityId, Vec<(String, Span)>>, model: &Model, reader: &mut Reader) {
    let place = |alias: &str, index: usize| {
        let found = names.get(&EntityId(index as u16)).into_iter().flatten().find(|n| folded(&n.0) == alias);
        found.map_or(model.entities.get(index).map_or(Span::default(), |e| e.origin.span), |n| n.1)
    };
    for index in 0..model.kinds.len() {
        let mut seen: FxHashMap<String, (usize, &Entity)> = FxHashMap::default();
        let members = model.entities.iter().enumerate().filter(|(_, e)| e.kind.index() == index);
        for (number, entity) in members.filter(|(_, e)| e.ordinal.is_some()) {
            let mut own: Vec<String> =
                std::iter::once(&entity.name).chain(&entity.aliases).map(|a| folded(a)).collect();
            own.sort();
            own.dedup();
            for alias in own {
                if alias.is_empty() {
                    let message = format!("a name of `{}` has neither letters nor digits", entity.id);
                    let problem = Problem::new("knowledge::bad-name", place(&alias, number), "here", message);
                    reader.report(problem.help("names are told apart by letters and digits alone"));
                    continue;
                }
                if let Some(&(first, other)) = seen.get(&alias) {
                    if other.id != entity.id {
                        reader.report(
                            Problem::new(
                                "knowledge::duplicate-name",
                                place(&alias, number),
                                "here",
                                format!("`{alias}` names both `{}` and `{}`", other.id, entity.id),
                            )
                            .also(place(&alias, first), "and here")
                            .help("give the name to one of them"),
                        );
                    }
                } else {
                    seen.insert(alias, (number, entity));
                }
            }
        }
    }
    // What the shop on top calls things is held against what the words say without it.
    let top = model.overlays.len();
    for (id, own) in names {
        let Some(kind) = model.entities.get(id.index()).map(|e| e.kind) else { continue };
        let given = own.iter().filter(|n| top > 0 && model.depth(n.1) == top);
        reader.names.extend(given.map(|(name, span)| Given { name: name.clone(), kind, span: *span }));
    }
    reader.names.sort_by_key(|n| n.span);
}
