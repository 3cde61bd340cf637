//! An interview asks only what can matter, tells truly what each answer leads to, and ends in a verdict.

use super::sample::{Chance, complete};
use super::{KNOWLEDGE, ORDERS};
use washfast::answer::{Ask, Step};
use washfast::contract::Detail;
use washfast::job::JobSet;
use washfast::model::AttributeId;
use washfast::reason::evaluate::{Evaluation, Truth};
use washfast::reason::split::slot_of;
use washfast::session::Session;
use washfast::statement::{Place, Stated, Statement};

/// No job hangs on more than this.
const QUESTIONS: usize = 14;

fn outcome(job: &JobSet) -> (Truth, Truth) {
    let e = Evaluation::new(KNOWLEDGE.program(), job);
    assert_eq!(e.excluded(), Truth::False, "no such job exists");
    (e.refused(), e.all_grounded())
}

/// Where two jobs differ besides in the fact that is asked for.
fn differing(ask: &Ask) -> Vec<String> {
    let [a, b] = &*ask.proof;
    let model = KNOWLEDGE.model();
    let mut found = Vec::new();
    for (index, attribute) in model.attributes.iter().enumerate() {
        let slot = slot_of(KNOWLEDGE.program(), AttributeId(index as u16));
        // What follows a fact is not one of its own.
        let follows = attribute.follows.is_some();
        for layer in 0..if attribute.per_layer { a.layers.len() } else { 1 } {
            let own = Place::Attribute(AttributeId(index as u16), layer) == ask.place;
            if !own && !follows && a.domain(slot, layer) != b.domain(slot, layer) {
                found.push(attribute.name.clone());
            }
        }
    }
    found
}

/// Asks until nothing is left to ask, each answer by chance; every question and the job as it was then.
fn run(order: &str, chance: &mut Chance) -> (Vec<(Ask, Stated)>, &'static str, &'static str) {
    let mut job = KNOWLEDGE.statements(order).unwrap_or_else(|p| panic!("{order}: {p:?}"));
    let mut asked = Vec::new();
    loop {
        match KNOWLEDGE.interview(&job) {
            Step::Done(answer) => return (asked, answer.verdict, answer.code),
            Step::Ask(ask) => {
                assert!(asked.len() < QUESTIONS, "{order}: the interview does not end: {asked:#?}");
                let known = |s: &Statement| Place::Attribute(s.attribute, s.layer) == ask.place && s.domain.is_single();
                assert!(!job.statements.iter().any(known));
                let before = job.clone();
                let option = &ask.options[chance.below(ask.options.len())];
                let said = match option.leads_to {
                    Some(_) => &option.said,
                    None => &option.each[chance.below(option.each.len())],
                };
                job.add(said.clone());
                asked.push((Ask::clone(&ask), before));
            }
        }
    }
}

#[test]
fn what_is_asked_can_matter() {
    let mut questions = 0;
    for (seed, order) in [11, 12].into_iter().flat_map(|seed| ORDERS.iter().map(move |order| (seed, order))) {
        let mut chance = Chance::new(seed);
        for (ask, _) in run(order, &mut chance).0 {
            let [works, fails] = &*ask.proof;
            assert_eq!(outcome(works), (Truth::False, Truth::True), "{order}: {}", ask.ask);
            assert!(matches!(outcome(fails), (Truth::True, _) | (_, Truth::False)), "{order}: {}", ask.ask);
            // One fact may go with it: a white cloth is no dyed one.
            assert!(differing(&ask).len() <= 1, "{order}: {}: {:?}", ask.ask, differing(&ask));
            questions += 1;
        }
    }
    assert!(questions > 12, "too little was asked: {questions}");
}

