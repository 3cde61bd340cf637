//! Rules: what they range over, when they apply, what they do.

use super::Reader;
use super::conditions::{and_not, condition};
use super::derivations::{combinations, cycles};
use super::fields::{Fields, id_fits, items, origin, text};
use super::lays::lays;
use super::names::{Names, scope_of};
use super::numbers::number;
use super::texts::template;
use super::units::quantity;
use super::values::range;
use super::vocabulary::unknown_member;
use crate::diagnostic::{Problem, did_you_mean};
use crate::document::{Node, Value};
use crate::model::{
    AspectId, AttributeId, AttributeType, Effect, End, EntityId, Formula, Model, Per, Rule, Shape, Template,
};
use crate::source::Span;

const EFFECTS: [&str; 8] = ["derive", "bound", "exclude", "support", "refuse", "require", "note", "do"];

/// Where rules are written: those that decide, and those that tell how the work is done.
const FOLDERS: [&str; 2] = ["rules/", "steps/"];

/// Alternatives of one condition at most: every one is told, none is dropped.
const MAX_ALTERNATIVES: usize = 512;

/// How many alternatives a condition has once its `or`s are spread out.
fn alternatives(shape: &Shape, negated: bool) -> usize {
    let parts = |list: &[Shape], any: bool| {
        let counts = list.iter().map(|p| alternatives(p, negated));
        if any { counts.fold(0, usize::saturating_add) } else { counts.fold(1, usize::saturating_mul) }
    };
    match shape {
        Shape::Test(_) => 1,
        Shape::Not(inner) => alternatives(inner, !negated),
        Shape::Any(list) => parts(list, !negated),
        Shape::All(list) => parts(list, negated),
    }
}

/// Reads all rules and checks how derivations hang together.
pub(super) fn read(model: &mut Model, reader: &mut Reader) {
    let mut rules: Vec<Rule> = Vec::new();
    let written = written_ids(reader);
    for (_, node) in documents(reader) {
        for item in items(&node, reader) {
            if let Some(found) = rule(item, &written, model, reader) {
                if let Some(first) = rules.iter().find(|r| r.id == found.id) {
                    reader.report(twice(&found, first, model));
                } else {
                    rules.push(found);
                }
            }
        }
    }
    rules.sort_by(|a, b| a.id.cmp(&b.id));
    model.rules = rules;
    combinations(model, reader);
    cycles(model, reader);
}

fn documents(reader: &Reader) -> Vec<(String, Node)> {
    FOLDERS.iter().flat_map(|f| reader.below(f)).collect()
}

/// The ids of all rules as they are written, right or wrong.
pub(super) fn written_ids(reader: &Reader) -> Vec<String> {
    let documents = documents(reader);
    let lists = documents.iter().filter_map(|(_, node)| match &node.value {
        Value::List(items) => Some(items),
        _ => None,
    });
    let id = |item: &Node| match &item.value {
        Value::Map(pairs) => pairs.iter().find(|(k, _)| k.name == "rule").and_then(|(_, v)| match &v.value {
            Value::Text(id) => Some(id.clone()),
            _ => None,
        }),
        _ => None,
    };
    lists.flatten().filter_map(id).collect()
}

/// The problem of a rule's id that is taken.
fn twice(rule: &Rule, first: &Rule, model: &Model) -> Problem {
    if model.depth(first.origin.span) < model.depth(rule.origin.span) {
        let message = format!("there is a rule `{}` already", rule.id);
        return Problem::new("knowledge::exists-already", rule.origin.span, "again", message)
            .also(first.origin.span, "here")
            .help("give yours an id of its own: it works beside the other, so it can ask for more and never for less");
    }
    Problem::new("knowledge::duplicate-id", rule.origin.span, "again", format!("rule `{}` is written twice", rule.id))
        .also(first.origin.span, "first here")
}

