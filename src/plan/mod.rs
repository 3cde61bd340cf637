//! A plan for a whole order: a sheet for each print, what takes how long, and what it costs.
//!
//! Everything in it comes from the answers; only prices are looked up in the knowledge, where a shop keeps them.

mod costs;
mod times;

use crate::answer::{Answer, Between, Quantity, Wanted};
use crate::contract::SCHEMA;
use crate::model::Model;
use crate::quantity::System;
use serde::Serialize;
use serde_json::Value;

/// A plan.
#[derive(Debug, Clone, Serialize)]
pub struct Plan {
    /// Version of the contract.
    pub schema: i64,
    /// The order's own id.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Value>,
    /// The worst verdict of its prints.
    pub verdict: &'static str,
    /// A print each, in the order in which they were given.
    pub prints: Vec<Answer>,
    /// What takes time, in the order of work.
    pub times: Vec<Stretch>,
    /// From the first step to the last, in seconds.
    pub lasts: Between,
    /// What the order costs the shop to print.
    pub costs: Vec<Cost>,
    /// The costs that have a price, in all; in the shop's currency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub total: Option<Between>,
    /// Where not every print is sure to hold: what it costs to make the whole order again, with new pieces and on the
    /// same screens. Absent where nobody says what a piece costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made_again: Option<Between>,
    /// What would have to be said for more of it.
    pub asks: Vec<Wanted>,
}

impl Between {
    fn exactly(number: f64) -> Self {
        Self { min: number, max: number }
    }

    fn plus(self, other: Self) -> Self {
        Self { min: self.min + other.min, max: self.max + other.max }
    }

    /// A multiple.
    pub(crate) fn times(self, factor: f64) -> Self {
        Self { min: self.min * factor, max: self.max * factor }
    }

    /// Both ends, said once where they are alike.
    pub(crate) fn span(self) -> String {
        let (min, max) = (figure(self.min), figure(self.max));
        if min == max { min } else { format!("{min} to {max}") }
    }

    /// Upwards to whole numbers.
    fn whole(self) -> Self {
        // What is off by less than anybody reckons is whole already.
        Self { min: (self.min - 1e-9).ceil(), max: (self.max - 1e-9).ceil() }
    }

    fn longer(self, other: Self) -> Self {
        Self { min: self.min.max(other.min), max: self.max.max(other.max) }
    }
}

/// Something that takes time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stretch {
    /// The step of work.
    pub step: String,
    /// What the step is called.
    pub title: String,
    /// From the start of the work to its beginning, in seconds.
    pub starts: Between,
    /// How long it takes, in seconds.
    pub lasts: Between,
    /// How long before handing over it must be ready at the latest, in seconds.
    pub ready: Between,
    /// What takes so long.
    pub what: Vec<String>,
}

/// Something that costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cost {
    /// Its id in the knowledge.
    pub of: String,
    /// What it is.
    pub what: String,
    /// How much of it; absent where that is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount: Option<Between>,
    /// In which unit.
    pub unit: &'static str,
    /// How much of it, in words.
    pub text: String,
    /// What one costs, if the shop says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// What all of it costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<Between>,
}

/// The plan of an order that was answered.
pub fn plan(model: &Model, whole: Answer, units: System) -> Plan {
    let Answer { id, verdict, .. } = whole.clone();
    let prints = if whole.prints.is_empty() { vec![whole] } else { whole.prints };
    let (times, lasts) = times::times(model, &prints);
    let (costs, asks) = costs::costs(model, &prints, units);
    let total = costs.iter().filter_map(|c| c.cost).reduce(Between::plus);
    let made_again = (verdict != "yes").then(|| costs::made_again(&costs, &prints)).flatten();
    Plan { schema: SCHEMA, id, verdict, prints, times, lasts, costs, total, made_again, asks }
}

fn amounts<'a>(answer: &'a Answer, key: &'a str) -> impl Iterator<Item = &'a Quantity> {
    answer.recipe.iter().flat_map(|r| &r.quantities).filter(move |q| q.key == key)
}

fn ends(quantity: &Quantity) -> Between {
    let max = quantity.max.as_f64().unwrap_or_default();
    Between { min: quantity.min.as_ref().and_then(Value::as_f64).unwrap_or_default(), max }
}

/// How many screens a print takes.
fn screens(answer: &Answer) -> f64 {
    let settings = answer.recipe.iter().flat_map(|r| r.settings.keys());
    settings.filter(|k| k.starts_with("mesh_layer_")).count() as f64
}

/// With at most two decimals.
pub(crate) fn figure(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
