//! What takes time: forward from the start of the work, and back from handing over.

use super::{Between, Stretch, amounts, ends, screens};
use crate::answer::{Answer, Said};
use crate::figures::known;
use crate::model::{Model, Step};
use crate::sums::units::{Seconds, Unit};

/// The steps in which something takes time, and how long all of it takes. Waiting in one step goes on side by side,
/// printing one after the other; a step beside others begins with the first of them, and what follows waits for all.
pub(super) fn times(model: &Model, prints: &[Answer]) -> (Vec<Stretch>, Between) {
    let mut found: Vec<(Stretch, bool)> = Vec::new();
    let mut begun: Vec<(&str, Between)> = Vec::new();
    let mut cursor = Between::default();
    for step in &model.steps {
        let beside = step.beside.as_deref().and_then(|b| begun.iter().find(|(name, _)| *name == b).map(|b| b.1));
        let starts = beside.unwrap_or(cursor);
        begun.push((&step.name, cursor));
        let (lasts, what) = of_step(model, step, prints);
        if lasts.max > 0.0 {
            let stretch = Stretch {
                step: step.name.clone(),
                title: step.title.clone(),
                starts,
                lasts,
                ready: Between::default(),
                what,
            };
            found.push((stretch, beside.is_some()));
            cursor = cursor.longer(starts.plus(lasts));
        }
    }
    // Backwards: what follows takes so long; what goes on beside others holds up none of them.
    let mut after = Between::default();
    for (stretch, beside) in found.iter_mut().rev() {
        stretch.ready = after;
        if !*beside {
            after = after.plus(stretch.lasts);
        }
    }
    (found.into_iter().map(|f| f.0).collect(), cursor)
}

/// How long a step takes, and what in it.
fn of_step(model: &Model, step: &Step, prints: &[Answer]) -> (Between, Vec<String>) {
    let mut lasts = Between::default();
    let mut what: Vec<(String, String)> = Vec::new();
    for said in prints.iter().flat_map(|a| work(a, &step.name)) {
        // What only some cases need takes no time for sure.
        let Some(own) = said.lasts else { continue };
        lasts = lasts.longer(Between { min: if said.when.is_some() { 0.0 } else { own.min }, ..own });
        // Of one wait the whole sentence stands on the sheet; of a condition, what is done may stand behind the colon.
        let asked = prints.iter().any(|a| a.conditions.iter().any(|c| c.code == said.code));
        let ends: &[char] = if asked { &[';'] } else { &[':', ';'] };
        let short = said.text.split(ends).next().unwrap_or(&said.text).to_owned();
        match what.iter_mut().find(|w| w.0 == said.code) {
            Some(same) if same.1.len() < short.len() => same.1 = short,
            Some(_) => {}
            None => what.push((said.code.clone(), short)),
        }
    }
    let mut what: Vec<String> = what.into_iter().map(|w| w.1).collect();
    if step.sets_up {
        for (own, label) in prints.iter().filter(|a| a.recipe.is_some()).filter_map(|a| set_up(model, a)) {
            lasts = lasts.plus(own);
            what.push(label);
        }
    }
    let several = prints.len() > 1;
    for (index, answer) in prints.iter().enumerate() {
        for run in amounts(answer, "run_time").filter(|q| q.step == step.name) {
            lasts = lasts.plus(ends(run));
            let place = answer.position.clone().unwrap_or_else(|| format!("print {}", index + 1));
            // How long is told beside it; of several, each its own.
            let told = if several { run.text.split(": ").last() } else { run.why.split(';').next() };
            let told = told.unwrap_or(&run.text);
            what.push(if several { format!("{place}: {told}") } else { told.to_owned() });
        }
    }
    (lasts, what)
}

/// How long setting up the press for a print takes, with what it is made of.
fn set_up(model: &Model, answer: &Answer) -> Option<(Between, String)> {
    let kind = model.kind("cost")?;
    let of = |id: &str| {
        let range = known::<Seconds>(model, model.entity(kind, id)?, "sets_up", 1.0)?.0;
        Some(Between { min: range.low.number(), max: range.high.number() })
    };
    let screens = screens(answer);
    let name = answer.position.as_deref().unwrap_or("the print");
    let count = match screens {
        0.0 => String::new(),
        1.0 => " and 1 screen".to_owned(),
        n => format!(" and {n} screens"),
    };
    let position = of("set-up")?;
    Some((position.plus(of("screen")?.times(screens)), format!("{name}: the position{count}")))
}

/// What is done, must be done and is looked out for in a step.
fn work<'a>(answer: &'a Answer, step: &'a str) -> impl Iterator<Item = &'a Said> {
    let done = answer.recipe.iter().flat_map(|r| &r.steps).flat_map(|s| &s.work);
    let all = done.chain(&answer.conditions).chain(&answer.cautions).chain(&answer.advice);
    all.filter(move |s| s.step.as_deref() == Some(step))
}
