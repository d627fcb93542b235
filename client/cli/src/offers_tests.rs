//! What an answer prints for typing can be typed: after `burrline`, at the prompt, and in a pipe into it.

use burrline_domain::verb;
use burrline_line::{
    self as line, Error, Lexicon,
    lexicon::{DecimalMark, PlaceHere},
    unclear,
};
use burrline_proto::v1;
use burrline_talk::standing::{Known, Standing, Step};
use burrline_terms::{Day, Typed as _};

const BOOK: &str = include_str!("../../line/tests/phrase_book.txt");

/// The shop of the book.
fn shop() -> Lexicon {
    let place = |name: &str, tags: &[&str]| PlaceHere {
        place: name.to_owned(),
        tags: tags.iter().map(|tag| (*tag).to_owned()).collect(),
    };
    let four = ["0417", "0422", "0426", "0431"];
    let places = ["freezer-1", "pot-1", "rack-1", "tank-1", "tub-1"].map(|name| place(name, &[]));
    Lexicon {
        known: true,
        fresh: true,
        places: places.into_iter().chain([place("pot-2", &four)]).collect(),
        hands: ["ines", "tom"].map(str::to_owned).to_vec(),
        recipes: vec!["bear-soak".to_owned()],
        decimal_mark: Some(DecimalMark::Point),
        fahrenheit: Some(true),
        today: Day::read("2026-11-24").ok(),
        ..Lexicon::default()
    }
}

/// The same, as the prompt knows it.
fn known() -> Known {
    let lexicon = shop();
    let line = |tag: &String| v1::SkullLine { tag: tag.clone(), ..v1::SkullLine::default() };
    let places = lexicon.places.iter().map(|here| v1::PlaceLine {
        name: here.place.clone(),
        here: here.tags.iter().map(line).collect(),
        ..v1::PlaceLine::default()
    });
    let floor = v1::FloorResponse { places: places.collect(), ..v1::FloorResponse::default() };
    let hands = lexicon.hands.clone();
    Known { floor, hands, lexicon: Lexicon { short_tags: true, ..lexicon }, ..Known::default() }
}

/// The lines of the book, without what they mean.
fn typed() -> impl Iterator<Item = &'static str> {
    let lines = BOOK.lines().filter(|entry| !entry.is_empty() && !entry.starts_with('#'));
    lines.filter_map(|entry| {
        let marks = [" => ", " ? ", " ~ ", " ! "];
        let at = marks.iter().filter_map(|mark| entry.rfind(mark)).max()?;
        entry.get(..entry.find(" => ").unwrap_or(at))
    })
}

/// The lines that the answer to a line prints for typing: its choices, and those between backticks that name
/// no value.
fn printed(typed: &str) -> Vec<String> {
    match line::parse(typed, &shop()) {
        Ok(_) => Vec::new(),
        Err(Error::Unclear(unclear)) => {
            unclear.choices.iter().map(|choice| unclear::line(&choice.words)).collect()
        }
        Err(error) => {
            let told = error.to_string();
            let quoted = told.split('`').skip(1).step_by(2);
            let whole = |line: &&str| {
                let first = line.split(' ').next().unwrap_or_default();
                let placeholder = |word: &str| {
                    word.len() > 2 && word.chars().all(|c| c.is_ascii_uppercase() || c == '-')
                };
                (verb::spec(first).is_some() || first == "at")
                    && line.contains(' ')
                    && !line.split(' ').any(placeholder)
                    && !line.contains("--help")
            };
            quoted
                .map(|line| line.trim_start_matches("burrline "))
                .filter(whole)
                .map(str::to_owned)
                .collect()
        }
    }
}

/// Why words after `burrline` are no line; none if they are one, or one that asks further.
fn wrong(words: &[String]) -> Option<String> {
    let program = std::iter::once("burrline".to_owned()).chain(super::arranged_words(words));
    let matches = match super::command().try_get_matches_from(program) {
        Ok(matches) => matches,
        Err(error) => return Some(error.to_string()),
    };
    let (name, matches) = matches.subcommand()?;
    let read = match verb::spec(name) {
        // These have fronts of their own.
        Some(_) if matches!(name, "strike" | "amend" | "assign") => return None,
        Some(spec) => line::from_matches(spec, matches, &shop()),
        None if name == line::LINES => {
            let said = matches.get_many::<String>("words").into_iter().flatten().cloned();
            line::parse_words(&said.collect::<Vec<_>>(), &shop())
        }
        // A reading.
        None => return None,
    };
    match read {
        Ok(_) => None,
        // A second doubtful word of the line is asked about after the first.
        Err(Error::Unclear(unclear)) if !unclear.choices.is_empty() => None,
        // What a choice does not say, such as an amount, is still wanted.
        Err(Error::Word(bad)) if bad.word.is_empty() => None,
        Err(error) => Some(error.to_string()),
    }
}

#[test]
fn what_an_answer_prints_for_typing_can_be_typed() {
    let names = super::command();
    let names = names.get_subcommands().map(|command| command.get_name().to_owned());
    let standing = Standing::new(names.collect::<Vec<_>>());
    let known = known();
    let (mut count, mut bad) = (0, Vec::new());
    for typed in typed() {
        for offer in printed(typed) {
            count += 1;
            let words = line::split(&offer).unwrap_or_default();
            if let Some(why) = wrong(&words) {
                bad.push(format!("{typed}\n  `{offer}` after burrline: {why}"));
            }
            match standing.clone().take(&offer, &known) {
                Ok(steps) => {
                    for step in steps {
                        if let Step::Run(words) = step
                            && let Some(why) = wrong(&words)
                        {
                            bad.push(format!(
                                "{typed}\n  `{offer}` at the prompt: {words:?}: {why}"
                            ));
                        }
                    }
                }
                Err(error) => bad.push(format!("{typed}\n  `{offer}` at the prompt: {error}")),
            }
        }
    }
    assert!(count > 500, "only {count} lines were printed");
    assert!(bad.is_empty(), "{} of {count}:\n{}", bad.len(), bad.join("\n"));
}
