//! How answers read: safety first, numbers that a person would write, nothing twice.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use serde_json::{Value, json};
use std::sync::OnceLock;
use washfast::Knowledge;
use washfast::answer::{Answer, Said};
use washfast::render;

fn knowledge() -> &'static Knowledge {
    static KNOWLEDGE: OnceLock<Knowledge> = OnceLock::new();
    KNOWLEDGE.get_or_init(|| Knowledge::built_in().expect("the built-in knowledge"))
}

fn ask(question: &str) -> Answer {
    let reply = knowledge().ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    reply.answer().expect("an answer").clone()
}

/// The text on one line, so that line breaks do not matter.
fn text(question: &str) -> String {
    render::text(&ask(question)).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn reply(job: &Value) -> Value {
    serde_json::to_value(knowledge().decide_line(1, &job.to_string())).expect("JSON")
}

/// The names and hazards of materials that can hurt people, from the knowledge itself.
fn hazards(kind: &str) -> Vec<(String, String)> {
    let model = knowledge().model();
    let kind = model.kind(kind).expect("a kind");
    let property = model.property(kind, "hazard").expect("a hazard property");
    let members = model.entities.iter().filter(|e| e.kind == kind && e.ordinal.is_some());
    let hazard = |e: &washfast::model::Entity| match e.facts.get(&property).map(|f| &f.value) {
        Some(washfast::model::Value::Text(t)) => t.clone(),
        _ => panic!("{} has no hazard", e.id),
    };
    members.map(|e| (e.name.clone(), hazard(e))).collect()
}

/// Every material that an answer names as a change has its hazard among the cautions of that change, and in print.
fn check_changes(question: &str, answer: &Answer) {
    let (terminal, markdown) = (render::text(answer), render::markdown(answer));
    let one_line = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ").replace('\\', "");
    let (terminal, markdown) = (one_line(&terminal), one_line(&markdown));
    for fix in answer.fixes.iter().chain(&answer.alternatives).chain(&answer.safe_way) {
        for change in &fix.changes {
            let all = hazards("additive").into_iter().chain(hazards("ink"));
            let words = change.strip_suffix(" under it first").unwrap_or(change);
            let named = all.filter(|(name, _)| words.ends_with(&format!(" {name}")) && !words.starts_with("leave out"));
            // One name may end another.
            if let Some((name, hazard)) = named.max_by_key(|(name, _)| name.len()) {
                let told = |s: &Said| s.text.contains(&name) && s.text.contains(&hazard);
                assert!(fix.cautions.iter().any(told), "{question}: {change}: {:?}", fix.cautions);
                if terminal.contains(change) {
                    assert!(terminal.contains(&hazard), "{question}: {change}: {terminal}");
                }
                if markdown.contains(change) {
                    assert!(markdown.contains(&hazard), "{question}: {change}: {markdown}");
                }
            }
        }
    }
}

#[rstest]
#[case("black plastisol on white nylon smooth shell")]
#[case("plastisol on white cotton at 130 °C")]
#[case("plastisol on white cotton at 280 °F")]
#[case("water-based on black cotton tee")]
#[case("white plastisol on black leggings 88% nylon 12% elastane")]
#[case("white plastisol over red plastisol on navy 50/50 cotton polyester hoodie")]
#[case("plastisol on polypropylene fleece")]
#[case("plastisol with low-cure additive 1% on white cotton tee")]
#[case("plastisol on polyester")]
#[case("black water-based on black nylon smooth shell")]
#[case("discharge with nylon bonding catalyst on black cotton")]
fn every_suggested_material_brings_its_hazard(#[case] question: &str) {
    check_changes(question, &ask(question));
}

#[test]
fn a_suggested_catalyst_and_a_suggested_solvent_ink_bring_their_hazards() {
    let job = |ink: &str| {
        json!({"ink": ink, "ink_colour": "black",
            "fabric": {"composition": "100% nylon", "construction": "smooth shell", "colour": "white", "finishes": []}})
    };
    let read = |ink: &str| {
        let job = knowledge().read_job(&job(ink)).unwrap_or_else(|e| panic!("{e:?}"));
        knowledge().decide_job(&job)
    };
    let answer = read("plastisol");
    assert_eq!(answer.verdict, "no");
    let catalyst = answer.fixes.iter().find(|f| f.changes[0].contains("nylon bonding catalyst")).expect("a catalyst");
    assert!(catalyst.cautions.iter().any(|c| c.code == "catalyst-hazard"), "{catalyst:?}");
    let solvent = answer.alternatives.iter().find(|f| f.changes[0].contains("solvent")).expect("a solvent ink");
    assert!(solvent.cautions.iter().any(|c| c.code == "solvent-vapour-hazard"), "{solvent:?}");
    for shown in [render::text(&answer), render::markdown(&answer)] {
        assert!(shown.contains("sensitiser") && shown.contains("flammable vapour"), "{shown}");
    }
    check_changes("smooth nylon", &answer);
}

#[test]
fn an_activator_that_is_asked_for_brings_its_hazard() {
    let answer = ask("discharge on black cotton tee");
    assert!(answer.conditions.iter().any(|c| c.code == "discharge-needs-activator"));
    let of_activator = |c: &Said| c.about.as_deref() == Some("health") && c.text.starts_with("discharge activator:");
    assert!(answer.cautions.iter().any(of_activator), "{:?}", answer.cautions);
}

#[rstest]
#[case("black silicone ink on white polyester tee", "silicone catalyst")]
#[case("black nylon plastisol on white cotton tee", "nylon bonding catalyst")]
#[case("black air-curing water-based on white cotton tee", "water-based cross-linker")]
fn a_catalyst_that_is_asked_for_brings_its_own_hazard_and_no_other(#[case] question: &str, #[case] catalyst: &str) {
    let answer = ask(question);
    assert!(answer.conditions.iter().any(|c| c.text.contains(&format!("stir in the {catalyst}"))), "{answer:?}");
    for (name, hazard) in hazards("additive") {
        let told = answer.cautions.iter().any(|c| c.text.contains(&format!("{name}: {hazard}")));
        assert_eq!(told, name == catalyst, "{question}: {name}: {:?}", answer.cautions);
    }
}

#[test]
fn each_material_has_a_hazard_that_is_told_of_it_alone() {
    // What a text tells to take is warned of by itself, whatever it goes into.
    let program = knowledge().program();
    for kind in ["additive", "ink"] {
        for (name, hazard) in hazards(kind) {
            let notes = washfast::answer::hazards_of(program, &name);
            let told = |s: &Said| s.text.contains(&name) && s.text.contains(&hazard);
            assert!(notes.iter().any(told), "{name}: {notes:?}");
        }
    }
}

#[test]
fn a_text_that_names_an_additive_takes_it() {
    // `takes:` is what brings the hazard: a text that tells to stir something in must have it.
    let model = knowledge().model();
    for rule in &model.rules {
        let words = match &rule.effect {
            washfast::model::Effect::Require(t) | washfast::model::Effect::Refuse(t) => format!("{t:?}"),
            _ => continue,
        };
        if words.contains("stir in") {
            assert!(!rule.takes.is_empty(), "{} tells to stir something in", rule.id);
        }
    }
}

#[rstest]
#[case("verdict")]
#[case("short")]
#[case("full")]
fn health_is_told_at_every_level_of_detail(#[case] detail: &str) {
    let health = |answer: &Value, code: &str| {
        let cautions = answer["cautions"].as_array().expect("a list");
        cautions.iter().any(|c| c["code"] == code && c["about"] == "health")
    };
    let answer = reply(&json!({"detail": detail, "ink": "plastisol", "ink_colour": "black",
        "additives": [{"additive": "nylon bonding catalyst", "dose": "6 %"}],
        "fabric": {"composition": "nylon", "construction": "jersey", "colour": "white"}}));
    assert!(health(&answer, "catalyst-hazard"), "{answer}");
    // Of several prints, the hazards of each.
    let answer = reply(&json!({"detail": detail, "fabric": {"composition": "cotton", "colour": "black"},
        "prints": [{"layers": [{"ink": "discharge"}]}, {"layers": [{"ink": "water-based", "colour": "white"}]}]}));
    let all = |code: &str| {
        let prints = answer["prints"].as_array().cloned().unwrap_or_default();
        health(&answer, code) || prints.iter().any(|p| health(p, code))
    };
    assert!(all("discharge-fumes") && all("preservative-may-sensitise"), "{answer}");
}

#[test]
fn a_no_tells_hazards_and_no_cleaning_up() {
    let answer = ask("plastisol with 6% nylon bonding catalyst on black polyester");
    assert_eq!(answer.verdict, "no");
    let codes: Vec<&str> = answer.cautions.iter().map(|c| c.code.as_str()).collect();
    assert!(codes.contains(&"catalyst-hazard"), "{codes:?}");
    assert!(!codes.contains(&"cleaner-hazard") && !codes.contains(&"cool-before-stacking"), "{codes:?}");
    assert!(ask("black plastisol on white cotton").cautions.iter().any(|c| c.code == "cleaner-hazard"));
}

#[test]
fn a_given_temperature_that_fails_is_answered_with_one_that_works() {
    let answer = ask("can plastisol go on white cotton at 120 °C");
    assert_eq!(answer.verdict, "no");
    assert_eq!(answer.fixes[0].changes, ["cure at 150 to 170 °C"]);
    assert_eq!(answer.fixes[0].verdict, "yes");
    // Two settings that fail only together.
    let text = text("can plastisol go on white cotton at 120 °C for 10 s");
    assert!(text.contains("cure at 150 to 170 °C, and give it at least"), "{text}");
}

#[test]
fn machines_that_do_not_suffice_are_answered_with_machines_that_do() {
    let answer = ask("can plastisol go on white cotton using hair dryer");
    assert_eq!(answer.verdict, "no");
    assert_eq!(answer.fixes[0].verdict, "yes");
    assert!(answer.fixes[0].changes[0].contains("conveyor dryer"), "{:?}", answer.fixes);
    assert!(answer.fixes.iter().any(|f| f.verdict == "yes-if" && f.changes[0].contains("heat press")));
    // What is offered has been decided, and nothing is offered in vain.
    assert!(ask("can plastisol go on polypropylene at 150 °C using hair dryer").fixes.is_empty());
}

#[test]
fn alternatives_run_from_the_usual_and_plain_to_the_many_conditions() {
    for question in
        ["plastisol on white cotton at 280 °F", "solvent ink on cotton tee", "water-based on white polyester"]
    {
        let answer = ask(question);
        let model = knowledge().model();
        let ink = model.attributes.iter().find(|a| a.name == "layer.ink").expect("inks");
        let usual: Vec<&str> = ink
            .usual
            .iter()
            .map(|u| model.member(model.kind("ink").unwrap(), *u as usize).unwrap().name.as_str())
            .collect();
        let seldom = |f: &washfast::answer::Fix| !usual.iter().any(|u| f.changes[0] == format!("print with {u}"));
        let rank = |f: &washfast::answer::Fix| (seldom(f), f.verdict == "yes-if", f.conditions.len());
        // Two of the family that was asked for may come before.
        let ranks: Vec<(bool, bool, usize)> = answer.alternatives.iter().skip(2).map(rank).collect();
        assert!(!ranks.is_empty() && ranks.is_sorted(), "{question}: {ranks:?}");
    }
}

#[rstest]
#[case("white water-based on black cotton tee", &["discharge", "water-based"])]
#[case("white cut-film transfer on navy polyester football shirt", &["transfer"])]
#[case("plastisol on white cotton at 280 °F", &["plastisol"])]
fn two_of_the_family_that_was_asked_for_are_told_first(#[case] question: &str, #[case] family: &[&str]) {
    let answer = ask(question);
    let told: Vec<&String> = answer.alternatives.iter().map(|f| &f.changes[0]).collect();
    let akin = |change: &String| family.iter().any(|word| change.contains(word));
    assert!(told.iter().take(2).all(|c| akin(c)), "{told:?}");
}

#[rstest]
#[case("black water-based on grey canvas backpack using heat press")]
#[case("plastisol on nylon jacket")]
#[case("water-based on tee")]
fn each_case_of_an_open_answer_says_when(#[case] question: &str) {
    let answer = ask(question);
    assert!(answer.verdict == "depends" && !answer.rows.is_empty(), "{question}");
    for row in &answer.rows {
        assert!(!row.values.is_empty() && row.values.iter().all(|v| !v.is_empty()), "{question}: {row:?}");
    }
}

#[test]
fn conditions_come_in_the_order_of_work() {
    let answer = ask("discharge on royal 80% cotton 20% polyester using conveyor dryer for babies");
    let at = |code: &str| answer.conditions.iter().position(|c| c.code == code).unwrap_or_else(|| panic!("{code}"));
    assert!(at("discharge-lot-trial") < at("discharge-needs-activator"));
    assert!(at("discharge-needs-activator") < at("wash-before-baby-wears"));
}

#[rstest]
#[case("plastisol on white cotton at 280 °F", "280 °F (138 °C) was given")]
#[case("plastisol on white cotton at 280 °F", "cure at 302 to 338 °F (150 to 170 °C)")]
#[case("black water-based on white cotton for 120 s", "for 2 min")]
#[case("plastisol on white cotton at 60 °C", "but 60 °C was given")]
#[case("black solvent ink on white nylon smooth shell with water-repellent using air-dry rack", "it dries in air")]
#[case("yellow plastisol on #1030c0 cotton tee", "#1030c0 (heather royal, purple or royal) tee")]
#[case("white plastisol on #1030c0 polyester tee", "#1030c0 (heather royal, purple or royal) tee")]
#[case("plastisol on polyester", "(natural, white: yes; any other: depends)")]
#[case("white plastisol over red plastisol on navy cotton", "red standard plastisol under white standard plastisol on")]
#[case("plastisol with nylon bonding catalyst on black polyester", "standard plastisol with nylon bonding catalyst on")]
#[case("white plastisol on black padded polyester jacket", "100 % polyester padded.")]
#[case("white plastisol on black unpadded polyester body warmer", "100 % polyester not padded.")]
#[case("white low-bleed plastisol on navy polyester tee not tested", "100 % polyester not bleed tested.")]
fn numbers_and_layers_read_as_a_person_would_say_them(#[case] question: &str, #[case] words: &str) {
    let text = text(question);
    assert!(text.contains(words), "{text}");
}

#[rstest]
#[case("black solvent ink on white polypropylene bag", "solvent polyolefin ink", "made for polypropylene")]
#[case("black solvent-based ink on white PVC banner", "solvent vinyl ink", "made for PVC")]
#[case(
    "how to print black Lösemittelfarbe on white polypropylene bag",
    "solvent polyolefin ink",
    "made for polypropylene"
)]
fn a_word_for_any_of_a_class_is_taken_for_the_one_that_is_made_for_the_cloth(
    #[case] question: &str,
    #[case] ink: &str,
    #[case] granted: &str,
) {
    let text = text(question);
    let first = text.split(". This").next().expect("a first line");
    assert!(first.contains(ink) && text.contains(granted), "{text}");
}