fn rule(item: &Node, written: &[String], model: &Model, reader: &mut Reader) -> Option<Rule> {
    let mut f = Fields::of(item, "a rule", reader)?;
    let id = f.need_text("rule", reader)?;
    let place = f.place("rule");
    id_fits(&id, place, reader);
    if let Some(n) = f.get("replaces") {
        let message = "no rule takes the place of another";
        reader.report(Problem::new("knowledge::rule-replaced", n.span, "here", message).help(
            "write a rule with an id of its own: it works beside the other, so it can ask for more and never for less; \
             an exception is a property of the thing itself",
        ));
        return None;
    }
    let was = f.texts("was", reader);
    let says = f.need_text("says", reader).unwrap_or_default();
    let aspect = f.get("aspect").and_then(|n| {
        let name = text(n, reader)?;
        // A topic without grounds of its own is allowed as a word.
        model.aspects.iter().position(|a| a.name == name).map(|i| AspectId(i as u16))
    });
    let before = reader.problems.len();
    for (earlier, span) in was.iter().filter(|w| written.contains(&w.0)) {
        let message = format!("there is a rule `{earlier}` still");
        reader.report(
            Problem::new("knowledge::exists-already", *span, "here", message)
                .help("name ids that no rule has any more"),
        );
    }
    let told = f.text("told", reader);
    let untouched = f.text("untouched", reader);
    let prevents = f.get("prevents").and_then(|n| failure(n, model, reader));
    let takes = f.texts("takes", reader).iter().flat_map(|(id, at)| material(id, *at, model, reader)).collect();
    let lays = f.get("lays").map(|n| lays(n, model, reader)).unwrap_or_default();
    let only_if_done = f.flag("only_if_done", reader);
    let step = step(&mut f, model, reader);
    let lasts = f.get("lasts").and_then(|n| length_of_time(n, model, reader));
    let scope = scope_of(f.texts("for", reader), model, reader);
    let names = Names::of(&scope);
    let mut formula = match f.get("when") {
        Some(n) => condition(n, &names, model, reader),
        None => Some(Formula::always()),
    };
    if let Some(n) = f.get("unless") {
        let unless = condition(n, &names, model, reader);
        formula = formula.zip(unless).map(|(w, u)| and_not(w, u));
    }
    let mut present: Vec<&str> = f.keys().into_iter().filter(|k| EFFECTS.contains(k)).collect();
    // Beside another effect `note` is what it is everywhere else: free text for the reviewer.
    if present.len() > 1 && !f.keys().contains(&"about") {
        present.retain(|k| *k != "note");
    }
    let effect = match present.as_slice() {
        ["do"] if step.is_none() && !f.keys().contains(&"step") => {
            let problem = Problem::new("knowledge::missing-key", place, "here", "work is done in a step");
            reader.report(problem.help("add `step:` with one of the vocabulary's steps"));
            f.excuse();
            None
        }
        [one] => effect(one, &mut f, &names, model, reader),
        _ => {
            reader.report(
                Problem::new("knowledge::one-effect", place, "here", "a rule has exactly one effect")
                    .help("write one of `derive`, `bound`, `exclude`, `support`, `refuse`, `require`, `note` or `do`"),
            );
            f.excuse();
            None
        }
    };
    let found = origin(&mut f, None, model, reader);
    if effect.is_none() {
        f.excuse();
    }
    f.done(reader);
    let mut found = found?;
    found.span = place;
    let many = formula.as_ref().map_or(0, |f| alternatives(&f.shape, false));
    if many > MAX_ALTERNATIVES {
        reader.report(
            Problem::new(
                "knowledge::too-many-alternatives",
                place,
                "here",
                format!("this condition has {many} alternatives"),
            )
            .help("split the rule, or derive an attribute for a part of the condition"),
        );
    }
    if reader.problems.len() > before {
        return None;
    }
    Some(Rule {
        id,
        was: was.into_iter().map(|t| t.0).collect(),
        says,
        aspect,
        told,
        untouched,
        prevents,
        takes,
        lays,
        only_if_done,
        step,
        lasts,
        scope,
        formula: formula?,
        effect: effect?,
        origin: found,
    })
}

