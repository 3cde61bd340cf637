//! What jobs are made of: kinds, entities, and the values of their properties.

use super::{AttributeType, EntityId, KindId, Mask, Origin, PropertyId, Told};
use crate::quantity::DimensionId;
use crate::source::Span;
use rustc_hash::FxHashMap;
use serde::{Deserialize, Serialize};

/// A kind of entity.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Kind {
    /// Its name.
    pub name: String,
    /// Its plural.
    pub plural: String,
    /// Folder of its entities; none where its values are listed in the vocabulary.
    pub folder: Option<String>,
    /// What it is.
    pub says: String,
    /// Members (not classes) in order of id: a mask's ordinals.
    pub members: Vec<EntityId>,
    /// Properties.
    pub properties: Vec<PropertyId>,
}

/// A thing that jobs are made of, or a class of such things.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Entity {
    /// Its id.
    pub id: String,
    /// Its kind.
    pub kind: KindId,
    /// Its place among the kind's members; none for a class.
    pub ordinal: Option<usize>,
    /// How answers write it.
    pub name: String,
    /// Other names: English, other languages, codes.
    pub aliases: Vec<String>,
    /// Names that several things may share, taken where nothing else can be meant.
    pub loose: Vec<String>,
    /// Classes and what they belong to, as members: all members below it (itself included if it is one).
    pub members: Mask,
    /// That it exists, is called this and belongs to its classes.
    pub origin: Origin,
    /// Values by property.
    pub facts: FxHashMap<PropertyId, Fact>,
}

/// A property value with its origin.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Fact {
    /// The value.
    pub value: Value,
    /// Where it comes from.
    pub origin: Origin,
    /// What it took the place of, in an overlay.
    pub replaced: Option<Replaced>,
}

/// What a value in an overlay took the place of.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Replaced {
    /// Why, in the shop's words.
    pub reason: String,
    /// Where the earlier value is written.
    pub span: Span,
}

/// A property's value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Value {
    /// A quantity in steps.
    Quantity(i64),
    /// Yes or no.
    YesNo(bool),
    /// A member of a kind.
    Choice(usize),
    /// Members of a kind.
    Set(Mask),
    /// Words for people.
    Text(String),
    /// Any value in it works.
    Window(i64, i64),
    /// Steps needed from each level on, by rising level.
    Schedule(Vec<(i64, i64)>),
    /// The true value lies in it and can be found out.
    Varies(i64, i64),
    /// Sources disagree; the plan decides.
    Disputed {
        /// Lowest figure.
        low: i64,
        /// Highest figure.
        high: i64,
        /// The figure that decides.
        plan: i64,
    },
    /// There is no such thing.
    None,
    /// Nobody wrote it down.
    Unknown,
}

impl Value {
    /// The two ends between which a quantity lies, whatever kind of range it is.
    pub fn ends(&self) -> Option<(i64, i64)> {
        match self {
            Self::Quantity(one) => Some((*one, *one)),
            Self::Window(low, high) | Self::Varies(low, high) | Self::Disputed { low, high, .. } => Some((*low, *high)),
            _ => None,
        }
    }
}

/// What values a property has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum PropertyType {
    /// A quantity.
    Quantity(DimensionId),
    /// Two ends between which any value works.
    Window(DimensionId),
    /// Yes or no.
    YesNo,
    /// One of a kind.
    Choice(KindId),
    /// Some of a kind.
    Set(KindId),
    /// What is needed at each level of something else.
    Schedule {
        /// Levels.
        at: DimensionId,
        /// What is needed.
        needs: DimensionId,
    },
    /// Words for people.
    Text,
}

impl PropertyType {
    /// The same for an attribute, where an attribute can have such values.
    pub fn of_attribute(self) -> Option<AttributeType> {
        match self {
            Self::Quantity(d) => Some(AttributeType::Quantity(d)),
            Self::YesNo => Some(AttributeType::YesNo),
            Self::Choice(k) => Some(AttributeType::Choice(k)),
            Self::Set(k) => Some(AttributeType::Set(k)),
            Self::Window(_) | Self::Schedule { .. } | Self::Text => None,
        }
    }
}

/// Which change of a value is the safer one, and the only one that an overlay may make.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Safer {
    /// A lower quantity, or a window or schedule that ends no higher.
    Lower,
    /// A higher quantity, or a window or schedule that begins no lower.
    Higher,
    /// Yes.
    Yes,
    /// No.
    No,
    /// Words are added to what is there.
    Added,
    /// None: it stays as it is.
    Kept,
}

/// A property that entities of a kind have.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Property {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: KindId,
    /// Its type.
    pub ty: PropertyType,
    /// Whether each entity must state or inherit it.
    pub required: bool,
    /// For a property that safety or law hangs on: how an overlay may change it.
    pub safer: Option<Safer>,
    /// What it means.
    pub says: String,
    /// The question that asks for it; `{entity}` stands for the entity.
    pub ask: Option<String>,
    /// How its values are told; `{entity}` stands for the entity.
    pub told: Told,
}
