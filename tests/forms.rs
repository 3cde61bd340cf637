//! Every form of question: what it replies, and what it refuses.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use std::sync::LazyLock;
use washfast::Knowledge;
use washfast::answer::Ranking;
use washfast::knowledge::Reply;
use washfast::session::Session;

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

fn knowledge() -> Knowledge {
    KNOWLEDGE.clone()
}

fn page(question: &str) -> Vec<String> {
    match knowledge().ask(question) {
        Ok(Reply::Page(lines)) => lines,
        other => panic!("{question}: {other:?}"),
    }
}

fn ranking(question: &str) -> Ranking {
    match knowledge().ask(question) {
        Ok(Reply::Ranking(ranking)) => ranking,
        other => panic!("{question}: {other:?}"),
    }
}

fn verdict_of<'a>(ranking: &'a Ranking, name: &str) -> &'a str {
    ranking.rows.iter().find(|r| r.name == name).unwrap_or_else(|| panic!("no {name}: {ranking:?}")).verdict
}

#[rstest]
#[case("convert 43 /cm", "43 /cm = 110 /in")]
#[case("43 mesh in inches", "43 /cm = 110 /in")]
#[case("convert 110 /in to /cm", "110 /in = 43 /cm")]
#[case("convert 212 °F", "212 °F = 100 °C")]
#[case("convert 1 lb to g", "1 lb = 453.59 g")]
#[case("belt for 60 s in 2.4 m", "belt speed: 2.4 m/min (7.87 ft/min), that is 2.4 m heated in 60 s")]
#[case("belt speed 90 s 3 m", "belt speed: 2 m/min (6.56 ft/min), that is 3 m heated in 90 s")]
#[case(
    "how much low-cure additive for 1.5 kg at 8 %",
    "120 g (4.23 oz) of low-cure additive into 1.5 kg of ink: 8 % by weight of the ink, 1620 g in all"
)]
#[case(
    "how much discharge activator for 940 g at 6 % of the mix",
    "60 g (2.12 oz) of discharge activator into 940 g of ink: 6 % of the mix, 1000 g in all"
)]
#[case(
    "what cleans plastisol off a screen",
    "standard plastisol comes off a screen with plastisol screen wash [common practice]"
)]
#[case("what mesh for glitter", "glitter ink, usual mesh: 5 to 34 /cm [common practice]")]
#[case("which hand for glitter", "glitter ink, how the cured print feels: heavy [common practice]")]
#[case(
    "prints an hour at 2.4 m/min with 0.75 m pitch on 2 lanes",
    "the belt carries 384 pieces an hour: 2.4 m/min, one each 0.75 m, 2 lanes"
)]
#[case(
    "how many pieces per hour at 0.48 m/min with 0.75 m pitch",
    "the belt carries 38.4 pieces an hour: 0.48 m/min, one each 0.75 m, one lane"
)]
#[case(
    "how much plastisol for 240 prints of 30 x 25 cm through 43 /cm",
    "443 to 1510 g (15.6 to 53.3 oz) of standard plastisol for 240 prints of 30 cm x 25 cm, through 43 /cm"
)]
#[case(
    "how much ink for 240 prints of 30x25 cm through 110 mesh",
    "at most 1010 ml (34.1 fl oz) of ink for 240 prints of 30 cm x 25 cm, through 110 mesh"
)]
#[case(
    "how much white plastisol for 100 hoodies, 30 cm by 250 mm, 2 strokes at 50 % cover through 43-80",
    "185 to 629 g (6.51 to 22.2 oz) of standard plastisol for 100 prints of 30 cm x 250 mm, 50 % of it covered, 2 strokes, through 43-80"
)]
#[case(
    "how much glitter ink for 50 prints of 10 x 10 cm through 34 /cm",
    "at most 40.3 ml (1.36 fl oz) of glitter ink for 50 prints of 10 cm x 10 cm, through 34 /cm"
)]
#[case(
    "how much DTF for 50 prints of 10 x 10 cm through 34 /cm",
    "powder-film transfer is not printed through a mesh, so it takes no ink"
)]
#[case("how do I clean the screen", "each ink comes off with its own cleaner; which ink is in the screen?")]
#[case("what is dwell", "curing time: time in the dryer or under the press")]
fn small_questions(#[case] question: &str, #[case] first: &str) {
    assert_eq!(page(question).first().map(String::as_str), Some(first), "{question}");
}

/// The page of a mesh tells what follows from its geometry; of another thing nothing is reckoned.
#[test]
fn a_mesh_is_reckoned_with() {
    let lines = page("show 43-80").join("\n");
    for said in ["opening: 153 µm, 43 % of the area is open", "at most 55.9 ml/m²", "finest line and dot: about 313 µm"]
    {
        assert!(lines.contains(said), "{said}: {lines}");
    }
    // Where nobody wrote the thickness down it is estimated, and said to be.
    assert!(
        page("show 48-55").join("\n").contains("at most 43.8 to 48.6 ml/m² (about 80.8 to 89.6 µm thick, estimated)")
    );
    assert!(!page("show low-cure additive").join("\n").contains("opening"));
}

#[rstest]
#[case("what cleans solvent nylon ink", "ignition")]
#[case("how much solvent nylon ink for 10 prints of 10 x 10 cm through 90 /cm", "flammable")]
#[case("how much nylon bonding catalyst for 1 kg at 5 %", "safety data sheet")]
#[case("how much discharge activator for 1 kg at 6 %", "formaldehyde")]
fn what_can_hurt_is_told(#[case] question: &str, #[case] word: &str) {
    let lines = page(question).join("\n");
    assert!(lines.contains(word), "{question}: {lines}");
}

#[test]
fn a_dose_outside_the_usual_is_told() {
    let lines = page("how much low-cure additive for 1 kg at 40 %");
    assert!(lines.iter().any(|l| l.contains("outside")), "{lines:?}");
}

