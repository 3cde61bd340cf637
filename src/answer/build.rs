//! From a decision to an answer.

use super::branches::{deciding, rows};
use super::changes::{Found, single_changes};
use super::words::{Piece, Units, all_of, case_words, domain, interval, joined_pieces, pieces, rounded, text};
use super::{Answer, Assumed, Fix, KnowledgeId, Lead, OverlayId, Reason, Recipe, Said};
use crate::contract::{Detail, SCHEMA};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, Basis, Effect, End, EntityId, Model, Origin, Role, Rule};
use crate::program::Program;
use crate::quantity::{DimensionId, LEAST, MOST, System};
use crate::reason::decide::{Cause, Code, Decision, Fired, Options, Verdict, decide, strongest};
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::reason::explain::{FactRead, Step, explain};
use crate::reason::rows::{bound, ways};
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

/// Decides a job and says so.
pub fn answer(context: Context<'_>, stated: &Stated) -> Answer {
    let program = context.program;
    let explore = context.options.explore && context.detail != Detail::Verdict;
    let told = context.detail != Detail::Verdict;
    let decision = decide(program, stated, Options { explore, rows: told, ..context.options });
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
        taken_as: Vec::new(),
        lead: Lead::default(),
        summary: String::new(),
        subject: teller.subject(),
        reasons,
        conditions,
        cautions,
        advice,
        recipe: None,
        depends_on: Vec::new(),
        rows,
        rows_complete: decision.rows_complete,
        safe_way: None,
        assumed: teller.assumed(explore),
        fixes: Vec::new(),
        alternatives: Vec::new(),
        evidence: evidence.words(),
        job: teller.job(),
        knowledge: knowledge(program),
        prints: Vec::new(),
    };
    if decision.verdict.works() {
        out.recipe = Some(teller.recipe());
    }
    if explore {
        if decision.verdict == Verdict::Depends && decision.code != Code::Contradiction {
            out.depends_on = deciding(&teller);
        }
        if !decision.verdict.works() && decision.code != Code::Contradiction {
            changes(context, stated, &decision, &mut out);
        }
    }
    out.summary = teller.summary(&out);
    out
}

