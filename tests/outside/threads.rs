//! Thread counts and temperatures in two systems.
//!
//! Sources: 1 in = 2.54 cm exactly (international yard and pound, 1959); 0 °C = 32 °F, 1 K = 1.8 °F by definition of
//! the Fahrenheit scale. The nominal pairs (43/cm sold as 110/in) are common practice, but for 120/cm sold as 305/in:
//! Mesh matters, Screen Printing magazine, Jun 2009, pp. 2-3 (read).

use crate::decide;
use rstest::rstest;
use serde_json::{Value, json};

fn mesh(text: &str) -> Value {
    let answer = decide(&json!({"ink":"plastisol","fabric":{"composition":"cotton"},"settings":{"mesh":text}}));
    answer.job["layers"][0]["layer.mesh"]["value"].clone()
}

/// Counts that are no nominal size are converted exactly.
#[rstest]
#[case("100 /in", 39.370)]
#[case("127 /in", 50.0)]
#[case("254 /in", 100.0)]
#[case("50 /cm", 50.0)]
fn counts_convert_exactly(#[case] text: &str, #[case] per_cm: f64) {
    let product = mesh(text).as_f64().expect("a number");
    assert!((product - per_cm).abs() < 0.0006, "{text}: {product}");
}

/// 43/cm is 109.22/in, and is what the trade calls 110/in; likewise the other sizes.
#[rstest]
#[case("60 /in", 24)]
#[case("86 /in", 34)]
#[case("110 /in", 43)]
#[case("125 /in", 48)]
#[case("156 /in", 61)]
#[case("195 /in", 77)]
#[case("230 /in", 90)]
#[case("305 /in", 120)]
fn nominal_sizes_are_the_same_mesh(#[case] text: &str, #[case] per_cm: i64) {
    assert_eq!(mesh(text), per_cm, "{text}");
    assert_eq!(mesh(&format!("{per_cm} /cm")), per_cm);
}

/// A nominal size is told by its trade name, any other with what it is exactly.
#[rstest]
#[case("convert 43 /cm", "43 /cm = 110 /in")]
#[case("convert 120 /cm", "120 /cm = 305 /in")]
#[case("convert 50 /cm", "50 /cm = 127 /in")]
#[case("convert 160 /in", "160 /in = 63 /cm")]
#[case("convert 166 /in", "166 /in = 65.4 /cm in the trade (65.35 /cm exactly)")]
fn sizes_are_told_by_their_name(#[case] question: &str, #[case] line: &str) {
    assert_eq!(crate::page(question).first().map(String::as_str), Some(line));
}

#[rstest]
#[case("212 °F", 100.0)]
#[case("320 °F", 160.0)]
#[case("275 °F", 135.0)]
#[case("68 °F", 20.0)]
#[case("330 °F", 165.556)]
fn fahrenheit_converts_exactly(#[case] text: &str, #[case] celsius: f64) {
    let answer =
        decide(&json!({"ink":"plastisol","fabric":{"composition":"cotton"},"settings":{"cure_temperature":text}}));
    assert_eq!(answer.job["cure.temperature"]["value"].as_f64(), Some(celsius), "{text}");
}
