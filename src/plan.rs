//! A plan for a whole order: a sheet for each print, what takes how long, and what it costs.
//!
//! Everything in it comes from the answers; only prices are looked up in the knowledge, where a shop keeps them.

use crate::answer::{Answer, Between, Quantity, Said};
use crate::contract::SCHEMA;
use crate::model::{Model, Value as Fact};
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
    /// What one costs, if the shop says so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// What all of it costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<Between>,
}

/// The plan of an order that was answered.
pub fn plan(model: &Model, whole: Answer) -> Plan {
    let Answer { id, verdict, .. } = whole.clone();
    let prints = if whole.prints.is_empty() { vec![whole] } else { whole.prints };
    let times = times(model, &prints);
    let lasts = times.last().map_or(Between::default(), |last| last.starts.plus(last.lasts));
    let costs = costs(model, &prints);
    let priced = costs.iter().filter_map(|c| c.cost);
    let total = priced.reduce(Between::plus);
    Plan { schema: SCHEMA, id, verdict, prints, times, lasts, costs, total }
}

/// Steps in which something takes time: waiting goes on side by side, printing one after the other.
fn times(model: &Model, prints: &[Answer]) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    let mut starts = Between::default();
    for step in &model.steps {
        let mut lasts = Between::default();
        let mut what: Vec<String> = Vec::new();
        let mut tell = |text: &str| {
            if !what.iter().any(|w| w == text) {
                what.push(text.to_owned());
            }
        };
        for said in prints.iter().flat_map(|a| work(a, &step.name)) {
            // What only some cases need takes no time for sure.
            let Some(own) = said.lasts else { continue };
            let own = Between { min: if said.when.is_some() { 0.0 } else { own.min }, ..own };
            lasts = lasts.longer(own);
            tell(&said.text);
        }
        for run in prints.iter().flat_map(|a| amounts(a, "run_time")).filter(|q| q.step == step.name) {
            lasts = lasts.plus(ends(run));
            tell(&run.text);
        }
        if lasts.max > 0.0 {
            found.push(Stretch { step: step.name.clone(), title: step.title.clone(), starts, lasts, what });
            starts = starts.plus(lasts);
        }
    }
    found
}

/// What is done, must be done and is looked out for in a step.
fn work<'a>(answer: &'a Answer, step: &'a str) -> impl Iterator<Item = &'a Said> {
    let done = answer.recipe.iter().flat_map(|r| &r.steps).flat_map(|s| &s.work);
    let all = done.chain(&answer.conditions).chain(&answer.cautions).chain(&answer.advice);
    all.filter(move |s| s.step.as_deref() == Some(step))
}

fn amounts<'a>(answer: &'a Answer, key: &'a str) -> impl Iterator<Item = &'a Quantity> {
    answer.recipe.iter().flat_map(|r| &r.quantities).filter(move |q| q.key == key)
}

fn ends(quantity: &Quantity) -> Between {
    let max = quantity.max.as_f64().unwrap_or_default();
    Between { min: quantity.min.as_ref().and_then(Value::as_f64).unwrap_or_default(), max }
}

/// What drives the cost of each print that can be done.
fn costs(model: &Model, prints: &[Answer]) -> Vec<Cost> {
    let mut costs: Vec<Cost> = Vec::new();
    let mut add = |kind: &str, id: &str, amount: Option<Between>, unit: &'static str| {
        let Some(entity) = model.kind(kind).and_then(|k| model.entity(k, id)) else { return };
        let price = model.kind(kind).and_then(|k| model.property(k, "price")).and_then(|p| entity.facts.get(&p));
        let number = model.dimension("number").and_then(|d| model.dim(d));
        let price = price.zip(number).and_then(|(fact, d)| match fact.value {
            Fact::Quantity(steps) => Some(d.reading(steps, 0)),
            _ => None,
        });
        match costs.iter_mut().find(|c| c.of == id && c.unit == unit) {
            Some(same) => {
                same.amount = same.amount.zip(amount).map(|(a, b)| a.plus(b));
                same.cost = same.amount.zip(same.price).map(|(a, p)| a.times(p));
            }
            None => costs.push(Cost {
                of: id.to_owned(),
                what: entity.name.clone(),
                amount,
                unit,
                price,
                cost: amount.zip(price).map(|(a, p)| a.times(p)),
            }),
        }
    };
    for answer in prints {
        let Some(recipe) = &answer.recipe else { continue };
        let screens = recipe.settings.keys().filter(|k| k.starts_with("mesh_layer_")).count();
        let exactly = |number: f64| Some(Between::exactly(number));
        add("cost", "set-up", exactly(1.0), "");
        add("cost", "screen", exactly(screens as f64), "");
        let pieces = answer.job.get("run.pieces").and_then(|p| p.get("value")).and_then(Value::as_f64);
        let inks: Vec<&str> = recipe.layers.iter().filter_map(|l| l.material.as_deref()).collect();
        // What lies below is flashed before the next goes on, unless it is an ink that is never flashed.
        let below = inks.split_last().map_or(&[][..], |(_, below)| below);
        let flashed = below.iter().filter(|ink| is_flashed(model, ink)).count();
        add("cost", "flash", pieces.map(|p| Between::exactly(p * flashed as f64)), "");
        for (index, id) in inks.iter().enumerate() {
            let mut own = amounts(answer, "ink_for_the_run").filter(|q| q.layer == Some(index + 1) && q.unit == "g");
            add("ink", id, own.next().map(|q| ends(q).times(0.001)), "kg");
        }
        for additive in amounts(answer, "additive_for_the_run") {
            let id = additive.thing.as_deref().unwrap_or_default();
            add("additive", id, Some(ends(additive).times(0.001)), "kg");
        }
        let run = amounts(answer, "run_time").next().map(|run| ends(run).times(1.0 / 60.0));
        add("cost", "press-minute", run, "min");
        // Only what goes on a belt pays for one.
        if amounts(answer, "belt_speed").next().is_some()
            || recipe.asks.iter().any(|a| a.attribute == "shop.heated_length")
        {
            add("cost", "dryer-minute", run, "min");
        }
        let trials = recipe.steps.iter().filter(|s| model.steps.iter().any(|m| m.tests && m.name == s.step));
        let tests: usize = trials.map(|s| s.work.len() + s.conditions.len()).sum();
        add("cost", "test", exactly(tests as f64), "");
    }
    costs.retain(|c| c.amount.is_none_or(|a| a.max > 0.0));
    costs
}

/// Whether an ink has a heat to which it is flashed.
fn is_flashed(model: &Model, id: &str) -> bool {
    let kind = model.kind("ink");
    let flash = kind.and_then(|k| model.property(k, "flash"));
    let entity = kind.and_then(|k| model.entity(k, id));
    entity.zip(flash).and_then(|(e, p)| e.facts.get(&p)).is_some_and(|f| matches!(f.value, Fact::Window(..)))
}
