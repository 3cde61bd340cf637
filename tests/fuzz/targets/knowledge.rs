//! A file of knowledge; its first line, `# knowledge/…`, says which one it is.
#![no_main]

use libfuzzer_sys::fuzz_target;
use washfast::contract::Detail;
use washfast::knowledge::Reply;
use washfast::statement::Stated;
use washfast_fuzz::{check_problems, check_reply, small_world};

fuzz_target!(|data: &[u8]| {
    let text = &*String::from_utf8_lossy(data);
    let name = text.lines().next().and_then(|l| l.strip_prefix("# ")).unwrap_or("knowledge/rules/r.yaml");
    match small_world(name, text) {
        Err(problems) => check_problems(&problems),
        Ok(knowledge) => {
            knowledge.cases();
            check_reply(&Reply::Answer(Box::new(knowledge.decide(&Stated::default(), Detail::Full))));
        }
    }
});
