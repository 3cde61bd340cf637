//! Every name that the knowledge gives a thing is heard as that thing in an ordinary order.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use washfast::Knowledge;
use washfast::job::Domain;
use washfast::model::Mask;
use washfast::statement::Statement;
use washfast::words::folded;

/// Words that begin a clause: a name that holds one is for the fields of an order form.
const CLAUSES: [&str; 8] = ["for", "with", "on", "and", "or", "that", "in", "zu"];

/// Names that mean something else where they stand by themselves in a sentence, or that begin with a number that is read
/// for itself: for the fields of an order form too.
const IN_FIELDS_ONLY: [&str; 38] = [
    "jean",
    "jeans",
    "lona",
    "felpa",
    "mescla",
    "chino",
    "saia",
    "base layer",
    "bright white",
    "no coating",
    "no finish",
    "low bleed low cure",
    "non curable reducer",
    "puff base",
    "halftone base",
    "4CP",
    "2K-Farbe",
    "1/4 zip",
    "half zip",
    "half zips",
    "quarter zip",
    "quarter zips",
    "3D silicone",
    "170 T",
    "180 T",
    "190 T",
    "210 T",
    "230 T",
    "240 T",
    "260 T",
    "290 T",
    "300 T",
    "310 T",
    "320 T",
    "380 T",
    "400 T",
    "nylon 6-6",
    "nylon 6/6",
];

/// An order with `{}` for the name of a thing.
#[rstest]
#[case::fibre("fabric", "plastisol on 100% {} cloth")]
#[case::article("garment", "black plastisol on white {}")]
#[case::construction("fabric.construction", "plastisol on white cotton {}")]
#[case::finish("fabric.finishes", "plastisol on white polyester with {} finish")]
#[case::colour("fabric.colour", "plastisol on {} cotton tee")]
#[case::ink("layer.ink", "{} on white cotton tee")]
#[case::print("layer.colour", "{} plastisol on white cotton tee")]
#[case::additive("layer.additives", "plastisol with {} on white cotton tee")]
#[case::stencil("layer.stencil", "plastisol on white cotton tee with {}")]
#[case::machine("shop.equipment", "plastisol on white cotton tee using {}")]
fn every_name_is_heard(#[case] attribute: &str, #[case] order: &str) {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge");
    let model = knowledge.model();
    let kind = model.attributes.iter().find(|a| a.name == attribute).and_then(|a| a.ty.members()).expect("a kind");
    let class = |name: &str| {
        let mut classes = model.entities.iter().filter(|e| e.kind == kind && e.ordinal.is_none());
        classes.find(|e| e.loose.iter().any(|l| l == name)).map(|e| e.members)
    };
    let says = |name: &str, member: usize| {
        let Ok(stated) = knowledge.statements(&order.replace("{}", name)) else { return false };
        let of = |s: &&Statement| s.attribute.of(model).is_some_and(|a| a.name == attribute);
        let only = |ranges: &[(i64, i64)]| ranges.iter().enumerate().all(|(m, r)| (r.1 > 0) == (m == member));
        stated.statements.iter().filter(of).any(|s| match &s.domain {
            // A word of a class means any of it.
            Domain::Choice(any) => *any == class(name).unwrap_or(Mask::one(member)),
            Domain::Set { must, .. } => *must == Mask::one(member),
            Domain::Amounts(amounts) => only(&amounts.ranges),
            _ => false,
        })
    };
    let (mut heard, mut wrong) = (0, Vec::new());
    for entity in model.entities.iter().filter(|e| e.kind == kind) {
        let Some(member) = entity.ordinal else { continue };
        for name in std::iter::once(&entity.name).chain(&entity.aliases) {
            let in_fields = name != &entity.name
                && (name.split(' ').any(|w| CLAUSES.contains(&w)) || IN_FIELDS_ONLY.contains(&name.as_str()));
            match says(name, member) {
                true => heard += 1,
                false if in_fields => {}
                false => wrong.push(format!("{} `{name}`", entity.id)),
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{attribute}: {heard} are heard, but these {} are not:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(heard > 5, "{heard}");
}

/// Articles whose names hold the name of a fibre that says nothing of what they are of.
const NO_FIBRE: [&str; 2] = ["bed linen", "pet coat"];

/// An article that is called after its fibre is of that fibre: no name of an article swallows it.
#[test]
fn no_name_of_an_article_hides_its_fibre() {
    let knowledge = Knowledge::built_in().expect("the built-in knowledge");
    let model = knowledge.model();
    let names = |attribute: &str| -> Vec<&String> {
        let kind = model.attributes.iter().find(|a| a.name == attribute).and_then(|a| a.ty.members()).expect("a kind");
        let own = model.entities.iter().filter(move |e| e.kind == kind && e.ordinal.is_some());
        own.flat_map(|e| std::iter::once(&e.name).chain(&e.aliases)).collect()
    };
    let fibres: Vec<String> = names("fabric").into_iter().map(|n| folded(n)).filter(|n| n.len() > 2).collect();
    let (mut of_fibres, mut wrong) = (0, Vec::new());
    for name in names("garment").into_iter().filter(|n| !NO_FIBRE.contains(&folded(n).as_str())) {
        let words = format!(" {} ", folded(name));
        if !fibres.iter().any(|fibre| words.contains(&format!(" {fibre} "))) {
            continue;
        }
        of_fibres += 1;
        let said = knowledge.statements(&format!("black plastisol on white {name}"));
        let fibre = |s: &Statement| s.attribute.of(model).is_some_and(|a| a.name == "fabric");
        if !said.is_ok_and(|s| s.statements.iter().any(fibre)) {
            wrong.push(name);
        }
    }
    assert!(wrong.is_empty(), "of {of_fibres} names these hide their fibre: {wrong:?}");
}
