//! A question of which something is not understood, answered for the rest. The least is left out with which the rest is
//! understood; what it says nobody can tell, so that it may turn the verdict unless nothing speaks for that.

use super::{Knowledge, Reply};
use crate::diagnostic::{Problem, Problems, mistyped};
use crate::model::{Attribute, KindId};
use crate::question::parse::MAX_LENGTH;
use crate::words::folded;
use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

/// A question without what of it is not understood.
#[derive(Debug, Clone)]
pub struct InPart {
    /// What is understood, every word at its place.
    pub known: String,
    /// What is left out, in its order.
    pub unread: Vec<String>,
    /// Whether what is left out may well turn the verdict: the rest then answers the question only for who knows that it
    /// does not. Otherwise it is a word or few that nothing here knows, and nothing is denied with it.
    pub weighs: bool,
    /// What the rest gets.
    pub reply: Reply,
}

/// So many words that nothing here knows say nothing of weight at most.
const MOST_UNKNOWN: usize = 3;

/// A text that is not understood after so many tries is left at that.
const TRIES: usize = 40;

/// What a word costs that is left out, where nothing speaks for its weight and otherwise.
const LIGHT: usize = 1;
const HEAVY: usize = 2;

/// What may be left out of a text.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Left {
    cost: usize,
    weighs: bool,
    places: BTreeSet<(usize, usize)>,
}

impl Left {
    fn and(&self, more: impl IntoIterator<Item = (usize, usize)>, weighs: bool, text: &str) -> Self {
        let places = joined(self.places.iter().copied().chain(more));
        let count: usize = places.iter().map(|p| count(text, *p)).sum();
        let weighs = self.weighs || weighs || count > MOST_UNKNOWN;
        Self { cost: count * if weighs { HEAVY } else { LIGHT }, weighs, places }
    }

    fn answered(&self, text: &str, known: String, reply: Reply) -> InPart {
        let unread = self.places.iter().filter_map(|(start, end)| text.get(*start..*end));
        InPart { unread: unread.map(|w| w.trim().to_owned()).collect(), weighs: self.weighs, known, reply }
    }

    fn rest(&self, text: &str) -> String {
        let left = |at: usize| self.places.iter().any(|(start, end)| (*start..*end).contains(&at));
        // Byte for byte, so that every other word keeps its place.
        text.char_indices().flat_map(|(at, c)| if left(at) { vec![' '; c.len_utf8()] } else { vec![c] }).collect()
    }
}

impl Knowledge {
    /// What of a question is understood, where that is a job or a choice, for a question that is refused with these
    /// problems. Nothing where most would have to be left out.
    ///
    /// ```
    /// let knowledge = washfast::Knowledge::built_in()?;
    /// let question = "white plastisol on black cotton tee, zorbing";
    /// let problems = knowledge.ask(question).map(|_| ()).expect_err("a word is unknown");
    /// let part = knowledge.in_part(question, &problems).expect("a job");
    /// assert_eq!((part.known.trim(), part.unread, part.weighs), ("white plastisol on black cotton tee,", vec!["zorbing".into()], false));
    /// # Ok::<(), washfast::diagnostic::Problems>(())
    /// ```
    pub fn in_part(&self, text: &str, problems: &Problems) -> Option<InPart> {
        if text.len() > MAX_LENGTH {
            return None;
        }
        let own = self.in_own_words(text);
        let all = count(text, (0, text.len()));
        let none = Left { cost: 0, weighs: false, places: BTreeSet::new() };
        let mut open: BinaryHeap<Reverse<Left>> = self.more_left(&none, problems.list(), text, &own);
        let mut tried = BTreeSet::new();
        while let Some(Reverse(left)) = open.pop() {
            let words: usize = left.places.iter().map(|p| count(text, *p)).sum();
            if words * 2 > all || !tried.insert(left.places.clone()) {
                continue;
            }
            if tried.len() > TRIES {
                return None;
            }
            let known = left.rest(text);
            match self.ask(&known) {
                Ok(reply @ (Reply::Answer(_) | Reply::Ranking(_))) => return Some(left.answered(text, known, reply)),
                // What may lie behind a complaint.
                Ok(reply @ Reply::Page(_)) if self.complains(&known) => {
                    return Some(left.answered(text, known, reply));
                }
                Ok(_) => {}
                Err(more) => open.extend(self.more_left(&left, more.list(), text, &own)),
            }
        }
        None
    }

    /// What else may be left out of a text for its problems: the words that are not understood, or all that stands beside
    /// them up to the next stop.
    fn more_left(&self, left: &Left, problems: &[Problem], text: &str, own: &str) -> BinaryHeap<Reverse<Left>> {
        let place = |p: &Problem| p.labels.first().map(|l| words_at(text, own, l.0.start as usize, l.0.end as usize));
        let unknown: Vec<(usize, usize)> = problems.iter().filter(|p| p.code == UNKNOWN).filter_map(place).collect();
        let mut out = BinaryHeap::new();
        if unknown.len() == problems.len() {
            let light = |p: &Problem| {
                p.labels.first().is_some_and(|l| self.says_little(text, own, l.0.start as usize, l.0.end as usize))
            };
            out.push(Reverse(left.and(unknown.iter().copied(), !problems.iter().all(light), text)));
        }
        for label in problems.iter().flat_map(|p| &p.labels) {
            let (start, end) = (label.0.start as usize, label.0.end as usize);
            let (from, to) = words_at(text, own, start, end);
            // What denies goes with what it denies.
            if !own.get(from..to).is_some_and(|w| w.split_whitespace().next_back().is_some_and(denies)) {
                out.push(Reverse(left.and([(from, to)], true, text)));
            }
            out.push(Reverse(left.and([between_stops(text, start)], true, text)));
        }
        out
    }

