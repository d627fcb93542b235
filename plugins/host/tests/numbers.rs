//! The numbers of a script that its owner sets without writing a program.
#![cfg(test)]
#![allow(
    clippy::arithmetic_side_effects,
    reason = "an overflow in a test is a failed test, which is what is wanted"
)]

use std::sync::Arc;

use burrline_host::{
    CaseResult, Kind, NotSet, Sandbox, Script, Unit, compile_shipped, numbers, run_cases,
    with_number,
};
use rust_decimal::Decimal;

fn script(source: &str) -> Script {
    Script::compile(&Arc::new(Sandbox::default()), Kind::Pricing, "house", source).unwrap()
}

fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

const HOUSE: &str = r#"// fn rush_days() { 7 } is only talk.
fn rush_days() { 21 }
fn cleaning() {
    #{
        deer: 125.00,      // a plain buck
        "cow elk": 215.00, /* "deer": 3 */
        other: 145.50,
    }
}
fn numbers() {
    [
        #{ name: "rush_days", unit: "days", least: 1, most: 120, says: "Sooner than this is a rush" },
        #{ name: "cleaning", unit: "money", least: 0, most: 1500, says: "Cleaning one skull" },
    ]
}
fn price(job) {
    let all = cleaning();
    [#{ what: "cleaning", amount: if job.promise_days != () && job.promise_days < rush_days() { all.deer * 2 } else { all.deer } }]
}
fn cases() {
    [#{ name: "plain", total: "125.00" }, #{ name: "a rush", job: #{ promise_days: 20 }, total: 250 }]
}
"#;

#[test]
fn numbers_are_told_by_name_with_unit_range_and_sentence() {
    let all = numbers(&script(HOUSE)).unwrap();
    let names: Vec<&str> = all.iter().map(|number| number.name.as_str()).collect();
    assert_eq!(names, ["rush-days", "cleaning.deer", "cleaning.cow elk", "cleaning.other"]);
    assert_eq!(all[0].unit, Unit::Days);
    assert_eq!(all[0].range(), "1 day to 120 days");
    assert_eq!(all[3].value, decimal("145.50"));
    assert_eq!(all[3].says, "Cleaning one skull");
    assert!(all.iter().all(|number| number.first.is_none()));
}

#[test]
fn setting_one_changes_its_figure_alone_and_keeps_what_it_was_first() {
    let house = script(HOUSE);
    let set = with_number(&house, "cleaning.deer", decimal("130")).unwrap();
    assert_eq!(set, HOUSE.replace("deer: 125.00,", "deer: 130.00 /* first 125.00 */,"));
    let set = script(&set);
    let deer = |script: &Script| numbers(script).unwrap().remove(1);
    assert_eq!((deer(&set).value, deer(&set).first), (decimal("130"), Some(decimal("125.00"))));
    // Again, and back.
    let again = script(&with_number(&set, "cleaning.deer", decimal("131.75")).unwrap());
    assert!(again.source().contains("deer: 131.75 /* first 125.00 */,"), "{}", again.source());
    let back = with_number(&again, "cleaning.deer", decimal("125")).unwrap();
    assert_eq!(back, HOUSE);
    let days = with_number(&house, "rush-days", decimal("14.0")).unwrap();
    assert_eq!(days, HOUSE.replacen("{ 21 }", "{ 14 /* first 21 */ }", 1));
}

#[test]
fn examples_are_worked_with_the_numbers_that_the_script_was_written_with() {
    let mut house = script(HOUSE);
    for (name, value) in [("cleaning.deer", "130"), ("rush-days", "5")] {
        house = script(&with_number(&house, name, decimal(value)).unwrap());
        let results = run_cases(&house).unwrap();
        assert!(results.len() == 2 && results.iter().all(CaseResult::holds), "{results:?}");
    }
    // What is written otherwise than by setting a number fails as ever.
    let other = script(&house.source().replace("all.deer * 2", "all.deer * 3"));
    assert!(run_cases(&other).unwrap().iter().any(|case| !case.holds()));
}

#[test]
fn what_may_not_be_set_is_told_with_what_may() {
    let house = script(HOUSE);
    let why = |name: &str, value: &str| match with_number(&house, name, decimal(value)) {
        Err(NotSet::Unknown(why) | NotSet::Value(why)) => why,
        Err(NotSet::Script(why)) => why.to_string(),
        Ok(source) => panic!("{source}"),
    };
    assert!(why("rush-days", "0").contains("1 day to 120 days, and 0 days is not"));
    assert!(why("rush-days", "2.5").contains("a whole number"));
    assert!(why("cleaning.deer", "-1").contains("0 to 1500"));
    assert!(why("cleaning.der", "1").contains("did you mean cleaning.deer"));
    assert!(why("rush", "1").contains("It has rush-days, cleaning.deer"));
}

#[test]
fn a_number_that_is_worked_out_is_not_set_but_told() {
    for worked_out in ["60 * 2", "hours(2)", "if true { 120 } else { 120 }"] {
        let source = HOUSE.replacen("{ 21 }", &format!("{{ {worked_out} }}"), 1);
        let house = script(&source);
        assert_eq!(numbers(&house).unwrap()[0].value, decimal("120"), "{worked_out}");
        let why = with_number(&house, "rush-days", decimal("7")).unwrap_err().to_string();
        assert!(why.contains("is a formula"), "{why}");
    }
}

#[test]
fn a_wrong_declaration_is_a_failure_with_words() {
    for (from, to, words) in [
        ("unit: \"days\"", "unit: \"weeks\"", "one of %, C, min"),
        ("name: \"rush_days\"", "name: \"rush_day\"", "no function without arguments"),
        ("least: 1,", "least: 30,", "not 30 days to 120 days"),
        ("least: 1,", "", "`least` is missing"),
        ("says: \"Sooner", "say: \"Sooner", "`says` is missing"),
        ("name: \"cleaning\"", "name: \"rush_days\"", "declared twice"),
        ("other: 145.50", "other: \"much\"", "is not an amount"),
    ] {
        let source = HOUSE.replacen(from, to, 1);
        assert_ne!(source, HOUSE, "{from}");
        let why = numbers(&script(&source)).unwrap_err().to_string();
        assert!(why.contains(words), "{from} -> {to}: {why}");
    }
}

#[test]
fn every_number_of_a_shipped_script_can_be_set_from_end_to_end() {
    let sandbox = Arc::new(Sandbox::default());
    let mut found = 0;
    for script in compile_shipped(&sandbox).unwrap() {
        for number in numbers(&script).unwrap() {
            found += 1;
            assert!(number.says.ends_with(|c: char| c != '.') && number.says.len() < 90);
            for end in [number.least, number.most] {
                let told = format!("{} {} = {end}", script.name(), number.name);
                let set = with_number(&script, &number.name, end).expect(&told);
                let set =
                    Script::compile(&sandbox, script.kind(), script.name(), &set).expect(&told);
                let results = run_cases(&set).expect(&told);
                assert!(results.iter().all(CaseResult::holds), "{told}: {results:?}");
            }
        }
    }
    assert!(found > 60, "{found} numbers");
}
