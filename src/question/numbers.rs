//! Numbers in a phrase: counts, sizes, quantities with a unit, and the shares of a blend.

use super::parse::{Token, TokenKind};
use super::phrase::{PhraseReader, Places};
use super::shares::Part;
use super::tokens::{Runs, size_at, span_of, text_of, unit_at};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId};
use crate::resolve::Mistake;
use crate::source::Span;

/// Small numbers as words.
const NUMBERS: [&str; 13] =
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
impl<'a> PhraseReader<'a> {
    /// `60/40`: how many tokens of numbers, joined by signs, add up to a whole.
    pub(super) fn ratio(&self, tokens: &[Token], at: usize) -> usize {
        let number = |i: usize| {
            tokens.get(i).filter(|t| t.kind == TokenKind::Number).and_then(|t| crate::quantity::Decimal::parse(&t.text))
        };
        let joined = |i: usize| tokens.get(i).is_some_and(|t| t.kind == TokenKind::Sign && t.text != "%");
        let Some(first) = number(at) else { return 0 };
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
        let word = token.text.to_lowercase();
        let number = match (token.kind, NUMBERS.iter().position(|n| *n == word)) {
            (TokenKind::Number, _) => token.text.clone(),
            (TokenKind::Word | TokenKind::Filler, Some(n)) => n.to_string(),
            _ => return 0,
        };
        let sized = self.sized(tokens, at);
        if sized > 0 {
            return sized;
        }
        let counted = self.counted(&number, tokens, at);
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
                // `30s` is a yarn, `30 s` a time.
                if !shared || close {
                    self.quantity(id, 0, &text, span);
                    return count + 1;
                }
            } else if dimension.leaves_open(&unit) && !dimension.nominal.is_empty() {
                // `110 mesh` ends what is said; in `100 mesh polyester` the mesh is a cloth.
                if last && !follows_sign {
                    let top = self.resolver.stated.layers.saturating_sub(1);
                    self.quantity(id, if attribute.per_layer { top } else { 0 }, &text, span);
                    return count + 1;
                }
            } else {
                let word = attribute.clause.as_deref().unwrap_or("");
                let mistake = Mistake::new("question::bare-setting", format!("`{text}` is said of no cloth"));
                self.mistake(mistake.help(format!("if it is the {}, say `{word} {text}`", attribute.label)), span);
                return count + 1;
            }
        }
        0
    }

    /// A size such as `30 x 25 cm`: how many tokens that takes.
    fn sized(&mut self, tokens: &[Token], at: usize) -> usize {
        let all = self.resolver.attributes(|a| a.speech.times.is_some());
        let Some((first, second, dimension)) =
            all.into_iter().find_map(|(id, a)| Some((id, a.speech.times?, self.dimension(a)?)))
        else {
            return 0;
        };
        match size_at(self.resolver.model, tokens, at, &dimension.name) {
            None => 0,
            Some(Err(last)) => {
                let end = tokens.iter().skip(at).position(|t| t.span == last.span).map_or(1, |i| i + 1);
                let size = text_of(tokens, at, end);
                let mistake = Mistake::new("job::bad-quantity", format!("`{size}` has no unit"));
                self.mistake(mistake.help(format!("write it like {size} cm")), span_of(tokens, at, end));
                end
            }
            Some(Ok(size)) => {
                let end = size.sides.iter().map(|s| s.2).max().unwrap_or(at);
                let span = span_of(tokens, at, end - at);
                for (id, (number, unit, _)) in [first, second].into_iter().zip(&size.sides) {
                    self.quantity(id, 0, &format!("{} {unit}", number.text), span);
                }
                end - at
            }
        }
    }

    /// `240 pieces`, or a number right before a thing that is counted: how many tokens that takes.
    pub(super) fn counted(&mut self, number: &str, tokens: &[Token], at: usize) -> usize {
        let runs = Runs::of(tokens, at + 1);
        let found = self.resolver.attributes(|a| !a.speech.counted.is_empty()).into_iter().find_map(|(id, a)| {
            let count = runs.length(&a.speech.counted);
            (count > 0).then_some((id, a, count))
        });
        let Some((id, attribute, count)) = found else { return self.things_counted(number, tokens, at) };
        let top = self.resolver.stated.layers.saturating_sub(1);
        let layer = if attribute.per_layer { top } else { 0 };
        let text = format!("{number} {}", text_of(tokens, at + 1, count));
        self.quantity(id, layer, &text, span_of(tokens, at, count + 1));
        count + 1
    }

    /// `240 hoodies`, of which the thing is still to be read.
    pub(super) fn things_counted(&mut self, number: &str, tokens: &[Token], at: usize) -> usize {
        let before = at.checked_sub(1).and_then(|i| tokens.get(i));
        let apart = before.is_none_or(|t| matches!(t.kind, TokenKind::Mark | TokenKind::Filler));
        let counting = self.resolver.attributes(|a| a.speech.counts.is_some());
        let found = counting.into_iter().find(|(_, a)| {
            let kinds: Vec<KindId> = a.speech.counts.into_iter().collect();
            self.longest(&kinds, tokens, at + 1).is_some()
        });
        let unit = found.and_then(|(_, a)| a.speech.counted.first());
        let (Some((id, _)), Some(unit), true) = (found, unit, apart) else { return 0 };
        self.quantity(id, 0, &format!("{number} {unit}"), span_of(tokens, at, 1));
        1
    }

    pub(super) fn quantity(&mut self, id: AttributeId, layer: usize, text: &str, span: Span) {
        let said = self
            .resolver
            .quantity(id, text)
            .and_then(|q| self.resolver.say(id, layer, Domain::Number { low: q, high: q }, text));
        self.said(said, span);
    }
}
