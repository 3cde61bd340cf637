//! The question language: what is understood, what is not, and where the finger points.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use std::sync::LazyLock;
use washfast::Knowledge;

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

fn knowledge() -> Knowledge {
    KNOWLEDGE.clone()
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
#[case("plastisol on cotton cured at 150-160C", &["layer.ink 0: plastisol", "fabric 0: cotton", "cure.temperature 0: 150 to 160 C"])]
#[case("plastisol on cotton, cure 150 - 160 °C, 60–90 s", &["layer.ink 0: plastisol", "cure.temperature 0: 150 to 160 °C", "cure.time 0: 60 to 90 s", "fabric 0: cotton"])]
#[case("plastisol on cotton at 150C-160C", &["layer.ink 0: plastisol", "fabric 0: cotton", "cure.temperature 0: 150 to 160 C"])]
#[case("plastisol on cotton at 320 to 330 F for 1-2 min", &["layer.ink 0: plastisol", "fabric 0: cotton", "cure.temperature 0: 320 to 330 F", "cure.time 0: 1 to 2 min"])]
#[case("plastisol on 180-200 gsm cotton, 1-2 hits", &["layer.ink 0: plastisol", "fabric.weight 0: 180 to 200 gsm", "layer.strokes 0: 1 to 2 hits", "fabric 0: cotton"])]
#[case("plastisol with 3-5% low-cure additive on cotton", &["layer.ink 0: plastisol", "layer.additives 0: low-cure additive", "fabric 0: cotton"])]
#[case("plastisol on dyed cotton for babies", &["layer.ink 0: plastisol", "fabric.dyed 0: dyed", "fabric 0: cotton", "use.age 0: babies"])]
fn understands(#[case] question: &str, #[case] expected: &[&str]) {
    assert_eq!(said(question), expected, "{question}");
}

/// Ink and cloth in any order: the same as with `on` between them.
#[rstest]
#[case("hoodie navy 50/50, white plastisol", "white plastisol on navy 50/50 hoodie")]
#[case("white plastisol navy 50/50 hoodie", "white plastisol on navy 50/50 hoodie")]
#[case("nylon jacket: plastisol?", "plastisol on nylon jacket")]
#[case("plastisol for baby bodysuit 100% cotton", "plastisol on baby bodysuit 100% cotton")]
#[case("cap 100% acrylic plastisol", "plastisol on cap 100% acrylic")]
#[case("60% cotton 40% polyester plastisol", "plastisol on 60% cotton 40% polyester")]
#[case("95% coton 5% élasthanne noir, plastisol blanc", "blanc plastisol on noir 95% coton 5% élasthanne")]
#[case("can i print white plastisol on a navy 50/50 hoodie pls", "white plastisol on navy 50/50 hoodie")]
#[case("CO 60 PES 35 EL 5 white, discharge ok?", "discharge on white CO 60 PES 35 EL 5")]
#[case("black cotton tee, glitter over standard plastisol", "glitter over standard plastisol on black cotton tee")]
#[case("glitter on black cotton tee over standard plastisol", "glitter over standard plastisol on black cotton tee")]
fn any_order(#[case] loose: &str, #[case] plain: &str) {
    let sorted = |question: &str| {
        let mut said = said(question);
        said.sort();
        said
    };
    assert_eq!(sorted(loose), sorted(plain), "{loose}");
}

/// A colour behind words for the print is the print's, however many they are and however the cloth is written.
#[rstest]
#[case("baumwolltasche natur siebdruck 1 farbe rot, wasserbasiert", "rot", "natur")]
#[case("baumwolltasche blau logo rot, wasserbasiert", "rot", "blau")]
#[case("sac coton écru sérigraphie 1 couleur rouge, encre à l'eau", "rouge", "écru")]
#[case("cotton bag navy screen print 1 colour red, water-based", "red", "navy")]
fn the_last_colour_is_of_the_print(#[case] question: &str, #[case] print: &str, #[case] cloth: &str) {
    let said = said(question);
    assert!(said.contains(&format!("layer.colour 0: {print}")), "{said:?}");
    assert!(said.contains(&format!("fabric.colour 0: {cloth}")), "{said:?}");
}

#[rstest]
#[case("cork coasters and jute bags, plastisol", "these are things of two cloths", "cork coasters and jute")]
#[case("polyester tees, logo white, black plastisol", "`white` and `black` are two prints", "white")]
#[case("plastisol", "no cloth is named for plastisol", "plastisol")]
#[case("plastisol water-based cotton tee", "`plastisol` and `water-based` are two inks", "plastisol water-based")]
#[case("tees, cotton, plastisol, white and red", "`white` and `red` are both given for cloth colour", "red")]
#[case("black and white, cotton tees, plastisol", "`black` and `white` are both given for cloth colour", "white")]
#[case("cotton cap, foam, plastisol", "`foam` is not understood", "foam")]
#[case("plastisol nylon treacle", "`treacle` is not understood", "treacle")]
#[case("white plastisol, black cotton tee for our hospitel", "`hospitel` is not understood", "hospitel")]
#[case("clear PVC bag, black plastisol", "`clear` can mean several things", "clear")]
#[case("white plastisol, black jacket 100% polyester 3 layers", "`3 layers` can mean several things", "3 layers")]
#[case("40 black tees, plastisol over", "the question stops too early", "")]
#[case("black tee, glitter, white underbase", "`underbase` can mean several things", "underbase")]
#[case("glitter on black tee over white underbase", "`underbase` can mean several things", "underbase")]
#[case("black water-based air dry on white cotton tote", "`air dry` can mean several things", "air dry")]
#[case(
    "two part nylon ink, pot life overnight, on black nylon jacket",
    "`pot life overnight` can mean several things",
    "pot life overnight"
)]
#[case("white plastisol over an existing print on black cotton tee", "`existing` can mean several things", "existing")]
#[case(
    "black cotton tee washed with fabric softener, white water-based",
    "`fabric softener` can mean several things",
    "fabric softener"
)]
#[case("black tee, white platisol", "`platisol` is not understood", "platisol")]
#[case("white plastisol on black polyester tee, water-based", "`water-based` is not understood", "water-based")]
#[case(
    "viscose tee black water based white",
    "`black` and `white` can each be the colour of the print",
    "black water based white"
)]
#[case(
    "cotton tee white plastisol royal blue",
    "`white` and `royal blue` can each be the colour of the print",
    "white plastisol royal blue"
)]
#[case(
    "hoodie 80/20 cotton polyester white plastisol navy 40 pcs",
    "`white` and `navy` can each be the colour of the print",
    "white plastisol navy"
)]
fn any_order_refused(#[case] question: &str, #[case] message: &str, #[case] underlined: &str) {
    assert!(problems(question).contains(&(message.to_owned(), underlined.to_owned())), "{:?}", problems(question));
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
#[case("plastisol on cotton at 60 degrees", "`60 degrees` does not say in which unit", "60 degrees")]
#[case("plastisol with 500% low-cure additive on cotton", "`500 %` is more than 100 %", "500%")]
#[case("plastisol with low-cure additive 500% on cotton", "`500 %` is more than 100 %", "500%")]
#[case("plastisol on 0 g/m2 cotton", "`0 g/m2` is less than 10 g/m²", "0 g/m2")]
#[case("without water repellent plastisol on nylon", "a question does not begin with `without`", "without")]
#[case("water-based plastisol on cotton", "`water-based` and `plastisol` are both given for ink", "plastisol")]
#[case(
    "plastisol on shell 100% nylon; lining 100% polyester; filling 100% polypropylene",
    "`lining` and `filling` are parts, each with a cloth of its own",
    "100% polyester; filling 100% polypropylene"
)]
#[case("can plastisoll go on cotton?", "`plastisoll` is not understood", "plastisoll")]
#[case("plastisol on cottn", "`cottn` is not understood", "cottn")]
#[case("plastisol on black unobtanium", "`unobtanium` is not understood", "unobtanium")]
#[case("plastisol on 80% cotton 30% polyester", "the shares add up to 110 %", "80% cotton 30% polyester")]
#[case("plastisol on 80% cotton 10% polyester", "the shares add up to 90 %", "80% cotton 10% polyester")]
#[case("plastisol on 80% cotton polyester", "1 shares are given for 2 fibres", "80% cotton polyester")]
#[case("plastisol on cotton at 60", "`60` has no unit", "60")]
#[case("black plastisol on white cotton apron, wash at 160", "`160` has no unit", "160")]
#[case("black plastisol on white cotton tee, tumble dried at 150", "`150` has no unit", "150")]
#[case("white over blocker base on red polyester", "no ink is named", "white")]
#[case("plastisol on pre-treated cotton", "`pre-treated` can mean several things", "pre-treated")]
#[case("plastisol on cotton, at 160 °C 60s 30 s", "`30 s` is said of no cloth", "30 s")]
#[case("plastisol on cotton at 60 s", "`s` measures time, but this is a temperature", "60 s")]
#[case("plastisol on cotton at -300 °C", "`-300 °C` is below -273.15 °C", "-300 °C")]
#[case("plastisol with 5 low-cure additive on cotton", "`5` has no unit", "5")]
#[case("plastisol with low-cure additive 5% 8% on cotton", "`8` is a second dose", "8")]
#[case("plastisol on cotton with 5% water repellent", "whose dose is it? `water repellent`", "water repellent")]
#[case("plastisol on cotton using toaster", "`toaster` is not understood", "toaster")]
#[case("plastisol and", "no cloth is named for plastisol", "plastisol and")]
#[case("", "there is no question", "")]
#[case("plastisol on cotton at ?", "the question stops too early", "")]
#[case("plastisol on black navy cotton", "`black` and `navy` are both given for cloth colour", "navy")]
#[case("water-based plastisol on cotton", "`water-based` and `plastisol` are both given for ink", "plastisol")]
#[case("Weight: 180; tee; cotton; plastisol", "`180 %` is more than 100 %", "180")]
#[case(
    "40 black tees, 10 S, 20 M, 15 L, white plastisol",
    "`40 piece` and `45 piece` are both given for pieces",
    "10 S, 20 M, 15 L"
)]
#[case("white on black plastisol", "no ink is named", "white")]
#[case("black cotton tee with white and gold plastisol", "`white` and `gold` are two prints", "white and gold")]
#[case("100% cotton tee, red and white plastisol", "`red` and `white` are two prints", "red and white")]
#[case("white on black tee, black plastisol", "no ink is named", "white")]
#[case(
    "gold foil on black polyester leggings 80/20 nylon elastane",
    "`polyester` is said of the cloth, and the label `80 20 nylon elastane` does not hold it",
    "polyester leggings 80/20 nylon elastane"
)]
#[case(
    "40 hoodies 50/50 maroon plastisol white front",
    "`maroon` and `white` can each be the colour of the print",
    "maroon plastisol white"
)]
#[case(
    "tees polyester black plastisol white wash 60",
    "`black` and `white` can each be the colour of the print",
    "black plastisol white"
)]
#[case(
    "hoodies 80/20 black plastisol white tumble dry",
    "`black` and `white` can each be the colour of the print",
    "black plastisol white"
)]
#[case(
    "polyester tees navy plastisol in white",
    "`navy` and `white` can each be the colour of the print",
    "navy plastisol in white"
)]
#[case("plastisol on black hoodie, no polyester", "no `polyester`: of what is it then?", "no polyester")]
#[case("plastisol on polycotton tee, no polyester", "no `polyester`: of what is it then?", "no polyester")]
#[case("black cotton tees, white sleeves, plastisol", "`black` and `white` are both given for cloth colour", "white")]
#[case("white cotton tees, red, blue, plastisol", "`white` and `red` are both given for cloth colour", "red")]
#[case("plastisol on red cotton white tee", "`red` and `white` are both given for cloth colour", "white")]
#[case("black plastisol on white cotton tee, can it be tumble dried", "`can` does not fit here", "can")]
#[case("plastisol on white cotton bib, teddy", "`teddy` can mean several things", "teddy")]
#[case("black 100% polyester tees, white plastisol pigment", "`pigment` can mean several things", "pigment")]
#[case("white discharge on pigment black cotton tee", "`pigment` can mean several things", "pigment")]
#[case("white cotton tunic, autoclaved, black plastisol", "`autoclaved` can mean several things", "autoclaved")]
#[case("which inks go on tumble dry", "no cloth is named", "tumble dry")]
#[case("transfer on navy polyester jersey, white plastisol", "`transfer` can mean several things", "transfer")]
#[case("black plastisol on disposable apron", "`disposable` can mean several things", "disposable")]
#[case("plastisol on white cotton tee, 40 °C", "`40 °C` is said of no cloth", "40 °C")]
#[case("plastisol on nylon, 30 s, 2 m", "`30 s` is said of no cloth", "30 s")]
#[case("plastisol on 30% cotton -10% polyester 80% viscose", "`-10 %` is below 0 %", "-10")]
fn points_at(#[case] question: &str, #[case] message: &str, #[case] underlined: &str) {
    let found = problems(question);
    assert!(found.iter().any(|(m, t)| m == message && t == underlined), "{question}: {found:?}");
}

