//! The value of a property, in each of its forms.

use super::Reader;
use super::fields::{Fields, flag, items, origin, text, texts};
use super::units::quantity;
use super::vocabulary::{member, unknown_member};
use crate::diagnostic::Problem;
use crate::document::Node;
use crate::model::{Fact, Mask, Model, Property, PropertyType, Replaced, Value};
use crate::quantity::DimensionId;
use crate::source::Span;

const FORMS: [&str; 8] = ["value", "choose", "varies", "disputed", "none", "unknown", "schedule", "plan"];

/// Reads a value with its origin; a note on the whole entity serves for its values.
pub(super) fn fact(
    node: &Node,
    span: Span,
    property: &Property,
    note_of_whole: Option<&str>,
    replacing: bool,
    model: &Model,
    reader: &mut Reader,
) -> Option<Fact> {
    let mut f = Fields::of(node, "a property value", reader)?;
    let forms: Vec<&str> = f.keys().into_iter().filter(|k| FORMS.contains(k) && *k != "plan").collect();
    let value = match forms.as_slice() {
        ["value"] => f.get("value").and_then(|n| plain(n, property, model, reader)),
        ["choose"] => match property.ty {
            PropertyType::Window(d) => {
                f.get("choose").and_then(|n| range(n, d, model, reader)).map(|(a, b)| Value::Window(a, b))
            }
            _ => {
                reader.report(
                    Problem::new(
                        "knowledge::wrong-range",
                        f.place("choose"),
                        "here",
                        "only a window can be chosen from",
                    )
                    .help("use `value`, `varies` or `disputed`, or declare the property as `window …`"),
                );
                f.excuse();
                None
            }
        },
        ["varies"] => quantity_range(&mut f, "varies", property, model, reader).map(|(a, b)| Value::Varies(a, b)),
        ["disputed"] => {
            let ends = quantity_range(&mut f, "disputed", property, model, reader);
            let plan = f.need("plan", reader).and_then(|n| match property.ty {
                PropertyType::Quantity(d) => text(n, reader).and_then(|t| quantity(&t, n.span, d, model, reader)),
                _ => None,
            });
            match (ends, plan) {
                (Some((low, high)), Some(plan)) if (low..=high).contains(&plan) => {
                    Some(Value::Disputed { low, high, plan })
                }
                (Some(_), Some(_)) => {
                    reader.report(Problem::new(
                        "knowledge::plan-outside",
                        f.place("plan"),
                        "here",
                        "the planning value lies outside the range",
                    ));
                    None
                }
                _ => None,
            }
        }
        ["none"] => said(&mut f, "none", reader).then_some(Value::None),
        ["unknown"] if matches!(property.ty, PropertyType::Window(_) | PropertyType::Schedule { .. }) => {
            reader.report(
                Problem::new(
                    "knowledge::wrong-range",
                    f.place("unknown"),
                    "here",
                    "a window or schedule cannot be unknown",
                )
                .help("write the values, or `none: true`, or leave the property out if nothing reads it"),
            );
            f.excuse();
            None
        }
        ["unknown"] => said(&mut f, "unknown", reader).then_some(Value::Unknown),
        ["schedule"] => f.get("schedule").and_then(|n| schedule(n, property, model, reader)),
        _ => {
            reader.report(
                Problem::new("knowledge::one-value", span, "here", "a property has exactly one value")
                    .help("write one of `value`, `choose`, `varies`, `disputed`, `schedule`, `none` or `unknown`"),
            );
            f.excuse();
            None
        }
    };
    let reason = if replacing { f.text("reason", reader) } else { None };
    let found = origin(&mut f, note_of_whole, model, reader);
    f.done(reader);
    let mut found = found?;
    found.span = span;
    Some(Fact { value: value?, origin: found, replaced: reason.map(|reason| Replaced { reason, span }) })
}

/// Whether `none` or `unknown` is said; to deny it says nothing.
fn said(f: &mut Fields<'_>, key: &'static str, reader: &mut Reader) -> bool {
    let Some(node) = f.get(key) else { return false };
    match flag(node, reader) {
        Some(true) => true,
        Some(false) => {
            let problem = Problem::new("knowledge::one-value", node.span, "here", format!("`{key}: no` says nothing"));
            reader.report(problem.help(format!("write `{key}: true`, or the value")));
            false
        }
        None => false,
    }
}

