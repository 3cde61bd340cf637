//! What an ink is called more closely, said apart from it: `white plastisol on red polyester tee, low bleed`, `foil on
//! black tee with foil adhesive`.
//!
//! It is taken only where both together are the full name of an ink, and what is said apart is no other.

use super::loose::found;
use super::parse::{Clause, Order, Token, TokenKind};
use super::phrase::PhraseReader;
use super::tokens::{text_of, words_from};
use crate::model::{AttributeType, KindId, Model};
use crate::names::Names;
use crate::resolve::Resolver;
use crate::words::folded;

/// Puts what is said apart of the only ink of an order to its ink, out of the words of the cloth and of what follows.
pub(super) fn gather_apart(order: &mut Order, model: &Model, names: &Names) {
    let inks = inks(model);
    let ([coat], []) = (order.stack.as_mut_slice(), order.above.as_slice()) else { return };
    gather_within(&mut coat.ink, &[], model, names);
    let mut ink = std::mem::take(&mut coat.ink);
    let more = cut_marked(&mut order.cloth, |run| {
        !says_of_cloth(run, model, names) && called_closer(&mut ink, run, (&inks, &[]), model, names)
    });
    // A mark may have stood before the words that were taken out.
    if more > 0 {
        while order.cloth.last().is_some_and(is_mark) {
            order.cloth.pop();
        }
    }
    for clause in coat.clauses.iter_mut().chain(&mut order.clauses) {
        if let Clause::With(items) = clause {
            items.retain(|item| {
                names_additive(item, model, names) || !called_closer(&mut ink, item, (&inks, &[]), model, names)
            });
        }
    }
    let empty = |c: &Clause| matches!(c, Clause::With(items) if items.is_empty());
    coat.clauses.retain(|c| !empty(c));
    coat.ink = ink;
    order.clauses.retain(|c| !empty(c));
}

/// As [`gather_apart`], between the marks of words that hold the ink; names of other kinds take their longer names first.
pub(super) fn gather_within(tokens: &mut Vec<Token>, others: &[KindId], model: &Model, names: &Names) {
    let inks = inks(model);
    let mut at = 0;
    while at < tokens.len() {
        let count = tokens.iter().skip(at).take_while(|t| !is_mark(t)).count();
        let run: Vec<Token> = tokens.get(at..at + count).unwrap_or_default().to_vec();
        let mut rest = tokens.clone();
        rest.drain(at..(at + count + 1).min(tokens.len()));
        if !run.is_empty()
            && !says_of_cloth(&run, model, names)
            && called_closer(&mut rest, &run, (&inks, others), model, names)
        {
            *tokens = rest;
            return;
        }
        at += count + 1;
    }
}

fn inks(model: &Model) -> Vec<KindId> {
    let own = model.attributes.iter().filter(|a| a.phrase.as_deref() == Some("ink") && a.material);
    own.filter_map(|a| a.ty.members()).collect()
}

fn is_mark(token: &Token) -> bool {
    token.kind == TokenKind::Mark
}

/// Whether the first of these words say anything of the cloth.
fn says_of_cloth(run: &[Token], model: &Model, names: &Names) -> bool {
    let reader = PhraseReader::new(Resolver::new(model, names, 1));
    let places = reader.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
    reader.meaning(&places, run, 0).is_some()
}

/// Takes the runs between marks that a test picks out of words; how many that are.
fn cut_marked(tokens: &mut Vec<Token>, mut pick: impl FnMut(&[Token]) -> bool) -> usize {
    let (mut at, mut taken) = (0, 0);
    while at < tokens.len() {
        let count = tokens.iter().skip(at).take_while(|t| !is_mark(t)).count();
        if count > 0 && tokens.get(at..at + count).is_some_and(&mut pick) {
            tokens.drain(at..(at + count + 1).min(tokens.len()));
            taken += 1;
        } else {
            at += count + 1;
        }
    }
    taken
}

/// Whether words name something that is stirred into an ink.
pub(super) fn names_additive(item: &[Token], model: &Model, names: &Names) -> bool {
    let amounts = model.attributes.iter().filter(|a| matches!(a.ty, AttributeType::Amounts(_)));
    let kinds: Vec<KindId> = amounts.filter_map(|a| a.ty.members()).collect();
    (0..item.len()).any(|at| {
        let loosely = |k: &KindId| !names.loosely(*k, &text_of(item, at, 1)).is_empty();
        names.longest(&kinds, &words_from(item, at)).is_some() || kinds.iter().any(loosely)
    })
}

/// Whether words say a wish: `plastisol with soft hand` asks for no other ink.
pub(super) fn is_wish(words: &str, model: &Model) -> bool {
    model.wishes.all.iter().any(|w| w.words.contains(&folded(words)))
}

/// Whether these words and the only ink among the others are the full name of an ink, which then stands among them. The
/// words must name it by themselves: `low bleed` does, `sports` may be said of the cloth and `soft hand` be a wish.
fn called_closer(
    ink: &mut Vec<Token>,
    words: &[Token],
    (inks, others): (&[KindId], &[KindId]),
    model: &Model,
    names: &Names,
) -> bool {
    let words: Vec<Token> = words.iter().filter(|t| t.kind != TokenKind::Filler).cloned().collect();
    if words.is_empty() || words.len() > 4 || words.iter().any(|t| t.kind != TokenKind::Word) {
        return false;
    }
    let own = found(inks, others, ink, names);
    let [(at, count)] = own.as_slice() else { return false };
    let (at, count) = (*at, *count);
    let (name, closer) = (text_of(ink, at, count), text_of(&words, 0, words.len()));
    let member = |text: &str| inks.iter().find_map(|k| Some((*k, names.find(*k, text)?)));
    let alone = member(&closer).filter(|_| !is_wish(&closer, model));
    if alone.is_some() && alone == member(&name) {
        return true;
    }
    let before = member(&format!("{closer} {name}"));
    let (whole, at) = match before {
        Some(whole) => (Some(whole), at),
        None => (member(&format!("{name} {closer}")), at + count),
    };
    if alone.is_none() || alone != whole {
        return false;
    }
    ink.splice(at..at, words);
    true
}
