//! What lies below a layer, or is stirred into it, where that is said in passing: `with white underbase`,
//! `plastisol + 5 % additive`.

use super::apart::names_additive;
use super::loose::found;
use super::naming::gathered;
use super::parse::{Clause, Coat, Order, Token, TokenKind, written};
use super::tokens::{Runs, text_of, words_from};
use crate::model::{Attribute, AttributeType, KindId, Model};
use crate::names::Names;
use std::ops::Range;

/// The kinds that an order speaks of here.
struct Kinds<'m> {
    inks: Vec<KindId>,
    others: Vec<KindId>,
    stirred_in: Vec<KindId>,
    /// What is said of the cloth, and with it what is only heard.
    cloths: Vec<&'m Attribute>,
}

impl<'m> Kinds<'m> {
    fn of(model: &'m Model) -> Self {
        let of_ink = |material: bool| -> Vec<KindId> {
            let own = model.attributes.iter().filter(|a| a.phrase.as_deref() == Some("ink") && a.material == material);
            own.filter_map(|a| a.ty.members()).collect()
        };
        let amounts = model.attributes.iter().filter(|a| matches!(a.ty, AttributeType::Amounts(_)));
        let stirred_in = amounts.filter_map(|a| a.ty.members()).collect();
        let cloths = model.attributes.iter().filter(|a| a.phrase.as_deref() == Some("fabric")).collect();
        Self { inks: of_ink(true), others: of_ink(false), stirred_in, cloths }
    }

    /// Colours: what is said of a cloth as well as of an ink.
    fn hues(&self) -> Vec<KindId> {
        let of_cloth = |kind: &KindId| self.cloths.iter().any(|a| a.ty.members() == Some(*kind));
        self.others.iter().copied().filter(of_cloth).collect()
    }

    /// How many words from here are only heard.
    fn heard(&self, tokens: &[Token], at: usize) -> usize {
        if tokens.get(at).is_some_and(|t| t.kind == TokenKind::Filler) {
            return 1;
        }
        let runs = Runs::of(tokens, at);
        let aside = |a: &Attribute| runs.find(&a.speech.aside).map_or(0, |found| found.1);
        self.cloths.iter().map(|a| runs.among(&a.speech.idle).max(aside(a))).max().unwrap_or(0)
    }
}

/// Takes what is stirred in out of the words of the cloth: `black tee, plastisol + 5 % additive`.
pub(super) fn stirred_in(order: &mut Order, model: &Model, names: &Names) {
    let kinds = Kinds::of(model);
    let within = within_run(&mut order.cloth, &kinds, names);
    order.clauses.extend(within.map(|item| Clause::With(vec![item])));
    let added = added(&mut order.cloth, model, names);
    order.clauses.extend(added.map(Clause::With));
    let dosed = dosed(&mut order.cloth, &kinds, names);
    order.clauses.extend(dosed.map(Clause::With));
}

/// `nylon jacket, plastisol, 10 % bonding agent`: a dose between marks with what it is of and nothing else, taken out of
/// the words.
fn dosed(tokens: &mut Vec<Token>, kinds: &Kinds<'_>, names: &Names) -> Option<Vec<Vec<Token>>> {
    let mark = |t: &Token| t.kind == TokenKind::Mark;
    let dose = |run: &[Token]| match run {
        [number, sign] => number.kind == TokenKind::Number && sign.text == "%",
        _ => false,
    };
    let named = |run: &[Token]| {
        let whole = names.longest(&kinds.stirred_in, &words_from(run, 0)).is_some_and(|n| n.2 == run.len());
        whole || kinds.stirred_in.iter().any(|k| !names.loosely(*k, &text_of(run, 0, run.len())).is_empty())
    };
    let is_dose = |run: &[Token]| {
        let (first, then) = run.split_at(2.min(run.len()));
        let (before, last) = run.split_at(run.len().saturating_sub(2));
        dose(first) && named(then) || dose(last) && named(before)
    };
    let mut items = Vec::new();
    let mut from = 0;
    while from < tokens.len() {
        let count = tokens.iter().skip(from).take_while(|t| !mark(t)).count();
        match tokens.get(from..from + count) {
            Some(run) if is_dose(run) => items.push(tokens.drain(from..from + count).collect()),
            _ => from += count + 1,
        }
    }
    (!items.is_empty()).then_some(items)
}

