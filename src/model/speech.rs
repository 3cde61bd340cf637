//! How people speak of attributes, and how answers tell their values.

use super::{AttributeId, KindId, Mask};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// How the values of an attribute or property are told; `{}` stands for the value.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Told {
    /// That it is so.
    pub is: Option<String>,
    /// That it is not.
    pub not: Option<String>,
    /// In what a question is about.
    pub said: Option<String>,
    /// Advice: this instead.
    pub instead: Option<String>,
    /// In a ranking, beside the verdict.
    pub ranked: Option<String>,
    /// Advice: a layer of this below.
    pub below: Option<String>,
    /// Advice: this on top of what lies over it.
    pub over: Option<String>,
    /// Advice: this in addition.
    pub add: Option<String>,
    /// Advice: this left out.
    pub without: Option<String>,
    /// A setting for which nothing is to be aimed at.
    pub unaimed: Option<String>,
}

/// How people speak of an attribute, besides naming its members. All words are folded.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Speech {
    /// Words for the attribute itself, which say nothing about it: `cloth`, `ink`.
    pub called: Vec<String>,
    /// Words that say something which changes nothing.
    pub idle: BTreeSet<String>,
    /// Of two values that are both said the answer is to hold for either.
    pub either: bool,
    /// Words for none at all, of a set.
    pub none: Vec<String>,
    /// Words after a number of it: `240 pieces`.
    pub counted: Vec<String>,
    /// Words after numbers that are added up: `10 S, 20 M`.
    pub added: Vec<String>,
    /// What a number right before it counts: `240 hoodies`.
    pub counts: Option<KindId>,
    /// What a second number is of, after a sign of times: `30 x 25 cm`.
    pub times: Option<AttributeId>,
    /// Names of sizes: the quantity of this attribute and of the one that [`Speech::times`] names, as written.
    pub sizes: Vec<(String, [String; 2])>,
    /// Words for parts of the article, each with a value of its own.
    pub parts: Vec<String>,
    /// Words that can mean several things, with what to say instead.
    pub unclear: BTreeMap<String, String>,
    /// Words that are heard and of which nothing follows, with what to say of them.
    pub aside: BTreeMap<String, String>,
    /// Words for several members, in the order in which their shares are written.
    pub mixtures: Vec<(String, Vec<usize>)>,
    /// Words for a mixture of what is named: `cotton blend`.
    pub blended: Vec<String>,
    /// What a member is mostly mixed with, where it alone is named.
    pub partners: Vec<(usize, usize)>,
    /// Shares without names that on some goods are those of certain members.
    pub usual_shares: Vec<UsualShares>,
    /// Words that say which members are absent.
    pub lacks: Vec<(String, Vec<usize>)>,
    /// Words for a share of members that are not named.
    pub others: Vec<String>,
    /// What a quantity right behind such words says of it.
    pub behind: Vec<Behind>,
    /// From where on a quantity of it needs no word before it: nothing else is so hot. Another setting may stand behind
    /// it bare.
    pub bare_from: Option<i64>,
    /// Up to where a quantity of it needs no word before it: what is longer is of something else.
    pub bare_to: Option<i64>,
    /// The units that a number without one behind its words can be of, each with the least and the most that it then is.
    pub bare_units: Vec<(String, i64, i64)>,
    /// Words of other things behind which a number without a unit is of this attribute as well: `heat press 160`.
    pub bare_behind: Vec<String>,
    /// Words that say it of the print, where they stand with those of the ink; of a material, words by which a colour beside
    /// them is that of the print, with `#` for any number.
    pub of_print: Vec<String>,
    /// What is for somebody or something of which nothing is known.
    pub whom: Option<Whom>,
}

/// Shares without names that on some goods are those of certain members: `hoodie 80/20`.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct UsualShares {
    /// The shares as they are written.
    pub shares: Vec<String>,
    /// The members, in their order.
    pub of: Vec<usize>,
    /// The goods: attributes, each with the members of which one is said.
    pub on: Vec<(AttributeId, Mask)>,
}

/// Whom or what something is for: `for our summer festival`.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Whom {
    /// The words with which it begins.
    pub leads: Vec<String>,
    /// What is to be said of it.
    pub says: String,
    /// Words that may matter: what holds one of them is not taken so.
    pub unless: Vec<String>,
    /// Attributes that may be said among the words: `for our kids club`.
    pub among: Vec<AttributeId>,
}

/// A quantity that is measured as one attribute and said of another, for the words that it stands behind: `50 washes at
/// 60 °C` is no heat of the film.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Behind {
    /// The attribute that it would be of without them.
    pub of: AttributeId,
    /// The words.
    pub words: Vec<String>,
    /// Words that may stand between, besides numbers: `washed 50 times at`.
    pub times: Vec<String>,
    /// What is counted behind such a word: `washed 50 times`.
    pub counts: Option<AttributeId>,
    /// What it says, up to how much: a member, or nothing. Beyond all of them it is of the other attribute.
    pub up_to: Vec<(i64, Option<usize>)>,
    /// Quantities that need no unit behind the first of the words: `wash 60`.
    pub bare: Vec<i64>,
    /// What is to be said of a quantity from which nothing follows.
    pub aside: Option<String>,
    /// It needs no other quantity beside it of which the question is, and stands behind the words where these begin what
    /// is said between two marks: `…, dryer set to 180`.
    pub alone: bool,
    /// It is an upper end of the other attribute, where nothing else is said of that one.
    pub at_most: bool,
    /// By how much the other attribute stays below it, at the least.
    pub less: i64,
    /// Of what it is only said: members of which one must be named. Empty where it is of all.
    pub on: Vec<(AttributeId, Mask)>,
}

/// Words of complaints, by what they do there.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Complaints {
    /// Say nothing of the job.
    pub idle: Vec<String>,
    /// Who saw it, and how it was heard of.
    pub tellers: Vec<String>,
    /// Only lead to what went wrong.
    pub leads: Vec<String>,
    /// Begin to tell when it was seen.
    pub when: Vec<String>,
    /// Begin to tell when or where it was seen, up to the end of what is told.
    pub place: Vec<String>,
    /// Tell a time, besides numbers.
    pub time: Vec<String>,
    /// Lead from what went wrong to the cloth.
    pub onto: Vec<String>,
}
