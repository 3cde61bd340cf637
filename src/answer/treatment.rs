//! Whether a cloth bears what the machines of one duty do to it, whatever the ink.

use super::build::Context;
use super::teller::Teller;
use super::words::Units;
use crate::job::Domain;
use crate::model::{Effect, End, Entity, KindId, Model, Per, PropertyType, Value};
use crate::reason::decide::{Options, decide};
use crate::reason::evaluate::{Evaluation, Interval, Truth};
use crate::reason::explain::explain;
use crate::reason::split::slot_of;
use crate::statement::Stated;

/// The lines of the answer: for each machine whether the cloth bears it, what limits the heat, and what to look out
/// for. `duty` is a member of the kind that the property `duties` of machines is a set of.
pub fn bears(context: Context<'_>, stated: &Stated, duty: usize) -> Vec<String> {
    let program = context.program;
    let model = &program.model;
    let decision = decide(program, stated, Options { explore: false, rows: false, ..context.options });
    let e = Evaluation::new(program, &decision.job);
    let units = Units::of(model, stated, context.units);
    let teller = Teller { program, stated, decision: &decision, e: &e, units };
    let Some(setting) = model.attribute("cure.temperature") else { return Vec::new() };
    let Some(dimension) = model.dimension("temperature") else { return Vec::new() };
    let told = |steps: i64| teller.units.write(model, Interval::point(steps), dimension);
    // What the cloth bears follows from the rules that bound the film temperature without asking for the ink.
    let mut sure: Vec<(Interval, String)> = Vec::new();
    let mut open = Vec::new();
    let mut bounds = Vec::new();
    for (index, instance) in program.instances.iter().enumerate() {
        let Some(rule) = model.rules.get(usize::from(instance.rule)) else { continue };
        let bound = matches!(rule.effect, Effect::Bound { setting: s, end: End::High, .. } if s == setting);
        if !bound || rule.scope.per != Per::Job {
            continue;
        }
        bounds.push(instance);
        let truth = e.fires(instance, 0);
        let (Some(value), true) = (&instance.value, truth != Truth::False) else { continue };
        let Some(step) = explain(&e, index as u32, 0) else { continue };
        let entry = (e.number(value, 0), teller.step(&e, &step, 0).text);
        let list = if truth == Truth::True { &mut sure } else { &mut open };
        if !list.contains(&entry) {
            list.push(entry);
        }
    }
    // Surely borne; borne where nothing that is open limits it further; and what no lot of it bears.
    let least = |list: &[(Interval, String)]| list.iter().map(|(i, _)| i.low).min();
    let (stated_limit, most) = (least(&sure), sure.iter().map(|(i, _)| i.high).min());
    let Some(surely) = least(&sure).into_iter().chain(least(&open)).min() else {
        return vec!["no heat limit is known for this cloth: ask its maker".to_owned()];
    };
    let asked = stated.statements.iter().find(|s| s.attribute == setting).and_then(|s| match s.domain {
        Domain::Number { low, .. } => Some(low),
        _ => None,
    });
    // What every fibre of it bears without one piece having gone through first.
    let safe = model.attribute("fabric.heat_safe");
    let node = program.nodes.iter().position(|n| Some(n.attribute) == safe);
    let untried = node.map_or(surely, |n| e.end(n as u16, 0).low).min(surely);
    let mut lines = vec![opening(asked, [untried, surely], stated_limit.filter(|limit| *limit > surely), most, told)];
    let named = stated.statements.iter().find_map(|s| match (&s.domain, s.attribute.of(model)?.clause.as_deref()) {
        (Domain::Set { must, .. }, Some("using")) => Some(*must),
        _ => None,
    });
    let mut borne = false;
    for machine in machines(model, duty).filter(|m| named.is_none_or(|n| m.ordinal.is_some_and(|o| n.has(o)))) {
        let end = |name: &str| match property(model, machine, name) {
            Some(Value::Quantity(q)) => Some(*q),
            _ => None,
        };
        let (Some(low), Some(high)) = (end("film_min"), end("film_max")) else { continue };
        let can = most.is_none_or(|most| low <= most);
        borne |= can;
        let text = match can {
            false => format!("no, it cannot be set below {}", told(low)),
            true if high > surely => format!("with care, it can reach {}", told(high)),
            true => format!("it brings the film to {} at most", told(high)),
        };
        lines.push(format!("  - {}: {text}", machine.name));
        if let Some(Value::Text(caution)) = property(model, machine, "caution") {
            lines.push(format!("    take care: {caution}"));
        }
    }
    if !borne && let Some(first) = lines.first_mut() {
        *first = "no, not with these machines:".to_owned();
    }
    // What is open matters where it lies below what is sure.
    open.retain(|(i, _)| stated_limit.is_none_or(|limit| i.low < limit));
    for (title, list) in
        [("What limits the heat:", sure), ("What may limit it further, depending on what was not said:", open)]
    {
        if !list.is_empty() {
            lines.push(title.to_owned());
            lines.extend(list.into_iter().map(|(_, text)| format!("  - {text}")));
        }
    }
    // What was taken for granted is told where the heat that is borne hangs on it.
    let assumed: Vec<&str> = decision
        .assumed
        .iter()
        .filter_map(|a| {
            let attribute = a.attribute.of(model)?;
            let open = teller.opened(attribute, slot_of(program, a.attribute), a.layer);
            let lifted = Evaluation::new(program, &open);
            let hangs = bounds.iter().any(|i| e.fires(i, 0) != lifted.fires(i, 0));
            attribute.assume.get(a.index).filter(|x| hangs && !x.words.is_empty()).map(|x| x.words.as_str())
        })
        .collect();
    if !assumed.is_empty() {
        lines.push(format!("Taken for granted: {}.", assumed.join(", ")));
    }
    lines.push(
        "This is the cloth alone: dye that moves and the ink's own cure are decided with the ink, so ask again with it."
            .to_owned(),
    );
    lines
}

