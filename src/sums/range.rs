//! Numbers that are only known to lie between two others.

/// Everything from `low` to `high`, both included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range<T> {
    /// The lower end.
    pub low: T,
    /// The upper end.
    pub high: T,
}

impl<T: Copy + PartialOrd> Range<T> {
    /// From one end to the other; `None` if they are the wrong way round or no numbers.
    ///
    /// ```
    /// use washfast::sums::Range;
    /// assert!(Range::new(60.0, 90.0).is_some());
    /// assert!(Range::new(90.0, 60.0).is_none());
    /// assert!(Range::new(60.0, f64::NAN).is_none());
    /// ```
    pub fn new(low: T, high: T) -> Option<Self> {
        (low <= high).then_some(Self { low, high })
    }

    /// One number that is known.
    pub fn exactly(number: T) -> Self {
        Self { low: number, high: number }
    }

    /// The least range that holds this and another.
    ///
    /// ```
    /// use washfast::sums::Range;
    /// let both = Range { low: 1.0, high: 2.0 }.hull(Range { low: 1.5, high: 3.0 });
    /// assert_eq!(both, Range { low: 1.0, high: 3.0 });
    /// ```
    pub fn hull(self, other: Self) -> Self {
        Self {
            low: if other.low < self.low { other.low } else { self.low },
            high: if other.high > self.high { other.high } else { self.high },
        }
    }

    /// Whether a number lies in it.
    pub fn contains(&self, number: T) -> bool {
        self.low <= number && number <= self.high
    }
}

/// Several ranges side by side, one for each argument of a function.
pub trait Corners {
    /// One number from each range.
    type Point;
    /// How many ranges there are.
    const RANGES: u32;

    /// The lower or upper end of each range, as the bits of `corner` say.
    fn corner(&self, corner: u32) -> Self::Point;
}

macro_rules! corners {
    ($count:literal: $($name:ident $at:tt),*) => {
        impl<$($name: Copy),*> Corners for ($(Range<$name>,)*) {
            type Point = ($($name,)*);
            const RANGES: u32 = $count;

            fn corner(&self, corner: u32) -> Self::Point {
                ($(if corner >> $at & 1 == 0 { self.$at.low } else { self.$at.high },)*)
            }
        }
    };
}

corners!(1: A 0);
corners!(2: A 0, B 1);
corners!(3: A 0, B 1, C 2);
corners!(4: A 0, B 1, C 2, D 3);
corners!(5: A 0, B 1, C 2, D 3, E 4);
corners!(6: A 0, B 1, C 2, D 3, E 4, F 5);

/// The range of what a function gives while each argument moves through its own range: intervals go in, intervals come
/// out.
///
/// The function must rise or fall steadily in each argument; then its least and greatest result lie where every
/// argument is at an end. All functions of [`super`] do, within what they say they are for (the bands of
/// [`super::mesh::wet_film`] are apart: take one mesh at a time). Arguments that move together are taken as free of each
/// other: the range may then be wider than the truth, never narrower.
///
/// `None` if the function has no result at one of the corners.
///
/// ```
/// use washfast::sums::{Range, ink, through};
/// use washfast::sums::units::{Micrometres, Share};
/// let wet = Range::new(Micrometres(50.0), Micrometres(60.0)).unwrap();
/// let solids = Range::new(Share(0.3), Share(0.4)).unwrap();
/// let dry = through((wet, solids), |(wet, solids)| ink::dry_film(wet, solids)).unwrap();
/// assert_eq!((dry.low, dry.high), (Micrometres(15.0), Micrometres(24.0)));
/// ```
pub fn through<R: Corners, T: Copy + PartialOrd>(
    ranges: R,
    function: impl Fn(R::Point) -> Option<T>,
) -> Option<Range<T>> {
    let mut all: Option<Range<T>> = None;
    for corner in 0..1 << R::RANGES {
        let here = Range::exactly(function(ranges.corner(corner))?);
        all = Some(all.map_or(here, |so_far| so_far.hull(here)));
    }
    all
}
