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

impl Token {
    /// A mark that nobody typed, between words that are put beside each other.
    pub(super) fn comma() -> Self {
        Self { text: ",".to_owned(), kind: TokenKind::Mark, span: Span::default() }
    }
}

/// Words as they are written: signs close to what they belong to.
pub fn written(tokens: &[Token]) -> String {
    let mut text = String::new();
    for (i, token) in tokens.iter().enumerate() {
        // `30cm x 40cm` is not `30cmx40cm`.
        let apart = |t: &Token| matches!(t.text.as_str(), "+" | "&" | "×") || t.text.chars().all(char::is_alphabetic);
        let close = |t: &Token| t.kind == TokenKind::Sign && !apart(t);
        let last = i.checked_sub(1).and_then(|i| tokens.get(i));
        let after = last.is_some_and(|t| close(t) && t.text != "%");
        // `61T` and `30s` are not `61 T` and `30 s`.
        let joined = token.kind != TokenKind::Number
            && last.is_some_and(|t| t.kind == TokenKind::Number && t.span.end == token.span.start);
        if !(text.is_empty() || after || joined || close(token) || matches!(token.text.as_str(), "," | ";" | ":")) {
            text.push(' ');
        }
        text.push_str(&token.text);
    }
    text
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
    /// Its ink is what is asked for.
    pub asked_for: bool,
}

/// A question about a job.
#[derive(Debug, Clone, Default)]
pub struct Order {
    /// Inks, the top layer first.
    pub stack: Vec<Coat>,
    /// The cloth.
    pub cloth: Vec<Token>,
    /// What follows.
    pub clauses: Vec<Clause>,
    /// Inks that were said last to lie over those, or over one that is still to be found; the top layer first.
    pub above: Vec<Coat>,
}

impl Order {
    /// Its runs of words: inks, each with what is said of its layer, the cloth, and what follows.
    pub(crate) fn runs(&self) -> Vec<&Vec<Token>> {
        let of_coats = self.stack.iter().flat_map(|c| std::iter::once(&c.ink).chain(c.clauses.iter().flat_map(runs)));
        of_coats.chain([&self.cloth]).chain(self.clauses.iter().flat_map(runs)).collect()
    }

    /// Adds words to the last run.
    fn say_last(&mut self, words: Vec<Token>) {
        if let Some(run) = self.runs_mut().into_iter().rfind(|r| !r.is_empty()) {
            run.extend(words);
        }
    }

    /// As [`Order::runs`], to be changed.
    pub(super) fn runs_mut(&mut self) -> Vec<&mut Vec<Token>> {
        let coats = self.stack.iter_mut();
        let of_coats = coats.flat_map(|c| std::iter::once(&mut c.ink).chain(c.clauses.iter_mut().flat_map(runs_mut)));
        of_coats.chain([&mut self.cloth]).chain(self.clauses.iter_mut().flat_map(runs_mut)).collect()
    }
}

pub(super) fn runs(clause: &Clause) -> Vec<&Vec<Token>> {
    match clause {
        Clause::Using(list) | Clause::With(list) | Clause::Without(list) => list.iter().collect(),
        Clause::Quantity(_, tokens) => vec![tokens],
        Clause::Where(..) | Clause::Found(..) => Vec::new(),
    }
}

