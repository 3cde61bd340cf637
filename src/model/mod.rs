//! The checked model: everything that knowledge says, with names resolved, types and dimensions checked.
//!
//! [`build`] turns documents into a [`Model`] or into every problem found. What is written here in text is for
//! people only; nothing later looks a name up by its text while reasoning.

mod cases;
mod digest;
mod entities;
mod fields;
mod rules;
mod scope;
mod units;
mod vocabulary;

pub use cases::{Case, CaseJob};
pub use scope::{WHERE, where_rule};
pub use units::parse_quantity as read_quantity;

use crate::condition::Comparison;
use crate::diagnostic::{Problem, Problems};
use crate::document;
use crate::quantity::{Dimension, DimensionId};
use crate::source::{SourceFile, Span};
use rustc_hash::FxHashMap;

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name(pub u16);

        impl $name {
            /// As an index.
            pub fn index(self) -> usize {
                usize::from(self.0)
            }
        }
    };
}

id!(
    /// A kind of entity: fibre, ink.
    KindId
);
id!(
    /// An entity or class.
    EntityId
);
id!(
    /// A property of one kind.
    PropertyId
);
id!(
    /// An attribute of a job.
    AttributeId
);
id!(
    /// An aspect that needs grounds.
    AspectId
);
id!(
    /// A rule.
    RuleId
);
id!(
    /// A source.
    SourceId
);

/// Entities of a kind at most: the width of a [`Mask`].
pub const MAX_MEMBERS: usize = 256;

/// A set of members of one kind, by ordinal.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default, PartialOrd, Ord)]
pub struct Mask([u64; MAX_MEMBERS / 64]);

impl std::fmt::Debug for Mask {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_set().entries(self.iter()).finish()
    }
}

impl serde::Serialize for Mask {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.iter())
    }
}

impl<'de> serde::Deserialize<'de> for Mask {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let members: Vec<usize> = serde::Deserialize::deserialize(deserializer)?;
        let mut mask = Self::EMPTY;
        members.into_iter().for_each(|m| mask.insert(m));
        Ok(mask)
    }
}

impl Mask {
    /// No members.
    pub const EMPTY: Self = Self([0; MAX_MEMBERS / 64]);

    /// The first `count` members.
    pub fn first(count: usize) -> Self {
        let mut mask = Self::EMPTY;
        for i in 0..count.min(MAX_MEMBERS) {
            mask.insert(i);
        }
        mask
    }

    /// One member.
    pub fn one(member: usize) -> Self {
        let mut mask = Self::EMPTY;
        mask.insert(member);
        mask
    }

    /// Adds a member.
    pub fn insert(&mut self, member: usize) {
        if let Some(word) = self.0.get_mut(member / 64) {
            *word |= 1 << (member % 64);
        }
    }

    /// Takes a member out.
    pub fn remove(&mut self, member: usize) {
        if let Some(word) = self.0.get_mut(member / 64) {
            *word &= !(1 << (member % 64));
        }
    }

    /// Whether a member is in it.
    pub fn has(&self, member: usize) -> bool {
        self.0.get(member / 64).is_some_and(|w| w & (1 << (member % 64)) != 0)
    }

