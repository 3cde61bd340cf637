//! The knowledge's own worked cases, and what they cover.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use washfast::Knowledge;

#[test]
fn every_case_passes() {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge");
    let failed: Vec<_> = knowledge.cases().into_iter().filter(|c| !c.failures.is_empty()).collect();
    assert!(failed.is_empty(), "{failed:#?}");
}

#[test]
fn a_work_budget_that_runs_out_is_undecided_and_never_a_guess() {
    use washfast::reason::decide::Options;
    let knowledge = Knowledge::built_in().expect("the built-in knowledge");
    for question in ["white plastisol on black tee", "plastisol on polyester", "plastisol on nylon"] {
        let full = knowledge.ask(question).expect("understood").answer().map(|a| (a.verdict, a.code));
        assert_eq!(full, Some(("depends", "open-fact")), "{question}");
        for budget in [0, 1, 2, 5] {
            let small = knowledge.with_options(Options { budget, ..Options::default() });
            let answer = small.ask(question).expect("understood").answer().map(|a| (a.verdict, a.code));
            assert!(
                matches!(answer, Some(("depends", "undecided" | "open-fact"))),
                "{question} with {budget}: {answer:?}"
            );
        }
        let none = knowledge.with_options(Options { budget: 0, ..Options::default() });
        assert_eq!(none.ask(question).expect("understood").answer().map(|a| a.code), Some("undecided"));
    }
}

#[test]
fn the_same_question_gets_the_same_bytes() {
    let bytes = || {
        let knowledge = Knowledge::built_in().expect("the built-in knowledge");
        let reply = knowledge.ask("plastisol on nylon using flash, heat press").expect("understood");
        serde_json::to_string(reply.answer().expect("an answer")).expect("JSON")
    };
    assert_eq!(bytes(), bytes());
}
