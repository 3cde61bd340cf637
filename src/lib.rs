//! Decides whether a screen-printing ink will hold on a fabric, with a chain of reasons.
//!
//! [`Knowledge`] is the way in: it answers questions in words ([`Knowledge::ask`]) and JSON jobs
//! ([`Knowledge::decide_job`]). Behind it data flows one way: [`source`] texts become a checked [`model`], a compiled
//! [`program`]; a [`question`] or [`json_job`] becomes [`statement`]s, a set of possible [`job`]s; [`reason`] decides
//! it, [`answer`] says it, [`render`] writes it.
//!
//! ```
//! use washfast::Knowledge;
//!
//! let knowledge = Knowledge::built_in()?;
//! let reply = knowledge.ask("can standard plastisol go on black 100% polyester?")?;
//! let answer = reply.answer().ok_or("a question about a job gets an answer")?;
//! assert_eq!(answer.verdict, "no");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod amounts;
pub mod answer;
pub mod checker;
pub mod colour;
pub mod complete;
pub mod condition;
pub mod contract;
pub mod coverage;
pub mod diagnostic;
mod document;
mod draft;
mod figures;
pub mod job;
pub mod json_job;
pub mod knowledge;
pub mod model;
mod names;
pub mod plan;
pub mod program;
pub mod proof;
pub mod quantity;
pub mod question;
pub mod reason;
mod reckon;
pub mod render;
mod resolve;
pub mod session;
mod show;
pub mod source;
pub mod statement;
pub mod sums;
pub mod tally;
pub mod words;

pub use knowledge::Knowledge;

#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
