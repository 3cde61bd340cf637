//! The words of a case: what makes a part of a set of jobs.

use super::words::{all_of, attribute_at, choice, one_of, quantity};
use crate::condition::Comparison;
use crate::job::{Domain, JobSet, Slot};
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask};
use crate::program::{Check, Literal, Num, Program};
use crate::quantity::DimensionId;
use crate::reason::evaluate::{Evaluation, Interval, Truth, present};
use crate::reason::rows::Part;
use crate::reason::split::{narrow, propagate, slot_of};

/// One thing that holds in a case.
#[derive(Debug, Clone, PartialEq)]
enum Holds {
    /// A choice is one of these.
    Choice(Slot, usize, Mask),
    /// A quantity compared: what it is, and how it lies.
    Quantity(String, String),
    /// Anything else, in words.
    Words(String),
}

/// What holds in a part of a set, each once.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Case(Vec<Holds>);

impl Case {
    /// What holds in a part: where it is narrower than its set, and what must also hold of it. What is said twice of one
    /// choice is said together, and what follows from the rest is left out.
    pub(super) fn of(e: &Evaluation<'_>, part: &Part) -> Self {
        let mut all: Vec<Holds> = Vec::new();
        for (slot, layer) in &part.narrowed {
            match part.set.domain(*slot, *layer) {
                Some(Domain::Choice(mask)) => all.push(Holds::Choice(*slot, *layer, *mask)),
                Some(Domain::Set { must, .. }) => {
                    let Some(kind) = kind_at(e.program, *slot) else { continue };
                    let names: Vec<String> =
                        e.program.model.names(kind, *must).into_iter().map(str::to_owned).collect();
                    all.push(Holds::Words(held_words(e.program, *slot, &all_of(&names), false, true)));
                }
                _ => {}
            }
        }
        let there = Evaluation::new(e.program, &part.set);
        for (l, layer) in needed(e.program, part) {
            literal(&there, l, layer, &mut all);
        }
        let mut once: Vec<Holds> = Vec::new();
        for one in all {
            let known = match &one {
                Holds::Choice(slot, layer, mask) => once.iter_mut().find_map(|k| match k {
                    Holds::Choice(s, l, known) if (*s, *l) == (*slot, *layer) => {
                        *known = known.and(*mask);
                        Some(())
                    }
                    _ => None,
                }),
                other => once.contains(other).then_some(()),
            };
            if known.is_none() {
                once.push(one);
            }
        }
        Self(once)
    }

    /// Takes in another that differs from it in one choice only; says whether it did.
    pub(super) fn unite(&mut self, other: &Self) -> bool {
        if self.0.len() != other.0.len() {
            return false;
        }
        let mut differ = self.0.iter_mut().filter(|k| !other.0.contains(k));
        let (first, second) = (differ.next(), differ.next());
        match (first, second) {
            (None, _) => true,
            (Some(Holds::Choice(slot, layer, mask)), None) => {
                let theirs = other.0.iter().find_map(|o| match o {
                    Holds::Choice(s, l, m) if (*s, *l) == (*slot, *layer) => Some(*m),
                    _ => None,
                });
                theirs.inspect(|m| *mask = mask.or(*m)).is_some()
            }
            _ => false,
        }
    }

    /// In words. Of a quantity between two ends the name is said once.
    pub(super) fn words(&self, e: &Evaluation<'_>) -> Vec<String> {
        let mut words: Vec<String> = Vec::new();
        let mut quantities: Vec<(&str, Vec<&str>)> = Vec::new();
        for one in &self.0 {
            match one {
                Holds::Choice(slot, layer, mask) => words.extend(choice_words(e, *slot, *layer, *mask)),
                Holds::Quantity(name, lies) => match quantities.iter_mut().find(|q| q.0 == name) {
                    Some(known) => known.1.push(lies),
                    None => quantities.push((name, vec![lies])),
                },
                Holds::Words(text) => words.push(text.clone()),
            }
        }
        words.extend(quantities.into_iter().map(|(name, mut lies)| {
            lies.sort_unstable();
            format!("{name} {}", lies.join(" and "))
        }));
        words.sort();
        words.dedup();
        words
    }
}

/// What makes a part of a set.
pub(super) fn case_words(e: &Evaluation<'_>, part: &Part) -> Vec<String> {
    Case::of(e, part).words(e)
}

/// Parts of a set as alternatives, each in words. Those that differ in one choice only are one.
pub(super) fn ways_words(e: &Evaluation<'_>, parts: &[Part]) -> Vec<String> {
    let mut ways: Vec<Case> = Vec::new();
    for part in parts {
        let own = Case::of(e, part);
        if !ways.iter_mut().any(|known| known.unite(&own)) {
            ways.push(own);
        }
    }
    let mut told: Vec<String> = ways.iter().map(|way| all_of(&way.words(e))).collect();
    told.dedup();
    told
}

