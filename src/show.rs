//! Pages about things, rules and sources: what the knowledge says, and where it comes from.

use crate::answer::value_words;
use crate::diagnostic::Problem;
use crate::model::{Basis, Entity, Fact, KindId, Model, Origin, Property, PropertyType, Rule, Value};
use crate::names::Names;
use crate::question::parse::{Coat, Token, TokenKind};
use crate::question::tokens::{span_of, text_of, words_from};
use crate::source::Span;
use crate::words::folded;

fn phrase(tokens: &[Token]) -> (String, Span) {
    (text_of(tokens, 0, tokens.len()), span_of(tokens, 0, tokens.len()))
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
    // A shop's own word is worth what its note says; said of the thing, it need not be said of each value.
    let note = |o: &Origin| o.note.as_ref().filter(|_| o.basis == Basis::House).map(|n| format!(": {n}"));
    let known = note(&entity.origin).unwrap_or_default();
    lines.push(format!("  known from: {}{known}", origin(model, &entity.origin)));
    let properties = model.kinds.get(kind.index()).map(|k| k.properties.clone()).unwrap_or_default();
    for id in properties {
        let (Some(property), Some(fact)) = (model.properties.get(id.index()), entity.facts.get(&id)) else { continue };
        let inherited = fact.origin.inherited.and_then(|p| model.entities.get(p.index()));
        let from = inherited.map_or(String::new(), |p| format!(", as {}", p.name));
        let replaces = fact.replaced.as_ref();
        let replaces = replaces.map_or(String::new(), |r| format!("; replaces {}: {}", model.place(r.span), r.reason));
        let noted = note(&fact.origin).filter(|n| *n != known).unwrap_or_default();
        lines.push(format!(
            "  {}: {}  [{}{noted}{from}{replaces}]",
            property.name.replace('_', " "),
            value_words(model, property.ty, &fact.value),
            origin(model, &fact.origin)
        ));
    }
    lines.push(format!("  written in {}", model.place(entity.origin.span)));
    Ok(lines)
}

fn origin(model: &Model, origin: &Origin) -> String {
    let mut words = match model.citations(origin) {
        Some(cited) => format!("{}: {cited}", origin.basis.words()),
        None => origin.basis.words().to_owned(),
    };
    if model.depth(origin.span) > 0 {
        words = format!("{words}, {}", model.layer(origin.span));
    }
    words
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

/// The ink that words name, with or without a colour before it.
fn ink<'a>(model: &'a Model, names: &Names, tokens: &[Token]) -> Result<&'a Entity, Problem> {
    let (kind, colour) = (model.kind("ink"), model.kind("colour"));
    let said: Vec<Token> = tokens.iter().filter(|t| t.kind != TokenKind::Mark).cloned().collect();
    for from in 0..said.len() {
        let (before, own) = said.split_at(from);
        let idle = before.iter().all(|t| t.kind == TokenKind::Filler)
            || colour.is_some_and(|k| names.find(k, &phrase(before).0).is_some());
        let found = kind.and_then(|k| names.find(k, &phrase(own).0).and_then(|m| model.member(k, m)));
        if let (true, Some(found)) = (from == 0 || idle, found) {
            return Ok(found);
        }
    }
    let (text, span) = phrase(tokens);
    let mut problem = Problem::new("question::unknown-name", span, "not known", format!("no ink is called `{text}`"));
    let near = names.nearest(&kind.into_iter().collect::<Vec<_>>(), &text);
    if !near.is_empty() {
        let near: Vec<&str> = near.iter().map(String::as_str).collect();
        problem = problem.help(format!("did you mean {}?", crate::diagnostic::one_of(&near)));
    }
    Err(problem)
}

/// A property of a thing: its value in words, and where it comes from.
fn told<'a>(model: &'a Model, entity: &'a Entity, name: &str) -> Option<(String, &'a Fact)> {
    let id = model.property(entity.kind, name)?;
    let fact = entity.facts.get(&id)?;
    Some((value_words(model, model.properties.get(id.index())?.ty, &fact.value), fact))
}

