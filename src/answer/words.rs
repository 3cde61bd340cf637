//! Values and conditions in words.

use crate::condition::Comparison;
use crate::job::{Domain, Slot};
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask, Model};
use crate::program::{Check, Literal, Name, Num, Program, Said};
use crate::quantity::{DimensionId, LARGEST, System};
use crate::reason::evaluate::{Evaluation, Interval, Truth, present};
use crate::reason::rows::Part;
use crate::statement::Stated;
use serde_json::{Map, Value, json};

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
        Some(t) => t.replace("{}", value),
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
            let unit = s.words.trim_start_matches(|c: char| c.is_ascii_digit() || " .,-+".contains(c));
            let unit = d.unit(unit.trim());
            // Between units of which answers choose the handier one nobody minds.
            let us = unit.and_then(|u| d.units.get(u)).is_some_and(|u| u.us);
            if d.chooses() && !us || units.spoken.contains(&id) {
                continue;
            }
            units.spoken.push(id);
            units.told.extend(unit.filter(|u| *u > 0).map(|u| (id, u)));
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
        match (i.low <= -LARGEST, i.high >= LARGEST) {
            (true, true) => "any value".to_owned(),
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
fn choice(program: &Program, kind: KindId, mask: Mask) -> String {
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
        (Domain::Number { low, high }, AttributeType::Quantity(d) | AttributeType::Setting(d)) => (
            quantity(program, Interval { low: *low, high: *high, none: Truth::False }, d),
            window(program, *low, *high, d),
        ),
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
                let said = match (*low, *high) {
                    (1, most) if most >= whole - 1 => "some".to_owned(),
                    (low, high) => quantity(program, Interval { low, high, none: Truth::False }, d),
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

/// What makes a part of a set: where it is narrower, and what must also hold of it.
pub(super) fn case_words(e: &Evaluation<'_>, part: &Part) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for (slot, layer) in &part.narrowed {
        words.extend(part.set.domain(*slot, *layer).and_then(|d| narrowed_words(e, *slot, *layer, d)));
    }
    let there = Evaluation::new(e.program, &part.set);
    for (l, layer) in &part.open {
        literal(&there, *l, *layer, &mut words);
    }
    words.sort();
    words.dedup();
    words
}

fn narrowed_words(e: &Evaluation<'_>, slot: Slot, layer: usize, domain: &Domain) -> Option<String> {
    match domain {
        Domain::Choice(mask) => choice_words(e, slot, layer, *mask, false),
        Domain::Set { must, .. } => {
            let names: Vec<String> =
                e.program.model.names(kind_at(e.program, slot)?, *must).into_iter().map(str::to_owned).collect();
            Some(held_words(e.program, slot, &all_of(&names), false, true))
        }
        _ => None,
    }
}

/// An open literal in words, of all the jobs in which it holds.
fn literal(e: &Evaluation<'_>, literal: Literal, layer: usize, out: &mut Vec<String>) {
    let program = e.program;
    let Some(check) = program.tests.get(literal.test.index()) else { return };
    match check {
        Check::OneOf(slot, mask) => out.extend(choice_words(e, *slot, layer, *mask, literal.negated)),
        Check::Switch(slot, arms) => {
            let Some(Domain::Choice(possible)) = e.domain(*slot, layer) else { return };
            if let Some(only) = possible.only() {
                if let Some(arm) = arms.get(only) {
                    self::literal(e, Literal { test: *arm, ..literal }, layer, out);
                }
                return;
            }
            let mut mask = Mask::EMPTY;
            possible
                .iter()
                .filter(|m| {
                    arms.get(*m).is_some_and(|a| e.literal(Literal { test: *a, ..literal }, layer) != Truth::False)
                })
                .for_each(|m| mask.insert(m));
            out.extend(choice_words(e, *slot, layer, mask, false));
        }
        Check::Holds(slot) => out.push(match attribute_at(program, *slot).and_then(|id| id.of(&program.model)) {
            Some(a) => yes_no_words(a, literal.negated),
            None => hidden_words(program, *slot, Some(!literal.negated)),
        }),
        Check::Derived(node, _) => {
            let attribute = program.nodes.get(usize::from(*node)).and_then(|n| n.attribute.of(&program.model));
            out.extend(attribute.map(|a| yes_no_words(a, literal.negated)));
        }
        Check::Has(slot, mask) => {
            let names = members(e, *slot, *mask);
            let set = matches!(e.domain(*slot, layer), Some(Domain::Set { .. }));
            out.push(held_words(program, *slot, &names, literal.negated, set));
        }
        Check::Among(choice, _) => {
            out.push(format!("{} {} listed", label(program, *choice), if literal.negated { "is not" } else { "is" }));
        }
        Check::Compare(a, op, b) => compare(e, (a, *op, b), literal, layer, out),
        Check::Some(slot, arms) => {
            let (Some(kind), Some(domain)) = (kind_at(program, *slot), e.domain(*slot, layer)) else { return };
            let mut mask = Mask::EMPTY;
            for (member, clauses) in arms {
                if present(domain, *member) != Truth::False && e.clauses(clauses, layer) != Truth::False {
                    mask.insert(*member);
                }
            }
            let names: Vec<String> = program.model.names(kind, mask).into_iter().map(str::to_owned).collect();
            out.push(held_words(program, *slot, &one_of(&names), literal.negated, true));
        }
        Check::Constant(_) | Check::First(_) | Check::Last(_) | Check::Stated(_) => {}
    }
}

fn yes_no_words(attribute: &Attribute, negated: bool) -> String {
    match (negated, &attribute.told.not, attribute.words.1.first()) {
        (false, ..) => attribute.told.is.clone().unwrap_or_else(|| attribute.says.clone()),
        (true, Some(told), _) => told.clone(),
        (true, None, Some(no)) => format!("it is {no}"),
        (true, None, None) => format!("not so: {}", attribute.says),
    }
}

/// That something is, or is not, in a set, blend or amounts.
fn held_words(program: &Program, slot: Slot, names: &str, negated: bool, set: bool) -> String {
    let attribute = attribute_at(program, slot).and_then(|id| id.of(&program.model));
    let told = attribute.and_then(|a| if negated { a.told.not.as_ref() } else { a.told.is.as_ref() });
    match (told, set, negated) {
        (Some(told), _, _) => told.replace("{}", names),
        (None, true, false) => format!("{} is {names}", label(program, slot)),
        (None, true, true) => format!("{} is not {names}", label(program, slot)),
        (None, false, false) => format!("{} has {names}", label(program, slot)),
        (None, false, true) => format!("{} has no {names}", label(program, slot)),
    }
}

fn label(program: &Program, slot: Slot) -> String {
    match attribute_at(program, slot).and_then(|id| id.of(&program.model)) {
        Some(a) => a.label.clone(),
        None => hidden_words(program, slot, None),
    }
}

/// A value of the knowledge that differs from item to item: that it is so or not, or what it is.
fn hidden_words(program: &Program, slot: Slot, value: Option<bool>) -> String {
    let Slot::Hidden(i) = slot else { return String::new() };
    let Some(hidden) = program.hidden.get(usize::from(i)) else { return String::new() };
    let entity = program.model.entities.get(hidden.entity.index()).map_or("", |e| e.name.as_str());
    let Some(property) = program.model.properties.get(hidden.property.index()) else { return String::new() };
    let (told, otherwise) = match value {
        Some(true) => (&property.told.is, format!("this {entity} {}", property.says)),
        Some(false) => (&property.told.not, format!("it is not so that this {entity} {}", property.says)),
        None => (&property.told.said, format!("of this {entity}, the {}", property.says)),
    };
    told.as_ref().map_or(otherwise, |t| t.replace("{entity}", entity))
}

fn choice_words(e: &Evaluation<'_>, slot: Slot, layer: usize, mask: Mask, negated: bool) -> Option<String> {
    let Domain::Choice(possible) = e.domain(slot, layer)? else { return None };
    let id = attribute_at(e.program, slot)?;
    let AttributeType::Choice(kind) = id.of(&e.program.model)?.ty else { return None };
    let (meant, rest) = if negated {
        (possible.without(mask), possible.and(mask))
    } else {
        (possible.and(mask), possible.without(mask))
    };
    if meant.is_empty() || rest.is_empty() {
        return None;
    }
    // A class that says the same tells it best, then the shorter list.
    let classes = e.program.model.entities.iter().filter(|x| x.kind == kind && x.ordinal.is_none());
    let class = classes.filter(|c| c.members.and(*possible) == meant).min_by_key(|c| c.members.count());
    let (not, names) = match class {
        Some(class) if meant.count() > 2 => (false, class.name.clone()),
        _ if meant.count() > 6 && rest.count() < meant.count() => (true, choice(e.program, kind, rest)),
        _ => (false, choice(e.program, kind, meant)),
    };
    Some(held_words(e.program, slot, &names, not, true))
}

/// The kind of the members kept at a slot.
fn kind_at(program: &Program, slot: Slot) -> Option<KindId> {
    attribute_at(program, slot)?.of(&program.model)?.ty.members()
}

/// The usual members of a class, in brackets.
fn examples(e: &Evaluation<'_>, slot: Slot, class: Mask) -> String {
    let attribute = attribute_at(e.program, slot).and_then(|id| id.of(&e.program.model));
    let Some((attribute, kind)) = attribute.and_then(|a| Some((a, a.ty.members()?))) else { return String::new() };
    let usual = attribute.usual.iter().map(|u| *u as usize).filter(|u| class.has(*u));
    let names: Vec<&str> = usual.filter_map(|u| Some(e.program.model.member(kind, u)?.name.as_str())).collect();
    match (names.len(), class.count()) {
        (0, _) => String::new(),
        (named, all) if named < all => format!(" ({}, …)", names.join(", ")),
        _ => format!(" ({})", names.join(", ")),
    }
}

/// Members by name; whole classes among them by theirs, the largest first.
fn members(e: &Evaluation<'_>, slot: Slot, mask: Mask) -> String {
    let model = &e.program.model;
    let Some(kind) = kind_at(e.program, slot) else { return String::new() };
    let classes = model.entities.iter().filter(|x| x.kind == kind && x.ordinal.is_none() && x.members.within(mask));
    let mut classes: Vec<_> = classes.collect();
    classes.sort_by_key(|c| std::cmp::Reverse(c.members.count()));
    let (mut names, mut rest) = (Vec::new(), mask);
    for class in classes {
        if class.members.and(rest).count() > 1 {
            names.push(class.name.clone() + &examples(e, slot, class.members));
            rest = rest.without(class.members);
        }
    }
    names.extend(model.names(kind, rest).into_iter().map(str::to_owned));
    one_of(&names)
}

fn compare(
    e: &Evaluation<'_>,
    (a, op, b): (&Num, Comparison, &Num),
    literal: Literal,
    layer: usize,
    out: &mut Vec<String>,
) {
    let op = if literal.negated { op.opposite() } else { op };
    for (side, op, other) in [(a, op, b), (b, op.mirrored(), a)] {
        let value = e.number(other, layer);
        let known = value.low == value.high && value.none == Truth::False;
        let (subject, dimension) = match side {
            // A quantity that follows a choice is told by the choice.
            Num::Slot(slot) if told_by_leader(e, *slot, literal, layer, out) => continue,
            Num::Slot(slot) => {
                (label(e.program, *slot), attribute_at(e.program, *slot).and_then(|id| dimension(e, id)))
            }
            Num::Amount(slot, mask) => {
                (format!("share of {}", members(e, *slot, *mask)), e.program.model.dimension("percent"))
            }
            Num::Switch(slot, _) => {
                let mask = holding(e, *slot, literal, layer);
                out.extend(choice_words(e, *slot, layer, mask, false));
                continue;
            }
            Num::Node(node, _) => {
                let Some(own) = e.program.nodes.get(usize::from(*node)) else { continue };
                let label = own.attribute.of(&e.program.model).map_or("", |a| a.label.as_str());
                (label.to_owned(), dimension(e, own.attribute))
            }
            _ => continue,
        };
        let relation = match op {
            Comparison::Less => "under",
            Comparison::AtMost => "at most",
            Comparison::More => "over",
            Comparison::AtLeast => "at least",
            Comparison::Equal => "exactly",
            Comparison::Unequal => "other than",
        };
        out.push(match dimension {
            Some(dimension) if known => format!("{subject} {relation} {}", quantity(e.program, value, dimension)),
            _ => {
                let than = named(e, other);
                format!("{subject} {relation} {}", than.as_deref().unwrap_or("what it is compared with"))
            }
        });
    }
}

/// The label of a quantity of the job.
fn named(e: &Evaluation<'_>, num: &Num) -> Option<String> {
    match num {
        Num::Slot(slot) => Some(label(e.program, *slot)),
        Num::Node(node, _) => {
            let own = e.program.nodes.get(usize::from(*node))?;
            own.attribute.of(&e.program.model).map(|a| a.label.clone())
        }
        _ => None,
    }
}

fn dimension(e: &Evaluation<'_>, id: AttributeId) -> Option<DimensionId> {
    match id.of(&e.program.model)?.ty {
        AttributeType::Quantity(d) | AttributeType::Setting(d) => Some(d),
        _ => None,
    }
}

/// The members of an open choice with which a literal may hold.
fn holding(e: &Evaluation<'_>, slot: Slot, literal: Literal, layer: usize) -> Mask {
    let mut mask = Mask::EMPTY;
    let Some(Domain::Choice(possible)) = e.domain(slot, layer) else { return mask };
    for m in possible.iter() {
        let mut job = e.job.clone();
        if let Some(d) = job.domain_mut(slot, layer) {
            *d = Domain::Choice(Mask::one(m));
        }
        let left = crate::reason::split::propagate(e.program, &mut job);
        if left && Evaluation::new(e.program, &job).literal(literal, layer) != Truth::False {
            mask.insert(m);
        }
    }
    mask
}

fn follows(program: &Program, slot: Slot) -> Option<Slot> {
    let (leader, _) = attribute_at(program, slot)?.of(&program.model)?.follows?;
    Some(match (crate::reason::split::slot_of(program, leader), slot) {
        (Slot::This(i), Slot::Below(_)) => Slot::Below(i),
        (other, _) => other,
    })
}

fn told_by_leader(e: &Evaluation<'_>, slot: Slot, literal: Literal, layer: usize, out: &mut Vec<String>) -> bool {
    let Some(leader) = follows(e.program, slot) else { return false };
    let Some(Domain::Choice(possible)) = e.domain(leader, layer) else { return false };
    if possible.only().is_some() || e.job.is_stated(slot, layer) {
        return false;
    }
    // A choice of which every member or none is meant says nothing.
    out.extend(choice_words(e, leader, layer, holding(e, leader, literal, layer), false));
    true
}
