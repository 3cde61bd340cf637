//! Several jobs side by side: the order they come in, and why each stands where it does.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::answer::Ranking;
use washfast::knowledge::Reply;
use washfast::model::Basis;

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

fn ranking(question: &str) -> Ranking {
    match KNOWLEDGE.ask(question) {
        Ok(Reply::Ranking(ranking)) => ranking,
        other => panic!("{question}: {other:?}"),
    }
}

/// By what it says it is ordered by.
#[rstest]
#[case("which inks go on black 100% cotton tee")]
#[case("which inks go on white cotton tee using heat press")]
#[case("which inks go on red polyester hoodie where hand is soft")]
#[case("which fabrics take water-based")]
#[case("which fabrics take plastisol at 160 °C")]
fn in_the_order_that_is_told(#[case] question: &str) {
    let model = KNOWLEDGE.model();
    let usual: Vec<&str> = ["layer.ink", "fabric"]
        .into_iter()
        .flat_map(|name| {
            let own = model.attributes.iter().find(|a| a.name == name).expect(name);
            let kind = own.ty.members().expect(name);
            own.usual.iter().map(move |u| model.member(kind, *u as usize).expect("usual").name.as_str())
        })
        .collect();
    let place = |v: &str| ["yes", "yes-if", "depends", "no"].iter().position(|x| *x == v);
    let ranking = ranking(question);
    assert_eq!(ranking.ordered_by, ["verdict", "fewest conditions", "how usual it is", "evidence"]);
    let keys = ranking.rows.iter().map(|r| {
        let conditions = if r.verdict == "yes-if" { r.conditions.len() } else { 0 };
        let usual = usual.iter().position(|u| *u == r.name).unwrap_or(usual.len());
        (place(r.verdict), r.code == "not-known", conditions, usual, Basis::of(r.evidence))
    });
    let keys: Vec<_> = keys.collect();
    assert!(keys.len() > 3 && keys.is_sorted(), "{question}: {keys:#?}");
}

#[test]
fn each_says_why_it_stands_there() {
    let rows = ranking("which inks go on white cotton tee").rows;
    let why = |name: &str| rows.iter().find(|r| r.name == name).expect(name).why.clone();
    assert_eq!(why("standard plastisol"), "as described, stretches about 80 %, medium hand");
    assert!(why("water-based pigment ink").ends_with("soft hand"), "{}", why("water-based pigment ink"));
    for row in rows.iter().filter(|r| r.verdict.starts_with("yes")) {
        let starts = match (row.verdict, row.conditions.len()) {
            ("yes", _) => "as described".to_owned(),
            (_, 1) => "one condition".to_owned(),
            (_, n) => format!("{n} conditions"),
        };
        assert!(row.why.starts_with(&starts), "{}: {}", row.name, row.why);
    }
    let both = ranking("compare plastisol and water-based on white cotton tee");
    assert!(both.rows.iter().all(|r| r.why.contains("hand")), "{both:?}");
    let text = washfast::render::ranking_at(&both, 96);
    assert!(text.contains("In the order of:\n  - verdict, then fewest conditions"), "{text}");
}
