//! Which composition belongs to which part of an article.

use super::parse::{Token, TokenKind};
use super::phrase::PhraseReader;
use super::shares::Shares;
use super::tokens::Runs;
use crate::diagnostic::{Problem, one_of};
use crate::model::{AttributeId, AttributeType, KindId};
use crate::resolve::Mistake;
use crate::source::Span;
use crate::words::folded;

impl PhraseReader<'_> {
    /// The attribute that holds the cloth of a part of this name.
    pub(super) fn part(&self, kinds: &[KindId], tokens: &[Token], at: usize, count: usize) -> Option<AttributeId> {
        let runs = Runs::of(tokens, at);
        let blends = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(k) if kinds.contains(&k)));
        blends.into_iter().find(|(_, a)| runs.length(&a.speech.parts) == count).map(|b| b.0)
    }

    /// The compositions, once every phrase is read; their statements take their place among the others.
    pub(super) fn finish_blend(&mut self, cloth: &[Token], place: usize) {
        let shares = std::mem::take(&mut self.shares);
        let blends = self.resolver.attributes(|a| matches!(a.ty, AttributeType::Blend(_)));
        let Some((main, _)) = blends.first().copied() else { return };
        // What is of fibres that are named is of no other.
        for (member, span, words) in std::mem::take(&mut self.not_of) {
            if shares.is_empty() || shares.names(member) {
                let mistake = Mistake::new("question::denied-fibre", format!("no `{words}`: of what is it then?"));
                self.mistake(mistake.help("say what the label says, such as: 100 % cotton"), span);
            }
        }
        if shares.is_empty() {
            return;
        }
        // `cork coasters and jute bags`, where `cotton polyester tees and hoodies` are of one cloth.
        if self.two_things && self.eithers.iter().any(|thing| shares.members_around(*thing)) {
            let problem = Problem::new("question::two-cloths", shares.span(), "here", "these are things of two cloths");
            self.problems.push(problem.help("ask for each by itself, such as: plastisol on cotton tees"));
            return;
        }
        for (id, shares) in self.parted(shares, cloth, main).into_iter().rev() {
            let (span, words, ratio, named) = (shares.span(), shares.words(), shares.ratio(), shares.members());
            let model = self.resolver.model;
            let usual = shares.usual(id, &self.resolver).map(<[usize]>::to_vec);
            match shares.finish(id, &self.resolver) {
                Ok(domain) => {
                    if let Some(usual) = usual.filter(|u| named < u.len()) {
                        let kind = id.of(model).and_then(|a| a.ty.members());
                        let name = |m: &usize| Some(model.member(kind?, *m)?.name.as_str());
                        let names = usual.iter().filter_map(name).collect::<Vec<_>>().join(" ");
                        self.notes.push(format!(
                            "{ratio} was taken as {ratio} {names}, as it mostly is on such goods; if not, name the fibres"
                        ));
                    }
                    let before = self.resolver.stated.statements.len();
                    let said = self.resolver.say(id, 0, domain, &words);
                    self.said(said, span);
                    let statements = &mut self.resolver.stated.statements;
                    if statements.len() > before
                        && let Some(own) = statements.get_mut(place..)
                    {
                        own.rotate_right(1);
                    }
                }
                // Where a fibre was not understood, its share is left over, and that is no second problem.
                Err(problem) if problem.code.starts_with("question::share") && !self.problems.is_empty() => {}
                Err(problem) => self.problems.push(problem),
            }
        }
    }

    /// The composition of a lining must not be taken for that of the shell: what is said of which part of the article.
    fn parted(&mut self, shares: Shares, cloth: &[Token], main: AttributeId) -> Vec<(AttributeId, Shares)> {
        if self.parts.is_empty() {
            return vec![(main, shares)];
        }
        let labels: Vec<Span> = self.parts.iter().map(|p| p.2).collect();
        let covered = |t: &Token| {
            let inside = |s: &Span| s.start <= t.span.start && t.span.end <= s.end;
            labels.iter().any(inside) || shares.holds(t.span)
        };
        let apart = |t: &&Token| matches!(t.kind, TokenKind::Mark | TokenKind::Word) && !covered(t);
        let breaks: Vec<Span> = cloth.iter().filter(apart).map(|t| t.span).collect();
        let groups = shares.by_label(&labels, &breaks, crate::job::whole(self.resolver.model));
        let several = groups.len() > 1;
        for (at, (id, words, _)) in self.parts.iter().enumerate() {
            let named = |p: &(AttributeId, String, Span)| folded(&p.1) == folded(words);
            let told = groups.iter().filter_map(|g| self.parts.get(g.0?)).any(named);
            if *id != main && !told && !self.parts.iter().take(at).any(named) {
                self.notes.push(format!("nothing is said of the cloth of the {words}: it was taken to be the same"));
            }
        }
        let mut printed: Vec<(String, Shares)> = Vec::new();
        let mut others: Vec<(AttributeId, String, Shares)> = Vec::new();
        for (label, shares) in groups {
            match label.and_then(|l| self.parts.get(l)) {
                // A part that is asked about by itself is the one that is printed, but no lining of a jacket.
                Some((id, words, _)) if *id != main && (several || self.names_whole(*id)) => {
                    others.push((*id, words.clone(), shares));
                }
                Some((_, words, _)) => printed.push((words.clone(), shares)),
                None => printed.push(("article itself".to_owned(), shares)),
            }
        }
        let apart = |names: Vec<&str>, span: Span| {
            let message =
                format!("{} are parts, each with a cloth of its own", one_of(&names).replace(" or ", " and "));
            Problem::new("question::parts", span, "several parts", message).help(
                "one part is printed, and one other may go through the dryer with it: ask for each pair by itself, \
                 such as: shell 100% nylon, lining 100% polyester",
            )
        };
        match (printed.as_slice(), others.as_slice()) {
            ([_], [] | [_]) => {}
            ([], [(_, other, _)]) if !several => self.notes.push(format!(
                "the print was taken to lie on the article itself, of whose cloth nothing is said, and the {other} to pass through the heat with it; for a print on the {other} ask for it without the article"
            )),
            ([], _) | (_, []) | ([_, _, ..], _) => {
                let names: Vec<&str> =
                    printed.iter().map(|p| p.0.as_str()).chain(others.iter().map(|o| o.1.as_str())).collect();
                let span = printed.iter().map(|p| p.1.span()).chain(others.iter().map(|o| o.2.span()));
                let span = span.reduce(|a, b| Span { start: a.start.min(b.start), end: a.end.max(b.end), ..a });
                self.problems.push(apart(names, span.unwrap_or_default()));
                return Vec::new();
            }
            ([_], [first, .., last]) => {
                let names = others.iter().map(|o| o.1.as_str()).collect();
                self.problems.push(apart(names, Span { end: last.2.span().end, ..first.2.span() }));
                return Vec::new();
            }
        }
        if let ([(printed, _)], [(_, other, _)]) = (printed.as_slice(), others.as_slice()) {
            self.notes.push(format!(
                "the print was taken to lie on the {printed}, and the {other} to pass through the heat with it; for a print on the {other} ask for it by itself"
            ));
        }
        printed.into_iter().map(|p| (main, p.1)).chain(others.into_iter().map(|o| (o.0, o.2))).collect()
    }

    /// Whether the article is named of which an attribute holds a part: `garment` of `garment.other_cloth`.
    fn names_whole(&self, part: AttributeId) -> bool {
        let name = self.resolver.attribute(part).and_then(|a| a.name.split_once('.')).map(|n| n.0);
        let whole = name.and_then(|name| self.resolver.model.attribute(name));
        whole.is_some_and(|id| self.resolver.stated.mentions(id, 0))
    }
}
