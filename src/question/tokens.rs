//! Runs of tokens: their words, their place, the unit they name.

use super::parse::{Token, TokenKind};
use crate::model::Model;
use crate::quantity::DimensionId;
use crate::source::Span;
use crate::words::folded;
use std::collections::{BTreeMap, BTreeSet};

/// No name or set phrase has more words than this.
const LONGEST: usize = 8;

pub(crate) fn span_of(tokens: &[Token], at: usize, count: usize) -> Span {
    let start = tokens.get(at).map(|t| t.span).unwrap_or_default();
    let end = tokens.get((at + count).saturating_sub(1)).map_or(start.end, |t| t.span.end);
    Span { end, ..start }
}

pub(crate) fn text_of(tokens: &[Token], at: usize, count: usize) -> String {
    tokens.iter().skip(at).take(count).map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// The words from a place on, up to a mark or sign.
pub(crate) fn words_from(tokens: &[Token], at: usize) -> Vec<&str> {
    let words = tokens.iter().skip(at).take_while(|t| !matches!(t.kind, TokenKind::Mark | TokenKind::Sign));
    words.map(|t| t.text.as_str()).collect()
}

/// The unit that is written from a place on, of a dimension that a test picks: its text, how many tokens it takes,
/// and its dimension.
pub(crate) fn unit_at(
    model: &Model,
    tokens: &[Token],
    at: usize,
    pick: impl Fn(&str) -> bool,
) -> Option<(String, usize, DimensionId)> {
    let most = 4.min(tokens.len().saturating_sub(at));
    (1..=most).rev().find_map(|count| {
        let own = tokens.get(at..at + count)?;
        if own.iter().any(|t| t.kind == TokenKind::Mark) {
            return None;
        }
        let words: Vec<&str> = own.iter().map(|t| t.text.as_str()).collect();
        [words.concat(), words.join(" ")].into_iter().find_map(|text| {
            let found = model.dimensions.iter().position(|d| pick(&d.name) && d.knows(&text))?;
            Some((text, count, DimensionId(found as u16)))
        })
    })
}

/// Whether a run of words ends before a token: at a mark that is no hyphen between what it joins, as in `1/4-zip`.
fn parts(tokens: &[Token], at: usize) -> bool {
    let end = |i: usize| tokens.get(i).map(|t| t.span.end);
    let start = |i: usize| tokens.get(i).map(|t| t.span.start);
    let joins =
        |t: &Token| t.text == "-" && at > 0 && end(at - 1) == Some(t.span.start) && Some(t.span.end) == start(at + 1);
    tokens.get(at).is_none_or(|t| t.kind == TokenKind::Mark && !joins(t))
}

/// The runs of words from a place on, folded: one word, two words and so on.
pub(super) struct Runs(Vec<String>);

impl Runs {
    pub(super) fn of(tokens: &[Token], at: usize) -> Self {
        let own = (at..at + LONGEST).take_while(|i| !parts(tokens, *i)).count();
        Self((1..=own).map(|count| folded(&text_of(tokens, at, count))).collect())
    }

    /// As [`Runs::of`], with `#` for every number.
    pub(super) fn numbered(tokens: &[Token], at: usize) -> Self {
        let own = (at..at + LONGEST).take_while(|i| !parts(tokens, *i)).filter_map(|i| tokens.get(i));
        let word = |t: &Token| if t.kind == TokenKind::Number { "#".to_owned() } else { folded(&t.text) };
        let mut run = String::new();
        let grown = own.map(|t| {
            let word = word(t);
            run = if run.is_empty() || word.is_empty() { format!("{run}{word}") } else { format!("{run} {word}") };
            run.clone()
        });
        Self(grown.collect())
    }

    /// How many words make up one of these phrases: as many as possible.
    pub(super) fn length<'p>(&self, phrases: impl IntoIterator<Item = &'p String>) -> usize {
        phrases.into_iter().map(|p| self.length_of(p)).max().unwrap_or(0)
    }

    /// What is kept for the longest of these phrases that the words make up, and how many words that takes.
    pub(super) fn find<'p, T>(&self, phrases: &'p BTreeMap<String, T>) -> Option<(&'p T, usize)> {
        let count = self.0.iter().rposition(|run| phrases.contains_key(run))?;
        Some((phrases.get(self.0.get(count)?)?, count + 1))
    }

    /// How many words make up one of these phrases: as many as possible.
    pub(super) fn among(&self, phrases: &BTreeSet<String>) -> usize {
        self.0.iter().rposition(|run| phrases.contains(run)).map_or(0, |i| i + 1)
    }

    /// As [`Runs::find`], for phrases that end with `##`, any numbers in a row: the words before them.
    pub(super) fn before_numbers<'p, T>(&self, phrases: &'p BTreeMap<String, T>) -> Option<(&'p T, usize)> {
        let found = |run: &String| phrases.get(&format!("{run} ##"));
        self.0.iter().enumerate().rev().find_map(|(i, run)| Some((found(run)?, i + 1)))
    }

    /// How many words make up this phrase.
    pub(super) fn length_of(&self, phrase: &str) -> usize {
        // There are thousands of phrases, and nearly all begin with another word.
        let Some(first) = self.0.first() else { return 0 };
        if phrase.is_empty() || !phrase.starts_with(first.as_str()) {
            return 0;
        }
        self.0.iter().rposition(|run| run == phrase).map_or(0, |i| i + 1)
    }
}

