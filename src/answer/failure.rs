//! What may be behind a failure: the rules that prevent it and that the job does not exclude.

use super::build::Context;
use super::teller::Teller;
use super::words::Units;
use crate::model::{Model, Value};
use crate::reason::decide::{Options, decide};
use crate::reason::evaluate::{Evaluation, Truth};
use crate::reason::explain::explain;
use crate::statement::Stated;

/// The lines of a diagnosis, what is sure first.
pub fn causes_of(context: Context<'_>, stated: &Stated, failure: &str) -> Vec<String> {
    let program = context.program;
    let decision = decide(program, stated, Options { explore: false, rows: false, ..context.options });
    let e = Evaluation::new(program, &decision.job);
    let teller =
        Teller { program, stated, decision: &decision, e: &e, units: Units::of(&program.model, stated, context.units) };
    let (mut sure, mut open): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    for (index, instance) in program.instances.iter().enumerate() {
        let Some(rule) = program.model.rules.get(usize::from(instance.rule)) else { continue };
        if rule.prevents.as_deref() != Some(failure) {
            continue;
        }
        for layer in e.frames(program.per(instance)) {
            let truth = e.fires(instance, layer);
            let Some(step) = (truth != Truth::False).then(|| explain(&e, index as u32, layer)).flatten() else {
                continue;
            };
            let list = if truth == Truth::True { &mut sure } else { &mut open };
            let line = match teller.step(&e, &step, 0).text {
                text if text.is_empty() || text == rule.says => rule.says.clone(),
                text => format!("{} Here: {text}", rule.says),
            };
            if !list.contains(&line) {
                list.push(line);
            }
        }
    }
    open.retain(|l| !sure.contains(l));
    let mut lines = Vec::new();
    for (title, list) in [("What holds for this job:", sure), ("What may hold, depending on what was not said:", open)]
    {
        if !list.is_empty() {
            lines.push(title.to_owned());
            lines.extend(list.into_iter().map(|l| format!("  - {l}")));
        }
    }
    if lines.is_empty() {
        lines.push(
            "No rule that prevents this speaks of such a job: have the print looked at by an experienced printer."
                .to_owned(),
        );
    }
    if let Some(usual) = usual(&program.model, failure) {
        lines.push(format!("What mostly lies behind it, whatever the job: {usual}."));
    }
    lines
}

/// What mostly lies behind a failure.
fn usual<'m>(model: &'m Model, failure: &str) -> Option<&'m str> {
    let kind = model.kind("failure")?;
    let causes = model.property(kind, "causes")?;
    match &model.entity(kind, failure)?.facts.get(&causes)?.value {
        Value::Text(text) => Some(text),
        _ => None,
    }
}
