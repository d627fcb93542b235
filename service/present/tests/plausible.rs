//! What is asked about a line because it is unlikely, and what is refused because nobody means it.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

use burrline_domain::{BenchClock, Entry, Outcome, Record, State, Verb, verb::AddCustomer};
use burrline_present::{ask::ruled_after, judge::Judge};
use burrline_proto::v1;
use burrline_terms::{EntryName, Happened, Moment, Sealed};

const HOUR: i64 = 3_600_000;
/// Sunday 29 November 2026, at noon, universal time.
const NOON: i64 = 1_795_953_600_000;

/// A shop's story, said line by line, an hour apart, up to noon.
struct Told {
    records: Vec<Record>,
    now: i64,
}

/// Reads `verb field=value …`, with `_` for a space.
fn verb(line: &str) -> Verb {
    let mut words = line.split_whitespace();
    let verb = words.next().unwrap();
    if verb == "add-customer" {
        let details = Sealed { key_id: [1; 16], nonce: vec![2; 12], ciphertext: vec![3; 8] };
        return AddCustomer { details, class: None }.into();
    }
    let given: Vec<(&str, String)> = words
        .map(|word| word.split_once('=').unwrap_or(("skull", word)))
        .map(|(field, value)| (field, value.replace('_', " ")))
        .collect();
    let given = |field: &str| {
        given.iter().filter(|(f, _)| *f == field).map(|(_, word)| word.clone()).collect()
    };
    Verb::read(verb, &given).unwrap()
}

impl Told {
    /// What was said, the last of it an hour before noon.
    fn given(lines: &[&str]) -> Self {
        let mut told = Self { records: Vec::new(), now: NOON };
        let count = i64::try_from(lines.len()).unwrap();
        for (at, line) in (0..).zip(lines) {
            told.say(NOON - (count - at) * HOUR, line);
        }
        told
    }

    fn say(&mut self, at: i64, line: &str) {
        let position = u64::try_from(self.records.len()).unwrap();
        let happened = Happened::exactly(Moment(at));
        let entry = Entry {
            name: EntryName::new(1, position + 1),
            hand: None,
            clock: BenchClock { wall: happened.at, boot: [1; 16], uptime_ms: 0 },
            said: None,
            seen: 0,
            together: None,
            anyway: None,
            rulings: Vec::new(),
            not_seen: false,
            formerly: None,
            verb: verb(line),
        };
        let (shop_time, outcome) = (happened.typed, Outcome::Done(Vec::new()));
        self.records.push(Record {
            position,
            shop_time,
            happened,
            contact: None,
            doubted: None,
            outcome,
            entry,
        });
    }

    fn days_later(mut self, days: i64) -> Self {
        self.now += days * 24 * HOUR;
        self
    }

    fn asks(&self, line: &str) -> v1::Ruled {
        self.asks_after(&[], line)
    }

    fn asks_after(&self, before: &[&str], line: &str) -> v1::Ruled {
        let before: Vec<Verb> = before.iter().map(|line| verb(line)).collect();
        let state = State::replay(self.records.clone());
        let folder = tempfile::tempdir().unwrap();
        let judge = Judge::new(folder.path().to_owned());
        ruled_after(&judge, &state, &verb(line), &before, "ines", Moment(self.now))
    }

    /// What is said against a line that is asked about.
    fn when(&self, line: &str) -> Vec<String> {
        let ruled = self.asks(line);
        assert_eq!(ruled.refused, "", "{line}");
        let objections = ruled.objections.into_iter().filter(|o| !o.remark_only);
        objections.map(|objection| objection.words).collect()
    }

    fn refused(&self, line: &str) -> String {
        self.asks(line).refused
    }
}

const DEER: &str = "take-in 0417 species=whitetail points=8";

/// A head whose price was heard: 120.00.
fn priced() -> Told {
    Told::given(&[DEER, "quote 0417 total=120.00"])
}

