//! The command: exit codes, formats, pipes.
// A test that cannot go on has failed: that is what panics are for here.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use rstest::rstest;
use std::io::Write as _;
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_washfast"))
        .args(arguments)
        .env("NO_COLOR", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command");
    child.stdin.take().expect("its input").write_all(input.as_bytes()).expect("written");
    child.wait_with_output().expect("its output")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

#[test]
fn one_question_one_answer() {
    let out = run(&["ask", "can white plastisol go on black polyester?"], "");
    assert_eq!(out.status.code(), Some(0));
    assert!(text(&out.stdout).starts_with("No: "), "{}", text(&out.stdout));
}

#[test]
fn a_question_not_understood_is_code_two_and_points_at_the_word() {
    let out = run(&["ask", "plastisol on cottn"], "");
    assert_eq!(out.status.code(), Some(2));
    let err = text(&out.stderr);
    assert!(err.contains("`cottn` is not understood") && err.contains("did you mean `cotton`"), "{err}");
}

/// A word that nobody knows is pointed at, and what holds without it is told as that; a word that may be a known one
/// mistyped, or that is denied, is left to the asker.
#[test]
fn what_holds_without_an_unknown_word_is_told() {
    let question = "white plastisol on black cotton tee, zorbing";
    let out = run(&["ask", question], "");
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("`zorbing` is not understood"), "{}", text(&out.stderr));
    let told = text(&out.stdout);
    assert!(told.starts_with("Answered without `zorbing`."), "{told}");
    let plain = text(&run(&["ask", "white plastisol on black cotton tee"], "").stdout);
    assert!(told.ends_with(&plain), "{told}");
    let prompt = text(&run(&[], question).stdout);
    assert!(
        prompt.contains("`zorbing` is not understood") && prompt.contains("Answered without `zorbing`."),
        "{prompt}"
    );
    assert!(run(&["ask", "--format", "json", question], "").stdout.is_empty());
}

/// What may turn the answer is never left aside: it hangs on that, and what the rest would be is told as that. Of a
/// denial all is left out that it denies.
#[rstest]
#[case("white plastisl on black cotton tee", "`plastisl`", "white on black cotton tee")]
#[case(
    "white plastisol on black cotton tee without zorbing",
    "`without zorbing`",
    "white plastisol on black cotton tee"
)]
#[case("white plastisol on black cotton tee, no zorbing", "`no zorbing`", "white plastisol on black cotton tee,")]
#[case("white plastisol on black cotton tee, ohne Zorbing", "`ohne Zorbing`", "white plastisol on black cotton tee,")]
// A word that is known, but not at its place, is none that says little.
#[case(
    "white plastisol on black polyester tee, water-based",
    "`water-based`",
    "white plastisol on black polyester tee,"
)]
#[case("white plastisol on black cotton coat, bakery", "`bakery`", "white plastisol on black cotton coat,")]
#[case(
    "black plastisol on white cotton blanket, kindergarten",
    "`kindergarten`",
    "black plastisol on white cotton blanket,"
)]
#[case(
    "white plastisol on black cotton tee with 5% zorbing",
    "`with 5% zorbing`",
    "white plastisol on black cotton tee"
)]
fn what_hangs_on_words_that_are_not_understood_is_told_as_that(
    #[case] question: &str,
    #[case] unread: &str,
    #[case] rest: &str,
) {
    let out = run(&["ask", question], "");
    assert_eq!(out.status.code(), Some(2));
    let told = text(&out.stdout);
    assert!(told.starts_with(&format!("Depends on {unread}, which is not understood")), "{told}");
    let (_, below) = told.split_once("would be:\n\n").expect("what the rest would be");
    assert!(told.contains(&format!("The rest, `{rest}`, would be")), "{told}");
    assert_eq!(below, text(&run(&["ask", rest], "").stdout));
    assert!(run(&["ask", "--format", "json", question], "").stdout.is_empty());
}

/// Where most is not understood, or no cloth is left, nothing is told but that.
#[rstest]
#[case("zorbing plastisol grommel cotton wizzle tee blarney")]
#[case("white plastisol on zorbing")]
#[case("zorbing")]
fn what_is_mostly_not_understood_is_not_answered(#[case] question: &str) {
    let out = run(&["ask", question], "");
    assert!(out.stdout.is_empty() && out.status.code() == Some(2), "{question}: {}", text(&out.stdout));
}

