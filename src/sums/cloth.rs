//! Conventional masses of blends: what a laboratory's dry masses become on a label.

use super::units::{Grams, Ratio, Share, Unit};

/// Shares by conventional mass from dry masses, each fibre with its moisture allowance: m (1 + a) of each by the sum of
/// all, in the order given.
///
/// In the EU the allowances are those of Annex IX of Regulation (EU) No 1007/2011 (read in a German reproduction), in
/// the US the commercial regains of ASTM D1909 (ASTM International, 2013, read second hand).
///
/// ```
/// use washfast::sums::cloth::conventional_shares;
/// use washfast::sums::units::{Grams, Ratio};
/// let shares = conventional_shares(&[(Grams(50.0), Ratio(0.085)), (Grams(50.0), Ratio(0.015))]).unwrap();
/// assert!((shares[0].0 - 0.516667).abs() < 5e-7);
/// ```
pub fn conventional_shares(dry: &[(Grams, Ratio)]) -> Option<Vec<Share>> {
    let masses: Vec<f64> = dry
        .iter()
        .map(|(mass, allowance)| Some(mass.amount()? * (1.0 + allowance.amount()?)))
        .collect::<Option<_>>()?;
    let all: f64 = masses.iter().sum();
    masses.iter().map(|m| Share::made(m / all)).collect()
}

/// Conventional moisture of a blend, by weight of the dry cloth, from the shares of a label, which count each fibre with
/// its allowance: the dry part is Σ s / (1 + a), the rest is water (balance of masses, from the definition of the
/// allowance). `None` unless the shares are a whole.
///
/// ```
/// use washfast::sums::cloth::moisture;
/// use washfast::sums::units::{Ratio, Share};
/// let pure = moisture(&[(Share(1.0), Ratio(0.085))]).unwrap();
/// assert!((pure.0 - 0.085).abs() < 1e-12);
/// ```
pub fn moisture(label: &[(Share, Ratio)]) -> Option<Ratio> {
    let mut whole = 0.0;
    let mut dry = 0.0;
    for (share, allowance) in label {
        whole += share.amount()?;
        dry += share.amount()? / (1.0 + allowance.amount()?);
    }
    ((whole - 1.0_f64).abs() < 1e-6).then(|| Ratio::made(whole / dry - 1.0)).flatten()
}

/// Dry mass of a cloth that weighs so much with this moisture by weight of its dry mass: mass / (1 + a) (definition of
/// regain).
///
/// ```
/// use washfast::sums::cloth::dry_mass;
/// use washfast::sums::units::{Grams, Ratio};
/// assert_eq!(dry_mass(Grams(162.0), Ratio(0.08)), Some(Grams(150.0)));
/// ```
pub fn dry_mass(mass: Grams, moisture: Ratio) -> Option<Grams> {
    Grams::made(mass.amount()? / (1.0 + moisture.amount()?))
}
