//! Rule bases of a few lines, with the exact decision that each must get: one for every row of the tables.

use crate::generate::{Said, UNITS, What};
use std::sync::Arc;
use washfast::model::build;
use washfast::program::{Program, compile};
use washfast::reason::decide::{Cause, Code, Decision, Options, Verdict, decide};
use washfast::source::SourceFile;
use washfast::statement::Stated;

const VOCABULARY: &str = "
kinds:
  - {kind: yarn, folder: yarns, says: x}
  - {kind: bath, folder: baths, says: x}
  - {kind: salt, folder: salts, says: x}
  - {kind: shade, values: [dark, pale], says: x}
properties:
  - {property: bears, of: yarn, type: number, says: x}
  - {property: even, of: yarn, type: yes/no, says: x}
  - {property: takes, of: yarn, type: set of shade, says: x}
  - {property: needs, of: bath, type: schedule number to number, required: yes, says: x}
  - {property: keeps, of: bath, type: window number, required: yes, says: x}
attributes:
  - {attribute: cloth, type: blend of yarn, role: given, says: x}
  - {attribute: shade, type: choice of shade, role: given, says: x}
  - {attribute: wet, type: yes/no, role: given, says: x}
  - {attribute: age, type: number, role: given, says: x}
  - {attribute: bath, type: choice of bath, role: given, says: x}
  - {attribute: salt, type: choice of salt, role: given, says: x}
  - {attribute: stains, type: set of shade, role: given, says: x}
  - {attribute: tubs, type: set of salt, role: capability, says: x}
  - {attribute: salts, type: amounts of salt, role: chosen, material: yes, says: x}
  - {attribute: helpers, type: set of salt, role: chosen, material: yes, says: x}
  - {attribute: heat, type: setting number, role: chosen, says: x}
  - {attribute: time, type: setting number, role: chosen, says: x}
  - {attribute: layer.shade, per: layer, type: choice of shade, role: given, says: x}
  - {attribute: layer.press, per: layer, type: setting number, role: chosen, says: x}
  - {attribute: most, type: number, role: derived, combine: max, otherwise: 0, says: x}
  - {attribute: least, type: number, role: derived, combine: min, otherwise: 9, says: x}
  - {attribute: total, type: number, role: derived, combine: sum, otherwise: 5, says: x}
  - {attribute: marked, type: yes/no, role: derived, combine: any, says: x}
aspects:
";

/// A rule base: aspects, what flax bears, and rules, each on a line: id | for | when | effect.
fn program(aspects: &str, bears: &str, rules: &[&str]) -> Program {
    build_program(VOCABULARY, aspects, bears, rules)
}

fn build_program(vocabulary: &str, aspects: &str, bears: &str, rules: &[&str]) -> Program {
    let yarn = |id: &str, is: &str, bears: &str, rest: &str| {
        let bears =
            if bears.is_empty() { String::new() } else { format!("  bears: {{{bears}, basis: from memory}}\n") };
        let head = format!("id: {id}\nname: {id}\nis: [{is}]\nbasis: common practice\n");
        SourceFile::new(&format!("knowledge/yarns/{id}.yaml"), &format!("{head}properties:\n{bears}{rest}"))
    };
    let bath = |id: &str, rest: &str| {
        let text = format!("id: {id}\nname: {id}\nbasis: common practice\nproperties:\n{rest}");
        SourceFile::new(&format!("knowledge/baths/{id}.yaml"), &text)
    };
    let plain = |kind: &str, id: &str, more: &str| {
        let text = format!("id: {id}\nname: {id}\nbasis: common practice\n{more}");
        SourceFile::new(&format!("knowledge/{kind}/{id}.yaml"), &text)
    };
    let mut text = String::new();
    for rule in rules {
        let parts: Vec<&str> = rule.split('|').map(str::trim).collect();
        let [id, scope, when, effect] = parts.as_slice() else { panic!("{rule}") };
        text.push_str(&format!("- rule: {id}\n  says: x\n"));
        if !scope.is_empty() {
            text.push_str(&format!("  for: [{scope}]\n"));
        }
        if !when.is_empty() {
            text.push_str(&format!("  when: \"{when}\"\n"));
        }
        for field in effect.split(';') {
            text.push_str(&format!("  {}\n", field.trim()));
        }
        text.push_str("  basis: common practice\n");
    }
    let even = "  even: {value: yes, basis: from memory}\n  takes: {value: [pale], basis: from memory}\n";
    let mut files = vec![
        SourceFile::new("knowledge/units.yaml", UNITS),
        SourceFile::new("knowledge/vocabulary.yaml", &format!("{vocabulary}{aspects}")),
        plain("yarns", "plant", "class: yes\n"),
        yarn("flax", "plant", bears, even),
        yarn("hemp", "plant", "value: 6", even),
        yarn("wool", "", "value: 3", "  even: {value: no, basis: from memory}\n"),
        bath(
            "quick",
            "  needs: {schedule: [2 for 8, 5 for 3], basis: from memory}\n  keeps: {choose: 1 to 4, basis: from memory}\n",
        ),
        bath("slow", "  needs: {none: yes, basis: from memory}\n  keeps: {none: yes, basis: from memory}\n"),
        plain("salts", "alum", ""),
        plain("salts", "soda", ""),
    ];
    if !rules.is_empty() {
        files.push(SourceFile::new("knowledge/rules/all.yaml", &text));
    }
    let model = build(files).unwrap_or_else(|p| panic!("{:?}", p.list()));
    compile(Arc::new(model))
}

