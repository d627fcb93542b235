//! A line that was read is said: what it lacks is asked, what can hurt is told, and then the bench says it.
//!
//! A terminal and a page say their lines through here, so that both ask the same questions.
//!
//! * [`hands`]: a hand's name, held against those that the shop knows
//! * `old_water`: the question of a change
//! * `pinned`: a fresh checkpoint behind what a dispute may turn on
//! * `told_apart`: the questions of a stray that is said to be somebody's

pub mod hands;
mod old_water;
mod pinned;
mod told_apart;

use burrline_bench::{
    Bench, Ending, Error,
    answer::Said,
    cautions,
    clock::{Clock as _, SystemClock},
};
use burrline_line::{Utterance, typed::typed, when::Meant};

use crate::Person;

/// Says a line; nothing if the hand left it off before anything was asked of the shop.
///
/// # Errors
/// As [`Bench::utter`].
pub async fn utter(
    bench: &Bench,
    mut utterance: Utterance,
    person: &mut impl Person,
) -> Result<Option<Said>, Error> {
    utterance.told.iter().for_each(|words| person.tell(words));
    // What is sealed shows in no echo, so the hand that typed it sees here what was taken for whom.
    if person.is_there() && !utterance.details.is_empty() {
        person.tell(&format!("sealed: {}", utterance.details.shown()));
    }
    old_water::complete(&mut utterance, person)?;
    told_apart::complete(&mut utterance, person)?;
    utterance.common.hand = hands::settled(bench, utterance.common.hand, person).await?;
    let hand = utterance.common.hand.clone();
    let hand = hand.or_else(|| bench.hand().map(|hand| hand.to_string())).unwrap_or_default();
    let (now, zone) = (SystemClock.now().wall, bench.zone());
    if let Some(at) = &utterance.common.at {
        // What cannot be read is told before anything else.
        let Some(words) = time(bench, at, person)? else {
            let lines: Vec<String> = utterance.verbs.iter().map(typed).collect();
            person.tell(&format!("left off: {}", lines.join("; ")));
            return Ok(None);
        };
        utterance.common.at = Some(words);
    }
    for words in bench.amended(&mut utterance, &SystemClock)? {
        person.tell(&words);
    }
    for words in cautions::untold(bench.folder(), &hand, &utterance.verbs, now, &zone)? {
        person.tell(words);
    }
    bench.utter(utterance, &SystemClock, person).await.map(Some)
}

/// What is done once an answer was shown: gives what happened at the shop meanwhile.
pub async fn afterwards(bench: &Bench, said: &Said) -> Vec<String> {
    if said.ending() == Ending::Away {
        return Vec::new();
    }
    let mut told = bench.in_touch(&SystemClock).await;
    told.extend(pinned::pin(bench, said).await);
    // What the shop knows by now is what the next line is read by.
    bench.fresh_lexicon(&SystemClock).await;
    told
}

/// The words of a time that mean one and no other; none if the hand leaves the line off.
fn time(bench: &Bench, at: &str, person: &mut impl Person) -> Result<Option<String>, Error> {
    let Meant::Asked { why, readings } = bench.meant(at, &SystemClock.now())? else {
        return Ok(Some(at.to_owned()));
    };
    if !person.is_there() {
        // The bench says it with the words that would do.
        return Ok(Some(at.to_owned()));
    }
    let shown: Vec<String> = readings.iter().map(|reading| reading.shown.clone()).collect();
    let chosen = person.which(&why, &shown).and_then(|chosen| readings.get(chosen));
    Ok(chosen.map(|reading| reading.say.clone()))
}

/// A line that the hand left off at a question.
fn left_off() -> Error {
    Error::Refused("left off; nothing was said".to_owned())
}
