//! What may be behind a failure: the rules that prevent it and that the job does not exclude, likeliest first.

use super::branches::hidden_question;
use super::build::Context;
use super::facts::{Fact, note, values};
use super::reasons::value_words;
use super::teller::Teller;
use super::words::Units;
use crate::job::{Domain, Slot};
use crate::model::{AttributeType, Effect, End, Entity, Model, Rule, Value};
use crate::program::{Instance, Literal};
use crate::reason::decide::{Cause, Code, Options, Verdict, decide};
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::reason::explain::explain;
use crate::reason::hangs::hangs_on;
use crate::reason::split::{propagate, slot_of};
use crate::statement::Stated;
use std::cmp::Reverse;

/// How near a cause lies, the nearest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Near {
    /// The job, as it is described, breaks the rule.
    Broken,
    /// The rule calls for something of this job; whether it was done was not said.
    Called,
    /// The rule may apply, depending on what was not said.
    Open,
    /// The rule applies only if something is other than what goes without saying.
    Unusual,
}

impl Near {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Broken, "So it is here:"),
        (Self::Called, "Such a job calls for this; was it done?"),
        (Self::Open, "It may be this, depending on what was not said:"),
        (Self::Unusual, "It may be this, if something was not as usual:"),
    ];
}

/// A rule that prevents the failure and that the job does not exclude.
struct Suspect<'p> {
    near: Near,
    rule: &'p Rule,
    line: String,
    /// What is not known yet and would show whether it is this.
    hangs_on: Vec<Fact>,
    /// How likely it is that it applies, in thousandths, as far as what is usual tells.
    likely: u32,
}

/// More causes that need something unusual are only counted.
const UNUSUAL: usize = 4;

/// Facts that are given their values, of those that one cause hangs on.
const FACTS: usize = 4;

/// How likely it is that a cause applies of which nothing usual is known.
const EVEN: u32 = 500;

/// Questions that are told at most.
const QUESTIONS: usize = 3;

/// The lines of a diagnosis, what is likeliest first.
pub fn causes_of(context: Context<'_>, stated: &Stated, failure: &str) -> Vec<String> {
    let program = context.program;
    let model = &program.model;
    let options = Options { explore: false, rows: false, ..context.options };
    let units = || Units::of(model, stated, context.units);
    let decision = decide(program, stated, options);
    let e = Evaluation::new(program, &decision.job);
    let teller = Teller { program, stated, decision: &decision, e: &e, units: units() };
    let about = About::of(model, failure);
    let mut lines = vec![format!("{}: {}.", about.entity.map_or(failure, |e| e.name.as_str()), teller.subject())];
    if decision.code == Code::Contradiction {
        lines.extend(teller.reasons().into_iter().map(|r| r.text));
        return lines;
    }
    let mut found = suspects(&teller, &about);
    // What went wrong may lie in what goes without saying.
    // Nothing is looked for there: what surely holds is enough.
    let bare = decide(program, stated, Options { assume: false, budget: 0, ..options });
    let there = Evaluation::new(program, &bare.job);
    let wider = Teller { program, stated, decision: &bare, e: &there, units: units() };
    for mut suspect in suspects(&wider, &about) {
        if !found.iter().any(|s| s.rule.id == suspect.rule.id) {
            suspect.near = Near::Unusual;
            suspect.line.clone_from(&suspect.rule.says);
            found.push(suspect);
        }
    }
    // Of equals the better known.
    found.sort_by_key(|s| (s.near, Reverse(s.likely * weight(&s.rule.effect)), s.rule.origin.basis));
    for (near, title) in Near::ALL {
        let own: Vec<&Suspect<'_>> = found.iter().filter(|s| s.near == near).collect();
        let mut told: Vec<&str> = Vec::new();
        own.iter().for_each(|s| {
            if !told.contains(&s.line.as_str()) {
                told.push(&s.line);
            }
        });
        if told.is_empty() {
            continue;
        }
        lines.push(title.to_owned());
        let most = if near == Near::Unusual { UNUSUAL } else { told.len() };
        lines.extend(told.iter().take(most).map(|l| format!("  - {l}")));
        if told.len() > most {
            lines.push(format!("  - and {} more", told.len() - most));
        }
        let teller = if near == Near::Unusual { &wider } else { &teller };
        lines.extend(questions(teller, &own).into_iter().map(|q| format!("  ask: {q}")));
    }
    let told = about.told(model);
    if found.is_empty() {
        let words = match told.is_empty() {
            true => {
                "No rule that prevents this speaks of such a job: have the print looked at by an experienced printer."
            }
            false => "Nothing that was said of the job points to one cause.",
        };
        lines.push(words.to_owned());
    }
    lines.extend(told);
    lines
}