fn said(attribute: &'static str, what: What) -> Said {
    Said { attribute, layer: 0, what }
}

fn is(attribute: &'static str, id: &str) -> Said {
    said(attribute, What::OneOf(vec![id.to_owned()]))
}

fn wet(yes: bool) -> Said {
    said("wet", What::YesNo(yes))
}

fn set(attribute: &'static str, low: i64, high: i64) -> Said {
    said(attribute, What::Between(low, high))
}

fn cloth(shares: &[(&str, i64, i64)]) -> Said {
    said("cloth", What::Amounts(shares.iter().map(|(id, a, b)| ((*id).to_owned(), a * 12, b * 12)).collect()))
}

fn flax() -> Said {
    cloth(&[("flax", 100, 100)])
}

const PLAIN: Options = Options { budget: 4000, assume: false, explore: true, rows: true, brief: false };

fn asked(program: &Program, layers: usize, said: &[Said]) -> Decision {
    asked_with(program, layers, said, PLAIN)
}

fn asked_with(program: &Program, layers: usize, said: &[Said], options: Options) -> Decision {
    let statements = said.iter().map(|s| s.statement(&program.model)).collect();
    decide(program, &Stated { layers, statements, ..Stated::default() }, options)
}

/// The id of an instance's rule.
fn id(program: &Program, instance: u32) -> String {
    let own = program.instance(instance).expect("an instance of the program");
    program.model.rules[usize::from(own.rule)].id.clone()
}

/// A cause in a few words.
fn told(program: &Program, cause: &Cause) -> String {
    let by = |bound: &Option<(u32, usize)>| bound.map_or("stated".to_owned(), |(i, _)| id(program, i));
    match cause {
        Cause::Rule(instance, layer) => format!("{} {layer}", id(program, *instance)),
        Cause::Window { setting, layer, low, high, low_at, high_at } => {
            let name = &program.model.attributes[setting.index()].name;
            let low_at = if *low_at >= washfast::quantity::MOST { "endless".to_owned() } else { low_at.to_string() };
            let high_at = if *high_at >= washfast::quantity::MOST { "endless".to_owned() } else { high_at.to_string() };
            format!("{name} {layer}: {} {low_at} over {} {high_at}", by(low), by(high))
        }
        Cause::Lack(need, layer) => {
            let need = &program.needs[*need as usize];
            let aspect = &program.model.aspects[usize::from(need.aspect)].name;
            format!("{aspect} {:?} {layer}", need.elements)
        }
    }
}

fn causes(program: &Program, decision: &Decision) -> Vec<String> {
    decision.causes.iter().map(|c| told(program, c)).collect()
}

fn rows(program: &Program, decision: &Decision) -> Vec<String> {
    decision.rows.iter().map(|r| told(program, &r.cause)).collect()
}

#[track_caller]
fn expect(decision: &Decision, verdict: Verdict, code: Code) {
    assert_eq!((decision.verdict, decision.code), (verdict, code), "{decision:#?}");
}

const YES: (Verdict, Code) = (Verdict::Yes, Code::Works);
const NO: (Verdict, Code) = (Verdict::No, Code::Refused);
const OPEN: (Verdict, Code) = (Verdict::Depends, Code::OpenFact);

#[test]
fn what_nothing_speaks_against_works() {
    let p = program("", "", &[]);
    let d = asked(&p, 1, &[]);
    expect(&d, Verdict::Yes, Code::Works);
    assert!(d.causes.is_empty() && d.rows.is_empty() && d.conditions.is_empty() && d.accepted.is_some());
}

#[test]
fn a_requirement_makes_a_condition() {
    let p = program("", "", &["ask || wet | require: e", "told || not wet | note: n; about: quality"]);
    let d = asked(&p, 1, &[wet(true)]);
    expect(&d, Verdict::YesIf, Code::WorksIf);
    assert_eq!(d.conditions.len(), 1);
    assert!(d.conditions[0].sure && d.notes.is_empty());
    let d = asked(&p, 1, &[wet(false)]);
    expect(&d, Verdict::Yes, Code::Works);
    assert!(d.conditions.is_empty() && d.notes.len() == 1 && d.notes[0].sure);
    // Where only some possible jobs need it, it is a condition all the same.
    let d = asked(&p, 1, &[]);
    expect(&d, Verdict::YesIf, Code::WorksIf);
    assert!(d.conditions.len() == 1 && !d.conditions[0].sure && !d.notes[0].sure);
}

