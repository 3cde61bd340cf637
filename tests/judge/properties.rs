//! What must hold of every decision, tried on generated vocabularies.

use crate::generate::{Case, Shape, case};
use crate::reference::{Instance, Judge, Level};
use crate::worlds::{Worlds, assumed, concrete, contains};
use proptest::collection::vec;
use proptest::prelude::any;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestRng, TestRunner};
use std::cell::Cell;
use std::sync::Arc;
use washfast::job::JobSet;
use washfast::model::{End, Model, Role, build};
use washfast::program::{Program, compile};
use washfast::reason::decide::{Cause, Code, Decision, Fired, Options, Verdict, decide};
use washfast::reason::evaluate::{Evaluation, Truth};
use washfast::reason::rows::Row;
use washfast::statement::Stated;

/// How often something happened.
#[derive(Default)]
struct Tally {
    cases: Cell<u32>,
    skipped: Cell<u32>,
    undecided: Cell<u32>,
    jobs: Cell<u64>,
    verdicts: Cell<[u32; 7]>,
}

fn add(cell: &Cell<u32>) {
    cell.set(cell.get() + 1);
}

/// Runs a property on generated cases, always the same ones; `WASHFAST_JUDGE_CASES` multiplies their number.
fn run(name: &str, cases: u32, seed: u8, shape: Shape, property: impl Fn(&Case, &Tally) -> Result<(), String>) {
    let factor = std::env::var("WASHFAST_JUDGE_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(1);
    let config =
        Config { cases: cases * factor, failure_persistence: None, max_shrink_iters: 600, ..Config::default() };
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]);
    let mut runner = TestRunner::new_with_rng(config, rng);
    let tally = Tally::default();
    let result = runner.run(&vec(any::<u16>(), 0..900), |numbers| {
        let case = case(&numbers, shape);
        property(&case, &tally).map_err(|e| TestCaseError::fail(format!("{e}\n{}", shown(&case))))
    });
    let verdicts = tally.verdicts.get();
    println!(
        "{name}: {} cases, {} too large, {} undecided, {} complete jobs; works {}, works-if {}, refused {}, \
         open-fact {}, not-known {}, contradiction {}",
        tally.cases.get(),
        tally.skipped.get(),
        tally.undecided.get(),
        tally.jobs.get(),
        verdicts[0],
        verdicts[1],
        verdicts[2],
        verdicts[3],
        verdicts[4],
        verdicts[5],
    );
    if let Err(e) = result {
        // The numbers behind a case say nothing to a person.
        let text = e.to_string();
        panic!("{}", text.split("minimal failing input").next().unwrap_or(&text));
    }
    assert!(
        tally.undecided.get() * 50 <= tally.cases.get(),
        "{name}: {} of {} cases undecided",
        tally.undecided.get(),
        tally.cases.get()
    );
}

fn shown(case: &Case) -> String {
    let mut text = String::new();
    for file in case.files(false).iter().skip(1) {
        text.push_str(&format!("# {}\n{}\n", file.name, file.text));
    }
    let said: Vec<String> = case.said.iter().map(|s| format!("{} {} {:?}", s.attribute, s.layer, s.what)).collect();
    format!("{text}layers: {}\nsaid:\n  {}\nfound: {:?}\n", case.layers, said.join("\n  "), case.found)
}

fn built(case: &Case, turned: bool) -> Result<Program, String> {
    let model: Model = build(case.files(turned)).map_err(|p| format!("not built: {:?}", p.list()))?;
    Ok(compile(Arc::new(model)))
}

const PLAIN: Options = Options { budget: 4000, assume: false, explore: true, rows: true, brief: false };

fn index_of(code: Code) -> usize {
    match code {
        Code::Works => 0,
        Code::WorksIf => 1,
        Code::Refused => 2,
        Code::OpenFact => 3,
        Code::NotKnown => 4,
        Code::Contradiction => 5,
        Code::Undecided => 6,
    }
}

fn count_verdict(tally: &Tally, code: Code) {
    let mut verdicts = tally.verdicts.get();
    verdicts[index_of(code)] += 1;
    tally.verdicts.set(verdicts);
}

