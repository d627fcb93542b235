//! Questions within the prompt: the talk of a visit, who collects, how the old water looked.

use crate::{
    screen::Screen,
    sessions::{Yard, run},
};

#[test]
fn another_customer_comes_in_between_and_both_visits_go_on_by_name() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.answers("take-in", "customer, name or phone");
    screen.answers("Ada Fenn 555-0142", "address");
    screen.answers("", "hunter, bringer");
    screen.answers("", "hunting licence");
    screen.answers("", "head 1, tag");
    screen.answers("0701", "0701: animal");
    screen.answers("mule deer 8 pt male", "0701: it comes");
    screen.answers("back", "0701: animal, points, sex [Enter: mule deer 8 pt male]");
    screen.answers("", "0701: it comes");
    screen.answers("new", "customer, name or phone");
    screen.answers("Bo Tarn", "phone");
    screen.answers("555-0177", "address");
    screen.says("stop");
    screen.answers("take-in", "which, by number or name");
    screen.answers("nobody", "which, by number or name");
    screen.answers("tarn", "address");
    screen.says("stop");
    screen.answers("take-in", "which, by number or name");
    screen.answers("fenn", "0701: it comes");
    screen.answers("skinned", "0701: broken");
    screen.answers("", "0701: wishes");
    screen.answers("keep nose", "0701: kill tag");
    screen.answers("", "another head");
    screen.answers("", "all right so");
    screen.sees("0701; mule deer; male; skinned; nose keep; 8 pt  (held for papers)");
    screen.press("\r");
    screen.sees("hold papers");
    let shown = run(&yard.bench(), &["show", "0701"], None);
    let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
    assert!(shown.contains("mule deer") && shown.contains("HELD"), "{shown}");
}

#[test]
fn a_hand_over_asks_who_collects_and_can_be_left_off() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.answers("hand-over 0417", "who collects it");
    screen.says("n");
    screen.sees("left off; nothing was said");
    screen.answers("hand-over 0417", "who collects it");
    screen.says("Otis Marr");
    while screen.asks() {
        screen.says("a the customer takes it as it is");
    }
    screen.sees("0417 whitetail 8 pt: hand-over");
    let trail = run(&yard.bench(), &["trail", "0417"], None);
    let trail = String::from_utf8_lossy(&trail.stdout).into_owned();
    assert_eq!(trail.matches("hand-over 0417").count(), 1, "{trail}");
}

#[test]
fn ctrl_c_at_a_question_leaves_the_line_off() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.says("fill pot-1 30 L");
    screen.says("change pot-1");
    screen.sees("how did the old water look?");
    screen.clears();
    screen.sees("change pot-1: left off; nothing was said");
    screen.says("in pot-1 0417 0418");
    screen.sees("wrap 0417 0418");
    screen.says("wash 0517");
    screen.sees("is a line of its own, and this is a question:");
    screen.says("n");
    screen.says("yes");
    screen.sees("say w, a, n or e; what was typed just now was not taken");
    screen.says("e");
    screen.says("w");
    screen.sees("r  leave it off, record the rest: in 0417 pot-1");
    screen.says("r");
    screen.sees("0417 whitetail 8 pt: in pot-1");
    screen.sees("left off: in pot-1 0418");
    let floor = run(&yard.bench(), &["floor"], None);
    let floor = String::from_utf8_lossy(&floor.stdout).into_owned();
    assert_eq!(floor.matches("0517 whitetail 9 pt").count(), 1, "{floor}");
    assert!(!floor.contains("wash"), "{floor}");
}

#[test]
fn a_name_where_a_tag_belongs_is_asked_about_and_recorded_by_the_tag() {
    let yard = Yard::open();
    let mut screen = Screen::bench(&yard.bench());
    screen.says("ticket Dee Elm 555-0188");
    screen.says("take-in 0801 elk skinned --condition whole");
    while screen.asks() {
        screen.says("a as the customer said");
    }
    screen.sees("0801 elk: take-in");
    screen.says("quote 0801 210");
    while screen.asks() {
        screen.says("a as the customer heard it");
    }
    screen.says("elm paid 50 cash");
    screen.sees("a line goes by tags; is it Dee Elm (0801)?");
    screen.says("n");
    screen.says("elm paid 50 cash");
    screen.says("y");
    while screen.asks() {
        screen.says("a as it was");
    }
    screen.sees("0801 elk: pay 50.00 cash");
    // Who it is that collects another head is another question, and 0801 is not offered for it.
    screen.says("hand-over 0417 Elm");
    screen.sees("sealed: Elm");
    screen.says("n");
    let trail = run(&yard.bench(), &["trail", "0801"], None);
    let trail = String::from_utf8_lossy(&trail.stdout).into_owned();
    assert_eq!(trail.matches("pay 0801").count(), 1, "{trail}");
    assert!(!trail.contains("hand-over"), "{trail}");
}