#[test]
fn a_requirement_of_refused_jobs_alone_is_none() {
    let p = program("", "", &["ask || wet and shade is dark | require: e", "bad || wet | refuse: e"]);
    let d = asked(&p, 1, &[wet(false)]);
    expect(&d, Verdict::Yes, Code::Works);
    let d = asked(&p, 1, &[]);
    expect(&d, Verdict::Depends, Code::OpenFact);
    assert!(d.conditions.is_empty());
}

#[test]
fn a_sure_refusal_is_the_cause() {
    let p = program("", "", &["bad || wet | refuse: e", "worse || shade is dark | refuse: e"]);
    let d = asked(&p, 1, &[wet(true)]);
    expect(&d, Verdict::No, Code::Refused);
    assert_eq!(causes(&p, &d), ["bad 0"]);
    let d = asked(&p, 1, &[wet(true), is("shade", "dark")]);
    assert_eq!(causes(&p, &d), ["bad 0", "worse 0"]);
}

#[test]
fn every_job_may_be_refused_by_another_rule() {
    let p = program("", "", &["bad || wet | refuse: e", "worse || not wet | refuse: e"]);
    let d = asked(&p, 1, &[]);
    expect(&d, Verdict::No, Code::Refused);
    assert!(d.causes.is_empty());
    assert_eq!(rows(&p, &d), ["bad 0", "worse 0"]);
}

#[test]
fn an_open_fact_decides_and_each_side_is_shown() {
    let p = program("", "", &["bad || wet and shade is dark | refuse: e"]);
    let d = asked(&p, 1, &[is("shade", "dark")]);
    expect(&d, Verdict::Depends, Code::OpenFact);
    assert_eq!(rows(&p, &d), ["bad 0"]);
    // Of the condition, only what is open is told.
    assert_eq!(d.rows[0].part.open.len(), 1);
    let wet_in = |job: &washfast::job::JobSet| {
        let slot = p.layout.slots[p.model.attribute("wet").unwrap().index()].1;
        job.root[slot].clone()
    };
    use washfast::job::Domain::YesNo;
    assert_eq!(wet_in(&d.rows[0].witness), YesNo { yes: true, no: false });
    assert_eq!(wet_in(d.refused.as_ref().unwrap()), YesNo { yes: true, no: false });
    assert_eq!(wet_in(d.accepted.as_ref().unwrap()), YesNo { yes: false, no: true });
    // A rule that cannot fire with what was said has no row.
    let d = asked(&p, 1, &[is("shade", "pale")]);
    expect(&d, Verdict::Yes, Code::Works);
}

const HOLD: &str = "  - {aspect: hold, says: x, trial: x, for: [each yarn in cloth]}\n";

#[test]
fn silence_is_not_yes() {
    let p = program(HOLD, "", &["grip | each yarn in cloth | yarn.even | support: hold; because: b"]);
    let d = asked(&p, 1, &[flax()]);
    expect(&d, Verdict::Yes, Code::Works);
    let d = asked(&p, 1, &[cloth(&[("wool", 100, 100)])]);
    expect(&d, Verdict::Depends, Code::NotKnown);
    assert_eq!(d.lacking.len(), 1);
    assert_eq!(rows(&p, &d), ["hold [2] 0"]);
    // A fibre that may be absent needs grounds where it is present.
    let d = asked(&p, 1, &[cloth(&[("flax", 50, 100), ("wool", 0, 50)])]);
    expect(&d, Verdict::Depends, Code::NotKnown);
    assert!(d.lacking.is_empty() && d.accepted.is_some());
    let d = asked(&p, 1, &[cloth(&[("flax", 0, 100), ("hemp", 0, 100)])]);
    expect(&d, Verdict::Yes, Code::Works);
}

#[test]
fn a_refusal_beside_missing_grounds_is_no_guess() {
    let rules = ["grip | each yarn in cloth | yarn.even | support: hold; because: b", "bad || wet | refuse: e"];
    let p = program(HOLD, "", &rules);
    let wool = cloth(&[("wool", 100, 100)]);
    // Refused where it is wet, without grounds where it is not: nothing works, but not everything is refused.
    let d = asked(&p, 1, std::slice::from_ref(&wool));
    expect(&d, Verdict::Depends, Code::NotKnown);
    let d = asked(&p, 1, &[wool, wet(true)]);
    expect(&d, Verdict::No, Code::Refused);
    let d = asked(&p, 1, &[flax()]);
    expect(&d, Verdict::Depends, Code::OpenFact);
}

