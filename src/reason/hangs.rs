//! What is open that a test or a bound hangs on, through what is derived.

use super::evaluate::{Evaluation, Truth};
use crate::job::{Domain, Slot};
use crate::model::Frame;
use crate::program::{Check, Clauses, Literal, Num};

/// How deep derived names are followed.
const DEPTH: u32 = 12;

/// The open attributes and knowledge values that a literal hangs on, through what is derived.
pub fn hangs_on(e: &Evaluation<'_>, literal: Literal, layer: usize) -> Vec<(Slot, usize)> {
    let mut found = Vec::new();
    of_test(e, literal, layer, DEPTH, &mut found);
    found
}

/// As [`hangs_on`], of what a rule bounds.
pub fn bound_hangs_on(e: &Evaluation<'_>, (index, frame): (u32, usize)) -> Vec<(Slot, usize)> {
    let mut found = Vec::new();
    if let Some(num) = e.program.instance(index).and_then(|i| i.value.as_ref()) {
        of_number(e, num, frame, DEPTH, &mut found);
    }
    found
}

fn note(e: &Evaluation<'_>, slot: Slot, layer: usize, found: &mut Vec<(Slot, usize)>) {
    if e.domain(slot, layer).is_some_and(|d| !d.is_single()) && !found.contains(&(slot, layer)) {
        found.push((slot, layer));
    }
}

fn of_test(e: &Evaluation<'_>, literal: Literal, layer: usize, depth: u32, found: &mut Vec<(Slot, usize)>) {
    let Some(depth) = depth.checked_sub(1) else { return };
    if e.literal(literal, layer) != Truth::Open {
        return;
    }
    match e.program.tests.get(literal.test.index()) {
        Some(Check::OneOf(slot, _) | Check::Holds(slot) | Check::Has(slot, _)) => note(e, *slot, layer, found),
        Some(Check::Among(a, b)) => {
            note(e, *a, layer, found);
            note(e, *b, layer, found);
        }
        Some(Check::Derived(node, frame)) => of_node(e, *node, *frame, layer, depth, found),
        Some(Check::Switch(slot, arms)) => {
            note(e, *slot, layer, found);
            arms.iter().for_each(|a| of_test(e, Literal { test: *a, ..literal }, layer, depth, found));
        }
        Some(Check::Compare(a, _, b)) => {
            of_number(e, a, layer, depth, found);
            of_number(e, b, layer, depth, found);
        }
        Some(Check::Some(slot, arms)) => {
            note(e, *slot, layer, found);
            arms.iter().for_each(|(_, clauses)| of_clauses(e, clauses, layer, depth, found));
        }
        _ => {}
    }
}

fn of_clauses(e: &Evaluation<'_>, clauses: &Clauses, layer: usize, depth: u32, found: &mut Vec<(Slot, usize)>) {
    for clause in clauses.iter().filter(|c| e.clause(c, layer) == Truth::Open) {
        clause.iter().for_each(|l| of_test(e, *l, layer, depth, found));
    }
}

fn of_node(e: &Evaluation<'_>, node: u16, frame: Frame, layer: usize, depth: u32, found: &mut Vec<(Slot, usize)>) {
    let Some(own) = e.program.nodes.get(usize::from(node)) else { return };
    let layer = if frame == Frame::Below { layer.saturating_sub(1) } else { layer };
    for (_, instance, frame) in e.givers(own, layer) {
        of_clauses(e, &instance.clauses, frame, depth, found);
        if e.fires(instance, frame) != Truth::False
            && let Some(value) = &instance.value
        {
            of_number(e, value, frame, depth, found);
        }
    }
}

fn of_number(e: &Evaluation<'_>, num: &Num, layer: usize, depth: u32, found: &mut Vec<(Slot, usize)>) {
    let Some(depth) = depth.checked_sub(1) else { return };
    match num {
        Num::Slot(slot) | Num::Amount(slot, _) => note(e, *slot, layer, found),
        Num::Node(node, frame) => of_node(e, *node, *frame, layer, depth, found),
        Num::Switch(slot, arms) => {
            note(e, *slot, layer, found);
            if let Some(Domain::Choice(possible)) = e.domain(*slot, layer) {
                possible.iter().filter_map(|m| arms.get(m)).for_each(|a| of_number(e, a, layer, depth, found));
            }
        }
        Num::Schedule(_, a) | Num::Scale(a, _) => of_number(e, a, layer, depth, found),
        Num::Add(a, b) | Num::Subtract(a, b) | Num::Min(a, b) | Num::Max(a, b) => {
            of_number(e, a, layer, depth, found);
            of_number(e, b, layer, depth, found);
        }
        Num::Constant(_) | Num::None | Num::Unknown => {}
    }
}