/// An order with its layers and what is stirred in each at its place, and how that was taken where it could be taken
/// otherwise.
pub(super) fn layered(order: &Order, model: &Model, names: &Names) -> (Order, Vec<String>) {
    let kinds = Kinds::of(model);
    let mut order = order.clone();
    let mut notes = Vec::new();
    for coat in &mut order.stack {
        let within = within(&mut coat.ink, &kinds, names);
        coat.clauses.extend(within.map(|item| Clause::With(vec![item])));
        let added = added(&mut coat.ink, model, names);
        coat.clauses.extend(added.map(Clause::With));
        let dosed = dosed(&mut coat.ink, &kinds, names);
        coat.clauses.extend(dosed.map(Clause::With));
        hue_behind(coat, &kinds, names);
    }
    stirred_in(&mut order, model, names);
    notes.extend(hue_behind_finish(&mut order, &kinds, names));
    let mut stack: Vec<Coat> = Vec::new();
    let last = order.stack.len().saturating_sub(1);
    for (at, mut coat) in std::mem::take(&mut order.stack).into_iter().enumerate() {
        if let Some(upper) = stack.last() {
            coat.ink = based(coat.ink, upper, &kinds, model, names, &mut notes);
        }
        let mut below = bases_among(&mut coat.clauses, &mut order.cloth, &kinds, names);
        if at == last {
            below.extend(bases_among(&mut order.clauses, &mut order.cloth, &kinds, names));
            below.extend(base_in_passing(&mut order.cloth, &kinds, names));
            // `white underbase, red plastisol on black tee`
            let mut upper = coat.ink.clone();
            if let Some(base) = base_in_passing(&mut upper, &kinds, names)
                && !found(&kinds.inks, &[], &gathered(&upper, model, names), names).is_empty()
            {
                coat.ink = upper;
                below.push(base);
            }
        }
        stack.push(coat);
        for ink in below {
            let upper = stack.last();
            let ink = upper.map_or(ink.clone(), |u| based(ink, u, &kinds, model, names, &mut notes));
            stack.push(Coat { ink, clauses: Vec::new(), asked_for: false });
        }
    }
    order.stack = stack;
    (order, notes)
}

/// `5 % low-cure additive in plastisol`: what is said to be stirred into the ink behind it, taken out of the words.
fn within(tokens: &mut Vec<Token>, kinds: &Kinds<'_>, names: &Names) -> Option<Vec<Token>> {
    let into = |t: &Token| matches!(t.text.to_lowercase().as_str(), "in" | "into");
    let at = tokens.iter().position(into).filter(|at| *at > 0)?;
    let (before, behind) = tokens.split_at(at);
    // `puff additive 15 % in plastisol`
    let dose = match before {
        [.., number, sign] if number.kind == TokenKind::Number && sign.text == "%" => 2,
        _ => 0,
    };
    let (before, at) = (before.get(..at - dose)?, at - dose);
    let ends = |from: usize| {
        let run = words_from(before, from);
        names.longest(&kinds.stirred_in, &run).is_some_and(|n| from + n.2 == at)
            || run.len() == 1
                && kinds.stirred_in.iter().any(|k| !names.loosely(*k, &text_of(before, from, 1)).is_empty())
    };
    let ink = (0..behind.len()).any(|from| names.longest(&kinds.inks, &words_from(behind, from)).is_some());
    if !(0..at).any(ends) || !ink {
        return None;
    }
    let item = tokens.drain(..at + dose).collect();
    tokens.remove(0);
    Some(item)
}

/// As [`within`], between marks; a dose by itself behind the next is of it: `suede additive in plastisol, 15 %`.
fn within_run(tokens: &mut Vec<Token>, kinds: &Kinds<'_>, names: &Names) -> Option<Vec<Token>> {
    let mark = |t: &Token| t.kind == TokenKind::Mark;
    let mut from = 0;
    while from < tokens.len() {
        let count = tokens.iter().skip(from).take_while(|t| !mark(t)).count();
        let mut run: Vec<Token> = tokens.get(from..from + count)?.to_vec();
        if let Some(mut item) = within(&mut run, kinds, names) {
            let end = from + run.len();
            tokens.splice(from..from + count, run);
            let dosed = |t: &Token| t.kind == TokenKind::Number;
            if !item.iter().any(dosed)
                && let Some([_, number, sign]) = tokens.get(end..end + 3)
                && number.kind == TokenKind::Number
                && sign.text == "%"
                && tokens.get(end + 3).is_none_or(mark)
            {
                item.extend(tokens.drain(end..end + 3).skip(1));
            }
            return Some(item);
        }
        from += count + 1;
    }
    None
}

