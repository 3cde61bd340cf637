//! Sums of the workshop.
//!
//! Sources: international yard and pound agreement, 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg exactly, so 1 in = 25.4
//! mm, 1 ft = 0.3048 m, 1 oz = 28.349523125 g, 1 oz/yd² = 33.9057 g/m² (from memory, as every table has them). Belt
//! speed is heated length divided by time, an additive is its share of the ink's weight: arithmetic, computed apart
//! from the product.

use crate::page;
use rstest::rstest;

fn first(question: &str) -> String {
    page(question).first().cloned().unwrap_or_else(|| panic!("{question}: an empty page"))
}

/// Converted exactly, and told to two decimals or three figures, whichever is more.
#[rstest]
#[case("convert 1 in to mm", "1 in = 25.4 mm")]
#[case("convert 1 in to m", "1 in = 0.0254 m")]
#[case("convert 8 ft to m", "8 ft = 2.44 m")]
#[case("convert 8 ft to mm", "8 ft = 2438.4 mm")]
#[case("convert 1000 lb to kg", "1000 lb = 453.59 kg")]
#[case("convert 1000 lb to g", "1000 lb = 453592.37 g")]
#[case("convert 1000 lb to oz", "1000 lb = 16000 oz")]
#[case("convert 1000 oz to g", "1000 oz = 28349.52 g")]
#[case("convert 5 g to kg", "5 g = 0.005 kg")]
#[case("convert 5 g to oz", "5 g = 0.176 oz")]
#[case("convert 1 oz/yd² to g/m²", "1 oz/yd² = 33.91 g/m²")]
#[case("convert 100 oz/yd² to g/m²", "100 oz/yd² = 3390.57 g/m²")]
#[case("convert 180 g/m² to oz/yd²", "180 g/m² = 5.31 oz/yd²")]
fn units(#[case] question: &str, #[case] answer: &str) {
    assert_eq!(first(question), answer);
}

/// A US gallon is 231 cubic inches, 3785.411784 ml, and 128 fluid ounces; 1 kWh is 3600 kJ; an international Btu is
/// 1055.05585 J; a mil is a thousandth of an inch (all from memory, as every table has them).
#[rstest]
#[case("convert 250 ml to fl oz", "250 ml = 8.45 fl oz")]
#[case("convert 16 fl oz to ml", "16 fl oz = 473.18 ml")]
#[case("convert 100 fl oz to ml", "100 fl oz = 2957.35 ml")]
#[case("convert 1 gal to ml", "1 gal = 3785.41 ml")]
#[case("convert 1 gal to fl oz", "1 gal = 128 fl oz")]
#[case("convert 5 gal to l", "5 gal = 18.93 l")]
#[case("convert 2.4 m/min to ft/min", "2.4 m/min = 7.87 ft/min")]
#[case("convert 10 fpm", "10 ft/min = 3.05 m/min")]
#[case("convert 1 m² to in²", "1 m² = 1550 in²")]
#[case("convert 16 in² to cm²", "16 in² = 103.23 cm²")]
#[case("convert 775 in² to m²", "775 in² = 0.5 m²")]
#[case("convert 1.2 g/cm³ to lb/gal", "1.2 g/cm³ = 10.01 lb/gal")]
#[case("convert 12 lb/gal", "12 lb/gal = 1.44 g/cm³")]
#[case("convert 1 kWh to kJ", "1 kWh = 3600 kJ")]
#[case("convert 1 Btu to J", "1 Btu = 1055.06 J")]
#[case("convert 4 mil to µm", "4 mil = 101.6 µm")]
fn newer_units(#[case] question: &str, #[case] answer: &str) {
    assert_eq!(first(question), answer);
}

/// The temperatures of the trade, by °C = (°F - 32) / 1.8.
#[rstest]
#[case("125", "51.67")]
#[case("180", "82.22")]
#[case("200", "93.33")]
#[case("220", "104.44")]
#[case("230", "110")]
#[case("250", "121.11")]
#[case("260", "126.67")]
#[case("265", "129.44")]
#[case("270", "132.22")]
#[case("275", "135")]
#[case("280", "137.78")]
#[case("300", "148.89")]
#[case("310", "154.44")]
#[case("320", "160")]
#[case("330", "165.56")]
#[case("350", "176.67")]
#[case("360", "182.22")]
#[case("375", "190.56")]
#[case("400", "204.44")]
#[case("-40", "-40")]
fn temperatures(#[case] fahrenheit: &str, #[case] celsius: &str) {
    assert_eq!(first(&format!("convert {fahrenheit} °F")), format!("{fahrenheit} °F = {celsius} °C"));
}

#[rstest]
#[case("belt for 60 s in 2.4 m", "2.4 m/min (7.87 ft/min)")]
#[case("belt for 180 s in 1.5 m", "0.5 m/min (1.64 ft/min)")]
#[case("belt for 90 s in 3.0 m", "2 m/min (6.56 ft/min)")]
#[case("belt for 45 s in 1.8 m", "2.4 m/min (7.87 ft/min)")]
#[case("belt for 45 s in 8 ft", "3.25 m/min (10.67 ft/min)")]
#[case("belt for 150 s in 1.2 m", "0.48 m/min (1.57 ft/min)")]
#[case("belt for 3 min in 1 ft", "0.102 m/min (0.333 ft/min)")]
fn belt_speed(#[case] question: &str, #[case] speed: &str) {
    assert!(first(question).contains(&format!("belt speed: {speed},")), "{}", first(question));
}

#[rstest]
#[case("low-cure additive", "1200 g", "3 %", "36 g (1.27 oz)", "1236 g in all")]
#[case("low-cure additive", "1 lb", "8 %", "36.29 g (1.28 oz)", "489.88 g in all")]
#[case("nylon bonding catalyst", "1 kg", "10 %", "100 g (3.53 oz)", "1100 g in all")]
#[case("silicone catalyst", "1 lb", "5 %", "22.68 g (0.8 oz)", "476.27 g in all")]
#[case("silicone catalyst", "10 g", "3 %", "0.3 g (0.0106 oz)", "10.3 g in all")]
#[case("discharge activator", "5 lb", "6 %", "136.08 g (4.8 oz)", "2404.04 g in all")]
fn grams_of_an_additive(
    #[case] additive: &str,
    #[case] ink: &str,
    #[case] dose: &str,
    #[case] grams: &str,
    #[case] all: &str,
) {
    let line = first(&format!("how much {additive} for {ink} at {dose}"));
    assert!(line.starts_with(&format!("{grams} of {additive} into {ink} of ink:")), "{line}");
    assert!(line.contains("by weight of the ink") && line.ends_with(all), "{line}");
}