#[rstest]
fn forms_of_one_question_say_the_same(
    #[values(
        ("will plastisol hold on nylon", "plastisol on nylon"),
        // Places, layers and colours of a print.
        ("white plastisol front and back on black cotton tee", "white plastisol on black cotton tee"),
        ("plastisol left chest and back on black cotton tee", "plastisol on black cotton tee"),
        ("black plastisol front & back on cotton tee", "black plastisol on cotton tee"),
        ("white plastisol, then red plastisol on black cotton tee", "red plastisol over white plastisol on black cotton tee"),
        ("black cotton tee, white low-bleed plastisol and then red plastisol", "red plastisol over white low-bleed plastisol on black cotton tee"),
        ("discharge underbase then plastisol on black cotton tee", "plastisol over discharge on black cotton tee"),
        ("plastisol on black polyester leggings, white", "white plastisol on black polyester leggings"),
        ("cotton bandana, white discharge on black", "white discharge on black cotton bandana"),
        ("linen cushion cover, white water-based on grey", "white water-based on grey linen cushion cover"),
        ("cotton white, black plastisol", "black plastisol on white cotton"),
        ("black plastisol, tee cotton white", "black plastisol on white cotton tee"),
        ("45 sky blue polos with a navy one colour plastisol logo", "navy plastisol on sky blue polo, 45 pieces, 1 colour"),
        ("4 colour process plastisol on white cotton tee", "process plastisol on white cotton tee"),
        ("white plastisol on black cotton tee with lines of 0.3 mm", "white plastisol on black cotton tee, 0.3 mm lines"),
        ("white plastisol on black cotton tee, finest line 0.3 mm", "white plastisol on black cotton tee, 0.3 mm lines"),
        // The cloth behind what is said of the ink.
        ("white plastisol with puff additive, black cotton tee", "white plastisol with puff additive on black cotton tee"),
        ("water-based with 5 % fixer, line dry, 50 pieces, cotton tote", "water-based with 5 % fixer on cotton tote, 50 pieces"),
        ("white plastisol using flash and conveyor dryer, black cotton tee", "white plastisol on black cotton tee using flash and conveyor dryer"),
        ("white plastisol through 61 /cm, black cotton tee", "white plastisol on black cotton tee through 61 /cm"),
        ("white plastisol at 160 °C for 60 s, black cotton tee", "white plastisol on black cotton tee at 160 °C for 60 s"),
        ("white plastisol without additives, black cotton tee", "white plastisol on black cotton tee without additives"),
        ("white plastisol over dye-blocking base, black polyester tee", "white plastisol over dye-blocking base on black polyester tee"),
        ("nylon jacket without finish, 50 pieces, white plastisol", "white plastisol on nylon jacket, 50 pieces, without finish"),
        ("black cotton tee, using flash, white plastisol", "white plastisol on black cotton tee using flash"),
        ("encre noire à l'eau sur t-shirt blanc coton", "black water-based on white cotton tee"),
        // A colour beside words for the print is that of the print.
        ("80 fleece jackets 100% polyester, 1 colour white left chest plastisol", "white plastisol on fleece jacket 100% polyester, 80 pieces, 1 colour, left chest"),
        ("polyester polos, logo white, plastisol", "white plastisol on polyester polo"),
        ("100 polyester tees, 1 col white left chest, plastisol", "white plastisol on polyester tee, 100 pieces, 1 colour, left chest"),
        ("polyester tees, print in white, plastisol", "white plastisol on polyester tee"),
        ("polyester tees, print colour white, plastisol", "white plastisol on polyester tee"),
        ("polyester tees, logo: white, plastisol", "white plastisol on polyester tee"),
        ("200 Polyestershirts, 1-farbig weiß, Plastisol", "white plastisol on polyester tee, 200 pieces, 1 colour"),
        ("polyester tees, logo white, white plastisol", "white plastisol on polyester tee"),
        ("red polyester tees, 1 col white back, plastisol", "white plastisol on red polyester tee, 1 colour"),
        ("cushion covers cotton linen 50/50 discharge on black", "discharge on black cushion cover cotton linen 50/50"),
        ("plastisol on polyester tee, white print", "white plastisol on polyester tee"),
        ("plastisol on polyester football shirts, white numbers", "white plastisol on polyester football shirt"),
        ("40 hoodies 50/50 maroon plastisol white print", "white plastisol on maroon hoodie 50/50, 40 pieces"),
        ("40 hoodies 50/50 maroon plastisol white 2 col", "white plastisol on maroon hoodie 50/50, 40 pieces, 2 colours"),
        ("50 polyester tees black plastisol white 1 col", "white plastisol on black polyester tee, 50 pieces, 1 colour"),
        ("tie dye cotton tees plastisol black 1 col", "black plastisol on tie dye cotton tee, 1 colour"),
        ("plastisol transfer on red polyester shirt white", "white plastisol transfer on red polyester shirt"),
        ("fleece jackets 100% polyester, 1 col plastisol navy on grey", "navy plastisol on grey fleece jacket 100% polyester, 1 colour"),
        // A colour by itself is that of the print, where the goods have another.
        ("denim jackets indigo, white on back 30x30cm, plastisol", "white plastisol on indigo denim jacket, 30 x 30 cm"),
        ("black hoodies 80/20 cotton poly, plastisol, A4 front, white", "white plastisol on black hoodie 80/20 cotton polyester, A4"),
        ("kids rain jackets nylon, yellow, navy logo nylon ink", "navy nylon ink on yellow kids rain jacket nylon"),
        ("cotton tees, red, white print plastisol", "white plastisol on red cotton tee"),
        ("tumble dry for plastisol tees", "plastisol on tee, tumble dry"),
        ("waxed canvas bags 20, black plastisol", "black plastisol on waxed canvas bag, 20 pieces"),
        // The word that joins ink and cloth elsewhere joins neither here.
        ("socks 80/20 cotton nylon, print logo on chest silicone", "silicone on socks 80/20 cotton nylon, left chest"),
        ("black cotton hoodies, print on white plastisol", "white plastisol on black cotton hoodie"),
        ("tees 100% cotton, plastisol full front, safe for babies", "plastisol on tee 100% cotton for babies, full front"),
        // What an answer tells anyway may be asked at the end.
        ("black plastisol on white cotton tee, will it hold?", "black plastisol on white cotton tee"),
        ("white cotton tee. black plastisol. Can this be done? thanks, Anna", "black plastisol on white cotton tee"),
        ("black plastisol on white cotton tee what mesh", "black plastisol on white cotton tee"),
        ("white cotton tee, black plastisol, do I need an underbase?", "black plastisol on white cotton tee"),
        ("do I need an underbase for yellow plastisol on navy cotton tee?", "yellow plastisol on navy cotton tee"),
        ("weißes T-Shirt Baumwolle, Plastisol schwarz, geht das?", "black plastisol on white cotton tee"),
        ("can we cure plastisol at 160 °C on white cotton tee", "plastisol on white cotton tee at 160 °C"),
        // What a jacket is lined with is not its own cloth.
        ("jackets lined with cotton, black plastisol", "black plastisol on jacket with cotton lining"),
        ("nylon jackets lined with cotton, black plastisol", "black plastisol on nylon jacket with cotton lining"),
        ("nylon jackets, plastisol + hardener", "plastisol with hardener on nylon jacket"),
        // Heat and time of a flash, of a cure, of a wash.
        ("foil on black cotton tee, foil pressed at 170C for 10 s", "foil on black cotton tee"),
        ("foil pressed at 170C for 10 s on white cotton tee", "foil on white cotton tee"),
        ("foil on cotton tee, cured at 160 °C for 90 s, foil press at 170 for 10 s", "foil on cotton tee at 160 °C for 90 s"),
        ("foil on cotton tee at 160 °C for 90 s, press foil 10 s at 170 C", "foil on cotton tee at 160 °C for 90 s"),
        ("foil on black cotton tee, press 165C 12 s", "foil on black cotton tee"),
        ("black cotton tee, white plastisol, flash at 110 C, cure at 120 C", "white plastisol on black cotton tee at 120 °C"),
        ("black cotton tee, white plastisol, flash 8 s", "black cotton tee, white plastisol"),
        ("black cotton tee, white plastisol, 6 second flash", "black cotton tee, white plastisol"),
        ("white plastisol on black cotton tee, flash 110C 6 seconds, cure 160C 60 seconds", "white plastisol on black cotton tee at 160 C for 60 seconds"),
        ("white plastisol on black cotton tee, flash at 110C for 6 s, cure at 160C for 60 s", "white plastisol on black cotton tee at 160 C for 60 s"),
        ("black cotton tee, white plastisol, dryer 160C 60 seconds, flash 5 seconds", "white plastisol on black cotton tee, dryer at 160 °C, for 60 s"),
        ("white plastisol on black cotton tee, flash 110C for 8 s", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, flash at 110C for 8 s", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, flash for 8 s at 110C", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, flash for 8 s", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, flash at 110C, cure 160C 60 s", "white plastisol on black cotton tee at 160 C for 60 s"),
        ("white plastisol on black cotton tee, flash for 8 s, cure at 160C for 60 s", "white plastisol on black cotton tee at 160 C for 60 s"),
        // A colour in the name of an ink is said as well.
        ("low bleed white on forest green 50/50 tee", "white low-bleed plastisol on forest green 50/50 tee"),
        ("red plastisol over LB white on black 50/50 tee", "red plastisol over white low-bleed plastisol on black 50/50 tee"),
        ("high opacity white on white cotton tee", "white high-opacity plastisol on white cotton tee"),
        ("black low bleed on white 50/50 tee", "black low-bleed plastisol on white 50/50 tee"),
        // With the heat of a cure it cures.
        ("white plastisol on black cotton tee, flash for 8 s at 160C", "white plastisol on black cotton tee using flash at 160 C for 8 s"),
        ("white plastisol on black cotton tee, flash at 160C for 40 s", "white plastisol on black cotton tee using flash at 160 C for 40 s"),
        ("white plastisol on black cotton tee using flash for 15 s", "white plastisol for 15 s on black cotton tee using flash"),
        ("black cotton tee, white plastisol, cure 190C 60 seconds", "white plastisol on black cotton tee at 190 C for 60 s"),
        ("black cotton tee, white plastisol, 2 flashes", "white plastisol on black cotton tee"),
        ("plastisol on cotton using flash at 120 °C", "plastisol at 120 °C on cotton using flash"),
        ("plastisol on cotton, flash at 120 °C", "plastisol on cotton"),
        ("plastisol on cotton at 160 °C then cure", "plastisol on cotton at 160 °C"),
        ("navy cotton tee, white plastisol, wash 75", "navy cotton tee, white plastisol, wash 75 °C"),
        ("navy cotton tee, white plastisol, wash 60", "navy cotton tee, white plastisol, wash 60 °C"),
        ("navy cotton tee, white plastisol, wash 60 times", "navy cotton tee, white plastisol, 60 washes"),
        // Machines, stencils and what is stirred in.
        ("white plastisol on black cotton tee, heat press only", "white plastisol on black cotton tee using heat press"),
        ("white plastisol on black cotton tee, conveyor dryer only", "white plastisol on black cotton tee using conveyor dryer"),
        ("white plastisol on black cotton tee, front only", "white plastisol on black cotton tee"),
        ("water-based on white cotton tee through photopolymer emulsion", "water-based with photopolymer emulsion on white cotton tee"),
        ("white plastisol on black nylon jacket, no additive", "white plastisol on black nylon jacket without additive"),
        ("navy nylon jacket, white nylon plastisol, 10% bonding agent", "white nylon plastisol with 10% bonding agent on navy nylon jacket"),
        ("white plastisol, nylon catalyst 5% on navy nylon jacket", "white plastisol with 5% nylon catalyst on navy nylon jacket"),
        ("puff additive 15% in white plastisol on black cotton tee", "white plastisol with 15% puff additive on black cotton tee"),
        ("white plastisol with 15% puff on black cotton tee", "white plastisol with 15% puff additive on black cotton tee"),
        ("nylon ink with catalyst white on navy nylon jacket", "white two part nylon ink on navy nylon jacket"),
        ("plastisol phthalate free on white cotton tee", "phthalate free plastisol on white cotton tee"),
        ("polyester socks, silicone grip", "silicone ink on polyester socks"),
        // Cloths and articles.
        ("hi-vis yellow polyester vest, black plastisol", "black plastisol on hi-vis yellow hi-vis vest polyester"),
        ("60 hi-vis yellow vests, black plastisol", "black plastisol on hi-vis yellow hi-vis vest, 60 pieces"),
        ("navy polar fleece jacket, white plastisol", "white plastisol on navy fleece jacket"),
        ("trucker cap, foam front, black plastisol", "black plastisol on foam-front cap"),
        ("black foam can cooler, white plastisol", "white plastisol on black can cooler"),
        ("black can cooler, foam, white plastisol", "white plastisol on black can cooler"),
        ("trucker cap, foam, black plastisol", "black plastisol on foam-front cap"),
        ("50 white cotton 50 polyester tee, black plastisol", "black plastisol on white 50% cotton 50% polyester tee"),
        ("black nylon jacket without finish, white plastisol, 20 pcs", "white plastisol on black nylon jacket without finish, 20 pieces"),
        ("reactive dye paste on white PFP cotton", "reactive dye paste on white ready to print cotton"),
        ("discharge only on black cotton", "discharge on black cotton"),
        ("black can holder, white plastisol", "white plastisol on black can cooler"),
        ("white nylon ink on 190T nylon taffeta", "white nylon ink on nylon taffeta"),
        ("jacket 190T nylon, white nylon ink", "white nylon ink on nylon taffeta jacket"),
        ("cotton tote with rope handles, black plastisol", "black plastisol on cotton tote"),
        ("white plastisol on black 70/30 cotton rich tee", "white plastisol on black 70% cotton 30% polyester tee"),
        ("60 Polos weiß Polyester-Piqué, Wasserbasis schwarz", "water-based black on white polyester pique polo, 60 pieces"),
        ("bolsas tela natural, plastisol verde", "plastisol verde on natural shopping bag"),
        // What is ordered, and how it is asked for.
        ("120 navy 80/20 cotton/poly hoodies, white plastisol", "white plastisol on navy 80/20 cotton poly hoodie, 120 pieces"),
        ("300 white 100% polyester sports tees, blue plastisol", "blue plastisol on white 100% polyester sports tee, 300 pieces"),
        ("50 schwarze Baumwoll-T-Shirts, weißer Plastisoldruck", "white plastisol on black cotton tee, 50 pieces"),
        ("50 x black cotton tees S-XXL, 1 col white plastisol, needed 12/12", "white plastisol on black cotton tee, 1 colour, 50 pieces"),
        ("45 red polyester football shirts, white plastisol, by 15 March", "white plastisol on red polyester football shirt, 45 pieces"),
        ("order 1432: 60 tees, black, cotton, white plastisol, deadline 3rd Jan", "white plastisol on black cotton tee, 60 pieces"),
        ("30 hi-vis orange vests, \"STAFF\" on back in black plastisol", "black plastisol on hi-vis orange hi-vis vest, 30 pieces"),
        ("Good afternoon, please can you print 250 jute bags with black plastisol? Regards", "black plastisol on jute bag, 250 pieces"),
        ("Bonjour, nous voulons 40 polos blancs en polyester avec plastisol rouge, merci", "red plastisol on white polyester polo, 40 pieces"),
        ("Hola, necesito 30 bolsas de algodón con tinta al agua negra, gracias", "black water-based on cotton shopping bag, 30 pieces"),
        ("35 kids tees red cotton ages 5-13, white plastisol", "white plastisol on red cotton tee for children, 35 pieces"),
        ("does plastisol stick to nylon", "plastisol on nylon"),
        ("could plastisol work on cotton", "plastisol on cotton"),
        ("should plastisol go on cotton", "plastisol on cotton"),
        ("can i use plastisol on cotton", "plastisol on cotton"),
        ("can we use plastisol for cotton", "plastisol on cotton"),
        ("can you print plastisol on cotton", "plastisol on cotton"),
        ("can I put plastisol on cotton", "plastisol on cotton"),
        ("is plastisol ok on cotton", "plastisol on cotton"),
        ("is plastisol okay for cotton", "plastisol on cotton"),
        ("is plastisol safe on nylon", "plastisol on nylon"),
        ("is plastisol suitable for nylon", "plastisol on nylon"),
        ("plastisol on cotton @ 160C", "plastisol on cotton at 160 °C"),
        ("plastisol on cotton at 160c", "plastisol on cotton at 160 °C"),
        ("plastisol on cotton at 320F", "plastisol on cotton at 160 °C"),
        ("plastisol at 160 °C on cotton", "plastisol on cotton at 160 °C"),
        ("plastisol on cotton through 110 mesh", "plastisol on cotton through 43 /cm"),
        ("plastisol on cotton, two strokes", "plastisol on cotton, 2 strokes"),
        ("plastisol on tee (80% cotton, 20% polyester) in black", "plastisol on black tee 80/20 cotton polyester"),
        ("plastisol with 25 g/kg low-cure additive on cotton", "plastisol with 2.5 % low-cure additive on cotton"),
        ("plastisol with 2.5 parts per hundred low-cure additive on cotton", "plastisol with 2.5 % low-cure additive on cotton"),
        ("discharge with activator on black cotton", "discharge with discharge activator on black cotton"),
        ("plastisol on athletic mesh polyester jersey", "plastisol on football shirt polyester mesh"),
        ("plastisol on nylon taffeta, not water repellent", "plastisol on nylon taffeta without water repellent"),
        ("plastisol on nylon taffeta, no water repellent", "plastisol on nylon taffeta without water repellent"),
        ("plastisol on nylon taffeta without finish", "plastisol on nylon taffeta without coating"),
        ("40 pcs white plastisol on black cotton tee", "white plastisol on black cotton tee, 40 pieces"),
        ("40 hoodies navy 50/50 cotton poly, white plastisol", "white plastisol on navy hoodie 50/50 cotton poly, 40 pieces"),
        ("white plastisol on 12 tees 80% cotton 20% polyester", "white plastisol on tee 80% cotton 20% polyester, 12 pcs"),
        ("white plastisol on black cotton tee, left chest, 40 pcs", "white plastisol on black cotton tee, 40 pcs"),
        ("can we print a black cotton tee with white plastisol", "white plastisol on black cotton tee"),
        ("can we print on black cotton with white plastisol using flash only", "white plastisol on black cotton using flash"),
        ("can we print plastisol with 5% nylon bonding catalyst on nylon", "plastisol with 5% nylon bonding catalyst on nylon"),
        ("white plastisol using flash only on black cotton", "white plastisol on black cotton using flash"),
        ("print nylon with plastisol with 5% nylon bonding catalyst", "plastisol with 5% nylon bonding catalyst on nylon"),
        ("plastisol on polyester football shirt 100% polyester", "plastisol on football shirt 100% polyester"),
        ("plastisol on cotton tee 80% cotton 20% polyester", "plastisol on tee 80% cotton 20% polyester"),
        ("plastisol on tee 80% cotton 20% polyester cotton", "plastisol on tee 80% cotton 20% polyester"),
        ("plastisol on baby bib for sale in the EU", "plastisol on baby bib for the EU"),
        ("white plastisol on black cotton tee, 12\" x 14\"", "white plastisol on black cotton tee, 12 x 14 in"),
        ("white plastisol on black cotton tee, 12 in x 14 in", "white plastisol on black cotton tee, 12 x 14 in"),
        ("white plastisol on black cotton tee, 12x14\"", "white plastisol on black cotton tee, 12 x 14 in"),
        ("plastisol on cotton tee 30x25 cm, 40 % covered", "plastisol on cotton tee 30x25 cm, coverage: 40 %"),
        ("plastisol on cotton tee 30x25 cm, 40% coverage", "plastisol on cotton tee 30x25 cm, covers 40 %"),
        ("white plastisol under red plastisol on black tee", "red plastisol over white plastisol on black tee"),
        ("plastisol under puff on black cotton tee", "puff over plastisol on black cotton tee"),
        ("black cotton tee, plastisol under puff", "puff over plastisol on black cotton tee"),
        ("white over black plastisol on cotton tee", "white plastisol over black plastisol on cotton tee"),
        ("two-colour print in plastisol on black tee", "2 colour plastisol on black tee"),
        ("2-colour plastisol on black tee", "2 colours plastisol on black tee"),
        ("1 col plastisol on black tee", "plastisol on black tee, one colour"),
        ("plastisol auf Baumwolle", "plastisol on cotton"),
        ("plastisol sur coton noir", "plastisol on black cotton"),
        ("plastisol sur veste en nylon", "plastisol on nylon jacket"),
        ("plastisol blanco sobre camiseta negra 100% algodón", "white plastisol on black tee 100% cotton"),
        ("plastisol su cotone nero", "plastisol on black cotton"),
        ("plastisol op katoen", "plastisol on cotton"),
        ("plastisol na bawełna", "plastisol on cotton"),
        ("plastisol em algodão", "plastisol on cotton"),
        ("plastisol mit 5% low-cure additive auf Baumwolle", "plastisol with 5% low-cure additive on cotton"),
        ("plastisol avec 5% low-cure additive sur coton", "plastisol with 5% low-cure additive on cotton"),
        ("plastisol sans PVC sur coton", "PVC-free plastisol on cotton"),
        ("plastisol auf torba na zakupy", "plastisol on shopping bag"),
        ("kann man Plastisol auf Nylon drucken?", "plastisol on nylon"),
        ("plastisol w/ 5% low-cure additive on cotton", "plastisol with 5% low-cure additive on cotton"),
        ("40 black tees, white plastisol", "white plastisol on black tee, 40 pieces"),
        ("white plastisol on 40 black cotton tees", "white plastisol on black cotton tee, 40 pieces"),
        ("50 x white hoodies 80/20 cotton poly, navy plastisol", "navy plastisol on white hoodie 80/20 cotton poly, 50 pieces"),
        ("plastisol on 100 cotton tee", "plastisol on tee 100% cotton"),
        ("plastisol on 60 cotton, 40 polyester tees", "plastisol on tee 60% cotton 40% polyester"),
        ("vinyl transfer white names and numbers on red shirts", "white cut-film transfer on red shirt"),
        ("black plastisol on hi-vis yellow 100% polyester vest", "black plastisol on hi-vis yellow 100% polyester safety vest"),
        ("black plastisol on white nylon windbreaker jacket", "black plastisol on white nylon windbreaker"),
        ("black plastisol on natural cotton tote shopper", "black plastisol on natural cotton tote bag"),
        ("navy plastisol on white cotton tees, dry in tumbler", "navy plastisol on white cotton tees, tumble dried"),
        ("black plastisol on white cotton tees for running club", "black plastisol on white cotton tees"),
        ("low-bleed white plastisol on red polyester", "white low-bleed plastisol on red polyester"),
        ("plastisol on bodysuit for baby 100% cotton", "plastisol on bodysuit 100% cotton for babies"),
        ("plastisol on cotton tee 60 °C wash", "plastisol on cotton tee hot wash"),
        ("plastisol on cotton tee, washed at 60 °C", "plastisol on cotton tee hot wash"),
        ("plastisol on cotton cured at 160 °C", "plastisol on cotton at 160 °C"),
        ("plastisol on certified organic cotton", "plastisol on organic cotton"),
        ("plastisol on black cotton leggings 95/5 cotton elastane", "plastisol on black leggings 95% cotton 5% elastane"),
        ("plastisol on spandex leggings 80/20 nylon spandex", "plastisol on leggings 80% nylon 20% spandex"),
        ("plastisol on rayon viscose 100%", "plastisol on 100% viscose"),
        ("plastisol on viscose rayon", "plastisol on viscose"),
        ("tee;black;100% cotton;white plastisol;40 pcs", "white plastisol on black tee 100% cotton, 40 pcs"),
        ("tee\tblack\t100% cotton\twhite plastisol\t40 pcs", "white plastisol on black tee 100% cotton, 40 pcs"),
        ("qty 40, black cotton tee, ink: white plastisol", "white plastisol on black cotton tee, 40 pcs"),
        ("50 T-Shirts schwarz, 100% Baumwolle, Plastisol weiß, 30x40 cm", "white plastisol on black tee 100% cotton, 50 pieces, 30x40 cm"),
        ("40 black cotton tees printed with white plastisol", "white plastisol on black cotton tee, 40 pieces"),
        ("Hi, can you print white plastisol on black tees please?", "white plastisol on black tee"),
        ("plastisol on cotton, no flash", "plastisol on cotton without flash"),
        ("red plastisol with white underbase on black tee", "red plastisol over white plastisol on black tee"),
        ("red plastisol on black tee with white underbase", "red plastisol over white plastisol on black tee"),
        ("black tee, red plastisol, white underbase", "red plastisol over white plastisol on black tee"),
        ("red plastisol over white underbase on black tee", "red plastisol over white plastisol on black tee"),
        ("red low-bleed plastisol with white underbase on navy polyester", "red low-bleed plastisol over white low-bleed plastisol on navy polyester"),
        ("plastisol + 5 % low-cure additive on cotton", "plastisol with 5 % low-cure additive on cotton"),
        ("black tee, plastisol + 5% low-cure additive", "plastisol with 5% low-cure additive on black tee"),
        ("fluorescent pink plastisol on black tee", "fluorescent plastisol pink on black tee"),
        ("neon pink plastisol on black tee", "fluorescent pink fluorescent ink on black tee"),
        ("athletic gold plastisol on black tee", "gold plastisol on black tee"),
        ("metallic gold plastisol on black tee", "gold metallic ink on black tee"),
        ("low cure white plastisol on black tee", "white low-cure plastisol on black tee"),
        ("off white plastisol on off white tee", "off-white plastisol on natural tee"),
        ("white plastisol on black tees, sizes S-XL, 40 pcs", "white plastisol on black tee, 40 pcs"),
        ("40 black tees S-2XL, white plastisol", "white plastisol on black tee, 40 pcs"),
        ("white plastisol on black cotton tee size M", "white plastisol on black cotton tee"),
        ("white plastisol on black tee, A4", "white plastisol on black tee, 21 x 29.7 cm"),
        ("white plastisol on black tee, A3 print", "white plastisol on black tee, 29.7 x 42 cm"),
        ("black cotton tee, white plastisol x 40", "white plastisol on black cotton tee, 40 pieces"),
        ("white plastisol on black cotton tee x40", "white plastisol on black cotton tee, 40 pieces"),
        ("tea towels, white cotton, 500, navy water-based", "navy water-based on white cotton tea towel, 500 pieces"),
        ("white tee 100% cotton, 40, black plastisol", "black plastisol on white tee 100% cotton, 40 pieces"),
        ("black cotton tee, white plastisol, 40", "white plastisol on black cotton tee, 40 pieces"),
        ("black softshell jacket w/ membrane, white plastisol, left breast", "white plastisol on black softshell jacket with membrane"),
        ("40 black tees with white plastisol, 5% low-cure additive", "white plastisol with 5% low-cure additive on black tee, 40 pieces"),
        ("maglietta nera cotone plastisol bianco 30 pezzi", "white plastisol on black tee cotton, 30 pieces"),
        ("white plastisol on black cotton tee, size 2XL", "white plastisol on black cotton tee"),
        ("5 oz black cotton tees, white plastisol", "white plastisol on black cotton tee 5 oz/yd²"),
        ("running shirt neon yellow, black low cure plastisol 150", "black low-cure plastisol on neon yellow running shirt, 150 pieces"),
        ("black jacket, white plastisol", "white plastisol on black jacket"),
        ("250 off, white plastisol on black tee", "white plastisol on black tee, 250 pieces"),
        ("black plastisol, white tee, 250 off, 30cm x 40cm", "black plastisol on white tee, 250 pieces, 30 x 40 cm"),
        ("black plastisol on hi-vis yellow vest", "black plastisol on safety vest in hi-vis yellow"),
        ("black plastisol on hi vis orange waistcoat", "black plastisol on safety vest in hi-vis orange"),
        ("encre à l'eau sur coton noir", "water-based on black cotton"),
        ("Plastisol auf schwarze Nylonjacke", "plastisol on black nylon jacket"),
        ("plastisol on cotton without finish, 30 pieces of 150 x 250 cm", "plastisol on cotton without finish, 30 pieces, 150 x 250 cm"),
        ("white plastisol on 100% cotton 40 x 60 cm", "white plastisol on 100% cotton, 40 cm x 60 cm"),
        ("plastisol on cotton tee for a 2 year old", "plastisol on cotton tee for babies"),
        ("plastisol on cotton tee for a 2-year-old", "plastisol on cotton tee for babies"),
        ("plastisol on cotton tee, 0-3 months", "plastisol on cotton tee for babies"),
        ("plastisol on cotton tee for a 10 year old", "plastisol on cotton tee for children"),
        ("plastisol on cotton polo, age 5-6", "plastisol on cotton polo for children"),
        ("40 black cotton tees, white print, plastisol", "white plastisol on black cotton tee, 40 pieces"),
        ("red polyester football shirts, white numbers, low bleed plastisol", "white low bleed plastisol on red polyester football shirt"),
        ("25 hoodies grey marl w/ black plastisol, 1 colour, A5", "black plastisol on grey marl hoodie, 25 pieces, 1 colour, 14.8 x 21 cm"),
        ("can you do metallic silver on navy cotton sweatshirts", "metallic silver on navy cotton sweatshirt"),
        ("black fleece jacket, white plastisol, chest 10 cm", "white plastisol on black fleece jacket, 10 cm wide"),
        ("is it possible to print plastisol on nylon", "plastisol on nylon"),
        ("can polyester be printed with plastisol", "plastisol on polyester"),
        ("could we print these polyester bags with plastisol", "plastisol on polyester bag"),
        ("can you do 30 black cotton tote bags with gold foil", "gold foil on black cotton tote bag, 30 pieces"),
        ("can you do 40 black tees, white plastisol", "white plastisol on black tee, 40 pieces"),
        ("white plastisol on black tees, 10 S, 20 M, 10 L", "white plastisol on black tee, 40 pieces"),
        ("white plastisol on black tees S: 10, M: 20, 2XL: 10", "white plastisol on black tee, 40 pieces"),
        ("40 black tees, 10 x S / 20 x M / 10 x L, white plastisol", "white plastisol on black tee, 40 pieces"),
        ("black tees, white plastisol, 61T, flash", "white plastisol on black tee through 61 /cm using flash"),
        ("plastisol on cotton through 61T cured at 160 °C", "plastisol on cotton through 61 /cm at 160 °C"),
        ("50 T shirts black, white plastisol", "white plastisol on black tee, 50 pieces"),
        ("black cotton tee white plastisol 10xS, 20xM, 10xL", "white plastisol on black cotton tee, 40 pieces"),
        ("10xS 20xM 10xL black cotton tee white plastisol", "white plastisol on black cotton tee, 40 pieces"),
        ("white plastisol on black cotton tee, 10xS", "white plastisol on black cotton tee, 10 pieces"),
        ("2c white plastisol on black cotton tee", "white plastisol on black cotton tee, 2 colours"),
        ("black cotton tee, white plastisol, 1c", "white plastisol on black cotton tee, 1 colour"),
        ("white plastisol on cotton tee at 160c", "white plastisol on cotton tee at 160 °C"),
        ("4 col process plastisol on white cotton tee", "process plastisol on white cotton tee, 4 colours"),
        ("white plastisol on black cotton tee with 0.1 mm lines", "white plastisol on black cotton tee, 0.1 mm lines"),
        ("black cotton tee with white plastisol and 0.3 mm lines", "white plastisol on black cotton tee, 0.3 mm lines"),
        ("white plastisol on black can cooler", "white plastisol on black stubby holder"),
        ("30 black can coolers with white plastisol", "white plastisol on black stubby holder, 30 pieces"),
        ("can plastisol go on a can cooler", "plastisol on stubby holder"),
        ("20 tees black cotton white plastisol 110 mesh", "white plastisol on black cotton tee, 20 pieces, 110 mesh"),
        ("navy tees, cotton white plastisol", "cotton white on navy tee"),
        ("tote bags with red plastisol, natural cotton, qty: 75", "red plastisol on natural cotton tote bag, 75 pieces"),
        ("rugby shirt black cotton, white plastisol, left breast 9cm wide", "white plastisol on black cotton rugby shirt, 9 cm wide"),
        ("50 tees black cotton; white plastisol; hit flash hit", "white plastisol on black cotton tee, 50 pieces, 2 strokes"),
        ("we would like to have 60 navy polos with white plastisol", "white plastisol on navy polo, 60 pieces"),
        ("sac coton naturel encre à l'eau noire 200 pièces", "black water-based on natural cotton bag, 200 pieces"),
        ("borse cotone naturale inchiostro ad acqua nero 100 pezzi", "black water-based on natural cotton bag, 100 pieces"),
        ("bolsas de algodón natural tinta al agua negra 100 unidades", "black water-based on natural cotton bag, 100 pieces"),
        ("tee white plastisol black 100% cotton", "white plastisol on black 100% cotton tee"),
        ("plastisol on 180 g cotton tee", "plastisol on cotton tee 180 g/m²"),
        ("need 50 white tees with black plastisol", "black plastisol on white tee, 50 pieces"),
        ("we need white plastisol on 40 black tees", "white plastisol on black tee, 40 pieces"),
        ("plastisol on 40no. black cotton tees", "plastisol on black cotton tee, 40 pieces"),
        ("2 dozen navy hoodies, white plastisol", "white plastisol on navy hoodie, 24 pieces"),
        ("30 navy hoodie, white plastisol", "white plastisol on navy hoodie, 30 pieces"),
        ("50x white cotton tee, black plastisol", "black plastisol on white cotton tee, 50 pieces"),
        ("white on black tee plastisol", "white plastisol on black tee"),
        ("white on black cotton, plastisol, print-flash-print", "white plastisol on black cotton, 2 strokes"),
        ("white on black cotton tee with plastisol", "white plastisol on black cotton tee"),
        ("plastisol op katoenen t-shirt", "plastisol on cotton tee"),
        ("50 zwarte katoenen T-shirts met witte plastisol", "white plastisol on black cotton tee, 50 pieces"),
        ("50 czarnych koszulek bawełnianych, biały plastisol", "white plastisol on black cotton tee, 50 pieces"),
        ("50 magliette nere di cotone con plastisol bianco", "white plastisol on black cotton tee, 50 pieces"),
        ("plastisol on cotton tee washed at 60", "plastisol on cotton tee hot wash"),
        ("plastisol on cotton tee, washed at 40 °C", "plastisol on cotton tee"),
        ("250 off white plastisol on black tee", "off-white plastisol on black tee, 250 pieces"),
        ("plastisol on 600 denier polyester tote bag", "plastisol on 600D polyester tote bag"),
        ("white plastisol on black cotton tee rush job", "white plastisol on black cotton tee"),
        ("asap: white plastisol on black cotton tee by Friday", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, need fri", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, need for sat", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, bitte bis Freitag", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, flash first", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, no wash needed", "white plastisol on black cotton tee"),
        ("LC logo white plastisol on black cotton polo", "white plastisol on black cotton polo"),
        ("white plastisol on black cotton tee across the chest", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, stored in boxes hot", "white plastisol on black cotton tee, packed hot"),
        ("screen transfers on black cotton tee", "plastisol transfer on black cotton tee"),
        ("HTV transfers on black polyester tee", "cut-film transfer on black polyester tee"),
        ("black plastisol on white woven PP bags", "black plastisol on white tape weave PP bags"),
        ("weiße Vliestaschen, schwarz Plastisol", "schwarz plastisol on white non-woven bag"),
        ("can i iron over white plastisol on black cotton tee", "white plastisol on black cotton tee, ironed"),
        ("can you tumble dry white plastisol on black cotton tee", "white plastisol on black cotton tee, tumble dried"),
        ("can we discharge tri blend black tee", "discharge on black tri blend tee"),
        ("print over zip, black zip hoodie 80/20 cotton polyester, white plastisol", "white plastisol on black zip hoodie 80/20 cotton polyester, over the zip"),
        ("white plastisol on black cotton tee, double hit", "white plastisol on black cotton tee, 2 hits"),
        ("waterbased black on white cotton, add 5% retarder", "black water-based with 5% retarder on white cotton"),
        ("tag print grey plastisol on white cotton tee", "grey plastisol on white cotton tee, inside neck label"),
        ("please print 40 red cotton tees with black plastisol by Friday", "black plastisol on red cotton tee, 40 pieces"),
        ("50 black cotton tees with a white plastisol print on the front, thanks", "white plastisol on black cotton tee, 50 pieces"),
        ("Product: tote bag, Material: 100% cotton, Ink: water-based black, Pieces: 200", "black water-based on cotton tote bag, 200 pieces"),
        ("white puff on black hoodies, 24", "white puff on black hoodie, 24 pieces"),
        ("144 navy tees 100% cotton, discharge, cure at 325F for 2 minutes", "discharge on navy tee 100% cotton at 325 °F for 2 min, 144 pieces"),
        ("60 Polos weiß, Plastisol rot, linke Brust 8 cm", "red plastisol on white polo, 60 pieces, 8 cm wide"),
        ("Garment=tee; Colour=black; Ink=white plastisol; Qty=40", "white plastisol on black tee, 40 pieces"),
        ("plastisol on white cotton tee for 100 washes at 60 °C", "plastisol on white cotton tee hot wash, 100 washes"),
        ("plastisol on white cotton tee for 50 washes at 140 °F", "plastisol on white cotton tee hot wash, 50 washes"),
        ("plastisol on white cotton tee, washed 50 times at 60 °C", "plastisol on white cotton tee hot wash, 50 washes"),
        ("plastisol on white cotton tee, 50 washes at 40", "plastisol on white cotton tee, 50 washes"),
        ("plastisol on white cotton tee, 30 washes at 90 °C", "plastisol on white cotton tee boil wash, 30 washes"),
        ("plastisol on white cotton tee, home wash at 60 °C", "plastisol on white cotton tee, home wash, hot wash"),
        ("plastisol on white cotton tee, washed at home at 60 °C", "plastisol on white cotton tee, home wash, hot wash"),
        ("plastisol for 50 washes at 60 °C on white cotton tee", "plastisol on white cotton tee hot wash, 50 washes"),
        ("plastisol on white cotton tee, 50 lavages à 60 °C", "plastisol on white cotton tee hot wash, 50 washes"),
        ("plastisol on white cotton tee, washed at 50 °C", "plastisol on white cotton tee hot wash"),
        ("plastisol on white cotton tee for 50 washes at 160 °C", "plastisol on white cotton tee at 160 °C, 50 washes"),
        ("plastisol on white cotton tee for 50 washes, cured at 160 °C", "plastisol on white cotton tee at 160 °C, 50 washes"),
        ("white plastisol on black stone washed denim at 160 °C", "white plastisol on black garment washed denim at 160 °C"),
        ("plastisol on white cotton tee, ironed at 150 °C", "plastisol on white cotton tee, ironed"),
        ("plastisol on white cotton tee, tumble dried at 60 °C", "plastisol on white cotton tee, tumble dried"),
        ("plastisol on white cotton apron, tumble dried, 95 C wash", "plastisol on white cotton apron, boil wash, tumble dried"),
        ("plastisol on white cotton apron, ironed, 95 degree wash", "plastisol on white cotton apron, boil wash, ironed"),
        ("plastisol on white cotton apron at 160 C for 60 s, 95 C wash", "plastisol on white cotton apron, boil wash at 160 °C for 60 s"),
        ("plastisol on white cotton tee, wash test at 60 °C", "plastisol on white cotton tee hot wash, using wash test"),
        ("plastisol on white cotton tee, conveyor dryer 160 °C 60 s", "plastisol on white cotton tee, conveyor dryer at 160 °C, for 60 s"),
        ("white plastisol on black cotton tee, dryer at 200 C", "white plastisol on black cotton tee, dryer dial reads 200 °C"),
        ("white plastisol on black cotton tee, dryer set to 180", "white plastisol on black cotton tee, dryer at 180 °C"),
        ("white plastisol on black cotton tee, gas dryer set to 180", "white plastisol on black cotton tee, gas dryer 180 °C"),
        ("white plastisol on black cotton tee, tunnel 170 C", "white plastisol on black cotton tee, tunnel set to 170"),
        ("white plastisol on black cotton tee, dryer at 200 C, cured at 160 C", "white plastisol on black cotton tee using dryer at 160 C"),
        // What an ink is called more closely, said apart from it.
        ("white plastisol on navy 50/50 hoodie, low bleed", "white low-bleed plastisol on navy 50/50 hoodie"),
        ("white plastisol, low-bleed, on red polyester tee", "white low-bleed plastisol on red polyester tee"),
        ("red polyester tee, white plastisol, low bleed, 40 pcs", "white low-bleed plastisol on red polyester tee, 40 pieces"),
        ("low bleed low cure white plastisol on navy polyester tee", "white low-cure low-bleed plastisol on navy polyester tee"),
        ("high-solids white water-based on navy cotton tee", "white high-solids water-based ink on navy cotton tee"),
        ("nylon ink white with catalyst on navy nylon jacket", "white two part nylon ink on navy nylon jacket"),
        ("foil on black cotton tee with plastisol adhesive", "foil adhesive on black cotton tee"),
        ("foil on black cotton tee with foil adhesive", "foil adhesive on black cotton tee"),
        ("neck label white plastisol on black cotton tee", "white plastisol on black cotton tee, inside neck label"),
        ("pigment discharge on black cotton tee", "discharge on black cotton tee"),
        ("cut vinyl heat transfer on red cotton tee", "cut-film transfer on red cotton tee"),
        ("discharge underbase with plastisol on top on black cotton tee", "plastisol over discharge on black cotton tee"),
        ("white nylon ink on navy nylon jacket, no catalyst", "white nylon ink on navy nylon jacket without catalyst"),
        ("white plastisol low cure on black polyester tee", "white low-cure plastisol on black polyester tee"),
        ("orange polyester polo, black plastisol low cure", "black low-cure plastisol on orange polyester polo"),
        ("white plastisol low-bleed low-cure on navy polyester tee", "white low-cure low-bleed plastisol on navy polyester tee"),
        ("black nylon jacket, white plastisol, nylon catalyst added", "white plastisol with nylon catalyst on black nylon jacket"),
        ("50 Polos marineblau Polyester, Plastisol weiß blutungsarm", "white low-bleed plastisol on navy polyester polo, 50 pieces"),
        ("30 schwarze Hoodies 80/20 Baumwolle/Polyester, weißer Plastisol-Druck auf dem Rücken", "white plastisol on black hoodie 80% cotton 20% polyester, 30 pieces"),
        ("sacs en toile de coton écru, sérigraphie noire à base d'eau", "black water-based on natural cotton tote"),
        // What an order says first or last, and who signs it.
        ("white plastisol for black cotton tees", "white plastisol on black cotton tee"),
        ("print 75 black cotton tees white plastisol", "white plastisol on black cotton tee, 75 pieces"),
        ("pls print 75 black cotton tees white plastisol, thanks Anna", "white plastisol on black cotton tee, 75 pieces"),
        ("300 cotton bags with our logo in dark green, water based ink please. Kind regards, John Miller", "dark green water based ink on cotton bag, 300 pieces"),
        ("we need 24 navy cotton hoodies with a white print on the back, plastisol", "white plastisol on navy cotton hoodie, 24 pieces"),
        ("50 black cotton tees at 160C, white plastisol", "white plastisol on black cotton tee at 160 C, 50 pieces"),
        ("25 polos for our new staff, royal blue cotton, white plastisol left breast", "white plastisol on royal blue cotton polo, 25 pieces"),
        ("white plastisol on black cotton tee for our kids football team", "white plastisol on black cotton tee for kids"),
        ("white plastisol on cotton toddler tee, white print on pink", "white plastisol on pink cotton toddler tee"),
        ("plastisol on cotton tee, white on navy", "white plastisol on navy cotton tee"),
        ("white underbase, red plastisol on black cotton tee", "red plastisol over white plastisol on black cotton tee"),
        ("white plastisol, flash, on black cotton tee", "white plastisol on black cotton tee using flash"),
        ("white plastisol on black cotton tee, using conveyor dryer at 160 °C", "white plastisol on black cotton tee using conveyor dryer at 160 °C"),
        ("white plastisol on black cotton tee, dryer temp 170, 60 s", "white plastisol on black cotton tee, dryer at 170 °C, for 60 s"),
        ("white plastisol on black cotton tee, flash at 110C, dryer at 160C", "white plastisol on black cotton tee, dryer at 160C"),
        ("white plastisol on black cotton tee for our summer wedding, 40 pcs", "white plastisol on black cotton tee, 40 pieces"),
        // How it is cared for.
        ("white plastisol on black cotton tee, washed 60", "white plastisol on black cotton tee, hot wash"),
        ("white plastisol on black cotton tee, dry in tumble at home", "white plastisol on black cotton tee, tumble dried"),
        ("white plastisol on black cotton tee, dry in tumbler", "white plastisol on black cotton tee, tumble dried"),
        ("white plastisol on black cotton tee, may be tumble dried", "white plastisol on black cotton tee, tumble dried"),
        ("white plastisol on black cotton tee, line dry", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, hung to dry", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, machine washed at 40", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, machine wash warm", "white plastisol on black cotton tee"),
        ("white plastisol on navy fire retardant treated cotton coverall", "white plastisol on navy flame retardant cotton coverall"),
        ("white plastisol on black dry fit polyester tee", "white plastisol on black wicking polyester tee"),
        ("white plastisol on black cotton tee with 2% elastane", "white plastisol on black tee 98% cotton 2% elastane"),
        ("white plastisol on black cotton tee, 20% polyester", "white plastisol on black tee 80% cotton 20% polyester"),
        ("white low-bleed plastisol on red polyester tee at 145 C, bleed tested", "white low-bleed plastisol on red polyester tee, bleed tested, at 145 C"),
        ("white plastisol on olive cotton field jacket", "white plastisol on olive cotton jacket"),
        ("plastisol on jet black cotton tee, jet dryer", "plastisol on jet black cotton tee using jet dryer"),
        ("white plastisol on black cotton tee, we have no flash", "white plastisol on black cotton tee without flash"),
        ("white plastisol with no flash on black cotton tee", "white plastisol on black cotton tee without flash"),
        ("white plastisol on black cotton tee without flash", "white plastisol on black cotton tee without quartz flash, infrared flash, air flash"),
        ("white plastisol on black cotton tee ohne Zwischentrockner", "white plastisol on black cotton tee without flash"),
        ("white plastisol on black cotton tee without dryer", "white plastisol on black cotton tee without infrared dryer, gas dryer, jet dryer, solvent dryer, UV dryer"),
        ("plastisol on cotton tee at 160 °C for 60 s, no flash", "plastisol on cotton tee without flash at 160 °C for 60 s"),
        ("white plastisol on black cotton tee, no heat press", "white plastisol on black cotton tee without heat press"),
        ("white plastisol on black cotton tee, we only have a flash and a heat press", "white plastisol on black cotton tee using flash, heat press"),
        ("white plastisol on black cotton tee with flash and conveyor dryer", "white plastisol on black cotton tee using flash, conveyor dryer"),
        ("white plastisol on black cotton tee, a flash and a heat press", "white plastisol on black cotton tee using flash, heat press"),
        ("black water-based on natural cotton tote with dual-cure emulsion and 3% fixer", "dual-cure emulsion black water-based with 3% fixer on natural cotton tote"),
        ("plastisol with photopolymer stencil on cotton tee", "photopolymer stencil plastisol on cotton tee"),
        ("white plastisol on black cotton tee 160C 60s", "white plastisol on black cotton tee at 160 °C for 60 s"),
        ("white plastisol on black cotton tee, 160 °C, 60 s", "white plastisol on black cotton tee at 160 °C for 60 s"),
        ("plastisol on cotton, at 160 °C 60s", "plastisol on cotton at 160 °C for 60 s"),
        ("white plastisol on black cotton tee 60s @160C", "white plastisol on black cotton tee at 160 °C for 60 s"),
        ("white plastisol on black cotton tee @ 160C/60s", "white plastisol on black cotton tee at 160 °C for 60 s"),
        ("plastisol at 165 °C for 60 s on white cotton tee", "plastisol on white cotton tee at 165 °C for 60 s"),
        ("white plastisol on navy nylon drawstring bag, 43T mesh", "white plastisol on navy nylon drawstring bag through 43 /cm"),
        ("white plastisol on black cotton apron, 43T mesh", "white plastisol on black cotton apron through 43 /cm"),
        ("white plastisol on black cotton tee, mesh 43T", "white plastisol on black cotton tee through 43 /cm"),
        ("43T mesh, white plastisol on black cotton tee", "white plastisol on black cotton tee through 43 /cm"),
        ("white plastisol on black cotton tee with a 43T screen", "white plastisol on black cotton tee through 43 /cm"),
        ("white plastisol on black cotton tee 110 US mesh", "white plastisol on black cotton tee through 110 /in"),
        ("white plastisol on black cotton tee through 110 US mesh", "white plastisol on black cotton tee through 110 /in"),
        ("do black cotton aprons take white discharge", "white discharge on black cotton apron"),
        ("5 % low-cure additive in plastisol on nylon", "plastisol with 5 % low-cure additive on nylon"),
        ("aziridine in water-based on cotton", "water-based with aziridine on cotton"),
        // A place behind the colour of a print, said apart, makes it no colour of the cloth.
        ("tote bags cotton, water-based black both sides", "tote bags cotton, black water-based"),
        ("cotton tees, plastisol white left chest", "cotton tees, white plastisol"),
        ("cotton tees, plastisol red front", "cotton tees, red plastisol"),
        ("logo on black cotton tee, white plastisol", "white plastisol on black cotton tee"),
        ("4 colour screen print on black cotton tee, plastisol", "4 colour plastisol on black cotton tee"),
        ("screen print on black cotton tee, white plastisol", "white plastisol on black cotton tee"),
        ("on black cotton tee, white plastisol", "white plastisol on black cotton tee"),
        ("print on navy cotton hoodie, plastisol white", "white plastisol on navy cotton hoodie"),
        ("plastisol white, navy poly cotton hoody", "white plastisol on navy poly cotton hoody"),
        ("plastisol white, cotton tee", "white plastisol on cotton tee"),
        ("80 polos navy cotton with white logo left chest, plastisol", "white plastisol on 80 navy cotton polos"),
        ("yellow plastisol on black cotton tee with a white plastisol underbase flashed", "yellow plastisol over white plastisol on black cotton tee"),
        ("yellow plastisol on black cotton tee with a flashed white plastisol underbase", "yellow plastisol over white plastisol on black cotton tee"),
        ("yellow plastisol on black cotton tee, white plastisol underbase flashed", "yellow plastisol over white plastisol on black cotton tee"),
        ("discharge underbase with water-based colours on top, black cotton tee", "water-based over discharge on black cotton tee"),
        ("white plastisol on black cotton tee, sizes 8-16", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, sizes 8, 10, 12 and 14", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, sizes 8-16, 40 pcs", "white plastisol on black cotton tee, 40 pcs"),
        ("white plastisol on black cotton tee, 3 colours front, 1 back", "3 colour white plastisol on black cotton tee"),
        ("black plastisol on yellow polyester safety vest, EN ISO 20471 class 2", "black plastisol on yellow polyester safety vest"),
        ("tee, neck label, black plastisol, white cotton", "black plastisol on white cotton tee, printed neck label"),
        ("white cotton tee, size label, black water-based", "black water-based on white cotton tee, printed neck label"),
        ("high-density clear plastisol on black cotton tee", "clear high-density ink on black cotton tee"),
        ("clear high density plastisol on black cotton tee", "clear high-density ink on black cotton tee"),
        ("high-density clear over white plastisol on black cotton tee", "clear high-density ink over white plastisol on black cotton tee"),
        ("white cracked effect plastisol on black cotton tee", "white crackle ink on black cotton tee"),
        ("white hd print on black cotton hoodie", "white high-density ink on black cotton hoodie"),
        ("heat transfer white plastisol transfers on black cotton tee", "white plastisol transfer on black cotton tee"),
        ("black plastisol on white microfibre polyester cleaning cloth", "black plastisol on white polyester cleaning cloth"),
        ("red plastisol on white microfibre polyester cloth", "red plastisol on white polyester microfibre cloth"),
        ("black plastisol on white 100% polyester microfibre tee", "black plastisol on white 100% polyester tee"),
        ("black plastisol on natural unlaminated jute bag", "black plastisol on natural untreated jute bag"),
        ("white plastisol on green cotton scout tee", "white plastisol on green cotton tee"),
        ("plastisol transfer on black cotton tee pressed at 160 C for 10 s", "plastisol transfer on black cotton tee at 160 C for 10 s"),
        ("cut film white on red polyester football shirts press 150C 15s", "cut film white on red polyester football shirts at 150 C for 15 s"),
        ("white plastisol on black cotton tee, ironed on the print", "white plastisol on black cotton tee, ironing"),
        ("white plastisol on black cotton cap unstructured", "white plastisol on black cotton unstructured cap"),
        ("white plastisol on bleached tie dye cotton tee", "white plastisol on bleach tie dye cotton tee"),
        ("white plastisol on black bleached cotton tee", "white plastisol on black bleach-dyed cotton tee"),
        ("white plastisol on bleached denim jacket", "white plastisol on bleach-dyed denim jacket"),
        ("black plastisol on white bleached cotton tote", "black plastisol on white cotton tote"),
        ("white plastisol on navy polo, 65/35 polycotton, can be bleached", "white plastisol on navy polo, 65/35 polycotton, bleached"),
        ("white plastisol on black cotton tee, bleach resistant", "white plastisol on black cotton tee, bleached"),
        ("black plastisol on orange hi vis polyester fleece jacket", "black plastisol on hi-vis orange polyester fleece jacket"),
        ("black plastisol on yellow hi-vis vest", "black plastisol on hi-vis yellow vest"),
        ("black plastisol on yellow polyester hi-vis vest", "black plastisol on hi-vis yellow polyester vest"),
        ("orange hi-vis plastisol on black cotton tee", "hi-vis orange plastisol on black cotton tee"),
        ("black plastisol on white cotton robe", "black plastisol on white cotton bathrobe"),
        ("black plastisol on white cotton waffle robe", "black plastisol on white cotton waffle bathrobe"),
        ("encre plastisol blanche sur robe noire 100% coton", "white plastisol on black 100% cotton dress"),
        ("black plastisol on white polyester blouse", "black plastisol on white polyester dress shirt"),
        ("white plastisol on navy qtr zip cotton sweatshirt", "white plastisol on navy quarter zip cotton sweatshirt"),
        ("white plastisol on black crew neck cotton tee", "white plastisol on black cotton tee"),
        ("hiya can u do 15 pink kids tees 100% cotton with glitter ink", "glitter ink on pink 100% cotton kids tee, 15 pieces"),
        ("36 heather grey tees 90% cotton 10% viscose, navy plastisol, deliver to Leeds", "36 heather grey tees 90% cotton 10% viscose, navy plastisol"),
        ("black plastisol on white cotton tee for halloween", "black plastisol on white cotton tee"),
        ("50 cotton polos bottle grn, wht plastisol LHC", "50 cotton polos bottle green, white plastisol"),
        ("100 sacs en jute naturel, plastisol noir, 1 face", "100 sacs en jute naturel, plastisol noir"),
        ("20 white cotton baby bodysuits, pink water-based, ages 0-12 months", "20 white cotton baby bodysuits, pink water-based, 0-12 months"),
        ("necesito 40 camisetas de fútbol rojas 100% poliéster con plastisol blanco", "white plastisol on red 100% polyester football shirt, 40 pieces"),
        ("coletes refletivos amarelos poliéster, plastisol preto costas", "black plastisol on yellow polyester safety vest"),
        ("maillots de basket rouges polyester, plastisol blanc", "white plastisol on red polyester sports shirt"),
        ("leggings black 80% nylon 20% spandex white plastisol", "leggings black 80% nylon 20% elastane, white plastisol"),
        ("black plastisol on stone wash grey cotton tee", "black plastisol on stonewash grey cotton tee"),
        ("white plastisol on black knitted cotton polo", "white plastisol on black knit cotton polo"),
        ("white low-bleed plastisol on black polyester tee, knitted", "white low-bleed plastisol on black polyester tee, knit"),
        ("bag black 100% nylon white plastisol", "white plastisol on black 100% nylon bag"),
        ("tee black 80% cotton 20% polyester white ink plastisol", "white plastisol on black tee 80% cotton 20% polyester"),
        ("navy polyester 1/4 zip, white plastisol", "white plastisol on navy polyester, quarter zip"),
        ("navy polyester 1/4-zip sweatshirt, white plastisol", "white plastisol on navy polyester sweatshirt, quarter zip"),
        ("HOODIES 2026 NAVY 100% COTTON WHITE PLASTISOL", "white plastisol on navy cotton hoodie"),
        ("50 Stoffbeutel natur Baumwolle, schwarz, wasserbasiert", "black water-based on 50 natural cotton tote bags"),
        ("Hoodies dunkelblau 80% Baumwolle 20% Polyester, weiß, Plastisol", "white plastisol on navy hoodie 80% cotton 20% polyester"),
        ("maillots rouges polyester, numéros blancs, plastisol", "maillots rouges polyester, plastisol blanc"),
        ("nylon ink on black polyester umbrella, white print", "white nylon ink on black polyester umbrella"),
        ("we are a small brewery and need 30 black cotton tees, white plastisol", "white plastisol on 30 black cotton tees"),
        ("our netball club would like 30 black cotton tees with white plastisol", "white plastisol on 30 black cotton tees"),
        ("I've got 10 denim jackets, white plastisol", "white plastisol on 10 denim jackets"),
        ("plastisol with 10% puff additive black on black cotton hoodie", "black plastisol with 10% puff additive on black cotton hoodie"),
        ("suede additive in plastisol, 15%, black cotton long sleeve", "plastisol with 15% suede additive on black cotton long sleeve"),
        ("discharge underbase then plastisol red on top, black cotton tee", "red plastisol over discharge on black cotton tee"),
        ("nylon windbreaker 100% nylon with DWR, navy, white plastisol with 10% catalyst", "white plastisol with 10% catalyst on navy nylon windbreaker with DWR"),
        ("plastisol transfer on cotton tee, hot split, 190C press 8 s", "plastisol transfer on cotton tee at 190 °C for 8 s"),
        ("white plastisol on black cotton tee, 3 m conveyor dryer", "white plastisol on black cotton tee using conveyor dryer"),
        ("white plastisol on red 100% polyester football shirt, on its own", "white plastisol on red 100% polyester football shirt, no underbase"),
        ("hi-vis orange polyester polo, white plastisol without blocker", "hi-vis orange polyester polo, white plastisol without underbase"),
        ("white plastisol on black cotton tee, no base", "white plastisol on black cotton tee, no underbase"),
        ("bluza z kapturem czarna 80% bawełna 20% poliester, biały plastisol bez poddruku", "white plastisol on black hoodie 80% cotton 20% polyester, no underbase"),
        ("white plastisol with blocker on red 100% polyester tee", "white plastisol over blocker base on red 100% polyester tee"),
        ("white plastisol with bleed blocker on red 100% polyester tee", "white plastisol over blocker base on red 100% polyester tee"),
        ("jute shopper no lining, green water-based", "jute shopper unlined, green water-based"),
        ("nurse tunics 65 poly 35 cotton navy, 75 °C tunnel wash, white plastisol", "nurse tunics 65 poly 35 cotton navy, 75 °C wash, industrial laundry, white plastisol"),
        ("tunics 65% polyester 35% cotton navy, white low-bleed plastisol, tunnel finished", "tunics 65% polyester 35% cotton navy, white low-bleed plastisol, industrial laundry"),
        ("chef jacket white 100% cotton, black plastisol, boil washed 95 with chlorine", "chef jacket white 100% cotton, black plastisol, boil washed, chlorine bleach"),
        ("Kochjacke weiß 100% Baumwolle, schwarzer Plastisol, Kochwäsche", "chef jacket white 100% cotton, black plastisol, boil wash"),
        ("navy 100% cotton overalls, yellow plastisol, dry cleaned with perc", "navy 100% cotton overalls, yellow plastisol, dry cleaned"),
        ("navy 100% cotton overalls, yellow plastisol, chemische Reinigung", "navy 100% cotton overalls, yellow plastisol, dry cleaned"),
        ("bed sheets 50/50 cotton polyester white, navy water-based, calendered at 180 C", "bed sheets 50/50 cotton polyester white, navy water-based, ironed at 180 C"),
        ("flags 110g knitted polyester, water-based pigment, outdoor", "flags 110g knitted polyester, water-based pigment, outdoors"),
        ("high solids acrylic water-based white on charcoal 100% cotton tee", "high-solids water-based white on charcoal 100% cotton tee"),
        ("water-based high solids acrylic white on charcoal 100% cotton tee", "high-solids water-based white on charcoal 100% cotton tee"),
        ("two-part water-based on white cotton tee", "air-curing water-based on white cotton tee"),
        ("water based two component white on black 80 gsm non-woven PP bag", "air-curing water-based white on black 80 gsm non-woven PP bag"),
        ("saco de algodão cru, serigrafia preta base água", "natural cotton bag, black water-based"),
        ("vinyl ink solvent on PVC-coated cotton apron", "solvent vinyl ink on PVC-coated cotton apron"),
        ("PU coated nylon apron, black solvent ink two-part", "PU coated nylon apron, black two-part nylon ink"),
        ("nylon ink two-component black on ripstop nylon", "two-part nylon ink black on ripstop nylon"),
        ("water-based with 2% blocked cross-linker on natural linen tote", "water-based with 2% blocked fixer on natural linen tote"),
        ("wollfilz Tasche, schwarzer Siebdruck Wasserbasis", "wool felt Tasche, schwarzer Siebdruck Wasserbasis"),
        ("heat transfer vinyl pu flock on 100% cotton polo", "flock transfer on 100% cotton polo"),
        ("glitter HTV on black cotton tee", "cut-film transfer on black cotton tee"),
        ("beach towel 100% cotton terry velour white, navy water-based", "beach towel 100% cotton velour white, navy water-based"),
        ("plastisol on white 100% cotton terry loops towel", "plastisol on white 100% cotton terry towel"),
        ("scout neckers 65% polyester 35% cotton green, yellow plastisol", "scout scarf 65% polyester 35% cotton green, yellow plastisol"),
        ("tent bag 210D nylon, black plastisol", "stuff sack 210D nylon, black plastisol"),
        ("cushion cover faux suede polyester cream, brown plastisol", "cushion cover brushed polyester cream, brown plastisol"),
        ("school jumper 50/50 acrylic wool navy, yellow plastisol crest", "school jumper 50/50 acrylic wool navy, yellow plastisol"),
        ("Fußballtrikot 100% Polyester Interlock, weiß, Rückennummer schwarzer Plastisol", "Fußballtrikot 100% Polyester Interlock, weiß, schwarzer Plastisol"),
        ("hi vis kids vest yellow polyester, black plastisol", "kids hi-vis vest yellow polyester, black plastisol"),
        ("plastisol transfer on white cotton tee, cold peel", "plastisol transfer on white cotton tee"),
        ("gel clear coat over black plastisol on black cotton tee", "clear gel over black plastisol on black cotton tee"),
        ("baby grow white 100% cotton, water-based, GOTS approved ink", "baby grow white 100% cotton, water-based, GOTS certified"),
        ("transfert plastisol sur sweat 80% coton 20% polyester marine, presse 160 °C", "plastisol transfer on navy sweatshirt 80% cotton 20% polyester, heat press 160 °C"),
        ("camiseta poliéster roja, plastisol blanco con bloqueador", "red polyester tee, white plastisol over blocker base"),
        ("race bib 100% polyester non-woven, black plastisol", "race number 100% polyester non-woven, black plastisol"),
        ("hi-vis orange trousers 80/20 cotton polyester, navy plastisol on thigh", "hi-vis orange trousers 80/20 cotton polyester, navy plastisol"),
        ("white terry cotton towels, grey plastisol, tunnel washed at 85 °C", "white terry cotton towels, grey plastisol, washed at 85 °C, industrial laundry"),
        ("tablier coton noir, plastisol blanc, nettoyage à sec", "black cotton apron, white plastisol, dry cleaned"),
        ("black plastisol on white canvas awning, weatherproof print", "black plastisol on white canvas awning, outdoors"),
        ("Startnummern Vlies Polyester, schwarzer Plastisol", "race numbers non-woven polyester, black plastisol"),
        ("key ring 100% polyester felt, plastisol", "key fob 100% polyester felt, plastisol"),
        ("black cotton tees, white plastisol, large front print", "black cotton tees, white plastisol, front print"),
        ("white plastisol on white cotton percale duvet cover 200TC", "white plastisol on white cotton percale duvet cover"),
        ("umbrella canopy polyester pongee, black plastisol", "umbrella polyester pongee, black plastisol"),
        ("navy gilet bonded fleece polyester, white low-cure plastisol", "navy gilet softshell polyester, white low-cure plastisol"),
        ("natural cotton bookbags, black water-based", "natural cotton book bags, black water-based"),
        ("navy cotton workshirt, white plastisol", "navy cotton work shirt, white plastisol"),
        ("foil over foil adhesive on black cotton tee", "foil adhesive on black cotton tee"),
        ("gold foil over foil adhesive on black cotton tee", "gold foil adhesive on black cotton tee"),
        ("nylon ink on black nylon softshell with DWR finish, white", "white nylon ink on black nylon softshell with DWR finish"),
        ("white plastisol on navy cotton apron, bleached at 95 C", "white plastisol on navy cotton apron, boil wash, bleached"),
        ("white plastisol / black tee / 180gsm cotton", "white plastisol on black cotton tee 180 gsm"),
        ("white plastisol on black cotton tee for a golf club", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton dance tee for the school fete", "white plastisol on black cotton tee"),
        ("white plastisol on navy golf polo, cotton", "white plastisol on navy polo, cotton"),
        // Places, labels, certificates, sizes and goods as orders write them.
        ("black plastisol size label on white cotton tee", "black plastisol neck label on white cotton tee"),
        ("size label black plastisol on white cotton tee", "black plastisol neck label on white cotton tee"),
        ("black plastisol inside neck print on white cotton tee", "black plastisol neck label on white cotton tee"),
        ("black plastisol inner neck label on white cotton tee", "black plastisol neck label on white cotton tee"),
        ("white plastisol all over print on black cotton tee", "white plastisol all-over on black cotton tee"),
        ("white plastisol sleeve print on black cotton tee", "white plastisol on black cotton tee"),
        ("white plastisol on black cotton tee, sleeve print", "white plastisol on black cotton tee"),
        ("white plastisol on green camo cotton trousers", "white plastisol on camouflage cotton trousers"),
        ("white plastisol on black camo hoodie", "white plastisol on black camouflage hoodie"),
        ("white plastisol on camo pink cotton tee", "white plastisol on pink camouflage cotton tee"),
        ("white plastisol on navy polar fleece blanket", "white plastisol on navy fleece blanket"),
        ("white plastisol on navy scrubs top", "white plastisol on navy scrubs"),
        ("white plastisol on navy puffer gilet", "white plastisol on navy body warmer"),
        ("white plastisol on navy cotton towel robe", "white plastisol on navy cotton bathrobe"),
        ("white plastisol on black cotton cook trousers", "white plastisol on black cotton chef trousers"),
        ("white plastisol on black cotton kitchen trousers", "white plastisol on black cotton chef trousers"),
        ("white plastisol on red polyester christmas hat", "white plastisol on red polyester Santa hat"),
        ("white plastisol on black cheer hoodie", "white plastisol on black hoodie"),
        ("gel clear plastisol on black cotton tee", "clear gel on black cotton tee"),
        ("suede additive plastisol on black cotton tee", "suede ink on black cotton tee"),
        ("flex names and numbers on red cotton tee", "cut film on red cotton tee"),
        ("white vinyl names on navy cotton tee", "white cut film on navy cotton tee"),
        ("white plastisol on jeans jacket", "white plastisol on denim jacket"),
        ("black plastisol on desert tan cotton tee", "black plastisol on tan cotton tee"),
        ("black water-based on white cotton tee, air dried at home", "black water-based on white cotton tee, line dried"),
        ("white plastisol on black cotton 2-tone polo", "white plastisol on black cotton 2 tone polo"),
        ("white plastisol on black cotton tee, both sleeves", "white plastisol on black cotton tee, sleeves"),
        ("white plastisol on navy polyester parka coat", "white plastisol on navy polyester parka"),
        ("white plastisol on navy nylon rain jacket", "white plastisol on navy nylon raincoat"),
        ("white plastisol on navy cotton sun visor", "white plastisol on navy cotton visor"),
        ("white plastisol auf navy Baumwolle Boxershorts", "white plastisol on navy cotton underpants"),
        ("black plastisol on white cotton tea cozy", "black plastisol on white cotton tea cosy"),
        ("white plastisol on navy polyester beach umbrella", "white plastisol on navy polyester parasol"),
        ("white plastisol on navy cotton pencil pouch", "white plastisol on navy cotton pencil case"),
        ("white plastisol on black viscose headscarf", "white plastisol on black viscose hijab"),
        ("white plastisol on black cotton tote with PU lining", "white plastisol on black cotton tote, back-coated"),
        ("white plastisol on black cotton tees, size 10", "white plastisol on black cotton tees"),
        ("white plastisol on black cotton tees, sizes 8 to 16", "white plastisol on black cotton tees"),
        ("white plastisol STAFF print on black cotton tee", "white plastisol on black cotton tee"),
        ("safety yellow hi-vis polyester vest, black plastisol back print SECURITY", "black plastisol on safety yellow hi-vis polyester vest"),
        ("10 navy beanies acrylic, white plastisol", "white plastisol on 10 navy acrylic beanies"),
        ("navy beanies acrylic white plastisol", "white plastisol on navy acrylic beanies"),
        ("Pouvez-vous imprimer du plastisol blanc sur 40 t-shirts noirs 100% coton ?", "white plastisol on 40 black cotton tees"),
        ("50 granatowe bluzy 80% bawełna 20% poliester, nadruk biały plastizolem", "white plastisol on 50 navy sweatshirts 80% cotton 20% polyester"),
        ("polos azul marino poliéster, tinta plastisol blanca low bleed", "white low-bleed plastisol on navy polyester polos"),
        ("can you print gold metallic on black cotton tees? 30 of them", "gold metallic ink on 30 black cotton tees"),
        ("white plastisol over grey blocker base on navy polyester polo", "white plastisol over blocker base on navy polyester polo"),
        ("black plastisol on white cotton tee with neck label", "black plastisol neck label on white cotton tee"),
        ("how much for 50 black cotton tees with white plastisol", "white plastisol on 50 black cotton tees"),
        ("bottle green sweatshirts 80/20 cotton polyester, gold plastisol school crest", "gold plastisol on bottle green sweatshirts 80/20 cotton polyester"),
        ("weißer Druck auf schwarzen Baumwollshirts, Plastisol", "white plastisol on black cotton tees"),
        ("kindershirts gelb baumwolle schwarzer plastisoldruck", "black plastisol on yellow cotton kids tees"),
        ("50 koszulek dziecięcych białych bawełna, czerwony plastizol", "red plastisol on 50 white cotton kids tees"),
        ("50 camisetas infantiles blancas algodón, plastisol rojo", "red plastisol on 50 white cotton kids tees"),
        ("25 Warnwesten orange, schwarzer Siebdruck, Plastisol", "black plastisol on 25 orange safety vests"),
        ("white screen print on black cotton tee, plastisol", "white plastisol on black cotton tee"),
        ("200 T-Shirts Bio-Baumwolle natur, grüner Aufdruck auf Wasserbasis", "green water-based ink on 200 natural cotton tees"),
        ("100 tote bags coton écru, encre base eau noire, une face", "black water-based ink on 100 natural cotton tote bags"),
        ("40 bodies bébé blancs coton, encre à l'eau rouge", "red water-based ink on 40 white cotton bodysuits"),
        ("camisetas técnicas rojas poliéster, plastisol blanco low bleed", "white low-bleed plastisol on red polyester sports shirts"),
        ("60 sweatshirts cinzentas 80% algodão 20% poliéster, plastisol preto nas costas", "black plastisol on 60 grey sweatshirts 80% cotton 20% polyester"),
        ("60 sweats gris 80% coton 20% polyester, plastisol noir au dos, livraison le 12 mai", "black plastisol on 60 grey sweatshirts 80% cotton 20% polyester"),
        ("white plastisol on black cotton tee, recto verso", "white plastisol on black cotton tee, both sides"),
        ("white plastisol PVC free on black cotton tee", "white PVC-free plastisol on black cotton tee"),
        ("white plastisol without PVC on black cotton tee", "white PVC-free plastisol on black cotton tee"),
        ("100 NAVY TEES RINGSPUN COTTON 150GSM WHITE WATERBASED DISCHARGE", "white discharge ink on 100 navy cotton tees 150 gsm"),
        ("Reorder 48 pcs charcoal hoodies (80/20 cotton/polyester) white plastisol, same screens", "white plastisol on 48 charcoal hoodies 80% cotton 20% polyester"),
        ("spun polyester flag white, red plastisol outdoors", "red plastisol on white polyester flag outdoors"),
        ("glitter on black cotton tee without underbase", "glitter on black cotton tee, no underbase"),
        ("white plastisol on hi-vis polyester softshell jacket", "white plastisol on hi-vis jacket, softshell, polyester"),
        ("white plastisol on black cotton top", "white plastisol on black cotton garment"),
        ("white plastisol on union tea towel", "white plastisol on cotton linen tea towel"),
        ("order: 25 x navy polo, white plastisol", "white plastisol on navy polo, 25 pieces"),
        ("tote bags natural cotton, water based, 250 no", "water based on natural cotton tote bag, 250 pieces"),
        ("12 hi vis vests with black print, plastisol", "black plastisol on hi vis vest, 12 pieces"),
        ("white plastisol on black cotton tee, must be tumble dried and ironed", "white plastisol on black cotton tee, tumble dried, ironed"),
        ("plastisol auf Baumwoll-T-Shirt", "plastisol on cotton tee"),
        ("Softshelljacke schwarz Polyester, Plastisol weiß mit Haftvermittler", "white plastisol with activator on black polyester softshell jacket"),
        ("handdoek wit badstof, blauwe plastisol, wasbaar op 60 °C", "blauwe plastisol on white terry towel hot wash"),
        // What has no unit, and can be but one thing.
        ("black plastisol on white cotton napkin, ironed at 150", "black plastisol on white cotton napkin, ironed"),
        ("plastisol on cotton at 160", "plastisol on cotton at 160 °C"),
        ("plastisol on cotton at 160 degrees", "plastisol on cotton at 160 °C"),
        ("plastisol on cotton, cure: 320", "plastisol on cotton at 320 °F"),
        ("camiseta algodón, plastisol negro a 160 grados", "negro plastisol on cotton tee at 160 °C"),
        ("plastisol 20x10 on back, white cotton tee", "plastisol on white cotton tee"),
        ("black low cure plastisol, polyester felt bag 3 mm", "black low cure plastisol on polyester felt bag"),
        ("white plastisol on black hoodie 80/20", "white plastisol on black hoodie 80% cotton 20% polyester"),
        ("plastisol on 80/20 joggers", "plastisol on 80% cotton 20% polyester joggers"),
        // What lies on top may be said last.
        ("black cotton tee, discharge underbase, plastisol red on top", "red plastisol over discharge on black cotton tee"),
        ("black cotton tee, discharge underbase + plastisol on top", "plastisol over discharge on black cotton tee"),
        ("discharge base, plastisol on top, black cotton tees", "plastisol over discharge on black cotton tee"),
        ("cotton hoodie black, white plastisol underbase, red on top", "red plastisol over white plastisol on black cotton hoodie"),
        ("navy polyester jersey, silicone over plastisol underbase white", "silicone over white plastisol on navy polyester jersey"),
        ("black cotton tee, white discharge, then gold metallic plastisol on top", "gold metallic plastisol over white discharge on black cotton tee"),
        // The colour at the ink is that of the print.
        ("50 polo shirts polyester navy logo white plastisol", "white plastisol on navy polyester polo, 50 pieces"),
        ("tees 100% polyester red print plastisol white", "white plastisol on red polyester tee"),
        ("magliette 100% poliestere rosse stampa plastisol bianca", "white plastisol on red polyester tee"),
        ("T-Shirts 100% Polyester schwarz Druck Plastisol weiss", "white plastisol on black polyester tee"),
        ("polos polyester marine logo blanc plastisol", "white plastisol on navy polyester polo"),
        ("tees cotton black logo white discharge", "white discharge on black cotton tee"),
        ("hoodies maroon plastisol white print", "white plastisol on maroon hoodie"),
        ("white tees cotton navy logo plastisol", "navy plastisol on white cotton tee"),
        ("polyester jerseys, plastisol, white", "white plastisol on polyester jersey"),
        ("camiseta roja logo blanco poliéster plastisol", "white plastisol on red polyester tee"),
        ("camiseta blanca logo rojo poliéster plastisol", "red plastisol on white polyester tee"),
        ("felpa rossa logo bianco, 80% cotone 20% poliestere, plastisol", "white plastisol on red sweatshirt 80% cotton 20% polyester"),
        ("T-Shirt rot Logo weiß Polyester Plastisol", "white plastisol on red polyester tee"),
        ("tee black print white cotton water based", "white water-based on black cotton tee"),
        ("hoodie red logo white, polyester, plastisol", "white plastisol on red polyester hoodie"),
        ("25 zwarte hoodies katoen, witte opdruk, waterbasis", "white water-based on black cotton hoodie, 25 pieces"),
        ("tee - black - cotton - discharge - white", "white discharge on black cotton tee"),
        ("cotton hoodies, discharge, white", "white discharge on cotton hoodie"),
        ("plastisol on white cotton towel, wash 60-95 °C", "plastisol on white cotton towel, boil washing"),
        ("plastisol on white cotton towel, 75-90C wash", "plastisol on white cotton towel, boil washing"),
        ("plastisol on white cotton tee, flash 6-8 s, cure 160C", "plastisol on white cotton tee, cure 160C"),
        ("qty 24 - 180 gsm cotton tees white, black plastisol", "black plastisol on white cotton tee of 180 gsm, 24 pieces"),
        ("plastisol on black cotton hoodie, no polyester", "plastisol on black cotton hoodie"),
        ("plastisol on cotton tee with no elastane", "plastisol on cotton tee"),
        ("polyester bag not nylon, plastisol", "plastisol on polyester bag"),
        ("305 mesh glitter navy cotton tee", "glitter on navy cotton tee through 305 mesh"),
        ("50 tees cotton navy, 305 mesh white plastisol", "white plastisol on navy cotton tee through 305 mesh, 50 pieces"),
        ("white plastisol, black cotton tee for a hotel laundry", "white plastisol on black cotton tee, industrial laundry"),
        ("white plastisol on black cotton tee, flash then dryer 170C", "white plastisol on black cotton tee, flash, dryer 170C"),
        ("plastisol on discharge underbase black cotton tee", "plastisol over discharge on black cotton tee"),
        ("discharge base with plastisol top, black cotton tee", "plastisol over discharge on black cotton tee"),
        ("cotton 95/5 elastane tee, plastisol", "plastisol on 95% cotton 5% elastane tee"),
        ("safety green 50/50 cotton polyester tee w/ white pocket logo, plastisol", "white plastisol on safety green 50/50 cotton polyester tee"),
        ("plastisol white for royal blue cotton sweatshirts", "white plastisol on royal blue cotton sweatshirt"),
        ("t-shirts blancs coton, encre à l'eau, lavage 60", "water-based on white cotton tee, wash 60"),
        ("white plastisol on black cotton tee, 160C tunnel", "white plastisol on black cotton tee, tunnel 160C"),
        ("white plastisol on black cotton tee, cure 160C, 2 flash", "white plastisol on black cotton tee, cure 160C"),
        ("plastisol on white cotton tee, dry at 320", "plastisol on white cotton tee at 320 °F"),
        ("50 polyester running shirts, sponsor logo on back in white, plastisol", "white plastisol on polyester running shirt, 50 pieces"),
        ("polyester shirts, logo on the back white, plastisol", "white plastisol on polyester shirt"),
        ("yellow polyester shirts, company name on back in black plastisol", "black plastisol on yellow polyester shirt"),
        ("acid dye on white silk scarf", "acid dye paste on white silk scarf"),
        ("discharge on black cotton tee, reactive dye", "discharge on reactive dyed black cotton tee"),
        ("tees polyester black screen print plastisol in white", "white plastisol on black polyester tee"),
        ("110 mesh for white plastisol on black tees", "white plastisol on black tee through 110 mesh"),
        ("sulphur black cotton tee, discharge", "discharge on black cotton tee, sulphur dye"),
        ("camisetas algodon 2 colores plastisol negro", "negro plastisol on cotton tee, 2 colours"),
        // A number before a whole label counts pieces, and parts of them are added up.
        ("48 100% cotton tees black, white plastisol", "white plastisol on black cotton tee, 48 pieces"),
        ("60 40% cotton 60% polyester tees white plastisol", "white plastisol on 40% cotton 60% polyester tee, 60 pieces"),
        ("48 50/50 tees black, white plastisol", "white plastisol on black 50/50 tee, 48 pieces"),
        ("200 tees (S10 M60 L80 XL50) black cotton white plastisol", "white plastisol on black cotton tee, 200 pieces"),
        ("S-2, M-5, L-10, XL-3 black cotton tees white plastisol", "white plastisol on black cotton tee, 20 pieces"),
        ("ladies x 12, mens x 30, black cotton tee, white plastisol", "white plastisol on black cotton tee, 42 pieces"),
        ("black polyester tee, 40x, white low bleed plastisol", "white low bleed plastisol on black polyester tee, 40 pieces"),
        ("plastisol for black tees and hoodies cotton", "plastisol on cotton tees and hoodies, black"),
        ("white plastisol black cotton tee at 165 C, heat press", "white plastisol on black cotton tee at 165 °C using heat press"),
        ("printing canvas shoes with plastisol", "plastisol on canvas shoes"),
        ("kann man schwarze Jacken mit weißem Plastisol drucken", "white plastisol on black jacket"),
        ("stretch ink for leggings nylon/elastane 80/20 black with white print", "white stretch ink on black leggings nylon/elastane 80/20"),
        // What was named before is named once more.
        ("silicone ink on compression shirts poly spandex, black shirts", "silicone ink on black compression shirts poly spandex"),
        ("spandex leggings 88 poly 12 elastane, white plastisol", "white plastisol on leggings 88 poly 12 elastane"),
        ("navy cotton hoodies 80/20, white plastisol", "white plastisol on navy hoodie 80% cotton 20% polyester"),
        ("can we discharge tri-blend tees 50/25/25", "discharge on tri-blend tee 50/25/25"),
        ("white nylon jacket, can we print plastisol", "plastisol on white nylon jacket"),
        ("plastisol white on black cotton tee, 143 mesh", "white plastisol on black cotton tee through 143/in"),
        ("200 mesh polyester shorts, black plastisol", "black plastisol on mesh polyester shorts, 200 pieces"),
        ("foil on black cotton tees, plastisol adhesive, press 165C 10 s", "foil on black cotton tee"),
        ("flex foil on black polyester softshell, press 165C 10 s", "cut-film transfer on black polyester softshell at 165 °C for 10 s"),
        ("\u{feff}plastisol on cotton", "plastisol on cotton"),
        ("plastisol on 80\u{202f}% cotton, 20\u{2009}% polyester", "plastisol on 80% cotton 20% polyester"),
        ("plastisol\u{3000}on\u{c}cotton\u{2028}", "plastisol on cotton")
    )]
    pair: (&str, &str),
) {
    let knowledge = knowledge();
    let domains = |question: &str| {
        let stated = knowledge.statements(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        let mut list: Vec<_> =
            stated.statements.into_iter().map(|s| (s.attribute, s.layer, format!("{:?}", s.domain))).collect();
        list.sort();
        list
    };
    assert_eq!(domains(pair.0), domains(pair.1), "{}", pair.0);
}

/// A colour between goods and ink may be of either. Where the answer hangs on it, it is asked.
#[rstest]
#[case("tees polyester black plastisol", "`plastisol on black tees polyester` (no)")]
#[case("tees polyester black screen print plastisol", "`plastisol on black tees polyester` (no)")]
#[case("hoodies 50/50 black screen printed plastisol left chest", "`plastisol on black hoodies 50/50 left chest` (no)")]
#[case("camisetas de poliester negras serigrafia plastisol", "`plastisol on negras camisetas de poliester` (no)")]
fn a_colour_that_decides_is_asked(#[case] question: &str, #[case] other: &str) {
    let problems = knowledge().ask(question).map(|_| ()).expect_err("a question back");
    let help: Vec<String> = problems.list().iter().filter_map(|p| p.help.clone()).collect();
    assert!(help.iter().any(|h| h.contains(other)), "{question}: {help:?}");
}

/// And told where it does not.
#[rstest]
#[case("cotton tees black plastisol", "black was taken as the colour of the print")]
#[case("polyester jerseys, plastisol, white", "white was taken as the colour of the print")]
fn a_colour_that_does_not_decide_is_told(#[case] question: &str, #[case] note: &str) {
    let reply = knowledge().ask(question).expect("an answer");
    let notes = &reply.answer().expect("an answer").taken_as;
    assert!(notes.iter().any(|n| n.starts_with(note)), "{question}: {notes:?}");
}

/// Two colours with a word for the print are prints beside each other.
#[rstest]
#[case("navy cotton hoodies, white and yellow print on the back, plastisol", &["white plastisol", "yellow plastisol"])]
#[case("40 grey cotton sweatshirts, print in red and black, plastisol", &["red plastisol", "black plastisol"])]
#[case("black cotton tee, white plastisol front, red plastisol back", &["white plastisol", "red plastisol"])]
#[case("black cotton tees white plastisol front and neon pink plastisol back", &["white plastisol", "neon pink plastisol"])]
#[case("navy cotton hoodies, left chest white plastisol, back gold puff", &["white plastisol", "gold puff"])]
fn prints_beside_each_other(#[case] question: &str, #[case] prints: &[&str]) {
    let reply = knowledge().ask(question).expect("an answer");
    let each = &reply.answer().expect("an answer").prints;
    let named: Vec<&str> = each.iter().filter_map(|p| p.position.as_deref()).collect();
    assert_eq!(named, prints, "{question}");
}

/// What lies behind a complaint is known without an ink.
#[rstest]
#[case("white print on maroon 50/50 tees turned pink after two days", "bleeding of dye into the print, failure")]
#[case("why did white print on maroon 50/50 tees turn pink", "bleeding of dye into the print, failure")]
fn a_complaint_needs_no_ink(#[case] question: &str, #[case] first: &str) {
    let Ok(washfast::knowledge::Reply::Page(lines)) = knowledge().ask(question) else { panic!("{question}: no page") };
    assert_eq!(lines.first().map(String::as_str), Some(first), "{question}");
}

/// What the machines are said to be, and once.
#[rstest]
#[case("white plastisol on black cotton tee using quartz flash unit, quartz flash unit", "quartz flash unit")]
#[case("white plastisol on black cotton tee without flash", "no flash")]
#[case("white plastisol on black cotton tee without flash, without flash", "no flash")]
fn machines_are_told_once(#[case] question: &str, #[case] words: &str) {
    assert!(said(question).contains(&format!("shop.equipment 0: {words}")), "{:?}", said(question));
}

/// Whoever has no flash has none of those that there are.
#[test]
fn every_machine_that_flashes_is_a_flash() {
    let knowledge = knowledge();
    let model = knowledge.model();
    let kind = model.kind("machine").expect("machines");
    let duties = model.property(kind, "duties").expect("duties");
    let flashing =
        model.entity(model.kind("duty").expect("duties"), "flashing").and_then(|e| e.ordinal).expect("a duty");
    let class = model.entity(kind, "any-flash").expect("a class").members;
    for machine in model.entities.iter().filter(|e| e.kind == kind) {
        let Some(ordinal) = machine.ordinal else { continue };
        let flashes = machine
            .facts
            .get(&duties)
            .is_some_and(|f| matches!(f.value, washfast::model::Value::Set(mask) if mask.has(flashing)));
        assert_eq!(flashes, class.has(ordinal), "{}", machine.id);
    }
}

#[test]
fn without_a_finish_rules_out_that_finish_only() {
    let knowledge = knowledge();
    let stated = knowledge.statements("plastisol on nylon jacket without water repellent").expect("understood");
    let model = knowledge.model();
    let id = model.attribute("fabric.finishes").expect("finishes");
    let kind = model.kind("finish").expect("finishes");
    let said = stated.statements.iter().find(|s| s.attribute == id).expect("a statement");
    let washfast::job::Domain::Set { must, may } = said.domain else { panic!("no set") };
    let repellent = model.entity(kind, "water-repellent").and_then(|e| e.ordinal).expect("a finish");
    assert!(must.is_empty() && !may.has(repellent), "{said:?}");
    assert_eq!(may.count() + 1, model.everyone(kind).count());
}

#[rstest]
#[case(
    "without water repellent plastisol on nylon",
    "a question does not begin with `without`",
    "without",
    "ink and cloth come first"
)]
#[case(
    "plastisol on cotton at 60 degrees",
    "`60 degrees` does not say in which unit",
    "60 degrees",
    "`60 °C` or `60 °F`"
)]
#[case(
    "black cotton tee, white glitter ink and puff",
    "`glitter ink` and `puff` are two inks",
    "glitter ink and puff",
    "the one on top first"
)]
#[case("plastisol on cotton at 320 °C", "`320 °C` is more than 260 °C", "320 °C", "did you mean 320 °F (160 °C)?")]
#[case("plastisol on cotton at 1000 °C", "`1000 °C` is more than 260 °C", "1000 °C", "dial")]
#[case("plastisol on 0 g/m2 cotton", "`0 g/m2` is less than 10 g/m²", "0 g/m2", "g/m²")]
#[case("plastisol on cotton, 0 strokes", "`0` is less than 1", "0 strokes", "squeegee")]
#[case(
    "plastisol on cotton through 112 mesh",
    "`112 mesh` does not say in which unit",
    "112 mesh",
    "`112 /cm` or `112 /in`"
)]
fn helps_with(#[case] question: &str, #[case] message: &str, #[case] underlined: &str, #[case] help: &str) {
    let problems = knowledge().ask(question).map(|_| ()).expect_err(question);
    let fits = |p: &washfast::diagnostic::Problem| {
        let span = p.span();
        p.message == message
            && question.get(span.start as usize..span.end as usize) == Some(underlined)
            && p.help.as_deref().is_some_and(|h| h.contains(help))
    };
    assert!(problems.list().iter().any(fits), "{question}: {:?}", problems.list());
}

