//! The JSON contract: jobs in, answers out, errors with pointers.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use serde_json::{Value, json};
use std::sync::LazyLock;
use washfast::Knowledge;

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

fn knowledge() -> Knowledge {
    KNOWLEDGE.clone()
}

fn reply(job: &Value) -> Value {
    serde_json::to_value(knowledge().decide_line(7, &job.to_string())).expect("JSON")
}

#[test]
fn the_whole_contract_job_is_answered() {
    let job = json!({"schema":1,"id":"L-1042-3","ext":{"anything":"echoed back"},
        "ink":"plastisol","ink_colour":"#f4d000","under":["low-bleed plastisol"],
        "fabric":{"composition":"60% cotton, 40% polyester","article":"hoodie","colour":"#1b1b1f","construction":"jersey",
            "finishes":["water-repellent"],"dye":"disperse","weight":"280 g/m2","iron_dots":2},
        "additives":[{"additive":"low-cure additive","dose":"5 %"}],
        "shop":{"equipment":["flash","conveyor dryer"],"heated_length":"2.4 m"},
        "settings":{"cure_temperature":"160 °C","cure_time":"60 s","mesh":"43 /cm"},
        "use":{"age":"child","washes":50},
        "run":{"pieces":240,"print_size":"30 x 25 cm"},
        "detail":"full"});
    let answer = reply(&job);
    assert_eq!(answer["schema"], 1);
    assert_eq!(answer["id"], "L-1042-3");
    assert_eq!(answer["ext"], json!({"anything":"echoed back"}));
    for key in [
        "verdict",
        "code",
        "summary",
        "reasons",
        "conditions",
        "cautions",
        "advice",
        "recipe",
        "depends_on",
        "safe_way",
        "assumed",
        "fixes",
        "alternatives",
        "evidence",
        "job",
        "knowledge",
    ] {
        assert!(answer.get(key).is_some(), "{key} is missing: {answer}");
    }
    for key in ["version", "engine", "digest", "overlays"] {
        assert!(answer["knowledge"].get(key).is_some(), "{key}");
    }
    let reason = &answer["reasons"][0];
    for key in ["code", "text", "values", "because"] {
        assert!(reason.get(key).is_some(), "{key} in {reason}");
    }
}

#[test]
fn a_yes_carries_its_settings_in_ucum() {
    let answer =
        reply(&json!({"ink":"plastisol","ink_colour":"black","fabric":{"composition":"100% cotton","colour":"white"}}));
    assert_eq!(answer["verdict"], "yes", "{answer}");
    let cure = &answer["recipe"]["settings"]["cure_temperature"];
    assert_eq!(cure["unit"], "Cel");
    assert_eq!(cure["place"], "film");
    assert!(cure["min"].as_f64() <= cure["suggested"].as_f64() && cure["suggested"].as_f64() <= cure["max"].as_f64());
}

#[rstest]
#[case(json!({"composition":{"cotton":60,"polyester":40}}))]
#[case(json!({"composition":"60% cotton, 40% polyester"}))]
#[case(json!({"composition":"CO 60 PES 40"}))]
#[case(json!({"composition":"60/40 cotton polyester"}))]
fn compositions_are_understood_alike(#[case] fabric: Value) {
    let answer = reply(&json!({"ink":"plastisol","fabric":fabric}));
    let fabric = &answer["job"]["fabric"];
    assert_eq!(fabric["cotton"]["value"], 60, "{answer}");
    assert_eq!(fabric["polyester"]["value"], 40);
}

#[rstest]
#[case(json!({"settings":{"cure_temperature":{"value":160,"unit":"Cel"}}}))]
#[case(json!({"settings":{"cure_temperature":{"value":320,"unit":"[degF]"}}}))]
#[case(json!({"settings":{"cure_temperature":"320 °F"}}))]
fn temperatures_are_understood_alike(#[case] more: Value) {
    let mut job = json!({"ink":"plastisol","fabric":{"composition":"cotton"}});
    job["settings"] = more["settings"].clone();
    assert_eq!(reply(&job)["job"]["cure.temperature"]["value"], 160);
}

#[test]
fn doses_of_the_mix_are_turned_into_doses_of_the_ink() {
    let dose = |of: &str| {
        let job = json!({"ink":"plastisol","fabric":{"composition":"cotton"},
            "additives":[{"additive":"low-cure additive","dose":"5 %","of":of}]});
        reply(&job)["job"]["layers"][0]["layer.additives"]["low-cure-additive"]["value"].clone()
    };
    assert_eq!(dose("ink"), 5);
    // 5 g in 100 g of mix are 5 g in 95 g of ink.
    assert_eq!(dose("mix"), 5.263);
}

