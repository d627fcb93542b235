//! The talk as a conversation: what is asked, what is answered, what is said in the end.

use burrline_domain::Verb;
use burrline_terms::{Day, Typed as _};

use super::{Found, Known, Step, Visit};

fn known() -> Known {
    Known {
        next_tag: Some("0417".into()),
        worn: [("418".to_owned(), "0418 elk: in pot-1".to_owned())].into(),
        today: Some(Day::read("2025-11-08").unwrap()),
        ..Known::default()
    }
}

/// Types answers until they are used up, and gives the whole talk as it reads.
fn talk(visit: &mut Visit, typed: &[&str]) -> Vec<String> {
    let known = known();
    let mut read = Vec::new();
    for words in typed {
        let step = visit.next().unwrap();
        read.push(format!("{}{words}", visit.question(step, &known)));
        if *words == "back" {
            assert!(visit.back());
        } else if let Err(told) = visit.take(step, words, &known) {
            read.push(told);
        }
    }
    read
}

/// The lines that would be said, without what is sealed.
fn lines(visit: &Visit) -> Vec<String> {
    let sealed =
        |details: &burrline_line::Details| if details.is_empty() { "" } else { " (sealed)" };
    let lines = visit.heads().unwrap();
    lines.iter().map(|line| format!("{}{}", line.verb.line(), sealed(&line.details))).collect()
}

#[test]
fn a_visit_of_three_heads_reads_like_a_counter() {
    let mut visit = Visit::of(Some(3));
    let read = talk(
        &mut visit,
        &[
            "Ada Fenn",
            "555-0142",
            "",
            "",
            "L-71", // who
            "",
            "whitetail 8 pt male",
            "hide on",
            "",
            "nose keep, white bright",
            "88-1203",
            "yesterday",
            "Alder VA", // first
            "0418",
            "0419",
            "whitetail",
            "skinned",
            "left beam broken",
            "",
            "", // second
            "",
            "black bear male found-dead",
            "",
            "",
            "",
            "P-3",
            "",
            "", // third
        ],
    );
    assert_eq!(
        read,
        [
            "customer, name or phone> Ada Fenn",
            "phone [Enter: later]> 555-0142",
            "address [Enter: later]> ",
            "hunter, bringer, payer, collector: say which and who [Enter: all the customer]> ",
            "hunting licence [Enter: later]> L-71",
            "head 1 of 3, tag [Enter: 0417]> ",
            "0417: animal, points, sex [Enter: later]> whitetail 8 pt male",
            "0417: it comes skin-on, skinned, frozen, rotten, dried-on or bare [Enter: later]> hide on",
            "0417: broken, shot, missing [Enter: not seen, hide on]> ",
            "0417: wishes for nose, ears, jaw, teeth, white [Enter: as usual]> nose keep, white bright",
            "0417: kill tag or permit [Enter: later]> 88-1203",
            "0417: killed on [Enter: later]> yesterday",
            "0417: county and state [Enter: later]> Alder VA",
            "head 2 of 3, tag [Enter: 0419]> 0418",
            "0418 is on an open job: 0418 elk: in pot-1; take another tag",
            "head 2 of 3, tag [Enter: 0419]> 0419",
            "0419: animal, points, sex [Enter: later]> whitetail",
            "0419: it comes skin-on, skinned, frozen, rotten, dried-on or bare [Enter: later]> skinned",
            "0419: broken, shot, missing [Enter: not looked at yet]> left beam broken",
            "0419: wishes for nose, ears, jaw, teeth, white [Enter: as usual]> ",
            "0419: kill tag or permit [Enter: later]> ",
            "head 3 of 3, tag [Enter: 0420]> ",
            "0420: animal, points, sex [Enter: later]> black bear male found-dead",
            "0420: it comes skin-on, skinned, frozen, rotten, dried-on or bare [Enter: later]> ",
            "0420: broken, shot, missing [Enter: not looked at yet]> ",
            "0420: wishes for nose, ears, jaw, teeth, white [Enter: as usual]> ",
            "0420: kill tag or permit [Enter: later]> P-3",
            "0420: killed on [Enter: later]> ",
            "0420: county and state [Enter: later]> ",
        ]
    );
    assert_eq!(visit.next(), Some(Step::Write));
    assert_eq!(
        visit.summary(),
        [
            "Ada Fenn 555-0142",
            "  licence L-71",
            "  0417; whitetail; male; skin-on; nose keep; whiteness bright; 8 pt; hide on; kill tag or permit \
             88-1203; killed 2025-11-07; in Alder VA",
            "  0419; whitetail; skinned; condition left beam broken  (held for papers)",
            "  0420; black bear; male; obtained found-dead; kill tag or permit P-3",
        ]
    );
    let said = lines(&visit);
    assert_eq!(said.len(), 7, "{said:#?}");
    assert!(said[0].ends_with("(sealed)") && said[1] == "ticket", "{said:#?}");
    assert_eq!(
        said[2],
        "take-in 0417 --species whitetail --sex male --arrival skin-on --nose keep --whiteness bright \
         --points 8 --hide-on yes"
    );
    assert_eq!(
        said[3],
        "papers 0417 --kill-tag 88-1203 --killed-on 2025-11-07 --county Alder --state VA"
    );
    assert_eq!(said[6], "papers 0420 --salvage-permit P-3");
}