#[rstest]
#[case("convert 43", "`43` has no unit")]
#[case("convert 43 /cm to kg", "`kg` is no unit for 43 /cm")]
#[case("belt for 60 s", "the belt needs a time and a heated length")]
#[case("belt for 60 s in 20 °C", "`20 °C` is neither a time nor a length")]
#[case("how much treacle for 1 kg at 8 %", "no thing that is dosed is called `treacle`")]
#[case("how much low-cure additive for 1 m at 8 %", "a mass of ink and a dose in per cent are needed")]
#[case(
    "how much low-cure additive for 1 kg at 100 % of the mix",
    "the mass of ink must be above zero, and its dose must leave room for ink"
)]
#[case("prints an hour at 2.4 m/min", "a belt speed and the length that a piece takes on the belt are needed")]
#[case("prints an hour at 2.4 m/min with 0 m pitch", "speed, length and lanes must be above zero, and lanes whole")]
#[case("prints an hour at 2.4 m/min with 60 s", "`60 s` is neither a belt speed nor a length")]
#[case("how much treacle for 240 prints of 30 x 25 cm through 43 /cm", "no ink is called `treacle`")]
#[case("how much plastisol for 240 prints through 43 /cm", "it is not said how large a print is")]
#[case("how much plastisol for prints of 30 x 25 cm through 43 /cm", "`prints` is not understood")]
#[case("how much plastisol for 30 x 25 cm through 43 /cm", "it is not said how many prints")]
#[case("how much plastisol for 240 treacles of 30 x 25 cm through 43 /cm", "`treacles` is not understood")]
#[case("how much plastisol for 240 prints of 30 x 25 through 43 /cm", "the size has no unit")]
#[case("how much plastisol for 240 prints of 30 x 25 cm through 50 /cm", "no mesh `50 /cm` is known")]
#[case("how much plastisol for 240 prints of 30 x 25 cm through 43 °C", "no mesh `43 °C` is known")]
#[case(
    "how much plastisol for 240 prints of 30 x 25 cm at 140 % through 43 /cm",
    "pieces, size and cover must be above zero, and no more than all of a print is covered"
)]
#[case("what cleans treacle", "no ink is called `treacle`")]
#[case("treacle dried in the screen", "no ink is called `treacle`")]
#[case("what treacle for glitter", "nothing is kept of `treacle` for an ink")]
#[case("what mesh for treacle", "no ink is called `treacle`")]
#[case("can nylon be eaten", "nothing is known that is done as `eaten`")]
#[case("can treacle be flashed", "`treacle` is not understood")]
#[case("can nylon be flashed for 10 s", "this asks about the cloth alone")]
#[case("can nylon be flashed over plastisol", "this asks about the cloth alone")]
#[case("water-based dried in the screen of a nylon jacket", "the question stops too early")]
#[case("which inks go on cotton where hnd is soft", "`hnd` is not a choice to choose by")]
#[case("which inks go on cotton where hand is sft", "unknown hand `sft`")]
#[case("plastisol on cotton where hand is soft", "`where` chooses among several; this question is about one job")]
#[case("what is treacle", "no thing or rule is called `treacle`")]
#[case("why did plastisol on red polyester sing", "the question does not say what went wrong")]
#[case("black tees, white plastisol, which ink", "which ink is asked, and `plastisol` is named")]
#[case("which inks go on cotton under puff", "the ink that is asked for lies below this one")]
#[case("same but at 140 °C", "this builds on what was said before")]
#[case("given shop has flash", "this builds on what was said before")]
#[case("which inks go on treacle", "`treacle` is not understood")]
fn refused(#[case] question: &str, #[case] message: &str) {
    let problems = knowledge().ask(question).map(|_| ()).expect_err(question);
    assert!(problems.list().iter().any(|p| p.message == message), "{question}: {problems:?}");
}

#[rstest]
#[case("how to print discharge on black cotton", "yes-if")]
#[case("how do I print plastisol on white 100% cotton jersey", "yes")]
#[case("what would let plastisol go on white cotton at 120 °C", "no")]
#[case("what must I know for plastisol on nylon jacket", "depends")]
#[case("is 155 °C enough for plastisol on white cotton", "yes-if")]
#[case("is 120 °C enough for plastisol on white cotton", "no")]
#[case("is 60 s long enough for plastisol on white cotton", "yes")]
#[case("is plastisol ok on white cotton", "yes")]
#[case("can I put puff on softshell", "no")]
#[case("white plastisol on navy 50/50 hoodie", "no")]
fn forms_about_one_job(#[case] question: &str, #[case] verdict: &str) {
    let reply = knowledge().ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    assert_eq!(reply.answer().map(|a| a.verdict), Some(verdict), "{question}");
}

#[test]
fn inks_are_ranked_the_best_first() {
    let found = ranking("black leggings 88 nylon 12 spandex what ink");
    assert_eq!(verdict_of(&found, "stretch plastisol"), "yes-if");
    assert_eq!(verdict_of(&found, "standard plastisol"), "no");
    let place = |v: &str| ["yes", "yes-if", "depends", "no"].iter().position(|x| *x == v);
    assert!(found.rows.is_sorted_by_key(|r| place(r.verdict)), "{found:?}");
    // Every ink is told of, be it with a no.
    assert_eq!(found.rows.len(), ranking("which inks go on white cotton tee").rows.len());
}

/// However it is asked for an ink.
#[rstest]
#[case("which ink for nylon jacket")]
#[case("please which ink for nylon jacket")]
#[case("what ink should I use on nylon jacket")]
#[case("which ink would you use on nylon jacket")]
#[case("what do you recommend for nylon jackets")]
#[case("what should I print on nylon jackets")]
#[case("best ink for nylon jacket")]
#[case("what's the best ink for a nylon jacket")]
#[case("do you print on nylon jackets?")]
#[case("can a nylon jacket be printed")]
#[case("quelle encre pour nylon jacket")]
fn an_ink_is_asked_for_in_many_ways(#[case] question: &str) {
    let plain = ranking("which inks go on nylon jacket");
    let rows = |r: &Ranking| r.rows.iter().map(|r| (r.name.clone(), r.verdict)).collect::<Vec<_>>();
    assert_eq!(rows(&ranking(question)), rows(&plain), "{question}");
}

/// What is said of the ink that is asked for is the print's, not the cloth's.
#[rstest]
#[case("navy 100% cotton tote, white ink, which ink")]
#[case("which white ink for navy 100% cotton tote")]
#[case("which ink for white print on navy 100% cotton tote")]
fn the_colour_of_the_print_may_be_said_where_an_ink_is_asked_for(#[case] question: &str) {
    let found = ranking(question);
    assert_eq!(verdict_of(&found, "standard plastisol"), "yes-if", "{question}");
    let none = ranking("which black ink for navy 100% cotton tote");
    let text = |r: &Ranking| r.rows.iter().find(|r| r.name == "standard plastisol").map(|r| r.text.clone());
    assert_ne!(text(&found), text(&none), "{question}");
}

/// Prices rank nothing, which is told.
#[test]
fn the_cheapest_ink_is_asked_for_in_vain() {
    let found = ranking("cheapest ink for white 100% cotton tee");
    assert!(found.rows.len() > 10 && found.taken_as.iter().any(|t| t.starts_with("`cheapest` was heard")), "{found:?}");
}

