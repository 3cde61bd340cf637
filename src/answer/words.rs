//! Values and conditions in words.

use crate::job::{Domain, Slot};
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask, Model};
use crate::program::{Name, Program, Said};
use crate::quantity::{DimensionId, LARGEST, LEAST, MOST, System};
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::statement::Stated;
use serde_json::{Map, Value, json};

/// Words with which a phrase for a case begins.
pub(crate) const OPENERS: [&str; 9] = ["for ", "on ", "where ", "with ", "if ", "in ", "when ", "at ", "without "];

/// `a, b or c`.
pub(super) fn one_of(words: &[String]) -> String {
    joined(words, "or")
}

/// `a, b and c`.
pub(super) fn all_of(words: &[String]) -> String {
    joined(words, "and")
}

fn joined(words: &[String], last: &str) -> String {
    match words.split_last() {
        None => String::new(),
        Some((one, [])) => one.clone(),
        Some((end, rest)) => format!("{} {last} {end}", rest.join(", ")),
    }
}

/// A template's words, or the label with the value.
pub(super) fn filled(template: Option<&String>, attribute: &Attribute, value: &str) -> String {
    match template {
        // `at {}` of what is at most so much.
        Some(t) => t.replace("{}", value).replace("at at ", "at "),
        None => format!("{}: {value}", attribute.label),
    }
}

/// The units in which a job was described, by dimension: whoever speaks of one reads answers in it.
#[derive(Debug, Clone, Default)]
pub(super) struct Units {
    told: Vec<(DimensionId, usize)>,
    /// Dimensions of which the asker named a unit.
    spoken: Vec<DimensionId>,
}

impl Units {
    /// The units of what was said, and for all else those of a system.
    pub(super) fn of(model: &Model, stated: &Stated, system: System) -> Self {
        let mut units = Self::said(model, stated);
        if system == System::Us {
            for (index, d) in model.dimensions.iter().enumerate() {
                let id = DimensionId(index as u16);
                let own = d.units.iter().position(|u| u.us).filter(|_| !units.spoken.contains(&id));
                units.told.extend(own.map(|u| (id, u)));
            }
        }
        units
    }

    fn said(model: &Model, stated: &Stated) -> Self {
        let mut units = Self::default();
        for s in &stated.statements {
            let Some(AttributeType::Quantity(id) | AttributeType::Setting(id)) = s.attribute.of(model).map(|a| a.ty)
            else {
                continue;
            };
            let Some(d) = model.dim(id) else { continue };
            let last = s.words.rsplit(" to ").next().unwrap_or(&s.words);
            let unit = last.trim_start_matches(|c: char| c.is_ascii_digit() || " .,-+".contains(c));
            let unit = d.unit(unit.trim());
            // Between units of which answers choose the handier one nobody minds.
            let us = unit.and_then(|u| d.units.get(u)).is_some_and(|u| u.us);
            if d.chooses() && !us || units.spoken.contains(&id) {
                continue;
            }
            units.spoken.push(id);
            // `5 dozen` is no way to tell strokes.
            let bare = d.units.first().is_some_and(|u| u.symbol.is_empty());
            units.told.extend(unit.filter(|u| *u > 0 && !bare).map(|u| (id, u)));
        }
        units
    }

