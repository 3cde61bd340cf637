//! Moisture that the law adds to a fibre's dry mass.
//!
//! Source: Regulation (EU) No 1007/2011, European Parliament and Council, 2011, Annex IX, agreed allowances; numbers 1
//! to 48 read in full in a German reproduction. Where the annex has two figures the case says which one it is.

use crate::range;
use rstest::rstest;

#[rstest]
#[case::combed("wool", 18.25)]
#[case::combed("alpaca", 18.25)]
#[case::combed("cashmere", 18.25)]
#[case::combed("mohair", 18.25)]
#[case::combed("angora", 18.25)]
#[case::combed("camel-hair", 18.25)]
#[case::combed("llama", 18.25)]
#[case::combed("fine-hair", 18.25)]
#[case("silk", 11.0)]
#[case::not_mercerised("cotton", 8.5)]
#[case("kapok", 10.9)]
#[case("linen", 12.0)]
#[case("hemp", 12.0)]
#[case("jute", 17.0)]
#[case::bleached("ramie", 8.5)]
#[case("sisal", 14.0)]
#[case("acetate", 9.0)]
#[case("cupro", 13.0)]
#[case("modal", 13.0)]
#[case("triacetate", 7.0)]
#[case("viscose", 13.0)]
#[case("acrylic", 2.0)]
#[case("chlorofibre", 2.0)]
#[case("modacrylic", 2.0)]
#[case::filament("polyamide", 5.75)]
#[case::filament("polyamide-6", 5.75)]
#[case::filament("polyamide-66", 5.75)]
#[case("aramid", 8.0)]
#[case("lyocell", 13.0)]
#[case("polylactide", 1.5)]
#[case("polyester", 1.5)]
#[case("recycled-polyester", 1.5)]
#[case("cationic-polyester", 1.5)]
#[case("polyethylene", 1.5)]
#[case("polypropylene", 2.0)]
#[case::filament("polyurethane", 3.0)]
#[case("elastodiene", 1.0)]
#[case("elastane", 1.5)]
#[case("elastomultiester", 1.5)]
#[case("fluorofibre", 0.0)]
#[case::thicker_than_5_micrometres("glass-fibre", 2.0)]
#[case("metallised-fibre", 2.0)]
#[case("melamine", 7.0)]
fn allowances_are_those_of_the_annex(#[case] fibre: &str, #[case] percent: f64) {
    let (low, plan, high) = range("fibre", fibre, "regain", "percent");
    assert!([low, plan, high].iter().all(|v| (v - percent).abs() < 1e-9), "{fibre}: {low} {plan} {high}");
}

/// Every fibre with an allowance is in the table above: none stands unchecked.
#[test]
fn no_allowance_is_left_out() {
    let knowledge = crate::knowledge();
    let model = knowledge.model();
    let kind = model.kind("fibre").expect("fibres");
    let property = model.property(kind, "regain").expect("the property");
    let members = &model.kinds[kind.index()].members;
    let held = members.iter().filter(|id| model.entities[id.index()].facts.contains_key(&property)).count();
    assert_eq!(held, 44, "a fibre was added: check its allowance against the annex");
}
