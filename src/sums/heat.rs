//! Heat that a garment takes up in the dryer. It says what the goods need at least: a dryer also heats its belt, its air
//! and the room, which is most of what it draws.

use super::units::{
    Celsius, Grams, JoulesPerGram, JoulesPerGramKelvin, Kelvins, Kilojoules, Kilopascals, Ratio, Share, Unit,
};

/// Saturated water, by the equations of Wagner and Pruss that IAPWS published for the saturation line (Supplementary
/// Release on Saturation Properties of Ordinary Water Substance, SR1-86(1992), IAPWS, 1992, and J. Phys. Chem. Ref. Data
/// 22, 1993; coefficients read second hand, in public programs that cite the release and agree).
mod saturation {
    const KELVIN: f64 = 273.15;
    const CRITICAL_TEMPERATURE: f64 = 647.096; // K
    const CRITICAL_PRESSURE: f64 = 22_064.0; // kPa
    const CRITICAL_DENSITY: f64 = 322.0; // kg/m³

    /// Coefficient and exponent of each term.
    type Terms = [(f64, f64); 6];
    const PRESSURE: Terms = [
        (-7.859_517_83, 1.0),
        (1.844_082_59, 1.5),
        (-11.786_649_7, 3.0),
        (22.680_741_1, 3.5),
        (-15.961_871_9, 4.0),
        (1.801_225_02, 7.5),
    ];
    const LIQUID: Terms = [
        (1.992_740_64, 1.0 / 3.0),
        (1.099_653_42, 2.0 / 3.0),
        (-0.510_839_303, 5.0 / 3.0),
        (-1.754_934_79, 16.0 / 3.0),
        (-45.517_035_2, 43.0 / 3.0),
        (-674_694.45, 110.0 / 3.0),
    ];
    const VAPOUR: Terms = [
        (-2.031_502_40, 2.0 / 6.0),
        (-2.683_029_40, 4.0 / 6.0),
        (-5.386_264_92, 8.0 / 6.0),
        (-17.299_160_5, 18.0 / 6.0),
        (-44.758_658_1, 37.0 / 6.0),
        (-63.920_106_3, 71.0 / 6.0),
    ];
    /// Of the auxiliary quantity that leads to enthalpy, in kJ/kg.
    const AUXILIARY: [(f64, f64); 6] = [
        (-1_135.905_627_715, 0.0),
        (-5.651_349_98e-8, -19.0),
        (2_690.666_31, 1.0),
        (127.287_297, 4.5),
        (-135.003_439, 5.0),
        (0.981_825_814, 54.5),
    ];

    fn sum(terms: &[(f64, f64); 6], base: f64) -> f64 {
        terms.iter().map(|(factor, power)| factor * base.powf(*power)).sum()
    }

    /// Kelvins, and their distance from the critical point as a part of it. The equations hold from
    /// the triple point, 0.01 °C, up to it; ice and water of 0 °C are told apart by nobody.
    fn reduced(celsius: f64) -> Option<(f64, f64)> {
        let kelvins = celsius + KELVIN;
        let beyond = 1.0 - kelvins / CRITICAL_TEMPERATURE;
        (celsius >= 0.0 && beyond > 0.0).then_some((kelvins, beyond))
    }

    /// kPa.
    pub(super) fn pressure(celsius: f64) -> Option<f64> {
        let (kelvins, beyond) = reduced(celsius)?;
        Some(CRITICAL_PRESSURE * (CRITICAL_TEMPERATURE / kelvins * sum(&PRESSURE, beyond)).exp())
    }

    /// Slope of the pressure, kPa/K, by differentiating the equation: dp/dT = -p/T (ln(p/pc) + Σ a n τ^(n-1)).
    fn slope(celsius: f64) -> Option<f64> {
        let (kelvins, beyond) = reduced(celsius)?;
        let pressure = pressure(celsius)?;
        let steep: f64 = PRESSURE.iter().map(|(factor, power)| factor * power * beyond.powf(power - 1.0)).sum();
        Some(-pressure / kelvins * ((pressure / CRITICAL_PRESSURE).ln() + steep))
    }

