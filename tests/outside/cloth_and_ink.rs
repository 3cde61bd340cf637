//! Which ink goes on which cloth.
//!
//! Each check names its article and how far it was read.

use crate::{decide, range, says};
use rstest::rstest;
use serde_json::json;
use washfast::answer::Answer;

fn print(ink: &str, ink_colour: &str, composition: &str, colour: &str, construction: &str) -> Answer {
    decide(&json!({"ink":ink,"ink_colour":ink_colour,
        "fabric":{"composition":composition,"colour":colour,"construction":construction,"finishes":[]}}))
}

/// Discharge takes out certain dyes of natural and regenerated cellulose and none of polyester or nylon. Understanding
/// discharge, PRINTING United Alliance, 2019; read in part. That vat and pigment dye stay is common practice.
#[rstest]
#[case("100% cotton", "reactive", "yes-if")]
#[case("100% linen", "reactive", "yes-if")]
#[case("100% viscose", "reactive", "yes-if")]
#[case("100% cotton", "vat dye", "no")]
#[case("100% cotton", "pigment dye", "no")]
#[case("100% polyester", "disperse", "no")]
#[case("100% nylon", "acid dye", "no")]
fn discharge_takes_the_dye_of_cellulose(#[case] composition: &str, #[case] dye: &str, #[case] verdict: &str) {
    let answer = decide(&json!({"ink":"discharge","ink_colour":"yellow",
        "fabric":{"composition":composition,"colour":"navy","construction":"jersey","dye":dye,"finishes":[]}}));
    assert_eq!(answer.verdict, verdict, "{composition}, {dye}: {}", answer.summary);
}

/// Ordinary water-based ink is transparent and serves light cloth; high-solids ink covers dark cloth too. Soft-hand
/// printing, Screen Printing magazine, Apr/May 2020, p. 12; read. How to use high-solids acrylic, ASI Central, Feb
/// 2019; read in part. (What heat the high-solids ink takes nobody published, so that the answer is not known.)
#[rstest]
#[case("water-based", "yellow", "navy", true)]
#[case("water-based", "black", "white", false)]
#[case("high-solids water-based", "yellow", "navy", false)]
fn water_based_is_transparent(
    #[case] ink: &str,
    #[case] print_colour: &str,
    #[case] cloth: &str,
    #[case] shows_through: bool,
) {
    let answer = print(ink, print_colour, "100% cotton", cloth, "jersey");
    assert_eq!(answer.verdict == "no", shows_through, "{}", answer.summary);
    assert_eq!(says(&answer, "transparent-on-dark"), shows_through, "{:?}", answer.reasons);
}

/// Plastisol lives through home washing only. Considerations for decorating workwear, Printwear magazine, Nov 2015,
/// pp. 50-51; read.
#[rstest]
#[case("industrial laundry", "no")]
#[case("home washing", "yes")]
fn plastisol_is_washed_at_home(#[case] laundry: &str, #[case] verdict: &str) {
    let question = format!("can black plastisol go on white 100% cotton jersey untreated for {laundry}?");
    let reply = crate::knowledge().ask(&question).unwrap_or_else(|e| panic!("{question}: {e:?}"));
    let answer = reply.answer().expect("an answer");
    assert_eq!(answer.verdict, verdict, "{}", answer.summary);
    assert_eq!(says(answer, "no-industrial-laundry"), verdict == "no");
}

/// A smooth nylon jacket wants nylon ink or a bonding catalyst; untreated nylon jersey takes plastisol as it is.
/// Workwear: bleed control and nylon jackets, Printwear magazine, Nov 2015, p. 52; read in part.
#[test]
fn nylon_jackets_want_a_catalyst() {
    assert_eq!(print("plastisol", "black", "100% nylon", "white", "smooth shell").verdict, "no");
    assert!(print("plastisol", "black", "100% nylon", "white", "jersey").verdict.starts_with("yes"));
    let catalysed = decide(&json!({"ink":"plastisol","ink_colour":"black",
        "additives":[{"additive":"nylon bonding catalyst","dose":"5 %"}],
        "fabric":{"composition":"100% nylon","colour":"white","construction":"smooth shell","finishes":[]}}));
    assert!(catalysed.verdict.starts_with("yes"), "{}", catalysed.summary);
}