/// `sizes 8-16`, `sizes 8, 10 and 12`: how many tokens words take with numbers in a row behind them, which no unit or other
/// word ends. Nothing where no words or no numbers stand there.
pub(super) fn numbers_behind(tokens: &[Token], at: usize, words: usize) -> usize {
    let number = |i: usize| tokens.get(i).is_some_and(|t| t.kind == TokenKind::Number);
    let ends = |i: usize| tokens.get(i).is_none_or(|t| matches!(t.kind, TokenKind::Mark | TokenKind::Filler));
    let joins = |i: usize| match tokens.get(i) {
        Some(t) => matches!(t.text.as_str(), "-" | "–" | "/" | ",") || matches!(folded(&t.text).as_str(), "to" | "and"),
        None => false,
    };
    let first = at + words;
    if words == 0 || !number(first) {
        return 0;
    }
    let mut end = first + 1;
    while joins(end) && number(end + 1) && (ends(end + 2) || joins(end + 2)) {
        end += 2;
    }
    end - at
}

/// What stands between the two numbers of a size.
pub(super) const TIMES: [&str; 3] = ["x", "×", "by"];

/// A size as it is written: `30 x 25 cm`, `30 cm x 25 cm`, `12" x 14"`.
pub(crate) struct Size {
    /// Its two numbers, each with its unit and with the place after both.
    pub sides: [(Token, String, usize); 2],
    /// The dimension of both.
    pub dimension: DimensionId,
}

/// The size that is written from a place on, in a dimension of this name. Where it has no unit, the number after which
/// one is missing.
pub(crate) fn size_at(model: &Model, tokens: &[Token], at: usize, dimension: &str) -> Option<Result<Size, Token>> {
    let number = |i: usize| tokens.get(i).filter(|t| t.kind == TokenKind::Number);
    let unit = |i: usize| unit_at(model, tokens, i, |name| name == dimension);
    let first = number(at)?;
    let own = unit(at + 1);
    let sign = at + 1 + own.as_ref().map_or(0, |u| u.1);
    let times = tokens.get(sign).is_some_and(|t| TIMES.contains(&t.text.to_lowercase().as_str()));
    let second = number(sign + 1).filter(|_| times)?;
    let Some((last, count, dimension)) = unit(sign + 2) else { return Some(Err(second.clone())) };
    let width = own.map_or_else(|| last.clone(), |u| u.0);
    let sides = [(first.clone(), width, sign), (second.clone(), last, sign + 2 + count)];
    Some(Ok(Size { sides, dimension }))
}
