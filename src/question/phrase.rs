//! What the words of a question name.
//!
//! Every word must be accounted for: it names something, is declared to say nothing, or is pointed at. Which words
//! there are is knowledge; this stage knows of attributes and their members only.

use super::parse::{Coat, Order, Token, TokenKind, written};
use super::shares::{Part, Shares, problem};
use super::tokens::{Runs, span_of, text_of, unit_at, words_from};
use crate::diagnostic::{Problem, one_of};
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask, Model};
use crate::names::Names;
use crate::resolve::{MAX_LAYERS, Membership, Mistake, Resolver};
use crate::source::Span;
use crate::statement::Stated;
use crate::words::folded;

/// What stands between the two numbers of a size.
const TIMES: [&str; 3] = ["x", "×", "by"];

/// Small numbers as words.
const NUMBERS: [&str; 13] =
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// A question's job, and how its words were taken.
#[derive(Debug, Clone)]
pub struct Resolved {
    /// What was said.
    pub stated: Stated,
    /// How words that can mean several things were taken, and how to say the other.
    pub notes: Vec<String>,
}

/// Finds out what an order's words name.
///
/// # Errors
/// Every word that is not understood, with its place and the nearest known names.
pub fn resolve_order(order: &Order, model: &Model, names: &Names) -> Result<Resolved, Vec<Problem>> {
    let layers = order.stack.len().max(1);
    if layers > MAX_LAYERS {
        let span = order.stack.first().map_or_else(Span::default, |c| span_of(&c.ink, 0, c.ink.len()));
        let problem = Problem::new("question::too-many", span, "the first", format!("{layers} layers are too many"));
        return Err(vec![problem.help(format!("a print has at most {MAX_LAYERS} layers"))]);
    }
    let mut reader = PhraseReader::new(Resolver::new(model, names, layers));
    for (position, coat) in order.stack.iter().enumerate() {
        reader.coat(coat, layers - 1 - position);
    }
    reader.cloth(&order.cloth);
    let place = reader.resolver.stated.statements.len();
    for clause in &order.clauses {
        reader.clause(clause, layers - 1);
    }
    reader.finish_blend(&order.cloth, place);
    let PhraseReader { resolver, problems, notes, .. } = reader;
    if problems.is_empty() { Ok(Resolved { stated: resolver.stated, notes }) } else { Err(problems) }
}

/// Reads a composition by itself.
///
/// # Errors
/// As [`resolve_order`].
pub fn resolve_composition(tokens: &[Token], id: AttributeId, resolver: &Resolver<'_>) -> Result<Domain, Vec<Problem>> {
    let mut reader = PhraseReader::new(resolver.clone());
    let Some(attribute) = reader.resolver.attribute(id) else { return Err(Vec::new()) };
    reader.read(&[(id, attribute)], "fibre", tokens);
    let shares = std::mem::take(&mut reader.shares);
    if reader.problems.is_empty() {
        match shares.finish(id, &reader.resolver) {
            Ok(domain) => return Ok(domain),
            Err(problem) => reader.problems.push(problem),
        }
    }
    Err(reader.problems)
}

/// A phrase with what a second one says in the place of what it said of the same: `navy` in `white cotton tee`.
///
/// # Errors
/// Words of the second that are not understood.
pub(super) fn replaced(
    old: &[Token],
    new: &[Token],
    part: &str,
    model: &Model,
    names: &Names,
) -> Result<(String, Vec<AttributeId>), Vec<Problem>> {
    let read = |tokens: &[Token]| {
        let mut reader = PhraseReader::new(Resolver::new(model, names, 1));
        let places = reader.resolver.attributes(|a| a.phrase.as_deref() == Some(part));
        reader.read(&places, "word", tokens);
        reader.finish_blend(tokens, 0);
        // A shade stands for the colour that it is a shade of.
        let root = |id: AttributeId| id.of(model).and_then(|a| a.follows).map_or(id, |f| f.0);
        let said: Vec<(AttributeId, String)> =
            reader.resolver.stated.statements.iter().map(|s| (root(s.attribute), s.words.clone())).collect();
        (said, reader.problems)
    };
    let (said, problems) = read(new);
    if !problems.is_empty() {
        return Err(problems);
    }
    let mut kept: Vec<Token> = old.to_vec();
    for (id, words) in read(old).0 {
        if !said.iter().any(|(own, _)| *own == id) {
            continue;
        }
        let words: Vec<&str> = words.split([' ', ',']).filter(|w| !w.is_empty()).collect();
        // Where they stand together they are meant: the 100 of `100 pieces` is not that of `100%`.
        let together = kept.windows(words.len().max(1)).position(|run| run.iter().map(|t| &t.text).eq(&words));
        match together {
            Some(at) => drop(kept.drain(at..at + words.len())),
            None => {
                for word in words {
                    if let Some(at) = kept.iter().position(|t| t.text == word) {
                        kept.remove(at);
                    }
                }
            }
        }
        if id.of(model).is_some_and(|a| a.speech.times.is_some()) {
            kept.retain(|t| !(t.kind == TokenKind::Sign && TIMES.contains(&t.text.to_lowercase().as_str())));
        }
        if id.of(model).is_some_and(|a| matches!(a.ty, AttributeType::Blend(_))) {
            kept.retain(|t| t.kind != TokenKind::Sign);
        }
    }
    // A colour stands before its ink, an article after what is said of it.
    let material = said.iter().any(|s| s.0.of(model).is_some_and(|a| a.material));
    let (first, then) = if material { (kept.as_slice(), new) } else { (new, kept.as_slice()) };
    let words: Vec<Token> = first.iter().chain(then).cloned().collect();
    Ok((written(&words), said.into_iter().map(|s| s.0).collect()))
}

