//! Where a fact comes from.

use super::{EntityId, SourceId};
use crate::source::Span;
use serde::{Deserialize, Serialize};

/// How well a fact is supported, strongest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Basis {
    /// Stated by a named publication.
    Published,
    /// A shop's own measurement or its ink's data sheet.
    House,
    /// Known in the trade, with no nameable source.
    CommonPractice,
    /// Remembered, confirmed by nobody.
    FromMemory,
}

impl Basis {
    /// All of them, strongest first.
    pub const ALL: [Self; 4] = [Self::Published, Self::House, Self::CommonPractice, Self::FromMemory];

    /// The basis that is written so.
    pub fn of(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|b| b.words() == words)
    }

    /// How it is written.
    pub fn words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::House => "house",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
        }
    }
}

/// Where a fact comes from.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Origin {
    /// How well it is supported.
    pub basis: Basis,
    /// Its sources, for a published fact.
    pub sources: Vec<SourceId>,
    /// A note for reviewers.
    pub note: Option<String>,
    /// Where it is written.
    pub span: Span,
    /// The entity that it was inherited from.
    pub inherited: Option<EntityId>,
}

/// A source that facts cite.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Source {
    /// Its id.
    pub id: String,
    /// Title, publisher, year and clause in one line.
    pub citation: String,
    /// How far it was read.
    pub read: String,
    /// Where it is written.
    pub span: Span,
}