    /// The dimensions that are told in another unit, each with that.
    pub(super) fn all(&self) -> impl Iterator<Item = (DimensionId, usize)> + '_ {
        self.told.iter().copied()
    }

    fn of_dimension(&self, id: DimensionId) -> Option<usize> {
        self.told.iter().find(|u| u.0 == id).map(|u| u.1)
    }

    /// As [`Units::write`], and for sizes that the trade calls by two round numbers by both of them.
    pub(super) fn write_in_both(&self, model: &Model, i: Interval, dimension: DimensionId) -> String {
        let words = self.write(model, i, dimension);
        let ends = [i.low, i.high].iter().all(|end| end.abs() < LARGEST);
        match model.dim(dimension) {
            Some(d) if !d.nominal.is_empty() && ends && self.of_dimension(dimension).is_none() => {
                let other = if i.low == i.high { d.write_in(i.low, 1) } else { d.range_in(i.low, i.high, 1) };
                format!("{words} ({other})")
            }
            _ => words,
        }
    }

    /// A quantity or a range in these units.
    pub(super) fn write(&self, model: &Model, i: Interval, dimension: DimensionId) -> String {
        let Some(d) = model.dim(dimension) else { return String::new() };
        if i.none == Truth::True {
            return "none".to_owned();
        }
        if let Some(said) = d.said_around(i.low, i.high) {
            return self.write(model, Interval { low: said, high: said, ..i }, dimension);
        }
        let own = self.of_dimension(dimension);
        let one = |steps: i64| match own {
            Some(u) => format!("{} ({})", d.write_in(steps, d.handy(u, steps)), d.write(steps)),
            None => d.write(steps),
        };
        let least = |steps: i64| match d.beside(steps) {
            Some((at, true)) => format!("more than {}", one(at)),
            Some((at, false)) => format!("at least {}", one(at)),
            None => format!("at least {}", one(steps)),
        };
        let most = |steps: i64| match d.beside(steps) {
            Some((at, false)) => format!("less than {}", one(at)),
            Some((at, true)) => format!("at most {}", one(at)),
            None => format!("at most {}", one(steps)),
        };
        // What is reckoned from a value that nobody knows lies a little beside the ends of all values.
        let near = LARGEST - LARGEST / 1000;
        let nothing_less = d.least.as_ref().is_some_and(|least| least.0 < 0 && i.low <= least.0);
        match (i.low <= -near || nothing_less, i.high >= near) {
            (true, true) if i.low <= -LARGEST && i.high >= LARGEST => "any value".to_owned(),
            (true, true) => "an unknown value".to_owned(),
            (true, false) if i.high <= -LARGEST => "less than any".to_owned(),
            (false, true) if i.low >= LARGEST => "more than any".to_owned(),
            (true, false) => most(i.high),
            // That it is no less than nothing goes without saying.
            (false, true) if i.low == 0 => "an unknown amount".to_owned(),
            (false, true) => least(i.low),
            _ if i.low == i.high => match d.beside(i.low) {
                Some((at, true)) => format!("just over {}", one(at)),
                Some((at, false)) => format!("just under {}", one(at)),
                None => one(i.low),
            },
            _ if d.beside(i.low).is_some() || d.beside(i.high).is_some() => {
                format!("{} and {}", least(i.low), most(i.high))
            }
            _ => match own {
                Some(u) => format!("{} ({})", d.range_in(i.low, i.high, d.handy(u, i.high)), d.range(i.low, i.high)),
                None => d.range(i.low, i.high),
            },
        }
    }
}

/// An interval with its unit.
pub(super) fn quantity(program: &Program, i: Interval, dimension: DimensionId) -> String {
    interval(&program.model, i, dimension)
}

/// As [`quantity`], where there is only the model.
pub(super) fn interval(model: &Model, i: Interval, dimension: DimensionId) -> String {
    Units::default().write(model, i, dimension)
}

/// A piece of a text: its words, and the path they stand for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    /// The path between braces.
    pub(super) path: Option<String>,
    /// What it says; several where the text is told of several things at once.
    pub(super) words: Vec<String>,
    /// A name, of which several may be told in one sentence.
    pub(super) name: bool,
}

/// An instance's text at a layer, in pieces.
pub(super) fn pieces(e: &Evaluation<'_>, units: &Units, pieces: &[Said], layer: usize) -> Vec<Piece> {
    let piece = |path: &String, words: String, name: bool| Piece { path: Some(path.clone()), words: vec![words], name };
    let all = pieces.iter().map(|p| match p {
        Said::Text(t) => Piece { path: None, words: vec![t.clone()], name: false },
        Said::Number(path, num, dimension) => {
            piece(path, units.write(&e.program.model, e.number(num, layer), *dimension), false)
        }
        Said::Range(path, low, high, dimension) => {
            let (a, b) = (e.number(low, layer), e.number(high, layer));
            let i = Interval { low: a.low, high: b.high, none: a.none };
            piece(path, units.write(&e.program.model, i, *dimension), false)
        }
        Said::Name(path, name) => piece(path, name_of(e, name, layer), true),
    });
    all.collect()
}

