//! A plan: what the order costs and how long it takes, then a sheet for each print.

use super::text::{NARROWEST, escaped, markdown, text_at, wrapped};
use crate::answer::{Answer, Between, Lead};
use crate::plan::{Plan, figure};
use std::fmt::Write as _;

/// A plan for a terminal of this width.
pub fn plan_at(plan: &Plan, width: usize) -> String {
    let width = width.max(NARROWEST);
    let mut out = String::new();
    wrapped(&mut out, "", &headline(plan), width);
    for Table { title, columns, rows } in tables(plan) {
        let _ = writeln!(out, "{title}:");
        for row in rows {
            // Without a heading over it, a cell says what it is.
            let before = columns.iter().map(|c| c.1).chain(std::iter::repeat(""));
            let cells: Vec<String> = row
                .iter()
                .zip(before)
                .filter(|(c, _)| !c.is_empty())
                .map(|(c, before)| match before {
                    // Only a price is at so much.
                    "at " if !c.starts_with(|c: char| c.is_ascii_digit()) => c.clone(),
                    _ => format!("{before}{c}"),
                })
                .collect();
            let mut cells = cells.iter().map(String::as_str);
            let first = cells.next().unwrap_or_default();
            let rest = cells.collect::<Vec<_>>().join(", ");
            let colon = if rest.is_empty() { "" } else { ": " };
            wrapped(&mut out, "  - ", &format!("{first}{colon}{rest}"), width);
        }
    }
    for (name, answer) in sheets(plan) {
        wrapped(&mut out, "\n== ", &name, width);
        out.push_str(&text_at(&answer, width));
    }
    out
}

/// A plan as Markdown: a page to print.
pub fn plan_markdown(plan: &Plan) -> String {
    let mut out = format!("# {}\n", escaped(&headline(plan)));
    for Table { title, columns, rows } in tables(plan) {
        let line = |cells: &[String]| {
            let cells: Vec<String> = cells.iter().map(|c| escaped(c).replace('|', "\\|")).collect();
            format!("| {} |\n", cells.join(" | "))
        };
        let columns: Vec<String> = columns.iter().map(|c| c.0.to_owned()).collect();
        if columns.len() == 1 {
            let _ = writeln!(out, "\n## {title}\n");
            rows.iter().flatten().for_each(|cell| out.push_str(&format!("- {}\n", escaped(cell))));
            continue;
        }
        let _ = write!(out, "\n## {title}\n\n{}|{}\n", line(&columns), " --- |".repeat(columns.len()));
        rows.iter().for_each(|row| out.push_str(&line(row)));
    }
    for (name, answer) in sheets(plan) {
        let _ = write!(out, "\n## {}\n\n{}", escaped(&name), markdown(&answer));
    }
    out
}

struct Table {
    title: &'static str,
    /// The heading of each column, with what its cells begin with where there is none.
    columns: Vec<(&'static str, &'static str)>,
    rows: Vec<Vec<String>>,
}

fn headline(plan: &Plan) -> String {
    let order = match &plan.id {
        Some(serde_json::Value::String(id)) => format!("order {id}"),
        Some(id) => format!("order {id}"),
        None => "this order".to_owned(),
    };
    let prints = match plan.prints.len() {
        1 => "one print".to_owned(),
        n => format!("{n} prints"),
    };
    let verdict = match plan.verdict {
        "yes" => "can be printed as described",
        "yes-if" => "can be printed, on conditions",
        "depends" => "hangs on what was not said; treat it as no until that is known",
        _ => "cannot be printed as described",
    };
    format!("Plan for {order}, {prints}: {verdict}")
}

