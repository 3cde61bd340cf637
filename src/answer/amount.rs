//! Amounts of a job's sheet, by what they are called.

use super::{Answer, Between, Quantity, Recipe};
use crate::quantity::three_figures;
use crate::sums::heat::saved_of_hotter;
use crate::sums::units::{Celsius, Share, Unit};
use serde_json::Value;

/// The verdict, the amounts whose names hold the first word of a question that any name holds, and what would have to
/// be said for more of them.
pub fn amounts_called(answer: &Answer, sought: &str) -> Vec<String> {
    let mut lines = vec![answer.summary.clone()];
    let Some(recipe) = &answer.recipe else {
        lines.push("  nothing is reckoned of what cannot be done as described".to_owned());
        return lines;
    };
    let asks = recipe.asks.iter().map(|a| format!("  say also, and more can be reckoned: {}", a.ask));
    if let Some(saving) = cooler(sought).and_then(|(cool, hot)| saving(answer, recipe, cool, hot)) {
        lines.extend(saving);
        lines.extend(asks);
        return lines;
    }
    let called = |q: &Quantity, word: &str| {
        let name = q.text.split(':').next().unwrap_or_default().to_lowercase();
        name.split(|c: char| !c.is_alphanumeric()).any(|n| n == word)
    };
    let words = sought.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase);
    let found: Vec<&Quantity> = words
        .filter(|w| w.chars().count() > 3)
        .map(|word| recipe.quantities.iter().filter(|q| called(q, &word)).collect::<Vec<_>>())
        .find(|found| !found.is_empty())
        .unwrap_or_default();
    if found.is_empty() {
        lines.push(format!("  no `{}` can be reckoned from what was said", sought.trim()));
    }
    lines.extend(found.iter().map(|q| format!("  {} ({}) [{}]", q.text, q.why, q.basis)));
    lines.extend(asks);
    lines
}

/// A temperature as it was said.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Degrees {
    number: f64,
    fahrenheit: bool,
}

impl Degrees {
    fn celsius(self) -> f64 {
        if self.fahrenheit { (self.number - 32.0) / 1.8 } else { self.number }
    }

    fn told(self) -> String {
        format!("{} °{}", self.number, if self.fahrenheit { "F" } else { "C" })
    }
}

/// `130 instead of 160 °C`: the cooler one, and the one in whose place it is. The unit may stand beside one of them.
fn cooler(sought: &str) -> Option<(Degrees, Degrees)> {
    let text = sought.to_lowercase().replace('°', " ");
    let (before, after) = ["instead of", "rather than"].iter().find_map(|w| text.split_once(w))?;
    let ((cool, own), (hot, other)) = (temperatures(before).pop()?, temperatures(after).into_iter().next()?);
    let said = |number, unit: Option<char>| Some(Degrees { number, fahrenheit: unit? == 'f' });
    Some((said(cool, own.or(other))?, said(hot, other.or(own))?))
}

/// Numbers, each with the letter of its unit where it has one.
fn temperatures(text: &str) -> Vec<(f64, Option<char>)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let unit = |word: &str| ["c", "celsius", "f", "fahrenheit"].contains(&word).then(|| word.chars().next()).flatten();
    let each = words.iter().enumerate().filter_map(|(i, word)| {
        let digits = word.trim_end_matches(|c: char| !c.is_ascii_digit());
        let beside = word.strip_prefix(digits).and_then(unit);
        Some((digits.parse().ok()?, beside.or_else(|| words.get(i + 1).and_then(|w| unit(w)))))
    });
    each.collect()
}

/// What a cooler cure saves of the heat that the goods take up: an estimate, from the heat of a piece and the part of it
/// that each 10 K less saves.
fn saving(answer: &Answer, recipe: &Recipe, cool: Degrees, hot: Degrees) -> Option<Vec<String>> {
    let amount = |key: &str| {
        let q = recipe.quantities.iter().find(|q| q.key == key)?;
        Some((Between { min: q.min.as_ref()?.as_f64()?, max: q.max.as_f64()? }, q.basis))
    };
    let ((heat, _), (part, basis)) = (amount("heat_of_a_piece")?, amount("heat_saved")?);
    let film = recipe.settings.get("cure_temperature")?;
    let end = |key: &str| film.get(key).and_then(Value::as_f64);
    let at = end("suggested").or(end("min"))?;
    if cool.celsius() < 100.0 || hot.celsius() <= cool.celsius() {
        return Some(vec![
            "  nothing is reckoned of that: say two film temperatures of 100 °C or more, the cooler one first"
                .to_owned(),
        ]);
    }
    let of = |each: f64| {
        let each_ten = Share::made(each / 100.0)?;
        Some(saved_of_hotter(each_ten, Celsius(at), Celsius(hot.celsius()), Celsius(cool.celsius()))?.0)
    };
    let saved = Between { min: of(part.min)?, max: of(part.max)? };
    let kelvins = (hot.celsius() - cool.celsius()) / 10.0;
    let energy = Between { min: heat.min * part.min / 100.0 * kelvins, max: heat.max * part.max / 100.0 * kelvins };
    let told = |b: Between| match (three_figures(b.min), three_figures(b.max)) {
        (min, max) if min == max => min.to_string(),
        (min, max) => format!("{min} to {max}"),
    };
    let mut lines = vec![format!(
        "  curing at {} instead of {} saves about {} % of the heat (energy) that one piece takes up, {} kJ [{basis}]",
        cool.told(),
        hot.told(),
        told(saved.times(100.0)),
        told(energy)
    )];
    if let Some(pieces) = answer.job.get("run.pieces").and_then(|p| p.get("value")).and_then(Value::as_f64) {
        // 3600 kJ are a kilowatt-hour.
        lines.push(format!("  {pieces} pieces: {} kWh", told(energy.times(pieces / 3600.0))));
    }
    lines.push(
        "  an estimate, of the goods alone: cloth, film and their water, which is driven out at either; what the dryer \
         loses to the room is not in it, and a slower belt may eat it up"
            .to_owned(),
    );
    let ends = [("min", "no less than"), ("max", "no more than")];
    for (key, word) in ends {
        let Some(end) = end(key) else { continue };
        let beyond = |t: &&Degrees| if key == "min" { t.celsius() < end } else { t.celsius() > end };
        for out in [cool, hot].iter().filter(beyond) {
            lines
                .push(format!("  but this job is cured at {word} {end} °C of film temperature: not at {}", out.told()));
        }
    }
    Some(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures_as_they_are_said() {
        let both = |text: &str| cooler(text).map(|(c, h)| (c.celsius().round(), h.celsius().round()));
        assert_eq!(both("heat does curing at 130 instead of 160 °C save"), Some((130.0, 160.0)));
        assert_eq!(both("heat is saved at 130°C rather than 160°C"), Some((130.0, 160.0)));
        assert_eq!(both("heat does 266 instead of 320 °F save"), Some((130.0, 160.0)));
        assert_eq!(both("heat does 130 instead of 160 save"), None);
        assert_eq!(both("water must the dryer drive out"), None);
    }
}