fn runs_mut(clause: &mut Clause) -> Vec<&mut Vec<Token>> {
    match clause {
        Clause::Using(list) | Clause::With(list) | Clause::Without(list) => list.iter_mut().collect(),
        Clause::Quantity(_, tokens) => vec![tokens],
        Clause::Where(..) | Clause::Found(..) => Vec::new(),
    }
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
    /// `found …`: a value of the knowledge that was found out, with its place.
    Found(String, Span),
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
    /// How is it printed?
    HowTo(Order),
    /// What would make it possible?
    WouldLet(Order),
    /// Which facts decide?
    MustKnow(Order),
    /// Why did it go wrong? The words of the failure stand among the rest.
    WhyDid(Order),
    /// Which inks go on this cloth, or over these layers?
    WhichInks(Order),
    /// Which cloths take this ink? Its cloth is empty.
    WhichCloths(Order),
    /// Inks side by side on one cloth.
    Compare(Vec<Vec<Coat>>, Order),
    /// Inks said side by side for one cloth, no word to compare them.
    Beside(Vec<Vec<Coat>>, Order),
    /// What takes this ink off a screen? Without an ink, what takes any off?
    Cleans(Vec<Token>),
    /// What saves a screen in which this ink has dried?
    Dried(Vec<Token>),
    /// How is the can of this ink kept?
    Stored(Vec<Token>),
    /// How much of an additive goes into the ink of an order.
    DoseIn(Vec<Token>, Order),
    /// Which setting or property of this ink? The words for it, and the job as far as it is named.
    Setting(Vec<Token>, Order),
    /// Does this cloth bear that treatment? The treatment, and the cloth with its clauses.
    Bears(Vec<Token>, Order),
    /// Ink and cloth in any order, all of it in the place of the cloth.
    Loose(Order),
    /// What does this word mean?
    WhatIs(Vec<Token>),
    /// The same quantity in other units.
    Convert(Vec<Token>),
    /// How fast must the belt run?
    Belt(Vec<Token>),
    /// How much of this, for how much ink, at which dose?
    HowMuch(Vec<Token>, Vec<Token>, Vec<Token>),
    /// How much of this ink, for which run, through which mesh?
    InkFor(Vec<Token>, Vec<Token>, Vec<Token>),
    /// How many pieces leave this belt in an hour?
    AnHour(Vec<Token>),
    /// An amount of the sheet of a job, as it is called.
    AmountOf(String, Order),
    /// The question before, changed.
    Same(Change),
    /// What differs if the question before is changed.
    WhatIf(Change),
    /// What holds from now on: machines.
    Given(Vec<String>),
    /// What holds no longer.
    Forget(String),
    /// What came of the job before, in words.
    Record(String),
}

impl Question {
    /// The order, where it asks about one job.
    pub fn job(&self) -> Option<&Order> {
        match self {
            Self::Can(o) | Self::WhyNot(o) | Self::HowTo(o) | Self::WouldLet(o) | Self::MustKnow(o) => Some(o),
            _ => None,
        }
    }
}

/// A change of the question before, as texts.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Change {
    /// Inks in the place of those before.
    pub stack: Option<String>,
    /// Cloth in the place of that before.
    pub cloth: Option<String>,
    /// Clauses, each in the place of one that begins with the same word.
    pub clauses: Vec<String>,
}

/// A question about one job, as texts that can be put together anew.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pieces {
    /// Inks.
    pub stack: String,
    /// Cloth.
    pub cloth: String,
    /// Clauses.
    pub clauses: Vec<String>,
}

impl Pieces {
    /// The pieces with a change made.
    #[must_use]
    pub fn changed(&self, change: &Change) -> Self {
        let mut new = self.clone();
        new.stack = change.stack.clone().unwrap_or(new.stack);
        new.cloth = change.cloth.clone().unwrap_or(new.cloth);
        for clause in &change.clauses {
            new.put(clause);
        }
        new
    }

    /// Puts a clause in the place of one that begins with the same word; `with`, `without` and other findings are added.
    fn put(&mut self, clause: &str) {
        let own = first_word(clause);
        // A finding takes the place of another value of the same.
        let replaces = |c: &str| match own.as_str() {
            "with" | "without" => false,
            "found" => first_word(c) == own && found_of(c) == found_of(clause),
            _ => first_word(c) == own,
        };
        self.clauses.retain(|c| !replaces(c));
        self.clauses.push(clause.to_owned());
    }

    /// Leaves out one of the clauses that begin with a word, by its number among them.
    pub(crate) fn leave_out(&mut self, word: &str, number: usize) {
        let at = self.clauses.iter().enumerate().filter(|(_, c)| first_word(c) == word).nth(number).map(|c| c.0);
        if let Some(at) = at {
            self.clauses.remove(at);
        }
    }