/// Without a dryer there is none of any kind.
#[test]
fn no_dryer_is_none_of_them() {
    let verdict = |question: &str| {
        let reply = knowledge().ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        reply.answer().map(|a| a.verdict)
    };
    let job = "black water-based on white 100% cotton tee at 160 °C for 3 min";
    assert_eq!(verdict(job), Some("yes"));
    assert_eq!(verdict(&format!("{job}, no infrared dryer")), Some("yes"));
    assert_eq!(verdict(&format!("{job}, no dryer")), Some("yes-if"));
}

/// What is heard and not weighed is told.
#[test]
fn wet_on_wet_is_told_to_be_left_aside() {
    let reply = knowledge().ask("white plastisol wet on wet over black plastisol on cotton tee").expect("understood");
    let taken = &reply.answer().expect("an answer").taken_as;
    assert!(taken.iter().any(|t| t.starts_with("`wet-on-wet` was heard and not weighed")), "{taken:?}");
}

#[rstest]
#[case("plastisol on white cotton tee, rush job", "`rush job` was heard")]
#[case("asap: plastisol on white cotton tee", "`asap` was heard")]
#[case("40 white cotton tees with black plastisol by Friday", "`by Friday` was heard")]
#[case("plastisol on white cotton tee for Friday", "`Friday` was heard")]
#[case("cheap white plastisol on black cotton tee", "`cheap` was heard and not weighed: prices rank nothing here")]
#[case("black cotton tee, white plastisol, flash 8 s", "`8 s` was heard and not weighed: nothing is decided by how")]
#[case("black cotton tee, white plastisol, 2 flashes", "`2 flashes` was heard and not weighed")]
#[case("navy cotton tee, white plastisol, wash 60", "60 was taken as 60 °C; if it counts, say: 60 washes")]
#[case("12 hi-vis vests, \"STAFF\" on back, black plastisol", "`STAFF` was heard and not weighed")]
#[case("plastisol on black polyester leggings, white", "white was taken as the colour of the print")]
#[case("cotton tote with rope handles, black plastisol", "`rope handles` was heard and not weighed")]
#[case("red cotton tee, white plastisol, by 15 March", "`15 March` was heard and not weighed")]
#[case("white plastisol on black cotton tee 160C 60s", "160 C was taken as the film temperature")]
#[case(
    "white plastisol on black cotton tee, dryer set to 180",
    "`180` was taken as the most that the film temperature may be: that is what the dryer"
)]
#[case(
    "white plastisol on black cotton tee, dryer set to 180, cured at 160 °C",
    "`180` was heard and not weighed: that is what the dryer"
)]
#[case(
    "white plastisol on black cotton tee for our summer festival",
    "`our summer festival` was heard and not weighed"
)]
#[case(
    "white plastisol on black cotton tee for the rowing crew, 40 pcs",
    "`the rowing crew` was heard and not weighed"
)]
#[case("white plastisol on black cotton tee, squeegee 60 shore", "`squeegee 60 shore` was heard and not weighed")]
#[case("250 off white plastisol on black cotton tee", "250 was taken as the number of pieces")]
#[case("40 tees and 20 hoodies, black cotton, white plastisol", "the answer holds for either: tees or hoodies")]
#[case("patch, black cotton twill canvas, white plastisol", "the answer holds for either: twill or canvas")]
#[case("rugby shirt 100% cotton maroon/white, black plastisol", "the answer holds for either: maroon or white")]
#[case("nylon ink on black nylon softshell with DWR finish, white", "white was taken as the colour of the print")]
#[case("white plastisol on black cotton tee 2026", "`2026` was heard and not weighed")]
#[case("black plastisol on white polyester lanyard 20 mm", "`20 mm` was heard and not weighed")]
#[case(
    "microfibre cleaning cloth 80 polyester 20 polyamide, white; blue plastisol",
    "`microfibre` was heard and not weighed"
)]
fn what_an_order_says_beside_the_job_is_told(#[case] question: &str, #[case] note: &str) {
    let reply = knowledge().ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    let taken = &reply.answer().expect("an answer").taken_as;
    assert!(taken.iter().any(|t| t.starts_with(note)), "{taken:?}");
}

/// `low-bleed` names an ink and no complaint; what is not understood is told.
#[test]
fn the_name_of_an_ink_is_no_complaint() {
    let problems = knowledge().ask("white low bleed plastisol on red 100% poly jersey, 90 sec").map(|_| ());
    let problems = problems.expect_err("a bare time");
    assert_eq!(problems.list()[0].code, "question::bare-setting", "{problems:?}");
}

#[test]
fn what_a_cooler_cure_saves_is_asked_for_in_two_ways() {
    let rest =
        "curing at 130 instead of 160 °C save for black plastisol on white 100% cotton tee, 240 pieces of 30 x 25 cm";
    assert_eq!(page(&format!("what does {rest}")), page(&format!("how much heat does {rest}")));
}

/// Where a loose question is kept, so is what lies over its ink, what is stirred in and what was said behind `with`.
#[rstest]
#[case("black cotton tee, plastisol under puff")]
#[case("50 white tees with black plastisol")]
#[case("need 50 white tees with black plastisol")]
#[case("40 black tees with white plastisol, 5% low-cure additive")]
#[case("black tee, plastisol + 5% low-cure additive")]
#[case("black nylon jacket with membrane, white plastisol")]
#[case("black tees, white plastisol, 61T, flash")]
#[case("30s cotton tee, white plastisol, 40no.")]
#[case("black plastisol, white tee, 250 off, 30cm x 40cm")]
#[case("white tee, black plastisol, 30x40cm, 60/40 cotton polyester")]
fn a_loose_question_is_kept_whole(#[case] question: &str) {
    let said = Session::new(knowledge()).ask(question).expect("understood").reply;
    let alone = knowledge().ask(question).expect("understood");
    assert_eq!(said.answer().map(|a| a.job.clone()), alone.answer().map(|a| a.job.clone()));
}

#[test]
fn the_machines_that_were_named_count() {
    let found = ranking("red poly t-shirt, only flash and press, which ink");
    assert_eq!(verdict_of(&found, "low-cure low-bleed plastisol"), "yes-if");
    let found = ranking("which ink for white cotton tee using hair dryer");
    assert_eq!(verdict_of(&found, "standard plastisol"), "no");
}

#[test]
fn cloths_are_ranked_by_their_fibre() {
    let found = ranking("which fabrics take discharge");
    assert_ne!(verdict_of(&found, "cotton"), "no");
    assert_eq!(verdict_of(&found, "polyester"), "no");
}

