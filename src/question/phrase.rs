//! What the words of a question name.
//!
//! Every word must be accounted for: it names something, is declared to say nothing, or is pointed at. Which words
//! there are is knowledge; this stage knows of attributes and their members only.

use super::bare::give_units;
use super::bases::layered;
use super::behind::{SaidBehind, take_behind};
use super::between::join_ranges;
use super::loose::{found, of_one_ink};
use super::naming::gathered;
use super::parse::{Clause, Coat, Order, Token, TokenKind, written};
use super::shares::{Part, Shares, problem};
use super::tokens::{Runs, numbers_behind, span_of, text_of, words_from};
use crate::diagnostic::Problem;
use crate::job::Domain;
use crate::model::{Attribute, AttributeId, AttributeType, KindId, Mask, Model};
use crate::names::Names;
use crate::resolve::{MAX_LAYERS, Membership, Mistake, Resolver};
use crate::source::Span;
use crate::statement::{Stated, Statement};
use crate::words::folded;

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
    let mut order = order.clone();
    join_ranges(&mut order, model);
    let with_units = give_units(&mut order, model, names);
    let behind = take_behind(&mut order, model, names);
    let (order, mut taken) = of_one_ink(&order, model, names);
    let (order, based) = layered(&order, model, names);
    taken.extend(based);
    let layers = order.stack.len().max(1);
    if layers > MAX_LAYERS {
        let span = order.stack.first().map_or_else(Span::default, |c| span_of(&c.ink, 0, c.ink.len()));
        let problem = Problem::new("question::too-many", span, "the first", format!("{layers} layers are too many"));
        return Err(vec![problem.help(format!("a print has at most {MAX_LAYERS} layers"))]);
    }
    let mut reader = PhraseReader::new(Resolver::new(model, names, layers));
    reader.notes = with_units;
    reader.notes.extend(taken);
    let bare =
        |word: &str| model.attributes.iter().any(|a| a.clause.as_deref() == Some(word) && a.speech.bare_from.is_some());
    reader.set_from = order
        .clauses
        .iter()
        .filter_map(|c| match c {
            Clause::Quantity(word, tokens) if bare(word) => tokens.first().map(|t| t.span.start),
            _ => None,
        })
        .collect();
    reader.set_aside = behind.iter().filter(|b| b.alone).map(|b| b.span.end).collect();
    for (position, coat) in order.stack.iter().enumerate() {
        reader.coat(coat, layers - 1 - position);
    }
    reader.layer = layers - 1;
    reader.name_inks();
    reader.cloth(&order.cloth);
    let (ends, behind): (Vec<_>, Vec<_>) = behind.into_iter().partition(|s| s.most.is_some());
    for said in behind {
        reader.notes.extend(said.note);
        if let (None, Some(says)) = (said.member, said.aside) {
            reader.means(Meaning::Aside(says), &said.words, said.span);
        }
        if let Some(member) = said.member {
            let done = reader.resolver.say_of_set(said.attribute, 0, Membership::Present(member), &said.words);
            reader.said(done, said.span);
        }
    }
    let place = reader.resolver.stated.statements.len();
    for clause in &order.clauses {
        reader.clause(clause, layers - 1);
    }
    reader.finish_blend(&order.cloth, place);
    for said in ends {
        reader.at_most(said);
    }
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

