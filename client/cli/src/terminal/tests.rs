//! What a question offers at a terminal.

use super::*;

fn answered(typed: &str, missing: &[&str]) -> (Choice, String) {
    let question = Question {
        line: "in pot-1 0616".into(),
        skull: "0616 whitetail".into(),
        against: vec!["the antlers are not wrapped".into()],
        missing: missing.iter().map(|line| (*line).to_owned()).collect(),
        skulls: 1,
        seal: false,
        rest: String::new(),
    };
    let mut out = Vec::new();
    let lines = std::cell::RefCell::new(typed.lines().map(str::to_owned));
    let choice = ask(&question, |_| Ok(lines.borrow_mut().next()), &mut out).unwrap();
    (choice, String::from_utf8(out).unwrap())
}

#[test]
fn the_question_offers_what_helps() {
    let (choice, shown) = answered("w\n", &["wrap 0616"]);
    assert_eq!(choice, Choice::Done);
    assert_eq!(
        shown,
        "in pot-1 0616  (0616 whitetail)\n  the antlers are not wrapped\n  \
         w  it was done, not recorded: wrap 0616\n  a  anyway, with a reason\n  n  record nothing\n"
    );
    assert_eq!(answered("w\nn\n", &[]).0, Choice::LeaveOff);
}

#[test]
fn what_is_no_answer_is_not_taken_and_the_letters_are_named() {
    let (choice, shown) = answered("wash 0418\nn\n", &["wrap 0616"]);
    assert_eq!(choice, Choice::LeaveOff);
    assert!(shown.ends_with("say w, a or n; what was typed just now was not taken\n"), "{shown}");
    let (_, shown) = answered("w\nn\n", &[]);
    assert!(shown.contains("say a or n;"), "{shown}");
    let (choice, _) = answered("w 0417\nn 0418 all is well\nn\n", &["wrap 0616"]);
    assert_eq!(choice, Choice::LeaveOff, "a letter with words behind it is no answer");
}

#[test]
fn anyway_wants_a_reason() {
    assert_eq!(answered("a shed stumps\n", &[]).0, Choice::Anyway("shed stumps".into()));
    assert_eq!(answered("a\nshed stumps\n", &[]).0, Choice::Anyway("shed stumps".into()));
    assert_eq!(answered("a\n\nn\n", &[]).0, Choice::LeaveOff);
    assert_eq!(answered("a\nn\nn\n", &[]).0, Choice::LeaveOff, "a letter is no reason");
    assert_eq!(answered("", &[]).0, Choice::LeaveOff);
}