#[rstest]
#[case("which inks go on black cotton with soft hand")]
#[case("which inks go on black cotton with a soft hand")]
#[case("which inks go on black cotton, soft hand")]
#[case("which ink for soft hand on black cotton")]
#[case("best for soft hand on black cotton")]
#[case("softest ink for black cotton")]
#[case("what is the softest ink for black cotton?")]
#[case("best ink for black cotton, soft hand preferred")]
fn what_a_ranking_tells_can_be_wished(#[case] question: &str) {
    let names =
        |ranking: &Ranking| ranking.rows.iter().map(|r| r.name.clone()).collect::<std::collections::BTreeSet<_>>();
    let wished = ranking(question);
    assert!(wished.chosen.is_none(), "{question}");
    assert!(wished.rows.iter().all(|r| r.wished.iter().any(|w| w.about == "hand")), "{question}");
    assert_eq!(names(&wished), names(&ranking("which inks go on black cotton")), "{question}");
}

#[test]
fn a_number_of_washes_stands_beside_where() {
    let found = ranking("which ink lasts 50 washes on white cotton tee where hand is soft");
    assert!(found.rows.iter().all(|r| r.name != "standard plastisol"), "{found:?}");
    assert!(found.rows.iter().all(|r| r.wished.iter().any(|w| w.about == "life in the wash")), "{found:?}");
    let plain = ranking("which inks go on white cotton tee for 50 washes where hand is soft");
    let told =
        |r: &Ranking| r.rows.iter().map(|r| (r.name.clone(), r.verdict)).collect::<std::collections::BTreeMap<_, _>>();
    assert_eq!(told(&found), told(&plain));
    ranking("soft hand on black cotton, which ink");
}

#[test]
fn where_chooses_among_inks_and_cloths() {
    let found = ranking("which inks go on white cotton tee where hand is soft");
    assert_eq!(verdict_of(&found, "water-based pigment ink"), "yes");
    assert!(found.rows.iter().all(|r| r.name != "standard plastisol" && r.name != "glitter ink"), "{found:?}");
    let all = ranking("which inks go on white cotton tee").rows.len();
    assert_eq!(found.rows.len() + found.chosen.expect("it was chosen").left_out, all);
    let found = ranking("which inks go on white cotton tee where not (hand is soft) and mesh.max >= 90 /cm");
    assert!(found.rows.iter().any(|r| r.name == "standard plastisol"), "{found:?}");
    assert!(found.rows.iter().all(|r| r.name != "glitter ink"), "{found:?}");
    // What nobody wrote down is neither kept as known nor dropped.
    let found = ranking("which inks go on white cotton tee where not home_wash_only");
    let row = found.rows.iter().find(|r| r.name == "water-based pigment ink").expect("it stays");
    assert!(row.text.starts_with("whether not home_wash_only is not known"), "{}", row.text);
    let found = ranking("which fabrics take plastisol where heat_safe >= 180 °C");
    assert!(
        found.rows.iter().any(|r| r.name == "cotton") && found.rows.iter().all(|r| r.name != "acrylic"),
        "{found:?}"
    );
}

#[rstest]
#[case("water-based dried in the screen", "alkaline")]
#[case("white plastisol has dried in the screen", "does not dry at room heat")]
#[case("silicone is stuck in the mesh", "mesh must be replaced")]
#[case("two-part nylon ink dried into the screen", "safety data sheet")]
fn screens_that_dried_in(#[case] question: &str, #[case] words: &str) {
    let lines = page(question).join("\n");
    assert!(lines.contains(words), "{question}: {lines}");
}

#[test]
fn what_a_cloth_bears_is_told_without_an_ink() {
    let lines = page("can softshell be flashed").join("\n");
    assert!(lines.contains("up to 135 °C where") && lines.contains("take care"), "{lines}");
    // What lies above the sure limit is not told.
    assert!(
        !lines.contains("cotton bears") && lines.contains("polypropylene bears 110 °C untried and 135 °C at most"),
        "{lines}"
    );
}

/// What is surely borne is borne by every cloth that fits, and a temperature or machine that was named counts.
#[rstest]
#[case(
    "can white 100% cotton jersey be flashed",
    "yes, with the film at 180 °C or below, measured on the print; up to 185 °C once"
)]
#[case(
    "can polypropylene be flashed",
    "yes, with the film at 110 °C or below, measured on the print; up to 115 °C once"
)]
#[case("can acrylic be cured at 135 °C", "yes, once one piece has been through")]
#[case("can nylon be flashed", "yes, with the film at 125 °C or below, measured on the print; up to 155 °C where")]
#[case("can nylon be flashed at 180 °C", "no, 180 °C is hotter than this cloth bears")]
#[case("can nylon be flashed at 158 °C", "it depends: 158 °C is borne by some lots only")]
#[case("can nylon be flashed at 140 °C", "it depends: 140 °C is borne where nothing that may limit it further applies")]
#[case("can nylon be flashed at 120 °C", "yes, with the film at 125 °C or below")]
#[case("can acrylic be cured using kitchen oven", "no, not with these machines:")]
#[case("can nylon be flashed using heat press", "no, not with these machines:")]
fn a_cloth_bears_what_every_cloth_that_fits_bears(#[case] question: &str, #[case] first: &str) {
    let lines = page(question);
    assert!(lines[0].starts_with(first), "{question}: {lines:?}");
}

#[test]
fn what_lies_below_is_heard_in_every_form() {
    // Over a blocker the dye of red polyester is held back.
    let found = ranking("which inks go on red polyester over blocker base");
    assert_eq!(verdict_of(&found, "low-cure low-bleed plastisol"), "yes-if");
    assert!(found.rows.iter().all(|r| r.code != "contradiction"), "{found:?}");
    let names = |question: &str| ranking(question).rows.into_iter().map(|r| r.name).collect::<Vec<_>>();
    for question in [
        "compare plastisol and puff on red polyester over blocker base",
        "plastisol vs puff on red polyester over blocker base",
    ] {
        assert!(names(question).iter().all(|n| n.ends_with("over blocker base")), "{:?}", names(question));
    }
}