#[test]
fn money_with_more_digits_than_the_currency_has_is_refused() {
    assert_eq!(
        priced().refused("pay 0417 amount=12.955"),
        "pay: 12.955 was said, and USD has 2 digits behind the point, not 3"
    );
    assert_eq!(priced().refused("pay 0417 amount=12.950"), "");
    let yen = Told::given(&["set-shop setting=currency value=JPY", DEER]);
    assert_eq!(
        yen.refused("charge 0417 amount=12.5"),
        "charge: 12.5 was said, and JPY has nothing behind the point"
    );
    let dinar = Told::given(&["set-shop setting=currency value=KWD", DEER]);
    assert_eq!(dinar.refused("charge 0417 amount=12.955"), "");
}

#[test]
fn a_payment_below_or_of_nothing_is_refused() {
    for (line, part) in [
        ("pay 0417 amount=-20", "for money that goes back say refund"),
        ("pay 0417 amount=0", "a payment is above 0"),
        ("refund 0417 amount=-20", "say pay"),
        ("quote 0417 total=-1", "a price is not below 0"),
        ("receive-stock stuff=soap=2L cost=-4", "not below 0"),
    ] {
        assert!(priced().refused(line).contains(part), "{line}: {}", priced().refused(line));
    }
    assert_eq!(priced().refused("charge 0417 amount=-20"), "", "a charge may go down");
}

#[test]
fn a_price_whose_parts_do_not_make_its_total_is_asked_about() {
    let parts = "quote 0417 lines=cleaning=120 lines=plaque=40";
    let told = Told::given(&[DEER]);
    assert!(told.when(&format!("{parts} total=160")).is_empty());
    assert_eq!(
        told.when(&format!("{parts} total=170")),
        ["the parts make 160.00, and the total says 170.00"]
    );
    let taxed = Told::given(&["set-shop setting=tax-rate value=8.25%_from_2026-01-01", DEER]);
    assert!(taxed.when(&format!("{parts} total=173.20")).is_empty(), "with its tax");
    assert_eq!(
        taxed.when(&format!("{parts} total=170")),
        ["the parts make 160.00, 173.20 with tax, and the total says 170.00"]
    );
}

#[test]
fn a_payment_of_more_than_is_owed_is_asked_about() {
    assert_eq!(
        priced().when("pay 0417 amount=185.00"),
        ["185.00 paid, 120.00 owed: 65.00 too much"]
    );
    assert!(priced().when("pay 0417 amount=120.00").is_empty());
    assert!(priced().when("pay 0417 amount=60").is_empty());
    let paid = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=120.00"]);
    assert_eq!(paid.when("pay 0417 amount=30"), ["30.00 paid, nothing owed: all of it is paid"]);
    let too_much = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=130.00"]);
    assert_eq!(
        too_much.when("pay 0417 amount=30"),
        ["30.00 paid, nothing owed: 10.00 too much was paid before this"]
    );
}

#[test]
fn cash_that_is_rounded_up_to_a_coin_is_not_too_much() {
    let told =
        Told::given(&["set-shop setting=cash-to value=0.05", DEER, "quote 0417 total=120.03"]);
    assert!(told.when("pay 0417 amount=120.05 means=cash").is_empty());
    assert_eq!(
        told.when("pay 0417 amount=120.05 means=card"),
        ["120.05 paid, 120.03 owed: 0.02 too much"]
    );
}

#[test]
fn a_payment_counts_against_the_whole_ticket_unless_it_is_for_one_head_alone() {
    let told = Told::given(&[
        "ticket",
        "take-in 0417 species=whitetail ticket=1:1",
        "take-in 0418 species=whitetail ticket=1:1",
        "quote 0417 total=120.00",
        "quote 0418 total=100.00",
    ]);
    assert!(told.when("pay 0417 amount=220.00").is_empty());
    assert_eq!(
        told.when("pay 0417 amount=220.00 only_this=yes"),
        ["220.00 paid, 120.00 owed: 100.00 too much"]
    );
}

