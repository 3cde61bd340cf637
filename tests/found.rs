//! Values of the knowledge that differ from item to item: they are asked for, can be answered, and decide.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use serde_json::{Value, json};
use std::sync::LazyLock;
use washfast::answer::{Answer, Ask, Step};
use washfast::job::{Domain, hidden_domain};
use washfast::model::{AttributeType, EntityId};
use washfast::reason::evaluate::{Evaluation, Truth};
use washfast::session::Session;
use washfast::statement::said_of;
use washfast::{Knowledge, render};

static KNOWLEDGE: LazyLock<Knowledge> = LazyLock::new(|| Knowledge::built_in().expect("the built-in knowledge"));

const CAP: &str = "white plastisol over white plastisol on black cotton cap";

fn ask(question: &str) -> Answer {
    let reply = KNOWLEDGE.ask(question).unwrap_or_else(|p| panic!("{question}: {p:?}"));
    reply.answer().expect("an answer").clone()
}

fn reply(job: &Value) -> Value {
    serde_json::to_value(KNOWLEDGE.decide_line(1, &job.to_string())).expect("JSON")
}

/// The last question of an interview that is answered with its first option until it asks for this.
fn asked_for(job: &str, attribute: &str) -> Ask {
    let mut job = KNOWLEDGE.statements(job).expect("a job");
    for _ in 0..12 {
        let Step::Ask(ask) = KNOWLEDGE.interview(&job) else { break };
        if ask.attribute == attribute {
            return *ask;
        }
        let first = ask.options.first().and_then(|o| o.each.first()).expect("an option").clone();
        job.add(first);
    }
    panic!("{attribute} was not asked for")
}

#[rstest]
#[case::open(CAP, "depends")]
#[case::soft(&format!("{CAP}, found cap stiff front: no"), "yes-if")]
#[case::stiff(&format!("{CAP}, found cap stiff front"), "no")]
#[case::other_order(&format!("{CAP}, found stiff front of cap: yes"), "no")]
#[case::amid_others(&format!("{CAP}, 40 pieces, found cap stiff front: no, using flash, conveyor dryer"), "yes-if")]
#[case::asked_and_not_known(&format!("{CAP} using flash, conveyor dryer, found cap stiff front: yes"), "no")]
fn what_was_found_decides(#[case] question: &str, #[case] verdict: &str) {
    assert_eq!(ask(question).verdict, verdict, "{question}");
}

#[test]
fn an_answer_tells_what_was_found_and_how_to_say_what_was_not() {
    let told = ask(&format!("{CAP}, found cap stiff front: no"));
    assert!(told.subject.ends_with("found cap stiff front no"), "{}", told.subject);
    let open = ask(CAP);
    let say = open.depends_on.iter().find_map(|d| d.say.clone()).expect("how to say it");
    assert_eq!(say, "found cap stiff front");
    let text = render::text(&open).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("say `found cap stiff front …`"), "{text}");
}

#[test]
fn what_was_found_of_other_things_is_not_passed_over() {
    let told = ask("white plastisol on white cotton tee, found leather heat limit 140 °C");
    assert_eq!(told.taken_as, ["found leather heat limit 140 °C: nothing of the kind is in this job"]);
    assert!(ask(&format!("{CAP}, found cap stiff front: no")).taken_as.is_empty());
}

#[test]
fn an_interview_asks_for_it_and_its_answers_hold() {
    let ask = asked_for(CAP, "cap.stiff_front");
    assert_eq!(ask.key.as_deref(), Some("found.cap.stiff_front"));
    let [works, fails] = &*ask.proof;
    let refused = |job| Evaluation::new(KNOWLEDGE.program(), job).refused();
    assert_eq!((refused(works), refused(fails)), (Truth::False, Truth::True));
    for option in &ask.options {
        let mut job = KNOWLEDGE.statements(CAP).expect("a job");
        job.add(option.said.clone());
        let answer = KNOWLEDGE.decide(&job, washfast::contract::Detail::Verdict);
        assert_eq!(Some(answer.verdict), option.leads_to, "{:?}", option.values);
    }
}

#[test]
fn an_answer_at_the_prompt_is_kept_for_the_next_question() {
    let mut session = Session::new(KNOWLEDGE.clone());
    session.ask(&format!("what must I know for {CAP}")).expect("a question back");
    assert!(session.is_asking());
    let said = session.ask("no").expect("an answer");
    assert_eq!(said.reply.answer().expect("an answer").verdict, "yes-if");
    let said = session.ask("same but using flash, conveyor dryer").expect("an answer");
    let answer = said.reply.answer().expect("an answer");
    assert_eq!(answer.verdict, "yes-if");
    assert!(answer.subject.contains("found cap stiff front"), "{}", answer.subject);
}

