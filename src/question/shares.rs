//! A composition: shares and fibres in the order they are written, and what they come to.

use crate::diagnostic::Problem;
use crate::job::Domain;
use crate::model::{AttributeId, Mask};
use crate::resolve::{Mistake, Resolver, Share};
use crate::source::Span;

/// Numbers and fibres of a composition, in the order they are written, each in the asker's words.
#[derive(Default)]
pub(super) struct Shares {
    parts: Vec<(Part, String)>,
    /// Some of the shares are joined by a sign: `95/5`.
    pub(super) joined: bool,
}

/// Shares, each with its fibre.
type Pairs = Vec<(i64, usize)>;

pub(super) enum Part {
    Share(i64, Span),
    Member(usize, Span),
    /// A name for several fibres at once.
    Mixture(Vec<usize>, Span),
    /// Fibres that are not named.
    Others(Span),
    /// What is named is mixed with something.
    Blended(Span),
}

impl Part {
    pub(super) fn span(&self) -> Span {
        match self {
            Self::Share(_, s) | Self::Member(_, s) | Self::Mixture(_, s) | Self::Others(s) | Self::Blended(s) => *s,
        }
    }
}

impl Shares {
    pub(super) fn push(&mut self, part: Part, words: &str) {
        self.parts.push((part, words.to_owned()));
    }

    pub(super) fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    /// Whether every fibre has its share, and they add up.
    pub(super) fn is_label(&self, whole: i64) -> bool {
        self.sum() == whole && self.parts.len() == 2 * self.members()
    }

    /// How many members are named.
    pub(super) fn members(&self) -> usize {
        self.parts.iter().filter(|p| matches!(p.0, Part::Member(..))).count()
    }

    /// Whether a member is named, be it as one of several, or may be meant.
    pub(super) fn names(&self, member: usize) -> bool {
        self.parts.iter().any(|(part, _)| match part {
            Part::Member(own, _) => *own == member,
            Part::Mixture(all, _) => all.contains(&member),
            Part::Others(_) | Part::Blended(_) => true,
            Part::Share(..) => false,
        })
    }

    /// Whether members without a share are named before a place and behind it.
    pub(super) fn members_around(&self, place: Span) -> bool {
        let named = |p: &&(Part, String)| matches!(p.0, Part::Member(..));
        let before = self.parts.iter().filter(named).any(|p| p.0.span().end <= place.start);
        self.sum() == 0 && before && self.parts.iter().filter(named).any(|p| p.0.span().start >= place.end)
    }

    /// Whether a place is that of one of its parts.
    pub(super) fn holds(&self, place: Span) -> bool {
        self.parts.iter().map(|p| p.0.span()).any(|s| s.start <= place.start && place.end <= s.end)
    }

    /// All of it in the asker's words.
    pub(super) fn words(&self) -> String {
        self.parts.iter().map(|p| p.1.as_str()).collect::<Vec<_>>().join(" ")
    }

    /// From the first to the last part.
    pub(super) fn span(&self) -> Span {
        let spans = || self.parts.iter().map(|p| p.0.span());
        let start = spans().map(|s| s.start).min().unwrap_or(0);
        let end = spans().map(|s| s.end).max().unwrap_or(start);
        Span { start, end, ..spans().next().unwrap_or_default() }
    }

    /// Takes apart what is said of several parts of an article. `labels` are the words for them, `breaks` the places
    /// of what is neither. A composition stands behind its label (`shell 100% nylon; lining 100% polyester`) or before
    /// it (`100% nylon shell, 100% polyester lining`); one without a label is that of the article.
    pub(super) fn by_label(self, labels: &[Span], breaks: &[Span], whole: i64) -> Vec<(Option<usize>, Self)> {
        enum Event {
            Item(Part, String),
            Label(usize),
            Break,
        }
        let mut events: Vec<(u32, Event)> =
            self.parts.into_iter().map(|(p, w)| (p.span().start, Event::Item(p, w))).collect();
        let first_item = events.iter().map(|e| e.0).min().unwrap_or(0);
        let label_first = labels.iter().any(|l| l.start < first_item);
        events.extend(labels.iter().enumerate().map(|(i, l)| (l.start, Event::Label(i))));
        events.extend(breaks.iter().map(|b| (b.start, Event::Break)));
        events.sort_by_key(|e| e.0);
        let mut groups: Vec<(Option<usize>, Self)> = Vec::new();
        let mut open = Self::default();
        let mut label = None;
        let mut close = |open: &mut Self, label: Option<usize>| {
            if !open.is_empty() {
                groups.push((label, std::mem::take(open)));
            }
        };
        for (_, event) in events {
            match event {
                Event::Item(part, words) => open.push(part, &words),
                Event::Label(own) if label_first || open.is_empty() => {
                    close(&mut open, label);
                    label = Some(own);
                }
                Event::Label(own) => {
                    close(&mut open, Some(own));
                    label = None;
                }
                // A comma may stand within a composition; what adds up is whole.
                Event::Break if label_first || open.is_empty() => {}
                Event::Break if open.sum() == 0 || open.sum() >= whole => close(&mut open, label.take()),
                Event::Break => {}
            }
        }
        close(&mut open, label);
        groups
    }

