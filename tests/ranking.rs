//! Several jobs side by side: the order they come in, and why each stands where it does.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::answer::{Ranked, Ranking};
use washfast::knowledge::Reply;
use washfast::model::Basis;

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

fn ranking(question: &str) -> Ranking {
    match KNOWLEDGE.ask(question) {
        Ok(Reply::Ranking(ranking)) => ranking,
        other => panic!("{question}: {other:?}"),
    }
}

const FEWEST: &str = "fewest conditions but for a base that the sheet lays";

/// The verdict that it is ordered by, and how many conditions count: a base that the sheet lays is none.
fn standing(row: &Ranked) -> (&'static str, usize) {
    let lays = |code: &str| KNOWLEDGE.model().rules.iter().any(|r| r.id == code && !r.lays.is_empty());
    let counted = row.conditions.iter().filter(|c| !lays(&c.code)).count();
    assert_eq!(row.only_a_base, row.verdict == "yes-if" && counted == 0, "{row:?}");
    match row.verdict {
        "yes-if" if counted > 0 => ("yes-if", counted),
        "yes" | "yes-if" => ("yes", 0),
        verdict => (verdict, 0),
    }
}

/// What a printer would take first stands first, though it wants a base, and before an effect that wants none.
#[test]
fn a_base_is_no_hurdle() {
    let rows = ranking("which inks go on black cotton tee").rows;
    let first = rows.first().expect("inks");
    assert_eq!((first.name.as_str(), first.verdict, first.only_a_base), ("standard plastisol", "yes-if", true));
    assert!(rows.iter().any(|r| r.name == "pearl ink" && r.verdict == "yes"));
}

/// By what it says it is ordered by.
#[rstest]
#[case("which inks go on black 100% cotton tee")]
#[case("which inks go on white cotton tee using heat press")]
#[case("which inks go on red polyester hoodie where hand is soft")]
#[case("which fabrics take water-based")]
#[case("which fabrics take plastisol at 160 °C")]
fn in_the_order_that_is_told(#[case] question: &str) {
    let model = KNOWLEDGE.model();
    let usual: Vec<&str> = ["layer.ink", "fabric"]
        .into_iter()
        .flat_map(|name| {
            let own = model.attributes.iter().find(|a| a.name == name).expect(name);
            let kind = own.ty.members().expect(name);
            own.usual.iter().map(move |u| model.member(kind, *u as usize).expect("usual").name.as_str())
        })
        .collect();
    let place = |v: &str| ["yes", "yes-if", "depends", "no"].iter().position(|x| *x == v);
    let ranking = ranking(question);
    assert_eq!(ranking.ordered_by, ["verdict", FEWEST, "how usual it is", "evidence"]);
    let keys = ranking.rows.iter().map(|r| {
        let (verdict, conditions) = standing(r);
        let usual = usual.iter().position(|u| *u == r.name).unwrap_or(usual.len());
        (place(verdict), r.code == "not-known", conditions, usual, Basis::of(r.evidence))
    });
    let keys: Vec<_> = keys.collect();
    assert!(keys.len() > 3 && keys.is_sorted(), "{question}: {keys:#?}");
}

#[test]
fn each_says_why_it_stands_there() {
    let rows = ranking("which inks go on white cotton tee").rows;
    let why = |name: &str| rows.iter().find(|r| r.name == name).expect(name).why.clone();
    assert_eq!(why("standard plastisol"), "as described, stretches about 80 %, medium hand");
    assert!(why("water-based pigment ink").ends_with("soft hand"), "{}", why("water-based pigment ink"));
    for row in rows.iter().filter(|r| r.verdict.starts_with("yes")) {
        let starts = match (row.verdict, row.conditions.len()) {
            ("yes", _) => "as described".to_owned(),
            (_, 1) => "one condition".to_owned(),
            (_, n) => format!("{n} conditions"),
        };
        assert!(row.why.starts_with(&starts), "{}: {}", row.name, row.why);
    }
    let both = ranking("compare plastisol and water-based on white cotton tee");
    assert!(both.rows.iter().all(|r| r.why.contains("hand")), "{both:?}");
    let text = washfast::render::ranking_at(&both, 96);
    assert!(text.contains("In the order of:\n  - verdict, then fewest conditions"), "{text}");
}