    /// Members of both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.zip(other, |a, b| a & b)
    }

    /// Members of either.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        self.zip(other, |a, b| a | b)
    }

    /// Members of this one only.
    #[must_use]
    pub fn without(self, other: Self) -> Self {
        self.zip(other, |a, b| a & !b)
    }

    fn zip(self, other: Self, f: fn(u64, u64) -> u64) -> Self {
        let mut out = Self::EMPTY;
        for (o, (a, b)) in out.0.iter_mut().zip(self.0.iter().zip(other.0)) {
            *o = f(*a, b);
        }
        out
    }

    /// Whether it has no members.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|w| *w == 0)
    }

    /// Whether all its members are in the other.
    pub fn within(self, other: Self) -> bool {
        self.without(other).is_empty()
    }

    /// Whether they share a member.
    pub fn meets(self, other: Self) -> bool {
        !self.and(other).is_empty()
    }

    /// How many members.
    pub fn count(&self) -> usize {
        self.0.iter().map(|w| w.count_ones() as usize).sum()
    }

    /// The members in order.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        self.0.into_iter().enumerate().flat_map(|(i, word)| {
            let mut rest = word;
            std::iter::from_fn(move || {
                (rest != 0).then(|| {
                    let bit = rest.trailing_zeros() as usize;
                    rest &= rest - 1;
                    i * 64 + bit
                })
            })
        })
    }

    /// The only member, if there is exactly one.
    pub fn only(self) -> Option<usize> {
        let mut members = self.iter();
        let first = members.next()?;
        members.next().is_none().then_some(first)
    }
}

/// How well a fact is supported, strongest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Basis {
    /// Stated by a named publication.
    Published,
    /// A shop's own measurement or its ink's data sheet.
    House,
    /// Known in the trade, with no nameable source.
    CommonPractice,
    /// Remembered, confirmed by nobody.
    FromMemory,
}

impl Basis {
    /// How it is written.
    pub fn words(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::House => "house",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
        }
    }
}

/// Where a fact comes from.
#[derive(Debug, Clone)]
pub struct Origin {
    /// How well it is supported.
    pub basis: Basis,
    /// Its sources, for a published fact.
    pub sources: Vec<SourceId>,
    /// A note for reviewers.
    pub note: Option<String>,
    /// Where it is written.
    pub span: Span,
    /// The entity that it was inherited from.
    pub inherited: Option<EntityId>,
}

/// A source that facts cite.
#[derive(Debug, Clone)]
pub struct Source {
    /// Its id.
    pub id: String,
    /// Title, publisher, year and clause in one line.
    pub citation: String,
    /// How far it was read.
    pub read: String,
    /// Where it is written.
    pub span: Span,
}

/// A kind of entity.
#[derive(Debug, Clone)]
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
#[derive(Debug, Clone)]
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
#[derive(Debug, Clone)]
pub struct Fact {
    /// The value.
    pub value: Value,
    /// Where it comes from.
    pub origin: Origin,
}

/// A property's value.
#[derive(Debug, Clone, PartialEq)]
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

/// What values a property has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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

/// A property that entities of a kind have.
#[derive(Debug, Clone)]
pub struct Property {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: KindId,
    /// Its type.
    pub ty: PropertyType,
    /// Whether each entity must state or inherit it.
    pub required: bool,
    /// What it means.
    pub says: String,
    /// The question that asks for it; `{entity}` stands for the entity.
    pub ask: Option<String>,
    /// How its values are told; `{entity}` stands for the entity.
    pub told: Told,
}

/// How the values of an attribute or property are told; `{}` stands for the value.
#[derive(Debug, Clone, Default)]
pub struct Told {
    /// That it is so.
    pub is: Option<String>,
    /// That it is not.
    pub not: Option<String>,
    /// In what a question is about.
    pub said: Option<String>,
    /// Advice: this instead.
    pub instead: Option<String>,
    /// Advice: a layer of this below.
    pub below: Option<String>,
    /// Advice: this in addition.
    pub add: Option<String>,
    /// Advice: this left out.
    pub without: Option<String>,
    /// A setting for which nothing is to be aimed at.
    pub unaimed: Option<String>,
}

/// Who decides an attribute.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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

/// A value that is taken when nothing was said.
#[derive(Debug, Clone)]
pub struct Assumption {
    /// The value.
    pub value: AssumedValue,
    /// Only where this surely holds.
    pub guard: Option<Formula>,
    /// How answers say it.
    pub words: String,
    /// Said in the list only, never on the verdict line.
    pub quiet: bool,
    /// Where it is written.
    pub span: Span,
}

