//! What it takes to answer about jobs of which not everything is known: `cargo bench --bench open_jobs`. Times are
//! told as multiples of the plain verdict on the same job, since machines differ.
#![allow(missing_docs, clippy::expect_used, clippy::panic)]

use std::time::{Duration, Instant};
use washfast::Knowledge;
use washfast::contract::Detail;
use washfast::reason::decide::Options;

const ORDERS: &str = include_str!("../open_jobs/orders.txt");

/// The least of several runs.
fn least<T>(mut run: impl FnMut() -> T) -> (T, Duration) {
    let mut best: Option<(T, Duration)> = None;
    for _ in 0..3 {
        let start = Instant::now();
        let result = run();
        let took = start.elapsed();
        if best.as_ref().is_none_or(|b| took < b.1) {
            best = Some((result, took));
        }
    }
    best.expect("several runs")
}

fn main() {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge");
    let plain = knowledge.with_options(Options { explore: false, rows: false, ..Options::default() });
    println!("{:>9} {:>8} {:>9} {:>7} {:>9}  order", "verdict", "answer", "interview", "jobs", "changes");
    let mut all: Vec<[f64; 3]> = Vec::new();
    for order in ORDERS.lines().filter(|l| !l.is_empty()) {
        let job = knowledge.statements(order).unwrap_or_else(|p| panic!("{order}: {p:?}"));
        let (_, verdict) = least(|| plain.decide(&job, Detail::Verdict));
        let (answer, whole) = least(|| knowledge.decide(&job, Detail::Full));
        let (_, step) = least(|| knowledge.interview(&job));
        let times = |t: Duration| t.as_secs_f64() / verdict.as_secs_f64();
        let work = answer.work;
        let micros = verdict.as_secs_f64() * 1e6;
        println!(
            "{micros:>7.0}µs {:>7.0}x {:>8.0}x {:>7} {:>9}  {order}: {}",
            times(whole),
            times(step),
            work.jobs,
            work.changes,
            answer.verdict
        );
        all.push([micros, whole.as_secs_f64() * 1e3, step.as_secs_f64() * 1e3]);
    }
    for (i, name) in ["verdict µs", "answer ms", "interview step ms"].into_iter().enumerate() {
        let mut column: Vec<f64> = all.iter().map(|r| r[i]).collect();
        column.sort_by(f64::total_cmp);
        let (middle, most) = (column[column.len() / 2], column[column.len() - 1]);
        println!("{name}: median {middle:.1}, most {most:.1}");
    }
}