/// The thing that a property of another names.
fn chosen<'a>(model: &'a Model, entity: &'a Entity, name: &str) -> Option<(&'a Entity, &'a Fact)> {
    let id = model.property(entity.kind, name)?;
    let PropertyType::Choice(kind) = model.properties.get(id.index())?.ty else { return None };
    match entity.facts.get(&id) {
        Some(fact @ Fact { value: Value::Choice(m), .. }) => Some((model.member(kind, *m)?, fact)),
        _ => None,
    }
}

/// What can hurt at a thing.
fn hazard(model: &Model, entity: &Entity) -> Option<String> {
    let (text, _) = told(model, entity, "hazard")?;
    Some(format!("  take care: {}: {text}; follow its safety data sheet", entity.name))
}

/// What takes an ink off the screen, and what can hurt there.
///
/// # Errors
/// No ink has this name.
pub(crate) fn cleaner(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    if tokens.is_empty() {
        return Ok(cleaners(model));
    }
    let ink = ink(model, names, tokens)?;
    let Some((cleaner, fact)) = chosen(model, ink, "cleaner") else {
        return Ok(vec![format!("nothing is known of what takes {} off a screen: ask its maker", ink.name)]);
    };
    let line = format!("{} comes off a screen with {} [{}]", ink.name, cleaner.name, origin(model, &fact.origin));
    Ok(std::iter::once(line).chain(hazard(model, cleaner)).collect())
}

/// What takes which inks off a screen, where none is named.
fn cleaners(model: &Model) -> Vec<String> {
    let mut lines = vec!["each ink comes off with its own cleaner; which ink is in the screen?".to_owned()];
    let mut known: Vec<(&Entity, Vec<&str>)> = Vec::new();
    let inks = model.kind("ink");
    for ink in model.entities.iter().filter(|e| Some(e.kind) == inks && e.ordinal.is_some()) {
        let Some((cleaner, _)) = chosen(model, ink, "cleaner") else { continue };
        match known.iter_mut().find(|k| k.0.id == cleaner.id) {
            Some(own) => own.1.push(&ink.name),
            None => known.push((cleaner, vec![&ink.name])),
        }
    }
    for (cleaner, inks) in known {
        lines.push(format!("{}: {}", cleaner.name, inks.join(", ")));
        lines.extend(hazard(model, cleaner));
    }
    lines.push("say the ink for one of them: what cleans plastisol off a screen".to_owned());
    lines
}

/// How the can of an ink is kept, and how long it can be used once something is stirred in.
///
/// # Errors
/// No ink has this name.
pub(crate) fn kept(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let whole = ink(model, names, tokens);
    let (named, additive, rest) = match &whole {
        Ok(ink) => (Some(*ink), None, Vec::new()),
        Err(_) => named_within(model, names, tokens),
    };
    let mut lines = Vec::new();
    if let Some(additive) = additive {
        lines.push(pot_life(model, additive).unwrap_or_else(|| {
            format!("{}: its data sheet says how long it keeps and how long a mix with it is good", additive.name)
        }));
        lines.extend(hazard(model, additive));
    }
    let Some(ink) = named else {
        if lines.is_empty() {
            return Err(whole.err().unwrap_or_else(|| Problem::nowhere("question::unknown-name", "no ink is named")));
        }
        return Ok(lines);
    };
    lines.push(match told(model, ink, "keeping") {
        Some((text, fact)) => format!("{}: {text} [{}]", ink.name, origin(model, &fact.origin)),
        None => format!("nothing is known of how {} is kept: see its data sheet", ink.name),
    });
    if !rest.is_empty() {
        lines.push(format!(
            "  `{}` was heard and not weighed: whether this lot is still good its data sheet and a test print tell, cured \
             and washed",
            rest.join(" ")
        ));
    }
    if let Some(kind) = model.kind("additive")
        && let Some(into) = model.property(kind, "goes_into")
    {
        let goes_in = |e: &&Entity| match (e.facts.get(&into).map(|f| &f.value), ink.ordinal) {
            (Some(Value::Set(inks)), Some(own)) => inks.has(own),
            _ => false,
        };
        let own = model.entities.iter().filter(|e| e.kind == kind && e.ordinal.is_some()).filter(goes_in);
        lines.extend(own.filter_map(|additive| pot_life(model, additive)).map(|told| format!("  with {told}")));
    }
    lines.extend(hazard(model, ink));
    Ok(lines)
}