/// What is known of a failure whatever the job.
struct About<'m> {
    entity: Option<&'m Entity>,
    /// It, and failures of which it is a form: what prevents these prevents it.
    forms_of: Vec<&'m str>,
    /// Failures that the same slip may show as.
    kin: Vec<&'m str>,
}

impl<'m> About<'m> {
    fn of(model: &'m Model, failure: &'m str) -> Self {
        let kind = model.kind("failure");
        let entity = kind.and_then(|k| model.entity(k, failure));
        let named = |property: &str| {
            let fact = entity.and_then(|e| e.facts.get(&model.property(e.kind, property)?));
            let members = fact.and_then(|f| if let Value::Set(members) = f.value { Some(members) } else { None });
            let ids = members.into_iter().flat_map(|m| m.iter().collect::<Vec<_>>());
            ids.filter_map(|m| model.member(entity?.kind, m)).map(|e| e.id.as_str()).collect::<Vec<_>>()
        };
        let forms_of = std::iter::once(failure).chain(named("form_of")).collect();
        Self { entity, forms_of, kin: named("kin") }
    }

    fn told(&self, model: &Model) -> Vec<String> {
        let lines = [
            ("causes", "What mostly lies behind it, whatever the job"),
            ("apart", "What tells these apart"),
            ("rescue", "Whether the goods can be saved"),
            ("next_time", "Next time"),
        ];
        let told = lines.iter().filter_map(|(property, title)| {
            let entity = self.entity?;
            let id = model.property(entity.kind, property)?;
            let fact = entity.facts.get(&id)?;
            let words = value_words(model, model.properties.get(id.index())?.ty, &fact.value);
            Some(format!("{title}: {words} [{}]", fact.origin.basis.words()))
        });
        told.collect()
    }
}

/// What stops a job is more often behind a failure than what it calls for, and that more than what a caution is about.
fn weight(effect: &Effect) -> u32 {
    match effect {
        Effect::Refuse(_) => 4,
        Effect::Require(_) | Effect::Bound { .. } => 2,
        _ => 1,
    }
}

fn suspects<'p>(teller: &Teller<'p>, about: &About<'_>) -> Vec<Suspect<'p>> {
    let (program, e) = (teller.program, teller.e);
    let mut found: Vec<Suspect<'p>> = Vec::new();
    for (index, instance) in program.instances.iter().enumerate() {
        let Some(rule) = program.model.rules.get(usize::from(instance.rule)) else { continue };
        let own = rule.prevents.as_deref().is_some_and(|p| about.forms_of.contains(&p));
        let kin = rule.prevents.as_deref().is_some_and(|p| about.kin.contains(&p));
        if !own && !kin {
            continue;
        }
        for layer in e.frames(program.per(instance)) {
            let crossing = crossing(teller, index as u32, layer);
            let near = crossing.map(|_| Near::Broken).or_else(|| near(teller, rule, instance, layer));
            let Some(near) = near else { continue };
            // Of what else the same slip may show as, only the settings, which every such job must keep to.
            if !(own || near <= Near::Called && matches!(rule.effect, Effect::Bound { .. })) {
                continue;
            }
            let Some(step) = explain(e, index as u32, layer) else { continue };
            let text = match crossing {
                Some(cause) => teller.cause(e, cause).text,
                None => teller.step(e, &step, 0).text,
            };
            let bound = step.value.filter(|_| crossing.is_none()).and_then(|v| bound_words(teller, rule, v));
            let given = (near == Near::Broken && crossing.is_none()).then(|| given(teller, rule, layer)).flatten();
            let line = match text {
                text if text.is_empty() || text == rule.says => rule.says.clone(),
                text => {
                    let bound = bound.map(|b| format!("{b}: ")).unwrap_or_default();
                    let given = given.map(|g| format!(", but {g} was given")).unwrap_or_default();
                    format!("{} Here: {bound}{text}{given}", rule.says)
                }
            };
            let hangs_on = unknown(teller, instance, layer, near);
            let likely = likely(teller, instance, layer, &hangs_on);
            found.push(Suspect { near, rule, line, hangs_on, likely });
        }
    }
    found
}