/// The composition that a label is read as: fibre ids with their shares, in order of id.
fn label(text: &str) -> String {
    let knowledge = knowledge();
    let question = format!("plastisol on {text}");
    let stated = knowledge.statements(&question).unwrap_or_else(|p| panic!("{text}: {p:?}"));
    let model = knowledge.model();
    let id = model.attribute("fabric").expect("a composition");
    let kind = model.kind("fibre").expect("fibres");
    let said = stated.statements.iter().find(|s| s.attribute == id).unwrap_or_else(|| panic!("{text}: no fibre"));
    let washfast::job::Domain::Amounts(amounts) = &said.domain else { panic!("{text}: no amounts") };
    let share = |r: (i64, i64)| if r.0 == r.1 { format!("{}", r.0 as f64 / 1000.0) } else { "?".to_owned() };
    let present = amounts.ranges.iter().enumerate().filter(|(_, r)| r.0 > 0);
    let name = |i: usize| model.member(kind, i).expect("a fibre").id.clone();
    present.map(|(i, r)| format!("{} {}", name(i), share(*r))).collect::<Vec<_>>().join(", ")
}

/// What a label says of the printed part, of another part, and how that is told.
#[rstest]
#[case("shell 100% nylon; lining 100% polyester", "fabric: 100 nylon", "garment.other_cloth: 100 polyester", "shell")]
#[case("SHELL: NYLON LINING: POLYESTER", "fabric: NYLON", "garment.other_cloth: POLYESTER", "SHELL")]
#[case("100% nylon shell, 100% polyester lining", "fabric: 100 nylon", "garment.other_cloth: 100 polyester", "shell")]
#[case(
    "body 60% cotton, 40% polyester; lining 100% acrylic",
    "fabric: 60 cotton 40 polyester",
    "garment.other_cloth: 100 acrylic",
    "body"
)]
#[case(
    "body 100% cotton, sleeves 95% polyester 5% elastane",
    "fabric: 100 cotton",
    "garment.other_cloth: 95 polyester 5 elastane",
    "body"
)]
#[case(
    "100% nylon, lining 100% polyester",
    "fabric: 100 nylon",
    "garment.other_cloth: 100 polyester",
    "article itself"
)]
#[case("nylon jacket, polyester lining", "fabric: nylon", "garment.other_cloth: polyester", "article itself")]
#[case("nylon jacket with polyester lining", "fabric: nylon", "garment.other_cloth: polyester", "article itself")]
#[case("lining 100% polyester, shell 100% nylon", "fabric: 100 nylon", "garment.other_cloth: 100 polyester", "shell")]
fn parts_are_told_apart(#[case] label: &str, #[case] printed: &str, #[case] other: &str, #[case] part: &str) {
    let said: Vec<String> = said(&format!("plastisol on {label}")).iter().map(|s| s.replace(" 0:", ":")).collect();
    assert!(said.contains(&printed.to_owned()) && said.contains(&other.to_owned()), "{label}: {said:?}");
    let reply = knowledge().ask(&format!("plastisol on {label}")).expect("understood");
    let taken = &reply.answer().expect("an answer").taken_as;
    assert!(taken.iter().any(|t| t.contains(&format!("to lie on the {part},"))), "{label}: {taken:?}");
}