/// The text of an answer, with what was asked for first.
#[rstest]
#[case("what must I know for plastisol on nylon jacket", "What decides:")]
#[case("what must I know for plastisol on white 100% cotton jersey", "Nothing that was not said decides it")]
#[case("what would let white plastisol go on navy 50/50 hoodie", "What would make it possible:")]
#[case("what would let plastisol go on white 100% cotton jersey", "Nothing needs to change.")]
#[case("how to print discharge on black cotton", "1. Check the goods:")]
#[case("how long to cure plastisol on white cotton", "Settings:")]
fn what_is_asked_for_comes_first(#[case] question: &str, #[case] first: &str) {
    let reply = knowledge().ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    let answer = reply.answer().expect("an answer about a job");
    let text = washfast::render::text(answer);
    let body: Vec<&str> =
        text.lines().skip_while(|l| !l.ends_with('.')).skip(1).filter(|l| !l.starts_with("  (")).collect();
    let place = |title: &str| body.iter().position(|l| l.starts_with(title));
    let found = place(first).unwrap_or_else(|| panic!("{question}: {text}"));
    assert!(place("Why:").is_none_or(|why| found < why), "{text}");
    // Of a fix its conditions are told as well.
    assert!(
        first != "What would make it possible:" || text.contains("condition") && text.contains("hold the batch"),
        "{text}"
    );
}

#[rstest]
#[case("plastisol vs water-based on white cotton tee")]
#[case("plastisol or water-based on white cotton tee")]
#[case("compare plastisol versus water-based on white cotton tee")]
fn inks_against_each_other(#[case] question: &str) {
    let found = ranking(question);
    assert_eq!((found.rows.len(), verdict_of(&found, "water-based")), (2, "yes"));
}

#[test]
fn inks_side_by_side() {
    let found = ranking("compare plastisol and water-based on white cotton at 120 °C");
    assert_eq!(verdict_of(&found, "plastisol"), "no");
    assert_eq!(found.rows.len(), 2);
}

#[test]
fn what_failed_is_traced_to_the_rules_that_prevent_it() {
    let lines = page("why did plastisol on red polyester turn pink").join("\n");
    assert!(lines.contains("disperse dye"), "{lines}");
    let lines = page("why did plastisol on red cotton turn pink").join("\n");
    assert!(!lines.contains("disperse dye moves"), "{lines}");
    let lines = page("why did plastisol on white cotton tee crack").join("\n");
    assert!(lines.contains("mostly lies behind it") && lines.contains("fused"), "{lines}");
}

/// However it is asked how an ink is cleaned off, saved or kept.
#[rstest]
#[case("how do I clean a screen of plastisol", "what cleans plastisol off a screen")]
#[case("how to clean the screen after white plastisol?", "what cleans plastisol off a screen")]
#[case("how do I get water-based ink out of the screen", "what cleans water-based ink off a screen")]
#[case("how do I remove dried water-based ink from a screen", "water-based ink dried in the screen")]
#[case("how do I clean a screen of dried discharge", "discharge dried in the screen")]
fn cleaning_is_asked_for_in_many_ways(#[case] question: &str, #[case] plain: &str) {
    assert_eq!(page(question), page(plain), "{question}");
}

#[test]
fn how_an_ink_is_kept_tells_how_long_a_mix_lasts() {
    let lines = page("how do I store discharge ink").join("\n");
    assert!(lines.starts_with("discharge ink: closed"), "{lines}");
    assert!(lines.contains("with discharge activator, hours in which the mixed ink must be used: 4 to 8 h"), "{lines}");
    assert!(lines.contains("take care: discharge ink: formaldehyde"), "{lines}");
    assert!(!page("how should we keep plastisol").join("\n").contains("discharge"));
}

/// A failure is told whatever the job, where nothing of a job is said.
#[rstest]
#[case("why did the ink dry in the screen", "ink dried in the mesh, failure")]
#[case("why does water-based ink dry in the screen", "ink dried in the mesh, failure")]
#[case("why did the print crack", "cracking, failure")]
#[case("why did the screen clog", "ink dried in the mesh, failure")]
#[case("names peel off", "peeling, failure")]
fn a_failure_is_told_without_a_job(#[case] question: &str, #[case] first: &str) {
    let lines = page(question);
    assert_eq!(lines.first().map(String::as_str), Some(first), "{question}: {lines:?}");
    assert!(lines.iter().any(|l| l.contains("say it with ink and cloth")), "{question}: {lines:?}");
}

#[test]
fn inks_beside_each_other_are_told_each_by_itself() {
    let prints = |question: &str| -> (std::collections::BTreeSet<String>, Vec<String>) {
        let reply = knowledge().ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        let answer = reply.answer().expect("an answer");
        (answer.prints.iter().filter_map(|p| p.position.clone()).collect(), answer.taken_as.clone())
    };
    let (names, taken) = prints("red and white plastisol on black 100% cotton tees, 50 pieces");
    assert_eq!(names, ["red plastisol", "white plastisol"].map(str::to_owned).into());
    assert!(taken.iter().any(|t| t.contains("white plastisol over red plastisol")), "{taken:?}");
    let (names, _) = prints("red, white and blue plastisol on black 100% cotton tee");
    assert_eq!(names, ["blue plastisol", "red plastisol", "white plastisol"].map(str::to_owned).into());
    assert_eq!(prints("red/white plastisol on black 100% cotton tee").0.len(), 2);
    // In an order that names no cloth behind `on` either may be the cloth's.
    let problems = knowledge().ask("100% cotton tee, red and white plastisol").map(|_| ()).expect_err("two prints");
    assert_eq!(problems.list()[0].message, "`red` and `white` are two prints");
}

/// What was found out is kept at the prompt, and an order goes on behind it.
#[test]
fn a_finding_is_kept_and_the_order_goes_on() {
    let cap = "white plastisol over white plastisol on black cotton cap";
    let mut s = Session::new(knowledge());
    assert_eq!(asked(&mut s, &format!("{cap}, found cap stiff front: no")).1, Some("yes-if"));
    assert_eq!(asked(&mut s, "same but navy").1, Some("yes-if"));
    assert_eq!(asked(&mut s, "same but found cap stiff front: yes").1, Some("no"));
    for question in [
        "white plastisol on black leather, found leather heat limit 140 °C, 40 pieces",
        "black leather, found leather heat limit 140 °C, white plastisol, 40 pieces, using flash",
    ] {
        let alone = knowledge().ask(question).expect(question);
        let job = alone.answer().map(|a| serde_json::to_value(&a.job).expect("JSON")).expect("an answer");
        assert_eq!(job["run.pieces"]["value"], 40, "{job}");
        let said = Session::new(knowledge()).ask(question).expect(question).reply;
        assert_eq!(said.answer().map(|a| a.job.clone()), alone.answer().map(|a| a.job.clone()), "{question}");
    }
}