/// The first line: at the temperature asked, or else at which the cloth bears it. Any cloth that fits bears `untried`,
/// and `surely` once one piece has shown it; `further` where nothing that is open limits it; and none more than `most`.
fn opening(
    asked: Option<i64>,
    [untried, surely]: [i64; 2],
    further: Option<i64>,
    most: Option<i64>,
    told: impl Fn(i64) -> String,
) -> String {
    match (asked, most, further) {
        (Some(at), Some(most), _) if at > most => {
            format!("no, {} is hotter than this cloth bears, measured on the print:", told(at))
        }
        (Some(at), _, Some(limit)) if at > surely && at <= limit => {
            format!("it depends: {} is borne where nothing that may limit it further applies:", told(at))
        }
        (Some(at), _, _) if at > surely => {
            format!("it depends: {} is borne by some lots only, so find out or try one piece:", told(at))
        }
        (Some(at), _, _) if at > untried => format!(
            "yes, once one piece has been through, flat and short: untried it bears a film of {} or below, measured on the \
             print:",
            told(untried)
        ),
        (None, _, _) if untried < surely => format!(
            "yes, with the film at {} or below, measured on the print; up to {} once one piece has been through, flat and \
             short{}:",
            told(untried),
            told(surely),
            further.map_or(String::new(), |limit| format!(
                "; up to {} where nothing that may limit it further applies",
                told(limit)
            ))
        ),
        (None, _, Some(limit)) => format!(
            "yes, with the film at {} or below, measured on the print; up to {} where nothing that may limit it \
             further applies:",
            told(surely),
            told(limit)
        ),
        (None, None, _) => {
            format!("it depends on the cloth: any bears a film of {} or below, measured on the print:", told(surely))
        }
        _ => format!("yes, with the film at {} or below, measured on the print:", told(surely)),
    }
}

/// The machines that have a duty.
fn machines(model: &Model, duty: usize) -> impl Iterator<Item = &Entity> {
    let kind = model.kind("machine");
    let has = move |m: &&Entity| matches!(property(model, m, "duties"), Some(Value::Set(mask)) if mask.has(duty));
    model.entities.iter().filter(move |m| Some(m.kind) == kind && m.ordinal.is_some()).filter(has)
}

fn property<'m>(model: &Model, entity: &'m Entity, name: &str) -> Option<&'m Value> {
    let id = model.property(entity.kind, name)?;
    entity.facts.get(&id).map(|f| &f.value)
}

/// The kind of what machines are for.
pub(crate) fn duties(model: &Model) -> Option<KindId> {
    let id = model.property(model.kind("machine")?, "duties")?;
    match model.properties.get(id.index())?.ty {
        PropertyType::Set(kind) => Some(kind),
        _ => None,
    }
}
