//! Figures that stand in words, in the units of whoever reads: `dry it at 20 to 29 °C` is told as `68 to 84 °F (20 to
//! 29 °C)`. In brackets the other unit takes the place of the first.

use super::words::Units;
use super::{Answer, Fix, Reason, Recipe, Said};
use crate::model::Model;
use crate::quantity::{Decimal, Dimension, three_figures};

/// Tells the figures in all texts of an answer in these units.
pub(super) fn localise(answer: &mut Answer, units: &Units, model: &Model) {
    let tell = |text: &mut String| *text = localised(text, units, model);
    texts(answer, &tell);
}

fn texts(answer: &mut Answer, tell: &impl Fn(&mut String)) {
    answer.reasons.iter_mut().chain(&mut answer.house).for_each(|r| of_reason(r, tell));
    of_said(answer.conditions.iter_mut().chain(&mut answer.cautions).chain(&mut answer.advice), tell);
    answer.recipe.iter_mut().for_each(|r| of_recipe(r, tell));
    let branches = answer.depends_on.iter_mut().flat_map(|d| &mut d.branches).chain(&mut answer.rows);
    branches.for_each(|b| tell(&mut b.text));
    let fixes = answer.fixes.iter_mut().chain(&mut answer.alternatives).chain(&mut answer.customer_fixes);
    fixes.chain(answer.safe_way.iter_mut()).for_each(|f: &mut Fix| {
        of_said(f.conditions.iter_mut().chain(&mut f.cautions), tell);
    });
}

fn of_reason(reason: &mut Reason, tell: &impl Fn(&mut String)) {
    tell(&mut reason.text);
    reason.because.iter_mut().for_each(|r| of_reason(r, tell));
}

fn of_said<'a>(said: impl Iterator<Item = &'a mut Said>, tell: &impl Fn(&mut String)) {
    said.for_each(|s| tell(&mut s.text));
}

fn of_recipe(recipe: &mut Recipe, tell: &impl Fn(&mut String)) {
    of_said(recipe.steps.iter_mut().flat_map(|s| &mut s.work).chain(&mut recipe.tests), tell);
    for quantity in &mut recipe.quantities {
        tell(&mut quantity.text);
        // It stands in brackets beside its figure.
        let mut why = format!("({})", quantity.why);
        tell(&mut why);
        quantity.why = why.trim_start_matches('(').trim_end_matches(')').to_owned();
        if quantity.why.matches('(').count() > quantity.why.matches(')').count() {
            quantity.why.push(')');
        }
    }
}

/// A text with its figures in these units.
fn localised(text: &str, units: &Units, model: &Model) -> String {
    let mut out = String::with_capacity(text.len());
    let (mut rest, mut depth) = (text, 0_usize);
    while let Some(c) = rest.chars().next() {
        let starts = c.is_ascii_digit() && !out.ends_with(|b: char| b.is_alphanumeric() || "-./".contains(b));
        if let Some((told, length)) = starts.then(|| figure(rest, depth > 0, units, model)).flatten() {
            out.push_str(&told);
            rest = rest.get(length..).unwrap_or_default();
            continue;
        }
        // What stands in brackets behind another unit is the first one already.
        if c == '('
            && ends_told(&out, units, model)
            && let Some(end) = rest.find(')')
        {
            out.push_str(rest.get(..=end).unwrap_or_default());
            rest = rest.get(end + 1..).unwrap_or_default();
            continue;
        }
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        out.push(c);
        rest = rest.get(c.len_utf8()..).unwrap_or_default();
    }
    out
}

/// Whether a text ends with a figure in one of these units.
fn ends_told(text: &str, units: &Units, model: &Model) -> bool {
    let before = text.trim_end();
    units.all().filter_map(|(id, unit)| model.dim(id)?.units.get(unit)).any(|u| {
        let number = before.strip_suffix(u.symbol.as_str()).map(str::trim_end);
        number.is_some_and(|n| n.ends_with(|c: char| c.is_ascii_digit()))
    })
}

/// A figure, or two with `to` between them, that a text begins with; how it is told, and how long it was.
fn figure(text: &str, bracketed: bool, units: &Units, model: &Model) -> Option<(String, usize)> {
    let first = number(text)?;
    let after = text.get(first.len()..)?;
    let second = after.strip_prefix(" to ").and_then(number);
    let end = first.len() + second.map_or(0, |s| s.len() + " to ".len());
    let written = text.get(end..)?.strip_prefix(' ')?;
    let (dimension, unit, to, symbol) = unit_of(written, units, model)?;
    let length = end + 1 + symbol;
    // Both are said already.
    let beside = text.get(length..).and_then(|t| t.strip_prefix(" (")).and_then(|t| Some((number(t)?, t)));
    if beside.is_some_and(|(n, t)| t.get(n.len() + 1..).is_some_and(|t| t.starts_with(to.1))) {
        return None;
    }
    let figures: Vec<i64> = [Some(first), second]
        .into_iter()
        .flatten()
        .filter_map(|n| Some((dimension.read(n, unit)?, n)))
        .map(|f| f.0)
        .collect();
    let told = match figures.as_slice() {
        [one] => dimension.about_in(*one, dimension.handy(to.0, *one)),
        [low, high] => {
            let unit = dimension.handy(to.0, *high);
            let (from, until) = (dimension.about_in(*low, unit), dimension.about_in(*high, unit));
            format!("{} to {until}", from.split(' ').next().unwrap_or_default())
        }
        _ => return None,
    };
    let was = text.get(..length)?;
    Some((if bracketed { told } else { format!("{told} ({was})") }, length))
}

