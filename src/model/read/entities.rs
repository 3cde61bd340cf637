//! Entities, one a file: names, classes, and property values with their origin.

use super::Reader;
use super::changes::{Change, Replacement, apply, change};
use super::fields::{Fields, id_fits, origin, text, texts};
use super::values::fact;
use super::vocabulary::unknown_member;
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::{self, Key, Node};
use crate::model::{Entity, EntityId, Fact, KindId, Mask, Model, Origin, PropertyId};
use crate::source::Span;
use rustc_hash::{FxHashMap, FxHashSet};

struct Draft {
    entity: EntityId,
    is: Vec<(String, Span)>,
    inherits: Option<(String, Span)>,
    properties: Option<Node>,
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
    aliases(&changes, model, reader);
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
    let mut aliases: Vec<String> = names(&mut f, reader).into_iter().map(|n| n.0).collect();
    aliases.extend(f.texts("codes", reader).into_iter().map(|t| t.0));
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
    Some(Entry::New(Draft { entity, is, inherits, properties, span, class }))
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

fn aliases(changes: &[Change], model: &Model, reader: &mut Reader) {
    // A name that an overlay gives to a thing is written in the overlay.
    let place = |alias: &str, entity: &Entity| {
        let given =
            changes.iter().filter(|c| model.entities.get(c.entity.index()).is_some_and(|e| std::ptr::eq(e, entity)));
        let found = given.flat_map(|c| &c.names).find(|n| crate::words::folded(&n.0) == alias);
        found.map_or(entity.origin.span, |n| n.1)
    };
    for index in 0..model.kinds.len() {
        let mut seen: FxHashMap<String, &Entity> = FxHashMap::default();
        for entity in model.entities.iter().filter(|e| e.kind.index() == index && e.ordinal.is_some()) {
            let mut own: Vec<String> =
                std::iter::once(&entity.name).chain(&entity.aliases).map(|a| crate::words::folded(a)).collect();
            own.sort();
            own.dedup();
            for alias in own {
                if alias.is_empty() {
                    let message = format!("a name of `{}` has neither letters nor digits", entity.id);
                    let problem = Problem::new("knowledge::bad-name", place(&alias, entity), "here", message);
                    reader.report(problem.help("names are told apart by letters and digits alone"));
                    continue;
                }
                if let Some(other) = seen.get(&alias) {
                    if other.id != entity.id {
                        reader.report(
                            Problem::new(
                                "knowledge::duplicate-name",
                                place(&alias, entity),
                                "here",
                                format!("`{alias}` names both `{}` and `{}`", other.id, entity.id),
                            )
                            .also(place(&alias, other), "and here")
                            .help("give the name to one of them"),
                        );
                    }
                } else {
                    seen.insert(alias, entity);
                }
            }
        }
    }
    for (index, entity) in model.entities.iter().enumerate().filter(|(_, e)| e.ordinal.is_some()) {
        for name in std::iter::once(&entity.name).chain(&entity.aliases).map(|a| crate::words::folded(a)) {
            let span = place(&name, entity);
            reader.names.push((name, EntityId(index as u16), model.depth(span), span));
        }
    }
}

/// A name that an overlay gives must not swallow words that say something else: a colour called `flame retardant white`
/// would take the finish out of what was asked. What the words say is known once the attributes are.
pub(super) fn hidden_words(model: &Model, reader: &mut Reader) {
    let names = std::mem::take(&mut reader.names);
    // Of each name the layers that give it, and to a thing of which kind.
    let mut known: FxHashMap<&str, Vec<(usize, KindId)>> = FxHashMap::default();
    for (name, id, depth, _) in &names {
        let Some(entity) = model.entities.get(id.index()) else { continue };
        known.entry(name).or_default().push((*depth, entity.kind));
    }
    let mut spoken: FxHashSet<String> = FxHashSet::default();
    for a in &model.attributes {
        let speech = &a.speech;
        let lists = [&speech.called, &speech.idle, &speech.none, &speech.counted, &speech.parts, &speech.others];
        spoken.extend(lists.into_iter().flatten().chain(&a.words.0).chain(&a.words.1).map(|w| crate::words::folded(w)));
        spoken.extend(speech.unclear.iter().map(|w| w.0.clone()));
        spoken.extend(speech.mixtures.iter().chain(&speech.lacks).map(|w| w.0.clone()));
    }
    let built_in = |e: &&Entity| model.depth(e.origin.span) == 0;
    spoken.extend(model.entities.iter().filter(built_in).flat_map(|e| &e.loose).map(|w| crate::words::folded(w)));
    for (name, id, depth, span) in names.iter().filter(|n| n.2 > 0) {
        let Some(entity) = model.entities.get(id.index()) else { continue };
        let below = |text: &str| known.get(text).into_iter().flatten().filter(|k| k.0 < *depth);
        // However the reader may take it: a plural, or none.
        let forms = |text: &str| [text.to_owned(), format!("{text}s"), text.trim_end_matches('s').to_owned()];
        let says = |text: &str| {
            JOINING.contains(&text)
                || forms(text).iter().any(|f| spoken.contains(f.as_str()) || below(f).next().is_some())
        };
        let words: Vec<&str> = name.split(' ').collect();
        // Of the same kind a whole name was reported.
        let same = below(name).any(|k| k.1 == entity.kind);
        if !same && readable(&words, &says) {
            let message = format!("without this name `{name}` says something else, which would no longer be heard");
            reader.report(
                Problem::new("knowledge::name-hides-words", *span, "here", message)
                    .help("give it a name with a word of its own, such as the shop's"),
            );
        }
    }
}

/// Words that join others and say nothing by themselves.
const JOINING: [&str; 30] = [
    "a", "an", "and", "at", "by", "e", "en", "et", "for", "from", "i", "in", "is", "it", "made", "mit", "my", "no",
    "non", "not", "of", "on", "or", "some", "the", "this", "to", "und", "with", "without",
];

/// Whether words can be read one name after another.
fn readable(words: &[&str], known: &dyn Fn(&str) -> bool) -> bool {
    let mut until = vec![true];
    for end in 1..=words.len() {
        let reached = (0..end).any(|from| {
            until.get(from).is_some_and(|u| *u) && words.get(from..end).is_some_and(|w| known(&w.join(" ")))
        });
        until.push(reached);
    }
    until.last().is_some_and(|u| *u)
}
