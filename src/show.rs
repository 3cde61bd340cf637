//! Pages about things, rules and sources: what the knowledge says, and where it comes from.

use crate::answer::value_words;
use crate::diagnostic::Problem;
use crate::model::{Entity, KindId, Model, Rule};
use crate::names::Names;
use crate::question::parse::Token;
use crate::source::Span;
use crate::words::folded;

fn phrase(tokens: &[Token]) -> (String, Span) {
    let text = tokens.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
    let start = tokens.first().map(|t| t.span).unwrap_or_default();
    let end = tokens.last().map_or(start.end, |t| t.span.end);
    (text, Span { end, ..start })
}

fn find<'a>(model: &'a Model, names: &Names, text: &str) -> Option<(KindId, &'a Entity)> {
    (0..model.kinds.len()).map(|i| KindId(i as u16)).find_map(|kind| {
        let member = names.find(kind, text).and_then(|m| model.member(kind, m));
        // Classes have no place in a job, but they can be shown.
        let class = || model.entities.iter().find(|e| e.kind == kind && folded(&e.id) == folded(text));
        member.or_else(class).map(|e| (kind, e))
    })
}

fn unknown(model: &Model, names: &Names, tokens: &[Token], what: &str) -> Problem {
    let (text, span) = phrase(tokens);
    let kinds: Vec<KindId> = (0..model.kinds.len()).map(|i| KindId(i as u16)).collect();
    let near = names.nearest(&kinds, &text);
    let mut problem =
        Problem::new("question::unknown-name", span, "not known", format!("no {what} is called `{text}`"));
    if !near.is_empty() {
        let near: Vec<&str> = near.iter().map(String::as_str).collect();
        problem = problem.help(format!("did you mean {}?", crate::diagnostic::one_of(&near)));
    }
    problem
}

/// A page about a thing, or a rule by its id.
///
/// # Errors
/// No thing or rule has this name.
pub(crate) fn thing(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let (text, _) = phrase(tokens);
    if let Some(rule) = model.rules.iter().find(|r| r.id == text || r.was.contains(&text)) {
        return Ok(rule_page(model, rule));
    }
    let Some((kind, entity)) = find(model, names, &text) else {
        return Err(unknown(model, names, tokens, "thing or rule"));
    };
    let kind_name = model.kinds.get(kind.index()).map_or("", |k| k.name.as_str());
    let mut lines =
        vec![format!("{}, {kind_name}{}", entity.name, if entity.ordinal.is_none() { ", a class" } else { "" })];
    if !entity.aliases.is_empty() {
        lines.push(format!("  also: {}", entity.aliases.join(", ")));
    }
    let classes: Vec<&str> = model
        .entities
        .iter()
        .filter(|c| c.kind == kind && c.ordinal.is_none() && entity.ordinal.is_some_and(|o| c.members.has(o)))
        .map(|c| c.name.as_str())
        .collect();
    if !classes.is_empty() {
        lines.push(format!("  is: {}", classes.join(", ")));
    }
    lines.push(format!("  known from: {}", origin(model, &entity.origin)));
    let properties = model.kinds.get(kind.index()).map(|k| k.properties.clone()).unwrap_or_default();
    for id in properties {
        let (Some(property), Some(fact)) = (model.properties.get(id.index()), entity.facts.get(&id)) else { continue };
        let inherited = fact.origin.inherited.and_then(|p| model.entities.get(p.index()));
        let from = inherited.map_or(String::new(), |p| format!(", as {}", p.name));
        lines.push(format!(
            "  {}: {}  [{}{from}]",
            property.name.replace('_', " "),
            value_words(model, property.ty, &fact.value),
            origin(model, &fact.origin)
        ));
    }
    lines.push(format!("  written in {}", model.place(entity.origin.span)));
    Ok(lines)
}

fn origin(model: &Model, origin: &crate::model::Origin) -> String {
    match model.citations(origin) {
        Some(cited) => format!("{}: {cited}", origin.basis.words()),
        None => origin.basis.words().to_owned(),
    }
}

fn rule_page(model: &Model, rule: &Rule) -> Vec<String> {
    let mut lines = vec![format!("{}, a rule that can {}", rule.id, rule.effect.keyword())];
    lines.push(format!("  {}", rule.says));
    if let Some(prevents) = &rule.prevents {
        lines.push(format!("  prevents: {}", prevents.replace('-', " ")));
    }
    lines.push(format!("  known from: {}", origin(model, &rule.origin)));
    if let Some(note) = &rule.origin.note {
        lines.push(format!("  note: {note}"));
    }
    lines.push(format!("  written in {}", model.place(rule.origin.span)));
    lines
}

/// The rules that speak of a thing: that name it, its classes, or properties of its kind.
///
/// # Errors
/// No thing has this name.
pub(crate) fn rules(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let (text, _) = phrase(tokens);
    let Some((kind, entity)) = find(model, names, &text) else {
        return Err(unknown(model, names, tokens, "thing"));
    };
    let mut lines = Vec::new();
    for rule in &model.rules {
        if rule.speaks_of(kind, entity, model) {
            lines.push(format!("{}: {}", rule.id, rule.says));
        }
    }
    if lines.is_empty() {
        lines.push(format!("no rule speaks of {}", entity.name));
    }
    Ok(lines)
}

/// A page about a source.
///
/// # Errors
/// No source has this id.
pub(crate) fn source(model: &Model, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let (text, span) = phrase(tokens);
    let Some(found) = model.sources.iter().find(|s| folded(&s.id) == folded(&text)) else {
        let mut problem =
            Problem::new("question::unknown-name", span, "not known", format!("no source is called `{text}`"));
        problem.help = crate::diagnostic::did_you_mean(&text, model.sources.iter().map(|s| s.id.as_str()));
        return Err(problem);
    };
    let mut lines = vec![format!("{}: {}", found.id, found.citation), format!("  read: {}", found.read)];
    let cites = |o: &crate::model::Origin| {
        o.sources.iter().any(|s| model.sources.get(s.index()).is_some_and(|x| x.id == found.id))
    };
    lines.extend(model.rules.iter().filter(|r| cites(&r.origin)).map(|r| format!("  rule {}", r.id)));
    for entity in &model.entities {
        let mut facts: Vec<&str> = entity
            .facts
            .iter()
            .filter(|(_, f)| cites(&f.origin) && f.origin.inherited.is_none())
            .filter_map(|(p, _)| model.properties.get(p.index()))
            .map(|p| p.name.as_str())
            .collect();
        facts.sort_unstable();
        if !facts.is_empty() {
            lines.push(format!("  {}: {}", entity.name, facts.join(", ")));
        }
    }
    Ok(lines)
}
