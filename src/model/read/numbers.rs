//! Quantity expressions: their names resolved, their dimensions checked.

use super::Reader;
use super::conditions::Check;
use super::fields::inside;
use super::names::{Names, Type};
use crate::condition::{Term, Word, parse_term};
use crate::diagnostic::Problem;
use crate::document::Node;
use crate::model::{End, Model, Number, Place};
use crate::quantity::{Decimal, DimensionId};
use crate::source::Span;

/// Reads a quantity expression that must be of a dimension.
pub(super) fn number(
    node: &Node,
    dimension: DimensionId,
    names: &Names,
    model: &Model,
    reader: &mut Reader,
) -> Option<Number> {
    let written = super::fields::text(node, reader)?;
    let parsed = match parse_term(&written, inside(node.span, &written)) {
        Ok(parsed) => parsed,
        Err(problem) => {
            reader.report(problem.help("write a quantity such as `layer.ink.cure_min - 5 K`"));
            return None;
        }
    };
    let mut check = Check::new(names.clone(), model);
    let found = check.number(&parsed, Some(dimension));
    let mut problems = check.problems;
    if let Some((_, d)) = &found
        && problems.is_empty()
        && *d != dimension
    {
        problems.push(wrong_dimension(node.span, *d, dimension, model));
    }
    let clean = problems.is_empty();
    reader.problems.extend(problems);
    found.filter(|_| clean).map(|f| f.0)
}