/// A wish ranks: it leaves nobody out, changes no verdict, and is told of each.
#[rstest]
#[case("which inks go on white cotton tee", "with soft hand", "hand", "water-based pigment ink", "standard plastisol")]
#[case(
    "which inks go on white cotton tee",
    "that stretches well",
    "stretch",
    "stretch plastisol",
    "standard plastisol"
)]
#[case("which inks go on black cotton tee", "with good cover", "cover on dark cloth", "standard plastisol", "glow ink")]
#[case("which inks go on white cotton tee", "with low heat", "lowest cure", "low-cure plastisol", "standard plastisol")]
#[case(
    "which inks go on white cotton tee",
    "that last long",
    "life in the wash",
    "standard plastisol",
    "pvc-free plastisol"
)]
fn a_wish_ranks(
    #[case] question: &str,
    #[case] wish: &str,
    #[case] about: &str,
    #[case] better: &str,
    #[case] worse: &str,
) {
    let (plain, wished) = (ranking(question), ranking(&format!("{question} {wish}")));
    let sorted = |r: &Ranking| {
        let mut all: Vec<_> = r.rows.iter().map(|r| (r.name.clone(), r.verdict, r.conditions.len())).collect();
        all.sort();
        all
    };
    assert_eq!(sorted(&plain), sorted(&wished), "{wish}");
    let place = |name: &str| wished.rows.iter().position(|r| r.name.eq_ignore_ascii_case(name)).expect(name);
    let of = |name: &str| wished.rows.get(place(name)).and_then(|r| r.wished.first()).cloned().expect(name);
    assert_eq!((of(better).about.as_str(), of(better).as_asked), (about, Some(true)), "{wish}: {better}");
    assert_eq!(of(worse).as_asked, Some(false), "{wish}: {worse}");
    // Among those of the same verdict and as many conditions what fits stands first.
    let keys: Vec<_> = wished
        .rows
        .iter()
        .filter(|r| r.verdict.starts_with("yes"))
        .map(|r| (standing(r), r.wished.first().map(|w| w.fit)))
        .collect();
    assert!(keys.is_sorted(), "{wish}: {keys:#?}");
    let order: Vec<&str> = wished.ordered_by.iter().map(String::as_str).collect();
    assert!(matches!(order.as_slice(), ["verdict", FEWEST, fit, ..] if fit.starts_with("fit to what was asked (")));
    assert!(plain.rows.iter().all(|r| r.wished.is_empty()));
}

#[test]
fn each_says_whether_it_is_as_asked() {
    let wished = ranking("which inks go on white cotton tee with soft hand preferred");
    let why = |name: &str| wished.rows.iter().find(|r| r.name == name).expect(name).why.clone();
    assert_eq!(why("standard plastisol"), "as described; hand: medium, not as asked; stretches about 80 %");
    assert!(why("water-based pigment ink").starts_with("as described; hand: soft, as asked; "));
    let first = wished.rows.first().expect("a row");
    assert_eq!(first.wished.first().and_then(|w| w.as_asked), Some(true), "{first:?}");
    let text = washfast::render::ranking_at(&wished, 200);
    assert!(text.contains("then fit to what was asked (soft hand)"), "{text}");
}

#[test]
fn several_wishes_count_together() {
    let wished = ranking("which inks go on white cotton tee with soft hand and good cover");
    let first = wished.rows.first().expect("a row");
    assert_eq!(first.name, "performance water-based ink", "{first:?}");
    assert_eq!(first.wished.iter().map(|w| w.as_asked).collect::<Vec<_>>(), [Some(true), Some(true)]);
    let missed = |r: &washfast::answer::Ranked| r.wished.iter().filter(|w| w.as_asked != Some(true)).count();
    let yes: Vec<usize> = wished.rows.iter().filter(|r| r.verdict == "yes").map(missed).collect();
    assert!(yes.is_sorted() && yes.first() < yes.last(), "{yes:?}");
}

#[test]
fn cloths_and_inks_side_by_side_are_ranked_by_a_wish_as_well() {
    let both = ranking("compare plastisol and water-based on white cotton tee, soft hand preferred");
    assert_eq!(both.rows.iter().map(|r| r.name.as_str()).collect::<Vec<_>>(), ["water-based", "plastisol"]);
    let plain = ranking("compare plastisol and water-based on white cotton tee");
    assert_eq!(plain.rows.iter().map(|r| r.name.as_str()).collect::<Vec<_>>(), ["plastisol", "water-based"]);
    let cloths = ranking("which fabrics take plastisol, heat resistant");
    assert!(cloths.rows.iter().all(|r| r.wished.iter().any(|w| w.about == "bears")), "{cloths:?}");
}

