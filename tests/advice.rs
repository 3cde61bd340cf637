//! What an answer advises holds when it is done.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use washfast::Knowledge;
use washfast::contract::Detail;

/// Cloths of everyday orders, in shades that are printed on.
const CLOTHS: [&str; 18] = [
    "black 100% cotton tee",
    "royal 100% cotton hoodie",
    "heather grey 90% cotton 10% viscose sweatshirt",
    "navy 50% cotton 50% polyester tee",
    "charcoal 50% cotton 50% polyester tee",
    "brown 65% polyester 35% cotton twill work jacket",
    "red 100% polyester football shirt",
    "black 100% polyester interlock jersey",
    "charcoal 100% polyester tee",
    "orange 100% polyester tee",
    "teal 100% polyester fleece jacket",
    "charcoal untreated 100% polyester smooth shell jacket",
    "black untreated 100% nylon smooth shell jacket",
    "black 80% nylon 20% elastane leggings",
    "navy 95% cotton 5% elastane tee",
    "black 100% acrylic beanie",
    "green 100% wool felt pennant",
    "safety yellow 100% polyester tee",
];

/// A base that a condition asks for can be laid: the job works with it.
#[test]
fn a_base_that_is_asked_for_can_be_laid() {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge");
    let model = knowledge.model();
    let lays = |code: &str| model.rules.iter().any(|r| r.id == code && !r.lays.is_empty());
    let inks = model.attributes.iter().find(|a| a.name == "layer.ink").and_then(|a| a.ty.members()).expect("inks");
    let (mut laid, mut ruined) = (0, Vec::new());
    for ink in model.everyone(inks).iter().filter_map(|m| model.member(inks, m)) {
        for (print, cloth) in ["white", "yellow"].iter().flat_map(|p| CLOTHS.map(|c| (p, c))) {
            let order = format!("{print} {} on {cloth}", ink.name);
            let Ok(stated) = knowledge.statements(&order) else { continue };
            if knowledge.decide(&stated, Detail::Verdict).verdict != "yes-if" {
                continue;
            }
            let answer = knowledge.decide(&stated, Detail::Full);
            if !answer.conditions.iter().any(|c| c.when.is_none() && lays(&c.code)) {
                continue;
            }
            match answer.recipe.as_ref().is_some_and(|r| r.layers.iter().any(|l| l.asked_by.is_some())) {
                true => laid += 1,
                false => {
                    ruined.push(format!("{order}: {:?}", answer.conditions.iter().map(|c| &c.code).collect::<Vec<_>>()))
                }
            }
        }
    }
    assert!(ruined.is_empty(), "{laid} can be laid, but these {} cannot:\n{}", ruined.len(), ruined.join("\n"));
    assert!(laid > 100, "{laid}");
}