/// Pieces as one sentence, and the values in it.
pub(super) fn joined_pieces(pieces: &[Piece]) -> (String, Map<String, Value>) {
    let mut words = String::new();
    let mut values = Map::new();
    for piece in pieces {
        let said = all_of(&piece.words);
        words.push_str(&said);
        if let Some(path) = &piece.path {
            values.insert(path.clone(), said.into());
        }
    }
    (words, values)
}

/// An instance's text at a layer, and the values in it.
pub(super) fn text(e: &Evaluation<'_>, units: &Units, said: &[Said], layer: usize) -> (String, Map<String, Value>) {
    joined_pieces(&pieces(e, units, said, layer))
}

fn name_of(e: &Evaluation<'_>, name: &Name, layer: usize) -> String {
    match name {
        Name::Fixed(text) => text.clone(),
        Name::Of(slot, kind) => match e.domain(*slot, layer) {
            Some(Domain::Choice(m)) => choice(e.program, *kind, *m),
            Some(Domain::Set { must, .. }) => listed(e.program, *kind, *must),
            Some(Domain::Amounts(a)) => {
                let mut present = Mask::EMPTY;
                a.ranges.iter().enumerate().filter(|(_, r)| r.0 > 0).for_each(|(i, _)| present.insert(i));
                listed(e.program, *kind, present)
            }
            _ => String::new(),
        },
        Name::Switch(slot, arms) => match e.domain(*slot, layer) {
            Some(Domain::Choice(m)) => {
                let mut words: Vec<String> =
                    m.iter().filter_map(|i| arms.get(i)).map(|a| name_of(e, a, layer)).collect();
                words.dedup();
                one_of(&words)
            }
            _ => String::new(),
        },
    }
}

fn listed(program: &Program, kind: KindId, mask: Mask) -> String {
    let names: Vec<String> = program.model.names(kind, mask).into_iter().map(str::to_owned).collect();
    if names.is_empty() { "none".to_owned() } else { all_of(&names) }
}

/// The members of a choice in words; many are counted rather than listed.
pub(super) fn choice(program: &Program, kind: KindId, mask: Mask) -> String {
    let everyone = program.model.everyone(kind);
    let (name, plural) =
        program.model.kinds.get(kind.index()).map_or(("", ""), |k| (k.name.as_str(), k.plural.as_str()));
    let names: Vec<String> = program.model.names(kind, mask).into_iter().map(str::to_owned).collect();
    if mask == everyone {
        format!("any {name}")
    } else if names.len() <= 6 {
        one_of(&names)
    } else {
        let few: Vec<String> = names.iter().take(5).cloned().collect();
        format!("one of {} {plural} ({}, …)", names.len(), few.join(", "))
    }
}

/// A domain in words and as JSON.
pub(super) fn domain(program: &Program, id: AttributeId, domain: &Domain) -> (String, Value) {
    id.of(&program.model).map_or((String::new(), Value::Null), |a| domain_of(program, a.ty, domain))
}

