//! What is wished of things, heard in any question about a job: `plastisol with soft hand on white cotton tee`,
//! `softest ink for black cotton`. A wish ranks; `where` chooses.
//!
//! Its words are taken out of the text before that is read, so that every form of question may hold them.

use super::spoken::{LONGEST, Word, words};
use crate::model::{KindId, Model, PropertyType};
use crate::names::Names;
use crate::words::folded;

/// Words that deny what follows.
const NOT: [&str; 3] = ["no", "not", "without"];

/// A text without its wishes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wished {
    /// The text; every word that is left stands at its place.
    pub text: String,
    /// The wishes by number, as they were said.
    pub wishes: Vec<usize>,
    /// The words of one of them are the name of a thing as well.
    pub named: bool,
    /// What was heard and ranks nothing.
    pub notes: Vec<String>,
}

/// The wishes in a text; nothing where it holds none.
pub fn wished(text: &str, model: &Model, names: &Names) -> Option<Wished> {
    let said = &model.wishes;
    let mut reader = Reader { text, words: words(text), gone: Vec::new() };
    reader.gone = vec![false; reader.words.len()];
    let (mut wishes, mut kept): (Vec<usize>, Vec<String>) = (Vec::new(), Vec::new());
    let (mut at, mut named, mut notes) = (0, false, Vec::new());
    while at < reader.words.len() {
        let own = said.all.iter().enumerate().filter_map(|(i, w)| Some((i, reader.wish(at, &w.words)?)));
        let own = own.chain(
            said.aside
                .iter()
                .enumerate()
                .filter_map(|(i, (word, _))| Some((said.all.len() + i, reader.wish(at, std::slice::from_ref(word))?))),
        );
        let best = own.max_by_key(|(i, (count, _))| (*count, std::cmp::Reverse(*i)));
        let Some((index, (count, number))) = best.filter(|b| !reader.in_name(at, b.1.0, model, names)) else {
            at += 1;
            continue;
        };
        named |= reader.is_name(at, count, index, model, names);
        if let Some(number) = number {
            let from = reader.words.get(at + number).map_or(0, |w| w.start);
            let to = reader.words.get(at + count - 1).map_or(from, |w| w.end);
            kept.extend(text.get(from..to).map(str::to_owned));
        }
        (at..at + count).for_each(|i| reader.take(i));
        let mut end = at + count;
        while let Some(more) = reader.ahead(end, &said.trails) {
            (end..end + more).for_each(|i| reader.take(i));
            end += more;
        }
        let join = reader.ahead(end, &said.joins);
        let mut led: Vec<Vec<usize>> = Vec::new();
        while let Some(lead) = reader.behind(at, &said.leads) {
            lead.iter().for_each(|i| reader.take(*i));
            led.push(lead);
        }
        match (join, led.last()) {
            // What is said beside the wish still wants the word that led to both.
            (Some(more), Some(first)) => {
                first.iter().for_each(|i| reader.give_back(*i));
                (end..end + more).for_each(|i| reader.take(i));
                end += more;
            }
            _ => {
                if let Some(join) = reader.behind(at, &said.joins) {
                    join.iter().for_each(|i| reader.take(*i));
                }
            }
        }
        match said.aside.get(index.wrapping_sub(said.all.len())) {
            Some((word, says)) => notes.push(format!("`{word}` was heard and not weighed: {says}")),
            None if !wishes.contains(&index) => wishes.push(index),
            None => {}
        }
        at = end;
    }
    if wishes.is_empty() && notes.is_empty() {
        return None;
    }
    let mut left = reader.left();
    if !kept.is_empty() {
        // What follows `where` ends with the text: what was kept goes before it.
        let chooses = |w: &&Word| text.get(w.start..w.end).is_some_and(|w| w.eq_ignore_ascii_case("where"));
        let from = reader.words.iter().find(chooses).map_or(left.len(), |w| w.start);
        let chosen = left.split_off(from);
        left.truncate(left.trim_end_matches(|c: char| c.is_whitespace() || "?!.,;".contains(c)).len());
        kept.iter().for_each(|k| left.push_str(&format!(", {k}")));
        left.push_str(&format!(" {chosen}"));
    }
    Some(Wished { text: left, wishes, named, notes })
}

struct Reader<'t> {
    text: &'t str,
    words: Vec<Word>,
    /// Words that were taken out.
    gone: Vec<bool>,
}