pub(super) type Places<'a> = [(AttributeId, &'a Attribute)];

/// What a run of words says.
pub(super) enum Meaning {
    /// A member.
    Member(KindId, usize),
    /// A yes or a no.
    YesNo(AttributeId, bool),
    /// Nothing of this set.
    None(AttributeId),
    /// These members are absent.
    Lacks(AttributeId, Vec<usize>),
    /// Several fibres.
    Mixture(Vec<usize>),
    /// Fibres that are not named.
    Others,
    /// A part of the article, by the attribute that holds its cloth.
    Part(AttributeId),
    /// It can mean several things.
    Unclear(String),
    /// Nothing that matters.
    Idle,
}

/// What a loose word comes to.
pub(super) enum Loose {
    /// It is none.
    No,
    /// This member is meant.
    One(KindId, usize),
    /// It can mean several things; that was reported.
    Several,
}

pub(super) struct PhraseReader<'a> {
    pub resolver: Resolver<'a>,
    pub problems: Vec<Problem>,
    /// The composition, gathered from all phrases.
    pub shares: Shares,
    /// Words for parts of the article, with the attribute that holds their cloth.
    pub parts: Vec<(AttributeId, String, Span)>,
    /// How words that can mean several things were taken.
    pub notes: Vec<String>,
}

impl<'a> PhraseReader<'a> {
    fn new(resolver: Resolver<'a>) -> Self {
        Self { resolver, problems: Vec::new(), shares: Shares::default(), parts: Vec::new(), notes: Vec::new() }
    }

    pub(super) fn mistake(&mut self, mistake: Mistake, span: Span) {
        self.problems.push(problem(mistake, span));
    }

    pub(super) fn said(&mut self, result: Result<(), Mistake>, span: Span) {
        if let Err(m) = result {
            self.mistake(m, span);
        }
    }

    /// The longest run of words from here that names something of these kinds.
    pub(super) fn longest(&self, kinds: &[KindId], tokens: &[Token], at: usize) -> Option<(KindId, usize, usize)> {
        self.resolver.names.longest(kinds, &words_from(tokens, at))
    }

    pub(super) fn unknown(&mut self, kinds: &[KindId], what: &str, tokens: &[Token], at: usize) {
        let Some(token) = tokens.get(at) else { return };
        let mut mistake = self.resolver.unknown(kinds, what, &token.text);
        mistake.message = format!("`{}` is not understood", token.text);
        self.mistake(mistake, token.span);
    }

