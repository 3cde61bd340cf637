//! Decides whether a screen-printing ink will hold on a fabric, with a chain of reasons and a print recipe.

pub mod condition;
pub mod diagnostic;
pub mod document;
pub mod job;
pub mod model;
pub mod program;
pub mod quantity;
pub mod reason;
pub mod source;
pub mod statement;
pub mod words;
pub mod colour;
pub mod names;
pub mod question;
pub mod resolve;
pub mod json_job;
pub mod answer;
