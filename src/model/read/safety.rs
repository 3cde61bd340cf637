//! An overlay tightens what safety and law hang on; it never loosens it.
//!
//! A rule is about safety or law if it notes something about health or law, or prevents a failure that the
//! vocabulary lists under `safety:`. What such a rule reads, an overlay may change only to the safer side, which the
//! vocabulary declares for each property (`safer:`); where it declares none, the value stays as it is.
//! Other rules are free: overlays add rules and take none away, but a value that one derives may keep a rule that is
//! not about safety or law from applying.

use super::Reader;
use super::changes::Replacement;
use crate::diagnostic::{Problem, did_you_mean};
use crate::model::formula::Read;
use crate::model::{AttributeId, Effect, Model, PropertyId, Rule, Safer, Value};
use crate::source::Span;
use rustc_hash::FxHashMap;

/// What rules of safety and law read, each with such a rule.
#[derive(Default)]
struct Guards<'m> {
    properties: FxHashMap<PropertyId, &'m Rule>,
    attributes: FxHashMap<AttributeId, &'m Rule>,
}

/// The guards that the rules of the layers below one set up.
fn guards(model: &Model, depth: usize) -> Guards<'_> {
    let mut guards = Guards::default();
    let below = |r: &&Rule| model.depth(r.origin.span) < depth;
    for rule in model.rules.iter().filter(below).filter(|r| model.is_safety(r)) {
        let mut open = vec![rule];
        while let Some(next) = open.pop() {
            next.reads(&mut |read| match read {
                Read::Property(id) => {
                    guards.properties.entry(id).or_insert(rule);
                }
                Read::Attribute(id, None) => {
                    if let Some((_, property)) = id.of(model).and_then(|a| a.follows) {
                        guards.properties.entry(property).or_insert(rule);
                    }
                    if id.is_derived(model) && !guards.attributes.contains_key(&id) {
                        guards.attributes.insert(id, rule);
                        open.extend(
                            model
                                .rules
                                .iter()
                                .filter(below)
                                .filter(|r| matches!(r.effect, Effect::Derive { attribute, .. } if attribute == id)),
                        );
                    }
                }
                // Settings are the shop's to choose, within windows that further bounds only narrow.
                Read::Attribute(_, Some(_)) => {}
            });
        }
    }
    guards
}

/// Reports what an overlay would loosen, and failures under `safety:` that no rule prevents.
pub(super) fn check(replacements: &[Replacement], safety: &[(String, Span)], model: &Model, reader: &mut Reader) {
    for (failure, span) in safety {
        let mut known: Vec<&str> = model.rules.iter().filter_map(|r| r.prevents.as_deref()).collect();
        // A rule that is wrong has been reported, and may be the one.
        if !known.contains(&failure.as_str()) && reader.problems.is_empty() {
            let message = format!("no rule prevents `{failure}`");
            let mut problem = Problem::new("knowledge::unknown-name", *span, "here", message);
            known.sort_unstable();
            known.dedup();
            problem.help = did_you_mean(failure, known.into_iter());
            reader.report(problem);
        }
    }
    for depth in 1..=model.overlays.len() {
        let guards = guards(model, depth);
        for change in replacements.iter().filter(|r| model.depth(r.new.origin.span) == depth) {
            value(change, &guards, model, reader);
        }
        for rule in model.rules.iter().filter(|r| model.depth(r.origin.span) == depth) {
            addition(rule, &guards, model, reader);
        }
    }
}

