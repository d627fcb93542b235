//! Which photos there are, and whether of before or after the work.

use burrline_domain::Verb;
use burrline_terms::Phrase;

use super::{Finding, lines::Lines};

pub(super) fn photos(lines: &Lines<'_>) -> Finding {
    let mut answers = Vec::new();
    let mut alarm = false;
    for line in &lines.all {
        let Some(told) = lines.tell(line, photo) else { continue };
        let stage = lines.stage(line);
        let typed_late = !stage.before_work && !stage.words.starts_with("after");
        alarm |= told.changed || typed_late;
        answers.push(format!("{} ({})", told.words, stage.words));
    }
    let question = "Which photos show it, and of when?";
    Finding::or(question, answers, "no photo is on record", alarm)
}

/// A photo by its words and the beginning of its copy's digest, which is its name in the folder.
fn photo(verb: &Verb) -> Option<String> {
    let Verb::Photograph(photo) = verb else { return None };
    let words = photo.words.as_ref().map_or("a photo", Phrase::as_str);
    let digest: String = photo.stripped.unwrap_or(photo.original).to_string();
    let digest: String = digest.chars().take(8).collect();
    Some(format!("{words} [{digest}…]"))
}
