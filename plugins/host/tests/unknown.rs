//! Not checked is not yes: a rule that went by something nobody said is told with it.
#![cfg(test)]

use std::sync::Arc;

use burrline_host::{
    JobFacts, Kind, PlaceFacts, Pricing, Ruling, Sandbox, Script, Stages, VerbFacts,
    compile_shipped, run_cases,
};

fn rule(source: &str) -> Stages {
    let script = Script::compile(&Arc::new(Sandbox::default()), Kind::Stages, "mine", source);
    Stages::new(script.unwrap()).unwrap()
}

/// What a rule says of a coat, line by line.
fn said(source: &str, job: &JobFacts) -> Vec<String> {
    let rulings = rule(source).check_all(job, &VerbFacts::of("coat"));
    let said = rulings.iter().map(|ruling| match ruling {
        Ruling::Fine { .. } => "fine".to_owned(),
        Ruling::NotChecked(failure) => failure.to_string(),
        Ruling::Remark { words, .. } => format!("remark: {words}"),
        Ruling::No { words, .. } => format!("no: {words}"),
    });
    said.collect()
}

const DRY: &str =
    "fn check(job, act) {\n    if job.rack_hours < 48 { return #{ no: \"dry it.\" }; }\n}";

#[test]
fn a_comparison_with_what_nobody_said_is_not_checked() {
    let unsaid = JobFacts { rack_hours: None, ..JobFacts::in_order() };
    assert_eq!(
        said(DRY, &unsaid),
        ["mine, line 2, column 23: `rack_hours` (whole hours on the rack) is not known"]
    );
    let said_so = |hours| JobFacts { rack_hours: Some(hours), ..JobFacts::in_order() };
    assert_eq!(said(DRY, &said_so(48)), ["fine"]);
    assert_eq!(said(DRY, &said_so(47)), ["no: dry it."]);
}

#[test]
fn what_was_asked_for_first_is_checked() {
    let unsaid = JobFacts { rack_hours: None, grams: None, ..JobFacts::in_order() };
    for body in [
        "if job.rack_hours != () && job.rack_hours < 48 { return #{ no: \"dry it.\" }; }",
        "if job.rack_hours == () { return; } if job.rack_hours < 48 { return #{ no: \"dry it.\" }; }",
        "let hours = job.rack_hours ?? 100; if hours < 48 { return #{ no: \"dry it.\" }; }",
        "if job.heat_minutes > 500 && job.grams > 3 { return #{ no: \"heavy.\" }; }",
        // Unknown, and yet asked about nothing but that.
        "if job.rack_hours == 3 { return #{ no: \"dry it.\" }; }",
        "switch job.rack_hours { () => (), _ => #{ no: \"dry it.\" } }",
    ] {
        let source = format!("fn check(job, act) {{ {body} }}");
        assert_eq!(said(&source, &unsaid), ["fine"], "{body}");
    }
}

#[test]
fn a_figure_is_named_also_where_a_helper_compares_it_and_beside_what_is_known() {
    let unsaid = JobFacts { rack_hours: None, grams: None, ..JobFacts::in_order() };
    let source = "fn check(job, act) {
        let all = [#{ no: \"never.\" }];
        if short(job.rack_hours) { all.push(#{ no: \"dry it.\" }); }
        all
    }
    fn short(hours) { hours < 48 }";
    assert_eq!(
        said(source, &unsaid),
        [
            "no: never.",
            "mine, line 6, column 29: `rack_hours` (whole hours on the rack) is not known"
        ]
    );
    // In one answer the objection comes first.
    let both = rule(source).check(&unsaid, &VerbFacts::of("coat"));
    assert!(matches!(both, Ruling::No { .. }), "{both:?}");
    let two = "fn check(job, act) { if job.rack_hours < 48 || job.grams > job.points {} }";
    let told = said(two, &JobFacts { points: None, ..unsaid });
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].contains("`rack_hours`") && told[1].contains("`grams`"), "{told:?}");
}

#[test]
fn a_figure_of_the_act_is_named_too() {
    let source = "fn check(job, act) { if act.place.bath == () || act.place.bath.celsius > 50 {} }";
    let place =
        PlaceFacts { bath: Some(burrline_host::BathFacts::default()), ..PlaceFacts::default() };
    let act = VerbFacts { place: Some(place), ..VerbFacts::of("in") };
    let Ruling::NotChecked(failure) = rule(source).check(&JobFacts::in_order(), &act) else {
        panic!("it was checked");
    };
    assert!(failure.words.starts_with("`celsius` (") && failure.column.is_some(), "{failure}");
}

#[test]
fn a_money_rule_sees_a_head_without_a_price_as_that() {
    let source = "fn check(job, act) {\n    if act.verb == \"coat\" && job.owed > 0 { return #{ no: \"pay.\" }; }\n}";
    let unpriced = JobFacts { quoted: None, price_said: false, ..JobFacts::in_order() };
    assert_eq!(
        said(source, &unpriced),
        ["mine, line 2, column 34: no price was said for this head, so what is owed is not known"]
    );
    assert_eq!(said(source, &JobFacts::in_order()), ["fine"]);
    // A rule that does not come to the money has nothing to say of it.
    let later = source.replace("\"coat\"", "\"ship\"");
    assert_eq!(said(&later, &unpriced), ["fine"]);
}

#[test]
fn prices_are_what_they_were_and_shipped_rules_ask_first() {
    // A quote stands as it was heard, so a price says no more than before.
    let source = "fn price(job) { if job.rack_hours < 48 { [] } else { [#{ what: \"cleaning\", amount: 1 }] } }";
    let script = Script::compile(&Arc::new(Sandbox::default()), Kind::Pricing, "p", source);
    let pricing = Pricing::new(script.unwrap()).unwrap();
    let unsaid = JobFacts { rack_hours: None, ..JobFacts::in_order() };
    assert_eq!(pricing.price(&unsaid).unwrap().lines.len(), 1);
    for script in compile_shipped(&Arc::new(Sandbox::default())).unwrap() {
        for case in run_cases(&script).unwrap() {
            assert!(case.holds(), "{}: {} {:?}", script.name(), case.name, case.wrong);
        }
    }
}
