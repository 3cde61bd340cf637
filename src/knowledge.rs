//! The façade: a knowledge base that answers.

mod in_part;
mod readings;

pub use in_part::InPart;

use crate::answer::{
    Answer, Ask, Context, Difference, Lead, Over, Ranking, Said, Step, answer, bears, causes_of, compare, fit_of,
    hazards_of, interview, rank, ranked_attribute,
};
use crate::contract::{Detail, SCHEMA};
use crate::coverage::{Coverage, coverage};
use crate::diagnostic::{Problem, Problems};
use crate::draft::{Happened, draft};
use crate::json_job::{self, Job, JobError};
use crate::model::{self, AttributeType, CaseJob, Given, KindId, Model, Wish, where_rule};
use crate::names::Names;
use crate::plan::{Plan, plan};
use crate::program::{Program, compile};
use crate::proof::Proof;
use crate::quantity::System;
use crate::question::parse::{
    Change, Clause, Coat, MAX_LENGTH, Order, Token, TokenKind, parse_clauses, parse_phrase, written,
};
use crate::question::tokens::span_of;
use crate::question::{
    Complaint, Pieces, Question, Wished, answered, asked_for, beside, by_colour, changed, complaint, failed,
    failed_alone, failure_in, in_own_words, names_failure, parse, pieces, placed, resolve_order, says_something_else,
    side_by_side, untangle, wished, without_joint,
};
use crate::reason::decide::{Options, decide};
use crate::reason::prove::prove;
use crate::source::{BUILT_IN, SourceFile, Span};
use crate::statement::{Stated, Statement};
use rayon::prelude::*;
use serde::Serialize;
use std::borrow::Cow;
use std::sync::Arc;

/// A compiled knowledge base. Cheap to clone; safe to share between threads.
///
/// ```
/// use washfast::Knowledge;
/// let knowledge = Knowledge::built_in()?;
/// let answer = knowledge.ask("can plastisol go on white 100% cotton jersey?")?;
/// assert_ne!(answer.answer().map(|a| a.verdict), Some("no"));
/// # Ok::<(), washfast::diagnostic::Problems>(())
/// ```
#[derive(Debug, Clone)]
pub struct Knowledge {
    inner: Arc<Inner>,
    options: Options,
    units: System,
}

#[derive(Debug)]
struct Inner {
    program: Program,
    names: Names,
}

/// What a question gets.
#[derive(Debug, Clone)]
pub enum Reply {
    /// An answer about a job.
    Answer(Box<Answer>),
    /// Several jobs, the best first.
    Ranking(Ranking),
    /// What a change makes of the answer before.
    Difference(Box<Difference>),
    /// A question back, which an answer in words or by number settles.
    Ask(Box<Ask>),
    /// A page about a thing, rule or source, as lines.
    Page(Vec<String>),
}

impl Reply {
    /// The reply with notes on how it was taken.
    fn noted(mut self, notes: Vec<String>) -> Self {
        match &mut self {
            Self::Answer(answer) => answer.taken_as.extend(notes),
            Self::Ranking(ranking) => ranking.taken_as.extend(notes),
            Self::Difference(_) | Self::Ask(_) | Self::Page(_) => {}
        }
        self
    }

    /// The answer, if it is one.
    pub fn answer(&self) -> Option<&Answer> {
        match self {
            Self::Answer(a) => Some(a),
            Self::Ranking(_) | Self::Difference(_) | Self::Ask(_) | Self::Page(_) => None,
        }
    }
}

/// The reply to one order line: an answer, or what is wrong with it.
#[derive(Debug, Clone, Serialize)]
#[serde(untagged)]
pub enum LineReply {
    /// An answer.
    Answer(Box<Answer>),
    /// What is wrong.
    Errors {
        /// Version of the contract.
        schema: i64,
        /// The line, from 1.
        line: usize,
        /// The caller's id, where it could be read.
        id: Option<serde_json::Value>,
        /// Everything that is wrong.
        errors: Vec<JobError>,
    },
}

/// The answer about prints beside each other: the worst of theirs, with all of them where they are several.
fn whole(prints: Vec<Answer>) -> Option<Answer> {
    let worst = |a: &&Answer| ["yes", "yes-if", "depends", "no"].iter().position(|v| *v == a.verdict);
    let mut whole = prints.iter().rev().max_by_key(worst)?.clone();
    if prints.len() > 1 {
        whole.prints = prints;
    }
    Some(whole)
}

/// What is wrong with a print of an order that cannot exist, as it is described.
fn impossible(index: usize, print: &Answer) -> Option<JobError> {
    let reason = print.reasons.first().filter(|r| r.code == "contradiction")?;
    Some(JobError {
        code: "job::contradiction",
        pointer: format!("/prints/{index}"),
        message: reason.text.clone(),
        help: Some("say it otherwise: no plan is made for a print that cannot exist".to_owned()),
        nearest: Vec::new(),
        allowed: Vec::new(),
    })
}

/// How a worked case came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseResult {
    /// Its id.
    pub id: String,
    /// Where it is written.
    pub place: String,
    /// The layer that it belongs to.
    pub layer: String,
    /// What is wrong with it; nothing if it passed.
    pub failures: Vec<String>,
}

impl Knowledge {
    /// The knowledge that is built into the library.
    ///
    /// # Errors
    /// Problems of the knowledge itself; a released library has none.
    pub fn built_in() -> Result<Self, Problems> {
        let files: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/built_in.rs"));
        let files: Vec<SourceFile> = files.iter().map(|(name, text)| SourceFile::new(name, text)).collect();
        let stored = include_bytes!(concat!(env!("OUT_DIR"), "/built_in.model"));
        match model::restore(stored, files.clone()) {
            Some(model) => Ok(Self::of(model)),
            None => Self::from_files(files),
        }
    }

