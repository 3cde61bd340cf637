//! Jobs that differ in one thing, each decided, the best first.

use super::altered::{attributes, materials, pure_blend};
use super::build::{Context, answer, knowledge};
use super::reasons::value_words;
use super::wish::{Heard, heard, misses};
use super::words::OPENERS;
use super::{Answer, Branch, KnowledgeId, Said};
use crate::contract::SCHEMA;
use crate::job::Domain;
use crate::model::{
    AttributeId, AttributeType, Basis, Entity, EntityId, KindId, Mask, Model, PropertyId, Role, Value, WHERE, Wish,
};
use crate::reason::decide::{Options, decide};
use crate::reason::evaluate::{Evaluation, Truth};
use crate::statement::{Stated, Statement};
use rayon::prelude::*;
use serde::Serialize;

/// What a ranking goes through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// Every material that can be the layer on top.
    Materials,
    /// Cloth of every pure fibre.
    Cloths,
}

/// Several jobs, the best first.
#[derive(Debug, Clone, Serialize)]
pub struct Ranking {
    /// Version of the contract.
    pub schema: i64,
    /// What they have in common, in words.
    pub subject: String,
    /// How they were chosen from all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chosen: Option<Chosen>,
    /// How words that can mean several things were taken.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub taken_as: Vec<String>,
    /// What they are ordered by, the first first.
    pub ordered_by: Vec<String>,
    /// Each with its verdict.
    pub rows: Vec<Ranked>,
    /// Which knowledge answered.
    pub knowledge: KnowledgeId,
}

/// How some of several were chosen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Chosen {
    /// The condition, as it was asked.
    pub by: String,
    /// How many do not meet it.
    pub left_out: usize,
}

/// One of several jobs.
#[derive(Debug, Clone, Serialize)]
pub struct Ranked {
    /// What sets it apart.
    pub name: String,
    /// The verdict.
    pub verdict: &'static str,
    /// Its code.
    pub code: &'static str,
    /// Why it stands where it does, in a few words: its conditions, and what sets it apart from others.
    pub why: String,
    /// How it stands to what was wished.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wished: Vec<Heard>,
    /// What decides, in words.
    pub text: String,
    /// What must be done for it to work.
    pub conditions: Vec<Said>,
    /// All of that is a base that the sheet lays, which is work at the press as any other.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub only_a_base: bool,
    /// What can hurt people.
    pub cautions: Vec<Said>,
    /// The weakest basis among what decides.
    pub evidence: &'static str,
}

/// What decides which of several stands before another, the first first.
fn ordered_by(wishes: &[&Wish]) -> Vec<String> {
    let wished = wishes.iter().map(|w| w.name.as_str()).collect::<Vec<_>>().join(" and ");
    let fit = (!wishes.is_empty()).then(|| format!("fit to what was asked ({wished})"));
    let plain = |s: &str| s.to_owned();
    ["verdict", "fewest conditions but for a base that the sheet lays"]
        .map(plain)
        .into_iter()
        .chain(fit)
        .chain(["how usual it is", "evidence"].map(plain))
        .collect()
}

/// The attribute whose members a ranking goes through.
pub fn ranked_attribute(model: &Model, over: Over) -> Option<AttributeId> {
    match over {
        Over::Materials => materials(model).next().map(|m| m.0),
        Over::Cloths => blends(model).next().map(|b| b.0),
    }
}

