//! Words of other languages for the small words of this one, and set phrases that hold such a word.
//!
//! Which there are is knowledge. A word that belongs to a name stays what it is: `torba na zakupy` is a bag.

use crate::model::{KindId, Model};
use crate::names::Names;
use crate::words::folded;
use std::borrow::Cow;

/// No name has more words than this.
pub(super) const LONGEST: usize = 10;

/// What a phrase stands for that ends a letter; only whoever signs it may follow.
const SIGNED: &str = ".";

/// Whether a word may be of the name of whoever signs: with a capital, and nothing that is known.
fn signs(word: &str, model: &Model, names: &Names, kinds: &[KindId]) -> bool {
    let own = folded(word);
    let known = model.attributes.iter().any(|a| {
        let said =
            a.words.0.iter().chain(&a.words.1).chain(&a.speech.idle).chain(&a.speech.none).chain(&a.speech.parts);
        let told = a.speech.unclear.keys().chain(a.speech.aside.keys());
        said.chain(told).any(|w| w.split(' ').any(|w| w == own))
    });
    let loosely = || kinds.iter().any(|k| !names.loosely(*k, word).is_empty());
    word.chars().next().is_some_and(char::is_uppercase)
        && word.chars().all(|c| c.is_alphabetic() || c == '-')
        && !known
        && names.longest(kinds, &[word]).is_none()
        && names.begun(kinds, word).is_empty()
        && !loosely()
}

/// A word of a text: from where to where, and whether a mark stands before it.
pub(super) struct Word {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) apart: bool,
}

/// A text with its own small words in the place of those of other languages. Every word stays at its place, so that
/// whatever points into the text still does.
pub fn in_own_words<'t>(text: &'t str, model: &Model, names: &Names) -> Cow<'t, str> {
    if model.spoken.is_empty() {
        return Cow::Borrowed(text);
    }
    let words = words(text);
    let kinds: Vec<KindId> = (0..model.kinds.len()).map(|i| KindId(i as u16)).collect();
    let word = |i: usize| words.get(i).and_then(|w| text.get(w.start..w.end)).unwrap_or("");
    // As many words as stand together from here.
    let together = |from: usize, count: usize| {
        let own = words.get(from..from + count)?;
        let apart = own.iter().skip(1).any(|w| w.apart);
        (!apart).then(|| (from..from + count).map(word).collect::<Vec<_>>())
    };
    let named = |from: usize| {
        (2..=LONGEST).rev().find(|n| {
            together(from, *n).is_some_and(|run| names.longest(&kinds, &run).is_some_and(|found| found.2 == *n))
        })
    };
    let mut out = String::new();
    let mut done = 0;
    let (mut at, mut consumed) = (0, 0);
    while at < words.len() {
        let own = folded(word(at));
        let found = model.spoken.iter().find_map(|(says, phrase)| {
            if own.is_empty() || !phrase.starts_with(&own) {
                return None;
            }
            // A hyphen may join what the phrase writes apart.
            let said = |count: &usize| together(at, *count).is_some_and(|run| folded(&run.join(" ")) == *phrase);
            (1..=phrase.split(' ').count()).rev().find(said).map(|count| (says, count))
        });
        let Some((says, count)) = found else {
            at += 1;
            continue;
        };
        // A name that is only written otherwise is no other word, `off white`, and of a whole name the knowledge may say
        // that it is written otherwise: `3D puff`.
        let same = folded(says) == folded(&(at..at + count).map(word).collect::<Vec<_>>().join(" "));
        let within = (at.saturating_sub(LONGEST).max(consumed)..=at)
            .any(|from| named(from).is_some_and(|n| from + n > at && !(from == at && (same || n <= count))));
        let (start, end) =
            (words.get(at).map_or(0, |w| w.start), words.get(at + count - 1).map_or(text.len(), |w| w.end));
        if within || says.len() > end - start {
            at += 1;
            continue;
        }
        out.push_str(text.get(done..start).unwrap_or(""));
        out.push_str(says);
        out.extend(std::iter::repeat_n(' ', end - start - says.len()));
        done = end;
        at += count;
        consumed = at;
        // Who signs says nothing of the job: `many thanks, Anna`.
        if says == SIGNED && at < words.len() && (at..words.len()).all(|i| signs(word(i), model, names, &kinds)) {
            let last = words.last().map_or(done, |w| w.end);
            let until = done + text.get(done..last).unwrap_or("").len();
            out.extend(std::iter::repeat_n(' ', until - done));
            done = until;
            at = words.len();
        }
    }
    if done == 0 {
        return Cow::Borrowed(text);
    }
    out.push_str(text.get(done..).unwrap_or(""));
    Cow::Owned(out)
}

pub(super) fn words(text: &str) -> Vec<Word> {
    let mut list: Vec<Word> = Vec::new();
    let (mut start, mut apart) = (None, false);
    for (i, c) in text.char_indices().chain([(text.len(), ' ')]) {
        let inside = c.is_alphanumeric() || matches!(c, '-' | '\'' | '’') && start.is_some();
        match (inside, start) {
            (true, None) => start = Some(i),
            (false, Some(from)) => {
                list.push(Word { start: from, end: i, apart });
                (start, apart) = (None, false);
            }
            _ => {}
        }
        apart |= !inside && !c.is_whitespace();
    }
    list
}
