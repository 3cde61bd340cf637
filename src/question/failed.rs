//! What went wrong, found among the words of a question: `why did plastisol crack on leggings`.

use super::loose::untangle;
use super::parse::{Clause, Order, Token, TokenKind, written};
use super::tokens::words_from;
use crate::diagnostic::Problem;
use crate::model::{Entity, KindId, Model};
use crate::names::Names;
use crate::source::Span;
use crate::words::folded;

/// A failure, and the job that it befell.
#[derive(Debug, Clone)]
pub struct Failed {
    /// The question without the words of the failure.
    pub order: Order,
    /// The failure's id.
    pub failure: String,
    /// What was left aside, and how words that can mean several things were taken.
    pub notes: Vec<String>,
}

/// Finds the failure that a question names, wherever its words stand.
///
/// # Errors
/// No failure is named, or what is left names no ink or no cloth.
pub fn failed(mut order: Order, model: &Model, names: &Names) -> Result<Failed, Problem> {
    let kind = model.kind("failure");
    let others = kind.map(|kind| others(kind, model)).unwrap_or_default();
    let all: Vec<Place> = kind.map_or(Vec::new(), |kind| {
        let runs = order.runs();
        runs.into_iter().enumerate().flat_map(|(run, tokens)| places((kind, &others), tokens, names, run)).collect()
    });
    // What stands by itself behind a mark was said besides: `…, undercured`.
    let besides = |p: &Place| p.alone && all.iter().any(|o| !o.alone && (o.run, o.at) < (p.run, p.at));
    // Words at the end of a run are more likely a verb than a part of a name, and more words than fewer.
    let best = all.iter().max_by_key(|p| (!besides(p), p.ends, p.count, p.run, p.at));
    let second = all.iter().find(|p| besides(p) && best.is_none_or(|b| (b.run, b.at) < (p.run, p.at)));
    let member = best.and_then(|p| model.member(kind?, p.member));
    let (Some(place), Some(failure)) = (best, member) else {
        let span = order.runs().last().and_then(|r| r.last()).map(|t| t.span).unwrap_or_default();
        let known: Vec<&str> = kind.map(|k| model.names(k, model.everyone(k))).unwrap_or_default();
        return Err(Problem::new("question::no-failure", span, "here", "the question does not say what went wrong")
            .help(format!("say one of: {}", known.join(", "))));
    };
    let mut seen: Vec<Token> = Vec::new();
    let mut apart: Vec<Token> = Vec::new();
    if let Some(second) = second
        && let Some(tokens) = order.runs_mut().into_iter().nth(second.run)
    {
        apart.extend(tokens.drain(second.at..second.at + second.count));
    }
    if let Some(tokens) = order.runs_mut().into_iter().nth(place.run) {
        tokens.drain(place.at..place.at + place.count);
        let leads = |t: &&Token| LEADING.contains(&folded(&t.text).as_str());
        let led = tokens.iter().take(place.at).rev().take_while(leads).count();
        tokens.drain(place.at - led..place.at);
        let at = place.at - led;
        // When it was seen says nothing of how it was printed.
        let end = tokens.iter().skip(at).position(|t| t.kind == TokenKind::Mark);
        let end = end.map_or(tokens.len(), |e| at + e);
        if tokens.get(at).is_some_and(when) {
            seen.extend(tokens.drain(at..end));
        }
    }
    // Nor does what was done then: `after washing at 60 °C` is no cure.
    if let Some(from) = seen.first().map(|t| t.span.start) {
        order.clauses.retain(|c| match c {
            Clause::Quantity(word, tokens) if tokens.first().is_some_and(|t| t.span.start > from) => {
                seen.push(Token { text: (*word).to_owned(), kind: TokenKind::Word, span: Span::default() });
                seen.extend(tokens.iter().cloned());
                false
            }
            _ => true,
        });
    }
    let mut notes: Vec<String> =
        if seen.is_empty() { Vec::new() } else { vec![format!("`{}` was heard and not weighed", written(&seen))] };
    if !apart.is_empty() {
        notes.push(format!("`{}` was heard and not weighed", written(&apart)));
    }
    for clause in order.clauses.iter_mut().chain(order.stack.iter_mut().flat_map(|c| &mut c.clauses)) {
        if let Clause::Using(list) | Clause::With(list) | Clause::Without(list) = clause {
            list.retain(|item| !item.is_empty());
        }
    }
    if names_no_ink(&order, model) {
        let said = order.stack.pop().map(|c| c.clauses).unwrap_or_default();
        order.clauses.splice(0..0, said);
        let found = untangle(order, model, names).map_err(|p| {
            let name = &failure.name;
            p.help(format!(
                "say it with ink and cloth: why did plastisol on leggings crack; whatever the job: show {name}"
            ))
        })?;
        notes.extend(found.notes);
        order = found.order;
    }
    Ok(Failed { order, failure: failure.id.clone(), notes })
}

/// Whether a failure is named among these words at all.
pub fn names_failure(order: &Order, model: &Model, names: &Names) -> bool {
    model.kind("failure").is_some_and(|kind| {
        let others = others(kind, model);
        order.runs().into_iter().any(|r| !places((kind, &others), r, names, 0).is_empty())
    })
}

