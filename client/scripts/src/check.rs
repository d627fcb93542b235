//! Whether a script compiles, its examples hold, and nothing in it looks wrong.

use std::sync::Arc;

use burrline_bench::{Ending, Error};
use burrline_domain::verb::VERBS;
use burrline_host::{
    CaseResult, Kind, Known, Names, Sandbox, Script, in_plain_words, lint_for, run_cases,
};
use burrline_line::Lexicon;
use burrline_screen::{Page, Shows};
use clap::{ArgMatches, Command};
use serde_json::json;

use super::{file, kind, local::Source};

/// So many examples that do not hold are shown.
const MOST_WRONG: usize = 5;

pub(crate) fn command() -> Command {
    Command::new("check")
        .about("Compile a script, run its examples, and tell what looks wrong")
        .long_about(
            "Compile a script, run its examples, and tell what looks wrong: price lines that are \
             never reached, a species without a price, totals below nothing, a rule that can never \
             pass, an animal or a place that the shop does not have. The shop is not needed; its \
             names are those that this bench was told last. What only looks wrong does not fail the \
             check.",
        )
        .after_help("Examples:\n  burrline script check house.rhai\n  burrline script check *.rhai")
        .arg(file().num_args(1..).help("The scripts"))
        .arg(kind())
}

pub(crate) fn run(matches: &ArgMatches, shows: &(impl Shows + ?Sized)) -> Result<Ending, Error> {
    let mut ending = Ending::Done;
    for path in matches.get_many::<String>("file").into_iter().flatten() {
        let kind = super::text(matches, "kind");
        let source = Source::read(std::path::Path::new(path), kind.as_deref())?;
        let found = checked(&source, &known(shows));
        shows.page(&found.page);
        if !found.good {
            ending = Ending::Refused;
        }
    }
    Ok(ending)
}

/// What a check finds.
pub(crate) struct Checked {
    /// All of it, to be shown.
    pub page: Page,
    /// The script would be taken.
    pub good: bool,
    /// Something in it looks wrong.
    pub odd: bool,
}

/// Holds a script against all that `check` does, before anything of it goes to the shop.
///
/// # Errors
/// It would not be taken, or something in it looks wrong and there is no reason to take it all the
/// same. What was found is shown first.
pub fn before_install(
    source: &Source,
    anyway: Option<&str>,
    shows: &(impl Shows + ?Sized),
) -> Result<(), Error> {
    let found = checked(source, &known(shows));
    if found.good && !found.odd {
        return Ok(());
    }
    shows.page(&found.page);
    if !found.good {
        return Err(Error::Refused(format!("{} was not installed: mend it first", source.name)));
    }
    match anyway.map(str::trim) {
        Some(reason) if !reason.is_empty() => Ok(()),
        Some(_) | None => Err(Error::Refused(format!(
            "{} was not installed: mend what looks wrong, or say why it is right, as in \
             `burrline script install FILE --anyway \"our own words\"`",
            source.name
        ))),
    }
}

/// The names that a script may compare with: those of the shop, where a bench has been told them.
fn known(shows: &(impl Shows + ?Sized)) -> Known {
    known_of(&shows.bench().map(|bench| bench.lexicon()).unwrap_or_default())
}

fn known_of(shop: &Lexicon) -> Known {
    let verbs = VERBS.iter().map(|spec| spec.word.to_owned()).collect();
    let species = shop.species.all().map(|animal| animal.name.to_string()).collect();
    let places = shop.places.iter().map(|here| here.place.clone()).collect();
    Known {
        verbs: Names { what: "verb", all: verbs, complete: true },
        species: Names { what: "animal", all: species, complete: shop.known },
        places: Names { what: "place", all: places, complete: shop.known },
    }
}

