//! An independent judge of the reasoner: a naive evaluator of complete jobs, every complete job of small
//! vocabularies, and the verdict by its definition.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod generate;
mod properties;
mod reference;
mod worlds;
