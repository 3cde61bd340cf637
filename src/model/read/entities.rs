//! Entities, one a file: names, classes, and property values with their origin.

use super::Reader;
use super::fields::{Fields, origin, text, texts};
use super::values::fact;
use super::vocabulary::unknown_member;
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::{self, Node};
use crate::model::{Entity, EntityId, Fact, KindId, Mask, Model, PropertyId};
use crate::source::Span;
use rustc_hash::FxHashMap;

struct Draft {
    entity: EntityId,
    is: Vec<(String, Span)>,
    inherits: Option<(String, Span)>,
    properties: Option<Node>,
    span: Span,
    class: bool,
}

/// Reads all entities.
pub(super) fn read(model: &mut Model, reader: &mut Reader) {
    let mut drafts = Vec::new();
    for index in 0..model.kinds.len() {
        let kind = KindId(index as u16);
        let Some(folder) = model.kinds.get(index).and_then(|k| k.folder.clone()) else {
            continue;
        };
        for (name, node) in reader.below(&format!("{folder}/")) {
            drafts.extend(entity(&name, &node, kind, model, reader));
        }
        number_members(kind, model);
    }
    for draft in &drafts {
        classes(draft, &drafts, model, reader);
    }
    for draft in &drafts {
        properties(draft, model, reader);
    }
    for draft in &drafts {
        inherit(draft, &drafts, model, reader);
    }
    for draft in &drafts {
        required(draft, model, reader);
    }
    aliases(model, reader);
}

fn entity(file: &str, node: &Node, kind: KindId, model: &mut Model, reader: &mut Reader) -> Option<Draft> {
    let mut f = Fields::of(node, "an entity", reader)?;
    let id = f.need_text("id", reader)?;
    let span = node_span(&mut f, "id");
    let name = f.need_text("name", reader).unwrap_or_default();
    let mut names: Vec<String> = f.texts("also", reader).into_iter().map(|t| t.0).collect();
    if let Some(n) = f.get("names") {
        if let document::Value::Map(languages) = &n.value {
            for (_, list) in languages {
                names.extend(texts(list, reader).into_iter().map(|t| t.0));
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
    names.extend(f.texts("codes", reader).into_iter().map(|t| t.0));
    let loose = f.texts("loosely", reader).into_iter().map(|t| t.0).collect();
    let is = f.texts("is", reader);
    let inherits = f.get("as").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let class = f.flag("class", reader);
    let properties = f.get("properties").cloned();
    let found = origin(&mut f, model, reader);
    f.done(reader);
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
    if let Some(first) = model.entity(kind, &id) {
        let first = first.origin.span;
        reader.report(
            Problem::new("knowledge::duplicate-id", span, "again", format!("`{id}` is written twice"))
                .also(first, "first here"),
        );
        return None;
    }
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
        aliases: names,
        loose,
        members: Mask::EMPTY,
        origin: found?,
        facts: FxHashMap::default(),
    });
    Some(Draft { entity, is, inherits, properties, span, class })
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
    let Some(node) = &draft.properties else {
        return;
    };
    let document::Value::Map(pairs) = &node.value else {
        reader.report(Problem::new(
            "knowledge::wrong-type",
            node.span,
            "here",
            "properties are written as keys and values",
        ));
        return;
    };
    for (key, value) in pairs {
        let Some(id) = model.property(own.kind, &key.name) else {
            let kind = model.kinds.get(own.kind.index());
            let known: Vec<&str> = kind
                .iter()
                .flat_map(|k| &k.properties)
                .filter_map(|p| model.properties.get(p.index()))
                .map(|p| p.name.as_str())
                .collect();
            let mut problem = Problem::new(
                "knowledge::unknown-key",
                key.span,
                "not known",
                format!("unknown property `{}`", key.name),
            );
            problem.help = did_you_mean(&key.name, known.into_iter())
                .or_else(|| Some("declare it in vocabulary.yaml first".to_owned()));
            reader.report(problem);
            continue;
        };
        let Some(property) = model.properties.get(id.index()).cloned() else {
            continue;
        };
        if let Some(fact) = fact(value, key.span, &property, model, reader)
            && let Some(e) = model.entities.get_mut(draft.entity.index())
        {
            e.facts.insert(id, fact);
        }
    }
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

fn aliases(model: &Model, reader: &mut Reader) {
    for index in 0..model.kinds.len() {
        let mut seen: FxHashMap<String, &Entity> = FxHashMap::default();
        for entity in model.entities.iter().filter(|e| e.kind.index() == index && e.ordinal.is_some()) {
            let mut own: Vec<String> =
                std::iter::once(&entity.name).chain(&entity.aliases).map(|a| crate::words::folded(a)).collect();
            own.sort();
            own.dedup();
            for alias in own {
                if let Some(other) = seen.get(&alias) {
                    if other.id != entity.id {
                        reader.report(
                            Problem::new(
                                "knowledge::duplicate-name",
                                entity.origin.span,
                                "here",
                                format!("`{alias}` names both `{}` and `{}`", other.id, entity.id),
                            )
                            .also(other.origin.span, "and here")
                            .help("give the name to one of them"),
                        );
                    }
                } else {
                    seen.insert(alias, entity);
                }
            }
        }
    }
}
