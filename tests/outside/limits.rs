//! Limits of the law other than plasticisers, and whom they concern.
//!
//! Sources: 15 U.S.C. 1278a (total lead) and 16 CFR 1303 (lead in paint and surface coatings), US Consumer Product
//! Safety Commission, official questions and answers (read): 100 ppm in accessible parts of products for children of
//! twelve or less, 90 ppm in a coating that scrapes off. REACH Annex XVII, European Union: entry 50 (polycyclic
//! aromatic hydrocarbons, read second hand), entry 74 (diisocyanates, Commission Regulation (EU) 2020/1149, read second
//! hand), entry 79 (Commission Regulation (EU) 2024/2462, read). 16 CFR 1615.1 and 1616.2 (children's sleepwear, read).
//! REACH entry 72 (Commission Regulation (EU) 2018/1513): paragraphs 1 to 4 read, the 75 mg/kg of formaldehyde that hold
//! since 1 November 2023 read second hand in a test house's press release (EuropaWire, 28 Dec 2018).
//! REACH entry 63 (lead in PVC, Commission Regulation (EU) 2023/923) and entry 20 (organotin): both read second hand.
//! Regulation (EU) No 1007/2011, Article 12(1) and (2) (non-textile parts of animal origin): read as quoted on a page on
//! animal law; Article 2(2)(a) (80 % of textile fibre): read. NFPA 2112 Annex A and ASTM F1506 Appendix X1 (marks on
//! flame-resistant garments) and California AB 1817 (organic fluorine in textiles): read second hand.
//! The Nightwear (Safety) Regulations 1985 (UK), regulation 4 and Schedule 2, paragraphs 1 to 3, as made: read.
//! EN ISO 20471 (visibility, class 2; read in four summaries); ANSI/ISEA 107, class 2: as given in Embellishing safety
//! apparel, Printwear magazine (read). Curing discharge gives off formaldehyde: Discharge
//! cautions, Printwear magazine (read).

use crate::{decide, says, text_of};
use rstest::rstest;
use serde_json::json;
use washfast::answer::Answer;

fn print(ink: &str, colour: &str, article: &str, age: &str, market: &str) -> Answer {
    decide(&json!({"ink":ink,"ink_colour":colour,"use":{"age":age,"market":market},
        "fabric":{"composition":"100% cotton","colour":"white","construction":"jersey","finishes":[],"article":article}}))
}

fn told(answer: &Answer, code: &str) -> String {
    text_of(answer, code).unwrap_or_else(|| panic!("no {code}: {:?}", answer.cautions))
}

/// The US lead limits are told for children's products sold there, with both figures, and to nobody else.
#[rstest]
#[case("child", "us", true)]
#[case("baby", "us", true)]
#[case("adult", "us", false)]
#[case("child", "eu", false)]
fn lead(#[case] age: &str, #[case] market: &str, #[case] concerned: bool) {
    let answer = print("water-based", "black", "tee", age, market);
    assert_eq!(says(&answer, "child-lead-limit"), concerned, "{:?}", answer.cautions);
    if concerned {
        let text = told(&answer, "child-lead-limit");
        assert!(text.contains("100 ppm") && text.contains("90 ppm"), "{text}");
    }
}

/// 1 mg/kg in prints on skin and 0.5 mg/kg in childcare articles, for rubbery prints that may hold carbon black.
#[rstest]
#[case("plastisol", "black", "eu", true)]
#[case("plastisol", "yellow", "eu", false)]
#[case("plastisol", "black", "us", false)]
#[case("water-based", "black", "eu", false)]
fn carbon_black(#[case] ink: &str, #[case] colour: &str, #[case] market: &str, #[case] concerned: bool) {
    let answer = print(ink, colour, "tee", "adult", market);
    assert_eq!(says(&answer, "carbon-print-pah"), concerned, "{:?}", answer.cautions);
    if concerned {
        let text = told(&answer, "carbon-print-pah");
        assert!(text.contains("1 mg/kg") && text.contains("0.5 mg/kg"), "{text}");
    }
}