    /// Knowledge from texts, named by their path (`knowledge/fibres/cotton.yaml`).
    ///
    /// # Errors
    /// Everything that is wrong with them.
    pub fn from_files(files: Vec<SourceFile>) -> Result<Self, Problems> {
        let Some(top) = model::overlays(&files).pop() else { return Ok(Self::of(model::build(files)?)) };
        let below = files.iter().filter(|f| *f.layer != top.name).cloned().collect();
        Self::from_files(below)?.under(files)
    }

    /// This knowledge with another layer, given all texts. What the layer calls things must not say something without
    /// it: a colour called `flame retardant white` would take the finish out of what is asked.
    fn under(&self, files: Vec<SourceFile>) -> Result<Self, Problems> {
        let (model, given) = model::build_named(files)?;
        let hides = given.iter().filter(|g| says_something_else(&g.name, g.kind, self.model(), &self.inner.names));
        let problems: Vec<Problem> = hides
            .map(|Given { name, span, .. }| {
                let message = format!("without this name `{name}` says something else, which would no longer be heard");
                Problem::new("knowledge::name-hides-words", *span, "here", message)
                    .help("give it a name with a word of its own, such as the shop's")
            })
            .collect();
        if problems.is_empty() { Ok(Self::of(model)) } else { Err(Problems::new(problems, &model.files)) }
    }

    fn of(model: Model) -> Self {
        let names = Names::of(&model);
        let program = compile(Arc::new(model));
        let inner = Arc::new(Inner { program, names });
        Self { inner, options: Options::default(), units: System::default() }
    }

    /// This knowledge with a shop's own on top: its things, its stricter rules, its cases. The texts are named by
    /// their path below the shop's folder (`inks/bench-white.yaml`). Several houses lie on each other, the later on top.
    ///
    /// ```
    /// use washfast::{Knowledge, source::SourceFile};
    /// let ink = "id: bench-white\nname: bench white\nas: standard-plastisol\nis: [plastisol]\nbasis: house\n\
    ///            note: the can's data sheet\nproperties:\n  cure_target: {value: 163 °C, basis: house}\n";
    /// let shop = Knowledge::built_in()?.with_house("our-shop", vec![SourceFile::new("inks/bench-white.yaml", ink)])?;
    /// let reply = shop.ask("can bench white go on white cotton?")?;
    /// assert!(reply.answer().is_some_and(|a| a.verdict == "yes"));
    /// # Ok::<(), washfast::diagnostic::Problems>(())
    /// ```
    ///
    /// # Errors
    /// Everything that is wrong with the shop's texts; a name that another layer has.
    pub fn with_house(&self, name: &str, texts: Vec<SourceFile>) -> Result<Self, Problems> {
        let layers = self.model().overlays.iter().map(|o| o.name.as_str()).chain([BUILT_IN]);
        if name.is_empty() || name == "knowledge" || name.contains('/') || layers.into_iter().any(|l| l == name) {
            let problem = Problem::nowhere("knowledge::layer-name", format!("a house cannot be called `{name}`"))
                .help("call each house by a name of its own, without `/`");
            return Err(Problems::new(vec![problem], &[]));
        }
        let mut files = self.model().files.clone();
        files.extend(texts.into_iter().map(|t| t.in_overlay(name)));
        Ok(self.under(files)?.with_options(self.options).with_units(self.units))
    }

    /// The same knowledge with another way to decide, such as a smaller work budget.
    #[must_use]
    pub fn with_options(&self, options: Options) -> Self {
        Self { options, ..self.clone() }
    }

    /// The same knowledge, answering in other units where the asker names none.
    #[must_use]
    pub fn with_units(&self, units: System) -> Self {
        Self { units, ..self.clone() }
    }

