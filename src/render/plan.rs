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
    for Table { title, rows, .. } in tables(plan) {
        let _ = writeln!(out, "{title}:");
        for row in rows {
            let mut cells = row.iter().map(String::as_str).filter(|c| !c.is_empty());
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
        let columns: Vec<String> = columns.iter().map(|c| (*c).to_owned()).collect();
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
    columns: Vec<&'static str>,
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
        vec![t.title.clone(), starts, format!("takes {}", time(t.lasts)), format!("ready {ready}"), t.what.join("; ")]
    });
    let end = vec!["Handing over".to_owned(), format!("after {}", time(plan.lasts))];
    let rows: Vec<Vec<String>> =
        times.chain((plan.lasts.max > 0.0).then_some([end, vec![String::new(); 3]].concat())).collect();
    if !rows.is_empty() {
        let columns = vec!["Step", "Begins", "Takes", "Ready at the latest", "Why"];
        tables.push(Table { title: "What takes time, and when it must be ready before handing over", columns, rows });
    }
    let costs = plan.costs.iter().map(|c| {
        let each = if c.unit == "kg" { " a kg" } else { "" };
        let price =
            c.price.map_or("no price in the shop's knowledge".to_owned(), |p| format!("at {}{each}", figure(p)));
        vec![c.what.clone(), c.text.clone(), price, c.cost.map_or(String::new(), |c| format!("= {}", c.span()))]
    });
    let all = plan.total.map(|t| {
        let open = if plan.costs.iter().any(|c| c.cost.is_none()) { "of what is known and has a price" } else { "" };
        vec!["All of it".to_owned(), String::new(), open.to_owned(), t.span()]
    });
    let rows: Vec<Vec<String>> = costs.chain(all).collect();
    if !rows.is_empty() {
        let columns = vec!["Cost", "How much", "Price of one", "In all"];
        tables.push(Table { title: "What it costs to print", columns, rows });
    }
    let asks: Vec<Vec<String>> = plan.asks.iter().map(|a| vec![a.ask.clone()]).collect();
    if !asks.is_empty() {
        tables.push(Table { title: "Say also, and more can be priced", columns: vec!["Question"], rows: asks });
    }
    let risks = plan.prints.iter().flat_map(|a| &a.conditions).map(|c| c.text.as_str());
    let mut rows: Vec<Vec<String>> = Vec::new();
    for risk in risks {
        if !rows.iter().any(|r| r.first().is_some_and(|own| own == risk)) {
            rows.push(vec![risk.to_owned()]);
        }
    }
    if !rows.is_empty() {
        tables.push(Table { title: "What spoils the run if it is left out", columns: vec!["Condition"], rows });
    }
    tables
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
