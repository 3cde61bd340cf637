//! What the words of a question name.

use super::parse::{Clause, Coat, Order, Token, TokenKind};
use crate::diagnostic::Problem;
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask, Model};
use crate::names::Names;
use crate::resolve::{Mistake, Resolver, Share};
use crate::source::Span;
use crate::statement::Stated;

/// Words that carry no meaning in a phrase.
const FILLERS: [&str; 16] = [
    "a", "an", "the", "some", "my", "this", "of", "in", "fabric", "cloth", "material", "textile", "ink", "made",
    "from", "coloured",
];

/// A question's job, and how its words were taken.
#[derive(Debug, Clone)]
pub struct Resolved {
    /// What was said.
    pub stated: Stated,
}

/// Finds out what an order's words name.
///
/// # Errors
/// Every word that is not understood, with its place and the nearest known names.
pub fn resolve_order(order: &Order, model: &Model, names: &Names) -> Result<Resolved, Vec<Problem>> {
    let layers = order.stack.len().max(1);
    let mut reader = PhraseReader { resolver: Resolver::new(model, names, layers), problems: Vec::new() };
    for (position, coat) in order.stack.iter().enumerate() {
        reader.coat(coat, layers - 1 - position);
    }
    reader.cloth(&order.cloth);
    for clause in &order.clauses {
        reader.clause(clause, layers - 1);
    }
    let PhraseReader { resolver, problems } = reader;
    if problems.is_empty() { Ok(Resolved { stated: resolver.stated }) } else { Err(problems) }
}

/// Reads a composition by itself.
///
/// # Errors
/// As [`resolve_order`].
pub fn resolve_composition(tokens: &[Token], id: AttributeId, resolver: &Resolver<'_>) -> Result<Domain, Vec<Problem>> {
    let mut reader = PhraseReader { resolver: resolver.clone(), problems: Vec::new() };
    let Some(AttributeType::Blend(kind)) = resolver.attribute(id).map(|a| a.ty) else { return Err(Vec::new()) };
    let mut shares = Shares::default();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        match token.kind {
            TokenKind::Mark | TokenKind::Sign => at += 1,
            TokenKind::Number => {
                shares.number(token, &mut reader);
                at += 1;
            }
            TokenKind::Word => match reader.longest(&[kind], tokens, at) {
                Some((_, member, count)) => {
                    shares.parts.push(Part::Member(member, span_of(tokens, at, count)));
                    at += count;
                }
                None if FILLERS.contains(&token.text.to_lowercase().as_str()) => at += 1,
                None => {
                    reader.unknown(&[kind], "fibre", tokens, at);
                    at += 1;
                }
            },
        }
    }
    let domain = shares.finish(id, &mut reader);
    match domain {
        Some(d) if reader.problems.is_empty() => Ok(d),
        _ => Err(reader.problems),
    }
}

/// Numbers and fibres of a composition, in the order they are written.
#[derive(Default)]
struct Shares {
    parts: Vec<Part>,
}

enum Part {
    Share(i64, Span),
    Member(usize, Span),
}

impl Shares {
    fn number(&mut self, token: &Token, reader: &mut PhraseReader<'_>) {
        match reader.resolver.share(&token.text) {
            Ok(steps) => self.parts.push(Part::Share(steps, token.span)),
            Err(mistake) => reader.mistake(mistake, token.span),
        }
    }

