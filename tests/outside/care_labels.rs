//! Iron dots on care labels.
//!
//! Source: Table of textile care symbols, GINETEX (the owner of the symbols that ISO 3758 uses); read. Sole plate
//! at most 110 °C for one dot, 150 °C for two, 200 °C for three.

use crate::{decide, knowledge, says};
use rstest::rstest;
use serde_json::json;

/// An iron's limit is none for a film in a dryer: cotton labelled with any number of dots still bears a plastisol cure
/// of 160 °C, above the 110 and 150 °C of one and two dots.
#[rstest]
#[case(1, 110.0)]
#[case(2, 150.0)]
#[case(3, 200.0)]
fn iron_dots_are_no_cure_limit(#[case] dots: u32, #[case] sole_plate: f64) {
    let answer = decide(&json!({"ink":"plastisol","ink_colour":"black",
        "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey","iron_dots":dots}}));
    assert_eq!(answer.verdict, "yes", "{}", answer.summary);
    let aim = answer.recipe.expect("a recipe").settings["cure_temperature"]["suggested"].as_f64().expect("a number");
    assert!(aim > sole_plate || dots == 3, "{aim} against {sole_plate}");
}

/// One dot stands for a delicate fibre or finish: the answer asks which.
#[test]
fn one_dot_asks_why() {
    let with = |dots: u32| {
        decide(&json!({"ink":"plastisol","ink_colour":"black",
            "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey","iron_dots":dots}}))
    };
    assert!(says(&with(1), "iron-dots-ask-why"));
    assert!(!says(&with(3), "iron-dots-ask-why"));
}

/// No fibre's print limit lies below the iron's limit of the dots it is usually labelled with (common practice):
/// cotton three, polyester and viscose two, nylon and polypropylene one.
#[test]
fn print_limits_are_not_below_the_usual_iron() {
    let knowledge = knowledge();
    let model = knowledge.model();
    let kind = model.kind("fibre").expect("fibres");
    let limit = model.property(kind, "heat_limit").expect("a limit");
    let degrees = |fibre: &str| match &model.entity(kind, fibre).expect(fibre).facts[&limit].value {
        washfast::model::Value::Quantity(q) => *q as f64 / 9000.0,
        washfast::model::Value::Varies(low, _) => *low as f64 / 9000.0,
        other => panic!("{fibre}: {other:?}"),
    };
    // 200 °C is for seconds under an iron; a dryer pass is longer, so cotton's own limit is a little lower.
    assert!((180.0..=200.0).contains(&degrees("cotton")));
    assert!(degrees("polyester") >= 150.0 && degrees("viscose") >= 150.0);
    assert!(degrees("polyamide-6") >= 110.0 && degrees("polypropylene") >= 110.0);
}