/// Training from 0.1 % free diisocyanate on is told with what holds it, and with nothing else.
#[test]
fn diisocyanates() {
    let with = |additive: &str, dose: &str, ink: &str| {
        decide(&json!({"ink":ink,"ink_colour":"black","additives":[{"additive":additive,"dose":dose}],
            "fabric":{"composition":"100% nylon","colour":"white","construction":"jersey","finishes":[]}}))
    };
    let text = told(&with("nylon bonding catalyst", "5 %", "plastisol"), "diisocyanate-training");
    assert!(text.contains("0.1 %") && text.contains("training"), "{text}");
    assert!(!says(&with("curable reducer", "5 %", "plastisol"), "diisocyanate-training"));
    assert!(!says(&with("silicone catalyst", "5 %", "silicone ink"), "diisocyanate-training"));
}

/// Children's nightwear sold in the US passes its flame rule as printed; infant sizes up to nine months and
/// tight-fitting styles are exempt, and the answer says so. A child's tee is no nightwear, and the rule is not the EU's.
#[rstest]
#[case("pyjamas", "child", "us", true)]
#[case("pyjamas", "baby", "us", true)]
#[case("pyjamas", "adult", "us", false)]
#[case("pyjamas", "child", "eu", false)]
#[case("tee", "child", "us", false)]
fn sleepwear(#[case] article: &str, #[case] age: &str, #[case] market: &str, #[case] concerned: bool) {
    let answer = print("water-based", "black", article, age, market);
    assert_eq!(says(&answer, "childrens-sleepwear-flame-test"), concerned, "{:?}", answer.conditions);
    if concerned {
        let text = told(&answer, "childrens-sleepwear-flame-test");
        for words in ["1615", "1616", "nine months", "tight-fitting"] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }
}

/// Half a square metre of background in class 2.
#[test]
fn visibility() {
    let vest = |article: &str| {
        decide(&json!({"ink":"low-cure low-bleed plastisol","ink_colour":"black",
            "fabric":{"composition":"100% polyester","colour":"safety yellow","article":article,"finishes":[]}}))
    };
    let text = told(&vest("safety vest"), "visibility-area");
    assert!(text.contains("0.50 m²") && text.contains("775 in²"), "{text}");
    assert!(!says(&vest("tee"), "visibility-area"));
}

/// Repellents are changing in the EU: told of repellent cloth sold there, and of no other.
#[rstest]
#[case("eu", "water-repellent", true)]
#[case("us", "water-repellent", false)]
#[case("eu", "brushed", false)]
fn repellents(#[case] market: &str, #[case] finish: &str, #[case] concerned: bool) {
    let answer = decide(&json!({"ink":"plastisol","ink_colour":"black","use":{"market":market},
        "fabric":{"composition":"100% polyester","colour":"white","construction":"plain weave","finishes":[finish]}}));
    assert_eq!(says(&answer, "eu-repellent-changes"), concerned, "{:?}", answer.cautions);
}

/// What discharge leaves in clothing: the EU's limit is told where such a print is sold there, and nowhere else. That
/// water-based binders leave some too is from memory.
#[rstest]
#[case("discharge", "eu", true)]
#[case("discharge", "us", false)]
#[case("water-based", "eu", true)]
#[case("water-based", "us", false)]
#[case("plastisol", "eu", false)]
fn formaldehyde_in_clothing(#[case] ink: &str, #[case] market: &str, #[case] concerned: bool) {
    let answer = decide(&json!({"ink":ink,"ink_colour":"black","use":{"market":market},
        "fabric":{"composition":"100% cotton","colour":"red","construction":"jersey","dye":"reactive","finishes":[]}}));
    let text = text_of(&answer, "eu-formaldehyde-limit");
    assert_eq!(text.is_some(), concerned, "{:?}", answer.cautions);
    assert!(text.is_none_or(|t| t.contains("75 mg/kg")));
}

/// Discharge: formaldehyde is named to the printer, and what a child will wear is washed before sale.
#[rstest]
#[case("discharge", "child", true)]
#[case("discharge", "baby", true)]
#[case("discharge", "adult", false)]
#[case("water-based", "child", false)]
fn formaldehyde(#[case] ink: &str, #[case] age: &str, #[case] wash: bool) {
    let answer = decide(&json!({"ink":ink,"ink_colour":"yellow","use":{"age":age},
        "fabric":{"composition":"100% cotton","colour":"navy","construction":"jersey","dye":"reactive","finishes":[]}}));
    assert_eq!(says(&answer, "wash-before-baby-wears"), wash, "{:?}", answer.conditions);
    let fumes = text_of(&answer, "discharge-fumes");
    assert_eq!(fumes.as_ref().is_some_and(|t| t.contains("formaldehyde")), ink == "discharge", "{fumes:?}");
}