/// Decides a job once for each member that the open place can take. Where the program holds a rule of the id
/// [`WHERE`], only those for which it may hold are kept; what is not known of one is told with it.
pub fn rank(context: Context<'_>, stated: &Stated, over: Over, wishes: &[&Wish]) -> Ranking {
    let context = Context { options: Options { brief: true, ..context.options }, ..context };
    let model = &context.program.model;
    let chosen = model.rules.iter().position(|r| r.id == WHERE);
    let statements: Vec<Statement> = match over {
        Over::Materials => materials(model).flat_map(|(id, kind)| top_layers(model, id, kind, stated)).collect(),
        Over::Cloths => blends(model).take(1).flat_map(|(id, kind)| pure(model, id, kind)).collect(),
    };
    let row = |statement: &Statement| {
        let mut job = stated.clone();
        job.statements.push(statement.clone());
        let holds = chosen.map_or(Truth::True, |rule| holds(context, &job, rule));
        if holds == Truth::False {
            return None;
        }
        let mut row = ranked(statement.words.clone(), judged(context, &job, over, wishes), answer(context, &job));
        if let (Truth::Open, Some(rule)) = (holds, chosen.and_then(|r| model.rules.get(r))) {
            let asked = format!("whether {} is not known", rule.says);
            row.text = [asked, row.text].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join("; ");
        }
        Some(row)
    };
    let rows: Vec<Ranked> = statements.par_iter().filter_map(row).collect();
    let left_out = statements.len() - rows.len();
    let usual = match over {
        Over::Materials => materials(model).flat_map(|(id, kind)| usual_of(model, id, kind)).collect(),
        Over::Cloths => blends(model).take(1).flat_map(|(id, kind)| usual_of(model, id, kind)).collect(),
    };
    let mut ranking = ordered(context, rows, usual, wishes);
    ranking.chosen = chosen.and_then(|r| model.rules.get(r)).map(|r| Chosen { by: r.says.clone(), left_out });
    ranking
}

/// Whether a rule applies to the top layer of a job.
fn holds(context: Context<'_>, stated: &Stated, rule: usize) -> Truth {
    let program = context.program;
    let decision = decide(program, stated, Options { explore: false, rows: false, ..context.options });
    let e = Evaluation::new(program, &decision.job);
    let own = program.instances.iter().filter(|i| usize::from(i.rule) == rule);
    own.fold(Truth::False, |truth, instance| {
        let top = e.frames(program.per(instance)).last().unwrap_or(0);
        truth.or(e.fires(instance, top))
    })
}

fn usual_of(model: &Model, id: AttributeId, kind: KindId) -> Vec<&str> {
    let usual = id.of(model).map(|a| a.usual.as_slice()).unwrap_or_default();
    usual.iter().filter_map(|u| model.member(kind, usize::try_from(*u).ok()?)).map(|e| e.name.as_str()).collect()
}

/// Sets jobs side by side, the best first.
pub fn compare(context: Context<'_>, jobs: &[(String, Stated)], wishes: &[&Wish]) -> Ranking {
    let row = |(name, stated): &(String, Stated)| {
        ranked(name.clone(), judged(context, stated, Over::Materials, wishes), answer(context, stated))
    };
    ordered(context, jobs.iter().map(row).collect(), Vec::new(), wishes)
}

/// By verdict, then what asks for least but for a base that the sheet lays, then what fits best to what was wished, then
/// what shops usually have, then what is known best, then as they came.
fn ordered(context: Context<'_>, mut rows: Vec<Ranked>, usual: Vec<&str>, wishes: &[&Wish]) -> Ranking {
    let model = &context.program.model;
    let laid = |c: &Said| model.rules.iter().any(|rule| rule.id == c.code && !rule.lays.is_empty());
    let verdict = |verdict: &str| ["yes", "yes-if", "depends", "no"].iter().position(|v| *v == verdict);
    for r in &mut rows {
        r.only_a_base = r.verdict == "yes-if" && r.conditions.iter().all(laid);
    }
    rows.sort_by_cached_key(|r| {
        // What must be done is no matter where it cannot be done.
        let conditions = if r.verdict == "yes-if" { r.conditions.iter().filter(|c| !laid(c)).count() } else { 0 };
        let place = usual.iter().position(|u| *u == r.name).unwrap_or(usual.len());
        let fit: Vec<_> = r.wished.iter().map(|w| w.fit).collect();
        let verdict = if r.only_a_base { verdict("yes") } else { verdict(r.verdict) };
        (verdict, r.code == "not-known", conditions, misses(&r.wished), fit, place, Basis::of(r.evidence))
    });
    let knowledge = knowledge(context.program);
    Ranking {
        schema: SCHEMA,
        subject: String::new(),
        chosen: None,
        taken_as: Vec::new(),
        ordered_by: ordered_by(wishes),
        rows,
        knowledge,
    }
}