#[test]
fn formats() {
    let json = run(&["ask", "--format", "json", "plastisol on cotton"], "");
    let value: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
    assert_eq!(value["schema"], 1);
    let markdown = run(&["ask", "--format", "markdown", "plastisol on cotton"], "");
    assert!(text(&markdown.stdout).starts_with("**"));
}

#[test]
fn a_certificate_is_printed_once_it_has_been_checked() {
    let out = run(&["ask", "--format", "proof", "can white plastisol go on black polyester?"], "");
    assert_eq!(out.status.code(), Some(0), "{}", text(&out.stderr));
    let value: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert_eq!(value["verdict"], "no");
    assert_eq!(run(&["ask", "--format", "proof", "show cotton"], "").status.code(), Some(2));
}

#[test]
fn an_order_book_gets_one_reply_a_line() {
    let book = "{\"id\":1,\"ink\":\"plastisol\",\"fabric\":{\"composition\":\"cotton\"}}\n\nnonsense\n{\"id\":4,\"ink\":\"x\"}\n";
    let out = run(&["orders", "-"], book);
    assert_eq!(out.status.code(), Some(0));
    let replies: Vec<serde_json::Value> =
        text(&out.stdout).lines().map(|l| serde_json::from_str(l).expect("JSON")).collect();
    assert_eq!(replies.len(), 4);
    assert_eq!(replies[0]["id"], 1);
    assert_eq!(replies[1]["line"], 2);
    assert_eq!(replies[2]["errors"][0]["code"], "json::syntax");
    assert_eq!(replies[3]["id"], 4);
    assert_eq!(replies[3]["errors"][0]["pointer"], "/ink");
}

#[test]
fn a_missing_file_is_code_two() {
    let out = run(&["orders", "no-such-file.jsonl"], "");
    assert_eq!(out.status.code(), Some(2));
    assert!(text(&out.stderr).contains("no-such-file.jsonl"));
}

#[test]
fn questions_can_be_piped_in() {
    let out = run(&[], "plastisol on cotton\nshow cotton\n");
    assert_eq!(out.status.code(), Some(0));
    assert!(text(&out.stdout).contains("cotton, fibre"));
    assert_eq!(run(&[], "plastisol on cottn\n").status.code(), Some(2));
}

#[test]
fn check_says_that_nothing_is_wrong() {
    let out = run(&["check"], "");
    assert_eq!(out.status.code(), Some(0));
    assert!(text(&out.stdout).contains("nothing wrong"));
}

const YARD: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/house/lantern-yard");

#[test]
fn a_house_is_asked_with_every_command() {
    let out = run(&["--house", YARD, "ask", "--format", "json", "yard white on white cotton"], "");
    let value: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert_eq!(value["knowledge"]["overlays"][0]["name"], "lantern-yard");
    let out =
        run(&["orders", "-", "--house", YARD], "{\"ink\":\"yard white\",\"fabric\":{\"composition\":\"cotton\"}}\n");
    let value: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    assert!(value["verdict"].is_string(), "{value}");
    assert!(text(&run(&["check", "--house", YARD], "").stdout).contains("with lantern-yard (digest "));
    assert_eq!(run(&["--house", YARD], "yard white on white cotton\n").status.code(), Some(0));
}

#[test]
fn cases_of_a_house_count_and_what_it_changes_is_told() {
    let out = run(&["cases", "--house", YARD], "");
    assert_eq!(out.status.code(), Some(0), "{}", text(&out.stdout));
    let said = text(&out.stdout);
    assert!(said.contains("built-in cases come out otherwise here") && said.ends_with(" passed, 0 failed\n"), "{said}");
}

#[test]
fn a_folder_that_is_no_house_is_code_two() {
    for (folder, word) in
        [("no-such-folder", "no-such-folder"), (concat!(env!("CARGO_MANIFEST_DIR"), "/src"), "no `.yaml` files")]
    {
        let out = run(&["--house", folder, "check"], "");
        assert_eq!(out.status.code(), Some(2));
        assert!(text(&out.stderr).contains(word), "{}", text(&out.stderr));
    }
    let twice = run(&["--house", YARD, "--house", YARD, "check"], "");
    assert_eq!(twice.status.code(), Some(2));
    assert!(text(&twice.stderr).contains("a house cannot be called `lantern-yard`"), "{}", text(&twice.stderr));
}
