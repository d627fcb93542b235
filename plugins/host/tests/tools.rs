//! What an owner is told while writing a script: what looks wrong, why a price is what it is, and
//! what a new version changes.
#![cfg(test)]

use burrline_host::{
    JobFacts, Kind, Lint, PlaceFacts, VerbFacts, diff, lint, shipped, why_price, why_ruling,
};

fn lints(kind: Kind, source: &str) -> Vec<String> {
    let tell = |lint: Lint| match lint.line {
        Some(line) => format!("line {line}: {}", lint.words),
        None => lint.words,
    };
    let found = lint(kind, "mine", source.as_bytes()).unwrap();
    found.into_iter().map(tell).filter(|words| !words.contains("no examples")).collect()
}

#[track_caller]
fn one(kind: Kind, source: &str, part: &str) {
    let found = lints(kind, source);
    assert!(found.len() == 1 && found[0].contains(part), "wanted one with \"{part}\": {found:#?}");
}

const PRICE: &str = "\
fn price(job) {
    let rates = #{ deer: 120.00, elk: 210.00, moose: 290.00, bear: 165.00, hog: 150.00, small: 75.00,
        horned: 140.00, other: 130.00 };
    let lines = [#{ what: \"cleaning\", amount: rates[job.group] }];
    if job.arrival == \"skin-on\" { lines.push(#{ what: \"hide on\", amount: 30.00 }); }
    // HERE
    lines
}
";

#[test]
fn nothing_looks_wrong_in_a_shipped_script() {
    let mut all = Vec::new();
    for script in shipped() {
        for one in lint(script.kind, script.name, script.source.as_bytes()).unwrap() {
            all.push(format!("{} {:?}: {}", script.name, one.line, one.words));
        }
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
    assert_eq!(lints(Kind::Pricing, PRICE), Vec::<String>::new());
}

#[test]
fn a_price_line_that_can_never_be_reached_is_told() {
    let line = "if job.points > 4 && job.points < 3 { lines.push(#{ what: \"odd\", amount: 1 }); }";
    one(
        Kind::Pricing,
        &PRICE.replace("// HERE", &format!("if job.points != () {{ {line} }}")),
        "line 6: this price line was never reached",
    );
    one(
        Kind::Pricing,
        &format!("{PRICE}fn extra_price() {{ [1] }}"),
        "`extra_price` is never called",
    );
}

#[test]
fn a_species_without_a_price_is_told() {
    one(Kind::Pricing, &PRICE.replace("moose: 290.00, ", ""), "a plain moose");
    one(Kind::Pricing, &PRICE.replace("hog: 150.00", "hog: 0.00"), "costs nothing");
}

#[test]
fn a_total_below_nothing_is_told() {
    let line = "if job.jobs_on_ticket > 5 { lines.push(#{ what: \"thanks\", amount: -300.00 }); }";
    let found = lints(Kind::Pricing, &PRICE.replace("// HERE", line));
    assert!(found.iter().all(|words| words.contains("below nothing")), "{found:#?}");
    assert!(!found.is_empty());
}

#[test]
fn a_rule_that_can_never_pass_and_one_that_does_nothing_are_told() {
    let never = "fn check(job, act) {\n    if act.verb == \"coat\" && job.number != \"\" { return #{ no: \"wait.\" }; }\n}";
    one(Kind::Stages, never, "was refused for all");
    one(Kind::Stages, "fn check(job, act) { () }", "said nothing about any invented job");
    let sound = "fn check(job, act) {\n    if act.verb == \"coat\" && job.rack_hours == () { return #{ no: \"rack first.\" }; }\n}";
    assert_eq!(lints(Kind::Stages, sound), Vec::<String>::new());
}

#[test]
fn a_rule_that_fails_for_some_jobs_is_told_with_the_job() {
    let source = "fn check(job, act) {\n    if act.place.kind == \"pot\" { return #{ remark: \"hot.\" }; }\n}";
    let found = lints(Kind::Stages, source);
    assert!(found.iter().any(|words| words.contains("line 2: fails for some jobs")), "{found:#?}");
}

#[test]
fn a_price_says_why_line_by_line() {
    let job = JobFacts { arrival: "skin-on".to_owned(), ..JobFacts::in_order() };
    let why = why_price("mine", PRICE.as_bytes(), 2, &job, None).unwrap();
    assert_eq!(why.quote.total.to_string(), "150.00");
    let told: Vec<(u32, &[String])> = why.ran.iter().map(|ran| (ran.line, &*ran.made)).collect();
    assert_eq!(told, [(4, &["cleaning".to_owned()][..]), (5, &["hide on".to_owned()][..])]);
    assert_eq!(why.ran[1].read, [("job.arrival".to_owned(), "\"skin-on\"".to_owned())]);
}

#[test]
fn a_ruling_says_why_line_by_line() {
    let wrap = shipped().iter().find(|script| script.name == "wrap-first").unwrap();
    let job = JobFacts { wrapped: false, ..JobFacts::in_order() };
    let place = PlaceFacts { kind: "pot".to_owned(), ..PlaceFacts::default() };
    let act = VerbFacts { place: Some(place), ..VerbFacts::of("in") };
    let why = why_ruling(wrap.name, wrap.source.as_bytes(), &job, &act).unwrap();
    assert!(why.ruling.words().unwrap().contains("wrap"), "{why:#?}");
    let read: Vec<&str> =
        why.ran.iter().flat_map(|ran| &ran.read).map(|(name, _)| name.as_str()).collect();
    assert!(read.contains(&"job.wrapped") && read.contains(&"act.verb"), "{read:?}");
    let line = why.answered_at.unwrap();
    let code = wrap.source.lines().nth(usize::try_from(line).unwrap() - 1).unwrap();
    assert!(code.contains("no:"), "line {line}: {code}");
}

#[test]
fn two_versions_are_compared_in_words() {
    let new = PRICE.replace("elk: 210.00", "elk: 225.00").replace(
        "// HERE",
        "if job.arrival == \"rotten\" { lines.push(#{ what: \"rotten\", amount: 40.00 }); }",
    );
    let found = diff(Kind::Pricing, ("old", PRICE.as_bytes()), ("new", new.as_bytes())).unwrap();
    assert_eq!(found.text.len(), 2, "{found:#?}");
    assert_eq!(found.text[0], "In `price`, elk was 210.00 and is 225.00 (+15.00).");
    assert!(found.text[1].starts_with("In `price`, line 6 is new: `if job.arrival"), "{found:#?}");
    assert_eq!(found.effect[0], "a plain elk: 210.00 becomes 225.00 (+15.00).");
    assert!(
        found
            .effect
            .iter()
            .any(|words| words.contains("arrival \"rotten\"") && words.contains("(+40.00)")),
        "{found:#?}"
    );
    let same = diff(Kind::Pricing, ("old", PRICE.as_bytes()), ("new", PRICE.as_bytes())).unwrap();
    assert!(same.text.is_empty() && same.effect.is_empty());
}

#[test]
fn two_versions_of_a_rule_are_compared_in_words() {
    let old = "fn check(job, act) {\n    if act.verb == \"coat\" && job.rack_hours != () && job.rack_hours < 24 { return #{ no: \"wait.\" }; }\n}";
    let new = old.replace("24", "48");
    let found = diff(Kind::Stages, ("old", old.as_bytes()), ("new", new.as_bytes())).unwrap();
    assert_eq!(found.text, ["In `check`, rack_hours was 24 and is 48 (+24)."]);
    assert!(
        found.effect.iter().any(|words| words.contains("fine becomes no \"wait.\"")),
        "{found:#?}"
    );
}
