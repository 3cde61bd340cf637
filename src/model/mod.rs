//! The checked model: everything that knowledge says, with names resolved, types and dimensions checked.
//!
//! [`build`] turns documents into a [`Model`] or into every problem found. What is written here in text is for
//! people only; nothing later looks a name up by its text while reasoning.
//!
//! The files beside this one say what a model holds, a part of it each; `read/` makes them from documents.

mod attribute;
mod case;
mod digest;
mod entity;
mod formula;
mod ids;
mod mask;
mod origin;
mod read;
mod rule;
mod speech;
mod stored;
mod wish;

pub use attribute::{
    Aspect, AssumedValue, Assumption, Attribute, AttributeType, Combine, Limits, Role, Step, Tolerance,
};
pub use case::{Case, CaseJob};
pub use entity::{Entity, Fact, Kind, Property, PropertyType, Replaced, Safer, Value};
pub use formula::{Bound, End, Formula, Frame, Members, Number, Per, Place, Scope, Shape, SomeMember, Test, TestKind};
pub use ids::{AspectId, AttributeId, EntityId, KindId, PropertyId, RuleId, SourceId};
pub use mask::{MAX_MEMBERS, Mask};
pub use origin::{Basis, Origin, Source};
pub use read::{Given, WHERE, build, build_named, overlays, read_quantity, where_rule};
pub use rule::{Effect, Laid, Piece, Rule, Template};
pub use speech::{Behind, Complaints, Speech, Told, UsualShares, Whom};
pub use stored::{restore, store};
pub use wish::{Best, Fit, Wish, Wishes};

use crate::quantity::{Dimension, DimensionId};
use crate::source::{BUILT_IN, SourceFile, Span};
use serde::{Deserialize, Serialize};

/// Everything that knowledge says.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Model {
    /// The texts it was read from.
    #[serde(skip)]
    pub files: Vec<SourceFile>,
    /// Dimensions of quantities.
    pub dimensions: Vec<Dimension>,
    /// Kinds of entities.
    pub kinds: Vec<Kind>,
    /// Properties of kinds.
    pub properties: Vec<Property>,
    /// Entities and classes.
    pub entities: Vec<Entity>,
    /// Attributes of a job.
    pub attributes: Vec<Attribute>,
    /// Aspects that need grounds.
    pub aspects: Vec<Aspect>,
    /// Steps of work, in their order.
    pub steps: Vec<Step>,
    /// Rules in order of id.
    pub rules: Vec<Rule>,
    /// Sources.
    pub sources: Vec<Source>,
    /// Worked cases.
    pub cases: Vec<Case>,
    /// Failures that hurt people or break the law: what prevents them is never loosened.
    pub safety: Vec<String>,
    /// Small words of the question language, each with a phrase that says the same, folded; the longest phrases first.
    pub spoken: Vec<(String, String)>,
    /// Words of complaints.
    pub complaints: Complaints,
    /// What may be wished of things.
    pub wishes: Wishes,
    /// Overlays, the later over the earlier.
    pub overlays: Vec<Overlay>,
    /// Digest of the meaning, not of the layout.
    pub digest: String,
}

/// A shop's own knowledge on top of what is built in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Overlay {
    /// Its name.
    pub name: String,
    /// Digest of what it says, not of its layout.
    pub digest: String,
}

impl Model {
    /// Whether a rule is there for safety or law.
    pub fn is_safety(&self, rule: &Rule) -> bool {
        let about = matches!(&rule.effect, Effect::Note { about, .. } if ["health", "law"].contains(&about.as_str()));
        about || rule.prevents.as_ref().is_some_and(|p| self.safety.contains(p))
    }

    /// The entity that is member `ordinal` of a kind.
    pub fn member(&self, kind: KindId, ordinal: usize) -> Option<&Entity> {
        let id = *self.kinds.get(kind.index())?.members.get(ordinal)?;
        self.entities.get(id.index())
    }

    /// All members of a kind.
    pub fn everyone(&self, kind: KindId) -> Mask {
        Mask::first(self.kinds.get(kind.index()).map_or(0, |k| k.members.len()))
    }

    /// The attribute of a name.
    pub fn attribute(&self, name: &str) -> Option<AttributeId> {
        self.attributes.iter().position(|a| a.name == name).map(|i| AttributeId(i as u16))
    }

    /// The kind of a name.
    pub fn kind(&self, name: &str) -> Option<KindId> {
        self.kinds.iter().position(|k| k.name == name).map(|i| KindId(i as u16))
    }

    /// An entity or class of a kind by id.
    pub fn entity(&self, kind: KindId, id: &str) -> Option<&Entity> {
        self.entities.iter().find(|e| e.kind == kind && e.id == id)
    }

    /// A property of a kind by name.
    pub fn property(&self, kind: KindId, name: &str) -> Option<PropertyId> {
        let found = self.properties.iter().position(|p| p.kind == kind && p.name == name)?;
        Some(PropertyId(found as u16))
    }

    /// A dimension by name.
    pub fn dimension(&self, name: &str) -> Option<DimensionId> {
        self.dimensions.iter().position(|d| d.name == name).map(|i| DimensionId(i as u16))
    }

    /// The dimension of an id.
    pub fn dim(&self, id: DimensionId) -> Option<&Dimension> {
        self.dimensions.get(usize::from(id.0))
    }

    /// Names of members, joined.
    pub fn names(&self, kind: KindId, mask: Mask) -> Vec<&str> {
        mask.iter().filter_map(|m| self.member(kind, m)).map(|e| e.name.as_str()).collect()
    }

    /// `file:line` of a span.
    pub fn place(&self, span: Span) -> String {
        match self.files.get(span.file as usize) {
            Some(file) => format!("{}:{}", file.name, file.line_column(span.start as usize).0),
            None => String::new(),
        }
    }

    /// The layer that a span's text belongs to.
    pub fn layer(&self, span: Span) -> &str {
        self.files.get(span.file as usize).map_or(BUILT_IN, |f| &f.layer)
    }

    /// How many layers lie below the one that a span's text belongs to.
    pub fn depth(&self, span: Span) -> usize {
        let layer = self.layer(span);
        self.overlays.iter().position(|o| o.name == layer).map_or(0, |i| i + 1)
    }

    /// The citations of an origin, joined.
    pub fn citations(&self, origin: &Origin) -> Option<String> {
        let all: Vec<&str> =
            origin.sources.iter().filter_map(|s| self.sources.get(s.index())).map(|s| s.citation.as_str()).collect();
        (!all.is_empty()).then(|| all.join("; "))
    }
}