#[test]
fn what_is_absent_null_none_and_unknown_differ() {
    let code = |more: Value| {
        let mut job =
            json!({"ink":"discharge","ink_colour":"yellow","fabric":{"composition":"cotton","colour":"black"}});
        if !more.is_null() {
            job["additives"] = more;
        }
        reply(&job)["verdict"].clone()
    };
    // Not mentioned: the activator is named as a condition. None: as described, it does nothing.
    assert_eq!(code(Value::Null), "yes-if");
    assert_eq!(code(json!([])), "no");
    let dye = |dye: Value| {
        reply(&json!({"ink":"plastisol","ink_colour":"white",
            "fabric":{"composition":"polyester","colour":"red","construction":"jersey","finishes":[],"dye":dye}}))["verdict"].clone()
    };
    assert_eq!(dye(Value::Null), "no");
    assert_eq!(dye(json!("unknown")), "depends");
    assert_eq!(dye(json!("solution-dye")), "yes-if");
}

#[test]
fn of_several_prints_the_worst_decides() {
    let answer = reply(&json!({"fabric":{"composition":"100% polyester","colour":"red"},
        "prints":[{"position":"chest","pieces":240,"layers":[{"ink":"plastisol","colour":"black"}]},
                  {"position":"back","layers":[{"ink":"plastisol","colour":"white"}]}]}));
    assert_eq!(answer["verdict"], "no", "{answer}");
    assert_eq!(answer["prints"][0]["position"], "chest");
    assert_eq!(answer["prints"][0]["verdict"], "yes");
    assert_eq!(answer["prints"][1]["verdict"], "no");
}

#[rstest]
#[case(json!({"ink":"plastisoll","fabric":{"composition":"cotton"}}), "/ink", "no ink is called `plastisoll`")]
#[case(json!({"fabric":{"composition":"cotton"}}), "/ink", "no ink is given")]
#[case(json!({"ink":"plastisol","under":["wite plastisol"]}), "/under/0", "`wite` is not understood")]
#[case(json!({"ink":"40 pcs white plastisol"}), "/ink", "`40 pcs` is not said of a layer")]
#[case(json!({"ink":"white plastisol","ink_colour":"black"}), "/ink_colour", "`white` and `black` are both given for print colour")]
#[case(json!({"ink":"plastisol","fabrik":{}}), "/fabrik", "unknown key `fabrik`")]
#[case(json!({"ink":"plastisol","fabric":{"colr":"red"}}), "/fabric/colr", "unknown key `fabric.colr`")]
#[case(json!({"ink":"plastisol","fabric":{"composition":{"cotton":60,"polyester":60}}}), "/fabric/composition", "the shares add up to 120 %")]
#[case(json!({"ink":"plastisol","fabric":{"composition":"60% cottn 40% polyester"}}), "/fabric/composition", "`cottn` is not understood")]
#[case(json!({"ink":"plastisol","settings":{"cure_temperature":160}}), "/settings/cure_temperature", "`160` has no unit")]
#[case(json!({"ink":"plastisol","settings":{"cure_temperature":{"min":170,"max":160,"unit":"Cel"}}}), "/settings/cure_temperature", "the least is above the most")]
#[case(json!({"ink":"plastisol","additives":[{"additive":"low-cure additive","dose":5}]}), "/additives/0/dose", "`5` has no unit")]
#[case(json!({"ink":"plastisol","shop":{"equipment":["flash","toaster"]}}), "/shop/equipment/1", "no machine is called `toaster`")]
#[case(json!({"schema":2,"ink":"plastisol"}), "/schema", "this schema is not known")]
#[case(json!({"ink":7}), "/ink", "this is one text")]
#[case(json!({"prints":[{"layers":[]}]}), "/prints/0/layers", "a print needs its layers")]
#[case(json!({"ink":"plastisol","prints":[{"layers":[{"ink":"plastisol"}]}]}), "/ink", "`ink` is shorthand for one print")]
#[case(json!([1,2]), "", "a job is a JSON object")]
fn errors_point_at_the_place(#[case] job: Value, #[case] pointer: &str, #[case] message: &str) {
    let answer = reply(&job);
    assert_eq!(answer["line"], 7);
    let errors = answer["errors"].as_array().unwrap_or_else(|| panic!("no errors: {answer}"));
    assert!(errors.iter().any(|e| e["pointer"] == pointer && e["message"] == message), "{answer}");
}

