//! What follows ink and cloth: `with`, `without`, `using`, `at`, `for`, `through`.

use super::parse::{Clause, Token, TokenKind};
use super::phrase::{Loose, Meaning, PhraseReader, Places, kinds_of};
use super::shares::{Part, problem};
use super::tokens::{Runs, span_of, text_of};
use crate::diagnostic::{Problem, mistyped};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask};
use crate::resolve::{Mistake, Share};
use crate::source::Span;
use crate::words::folded;

impl<'a> PhraseReader<'a> {
    pub(super) fn clause(&mut self, clause: &Clause, layer: usize) {
        match clause {
            Clause::Using(items) => self.machines(items),
            Clause::Without(items) => items.iter().for_each(|i| self.without(i, layer)),
            Clause::With(items) => items.iter().for_each(|i| self.with(i, layer)),
            Clause::Quantity(word, tokens) => self.quantity_clause(word, tokens, layer),
            Clause::Found(text, span) => {
                if let Err(mistake) = self.resolver.found_in(text) {
                    self.problems.push(problem(mistake, *span));
                }
            }
            Clause::Where(_, span) => self.problems.push(
                Problem::new(
                    "question::where",
                    *span,
                    "here",
                    "`where` chooses among several; this question is about one job",
                )
                .help("say the fact itself in the cloth phrase"),
            ),
        }
    }

    /// An additive with or without its dose, a finish, or a fibre with its share.
    fn with(&mut self, item: &[Token], layer: usize) {
        let places = self.resolver.attributes(|a| match a.ty {
            AttributeType::Amounts(_) | AttributeType::Blend(_) => true,
            AttributeType::Set(_) => a.phrase.as_deref() == Some("fabric"),
            _ => false,
        });
        let kinds: Vec<KindId> = kinds_of(
            &places.iter().filter(|p| !matches!(p.1.ty, AttributeType::Blend(_))).copied().collect::<Vec<_>>(),
        );
        let mut doses: Vec<(Share, Span)> = Vec::new();
        // Kind, member, words, place.
        let mut named: Vec<(KindId, usize, String, Span)> = Vec::new();
        let mut said = false;
        let mut at = 0;
        while let Some(token) = item.get(at) {
            if token.kind == TokenKind::Negation {
                let count = match self.absent(&places, item, at + 1, layer, at).max(self.no_fibre(item, at + 1, at)) {
                    0 => self.no_machine(item, at),
                    count => count + 1,
                };
                if count > 0 {
                    said = true;
                    at += count;
                    continue;
                }
            }
            let count = self.measured_called(item, at);
            let count = if count > 0 { count } else { self.measured(&[], item, at) };
            if count > 0 {
                said = true;
                at += count;
                continue;
            }
            match self.meaning(&places, item, at) {
                // `with washing machine` is more than a wash.
                Some((Meaning::Idle, count)) if self.machine_named(item, at) > count => {
                    said = true;
                    at += self.with_what(item, at, layer);
                }
                Some((Meaning::Member(kind, member), count)) => {
                    named.push((kind, member, text_of(item, at, count), span_of(item, at, count)));
                    at += count;
                    continue;
                }
                Some((meaning, count)) => {
                    said |= !matches!(meaning, Meaning::Idle);
                    self.means(meaning, &text_of(item, at, count), span_of(item, at, count));
                    at += count;
                    continue;
                }
                None => {}
            }
            match token.kind {
                TokenKind::Number => {
                    let Some((dose, count)) = self.dose(&places, item, at) else { return };
                    if doses.len() == 1 {
                        let mistake = Mistake::new("question::two-doses", format!("`{}` is a second dose", token.text))
                            .help("give one dose to each additive, and put `and` between additives");
                        self.mistake(mistake, token.span);
                        return;
                    }
                    doses.push((dose, token.span));
                    at += count;
                }
                TokenKind::Word | TokenKind::Negation => {
                    let beside = self.with_what(item, at, layer);
                    if beside > 0 {
                        said = true;
                        at += beside;
                        continue;
                    }
                    match self.loose(&places, item, at, layer) {
                        Loose::One(kind, member) => named.push((kind, member, token.text.clone(), token.span)),
                        Loose::Several => return,
                        Loose::No => {
                            let beside = self.heard_beside(item, at);
                            if beside == 0 {
                                self.unknown(&kinds, "additive or finish", item, at);
                                return;
                            }
                            said = true;
                            at += beside - 1;
                        }
                    }
                    at += 1;
                }
                TokenKind::Sign | TokenKind::Mark | TokenKind::Filler => at += 1,
            }
        }
        if named.is_empty() && (!said || !doses.is_empty()) && self.problems.is_empty() {
            self.unknown(&kinds, "additive or finish", item, 0);
        }
        let dose = doses.first().copied();
        for (number, (kind, member, words, span)) in named.into_iter().enumerate() {
            let place = places.iter().find(|p| p.1.ty.members() == Some(kind)).copied();
            let takes_dose = place.is_some_and(|p| !matches!(p.1.ty, AttributeType::Set(_)));
            if dose.is_some() && (number > 0 || !takes_dose) {
                let mistake = Mistake::new("question::stray-dose", format!("whose dose is it? `{words}`"))
                    .help("give a dose to one additive only, and put `and` before what comes next");
                self.mistake(mistake, span);
                return;
            }
            match place {
                Some((id, Attribute { ty: AttributeType::Amounts(_), .. })) => {
                    let said = self.resolver.add_amount(id, layer, member, dose.map(|d| d.0), &words);
                    self.said(said, span);
                }
                Some((_, Attribute { ty: AttributeType::Blend(_), .. })) => {
                    if let Some(((low, high), at)) = dose {
                        if low < high {
                            let mistake = Mistake::new("question::bad-share", "a share is one number");
                            self.mistake(mistake.help("give it as the label says it: 95 % cotton 5 % elastane"), at);
                            return;
                        }
                        self.shares.push(Part::Share(low, at), "");
                    }
                    self.shares.push(Part::Member(member, span), &words);
                }
                _ => self.named(&places, kind, member, &words, span),
            }
        }
    }