    /// Whether what stands here is one word, no known one at a place where it is not understood nor one mistyped, none of those of which it is known that they may
    /// matter, and not denied.
    fn says_little(&self, text: &str, own: &str, start: usize, end: usize) -> bool {
        let Some(word) = text.get(start..end) else { return false };
        let denied =
            |until: usize| own.get(..until).is_none_or(|t| t.split_whitespace().next_back().is_some_and(denies));
        let matters = self.model().attributes.iter().filter_map(|a| a.speech.whom.as_ref());
        if denied(start) || denied(end) || matters.into_iter().any(|w| mistyped(&folded(word), &w.unless)) {
            return false;
        }
        let kinds: Vec<KindId> = (0..self.model().kinds.len()).map(|i| KindId(i as u16)).collect();
        let own = folded(word);
        let called = |a: &Attribute| a.speech.called.contains(&own);
        let known = self.names().longest(&kinds, &[word]).is_some() || self.model().attributes.iter().any(called);
        !known
            && word.chars().count() > 1
            && word.chars().all(|c| c.is_alphabetic() || matches!(c, '-' | '\'' | '’'))
            && !mistyped(&folded(word), &self.names().nearest(&kinds, word))
    }
}

const UNKNOWN: &str = "job::unknown-name";

/// Whether a word denies what follows.
fn denies(word: &str) -> bool {
    matches!(folded(word).as_str(), "no" | "not" | "non" | "without" | "w/o" | "never")
}

/// Whether a word only joins what follows to what stands before.
fn joins(word: &str) -> bool {
    const JOINTS: [&str; 22] = [
        "a", "an", "the", "with", "w/", "w", "and", "&", "+", "or", "on", "onto", "over", "of", "for", "in", "at",
        "to", "from", "by", "as", "then",
    ];
    JOINTS.contains(&folded(word).as_str())
}

/// The whole words at a place, with what joins or denies them.
fn words_at(text: &str, own: &str, start: usize, end: usize) -> (usize, usize) {
    let bytes = own.as_bytes();
    // An empty place is that of the word before.
    let end = if end > start { end } else { text.get(..start).map_or(start, |t| t.trim_end().len()) };
    let start = if start < end { start } else { own.get(..end).map_or(0, word_start) };
    let inside = |at: usize| bytes.get(at).is_some_and(|b| b.is_ascii_alphanumeric() || !b.is_ascii() || *b == b'%');
    let mut to = end;
    while inside(to.wrapping_sub(1)) && inside(to) {
        to += 1;
    }
    let mut from = start;
    while from > 0 && inside(from) && inside(from - 1) {
        from -= 1;
    }
    loop {
        let before = own.get(..from).unwrap_or("").trim_end();
        let word = word_start(before);
        if word == before.len() || !before.get(word..).is_some_and(|w| joins(w) || denies(w)) {
            return (from, to);
        }
        from = word;
    }
}

/// Where the last word of a text begins.
fn word_start(text: &str) -> usize {
    text.char_indices().rev().find(|(_, c)| c.is_whitespace()).map_or(0, |(at, c)| at + c.len_utf8())
}

/// All that stands between two stops around a place.
fn between_stops(text: &str, at: usize) -> (usize, usize) {
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let digit = |i: usize| chars.get(i).is_some_and(|c| c.1.is_ascii_digit());
    let space = |i: usize| chars.get(i).is_none_or(|c| c.1.is_whitespace());
    let stops = |i: usize| match chars.get(i).map(|c| c.1) {
        // `1,5` and `0.03` are numbers.
        Some(',' | '.' | ':') => !(i > 0 && digit(i - 1) && digit(i + 1)),
        Some(';' | '!' | '?' | '(' | ')' | '\n' | '–' | '—') => true,
        Some('-' | '+') => i > 0 && space(i - 1) && space(i + 1),
        _ => false,
    };
    let here = chars.iter().position(|c| c.0 >= at).unwrap_or(chars.len());
    let before = (0..here).rev().find(|i| stops(*i)).map_or(0, |i| i + 1);
    let after = (here..chars.len()).find(|i| stops(*i)).unwrap_or(chars.len());
    let byte = |i: usize| chars.get(i).map_or(text.len(), |c| c.0);
    (byte(before), byte(after))
}

/// How many words stand at a place.
fn count(text: &str, (start, end): (usize, usize)) -> usize {
    text.get(start..end).unwrap_or("").split_whitespace().filter(|w| w.contains(char::is_alphanumeric)).count()
}

/// Places, those that touch or only leave a space between them as one.
fn joined(places: impl Iterator<Item = (usize, usize)>) -> BTreeSet<(usize, usize)> {
    let all: BTreeSet<(usize, usize)> = places.collect();
    let mut out: Vec<(usize, usize)> = Vec::new();
    for (start, end) in all {
        match out.last_mut() {
            Some(last) if start <= last.1 + 1 => last.1 = last.1.max(end),
            _ => out.push((start, end)),
        }
    }
    out.into_iter().collect()
}
