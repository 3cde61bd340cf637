//! The certificate of a verdict: what would convince somebody who does not trust the reasoner.
//!
//! It speaks of rules, attributes and entities by their names, so that it can be read, kept and checked against the
//! knowledge by [`crate::checker`], which shares no evaluation with the reasoner.

use crate::job::Domain;
use serde::{Deserialize, Serialize};

/// A certificate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Proof {
    /// Digest of the knowledge that it is about.
    pub digest: String,
    /// The verdict.
    pub verdict: String,
    /// Its code.
    pub code: String,
    /// The jobs that it is about.
    pub world: World,
    /// What was taken for granted: attribute, layer and number of the assumption.
    pub assumed: Vec<(String, usize, usize)>,
    /// The case for the verdict.
    pub case: Case,
}

/// What was said, or what is left after it and assumptions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct World {
    /// How many layers.
    pub layers: usize,
    /// What was said: attribute, layer, what it leaves.
    pub said: Vec<Said>,
    /// Values of the knowledge that were found out, and what is left of each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub found: Vec<(Key, Domain)>,
}

/// One thing that was said.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Said {
    /// The attribute.
    pub attribute: String,
    /// The layer.
    pub layer: usize,
    /// What it leaves.
    pub domain: Domain,
}

/// The case for a verdict.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Case {
    /// Every part of the world is as the verdict says.
    Whole(Tree),
    /// Two jobs of the world that come out differently.
    Differ {
        /// One job, and why it comes out as it does.
        one: Point,
        /// Another.
        other: Point,
        /// Every part of the world, where there are few enough.
        covering: Option<Tree>,
    },
    /// A job for which nothing is known.
    Lacking(Point),
    /// These statements (by number) leave no job.
    Contradiction(Vec<usize>, Tree),
    /// The work for a full case ran out: nothing is claimed.
    Incomplete,
}

/// A concrete job with its evidence.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Point {
    /// One value for each attribute and open fact.
    pub values: Vec<(Key, Domain)>,
    /// Why it comes out as it does.
    pub evidence: Evidence,
}

/// What a world is split on.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Key {
    /// An attribute at a layer.
    Attribute(String, usize),
    /// A knowledge value that varies: kind, entity, property.
    Fact(String, String, String),
}

/// A world, or parts that cover it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Tree {
    /// Evidence for all of it.
    Leaf(Evidence),
    /// Parts that differ in one domain.
    Split(Key, Vec<(Part, Tree)>),
}

/// A part of a domain.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Part {
    /// This much of it.
    Domain(Domain),
    /// Of amounts: the sum of these members lies in this interval.
    Sum(Vec<usize>, i64, i64),
}

/// Why a set of jobs comes out as it does.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Evidence {
    /// This rule refuses all of them.
    Refused(Step),
    /// A setting has no value left.
    Crossed {
        /// The setting.
        setting: String,
        /// Its layer.
        layer: usize,
        /// The bound from below; none where it was stated.
        low: Option<Step>,
        /// The bound from above; none where it was stated.
        high: Option<Step>,
        /// Where they lie.
        at: (i64, i64),
    },
    /// None is refused, each has its grounds.
    Accepted {
        /// A false condition for every refusal that could concern them.
        refusals: Vec<Step>,
        /// Grounds, or why none are needed, for every aspect and element.
        grounds: Vec<Ground>,
        /// For a plain yes: a false condition for every requirement.
        requirements: Option<Vec<Step>>,
    },
    /// Not refused, and this aspect has no grounds.
    Lacking {
        /// A false condition for every refusal.
        refusals: Vec<Step>,
        /// The aspect.
        aspect: String,
        /// Its layer.
        layer: usize,
        /// Its entities.
        elements: Vec<String>,
    },
    /// No such job exists: this exclusion holds.
    Excluded(Step),
    /// No such job exists: nothing is left of a domain.
    Empty(Key),
}

/// Grounds for an aspect.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Ground {
    /// The aspect.
    pub aspect: String,
    /// Its layer.
    pub layer: usize,
    /// Its entities.
    pub elements: Vec<String>,
    /// The rule that supports it; none where it is not needed.
    pub by: Option<Step>,
}

/// How a rule stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// The rule.
    pub rule: String,
    /// The layer it is seen at.
    pub layer: usize,
    /// Its entities.
    pub elements: Vec<String>,
    /// Its tests that are known, by number: their truth and the quantities compared.
    pub tests: Vec<Claim>,
    /// What it bounds.
    pub value: Option<(i64, i64)>,
    /// Its basis.
    pub basis: String,
    /// Its sources.
    pub sources: Vec<String>,
}

/// How a test stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Claim {
    /// Its number in the rule's condition.
    pub test: usize,
    /// Whether it holds.
    pub holds: bool,
    /// The intervals compared.
    pub sides: Option<((i64, i64), (i64, i64))>,
}