#[test]
fn a_payment_before_any_price_is_asked_about() {
    let told = Told::given(&[DEER]);
    assert_eq!(
        told.when("pay 0417 amount=50"),
        ["50.00 paid, and no price was heard yet for 0417"]
    );
    assert_eq!(told.when("agree 0417"), ["no price was heard yet that somebody could agree to"]);
    assert!(priced().when("agree 0417").is_empty());
}

#[test]
fn a_refund_above_what_was_paid_is_asked_about() {
    let told = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=60"]);
    assert_eq!(
        told.when("refund 0417 amount=65"),
        ["65.00 back, 60.00 was paid on it: 5.00 too much"]
    );
    assert_eq!(
        told.when("refund 0417 amount=60"),
        [
            "60.00 back, and 60.00 of it is owed again, for the price stays 120.00; if the price is less \
          by it, say `charge 0417 -60.00` first"
        ]
    );
    let lowered = Told::given(&[
        DEER,
        "quote 0417 total=120.00",
        "pay 0417 amount=120",
        "charge 0417 amount=-60.00",
    ]);
    assert!(lowered.when("refund 0417 amount=60").is_empty(), "60.00 were paid too much by then");
}

#[test]
fn a_charge_many_times_the_price_is_asked_about() {
    assert_eq!(
        priced().when("charge 0417 amount=1200"),
        ["1200.00 is more than 3 times the price so far (120.00)"]
    );
    assert_eq!(
        priced().when("charge 0417 amount=-200"),
        ["200.00 off, and the price so far is 120.00"]
    );
    assert_eq!(priced().when("charge 0417 amount=0"), ["0.00 is no charge"]);
    assert!(priced().when("charge 0417 amount=40").is_empty());
    assert!(Told::given(&[DEER]).when("charge 0417 amount=1200").is_empty());
}

#[test]
fn a_head_that_leaves_with_money_owed_is_asked_about() {
    for leaves in ["hand-over 0417", "ship 0417"] {
        assert_eq!(priced().when(leaves), ["120.00 is still owed on it"], "{leaves}");
    }
    let paid = Told::given(&[DEER, "quote 0417 total=120.00", "pay 0417 amount=120.00"]);
    assert!(paid.when("hand-over 0417").is_empty());
}

#[test]
fn a_promise_in_the_past_far_away_or_on_a_closed_day_is_asked_about() {
    let told = Told::given(&[
        "set-shop setting=open-days value=mon-sat",
        "set-shop setting=closed-days value=2026-12-10,12-25",
        DEER,
    ]);
    for (day, words) in [
        ("2026-11-20", vec!["2026-11-20 is past: 9 days ago"]),
        ("2026-12-06", vec!["2026-12-06 is a Sunday: the shop is closed on Sundays"]),
        ("2026-12-10", vec!["2026-12-10: the shop is closed on that day"]),
        ("2026-12-25", vec!["2026-12-25: the shop is closed on that day"]),
        ("2031-12-01", vec!["2031-12-01 is 5 years away"]),
        ("2026-12-07", vec![]),
    ] {
        assert_eq!(told.when(&format!("promise 0417 by={day}")), words, "{day}");
    }
    let open = Told::given(&[DEER]);
    assert!(open.when("promise 0417 by=2026-12-06").is_empty(), "nobody said when it is closed");
}

#[test]
fn a_kill_that_is_still_to_come_is_asked_about() {
    let told = Told::given(&[DEER]);
    assert_eq!(
        told.when("papers 0417 killed_on=2026-12-05"),
        ["killed on 2026-12-05: that day is still to come"]
    );
    assert_eq!(
        told.when("papers 0417 killed_on=2016-11-28"),
        ["killed on 2016-11-28: 10 years ago"]
    );
    assert!(told.when("papers 0417 killed_on=2026-11-28").is_empty());
}

