//! Whether the head that goes home is the one that came in.

use burrline_domain::Verb;
use burrline_proto::v1;

use super::{Doubts, Line};
use crate::likeness::Likeness;

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let goes_home = matches!(line.verb, Verb::HandOver(_) | Verb::Ship(_));
    let (true, Some(job), Some(skull)) = (goes_home, line.job, line.verb.skull()) else { return };
    if job.ended.is_some() {
        return;
    }
    let likeness = Likeness::of(line.state, job);
    if let Some(words) = likeness.another_head() {
        out.add("another-head", words);
    }
    if let Some(words) = likeness.not_recognized() {
        out.add("not-recognized", words);
    }
    if let Some((words, look)) = likeness.look_wanted(skull) {
        out.0.push(v1::Objection {
            rule: "beside-its-photo".to_owned(),
            words,
            missing: vec![v1::Verb::from(&look)],
            ..v1::Objection::default()
        });
    }
}
