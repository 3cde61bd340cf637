//! Which dye sits in which fibre, and what heat does to it.
//!
//! Sources: Textile chemistry, dye classification, university course page, undated (read): disperse dye for polyester
//! and acetate, acid dye for nylon, wool and silk, reactive, direct, vat and sulphur dye for cellulose, basic dye for
//! acrylic. Classification of disperse dye for polyester, textile study page, 2014 (read second hand). Spin dyeing in
//! workwear, Printwear magazine, Feb 2020, p. 34 (read): pigment spun into the yarn does not move. Print on polyester,
//! Graphics Pro magazine, Jan 2023, p. 65, and Heat control for performance fabrics, Images magazine (UK), undated (both
//! read): prints are boxed cool.

use crate::{decide, fact, says};
use rstest::rstest;
use serde_json::json;
use washfast::answer::Answer;
use washfast::model::Value;

fn print(composition: &str, dye: &str, ink: &str) -> Answer {
    decide(&json!({"ink":ink,"ink_colour":"white",
        "fabric":{"composition":composition,"colour":"navy","construction":"jersey","dye":dye,"finishes":[]}}))
}

#[rstest]
#[case("100% polyester", "disperse", true)]
#[case("100% acetate", "disperse", true)]
#[case("100% nylon", "acid dye", true)]
#[case("100% wool", "acid dye", true)]
#[case("100% cotton", "reactive", true)]
#[case("100% viscose", "direct dye", true)]
#[case("100% cotton", "vat dye", true)]
#[case("100% cotton", "sulphur dye", true)]
#[case("100% cotton", "disperse", false)]
#[case("100% polyester", "reactive", false)]
#[case("100% polyester", "direct dye", false)]
#[case("100% polyester", "vat dye", false)]
#[case("100% polyester", "sulphur dye", false)]
fn dyes_sit_in_their_fibres(#[case] composition: &str, #[case] dye: &str, #[case] exists: bool) {
    let answer = print(composition, dye, "plastisol");
    assert_eq!(answer.code != "contradiction", exists, "{dye} on {composition}: {}", answer.summary);
}

#[rstest]
#[case("polyester", true)]
#[case("acetate", true)]
#[case("cotton", false)]
#[case("viscose", false)]
fn disperse_dye_is_for_polyester_and_acetate(#[case] fibre: &str, #[case] takes: bool) {
    assert_eq!(fact("fibre", fibre, "takes_disperse_dye"), Value::YesNo(takes), "{fibre}");
}

/// A standard plastisol is refused on piece-dyed polyester and not on spun-dyed.
#[rstest]
#[case("disperse", true)]
#[case("solution dye", false)]
fn spun_in_pigment_stays(#[case] dye: &str, #[case] moves: bool) {
    let answer = print("100% polyester", dye, "plastisol");
    assert_eq!(answer.verdict == "no", moves, "{}", answer.summary);
    assert_eq!(says(&answer, "dye-migrates-into-print"), moves);
    assert_eq!(fact("dye", "solution-dye", "migrates"), Value::YesNo(false));
}

#[rstest]
#[case("100% polyester", "disperse", true)]
#[case("100% polyester", "solution dye", false)]
#[case("100% cotton", "reactive", false)]
fn prints_on_dyed_polyester_are_boxed_cool(#[case] composition: &str, #[case] dye: &str, #[case] told: bool) {
    let answer = print(composition, dye, "low-cure low-bleed plastisol");
    assert!(answer.verdict.starts_with("yes"), "{}", answer.summary);
    assert_eq!(says(&answer, "cool-before-stacking"), told, "{:?}", answer.advice);
}