#[test]
fn a_word_for_any_of_a_class_is_the_usual_one_on_other_cloth_and_says_so_in_the_first_line() {
    let cloth = "white 100% nylon smooth shell without finish";
    assert_eq!(text(&format!("black solvent ink on {cloth}")), text(&format!("black nylon ink on {cloth}")));
    let answer = text("black solvent ink on white cotton tee with soft hand");
    assert!(answer.starts_with("No: black solvent-based nylon ink on"), "{answer}");
    assert!(answer.contains("hand: medium, not as asked"), "{answer}");
}

#[test]
fn a_word_for_any_of_a_class_means_the_same_in_a_job_as_data() {
    let fabric = json!({"composition": "100% polypropylene", "colour": "white", "article": "non-woven bag"});
    let verdict = |ink: &str| reply(&json!({"ink": ink, "ink_colour": "black", "fabric": fabric}))["verdict"].clone();
    assert_eq!(verdict("solvent ink"), "yes");
    assert_eq!(verdict("solvent-based nylon ink"), "no");
}

/// The film stays some degrees below what a dryer is set to: too cool a dryer cures nothing, too hot a one says nothing.
#[rstest]
#[case("120 C", "no", "but at most 115 °C")]
#[case("150 C", "no", "but at most 145 °C")]
#[case("154 C", "no", "but at most 149 °C")]
#[case("155 C", "yes-if", "film temperature: 150 °C")]
#[case("160 C", "yes-if", "film temperature: 150 to 155 °C")]
#[case("200 C", "yes", "film temperature: 150 to 170 °C")]
fn a_dryer_is_set_to_no_less_than_the_film_reaches(#[case] set: &str, #[case] verdict: &str, #[case] words: &str) {
    let question = format!("black plastisol on white 100% cotton tee, dryer set to {set}");
    assert!(ask(&question).verdict == verdict && text(&question).contains(words), "{}", text(&question));
}

