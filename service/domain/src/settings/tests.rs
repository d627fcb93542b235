use burrline_terms::{money::Money, time::Day, words::PlaceKind};
use rust_decimal::Decimal;

use super::*;
use crate::house::{UnitSystem, tax::TaxBy};

fn is_place(name: &str) -> bool {
    name == "pot-1"
}

fn check(setting: &str, value: &str) -> Result<(), Unfit> {
    super::check(setting, value, &is_place)
}

fn of(own: &[(&'static str, &'static str)]) -> Settings {
    own.iter().copied().collect()
}

fn day(text: &str) -> Day {
    Day::read(text).unwrap()
}

#[test]
fn every_row_says_all_of_itself_and_takes_its_own_example_and_defaults() {
    for row in TABLE {
        let name = row.name;
        assert!(row.help.ends_with('.') && !row.example.is_empty(), "{name}");
        assert_eq!(row.family().is_some(), !row.one.is_empty(), "{name}: one of a family");
        assert_eq!(check(&row.name_of(row.one), row.example), Ok(()), "{name} {}", row.example);
        if !row.back.is_empty() {
            assert_eq!(check(&row.name_of(row.one), row.back), Ok(()), "{name} {}", row.back);
        }
        match row.unset {
            Unset::Is(value) => assert_eq!(check(&row.name_of(row.one), value), Ok(()), "{name}"),
            Unset::Each(each) => {
                for (one, value) in each {
                    assert_eq!(check(&row.name_of(one), value), Ok(()), "{name} of {one}");
                }
            }
            Unset::Told(words) => assert!(!words.is_empty(), "{name}"),
        }
        assert_eq!(Setting::of(&row.name_of(row.one)).unwrap().0.name, name);
        let bounds = match row.takes {
            Takes::Number(_, low, high) | Takes::Span(low, high) => vec![low, high],
            Takes::Text | Takes::Whole(..) | Takes::OneOf(_) | Takes::Form(..) => Vec::new(),
        };
        for bound in bounds {
            assert_eq!(check(&row.name_of(row.one), bound), Ok(()), "{name}: bound {bound}");
        }
    }
    let mut names: Vec<&str> = TABLE.iter().map(|row| row.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), TABLE.len(), "two rows have one name");
}

#[test]
fn each_setting_takes_what_its_words_say() {
    for (setting, value) in [
        ("dry-weighings", "2"),
        ("dry-weighings", "2.0"),
        ("dry-apart", "48h"),
        ("dry-within", "0.2 %"),
        ("dry-step", "0.1 lb"),
        ("dry-step", "none"),
        ("rack-days.bear", "14"),
        ("holds.pot-1", "4"),
        ("look-again.pot-1", "20min"),
        ("look-again.tank", "2d"),
        ("altitude", "-430 m"),
        ("altitude", "none"),
        ("barometer", "25.1inHg"),
        ("simmer-margin", "18F"),
        ("burner-pot-1", "30000 BTU/h"),
        ("across-pot-1", "16in"),
        ("units", "US"),
    ] {
        assert_eq!(check(setting, value), Ok(()), "{setting} {value}");
    }
    for (setting, value, words) in [
        ("dry-weighings", "1", "2 to 10, not"),
        ("dry-weighings", "2.5", "set-shop dry-weighings 2"),
        ("dry-apart", "48", "set-shop dry-apart 48h"),
        ("dry-within", "0", "0.001 to 5"),
        ("dry-step", "0g", "0.01 g to 500 g"),
        ("dry-step", "5", "set-shop dry-step 5g"),
        ("rack-days.unicorn", "14", "deer"),
        ("ready-days.deer", "0", "set-shop ready-days.deer 60"),
        ("ready-days.bear", "0", "set-shop ready-days.bear 60"),
        ("ready-share", "100", "50 to 95"),
        ("photo-megabytes", "0", "1 to 200"),
        ("photos-gigabytes", "1.5", "set-shop photos-gigabytes 200"),
        ("holds.pot-9", "4", "add it first"),
        ("thaw-hours.deer", "0", "1 to 240"),
        ("opens-at", "24", "0 to 23"),
        ("step-minutes.flesh", "601", "0 to 600"),
        ("step-minutes.sleep", "5", "hand-over"),
        ("look-again.pot", "20", "set-shop look-again.pot 15min"),
        ("look-again.tub", "31d", "1min to 30d"),
        ("look-again.rack", "1d", "nor a place"),
        ("altitude", "12km", "11000m"),
        ("altitude", "1600", "set-shop altitude 1600m"),
        ("barometer", "5kPa", "set-shop barometer 850hPa"),
        ("simmer-margin", "0C", "10C"),
        ("burner-pot-1", "hot", "set-shop burner-pot-1"),
        ("burner-pot-1", "0W", "more than nothing"),
        ("burner-pot-9", "3kW", "add it first"),
        ("across-pot-1", "3kW", "set-shop across-pot-1 40cm"),
        ("currency", "XYZ", "set-shop currency CAD"),
        ("tax-rate", "8.25%", "first day"),
        ("rounding", "down", "half-up or half-even"),
        ("cash-to", "0", "0.05"),
        ("state", "Virginia", "two letters"),
        ("season-begins", "02-30", "month and a day"),
        ("licence-year-end", "13-01", "06-30"),
        ("law.va.records", "3 years after returned", "semicolon"),
        ("storage", "5", "5.00 a month after 30 days"),
        ("zone", "Denver", "America/Denver"),
        ("decimal-mark", "dot", "point or comma"),
    ] {
        match check(setting, value) {
            Err(Unfit::Wrong(why)) => assert!(why.contains(words), "{setting} {value}: {why}"),
            other => panic!("{setting} {value}: {other:?}"),
        }
    }
    for unknown in ["colour", "rack-days", "burner-", "Zone"] {
        assert_eq!(check(unknown, "1"), Err(Unfit::Unknown(unknown.to_owned())));
    }
}

