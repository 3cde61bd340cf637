//! Heat and mesh of the ink classes.
//!
//! Each row names its article. `Read` is what was read of it; 1 °F is 5/9 K.

use crate::{decide, range, text_of};
use rstest::rstest;
use serde_json::json;

fn fahrenheit(degrees: f64) -> f64 {
    (degrees - 32.0) / 1.8
}

/// What a class aims for lies within a degree of the published figure or inside the published window.
#[rstest]
// Screen printing questions and answers, Printwear magazine, Oct 2013, pp. 96-97; read: 320 °F.
#[case("standard-plastisol", 320.0, 320.0)]
// Puff the magic ink, Images magazine (UK), undated; read in part: it rises at 160 °C.
#[case("puff-ink", 320.0, 320.0)]
// Silicone ink primer, Graphics Pro magazine, undated; read in part: 260 °F.
#[case("silicone-ink", 260.0, 260.0)]
// 3 uses for low-cure inks, Graphics Pro magazine, undated; read in part: around 275 °F.
#[case("low-cure-plastisol", 275.0, 275.0)]
// Performance inks, Printwear magazine, Sep 2015, p. 79; read in part: 280 to 290 °F for inks with blocking agents.
#[case("low-cure-low-bleed-plastisol", 280.0, 290.0)]
// Drying of water-based ink, Printwear magazine, Oct 2018, p. 39; read: 300 to 330 °F.
#[case("water-based-pigment", 300.0, 330.0)]
// Foil application with water-based adhesive, Wearables / ASI Central, Mar 2015; read: 120 to 150 °C.
#[case("water-based-foil-adhesive", 248.0, 302.0)]
fn targets_are_the_published_ones(#[case] ink: &str, #[case] low: f64, #[case] high: f64) {
    let (_, aim, _) = range("ink", ink, "cure_target", "temperature");
    let window = fahrenheit(low) - 1.0..=fahrenheit(high) + 1.0;
    assert!(window.contains(&aim), "{ink}: {aim} °C against {window:?}");
}

/// A low cure leaves more room below the heat at which dye moves than a standard one does: 3 uses for low-cure inks,
/// Graphics Pro magazine, undated; read in part.
#[test]
fn low_cure_lies_below_the_dye_and_the_standard_above() {
    let (_, onset, _) = range("dye", "disperse-dye", "moves_from", "temperature");
    assert!(range("ink", "low-cure-plastisol", "cure_target", "temperature").1 <= onset);
    assert!(range("ink", "standard-plastisol", "cure_target", "temperature").1 > onset);
}

/// The press that lays foil on a water-based adhesive: 166 °C (330 °F); same article, read.
#[test]
fn foil_press() {
    let (_, press, _) = range("ink", "water-based-foil-adhesive", "press_after", "temperature");
    assert!((press - fahrenheit(330.0)).abs() < 1.0, "{press}");
}

/// Sublimated cloth bleeds from 280 °F (Term of the week: dye migration, Printwear magazine, undated; read) to below
/// 320 °F (3 uses for low-cure inks; read in part).
#[test]
fn sublimated_dye() {
    let (low, plan, high) = range("dye", "sublimation-print", "moves_from", "temperature");
    assert!((low - fahrenheit(280.0)).abs() < 1.0 && (high - fahrenheit(320.0)).abs() < 1.0, "{low} {high}");
    assert!((plan - low).abs() < 1e-9, "the lowest figure decides: {plan}");
}

/// A gel lies above the 180 °F at which plastisol begins to skin (Flash-curing advancements, Printwear magazine, Nov
/// 2014, p. 54; read in part) and below the 275 °F that a film just out of the flash must not show (Boosting
/// garment-printing efficiency, Screen Printing magazine, Jun 2012; read).
#[test]
fn flash_to_a_gel() {
    let answer = decide(&json!({"ink":"plastisol","ink_colour":"yellow","under":["plastisol"],
        "fabric":{"composition":"100% cotton","colour":"black","construction":"jersey","finishes":[]}}));
    let text = text_of(&answer, "gel-between-layers").unwrap_or_else(|| panic!("{:?}", answer.conditions));
    // Each temperature window of the text, `95 to 110 °C`.
    let windows: Vec<(f64, f64)> = text
        .match_indices(" °C")
        .filter_map(|(end, _)| {
            let mut words = text[..end].rsplit(' ');
            let (high, _, low) = (words.next()?, words.next()?, words.next()?);
            Some((low.parse().ok()?, high.parse().ok()?))
        })
        .collect();
    let [standard, low_cure] = windows[..] else { panic!("not two windows: {text}") };
    assert!(standard.0 > fahrenheit(180.0) && standard.1 < fahrenheit(275.0), "{text}");
    // High-elongation and other low-cure plastisols gel lower: Printing on high-elongation fabrics, Screen Printing
    // magazine, Sep 2008; read.
    assert!(low_cure.0 < standard.0 && low_cure.1 < standard.1, "{text}");
}

/// Threads per inch of the articles, as threads per cm, with the trade's rounding.
#[rstest]
// Silicone ink primer, Graphics Pro magazine, undated; read in part: 81 to 305.
#[case("silicone-ink", 81.0, 305.0)]
// Special effects: taking your shop to the next level, Screen Printing magazine, Feb/Mar 2018, p. 4; read in part.
#[case("high-density-ink", 60.0, 110.0)]
// Foil how-to, Images magazine (UK), Oct 2020, p. 67; read in part.
#[case("foil-adhesive", 86.0, 125.0)]
fn meshes_are_the_published_ones(#[case] ink: &str, #[case] low: f64, #[case] high: f64) {
    let (least, _, most) = range("ink", ink, "mesh", "thread-count");
    assert!((least - low / 2.54).abs() < 0.6 && (most - high / 2.54).abs() < 0.6, "{ink}: {least} to {most} /cm");
}

/// The window of a class whose articles differ holds every published size.
#[rstest]
// Special effects, Screen Printing magazine, Feb/Mar 2018, p. 4; read in part: 13 to 24 for large flake.
#[case("glitter-ink", &[13.0, 24.0])]
// What is special about effect printing?, Impressions magazine, 2023; read in part: 25 to 30; shimmer 110 to 135.
#[case("glitter-ink", &[25.0, 30.0])]
#[case("metallic-ink", &[110.0, 134.6])]
// Glitter printing, Serigrafia (Italian trade magazine), undated; read: fine flake through 32 /cm.
#[case("glitter-ink", &[81.28])]
fn meshes_hold_the_published_ones(#[case] ink: &str, #[case] sizes: &[f64]) {
    let (least, _, most) = range("ink", ink, "mesh", "thread-count");
    for size in sizes {
        assert!((least..=most).contains(&(size / 2.54)), "{ink}: {size} /in outside {least} to {most} /cm");
    }
}

/// Two strokes of shimmer: What is special about effect printing?, Impressions magazine, 2023; read in part.
#[test]
fn shimmer_takes_two_strokes() {
    assert_eq!(range("ink", "metallic-ink", "strokes", "count"), (2.0, 2.0, 2.0));
}
