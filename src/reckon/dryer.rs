//! The belt of the dryer.

use super::{Found, about, quantity, rounded, span};
use crate::diagnostic::Problem;
use crate::model::{Model, read_quantity};
use crate::question::parse::{Token, TokenKind};
use crate::sums::dryer;
use crate::sums::units::{Count, Metres, MetresPerMinute, Seconds};

/// Feet in a metre's place: belts are read in either.
const FOOT: f64 = 0.3048;

fn out_of_range(tokens: &[Token], message: &str) -> Problem {
    Problem::new("job::out-of-range", span(tokens), "here", message.to_owned())
}

/// Belt speed from the time that the dryer must give and its heated length.
///
/// # Errors
/// No time, or no length.
pub(crate) fn belt(model: &Model, tokens: &[Token], standing: Option<&str>) -> Result<Vec<String>, Problem> {
    let mut time = None;
    let mut length = None;
    let mut at = 0;
    while tokens.iter().skip(at).any(|t| t.kind == TokenKind::Number) {
        let found = quantity(model, tokens, at)?;
        at = found.next;
        if found.is(model, "time") {
            time = Some(found);
        } else if found.is(model, "length") {
            length = Some(found);
        } else {
            let message = format!("`{}` is neither a time nor a length", found.text);
            return Err(Problem::new("job::bad-quantity", span(tokens), "here", message)
                .help("say the time and the heated length: belt for 60 s in 2.4 m"));
        }
    }
    if let (None, Some(text)) = (&length, standing) {
        let steps = model.dimension("length").and_then(|d| Some((d, read_quantity(text, d, model).ok()?)));
        length = steps.map(|(dimension, steps)| Found { dimension, steps, unit: 0, text: text.to_owned(), next: 0 });
    }
    let (Some(time), Some(length)) = (time, length) else {
        let message = "the belt needs a time and a heated length";
        return Err(Problem::new("question::no-quantity", span(tokens), "here", message)
            .help("say both: belt for 60 s in 2.4 m"));
    };
    let speed = dryer::belt_speed(Metres(length.reading(model)), Seconds(time.reading(model)))
        .ok_or_else(|| out_of_range(tokens, "time and length must be above zero"))?
        .0;
    Ok(vec![
        format!("belt speed: {} m/min ({} ft/min), that is {} heated in {}", rounded(speed), rounded(speed / FOOT), length.text, time.text),
        "  the print must be that long at its temperature: cloth takes part of the way to warm up, so measure the film with a probe and slow the belt until it agrees".to_owned(),
    ])
}

/// Pieces that a belt carries in an hour, from its speed, the length that a piece takes, and lanes.
///
/// # Errors
/// No speed, or no length.
pub(crate) fn an_hour(model: &Model, tokens: &[Token]) -> Result<Vec<String>, Problem> {
    const SAY: &str = "ask like this: prints an hour at 2.4 m/min with 0.75 m pitch on 2 lanes";
    let (mut speed, mut pitch, mut lanes) = (None, None, None);
    let mut at = 0;
    while let Some(next) = (at..tokens.len()).find(|i| tokens.get(*i).is_some_and(|t| t.kind == TokenKind::Number)) {
        let follows = tokens.get(next + 1).map(|t| t.text.to_lowercase());
        if follows.is_some_and(|w| w == "lanes" || w == "lane") {
            lanes = tokens.get(next).and_then(|t| t.text.parse::<f64>().ok());
            at = next + 2;
            continue;
        }
        let found = quantity(model, tokens, next)?;
        at = found.next;
        if found.is(model, "speed") {
            speed = Some(found);
        } else if found.is(model, "length") {
            pitch = Some(found);
        } else {
            let message = format!("`{}` is neither a belt speed nor a length", found.text);
            return Err(Problem::new("job::bad-quantity", span(tokens), "here", message).help(SAY));
        }
    }
    let (Some(speed), Some(pitch)) = (speed, pitch) else {
        let message = "a belt speed and the length that a piece takes on the belt are needed";
        return Err(Problem::new("question::no-quantity", span(tokens), "here", message).help(SAY));
    };
    let lanes = lanes.unwrap_or(1.0);
    let pieces =
        dryer::pieces_on_belt(MetresPerMinute(speed.reading(model)), Metres(pitch.reading(model)), Count(lanes))
            .filter(|_| lanes.fract() == 0.0)
            .ok_or_else(|| out_of_range(tokens, "speed, length and lanes must be above zero, and lanes whole"))?;
    let side_by_side = if lanes == 1.0 { "one lane".to_owned() } else { format!("{} lanes", rounded(lanes)) };
    Ok(vec![
        format!(
            "the belt carries {} pieces an hour: {}, one each {}, {side_by_side}",
            about(pieces.0),
            speed.text,
            pitch.text
        ),
        "  the press, its flash or the loading may be slower; count a minute of each".to_owned(),
    ])
}