#[test]
fn statements_that_contradict_are_named_and_no_others() {
    let p = program("", "", &["never || wet and shade is pale | exclude: e", "odd || age > 3 and wet | exclude: e"]);
    let other = [is("bath", "slow"), is("shade", "pale"), flax(), wet(true), set("age", 1, 1)];
    let d = asked(&p, 1, &other);
    expect(&d, Verdict::Depends, Code::Contradiction);
    assert_eq!(d.contradiction, [1, 3]);
    assert_eq!(causes(&p, &d), ["never 0"]);
    // What cannot exist does not count.
    let p = program("", "", &["never || wet and shade is pale | exclude: e", "bad || wet | refuse: e"]);
    let d = asked(&p, 1, &[is("shade", "pale")]);
    expect(&d, Verdict::Yes, Code::Works);
    // Two exclusions that leave nothing together.
    let p = program("", "", &["a || wet and age < 5 | exclude: e", "b || not wet and age < 9 | exclude: e"]);
    let d = asked(&p, 1, &[is("shade", "pale"), set("age", 0, 3)]);
    expect(&d, Verdict::Depends, Code::Contradiction);
    assert_eq!(d.contradiction, [1]);
}

#[test]
fn two_statements_of_one_attribute_may_contradict() {
    let p = program("", "", &[]);
    let d = asked(&p, 1, &[wet(true), set("age", 1, 2), set("age", 4, 5)]);
    assert_eq!((d.code, d.contradiction), (Code::Contradiction, vec![1, 2]));
    // To say that there is none is a statement too.
    let none = said("helpers", What::Set(vec![], vec![]));
    let some = said("helpers", What::Set(vec!["alum".into()], vec![]));
    for both in [[none.clone(), some.clone()], [some, none]] {
        let d = asked(&p, 1, &both);
        assert_eq!((d.code, d.contradiction), (Code::Contradiction, vec![0, 1]));
    }
    let d = asked(&p, 1, &[set("heat", 1, 2), set("heat", 4, 5)]);
    assert_eq!((d.code, d.contradiction), (Code::Contradiction, vec![0, 1]));
    let d = asked(&p, 1, &[cloth(&[("flax", 10, 20), ("wool", 10, 20)])]);
    assert_eq!((d.code, d.contradiction), (Code::Contradiction, vec![0]));
}

#[test]
fn without_a_budget_nothing_is_guessed() {
    let p = program("", "", &["bad || wet | refuse: e"]);
    let d = asked_with(&p, 1, &[], Options { budget: 1, ..PLAIN });
    expect(&d, Verdict::Depends, Code::Undecided);
}

/// What flax bears, and the verdicts of: refused where it bears less than 5; where it does not bear less than 5;
/// where it does not bear 5 or more.
#[test]
fn every_form_of_a_value_has_its_truth() {
    let table = [
        ("value: 4", NO, YES, NO),
        ("value: 5", YES, NO, YES),
        // A comparison with what does not exist is false, so its opposite is true.
        ("none: yes", YES, NO, NO),
        // What nobody wrote down stays open.
        ("unknown: yes", OPEN, OPEN, OPEN),
        ("", OPEN, OPEN, OPEN),
        ("varies: 2 to 4", NO, YES, NO),
        ("varies: 5 to 9", YES, NO, YES),
        ("varies: 4 to 5", OPEN, OPEN, OPEN),
        // The planning value decides, however far the figures spread.
        ("disputed: 1 to 9, plan: 4", NO, YES, NO),
        ("disputed: 1 to 9, plan: 5", YES, NO, YES),
    ];
    for (bears, less, not_less, not_at_least) in table {
        for (when, expected) in
            [("yarn.bears < 5", less), ("not yarn.bears < 5", not_less), ("not (yarn.bears >= 5)", not_at_least)]
        {
            let p = program("", bears, &[&format!("bad | each yarn in cloth | {when} | refuse: e")]);
            let d = asked(&p, 1, &[flax()]);
            assert_eq!((d.verdict, d.code), expected, "{bears}: {when}");
        }
    }
}

#[test]
fn one_open_value_is_the_same_everywhere() {
    // Whatever flax bears, exactly one of the two refuses.
    let rules = [
        "low | each yarn in cloth | yarn.bears < 5 | refuse: e",
        "high | each yarn in cloth | yarn.bears >= 5 | refuse: e",
    ];
    let p = program("", "unknown: yes", &rules);
    let d = asked(&p, 1, &[flax()]);
    expect(&d, Verdict::No, Code::Refused);
    assert_eq!(rows(&p, &d), ["high 0", "low 0"]);
}

