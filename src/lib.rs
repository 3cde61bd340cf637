//! Decides whether a screen-printing ink will hold on a fabric, with a chain of reasons and a print recipe.

pub mod answer;
pub mod colour;
pub mod condition;
pub mod diagnostic;
pub mod document;
pub mod job;
pub mod json_job;
pub mod knowledge;
pub mod model;
pub mod names;
pub mod program;
pub mod quantity;
pub mod question;
pub mod reason;
pub mod resolve;
pub mod show;
pub mod source;
pub mod statement;
pub mod words;

pub use knowledge::Knowledge;
pub mod render;
