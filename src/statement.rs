//! What was said of a job, before anything is made of it.

use crate::job::Domain;
use crate::model::{AttributeId, Model};

/// One thing that was said.
#[derive(Debug, Clone, PartialEq)]
pub struct Statement {
    /// Of which attribute.
    pub attribute: AttributeId,
    /// Of which layer, for an attribute of a layer.
    pub layer: usize,
    /// What it leaves possible.
    pub domain: Domain,
    /// In the asker's words.
    pub words: String,
}

/// Everything that was said of one print.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stated {
    /// How many layers it has.
    pub layers: usize,
    /// What was said, in order.
    pub statements: Vec<Statement>,
}

impl Stated {
    /// Whether an attribute was spoken of.
    pub fn mentions(&self, attribute: AttributeId, layer: usize) -> bool {
        self.statements.iter().any(|s| s.attribute == attribute && s.layer == layer)
    }

    /// Whether what was said of an attribute leaves no room for an assumption: all but what only rules members out.
    pub fn bars_assumption(&self, attribute: AttributeId, layer: usize, model: &Model) -> bool {
        let Some(ty) = attribute.of(model).map(|a| a.ty) else { return true };
        let mut own = self.statements.iter().filter(|s| s.attribute == attribute && s.layer == layer);
        own.any(|s| !s.domain.only_rules_out(ty, model))
    }
}
