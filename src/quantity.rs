//! Quantities as whole steps of one size per dimension, exact at the edges: 212 °F *is* 100 °C.
//!
//! Which dimensions and units there are is knowledge (`knowledge/units.yaml`), not code.

use std::fmt::Write as _;

/// Index of a dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub struct DimensionId(pub u16);

/// Below every quantity: an end that nothing has bounded.
pub const LEAST: i64 = -4_000_000_000_000_000;
/// Above every quantity.
pub const MOST: i64 = 4_000_000_000_000_000;

/// No real quantity is larger: sums and multiples of such stay below [`MOST`], which stands for no end at all.
pub const LARGEST: i64 = MOST / 1000;

/// A sum in which no end stays no end.
pub fn plus(a: i64, b: i64) -> i64 {
    match (a, b) {
        (MOST.., _) | (_, MOST..) => MOST,
        (..=LEAST, _) | (_, ..=LEAST) => LEAST,
        _ => (a + b).clamp(LEAST, MOST),
    }
}

/// A difference in which no end stays no end.
pub fn minus(a: i64, b: i64) -> i64 {
    match b {
        MOST.. => plus(a, LEAST),
        ..=LEAST => plus(a, MOST),
        _ => plus(a, -b),
    }
}

/// A multiple, in thousandths, in which no end stays no end.
pub fn times(a: i64, thousandths: i64) -> i64 {
    match (a, thousandths) {
        (MOST.., 1..) | (..=LEAST, ..=-1) => MOST,
        (MOST.., ..=-1) | (..=LEAST, 1..) => LEAST,
        _ => (i128::from(a) * i128::from(thousandths)).div_euclid(1000).clamp(LEAST.into(), MOST.into()) as i64,
    }
}

/// A number with three figures: more would claim what nobody knows.
pub fn three_figures(number: f64) -> f64 {
    if number == 0.0 {
        return 0.0;
    }
    let places = 2 - number.abs().log10().floor() as i32;
    let figures = (number / 10_f64.powi(-places)).round();
    if places < 0 { figures * 10_f64.powi(-places) } else { figures / 10_f64.powi(places) }
}

/// A kind of quantity: temperature, time, share.
#[derive(Debug, Clone, serde::Serialize, serde::Deserialize)]
pub struct Dimension {
    /// Its name in the vocabulary.
    pub name: String,
    /// The dimension of a difference of two such quantities, where that is another one.
    pub difference: Option<DimensionId>,
    /// Units; answers are given in the first.
    pub units: Vec<Unit>,
    /// Pairs of sizes that the trade holds to be the same, each as readings by unit index.
    pub nominal: Vec<Vec<(usize, i64)>>,
    /// From this reading of the first unit on, a larger unit is used where the reading is whole in it.
    pub larger_from: Option<i64>,
    /// Words after a number that leave open which unit is meant.
    pub unclear: Vec<String>,
    /// The least value that makes sense, with the reason.
    pub least: Option<(i64, String)>,
}

/// A unit of a dimension.
#[derive(Debug, Clone, serde::Serialize, serde::Deserialize)]
pub struct Unit {
    /// How it is written.
    pub symbol: String,
    /// Its code in the Unified Code for Units of Measure.
    pub ucum: String,
    /// Other spellings.
    pub also: Vec<String>,
    /// Steps in one of it.
    pub steps: i64,
    /// The reading of this unit at step zero.
    pub zero: i64,
    /// Whether people who use US customary units read this one.
    pub us: bool,
    /// The steps from which on a quantity is told in it, where it is not told in the first unit.
    pub from: Option<i64>,
    /// So many of it are no difference where a machine is set to it.
    pub about: i64,
}

/// The units in which answers are told to somebody who named none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// Metric units.
    #[default]
    Metric,
    /// US customary units, with the metric ones beside them.
    Us,
}

impl Unit {
    /// Whether a written unit means this one. Letter case matters only between units that differ by nothing else.
    pub fn is_written(&self, text: &str) -> bool {
        std::iter::once(&self.symbol)
            .chain(std::iter::once(&self.ucum))
            .chain(&self.also)
            .any(|w| w.eq_ignore_ascii_case(text))
    }
}

/// A decimal number exactly as written: `digits / 10^scale`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decimal {
    digits: i64,
    scale: u32,
}