    /// Pairs shares with fibres: `60 CO 40 PES`, `CO 60 PES 40` or `60/40 CO PES`.
    fn finish(self, id: AttributeId, reader: &mut PhraseReader<'_>) -> Option<Domain> {
        let first_is_share = matches!(self.parts.first(), Some(Part::Share(..)));
        let shares: Vec<(i64, Span)> =
            self.parts.iter().filter_map(|p| if let Part::Share(s, at) = p { Some((*s, *at)) } else { None }).collect();
        let members: Vec<(usize, Span)> = self
            .parts
            .iter()
            .filter_map(|p| if let Part::Member(m, at) = p { Some((*m, *at)) } else { None })
            .collect();
        let span = match self.parts.first()? {
            Part::Share(_, at) | Part::Member(_, at) => Span { end: last_end(&self.parts).max(at.end), ..*at },
        };
        if members.is_empty() {
            reader.problems.push(
                Problem::new(
                    "question::shares-without-fibres",
                    span,
                    "of which fibres?",
                    "shares are given, but no fibres",
                )
                .help("name the fibres too: 50/50 cotton polyester"),
            );
            return None;
        }
        if !shares.is_empty() && shares.len() != members.len() {
            let message = format!("{} shares are given for {} fibres", shares.len(), members.len());
            reader.problems.push(
                Problem::new("question::share-missing", span, "here", message)
                    .help("give each fibre its share: 80% cotton 20% polyester"),
            );
            return None;
        }
        // Where shares and fibres alternate the first sort leads; otherwise both run in order. Either way the
        // n-th share belongs to the n-th fibre, provided that they do not change order midway.
        let kinds: Vec<bool> = self.parts.iter().map(|p| matches!(p, Part::Share(..))).collect();
        let alternates = kinds.windows(2).all(|w| w.first() != w.last());
        let blocks = kinds.windows(2).filter(|w| w.first() != w.last()).count() <= 1;
        let clear = shares.is_empty() || alternates || (blocks && first_is_share);
        if !clear {
            reader.problems.push(
                Problem::new(
                    "question::shares-unclear",
                    span,
                    "here",
                    "it is not clear which share belongs to which fibre",
                )
                .help("write each fibre next to its share: 80% cotton 20% polyester"),
            );
            return None;
        }
        let parts: Vec<(usize, Option<Share>)> =
            members.iter().enumerate().map(|(i, (m, _))| (*m, shares.get(i).map(|s| (s.0, s.0)))).collect();
        match reader.resolver.blend(id, &parts) {
            Ok(domain) => Some(domain),
            Err(mistake) => {
                reader.mistake(mistake, span);
                None
            }
        }
    }
}

fn last_end(parts: &[Part]) -> u32 {
    parts
        .iter()
        .map(|p| match p {
            Part::Share(_, s) | Part::Member(_, s) => s.end,
        })
        .max()
        .unwrap_or(0)
}

fn span_of(tokens: &[Token], at: usize, count: usize) -> Span {
    let start = tokens.get(at).map(|t| t.span).unwrap_or_default();
    let end = tokens.get(at + count - 1).map_or(start.end, |t| t.span.end);
    Span { end, ..start }
}

fn text_of(tokens: &[Token], at: usize, count: usize) -> String {
    tokens.iter().skip(at).take(count).map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ")
}

struct PhraseReader<'a> {
    resolver: Resolver<'a>,
    problems: Vec<Problem>,
}

impl<'a> PhraseReader<'a> {
    fn mistake(&mut self, mistake: Mistake, span: Span) {
        let mut problem = Problem::new(mistake.code, span, "here", mistake.message);
        problem.help = mistake.help;
        self.problems.push(problem);
    }

    /// The longest run of words from here that names something of these kinds.
    fn longest(&self, kinds: &[KindId], tokens: &[Token], at: usize) -> Option<(KindId, usize, usize)> {
        let words: Vec<&str> = tokens
            .iter()
            .skip(at)
            .take_while(|t| matches!(t.kind, TokenKind::Word | TokenKind::Number))
            .map(|t| t.text.as_str())
            .collect();
        self.resolver.names.longest(kinds, &words)
    }

    fn unknown(&mut self, kinds: &[KindId], what: &str, tokens: &[Token], at: usize) {
        let Some(token) = tokens.get(at) else { return };
        let mut mistake = self.resolver.unknown(kinds, what, &token.text);
        mistake.message = format!("`{}` is not understood", token.text);
        self.mistake(mistake, token.span);
    }

    /// Colour and ink of a layer, and what is stirred in.
    fn coat(&mut self, coat: &Coat, layer: usize) {
        let choices = self.resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
        let kinds = kinds_of(&choices);
        let mut at = 0;
        let mut named_ink = false;
        while let Some(token) = coat.ink.get(at) {
            if token.text.starts_with('#') {
                self.hex(&choices, layer, token);
                at += 1;
                continue;
            }
            match self.longest(&kinds, &coat.ink, at) {
                Some((kind, member, count)) => {
                    let words = text_of(&coat.ink, at, count);
                    let span = span_of(&coat.ink, at, count);
                    for (id, attribute) in choices.iter().filter(|c| kind_of(c.1) == Some(kind)) {
                        named_ink |= attribute.material;
                        if let Err(m) = self.resolver.say(*id, layer, Domain::Choice(Mask::one(member)), &words) {
                            self.mistake(m, span);
                        }
                    }
                    at += count;
                }
                None => {
                    let filler = FILLERS.contains(&token.text.to_lowercase().as_str());
                    if token.kind != TokenKind::Mark && !filler {
                        self.unknown(&kinds, "ink or colour", &coat.ink, at);
                    }
                    at += 1;
                }
            }
        }
        if !named_ink && self.problems.is_empty() {
            let span = span_of(&coat.ink, 0, coat.ink.len().max(1));
            let ink_kinds: Vec<KindId> = choices.iter().filter(|c| c.1.material).filter_map(|c| kind_of(c.1)).collect();
            let mut mistake = self.resolver.unknown(&ink_kinds, "ink", "");
            mistake.code = "question::no-ink";
            mistake.message = "no ink is named".to_owned();
            self.mistake(mistake, span);
        }
        for item in &coat.with {
            self.with(item, layer);
        }
    }