#[test]
fn the_least_is_a_name_or_a_phone_and_a_tag() {
    let mut visit = Visit::of(None);
    talk(&mut visit, &["", "555-0142", "", "", "", "", "", "", "", "", "", "", ""]);
    assert_eq!(visit.next(), Some(Step::Write));
    assert_eq!(visit.holds(), [("0417".to_owned(), "papers and details".to_owned())]);
    let said = visit.heads().unwrap();
    let [add, ticket, take_in] = said.as_slice() else { panic!("{said:?}") };
    assert_eq!(add.details.phone.as_deref(), Some("555-0142"));
    assert_eq!((ticket.refers.customer, take_in.refers.ticket), (Some(0), Some(1)));
}

#[test]
fn four_people_are_kept_apart() {
    let mut visit = Visit::of(Some(1));
    talk(
        &mut visit,
        &[
            "Ada Fenn",
            "555-0142",
            "",
            "uncle Bo",
            "hunter Bo Tarn 555-0177",
            "bringer Cal Dorsey",
            "payer Dee Elm",
            "collector Otis Marr",
            "",
            "9 Ford Rd",
            "L-9",
            "",
            "elk",
            "",
            "",
            "",
            "",
        ],
    );
    let said = visit.heads().unwrap();
    let who: Vec<(&str, Option<&str>)> =
        said.iter().map(|line| (line.verb.spec().word, line.details.name.as_deref())).collect();
    assert_eq!(
        who,
        [
            ("add-customer", Some("Ada Fenn")),
            ("ticket", Some("Cal Dorsey")),
            ("take-in", None),
            ("papers", Some("Bo Tarn")),
            ("person", Some("Dee Elm")),
            ("person", Some("Otis Marr")),
        ]
    );
    let hunter = &said[3].details;
    assert_eq!(
        (hunter.phone.as_deref(), hunter.address.as_deref(), hunter.licence.as_deref()),
        (Some("555-0177"), Some("9 Ford Rd"), Some("L-9"))
    );
    assert_eq!(said[0].details.licence, None);
}

#[test]
fn a_known_customer_is_offered_and_the_licence_goes_to_the_papers() {
    let mut visit = Visit::of(Some(1));
    talk(&mut visit, &["fenn"]);
    visit.found.push(Found {
        customer: "1:2".into(),
        name: "Ada Fenn".into(),
        phone: "555-0142".into(),
    });
    let read = talk(&mut visit, &["3", "", "", "L-72", "0421", "elk", "", "", "", ""]);
    assert_eq!(
        &read[..3],
        [
            "known already: 1 Ada Fenn 555-0142; which [Enter: 1; new]> 3",
            "say a number up to 1, or new",
            "known already: 1 Ada Fenn 555-0142; which [Enter: 1; new]> ",
        ]
    );
    let said = visit.heads().unwrap();
    assert!(matches!(&said[0].verb, Verb::Ticket(ticket) if ticket.customer.is_some()));
    assert_eq!(said[2].details.licence.as_deref(), Some("L-72"));
    assert_eq!(visit.holds(), [("0421".to_owned(), "papers".to_owned())]);
}