/// An order form writes the colour with the ink.
#[test]
fn an_ink_may_stand_with_its_colour() {
    let words =
        json!({"ink":"black plastisol","under":["white plastisol"],"fabric":{"composition":"cotton","colour":"red"}});
    let prints = json!({"prints":[{"layers":[{"ink":"plastisol","colour":"white"},{"ink":"plastisol","colour":"black"}]}],
        "fabric":{"composition":"cotton","colour":"red"}});
    let layers = &reply(&words)["job"]["layers"];
    assert_eq!(
        (&layers[0]["layer.colour"], &layers[1]["layer.colour"]),
        (&json!("white"), &json!("black")),
        "{layers}"
    );
    assert_eq!(*layers, reply(&prints)["job"]["layers"]);
}

#[rstest]
#[case(r#"{"ink":"plastisol","ink":"discharge"}"#, &["/ink"])]
#[case(r#"{"ink":"plastisol","fabric":{"colour":"red","composition":"cotton","colour":"white"}}"#, &["/fabric/colour"])]
#[case(r#"{"prints":[{"layers":[{"ink":"plastisol","colour":"red","colour":"red"}]}],"prints":[]}"#, &["/prints/0/layers/0/colour", "/prints"])]
#[case(r#"{"ink":"plastisol","ext":{"a/b":1,"a/b":2}}"#, &["/ext/a~1b"])]
fn a_key_written_twice_is_an_error(#[case] line: &str, #[case] pointers: &[&str]) {
    let reply = serde_json::to_value(knowledge().decide_line(3, line)).expect("JSON");
    let errors = reply["errors"].as_array().unwrap_or_else(|| panic!("no errors: {reply}"));
    let found: Vec<&str> = errors.iter().filter_map(|e| e["pointer"].as_str()).collect();
    assert_eq!(found, pointers);
    assert!(errors.iter().all(|e| e["code"] == "json::duplicate-key" && e["help"] == "write each key once"), "{reply}");
}

#[test]
fn a_key_may_stand_in_several_objects() {
    let line = r#"{"id":7,"prints":[{"layers":[{"ink":"plastisol"}]},{"layers":[{"ink":"plastisol"}]}]}"#;
    let reply = serde_json::to_value(knowledge().decide_line(1, line)).expect("JSON");
    assert!(reply.get("errors").is_none() && reply["id"] == 7, "{reply}");
}

#[test]
fn a_byte_order_mark_is_no_part_of_a_line() {
    let line = "\u{feff}{\"ink\":\"plastisol\",\"fabric\":{\"composition\":\"cotton\"}}";
    let reply = serde_json::to_value(knowledge().decide_line(1, line)).expect("JSON");
    assert!(reply.get("errors").is_none(), "{reply}");
}

#[rstest]
#[case(json!({"ink":"plastisol","settings":{"cure_temperature":"320 °C"}}), "/settings/cure_temperature", "did you mean 320 °F (160 °C)?")]
#[case(json!({"ink":"plastisol","settings":{"cure_temperature":{"value":1000,"unit":"Cel"}}}), "/settings/cure_temperature", "dial")]
#[case(json!({"ink":"plastisol","settings":{"strokes":0}}), "/settings/strokes", "squeegee")]
#[case(json!({"ink":"plastisol","fabric":{"weight":"0 g/m2"}}), "/fabric/weight", "g/m²")]
#[case(json!({"ink":"plastisol","fabric":{"iron_dots":99}}), "/fabric/iron_dots", "dots")]
#[case(json!({"ink":"plastisol","shop":{"heated_length":"0 m"}}), "/shop/heated_length", "2.4 m")]
#[case(json!({"ink":"plastisol","run":{"pieces":0}}), "/run/pieces", "pieces")]
#[case(json!({"ink":"plastisol","run":{"pieces":-5}}), "/run/pieces", "negative")]
#[case(json!({"ink":"plastisol","use":{"washes":-1}}), "/use/washes", "negative")]
#[case(json!({"ink":"plastisol","settings":{"cure_temperature":"-300 °C"}}), "/settings/cure_temperature", "absolute zero")]
fn values_that_make_no_sense_are_refused_with_help(#[case] job: Value, #[case] pointer: &str, #[case] help: &str) {
    let answer = reply(&job);
    let errors = answer["errors"].as_array().unwrap_or_else(|| panic!("no errors: {answer}"));
    let fits = |e: &Value| e["pointer"] == pointer && e["help"].as_str().is_some_and(|h| h.contains(help));
    assert!(errors.iter().any(fits), "{answer}");
}

