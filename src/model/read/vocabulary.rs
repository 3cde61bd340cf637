//! Kinds and properties; [`super::attributes`] reads the rest of the vocabulary.

use super::Reader;
use super::attributes::attribute;
use super::fields::{Fields, items, text, texts};
use super::speech::told;
use super::units::unknown_dimension;
use super::wishes::wishes;
use crate::diagnostic::{Problem, did_you_mean, one_of};
use crate::document::{self, Node};
use crate::model::{
    Basis, Complaints, Entity, EntityId, Kind, KindId, Mask, Model, Origin, Property, PropertyId, PropertyType, Safer,
    Step,
};
use crate::source::Span;
use crate::words::folded;
use rustc_hash::FxHashMap;

/// Reads kinds, properties and the types of attributes. The failures that safety is about are returned with their
/// places, to be looked up once the rules are known.
pub(super) fn read(model: &mut Model, reader: &mut Reader) -> Vec<(String, Span)> {
    let mut safety = Vec::new();
    let documents = reader.below("vocabulary.yaml");
    if documents.is_empty() {
        reader.report(
            Problem::nowhere("knowledge::no-vocabulary", "there is no vocabulary.yaml")
                .help("declare kinds, properties and attributes in vocabulary.yaml"),
        );
    }
    for (_, node) in &documents {
        let Some(mut f) = Fields::of(node, "the vocabulary", reader) else {
            continue;
        };
        for item in f.get("kinds").map(|n| items(n, reader)).unwrap_or_default() {
            kind(item, model, reader);
        }
        for item in f.get("properties").map(|n| items(n, reader)).unwrap_or_default() {
            property(item, model, reader);
        }
        for item in f.get("steps").map(|n| items(n, reader)).unwrap_or_default() {
            model.steps.extend(step(item, reader));
        }
        for item in f.get("attributes").map(|n| items(n, reader)).unwrap_or_default() {
            attribute(item, model, reader);
        }
        let _ = f.get("aspects");
        spoken(f.get("spoken"), model, reader);
        complaints(f.get("complaints"), model, reader);
        wishes(f.get("wishes"), model, reader);
        safety.extend(f.texts("safety", reader));
        f.done(reader);
    }
    model.safety = safety.iter().map(|s| s.0.clone()).collect();
    safety
}

/// Phrases that stand for small words of the question language: `on: [auf, sur]`.
fn spoken(node: Option<&Node>, model: &mut Model, reader: &mut Reader) {
    let Some(Node { value: document::Value::Map(pairs), .. }) = node else { return };
    for (says, phrases) in pairs {
        for (phrase, span) in texts(phrases, reader) {
            if phrase.len() < says.name.len() {
                let message = format!("`{phrase}` is shorter than `{}`", says.name);
                reader.report(
                    Problem::new("knowledge::wrong-type", span, "here", message)
                        .help("what stands for it must be no longer, so that every word stays at its place"),
                );
            }
            model.spoken.push((says.name.clone(), folded(&phrase)));
        }
    }
    model.spoken.sort_by_key(|s| std::cmp::Reverse(s.1.split(' ').count()));
}

/// Words of complaints, by what they do there.
fn complaints(node: Option<&Node>, model: &mut Model, reader: &mut Reader) {
    let Some(mut f) = node.and_then(|n| Fields::of(n, "`complaints`", reader)) else { return };
    let mut words = |key: &'static str| f.texts(key, reader).into_iter().map(|t| t.0.to_lowercase()).collect();
    model.complaints = Complaints {
        idle: words("idle"),
        tellers: words("tellers"),
        leads: words("leads"),
        when: words("when"),
        place: words("place"),
        time: words("time"),
        onto: words("onto"),
    };
    f.done(reader);
}

fn step(item: &Node, reader: &mut Reader) -> Option<Step> {
    let mut f = Fields::of(item, "a step of work", reader)?;
    let name = f.need_text("step", reader).unwrap_or_default();
    let title = f.need_text("title", reader).unwrap_or_default();
    let tests = f.flag("tests", reader);
    let beside = f.text("beside", reader);
    let sets_up = f.flag("sets_up", reader);
    f.done(reader);
    Some(Step { name, title, tests, beside, sets_up })
}

