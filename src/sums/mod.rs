//! Sums of the workshop: mesh, ink, dryer, heat and cloth, as pure functions with the unit in the type.
//!
//! Every function takes numbers of [`units`] and gives `None` where they make no sense together: a length of zero, a
//! negative mass, not a number, a result beyond what its unit allows. Nothing here rounds, and nothing here knows which
//! ink or fabric is meant: that is knowledge, and comes as arguments.
//!
//! A number that is only known to lie between two others is a [`Range`]; [`through`] sends ranges through any function.
//!
//! ```
//! use washfast::sums::{Range, dryer, through};
//! use washfast::sums::units::{Metres, MetresPerMinute, Seconds};
//!
//! // 60 s in 2.4 m, and what 60 to 90 s leave.
//! assert_eq!(dryer::belt_speed(Metres(2.4), Seconds(60.0)), Some(MetresPerMinute(2.4)));
//! let dwell = Range::new(Seconds(60.0), Seconds(90.0)).unwrap();
//! let speed = through((Range::exactly(Metres(2.4)), dwell), |(length, time)| dryer::belt_speed(length, time)).unwrap();
//! assert!((speed.low.0 - 1.6).abs() < 1e-9 && (speed.high.0 - 2.4).abs() < 1e-9);
//! ```

pub mod cloth;
pub mod dryer;
pub mod heat;
pub mod ink;
pub mod mesh;
mod range;
pub mod units;

pub use range::{Corners, Range, through};
