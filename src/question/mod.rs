//! Questions in words, and the phrases of order forms.
//!
//! [`parse()`] finds the structure; [`phrase`] finds out what the words name. Both stop before reasoning.

mod clauses;
pub mod parse;
pub mod phrase;
mod shares;

pub use parse::{Pieces, Question, parse, pieces};
pub use phrase::{Resolved, resolve_composition, resolve_order};
