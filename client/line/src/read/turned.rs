//! Words of a text that take back what the line says, and values that are none: `hold 0418 not 0419`,
//! `dispute 0412 dropped`, `papers 0415 kill tag coming`, `inspected 0418 no`.

use burrline_terms::Kind;

use super::Reader;
use crate::{
    Error,
    doubt::{self, as_line},
    several,
    unclear::Unclear,
};

/// Words that take back what a verb says, or put it off, wherever they stand in its text.
const TAKES_BACK: &[(&[&str], &[&str])] = &[
    (
        &["hold"],
        &[
            "cleared", "came", "done", "dropped", "ended", "instead", "later", "okay", "ok",
            "over", "settled", "solved", "tomorrow",
        ],
    ),
    (
        &["dispute"],
        &[
            "cleared",
            "done",
            "dropped",
            "ended",
            "happy",
            "over",
            "settled",
            "solved",
            "sorted",
            "took",
            "withdrawn",
            "withdrew",
        ],
    ),
    (&["answer"], &["later", "not", "tomorrow", "yet"]),
    (&["release"], &["held", "later", "not", "soon", "tomorrow", "until", "when"]),
    (&["bring-back"], &["cancelled", "canceled", "instead", "not", "wont", "won't"]),
    (
        &["pay-out", "pay-in"],
        &[
            "back",
            "cancelled",
            "canceled",
            "later",
            "not",
            "reversed",
            "tomorrow",
            "undo",
            "undone",
        ],
    ),
    (
        &["spent"],
        &["account", "back", "cancelled", "canceled", "credit", "not", "refunded", "returned"],
    ),
    (&["charge"], &["each", "free", "not", "per", "undo", "waived"]),
    (&["swap-tag"], &["back", "instead", "not"]),
    (
        &["damage"],
        &["fine", "fixed", "found", "glued", "intact", "mended", "ok", "okay", "repaired", "whole"],
    ),
];

/// Verbs whose text may name another skull than the line is about: `hold 0418 for 0419`.
const OF_ONE_SKULL: &[&str] =
    &["hold", "release", "dispute", "answer", "bring-back", "swap-tag", "agree"];

/// What has a figure in it, by the name of its field.
const NUMBERED: &[&str] = &["kill_tag", "salvage_permit", "agency_seal", "lot", "parcel"];

/// Words that are no name of a county.
const NO_COUNTY: &[&str] =
    &["same", "later", "pending", "yes", "no", "ok", "soon", "tomorrow", "coming", "wrong"];