/// A value may take another's place only to the safer side.
fn value(change: &Replacement, guards: &Guards<'_>, model: &Model, reader: &mut Reader) {
    let (Some(property), Some(entity)) =
        (model.properties.get(change.property.index()), model.entities.get(change.entity.index()))
    else {
        return;
    };
    let guard = guards.properties.get(&change.property);
    let safer = match (property.safer, guard) {
        (Some(safer), _) => safer,
        (None, Some(_)) => Safer::Kept,
        (None, None) => return,
    };
    if tightens(safer, &change.old.value, &change.new.value) {
        return;
    }
    let only = match safer {
        Safer::Lower => "it may only go down",
        Safer::Higher => "it may only go up",
        Safer::Yes => "it may only become `yes`",
        Safer::No => "it may only become `no`",
        Safer::Added => "its words stay, and others may be added",
        Safer::Kept => "it stays as it is",
    };
    let mut problem = Problem::new(
        "knowledge::loosens-safety",
        change.new.origin.span,
        "loosened here",
        format!("safety or law hangs on `{}`: {only}", property.name),
    )
    .also(change.old.origin.span, "the value that it replaces")
    .help(format!(
        "if yours is another thing, give it an id of its own, `as: {}` and the values that differ",
        entity.id
    ));
    if let Some(rule) = guard {
        problem = problem.also(rule.origin.span, "a rule that hangs on it");
    }
    reader.report(problem);
}

/// A rule that an overlay adds must not say what cannot exist, nor derive what safety hangs on.
fn addition(rule: &Rule, guards: &Guards<'_>, model: &Model, reader: &mut Reader) {
    match rule.effect {
        Effect::Exclude(_) => reader.report(
            Problem::new(
                "knowledge::loosens-safety",
                rule.origin.span,
                "here",
                "an overlay cannot say what does not exist",
            )
            .help("write `refuse:` for what this shop does not do"),
        ),
        Effect::Derive { attribute, .. } => {
            if let Some(guard) = guards.attributes.get(&attribute) {
                let name = attribute.of(model).map_or("", |a| a.name.as_str());
                reader.report(
                    Problem::new(
                        "knowledge::loosens-safety",
                        rule.origin.span,
                        "derived here",
                        format!("safety or law hangs on `{name}`: an overlay cannot derive it"),
                    )
                    .also(guard.origin.span, "a rule that hangs on it")
                    .help("write a rule of your own that refuses or requires"),
                );
            }
        }
        _ => {}
    }
}

/// Whether a value is at least as safe as the one it replaces. What was unknown may be found out either way.
fn tightens(safer: Safer, old: &Value, new: &Value) -> bool {
    if *old == Value::Unknown || old == new {
        return true;
    }
    match safer {
        Safer::Lower => match (old, new) {
            (Value::Schedule(a), Value::Schedule(b)) => levels(a, b).all(|l| needs(b, l) <= needs(a, l)),
            _ => ends(new).1 <= ends(old).1,
        },
        Safer::Higher => match (old, new) {
            (Value::Schedule(a), Value::Schedule(b)) => levels(a, b).all(|l| needs(b, l) >= needs(a, l)),
            _ => ends(new).0 >= ends(old).0,
        },
        Safer::Yes => *new == Value::YesNo(true),
        Safer::No => *new == Value::YesNo(false),
        Safer::Added => match (old, new) {
            (Value::Text(a), Value::Text(b)) => b.trim_start().starts_with(a.trim()),
            (Value::None, Value::Text(_)) => true,
            _ => false,
        },
        Safer::Kept => false,
    }
}

/// The least and the greatest value that counts; where there is none, no limit holds.
fn ends(value: &Value) -> (i64, i64) {
    match value {
        Value::Quantity(q) | Value::Disputed { plan: q, .. } => (*q, *q),
        Value::Window(low, high) | Value::Varies(low, high) => (*low, *high),
        _ => (i64::MIN, i64::MAX),
    }
}

fn levels<'a>(a: &'a [(i64, i64)], b: &'a [(i64, i64)]) -> impl Iterator<Item = i64> + 'a {
    a.iter().chain(b).map(|p| p.0)
}

/// What a schedule needs at a level: below its first, more than there is.
fn needs(schedule: &[(i64, i64)], level: i64) -> i64 {
    schedule.iter().rev().find(|p| p.0 <= level).map_or(i64::MAX, |p| p.1)
}