/// Small changes: other inks are alternatives, the rest are fixes; for an open job the first is the safe way.
fn changes(context: Context<'_>, stated: &Stated, decision: &Decision, out: &mut Answer) {
    let program = context.program;
    for Found { words, other_ink, ways, .. } in single_changes(program, stated, context.options, context.units) {
        let mut fix = Fix { changes: vec![words], verdict: "", conditions: Vec::new(), cautions: Vec::new() };
        for (stated, decision) in &ways {
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
        if other_ink { out.alternatives.push(fix) } else { out.fixes.push(fix) }
    }
    if decision.verdict == Verdict::Depends {
        out.safe_way = out.fixes.first().or(out.alternatives.first()).cloned();
    }
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

/// The weakest basis among the first reasons: a conclusion is no stronger than its weakest fact.
fn weakest(reasons: &[Reason]) -> Basis {
    fn of(reason: &Reason) -> Basis {
        let own = match reason.basis {
            Some("from memory") => Basis::FromMemory,
            Some("common practice") => Basis::CommonPractice,
            Some("house") => Basis::House,
            _ => Basis::Published,
        };
        reason.because.iter().map(of).fold(own, Basis::max)
    }
    reasons.iter().map(of).max().unwrap_or(Basis::CommonPractice)
}

/// The statements that contradict each other, in words.
pub fn contradiction_words(program: &Program, stated: &Stated, decision: &Decision) -> Vec<String> {
    let statements = decision.contradiction.iter().filter_map(|i| stated.statements.get(*i));
    statements
        .map(|s| {
            let label = s.attribute.of(&program.model).map_or("", |a| a.label.as_str());
            format!("{label}: {}", s.words)
        })
        .collect()
}

/// The hazards of a material of this name or id by itself, as answers that tell to take it say them.
pub fn hazards_of(program: &Program, name: &str) -> Vec<Said> {
    let stated = Stated::default();
    let decision = decide(program, &stated, Options { budget: 0, assume: false, explore: false, rows: false });
    let e = Evaluation::new(program, &decision.job);
    let teller = Teller { program, stated: &stated, decision: &decision, e: &e, units: Units::default() };
    let found = program.model.entities.iter().enumerate().filter(|(_, e)| e.name == name || e.id == name);
    found.flat_map(|(index, _)| teller.material_hazards(EntityId(index as u16))).collect()
}

pub(super) struct Teller<'a> {
    pub(super) program: &'a Program,
    pub(super) stated: &'a Stated,
    pub(super) decision: &'a Decision,
    pub(super) e: &'a Evaluation<'a>,
    pub(super) units: Units,
}

impl Teller<'_> {
    fn reasons(&self) -> Vec<Reason> {
        let mut reasons: Vec<Reason> = match self.decision.code {
            Code::Contradiction => self.contradiction(),
            Code::NotKnown => self.lacks(),
            Code::Undecided => Vec::new(),
            _ if self.decision.verdict.works() => self.grounds(),
            _ => self.decision.causes.iter().map(|c| self.cause(self.e, c)).collect(),
        };
        // Of several refusals the best supported leads.
        if self.decision.verdict == Verdict::No {
            reasons.sort_by_key(|r| weakest(std::slice::from_ref(r)));
        }
        reasons
    }

    fn contradiction(&self) -> Vec<Reason> {
        let words = contradiction_words(self.program, self.stated, self.decision);
        let mut reason = plain("contradiction", format!("these cannot all be true: {}", all_of(&words)));
        if let Some(Cause::Rule(index, layer)) = self.decision.causes.first() {
            // Told about the statements alone: the whole job has nothing left to tell.
            let statements =
                self.decision.contradiction.iter().filter_map(|i| self.stated.statements.get(*i)).cloned().collect();
            let job = crate::reason::decide::base(self.program, &Stated { layers: self.stated.layers, statements });
            let e = Evaluation::new(self.program, &job);
            reason.because.extend(explain(&e, *index, *layer).map(|s| self.step(&e, &s, 3)));
        }
        vec![reason]
    }

    fn lacks(&self) -> Vec<Reason> {
        let mut reasons = Vec::new();
        for (need, _) in &self.decision.lacking {
            let Some(need) = self.program.needs.get(*need as usize) else { continue };
            let Some(aspect) = self.program.model.aspects.get(usize::from(need.aspect)) else { continue };
            let elements: Vec<String> = aspect
                .scope
                .bounds
                .iter()
                .zip(&need.elements)
                .filter_map(|(b, m)| self.program.model.member(b.kind, *m))
                .map(|e| e.name.clone())
                .collect();
            let on = if elements.is_empty() { String::new() } else { format!(" on {}", all_of(&elements)) };
            let mut reason =
                plain("not-known", format!("nothing is known that shows that {}{on}; {}", aspect.says, aspect.trial));
            reason.values.insert("aspect".to_owned(), json!(aspect.name));
            if !reasons.contains(&reason) {
                reasons.push(reason);
            }
        }
        reasons
    }

    /// A quantity in the units of whoever asked.
    fn quantity(&self, i: Interval, dimension: DimensionId) -> String {
        self.units.write(&self.program.model, i, dimension)
    }

    /// Positive grounds, and the windows with what bounds them.
    fn grounds(&self) -> Vec<Reason> {
        let mut reasons: Vec<Reason> = Vec::new();
        for need in &self.program.needs {
            for layer in self.e.need_frames(need) {
                if self.e.needed(need, layer) == Truth::False {
                    continue;
                }
                for index in &need.grounds {
                    let Some(instance) = self.program.instance(*index) else { continue };
                    let frame = if self.program.per(instance) == crate::model::Per::Job { 0 } else { layer };
                    if self.e.fires(instance, frame) != Truth::True {
                        continue;
                    }
                    let Some(step) = explain(self.e, *index, frame) else { continue };
                    let reason = self.step(self.e, &step, 3);
                    if !reasons.iter().any(|r| r.code == reason.code && r.text == reason.text) {
                        reasons.push(reason);
                    }
                }
            }
        }
        for (setting, low, high) in &self.program.windows {
            for layer in 0..self.e.window_layers(*low) {
                reasons.extend(self.window(*setting, *low, *high, layer));
            }
        }
        reasons
    }

    /// A window that is bounded, with its bounds.
    fn window(&self, setting: AttributeId, low: u16, high: u16, layer: usize) -> Option<Reason> {
        let attribute = setting.of(&self.program.model)?;
        let AttributeType::Setting(dimension) = attribute.ty else { return None };
        let (a, b) = (self.e.end(low, layer), self.e.end(high, layer));
        if a.high <= LEAST && b.low >= MOST {
            return None;
        }
        let words = self.quantity(Interval { low: a.high, high: b.low, none: Truth::False }, dimension);
        let mut reason = plain("window", format!("{}: {words}", attribute.label));
        reason.values.insert(attribute.name.clone(), json!(words));
        for (node, end) in [(low, End::Low), (high, End::High)] {
            if let (Some((index, frame)), _) = strongest(self.e, node, layer, end, Truth::Open) {
                reason.because.extend(explain(self.e, index, frame).map(|s| self.step(self.e, &s, 2)));
            }
        }
        Some(reason)
    }

    /// A refusal as a reason.
    pub(super) fn cause(&self, e: &Evaluation<'_>, cause: &Cause) -> Reason {
        match cause {
            Cause::Rule(index, layer) => match explain(e, *index, *layer) {
                Some(step) => self.step(e, &step, 4),
                None => plain("refused", String::new()),
            },
            Cause::Window { setting, layer, low, high, low_at, .. } => {
                let attribute = setting.of(&self.program.model);
                let label = attribute.map_or("", |a| a.label.as_str());
                let write = |by: &Option<(u32, usize)>, end: End| match attribute.map(|a| a.ty) {
                    Some(AttributeType::Setting(d)) => self.quantity(bound(e, *setting, *layer, *by, end), d),
                    _ => String::new(),
                };
                // An end that is itself open is told by its own words.
                let bare = |words: String, own: &str| words.strip_prefix(own).map(str::to_owned).unwrap_or(words);
                let least = bare(write(low, End::Low), "at least ");
                let most = bare(write(high, End::High), "at most ");
                let low_at = *low_at;
                let because: Vec<Reason> = low
                    .iter()
                    .chain(high)
                    .filter_map(|(index, frame)| explain(e, *index, *frame))
                    .map(|s| self.step(e, &s, 3))
                    .collect();
                let words = |by: &Option<(u32, usize)>| -> Option<String> {
                    let (index, frame) = (*by)?;
                    let instance = self.program.instance(index)?;
                    Some(text(e, &self.units, &instance.text, frame).0)
                };
                let (low_words, high_words) = (words(low), words(high));
                let need = match low_words {
                    _ if low_at >= MOST => format!("no {label} is enough"),
                    Some(why) => format!("the {label} must be at least {least} ({why})"),
                    None => format!("a {label} of {least} was given"),
                };
                let sentence = match high_words {
                    _ if low_at >= MOST => need,
                    Some(why) => format!("{need}, but at most {most} ({why})"),
                    None => format!("{need}, but {most} was given"),
                };
                // The rule that the job breaks names the refusal: the bound from above, unless that was stated.
                let code = high
                    .or(*low)
                    .and_then(|(i, _)| self.program.instance(i))
                    .and_then(|i| self.program.model.rules.get(usize::from(i.rule)));
                let mut reason = plain(code.map_or("window", |r| r.id.as_str()), sentence);
                reason.rule = code.map(|r| r.id.clone());
                reason.values.insert("at_least".to_owned(), json!(least));
                reason.values.insert("at_most".to_owned(), json!(most));
                // As well supported as the weaker of the two bounds, and from where that comes.
                let rank = |b: &&Reason| b.basis.map(basis_rank);
                if let Some(weakest) = because.iter().filter(|b| b.basis.is_some()).max_by_key(rank) {
                    reason.basis = weakest.basis;
                    reason.layer.clone_from(&weakest.layer);
                    reason.place.clone_from(&weakest.place);
                }
                reason.because = because;
                reason
            }
            Cause::Lack(need, _) => {
                let aspect = self
                    .program
                    .needs
                    .get(*need as usize)
                    .and_then(|n| self.program.model.aspects.get(usize::from(n.aspect)));
                let says = aspect.map_or("", |a| a.says.as_str());
                let trial = aspect.map_or("", |a| a.trial.as_str());
                plain("not-known", format!("nothing is known that shows that {says}; {trial}"))
            }
        }
    }

    /// A rule instance as a reason, with its facts and the derivations behind them.
    pub(super) fn step(&self, e: &Evaluation<'_>, step: &Step, depth: u32) -> Reason {
        let Some(instance) = self.program.instance(step.instance) else { return plain("rule", String::new()) };
        let Some(rule) = self.program.model.rules.get(usize::from(instance.rule)) else {
            return plain("rule", String::new());
        };
        let (mut words, values) = text(e, &self.units, &instance.text, step.layer);
        if words.is_empty() {
            words = rule.says.clone();
        }
        let mut reason = self.with_origin(plain(&rule.id, words), &rule.origin);
        reason.rule = Some(rule.id.clone());
        reason.values = values;
        if depth == 0 {
            return reason;
        }
        let mut reads: Vec<FactRead> =
            step.tests.iter().flat_map(|t| t.reads.iter()).chain(&step.reads).copied().collect();
        reads.sort();
        reads.dedup();
        for read in reads {
            reason.because.extend(self.fact(e, read));
        }
        for behind in &step.because {
            reason.because.push(self.step(e, behind, depth - 1));
        }
        reason
    }

    fn with_origin(&self, mut reason: Reason, origin: &Origin) -> Reason {
        reason.basis = Some(origin.basis.words());
        reason.source = self.program.model.citations(origin);
        reason.layer = Some(self.program.model.layer(origin.span).to_owned());
        reason.place = Some(self.program.model.place(origin.span));
        reason
    }

    /// A fact: stated, assumed, or of the knowledge.
    fn fact(&self, e: &Evaluation<'_>, read: FactRead) -> Option<Reason> {
        match read {
            FactRead::Derived(..) => None,
            FactRead::Attribute(id, layer) => {
                let attribute = id.of(&self.program.model)?;
                let (words, value) = domain(self.program, id, e.domain(slot_of(self.program, id), layer)?);
                let assumed = self.decision.assumed.iter().any(|a| a.attribute == id && a.layer == layer);
                let code = if assumed {
                    "assumed"
                } else if self.stated.mentions(id, layer) {
                    "stated"
                } else {
                    "open"
                };
                let mut reason = plain(code, format!("{}: {words} ({code})", attribute.label));
                reason.values.insert(attribute.name.clone(), value);
                Some(reason)
            }
            FactRead::Knowledge(entity, property) => {
                let own = self.program.model.entities.get(entity.index())?;
                let declared = self.program.model.properties.get(property.index())?;
                let fact = own.facts.get(&property)?;
                let words = value_words(&self.program.model, declared.ty, &fact.value);
                let mut said = format!("{}: {} {words}", own.name, declared.name.replace('_', " "));
                if let Some(parent) = fact.origin.inherited.and_then(|p| self.program.model.entities.get(p.index())) {
                    said.push_str(&format!(" (as {})", parent.name));
                }
                let mut reason = self.with_origin(plain("knowledge", said), &fact.origin);
                reason.values.insert(format!("{}.{}", own.id, declared.name), json!(words));
                Some(reason)
            }
        }
    }

    fn rule_of(&self, index: u32) -> Option<&Rule> {
        self.program.model.rules.get(usize::from(self.program.instance(index)?.rule))
    }

    /// Conditions or notes in words, in their order. One that only some jobs need says which; what is said of several
    /// layers or things alike is said once.
    fn told(&self, e: &Evaluation<'_>, fired: &[Fired]) -> Vec<Said> {
        let mut told: Vec<(Said, Vec<Piece>)> = Vec::new();
        for f in fired {
            let (Some(instance), Some(rule)) = (self.program.instance(f.instance), self.rule_of(f.instance)) else {
                continue;
            };
            let own = pieces(e, &self.units, &instance.text, f.layer);
            let when = if f.sure { None } else { self.when(f) };
            let alike = told.iter_mut().find_map(|t| {
                let same = t.0.code == rule.id && (t.1 == own || (t.0.when == when && merge(&mut t.1, &own)));
                same.then_some(t)
            });
            if let Some((said, p)) = alike {
                // What holds in any case holds in this one.
                if when.is_none() {
                    said.when = None;
                }
                (said.text, said.values) = joined_pieces(p);
                continue;
            }
            let about = match &rule.effect {
                Effect::Note { about, .. } => Some(about.clone()),
                _ => None,
            };
            let (text, values) = joined_pieces(&own);
            let basis = rule.origin.basis.words();
            let source = self.program.model.citations(&rule.origin);
            let layer = self.program.model.layer(rule.origin.span).to_owned();
            let place = self.program.model.place(rule.origin.span);
            told.push((Said { code: rule.id.clone(), text, values, about, when, basis, source, layer, place }, own));
        }
        told.into_iter().map(|t| t.0).collect()
    }

    /// What must be done, in the order of work.
    fn conditions(&self) -> Vec<Said> {
        let mut fired = self.decision.conditions.clone();
        fired.sort_by_key(|f| self.rule_of(f.instance).and_then(|r| r.step).unwrap_or(usize::MAX));
        self.told(self.e, &fired)
    }

    /// Cautions, and advice. What must not be done needs no advice on how to do it.
    fn cautions(&self) -> (Vec<Said>, Vec<Said>) {
        if self.decision.verdict == Verdict::No {
            return (self.hazards(), Vec::new());
        }
        let rank = |f: &Fired| {
            let rule = self.rule_of(f.instance)?;
            let Effect::Note { about, .. } = &rule.effect else { return None };
            let about = ["health", "law", "quality", "advice"].iter().position(|a| a == about);
            Some((!f.sure, about, rule.only_if_done))
        };
        let mut notes = self.notes();
        // What holds in any case comes before what may, and work before cleaning up.
        notes.sort_by_key(rank);
        let (sure, rest): (Vec<Fired>, Vec<Fired>) = notes.into_iter().partition(|f| f.sure && self.is_hazard(f));
        let mut told = self.told(self.e, &sure);
        // The hazards of what is to be taken stand with those of what was named.
        for said in self.taken_hazards().into_iter().chain(self.told(self.e, &rest)) {
            if !told.iter().any(|t| same(t, &said)) {
                told.push(said);
            }
        }
        told.into_iter().partition(|s| s.about.as_deref() != Some("advice"))
    }

    /// Notes that fire or may; but none on something that nobody said the shop has.
    fn notes(&self) -> Vec<Fired> {
        let named = |f: &&Fired| {
            let bounds = self.rule_of(f.instance).map(|r| r.scope.bounds.as_slice()).unwrap_or_default();
            let role = |b: &crate::model::Bound| b.attribute.of(&self.program.model).map(|a| a.role);
            f.sure || !bounds.iter().any(|b| role(b) == Some(Role::Capability))
        };
        self.decision.notes.iter().filter(named).copied().collect()
    }

    /// What can hurt people whether the job is done or only prepared.
    pub(super) fn hazards(&self) -> Vec<Said> {
        let notes: Vec<Fired> = self.notes().into_iter().filter(|f| self.is_hazard(f)).collect();
        let mut hazards = self.told(self.e, &notes);
        hazards.sort_by_key(|h| h.when.is_some());
        for taken in self.taken_hazards() {
            if !hazards.iter().any(|h| same(h, &taken)) {
                hazards.push(taken);
            }
        }
        hazards
    }

    fn is_hazard(&self, fired: &Fired) -> bool {
        let rule = self.rule_of(fired.instance);
        rule.is_some_and(|r| matches!(&r.effect, Effect::Note { about, .. } if about == "health") && !r.only_if_done)
    }

    /// The hazards of the materials that texts of this answer tell to take.
    fn taken_hazards(&self) -> Vec<Said> {
        let causes = self.decision.causes.iter().chain(self.decision.rows.iter().map(|r| &r.cause));
        let refusing = causes.filter_map(|c| match c {
            Cause::Rule(index, _) => Some(*index),
            _ => None,
        });
        let fired = self.decision.conditions.iter().chain(&self.decision.notes).map(|f| f.instance);
        let mut taken: Vec<EntityId> =
            fired.chain(refusing).filter_map(|i| self.rule_of(i)).flat_map(|r| &r.takes).copied().collect();
        taken.sort();
        taken.dedup();
        taken.into_iter().flat_map(|id| self.material_hazards(id)).collect()
    }

    /// The hazards of a material by itself, whatever it is used with.
    fn material_hazards(&self, id: EntityId) -> Vec<Said> {
        let Some(alone) = super::changes::alone(self.program, id) else { return Vec::new() };
        let job = crate::reason::decide::base(self.program, &alone);
        let e = Evaluation::new(self.program, &job);
        let notes = crate::reason::decide::fired(&e, &self.program.notes);
        let hazards: Vec<Fired> = notes.into_iter().filter(|f| f.sure && self.is_hazard(f)).collect();
        self.told(&e, &hazards)
    }

    fn when(&self, fired: &Fired) -> Option<String> {
        let instance = self.program.instance(fired.instance)?;
        let rule = self.program.model.rules.get(usize::from(instance.rule))?;
        if let Some(told) = &rule.told {
            return Some(told.clone());
        }
        // Each way in which it applies is told.
        let ways = ways(self.e, &instance.clauses, fired.layer);
        let mut words: Vec<String> = ways.iter().map(|way| all_of(&case_words(self.e, way))).collect();
        words.dedup();
        let told = !words.is_empty() && words.iter().all(|w| !w.is_empty());
        Some(if told { format!("if {}", words.join(", or if ")) } else { "in some cases".to_owned() })
    }

    fn assumed(&self, explore: bool) -> Vec<Assumed> {
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
        .collect()
    }

    /// Whether anything would be told otherwise if an attribute were open.
    fn matters(&self, attribute: &Attribute, slot: crate::job::Slot, layer: usize) -> bool {
        let mut open = self.decision.job.clone();
        if let Some(d) = open.domain_mut(slot, layer) {
            *d = Domain::everything(attribute.ty, &self.program.model);
        }
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

    /// The windows of the settings, each with a suggestion and how it came about.
    fn recipe(&self) -> Recipe {
        let mut settings = Map::new();
        // Each setting is looked at with the suggestions before it taken: a time belongs to its temperature.
        let mut job = self.decision.job.clone();
        for (setting, low, high) in &self.program.windows {
            let Some(attribute) = setting.of(&self.program.model) else { continue };
            let AttributeType::Setting(dimension) = attribute.ty else { continue };
            let Some(d) = self.program.model.dim(dimension) else { continue };
            let key = attribute.json.as_deref().and_then(|j| j.rsplit('.').next()).unwrap_or(&attribute.name);
            for layer in 0..self.e.window_layers(*low) {
                // Every possible bound counts: the window works for each job still possible.
                let (a, b) = {
                    let e = Evaluation::new(self.program, &job);
                    (e.end(*low, layer).high, e.end(*high, layer).low)
                };
                if a <= LEAST && b >= MOST {
                    continue;
                }
                let mut value = Map::new();
                let mut said = "no one value suits every case: it hangs on the open facts".to_owned();
                if a > b {
                    value.insert("depends".to_owned(), json!(true));
                } else {
                    let (wish, why) = self.suggested(attribute, a, b);
                    let taken = |s: i64| {
                        let mut tried = job.clone();
                        if let Some(own) = tried.domain_mut(slot_of(self.program, *setting), layer) {
                            *own = own.and(&Domain::Number { low: s, high: s });
                        }
                        (Evaluation::new(self.program, &tried).refused() != Truth::True).then_some(tried)
                    };
                    let (mut low, mut high) = (a, b);
                    let mut aim = None;
                    if let Some(s) = wish.filter(|s| (LEAST + 1..MOST).contains(s)) {
                        if let Some(tried) = taken(s) {
                            aim = Some((s, why, tried));
                        } else {
                            // What leaves another setting no value is no suggestion: the nearest that leaves one is.
                            let step = d.units.first().map_or(1, |u| u.steps);
                            let toward =
                                [b, a].into_iter().find(|end| (LEAST + 1..MOST).contains(end) && taken(*end).is_some());
                            if let Some(near) = toward.map(|end| nearest(s, end, step, |x| taken(x).is_some())) {
                                if near > s {
                                    low = near
                                } else {
                                    high = near
                                }
                                aim = taken(near).map(|tried| (near, OTHERS, tried));
                            }
                        }
                    }
                    if low > LEAST {
                        value.insert("min".to_owned(), rounded(d.reading(low, 0)));
                    }
                    if high < MOST {
                        value.insert("max".to_owned(), rounded(d.reading(high, 0)));
                    }
                    said = self.quantity(Interval { low, high, none: Truth::False }, dimension);
                    if let Some((s, why, tried)) = aim {
                        job = tried;
                        value.insert("suggested".to_owned(), rounded(d.reading(s, 0)));
                        value.insert("why".to_owned(), json!(why));
                        let at = self.quantity(Interval::point(s), dimension);
                        let idle = attribute.told.unaimed.as_ref().filter(|_| attribute.aim.is_some());
                        said = match (why, idle) {
                            (USUAL, Some(idle)) => idle.replace("{}", &said),
                            // The least and what was given are said already.
                            (LEAST_OF_ALL | GIVEN, _) => said,
                            (TARGET, _) => format!("{said}, aim for {at}"),
                            _ => format!("{said}, aim for {at} ({why})"),
                        };
                    }
                }
                value.insert("unit".to_owned(), json!(d.units.first().map_or("1", |u| u.ucum.as_str())));
                if let Some(place) = &attribute.place {
                    value.insert("place".to_owned(), json!(place));
                }
                let many = attribute.per_layer && job.layers.len() > 1;
                let of = if many { format!(", layer {}", layer + 1) } else { String::new() };
                value.insert("text".to_owned(), json!(format!("{}{of}: {said}", attribute.label)));
                let name = if attribute.per_layer { format!("{key}_layer_{}", layer + 1) } else { key.to_owned() };
                settings.insert(name, Value::Object(value));
            }
        }
        Recipe { settings, steps: Vec::new(), quantities: Vec::new(), tests: Vec::new() }
    }

    fn suggested(&self, setting: &Attribute, low: i64, high: i64) -> (Option<i64>, &'static str) {
        let node = setting.aim.and_then(|a| self.program.nodes.iter().position(|n| n.attribute == a));
        let aims: Vec<i64> = node
            .into_iter()
            .flat_map(|n| (0..self.e.window_layers(n as u16)).map(move |l| (n, l)))
            // Where nothing is derived there is nothing to aim for.
            .filter(|(n, _)| {
                let derived = self.program.nodes.get(*n).map(|node| node.from.as_slice()).unwrap_or_default();
                fires_any(self.e, derived)
            })
            .map(|(n, l)| self.e.end(n as u16, l).high)
            .collect();
        let usual = setting.usual.first().copied();
        match (aims.into_iter().max(), usual) {
            _ if low == high => (Some(low), GIVEN),
            (Some(target), _) if target > low && target < high => (Some(target), TARGET),
            (Some(target), _) if target >= high => (Some(high), "as near to the target as the limits allow"),
            (Some(target), _) if target == low => (Some(low), TARGET),
            (None, Some(usual)) if (low..=high).contains(&usual) => (Some(usual), USUAL),
            _ if low > LEAST => (Some(low), LEAST_OF_ALL),
            _ => (None, ""),
        }
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
            (Verdict::Depends, Code::NotKnown) => format!("Not known: {first}."),
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

    /// What the question is about, in words.
    fn subject(&self) -> String {
        let layers: Vec<String> =
            (0..self.stated.layers).map(|l| self.layer_words(l)).filter(|w| !w.is_empty()).collect();
        let ink = layers.join(" under ");
        let mut plain: Vec<String> = Vec::new();
        let mut told: Vec<String> = Vec::new();
        let mut clauses: Vec<String> = Vec::new();
        // The colour of a thing is said before the thing, and what it is made of after: the vocabulary goes from the
        // cloth outwards.
        for (index, attribute) in self.program.model.attributes.iter().enumerate().rev() {
            if attribute.per_layer {
                continue;
            }
            let Some(words) = self.stated_words(AttributeId(index as u16), 0) else { continue };
            match (&attribute.told.said, &attribute.clause) {
                (None, Some(clause)) => clauses.insert(0, format!("{clause} {words}")),
                (None, None) if attribute.phrase.is_none() => {}
                (Some(said), _) => told.insert(0, said.replace("{}", &words)),
                (None, None) if matches!(attribute.ty, AttributeType::Blend(_)) && plain.len() > 1 => {
                    if let Some(last) = plain.last_mut() {
                        last.push(',');
                    }
                    plain.push(words);
                }
                (None, None) => plain.push(words),
            }
        }
        plain.extend(told);
        plain.extend(clauses);
        let cloth = plain.join(" ");
        shortened(if cloth.is_empty() { ink } else { format!("{ink} on {cloth}") })
    }

    /// A layer in words: colour, material, what is stirred in.
    fn layer_words(&self, layer: usize) -> String {
        let (mut before, mut material, mut after) = (Vec::new(), Vec::new(), Vec::new());
        for (index, attribute) in self.program.model.attributes.iter().enumerate().filter(|a| a.1.per_layer) {
            let Some(words) = self.stated_words(AttributeId(index as u16), layer) else { continue };
            match (&attribute.told.said, &attribute.phrase) {
                (Some(said), _) => after.push(said.replace("{}", &words)),
                (None, None) if attribute.clause.is_some() => {
                    after.push(format!("{} {words}", attribute.clause.as_deref().unwrap_or_default()));
                }
                (None, Some(_)) if attribute.material => material.push(words),
                (None, Some(_)) => before.push(words),
                (None, None) => {}
            }
        }
        before.into_iter().chain(material).chain(after).collect::<Vec<_>>().join(" ")
    }

    /// What was said of an attribute, as it was understood.
    fn stated_words(&self, id: AttributeId, layer: usize) -> Option<String> {
        let statement = self.stated.statements.iter().find(|s| s.attribute == id && s.layer == layer)?;
        let attribute = id.of(&self.program.model)?;
        let d = self.decision.job.domain(slot_of(self.program, id), layer)?;
        let words = match (d, attribute.ty) {
            (Domain::YesNo { yes: true, no: true }, _) => return None,
            (Domain::YesNo { yes, .. }, _) => {
                let list = if *yes { &attribute.words.0 } else { &attribute.words.1 };
                list.first().cloned().unwrap_or_default()
            }
            (Domain::Amounts(_), AttributeType::Amounts(kind)) => {
                let (must, _) = crate::reason::evaluate::members(d)?;
                all_of(&self.program.model.names(kind, must).into_iter().map(str::to_owned).collect::<Vec<_>>())
            }
            (Domain::Set { must, .. }, _) if must.is_empty() => return None,
            (Domain::Set { must, .. }, AttributeType::Set(kind)) => {
                all_of(&self.program.model.names(kind, *must).into_iter().map(str::to_owned).collect::<Vec<_>>())
            }
            (Domain::Number { low, high }, AttributeType::Quantity(d) | AttributeType::Setting(d)) => {
                self.quantity(Interval { low: *low, high: *high, none: Truth::False }, d)
            }
            // An everything that was stated is something that is not known.
            _ if *d == Domain::everything(attribute.ty, &self.program.model) => return None,
            _ => domain(self.program, id, d).0,
        };
        // A shade given by its value is told with the names it was taken for.
        let words = if statement.words.starts_with('#') { format!("{} ({words})", statement.words) } else { words };
        (!words.is_empty()).then_some(words)
    }
}

/// The longest subject that is told in full.
const LONGEST_SUBJECT: usize = 200;

/// Cut between words where it is too long to read.
fn shortened(text: String) -> String {
    if text.chars().count() <= LONGEST_SUBJECT {
        return text;
    }
    let mut short = String::new();
    for word in text.split(' ') {
        if short.chars().count() + word.chars().count() > LONGEST_SUBJECT {
            break;
        }
        short.push_str(word);
        short.push(' ');
    }
    short.push('…');
    short
}

// Why a value is suggested.
const GIVEN: &str = "as given";
const TARGET: &str = "the target";
const USUAL: &str = "the usual";
const LEAST_OF_ALL: &str = "the least that suffices";
const OTHERS: &str = "so that the other settings can be met";

/// The value nearest to what is wished that does, given an end that does; in whole steps.
fn nearest(wish: i64, end: i64, step: i64, does: impl Fn(i64) -> bool) -> i64 {
    let (mut fails, mut works) = (wish, end);
    while (works - fails).abs() > step {
        // On a whole step where there is one between the two.
        let middle = fails + (works - fails) / 2;
        let whole = middle.div_euclid(step) * step;
        let between = (fails.min(works) + 1..fails.max(works)).contains(&whole);
        let tried = if between { whole } else { middle };
        if does(tried) { works = tried } else { fails = tried }
    }
    works
}

/// Takes the other's words into a sentence that differs from it in one name only.
fn merge(own: &mut [Piece], other: &[Piece]) -> bool {
    if own.len() != other.len() || own.iter().zip(other).any(|(a, b)| a.path != b.path) {
        return false;
    }
    let differ = |(a, b): &(&mut Piece, &Piece)| !b.words.iter().all(|w| a.words.contains(w));
    let mut open: Vec<(&mut Piece, &Piece)> = own.iter_mut().zip(other).filter(differ).collect();
    let Some(path) = open.first().and_then(|(a, _)| a.path.clone()) else { return open.is_empty() };
    if open.iter().any(|(a, _)| !a.name || a.path.as_ref() != Some(&path)) {
        return false;
    }
    for (a, b) in &mut open {
        a.words.extend(b.words.iter().cloned());
    }
    true
}

/// Whether two say the same.
fn same(a: &Said, b: &Said) -> bool {
    a.code == b.code && a.text == b.text
}

fn plain(code: &str, text: String) -> Reason {
    Reason {
        code: code.to_owned(),
        text,
        values: Map::new(),
        rule: None,
        basis: None,
        source: None,
        layer: None,
        place: None,
        because: Vec::new(),
    }
}

/// Whether any of these instances fires somewhere.
fn fires_any(e: &Evaluation<'_>, instances: &[u32]) -> bool {
    instances
        .iter()
        .filter_map(|i| e.program.instance(*i))
        .any(|i| e.frames(e.program.per(i)).any(|layer| e.fires(i, layer) != Truth::False))
}

fn basis_rank(basis: &str) -> usize {
    ["published", "house", "common practice", "from memory"].iter().position(|b| *b == basis).unwrap_or(0)
}

/// A knowledge value in words.
pub fn value_words(model: &Model, ty: crate::model::PropertyType, value: &crate::model::Value) -> String {
    use crate::model::{PropertyType as P, Value as V};
    let write = |d, low, high| interval(model, Interval { low, high, none: Truth::False }, d);
    let names = |k, m| model.names(k, m).join(", ");
    match (value, ty) {
        (V::Quantity(q), P::Quantity(d)) => write(d, *q, *q),
        (V::Window(a, b), P::Window(d)) => write(d, *a, *b),
        (V::Varies(a, b), P::Quantity(d)) => format!("{}, differs by item", write(d, *a, *b)),
        (V::Disputed { low, high, plan }, P::Quantity(d)) => {
            format!("{} (sources disagree: {}; a test to make)", write(d, *plan, *plan), write(d, *low, *high))
        }
        (V::YesNo(b), _) => (if *b { "yes" } else { "no" }).to_owned(),
        (V::Choice(m), P::Choice(k)) => names(k, crate::model::Mask::one(*m)),
        (V::Set(m), P::Set(k)) => names(k, *m),
        (V::Text(t), _) => t.clone(),
        (V::Schedule(points), P::Schedule { at, needs }) => points
            .iter()
            .map(|(level, need)| format!("{} at {}", write(needs, *need, *need), write(at, *level, *level)))
            .collect::<Vec<_>>()
            .join(", "),
        (V::None, _) => "none".to_owned(),
        (V::Unknown, _) => "not known".to_owned(),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_that_does_is_a_whole_step() {
        assert_eq!(nearest(1600, 1850, 10, |x| x >= 1800), 1800);
        assert_eq!(nearest(1600, 1200, 10, |x| x <= 1305), 1300);
        assert_eq!(nearest(1600, 1605, 10, |x| x >= 1603), 1605);
    }

    #[test]
    fn sentences_that_differ_in_one_name_are_one() {
        let piece = |path: Option<&str>, words: &str, name| Piece {
            path: path.map(str::to_owned),
            words: vec![words.to_owned()],
            name,
        };
        let said = |thing: &str, dose: &str| {
            vec![piece(Some("thing"), thing, true), piece(None, " needs ", false), piece(Some("dose"), dose, false)]
        };
        let mut own = said("this", "1 %");
        assert!(merge(&mut own, &said("that", "1 %")));
        assert_eq!(joined_pieces(&own).0, "this and that needs 1 %");
        // Another figure is another sentence.
        assert!(!merge(&mut own, &said("that", "2 %")));
    }

    #[test]
    fn long_texts_are_cut_between_words() {
        let long = "word ".repeat(100);
        let short = shortened(long.trim().to_owned());
        assert!(short.ends_with("word …") && short.chars().count() <= LONGEST_SUBJECT + 2);
        assert_eq!(shortened("short".to_owned()), "short");
    }
}