/// A plastisol print is PVC: the EU's limits of lead and of tin are told with it, and with no other ink or market.
#[rstest]
#[case("plastisol", "eu", true)]
#[case("PVC-free plastisol", "eu", false)]
#[case("water-based", "eu", false)]
#[case("plastisol", "us", false)]
fn lead_and_tin_in_pvc(#[case] ink: &str, #[case] market: &str, #[case] concerned: bool) {
    let answer = print(ink, "black", "tee", "adult", market);
    assert_eq!(says(&answer, "eu-pvc-stabilisers"), concerned, "{:?}", answer.cautions);
    if concerned {
        let text = told(&answer, "eu-pvc-stabilisers");
        assert!(text.contains("lead in PVC at most 0.1 %") && text.contains("0.1 % of tin"), "{text}");
    }
}

/// The words that Article 12 wants on the label of a textile with a part of hide, in the EU and nowhere else.
#[rstest]
#[case("100% leather", "eu", true)]
#[case("100% leather", "us", false)]
#[case("100% imitation leather", "eu", false)]
#[case("100% cotton", "eu", false)]
fn parts_of_animal_origin(#[case] composition: &str, #[case] market: &str, #[case] concerned: bool) {
    let answer = decide(&json!({"ink":"solvent nylon ink","ink_colour":"black","use":{"market":market},
        "fabric":{"composition":composition,"colour":"brown","article":"patch"}}));
    let text = text_of(&answer, "animal-parts-are-named");
    assert_eq!(text.is_some(), concerned, "{:?}", answer.cautions);
    assert!(text.is_none_or(|t| t.contains("Contains non-textile parts of animal origin") && t.contains("80 %")));
}

/// US guidance for ordinary marks on flame-resistant clothing: 16 in² are 103 cm², 40 in² are 258 cm² (1 in = 2.54 cm).
#[rstest]
#[case("us", "flame-retardant", true)]
#[case("eu", "flame-retardant", false)]
#[case("us", "untreated", false)]
fn marks_on_flame_resistant_clothing(#[case] market: &str, #[case] finish: &str, #[case] concerned: bool) {
    let answer = decide(&json!({"ink":"plastisol","ink_colour":"black","use":{"market":market},
        "fabric":{"composition":"100% cotton","colour":"white","construction":"twill","finishes":[finish]}}));
    let text = text_of(&answer, "flame-mark-areas");
    assert_eq!(text.is_some(), concerned, "{:?}", answer.cautions);
    let (each, all) = (16.0 * 2.54 * 2.54, 40.0 * 2.54 * 2.54);
    let areas = [format!("({each:.0} cm²)"), format!("({all:.0} cm²)")];
    assert!(text.is_none_or(|t| areas.iter().all(|a| t.contains(a)) && t.contains("at most five")));
}

/// California's limit is told of repellent cloth sold in the US, and of no other.
#[rstest]
#[case("us", "water-repellent", true)]
#[case("eu", "water-repellent", false)]
#[case("us", "brushed", false)]
fn fluorine_in_california(#[case] market: &str, #[case] finish: &str, #[case] concerned: bool) {
    let answer = decide(&json!({"ink":"plastisol","ink_colour":"black","use":{"market":market},
        "fabric":{"composition":"100% polyester","colour":"white","construction":"plain weave","finishes":[finish]}}));
    let text = text_of(&answer, "california-repellents");
    assert_eq!(text.is_some(), concerned, "{:?}", answer.cautions);
    assert!(text.is_none_or(|t| t.contains("100 ppm") && t.contains("2027 50 ppm")));
}

/// In the UK children's nightwear must pass its flame test, and pyjamas and adults' nightwear are labelled: told of
/// nightwear sold there, and of nothing else.
#[rstest]
#[case("pyjamas", "child", "uk", true)]
#[case("pyjamas", "adult", "uk", true)]
#[case("pyjamas", "child", "eu", false)]
#[case("tee", "child", "uk", false)]
fn uk_nightwear(#[case] article: &str, #[case] age: &str, #[case] market: &str, #[case] concerned: bool) {
    let answer = print("water-based", "black", article, age, market);
    let text = text_of(&answer, "uk-nightwear-rules");
    assert_eq!(text.is_some(), concerned, "{:?}", answer.conditions);
    assert!(text.is_none_or(|t| t.contains("must pass the flammability test") && t.contains("label")));
}
