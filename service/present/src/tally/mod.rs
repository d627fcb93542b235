//! March's questions: the past counted by a word of the trail, with honest limits.
//!
//! What is counted happened as it happened; nobody drew lots. So every table says that it shows what
//! went together, not what came of what, how many it leaves out, and when too few were counted.
//!
//! Only heads that were worked are counted. The days of heads that are not ready yet are left
//! out and told, not estimated. Bench hours are minutes a step, stretched to the hours that
//! were written down, alike for every step.
//!
//! * [`asked`]: what is counted, and by what
//! * [`case`](mod@case): one head as a tally sees it
//! * [`counts`]: how often, with limits
//! * [`times`]: how long, with limits
//! * [`earned`]: money a head and a bench hour
//! * [`places`]: skull-days, week by week

pub mod asked;
mod case;
mod counts;
mod earned;
mod places;
mod times;

use burrline_domain::State;
use burrline_proto::v1;
use burrline_terms::{Moment, counted, words::Role};

pub use asked::{Asked, By, What};

use self::case::Case;
use crate::readings::{self, Reading, Unreadable, View};

/// Below so many nothing is compared.
const FEW: u32 = 5;

impl readings::Tally {
    fn asked(&self) -> Result<Asked, String> {
        let season = self.season.map_or(0, |year| i32::try_from(year).unwrap_or(i32::MAX));
        Asked::read(self.what.word(), self.by.unwrap_or(By::All).word(), season)
    }

    /// Whether what is counted can be told apart so.
    ///
    /// # Errors
    /// The words to tell, if it cannot.
    pub fn goes_together(&self) -> Result<(), String> {
        self.asked()?.goes_together()
    }
}

impl Reading for readings::Tally {
    type Response = v1::TallyResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::TallyResponse, Unreadable> {
        if self.by == Some(By::Hand) && view.role != Some(Role::Owner) {
            let words = "hands are compared at an owner's bench alone; ask the owner";
            return Err(Unreadable::new(v1::Reason::Role, words));
        }
        let asked = self.asked().map_err(Unreadable::malformed)?;
        tally(view.state, asked, view.now()).map_err(Unreadable::malformed)
    }

    // A call does not prove who makes it, and this one is for the owner alone.
    fn of_own_copy(&self) -> bool {
        self.by == Some(By::Hand)
    }
}

/// A table for reading, as of `now`.
///
/// # Errors
/// The words to tell, if the two do not go together.
pub fn tally(state: &State, asked: Asked, now: Moment) -> Result<v1::TallyResponse, String> {
    asked.goes_together()?;
    if asked.what == What::SkullDays {
        return Ok(places::skull_days(state, asked.season, now));
    }
    let cases = case::cases(state, asked.season, now);
    Ok(match asked.what {
        What::Damage
        | What::NoseDamage
        | What::EarDamage
        | What::SecondGoes
        | What::Disputes
        | What::BroughtBack
        | What::Quality => counts::table(asked, &cases),
        What::Days | What::Heat => times::table(asked, &cases),
        What::Earned | What::SkullDays => earned::table(state, asked, &cases, now),
    })
}

/// A row.
fn row(cells: impl IntoIterator<Item = String>) -> v1::TallyRow {
    v1::TallyRow { cells: cells.into_iter().collect() }
}

fn columns(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// What must be known to read any of the tables.
fn notes(asked: Asked, cases: &[Case<'_>]) -> Vec<String> {
    let mut notes = vec![
        "This shows what went together, not what came of what: nobody drew lots over who was handled \
         how, and who gets the hard heads has more go wrong."
            .to_owned(),
    ];
    let unknown = cases.iter().filter(|case| case.label(asked.by) == case::NOT_SAID).count();
    if asked.by != By::All && unknown > 0 {
        notes.push(format!(
            "Of {}, {unknown} say nothing of \u{201c}{}\u{201d}; they stand in a row of their \
             own.",
            counted(cases.len(), "head"),
            asked.by.word()
        ));
    }
    match asked.by {
        By::Nose => notes.push(
            "\u{201c}left\u{201d} means that before its first pot nobody said bag or tie of the nose; \
             what was done and not said is in it too."
                .to_owned(),
        ),
        By::Ears => notes.push(
            "\u{201c}left\u{201d} means that before its first pot nobody said bag of the ear bones."
                .to_owned(),
        ),
        By::Recipe => notes.push("The recipe is that of the water of its first pot.".to_owned()),
        By::Hand => notes.push(
            "By the hand that put it into its first pot. It says nothing of a person: ask what heads \
             each was given before anything else."
                .to_owned(),
        ),
        By::Way => notes.push(
            "The way is the one that was said; where nobody said one, the step in which it came clean."
                .to_owned(),
        ),
        By::Waters => notes.push(
            "The recipes are those of all waters that it lay in, in order; a water without one is left \
             out."
                .to_owned(),
        ),
        By::All | By::Species | By::Kind | By::Age | By::Arrival | By::Season | By::Month => {}
    }
    notes
}
