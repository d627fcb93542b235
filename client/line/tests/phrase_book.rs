//! The phrase book: lines as they are typed, with what each of them means.

use burrline_domain::Verb;
use burrline_line as line;
use burrline_line::{
    Error, Lexicon,
    lexicon::{DecimalMark, PlaceHere},
};
use burrline_terms::{Day, Typed as _};

const BOOK: &str = include_str!("phrase_book.txt");

/// What stands between a line and what it seals.
const SEALED: &str = " sealed: ";

/// The shop of the book.
fn shop() -> Lexicon {
    let place = |name: &str, tags: &[&str]| PlaceHere {
        place: name.to_owned(),
        tags: tags.iter().map(|tag| (*tag).to_owned()).collect(),
    };
    Lexicon {
        known: true,
        fresh: true,
        places: vec![
            place("freezer-1", &[]),
            place("pot-1", &[]),
            place("pot-2", &["0417", "0422", "0426", "0431"]),
            place("rack-1", &[]),
            place("tank-1", &[]),
            place("tub-1", &[]),
        ],
        hands: ["ines", "tom"].map(str::to_owned).to_vec(),
        recipes: vec!["bear-soak".to_owned()],
        decimal_mark: Some(DecimalMark::Point),
        fahrenheit: Some(true),
        today: Day::read("2026-11-24").ok(),
        ..Lexicon::default()
    }
}

/// What became of a line, with the mark of its kind in the book.
fn outcome(typed: &str) -> (char, String) {
    match line::parse(typed, &shop()) {
        Ok(said) => {
            // An empty seal stands where nothing is sealed yet.
            let unsealed = |verb: &Verb| {
                let Verb::AddCustomer(customer) = verb else { return verb.line() };
                let class = customer.class.as_ref();
                class.map_or("add-customer".to_owned(), |class| {
                    format!("add-customer --class {class}")
                })
            };
            let lines: Vec<String> = said.verbs.iter().map(unsealed).collect();
            let sealed = said.details.shown();
            let sealed = if sealed.is_empty() { sealed } else { format!("{SEALED}{sealed}") };
            let at = said.common.at.map(|at| format!("at {at}: ")).unwrap_or_default();
            let hand = said.common.hand.map(|hand| format!(" by {hand}")).unwrap_or_default();
            ('=', format!("{at}{}{hand}{sealed}", lines.join(" ; ")))
        }
        Err(Error::Unclear(unclear)) if unclear.choices.is_empty() => ('!', unclear.about),
        Err(Error::Unclear(unclear)) => {
            let labels: Vec<&str> = unclear.choices.iter().map(|c| c.label.as_str()).collect();
            ('?', format!("{} [{}]", unclear.about, labels.join(" | ")))
        }
        Err(other) => ('!', other.to_string()),
    }
}

/// Whether what became of a line is what the book says.
fn is_as_written(kind: char, wanted: &str, mark: char, found: &str) -> bool {
    match kind {
        // What is sealed need not be written out.
        '=' => {
            let open = found.split_once(SEALED).map_or(found, |(open, _)| open);
            mark == '=' && (found == wanted || open == wanted)
        }
        // A word that nothing can be suggested for is refused at a terminal too.
        '?' | '~' => mark != '=' && wanted.split(" | ").all(|part| found.contains(part)),
        _ => mark == '!' && found.contains(wanted),
    }
}

#[test]
fn every_line_of_the_book_means_what_it_says() {
    let (mut wrong, mut counts) = (Vec::new(), [0_u32; 3]);
    for entry in BOOK.lines().filter(|entry| !entry.is_empty() && !entry.starts_with('#')) {
        let marks = [(" => ", '='), (" ? ", '?'), (" ~ ", '~'), (" ! ", '!')];
        // The last mark parts the line from its meaning: a line may have a `?` of its own.
        let (at, kind, length) = marks
            .iter()
            .filter_map(|(mark, kind)| Some((entry.rfind(mark)?, *kind, mark.len())))
            .max_by_key(|(at, ..)| if entry[*at..].starts_with(" => ") { usize::MAX } else { *at })
            .unwrap_or_else(|| panic!("no meaning: {entry}"));
        let (typed, wanted) = (&entry[..at], &entry[at + length..]);
        let (mark, found) = outcome(typed);
        if !is_as_written(kind, wanted, mark, &found) {
            wrong.push(format!("{typed}\n  book:  {kind} {wanted}\n  found: {mark} {found}"));
        }
        match kind {
            '=' => counts[0] += 1,
            '~' => counts[1] += 1,
            _ => counts[2] += 1,
        }
    }
    let [taken, asked, rightly] = counts;
    println!(
        "{taken} lines taken as they were typed; {asked} of {} with one meaning asked about; \
         {rightly} rightly asked about or refused",
        taken + asked
    );
    assert!(wrong.is_empty(), "{} lines:\n{}", wrong.len(), wrong.join("\n"));
    assert!(asked * 50 <= taken + asked, "more than one in fifty is asked about");
}

#[test]
fn every_choice_of_every_question_is_clear_in_the_end() {
    for entry in BOOK.lines().filter(|entry| entry.contains(" ? ")) {
        let Some((typed, _)) = entry.split_once(" ? ") else { continue };
        let Err(Error::Unclear(unclear)) = line::parse(typed, &shop()) else { continue };
        for choice in unclear.choices {
            let mut reading = line::parse_words(&choice.words, &shop());
            // A second doubtful word of the line is asked about after the first.
            for _ in 0..4 {
                let Err(Error::Unclear(next)) = &reading else { break };
                let Some(first) = next.choices.first() else { break };
                reading = line::parse_words(&first.words, &shop());
            }
            let clear = match &reading {
                Ok(_) => true,
                // What a choice does not say, such as an amount, is still wanted.
                Err(Error::Word(bad)) => bad.word.is_empty(),
                Err(_) => false,
            };
            assert!(clear, "{typed}: {}: {:?}: {reading:?}", choice.label, choice.words);
        }
    }
}
