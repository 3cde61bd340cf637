//! Words that are no plain name: several in one, used loosely, standing apart, or not understood at all.

use super::apart::is_wish;
use super::parse::{Token, TokenKind};
use super::phrase::{Loose, Meaning, PhraseReader, Places, kinds_of};
use super::shares::Part;
use super::tokens::{Runs, span_of, text_of, words_from};
use crate::diagnostic::one_of;
use crate::model::{AttributeType, KindId, Model};
use crate::names::Names;
use crate::resolve::Mistake;
use crate::source::Span;
use crate::words::folded;

/// Words of an ink with its colour out of their midst: `low-bleed white plastisol` is white low-bleed plastisol. A
/// colour that has a name together with the first word of its ink has that name: `fluorescent plastisol pink`, `fluorescent pink plastisol`.
pub(super) fn gathered(tokens: &[Token], model: &Model, names: &Names) -> Vec<Token> {
    let kinds = |material: bool| -> Vec<KindId> {
        let own = model.attributes.iter().filter(|a| a.phrase.as_deref() == Some("ink") && a.material == material);
        own.filter_map(|a| a.ty.members()).collect()
    };
    let (inks, others) = (kinds(true), kinds(false));
    let mut words = tokens.to_vec();
    for at in 1..words.len() {
        let Some((_, _, count)) = names.longest(&others, &words_from(&words, at)) else { continue };
        let behind = words_from(&words, at + count);
        // `low bleed low cure white plastisol`: the name with the most words before the colour.
        let parted = (1..=at.min(4)).rev().find(|before| {
            let first = text_of(&words, at - before, *before);
            // One word may stand for several of the name: `high-solids white water-based`.
            let fits = |rest: &Vec<&str>| {
                let rest = rest.join(" ");
                (1..=behind.len()).any(|count| folded(&behind.get(..count).unwrap_or_default().join(" ")) == rest)
            };
            // `black jacket, white plastisol`: no name goes on behind a mark.
            // Nor begins one with a fibre behind its share: `100% nylon white plastisol`.
            let share = (at - before).checked_sub(1).and_then(|i| words.get(i));
            let share = share.is_some_and(|t| t.kind == TokenKind::Number || t.text == "%");
            let apart = share || words.iter().skip(at - before).take(*before).any(|t| t.kind == TokenKind::Mark);
            !apart && !behind.is_empty() && names.begun(&inks, &first).iter().any(|b| fits(&b.2))
        });
        // `fluorescent pink` is a colour, whatever it stands before.
        let shade = |before: usize| {
            let run = words_from(&words, at - before);
            names.longest(&others, &run).is_some_and(|found| found.2 > before)
        };
        // But where its first word alone means such an ink, the ink is that one, in this colour.
        let ink_alone = |before: usize| {
            let first = text_of(&words, at - before, before);
            inks.iter().any(|k| names.find(*k, &first).is_some() || !names.loosely(*k, &first).is_empty())
        };
        if let Some(before) = parted.filter(|b| !shade(*b) || ink_alone(*b))
            && let Some(run) = words.get_mut(at - before..at + count)
        {
            run.rotate_left(before);
        }
    }
    closer_first(&mut words, &inks, model, names);
    let mut at = 0;
    while at < words.len() {
        let Some((kind, _, count)) = names.longest(&others, &words_from(&words, at)) else {
            at += 1;
            continue;
        };
        let colour = text_of(&words, at, count);
        // The ink right behind the colour, or right before it.
        let behind = names.longest(&inks, &words_from(&words, at + count)).map(|_| at + count);
        let before = (0..at).find(|from| {
            names.longest(&inks, &words_from(words.get(..at).unwrap_or(&[]), *from)).is_some_and(|n| from + n.2 == at)
        });
        let shade = [behind, before].into_iter().flatten().find_map(|i| {
            let first = words.get(i)?.clone();
            names.find(kind, &format!("{} {colour}", first.text)).map(|_| first)
        });
        if let Some(first) = shade {
            words.insert(at, first);
            at += 1;
        }
        at += count;
    }
    words
}