/// The rule (or aspect), layer and entities of something that the reasoner names.
fn named(program: &Program, instance: u32, layer: usize) -> Instance {
    let own = program.instance(instance).expect("an instance of the program");
    Instance { of: usize::from(own.rule), layer, elements: own.elements.clone() }
}

fn ensure(holds: bool, what: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(what()) }
}

/// Agrees with the definition, and everything shown is true. Gives the decision.
fn judged(case: &Case, options: Options, tally: &Tally) -> Result<Option<(Program, Worlds, Decision)>, String> {
    let program = built(case, false)?;
    let stated = case.stated(&program.model);
    let Some(all) = Worlds::of(&program.model, &stated) else {
        add(&tally.skipped);
        return Ok(None);
    };
    let decision = decide(&program, &stated, options);
    add(&tally.cases);
    tally.jobs.set(tally.jobs.get() + all.jobs.len() as u64);
    count_verdict(tally, decision.code);
    if decision.code == Code::Undecided {
        add(&tally.undecided);
        return Ok(None);
    }
    let possible = all.possible().next().is_some();
    let worlds = if options.assume && possible { assumed(&program.model, &stated, &all, None).0 } else { all };
    let mut seen = worlds.seen();
    // A witness on no grid point still counts, once the judge has confirmed it.
    for witness in [&decision.accepted, &decision.refused].into_iter().flatten() {
        if let Some(job) = shown_job(&program, &stated, witness)? {
            seen = seen.with(&Judge { model: &program.model, job: &job }.outcome());
        }
    }
    for row in &decision.rows {
        if let Some(job) = shown_job(&program, &stated, &row.witness)? {
            seen = seen.with(&Judge { model: &program.model, job: &job }.outcome());
        }
    }
    let expected = seen.verdict();
    ensure(expected == (decision.verdict, decision.code), || {
        format!("by definition {expected:?}, decided {:?} {:?}; there are {seen:?}", decision.verdict, decision.code)
    })?;
    if decision.code != Code::Contradiction {
        truthful(&program, &stated, &worlds, &decision)?;
    }
    Ok(Some((program, worlds, decision)))
}

/// A witness as a complete job, which must be possible and as stated.
fn shown_job(program: &Program, stated: &Stated, witness: &JobSet) -> Result<Option<crate::reference::Job>, String> {
    let Some(job) = concrete(program, witness) else { return Ok(None) };
    let outcome = Judge { model: &program.model, job: &job }.outcome();
    ensure(outcome.is_possible(), || format!("a witness that cannot exist: {witness:?}"))?;
    ensure(crate::worlds::follows(&program.model, &job), || format!("a witness with a wrong follower: {witness:?}"))?;
    for statement in &stated.statements {
        let value = &job.values[&(statement.attribute, statement.layer)];
        ensure(crate::worlds::allows(&statement.domain, value), || {
            format!("a witness against what was said ({}): {witness:?}", statement.words)
        })?;
    }
    for finding in &stated.findings {
        let value = job.facts.get(&(finding.entity, finding.property));
        ensure(value.is_none_or(|v| crate::worlds::is_found(v, &finding.domain)), || {
            format!("a witness against what was found out: {witness:?}")
        })?;
    }
    Ok(Some(job))
}

