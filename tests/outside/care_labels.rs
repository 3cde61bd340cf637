//! Care labels.
//!
//! Source: Table of textile care symbols, GINETEX (the owner of the symbols that ISO 3758 uses); read. Sole plate
//! at most 110 °C for one dot, 150 °C for two, 200 °C for three. Washing at most 30, 40, 50, 60, 70 or 95 °C: ISO 3758,
//! read second hand on a page that lists its symbols, and ASTM D5489 (ASTM International), read second hand on a study
//! page; that D5489 has the same three irons is from memory.
//! What one dot or a crossed-out iron says of the cloth is common practice.

use crate::{decide, knowledge, says};
use rstest::rstest;
use serde_json::{Value, json};
use washfast::answer::Answer;

fn with_dots(dots: u32) -> Value {
    json!({"ink":"plastisol","ink_colour":"black",
        "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey","iron_dots":dots}})
}

fn aim(answer: Answer) -> f64 {
    let recipe = answer.recipe.unwrap_or_else(|| panic!("{}", answer.summary));
    recipe.settings["cure_temperature"]["suggested"].as_f64().expect("a number")
}

/// An iron's limit is none for a film in a dryer: cotton labelled with any number of dots still bears a plastisol cure
/// of 160 °C, above the 110 and 150 °C of one and two dots.
#[rstest]
#[case(1, 110.0)]
#[case(2, 150.0)]
#[case(3, 200.0)]
fn iron_dots_are_no_cure_limit(#[case] dots: u32, #[case] sole_plate: f64) {
    let answer = decide(&with_dots(dots));
    assert_eq!(answer.verdict, "yes", "{}", answer.summary);
    let aim = aim(answer);
    assert!(aim > sole_plate || dots == 3, "{aim} against {sole_plate}");
}

/// One dot, or an iron crossed out, stands for a delicate fibre or finish: the answer asks which.
#[rstest]
#[case(0, true)]
#[case(1, true)]
#[case(2, false)]
#[case(3, false)]
fn a_cool_iron_asks_why(#[case] dots: u32, #[case] asked: bool) {
    assert_eq!(says(&decide(&with_dots(dots)), "iron-dots-ask-why"), asked, "{dots}");
}

/// The dots can be said in words too.
#[rstest]
#[case("1 dot in the iron", 1)]
#[case("two dots in the iron", 2)]
#[case("3 iron dots", 3)]
fn dots_are_understood_in_words(#[case] words: &str, #[case] dots: u32) {
    let question = format!("can black plastisol go on white 100% cotton jersey, {words}?");
    let reply = knowledge().ask(&question).unwrap_or_else(|e| panic!("{question}: {e:?}"));
    let answer = reply.answer().expect("an answer");
    assert_eq!(answer.job["fabric.iron_dots"]["value"], dots, "{:?}", answer.job);
}

/// The symbol has one to three dots; more is a slip.
#[test]
fn there_is_no_fourth_dot() {
    assert!(knowledge().read_job(&with_dots(4)).is_err());
}

/// A wash temperature is never taken for the heat of the dryer: it is the wash, or the tumble dryer, that the print must
/// bear. Up to 40 °C is an ordinary wash; the wash-tub of a label goes on to 50 and 60 °C, to 70 °C, and with 95 °C to
/// the boil (the symbols of ISO 3758, from memory).
#[rstest]
fn a_wash_temperature_is_no_cure(#[values(30, 40, 50, 60, 70, 95)] degrees: u32) {
    for words in ["wash at", "wash", "hand wash", "tumble dry"] {
        let question = format!("plastisol on white 100% cotton, {words} {degrees} °C");
        let reply = knowledge().ask(&question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        let job = &reply.answer().expect("an answer").job;
        let care = match (words, degrees) {
            ("tumble dry", _) => Some("tumble-drying"),
            (_, 50 | 60) => Some("hot-washing"),
            (_, 70) => Some("very-hot-washing"),
            (_, 95) => Some("boil-washing"),
            _ => None,
        };
        assert_eq!(job.get("use.care").cloned(), care.map(|c| serde_json::json!([c])), "{question}");
        assert!(job.get("cure.temperature").is_none(), "{question}: {job:?}");
    }
}

/// No fibre's print limit lies below the iron's limit of the dots it is usually labelled with. One dot: acrylic,
/// polyamide and acetate; two: wool, silk, polyester and viscose; three: cotton and linen (the symbols' meaning by
/// GINETEX as a magazine's page retells it, read second hand; polypropylene with one dot is common practice). 200 °C is
/// for seconds under an iron; a dryer pass is longer, so the limits of cotton and linen are a little lower.
#[rstest]
#[case("acrylic", 110.0, 0.0)]
#[case("polyamide-6", 110.0, 0.0)]
#[case("polyamide-66", 110.0, 0.0)]
#[case("acetate", 110.0, 0.0)]
#[case("polypropylene", 110.0, 0.0)]
#[case("wool", 150.0, 0.0)]
#[case("silk", 150.0, 0.0)]
#[case("polyester", 150.0, 0.0)]
#[case("viscose", 150.0, 0.0)]
#[case("cotton", 200.0, 20.0)]
#[case("linen", 200.0, 20.0)]
fn print_limits_are_not_below_the_usual_iron(#[case] fibre: &str, #[case] iron: f64, #[case] less: f64) {
    let (least, _, _) = crate::range("fibre", fibre, "heat_limit", "temperature");
    assert!(least >= iron - less, "{fibre}: {least} against an iron of {iron}");
}
