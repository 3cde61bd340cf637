//! Solvent vapour.
//!
//! Source: Fire and explosion in printing, guidance, UK Health and Safety Executive (read): infrared dryers are a source
//! of ignition; vapour is kept below a quarter of its lower explosive limit.

use crate::{decide, knowledge, says};
use serde_json::json;

/// No machine with flames or glowing parts, alone or with others of its sort, may dry a solvent ink.
#[test]
fn no_flame_or_element_dries_solvent_ink() {
    let knowledge = knowledge();
    let model = knowledge.model();
    let kind = model.kind("machine").expect("machines");
    let property = model.property(kind, "flames_or_elements").expect("the property");
    let mut tried = 0;
    for id in &model.kinds[kind.index()].members {
        let machine = &model.entities[id.index()];
        let burns = machine.facts[&property].value == washfast::model::Value::YesNo(true);
        // Naming a machine closes its own sort only: one that merely flashes says nothing of what dries.
        let duty = model.kind("duty").expect("duties");
        let cures = model.entity(duty, "curing").and_then(|e| e.ordinal).expect("curing");
        let curing = machine
            .facts
            .get(&model.property(kind, "duties").expect("duties"))
            .is_some_and(|f| matches!(&f.value, washfast::model::Value::Set(m) if m.has(cures)));
        if !burns || !curing {
            continue;
        }
        tried += 1;
        let answer =
            decide(&json!({"ink":"solvent-based nylon ink","ink_colour":"black","shop":{"equipment":[machine.id]},
            "fabric":{"composition":"100% nylon","colour":"white","construction":"smooth shell","finishes":[]}}));
        assert_eq!(answer.verdict, "no", "{}: {}", machine.name, answer.summary);
    }
    assert!(tried >= 5, "{tried}");
}

/// On a rack in fresh air it may be printed, and its vapour is always warned of.
#[test]
fn air_dries_it_and_the_vapour_is_warned_of() {
    let answer =
        decide(&json!({"ink":"solvent-based nylon ink","ink_colour":"black","shop":{"equipment":["air-dry rack"]},
        "fabric":{"composition":"100% nylon","colour":"white","construction":"smooth shell","finishes":[]}}));
    assert!(answer.verdict.starts_with("yes"), "{}", answer.summary);
    assert!(says(&answer, "solvent-vapour-hazard"), "{:?}", answer.cautions);
}
