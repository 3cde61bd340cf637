//! Dimensions, units and sources.

use super::Reader;
use super::fields::{Fields, id_fits, items, text};
use crate::diagnostic::Problem;
use crate::document::{Node, Value};
use crate::model::{Model, Source};
use crate::quantity::{Decimal, Dimension, DimensionId, Unit};
use crate::source::Span;

/// Reads `units.yaml` and `sources.yaml`.
pub(super) fn read(model: &mut Model, reader: &mut Reader) {
    let mut differences = Vec::new();
    let mut least = Vec::new();
    for (_, node) in reader.below("sources.yaml") {
        for item in items(&node, reader) {
            source(item, model, reader);
        }
    }
    model.sources.sort_by(|a, b| a.id.cmp(&b.id));
    for (_, node) in reader.below("units.yaml") {
        for item in items(&node, reader) {
            dimension(item, model, reader, &mut differences, &mut least);
        }
    }
    for (index, name, span) in differences {
        match model.dimension(&name) {
            Some(d) => {
                if let Some(own) = model.dimensions.get_mut(index) {
                    own.difference = Some(d);
                }
            }
            None => unknown_dimension(&name, span, model, reader),
        }
    }
    for (index, written, says, span) in least {
        let id = DimensionId(index as u16);
        if let Some(steps) = quantity(&written, span, id, model, reader)
            && let Some(own) = model.dimensions.get_mut(index)
        {
            own.least = Some((steps, says));
        }
    }
}

fn source(item: &Node, model: &mut Model, reader: &mut Reader) {
    let Some(mut f) = Fields::of(item, "a source", reader) else {
        return;
    };
    let id = f.need_text("id", reader);
    let span = f.place("id");
    if let Some(id) = &id {
        id_fits(id, span, reader);
    }
    let title = f.need_text("title", reader);
    let publisher = f.need_text("publisher", reader);
    let year = f.need_text("year", reader);
    let clause = f.text("clause", reader);
    let read = f.need_text("read", reader);
    let _ = f.text("note", reader);
    f.done(reader);
    let (Some(id), Some(title), Some(publisher), Some(year), Some(read)) = (id, title, publisher, year, read) else {
        return;
    };
    if let Some(first) = model.sources.iter().find(|s| s.id == id) {
        reader.report(
            Problem::new("knowledge::duplicate-id", span, "again", format!("source `{id}` is listed twice"))
                .also(first.span, "first here"),
        );
        return;
    }
    let mut citation = format!("{title}, {publisher}, {year}");
    if let Some(clause) = clause {
        citation.push_str(", ");
        citation.push_str(&clause);
    }
    model.sources.push(Source { id, citation, read, span });
}

fn dimension(
    item: &Node,
    model: &mut Model,
    reader: &mut Reader,
    differences: &mut Vec<(usize, String, Span)>,
    least: &mut Vec<(usize, String, String, Span)>,
) {
    let Some(mut f) = Fields::of(item, "a dimension", reader) else {
        return;
    };
    let Some(name) = f.need_text("dimension", reader) else {
        return;
    };
    if model.dimension(&name).is_some() {
        reader.report(Problem::new(
            "knowledge::duplicate-id",
            f.span,
            "again",
            format!("dimension `{name}` is declared twice"),
        ));
    }
    let index = model.dimensions.len();
    if let Some(node) = f.get("difference") {
        differences.extend(text(node, reader).map(|t| (index, t, node.span)));
    }
    if let Some(node) = f.get("below")
        && let Some(mut b) = Fields::of(node, "`below`", reader)
    {
        let span = b.get("value").map_or(b.span, |n| n.span);
        if let (Some(v), Some(s)) = (b.need_text("value", reader), b.need_text("says", reader)) {
            least.push((index, v, s, span));
        }
        b.done(reader);
    }
    let mut units = Vec::new();
    for unit in f.need("units", reader).map(|n| items(n, reader)).unwrap_or_default() {
        let Some(mut u) = Fields::of(unit, "a unit", reader) else {
            continue;
        };
        let symbol = u.need_text("unit", reader).unwrap_or_default();
        let ucum = u.need_text("ucum", reader).unwrap_or_default();
        let us = u.flag("us", reader);
        let also = u.texts("also", reader).into_iter().map(|t| t.0).collect();
        let node = u.need("steps", reader);
        let steps = whole(node, reader).unwrap_or(1);
        if let Some(node) = node.filter(|_| steps < 1) {
            reader.report(
                Problem::new("knowledge::wrong-type", node.span, "here", "a unit is at least one step")
                    .help("count in a smaller step"),
            );
        }
        let zero = u.get("zero").and_then(|n| whole(Some(n), reader)).unwrap_or(0);
        let from = u.get("from").and_then(|n| whole(Some(n), reader));
        let about = u.get("about").and_then(|n| whole(Some(n), reader)).unwrap_or(0);
        u.done(reader);
        units.push(Unit { symbol, ucum, also, steps: steps.max(1), zero, us, from, about });
    }
    let mut nominal = Vec::new();
    for row in f.get("nominal").map(|n| items(n, reader)).unwrap_or_default() {
        let Value::Map(pairs) = &row.value else {
            let message = "a nominal size is written as readings by unit";
            reader.report(
                Problem::new("knowledge::wrong-type", row.span, "here", message).help("write `{/cm: 43, /in: 110}`"),
            );
            continue;
        };
        let mut readings = Vec::new();
        for (key, value) in pairs {
            let unit = units.iter().position(|u: &Unit| u.symbol == key.name);
            match (unit, whole(Some(value), reader)) {
                (Some(u), Some(n)) => readings.push((u, n)),
                _ => reader.report(Problem::new(
                    "knowledge::unknown-unit",
                    key.span,
                    "here",
                    format!("unknown unit `{}`", key.name),
                )),
            }
        }
        nominal.push(readings);
    }
    let unclear = f.texts("unclear", reader).into_iter().map(|t| t.0).collect();
    let larger_from = f.get("larger_from").and_then(|n| whole(Some(n), reader));
    let _ = super::fields::origin(&mut f, None, model, reader);
    f.done(reader);
    model.dimensions.push(Dimension { name, difference: None, units, nominal, larger_from, unclear, least: None });
}

