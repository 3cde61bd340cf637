//! Reading the keys of a YAML map: each once, unknown ones reported with the nearest known.

use super::Reader;
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::{Node, Value};
use crate::model::{Basis, Model, Origin, SourceId};
use crate::source::Span;

/// The keys of one map. [`Fields::done`] reports those that nobody asked for.
pub(crate) struct Fields<'a> {
    /// Where the map begins.
    pub(crate) span: Span,
    pairs: Vec<(&'a crate::document::Key, &'a Node, bool)>,
    asked: Vec<&'static str>,
}

impl<'a> Fields<'a> {
    /// Takes a map; reports anything else.
    pub(crate) fn of(node: &'a Node, what: &str, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Map(pairs) => {
                let span = pairs.first().map_or(node.span, |p| p.0.span);
                Some(Self { span, pairs: pairs.iter().map(|(k, v)| (k, v, false)).collect(), asked: Vec::new() })
            }
            _ => {
                reader.report(
                    Problem::new(
                        "knowledge::wrong-type",
                        node.span,
                        "here",
                        format!("{what} is written as keys and values"),
                    )
                    .help("write `key: value` lines"),
                );
                None
            }
        }
    }

    /// The keys present, in order.
    pub(crate) fn keys(&self) -> Vec<&'a str> {
        self.pairs.iter().map(|p| p.0.name.as_str()).collect()
    }

    /// The place of a key, or of the map.
    pub(crate) fn place(&self, key: &str) -> Span {
        self.pairs.iter().find(|p| p.0.name == key).map_or(self.span, |p| p.0.span)
    }

    /// The value of a key.
    pub(crate) fn get(&mut self, key: &'static str) -> Option<&'a Node> {
        self.asked.push(key);
        let found = self.pairs.iter_mut().find(|p| p.0.name == key)?;
        found.2 = true;
        Some(found.1)
    }

    /// The value of a key that must be there.
    pub(crate) fn need(&mut self, key: &'static str, reader: &mut Reader) -> Option<&'a Node> {
        let node = self.get(key);
        if node.is_none() {
            reader.report(
                Problem::new("knowledge::missing-key", self.span, "here", format!("`{key}` is missing"))
                    .help(format!("add `{key}:`")),
            );
        }
        node
    }

    /// Text of a key.
    pub(crate) fn text(&mut self, key: &'static str, reader: &mut Reader) -> Option<String> {
        self.get(key).and_then(|n| text(n, reader))
    }

    /// Text of a key that must be there.
    pub(crate) fn need_text(&mut self, key: &'static str, reader: &mut Reader) -> Option<String> {
        self.need(key, reader).and_then(|n| text(n, reader))
    }

    /// A list of texts; one text counts as a list of one.
    pub(crate) fn texts(&mut self, key: &'static str, reader: &mut Reader) -> Vec<(String, Span)> {
        self.get(key).map(|n| texts(n, reader)).unwrap_or_default()
    }

    /// Yes or no of a key.
    pub(crate) fn flag(&mut self, key: &'static str, reader: &mut Reader) -> bool {
        self.get(key).and_then(|n| flag(n, reader)).unwrap_or(false)
    }

    /// Lets every key pass: what is wrong with the whole has been reported.
    pub(crate) fn excuse(&mut self) {
        self.pairs.iter_mut().for_each(|p| p.2 = true);
    }

    /// Reports keys that nobody asked for.
    pub(crate) fn done(self, reader: &mut Reader) {
        for (key, _, used) in &self.pairs {
            if !used {
                let mut problem = Problem::new(
                    "knowledge::unknown-key",
                    key.span,
                    "not known",
                    format!("unknown key `{}`", key.name),
                );
                problem.help = did_you_mean(&key.name, self.asked.iter().copied());
                reader.report(problem);
            }
        }
    }
}

/// Text of a scalar.
pub(crate) fn text(node: &Node, reader: &mut Reader) -> Option<String> {
    match &node.value {
        Value::Text(t) => Some(t.clone()),
        Value::Bool(b) => {
            let message = format!("`{b}` is a yes/no, and this must be a text");
            reader.report(Problem::new("knowledge::wrong-type", node.span, "here", message).help("quote it"));
            None
        }
        Value::Null => {
            let problem = Problem::new("knowledge::wrong-type", node.span, "here", "nothing is written here");
            reader.report(problem.help("write a value, or take the key out"));
            None
        }
        _ => {
            let problem = Problem::new("knowledge::wrong-type", node.span, "here", "this must be one text");
            reader.report(problem.help("write one text, without brackets"));
            None
        }
    }
}

/// Reports an id that is not lower case letters and digits with hyphens between.
pub(crate) fn id_fits(id: &str, span: Span, reader: &mut Reader) {
    let part = |p: &str| !p.is_empty() && p.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    if !id.split('-').all(part) {
        reader.report(
            Problem::new("knowledge::bad-id", span, "here", format!("`{id}` cannot be an id"))
                .help("write lower case letters and digits, with hyphens between"),
        );
    }
}

/// Texts of a scalar or list.
pub(crate) fn texts(node: &Node, reader: &mut Reader) -> Vec<(String, Span)> {
    match &node.value {
        Value::List(items) => items.iter().filter_map(|i| text(i, reader).map(|t| (t, i.span))).collect(),
        _ => text(node, reader).map(|t| (t, node.span)).into_iter().collect(),
    }
}

/// Yes or no of a scalar.
pub(crate) fn flag(node: &Node, reader: &mut Reader) -> Option<bool> {
    match &node.value {
        Value::Bool(b) => Some(*b),
        Value::Text(t) if t == "yes" => Some(true),
        Value::Text(t) if t == "no" => Some(false),
        _ => {
            reader.report(Problem::new("knowledge::wrong-type", node.span, "here", "this must be `yes` or `no`"));
            None
        }
    }
}

/// The items of a top-level list.
pub(crate) fn items<'a>(node: &'a Node, reader: &mut Reader) -> &'a [Node] {
    match &node.value {
        Value::List(items) => items,
        Value::Null => &[],
        _ => {
            reader.report(Problem::new(
                "knowledge::wrong-type",
                node.span,
                "here",
                "this file must be a list (`- …` entries)",
            ));
            &[]
        }
    }
}

