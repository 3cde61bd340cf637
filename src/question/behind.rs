//! A quantity that is said of what stands right before it: `50 washes at 60 °C` is no heat of the film.
//!
//! Which words those are, and what follows from the quantity, is knowledge.

use super::between::high_end;
use super::loose::found;
use super::parse::{Clause, Order, Token, TokenKind};
use super::tokens::{Runs, span_of, text_of, unit_at, words_from};
use crate::model::{AttributeId, AttributeType, Behind, KindId, Model, read_quantity};
use crate::names::Names;
use crate::source::Span;
use crate::words::folded;

/// Something said of a set by a quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SaidBehind {
    /// The set.
    pub attribute: AttributeId,
    /// Its member; nothing where nothing follows.
    pub member: Option<usize>,
    /// The quantity in the asker's words.
    pub words: String,
    /// Its place.
    pub span: Span,
    /// What is to be said of it, where nothing follows.
    pub aside: Option<String>,
    /// How it was taken, where it could be taken otherwise.
    pub note: Option<String>,
    /// It stands for itself, and another setting may stand right behind it.
    pub alone: bool,
    /// The attribute of which it is an upper end.
    pub most: Option<(AttributeId, i64)>,
}

/// Takes such quantities out of an order.
pub(super) fn take_behind(order: &mut Order, model: &Model, names: &Names) -> Vec<SaidBehind> {
    let mut found = Vec::new();
    let all = model.attributes.iter().enumerate();
    let all = all.flat_map(|(at, a)| a.speech.behind.iter().map(move |b| (AttributeId(at as u16), b)));
    let words = order.runs().into_iter().flatten().cloned().collect::<Vec<Token>>();
    let all = all.filter(|(_, b)| applies(b, &words, model, names));
    let others: Vec<&Behind> = model.attributes.iter().flat_map(|a| &a.speech.behind).collect();
    let others: Vec<&Behind> = others.into_iter().filter(|b| applies(b, &words, model, names)).collect();
    // Words that go with a quantity, and name nothing besides.
    let mut gone: Vec<Span> = Vec::new();
    for (id, behind) in all {
        let clause = behind.of.of(model).and_then(|a| a.clause.as_deref()).unwrap_or("");
        let mut said = order.runs().into_iter().flatten().cloned().collect::<Vec<Token>>();
        if behind.alone {
            // `using conveyor dryer at 160 °C` is a machine, and a setting as any.
            let used = |c: &Clause| matches!(c, Clause::Using(_));
            let clauses = order.stack.iter().flat_map(|c| &c.clauses).chain(&order.clauses).filter(|c| used(c));
            let used: Vec<Span> = clauses.flat_map(super::parse::runs).flatten().map(|t| t.span).collect();
            said.retain(|t| !used.contains(&t.span));
        }
        said.sort_by_key(|t| t.span.start);
        let took = |(member, count): (Option<usize>, usize), tokens: &[Token], at: usize| SaidBehind {
            attribute: id,
            member,
            words: text_of(tokens, at, count),
            span: span_of(tokens, at, count),
            aside: behind.aside.clone(),
            note: None,
            alone: behind.alone,
            most: steps(tokens, at, behind, model).filter(|_| behind.at_most).map(|s| (behind.of, s.0 - behind.less)),
        };
        // `dryer set to 180` is a dryer; `…, flash 8 s` is no machine to cure with.
        let goes = |lead: Lead, opens: bool| {
            let own = (behind.aside.is_some() && !behind.alone && opens).then_some(lead.own);
            own.into_iter().chain(lead.between.into_iter().filter(|_| behind.alone))
        };
        // What follows the quantity goes on with the cloth.
        let mut further: Vec<Token> = Vec::new();
        let of_coats = order.stack.iter_mut().map(|c| &mut c.clauses);
        for clauses in of_coats.chain([&mut order.clauses]) {
            clauses.retain(|own| {
                let Clause::Quantity(word, tokens) = own else { return true };
                let place = tokens.first().map_or(0, |t| t.span.start);
                let lead = follows(&said, place, behind).filter(|_| *word == clause);
                // Where nothing follows there must be another, of which the question is: `flash at 110 °C, cure at 160 °C`;
                // or all that is said is of such words: `…, flash at 110 °C for 8 s`.
                let other = || measures(&said, place, behind, model) && !before_is_mark(&said, place);
                let only = |own: Span| begins(&said, own.start) && all_aside(&said, &others, model);
                let free = |lead: &Lead| behind.aside.is_none() || behind.alone || other() || only(lead.own);
                let taken = lead.filter(free).and_then(|lead| Some((lead, value(tokens, 0, behind, model)?)));
                let Some((lead, value)) = taken else { return true };
                let opens = before_is_mark(&said, lead.own.start);
                gone.extend(goes(lead, opens));
                found.push(took(value, tokens, 0));
                let rest = tokens.get(value.1..).unwrap_or(&[]);
                if !rest.is_empty() {
                    further.push(Token::comma());
                    further.extend(rest.iter().cloned());
                }
                false
            });
        }
        order.cloth.extend(further);
        for run in order.runs_mut() {
            // `washed at home, 60 °C`: with its unit it needs no word before it.
            let mut at = 0;
            while let Some(token) = run.get(at) {
                let measured = value(run, at, behind, model)
                    .filter(|v| v.1 > 1 || behind.alone && ends(run, at) || bare(run, at, behind, model));
                let lead = |v: &(Option<usize>, usize)| {
                    let apart = behind.aside.is_some() && marked(run, at);
                    // `tumble dried, 95 °C wash`: what stands right behind it has it.
                    let of_other =
                        || others.iter().any(|o| !std::ptr::eq(*o, behind) && leads(run, at + v.1, o).is_some());
                    let before = leads(run, at + v.1, behind).filter(|_| !behind.alone || at == 0 || marked(run, at));
                    let before = before.map(|own| (Lead { own, between: Vec::new() }, at == 0 || marked(run, at)));
                    before.or_else(|| {
                        let lead = follows(run, token.span.start, behind).filter(|_| !apart && !of_other())?;
                        let opens = before_is_mark(run, lead.own.start);
                        Some((lead, opens))
                    })
                };
                if let Some((v, (lead, opens))) = measured.and_then(|v| Some((v, lead(&v)?))) {
                    gone.extend(goes(lead, opens));
                    let said = took(v, run, at);
                    let note = if v.1 == 1 { taken(&said.words, behind, model) } else { None };
                    found.push(SaidBehind { note, ..said });
                    run.drain(at..at + v.1);
                } else {
                    at += 1;
                }
            }
            often(run, behind, model);
        }
    }
    let stays =
        |t: &Token| t.kind == TokenKind::Mark || !gone.iter().any(|g| g.start <= t.span.start && t.span.end <= g.end);
    order.runs_mut().into_iter().for_each(|run| run.retain(stays));
    found
}

