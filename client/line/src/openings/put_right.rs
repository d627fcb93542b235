//! What somebody puts right who said something else just before: `that was 9:30`, `no 425 not 424`,
//! `wrong pot, pot 2`, `that was card not cash`.
//!
//! The last line of the bench is meant. It is offered as it would read, and is never changed unasked.

use burrline_domain::Verb;
use burrline_terms::{Kind, Skull, Typed as _};

use super::plain;
use crate::{Lexicon, lexicon::LastLine, split, typed, unclear::Choice, when};

/// Words that begin such a line.
const BEGINS: &[&str] = &[
    "no", "nope", "not", "sorry", "oops", "scratch", "void", "forget", "wrong", "that", "meant",
    "should",
];

/// The line as one of those above begins, where it begins in two words: `make that 1 lb 12 oz`, `i meant 425`;
/// `undo that` takes back.
pub(super) fn begun(words: &[String]) -> Option<Vec<String>> {
    let small: Vec<String> = words.iter().take(3).map(|word| plain(word)).collect();
    let small: Vec<&str> = small.iter().map(String::as_str).collect();
    let owned = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    let that = |word: &str| matches!(word, "that" | "it" | "this" | "last");
    match small.as_slice() {
        ["undo" | "delete" | "cancel" | "remove", word] if that(word) => Some(owned(&["strike"])),
        [
            "undo" | "strike" | "delete" | "cancel",
            "the" | "my" | "that",
            "last" | "line" | "one",
        ] => Some(owned(&["strike"])),
        ["forget" | "ignore", word] if that(word) => Some(owned(&["scratch", "that"])),
        ["never", "mind"] | ["nevermind"] => Some(owned(&["scratch", "that"])),
        ["make", word, _] if that(word) => {
            Some([owned(&["no"]), words.get(2..)?.to_vec()].concat())
        }
        ["i", "meant" | "mean", _] => Some([owned(&["no"]), words.get(2..)?.to_vec()].concat()),
        ["meant" | "correction" | "rather", _, ..] => {
            Some([owned(&["no"]), words.get(1..)?.to_vec()].concat())
        }
        // `was card not cash`.
        ["was", _, "not"] => Some([owned(&["no"]), words.get(1..)?.to_vec()].concat()),
        _ => None,
    }
}

/// `no 434 is 950 g`: what stands behind the no, where it is a line by itself.
pub(super) fn by_itself(word: &str, rest: &[String], lexicon: &Lexicon) -> Option<Vec<String>> {
    let no = matches!(plain(word).as_str(), "no" | "nope" | "sorry" | "oops" | "wrong");
    let read = || crate::parse_words(rest, lexicon).is_ok();
    (no && rest.len() > 1 && read()).then(|| rest.to_vec())
}

/// Words between them and what is right.
const AROUND: &[&str] = &[
    "no", "nope", "sorry", "oops", "that", "that's", "was", "is", "it", "should", "be", "have",
    "been", "i", "meant", "the", "a", "wrong", "actually", "at", "pot", "tub", "tank", "place",
    "tag", "skull", "head", "ticket", "time", "day", "one", "line", "payment", "said", "mean",
    "scratch", "void", "forget", "weight", "make",
];

/// Whether a line puts right what was said before.
pub fn puts_right(word: &str) -> bool {
    BEGINS.contains(&plain(word).as_str())
}

/// `no texts for 424`, `no charge for 424`: what there is not, and no word about the line before.
pub(crate) fn denies_a_thing(word: &str, rest: &[String]) -> bool {
    let next = rest.first().map(|next| plain(next)).unwrap_or_default();
    let letters = !next.is_empty() && next.chars().all(char::is_alphabetic);
    word.eq_ignore_ascii_case("no")
        && letters
        && !AROUND.contains(&next.as_str())
        && matches!(rest, [_, word, ..] if matches!(plain(word).as_str(), "for" | "on" | "to" | "from" | "in"))
}

/// Whether words behind a skull's tag put right what was said of it just before: `418 was 100 not 120`.
pub(crate) fn puts_right_of(tag: &str, rest: &[String], lexicon: &Lexicon) -> bool {
    let first = rest.first().map(|word| plain(word)).unwrap_or_default();
    let last = lexicon.last.as_ref().and_then(|last| last.verb.skull()?.tag.as_ref());
    let worn = last.is_some_and(|last| is_same(&last.to_string(), tag));
    worn && matches!(first.as_str(), "was" | "is" | "not" | "should")
}

