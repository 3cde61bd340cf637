//! The reasoner: what the rule base says of a set of jobs.
//!
//! [`evaluate`] gives three truth values over the set, [`search`](mod@search) finds concrete jobs in it, [`decide`]
//! makes a verdict of both. It knows nothing of printing.

pub mod decide;
pub mod evaluate;
pub mod explain;
pub mod hangs;
pub mod obstacle;
pub mod outlook;
pub mod prove;
pub mod rows;
pub mod search;
pub mod settle;
pub mod split;