#[test]
fn where_still_chooses() {
    let chosen = ranking("which inks go on white cotton tee, lasts long, where hand is soft");
    assert!(chosen.chosen.is_some_and(|c| c.left_out > 0));
    assert!(chosen.rows.iter().all(|r| r.name != "standard plastisol"));
    assert!(chosen.rows.iter().all(|r| r.wished.iter().any(|w| w.about == "life in the wash")));
}

/// In a plain question the answer says how the ink stands to the wish, and what fits better; no verdict hangs on it.
#[rstest]
#[case("plastisol on white cotton tee", "plastisol with soft hand on white cotton tee")]
#[case("plastisol on white cotton tee", "plastisol with a soft hand preferred on white cotton tee")]
#[case("plastisol on white cotton tee", "plastisol on white cotton tee, soft hand please")]
#[case("plastisol on white cotton tee", "can plastisol with soft hand go on white cotton tee?")]
#[case("plastisol on polypropylene fleece", "plastisol with soft hand on polypropylene fleece")]
#[case("plastisol on black nylon jacket", "plastisol on black nylon jacket, soft hand if possible")]
#[case(
    "plastisol with 5% low-cure additive on white cotton tee",
    "plastisol with soft hand and 5% low-cure additive on white cotton tee"
)]
#[case(
    "plastisol with 5% low-cure additive on white cotton tee",
    "plastisol with 5% low-cure additive and soft hand on white cotton tee"
)]
fn a_wish_changes_no_verdict(#[case] plain: &str, #[case] wished: &str) {
    let answer = |q: &str| match KNOWLEDGE.ask(q) {
        Ok(Reply::Answer(a)) => *a,
        other => panic!("{q}: {other:?}"),
    };
    let (plain, wished) = (answer(plain), answer(wished));
    assert_eq!((plain.verdict, plain.code, &plain.summary), (wished.verdict, wished.code, &wished.summary));
    assert_eq!(plain.conditions, wished.conditions);
    assert!(plain.wished.is_empty() && plain.fits_better.is_empty());
    assert_eq!(wished.wished.iter().map(|w| w.words()).collect::<Vec<_>>(), ["hand: medium, not as asked"]);
    for better in &wished.fits_better {
        assert!(better.verdict.starts_with("yes"), "{better:?}");
        assert!(better.wished.iter().all(|w| w.as_asked == Some(true)), "{better:?}");
    }
}

#[test]
fn what_fits_better_is_named() {
    let Ok(Reply::Answer(answer)) = KNOWLEDGE.ask("plastisol with soft hand on white cotton tee") else { panic!() };
    let better: Vec<&str> = answer.fits_better.iter().map(|b| b.name.as_str()).collect();
    assert!(better.contains(&"soft-hand plastisol") && better.contains(&"water-based pigment ink"), "{better:?}");
    let text = washfast::render::text_at(&answer, 100);
    assert!(text.contains("fits better: soft-hand plastisol (yes; hand: soft, as asked)"), "{text}");
    // What is as asked needs nothing better.
    let Ok(Reply::Answer(answer)) = KNOWLEDGE.ask("water-based with soft hand on white cotton tee") else { panic!() };
    assert!(answer.fits_better.is_empty());
    assert_eq!(answer.wished.iter().map(|w| w.words()).collect::<Vec<_>>(), ["hand: soft, as asked"]);
}

/// A number of washes is a wish, and said of the job as well.
#[test]
fn washes_that_it_must_last_are_said_of_the_job() {
    let Ok(Reply::Answer(answer)) = KNOWLEDGE.ask("foil on black cotton tee that lasts 50 washes") else { panic!() };
    assert!(answer.summary.contains("for 50 washes"), "{}", answer.summary);
    assert!(answer.conditions.iter().any(|c| c.code == "foil-wears-first"), "{:?}", answer.conditions);
    assert_eq!(answer.wished.iter().map(|w| w.words()).collect::<Vec<_>>(), ["life in the wash: short, not as asked"]);
}

/// Words of a wish that are a name, or a part of one, stay it.
#[rstest]
#[case("soft-hand plastisol on white cotton tee", "soft-hand plastisol")]
#[case("soft hand ink on white cotton tee", "soft-hand plastisol")]
#[case("plastisol with 10% soft hand base on white cotton tee", "standard plastisol")]
fn a_name_is_no_wish(#[case] question: &str, #[case] ink: &str) {
    let Ok(Reply::Answer(answer)) = KNOWLEDGE.ask(question) else { panic!("{question}") };
    assert!(answer.wished.is_empty(), "{question}");
    assert!(answer.summary.contains(ink), "{}", answer.summary);
}