/// Acetone dissolves acetate and triacetate: told of them and of no other cloth. Acetate and triacetate, Drycleaning and
/// Laundry Institute, May/June 2018, p. 25; read.
#[rstest]
#[case("100% acetate", true)]
#[case("100% triacetate", true)]
#[case("95% viscose 5% acetate", true)]
#[case("100% viscose", false)]
#[case("100% cotton", false)]
fn acetone_dissolves_acetate(#[case] composition: &str, #[case] told: bool) {
    let answer = print("water-based", "black", composition, "white", "jersey");
    assert_eq!(says(&answer, "no-acetone-on-acetate"), told, "{:?}", answer.advice);
}

/// A water-based ink wants a water-resistant stencil (Water-based inks, Printwear magazine, Jun 2019, p. 49; read);
/// silicone, which holds no solvent, does with an ordinary one (Silicone ink primer, Graphics Pro magazine, undated;
/// read in part), and so does plastisol (common practice).
#[rstest]
#[case("water-based", true)]
#[case("discharge", true)]
#[case("silicone ink", false)]
#[case("plastisol", false)]
fn stencils(#[case] ink: &str, #[case] water_resistant: bool) {
    let answer = print(ink, "black", "100% cotton", "navy", "jersey");
    assert_eq!(says(&answer, "stencil-for-water"), water_resistant, "{:?}", answer.advice);
}

/// Heat-set polyester shrinks again on its next heating. Thermal shrinkage of heat-set polyester knit panels on a second
/// heating, university repository, undated; abstract read.
#[rstest]
#[case("100% polyester", true)]
#[case("100% cotton", false)]
fn polyester_shrinks_again(#[case] composition: &str, #[case] told: bool) {
    let answer = print("low-cure plastisol", "black", composition, "white", "jersey");
    assert_eq!(says(&answer, "polyester-shrinks-and-shines"), told, "{:?}", answer.advice);
}

/// Melting points: Physical Properties of Textile Fibres, 4th edition, Woodhead Publishing, 2008 (heat-capacity peaks
/// near 250 and 260 °C, read), and a two-page study table (read second hand). What a print may heat lies far below.
#[rstest]
#[case("polyester", 250.0, 260.0)]
#[case("polyamide-66", 250.0, 265.0)]
fn melting_points(#[case] fibre: &str, #[case] low: f64, #[case] high: f64) {
    let (least, _, most) = range("fibre", fibre, "melting_point", "temperature");
    assert!((least - low).abs() < 0.01 && (most - high).abs() < 0.01, "{fibre}: {least} to {most}");
    let (_, _, limit) = range("fibre", fibre, "heat_limit", "temperature");
    assert!(limit <= low - 50.0, "{fibre}: {limit}");
}

/// Woven nylon 6 is heat-set at 185 to 195 °C (Dyeing and setting of nylon 6 woven fabrics, Journal of the Society of
/// Dyers and Colourists, 1970; abstract read) and cotton with elastane at 190 °C for 75 s (Heat-setting optimisation of
/// cotton/elastane fabric, Indian Journal of Fibre and Textile Research, undated; abstract read): a print stays below.
#[rstest]
#[case("polyamide-6", "heat_limit", 185.0)]
#[case("elastane", "minor_heat_limit", 190.0)]
fn prints_stay_below_the_heat_setting(#[case] fibre: &str, #[case] property: &str, #[case] setting: f64) {
    let (_, limit, _) = range("fibre", fibre, property, "temperature");
    assert!(limit < setting, "{fibre}: {limit}");
}

/// Puff is for cotton and its blends: its heat and its pull pucker synthetics. Puff the magic ink, Images magazine (UK),
/// undated; read in part.
#[rstest]
#[case("100% cotton", "yes")]
#[case("60% cotton 40% polyester", "yes")]
#[case("100% polyester", "no")]
#[case("100% polypropylene", "no")]
#[case("100% nylon", "no")]
fn puff_is_for_cotton(#[case] composition: &str, #[case] verdict: &str) {
    let answer = print("puff", "black", composition, "white", "jersey");
    assert_eq!(answer.verdict, verdict, "{composition}: {}", answer.summary);
}