fn tub() -> Told {
    Told::given(&[
        "add-place name=tub-1 kind=tub volume=40L material=plastic",
        "add-place name=pot-1 kind=pot",
        "add-place name=rack-1 kind=rack",
        "fill place=tub-1 water=30L add=peroxide=5L@12%",
    ])
}

#[test]
fn a_place_filled_beyond_what_it_holds_is_asked_about_also_by_top_ups() {
    for (line, words) in [
        ("fill place=tub-1 water=400L", vec!["400 L: tub-1 holds 40 L"]),
        ("fill place=tub-1 water=40L", vec![]),
        ("fill place=tub-1 water=35L add=peroxide=10L@12%", vec!["45 L: tub-1 holds 40 L"]),
        ("top-up place=tub-1 water=6L", vec!["6 L on top of 35 L: tub-1 holds 40 L"]),
        ("top-up place=tub-1 water=5L", vec![]),
        ("fill place=pot-1 water=400L", vec!["400 L in pot-1: nobody said that it holds so much"]),
        ("fill place=pot-1 water=20gal", vec![]),
        ("fill place=rack-1 water=5L", vec!["rack-1 is a rack: it holds no water"]),
    ] {
        assert_eq!(tub().when(line), words, "{line}");
    }
}

/// The rows and their sources are those of `reckon mix`.
#[test]
fn what_must_not_come_together_is_asked_about_at_fill_top_up_and_heat() {
    let told = Told::given(&[
        "add-place name=tub-1 kind=tub",
        "add-place name=pot-1 kind=pot",
        "fill place=tub-1 water=30L add=peroxide=5L@12%",
        "fill place=pot-1 water=20L add=acetone=1L",
    ]);
    let fine = [
        "fill place=tub-1 water=20L add=soap=30mL add=soda=100g",
        "top-up place=tub-1 add=peroxide=1L@12%",
    ];
    for line in fine {
        assert!(told.when(line).is_empty(), "{line}: {:?}", told.when(line));
    }
    for (line, words) in [
        (
            "fill place=tub-1 water=20L add=bleach=1L add=vinegar=1L",
            "bleach with vinegar: chlorine gas",
        ),
        ("top-up place=tub-1 add=acetone=1L", "acetone with peroxide: acetone peroxide"),
        ("top-up place=tub-1 add=washing-soda=50g", "above pH 5"),
        ("top-up place=tub-1 add=goo=50g", "is not known here"),
        ("heat place=pot-1 how=lit", "acetone with hot: heat drives off vapor"),
        ("heat place=tub-1 how=lit", "hot peroxide breaks down by itself"),
    ] {
        let said = told.when(line);
        assert!(said.iter().any(|said| said.contains(words)), "{line}: {said:?}");
    }
}

#[test]
fn water_that_nobody_filled_is_asked_about() {
    for line in ["top-up place=pot-1 water=5L", "change place=pot-1", "dump place=pot-1"] {
        assert_eq!(tub().when(line), ["nobody filled pot-1: say the fill first"], "{line}");
    }
}

#[test]
fn heat_and_readings_of_what_holds_no_water_are_asked_about() {
    for (line, words) in [
        ("heat place=rack-1 how=lit", vec!["rack-1 is a rack: nothing is heated in it"]),
        (
            "reading place=rack-1 strength=3%",
            vec!["rack-1 is a rack: there is nothing in it to read"],
        ),
        ("reading place=rack-1 temperature=-5C", vec![]),
        ("heat place=pot-1 how=lit", vec![]),
    ] {
        assert_eq!(tub().when(line), words, "{line}");
    }
}

