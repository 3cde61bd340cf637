//! What is said not to be there: `no water repellent`, `without finish`.

use super::parse::{Token, TokenKind};
use super::phrase::{Meaning, PhraseReader, Places, kinds_of};
use super::tokens::{Runs, span_of, text_of, words_from};
use crate::model::AttributeType;
use crate::resolve::Membership;

impl<'a> PhraseReader<'a> {
    /// `no water repellent`, `no finish`: how many words that takes.
    pub(super) fn negated(&mut self, places: &Places<'a>, tokens: &[Token], at: usize) -> usize {
        // `no finish` may be a phrase of its own.
        if let Some((Meaning::None(id), count)) = self.meaning(places, tokens, at) {
            self.means(Meaning::None(id), &text_of(tokens, at, count), span_of(tokens, at, count));
            return count;
        }
        let mut taken = self.absent(places, tokens, at + 1, 0, at);
        if taken > 0 {
            return taken + 1;
        }
        // `…, no additive`: of the ink.
        let mixed = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Amounts(_)));
        taken = self.absent(&mixed, tokens, at + 1, self.layer, at);
        if taken > 0 {
            return taken + 1;
        }
        taken = self.no_machine(tokens, at);
        if taken > 0 {
            return taken;
        }
        taken = self.no_fibre(tokens, at + 1, at);
        if taken > 0 {
            return taken + 1;
        }
        if let Some((Meaning::YesNo(id, yes), count)) = self.meaning(places, tokens, at + 1) {
            let words = text_of(tokens, at, count + 1);
            self.means(Meaning::YesNo(id, !yes), &words, span_of(tokens, at, count + 1));
            return count + 1;
        }
        0
    }

    /// `no flash`, wherever it stands: how many words that takes.
    pub(super) fn no_machine(&mut self, tokens: &[Token], at: usize) -> usize {
        if tokens.get(at).is_none_or(|t| t.kind != TokenKind::Negation) {
            return 0;
        }
        let sets = self.machine_places();
        // `no other flash`, `not a flash`
        let article = usize::from(tokens.get(at + 1).is_some_and(|t| t.kind == TokenKind::Filler));
        match self.absent(&sets, tokens, at + 1 + article, 0, at) {
            0 => 0,
            taken => taken + 1 + article,
        }
    }

    /// `cotton, no elastane`: how many words a fibre takes of which the cloth is not.
    pub(super) fn no_fibre(&mut self, tokens: &[Token], at: usize, from: usize) -> usize {
        let blends = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(_)));
        let Some((_, member, count)) = self.longest(&kinds_of(&blends), tokens, at) else { return 0 };
        self.not_of.push((member, span_of(tokens, from, at + count - from), text_of(tokens, at, count)));
        count
    }

    /// Something that is not there, by its name or by the name of its kind; how many words that takes.
    pub(super) fn absent(
        &mut self,
        places: &Places<'a>,
        tokens: &[Token],
        at: usize,
        top: usize,
        from: usize,
    ) -> usize {
        let sets: Vec<_> = places
            .iter()
            .filter(|p| matches!(p.1.ty, AttributeType::Set(_) | AttributeType::Amounts(_)))
            .copied()
            .collect();
        let kinds = kinds_of(&sets);
        let of = |kind| -> Vec<_> { sets.iter().filter(|s| s.1.ty.members() == Some(kind)).copied().collect() };
        // `no flash` denies every flash, `no quartz flash` one.
        let one = self.longest(&kinds, tokens, at);
        let all = self.resolver.names.all_of(&kinds, &words_from(tokens, at));
        let said = match (one, all.filter(|a| one.is_none_or(|o| o.2 <= a.2))) {
            (_, Some((kind, members, count))) => Some((of(kind), Membership::AllAbsent(members), count)),
            (Some((kind, member, count)), None) => Some((of(kind), Membership::Absent(member), count)),
            (None, None) => sets.iter().find_map(|s| {
                let count = Runs::of(tokens, at).length(&s.1.speech.called);
                (count > 0).then(|| (vec![*s], Membership::None, count))
            }),
        };
        let Some((ids, said, count)) = said else { return 0 };
        let words = format!("no {}", text_of(tokens, at, count));
        let span = span_of(tokens, from, at + count - from);
        for (id, attribute) in ids {
            let layer = if attribute.per_layer { top } else { 0 };
            let done = match attribute.ty {
                AttributeType::Amounts(_) => self.resolver.exclude_amount(id, layer, said, &words),
                _ => self.resolver.say_of_set(id, layer, said, &words),
            };
            self.said(done, span);
        }
        count
    }
}
