//! How much the knowledge holds, by kind and by where it comes from.

use crate::model::{Basis, Model};
use serde::Serialize;

/// Things of one sort, by where they come from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Row {
    /// What is counted.
    pub what: String,
    /// How many there are in all.
    pub count: usize,
    /// How many rest on each basis, strongest first; only those that occur.
    pub by_basis: Vec<(&'static str, usize)>,
}

/// A row for the things of each kind, one for their values, one for the rules and one for the cases.
pub fn tally(model: &Model) -> Vec<Row> {
    let mut rows = Vec::new();
    for (index, kind) in model.kinds.iter().enumerate().filter(|(_, k)| k.folder.is_some()) {
        let own = model.entities.iter().filter(|e| e.kind.index() == index && e.ordinal.is_some());
        rows.push(row(&kind.plural, own.map(|e| e.origin.basis)));
    }
    // What is inherited is counted where it is written.
    let facts = model.entities.iter().flat_map(|e| e.facts.values()).filter(|f| f.origin.inherited.is_none());
    rows.push(row("values of these", facts.map(|f| f.origin.basis)));
    rows.push(row("rules", model.rules.iter().map(|r| r.origin.basis)));
    rows.push(row("worked cases", model.cases.iter().map(|c| c.origin.basis)));
    rows
}

fn row(what: &str, bases: impl Iterator<Item = Basis>) -> Row {
    let mut all: Vec<Basis> = bases.collect();
    all.sort();
    let by_basis =
        all.chunk_by(|a, b| a == b).map(|same| (same.first().map_or("", |b| b.words()), same.len())).collect();
    Row { what: what.to_owned(), count: all.len(), by_basis }
}