/// What is called sure is so in every possible job; what is shown is as it is said to be.
fn truthful(program: &Program, stated: &Stated, worlds: &Worlds, decision: &Decision) -> Result<(), String> {
    let model = &*program.model;
    for cause in &decision.causes {
        for (job, outcome) in worlds.possible() {
            ensure(caused(program, *cause, job, outcome), || format!("{cause:?} does not refuse {job:?}"))?;
        }
    }
    let sure = |list: &[Fired], pick: fn(&crate::reference::Outcome) -> &Vec<Instance>, what: &str| {
        for fired in list.iter().filter(|f| f.sure) {
            let own = named(program, fired.instance, fired.layer);
            for (job, outcome) in worlds.possible() {
                ensure(pick(outcome).contains(&own), || format!("{what} {own:?} is not sure in {job:?}"))?;
            }
        }
        Ok::<(), String>(())
    };
    sure(&decision.conditions, |o| &o.required, "condition")?;
    sure(&decision.notes, |o| &o.noted, "note")?;
    for (need, layer) in &decision.lacking {
        let own = need_of(program, *need, *layer);
        for (job, outcome) in worlds.possible() {
            ensure(outcome.lacking.contains(&own), || format!("{own:?} does not lack grounds in {job:?}"))?;
        }
    }
    // Everything that fires in some possible job is told.
    for (job, outcome) in worlds.possible() {
        let told = |list: &[Fired], one: &Instance| list.iter().any(|f| named(program, f.instance, f.layer) == *one);
        for one in &outcome.noted {
            ensure(told(&decision.notes, one), || format!("note {one:?} is not told, but fires in {job:?}"))?;
        }
        for one in outcome.required.iter().filter(|_| outcome.is_accepted() && decision.verdict != Verdict::No) {
            ensure(told(&decision.conditions, one), || format!("condition {one:?} is not told: {job:?}"))?;
        }
    }
    if let Some(witness) = &decision.accepted {
        for (job, outcome) in jobs_of(program, stated, worlds, witness)? {
            ensure(outcome.is_accepted(), || format!("shown as accepted, but {outcome:?}: {job:?}"))?;
        }
    }
    if let Some(witness) = &decision.refused {
        for (job, outcome) in jobs_of(program, stated, worlds, witness)? {
            ensure(outcome.is_refused() || !outcome.lacking.is_empty(), || {
                format!("shown as refused, but {outcome:?}: {job:?}")
            })?;
        }
    }
    for row in &decision.rows {
        let job = shown_job(program, stated, &row.witness)?.ok_or_else(|| format!("a row without witness: {row:?}"))?;
        let outcome = Judge { model, job: &job }.outcome();
        ensure(caused(program, row.cause, &job, &outcome), || {
            format!("the witness of {:?} is not refused by it: {outcome:?} {job:?}", row.cause)
        })?;
        if matches!(row.cause, Cause::Lack(..)) {
            ensure(!outcome.is_refused(), || format!("a witness of a lack is refused: {outcome:?} {job:?}"))?;
        }
        open_literals_hold(program, row, &job)?;
    }
    if decision.verdict == Verdict::Depends && decision.spent < PLAIN.budget / 2 {
        rows_cover(program, worlds, decision)?;
        rows_are_exact(program, worlds, decision)?;
    }
    Ok(())
}

/// The complete jobs of a witness: itself, or what it holds where something is left open in it.
fn jobs_of(
    program: &Program,
    stated: &Stated,
    worlds: &Worlds,
    witness: &JobSet,
) -> Result<Vec<(crate::reference::Job, crate::reference::Outcome)>, String> {
    if let Some(job) = shown_job(program, stated, witness)? {
        let outcome = Judge { model: &program.model, job: &job }.outcome();
        return Ok(vec![(job, outcome)]);
    }
    Ok(worlds.possible().filter(|(job, _)| contains(program, witness, job)).cloned().collect())
}

fn need_of(program: &Program, need: u32, layer: usize) -> Instance {
    let own = &program.needs[need as usize];
    Instance { of: usize::from(own.aspect), layer, elements: own.elements.clone() }
}

/// Whether a cause is what it says in a complete job.
fn caused(program: &Program, cause: Cause, job: &crate::reference::Job, outcome: &crate::reference::Outcome) -> bool {
    let judge = Judge { model: &program.model, job };
    match cause {
        Cause::Rule(instance, layer) => outcome.refused.contains(&named(program, instance, layer)),
        Cause::Lack(need, layer) => outcome.lacking.contains(&need_of(program, need, layer)),
        Cause::Window { setting, layer, low, high, .. } => {
            let at = |by: Option<(u32, usize)>, end: End| match by {
                None => Some(judge.stated(setting, layer, end)),
                Some((instance, frame)) => {
                    let own = named(program, instance, frame);
                    judge.bounds(setting, layer, end).into_iter().find(|(i, _)| *i == own).map(|(_, at)| at)
                }
            };
            // Exactly the two bounds that are named cross, whatever else there is.
            match (at(low, End::Low), at(high, End::High)) {
                (Some(low), Some(high)) => {
                    (low > high || low == Level::Above) && outcome.crossed.contains(&(setting, layer))
                }
                _ => false,
            }
        }
    }
}

