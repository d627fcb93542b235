//! What the host makes of a script's answer.
#![cfg(test)]

use std::sync::Arc;
use std::time::Duration;

use burrline_host::{
    Added, BathFacts, CaseResult, Damage, JobFacts, Kind, Limits, MonotonicClock, Other,
    PlaceFacts, PlanStep, Prices, Pricing, Quote, Rules, Ruling, Sandbox, Script, ScriptFailure,
    Stages, VerbFacts, digest_of, run_cases,
};
use rust_decimal::Decimal;

/// A deadline that a busy machine does not reach.
fn sandbox() -> Arc<Sandbox> {
    let limits = Limits { deadline: Duration::from_secs(10), ..Limits::default() };
    Arc::new(Sandbox::new(limits, Arc::new(MonotonicClock::start())))
}

fn price(body: &str) -> Result<Quote, ScriptFailure> {
    let source = format!("fn price(job) {{ {body} }}");
    let sandbox = sandbox();
    Pricing::new(Script::compile(&sandbox, Kind::Pricing, "p", &source)?)?
        .price(&JobFacts::in_order())
}

fn stages(name: &str, source: &str) -> Stages {
    let sandbox = sandbox();
    Stages::new(Script::compile(&sandbox, Kind::Stages, name, source).unwrap()).unwrap()
}

fn rule(body: &str) -> Ruling {
    stages("r", &format!("fn check(job, act) {{ {body} }}"))
        .check(&JobFacts::in_order(), &VerbFacts::of("wash"))
}

fn cases(kind: Kind, source: &str) -> Vec<CaseResult> {
    let sandbox = sandbox();
    run_cases(&Script::compile(&sandbox, kind, "c", source).unwrap()).unwrap()
}

#[test]
fn a_quote_takes_amounts_however_they_are_written_and_names_its_script() {
    let body = r#"[#{ what: "a", amount: 12 }, #{ what: "b", amount: 0.505 }, #{ what: "c", amount: "-1.25" }]"#;
    let quote = price(body).unwrap();
    let amounts: Vec<String> = quote.lines.iter().map(|line| line.amount.to_string()).collect();
    assert_eq!(amounts, ["12", "0.51", "-1.25"]);
    assert_eq!(quote.total, Decimal::new(1126, 2));
    assert_eq!(quote.script, "p");
    assert_eq!(quote.digest, digest_of(format!("fn price(job) {{ {body} }}").as_bytes()));
}

fn pricing(name: &str, source: &str) -> Pricing {
    Pricing::new(Script::compile(&sandbox(), Kind::Pricing, name, source).unwrap()).unwrap()
}

