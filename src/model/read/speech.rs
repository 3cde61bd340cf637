//! How people speak of attributes, and how answers tell their values.

use super::Reader;
use super::fields::{Fields, items, text, texts};
use super::rules::{known_attribute, named_attribute};
use super::units::quantity;
use super::vocabulary::{kind_of, member};
use crate::diagnostic::Problem;
use crate::document::{self, Node};
use crate::model::{Attribute, AttributeId, AttributeType, Behind, Mask, Model, Speech, Told, UsualShares, Whom};
use crate::words::folded;

pub(super) fn told(f: &mut Fields<'_>, reader: &mut Reader) -> Told {
    let Some(mut t) = f.get("told").and_then(|n| Fields::of(n, "`told`", reader)) else { return Told::default() };
    let told = Told {
        is: t.text("is", reader),
        not: t.text("not", reader),
        said: t.text("said", reader),
        instead: t.text("instead", reader),
        ranked: t.text("ranked", reader),
        below: t.text("below", reader),
        over: t.text("over", reader),
        add: t.text("add", reader),
        without: t.text("without", reader),
        unaimed: t.text("unaimed", reader),
    };
    t.done(reader);
    told
}

pub(super) fn speech(node: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Speech {
    let Some(mut f) = Fields::of(node, "`words`", reader) else {
        return Speech::default();
    };
    let _ = (f.get("yes"), f.get("no"));
    let mut words = |key: &'static str, reader: &mut Reader| -> Vec<String> {
        f.texts(key, reader).into_iter().map(|t| folded(&t.0)).collect()
    };
    let mut speech = Speech {
        called: words("called", reader),
        idle: words("idle", reader).into_iter().collect(),
        none: words("none", reader),
        counted: words("counted", reader),
        added: words("added", reader),
        parts: words("parts", reader),
        others: words("others", reader),
        blended: words("blended", reader),
        ..Speech::default()
    };
    speech.of_print = f.texts("of_print", reader).iter().map(|t| numbered(&t.0)).collect();
    for (word, says) in pairs(f.get("unclear")) {
        speech.unclear.extend(text(says, reader).map(|s| (folded(word), s)));
    }
    // Of words that stand in two groups, the first says it.
    for (word, says) in asides(f.get("aside"), reader) {
        speech.aside.entry(word).or_insert(says);
    }
    speech.either = f.flag("either", reader);
    let counts = f.get("counts").and_then(|n| text(n, reader).map(|t| (t, n.span)));
    speech.counts = counts.and_then(|(kind, span)| kind_of(&kind, span, model, reader));
    speech.times = f.get("times").and_then(|node| named_attribute(node, model, reader));
    for (name, node) in pairs(f.get("sizes")) {
        speech.sizes.extend(size(node, attribute, model, reader).map(|s| (folded(name), s)));
    }
    let mut groups = |key: &'static str, reader: &mut Reader| -> Vec<(String, Vec<usize>)> {
        let mut list = Vec::new();
        for (word, node) in pairs(f.get(key)) {
            let Some(kind) = attribute.ty.members() else { continue };
            let named = texts(node, reader).into_iter().filter_map(|(t, s)| member(&t, s, kind, model, reader));
            list.push((folded(word), named.collect()));
        }
        list
    };
    speech.mixtures = groups("mixtures", reader);
    speech.lacks = groups("lacks", reader);
    for (word, node) in pairs(f.get("partners")) {
        let (Some(kind), Some(with)) = (attribute.ty.members(), text(node, reader)) else { continue };
        let of = member(word, node.span, kind, model, reader);
        speech.partners.extend(of.zip(member(&with, node.span, kind, model, reader)));
    }
    for item in f.get("usual_shares").map(|n| items(n, reader)).unwrap_or_default() {
        speech.usual_shares.extend(usual_shares(item, attribute, model, reader));
    }
    for item in f.get("behind").map(|n| items(n, reader)).unwrap_or_default() {
        speech.behind.extend(behind(item, attribute, model, reader));
    }
    if let AttributeType::Quantity(d) | AttributeType::Setting(d) = attribute.ty {
        let mut end = |key: &'static str, reader: &mut Reader| {
            let node = f.get(key)?;
            text(node, reader).and_then(|t| quantity(&t, node.span, d, model, reader))
        };
        speech.bare_from = end("bare_from", reader);
        speech.bare_to = end("bare_to", reader);
        speech.bare_behind = f.texts("bare_behind", reader).into_iter().map(|t| folded(&t.0)).collect();
        for (unit, node) in pairs(f.get("bare_units")) {
            let ends: Vec<i64> =
                texts(node, reader).iter().filter_map(|(t, s)| quantity(t, *s, d, model, reader)).collect();
            match ends.as_slice() {
                [low, high] => speech.bare_units.push((unit.to_owned(), *low, *high)),
                _ => {
                    let problem = Problem::new("knowledge::wrong-type", node.span, "here", "this is no least and most");
                    reader.report(problem.help("write it like [100 °C, 200 °C]"));
                }
            }
        }
    }
    speech.whom = f.get("whom").and_then(|node| whom(node, model, reader));
    f.done(reader);
    speech
}

