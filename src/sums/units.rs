//! Numbers with their unit in the type.
//!
//! The number is public, so that `Metres(2.4)` can be written; whether it makes sense is asked where it is used, by
//! [`Unit::amount`] and [`Unit::above_zero`], and of every result, by [`Unit::made`].

/// A number with a unit.
pub trait Unit: Copy + PartialOrd {
    /// How the unit is written.
    const SYMBOL: &'static str;
    /// The least number that makes sense.
    const LEAST: f64;
    /// The greatest number that makes sense.
    const MOST: f64;

    /// With this number, whether it makes sense or not.
    fn of(number: f64) -> Self;

    /// The bare number, whether it makes sense or not.
    fn number(self) -> f64;

    /// The number, if it makes sense.
    fn amount(self) -> Option<f64> {
        let number = self.number();
        // What is no number compares with nothing, and infinity lies beyond every end.
        (number >= Self::LEAST && number <= Self::MOST).then_some(number)
    }

    /// The number, if it makes sense and is above zero.
    fn above_zero(self) -> Option<f64> {
        self.amount().filter(|n| *n > 0.0)
    }

    /// With this number, if it makes sense.
    fn made(number: f64) -> Option<Self> {
        let made = Self::of(number);
        made.amount().map(|_| made)
    }
}

macro_rules! units {
    ($($(#[$doc:meta])* $name:ident, $symbol:literal, $least:expr, $most:expr;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl Unit for $name {
            const SYMBOL: &'static str = $symbol;
            const LEAST: f64 = $least;
            const MOST: f64 = $most;

            fn of(number: f64) -> Self {
                Self(number)
            }

            fn number(self) -> f64 {
                self.0
            }
        }
    )*};
}

units! {
    /// A length of printed film, thread or mesh.
    Micrometres, "µm", 0.0, f64::MAX;
    /// A length of dryer or belt.
    Metres, "m", 0.0, f64::MAX;
    /// An area of print.
    SquareMetres, "m²", 0.0, f64::MAX;
    /// Threads of a mesh.
    ThreadsPerCm, "/cm", 0.0, f64::MAX;
    /// Threads of a mesh, as they are counted in inches.
    ThreadsPerInch, "/in", 0.0, f64::MAX;
    /// Rows of halftone dots.
    LinesPerCm, "lines/cm", 0.0, f64::MAX;
    /// A volume of ink.
    Millilitres, "ml", 0.0, f64::MAX;
    /// A volume of ink on an area; 1 ml/m² is a film of 1 µm.
    MillilitresPerSquareMetre, "ml/m²", 0.0, f64::MAX;
    /// A mass.
    Grams, "g", 0.0, f64::MAX;
    /// A mass each hour.
    GramsPerHour, "g/h", 0.0, f64::MAX;
    /// A density.
    GramsPerMillilitre, "g/ml", 0.0, f64::MAX;
    /// A time.
    Seconds, "s", 0.0, f64::MAX;
    /// A speed of a belt.
    MetresPerMinute, "m/min", 0.0, f64::MAX;
    /// Pieces, strokes, lanes, batches.
    Count, "", 0.0, f64::MAX;
    /// Pieces each hour.
    PerHour, "/h", 0.0, f64::MAX;
    /// A part of a whole, 0 to 1.
    Share, "", 0.0, 1.0;
    /// One amount as a multiple of another: a dose by weight of the ink, an allowance.
    Ratio, "", 0.0, f64::MAX;
    /// A temperature.
    Celsius, "°C", -273.15, f64::MAX;
    /// A difference of two temperatures.
    Kelvins, "K", 0.0, f64::MAX;
    /// Heat.
    Kilojoules, "kJ", 0.0, f64::MAX;
    /// Heat that changes a mass from liquid to vapour, or that a mass of liquid holds.
    JoulesPerGram, "J/g", 0.0, f64::MAX;
    /// Heat that warms a mass by a degree.
    JoulesPerGramKelvin, "J/(g K)", 0.0, f64::MAX;
    /// A pressure.
    Kilopascals, "kPa", 0.0, f64::MAX;
}