    fn hex(&mut self, choices: &[(AttributeId, &'a Attribute)], layer: usize, token: &Token) {
        let followed =
            |id: AttributeId| self.resolver.model.attributes.iter().any(|a| a.follows.is_some_and(|f| f.0 == id));
        let Some((id, _)) = choices.iter().find(|c| followed(c.0)) else { return };
        if let Err(m) = self.resolver.hex(*id, layer, &token.text) {
            self.mistake(m, token.span);
        }
    }

    /// The cloth and what else an order form says of it.
    fn cloth(&mut self, tokens: &[Token]) {
        let places = self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"));
        let kinds = kinds_of(&places);
        let blend = places.iter().find(|p| matches!(p.1.ty, AttributeType::Blend(_))).map(|p| p.0);
        let mut shares = Shares::default();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            if token.text.starts_with('#') {
                self.hex(&places, 0, token);
                at += 1;
                continue;
            }
            match token.kind {
                TokenKind::Mark | TokenKind::Sign => {
                    at += 1;
                    continue;
                }
                TokenKind::Number => {
                    if let Some(count) = self.measured(&places, tokens, at) {
                        at += count;
                        continue;
                    }
                    if self.longest(&kinds, tokens, at).is_none() {
                        shares.number(token, self);
                        at += 1;
                        continue;
                    }
                }
                TokenKind::Word => {}
            }
            if self.yes_no(&places, token) {
                at += 1;
                continue;
            }
            match self.longest(&kinds, tokens, at) {
                Some((kind, member, count)) => {
                    let span = span_of(tokens, at, count);
                    let words = text_of(tokens, at, count);
                    self.named(&places, kind, member, &words, span, &mut shares);
                    at += count;
                }
                None => {
                    if !FILLERS.contains(&token.text.to_lowercase().as_str()) {
                        self.unknown(&kinds, "word for a cloth", tokens, at);
                    }
                    at += 1;
                }
            }
        }
        if let (Some(id), false) = (blend, shares.parts.is_empty()) {
            let words: Vec<String> = shares
                .parts
                .iter()
                .map(|p| match p {
                    Part::Share(_, s) | Part::Member(_, s) => tokens
                        .iter()
                        .filter(|t| t.span.start >= s.start && t.span.end <= s.end)
                        .map(|t| t.text.as_str())
                        .collect::<Vec<_>>()
                        .join(" "),
                })
                .collect();
            if let Some(domain) = shares.finish(id, self)
                && let Err(m) = self.resolver.say(id, 0, domain, &words.join(" "))
            {
                self.mistake(m, span_of(tokens, 0, tokens.len()));
            }
        }
    }

    fn named(
        &mut self,
        places: &[(AttributeId, &'a Attribute)],
        kind: KindId,
        member: usize,
        words: &str,
        span: Span,
        shares: &mut Shares,
    ) {
        for (id, attribute) in places.iter().filter(|p| kind_of(p.1) == Some(kind)) {
            match attribute.ty {
                AttributeType::Blend(_) => shares.parts.push(Part::Member(member, span)),
                AttributeType::Set(_) => self.resolver.add_to_set(*id, 0, member, words),
                _ => {
                    if let Err(m) = self.resolver.say(*id, 0, Domain::Choice(Mask::one(member)), words) {
                        self.mistake(m, span);
                    }
                }
            }
        }
    }

    fn yes_no(&mut self, places: &[(AttributeId, &'a Attribute)], token: &Token) -> bool {
        let text = token.text.to_lowercase();
        for (id, attribute) in places {
            let yes = attribute.words.0.contains(&text);
            if yes || attribute.words.1.contains(&text) {
                if let Err(m) = self.resolver.say(*id, 0, Domain::YesNo { yes, no: !yes }, &token.text) {
                    self.mistake(m, token.span);
                }
                return true;
            }
        }
        false
    }

    /// A number with a unit that one of the places is measured in; says how many tokens that took.
    fn measured(&mut self, places: &[(AttributeId, &'a Attribute)], tokens: &[Token], at: usize) -> Option<usize> {
        let number = tokens.get(at)?;
        for count in (1..=3).rev() {
            let unit: String = tokens.get(at + 1..at + 1 + count)?.iter().map(|t| t.text.as_str()).collect();
            for (id, attribute) in places {
                let AttributeType::Quantity(d) = attribute.ty else { continue };
                let known = self.resolver.model.dim(d).and_then(|d| d.unit(&unit)).is_some();
                if !known || unit == "%" {
                    continue;
                }
                let text = format!("{} {unit}", number.text);
                let span = span_of(tokens, at, count + 1);
                match self.resolver.quantity(*id, &text) {
                    Ok(steps) => {
                        if let Err(m) = self.resolver.say(*id, 0, Domain::Number { low: steps, high: steps }, &text) {
                            self.mistake(m, span);
                        }
                    }
                    Err(m) => self.mistake(m, span),
                }
                return Some(count + 1);
            }
        }
        None
    }

    /// An additive with or without its dose, or a finish.
    fn with(&mut self, item: &[Token], layer: usize) {
        let amounts = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Amounts(_)));
        let finishes = self
            .resolver
            .attributes(|a| a.phrase.as_deref() == Some("fabric") && matches!(a.ty, AttributeType::Set(_)));
        let mut dose = None;
        let mut at = 0;
        let kinds: Vec<KindId> = kinds_of(&amounts).into_iter().chain(kinds_of(&finishes)).collect();
        let mut found = 0;
        // The dose may stand before its additive or after it, but there is only one.
        let numbers: Vec<usize> = (0..item.len()).filter(|i| item[*i].kind == TokenKind::Number).collect();
        if let [_, second, ..] = numbers[..] {
            let mistake = Mistake::new("question::two-doses", format!("`{}` is a second dose", item[second].text))
                .help("give one dose to each additive, and put `and` between additives");
            self.mistake(mistake, item[second].span);
            return;
        }
        let mut item = item.to_vec();
        if let [only] = numbers[..] {
            let signed = item.get(only + 1).is_some_and(|t| t.kind == TokenKind::Sign);
            item[..only + 1 + usize::from(signed)].rotate_right(1 + usize::from(signed));
        }
        let item = item.as_slice();
        while let Some(token) = item.get(at) {
            match token.kind {
                TokenKind::Number => {
                    let unit: String = item.get(at + 1).map(|t| t.text.clone()).unwrap_or_default();
                    let text = if unit == "%" { token.text.clone() } else { format!("{} {unit}", token.text) };
                    if unit != "%" {
                        let mistake = Mistake::new("question::no-unit", format!("`{}` has no unit", token.text))
                            .help("give a dose in per cent: 5 % low-cure additive");
                        self.mistake(mistake, token.span);
                        return;
                    }
                    match self.resolver.share(&text) {
                        Ok(steps) => dose = Some((steps, steps)),
                        Err(m) => self.mistake(m, token.span),
                    }
                    at += 1;
                }
                TokenKind::Sign | TokenKind::Mark => at += 1,
                TokenKind::Word => match self.longest(&kinds, item, at) {
                    Some((kind, member, count)) => {
                        found += 1;
                        let words = text_of(item, at, count);
                        let span = span_of(item, at, count);
                        let takes_dose = amounts.iter().any(|a| kind_of(a.1) == Some(kind));
                        if dose.is_some() && (found > 1 || !takes_dose) {
                            let mistake = Mistake::new("question::stray-dose", format!("whose dose is it? `{words}`"))
                                .help("give a dose to one additive only, and put `and` before what comes next");
                            self.mistake(mistake, span);
                            return;
                        }
                        for (id, _) in amounts.iter().filter(|a| kind_of(a.1) == Some(kind)) {
                            if let Err(m) = self.resolver.add_amount(*id, layer, member, dose, &words) {
                                self.mistake(m, span);
                            }
                        }
                        for (id, _) in finishes.iter().filter(|a| kind_of(a.1) == Some(kind)) {
                            self.resolver.add_to_set(*id, 0, member, &words);
                        }
                        at += count;
                    }
                    None => {
                        if !FILLERS.contains(&token.text.to_lowercase().as_str())
                            && token.text.to_lowercase() != "finish"
                        {
                            self.unknown(&kinds, "additive or finish", item, at);
                            return;
                        }
                        at += 1;
                    }
                },
            }
        }
        if found == 0 && self.problems.is_empty() {
            self.unknown(&kinds, "additive or finish", item, 0);
        }
    }

    fn clause(&mut self, clause: &Clause, top: usize) {
        match clause {
            Clause::Using(items) => self.machines(items, true),
            Clause::Without(items) => self.without(items, top),
            Clause::With(items) => items.iter().for_each(|i| self.with(i, top)),
            Clause::Quantity(word, tokens) => self.quantity_clause(word, tokens, top),
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

    fn machines(&mut self, items: &[Vec<Token>], _using: bool) {
        let places = self.resolver.attributes(|a| a.clause.as_deref() == Some("using"));
        let kinds = kinds_of(&places);
        let mut named = Mask::EMPTY;
        let mut words = Vec::new();
        for item in items {
            match self.longest(&kinds, item, 0) {
                Some((_, member, count)) if count == item.len() => {
                    named.insert(member);
                    words.push(text_of(item, 0, count));
                }
                Some((_, _, count)) => self.unknown(&kinds, "machine", item, count),
                None => {
                    let start =
                        item.iter().position(|t| !FILLERS.contains(&t.text.to_lowercase().as_str())).unwrap_or(0);
                    match self.longest(&kinds, item, start) {
                        Some((_, member, count)) => {
                            named.insert(member);
                            words.push(text_of(item, start, count));
                        }
                        None => self.unknown(&kinds, "machine", item, start),
                    }
                }
            }
        }
        for (id, _) in &places {
            let domain = self.resolver.listed(*id, named);
            if let Err(m) = self.resolver.say(*id, 0, domain, &words.join(", ")) {
                self.mistake(m, items.first().map(|i| span_of(i, 0, i.len())).unwrap_or_default());
            }
        }
    }

    fn without(&mut self, items: &[Vec<Token>], top: usize) {
        let sets = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Set(_) | AttributeType::Amounts(_)));
        let kinds = kinds_of(&sets);
        for item in items {
            let start = item.iter().position(|t| !FILLERS.contains(&t.text.to_lowercase().as_str())).unwrap_or(0);
            let Some((kind, member, count)) = self.longest(&kinds, item, start) else {
                self.unknown(&kinds, "machine, additive or finish", item, start);
                continue;
            };
            let words = format!("no {}", text_of(item, start, count));
            for (id, attribute) in sets.iter().filter(|s| kind_of(s.1) == Some(kind)) {
                let layer = if attribute.per_layer { top } else { 0 };
                let mut may = self.resolver.model.everyone(kind);
                may.remove(member);
                let must = match attribute.assume.first().map(|a| &a.value) {
                    // Where all are assumed, the others stay assumed.
                    Some(crate::model::AssumedValue::Set(all)) => all.and(may),
                    _ => Mask::EMPTY,
                };
                let domain = match attribute.ty {
                    AttributeType::Amounts(_) => Domain::nothing(attribute.ty, self.resolver.model),
                    _ => Domain::Set { must, may },
                };
                if let Err(m) = self.resolver.say(*id, layer, domain, &words) {
                    self.mistake(m, span_of(item, start, count));
                }
            }
        }
    }

    fn quantity_clause(&mut self, word: &str, tokens: &[Token], top: usize) {
        let places = self.resolver.attributes(|a| a.clause.as_deref() == Some(word));
        let span = span_of(tokens, 0, tokens.len().max(1));
        let Some(number) = tokens.iter().find(|t| t.kind == TokenKind::Number) else {
            // `for babies` says who it is for.
            self.cloth(tokens);
            return;
        };
        let unit: String = tokens
            .iter()
            .skip_while(|t| t.kind != TokenKind::Number)
            .skip(1)
            .filter(|t| t.kind != TokenKind::Mark)
            .map(|t| t.text.as_str())
            .collect::<Vec<_>>()
            .join("");
        for (id, attribute) in &places {
            let layer = if attribute.per_layer { top } else { 0 };
            let text = format!("{} {unit}", number.text);
            match self.resolver.quantity(*id, &text) {
                Ok(steps) => {
                    if let Err(m) = self.resolver.say(*id, layer, Domain::Number { low: steps, high: steps }, &text) {
                        self.mistake(m, span);
                    }
                }
                Err(mistake) => self.mistake(mistake, span),
            }
        }
        if places.is_empty() {
            self.mistake(Mistake::new("question::no-such-clause", format!("nothing is said with `{word}`")), span);
        }
    }
}

fn kind_of(attribute: &Attribute) -> Option<KindId> {
    match attribute.ty {
        AttributeType::Choice(k) | AttributeType::Set(k) | AttributeType::Blend(k) | AttributeType::Amounts(k) => {
            Some(k)
        }
        _ => None,
    }
}

fn kinds_of(places: &[(AttributeId, &Attribute)]) -> Vec<KindId> {
    places.iter().filter_map(|p| kind_of(p.1)).collect()
}
