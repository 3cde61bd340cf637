//! What was said of a job, before anything is made of it.

use crate::job::Domain;
use crate::model::{Assumption, AttributeId, EntityId, Model, PropertyId};

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

/// A value of the knowledge that differs from item to item, or that nobody wrote down, as it was found out for this job:
/// on a data sheet, on a label, by a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Of which thing.
    pub entity: EntityId,
    /// Which of its properties.
    pub property: PropertyId,
    /// What it leaves possible.
    pub domain: Domain,
    /// In the asker's words.
    pub words: String,
}

impl Finding {
    /// As a question says it: `found leather heat limit 130 °C`.
    pub fn said(&self, model: &Model) -> String {
        format!("{} {}", said_of(model, self.entity, self.property), self.words)
    }
}

/// How a finding of a value begins in a question.
pub fn said_of(model: &Model, entity: EntityId, property: PropertyId) -> String {
    let entity = model.entities.get(entity.index()).map_or("", |e| e.name.as_str());
    let property = model.properties.get(property.index()).map_or("", |p| p.name.as_str());
    format!("found {entity} {}", property.replace('_', " "))
}

/// Where something that is said of a job is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// An attribute at a layer.
    Attribute(AttributeId, usize),
    /// A value of the knowledge.
    Value(EntityId, PropertyId),
}

/// Everything that was said of one print.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stated {
    /// How many layers it has.
    pub layers: usize,
    /// What was said, in order.
    pub statements: Vec<Statement>,
    /// What was found out besides, in order.
    pub findings: Vec<Finding>,
}

impl From<Statement> for Stated {
    /// A single statement.
    fn from(statement: Statement) -> Self {
        Self { statements: vec![statement], ..Self::default() }
    }
}

impl From<Finding> for Stated {
    /// A single finding.
    fn from(finding: Finding) -> Self {
        Self { findings: vec![finding], ..Self::default() }
    }
}

impl Stated {
    /// Adds what was said or found out besides.
    pub fn add(&mut self, more: Self) {
        self.statements.extend(more.statements);
        self.findings.extend(more.findings);
    }

    /// What was said and found out after so much of it was known.
    pub fn since(&self, before: &Self) -> Self {
        Self {
            layers: self.layers,
            statements: self.statements.get(before.statements.len()..).unwrap_or_default().to_vec(),
            findings: self.findings.get(before.findings.len()..).unwrap_or_default().to_vec(),
        }
    }

    /// The same findings with only these of the statements, by number.
    pub fn only(&self, kept: &[usize]) -> Self {
        let statements = kept.iter().filter_map(|i| self.statements.get(*i)).cloned().collect();
        Self { statements, ..self.clone() }
    }

    /// Whether a value of the knowledge was found out.
    pub fn finds(&self, entity: EntityId, property: PropertyId) -> bool {
        self.findings.iter().any(|f| (f.entity, f.property) == (entity, property))
    }

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

    /// Whether what was said leaves no room for this assumption.
    pub fn bars(&self, assumption: &Assumption, attribute: AttributeId, layer: usize, model: &Model) -> bool {
        let Some(class) = assumption.among else { return self.bars_assumption(attribute, layer, model) };
        let mut own = self.statements.iter().filter(|s| s.attribute == attribute && s.layer == layer);
        !own.any(|s| s.domain == Domain::Choice(class))
    }
}