/// What is asked of such a line, and what it could mean.
pub(crate) fn asked(line: &[String], last: &LastLine, lexicon: &Lexicon) -> (String, Vec<Choice>) {
    let LastLine { entry, verb } = last;
    let before = typed::typed(verb);
    let about = format!("is this about the last line of this bench, `{before}`?");
    let back = vec!["strike".to_owned(), entry.to_string()];
    let said = split(&before).unwrap_or_default();
    let Some(right) = what_is_right(line, &said) else {
        let label = "take it back".to_owned();
        let itself = line.split_first().and_then(|(no, rest)| by_itself(no, rest, lexicon));
        let itself = itself.map(|words| {
            let label = format!("`{}`, a line of its own", crate::unclear::line(&words));
            Choice { label, words }
        });
        return (about, itself.into_iter().chain([Choice { label, words: back }]).collect());
    };
    // The moment of a line stays as it was said.
    let time = when::at_front(&right.words).is_ok_and(|(taken, _)| taken == right.words.len());
    if time && !right.words.is_empty() {
        let label = format!("take it back now; then type `{before} at {}`", right.words.join(" "));
        return (about, vec![Choice { label, words: back }]);
    }
    let mut choices: Vec<Choice> = Vec::new();
    for said in lines(verb, &said, &right) {
        let whole: Vec<String> =
            ["amend".to_owned(), entry.to_string()].into_iter().chain(said.clone()).collect();
        let known = choices.iter().any(|choice| choice.words == whole);
        let reads = || crate::parse_words(&whole, lexicon).is_ok();
        if !known && changes(verb, &said, lexicon) && reads() {
            let label = format!("it should have been `{}`", said.join(" "));
            choices.push(Choice { label, words: whole });
        }
    }
    let itself = line.split_first().and_then(|(no, rest)| by_itself(no, rest, lexicon));
    choices.extend(itself.map(|words| {
        let label = format!("`{}`, a line of its own", crate::unclear::line(&words));
        Choice { label, words }
    }));
    choices.push(Choice { label: "take it back".to_owned(), words: back });
    (about, choices)
}

/// What is right, and what it stands in place of, if that was said.
struct Right {
    words: Vec<String>,
    wrong: Option<String>,
}

/// Leaves out the words around what is right; none if what is said to be wrong was not said.
fn what_is_right(line: &[String], said: &[String]) -> Option<Right> {
    let mut right = Right { words: Vec::new(), wrong: None };
    let mut words = line.iter().map(|word| plain(word));
    while let Some(word) = words.next() {
        if word == "not" {
            let wrong = words.next()?;
            right.wrong = Some(said.iter().find(|said| is_same(said, &wrong))?.clone());
        } else if !AROUND.contains(&word.as_str()) && !word.is_empty() {
            right.words.push(word);
        }
    }
    Some(right)
}

/// Whether a word is one that was said: `424` for 0424, `120` for 120.00.
fn is_same(said: &str, word: &str) -> bool {
    let bare = |word: &str| {
        let word = word.trim_start_matches('$').trim_start_matches('0').to_lowercase();
        word.strip_suffix(".00").map_or(word.clone(), str::to_owned)
    };
    bare(said) == bare(word)
}

/// The line as it could have been meant: with the word in place of the wrong one, or of any; else
/// the same verb about the same with these words alone, where what they do not say stays.
fn lines(verb: &Verb, said: &[String], right: &Right) -> Vec<Vec<String>> {
    let turned = |at: usize, new: &String| -> Vec<String> {
        let words = said.iter().enumerate();
        words.map(|(here, word)| if here == at { new.clone() } else { word.clone() }).collect()
    };
    let mut lines = Vec::new();
    if let [only] = right.words.as_slice() {
        let wrong = |at: &usize| right.wrong.is_none() || right.wrong.as_ref() == said.get(*at);
        lines.extend((1..said.len()).filter(wrong).map(|at| turned(at, only)));
    }
    if right.wrong.is_none() && !right.words.is_empty() {
        let word = std::iter::once(verb.spec().word.to_owned());
        let tag = verb.skull().map(Skull::show);
        let about = tag.or_else(|| verb.place().map(ToString::to_string));
        lines.push(word.chain(about).chain(right.words.iter().cloned()).collect());
    }
    lines
}