fn kind(item: &Node, model: &mut Model, reader: &mut Reader) {
    let Some(mut f) = Fields::of(item, "a kind", reader) else {
        return;
    };
    let name = f.need_text("kind", reader).unwrap_or_default();
    let plural = f.text("plural", reader).unwrap_or_else(|| format!("{name}s"));
    let says = f.need_text("says", reader).unwrap_or_default();
    let mut folder = f.text("folder", reader);
    // Plain words, or words with the other names that people use for them.
    let mut values: Vec<(String, Span, Vec<String>)> = match f.get("values") {
        None => Vec::new(),
        Some(Node { value: document::Value::Map(pairs), .. }) => pairs
            .iter()
            .map(|(k, v)| (k.name.clone(), k.span, texts(v, reader).into_iter().map(|t| t.0).collect()))
            .collect(),
        Some(node) => texts(node, reader).into_iter().map(|(t, s)| (t, s, Vec::new())).collect(),
    };
    let span = f.span;
    if model.kind(&name).is_some() {
        reader.report(Problem::new(
            "knowledge::duplicate-id",
            span,
            "again",
            format!("kind `{name}` is declared twice"),
        ));
    }
    let taken = |f: &String| {
        ["rules", "steps", "cases"].contains(&f.as_str()) || model.kinds.iter().any(|k| k.folder.as_ref() == Some(f))
    };
    if let Some(folder) = folder.take_if(|f| taken(f)) {
        let message = format!("the folder `{folder}` is taken");
        reader.report(
            Problem::new("knowledge::duplicate-id", span, "here", message).help("give each kind a folder of its own"),
        );
    } else if folder.is_none() && values.is_empty() {
        reader.report(
            Problem::new("knowledge::missing-key", span, "here", "a kind needs its members")
                .help("add `folder:` for entities in files, or `values:` for plain words"),
        );
    }
    f.done(reader);
    values.sort();
    let id = KindId(model.kinds.len() as u16);
    let mut members = Vec::new();
    for (ordinal, (value, span, aliases)) in values.into_iter().enumerate() {
        members.push(EntityId(model.entities.len() as u16));
        model.entities.push(Entity {
            name: value.replace('-', " "),
            id: value,
            kind: id,
            ordinal: Some(ordinal),
            aliases,
            loose: Vec::new(),
            members: Mask::one(ordinal),
            origin: Origin { basis: Basis::CommonPractice, sources: Vec::new(), note: None, span, inherited: None },
            facts: FxHashMap::default(),
        });
    }
    model.kinds.push(Kind { name, plural, folder, says, members, properties: Vec::new() });
}

pub(super) fn kind_of(name: &str, span: Span, model: &Model, reader: &mut Reader) -> Option<KindId> {
    let found = model.kind(name);
    if found.is_none() {
        let mut problem = Problem::new("knowledge::unknown-kind", span, "here", format!("unknown kind `{name}`"));
        problem.help = did_you_mean(name, model.kinds.iter().map(|k| k.name.as_str()));
        reader.report(problem);
    }
    found
}

fn property(item: &Node, model: &mut Model, reader: &mut Reader) {
    let Some(mut f) = Fields::of(item, "a property", reader) else {
        return;
    };
    let name = f.need_text("property", reader).unwrap_or_default();
    let of = f.need("of", reader).and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let ty = f.need("type", reader).and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let required = f.flag("required", reader);
    let safer = f.get("safer").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    let says = f.need_text("says", reader).unwrap_or_default();
    let ask = f.text("ask", reader);
    let told = told(&mut f, reader);
    let span = f.span;
    f.done(reader);
    let Some(kind) = of.and_then(|(t, s)| kind_of(&t, s, model, reader)) else {
        return;
    };
    let Some(ty) = ty.and_then(|(t, s)| property_type(&t, s, model, reader)) else {
        return;
    };
    if model.property(kind, &name).is_some() {
        reader.report(Problem::new(
            "knowledge::duplicate-id",
            span,
            "again",
            format!("property `{name}` is declared twice"),
        ));
        return;
    }
    let id = PropertyId(model.properties.len() as u16);
    let safer = safer.and_then(|(t, s)| safer_side(&t, s, ty, reader));
    model.properties.push(Property { name, kind, ty, required, safer, says, ask, told });
    if let Some(k) = model.kinds.get_mut(kind.index()) {
        k.properties.push(id);
    }
}

