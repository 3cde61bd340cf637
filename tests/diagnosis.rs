//! Why a print failed: what is named first, what would tell the causes apart, what can be saved.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::knowledge::Reply;
use washfast::model::Value;

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

fn page(question: &str) -> Vec<String> {
    match KNOWLEDGE.ask(question) {
        Ok(Reply::Page(lines)) => lines,
        other => panic!("{question}: {other:?}"),
    }
}

const HERE: &str = "So it is here:";
const CALLED: &str = "Such a job calls for this; was it done?";
const OPEN: &str = "It may be this, depending on what was not said:";
const UNUSUAL: &str = "It may be this, if something was not as usual:";

/// The lines under a title.
fn under<'a>(lines: &'a [String], title: &str) -> Vec<&'a str> {
    let from = lines.iter().position(|l| l == title).map_or(lines.len(), |at| at + 1);
    lines.iter().skip(from).take_while(|l| l.starts_with("  ")).map(|l| l.trim_start()).collect()
}

/// Ten failures: what must be said of each, and in which part.
#[rstest]
#[case(
    "why did plastisol crack on leggings",
    HERE,
    "the cloth stretches 100 % in use, and standard plastisol as mixed about 80 %"
)]
#[case(
    "why did plastisol on white cotton at 120 °C for 60 s crack",
    HERE,
    "at least 150 °C: standard plastisol as mixed cures from 150 °C, but 120 °C was given"
)]
#[case(
    "why does white plastisol peel off nylon jacket",
    OPEN,
    "A plain film peels off smooth, coated or filament-woven synthetic cloth."
)]
#[case("why did water-based wash off cotton", CALLED, "film temperature at least 120 °C")]
#[case("why did water-based on showerproof nylon wash off", HERE, "repel")]
#[case("the print on red polyester turned pink, plastisol", HERE, "disperse dye")]
#[case("why did plastisol hoodie 100% cotton scorch", CALLED, "film temperature at most 185 °C")]
#[case("why did plastisol on polypropylene fleece shrink", HERE, "but at most ")]
#[case("why did puff on softshell blister", HERE, "softshell comes apart from 140 °C")]
#[case("why did discharge on black polyester look patchy", HERE, "discharge")]
fn what_lies_behind_it(#[case] question: &str, #[case] part: &str, #[case] says: &str) {
    let lines = page(question);
    assert!(under(&lines, part).iter().any(|l| l.contains(says)), "{question}: {lines:#?}");
    for title in ["What mostly lies behind it", "Whether the goods can be saved: ", "Next time: "] {
        assert!(lines.iter().any(|l| l.starts_with(title)), "{question}: no {title}: {lines:#?}");
    }
}

/// The failure may stand wherever people put it, and a cloth or ink before or after it.
#[rstest]
#[case("why did plastisol on leggings crack")]
#[case("why did plastisol crack on leggings?")]
#[case("why does the plastisol print on leggings crack")]
#[case("why is plastisol cracking on leggings")]
#[case("why did leggings, plastisol, crack")]
#[case("plastisol cracked on leggings")]
#[case("plastisol on leggings cracked")]
#[case("my prints on leggings cracked, plastisol")]
#[case("why did plastisol start to crack on leggings")]
fn words_in_any_order(#[case] question: &str) {
    assert_eq!(page(question), page("why did plastisol on leggings crack"), "{question}");
}

#[rstest]
#[case("plastisol peeled off nylon jacket", "why did plastisol on nylon jacket peel")]
#[case("why did plastisol peel off of nylon jacket", "why did plastisol on nylon jacket peel")]
#[case("why did plastisol on nylon jacket peel off", "why did plastisol on nylon jacket peel")]
#[case("plastisol on nylon jacket at 160 °C came off", "why did plastisol on nylon jacket at 160 °C peel")]
#[case(
    "why did white plastisol over blocker base turn pink on red polyester",
    "why did white plastisol over blocker base on red polyester turn pink"
)]
#[case(
    "why did plastisol with 5% low-cure additive wash off cotton",
    "why did plastisol with 5% low-cure additive on cotton wash off"
)]
fn the_same_said_otherwise(#[case] question: &str, #[case] as_if: &str) {
    assert_eq!(page(question), page(as_if), "{question}");
}

/// When it was seen is told to be left aside; the heat of the wash is not taken for that of the dryer.
#[test]
fn when_it_was_seen_is_no_part_of_the_job() {
    let mut lines = page("why did plastisol on cotton crack after washing at 60 °C");
    assert_eq!(lines.pop().as_deref(), Some("`after washing at 60 °C` was heard and not weighed"));
    assert_eq!(lines, page("why did plastisol on cotton crack"));
    let mut lines = page("plastisol on cotton washed off after two washes");
    assert_eq!(lines.pop().as_deref(), Some("`after two washes` was heard and not weighed"));
    assert_eq!(lines, page("why did plastisol on cotton wash off"));
}

/// What is excluded by what was said is not named, and what was kept to neither.
#[test]
fn what_is_excluded_is_not_named() {
    let told = |question: &str, says: &str| page(question).iter().any(|l| l.contains(says));
    assert!(told("why did plastisol on cotton wash off", "A film that stays too cool"));
    assert!(!told("why did plastisol on cotton at 160 °C for 60 s wash off", "A film that stays too cool"));
    assert!(told("why did plastisol on red polyester turn pink", "the disperse dye of this cloth"));
    assert!(!told("why did plastisol on white cotton turn pink", "the disperse dye of this cloth"));
    let silicone = "Nothing but silicone sticks to silicone";
    assert!(told("why did plastisol on nylon jacket peel", silicone));
    assert!(!told("why did plastisol on nylon jacket without finish peel", silicone));
}

