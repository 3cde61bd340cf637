//! Why: what rules and facts say, as a tree of reasons.

use super::Reason;
use super::teller::Teller;
use super::words::{all_of, domain, interval, text};
use crate::job::Domain;
use crate::model::{AttributeId, AttributeType, Basis, End, Model, Origin};
use crate::program::Program;
use crate::quantity::{DimensionId, LEAST, MOST};
use crate::reason::decide::{Cause, Code, Decision, Verdict, strongest};
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::reason::explain::{FactRead, Step, explain};
use crate::reason::rows::bound;
use crate::reason::split::slot_of;
use crate::statement::{Stated, Statement};
use serde_json::{Map, json};

/// The weakest basis among the first reasons: a conclusion is no stronger than its weakest fact.
pub(super) fn weakest(reasons: &[Reason]) -> Basis {
    fn of(reason: &Reason) -> Basis {
        let own = reason.basis.and_then(Basis::of).unwrap_or(Basis::Published);
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

impl Teller<'_> {
    pub(super) fn reasons(&self) -> Vec<Reason> {
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
            let job = crate::reason::decide::base(self.program, &self.stated.only(&self.decision.contradiction));
            let e = Evaluation::new(self.program, &job);
            reason.because.extend(explain(&e, *index, *layer).map(|s| self.step(&e, &s, 3)));
            if let Some(why) = reason.because.first() {
                reason.text = format!("{}: {}", reason.text, why.text);
            }
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

    /// Whether what was said of a setting leaves it open between two ends.
    fn is_range(&self, setting: AttributeId, layer: usize) -> bool {
        let mut own = self.stated.statements.iter().filter(|s| s.attribute == setting && s.layer == layer);
        own.any(|s| !s.domain.is_single() && self.said_around(s).is_none())
    }

    /// The value of a setting that was said, and is meant about so.
    fn said_around(&self, said: &Statement) -> Option<(i64, DimensionId)> {
        let Some(AttributeType::Setting(d)) = said.attribute.of(&self.program.model).map(|a| a.ty) else { return None };
        let Domain::Number { low, high } = said.domain else { return None };
        Some((self.program.model.dim(d)?.said_around(low, high)?, d))
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
                // A stated end is told as it was said.
                let mut own = self.stated.statements.iter().filter(|s| s.attribute == *setting && s.layer == *layer);
                let said = own.find_map(|s| self.said_around(s));
                let said = said.map(|(v, d)| self.quantity(Interval { low: v, high: v, none: Truth::False }, d));
                let least = said.clone().filter(|_| low.is_none()).unwrap_or(least);
                let most = said.filter(|_| high.is_none()).unwrap_or(most);
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
                    None if self.is_range(*setting, *layer) => format!("{need}, but at most {most} was given"),
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
                let rank = |b: &&Reason| b.basis.and_then(Basis::of);
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

    pub(super) fn with_origin(&self, mut reason: Reason, origin: &Origin) -> Reason {
        reason.basis = Some(origin.basis.words());
        reason.source = self.program.model.citations(origin);
        reason.layer = Some(self.program.model.layer(origin.span).to_owned());
        reason.place = Some(self.program.model.place(origin.span));
        reason
    }

    /// A fact: stated, assumed, or of the knowledge.
    pub(super) fn fact(&self, e: &Evaluation<'_>, read: FactRead) -> Option<Reason> {
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
}

pub(super) fn plain(code: &str, text: String) -> Reason {
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