/// How much of an additive is stirred in.
///
/// # Errors
/// No additive has this name.
pub(crate) fn dose(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let (_, additive, _) = named_within(model, names, tokens);
    let additive = additive.ok_or_else(|| unknown(model, names, tokens, "additive"))?;
    let told = told(model, additive, "dose");
    Ok(vec![match told {
        Some((text, fact)) => format!("{}: {text} by weight [{}]", additive.name, origin(model, &fact.origin)),
        None => format!("{}: the dose is its data sheet's to say", additive.name),
    }])
}

/// The first ink and the first additive that are named among words, and what is said besides.
fn named_within<'a>(
    model: &'a Model,
    names: &Names,
    tokens: &[Token],
) -> (Option<&'a Entity>, Option<&'a Entity>, Vec<String>) {
    let (mut ink, mut additive, mut rest, mut at) = (None, None, Vec::new(), 0);
    let kinds: Vec<KindId> = [model.kind("ink"), model.kind("additive")].into_iter().flatten().collect();
    while let Some(token) = tokens.get(at) {
        let found = names.longest(&kinds, &words_from(tokens, at));
        match found {
            Some((kind, member, count)) => {
                let place = if Some(kind) == model.kind("ink") { &mut ink } else { &mut additive };
                *place = place.or_else(|| model.member(kind, member));
                at += count.max(1);
            }
            None => {
                if !matches!(token.kind, TokenKind::Filler | TokenKind::Mark) {
                    rest.push(token.text.clone());
                }
                at += 1;
            }
        }
    }
    (ink, additive, rest)
}

/// How long a mix with an additive is good, where that is known.
fn pot_life(model: &Model, additive: &Entity) -> Option<String> {
    let (text, fact) = told(model, additive, "pot_life")?;
    let property = model.property(additive.kind, "pot_life")?;
    let says = &model.properties.get(property.index())?.says;
    let known = !matches!(fact.value, Value::None | Value::Unknown);
    known.then(|| format!("{}, {says}: {text} [{}]", additive.name, origin(model, &fact.origin)))
}

/// What saves a screen in which an ink has dried, and what can hurt there.
///
/// # Errors
/// No ink has this name.
pub(crate) fn dried(model: &Model, names: &Names, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    let ink = ink(model, names, tokens)?;
    let mut lines = Vec::new();
    if let Some((text, fact)) = told(model, ink, "dried") {
        lines.push(format!("{}: {text} [{}]", ink.name, origin(model, &fact.origin)));
    }
    if let Some((cleaner, fact)) = chosen(model, ink, "dried_cleaner") {
        lines.push(format!("  what loosens it: {} [{}]", cleaner.name, origin(model, &fact.origin)));
        lines.extend(hazard(model, cleaner));
    }
    lines.extend(hazard(model, ink));
    Ok(lines)
}

