//! A line of an order book.
#![no_main]

use libfuzzer_sys::fuzz_target;
use washfast::knowledge::{LineReply, Reply};
use washfast_fuzz::{check_reply, knowledge};

fuzz_target!(|data: &[u8]| {
    let text = &*String::from_utf8_lossy(data);
    let reply = knowledge().decide_line(1, text);
    serde_json::to_string(&reply).expect("JSON");
    match reply {
        LineReply::Answer(answer) => check_reply(&Reply::Answer(answer)),
        LineReply::Errors { errors, .. } => {
            assert!(!errors.is_empty(), "wrong, but nothing is said");
            let job: Option<serde_json::Value> = serde_json::from_str(text.trim_start_matches('\u{feff}')).ok();
            for error in errors {
                assert!(!error.message.trim().is_empty(), "{error:?}");
                // What it points at may be missing, but never the object that it is missing in.
                let holder = error.pointer.rsplit_once('/').map_or("", |p| p.0);
                let written = job.as_ref().is_none_or(|j| j.pointer(holder).is_some());
                assert!(written || error.code == "json::duplicate-key", "{error:?}");
            }
        }
    }
});