#[test]
fn arithmetic_with_what_does_not_exist_does_not_exist() {
    for number in ["yarn.bears + 1", "2 - yarn.bears", "2 * yarn.bears", "min(yarn.bears, 1)", "max(1, yarn.bears)"] {
        for (when, expected) in [(format!("{number} < 99"), YES), (format!("not {number} < 99"), NO)] {
            let p = program("", "none: yes", &[&format!("bad | each yarn in cloth | {when} | refuse: e")]);
            let d = asked(&p, 1, &[flax()]);
            assert_eq!((d.verdict, d.code), expected, "{when}");
        }
    }
    // Nor does it bound anything.
    let bound = "cap | each yarn in cloth || bound: heat; at_most: yarn.bears - 1; because: b";
    let p = program("", "none: yes", &[bound]);
    expect(&asked(&p, 1, &[flax(), set("heat", 90, 90)]), Verdict::Yes, Code::Works);
}

const BOUNDS: [&str; 4] = [
    "low ||| bound: heat; at_least: 2; because: b",
    "lower ||| bound: heat; at_least: 5; because: b",
    "high ||| bound: heat; at_most: 9; because: b",
    "higher || shade is dark | bound: heat; at_most: 4; because: b",
];

#[test]
fn a_window_that_crosses_is_told_by_exactly_its_two_bounds() {
    let p = program("", "", &BOUNDS);
    let d = asked(&p, 1, &[is("shade", "dark")]);
    expect(&d, Verdict::No, Code::Refused);
    assert_eq!(causes(&p, &d), ["heat 0: lower 5 over higher 4"]);
    let d = asked(&p, 1, &[is("shade", "pale")]);
    expect(&d, Verdict::Yes, Code::Works);
    let d = asked(&p, 1, &[]);
    expect(&d, Verdict::Depends, Code::OpenFact);
    assert_eq!(rows(&p, &d), ["heat 0: lower 5 over higher 4"]);
    assert_eq!(d.rows[0].part.open.len(), 1);
    // What is stated is a bound on both sides.
    for (at, cause) in [(3, "heat 0: lower 5 over stated 3"), (10, "heat 0: stated 10 over high 9")] {
        let d = asked(&p, 1, &[is("shade", "pale"), set("heat", at, at)]);
        expect(&d, Verdict::No, Code::Refused);
        assert_eq!(causes(&p, &d), [cause]);
    }
    for at in [5, 9] {
        expect(&asked(&p, 1, &[is("shade", "pale"), set("heat", at, at)]), Verdict::Yes, Code::Works);
    }
}

#[test]
fn one_value_left_is_enough() {
    let p =
        program("", "", &["a ||| bound: heat; at_least: 5; because: b", "z ||| bound: heat; at_most: 5; because: b"]);
    expect(&asked(&p, 1, &[]), Verdict::Yes, Code::Works);
}

#[test]
fn a_bound_that_only_may_fire_is_no_sure_cause() {
    let rules = [
        "a ||| bound: heat; at_least: 5; because: b",
        "b || wet | bound: heat; at_least: 8; because: b",
        "z ||| bound: heat; at_most: 3; because: b",
    ];
    let p = program("", "", &rules);
    assert_eq!(causes(&p, &asked(&p, 1, &[])), ["heat 0: a 5 over z 3"]);
    assert_eq!(causes(&p, &asked(&p, 1, &[wet(true)])), ["heat 0: b 8 over z 3"]);
}

#[test]
fn a_time_follows_the_heat_and_too_little_heat_is_never_enough() {
    let rules = ["long || bath is quick | bound: time; at_least: bath.needs at heat.max; because: b"];
    let p = program("", "", &rules);
    let bath = || is("bath", "quick");
    let with = |heat: i64, time: i64| asked(&p, 1, &[bath(), set("heat", heat, heat), set("time", time, time)]);
    for (heat, time, works) in [(2, 8, true), (2, 7, false), (4, 7, false), (5, 3, true), (5, 2, false), (9, 3, true)] {
        assert_eq!(with(heat, time).verdict.works(), works, "{heat} for {time}");
    }
    // Below the first level no time suffices, whether or not it was stated.
    let d = asked(&p, 1, &[bath(), set("heat", 1, 1)]);
    expect(&d, Verdict::No, Code::Refused);
    assert_eq!(causes(&p, &d), ["time 0: long endless over stated endless"]);
    // A heat that may be chosen is high enough.
    expect(&asked(&p, 1, &[bath(), set("time", 3, 3)]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[bath(), set("time", 2, 2)]), Verdict::No, Code::Refused);
    // A bath without a schedule asks for nothing.
    let p = program("", "", &["long ||| bound: time; at_least: bath.needs at heat.max; because: b"]);
    expect(&asked(&p, 1, &[is("bath", "slow"), set("time", 0, 0)]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[set("time", 0, 0)]), Verdict::Depends, Code::OpenFact);
}

