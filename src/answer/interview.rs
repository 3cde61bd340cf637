//! The next question about an open job: the one whose answer settles it soonest, with what each answer leads to.
//!
//! Nothing is kept between two questions: an answer is a statement like any other, and the next call takes it along.

use super::branches::{hidden_question, in_words};
use super::build::{Context, answer};
use super::facts::{Fact, Value, facts, values};
use super::teller::Teller;
use super::words::{Units, domain_of};
use super::{Answer, Lead};
use crate::contract::{Detail, FOUND, SCHEMA};
use crate::job::{Domain, JobSet, Slot};
use crate::model::Mask;
use crate::program::Program;
use crate::reason::decide::{Code, Decision, Options, Verdict, decide, judge};
use crate::reason::evaluate::{Evaluation, Truth};
use crate::reason::outlook::{given, is_settled, pivot, signature};
use crate::statement::{Finding, Place, Stated, Statement};
use serde::Serialize;

/// What an interview comes to next.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Something is still to be asked.
    Ask(Box<Ask>),
    /// Nothing that could be asked would change the verdict, but for what was taken for granted.
    Done(Box<Answer>),
}

/// A question, and what its answers lead to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ask {
    /// Version of the contract.
    pub schema: i64,
    /// The attribute that is asked for; the thing and its property for a value of the knowledge that differs from item to
    /// item or that nobody wrote down.
    pub attribute: String,
    /// Its key in the JSON job, where it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub key: Option<String>,
    /// Its layer, counted from the cloth, where it is one of a layer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layer: Option<usize>,
    /// The question.
    pub ask: String,
    /// Likely answers, by what they lead to.
    pub options: Vec<Choice>,
    /// There are answers that are not listed.
    pub others: bool,
    /// Two complete jobs that differ in this fact and what goes with it: the first works, the second does not.
    #[serde(skip)]
    pub proof: Box<[JobSet; 2]>,
    /// Where an answer is kept.
    #[serde(skip)]
    pub place: Place,
}

/// Answers that lead to the same.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// The answers in words.
    pub values: Vec<String>,
    /// The same as in a JSON job.
    pub json: Vec<serde_json::Value>,
    /// The verdict then; none where more is asked.
    pub leads_to: Option<&'static str>,
    /// What decides then.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// What is said with any of them.
    #[serde(skip)]
    pub said: Stated,
    /// What is said with each.
    #[serde(skip)]
    pub each: Vec<Stated>,
}

/// Facts that are compared.
const FACTS: usize = 12;

/// Complete jobs in which a fact is given its values, to see whether it can matter.
const POINTS: usize = 10;

/// Values of another fact that are looked at two questions ahead.
const AHEAD: usize = 8;

/// An answer that settles the job less often than this, in thousandths, is held against what two would settle.
const OFTEN: u32 = 250;

/// Possible jobs that are looked at for one group of answers.
const BUDGET: u32 = 120;

/// The next step of the interview about a job.
pub fn interview(context: Context<'_>, stated: &Stated) -> Step {
    let options = Options { explore: false, rows: true, ..context.options };
    let decision = decide(context.program, stated, options);
    match next_question(context, stated, &decision) {
        Some(ask) => Step::Ask(Box::new(ask)),
        None => {
            let mut answer = answer(Context { detail: Detail::Full, ..context }, stated);
            answer.lead = Lead::Facts;
            Step::Done(Box::new(answer))
        }
    }
}

