//! How derivations hang together: what combines, and that nothing goes round.

use super::Reader;
use crate::diagnostic::Problem;
use crate::model::formula::Read;
use crate::model::{AttributeId, Effect, End, Model, Per, Rule};
use crate::source::Span;

/// Two derivations of one attribute need a declared way to combine.
pub(super) fn combinations(model: &Model, reader: &mut Reader) {
    for (index, attribute) in model.attributes.iter().enumerate() {
        if attribute.combine.is_some() {
            continue;
        }
        let deriving: Vec<&Rule> = model
            .rules
            .iter()
            .filter(|r| matches!(r.effect, Effect::Derive { attribute: a, .. } if a.index() == index))
            .collect();
        let many =
            deriving.iter().any(|r| r.scope.per != Per::Job && !attribute.per_layer || !r.scope.bounds.is_empty());
        if let [first, rest @ ..] = deriving.as_slice() {
            if let Some(second) = rest.first() {
                reader.report(
                    Problem::new(
                        "knowledge::no-combination",
                        second.origin.span,
                        "also derives it",
                        format!("two rules derive `{}` and nothing says how they combine", attribute.name),
                    )
                    .also(first.origin.span, "derives it")
                    .help("declare `combine: max`, `min`, `sum` or `any` in the vocabulary"),
                );
            } else if many {
                reader.report(
                    Problem::new(
                        "knowledge::no-combination",
                        first.origin.span,
                        "here",
                        format!(
                            "this rule derives `{}` several times and nothing says how they combine",
                            attribute.name
                        ),
                    )
                    .help("declare `combine: max`, `min`, `sum` or `any` in the vocabulary"),
                );
            }
        }
    }
}

/// A derived attribute, or an end of a setting's window.
pub(super) type Derived = (AttributeId, Option<End>);

impl Model {
    /// What each derived attribute and each end of a setting's window is computed from.
    pub fn derivation_needs(&self) -> Vec<(Derived, Derived)> {
        edges(self).into_iter().map(|e| (e.0, e.1)).collect()
    }
}

fn edges(model: &Model) -> Vec<(Derived, Derived, Span)> {
    let mut edges: Vec<(Derived, Derived, Span)> = Vec::new();
    for rule in &model.rules {
        let target = match &rule.effect {
            Effect::Derive { attribute, .. } => (*attribute, None),
            Effect::Bound { setting, end, .. } => (*setting, Some(*end)),
            _ => continue,
        };
        let mut visit = |read: Read| {
            if let Read::Attribute(id, end) = read
                && (end.is_some() || id.is_derived(model))
            {
                edges.push((target, (id, end), rule.origin.span));
            }
        };
        rule.formula.reads(&mut visit);
        match &rule.effect {
            Effect::Derive { value: Some(v), .. } | Effect::Bound { value: v, .. } => v.reads(&mut visit),
            _ => {}
        }
    }
    edges
}

/// Derived attributes and ends of windows must not hang on themselves.
pub(super) fn cycles(model: &Model, reader: &mut Reader) {
    let edges = edges(model);
    let mut starts: Vec<Derived> = edges.iter().map(|e| e.0).collect();
    starts.sort();
    starts.dedup();
    let mut told: Vec<Derived> = Vec::new();
    for start in starts {
        let mut path = vec![(start, Span::default())];
        if walk(start, start, &edges, &mut path, &mut Vec::new()) && !path.iter().any(|p| told.contains(&p.0)) {
            let name = |n: Derived| {
                let base = n.0.of(model).map_or("", |a| a.name.as_str());
                match n.1 {
                    None => base.to_owned(),
                    Some(End::Low) => format!("{base}.min"),
                    Some(End::High) => format!("{base}.max"),
                }
            };
            let chain: Vec<String> = path.iter().map(|p| name(p.0)).collect();
            let first = path.get(1).map(|p| p.1).unwrap_or_default();
            let mut problem = Problem::new(
                "knowledge::cycle",
                first,
                "here",
                format!("a derivation goes round: {}", chain.join(" needs ")),
            )
            .help("break the circle: one of these rules must use something that is not derived from it");
            for (node, span) in path.iter().skip(2) {
                problem = problem.also(*span, format!("leads to `{}`", name(*node)));
            }
            reader.report(problem);
            told.extend(path.iter().map(|p| p.0));
        }
    }
}

fn walk(
    at: Derived,
    goal: Derived,
    edges: &[(Derived, Derived, Span)],
    path: &mut Vec<(Derived, Span)>,
    seen: &mut Vec<Derived>,
) -> bool {
    for (_, to, span) in edges.iter().filter(|e| e.0 == at) {
        if *to == goal {
            path.push((*to, *span));
            return true;
        }
        if seen.contains(to) {
            continue;
        }
        seen.push(*to);
        path.push((*to, *span));
        if walk(*to, goal, edges, path, seen) {
            return true;
        }
        path.pop();
    }
    false
}