/// Whether words are a line of the same verb that says something else, and none of them a free text.
fn changes(before: &Verb, said: &[String], lexicon: &Lexicon) -> bool {
    let Ok(read) = crate::parse_words(said, lexicon) else { return false };
    let [verb] = read.verbs.as_slice() else { return false };
    let text =
        |name: &str| verb.spec().fields.iter().any(|f| f.name == name && f.kind() == Kind::Text);
    let says_text = verb.said().iter().any(|(name, words)| {
        text(name) && !words.is_empty() && !before.said().contains(&(*name, words.clone()))
    });
    verb.spec() == before.spec() && verb != before && !says_text
}

#[cfg(test)]
mod tests {
    use burrline_terms::EntryName;

    use super::{LastLine, asked};
    use crate::{Lexicon, lexicon::PlaceHere, parse_words, split};

    /// What is offered for a line behind another one.
    fn offered(before: &str, line: &str) -> Vec<String> {
        let place =
            |place: &str| PlaceHere { place: place.to_owned(), tags: vec!["0424".to_owned()] };
        let places = ["pot-1", "pot-2", "rack-1"].map(place).to_vec();
        let mut lexicon = Lexicon { known: true, fresh: true, places, ..Lexicon::default() };
        let read = parse_words(&split(before).unwrap(), &lexicon).unwrap();
        let verb = read.verbs.into_iter().next().unwrap();
        lexicon.last = Some(LastLine { entry: EntryName::new(3, 41), verb });
        let Err(crate::Error::Unclear(unclear)) = parse_words(&split(line).unwrap(), &lexicon)
        else {
            panic!("{line} is asked about");
        };
        unclear.choices.iter().map(|choice| choice.words.join(" ")).collect()
    }

    #[test]
    fn what_was_wrong_just_before_is_offered_as_it_should_have_been() {
        for (before, line, meant) in [
            ("wash 0426", "sorry 428 not 426", "amend 3:41 wash 428"),
            ("wash 0426", "no, 428", "amend 3:41 wash 428"),
            ("weigh 0418 2 lb 1 oz", "not 418 419", "amend 3:41 weigh 419 2lb1oz"),
            ("heat pot-1 down", "wrong pot, pot-2", "amend 3:41 heat pot-2 down"),
            ("pay 0418 120 cash", "that was card not cash", "amend 3:41 pay 0418 120.00 card"),
            ("pay 0418 120 cash", "that was 100 not 120", "amend 3:41 pay 0418 100 cash"),
            ("in pot-1 0424", "wrong tag, that was 425", "amend 3:41 in pot-1 425"),
            ("pay 0418 120 cash", "418 was 100 not 120", "amend 3:41 pay 0418 100 cash"),
        ] {
            let offered = offered(before, line);
            assert!(offered.contains(&meant.to_owned()), "{line}: {offered:?}");
            assert_eq!(offered.last().unwrap(), "strike 3:41");
        }
    }

    #[test]
    fn a_moment_stays_and_what_nobody_said_is_not_put_right() {
        assert_eq!(offered("wash 0426", "that was 9:30"), ["strike 3:41"]);
        assert_eq!(offered("wash 0426", "scratch that"), ["strike 3:41"]);
        assert_eq!(offered("wash 0426", "no 425 not 424"), ["strike 3:41"]);
        assert_eq!(offered("note 0426 plate", "that was brass"), ["strike 3:41"]);
    }

    #[test]
    fn the_question_says_which_line_is_meant() {
        let wash = parse_words(&split("wash 0426").unwrap(), &Lexicon::default()).unwrap();
        let verb = wash.verbs.into_iter().next().unwrap();
        let last = LastLine { entry: EntryName::new(3, 41), verb };
        let line = split("that was 9:30").unwrap();
        let (about, choices) = asked(&line, &last, &Lexicon::default());
        assert!(about.contains("`wash 0426`"), "{about}");
        assert!(choices[0].label.contains("wash 0426 at 9:30"), "{}", choices[0].label);
    }
}