/// What is known of a setting or property of an ink: all whose name or description holds these words.
///
/// # Errors
/// No ink has this name, or nothing of an ink is called so.
pub(crate) fn setting(model: &Model, names: &Names, words: &[Token], stack: &[Coat]) -> Result<Vec<String>, Problem> {
    let (text, span) = phrase(words);
    let said = folded(&text);
    // A setting may be called otherwise than the property that holds it.
    let label = model.attributes.iter().find(|a| a.speech.called.contains(&said)).map(|a| folded(&a.label));
    let wanted = label.unwrap_or(said);
    let known: Vec<&Property> = model
        .kind("ink")
        .and_then(|k| model.kinds.get(k.index()))
        .map(|k| k.properties.iter().filter_map(|p| model.properties.get(p.index())).collect())
        .unwrap_or_default();
    // What is asked of a flash are the ink's own figures for it.
    let flash = words.first().filter(|t| t.text == "flash" && words.len() > 1);
    let flashed = |p: &&Property| p.name.split('_').next() == Some("flash");
    let named = |p: &&Property| match flash {
        Some(_) => flashed(p),
        None => holds(&folded(&p.name.replace('_', " ")), &wanted),
    };
    let described = |p: &&Property| holds(&folded(&p.says), &wanted);
    let mut own: Vec<&Property> = known.iter().copied().filter(named).collect();
    if own.is_empty() {
        own = known.iter().copied().filter(described).collect();
    }
    let mut lines = Vec::new();
    for coat in stack {
        let ink = ink(model, names, &coat.ink)?;
        for property in &own {
            let Some((value, fact)) = told(model, ink, &property.name) else { continue };
            let value = match (&fact.value, property.ty) {
                (Value::Schedule(entries), PropertyType::Schedule { .. }) => {
                    let entries = from_least(model, ink, entries);
                    value_words(model, property.ty, &Value::Schedule(entries))
                }
                // That an ink is never flashed is an answer.
                (Value::None, _) if flash.is_some() => "none: it is not flashed".to_owned(),
                _ => value,
            };
            if !matches!(fact.value, Value::None) || flash.is_some() {
                let says = property.says.split(';').next().unwrap_or_default();
                lines.push(format!("{}, {says}: {value} [{}]", ink.name, origin(model, &fact.origin)));
            }
        }
    }
    if lines.is_empty() {
        let known: Vec<String> = known.iter().map(|p| p.name.replace('_', " ")).collect();
        return Err(Problem::new(
            "question::unknown-name",
            span,
            "not known",
            format!("nothing is kept of `{text}` for an ink"),
        )
        .help(format!("ask for one of: {}", known.join(", "))));
    }
    Ok(lines)
}

/// A schedule without what lies below the least heat that cures the ink: those entries are for ink with additives.
fn from_least(model: &Model, ink: &Entity, entries: &[(i64, i64)]) -> Vec<(i64, i64)> {
    let least = model.property(ink.kind, "cure_min").and_then(|p| ink.facts.get(&p)).map(|f| &f.value);
    let Some(Value::Quantity(least)) = least else { return entries.to_vec() };
    let hotter = entries.iter().filter(|e| e.0 > *least).copied();
    let at_least = entries.iter().rfind(|e| e.0 <= *least).map(|e| (*least, e.1));
    at_least.into_iter().chain(hotter).collect()
}

/// Whether a text holds these words one after another.
fn holds(text: &str, words: &str) -> bool {
    let (text, words): (Vec<&str>, Vec<&str>) = (text.split(' ').collect(), words.split(' ').collect());
    let same = |a: &&str, b: &&str| a.trim_end_matches('s') == b.trim_end_matches('s');
    text.windows(words.len()).any(|run| run.iter().zip(&words).all(|(a, b)| same(a, b)))
}

/// What machines are for, by a word for what they do: `flashed`.
///
/// # Errors
/// No machine does this.
pub(crate) fn duty(model: &Model, names: &Names, tokens: &[Token]) -> Result<usize, Problem> {
    let (text, span) = phrase(tokens);
    let kind = crate::answer::duties(model);
    kind.and_then(|k| names.find(k, &text)).ok_or_else(|| {
        let known = kind.map(|k| model.names(k, model.everyone(k)).join(", ")).unwrap_or_default();
        Problem::new("question::unknown-name", span, "not known", format!("nothing is known that is done as `{text}`"))
            .help(format!("what is known: {known}; for a print name the ink: can plastisol go on nylon using flash?"))
    })
}
