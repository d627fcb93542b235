//! What was counted, measured and weighed, first and later.

use std::collections::{BTreeMap, BTreeSet};

use burrline_domain::Verb;

use super::{Finding, lines::Lines};

pub(super) fn measures(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    // Each figure of a length; a weight changes as it dries, a length hardly does.
    let mut lengths: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for line in &lines.all {
        let Some(told) = lines.tell(line, figure) else { continue };
        alarm |= told.changed;
        answers.push(told.words);
        for verb in line.versions() {
            if let Verb::Measure(measure) = verb {
                let all = lengths.entry(measure.what.to_string()).or_default();
                all.insert(measure.length.to_string());
            }
        }
    }
    for (what, figures) in lengths.iter().filter(|(_, figures)| figures.len() > 1) {
        alarm = true;
        let figures: Vec<&str> = figures.iter().map(String::as_str).collect();
        answers.push(format!("{what} was measured differently: {}", figures.join(", ")));
    }
    let question = "Was it counted, measured or weighed, and does that agree?";
    Finding::or(question, answers, "nothing of that is on record", alarm)
}

fn figure(verb: &Verb) -> Option<String> {
    if let Verb::TakeIn(take_in) = verb {
        take_in.points.map(|points| format!("{points} points, at the take-in"))
    } else if let Verb::Measure(measure) = verb {
        Some(format!("{} {}", measure.what, measure.length))
    } else if let Verb::Weigh(weigh) = verb {
        Some(format!("weighed {}", weigh.mass))
    } else {
        None
    }
}