/// A way out names the heat at which the time that was given is enough, and no heat that was just refused.
#[rstest]
#[case("black plastisol on white cotton tee at 150 °C for 45 s", "cure at 160 to 170 °C")]
#[case("water-based ink on natural cotton tote at 120 °C for 3 min", "cure at 150 to 185 °C")]
fn a_way_out_goes_with_what_else_was_given(#[case] question: &str, #[case] way: &str) {
    assert_eq!(ask(question).fixes[0].changes, [way], "{question}");
}

/// What a shop calls 300 °F is 150 °C; what is exact in both units stays exact.
#[rstest]
#[case("300 F", "yes-if")]
#[case("298 F", "no")]
#[case("302 F", "yes-if")]
#[case("149 °C", "no")]
fn a_degree_fahrenheit_decides_nothing(#[case] heat: &str, #[case] verdict: &str) {
    assert_eq!(ask(&format!("black plastisol on white cotton tee at {heat} for 90 s")).verdict, verdict, "{heat}");
}

/// Where some change leaves it open, that none does for certain is all that is said.
#[test]
fn what_may_help_is_not_nothing() {
    let answer = text("low-heat transfer on softshell jacket at 120 °C");
    assert!(answer.contains("nothing for certain"), "{answer}");
}

/// What safety asks for is told before what quality may.
#[test]
fn safety_comes_first_among_open_conditions() {
    let answer = ask("puff ink on kids pyjamas");
    let codes: Vec<&str> = answer.conditions.iter().map(|c| c.code.as_str()).collect();
    let fire = codes.iter().position(|c| c.contains("nightwear") || c.contains("sleepwear"));
    assert!(answer.verdict == "depends" && fire.is_some_and(|at| at < 2), "{codes:?}");
}