/// What must also hold of a part and does not follow from the rest of it.
fn needed(program: &Program, part: &Part) -> Vec<(Literal, usize)> {
    let mut kept = part.open.clone();
    for own in &part.open {
        let rest: Vec<(Literal, usize)> = kept.iter().filter(|o| *o != own).copied().collect();
        let mut set: JobSet = part.set.clone();
        for (literal, layer) in &rest {
            narrow(program, &mut set, *literal, *layer);
        }
        if propagate(program, &mut set) && Evaluation::new(program, &set).literal(own.0, own.1) == Truth::True {
            kept = rest;
        }
    }
    kept
}

/// An open literal in words, of all the jobs in which it holds.
fn literal(e: &Evaluation<'_>, literal: Literal, layer: usize, out: &mut Vec<Holds>) {
    let program = e.program;
    let Some(check) = program.tests.get(literal.test.index()) else { return };
    match check {
        Check::OneOf(slot, mask) => out.extend(chosen(e, *slot, layer, *mask, literal.negated)),
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
            out.extend(chosen(e, *slot, layer, mask, false));
        }
        Check::Holds(slot) => {
            out.push(Holds::Words(match attribute_at(program, *slot).and_then(|id| id.of(&program.model)) {
                Some(a) => yes_no_words(a, literal.negated),
                None => hidden_words(program, *slot, Some(!literal.negated)),
            }))
        }
        Check::Derived(node, _) => {
            let attribute = program.nodes.get(usize::from(*node)).and_then(|n| n.attribute.of(&program.model));
            out.extend(attribute.map(|a| Holds::Words(yes_no_words(a, literal.negated))));
        }
        Check::Has(slot, mask) => {
            let names = members(e, *slot, *mask);
            let set = matches!(e.domain(*slot, layer), Some(Domain::Set { .. }));
            out.push(Holds::Words(held_words(program, *slot, &names, literal.negated, set)));
        }
        Check::Among(choice, _) => {
            let listed = if literal.negated { "is not listed" } else { "is listed" };
            out.push(Holds::Words(format!("{} {listed}", label(program, *choice))));
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
            out.push(Holds::Words(held_words(program, *slot, &one_of(&names), literal.negated, true)));
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

/// That a choice is, or is not, one of these; nothing where that says nothing.
fn chosen(e: &Evaluation<'_>, slot: Slot, layer: usize, mask: Mask, negated: bool) -> Option<Holds> {
    let Domain::Choice(possible) = e.domain(slot, layer)? else { return None };
    let meant = if negated { possible.without(mask) } else { possible.and(mask) };
    (!meant.is_empty() && meant != *possible).then_some(Holds::Choice(slot, layer, meant))
}

fn choice_words(e: &Evaluation<'_>, slot: Slot, layer: usize, mask: Mask) -> Option<String> {
    let Domain::Choice(possible) = e.domain(slot, layer)? else { return None };
    let kind = kind_at(e.program, slot)?;
    let (meant, rest) = (possible.and(mask), possible.without(mask));
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
    out: &mut Vec<Holds>,
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
                out.extend(chosen(e, *slot, layer, mask, false));
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
        let end = match dimension {
            Some(dimension) if known => quantity(e.program, value, dimension),
            _ => named(e, other).unwrap_or_else(|| "what it is compared with".to_owned()),
        };
        out.push(Holds::Quantity(subject, format!("{relation} {end}")));
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
        Num::Subtract(of, by) => beyond(e, (of, by), "less"),
        Num::Add(of, by) => beyond(e, (of, by), "plus"),
        _ => None,
    }
}

/// A quantity of the job and so much more or less: `lightness of the cloth less 10`.
fn beyond(e: &Evaluation<'_>, (of, by): (&Num, &Num), joined: &str) -> Option<String> {
    let (Num::Slot(slot), Num::Constant(by)) = (of, by) else { return None };
    let own = dimension(e, attribute_at(e.program, *slot)?)?;
    let own = e.program.model.dim(own).and_then(|d| d.difference).unwrap_or(own);
    Some(format!("{} {joined} {}", label(e.program, *slot), quantity(e.program, Interval::point(*by), own)))
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
        let left = propagate(e.program, &mut job);
        if left && Evaluation::new(e.program, &job).literal(literal, layer) != Truth::False {
            mask.insert(m);
        }
    }
    mask
}

fn follows(program: &Program, slot: Slot) -> Option<Slot> {
    let (leader, _) = attribute_at(program, slot)?.of(&program.model)?.follows?;
    Some(match (slot_of(program, leader), slot) {
        (Slot::This(i), Slot::Below(_)) => Slot::Below(i),
        (other, _) => other,
    })
}

fn told_by_leader(e: &Evaluation<'_>, slot: Slot, literal: Literal, layer: usize, out: &mut Vec<Holds>) -> bool {
    let Some(leader) = follows(e.program, slot) else { return false };
    let Some(Domain::Choice(possible)) = e.domain(leader, layer) else { return false };
    if possible.only().is_some() || e.job.is_stated(slot, layer) {
        return false;
    }
    // A choice of which every member or none is meant says nothing.
    out.extend(chosen(e, leader, layer, holding(e, leader, literal, layer), false));
    true
}