/// Shares without names, and on which goods they are of which members.
fn usual_shares(node: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Option<UsualShares> {
    let mut f = Fields::of(node, "`usual_shares`", reader)?;
    let kind = attribute.ty.members()?;
    let shares = f.texts("shares", reader).into_iter().map(|t| folded(&t.0)).collect();
    let of = f.texts("of", reader);
    let of = of.iter().filter_map(|(t, s)| member(t, *s, kind, model, reader)).collect();
    let on = said_of(&mut f, model, reader);
    f.done(reader);
    Some(UsualShares { shares, of, on })
}

/// What must be said for it to hold: `where: {garment: [hoodie]}`.
fn said_of(f: &mut Fields<'_>, model: &Model, reader: &mut Reader) -> Vec<(AttributeId, Mask)> {
    let mut on = Vec::new();
    for (name, node) in pairs(f.get("where")) {
        let Some(id) = known_attribute(name, node.span, model, reader) else { continue };
        let Some(kind) = id.of(model).and_then(|a| a.ty.members()) else { continue };
        let mut named = Mask::EMPTY;
        let members = texts(node, reader).into_iter().filter_map(|(t, s)| member(&t, s, kind, model, reader));
        members.for_each(|m| named.insert(m));
        on.push((id, named));
    }
    on
}

/// Two quantities of what the attribute is measured in: `[21 cm, 29.7 cm]`.
fn size(node: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Option<[String; 2]> {
    let (AttributeType::Quantity(d) | AttributeType::Setting(d)) = attribute.ty else {
        let message = "only what is measured has sizes with a name";
        reader.report(Problem::new("knowledge::wrong-type", node.span, "here", message));
        return None;
    };
    let written = texts(node, reader);
    let known = written.iter().filter(|(t, s)| quantity(t, *s, d, model, reader).is_some()).count();
    let sides: Vec<String> = written.iter().map(|w| w.0.clone()).collect();
    match <[String; 2]>::try_from(sides) {
        Ok(sides) => (known == 2).then_some(sides),
        Err(_) => {
            let problem = Problem::new("knowledge::wrong-type", node.span, "here", "a size has two sides");
            reader.report(problem.help("write it like [21 cm, 29.7 cm]"));
            None
        }
    }
}

/// Words as they are looked for, with `#` for any number.
fn numbered(words: &str) -> String {
    words.split('#').map(folded).collect::<Vec<_>>().join(" # ").trim().to_owned()
}

/// Words that say nothing of the job, each with what is to be said of it.
pub(super) fn asides(groups: Option<&Node>, reader: &mut Reader) -> Vec<(String, String)> {
    let groups = groups.map_or(&[][..], |n| items(n, reader));
    groups.iter().flat_map(|group| aside(group, reader)).collect()
}

/// Words of which the same is to be said. `#` is any number, `##` at the end any of them in a row, and `{name}` stands for each word of a list in the group.
fn aside(node: &Node, reader: &mut Reader) -> Vec<(String, String)> {
    let Some(mut f) = Fields::of(node, "`aside`", reader) else { return Vec::new() };
    let says = f.get("says").and_then(|n| text(n, reader)).unwrap_or_default();
    let mut all: Vec<String> = f.texts("words", reader).into_iter().map(|w| w.0).collect();
    for (name, node) in pairs(f.get("lists")) {
        let (place, words) = (format!("{{{name}}}"), texts(node, reader));
        let filled = |word: &String| match word.contains(&place) {
            true => words.iter().map(|w| word.replace(&place, &w.0)).collect(),
            false => vec![word.clone()],
        };
        all = all.iter().flat_map(filled).collect();
    }
    f.done(reader);
    let told = |word: &String| match word.strip_suffix("##") {
        Some(lead) => format!("{} ##", folded(lead)),
        None => numbered(word),
    };
    all.iter().map(|word| (told(word), says.clone())).collect()
}

/// How that begins which something is for, and what is to be said of it.
fn whom(node: &Node, model: &Model, reader: &mut Reader) -> Option<Whom> {
    let mut f = Fields::of(node, "`whom`", reader)?;
    let mut words =
        |key: &'static str| -> Vec<String> { f.texts(key, reader).into_iter().map(|t| folded(&t.0)).collect() };
    let (leads, unless) = (words("leads"), words("unless"));
    let named = f.get("among").map(|n| items(n, reader)).unwrap_or_default();
    let among = named.iter().filter_map(|n| named_attribute(n, model, reader)).collect();
    let says = f.get("says").and_then(|n| text(n, reader));
    f.done(reader);
    Some(Whom { leads, says: says?, unless, among })
}

/// What a quantity behind words of this attribute says of it.
fn behind(node: &Node, attribute: &Attribute, model: &Model, reader: &mut Reader) -> Option<Behind> {
    let mut f = Fields::of(node, "`behind`", reader)?;
    let of = f.get("of").and_then(|n| named_attribute(n, model, reader));
    let counts = f.get("counts").and_then(|n| named_attribute(n, model, reader));
    let mut words =
        |key: &'static str| -> Vec<String> { f.texts(key, reader).into_iter().map(|t| folded(&t.0)).collect() };
    let (says, times) = (words("words"), words("times"));
    let dimension = match of.and_then(|id| id.of(model)).map(|a| a.ty) {
        Some(AttributeType::Quantity(d) | AttributeType::Setting(d)) => Some(d),
        _ => None,
    };
    let mut up_to = Vec::new();
    for (written, says) in pairs(f.get("up_to")) {
        let (Some(d), Some(kind)) = (dimension, attribute.ty.members()) else { continue };
        let Some(steps) = quantity(written, says.span, d, model, reader) else { continue };
        let named = text(says, reader).filter(|t| t != "nothing");
        up_to.push((steps, named.and_then(|t| member(&t, says.span, kind, model, reader))));
    }
    up_to.sort_by_key(|u| u.0);
    let written = f.texts("bare", reader);
    let bare = dimension.map(|d| written.iter().filter_map(|(t, s)| quantity(t, *s, d, model, reader)).collect());
    let aside = f.get("aside").and_then(|n| text(n, reader));
    let alone = f.flag("alone", reader);
    let at_most = f.flag("at_most", reader);
    let difference = dimension.map(|d| model.dim(d).and_then(|own| own.difference).unwrap_or(d));
    let less = f
        .get("less")
        .zip(difference)
        .and_then(|(node, d)| text(node, reader).and_then(|written| quantity(&written, node.span, d, model, reader)));
    let less = less.unwrap_or(0);
    let on = said_of(&mut f, model, reader);
    f.done(reader);
    let bare = bare.unwrap_or_default();
    Some(Behind { of: of?, words: says, times, counts, up_to, bare, aside, alone, at_most, less, on })
}

pub(super) fn pairs(node: Option<&Node>) -> Vec<(&str, &Node)> {
    match node.map(|n| &n.value) {
        Some(document::Value::Map(pairs)) => pairs.iter().map(|(k, v)| (k.name.as_str(), v)).collect(),
        _ => Vec::new(),
    }
}
