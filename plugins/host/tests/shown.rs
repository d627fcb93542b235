//! Facts are no map, and yet a script may do with them all that it may do with a map.
#![cfg(test)]

use std::sync::Arc;

use burrline_host::{
    JobFacts, Kind, PlaceFacts, Pricing, Ruling, Sandbox, Script, Stages, Step, VerbFacts,
    patiently,
};
use rust_decimal::Decimal;

/// What a script's body comes to for the job in order, as a line of a price says it.
fn said(body: &str) -> Result<String, String> {
    let source = format!(
        "fn price(job) {{ let x = of(job); [#{{ what: `${{x}}`, amount: 1 }}] }}\nfn of(job) {{ {body} }}"
    );
    let script = Script::compile(&Arc::new(Sandbox::default()), Kind::Pricing, "shown", &source);
    let pricing = Pricing::new(script.map_err(|failure| failure.words)?).unwrap();
    let quote = patiently(|| pricing.price(&JobFacts::in_order()));
    let quote = quote.map_err(|failure| failure.to_string())?;
    Ok(quote.lines[0].what.clone())
}

#[test]
fn facts_are_read_written_compared_and_shown_as_a_map_is() {
    for (body, wanted) in [
        // Read.
        ("job.group", "deer"),
        (r#"job["group"]"#, "deer"),
        (r#"let n = "gro" + "up"; job[n]"#, "deer"),
        (r#"job.get("group")"#, "deer"),
        ("job.season.year", "2025"),
        (r#"job.settings["currency"]"#, "USD"),
        ("job.settings.currency", "USD"),
        ("job.steps[1].verb", "papers"),
        ("job.steps[-1].hand", "ines"),
        // Asked.
        (r#"["group" in job, "gruop" in job, job.contains("tag")]"#, "[true, false, true]"),
        (r#"["zone" in job.settings, !("units" in job.settings)]"#, "[true, true]"),
        ("[job == (), job != (), () == job.wishes]", "[false, true, false]"),
        ("[job == job, job.wishes != job.wishes, job.steps == job.steps]", "[true, false, true]"),
        ("[job.steps[0] == job.steps[1], job.season == job.wishes]", "[false, false]"),
        ("[job.season == #{ year: 2025, jobs_so_far: 40, open_jobs: 30 }]", "[true]"),
        ("[#{ year: 1, jobs_so_far: 40, open_jobs: 30 } == job.season]", "[false]"),
        ("#{ year: 2025, jobs_so_far: 40, open_jobs: 30 } in [job.season]", "true"),
        ("type_of(job.season)", "map"),
        // Gone through.
        ("job.season.keys()", r#"["jobs_so_far", "open_jobs", "year"]"#),
        ("job.season.values()", "[40, 30, 2025]"),
        ("[job.season.len(), job.season.is_empty()]", "[3, false]"),
        ("job.keys().len() > 60", "true"),
        ("let n = 0; for step in job.steps { n += step.hours_ago; } n", "1380"),
        (
            "job.steps.filter(|s| s.hand == \"ines\").map(|s| s.verb)",
            r#"["take-in", "papers", "inspect"]"#,
        ),
        ("job.steps.some(|s| s.verb == \"flesh\")", "true"),
        ("job.season.filter(|name, n| n > 100)", r#"#{"year": 2025}"#),
        // Shown.
        ("job.season", r#"#{"jobs_so_far": 40, "open_jobs": 30, "year": 2025}"#),
        ("`${job.season}`", r#"#{"jobs_so_far": 40, "open_jobs": 30, "year": 2025}"#),
        ("\"a \" + job.season", r#"a #{"jobs_so_far": 40, "open_jobs": 30, "year": 2025}"#),
        (
            "job.steps[6]",
            r#"#{"hand": "ines", "hours_ago": 2, "piece": "skull", "verb": "inspect"}"#,
        ),
        // Changed: only for who changes it.
        ("job.group = \"elk\"; job.group", "elk"),
        ("let other = job; other.group = \"elk\"; [job.group, other.group]", r#"["deer", "elk"]"#),
        ("change(job); job.group } fn change(job) { job.group = \"elk\";", "deer"),
        ("job.season.year = 1; [job.season.year, job.season.open_jobs]", "[1, 30]"),
        ("job.season.year += 1; job.season.year", "2026"),
        ("job.mine = 3; job.mine + job.heat_minutes", "123"),
        ("job[\"mine\"] = 3; job.mine", "3"),
        ("job.worked_by.push(\"ann\"); job.worked_by", r#"["tom", "ann"]"#),
        ("job.steps.pop(); job.steps.len()", "6"),
        ("job.steps.len(); job.worked_by.len(); job.group", "deer"),
        ("let s = job.season; s.remove(\"year\"); s", r#"#{"jobs_so_far": 40, "open_jobs": 30}"#),
        ("let s = job.season; s += #{ year: 3 }; s.year", "3"),
        ("(job.season + #{ more: 1 }).len()", "4"),
        ("(#{ more: 1 } + job.season).len()", "4"),
        ("let s = job.season; s.set(\"year\", 4); s.year", "4"),
        ("let s = job.season; s.clear(); s.len()", "0"),
        ("let s = #{}; s.mixin(job.season); s.year", "2025"),
    ] {
        assert_eq!(said(body).as_deref(), Ok(wanted), "{body}");
    }
}

#[test]
fn a_name_that_is_not_there_is_an_error_with_its_place_and_the_nearest_name() {
    for (body, near) in [
        ("job.gruop", "group"),
        (r#"job["gruop"]"#, "group"),
        (r#"job.get("gruop")"#, "group"),
        ("job.wishes.jaws", "jaw"),
        ("job.steps[0].hnad", "hand"),
        ("job.settings.curency", "currency"),
    ] {
        let words = said(body).unwrap_err();
        assert!(words.starts_with("shown, line 2, column "), "{body}: {words}");
        assert!(words.ends_with(&format!("; did you mean `{near}`?")), "{body}: {words}");
    }
    let words = said("job.nothing_like_it").unwrap_err();
    assert!(words.ends_with("Property not found: nothing_like_it"), "{words}");
    // What was changed is a map, and no milder.
    assert!(said("job.group = \"elk\"; job.gruop").unwrap_err().contains("gruop"));
}

#[test]
fn a_full_shelf_is_not_too_much_for_a_rule() {
    let source = "fn check(job, act) {
        if act.place.others.len() > 300 { return #{ remark: `${act.place.others.len()} are here` }; }
    }";
    let script = Script::compile(&Arc::new(Sandbox::default()), Kind::Stages, "full", source);
    let rule = Stages::new(script.unwrap()).unwrap();
    let others = vec![burrline_host::Other::default(); 400];
    let place = PlaceFacts { others, litres: Some(Decimal::ONE), ..PlaceFacts::default() };
    let act = VerbFacts { place: Some(place), ..VerbFacts::of("in") };
    let steps = vec![Step::default(); 60];
    // What is too much is told by the count of operations, and by no clock of a busy machine.
    let ruling = patiently(|| rule.check(&JobFacts { steps, ..JobFacts::in_order() }, &act));
    assert_eq!(ruling.words(), Some("400 are here"), "{ruling:?}");
    assert!(matches!(ruling, Ruling::Remark { .. }));
}
