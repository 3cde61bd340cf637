//! The question language: what is understood, what is not, and where the finger points.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use washfast::Knowledge;

fn knowledge() -> Knowledge {
    Knowledge::built_in().expect("the built-in knowledge")
}

/// What was said, as `attribute: words`.
fn said(question: &str) -> Vec<String> {
    let knowledge = knowledge();
    let stated = knowledge.statements(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    let name =
        |s: &washfast::statement::Statement| s.attribute.of(knowledge.model()).expect("an attribute").name.clone();
    stated.statements.iter().map(|s| format!("{} {}: {}", name(s), s.layer, s.words)).collect()
}

#[rstest]
#[case("can plastisol go on black polyester?", &["layer.ink 0: plastisol", "fabric.colour 0: black", "fabric 0: polyester"])]
#[case("is plastisol ok on black polyester", &["layer.ink 0: plastisol", "fabric.colour 0: black", "fabric 0: polyester"])]
#[case("can I use plastisol on black polyester", &["layer.ink 0: plastisol", "fabric.colour 0: black", "fabric 0: polyester"])]
#[case("will plastisol hold on (50/50 cotton polyester)", &["layer.ink 0: plastisol", "fabric 0: 50 50 cotton polyester"])]
#[case("plastisol on cotton @ 160C", &["layer.ink 0: plastisol", "fabric 0: cotton", "cure.temperature 0: 160 C"])]
#[case("plastisol on cotton through 110 mesh", &["layer.ink 0: plastisol", "fabric 0: cotton", "layer.mesh 0: 110 mesh"])]
#[case("plastisol on cotton for 50 washes", &["layer.ink 0: plastisol", "fabric 0: cotton", "use.washes 0: 50 washes"])]
#[case("plastisol on 65/35 poly/cotton tee", &["layer.ink 0: plastisol", "garment 0: tee", "fabric 0: 65 35 poly cotton"])]
#[case("plastisol on polycotton", &["layer.ink 0: plastisol", "fabric 0: polycotton"])]
#[case("plastisol with 25 g/kg low-cure additive on cotton", &["layer.ink 0: plastisol", "layer.additives 0: low-cure additive", "fabric 0: cotton"])]
#[case("plastisol on nylon without water repellent", &["layer.ink 0: plastisol", "fabric 0: nylon", "fabric.finishes 0: no water repellent"])]
#[case("plastisol with activator on nylon", &["layer.ink 0: plastisol", "layer.additives 0: activator", "fabric 0: nylon"])]
#[case("discharge with activator on cotton", &["layer.ink 0: discharge", "layer.additives 0: activator", "fabric 0: cotton"])]
#[case("plastisol on ringspun combed cotton", &["layer.ink 0: plastisol", "fabric 0: combed cotton"])]
#[case("plastisol on 80% Baumwolle 20% Polyester", &["layer.ink 0: plastisol", "fabric 0: 80 Baumwolle 20 Polyester"])]
#[case("PLASTISOL ON BLACK POLYESTER!!", &["layer.ink 0: PLASTISOL", "fabric.colour 0: BLACK", "fabric 0: POLYESTER"])]
#[case("white low-cure plastisol over water-based on cotton", &["layer.colour 1: white", "layer.ink 1: low-cure plastisol", "layer.ink 0: water-based", "fabric 0: cotton"])]
#[case("plastisol on navy 80% cotton 20% polyester", &["layer.ink 0: plastisol", "fabric.colour 0: navy", "fabric 0: 80 cotton 20 polyester"])]
#[case("plastisol on CO 60 PES 35 EL 5", &["layer.ink 0: plastisol", "fabric 0: CO 60 PES 35 EL 5"])]
#[case("plastisol on 80/20 cotton poly", &["layer.ink 0: plastisol", "fabric 0: 80 20 cotton poly"])]
#[case("can plastisol be printed on water-repellent nylon?", &["layer.ink 0: plastisol", "fabric.finishes 0: water-repellent", "fabric 0: nylon"])]
#[case("plastisol on cotton at 320 °F for 1 min through 110 /in", &["layer.ink 0: plastisol", "fabric 0: cotton", "cure.temperature 0: 320 °F", "cure.time 0: 1 min", "layer.mesh 0: 110 /in"])]
#[case("plastisol with 5 % low-cure additive on cotton", &["layer.ink 0: plastisol", "layer.additives 0: low-cure additive", "fabric 0: cotton"])]
#[case("plastisol on 180 g/m² cotton jersey", &["layer.ink 0: plastisol", "fabric.weight 0: 180 g/m²", "fabric.construction 0: jersey", "fabric 0: cotton"])]
#[case("plastisol on dyed cotton for babies", &["layer.ink 0: plastisol", "fabric.dyed 0: dyed", "fabric 0: cotton", "use.age 0: babies"])]
fn understands(#[case] question: &str, #[case] expected: &[&str]) {
    assert_eq!(said(question), expected, "{question}");
}

#[test]
fn fahrenheit_is_the_same_as_celsius() {
    let k = knowledge();
    let a = k.statements("plastisol on cotton at 320 °F").expect("understood");
    let b = k.statements("plastisol on cotton at 160 °C").expect("understood");
    assert_eq!(a.statements.last().map(|s| &s.domain), b.statements.last().map(|s| &s.domain));
}

/// The message and the underlined text of each problem.
fn problems(question: &str) -> Vec<(String, String)> {
    let problems = knowledge().ask(question).map(|_| ()).expect_err(question);
    problems
        .list()
        .iter()
        .map(|p| {
            let span = p.span();
            let text = question.get(span.start as usize..span.end as usize).unwrap_or("").to_owned();
            (p.message.clone(), text)
        })
        .collect()
}

#[rstest]
#[case("plastisol on cotton at -40 °C", "`-40 °C` is less than 10 °C", "-40 °C")]
#[case("plastisol on cotton at 320 °C", "`320 °C` is more than 260 °C", "320 °C")]
#[case("plastisol on cotton at 160 degrees", "`160 degrees` does not say in which unit", "160 degrees")]
#[case("plastisol with 500% low-cure additive on cotton", "`500 %` is more than 100 %", "500%")]
#[case("plastisol with low-cure additive 500% on cotton", "`500 %` is more than 100 %", "500%")]
#[case("plastisol on PE tee", "`PE` can mean several things", "PE")]
#[case("plastisol on 0 g/m2 cotton", "`0 g/m2` is less than 10 g/m²", "0 g/m2")]
#[case("without water repellent plastisol on nylon", "a question does not begin with `without`", "without")]
#[case(
    "plastisol on shell 100% nylon; lining 100% polyester",
    "the shares add up to 200 %",
    "100% nylon; lining 100% polyester"
)]
#[case("can plastisoll go on cotton?", "`plastisoll` is not understood", "plastisoll")]
#[case("plastisol on cottn", "`cottn` is not understood", "cottn")]
#[case("plastisol on black unobtanium", "`unobtanium` is not understood", "unobtanium")]
#[case("plastisol on 80% cotton 30% polyester", "the shares add up to 110 %", "80% cotton 30% polyester")]
#[case("plastisol on 80% cotton 10% polyester", "the shares add up to 90 %", "80% cotton 10% polyester")]
#[case("plastisol on 80% cotton polyester", "1 shares are given for 2 fibres", "80% cotton polyester")]
#[case("plastisol on 55/45", "shares are given, but no fibres", "55/45")]
#[case("plastisol on cotton at 160", "`160` has no unit", "160")]
#[case("plastisol on cotton at 60 s", "`s` measures time, but this is a temperature", "60 s")]
#[case("plastisol on cotton at -300 °C", "`-300 °C` is below -273.15 °C", "-300 °C")]
#[case("plastisol with 5 low-cure additive on cotton", "`5` has no unit", "5")]
#[case("plastisol with low-cure additive 5% 8% on cotton", "`8` is a second dose", "8")]
#[case("plastisol on cotton with 5% water repellent", "whose dose is it? `water repellent`", "water repellent")]
#[case("plastisol on cotton using toaster", "`toaster` is not understood", "toaster")]
#[case("white on cotton", "no ink is named", "white")]
#[case("plastisol and", "the question stops too early", "")]
#[case("", "there is no question", "")]
#[case("plastisol on black navy cotton", "`black` and `navy` are both given for fabric.colour", "navy")]
#[case("water-based plastisol on cotton", "`water-based` and `plastisol` are both given for layer.ink", "plastisol")]
#[case("plastisol on #12345 cotton", "`#12345` is no colour", "#12345")]
#[case("plastisol on 30% cotton -10% polyester 80% viscose", "`-10 %` is below 0 %", "-10")]
fn points_at(#[case] question: &str, #[case] message: &str, #[case] underlined: &str) {
    let found = problems(question);
    assert!(found.iter().any(|(m, t)| m == message && t == underlined), "{question}: {found:?}");
}

#[test]
fn an_unknown_name_is_answered_with_the_nearest() {
    let problems = knowledge().ask("can plastisoll go on cotton?").map(|_| ()).expect_err("unknown");
    let help = problems.list()[0].help.clone().expect("help");
    assert!(help.contains("`plastisol`"), "{help}");
}

#[test]
fn junk_ends_in_an_error_in_bounded_time() {
    let k = knowledge();
    let long = "plastisol ".repeat(100_000);
    let deep = format!("plastisol on {}cotton", "(".repeat(5000));
    let nots = format!("show {}", "not ".repeat(300));
    for text in
        [long.as_str(), deep.as_str(), nots.as_str(), "🙂", "on on on", "\u{0}", "? ? ?", "%%%%", "can can can go on"]
    {
        assert!(k.ask(text).is_err(), "{text:.40}");
    }
}

#[test]
fn labels_round_to_whole_per_cent() {
    // Three equal thirds are labelled 33 % each.
    assert!(knowledge().ask("plastisol on 33% cotton 33% polyester 33% viscose").is_ok());
    assert!(knowledge().ask("plastisol on 33% cotton 33% polyester").is_err());
}