fn whole(node: Option<&Node>, reader: &mut Reader) -> Option<i64> {
    let node = node?;
    let written = text(node, reader)?;
    let number = written.parse().ok();
    if number.is_none() {
        reader.report(Problem::new("knowledge::wrong-type", node.span, "here", "this must be a whole number"));
    }
    number
}

/// Reports an unknown dimension.
pub(super) fn unknown_dimension(name: &str, span: Span, model: &Model, reader: &mut Reader) {
    let mut problem = Problem::new("knowledge::unknown-type", span, "here", format!("unknown type `{name}`"));
    problem.help = crate::diagnostic::did_you_mean(name, model.dimensions.iter().map(|d| d.name.as_str()))
        .or_else(|| Some("a type is a dimension from units.yaml, `yes/no`, `choice of …`, `set of …` …".to_owned()));
    reader.report(problem);
}

/// Reads a quantity such as `150 °C` in a dimension.
pub(super) fn quantity(written: &str, span: Span, id: DimensionId, model: &Model, reader: &mut Reader) -> Option<i64> {
    let digits = written.trim().trim_start_matches('-');
    if digits.starts_with('0') && digits.as_bytes().get(1).is_some_and(u8::is_ascii_digit) {
        let message = format!("`{}` begins with a zero", written.trim());
        reader
            .report(Problem::new("knowledge::bad-quantity", span, "here", message).help("write the number without it"));
        return None;
    }
    match parse_quantity(written, id, model) {
        Ok(steps) => Some(steps),
        Err((message, help)) => {
            let mut problem = Problem::new("knowledge::bad-quantity", span, "here", message);
            problem.help = Some(help);
            reader.report(problem);
            None
        }
    }
}

/// Reads a quantity such as `150 °C` as steps.
///
/// # Errors
/// What is wrong with it, and what to do.
pub fn parse_quantity(written: &str, id: DimensionId, model: &Model) -> Result<i64, (String, String)> {
    let Some(dimension) = model.dim(id) else {
        return Err(("this type is not known".to_owned(), "declare it in units.yaml".to_owned()));
    };
    let trimmed = written.trim();
    let cut = trimmed
        .char_indices()
        .find(|(i, c)| !(c.is_ascii_digit() || *c == '.' || (*c == '-' && *i == 0)))
        .map_or(trimmed.len(), |(i, _)| i);
    let (number, unit) = (&trimmed[..cut], trimmed[cut..].trim());
    let first = dimension.units.first().map_or("", |u| u.symbol.as_str());
    let example = format!("write it like `60 {first}`").trim_end().to_owned();
    let Some(decimal) = Decimal::parse(number) else {
        let digits = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
        let fault = if digits { "is out of range".to_owned() } else { format!("is not a {}", dimension.name) };
        return Err((format!("`{trimmed}` {fault}"), example));
    };
    let unclear = dimension.leaves_open(unit);
    let found = if unclear { dimension.nominal_unit(decimal) } else { dimension.unit(unit) };
    let Some(unit_index) = found else {
        let symbols: Vec<&str> = dimension.units.iter().map(|u| u.symbol.as_str()).collect();
        if unclear {
            let ways: Vec<String> = symbols.iter().map(|s| format!("{number} {s}")).collect();
            let ways: Vec<&str> = ways.iter().map(String::as_str).collect();
            let message = format!("`{trimmed}` does not say in which unit");
            return Err((message, format!("say {}", crate::diagnostic::one_of(&ways))));
        }
        let message = if unit.is_empty() {
            format!("`{trimmed}` has no unit")
        } else {
            match model.dimensions.iter().find(|d| d.unit(unit).is_some()) {
                Some(other) => format!("`{unit}` measures {}, but this is a {}", other.name, dimension.name),
                None => format!("unknown unit `{unit}`"),
            }
        };
        return Err((message, format!("a {} is given in {}", dimension.name, crate::diagnostic::one_of(&symbols))));
    };
    let Some(steps) = dimension.steps(decimal, unit_index) else {
        return Err((format!("`{trimmed}` is out of range"), example));
    };
    if let Some((least, says)) = &dimension.least
        && steps < *least
    {
        return Err((format!("`{trimmed}` is below {}", dimension.write(*least)), says.clone()));
    }
    Ok(steps)
}
