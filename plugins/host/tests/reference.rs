//! The pages for owners say what the code does, every example on them is run, and no name ever goes.
#![cfg(test)]

use std::path::{Path, PathBuf};
use std::sync::Arc;

use burrline_host::{
    FACTS_VERSION, JobFacts, Kind, Pricing, Sandbox, Script, definitions, facts_listed, helpers,
    language, reference,
};

fn plugins() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Compares a file with what it must be; `RENEW=1` writes it instead.
#[track_caller]
fn stands_as(file: &str, wanted: &str) {
    let path = plugins().join(file);
    if std::env::var_os("RENEW").is_some() {
        std::fs::write(&path, wanted).unwrap();
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        found == wanted,
        "plugins/{file} is not what the code says any more; renew it: \
         RENEW=1 cargo test -p burrline-host --test reference"
    );
}

#[test]
fn the_reference_is_what_the_code_says() {
    stands_as("REFERENCE.md", &reference());
}

#[test]
fn the_definition_file_is_what_the_code_says() {
    stands_as("burrline.d.rhai", &definitions());
}

/// What `code` gives inside a script, compared there with what it should give.
fn gives(sandbox: &Arc<Sandbox>, code: &str, wanted: &str) -> Result<(), String> {
    let source =
        format!("fn got() {{ {code} }} fn wanted() {{ {wanted} }} fn price(job) {{ {SAME} }}");
    let script = Script::compile(sandbox, Kind::Pricing, "example", &source);
    let script = script.map_err(|failure| failure.words)?;
    let pricing = Pricing::new(script).map_err(|failure| failure.words)?;
    match pricing.price(&JobFacts::in_order()) {
        Ok(_) => Ok(()),
        Err(failure) => Err(failure.words),
    }
}

/// Ends with a failure that shows both values if they differ.
const SAME: &str = "let g = got(); let w = wanted(); \
     if `${g}` != `${w}` || g != w { throw `gives ${g}, not ${w}`; } []";

#[test]
fn every_example_of_every_function_gives_what_the_reference_says() {
    let sandbox = Arc::new(Sandbox::default());
    for function in helpers() {
        assert!(!function.examples.is_empty(), "{} has no example", function.call);
        for (call, wanted) in function.examples {
            assert!(call.contains(function.name()), "{call} does not call {}", function.name());
            match wanted.strip_prefix("error: ") {
                Some(words) => {
                    let words = words.replace("\\\"", "\"");
                    let why = gives(&sandbox, call, "0").unwrap_err();
                    assert!(why.contains(&words), "{call}: {why}, not {words}");
                }
                None => assert_eq!(gives(&sandbox, call, wanted), Ok(()), "{call}"),
            }
        }
    }
}

#[test]
fn every_line_about_the_language_gives_what_the_reference_says() {
    let sandbox = Arc::new(Sandbox::default());
    for phrase in language() {
        assert_eq!(gives(&sandbox, phrase.code, phrase.gives), Ok(()), "{}", phrase.code);
    }
    assert!(gives(&sandbox, "1", "2").is_err(), "examples that are wrong must be seen");
}

#[test]
fn every_name_that_is_documented_is_there_and_a_name_beside_it_is_an_error() {
    let sandbox = Arc::new(Sandbox::default());
    let plain = facts_listed();
    let names = plain.iter().filter_map(|line| line.split(' ').next());
    let of_the_job = names.filter(|name| name.starts_with("job.") && !name.contains("[]"));
    for name in of_the_job {
        let price = |source: String| {
            let script = Script::compile(&sandbox, Kind::Pricing, "names", &source).unwrap();
            Pricing::new(script).unwrap().price(&JobFacts::in_order())
        };
        let read = |name: &str| price(format!("fn price(job) {{ let x = {name}; [] }}"));
        assert!(read(name).is_ok(), "{name}: {:?}", read(name));
        let why = read(&format!("{name}x")).unwrap_err();
        assert!(why.words.contains("not found") || why.words.contains("unknown"), "{name}x: {why}");
    }
}

/// What scripts saw in each version, for ever: `version name kind`, one a line.
#[test]
fn a_name_that_scripts_saw_once_is_there_for_ever() {
    let path = plugins().join("host/golden/facts.txt");
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    let kept: Vec<(&str, &str)> = kept.lines().filter_map(|line| line.split_once(' ')).collect();
    let now = facts_listed();
    for (version, name) in &kept {
        assert!(
            now.iter().any(|line| line == name),
            "version {version} had `{name}`: it must stay"
        );
        assert!(version.parse::<u32>().unwrap() <= FACTS_VERSION, "{version} is not out yet");
    }
    let new: Vec<String> = now
        .iter()
        .filter(|line| !kept.iter().any(|(_, name)| name == line))
        .map(|line| format!("{FACTS_VERSION} {line}"))
        .collect();
    assert!(
        new.is_empty(),
        "raise FACTS_VERSION if it was released, and append to golden/facts.txt:\n{}",
        new.join("\n")
    );
}