    /// m³/kg.
    pub(super) fn volume_of_liquid(celsius: f64) -> Option<f64> {
        let (_, beyond) = reduced(celsius)?;
        Some(1.0 / (CRITICAL_DENSITY * (1.0 + sum(&LIQUID, beyond))))
    }

    /// m³/kg.
    pub(super) fn volume_of_vapour(celsius: f64) -> Option<f64> {
        let (_, beyond) = reduced(celsius)?;
        Some(1.0 / (CRITICAL_DENSITY * sum(&VAPOUR, beyond).exp()))
    }

    /// kJ/kg: temperature times the change of volume times the slope of the pressure (Clausius and Clapeyron).
    pub(super) fn latent_heat(celsius: f64) -> Option<f64> {
        let kelvins = celsius + KELVIN;
        Some(kelvins * (volume_of_vapour(celsius)? - volume_of_liquid(celsius)?) * slope(celsius)?)
    }

    /// kJ/kg that liquid water holds above the triple point.
    pub(super) fn heat_of_liquid(celsius: f64) -> Option<f64> {
        let (kelvins, beyond) = reduced(celsius)?;
        Some(sum(&AUXILIARY, 1.0 - beyond) + kelvins * volume_of_liquid(celsius)? * slope(celsius)?)
    }
}

/// Water leaves as steam at this temperature at the latest, wherever a print lies under ordinary air.
const BOILING: Celsius = Celsius(100.0);

/// Pressure of saturated steam, from 0 °C up (IAPWS, SR1-86(1992)).
///
/// ```
/// use washfast::sums::heat::vapour_pressure;
/// use washfast::sums::units::{Celsius, Kilopascals};
/// assert!((vapour_pressure(Celsius(100.0)).unwrap().0 - 101.4).abs() < 0.1);
/// ```
pub fn vapour_pressure(at: Celsius) -> Option<Kilopascals> {
    Kilopascals::made(saturation::pressure(at.amount()?)?)
}

/// Heat that turns water into steam of the same temperature, from 0 °C up (IAPWS, SR1-86(1992); Clausius and
/// Clapeyron).
///
/// ```
/// use washfast::sums::heat::latent_heat;
/// use washfast::sums::units::Celsius;
/// assert!((latent_heat(Celsius(100.0)).unwrap().0 - 2256.5).abs() < 0.5);
/// ```
pub fn latent_heat(at: Celsius) -> Option<JoulesPerGram> {
    JoulesPerGram::made(saturation::latent_heat(at.amount()?)?)
}

/// Heat that saturated liquid water holds above that of 0.01 °C (IAPWS, SR1-86(1992)).
///
/// ```
/// use washfast::sums::heat::heat_of_liquid;
/// use washfast::sums::units::Celsius;
/// assert!((heat_of_liquid(Celsius(100.0)).unwrap().0 - 419.1).abs() < 0.1);
/// ```
pub fn heat_of_liquid(at: Celsius) -> Option<JoulesPerGram> {
    // At the triple point the equation gives a grain more than nothing; a little below it would give less.
    JoulesPerGram::made(saturation::heat_of_liquid(at.amount()?)?.max(0.0))
}

/// From one temperature up to another; `None` downwards.
///
/// ```
/// use washfast::sums::heat::warming;
/// use washfast::sums::units::{Celsius, Kelvins};
/// assert_eq!(warming(Celsius(20.0), Celsius(160.0)), Some(Kelvins(140.0)));
/// assert_eq!(warming(Celsius(20.0), Celsius(10.0)), None);
/// ```
pub fn warming(from: Celsius, to: Celsius) -> Option<Kelvins> {
    Kelvins::made(to.amount()? - from.amount()?)
}

