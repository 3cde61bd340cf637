//! Questions in words, and the phrases of order forms.
//!
//! [`parse()`] finds the structure; [`phrase`] finds out what the words name. Both stop before reasoning.

mod answered;
mod apart;
mod bare;
mod bases;
mod behind;
mod between;
mod change;
mod clauses;
mod complaint;
mod denied;
mod failed;
mod heard;
mod hue;
mod loose;
mod naming;
mod numbers;
pub mod parse;
mod parts;
pub mod phrase;
pub mod reference;
mod shares;
mod spoken;
pub(crate) mod tokens;
mod wish;

pub use answered::answered;
pub use change::changed;
pub use complaint::{Complaint, complaint};
pub use failed::{Failed, failed, failed_alone, failure_in, names_failure};
pub use heard::says_something_else;
pub use loose::{Untangled, asked_for, beside, by_colour, placed, side_by_side, untangle, without_joint};
pub use parse::{Pieces, Question, parse, pieces};
pub use phrase::{Resolved, resolve_coat, resolve_composition, resolve_order};
pub use spoken::in_own_words;
pub use wish::{Wished, wished};
