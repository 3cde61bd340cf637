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
fn every_change_of_a_set_is_needed() {
    let mut tried = 0;
    for order in ORDERS.iter() {
        let answer = ask(order);
        for fix in [&answer.fixes, &answer.alternatives, &answer.customer_fixes].into_iter().flatten() {
            assert!((fix.changes.len() > 1) != fix.without.is_empty(), "{order}: {:?}", fix.changes);
            for fewer in &fix.without {
                let verdict = KNOWLEDGE.decide(fewer, Detail::Verdict).verdict;
                assert!(!works(verdict), "{order}: one of {:?} is not needed", fix.changes);
                tried += 1;
            }
        }
    }
    assert!(tried > 20, "too few sets of several changes: {tried}");
}

/// The changes that are told, of what the shop controls and of other materials.
fn told(order: &str) -> Vec<String> {
    let answer = ask(order);
    answer.fixes.iter().chain(&answer.alternatives).map(|f| f.changes.join(" + ")).collect()
}

#[test]
fn layers_of_one_ink_are_changed_together() {
    let all = told("white low-bleed plastisol over white low-bleed plastisol on navy 100% polyester jersey not tested");
    for change in
        ["stir in 3 to 10 % low-cure additive in both layers", "print with low-cure low-bleed plastisol in both layers"]
    {
        assert!(all.iter().any(|c| c == change), "{change}: {all:#?}");
    }
}

#[test]
fn layers_change_places_where_their_order_is_in_the_way() {
    for cloth in ["white cotton tee", "black cotton tee"] {
        let all = told(&format!("white plastisol over puff on {cloth}"));
        assert_eq!(all.first().map(String::as_str), Some("print puff ink over it, not under it"), "{all:#?}");
    }
    // Where the order is not in the way, nothing is swapped.
    let all = told("white low-bleed plastisol over red plastisol on navy 100% polyester jersey");
    assert!(!all.is_empty() && !all.iter().any(|c| c.contains("not under it")), "{all:#?}");
}

#[test]
fn a_white_base_helps_what_the_dark_cloth_shows_through() {
    // A base without a named colour is taken for white.
    let all = told("soft-hand plastisol on black cotton tee");
    assert_eq!(all.first().map(String::as_str), Some("print standard plastisol under it first"), "{all:#?}");
}

#[test]
fn what_may_help_is_told_with_its_question() {
    let answer = ask("black plastisol on white nylon smooth shell");
    assert!(answer.fixes.is_empty() && answer.alternatives.is_empty());
    let solvent = answer.may_help.iter().find(|f| f.changes == ["print with solvent-based nylon ink"]);
    let hangs_on = solvent.and_then(|f| f.hangs_on.as_ref()).expect("a question");
    assert_eq!(hangs_on.attribute, "fabric.finishes");
    // What is said to lead to a yes does.
    assert!(hangs_on.branches.iter().any(|b| b.verdict == "yes-if"), "{hangs_on:?}");
    for fix in &answer.may_help {
        assert_eq!(fix.verdict, "depends", "{:?}", fix.changes);
    }
}

/// A jacket is no tea towel.
#[test]
fn another_article_is_of_the_same_sort() {
    for (order, article) in [("plastisol on softshell jacket", "tea towel"), ("plastisol on foam front cap", "tee")] {
        let answer = ask(order);
        let said = |f: &Fix| f.changes.iter().any(|c| c.contains(article) || c.contains("shoe"));
        assert!(!answer.customer_fixes.iter().any(said), "{order}: {:#?}", answer.customer_fixes);
    }
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