/// `24 h`, or `24 h to 72 h`.
fn length_of_time(node: &Node, model: &Model, reader: &mut Reader) -> Option<(i64, i64)> {
    let time = model.dimension("time")?;
    let written = text(node, reader)?;
    if written.contains(" to ") {
        return range(node, time, model, reader);
    }
    quantity(&written, node.span, time, model, reader).map(|one| (one, one))
}

/// The step of work that an entry names under `step`.
pub(super) fn step(f: &mut Fields<'_>, model: &Model, reader: &mut Reader) -> Option<usize> {
    let node = f.get("step")?;
    let name = text(node, reader)?;
    let found = model.steps.iter().position(|s| s.name == name);
    if found.is_none() {
        let mut problem =
            Problem::new("knowledge::unknown-name", node.span, "here", format!("unknown step of work `{name}`"));
        problem.help = did_you_mean(&name, model.steps.iter().map(|s| s.name.as_str()))
            .or_else(|| Some("declare it under `steps:` in the vocabulary".to_owned()));
        reader.report(problem);
    }
    found
}

/// The material, or the materials of the class, that an id names.
fn material(id: &str, span: Span, model: &Model, reader: &mut Reader) -> Vec<EntityId> {
    let kinds = model.attributes.iter().filter(|a| a.material).filter_map(|a| match a.ty {
        AttributeType::Choice(k) | AttributeType::Set(k) | AttributeType::Amounts(k) => Some(k),
        _ => None,
    });
    for kind in kinds {
        if let (Some(found), Some(own)) = (model.entity(kind, id), model.kinds.get(kind.index())) {
            return found.members.iter().filter_map(|m| own.members.get(m)).copied().collect();
        }
    }
    reader.report(
        Problem::new("knowledge::unknown-name", span, "here", format!("`{id}` is no material"))
            .help("name something that a job can be made with"),
    );
    Vec::new()
}

/// What a rule prevents: a failure that is known, or one that safety is about. Knowledge without failures may name any.
fn failure(node: &Node, model: &Model, reader: &mut Reader) -> Option<String> {
    let word = text(node, reader)?;
    if let Some(kind) = model.kind("failure").filter(|k| model.entity(*k, &word).is_none())
        && !model.safety.contains(&word)
    {
        reader.report(unknown_member(&word, node.span, kind, model, false));
        return None;
    }
    Some(word)
}