/// How a thing stands to what was wished, and what else sets it apart.
fn judged(context: Context<'_>, stated: &Stated, over: Over, wishes: &[&Wish]) -> (Vec<Heard>, Vec<String>) {
    let own = compared(&context.program.model, stated, over);
    let wished = wishes.iter().map(|w| heard(&context.program.model, w, own)).collect();
    (wished, traits(context, own, wishes))
}

/// What sets the material on top, or the cloth, apart from others, as the vocabulary tells its properties.
fn traits(context: Context<'_>, own: Option<EntityId>, wishes: &[&Wish]) -> Vec<String> {
    let model = &context.program.model;
    let Some(own) = own.and_then(|id| model.entities.get(id.index())) else {
        return Vec::new();
    };
    let told = model.properties.iter().enumerate().filter(|(_, p)| p.kind == own.kind).filter_map(|(index, p)| {
        let words = p.told.ranked.as_ref().filter(|_| !wishes.iter().any(|w| w.property.index() == index))?;
        let value = &own.facts.get(&PropertyId(index as u16))?.value;
        match value {
            Value::None | Value::Unknown | Value::YesNo(false) => None,
            Value::YesNo(true) => Some(words.clone()),
            Value::Disputed { plan, .. } => {
                Some(words.replace("{}", &format!("about {}", value_words(model, p.ty, &Value::Quantity(*plan)))))
            }
            value => Some(words.replace("{}", &value_words(model, p.ty, value))),
        }
    });
    told.collect()
}

/// The thing by which jobs of a ranking differ: the material on top, or the one fibre of the cloth.
pub(super) fn compared(model: &Model, stated: &Stated, over: Over) -> Option<EntityId> {
    let top = stated.layers.saturating_sub(1);
    let said = |id: AttributeId, layer: usize| {
        stated.statements.iter().rev().find(|s| s.attribute == id && s.layer == layer).map(|s| &s.domain)
    };
    let (kind, member) = match over {
        Over::Materials => materials(model).find_map(|(id, kind)| match said(id, top)? {
            Domain::Choice(one) => Some((kind, one.only()?)),
            _ => None,
        })?,
        Over::Cloths => blends(model).find_map(|(id, kind)| match said(id, 0)? {
            Domain::Amounts(a) => Some((kind, a.ranges.iter().position(|r| r.0 > 0)?)),
            _ => None,
        })?,
    };
    let own = |e: &Entity| e.kind == kind && e.ordinal == Some(member);
    model.entities.iter().position(own).map(|index| EntityId(index as u16))
}

fn ranked(name: String, (wished, traits): (Vec<Heard>, Vec<String>), answer: Answer) -> Ranked {
    let conditions = match (answer.verdict, answer.conditions.len()) {
        ("yes", _) => Some("as described".to_owned()),
        ("yes-if", 1) => Some("one condition".to_owned()),
        ("yes-if", n) => Some(format!("{n} conditions")),
        _ => None,
    };
    // What is told of a wish holds a comma.
    let traits = Some(traits.join(", ")).filter(|t| !t.is_empty());
    let apart = if wished.is_empty() { ", " } else { "; " };
    let told = wished.iter().map(Heard::words);
    let why = conditions.into_iter().chain(told).chain(traits).collect::<Vec<_>>().join(apart);
    let text = match answer.verdict {
        "yes" => String::new(),
        "yes-if" => answer.conditions.iter().map(Said::told).collect::<Vec<_>>().join("; "),
        "depends" => {
            let told: Vec<String> = [in_cases(&answer, false), in_cases(&answer, true)].into_iter().flatten().collect();
            // What is asked in every case is asked here as well.
            let always = answer.conditions.iter().filter(|c| c.when.is_none()).map(|c| c.text.clone());
            match told.is_empty() {
                true => first_reason(&answer),
                false => told.into_iter().chain(always).collect::<Vec<_>>().join("; "),
            }
        }
        _ => first_reason(&answer),
    };
    Ranked {
        name,
        verdict: answer.verdict,
        code: answer.code,
        why,
        wished,
        text,
        cautions: answer.cautions.into_iter().filter(|c| c.about.as_deref() == Some("health")).collect(),
        conditions: answer.conditions,
        only_a_base: false,
        evidence: answer.evidence,
    }
}