/// How an overlay may change a property, in the words that suit its type.
fn safer_side(word: &str, span: Span, ty: PropertyType, reader: &mut Reader) -> Option<Safer> {
    let (known, allowed): (Option<Safer>, &[&str]) = match (ty, word) {
        (_, "kept") => return Some(Safer::Kept),
        (PropertyType::Quantity(_) | PropertyType::Window(_) | PropertyType::Schedule { .. }, w) => (
            match w {
                "lower" => Some(Safer::Lower),
                "higher" => Some(Safer::Higher),
                _ => None,
            },
            &["lower", "higher", "kept"],
        ),
        (PropertyType::YesNo, w) => (
            match w {
                "yes" => Some(Safer::Yes),
                "no" => Some(Safer::No),
                _ => None,
            },
            &["yes", "no", "kept"],
        ),
        (PropertyType::Text, w) => ((w == "added").then_some(Safer::Added), &["added", "kept"]),
        (PropertyType::Choice(_) | PropertyType::Set(_), _) => (None, &["kept"]),
    };
    if known.is_none() {
        reader.report(
            Problem::new("knowledge::wrong-type", span, "here", format!("this property has no `{word}` side"))
                .help(format!("use {}", one_of(allowed))),
        );
    }
    known
}

pub(super) fn property_type(written: &str, span: Span, model: &Model, reader: &mut Reader) -> Option<PropertyType> {
    let words: Vec<&str> = written.split_whitespace().collect();
    match words.as_slice() {
        ["text"] => Some(PropertyType::Text),
        ["yes/no"] => Some(PropertyType::YesNo),
        ["choice", "of", kind] => kind_of(kind, span, model, reader).map(PropertyType::Choice),
        ["set", "of", kind] => kind_of(kind, span, model, reader).map(PropertyType::Set),
        ["window", dimension] => {
            let found = model.dimension(dimension);
            if found.is_none() {
                unknown_dimension(dimension, span, model, reader);
            }
            found.map(PropertyType::Window)
        }
        ["schedule", at, "to", needs] => match (model.dimension(at), model.dimension(needs)) {
            (Some(at), Some(needs)) => Some(PropertyType::Schedule { at, needs }),
            _ => {
                unknown_dimension(written, span, model, reader);
                None
            }
        },
        [dimension] => {
            let found = model.dimension(dimension);
            if found.is_none() {
                unknown_dimension(dimension, span, model, reader);
            }
            found.map(PropertyType::Quantity)
        }
        _ => {
            unknown_dimension(written, span, model, reader);
            None
        }
    }
}

/// The member of a kind that an id names; reports a class or an unknown name.
pub(super) fn member(word: &str, span: Span, kind: KindId, model: &Model, reader: &mut Reader) -> Option<usize> {
    let ordinal = model.entity(kind, word).and_then(|e| e.ordinal);
    if ordinal.is_none() {
        reader.report(unknown_member(word, span, kind, model, false));
    }
    ordinal
}

/// The problem of a name that is no member (or class) of a kind.
pub(super) fn unknown_member(word: &str, span: Span, kind: KindId, model: &Model, classes: bool) -> Problem {
    let kind_name = model.kinds.get(kind.index()).map_or("", |k| k.name.as_str());
    let known =
        model.entities.iter().filter(|e| e.kind == kind && (classes || e.ordinal.is_some())).map(|e| e.id.as_str());
    let mut problem =
        Problem::new("knowledge::unknown-name", span, "not known", format!("unknown {kind_name} `{word}`"));
    problem.help = did_you_mean(word, known);
    problem
}
