//! The answer: verdict, reasons and what to do, with its own names, places and citations.
//!
//! Renderers and callers see answers only, never the model.

mod altered;
mod amount;
mod branches;
mod build;
mod cases;
mod changes;
mod difference;
mod facts;
mod failure;
mod houses;
mod interview;
mod laid;
mod moves;
mod rank;
mod reach;
mod reasons;
mod recipe;
mod said;
mod subject;
mod teller;
mod treatment;
mod units;
mod wish;
mod words;

pub use amount::amounts_called;
pub use build::{Context, answer};
pub use difference::{Changed, Difference, Outcome, difference};
pub use failure::causes_of;
pub use interview::{Ask, Choice, Step, interview};
pub use rank::{Chosen, Over, Ranked, Ranking, compare, rank, ranked_attribute};
pub use reasons::{contradiction_words, value_words};
pub use said::hazards_of;
pub use treatment::bears;
pub(crate) use treatment::duties;
pub use wish::{BetterFit, Heard, fit_of};
pub(crate) use words::OPENERS;

use crate::source::BUILT_IN;
use crate::statement::Stated;
use serde::Serialize;
use serde_json::{Map, Value};

/// The answer to one job. The field names are the JSON contract.
#[derive(Debug, Clone, Serialize)]
pub struct Answer {
    /// Version of the contract.
    pub schema: i64,
    /// The caller's id.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Value>,
    /// The caller's own data.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ext: Option<Value>,
    /// Where the print sits, for one of several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<String>,
    /// `yes`, `yes-if`, `no` or `depends`.
    pub verdict: &'static str,
    /// Its code.
    pub code: &'static str,
    /// How words that can mean several things were taken, and how to say the other.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub taken_as: Vec<String>,
    /// How it stands to what was wished; no verdict hangs on it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wished: Vec<Heard>,
    /// Other materials that would do and fit better to what was wished, the best first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub fits_better: Vec<BetterFit>,
    /// What the question asks to be told first.
    #[serde(skip)]
    pub lead: Lead,
    /// One sentence.
    pub summary: String,
    /// What it is about, in words.
    pub subject: String,
    /// What the verdict rests on, best supported first.
    pub reasons: Vec<Reason>,
    /// What must be done for it to work.
    pub conditions: Vec<Said>,
    /// What can hurt people, goods or the law.
    pub cautions: Vec<Said>,
    /// Advice.
    pub advice: Vec<Said>,
    /// How it is printed: as described, or, where that hangs on open facts, in the safe way.
    pub recipe: Option<Recipe>,
    /// What decides, where it is open.
    pub depends_on: Vec<Deciding>,
    /// What to ask first, where the question asks what decides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next_question: Option<Box<Ask>>,
    /// The branches of an open answer: no if …
    pub rows: Vec<Branch>,
    /// There are surely no other such branches.
    pub rows_complete: bool,
    /// What works whatever the open facts are.
    pub safe_way: Option<Fix>,
    /// What was taken for granted.
    pub assumed: Vec<Assumed>,
    /// The smallest sets of changes by the shop that would make it work and keep the ink.
    pub fixes: Vec<Fix>,
    /// As `fixes`, with another ink.
    pub alternatives: Vec<Fix>,
    /// Where none of those is: changes by the shop after which it depends on what was not said.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub may_help: Vec<Fix>,
    /// Some change by the shop leaves it open, be it one of those or one that hangs on several questions.
    #[serde(skip)]
    pub may_do: bool,
    /// What the customer could change, where nothing that the shop controls helps.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub customer_fixes: Vec<Fix>,
    /// The weakest basis among what decides.
    pub evidence: &'static str,
    /// What was understood.
    pub job: Map<String, Value>,
    /// What of a shop's own knowledge took part.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub house: Vec<Reason>,
    /// What it took to find it.
    #[serde(skip)]
    pub work: Work,
    /// Which knowledge answered.
    pub knowledge: KnowledgeId,
    /// The prints, where there are several.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub prints: Vec<Answer>,
}

/// What it took to find an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Work {
    /// Possible jobs that were looked at.
    pub jobs: u32,
    /// Changes of which was seen what they take away.
    pub changes: u32,
}

/// What a question asks to be told first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lead {
    /// Whether, and why.
    #[default]
    Verdict,
    /// How it is printed, step by step.
    How,
    /// What is set.
    Settings,
    /// What would make it possible.
    Changes,
    /// Which facts decide.
    Facts,
}

/// A reason, with what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    /// Stable code: a rule's id, `stated`, `assumed` or `knowledge`.
    pub code: String,
    /// For people.
    pub text: String,
    /// The values in the text.
    pub values: Map<String, Value>,
    /// The rule.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// How well it is supported.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub basis: Option<&'static str>,
    /// Where it was published.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// The layer of knowledge it comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layer: Option<String>,
    /// File and line.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// What it rests on.
    pub because: Vec<Reason>,
}

impl Reason {
    /// The house whose word it is, where it is not built in.
    pub fn house(&self) -> Option<&str> {
        self.layer.as_deref().filter(|l| *l != BUILT_IN)
    }
}

