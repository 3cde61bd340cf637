//! Dye migration, and discharge.
//!
//! Sources: Term of the week: dye migration, Printwear magazine (read): sublimated polyester begins to bleed at about
//! 138 °C (280 °F). Performance inks, Printwear magazine, Sep 2015, pp. 76-79 (read in part): dyed polyester takes
//! low-bleed or blocking inks. Understanding discharge, PRINTING United Alliance, 2019 (read in part): natural fibres
//! with certain dyes only.

use crate::decide;
use rstest::rstest;
use serde_json::json;

fn verdict(ink: &str, colour: &str, cloth: &str, shade: &str) -> &'static str {
    let answer = decide(&json!({"ink":ink,"ink_colour":colour,
        "fabric":{"composition":cloth,"colour":shade,"construction":"jersey","finishes":[]}}));
    answer.verdict
}

#[rstest]
#[case("plastisol", "white", "100% polyester", "navy", "no")]
#[case("plastisol", "white", "100% polyester", "white", "yes")]
#[case("low-bleed low-cure plastisol", "white", "100% polyester", "navy", "yes-if")]
#[case("discharge", "yellow", "100% polyester", "navy", "no")]
#[case("discharge", "yellow", "100% cotton", "navy", "yes-if")]
fn dyed_polyester_and_discharge(
    #[case] ink: &str,
    #[case] colour: &str,
    #[case] cloth: &str,
    #[case] shade: &str,
    #[case] expected: &str,
) {
    assert_eq!(verdict(ink, colour, cloth, shade), expected, "{colour} {ink} on {shade} {cloth}");
}

/// The planning value for disperse dye is the published 138 °C, and the spread of the sources (129 to 182 °C) is told.
#[test]
fn the_planning_value_is_the_published_one() {
    use washfast::model::Value;
    let knowledge = crate::knowledge();
    let model = knowledge.model();
    let kind = model.kind("dye").expect("dyes");
    let property = model.property(kind, "moves_from").expect("an onset");
    let degrees = |q: i64| q / 9000;
    match &model.entity(kind, "disperse-dye").expect("disperse dye").facts[&property].value {
        Value::Disputed { low, high, plan } => {
            assert_eq!((degrees(*low), degrees(*plan), degrees(*high)), (129, 138, 182));
        }
        other => panic!("{other:?}"),
    }
}
