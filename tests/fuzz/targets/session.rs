//! Lines as they are typed at the prompt, one after another.
#![no_main]

use libfuzzer_sys::fuzz_target;
use washfast::question::{Question, parse};
use washfast::session::Session;
use washfast_fuzz::{check_problems, check_reply, knowledge};

fuzz_target!(|data: &[u8]| {
    let text = &*String::from_utf8_lossy(data);
    let mut session = Session::new(knowledge().clone());
    for (number, line) in text.lines().take(6).enumerate() {
        let said = session.ask(line);
        // Small words of other languages are read as our own.
        let own = knowledge().in_own_words(line);
        let job =
            matches!(parse(&own), Ok(q) if q.job().is_some() || matches!(q, Question::Same(_) | Question::Loose(_)));
        match &said {
            Ok(said) => check_reply(&said.reply),
            Err(problems) => {
                check_problems(problems);
                // What was read is never put together to something that cannot be.
                let mut list = problems.list().iter();
                let torn = list.find(|p| p.code == "question::syntax" && p.message.contains(" does not fit here"));
                assert!(!job || torn.is_none(), "{line:?}: {torn:?}");
            }
        }
        // A first question is kept as it was meant; kept, it may lose a mark that made it unreadable.
        // Where it is asked back, the answer is still to come.
        if number == 0 && !session.is_asking() && parse(line).is_ok_and(|q| q.job().is_some() || matches!(q, Question::Loose(_))) {
            let told = |reply: Option<&washfast::knowledge::Reply>| {
                reply.and_then(|r| r.answer()).map(|a| (a.verdict, serde_json::to_string(&a.job).expect("JSON")))
            };
            if let Ok(alone) = knowledge().ask(line) {
                assert_eq!(told(said.as_ref().ok().map(|s| &s.reply)), told(Some(&alone)), "{line:?}");
            }
        }
    }
});
