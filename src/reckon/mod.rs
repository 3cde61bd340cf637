//! Small sums of the workshop: what a question says in words, sent through [`crate::sums`], and the result in words.
//!
//! Here quantities are found in phrases and written again; no formula stands here.

mod dryer;
mod ink;
mod mesh;

pub(crate) use dryer::{an_hour, belt};
pub(crate) use ink::{for_run, how_much};
pub(crate) use mesh::of_mesh;

use crate::diagnostic::Problem;
use crate::model::{Model, read_quantity};
use crate::quantity::{Decimal, Dimension, DimensionId, three_figures};
use crate::question::parse::{Token, TokenKind};
use crate::question::tokens::unit_at;
use crate::source::Span;
use crate::sums::Range;
use crate::sums::units::Unit;

/// A quantity in a phrase.
struct Found {
    dimension: DimensionId,
    steps: i64,
    /// The unit it was written in.
    unit: usize,
    text: String,
    /// The first token after it.
    next: usize,
}

impl Found {
    /// Its reading in the first unit of its dimension.
    fn reading(&self, model: &Model) -> f64 {
        model.dim(self.dimension).map_or(f64::NAN, |d| d.reading(self.steps, 0))
    }

    /// Whether it is of a dimension.
    fn is(&self, model: &Model, dimension: &str) -> bool {
        model.dim(self.dimension).is_some_and(|d| d.name == dimension)
    }
}

fn span(tokens: &[Token]) -> Span {
    let first = tokens.first().map(|t| t.span).unwrap_or_default();
    Span { end: tokens.last().map_or(first.end, |t| t.span.end), ..first }
}

fn text_of(tokens: &[Token]) -> String {
    let words = tokens.iter().filter(|t| t.kind != TokenKind::Mark).map(|t| t.text.as_str());
    words.collect::<Vec<_>>().join(" ")
}

/// The first number with its unit. A dimension may be asked for by its unit only.
fn quantity(model: &Model, tokens: &[Token], from: usize) -> Result<Found, Problem> {
    let at = (from..tokens.len()).find(|i| tokens.get(*i).is_some_and(|t| t.kind == TokenKind::Number));
    let Some((at, number)) = at.and_then(|at| Some((at, tokens.get(at)?))) else {
        return Err(Problem::new("question::no-quantity", span(tokens), "here", "a number with its unit is missing")
            .help("write it like 43 /cm, 60 s or 2.4 m"));
    };
    let Some((unit, count, id)) = unit_at(model, tokens, at + 1, |_| true) else {
        return Err(Problem::new(
            "job::bad-quantity",
            number.span,
            "no unit",
            format!("`{}` has no unit", number.text),
        )
        .help("write it like 43 /cm, 60 s or 2.4 m"));
    };
    read(model, number, &unit, id, at + 1 + count)
}

/// A number in a unit of a dimension.
fn read(model: &Model, number: &Token, unit: &str, id: DimensionId, next: usize) -> Result<Found, Problem> {
    let text = format!("{} {unit}", number.text);
    let steps = read_quantity(&text, id, model)
        .map_err(|(message, help)| Problem::new("job::bad-quantity", number.span, "here", message).help(help))?;
    let nominal = |d: &Dimension| Decimal::parse(&number.text).and_then(|n| d.nominal_unit(n));
    let own = model.dim(id).and_then(|d| d.unit(unit).or_else(|| nominal(d)));
    Ok(Found { dimension: id, steps, unit: own.unwrap_or(0), text, next })
}

/// The unit that words name: `inches`, `per inch`, `/in`.
fn named_unit(dimension: &Dimension, tokens: &[Token]) -> Option<usize> {
    (0..tokens.len()).find_map(|from| {
        let apart = text_of(tokens.get(from..)?);
        let close = apart.replace(' ', "");
        [close.clone(), apart.clone(), format!("/{close}"), format!("per {apart}")].into_iter().find_map(|text| {
            let single = text.strip_suffix("es").or_else(|| text.strip_suffix('s')).unwrap_or(&text);
            dimension.unit(&text).or_else(|| dimension.unit(single))
        })
    })
}

/// The same quantity in other units.
///
/// # Errors
/// No quantity, or a unit of another dimension.
pub(crate) fn convert(model: &Model, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let found = quantity(model, tokens, 0)?;
    let Some(dimension) = model.dim(found.dimension) else { return Ok(Vec::new()) };
    let rest: Vec<Token> =
        tokens.get(found.next..).unwrap_or(&[]).iter().filter(|t| t.kind != TokenKind::Mark).cloned().collect();
    let wanted = named_unit(dimension, &rest);
    let said =
        |t: &Token| t.kind != TokenKind::Filler && t.text.to_lowercase() != "to" && t.text.to_lowercase() != "into";
    if wanted.is_none()
        && let Some(word) = rest.iter().find(|t| said(t))
    {
        let units: Vec<&str> = dimension.units.iter().map(|u| u.symbol.as_str()).collect();
        let message = format!("`{}` is no unit for {}", word.text, found.text);
        return Err(Problem::new("job::bad-quantity", word.span, "here", message)
            .help(format!("use {}", crate::diagnostic::one_of(&units))));
    }
    let mut line = dimension.write_in(found.steps, found.unit);
    for unit in 0..dimension.units.len() {
        if unit == found.unit || wanted.is_some_and(|w| w != unit) {
            continue;
        }
        let exact = rounded(dimension.reading(found.steps, unit));
        let symbol = dimension.units.get(unit).map_or("", |u| u.symbol.as_str());
        let nominal = dimension.write_in(found.steps, unit);
        if dimension.nominal.is_empty() || nominal.starts_with(&exact) {
            line.push_str(&format!(" = {exact} {symbol}"));
        } else {
            line.push_str(&format!(" = {nominal} in the trade ({exact} {symbol} exactly)"));
        }
    }
    Ok(vec![line])
}

/// A number with two decimals, or as many as three figures of it need: 5 g are 0.005 kg, not 0.01.
fn rounded(number: f64) -> String {
    let decimals = (2..12).find(|d| number == 0.0 || number.abs() * 10_f64.powi(*d) >= 100.0).unwrap_or(12);
    let text = format!("{number:.0$}", decimals as usize);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// An estimate with three figures: more would claim what nobody knows.
fn about(number: f64) -> String {
    rounded(three_figures(number))
}

/// Both ends of an estimate, said once where they are alike.
fn from_to<T: Unit>(range: &Range<T>) -> String {
    let (low, high) = (about(range.low.number()), about(range.high.number()));
    if low == high { low } else { format!("{low} to {high}") }
}

/// An estimate in the first unit of a dimension, with the US customary one beside it.
fn told<T: Unit>(model: &Model, dimension: &str, range: &Range<T>) -> String {
    let metric = format!("{} {}", from_to(range), T::SYMBOL);
    let known = model.dimension(dimension).and_then(|d| model.dim(d));
    let first = known.and_then(|d| d.units.first()).map(|u| u.steps as f64);
    let us = known.and_then(|d| d.units.iter().find(|u| u.us));
    let (Some(first), Some(us)) = (first, us) else { return metric };
    let other = |n: T| T::of(n.number() * first / us.steps as f64);
    let both = Range { low: other(range.low), high: other(range.high) };
    format!("{metric} ({} {})", from_to(&both), us.symbol)
}
