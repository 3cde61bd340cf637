//! Text: the verdict in words, the decisive reason, what to do. Nothing is told by colour alone.

use crate::answer::{Answer, Branch, Reason, Said};
use std::fmt::Write as _;

/// Lines are broken at this width.
const WIDTH: usize = 96;

/// An answer for a terminal.
pub fn text(answer: &Answer) -> String {
    let mut out = String::new();
    if !answer.prints.is_empty() {
        let _ = writeln!(out, "{}", headline(answer));
        for (i, print) in answer.prints.iter().enumerate() {
            let name = print.position.clone().unwrap_or_else(|| format!("print {}", i + 1));
            let _ = writeln!(out, "\n== {name}");
            out.push_str(&text(print));
        }
        return out;
    }
    wrapped(&mut out, "", &headline(answer));
    rows(&mut out, answer);
    // Windows are told with the settings.
    let reasons = answer.reasons.iter().filter(|r| r.code != "window");
    section(&mut out, "Why", reasons.map(|r| (String::new(), reason_line(r))));
    section(&mut out, "Provided that", answer.conditions.iter().map(said_line));
    if let Some(recipe) = &answer.recipe {
        let settings: Vec<(String, String)> =
            recipe.settings.iter().map(|(k, v)| (k.replace('_', " "), setting(v))).collect();
        section(&mut out, "Settings", settings.into_iter().map(|(k, v)| (String::new(), format!("{k}: {v}"))));
    }
    section(
        &mut out,
        "What decides",
        answer.depends_on.iter().map(|d| {
            let branches: Vec<String> =
                d.branches.iter().map(|b| format!("{}: {}", few(&b.values), b.verdict)).collect();
            let branches = if branches.is_empty() { String::new() } else { format!(" ({})", branches.join("; ")) };
            (String::new(), format!("{}{branches}", d.ask))
        }),
    );
    if let Some(way) = &answer.safe_way {
        section(
            &mut out,
            "Safe in every case",
            [(String::new(), format!("{}: {}", way.changes.join(", "), way.verdict))].into_iter(),
        );
    } else if answer.verdict == "depends" {
        let _ = writeln!(out, "Treat it as no until the deciding fact is known.");
    }
    let fix = |f: &crate::answer::Fix| (String::new(), format!("{}: {}", f.changes.join(", "), f.verdict));
    section(&mut out, "What would make it possible", answer.fixes.iter().take(4).map(fix));
    section(&mut out, "What else would work", answer.alternatives.iter().take(4).map(fix));
    section(&mut out, "Take care", answer.cautions.iter().filter(|c| c.when.is_none()).map(said_line));
    section(&mut out, "Advice", answer.advice.iter().filter(|c| c.when.is_none()).map(said_line));
    let turns = |a: &crate::answer::Assumed| match a.changes_to {
        Some(to) => format!("{} (if not, perhaps {to})", a.text),
        None => a.text.clone(),
    };
    let assumed: Vec<String> = answer.assumed.iter().map(turns).collect();
    if !assumed.is_empty() {
        wrapped(&mut out, "Taken for granted: ", &assumed.join(", "));
    }
    let _ = writeln!(out, "Evidence: {}.", answer.evidence);
    out
}

/// The cases in which it fails; those with one reason are told together.
fn rows(out: &mut String, answer: &Answer) {
    let mut groups: Vec<(&Branch, Vec<String>)> = Vec::new();
    for row in &answer.rows {
        let case = row.values.join(" and ");
        match groups.iter_mut().find(|g| g.0.text == row.text && g.0.verdict == row.verdict) {
            Some(group) => group.1.push(case),
            None => groups.push((row, vec![case])),
        }
    }
    for (row, cases) in groups {
        let word = match (row.verdict, row.code.as_str()) {
            ("no", _) => "no",
            (_, "not-known") => "not known",
            _ => "perhaps not",
        };
        // A case told by the rule itself is a phrase of its own.
        let when = match cases.as_slice() {
            [one] if one.is_empty() => String::new(),
            [one] if !one.contains(" is ") && !one.contains(" has ") && !one.contains("share") => format!(" {one}"),
            _ => format!(" if {}", cases.join(", or if ")),
        };
        wrapped(out, "  ", &format!("{word}{when}: {}", row.text));
    }
    if answer.code == "open-fact" {
        let _ = writeln!(
            out,
            "  {}",
            if answer.rows_complete { "otherwise it can be done" } else { "there may be other such cases" }
        );
    }
}

/// The verdict with the assumptions that would turn it.
fn headline(answer: &Answer) -> String {
    if !answer.verdict.starts_with("yes") {
        return answer.summary.clone();
    }
    let turning: Vec<&str> =
        answer.assumed.iter().filter(|a| a.changes_to.is_some()).map(|a| a.text.as_str()).collect();
    let mut line = answer.summary.clone();
    if !turning.is_empty() {
        let no = answer.assumed.iter().any(|a| a.changes_to == Some("no"));
        let to = if no { "the answer may be no" } else { "nothing is known" };
        let _ = write!(line, " This takes it as {}; otherwise {to}.", turning.join(", "));
    }
    line
}

