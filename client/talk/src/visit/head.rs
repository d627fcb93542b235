//! What is typed of one head, read as the line that would say it.

use burrline_domain::{Verb, verb};
use burrline_line as line;
use burrline_terms::{Name, Phrase, Tag, Typed as _, words::Arrival};

use super::{Step, Visit};

/// What Enter stands for where nobody could look.
pub const NOT_SEEN: &str = "hide on";

/// Checks what was typed of a head; what it is, its condition, its wishes.
#[allow(clippy::wildcard_enum_match_arm, reason = "anything else is plain text")]
pub(super) fn checked(step: Step, words: &str) -> Result<String, String> {
    let words = words.trim();
    if words.is_empty() {
        return Ok(String::new());
    }
    match step {
        Step::Kind(_) => line_of("0000", words, "", "", "").map(|_| words.to_owned()),
        Step::State(_) => state(words).map(|state| state.word().to_owned()),
        Step::Wishes(_) => line_of("0000", "", "", words, "").map(|_| words.to_owned()),
        _ => Phrase::read(words).map(|_| words.to_owned()).map_err(|bad| bad.to_string()),
    }
}

/// The take-in of a head, by the answers.
pub(super) fn take_in(visit: &Visit, head: usize) -> Result<verb::TakeIn, String> {
    line_of(
        visit.words(Step::Tag(head)),
        visit.words(Step::Kind(head)),
        visit.words(Step::State(head)),
        visit.words(Step::Wishes(head)),
        visit.words(Step::Condition(head)),
    )
}

/// The states in words, as they are asked for.
pub(super) const STATES: &str = "skin-on, skinned, frozen, rotten, dried-on or bare";

/// A state by its word or the beginning of it, or by where the hide is.
fn state(words: &str) -> Result<Arrival, String> {
    let typed = words.to_lowercase();
    let hide = |word: &str| typed.trim_start_matches("the ") == word;
    if hide("hide on") || hide("skin on") || hide("on") {
        return Ok(Arrival::SkinOn);
    }
    if hide("hide off") || hide("skin off") || hide("off") {
        return Ok(Arrival::Skinned);
    }
    let mut begun = Arrival::ALL.iter().filter(|state| state.word().starts_with(typed.as_str()));
    match (begun.next(), begun.next(), Arrival::read(&typed)) {
        (_, _, Ok(state)) => Ok(state),
        (Some(state), None, Err(_)) => Ok(*state),
        (_, _, Err(_)) => Err(format!("say {STATES}, or press Enter for later")),
    }
}

/// The state that was said with the animal.
pub(super) fn arrival_of(kind: &str) -> Option<Arrival> {
    line_of("0000", kind, "", "", "").ok()?.arrival
}

/// Whether a head was said to have its hide on, so that nobody can have looked at the bone.
pub(super) fn hide_is_on(visit: &Visit, head: usize) -> bool {
    let state = Arrival::read(visit.words(Step::State(head))).ok();
    let state = state.or_else(|| arrival_of(visit.words(Step::Kind(head))));
    matches!(state, Some(Arrival::SkinOn | Arrival::DriedOn))
}

fn line_of(
    tag: &str,
    kind: &str,
    state: &str,
    wishes: &str,
    condition: &str,
) -> Result<verb::TakeIn, String> {
    let mut words = vec!["take-in".to_owned(), tag.to_owned()];
    let kind = line::split(kind).map_err(|error| error.to_string())?;
    // A number first would be another tag.
    if kind.first().is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit())) {
        return Err("say the animal first, such as: whitetail 8 pt male".into());
    }
    words.extend(kind);
    if !state.is_empty() {
        words.extend(["--arrival".to_owned(), state.to_owned()]);
    }
    words.extend(wish_options(wishes)?);
    match condition {
        "" => {}
        NOT_SEEN => words.push("--hide-on".to_owned()),
        seen => words.extend(["--condition".to_owned(), seen.to_owned()]),
    }
    let utterance =
        line::parse_words(&words, &line::Lexicon::default()).map_err(|error| told(&error))?;
    match <[Verb; 1]>::try_from(utterance.verbs) {
        Ok([Verb::TakeIn(take_in)]) => Ok(take_in),
        _ => Err("say one animal, such as: whitetail 8 pt male".into()),
    }
}

fn told(error: &line::Error) -> String {
    if let line::Error::Unclear(unclear) = error {
        let labels: Vec<String> = unclear.choices.iter().map(|c| c.label.clone()).collect();
        let or = burrline_line::words::or(&labels);
        return if or.is_empty() {
            unclear.about.clone()
        } else {
            format!("{} {or}", unclear.about)
        };
    }
    let words = error.to_string();
    words.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned()
}

fn part_option(part: &str) -> Option<&'static str> {
    match part {
        "nose" => Some("--nose"),
        "ears" => Some("--ears"),
        "jaw" => Some("--jaw"),
        "teeth" => Some("--teeth"),
        "white" | "whiteness" => Some("--whiteness"),
        _ => None,
    }
}

/// `nose keep ears leave-off white bright` as options.
fn wish_options(wishes: &str) -> Result<Vec<String>, String> {
    const HELP: &str = "say a part and what becomes of it, such as: nose keep, jaw leave-off, teeth \
                        loose; or: white bright";
    let mut options = Vec::new();
    let words = wishes.replace(',', " ");
    let mut words = words.split_whitespace();
    while let Some(first) = words.next() {
        let second = words.next().ok_or(HELP)?;
        // `keep nose` is said as well as `nose keep`.
        let (part, wish) =
            if part_option(first).is_some() { (first, second) } else { (second, first) };
        let option = part_option(part).ok_or(HELP)?;
        options.extend([option.to_owned(), wish.to_owned()]);
    }
    Ok(options)
}

/// The papers of a head as far as they were said; none if nothing was.
pub(super) fn papers(visit: &Visit, head: usize, tag: Tag, permit: bool) -> Option<verb::Papers> {
    let number = visit.words(Step::KillTag(head));
    if number.is_empty() {
        return None;
    }
    let number = Some(Name::clipped(number));
    let county = visit.words(Step::County(head));
    let (county, state) = match county.rsplit_once([' ', ',']) {
        Some((county, state)) if state.len() == 2 => (county.trim_end_matches(','), state),
        _ => (county, ""),
    };
    let name = |text: &str| (!text.trim().is_empty()).then(|| Name::clipped(text.trim()));
    Some(verb::Papers {
        skull: burrline_terms::Skull::tagged(tag),
        details: None,
        kill_tag: number.clone().filter(|_| !permit),
        killed_on: burrline_terms::Day::read(visit.words(Step::Killed(head))).ok(),
        county: name(county),
        state: name(&state.to_uppercase()),
        salvage_permit: number.filter(|_| permit),
        agency_seal: None,
        disease_area: None,
        test: None,
        lies: None,
    })
}
