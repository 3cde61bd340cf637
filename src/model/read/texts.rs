//! Texts with values in them.

use super::Reader;
use super::conditions::Check;
use super::names::{Names, Type};
use crate::condition::{Word, parse_term};
use crate::diagnostic::Problem;
use crate::model::{End, Model, Number, Piece, Template};
use crate::source::Span;

/// So many values can stand in one text.
const MAX_VALUES: usize = 20;

/// Reads a text with `{paths}`.
pub(super) fn template(written: &str, span: Span, names: &Names, model: &Model, reader: &mut Reader) -> Template {
    let mut pieces = Vec::new();
    if written.matches('{').count() > MAX_VALUES {
        let message = format!("there are more than {MAX_VALUES} values in one text");
        reader.report(Problem::new("knowledge::bad-text", span, "here", message).help("say it in a few sentences"));
        return Template { pieces };
    }
    let mut rest = written;
    while let Some(open) = rest.find(['{', '}']) {
        let (before, after) = rest.split_at(open);
        if after.starts_with('}') {
            reader.report(Problem::new("knowledge::bad-text", span, "here", "a brace is closed and was never opened"));
            return Template { pieces };
        }
        if !before.is_empty() {
            pieces.push(Piece::Text(before.to_owned()));
        }
        let Some(close) = after.find('}') else {
            reader.report(Problem::new("knowledge::bad-text", span, "here", "a brace is opened and never closed"));
            return Template { pieces };
        };
        let inner = &after[1..close];
        pieces.extend(piece(inner, span, names, model, reader));
        rest = &after[close + 1..];
    }
    if !rest.is_empty() {
        pieces.push(Piece::Text(rest.to_owned()));
    }
    Template { pieces }
}

fn piece(inner: &str, span: Span, names: &Names, model: &Model, reader: &mut Reader) -> Option<Piece> {
    let word = Word { text: inner.trim().to_owned(), span };
    let mut check = Check::new(names.clone(), model);
    if let Some((place, ty)) = check.place(&word.text) {
        match ty {
            Type::Quantity(d) => return Some(Piece::Number(word.text, Number::Of(place), d)),
            Type::Window(d) | Type::Setting(d) => {
                let (low, high) = (Number::End(place.clone(), End::Low), Number::End(place, End::High));
                return Some(Piece::Range(word.text, low, high, d));
            }
            Type::Choice(_) | Type::Text | Type::Many(..) | Type::Set(_) => {
                return Some(Piece::Name(word.text, place));
            }
            _ => {}
        }
    }
    match parse_term(&word.text, span) {
        Ok(term) => {
            let found = check.number(&term, None);
            if check.problems.is_empty()
                && let Some((number, dimension)) = found
            {
                return Some(Piece::Number(word.text, number, dimension));
            }
        }
        Err(problem) => check.problems.push(problem),
    }
    reader.report(
        Problem::new("knowledge::bad-text", span, "here", format!("`{{{}}}` names no value", word.text))
            .help("put a quantity, a choice or a bound name between the braces"),
    );
    None
}