/// A front stiffened with fused buckram is not for direct printing, a soft one is. How to print caps, part 2, Stitch and
/// Print Europe, undated; read.
#[rstest]
#[case("structured cap", "no")]
#[case("unstructured cap", "yes")]
fn buckram_takes_no_direct_print(#[case] article: &str, #[case] verdict: &str) {
    let answer = decide(&json!({"ink":"plastisol","ink_colour":"black",
        "fabric":{"composition":"100% cotton","colour":"white","article":article,"finishes":[]}}));
    assert_eq!(answer.verdict, verdict, "{}", answer.summary);
}

/// Water-based ink on synthetics is a system of its own, proved on the cloth; the ordinary kind is for fibres that drink.
/// Different factors in water-based printing, PRINTING United Alliance, 6 Jan 2020; read.
#[rstest]
#[case("water-based", "100% polyester", "no")]
#[case("performance water-based", "100% polyester", "yes-if")]
#[case("water-based", "60% cotton 40% polyester", "yes-if")]
#[case("water-based", "100% cotton", "yes")]
fn water_based_on_synthetics(#[case] ink: &str, #[case] composition: &str, #[case] verdict: &str) {
    let answer = print(ink, "black", composition, "white", "jersey");
    assert_eq!(answer.verdict, verdict, "{ink} on {composition}: {}", answer.summary);
}

/// Moving air carries the water off; infrared alone hardly does. Drying of water-based ink, Printwear magazine, Oct 2018,
/// p. 39; read. Plastisol holds no water.
#[rstest]
#[case("water-based", "infrared dryer", true)]
#[case("water-based", "jet dryer", false)]
#[case("water-based", "forced-air dryer", false)]
#[case("plastisol", "infrared dryer", false)]
fn water_wants_moving_air(#[case] ink: &str, #[case] machine: &str, #[case] condition: bool) {
    let answer = decide(&json!({"ink":ink,"ink_colour":"black","shop":{"equipment":[machine]},
        "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey","finishes":[]}}));
    assert_eq!(says(&answer, "water-based-needs-moving-air"), condition, "{:?}", answer.conditions);
}

/// A reflective print certifies nothing. Printing on safety workwear, Graphics Pro magazine, undated; read.
#[rstest]
#[case("reflective ink", true)]
#[case("plastisol", false)]
fn reflective_ink_is_no_certificate(#[case] ink: &str, #[case] told: bool) {
    let answer = print(ink, "black", "100% cotton", "white", "jersey");
    assert_eq!(says(&answer, "reflective-is-no-certificate"), told, "{:?}", answer.cautions);
}

/// Thick damp cotton keeps the film cool until its water is gone: the pass is longer than on a tee. Plastisol curing
/// issues in textile screen printing, Printers' National Environmental Assistance Center, undated, and Adjusting dryer
/// temperature for winter, Impressions magazine, Jan 2018; both read.
#[rstest]
#[case("fleece", true)]
#[case("jersey", false)]
fn thick_cotton_cures_late(#[case] construction: &str, #[case] told: bool) {
    let answer = print("plastisol", "black", "100% cotton", "white", construction);
    assert_eq!(says(&answer, "damp-cotton-cures-late"), told, "{:?}", answer.advice);
    let least = answer.recipe.expect("a recipe").settings["cure_time"]["min"].as_f64().expect("a number");
    assert_eq!(least >= 60.0, told, "{least} s");
}

/// The dial of a dryer is not the film. How to profile dryer temperature output, Impressions magazine, Aug 2015; read in
/// part. An ink that dries in air has no such dial.
#[test]
fn the_dial_is_not_the_film() {
    let answer = print("plastisol", "black", "100% cotton", "white", "jersey");
    assert!(says(&answer, "dial-is-not-film"), "{:?}", answer.advice);
    let cold =
        decide(&json!({"ink":"solvent-based nylon ink","ink_colour":"black","shop":{"equipment":["air-dry rack"]},
        "fabric":{"composition":"100% nylon","colour":"white","construction":"smooth shell","finishes":[]}}));
    assert!(!says(&cold, "dial-is-not-film"), "{:?}", cold.advice);
}
