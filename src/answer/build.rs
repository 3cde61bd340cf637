//! From a decision to an answer.

use super::branches::{deciding, leads_to_yes, rows, settling};
use super::changes::{Found, Search, Sets, change_sets};
use super::moves::Whose;
use super::reasons::weakest;
use super::said::same;
use super::teller::Teller;
use super::units::localise;
use super::words::{Units, domain};
use super::{Answer, Assumed, Fix, KnowledgeId, Lead, OverlayId, Work};
use crate::contract::{Detail, SCHEMA};
use crate::job::{Domain, JobSet};
use crate::model::{Attribute, AttributeId};
use crate::program::Program;
use crate::quantity::System;
use crate::reason::decide::{Code, Decision, Options, Verdict, decide};
use crate::reason::evaluate::Evaluation;
use crate::reason::split::slot_of;
use crate::statement::Stated;
use serde_json::{Map, Value, json};

/// What an answer is built with.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The program.
    pub program: &'a Program,
    /// How to decide.
    pub options: Options,
    /// How much to tell.
    pub detail: Detail,
    /// In which units.
    pub units: System,
}

/// Sets of changes that may help that are told at most.
const MAY: usize = 3;

/// Possible jobs that are looked at for the question that settles one of them.
const MAY_BUDGET: u32 = 400;

/// Decides a job and says so.
pub fn answer(context: Context<'_>, stated: &Stated) -> Answer {
    let program = context.program;
    let explore = context.options.explore && context.detail != Detail::Verdict;
    let told = context.detail != Detail::Verdict;
    let rows_told = told && context.options.rows;
    let decision = decide(program, stated, Options { explore, rows: rows_told, ..context.options });
    let e = Evaluation::new(program, &decision.job);
    let teller =
        Teller { program, stated, decision: &decision, e: &e, units: Units::of(&program.model, stated, context.units) };
    let reasons = teller.reasons();
    let evidence = weakest(&reasons);
    let (cautions, advice) = teller.cautions();
    let conditions = teller.conditions();
    let rows = rows(&teller);
    let mut out = Answer {
        schema: SCHEMA,
        id: None,
        ext: None,
        position: None,
        verdict: decision.verdict.word(),
        code: decision.code.word(),
        taken_as: teller.unheard(),
        wished: Vec::new(),
        fits_better: Vec::new(),
        lead: Lead::default(),
        summary: String::new(),
        subject: teller.subject(),
        reasons,
        conditions,
        cautions,
        advice,
        recipe: None,
        depends_on: Vec::new(),
        next_question: None,
        rows,
        rows_complete: decision.rows_complete,
        safe_way: None,
        assumed: teller.assumed(explore),
        fixes: Vec::new(),
        alternatives: Vec::new(),
        may_help: Vec::new(),
        may_do: false,
        customer_fixes: Vec::new(),
        evidence: evidence.words(),
        job: teller.job(),
        house: Vec::new(),
        work: Work { jobs: decision.spent, changes: 0 },
        knowledge: knowledge(program),
        prints: Vec::new(),
    };
    if told && decision.verdict.works() {
        out.recipe = Some(teller.sheet(&out.conditions, context.options));
    }
    if explore {
        if decision.verdict == Verdict::Depends && decision.code != Code::Contradiction {
            out.depends_on = deciding(&teller);
        }
        if !decision.verdict.works() && decision.code != Code::Contradiction {
            changes(context, stated, &decision, &mut out);
        }
    }
    out.house = teller.of_houses(&out.reasons);
    out.summary = teller.summary(&out);
    if context.units == System::Us {
        localise(&mut out, &teller.units, &program.model);
    }
    out
}