/// One part alone is the one that is printed; a part without a cloth of its own is told.
#[rstest]
#[case("sleeves 100% polyester", "fabric: 100 polyester")]
#[case("polyester lining", "fabric: polyester")]
#[case("cotton tee with pocket", "fabric: cotton")]
fn one_part_is_the_printed_one(#[case] label: &str, #[case] printed: &str) {
    let said: Vec<String> = said(&format!("plastisol on {label}")).iter().map(|s| s.replace(" 0:", ":")).collect();
    assert!(said.contains(&printed.to_owned()) && !said.iter().any(|s| s.contains("other_cloth")), "{label}: {said:?}");
}

/// Names whose words stand apart.
#[rstest]
#[case("yellow hi-vis polyester vest", "yellow polyester hi-vis vest")]
#[case("football polyester shirt", "polyester football shirt")]
#[case("rain nylon jackets", "nylon rain jacket")]
fn names_may_stand_apart(#[case] apart: &str, #[case] together: &str) {
    let domains = |text: &str| {
        let stated =
            knowledge().statements(&format!("plastisol on {text}")).unwrap_or_else(|p| panic!("{text}: {p:?}"));
        let mut all: Vec<String> =
            stated.statements.iter().map(|s| format!("{:?} {:?}", s.attribute, s.domain)).collect();
        all.sort();
        all
    };
    assert_eq!(domains(apart), domains(together));
}

