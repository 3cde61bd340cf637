//! Numbers in a phrase: counts, sizes, quantities with a unit, and the shares of a blend.

use super::parse::{Token, TokenKind};
use super::phrase::{Meaning, PhraseReader, Places};
use super::shares::Part;
use super::tokens::{Runs, Size, TIMES, size_at, span_of, text_of, unit_at};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId};
use crate::resolve::Mistake;
use crate::source::Span;
use crate::words::folded;

/// Small numbers as words.
const NUMBERS: [&str; 13] =
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
fn number_word(word: &str) -> Option<usize> {
    NUMBERS.iter().position(|n| *n == word)
}

impl<'a> PhraseReader<'a> {
    /// `60/40`: how many tokens of numbers, joined by signs, add up to a whole.
    pub(super) fn ratio(&self, tokens: &[Token], at: usize) -> usize {
        let number = |i: usize| {
            tokens.get(i).filter(|t| t.kind == TokenKind::Number).and_then(|t| crate::quantity::Decimal::parse(&t.text))
        };
        let joined = |i: usize| tokens.get(i).is_some_and(|t| t.kind == TokenKind::Sign && t.text != "%");
        let Some(first) = number(at) else { return 0 };
        // `40 x 60 cm` adds up as well, and is a size.
        if matches!(self.size(tokens, at), Some((.., Ok(_)))) {
            return 0;
        }
        let (mut sum, mut count) = (first.to_f64(), 1);
        while joined(at + count)
            && let Some(next) = number(at + count + 1)
        {
            sum += next.to_f64();
            count += 2;
        }
        if count > 1 && (99.0..=101.0).contains(&sum) { count } else { 0 }
    }