impl Reader<'_> {
    /// A text that takes back what its line says.
    pub(super) fn taken_back(&self) -> Result<(), Error> {
        for field in self.spec.fields.iter().filter(|field| field.kind() == Kind::Text) {
            // What was said behind the option's name is surely the text.
            if self.options.contains_key(field.name) {
                continue;
            }
            let Some(text) = self.sorted.given.get(field.name).and_then(|said| said.first()) else {
                continue;
            };
            let plain =
                |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
            let words: Vec<String> = text.split_whitespace().map(plain).collect();
            let back = TAKES_BACK.iter().find(|(verbs, _)| verbs.contains(&self.spec.word));
            let turned =
                back.is_some_and(|(_, all)| words.iter().any(|word| all.contains(&word.as_str())));
            let tag = |word: &String| word.len() >= 3 && several::is_skull(word);
            let other = OF_ONE_SKULL.contains(&self.spec.word)
                && words.iter().any(|word| tag(word) && word.bytes().all(|b| b.is_ascii_digit()));
            if !(turned || other) {
                continue;
            }
            let typed: Vec<&str> = text.split_whitespace().collect();
            let at = self.words.windows(typed.len()).position(|window| window == typed.as_slice());
            let as_text = at.map(|at| {
                let label = format!("{} \u{201c}{text}\u{201d}", field.typed_name());
                (label, self.instead(at, typed.len(), field, text))
            });
            // What was quoted is the text.
            if as_text.is_none() {
                continue;
            }
            let may = if turned { "seems to say the opposite" } else { "names another skull" };
            return Err(doubt::unclear(
                format!(
                    "{}: \u{201c}{text}\u{201d} {may}; record it all the same?",
                    self.spec.word
                ),
                as_text.into_iter().chain(self.noted_instead(text)),
            ));
        }
        Ok(())
    }

    /// The same words as a note on the skulls of the line.
    fn noted_instead(&self, text: &str) -> Option<(String, Vec<String>)> {
        let tags: Vec<String> = self
            .sorted
            .skulls
            .iter()
            .map(|skull| skull.split('/').next().unwrap_or(skull).to_owned())
            .collect();
        let note = |text: String| {
            let front = std::iter::once("note".to_owned()).chain(tags.iter().cloned());
            front.chain(["--words".to_owned(), text]).collect::<Vec<_>>()
        };
        (!tags.is_empty()).then(|| as_line(note(format!("{} {text}", self.spec.word))))
    }

    /// A word where a number of a paper is wanted.
    pub(super) fn papers_have_numbers(&self) -> Result<(), Error> {
        let given = |name: &str| {
            let said = self.sorted.given.get(name).and_then(|said| said.first());
            said.filter(|_| !self.options.contains_key(name))
        };
        let tag = self.sorted.skulls.first().map_or("0417", String::as_str);
        for name in NUMBERED {
            if let Some(value) = given(name)
                && !value.bytes().any(|byte| byte.is_ascii_digit())
            {
                let called = name.replace('_', " ");
                return Err(Error::Unclear(Unclear::without_choice(format!(
                    "{}: a {called} has a number, and \u{201c}{value}\u{201d} has none. If it is so, say \
                     it as `--{} {value}`; what is still to come is a note: `note {tag} {called} {value}`",
                    self.spec.word,
                    name.replace('_', "-"),
                ))));
            }
        }
        match given("county") {
            Some(county) if NO_COUNTY.contains(&county.to_lowercase().as_str()) => {
                Err(Error::Unclear(Unclear::without_choice(format!(
                    "{}: \u{201c}{county}\u{201d} is no county; say its name, as in `papers {tag} county \
                     Larimer`",
                    self.spec.word
                ))))
            }
            Some(_) | None => Ok(()),
        }
    }

    /// `wash 426 0930`: a time without its colon, or a tag. Whoever types tags in three figures hardly
    /// types one in four.
    pub(super) fn time_or_tag(&self) -> Result<(), Error> {
        let figures = |word: &str, count: usize| {
            word.len() == count && word.bytes().all(|byte| byte.is_ascii_digit())
        };
        let Some((last, before)) = self.sorted.skulls.split_last() else { return Ok(()) };
        let hour = last.get(..2).and_then(|hour| hour.parse::<u32>().ok());
        let minute = last.get(2..).and_then(|minute| minute.parse::<u32>().ok());
        let time = hour.zip(minute).filter(|(hour, minute)| *hour < 24 && *minute < 60);
        let known = self.lexicon.places.iter().flat_map(|place| &place.tags);
        let worn = known.clone().any(|tag| several::is_short_for(last, tag));
        let at = self.words.iter().rposition(|word| word.trim_end_matches(',') == last);
        let short = !before.is_empty() && before.iter().all(|word| figures(word, 3));
        let fact = self.spec.class == burrline_domain::Class::Fact;
        let (Some((hour, minute)), Some(at)) = (time, at) else { return Ok(()) };
        if !(figures(last, 4) && short && fact) || worn || self.options.contains_key("skull") {
            return Ok(());
        }
        let time = format!("{hour:02}:{minute:02}");
        let line = ["at".to_owned(), time.clone()].into_iter().chain(self.replaced(at, 1, &[]));
        Err(doubt::unclear(
            format!("{}: is {last} the time {time}, or a tag?", self.spec.word),
            [(format!("at {time}"), line.collect()), self.as_tag(at, last)],
        ))
    }

    /// `inspected 418 no`, `inspect 418 yes`: whether it passed is not clear from that.
    pub(crate) fn passed_or_not(&self, at: usize, word: &str) -> Option<Error> {
        let word = word.trim_end_matches(['.', ',', '!']).to_lowercase();
        let unclear = matches!(word.as_str(), "no" | "none" | "yes" | "nope" | "fail" | "failed");
        let field = self.open_field(|field| field.name == "faults")?;
        let last = self.words.len() == at.saturating_add(1);
        (self.spec.word == "inspect" && unclear && last).then(|| {
            let passed = ("it passed".to_owned(), self.replaced(at, 1, &[]));
            let fault = "did not pass";
            let not = (fault.to_owned(), self.with_field(at, 1, field, fault));
            doubt::unclear(
                format!("inspect: \u{201c}{word}\u{201d}: did it pass, or not?"),
                [passed, not],
            )
        })
    }
}