#[rstest]
fn labels_are_read(
    #[values(
        ("CO 60 PES 35 EL 5", "cotton 60, elastane 5, polyester 35"),
        ("60CO/40PES", "cotton 60, polyester 40"),
        ("CO60 PES40", "cotton 60, polyester 40"),
        ("95/5 CO/EL", "cotton 95, elastane 5"),
        ("100 % CO", "cotton 100"),
        ("PES 100", "polyester 100"),
        ("PA 80 EL 20", "elastane 20, polyamide 80"),
        ("100% PAN", "acrylic 100"),
        ("70 CV 30 WO", "viscose 70, wool 30"),
        ("80% Baumwolle 20% Polyester", "cotton 80, polyester 20"),
        ("95 % Baumwolle und 5 % Elasthan", "cotton 95, elastane 5"),
        ("60 % coton, 40 % polyester", "cotton 60, polyester 40"),
        ("95 % coton et 5 % élasthanne", "cotton 95, elastane 5"),
        ("92,5 % algodón 7,5 % elastano", "cotton 92.5, elastane 7.5"),
        ("65% poliestere 35% cotone", "cotton 35, polyester 65"),
        ("50% bawełna 50% poliester", "cotton 50, polyester 50"),
        ("70% katoen 30% polyester", "cotton 70, polyester 30"),
        ("55% lino 45% viscosa", "linen 55, viscose 45"),
        ("100% Viskose", "viscose 100"),
        ("100% laine", "wool 100"),
        ("100% seda", "silk 100"),
        ("cotton 60 polyester 40", "cotton 60, polyester 40"),
        ("Cotton: 95%, Elastane: 5%", "cotton 95, elastane 5"),
        ("cotton 95 % elastane 5", "cotton 95, elastane 5"),
        ("60/40 cotton/poly", "cotton 60, polyester 40"),
        ("80/20 cotton poly", "cotton 80, polyester 20"),
        ("80-20 cotton poly", "cotton 80, polyester 20"),
        ("65/35 poly/cotton", "cotton 35, polyester 65"),
        ("cotton/poly 60/40", "cotton 60, polyester 40"),
        ("poly-cotton 50/50", "cotton 50, polyester 50"),
        ("polycotton", "cotton ?, polyester ?"),
        ("poly cotton", "cotton ?, polyester ?"),
        ("50/50 polycotton", "cotton 50, polyester 50"),
        ("80% cotton and 20% polyester", "cotton 80, polyester 20"),
        ("80% cotton & 20% polyester", "cotton 80, polyester 20"),
        ("80% cotton + 20% polyester", "cotton 80, polyester 20"),
        ("60% cotton / 40% recycled polyester", "cotton 60, recycled-polyester 40"),
        ("50%Cotton50%Polyester", "cotton 50, polyester 50"),
        ("COTTON 100%", "cotton 100"),
        ("100% cotton.", "cotton 100"),
        ("\"100% cotton\"", "cotton 100"),
        ("(80% cotton, 20% polyester)", "cotton 80, polyester 20"),
        ("100 percent cotton", "cotton 100"),
        ("100 per cent cotton", "cotton 100"),
        ("cotton", "cotton 100"),
        ("tri-blend 50 poly 25 cotton 25 rayon", "cotton 25, polyester 50, viscose 25"),
        ("triblend: 50% polyester 38% cotton 12% viscose", "cotton 38, polyester 50, viscose 12"),
        ("50/25/25 tri-blend", "cotton 25, polyester 50, viscose 25"),
        ("tri-blend tee", "cotton ?, polyester ?, viscose ?"),
        ("heather grey 90% cotton 10% viscose", "cotton 90, viscose 10"),
        ("52% ringspun cotton 48% polyester", "cotton 52, polyester 48"),
        ("100% combed ring-spun cotton", "cotton 100"),
        ("100% carded open-end cotton", "cotton 100"),
        ("100% organic cotton", "cotton 100"),
        ("85% pre-shrunk cotton 15% polyester", "cotton 85, polyester 15"),
        ("280 gsm 80/20 cotton poly", "cotton 80, polyester 20"),
        ("80/20 cotton poly 280 g/m²", "cotton 80, polyester 20"),
        ("8 oz 100% cotton", "cotton 100"),
        ("8.5oz 50/50 cotton/poly", "cotton 50, polyester 50"),
        ("30/1 100% cotton jersey", "cotton 100"),
        ("30s 100% cotton jersey", "cotton 100"),
        ("20/2 cotton canvas", "cotton 100"),
        ("99/1 cotton elastane", "cotton 99, elastane 1"),
        ("100% polyester exclusive of decoration", "polyester 100"),
        ("95% cotton with 5% elastane", "cotton 95, elastane 5"),
        ("97% cotton 3% other fibres", "cotton 97"),
        ("33% cotton 33% polyester 33% viscose", "cotton ?, polyester ?, viscose ?"),
        ("cotton blend", "cotton ?, polyester ?"),
        ("polyester blend tee", "cotton ?, polyester ?"),
        ("50/50 cotton blend", "cotton 50, polyester 50"),
        ("65/35 poly/cotton blend", "cotton 35, polyester 65"),
        ("65% polyester 35% cotton blend", "cotton 35, polyester 65"),
        ("nylon elastane blend", "elastane ?, polyamide ?"),
        ("100% cotton blend", "cotton 100"),
        ("88 nylon 12 spandex", "elastane 12, polyamide 88"),
        ("88% nylon 6 12% elastane", "elastane 12, polyamide-6 88")
    )]
    row: (&str, &str),
) {
    assert_eq!(label(row.0), row.1, "{}", row.0);
}