fn among(token: &Token, words: &[String]) -> bool {
    words.contains(&folded(&token.text))
}

/// Whether a mark stands right before a place that is no colon.
fn marked(run: &[Token], at: usize) -> bool {
    let last = at.checked_sub(1).and_then(|i| run.get(i));
    last.is_some_and(|t| t.kind == TokenKind::Mark && !matches!(t.text.as_str(), ":" | "="))
}

/// Whether what it is only said of is named.
fn applies(behind: &Behind, said: &[Token], model: &Model, names: &Names) -> bool {
    behind.on.iter().all(|(id, members)| {
        let kinds: Vec<KindId> = id.of(model).and_then(|a| a.ty.members()).into_iter().collect();
        let own = |at: usize| names.longest(&kinds, &words_from(said, at)).is_some_and(|n| members.has(n.1));
        // `flex foil` is a film that is pressed, and no foil.
        found(&kinds, &[], said, names).iter().any(|n| own(n.0))
    })
}

fn before_is_mark(said: &[Token], place: u32) -> bool {
    said.iter().rfind(|t| t.span.end <= place).is_some_and(|t| t.kind == TokenKind::Mark)
}

/// Whether a number at a place stands behind words that say of it something else than a setting: `washed at 160`.
pub(super) fn of_other(said: &[Token], place: u32, of: AttributeId, model: &Model, names: &Names) -> bool {
    let others = model.attributes.iter().flat_map(|a| &a.speech.behind).filter(|b| b.of == of && !b.alone);
    others.into_iter().any(|b| applies(b, said, model, names) && follows(said, place, b).is_some())
}

