//! A complaint as it comes in, put as the question that it asks: `after three washes the logo cracked, plastisol on
//! cotton tee` asks why plastisol on a cotton tee cracked. What says nothing of the job is left aside, and told.

use crate::model::{Complaints, KindId, Model};
use crate::names::Names;
use crate::question::failed::{LONGEST, others};
use crate::question::parse::MAX_LENGTH;
use crate::words::folded;

/// The question behind a complaint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// Ways to put it, that which takes up most of the words first.
    pub questions: Vec<String>,
    /// What each leaves aside.
    pub aside: Vec<Vec<String>>,
}

#[derive(Debug, Clone)]
struct Word {
    text: String,
    /// A mark stands behind it.
    ends: bool,
}

/// A complaint in a text; nothing where it names no failure, or denies what is not understood.
pub fn complaint(text: &str, model: &Model, names: &Names) -> Option<Complaint> {
    let said = &model.complaints;
    let kind = model.kind("failure").filter(|_| text.len() <= MAX_LENGTH)?;
    let mut words = denials(words(text), kind, names)?;
    let (at, count) = place(&words, kind, model, names)?;
    let ends = words.get(at + count - 1).is_some_and(|w| w.ends);
    let named: Vec<&str> = words.iter().skip(at).take(count).map(|w| w.text.as_str()).collect();
    // Its own words may hold small words of the question language; the first that its knowledge gives do not.
    let own = names.longest(&[kind], &named).and_then(|n| model.member(kind, n.1))?;
    let failure = own.aliases.first().unwrap_or(&own.name);
    words.drain(at..at + count);
    let mut before = words;
    let mut after = before.split_off(at);
    while before.last().is_some_and(|w| !w.ends && is(w, &said.leads)) {
        before.pop();
    }
    let mut aside = Vec::new();
    let (mut runs, mut rest) = (runs(before, said, &mut aside), Vec::new());
    if !ends {
        let end = after.iter().position(|w| w.ends).map_or(after.len(), |e| e + 1);
        let later = after.split_off(end);
        let onto = after.first().is_some_and(|w| is(w, &said.onto));
        if onto {
            after.remove(0);
        }
        let own = self::runs(after, said, &mut aside);
        match (runs.last_mut(), own.split_first()) {
            (Some(ink), Some((cloth, others))) if onto => {
                *ink = format!("{ink} on {cloth}");
                rest.extend(others.to_vec());
            }
            _ => rest.extend(own),
        }
        after = later;
    }
    rest.extend(self::runs(after, said, &mut aside));
    runs.extend(rest);
    let whole = |runs: &[&String]| {
        let runs: Vec<&str> = runs.iter().map(|r| r.as_str()).collect();
        format!("why did {} {failure}", runs.join(", "))
    };
    // What names ink and cloth tells the job; what stands beside it may be no more than who wears it.
    let (told, beside): (Vec<&String>, Vec<&String>) = runs.iter().partition(|r| r.contains(" on "));
    let all: Vec<&String> = told.iter().chain(&beside).copied().collect();
    let mut questions = vec![whole(&all)];
    let mut left = vec![aside.clone()];
    if !told.is_empty() && !beside.is_empty() {
        questions.push(whole(&told));
        left.push(aside.into_iter().chain(beside.into_iter().cloned()).collect());
    }
    (!all.is_empty()).then_some(Complaint { questions, aside: left })
}

fn words(text: &str) -> Vec<Word> {
    let mut all: Vec<Word> = Vec::new();
    for word in text.split_whitespace() {
        let plain = word.trim_matches(|c: char| matches!(c, ',' | ';' | ':' | '.' | '!' | '?' | '"' | '(' | ')'));
        let mark = word.ends_with([',', ';', ':', '.', '!', '?', ')']) || matches!(word, "-" | "–" | "—");
        match all.last_mut() {
            Some(last) if plain.is_empty() || matches!(plain, "-" | "–" | "—") => last.ends = true,
            _ => all.push(Word { text: plain.to_owned(), ends: mark }),
        }
    }
    all
}

fn is(word: &Word, list: &[String]) -> bool {
    let own = word.text.to_lowercase();
    list.contains(&own)
}

/// Denials moved to what they deny: `why didn't it hold` is why it did not hold. Nothing where one denies what is no
/// failure: what was said would be turned round.
fn denials(words: Vec<Word>, kind: KindId, names: &Names) -> Option<Vec<Word>> {
    let mut out = words;
    let mut from = 0;
    while let Some(at) = out.iter().skip(from).position(denies).map(|p| p + from) {
        let not = out.remove(at);
        let denied = |words: &[Word]| {
            let all: Vec<&str> = std::iter::once("not").chain(words.iter().map(|w| w.text.as_str())).collect();
            names.longest(&[kind], &all).is_some_and(|(_, _, count)| count > 1)
        };
        let to = (at..out.len()).find(|to| out.get(*to..).is_some_and(denied))?;
        out.insert(to, Word { text: "not".to_owned(), ends: false });
        if not.ends {
            return None;
        }
        from = to + 1;
    }
    Some(out)
}