fn reason_line(r: &Reason) -> String {
    let mut line = r.text.clone();
    match (&r.source, r.basis) {
        // The full citations are in the JSON answer and on the rule's page.
        (Some(source), _) => {
            let mut sources = source.split("; ");
            let first = sources.next().unwrap_or("");
            let more = match sources.count() {
                0 => String::new(),
                n => format!(", and {n} more"),
            };
            let _ = write!(line, " [{first}{more}]");
        }
        (None, Some(basis)) => {
            let _ = write!(line, " [{basis}]");
        }
        _ => {}
    }
    line
}

fn said_line(s: &Said) -> (String, String) {
    let when = s.when.as_ref().map_or(String::new(), |w| format!("{w}: "));
    (String::new(), format!("{when}{}", s.text))
}

/// The first six of a list; how many more there are.
fn few(values: &[String]) -> String {
    match values.len() {
        0..=6 => values.join(", "),
        n => format!("{} and {} more", values.iter().take(6).cloned().collect::<Vec<_>>().join(", "), n - 6),
    }
}

fn setting(value: &serde_json::Value) -> String {
    let number = |k: &str| value.get(k).map(ToString::to_string);
    let unit = match value.get("unit").and_then(|u| u.as_str()).unwrap_or("") {
        "Cel" => "°C",
        other => other,
    };
    let mut line = match (number("min"), number("max")) {
        (Some(a), Some(b)) if a == b => format!("{a} {unit}"),
        (Some(a), Some(b)) => format!("{a} to {b} {unit}"),
        (Some(a), None) => format!("at least {a} {unit}"),
        (None, Some(b)) => format!("at most {b} {unit}"),
        (None, None) => "no one value suits every case: it hangs on the open facts".to_owned(),
    };
    if let Some(s) = number("suggested") {
        let why = value.get("why").and_then(|w| w.as_str()).unwrap_or("");
        let _ = write!(line, ", aim for {s} {unit} ({why})");
    }
    if let Some(place) = value.get("place").and_then(|p| p.as_str()) {
        let _ = write!(line, ", measured on the {place}");
    }
    line
}

fn section(out: &mut String, title: &str, lines: impl Iterator<Item = (String, String)>) {
    let mut first = true;
    for (_, line) in lines {
        if first {
            let _ = writeln!(out, "{title}:");
            first = false;
        }
        wrapped(out, "  - ", &line);
    }
}

/// Writes a text in lines of at most [`WIDTH`], the later ones indented like the first.
fn wrapped(out: &mut String, lead: &str, text: &str) {
    let indent = " ".repeat(lead.chars().count());
    let mut line = lead.to_owned();
    let mut used = lead.chars().count();
    let mut fresh = true;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if !fresh && used + 1 + length > WIDTH {
            let _ = writeln!(out, "{}", line.trim_end());
            line.clone_from(&indent);
            used = indent.len();
            fresh = true;
        }
        if !fresh {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += length;
        fresh = false;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

/// An answer as Markdown.
pub fn markdown(answer: &Answer) -> String {
    let mut out = format!("**{}**\n", headline(answer));
    let mut list = |title: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            let _ = write!(out, "\n{title}:\n\n");
            for line in lines {
                let _ = writeln!(out, "- {line}");
            }
        }
    };
    list("Why", answer.reasons.iter().map(reason_line).collect());
    let rows = answer.rows.iter().map(|r| format!("{}: {} ({})", r.values.join(" and "), r.text, r.verdict));
    list("Branches", rows.collect());
    list("Provided that", answer.conditions.iter().map(|s| said_line(s).1).collect());
    if let Some(recipe) = &answer.recipe {
        let settings = recipe.settings.iter().map(|(k, v)| format!("{}: {}", k.replace('_', " "), setting(v)));
        list("Settings", settings.collect());
    }
    list("What decides", answer.depends_on.iter().map(|d| d.ask.clone()).collect());
    let fix = |f: &crate::answer::Fix| format!("{}: {}", f.changes.join(", "), f.verdict);
    list("What would make it possible", answer.fixes.iter().map(fix).collect());
    list("What else would work", answer.alternatives.iter().map(fix).collect());
    list("Take care", answer.cautions.iter().map(|s| said_line(s).1).collect());
    list("Advice", answer.advice.iter().map(|s| said_line(s).1).collect());
    list("Taken for granted", answer.assumed.iter().map(|a| a.text.clone()).collect());
    let _ = write!(out, "\nEvidence: {}.\n", answer.evidence);
    out
}
