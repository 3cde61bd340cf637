//! What is stirred in.
//!
//! Sources: Silicone ink primer, Graphics Pro magazine, undated (read in part): it must be catalysed, generally with 3
//! to 5 %; catalyse what the job needs. How to use high-solids acrylic, ASI Central, Feb 2019 (read in part): a
//! low-temperature additive lets plastisol cure about 40 °F lower. Athleisure questions and answers, Printwear
//! magazine, undated (read): 1 to 5 % of stretch additive. Understanding discharge, PRINTING United Alliance, 2019 (read
//! in part), and Discharge cautions, Printwear magazine, undated (read): discharge works by an agent that is added
//! before use. The doses of bonding catalyst and discharge agent and the hours of a mix are not checked: nobody
//! published them.

use crate::{decide, fact, range, says};
use rstest::rstest;
use serde_json::json;
use washfast::answer::Answer;
use washfast::model::Value;

fn silicone(additives: serde_json::Value) -> Answer {
    decide(&json!({"ink":"silicone ink","ink_colour":"black","additives":additives,
        "fabric":{"composition":"92% polyester 8% elastane","colour":"white","construction":"jersey","finishes":[]}}))
}

#[rstest]
#[case("2 %", "underdose")]
#[case("3 %", "")]
#[case("5 %", "")]
#[case("6 %", "overdose")]
fn silicone_takes_three_to_five_per_cent(#[case] dose: &str, #[case] wrong: &str) {
    let answer = silicone(json!([{"additive":"silicone catalyst","dose":dose}]));
    let (low, _, high) = range("additive", "silicone-catalyst", "dose", "percent");
    assert!((low - 3.0).abs() < 1e-9 && (high - 5.0).abs() < 1e-9, "{low} to {high}");
    if wrong.is_empty() {
        assert_eq!(answer.verdict, "yes", "{}", answer.summary);
    } else {
        assert_eq!(answer.verdict, "no", "{}", answer.summary);
        assert!(says(&answer, wrong), "{:?}", answer.reasons);
    }
}

/// Without its catalyst silicone never sets: told as a condition where nobody spoke of it, refused where none is in.
#[test]
fn silicone_must_be_catalysed() {
    let unsaid = decide(&json!({"ink":"silicone ink","ink_colour":"black",
        "fabric":{"composition":"92% polyester 8% elastane","colour":"white","construction":"jersey","finishes":[]}}));
    assert!(says(&unsaid, "silicone-needs-its-catalyst"), "{:?}", unsaid.conditions);
    assert_eq!(silicone(json!([])).verdict, "no");
}

/// 40 °F are 22.2 K.
#[test]
fn a_low_cure_additive_takes_off_forty_fahrenheit() {
    let (low, plan, high) = range("additive", "low-cure-additive", "lowers_cure", "temperature-difference");
    let published = 40.0 / 1.8;
    assert!((plan - published).abs() < 0.5 && low <= published && published <= high, "{low} {plan} {high}");
}

#[test]
fn stretch_additive_one_to_five_per_cent() {
    let (low, _, high) = range("additive", "stretch-additive", "dose", "percent");
    assert!((low - 1.0).abs() < 1e-9 && (high - 5.0).abs() < 1e-9, "{low} to {high}");
}

/// The agent that takes the dye out belongs in discharge ink and in no plastisol.
#[test]
fn discharge_is_activated() {
    assert_eq!(fact("additive", "discharge-activator", "activates_discharge"), Value::YesNo(true));
    let in_plastisol = decide(&json!({"ink":"plastisol","additives":[{"additive":"discharge activator","dose":"6 %"}],
        "fabric":{"composition":"100% cotton","colour":"navy","construction":"jersey","finishes":[]}}));
    assert_eq!(in_plastisol.verdict, "no", "{}", in_plastisol.summary);
    assert!(says(&in_plastisol, "additive-not-for-this-ink"));
}