#[test]
fn what_can_never_be_enough_is_not_made_enough_by_arithmetic() {
    for value in ["bath.needs at 1 - 2", "2 * bath.needs at 1", "min(bath.needs at 1, bath.needs at 0)"] {
        let value = value.replace("bath.needs at 1 - 2", "(bath.needs at 1) - 2");
        let p = program("", "", &[&format!("long || bath is quick | bound: time; at_least: \"{value}\"; because: b")]);
        let d = asked(&p, 1, &[is("bath", "quick")]);
        assert_eq!((d.verdict, d.code), NO, "{value}");
    }
}

#[test]
fn ends_of_windows_are_seen_after_all_bounds() {
    let rules = [
        "a ||| bound: heat; at_least: 4; because: b",
        "b || wet | bound: heat; at_least: 6; because: b",
        "bad || heat.min > 5 | refuse: e",
        "c ||| bound: time; at_most: heat.min - 1; because: b",
    ];
    let p = program("", "", &rules);
    expect(&asked(&p, 1, &[wet(false)]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[wet(true)]), Verdict::No, Code::Refused);
    expect(&asked(&p, 1, &[wet(false), set("time", 3, 3)]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[wet(false), set("time", 4, 4)]), Verdict::No, Code::Refused);
    expect(&asked(&p, 1, &[wet(false), set("time", 4, 4), set("heat", 5, 5)]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[set("heat", 5, 5)]), Verdict::Depends, Code::OpenFact);
}

#[test]
fn derivations_combine_as_declared() {
    let of = |attribute: &str| {
        let by = |id: &str, when: &str, value: i64| format!("{id} || {when} | derive: {attribute}; as: \"{value}\"");
        [by("a", "wet", 3), by("b", "shade is dark", 7)]
    };
    // Nothing contributes, one does, the other does, both do.
    for (attribute, values) in [("most", [0, 3, 7, 7]), ("least", [9, 3, 7, 3]), ("total", [5, 3, 7, 10])] {
        for (number, value) in values.into_iter().enumerate() {
            let [a, b] = of(attribute);
            let bad = format!("bad || {attribute} != {value} | refuse: e");
            let p = program("", "", &[&a, &b, &bad]);
            let job = [wet(number % 2 == 1), is("shade", if number >= 2 { "dark" } else { "pale" })];
            let d = asked(&p, 1, &job);
            assert_eq!((d.verdict, d.code), YES, "{attribute} of {number}");
            // And with one of them open, both ways are seen.
            let d = asked(&p, 1, &job[1..]);
            let same = values[number ^ 1] == value;
            assert_eq!((d.verdict, d.code), if same { YES } else { OPEN }, "{attribute} of {number}, half open");
        }
    }
    let p = program("", "", &["m | each yarn in cloth | yarn.bears > 5 | derive: marked", "bad || marked | refuse: e"]);
    expect(&asked(&p, 1, &[cloth(&[("hemp", 1, 1), ("wool", 99, 99)])]), Verdict::No, Code::Refused);
    expect(&asked(&p, 1, &[cloth(&[("wool", 100, 100)])]), Verdict::Yes, Code::Works);
}

#[test]
fn shares_add_up() {
    let p = program("", "", &["bad || share of plant in cloth > 50 % | refuse: e"]);
    let blend = |flax: (i64, i64), hemp: (i64, i64), wool: (i64, i64)| {
        let d = asked(&p, 1, &[cloth(&[("flax", flax.0, flax.1), ("hemp", hemp.0, hemp.1), ("wool", wool.0, wool.1)])]);
        (d.verdict, d.code)
    };
    assert_eq!(blend((30, 30), (21, 21), (49, 49)), NO);
    assert_eq!(blend((30, 30), (20, 20), (50, 50)), YES);
    // Neither share is known, but what is left for both is.
    assert_eq!(blend((0, 100), (0, 100), (40, 49)), NO);
    assert_eq!(blend((0, 100), (0, 100), (50, 90)), YES);
    assert_eq!(blend((0, 100), (0, 100), (40, 60)), OPEN);
    let said = said("cloth", What::AtLeast("plant".into(), 51 * 12));
    let d = asked(&p, 1, &[said]);
    assert_eq!((d.verdict, d.code), NO);
    // Of plants there is something, though neither plant is sure.
    let p = program("", "", &["bad || cloth has a plant | refuse: e"]);
    let d = asked(&p, 1, &[cloth(&[("flax", 0, 100), ("hemp", 0, 100), ("wool", 0, 99)])]);
    assert_eq!((d.verdict, d.code), NO);
}

#[test]
fn a_fibre_is_present_from_its_least_share() {
    let p = program("", "", &["bad | each yarn in cloth | not yarn.even | refuse: e"]);
    let with = |wool: (i64, i64)| {
        let d = asked(&p, 1, &[cloth(&[("flax", 0, 100), ("wool", wool.0, wool.1)])]);
        (d.verdict, d.code)
    };
    assert_eq!((with((1, 5)), with((0, 5)), with((0, 0))), (NO, OPEN, YES));
}