    /// The question that they make.
    pub fn text(&self) -> String {
        let mut text = format!("{} on {}", self.stack, self.cloth);
        let mut found = false;
        for clause in &self.clauses {
            // A finding ends with a mark.
            text.push_str(if found { ", " } else { " " });
            text.push_str(clause);
            found = first_word(clause) == "found";
        }
        text
    }
}

/// What a finding is of: all before its colon, or before its value.
fn found_of(clause: &str) -> String {
    let clause = clause.to_lowercase();
    match clause.split_once([':', '=']) {
        Some((of, _)) => of.trim().to_owned(),
        None => {
            let value = |w: &&str| w.starts_with(|c: char| c.is_ascii_digit()) || matches!(*w, "yes" | "no");
            clause.split_whitespace().take_while(|w| !value(w)).collect::<Vec<_>>().join(" ")
        }
    }
}

fn first_word(clause: &str) -> String {
    clause.split_whitespace().next().unwrap_or("").to_lowercase()
}

/// Longer texts are refused unread.
pub(crate) const MAX_LENGTH: usize = 2000;

/// Reads a question.
///
/// # Errors
/// Text that fits no form of question, with the place where it stops to fit.
pub fn parse(text: &str) -> Result<Question, Problem> {
    let whole = Span { file: 0, start: 0, end: text.len() as u32 };
    if text.len() > MAX_LENGTH {
        return Err(Problem::new("question::too-long", Span { end: 0, ..whole }, "", "this question is too long")
            .help(format!("keep it below {MAX_LENGTH} characters; send order books as JSON")));
    }
    if text.trim().is_empty() {
        return Err(Problem::new("question::empty", whole, "", "there is no question")
            .help("ask, for instance: can plastisol go on black polyester?"));
    }
    let mut pairs = QuestionParser::parse(Rule::question, text).map_err(|e| syntax(&e, text))?;
    let form = pairs.next().and_then(|p| p.into_inner().find(|p| !matches!(p.as_rule(), Rule::mark | Rule::courtesy)));
    let Some(form) = form else { return Err(Problem::new("question::empty", whole, "", "there is no question")) };
    Ok(match form.as_rule() {
        Rule::how_to => Question::HowTo(order(form)),
        Rule::would_let => Question::WouldLet(order(form)),
        Rule::must_know => Question::MustKnow(order(form)),
        Rule::why_did | Rule::went_off => Question::WhyDid(order(form)),
        Rule::which_inks | Rule::inks_for => {
            // What is said of the ink that is asked for: `which white ink`.
            let said = |p: Pair<'_, Rule>| match p.as_rule() {
                Rule::hue => tokens(p),
                Rule::hued => inner_phrase(p),
                _ => Vec::new(),
            };
            let hue = form.clone().into_inner().flat_map(said).collect();
            Question::WhichInks(asking(hue, as_said(form)))
        }
        Rule::printed => {
            let cloth = words(&form, Rule::treated);
            let own = asking(Vec::new(), as_said(form));
            Question::WhichInks(if cloth.is_empty() { own } else { Order { cloth, ..own } })
        }
        Rule::which_cloths => Question::WhichCloths(order(form)),
        Rule::compare | Rule::versus | Rule::beside => {
            let beside = form.as_rule() == Rule::beside;
            let mut stacks: Vec<Vec<Coat>> =
                form.clone().into_inner().filter(|p| p.as_rule() == Rule::stack).map(stack).collect();
            // What is said last to lie below lies below each.
            let own = as_said(form);
            let below = own.stack.get(stacks.last().map_or(0, Vec::len)..).unwrap_or_default().to_vec();
            for stack in &mut stacks {
                stack.splice(0..0, own.above.iter().cloned());
                stack.extend(below.iter().cloned());
            }
            let own = Order { stack: Vec::new(), above: Vec::new(), ..own };
            if beside { Question::Beside(stacks, own) } else { Question::Compare(stacks, own) }
        }
        Rule::enough => {
            let first = words(&form, Rule::phrase);
            let mut own = order(form);
            own.clauses.push(Clause::Quantity("", first));
            Question::Can(own)
        }
        Rule::needed => Question::Can(order(form)),
        Rule::meshed => {
            let first = words(&form, Rule::phrase);
            let mut own = order(form);
            own.clauses.push(Clause::Quantity("through", first));
            Question::Can(own)
        }
        Rule::onto => {
            let cloth = words(&form, Rule::treated);
            let own = order(form);
            Question::Can(if cloth.is_empty() { own } else { Order { cloth, ..own } })
        }
        Rule::takes => {
            let cloth = words(&form, Rule::taker);
            Question::Can(Order { cloth, ..order(form) })
        }
        Rule::loose | Rule::either => Question::Loose(as_said(form)),
        Rule::dried => Question::Dried(words(&form, Rule::soiled)),
        Rule::setting => {
            // Of a flash something else is asked than of the cure.
            let verb = form.clone().into_inner().find(|p| p.as_rule() == Rule::v_flash);
            let verb = verb.map(|p| Token { text: "flash".to_owned(), kind: TokenKind::Word, span: place(&p) });
            Question::Setting(verb.into_iter().chain(words(&form, Rule::measure)).collect(), order(form))
        }
        Rule::bears => {
            let cloth = words(&form, Rule::treated);
            Question::Bears(words(&form, Rule::phrase), Order { cloth, ..order(form) })
        }
        Rule::cleans => Question::Cleans(phrases(form).next().unwrap_or_default()),
        Rule::clean_up => Question::Cleans(Vec::new()),
        Rule::cleaned => {
            let hard = form.clone().into_inner().any(|p| p.as_rule() == Rule::w_hard);
            let soil = words(&form, Rule::soil);
            if hard { Question::Dried(soil) } else { Question::Cleans(soil) }
        }
        Rule::stored => Question::Stored(phrases(form).next().unwrap_or_default()),
        Rule::keeps => Question::Stored(words(&form, Rule::kept_one)),
        Rule::dose_in | Rule::added => {
            let how_much = form.as_rule() == Rule::dose_in;
            let stirred = words(&form, Rule::stirred);
            let mut own = as_said(form);
            own.clauses.push(Clause::With(vec![stirred.clone()]));
            if how_much { Question::DoseIn(stirred, own) } else { Question::Loose(own) }
        }
        Rule::what_is => Question::WhatIs(phrases(form).next().unwrap_or_default()),
        Rule::convert => Question::Convert(phrases(form).next().unwrap_or_default()),
        Rule::belt => Question::Belt(phrases(form).next().unwrap_or_default()),
        Rule::how_much => {
            let mut all = phrases(form);
            let mut next = || all.next().unwrap_or_default();
            Question::HowMuch(next(), next(), next())
        }
        Rule::ink_for => {
            let part = |rule: Rule| form.clone().into_inner().filter(move |p| p.as_rule() == rule);
            let below = |rule: Rule| part(rule).flat_map(phrases).flatten();
            let mut own = part(Rule::phrase).map(tokens);
            let what = own.next().unwrap_or_default();
            let run = own.flatten().chain(below(Rule::at)).collect();
            Question::InkFor(what, run, below(Rule::through).collect())
        }
        Rule::amount_of => {
            let sought = form.clone().into_inner().find(|p| p.as_rule() == Rule::sought);
            // Pieces and size are said of the cloth.
            let run = words(&form, Rule::run_of);
            let read = order(form);
            let cloth = read.cloth.iter().cloned().chain(run).collect();
            let sought = sought.map(|p| p.as_str().to_owned()).unwrap_or_default();
            Question::AmountOf(sought, Order { cloth, ..read })
        }
        Rule::an_hour => Question::AnHour(phrases(form).flatten().collect()),
        Rule::same => Question::Same(change(form)),
        Rule::what_if => Question::WhatIf(change(form)),
        Rule::given => Question::Given(
            form.into_inner()
                .filter(|p| p.as_rule() == Rule::fact)
                .filter_map(|p| p.into_inner().find(|p| p.as_rule() == Rule::said))
                .map(|p| p.as_str().trim().to_owned())
                .collect(),
        ),
        Rule::forget => Question::Forget(everything(form)),
        Rule::record => Question::Record(everything(form)),
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

/// All that follows the first word.
fn everything(form: Pair<'_, Rule>) -> String {
    form.into_inner().find(|p| p.as_rule() == Rule::everything).map_or("", |p| p.as_str()).trim().to_owned()
}

/// The pieces of a question about one job; nothing where it is of another form.
pub fn pieces(text: &str) -> Option<Pieces> {
    if text.len() > MAX_LENGTH {
        return None;
    }
    let form = QuestionParser::parse(Rule::question, text)
        .ok()?
        .next()?
        .into_inner()
        .find(|p| !matches!(p.as_rule(), Rule::mark | Rule::courtesy))?;
    if !matches!(
        form.as_rule(),
        Rule::can
            | Rule::onto
            | Rule::takes
            | Rule::bare
            | Rule::loose
            | Rule::why_not
            | Rule::how_to
            | Rule::would_let
            | Rule::must_know
    ) {
        return None;
    }
    // Of words in any order the ink is not known yet.
    let loose = form.as_rule() == Rule::loose;
    let change = change(form);
    let stack = if loose { String::new() } else { change.stack? };
    Some(Pieces { stack, cloth: change.cloth?, clauses: change.clauses })
}

fn check_length(text: &str) -> Result<(), Problem> {
    let long = || Problem::new("question::too-long", Span::default(), "", "this text is too long");
    if text.len() > MAX_LENGTH { Err(long()) } else { Ok(()) }
}

/// Reads clauses by themselves.
///
/// # Errors
/// Text that is no clause.
pub fn parse_clauses(text: &str) -> Result<Vec<Clause>, Problem> {
    check_length(text)?;
    let mut pairs = QuestionParser::parse(Rule::clauses_alone, text).map_err(|e| syntax(&e, text))?;
    let own = pairs.next().into_iter().flat_map(Pair::into_inner).filter(|p| p.as_rule() == Rule::clause);
    let parts: Vec<Pair<'_, Rule>> = own.flat_map(Pair::into_inner).collect();
    if let Some(over) =
        parts.iter().find(|p| matches!(p.as_rule(), Rule::over | Rule::under | Rule::crown | Rule::foot))
    {
        let problem = Problem::new("question::syntax", place(over), "here", "no ink is named that lies over this one");
        return Err(problem.help("name both: white plastisol over blocker base on red polyester"));
    }
    if let Some(more) = parts.iter().flat_map(|p| p.clone().into_inner()).find(|p| p.as_rule() == Rule::further) {
        let problem = Problem::new("question::syntax", place(&more), "here", "this is no clause");
        return Err(problem.help("begin it with a word such as `using`, `with` or `at`"));
    }
    Ok(parts.into_iter().filter_map(said_with).collect())
}

fn change(form: Pair<'_, Rule>) -> Change {
    let mut change = Change::default();
    let named = |rule: Rule| form.clone().into_inner().any(|p| p.as_rule() == rule);
    let words_alone = matches!(form.as_rule(), Rule::same | Rule::what_if) && !named(Rule::cloth);
    for p in form.into_inner() {
        match p.as_rule() {
            // Words by themselves are of the ink or the cloth; what follows them is a change of its own.
            Rule::stack if words_alone && p.clone().into_inner().filter(|c| c.as_rule() == Rule::coat).count() == 1 => {
                for part in p.into_inner().flat_map(Pair::into_inner) {
                    match part.as_rule() {
                        Rule::phrase => change.stack = Some(trimmed(&part)),
                        _ => change.clauses.extend(clause_text(part)),
                    }
                }
            }
            Rule::stack | Rule::crowned => change.stack = Some(trimmed(&p)),
            Rule::cloth | Rule::taker => change.cloth = Some(trimmed(&p)),
            Rule::bare_no => {
                let list = p.into_inner().find(|p| p.as_rule() == Rule::list).map_or("", |p| p.as_str().trim());
                change.clauses.push(format!("without {list}"));
            }
            Rule::clause => {
                let own = p.into_inner().filter(|p| p.as_rule() != Rule::mark && p.as_rule() != Rule::k_and);
                for part in own {
                    // What follows a finding is said of the cloth, or is the change itself.
                    if let Some(further) = part.clone().into_inner().find(|p| p.as_rule() == Rule::further) {
                        let further = trimmed(&further);
                        match (&mut change.cloth, &mut change.stack) {
                            (Some(cloth), _) => *cloth = format!("{cloth}, {further}"),
                            (None, Some(stack)) => *stack = format!("{stack}, {further}"),
                            (None, stack) => *stack = Some(further),
                        }
                    }
                    change.clauses.extend(clause_text(part));
                }
            }
            _ => {}
        }
    }
    change
}

fn trimmed(pair: &Pair<'_, Rule>) -> String {
    pair.as_str().trim().trim_matches(|c: char| ",;?!:".contains(c)).trim().to_owned()
}

/// A clause as it is kept: however it is said, it begins with one word.
fn clause_text(pair: Pair<'_, Rule>) -> Option<String> {
    let text = trimmed(&pair);
    match pair.as_rule() {
        Rule::using | Rule::with | Rule::without => {
            let word = match pair.as_rule() {
                Rule::using => "using",
                Rule::with => "with",
                _ => "without",
            };
            let list = pair.into_inner().find(|p| p.as_rule() == Rule::list).map_or("", |p| p.as_str().trim());
            Some(format!("{word} {list}"))
        }
        Rule::at => Some(text.strip_prefix('@').map_or(text.clone(), |rest| format!("at {}", rest.trim()))),
        Rule::for_
        | Rule::time
        | Rule::through
        | Rule::over
        | Rule::under
        | Rule::crown
        | Rule::foot
        | Rule::where_ => Some(text),
        Rule::found => {
            let own = pair.into_inner().find(|p| p.as_rule() == Rule::finding)?;
            Some(format!("found {}", own.as_str().trim()))
        }
        _ => None,
    }
}

/// The words of the first part of this sort.
fn words(form: &Pair<'_, Rule>, rule: Rule) -> Vec<Token> {
    form.clone().into_inner().find(|p| p.as_rule() == rule).map(tokens).unwrap_or_default()
}

fn phrases(form: Pair<'_, Rule>) -> impl Iterator<Item = Vec<Token>> {
    form.into_inner().filter(|p| p.as_rule() == Rule::phrase).map(tokens)
}

/// Reads a phrase by itself, such as a composition.
///
/// # Errors
/// A character that fits no phrase.
pub fn parse_phrase(text: &str) -> Result<Vec<Token>, Problem> {
    check_length(text)?;
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
    // Other white space than the language's own stands before the word, too.
    let rest = text.get(at..).unwrap_or("");
    let at = at + if rest.trim().is_empty() { 0 } else { rest.len() - rest.trim_start().len() };
    let word: String = rest.split_whitespace().next().unwrap_or("").chars().take(30).collect();
    let span = Span { file: 0, start: at as u32, end: (at + word.len()) as u32 };
    let (message, label) = match word.as_str() {
        "" => ("the question stops too early".to_owned(), "something is missing here"),
        w => (format!("`{w}` does not fit here"), "here"),
    };
    Problem::new("question::syntax", span, label, message).help(
        "ask like this: can plastisol go on navy 50/50 cotton polyester using flash, conveyor dryer?\n\
         or: plastisol on black polyester · why not plastisol on polypropylene · show low-cure additive",
    )
}

/// An order whose inks are all known.
fn order(form: Pair<'_, Rule>) -> Order {
    let mut order = as_said(form);
    order.stack.splice(0..0, std::mem::take(&mut order.above));
    order
}

fn as_said(form: Pair<'_, Rule>) -> Order {
    let mut order = Order::default();
    for p in form.into_inner() {
        match p.as_rule() {
            Rule::stack | Rule::crowned => order.stack = stack(p),
            Rule::cloth if !order.cloth.is_empty() => {
                order.cloth.push(Token::comma());
                order.cloth.extend(tokens(p));
            }
            Rule::cloth | Rule::first_on | Rule::either_of => order.cloth = tokens(p),
            Rule::hue_on => {
                if let Some(coat) = order.stack.first_mut() {
                    coat.ink.extend(tokens(p));
                }
            }
            // The end of a verb, and what follows it: `washed off after two washes`.
            Rule::k_off | Rule::stuck => {
                let word = Token { text: p.as_str().to_owned(), kind: TokenKind::Word, span: place(&p) };
                order.say_last(vec![word]);
            }
            Rule::when => order.say_last(inner_phrase(p)),
            Rule::clause => {
                for own in p.into_inner() {
                    match own.as_rule() {
                        // What the print goes over may be said last.
                        Rule::over => {
                            order.stack.extend(own.into_inner().filter(|c| c.as_rule() == Rule::coat).map(coat))
                        }
                        Rule::foot => {
                            let footing = own.into_inner().find(|p| p.as_rule() == Rule::footing).map(coat);
                            order.stack.extend(footing);
                        }
                        Rule::under => {
                            let coats = own.into_inner().filter(|c| c.as_rule() == Rule::coat).map(coat);
                            order.above.splice(0..0, coats);
                        }
                        Rule::crown => {
                            let crest = own.into_inner().find(|p| p.as_rule() == Rule::crest).map(coat);
                            order.above.splice(0..0, crest);
                        }
                        Rule::found => {
                            let further = own.clone().into_inner().find(|p| p.as_rule() == Rule::further);
                            if let Some(further) = further.map(inner_phrase) {
                                order.cloth.extend(std::iter::once(Token::comma()).chain(further));
                            }
                            order.clauses.extend(said_with(own));
                        }
                        _ => order.clauses.extend(said_with(own)),
                    }
                }
            }
            _ => {}
        }
    }
    order
}

/// An order with the ink that is asked for on top of what is named, or below what is said to lie over it.
fn asking(hue: Vec<Token>, mut order: Order) -> Order {
    order.stack.insert(0, Coat { ink: hue, clauses: Vec::new(), asked_for: true });
    order.stack.splice(0..0, std::mem::take(&mut order.above));
    order
}

/// Layers, the top first.
fn stack(pair: Pair<'_, Rule>) -> Vec<Coat> {
    let under = pair.clone().into_inner().any(|p| matches!(p.as_rule(), Rule::k_under | Rule::topped | Rule::crown));
    let own = pair.into_inner().flat_map(|p| match p.as_rule() {
        Rule::topped | Rule::crown => p.into_inner().collect(),
        _ => vec![p],
    });
    let mut coats: Vec<Coat> = own.filter(|c| matches!(c.as_rule(), Rule::coat | Rule::crest)).map(coat).collect();
    if under {
        coats.reverse();
    }
    coats
}

fn coat(pair: Pair<'_, Rule>) -> Coat {
    let mut coat = Coat { ink: Vec::new(), clauses: Vec::new(), asked_for: false };
    if matches!(pair.as_rule(), Rule::crest | Rule::footing) {
        coat.ink = tokens(pair);
        return coat;
    }
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
    let holds = |p: &Pair<'_, Rule>| {
        matches!(p.as_rule(), Rule::list | Rule::phrase | Rule::cloth | Rule::rest | Rule::finding)
    };
    let inner = pair.into_inner().find(holds)?;
    Some(match rule {
        Rule::using => Clause::Using(list(inner)),
        Rule::with => Clause::With(list(inner)),
        Rule::without => Clause::Without(list(inner)),
        Rule::at => Clause::Quantity("at", tokens(inner)),
        Rule::for_ | Rule::time => Clause::Quantity("for", tokens(inner)),
        Rule::through => Clause::Quantity("through", tokens(inner)),
        Rule::where_ => Clause::Where(inner.as_str().to_owned(), place(&inner)),
        Rule::found => Clause::Found(inner.as_str().trim().to_owned(), place(&inner)),
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
            Rule::sign_of | Rule::dash | Rule::times | Rule::inch => TokenKind::Sign,
            Rule::mark => TokenKind::Mark,
            Rule::filler | Rule::k_and => TokenKind::Filler,
            Rule::negation => TokenKind::Negation,
            Rule::ratio | Rule::inches | Rule::off_count => {
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
