//! Restricted plasticisers, and whom the limits concern.
//!
//! Sources: 16 CFR 1307.3, US Consumer Product Safety Commission (read): at most 0.1 % of each of eight phthalates in
//! children's toys and child care articles. REACH Annex XVII entry 51 as replaced by Regulation (EU) 2018/2005 (read):
//! at most 0.1 % of four phthalates in plasticised material of most consumer articles, clothing among them. What is a
//! child care article: official question and answer 674, European Chemicals Agency (read): pyjamas are clothing,
//! sleeping bags are not; frequently asked questions, US Consumer Product Safety Commission (read second hand): bibs
//! and pyjamas for three years or less are child care articles.

use crate::{decide, says};
use rstest::rstest;
use serde_json::json;

/// A bib is a child care article in either market; a tee is none; pyjamas are one in the US alone, and for the smallest
/// alone; water-based ink has no plasticiser.
#[rstest]
#[case("plastisol", "bib", "baby", "us", true)]
#[case("plastisol", "bib", "baby", "eu", true)]
#[case("plastisol", "tee", "adult", "us", false)]
#[case("plastisol", "tee", "child", "us", false)]
#[case("plastisol", "baby sleeping bag", "baby", "eu", true)]
#[case("plastisol", "pyjamas", "baby", "us", true)]
#[case("plastisol", "pyjamas", "child", "us", false)]
#[case("plastisol", "pyjamas", "baby", "eu", false)]
#[case("plastisol", "bodysuit", "baby", "us", false)]
#[case("plastisol", "bodysuit", "baby", "eu", false)]
#[case("water-based", "bib", "baby", "us", false)]
fn child_care_articles_need_a_declaration(
    #[case] ink: &str,
    #[case] article: &str,
    #[case] age: &str,
    #[case] market: &str,
    #[case] needed: bool,
) {
    let answer = decide(&json!({"ink":ink,"ink_colour":"black","use":{"age":age,"market":market},
        "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey","article":article}}));
    assert!(answer.verdict.starts_with("yes"), "{}", answer.summary);
    assert_eq!(says(&answer, "child-care-plasticiser"), needed, "{:?}", answer.conditions);
    if needed {
        let text = &answer.conditions.iter().find(|c| c.code == "child-care-plasticiser").expect("the condition").text;
        assert!(text.contains("0.1 %"), "{text}");
    }
}

/// In the EU the limit also concerns clothing: a caution, not a condition.
#[test]
fn clothing_sold_in_the_eu_is_told_of_the_limit() {
    let tee = |market: &str| {
        decide(&json!({"ink":"plastisol","ink_colour":"black","use":{"market":market},
            "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey","article":"tee"}}))
    };
    let (eu, us) = (tee("eu"), tee("us"));
    assert_eq!((eu.verdict, us.verdict), ("yes", "yes"));
    let text = crate::text_of(&eu, "eu-plasticiser-limit").unwrap_or_else(|| panic!("{:?}", eu.cautions));
    for words in ["DEHP", "DBP", "BBP", "DIBP", "0.1 %"] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!says(&us, "eu-plasticiser-limit"));
}
