//! Pages about things, rules and sources: what the knowledge says, and where it comes from.

use crate::answer::value_words;
use crate::diagnostic::Problem;
use crate::model::{Entity, KindId, Model, PropertyType, Rule};
use crate::names::Names;
use crate::question::parse::{Order, Token, TokenKind};
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

pub(crate) fn unknown(model: &Model, names: &Names, tokens: &[Token], what: &str) -> Problem {
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

/// What a word means: a thing, or a fact of a job by its label.
///
/// # Errors
/// Nothing has this name.
pub(crate) fn meaning(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let (text, _) = phrase(tokens);
    let own = folded(&text);
    let called = |a: &&crate::model::Attribute| {
        folded(&a.label) == own || folded(&a.name) == own || a.speech.called.contains(&own)
    };
    let Some(a) = model.attributes.iter().find(called) else { return thing(model, names, tokens) };
    let mut lines = vec![format!("{}: {}", if a.label.is_empty() { &a.name } else { &a.label }, a.says)];
    lines.extend(a.ask.iter().map(|ask| format!("  asked like this: {ask}")));
    // A thing may have the same name.
    if find(model, names, &text).is_some() {
        lines.extend(thing(model, names, tokens)?);
    }
    Ok(lines)
}

/// What takes an ink off the screen, and what can hurt there.
///
/// # Errors
/// No ink has this name.
pub(crate) fn cleaner(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let (text, _) = phrase(tokens);
    let found = find(model, names, &text).and_then(|(kind, entity)| {
        let property = model.property(kind, "cleaner")?;
        let PropertyType::Choice(cleaners) = model.properties.get(property.index())?.ty else { return None };
        match entity.facts.get(&property).map(|f| (&f.value, f)) {
            Some((crate::model::Value::Choice(m), fact)) => Some((entity, model.member(cleaners, *m)?, fact)),
            _ => None,
        }
    });
    let Some((ink, cleaner, fact)) = found else { return Err(unknown(model, names, tokens, "ink")) };
    let line = format!("{} comes off a screen with {} [{}]", ink.name, cleaner.name, origin(model, &fact.origin));
    let hazard = model.property(cleaner.kind, "hazard").and_then(|p| cleaner.facts.get(&p));
    let hazard = hazard.map(|f| value_words(model, PropertyType::Text, &f.value));
    let hazard = hazard.map(|h| format!("  take care: {}: {h}; follow its safety data sheet", cleaner.name));
    Ok(std::iter::once(line).chain(hazard).collect())
}

/// The failure that ends a question, and the question without it.
///
/// # Errors
/// No failure is named at the end.
pub(crate) fn failure(model: &Model, names: &Names, mut order: Order) -> Result<(Order, String), Problem> {
    let kind = model.kind("failure");
    let words: Vec<&Token> = order.cloth.iter().filter(|t| t.kind != TokenKind::Mark).collect();
    for from in 0..words.len() {
        let text = words.iter().skip(from).map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ");
        let found = kind.and_then(|k| names.find(k, &text).and_then(|m| model.member(k, m)));
        if let Some(failure) = found {
            let start = words.get(from).map_or(0, |t| t.span.start);
            let id = failure.id.clone();
            order.cloth.retain(|t| t.span.start < start);
            return Ok((order, id));
        }
    }
    let span = order.cloth.last().map(|t| t.span).unwrap_or_default();
    let known: Vec<&str> = kind.map(|k| model.names(k, model.everyone(k))).unwrap_or_default();
    Err(Problem::new("question::no-failure", span, "here", "the question does not end with what went wrong")
        .help(format!("end with one of: {}", known.join(", "))))
}
