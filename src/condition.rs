//! The condition language: text to a tree with places. Names are still text here.
//!
//! The same language serves rules, the guards of assumptions, and `where` in questions.

use crate::diagnostic::Problem;
use crate::source::Span;
use pest::Parser;
use pest::iterators::Pair;

mod grammar {
    //! The parser that pest makes; it brings an `enum Rule` of its own.
    #![allow(missing_docs, unreachable_pub)]
    #[derive(pest_derive::Parser)]
    #[grammar = "grammar/tokens.pest"]
    #[grammar = "grammar/condition.pest"]
    pub(super) struct ConditionParser;
}
use grammar::{ConditionParser, Rule};

/// A name or path as written.
#[derive(Debug, Clone)]
pub(crate) struct Word {
    /// The text.
    pub(crate) text: String,
    /// Its place.
    pub(crate) span: Span,
}

/// A condition as written.
#[derive(Debug, Clone)]
pub(crate) enum Condition {
    /// Any of these.
    Any(Vec<Condition>),
    /// All of these.
    All(Vec<Condition>),
    /// The opposite.
    Not(Box<Condition>),
    /// Two terms compared.
    Compare(Term, Comparison, Term, Span),
    /// `path is [not] [a] name`.
    Is { path: Word, negated: bool, class: bool, name: Word },
    /// `path is [not] in path`.
    IsIn { path: Word, negated: bool, set: Word },
    /// `path has [a] name` or `path lacks [a] name`.
    Has { path: Word, negated: bool, class: bool, name: Word },
    /// `some name in path where (…)`.
    Some { name: Word, set: Word, condition: Box<Condition>, span: Span },
    /// `stated path`: the job speaks of it, were it to say that there is none.
    Stated(Word),
    /// A yes/no path by itself.
    Holds(Word),
}

/// A quantity expression as written.
#[derive(Debug, Clone)]
pub(crate) enum Term {
    /// A number with or without a unit.
    Quantity { number: Word, unit: Option<Word> },
    /// A path.
    Path(Word),
    /// `share of name in path` and `dose of name in path`.
    Share { name: Word, set: Word },
    /// `schedule at temperature`.
    Lookup { schedule: Word, at: Box<Term> },
    /// A sum.
    Add(Box<Term>, Box<Term>, Span),
    /// A difference.
    Subtract(Box<Term>, Box<Term>, Span),
    /// A product.
    Multiply(Box<Term>, Box<Term>, Span),
    /// The lesser.
    Min(Box<Term>, Box<Term>, Span),
    /// The greater.
    Max(Box<Term>, Box<Term>, Span),
}

/// How two quantities compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum Comparison {
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
    /// `=`
    Equal,
    /// `!=`
    Unequal,
}

impl Comparison {
    /// Whether it holds between two plain quantities.
    pub fn holds(self, a: i64, b: i64) -> bool {
        match self {
            Self::Less => a < b,
            Self::AtMost => a <= b,
            Self::More => a > b,
            Self::AtLeast => a >= b,
            Self::Equal => a == b,
            Self::Unequal => a != b,
        }
    }

    /// The one that holds where this one does not.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Self::Less => Self::AtLeast,
            Self::AtMost => Self::More,
            Self::More => Self::AtMost,
            Self::AtLeast => Self::Less,
            Self::Equal => Self::Unequal,
            Self::Unequal => Self::Equal,
        }
    }

    /// The one that says the same with its sides swapped.
    #[must_use]
    pub fn mirrored(self) -> Self {
        match self {
            Self::Less => Self::More,
            Self::AtMost => Self::AtLeast,
            Self::More => Self::Less,
            Self::AtLeast => Self::AtMost,
            Self::Equal | Self::Unequal => self,
        }
    }

    /// How it is written.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Less => "<",
            Self::AtMost => "<=",
            Self::More => ">",
            Self::AtLeast => ">=",
            Self::Equal => "=",
            Self::Unequal => "!=",
        }
    }
}

/// What a rule's `for` binds, as written.
#[derive(Debug, Clone)]
pub(crate) enum Binding {
    /// `each layer`.
    Layers,
    /// `each pair of layers`.
    Pairs,
    /// `each name in path`.
    Each { name: Word, set: Word },
}

const MAX_LENGTH: usize = 4000;
const MAX_DEPTH: usize = 40;

/// Reads a condition.
///
/// # Errors
/// A syntax error, or a text too long or too deeply nested to be meant.
pub(crate) fn parse_condition(text: &str, place: Span) -> Result<Condition, Problem> {
    let mut pairs = run(Rule::condition, text, place)?;
    let any = pairs.next().and_then(|p| parts(p).next());
    any.map(|p| condition(p, place)).ok_or_else(|| empty(place))
}

/// Reads a quantity expression.
///
/// # Errors
/// As [`parse_condition`].
pub(crate) fn parse_term(text: &str, place: Span) -> Result<Term, Problem> {
    let mut pairs = run(Rule::value, text, place)?;
    let sum = pairs.next().and_then(|p| parts(p).next());
    sum.map(|p| term(p, place)).ok_or_else(|| empty(place))
}

