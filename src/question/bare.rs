//! A number without a unit behind the words of a setting, `cure 160`: where only one unit makes it what the setting can
//! be, it is of that one.

use super::behind::of_other;
use super::between::high_end;
use super::parse::{Clause, Order, Token, TokenKind};
use super::tokens::{text_of, unit_at};
use crate::model::{Attribute, AttributeId, AttributeType, Model, read_quantity};
use crate::names::Names;
use crate::quantity::Decimal;
use crate::source::Span;
use crate::words::folded;

/// Gives such numbers their unit. How each was taken.
pub(super) fn give_units(order: &mut Order, model: &Model, names: &Names) -> Vec<String> {
    let mut notes = Vec::new();
    let mut said: Vec<Token> = order.runs().into_iter().flatten().cloned().collect();
    said.sort_by_key(|t| t.span.start);
    for (id, attribute) in model.attributes.iter().enumerate().filter(|a| !a.1.speech.bare_units.is_empty()) {
        let id = AttributeId(id as u16);
        let elsewhere = |run: &[Token], at: usize| {
            run.get(at).is_some_and(|t| t.kind == TokenKind::Number && of_other(&said, t.span.start, id, model, names))
        };
        let clauses = order.stack.iter_mut().flat_map(|c| &mut c.clauses).chain(&mut order.clauses);
        for clause in clauses {
            if let Clause::Quantity(word, tokens) = clause
                && attribute.clause.as_deref() == Some(*word)
                && let Some(at) = tokens.iter().position(|t| t.kind != TokenKind::Filler)
                && !elsewhere(tokens, at)
            {
                notes.extend(give_unit(tokens, at, true, attribute, model));
            }
        }
        for run in order.runs_mut() {
            let mut at = 0;
            while at < run.len() {
                if !elsewhere(run, at) {
                    let speech = &attribute.speech;
                    let led = led(run, at, &speech.called) || led(run, at, &speech.bare_behind);
                    notes.extend(give_unit(run, at, led, attribute, model));
                }
                at += 1;
            }
        }
    }
    notes
}

/// Whether such words stand before a place: `cure 160`, `temperature: 160`.
fn led(run: &[Token], at: usize, words: &[String]) -> bool {
    let says_nothing = |t: &&Token| t.kind == TokenKind::Filler || matches!(t.text.as_str(), ":" | "=");
    let end = at - run.iter().take(at).rev().take_while(says_nothing).count();
    (1..=end.min(3)).any(|count| words.contains(&folded(&text_of(run, end - count, count))))
}

/// Puts the unit behind a number that has none behind words that lead to one, or one that leaves it open, where it follows.
fn give_unit(run: &mut Vec<Token>, at: usize, led: bool, attribute: &Attribute, model: &Model) -> Option<String> {
    let number = run.get(at).filter(|t| t.kind == TokenKind::Number)?;
    let (AttributeType::Quantity(d) | AttributeType::Setting(d)) = attribute.ty else { return None };
    let dimension = model.dim(d)?;
    // `160 degrees` leaves its unit open as well.
    let open = unit_at(model, run, at + 1, |name| name == dimension.name).filter(|u| dimension.leaves_open(&u.0));
    let open = open.map_or(0, |u| u.1);
    let ends = |at: usize| run.get(at).is_none_or(|t| matches!(t.kind, TokenKind::Mark | TokenKind::Number));
    if open == 0 && !(led && ends(at + 1)) {
        return None;
    }
    // What the trade calls so has its unit, and `200 mesh polyester shorts` are of that cloth.
    let nominal = |number| dimension.nominal_unit(number).is_some();
    if !dimension.nominal.is_empty() && (!ends(at + 1 + open) || Decimal::parse(&number.text).is_some_and(nominal)) {
        return None;
    }
    let within = |(unit, low, high): &(String, i64, i64)| {
        let steps = read_quantity(&format!("{} {unit}", high_end(&number.text)), d, model).ok();
        steps.is_some_and(|s| (*low..=*high).contains(&s)).then(|| unit.clone())
    };
    let unit = attribute.speech.bare_units.iter().find_map(within)?;
    let note = format!("`{}` was taken as {} {unit}", text_of(run, at, 1 + open), number.text);
    let last = run.get(at + open).map_or(number.span, |t| t.span);
    let span = Span { start: number.span.end, ..last };
    run.splice(at + 1..at + 1 + open, [Token { text: unit, kind: TokenKind::Word, span }]);
    Some(note)
}