/// What a row calls open holds at its witness.
fn open_literals_hold(program: &Program, row: &Row, job: &crate::reference::Job) -> Result<(), String> {
    let Cause::Rule(instance, layer) = row.cause else { return Ok(()) };
    let own = program.instance(instance).expect("an instance of the program");
    let rule = &program.model.rules[usize::from(own.rule)];
    let at = Judge { model: &program.model, job }.at(&named(program, instance, layer));
    for (literal, _) in &row.part.open {
        if let Some(number) = own.tests.iter().position(|t| *t == literal.test) {
            ensure(at.test(&rule.formula.tests[number].kind) != literal.negated, || {
                format!("test {number} of rule {} is not as the row says at its witness {job:?}", rule.id)
            })?;
        }
    }
    Ok(())
}

/// Whether a complete job lies in the case that a row tells.
fn lies_in(program: &Program, row: &Row, job: &crate::reference::Job, one: &JobSet) -> bool {
    let e = Evaluation::new(program, one);
    crate::worlds::contains(program, &row.part.set, job)
        && row.part.open.iter().all(|(l, layer)| e.literal(*l, *layer) == Truth::True)
}

/// What the rows tell is exact: every job that fails lies in one of them, and of a sure one every job fails.
fn rows_are_exact(program: &Program, worlds: &Worlds, decision: &Decision) -> Result<(), String> {
    for (job, outcome) in worlds.possible() {
        let one = crate::worlds::placed(program, &decision.job, job);
        let fails = outcome.is_refused() || !outcome.lacking.is_empty();
        let told = decision.rows.iter().any(|r| lies_in(program, r, job, &one));
        ensure(told || !fails, || format!("no row tells of the failing {job:?}: {outcome:?}"))?;
        for row in decision.rows.iter().filter(|r| r.sure) {
            ensure(fails || !lies_in(program, row, job, &one), || {
                format!("a sure row tells of a job that does not fail: {row:?} {job:?}")
            })?;
        }
    }
    Ok(())
}

/// Every refusal, crossing and lack of a possible job has its row.
fn rows_cover(program: &Program, worlds: &Worlds, decision: &Decision) -> Result<(), String> {
    for (job, outcome) in worlds.possible() {
        for one in &outcome.refused {
            let told = decision.rows.iter().any(|r| match r.cause {
                Cause::Rule(i, layer) => named(program, i, layer) == *one,
                _ => false,
            });
            ensure(told, || format!("no row for {one:?}, which refuses {job:?}"))?;
        }
        for (id, at) in &outcome.crossed {
            let told = decision
                .rows
                .iter()
                .any(|r| matches!(r.cause, Cause::Window { setting, layer, .. } if (setting, layer) == (*id, *at)));
            ensure(told, || format!("no row for the window of {id:?}, which crosses in {job:?}"))?;
        }
        for one in outcome.lacking.iter().filter(|_| !outcome.is_refused()) {
            let told = decision.rows.iter().any(|r| match r.cause {
                Cause::Lack(need, layer) => need_of(program, need, layer) == *one,
                _ => false,
            });
            ensure(told, || format!("no row for the lack of {one:?} in {job:?}"))?;
        }
    }
    Ok(())
}

const MIXED: Shape = Shape { blends: false, assumptions: false };
const BLENDS: Shape = Shape { blends: true, assumptions: false };
const ASSUMED: Shape = Shape { blends: false, assumptions: true };

#[test]
fn decisions_follow_the_definition() {
    run("mixed", 1500, 1, MIXED, |case, tally| judged(case, PLAIN, tally).map(|_| ()));
}

#[test]
fn blends_follow_the_definition() {
    run("blends", 500, 2, BLENDS, |case, tally| judged(case, PLAIN, tally).map(|_| ()));
}

