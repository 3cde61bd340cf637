//! Every certificate is accepted by the independent checker, and a tampered one is not.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use serde_json::Value;
use std::collections::BTreeMap;
use washfast::Knowledge;
use washfast::checker::check;
use washfast::model::CaseJob;
use washfast::proof::{Case, Evidence, Proof, Tree};
use washfast::statement::Stated;

fn knowledge() -> Knowledge {
    Knowledge::built_in().expect("the built-in knowledge")
}

fn jobs(knowledge: &Knowledge) -> Vec<(String, Stated)> {
    let mut all = Vec::new();
    for case in &knowledge.model().cases {
        match &case.job {
            CaseJob::Ask(text) => all.push((case.id.clone(), knowledge.statements(text).expect("understood"))),
            CaseJob::Job(value) => {
                for print in knowledge.read_job(value).expect("a job").prints {
                    all.push((case.id.clone(), print.stated));
                }
            }
        }
    }
    all
}

#[test]
fn every_certificate_of_the_worked_cases_is_accepted() {
    let knowledge = knowledge();
    let mut refused = Vec::new();
    let mut incomplete = Vec::new();
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for (id, stated) in jobs(&knowledge) {
        let proof = knowledge.prove(&stated);
        if proof.case == Case::Incomplete {
            incomplete.push((id, proof.verdict));
            continue;
        }
        match check(knowledge.model(), &proof) {
            Ok(()) => *counts.entry(proof.code.clone()).or_default() += 1,
            Err(fault) => refused.push((id, proof.verdict, fault)),
        }
    }
    println!("accepted {counts:?}; incomplete {}: {incomplete:?}", incomplete.len());
    assert!(refused.is_empty(), "{} refused: {refused:#?}", refused.len());
    for code in ["works", "works-if", "refused", "open-fact", "not-known", "contradiction"] {
        assert!(counts.get(code).copied().unwrap_or(0) >= 3, "{code}: {counts:?}");
    }
    // A case that cannot be completed is said to be so; it must stay the exception.
    assert!(incomplete.len() * 20 <= counts.values().sum::<usize>(), "{incomplete:?}");
}

fn proof_of(question: &str) -> (Knowledge, Proof) {
    let knowledge = knowledge();
    let proof = knowledge.prove(&knowledge.statements(question).expect("understood"));
    assert_eq!(check(knowledge.model(), &proof), Ok(()), "{question}");
    (knowledge, proof)
}

/// The code of the fault after a change; the change must change something.
fn after(question: &str, change: impl FnOnce(&mut Proof)) -> &'static str {
    let (knowledge, proof) = proof_of(question);
    let mut changed = proof.clone();
    change(&mut changed);
    assert_ne!(changed, proof, "nothing was changed");
    check(knowledge.model(), &changed).expect_err("a tampered proof").code
}

const YES: &str = "black plastisol on white 100% cotton jersey";
const NO: &str = "white plastisol on red 100% polyester jersey";
const CROSSED: &str = "black plastisol on white 100% polypropylene non-woven";
const DEPENDS: &str = "plastisol on 100% polyester jersey";

/// The first leaf of a tree that a test picks.
fn leaf<'a>(tree: &'a mut Tree, pick: &dyn Fn(&Evidence) -> bool) -> Option<&'a mut Evidence> {
    match tree {
        Tree::Leaf(e) => pick(e).then_some(e),
        Tree::Split(_, parts) => parts.iter_mut().find_map(|p| leaf(&mut p.1, pick)),
    }
}

fn whole(proof: &mut Proof) -> &mut Tree {
    match &mut proof.case {
        Case::Whole(tree) => tree,
        other => panic!("not whole: {other:?}"),
    }
}

fn accepted(proof: &mut Proof) -> &mut Evidence {
    leaf(whole(proof), &|e| matches!(e, Evidence::Accepted { .. })).expect("an accepted leaf")
}

fn refused(proof: &mut Proof) -> &mut Evidence {
    leaf(whole(proof), &|e| matches!(e, Evidence::Refused(_))).expect("a refused leaf")
}

#[test]
fn another_knowledge_is_refused() {
    assert_eq!(after(YES, |p| p.digest = "0".repeat(16)), "other-knowledge");
}

#[test]
fn another_verdict_is_refused() {
    assert_eq!(after(NO, |p| (p.verdict, p.code) = ("yes".into(), "works".into())), "evidence");
    assert_eq!(after(YES, |p| (p.verdict, p.code) = ("no".into(), "refused".into())), "evidence");
    assert_eq!(after(DEPENDS, |p| (p.verdict, p.code) = ("yes".into(), "works".into())), "verdict");
}

#[test]
fn a_removed_refusal_is_missed() {
    let code = after(YES, |p| {
        if let Evidence::Accepted { refusals, .. } = accepted(p) {
            refusals.pop();
        }
    });
    assert_eq!(code, "refusal-missing");
}

#[test]
fn a_removed_requirement_is_missed() {
    let code = after(YES, |p| {
        if let Evidence::Accepted { requirements: Some(list), .. } = accepted(p) {
            list.pop();
        }
    });
    assert_eq!(code, "requirement-missing");
}

#[test]
fn a_missing_ground_is_missed() {
    let code = after(YES, |p| {
        if let Evidence::Accepted { grounds, .. } = accepted(p) {
            grounds.pop();
        }
    });
    assert_eq!(code, "ground-missing");
}

#[test]
fn a_flipped_test_is_seen() {
    let code = after(YES, |p| {
        if let Evidence::Accepted { refusals, .. } = accepted(p) {
            let step = refusals.iter_mut().find(|s| !s.tests.is_empty()).expect("a test");
            step.tests[0].holds = !step.tests[0].holds;
        }
    });
    assert_eq!(code, "test-wrong");
}