/// Whether what is said begins at a place, or a mark stands right before it.
fn begins(said: &[Token], place: u32) -> bool {
    before_is_mark(said, place) || said.iter().all(|t| t.span.end > place)
}

/// Whether a quantity of the same sort stands at another place, beyond all of which something is said or behind other words.
fn measures(said: &[Token], place: u32, behind: &Behind, model: &Model) -> bool {
    let of = behind.of.of(model).map(|a| a.ty);
    let Some(AttributeType::Quantity(d) | AttributeType::Setting(d)) = of else { return false };
    let Some(dimension) = model.dim(d) else { return false };
    (0..said.len()).any(|at| {
        let other = said.get(at).is_some_and(|t| t.kind == TokenKind::Number && t.span.start != place);
        let unit = || unit_at(model, said, at + 1, |name| name == dimension.name).is_some();
        let led = || said.get(at).is_some_and(|t| follows(said, t.span.start, behind).is_some());
        other && unit() && (value(said, at, behind, model).is_none() || !led())
    })
}

/// Whether every quantity said, of the sorts that are heard and not weighed behind words that are said, is within what is.
fn all_aside(said: &[Token], others: &[&Behind], model: &Model) -> bool {
    let spoken = |b: &Behind| (0..said.len()).any(|at| Runs::of(said, at).length(&b.words) > 0);
    let asides = || others.iter().filter(|b| b.aside.is_some() && !b.alone && spoken(b));
    let measured = |at: usize, behind: &Behind| {
        let of = behind.of.of(model).map(|a| a.ty);
        let Some(AttributeType::Quantity(d) | AttributeType::Setting(d)) = of else { return false };
        model.dim(d).is_some_and(|d| unit_at(model, said, at + 1, |name| name == d.name).is_some())
    };
    let mut numbers = (0..said.len()).filter(|at| said.get(*at).is_some_and(|t| t.kind == TokenKind::Number));
    numbers.all(|at| {
        let mut sort = asides().filter(|b| measured(at, b)).peekable();
        sort.peek().is_none() || sort.any(|b| value(said, at, b, model).is_some())
    })
}

/// The words, if such end what is said, the quantity before them: `…, 8 s flash`.
fn leads(run: &[Token], at: usize, behind: &Behind) -> Option<Span> {
    let count = run.iter().skip(at).take_while(|t| t.kind != TokenKind::Mark).count();
    behind.words.contains(&folded(&text_of(run, at, count))).then(|| span_of(run, at, count))
}

/// Words before a quantity that say what it is of.
struct Lead {
    /// The words.
    own: Span,
    /// Those between them and the quantity: `dryer set to 180`.
    between: Vec<Span>,
}

/// The words, if such stand right before a place, but for how often.
fn follows(said: &[Token], place: u32, behind: &Behind) -> Option<Lead> {
    let before: Vec<&Token> = said.iter().rev().filter(|t| t.span.end <= place).collect();
    let often = |t: &&&Token| matches!(t.kind, TokenKind::Number | TokenKind::Filler) || among(t, &behind.times);
    let between = before.iter().take_while(often).count();
    let (between, before) = before.split_at(between);
    let begins = |count: usize| before.get(count).is_none_or(|t| t.kind == TokenKind::Mark);
    let mut run = String::new();
    // As many words as a phrase has, the longest: `foil pressed`, and not `pressed` alone.
    let own = before.iter().take(3).enumerate().filter_map(|(at, t)| {
        let rest = std::mem::take(&mut run);
        run = if rest.is_empty() { folded(&t.text) } else { format!("{} {rest}", folded(&t.text)) };
        let span = Span { end: before.first().map_or(t.span.end, |last| last.span.end), ..t.span };
        (behind.words.contains(&run) && (!behind.alone || begins(at + 1))).then_some(span)
    });
    let own = own.last()?;
    Some(Lead { own, between: between.iter().filter(|t| t.kind == TokenKind::Word).map(|t| t.span).collect() })
}

/// Whether nothing but a mark stands behind the number at a place.
fn ends(run: &[Token], at: usize) -> bool {
    run.get(at + 1).is_none_or(|t| t.kind == TokenKind::Mark)
}