impl Decimal {
    /// Reads `12`, `-3.50` or `0.5`.
    ///
    /// ```
    /// use washfast::quantity::Decimal;
    /// assert!(Decimal::parse("1.50").is_some());
    /// assert!(Decimal::parse("1,5").is_none());
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let (sign, body) = match text.strip_prefix('-') {
            Some(rest) => (-1, rest),
            None => (1, text),
        };
        let (whole, part) = body.split_once('.').unwrap_or((body, ""));
        if whole.is_empty() || body.ends_with('.') || whole.len() + part.len() > 15 {
            return None;
        }
        let all: String = whole.chars().chain(part.chars()).collect();
        if !all.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let digits: i64 = all.parse().ok()?;
        Some(Self { digits: sign * digits, scale: part.len() as u32 })
    }

    /// Steps of this many of a unit, rounded to the nearest step; nothing if out of range.
    pub fn steps(self, unit: &Unit) -> Option<i64> {
        let ten = 10_i128.pow(self.scale);
        let numerator = (i128::from(self.digits) - i128::from(unit.zero) * ten) * i128::from(unit.steps);
        let rounded = (2 * numerator + ten).div_euclid(2 * ten);
        i64::try_from(rounded).ok().filter(|s| (-LARGEST..=LARGEST).contains(s))
    }

    /// The nearest floating-point number.
    pub fn to_f64(self) -> f64 {
        self.digits as f64 / 10_f64.powi(self.scale as i32)
    }
}

impl Dimension {
    /// The unit that a text names.
    pub fn unit(&self, text: &str) -> Option<usize> {
        let exact =
            self.units.iter().position(|u| u.symbol == text || u.ucum == text || u.also.iter().any(|a| a == text));
        exact.or_else(|| self.units.iter().position(|u| u.is_written(text)))
    }

    /// Whether a text is a unit here, be it one that leaves open which.
    pub fn knows(&self, text: &str) -> bool {
        self.unit(text).is_some() || self.leaves_open(text)
    }

    /// Whether a word after a number leaves open which unit is meant.
    pub fn leaves_open(&self, text: &str) -> bool {
        self.unclear.iter().any(|w| w.eq_ignore_ascii_case(text))
    }

    /// The unit that a word meant which by itself leaves it open: the only one in which the trade has this size.
    pub fn nominal_unit(&self, number: Decimal) -> Option<usize> {
        let is_size = |unit: usize| {
            let Some(own) = self.units.get(unit) else { return false };
            let exact = number.steps(own);
            self.nominal.iter().flatten().any(|&(u, n)| u == unit && Some(n * own.steps) == exact)
        };
        let mut fitting = (0..self.units.len()).filter(|u| is_size(*u));
        let first = fitting.next()?;
        fitting.next().is_none().then_some(first)
    }

    /// Steps of a reading, taking the trade's nominal sizes for the same size.
    pub fn steps(&self, number: Decimal, unit: usize) -> Option<i64> {
        let own = self.units.get(unit)?;
        let exact = number.steps(own)?;
        let nominal = self.nominal.iter().find(|row| row.iter().any(|&(u, n)| u == unit && n * own.steps == exact));
        match nominal.and_then(|row| row.first()) {
            Some(&(u, n)) => Some(n * self.units.get(u)?.steps),
            None => Some(exact),
        }
    }

    /// Writes steps in the first unit.
    pub fn write(&self, steps: i64) -> String {
        self.write_in(steps, self.fitting(steps))
    }

    /// Whether answers choose the handier of its units.
    pub fn chooses(&self) -> bool {
        self.larger_from.is_some() || self.units.iter().any(|u| u.from.is_some())
    }

    /// The largest unit whose size it reaches; else the first, or a larger one in which large steps are whole.
    fn fitting(&self, steps: i64) -> usize {
        let reached = |u: &(usize, &Unit)| u.1.from.is_some_and(|from| steps.abs() >= from);
        if let Some((unit, _)) = self.units.iter().enumerate().filter(reached).max_by_key(|u| u.1.from) {
            return unit;
        }
        let first = self.units.first().map_or(1, |u| u.steps);
        let large = self.larger_from.is_some_and(|from| steps >= from * first);
        let whole = |u: &Unit| steps % u.steps == 0;
        if large { self.units.iter().rposition(whole).unwrap_or(0) } else { 0 }
    }

    /// A US customary unit, or a larger one of them from three of that on.
    pub fn handy(&self, unit: usize, steps: i64) -> usize {
        let Some(own) = self.units.get(unit).filter(|u| u.us) else { return unit };
        let reached = |u: &(usize, &Unit)| u.1.us && u.1.steps > own.steps && steps.abs() >= 3 * u.1.steps;
        self.units.iter().enumerate().filter(reached).max_by_key(|u| u.1.steps).map_or(unit, |u| u.0)
    }

    /// Writes steps in one of the units, as exactly as a person would.
    pub fn write_in(&self, steps: i64, unit: usize) -> String {
        let Some(own) = self.units.get(unit) else {
            return String::new();
        };
        let mut text = self.number_in(steps, unit);
        if !own.symbol.is_empty() {
            let _ = write!(text, " {}", own.symbol);
        }
        text
    }

    /// The ends between which a setting is meant that is said in a unit by this number of steps: 300 °F is meant for 150 °C.
    /// What is whole in the first unit is meant as said.
    pub fn around(&self, steps: i64, unit: usize) -> (i64, i64) {
        let whole = self.units.first().is_some_and(|u| steps % u.steps == 0);
        let about = self.units.get(unit).filter(|_| !whole).map_or(0, |u| u.about * u.steps);
        (steps - about, steps + about)
    }

