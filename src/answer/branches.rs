//! The branches of an open answer: which facts decide, and what each leads to.

use super::cases::{Case, case_words};
use super::facts::{Fact, facts};
use super::teller::Teller;
use super::words::{all_of, domain_of};
use super::{Branch, Deciding};
use crate::job::{Domain, JobSet, Slot};
use crate::model::{Attribute, AttributeId, AttributeType, Mask};
use crate::program::Literal;
use crate::reason::decide::{Cause, Verdict, judge};
use crate::reason::evaluate::{Evaluation, Truth};
use crate::reason::rows::{Part, Row};
use crate::reason::split::{narrow, propagate, slot_of, split_test};
use crate::statement::{Place, said_of};

/// Rows: no if …, in the words of what refuses; those that are met most often first.
pub(super) fn rows(teller: &Teller<'_>) -> Vec<Branch> {
    let mut rows: Vec<(Branch, Option<Case>)> = Vec::new();
    let mut cases: Vec<&Row> = teller.decision.rows.iter().collect();
    cases.sort_by_cached_key(|row| seldom(teller, &row.witness));
    for row in cases {
        // Told of the whole case, not of its witness.
        let mut case = row.part.set.clone();
        for (literal, layer) in &row.part.open {
            narrow(teller.program, &mut case, *literal, *layer);
        }
        let there = Evaluation::new(teller.program, &case);
        let reason = teller.cause(&there, &row.cause);
        let verdict = match row.cause {
            Cause::Lack(..) => Verdict::Depends,
            _ if !row.sure => Verdict::Depends,
            _ => Verdict::No,
        };
        let (code, text, verdict) = (reason.code, reason.text, verdict.word());
        // Rows of one rule that are told alike are one, and so are those that differ in one choice.
        let mut same = rows.iter_mut().filter(|r| r.0.code == code && r.0.verdict == verdict);
        if let Some(told) = told(teller, &row.cause) {
            if !same.any(|r| r.0.values == [told.as_str()]) {
                rows.push((Branch { values: vec![told], verdict, code, text }, None));
            }
            continue;
        }
        let own = Case::of(teller.e, &row.part);
        let whole = row.part.narrowed.is_empty() && row.part.open.is_empty() && row.sure;
        let values = named(own.words(teller.e), whole);
        let known = same.find_map(|(branch, case)| {
            let one =
                branch.values == values || branch.text == text && case.as_mut().is_some_and(|case| case.unite(&own));
            one.then_some((branch, case))
        });
        match known {
            Some((branch, Some(case))) => branch.values = named(case.words(teller.e), whole),
            Some(_) => {}
            None => rows.push((Branch { values, verdict, code, text }, Some(own))),
        }
    }
    rows.into_iter().map(|r| r.0).collect()
}

/// A case that has no words is still not every case.
fn named(words: Vec<String>, whole: bool) -> Vec<String> {
    if words.is_empty() && !whole { vec!["in some cases".to_owned()] } else { words }
}