impl Answer {
    /// Whether the job may be done, be it on conditions.
    pub fn works(&self) -> bool {
        ["yes", "yes-if"].contains(&self.verdict)
    }
}

/// A condition, caution or piece of advice.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Said {
    /// Stable code: the rule's id.
    pub code: String,
    /// For people.
    pub text: String,
    /// The values in the text.
    pub values: Map<String, Value>,
    /// What it is about, for a caution.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
    /// Only in this case; in every case where absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub when: Option<String>,
    /// The step of work that it belongs to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub step: Option<String>,
    /// How long it takes, in seconds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lasts: Option<Between>,
    /// How well it is supported.
    pub basis: &'static str,
    /// Where it was published.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// The layer of knowledge it comes from.
    pub layer: String,
    /// File and line.
    pub place: String,
}

impl Said {
    /// Its text, with the case in which it holds.
    pub fn told(&self) -> String {
        match &self.when {
            Some(when) => format!("{when}: {}", self.text),
            None => self.text.clone(),
        }
    }
}

/// Between two ends.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Between {
    /// At least.
    pub min: f64,
    /// At most.
    pub max: f64,
}

/// How to print it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Recipe {
    /// The layers, from the cloth up.
    pub layers: Vec<SheetLayer>,
    /// Windows of settings by JSON key.
    pub settings: Map<String, Value>,
    /// Steps of work in order.
    pub steps: Vec<WorkStep>,
    /// Amounts for the run.
    pub quantities: Vec<Quantity>,
    /// What would have to be said for more of them: the questions, by attribute.
    pub asks: Vec<Wanted>,
    /// Tests before and after.
    pub tests: Vec<Said>,
}

/// A layer of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SheetLayer {
    /// What it is made of, by its id, where that is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub material: Option<String>,
    /// For people.
    pub text: String,
    /// The code of the condition that asks for it; absent where it was described.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked_by: Option<String>,
}

/// An amount for the run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Quantity {
    /// Stable key.
    pub key: &'static str,
    /// The layer that it is of, from 1 on the cloth.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub layer: Option<usize>,
    /// The step of work that it belongs to.
    pub step: &'static str,
    /// The thing that it is an amount of, by its id, where it is one of several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thing: Option<String>,
    /// For people.
    pub text: String,
    /// The lower end, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub min: Option<Value>,
    /// The upper end.
    pub max: Value,
    /// What to plan with.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub suggested: Option<Value>,
    /// The unit of these numbers, in the Unified Code for Units of Measure.
    pub unit: String,
    /// How it comes about.
    pub why: String,
    /// The weakest basis among what it rests on.
    pub basis: &'static str,
}

/// A question that was not answered.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wanted {
    /// The attribute.
    pub attribute: String,
    /// The question.
    pub ask: String,
}

/// A step of work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkStep {
    /// Its name.
    pub step: String,
    /// What it is called on a sheet.
    pub title: String,
    /// The settings that belong to it, by their keys.
    pub settings: Vec<String>,
    /// What is done.
    pub work: Vec<Said>,
    /// The conditions that are met in it, by their codes.
    pub conditions: Vec<String>,
}

/// A fact that decides.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Deciding {
    /// The attribute.
    pub attribute: String,
    /// The question that asks for it.
    pub ask: String,
    /// How the answer begins, where it is no word of the order: `found leather heat limit`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub say: Option<String>,
    /// What each answer leads to.
    pub branches: Vec<Branch>,
}

/// A branch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Branch {
    /// The values of this branch, in words.
    pub values: Vec<String>,
    /// Its verdict.
    pub verdict: &'static str,
    /// The code of what decides there.
    pub code: String,
    /// For people.
    pub text: String,
}

/// Something taken for granted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assumed {
    /// The attribute.
    pub attribute: String,
    /// What was assumed.
    pub value: Value,
    /// In words.
    pub text: String,
    /// The verdict that could be reached if it is wrong.
    pub changes_to: Option<&'static str>,
    /// Whether anything in the answer hangs on it.
    pub matters: bool,
}

/// Changes and the verdict they lead to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fix {
    /// What to change, all of it.
    pub changes: Vec<String>,
    /// The verdict then.
    pub verdict: &'static str,
    /// What must be done then.
    pub conditions: Vec<Said>,
    /// What can hurt people then.
    pub cautions: Vec<Said>,
    /// What decides then, where the verdict is open.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hangs_on: Option<Deciding>,
    /// What would be said of the job then; several where any of them will do.
    #[serde(skip)]
    pub jobs: Vec<Stated>,
    /// What would be said of it with one of several changes left out, for each.
    #[serde(skip)]
    pub without: Vec<Stated>,
}

/// Which knowledge answered.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KnowledgeId {
    /// Version of the built-in knowledge.
    pub version: &'static str,
    /// Version of the engine.
    pub engine: &'static str,
    /// Digest of the meaning.
    pub digest: String,
    /// Overlays on top of it.
    pub overlays: Vec<OverlayId>,
}

/// An overlay that took part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OverlayId {
    /// Its name.
    pub name: String,
    /// Digest of what it says.
    pub digest: String,
}
