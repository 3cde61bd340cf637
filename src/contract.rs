//! What both sides of the JSON contract share.

/// The version of the JSON contract.
pub const SCHEMA: i64 = 1;

/// The key of a JSON job under which values of the knowledge stand that were found out for it.
pub const FOUND: &str = "found";

/// How much an answer tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Detail {
    /// The verdict and its code.
    Verdict,
    /// Without the full trees of reasons.
    Short,
    /// Everything.
    #[default]
    Full,
}
