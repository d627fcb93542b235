//! `reckon law`.

use burrline_domain::house::lawdates::{LawFacts, Table};
use burrline_reckon::{
    Working,
    lawdates::{self, law},
};
use burrline_terms::{
    Day, Name, Typed as _,
    words::{Obtained, TestResult, YesNo},
};

use super::{Topic, asked::Asked, when};
use crate::Error;

/// Dates and papers that the law sets.
pub(super) static LAW: Topic = Topic {
    name: "law",
    about: "List the dates and papers that the law sets, or say to ask",
    more: "Takes where the shop is as two letters, then what is known: `taken` and the two letters \
           of where the animal was taken, `taken-in`, `completed`, `notice`, `returned` and \
           `licence-year-end` with a day, `obtained` (hunted, found-dead, road-kill), `area` (yes, \
           no, unknown) for a disease area, `test` (pending, not-detected, detected), `permit` if a \
           salvage permit is there. Rows are dated readings of a few texts; where there is none the \
           answer is to ask.",
    examples: &[
        "law VA returned 2025-02-10 area no",
        "law TX notice 2026-01-05 completed 2025-12-20",
        "law MN taken WI area unknown obtained found-dead",
    ],
    choices: &[],
    run: run_law,
};

fn run_law(asked: &Asked) -> Result<Working, Error> {
    const EXAMPLE: &str = "law VA returned 2025-02-10 area no";
    let keys = [
        "taken",
        "taken-in",
        "completed",
        "notice",
        "returned",
        "licence-year-end",
        "obtained",
        "area",
        "test",
        "permit",
    ];
    let asked = &when::with_days(asked, &keys)?;
    let mut phrases = asked.phrases(&keys, &[])?;
    let shop: Option<Name> = Some(phrases.want("", EXAMPLE)?);
    let taken: Option<Name> = phrases.maybe("taken", EXAMPLE)?;
    let mut day = |key: &str| phrases.maybe::<Day>(key, EXAMPLE);
    let (taken_in, completed) = (day("taken-in")?, day("completed")?);
    let (notice, returned) = (day("notice")?, day("returned")?);
    let licence_year_end = day("licence-year-end")?;
    let facts = LawFacts {
        shop: two_letters(shop)?,
        taken: two_letters(taken)?,
        obtained: phrases.maybe::<Obtained>("obtained", EXAMPLE)?,
        permit: phrases.has("permit"),
        disease_area: phrases.maybe::<YesNo>("area", EXAMPLE)?,
        test: phrases.maybe::<TestResult>("test", EXAMPLE)?,
        taken_in,
        completed,
        returned,
        notice,
        licence_year_end,
    };
    phrases.done(EXAMPLE)?;
    Ok(law(&Table::shipped(), &facts))
}

fn two_letters(place: Option<Name>) -> Result<Option<String>, Error> {
    match place {
        Some(name) => match lawdates::place(&name.show()) {
            Some(letters) => Ok(Some(letters)),
            None => Err(Error::usage(format!(
                "law: {name} is no state, province or territory of the United States or Canada; say its \
                 two letters, such as VA"
            ))),
        },
        None => Ok(None),
    }
}