#[test]
fn water_hotter_than_it_boils_here_is_asked_about() {
    let sea = tub();
    assert!(sea.when("reading place=pot-1 temperature=100C").is_empty());
    let high =
        Told::given(&["add-place name=pot-1 kind=pot", "set-shop setting=altitude value=2000m"]);
    // Source: water boils at 93.4 C at 794.9 hPa, the standard pressure at 2000 m (IAPWS R7-97 and
    // ICAO Doc 7488/3, as the pot's arithmetic has them).
    for (line, words) in [
        ("heat place=pot-1 temperature=100C", "100 C was said, and water boils at 93.3 C here"),
        ("reading place=pot-1 temperature=212F", "212 F was said, and water boils at 200.0 F here"),
        ("heat place=pot-1 temperature=190C", "190 C was said, and water boils at 93.3 C here"),
        ("reading place=pot-1 temperature=-5C", "-5 C was said, and water is ice then"),
    ] {
        assert_eq!(high.when(line), [words], "{line}");
    }
    assert!(high.when("heat place=pot-1 temperature=200F").is_empty());
}

#[test]
fn a_strength_read_far_from_the_mix_is_asked_about() {
    // 5 L at 12 % in 35 L make 1.714 %.
    for (line, words) in [
        ("reading place=tub-1 strength=12%", vec!["12 % was read, the mix gives 1.714 %"]),
        ("reading place=tub-1 strength=0.2%", vec!["0.2 % was read, the mix gives 1.714 %"]),
        ("reading place=tub-1 strength=2%", vec![]),
        ("reading place=tub-1 strength=1.5%", vec![]),
    ] {
        assert_eq!(tub().when(line), words, "{line}");
    }
    let old = tub().days_later(3);
    assert!(old.when("reading place=tub-1 strength=0.2%").is_empty(), "an old bath is weak");
    let plain = Told::given(&["add-place name=tub-1 kind=tub", "fill place=tub-1 water=30L"]);
    assert_eq!(
        plain.when("reading place=tub-1 strength=3%"),
        ["3 % was read, and no peroxide went into tub-1"]
    );
}

#[test]
fn a_strength_that_nobody_sells_is_asked_about() {
    let told = Told::given(&["add-place name=tub-1 kind=tub", DEER]);
    for line in [
        "fill place=tub-1 water=30L add=peroxide=5L@90%",
        "receive-stock stuff=peroxide=5L@90%",
        "whiten 0417 strength=90%",
    ] {
        let words = told.when(line);
        assert!(words[0].contains("none that is sold is above 50 %"), "{line}: {words:?}");
    }
    assert!(told.when("receive-stock stuff=peroxide=5L@12%").is_empty());
}

#[test]
fn a_ph_beyond_its_scale_is_refused() {
    assert_eq!(
        tub().refused("reading place=tub-1 ph=15"),
        "reading: pH 15 was said, and pH goes from 0 to 14"
    );
    assert_eq!(tub().refused("reading place=tub-1 ph=14"), "");
}

#[test]
fn a_mass_that_no_head_has_is_asked_about() {
    let told = Told::given(&[DEER, "take-in 0418 species=elk"]);
    for (line, words) in [
        ("weigh 0417 mass=40lb", "40 lb: a whitetail weighs 15 kg at most, hide and all"),
        ("weigh 0417 mass=4g", "4 g: a skull of whitetail weighs 100 g at least"),
        ("weigh 0417 mass=0g", "0 g is no mass"),
    ] {
        assert_eq!(told.when(line), [words], "{line}");
    }
    assert!(told.when("weigh 0418 mass=40lb").is_empty(), "an elk may");
    assert!(told.when("weigh 0417/jaw mass=90g").is_empty(), "a jaw is lighter");
}

#[test]
fn a_mass_far_from_the_last_weighing_is_asked_about() {
    let told = Told::given(&[DEER, "weigh 0417 mass=1240g"]);
    for (line, words) in [
        ("weigh 0417 mass=12400g", vec!["12400 g now, 1240 g at the last weighing"]),
        ("weigh 0417 mass=124g", vec!["124 g now, 1240 g at the last weighing"]),
        ("weigh 0417 mass=1.2kg", vec![]),
        ("weigh 0417/jaw mass=200g", vec![]),
    ] {
        assert_eq!(told.when(line), words, "{line}");
    }
    let worked = Told::given(&[DEER, "weigh 0417 mass=6kg", "flesh 0417"]);
    assert!(worked.when("weigh 0417 mass=1240g").is_empty(), "the knife took it off");
    assert_eq!(worked.when("weigh 0417 mass=9kg"), ["9 kg now, 6 kg at the last weighing"]);
}

