//! What is kept from one question to the next at a prompt: the last question and standing facts.

use crate::answer::{Answer, Ask, Difference, Lead, Step, difference};
use crate::contract::Detail;
use crate::diagnostic::{Problem, Problems};
use crate::job::Domain;
use crate::knowledge::{Knowledge, Reply};
use crate::model::read_quantity;
use crate::quantity::System;
use crate::question::Question;
use crate::question::parse::{Change, Pieces};
use crate::source::{SourceFile, Span};
use crate::statement::{Stated, Statement};

/// A run of questions, each of which may build on those before.
///
/// ```
/// use washfast::{Knowledge, session::Session};
/// let mut session = Session::new(Knowledge::built_in()?);
/// session.ask("can plastisol go on white 100% cotton jersey at 120 °C?")?;
/// let changed = session.ask("same but at 160 °C")?;
/// assert_eq!(changed.reply.answer().map(|a| a.verdict), Some("yes"));
/// # Ok::<(), washfast::diagnostic::Problems>(())
/// ```
#[derive(Debug, Clone)]
pub struct Session {
    knowledge: Knowledge,
    last: Option<Last>,
    asking: Option<Ask>,
    using: Option<String>,
    heated_length: Option<String>,
    units: System,
}

/// The last question about a job.
#[derive(Debug, Clone)]
struct Last {
    pieces: Pieces,
    /// What was found out of the job by asking back.
    known: Stated,
    answer: Box<Answer>,
}

/// A reply, and what was asked where that was put together from several questions.
#[derive(Debug, Clone)]
pub struct Said {
    /// The question as it was taken.
    pub taken_as: Option<String>,
    /// What a change made of the answer before.
    pub changed: Option<Box<Difference>>,
    /// The reply.
    pub reply: Reply,
}

impl Session {
    /// What it answers from.
    pub fn knowledge(&self) -> &Knowledge {
        &self.knowledge
    }

    /// Nothing was said yet.
    pub fn new(knowledge: Knowledge) -> Self {
        Self { knowledge, last: None, asking: None, using: None, heated_length: None, units: System::default() }
    }

    /// Answers a question in the light of those before.
    ///
    /// # Errors
    /// Words that are not understood; `same …` before any question about a job.
    pub fn ask(&mut self, text: &str) -> Result<Said, Problems> {
        match self.asking.take() {
            Some(ask) => self.answered(ask, text),
            None => self.question(text),
        }
    }

    /// Whether a question back is open: an empty line stops it, and all else is an answer if it can be one.
    pub fn is_asking(&self) -> bool {
        self.asking.is_some()
    }

    /// Answers a question that is no answer.
    fn question(&mut self, text: &str) -> Result<Said, Problems> {
        let file = [SourceFile::new("question", text)];
        let wrong = |p: Problem| Problems::new(vec![p], &file);
        match self.knowledge.read(text).map_err(wrong)? {
            Question::Same(change) => {
                let (before, pieces, note) = self.changed(&change, &file)?;
                let mut said = self.about(pieces, before.known)?;
                if let Reply::Answer(after) = &mut said.reply {
                    said.changed = Some(Box::new(difference(&before.answer, after)));
                    // Who asked how it is printed still does.
                    after.lead = before.answer.lead;
                }
                said.taken_as = with_note(said.taken_as, note);
                Ok(said)
            }
            // What is only asked about stays as it was for the next question.
            Question::WhatIf(change) => {
                let (before, pieces, note) = self.changed(&change, &file)?;
                let (text, reply) = self.asked(&pieces, &before.known)?;
                let reply = match reply {
                    Reply::Answer(after) => Reply::Difference(Box::new(difference(&before.answer, &after))),
                    other => other,
                };
                Ok(Said { taken_as: with_note(Some(text), note), changed: None, reply })
            }
            Question::Given(facts) => {
                for fact in facts {
                    self.given(&fact)?;
                }
                Ok(self.standing())
            }
            Question::Forget(what) => {
                match what.to_lowercase().as_str() {
                    "shop" | "the shop" | "machines" => self.using = None,
                    "dryer" | "the dryer" => self.heated_length = None,
                    "units" => self.use_units(System::default()),
                    "" | "all" | "everything" => {
                        (self.using, self.heated_length) = (None, None);
                        self.use_units(System::default());
                    }
                    other => {
                        let problem =
                            Problem::new("question::syntax", Span::default(), "", format!("`{other}` was not given"));
                        return Err(wrong(problem.help("say forget shop, forget dryer, forget units or forget all")));
                    }
                }
                Ok(self.standing())
            }
            Question::Record(result) => self.record(&result, &file),
            Question::Belt(tokens) => {
                let reply = self.knowledge.belt(&tokens, self.heated_length.as_deref(), text)?;
                Ok(plain(reply))
            }
            question => match self.knowledge.pieces(text) {
                Some(pieces) => {
                    let mut said = self.about(pieces.clone(), Stated::default())?;
                    let as_said = self.with_standing(&pieces) == pieces;
                    said.taken_as = said.taken_as.filter(|_| !as_said);
                    if let (Reply::Answer(answer), Some(last)) = (&mut said.reply, &mut self.last) {
                        answer.lead = match &question {
                            Question::HowTo(_) => Lead::How,
                            Question::WouldLet(_) => Lead::Changes,
                            Question::MustKnow(_) => Lead::Facts,
                            _ => Lead::Verdict,
                        };
                        last.answer.lead = answer.lead;
                    }
                    if matches!(question, Question::MustKnow(_)) { self.interviewed(&pieces, said) } else { Ok(said) }
                }
                None => Ok(plain(self.knowledge.ask_knowing(text, &self.standing_facts())?)),
            },
        }
    }