    fn context(&self, detail: Detail) -> Context<'_> {
        Context { program: &self.inner.program, options: self.options, detail, units: self.units }
    }

    /// The checked model.
    pub fn model(&self) -> &Model {
        &self.inner.program.model
    }

    fn names(&self) -> &Names {
        &self.inner.names
    }

    /// The compiled program.
    pub fn program(&self) -> &Program {
        &self.inner.program
    }

    /// Answers a question in words.
    ///
    /// # Errors
    /// Words that are not understood, with their places.
    pub fn ask(&self, text: &str) -> Result<Reply, Problems> {
        self.ask_knowing(text, &Stated::default())
    }

    /// As [`Knowledge::ask`], with what was found out of the job besides.
    pub(crate) fn ask_knowing(&self, text: &str, known: &Stated) -> Result<Reply, Problems> {
        let wished = self.wished(text);
        // `soft hand` may be the name of a thing.
        let named = wished.as_ref().is_some_and(|w| w.named);
        if let Some(reply) = wished.as_ref().filter(|_| !named).and_then(|w| self.wishing(w, known)) {
            return Ok(reply);
        }
        let file = [SourceFile::new("question", text)];
        let question = self.read(text).map_err(|p| Problems::new(vec![p], &file));
        let reply = question.and_then(|q| self.reply(q, known, &[], &file));
        let wishing = || wished.filter(|_| named).and_then(|w| self.wishing(&w, known));
        reply.or_else(|p| {
            // What is understood but for one setting or finding is a job, whatever its ink is called: low-bleed.
            let understood =
                p.list().iter().all(|p| p.code == "question::bare-setting" || p.code.starts_with("finding::"));
            let p = p.quoting(&self.in_own_words(text), text);
            let each = || self.each_reading(text, &p, (known, &[]));
            if understood { Err(p) } else { wishing().or_else(|| self.complained(text, known)).or_else(each).ok_or(p) }
        })
    }

    /// The reply to a question with wishes; nothing where it is no question about jobs without them.
    fn wishing(&self, Wished { text, wishes, notes, .. }: &Wished, known: &Stated) -> Option<Reply> {
        let asks = &self.model().wishes.asks;
        [text.clone(), format!("{asks} {}", text.trim_start())].iter().find_map(|text| {
            let question = self.read(text).ok()?;
            let over = match question {
                Question::WhichCloths(_) => Over::Cloths,
                Question::Can(_)
                | Question::Loose(_)
                | Question::HowTo(_)
                | Question::WhichInks(_)
                | Question::Compare(..)
                | Question::Beside(..) => Over::Materials,
                _ => return None,
            };
            let wishes: Vec<&Wish> = wishes.iter().filter_map(|w| self.model().wishes.all.get(*w)).collect();
            let kind = ranked_attribute(self.model(), over)?.of(self.model())?.ty.members();
            let of = |w: &&Wish| self.model().properties.get(w.property.index()).is_some_and(|p| Some(p.kind) == kind);
            if !wishes.iter().all(of) {
                return None;
            }
            match self.reply(question, known, &wishes, &[SourceFile::new("question", text)]).ok()? {
                reply @ (Reply::Answer(_) | Reply::Ranking(_)) => Some(reply.noted(notes.clone())),
                _ => None,
            }
        })
    }

    /// A text without its wishes; nothing where it holds none.
    fn wished(&self, text: &str) -> Option<Wished> {
        if text.len() > MAX_LENGTH { None } else { wished(text, self.model(), &self.inner.names) }
    }

    /// Whether a question is about what went wrong with a print.
    fn complains(&self, text: &str) -> bool {
        let asked = self.read(text).is_ok_and(|q| matches!(q, Question::WhyDid(_)));
        asked || complaint(&self.in_own_words(text), self.model(), &self.inner.names).is_some()
    }

    /// What may be behind a complaint that is not worded as a question.
    fn complained(&self, text: &str, known: &Stated) -> Option<Reply> {
        let Complaint { questions, aside } = complaint(&self.in_own_words(text), self.model(), &self.inner.names)?;
        questions.iter().zip(aside).find_map(|(question, aside)| {
            let file = [SourceFile::new("question", question)];
            let read = self.read(question).ok().filter(|q| matches!(q, Question::WhyDid(_)))?;
            let reply = self.reply(read, known, &[], &file).ok()?;
            let Reply::Page(mut lines) = reply else { return None };
            if !aside.is_empty() {
                lines.push(format!("`{}` was heard and not weighed", aside.join("`, `")));
            }
            Some(Reply::Page(lines))
        })
    }

    /// The next step of the interview about a job: what to ask, or the answer where nothing that could be asked would
    /// change the verdict. Nothing is kept: what is answered is said of the job, and the next call takes it along.
    ///
    /// ```
    /// use washfast::{Knowledge, answer::Step};
    /// let knowledge = Knowledge::built_in()?;
    /// let mut job = knowledge.statements("plastisol on 100% cotton tee using flash, conveyor dryer at 160 °C")?;
    /// while let Step::Ask(question) = knowledge.interview(&job) {
    ///     // An order form shows `question.ask` and `question.options`; here the first answer is taken.
    ///     job = knowledge.answered(&job, &question, "1")?;
    /// }
    /// # Ok::<(), washfast::diagnostic::Problems>(())
    /// ```
    pub fn interview(&self, job: &Stated) -> Step {
        interview(self.context(Detail::Full), job)
    }

    /// A job with the answer to a question of its interview: the number of an option, or words.
    ///
    /// # Errors
    /// Words that are no answer to it.
    pub fn answered(&self, job: &Stated, ask: &Ask, words: &str) -> Result<Stated, Problems> {
        let file = [SourceFile::new("answer", words)];
        let option = words.trim().parse::<usize>().ok().and_then(|n| ask.options.get(n.checked_sub(1)?));
        let said = match option {
            Some(option) if option.leads_to.is_none() && option.each.len() > 1 => {
                let problem = Problem::new(
                    "question::which",
                    Span { file: 0, start: 0, end: words.len() as u32 },
                    "here",
                    "several answers stand under this number, and more is asked of each",
                );
                return Err(Problems::new(vec![problem.help("say which of them, in words")], &file));
            }
            Some(option) => option.said.clone(),
            None => answered(self.model(), &self.inner.names, ask.place, words.trim())
                .map_err(|p| Problems::new(p, &file))?,
        };
        let mut job = job.clone();
        job.add(said);
        Ok(job)
    }

    /// A house case drafted from what came of a job: what was asked, what was found out besides, what was answered, and
    /// the result in words.
    pub fn draft(&self, ask: &str, known: &Stated, answer: &Answer, result: &str) -> Vec<String> {
        let failure = failure_in(result, self.model(), &self.inner.names);
        draft(self.model(), Happened { ask, known, answer, result, failure })
    }

    /// A question as it is read: small words of other languages in our own, every word at its place.
    pub fn in_own_words<'t>(&self, text: &'t str) -> Cow<'t, str> {
        if text.len() > MAX_LENGTH { Cow::Borrowed(text) } else { in_own_words(text, self.model(), &self.inner.names) }
    }

    /// The job that a result begins with, before a colon, and the rest: `white plastisol on navy hoodie: turned pink`.
    pub(crate) fn job_before_colon<'t>(&self, text: &'t str) -> Option<(Pieces, &'t str)> {
        let (job, result) = text.split_once(':')?;
        let named = Some(result.trim()).filter(|r| !r.is_empty())?;
        Some((self.pieces(job.trim())?, named))
    }

    /// Reads a question. A label may begin with a share, which is no quantity to convert: `60% cotton 40% polyester,
    /// plastisol`. Nor is what names an ink and a cloth.
    pub(crate) fn read(&self, text: &str) -> Result<Question, Problem> {
        let question = match parse(&self.in_own_words(text))? {
            // What is kept in words is kept as it was said.
            Question::Given(_) | Question::Forget(_) | Question::Record(_) => parse(text)?,
            question => question,
        };
        if let Question::Can(order) = &question
            && let Some(loose) = placed(order, self.model(), &self.inner.names)
        {
            return Ok(Question::Loose(loose));
        }
        if let Question::Can(order) = &question
            && let Some(loose) = without_joint(order, self.model(), &self.inner.names)
            && self.unknown_words(&loose) < self.unknown_words(order)
        {
            return Ok(Question::Loose(loose));
        }
        if let Question::Convert(tokens) = &question {
            let order = Order { cloth: tokens.clone(), ..Order::default() };
            // `24 black tees, white logo` is an order that names no ink, and no quantity of some unit.
            let of_order = match untangle(order.clone(), self.model(), &self.inner.names) {
                Ok(_) => true,
                Err(problem) => {
                    let known =
                        matches!(problem.code, "question::no-ink" | "question::unclear" | "question::several-inks");
                    known && self.names_a_thing(tokens) && crate::reckon::convert(self.model(), tokens).is_err()
                }
            };
            if of_order {
                return Ok(Question::Loose(order));
            }
        }
        Ok(question)
    }

    /// How many words of an order are not understood.
    fn unknown_words(&self, order: &Order) -> usize {
        let (model, names) = (self.model(), &self.inner.names);
        let order = match order.stack.is_empty() {
            true => untangle(order.clone(), model, names).map(|f| f.order).map_err(|p| vec![p]),
            false => Ok(order.clone()),
        };
        let problems = order.and_then(|o| resolve_order(&o, model, names)).err().unwrap_or_default();
        problems.iter().filter(|p| p.code == "job::unknown-name").count()
    }

    /// Whether some of these words are a name of the knowledge.
    fn names_a_thing(&self, tokens: &[Token]) -> bool {
        let kinds: Vec<KindId> = (0..self.model().kinds.len()).map(|i| KindId(i as u16)).collect();
        let words: Vec<&str> = tokens.iter().filter(|t| t.kind == TokenKind::Word).map(|t| t.text.as_str()).collect();
        (0..words.len()).any(|at| words.get(at..).is_some_and(|w| self.inner.names.longest(&kinds, w).is_some()))
    }

    /// Replies to a question that was read.
    fn reply(
        &self,
        question: Question,
        known: &Stated,
        wishes: &[&Wish],
        file: &[SourceFile],
    ) -> Result<Reply, Problems> {
        let (model, names) = (self.model(), &self.inner.names);
        let stated =
            |order: &Order| resolve_order(order, model, names).map(|r| r.stated).map_err(|p| Problems::new(p, file));
        let context = self.context(Detail::Full);
        let decided = |order: &Order, lead: Lead| -> Result<Answer, Problems> {
            let read = resolve_order(order, model, names).map_err(|p| Problems::new(p, file))?;
            let stated = with_known(read.stated, known);
            let mut answer = answer(context, &stated);
            (answer.wished, answer.fits_better) = fit_of(context, &stated, wishes);
            answer.lead = lead;
            answer.taken_as.extend(read.notes);
            if lead == Lead::Facts
                && let Step::Ask(ask) = self.interview(&stated)
            {
                answer.next_question = Some(ask);
            }
            Ok(answer)
        };
        let about = |order: &Order, lead: Lead| decided(order, lead).map(|a| Reply::Answer(Box::new(a)));
        let otherwise = |order: Order, p: Problems| {
            // A complaint without a `why`: plastisol on leggings cracked.
            if names_failure(&order, model, names) {
                return self.reply(Question::WhyDid(order), known, &[], file);
            }
            let inkless = p.list().iter().all(|p| p.code == "question::no-ink");
            let inks = inkless.then(|| self.without_ink(order, (known, wishes), file)).flatten();
            inks.unwrap_or(Err(p))
        };
        match question {
            Question::Can(order) if by_colour(&order.stack, &["/", "&", "+"], model, names).len() > 1 => {
                let stacks = vec![order.stack.clone()];
                self.reply(Question::Beside(stacks, Order { stack: Vec::new(), ..order }), known, wishes, file)
            }
            Question::Can(order) | Question::WhyNot(order) => {
                about(&order, Lead::Verdict).or_else(|p| otherwise(order, p))
            }
            Question::HowTo(order) => about(&order, Lead::How),
            Question::AmountOf(sought, order) => {
                let order = match order.stack.is_empty() {
                    true => untangle(order, model, names).map_err(|p| Problems::new(vec![p], file))?.order,
                    false => order,
                };
                match about(&order, Lead::How)? {
                    Reply::Answer(answer) => Ok(Reply::Page(crate::answer::amounts_called(&answer, &sought))),
                    other => Ok(other),
                }
            }
            Question::WouldLet(order) => about(&order, Lead::Changes),
            Question::MustKnow(order) => about(&order, Lead::Facts),
            Question::Loose(order) => {
                if let Some((mut stacks, order)) = side_by_side(&order, model, names) {
                    if stacks.len() == 1 {
                        let stack = stacks.pop().unwrap_or_default();
                        return self.reply(Question::Can(Order { stack, ..order }), known, wishes, file);
                    }
                    return self.reply(Question::Beside(stacks, order), known, wishes, file);
                }
                let found = untangle(order.clone(), model, names).map_err(|p| Problems::new(vec![p], file));
                let reply = found.and_then(|f| {
                    let own = decided(&f.order, Lead::Verdict)?;
                    // What works one way and not the other is asked.
                    if let Some((other, span)) = f.other_way.as_ref().filter(|_| own.works())
                        && let Ok(second) = decided(other, Lead::Verdict)
                        && !second.works()
                    {
                        let problem = two_ways((&f.order, &own), (other, &second), *span);
                        return Err(Problems::new(vec![problem], file));
                    }
                    Ok(Reply::Answer(Box::new(own)).noted(f.notes))
                });
                reply.or_else(|p| otherwise(order, p))
            }
            Question::Setting(words, order) => {
                let lines = crate::show::setting(model, names, &words, &order.stack);
                let lines = lines.map_err(|p| Problems::new(vec![p], file))?;
                if order.cloth.is_empty() && order.clauses.is_empty() {
                    return Ok(Reply::Page(lines));
                }
                about(&order, Lead::Settings).map(|r| r.noted(lines))
            }
            Question::Bears(words, order) => {
                only_heat_and_machines(&order).map_err(|p| Problems::new(vec![p], file))?;
                let duty = crate::show::duty(model, names, &words).map_err(|p| Problems::new(vec![p], file))?;
                Ok(Reply::Page(bears(context, &stated(&order)?, duty)))
            }
            Question::WhichInks(order) => {
                let order = asked_for(order, model, names).map_err(|p| Problems::new(vec![p], file))?;
                self.ranking(order, Over::Materials, (known, wishes), file)
            }
            Question::WhichCloths(order) => self.ranking(order, Over::Cloths, (known, wishes), file),
            Question::Compare(stacks, order) => {
                let mut jobs = Vec::new();
                for stack in stacks {
                    let words = stack.iter().map(|c| written(&c.ink)).collect::<Vec<_>>();
                    let stated = stated(&Order { stack: stack.clone(), ..order.clone() })?;
                    jobs.push((words.join(" over "), with_known(stated, known)));
                }
                Ok(Reply::Ranking(compare(context, &jobs, wishes)))
            }
            Question::Beside(stacks, order) => {
                let stacks = stacks.iter().flat_map(|s| by_colour(s, &[",", "/", "&", "+"], model, names)).collect();
                let (stacks, note) = beside(stacks, model, names);
                let (mut prints, mut notes) = (Vec::new(), vec![note]);
                for (name, stack) in stacks {
                    let mut print = decided(&Order { stack, ..order.clone() }, Lead::Verdict)?;
                    print.position = Some(name);
                    for note in std::mem::take(&mut print.taken_as) {
                        if !notes.contains(&note) {
                            notes.push(note);
                        }
                    }
                    prints.push(print);
                }
                let Some(mut whole) = whole(prints) else {
                    return about(&order, Lead::Verdict);
                };
                whole.taken_as = notes;
                Ok(Reply::Answer(Box::new(whole)))
            }
            Question::WhyDid(order) => {
                // Whatever the job.
                if let Some(failure) = failed_alone(&order, model, names) {
                    let name = parse_phrase(&failure.name).map_err(|p| Problems::new(vec![p], file))?;
                    let page = crate::show::thing(model, names, &name).map(|mut lines| {
                        lines.push(
                            "say it with ink and cloth for what points to one cause: why did … on … go wrong"
                                .to_owned(),
                        );
                        lines
                    });
                    return self.page(page, file);
                }
                let said: Vec<String> = order.runs().into_iter().map(|r| written(r)).collect();
                let named = failure_in(&said.join(" "), model, names).filter(|(_, denied)| !denied);
                let found = failed(order, model, names).map_err(|p| Problems::new(vec![p], file))?;
                let read = match (resolve_order(&found.order, model, names), named) {
                    // `white print on maroon tees turned pink`: what mostly lies behind it is known without an ink.
                    (Err(p), Some((failure, _))) if p.iter().all(|p| p.code == "question::no-ink") => {
                        // Its name may hold words of the language, which are none here.
                        let word = |w: &str| Token { text: w.to_owned(), kind: TokenKind::Word, span: Span::default() };
                        let name: Vec<Token> = failure.name.split(' ').map(word).collect();
                        let page = crate::show::thing(model, names, &name).map(|mut lines| {
                            let ask = "name the ink as well for what points to one cause: why did … on … go wrong";
                            lines.push(ask.to_owned());
                            lines
                        });
                        return self.page(page, file);
                    }
                    (read, _) => read.map_err(|p| Problems::new(p, file))?,
                };
                let mut lines = causes_of(context, &with_known(read.stated, known), &found.failure);
                lines.extend(found.notes.into_iter().chain(read.notes));
                Ok(Reply::Page(lines))
            }
            Question::Show(tokens) => {
                let page = crate::show::thing(model, names, &tokens).map(|mut lines| {
                    // What is reckoned stands before the place where the thing is written.
                    let last = lines.len().saturating_sub(1);
                    let _ = lines.splice(last..last, crate::reckon::of_mesh(model, names, &tokens));
                    lines
                });
                self.page(page, file)
            }
            Question::WhatIs(tokens) => self.page(crate::show::meaning(model, names, &tokens), file),
            Question::ShowRules(tokens) => self.page(crate::show::rules(model, names, &tokens), file),
            Question::ShowSource(tokens) => self.page(crate::show::source(model, &tokens), file),
            Question::Dried(tokens) => self.page(crate::show::dried(model, names, &tokens), file),
            Question::Stored(tokens) => self.page(crate::show::kept(model, names, &tokens), file),
            Question::DoseIn(stirred, order) => {
                let lines = crate::show::dose(model, names, &stirred).map_err(|p| Problems::new(vec![p], file))?;
                self.reply(Question::Loose(order), known, wishes, file).map(|r| r.noted(lines))
            }
            Question::Cleans(tokens) => self.page(crate::show::cleaner(model, names, &tokens), file),
            Question::Convert(tokens) => self.page(crate::reckon::convert(model, &tokens), file),
            Question::Belt(tokens) => self.page(crate::reckon::belt(model, &tokens, None), file),
            Question::HowMuch(what, mass, dose) => {
                let found = crate::reckon::how_much(model, names, &what, &mass, &dose);
                self.page(found.map(|(lines, name)| self.with_hazards(lines, &name)), file)
            }
            Question::InkFor(what, run, mesh) => {
                let found = crate::reckon::for_run(model, names, &what, &run, &mesh);
                self.page(found.map(|(lines, name)| self.with_hazards(lines, &name)), file)
            }
            Question::AnHour(tokens) => self.page(crate::reckon::an_hour(model, &tokens), file),
            Question::Record(text) => match self.job_before_colon(&text) {
                Some((job, result)) => {
                    let job = job.text();
                    match self.ask_knowing(&job, known)? {
                        Reply::Answer(answer) => Ok(Reply::Page(self.draft(job.trim(), known, &answer, result))),
                        other => Ok(other),
                    }
                }
                None => Err(Problems::new(
                    vec![
                        Problem::new(
                            "question::no-session",
                            Span::default(),
                            "",
                            "this builds on what was said before",
                        )
                        .help(
                            "say the job with it: record plastisol on leggings: cracked after two washes; or say it \
                                 at the prompt, after a question: washfast without arguments",
                        ),
                    ],
                    file,
                )),
            },
            Question::Same(_) | Question::WhatIf(_) | Question::Given(_) | Question::Forget(_) => Err(Problems::new(
                vec![
                    Problem::new("question::no-session", Span::default(), "", "this builds on what was said before")
                        .help("say it at the prompt, after a question: washfast without arguments"),
                ],
                file,
            )),
        }
    }

    /// `100 caps cotton twill, 3 colours`: the inks for an order that names none. Nothing where it is not understood but for
    /// words that nothing here knows.
    fn without_ink(
        &self,
        mut order: Order,
        of: (&Stated, &[&Wish]),
        file: &[SourceFile],
    ) -> Option<Result<Reply, Problems>> {
        if !self.names_a_thing(&order.cloth) || order.stack.len() > 1 || !order.above.is_empty() {
            return None;
        }
        // What is said of a layer besides its colour would be lost.
        let hue = order.stack.pop().unwrap_or(Coat { ink: Vec::new(), clauses: Vec::new(), asked_for: true });
        if !hue.clauses.is_empty() {
            return None;
        }
        order.stack.push(Coat { asked_for: true, ..hue });
        let order = asked_for(order, self.model(), &self.inner.names).ok()?;
        match self.ranking(order, Over::Materials, of, file) {
            Ok(reply) => Some(Ok(reply.noted(vec!["no ink is named: these are the inks for it".to_owned()]))),
            // Whatever else is wrong with it comes first.
            Err(p) => Some(Err(p)),
        }
    }

    /// Several jobs, those for which what stands after `where` may hold.
    fn ranking(
        &self,
        mut order: Order,
        over: Over,
        (known, wishes): (&Stated, &[&Wish]),
        file: &[SourceFile],
    ) -> Result<Reply, Problems> {
        let Inner { program, names } = &*self.inner;
        let at = order.clauses.iter().position(|c| matches!(c, Clause::Where(..)));
        let chosen = at.map(|at| order.clauses.remove(at));
        let said = span_of(&order.cloth, 0, order.cloth.len());
        let read = resolve_order(&order, self.model(), names).map_err(|p| Problems::new(p, file))?;
        let stated = with_known(read.stated, known);
        // What is only said of its care or finish leaves every cloth open.
        let of_cloth = |s: &Statement| {
            let own = s.attribute.of(self.model()).filter(|a| a.phrase.as_deref() == Some("fabric"));
            own.is_some_and(|a| matches!(a.ty, AttributeType::Blend(_) | AttributeType::Choice(_)))
        };
        if over == Over::Materials && !stated.statements.iter().any(of_cloth) {
            let problem = Problem::new("question::no-cloth", said, "on which cloth?", "no cloth is named")
                .help("say the cloth: which inks go on black polyester");
            return Err(Problems::new(vec![problem], file));
        }
        let own;
        let program = match (chosen, ranked_attribute(&program.model, over)) {
            (Some(Clause::Where(text, span)), Some(attribute)) => {
                let rule = where_rule(&text, span, attribute, &program.model).map_err(|p| Problems::new(p, file))?;
                let mut model = Model::clone(&program.model);
                model.rules.push(rule);
                own = compile(Arc::new(model));
                &own
            }
            _ => program,
        };
        let context =
            Context { program, options: Options { explore: false, ..self.options }, ..self.context(Detail::Full) };
        Ok(Reply::Ranking(rank(context, &stated, over, wishes)).noted(read.notes))
    }

    /// The pieces of a question about one job, whatever the order of its words; nothing where it is of another form or
    /// not understood.
    pub(crate) fn pieces(&self, text: &str) -> Option<Pieces> {
        let found = pieces(&self.in_own_words(text));
        let Ok(Question::Loose(order)) = self.read(text) else { return found };
        // Prints beside each other are not one job.
        if side_by_side(&order, self.model(), &self.inner.names).is_some() {
            return None;
        }
        // What was said last to lie over it stays a clause.
        let above = order.above.len();
        let untangled = untangle(order, self.model(), &self.inner.names).ok()?;
        let ink = untangled.order.stack.get(above).map(|c| written(&c.ink)).unwrap_or_default();
        let mut pieces = Pieces { stack: ink, cloth: written(&untangled.order.cloth), ..found.unwrap_or_default() };
        if let Some(number) = untangled.cloth_behind_for {
            pieces.leave_out("for", number);
        }
        // The ink may have been said behind `with` or `without`, and what is stirred in with the cloth.
        pieces.clauses.retain(|c| !c.starts_with("with ") && !c.starts_with("without "));
        pieces.clauses.extend(untangled.order.clauses.iter().filter_map(|c| {
            let (word, items) = match c {
                Clause::With(items) => ("with", items),
                Clause::Without(items) => ("without", items),
                _ => return None,
            };
            let items: Vec<String> = items.iter().map(|i| written(i)).collect();
            Some(format!("{word} {}", items.join(" and ")))
        }));
        Some(pieces)
    }

    /// A question about one job with a change made, and how the change was taken where it can be taken otherwise.
    ///
    /// # Errors
    /// Words of the change that are not understood.
    pub(crate) fn changed(&self, last: &Pieces, change: &Change) -> Result<(Pieces, Option<String>), Problems> {
        let file = [SourceFile::new("change", change.stack.as_deref().unwrap_or_default())];
        changed(last, change, self.model(), &self.inner.names).map_err(|p| Problems::new(p, &file))
    }

    /// Lines about a material, and what can hurt there.
    fn with_hazards(&self, mut lines: Vec<String>, name: &str) -> Vec<String> {
        lines.extend(hazards_of(&self.inner.program, name).into_iter().map(|s| format!("  take care: {}", s.text)));
        lines
    }

    /// What clauses say, as they stand before any job.
    ///
    /// # Errors
    /// Words that are not understood.
    pub(crate) fn clauses(&self, text: &str) -> Result<Vec<Statement>, Problems> {
        let file = [SourceFile::new("given", text)];
        let clauses = parse_clauses(text).map_err(|p| Problems::new(vec![p], &file))?;
        let order = Order { clauses, ..Order::default() };
        resolve_order(&order, self.model(), &self.inner.names)
            .map(|r| r.stated.statements)
            .map_err(|p| Problems::new(p, &file))
    }

    /// The belt speed, with a heated length that was said before.
    pub(crate) fn belt(&self, tokens: &[Token], standing: Option<&str>, text: &str) -> Result<Reply, Problems> {
        let file = [SourceFile::new("question", text)];
        self.page(crate::reckon::belt(self.model(), tokens, standing), &file)
    }

    fn page(&self, found: Result<Vec<String>, Problem>, file: &[SourceFile]) -> Result<Reply, Problems> {
        found.map(Reply::Page).map_err(|p| Problems::new(vec![p], file))
    }

    /// What the words of a question say of a job, without deciding it.
    ///
    /// # Errors
    /// As [`Knowledge::ask`]; also a question that is about no job.
    pub fn statements(&self, text: &str) -> Result<Stated, Problems> {
        // A wish says nothing of the job.
        let wished = self.wished(text);
        if let Some(stated) = wished.as_ref().filter(|w| !w.named).and_then(|w| self.said(&w.text).ok()) {
            return Ok(stated);
        }
        self.said(text).or_else(|p| wished.and_then(|w| self.said(&w.text).ok()).ok_or(p))
    }

    fn said(&self, text: &str) -> Result<Stated, Problems> {
        let file = [SourceFile::new("question", text)];
        let question = self.read(text).map_err(|p| Problems::new(vec![p], &file))?;
        if let Question::Loose(order) = question {
            let order =
                untangle(order, self.model(), &self.inner.names).map_err(|p| Problems::new(vec![p], &file))?.order;
            let resolved = resolve_order(&order, self.model(), &self.inner.names);
            return resolved.map(|r| r.stated).map_err(|p| Problems::new(p, &file));
        }
        let Some(order) = question.job() else {
            let problem = Problem::new("question::no-job", Span::default(), "", "this question is about no job");
            return Err(Problems::new(vec![problem], &file));
        };
        resolve_order(order, self.model(), &self.inner.names).map(|r| r.stated).map_err(|p| Problems::new(p, &file))
    }

    /// Decides a job.
    pub fn decide(&self, stated: &Stated, detail: Detail) -> Answer {
        answer(self.context(detail), stated)
    }

    /// The certificate of the verdict on a job, for [`crate::checker::check`].
    pub fn prove(&self, stated: &Stated) -> Proof {
        let program = &self.inner.program;
        let decision = decide(program, stated, Options { explore: false, rows: false, ..self.options });
        prove(program, stated, &decision)
    }

    /// Reads a JSON job.
    ///
    /// # Errors
    /// Everything that is wrong with it, each with its pointer.
    pub fn read_job(&self, value: &serde_json::Value) -> Result<Job, Vec<JobError>> {
        json_job::read(value, self.model(), &self.inner.names)
    }

    /// Answers a JSON job. Of several prints the worst verdict is the job's.
    pub fn decide_job(&self, job: &Job) -> Answer {
        let answers = job.prints.iter().map(|p| {
            let mut a = self.decide(&p.stated, job.detail);
            a.position.clone_from(&p.position);
            a
        });
        let whole = whole(answers.collect());
        let mut whole = whole.unwrap_or_else(|| self.decide(&Stated::default(), job.detail));
        whole.id.clone_from(&job.id);
        whole.ext.clone_from(&job.ext);
        let short = |a: &mut Answer| a.reasons.iter_mut().for_each(|r| r.because.clear());
        match job.detail {
            Detail::Full => {}
            Detail::Short => {
                short(&mut whole);
                whole.prints.iter_mut().for_each(short);
            }
            Detail::Verdict => {
                // What can hurt people is told in every case, and of every print.
                let mut cautions: Vec<Said> = Vec::new();
                for caution in std::iter::once(&whole).chain(&whole.prints).flat_map(|a| &a.cautions) {
                    if caution.about.as_deref() == Some("health") && !cautions.contains(caution) {
                        cautions.push(caution.clone());
                    }
                }
                whole.cautions = cautions;
                whole.reasons.clear();
                whole.advice.clear();
                whole.conditions.clear();
                whole.recipe = None;
                whole.assumed.clear();
                whole.rows.clear();
                whole.prints.clear();
            }
        }
        whole
    }

    /// A plan for an order: a sheet for each print, what takes how long, what it costs.
    pub fn plan(&self, job: &Job) -> Plan {
        let job = Job { detail: Detail::Full, ..job.clone() };
        plan(self.model(), self.decide_job(&job), self.units)
    }

    /// A plan for an order in one line of JSON.
    ///
    /// # Errors
    /// The reply that says everything that is wrong with it, prints that cannot exist among it.
    pub fn plan_line(&self, line: usize, text: &str) -> Result<Plan, Box<LineReply>> {
        let plan = self.plan(&self.read_line(line, text)?);
        let errors: Vec<JobError> = plan.prints.iter().enumerate().filter_map(|(i, p)| impossible(i, p)).collect();
        if errors.is_empty() {
            return Ok(plan);
        }
        Err(Box::new(LineReply::Errors { schema: SCHEMA, line, id: plan.id, errors }))
    }

    /// A plan for what a question in words is about.
    ///
    /// # Errors
    /// What is not understood, or a question that is about no job.
    pub fn plan_question(&self, text: &str) -> Result<Plan, Problems> {
        let plan = plan(self.model(), self.decide(&self.statements(text)?, Detail::Full), self.units);
        let wrong = plan.prints.iter().enumerate().filter_map(|(i, p)| impossible(i, p));
        let wrong: Vec<Problem> = wrong.map(|e| Problem::nowhere(e.code, e.message)).collect();
        if wrong.is_empty() { Ok(plan) } else { Err(Problems::new(wrong, &[])) }
    }

    /// Answers one line of a JSON Lines order book: always one reply.
    pub fn decide_line(&self, line: usize, text: &str) -> LineReply {
        match self.read_line(line, text) {
            Ok(job) => LineReply::Answer(Box::new(self.decide_job(&job))),
            Err(reply) => *reply,
        }
    }

    /// Reads one line of a JSON Lines order book.
    ///
    /// # Errors
    /// The reply that says everything that is wrong with it.
    pub fn read_line(&self, line: usize, text: &str) -> Result<Job, Box<LineReply>> {
        let wrong = |id, errors| Box::new(LineReply::Errors { schema: SCHEMA, line, id, errors });
        let value = json_job::parse(text).map_err(|(value, errors)| wrong(value.get("id").cloned(), errors))?;
        self.read_job(&value).map_err(|errors| wrong(value.get("id").cloned(), errors))
    }

    /// Runs the worked cases.
    pub fn cases(&self) -> Vec<CaseResult> {
        // A case says nothing of what would help.
        let plain = self.with_options(Options { explore: false, ..self.options });
        plain.model().cases.par_iter().map(|case| plain.case(case)).collect()
    }

    /// What the worked cases touch of the rules. A case that is not understood touches nothing.
    pub fn coverage(&self) -> Coverage {
        let jobs = |job: &CaseJob| match job {
            CaseJob::Ask(text) => self.statements(text).into_iter().collect(),
            CaseJob::Job(value) => {
                self.read_job(value).map(|j| j.prints.into_iter().map(|p| p.stated).collect()).unwrap_or_default()
            }
        };
        let cases: Vec<(String, Vec<Stated>)> =
            self.model().cases.iter().map(|c| (c.id.clone(), jobs(&c.job))).collect();
        coverage(&self.inner.program, &cases, self.options)
    }

    fn case(&self, case: &model::Case) -> CaseResult {
        let mut failures = Vec::new();
        let answer = match &case.job {
            CaseJob::Ask(text) => match self.ask(text) {
                Ok(Reply::Answer(a)) => Some(*a),
                Ok(_) => {
                    failures.push("the question is about no job".to_owned());
                    None
                }
                Err(problems) => {
                    failures.extend(problems.list().iter().map(|p| format!("not understood: {p}")));
                    None
                }
            },
            CaseJob::Job(value) => match self.read_job(value) {
                Ok(job) => Some(self.decide_job(&job)),
                Err(errors) => {
                    failures.extend(errors.iter().map(|e| format!("{}: {}", e.pointer, e.message)));
                    None
                }
            },
        };
        if let Some(a) = answer {
            if a.verdict != case.verdict {
                failures.push(format!("verdict {}, not {}: {}", a.verdict, case.verdict, a.summary));
            }
            if case.code.as_ref().is_some_and(|c| c != a.code) {
                failures.push(format!("code {}, not {}", a.code, case.code.as_deref().unwrap_or("")));
            }
            let codes = codes(&a);
            let shown = shown(&a);
            for code in &case.because {
                if !shown.contains(code) && !codes.contains(code) {
                    failures.push(format!("`{code}` is not among its reasons"));
                }
            }
            for code in &case.never {
                if codes.contains(code) {
                    failures.push(format!("`{code}` is among its reasons and should not be"));
                }
            }
        }
        CaseResult {
            id: case.id.clone(),
            place: self.model().place(case.origin.span),
            layer: self.model().layer(case.origin.span).to_owned(),
            failures,
        }
    }
}

