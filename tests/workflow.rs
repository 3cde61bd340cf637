//! What a shop must settle for every order, from the enquiry to what is learnt of it: `workflow/questions.yaml` tells
//! for each matter which question settles it and what the answer must say, or why none does.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "house/load.rs"]
mod load;

use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use washfast::Knowledge;
use washfast::answer::Answer;
use washfast::knowledge::Reply;
use washfast::render;

/// The matters that are answered. A lost one fails; raise it with each that is won.
const ANSWERED: usize = 57;

/// One matter of the workflow: exactly one of `ask`, `outside` and `later`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Matter {
    stage: String,
    /// The matter, as a question of the shop.
    matter: String,
    /// The question that settles it for one job.
    ask: Option<String>,
    /// The question is planned by the example shop, which has prices.
    #[serde(default)]
    plan: bool,
    /// The verdict of the answer, where it has one.
    verdict: Option<String>,
    /// Codes of rules or words that the answer must hold.
    #[serde(default)]
    says: Vec<String>,
    /// Why it is none of the program's business.
    outside: Option<String>,
    /// What is not computed yet.
    later: Option<String>,
}

fn matters() -> Vec<Matter> {
    serde_yaml::from_str(include_str!("workflow/questions.yaml")).expect("the table")
}

/// Words on one line, so that line breaks do not matter.
fn line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Codes that hold for the job as asked. A caution for another market or wearer says nothing of this one.
fn codes(answer: &Answer) -> BTreeSet<&str> {
    let cautions = answer.cautions.iter().chain(&answer.advice).filter(|s| s.when.is_none());
    let said = answer.conditions.iter().chain(cautions).map(|s| s.code.as_str());
    let bounds = answer.reasons.iter().flat_map(|r| &r.because).filter_map(|b| b.rule.as_deref());
    let reasons = answer.reasons.iter().map(|r| r.code.as_str()).chain(bounds);
    said.chain(reasons).chain(answer.rows.iter().map(|r| r.code.as_str())).chain([answer.code]).collect()
}

/// What is wrong with the answer to a matter.
fn wrong(knowledge: &Knowledge, matter: &Matter, ask: &str) -> Vec<String> {
    let plan = matter.plan.then(|| load::yard().plan_question(ask).unwrap_or_else(|p| panic!("{ask}: {p}")));
    let reply = knowledge.ask(ask);
    let (text, codes, verdict) = match &reply {
        Ok(Reply::Answer(a)) if plan.is_some() => {
            (plan.iter().map(|p| render::plan_at(p, usize::MAX)).collect(), codes(a), Some(a.verdict))
        }
        Ok(Reply::Answer(a)) => (render::text(a), codes(a), Some(a.verdict)),
        Ok(Reply::Ranking(r)) => (render::ranking_at(r, usize::MAX), BTreeSet::new(), None),
        Ok(Reply::Page(lines)) => (lines.join("\n"), BTreeSet::new(), None),
        Ok(other) => (format!("{other:?}"), BTreeSet::new(), None),
        // What is not clear is asked about.
        Err(problems) => {
            let said = |p: &washfast::diagnostic::Problem| format!("{p}; {}", p.help.clone().unwrap_or_default());
            (problems.list().iter().map(said).collect(), BTreeSet::new(), None)
        }
    };
    let mut wrong = Vec::new();
    if verdict != matter.verdict.as_deref() {
        wrong.push(format!("{ask}: verdict {verdict:?}, not {:?}", matter.verdict));
    }
    let text = line(&text);
    for said in &matter.says {
        if !codes.contains(said.as_str()) && !text.contains(&line(said)) {
            wrong.push(format!("{ask}: `{said}` is not said in: {text}"));
        }
    }
    wrong
}

#[test]
fn every_answer_settles_its_matter() {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge");
    let matters = matters();
    let wrong: Vec<String> = matters
        .iter()
        .filter_map(|m| Some((m, m.ask.as_deref()?)))
        .flat_map(|(matter, ask)| wrong(&knowledge, matter, ask))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_matter_is_answered_or_says_why_not() {
    let matters = matters();
    assert_eq!(matters.len(), 64);
    let mut seen = BTreeSet::new();
    for m in &matters {
        let ways = [m.ask.is_some(), m.outside.is_some(), m.later.is_some()];
        assert_eq!(ways.iter().filter(|w| **w).count(), 1, "{}: one of ask, outside and later", m.matter);
        assert_eq!(m.ask.is_some(), !m.says.is_empty(), "{}: what is asked says something", m.matter);
        assert!(m.verdict.is_none() || m.ask.is_some(), "{}: a verdict without a question", m.matter);
        assert!(m.says.iter().all(|s| s.len() > 4), "{}: too short a word to be looked for", m.matter);
        for reason in m.outside.iter().chain(&m.later) {
            assert!(reason.split_whitespace().count() > 4, "{}: why is not said", m.matter);
        }
        if let Some(later) = &m.later {
            assert!(later.starts_with("not computed yet: "), "{}: what is missing is not named", m.matter);
        }
        assert!(seen.insert(m.matter.as_str()), "{}: twice", m.matter);
        assert!(m.ask.as_deref().is_none_or(|ask| seen.insert(ask)), "{:?}: asked twice", m.ask);
    }
}

#[test]
fn as_many_are_answered_as_ever() {
    let matters = matters();
    assert_eq!(matters.iter().filter(|m| m.ask.is_some()).count(), ANSWERED);
    let mut stages: BTreeMap<&str, usize> = BTreeMap::new();
    for m in &matters {
        *stages.entry(m.stage.as_str()).or_default() += usize::from(m.ask.is_some());
    }
    assert_eq!(stages.len(), 12, "{stages:?}");
}