const LIST: &str = r#"
    fn price(job) { [#{ what: "cleaning", amount: 100.00 }, #{ what: "jaw", amount: 25.00 }] }
    fn deposit(job, total) { half_up(percent(total, 50)) }
"#;
/// A per cent of cleaning lines alone, of which there may be several.
const RUSH: &str = r#"
    fn adjust(job, lines) {
        let cleaning = 0.00;
        for line in lines { if line.what.contains("cleaning") { cleaning += line.amount; } }
        [#{ what: "rush, 20 % of the cleaning", amount: percent(cleaning, 20) }]
    }
"#;
const LESS: &str = r#"
    fn adjust(job, lines) {
        let sum = 0.00;
        for line in lines { sum += line.amount; }
        [#{ what: "guide, 10 % off", amount: -percent(sum, 10) }]
    }
    fn deposit(job, total) { 0 }
"#;

#[test]
fn a_price_list_comes_first_and_adjustments_follow_in_the_order_of_their_names() {
    let prices = Prices::of([
        pricing("z-guide", LESS),
        pricing("older-list", "fn price(job) { [] }"),
        pricing("list", LIST),
        pricing("a-rush", RUSH),
    ]);
    let names: Vec<&str> = prices.scripts().iter().map(|one| one.script().name()).collect();
    assert_eq!(names, ["list", "a-rush", "z-guide"]);
    let quote = prices.price(&JobFacts::in_order()).unwrap().unwrap();
    let lines: Vec<String> =
        quote.lines.iter().map(|line| format!("{} {}", line.amount, line.what)).collect();
    assert_eq!(
        lines,
        [
            "100.00 cleaning",
            "25.00 jaw",
            "20.00 rush, 20 % of the cleaning",
            "-14.50 guide, 10 % off"
        ]
    );
    assert_eq!(quote.total, Decimal::new(13050, 2));
    // The last script that has a deposit to say says it.
    assert_eq!(quote.deposit, Some(Decimal::ZERO));
    assert_eq!(quote.script, "list + a-rush + z-guide");
}

#[test]
fn a_quote_by_several_scripts_names_the_digest_of_their_list() {
    let prices = Prices::of([pricing("list", LIST), pricing("rush", RUSH)]);
    let quote = prices.price(&JobFacts::in_order()).unwrap().unwrap();
    assert_eq!(quote.digest, digest_of(prices.listed().as_bytes()));
    assert_eq!(quote.deposit, Some(Decimal::new(7250, 2)), "half of 145.00, the rush with it");
    let named = Prices::read_list(prices.listed().as_bytes()).unwrap();
    let digest = |source: &str| digest_of(source.as_bytes());
    assert_eq!(named, [(digest(LIST), "list".to_owned()), (digest(RUSH), "rush".to_owned())]);
    assert_eq!(Prices::read_list(LIST.as_bytes()), None);
    // One alone is named as ever.
    let alone = Prices::of([pricing("list", LIST)]);
    assert_eq!(alone.price(&JobFacts::in_order()).unwrap().unwrap().digest, digest(LIST));
    assert!(Prices::of([pricing("rush", RUSH)]).price(&JobFacts::in_order()).unwrap().is_none());
}

#[test]
fn an_adjustment_below_nothing_or_without_end_is_refused() {
    let much = "fn adjust(job, lines) { [#{ what: \"gift\", amount: -1000 }] }";
    let failure = Prices::of([pricing("list", LIST), pricing("gift", much)])
        .price(&JobFacts::in_order())
        .unwrap_err();
    assert!(failure.words.contains("below nothing") && failure.script == "gift", "{failure}");
    let long = "fn adjust(job, lines) { let all = []; for i in 0..59 { all += #{ what: `${i}`, amount: 1 }; } all }";
    let failure = Prices::of([pricing("list", LIST), pricing("long", long)])
        .price(&JobFacts::in_order())
        .unwrap_err();
    assert!(failure.words.contains("61 lines"), "{failure}");
}

#[test]
fn the_examples_of_an_adjustment_say_what_the_price_list_gave() {
    let source = format!(
        "{RUSH} {}",
        r#"fn cases() { [
            #{ name: "the usual", total: 144 },
            #{ name: "said", lines: [#{ what: "cleaning", amount: 200 }, #{ what: "jaw", amount: 25 }], total: 265 },
            #{ name: "wrong", lines: [#{ what: "jaw", amount: 25 }], total: 30 },
        ] }"#
    );
    let wrong: Vec<bool> = cases(Kind::Pricing, &source).iter().map(|case| !case.holds()).collect();
    assert_eq!(wrong, [false, false, true]);
}

#[test]
fn a_shop_without_cents_rounds_to_whole_money() {
    let sandbox = sandbox();
    let source = r#"fn price(job) { [#{ what: "a", amount: 1234.5 }] }"#;
    let script = Script::compile(&sandbox, Kind::Pricing, "yen", source).unwrap();
    let pricing = Pricing::new(script).unwrap().with_places(0);
    assert_eq!(pricing.price(&JobFacts::in_order()).unwrap().total, Decimal::from(1235));
}

#[test]
fn a_quote_of_the_wrong_shape_is_refused() {
    for (body, part) in [
        ("12", "a list of lines"),
        ("[12]", "line 1 of the quote"),
        (r#"[#{ what: "a" }]"#, "`amount` is missing"),
        ("[#{ amount: 1 }]", "`what` is missing"),
        (r#"[#{ what: "a", amount: 1, amuont: 2 }]"#, "amuont"),
        (r#"[#{ what: "", amount: 1 }]"#, "1 to 80"),
        (r#"[#{ what: "a\nb", amount: 1 }]"#, "single plain line"),
        (r#"[#{ what: "a", amount: "lots" }]"#, "lots"),
        (r#"[#{ what: "a", amount: -0.01 }]"#, "below nothing"),
    ] {
        let failure = price(body).unwrap_err();
        assert!(failure.words.contains(part), "{body}: {failure}");
    }
}

#[test]
fn a_script_is_only_taken_for_what_it_is() {
    let sandbox = sandbox();
    let source = "fn price(job) { [] }";
    let wrong = Script::compile(&sandbox, Kind::Stages, "x", source).unwrap_err();
    assert!(wrong.words.contains("fn check(job, act)"), "{wrong}");
    let pricing = Script::compile(&sandbox, Kind::Pricing, "x", source).unwrap();
    assert!(Stages::new(pricing).is_err());
    let wrong = Script::compile(&sandbox, Kind::Pricing, "x", "fn price(a, b) { [] }").unwrap_err();
    assert!(wrong.words.contains("fn price(job)"), "{wrong}");
}

#[test]
fn a_rule_says_nothing_a_remark_or_no() {
    assert!(matches!(rule("()"), Ruling::Fine { .. }));
    assert!(matches!(rule("if false { 1 }"), Ruling::Fine { .. }));
    let remark = rule(r#"#{ remark: "look again" }"#);
    assert!(matches!(remark, Ruling::Remark { .. }));
    let no = rule(r#"#{ no: "wrap first" }"#);
    assert!(matches!(no, Ruling::No { .. }));
    assert_eq!(
        (remark.words(), no.words(), no.rule()),
        (Some("look again"), Some("wrap first"), "r")
    );
    assert_eq!(no.digest().len(), 64);
}

#[test]
fn a_rule_may_answer_a_list_and_every_reason_of_it_is_said() {
    let body =
        r#"[#{ no: "inspect it first" }, (), #{ no: "20.00 owed" }, #{ remark: "call first" }]"#;
    let stages = stages("r", &format!("fn check(job, act) {{ {body} }}"));
    let all = stages.check_all(&JobFacts::in_order(), &VerbFacts::of("ship"));
    let words: Vec<Option<&str>> = all.iter().map(Ruling::words).collect();
    assert_eq!(words, [Some("inspect it first"), Some("20.00 owed"), Some("call first")]);
    assert!(matches!(all[2], Ruling::Remark { .. }));
    let one = stages.check(&JobFacts::in_order(), &VerbFacts::of("ship"));
    assert!(matches!(&one, Ruling::No { words, .. } if words == "inspect it first 20.00 owed"));
    assert!(matches!(rule("[]"), Ruling::Fine { .. }));
    assert!(matches!(rule("[(), ()]"), Ruling::Fine { .. }));
    for body in ["[1]", "[#{ no: \"a\" }, #{ on: \"b\" }]", "[[#{ no: \"a\" }]]"] {
        assert!(matches!(rule(body), Ruling::NotChecked(_)), "{body}");
    }
    let many = "let all = []; for n in 0..13 { all.push(#{ no: `reason ${n}` }); } all";
    assert!(matches!(rule(many), Ruling::NotChecked(_)));
}

#[test]
fn a_rule_of_the_wrong_shape_is_not_checked_rather_than_fine() {
    for body in [
        "true",
        "#{}",
        "#{ on: \"wrap\" }",
        "#{ no: 1 }",
        "#{ no: \"\" }",
        "#{ no: \"a\", remark: \"b\" }",
        "#{ no: \"a\\nb\" }",
        "let s = \"a\"; s.pad(161, 'a'); #{ no: s }",
        "loop {}",
        "1 / 0",
    ] {
        assert!(matches!(rule(body), Ruling::NotChecked(_)), "{body}");
    }
}

#[test]
fn rules_are_asked_in_order_and_one_that_fails_hides_no_other() {
    let rules = Rules::new(vec![
        stages("one", "fn check(job, act) { #{ remark: \"one\" } }"),
        stages("two", "fn check(job, act) { job.nothing }"),
        stages("three", "fn check(job, act) { #{ no: \"three\" } }"),
        stages("four", "fn plan(job) { [#{ step: \"simmer\", expect_minutes: 120 }] }"),
    ]);
    let rulings = rules.check(&JobFacts::in_order(), &VerbFacts::of("wash"));
    let names: Vec<&str> = rulings.iter().map(Ruling::rule).collect();
    assert_eq!(names, ["one", "two", "three"], "four only plans, so it is not asked");
    assert!(matches!(rulings[1], Ruling::NotChecked(_)));
    assert!(matches!(rulings[2], Ruling::No { .. }));
    let (steps, script) = rules.plan(&JobFacts::in_order()).unwrap().unwrap();
    assert_eq!(steps, [PlanStep { step: "simmer".to_owned(), expect_minutes: 120 }]);
    assert_eq!(script.name(), "four");
}

#[test]
fn a_plan_of_the_wrong_shape_is_refused() {
    for body in [
        "1",
        "[1]",
        "[#{ step: \"a\" }]",
        "[#{ step: \"a\", expect_minutes: -1 }]",
        "[#{ step: \"a\", expect_minutes: 1.5 }]",
        "[#{ step: \"\", expect_minutes: 1 }]",
        "[#{ step: \"a\", expect_minutes: 9223372036854775807 }]",
    ] {
        let plan = stages("p", &format!("fn plan(job) {{ {body} }}")).plan(&JobFacts::in_order());
        assert!(plan.is_err(), "{body}");
    }
}

#[test]
fn every_fact_reaches_the_script_under_its_own_name() {
    let job = JobFacts { owed: Decimal::new(125, 2), hold: None, ..JobFacts::in_order() };
    let act = VerbFacts {
        place: Some(PlaceFacts { kind: "pot".to_owned(), ..PlaceFacts::default() }),
        ..VerbFacts::of("in")
    };
    let json = serde_json::to_value((&job, &act)).unwrap();
    for (who, facts) in [("job", &json[0]), ("act", &json[1]), ("act.place", &json[1]["place"])] {
        for name in facts.as_object().unwrap().keys() {
            let source = format!("fn check(job, act) {{ let x = {who}.{name}; () }}");
            let ruling = stages("names", &source).check(&job, &act);
            assert!(matches!(ruling, Ruling::Fine { .. }), "{who}.{name}: {ruling:?}");
        }
    }
    let source =
        "fn check(job, act) { #{ remark: `${job.owed} ${job.hold == ()} ${act.place.kind}` } }";
    assert_eq!(stages("values", source).check(&job, &act).words(), Some("1.25 true pot"));
}

#[test]
fn the_page_for_script_writers_names_every_fact() {
    let page = include_str!("../../REFERENCE.md");
    let place = PlaceFacts {
        bath: Some(BathFacts::default()),
        others: vec![Other::default()],
        ..PlaceFacts::default()
    };
    let act =
        VerbFacts { place: Some(place), adds: vec![Added::default()], ..VerbFacts::default() };
    let job = JobFacts { damage: vec![Damage::default()], ..JobFacts::default() };
    let mut names = Vec::new();
    collect_names(&serde_json::to_value((&job, &act)).unwrap(), &mut names);
    assert!(names.len() > 60, "{names:?}");
    for name in names {
        assert!(page.contains(&format!("`{name}`")), "{name} is not on the page");
    }
}

fn collect_names(value: &serde_json::Value, names: &mut Vec<String>) {
    if let Some(map) = value.as_object() {
        names.extend(map.keys().cloned());
        map.values().for_each(|inner| collect_names(inner, names));
    }
    value.as_array().into_iter().flatten().for_each(|inner| collect_names(inner, names));
}

#[test]
fn a_case_that_does_not_hold_says_what_came_out() {
    let results = cases(
        Kind::Pricing,
        r#"fn price(job) { [#{ what: "cleaning", amount: 10 }] }
           fn cases() { [
               #{ name: "right", total: 10 },
               #{ name: "wrong", total: "12.00" },
               #{ name: "mistyped", job: #{ gruop: "elk" }, total: 10 },
               #{ name: "wrong kind of value", job: #{ points: "eight" }, total: 10 },
               #{ name: "line", total: 10, line: "washing" },
               7,
           ] }"#,
    );
    let wrong: Vec<&str> = results.iter().map(|r| r.wrong.as_deref().unwrap_or("")).collect();
    assert_eq!(wrong[0], "");
    assert_eq!(wrong[1], "expected 12.00, got 10: cleaning 10");
    assert_eq!(wrong[2], "job: nothing is called `gruop` here; did you mean `group`?");
    assert!(wrong[3].starts_with("job: points: wants a whole number"), "{}", wrong[3]);
    assert_eq!(wrong[4], "expected 10 with \"washing\", got 10: cleaning 10");
    assert!(wrong[5].contains("a case"), "{}", wrong[5]);
}

#[test]
fn a_stage_case_that_does_not_hold_says_what_came_out() {
    let results = cases(
        Kind::Stages,
        r#"fn check(job, act) { if act.verb == "coat" { return #{ no: "dry it first" }; } }
           fn cases() { [
               #{ name: "right", act: #{ verb: "coat" }, expect: "no", words: "dry" },
               #{ name: "other words", act: #{ verb: "coat" }, expect: "no", words: "wet" },
               #{ name: "other ruling", act: #{ verb: "coat" }, expect: "fine" },
               #{ name: "no such ruling", act: #{ verb: "coat" }, expect: "nope" },
               #{ name: "no act", expect: "fine" },
           ] }"#,
    );
    let wrong: Vec<&str> = results.iter().map(|r| r.wrong.as_deref().unwrap_or("")).collect();
    assert_eq!(wrong[0], "");
    assert_eq!(wrong[1], "expected words with \"wet\", got \"dry it first\"");
    assert_eq!(wrong[2], "expected fine, got no: \"dry it first\"");
    assert!(wrong[3].contains("wants fine, remark or no"));
    assert!(wrong[4].contains("`act` is missing"));
}

#[test]
fn facts_survive_json_and_refuse_an_unknown_name() {
    let job = JobFacts::in_order();
    let text = serde_json::to_string(&job).unwrap();
    assert_eq!(serde_json::from_str::<JobFacts>(&text).unwrap(), job);
    assert!(serde_json::from_str::<JobFacts>(r#"{"gruop":"elk"}"#).is_err());
}