#[test]
fn assumptions_follow_the_definition() {
    let options = Options { assume: true, ..PLAIN };
    run("assumed", 800, 3, ASSUMED, |case, tally| judged(case, options, tally).map(|_| ()));
}

#[test]
fn knowing_more_never_turns_a_verdict_round() {
    run("monotone", 600, 4, MIXED, |case, tally| {
        let program = built(case, false)?;
        let all = case.stated(&program.model);
        let whole = decide(&program, &all, PLAIN);
        add(&tally.cases);
        count_verdict(tally, whole.code);
        for left_out in 0..all.statements.len() {
            let mut fewer = all.clone();
            let gone = fewer.statements.remove(left_out);
            // Materials that nobody mentions are absent, which is saying something; settings are chosen.
            if gone.attribute.of(&program.model).is_none_or(|a| a.role != Role::Given) {
                continue;
            }
            let before = decide(&program, &fewer, PLAIN);
            let kept = match (before.verdict, before.code, whole.verdict, whole.code) {
                (_, Code::Undecided, _, _) | (_, _, _, Code::Undecided | Code::Contradiction) => true,
                (Verdict::Yes, _, after, _) => after == Verdict::Yes,
                (Verdict::YesIf, _, after, _) => matches!(after, Verdict::Yes | Verdict::YesIf),
                (Verdict::No, _, after, _) => after == Verdict::No,
                (Verdict::Depends, _, _, _) => true,
            };
            ensure(kept, || format!("{:?} became {:?} by {gone:?}", before.verdict, whole.verdict))?;
        }
        Ok(())
    });
}

#[test]
fn the_order_of_files_and_rules_decides_nothing() {
    run("order", 400, 5, ASSUMED, |case, tally| {
        let (one, other) = (built(case, false)?, built(case, true)?);
        ensure(one.model.digest == other.model.digest, || "the digests differ".to_owned())?;
        let options = Options { assume: true, ..PLAIN };
        let decision = |program: &Program| decide(program, &case.stated(&program.model), options);
        let (a, b, again) = (decision(&one), decision(&other), decision(&one));
        add(&tally.cases);
        count_verdict(tally, a.code);
        ensure(format!("{a:?}") == format!("{again:?}"), || "the same question, other bytes".to_owned())?;
        ensure(format!("{a:?}") == format!("{b:?}"), || format!("the order decides: {a:?} and {b:?}"))
    });
}

#[test]
fn every_certificate_is_accepted_by_the_checker() {
    use washfast::checker::check;
    use washfast::proof::Case as Shown;
    let incomplete = Cell::new(0);
    let total = Cell::new(0);
    for (shape, seed) in [(MIXED, 6), (BLENDS, 7), (ASSUMED, 8)] {
        run("certificates", 300, seed, shape, |case, tally| {
            let program = built(case, false)?;
            let stated = case.stated(&program.model);
            let options = Options { assume: true, explore: false, ..PLAIN };
            let decision = decide(&program, &stated, options);
            add(&tally.cases);
            count_verdict(tally, decision.code);
            let proof = washfast::reason::prove::prove(&program, &stated, &decision);
            add(&total);
            if proof.case == Shown::Incomplete {
                add(&incomplete);
                return Ok(());
            }
            check(&program.model, &proof).map_err(|f| format!("{:?} {f:?}\n{:#?}", decision.verdict, proof.case))?;
            // The same certificate says nothing for another verdict.
            for (verdict, code) in [("yes", "works"), ("yes-if", "works-if"), ("no", "refused")] {
                let mut other = proof.clone();
                (other.verdict, other.code) = (verdict.to_owned(), code.to_owned());
                let stronger = (verdict, decision.verdict) == ("yes-if", Verdict::Yes);
                if verdict != decision.verdict.word() && !stronger {
                    ensure(check(&program.model, &other).is_err(), || format!("also accepted as {verdict}"))?;
                }
            }
            Ok(())
        });
    }
    println!("{} of {} certificates incomplete", incomplete.get(), total.get());
    assert!(incomplete.get() * 10 <= total.get(), "{} of {} incomplete", incomplete.get(), total.get());
}
