//! What looks odd in a script as it is written, each with its line and column, and nothing odd in
//! what is right.
#![cfg(test)]

use std::sync::Arc;

use burrline_host::{Kind, Known, Names, Sandbox, Script, Stages, lint, lint_for, shipped};

/// What is odd in a rule, without what is told of every rule that has no examples.
fn odd(source: &str) -> Vec<String> {
    told(source, &Known::default())
}

fn told(source: &str, known: &Known) -> Vec<String> {
    let found = lint_for(Kind::Stages, "mine", source.as_bytes(), known).unwrap();
    let place = |n: Option<u32>| n.map(|n| n.to_string()).unwrap_or_default();
    found
        .into_iter()
        .filter(|one| !one.words.contains("no examples"))
        .map(|one| format!("{}:{} {}", place(one.line), place(one.column), one.words))
        .collect()
}

/// A rule that says something, with a line of its own in it.
fn rule(line: &str) -> String {
    format!(
        "fn check(job, act) {{\n    {line}\n    if job.heat_minutes > 100 {{ return #{{ remark: \"warm.\" }}; }}\n}}"
    )
}

#[track_caller]
fn told_of(line: &str, at: &str, part: &str) {
    let found = odd(&rule(line));
    assert!(
        found.iter().any(|words| words.starts_with(at) && words.contains(part)),
        "{line}: wanted {at} with \"{part}\": {found:#?}"
    );
}

#[track_caller]
fn not_told_of(line: &str) {
    assert_eq!(odd(&rule(line)), Vec::<String>::new(), "{line}");
}

#[test]
fn a_condition_that_asks_nothing_is_told() {
    told_of("if true { return; }", "2:8", "the same for every job");
    told_of("if 3 > 2 { return; }", "2:8", "the same for every job");
    told_of("if job.papers && 1 == 1 { return; }", "2:22", "the same for every job");
    told_of("if job.tag == job.tag { return; }", "2:8", "both sides are the same");
    told_of(
        "if job.group != \"deer\" || job.group != \"elk\" { return; }",
        "2:31",
        "always true, as `job.group` cannot be \"deer\" and \"elk\" at once: is `&& (and)` meant?",
    );
    told_of("if job.group == \"deer\" && job.group == \"elk\" { return; }", "2:31", "never true");
    for right in [
        "if job.group == \"deer\" || job.group == \"elk\" { return; }",
        "if job.group != \"deer\" && job.group != \"elk\" { return; }",
        "if job.group == \"deer\" && job.jaw == \"whole\" { return; }",
        "let n = 0; while true { n += 1; if n > 3 { break; } }",
        "if job.wishes.jaw == job.wishes.nose { return; }",
    ] {
        not_told_of(right);
    }
}

#[test]
fn an_assignment_without_effect_is_told() {
    told_of("let most = 3; most == job.points;", "2:19", "`==` compares");
    told_of("let most = 3; most + job.heat_minutes; most += 1;", "2:19", "forgotten");
    told_of("let most = 3;", "2:9", "`most` is set and then never used");
    told_of("let most = 3; most = 4; most += 1;", "2:9", "`most` is set and then never used");
    told_of("let all = []; all.push(3);", "2:9", "`all` is set and then never used");
    told_of(
        "let most = 3; most = most; if most > job.heat_minutes { return; }",
        "2:19",
        "to itself",
    );
    told_of("job.group = \"elk\";", "2:5", "seen by this script alone");
    told_of("for step in job.steps { step.verb; }", "2:29", "forgotten");
    for right in [
        "let most = 3; if most > job.heat_minutes { return; }",
        "let all = []; all.push(3); if all.len() > job.heat_minutes { return; }",
        "let n = 0; for step in job.steps { n += 1; } if n > 100 { return; }",
        "let own = #{}; own.x = job.tag; if own.x == \"\" { return; }",
        "let x = if job.papers { 1 } else { 2 }; if x > job.heat_minutes { return; }",
    ] {
        not_told_of(right);
    }
    let last = "fn limit(job) { let n = 2; if job.papers { n } else { n * 2 } }";
    let rule = rule("if limit(job) > job.heat_minutes { return; }");
    assert_eq!(odd(&format!("{rule}\n{last}")), Vec::<String>::new());
}

#[test]
fn in_on_a_text_is_told() {
    told_of("if \"deer\" in job.species { return; }", "2:8", "finds parts of words");
    told_of("if job.group in \"deer elk\" { return; }", "2:8", "finds parts of words");
    told_of(
        "for one in job.damage { if \"tooth\" in one.what { return; } }",
        "2:32",
        "finds parts of words",
    );
    told_of("let s = job.species; if \"deer\" in s { return; }", "2:29", "finds parts of words");
    for right in [
        "if job.species.contains(\"deer\") { return; }",
        "if \"nose\" in job.pieces_said { return; }",
        "if job.group in [\"deer\", \"elk\"] { return; }",
        "let most = #{ deer: 1 }; if job.group in most { return; }",
        "if \"units\" in job.settings { return; }",
    ] {
        not_told_of(right);
    }
}

