//! What is wished of things that are ranked, in the words in which a ranking tells it: `which inks go on … with soft
//! hand` is the same as `… where hand is soft`.

use super::parse::{Clause, Order, Token, TokenKind};
use super::tokens::{Runs, span_of, words_from};
use crate::model::{AttributeId, KindId, Model, PropertyType};
use crate::names::Names;
use crate::source::Span;
use crate::words::folded;

/// An order with its wishes as a condition.
pub fn wished(mut order: Order, ranked: AttributeId, model: &Model, names: &Names) -> Order {
    let Some(kind) = ranked.of(model).and_then(|a| a.ty.members()) else { return order };
    let mut wishes: Vec<(String, String)> = Vec::new();
    for property in model.properties.iter().filter(|p| p.kind == kind) {
        let (Some(words), PropertyType::Choice(of)) = (&property.told.ranked, property.ty) else { continue };
        for member in model.entities.iter().filter(|e| e.kind == of && e.ordinal.is_some()) {
            wishes.push((folded(&words.replace("{}", &member.name)), format!("{} is {}", property.name, member.id)));
        }
    }
    let mut heard: Option<(String, Span)> = None;
    for run in order.runs_mut() {
        take(run, &wishes, &mut heard, (kind, names));
    }
    let Some((condition, span)) = heard else { return order };
    for clause in &mut order.clauses {
        if let Clause::With(items) = clause {
            items.retain(|i| i.iter().any(|t| t.kind != TokenKind::Filler));
        }
    }
    order.clauses.retain(|c| !matches!(c, Clause::With(items) if items.is_empty()));
    match order.clauses.iter_mut().find_map(|c| if let Clause::Where(text, _) = c { Some(text) } else { None }) {
        Some(text) => *text = format!("({text}) and {condition}"),
        None => order.clauses.push(Clause::Where(condition, span)),
    }
    order
}

/// Takes the words of wishes out of a run; a longer name of a thing stays what it is.
fn take(
    run: &mut Vec<Token>,
    wishes: &[(String, String)],
    heard: &mut Option<(String, Span)>,
    (kind, names): (KindId, &Names),
) {
    let mut at = 0;
    while at < run.len() {
        let runs = Runs::of(run, at);
        let best = wishes.iter().map(|w| (runs.length([&w.0]), &w.1)).max_by_key(|w| w.0).filter(|w| w.0 > 0);
        let named = names.longest(&[kind], &words_from(run, at)).map_or(0, |n| n.2);
        let Some((count, condition)) = best.filter(|b| b.0 >= named) else {
            at += 1;
            continue;
        };
        let span = span_of(run, at, count);
        *heard = Some(match heard.take() {
            Some((before, first)) => (format!("{before} and {condition}"), first),
            None => (condition.clone(), span),
        });
        run.drain(at..at + count);
    }
}