#[test]
fn points_teeth_lengths_and_hours_that_nothing_has_are_asked_about() {
    let told = Told::given(&[DEER, "take-in 0418 species=black_bear"]);
    for (line, words) in [
        (
            "take-in 0500 species=whitetail points=60",
            vec!["60 points: 30 is the most for whitetail"],
        ),
        ("take-in 0500 species=black_bear points=8", vec!["8 points: black bear has no antlers"]),
        (
            "take-in 0500 species=whitetail sex=female points=8",
            vec!["8 points on a female whitetail"],
        ),
        ("take-in 0500 species=caribou points=38", vec![]),
        ("condition 0417 teeth=80", vec!["80 teeth: a whitetail has 34 at most"]),
        ("condition 0418 teeth=42", vec![]),
        (
            "measure 0417 what=beam-r length=75in",
            vec!["beam-r of 75 in is more than any whitetail has (120 cm)"],
        ),
        ("measure 0417 what=beam-r length=23in", vec![]),
        ("hours worked=30h", vec!["30 h is more than a day has"]),
        ("hours worked=18h", vec!["18 h is more than 16 h in a day"]),
        ("hours worked=9h", vec![]),
        ("receive-stock stuff=soap=2000L", vec!["2000 L of soap at once"]),
    ] {
        assert_eq!(told.when(line), words, "{line}");
    }
}

#[test]
fn a_tag_that_another_open_head_wears_is_asked_about_whichever_way_it_goes_on() {
    let told = Told::given(&[DEER, "take-in 0418 species=elk"]);
    let there = "0418 is on an open job: 0418 elk: ";
    for line in ["clip-tag 0417 tag=0418", "swap-tag 0417 tag=0418", "take-in 0418 species=elk"] {
        let words = told.when(line);
        assert_eq!(words.len(), 1, "{line}: {words:?}");
        assert!(words[0].starts_with(there), "{line}: {words:?}");
    }
    assert_eq!(told.when("clip-tag 0417 tag=0417"), ["it wears 0417 already"]);
    assert!(told.when("clip-tag 0417 tag=0533").is_empty());
    let twice = told.asks_after(&["take-in 0533 species=elk"], "take-in 0533 species=elk");
    assert_eq!(twice.objections[0].words, "0533 is said twice");
    let ended = Told::given(&[DEER, "take-in 0418 species=elk", "give-back 0418"]);
    assert!(ended.when("swap-tag 0417 tag=0418").is_empty(), "an ended tag is free");
}

#[test]
fn what_never_left_is_not_brought_back_without_a_question() {
    let told = Told::given(&[DEER]);
    assert!(told.when("bring-back 0417")[0].starts_with("it never left: 0417 whitetail 8 pt"));
    assert_eq!(told.when("close-dispute 0417"), ["no dispute is open on it"]);
    let back = Told::given(&[DEER, "hand-over 0417"]);
    assert!(back.when("bring-back 0417").is_empty());
}

