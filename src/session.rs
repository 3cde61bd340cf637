//! What is kept from one question to the next at a prompt: the last question and standing facts.

use crate::diagnostic::{Problem, Problems};
use crate::knowledge::{Knowledge, Reply};
use crate::quantity::System;
use crate::question::parse::Pieces;
use crate::question::{Question, parse};
use crate::source::{SourceFile, Span};

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
    last: Option<Pieces>,
    using: Option<String>,
    heated_length: Option<String>,
    units: System,
}

/// A reply, and what was asked where that was put together from several questions.
#[derive(Debug, Clone)]
pub struct Said {
    /// The question as it was taken.
    pub taken_as: Option<String>,
    /// The reply.
    pub reply: Reply,
}

impl Session {
    /// Nothing was said yet.
    pub fn new(knowledge: Knowledge) -> Self {
        Self { knowledge, last: None, using: None, heated_length: None, units: System::default() }
    }

    /// Answers a question in the light of those before.
    ///
    /// # Errors
    /// Words that are not understood; `same …` before any question about a job.
    pub fn ask(&mut self, text: &str) -> Result<Said, Problems> {
        let file = [SourceFile::new("question", text)];
        let wrong = |p: Problem| Problems::new(vec![p], &file);
        match parse(text).map_err(wrong)? {
            Question::Same(change) => {
                let Some(last) = &self.last else {
                    let problem = Problem::new(
                        "question::nothing-before",
                        Span::default(),
                        "",
                        "no question about a job came before",
                    );
                    return Err(wrong(problem.help("ask one first, then: same but at 140 °C")));
                };
                let (pieces, note) = self.knowledge.changed(last, &change)?;
                let mut said = self.about(pieces, true)?;
                said.taken_as =
                    said.taken_as.map(|text| [Some(text), note].into_iter().flatten().collect::<Vec<_>>().join("; "));
                Ok(said)
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
            Question::Belt(tokens) => {
                let reply = self.knowledge.belt(&tokens, self.heated_length.as_deref(), text)?;
                Ok(Said { taken_as: None, reply })
            }
            _ => match self.knowledge.pieces(text) {
                Some(pieces) => self.about(pieces, false),
                None => Ok(Said { taken_as: None, reply: self.knowledge.ask(text)? }),
            },
        }
    }

    /// Answers about a job; what was given stands in for what the question does not say.
    fn about(&mut self, pieces: Pieces, changed: bool) -> Result<Said, Problems> {
        let mut asked = pieces.clone();
        let standing = self.using.as_ref().filter(|_| !asked.clauses.iter().any(|c| c.starts_with("using ")));
        asked.clauses.extend(standing.map(|list| format!("using {list}")));
        let text = asked.text();
        let reply = self.knowledge.ask(&text)?;
        let taken_as = (changed || asked != pieces).then_some(text);
        self.last = Some(pieces);
        Ok(Said { taken_as, reply })
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
                self.knowledge.check_clauses(&format!("using {fact}"))?;
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
        Said { taken_as: None, reply: Reply::Page(lines) }
    }
}