impl Check<'_> {
    pub(super) fn number(&mut self, term: &Term, wanted: Option<DimensionId>) -> Option<(Number, DimensionId)> {
        match term {
            Term::Quantity { number, unit } => self.constant(number, unit.as_ref(), wanted),
            Term::Path(word) => self.path_number(word),
            Term::Share { name, set } => {
                let Some((place, Type::Many(kind))) = self.place(&set.text) else {
                    self.unknown(set, "a blend or amounts");
                    return None;
                };
                let members = self.members(name, kind)?;
                let Some(percent) = self.model.dimension("percent") else {
                    self.problems.push(Problem::new(
                        "condition::wrong-type",
                        set.span,
                        "here",
                        "no unit is declared for `percent`",
                    ));
                    return None;
                };
                Some((Number::Share(place, members), percent))
            }
            Term::Lookup { schedule, at } => {
                let Some((place, Type::Schedule { at: level, needs })) = self.place(&schedule.text) else {
                    self.unknown(schedule, "a schedule");
                    return None;
                };
                self.written(&place, schedule);
                let (inner, found) = self.number(at, Some(level))?;
                if found != level {
                    self.problems.push(wrong_dimension(schedule.span, found, level, self.model));
                    return None;
                }
                Some((Number::Lookup(place, Box::new(inner)), needs))
            }
            Term::Add(a, b, span) | Term::Subtract(a, b, span) => {
                let minus = matches!(term, Term::Subtract(..));
                let left = self.number(a, wanted)?;
                let difference = self.model.dim(left.1).and_then(|d| d.difference);
                let right = self.number(b, Some(difference.unwrap_or(left.1)))?;
                // A temperature less a temperature is a difference; with a difference, it is a temperature.
                let result = match (difference, minus) {
                    (Some(d), _) if right.1 == d => left.1,
                    (Some(d), true) if right.1 == left.1 => d,
                    (None, _) if right.1 == left.1 => left.1,
                    _ => {
                        self.problems.push(wrong_dimension(*span, right.1, difference.unwrap_or(left.1), self.model));
                        return None;
                    }
                };
                let (l, r) = (Box::new(left.0), Box::new(right.0));
                Some((if minus { Number::Subtract(l, r) } else { Number::Add(l, r) }, result))
            }
            Term::Multiply(a, b, span) => {
                let plain = |t: &Term| match t {
                    Term::Quantity { number, unit: None } => {
                        Decimal::parse(&number.text).map(|d| (d.to_f64() * 1000.0).round() as i64)
                    }
                    _ => None,
                };
                let (factor, rest) = match (plain(a), plain(b)) {
                    (Some(f), _) => (f, b),
                    (_, Some(f)) => (f, a),
                    _ => {
                        self.problems.push(
                            Problem::new(
                                "condition::wrong-type",
                                *span,
                                "here",
                                "one side of `*` must be a plain number",
                            )
                            .help("write it like `2 * fibre.regain`"),
                        );
                        return None;
                    }
                };
                let (inner, dimension) = self.number(rest, wanted)?;
                Some((Number::Scale(Box::new(inner), factor), dimension))
            }
            Term::Min(a, b, span) | Term::Max(a, b, span) => {
                let left = self.number(a, wanted)?;
                let right = self.number(b, Some(left.1))?;
                if left.1 != right.1 {
                    self.problems.push(wrong_dimension(*span, right.1, left.1, self.model));
                    return None;
                }
                let (l, r) = (Box::new(left.0), Box::new(right.0));
                Some((if matches!(term, Term::Min(..)) { Number::Min(l, r) } else { Number::Max(l, r) }, left.1))
            }
        }
    }

    fn constant(
        &mut self,
        number: &Word,
        unit: Option<&Word>,
        wanted: Option<DimensionId>,
    ) -> Option<(Number, DimensionId)> {
        let dimension = match (unit, wanted) {
            (None, Some(w)) => Some(w),
            (None, None) => self.model.dimension("number"),
            (Some(u), Some(w)) if self.model.dim(w).is_some_and(|d| d.unit(&u.text).is_some()) => Some(w),
            (Some(u), _) => {
                self.model.dimensions.iter().position(|d| d.unit(&u.text).is_some()).map(|i| DimensionId(i as u16))
            }
        };
        let Some(dimension) = dimension else {
            let place = unit.map_or(number.span, |u| u.span);
            let text = unit.map_or("", |u| u.text.as_str());
            let known: Vec<&str> = self
                .model
                .dimensions
                .iter()
                .flat_map(|d| &d.units)
                .map(|u| u.symbol.as_str())
                .filter(|s| !s.is_empty())
                .collect();
            self.problems.push(
                Problem::new("condition::unknown-unit", place, "here", format!("unknown unit `{text}`"))
                    .help(format!("units are {}", crate::diagnostic::one_of(&known))),
            );
            return None;
        };
        let written = format!("{} {}", number.text, unit.map_or("", |u| u.text.as_str()));
        match super::units::parse_quantity(&written, dimension, self.model) {
            Ok(steps) => Some((Number::Constant(steps), dimension)),
            Err((message, help)) => {
                self.problems.push(Problem::new("condition::bad-quantity", number.span, "here", message).help(help));
                None
            }
        }
    }

    /// A window or schedule that a rule reads is written for every entity: it cannot be open.
    fn written(&mut self, place: &Place, word: &Word) {
        let Place::Property(_, id) = place else { return };
        let Some(property) = self.model.properties.get(id.index()) else { return };
        if !property.required {
            self.problems.push(
                Problem::new(
                    "condition::may-be-missing",
                    word.span,
                    "here",
                    format!("`{}` need not be written, so it cannot be counted on", property.name),
                )
                .help(format!("declare `{}` with `required: yes`", property.name)),
            );
        }
    }

    fn path_number(&mut self, word: &Word) -> Option<(Number, DimensionId)> {
        match self.place(&word.text) {
            Some((place, Type::Quantity(d))) => return Some((Number::Of(place), d)),
            Some((_, Type::Setting(_) | Type::Window(_))) => {
                self.problems.push(
                    Problem::new("condition::needs-end", word.span, "here", format!("`{}` is a window", word.text))
                        .help(format!("write `{0}.min` or `{0}.max`", word.text)),
                );
                return None;
            }
            Some((_, other)) => {
                self.problems.push(Problem::new(
                    "condition::wrong-type",
                    word.span,
                    "here",
                    format!("`{}` is {}, not a quantity", word.text, other.words()),
                ));
                return None;
            }
            None => {}
        }
        let ended = word.text.rsplit_once('.').and_then(|(front, end)| {
            let end = match end {
                "min" => End::Low,
                "max" => End::High,
                _ => return None,
            };
            match self.place(front)? {
                (place, Type::Window(d) | Type::Setting(d)) => Some((Number::End(place, end), d)),
                _ => None,
            }
        });
        match &ended {
            Some((Number::End(place, _), _)) => self.written(&place.clone(), word),
            _ => self.unknown(word, "a quantity"),
        }
        ended
    }
}

pub(super) fn wrong_dimension(span: Span, found: DimensionId, wanted: DimensionId, model: &Model) -> Problem {
    let name = |d: DimensionId| model.dim(d).map_or("quantity", |x| x.name.as_str());
    Problem::new(
        "condition::wrong-dimension",
        span,
        "here",
        format!("a {} stands where a {} belongs", name(found), name(wanted)),
    )
    .help("both sides of a comparison, sum or bound measure the same thing")
}
