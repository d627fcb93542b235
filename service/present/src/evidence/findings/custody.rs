//! The times of which nobody said where it was, and the stays whose end nobody said.

use std::collections::BTreeMap;

use burrline_domain::fold::Until;
use burrline_terms::{Moment, counted, words::Piece};

use super::{
    super::custody,
    Finding,
    lines::{Lines, number},
};

pub(super) fn custody(lines: &Lines<'_>) -> Finding {
    let (state, job, zone) = (lines.state, lines.job, &lines.zone);
    let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull);
    let mut answers: Vec<String> =
        custody::gaps(state, job, lines.upto).iter().map(|gap| gap.words(zone)).collect();
    for stay in stays.clone() {
        let place = &stay.place;
        let time = |at: Moment| zone.time(at, None);
        if custody::is_found(state, stay) {
            let (after, by) = (time(stay.from.not_before), time(stay.from.at));
            answers.push(format!(
                "nobody said it into {place}: it was found there {by}, and came some time after {after}"
            ));
        }
        if let Until::Unsaid(by) = stay.until {
            let left = if by.not_before < by.at {
                format!("some time from {} to {}", time(by.not_before), time(by.at))
            } else {
                format!("it had by {}", time(by.at))
            };
            answers.push(format!("nobody said when it left {place}; {left}"));
        }
    }
    let alarm = !answers.is_empty();
    if answers.is_empty() {
        let stays = counted(stays.clone().count(), "stay");
        answers.push(format!("no break of more than 12 hours, over {stays} and every line on it"));
    }
    answers.extend(in_whose_hands(lines));
    let mut places: Vec<&str> = stays.map(|stay| stay.place.as_str()).collect();
    places.sort_unstable();
    places.dedup();
    if !places.is_empty() {
        answers.push(format!(
            "roll-calls are not looked at here, for they name other people's tags: ask the shop for \
             those of {}",
            places.join(", ")
        ));
    }
    let question = "Who touched it, and is there a time of which nobody said where it was?";
    Finding { question, answers, alarm }
}

/// Who touched it: of each hand what was done, line by line.
fn in_whose_hands(lines: &Lines<'_>) -> Vec<String> {
    let mut hands: Vec<String> = Vec::new();
    let mut did: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for line in lines.all.iter().filter(|line| line.counts() && line.now.is_work()) {
        let hand = lines.hand(line.fact);
        let place = line.now.place().map(|place| format!(" {place}")).unwrap_or_default();
        let step = format!("{}{place} {}", line.now.spec().word, number(line.fact));
        let of_it = did.entry(hand.clone()).or_insert_with(|| {
            hands.push(hand);
            Vec::new()
        });
        of_it.push(step);
    }
    let told = |hand: &String| {
        let steps = did.get(hand).map(|steps| steps.join(", ")).unwrap_or_default();
        format!("in the hands of {hand}: {steps}")
    };
    hands.iter().map(told).collect()
}