#[test]
fn what_an_answer_is_said_to_lead_to_holds_for_every_complete_job() {
    let mut chance = Chance::new(13);
    let mut jobs = 0;
    for order in ORDERS.iter() {
        for (ask, before) in run(order, &mut chance).0 {
            for option in ask.options.iter().filter(|o| o.leads_to.is_some()) {
                let mut job = before.clone();
                job.add(option.said.clone());
                let whole = KNOWLEDGE.decide(&job, Detail::Verdict);
                let Some(one) = complete(&KNOWLEDGE, &job, &whole, &mut chance) else { continue };
                let answer = KNOWLEDGE.decide(&one, Detail::Full);
                let works = |v: &str| v.starts_with("yes");
                let said = option.leads_to.unwrap_or_default();
                let why: Vec<&str> = answer.reasons.iter().map(|r| r.text.as_str()).collect();
                assert_eq!(
                    works(answer.verdict),
                    works(said),
                    "{order}: {}: {:?}: {said} but {}: {why:?}: {}: {one:?}",
                    ask.ask,
                    option.values,
                    answer.verdict,
                    answer.subject
                );
                jobs += 1;
            }
        }
    }
    assert!(jobs > 12, "too little was tried: {jobs}");
}

#[test]
fn most_interviews_end_in_a_verdict() {
    let mut chance = Chance::new(17);
    let (mut settled, mut open) = (0, Vec::new());
    for order in ORDERS.iter() {
        let (asked, verdict, code) = run(order, &mut chance);
        match verdict {
            "depends" if code == "open-fact" => open.push((order, asked.len())),
            _ => settled += 1,
        }
    }
    assert!(open.len() * 4 < settled, "{settled} settled, open: {open:?}");
}

#[test]
fn the_prompt_asks_back_until_it_is_settled() {
    let mut session = Session::new(KNOWLEDGE.clone());
    let first = session.ask("what must I know for plastisol on nylon jacket").expect("a question back");
    assert!(matches!(first.reply, washfast::knowledge::Reply::Ask(_)), "{first:?}");
    assert!(session.is_asking());
    // What is no answer and no question is pointed at, and the question stays.
    assert!(session.ask("treacle").is_err());
    assert!(session.is_asking());
    // Nor is the number of answers of which more is asked.
    let washfast::knowledge::Reply::Ask(ask) = &first.reply else { panic!("no question back") };
    let several = ask.options.iter().position(|o| o.leads_to.is_none() && o.values.len() > 1).expect("several answers");
    let problems = session.ask(&(several + 1).to_string()).expect_err("several answers");
    assert!(problems.list().iter().any(|p| p.code == "question::which"), "{problems:?}");
    assert!(session.is_asking());
    // An empty line stops with the verdict so far.
    let stopped = session.ask("").expect("the verdict so far");
    assert_eq!(stopped.reply.answer().map(|a| a.verdict), Some("depends"));
    assert!(!session.is_asking());
    // A number or words answer.
    let mut reply = session.ask("what must I know for plastisol on nylon jacket").expect("a question back").reply;
    for _ in 0..QUESTIONS {
        let washfast::knowledge::Reply::Ask(ask) = &reply else { break };
        let words = ask.options[0].values[0].clone();
        reply = session.ask(&words).unwrap_or_else(|p| panic!("{words}: {p:?}")).reply;
    }
    assert!(reply.answer().is_some_and(|a| a.verdict != "depends"), "{reply:?}");
    // What was answered stays known for the next question.
    let same = session.ask("same but at 152 °C").expect("an answer");
    assert!(same.reply.answer().is_some_and(|a| a.verdict != "depends"), "{same:?}");
    // Another question ends the interview.
    session.ask("what must I know for plastisol on nylon jacket").expect("a question back");
    let other = session.ask("plastisol on white 100% cotton jersey").expect("an answer");
    assert_eq!(other.reply.answer().map(|a| a.verdict), Some("yes"));
    assert!(!session.is_asking());
}

#[test]
fn a_question_back_has_a_json_form() {
    let job = KNOWLEDGE.statements("plastisol on nylon jacket").expect("a job");
    let step = serde_json::to_value(KNOWLEDGE.interview(&job)).expect("JSON");
    let ask = &step["ask"];
    assert_eq!(ask["schema"], 1);
    assert!(ask["ask"].as_str().is_some_and(|a| a.ends_with('?')), "{step}");
    assert!(
        ask["options"].as_array().is_some_and(|o| o.len() > 1 && o.iter().all(|o| o["values"].is_array())),
        "{step}"
    );
}
