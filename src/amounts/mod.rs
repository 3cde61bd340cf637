//! Amounts for a run: what the mesh holds, ink and additives to weigh, belt speed, output, water and heat. Each is
//! reckoned with [`crate::sums`] from what is said of the job, what is set and what the knowledge holds; what is only
//! known to lie between two ends comes out so. What is not known is asked for, and the rest is still told.
//!
//! This is a room that knows of printing: it names attributes and properties of the vocabulary. In a vocabulary without
//! them nothing is reckoned.

mod dryer;
mod facts;
mod ink;
mod screen;

use crate::job::JobSet;
use crate::model::{AttributeId, Basis};
use crate::program::Program;
use crate::quantity::{DimensionId, three_figures};
use crate::sums::Range;
use crate::sums::units::Unit;
use facts::Facts;

/// An amount.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    /// Stable key.
    pub key: &'static str,
    /// Its layer, for one that each layer has.
    pub layer: Option<usize>,
    /// The step of work that it belongs to.
    pub step: &'static str,
    /// What it is.
    pub label: String,
    /// The thing that it is an amount of, by its id, where it is one of several.
    pub thing: Option<String>,
    /// Its dimension.
    pub dimension: DimensionId,
    /// The lower end, where it has one.
    pub low: Option<i64>,
    /// The upper end.
    pub high: i64,
    /// What to plan with.
    pub suggested: Option<i64>,
    /// How it comes about.
    pub how: String,
    /// The weakest basis among what it rests on.
    pub basis: Basis,
}

/// What was reckoned, and what would have to be said to reckon more.
#[derive(Debug, Clone, Default)]
pub struct Reckoned {
    /// The amounts, in the order of work.
    pub amounts: Vec<Amount>,
    /// Attributes that are asked for.
    pub asks: Vec<AttributeId>,
}

/// The amounts of a job in which every setting has been set.
pub fn reckon(program: &Program, job: &JobSet) -> Reckoned {
    let mut facts = Facts::new(program, job);
    let mut amounts = Vec::new();
    let layers = 0..job.layers.len();
    let inks: Vec<Option<ink::Run>> = layers.map(|layer| layer_amounts(&mut facts, layer, &mut amounts)).collect();
    dryer::amounts(&mut facts, &inks, &mut amounts);
    let mut asks = facts.asks();
    asks.dedup();
    Reckoned { amounts, asks }
}

fn layer_amounts(facts: &mut Facts<'_>, layer: usize, amounts: &mut Vec<Amount>) -> Option<ink::Run> {
    let mesh = screen::amounts(facts, layer, amounts);
    ink::amounts(facts, layer, mesh.as_ref(), amounts)
}

/// A range in words: `37.2`, or `37.2 to 55.9`.
fn figures<T: Unit>(range: Range<T>) -> String {
    figures_of(range, 1.0, T::SYMBOL)
}

/// As [`figures`], of a multiple in another unit.
fn figures_of<T: Unit>(range: Range<T>, factor: f64, unit: &str) -> String {
    let (low, high) = (three_figures(range.low.number() * factor), three_figures(range.high.number() * factor));
    let numbers = if low == high { low.to_string() } else { format!("{low} to {high}") };
    if unit.is_empty() { numbers } else { format!("{numbers} {unit}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sums::units::Share;

    #[test]
    fn three_figures_and_no_more() {
        assert_eq!(three_figures(1234.5), 1230.0);
        assert_eq!(three_figures(0.012_345), 0.0123);
        assert_eq!(three_figures(-99.96), -100.0);
        assert_eq!(figures_of(Range { low: Share(0.4), high: Share(0.6) }, 100.0, "%"), "40 to 60 %");
    }
}