fn names(what: &'static str, all: &[&str]) -> Names {
    Names { what, all: all.iter().map(|name| (*name).to_owned()).collect(), complete: true }
}

#[test]
fn names_that_the_shop_does_not_have_are_told() {
    let known = Known {
        species: names("animal", &["whitetail", "red fox"]),
        places: names("place", &["pot-1", "tub-1"]),
        ..Known::default()
    };
    let one = |line: &str| told(&rule(line), &known);
    for (line, wanted) in [
        (
            "if job.species == \"whitetial\" { return; }",
            "2:23 the shop has no animal \"whitetial\"; did you mean \"whitetail\"?",
        ),
        (
            "if job.species in [\"red fox\", \"kudu\"] { return; }",
            "2:35 the shop has no animal \"kudu\", so",
        ),
        (
            "if act.place != () && act.place.name == \"pot-2\" { return; }",
            "2:45 the shop has no place \"pot-2\"",
        ),
        (
            "for water in job.waters { if water.place == \"tbu-1\" { return; } }",
            "2:49 the shop has no place \"tbu-1\"; did you mean \"tub-1\"?",
        ),
        (
            "if act.verb == \"whitn\" { return; }",
            "2:20 the shop has no verb \"whitn\"; did you mean \"whiten\"?",
        ),
        (
            "for step in job.steps { if step.verb == \"degreese\" || step.verb == \"insepct\" { return; } }",
            "2:72 the shop has no verb \"insepct\"; did you mean \"inspect\"?",
        ),
    ] {
        let found = one(line);
        assert!(found.iter().any(|words| words.starts_with(wanted)), "{line}: {found:#?}");
    }
    for right in [
        "if job.species == \"red fox\" { return; }",
        "if act.verb == \"whiten\" && job.papers { return; }",
        "if act.place != () && act.place.name == \"tub-1\" { return; }",
        "if act.place != () && act.place.kind == \"tub\" { return; }",
        "if job.species == \"\" { return; }",
    ] {
        assert_eq!(one(right), Vec::<String>::new(), "{right}");
    }
    // A shop of which nothing is known may have any animal.
    not_told_of("if job.species == \"kudu\" { return; }");
}

#[test]
fn a_truth_that_is_compared_with_a_number_or_a_text_is_told() {
    told_of("if job.papers == 1 { return; }", "2:19", "write `if x`");
    told_of("if job.wrapped > 0 { return; }", "2:20", "write `if x`");
    told_of("if job.papers == \"yes\" { return; }", "2:19", "write `if x`");
    not_told_of("if job.papers == true { return; }");
}

#[test]
fn a_verb_that_the_list_leaves_out_is_told_with_its_place_and_the_trail_is_not_asked_about() {
    let fit = |source: &str| {
        let script = Script::compile(&Arc::new(Sandbox::default()), Kind::Stages, "mine", source);
        Stages::new(script.unwrap()).unwrap().verbs_fit(&["in", "wash", "whiten"])
    };
    let list = "fn verbs() { [\"in\"] }\n";
    let left = |body: &str| fit(&format!("{list}fn check(job, act) {{\n    {body}\n}}"));
    let failure = left("if act.verb == \"whiten\" { return #{ no: \"no.\" }; }").unwrap_err();
    assert_eq!((failure.line, failure.column), (Some(3), Some(20)), "{failure}");
    let failure = left("switch act.verb { \"whiten\" => #{ no: \"no.\" }, _ => () }").unwrap_err();
    assert_eq!((failure.line, failure.column), (Some(3), Some(23)), "{failure}");
    let failure = fit("fn verbs() { [\"in\", \"whitn\"] }\nfn check(job, act) { () }").unwrap_err();
    assert_eq!((failure.line, failure.column), (Some(1), Some(21)), "{failure}");
    // What was washed before is read off the trail, and needs no question at a wash.
    assert_eq!(left("for step in job.steps { if step.verb == \"wash\" { return; } }"), Ok(()));
    assert_eq!(
        left("for s in job.steps { if s.verb in [\"wash\", \"whiten\"] { return; } }"),
        Ok(())
    );
}

#[test]
fn nothing_is_odd_in_what_is_shipped_and_all_that_is_told_has_a_place() {
    for script in shipped() {
        let found = lint(script.kind, script.name, script.source.as_bytes()).unwrap();
        assert!(found.is_empty(), "{}: {found:#?}", script.name);
    }
}
