//! YAML read into a tree in which every key and value knows its place.
//!
//! This stage knows nothing of what the keys mean. Anchors, aliases, tags and numbers such as `1e3` or `010` are
//! refused: knowledge is read by people, who should not have to follow them.

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

/// What nobody writes by hand is refused before it costs time or memory: so many values in one file, maps and lists
/// within each other, bytes in one text.
const MAX_NODES: usize = 50_000;
const MAX_DEPTH: usize = 32;
const MAX_TEXT: usize = 10_000;

/// Reads one file.
///
/// # Errors
/// Everything that keeps it from being read: a syntax error, a key written twice, an anchor, a tag, a number or text
/// that means something else than it seems to.
pub(crate) fn read(file: &SourceFile, index: u32) -> Result<Node, Vec<Problem>> {
    let tree = parsed(file, index).map_err(|p| vec![p])?;
    let mut problems = Vec::new();
    let node = node(tree, file, index, &mut problems);
    if problems.is_empty() { Ok(node) } else { Err(problems) }
}

fn parsed(file: &SourceFile, index: u32) -> Result<Spanned<Raw>, Problem> {
    let whole = Span { file: index, start: 0, end: 0 };
    if file.text.len() > SourceFile::MAX_BYTES {
        return Err(Problem::new("document::too-large", whole, "", "this file is larger than 4 MiB")
            .help("split it into several files"));
    }
    if let Some(at) = file.text.find(char::REPLACEMENT_CHARACTER) {
        let place = Span { file: index, start: at as u32, end: (at + char::REPLACEMENT_CHARACTER.len_utf8()) as u32 };
        return Err(
            Problem::new("document::not-text", place, "here", "this is not UTF-8 text").help("save the file as UTF-8")
        );
    }
    let options = serde_yaml::options! {
        budget: serde_yaml::budget! { max_nodes: MAX_NODES, max_depth: MAX_DEPTH },
        strict_booleans: true,
        merge_keys: serde_yaml::options::MergeKeyPolicy::AsOrdinary,
        reject_unsupported_tags: true,
        ignore_binary_tag_for_string: true,
        alias_limits: serde_yaml::alias_limits! { max_total_replayed_events: 0, max_replay_stack_depth: 0, max_alias_expansions_per_anchor: 0 },
    };
    serde_yaml::from_str_with_options(&file.text, options).map_err(|error| {
        let place = error.location().map_or(whole, |l| span(&l, file, index));
        let message = error.without_snippet().to_string();
        let message = message.split(" at line ").next().unwrap_or(&message).to_owned();
        let told = |code, message: &str, help: &str| Problem::new(code, place, "here", message).help(help);
        // The library tells what is wrong in words only.
        if message.contains("duplicate mapping key") {
            Problem::new("document::duplicate-key", place, "again", "this key is written twice")
                .help("write each key once")
        } else if message.contains("alias") || message.contains("anchor") {
            told("document::anchor", "anchors and aliases are not used here", "write the value out where it is needed")
        } else if message.contains("tag") {
            told("document::tag", "tags are not used here", "write the value alone, in quotes if it is a text")
        } else if message.contains("multiple YAML documents") {
            told("document::several", "a second document begins here", "write one document a file, without `---`")
        } else if message.contains("budget") {
            told(
                "document::too-large",
                &format!("this file holds more than {MAX_NODES} values, or more than {MAX_DEPTH} within each other"),
                "split it into several files",
            )
        } else if message.contains("non-finite") {
            not_decimal(place, file)
        } else {
            told(
                "document::syntax",
                &format!("not readable as YAML: {message}"),
                "quote texts that hold `: ` or ` #`, and indent with spaces",
            )
        }
    })
}

/// The problem of a number that people and programs read differently.
fn not_decimal(place: Span, file: &SourceFile) -> Problem {
    let written = file.text.get(place.start as usize..place.end as usize).unwrap_or_default().trim();
    Problem::new("document::number", place, "here", format!("`{written}` is not a plain decimal number"))
        .help("write digits, with a point if need be; in quotes if it is a text")
}

/// Digits, a point and digits; no other zero before them.
fn is_decimal(written: &str) -> bool {
    let digits = written.strip_prefix('-').unwrap_or(written);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, "0"));
    let all = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    all(whole) && all(part) && (whole == "0" || !whole.starts_with('0'))
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

fn node(raw: Spanned<Raw>, file: &SourceFile, index: u32, problems: &mut Vec<Problem>) -> Node {
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
        Raw::Number => match file.text.get(span.start as usize..span.end as usize).map(str::trim) {
            Some(digits) if is_decimal(digits) => Value::Text(digits.to_owned()),
            _ => {
                problems.push(not_decimal(span, file));
                Value::Null
            }
        },
        Raw::Text(t) => {
            problems.extend(unfit(&t, span));
            Value::Text(t)
        }
        Raw::List(items) => Value::List(items.into_iter().map(|i| node(i, file, index, problems)).collect()),
        Raw::Map(pairs) => {
            let pairs = pairs.into_iter().map(|(k, v)| {
                let key = Key { name: k.value, span: self::span(&k.referenced, file, index) };
                problems.extend(unfit(&key.name, key.span));
                (key, node(v, file, index, problems))
            });
            Value::Map(pairs.collect())
        }
    };
    Node { span, value }
}

/// What is wrong with a text, whatever it is for.
fn unfit(text: &str, span: Span) -> Option<Problem> {
    if text == "<<" {
        return Some(
            Problem::new("document::anchor", span, "here", "keys are not merged here").help("write the keys out"),
        );
    }
    if text.len() > MAX_TEXT {
        let problem = Problem::new("document::too-large", span, "here", format!("this text is over {MAX_TEXT} bytes"));
        return Some(problem.help("say it in a few sentences"));
    }
    text.chars().any(|c| c.is_control() && !matches!(c, '\n' | '\t')).then(|| {
        Problem::new("document::control", span, "here", "there is a control character in this text")
            .help("take the control character out")
    })
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