    /// Where the machines of the shop are said.
    pub(super) fn machine_places(&self) -> Vec<(AttributeId, &'a Attribute)> {
        self.resolver.attributes(|a| a.clause.is_some() && matches!(a.ty, AttributeType::Set(_)))
    }

    /// How many words name a machine from here.
    pub(super) fn machine_named(&self, tokens: &[Token], at: usize) -> usize {
        self.longest(&kinds_of(&self.machine_places()), tokens, at).map_or(0, |found| found.2)
    }

    /// A machine or a stencil that the layer is printed with; how many tokens that takes.
    fn with_what(&mut self, item: &[Token], at: usize, layer: usize) -> usize {
        let count = self.machine_named(item, at);
        if count > 0 {
            self.machines(&[item.get(at..at + count).unwrap_or(&[]).to_vec()]);
            return count;
        }
        // Not its colour, nor the ink itself.
        let cloths: Vec<KindId> = kinds_of(&self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric")));
        let own = |a: &Attribute| {
            let beside = a.ty.members().is_some_and(|k| !cloths.contains(&k));
            a.phrase.as_deref() == Some("ink") && !a.material && beside && matches!(a.ty, AttributeType::Choice(_))
        };
        let chosen = self.resolver.attributes(own);
        let Some((kind, member, count)) = self.longest(&kinds_of(&chosen), item, at) else { return 0 };
        let (words, span) = (text_of(item, at, count), span_of(item, at, count));
        for (id, attribute) in chosen.iter().filter(|c| c.1.ty.members() == Some(kind)) {
            let layer = if attribute.per_layer { layer } else { 0 };
            let said = self.resolver.say(*id, layer, Domain::Choice(Mask::one(member)), &words);
            self.said(said, span);
        }
        count
    }

    /// A dose with its unit; how many tokens that takes. Nothing where it is none, which is reported.
    fn dose(&mut self, places: &Places<'a>, item: &[Token], at: usize) -> Option<(Share, usize)> {
        let token = item.get(at)?;
        let id = places.iter().find(|p| matches!(p.1.ty, AttributeType::Amounts(_)))?.0;
        let Some((unit, count)) = self.unit(item, at + 1, |name| name == "percent") else {
            let mistake = Mistake::new("question::no-unit", format!("`{}` has no unit", token.text))
                .help("give a dose in per cent or g/kg: 5 % low-cure additive");
            self.mistake(mistake, token.span);
            return None;
        };
        match self.resolver.ends(id, &format!("{} {unit}", token.text)) {
            Ok(ends) => Some((ends, count + 1)),
            Err(m) => {
                self.mistake(m, span_of(item, at, count + 1));
                None
            }
        }
    }

    pub(super) fn machines(&mut self, items: &[Vec<Token>]) {
        let places = self.resolver.attributes(|a| a.clause.as_deref() == Some("using"));
        let kinds = kinds_of(&places);
        for item in items {
            let mut at = 0;
            while let Some(token) = item.get(at) {
                let measured = self.measured(&[], item, at).max(self.no_machine(item, at));
                if measured > 0 {
                    at += measured;
                    continue;
                }
                match self.meaning(&places, item, at) {
                    Some((Meaning::Member(kind, member), count)) => {
                        self.named(&places, kind, member, &text_of(item, at, count), span_of(item, at, count));
                        at += count;
                    }
                    Some((meaning, count)) => {
                        self.means(meaning, &text_of(item, at, count), span_of(item, at, count));
                        at += count;
                    }
                    None => {
                        let beside = self.heard_beside(item, at);
                        if beside == 0
                            && matches!(token.kind, TokenKind::Word | TokenKind::Number | TokenKind::Negation)
                        {
                            self.unknown(&kinds, "machine", item, at);
                        }
                        at += beside.max(1);
                    }
                }
            }
        }
    }

    /// A machine, additive or finish that there is not.
    fn without(&mut self, item: &[Token], layer: usize) {
        let places = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Set(_) | AttributeType::Amounts(_)));
        let kinds = kinds_of(&places);
        let mut at = 0;
        let mut found = false;
        while let Some(token) = item.get(at) {
            let count = self.absent(&places, item, at, layer, at);
            let count = if count > 0 { count } else { self.no_fibre(item, at, at) };
            let count = if count > 0 { count } else { self.measured(&[], item, at) };
            if count > 0 {
                found = true;
                at += count;
                continue;
            }
            let runs = Runs::of(item, at);
            let idle = places.iter().map(|p| runs.among(&p.1.speech.idle)).max().unwrap_or(0);
            if idle > 0 {
                at += idle;
                continue;
            }
            if matches!(token.kind, TokenKind::Filler | TokenKind::Sign | TokenKind::Mark) {
                at += 1;
                continue;
            }
            match self.loose(&places, item, at, layer) {
                Loose::One(kind, member) => {
                    found = true;
                    for (id, _) in places.iter().filter(|p| p.1.ty.members() == Some(kind)) {
                        let words = format!("no {}", token.text);
                        let absent = crate::resolve::Membership::Absent(member);
                        let said = self.resolver.exclude_amount(*id, layer, absent, &words);
                        self.said(said, token.span);
                    }
                    at += 1;
                }
                Loose::Several => return,
                Loose::No => {
                    self.unknown(&kinds, "machine, additive or finish", item, at);
                    return;
                }
            }
        }
        if !found {
            self.unknown(&kinds, "machine, additive or finish", item, 0);
        }
    }

    /// `at 160 °C`, `for 60 s`, `through 110 /in`; also `for 50 washes` and `for babies`.
    fn quantity_clause(&mut self, word: &str, tokens: &[Token], layer: usize) {
        // Without a word the unit says what is meant.
        let places = match word {
            "" => self.by_unit(tokens),
            word => self.resolver.attributes(|a| a.clause.as_deref() == Some(word)),
        };
        let whom = self.whom(&places, tokens);
        if whom > 0 {
            self.cloth(tokens.get(whom..).unwrap_or(&[]));
            return;
        }
        let number = tokens.iter().position(|t| t.kind == TokenKind::Number);
        let said = tokens.iter().position(|t| !matches!(t.kind, TokenKind::Filler | TokenKind::Mark));
        let cloths = self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
        // `for babies` says who it is for; `for two washes` how often; `for baby 100% cotton` goes on with the cloth.
        let of_cloth = |reader: &Self, from: usize| reader.meaning(&cloths, tokens, from).is_some();
        // So does `for a 2 year old`.
        let named = |from: usize| self.meaning(&cloths, tokens, from).is_some_and(|found| found.1 > 2);
        let Some(first) = number.filter(|n| !named(*n) && said.is_none_or(|s| s >= *n || !of_cloth(self, s))) else {
            // `through photopolymer emulsion`: what the layer is printed with.
            let from = said.unwrap_or(0);
            let with = if number.is_none() && !of_cloth(self, from) { self.with_what(tokens, from, layer) } else { 0 };
            self.cloth(tokens.get(from + with..).unwrap_or(&[]));
            return;
        };
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            if at == first {
                at += self.clause_quantity(&places, tokens, at, layer);
                continue;
            }
            // What follows goes on with the order: `at 160 °C, no flash`.
            let measured = match token.kind {
                _ if at < first => 0,
                TokenKind::Negation => self.negated(&cloths, tokens, at),
                _ => self.measured(&[], tokens, at),
            };
            let runs = Runs::of(tokens, at);
            // `through 43 /cm cured at …`: the word before another setting.
            let settings = self.resolver.attributes(|a| a.clause.is_some());
            let own = places.iter().chain(&settings);
            let idle = own.map(|p| runs.among(&p.1.speech.idle).max(runs.length(&p.1.speech.called))).max();
            let count = measured.max(idle.unwrap_or(0));
            let count = if count == 0 { self.heard_beside(tokens, at) } else { count };
            // `at 155 °C, bleed tested`: behind a mark the words go on with the cloth.
            let marked = tokens.get(at.wrapping_sub(1)).is_some_and(|t| t.kind == TokenKind::Mark);
            if count == 0 && at > first && marked && token.kind == TokenKind::Word && of_cloth(self, at) {
                self.cloth(tokens.get(at..).unwrap_or(&[]));
                return;
            }
            // `at 165 °C, heat press`: a machine, though `heat` alone says nothing.
            let listed = if marked && at > first { self.machine_listed(tokens, at) } else { 0 };
            if listed > count {
                self.machines(&[tokens.get(at..at + listed).unwrap_or(&[]).to_vec()]);
                at += listed;
                continue;
            }
            let sign = at > first && token.kind == TokenKind::Sign;
            if count == 0 && !sign && !matches!(token.kind, TokenKind::Mark | TokenKind::Filler) {
                let message = format!("`{}` is not understood", token.text);
                let mistake = Mistake::new("question::syntax", message);
                self.mistake(
                    mistake.help(if word.is_empty() {
                        "say a quantity with its unit, such as 155 °C".to_owned()
                    } else {
                        format!("after `{word}` say a quantity with its unit")
                    }),
                    token.span,
                );
                return;
            }
            at += count.max(1);
        }
    }

    /// `for our summer festival`: whom or what it is for, up to the next mark, where its words say nothing else that is
    /// weighed. How many tokens that takes.
    fn whom(&mut self, places: &Places<'a>, tokens: &[Token]) -> usize {
        let Some(whom) = places.iter().find_map(|p| p.1.speech.whom.as_ref()) else { return 0 };
        let end = tokens.iter().position(|t| t.kind == TokenKind::Mark).unwrap_or(tokens.len());
        let own = tokens.get(..end).unwrap_or_default();
        let led = own.first().is_some_and(|t| whom.leads.contains(&folded(&t.text)));
        let words = |t: &Token| matches!(t.kind, TokenKind::Word | TokenKind::Filler);
        let cloths = self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
        let matters = |at: usize| {
            let word = own.get(at).map(|t| folded(&t.text)).unwrap_or_default();
            let known = || self.meaning(&cloths, own, at).is_some();
            whom.unless.contains(&word) || !known() && mistyped(&word, &whom.unless)
        };
        let idle = |at: usize| {
            own.get(at).is_none_or(|t| t.kind == TokenKind::Filler) || self.meaning(&cloths, own, at).is_some()
        };
        if !led || !own.iter().all(words) || (1..end).any(matters) || (1..end).all(idle) {
            return 0;
        }
        let among: Vec<_> = cloths.iter().filter(|c| whom.among.contains(&c.0)).copied().collect();
        let (mut said, mut heard) = (Vec::new(), own.get(..1).unwrap_or_default().to_vec());
        let mut at = 1;
        while at < end {
            if let Some((Meaning::Member(kind, member), count)) = self.meaning(&among, own, at) {
                said.push((kind, member, at, count));
                at += count;
                continue;
            }
            if self.says_anything(&cloths, own, at) {
                return 0;
            }
            heard.extend(own.get(at).cloned());
            at += 1;
        }
        for (kind, member, at, count) in said {
            self.named(&among, kind, member, &text_of(own, at, count), span_of(own, at, count));
        }
        self.means(Meaning::Aside(whom.says.clone()), &text_of(&heard, 0, heard.len()), span_of(own, 0, end));
        end
    }

    /// Whether a word from here says anything of a job, or may be a word for the cloth mistyped.
    fn says_anything(&self, cloths: &Places<'a>, tokens: &[Token], at: usize) -> bool {
        let Some(token) = tokens.get(at).filter(|t| t.kind == TokenKind::Word) else { return false };
        let model = self.resolver.model;
        let kinds: Vec<KindId> = (0..model.kinds.len()).map(|i| KindId(i as u16)).collect();
        let all = self.resolver.attributes(|_| true);
        let heard = self.meaning(&all, tokens, at);
        let says = heard.as_ref().is_some_and(|m| !matches!(m.0, Meaning::Idle | Meaning::Aside(_)));
        let names = self.resolver.names;
        let near = || heard.is_none() && mistyped(&folded(&token.text), &names.nearest(&kinds_of(cloths), &token.text));
        says || self.longest(&kinds, tokens, at).is_some()
            || kinds.iter().any(|k| !names.loosely(*k, &token.text).is_empty())
            || near()
    }

    /// The settings that are measured in the unit after the first number.
    fn by_unit(&self, tokens: &[Token]) -> Vec<(AttributeId, &'a Attribute)> {
        let first = tokens.iter().position(|t| t.kind == TokenKind::Number).unwrap_or(0);
        let measured = |a: &Attribute| match a.ty {
            AttributeType::Setting(d) => self
                .resolver
                .model
                .dim(d)
                .is_some_and(|dimension| self.unit(tokens, first + 1, |name| name == dimension.name).is_some()),
            _ => false,
        };
        self.resolver.attributes(|a| a.clause.is_some() && measured(a))
    }

    /// The quantity that a clause is about; how many tokens it takes.
    fn clause_quantity(&mut self, places: &Places<'a>, tokens: &[Token], at: usize, layer: usize) -> usize {
        let counted = tokens.get(at).map_or(0, |t| self.counted(&t.text, tokens, at));
        if counted > 0 {
            return counted;
        }
        let (unit, count) = match self.unit(tokens, at + 1, |_| true) {
            Some(known) => known,
            // Whatever stands there is told to be no unit.
            None => match tokens.get(at + 1) {
                Some(t) if matches!(t.kind, TokenKind::Word | TokenKind::Sign) => (t.text.clone(), 1),
                _ => (String::new(), 0),
            },
        };
        let text = format!("{} {unit}", text_of(tokens, at, 1));
        let span = span_of(tokens, at, count + 1);
        for (id, attribute) in places {
            let layer = if attribute.per_layer { layer } else { 0 };
            self.quantity(*id, layer, text.trim(), span);
            self.set_to = attribute.speech.bare_from.is_some().then_some(span.end);
        }
        count + 1
    }
}
