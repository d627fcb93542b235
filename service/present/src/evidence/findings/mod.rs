//! The questions that a dispute turns on, answered from the records and nothing else.
//!
//! Each looks at every line that was ever said of the job, crossed out or not, and says who said
//! what, and when. Room for one more: a file here, and its line in [`findings`].

mod came;
mod condition;
mod corrections;
mod custody;
mod damage;
mod dispute;
mod late;
mod lines;
mod measures;
mod misfits;
mod missing;
mod parts;
mod photos;
mod price;
mod promise;
mod rules;
mod stage;
mod tag;
mod waters;

use burrline_domain::{State, fold::Job};
use burrline_terms::Moment;

use self::lines::Lines;
use crate::view;

/// One question with what the records answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The question.
    pub question: &'static str,
    /// The answer, a line each.
    pub answers: Vec<String>,
    /// Whether it wants a person to look.
    pub alarm: bool,
}

impl Finding {
    /// What was found, or these words if it was nothing.
    fn or(question: &'static str, mut answers: Vec<String>, nothing: &str, alarm: bool) -> Self {
        if answers.is_empty() {
            answers.push(nothing.to_owned());
        }
        Self { question, answers, alarm }
    }
}

/// What the records say of one job, in the order in which a stranger asks. Now is when the last of them came, so that the
/// same records give the same answers for ever.
pub fn findings(state: &State, job: &Job) -> Vec<Finding> {
    findings_at(state, job, state.last_shop_time())
}

/// The same with another moment as now.
pub fn findings_at(state: &State, job: &Job, now: Moment) -> Vec<Finding> {
    let lines = Lines::of(state, job, now);
    let of_the_job = [
        dispute::dispute(&lines),
        came::came(&lines),
        condition::condition(&lines),
        damage::damage(&lines),
        waters::waters(&lines),
        custody::custody(&lines),
        price::price(&lines),
        promise::promise(&lines),
        tag::tag(&lines),
        photos::photos(&lines),
        measures::measures(&lines),
        late::late(&lines),
        corrections::corrections(&lines),
        misfits::misfits(&lines),
        rules::rules(&lines),
        missing::missing(&lines),
    ];
    lost(&lines).into_iter().chain(of_the_job).collect()
}

/// What the shop says that it lost of its log; nothing where it says nothing.
fn lost(lines: &Lines<'_>) -> Option<Finding> {
    let told = |loss| view::loss(&lines.zone, loss);
    let answers: Vec<String> = lines.state.shop().losses.values().map(told).collect();
    let question = "Did the shop lose records of its log?";
    (!answers.is_empty()).then_some(Finding { question, answers, alarm: true })
}