/// Reads colour and ink of one layer by themselves; nothing where no ink is named.
///
/// # Errors
/// As [`resolve_order`]; also words of anything but the layer.
pub fn resolve_coat<'a>(
    tokens: Vec<Token>,
    layer: usize,
    resolver: &Resolver<'a>,
) -> Option<Result<Resolver<'a>, Vec<Problem>>> {
    let places = resolver.attributes(|a| a.phrase.as_deref() == Some("ink") && a.material);
    if found(&kinds_of(&places), &[], &tokens, resolver.names).is_empty() {
        return None;
    }
    let span = span_of(&tokens, 0, tokens.len().max(1));
    let before = resolver.stated.statements.len();
    let mut reader = PhraseReader::new(resolver.clone());
    reader.coat(&Coat { ink: tokens, clauses: Vec::new(), asked_for: false }, layer);
    let beside = |s: &Statement| resolver.attribute(s.attribute).is_some_and(|a| !a.per_layer);
    if let Some(other) = reader.resolver.stated.statements.iter().skip(before).find(|s| beside(s)) {
        let mistake = Mistake::new("question::syntax", format!("`{}` is not said of a layer", other.words));
        reader.mistake(mistake.help("name colour and ink alone here"), span);
    }
    Some(if reader.problems.is_empty() { Ok(reader.resolver) } else { Err(reader.problems) })
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
    /// What is named is mixed with something.
    Blended,
    /// A part of the article, by the attribute that holds its cloth.
    Part(AttributeId),
    /// It can mean several things.
    Unclear(String),
    /// It is heard, and nothing follows from it; with what is to be said of it.
    Aside(String),
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
    /// The layer that is spoken of.
    pub layer: usize,
    /// Where a setting ends that another may stand right behind, bare: `160 °C, 60 s`.
    pub set_to: Option<u32>,
    /// Where settings begin that are said with their word: `at 160 °C`.
    pub set_from: Vec<u32>,
    /// Where quantities end that were heard and not weighed, right behind which a setting may stand bare.
    pub set_aside: Vec<u32>,
    /// What is read next is joined by a sign to something of this kind: `maroon/white`.
    joined_to: Option<KindId>,
    /// The number of pieces was that of things: `40 tees`.
    pub counts_things: bool,
    /// Or stood behind a sign of times: `x 40`.
    pub counted_times: bool,
    /// Where things stand of which two may be said, and whether two were: `tees and hoodies`.
    pub eithers: Vec<Span>,
    pub two_things: bool,
    /// Layers of which no ink is named, each with its place and whether it has a colour.
    inkless: Vec<(usize, Span, bool)>,
    /// Fibres of which the cloth is not, each with its place and its words.
    pub not_of: Vec<(usize, Span, String)>,
}