const ODD: [&str; 12] = [
    "plastisol on cotton and polyester",
    "plastisol on polyester",
    "water-based on cotton polyester hoodie",
    "plastisol on white cotton at 12 °C",
    "plastisol on white cotton at 280 °F",
    "plastisol on cotton elastane leggings",
    "can white plastisol go over red plastisol on navy 50/50 cotton polyester hoodie",
    "white plastisol over red plastisol over low-bleed plastisol on navy cotton hoodie",
    "water-based on white cotton using household oven",
    "water-based on workwear cotton for industrial laundry",
    "black plastisol on white nylon",
    "puff on cotton",
];

#[test]
fn no_number_that_nobody_would_write() {
    for question in ODD {
        let Ok(reply) = knowledge().ask(question) else { continue };
        let Some(answer) = reply.answer() else { continue };
        for shown in [render::text(answer), render::markdown(answer)] {
            for bad in
                ["0.001", "99.99", "000000", "137.7", "any value", "more than any", "is not so that", "no of this"]
            {
                assert!(!shown.contains(bad), "{question}: {bad}: {shown}");
            }
        }
    }
}

#[test]
fn nothing_is_told_twice() {
    for question in ODD {
        let Ok(reply) = knowledge().ask(question) else { continue };
        let Some(answer) = reply.answer() else { continue };
        let shown = render::markdown(answer);
        let mut lines: Vec<&str> = shown.lines().filter(|l| !l.is_empty()).collect();
        let many = lines.len();
        lines.sort_unstable();
        lines.dedup();
        assert_eq!(lines.len(), many, "{question}: {shown}");
    }
}

