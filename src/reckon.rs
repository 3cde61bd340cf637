//! Small sums of the workshop: other units, belt speed, grams of an additive.

use crate::diagnostic::Problem;
use crate::model::{Entity, KindId, Model, Value, read_quantity};
use crate::names::Names;
use crate::quantity::{Decimal, Dimension, DimensionId};
use crate::question::parse::{Token, TokenKind};
use crate::question::tokens::unit_at;
use crate::show::unknown;
use crate::source::Span;

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
    let text = format!("{} {unit}", number.text);
    let steps = read_quantity(&text, id, model)
        .map_err(|(message, help)| Problem::new("job::bad-quantity", number.span, "here", message).help(help))?;
    let nominal = |d: &Dimension| Decimal::parse(&number.text).and_then(|n| d.nominal_unit(n));
    let own = model.dim(id).and_then(|d| d.unit(&unit).or_else(|| nominal(d)));
    Ok(Found { dimension: id, steps, unit: own.unwrap_or(0), text, next: at + 1 + count })
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

/// Belt speed from the time that the dryer must give and its heated length: length divided by time.
///
/// # Errors
/// No time, or no length.
pub(crate) fn belt(model: &Model, tokens: &[Token], standing: Option<&str>) -> Result<Vec<String>, Problem> {
    let mut time = None;
    let mut length = None;
    let mut at = 0;
    while tokens.iter().skip(at).any(|t| t.kind == TokenKind::Number) {
        let found = quantity(model, tokens, at)?;
        at = found.next;
        match model.dim(found.dimension).map(|d| d.name.as_str()) {
            Some("time") => time = Some(found),
            Some("length") => length = Some(found),
            _ => {
                return Err(Problem::new(
                    "job::bad-quantity",
                    span(tokens),
                    "here",
                    format!("`{}` is neither a time nor a length", found.text),
                )
                .help("say the time and the heated length: belt for 60 s in 2.4 m"));
            }
        }
    }
    if let (None, Some(text)) = (&length, standing) {
        let steps = model.dimension("length").and_then(|d| Some((d, read_quantity(text, d, model).ok()?)));
        length = steps.map(|(dimension, steps)| Found { dimension, steps, unit: 0, text: text.to_owned(), next: 0 });
    }
    let (Some(time), Some(length)) = (time, length) else {
        return Err(Problem::new(
            "question::no-quantity",
            span(tokens),
            "here",
            "the belt needs a time and a heated length",
        )
        .help("say both: belt for 60 s in 2.4 m"));
    };
    let (Some(t), Some(l)) = (model.dim(time.dimension), model.dim(length.dimension)) else { return Ok(Vec::new()) };
    let seconds = t.reading(time.steps, 0);
    let metres = l.reading(length.steps, 0);
    if seconds <= 0.0 || metres <= 0.0 {
        return Err(Problem::new("job::out-of-range", span(tokens), "here", "time and length must be above zero"));
    }
    let speed = metres / seconds * 60.0;
    Ok(vec![
        format!("belt speed: {} m/min ({} ft/min), that is {} heated in {}", rounded(speed), rounded(speed / 0.3048), length.text, time.text),
        "  the print must be that long at its temperature: cloth takes part of the way to warm up, so measure the film with a probe and slow the belt until it agrees".to_owned(),
    ])
}

/// Grams of an additive for a mass of ink, by weight of the ink: mass times dose.
///
/// # Errors
/// An unknown additive, no mass, or no dose.
pub(crate) fn how_much(
    model: &Model,
    names: &Names,
    what: &[Token],
    mass: &[Token],
    dose: &[Token],
) -> Result<(Vec<String>, String), Problem> {
    let text = text_of(what);
    let kinds = (0..model.kinds.len()).map(|i| KindId(i as u16));
    let dosed = |e: &&Entity| window(model, e).is_some();
    let found = |k| names.find(k, &text).and_then(|m| model.member(k, m)).filter(dosed);
    let Some(entity) = kinds.filter_map(found).next() else {
        return Err(unknown(model, names, what, "thing that is dosed"));
    };
    let (mass, percent) = (quantity(model, mass, 0)?, quantity(model, dose, 0)?);
    let dimension = |f: &Found| model.dim(f.dimension).map_or("", |d| d.name.as_str());
    if dimension(&mass) != "mass" || dimension(&percent) != "percent" {
        return Err(Problem::new(
            "job::bad-quantity",
            span(dose),
            "here",
            "a mass of ink and a dose in per cent are needed",
        )
        .help("ask like this: how much low-cure additive for 1.5 kg at 8 %"));
    }
    let (Some(masses), Some(shares)) = (model.dim(mass.dimension), model.dim(percent.dimension)) else {
        return Ok((Vec::new(), String::new()));
    };
    let (ink, share) = (masses.reading(mass.steps, 0), shares.reading(percent.steps, 0));
    let grams = ink * share / 100.0;
    let symbol = masses.units.first().map_or("", |u| u.symbol.as_str());
    let ounces = masses.unit("oz").map(|u| masses.reading((grams / ink * mass.steps as f64) as i64, u));
    let ounces = ounces.map_or(String::new(), |o| format!(" ({} oz)", rounded(o)));
    let mut lines = vec![format!(
        "{} {symbol}{ounces} of {} into {} of ink: {} by weight of the ink, {} {symbol} in all",
        rounded(grams),
        entity.name,
        mass.text,
        percent.text,
        rounded(ink + grams)
    )];
    if let Some((low, high)) = window(model, entity)
        && (percent.steps < low || percent.steps > high)
    {
        lines.push(format!("  its usual dose is {}: {} is outside it", shares.range(low, high), percent.text));
    }
    Ok((lines, entity.name.clone()))
}

fn window(model: &Model, entity: &Entity) -> Option<(i64, i64)> {
    let property = model.property(entity.kind, "dose")?;
    match entity.facts.get(&property).map(|f| &f.value) {
        Some(Value::Window(low, high)) => Some((*low, *high)),
        _ => None,
    }
}