/// `plastisol low cure` is low cure plastisol: what an ink is called more closely, right behind it, goes before it.
fn closer_first(words: &mut [Token], inks: &[KindId], model: &Model, names: &Names) {
    let all: Vec<KindId> = (0..model.kinds.len()).map(|i| KindId(i as u16)).collect();
    let member = |text: &str| inks.iter().find_map(|k| Some((*k, names.find(*k, text)?)));
    for at in 0..words.len() {
        let Some((.., longest)) = names.longest(inks, &words_from(words, at)) else { continue };
        let behind = words_from(words, at).len().min(6);
        let fits = |(count, more): &(usize, usize)| {
            let closer = text_of(words, at + count, *more);
            // `plastisol puff additive` names what is stirred in.
            if names.longest(&all, &words_from(words, at + count)).is_some_and(|found| found.2 > *more) {
                return false;
            }
            let whole = member(&format!("{closer} {}", text_of(words, at, *count)));
            whole.is_some() && whole == member(&closer) && count + more > longest && !is_wish(&closer, model)
        };
        let mut cuts =
            (1..=longest).rev().flat_map(|count| (1..=behind.saturating_sub(count)).rev().map(move |m| (count, m)));
        if let Some((count, more)) = cuts.find(fits)
            && let Some(run) = words.get_mut(at..at + count + more)
        {
            run.rotate_left(count);
            return;
        }
    }
}

