//! An independent judge of the reasoner: a naive evaluator of complete jobs, every complete job of small
//! vocabularies, and the verdict by its definition.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
// The lint is mistaken where the type is inferred from the dereference.
#![allow(clippy::explicit_auto_deref)]

mod generate;
mod properties;
mod reference;
mod toys;
mod worlds;