/// As [`domain`], of this type.
pub(super) fn domain_of(program: &Program, ty: AttributeType, domain: &Domain) -> (String, Value) {
    match (domain, ty) {
        (Domain::Choice(m), AttributeType::Choice(k)) => {
            let words = choice(program, k, *m);
            let ids: Vec<&str> = m.iter().filter_map(|i| program.model.member(k, i)).map(|e| e.id.as_str()).collect();
            (words, if let [one] = ids.as_slice() { json!(one) } else { json!(ids) })
        }
        (Domain::YesNo { yes, no }, _) => match (yes, no) {
            (true, false) => ("yes".to_owned(), json!(true)),
            (false, true) => ("no".to_owned(), json!(false)),
            _ => ("yes or no".to_owned(), Value::Null),
        },
        (Domain::Number { low, high }, AttributeType::Quantity(d) | AttributeType::Setting(d)) => {
            // What is meant about so is told as it was said.
            let said = program.model.dim(d).and_then(|own| own.said_around(*low, *high));
            let (low, high) = said.map_or((*low, *high), |said| (said, said));
            (quantity(program, Interval { low, high, none: Truth::False }, d), window(program, low, high, d))
        }
        (Domain::Set { must, may }, AttributeType::Set(k)) => {
            let ids = |mask: Mask| -> Vec<&str> {
                mask.iter().filter_map(|i| program.model.member(k, i)).map(|e| e.id.as_str()).collect()
            };
            let out = program.model.everyone(k).without(*may);
            match (must.is_empty(), may.within(*must)) {
                (_, true) => (listed(program, k, *must), json!(ids(*must))),
                (false, false) => (format!("{}, perhaps others", listed(program, k, *must)), json!(ids(*must))),
                // Nothing is known but what is absent.
                (true, false) if out.is_empty() => ("any".to_owned(), Value::Null),
                (true, false) => {
                    let names: Vec<String> =
                        program.model.names(k, out).into_iter().map(|n| format!("no {n}")).collect();
                    (names.join(", "), json!({"not": ids(out)}))
                }
            }
        }
        (Domain::Amounts(a), AttributeType::Blend(k) | AttributeType::Amounts(k)) => {
            let percent = program.model.dimension("percent");
            let whole = crate::job::whole(&program.model);
            let mut object = Map::new();
            let mut words = Vec::new();
            let mut sure = Vec::new();
            for (i, (low, high)) in a.ranges.iter().enumerate().filter(|(_, r)| r.1 > 0) {
                let (Some(e), Some(d)) = (program.model.member(k, i), percent) else { continue };
                // That there is any of what is named, and that it is not all, goes without saying.
                let between = |low, high| quantity(program, Interval { low, high, none: Truth::False }, d);
                let all_else = a.ranges.iter().map(|r| r.0).sum::<i64>() - low;
                let said = match (*low, *high) {
                    (1, most) if most >= whole - all_else.max(1) => "some".to_owned(),
                    (1, most) => between(LEAST, most),
                    (low, most) if low > 0 && low < most && most >= whole - all_else => between(low, MOST),
                    (low, most) => between(low, most),
                };
                words.push(format!("{said} {}", e.name));
                sure.extend((*low > 0).then(|| format!("{said} {}", e.name)));
                object.insert(e.id.clone(), window(program, *low, *high, d));
            }
            match (words.len() > 8, sure.is_empty()) {
                (true, true) => ("any composition".to_owned(), Value::Null),
                (true, false) => (format!("{} and others", sure.join(", ")), object.into()),
                (false, _) => (all_of(&words), object.into()),
            }
        }
        _ => (String::new(), Value::Null),
    }
}

/// `{"value":…,"unit":…}` or `{"min":…,"max":…,"unit":…}` in UCUM.
pub(super) fn window(program: &Program, low: i64, high: i64, dimension: DimensionId) -> Value {
    let Some(d) = program.model.dim(dimension) else { return Value::Null };
    let unit = d.units.first().map_or("1", |u| u.ucum.as_str());
    let number = |s: i64| rounded(d.reading(s, 0));
    match (low <= -LARGEST, high >= LARGEST) {
        _ if low == high => json!({"value": number(low), "unit": unit}),
        (true, true) => Value::Null,
        (true, false) => json!({"max": number(high), "unit": unit}),
        (false, true) => json!({"min": number(low), "unit": unit}),
        (false, false) => json!({"min": number(low), "max": number(high), "unit": unit}),
    }
}

/// A reading with at most three decimals, whole where it is whole.
pub(super) fn rounded(number: f64) -> Value {
    let rounded = (number * 1000.0).round() / 1000.0;
    if rounded.fract() == 0.0 { json!(rounded as i64) } else { json!(rounded) }
}

/// The attribute kept at a slot.
pub(super) fn attribute_at(program: &Program, slot: Slot) -> Option<AttributeId> {
    let index = match slot {
        Slot::Root(i) => program.layout.root.get(usize::from(i)),
        Slot::This(i) | Slot::Below(i) => program.layout.layer.get(usize::from(i)),
        Slot::Hidden(_) => None,
    };
    index.map(|i| AttributeId(*i as u16))
}