/// Reads `basis`, `source` and `note`; a note on the whole serves for its parts.
pub(crate) fn origin(
    fields: &mut Fields<'_>,
    note_of_whole: Option<&str>,
    model: &Model,
    reader: &mut Reader,
) -> Option<Origin> {
    let note = fields.text("note", reader);
    let source_node = fields.get("source");
    let cited = source_node.map(|n| texts(n, reader)).unwrap_or_default();
    let mut sources = Vec::new();
    for (id, span) in &cited {
        match model.sources.iter().position(|s| s.id == *id) {
            Some(i) => sources.push(SourceId(i as u16)),
            None => {
                let mut problem = Problem::new(
                    "knowledge::unknown-source",
                    *span,
                    "not in sources.yaml",
                    format!("unknown source `{id}`"),
                );
                problem.help = did_you_mean(id, model.sources.iter().map(|s| s.id.as_str()))
                    .or_else(|| Some("list the source in sources.yaml first".to_owned()));
                reader.report(problem);
            }
        }
    }
    let Some(node) = fields.get("basis") else {
        reader.report(
            Problem::new("knowledge::missing-basis", fields.span, "here", "nothing says where this comes from")
                .help("add `basis: published` with a `source`, `basis: common practice` or `basis: from memory`"),
        );
        return None;
    };
    let word = text(node, reader)?;
    let Some(basis) = Basis::of(&word) else {
        let mut problem =
            Problem::new("knowledge::unknown-basis", node.span, "here", format!("unknown basis `{word}`"));
        problem.help = did_you_mean(&word, Basis::ALL.iter().map(|b| b.words()));
        reader.report(problem);
        return None;
    };
    if basis == Basis::Published && cited.is_empty() {
        reader.report(
            Problem::new(
                "knowledge::missing-source",
                node.span,
                "published where?",
                "a published fact needs its source",
            )
            .help("add `source:` with an id from sources.yaml"),
        );
    }
    if basis != Basis::Published && !cited.is_empty() {
        reader.report(
            Problem::new(
                "knowledge::source-without-publication",
                node.span,
                "here",
                "only a published fact has a source",
            )
            .help("write `basis: published`, or move the hint to `note:`"),
        );
    }
    if basis == Basis::House && model.depth(node.span) == 0 {
        reader.report(
            Problem::new(
                "knowledge::house-outside-overlay",
                node.span,
                "here",
                "only a shop's overlay has house facts",
            )
            .help("use another basis, or move the fact to an overlay"),
        );
    }
    if basis == Basis::House && note.is_none() && note_of_whole.is_none() && model.depth(node.span) > 0 {
        reader.report(
            Problem::new("knowledge::house-without-note", node.span, "measured how?", "a house fact needs its note")
                .help("add `note:` that says which data sheet, or how and when it was measured"),
        );
    }
    let note = note.or_else(|| note_of_whole.filter(|_| basis == Basis::House).map(str::to_owned));
    Some(Origin { basis, sources, note, span: fields.span, inherited: None })
}

/// The place of a scalar's text. Where it does not stand as it is, over several lines or with escapes, only the
/// beginning is known.
pub(super) fn inside(span: Span, text: &str) -> Span {
    let verbatim = span.end.saturating_sub(span.start) as usize == text.len();
    if verbatim { span } else { Span { end: span.start, ..span } }
}