#[test]
fn some_member_is_enough_and_must_be_there() {
    let p = program("", "", &["bad || not (some yarn in cloth where (yarn.bears > 5 and yarn.even)) | refuse: e"]);
    expect(&asked(&p, 1, &[cloth(&[("hemp", 1, 1), ("wool", 99, 99)])]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[cloth(&[("wool", 100, 100)])]), Verdict::No, Code::Refused);
    expect(&asked(&p, 1, &[cloth(&[("hemp", 0, 50), ("wool", 0, 100)])]), Verdict::Depends, Code::OpenFact);
    // A shop that was not described has tubs that are not known.
    let p = program("", "", &["bad || not (some tub in tubs where (tub is alum)) | refuse: e"]);
    expect(&asked(&p, 1, &[]), Verdict::Depends, Code::OpenFact);
    expect(&asked(&p, 1, &[said("tubs", What::Set(vec![], vec![]))]), Verdict::No, Code::Refused);
}

#[test]
fn what_nobody_mentioned_is_not_used() {
    let p = program("", "", &["bad || salts has alum or helpers has alum | refuse: e"]);
    expect(&asked(&p, 1, &[]), Verdict::Yes, Code::Works);
    let some = |low, high| said("salts", What::Amounts(vec![("alum".into(), low, high)]));
    expect(&asked(&p, 1, &[some(12, 12)]), Verdict::No, Code::Refused);
    expect(&asked(&p, 1, &[some(0, 12)]), Verdict::Depends, Code::OpenFact);
    expect(&asked(&p, 1, &[said("helpers", What::Set(vec![], vec!["alum".into()]))]), Verdict::Depends, Code::OpenFact);
    let p = program("", "", &["bad || stated salts | refuse: e"]);
    expect(&asked(&p, 1, &[]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[some(0, 0)]), Verdict::No, Code::Refused);
}

/// An open choice among the members of amounts was never decided, not even of a complete job.
#[test]
fn a_choice_may_be_one_of_what_there_are_amounts_of() {
    let p = program("", "", &["bad || salt is in salts | refuse: e"]);
    let some = said("salts", What::Amounts(vec![("alum".into(), 12, 12), ("soda".into(), 0, 12)]));
    expect(&asked(&p, 1, &[some.clone(), is("salt", "alum")]), Verdict::No, Code::Refused);
    expect(&asked(&p, 1, &[is("salt", "alum")]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[some.clone(), is("salt", "soda")]), Verdict::Depends, Code::OpenFact);
    expect(&asked(&p, 1, &[some]), Verdict::Depends, Code::OpenFact);
}

#[test]
fn layers_and_pairs_are_told_apart() {
    let shade = |layer: usize, id: &str| Said { attribute: "layer.shade", layer, what: What::OneOf(vec![id.into()]) };
    let p = program("", "", &["bad | each pair of layers | upper.shade is pale and lower.shade is dark | refuse: e"]);
    let d = asked(&p, 3, &[shade(0, "pale"), shade(1, "dark"), shade(2, "pale")]);
    assert_eq!(causes(&p, &d), ["bad 2"]);
    expect(&asked(&p, 3, &[shade(0, "dark"), shade(1, "dark"), shade(2, "dark")]), Verdict::Yes, Code::Works);
    expect(&asked(&p, 1, &[shade(0, "dark")]), Verdict::Yes, Code::Works);
    let p = program(
        "",
        "",
        &["bad | each layer | layer.is_last and not layer.is_first and layer.shade is pale | refuse: e"],
    );
    let d = asked(&p, 2, &[shade(0, "pale"), shade(1, "pale")]);
    assert_eq!(causes(&p, &d), ["bad 1"]);
    expect(&asked(&p, 1, &[shade(0, "pale")]), Verdict::Yes, Code::Works);
    // A window of a layer is its own; one of the whole job gathers from all layers.
    let rules = [
        "a | each layer | layer.shade is dark | bound: layer.press; at_least: 5; because: b",
        "z | each layer | layer.is_first | bound: layer.press; at_most: 3; because: b",
    ];
    let p = program("", "", &rules);
    expect(&asked(&p, 2, &[shade(0, "pale"), shade(1, "dark")]), Verdict::Yes, Code::Works);
    let d = asked(&p, 2, &[shade(0, "dark"), shade(1, "pale")]);
    assert_eq!(causes(&p, &d), ["layer.press 0: a 5 over z 3"]);
    let rules = [
        "a | each layer | layer.shade is dark | bound: heat; at_least: 5; because: b",
        "z | each layer | layer.shade is pale | bound: heat; at_most: 3; because: b",
    ];
    let p = program("", "", &rules);
    let d = asked(&p, 2, &[shade(0, "dark"), shade(1, "pale")]);
    assert_eq!(causes(&p, &d), ["heat 0: a 5 over z 3"]);
}

const ASSUMING: Options = Options { budget: 4000, assume: true, explore: true, rows: true, brief: false };

