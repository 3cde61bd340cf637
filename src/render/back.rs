//! What is asked back, and what a change makes of an answer.

use super::text::{NARROWEST, few, wrapped};
use crate::answer::{Ask, Choice, Difference, Outcome};

/// A question back for a terminal of this width.
pub fn question_at(ask: &Ask, width: usize) -> String {
    let width = width.max(NARROWEST);
    let mut out = String::new();
    for (i, line) in question_lines(ask).iter().enumerate() {
        wrapped(&mut out, if i == 0 { "" } else { "  " }, line, width);
    }
    wrapped(&mut out, "", "Answer by number or in words; an empty line stops.", width);
    out
}

/// The question, then its likely answers by number with what each leads to.
pub(super) fn question_lines(ask: &Ask) -> Vec<String> {
    let options = ask.options.iter().enumerate().map(|(i, o)| format!("{}. {}", i + 1, option_line(o)));
    let others = ask.others.then(|| "or say otherwise in words".to_owned());
    std::iter::once(ask.ask.clone()).chain(options).chain(others).collect()
}

fn option_line(option: &Choice) -> String {
    let leads_to = match option.leads_to {
        None if option.values.len() > 1 => "say which, more is asked",
        None => "more is asked",
        Some(verdict) => told(verdict),
    };
    match option.text.as_str() {
        "" => format!("{}: {leads_to}", few(&option.values)),
        text => format!("{}: {leads_to} ({text})", few(&option.values)),
    }
}

fn told(verdict: &str) -> &str {
    if verdict == "yes-if" { "yes, on conditions" } else { verdict }
}

/// What a change makes of an answer, for a terminal of this width.
pub fn difference_at(difference: &Difference, width: usize) -> String {
    let width = width.max(NARROWEST);
    let mut out = String::new();
    let (before, after) = (&difference.before, &difference.after);
    let line = if outcome(before) == outcome(after) {
        format!("Still {}: {}.", outcome(after), after.subject)
    } else {
        format!("From {} to {}: {}.", outcome(before), outcome(after), after.subject)
    };
    wrapped(&mut out, "", &line, width);
    for part in &difference.parts {
        for (when, lines) in [("now", &part.gained), ("no longer", &part.lost)] {
            if !lines.is_empty() {
                wrapped(&mut out, "", &format!("{}, {when}:", title(part.part)), width);
                lines.iter().for_each(|l| wrapped(&mut out, "  - ", l, width));
            }
        }
    }
    if difference.parts.is_empty() {
        wrapped(&mut out, "", "Nothing else changes.", width);
    }
    out
}

fn outcome(o: &Outcome) -> &str {
    if o.code == "not-known" { "not known" } else { told(o.verdict) }
}

fn title(part: &str) -> &str {
    match part {
        "reasons" => "Why",
        "cases" => "Cases",
        "conditions" => "Provided that",
        "settings" => "Settings",
        "cautions" => "Take care",
        "advice" => "Advice",
        "assumed" => "Taken for granted",
        other => other,
    }
}