impl<'a> PhraseReader<'a> {
    /// A word of several names: `poly-cotton`, `CO60`. Whether it was one.
    pub(super) fn joined(&mut self, kinds: &[KindId], token: &Token) -> bool {
        let Some(kind) = self
            .resolver
            .attributes(|a| matches!(a.ty, AttributeType::Blend(_)))
            .first()
            .and_then(|b| b.1.ty.members())
            .filter(|k| kinds.contains(k))
        else {
            return false;
        };
        let names = self.resolver.names;
        let pieces: Option<Vec<usize>> = token.text.split('-').map(|piece| names.find(kind, piece)).collect();
        if let Some(members) = pieces.filter(|p| p.len() > 1) {
            self.shares.push(Part::Mixture(members, token.span), &token.text);
            return true;
        }
        let cut = token.text.find(|c: char| c.is_ascii_digit()).unwrap_or(token.text.len());
        let (name, number) = token.text.split_at(cut);
        let blend = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(_)));
        if let (Some(member), Some((id, _))) = (names.find(kind, name), blend.first())
            && let Ok(steps) = self.resolver.share(*id, number)
        {
            self.shares.push(Part::Member(member, token.span), name);
            self.shares.push(Part::Share(steps, token.span), number);
            return true;
        }
        false
    }

    /// Whether a word says no more than a longer name of a thing that was named: `can cooler, foam`.
    pub(super) fn said_already(&self, places: &Places<'a>, word: &str) -> bool {
        self.resolver.stated.statements.iter().any(|s| {
            let kind = places.iter().find(|p| p.0 == s.attribute).and_then(|p| p.1.ty.members());
            kind.is_some_and(|kind| {
                let find = |name: &str| self.resolver.names.find(kind, name);
                let own = find(&s.words);
                let longer = [format!("{word} {}", s.words), format!("{} {word}", s.words)];
                own.is_some() && longer.iter().any(|name| find(name) == own)
            })
        })
    }

    /// A word of two names of different kinds, such as of what a cloth is of and how it is made: `Polyester-Piqué`.
    /// Whether it was one.
    pub(super) fn hyphened(&mut self, places: &Places<'a>, kinds: &[KindId], token: &Token) -> bool {
        let names = self.resolver.names;
        let Some((first, last)) = token.text.split_once('-') else { return false };
        let found = |word: &str| kinds.iter().find_map(|k| Some((*k, names.find(*k, word)?)));
        let (Some(one), Some(other)) = (found(first), found(last)) else { return false };
        if one.0 == other.0 {
            return false;
        }
        self.named(places, one.0, one.1, first, token.span);
        self.named(places, other.0, other.1, last, token.span);
        true
    }

    /// A word that joins what a cloth is of to what is made of it, as some languages write it: `Nylonjacke`. Whether it
    /// was one.
    pub(super) fn compound(&mut self, places: &Places<'a>, kinds: &[KindId], token: &Token) -> bool {
        let blends = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(_)));
        let of = blends.first().and_then(|b| b.1.ty.members()).filter(|k| kinds.contains(k));
        let counted = self.resolver.attributes(|a| a.speech.counts.is_some());
        let made = counted.first().and_then(|c| c.1.speech.counts).filter(|k| kinds.contains(k));
        let (Some(of), Some(made)) = (of, made) else { return false };
        let Some((fibre, thing, at)) = joined_at(&token.text, of, made, self.resolver.names) else { return false };
        let (first, last) = token.text.split_at(at);
        let last = last.trim_start_matches('-');
        self.named(places, made, thing, last, token.span);
        self.shares.push(Part::Member(fibre, token.span), first);
        true
    }

    /// A thing named around a colour that shares its first word, where that word means something by itself:
    /// `hi-vis yellow vest`, `hi-vis yellow 100% polyester vest`. Its kind, the thing, where its other words begin, and how
    /// many there are.
    pub(super) fn named_around(
        &self,
        tokens: &[Token],
        at: usize,
        count: usize,
    ) -> Option<(KindId, usize, usize, usize)> {
        let names = self.resolver.names;
        let inks = self.resolver.attributes(|a| a.phrase.as_deref() == Some("ink") && a.material);
        let inks: Vec<KindId> = inks.iter().filter_map(|a| a.1.ty.members()).collect();
        let made = self.counted_kinds();
        let behind = tokens.iter().skip(at + count).take_while(|t| t.kind != TokenKind::Mark).count();
        let cloths = self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
        (1..count).rev().find_map(|first| {
            let word = text_of(tokens, at, first);
            inks.iter().any(|k| !names.loosely(*k, &word).is_empty()).then_some(())?;
            // Words may stand between only where what follows needs the first word: a `vest` does, a `tee` does not.
            let needs = |skip: &usize| {
                let runs = Runs::of(tokens, at + count + skip);
                *skip == 0 || cloths.iter().any(|c| runs.find(&c.1.speech.unclear).is_some())
            };
            (0..behind).filter(needs).find_map(|skip| {
                let rest = words_from(tokens, at + count + skip);
                let run: Vec<&str> = words_from(tokens, at).into_iter().take(first).chain(rest).collect();
                let (kind, member, named) = names.longest(&made, &run)?;
                Some((kind, member, at + count + skip, named.checked_sub(first).filter(|more| *more > 0)?))
            })
        })
    }

    /// A word that people use loosely: taken where only one thing of an attribute that is still open can be meant.
    pub(super) fn loose(&mut self, places: &Places<'a>, tokens: &[Token], at: usize, layer: usize) -> Loose {
        let Some(token) = tokens.get(at) else { return Loose::No };
        let mut candidates: Vec<(KindId, usize)> = Vec::new();
        for (id, attribute) in places {
            let Some(kind) = attribute.ty.members() else { continue };
            let several = matches!(attribute.ty, AttributeType::Amounts(_) | AttributeType::Set(_));
            if several || !self.resolver.stated.mentions(*id, layer) {
                let meant = self.resolver.names.loosely(kind, &token.text);
                let fitting: Vec<usize> =
                    meant.iter().copied().filter(|m| self.resolver.fits(attribute, kind, *m, layer)).collect();
                let meant = if fitting.is_empty() { meant } else { &fitting };
                candidates.extend(meant.iter().map(|m| (kind, *m)));
            }
        }
        match candidates.as_slice() {
            [(kind, member)] => Loose::One(*kind, *member),
            [] => Loose::No,
            several => {
                let names: Vec<&str> = several
                    .iter()
                    .filter_map(|(k, m)| self.resolver.model.member(*k, *m).map(|e| e.name.as_str()))
                    .collect();
                let mistake = Mistake::new("question::unclear", format!("`{}` can mean several things", token.text))
                    .meaning(&format!("say {}", one_of(&names)));
                self.mistake(mistake, token.span);
                Loose::Several
            }
        }
    }

    /// A name whose words stand apart: `hi-vis polyester vest`. The one with the most words counts, if only one thing
    /// has it; also where its other words are.
    pub(super) fn parted_name(
        &self,
        kinds: &[KindId],
        tokens: &[Token],
        at: usize,
    ) -> Option<(KindId, usize, Vec<usize>)> {
        let token = tokens.get(at)?;
        let mut best: Vec<(KindId, usize, Vec<usize>)> = Vec::new();
        for (kind, member, rest) in self.resolver.names.begun(kinds, &token.text) {
            let mut from = at + 1;
            let mut places = Vec::new();
            for word in &rest {
                let open = tokens.iter().enumerate().skip(from).take_while(|(_, t)| t.kind != TokenKind::Mark);
                let same = |t: &Token| {
                    let own = folded(&t.text);
                    own == *word || own.strip_suffix('s') == Some(*word)
                };
                let Some(found) = open.into_iter().find(|(_, t)| same(t)).map(|f| f.0) else { break };
                places.push(found);
                from = found + 1;
            }
            match best.first().map(|b| b.2.len()) {
                _ if places.len() < rest.len() => {}
                Some(most) if places.len() < most => {}
                Some(most) if places.len() == most => best.push((kind, member, places)),
                _ => best = vec![(kind, member, places)],
            }
        }
        let first = best.first().cloned()?;
        best.iter().all(|b| (b.0, b.1) == (first.0, first.1)).then_some(first)
    }

    /// A word that is not understood; next to a share it must be a fibre.
    pub(super) fn unknown_cloth(&mut self, kinds: &[KindId], what: &str, tokens: &[Token], at: usize) {
        let Some(token) = tokens.get(at) else { return };
        // A word that is unclear of an ink is no unknown one: `transfer on navy jersey, white plastisol`.
        let runs = Runs::of(tokens, at);
        let unclear = self.resolver.model.attributes.iter().filter_map(|a| runs.find(&a.speech.unclear));
        if let Some((says, count)) = unclear.max_by_key(|u| u.1) {
            self.means(Meaning::Unclear(says.clone()), &text_of(tokens, at, count), span_of(tokens, at, count));
            return;
        }
        let blends = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(_)));
        let fibre = blends.first().and_then(|b| b.1.ty.members()).filter(|k| kinds.contains(k));
        let before = tokens.get(..at).unwrap_or(&[]).iter().rev().find(|t| t.kind != TokenKind::Filler);
        let share = before.is_some_and(|t| t.kind == TokenKind::Number || t.text == "%");
        let mut mistake = self.resolver.unknown(kinds, what, &token.text);
        mistake.message = format!("`{}` is not understood", token.text);
        if mistake.help.is_none() {
            mistake.help = Some("if it is a trade mark, say which fibre or finish it stands for".to_owned());
        }
        if let (Some(kind), true) = (fibre, share) {
            let name = self.resolver.model.kinds.get(kind.index()).map_or("", |k| k.name.as_str());
            let near = self.resolver.names.nearest(&[kind], &token.text);
            let near: Vec<&str> = near.iter().map(String::as_str).collect();
            mistake.help = Some(match near.as_slice() {
                [] => format!("which {name} is it? A label names the {name}, not a trade mark"),
                near => format!("which {name} is it? Did you mean {}?", one_of(near)),
            });
        }
        self.mistake(mistake, token.span);
    }
}

