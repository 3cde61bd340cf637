//! A composition: shares and fibres in the order they are written, and what they come to.

use crate::diagnostic::Problem;
use crate::job::Domain;
use crate::model::AttributeId;
use crate::resolve::{Mistake, Resolver, Share};
use crate::source::Span;

/// Numbers and fibres of a composition, in the order they are written.
#[derive(Default)]
pub(super) struct Shares {
    parts: Vec<Part>,
    /// Names for several fibres at once: members, place.
    mixtures: Vec<(Vec<usize>, Span)>,
    /// All of it in the asker's words.
    pub words: Vec<String>,
}

pub(super) enum Part {
    Share(i64, Span),
    Member(usize, Span),
    /// Fibres that are not named.
    Others(Span),
}

impl Part {
    pub(super) fn span(&self) -> Span {
        match self {
            Self::Share(_, s) | Self::Member(_, s) | Self::Others(s) => *s,
        }
    }
}

impl Shares {
    pub(super) fn push(&mut self, part: Part, words: &str) {
        self.parts.push(part);
        self.words.push(words.to_owned());
    }

    pub(super) fn mixture(&mut self, members: Vec<usize>, words: &str, span: Span) {
        self.mixtures.push((members, span));
        self.words.push(words.to_owned());
    }

    /// The place of each.
    pub(super) fn spans(&self) -> impl Iterator<Item = Span> {
        self.parts.iter().map(Part::span).chain(self.mixtures.iter().map(|m| m.1))
    }

    pub(super) fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.mixtures.is_empty()
    }

    /// From the first to the last part.
    pub(super) fn span(&self) -> Span {
        let start = self.spans().map(|s| s.start).min().unwrap_or(0);
        let end = self.spans().map(|s| s.end).max().unwrap_or(start);
        Span { start, end, ..self.spans().next().unwrap_or_default() }
    }

    /// A name for several fibres gives the fibres where none is named, and must agree with those that are.
    fn take_mixtures(&mut self) -> Result<(), Problem> {
        let unclear = |span: Span| {
            Problem::new("question::mixture", span, "here", "this name and the fibres beside it do not agree")
                .help("write each fibre next to its share: 80% cotton 20% polyester")
        };
        for (members, span) in std::mem::take(&mut self.mixtures) {
            let named: Vec<usize> =
                self.parts.iter().filter_map(|p| if let Part::Member(m, _) = p { Some(*m) } else { None }).collect();
            if named.is_empty() {
                self.parts.extend(members.iter().map(|m| Part::Member(*m, span)));
            } else if !members.iter().all(|m| named.contains(m)) || named.len() != members.len() {
                return Err(unclear(span));
            }
        }
        Ok(())
    }

    /// The members that shares written without names stand for in the trade: `50/50`.
    fn unnamed(&self, id: AttributeId, resolver: &Resolver<'_>) -> Vec<Option<usize>> {
        let shares: Vec<&str> = self.words.iter().map(String::as_str).collect();
        let key = crate::words::folded(&shares.join("/"));
        let mixtures = resolver.attribute(id).map(|a| &a.speech.mixtures);
        let found = mixtures.and_then(|m| m.iter().find(|(word, _)| *word == key));
        found.map_or(Vec::new(), |(_, members)| members.iter().map(|m| Some(*m)).collect())
    }

    /// Pairs shares with fibres: `60 CO 40 PES`, `CO 60 PES 40`, `60/40 CO PES` or `CO PES 60/40`.
    pub(super) fn finish(mut self, id: AttributeId, resolver: &Resolver<'_>) -> Result<Domain, Problem> {
        let span = self.span();
        self.take_mixtures()?;
        let shares: Vec<i64> =
            self.parts.iter().filter_map(|p| if let Part::Share(s, _) = p { Some(*s) } else { None }).collect();
        let members: Vec<Option<usize>> = self
            .parts
            .iter()
            .filter_map(|p| match p {
                Part::Member(m, _) => Some(Some(*m)),
                Part::Others(_) => Some(None),
                Part::Share(..) => None,
            })
            .collect();
        let members = if members.is_empty() { self.unnamed(id, resolver) } else { members };
        if members.is_empty() {
            return Err(Problem::new(
                "question::shares-without-fibres",
                span,
                "of which fibres?",
                "shares are given, but no fibres",
            )
            .help("name the fibres too: 50/50 cotton polyester"));
        }
        if !shares.is_empty() && shares.len() != members.len() {
            let message = format!("{} shares are given for {} fibres", shares.len(), members.len());
            return Err(Problem::new("question::share-missing", span, "here", message)
                .help("give each fibre its share: 80% cotton 20% polyester"));
        }
        // Shares and fibres alternate, or one sort follows the other. Either way the n-th share belongs to the n-th
        // fibre, provided that they do not change order midway.
        let kinds: Vec<bool> = self.parts.iter().map(|p| matches!(p, Part::Share(..))).collect();
        let alternates = kinds.windows(2).all(|w| w.first() != w.last());
        let blocks = kinds.windows(2).filter(|w| w.first() != w.last()).count() <= 1;
        if !(shares.is_empty() || alternates || blocks) {
            return Err(Problem::new(
                "question::shares-unclear",
                span,
                "here",
                "it is not clear which share belongs to which fibre",
            )
            .help("write each fibre next to its share: 80% cotton 20% polyester"));
        }
        let share = |i: usize| -> Option<Share> { shares.get(i).map(|s| (*s, *s)) };
        let named: Vec<(usize, Option<Share>)> =
            members.iter().enumerate().filter_map(|(i, m)| m.map(|m| (m, share(i)))).collect();
        let others: Vec<Option<Share>> =
            members.iter().enumerate().filter(|(_, m)| m.is_none()).map(|(i, _)| share(i)).collect();
        resolver.blend(id, &named, &others).map_err(|m| problem(m, span))
    }
}

/// The problem of a mistake at a place.
pub(super) fn problem(mistake: Mistake, span: Span) -> Problem {
    let mut problem = Problem::new(mistake.code, span, "here", mistake.message);
    problem.help = mistake.help;
    problem
}
