//! Thirty orders: the cases of the answer, the questions that settle it, and what would help; and ten failures.

use super::{KNOWLEDGE, ORDERS, ask};
use std::fmt::Write as _;
use washfast::answer::{Answer, Ask, Branch, Fix, Step};
use washfast::knowledge::Reply;

/// The first six; how many more there are.
fn few(values: &[String]) -> String {
    match values.len() {
        0..=6 => values.join(", "),
        n => format!("{} and {} more", values[..6].join(", "), n - 6),
    }
}

fn case(row: &Branch) -> String {
    format!("  {} if {}: {}\n", row.verdict, row.values.join(" and "), row.code)
}

fn fix(fix: &Fix) -> String {
    format!("  {}: {}, {} conditions\n", fix.changes.join(" + "), fix.verdict, fix.conditions.len())
}

fn may(fix: &Fix) -> String {
    let asked = fix.hangs_on.as_ref().map_or("", |d| d.ask.as_str());
    format!("  {}: {}: {asked}\n", fix.changes.join(" + "), fix.verdict)
}

fn question(ask: &Ask) -> String {
    let mut out = format!("  {}\n", ask.ask);
    for option in &ask.options {
        let _ = writeln!(out, "    {}: {}", few(&option.values), option.leads_to.unwrap_or("more is asked"));
    }
    out
}

/// The questions in their order, where each answer is the first that settles nothing.
fn interview(order: &str) -> String {
    let mut job = KNOWLEDGE.statements(order).unwrap_or_else(|p| panic!("{order}: {p:?}"));
    let mut out = String::new();
    loop {
        match KNOWLEDGE.interview(&job) {
            Step::Done(answer) => return out + &format!("  then: {}, {}\n", answer.verdict, answer.code),
            Step::Ask(ask) => {
                out.push_str(&question(&ask));
                let open = ask.options.iter().find(|o| o.leads_to.is_none()).unwrap_or(&ask.options[0]);
                let _ = writeln!(out, "    > {}", open.values[0]);
                job.add(open.each[0].clone());
            }
        }
    }
}

fn told(order: &str, answer: &Answer) -> String {
    let mut out = format!("{order}: {}, {}\n", answer.verdict, answer.code);
    let turning = answer.assumed.iter().filter_map(|a| Some(format!("  {}: {}\n", a.text, a.changes_to?)));
    let parts: [(&str, Vec<String>); 7] = [
        ("cases", answer.rows.iter().map(case).collect()),
        ("interview", if answer.verdict == "depends" { vec![interview(order)] } else { Vec::new() }),
        ("fixes", answer.fixes.iter().map(fix).collect()),
        ("alternatives", answer.alternatives.iter().map(fix).collect()),
        ("what may help", answer.may_help.iter().map(may).collect()),
        ("the customer", answer.customer_fixes.iter().map(fix).collect()),
        ("taken for granted", turning.collect()),
    ];
    for (title, lines) in parts.into_iter().filter(|p| !p.1.is_empty()) {
        let _ = write!(out, "{title}\n{}", lines.concat());
    }
    out
}

#[test]
fn thirty_orders() {
    for order in ORDERS.iter() {
        let name: String = order.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        insta::assert_snapshot!(name, told(order, &ask(order)));
    }
}

/// Ten complaints: what is told of the causes, the questions and the goods.
#[test]
fn ten_failures() {
    for complaint in include_str!("failures.txt").lines() {
        let Ok(Reply::Page(lines)) = KNOWLEDGE.ask(complaint) else { panic!("{complaint}: no page") };
        let name: String = complaint.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        insta::assert_snapshot!(format!("failure-{name}"), lines.join("\n"));
    }
}
