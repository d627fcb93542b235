//! The times of which nobody said where it was, and the stays whose end nobody said.

use burrline_domain::{fold::Until, words::Piece};

use super::{super::custody, Finding, lines::Lines};

pub(super) fn custody(lines: &Lines<'_>) -> Finding {
    let (state, job, zone) = (lines.state, lines.job, &lines.zone);
    let stays = job.stays.iter().filter(|stay| stay.piece == Piece::Skull);
    let mut answers: Vec<String> =
        custody::gaps(state, job).iter().map(|gap| gap.words(zone)).collect();
    answers.extend(stays.clone().filter_map(|stay| {
        let Until::Unsaid(by) = stay.until else { return None };
        let by = zone.time(by.at, None);
        Some(format!("nobody said when it left {}; it had by {by}", stay.place))
    }));
    let alarm = !answers.is_empty();
    if answers.is_empty() {
        let stays = stays.clone().count();
        answers.push(format!(
            "no break of more than 12 hours, over {stays} stays and every line on it"
        ));
    }
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
    Finding { question: "Is there a time of which nobody said where it was?", answers, alarm }
}