/// Where in a word what a cloth is of meets what is made of it, with both: `Nylonjacke`.
fn joined_at(word: &str, of: KindId, made: KindId, names: &Names) -> Option<(usize, usize, usize)> {
    // Short pieces are found in too many words.
    word.char_indices().map(|(at, _)| at).find_map(|at| {
        let (first, last) = word.split_at(at);
        let long = first.chars().count() >= 4 && last.chars().count() >= 4;
        let (fibre, thing) = long.then(|| (names.find(of, first), names.find(made, last)))?;
        Some((fibre?, thing?, at))
    })
}

/// Words that join what a cloth is of to what is made of it, as two words; a word that is a name by itself stays one.
pub(super) fn parted_words(tokens: &[Token], cloths: &Places<'_>, model: &Model, names: &Names) -> Vec<Token> {
    let kinds = kinds_of(cloths);
    let of = cloths.iter().find_map(|c| if let AttributeType::Blend(kind) = c.1.ty { Some(kind) } else { None });
    let made = model.attributes.iter().find_map(|a| a.speech.counts);
    let (Some(of), Some(made)) = (of, made) else { return tokens.to_vec() };
    let said =
        |word: &String| cloths.iter().any(|c| c.1.speech.idle.contains(word) || c.1.speech.aside.contains_key(word));
    tokens
        .iter()
        .flat_map(|token| {
            let one = token.kind != TokenKind::Word
                || names.longest(&kinds, &[token.text.as_str()]).is_some()
                || said(&folded(&token.text));
            let Some((_, _, at)) = (!one).then(|| joined_at(&token.text, of, made, names)).flatten() else {
                return vec![token.clone()];
            };
            let (first, last) = token.text.split_at(at);
            let own = last.trim_start_matches('-');
            let meet = token.span.start + at as u32;
            let span = Span { start: meet + (last.len() - own.len()) as u32, ..token.span };
            vec![
                Token { text: first.to_owned(), kind: TokenKind::Word, span: Span { end: meet, ..token.span } },
                Token { text: own.to_owned(), kind: TokenKind::Word, span },
            ]
        })
        .collect()
}
