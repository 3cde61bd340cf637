//! Changes that are said to help do help, all of them are needed, and none is listed beside a part of it.

use super::sample::{Chance, complete};
use super::{KNOWLEDGE, ORDERS, ask};
use std::collections::BTreeSet;
use washfast::answer::Fix;
use washfast::contract::Detail;

fn works(verdict: &str) -> bool {
    matches!(verdict, "yes" | "yes-if")
}

#[test]
fn changes_that_are_said_to_help_help_every_complete_job() {
    let mut chance = Chance::new(7);
    let (mut fixes, mut jobs) = (0, 0);
    for order in ORDERS.iter() {
        let answer = ask(order);
        // The first few of each list are what is shown.
        let shown = [&answer.fixes, &answer.alternatives, &answer.customer_fixes];
        for fix in shown.into_iter().flat_map(|list| list.iter().take(4)) {
            assert!(!fix.jobs.is_empty() && works(fix.verdict), "{order}: {fix:?}");
            for job in &fix.jobs {
                let whole = KNOWLEDGE.decide(job, Detail::Verdict);
                assert_eq!(whole.verdict, fix.verdict, "{order}: {:?}", fix.changes);
                fixes += 1;
                let Some(one) = complete(&KNOWLEDGE, job, &whole, &mut chance) else { continue };
                let verdict = KNOWLEDGE.decide(&one, Detail::Verdict).verdict;
                assert!(works(verdict), "{order}: {:?}: {verdict}: {one:?}", fix.changes);
                jobs += 1;
            }
        }
    }
    assert!(fixes > 60 && jobs > 60, "too little was tried: {fixes} sets, {jobs} jobs");
}

#[test]
fn no_set_is_listed_beside_a_part_of_it() {
    let mut sets = 0;
    for order in ORDERS.iter() {
        let answer = ask(order);
        let changes = |f: &Fix| f.changes.iter().cloned().collect::<BTreeSet<_>>();
        let shop: Vec<_> = answer.fixes.iter().chain(&answer.alternatives).map(changes).collect();
        let customer: Vec<_> = answer.customer_fixes.iter().map(changes).collect();
        for list in [shop, customer] {
            for (i, a) in list.iter().enumerate() {
                sets += usize::from(a.len() > 1);
                let part = list.iter().enumerate().find(|(j, b)| i != *j && b.is_subset(a));
                assert!(part.is_none(), "{order}: {a:?} beside {part:?}");
            }
        }
    }
    assert!(sets > 3, "no set of several changes was found");
}

#[test]
fn the_customer_is_asked_only_where_the_shop_can_do_nothing() {
    let mut asked = 0;
    for order in ORDERS.iter() {
        let answer = ask(order);
        if !answer.customer_fixes.is_empty() {
            asked += 1;
            assert!(answer.fixes.is_empty() && answer.alternatives.is_empty(), "{order}");
        }
    }
    assert!(asked > 0, "no order shows it");
}

#[test]
fn several_changes_are_told_in_their_units() {
    let answer = ask("plastisol on navy polyester at 160 °C");
    let low_cure = answer.alternatives.iter().find(|f| f.changes.iter().any(|c| c.contains("low-cure low-bleed")));
    let changes = &low_cure.expect("a low-cure low-bleed ink").changes;
    assert_eq!(changes, &["cure at 130 to 145 °C", "print with low-cure low-bleed plastisol"]);
    let text = washfast::render::text(&answer);
    assert!(text.contains("cure at 130 to 145 °C, and print with low-cure low-bleed plastisol: yes"), "{text}");
}
