//! What a job says of itself: attributes, and the aspects that a yes needs grounds for.

use super::{AttributeId, Formula, KindId, Mask, Model, Origin, PropertyId, Scope, Speech, Told};
use crate::quantity::DimensionId;
use crate::source::Span;
use serde::{Deserialize, Serialize};

/// Who decides an attribute.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Role {
    /// The order: the verdict holds for every value still possible.
    Given,
    /// The shop, per job: one workable value suffices.
    Chosen,
    /// What the shop has.
    Capability,
    /// Rules.
    Derived,
}

/// What values an attribute has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum AttributeType {
    /// Yes or no.
    YesNo,
    /// One of a kind.
    Choice(KindId),
    /// Some of a kind.
    Set(KindId),
    /// Shares of members of a kind, 100 % in all.
    Blend(KindId),
    /// Amounts of members of a kind.
    Amounts(KindId),
    /// A quantity.
    Quantity(DimensionId),
    /// A quantity that the shop sets, seen as a window.
    Setting(DimensionId),
}

impl AttributeType {
    /// The kind whose members it holds.
    pub fn members(self) -> Option<KindId> {
        match self {
            Self::Choice(k) | Self::Set(k) | Self::Blend(k) | Self::Amounts(k) => Some(k),
            Self::YesNo | Self::Quantity(_) | Self::Setting(_) => None,
        }
    }
}

/// How several derivations of one attribute combine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Combine {
    /// The greatest counts.
    Max,
    /// The least counts.
    Min,
    /// They add up.
    Sum,
    /// One suffices (yes/no).
    Any,
}

/// A value that is taken when nothing was said, or only a word for several.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Assumption {
    /// The value.
    pub value: AssumedValue,
    /// Only where this surely holds.
    pub guard: Option<Formula>,
    /// Only where just these were said, by a word for any of them.
    pub among: Option<Mask>,
    /// How answers say it.
    pub words: String,
    /// Said in the list only, never on the verdict line.
    pub quiet: bool,
    /// Where it is written.
    pub span: Span,
}

/// What is assumed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum AssumedValue {
    /// Yes or no.
    YesNo(bool),
    /// One member.
    Choice(usize),
    /// Exactly these members.
    Set(Mask),
    /// A quantity.
    Quantity(i64),
}

/// The values that make sense.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Limits {
    /// The least.
    pub least: Option<i64>,
    /// The most.
    pub most: Option<i64>,
    /// What to do about a value beyond them.
    pub says: String,
}

/// How far the parts of a blend may be off what was said of them.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Tolerance {
    /// As far as this.
    pub by: i64,
    /// What is taken for granted of it, in words.
    pub words: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// A step of work.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Step {
    /// Its name.
    pub name: String,
    /// How a sheet calls it.
    pub title: String,
    /// What is done in it is a test.
    pub tests: bool,
    /// It needs nothing of the steps from this one on, and goes on beside them.
    pub beside: Option<String>,
    /// The press is set up in it.
    pub sets_up: bool,
}

/// An attribute of a job.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Attribute {
    /// Its name.
    pub name: String,
    /// One for each layer.
    pub per_layer: bool,
    /// Its type.
    pub ty: AttributeType,
    /// Who decides it.
    pub role: Role,
    /// How answers call it.
    pub label: String,
    /// What it means.
    pub says: String,
    /// The question that asks for it.
    pub ask: Option<String>,
    /// For a setting: the derived quantity to aim for.
    pub aim: Option<AttributeId>,
    /// Usual values first: ordinals, or one quantity, or yes (1) and no (0).
    pub usual: Vec<i64>,
    /// Assumptions in order: the first whose guard holds.
    pub assume: Vec<Assumption>,
    /// A quantity that lies where this choice's property says.
    pub follows: Option<(AttributeId, PropertyId)>,
    /// For a setting: the window property of this choice in which it usually lies.
    pub usually: Option<(AttributeId, PropertyId)>,
    /// For a setting: what the shop has, a set, and the property of its members that this can be set to.
    pub stock: Option<(AttributeId, PropertyId)>,
    /// Property of a choice, itself a choice: a member may only take the place of one with the same.
    pub alike: Option<PropertyId>,
    /// The value of that property with which a member may take the place of any.
    pub does_for_all: Option<usize>,
    /// Property of a choice, itself a choice: of what may take its place, some with the same are told first.
    pub akin: Option<PropertyId>,
    /// A change of it is never offered to the customer.
    pub never_offered: bool,
    /// For a choice of a layer: what makes a layer below another cover best.
    pub below: Option<usize>,
    /// Key in the JSON job.
    pub json: Option<String>,
    /// Word that introduces it in a question.
    pub clause: Option<String>,
    /// The phrase in which its names are understood: `fabric` or `ink`.
    pub phrase: Option<String>,
    /// Words for yes and for no.
    pub words: (Vec<String>, Vec<String>),
    /// Other words about it.
    pub speech: Speech,
    /// The values that make sense.
    pub limits: Option<Limits>,
    /// How far what was said of a blend may be off.
    pub tolerance: Option<Tolerance>,
    /// For amounts: the set property of a member that names what it belongs into, and the attribute that it is of.
    pub fits: Option<(PropertyId, AttributeId)>,
    /// How derivations combine.
    pub combine: Option<Combine>,
    /// Value where no derivation applies.
    pub otherwise: Option<i64>,
    /// A chosen material: absent unless stated.
    pub material: bool,
    /// Window property that bounds an unstated amount.
    pub unstated: Option<PropertyId>,
    /// Set property: naming one member closes the group of all that share one of these.
    pub closes: Option<PropertyId>,
    /// Where a temperature is measured.
    pub place: Option<String>,
    /// For a setting: the step of work in which it is set.
    pub step: Option<usize>,
    /// How its values are told.
    pub told: Told,
    /// Where it is declared.
    pub span: Span,
}

/// Something a yes needs grounds for.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Aspect {
    /// Its name.
    pub name: String,
    /// What is to be shown.
    pub says: String,
    /// The trial that would show it.
    pub trial: String,
    /// For each of what.
    pub scope: Scope,
    /// Where it applies.
    pub formula: Formula,
    /// Where it is declared.
    pub span: Span,
}

impl AttributeId {
    /// The attribute's declaration, where the id is of this model.
    pub fn of(self, model: &Model) -> Option<&Attribute> {
        model.attributes.get(self.index())
    }

    /// Whether rules give it its value.
    pub(crate) fn is_derived(self, model: &Model) -> bool {
        self.of(model).is_some_and(|a| a.role == Role::Derived)
    }
}