/// Heat that warms a mass: mass × specific heat × rise (definition). A specific heat of room temperature tells somewhat
/// less than cloth and films take at 150 °C.
///
/// ```
/// use washfast::sums::heat::to_warm;
/// use washfast::sums::units::{Grams, JoulesPerGramKelvin, Kelvins, Kilojoules};
/// let heat = to_warm(Grams(15.0), JoulesPerGramKelvin(1.285), Kelvins(140.0)).unwrap();
/// assert!((heat.0 - 2.6985).abs() < 1e-9);
/// ```
pub fn to_warm(mass: Grams, specific_heat: JoulesPerGramKelvin, rise: Kelvins) -> Option<Kilojoules> {
    Kilojoules::made(mass.amount()? * specific_heat.above_zero()? * rise.amount()? / 1000.0)
}

/// Heat that warms water to its boiling point and turns it into steam there: the difference of what saturated liquid holds
/// at the two temperatures, and the latent heat of 100 °C (IAPWS, SR1-86(1992)). Water that dries off below 100 °C takes
/// about as much: within 2 % from 60 °C on.
///
/// ```
/// use washfast::sums::heat::to_boil_off;
/// use washfast::sums::units::{Celsius, Grams};
/// assert!((to_boil_off(Grams(1000.0), Celsius(20.0)).unwrap().0 - 2591.5).abs() < 1.0);
/// ```
pub fn to_boil_off(water: Grams, from: Celsius) -> Option<Kilojoules> {
    warming(from, BOILING)?;
    let warm = heat_of_liquid(BOILING)?.0 - heat_of_liquid(from)?.0;
    Kilojoules::made(water.amount()? * (warm + latent_heat(BOILING)?.0) / 1000.0)
}

/// What goes through the dryer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// The cloth without its water.
    pub dry_cloth: Grams,
    /// Specific heat of the dry cloth.
    pub cloth_heat: JoulesPerGramKelvin,
    /// Water that the cloth holds, by weight of the dry cloth.
    pub regain: Ratio,
    /// The wet ink.
    pub ink: Grams,
    /// The part of the ink that is water.
    pub water: Share,
    /// Specific heat of what is left of the ink.
    pub film_heat: JoulesPerGramKelvin,
}

/// Heat that a load takes up, by where it goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// Into the dry cloth.
    pub cloth: Kilojoules,
    /// Into the ink's film.
    pub film: Kilojoules,
    /// Into water: the cloth's and the ink's, to steam of 100 °C.
    pub water: Kilojoules,
    /// All of it.
    pub total: Kilojoules,
}

/// Heat that one garment takes up on its way to a temperature: cloth and film warmed, all water evaporated where it gets
/// to 100 °C, warmed only where it stays below (sum of the functions above).
///
/// ```
/// use washfast::sums::heat::{Load, of_garment};
/// use washfast::sums::units::{Celsius, Grams, JoulesPerGramKelvin, Ratio, Share};
/// // 0.1 m² of a cotton of 300 g/m², and nothing printed on it.
/// let load = Load {
///     dry_cloth: Grams(30.0), cloth_heat: JoulesPerGramKelvin(1.285), regain: Ratio(0.085),
///     ink: Grams(0.0), water: Share(0.0), film_heat: JoulesPerGramKelvin(1.5),
/// };
/// let heat = of_garment(&load, Celsius(20.0), Celsius(160.0)).unwrap();
/// assert!((heat.total.0 - 12.01).abs() < 0.01);
/// ```
pub fn of_garment(load: &Load, from: Celsius, to: Celsius) -> Option<Heat> {
    let rise = warming(from, to)?;
    let cloth = to_warm(load.dry_cloth, load.cloth_heat, rise)?;
    let in_ink = Grams::made(load.ink.amount()? * load.water.amount()?)?;
    let film = to_warm(Grams::made(load.ink.0 - in_ink.0)?, load.film_heat, rise)?;
    let all = Grams::made(in_ink.0 + load.dry_cloth.0 * load.regain.amount()?)?;
    let water = if to < BOILING {
        let held = heat_of_liquid(to)?.0 - heat_of_liquid(from)?.0;
        Kilojoules::made(all.0 * held / 1000.0)?
    } else {
        to_boil_off(all, from)?
    };
    let total = Kilojoules::made(cloth.0 + film.0 + water.0)?;
    Some(Heat { cloth, film, water, total })
}