#[test]
fn back_takes_the_last_answer_off_and_a_kept_talk_goes_on() {
    let mut visit = Visit::of(None);
    talk(&mut visit, &["Ada Fenn", "555", "back", "555-0142", "", "", ""]);
    let kept = serde_json::to_string(&visit).unwrap();
    let mut again: Visit = serde_json::from_str(&kept).unwrap();
    assert_eq!(again, visit);
    let read = talk(&mut again, &["B12", "elk 12 pt skinned", "", "", "", "yes", ""]);
    assert_eq!(read.last().map(String::as_str), Some("head 2, tag [Enter: B13]> "), "{read:#?}");
    again.heads_written = true;
    assert!(!again.back());
}

#[test]
fn what_cannot_be_read_is_asked_again() {
    let mut visit = Visit::of(Some(1));
    talk(&mut visit, &["Ada Fenn", "", "", "", ""]);
    let words = visit.take(Step::Tag(0), "elk", &known()).unwrap_err();
    assert!(words.contains("is not a tag"), "{words}");
    talk(&mut visit, &[""]);
    for typed in ["8 pt", "elk --nope"] {
        assert!(visit.take(Step::Kind(0), typed, &known()).is_err(), "{typed}");
    }
    talk(&mut visit, &["elk"]);
    for typed in ["hid", "skinless", "s"] {
        assert!(visit.take(Step::State(0), typed, &known()).is_err(), "{typed}");
    }
    talk(&mut visit, &["froz", ""]);
    assert_eq!(visit.words(Step::State(0)), "frozen");
    for typed in ["nose", "nose gone", "horns keep"] {
        assert!(visit.take(Step::Wishes(0), typed, &known()).is_err(), "{typed}");
    }
    talk(&mut visit, &["", "K-1"]);
    for typed in ["soon", "2025-11-09", "7"] {
        assert!(visit.take(Step::Killed(0), typed, &known()).is_err(), "{typed}");
    }
}

#[test]
fn back_loses_nothing_and_a_tag_at_the_end_goes_back_to_its_head() {
    let mut visit = Visit::of(Some(2));
    talk(&mut visit, &["Ada Fenn 555-0142", "", "", ""]);
    talk(&mut visit, &["", "whitetail skinned", "", "", ""]);
    talk(
        &mut visit,
        &["", "elk bull 6 pt skin-on", "", "keep nose, jaw leave-off", "K-7", "Nov 7", "Alder VA"],
    );
    let before = visit.summary();
    assert_eq!(
        before.last().unwrap(),
        "  0419; elk; male; skin-on; nose keep; jaw leave-off; 6 pt; hide on; \
                                        kill tag or permit K-7; killed 2025-11-07; in Alder VA"
    );
    let read = talk(&mut visit, &["back", "back", "", ""]);
    assert_eq!(read[2], "0419: killed on [Enter: 2025-11-07]> ");
    assert_eq!(visit.summary(), before);
    assert_eq!(visit.next(), Some(Step::Write));
    let read = talk(&mut visit, &["0417", "", "tip chipped", "", "", "", "", "", "", "", "", ""]);
    assert_eq!(read[1], "0417: animal, points, sex [Enter: whitetail skinned]> ");
    assert_eq!(read[6], "0419: animal, points, sex [Enter: elk bull 6 pt skin-on]> ");
    assert_eq!(
        visit.summary()[1],
        "  0417; whitetail; skinned; condition tip chipped  (held for papers)"
    );
    assert_eq!(visit.summary()[2], before[2]);
}

#[test]
fn a_number_said_with_the_name_is_not_asked_for_and_a_day_without_a_year_is_the_last_one() {
    let mut visit = Visit::of(Some(1));
    let read = talk(&mut visit, &["Ada Fenn 555-0142", "", "", "", "", "elk", "", "", "", "K-7"]);
    assert!(read[1].starts_with("address"), "{read:#?}");
    for (typed, day) in [
        ("Nov 7", Ok("2025-11-07")),
        ("24 nov", Ok("2024-11-24")),
        ("11/07", Err("11/07/2025 could be 2025-07-11 or 2025-11-07; write it like 2026-11-24")),
        ("10/31", Ok("2025-10-31")),
        ("10/31/2025", Ok("2025-10-31")),
        ("soon", Err("is no day; write it like 2026-11-24 or Nov 24, or today, or yesterday")),
    ] {
        let mut visit = visit.clone();
        let took = visit.take(Step::Killed(0), typed, &known());
        match day {
            Ok(day) => assert_eq!((took, visit.words(Step::Killed(0))), (Ok(()), day), "{typed}"),
            Err(words) => assert!(took.clone().unwrap_err().contains(words), "{typed}: {took:?}"),
        }
    }
}