    /// The value that was said, where two ends are those [`Dimension::around`] it.
    pub fn said_around(&self, low: i64, high: i64) -> Option<i64> {
        let width = |u: &Unit| u.about > 0 && high - low == 2 * u.about * u.steps;
        self.units.iter().any(width).then_some(low + (high - low) / 2)
    }

    /// Writes two ends in one of the units; the unit is said once.
    pub fn range_in(&self, low: i64, high: i64, unit: usize) -> String {
        format!("{} to {}", self.number_in(low, unit), self.write_in(high, unit))
    }

    /// Writes two ends in the unit that suits both.
    pub fn range(&self, low: i64, high: i64) -> String {
        let (a, b) = (self.fitting(low), self.fitting(high));
        if a == b { self.range_in(low, high, a) } else { format!("{} to {}", self.write(low), self.write(high)) }
    }

    /// The bare number: with two decimals where that is exact, else with as many as matter.
    fn number_in(&self, steps: i64, unit: usize) -> String {
        let number = self.reading(steps, unit);
        // Sizes that the trade calls by round numbers are whole in its other unit too.
        if !self.nominal.is_empty() && unit > 0 {
            return number.round().to_string();
        }
        let exact = (number * 100.0 - (number * 100.0).round()).abs() < 1e-6;
        let decimals = match number.abs() {
            _ if exact => 2,
            100.0.. => 0,
            10.0.. => 1,
            1.0.. => 2,
            _ => 3,
        };
        let mut text = format!("{number:.decimals$}");
        while text.contains('.') && (text.ends_with('0') || text.ends_with('.')) {
            text.pop();
        }
        if text == "-0" {
            text = "0".to_owned();
        }
        text
    }

    /// The whole reading of the first unit that steps miss by the least there is: a value beside it that stands for
    /// anything above (`true`) or below it.
    pub fn beside(&self, steps: i64) -> Option<(i64, bool)> {
        let one = self.units.first()?.steps;
        // Where steps are coarse a step is a difference that counts.
        if one < 100 {
            return None;
        }
        let whole = |s: i64| s.rem_euclid(one) == 0;
        if whole(steps - 1) {
            Some((steps - 1, true))
        } else if whole(steps + 1) {
            Some((steps + 1, false))
        } else {
            None
        }
    }

    /// The number of a unit that steps are.
    pub fn reading(&self, steps: i64, unit: usize) -> f64 {
        let Some(own) = self.units.get(unit) else {
            return 0.0;
        };
        for row in &self.nominal {
            let first = row.first().and_then(|&(u, n)| Some(n * self.units.get(u)?.steps));
            if first == Some(steps)
                && let Some(&(_, n)) = row.iter().find(|&&(u, _)| u == unit)
            {
                return n as f64;
            }
        }
        steps as f64 / own.steps as f64 + own.zero as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn temperature() -> Dimension {
        let unit = |symbol: &str, steps, zero| Unit {
            symbol: symbol.into(),
            ucum: symbol.into(),
            also: vec![],
            steps,
            zero,
            us: false,
            from: None,
            about: 0,
        };
        Dimension {
            name: "temperature".into(),
            difference: None,
            units: vec![unit("°C", 9000, 0), unit("°F", 5000, 32)],
            nominal: vec![],
            larger_from: None,
            unclear: vec![],
            least: None,
        }
    }

    #[test]
    fn fahrenheit_is_exact() {
        let t = temperature();
        let f = |text: &str| Decimal::parse(text).and_then(|d| t.steps(d, 1)).map(|s| t.write(s));
        assert_eq!(f("212").as_deref(), Some("100 °C"));
        assert_eq!(f("320").as_deref(), Some("160 °C"));
        assert_eq!(f("-40").as_deref(), Some("-40 °C"));
    }

    #[test]
    fn numbers_are_written_as_people_write_them() {
        let t = temperature();
        let read = |text: &str, unit| Decimal::parse(text).and_then(|d| t.steps(d, unit)).unwrap_or_default();
        assert_eq!(t.write(read("280", 1)), "138 °C");
        assert_eq!(t.write_in(read("280", 1), 1), "280 °F");
        assert_eq!(t.write(read("160.5", 0)), "160.5 °C");
        assert_eq!(t.range(read("150", 0), read("170", 0)), "150 to 170 °C");
        assert_eq!(t.beside(read("35", 0) + 1), Some((read("35", 0), true)));
        assert_eq!(t.beside(read("100", 0) - 1), Some((read("100", 0), false)));
        assert_eq!(t.beside(read("280", 1)), None);
    }

    #[test]
    fn numbers_out_of_range_are_none() {
        assert!(Decimal::parse("99999999999999999999").is_none());
        assert!(Decimal::parse("").is_none());
        assert!(Decimal::parse(".5").is_none());
        assert!(Decimal::parse("5.").is_none());
        assert!(Decimal::parse("999999999999999").and_then(|d| temperature().steps(d, 0)).is_none());
    }
}
