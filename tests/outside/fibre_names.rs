//! Fibre names and codes.
//!
//! Source: Regulation (EU) No 1007/2011, Annex I (names; read in public code tables that quote the consolidated text,
//! names 1 to 19 in Directive 2008/121/EC). Codes are from ISO 2076 and trade usage, from memory. The names in other
//! languages were read in label sheets of the same regulation as far as the knowledge marks them published.

use crate::{decide, knowledge};
use rstest::rstest;
use serde_json::json;

#[rstest]
#[case("cotton", "cotton")]
#[case("Baumwolle", "cotton")]
#[case("coton", "cotton")]
#[case("algodón", "cotton")]
#[case("cotone", "cotton")]
#[case("bawełna", "cotton")]
#[case("katoen", "cotton")]
#[case("CO", "cotton")]
#[case("polyester", "polyester")]
#[case("poliéster", "polyester")]
#[case("PES", "polyester")]
#[case("viscose", "viscose")]
#[case("Viskose", "viscose")]
#[case("CV", "viscose")]
#[case("polyamide", "polyamide")]
#[case("nylon", "polyamide")]
#[case("PA", "polyamide")]
#[case("polypropylene", "polypropylene")]
#[case("PP", "polypropylene")]
#[case("elastane", "elastane")]
#[case("Elasthan", "elastane")]
#[case("élasthanne", "elastane")]
#[case("spandex", "elastane")]
fn names_are_understood(#[case] name: &str, #[case] id: &str) {
    let answer = decide(&json!({"ink":"plastisol","fabric":{"composition":{name:100}}}));
    assert_eq!(answer.job["fabric"][id]["value"], 100, "{name}: {:?}", answer.job);
}

/// Codes that label tables read in two ways are never taken for a fibre.
#[rstest]
#[case("HA")]
#[case("CA")]
#[case("PM")]
#[case("PE")]
#[case("EA")]
fn ambiguous_codes_are_refused(#[case] code: &str) {
    let knowledge = knowledge();
    assert!(knowledge.read_job(&json!({"ink":"plastisol","fabric":{"composition":{code:100}}})).is_err(), "{code}");
    assert!(knowledge.ask(&format!("plastisol on 100% {code}")).is_err(), "{code}");
}
