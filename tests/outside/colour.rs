//! Lightness of `#rrggbb` colours.
//!
//! Sources: IEC 61966-2-1:1999 (sRGB transfer function and matrix); ISO/CIE 11664-4:2019 (CIE 1976 L*a*b*). The
//! formulas were computed a second time by an independent library from the registry, `palette`, in this test.

use crate::{decide, says};
use palette::{IntoColor, Lab, Srgb};
use rstest::rstest;
use serde_json::json;

/// Lightness and chroma agree with the independent library over a grid of the whole cube. Its white point is
/// rounded differently, which moves chroma by a few hundredths.
#[test]
fn an_independent_library_agrees() {
    let mut worst = (0.0_f64, 0.0_f64);
    for r in (0..=255).step_by(17) {
        for g in (0..=255).step_by(17) {
            for b in (0..=255).step_by(17) {
                let ours = washfast::colour::from_hex(&format!("#{r:02x}{g:02x}{b:02x}")).expect("a colour");
                let theirs: Lab<palette::white_point::D65, f64> =
                    Srgb::new(r as u8, g as u8, b as u8).into_format::<f64>().into_color();
                worst.0 = worst.0.max((ours.lightness - theirs.l).abs());
                worst.1 = worst.1.max((ours.chroma() - theirs.a.hypot(theirs.b)).abs());
            }
        }
    }
    assert!(worst.0 < 0.01 && worst.1 < 0.06, "{worst:?}");
}

/// Lightness computed from the published formulas (four decimals).
#[rstest]
#[case("#ffffff", 100.0)]
#[case("#000000", 0.0)]
#[case("#777777", 50.0344)]
#[case("#767676", 49.637)]
#[case("#ff0000", 53.2329)]
#[case("#0000ff", 32.3026)]
#[case("#ffff00", 97.1382)]
#[case("#1b2a49", 17.3201)]
#[case("#979aaa", 63.8298)]
fn published_formula(#[case] hex: &str, #[case] lightness: f64) {
    let ours = washfast::colour::from_hex(hex).expect("a colour").lightness;
    assert!((ours - lightness).abs() < 0.01, "{hex}: {ours}");
}

/// The product calls cloth dark below L* 60 (common practice): a white print needs an underbase on one side of it and
/// not on the other. Greys of L* 59.6 and 60.3 by the formula above.
#[test]
fn dark_and_light_cloth_part_where_the_formula_says() {
    let base = |hex: &str| {
        let answer = decide(&json!({"ink":"plastisol","ink_colour":"#ffffff",
            "fabric":{"composition":"100% cotton","colour":hex,"construction":"jersey"}}));
        assert!(answer.verdict.starts_with("yes"), "{}", answer.summary);
        says(&answer, "light-print-needs-underbase")
    };
    let lightness = |hex: &str| washfast::colour::from_hex(hex).expect("a colour").lightness;
    assert!(
        lightness("#8f8f8f") < 60.0 && lightness("#929292") > 60.0,
        "{} {}",
        lightness("#8f8f8f"),
        lightness("#929292")
    );
    assert!(base("#8f8f8f"));
    assert!(!base("#929292"));
}
