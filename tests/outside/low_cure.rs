//! Curing temperatures.
//!
//! Sources: Screen printing Q&A, Printwear magazine, Oct 2013, pp. 96-97 (read): standard plastisol cures at 160 °C
//! (320 °F); with a low-cure additive at about 135 °C; 3 uses for low-cure inks, Graphics Pro magazine (read in part):
//! low-cure ink at 135 °C on non-woven polypropylene bags. Water-based inks, Printwear magazine, Jun 2019, p. 49 (read):
//! 160 °C held until the water has gone.

use crate::decide;
use serde_json::{Value, json};

fn cure(job: &Value) -> (f64, f64, f64) {
    let answer = decide(job);
    let recipe = answer.recipe.unwrap_or_else(|| panic!("{}", answer.summary));
    let window = &recipe.settings["cure_temperature"];
    let number = |key: &str| window[key].as_f64().unwrap_or(f64::NAN);
    (number("min"), number("suggested"), number("max"))
}

fn cotton(ink: &str) -> Value {
    json!({"ink":ink,"ink_colour":"black","fabric":{"composition":"100% cotton","colour":"white","construction":"jersey"}})
}

#[test]
fn standard_plastisol_aims_for_160() {
    assert!((cure(&cotton("plastisol")).1 - 160.0).abs() < 0.01);
}

#[test]
fn a_low_cure_additive_lowers_it_to_about_135() {
    let mut job = cotton("plastisol");
    job["additives"] = json!([{"additive":"low-cure additive","dose":"5 %"}]);
    let aim = cure(&job).1;
    assert!((135.0..=140.0).contains(&aim), "{aim}");
}

#[test]
fn water_based_aims_for_160() {
    assert!((cure(&cotton("water-based")).1 - 160.0).abs() < 0.01);
}

/// 135 °C is used on polypropylene bags, with a trial; standard plastisol would melt them.
#[test]
fn polypropylene_bags_take_low_cure_ink_after_a_trial_only() {
    let bag = |ink: &str| {
        decide(&json!({"ink":ink,"ink_colour":"black",
            "fabric":{"composition":"100% polypropylene","colour":"white","construction":"non-woven","article":"non-woven bag"}}))
    };
    assert_eq!(bag("plastisol").verdict, "no");
    let low = bag("low-cure plastisol");
    assert_eq!(low.verdict, "yes-if", "{}", low.summary);
    assert!(crate::says(&low, "heat-trial-first"));
}