    /// The last question with a change made, and how the change was taken where it can be taken otherwise.
    fn changed(&self, change: &Change, file: &[SourceFile]) -> Result<(Last, Pieces, Option<String>), Problems> {
        let Some(last) = &self.last else {
            let problem =
                Problem::new("question::nothing-before", Span::default(), "", "no question about a job came before");
            return Err(Problems::new(vec![problem.help("ask one first, then: same but at 140 °C")], file));
        };
        let (pieces, note) = self.knowledge.changed(&last.pieces, change)?;
        Ok((last.clone(), pieces, note))
    }

    /// Drafts a house case of what came of a job: of the one that is named before a colon, or else of the last.
    fn record(&self, text: &str, file: &[SourceFile]) -> Result<Said, Problems> {
        let nothing = |message: &str, help: &str| {
            let problem = Problem::new("question::nothing-before", Span::default(), "", message).help(help);
            Problems::new(vec![problem], file)
        };
        if let Some((pieces, result)) = self.knowledge.job_before_colon(text) {
            let known = Stated::default();
            return match self.asked(&pieces, &known)? {
                (ask, Reply::Answer(answer)) => Ok(self.drafted(&ask, &known, &answer, result)),
                (_, other) => Ok(plain(other)),
            };
        }
        let Some(last) = &self.last else {
            return Err(nothing(
                "no question about a job came before",
                "ask about the job first, then: record it cracked after two washes; or name it: record plastisol on \
                 leggings: cracked after two washes",
            ));
        };
        if text.is_empty() {
            return Err(nothing("it is not said what came of it", "say it: record it cracked after two washes"));
        }
        let ask = self.with_standing(&last.pieces).text();
        Ok(self.drafted(&ask, &last.known, &last.answer, text))
    }

    fn drafted(&self, ask: &str, known: &Stated, answer: &Answer, result: &str) -> Said {
        plain(Reply::Page(self.knowledge.draft(ask.trim(), known, answer, result)))
    }

    /// Asks back where the job hangs on something that was not said.
    fn interviewed(&mut self, pieces: &Pieces, said: Said) -> Result<Said, Problems> {
        let job = self.knowledge.statements(&self.with_standing(pieces).text())?;
        Ok(match self.knowledge.interview(&job) {
            Step::Ask(ask) => {
                self.asking = Some(Ask::clone(&ask));
                Said { reply: Reply::Ask(ask), ..said }
            }
            Step::Done(_) => said,
        })
    }

    /// Takes an answer to a question back. What is no answer but a question is one; an empty line stops.
    fn answered(&mut self, ask: Ask, text: &str) -> Result<Said, Problems> {
        let Some(last) = self.last.clone() else { return self.question(text) };
        let asked = self.with_standing(&last.pieces);
        let own = self.knowledge.statements(&asked.text())?;
        let mut job = own.clone();
        job.add(last.known);
        if text.trim().is_empty() {
            let mut answer = self.knowledge.decide(&job, Detail::Full);
            answer.lead = Lead::Facts;
            return Ok(self.told(last.pieces, job.since(&own), answer));
        }
        let job = match self.knowledge.answered(&job, &ask, text) {
            Ok(job) => job,
            Err(problems) => {
                return self.question(text).map_err(|_| {
                    self.asking = Some(ask);
                    problems
                });
            }
        };
        let known = job.since(&own);
        match self.knowledge.interview(&job) {
            Step::Done(answer) => Ok(self.told(last.pieces, known, *answer)),
            Step::Ask(ask) => {
                self.last = Some(Last { known, ..last });
                self.asking = Some(Ask::clone(&ask));
                Ok(plain(Reply::Ask(ask)))
            }
        }
    }