#[rstest]
#[case("50% HA 50% CO", "`HA` can mean several things", "HA", "hemp")]
#[case("95% CO 5% EA", "`EA` can mean several things", "EA", "elastane")]
#[case("100% PM", "`PM` can mean several things", "PM", "polyester")]
#[case("80% cotton 20% foobarlon", "`foobarlon` is not understood", "foobarlon", "which fibre is it?")]
#[case("80% cotton 20% polyestre", "`polyestre` is not understood", "polyestre", "`polyester`")]
#[case("60% cotton 30% polyester", "the shares add up to 90 %", "60% cotton 30% polyester", "check the label")]
#[case("60% cotton 50% polyester", "the shares add up to 110 %", "60% cotton 50% polyester", "check the label")]
#[case("100% nylon, 100% polyester", "the shares add up to 200 %", "100% nylon, 100% polyester", "more than one cloth")]
#[case(
    "sleeves 100% cotton, cuffs 100% polyester",
    "`sleeves` and `cuffs` are parts, each with a cloth of its own",
    "100% cotton, cuffs 100% polyester",
    "each pair"
)]
#[case("20% Zyrqo 80% cotton", "`Zyrqo` is not understood", "Zyrqo", "which fibre is it? A label names")]
#[case("Drywicko tee", "`Drywicko` is not understood", "Drywicko", "trade mark")]
#[case(
    "tri-blend 50/25/25 poly cotton",
    "this name and the fibres beside it do not agree",
    "tri-blend",
    "next to its share"
)]
#[case("black blend tee", "a blend is named, but not its fibres", "blend", "name the fibres too")]
#[case(
    "natural linen blend shirt",
    "with which fibre is it mixed: `linen blend`",
    "linen blend",
    "70% linen 30% cotton"
)]
#[case("60% cotton blend", "1 shares are given for 2 fibres", "60% cotton blend", "give each fibre its share")]
#[case("50 cotton 50", "2 shares are given for 1 fibres", "50 cotton 50", "give each fibre its share")]
#[case(
    "80% cotton 20% cotton",
    "cotton is named twice",
    "80% cotton 20% cotton",
    "add its shares up; where they are two cloths, ask for each by itself"
)]
#[case("0% cotton 100% polyester", "`0 %` is less than 0.1 %", "0", "0 %")]
#[case(
    "cotton 60 40 polyester",
    "it is not clear which share belongs to which fibre",
    "cotton 60 40 polyester",
    "next to its share"
)]
#[case("60 °C cotton", "`60 °C` is said of no cloth", "60 °C", "at 60 °C")]
fn labels_are_refused(#[case] text: &str, #[case] message: &str, #[case] underlined: &str, #[case] help: &str) {
    let question = format!("plastisol on {text}");
    let problems = knowledge().ask(&question).map(|_| ()).expect_err(text);
    let fits = |p: &washfast::diagnostic::Problem| {
        let span = p.span();
        p.message == message
            && question.get(span.start as usize..span.end as usize) == Some(underlined)
            && p.help.as_deref().is_some_and(|h| h.contains(help))
    };
    assert!(problems.list().iter().any(fits), "{text}: {:?}", problems.list());
}

