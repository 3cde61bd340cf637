//! The branches of an open answer: which facts decide, and what each leads to.

use super::build::Teller;
use super::words::{attribute_at, domain, literal};
use super::{Branch, Deciding};
use crate::job::{Domain, JobSet, Slot};
use crate::model::{AttributeId, AttributeType, Mask};
use crate::program::{Literal, Num};
use crate::reason::decide::{Cause, Verdict, judge};
use crate::reason::evaluate::Evaluation;
use crate::reason::split::{propagate, split_test};

/// Rows: no if …, in the words of what refuses.
pub(super) fn rows(teller: &Teller<'_>) -> Vec<Branch> {
    let mut rows: Vec<Branch> = Vec::new();
    for row in &teller.decision.rows {
        let there = Evaluation::new(teller.program, &row.witness);
        let reason = teller.cause(&there, &row.cause);
        let mut values: Vec<String> = open_words(teller, &row.witness, &row.open).into_iter().map(|w| w.1).collect();
        values.sort();
        values.dedup();
        if let Some(told) = told(teller, &row.cause) {
            values = vec![told];
        }
        let verdict = match row.cause {
            Cause::Lack(..) => Verdict::Depends,
            _ => Verdict::No,
        };
        // Rows that differ in nothing a reader sees are one.
        let found = rows.iter_mut().find(|r| r.code == reason.code && r.verdict == verdict.word());
        match found {
            Some(same) if same.values == values || same.text == reason.text => {}
            _ => rows.push(Branch { values, verdict: verdict.word(), code: reason.code, text: reason.text }),
        }
    }
    rows
}

/// How a rule tells its own open case.
fn told(teller: &Teller<'_>, cause: &Cause) -> Option<String> {
    let index = match cause {
        Cause::Rule(index, _) => *index,
        // The bound from above is the one that the job breaks.
        Cause::Window { high: Some((index, _)), .. } => *index,
        _ => return None,
    };
    let instance = teller.program.instance(index)?;
    teller.program.model.rules.get(usize::from(instance.rule))?.told.clone()
}

fn open_words(teller: &Teller<'_>, witness: &JobSet, open: &[(Literal, usize)]) -> Vec<(Slot, String)> {
    let mut words = Vec::new();
    for (l, layer) in open {
        literal(teller.e, witness, *l, *layer, &mut words, 5);
    }
    words
}

/// The given facts that occur in the rows, with what each answer leads to.
pub(super) fn deciding(teller: &Teller<'_>) -> Vec<Deciding> {
    let program = teller.program;
    let mut seen: Vec<(AttributeId, usize)> = Vec::new();
    let mut out = Vec::new();
    for row in &teller.decision.rows {
        for (l, layer) in &row.open {
            let mut words = Vec::new();
            literal(teller.e, &row.witness, *l, *layer, &mut words, 5);
            for (slot, _) in words {
                let Some(id) = attribute_at(program, slot) else {
                    out.extend(hidden(teller, slot));
                    continue;
                };
                // A follower is asked for by its leader.
                let id = id.of(&program.model).and_then(|a| a.follows).map_or(id, |f| f.0);
                if seen.contains(&(id, *layer)) || seen.len() >= 6 {
                    continue;
                }
                seen.push((id, *layer));
                let Some(ask) = id.of(&program.model).and_then(|a| a.ask.clone()) else { continue };
                let branches = branches(teller, id, *layer, *l);
                // A fact of which every answer leads to the same decides nothing by itself.
                out.push(Deciding {
                    attribute: id.of(&program.model).map_or(String::new(), |a| a.name.clone()),
                    ask,
                    branches,
                });
            }
        }
    }
    for row in &teller.decision.rows {
        // Bounds that lie where a knowledge value lies that differs by item.
        let Cause::Window { low, high, .. } = row.cause else { continue };
        for (index, _) in low.into_iter().chain(high) {
            let mut slots = Vec::new();
            if let Some(value) = program.instance(index).and_then(|i| i.value.as_ref()) {
                hidden_slots(value, &mut slots);
            }
            for slot in slots {
                let open = teller.decision.job.domain(slot, 0).is_some_and(|d| !d.is_single());
                out.extend(hidden(teller, slot).filter(|d| open && !out.iter().any(|o| o.attribute == d.attribute)));
            }
        }
    }
    out.dedup_by(|a, b| a.attribute == b.attribute);
    // What settles some branch is asked before what settles none; the vocabulary's order decides between equals.
    out.sort_by_key(|d| {
        let settles = d.branches.iter().any(|b| b.verdict != "depends");
        (!settles, program.model.attribute(&d.attribute))
    });
    out
}

