//! YAML read into a tree in which every key and value knows its place.
//!
//! This stage knows nothing of what the keys mean. Anchors, aliases and tags are refused: knowledge is read by
//! people, who should not have to follow them.

use crate::diagnostic::Problem;
use crate::source::{SourceFile, Span};
use rustc_hash::FxHashSet;
use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_yaml::{Location, Spanned};
use std::fmt;

/// A value and its place.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    /// Where it stands. For a map or list: where it begins.
    pub span: Span,
    /// What it is.
    pub value: Value,
}

/// What a node holds. Numbers stay text, so that `1.50` keeps its digits.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    /// Nothing after the colon.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A scalar as text.
    Text(String),
    /// Key and value pairs in their order.
    Map(Vec<(Key, Node)>),
    /// A list.
    List(Vec<Node>),
}

/// A key and its place.
#[derive(Debug, Clone)]
pub(crate) struct Key {
    /// The key.
    pub name: String,
    /// Where it stands.
    pub span: Span,
}

/// Texts longer than this are refused: no hand-written file is near it.
const MAX_BYTES: usize = 4 * 1024 * 1024;

/// Reads one file.
///
/// # Errors
/// A syntax error, a duplicate key, an anchor, or a text that is too long.
pub(crate) fn read(file: &SourceFile, index: u32) -> Result<Node, Problem> {
    let whole = Span { file: index, start: 0, end: 0 };
    if file.text.len() > MAX_BYTES {
        return Err(Problem::new("document::too-long", whole, "", "this file is larger than 4 MiB")
            .help("split it into several files"));
    }
    let options = serde_yaml::options! {
        strict_booleans: true,
        alias_limits: serde_yaml::alias_limits! { max_total_replayed_events: 0, max_replay_stack_depth: 0, max_alias_expansions_per_anchor: 0 },
    };
    let tree: Spanned<Raw> = serde_yaml::from_str_with_options(&file.text, options).map_err(|error| {
        let place = error.location().map_or(whole, |l| span(&l, file, index));
        let message = error.without_snippet().to_string();
        let message = message.split(" at line ").next().unwrap_or(&message).to_owned();
        if message.contains("duplicate mapping key") {
            return Problem::new("document::duplicate-key", place, "again", "this key is written twice")
                .help("write each key once");
        }
        if message.contains("alias") || message.contains("anchor") {
            return Problem::new("document::anchor", place, "here", "anchors and aliases are not used here")
                .help("write the value out where it is needed");
        }
        Problem::new("document::syntax", place, "here", format!("not readable as YAML: {message}"))
            .help("quote texts that hold `: ` or ` #`, and indent with spaces")
    })?;
    Ok(node(tree, file, index))
}

fn span(location: &Location, file: &SourceFile, index: u32) -> Span {
    let span = location.span();
    let (start, end) = match span.byte_offset().zip(span.byte_len()) {
        Some((start, length)) => (start as usize, (start + length) as usize),
        // A syntax error counts characters.
        None => {
            let byte = |count: u64| file.text.char_indices().nth(count as usize).map_or(file.text.len(), |c| c.0);
            (byte(span.offset()), byte(span.offset() + span.len()))
        }
    };
    Span { file: index, start: start as u32, end: end as u32 }
}

fn node(raw: Spanned<Raw>, file: &SourceFile, index: u32) -> Node {
    let mut span = span(&raw.referenced, file, index);
    if let Raw::Text(text) = &raw.value
        && let Some(at) = file.text.get(span.start as usize..span.end as usize).and_then(|written| written.find(text))
        && !text.is_empty()
    {
        // Without quotes.
        span = Span { start: span.start + at as u32, end: span.start + (at + text.len()) as u32, ..span };
    }
    let value = match raw.value {
        Raw::Null => Value::Null,
        Raw::Bool(b) => Value::Bool(b),
        // Unquoted numbers are taken from the text itself: `1.50` is not 1.5 to a person.
        Raw::Number => match file.text.get(span.start as usize..span.end as usize) {
            Some(digits) => Value::Text(digits.trim().to_owned()),
            None => Value::Null,
        },
        Raw::Text(t) => Value::Text(t),
        Raw::List(items) => Value::List(items.into_iter().map(|i| node(i, file, index)).collect()),
        Raw::Map(pairs) => Value::Map(
            pairs
                .into_iter()
                .map(|(k, v)| {
                    let key = Key { name: k.value, span: self::span(&k.referenced, file, index) };
                    (key, node(v, file, index))
                })
                .collect(),
        ),
    };
    Node { span, value }
}

enum Raw {
    Null,
    Bool(bool),
    Number,
    Text(String),
    Map(Vec<(Spanned<String>, Spanned<Raw>)>),
    List(Vec<Spanned<Raw>>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Raw, E> {
        Ok(Raw::Bool(value))
    }

    fn visit_str<E>(self, value: &str) -> Result<Raw, E> {
        Ok(Raw::Text(value.to_owned()))
    }

    fn visit_i64<E>(self, _: i64) -> Result<Raw, E> {
        Ok(Raw::Number)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Raw, E> {
        Ok(Raw::Number)
    }

    fn visit_i128<E>(self, _: i128) -> Result<Raw, E> {
        Ok(Raw::Number)
    }

    fn visit_u128<E>(self, _: u128) -> Result<Raw, E> {
        Ok(Raw::Number)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Raw, E> {
        Ok(Raw::Number)
    }

    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }

    fn visit_none<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }

    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Raw, D::Error> {
        deserializer.deserialize_any(self)
    }

    fn visit_bytes<E: serde::de::Error>(self, _: &[u8]) -> Result<Raw, E> {
        Err(E::custom("binary values have no place here"))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Raw, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Raw::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut pairs: A) -> Result<Raw, A::Error> {
        let mut list: Vec<(Spanned<String>, Spanned<Raw>)> = Vec::new();
        let mut seen = FxHashSet::default();
        while let Some(pair) = pairs.next_entry::<Spanned<String>, Spanned<Raw>>()? {
            // The reader itself takes `1` and `"1"` for two keys.
            if !seen.insert(pair.0.value.clone()) {
                return Err(A::Error::custom(format!("duplicate mapping key `{}`", pair.0.value)));
            }
            list.push(pair);
        }
        Ok(Raw::Map(list))
    }
}
