//! Whether the skull wore one tag from beginning to end.

use burrline_domain::Verb;
use burrline_terms::words::YesNo;

use super::{Finding, lines::Lines};

pub(super) fn tag(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    for line in &lines.all {
        let Some(told) = lines.tell(line, of_tags) else { continue };
        let is_change = |verb: &Verb| {
            let another = matches!(verb, Verb::Recognize(look) if look.answer != YesNo::Yes);
            another || matches!(verb, Verb::SwapTag(_) | Verb::Identify(_))
        };
        alarm |= told.changed || line.versions().any(is_change);
        answers.push(told.words);
    }
    for shared in &lines.beside.shared {
        alarm = true;
        let other = shared.other.job_number();
        let from = lines.zone.time(shared.from.at, None);
        let until = shared.until.map(|until| lines.zone.time(until.at, None));
        let until = until.map_or_else(|| "still".to_owned(), |until| format!("until {until}"));
        answers.push(format!("{} was on job {other} too, from {from} {until}", shared.tag));
    }
    for passed in &lines.beside.passed {
        alarm = true;
        let other = passed.other.job_number();
        let from = lines.zone.time(passed.from.at, None);
        let until = passed.until.map(|until| lines.zone.time(until.at, None));
        let until = until.map_or_else(|| "on".to_owned(), |until| format!("until {until}"));
        answers.push(format!(
            "{} was on another skull, job {other}, from {from} {until}; a slip with that tag may be about \
             either",
            passed.tag
        ));
    }
    alarm |= answers.is_empty();
    Finding::or("Which tag did it wear, without a break?", answers, "no tag is on record", alarm)
}

fn of_tags(verb: &Verb) -> Option<String> {
    if let Verb::TakeIn(take_in) = verb {
        Some(match &take_in.skull.tag {
            Some(tag) => format!("{tag}, at the take-in"),
            None => "taken in without a tag".to_owned(),
        })
    } else if let Verb::BringBack(back) = verb {
        back.skull.tag.as_ref().map(|tag| format!("{tag}, as it was brought back"))
    } else if let Verb::ClipTag(clip) = verb {
        Some(format!("{} clipped besides", clip.tag))
    } else if let Verb::SwapTag(swap) = verb {
        let old = swap.skull.tag.as_ref();
        let old = old.map_or_else(|| "the one before".to_owned(), ToString::to_string);
        let why = swap.why.as_ref();
        let why = why.map_or_else(|| "no reason said".to_owned(), ToString::to_string);
        let witness = swap.witness.as_ref();
        let witness =
            witness.map_or_else(|| "no witness".to_owned(), |witness| format!("witness {witness}"));
        Some(format!("{} in place of {old}: {why}, {witness}", swap.tag))
    } else if let Verb::Identify(identify) = verb {
        let witness = identify.witness.as_ref();
        let witness =
            witness.map_or_else(|| "no witness".to_owned(), |witness| format!("witness {witness}"));
        Some(format!("lay about without a tag and was told apart, {witness}"))
    } else if let Verb::Recognize(recognize) = verb {
        let beside = recognize.photo.map(|photo| format!(" beside photo {photo}"));
        let words = recognize.words.as_ref().map(|words| format!(": {words}"));
        let witness = recognize.witness.as_ref();
        let witness =
            witness.map_or_else(|| "no witness".to_owned(), |witness| format!("witness {witness}"));
        let answer = match recognize.answer {
            YesNo::Yes => "it is the head that came in",
            YesNo::No => "it is another head",
            YesNo::Unknown => "nobody can say whether it is the head that came in",
        };
        Some(format!(
            "looked at{}, {answer}{}, {witness}",
            beside.unwrap_or_default(),
            words.unwrap_or_default()
        ))
    } else {
        None
    }
}
