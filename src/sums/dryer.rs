//! The belt, what leaves the dryer and the press each hour, and the water that must go.

use super::units::{Count, Grams, GramsPerHour, Metres, MetresPerMinute, PerHour, Ratio, Seconds, Share, Unit};

/// Belt speed: heated length divided by the time in it (definition).
///
/// ```
/// use washfast::sums::dryer::belt_speed;
/// use washfast::sums::units::{Metres, MetresPerMinute, Seconds};
/// assert_eq!(belt_speed(Metres(1.5), Seconds(180.0)), Some(MetresPerMinute(0.5)));
/// ```
pub fn belt_speed(heated: Metres, dwell: Seconds) -> Option<MetresPerMinute> {
    MetresPerMinute::made(heated.above_zero()? / (dwell.above_zero()? / 60.0))
}

/// Time in the heat: heated length divided by belt speed (definition).
///
/// ```
/// use washfast::sums::dryer::dwell;
/// use washfast::sums::units::{Metres, MetresPerMinute, Seconds};
/// assert_eq!(dwell(Metres(1.5), MetresPerMinute(0.5)), Some(Seconds(180.0)));
/// ```
pub fn dwell(heated: Metres, belt: MetresPerMinute) -> Option<Seconds> {
    Seconds::made(heated.above_zero()? / belt.above_zero()? * 60.0)
}

/// Pieces that a belt carries each hour: its speed divided by the length that one piece takes, times the lanes side by
/// side (definition).
///
/// ```
/// use washfast::sums::dryer::pieces_on_belt;
/// use washfast::sums::units::{Count, Metres, MetresPerMinute, PerHour};
/// assert_eq!(pieces_on_belt(MetresPerMinute(2.4), Metres(0.75), Count(2.0)), Some(PerHour(384.0)));
/// ```
pub fn pieces_on_belt(belt: MetresPerMinute, pitch: Metres, lanes: Count) -> Option<PerHour> {
    PerHour::made(belt.above_zero()? * 60.0 * lanes.above_zero()? / pitch.above_zero()?)
}

/// Pieces each hour of a press whose stations all work at once: one for each turn and the slowest station, be that a
/// stroke, the flash or loading (common practice).
///
/// ```
/// use washfast::sums::dryer::pieces_of_carousel;
/// use washfast::sums::units::{PerHour, Seconds};
/// // 2 s to turn, 4 s of strokes, 6 s of flash.
/// let pieces = pieces_of_carousel(Seconds(2.0), &[Seconds(4.0), Seconds(6.0)]);
/// assert_eq!(pieces, Some(PerHour(450.0)));
/// ```
pub fn pieces_of_carousel(turn: Seconds, stations: &[Seconds]) -> Option<PerHour> {
    let slowest = stations.iter().try_fold(0.0_f64, |slowest, s| Some(slowest.max(s.amount()?)))?;
    PerHour::made(3600.0 / Seconds::made(turn.amount()? + slowest)?.above_zero()?)
}

/// Pieces each hour of a press on which one printer does one thing after the other: the times add up (common practice).
///
/// ```
/// use washfast::sums::dryer::pieces_by_hand;
/// use washfast::sums::units::{PerHour, Seconds};
/// // Load 10 s, print 15 s, flash 8 s, print 15 s, take off 12 s.
/// let steps = [10.0, 15.0, 8.0, 15.0, 12.0].map(Seconds);
/// assert_eq!(pieces_by_hand(&steps), Some(PerHour(60.0)));
/// ```
pub fn pieces_by_hand(steps: &[Seconds]) -> Option<PerHour> {
    let all = steps.iter().try_fold(0.0, |all, s| Some(all + s.amount()?))?;
    PerHour::made(3600.0 / Seconds::made(all)?.above_zero()?)
}

/// The slowest of several machines that work behind each other: it says what leaves the shop. The first of equals.
///
/// ```
/// use washfast::sums::dryer::limit;
/// use washfast::sums::units::PerHour;
/// let slowest = limit([("press", PerHour(450.0)), ("dryer", PerHour(384.0))]);
/// assert_eq!(slowest, Some(("dryer", PerHour(384.0))));
/// ```
pub fn limit<T>(machines: impl IntoIterator<Item = (T, PerHour)>) -> Option<(T, PerHour)> {
    let mut slowest: Option<(T, PerHour)> = None;
    for (machine, pieces) in machines {
        pieces.amount()?;
        if slowest.as_ref().is_none_or(|(_, least)| pieces < *least) {
            slowest = Some((machine, pieces));
        }
    }
    slowest
}

/// Water that must leave one garment: that of the ink and that which the dry cloth holds (balance of masses). The regain
/// is water by weight of dry cloth; an agreed allowance for it is an upper figure, real cloth holds somewhat less.
///
/// ```
/// use washfast::sums::dryer::water_of_garment;
/// use washfast::sums::units::{Grams, Ratio, Share};
/// // 10 g of ink with 60 % water on 15 g of cotton at 8 %.
/// let water = water_of_garment(Grams(10.0), Share(0.6), Grams(15.0), Ratio(0.08)).unwrap();
/// assert!((water.0 - 7.2).abs() < 1e-9);
/// ```
pub fn water_of_garment(ink: Grams, water: Share, dry_cloth: Grams, regain: Ratio) -> Option<Grams> {
    Grams::made(ink.amount()? * water.amount()? + dry_cloth.amount()? * regain.amount()?)
}

/// Water each hour: that of one garment times the garments (definition).
///
/// ```
/// use washfast::sums::dryer::water_an_hour;
/// use washfast::sums::units::{Grams, GramsPerHour, PerHour};
/// assert_eq!(water_an_hour(Grams(7.5), PerHour(200.0)), Some(GramsPerHour(1500.0)));
/// ```
pub fn water_an_hour(each: Grams, pieces: PerHour) -> Option<GramsPerHour> {
    GramsPerHour::made(each.amount()? * pieces.amount()?)
}