/// The question that settles an open job soonest; nothing where none does.
pub(super) fn next_question(context: Context<'_>, stated: &Stated, decision: &Decision) -> Option<Ask> {
    if decision.verdict != Verdict::Depends || decision.code == Code::Contradiction {
        return None;
    }
    let program = context.program;
    let e = Evaluation::new(program, &decision.job);
    let teller = Teller { program, stated, decision, e: &e, units: Units::of(&program.model, stated, context.units) };
    // What was spoken of is not asked for again, be it that nobody knows.
    let asked = |f: &Fact| match f.place(program) {
        Some(Place::Attribute(id, layer)) => {
            let can = id.of(&program.model).is_some_and(|a| a.ask.is_some());
            can && !stated.bars_assumption(id, layer, &program.model)
        }
        Some(Place::Value(entity, property)) => !stated.finds(entity, property),
        None => false,
    };
    let all: Vec<Fact> = facts(&teller).into_iter().filter(asked).take(FACTS).collect();
    let mut open: Vec<Candidate> = all.iter().filter_map(|f| candidate(&teller, f)).collect();
    if open.iter().all(|c| c.settles < OFTEN) {
        let ahead: Vec<u32> = open.iter().map(|c| c.settles + settles_ahead(program, c, &all)).collect();
        open.iter_mut().zip(ahead).for_each(|(c, a)| c.settles = a);
    }
    // What has to be looked up or tried comes after what the order says; the vocabulary's order decides between equals.
    let order =
        |c: &Candidate| (c.fact.attribute.is_none(), std::cmp::Reverse(c.settles), c.fact.attribute, c.fact.layer);
    let best = open.into_iter().min_by_key(order)?;
    told(&teller, best)
}

/// A fact that can matter, and its answers by what they lead to.
struct Candidate {
    fact: Fact,
    groups: Vec<Group>,
    /// How often an answer settles the job, in thousandths.
    settles: u32,
    proof: Box<[JobSet; 2]>,
}

/// Answers that lead to the same.
struct Group {
    values: Vec<Domain>,
    /// All of them together.
    whole: Domain,
    set: JobSet,
    weight: u32,
    verdict: Option<Verdict>,
    text: String,
}

/// A fact with its groups; nothing where no two complete jobs show that it can matter.
fn candidate(teller: &Teller<'_>, fact: &Fact) -> Option<Candidate> {
    let set = &teller.decision.job;
    let all = values(teller.program, set, fact);
    let place = (fact.slot, fact.layer);
    let groups = groups(teller, place, all);
    let likely: Vec<Domain> = groups.iter().flat_map(|g| g.values.iter().take(3)).cloned().collect();
    let rows = teller.decision.rows.iter().map(|r| &r.witness);
    let points = teller.decision.accepted.iter().chain(&teller.decision.refused).chain(rows);
    let points: Vec<&JobSet> = points.take(POINTS).collect();
    let proof = pivot(teller.program, &points, set, place, &likely)?;
    let settles = groups.iter().filter(|g| g.verdict.is_some()).map(|g| g.weight).sum();
    Some(Candidate { fact: *fact, groups, settles, proof })
}

/// The values of a fact, those together that do the same. What a group leads to is decided of all of it.
fn groups(teller: &Teller<'_>, place: (Slot, usize), all: Vec<Value>) -> Vec<Group> {
    let (program, set) = (teller.program, &teller.decision.job);
    let mut alike: Vec<(Vec<Truth>, Vec<Value>)> = Vec::new();
    for value in all {
        let Some(part) = given(program, set, place, &value.domain) else { continue };
        let own = signature(&Evaluation::new(program, &part));
        match alike.iter_mut().find(|a| a.0 == own && joined(&a.1, &value).is_some()) {
            Some(known) => known.1.push(value),
            None => alike.push((own, vec![value])),
        }
    }
    let mut groups: Vec<Group> = Vec::new();
    for group in alike.into_iter().filter_map(|(_, values)| group(teller, place, &values)) {
        // Those of which more is asked are told together.
        let same = groups.iter_mut().find(|g| g.verdict.is_none() && group.verdict.is_none());
        match same.and_then(|g| Some((union(&g.whole, &group.whole)?, g))) {
            Some((whole, known)) => {
                known.values.extend(group.values);
                known.weight += group.weight;
                known.set = given(program, set, place, &whole).unwrap_or_else(|| set.clone());
                known.whole = whole;
            }
            None => groups.push(group),
        }
    }
    groups.sort_by_key(|g| std::cmp::Reverse(g.weight));
    groups
}

