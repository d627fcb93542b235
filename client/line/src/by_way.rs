//! By which way a head is cleaned: said with `take-in`, recorded right behind it as `by-way`.
//!
//! `take-in 0417 roe skinned way beetles` and `--way beetles` say the same. Where nobody says one,
//! the shop's setting `way` does. The steps of the way become the plan of the take-in.

use burrline_domain::{
    Verb, VerbSpec,
    verb::{self, TakeIn},
    ways::{Head, WayRow},
};
use burrline_terms::{Name, words::Sex};

use super::{Lexicon, doubt, read::Given, unclear};
use crate::Error;

/// The option's name.
pub(super) const OPTION: &str = "way";

/// The most words that the name of a way has.
const MOST_WORDS: usize = 3;

/// Whether a way is said with a verb.
pub(super) fn taken_by(spec: &VerbSpec) -> bool {
    spec.word == TakeIn::SPEC.word
}

/// Takes the way out of the words of a `take-in`, or out of its options; the shop's own where none is
/// said.
///
/// # Errors
/// [`Error::Unclear`] for a way that the shop does not know.
pub(super) fn said(
    spec: &VerbSpec,
    words: &mut Vec<String>,
    given: &mut Given,
    lexicon: &Lexicon,
) -> Result<Option<WayRow>, Error> {
    if !taken_by(spec) {
        return Ok(None);
    }
    if let Some(word) = given.remove(OPTION).and_then(|words| words.into_iter().next()) {
        let known = lexicon.ways.way(&word);
        return known.map(Some).ok_or_else(|| no_way(spec, words, given, lexicon, &word));
    }
    let Some(at) = words.iter().position(|word| word.eq_ignore_ascii_case(OPTION)) else {
        return Ok(lexicon.default_way.as_deref().and_then(|way| lexicon.ways.way(way)));
    };
    // `by way of beetles`.
    let by = at.checked_sub(1).filter(|by| words.get(*by).is_some_and(|word| word == "by"));
    let of = words.get(at.saturating_add(1)).is_some_and(|word| word == "of");
    let name = at.saturating_add(if of { 2 } else { 1 });
    let typed: Vec<&str> =
        words.get(name..).unwrap_or_default().iter().map(String::as_str).collect();
    let Some((way, used)) = in_front(&typed, lexicon) else {
        let word = typed.first().copied().unwrap_or_default().to_owned();
        words.drain(by.unwrap_or(at)..name.saturating_add(1).min(words.len()));
        return Err(no_way(spec, words, given, lexicon, &word));
    };
    words.drain(by.unwrap_or(at)..name.saturating_add(used));
    Ok(Some(way))
}

/// The way that the longest run of words at the front names.
pub(super) fn in_front(typed: &[&str], lexicon: &Lexicon) -> Option<(WayRow, usize)> {
    (1..=typed.len().min(MOST_WORDS)).rev().find_map(|used| {
        let name = typed.get(..used)?.join(" ");
        Some((lexicon.ways.way(name.trim_end_matches(','))?, used))
    })
}

fn no_way(
    spec: &VerbSpec,
    words: &[String],
    given: &Given,
    lexicon: &Lexicon,
    word: &str,
) -> Error {
    let line = doubt::whole_line(spec, &[], given, words);
    let choices = lexicon.ways.ways().map(|way| {
        let further = ["--way".to_owned(), way.name.to_string()];
        (way.name.to_string(), line.iter().cloned().chain(further).collect())
    });
    doubt::unclear(lexicon.ways.no_such_way(word).to_string(), choices.collect::<Vec<_>>())
}

/// Each `take-in` with its way right behind it, and the steps of the way as its plan.
pub(super) fn with_each(verbs: Vec<Verb>, way: Option<&WayRow>, lexicon: &Lexicon) -> Vec<Verb> {
    let Some(way) = way else { return verbs };
    let mut all = Vec::with_capacity(verbs.len().saturating_mul(2));
    for mut verb in verbs {
        let by = if let Verb::TakeIn(take_in) = &mut verb {
            // The plan of a simmer is that of the shop's own rules.
            if take_in.plan.is_empty() && lexicon.ways.has_a_plan_of_its_own(way) {
                take_in.plan =
                    lexicon.ways.plan(way, head(take_in, lexicon), &usual(take_in, lexicon));
            }
            let (skull, way) = (take_in.skull.clone(), Name::clipped(&way.name));
            Some(verb::ByWay { skull, way, plan: Vec::new() })
        } else {
            None
        };
        all.push(verb);
        all.extend(by.map(Verb::from));
    }
    all
}

fn head(take_in: &TakeIn, lexicon: &Lexicon) -> Head {
    let said = take_in.species.as_ref().map(Name::as_str).unwrap_or_default();
    let animal = lexicon.species.about(said);
    let antlered =
        lexicon.species.antlered(said, take_in.sex.filter(|s| *s != Sex::Unknown), take_in.points);
    Head { size: animal.size, grease: animal.grease, antlered }
}

fn usual(take_in: &TakeIn, lexicon: &Lexicon) -> Vec<burrline_terms::PlanStep> {
    let said = take_in.species.as_ref().map(Name::as_str).unwrap_or_default();
    lexicon.species.about(said).usual.clone()
}

/// A step of a plan that nobody knows is asked about: it would ring for nothing.
///
/// # Errors
/// [`Error::Unclear`] with the steps that are near.
pub(super) fn steps_known(verb: &Verb, line: &[String], lexicon: &Lexicon) -> Result<(), Error> {
    let plan = if let Verb::TakeIn(v) = verb {
        &v.plan
    } else if let Verb::Replan(v) = verb {
        &v.plan
    } else if let Verb::ByWay(v) = verb {
        &v.plan
    } else {
        return Ok(());
    };
    if !lexicon.known {
        return Ok(());
    }
    let Some(step) = lexicon.ways.unknown(plan) else { return Ok(()) };
    let known: Vec<String> = lexicon.ways.steps().map(|row| row.word.into_owned()).collect();
    let near = super::near::near(step.as_str(), known.iter().map(String::as_str));
    let choices = near.into_iter().map(|meant| {
        let words: Vec<String> = line
            .iter()
            .map(|word| match word.split_once('=') {
                Some((typed, span)) if typed == step.as_str() => format!("{meant}={span}"),
                Some(_) | None => word.clone(),
            })
            .collect();
        (unclear::line(&words), words)
    });
    Err(doubt::unclear(
        lexicon.ways.no_such_step(step.as_str()).to_string(),
        choices.collect::<Vec<_>>(),
    ))
}
