//! What drives the cost of each print that can be done.

use super::{Between, Cost, amounts, ends, screens};
use crate::answer::{Answer, Wanted};
use crate::figures::known;
use crate::model::{Model, Value as Fact};
use crate::quantity::System;
use crate::sums::units::{Count, Ratio, Unit};
use serde_json::Value;

/// The cost of a screen made ready.
const SCREEN: &str = "screen";
/// The cost of the pieces that a run spoils.
const SPOILED: &str = "spoiled-piece";

/// The costs in the order of work, and what would have to be said for more of them.
pub(super) fn costs(model: &Model, prints: &[Answer], units: System) -> (Vec<Cost>, Vec<Wanted>) {
    let mut list = List { model, costs: Vec::new(), asks: Vec::new() };
    prints.iter().for_each(|answer| list.of_print(answer));
    let List { mut costs, asks, .. } = list;
    costs.retain(|c| c.amount.is_none_or(|a| a.max > 0.0));
    for cost in &mut costs {
        cost.text = told(model, cost, units);
    }
    (costs, asks)
}

/// What it costs to make all of it again: every piece is bought anew, and only the screens are there already.
pub(super) fn made_again(costs: &[Cost], prints: &[Answer]) -> Option<Between> {
    let price = costs.iter().find(|c| c.of == SPOILED)?.price?;
    // Several prints of an order lie on the same pieces.
    let pieces = prints.iter().filter_map(pieces).reduce(f64::max)?;
    let work = costs.iter().filter(|c| c.of != SPOILED && c.of != SCREEN).filter_map(|c| c.cost);
    Some(work.fold(Between::exactly(pieces * price), Between::plus))
}

/// How many pieces are printed.
fn pieces(answer: &Answer) -> Option<f64> {
    answer.job.get("run.pieces")?.get("value")?.as_f64()
}

/// The costs so far.
struct List<'a> {
    model: &'a Model,
    costs: Vec<Cost>,
    asks: Vec<Wanted>,
}

