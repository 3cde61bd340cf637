//! Overlays: a shop's own things and stricter rules on top of what is built in.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "house/load.rs"]
mod load;

use serde_json::{Value, json};
use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::checker::check;
use washfast::source::SourceFile;

fn built_in() -> &'static Knowledge {
    static BUILT_IN: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("built-in knowledge"));
    &BUILT_IN
}

fn yard() -> &'static Knowledge {
    static YARD: LazyLock<Knowledge> = LazyLock::new(load::yard);
    &YARD
}

fn house(name: &str, path: &str, text: &str) -> Knowledge {
    built_in().with_house(name, vec![SourceFile::new(path, text)]).unwrap_or_else(|p| panic!("{:?}", p.list()))
}

fn answer(knowledge: &Knowledge, question: &str) -> Value {
    let reply = knowledge.ask(question).unwrap_or_else(|p| panic!("{question}: {p}"));
    serde_json::to_value(reply.answer().expect("an answer")).expect("JSON")
}

/// Every object below a value that has a layer.
fn layered(value: &Value) -> Vec<Value> {
    let mut found: Vec<Value> = match value {
        Value::Object(map) => map.values().flat_map(layered).collect(),
        Value::Array(list) => list.iter().flat_map(layered).collect(),
        _ => Vec::new(),
    };
    if value.get("layer").is_some() {
        found.push(value.clone());
    }
    found
}

#[test]
fn the_shop_passes_its_own_cases() {
    for case in yard().cases().iter().filter(|c| c.layer == "lantern-yard") {
        assert!(case.failures.is_empty(), "{case:?}");
    }
}

#[test]
fn an_ink_of_the_shop_is_known_to_the_shop_only() {
    let question = "can yard white go on white 100% cotton tee using our dryer?";
    assert!(built_in().ask(question).is_err());
    assert_eq!(answer(yard(), question)["verdict"], "yes");
}

#[test]
fn what_is_built_in_stays_as_it_is() {
    let question = "can plastisol with 8% nylon bonding catalyst go on smooth shell 100% nylon?";
    let before = answer(built_in(), question);
    let _ = yard();
    assert_eq!(answer(built_in(), question), before);
    assert_ne!(before["verdict"], "no");
    assert_eq!(answer(yard(), question)["verdict"], "no");
}

#[test]
fn every_fact_tells_its_layer_and_place() {
    let refused = answer(yard(), "can plastisol with 8% nylon bonding catalyst go on smooth shell 100% nylon?");
    let reason = &refused["reasons"][0];
    assert_eq!(reason["rule"], "yard-stirs-no-catalyst");
    assert_eq!(reason["layer"], "lantern-yard");
    assert_eq!(reason["place"], "lantern-yard/rules/yard.yaml:1");
    assert_eq!(reason["basis"], "house");
    let hot = answer(yard(), "can standard plastisol go on white 100% cotton tee at 169 °C?");
    let facts: Vec<Value> = [&refused, &hot].into_iter().flat_map(layered).collect();
    for fact in &facts {
        let place = fact["place"].as_str().expect("a place");
        let folder = if fact["layer"] == "built-in" { "knowledge/" } else { "lantern-yard/" };
        assert!(place.starts_with(folder), "{fact}");
        assert!(fact["basis"] != "house" || fact["layer"] == "lantern-yard", "{fact}");
    }
    for layer in ["built-in", "lantern-yard"] {
        assert!(facts.iter().any(|f| f["layer"] == layer), "{layer}");
    }
}

#[test]
fn a_replaced_value_counts_and_tells_where_it_is_from() {
    let hot = "can standard plastisol go on white 100% cotton tee at 169 °C?";
    assert_ne!(answer(built_in(), hot)["verdict"], "no");
    let refused = answer(yard(), hot);
    assert_eq!(refused["verdict"], "no");
    let limit = layered(&refused)
        .into_iter()
        .find(|f| f["values"].get("standard-plastisol.cure_max").is_some())
        .expect("the limit among the reasons");
    assert_eq!((&limit["layer"], &limit["basis"]), (&json!("lantern-yard"), &json!("house")));
    assert!(limit["place"].as_str().is_some_and(|p| p.starts_with("lantern-yard/inks/standard-plastisol.yaml:")));
}

