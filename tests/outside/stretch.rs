//! Stretch.
//!
//! Source: Printing on high-elongation fabrics, Screen Printing magazine, Sep 2008 (read): an ink for high-elongation
//! cloth takes at least 300 % without cracking; such plastisols gel and cure lower than standard ones.

use crate::decide;
use serde_json::json;
use washfast::model::Value;

#[test]
fn stretch_plastisol_takes_three_hundred_per_cent() {
    let knowledge = crate::knowledge();
    let model = knowledge.model();
    let kind = model.kind("ink").expect("inks");
    let property = model.property(kind, "elongation").expect("elongation");
    let least = match &model.entity(kind, "stretch-plastisol").expect("the ink").facts[&property].value {
        Value::Quantity(q) => *q,
        Value::Varies(low, _) => *low,
        Value::Disputed { plan, .. } => *plan,
        other => panic!("{other:?}"),
    };
    assert!(least >= 300_000, "{least}");
}

#[test]
fn leggings_take_stretch_ink_cured_lower_than_the_standard() {
    let leggings = |ink: &str| {
        decide(&json!({"ink":ink,"ink_colour":"black",
            "fabric":{"composition":{"cotton":92,"elastane":8},"article":"leggings","colour":"white"}}))
    };
    assert_eq!(leggings("plastisol").verdict, "no");
    let stretch = leggings("stretch plastisol");
    assert!(stretch.verdict.starts_with("yes"), "{}", stretch.summary);
    let aim = stretch.recipe.expect("a recipe").settings["cure_temperature"]["suggested"].as_f64().expect("a number");
    assert!(aim < 160.0, "{aim}");
}