impl<'a> PhraseReader<'a> {
    pub(super) fn new(resolver: Resolver<'a>) -> Self {
        let layer = resolver.stated.layers.saturating_sub(1);
        let (problems, parts, notes, inkless) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Self {
            resolver,
            problems,
            shares: Shares::default(),
            parts,
            notes,
            layer,
            set_to: None,
            set_from: Vec::new(),
            set_aside: Vec::new(),
            joined_to: None,
            counts_things: false,
            counted_times: false,
            eithers: Vec::new(),
            two_things: false,
            inkless,
            not_of: Vec::new(),
        }
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
        let (runs, numbered) = (Runs::of(tokens, at), Runs::numbered(tokens, at));
        // `Garment: tee`, `Colour=black`: what stands before such a mark is a label.
        let label = places.iter().map(|p| runs.length(&p.1.speech.called)).max().unwrap_or(0);
        if label > 0 && tokens.get(at + label).is_some_and(|t| matches!(t.text.as_str(), ":" | "=")) {
            return Some((Meaning::Idle, label));
        }
        let mut best: Option<(Meaning, usize)> = None;
        // What it says is only made of the words that are taken.
        let mut offer = |count: usize, meaning: &dyn Fn() -> Meaning| {
            if count > best.as_ref().map_or(0, |b| b.1) {
                best = Some((meaning(), count));
            }
        };
        for (id, a) in places {
            offer(runs.length(&a.words.0), &|| Meaning::YesNo(*id, true));
            offer(runs.length(&a.words.1), &|| Meaning::YesNo(*id, false));
            if let Some((says, count)) = runs.find(&a.speech.unclear) {
                offer(count, &|| Meaning::Unclear(says.clone()));
            }
            let aside = &a.speech.aside;
            let in_a_row = runs.before_numbers(aside).map(|(says, words)| (says, numbers_behind(tokens, at, words)));
            for (says, count) in [runs.find(aside), numbered.find(aside), in_a_row].into_iter().flatten() {
                offer(count, &|| Meaning::Aside(says.clone()));
            }
        }
        if let Some((kind, member, count)) = self.longest(&kinds_of(places), tokens, at) {
            offer(count, &|| Meaning::Member(kind, member));
        }
        for (id, a) in places {
            let speech = &a.speech;
            offer(runs.length(&speech.none), &|| Meaning::None(*id));
            for (word, members) in &speech.lacks {
                offer(runs.length([word]), &|| Meaning::Lacks(*id, members.clone()));
            }
            for (word, members) in &speech.mixtures {
                offer(runs.length([word]), &|| Meaning::Mixture(members.clone()));
            }
            offer(runs.length(&speech.others), &|| Meaning::Others);
            offer(runs.length(&speech.blended), &|| Meaning::Blended);
            offer(runs.among(&speech.idle).max(runs.length(&speech.called)), &|| Meaning::Idle);
        }
        // A part of the article may have a cloth that is kept apart.
        let kinds = kinds_of(places);
        for (id, a) in self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(k) if kinds.contains(&k))) {
            offer(runs.length(&a.speech.parts), &|| Meaning::Part(id));
        }
        best
    }

    /// Reads a phrase about these places, layer 0.
    pub(super) fn read(&mut self, places: &Places<'a>, what: &str, tokens: &[Token]) {
        let kinds = kinds_of(places);
        // Names that may mean something else wait until the others are settled.
        let mut waiting: Vec<(KindId, usize, usize, usize)> = Vec::new();
        // So do names that may be labels of parts.
        let mut labels: Vec<(AttributeId, KindId, usize, String, Span)> = Vec::new();
        // And names that say where the print stands, where they are no thing of their own: `tee, neck label`.
        let mut prints: Vec<(AttributeId, KindId, usize, String, Span)> = Vec::new();
        // Words that belong to a name which began before them.
        let mut taken: Vec<usize> = Vec::new();
        // A word for several fibres says nothing more beside a whole label.
        let mut unclear: Vec<(String, String, Span)> = Vec::new();
        // What was named last, and where it ends.
        let mut last: Option<(KindId, usize)> = None;
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let sign = |t: &Token| matches!(folded(&t.text).as_str(), "/" | "&" | "and");
            let joined = |l: &(KindId, usize)| {
                l.1 + 1 == at && tokens.get(l.1).is_some_and(sign) && self.stands_with_another(places, tokens, at, l.0)
            };
            self.joined_to = last.filter(joined).map(|l| l.0);
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
                at += self.times_counted(tokens, at).max(self.quoted(places, tokens, at)).max(1);
                continue;
            }
            if token.kind == TokenKind::Negation {
                let count = self.negated(places, tokens, at);
                if count > 0 {
                    at += count;
                    continue;
                }
            }
            let added = self.added(tokens, at);
            if added > 0 {
                at += added;
                continue;
            }
            // A name may begin with a number and its unit: `60 °C wash`.
            let close = tokens.get(at + 1).is_some_and(|t| t.kind == TokenKind::Word && t.span.start == token.span.end);
            let named = |(meaning, count): (Meaning, usize)| match meaning {
                Meaning::Idle | Meaning::Aside(_) | Meaning::Unclear(_) => count > 1,
                // `190T`
                Meaning::Member(..) => count > 2 || count == 2 && close,
                _ => count > 2,
            };
            // What belongs to a name that began before is part of no other: `hi-vis … softshell jacket`.
            let open = taken.iter().filter(|t| **t > at).min().and_then(|end| tokens.get(..*end)).unwrap_or(tokens);
            let numbered = token.kind == TokenKind::Number && self.meaning(places, open, at).is_some_and(named);
            let ratio = if numbered { 0 } else { self.ratio(tokens, at) };
            if ratio > 0 {
                for i in (at..at + ratio).step_by(2) {
                    self.share(tokens, i);
                }
                at += ratio;
                continue;
            }
            let count = if numbered { 0 } else { self.measured(places, tokens, at) };
            if count > 0 {
                at += count;
                continue;
            }
            // `jet dryer` is a machine and no colour.
            let machine = self.machine_listed(open, at);
            match self.meaning(places, open, at).filter(|(_, count)| machine <= *count) {
                Some((Meaning::Member(kind, member), count)) => {
                    let text = text_of(tokens, at, count);
                    if let Some(part) = self.part(&kinds, tokens, at, count) {
                        labels.push((part, kind, member, text, span_of(tokens, at, count)));
                        at += count;
                        continue;
                    }
                    if let Some((kind, member, from, more)) = self.named_around(tokens, at, count) {
                        let words = match from == at + count {
                            true => text_of(tokens, at, count + more),
                            false => format!("{} {}", text_of(tokens, at, count), text_of(tokens, from, more)),
                        };
                        self.named(places, kind, member, &words, span_of(tokens, at, from + more - at));
                        taken.extend(from..from + more);
                    }
                    let elsewhere = kinds.iter().any(|k| !self.resolver.names.loosely(*k, &text).is_empty());
                    let of_print = self.resolver.attributes(|a| a.speech.of_print.contains(&folded(&text)));
                    last = Some((kind, at + count));
                    if let Some((id, _)) = of_print.first() {
                        prints.push((*id, kind, member, text, span_of(tokens, at, count)));
                    } else if elsewhere {
                        waiting.push((kind, member, at, count));
                    } else {
                        self.named(places, kind, member, &text, span_of(tokens, at, count));
                    }
                    at += count;
                    continue;
                }
                Some((Meaning::Unclear(says), count)) if self.is_fibre_word(places, tokens, at, count) => {
                    unclear.push((says, text_of(tokens, at, count), span_of(tokens, at, count)));
                    at += count;
                    continue;
                }
                Some((meaning, count)) => {
                    let words = written(tokens.get(at..at + count).unwrap_or_default());
                    self.means(meaning, &words, span_of(tokens, at, count));
                    at += count;
                    continue;
                }
                None => {}
            }
            if token.kind == TokenKind::Number {
                let alone = self.counted_alone(tokens, at).max(self.beyond_shares(tokens, at));
                at += if alone > 0 { alone } else { self.share(tokens, at) };
                continue;
            }
            if token.kind != TokenKind::Filler && !self.joined(&kinds, token) && !self.hyphened(places, &kinds, token) {
                match self.loose(places, tokens, at, 0) {
                    Loose::One(kind, member) => self.named(places, kind, member, &token.text, token.span),
                    Loose::Several => {}
                    Loose::No if self.said_already(places, &token.text) => {}
                    Loose::No if self.compound(places, &kinds, token) => {}
                    // `…, flash, …`: a machine in a list of what the job has.
                    Loose::No if self.machine_listed(tokens, at) > 0 => {
                        let count = self.machine_listed(tokens, at);
                        self.machines(&[tokens.get(at..at + count).unwrap_or(&[]).to_vec()]);
                        at += count;
                        continue;
                    }
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
        self.joined_to = None;
        for (says, words, span) in unclear {
            match self.shares.is_label(crate::job::whole(self.resolver.model)) {
                true => self.means(Meaning::Aside("the fibres of the label count".to_owned()), &words, span),
                false => self.means(Meaning::Unclear(says), &words, span),
            }
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
        for (id, kind, member, text, span) in prints {
            let other =
                |p: &(AttributeId, &Attribute)| p.1.ty.members() == Some(kind) && self.resolver.stated.mentions(p.0, 0);
            match places.iter().any(other) {
                true => self.means(Meaning::YesNo(id, true), &text, span),
                false => self.named(places, kind, member, &text, span),
            }
        }
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

    /// Whether between the marks around a place something of another kind is named as well.
    fn stands_with_another(&self, places: &Places<'a>, tokens: &[Token], at: usize, kind: KindId) -> bool {
        let mark = |t: &Token| t.kind == TokenKind::Mark;
        let from = tokens.iter().take(at).rposition(mark).map_or(0, |i| i + 1);
        let end = tokens.iter().skip(at).position(mark).map_or(tokens.len(), |i| at + i);
        let other = |i| matches!(self.meaning(places, tokens, i), Some((Meaning::Member(k, _), _)) if k != kind);
        (from..end).any(other)
    }

    /// Whether words that can mean several things are words for fibres.
    fn is_fibre_word(&self, places: &Places<'a>, tokens: &[Token], at: usize, count: usize) -> bool {
        let words = folded(&text_of(tokens, at, count));
        let mut blends = places.iter().filter(|p| matches!(p.1.ty, AttributeType::Blend(_)));
        blends.any(|p| p.1.speech.unclear.contains_key(&words))
    }

    /// `"STAFF" on the back`: a text between quotation marks that names nothing is what the print says. How many tokens
    /// that takes.
    fn quoted(&mut self, places: &Places<'a>, tokens: &[Token], at: usize) -> usize {
        let quote = |t: &Token| matches!(t.text.as_str(), "\"" | "“" | "”");
        if !tokens.get(at).is_some_and(quote) {
            return 0;
        }
        let Some(count) = tokens.iter().skip(at + 1).position(quote) else { return 0 };
        let named = |i: usize| self.meaning(places, tokens, i).is_some() || self.machine_named(tokens, i) > 0;
        if count == 0 || (at + 1..at + 1 + count).any(named) {
            return 0;
        }
        let words = text_of(tokens, at + 1, count);
        let note = format!("`{words}` was heard and not weighed: it was taken for the text of the print");
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
        count + 2
    }

    /// An upper end of what nothing else is said of.
    fn at_most(&mut self, said: SaidBehind) {
        let SaidBehind { words, span, aside, most, .. } = said;
        let Some((id, high)) = most else { return };
        let Some(attribute) = self.resolver.attribute(id) else { return };
        let layer = if attribute.per_layer { self.layer } else { 0 };
        let says = aside.unwrap_or_default();
        match Domain::everything(attribute.ty, self.resolver.model) {
            Domain::Number { low, .. } if !self.resolver.stated.mentions(id, layer) => {
                let label = &attribute.label;
                self.notes.push(format!("`{words}` was taken as the most that the {label} may be: {says}"));
                let done = self.resolver.say(id, layer, Domain::Number { low, high }, &words);
                self.said(done, span);
            }
            _ => self.means(Meaning::Aside(says), &words, span),
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
            Meaning::Aside(says) => {
                let note = format!("`{words}` was heard and not weighed: {says}");
                if !self.notes.contains(&note) {
                    self.notes.push(note);
                }
            }
            Meaning::Others => self.shares.push(Part::Others(span), words),
            Meaning::Blended => self.shares.push(Part::Blended(span), words),
            Meaning::Part(id) => self.parts.push((id, words.to_owned(), span)),
            Meaning::Unclear(says) => {
                let mistake = Mistake::new("question::unclear", format!("`{words}` can mean several things"));
                self.mistake(mistake.meaning(&says), span);
            }
        }
    }

    /// Colour and ink of a layer, and what is stirred in.
    fn coat(&mut self, coat: &Coat, layer: usize) {
        self.layer = layer;
        if coat.asked_for && coat.ink.is_empty() {
            return;
        }
        let ink = gathered(&coat.ink, self.resolver.model, self.resolver.names);
        let choices = self.resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
        let kinds = kinds_of(&choices);
        let mut at = 0;
        let (mut named_ink, mut coloured) = (coat.asked_for, false);
        let mut name = None;
        while let Some(token) = ink.get(at) {
            if token.text.starts_with('#') {
                coloured = true;
                self.hex(&choices, layer, token);
                at += 1;
                continue;
            }
            let count = self.measured(&[], &ink, at).max(self.times_counted(&ink, at)).max(self.no_machine(&ink, at));
            if count > 0 {
                at += count;
                continue;
            }
            match self.meaning(&choices, &ink, at) {
                Some((Meaning::Member(kind, member), count)) => {
                    let words = text_of(&ink, at, count);
                    let span = span_of(&ink, at, count);
                    for (id, attribute) in choices.iter().filter(|c| c.1.ty.members() == Some(kind)) {
                        named_ink |= attribute.material;
                        coloured |= !attribute.material;
                        name = attribute.material.then_some(at..at + count).or(name);
                        let said = self.resolver.say(*id, layer, self.resolver.meant(kind, member, &words), &words);
                        self.said(said, span);
                    }
                    at += count;
                }
                Some((meaning, count)) => {
                    self.means(meaning, &text_of(&ink, at, count), span_of(&ink, at, count));
                    at += count;
                }
                None => {
                    let beside = self.pieces_before(&choices, &ink, at).max(self.heard_beside(&ink, at));
                    let beside = if beside == 0 { self.of_print(&ink, at) } else { beside };
                    // `white plastisol, flash, red plastisol`
                    let listed = if beside == 0 { self.machine_listed(&ink, at) } else { 0 };
                    if listed > 0 {
                        self.machines(&[ink.get(at..at + listed).unwrap_or(&[]).to_vec()]);
                        at += listed;
                        continue;
                    }
                    if beside == 0 && !matches!(token.kind, TokenKind::Mark | TokenKind::Filler) {
                        self.unknown(&kinds, "ink or colour", &ink, at);
                    }
                    at += beside.max(1);
                }
            }
        }
        if let (false, Some(name)) = (coloured, name) {
            self.colour_of_name(&choices, ink.get(name).unwrap_or(&[]), layer);
        }
        if !named_ink && self.problems.is_empty() {
            self.inkless.push((layer, span_of(&coat.ink, 0, coat.ink.len().max(1)), coloured));
        }
        for clause in &coat.clauses {
            self.clause(clause, layer);
        }
    }

    /// `low bleed white`: a colour behind the first word of an ink's name is said as well.
    fn colour_of_name(&mut self, choices: &Places<'a>, name: &[Token], layer: usize) {
        let colours: Vec<_> = choices.iter().filter(|c| !c.1.material).copied().collect();
        let named = |at: usize| self.longest(&kinds_of(&colours), name, at);
        let Some((at, (kind, member, count))) = (1..name.len()).find_map(|at| Some((at, named(at)?))) else { return };
        for (id, _) in colours.iter().filter(|c| c.1.ty.members() == Some(kind)) {
            let said = self.resolver.say(*id, layer, Domain::Choice(Mask::one(member)), &text_of(name, at, count));
            self.said(said, span_of(name, at, count));
        }
    }

    /// `white over black plastisol`: a colour by itself is in the ink of the coloured layer below it.
    fn name_inks(&mut self) {
        let choices = self.resolver.attributes(|a| a.phrase.as_deref() == Some("ink"));
        let mut inkless = std::mem::take(&mut self.inkless);
        inkless.sort_by_key(|i| i.0);
        for (layer, span, coloured) in inkless {
            let below = |material: bool| {
                let of = |id: AttributeId| choices.iter().any(|c| c.0 == id && c.1.material == material);
                let mut all = self.resolver.stated.statements.iter();
                all.find(|s| layer.checked_sub(1) == Some(s.layer) && of(s.attribute)).cloned()
            };
            if let (true, Some(ink), Some(_)) = (coloured, below(true), below(false)) {
                self.notes.push(format!("{} was taken as the ink of every layer that has a colour alone", ink.words));
                let said = self.resolver.say(ink.attribute, layer, ink.domain, &ink.words);
                self.said(said, span);
                continue;
            }
            let kinds: Vec<KindId> = choices.iter().filter(|c| c.1.material).filter_map(|c| c.1.ty.members()).collect();
            let mut mistake = self.resolver.unknown(&kinds, "ink", "");
            mistake.code = "question::no-ink";
            mistake.message = "no ink is named".to_owned();
            self.mistake(mistake, span);
        }
    }

    pub(super) fn hex(&mut self, choices: &Places<'a>, layer: usize, token: &Token) {
        let followed =
            |id: AttributeId| self.resolver.model.attributes.iter().any(|a| a.follows.is_some_and(|f| f.0 == id));
        let Some((id, _)) = choices.iter().find(|c| followed(c.0)) else { return };
        let said = self.resolver.hex(*id, layer, &token.text);
        self.said(said, token.span);
    }

    /// `250 off-white plastisol`: a number that begins the words of an ink is of pieces. How many words that takes.
    fn pieces_before(&mut self, choices: &Places<'a>, ink: &[Token], at: usize) -> usize {
        let Some(number) = ink.get(at).filter(|t| t.kind == TokenKind::Number) else { return 0 };
        let counting = self.resolver.attributes(|a| a.speech.counts.is_some());
        let found = counting.first().and_then(|(id, a)| Some((*id, a.speech.counted.first()?)));
        let (Some((id, unit)), true) = (found, self.longest(&kinds_of(choices), ink, at + 1).is_some()) else {
            return 0;
        };
        let first = ink.iter().take(at).all(|t| matches!(t.kind, TokenKind::Mark | TokenKind::Filler));
        if !first || self.resolver.stated.mentions(id, 0) {
            return 0;
        }
        self.notes.push(format!("{} was taken as the number of pieces", number.text));
        let text = format!("{} {unit}", number.text);
        self.quantity(id, 0, &text, number.span);
        1
    }

    /// `neck label white plastisol`: what is said of the print may stand with its ink. How many words that takes.
    fn of_print(&mut self, tokens: &[Token], at: usize) -> usize {
        let runs = Runs::of(tokens, at);
        let all = self.resolver.attributes(|a| !a.speech.of_print.is_empty());
        let said = all.iter().map(|(id, a)| (*id, runs.length(&a.speech.of_print)));
        let Some((id, count @ 1..)) = said.max_by_key(|s| s.1) else { return 0 };
        self.means(Meaning::YesNo(id, true), &text_of(tokens, at, count), span_of(tokens, at, count));
        count
    }

    /// Words of an order that change nothing, wherever they stand: `asap`. How many that takes.
    pub(super) fn heard_beside(&mut self, tokens: &[Token], at: usize) -> usize {
        match self.meaning(&self.cloth_places(), tokens, at) {
            Some((Meaning::Aside(says), count)) => {
                self.means(Meaning::Aside(says), &text_of(tokens, at, count), span_of(tokens, at, count));
                count
            }
            Some((Meaning::Idle, count)) => count,
            _ => 0,
        }
    }

    /// How many words name a machine from here, and nothing else: up to the next mark or number, or by a name of several
    /// words.
    pub(super) fn machine_listed(&self, tokens: &[Token], at: usize) -> usize {
        let apart = |t: Option<&Token>| t.is_none_or(|t| matches!(t.kind, TokenKind::Mark | TokenKind::Filler));
        let found = self.machine_named(tokens, at);
        let next = tokens.get(at + found);
        let ends = apart(next) || next.is_some_and(|t| t.kind == TokenKind::Number);
        let alone = apart(at.checked_sub(1).and_then(|i| tokens.get(i))) && ends;
        if alone || found > 1 { found } else { 0 }
    }

    fn cloth_places(&self) -> Vec<(AttributeId, &'a Attribute)> {
        self.resolver.attributes(|a| a.phrase.as_deref() == Some("fabric"))
    }

    /// Says a value beside another of the same; whether the answer is now to hold for either.
    pub(super) fn either(&mut self, id: AttributeId, layer: usize, domain: Domain, words: &str, span: Span) -> bool {
        // `compression shirts 80/20, black shirts`: the last word of a longer name is the same thing once more.
        let again = format!(" {}", folded(words));
        let earlier = self.resolver.stated.statements.iter().find(|s| s.attribute == id && s.layer == layer);
        if self.joined_to.is_none() && earlier.is_some_and(|s| folded(&s.words).ends_with(&again)) {
            return false;
        }
        match self.resolver.say_either(id, layer, domain, words) {
            Ok(None) => false,
            Ok(Some(both)) => {
                self.notes.push(format!("the answer holds for either: {both}"));
                true
            }
            Err(mistake) => {
                self.mistake(mistake, span);
                false
            }
        }
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
                    let domain = self.resolver.meant(kind, member, words);
                    if !(attribute.speech.either || self.joined_to == Some(kind)) {
                        let said = self.resolver.say(*id, 0, domain, words);
                        self.said(said, span);
                        continue;
                    }
                    self.eithers.push(span);
                    self.two_things |= self.either(*id, 0, domain, words, span);
                }
            }
        }
    }
}

pub(super) fn kinds_of(places: &Places<'_>) -> Vec<KindId> {
    places.iter().filter_map(|p| p.1.ty.members()).collect()
}