/// The varying knowledge values that a quantity reads.
fn hidden_slots(num: &Num, slots: &mut Vec<Slot>) {
    match num {
        Num::Slot(slot @ Slot::Hidden(_)) => slots.push(*slot),
        Num::Switch(_, arms) => arms.iter().for_each(|a| hidden_slots(a, slots)),
        Num::Schedule(_, a) | Num::Scale(a, _) => hidden_slots(a, slots),
        Num::Add(a, b) | Num::Subtract(a, b) | Num::Min(a, b) | Num::Max(a, b) => {
            hidden_slots(a, slots);
            hidden_slots(b, slots);
        }
        _ => {}
    }
}

fn hidden(teller: &Teller<'_>, slot: Slot) -> Option<Deciding> {
    let Slot::Hidden(i) = slot else { return None };
    let hidden = teller.program.hidden.get(usize::from(i))?;
    let entity = teller.program.model.entities.get(hidden.entity.index())?;
    let property = teller.program.model.properties.get(hidden.property.index())?;
    let ask = match &property.ask {
        Some(ask) => ask.replace("{entity}", &entity.name),
        None => format!("Of this {}: {}?", entity.name, property.says),
    };
    Some(Deciding { attribute: format!("{}.{}", entity.id, property.name), ask, branches: Vec::new() })
}

/// Each value, grouped by the verdict that it leads to.
fn branches(teller: &Teller<'_>, id: AttributeId, layer: usize, deciding: Literal) -> Vec<Branch> {
    let program = teller.program;
    let slot = crate::reason::split::slot_of(program, id);
    let job = &teller.decision.job;
    let mut parts: Vec<JobSet> = Vec::new();
    match job.domain(slot, layer) {
        Some(Domain::Choice(possible)) => {
            for member in possible.iter() {
                parts.extend(with(job, slot, layer, Domain::Choice(Mask::one(member))));
            }
        }
        Some(Domain::YesNo { yes: true, no: true }) => {
            parts.extend(with(job, slot, layer, Domain::YesNo { yes: true, no: false }));
            parts.extend(with(job, slot, layer, Domain::YesNo { yes: false, no: true }));
        }
        _ => {
            if let Some(two) = split_test(teller.e, deciding.test, layer, 6) {
                parts.extend([two.towards, two.away]);
            }
        }
    }
    let mut grouped: Vec<(Verdict, String, String, Vec<JobSet>)> = Vec::new();
    for mut part in parts {
        if !propagate(program, &mut part) {
            continue;
        }
        let mut budget = 60;
        let judged = judge(program, part.clone(), &mut budget);
        let there = Evaluation::new(program, &part);
        let reason = judged.causes.first().map(|c| teller.cause(&there, c));
        let code = reason.as_ref().map_or(judged.code.word().to_owned(), |r| r.code.clone());
        let text = reason.map_or(String::new(), |r| r.text);
        match grouped.iter_mut().find(|g| g.0 == judged.verdict && g.1 == code) {
            Some(group) => group.3.push(part),
            None => grouped.push((judged.verdict, code, text, vec![part])),
        }
    }
    grouped
        .into_iter()
        .map(|(verdict, code, text, parts)| {
            let values = parts.iter().filter_map(|p| p.domain(slot, layer)).map(|d| in_words(teller, id, d)).collect();
            Branch { values, verdict: verdict.word(), code, text }
        })
        .collect()
}

fn in_words(teller: &Teller<'_>, id: AttributeId, d: &Domain) -> String {
    match (d, id.of(&teller.program.model)) {
        (Domain::YesNo { yes, .. }, Some(a)) if matches!(a.ty, AttributeType::YesNo) => {
            let list = if *yes { &a.words.0 } else { &a.words.1 };
            list.first().cloned().unwrap_or_else(|| if *yes { "yes".to_owned() } else { "no".to_owned() })
        }
        (Domain::Set { must, may }, Some(a)) if must.is_empty() => match a.ty {
            AttributeType::Set(kind) => {
                let out = teller.program.model.everyone(kind).without(*may);
                let names: Vec<&str> = teller.program.model.names(kind, out);
                if may.is_empty() { "none".to_owned() } else { format!("no {}", names.join(", no ")) }
            }
            _ => String::new(),
        },
        (Domain::Set { must, .. }, Some(a)) => match a.ty {
            AttributeType::Set(kind) => teller.program.model.names(kind, *must).join(", "),
            _ => String::new(),
        },
        _ => domain(teller.program, id, d).0,
    }
}

fn with(job: &JobSet, slot: Slot, layer: usize, domain: Domain) -> Option<JobSet> {
    let mut part = job.clone();
    let own = part.domain_mut(slot, layer)?;
    *own = own.and(&domain);
    Some(part)
}