    /// What the shares add up to.
    pub(super) fn sum(&self) -> i64 {
        self.parts.iter().map(|(p, _)| if let Part::Share(s, _) = p { *s } else { 0 }).sum()
    }

    /// `bamboo 95/5 elastane`: shares that are joined are of the fibres before and behind them.
    fn part_around(&mut self, whole: i64) {
        if let [(Part::Member(..), _), (Part::Share(a, _), _), (Part::Share(b, _), _), (Part::Member(..), _)] =
            self.parts.as_slice()
            && self.joined
            && a + b == whole
        {
            self.parts.swap(0, 1);
        }
    }

    /// A name for several fibres gives the fibres where none is named, and must agree with those that are.
    fn take_mixtures(&mut self) -> Result<(), Problem> {
        let (mixtures, mut parts): (Vec<_>, Vec<_>) =
            std::mem::take(&mut self.parts).into_iter().partition(|p| matches!(p.0, Part::Mixture(..)));
        for (mixture, words) in mixtures {
            let Part::Mixture(members, span) = mixture else { continue };
            let named: Vec<usize> =
                parts.iter().filter_map(|(p, _)| if let Part::Member(m, _) = p { Some(*m) } else { None }).collect();
            if named.is_empty() {
                parts.extend(members.iter().map(|m| (Part::Member(*m, span), words.clone())));
            } else if !members.iter().all(|m| named.contains(m)) || named.len() != members.len() {
                return Err(Problem::new(
                    "question::mixture",
                    span,
                    "here",
                    "this name and the fibres beside it do not agree",
                )
                .help("write each fibre next to its share: 80% cotton 20% polyester"));
            }
        }
        self.parts = parts;
        Ok(())
    }

    /// `cotton blend`: one fibre alone is mixed with its partner, or it is asked with what. Where several are named, or one
    /// is said to be all of it, the word says nothing.
    fn take_blended(&mut self, id: AttributeId, resolver: &Resolver<'_>) -> Result<(), Problem> {
        let Some(at) = self.parts.iter().position(|p| matches!(p.0, Part::Blended(..))) else { return Ok(()) };
        let (whole, named) = (self.span(), self.words());
        let span = self.parts.get(at).map(|p| p.0.span()).unwrap_or_default();
        self.parts.retain(|p| !matches!(p.0, Part::Blended(..)));
        let only = match self.parts.iter().find(|p| !matches!(p.0, Part::Share(..))) {
            Some((Part::Member(m, _), _)) if self.members() == 1 => *m,
            _ => return Ok(()),
        };
        let others = self.parts.iter().any(|p| matches!(p.0, Part::Others(..) | Part::Mixture(..)));
        if others || self.sum() == crate::job::whole(resolver.model) && self.parts.len() == 2 {
            return Ok(());
        }
        let partners = resolver.attribute(id).map(|a| a.speech.partners.as_slice()).unwrap_or_default();
        let Some(with) = partners.iter().find(|p| p.0 == only) else {
            let message = format!("with which fibre is it mixed: `{named}`");
            let problem = Problem::new("question::mixture", whole, "one fibre of several", message);
            return Err(problem.help("name each fibre, best with its share: 70% linen 30% cotton"));
        };
        self.parts.insert(at.min(self.parts.len()), (Part::Member(with.1, span), String::new()));
        Ok(())
    }

    /// `cotton tee with 2% elastane`: the fibre that the cloth is called after is the rest of it, where other words stand
    /// between it and the shares of the others.
    fn take_rest(&mut self, whole: i64) {
        let [(Part::Member(_, first), _), rest @ ..] = self.parts.as_slice() else { return };
        let pairs = rest.chunks(2).all(|c| matches!(c, [(Part::Share(..), _), (Part::Member(..), _)]));
        let apart = rest.first().is_some_and(|s| s.0.span().start > first.end + 2);
        let left = whole - self.sum();
        if pairs && apart && left > 0 {
            let share = Part::Share(left, *first);
            self.parts.insert(0, (share, String::new()));
        }
    }