/// The cloth behind `for` is the cloth, and no clause beside it.
#[test]
fn a_first_question_at_the_prompt_is_the_question() {
    for question in ["plastisol for baby bodysuit 100% cotton", "plastisol for bibs 100% cotton for the EU"] {
        let mut session = Session::new(knowledge());
        session.ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        let changed = session.ask("same but navy").unwrap_or_else(|p| panic!("{question}: {p:?}"));
        assert!(changed.reply.answer().is_some_and(|a| a.subject.contains("navy")), "{question}");
    }
    for question in [
        "plastisol for baby bodysuit 100% cotton",
        "plastisol for bibs 100% cotton for the EU",
        "black nylon jacket without finish, white plastisol, 20 pcs",
        "white plastisol, then red plastisol on black cotton tee",
        "black cotton tee, white low-bleed plastisol and then red plastisol",
        "discharge underbase then plastisol on black cotton tee",
        "plastisol on black polyester leggings, white",
        "cotton bandana, white discharge on black",
        "cotton white, black plastisol",
        "45 sky blue polos with a navy one colour plastisol logo",
        "black cotton tee, white plastisol, flash 8 s",
        "white plastisol on black cotton tee, flash at 110C for 6 s, cure at 160C for 60 s",
        "navy cotton tee, white plastisol, wash 60",
        "white plastisol on black cotton tee, heat press only",
        "white plastisol on black nylon jacket, no additive",
        "navy nylon jacket, white nylon plastisol, 10% bonding agent",
        "puff additive 15% in white plastisol on black cotton tee",
        "nylon ink with catalyst white on navy nylon jacket",
        "hi-vis yellow polyester vest, black plastisol",
        "white nylon ink on 190T nylon taffeta",
        "black can cooler, foam, white plastisol",
        "120 navy 80/20 cotton/poly hoodies, white plastisol",
        "45 red polyester football shirts, white plastisol, by 15 March",
        "12 hi-vis vests, \"STAFF\" on back, black plastisol",
        "Good afternoon, please can you print 250 jute bags with black plastisol? Regards",
    ] {
        let mut session = Session::new(knowledge().clone());
        let said = session.ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        let alone = knowledge().ask(question).expect(question);
        let told = |r: &washfast::knowledge::Reply| r.answer().map(|a| (a.verdict, a.job.clone()));
        assert_eq!(told(&said.reply), told(&alone), "{question}");
    }
}

fn asked(session: &mut Session, question: &str) -> (Option<String>, Option<&'static str>) {
    let said = session.ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    (said.taken_as, said.reply.answer().map(|a| a.verdict))
}

#[test]
fn a_question_builds_on_those_before() {
    let mut s = Session::new(knowledge());
    assert_eq!(asked(&mut s, "can plastisol go on white 100% cotton jersey at 120 °C?"), (None, Some("no")));
    let text = "plastisol on white 100% cotton jersey at 160 °C".to_owned();
    assert_eq!(asked(&mut s, "same but at 160 °C"), (Some(text), Some("yes")));
    let text = "plastisol on white 100% cotton jersey at 160 °C without conveyor dryer".to_owned();
    assert_eq!(asked(&mut s, "same but no conveyor dryer").0, Some(text));
    assert_eq!(asked(&mut s, "same but on polypropylene fleece").1, Some("no"));
    assert_eq!(asked(&mut s, "same but water-based on white cotton at 160 °C for 3 min").1, Some("yes-if"));
}

/// After `white plastisol on navy 50/50 hoodie`: the question that a change makes, and what it says of how it was taken.
#[rstest]
#[case("same but red", "white plastisol on red 50/50 hoodie", "same but red ink")]
#[case("same but black ink", "black plastisol on navy 50/50 hoodie", "")]
#[case("same but tee", "white plastisol on tee navy 50/50", "")]
#[case("same but 100% polyester", "white plastisol on 100% polyester navy hoodie", "")]
#[case("same but #ff0000 cotton", "white plastisol on #ff0000 cotton hoodie", "same but #ff0000 cotton ink")]
#[case("same but low-bleed plastisol", "white low-bleed plastisol on navy 50/50 hoodie", "")]
#[case("same but black low-bleed plastisol", "black low-bleed plastisol on navy 50/50 hoodie", "")]
#[case("same but no conveyor", "white plastisol on navy 50/50 hoodie without conveyor", "")]
#[case("same but plastisol on red polyester", "plastisol on red polyester", "")]
#[case("same but 140 °C", "white plastisol on navy 50/50 hoodie at 140 °C", "")]
#[case("same but over blocker base", "white plastisol on navy 50/50 hoodie over blocker base", "")]
#[case("same but red using heat press", "white plastisol on red 50/50 hoodie using heat press", "same but red ink")]
#[case("same but low-bleed plastisol, only flash", "white low-bleed plastisol on navy 50/50 hoodie using flash", "")]
#[case("same but tee and at 150 °C", "white plastisol on tee navy 50/50 at 150 °C", "")]
#[case("same but tee @ 150 °C", "white plastisol on tee navy 50/50 at 150 °C", "")]
#[case(
    "same but black plastisol with 5% low-cure additive",
    "black plastisol on navy 50/50 hoodie with 5% low-cure additive",
    ""
)]
#[case("same but red plastisol over blocker base", "red plastisol over blocker base on navy 50/50 hoodie", "")]
#[case(
    "same but red plastisol through 43 /cm over blocker base",
    "red plastisol through 43 /cm over blocker base on navy 50/50 hoodie",
    ""
)]
fn changes(#[case] change: &str, #[case] taken: &str, #[case] note: &str) {
    for first in [
        "white plastisol on navy 50/50 hoodie",
        "hoodie navy 50/50, white plastisol",
        "50/50 navy hoodie white plastisol",
    ] {
        let mut s = Session::new(knowledge());
        asked(&mut s, first);
        let told = asked(&mut s, change).0.expect("how it was taken");
        let (question, rest) = told.split_once("; ").unwrap_or((told.as_str(), ""));
        let words = |text: &str| {
            let mut words: Vec<String> = text.split([' ', ',']).filter(|w| !w.is_empty()).map(str::to_owned).collect();
            words.sort();
            words
        };
        assert_eq!(words(question), words(taken), "{first}, {change}: {told}");
        assert!(rest.contains(note) && rest.is_empty() == note.is_empty(), "{told}");
    }
}

#[rstest]
#[case("same but 40 °C", "`40 °C` is said of no cloth")]
#[case("same but treacle", "`treacle` is not understood")]
fn changes_refused(#[case] change: &str, #[case] message: &str) {
    let mut s = Session::new(knowledge());
    asked(&mut s, "white plastisol on navy 50/50 hoodie");
    let problems = s.ask(change).map(|_| ()).expect_err(change);
    assert!(problems.list().iter().any(|p| p.message == message), "{problems:?}");
}