#[rstest]
#[case(60)]
#[case(80)]
#[case(96)]
#[case(120)]
fn lines_keep_to_the_width(#[case] width: usize) {
    for question in ODD {
        let Ok(reply) = knowledge().ask(question) else { continue };
        let Some(answer) = reply.answer() else { continue };
        for line in render::text_at(answer, width).lines() {
            assert!(line.chars().count() <= width, "{question}: {line}");
        }
    }
}

#[test]
fn a_white_cloth_is_not_told_as_dyed() {
    assert!(!text("black plastisol on white cotton tee").contains("reactive dye"));
}

#[test]
fn a_long_question_is_cut() {
    let long = ask(
        "black plastisol with 5% low-cure additive, 2% stretch additive, 1% retarder on white fleece hoodie 30% cotton 30% polyester 30% viscose 5% nylon 5% elastane with water-repellent, brushed, wicking at 160 °C for 60 s using flash, conveyor dryer, heat press, gas dryer, film probe, jet dryer, exposure unit, heat gun",
    );
    assert!(long.subject.chars().count() <= 210 && long.subject.ends_with('…'), "{}", long.subject);
}

/// Which changes are offered to a customer is for the vocabulary to say.
#[test]
fn a_change_can_be_kept_from_the_customer() {
    let question = "can black standard plastisol go on white nylon smooth shell?";
    let offers = |knowledge: &Knowledge| {
        let reply = knowledge.ask(question).expect(question);
        let fixes = reply.answer().expect("an answer").customer_fixes.clone();
        fixes.iter().flat_map(|f| &f.changes).any(|c| c.starts_with("take another cloth: "))
    };
    assert!(offers(knowledge()));
    let own = knowledge().model().files.iter().map(|file| {
        let text = file
            .text
            .replace("    json: fabric.construction\n", "    json: fabric.construction\n    never_offered: yes\n");
        washfast::source::SourceFile::new(&file.name, &text)
    });
    let kept = Knowledge::from_files(own.collect()).unwrap_or_else(|p| panic!("{p:?}"));
    assert!(!offers(&kept));
}