    /// `cotton tee 80% cotton 20% polyester`: a fibre that is named once more without a share is said once.
    fn drop_said_twice(&mut self) {
        let member = |i: usize| match self.parts.get(i) {
            Some((Part::Member(m, _), _)) => Some(*m),
            _ => None,
        };
        let all = 0..self.parts.len();
        let shares = all.clone().filter(|i| matches!(self.parts.get(*i), Some((Part::Share(..), _)))).count();
        // `rayon viscose`: two names for one fibre, right after each other.
        if let Some(at) = (1..self.parts.len()).find(|i| member(*i).is_some() && member(*i) == member(i - 1))
            && all.clone().filter(|i| member(*i).is_some()).count() == shares.max(1) + 1
        {
            self.parts.remove(at);
            return;
        }
        if shares == 0 || self.parts.len() != 2 * shares + 1 {
            return;
        }
        let twice = |i: &usize| member(*i).is_some() && all.clone().filter(|j| member(*j) == member(*i)).count() == 2;
        let pair = |a: &usize, b: &usize| match (self.parts.get(*a), self.parts.get(*b)) {
            (Some((Part::Share(s, _), _)), Some((Part::Member(m, _), _)))
            | (Some((Part::Member(m, _), _)), Some((Part::Share(s, _), _))) => Some((*s, *m)),
            _ => None,
        };
        let is_member = |i: &usize| member(*i).is_some();
        let alternate = |rest: &[usize]| -> Option<Pairs> {
            let steady = rest.windows(2).all(|w| w.first().map(is_member) != w.last().map(is_member));
            rest.chunks(2).map(|c| pair(c.first()?, c.get(1)?)).collect::<Option<_>>().filter(|_| steady)
        };
        // `95/5 cotton elastane`
        let blocks = |rest: &[usize]| -> Option<Pairs> {
            let (first, then) = rest.split_at(rest.len() / 2);
            let alike = |part: &[usize]| part.iter().all(|i| Some(is_member(i)) == part.first().map(is_member));
            let pairs = first.iter().zip(then).map(|(a, b)| pair(a, b)).collect::<Option<_>>();
            pairs.filter(|_| alike(first) && alike(then))
        };
        // Whichever is left out, shares and fibres must belong to each other in the same way: in turn, or else all of
        // the one before all of the other.
        let ways = |read: &dyn Fn(&[usize]) -> Option<Pairs>| -> Vec<(usize, Pairs)> {
            let left = |out: usize| all.clone().filter(|i| *i != out).collect::<Vec<usize>>();
            all.clone().filter(twice).filter_map(|out| read(&left(out)).map(|p| (out, p))).collect()
        };
        let ways = Some(ways(&alternate)).filter(|w| !w.is_empty()).unwrap_or_else(|| ways(&blocks));
        // `spandex leggings 88 poly 12 elastane`: where they differ, the one that stands apart from the rest is left out.
        let apart = |at: usize| {
            let gap = |a: usize, b: usize| match (self.parts.get(a), self.parts.get(b)) {
                (Some(a), Some(b)) => b.0.span().start > a.0.span().end + 2,
                _ => true,
            };
            at.checked_sub(1).is_none_or(|before| gap(before, at)) && gap(at, at + 1)
        };
        let alike = |w: &&(usize, Pairs)| ways.first().is_some_and(|first| first.1 == w.1);
        let mut alone = ways.iter().filter(|w| apart(w.0));
        let out = match (ways.iter().all(|w| alike(&w)), alone.next(), alone.next()) {
            (true, ..) => ways.first(),
            (false, Some(one), None) => Some(one),
            _ => None,
        };
        if let Some((out, _)) = out {
            self.parts.remove(*out);
        }
    }

    /// The members that shares written without names stand for in the trade: `50/50`.
    fn unnamed(&self, id: AttributeId, resolver: &Resolver<'_>) -> Vec<Option<usize>> {
        let key = crate::words::folded(&self.ratio());
        let mixtures = resolver.attribute(id).map(|a| &a.speech.mixtures);
        let found = mixtures.and_then(|m| m.iter().find(|(word, _)| *word == key));
        found.map_or(Vec::new(), |(_, members)| members.iter().map(|m| Some(*m)).collect())
    }

    /// The shares alone, as they were written.
    pub(super) fn ratio(&self) -> String {
        let shares = self.parts.iter().filter(|p| matches!(p.0, Part::Share(..)));
        shares.map(|p| p.1.as_str()).collect::<Vec<_>>().join("/")
    }

