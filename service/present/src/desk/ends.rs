//! How jobs ended other than by hand-over, and hand-overs that left a piece behind.

use burrline_domain::{State, Verb, fold::Job};
use burrline_proto::v1;

use super::{
    Days, day_of, day_text,
    people::{Eyes, said},
    pieces_away,
};
use crate::readings::{self, Reading, Unreadable, View};
use crate::view;

impl Reading for readings::Ends {
    type Response = v1::EndsResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::EndsResponse, Unreadable> {
        let days = Days::between(self.from, self.to).map_err(Unreadable::malformed)?;
        Ok(ends(view.state, view.eyes(), days))
    }
}

/// The ends of these days, in order.
pub fn ends(state: &State, eyes: Eyes<'_>, days: Days) -> v1::EndsResponse {
    let mut jobs: Vec<&Job> = state.jobs().values().filter(|job| job.ended.is_some()).collect();
    jobs.sort_by_key(|job| (job.ended.as_ref().map(|(when, _)| when.at), job.id));
    let lines = jobs.into_iter().filter_map(|job| {
        let day = day_of(state, job.ended.as_ref().map(|(when, _)| *when));
        let (how, words) = end(state, job, eyes)?;
        let left_here = pieces_away(state, job);
        let tells = how != "hand-over" || !left_here.is_empty();
        (tells && days.has(day)).then(|| v1::EndLine {
            skull: Some(view::skull_line(state, job)),
            day: day_text(day),
            how,
            words,
            left_here,
        })
    });
    v1::EndsResponse { lines: lines.collect() }
}

/// How a job ended, and what was said with it.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone end a job")]
fn end(state: &State, job: &Job, eyes: Eyes<'_>) -> Option<(String, String)> {
    let last = said(state, job).filter(|verb| verb.ends_job()).last()?;
    let (more, words) = match last {
        Verb::HandOver(v) => {
            let to = eyes.collected(state, job).name();
            let to = if to.is_empty() { to } else { format!("to {to}") };
            (String::new(), join([to, text(v.words.as_ref())]))
        }
        Verb::Ship(v) => {
            let carrier = text(v.carrier.as_ref());
            (String::new(), join([carrier, text(v.parcel.as_ref())]))
        }
        Verb::GiveBack(v) => (String::new(), text(v.why.as_ref())),
        Verb::OfficerTakes(v) => {
            let agency = text(v.agency.as_ref());
            (String::new(), join([agency, text(v.words.as_ref())]))
        }
        Verb::WriteOff(v) => (format!(" {}", v.how), text(v.rule.as_ref())),
        Verb::Sell(v) => {
            let to = eyes.who(v.buyer.as_ref()).name();
            let to = if to.is_empty() { to } else { format!("to {to}") };
            (String::new(), join([to, text(v.papers.as_ref())]))
        }
        _ => return None,
    };
    Some((format!("{}{more}", last.spec().word), words))
}

fn join(words: [String; 2]) -> String {
    let words: Vec<String> = words.into_iter().filter(|word| !word.is_empty()).collect();
    words.join(", ")
}

fn text<T: ToString>(words: Option<&T>) -> String {
    words.map(ToString::to_string).unwrap_or_default()
}
