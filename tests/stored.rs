//! The built-in model as the build script stores it, against the one that the library reads from the same texts.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeMap;
use washfast::Knowledge;
use washfast::model::{Model, restore};

/// Everything that a model says, with its maps in order.
fn said(model: &Model) -> String {
    let mut entities = model.entities.clone();
    let facts: Vec<BTreeMap<u16, String>> = entities
        .iter_mut()
        .map(|e| std::mem::take(&mut e.facts).into_iter().map(|(k, v)| (k.0, format!("{v:?}"))).collect())
        .collect();
    let Model { files, dimensions, kinds, properties, attributes, aspects, steps, rules, sources, cases, .. } = model;
    format!(
        "{:?}{facts:?}{:?}",
        (entities, files, dimensions, kinds, properties, attributes),
        (aspects, steps, rules, sources, cases, &model.safety, &model.overlays, &model.digest),
    )
}

/// What the build script stored.
const STORED: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/built_in.model"));

#[test]
fn what_is_stored_is_what_is_read() {
    let built_in = Knowledge::built_in().expect("built-in knowledge");
    let files = built_in.model().files.clone();
    let stored = restore(STORED, files.clone()).expect("a stored model");
    let read = Knowledge::from_files(files).expect("the same texts");
    assert!(said(&stored) == said(read.model()), "the stored model says something else");
    assert!(said(built_in.model()) == said(&stored), "the built-in model is not the stored one");
    assert!(!stored.rules.is_empty() && !stored.cases.is_empty());
}

#[test]
fn the_order_of_texts_decides_nothing() {
    let mut files = Knowledge::built_in().expect("built-in knowledge").model().files.clone();
    files.reverse();
    let stored = restore(STORED, files).expect("a stored model");
    let rule = stored.rules.first().expect("a rule");
    assert!(stored.place(rule.origin.span).starts_with("knowledge/rules/"), "{}", stored.place(rule.origin.span));
}

#[test]
fn bytes_that_are_no_model_are_none() {
    for cut in [0, 1, STORED.len() / 2, STORED.len() - 1] {
        assert!(restore(&STORED[..cut], Vec::new()).is_none(), "{cut}");
    }
    assert!(restore(&[0xff; 4096], Vec::new()).is_none());
}
