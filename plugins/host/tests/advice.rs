//! What else a stage script may answer, and tables of the shop's own.
#![cfg(test)]

use std::collections::BTreeMap;
use std::sync::Arc;

use burrline_host::{
    Cell, JobFacts, Kind, Known, PlaceFacts, Rules, Sandbox, Script, Stages, VerbFacts,
    definitions, lint, lint_for, run_cases,
};
use rust_decimal::Decimal;

const ADVICE: &str = r#"fn remind(job) {
    let all = [];
    if !job.agreed { all.push("ask for a yes to the price"); }
    if job.group == "bear" { all.push(#{ remind: "call about the grease", in_days: 14 }); }
    all
}
fn first_look(job, act) {
    if act.place.kind != "pot" { return (); }
    if job.age in ["fawn", "calf"] { 20 } else { 45 }
}
fn ready_by(job) {
    if job.group == "bear" { return #{ days: 90, says: "bears take the winter" }; }
    30
}
fn fits(job, act) {
    if act.place.kind == "pot" { if job.size == "huge" { 1 } else { 3 } }
}
fn message(job, about) {
    if about == "ready" { "Your head is done[, {name}]. Come by." }
}
fn cases() {
    [
        #{ name: "a yes", reminds: "" },
        #{ name: "no yes", job: #{ agreed: false }, reminds: "yes to the price" },
        #{ name: "a fawn", job: #{ age: "fawn" }, act: #{ place: #{ kind: "pot" } }, first_look: 20 },
        #{ name: "on the rack", act: #{ place: #{ kind: "rack" } }, first_look: () },
        #{ name: "a bear", job: #{ group: "bear" }, ready_days: 90 },
        #{ name: "a huge one", job: #{ size: "huge" }, act: #{ place: #{ kind: "pot" } }, fits: 1 },
        #{ name: "done", about: "ready", message: "Come by" },
        #{ name: "late", about: "delay", message: "" },
    ]
}
"#;

fn script(source: &str) -> Script {
    Script::compile(&Arc::new(Sandbox::default()), Kind::Stages, "advice", source).unwrap()
}

fn rules(source: &str) -> Rules {
    Rules::new(vec![Stages::new(script(source)).unwrap()])
}

fn into(kind: &str) -> VerbFacts {
    let place =
        PlaceFacts { name: "x-1".to_owned(), kind: kind.to_owned(), ..PlaceFacts::default() };
    VerbFacts { place: Some(place), ..VerbFacts::of("in") }
}

#[test]
fn a_script_says_what_to_remember_when_to_look_when_it_is_ready_how_many_fit_and_what_is_told() {
    let rules = rules(ADVICE);
    let bear = JobFacts { group: "bear".to_owned(), agreed: false, ..JobFacts::in_order() };
    let (reminders, failures) = rules.remind(&bear);
    let told: Vec<_> =
        reminders.iter().map(|one| (one.says.words.as_str(), one.says.in_days)).collect();
    assert_eq!(told, [("ask for a yes to the price", 0), ("call about the grease", 14)]);
    assert_eq!(failures, []);
    assert_eq!(rules.first_look(&bear, &into("pot")).unwrap().unwrap().says, 45);
    assert_eq!(rules.first_look(&bear, &into("rack")).unwrap(), None);
    let ready = rules.ready_by(&bear).unwrap().unwrap().says;
    assert_eq!((ready.days, ready.says.as_deref()), (90, Some("bears take the winter")));
    assert_eq!(rules.fits(&bear, &into("pot")).unwrap().unwrap().says, 3);
    assert_eq!(rules.message(&bear, "delay").unwrap(), None);
    let told = rules.message(&bear, "ready").unwrap().unwrap();
    assert_eq!((told.rule.as_str(), told.says.contains("{name}")), ("advice", true));
}

#[test]
fn its_examples_hold_and_a_wrong_one_is_told_and_nothing_looks_wrong_in_it() {
    let results = run_cases(&script(ADVICE)).unwrap();
    assert_eq!(results.len(), 8);
    let wrong: Vec<_> = results.iter().filter(|case| !case.holds()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    let found = lint(Kind::Stages, "advice", ADVICE.as_bytes()).unwrap();
    assert_eq!(found, [], "{found:#?}");
    let other = ADVICE.replace("first_look: 20", "first_look: 25");
    let results = run_cases(&script(&other)).unwrap();
    let wrong: Vec<_> = results.iter().filter_map(|case| case.wrong.as_deref()).collect();
    assert_eq!(wrong, ["`first_look`: expected 25, got 20"]);
}

#[test]
fn an_answer_of_another_shape_is_told_with_its_line_and_gives_nothing() {
    for (source, words) in [
        ("\nfn first_look(job, act) { 0 }", "0 minutes; 1 to 20160 are taken"),
        ("\nfn first_look(job, act) { 12.5 }", "wants a whole number"),
        ("\nfn ready_by(job) { #{ day: 3 } }", "`days` is missing"),
        ("\nfn ready_by(job) { #{ days: 3, say: \"x\" } }", "nothing is called `say` here"),
        ("\nfn ready_by(job) { -1 }", "`days` wants 0 to 1500, not -1"),
        ("\nfn remind(job) { [\"a\", 3] }", "a text, #{remind: ..., in_days: ...}"),
        ("\nfn message(job, about) { 3 }", "wants () or a text"),
        ("\nfn fits(job, act) { \"three\" }", "wants a whole number"),
    ] {
        let stages = Stages::new(script(source)).unwrap();
        let (job, act) = (JobFacts::in_order(), into("pot"));
        let failures = [
            stages.first_look(&job, &act).err(),
            stages.fits(&job, &act).err(),
            stages.ready_by(&job).err(),
            stages.message(&job, "ready").err(),
            stages.remind(&job).err(),
        ];
        let failure = failures.into_iter().flatten().next().unwrap();
        assert!(failure.words.contains(words), "{source}: {failure}");
        assert_eq!(failure.line, Some(2), "{source}");
        // The lint tells it too, before it is in use.
        let found = lint(Kind::Stages, "advice", source.as_bytes()).unwrap();
        assert!(found.iter().any(|lint| lint.words.contains(words)), "{source}: {found:#?}");
    }
}

#[test]
fn advice_that_goes_by_what_nobody_said_is_none() {
    let source = "fn ready_by(job) { if job.promise_days > 60 { 50 } else { 20 } }";
    let job = JobFacts { promise_days: None, ..JobFacts::in_order() };
    let failure = rules(source).ready_by(&job).unwrap_err();
    assert!(failure.words.contains("promise"), "{failure}");
    assert_eq!(rules(source).ready_by(&JobFacts::in_order()).unwrap().unwrap().says.days, 50);
}

const FEES: &str = r#"fn price(job) {
    let lines = [#{ what: "cleaning", amount: 120.00 }];
    let fee = job.tables.row("county-fee", job.county);
    if fee != () { lines.push(#{ what: "county fee", amount: fee }); }
    lines
}
fn cases() {
    [
        #{ name: "a fee", total: "122.50",
           job: #{ county: "Larimer", tables: #{ "county-fee": #{ larimer: 2.50 } } } },
        #{ name: "none", total: "120.00",
           job: #{ county: "Routt", tables: #{ "county-fee": #{ larimer: 2.50 } } } },
    ]
}
"#;

#[test]
fn a_row_of_a_table_is_read_by_its_name_and_an_unknown_table_is_an_error() {
    let sandbox = Arc::new(Sandbox::default());
    let script = Script::compile(&sandbox, Kind::Pricing, "fees", FEES).unwrap();
    let results = run_cases(&script).unwrap();
    assert!(results.iter().all(burrline_host::CaseResult::holds), "{results:?}");
    let pricing = burrline_host::Pricing::new(script).unwrap();
    let failure = pricing.price(&JobFacts::in_order()).unwrap_err();
    assert!(failure.words.contains("the shop has no table \"county-fee\""), "{failure}");
    assert_eq!((failure.line, failure.column.is_some()), (Some(3), true));
}

#[test]
fn the_check_knows_the_tables_of_the_shop() {
    assert_eq!(lint(Kind::Pricing, "fees", FEES.as_bytes()).unwrap(), []);
    let fee = BTreeMap::from([("larimer".to_owned(), Cell::Number(Decimal::new(250, 2)))]);
    let here = |name: &str| Known {
        tables: BTreeMap::from([(name.to_owned(), fee.clone())]),
        all_tables: true,
        ..Known::default()
    };
    assert_eq!(lint_for(Kind::Pricing, "fees", FEES.as_bytes(), &here("county-fee")).unwrap(), []);
    let found = lint_for(Kind::Pricing, "fees", FEES.as_bytes(), &here("county-fees")).unwrap();
    let odd = found.first().unwrap();
    assert!(odd.words.contains("did you mean \"county-fees\"?"), "{odd:?}");
    assert_eq!((odd.line, odd.column), (Some(3), Some(30)));
}

#[test]
fn an_editor_is_told_the_kind_of_every_name() {
    let file = definitions();
    for line in [
        "fn get group(of: Job) -> String;",
        "fn get points(of: Job) -> ?;",
        "fn get wishes(of: Job) -> JobWishes;",
        "fn get whiteness(of: JobWishes) -> String;",
        "fn get verb(of: Act) -> String;",
    ] {
        assert!(file.contains(line), "{line}");
    }
}