/// A job with what was found out besides; what the question says itself goes before.
fn with_known(mut stated: Stated, known: &Stated) -> Stated {
    let statements = known.statements.iter();
    let statements = statements.filter(|s| s.layer < stated.layers && !stated.mentions(s.attribute, s.layer));
    let findings = known.findings.iter().filter(|f| !stated.finds(f.entity, f.property));
    let new = Stated {
        layers: stated.layers,
        statements: statements.cloned().collect(),
        findings: findings.cloned().collect(),
    };
    stated.add(new);
    stated
}

/// A question whose answer hangs on how its colours are taken.
fn two_ways(own: (&Order, &Answer), other: (&Order, &Answer), span: Span) -> Problem {
    let told = |(order, answer): (&Order, &Answer)| {
        let ink = order.stack.iter().map(|c| written(&c.ink)).collect::<Vec<_>>().join(" over ");
        let cloth = written(&order.cloth);
        format!("`{ink} on {}` ({})", cloth.trim_matches([',', ';', ':', '-', ' ']), answer.verdict)
    };
    let message = "whose colour that is can be taken in two ways, and the answer hangs on it";
    let problem = Problem::new("question::unclear", span, "which is the print, which the cloth?", message);
    problem.help(format!("say {} or {}", told(own), told(other)))
}

/// What a cloth bears is asked for at a temperature or with machines; all else would go unheard.
fn only_heat_and_machines(order: &Order) -> Result<(), Problem> {
    let heard = |c: &Clause| matches!(c, Clause::Using(_) | Clause::Quantity("at", _));
    if order.stack.is_empty() && order.clauses.iter().all(heard) {
        return Ok(());
    }
    Err(Problem::new("question::unheard", Span::default(), "", "this asks about the cloth alone").help(
        "say only `at 150 °C` or `using flash` with it; for a print name the ink: plastisol on nylon using flash",
    ))
}

/// The rules under an answer's reasons: the bounds of its windows.
fn shown(a: &Answer) -> Vec<String> {
    a.reasons.iter().flat_map(|r| &r.because).filter_map(|b| b.rule.clone()).collect()
}

/// The codes that an answer leads with: reasons, conditions, cautions, advice, rows.
fn codes(a: &Answer) -> Vec<String> {
    let mut codes: Vec<String> = a.reasons.iter().map(|r| r.code.clone()).collect();
    codes.extend(a.conditions.iter().chain(&a.cautions).chain(&a.advice).map(|s| s.code.clone()));
    codes.extend(a.rows.iter().map(|r| r.code.clone()));
    codes
}
