//! Jobs of which not everything is known: what is claimed of them holds for the complete jobs that fit.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod changes;
mod interview;
mod rows;
mod sample;
mod sensitivity;
mod snapshots;

use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::answer::Answer;

/// Thirty orders as the Lantern Yard, an invented shop, might get them: little is known, or the first idea is wrong.
static ORDERS: LazyLock<Vec<&str>> = LazyLock::new(|| include_str!("orders.txt").lines().collect());

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

/// The answers to the orders: most tests go through them all.
static ANSWERS: LazyLock<Vec<(&str, Answer)>> = LazyLock::new(|| ORDERS.iter().map(|o| (*o, answered(o))).collect());

fn ask(question: &str) -> Answer {
    let known = ORDERS.contains(&question).then(|| ANSWERS.iter().find(|a| a.0 == question)).flatten();
    known.map_or_else(|| answered(question), |a| a.1.clone())
}

fn answered(question: &str) -> Answer {
    let reply = KNOWLEDGE.ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    reply.answer().unwrap_or_else(|| panic!("{question}: no answer")).clone()
}
