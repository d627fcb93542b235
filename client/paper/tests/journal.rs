//! The books of a month, made from a published exercise and recounted by hand.
//!
//! Source: `OpenStax`, Principles of Accounting 1 (2019), 3.5 and 3.6, the January of "Printing Plus":
//! figures only. Its trial balance has 34,000 on either side: cash 24,800, receivable 1,200, supplies
//! 500, equipment 3,500, dividends 100, salaries 3,600, utilities 300; payable 500, unearned 4,000,
//! stock 20,000, service 9,500. Here supplies and equipment are both stock that was bought, and the
//! dividends lower what the owner put in, so there are 33,900 on either side.
#![cfg(test)]
#![allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")]

#[path = "../../../service/domain/tests/common/mod.rs"]
mod common;

use std::{collections::BTreeMap, fs, path::Path};

use burrline_domain::State;
use burrline_paper::export::journal::{journal, postings};
use burrline_present::desk::journal::{Account, journal as transactions};
use burrline_terms::{Money, Typed as _};
use common::{Story, at};
use proptest::prelude::*;

fn told(lines: &[(&str, &str)]) -> Story {
    let mut story = Story::default();
    story.say(1, "0 0:00", "set-shop setting:zone value:UTC");
    for (when, line) in lines {
        story.say(1, when, line);
    }
    story
}

/// The month; day 0 is the 1st of January 1970.
fn month() -> State {
    told(&[
        ("0 0:01", "set-shop setting:name value:Alder_Creek"),
        ("0 0:02", "set-shop setting:currency value:USD"),
        ("0 8:00", "float amount:0"),
        ("2 9:00", "pay-in amount:20000 purse:owner why:capital"),
        ("4 9:00", "receive-stock stuff:press=1 cost:3500"),
        ("8 9:00", "take-in 0401 species:whitetail"),
        ("8 9:01", "pay 0401 amount:4000 means:cash"),
        ("9 9:00", "take-in 0402 species:elk"),
        ("9 9:01", "quote 0402 lines:work=5500 total:5500"),
        ("9 9:02", "hand-over 0402"),
        ("11 9:00", "spent amount:300 what:utilities"),
        ("13 9:00", "pay-out amount:100 purse:owner why:dividends"),
        ("16 9:00", "take-in 0403 species:whitetail"),
        ("16 9:01", "quote 0403 lines:work=2800 total:2800"),
        ("16 9:02", "pay 0403 amount:2800 means:cash"),
        ("16 9:03", "hand-over 0403"),
        ("17 9:00", "pay-out amount:3500 purse:supplier why:the_press"),
        ("19 9:00", "spent amount:3600 what:salaries"),
        ("22 9:00", "pay 0402 amount:5500 means:cash"),
        ("26 9:00", "take-in 0404 species:whitetail"),
        ("26 9:01", "quote 0404 lines:work=1200 total:1200"),
        ("26 9:02", "hand-over 0404"),
        ("29 9:00", "receive-stock stuff:supplies=1 cost:500"),
        ("30 17:00", "count-till amount:24800"),
        ("30 18:00", "close-till day:1970-01-31"),
    ])
    .state()
}

fn balances(state: &State) -> BTreeMap<&'static str, Money> {
    let mut balances: BTreeMap<&str, Money> = BTreeMap::new();
    for transaction in transactions(state) {
        let sum = Money::sum(transaction.postings.iter().map(|posting| posting.amount));
        assert_eq!(sum, Money::ZERO, "{transaction:?}");
        for posting in transaction.postings {
            let balance = balances.entry(posting.account.name()).or_default();
            *balance = balance.checked_add(posting.amount).unwrap();
        }
    }
    balances.retain(|_, balance| *balance != Money::ZERO);
    balances
}

#[test]
fn the_books_of_a_month_are_those_of_the_exercise() {
    let balances = balances(&month());
    let told: Vec<(&str, String)> =
        balances.iter().map(|(account, sum)| (*account, sum.to_string())).collect();
    let by_hand = [
        ("assets:receivable", "1200.00"),
        ("assets:till", "24800.00"),
        ("equity:owner", "-19900.00"),
        ("expenses:other", "3900.00"),
        ("expenses:stock", "4000.00"),
        ("income:work", "-9500.00"),
        ("liabilities:deposits", "-4000.00"),
        ("liabilities:suppliers", "-500.00"),
    ];
    assert_eq!(told, by_hand.map(|(account, sum)| (account, sum.to_owned())));
}

/// The file is read by hledger where everything is checked; `RENEW=1` writes it.
#[test]
fn the_journal_of_the_month_is_the_one_that_is_kept() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/month.journal");
    let now = journal(&month());
    if std::env::var_os("RENEW").is_some() {
        fs::write(&path, &now).unwrap();
    }
    assert_eq!(now, fs::read_to_string(path).unwrap());
}