/// How far a job lies from what is usual, by the vocabulary.
fn seldom(teller: &Teller<'_>, job: &JobSet) -> usize {
    let model = &teller.program.model;
    let places = model.attributes.iter().enumerate().flat_map(|(i, a)| {
        let slot = slot_of(teller.program, AttributeId(i as u16));
        (0..if a.per_layer { job.layers.len() } else { 1 }).map(move |layer| (a, slot, layer))
    });
    let place = |usual: &[i64], member: usize| {
        usual.iter().position(|u| usize::try_from(*u) == Ok(member)).unwrap_or(usual.len())
    };
    let of = |(a, slot, layer): (&Attribute, Slot, usize)| match job.domain(slot, layer) {
        Some(Domain::Choice(m)) => m.only().map_or(0, |m| place(&a.usual, m)),
        Some(Domain::Amounts(shares)) => {
            let present = shares.ranges.iter().enumerate().filter(|(_, r)| r.0 > 0);
            present.map(|(m, _)| place(&a.usual, m)).max().unwrap_or(0)
        }
        Some(Domain::Set { must, .. }) => must.count(),
        Some(Domain::YesNo { yes, .. }) => usize::from(a.usual.first().is_some_and(|u| (*u == 1) != *yes)),
        _ => 0,
    };
    places.map(of).sum()
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

/// Facts that are told at most.
const FACTS: usize = 6;

/// The given facts that occur in the rows, with what each answer leads to.
pub(super) fn deciding(teller: &Teller<'_>) -> Vec<Deciding> {
    let program = teller.program;
    let mut told = 0;
    let mut out: Vec<Deciding> = Vec::new();
    for fact in facts(teller) {
        let Some(attribute) = fact.attribute.and_then(|id| id.of(&program.model)) else {
            out.extend(hidden(teller, &fact));
            continue;
        };
        let Some(ask) = attribute.ask.clone().filter(|_| told < FACTS) else { continue };
        told += 1;
        let branches = branches(teller, &fact);
        out.push(Deciding { attribute: attribute.name.clone(), ask, say: None, branches });
    }
    let mut named: Vec<String> = Vec::new();
    out.retain(|d| {
        let new = !named.contains(&d.attribute);
        named.push(d.attribute.clone());
        new
    });
    // What settles some branch is asked before what settles none; the vocabulary's order decides between equals.
    out.sort_by_key(|d| {
        let settles = d.branches.iter().any(|b| b.verdict != "depends");
        (!settles, program.model.attribute(&d.attribute))
    });
    out
}

/// Facts that are looked at for one that settles a job.
const LOOKED_AT: usize = 3;

/// A fact of which some answer leads to a yes, or else the first; also what only the maker of an ink can say.
pub(super) fn settling(teller: &Teller<'_>) -> Option<Deciding> {
    let asked = |fact: &Fact| match fact.attribute {
        Some(id) => {
            let attribute = id.of(&teller.program.model)?;
            let (name, ask) = (attribute.name.clone(), attribute.ask.clone()?);
            Some(Deciding { attribute: name, ask, say: None, branches: branches(teller, fact) })
        }
        None => hidden(teller, fact),
    };
    let facts = facts(teller);
    let mut all = facts.iter().filter_map(asked).take(LOOKED_AT);
    let mut first = None;
    let found = all.find_map(|own| match leads_to_yes(&own) {
        true => Some(own),
        false => {
            first.get_or_insert(own);
            None
        }
    });
    found.or(first)
}

/// Whether one of the answers to a question settles the job with a yes.
pub(super) fn leads_to_yes(fact: &Deciding) -> bool {
    fact.branches.iter().any(|b| b.verdict.starts_with("yes"))
}

fn hidden(teller: &Teller<'_>, fact: &Fact) -> Option<Deciding> {
    let (attribute, ask) = hidden_question(teller, fact.slot)?;
    let Some(Place::Value(entity, property)) = fact.place(teller.program) else { return None };
    let say = Some(said_of(&teller.program.model, entity, property));
    Some(Deciding { attribute, ask, say, branches: branches(teller, fact) })
}

/// A value that varies from item to item: its name, and how it is asked for.
pub(super) fn hidden_question(teller: &Teller<'_>, slot: Slot) -> Option<(String, String)> {
    let Slot::Hidden(i) = slot else { return None };
    let hidden = teller.program.hidden.get(usize::from(i))?;
    let entity = teller.program.model.entities.get(hidden.entity.index())?;
    let property = teller.program.model.properties.get(hidden.property.index())?;
    let ask = match &property.ask {
        Some(ask) => ask.replace("{entity}", &entity.name),
        None => format!("Of this {}: {}?", entity.name, property.says),
    };
    Some((format!("{}.{}", entity.id, property.name), ask))
}

/// Each value, grouped by the verdict that it leads to.
fn branches(teller: &Teller<'_>, fact: &Fact) -> Vec<Branch> {
    let program = teller.program;
    let Fact { slot, layer, literal: deciding, .. } = *fact;
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
            if let Some(two) = deciding.and_then(|l| split_test(teller.e, l.test, layer, 6)) {
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
        let judged = judge(program, part.clone(), false, &mut budget);
        let there = Evaluation::new(program, &part);
        let reason = judged.causes.first().map(|c| teller.cause(&there, c));
        let code = reason.as_ref().map_or(judged.code.word().to_owned(), |r| r.code.clone());
        let text = reason.map_or(String::new(), |r| r.text);
        match grouped.iter_mut().find(|g| g.0 == judged.verdict && g.1 == code) {
            Some(group) => group.3.push(part),
            None => grouped.push((judged.verdict, code, text, vec![part])),
        }
    }
    let branches = grouped.into_iter().map(|(verdict, code, text, parts)| {
        let values = parts.iter().map(|p| match (p.domain(slot, layer), deciding) {
            (Some(d @ (Domain::Choice(_) | Domain::YesNo { .. } | Domain::Set { .. })), _) => in_words(teller, fact, d),
            (_, Some(literal)) => literal_in_words(teller, p, literal, layer),
            _ => String::new(),
        });
        Branch { values: values.collect(), verdict: verdict.word(), code, text }
    });
    let branches: Vec<Branch> = branches.collect();
    // A table that cannot name its parts says nothing.
    if branches.iter().any(|b| b.values.iter().any(String::is_empty)) { Vec::new() } else { branches }
}

/// What a part makes of a literal, in its words.
fn literal_in_words(teller: &Teller<'_>, part: &JobSet, literal: Literal, layer: usize) -> String {
    let held = match Evaluation::new(teller.program, part).literal(literal, layer) {
        Truth::True => literal,
        Truth::False => Literal { negated: !literal.negated, ..literal },
        Truth::Open => return String::new(),
    };
    let open = Part { set: teller.decision.job.clone(), narrowed: Vec::new(), open: vec![(held, layer)] };
    all_of(&case_words(teller.e, &open))
}

/// Members of a set of which it is told one by one that they are absent.
const FEW: usize = 3;

/// A value of an attribute as it is answered.
pub(super) fn in_words(teller: &Teller<'_>, fact: &Fact, d: &Domain) -> String {
    match (d, fact.attribute.and_then(|id| id.of(&teller.program.model))) {
        (Domain::YesNo { yes, .. }, Some(a)) if matches!(a.ty, AttributeType::YesNo) => {
            let list = if *yes { &a.words.0 } else { &a.words.1 };
            list.first().cloned().unwrap_or_else(|| if *yes { "yes".to_owned() } else { "no".to_owned() })
        }
        (Domain::Set { must, may }, Some(a)) if must.is_empty() => match a.ty {
            AttributeType::Set(kind) => {
                let out = teller.program.model.everyone(kind).without(*may);
                let names: Vec<&str> = teller.program.model.names(kind, out);
                match names.len() {
                    _ if may.is_empty() => "none".to_owned(),
                    0..=FEW => format!("no {}", names.join(", no ")),
                    _ => "any other".to_owned(),
                }
            }
            _ => String::new(),
        },
        (Domain::Set { must, .. }, Some(a)) => match a.ty {
            AttributeType::Set(kind) => teller.program.model.names(kind, *must).join(", "),
            _ => String::new(),
        },
        _ => fact.ty(teller.program).map_or(String::new(), |ty| domain_of(teller.program, ty, d).0),
    }
}

fn with(job: &JobSet, slot: Slot, layer: usize, domain: Domain) -> Option<JobSet> {
    let mut part = job.clone();
    let own = part.domain_mut(slot, layer)?;
    *own = own.and(&domain);
    Some(part)
}