/// `puff additive black`, `5 % fixer, black`: a colour behind what is stirred in is that of the ink, if it has none.
fn hue_behind(coat: &mut Coat, kinds: &Kinds<'_>, names: &Names) {
    let hues = kinds.hues();
    if !found(&hues, &[], &coat.ink, names).is_empty() {
        return;
    }
    for clause in &mut coat.clauses {
        let Clause::With(items) = clause else { continue };
        for (number, item) in items.iter_mut().enumerate() {
            let ends = |at: &usize| {
                let own = names.longest(&hues, &words_from(item, *at));
                own.is_some_and(|n| at + n.2 == item.len())
            };
            // What is named first is no colour.
            if let Some(at) = (usize::from(number == 0)..item.len()).find(ends) {
                coat.ink.splice(0..0, item.split_off(at));
                items.retain(|i| !i.is_empty());
                return;
            }
        }
    }
}

/// `nylon ink on black softshell with water repellent, white`: a colour by itself behind what the cloth has, which has its
/// colour, is that of the print; with how it was taken.
fn hue_behind_finish(order: &mut Order, kinds: &Kinds<'_>, names: &Names) -> Option<String> {
    let hues = kinds.hues();
    let [coat] = order.stack.as_mut_slice() else { return None };
    let hued = |tokens: &[Token]| !found(&hues, &[], tokens, names).is_empty();
    if coat.asked_for || hued(&coat.ink) || !hued(&order.cloth) {
        return None;
    }
    for clause in &mut order.clauses {
        let Clause::With(items) = clause else { continue };
        let alone = |item: &Vec<Token>| found(&hues, &[], item, names) == [(0, item.len())];
        let Some(at) = items.iter().skip(1).position(alone) else { continue };
        let (said, ink) = (items.remove(at + 1), written(&coat.ink));
        let colour = text_of(&said, 0, said.len());
        coat.ink.splice(0..0, said);
        return Some(format!(
            "{colour} was taken as the colour of the print; if it is of the cloth, ask by itself: {ink} on {colour} …"
        ));
    }
    None
}

/// What is said behind a plus sign to be stirred in, taken out of the words.
fn added(tokens: &mut Vec<Token>, model: &Model, names: &Names) -> Option<Vec<Vec<Token>>> {
    let plus = |t: &Token| t.kind == TokenKind::Sign && t.text == "+";
    let mut items = Vec::new();
    let mut from = 1;
    while let Some(at) = (from..tokens.len()).find(|at| tokens.get(*at).is_some_and(plus)) {
        let ends = |t: &Token| plus(t) || t.kind == TokenKind::Mark;
        let count = tokens.iter().skip(at + 1).take_while(|t| !ends(t)).count();
        match tokens.get(at + 1..at + 1 + count) {
            Some(run) if names_additive(run, model, names) => {
                let run: Vec<Token> = tokens.drain(at..at + 1 + count).skip(1).collect();
                items.push(run);
                from = at;
            }
            _ => from = at + 1,
        }
    }
    (!items.is_empty()).then_some(items)
}

/// The words that name any base, a word that inks share where they lie below another; only their colour may follow.
fn base_words(tokens: &[Token], kinds: &Kinds<'_>, names: &Names) -> Option<Range<usize>> {
    let hue = |at: usize| {
        let filler = tokens.get(at).is_some_and(|t| t.kind == TokenKind::Filler);
        let named = names.longest(&kinds.others, &words_from(tokens, at)).map_or(0, |n| n.2);
        named.max(usize::from(filler))
    };
    let mut ends = (0..=tokens.len()).filter(|end| {
        let mut at = *end;
        while at < tokens.len() && hue(at) > 0 {
            at += hue(at);
        }
        at >= tokens.len()
    });
    let loose = |own: &Range<usize>| {
        let text = text_of(tokens, own.start, own.len());
        kinds.inks.iter().any(|k| !names.loosely(*k, &text).is_empty())
    };
    let own =
        ends.find_map(|end| [2, 1].into_iter().filter_map(|count| Some(end.checked_sub(count)?..end)).find(loose))?;
    // `dye-blocking base` is an ink's own name, and `safety yellow` a colour.
    let all: Vec<KindId> = kinds.inks.iter().chain(&kinds.others).copied().collect();
    let name = |from: usize| {
        let end = names.longest(&all, &words_from(tokens, from)).map_or(from, |n| from + n.2);
        end > own.end || end == own.end && from < own.start
    };
    if (0..=own.start).any(name) { None } else { Some(own) }
}

