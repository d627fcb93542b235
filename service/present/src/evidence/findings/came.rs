//! What came in, and with which papers.

use burrline_domain::Verb;

use super::{Finding, lines::Lines};

pub(super) fn came(lines: &Lines<'_>) -> Finding {
    let mut alarm = false;
    let mut answers = Vec::new();
    for line in &lines.all {
        let Some(told) = lines.tell(line, came_in) else { continue };
        alarm |= told.changed;
        answers.push(told.words);
    }
    Finding::or("What came in, and with which papers?", answers, "no take-in is on record", alarm)
}

fn came_in(verb: &Verb) -> Option<String> {
    if let Verb::TakeIn(head) = verb {
        let mut words: Vec<String> = Vec::new();
        words.extend(head.species.as_ref().map(ToString::to_string));
        words.extend(head.points.map(|points| format!("{points} points")));
        words.extend(head.sex.map(|sex| sex.to_string()));
        words.extend(head.age.as_ref().map(ToString::to_string));
        words.extend(head.arrival.map(|arrival| format!("came {arrival}")));
        words.extend(head.obtained.map(|how| format!("obtained: {how}")));
        words.extend(head.hide_on.then(|| "the hide was on".to_owned()));
        let wishes = [("nose", head.nose), ("jaw", head.jaw), ("teeth", head.teeth)];
        let wishes = wishes.into_iter().filter_map(|(of, wish)| Some((of, wish?)));
        words.extend(wishes.map(|(of, wish)| format!("wish for the {of}: {wish}")));
        words.extend(head.whiteness.as_ref().map(|white| format!("wish for whiteness: {white}")));
        let words = if words.is_empty() { "a head".to_owned() } else { words.join(", ") };
        Some(format!("taken in: {words}"))
    } else if let Verb::Papers(papers) = verb {
        let mut words: Vec<String> = Vec::new();
        words.extend(papers.kill_tag.as_ref().map(|tag| format!("kill tag {tag}")));
        words.extend(papers.killed_on.map(|day| format!("killed {day}")));
        words.extend(papers.county.as_ref().map(|county| format!("county {county}")));
        words.extend(papers.state.as_ref().map(|state| format!("state {state}")));
        words.extend(
            papers.salvage_permit.as_ref().map(|permit| format!("salvage permit {permit}")),
        );
        words.extend(papers.agency_seal.as_ref().map(|seal| format!("seal {seal}")));
        words.extend(papers.disease_area.map(|area| format!("from a disease area: {area}")));
        words.extend(papers.test.map(|test| format!("disease test: {test}")));
        words.extend(papers.details.is_some().then(|| "hunter and licence, sealed".to_owned()));
        let words = if words.is_empty() { "noted".to_owned() } else { words.join(", ") };
        Some(format!("papers: {words}"))
    } else {
        None
    }
}
