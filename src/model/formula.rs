//! Conditions and quantities with their names resolved.

use super::{AttributeId, KindId, Mask, PropertyId};
use crate::condition::Comparison;
use crate::source::Span;
use serde::{Deserialize, Serialize};

/// Over what a rule ranges besides entities.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Per {
    /// The whole job.
    Job,
    /// Each layer.
    Layer,
    /// Each pair of neighbouring layers.
    Pair,
}

/// Which layer a per-layer attribute is read from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Frame {
    /// Not per layer.
    Job,
    /// The layer at hand; in a pair the upper one.
    This,
    /// In a pair the lower one.
    Below,
}

/// A name bound by `for`, or by `some`.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Bound {
    /// Its name.
    pub name: String,
    /// The kind it ranges over.
    pub kind: KindId,
    /// The attribute whose members it ranges over.
    pub attribute: AttributeId,
    /// Where that is read.
    pub frame: Frame,
    /// Where the name is written.
    pub span: Span,
}

/// What a rule ranges over.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Scope {
    /// Layers.
    pub per: Per,
    /// Entities.
    pub bounds: Vec<Bound>,
}

/// A condition with its tests apart, numbered in the order they are written.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Formula {
    /// How the tests combine.
    pub shape: Shape,
    /// The tests.
    pub tests: Vec<Test>,
}

impl Formula {
    /// A condition that always holds.
    pub fn always() -> Self {
        Self { shape: Shape::All(Vec::new()), tests: Vec::new() }
    }
}

/// How tests combine.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub enum Shape {
    /// Any of these.
    Any(Vec<Shape>),
    /// All of these.
    All(Vec<Shape>),
    /// The opposite.
    Not(Box<Shape>),
    /// The test of this number.
    Test(usize),
}

/// One test with its place.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Test {
    /// What is tested.
    pub kind: TestKind,
    /// Where it is written.
    pub span: Span,
}

/// What is tested.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum TestKind {
    /// Two quantities compared.
    Compare(Number, Comparison, Number),
    /// A choice is one of these members.
    OneOf(Place, Mask),
    /// A choice is in a set.
    InSet(Place, Place),
    /// A blend, amounts or set holds one of these.
    Has(Place, Members),
    /// Some member present meets a condition.
    Some(Box<SomeMember>),
    /// A yes/no place is yes.
    Holds(Place),
    /// The job speaks of an attribute.
    Stated(AttributeId, Frame),
}

/// `some name in set where (…)`.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct SomeMember {
    /// The bound name's number in the inner condition.
    pub bound: Bound,
    /// Number of names bound outside.
    pub outer: usize,
    /// The condition.
    pub formula: Formula,
    /// Distinguishes one such test from another.
    pub span: Span,
}

impl PartialEq for SomeMember {
    fn eq(&self, other: &Self) -> bool {
        self.span == other.span
    }
}

impl Eq for SomeMember {}

impl std::hash::Hash for SomeMember {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.span.hash(state);
    }
}

/// Where a value is read from.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Place {
    /// An attribute.
    Attribute(AttributeId, Frame),
    /// A bound name.
    Bound(usize),
    /// A property of the choice or bound name at a place.
    Property(Box<Place>, PropertyId),
    /// Whether the layer lies on the cloth.
    First(Frame),
    /// Whether the layer lies on top.
    Last(Frame),
}

/// Members named in a condition.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Members {
    /// Any of these.
    Any(Mask),
    /// The one that a bound name stands for.
    Bound(usize),
}

/// An end of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum End {
    /// The lower.
    Low,
    /// The upper.
    High,
}

/// A quantity expression.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Number {
    /// Steps.
    Constant(i64),
    /// A quantity attribute or property.
    Of(Place),
    /// An end of a window property or of a setting.
    End(Place, End),
    /// Share or dose of members.
    Share(Place, Members),
    /// What a schedule needs at a level.
    Lookup(Place, Box<Number>),
    /// Sum.
    Add(Box<Number>, Box<Number>),
    /// Difference.
    Subtract(Box<Number>, Box<Number>),
    /// Product with a plain number in thousandths.
    Scale(Box<Number>, i64),
    /// The lesser.
    Min(Box<Number>, Box<Number>),
    /// The greater.
    Max(Box<Number>, Box<Number>),
}

impl Scope {
    /// The whole job, no entities.
    pub fn job() -> Self {
        Self { per: Per::Job, bounds: Vec::new() }
    }
}

/// Something that a condition or quantity reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Read {
    /// An attribute; of a setting's window, one end.
    Attribute(AttributeId, Option<End>),
    /// A property.
    Property(PropertyId),
}

impl Formula {
    /// Visits everything that it reads.
    pub(crate) fn reads(&self, visit: &mut impl FnMut(Read)) {
        for test in &self.tests {
            match &test.kind {
                TestKind::Compare(a, _, b) => {
                    a.reads(visit);
                    b.reads(visit);
                }
                TestKind::OneOf(p, _) | TestKind::Holds(p) | TestKind::Has(p, _) => p.reads(visit),
                TestKind::InSet(a, b) => {
                    a.reads(visit);
                    b.reads(visit);
                }
                TestKind::Stated(..) => {}
                TestKind::Some(some) => {
                    visit(Read::Attribute(some.bound.attribute, None));
                    some.formula.reads(visit);
                }
            }
        }
    }
}

impl Place {
    /// As [`Formula::reads`].
    pub(crate) fn reads(&self, visit: &mut impl FnMut(Read)) {
        match self {
            Self::Attribute(id, _) => visit(Read::Attribute(*id, None)),
            Self::Property(inner, id) => {
                visit(Read::Property(*id));
                inner.reads(visit);
            }
            Self::Bound(_) | Self::First(_) | Self::Last(_) => {}
        }
    }
}

impl Number {
    /// As [`Formula::reads`].
    pub(crate) fn reads(&self, visit: &mut impl FnMut(Read)) {
        match self {
            Self::Constant(_) => {}
            Self::Of(p) | Self::Share(p, _) => p.reads(visit),
            Self::End(Place::Attribute(id, _), end) => visit(Read::Attribute(*id, Some(*end))),
            Self::End(p, _) => p.reads(visit),
            Self::Lookup(p, at) => {
                p.reads(visit);
                at.reads(visit);
            }
            Self::Add(a, b) | Self::Subtract(a, b) | Self::Min(a, b) | Self::Max(a, b) => {
                a.reads(visit);
                b.reads(visit);
            }
            Self::Scale(a, _) => a.reads(visit),
        }
    }
}