/// What is assumed.
#[derive(Debug, Clone, PartialEq)]
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

/// How people speak of an attribute, besides naming its members. All words are folded.
#[derive(Debug, Clone, Default)]
pub struct Speech {
    /// Words for the attribute itself, which say nothing about it: `cloth`, `ink`.
    pub called: Vec<String>,
    /// Words that say something which changes nothing.
    pub idle: Vec<String>,
    /// Words for none at all, of a set.
    pub none: Vec<String>,
    /// Words after a number of it: `240 pieces`.
    pub counted: Vec<String>,
    /// Words for parts of the article, each with a value of its own.
    pub parts: Vec<String>,
    /// Words that can mean several things, with what to say instead.
    pub unclear: Vec<(String, String)>,
    /// Words for several members, in the order in which their shares are written.
    pub mixtures: Vec<(String, Vec<usize>)>,
    /// Words that say which members are absent.
    pub lacks: Vec<(String, Vec<usize>)>,
    /// Words for a share of members that are not named.
    pub others: Vec<String>,
}

/// The values that make sense.
#[derive(Debug, Clone)]
pub struct Limits {
    /// The least.
    pub least: Option<i64>,
    /// The most.
    pub most: Option<i64>,
    /// What to do about a value beyond them.
    pub says: String,
}

/// An attribute of a job.
#[derive(Debug, Clone)]
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
    /// How its values are told.
    pub told: Told,
    /// Where it is declared.
    pub span: Span,
}

/// Something a yes needs grounds for.
#[derive(Debug, Clone)]
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

/// Over what a rule ranges besides entities.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Per {
    /// The whole job.
    Job,
    /// Each layer.
    Layer,
    /// Each pair of neighbouring layers.
    Pair,
}

/// Which layer a per-layer attribute is read from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Frame {
    /// Not per layer.
    Job,
    /// The layer at hand; in a pair the upper one.
    This,
    /// In a pair the lower one.
    Below,
}

/// A name bound by `for`, or by `some`.
#[derive(Debug, Clone)]
pub struct Bound {
    /// Its name.
    pub name: String,
    /// The kind it ranges over.
    pub kind: KindId,
    /// The attribute whose members it ranges over.
    pub attribute: AttributeId,
    /// Where that is read.
    pub frame: Frame,
}

/// What a rule ranges over.
#[derive(Debug, Clone)]
pub struct Scope {
    /// Layers.
    pub per: Per,
    /// Entities.
    pub bounds: Vec<Bound>,
}

/// A condition with its tests apart, numbered in the order they are written.
#[derive(Debug, Clone)]
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
#[derive(Debug, Clone)]
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
#[derive(Debug, Clone)]
pub struct Test {
    /// What is tested.
    pub kind: TestKind,
    /// Where it is written.
    pub span: Span,
}

/// What is tested.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
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
#[derive(Debug, Clone)]
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
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
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
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Members {
    /// Any of these.
    Any(Mask),
    /// The one that a bound name stands for.
    Bound(usize),
}

/// An end of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum End {
    /// The lower.
    Low,
    /// The upper.
    High,
}

/// A quantity expression.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
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

/// What a rule does.
#[derive(Debug, Clone)]
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
            | Self::Require(text) => Some(text),
            Self::Derive { .. } => None,
        }
    }
}

/// Text with values in it.
#[derive(Debug, Clone, Default)]
pub struct Template {
    /// Pieces in order.
    pub pieces: Vec<Piece>,
}

/// A piece of a template.
#[derive(Debug, Clone)]
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

/// A rule.
#[derive(Debug, Clone)]
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
    /// The failure it prevents.
    pub prevents: Option<String>,
    /// Materials that its text tells to take: their hazards are told with it.
    pub takes: Vec<EntityId>,
    /// A note that matters only where the job is done.
    pub only_if_done: bool,
    /// When in the order of work it is met.
    pub step: Option<usize>,
    /// What it ranges over.
    pub scope: Scope,
    /// When it applies (`unless` included).
    pub formula: Formula,
    /// What it does.
    pub effect: Effect,
    /// Where it comes from.
    pub origin: Origin,
}