/// The window that a bound leaves without any value: whatever is chosen, it or the other end is not kept to.
fn crossing<'t>(teller: &'t Teller<'_>, index: u32, layer: usize) -> Option<&'t Cause> {
    let by = Some((index, layer));
    let causes = (teller.decision.verdict == Verdict::No).then_some(&teller.decision.causes)?;
    causes.iter().find(|c| matches!(c, Cause::Window { low: Some(low), high: Some(high), .. } if Some(*low) == by || Some(*high) == by))
}

/// How near a rule is; nothing where it is excluded, kept to, or no slip can lie in it.
fn near(teller: &Teller<'_>, rule: &Rule, instance: &Instance, layer: usize) -> Option<Near> {
    let truth = teller.e.fires(instance, layer);
    match (&rule.effect, truth) {
        (_, Truth::False) => None,
        (Effect::Derive { .. } | Effect::Exclude(_) | Effect::Support { .. } | Effect::Do(_), _) => None,
        (Effect::Bound { setting, end, .. }, truth) => {
            let value = instance.value.as_ref().map(|v| teller.e.number(v, layer))?;
            let kept = match teller.e.domain(slot_of(teller.program, *setting), layer) {
                Some(Domain::Number { low, high }) if teller.stated.mentions(*setting, layer) => match end {
                    End::Low => within(*low >= value.high, *high < value.low),
                    End::High => within(*high <= value.low, *low > value.high),
                },
                _ => Truth::Open,
            };
            match (kept, truth) {
                (Truth::True, _) => None,
                (Truth::False, Truth::True) => Some(Near::Broken),
                (Truth::Open, Truth::True) => Some(Near::Called),
                _ => Some(Near::Open),
            }
        }
        (_, Truth::Open) => Some(Near::Open),
        (Effect::Refuse(_), Truth::True) => Some(Near::Broken),
        (Effect::Require(_) | Effect::Note { .. }, Truth::True) => Some(Near::Called),
    }
}

fn within(surely: bool, never: bool) -> Truth {
    match (surely, never) {
        (true, _) => Truth::True,
        (false, true) => Truth::False,
        (false, false) => Truth::Open,
    }
}

/// What a rule sets an end to, and where: `film temperature at least 150 °C`.
fn bound_words(teller: &Teller<'_>, rule: &Rule, value: Interval) -> Option<String> {
    let Effect::Bound { setting, end, .. } = &rule.effect else { return None };
    let attribute = setting.of(&teller.program.model)?;
    let AttributeType::Setting(dimension) = attribute.ty else { return None };
    let words = teller.quantity(value, dimension);
    let which = if matches!(end, End::Low) { "at least" } else { "at most" };
    Some(format!("{} {which} {words}", attribute.label))
}

/// What was said of the setting that a rule sets an end to.
fn given(teller: &Teller<'_>, rule: &Rule, layer: usize) -> Option<String> {
    let Effect::Bound { setting, .. } = &rule.effect else { return None };
    let mut own = teller.stated.statements.iter().rev().filter(|s| s.attribute == *setting && s.layer == layer);
    own.next().map(|s| s.words.clone())
}