#[test]
fn unreadable_lines_are_answered_too() {
    let long = "[".repeat(100_000);
    for line in ["", "{", "nonsense", "\u{0}", "{\"ink\":", "NaN", long.as_str()] {
        let reply = serde_json::to_value(knowledge().decide_line(1, line)).expect("JSON");
        assert_eq!(reply["errors"][0]["code"], "json::syntax", "{line:.20}");
    }
}

/// The errors about a line, which are soon found and say no more than they must.
fn soon_refused(line: &str) -> Vec<Value> {
    let begun = std::time::Instant::now();
    let reply = serde_json::to_value(knowledge().decide_line(1, line)).expect("JSON");
    assert!(begun.elapsed().as_secs() < 20, "{line:.60} took {:?}", begun.elapsed());
    assert!(reply.to_string().len() < 10_000, "{line:.60} is answered at length");
    reply["errors"].as_array().unwrap_or_else(|| panic!("no errors: {reply}")).clone()
}

#[rstest]
fn megabytes_of_anything_are_no_line(
    #[values("(", "[", "{\"a\":", "a ", "1", "\"", "\\", "-", "[{\"prints\":", "\u{feff}", "🙂")] part: &str,
) {
    for count in [100_000, 5_000_000 / part.len()] {
        let junk = part.repeat(count);
        for line in [junk.clone(), format!("{{\"ink\":{junk}"), format!("{{\"ext\":{junk}")] {
            assert_eq!(soon_refused(&line)[0]["code"], "json::syntax");
        }
    }
}

#[rstest]
fn a_text_of_megabytes_is_no_name(
    #[values("(", "[", "a ", "1", "🙂")] part: &str,
    #[values(3_000, 5_000_000)] size: usize,
) {
    let text = part.repeat(size / part.len());
    let part_of = |fabric: Value| json!({"ink":"plastisol","fabric":fabric});
    for (job, pointer) in [
        (json!({"ink":text}), "/ink"),
        (json!({"ink":"plastisol","under":["plastisol",text]}), "/under/1"),
        (part_of(json!({"composition":text})), "/fabric/composition"),
        (part_of(json!({"composition":{text.clone():100}})), "/fabric/composition"),
        (part_of(json!({"colour":text})), "/fabric/colour"),
        (part_of(json!({text.clone():1})), "/fabric"),
        (json!({"ink":"plastisol",text.clone():1}), ""),
        (
            json!({"ink":"plastisol","settings":{"cure_temperature":{"value":160,"unit":text}}}),
            "/settings/cure_temperature/unit",
        ),
        (json!({"ink":"plastisol","additives":[{"additive":text,"dose":"5 %"}]}), "/additives/0/additive"),
        (json!({"prints":[{"position":text,"layers":[{"ink":"plastisol"}]}]}), "/prints/0/position"),
        (json!({"ink":"plastisol","detail":text}), "/detail"),
    ] {
        let errors = soon_refused(&job.to_string());
        let found = errors.iter().any(|e| e["code"] == "json::too-long" && e["pointer"] == pointer);
        assert!(found, "{pointer}: {errors:?}");
    }
}

#[test]
fn what_the_caller_wants_back_may_be_long() {
    let job = json!({"id":"x".repeat(5000),"ext":{"y".repeat(5000):1},"ink":"plastisol",
        "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey"}});
    let answer = reply(&job);
    assert_eq!((&answer["id"], &answer["ext"]), (&job["id"], &job["ext"]));
}

#[test]
fn no_press_prints_a_hundred_layers() {
    let many = vec![json!({"ink":"plastisol"}); 100];
    for (job, pointer) in [
        (json!({"ink":"plastisol","under":vec!["plastisol"; 100]}), "/under"),
        (json!({"prints":[{"layers":[{"ink":"plastisol"}]},{"layers":many}]}), "/prints/1/layers"),
    ] {
        let errors = soon_refused(&job.to_string());
        assert_eq!((&errors[0]["code"], &errors[0]["pointer"]), (&json!("json::too-many"), &json!(pointer)));
    }
}

#[test]
fn detail_tells_less() {
    let ask = |detail: &str| {
        reply(&json!({"ink":"plastisol","detail":detail,"fabric":{"composition":"polyester","colour":"red"}}))
    };
    assert!(ask("verdict")["reasons"].as_array().expect("a list").is_empty());
    assert!(ask("short")["reasons"][0]["because"].as_array().expect("a list").is_empty());
    assert!(!ask("full")["reasons"][0]["because"].as_array().expect("a list").is_empty());
    assert_eq!(ask("verdict")["verdict"], ask("full")["verdict"]);
}