#[test]
fn answers_are_told_in_the_units_that_were_asked_for() {
    let text = |knowledge: &Knowledge, question: &str| {
        let reply = knowledge.ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
        washfast::render::text(reply.answer().expect("an answer"))
    };
    let us = knowledge().with_units(washfast::quantity::System::Us);
    let plain = "plastisol on white cotton";
    assert!(
        text(&us, plain).contains("302 to 338 °F (150 to 170 °C), aim for 320 °F (160 °C)"),
        "{}",
        text(&us, plain)
    );
    assert!(!text(&knowledge(), plain).contains("°F"));
    // Who names a unit reads that one.
    assert!(!text(&us, "plastisol on white cotton at 160 °C").contains("°F"));
    let mut s = Session::new(knowledge());
    s.ask("given units us").expect("understood");
    let said = s.ask(plain).expect("understood");
    assert!(washfast::render::text(said.reply.answer().expect("an answer")).contains("°F"));
    let Reply::Page(lines) = s.ask("given").expect("understood").reply else { panic!("a page") };
    assert_eq!(lines, ["answers are told in US customary units"]);
    s.ask("forget units").expect("understood");
    let said = s.ask(plain).expect("understood");
    assert!(!washfast::render::text(said.reply.answer().expect("an answer")).contains("°F"));
}

#[rstest]
#[case("plas", "plastisol")]
#[case("which fab", "which fabrics take")]
#[case("plastisol on navy cot", "cotton")]
#[case("plastisol with low-c", "low-cure additive")]
#[case("plastisol on cotton using heat p", "heat press")]
#[case("plastisol on cotton wi", "without")]
#[case("which inks go on cotton where elon", "elongation")]
fn names_and_words_are_completed_where_they_are_due(#[case] line: &str, #[case] word: &str) {
    let (start, words) = washfast::complete::complete(&knowledge(), line);
    assert!(words.iter().any(|w| w == word), "{line}: {words:?}");
    assert!(words.iter().all(|w| w.to_lowercase().starts_with(&line[start..].to_lowercase())), "{words:?}");
}

#[rstest]
#[case("plastisol on cotton using cott")]
#[case("plastisol on plasti")]
#[case("plastisol on cotton at plas")]
fn nothing_is_completed_where_it_is_not_due(#[case] line: &str) {
    let (_, words) = washfast::complete::complete(&knowledge(), line);
    assert!(words.is_empty(), "{line}: {words:?}");
}

#[test]
fn what_is_given_stands_until_it_is_forgotten() {
    let mut s = Session::new(knowledge());
    let said = s.ask("given shop has hair dryer; dryer is 2.4 m").expect("understood");
    assert!(matches!(said.reply, Reply::Page(lines) if lines.len() == 2));
    assert_eq!(
        asked(&mut s, "plastisol on white cotton"),
        (Some("plastisol on white cotton using hair dryer".into()), Some("no"))
    );
    // What a question names itself comes before what was given.
    assert_eq!(
        asked(&mut s, "plastisol on white cotton using heat press").1,
        asked(&mut s, "same but using heat press").1
    );
    let Reply::Page(lines) = s.ask("belt for 60 s").expect("the length is known").reply else { panic!("a page") };
    assert!(lines.iter().any(|l| l.contains("2.4 m/min")), "{lines:?}");
    assert!(s.ask("given shop has treacle").is_err());
    assert!(s.ask("forget treacle").is_err());
    s.ask("forget all").expect("understood");
    assert_eq!(asked(&mut s, "plastisol on white cotton"), (None, Some("yes")));
    assert!(Session::new(knowledge()).ask("same but at 140 °C").is_err());
}

#[test]
fn what_changes_if_tells_only_what_differs_and_leaves_the_question_as_it_was() {
    let mut session = Session::new(knowledge());
    session.ask("plastisol on white 100% cotton jersey").expect("an answer");
    let mut difference = |text: &str| match session.ask(text).expect(text).reply {
        Reply::Difference(d) => *d,
        other => panic!("{text}: {other:?}"),
    };
    let cooler = difference("what changes if at 120 °C");
    assert_eq!((cooler.before.verdict, cooler.after.verdict), ("yes", "no"));
    let part = |d: &washfast::answer::Difference, name: &str| d.parts.iter().find(|p| p.part == name).cloned();
    let reasons = part(&cooler, "reasons").expect("reasons");
    assert!(reasons.gained.iter().any(|r| r.contains("but 120 °C was given")), "{reasons:?}");
    assert!(part(&cooler, "settings").is_some_and(|s| s.gained.is_empty() && !s.lost.is_empty()));
    // Asked of the first question again, not of the cooler one.
    let hotter = difference("what if at 165 °C");
    assert_eq!((hotter.before.verdict, hotter.after.verdict), ("yes", "yes"));
    assert!(part(&hotter, "conditions").is_none(), "{hotter:?}");
    let none = difference("what changes if white");
    assert!(none.parts.is_empty(), "{none:?}");
    // `same but` answers in full and begins with what changed.
    let same = session.ask("same but at 120 °C").expect("an answer");
    assert_eq!(same.reply.answer().map(|a| a.verdict), Some("no"));
    assert_eq!(same.changed.map(|c| (c.before.verdict, c.after.verdict)), Some(("yes", "no")));
}

#[test]
fn what_changes_if_needs_a_question_before() {
    let problems = Session::new(knowledge()).ask("what changes if at 140 °C").expect_err("nothing before");
    assert!(problems.list().iter().any(|p| p.code == "question::nothing-before"), "{problems:?}");
    assert!(knowledge().ask("what changes if at 140 °C").is_err());
}

#[test]
fn a_difference_reads_in_words_and_as_json() {
    let mut session = Session::new(knowledge());
    session.ask("plastisol on white 100% cotton jersey").expect("an answer");
    let said = session.ask("what changes if at 120 °C").expect("what differs");
    let Reply::Difference(difference) = said.reply else { panic!("no difference") };
    let text = washfast::render::difference_at(&difference, 80);
    assert!(text.starts_with("From yes to no: "), "{text}");
    assert!(text.contains("Why, now:") && text.contains("Settings, no longer:"), "{text}");
    let json = serde_json::to_value(&difference).expect("JSON");
    assert_eq!((&json["before"]["verdict"], &json["after"]["verdict"]), (&"yes".into(), &"no".into()));
}

