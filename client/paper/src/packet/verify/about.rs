//! Which job a folder is about, in words, and what no check can tell.

use burrline_present::view::{self, Zone};
use burrline_terms::EntryName;

use super::{super::story::Story, numbered::Numbered};

/// What no check can tell, on the page and at the end of what `verify` says. Where the whole job is
/// numbered, a record can be missing at its end alone.
pub fn not_known(story: Option<&Story>) -> &'static str {
    if story.is_some_and(|story| Numbered::of(story).begins_at_the_take_in(story)) {
        "whether what was said is true, whether something happened that nobody recorded, and whether the \
         newest records were left off the end, unless a paper that you have counts the lines"
    } else {
        "whether what was said is true, whether something happened that nobody recorded, and whether a \
         record was left out, unless a paper that you have counts the lines"
    }
}

/// The job with its tags and what it is, a line each.
pub(super) fn about(story: Option<&Story>, job: Option<EntryName>) -> Vec<String> {
    let (Some(story), Some(id)) = (story, job) else {
        return vec!["which job this folder is about cannot be read from it".to_owned()];
    };
    let Some(job) = story.job() else { return Vec::new() };
    let zone = Zone::of(&story.state);
    let line = view::skull_line(&story.state, job);
    let points = job.take_in.as_ref().and_then(|take_in| take_in.points);
    let points = points.map(|points| format!(" {points} pt")).unwrap_or_default();
    let spans = story.state.tag_spans(id);
    let tags: Vec<String> = spans
        .iter()
        .map(|(tag, from, until)| {
            let from = zone.time(from.at, None);
            let until = until.map(|until| format!(" until {}", zone.time(until.at, None)));
            format!("{tag} from {from}{}", until.unwrap_or_default())
        })
        .collect();
    let tags =
        if tags.is_empty() { "no tag".to_owned() } else { format!("tag {}", tags.join(", then ")) };
    let mut about = vec![format!("job {}, {}{points}: {tags}", id.job_number(), line.species)];
    about.extend(view::other_wearers(&story.state, job));
    about
}