#[test]
fn forgetting_a_customer_is_always_asked_about_and_names_what_is_open_and_until_when_it_is_kept() {
    let alone = Told::given(&["add-customer"]);
    let asked = alone.when("forget-customer customer=1:1");
    assert_eq!(asked.len(), 1, "{asked:?}");
    assert!(asked[0].starts_with("this drops the keys"), "{asked:?}");

    let told = Told::given(&[
        "set-shop setting=state value=VA",
        "set-shop setting=law.va.records value=3_years_after_returned;_house_rule,_read_2026-11-01",
        "add-customer",
        "ticket customer=1:3",
        "take-in 0417 species=whitetail ticket=1:4",
        "take-in 0418 species=whitetail ticket=1:4",
        "dispute 0418 words=nose",
        "hand-over 0417",
    ]);
    let asked = told.when("forget-customer customer=1:3");
    assert_eq!(
        asked[1..],
        [
            "still in the shop: 0418; the owner says why",
            "in dispute: 0418; the owner says why",
            "its records are to be kept through 2029-11-29 (0417); the owner says why",
        ]
    );
    let years_later = told.days_later(4 * 365);
    assert_eq!(years_later.when("forget-customer customer=1:3").len(), 3);
}

#[test]
fn a_currency_in_the_middle_of_the_books_is_asked_about() {
    assert_eq!(
        priced().when("set-shop setting=currency value=EUR"),
        [
            "money is on the log in USD since 2026-11-29: its figures stay as they are and are read as EUR"
        ]
    );
    assert!(priced().when("set-shop setting=currency value=USD").is_empty());
    assert!(Told::given(&[DEER]).when("set-shop setting=currency value=EUR").is_empty());
}

#[test]
fn a_place_that_is_in_use_is_not_retired_without_a_question() {
    let told = Told::given(&[
        "add-place name=pot-1 kind=pot",
        "fill place=pot-1 water=20L",
        DEER,
        "in place=pot-1 skull=0417",
    ]);
    assert_eq!(
        told.when("retire-place name=pot-1"),
        ["0417 still in pot-1", "there is water in pot-1: dump it first"]
    );
}

#[test]
fn one_photo_on_two_heads_is_asked_about() {
    let photo = "ab".repeat(32);
    let told = Told::given(&[
        DEER,
        "take-in 0418 species=elk",
        &format!("photograph 0417 original={photo}"),
    ]);
    assert_eq!(
        told.when(&format!("photograph 0418 original={photo}")),
        ["the same photo was named on 0417 before"]
    );
    assert!(told.when(&format!("photograph 0417 original={photo}")).is_empty());
}

#[test]
fn a_price_far_from_the_list_is_asked_about() {
    let state = State::new();
    let far = |line: &str, listed: &str| {
        let asked = burrline_present::plausible::far_from_the_list(&state, &verb(line), listed);
        asked.map(|objection| objection.words)
    };
    assert_eq!(
        far("quote 0417 total=1850", "185.00").as_deref(),
        Some("1850.00 was said, the price list gives 185.00")
    );
    assert!(far("quote 0417 total=18.50", "185.00").is_some());
    assert_eq!(far("quote 0417 total=150", "185.00"), None);
    assert_eq!(far("quote 0417", "185.00"), None, "what the list gives is the price");
    assert_eq!(far("quote 0417 total=150", ""), None, "there is no list");
}

#[test]
fn prices_and_payments_that_are_said_with_the_same_write_count() {
    let told = Told::given(&[DEER]);
    let after = |before: &[&str], line: &str| -> Vec<String> {
        let asked = told.asks_after(before, line).objections.into_iter();
        asked.filter(|o| !o.remark_only).map(|o| o.words).collect()
    };
    let heard = "quote 0417 total=120.00";
    assert!(after(&[heard], "pay 0417 amount=120.00").is_empty());
    assert!(after(&[heard], "agree 0417").is_empty());
    assert_eq!(
        after(&[heard], "pay 0417 amount=200.00"),
        ["200.00 paid, 120.00 owed: 80.00 too much"]
    );
    assert_eq!(
        after(&[heard, "pay 0417 amount=120.00"], "pay 0417 amount=120.00"),
        ["120.00 paid, nothing owed: all of it is paid"]
    );
    let pay = ["pay 0417 amount=120.00"];
    let ruled = priced().asks_after(&pay, "hand-over 0417");
    assert!(ruled.objections.is_empty(), "{ruled:?}");
}