/// Everything that knowledge says.
#[derive(Debug, Clone, Default)]
pub struct Model {
    /// The texts it was read from.
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
    pub steps: Vec<String>,
    /// Rules in order of id.
    pub rules: Vec<Rule>,
    /// Sources.
    pub sources: Vec<Source>,
    /// Worked cases.
    pub cases: Vec<Case>,
    /// Digest of the meaning, not of the layout.
    pub digest: String,
}

/// Builds a model from texts, or says everything that is wrong with them.
///
/// # Errors
/// Every problem found, with its places.
pub fn build(mut files: Vec<SourceFile>) -> Result<Model, Problems> {
    files.sort_by(|a, b| a.name.cmp(&b.name));
    let mut problems: Vec<Problem> = Vec::new();
    let mut documents = Vec::new();
    for (index, file) in files.iter().enumerate() {
        match document::read(file, index as u32) {
            Ok(node) => documents.push((file.name.to_string(), node)),
            Err(problem) => problems.push(problem),
        }
    }
    let mut model = Model { files, ..Model::default() };
    let mut reader = Reader { documents, problems };
    units::read(&mut model, &mut reader);
    vocabulary::read(&mut model, &mut reader);
    entities::read(&mut model, &mut reader);
    vocabulary::read_values(&mut model, &mut reader);
    rules::read(&mut model, &mut reader);
    cases::read(&mut model, &mut reader);
    reader.unknown_files(&model);
    if reader.problems.is_empty() {
        model.digest = digest::of(&model);
        Ok(model)
    } else {
        Err(Problems::new(reader.problems, &model.files))
    }
}

/// What the readers of the parts share: the documents, and the problems found so far.
pub(crate) struct Reader {
    documents: Vec<(String, document::Node)>,
    problems: Vec<Problem>,
}

impl Reader {
    fn report(&mut self, problem: Problem) {
        self.problems.push(problem);
    }

    /// Documents whose name below the top folder starts so.
    fn below(&self, prefix: &str) -> Vec<(String, document::Node)> {
        self.documents
            .iter()
            .filter_map(|(name, node)| {
                let inner = name.split_once('/').map_or(name.as_str(), |p| p.1);
                inner.starts_with(prefix).then(|| (inner.to_owned(), node.clone()))
            })
            .collect()
    }

    fn unknown_files(&mut self, model: &Model) {
        let known = |inner: &str| {
            ["units.yaml", "vocabulary.yaml", "sources.yaml"].contains(&inner)
                || ["rules/", "cases/"].iter().any(|p| inner.starts_with(p))
                || model.kinds.iter().filter_map(|k| k.folder.as_ref()).any(|f| inner.starts_with(&format!("{f}/")))
        };
        let strays: Vec<Span> = self
            .documents
            .iter()
            .filter(|(name, _)| !known(name.split_once('/').map_or(name.as_str(), |p| p.1)))
            .map(|(_, node)| Span { end: node.span.start, ..node.span })
            .collect();
        for span in strays {
            self.report(
                Problem::new("knowledge::stray-file", span, "", "no kind has its entities in this folder")
                    .help("move the file to the folder that the vocabulary gives its kind"),
            );
        }
    }
}

impl Model {
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
        self.files.get(span.file as usize).map_or("built-in", |f| &f.layer)
    }

    /// The citations of an origin, joined.
    pub fn citations(&self, origin: &Origin) -> Option<String> {
        let all: Vec<&str> =
            origin.sources.iter().filter_map(|s| self.sources.get(s.index())).map(|s| s.citation.as_str()).collect();
        (!all.is_empty()).then(|| all.join("; "))
    }
}