/// Whether words are those of a base: its colour and ink, as far as they are said, and the word for a base.
fn is_base(tokens: &[Token], kinds: &Kinds<'_>, names: &Names) -> bool {
    let Some(base) = base_words(tokens, kinds, names) else { return false };
    let all: Vec<KindId> = kinds.inks.iter().chain(&kinds.others).copied().collect();
    let mut at = 0;
    while at < base.start {
        let filler = tokens.get(at).is_some_and(|t| t.kind == TokenKind::Filler);
        let before = tokens.get(..base.start).unwrap_or(&[]);
        let named = names.longest(&all, &words_from(before, at)).map_or(0, |n| n.2);
        if !filler && named == 0 {
            return false;
        }
        at += named.max(1);
    }
    true
}

/// Where among words those of a base stand, what is only heard with it left out: `a white underbase flashed`.
fn base_within(tokens: &[Token], kinds: &Kinds<'_>, names: &Names) -> Option<Range<usize>> {
    let (mut from, mut to) = (0, tokens.len());
    loop {
        if is_base(tokens.get(from..to)?, kinds, names) {
            return Some(from..to);
        }
        let last = (from..to).find(|at| tokens.get(..to).is_some_and(|own| at + kinds.heard(own, *at) == to));
        match (kinds.heard(tokens.get(..to)?, from), last) {
            (_, Some(at)) => to = at,
            (first @ 1.., None) => from += first,
            (0, None) => return None,
        }
    }
}

/// The bases that are said with what is above them, taken out of the clauses. What is heard with them goes on with the cloth.
fn bases_among(clauses: &mut Vec<Clause>, cloth: &mut Vec<Token>, kinds: &Kinds<'_>, names: &Names) -> Vec<Vec<Token>> {
    let mut bases = Vec::new();
    for clause in clauses.iter_mut() {
        let Clause::With(items) = clause else { continue };
        for mut item in std::mem::take(items) {
            let Some(own) = base_within(&item, kinds, names) else {
                items.push(item);
                continue;
            };
            bases.push(item.drain(own).collect());
            if item.iter().any(|t| t.kind != TokenKind::Filler) {
                cloth.push(Token::comma());
                cloth.append(&mut item);
            }
        }
    }
    if !bases.is_empty() {
        clauses.retain(|c| !matches!(c, Clause::With(items) if items.is_empty()));
    }
    bases
}

/// A base between the words of a cloth: `black tee, white underbase`.
fn base_in_passing(cloth: &mut Vec<Token>, kinds: &Kinds<'_>, names: &Names) -> Option<Vec<Token>> {
    let mark = |t: &Token| t.kind == TokenKind::Mark;
    let mut from = 0;
    while from < cloth.len() {
        let count = cloth.iter().skip(from).take_while(|t| !mark(t)).count();
        if let Some(own) = cloth.get(from..from + count).and_then(|run| base_within(run, kinds, names)) {
            return Some(cloth.drain(from + own.start..from + own.end).collect());
        }
        from += count + 1;
    }
    None
}

/// The words of a layer with the word for a base left out, or with the ink above it in its place, where that can be a
/// base too. Otherwise they stay as they are.
fn based(
    ink: Vec<Token>,
    upper: &Coat,
    kinds: &Kinds<'_>,
    model: &Model,
    names: &Names,
    notes: &mut Vec<String>,
) -> Vec<Token> {
    let Some(base) = base_words(&ink, kinds, names) else { return ink };
    let (before, behind) = (ink.get(..base.start).unwrap_or(&[]), ink.get(base.end..).unwrap_or(&[]));
    let own = gathered(&[before, behind].concat(), model, names);
    if !found(&kinds.inks, &[], &own, names).is_empty() {
        return own;
    }
    let above = gathered(&upper.ink, model, names);
    let Some((at, words)) = found(&kinds.inks, &[], &above, names).first().copied() else { return ink };
    let word = text_of(&ink, base.start, base.len());
    let name = text_of(&above, at, words);
    let may_be = |k: &KindId| names.find(*k, &name).is_some_and(|m| names.loosely(*k, &word).contains(&m));
    if !kinds.inks.iter().any(may_be) {
        return ink;
    }
    notes.push(format!("{name} was taken as the ink of the {word}; if it is another, say: {name} over … on …"));
    let span = ink.get(base.start).map(|t| t.span).unwrap_or_default();
    let named = above.iter().skip(at).take(words).map(|t| Token { span, ..t.clone() });
    own.into_iter().chain(named).collect()
}