/// The failure that a question names where it says nothing of the job but the print or its ink: `why did the ink dry in
/// the screen`.
pub fn failed_alone<'m>(order: &Order, model: &'m Model, names: &Names) -> Option<&'m Entity> {
    let kind = model.kind("failure")?;
    let others = others(kind, model);
    let runs = order.runs();
    let mut said = runs.iter().filter(|r| !r.is_empty());
    let (tokens, None) = (said.next()?, said.next()) else { return None };
    let place = places((kind, &others), tokens, names, 0).into_iter().max_by_key(|p| (p.count, p.at))?;
    let inks: Vec<KindId> =
        model.attributes.iter().filter(|a| a.phrase.as_deref() == Some("ink")).filter_map(|a| a.ty.members()).collect();
    let called = |word: &str| model.attributes.iter().any(|a| a.speech.called.contains(&folded(word)));
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        if at == place.at {
            at += place.count;
            continue;
        }
        let empty = matches!(token.kind, TokenKind::Filler | TokenKind::Mark)
            || LEADING.contains(&folded(&token.text).as_str())
            || called(&token.text);
        let named = names.longest(&inks, &words_from(tokens, at)).map_or(0, |n| n.2);
        at += match (named, empty) {
            (0, true) => 1,
            (0, false) => return None,
            (count, _) => count,
        };
    }
    model.member(kind, place.member)
}

/// Words that turn a failure into none, some words before it.
const NOT: [&str; 7] = ["not", "no", "never", "without", "didn't", "doesn't", "nothing"];

/// The failure that a text names, and whether it is said not to have happened. Of several the one that did, else the
/// one named by the most words.
pub fn failure_in<'m>(text: &str, model: &'m Model, names: &Names) -> Option<(&'m Entity, bool)> {
    let kind = model.kind("failure")?;
    let words: Vec<&str> = text.split_whitespace().map(|w| w.trim_matches(|c: char| !c.is_alphanumeric())).collect();
    let mut found: Vec<(bool, usize, usize)> = Vec::new();
    let mut at = 0;
    while let Some(rest) = words.get(at..).filter(|r| !r.is_empty()) {
        let Some((_, member, count)) = names.longest(&[kind], rest) else {
            at += 1;
            continue;
        };
        let before = words.iter().take(at).rev().take(3);
        found.push((before.clone().any(|w| NOT.contains(&w.to_lowercase().as_str())), count, member));
        at += count;
    }
    let (not, _, member) = found.into_iter().min_by_key(|f| (f.0, std::cmp::Reverse(f.1)))?;
    Some((model.member(kind, member)?, not))
}

/// The kinds of everything else.
pub(super) fn others(kind: KindId, model: &Model) -> Vec<KindId> {
    (0..model.kinds.len()).map(|i| KindId(i as u16)).filter(|k| *k != kind).collect()
}

/// No name has more words than this.
pub(super) const LONGEST: usize = 8;

/// Words that name a failure.
struct Place {
    member: usize,
    run: usize,
    at: usize,
    count: usize,
    /// Nothing but marks, or when it was seen, comes after them.
    ends: bool,
    /// A mark stands before them and nothing but a mark comes after.
    alone: bool,
}

/// Words that begin to tell when or how much it was seen.
const WHEN: [&str; 13] = [
    "after", "during", "when", "once", "while", "within", "in", "so", "badly", "again", "already", "easily", "slightly",
];

/// Words that only lead to what went wrong.
const LEADING: [&str; 25] = [
    "look", "looks", "looked", "get", "gets", "got", "go", "goes", "went", "gone", "become", "becomes", "became",
    "come", "comes", "came", "start", "starts", "started", "begin", "began", "keep", "keeps", "to", "out",
];

fn when(token: &Token) -> bool {
    WHEN.contains(&folded(&token.text).as_str())
}

fn places((kind, others): (KindId, &[KindId]), tokens: &[Token], names: &Names, run: usize) -> Vec<Place> {
    let mut found = Vec::new();
    // `low bleed plastisol` is an ink: a word that lies within a longer name of something else names no failure.
    let within = |at: usize, count: usize| {
        (at.saturating_sub(LONGEST)..=at).any(|from| {
            let named = names.longest(others, &words_from(tokens, from)).map_or(0, |n| n.2);
            named > count && from + named >= at + count
        })
    };
    for at in 0..tokens.len() {
        if let Some((_, member, count)) = names.longest(&[kind], &words_from(tokens, at))
            && !within(at, count)
        {
            let mut rest = tokens.iter().skip(at + count).filter(|t| t.kind != TokenKind::Mark);
            let ends = rest.next().is_none_or(when);
            let mark = |t: &Token| t.kind == TokenKind::Mark;
            let before = at.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(mark);
            let alone = before && tokens.get(at + count).is_none_or(mark);
            found.push(Place { member, run, at, count, ends, alone });
        }
    }
    found
}

/// `the print on red polyester, plastisol`: what stands before the cloth is no ink.
fn names_no_ink(order: &Order, model: &Model) -> bool {
    let print = |t: &Token| model.attributes.iter().any(|a| a.material && a.speech.called.contains(&folded(&t.text)));
    let empty = |t: &Token| matches!(t.kind, TokenKind::Filler | TokenKind::Mark) || print(t);
    match order.stack.as_slice() {
        [] => true,
        [one] => one.ink.iter().all(empty),
        _ => false,
    }
}
