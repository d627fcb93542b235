//! Whether each record of the job is here, by the numbers that the shop gave them as they arrived.

use std::collections::BTreeMap;

use super::{super::story::Story, Held, Report};

/// The records of the job in a folder by their numbers, with their places on the log.
pub(super) struct Numbered {
    places: BTreeMap<u64, u64>,
    /// Two have one number, or a higher one stands before a lower one.
    mixed_up: bool,
}

impl Numbered {
    pub(super) fn of(story: &Story) -> Self {
        let (mut places, mut mixed_up) = (BTreeMap::new(), false);
        let on_job = story.records.iter().flat_map(|(record, _)| {
            let on = record.on_jobs.iter().filter(|on| on.job == story.job);
            on.map(|on| (on.nth, record.position))
        });
        for (nth, position) in on_job {
            mixed_up |= places.last_key_value().is_some_and(|(last, _)| *last >= nth);
            places.insert(nth, position);
        }
        Self { places, mixed_up }
    }

    /// Whether the whole of the job is numbered, from its take-in on.
    pub(super) fn begins_at_the_take_in(&self, story: &Story) -> bool {
        let take_in = story.state.fact(story.job).map(|fact| fact.record.position());
        take_in.is_some() && self.places.get(&1).copied() == take_in
    }

    /// The last number.
    fn last(&self) -> u64 {
        self.places.last_key_value().map_or(0, |(last, _)| *last)
    }

    /// What is missing, in words; nothing if all are here.
    fn missing(&self) -> Option<String> {
        let mut holes: Vec<String> = Vec::new();
        let mut count = 0_u64;
        let mut before: Option<(u64, u64)> = None;
        for (nth, place) in &self.places {
            let first = before.map_or(1, |(last, _)| last.saturating_add(1));
            let many = nth.saturating_sub(first);
            let numbers = match many {
                0 => None,
                1 => Some(format!("number {first}")),
                _ => Some(format!("numbers {first} to {}", nth.saturating_sub(1))),
            };
            holes.extend(numbers.map(|numbers| match before {
                Some((_, from)) => {
                    format!("{numbers}, between records {from} and {place} of the log")
                }
                None => format!("{numbers}, before record {place} of the log"),
            }));
            count = count.saturating_add(many);
            before = Some((*nth, *place));
        }
        let are = if count == 1 { "record is" } else { "records are" };
        (count > 0).then(|| {
            let last = self.last();
            format!("{count} {are} missing of the first {last} of the job: {}", holes.join("; "))
        })
    }
}

/// Notes whether a record of the job was left out between the first and the last that are here.
pub(super) fn numbered(story: &Story, report: &mut Report) {
    let numbered = Numbered::of(story);
    let last = numbered.last();
    if last == 0 {
        let words = "the shop did not number the records of a job yet when these were made";
        report.note("no record of the job was left out", Held::Told(words.to_owned()));
        return;
    }
    let what =
        format!("no record of the job was left out between its number 1 and its number {last}");
    if numbered.mixed_up {
        report.note(what, Held::No("two have one number, or they are not in order".to_owned()));
        return;
    }
    report.hole = numbered.missing();
    let held = report.hole.clone().map_or(Held::Yes, Held::No);
    report.note(what, held);
}