/// The vocabulary with assumptions of an attribute.
fn assuming(attribute: &str, list: &str, rules: &[&str]) -> Program {
    let start = format!("attribute: {attribute}, ");
    assert!(VOCABULARY.contains(&start));
    build_program(&VOCABULARY.replace(&start, &format!("{start}assume: [{list}], ")), "", "", rules)
}

/// What was assumed, with what it changes to.
fn assumed(program: &Program, decision: &Decision) -> Vec<(String, usize, Option<Verdict>)> {
    let name = |a: &washfast::reason::decide::Assumed| program.model.attributes[a.attribute.index()].name.clone();
    decision.assumed.iter().map(|a| (name(a), a.index, a.changes_to)).collect()
}

#[test]
fn an_assumption_is_made_told_and_gives_way() {
    let p = assuming("wet", "{value: no, words: w}", &["bad || wet | refuse: e"]);
    let d = asked_with(&p, 1, &[], ASSUMING);
    expect(&d, Verdict::Yes, Code::Works);
    assert_eq!(assumed(&p, &d), [("wet".to_owned(), 0, Some(Verdict::No))]);
    let d = asked_with(&p, 1, &[wet(true)], ASSUMING);
    expect(&d, Verdict::No, Code::Refused);
    assert!(d.assumed.is_empty());
    // Asked without assumptions, it stays open.
    expect(&asked(&p, 1, &[]), Verdict::Depends, Code::OpenFact);
    // One that changes nothing says so; one that keeps from yes does too.
    let p = assuming("wet", "{value: no, words: w}", &["bad || shade is dark | refuse: e"]);
    let d = asked_with(&p, 1, &[is("shade", "pale")], ASSUMING);
    assert_eq!(assumed(&p, &d), [("wet".to_owned(), 0, None)]);
    let p = assuming("wet", "{value: no, words: w}", &["bad || not wet | refuse: e", "ask || wet | require: e"]);
    let d = asked_with(&p, 1, &[], ASSUMING);
    expect(&d, Verdict::No, Code::Refused);
    assert_eq!(assumed(&p, &d), [("wet".to_owned(), 0, Some(Verdict::YesIf))]);
}

#[test]
fn an_assumption_waits_for_its_guard() {
    let list = "{value: no, when: shade is dark, words: w}, {value: yes, when: shade is pale and age > 3, words: w}";
    let p = assuming("wet", list, &["bad || wet | refuse: e"]);
    let wet_is = |said: &[Said]| {
        let d = asked_with(&p, 1, said, ASSUMING);
        ((d.verdict, d.code), d.assumed.first().map(|a| a.index))
    };
    assert_eq!(wet_is(&[is("shade", "dark")]), (YES, Some(0)));
    assert_eq!(wet_is(&[is("shade", "pale"), set("age", 4, 4)]), (NO, Some(1)));
    assert_eq!(wet_is(&[is("shade", "pale"), set("age", 3, 3)]), (OPEN, None));
    // A guard that is open does not hold.
    assert_eq!(wet_is(&[]), (OPEN, None));
    assert_eq!(wet_is(&[is("shade", "pale"), set("age", 3, 4)]), (OPEN, None));
}

#[test]
fn one_assumption_may_be_the_guard_of_another() {
    // Declared before what it waits for.
    let vocabulary = VOCABULARY
        .replace("attribute: wet, ", "attribute: wet, assume: [{value: no, when: age < 3, words: w}], ")
        .replace("attribute: age, ", "attribute: age, assume: [{value: 1, words: w}], ");
    let p = build_program(&vocabulary, "", "", &["bad || wet | refuse: e"]);
    let d = asked_with(&p, 1, &[], ASSUMING);
    expect(&d, Verdict::Yes, Code::Works);
    let mut names: Vec<String> = assumed(&p, &d).into_iter().map(|a| a.0).collect();
    names.sort();
    assert_eq!(names, ["age", "wet"]);
}

#[test]
fn an_assumption_that_cannot_be_gives_way() {
    let rules = ["never || wet and shade is dark and age > 3 | exclude: e", "bad || not wet | refuse: e"];
    let p = assuming("wet", "{value: yes, words: w}", &rules);
    let d = asked_with(&p, 1, &[is("shade", "dark"), set("age", 5, 5)], ASSUMING);
    expect(&d, Verdict::No, Code::Refused);
    assert!(d.assumed.is_empty());
    // Also where no single exclusion forbids it, but two together do.
    let rules = [
        "never || wet and shade is dark | exclude: e",
        "nor || wet and shade is pale | exclude: e",
        "bad || not wet | refuse: e",
    ];
    let p = assuming("wet", "{value: yes, words: w}", &rules);
    let d = asked_with(&p, 1, &[], ASSUMING);
    expect(&d, Verdict::No, Code::Refused);
    assert!(d.assumed.is_empty());
}