/// One ink and its colours in an order, each a print beside the others.
#[rstest]
#[case("2 colour plastisol, red and navy, on white cotton tee", "red", "navy")]
#[case("200 natural cotton totes, 2 col water-based, black and red", "black", "red")]
#[case("royal blue 100% cotton tee, white + yellow plastisol", "white", "yellow")]
#[case("navy cotton tee, 2 col print white/red plastisol", "white", "red")]
#[case("75 hoodies (80% cotton 20% poly, bottle green), white+gold, chest and large back. Plastisol?", "white", "gold")]
#[case("tees heather grey 90/10 cotton polyester plastisol white & navy", "white", "navy")]
fn colours_of_one_ink_are_prints_beside_each_other(#[case] question: &str, #[case] first: &str, #[case] second: &str) {
    let reply = knowledge().ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    let prints = &reply.answer().expect("an answer").prints;
    let named = |colour: &str| prints.iter().any(|p| p.position.as_ref().is_some_and(|name| name.contains(colour)));
    assert!(prints.len() == 2 && named(first) && named(second), "{question}: {prints:?}");
}

/// The worst of several prints is the verdict, and each is told with what it needs.
#[test]
fn each_of_several_prints_is_told_with_what_it_needs() {
    let reply = knowledge().ask("white and black plastisol on navy 50/50 cotton polyester hoodie").expect("an answer");
    let answer = reply.answer().expect("an answer");
    assert_eq!(answer.verdict, "no");
    let told = washfast::render::text(answer);
    assert!(told.starts_with("No: white plastisol. Yes: black plastisol.\n"), "{told}");
    let [white, black] = ["\n== white plastisol\n", "\n== black plastisol\n"].map(|t| told.find(t).expect("a title"));
    assert!(told.get(white..black).is_some_and(|t| t.contains("What would make it possible")), "{told}");
    assert!(told.get(black..).is_some_and(|t| t.contains("Settings:")), "{told}");
    let marked = washfast::render::markdown(answer);
    assert!(marked.contains("\n## white plastisol\n") && marked.contains("\n## black plastisol\n"), "{marked}");
    // What is so of all of them is told once.
    let reply = knowledge().ask("red and navy plastisol on white cotton tee").expect("an answer");
    let told = washfast::render::text(reply.answer().expect("an answer"));
    assert_eq!(told.matches("Settings:").count(), 1, "{told}");
    assert!(told.contains("\n== each of them\n"), "{told}");
}

/// An order without an ink gets the inks for it; a colour of its print counts.
#[rstest]
#[case("navy hoodie", "which inks go on navy hoodie")]
#[case("24 black tees, white logo", "which white ink for black tee")]
#[case("white on cotton", "which white ink for cotton")]
#[case("lanyards polyester, white logo", "which white ink for polyester lanyard")]
fn an_order_without_an_ink_gets_the_inks_for_it(#[case] order: &str, #[case] question: &str) {
    let (own, asked) = (ranking(order), ranking(question));
    assert!(own.taken_as.contains(&"no ink is named: these are the inks for it".to_owned()), "{own:?}");
    let told = |r: &Ranking| r.rows.iter().map(|r| (r.name.clone(), r.verdict)).collect::<Vec<_>>();
    assert_eq!(told(&own), told(&asked));
}

/// What a jacket is lined with says nothing of its own cloth.
#[test]
fn a_lining_is_not_the_cloth_of_the_jacket() {
    let reply = knowledge().ask("jackets lined with cotton, black plastisol").expect("an answer");
    let answer = reply.answer().expect("an answer");
    assert_eq!(answer.verdict, "depends", "{answer:?}");
    assert!(answer.taken_as.iter().any(|t| t.contains("of whose cloth nothing is said")), "{answer:?}");
}

/// A failure that is said besides another is told.
#[rstest]
#[case(
    "why did plastisol wash off black cotton tee, undercured",
    "washing off: ",
    "`undercured` was heard and not weighed"
)]
#[case(
    "why did plastisol crack on black cotton tee, under cured",
    "cracking: ",
    "`undercured` was heard and not weighed"
)]
#[case(
    "why did plastisol crack on black cotton tee, over cured",
    "cracking: ",
    "`overcured` was heard and not weighed: say"
)]
fn what_is_said_besides_a_failure_is_told(#[case] question: &str, #[case] first: &str, #[case] note: &str) {
    let lines = page(question);
    assert!(lines.first().is_some_and(|l| l.starts_with(first)), "{lines:?}");
    assert!(lines.iter().any(|l| l.starts_with(note)), "{lines:?}");
}

/// How long an ink or an additive keeps, however it is asked; what is told of this lot besides is heard and not weighed.
#[rstest]
#[case("how long does discharge ink keep", "discharge ink: ", "")]
#[case("how long can I keep discharge ink once mixed", "with discharge activator, hours in which", "")]
#[case(
    "can I still use plastisol from last year",
    "standard plastisol: closed",
    "`last year` was heard and not weighed"
)]
#[case(
    "leftover nylon ink from last week in closed tub, still good?",
    "solvent-based nylon ink: ",
    "`leftover last week closed tub`"
)]
#[case("how long does nylon bonding catalyst last", "nylon bonding catalyst, hours in which", "")]
#[case("plastisol shelf life", "standard plastisol: closed", "")]
fn how_long_it_keeps(#[case] question: &str, #[case] says: &str, #[case] aside: &str) {
    let told = page(question).join("\n");
    assert!(told.contains(says) && told.contains(aside), "{told}");
    assert!(!aside.is_empty() || !told.contains("heard and not weighed"), "{told}");
}

/// What is asked of an additive alone, or of two layers, is answered for any cloth, which is told.
#[rstest]
#[case("can I put nylon bonding catalyst in water-based ink", "no", "no cloth is named")]
#[case("silicone ink over plastisol", "no", "no cloth is named")]
#[case("add 30% puff additive to plastisol, white cotton tee", "no", "")]
#[case("add 10% puff additive to plastisol, white cotton tee", "yes", "")]
#[case("how much puff additive in plastisol on white cotton tee", "yes", "puff additive: 5 to 20 % by weight")]
#[case("silicone on white cotton tee with plastisol under it", "no", "")]
fn what_goes_into_an_ink_or_below_it(#[case] question: &str, #[case] verdict: &str, #[case] note: &str) {
    let reply = KNOWLEDGE.ask(question).unwrap_or_else(|p| panic!("{question}: {:?}", p.list()));
    let answer = reply.answer().expect("an answer");
    assert_eq!(answer.verdict, verdict, "{question}");
    assert!(note.is_empty() || answer.taken_as.iter().any(|n| n.contains(note)), "{:?}", answer.taken_as);
}