    /// Keeps an answer as the last.
    fn told(&mut self, pieces: Pieces, known: Stated, answer: Answer) -> Said {
        let answer = Box::new(answer);
        self.last = Some(Last { pieces, known, answer: answer.clone() });
        plain(Reply::Answer(answer))
    }

    /// A question with what was given in the place of what it does not say.
    fn with_standing(&self, pieces: &Pieces) -> Pieces {
        let mut asked = pieces.clone();
        let standing = self.using.as_ref().filter(|_| !asked.clauses.iter().any(|c| c.starts_with("using ")));
        asked.clauses.extend(standing.map(|list| format!("using {list}")));
        asked
    }

    /// What is asked in all, and its reply.
    fn asked(&self, pieces: &Pieces, known: &Stated) -> Result<(String, Reply), Problems> {
        let text = self.with_standing(pieces).text();
        let mut known = known.clone();
        known.statements.extend(self.heated());
        let reply = self.knowledge.ask_knowing(&text, &known)?;
        Ok((text, reply))
    }

    /// What was given of the shop, as something that is said of every job.
    fn standing_facts(&self) -> Stated {
        let using = self.using.as_ref().and_then(|list| self.knowledge.clauses(&format!("using {list}")).ok());
        Stated { statements: using.into_iter().flatten().chain(self.heated()).collect(), ..Stated::default() }
    }

    /// The heated length that was given, as something that is said of every job.
    fn heated(&self) -> Option<Statement> {
        let text = self.heated_length.as_deref()?;
        let model = self.knowledge.model();
        let attribute = model.attribute("shop.heated_length")?;
        let steps = read_quantity(text, model.dimension("length")?, model).ok()?;
        Some(Statement {
            attribute,
            layer: 0,
            domain: Domain::Number { low: steps, high: steps },
            words: text.to_owned(),
        })
    }

    /// Answers about a job and keeps it as the last.
    fn about(&mut self, pieces: Pieces, known: Stated) -> Result<Said, Problems> {
        let (text, reply) = self.asked(&pieces, &known)?;
        if let Reply::Answer(answer) = &reply {
            self.last = Some(Last { pieces, known, answer: answer.clone() });
        }
        Ok(Said { taken_as: Some(text), changed: None, reply })
    }

    /// Takes a standing fact: machines, or the heated length of the dryer.
    fn given(&mut self, fact: &str) -> Result<(), Problems> {
        let system = match fact.to_lowercase().trim().strip_prefix("units").map(str::trim) {
            Some("us" | "customary" | "us customary") => Some(System::Us),
            Some("metric" | "si") => Some(System::Metric),
            _ => None,
        };
        if let Some(system) = system {
            self.use_units(system);
            return Ok(());
        }
        let number = fact.find(|c: char| c.is_ascii_digit());
        match number {
            Some(at) if fact.to_lowercase().contains("dryer") => {
                let length = fact.get(at..).unwrap_or("").trim();
                // Whatever is wrong with it is said now, not at the next question.
                let text = format!("belt for 60 s in {length}");
                self.knowledge.ask(&text)?;
                self.heated_length = Some(length.to_owned());
            }
            _ => {
                self.knowledge.clauses(&format!("using {fact}"))?;
                self.using = Some(fact.to_owned());
            }
        }
        Ok(())
    }

    fn use_units(&mut self, system: System) {
        self.knowledge = self.knowledge.with_units(system);
        self.units = system;
    }

    fn standing(&self) -> Said {
        let mut lines = Vec::new();
        lines.extend(self.using.as_ref().map(|u| format!("the shop has {u}")));
        lines.extend(self.heated_length.as_ref().map(|l| format!("the dryer is heated over {l}")));
        if self.units == System::Us {
            lines.push("answers are told in US customary units".to_owned());
        }
        if lines.is_empty() {
            lines.push("nothing is taken as given".to_owned());
        }
        plain(Reply::Page(lines))
    }
}

/// A reply to what was asked as it stands.
fn plain(reply: Reply) -> Said {
    Said { taken_as: None, changed: None, reply }
}

fn with_note(text: Option<String>, note: Option<String>) -> Option<String> {
    text.map(|text| [Some(text), note].into_iter().flatten().collect::<Vec<_>>().join("; "))
}
