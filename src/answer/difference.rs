//! What a change makes of an answer: only what differs.

use super::{Answer, Said};
use crate::contract::SCHEMA;
use serde::Serialize;

/// What differs between two answers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Difference {
    /// Version of the contract.
    pub schema: i64,
    /// The answer before.
    pub before: Outcome,
    /// The answer now.
    pub after: Outcome,
    /// The parts that are not the same, in the order of an answer.
    pub parts: Vec<Changed>,
}

/// What an answer came to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outcome {
    /// What it is about, in words.
    pub subject: String,
    /// The verdict.
    pub verdict: &'static str,
    /// Its code.
    pub code: &'static str,
}

/// A part of an answer that changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Changed {
    /// Which: `reasons`, `cases`, `conditions`, `settings`, `cautions`, `advice`, `assumed`.
    pub part: &'static str,
    /// What is there now and was not before.
    pub gained: Vec<String>,
    /// What was there before and is not now.
    pub lost: Vec<String>,
}

/// Holds two answers against each other.
pub fn difference(before: &Answer, after: &Answer) -> Difference {
    let parts = [
        ("reasons", reasons(before), reasons(after)),
        ("cases", cases(before), cases(after)),
        ("conditions", said(&before.conditions, |_| true), said(&after.conditions, |_| true)),
        ("settings", settings(before), settings(after)),
        ("quantities", quantities(before), quantities(after)),
        ("cautions", said(&before.cautions, hurts), said(&after.cautions, hurts)),
        ("advice", said(&before.advice, always), said(&after.advice, always)),
        ("assumed", assumed(before), assumed(after)),
    ];
    let changed = |(part, old, new): (&'static str, Vec<String>, Vec<String>)| {
        let gained: Vec<String> = new.iter().filter(|t| !old.contains(t)).cloned().collect();
        let lost: Vec<String> = old.into_iter().filter(|t| !new.contains(t)).collect();
        (!gained.is_empty() || !lost.is_empty()).then_some(Changed { part, gained, lost })
    };
    let parts = parts.into_iter().filter_map(changed).collect();
    Difference { schema: SCHEMA, before: outcome(before), after: outcome(after), parts }
}

fn outcome(answer: &Answer) -> Outcome {
    Outcome { subject: answer.subject.clone(), verdict: answer.verdict, code: answer.code }
}

/// Windows are told with the settings.
fn reasons(answer: &Answer) -> Vec<String> {
    answer.reasons.iter().filter(|r| r.code != "window").map(|r| r.text.clone()).collect()
}

fn always(said: &Said) -> bool {
    said.when.is_none()
}

/// What may hurt people is told in every case.
fn hurts(said: &Said) -> bool {
    always(said) || said.about.as_deref() == Some("health")
}

fn said(all: &[Said], told: impl Fn(&Said) -> bool) -> Vec<String> {
    let one = |s: &Said| match &s.when {
        Some(when) => format!("{when}: {}", s.text),
        None => s.text.clone(),
    };
    all.iter().filter(|s| told(s)).map(one).collect()
}

fn cases(answer: &Answer) -> Vec<String> {
    answer.rows.iter().map(|r| format!("{} if {}: {}", r.verdict, r.values.join(" and "), r.text)).collect()
}

fn settings(answer: &Answer) -> Vec<String> {
    let all = answer.recipe.iter().flat_map(|r| r.settings.values());
    all.filter_map(|v| v.get("text")?.as_str()).map(str::to_owned).collect()
}

fn quantities(answer: &Answer) -> Vec<String> {
    answer.recipe.iter().flat_map(|r| &r.quantities).map(|q| q.text.clone()).collect()
}

/// Only what matters, with the verdict that it may turn to.
fn assumed(answer: &Answer) -> Vec<String> {
    let all = answer.assumed.iter().filter(|a| a.matters && !a.text.is_empty());
    let one = |a: &super::Assumed| match a.changes_to {
        Some(verdict) => format!("{} (otherwise it may be {verdict})", a.text),
        None => a.text.clone(),
    };
    all.map(one).collect()
}
