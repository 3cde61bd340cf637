//! Worked cases: the rule base's own tests.

use super::Origin;
use serde::{Deserialize, Serialize};

/// A worked case.
#[derive(Debug, Clone, Serialize, Deserialize)]
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
#[derive(Debug, Clone, Serialize, Deserialize)]
pub enum CaseJob {
    /// In words.
    Ask(String),
    /// As a JSON job.
    Job(#[serde(with = "as_text")] serde_json::Value),
}

/// A JSON job is stored as its text: what it holds has no type of its own.
mod as_text {
    use serde::de::Error as _;
    use serde::{Deserialize, Deserializer, Serializer};
    use serde_json::Value;

    pub(super) fn serialize<S: Serializer>(job: &Value, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&job.to_string())
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Value, D::Error> {
        serde_json::from_str(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}