    /// A number that is a share, with its sign; how many tokens that takes.
    pub(super) fn share(&mut self, tokens: &[Token], at: usize) -> usize {
        let Some(token) = tokens.get(at) else { return 1 };
        let blend = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(_)));
        let Some((id, _)) = blend.first() else { return 1 };
        let sign = at.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(|t| t.kind == TokenKind::Sign);
        self.shares.joined |= sign && at > 1 && tokens.get(at - 2).is_some_and(|t| t.kind == TokenKind::Number);
        match self.resolver.share(*id, &token.text) {
            Ok(steps) => self.shares.push(Part::Share(steps, token.span), &token.text),
            Err(mistake) => self.mistake(mistake, token.span),
        }
        1 + self.unit(tokens, at + 1, |name| name == "percent").map_or(0, |u| u.1)
    }

    /// The unit that is written from here, of a dimension that a test picks, and how many tokens it takes.
    pub(super) fn unit(&self, tokens: &[Token], at: usize, pick: impl Fn(&str) -> bool) -> Option<(String, usize)> {
        unit_at(self.resolver.model, tokens, at, pick).map(|(text, count, _)| (text, count))
    }

    pub(super) fn dimension(&self, attribute: &Attribute) -> Option<&'a crate::quantity::Dimension> {
        match attribute.ty {
            AttributeType::Quantity(d) | AttributeType::Setting(d) => self.resolver.model.dim(d),
            _ => None,
        }
    }

    /// A number of something that is counted, or with a unit that one of the places is measured in; how many tokens
    /// that takes.
    pub(super) fn measured(&mut self, places: &Places<'a>, tokens: &[Token], at: usize) -> usize {
        let Some(token) = tokens.get(at) else { return 0 };
        let added = self.added(tokens, at);
        if added > 0 {
            return added;
        }
        let word = token.text.to_lowercase();
        let number = match (token.kind, number_word(&word)) {
            (TokenKind::Number, _) => token.text.clone(),
            (TokenKind::Word | TokenKind::Filler, Some(n)) => n.to_string(),
            (TokenKind::Word | TokenKind::Filler, None) => {
                let joined = self.counted_in_one(token);
                if joined > 0 {
                    return joined;
                }
                let sized = self.size_named(tokens, at);
                return if sized > 0 { sized } else { self.called(tokens, at) };
            }
            _ => return 0,
        };
        let sized = self.sized(tokens, at);
        if sized > 0 {
            return sized;
        }
        // `43T mesh` says it with more words than `43T`.
        let called = if token.kind == TokenKind::Number { self.quantity_called(&number, tokens, at, at) } else { 0 };
        if called > 0 {
            return called;
        }
        // `5 oz black tees` are no five tees.
        let unit_of_cloth = tokens.get(at + 1).is_some_and(|t| t.kind == TokenKind::Word)
            && places.iter().any(|(_, a)| a.clause.is_none() && self.unit_of(a, tokens, at).is_some());
        let counted = if unit_of_cloth { 0 } else { self.counted(&number, tokens, at) };
        if counted > 0 || token.kind != TokenKind::Number {
            return counted;
        }
        let follows_sign = at > 0 && tokens.get(at - 1).is_some_and(|t| t.kind == TokenKind::Sign);
        let settings = self.resolver.attributes(|a| a.clause.is_some());
        for (id, attribute) in places.iter().copied().chain(settings.iter().copied()) {
            let Some(dimension) = self.dimension(attribute) else { continue };
            let Some((unit, count)) = self.unit(tokens, at + 1, |name| name == dimension.name) else { continue };
            let span = span_of(tokens, at, count + 1);
            let text = format!("{number} {unit}");
            let close = tokens.get(at + 1).is_some_and(|t| t.span.start == token.span.end);
            // A unit that a setting is measured in too.
            let shared = settings.iter().filter_map(|s| self.dimension(s.1)).any(|d| d.unit(&unit).is_some());
            let last = tokens.get(at + count + 1).is_none_or(|t| t.kind == TokenKind::Mark);
            if attribute.clause.is_none() {
                // `30s` is a yarn, `30 s` a time; so is `30s` behind a setting: `160 °C 30s`.
                let behind = at > 1
                    && tokens.get(at - 2).is_some_and(|t| t.kind == TokenKind::Number)
                    && settings
                        .iter()
                        .filter_map(|s| self.dimension(s.1))
                        .any(|d| tokens.get(at - 1).is_some_and(|t| d.unit(&t.text).is_some()));
                if !shared || (close && !behind && !self.beside_setting(tokens, at)) {
                    // `lanyards 20 mm`: a length of something else.
                    let beyond = match (self.resolver.ends(id, &text), attribute.speech.bare_to) {
                        (Ok((_, high)), Some(most)) => high > most,
                        (Ok(_), None) => false,
                        (Err(m), _) => m.code == "job::out-of-range" && dimension.name == "length",
                    };
                    match attribute.limits.as_ref().filter(|_| beyond) {
                        Some(limits) => self.means(Meaning::Aside(limits.says.clone()), &text, span),
                        None => self.quantity(id, 0, &text, span),
                    }
                    return count + 1;
                }
            } else if (dimension.leaves_open(&unit) || last) && !dimension.nominal.is_empty() {
                // `110 mesh` ends what is said; in `100 mesh polyester` the mesh is a cloth.
                if last && !follows_sign {
                    self.quantity(id, self.layer_of(attribute), &text, span);
                    return count + 1;
                }
            } else if self.bare(id, attribute, &text, tokens, at) {
                self.notes.push(format!("{text} was taken as the {}", attribute.label));
                self.quantity(id, self.layer_of(attribute), &text, span);
                self.set_to = Some(span.end);
                return count + 1;
            } else {
                let word = attribute.clause.as_deref().unwrap_or("");
                let mistake = Mistake::new("question::bare-setting", format!("`{text}` is said of no cloth"));
                self.mistake(mistake.help(format!("if it is the {}, say `{word} {text}`", attribute.label)), span);
                return count + 1;
            }
        }
        0
    }

    /// Whether a setting needs no word before it: it can be nothing else, or stands right behind another.
    fn bare(&self, id: AttributeId, attribute: &Attribute, text: &str, tokens: &[Token], at: usize) -> bool {
        let from = attribute.speech.bare_from;
        let said = self.resolver.stated.mentions(id, self.layer_of(attribute));
        let high = from.is_some_and(|from| self.resolver.ends(id, text).is_ok_and(|(low, _)| low >= from));
        !said && (high || from.is_none() && self.beside_setting(tokens, at))
    }

    /// Whether a setting stands right before or behind a quantity: `160 °C, 60 s`, `60s @160C`.
    fn beside_setting(&self, tokens: &[Token], at: usize) -> bool {
        // `190 °C press 8 s`
        let idle = self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
        let idle = |t: &Token| idle.iter().any(|a| a.1.speech.idle.contains(&folded(&t.text)));
        let between = |t: &&Token| {
            matches!(t.kind, TokenKind::Mark | TokenKind::Sign | TokenKind::Filler)
                || TIMES.contains(&t.text.to_lowercase().as_str())
                || idle(t)
        };
        let before = tokens.iter().take(at).rev().find(|t| !between(t));
        let end = tokens.get(at + 1).or(tokens.get(at)).map_or(0, |t| t.span.end);
        let last = tokens.get(at + 2).is_none();
        // As much as ` at ` lies between.
        let next = last && self.set_from.iter().any(|from| (end..=end + 4).contains(from));
        let from = tokens.get(at).map_or(0, |t| t.span.start);
        let aside = self.set_aside.iter().any(|end| (*end..=end + 4).contains(&from));
        next || aside || self.set_to.is_some() && before.map(|t| t.span.end) == self.set_to
    }

    /// A quantity with its unit and the word for it behind: `0.1 mm lines`. How many tokens that takes.
    pub(super) fn measured_called(&mut self, tokens: &[Token], at: usize) -> usize {
        let Some(number) = tokens.get(at).filter(|t| t.kind == TokenKind::Number) else { return 0 };
        let own = |a: &Attribute| a.clause.is_none() && matches!(a.ty, AttributeType::Quantity(_));
        for (id, attribute) in self.resolver.attributes(own) {
            // A share may be a dose.
            let Some(dimension) = self.dimension(attribute).filter(|d| d.name != "percent") else { continue };
            let Some((unit, count)) = self.unit(tokens, at + 1, |name| name == dimension.name) else { continue };
            let words = attribute.speech.idle.iter().chain(&attribute.speech.called);
            let words = Runs::of(tokens, at + 1 + count).length(words);
            if words > 0 {
                self.quantity(id, 0, &format!("{} {unit}", number.text), span_of(tokens, at, count + 1));
                return 1 + count + words;
            }
        }
        0
    }

    /// A size such as `30 x 25 cm`: how many tokens that takes.
    fn sized(&mut self, tokens: &[Token], at: usize) -> usize {
        match self.size(tokens, at) {
            None => 0,
            Some((.., Err(last))) => {
                let end = tokens.iter().skip(at).position(|t| t.span == last.span).map_or(1, |i| i + 1);
                let size = text_of(tokens, at, end);
                let says = format!("it has no unit; write it like {size} cm");
                self.means(Meaning::Aside(says), &size, span_of(tokens, at, end));
                end
            }
            Some((first, second, Ok(size))) => {
                let end = size.sides.iter().map(|s| s.2).max().unwrap_or(at);
                let span = span_of(tokens, at, end - at);
                for (id, (number, unit, _)) in [first, second].into_iter().zip(&size.sides) {
                    self.quantity(id, 0, &format!("{} {unit}", number.text), span);
                }
                end - at
            }
        }
    }

    /// A number by itself that can be no share: `…, 500`, `100 % cotton, 40`, `48 100% cotton tees`. How many tokens that
    /// takes.
    pub(super) fn counted_alone(&mut self, tokens: &[Token], at: usize) -> usize {
        let mark = |t: Option<&Token>| t.is_none_or(|t| t.kind == TokenKind::Mark);
        let last = at.checked_sub(1).and_then(|i| tokens.get(i));
        // `weight: 180` is said of the weight, whatever its unit.
        let label = last.is_some_and(|t| matches!(t.text.as_str(), ":" | "="));
        // `waxed canvas bags 20, …`
        let things = self.counted_kinds();
        let thing = |count: usize| {
            let from = at.checked_sub(count);
            from.and_then(|from| self.longest(&things, tokens, from)).is_some_and(|n| n.2 == count)
        };
        let behind_thing = self.shares.is_empty() && !mark(last) && (1..=3).any(thing);
        let before = mark(last) && !label;
        let number = tokens.get(at).and_then(|t| crate::quantity::Decimal::parse(&t.text)).map(|n| n.to_f64());
        let ends = tokens.iter().skip(at + 1).all(|t| t.kind == TokenKind::Mark);
        let pure = self.shares.sum() == 0 && self.shares.members() <= 1 && ends;
        let complete = pure || self.shares.sum() >= crate::job::whole(self.resolver.model);
        // Right before a whole label.
        let label = || {
            let run = tokens.get(at + 1..).unwrap_or_default().split(|t| t.kind == TokenKind::Mark).next();
            let shares = run.unwrap_or_default().windows(2).filter(|w| w.last().is_some_and(|t| t.text == "%"));
            let shares = shares.filter_map(|w| crate::quantity::Decimal::parse(&w.first()?.text));
            (99.0..=101.0).contains(&shares.map(|s| s.to_f64()).sum::<f64>())
        };
        let number_next = tokens.get(at + 1).is_some_and(|t| t.kind == TokenKind::Number);
        let before_label =
            before && number_next && self.shares.is_empty() && (label() || self.ratio(tokens, at + 1) > 0);
        // `black tees, 40x`
        let times = tokens.get(at + 1).is_some_and(|t| TIMES.contains(&t.text.to_lowercase().as_str()));
        let times = usize::from(times && before && mark(tokens.get(at + 2)));
        let placed = before_label || mark(tokens.get(at + 1 + times)) && (before || ends || behind_thing);
        let (Some(number), true) = (number, placed) else { return 0 };
        let counting = self.resolver.attributes(|a| a.speech.counts.is_some());
        let Some((id, unit)) = counting.first().and_then(|(id, a)| Some((*id, a.speech.counted.first()?))) else {
            return 0;
        };
        let open = !self.resolver.stated.mentions(id, 0);
        let counts = before_label || times > 0 || before && complete || behind_thing;
        if !(open && (counts && number >= 1.0 || number > 100.0)) {
            return 0;
        }
        let text = text_of(tokens, at, 1);
        self.quantity(id, 0, &format!("{text} {unit}"), span_of(tokens, at, 1));
        1 + times
    }

    /// A bare number that is more than a whole is no share, and of what it is nobody can tell: `hoodies 2026 navy`. How many
    /// tokens that takes.
    pub(super) fn beyond_shares(&mut self, tokens: &[Token], at: usize) -> usize {
        let Some(token) = tokens.get(at) else { return 0 };
        let beyond = crate::quantity::Decimal::parse(&token.text).is_some_and(|n| n.to_f64() > 101.0);
        // `weight: 180` says of what it is, and wants its unit.
        let label = at.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(|t| matches!(t.text.as_str(), ":" | "="));
        // `cotton tees, 15 with white print`: behind a mark and before what is no fibre it is none either.
        let blends = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(_)));
        let fibre = || self.longest(&super::phrase::kinds_of(&blends), tokens, at + 1).is_some();
        let marked = at.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(|t| t.kind == TokenKind::Mark);
        let word = tokens.get(at + 1).is_none_or(|t| matches!(t.kind, TokenKind::Word | TokenKind::Mark));
        let stray = || marked && word && self.shares.sum() == 0 && self.shares.members() > 0 && !fibre();
        if !(beyond || stray()) || label || self.unit(tokens, at + 1, |_| true).is_some() {
            return 0;
        }
        let says = "say what it counts or measures, with its unit".to_owned();
        self.means(Meaning::Aside(says), &token.text, token.span);
        1
    }

    /// The size that is written from here, and the attributes that its two numbers are of.
    fn size(&self, tokens: &[Token], at: usize) -> Option<(AttributeId, AttributeId, Result<Size, Token>)> {
        let all = self.resolver.attributes(|a| a.speech.times.is_some());
        let (first, second, dimension) =
            all.into_iter().find_map(|(id, a)| Some((id, a.speech.times?, self.dimension(a)?)))?;
        Some((first, second, size_at(self.resolver.model, tokens, at, &dimension.name)?))
    }

    /// A size by its name: `A4`. How many tokens that takes.
    fn size_named(&mut self, tokens: &[Token], at: usize) -> usize {
        let runs = Runs::of(tokens, at);
        for (first, attribute) in self.resolver.attributes(|a| !a.speech.sizes.is_empty()) {
            let named = attribute.speech.sizes.iter().map(|s| (runs.length([&s.0]), &s.1)).max_by_key(|s| s.0);
            let (Some(second), Some((count @ 1.., sides))) = (attribute.speech.times, named) else { continue };
            let span = span_of(tokens, at, count);
            for (id, side) in [first, second].into_iter().zip(sides) {
                self.quantity(id, 0, side, span);
            }
            return count;
        }
        0
    }

    /// `x 40` behind what is ordered: how many tokens that takes.
    pub(super) fn times_counted(&mut self, tokens: &[Token], at: usize) -> usize {
        let sign = tokens.get(at).is_some_and(|t| TIMES.contains(&t.text.to_lowercase().as_str()));
        let number = tokens.get(at + 1).filter(|t| sign && t.kind == TokenKind::Number);
        let behind = at.checked_sub(1).and_then(|i| tokens.get(i)).is_some_and(|t| t.kind != TokenKind::Number);
        let ends = tokens.get(at + 2).is_none_or(|t| t.kind == TokenKind::Mark);
        let (Some(number), true) = (number, behind && ends) else { return 0 };
        let text = number.text.clone();
        let counting = self.resolver.attributes(|a| a.speech.counts.is_some());
        let Some((id, unit)) = counting.first().and_then(|(id, a)| Some((*id, a.speech.counted.first()?))) else {
            return 0;
        };
        let (text, span) = (format!("{text} {unit}"), span_of(tokens, at, 2));
        // `ladies x 12, mens x 30`
        match self.resolver.ends(id, &text) {
            Ok(ends) if std::mem::replace(&mut self.counted_times, true) => {
                let all = self.resolver.count_up(id, 0, ends, &text);
                self.notes.extend(all.map(|all| format!("{all} were added up")));
            }
            _ => self.quantity(id, 0, &text, span),
        }
        2
    }

    /// The kinds of what a number counts: `240 hoodies`.
    pub(super) fn counted_kinds(&self) -> Vec<KindId> {
        self.resolver.attributes(|a| a.speech.counts.is_some()).iter().filter_map(|(_, a)| a.speech.counts).collect()
    }

    /// `240 pieces`, or a number right before a thing that is counted: how many tokens that takes.
    pub(super) fn counted(&mut self, number: &str, tokens: &[Token], at: usize) -> usize {
        // `2-colour`, `50 x hoodies`
        let joint =
            |t: &Token| t.text == "-" || t.kind == TokenKind::Word && TIMES.contains(&t.text.to_lowercase().as_str());
        let dash = usize::from(tokens.get(at + 1).is_some_and(joint));
        let runs = Runs::of(tokens, at + 1 + dash);
        // `50 T shirts` are things, `50T` is a number of threads.
        let named = self.longest(&self.counted_kinds(), tokens, at + 1 + dash).map_or(0, |found| found.2);
        let found = self.resolver.attributes(|a| !a.speech.counted.is_empty()).into_iter().find_map(|(id, a)| {
            let count = runs.length(&a.speech.counted);
            (count > 0 && count >= named && (count > 1 || self.counts_there(a, tokens, at, dash)))
                .then_some((id, a, count))
        });
        let Some((id, attribute, count)) = found else {
            let times = dash > 0 && tokens.get(at + 1).is_some_and(|t| t.text != "-");
            let things = self.things_counted(number, tokens, at, at + 1 + dash, times);
            return if things > 0 { things + dash } else { 0 };
        };
        let text = format!("{number} {}", text_of(tokens, at + 1 + dash, count));
        self.quantity(id, self.layer_of(attribute), &text, span_of(tokens, at, dash + count + 1));
        dash + count + 1
    }

    /// Whether a word behind a number may say what it counts: a letter by itself and `no` only right behind it, as in
    /// `61T` and `40no.`; `no flash` says something else.
    fn counts_there(&self, attribute: &Attribute, tokens: &[Token], at: usize, dash: usize) -> bool {
        let (Some(number), Some(word)) = (tokens.get(at), tokens.get(at + 1 + dash)) else { return false };
        let letter = word.text.chars().count() == 1;
        let close = number.span.end == word.span.start;
        // A unit of something else counts small numbers, and as a letter only: `2c` is no temperature, `160c` is one.
        let own = self.dimension(attribute).map(|d| d.name.as_str());
        let other = |d: &crate::quantity::Dimension| Some(d.name.as_str()) != own && d.knows(&word.text);
        if self.resolver.model.dimensions.iter().any(other) {
            return letter && close && number.text.parse::<usize>().is_ok_and(|n| n < NUMBERS.len());
        }
        // `40 no.`, and `…, 40 no` where nothing follows that there could be none of.
        let ends = || tokens.get(at + 2 + dash).is_none_or(|t| t.kind == TokenKind::Mark);
        close || !letter && (word.kind != TokenKind::Negation || ends())
    }

    /// `10 S, 20 M, 10 L` or `S: 10, M: 20`: numbers of several sorts, which are added up. How many tokens that takes.
    pub(super) fn added(&mut self, tokens: &[Token], at: usize) -> usize {
        let whole = |i: usize| -> Option<u64> {
            tokens.get(i).filter(|t| t.kind == TokenKind::Number).and_then(|t| t.text.parse().ok())
        };
        let sign = |i: usize| -> usize {
            let joins = |t: &Token| {
                matches!(t.text.as_str(), "-" | ":" | "=" | "/") || TIMES.contains(&t.text.to_lowercase().as_str())
            };
            usize::from(tokens.get(i).is_some_and(joins))
        };
        for (id, attribute) in self.resolver.attributes(|a| !a.speech.added.is_empty()) {
            let Some(unit) = attribute.speech.counted.first() else { continue };
            let word = |i: usize| Runs::of(tokens, i).length(&attribute.speech.added);
            // `20xM`: the sign of times close to the word.
            let close = |i: usize| {
                let text = tokens.get(i).filter(|t| t.kind == TokenKind::Word).map(|t| folded(&t.text));
                text.and_then(|t| t.strip_prefix('x').map(str::to_owned))
                    .is_some_and(|rest| attribute.speech.added.contains(&rest))
            };
            // A number and its word, in this order or the other: the number, where the word is, and the end.
            let first = whole(at).is_some();
            let pair = |from: usize| -> Option<(u64, usize, usize)> {
                if first {
                    let number = whole(from)?;
                    let own = from + 1 + sign(from + 1);
                    let count = Some(word(own)).filter(|count| *count > 0);
                    return Some((number, own, own + count.or_else(|| close(own).then_some(1))?));
                }
                // `S10`, `M-5`
                let glued = || {
                    let text = tokens.get(from).filter(|t| t.kind == TokenKind::Word).map(|t| folded(&t.text))?;
                    let size = text.trim_end_matches(|c: char| c.is_ascii_digit());
                    let known = attribute.speech.added.iter().any(|w| w == size.trim_end());
                    text.strip_prefix(size).filter(|_| known)?.parse().ok().map(|number| (number, from, from + 1))
                };
                let Some(count) = Some(word(from)).filter(|count| *count > 0) else { return glued() };
                let number = from + count + sign(from + count);
                Some((whole(number)?, from, number + 1))
            };
            let (mut sum, mut words, mut end, mut from) = (0u64, Vec::new(), at, at);
            while let Some((number, own, next)) = pair(from) {
                sum = sum.saturating_add(number);
                words.push((text_of(tokens, own, 1), text_of(tokens, own, word(own).max(1)).to_lowercase()));
                end = next;
                let between = |t: &&Token| matches!(t.kind, TokenKind::Mark | TokenKind::Sign | TokenKind::Filler);
                from = next + tokens.iter().skip(next).take_while(between).count();
            }
            // `30 s, 2 m` are no sizes.
            let small = |w: &(String, String)| w.0.chars().count() == 1 && w.0.chars().all(char::is_lowercase);
            let other =
                (1..words.len()).all(|i| words.iter().take(i).all(|w| words.get(i).is_none_or(|own| own.1 != w.1)));
            // One by itself is one only with its sign: `10 x M`, `10xS`; a small number may begin the name of a size.
            let times = |i: usize| {
                let text = tokens.get(i).map_or("", |t| t.text.as_str());
                TIMES.contains(&text.to_lowercase().as_str())
                    || text.starts_with('x') && text.chars().skip(1).all(char::is_uppercase) && text.len() > 1
            };
            let alone = words.len() == 1 && first && times(at + 1) && sum >= 10 && !words.iter().any(small);
            if !alone && (words.len() < 2 || !other || words.len() == 2 && words.iter().any(small)) {
                continue;
            }
            self.quantity(id, 0, &format!("{sum} {unit}"), span_of(tokens, at, end - at));
            return end - at;
        }
        0
    }

    fn layer_of(&self, attribute: &Attribute) -> usize {
        if attribute.per_layer { self.layer } else { 0 }
    }

    /// `two-colour`: a number and what it counts in one word.
    fn counted_in_one(&mut self, token: &Token) -> usize {
        let Some((number, rest)) = token.text.split_once('-') else { return 0 };
        let Some(number) = number_word(&number.to_lowercase()) else { return 0 };
        let word = folded(rest);
        let found = self.resolver.attributes(|a| a.speech.counted.contains(&word));
        let Some((id, attribute)) = found.first().copied() else { return 0 };
        self.quantity(id, self.layer_of(attribute), &format!("{number} {rest}"), token.span);
        1
    }

    /// A quantity with the words for it before it: `coverage 40 %`.
    fn called(&mut self, tokens: &[Token], at: usize) -> usize {
        let runs = Runs::of(tokens, at);
        let mut bare = None;
        for (id, attribute) in self.resolver.attributes(|a| !a.speech.called.is_empty()) {
            let words = runs.length(&attribute.speech.called);
            if words == 0 {
                continue;
            }
            let says_nothing = |t: &&Token| t.kind == TokenKind::Filler || matches!(t.text.as_str(), ":" | "=");
            let between = tokens.iter().skip(at + words).take_while(says_nothing).count();
            let from = at + words + between;
            let Some(number) = tokens.get(from).filter(|t| t.kind == TokenKind::Number) else { continue };
            let counted = || self.counted_as(attribute, tokens, from).map(|c| (String::new(), c));
            let Some((unit, count)) = self.unit_of(attribute, tokens, from).or_else(counted) else {
                // `cure 160`: of a setting nothing is guessed.
                let ends = tokens.get(from + 1).is_none_or(|t| t.kind == TokenKind::Mark);
                let symbol = self.dimension(attribute).and_then(|d| d.units.first()).map(|u| u.symbol.clone());
                bare = bare.or(symbol.filter(|_| ends && attribute.clause.is_some()).map(|s| (from, s)));
                continue;
            };
            // `left breast 9 cm wide` says it on both sides.
            let end = from + 1 + count;
            let end = end + Runs::of(tokens, end).length(&attribute.speech.called);
            let text = format!("{} {unit}", number.text);
            let span = span_of(tokens, at, end - at);
            self.quantity(id, self.layer_of(attribute), text.trim(), span);
            // `cure 160 °C 60 s`
            if attribute.speech.bare_from.is_some() {
                self.set_to = Some(span.end);
            }
            return end - at;
        }
        let Some((number, symbol)) = bare else { return 0 };
        let text = text_of(tokens, number, 1);
        let mistake = Mistake::new("job::bad-quantity", format!("`{text}` has no unit"));
        let help = mistake.help(format!("write it like {text} {symbol}"));
        self.mistake(help, span_of(tokens, number, 1));
        number + 1 - at
    }

    /// How many words after a bare number say what it counts, where it is that.
    fn counted_as(&self, attribute: &Attribute, tokens: &[Token], at: usize) -> Option<usize> {
        if attribute.speech.counted.is_empty() {
            return None;
        }
        let runs = Runs::of(tokens, at + 1);
        let ends = tokens.get(at + 1).is_none_or(|t| matches!(t.kind, TokenKind::Mark | TokenKind::Word));
        ends.then(|| runs.length(&attribute.speech.counted))
    }

    fn unit_of(&self, attribute: &Attribute, tokens: &[Token], at: usize) -> Option<(String, usize)> {
        let dimension = self.dimension(attribute)?;
        self.unit(tokens, at + 1, |name| name == dimension.name)
    }

    /// A quantity with the words for it right behind it: `40 % covered`.
    fn quantity_called(&mut self, number: &str, tokens: &[Token], at: usize, from: usize) -> usize {
        for (id, attribute) in self.resolver.attributes(|a| !a.speech.called.is_empty()) {
            let Some((unit, count)) = self.unit_of(attribute, tokens, at) else { continue };
            let words = Runs::of(tokens, at + 1 + count).length(&attribute.speech.called);
            if words > 0 {
                let end = at + 1 + count + words;
                let text = format!("{number} {unit}");
                self.quantity(id, self.layer_of(attribute), &text, span_of(tokens, from, end - from));
                return end - from;
            }
        }
        0
    }

    /// `240 hoodies`, `40 black tees`, of which the things are still to be read.
    pub(super) fn things_counted(
        &mut self,
        number: &str,
        tokens: &[Token],
        at: usize,
        from: usize,
        times: bool,
    ) -> usize {
        let before = at.checked_sub(1).and_then(|i| tokens.get(i));
        let apart = before.is_none_or(|t| matches!(t.kind, TokenKind::Mark | TokenKind::Filler));
        let counting = self.resolver.attributes(|a| a.speech.counts.is_some());
        let found = counting.into_iter().find(|(_, a)| {
            let kinds: Vec<KindId> = a.speech.counts.into_iter().collect();
            self.longest(&kinds, tokens, from).is_some() || self.several_named(number, &kinds, tokens, from, times)
        });
        let unit = found.and_then(|(_, a)| a.speech.counted.first());
        let (Some((id, _)), Some(unit), true) = (found, unit, apart) else { return 0 };
        let text = format!("{number} {unit}");
        let more = self.resolver.quantity(id, &text).ok();
        // `40 tees and 20 hoodies`
        let earlier = self.resolver.stated.statements.iter_mut().find(|s| s.attribute == id && self.counts_things);
        match (earlier.map(|s| &mut s.domain), more) {
            (Some(Domain::Number { low, high }), Some(more)) => (*low, *high) = (*low + more, *high + more),
            _ => {
                self.counts_things = true;
                self.quantity(id, 0, &text, span_of(tokens, at, 1));
            }
        }
        1
    }

    /// Whether several things are named from here before any other number: `black cotton tees`. What is said of one
    /// thing may begin with a share instead, but not where a sign of times stands before it or something else than a
    /// fibre follows: `50 x white hoodie`, `30 navy hoodie`.
    fn several_named(&self, number: &str, kinds: &[KindId], tokens: &[Token], from: usize, times: bool) -> bool {
        let whole = crate::job::whole(self.resolver.model);
        if !(self.shares.sum() == 0 || self.shares.sum() >= whole) {
            return false;
        }
        let words = |t: &&Token| matches!(t.kind, TokenKind::Word | TokenKind::Filler);
        let cloths = self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
        let blends = |kind: KindId| cloths.iter().any(|c| matches!(c.1.ty, AttributeType::Blend(k) if k == kind));
        let no_share = times
            || matches!(self.meaning(&cloths, tokens, from), Some((Meaning::Member(kind, _), _)) if !blends(kind));
        // `120 navy 80/20 cotton/poly hoodies`: the label may stand between.
        let open = |t: &&Token| words(t) || no_share && matches!(t.kind, TokenKind::Number | TokenKind::Sign);
        let end = from + tokens.iter().skip(from).take_while(open).count();
        let run = tokens.get(..end).unwrap_or(&[]);
        // `50 white cotton 50 polyester tee`: what adds up is a label.
        let numbers = run.iter().skip(from).filter(|t| t.kind == TokenKind::Number).map(|t| t.text.as_str());
        let sum: f64 =
            numbers.clone().chain([number]).filter_map(crate::quantity::Decimal::parse).map(|n| n.to_f64()).sum();
        if numbers.count() > 0 && (99.0..=101.0).contains(&sum) {
            return false;
        }
        // `60 hi-vis yellow vests`
        if let Some((_, count)) = self.meaning(&cloths, tokens, from)
            && no_share
            && self.named_around(tokens, from, count).is_some_and(|around| kinds.contains(&around.0))
        {
            return true;
        }
        // `50 schwarze Baumwoll-T-Shirts`
        let in_one = |text: &str| {
            let mut cuts = text.char_indices().map(|(i, _)| text.split_at(i));
            cuts.any(|(first, last)| {
                let long = first.chars().count() >= 4 && last.chars().count() >= 4;
                long && kinds.iter().any(|k| self.resolver.names.find(*k, last.trim_start_matches('-')).is_some())
            })
        };
        (from..end).any(|at| {
            let text = text_of(tokens, at, 1);
            if no_share && in_one(&text) {
                return true;
            }
            let loosely = || kinds.iter().any(|k| !self.resolver.names.loosely(*k, &text).is_empty()).then_some(1);
            let named = self.longest(kinds, run, at).map(|found| found.2).or_else(loosely);
            let last = named.and_then(|count| tokens.get(at + count - 1));
            last.is_some_and(|t| no_share || t.text.to_lowercase().ends_with('s'))
        })
    }

    pub(super) fn quantity(&mut self, id: AttributeId, layer: usize, text: &str, span: Span) {
        let (low, high) = match self.resolver.ends(id, text) {
            Ok(ends) => ends,
            Err(mistake) => return self.mistake(mistake, span),
        };
        let domain = Domain::Number { low, high };
        if let Some(attribute) = self.resolver.attribute(id).filter(|a| a.clause.is_some() && text.contains(" to ")) {
            self.notes.retain(|note| !note.starts_with(&format!("{text} was taken as")));
            self.notes.push(format!("{text} was taken as the range to choose the {} from", attribute.label));
        }
        let attribute = self.resolver.attribute(id);
        if attribute.is_some_and(|a| a.speech.either) {
            self.either(id, layer, domain, text, span);
        } else {
            let said = self.resolver.say(id, layer, domain, text);
            self.said(said, span);
        }
    }
}