#[test]
fn what_inherits_a_replaced_value_inherits_the_new_one() {
    let text = "id: standard-plastisol\nreplaces:\n  hazard: {value: \"little at room temperature; dryer fumes hold \
                plasticiser mist, and above about 190 °C hydrogen chloride and smoke; our hood is weak\", \
                reason: seen, basis: house, note: seen}\n";
    let shop = house("weak-hood", "inks/standard-plastisol.yaml", text);
    let said = answer(&shop, "can low-cure plastisol go on white 100% cotton tee?");
    assert!(said["cautions"].to_string().contains("our hood is weak"), "{}", said["cautions"]);
}

#[test]
fn the_knowledge_line_names_overlay_and_digest() {
    let plain = answer(built_in(), "plastisol on cotton");
    assert_eq!(plain["knowledge"]["overlays"], json!([]));
    let said = answer(yard(), "plastisol on cotton");
    assert_eq!(said["knowledge"]["overlays"][0]["name"], "lantern-yard");
    assert!(said["knowledge"]["overlays"][0]["digest"].as_str().is_some_and(|d| d.len() == 16));
    assert_ne!(said["knowledge"]["digest"], plain["knowledge"]["digest"]);
}

#[test]
fn the_digest_is_of_meaning() {
    let digest = |text: &str| {
        let shop = house("shop", "rules/r.yaml", text);
        (shop.model().overlays[0].digest.clone(), shop.model().digest.clone())
    };
    let rule = |id: &str, says: &str| {
        format!("- rule: {id}\n  says: {says}\n  refuse: \"no\"\n  when: fabric has wool\n  basis: house\n  note: n\n")
    };
    let (a, b) = (rule("a", "One."), rule("b", "Two."));
    let both = digest(&format!("{a}{b}"));
    assert_eq!(both, digest(&format!("# a remark\n{b}\n\n{a}")));
    assert_ne!(both.0, digest(&a).0);
    assert_ne!(both.1, digest(&a).1);
}

#[test]
fn the_order_of_files_decides_nothing() {
    let mut reversed = load::texts();
    reversed.reverse();
    let turned = built_in().with_house("lantern-yard", reversed).expect("the example shop");
    assert_eq!(turned.model().digest, yard().model().digest);
    assert_eq!(turned.model().overlays, yard().model().overlays);
}

#[test]
fn the_later_overlay_lies_on_the_earlier() {
    let change = |value: &str| {
        let text = format!(
            "id: standard-plastisol\nreplaces:\n  elongation: {{value: {value}, reason: r, basis: house, note: n}}\n"
        );
        vec![SourceFile::new("inks/standard-plastisol.yaml", &text)]
    };
    let shown = |k: &Knowledge| match k.ask("show standard plastisol").expect("a page") {
        washfast::knowledge::Reply::Page(lines) => lines.join("\n"),
        other => panic!("{other:?}"),
    };
    let one = built_in().with_house("a-house", change("90 %")).expect("one");
    let two = one.with_house("b-house", change("70 %")).expect("two");
    assert!(shown(&one).contains("elongation: 90 %"), "{}", shown(&one));
    assert!(shown(&two).contains("elongation: 70 %"), "{}", shown(&two));
    assert!(shown(&two).contains("replaces a-house/inks/standard-plastisol.yaml:3"), "{}", shown(&two));
    let names: Vec<&str> = two.model().overlays.iter().map(|o| o.name.as_str()).collect();
    assert_eq!(names, ["a-house", "b-house"]);
}

#[test]
fn what_an_earlier_house_tightened_a_later_one_cannot_loosen() {
    let limit = |value: &str| {
        let text = format!(
            "id: standard-plastisol\nreplaces:\n  cure_max: {{value: {value}, reason: r, basis: house, note: n}}\n"
        );
        vec![SourceFile::new("inks/standard-plastisol.yaml", &text)]
    };
    let strict = built_in().with_house("strict", limit("165 °C")).expect("tightened");
    let problems = strict.with_house("lax", limit("168 °C")).expect_err("loosened");
    assert_eq!(problems.list()[0].code, "knowledge::loosens-safety");
    assert!(strict.with_house("stricter", limit("163 °C")).is_ok());
}