#[test]
fn what_the_shop_set_goes_before_the_default_and_none_takes_it_back() {
    let none = Settings::default();
    assert_eq!((none.call_tries(), none.currency().to_string()), (3, "USD".to_owned()));
    assert_eq!((none.tax_by(), none.units()), (TaxBy::Invoice, None));
    assert_eq!(none.deposit(), None);
    let own = of(&[
        ("call-tries", "5.0"),
        ("units", "US"),
        ("deposit", "none"),
        ("dry-within", "0.2 %"),
        ("opens-at", "no number, from another program"),
    ]);
    assert_eq!((own.call_tries(), own.units()), (5, Some(UnitSystem::Us)));
    assert_eq!(own.deposit(), None);
    assert_eq!(own.dry_within(), Decimal::new(2, 1));
    assert_eq!(own.opens_at(), 8, "what cannot be read leaves the default");
}

#[test]
fn a_place_goes_before_its_kind_and_the_kind_before_its_default() {
    let place = |name: &str| Name::read(name).unwrap();
    let own = of(&[("look-again.pot-1", "45min"), ("look-again.tub", "2h")]);
    assert_eq!(own.look_again(&place("pot-1"), Some(PlaceKind::Pot)), 45);
    assert_eq!(own.look_again(&place("pot-2"), Some(PlaceKind::Pot)), 20);
    assert_eq!(own.look_again(&place("tub-1"), Some(PlaceKind::Tub)), 120);
    assert_eq!(own.look_again(&place("rack-1"), Some(PlaceKind::Rack)), 24 * 60);
    assert_eq!(own.look_again(&place("vat"), None), 20);
}

#[test]
fn a_head_of_january_belongs_to_the_season_that_began_in_the_autumn_before() {
    let none = Settings::default();
    assert_eq!(none.season_of(day("2025-11-08")), 2025);
    assert_eq!(none.season_of(day("2026-01-15")), 2025);
    assert_eq!(none.season_of(day("2026-06-30")), 2025);
    assert_eq!(none.season_of(day("2026-07-01")), 2026);
    assert_eq!(of(&[("season-begins", "09-01")]).season_of(day("2026-08-31")), 2025);
}

#[test]
fn what_is_in_force_is_what_was_set_over_the_defaults() {
    let own = of(&[("currency", "KWD"), ("holds.pot-1", "6")]);
    let all = own.in_force();
    let is = |name: &str| all.get(name).map(String::as_str);
    assert_eq!(is("currency"), Some("KWD"));
    assert_eq!(is("holds.pot-1"), Some("6"));
    assert_eq!(is("call-tries"), Some("3"));
    assert_eq!(is("units"), None, "what is not settled is not there");
    assert_eq!(own.shown(Money::read("1.5").unwrap()), "1.500");
}
