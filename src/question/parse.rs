//! From text to the structure of a question.

use crate::diagnostic::Problem;
use crate::source::Span;
use pest::Parser;
use pest::iterators::Pair;

mod grammar {
    //! The parser that pest makes; it brings an `enum Rule` of its own.
    #![allow(missing_docs, unreachable_pub)]
    #[derive(pest_derive::Parser)]
    #[grammar = "grammar/tokens.pest"]
    #[grammar = "grammar/question.pest"]
    pub(super) struct QuestionParser;
}
use grammar::{QuestionParser, Rule};

/// A word, number or sign of a phrase, with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// The text.
    pub text: String,
    /// What it is.
    pub kind: TokenKind,
    /// Its place.
    pub span: Span,
}

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TokenKind {
    /// A word.
    Word,
    /// A number.
    Number,
    /// `%`, `/`, `+`, `&`, or the dash between two shares.
    Sign,
    /// A comma and the like.
    Mark,
    /// A word that carries no meaning by itself: `the`, `of`. It may be part of a name.
    Filler,
    /// `no`, `not`.
    Negation,
}

/// An ink with what is stirred in.
#[derive(Debug, Clone)]
pub struct Coat {
    /// Colour and ink.
    pub ink: Vec<Token>,
    /// What is said of this layer.
    pub clauses: Vec<Clause>,
}

/// A question about a job.
#[derive(Debug, Clone)]
pub struct Order {
    /// Inks, the top layer first.
    pub stack: Vec<Coat>,
    /// The cloth.
    pub cloth: Vec<Token>,
    /// What follows.
    pub clauses: Vec<Clause>,
}