/// The facts that show whether it is this.
fn unknown(teller: &Teller<'_>, instance: &Instance, layer: usize, near: Near) -> Vec<Fact> {
    let program = teller.program;
    let mut found: Vec<Fact> = Vec::new();
    let mut add = |slot: Slot, layer: usize, literal: Option<Literal>| note(program, &mut found, slot, layer, literal);
    let rule = program.model.rules.get(usize::from(instance.rule));
    if let (Near::Called, Some(Effect::Bound { setting, .. })) = (near, rule.map(|r| &r.effect)) {
        add(slot_of(program, *setting), layer, None);
    }
    if near == Near::Open {
        for literal in instance.clauses.iter().filter(|c| teller.e.clause(c, layer) == Truth::Open).flatten() {
            hangs_on(teller.e, *literal, layer).into_iter().for_each(|(s, l)| add(s, l, Some(*literal)));
        }
    }
    found
}

/// How likely a rule is to apply: each fact that it hangs on is given its values, as usual as they are, and what comes
/// of it is taken in the middle.
fn likely(teller: &Teller<'_>, instance: &Instance, layer: usize, hangs_on: &[Fact]) -> u32 {
    let each = hangs_on.iter().take(FACTS).filter_map(|fact| {
        let (mut fires, mut all) = (0, 0);
        for value in values(teller.program, &teller.decision.job, fact) {
            let mut job = teller.decision.job.clone();
            let own = job.domain_mut(fact.slot, fact.layer)?;
            *own = own.and(&value.domain);
            if !propagate(teller.program, &mut job) {
                continue;
            }
            all += value.weight;
            fires += match Evaluation::new(teller.program, &job).fires(instance, layer) {
                Truth::True => value.weight,
                Truth::Open => value.weight / 2,
                Truth::False => 0,
            };
        }
        (fires * 1000).checked_div(all)
    });
    let each: Vec<u32> = each.collect();
    let count = u32::try_from(each.len()).unwrap_or(u32::MAX);
    each.iter().sum::<u32>().checked_div(count).unwrap_or(EVEN)
}

/// The questions that tell these causes apart: first the one that most of them hang on, then the one that most of the
/// rest do.
fn questions(teller: &Teller<'_>, suspects: &[&Suspect<'_>]) -> Vec<String> {
    let asked: Vec<Vec<String>> =
        suspects.iter().map(|s| s.hangs_on.iter().filter_map(|f| question(teller, f)).collect()).collect();
    let mut left: Vec<&Vec<String>> = asked.iter().filter(|q| !q.is_empty()).collect();
    let mut told: Vec<String> = Vec::new();
    while told.len() < QUESTIONS {
        let mut best: Option<(usize, &String)> = None;
        for q in left.iter().flat_map(|own| own.iter()) {
            let count = left.iter().filter(|own| own.contains(q)).count();
            // Of equals the first, as the causes are told.
            if best.is_none_or(|b| count > b.0) {
                best = Some((count, q));
            }
        }
        let Some((_, question)) = best else { break };
        told.push(question.clone());
        left.retain(|own| !own.contains(question));
    }
    told
}

/// How a fact is asked for; nothing where that was answered, be it that nobody knows.
fn question(teller: &Teller<'_>, fact: &Fact) -> Option<String> {
    let model = &teller.program.model;
    let Some(id) = fact.attribute else { return hidden_question(teller, fact.slot).map(|q| q.1) };
    let attribute = id.of(model)?;
    if teller.stated.bars_assumption(id, fact.layer, model) {
        return None;
    }
    match &attribute.ask {
        Some(ask) => Some(ask.clone()),
        None if matches!(attribute.ty, AttributeType::Setting(_)) => {
            Some(format!("What was it: {} ({})?", attribute.label, attribute.says))
        }
        None => None,
    }
}
