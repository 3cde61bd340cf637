//! What tells of a decision: the parts of an answer are its methods, a file a part.

use super::words::Units;
use crate::program::Program;
use crate::quantity::DimensionId;
use crate::reason::decide::Decision;
use crate::reason::evaluate::{Evaluation, Interval};
use crate::statement::Stated;

pub(super) struct Teller<'a> {
    pub(super) program: &'a Program,
    pub(super) stated: &'a Stated,
    pub(super) decision: &'a Decision,
    pub(super) e: &'a Evaluation<'a>,
    pub(super) units: Units,
}

impl Teller<'_> {
    /// A quantity in the units of whoever asked.
    pub(super) fn quantity(&self, i: Interval, dimension: DimensionId) -> String {
        self.units.write(&self.program.model, i, dimension)
    }
}