/// What is found in a script.
pub(crate) fn checked(source: &Source, known: &Known) -> Checked {
    let sandbox = Arc::new(Sandbox::default());
    let cases =
        Script::from_bytes(&sandbox, source.kind, &source.name, &source.bytes).and_then(|script| {
            if source.kind == Kind::Stages {
                burrline_present::judge::verbs_fit(&script)?;
            }
            run_cases(&script)
        });
    let cases = match cases {
        Ok(cases) => cases,
        Err(failure) => {
            let json = json!({ "script": source.name, "good": false, "failure": failure });
            let page = Page { text: source.tell(&failure), json: vec![json] };
            return Checked { page, good: false, odd: true };
        }
    };
    let wrong: Vec<&CaseResult> = cases.iter().filter(|case| !case.holds()).collect();
    let looks = lint_for(source.kind, &source.name, &source.bytes, known).unwrap_or_default();
    let mut text = vec![format!(
        "{}: {} examples, {} hold",
        source.name,
        cases.len(),
        cases.len().saturating_sub(wrong.len())
    )];
    for case in wrong.iter().take(MOST_WRONG) {
        let why = case.wrong.as_deref().map(in_plain_words).unwrap_or_default();
        text.push(format!("  example \"{}\": {why}", case.name));
    }
    if wrong.len() > MOST_WRONG {
        text.push(format!("  ... and {} more", wrong.len().saturating_sub(MOST_WRONG)));
    }
    for one in &looks {
        let place = match (one.line, one.column) {
            (Some(line), Some(column)) => format!("line {line}, column {column}: "),
            (Some(line), None) => format!("line {line}: "),
            (None, _) => String::new(),
        };
        text.push(format!("  looks wrong: {place}{}", in_plain_words(&one.words)));
        text.extend(one.line.into_iter().flat_map(|line| source.shown(line, one.column)));
    }
    let works = looks.iter().all(|one| one.works);
    let good = wrong.is_empty() && works;
    text.push(match (good, looks.is_empty()) {
        (false, _) if !works => "  it would be of no use as it stands".to_owned(),
        (true, true) => "  nothing looks wrong".to_owned(),
        (true, false) => {
            "  something looks wrong: installing it needs a reason why it is right".to_owned()
        }
        (false, _) => "  it would not be taken: every example must hold".to_owned(),
    });
    let json = json!({
        "script": source.name,
        "good": good,
        "cases": cases,
        "looks_wrong": looks
            .iter()
            .map(|one| json!({ "line": one.line, "column": one.column, "words": one.words }))
            .collect::<Vec<_>>(),
    });
    Checked { page: Page { text, json: vec![json] }, good, odd: !looks.is_empty() }
}

#[cfg(test)]
mod tests {
    use std::sync::Mutex;

    use burrline_bench::Bench;
    use burrline_host::shipped;
    use burrline_screen::Look;
    use burrline_terms::{Name, Typed as _, words::ScriptKind};
    use jiff::tz::TimeZone;

    use super::*;

    /// Keeps what is shown, with no bench.
    #[derive(Default)]
    struct Kept(Mutex<Vec<String>>);

    impl Shows for Kept {
        fn page(&self, page: &Page) {
            self.0.lock().unwrap().extend(page.text.iter().cloned());
        }
        fn tell(&self, words: &str) {
            self.0.lock().unwrap().push(words.to_owned());
        }
        fn look(&self, zone: TimeZone) -> Look {
            Look { zone, now: burrline_terms::Moment(0), width: None, color: false }
        }
        fn is_watched(&self) -> bool {
            false
        }
        fn bench(&self) -> Result<Bench, Error> {
            Err(Error::usage("there is no bench"))
        }
    }

    fn typed(source: &str) -> Source {
        let name = Name::read("house").unwrap();
        Source::typed(&name, ScriptKind::Stages, source.as_bytes().to_vec())
    }

    const RULE: &str = "fn verbs() { [\"coat\"] }
fn check(job, act) {
    if job.rack_hours == () { return #{ no: \"rack it first.\" }; }
}
fn cases() {
    [#{ name: \"not racked\", job: #{ rack_hours: () }, act: #{ verb: \"coat\" }, expect: \"no\" }]
}
";

    #[test]
    fn what_is_right_is_installed_without_a_word() {
        let shows = Kept::default();
        before_install(&typed(RULE), None, &shows).unwrap();
        assert_eq!(*shows.0.lock().unwrap(), Vec::<String>::new());
    }

    #[test]
    fn what_looks_wrong_wants_a_reason_and_what_is_wrong_is_not_installed_for_one() {
        let odd = RULE.replace("== ()", "== () || job.papers == 1");
        let shows = Kept::default();
        for none in [None, Some(""), Some("  ")] {
            let why = before_install(&typed(&odd), none, &shows).unwrap_err().to_string();
            assert!(why.contains("was not installed") && why.contains("--anyway"), "{why}");
        }
        let shown = shows.0.lock().unwrap().join("\n");
        assert!(shown.contains("looks wrong: line 3, column 43: true or false"), "{shown}");
        before_install(&typed(&odd), Some("papers are counted"), &shows).unwrap();
        for wrong in
            [RULE.replace("\"no\" }", "\"fine\" }"), RULE.replace("[\"coat\"]", "[\"coet\"]")]
        {
            let why = before_install(&typed(&wrong), Some("I know"), &Kept::default());
            assert!(why.unwrap_err().to_string().contains("mend it first"), "{wrong}");
        }
    }

    #[test]
    fn nothing_looks_wrong_in_a_shipped_script_to_a_shop_that_knows_its_animals() {
        let known = known_of(&Lexicon { known: true, ..Lexicon::default() });
        for script in shipped() {
            let bytes = script.source.as_bytes().to_vec();
            let source = Source { name: script.name.to_owned(), kind: script.kind, bytes };
            let found = checked(&source, &known);
            assert!(found.good && !found.odd, "{:#?}", found.page.text);
        }
    }
}
