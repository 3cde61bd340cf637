//! How much ink and additive, and what film is left of it.

use super::units::{
    Count, Grams, GramsPerHour, GramsPerMillilitre, Micrometres, Millilitres, MillilitresPerSquareMetre, Ratio,
    Seconds, Share, SquareMetres, Unit,
};

/// Film left when all that evaporates is gone: wet film times volume solids (common practice of coatings).
///
/// ```
/// use washfast::sums::ink::dry_film;
/// use washfast::sums::units::{Micrometres, Share};
/// assert_eq!(dry_film(Micrometres(60.0), Share(0.4)), Some(Micrometres(24.0)));
/// ```
pub fn dry_film(wet: Micrometres, volume_solids: Share) -> Option<Micrometres> {
    Micrometres::made(wet.amount()? * volume_solids.amount()?)
}

/// Volume solids from solids by weight: (w/ρs) / (w/ρs + (1 - w)/ρl), where the parts take up no less room together than
/// apart (geometry; common practice of coatings).
///
/// ```
/// use washfast::sums::ink::volume_solids;
/// use washfast::sums::units::{GramsPerMillilitre, Share};
/// let share = volume_solids(Share(0.35), GramsPerMillilitre(1.25), GramsPerMillilitre(1.0)).unwrap();
/// assert!((share.0 - 0.30108).abs() < 5e-6);
/// ```
pub fn volume_solids(weight_solids: Share, solid: GramsPerMillilitre, liquid: GramsPerMillilitre) -> Option<Share> {
    let weight = weight_solids.amount()?;
    let (solid, liquid) = (weight / solid.above_zero()?, (1.0 - weight) / liquid.above_zero()?);
    Share::made(solid / (solid + liquid))
}

/// Ink in a film: 1 µm on 1 m² is 1 ml (geometry).
///
/// ```
/// use washfast::sums::ink::volume_of_film;
/// use washfast::sums::units::{Micrometres, MillilitresPerSquareMetre};
/// assert_eq!(volume_of_film(Micrometres(35.0)), Some(MillilitresPerSquareMetre(35.0)));
/// ```
pub fn volume_of_film(film: Micrometres) -> Option<MillilitresPerSquareMetre> {
    MillilitresPerSquareMetre::made(film.amount()?)
}

/// Ink of one print: area × coverage × strokes × volume on the area × the part of it that leaves the mesh (common
/// practice; the part that leaves the mesh is the caller's).
///
/// Each further stroke is counted like the first. A second stroke on wet ink lays down less: this is then a ceiling.
///
/// ```
/// use washfast::sums::ink::volume_of_print;
/// use washfast::sums::units::{Count, Millilitres, MillilitresPerSquareMetre, Share, SquareMetres};
/// let volume = volume_of_print(
///     SquareMetres(0.06), Share(0.5), Count(2.0), MillilitresPerSquareMetre(50.0), Share(0.5),
/// );
/// assert_eq!(volume, Some(Millilitres(1.5)));
/// ```
pub fn volume_of_print(
    area: SquareMetres,
    coverage: Share,
    strokes: Count,
    volume: MillilitresPerSquareMetre,
    transfer: Share,
) -> Option<Millilitres> {
    let printed = area.above_zero()? * coverage.above_zero()? * strokes.above_zero()?;
    Millilitres::made(printed * volume.above_zero()? * transfer.above_zero()?)
}

/// Mass of a volume: volume times density (definition).
///
/// ```
/// use washfast::sums::ink::mass;
/// use washfast::sums::units::{Grams, GramsPerMillilitre, Millilitres};
/// assert_eq!(mass(Millilitres(2.0), GramsPerMillilitre(1.25)), Some(Grams(2.5)));
/// ```
pub fn mass(volume: Millilitres, density: GramsPerMillilitre) -> Option<Grams> {
    Grams::made(volume.amount()? * density.above_zero()?)
}

/// An amount for each piece, for a whole run: times the pieces, and an allowance on top for what stays in screens and
/// buckets and is misprinted (common practice; the allowance is the caller's).
///
/// ```
/// use washfast::sums::ink::for_run;
/// use washfast::sums::units::{Count, Millilitres, Ratio};
/// assert_eq!(for_run(Millilitres(2.0), Count(100.0), Ratio(0.25)), Some(Millilitres(250.0)));
/// ```
pub fn for_run<T: Unit>(each: T, pieces: Count, allowance: Ratio) -> Option<T> {
    T::made(each.amount()? * pieces.above_zero()? * (1.0 + allowance.amount()?))
}