/// Changes that make it possible: those with another ink are alternatives, the rest are fixes; for an open job the first
/// is the safe way. Where it is refused and the shop can do nothing, what the customer could change.
fn changes(context: Context<'_>, stated: &Stated, decision: &Decision, out: &mut Answer) {
    let sets = |whose: Whose, work: &mut Work| -> Sets {
        let search = Search { program: context.program, options: context.options, units: context.units, whose };
        let sets = change_sets(search, stated, decision);
        *work = Work { jobs: work.jobs + sets.work.jobs, changes: work.changes + sets.work.changes };
        sets
    };
    let shop = sets(Whose::Shop, &mut out.work);
    let (other, own): (Vec<Found>, Vec<Found>) = shop.helping.into_iter().partition(|f| f.other_ink);
    out.fixes = own.into_iter().map(|f| fix(context, f)).collect();
    out.alternatives = other.into_iter().map(|f| fix(context, f)).collect();
    if decision.verdict == Verdict::Depends {
        out.safe_way = out.fixes.first().or(out.alternatives.first()).cloned();
        out.recipe = out.safe_way.as_ref().and_then(|way| recipe_of(context, way));
    }
    out.may_do = shop.may_do;
    out.may_help = shop.may_help.into_iter().take(MAY).map(|f| may(context, f)).collect();
    // What cannot be asked for is no help.
    out.may_help.retain(|f| f.hangs_on.is_some());
    // One answer that leads to a yes comes before what takes several.
    out.may_help.sort_by_key(|f| !f.hangs_on.as_ref().is_some_and(leads_to_yes));
    // What is open the customer settles by an answer.
    if decision.verdict == Verdict::No && out.fixes.is_empty() && out.alternatives.is_empty() {
        out.customer_fixes =
            sets(Whose::Customer, &mut out.work).helping.into_iter().map(|f| fix(context, f)).collect();
    }
}

/// How it is printed with some changes.
fn recipe_of(context: Context<'_>, fix: &Fix) -> Option<super::Recipe> {
    let program = context.program;
    let stated = fix.jobs.first()?;
    let decision = decide(program, stated, Options { explore: false, rows: false, ..context.options });
    let e = Evaluation::new(program, &decision.job);
    let units = Units::of(&program.model, stated, context.units);
    let teller = Teller { program, stated, decision: &decision, e: &e, units };
    Some(teller.sheet(&fix.conditions, context.options))
}

/// A set of changes after which it depends, with the question that settles it.
fn may(context: Context<'_>, found: Found) -> Fix {
    let program = context.program;
    let mut fix = fix(context, found);
    if let Some(stated) = fix.jobs.first() {
        let budget = MAY_BUDGET.min(context.options.budget);
        let options = Options { explore: false, rows: true, budget, ..context.options };
        let decision = decide(program, stated, options);
        let e = Evaluation::new(program, &decision.job);
        let units = Units::of(&program.model, stated, context.units);
        fix.hangs_on = settling(&Teller { program, stated, decision: &decision, e: &e, units });
    }
    fix
}

/// A set of changes with all that must be done and can hurt then.
fn fix(context: Context<'_>, found: Found) -> Fix {
    let program = context.program;
    let jobs = found.ways.iter().map(|w| w.0.clone()).collect();
    let mut fix = Fix {
        changes: found.words,
        verdict: "",
        conditions: Vec::new(),
        cautions: Vec::new(),
        hangs_on: None,
        jobs,
        without: found.without,
    };
    for (stated, decision) in &found.ways {
        let e = Evaluation::new(program, &decision.job);
        let teller =
            Teller { program, stated, decision, e: &e, units: Units::of(&program.model, stated, context.units) };
        fix.verdict = decision.verdict.word();
        for (all, own) in [(&mut fix.conditions, teller.conditions()), (&mut fix.cautions, teller.hazards())] {
            for said in own {
                if !all.iter().any(|a| same(a, &said)) {
                    all.push(said);
                }
            }
        }
    }
    fix
}

pub(super) fn knowledge(program: &Program) -> KnowledgeId {
    let overlays = program.model.overlays.iter();
    KnowledgeId {
        version: env!("CARGO_PKG_VERSION"),
        engine: env!("CARGO_PKG_VERSION"),
        digest: program.model.digest.clone(),
        overlays: overlays.map(|o| OverlayId { name: o.name.clone(), digest: o.digest.clone() }).collect(),
    }
}