    /// What the words from here say about these places, and how many words that takes. The longest run counts;
    /// names come before other words.
    pub(super) fn meaning(&self, places: &Places<'a>, tokens: &[Token], at: usize) -> Option<(Meaning, usize)> {
        let runs = Runs::of(tokens, at);
        let mut best: Option<(Meaning, usize)> = None;
        let mut offer = |meaning: Meaning, count: usize| {
            if count > best.as_ref().map_or(0, |b| b.1) {
                best = Some((meaning, count));
            }
        };
        for (id, a) in places {
            offer(Meaning::YesNo(*id, true), runs.length(&a.words.0));
            offer(Meaning::YesNo(*id, false), runs.length(&a.words.1));
            for (word, says) in &a.speech.unclear {
                offer(Meaning::Unclear(says.clone()), runs.length([word]));
            }
        }
        if let Some((kind, member, count)) = self.longest(&kinds_of(places), tokens, at) {
            offer(Meaning::Member(kind, member), count);
        }
        for (id, a) in places {
            let speech = &a.speech;
            offer(Meaning::None(*id), runs.length(&speech.none));
            for (word, members) in &speech.lacks {
                offer(Meaning::Lacks(*id, members.clone()), runs.length([word]));
            }
            for (word, members) in &speech.mixtures {
                offer(Meaning::Mixture(members.clone()), runs.length([word]));
            }
            offer(Meaning::Others, runs.length(&speech.others));
            offer(Meaning::Idle, runs.length(speech.idle.iter().chain(&speech.called)));
        }
        // A part of the article may have a cloth that is kept apart.
        let kinds = kinds_of(places);
        for (id, a) in self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(k) if kinds.contains(&k))) {
            offer(Meaning::Part(id), runs.length(&a.speech.parts));
        }
        best
    }

    /// Reads a phrase about these places, layer 0.
    fn read(&mut self, places: &Places<'a>, what: &str, tokens: &[Token]) {
        let kinds = kinds_of(places);
        // Names that may mean something else wait until the others are settled.
        let mut waiting: Vec<(KindId, usize, usize, usize)> = Vec::new();
        // So do names that may be labels of parts.
        let mut labels: Vec<(AttributeId, KindId, usize, String, Span)> = Vec::new();
        // Words that belong to a name which began before them.
        let mut taken: Vec<usize> = Vec::new();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            if taken.contains(&at) {
                at += 1;
                continue;
            }
            if token.text.starts_with('#') {
                self.hex(places, 0, token);
                at += 1;
                continue;
            }
            if matches!(token.kind, TokenKind::Mark | TokenKind::Sign) {
                at += 1;
                continue;
            }
            if token.kind == TokenKind::Negation {
                let count = self.negated(places, tokens, at);
                if count > 0 {
                    at += count;
                    continue;
                }
            }
            let ratio = self.ratio(tokens, at);
            if ratio > 0 {
                for i in (at..at + ratio).step_by(2) {
                    self.share(tokens, i);
                }
                at += ratio;
                continue;
            }
            let count = self.measured(places, tokens, at);
            if count > 0 {
                at += count;
                continue;
            }
            match self.meaning(places, tokens, at) {
                Some((Meaning::Member(kind, member), count)) => {
                    let text = text_of(tokens, at, count);
                    if let Some(part) = self.part(&kinds, tokens, at, count) {
                        labels.push((part, kind, member, text, span_of(tokens, at, count)));
                        at += count;
                        continue;
                    }
                    let elsewhere = kinds.iter().any(|k| !self.resolver.names.loosely(*k, &text).is_empty());
                    if elsewhere {
                        waiting.push((kind, member, at, count));
                    } else {
                        self.named(places, kind, member, &text, span_of(tokens, at, count));
                    }
                    at += count;
                    continue;
                }
                Some((meaning, count)) => {
                    self.means(meaning, &text_of(tokens, at, count), span_of(tokens, at, count));
                    at += count;
                    continue;
                }
                None => {}
            }
            if token.kind == TokenKind::Number {
                at += self.share(tokens, at);
                continue;
            }
            if token.kind != TokenKind::Filler && !self.joined(&kinds, token) {
                match self.loose(places, tokens, at, 0) {
                    Loose::One(kind, member) => self.named(places, kind, member, &token.text, token.span),
                    Loose::Several => {}
                    Loose::No => match self.parted_name(&kinds, tokens, at) {
                        Some((kind, member, rest)) => {
                            let words = rest.iter().filter_map(|i| tokens.get(*i)).map(|t| t.text.as_str());
                            let words = std::iter::once(token.text.as_str()).chain(words).collect::<Vec<_>>().join(" ");
                            self.named(places, kind, member, &words, token.span);
                            taken.extend(rest);
                        }
                        None => self.unknown_cloth(&kinds, what, tokens, at),
                    },
                }
            }
            at += 1;
        }
        for (i, (part, kind, member, text, span)) in labels.iter().enumerate() {
            let other = labels.iter().enumerate().any(|(j, l)| i != j && l.0 != *part);
            let taken =
                places.iter().any(|(id, a)| a.ty.members() == Some(*kind) && self.resolver.stated.mentions(*id, 0));
            let several = self.shares.sum() > crate::job::whole(self.resolver.model);
            if other || taken || several || self.parts.iter().any(|p| p.0 != *part) {
                self.parts.push((*part, text.clone(), *span));
            } else {
                self.named(places, *kind, *member, text, *span);
            }
        }
        self.parts.sort_by_key(|p| p.2.start);
        for (kind, member, at, count) in waiting {
            let text = text_of(tokens, at, count);
            let spoken = |id: AttributeId| self.resolver.stated.mentions(id, 0);
            let taken = places.iter().any(|p| p.1.ty.members() == Some(kind) && spoken(p.0));
            let span = span_of(tokens, at, count);
            let other = if taken && count == 1 { self.loose(places, tokens, at, 0) } else { Loose::No };
            match other {
                Loose::One(kind, member) => self.named(places, kind, member, &text, span),
                Loose::Several => {}
                Loose::No => self.named(places, kind, member, &text, span),
            }
        }
    }

    pub(super) fn means(&mut self, meaning: Meaning, words: &str, span: Span) {
        match meaning {
            Meaning::Member(..) | Meaning::Idle => {}
            Meaning::YesNo(id, yes) => {
                let said = self.resolver.say(id, 0, Domain::YesNo { yes, no: !yes }, words);
                self.said(said, span);
            }
            Meaning::None(id) => {
                let said = self.resolver.say_of_set(id, 0, Membership::None, words);
                self.said(said, span);
            }
            Meaning::Lacks(id, members) => {
                for m in members {
                    let said = self.resolver.say_of_set(id, 0, Membership::Absent(m), words);
                    self.said(said, span);
                }
            }
            Meaning::Mixture(members) => self.shares.push(Part::Mixture(members, span), words),
            Meaning::Others => self.shares.push(Part::Others(span), words),
            Meaning::Part(id) => self.parts.push((id, words.to_owned(), span)),
            Meaning::Unclear(says) => {
                let mistake = Mistake::new("question::unclear", format!("`{words}` can mean several things"));
                self.mistake(mistake.help(says), span);
            }
        }
    }

    /// `no water repellent`, `no finish`: how many words that takes.
    fn negated(&mut self, places: &Places<'a>, tokens: &[Token], at: usize) -> usize {
        // `no finish` may be a phrase of its own.
        if let Some((Meaning::None(id), count)) = self.meaning(places, tokens, at) {
            self.means(Meaning::None(id), &text_of(tokens, at, count), span_of(tokens, at, count));
            return count;
        }
        let taken = self.absent(places, tokens, at + 1, 0, at);
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
        let said = match self.longest(&kinds_of(&sets), tokens, at) {
            Some((kind, member, count)) => {
                let ids: Vec<_> = sets.iter().filter(|s| s.1.ty.members() == Some(kind)).copied().collect();
                Some((ids, Membership::Absent(member), count))
            }
            None => sets.iter().find_map(|s| {
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

    /// `60/40`: how many tokens of numbers, joined by signs, add up to a whole.
    fn ratio(&self, tokens: &[Token], at: usize) -> usize {
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
    fn share(&mut self, tokens: &[Token], at: usize) -> usize {
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

    fn dimension(&self, attribute: &Attribute) -> Option<&'a crate::quantity::Dimension> {
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

    /// `30 x 25 cm` or `30 cm x 25 cm`: how many tokens that takes.
    fn sized(&mut self, tokens: &[Token], at: usize) -> usize {
        let is = |i: usize, kind| tokens.get(i).is_some_and(|t: &Token| t.kind == kind);
        let text = |i: usize| tokens.get(i).map_or("", |t| t.text.as_str());
        let all = self.resolver.attributes(|a| a.speech.times.is_some());
        let Some((first, second, dimension)) =
            all.into_iter().find_map(|(id, a)| Some((id, a.speech.times?, self.dimension(a)?)))
        else {
            return 0;
        };
        let own = self.unit(tokens, at + 1, |name| name == dimension.name);
        let sign = at + 1 + own.as_ref().map_or(0, |u| u.1);
        if !(is(at, TokenKind::Number)
            && is(sign, TokenKind::Sign)
            && TIMES.contains(&text(sign).to_lowercase().as_str()))
        {
            return 0;
        }
        let count = |unit: usize| sign + 2 + unit - at;
        let Some((unit, used)) = self.unit(tokens, sign + 2, |name| name == dimension.name) else {
            let size = format!("{} x {}", text(at), text(sign + 1));
            let mistake = Mistake::new("job::bad-quantity", format!("`{size}` has no unit"));
            self.mistake(mistake.help(format!("write it like {size} cm")), span_of(tokens, at, count(0)));
            return count(0);
        };
        let span = span_of(tokens, at, count(used));
        let width = own.map_or_else(|| unit.clone(), |u| u.0);
        self.quantity(first, 0, &format!("{} {width}", text(at)), span);
        self.quantity(second, 0, &format!("{} {unit}", text(sign + 1)), span);
        count(used)
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
    fn things_counted(&mut self, number: &str, tokens: &[Token], at: usize) -> usize {
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

    /// A word of several names: `poly-cotton`, `CO60`. Whether it was one.
    fn joined(&mut self, kinds: &[KindId], token: &Token) -> bool {
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
                    .help(format!("say {}", one_of(&names)));
                self.mistake(mistake, token.span);
                Loose::Several
            }
        }
    }

    /// A name whose words stand apart: `hi-vis polyester vest`. The one with the most words counts, if only one thing
    /// has it; also where its other words are.
    fn parted_name(&self, kinds: &[KindId], tokens: &[Token], at: usize) -> Option<(KindId, usize, Vec<usize>)> {
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
    fn unknown_cloth(&mut self, kinds: &[KindId], what: &str, tokens: &[Token], at: usize) {
        let Some(token) = tokens.get(at) else { return };
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

    /// Colour and ink of a layer, and what is stirred in.
    fn coat(&mut self, coat: &Coat, layer: usize) {
        // A layer whose ink is what is asked for.
        if coat.ink.is_empty() {
            return;
        }
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
            if token.kind == TokenKind::Number {
                let count = self.counted(&token.text, &coat.ink, at);
                if count > 0 {
                    at += count;
                    continue;
                }
            }
            match self.meaning(&choices, &coat.ink, at) {
                Some((Meaning::Member(kind, member), count)) => {
                    let words = text_of(&coat.ink, at, count);
                    let span = span_of(&coat.ink, at, count);
                    for (id, attribute) in choices.iter().filter(|c| c.1.ty.members() == Some(kind)) {
                        named_ink |= attribute.material;
                        let said = self.resolver.say(*id, layer, Domain::Choice(Mask::one(member)), &words);
                        self.said(said, span);
                    }
                    at += count;
                }
                Some((meaning, count)) => {
                    self.means(meaning, &text_of(&coat.ink, at, count), span_of(&coat.ink, at, count));
                    at += count;
                }
                None => {
                    if !matches!(token.kind, TokenKind::Mark | TokenKind::Filler) {
                        self.unknown(&kinds, "ink or colour", &coat.ink, at);
                    }
                    at += 1;
                }
            }
        }
        if !named_ink && self.problems.is_empty() {
            let span = span_of(&coat.ink, 0, coat.ink.len().max(1));
            let ink_kinds: Vec<KindId> =
                choices.iter().filter(|c| c.1.material).filter_map(|c| c.1.ty.members()).collect();
            let mut mistake = self.resolver.unknown(&ink_kinds, "ink", "");
            mistake.code = "question::no-ink";
            mistake.message = "no ink is named".to_owned();
            self.mistake(mistake, span);
        }
        for clause in &coat.clauses {
            self.clause(clause, layer);
        }
    }

    fn hex(&mut self, choices: &Places<'a>, layer: usize, token: &Token) {
        let followed =
            |id: AttributeId| self.resolver.model.attributes.iter().any(|a| a.follows.is_some_and(|f| f.0 == id));
        let Some((id, _)) = choices.iter().find(|c| followed(c.0)) else { return };
        let said = self.resolver.hex(*id, layer, &token.text);
        self.said(said, token.span);
    }

    fn cloth_places(&self) -> Vec<(AttributeId, &'a Attribute)> {
        self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"))
    }

    /// The cloth and what else an order form says of it.
    pub(super) fn cloth(&mut self, tokens: &[Token]) {
        self.read(&self.cloth_places(), "word for a cloth", tokens);
    }

    pub(super) fn named(&mut self, places: &Places<'a>, kind: KindId, member: usize, words: &str, span: Span) {
        for (id, attribute) in places.iter().filter(|p| p.1.ty.members() == Some(kind)) {
            match attribute.ty {
                AttributeType::Blend(_) => self.shares.push(Part::Member(member, span), words),
                AttributeType::Set(_) => {
                    let said = self.resolver.say_of_set(*id, 0, Membership::Present(member), words);
                    self.said(said, span);
                }
                _ => {
                    let said = self.resolver.say(*id, 0, Domain::Choice(Mask::one(member)), words);
                    self.said(said, span);
                }
            }
        }
    }
}

pub(super) fn kinds_of(places: &Places<'_>) -> Vec<KindId> {
    places.iter().filter_map(|p| p.1.ty.members()).collect()
}