/// A talk whose heads are written, with a price for the first of two.
fn written() -> Visit {
    let mut visit = Visit::of(Some(2));
    talk(&mut visit, &["Ada Fenn 555-0142", "", "", ""]);
    talk(&mut visit, &["", "whitetail skinned", "", "", ""]);
    talk(&mut visit, &["", "skip", "", "", "", "", ""]);
    assert!(visit.can_be_priced(0) && !visit.can_be_priced(1));
    visit.heads_written = true;
    visit.deposit = "60.00".into();
    visit.prices.push(super::Price {
        tag: "0417".into(),
        lines: vec!["cleaning=120.00".into()],
        total: "120.00".into(),
        script: String::new(),
    });
    visit
}

#[test]
fn enter_through_the_talk_agrees_to_nothing_and_pays_nothing() {
    let jobs = [burrline_terms::EntryName::new(1, 7), burrline_terms::EntryName::new(1, 8)];
    let words = |visit: &Visit| -> Vec<String> {
        visit.money(&jobs).unwrap().iter().map(|line| line.verb.spec().word.to_owned()).collect()
    };
    let mut visit = written();
    let read = talk(&mut visit, &[""]);
    assert_eq!(read, ["did the customer hear it [Enter: later; heard; agreed]> "]);
    assert_eq!((visit.next(), words(&visit)), (None, vec![]));

    let mut visit = written();
    let read = talk(&mut visit, &["heard", ""]);
    assert_eq!(read[1], "paid now, how much and how [Enter: nothing; cash: 60.00]> ");
    assert_eq!(words(&visit), ["quote"]);

    let mut visit = written();
    talk(&mut visit, &["agreed", "cash"]);
    assert_eq!(words(&visit), ["quote", "agree", "pay"]);
    assert_eq!(visit.words(Step::Deposit), "60.00 cash");
}

#[test]
fn the_state_is_asked_for_unless_it_was_said_with_the_animal() {
    for (kind, asked) in [("whitetail 8 pt skinned", false), ("whitetail 8 pt", true), ("", true)] {
        let mut visit = Visit::of(Some(1));
        talk(&mut visit, &["Ada Fenn 555-0142", "", "", "", "", kind]);
        assert_eq!(visit.next() == Some(Step::State(0)), asked, "{kind}");
    }
}

#[test]
fn of_several_who_are_known_none_is_taken_by_enter() {
    let mut visit = Visit::of(Some(1));
    talk(&mut visit, &["fenn"]);
    for (n, name) in [(2, "Ada Fenn"), (4, "Abe Fenn")] {
        let phone = "555-0142".to_owned();
        visit.found.push(Found { customer: format!("1:{n}"), name: name.to_owned(), phone });
    }
    let read = talk(&mut visit, &["", "2"]);
    assert!(read[0].ends_with("which [a number; new]> "), "{read:#?}");
    assert_eq!(read[1], "say a number up to 2, or new");
    assert_eq!(visit.customer().unwrap().name, "Abe Fenn");
}

#[test]
fn the_last_ticket_is_the_one_that_was_meant_when_it_was_said() {
    let mut visit = Visit::of(Some(1));
    let known = Known { ticket: Some("1:5".into()), ticket_of: "Ada Fenn".into(), ..known() };
    let asked = visit.question(Step::Who, &known);
    assert_eq!(asked, "customer, name or phone (same: the last ticket of Ada Fenn)> ");
    visit.take(Step::Who, "same", &known).unwrap();
    talk(&mut visit, &["", "elk", "", "", "", ""]);
    let said = visit.heads().unwrap();
    assert!(matches!(&said[0].verb, Verb::TakeIn(v) if v.ticket.unwrap().to_string() == "1:5"));
}
