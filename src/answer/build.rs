//! From a decision to an answer.

use super::branches::{deciding, rows};
use super::changes::{Change, single_changes};
use super::words::{all_of, case_words, domain, interval, quantity, rounded, text};
use super::{Answer, Assumed, Fix, KnowledgeId, Reason, Recipe, Said};
use crate::contract::{Detail, SCHEMA};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, Basis, Effect, End, Model, Origin};
use crate::program::Program;
use crate::quantity::{LEAST, MOST};
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
}

/// Decides a job and says so.
pub fn answer(context: Context<'_>, stated: &Stated) -> Answer {
    let program = context.program;
    let explore = context.options.explore && context.detail != Detail::Verdict;
    let decision = decide(program, stated, Options { explore, ..context.options });
    let e = Evaluation::new(program, &decision.job);
    let teller = Teller { program, stated, decision: &decision, e: &e };
    let reasons = teller.reasons();
    let evidence = weakest(&reasons);
    let (mut cautions, advice): (Vec<Said>, Vec<Said>) =
        decision.notes.iter().filter_map(|f| teller.said(f)).partition(|s| s.about.as_deref() != Some("advice"));
    // What holds in any case comes before what may.
    let rank = |about: &Option<String>| ["health", "law", "quality"].iter().position(|a| about.as_deref() == Some(*a));
    cautions.sort_by_key(|c| (c.when.is_some(), rank(&c.about)));
    let conditions: Vec<Said> = decision.conditions.iter().filter_map(|f| teller.said(f)).collect();
    let rows = rows(&teller);
    let mut out = Answer {
        schema: SCHEMA,
        id: None,
        ext: None,
        position: None,
        verdict: decision.verdict.word(),
        code: decision.code.word(),
        summary: String::new(),
        reasons,
        conditions,
        cautions,
        advice,
        recipe: None,
        depends_on: Vec::new(),
        rows,
        rows_complete: decision.rows_complete,
        safe_way: None,
        assumed: teller.assumed(),
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
    let found: Vec<(Change, Verdict)> = single_changes(context.program, stated, context.options);
    for (change, verdict) in found {
        let fix = Fix { changes: vec![change.words.clone()], verdict: verdict.word() };
        if decision.verdict == Verdict::Depends && out.safe_way.is_none() && !change.other_ink {
            out.safe_way = Some(fix.clone());
        }
        if change.other_ink { out.alternatives.push(fix) } else { out.fixes.push(fix) }
    }
    if decision.verdict == Verdict::Depends && out.safe_way.is_none() {
        out.safe_way = out.alternatives.first().cloned();
    }
}

fn knowledge(program: &Program) -> KnowledgeId {
    KnowledgeId {
        version: env!("CARGO_PKG_VERSION"),
        engine: env!("CARGO_PKG_VERSION"),
        digest: program.model.digest.clone(),
        overlays: Vec::new(),
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

pub(super) struct Teller<'a> {
    pub(super) program: &'a Program,
    pub(super) stated: &'a Stated,
    pub(super) decision: &'a Decision,
    pub(super) e: &'a Evaluation<'a>,
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
        let words = quantity(self.program, Interval { low: a.high, high: b.low, none: Truth::False }, dimension);
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
                    Some(AttributeType::Setting(d)) => quantity(self.program, bound(e, *setting, *layer, *by, end), d),
                    _ => String::new(),
                };
                let (low_at, least, most) = (*low_at, write(low, End::Low), write(high, End::High));
                let because: Vec<Reason> = low
                    .iter()
                    .chain(high)
                    .filter_map(|(index, frame)| explain(e, *index, *frame))
                    .map(|s| self.step(e, &s, 3))
                    .collect();
                let words = |by: &Option<(u32, usize)>| -> Option<String> {
                    let (index, frame) = (*by)?;
                    let instance = self.program.instance(index)?;
                    Some(text(e, &instance.text, frame).0)
                };
                let stated = |at: &str| format!("{at} was given");
                let low_words = words(low).unwrap_or_else(|| stated(&least));
                let high_words = words(high).unwrap_or_else(|| stated(&most));
                let need = if low_at >= MOST { "more than any".to_owned() } else { format!("at least {least}") };
                let sentence =
                    format!("the {label} would have to be {need} ({low_words}), and yet at most {most} ({high_words})");
                // The rule that the job breaks names the refusal: the bound from above, unless that was stated.
                let code = high
                    .or(*low)
                    .and_then(|(i, _)| self.program.instance(i))
                    .and_then(|i| self.program.model.rules.get(usize::from(i.rule)));
                let mut reason = plain(code.map_or("window", |r| r.id.as_str()), sentence);
                reason.rule = code.map(|r| r.id.clone());
                reason.values.insert("at_least".to_owned(), json!(least));
                reason.values.insert("at_most".to_owned(), json!(most));
                reason.basis = because.iter().filter_map(|b| b.basis).max_by_key(|b| basis_rank(b));
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
    fn step(&self, e: &Evaluation<'_>, step: &Step, depth: u32) -> Reason {
        let Some(instance) = self.program.instance(step.instance) else { return plain("rule", String::new()) };
        let Some(rule) = self.program.model.rules.get(usize::from(instance.rule)) else {
            return plain("rule", String::new());
        };
        let (mut words, values) = text(e, &instance.text, step.layer);
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

    /// A condition or note in words; one that only some jobs need says which.
    fn said(&self, fired: &Fired) -> Option<Said> {
        let instance = self.program.instance(fired.instance)?;
        let rule = self.program.model.rules.get(usize::from(instance.rule))?;
        let (words, values) = text(self.e, &instance.text, fired.layer);
        let about = match &rule.effect {
            Effect::Note { about, .. } => Some(about.clone()),
            _ => None,
        };
        let when = if fired.sure { None } else { self.when(fired) };
        Some(Said {
            code: rule.id.clone(),
            text: words,
            values,
            about,
            when,
            basis: rule.origin.basis.words(),
            source: self.program.model.citations(&rule.origin),
        })
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

    fn assumed(&self) -> Vec<Assumed> {
        let all = self.decision.assumed.iter();
        all.filter_map(|a| {
            let attribute = a.attribute.of(&self.program.model)?;
            let assumption = attribute.assume.get(a.index)?;
            let (_, value) =
                domain(self.program, a.attribute, self.e.domain(slot_of(self.program, a.attribute), a.layer)?);
            // A shop that was not described is not listed machine by machine.
            let value = if assumption.quiet { json!("usual") } else { value };
            Some(Assumed {
                attribute: attribute.name.clone(),
                value,
                text: assumption.words.clone(),
                changes_to: a.changes_to.map(Verdict::word),
            })
        })
        .collect()
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
                if a > b {
                    value.insert("depends".to_owned(), json!(true));
                } else {
                    if a > LEAST {
                        value.insert("min".to_owned(), rounded(d.reading(a, 0)));
                    }
                    if b < MOST {
                        value.insert("max".to_owned(), rounded(d.reading(b, 0)));
                    }
                    let (suggested, why) = self.suggested(attribute, a, b);
                    // What leaves another setting no value is no suggestion: then an end of the window is.
                    let others = [
                        (Some(b), "so that the other settings can be met"),
                        (Some(a), "so that the other settings can be met"),
                    ];
                    let wishes = std::iter::once((suggested, why)).chain(others).filter(|_| suggested.is_some());
                    for (wish, why) in wishes {
                        let Some(s) = wish.filter(|s| (LEAST + 1..MOST).contains(s)) else { continue };
                        let mut tried = job.clone();
                        if let Some(own) = tried.domain_mut(slot_of(self.program, *setting), layer) {
                            *own = own.and(&Domain::Number { low: s, high: s });
                        }
                        if Evaluation::new(self.program, &tried).refused() == Truth::True {
                            continue;
                        }
                        job = tried;
                        value.insert("suggested".to_owned(), rounded(d.reading(s, 0)));
                        value.insert("why".to_owned(), json!(why));
                        break;
                    }
                }
                value.insert("unit".to_owned(), json!(d.units.first().map_or("1", |u| u.ucum.as_str())));
                if let Some(place) = &attribute.place {
                    value.insert("place".to_owned(), json!(place));
                }
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
            _ if low == high => (Some(low), "as given"),
            (Some(target), _) if target > low && target < high => (Some(target), "what the ink aims for"),
            (Some(target), _) if target >= high => (Some(high), "as near to what the ink aims for as the cloth allows"),
            (Some(target), _) if target == low => (Some(low), "what the ink aims for"),
            (None, Some(usual)) if (low..=high).contains(&usual) => (Some(usual), "the usual"),
            _ if low > LEAST => (Some(low), "the least that suffices"),
            _ => (None, ""),
        }
    }

    fn summary(&self, out: &Answer) -> String {
        let subject = self.subject();
        let first = out.reasons.first().map_or("", |r| r.text.as_str());
        match (self.decision.verdict, self.decision.code) {
            (Verdict::Yes, _) => format!("Yes: {subject}."),
            (Verdict::YesIf, _) => {
                let many = out.conditions.len();
                format!(
                    "Yes, if: {subject}, with {} to keep.",
                    if many == 1 { "one condition".to_owned() } else { format!("{many} conditions") }
                )
            }
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
    pub(super) fn subject(&self) -> String {
        let said: Vec<(String, usize)> = self
            .stated
            .statements
            .iter()
            .filter_map(|s| {
                let attribute = s.attribute.of(&self.program.model)?;
                let d = self.decision.job.domain(slot_of(self.program, s.attribute), s.layer)?;
                let phrase = attribute.phrase.as_deref()?;
                let words = match (d, attribute.ty) {
                    (Domain::YesNo { yes, .. }, _) => {
                        let list = if *yes { &attribute.words.0 } else { &attribute.words.1 };
                        list.first().cloned().unwrap_or_default()
                    }
                    _ => domain(self.program, s.attribute, d).0,
                };
                let rank = if phrase == "ink" { 0 } else { 1 };
                (!words.is_empty()).then_some((words, rank))
            })
            .collect();
        let join =
            |rank: usize| said.iter().filter(|s| s.1 == rank).map(|s| s.0.as_str()).collect::<Vec<_>>().join(", ");
        let (ink, cloth) = (join(0), join(1));
        if cloth.is_empty() { ink } else { format!("{ink} on {cloth}") }
    }
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
