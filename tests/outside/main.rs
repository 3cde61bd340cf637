//! The product's answers against values from outside, each with its published source beside it.
//!
//! A check fails if either side changes. How far a source was read is said with it. `cargo test --test outside --
//! --list` lists the checks.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod additives;
mod agreed_allowances;
mod care_labels;
mod cloth_and_ink;
mod colour;
mod composition_labels;
mod cure_windows;
mod dyes;
mod fibre_names;
mod fire;
mod ghosting;
mod limits;
mod low_cure;
mod migration;
mod phthalates;
mod stretch;
mod threads;
mod workshop_sums;

use serde_json::Value;
use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::answer::Answer;
use washfast::knowledge::Reply;
use washfast::model::Value as Fact;

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

/// The built-in knowledge.
fn knowledge() -> Knowledge {
    KNOWLEDGE.clone()
}

/// The answer to a JSON job.
fn decide(job: &Value) -> Answer {
    let knowledge = knowledge();
    let job = knowledge.read_job(job).unwrap_or_else(|e| panic!("{job}: {e:?}"));
    knowledge.decide_job(&job)
}

/// Whether a code is among what the answer says.
fn says(answer: &Answer, code: &str) -> bool {
    text_of(answer, code).is_some()
}

/// What the answer says under a code.
fn text_of(answer: &Answer, code: &str) -> Option<String> {
    let said = answer.conditions.iter().chain(&answer.cautions).chain(&answer.advice).map(|s| (&s.code, &s.text));
    let all = said.chain(answer.reasons.iter().map(|r| (&r.code, &r.text)));
    all.filter(|(c, _)| *c == code).map(|(_, text)| text.clone()).next()
}

/// The lines of the page that a question is answered with.
fn page(question: &str) -> Vec<String> {
    match knowledge().ask(question) {
        Ok(Reply::Page(lines)) => lines,
        other => panic!("{question}: {other:?}"),
    }
}

/// What the knowledge holds of a property.
fn fact(kind: &str, id: &str, property: &str) -> Fact {
    let knowledge = knowledge();
    let model = knowledge.model();
    let kind = model.kind(kind).unwrap_or_else(|| panic!("no kind {kind}"));
    let property_id = model.property(kind, property).unwrap_or_else(|| panic!("no property {property}"));
    let entity = model.entity(kind, id).unwrap_or_else(|| panic!("no {id}"));
    entity.facts.get(&property_id).unwrap_or_else(|| panic!("{id} has no {property}")).value.clone()
}

/// Least, planned and greatest value of a property, in the first unit of its dimension.
fn range(kind: &str, id: &str, property: &str, dimension: &str) -> (f64, f64, f64) {
    let (low, plan, high) = match fact(kind, id, property) {
        Fact::Quantity(q) => (q, q, q),
        Fact::Window(low, high) | Fact::Varies(low, high) => (low, low, high),
        Fact::Disputed { low, high, plan } => (low, plan, high),
        other => panic!("{id} {property}: {other:?}"),
    };
    let knowledge = knowledge();
    let model = knowledge.model();
    let dimension = model.dimension(dimension).and_then(|d| model.dim(d)).expect("the dimension");
    (dimension.reading(low, 0), dimension.reading(plan, 0), dimension.reading(high, 0))
}