#[test]
fn a_flipped_comparison_is_seen() {
    let code = after(NO, |p| {
        if let Evidence::Refused(step) = refused(p) {
            let claim = step.tests.iter_mut().find(|c| c.sides.is_some()).expect("a comparison");
            let (a, b) = claim.sides.expect("sides");
            claim.sides = Some((b, a));
        }
    });
    assert_eq!(code, "sides-wrong");
}

#[test]
fn a_wrong_source_or_basis_is_seen() {
    let change = |with: fn(&mut washfast::proof::Step)| {
        after(NO, |p| {
            if let Evidence::Refused(step) = refused(p) {
                with(step);
            }
        })
    };
    assert_eq!(change(|s| s.sources = vec!["hearsay".into()]), "wrong-source");
    assert_eq!(change(|s| s.basis = "house".into()), "wrong-basis");
    assert_eq!(change(|s| s.rule = "no-such-rule".into()), "unknown-rule");
}

#[test]
fn a_test_left_out_of_a_refusal_is_missed() {
    let code = after(NO, |p| {
        if let Evidence::Refused(step) = refused(p) {
            step.tests.clear();
        }
    });
    assert_eq!(code, "not-shown");
}

#[test]
fn a_moved_bound_is_seen() {
    let code = after(CROSSED, |p| {
        let e = leaf(whole(p), &|e| matches!(e, Evidence::Crossed { .. })).expect("a crossing");
        if let Evidence::Crossed { at, .. } = e {
            at.1 -= 9000;
        }
    });
    assert_eq!(code, "bound-moved");
}

#[test]
fn a_part_left_out_is_missed() {
    let question = "white plastisol on red 100% polyester";
    let (knowledge, mut proof) = proof_of(question);
    fn cut(tree: &mut Tree) -> bool {
        match tree {
            Tree::Leaf(_) => false,
            Tree::Split(_, parts) => parts.pop().is_some(),
        }
    }
    let tree = match &mut proof.case {
        Case::Whole(t) => t,
        other => panic!("{other:?}"),
    };
    if cut(tree) {
        assert_eq!(check(knowledge.model(), &proof).expect_err("a part is missing").code, "not-covered");
    } else {
        // Decided as a whole: an open job has parts.
        let (knowledge, mut proof) = proof_of("plastisol on undyed 100% cotton");
        assert!(cut(whole(&mut proof)), "no parts: {proof:?}");
        assert_eq!(check(knowledge.model(), &proof).expect_err("a part is missing").code, "not-covered");
    }
}

#[test]
fn a_witness_outside_the_set_is_seen() {
    let code = after(DEPENDS, |p| {
        p.world.said.push(washfast::proof::Said {
            attribute: "fabric.dyed".into(),
            layer: 0,
            domain: washfast::job::Domain::YesNo { yes: false, no: true },
        });
    });
    assert_eq!(code, "point-outside");
}

#[test]
fn a_hidden_assumption_is_seen() {
    let (knowledge, proof) = proof_of("black plastisol on white 100% cotton");
    let mut codes = Vec::new();
    for index in 0..proof.assumed.len() {
        let mut changed = proof.clone();
        changed.assumed.remove(index);
        codes.push(check(knowledge.model(), &changed).err().map(|f| f.code));
    }
    assert!(codes.iter().any(Option::is_some), "{codes:?}");
    assert_eq!(
        after("black plastisol on white 100% cotton", |p| p.assumed.push(("fabric".into(), 0, 0))),
        "assumption"
    );
}

/// Changes one number, text or truth somewhere in a JSON tree.
fn mutate(value: &mut Value, target: &mut usize, salt: u64) -> bool {
    match value {
        Value::Array(items) => items.iter_mut().any(|v| mutate(v, target, salt)),
        Value::Object(map) => map.values_mut().any(|v| mutate(v, target, salt)),
        leaf => {
            if *target > 0 {
                *target -= 1;
                return false;
            }
            *leaf = match &*leaf {
                Value::Bool(b) => (!*b).into(),
                Value::Number(n) => {
                    (n.as_i64().unwrap_or(0).wrapping_add(if salt.is_multiple_of(2) { 1 } else { -1 })).into()
                }
                Value::String(s) => format!("{s}x").into(),
                other => other.clone(),
            };
            true
        }
    }
}

fn leaves(value: &Value) -> usize {
    match value {
        Value::Array(items) => items.iter().map(leaves).sum(),
        Value::Object(map) => map.values().map(leaves).sum(),
        _ => 1,
    }
}

#[test]
fn a_mangled_proof_never_shows_another_verdict_and_never_panics() {
    for question in [YES, NO, CROSSED, DEPENDS] {
        let (knowledge, proof) = proof_of(question);
        let json = serde_json::to_value(&proof).expect("JSON");
        let count = leaves(&json);
        let mut tried = 0;
        for step in 0..400_usize {
            let mut changed = json.clone();
            let mut target = step * 7919 % count;
            if !mutate(&mut changed, &mut target, step as u64) {
                continue;
            }
            let Ok(mangled) = serde_json::from_value::<Proof>(changed) else { continue };
            tried += 1;
            if check(knowledge.model(), &mangled).is_ok() {
                assert_eq!((&mangled.verdict, &mangled.code), (&proof.verdict, &proof.code));
                assert_eq!(mangled.digest, proof.digest);
            }
        }
        assert!(tried > 50, "{question}: {tried} of {count}");
    }
}
