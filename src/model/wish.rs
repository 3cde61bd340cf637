//! What may be wished of a thing, and how far a thing meets it. A wish ranks; it decides nothing.

use super::{PropertyId, Value};
use serde::{Deserialize, Serialize};

/// Words of wishes. All are folded.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Wishes {
    /// What is asked where nothing but wishes and a job are said: `softest on black cotton`.
    pub asks: String,
    /// Words that only lead to a wish: `with a`.
    pub leads: Vec<String>,
    /// Words that only end one: `preferred`.
    pub trails: Vec<String>,
    /// Words between a wish and what is said beside it: `and`.
    pub joins: Vec<String>,
    /// What may be wished.
    pub all: Vec<Wish>,
    /// Words of wishes by which nothing is ranked, with what to say of them.
    pub aside: Vec<(String, String)>,
}

/// Something that may be wished.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Wish {
    /// How an order of things by it is explained.
    pub name: String,
    /// What is told of a thing: `hand`.
    pub called: String,
    /// By what it is judged.
    pub property: PropertyId,
    /// What is best.
    pub best: Best,
    /// What people say, folded; `#` stands for a number, which with what follows it says something of the job as well.
    pub words: Vec<String>,
    /// How yes and no are told.
    pub told: Option<[String; 2]>,
}

/// What is best of a property's values.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Best {
    /// Members, the best first; the first is as asked.
    Order(Vec<usize>),
    /// Yes or no.
    YesNo(bool),
    /// More is better; from here on it is as asked.
    Most(i64),
    /// Less is better; up to here it is as asked.
    Least(i64),
}

/// How far a thing meets a wish, the better the less.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fit {
    /// It does not, or nobody knows.
    pub misses: bool,
    /// How far it lies from the best.
    pub place: i64,
}

impl Wish {
    /// How far a value meets it; nothing where that is not known.
    pub fn fit(&self, value: Option<&Value>) -> Option<Fit> {
        // Of a spread the end that is the worse one counts.
        let ends = value.and_then(|v| match v {
            Value::Disputed { plan, .. } => Some((*plan, *plan)),
            v => v.ends(),
        });
        match (&self.best, value?) {
            (Best::Order(best), Value::Choice(m)) => {
                let place = best.iter().position(|b| b == m).unwrap_or(best.len());
                Some(Fit { misses: place > 0, place: i64::try_from(place).unwrap_or(i64::MAX) })
            }
            (Best::YesNo(best), Value::YesNo(is)) => Some(Fit { misses: is != best, place: i64::from(is != best) }),
            (Best::Most(asked), _) => ends.map(|(low, _)| Fit { misses: low < *asked, place: low.saturating_neg() }),
            (Best::Least(asked), _) => ends.map(|(_, high)| Fit { misses: high > *asked, place: high }),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(best: Best) -> Wish {
        let words = Vec::new();
        Wish { name: String::new(), called: String::new(), property: PropertyId(0), best, words, told: None }
    }

    #[test]
    fn the_better_the_less() {
        let hand = wish(Best::Order(vec![2, 0, 1]));
        let of = |m| hand.fit(Some(&Value::Choice(m))).map(|f| (f.misses, f.place));
        assert_eq!([of(2), of(0), of(1)], [Some((false, 0)), Some((true, 1)), Some((true, 2))]);
        let more = wish(Best::Most(100));
        let of = |q| more.fit(Some(&Value::Quantity(q)));
        assert!(of(300) < of(100) && of(100) < of(80));
        assert!(of(100).is_some_and(|f| !f.misses) && of(80).is_some_and(|f| f.misses));
        assert_eq!(more.fit(Some(&Value::Window(50, 300))).map(|f| f.misses), Some(true));
        assert_eq!(more.fit(Some(&Value::Unknown)), None);
        assert_eq!(more.fit(None), None);
    }
}