/// Pieces of order forms in any order: understood or refused, never a panic; and a word that nobody knows is pointed
/// at wherever it stands.
#[test]
fn no_word_is_dropped_silently() {
    const PIECES: [&str; 24] = [
        "cotton",
        "poly",
        "60",
        "40",
        "%",
        "/",
        ",",
        "CO",
        "PES",
        "and",
        "with",
        "without",
        "no",
        "finish",
        "tee",
        "black",
        "280 gsm",
        "30/1",
        "mesh",
        "jersey",
        "at 160 °C",
        "(",
        "tri-blend",
        "5 % low-cure additive",
    ];
    let knowledge = knowledge();
    let mut seed: u64 = 7;
    let mut next = |most: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % most
    };
    for _ in 0..400 {
        let mut words: Vec<&str> = (0..1 + next(8)).map(|_| PIECES[next(PIECES.len())]).collect();
        let _ = knowledge.statements(&format!("plastisol on {}", words.join(" ")));
        words.insert(next(words.len() + 1), "zzyzx");
        let question = format!("plastisol on {}", words.join(" "));
        assert!(knowledge.statements(&question).is_err(), "{question}");
    }
}

#[test]
fn an_unknown_name_is_answered_with_the_nearest() {
    let problems = knowledge().ask("can plastisoll go on cotton?").map(|_| ()).expect_err("unknown");
    let help = problems.list()[0].help.clone().expect("help");
    assert!(help.contains("`plastisol`"), "{help}");
}

