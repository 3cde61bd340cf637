//! What an answer says it would turn to if something taken for granted were wrong can be reached by saying so.

use super::{KNOWLEDGE, ORDERS, ask};
use washfast::answer::{Answer, Assumed};
use washfast::contract::Detail;
use washfast::job::{Domain, whole};
use washfast::model::{AttributeId, AttributeType, Mask};
use washfast::statement::{Stated, Statement};

/// Everything that could have been said of an attribute instead.
fn otherwise(id: AttributeId) -> Vec<Domain> {
    let model = KNOWLEDGE.model();
    match id.of(model).expect("an attribute").ty {
        AttributeType::YesNo => [true, false].map(|yes| Domain::YesNo { yes, no: !yes }).into(),
        AttributeType::Choice(kind) => model.everyone(kind).iter().map(|m| Domain::Choice(Mask::one(m))).collect(),
        AttributeType::Set(kind) => {
            let each = model.everyone(kind).iter().map(Mask::one);
            each.chain([Mask::EMPTY]).map(|m| Domain::Set { must: m, may: m }).collect()
        }
        AttributeType::Quantity(_) | AttributeType::Setting(_) => Vec::new(),
        AttributeType::Blend(_) | AttributeType::Amounts(_) => panic!("{id:?} of {} is assumed", whole(model)),
    }
}

/// The verdict can be this one, or is still open where this one is a part of it.
fn reaches(answer: &Answer, verdict: &str) -> bool {
    answer.code != "contradiction" && (answer.verdict == verdict || answer.verdict == "depends")
}

fn reached(stated: &Stated, own: &Assumed, verdict: &str) -> bool {
    let model = KNOWLEDGE.model();
    let index = model.attributes.iter().position(|a| a.name == own.attribute).expect("an attribute");
    let id = AttributeId(index as u16);
    let layers = if model.attributes[index].per_layer { stated.layers } else { 1 };
    (0..layers).filter(|l| !stated.mentions(id, *l)).any(|layer| {
        otherwise(id).into_iter().any(|domain| {
            let mut job = stated.clone();
            job.statements.push(Statement { attribute: id, layer, domain, words: String::new() });
            reaches(&KNOWLEDGE.decide(&job, Detail::Verdict), verdict)
        })
    })
}

#[test]
fn what_an_assumption_turns_to_can_be_reached() {
    let more = [
        "plastisol on navy cotton tee",
        "plastisol on white polyester tee",
        "water-based on white cotton towel",
        "discharge on black cotton tee",
        "stretch plastisol on black leggings 88% nylon 12% elastane",
        "silicone ink on navy polyester tee",
    ];
    let mut turning = 0;
    for order in ORDERS.iter().chain(&more) {
        let stated = KNOWLEDGE.statements(order).unwrap_or_else(|p| panic!("{order}: {p:?}"));
        for own in &ask(order).assumed {
            let Some(verdict) = own.changes_to else { continue };
            assert!(own.matters, "{order}: {} turns the verdict and does not matter", own.text);
            assert!(reached(&stated, own, verdict), "{order}: {} does not turn it to {verdict}", own.text);
            turning += 1;
        }
    }
    assert!(turning > 20, "too little was tried: {turning}");
}

#[test]
fn what_turns_a_verdict_stands_on_the_first_line() {
    for order in ORDERS.iter() {
        let answer = ask(order);
        let text = washfast::render::text_at(&answer, 10_000);
        let first = text.lines().next().unwrap_or_default();
        for own in answer.assumed.iter().filter(|a| a.changes_to.is_some()) {
            assert!(first.contains(&own.text), "{order}: {}: {first}", own.text);
        }
    }
}
