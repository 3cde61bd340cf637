//! Worked cases: the rule base's own tests.

use super::Origin;

/// A worked case.
#[derive(Debug, Clone)]
pub struct Case {
    /// Its id.
    pub id: String,
    /// Why it is here.
    pub says: Option<String>,
    /// The job.
    pub job: CaseJob,
    /// The verdict it must get.
    pub verdict: String,
    /// Codes that must be among the reasons.
    pub because: Vec<String>,
    /// Codes that must not be.
    pub never: Vec<String>,
    /// The answer's own code.
    pub code: Option<String>,
    /// Where the verdict comes from.
    pub origin: Origin,
}

/// How a case describes its job.
#[derive(Debug, Clone)]
pub enum CaseJob {
    /// In words.
    Ask(String),
    /// As a JSON job.
    Job(serde_json::Value),
}
