//! The model compiled: rules spread over the entities they range over, properties turned into tables, derived
//! values in the order in which they can be computed.
//!
//! Nothing here knows of printing, and nothing is looked up by name.

mod compile;

pub use compile::compile;

use crate::condition::Comparison;
pub use crate::job::Slot;
use crate::job::{Domain, Layout};
use crate::model::{AttributeId, Combine, End, EntityId, Frame, KindId, Mask, Model, Per, PropertyId};
use crate::quantity::DimensionId;
use std::sync::Arc;

/// Index of an interned test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct TestId(pub u32);

impl TestId {
    /// As an index.
    pub fn index(self) -> usize {
        self.0 as usize
    }
}

/// A compiled test.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Check {
    /// Known from the knowledge alone.
    Constant(bool),
    /// A choice is one of these.
    OneOf(Slot, Mask),
    /// A yes/no is yes.
    Holds(Slot),
    /// A derived yes/no is yes.
    Derived(u16, Frame),
    /// The layer lies on the cloth.
    First(Frame),
    /// The layer lies on top.
    Last(Frame),
    /// One of these is present.
    Has(Slot, Mask),
    /// A choice is in a set.
    Among(Slot, Slot),
    /// Another test for each member of a choice.
    Switch(Slot, Vec<TestId>),
    /// Two quantities compared.
    Compare(Num, Comparison, Num),
    /// The job speaks of what is kept here.
    Stated(Slot),
    /// Some member present meets a condition; by member.
    Some(Slot, Vec<(usize, Clauses)>),
}

/// A condition as alternatives of literals that must all hold.
pub type Clauses = Vec<Vec<Literal>>;

/// A test, or its opposite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Literal {
    /// The test.
    pub test: TestId,
    /// Its opposite is meant.
    pub negated: bool,
}

/// A compiled quantity.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Num {
    /// Steps.
    Constant(i64),
    /// There is no such quantity.
    None,
    /// Nobody wrote it down.
    Unknown,
    /// A quantity attribute or hidden value.
    Slot(Slot),
    /// A derived quantity or an end of a setting's window.
    Node(u16, Frame),
    /// Sum of the amounts of members.
    Amount(Slot, Mask),
    /// Another quantity for each member of a choice.
    Switch(Slot, Vec<Num>),
    /// What a schedule needs at a level.
    Schedule(Vec<(i64, i64)>, Box<Num>),
    /// Sum.
    Add(Box<Num>, Box<Num>),
    /// Difference.
    Subtract(Box<Num>, Box<Num>),
    /// Product, in thousandths.
    Scale(Box<Num>, i64),
    /// The lesser.
    Min(Box<Num>, Box<Num>),
    /// The greater.
    Max(Box<Num>, Box<Num>),
}

/// A rule for one choice of the entities it ranges over.
#[derive(Debug, Clone)]
pub struct Instance {
    /// Its rule.
    pub rule: u16,
    /// Ordinals of the bound entities.
    pub elements: Vec<usize>,
    /// That they are present.
    pub presence: Vec<TestId>,
    /// The rule's tests, by the number they have in its condition.
    pub tests: Vec<TestId>,
    /// When it fires; presence included. Empty if it never can.
    pub clauses: Clauses,
    /// The value it bounds or derives.
    pub value: Option<Num>,
    /// Its text for people.
    pub text: Vec<Said>,
}

/// A piece of a text, with the path between its braces.
#[derive(Debug, Clone)]
pub enum Said {
    /// Words.
    Text(String),
    /// A quantity.
    Number(String, Num, DimensionId),
    /// A window.
    Range(String, Num, Num, DimensionId),
    /// A name.
    Name(String, Name),
}

/// A name that may hang on what is chosen.
#[derive(Debug, Clone)]
pub enum Name {
    /// Known.
    Fixed(String),
    /// Members of a choice, set, blend or amounts.
    Of(Slot, KindId),
    /// Another for each member of a choice.
    Switch(Slot, Vec<Name>),
}

/// A derived attribute or an end of a setting's window.
#[derive(Debug, Clone)]
pub struct Node {
    /// The attribute.
    pub attribute: AttributeId,
    /// The end, for a setting.
    pub end: Option<End>,
    /// Its slot, for a setting: what was stated.
    pub slot: Slot,
    /// How contributions combine.
    pub combine: Combine,
    /// Where nothing contributes.
    pub otherwise: i64,
    /// A yes/no.
    pub yes_no: bool,
    /// One for each layer.
    pub per_layer: bool,
    /// Instances that contribute.
    pub from: Vec<u32>,
}

/// An aspect for one choice of the entities it ranges over.
#[derive(Debug, Clone)]
pub struct Need {
    /// The aspect.
    pub aspect: u16,
    /// Ordinals of its entities.
    pub elements: Vec<usize>,
    /// When grounds are needed.
    pub clauses: Clauses,
    /// Support instances that give them.
    pub grounds: Vec<u32>,
}

/// A knowledge value that varies.
#[derive(Debug, Clone)]
pub struct Hidden {
    /// Whose.
    pub entity: EntityId,
    /// Which.
    pub property: PropertyId,
    /// What is possible.
    pub domain: Domain,
}

/// The compiled rule base.
#[derive(Debug, Clone)]
pub struct Program {
    /// What it was compiled from.
    pub model: Arc<Model>,
    /// Where attributes are kept.
    pub layout: Layout,
    /// Interned tests.
    pub tests: Vec<Check>,
    /// Whether a test reads a layer.
    pub layered: Vec<bool>,
    /// Knowledge values that vary.
    pub hidden: Vec<Hidden>,
    /// Instances of all rules, by rule and element.
    pub instances: Vec<Instance>,
    /// Derived values in computing order.
    pub nodes: Vec<Node>,
    /// For each setting: its attribute and its lower and upper node.
    pub windows: Vec<(AttributeId, u16, u16)>,
    /// Aspects that need grounds.
    pub needs: Vec<Need>,
    /// Instances that refuse.
    pub refusals: Vec<u32>,
    /// Instances that require.
    pub requirements: Vec<u32>,
    /// Instances that note.
    pub notes: Vec<u32>,
    /// Instances that tell what is done.
    pub work: Vec<u32>,
    /// Instances that exclude.
    pub excludes: Vec<u32>,
    /// Guards of assumptions, by attribute and position.
    pub guards: Vec<Vec<Option<Clauses>>>,
}

impl Program {
    /// What an instance ranges over.
    pub fn per(&self, instance: &Instance) -> Per {
        self.model.rules.get(usize::from(instance.rule)).map_or(Per::Job, |r| r.scope.per)
    }

    /// The instance of a number.
    pub fn instance(&self, index: u32) -> Option<&Instance> {
        self.instances.get(index as usize)
    }
}