/// Reads one `for` entry.
///
/// # Errors
/// As [`parse_condition`].
pub(crate) fn parse_binding(text: &str, place: Span) -> Result<Binding, Problem> {
    let mut pairs = run(Rule::binding, text, place)?;
    let inner = pairs.next().and_then(|p| parts(p).next()).ok_or_else(|| empty(place))?;
    Ok(match inner.as_rule() {
        Rule::layers => Binding::Layers,
        Rule::pairs => Binding::Pairs,
        _ => {
            let mut words = parts(inner).map(|p| word(&p, place));
            match (words.next(), words.next()) {
                (Some(name), Some(set)) => Binding::Each { name, set },
                _ => return Err(empty(place)),
            }
        }
    })
}

fn empty(place: Span) -> Problem {
    Problem::new("condition::syntax", place, "here", "there is nothing to read here")
}

fn run(rule: Rule, text: &str, place: Span) -> Result<pest::iterators::Pairs<'_, Rule>, Problem> {
    let depth = text.chars().fold((0usize, 0usize), |(now, most), c| match c {
        '(' => (now + 1, most.max(now + 1)),
        ')' => (now.saturating_sub(1), most),
        _ => (now, most),
    });
    let nots = text.split_whitespace().filter(|w| w.eq_ignore_ascii_case("not")).count();
    if text.len() > MAX_LENGTH || depth.1 > MAX_DEPTH || nots > MAX_DEPTH {
        return Err(Problem::new(
            "condition::too-large",
            place,
            "here",
            "this condition is too long or too deeply nested",
        )
        .help("split the rule into several"));
    }
    ConditionParser::parse(rule, text).map_err(|error| {
        let (start, end) = match error.location {
            pest::error::InputLocation::Pos(at) => (at, at),
            pest::error::InputLocation::Span(range) => range,
        };
        let rest: String = text.get(start..).unwrap_or("").chars().take(20).collect();
        let message = match rest.trim() {
            "" => "the condition ends too early".to_owned(),
            found => format!("`{found}` does not fit here"),
        };
        Problem::new("condition::syntax", place.slice(start, end), "here", message)
            .help("conditions read like `fibre.heat_limit < 150 °C and not fabric has elastane`")
    })
}