#[rstest]
fn megabytes_of_anything_are_no_question(
    #[values(
        "(",
        "[",
        "a ",
        "1",
        "work ",
        "go go on ",
        "not ",
        "a over ",
        "a, ",
        "cotton 60 % ",
        "\n",
        "🙂",
        "\u{a0}"
    )]
    part: &str,
) {
    let knowledge = knowledge();
    // The longest that is read, and far beyond it.
    for size in [2000, 5_000_000] {
        let junk = part.repeat(size / part.len());
        let begun = std::time::Instant::now();
        assert!(knowledge.ask(&junk).is_err());
        if size > 2000 {
            assert!(knowledge.ask(&format!("plastisol on {junk}")).is_err());
            assert!(knowledge.ask(&format!("which inks go on cotton where {junk}")).is_err());
            assert!(washfast::session::Session::new(knowledge.clone()).ask(&format!("given {junk}")).is_err());
            assert!(washfast::question::pieces(&format!("plastisol on cotton at {junk}")).is_none());
            assert!(washfast::question::parse::parse_clauses(&format!("using {junk}")).is_err());
            assert!(washfast::question::parse::parse_phrase(&junk).is_err());
        }
        assert!(begun.elapsed().as_secs() < 20, "{part} took {:?}", begun.elapsed());
    }
}

#[test]
fn a_condition_of_a_thousand_parentheses_is_refused() {
    for where_ in
        ["(".repeat(900), "not ".repeat(400), format!("{}fabric has cotton{}", "(".repeat(900), ")".repeat(900))]
    {
        let problems =
            knowledge().ask(&format!("which inks go on cotton where {where_}")).map(|_| ()).expect_err("refused");
        assert_eq!(problems.list()[0].code, "condition::too-large");
    }
}

#[test]
fn no_press_prints_a_hundred_layers() {
    let found = problems(&format!("{}plastisol on cotton", "plastisol over ".repeat(99)));
    assert_eq!(found[0].0, "100 layers are too many");
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

/// Whatever an error points at is in the text and ends where characters end; the end of the text has one place more.
#[rstest]
fn places_are_whole_characters(
    #[values(
        "plastisol on cotton ≥ 160 °C",
        "plastisol on 綿 🙂",
        "plastisol on cotton where ≥",
        "plastisol on cotton where fabric has ≥",
        "plastisol on\u{a0}",
        "plastisol on cotton\u{3000}\u{3000}§ red",
        "plastisol on cotton\u{200b} red",
        "🙂",
        "é",
        "\u{a0}",
        "\u{feff}"
    )]
    text: &str,
) {
    let long = text.repeat(2001);
    for text in [text, long.as_str()] {
        let problems = knowledge().ask(text).map(|_| ()).expect_err(text);
        for (span, _) in problems.list().iter().flat_map(|p| &p.labels) {
            let (start, end) = (span.start as usize, span.end as usize);
            assert!(end <= text.len() + 1 && text.get(start..end.min(text.len())).is_some(), "{text:.40}: {span:?}");
        }
        let mut drawn = String::new();
        miette::GraphicalReportHandler::new().render_report(&mut drawn, &problems).expect("drawn");
    }
}

/// Of two articles the answer holds for either, and their pieces add up.
#[test]
fn two_articles_are_both_meant() {
    let knowledge = knowledge();
    let said = |question: &str, label: &str| {
        let stated = knowledge.statements(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        let id = knowledge.model().attribute(label).expect("an attribute");
        stated.statements.into_iter().filter(|s| s.attribute == id).map(|s| s.domain).collect::<Vec<_>>()
    };
    let both = "40 tees and 20 hoodies, black cotton, white plastisol";
    let turned = "20 hoodies and 40 tees, black cotton, white plastisol";
    assert_eq!(said(both, "garment"), said(turned, "garment"));
    assert_ne!(said(both, "garment"), said("40 tees, black cotton, white plastisol", "garment"));
    assert_eq!(said(both, "run.pieces"), said("60 tees, black cotton, white plastisol", "run.pieces"));
    assert_eq!(said(both, "run.pieces").len(), 1);
    // The front may have more colours than the back.
    let colours = said("black cotton tees, white plastisol, front 3 colour, back 1 col", "run.colours");
    assert!(matches!(colours.as_slice(), [washfast::job::Domain::Number { low: 1, high: 3 }]), "{colours:?}");
    // Named once more, neither is forgotten; one of the class that a word named before is what is meant.
    let again = "40 tees and 20 hoodies, black tees, cotton, white plastisol";
    assert_eq!(said(again, "garment"), said(both, "garment"));
    let knit = "knit polo, white cotton, black plastisol";
    assert_ne!(
        said(knit, "fabric.construction"),
        said("knit piqué polo, white cotton, black plastisol", "fabric.construction")
    );
    assert_eq!(
        said("knit piqué polo, white cotton, black plastisol", "fabric.construction"),
        said("piqué polo, white cotton, black plastisol", "fabric.construction")
    );
}

#[test]
fn labels_round_to_whole_per_cent() {
    // Three equal thirds are labelled 33 % each.
    assert!(knowledge().ask("plastisol on 33% cotton 33% polyester 33% viscose").is_ok());
    assert!(knowledge().ask("plastisol on 33% cotton 33% polyester").is_err());
}