/// How a dose is meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dose {
    /// So much by weight of the ink, which is what a dose without another word means.
    OfInk(Ratio),
    /// This part of the finished mix.
    OfMix(Share),
}

/// Ink with additives.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// The ink in it.
    pub ink: Grams,
    /// Each additive, in the order of the doses.
    pub additives: Vec<Grams>,
    /// All of it.
    pub total: Grams,
    /// All additives together, by weight of the ink.
    pub load: Ratio,
    /// All additives together, as part of the mix.
    pub share: Share,
}

/// The mix that so much ink becomes with all its additives.
///
/// With doses a of the ink and b of the mix: mix = ink × (1 + Σa) / (1 - Σb) (balance of masses). `None` where the doses
/// of the mix leave no room for ink.
///
/// ```
/// use washfast::sums::ink::{Dose, mix_of_ink};
/// use washfast::sums::units::{Grams, Ratio, Share};
/// let mix = mix_of_ink(Grams(900.0), &[Dose::OfMix(Share(0.1))]).unwrap();
/// assert!((mix.total.0 - 1000.0).abs() < 1e-9);
/// assert!((mix.additives[0].0 - 100.0).abs() < 1e-9);
/// assert_eq!(mix_of_ink(Grams(900.0), &[Dose::OfMix(Share(1.0))]), None);
/// ```
pub fn mix_of_ink(ink: Grams, doses: &[Dose]) -> Option<Mix> {
    let ink = ink.above_zero()?;
    mixed(ink, ink * total_of_one(doses)?, doses)
}

/// The ink and additives of so much finished mix: see [`mix_of_ink`].
///
/// ```
/// use washfast::sums::ink::{Dose, mix_in_all};
/// use washfast::sums::units::{Grams, Share};
/// let mix = mix_in_all(Grams(1200.0), &[Dose::OfMix(Share(0.03))]).unwrap();
/// assert!((mix.additives[0].0 - 36.0).abs() < 1e-9 && (mix.ink.0 - 1164.0).abs() < 1e-9);
/// ```
pub fn mix_in_all(total: Grams, doses: &[Dose]) -> Option<Mix> {
    let total = total.above_zero()?;
    mixed(total / total_of_one(doses)?, total, doses)
}

/// What one gram of ink becomes.
fn total_of_one(doses: &[Dose]) -> Option<f64> {
    let (mut of_ink, mut of_mix) = (0.0, 0.0);
    for dose in doses {
        match dose {
            Dose::OfInk(ratio) => of_ink += ratio.amount()?,
            Dose::OfMix(share) => of_mix += share.amount()?,
        }
    }
    (of_mix < 1.0).then_some((1.0 + of_ink) / (1.0 - of_mix))
}

fn mixed(ink: f64, total: f64, doses: &[Dose]) -> Option<Mix> {
    let grams = |dose: &Dose| {
        Grams::made(match dose {
            Dose::OfInk(ratio) => ink * ratio.0,
            Dose::OfMix(share) => total * share.0,
        })
    };
    let additives: Vec<Grams> = doses.iter().map(grams).collect::<Option<_>>()?;
    let added: f64 = additives.iter().map(|g| g.0).sum();
    Some(Mix {
        ink: Grams::made(ink).filter(|g| g.0 > 0.0)?,
        additives,
        total: Grams::made(total)?,
        load: Ratio::made(added / ink)?,
        share: Share::made(added / total)?,
    })
}

/// Batches of a mix that keeps only for a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batches {
    /// How many to mix.
    pub count: Count,
    /// How large each is.
    pub each: Grams,
}

/// Batches that a run needs, all alike, each used up within its pot life: at least run / (use × pot life), whole (common
/// practice).
///
/// ```
/// use washfast::sums::ink::{Batches, batches};
/// use washfast::sums::units::{Count, Grams, GramsPerHour, Seconds};
/// // 300 g an hour for 4 h are 1200 g: 3 kg are three batches.
/// let three = batches(Grams(3000.0), GramsPerHour(300.0), Seconds(4.0 * 3600.0));
/// assert_eq!(three, Some(Batches { count: Count(3.0), each: Grams(1000.0) }));
/// ```
pub fn batches(run: Grams, used: GramsPerHour, pot_life: Seconds) -> Option<Batches> {
    let run = run.above_zero()?;
    let largest = used.above_zero()? * pot_life.above_zero()? / 3600.0;
    // A run that fills a batch to the last digit is one batch.
    let count = (run / largest - 1e-9).ceil().max(1.0);
    Some(Batches { count: Count::made(count)?, each: Grams::made(run / count)? })
}