#[test]
fn words_of_a_hand_never_break_a_line_of_the_journal() {
    let mut story = told(&[]);
    let spent = burrline_domain::Verb::Spent(burrline_domain::verb::Spent {
        amount: Money::read("5").unwrap(),
        stuff: None,
        means: None,
        lot: None,
        what: Some(burrline_terms::Phrase::read("glue; 2 tins | wax").unwrap()),
    });
    story.say_verb(1, burrline_terms::Happened::exactly(at("1 9:00")), spent);
    let text = journal(&story.state());
    assert!(text.contains("* (1:2) spent, glue 2 tins wax\n"), "{text}");
}

#[test]
fn a_row_of_the_table_is_a_posting() {
    let table = postings(&month()).unwrap();
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = rows.records().map(Result::unwrap).collect();
    let count: usize = transactions(&month()).iter().map(|t| t.postings.len()).sum();
    assert_eq!(rows.len(), count);
    let sum = Money::sum(rows.iter().map(|row| Money::read(&row[4]).unwrap()));
    assert_eq!(sum, Money::ZERO);
    assert_eq!(&rows[0][3], "assets:till");
}

/// Who was named is nothing to sums.
struct NoKeys;

impl burrline_present::Opens for NoKeys {
    fn key(&self, _: &[u8; 16]) -> Option<burrline_evidence::seal::SealKey> {
        None
    }
}

const DAYS: u32 = 9;

/// Lines that move money or end jobs, on three jobs of two tickets and on a tag that nobody knows.
fn lines() -> impl Strategy<Value = Vec<(u32, String)>> {
    let tag = prop_oneof![8 => 1..4_u32, 1 => Just(9)];
    let cents = (1..30_000_u32)
        .prop_map(|cents| Money::new(rust_decimal::Decimal::new(i64::from(cents), 2)));
    let means = prop_oneof![Just(" means:cash"), Just(" means:card"), Just("")];
    let line = prop_oneof![
        2 => (tag.clone(), cents.clone())
            .prop_map(|(t, m)| format!("quote {t} lines:cleaning=10.00 total:{m}")),
        1 => (tag.clone(), cents.clone()).prop_map(|(t, m)| format!("charge {t} amount:{m}")),
        4 => (tag.clone(), cents.clone(), means.clone(), any::<bool>()).prop_map(|(t, m, by, one)| {
            format!("pay {t} amount:{m}{by}{}", if one { " only_this:yes" } else { "" })
        }),
        2 => (tag.clone(), cents.clone(), means)
            .prop_map(|(t, m, by)| format!("refund {t} amount:{m}{by}")),
        2 => tag.clone().prop_map(|t| format!("hand-over {t}")),
        1 => tag.clone().prop_map(|t| format!("write-off {t} how:unclaimed")),
        2 => tag.prop_map(|t| format!("bring-back {t}")),
        1 => cents.clone().prop_map(|m| format!("spent amount:{m}")),
        1 => cents.clone().prop_map(|m| format!("pay-out amount:{m} purse:safe")),
        1 => cents.clone().prop_map(|m| format!("card-batch amount:{m} fee:0.01")),
        1 => cents.clone().prop_map(|m| format!("float amount:{m}")),
        1 => cents.prop_map(|m| format!("count-till amount:{m}")),
        1 => (0..DAYS).prop_map(|d| format!("close-till day:1970-01-{:02}", d + 1)),
    ];
    prop::collection::vec((0..DAYS, line), 0..40)
}

proptest! {
    #[test]
    fn the_books_are_what_takings_and_tills_say(lines in lines()) {
        let mut story = told(&[("0 0:01", "ticket")]);
        for (tag, ticket) in [(1, " ticket:1:2"), (2, " ticket:1:2"), (3, "")] {
            story.say(1, "0 0:02", &format!("take-in {tag}{ticket}"));
        }
        for (n, (day, line)) in lines.iter().enumerate() {
            story.say(2, &format!("{day} {}:{:02}", 1 + n / 60, n % 60), line);
        }
        let state = story.state();
        let balances = balances(&state);
        let of = |account: Account| balances.get(account.name()).copied().unwrap_or_default();
        let day = |text: &str| burrline_terms::Day::read(text).unwrap();
        let eyes = burrline_present::desk::people::Eyes::new(&NoKeys, true);
        let all = (day("1970-01-01"), day("1970-02-01"));
        let sums = burrline_present::desk::takings(&state, eyes, all.0, all.1);
        let money = |text: &str| Money::read(text).unwrap();
        let minus = |money: Money| Money::ZERO.checked_sub(money).unwrap();
        let held = Money::sum([money(&sums.held_after), money(&sums.on_no_job)]);
        prop_assert_eq!(of(Account::Deposits), minus(held));
        prop_assert_eq!(of(Account::Tax), minus(money(&sums.earned_tax)));
        prop_assert_eq!(
            of(Account::Work),
            money(&sums.earned_tax).checked_sub(money(&sums.earned)).unwrap()
        );
        prop_assert_eq!(of(Account::Receivable), money(&sums.owed_after));
        prop_assert_eq!(of(Account::Kept), minus(money(&sums.kept_otherwise)));
        let moves = burrline_present::desk::till::moves(&state);
        let days = burrline_present::desk::till::drawer::days(&moves);
        if let Some(left) = days.last_key_value().and_then(|(_, day)| day.left) {
            prop_assert_eq!(of(Account::Till), left);
        }
    }
}