impl Teller<'_> {
    fn assumed(&self, explore: bool) -> Vec<Assumed> {
        let inexact = self.decision.inexact.iter().filter_map(|i| {
            let attribute = i.attribute.of(&self.program.model)?;
            Some(Assumed {
                attribute: attribute.name.clone(),
                value: json!("as stated"),
                text: attribute.tolerance.as_ref()?.words.clone(),
                changes_to: Some(i.changes_to.word()),
                matters: true,
            })
        });
        let all = self.decision.assumed.iter();
        all.filter_map(|a| {
            let attribute = a.attribute.of(&self.program.model)?;
            let assumption = attribute.assume.get(a.index)?;
            let slot = slot_of(self.program, a.attribute);
            let (_, value) = domain(self.program, a.attribute, self.e.domain(slot, a.layer)?);
            // A shop that was not described is not listed machine by machine.
            let value = if assumption.quiet { json!("usual") } else { value };
            Some(Assumed {
                attribute: attribute.name.clone(),
                value,
                text: assumption.words.clone(),
                changes_to: a.changes_to.map(Verdict::word),
                matters: a.changes_to.is_some() || !explore || self.matters(attribute, slot, a.layer),
            })
        })
        .chain(inexact)
        .collect()
    }

    /// The job with an attribute open.
    pub(super) fn opened(&self, attribute: &Attribute, slot: crate::job::Slot, layer: usize) -> JobSet {
        let mut open = self.decision.job.clone();
        if let Some(d) = open.domain_mut(slot, layer) {
            *d = Domain::everything(attribute.ty, &self.program.model);
        }
        open
    }

    /// Whether anything would be told otherwise if an attribute were open.
    fn matters(&self, attribute: &Attribute, slot: crate::job::Slot, layer: usize) -> bool {
        let open = self.opened(attribute, slot, layer);
        let lifted = Evaluation::new(self.program, &open);
        let told = self.program.refusals.iter().chain(&self.program.requirements).chain(&self.program.notes);
        let fires = told.filter_map(|i| self.program.instance(*i)).any(|i| {
            let mut frames = self.e.frames(self.program.per(i));
            frames.any(|layer| self.e.fires(i, layer) != lifted.fires(i, layer))
        });
        let windows = self.program.windows.iter().any(|(_, low, high)| {
            (0..self.e.window_layers(*low))
                .any(|layer| [*low, *high].iter().any(|n| self.e.end(*n, layer) != lifted.end(*n, layer)))
        });
        let grounds = |e: &Evaluation<'_>, need: &crate::program::Need, layer: usize| {
            e.needed(need, layer).opposite().or(e.grounded(need, layer))
        };
        fires
            || windows
            || self.program.needs.iter().any(|need| {
                self.e.need_frames(need).any(|layer| grounds(self.e, need, layer) != grounds(&lifted, need, layer))
            })
    }

    /// What was understood: what was said and assumed, by attribute.
    fn job(&self) -> Map<String, Value> {
        let mut job = Map::new();
        let mut layers: Vec<Map<String, Value>> = vec![Map::new(); self.decision.job.layers.len()];
        for (index, attribute) in self.program.model.attributes.iter().enumerate() {
            let id = AttributeId(index as u16);
            for (layer, own) in layers.iter_mut().enumerate() {
                let said = self.stated.mentions(id, layer);
                let assumed = self.decision.assumed.iter().find(|a| a.attribute == id && a.layer == layer);
                let quiet = assumed.and_then(|a| attribute.assume.get(a.index)).is_some_and(|a| a.quiet);
                if !(said || assumed.is_some() && !quiet) {
                    continue;
                }
                let Some(d) = self.decision.job.domain(slot_of(self.program, id), layer) else { continue };
                let (_, value) = domain(self.program, id, d);
                if attribute.per_layer {
                    own.insert(attribute.name.clone(), value);
                } else {
                    job.insert(attribute.name.clone(), value);
                }
            }
        }
        job.insert("layers".to_owned(), layers.into_iter().map(Value::Object).collect());
        job
    }

    fn summary(&self, out: &Answer) -> String {
        let subject = &out.subject;
        let first = out.reasons.first().map_or("", |r| r.text.as_str());
        match (self.decision.verdict, self.decision.code) {
            (Verdict::Yes, _) => format!("Yes: {subject}."),
            (Verdict::YesIf, _) => match out.conditions.len() {
                1 => format!("Yes, on one condition: {subject}."),
                many => format!("Yes, on {many} conditions: {subject}."),
            },
            (Verdict::No, _) if !first.is_empty() => format!("No: {first}."),
            (Verdict::No, _) => format!("No: {subject}: each case is refused for a reason of its own."),
            (Verdict::Depends, Code::NotKnown) if !first.is_empty() => format!("Not known: {first}."),
            (Verdict::Depends, Code::NotKnown) => format!("Not known: {subject}: some of its cases lack grounds."),
            (Verdict::Depends, Code::Contradiction) => format!("This cannot be: {first}."),
            (Verdict::Depends, Code::Undecided) => {
                format!("Undecided: the work allowed for this question ran out; say more about {subject}.")
            }
            (Verdict::Depends, _) => match out.depends_on.first() {
                Some(d) => format!("It depends: {subject}. {}", d.ask),
                None => format!("It depends: {subject}."),
            },
        }
    }
}