fn quantity_range(
    f: &mut Fields<'_>,
    key: &'static str,
    property: &Property,
    model: &Model,
    reader: &mut Reader,
) -> Option<(i64, i64)> {
    let node = f.get(key)?;
    match property.ty {
        PropertyType::Quantity(d) => range(node, d, model, reader),
        _ => {
            reader.report(
                Problem::new("knowledge::wrong-range", node.span, "here", format!("`{key}` is for single quantities"))
                    .help("use `value`, or `unknown: true`"),
            );
            None
        }
    }
}

/// `140 °C to 150 °C`.
pub(super) fn range(node: &Node, dimension: DimensionId, model: &Model, reader: &mut Reader) -> Option<(i64, i64)> {
    let written = text(node, reader)?;
    let Some((low, high)) = written.split_once(" to ") else {
        reader.report(
            Problem::new("knowledge::wrong-range", node.span, "here", "this must be a range")
                .help("write it like `140 °C to 150 °C`"),
        );
        return None;
    };
    let low = quantity(low, node.span, dimension, model, reader)?;
    let high = quantity(high, node.span, dimension, model, reader)?;
    if low > high {
        reader.report(
            Problem::new("knowledge::upside-down", node.span, "here", "the range is upside down")
                .help("write the lower end first"),
        );
        return None;
    }
    Some((low, high))
}

fn plain(node: &Node, property: &Property, model: &Model, reader: &mut Reader) -> Option<Value> {
    match property.ty {
        PropertyType::Quantity(d) => {
            text(node, reader).and_then(|t| quantity(&t, node.span, d, model, reader)).map(Value::Quantity)
        }
        PropertyType::Window(d) => {
            text(node, reader).and_then(|t| quantity(&t, node.span, d, model, reader)).map(|q| Value::Window(q, q))
        }
        PropertyType::YesNo => flag(node, reader).map(Value::YesNo),
        PropertyType::Text => text(node, reader).map(Value::Text),
        PropertyType::Choice(k) => {
            let word = text(node, reader)?;
            member(&word, node.span, k, model, reader).map(Value::Choice)
        }
        PropertyType::Set(k) => {
            let mut mask = Mask::EMPTY;
            for (word, span) in texts(node, reader) {
                match model.entity(k, &word) {
                    Some(e) => mask = mask.or(e.members),
                    None => reader.report(unknown_member(&word, span, k, model, true)),
                }
            }
            Some(Value::Set(mask))
        }
        PropertyType::Schedule { .. } => {
            reader.report(
                Problem::new("knowledge::wrong-type", node.span, "here", "this must be a schedule")
                    .help("write `schedule: [120 °C for 360 s, 160 °C for 180 s]`"),
            );
            None
        }
    }
}

fn schedule(node: &Node, property: &Property, model: &Model, reader: &mut Reader) -> Option<Value> {
    let PropertyType::Schedule { at, needs } = property.ty else {
        reader.report(Problem::new("knowledge::wrong-range", node.span, "here", "this property is no schedule"));
        return None;
    };
    let before = reader.problems.len();
    let mut points: Vec<(i64, i64)> = Vec::new();
    for item in items(node, reader) {
        let Some(written) = text(item, reader) else {
            continue;
        };
        let Some((level, needed)) = written.split_once(" for ") else {
            reader.report(
                Problem::new("knowledge::wrong-range", item.span, "here", "this must be a point of a schedule")
                    .help("write it like `160 °C for 180 s`"),
            );
            continue;
        };
        let level = quantity(level, item.span, at, model, reader)?;
        let needed = quantity(needed, item.span, needs, model, reader)?;
        if points.last().is_some_and(|last| last.0 >= level || last.1 < needed) {
            reader.report(
                Problem::new("knowledge::upside-down", item.span, "here", "the schedule does not run from low to high")
                    .help("rising levels need the same or less"),
            );
        }
        points.push((level, needed));
    }
    if points.is_empty() && reader.problems.len() == before {
        reader.report(
            Problem::new("knowledge::wrong-range", node.span, "here", "this schedule has no points")
                .help("write `schedule: [120 °C for 360 s, 160 °C for 180 s]`"),
        );
    }
    (!points.is_empty()).then_some(Value::Schedule(points))
}