fn denies(word: &Word) -> bool {
    let own = word.text.to_lowercase().replace('’', "'");
    own == "not" || own == "never" || own.ends_with("n't")
}

/// Where what went wrong is named: rather at the end of what is told, by as many words as possible, late.
fn place(words: &[Word], kind: KindId, model: &Model, names: &Names) -> Option<(usize, usize)> {
    let said = &model.complaints;
    let others = others(kind, model);
    let mut best: Option<(bool, usize, usize)> = None;
    for at in 0..words.len() {
        let run = words.iter().skip(at).position(|w| w.ends).map_or(words.len(), |e| at + e + 1);
        let rest: Vec<&str> = words.get(at..run)?.iter().map(|w| w.text.as_str()).collect();
        let Some((_, _, count)) = names.longest(&[kind], &rest) else { continue };
        // `low bleed` is an ink, and `bleed tested` is said of a cloth.
        let within = (at.saturating_sub(LONGEST)..=at).any(|from| {
            let run: Vec<&str> = words.get(from..run).unwrap_or_default().iter().map(|w| w.text.as_str()).collect();
            let apart = words.get(from..at).unwrap_or_default().iter().any(|w| w.ends);
            let named = names.longest(&others, &run).map_or(0, |n| n.2).max(says_of_job(&run, model));
            !apart && named > count && from + named >= at + count
        });
        if within {
            continue;
        }
        let next = words.get(at + count).filter(|_| at + count < run);
        let ends =
            next.is_none_or(|w| is(w, &said.onto) || is(w, &said.when) || is(w, &said.place) || tells_time(w, said));
        best = best.max(Some((ends, count, at)));
    }
    best.map(|(_, count, at)| (at, count))
}

/// How many words from the first on say yes or no to something of a job.
fn says_of_job(run: &[&str], model: &Model) -> usize {
    let all = model.attributes.iter().flat_map(|a| a.words.0.iter().chain(&a.words.1));
    let begins = |phrase: &&String| {
        let count = phrase.split(' ').count();
        count <= run.len() && phrase.split(' ').eq(run.iter().take(count).map(|w| folded(w)))
    };
    all.filter(begins).map(|phrase| phrase.split(' ').count()).max().unwrap_or(0)
}

fn tells_time(word: &Word, said: &Complaints) -> bool {
    is(word, &said.time) || word.text.chars().all(|c| c.is_ascii_digit())
}

/// What is told of the job, in runs between marks; the rest is left aside.
fn runs(words: Vec<Word>, said: &Complaints, aside: &mut Vec<String>) -> Vec<String> {
    let mut runs: Vec<String> = Vec::new();
    for run in words.split_inclusive(|w| w.ends) {
        let mut kept: Vec<&str> = Vec::new();
        let mut at = 0;
        while let Some(word) = run.get(at) {
            let own = aside_at(run, at, said);
            if own > 0 {
                let mut told: Vec<&Word> = run.iter().skip(at).take(own).collect();
                while told.last().is_some_and(|w| is(w, &said.idle)) {
                    told.pop();
                }
                aside.push(told.iter().map(|w| w.text.as_str()).collect::<Vec<_>>().join(" "));
                at += own;
                continue;
            }
            kept.push(&word.text);
            at += 1;
        }
        let says = |w: &&str| {
            let w = folded(w);
            !said.idle.contains(&w)
        };
        let kept: Vec<&str> = kept.into_iter().filter(says).collect();
        if !kept.is_empty() {
            runs.push(kept.join(" "));
        }
    }
    runs
}

/// How many words from a place on tell who saw it, or when and where.
fn aside_at(run: &[Word], at: usize, said: &Complaints) -> usize {
    let rest = run.get(at..).unwrap_or_default();
    let Some((first, next)) = rest.split_first() else { return 0 };
    if is(first, &said.tellers) {
        return rest.iter().take_while(|w| is(w, &said.tellers)).count();
    }
    let time = |words: &[Word]| words.iter().take_while(|w| tells_time(w, said)).count();
    let told =
        |count: usize| rest.iter().take(count).any(|w| is(w, &said.time) && !is(w, &said.idle) && w.text != "of");
    if is(first, &said.when) && told(1 + time(next)) {
        // What was done then says nothing of the print: `after washing at 60 °C`.
        let more = next.get(time(next)..).unwrap_or_default();
        let at = more.first().filter(|w| w.text == "at").map_or(0, |_| 1 + time(more.get(1..).unwrap_or_default()));
        return 1 + time(next) + at;
    }
    if is(first, &said.place) && next.iter().all(|w| !w.text.chars().any(|c| c.is_ascii_digit())) {
        return rest.len();
    }
    // `two days later`
    let count = time(rest);
    let later = rest.get(count.saturating_sub(1)).is_some_and(|w| w.text == "later");
    if count > 1 && later { count } else { 0 }
}