fn group(teller: &Teller<'_>, place: (Slot, usize), values: &[Value]) -> Option<Group> {
    let (first, rest) = values.split_first()?;
    let whole = rest.iter().try_fold(first.domain.clone(), |w, v| union(&w, &v.domain))?;
    let set = given(teller.program, &teller.decision.job, place, &whole)?;
    let judged = judge(teller.program, set.clone(), false, &mut BUDGET.clone());
    let there = Evaluation::new(teller.program, &set);
    let text = judged.causes.first().map_or(String::new(), |c| teller.cause(&there, c).text);
    let verdict = (judged.verdict != Verdict::Depends).then_some(judged.verdict);
    let weight = values.iter().map(|v| v.weight).sum();
    Some(Group { values: values.iter().map(|v| v.domain.clone()).collect(), whole, set, weight, verdict, text })
}

fn joined(values: &[Value], other: &Value) -> Option<Domain> {
    values.first().and_then(|v| union(&v.domain, &other.domain))
}

/// What leaves possible what either does; nothing where that would leave more.
fn union(a: &Domain, b: &Domain) -> Option<Domain> {
    match (a, b) {
        (Domain::Choice(a), Domain::Choice(b)) => Some(Domain::Choice(a.or(*b))),
        // None at all is an answer of its own.
        (Domain::Set { may: a, .. }, Domain::Set { may: b, .. }) if !a.is_empty() && !b.is_empty() => {
            Some(Domain::Set { must: Mask::EMPTY, may: a.or(*b) })
        }
        _ => None,
    }
}

/// How often two answers settle what one of this fact does not, in thousandths: for each group of its answers, by the
/// other fact that settles it most often.
fn settles_ahead(program: &Program, own: &Candidate, all: &[Fact]) -> u32 {
    let others = || all.iter().filter(|f| (f.slot, f.layer) != (own.fact.slot, own.fact.layer));
    let of = |g: &Group| {
        let best = others().map(|f| often_settled(program, &g.set, f)).max().unwrap_or(0);
        g.weight * best / 1000
    };
    own.groups.iter().filter(|g| g.verdict.is_none()).take(3).map(of).sum()
}

/// How often a fact settles a set as far as evaluation alone shows, in thousandths.
fn often_settled(program: &Program, set: &JobSet, fact: &Fact) -> u32 {
    let mut likely = values(program, set, fact);
    likely.sort_by_key(|v| std::cmp::Reverse(v.weight));
    let settled = |v: &&Value| {
        let part = given(program, set, (fact.slot, fact.layer), &v.domain);
        part.is_some_and(|p| is_settled(&Evaluation::new(program, &p)))
    };
    likely.iter().take(AHEAD).filter(settled).map(|v| v.weight).sum()
}

fn told(teller: &Teller<'_>, candidate: Candidate) -> Option<Ask> {
    let Candidate { fact, groups, proof, .. } = candidate;
    let program = teller.program;
    let (place, ty) = (fact.place(program)?, fact.ty(program)?);
    let say = |domain: Domain, words: String| -> Stated {
        match place {
            Place::Attribute(attribute, layer) => Statement { attribute, layer, domain, words }.into(),
            Place::Value(entity, property) => Finding { entity, property, domain, words }.into(),
        }
    };
    let option = |g: Group| {
        let values: Vec<String> = g.values.iter().map(|d| in_words(teller, &fact, d)).collect();
        Choice {
            json: g.values.iter().map(|d| domain_of(program, ty, d).1).collect(),
            leads_to: g.verdict.map(Verdict::word),
            text: g.text,
            said: say(g.whole, values.join(", ")),
            each: g.values.into_iter().zip(values.clone()).map(|(d, words)| say(d, words)).collect(),
            values,
        }
    };
    let own = fact.attribute.and_then(|id| id.of(&program.model));
    let (attribute, key, ask) = match own {
        Some(a) => (a.name.clone(), a.json.clone(), a.ask.clone()?),
        None => {
            let (name, ask) = hidden_question(teller, fact.slot)?;
            (name.clone(), Some(format!("{FOUND}.{name}")), ask)
        }
    };
    Some(Ask {
        schema: SCHEMA,
        attribute,
        key,
        layer: own.is_some_and(|a| a.per_layer).then_some(fact.layer),
        ask,
        others: !matches!(
            teller.decision.job.domain(fact.slot, fact.layer),
            Some(Domain::Choice(_) | Domain::YesNo { .. } | Domain::Number { .. })
        ),
        options: groups.into_iter().map(option).collect(),
        proof,
        place,
    })
}