impl<'t> Reader<'t> {
    fn word(&self, at: usize) -> &'t str {
        self.words.get(at).and_then(|w| self.text.get(w.start..w.end)).unwrap_or("")
    }

    fn take(&mut self, at: usize) {
        if let Some(gone) = self.gone.get_mut(at) {
            *gone = true;
        }
    }

    fn give_back(&mut self, at: usize) {
        if let Some(gone) = self.gone.get_mut(at) {
            *gone = false;
        }
    }

    /// Words that stand together, no mark between them.
    fn together(&self, from: usize, count: usize) -> Option<Vec<&'t str>> {
        let own = self.words.get(from..from + count)?;
        let apart = own.iter().skip(1).any(|w| w.apart);
        (!apart).then(|| (from..from + count).map(|i| self.word(i)).collect())
    }

    /// How many words from here say a wish, as many as possible, and where among them a number stands.
    fn wish(&self, at: usize, words: &[String]) -> Option<(usize, Option<usize>)> {
        (1..=LONGEST).rev().find_map(|count| {
            let run = self.together(at, count)?;
            let number = run.iter().position(|w| w.chars().all(|c| c.is_ascii_digit()) && !w.is_empty());
            let told: Vec<String> = run
                .iter()
                .enumerate()
                .map(|(i, w)| if Some(i) == number { "#".to_owned() } else { folded(w) })
                .collect();
            words.contains(&told.join(" ")).then_some((count, number))
        })
    }

    /// The longest name that begins here: of which kind, and how many words it takes.
    fn name(&self, from: usize, kinds: &[KindId], names: &Names) -> Option<(KindId, usize)> {
        let most = (1..=LONGEST).rev().find_map(|n| self.together(from, n))?;
        names.longest(kinds, &most).map(|(kind, _, count)| (kind, count))
    }

    /// Whether words are a part of a longer name.
    fn in_name(&self, at: usize, count: usize, model: &Model, names: &Names) -> bool {
        let kinds: Vec<KindId> = (0..model.kinds.len()).map(|i| KindId(i as u16)).collect();
        (at.saturating_sub(LONGEST)..=at)
            .any(|from| self.name(from, &kinds, names).is_some_and(|(_, n)| from + n > at && (from < at || n > count)))
    }

    /// Whether words are the name of a thing of another kind than the value that is wished.
    fn is_name(&self, at: usize, count: usize, wish: usize, model: &Model, names: &Names) -> bool {
        let property = model.wishes.all.get(wish).and_then(|w| model.properties.get(w.property.index()));
        let own = property.and_then(|p| if let PropertyType::Choice(kind) = p.ty { Some(kind) } else { None });
        let kinds = (0..model.kinds.len()).map(|i| KindId(i as u16)).filter(|k| Some(*k) != own).collect::<Vec<_>>();
        self.name(at, &kinds, names).is_some_and(|(_, n)| n == count) || self.denies(at, count, &kinds, names)
    }

    /// `no catalyst`: words that deny every thing of a class say something of the job.
    fn denies(&self, at: usize, count: usize, kinds: &[KindId], names: &Names) -> bool {
        let Some(run) = self.together(at, count) else { return false };
        let denied = run.split_first().filter(|(first, _)| NOT.contains(&folded(first).as_str())).map(|(_, rest)| rest);
        let rest =
            denied.map(|d| if d.first().is_some_and(|w| folded(w) == "a") { d.get(1..).unwrap_or(&[]) } else { d });
        rest.is_some_and(|r| names.all_of(kinds, r).is_some_and(|found| found.2 == r.len()))
    }

    /// How many words from here are one of these phrases.
    fn ahead(&self, at: usize, phrases: &[String]) -> Option<usize> {
        let apart = self.words.get(at)?.apart;
        (1..=LONGEST)
            .rev()
            .find(|n| !apart && self.together(at, *n).is_some_and(|run| phrases.contains(&folded(&run.join(" ")))))
    }

    /// The words before a place that are one of these phrases, those that were taken out left aside.
    fn behind(&self, at: usize, phrases: &[String]) -> Option<Vec<usize>> {
        let before: Vec<usize> = (0..at).rev().filter(|i| self.gone.get(*i) == Some(&false)).take(LONGEST).collect();
        (1..=before.len()).rev().find_map(|n| {
            let mut own: Vec<usize> = before.iter().take(n).copied().collect();
            own.reverse();
            let first = *own.first()?;
            let apart = (first + 1..=at).any(|i| self.words.get(i).is_some_and(|w| w.apart));
            let run = own.iter().map(|i| self.word(*i)).collect::<Vec<_>>().join(" ");
            (!apart && phrases.contains(&folded(&run))).then_some(own)
        })
    }

    /// The text with blanks in the place of what was taken out.
    fn left(&self) -> String {
        let mut left = self.text.to_owned();
        for (word, _) in self.words.iter().zip(&self.gone).filter(|w| *w.1) {
            left.replace_range(word.start..word.end, &" ".repeat(word.end - word.start));
        }
        left
    }
}