#[test]
fn whoever_does_not_know_is_not_asked_again() {
    let mut session = Session::new(KNOWLEDGE.clone());
    session.ask(&format!("what must I know for {CAP}")).expect("a question back");
    let said = session.ask("don't know").expect("an answer");
    let answer = said.reply.answer().expect("nothing else is to be asked");
    assert_eq!((answer.verdict, session.is_asking()), ("depends", false));
}

#[rstest]
#[case::not_open("found cotton heat limit 200 °C", "finding::settled")]
#[case::beyond("found leather heat limit 200 °C", "finding::beyond")]
#[case::no_quantity("found leather heat limit soon", "finding::no-value")]
#[case::other_dimension("found leather heat limit 20 cm", "finding::no-value")]
#[case::neither("found cap stiff front: perhaps", "finding::no-value")]
#[case::no_name("found blah", "finding::unknown")]
#[case::nothing("found leather", "finding::unknown")]
#[case::twice("found cap stiff front, found cap stiff front: no", "finding::twice")]
fn what_cannot_be_is_refused_with_its_place(#[case] clause: &str, #[case] code: &str) {
    let question = format!("{CAP}, {clause}");
    let problems = KNOWLEDGE.ask(&question).map(|_| ()).expect_err("no answer");
    let problem = problems.list().first().expect("a problem");
    assert_eq!(problem.code, code, "{problem:?}");
    assert!(problem.span().start as usize > CAP.len(), "{problem:?}");
}

#[rstest]
#[case::soft(json!({"cap.stiff_front": false}), "yes-if")]
#[case::stiff(json!({"cap.stiff_front": true}), "no")]
#[case::in_words(json!({"cap.stiff_front": "no"}), "yes-if")]
#[case::not_said(json!({"cap.stiff_front": null}), "depends")]
#[case::nothing(json!({}), "depends")]
fn a_json_job_says_what_was_found(#[case] found: Value, #[case] verdict: &str) {
    let white = json!({"ink": "plastisol", "colour": "white"});
    let job = json!({"prints": [{"layers": [white, white]}], "found": found,
        "fabric": {"composition": "100% cotton", "article": "cap", "colour": "black"}});
    assert_eq!(reply(&job)["verdict"], verdict, "{}", reply(&job));
}

#[rstest]
#[case::no_object(json!("soft"), "json::wrong-type", "/found")]
#[case::no_name(json!({"cap.front": true}), "finding::unknown", "/found/cap.front")]
#[case::no_value(json!({"cap.stiff_front": 3}), "finding::no-value", "/found/cap.stiff_front")]
#[case::beyond(json!({"leather.heat_limit": "300 °C"}), "finding::beyond", "/found/leather.heat_limit")]
fn a_wrong_finding_in_json_has_its_pointer(#[case] found: Value, #[case] code: &str, #[case] pointer: &str) {
    let job = json!({"ink": "plastisol", "found": found, "fabric": {"composition": "100% leather"}});
    let answer = reply(&job);
    let error = &answer["errors"][0];
    assert_eq!((error["code"].as_str(), error["pointer"].as_str()), (Some(code), Some(pointer)), "{answer}");
}

/// An answer asks for such a value by `found …`, and that is how it can be told.
#[test]
fn every_value_that_may_be_asked_for_is_heard() {
    let model = KNOWLEDGE.model();
    let (mut heard, mut wrong) = (0, Vec::new());
    for (e, entity) in model.entities.iter().enumerate().filter(|(_, e)| e.ordinal.is_some()) {
        for (property, fact) in &entity.facts {
            let (Some(open), of) = (hidden_domain(&fact.value, *property, model), EntityId(e as u16)) else { continue };
            let ty = model.properties[property.index()].ty.of_attribute();
            let value = match (&open, ty) {
                (Domain::Number { low, .. }, Some(AttributeType::Quantity(d))) => {
                    model.dim(d).expect("a dimension").write(*low)
                }
                (Domain::YesNo { .. }, _) => "yes".to_owned(),
                (_, Some(AttributeType::Choice(k) | AttributeType::Set(k))) => {
                    model.member(k, 0).expect("a member").name.clone()
                }
                _ => continue,
            };
            let clause = format!("{} {value}", said_of(model, of, *property));
            match KNOWLEDGE.statements(&format!("plastisol on white cotton tee, {clause}")) {
                Ok(stated) if stated.finds(of, *property) => heard += 1,
                other => wrong.push(format!("{clause}: {:?}", other.map(|s| s.findings))),
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), wrong.len() + heard, wrong.join("\n"));
    assert!(heard > 50, "{heard}");
}