/// What may follow the cloth.
#[derive(Debug, Clone)]
pub enum Clause {
    /// `using …`: machines.
    Using(Vec<Vec<Token>>),
    /// `with …`: additives or finishes.
    With(Vec<Vec<Token>>),
    /// `without …`.
    Without(Vec<Vec<Token>>),
    /// `at …`, `for …`, `through …`: a quantity, by its word.
    Quantity(&'static str, Vec<Token>),
    /// `where …`: a condition, with its place.
    Where(String, Span),
}

/// A question as written.
#[derive(Debug, Clone)]
pub enum Question {
    /// Can it go there?
    Can(Order),
    /// Why can it not?
    WhyNot(Order),
    /// What is this?
    Show(Vec<Token>),
    /// Which rules speak of it?
    ShowRules(Vec<Token>),
    /// What is this source?
    ShowSource(Vec<Token>),
}

const MAX_LENGTH: usize = 2000;

/// Reads a question.
///
/// # Errors
/// Text that fits no form of question, with the place where it stops to fit.
pub fn parse(text: &str) -> Result<Question, Problem> {
    let whole = Span { file: 0, start: 0, end: text.len() as u32 };
    if text.len() > MAX_LENGTH {
        return Err(Problem::new("question::too-long", Span { end: 1, ..whole }, "", "this question is too long")
            .help(format!("keep it below {MAX_LENGTH} characters; send order books as JSON")));
    }
    if text.trim().is_empty() {
        return Err(Problem::new("question::empty", whole, "", "there is no question")
            .help("ask, for instance: can plastisol go on black polyester?"));
    }
    let mut pairs = QuestionParser::parse(Rule::question, text).map_err(|e| syntax(&e, text))?;
    let form = pairs.next().and_then(|p| p.into_inner().next());
    let Some(form) = form else { return Err(Problem::new("question::empty", whole, "", "there is no question")) };
    Ok(match form.as_rule() {
        Rule::misplaced => return Err(misplaced(form, text)),
        Rule::why_not => Question::WhyNot(order(form)),
        Rule::show => match form.into_inner().find(|p| p.as_rule() != Rule::k_show) {
            Some(p) if p.as_rule() == Rule::about => Question::ShowRules(inner_phrase(p)),
            Some(p) if p.as_rule() == Rule::source => Question::ShowSource(inner_phrase(p)),
            Some(p) => Question::Show(tokens(p)),
            None => Question::Show(Vec::new()),
        },
        _ => Question::Can(order(form)),
    })
}

/// Reads a phrase by itself, such as a composition.
///
/// # Errors
/// A character that fits no phrase.
pub fn parse_phrase(text: &str) -> Result<Vec<Token>, Problem> {
    if text.len() > MAX_LENGTH {
        return Err(Problem::new("question::too-long", Span::default(), "", "this text is too long"));
    }
    let mut pairs = QuestionParser::parse(Rule::phrase_alone, text).map_err(|e| syntax(&e, text))?;
    Ok(pairs.next().map(inner_phrase).unwrap_or_default())
}

/// `without water repellent plastisol on nylon`: nobody can tell where the clause ends.
fn misplaced(form: Pair<'_, Rule>, text: &str) -> Problem {
    let mut inner = form.into_inner();
    let (span, word) =
        inner.next().map_or((Span::default(), String::new()), |p| (place(&p), p.as_str().trim().to_lowercase()));
    let rest = text.get(span.end as usize..).unwrap_or("").trim();
    Problem::new("question::clause-first", span, "here", format!("a question does not begin with `{word}`")).help(
        format!(
            "ink and cloth come first, then `{word} …`: plastisol on cotton {word} {}",
            if rest.len() > 60 { "…" } else { rest }
        ),
    )
}

fn syntax(error: &pest::error::Error<Rule>, text: &str) -> Problem {
    let at = match error.location {
        pest::error::InputLocation::Pos(at) => at,
        pest::error::InputLocation::Span(range) => range.0,
    };
    let rest = text.get(at..).unwrap_or("");
    let word: String = rest.split_whitespace().next().unwrap_or("").chars().take(30).collect();
    let span = Span { file: 0, start: at as u32, end: (at + word.len().max(1)) as u32 };
    let (message, label) = match word.as_str() {
        "" => ("the question stops too early".to_owned(), "something is missing here"),
        w => (format!("`{w}` does not fit here"), "here"),
    };
    Problem::new("question::syntax", span, label, message).help(
        "ask like this: can plastisol go on navy 50/50 cotton polyester using flash, conveyor dryer?\n\
         or: plastisol on black polyester · why not plastisol on polypropylene · show low-cure additive",
    )
}

fn order(form: Pair<'_, Rule>) -> Order {
    let mut order = Order { stack: Vec::new(), cloth: Vec::new(), clauses: Vec::new() };
    for p in form.into_inner() {
        match p.as_rule() {
            Rule::stack => order.stack = p.into_inner().filter(|c| c.as_rule() == Rule::coat).map(coat).collect(),
            Rule::cloth => order.cloth = tokens(p),
            Rule::clause => order.clauses.extend(p.into_inner().filter_map(said_with)),
            _ => {}
        }
    }
    order
}

fn coat(pair: Pair<'_, Rule>) -> Coat {
    let mut coat = Coat { ink: Vec::new(), clauses: Vec::new() };
    for p in pair.into_inner() {
        match p.as_rule() {
            Rule::phrase => coat.ink = tokens(p),
            _ => coat.clauses.extend(said_with(p)),
        }
    }
    coat
}

fn said_with(pair: Pair<'_, Rule>) -> Option<Clause> {
    let rule = pair.as_rule();
    let inner = pair.into_inner().find(|p| matches!(p.as_rule(), Rule::list | Rule::phrase | Rule::rest))?;
    Some(match rule {
        Rule::using => Clause::Using(list(inner)),
        Rule::with => Clause::With(list(inner)),
        Rule::without => Clause::Without(list(inner)),
        Rule::at => Clause::Quantity("at", tokens(inner)),
        Rule::for_ => Clause::Quantity("for", tokens(inner)),
        Rule::through => Clause::Quantity("through", tokens(inner)),
        Rule::where_ => Clause::Where(inner.as_str().to_owned(), place(&inner)),
        _ => return None,
    })
}

fn list(pair: Pair<'_, Rule>) -> Vec<Vec<Token>> {
    pair.into_inner().filter(|p| p.as_rule() == Rule::item).map(tokens).collect()
}

fn inner_phrase(pair: Pair<'_, Rule>) -> Vec<Token> {
    pair.into_inner().find(|p| matches!(p.as_rule(), Rule::phrase | Rule::cloth)).map(tokens).unwrap_or_default()
}

fn place(pair: &Pair<'_, Rule>) -> Span {
    let span = pair.as_span();
    Span { file: 0, start: span.start() as u32, end: (span.start() + pair.as_str().trim_end().len()) as u32 }
}

fn tokens(pair: Pair<'_, Rule>) -> Vec<Token> {
    let mut list = Vec::new();
    for p in pair.into_inner() {
        let kind = match p.as_rule() {
            Rule::figure | Rule::share => TokenKind::Number,
            Rule::sign_of | Rule::dash => TokenKind::Sign,
            Rule::mark => TokenKind::Mark,
            Rule::filler | Rule::k_and => TokenKind::Filler,
            Rule::negation => TokenKind::Negation,
            Rule::ratio => {
                list.extend(tokens(p));
                continue;
            }
            _ => TokenKind::Word,
        };
        let text = match kind {
            TokenKind::Number => figure(p.as_str()),
            _ => p.as_str().to_owned(),
        };
        list.push(Token { text, kind, span: place(&p) });
    }
    list
}

/// A number with a point: `4,5` is 4.5, but `1,000` is a thousand.
fn figure(text: &str) -> String {
    match text.split_once(',') {
        Some((whole, rest)) if rest.len() == 3 && whole.trim_start_matches('-') != "0" => format!("{whole}{rest}"),
        Some((whole, rest)) => format!("{whole}.{rest}"),
        None => text.to_owned(),
    }
}
