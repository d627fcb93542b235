//! `verbs()`: what a rule is asked about, and that no rule falls silent by a slip in it.
#![cfg(test)]

use std::sync::Arc;
use std::time::Duration;

use burrline_host::{
    JobFacts, Kind, Limits, MonotonicClock, Rules, Ruling, Sandbox, Script, Stages, VerbFacts,
    run_cases,
};

const KNOWN: [&str; 4] = ["in", "out", "wash", "whiten"];

fn compiled(source: &str) -> Script {
    // A deadline that a busy machine does not reach.
    let limits = Limits { deadline: Duration::from_secs(10), ..Limits::default() };
    let sandbox = Arc::new(Sandbox::new(limits, Arc::new(MonotonicClock::start())));
    Script::compile(&sandbox, Kind::Stages, "rule", source).unwrap()
}

fn stages(source: &str) -> Stages {
    Stages::new(compiled(source)).unwrap()
}

fn said(stages: &Stages, verb: &str) -> Option<String> {
    let ruling = stages.check(&JobFacts::in_order(), &VerbFacts::of(verb));
    assert!(!matches!(ruling, Ruling::NotChecked(_)), "{ruling:?}");
    ruling.words().map(str::to_owned)
}

const SAYS_ALWAYS: &str = "fn check(job, act) { #{ remark: act.verb } }";

#[test]
fn a_rule_without_verbs_is_asked_about_every_act() {
    let rule = stages(SAYS_ALWAYS);
    assert_eq!(said(&rule, "wash").as_deref(), Some("wash"));
    assert_eq!(said(&rule, "a verb of next year").as_deref(), Some("a verb of next year"));
}

#[test]
fn a_rule_with_verbs_is_asked_about_these_alone() {
    let rule = stages(&format!("fn verbs() {{ [\"in\", \"wash\"] }} {SAYS_ALWAYS}"));
    assert_eq!(said(&rule, "wash").as_deref(), Some("wash"));
    assert_eq!(said(&rule, "out"), None);
    let rules = Rules::new(vec![rule, stages("fn plan(job) { [] }")]);
    assert!(rules.are_asked_about("in"));
    assert!(!rules.are_asked_about("out"));
    let ask = |verb| rules.check(&JobFacts::in_order(), &VerbFacts::of(verb)).len();
    assert_eq!((ask("in"), ask("out")), (1, 0));
}

#[test]
fn a_case_about_a_verb_that_is_left_out_fails() {
    let source = format!(
        "fn verbs() {{ [\"in\"] }} {SAYS_ALWAYS}
         fn cases() {{ [#{{ name: \"wash\", act: #{{ verb: \"wash\" }}, expect: \"remark\" }}] }}"
    );
    let results = run_cases(&compiled(&source)).unwrap();
    assert_eq!(results[0].wrong.as_deref(), Some("expected remark, got fine"));
}

#[test]
fn verbs_of_the_wrong_shape_are_refused() {
    for body in ["()", "\"in\"", "[]", "[1]", "[\"in\", ()]", "throw 1"] {
        let script = compiled(&format!("fn verbs() {{ {body} }} {SAYS_ALWAYS}"));
        let failure = Stages::new(script).unwrap_err();
        let said = if body == "throw 1" { "Runtime error: 1" } else { "verbs: " };
        assert!(failure.words.contains(said), "{body}: {failure}");
    }
}

#[test]
fn a_text_that_is_held_against_something_else_or_is_a_reason_names_no_verb() {
    let fits = |check: &str| {
        let rule = format!("fn verbs() {{ [\"in\"] }} fn check(job, act) {{ {check} }}");
        stages(&rule).verbs_fit(&KNOWN)
    };
    for check in [
        "if job.species == \"wash\" { #{ no: \"why\" } }",
        "if job.species in [\"wash\", \"deer\"] { #{ no: \"why\" } }",
        "if act.verb == \"in\" { #{ no: \"wash\" } }",
    ] {
        assert_eq!(fits(check).map_err(|failure| failure.words), Ok(()), "{check}");
    }
    for check in [
        "if act.verb == \"wash\" { #{ no: \"why\" } }",
        "let verb = act.verb; if !(verb == \"wash\") { #{ no: \"why\" } }",
        "if act.verb in [\"in\", \"wash\"] { #{ no: \"why\" } }",
        "let all = [\"wash\"]; if act.verb in all { #{ no: \"why\" } }",
    ] {
        let failure = fits(check).unwrap_err();
        assert!(failure.words.contains("\"wash\""), "{check}: {failure}");
    }
}

#[test]
fn a_word_that_is_no_verb_is_refused() {
    let rule = stages(&format!("fn verbs() {{ [\"in\", \"whitn\"] }} {SAYS_ALWAYS}"));
    assert!(rule.verbs_fit(&KNOWN).unwrap_err().words.contains("whitn"));
    assert_eq!(stages(SAYS_ALWAYS).verbs_fit(&KNOWN), Ok(()));
}

#[test]
fn a_verb_that_the_rules_name_and_the_list_leaves_out_is_refused() {
    for body in [
        "if act.verb == \"whiten\" { #{ no: \"x\" } }",
        "if act.verb in [\"in\", \"whiten\"] { #{ no: \"x\" } }",
        "if !(act.verb in [\"whiten\"]) { return; } #{ no: \"x\" }",
        "let it = #{ of: \"whiten\" }; if act.verb == it.of { #{ no: \"x\" } }",
        "switch act.verb { \"whiten\" => #{ no: \"x\" }, _ => () }",
        "is_white(act.verb); ()",
    ] {
        let rest = format!(
            "fn check(job, act) {{ {body} }}
             fn is_white(verb) {{ verb == \"white\" {more} }}",
            more = if body.starts_with("is_white") { "|| verb == \"whiten\"" } else { "" }
        );
        let narrow = stages(&format!("fn verbs() {{ [\"in\"] }} {rest}"));
        let failure = narrow.verbs_fit(&KNOWN).unwrap_err();
        assert!(failure.words.contains("\"whiten\""), "{body}: {failure}");
        let whole = stages(&format!("fn verbs() {{ [\"in\", \"whiten\"] }} {rest}"));
        assert_eq!(whole.verbs_fit(&KNOWN), Ok(()), "{body}");
    }
}

#[test]
fn what_only_the_cases_name_need_not_be_listed() {
    let rule = stages(
        "fn verbs() { [\"in\"] }
         fn check(job, act) { if act.verb == \"in\" { #{ no: \"x\" } } }
         fn cases() { [#{ name: \"a wash\", act: #{ verb: \"wash\" }, expect: \"fine\" }] }",
    );
    assert_eq!(rule.verbs_fit(&KNOWN), Ok(()));
}