/// The cases in which it cannot be done, or in which nothing is known of it; of a single one, why.
fn in_cases(answer: &Answer, unknown: bool) -> Option<String> {
    let mut cases: Vec<String> = Vec::new();
    let own = |r: &&Branch| !r.values.is_empty() && (r.verdict != "no" && r.code == "not-known") == unknown;
    for case in answer.rows.iter().filter(own).map(|r| r.values.join(" and ")) {
        if !cases.iter().any(|own| covers(own, &case)) {
            cases.retain(|own| !covers(&case, own));
            cases.push(case);
        }
    }
    let stands = |case: &String| OPENERS.iter().any(|word| case.starts_with(word));
    let lead = |case: &String| if stands(case) { case.clone() } else { format!("if {case}") };
    let (last, before) = cases.split_last()?;
    let before: Vec<String> = before.iter().map(lead).collect();
    let why = answer.rows.iter().filter(own).find(|r| before.is_empty() && r.values.join(" and ") == *last);
    let why = why.map(|r| format!(": {}", r.text)).unwrap_or_default();
    let more = if answer.rows_complete { "" } else { ", and perhaps in other cases" };
    let not = if unknown { "not known" } else { "not" };
    Some(if before.is_empty() {
        format!("{not} {}{why}{more}", lead(last))
    } else {
        format!("{not} {}, or {}{more}", before.join(", "), lead(last))
    })
}

/// Whether a case holds all of another: `the finish is A or B` and `the finish is A`.
fn covers(case: &str, other: &str) -> bool {
    let parts = |text: &str| -> Option<(String, Vec<String>)> {
        let (subject, list) = text.split_once(" is ")?;
        let list = list.replace(" or ", ", ");
        Some((subject.to_owned(), list.split(", ").map(str::to_owned).collect()))
    };
    case == other
        || parts(case)
            .zip(parts(other))
            .is_some_and(|(own, other)| own.0 == other.0 && other.1.iter().all(|part| own.1.contains(part)))
}

fn first_reason(answer: &Answer) -> String {
    let reasons = answer.reasons.iter().map(|r| &r.text);
    reasons.chain(answer.rows.iter().map(|r| &r.text)).next().cloned().unwrap_or_default()
}

fn blends(model: &Model) -> impl Iterator<Item = (AttributeId, KindId)> {
    attributes(model).filter_map(|(id, a)| match a.ty {
        AttributeType::Blend(kind) if a.role == Role::Given => Some((id, kind)),
        _ => None,
    })
}

fn top_layers(model: &Model, attribute: AttributeId, kind: KindId, stated: &Stated) -> Vec<Statement> {
    let layer = stated.layers.saturating_sub(1);
    let one = |m: usize| {
        let words = model.member(kind, m)?.name.clone();
        Some(Statement { attribute, layer, domain: Domain::Choice(Mask::one(m)), words })
    };
    model.everyone(kind).iter().filter_map(one).collect()
}

/// Nothing but one fibre.
fn pure(model: &Model, attribute: AttributeId, kind: KindId) -> Vec<Statement> {
    let everyone = model.everyone(kind);
    let one = |m: usize| {
        let words = model.member(kind, m)?.name.clone();
        let domain = pure_blend(model, kind, m);
        Some(Statement { attribute, layer: 0, domain, words })
    };
    everyone.iter().filter_map(one).collect()
}