#[test]
fn texts_say_whose_word_it_is() {
    let shop = yard();
    let reply = shop.ask("can shelf plastisol go on white 100% viscose at 160 °C?").expect("an answer");
    let said = washfast::render::text(reply.answer().expect("an answer"));
    assert!(said.contains("[house, lantern-yard]"), "{said}");
    // A value of the shop in a reason that is built in.
    let reply = shop.ask("can plastisol go on white 100% cotton jersey at 169 °C?").expect("an answer");
    let answer = reply.answer().expect("an answer");
    let text = washfast::render::text(answer);
    assert_eq!(answer.verdict, "no", "{text}");
    assert!(text.contains("From the shop's own knowledge:") && text.contains("168 °C (lantern-yard)"), "{text}");
    let built_in = built_in().ask("can plastisol go on white 100% cotton jersey at 169 °C?").expect("an answer");
    assert!(!washfast::render::text(built_in.answer().expect("an answer")).contains("From the shop"));
    match shop.ask("show yard white").expect("a page") {
        washfast::knowledge::Reply::Page(lines) => {
            let page = lines.join("\n");
            assert!(page.contains("known from: house, lantern-yard: data sheet of the drum"), "{page}");
            assert!(page.contains("cure target: 152 °C  [house, lantern-yard]"), "{page}");
            assert!(page.contains("elongation: 120 %  [house, lantern-yard: three cured strips"), "{page}");
        }
        other => panic!("{other:?}"),
    }
}

/// What a house changed is told wherever it is about a thing of the job, even where no reason reads it.
#[test]
fn a_value_that_no_reason_reads_is_told_too() {
    let told = |shop: &Knowledge, question: &str| {
        let reply = shop.ask(question).unwrap_or_else(|p| panic!("{question}: {p}"));
        let answer = reply.answer().expect("an answer").clone();
        let text = washfast::render::text(&answer);
        let own = answer.house.iter().map(|r| r.text.clone()).collect::<Vec<_>>().join("; ");
        assert_eq!(text.contains("From the shop's own knowledge:"), !own.is_empty(), "{text}");
        own
    };
    let text = "id: red\nreplaces:\n  undyed: {value: yes, reason: ours, basis: house, note: ours}\n";
    let shop = house("pale", "colours/red.yaml", text);
    let own = told(&shop, "plastisol on red 100% polyester jersey");
    assert!(own.contains("red: undyed yes"), "{own}");
    assert_eq!(told(&shop, "plastisol on blue 100% polyester jersey"), "");
    // A rule that only derives.
    let text = "- rule: our-ink-bonds\n  says: Ours bonds.\n  for: each layer\n  derive: layer.bonded\n  when: layer.ink is \
                standard-plastisol\n  basis: house\n  note: tried\n";
    let shop = house("bonding", "rules/ours.yaml", text);
    let own = told(&shop, "can standard plastisol go on smooth shell 100% nylon?");
    assert!(own.contains("Ours bonds."), "{own}");
    // What is the shop's own is told once, not value by value.
    let own = told(yard(), "can yard white go on white 100% cotton tee using our dryer?");
    assert_eq!(own.matches("is the shop's own").count(), 2, "{own}");
}

#[test]
fn two_layers_do_not_share_a_name() {
    let again = yard().with_house("lantern-yard", load::texts()).expect_err("the same name again");
    assert_eq!(again.list()[0].code, "knowledge::layer-name");
    for name in ["built-in", "knowledge", "", "a/b"] {
        assert!(built_in().with_house(name, Vec::new()).is_err(), "{name:?}");
    }
}

#[test]
fn verdicts_with_an_overlay_are_proved_too() {
    for question in [
        "can yard white go on white 100% cotton tee using our dryer?",
        "can plastisol with 8% nylon bonding catalyst go on smooth shell 100% nylon?",
        "can shelf plastisol go on white 100% viscose at 160 °C?",
    ] {
        let shop = yard();
        let stated = shop.statements(question).expect("understood");
        check(shop.model(), &shop.prove(&stated)).unwrap_or_else(|f| panic!("{question}: {} {}", f.code, f.at));
    }
}