/// What a quantity from here says, and how many tokens it takes.
fn value(tokens: &[Token], at: usize, behind: &Behind, model: &Model) -> Option<(Option<usize>, usize)> {
    let (steps, count) = steps(tokens, at, behind, model)?;
    behind.up_to.iter().find(|u| steps <= u.0).map(|u| (u.1, count))
}

/// A quantity from here, of two ends the higher, and how many tokens it takes. A bare number is in the first unit.
fn steps(tokens: &[Token], at: usize, behind: &Behind, model: &Model) -> Option<(i64, usize)> {
    let number = tokens.get(at).filter(|t| t.kind == TokenKind::Number)?;
    let number = high_end(&number.text);
    let id = match behind.of.of(model)?.ty {
        AttributeType::Quantity(d) | AttributeType::Setting(d) => d,
        _ => return None,
    };
    let dimension = model.dim(id)?;
    let unit = unit_at(model, tokens, at + 1, |name| name == dimension.name);
    let first = || Some(format!("{number} {}", dimension.units.first()?.symbol));
    let text = match &unit {
        Some((unit, ..)) => format!("{number} {unit}"),
        None => first()?,
    };
    let steps = read_quantity(&text, id, model).ok();
    let count = 1 + unit.map_or(0, |u| u.1);
    // `60 degrees`: which of the units is meant follows from what it can be.
    let steps = steps.or_else(|| read_quantity(&first()?, id, model).ok())?;
    Some((steps, count))
}

/// `wash 60`: one of the usual numbers right behind the first of the words, and nothing behind it that it counts.
fn bare(run: &[Token], at: usize, behind: &Behind, model: &Model) -> bool {
    let Some(number) = run.get(at) else { return false };
    let dimension = behind.of.of(model).and_then(|a| match a.ty {
        AttributeType::Quantity(d) | AttributeType::Setting(d) => Some(d),
        _ => None,
    });
    let unit = dimension.and_then(|d| Some((d, model.dim(d)?.units.first()?)));
    let steps = unit.and_then(|(d, unit)| read_quantity(&format!("{} {}", number.text, unit.symbol), d, model).ok());
    let last = at.checked_sub(1).and_then(|i| run.get(i)).map(|t| folded(&t.text));
    ends(run, at)
        && last.is_some_and(|last| {
            // `…, lavage 40`, but not `machine washed at 40`.
            let begins = at < 2 || run.get(at - 2).is_some_and(|t| t.kind == TokenKind::Mark);
            behind.words.first() == Some(&last) || begins && leads_bare(&last, behind, model)
        })
        && steps.is_some_and(|s| behind.bare.contains(&s))
}

/// Whether a number right behind a word may be without its unit: the word is one of those, and none that counts.
fn leads_bare(word: &str, behind: &Behind, model: &Model) -> bool {
    let counts =
        || behind.counts.and_then(|id| id.of(model)).is_some_and(|a| a.speech.counted.iter().any(|w| w == word));
    behind.words.iter().any(|w| w == word) && !counts()
}

/// How a number without a unit was taken.
fn taken(number: &str, behind: &Behind, model: &Model) -> Option<String> {
    let of = behind.of.of(model)?;
    let (AttributeType::Quantity(d) | AttributeType::Setting(d)) = of.ty else { return None };
    let unit = model.dim(d)?.units.first()?;
    let counted = behind.counts.and_then(|id| id.of(model)).and_then(|a| a.speech.counted.first())?;
    Some(format!("{number} was taken as {number} {}; if it counts, say: {number} {counted}", unit.symbol))
}

/// `washed 50 times` is `50 washes`.
fn often(run: &mut Vec<Token>, behind: &Behind, model: &Model) {
    let Some(counted) = behind.counts.and_then(|id| id.of(model)).and_then(|a| a.speech.counted.first()) else {
        return;
    };
    let mut at = 0;
    while at + 2 < run.len() {
        let own = match run.get(at..at + 3) {
            Some([word, number, times]) => {
                among(word, &behind.words) && number.kind == TokenKind::Number && among(times, &behind.times)
            }
            _ => false,
        };
        if own {
            if let Some(times) = run.get_mut(at + 2) {
                times.text.clone_from(counted);
                times.kind = TokenKind::Word;
            }
            run.remove(at);
        }
        at += 1;
    }
}