impl List<'_> {
    fn of_print(&mut self, answer: &Answer) {
        let Some(recipe) = &answer.recipe else { return };
        let exactly = |number: f64| Some(Between::exactly(number));
        let pieces = pieces(answer);
        self.add("cost", "set-up", exactly(1.0), "");
        self.add("cost", SCREEN, exactly(screens(answer)), "");
        let inks: Vec<&str> = recipe.layers.iter().filter_map(|l| l.material.as_deref()).collect();
        // What lies below is flashed before the next goes on, unless it is an ink that is never flashed.
        let below = inks.split_last().map_or(&[][..], |(_, below)| below);
        let flashed = below.iter().filter(|ink| is_flashed(self.model, ink)).count();
        self.add("cost", "flash", pieces.map(|p| Between::exactly(p * flashed as f64)), "");
        for (index, id) in inks.iter().enumerate() {
            let mut own = amounts(answer, "ink_for_the_run").filter(|q| q.layer == Some(index + 1) && q.unit == "g");
            self.add("ink", id, own.next().map(|q| ends(q).times(0.001)), "kg");
        }
        for additive in amounts(answer, "additive_for_the_run") {
            let id = additive.thing.as_deref().unwrap_or_default();
            self.add("additive", id, Some(ends(additive).times(0.001)), "kg");
        }
        let run = amounts(answer, "run_time").next().map(|run| ends(run).times(1.0 / 60.0));
        self.add("cost", "press-minute", run, "min");
        // Only what goes on a belt pays for one.
        let asked = recipe.asks.iter().any(|a| a.attribute == "shop.heated_length");
        if amounts(answer, "belt_speed").next().is_some() || asked {
            self.add("cost", "dryer-minute", run, "min");
        }
        let trials = recipe.steps.iter().filter(|s| self.model.steps.iter().any(|m| m.tests && m.name == s.step));
        let tests: usize = trials.map(|s| s.work.len() + s.conditions.len()).sum();
        self.add("cost", "test", exactly(tests as f64), "");
        self.spoiled(answer, pieces);
    }

    /// Pieces that are spoilt as a rule, at what the order or the shop says that a piece costs.
    fn spoiled(&mut self, answer: &Answer, pieces: Option<f64>) {
        let model = self.model;
        let Some(spoil) = model.kind("cost").and_then(|k| model.entity(k, SPOILED)) else { return };
        let share = known::<Ratio>(model, spoil, "share", 0.01).map(|s| s.0);
        let expected = pieces.zip(share).map(|(p, s)| Between { min: p * s.low.number(), max: p * s.high.number() });
        self.add("cost", SPOILED, expected.map(Between::whole), "");
        let stated = answer.job.get("run.piece_price").and_then(|p| p.get("value")).and_then(Value::as_f64);
        let Some(cost) = self.costs.iter_mut().find(|c| c.of == SPOILED) else { return };
        // The order knows its goods better than the shop.
        cost.price = stated.or(cost.price);
        cost.cost = cost.amount.zip(cost.price).map(|(a, p)| a.times(p));
        let attribute = model.attribute("run.piece_price").and_then(|id| id.of(model));
        let ask = attribute.filter(|_| cost.price.is_none()).and_then(|a| Some((a.name.clone(), a.ask.clone()?)));
        if let Some((attribute, ask)) = ask
            && !self.asks.iter().any(|a| a.attribute == attribute)
        {
            self.asks.push(Wanted { attribute, ask });
        }
    }

    fn add(&mut self, kind: &str, id: &str, amount: Option<Between>, unit: &'static str) {
        let model = self.model;
        let Some(entity) = model.kind(kind).and_then(|k| model.entity(k, id)) else { return };
        match self.costs.iter_mut().find(|c| c.of == id && c.unit == unit) {
            Some(same) => {
                same.amount = same.amount.zip(amount).map(|(a, b)| a.plus(b));
                same.cost = same.amount.zip(same.price).map(|(a, p)| a.times(p));
            }
            None => {
                let price = known::<Count>(model, entity, "price", 1.0).map(|p| p.0.high.number());
                self.costs.push(Cost {
                    of: id.to_owned(),
                    what: entity.name.clone(),
                    amount,
                    unit,
                    text: String::new(),
                    price,
                    cost: amount.zip(price).map(|(a, p)| a.times(p)),
                });
            }
        }
    }
}

/// How much of it in words, a mass in the units of whoever reads it.
fn told(model: &Model, cost: &Cost, units: System) -> String {
    let Some(amount) = cost.amount else { return "how much is not known".to_owned() };
    let mass = model.dimension("mass").and_then(|d| model.dim(d)).filter(|_| cost.unit == "kg");
    // A little is told in grams.
    let (amount, unit) = match cost.unit {
        "kg" if amount.max < 1.0 => (amount.times(1000.0), "g"),
        unit => (amount, unit),
    };
    let metric = format!("{} {unit}", amount.span()).trim_end().to_owned();
    let us = mass.filter(|_| units == System::Us).and_then(|d| {
        let first = d.units.iter().position(|u| u.us)?;
        let steps = |grams: f64| (grams * d.units.first().map_or(1.0, |u| u.steps as f64)).round() as i64;
        let grams = cost.amount?.times(1000.0);
        let (low, high) = (steps(grams.min), steps(grams.max));
        Some(d.range_in(low, high, d.handy(first, high)))
    });
    us.map_or(metric.clone(), |us| format!("{us} ({metric})"))
}

/// Whether an ink has a heat to which it is flashed.
fn is_flashed(model: &Model, id: &str) -> bool {
    let kind = model.kind("ink");
    let flash = kind.and_then(|k| model.property(k, "flash"));
    let entity = kind.and_then(|k| model.entity(k, id));
    entity.zip(flash).and_then(|(e, p)| e.facts.get(&p)).is_some_and(|f| matches!(f.value, Fact::Window(..)))
}