fn tables(plan: &Plan) -> Vec<Table> {
    let mut tables = Vec::new();
    let times = plan.times.iter().map(|t| {
        let starts = if t.starts.max > 0.0 { format!("after {}", time(t.starts)) } else { "at once".to_owned() };
        let ready = if t.ready.max > 0.0 {
            format!("{} before handing over", time(t.ready))
        } else {
            "at handing over".to_owned()
        };
        vec![t.title.clone(), starts, time(t.lasts), ready, t.what.join("; ")]
    });
    let end = vec!["Handing over".to_owned(), format!("after {}", time(plan.lasts))];
    let rows: Vec<Vec<String>> =
        times.chain((plan.lasts.max > 0.0).then_some([end, vec![String::new(); 3]].concat())).collect();
    if !rows.is_empty() {
        let columns =
            vec![("Step", ""), ("Begins", ""), ("Takes", "takes "), ("Ready at the latest", "ready "), ("What", "")];
        tables.push(Table { title: "What takes time, and when it must be ready before handing over", columns, rows });
    }
    let priced = plan.costs.iter().any(|c| c.price.is_some());
    let costs = plan.costs.iter().map(|c| {
        let each = match c.unit {
            "kg" => " a kg",
            "min" => " a minute",
            _ => "",
        };
        // Where nothing has a price the title says so.
        let none = if priced { "no price" } else { "" };
        let price = c.price.map_or(none.to_owned(), |p| format!("{}{each}", figure(p)));
        vec![c.what.clone(), c.text.clone(), price, c.cost.map_or(String::new(), Between::span)]
    });
    let open = if plan.costs.iter().any(|c| c.cost.is_none()) { "of what is known and has a price" } else { "" };
    let all = plan.total.map(|t| vec!["All of it".to_owned(), String::new(), open.to_owned(), t.span()]);
    let again = plan.made_again.map(|a| {
        let what = "All of it once more, should the run fail".to_owned();
        vec![what, "every piece bought anew, on the same screens".to_owned(), open.to_owned(), a.span()]
    });
    let rows: Vec<Vec<String>> = costs.chain(all).chain(again).collect();
    if !rows.is_empty() {
        let mut columns = vec![("Cost", ""), ("How much", ""), ("Price of one", "at "), ("In all", "= ")];
        columns.truncate(if priced { 4 } else { 2 });
        let rows = rows.into_iter().map(|row| row.into_iter().take(columns.len()).collect()).collect();
        let title = if priced {
            "What it costs to print, in the shop's currency"
        } else {
            "What it costs to print (no price in the shop's knowledge)"
        };
        tables.push(Table { title, columns, rows });
    }
    let asks: Vec<Vec<String>> = plan.asks.iter().map(|a| vec![a.ask.clone()]).collect();
    if !asks.is_empty() {
        tables.push(Table { title: "Say also, and more can be priced", columns: vec![("Question", "")], rows: asks });
    }
    let mut risks: Vec<(&str, String)> = Vec::new();
    for risk in plan.prints.iter().flat_map(|a| &a.conditions) {
        // Of one condition of several prints only the names differ.
        let both = risks.iter_mut().find_map(|r| (r.0 == risk.code).then(|| Some((either(&r.1, &risk.text)?, r)))?);
        match both {
            Some((both, r)) => r.1 = both,
            None => risks.push((&risk.code, risk.text.clone())),
        }
    }
    let rows: Vec<Vec<String>> = risks.into_iter().map(|r| vec![r.1]).collect();
    if !rows.is_empty() {
        let title = "What spoils the run if it is left out";
        tables.push(Table { title, columns: vec![("Condition", "")], rows });
    }
    tables
}

/// Two sentences as one, where they differ in a name at most: `before low-bleed or standard plastisol goes on`.
fn either(one: &str, other: &str) -> Option<String> {
    const NAME: usize = 4;
    if one == other {
        return Some(one.to_owned());
    }
    let (a, b): (Vec<&str>, Vec<&str>) = (one.split(' ').collect(), other.split(' ').collect());
    let shorter = a.len().min(b.len());
    let first = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let last = a.iter().rev().zip(b.iter().rev()).take_while(|(x, y)| x == y).count().min(shorter - first);
    let (own, others) = (a.get(first..a.len() - last)?, b.get(first..b.len() - last)?);
    // A figure that differs makes another condition of it.
    let name = |words: &[&str]| {
        (1..=NAME).contains(&words.len()) && words.iter().all(|w| w.chars().all(|c| c.is_alphabetic() || c == '-'))
    };
    (name(own) && name(others)).then(|| {
        let (before, after) = (a.get(..first).unwrap_or_default(), a.get(a.len() - last..).unwrap_or_default());
        [before, own, &["or"], others, after].concat().join(" ")
    })
}

/// The prints, each told as a sheet.
fn sheets(plan: &Plan) -> impl Iterator<Item = (String, Answer)> {
    plan.prints.iter().enumerate().map(|(i, print)| {
        let name = print.position.clone().unwrap_or_else(|| format!("print {}", i + 1));
        (name, Answer { lead: Lead::How, ..print.clone() })
    })
}

/// Seconds as people count them.
fn time(seconds: Between) -> String {
    let (size, unit) = match seconds.max {
        259_200.0.. => (86_400.0, "d"),
        7_200.0.. => (3_600.0, "h"),
        _ => (60.0, "min"),
    };
    // To a tenth, and upwards: nobody waits too long for nothing.
    let tenth = |s: f64| (s / size * 10.0).ceil() / 10.0;
    format!("{} {unit}", Between { min: tenth(seconds.min), max: tenth(seconds.max) }.span())
}

#[cfg(test)]
mod tests {
    use super::either;

    #[test]
    fn conditions_that_differ_in_a_name_are_one() {
        let told = |ink: &str| format!("flash the base to a gel, before {ink} plastisol goes on");
        let both = either(&told("low-bleed"), &told("standard"));
        assert_eq!(both.as_deref(), Some("flash the base to a gel, before low-bleed or standard plastisol goes on"));
        assert_eq!(either("a b", "a b").as_deref(), Some("a b"));
        assert_eq!(either("hold it for 24 h", "hold it for 72 h"), None);
        assert_eq!(either("dry it", "dry it well"), None);
    }
}
