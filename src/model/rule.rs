//! Rules: what they range over, when they apply, what they do.

use super::formula::Read;
use super::{
    AspectId, AttributeId, AttributeType, Bound, End, Entity, EntityId, Formula, KindId, Members, Model, Number,
    Origin, Place, PropertyType, Scope, TestKind,
};
use crate::quantity::DimensionId;
use serde::{Deserialize, Serialize};

/// What a rule does.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub enum Effect {
    /// Gives a derived attribute a value (yes, for a yes/no).
    Derive {
        /// The attribute.
        attribute: AttributeId,
        /// Its value.
        value: Option<Number>,
    },
    /// Ends a setting's window.
    Bound {
        /// The setting.
        setting: AttributeId,
        /// Which end.
        end: End,
        /// Where it ends.
        value: Number,
        /// Why.
        text: Template,
    },
    /// Such a job cannot exist.
    Exclude(Template),
    /// Grounds for an aspect.
    Support {
        /// The aspect.
        aspect: AspectId,
        /// Why.
        text: Template,
    },
    /// The job is refused.
    Refuse(Template),
    /// Yes only if this is done.
    Require(Template),
    /// A caution or advice.
    Note {
        /// `health`, `quality`, `law` or `advice`.
        about: String,
        /// The words.
        text: Template,
    },
    /// Work that is done in a step.
    Do(Template),
}

impl Effect {
    /// How it is written.
    pub fn keyword(&self) -> &'static str {
        match self {
            Self::Derive { .. } => "derive",
            Self::Bound { .. } => "bound",
            Self::Exclude(_) => "exclude",
            Self::Support { .. } => "support",
            Self::Refuse(_) => "refuse",
            Self::Require(_) => "require",
            Self::Note { .. } => "note",
            Self::Do(_) => "do",
        }
    }
}

impl Effect {
    /// The text for people, for effects that have one.
    pub fn text(&self) -> Option<&Template> {
        match self {
            Self::Bound { text, .. }
            | Self::Support { text, .. }
            | Self::Note { text, .. }
            | Self::Exclude(text)
            | Self::Refuse(text)
            | Self::Require(text)
            | Self::Do(text) => Some(text),
            Self::Derive { .. } => None,
        }
    }
}

/// Text with values in it.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Template {
    /// Pieces in order.
    pub pieces: Vec<Piece>,
}

/// A piece of a template.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub enum Piece {
    /// Words.
    Text(String),
    /// A quantity, by the text between the braces.
    Number(String, Number, DimensionId),
    /// A window, by its two ends.
    Range(String, Number, Number, DimensionId),
    /// A name.
    Name(String, Place),
}

/// What a layer that a rule asks for is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Laid {
    /// What the layer that it lies under is made of.
    Same,
    /// This member.
    Member(usize),
}

/// A rule.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Rule {
    /// Its id: the code in answers.
    pub id: String,
    /// Earlier ids.
    pub was: Vec<String>,
    /// What it says, for people.
    pub says: String,
    /// The aspect or topic it is about.
    pub aspect: Option<AspectId>,
    /// How the case in which it applies is told, where the condition is long.
    pub told: Option<String>,
    /// Why no case can touch all of it.
    pub untouched: Option<String>,
    /// The failure it prevents.
    pub prevents: Option<String>,
    /// Materials that its text tells to take: their hazards are told with it.
    pub takes: Vec<EntityId>,
    /// The layer that it asks for below, attribute by attribute.
    pub lays: Vec<(AttributeId, Laid)>,
    /// A note that matters only where the job is done.
    pub only_if_done: bool,
    /// When in the order of work it is met.
    pub step: Option<usize>,
    /// How long what it tells to do takes, from and to, in steps of time.
    pub lasts: Option<(i64, i64)>,
    /// What it ranges over.
    pub scope: Scope,
    /// When it applies (`unless` included).
    pub formula: Formula,
    /// What it does.
    pub effect: Effect,
    /// Where it comes from.
    pub origin: Origin,
}

impl Rule {
    /// Visits everything that it reads: in its condition, its values and its words.
    pub(crate) fn reads(&self, visit: &mut impl FnMut(Read)) {
        self.formula.reads(visit);
        if let Effect::Derive { value: Some(v), .. } | Effect::Bound { value: v, .. } = &self.effect {
            v.reads(visit);
        }
        for piece in self.effect.text().iter().flat_map(|t| &t.pieces) {
            match piece {
                Piece::Text(_) => {}
                Piece::Number(_, n, _) => n.reads(visit),
                Piece::Range(_, low, high, _) => {
                    low.reads(visit);
                    high.reads(visit);
                }
                Piece::Name(_, place) => place.reads(visit),
            }
        }
    }

    /// Whether a rule names a thing or one of its classes, or ranges over its kind and may meet it.
    pub fn speaks_of(&self, kind: KindId, entity: &Entity, model: &Model) -> bool {
        fn kind_at(place: &Place, bounds: &[Bound], model: &Model) -> Option<KindId> {
            match place {
                Place::Attribute(id, _) => match id.of(model)?.ty {
                    AttributeType::Choice(k)
                    | AttributeType::Set(k)
                    | AttributeType::Blend(k)
                    | AttributeType::Amounts(k) => Some(k),
                    _ => None,
                },
                Place::Bound(i) => bounds.get(*i).map(|b| b.kind),
                Place::Property(_, p) => match model.properties.get(p.index())?.ty {
                    PropertyType::Choice(k) | PropertyType::Set(k) => Some(k),
                    _ => None,
                },
                _ => None,
            }
        }
        fn in_number(n: &Number, hit: &dyn Fn(&Place, &Members) -> bool) -> bool {
            match n {
                Number::Share(p, m) => hit(p, m),
                Number::Add(a, b) | Number::Subtract(a, b) | Number::Min(a, b) | Number::Max(a, b) => {
                    in_number(a, hit) || in_number(b, hit)
                }
                Number::Scale(a, _) | Number::Lookup(_, a) => in_number(a, hit),
                _ => false,
            }
        }
        let bounds = &self.scope.bounds;
        let hit = |place: &Place, members: &Members| match members {
            // A rule that names nearly everything names nothing in particular.
            Members::Any(mask) => kind_at(place, bounds, model) == Some(kind) && mask.meets(entity.members),
            Members::Bound(_) => false,
        };
        self.formula.tests.iter().any(|t| match &t.kind {
            TestKind::OneOf(p, mask) => kind_at(p, bounds, model) == Some(kind) && mask.meets(entity.members),
            TestKind::Has(p, m) => hit(p, m),
            TestKind::Compare(a, _, b) => in_number(a, &hit) || in_number(b, &hit),
            _ => false,
        })
    }
}
