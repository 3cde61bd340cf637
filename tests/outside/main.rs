//! The product's answers against values from outside, each with its published source beside it.
//!
//! A check fails if either side changes. How far a source was read is said with it.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod care_labels;
mod colour;
mod fibre_names;
mod fire;
mod low_cure;
mod migration;
mod phthalates;
mod stretch;
mod threads;

use serde_json::Value;
use washfast::Knowledge;
use washfast::answer::Answer;

/// The built-in knowledge.
fn knowledge() -> Knowledge {
    Knowledge::built_in().expect("the built-in knowledge")
}

/// The answer to a JSON job.
fn decide(job: &Value) -> Answer {
    let knowledge = knowledge();
    let job = knowledge.read_job(job).unwrap_or_else(|e| panic!("{job}: {e:?}"));
    knowledge.decide_job(&job)
}

/// Whether a code is among what the answer says.
fn says(answer: &Answer, code: &str) -> bool {
    let said = answer.conditions.iter().chain(&answer.cautions).chain(&answer.advice);
    said.map(|s| &s.code).chain(answer.reasons.iter().map(|r| &r.code)).any(|c| c == code)
}
