//! Which rules the worked cases touch: where each applies, where it only just does not, and both sides of each of its
//! thresholds.

use crate::model::{Formula, Rule, TestKind};
use crate::program::{Instance, Literal, Program};
use crate::reason::decide::{Code, Options, base, decide};
use crate::reason::evaluate::{Evaluation, Truth};
use crate::source::Span;
use crate::statement::Stated;
use serde::Serialize;

/// What the cases touch, rule by rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Coverage {
    /// The rules, in their order.
    pub rules: Vec<Touched>,
}

/// What the cases touch of a rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Touched {
    /// The rule.
    pub rule: String,
    /// Where it is written.
    pub place: String,
    /// A case in which it applies.
    pub applies: Option<String>,
    /// A case in which one test of its condition alone keeps it from applying.
    pub spares: Option<String>,
    /// Why no case can touch all of it, as the rule says.
    pub excuse: Option<String>,
    /// Nothing could: it has no condition, and what it ranges over is always there.
    pub always: bool,
    /// The comparisons in its condition.
    pub thresholds: Vec<Threshold>,
}

/// What the cases touch of a comparison that decides whether a rule applies.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Threshold {
    /// As it is written.
    pub text: String,
    /// A case in which it holds, and all else that the rule asks for.
    pub above: Option<String>,
    /// A case in which it does not hold, but all else.
    pub below: Option<String>,
}

impl Touched {
    /// Something is missing and nothing excuses it, or it is excused and nothing is missing.
    pub fn wrong(&self) -> bool {
        self.missing().is_empty() == self.excuse.is_some()
    }

    /// What no case touches, in words.
    pub fn missing(&self) -> Vec<String> {
        let mut missing = Vec::new();
        if self.applies.is_none() {
            missing.push("applies in no case".to_owned());
        }
        if self.spares.is_none() && !self.always {
            missing.push("no case only just escapes it".to_owned());
        }
        for threshold in &self.thresholds {
            if threshold.above.is_none() {
                missing.push(format!("`{}` decides in no case where it holds", threshold.text));
            }
            if threshold.below.is_none() {
                missing.push(format!("`{}` decides in no case where it does not hold", threshold.text));
            }
        }
        missing
    }
}

/// Runs cases, each with its jobs, and looks where each rule stands.
pub fn coverage(program: &Program, cases: &[(String, Vec<Stated>)], options: Options) -> Coverage {
    let mut rules: Vec<Touched> = program.model.rules.iter().map(|rule| untouched(program, rule)).collect();
    for (case, jobs) in cases {
        for stated in jobs {
            let decision = decide(program, stated, Options { explore: false, rows: false, ..options });
            // Of statements that contradict each other nothing is left to look at but the statements.
            let job = if decision.code == Code::Contradiction { base(program, stated) } else { decision.job };
            let e = Evaluation::new(program, &job);
            for instance in &program.instances {
                let (Some(rule), Some(own)) =
                    (program.model.rules.get(usize::from(instance.rule)), rules.get_mut(usize::from(instance.rule)))
                else {
                    continue;
                };
                for layer in e.frames(program.per(instance)) {
                    touch(&e, instance, layer, &rule.formula, own, case);
                }
            }
        }
    }
    Coverage { rules }
}

fn untouched(program: &Program, rule: &Rule) -> Touched {
    let compared = rule.formula.tests.iter().filter(|t| matches!(t.kind, TestKind::Compare(..)));
    let thresholds = compared.map(|t| Threshold { text: written(program, t.span), above: None, below: None }).collect();
    let always = rule.formula.tests.is_empty() && rule.scope.bounds.is_empty();
    let place = program.model.place(rule.origin.span);
    let excuse = rule.untouched.clone();
    Touched { rule: rule.id.clone(), place, applies: None, spares: None, excuse, always, thresholds }
}

fn written(program: &Program, span: Span) -> String {
    let file = program.model.files.get(span.file as usize);
    file.and_then(|f| f.text.get(span.start as usize..span.end as usize)).unwrap_or_default().trim().to_owned()
}

/// Notes how an instance stands in a case.
fn touch(e: &Evaluation<'_>, instance: &Instance, layer: usize, formula: &Formula, own: &mut Touched, case: &str) {
    let note = |place: &mut Option<String>| {
        place.get_or_insert_with(|| case.to_owned());
    };
    if e.fires(instance, layer) == Truth::True {
        note(&mut own.applies);
    }
    // Of an alternative, what is not true; where that is one literal alone, it decides.
    let lacking = |clause: &[Literal]| -> Vec<Literal> {
        clause.iter().filter(|l| e.literal(**l, layer) != Truth::True).copied().collect()
    };
    let missing: Vec<Vec<Literal>> = instance.clauses.iter().map(|c| lacking(c)).collect();
    let falsified = |l: &Literal| e.literal(*l, layer) == Truth::False;
    if e.fires(instance, layer) == Truth::False && missing.iter().any(|m| matches!(m.as_slice(), [l] if falsified(l))) {
        note(&mut own.spares);
    }
    let present = instance.presence.iter().all(|t| e.test(*t, layer) == Truth::True);
    let compared = formula.tests.iter().enumerate().filter(|(_, t)| matches!(t.kind, TestKind::Compare(..)));
    for ((number, _), threshold) in compared.zip(&mut own.thresholds) {
        let Some(id) = instance.tests.get(number).copied() else { continue };
        let within = |c: &&Vec<Literal>| c.iter().any(|l| l.test == id);
        // What the knowledge alone settles is in no alternative any more: what is bound stands on one side of it.
        let settled = present && !instance.clauses.iter().any(|c| within(&c));
        let decides = instance
            .clauses
            .iter()
            .zip(&missing)
            .any(|(clause, missing)| within(&clause) && missing.iter().all(|l| l.test == id));
        match e.test(id, layer) {
            Truth::True if settled || decides => note(&mut threshold.above),
            Truth::False if settled || decides => note(&mut threshold.below),
            _ => {}
        }
    }
}