/// What a pair holds, keywords left out.
fn parts(pair: Pair<'_, Rule>) -> impl Iterator<Item = Pair<'_, Rule>> {
    pair.into_inner().filter(|p| {
        !matches!(
            p.as_rule(),
            Rule::k_and
                | Rule::k_or
                | Rule::k_not
                | Rule::k_is
                | Rule::k_in
                | Rule::k_has
                | Rule::k_some
                | Rule::k_stated
                | Rule::k_where
                | Rule::k_of
                | Rule::k_at
                | Rule::k_share
        )
    })
}

fn word(pair: &Pair<'_, Rule>, place: Span) -> Word {
    let span = pair.as_span();
    Word { text: pair.as_str().to_owned(), span: place.slice(span.start(), span.end()) }
}

fn place_of(pair: &Pair<'_, Rule>, place: Span) -> Span {
    let span = pair.as_span();
    place.slice(span.start(), span.start() + pair.as_str().trim_end().len())
}

fn condition(pair: Pair<'_, Rule>, place: Span) -> Condition {
    let span = place_of(&pair, place);
    match pair.as_rule() {
        Rule::any => many(pair, place, Condition::Any),
        Rule::all => many(pair, place, Condition::All),
        Rule::negation => {
            let inner: Vec<Condition> = parts(pair).map(|p| condition(p, place)).collect();
            Condition::Not(Box::new(single(inner)))
        }
        Rule::one | Rule::group => single(parts(pair).map(|p| condition(p, place)).collect()),
        Rule::some => {
            let mut name = None;
            let mut set = None;
            let mut inner = Vec::new();
            for p in parts(pair) {
                match p.as_rule() {
                    Rule::name => name = Some(word(&p, place)),
                    Rule::path => set = Some(word(&p, place)),
                    _ => inner.push(condition(p, place)),
                }
            }
            let missing = || Word { text: String::new(), span };
            Condition::Some {
                name: name.unwrap_or_else(missing),
                set: set.unwrap_or_else(missing),
                condition: Box::new(single(inner)),
                span,
            }
        }
        Rule::stated => {
            let path = parts(pair).next().map(|p| word(&p, place));
            Condition::Stated(path.unwrap_or(Word { text: String::new(), span }))
        }
        Rule::compare => {
            let mut sides = Vec::new();
            let mut operator = Comparison::Equal;
            for p in parts(pair) {
                match p.as_rule() {
                    Rule::operator => {
                        operator = match p.as_str() {
                            "<" => Comparison::Less,
                            "<=" => Comparison::AtMost,
                            ">" => Comparison::More,
                            ">=" => Comparison::AtLeast,
                            "!=" => Comparison::Unequal,
                            _ => Comparison::Equal,
                        }
                    }
                    _ => sides.push(term(p, place)),
                }
            }
            let right = sides.pop();
            let left = sides.pop();
            match (left, right) {
                (Some(left), Some(right)) => Condition::Compare(left, operator, right, span),
                _ => Condition::All(Vec::new()),
            }
        }
        Rule::is | Rule::is_in | Rule::has => {
            let rule = pair.as_rule();
            let mut words = Vec::new();
            let (mut negated, mut class) = (false, false);
            for p in parts(pair) {
                match p.as_rule() {
                    Rule::negated | Rule::lacks => negated = true,
                    Rule::class => class = true,
                    Rule::path => words.push(word(&p, place)),
                    _ => {}
                }
            }
            let missing = || Word { text: String::new(), span };
            let name = words.pop().unwrap_or_else(missing);
            let path = words.pop().unwrap_or_else(missing);
            match rule {
                Rule::is => Condition::Is { path, negated, class, name },
                Rule::is_in => Condition::IsIn { path, negated, set: name },
                _ => Condition::Has { path, negated, class, name },
            }
        }
        _ => {
            let path = parts(pair.clone()).next().map_or_else(|| word(&pair, place), |p| word(&p, place));
            Condition::Holds(path)
        }
    }
}

fn many(pair: Pair<'_, Rule>, place: Span, make: fn(Vec<Condition>) -> Condition) -> Condition {
    let mut all: Vec<Condition> = parts(pair).map(|p| condition(p, place)).collect();
    match all.len() {
        1 => all.remove(0),
        _ => make(all),
    }
}

fn single(mut parts: Vec<Condition>) -> Condition {
    match parts.len() {
        1 => parts.remove(0),
        _ => Condition::All(parts),
    }
}

fn term(pair: Pair<'_, Rule>, place: Span) -> Term {
    let span = place_of(&pair, place);
    match pair.as_rule() {
        Rule::sum | Rule::product => {
            let product = pair.as_rule() == Rule::product;
            let mut result: Option<Term> = None;
            let mut minus = false;
            for p in parts(pair) {
                if p.as_rule() == Rule::sign {
                    minus = p.as_str() == "-";
                    continue;
                }
                let next = term(p, place);
                result = Some(match result {
                    None => next,
                    Some(left) if product => Term::Multiply(Box::new(left), Box::new(next), span),
                    Some(left) if minus => Term::Subtract(Box::new(left), Box::new(next), span),
                    Some(left) => Term::Add(Box::new(left), Box::new(next), span),
                });
            }
            result.unwrap_or_else(|| Term::Path(Word { text: String::new(), span }))
        }
        Rule::least | Rule::most => {
            let most = pair.as_rule() == Rule::most;
            let mut sides = parts(pair).map(|p| term(p, place));
            match (sides.next(), sides.next()) {
                (Some(a), Some(b)) if most => Term::Max(Box::new(a), Box::new(b), span),
                (Some(a), Some(b)) => Term::Min(Box::new(a), Box::new(b), span),
                _ => Term::Path(Word { text: String::new(), span }),
            }
        }
        Rule::share => {
            let mut words = parts(pair).map(|p| word(&p, place));
            match (words.next(), words.next()) {
                (Some(name), Some(set)) => Term::Share { name, set },
                _ => Term::Path(Word { text: String::new(), span }),
            }
        }
        Rule::lookup => {
            let mut sides = parts(pair);
            let schedule = sides.next().map(|p| word(&p, place));
            let at = sides.next().map(|p| term(p, place));
            match (schedule, at) {
                (Some(schedule), Some(at)) => Term::Lookup { schedule, at: Box::new(at) },
                _ => Term::Path(Word { text: String::new(), span }),
            }
        }
        Rule::quantity => {
            let mut number = None;
            let mut unit = None;
            for p in parts(pair) {
                match p.as_rule() {
                    Rule::number => number = Some(word(&p, place)),
                    _ => unit = Some(word(&p, place)),
                }
            }
            Term::Quantity { number: number.unwrap_or(Word { text: String::new(), span }), unit }
        }
        Rule::factor => match parts(pair).next() {
            Some(p) => term(p, place),
            None => Term::Path(Word { text: String::new(), span }),
        },
        _ => Term::Path(word(&pair, place)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("fibre.heat_limit < 150 °C")]
    #[case("not fibre is elastomer and share of elastane in fabric > 12 %")]
    #[case("layer.ink is a plastisol or layer.ink is not an ink-x")]
    #[case("some machine in shop.equipment where (machine.cures_film and machine.film_max >= cure.temperature.min)")]
    #[case("fabric lacks a cellulosic")]
    #[case("max(a.b, 5 K) - 2 * 3 <= layer.ink.cure_time at cure.temperature.max")]
    #[case("notable.thing and island.is_first")]
    #[case("fabric.construction is in garment.constructions")]
    fn accepts(#[case] text: &str) {
        assert!(parse_condition(text, Span::default()).is_ok(), "{:?}", parse_condition(text, Span::default()));
    }

    #[rstest]
    #[case("")]
    #[case("fibre.heat_limit <")]
    #[case("and a")]
    #[case("a b")]
    #[case("(a")]
    #[case("some machine in shop.equipment")]
    fn rejects(#[case] text: &str) {
        assert!(parse_condition(text, Span::default()).is_err());
    }
}
