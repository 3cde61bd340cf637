//! `150-160 °C`, `3 to 5 %`, `60s-90s`: two numbers and a unit are one quantity with two ends.

use super::parse::{Order, Token, TokenKind};
use super::tokens::{Runs, span_of, unit_at};
use crate::model::Model;
use crate::quantity::Decimal;

/// What may stand between the two.
const JOINS: [&str; 12] = ["-", "–", "—", "to", "till", "bis", "à", "a", "tot", "do", "até", "hasta"];
/// Where white space stands around a dash, as between things of a list, the second is no more than so many times the first.
const NEAR: f64 = 1.5;

/// Makes one number of the two. Its text is `150 to 160`.
pub(super) fn join_ranges(order: &mut Order, model: &Model) {
    let cloth = order.cloth.first().map(|t| t.span);
    for run in order.runs_mut() {
        // Beside fibres a number with `%` is a share.
        let shares = run.first().map(|t| t.span) == cloth;
        let mut at = 0;
        while at < run.len() {
            part(run, at + 1, model);
            if let Some((joined, count)) = range_at(run, at, model, shares) {
                run.splice(at..at + count, [joined]);
            }
            at += 1;
        }
    }
}

/// The higher end of such a number.
pub(super) fn high_end(number: &str) -> &str {
    number.rsplit(" to ").next().unwrap_or(number)
}

/// Parts `C-160C`, of `150C-160C`, into its words.
fn part(run: &mut Vec<Token>, at: usize, model: &Model) {
    let number = at.checked_sub(1).and_then(|i| run.get(i)).filter(|t| t.kind == TokenKind::Number);
    let (Some(_), Some(token)) = (number, run.get(at).filter(|t| t.kind == TokenKind::Word)) else { return };
    let Some((unit, rest)) = token.text.split_once('-') else { return };
    let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let (second, own) = rest.split_at(digits);
    if second.is_empty() || own != unit || !model.dimensions.iter().any(|d| d.knows(unit)) {
        return;
    }
    let mut start = token.span.start;
    let parts = [(unit, TokenKind::Word), ("-", TokenKind::Sign), (second, TokenKind::Number), (own, TokenKind::Word)];
    let parts = parts.map(|(text, kind)| {
        let span = crate::source::Span { start, end: start + text.len() as u32, ..token.span };
        start = span.end;
        Token { text: text.to_owned(), kind, span }
    });
    run.splice(at..=at, parts);
}

/// The number with two ends that begins at a place, and how many words stand for it.
fn range_at(run: &[Token], at: usize, model: &Model, shares: bool) -> Option<(Token, usize)> {
    let number = |i: usize| run.get(i).filter(|t| t.kind == TokenKind::Number);
    let unit = |i: usize| unit_at(model, run, i, |_| true);
    let first = number(at).filter(|t| !t.text.starts_with('-'))?;
    let own = unit(at + 1);
    let joint = at + 1 + own.as_ref().map_or(0, |u| u.1);
    // `150-160` is 150 and -160 where nothing else stands between.
    let minus = number(joint).filter(|t| t.text.starts_with('-'));
    let joined = || run.get(joint).is_some_and(|t| JOINS.contains(&t.text.to_lowercase().as_str()));
    let second = if minus.is_some() { joint } else { joint + usize::from(joined()) };
    if minus.is_none() && second == joint {
        return None;
    }
    let high = number(second)?;
    let digits = high.text.trim_start_matches('-');
    let apart =
        run.get(second - 1).is_some_and(|t| matches!(t.text.as_str(), "-" | "–" | "—") && t.span.end < high.span.start);
    let (a, b) = (Decimal::parse(&first.text)?.to_f64(), Decimal::parse(digits)?.to_f64());
    if a >= b || apart && b > a * NEAR {
        return None;
    }
    let last = unit(second + 1);
    let counted = || {
        let runs = Runs::of(run, second + 1);
        model.attributes.iter().any(|a| runs.length(&a.speech.counted) > 0)
    };
    let percent = last.as_ref().is_some_and(|u| model.dimension("percent") == Some(u.2));
    let whole = percent && (shares || (99.0..=101.0).contains(&(a + b)));
    let alike = own.is_none() || own.as_ref().map(|u| &u.0) == last.as_ref().map(|u| &u.0);
    if whole || !alike || last.is_none() && !counted() {
        return None;
    }
    let span = span_of(run, at, second + 1 - at);
    Some((Token { text: format!("{} to {digits}", first.text), kind: TokenKind::Number, span }, second + 1 - at))
}