/// Part of the heat that is saved where a load is cured at a cooler temperature: an estimate, of the goods alone. A dryer
/// that loses most of its heat to the room saves another part, and a slower belt may eat it up.
///
/// ```
/// use washfast::sums::heat::{Load, saved};
/// use washfast::sums::units::{Celsius, Grams, JoulesPerGramKelvin, Ratio, Share};
/// let dry = Load {
///     dry_cloth: Grams(100.0), cloth_heat: JoulesPerGramKelvin(1.3), regain: Ratio(0.0),
///     ink: Grams(0.0), water: Share(0.0), film_heat: JoulesPerGramKelvin(1.5),
/// };
/// // 120 K instead of 140 K.
/// let part = saved(&dry, Celsius(20.0), Celsius(160.0), Celsius(140.0)).unwrap();
/// assert!((part.0 - 20.0 / 140.0).abs() < 1e-9);
/// ```
pub fn saved(load: &Load, from: Celsius, hot: Celsius, cool: Celsius) -> Option<Share> {
    let most = of_garment(load, from, hot)?.total.above_zero()?;
    Share::made((most - of_garment(load, from, cool)?.total.0) / most)
}

/// The same from what each 10 K less saves of the heat taken up to a temperature, where the load itself is not at hand.
/// From 100 °C on what is warmed takes as much for each kelvin, and all water is steam.
///
/// ```
/// use washfast::sums::heat::saved_of_hotter;
/// use washfast::sums::units::{Celsius, Share};
/// // Dry goods that take 1 kJ for each 10 K: 14 kJ from 20 to 160 °C, 13 kJ to 150 °C. 30 K less are 3 of 14.
/// let of = |each_ten, at| saved_of_hotter(Share(each_ten), Celsius(at), Celsius(160.0), Celsius(130.0)).unwrap();
/// assert!((of(1.0 / 14.0, 160.0).0 - 3.0 / 14.0).abs() < 1e-12);
/// assert!((of(1.0 / 13.0, 150.0).0 - 3.0 / 14.0).abs() < 1e-12);
/// ```
pub fn saved_of_hotter(each_ten: Share, at: Celsius, hot: Celsius, cool: Celsius) -> Option<Share> {
    Share::made(each_ten.0 * (hot.0 - cool.0) / 10.0 / (1.0 + each_ten.0 * (hot.0 - at.0) / 10.0))
}

#[cfg(test)]
mod tests {
    use super::saturation::{volume_of_liquid, volume_of_vapour};

    /// Perry's Chemical Engineers' Handbook, 9th edition, table 2-135 (mol/dm³ of the liquid; read in a public copy), with
    /// 18.0153 g/mol: what the liquid's small volume adds to a latent heat is too little for the checks of that to tell.
    #[test]
    fn volumes() {
        for (kelvins, density) in [(280.0, 55.501), (300.0, 55.315), (350.0, 54.049), (370.0, 53.321)] {
            let found = volume_of_liquid(kelvins - 273.15).map_or(0.0, |v| 1.0 / v / 18.0153);
            assert!((found / density - 1.0).abs() < 2e-4, "{kelvins}: {found}");
        }
        // Steam of 100 °C: 1.672 m³/kg (from memory, as every steam table has it).
        let steam = volume_of_vapour(100.0).unwrap_or_default();
        assert!((steam - 1.672).abs() < 0.001, "{steam}");
    }
}