/// Whatever rule a house adds, no job that safety or law refuses gets a yes: here, grounds for everything.
#[test]
fn grounds_of_a_house_do_not_outweigh_a_refusal() {
    let text: String = ["hold", "heat", "layers", "cover"]
        .iter()
        .map(|aspect| {
            let each = if *aspect == "layers" { "each pair of layers" } else { "each layer" };
            format!(
                "- rule: our-{aspect}\n  says: We say so.\n  for: [{each}]\n  support: {aspect}\n  because: we say so\n  \
                 basis: house\n  note: n\n"
            )
        })
        .collect();
    let shop = house("bold", "rules/bold.yaml", &text);
    let question = "can solvent nylon ink go on smooth shell 100% nylon using conveyor dryer?";
    assert_eq!(answer(built_in(), question)["verdict"], "no");
    assert_eq!(answer(&shop, question)["verdict"], "no");
}

/// A name of a shop must not swallow words that ask for caution.
#[test]
fn no_name_hides_what_was_said() {
    let hidden = [
        ("colours/white.yaml", "id: white\nalso: [flame retardant white]\n"),
        ("fibres/cotton.yaml", "id: cotton\nalso: [flame retardant cotton]\n"),
        ("articles/bib.yaml", "id: bib\nalso: [bib in the EU]\n"),
        ("inks/standard-plastisol.yaml", "id: standard-plastisol\nalso: [babies]\n"),
        ("finishes/flame-retardant.yaml", "id: flame-retardant\nalso: [not flame retardant]\n"),
        ("colours/white.yaml", "id: white\nalso: [flame retardant finish]\n"),
        ("articles/tee.yaml", "id: tee\nalso: [babys bib]\n"),
        ("articles/tee.yaml", "id: tee\nalso: [dyed tee]\n"),
        ("fibres/cotton.yaml", "id: cotton\nalso: [dyed polyester]\n"),
        ("fibres/cotton.yaml", "id: cotton\nalso: [polycotton]\n"),
        ("fibres/cotton.yaml", "id: cotton\nalso: [other fibres]\n"),
        ("additives/stretch-additive.yaml", "id: stretch-additive\nalso: [activator]\n"),
        ("articles/tee.yaml", "id: tee\nalso: [our flame retardant]\n"),
        ("articles/tee.yaml", "id: tee\nalso: [for babies]\n"),
    ];
    for (path, text) in hidden {
        let problems = built_in().with_house("rogue", vec![SourceFile::new(path, text)]).map(|_| ()).expect_err(path);
        assert!(problems.list().iter().any(|p| p.code == "knowledge::name-hides-words"), "{path}: {problems:?}");
    }
    let own = "id: white\nalso: [rogue white]\n";
    built_in()
        .with_house("rogue", vec![SourceFile::new("colours/white.yaml", own)])
        .map(|_| ())
        .expect("a word of its own");
}

/// A hazard is added to, never put into other words or talked down.
#[test]
fn a_hazard_is_only_added_to() {
    let hazard = |before: &str, after: &str| {
        let old = "flammable vapour, no ignition source near; extraction, solvent gloves, rags into a lidded metal bin";
        let text = format!(
            "id: solvent-screen-wash\nreplaces:\n  hazard: {{value: \"{before}{old}{after}\", reason: ours, basis: house, note: ours}}\n"
        );
        built_in().with_house("rogue", vec![SourceFile::new("cleaners/solvent-screen-wash.yaml", &text)])
    };
    assert!(hazard("it is a myth that there is: ", "").is_err());
    let added = hazard("", "; goggles too");
    assert!(added.is_ok(), "{:?}", added.map(|_| ()));
}

/// What a rule prevents is known, so that a complaint finds the rule.
#[test]
fn a_rule_prevents_a_failure_that_is_known() {
    let rule = |prevents: &str| {
        let text = format!(
            "- rule: our-slow-belt\n  says: ours\n  aspect: heat\n  prevents: {prevents}\n  for: [each layer]\n  when: layer.ink.film\n  require: \"slow the belt\"\n  basis: common practice\n"
        );
        built_in().with_house("ours", vec![SourceFile::new("rules/ours.yaml", &text)])
    };
    for known in ["cracking", "unlawful-sale"] {
        assert!(rule(known).is_ok(), "{:?}", rule(known).err());
    }
    let problems = rule("crackling").expect_err("no failure");
    let problem = &problems.list()[0];
    assert_eq!((problem.code, problem.message.as_str()), ("knowledge::unknown-name", "unknown failure `crackling`"));
    assert_eq!(problem.help.as_deref(), Some("did you mean `cracking` or `crocking`?"));
}
