//! Whether a script compiles, its examples hold, and nothing in it looks wrong.

use std::sync::Arc;

use burrline_bench::{Bench, Ending, Error, patience::READING};
use burrline_domain::verb::VERBS;
use burrline_host::{
    CaseResult, Cell, Kind, Known, LineReached, Names, Reached, Sandbox, Script, TableFacts,
    coverage, digest_of, in_plain_words, lint_for, numbers, run_cases, run_cases_of,
};
use burrline_line::{Lexicon, lexicon::TableHere};
use burrline_present::readings::Scripts;
use burrline_screen::{Page, Shows};
use burrline_terms::words::CellKind;
use clap::{Arg, ArgAction, ArgMatches, Command};
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
        .after_help("Examples:\n  burrline script check house.rhai\n  burrline script check *.rhai\n  \
                     burrline script check house.rhai --lines")
        .arg(file().num_args(1..).help("The scripts"))
        .arg(kind())
        .arg(
            Arg::new("lines")
                .long("lines")
                .action(ArgAction::SetTrue)
                .help("Print each script with the lines that its examples run, and those that none does"),
        )
}

pub(crate) fn run(matches: &ArgMatches, shows: &(impl Shows + ?Sized)) -> Result<Ending, Error> {
    let mut ending = Ending::Done;
    for path in matches.get_many::<String>("file").into_iter().flatten() {
        let kind = super::text(matches, "kind");
        let source = Source::read(std::path::Path::new(path), kind.as_deref())?;
        let found = checked(&source, &known(shows));
        shows.page(&found.page);
        if matches.get_flag("lines")
            && let Ok(lines) = coverage(source.kind, &source.name, &source.bytes)
        {
            shows.page(&with_marks(&source.name, &lines));
        }
        if !found.good {
            ending = Ending::Refused;
        }
    }
    Ok(ending)
}

/// A script with a mark before each line: what its examples run of it.
fn with_marks(name: &str, lines: &[LineReached]) -> Page {
    let count = |what: Reached| lines.iter().filter(|line| line.reached == what).count();
    let (ran, partly, never) = (count(Reached::Ran), count(Reached::Partly), count(Reached::Never));
    let mut text = vec![format!(
        "{name}: the examples run {ran} lines (+), {partly} in part (~), and {never} not at all (-)"
    )];
    text.extend(lines.iter().map(|line| {
        let mark = match line.reached {
            Reached::Ran => '+',
            Reached::Partly => '~',
            Reached::Never => '-',
            Reached::Nothing => ' ',
        };
        format!("{:>4} {mark} {}", line.line, line.code).trim_end().to_owned()
    }));
    Page { text, json: vec![json!({ "script": name, "lines": lines })] }
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

/// What goes, or comes out otherwise, where a script takes the place of the one in use with its name: the
/// examples of that one which do not hold for it.
///
/// # Errors
/// If the shop is out of reach.
pub async fn replaced(source: &Source, bench: &Bench) -> Result<Vec<String>, Error> {
    let scripts = bench.read_at_shop(Scripts {}, READING).await?.scripts;
    let digest = digest_of(&source.bytes);
    let in_use = scripts.into_iter().find(|script| {
        script.active
            && script.name == source.name
            && script.kind == source.script_kind().number()
            && hex::encode(&script.digest) != digest
    });
    let Some(in_use) = in_use else { return Ok(Vec::new()) };
    let old = Source::of_line(&in_use, bench).await?;
    Ok(not_held(&old, source))
}

/// The examples of an older version that do not hold for a newer one.
fn not_held(old: &Source, new: &Source) -> Vec<String> {
    let sandbox = Arc::new(Sandbox::default());
    let compiled = |one: &Source| Script::from_bytes(&sandbox, one.kind, &one.name, &one.bytes);
    // A version that fails says so elsewhere.
    let (Ok(before), Ok(after)) = (compiled(old), compiled(new)) else { return Vec::new() };
    let results = run_cases_of(&before, &after).unwrap_or_default();
    let wrong: Vec<&CaseResult> = results.iter().filter(|case| !case.holds()).collect();
    if wrong.is_empty() {
        return Vec::new();
    }
    let mut text = vec![format!(
        "{} of {} examples of the version of {} in use give a different result now:",
        wrong.len(),
        results.len(),
        new.name
    )];
    for case in wrong.iter().take(MOST_WRONG) {
        let why = case.wrong.as_deref().map(in_plain_words).unwrap_or_default();
        text.push(format!("  \"{}\": {why}", case.name));
    }
    if wrong.len() > MOST_WRONG {
        text.push(format!("  ... and {} more", wrong.len().saturating_sub(MOST_WRONG)));
    }
    text
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
        tables: shop.tables.iter().map(|table| (table.name.clone(), rows(table))).collect(),
        all_tables: shop.known,
    }
}

/// The rows of a table as scripts see them.
fn rows(table: &TableHere) -> TableFacts {
    let cell = |value: &str| match table.of {
        Some(CellKind::Money | CellKind::Number) => value.parse().ok().map(Cell::Number),
        Some(CellKind::Whole) => value.parse().ok().map(Cell::Whole),
        Some(CellKind::YesNo) => Some(Cell::YesNo(value == "yes")),
        Some(CellKind::Text) | None => Some(Cell::Text(value.to_owned())),
    };
    table.rows.iter().filter_map(|(row, value)| Some((row.clone(), cell(value)?))).collect()
}

/// What is found in a script.
pub(crate) fn checked(source: &Source, known: &Known) -> Checked {
    let sandbox = Arc::new(Sandbox::default());
    let cases =
        Script::from_bytes(&sandbox, source.kind, &source.name, &source.bytes).and_then(|script| {
            if source.kind == Kind::Stages {
                burrline_present::judge::verbs_fit(&script)?;
            }
            numbers(&script)?;
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
    fn the_checks_that_go_with_a_version_are_named() {
        let weaker = RULE.replace("#{ no: \"rack it first.\" }", "#{ remark: \"rack it first.\" }");
        let told = not_held(&typed(RULE), &typed(&weaker)).join("\n");
        assert!(told.contains("1 of 1 examples") && told.contains("\"not racked\""), "{told}");
        let same = RULE.replace("rack it first.", "rack it before that.");
        assert_eq!(not_held(&typed(RULE), &typed(&same)), Vec::<String>::new());
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
