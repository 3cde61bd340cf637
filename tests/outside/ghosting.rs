//! Ghost images.
//!
//! Sources: Screen printing questions and answers, Printwear magazine, Oct 2013, pp. 96-97 (read): the trial presses a
//! print on a blank for five minutes at 125 °F. How to prevent ghost images, Impressions magazine, Oct 2017 (read), and
//! the same Printwear pages: low-bleed white on cotton in honey, tan, natural, light blue, yellow, green, violet.

use crate::{decide, says, text_of};
use rstest::rstest;
use serde_json::json;
use washfast::answer::Answer;

fn white(ink: &str, composition: &str, colour: &str) -> Answer {
    decide(&json!({"ink":ink,"ink_colour":"white",
        "fabric":{"composition":composition,"colour":colour,"construction":"jersey","finishes":[]}}))
}

#[rstest]
fn pale_cotton_under_low_bleed_white_may_ghost(
    #[values("sand", "natural", "light blue", "yellow", "mint", "lavender")] colour: &str,
) {
    let answer = white("low-bleed plastisol", "100% cotton", colour);
    assert!(answer.verdict.starts_with("yes"), "{colour}: {}", answer.summary);
    assert!(says(&answer, "bleed-resistant-ink-ghosts"), "{colour}: {:?}", answer.conditions);
}

/// Not white cotton, which has no dye to bleach, not black, not standard plastisol.
#[rstest]
#[case("low-bleed plastisol", "100% cotton", "white")]
#[case("low-bleed plastisol", "100% cotton", "black")]
#[case("plastisol", "100% cotton", "sand")]
#[case("cotton white", "100% cotton", "sand")]
fn others_do_not(#[case] ink: &str, #[case] composition: &str, #[case] colour: &str) {
    let answer = white(ink, composition, colour);
    assert!(!says(&answer, "bleed-resistant-ink-ghosts"), "{:?}", answer.conditions);
}

/// 125 °F are 51.7 °C.
#[test]
fn the_trial_is_the_published_one() {
    let answer = white("low-bleed plastisol", "100% cotton", "sand");
    let text = text_of(&answer, "bleed-resistant-ink-ghosts").expect("the condition");
    assert!(text.contains("five minutes") && text.contains("52 °C"), "{text}");
}