fn effect(which: &str, f: &mut Fields<'_>, names: &Names, model: &Model, reader: &mut Reader) -> Option<Effect> {
    let words = |f: &mut Fields<'_>, key: &'static str, reader: &mut Reader| -> Option<Template> {
        let node = f.need(key, reader)?;
        let written = text(node, reader)?;
        Some(template(&written, node.span, names, model, reader))
    };
    match which {
        "derive" => {
            let node = f.need("derive", reader)?;
            let name = text(node, reader)?;
            let id = known_attribute(&name, node.span, model, reader)?;
            let ty = id.of(model)?.ty;
            if !id.is_derived(model) {
                reader.report(
                    Problem::new(
                        "knowledge::not-derived",
                        node.span,
                        "here",
                        format!("`{name}` is not a derived attribute"),
                    )
                    .help("declare it with `role: derived`"),
                );
            }
            let value = match ty {
                AttributeType::Quantity(d) => {
                    let value = f.need("as", reader)?;
                    Some(number(value, d, names, model, reader)?)
                }
                _ => None,
            };
            layers_fit(id, names, node.span, model, reader);
            Some(Effect::Derive { attribute: id, value })
        }
        "bound" => {
            let node = f.need("bound", reader)?;
            let name = text(node, reader)?;
            let id = known_attribute(&name, node.span, model, reader)?;
            let AttributeType::Setting(d) = id.of(model)?.ty else {
                reader.report(
                    Problem::new("knowledge::not-a-setting", node.span, "here", format!("`{name}` is not a setting"))
                        .help("only settings have windows; use `refuse` for the rest"),
                );
                return None;
            };
            layers_fit(id, names, node.span, model, reader);
            let low = f.get("at_least");
            let high = f.get("at_most");
            let (end, value) = match (low, high) {
                (Some(n), None) => (End::Low, n),
                (None, Some(n)) => (End::High, n),
                _ => {
                    reader.report(
                        Problem::new("knowledge::one-end", node.span, "here", "a bound has exactly one end")
                            .help("write `at_least:` or `at_most:`"),
                    );
                    return None;
                }
            };
            let value = number(value, d, names, model, reader)?;
            let text = words(f, "because", reader)?;
            Some(Effect::Bound { setting: id, end, value, text })
        }
        "exclude" => words(f, "exclude", reader).map(Effect::Exclude),
        "support" => {
            let node = f.need("support", reader)?;
            let name = text(node, reader)?;
            let Some(i) = model.aspects.iter().position(|a| a.name == name) else {
                let mut problem =
                    Problem::new("knowledge::unknown-name", node.span, "here", format!("unknown aspect `{name}`"));
                problem.help = did_you_mean(&name, model.aspects.iter().map(|a| a.name.as_str()));
                reader.report(problem);
                return None;
            };
            let text = words(f, "because", reader)?;
            support_fits(i, names, node.span, model, reader);
            Some(Effect::Support { aspect: AspectId(i as u16), text })
        }
        "refuse" => words(f, "refuse", reader).map(Effect::Refuse),
        "require" => words(f, "require", reader).map(Effect::Require),
        "do" => words(f, "do", reader).map(Effect::Do),
        _ => {
            let text_ = words(f, "note", reader)?;
            let node = f.need("about", reader)?;
            let about = text(node, reader)?;
            if !["health", "quality", "law", "advice"].contains(&about.as_str()) {
                reader.report(
                    Problem::new(
                        "knowledge::unknown-name",
                        node.span,
                        "here",
                        format!("a note cannot be about `{about}`"),
                    )
                    .help("use `health`, `quality`, `law` or `advice`"),
                );
            }
            Some(Effect::Note { about, text: text_ })
        }
    }
}

/// The attribute that an entry names.
pub(super) fn named_attribute(node: &Node, model: &Model, reader: &mut Reader) -> Option<AttributeId> {
    let name = text(node, reader)?;
    known_attribute(&name, node.span, model, reader)
}

pub(super) fn known_attribute(name: &str, span: Span, model: &Model, reader: &mut Reader) -> Option<AttributeId> {
    let found = model.attribute(name);
    if found.is_none() {
        let mut problem = Problem::new("knowledge::unknown-name", span, "here", format!("unknown attribute `{name}`"));
        problem.help = did_you_mean(name, model.attributes.iter().map(|a| a.name.as_str()));
        reader.report(problem);
    }
    found
}

/// A per-layer attribute can be derived or bounded only by a rule for each layer.
fn layers_fit(id: AttributeId, names: &Names, span: Span, model: &Model, reader: &mut Reader) {
    let per_layer = id.of(model).is_some_and(|a| a.per_layer);
    if per_layer && names.per != Per::Layer {
        reader.report(
            Problem::new("knowledge::needs-layer", span, "here", "this attribute belongs to a layer")
                .help("add `for: each layer`"),
        );
    }
}

/// A support ranges over no more than its aspect does.
fn support_fits(aspect: usize, names: &Names, span: Span, model: &Model, reader: &mut Reader) {
    let Some(aspect) = model.aspects.get(aspect) else {
        return;
    };
    let per = names.per == Per::Job || names.per == aspect.scope.per;
    let bounds = names.bounds.iter().all(|b| {
        aspect.scope.bounds.iter().any(|a| a.attribute == b.attribute && a.kind == b.kind && a.frame == b.frame)
    });
    if !(per && bounds) {
        reader.report(
            Problem::new(
                "knowledge::support-scope",
                span,
                "here",
                format!("`{}` is not shown for each of these", aspect.name),
            )
            .help("use the aspect's own `for` entries, or fewer"),
        );
    }
}