/// What the shop has is no wish; it is weighed as a machine of the shop.
#[test]
fn what_is_at_hand_is_heard_as_machines() {
    let told = |q: &str| ranking(q).rows.into_iter().map(|r| (r.name, r.verdict)).collect::<Vec<_>>();
    assert_eq!(
        told("best ink for white cotton tee with what I have: flash and conveyor dryer"),
        told("best ink for white cotton tee using flash, conveyor dryer")
    );
}

/// What an open job may ask for is never without its hazard.
#[test]
fn open_jobs_tell_what_can_hurt() {
    let rows = ranking("best ink for nylon jacket").rows;
    let row = rows.iter().find(|r| r.name == "silicone ink").expect("silicone ink");
    assert_eq!(row.verdict, "depends");
    assert!(row.cautions.iter().any(|c| c.text.starts_with("silicone catalyst: ")), "{:?}", row.cautions);
}

/// A word that can mean several things is answered for each of them, however many such words there are.
#[rstest]
#[case(
    "white transfer on black cotton tee",
    &[("plastisol transfer", ""), ("low-heat transfer", ""), ("powder-film transfer", ""), ("cut-film transfer", "")]
)]
// Either way round the polyester of a workwear blend gives its dye to the white: the word for it decides nothing there.
#[case(
    "white plastisol on black 65/35 apron",
    &[("65% polyester 35% cotton", "no"), ("65% cotton 35% polyester", "no")]
)]
// Polyethylene melts long before the film is cured.
#[case("plastisol on white PE tee", &[("polyethylene", "no"), ("polyester", "yes")])]
// A meaning against what is said besides is not meant: no black cloth is a heather grey.
#[case("white plastisol on black vintage cotton tee", &[("garment-washed", ""), ("pigment-dyed", ""), ("vintage look", "")])]
// Which of two inks lies below decides; with `or` between them each is told alone.
#[case("black cotton tee, puff, glitter", &[("glitter over puff", "no"), ("puff over glitter", "no")])]
#[case("puff or glitter on black cotton tee", &[("puff", ""), ("glitter", "")])]
#[case("plastisol on cotton tee, iron", &[("ironed", ""), ("using household iron", "no")])]
#[case(
    "crystal on black 65/35 apron",
    &[
        ("clear gel, 65% polyester 35% cotton", ""), ("clear gel, 65% cotton 35% polyester", ""),
        ("glitter ink, 65% polyester 35% cotton", ""), ("glitter ink, 65% cotton 35% polyester", ""),
    ]
)]
fn each_meaning_is_told(#[case] question: &str, #[case] expected: &[(&str, &str)]) {
    let ranking = ranking(question);
    assert_eq!(ranking.rows.len(), expected.len(), "{ranking:#?}");
    for (name, verdict) in expected {
        let row = ranking.rows.iter().find(|r| r.name == *name).unwrap_or_else(|| panic!("{name}: {ranking:#?}"));
        assert!(verdict.is_empty() || row.verdict == *verdict, "{row:#?}");
    }
    let told = |note: &String| note.contains("can mean several things: told is what each would be");
    assert!(question.contains(" or ") || ranking.taken_as.iter().any(told), "{:?}", ranking.taken_as);
}

/// Where only one meaning is left, it is answered as that, and told: what is called a base lies below, and of two things
/// only an ink is one.
#[rstest]
#[case(
    "black cotton tee, glitter, white standard plastisol underbase",
    "glitter over white standard plastisol on black cotton tee"
)]
#[case("discharge base, plastisol top, black cotton tee", "plastisol over discharge base on black cotton tee")]
#[case("curtains 100% polyester, 1 col print pigment", "pigment ink on 100% polyester curtains")]
fn the_only_meaning_is_answered(#[case] question: &str, #[case] plain: &str) {
    let answer = |text: &str| KNOWLEDGE.ask(text).expect("understood").answer().expect("an answer").clone();
    let (taken, own) = (answer(question), answer(plain));
    assert_eq!((taken.verdict, &taken.subject, &taken.conditions), (own.verdict, &own.subject, &own.conditions));
    assert!(taken.taken_as.iter().any(|note| note.contains(" was taken as `")), "{:?}", taken.taken_as);
}

/// Each row is what the question gets that says it in the other word.
#[test]
fn each_meaning_is_what_its_own_question_gets() {
    for row in ranking("white transfer on black cotton tee").rows {
        let own = KNOWLEDGE.ask(&format!("white {} on black cotton tee", row.name)).expect("understood");
        let own = own.answer().expect("an answer");
        assert_eq!((row.verdict, row.conditions.len()), (own.verdict, own.conditions.len()), "{}", row.name);
    }
}
