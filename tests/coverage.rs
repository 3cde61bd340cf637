//! What the worked cases touch of the rules.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::coverage::Touched;
use washfast::source::SourceFile;

/// The built-in knowledge without its cases.
static UNTESTED: LazyLock<Knowledge> = LazyLock::new(|| {
    let mut files = Knowledge::built_in().expect("built-in knowledge").model().files.clone();
    files.retain(|f| !f.name.starts_with("knowledge/cases/"));
    Knowledge::from_files(files).expect("it stands without its cases")
});

const RULE: &str = "- rule: our-wimbles\n  says: We print no doped wimbles of much cotton.\n  refuse: \"no\"\n  \
                    when: garment is wimble and fabric.finishes has dope and share of cotton in fabric >= 70 %\n  \
                    basis: house\n  note: n\n";

/// How a rule stands with these cases, about things that no built-in case knows.
fn touched(questions: &[&str]) -> Touched {
    let case = |(n, q): (usize, &&str)| format!("- {{case: c{n}, ask: {q}, verdict: \"no\", basis: house, note: n}}\n");
    let cases: String = questions.iter().enumerate().map(case).collect();
    let thing = |id: &str, like: &str| format!("id: {id}\nname: {id}\nas: {like}\nbasis: house\nnote: n\n");
    let texts = vec![
        SourceFile::new("articles/wimble.yaml", &thing("wimble", "flag")),
        SourceFile::new("finishes/dope.yaml", &thing("dope", "wicking")),
        SourceFile::new("rules/r.yaml", RULE),
        SourceFile::new("cases/c.yaml", &cases),
    ];
    let shop = UNTESTED.with_house("shop", texts).unwrap_or_else(|p| panic!("{:?}", p.list()));
    shop.coverage().rules.into_iter().find(|r| r.rule == "our-wimbles").expect("the rule")
}

const APPLIES: &str = "applies in no case";
const SPARES: &str = "no case only just escapes it";
const ABOVE: &str = "`share of cotton in fabric >= 70 %` decides in no case where it holds";
const BELOW: &str = "`share of cotton in fabric >= 70 %` decides in no case where it does not hold";
const AT_70: &str = "plastisol on dope wimble 70% cotton 30% polyester";
const AT_69: &str = "plastisol on dope wimble 69% cotton 31% polyester";

#[rstest]
#[case::nothing(&[], &[APPLIES, SPARES, ABOVE, BELOW])]
#[case::far_off(&["plastisol on white 100% nylon"], &[APPLIES, SPARES, ABOVE, BELOW])]
#[case::applies(&[AT_70], &[SPARES, BELOW])]
#[case::just_below(&[AT_69], &[APPLIES, ABOVE])]
#[case::another_article(&["plastisol on dope flag 70% cotton 30% polyester"], &[APPLIES, ABOVE, BELOW])]
#[case::open(&["plastisol on dope wimble"], &[APPLIES, SPARES, ABOVE, BELOW])]
#[case::both(&[AT_70, AT_69], &[])]
fn each_side_is_told(#[case] questions: &[&str], #[case] missing: &[&str]) {
    assert_eq!(touched(questions).missing(), missing);
}
/// The built-in cases touch all built-in rules, or the rule says why none can.
#[test]
fn the_cases_touch_every_side() {
    let all = Knowledge::built_in().expect("built-in knowledge").coverage();
    let wrong: Vec<&Touched> = all.rules.iter().filter(|r| r.wrong()).collect();
    let told: Vec<String> = wrong.iter().map(|r| format!("{}: {:?}", r.rule, r.missing())).collect();
    assert!(wrong.is_empty(), "{}", told.join("\n"));
}