/// The number that a text begins with.
fn number(text: &str) -> Option<&str> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let number = text.get(..end)?.trim_end_matches('.');
    Decimal::parse(number).map(|_| number)
}

/// The unit that a text begins with, of a dimension that is told in another one: the dimension, the unit, the other one
/// with its symbol, and how long it is. A unit that several dimensions have is that of the one that it comes first in.
fn unit_of<'a>(text: &str, units: &Units, model: &'a Model) -> Option<(&'a Dimension, usize, (usize, &'a str), usize)> {
    let mut best: Option<(usize, bool, &Dimension, usize, usize)> = None;
    for (id, to) in units.all() {
        let Some(dimension) = model.dim(id) else { continue };
        for (unit, own) in dimension.units.iter().enumerate().filter(|(u, own)| *u != to && !own.us) {
            for symbol in std::iter::once(&own.symbol).chain(&own.also) {
                let ends = |t: &str| !t.starts_with(|c: char| c.is_alphanumeric() || "/²³°".contains(c));
                let fits = !symbol.is_empty() && text.strip_prefix(symbol.as_str()).is_some_and(ends);
                let closer = best.is_none_or(|(length, first, ..)| (symbol.len(), unit == 0) > (length, first));
                if fits && closer {
                    best = Some((symbol.len(), unit == 0, dimension, unit, to));
                }
            }
        }
    }
    let (length, _, dimension, unit, to) = best?;
    Some((dimension, unit, (to, dimension.units.get(to)?.symbol.as_str()), length))
}

impl Dimension {
    /// A number of a unit as steps.
    fn read(&self, number: &str, unit: usize) -> Option<i64> {
        self.steps(Decimal::parse(number)?, unit)
    }

    /// With three figures and no more than three decimals; degrees are whole, and so are sizes that the trade calls by round numbers.
    fn about_in(&self, steps: i64, unit: usize) -> String {
        let Some(own) = self.units.get(unit) else { return String::new() };
        let reading = self.reading(steps, unit);
        let whole = own.zero != 0 || !self.nominal.is_empty();
        let small = reading.abs() < 1.0;
        let number = match (whole, small) {
            (true, _) => reading.round(),
            (_, true) => three_figures(reading * 1000.0).round() / 1000.0,
            _ => three_figures(reading),
        };
        format!("{number} {}", own.symbol)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Knowledge;
    use crate::quantity::System;
    use crate::statement::Stated;
    use rstest::rstest;

    /// Each by hand: °C × 1.8 + 32; 25.4 mm to the inch; 28.35 g to the ounce; 0.3048 m to the foot.
    #[rstest]
    #[case("dry it at 20 to 29 °C", "dry it at 68 to 84 °F (20 to 29 °C)")]
    #[case("above about 190 °C hydrogen chloride", "above about 374 °F (190 °C) hydrogen chloride")]
    #[case("set it 1.5 to 3 mm above a tee", "set it 0.059 to 0.118 in (1.5 to 3 mm) above a tee")]
    #[case("2.4 m heated in 90 s", "7.87 ft (2.4 m) heated in 90 s")]
    #[case("belts of 1.6 m/min", "belts of 5.25 ft/min (1.6 m/min)")]
    // What stands in brackets is not told twice.
    #[case("slow it (2.4 m heated in 90 s)", "slow it (7.87 ft heated in 90 s)")]
    #[case("film: 302 to 338 °F (150 to 170 °C), aim", "film: 302 to 338 °F (150 to 170 °C), aim")]
    #[case("mesh of 43 /cm", "mesh of 110 /in (43 /cm)")]
    #[case("mesh of 49 /cm", "mesh of 125 /in (49 /cm)")]
    #[case("mesh 43-80, 10 g of it", "mesh 43-80, 0.353 oz (10 g) of it")]
    #[case("20 °C (68 °F) or more", "20 °C (68 °F) or more")]
    #[case("30 to 40 % relative humidity for 24 h", "30 to 40 % relative humidity for 24 h")]
    #[case("saved by each 10 K less", "saved by each 18 F° (10 K) less")]
    fn figures_in_words_are_told_in_the_units_of_who_asked(
        #[case] text: &str,
        #[case] told: &str,
    ) -> Result<(), Box<dyn std::error::Error>> {
        let knowledge = Knowledge::built_in()?;
        let units = Units::of(knowledge.model(), &Stated::default(), System::Us);
        assert_eq!(localised(text, &units, knowledge.model()), told);
        Ok(())
    }
}