/// What is sure comes before what may be, and that before what would be unusual; open causes come with the question
/// that tells them apart.
#[test]
fn the_likeliest_first() {
    let lines = page("why does white plastisol peel off nylon jacket");
    let open = under(&lines, OPEN);
    assert!(open.first().is_some_and(|l| l.contains("A plain film peels off smooth")), "{open:#?}");
    assert!(open.contains(&"ask: Is the cloth a knit (tee, sweatshirt) or a smooth woven shell?"), "{open:#?}");
    // Once that is answered, it is so.
    let lines = page("why does white plastisol peel off smooth shell nylon jacket without finish");
    assert!(under(&lines, HERE).iter().any(|l| l.contains("peels off in one sheet")), "{lines:#?}");
    for question in ["why did plastisol crack on leggings", "why did plastisol on red polyester turn pink"] {
        let lines = page(question);
        let at: Vec<usize> =
            [HERE, CALLED, OPEN, UNUSUAL].iter().filter_map(|t| lines.iter().position(|l| l == t)).collect();
        assert!(at.len() > 1 && at.is_sorted(), "{question}: {lines:#?}");
    }
}

/// A film that is not fused through shows as cracks as well as in the wash.
#[test]
fn the_settings_that_show_otherwise_are_asked_for() {
    let lines = page("why did plastisol crack on cotton");
    let called = under(&lines, CALLED);
    assert!(called.iter().any(|l| l.contains("film temperature at least 150 °C")), "{lines:#?}");
    assert!(called.iter().any(|l| l.starts_with("ask: What was it: film temperature")), "{lines:#?}");
    // Where it was kept to, it is no cause.
    let lines = page("why did plastisol crack on cotton at 160 °C for 60 s");
    assert!(under(&lines, CALLED).is_empty(), "{lines:#?}");
}

/// What cannot all be true is said, and nothing is made of it.
#[test]
fn a_job_that_cannot_be_has_no_causes() {
    let lines = page("why did plastisol crack on undyed navy cotton");
    assert!(lines.iter().any(|l| l.contains("cannot all be true")), "{lines:#?}");
    assert!(!lines.iter().any(|l| l == HERE), "{lines:#?}");
}

/// A question that is none about a failure stays what it was, though its words may name one.
#[rstest]
#[case("can plastisol go on burnt orange cotton tee")]
#[case("crackle ink on white cotton tee")]
#[case("plastisol on yellow cotton tee")]
fn no_failure_is_heard_in_a_job(#[case] question: &str) {
    let reply = KNOWLEDGE.ask(question).expect(question);
    assert!(reply.answer().is_some(), "{question}");
}

#[rstest]
#[case("why did my print crack", "this is no question that is known", "whatever the job: show cracking")]
#[case("why did plastisol on leggings sing", "the question does not say what went wrong", "say one of: bleeding")]
#[case("why did plastisol crack on leggngs", "`leggngs` is not understood", "leggings")]
#[case("plastisol cracked on leggngs", "`leggngs` is not understood", "leggings")]
fn refused(#[case] question: &str, #[case] message: &str, #[case] help: &str) {
    let problems = KNOWLEDGE.ask(question).expect_err(question);
    let list = problems.list();
    assert!(list.iter().all(|p| p.message == message), "{question}: {problems:?}");
    assert!(list.iter().any(|p| p.help.as_deref().is_some_and(|h| h.contains(help))), "{question}: {problems:?}");
}

/// Every failure tells what mostly lies behind it, whether the goods can be saved, and what to do next time; every verb
/// for it is heard.
#[test]
fn every_failure_is_told_whole() {
    let model = KNOWLEDGE.model();
    let kind = model.kind("failure").expect("failures");
    let own: Vec<_> = model.entities.iter().filter(|e| e.kind == kind).collect();
    assert!(own.len() >= 30, "{}", own.len());
    for failure in own {
        for property in ["causes", "rescue", "next_time"] {
            let id = model.property(kind, property).expect(property);
            let told = failure.facts.get(&id).map(|f| &f.value);
            assert!(matches!(told, Some(Value::Text(t)) if t.len() > 30), "{}: {property}", failure.id);
        }
        let first = |name: &str| page(&format!("why did plastisol on cotton {name}")).into_iter().next();
        for name in &failure.aliases {
            let said = first(name).unwrap_or_default();
            assert!(said.starts_with(&failure.name), "{name}: {said}");
        }
    }
}

/// Heat and solvents are never told of without what to mind.
#[test]
fn what_can_hurt_is_told_with_the_rescue() {
    for (failure, says) in [
        ("scorch", "gloves and goggles"),
        ("crawl", "no flame or spark"),
        ("melt", "burns it"),
        ("discharge unevenly", "extraction"),
        ("smell", "formaldehyde"),
        ("get press marks", "scald"),
    ] {
        let lines = page(&format!("why did plastisol on cotton {failure}"));
        let rescue = lines.iter().find(|l| l.starts_with("Whether the goods can be saved: ")).expect(failure);
        assert!(rescue.contains(says), "{rescue}");
    }
}