    /// The members that shares written without names are of on the goods that were said: `hoodie 80/20`.
    pub(super) fn usual<'m>(&self, id: AttributeId, resolver: &Resolver<'m>) -> Option<&'m [usize]> {
        let key = crate::words::folded(&self.ratio());
        let said = |(attribute, goods): &(AttributeId, Mask)| {
            let mut all = resolver.stated.statements.iter().filter(|s| s.attribute == *attribute);
            all.any(|s| matches!(s.domain, Domain::Choice(one) if one.within(*goods)))
        };
        let all = &id.of(resolver.model)?.speech.usual_shares;
        all.iter().find(|u| u.shares.contains(&key) && u.on.iter().any(said)).map(|u| u.of.as_slice())
    }

    /// `polyester leggings 80/20 nylon elastane`: a whole label, and a fibre beside it that it does not hold.
    fn beside_label(&self, span: Span, whole: i64) -> Option<Problem> {
        let member = |i: usize| match self.parts.get(i) {
            Some((Part::Member(m, _), _)) => Some(*m),
            _ => None,
        };
        if self.sum() != whole {
            return None;
        }
        let fits = |out: usize| -> bool {
            let rest: Vec<usize> = (0..self.parts.len()).filter(|i| *i != out).collect();
            let kinds: Vec<bool> = rest.iter().map(|i| member(*i).is_some()).collect();
            let half = kinds.iter().filter(|k| **k).count() * 2 == kinds.len();
            let alternates = kinds.windows(2).all(|w| w.first() != w.last());
            let blocks = kinds.windows(2).filter(|w| w.first() != w.last()).count() <= 1;
            let other = rest.iter().all(|i| member(*i) != member(out));
            half && other && (alternates || blocks)
        };
        let out = (0..self.parts.len()).find(|i| member(*i).is_some() && fits(*i))?;
        let word = &self.parts.get(out)?.1;
        let label = self.parts.iter().enumerate().filter(|(i, _)| *i != out).map(|p| p.1.1.as_str());
        let label = label.collect::<Vec<_>>().join(" ");
        let message = format!("`{word}` is said of the cloth, and the label `{label}` does not hold it");
        let problem = Problem::new("question::share-missing", span, "which of the two?", message);
        Some(problem.help(format!(
            "where the label is right leave `{word}` out, else give each fibre its share: 80% cotton 20% polyester"
        )))
    }

    /// Pairs shares with fibres: `60 CO 40 PES`, `CO 60 PES 40`, `60/40 CO PES` or `CO PES 60/40`.
    pub(super) fn finish(mut self, id: AttributeId, resolver: &Resolver<'_>) -> Result<Domain, Problem> {
        let span = self.span();
        self.take_mixtures()?;
        self.take_blended(id, resolver)?;
        self.drop_said_twice();
        self.take_rest(crate::job::whole(resolver.model));
        self.part_around(crate::job::whole(resolver.model));
        let shares: Vec<i64> =
            self.parts.iter().filter_map(|(p, _)| if let Part::Share(s, _) = p { Some(*s) } else { None }).collect();
        let members: Vec<Option<usize>> = self
            .parts
            .iter()
            .filter_map(|(p, _)| match p {
                Part::Member(m, _) => Some(Some(*m)),
                Part::Others(_) => Some(None),
                Part::Share(..) | Part::Mixture(..) | Part::Blended(..) => None,
            })
            .collect();
        let members = if members.is_empty() { self.unnamed(id, resolver) } else { members };
        let usual = || self.usual(id, resolver).map(|usual| usual.iter().map(|m| Some(*m)).collect::<Vec<_>>());
        // `cotton hoodies 80/20`: the fibre that most of it is of.
        let rest = usual().filter(|u| members.is_empty() || u.get(..1) == Some(members.as_slice()));
        let members = rest.unwrap_or(members);
        if members.is_empty() {
            let named: Vec<&str> = self.parts.iter().map(|p| p.1.as_str()).collect();
            let key = crate::words::folded(&named.join("/"));
            let usual = resolver.attribute(id).and_then(|a| a.speech.unclear.get(&key));
            let names = named
                .len()
                .checked_sub(1)
                .and_then(|i| ["cotton", "cotton polyester", "polyester cotton viscose"].get(i).copied());
            return Err(Problem::new(
                "question::shares-without-fibres",
                span,
                "of which fibres?",
                if shares.is_empty() {
                    "a blend is named, but not its fibres"
                } else {
                    "shares are given, but no fibres"
                },
            )
            .meaning(&match usual {
                Some(says) => says.clone(),
                None => format!("name the fibres too: {} {}", named.join("/"), names.unwrap_or("cotton …")),
            }));
        }
        if !shares.is_empty() && shares.len() != members.len() {
            if let Some(problem) = self.beside_label(span, crate::job::whole(resolver.model)) {
                return Err(problem);
            }
            let message = format!("{} shares are given for {} fibres", shares.len(), members.len());
            return Err(Problem::new("question::share-missing", span, "here", message)
                .help("give each fibre its share: 80% cotton 20% polyester"));
        }
        // Shares and fibres alternate, or one sort follows the other. Either way the n-th share belongs to the n-th
        // fibre, provided that they do not change order midway.
        let kinds: Vec<bool> = self.parts.iter().map(|p| matches!(p.0, Part::Share(..))).collect();
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
    problem.readings = mistake.readings;
    problem
}
