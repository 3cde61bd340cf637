//! Lines as they are typed at the prompt, one after another.
#![no_main]

use libfuzzer_sys::fuzz_target;
use washfast::question::{Question, parse};
use washfast::session::Session;
use washfast_fuzz::{check_problems, check_reply, knowledge};

fuzz_target!(|data: &[u8]| {
    let text = &*String::from_utf8_lossy(data);
    let mut session = Session::new(knowledge().clone());
    for line in text.lines().take(6) {
        match session.ask(line) {
            Ok(said) => {
                check_reply(&said.reply);
                let taken_as = said.taken_as.map(|t| parse(&t).map(|_| t));
                assert!(taken_as.is_none_or(|t| t.is_ok()), "{line:?}");
            }
            Err(problems) => {
                check_problems(&problems);
                // What was read is never put together to something that cannot be.
                if matches!(parse(line), Ok(q) if q.job().is_some() || matches!(q, Question::Same(_))) {
                    let torn = problems
                        .list()
                        .iter()
                        .find(|p| p.code == "question::syntax" && p.message.contains(" does not fit here"));
                    assert!(torn.is_none(), "{line:?}: {torn:?}");
                }
            }
        }
    }
});
