//! What must not come together in a wash bay or a kitchen, and what a bath must not stand in.
//!
//! * [`kinds`](mod@kinds): kinds of things, by what they do to one another
//! * `words`: names, and what a product of that name usually holds
//! * `rows`: what is known of two kinds, and of three; `sources`: where that is from
//! * `read`: what was typed, as things; `strength`: how strong they are
//! * `answer`: the few lines of the answer
//!
//! What is not known is never called safe: a name that is not listed, and two chemicals without a row,
//! are answered "not known, treat as dangerous".

mod answer;
pub mod kinds;
mod read;
mod rows;
mod sources;
mod strength;
mod words;

use self::{
    kinds::Kind,
    read::Thing,
    rows::{Row, THREES},
    sources::From,
};
use crate::{Absurd, Working};

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Nothing is known against it.
    Fine,
    /// It spoils the bath, the vessel or the bone.
    Spoils,
    /// It is not known here, and so treated as dangerous.
    Unknown,
    /// It hurts people.
    Injures,
    /// It can kill.
    Deadly,
}

impl Grade {
    const fn verdict(self) -> &'static str {
        match self {
            Self::Fine => "no hazard is listed for it, which does not make it safe",
            Self::Spoils => "better not",
            Self::Unknown => "not known, treat as dangerous",
            Self::Injures => "NO",
            Self::Deadly => "NO, it can kill",
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Fine => "no hazard listed",
            Self::Spoils => "better not",
            Self::Unknown => "not known",
            Self::Injures => "no",
            Self::Deadly => "deadly",
        }
    }
}

/// What is known of things that come together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// How bad it is.
    pub grade: Grade,
    /// Which of them, as they were said.
    pub of: String,
    /// What happens.
    pub what: String,
    /// What to do.
    pub act: &'static str,
    from: Option<From>,
}

impl Found {
    /// What happens and what to do, in one line.
    pub fn words(&self) -> String {
        if self.act.is_empty() { self.what.clone() } else { format!("{}. {}", self.what, self.act) }
    }
}

const READ_THE_LABEL: &str = "Read the label and the data sheet, and keep them apart until then";

/// All that is known of things together, the worst first.
pub fn known(typed: &[String]) -> Vec<Found> {
    found(&read::things(typed))
}

/// What a thing is by its name, or what a product of that name usually holds; nothing if it is not
/// known here.
pub fn kinds(name: &str) -> Vec<Kind> {
    read::things(&[name.to_owned()]).into_iter().flat_map(|thing| thing.kinds).collect()
}

/// What is known against things together.
///
/// # Errors
/// [`Absurd`] if fewer than two were said.
pub fn mix(typed: &[String]) -> Result<Working, Absurd> {
    let things = read::things(typed);
    let real = things.iter().filter(|thing| !thing.circumstance()).count();
    if let [one] = things.as_slice()
        && one.unknown()
        && one.said.contains(' ')
    {
        return Err(Absurd::new(
            "none of these words is known here",
            "treat it as dangerous and read the labels; where they are several things, say `and` between them: \
             `mix beetle spray and wood filler`",
        ));
    }
    let all = found(&things);
    // Circumstances alone are no mix, unless they kill by themselves, as a burner in a closed room does.
    let harmless = all.first().is_none_or(|found| found.grade < Grade::Injures);
    if (real == 0 && harmless) || things.len() < 2 {
        return Err(Absurd::new(
            "one thing alone is no mix",
            "say two or more, with what the vessel is made of and `hot` if it is: `mix peroxide vinegar`, \
             `mix soda aluminum hot`",
        ));
    }
    let mut working = Working::new();
    for found in all.iter().filter(|found| found.grade > Grade::Fine || all.len() == 1) {
        let verdict = found.grade.verdict();
        working = working.step(found.of.clone(), format!("{verdict}: {}", found.words()));
        if let Some(from) = found.from {
            working = working.source(from.name, from.known);
        }
    }
    for thing in things.iter().filter(|thing| thing.kinds.len() > 1) {
        let held: Vec<&str> = thing.kinds.iter().map(|kind| kind.words()).collect();
        let words = format!("counted as {}; a label, if it has one, decides", held.join(" or "));
        working = working.step(thing.said.clone(), words);
    }
    let worst = all.first();
    let grade = worst.map_or(Grade::Fine, |found| found.grade);
    working = strength::with(working, &things);
    if let Some(passed) = read::passed_over(typed) {
        working = working.caution(passed);
    }
    Ok(working
        .answer(answer::lines(&all, &things).join("\n"))
        .words("verdict", grade.word())
        .caution(
            "A mix is not safe just because it is not listed: labels and data sheets decide. \
             Gas in the bay: everybody out and upwind, then 911 or your emergency number.",
        ))
}

/// All that is known of things together, the worst first; each pair of them at least once.
fn found(things: &[Thing]) -> Vec<Found> {
    let mut all: Vec<Found> = threes(things);
    for thing in things.iter().filter(|thing| thing.unknown()) {
        all.push(strange(thing));
    }
    for (at, one) in things.iter().enumerate() {
        for other in things.iter().skip(at.saturating_add(1)) {
            all.extend(pair(one, other));
        }
    }
    // Stable: within a grade the rows' own order holds, the worst first.
    all.sort_by_key(|found| std::cmp::Reverse(found.grade));
    all
}

/// What is said of a thing that is not known.
fn strange(thing: &Thing) -> Found {
    let (what, act) = if read::is_bare_vessel(thing) {
        let said = &thing.said;
        (
            format!("nobody said what the {said} is made of"),
            "Say it, such as plastic, stainless steel, aluminum or galvanized",
        )
    } else if let Some(name) = read::near(thing) {
        (
            format!(
                "\u{201c}{}\u{201d} is not known here; if it is {name}, say {name}",
                thing.said
            ),
            READ_THE_LABEL,
        )
    } else {
        (format!("\u{201c}{}\u{201d} is not known here", thing.said), READ_THE_LABEL)
    };
    Found { grade: Grade::Unknown, of: thing.said.clone(), what, act, from: None }
}

fn threes(things: &[Thing]) -> Vec<Found> {
    let mut all = Vec::new();
    for three in THREES {
        let holding = |kinds: &'static [Kind]| {
            things.iter().filter(|thing| thing.kinds.iter().any(|kind| kinds.contains(kind)))
        };
        // Three things, not one product that may be any of them.
        let [ones, twos, thirds] = three.kinds;
        let apart = holding(ones).find_map(|one| {
            let mut others = holding(twos).filter(|two| *two != one);
            others.find_map(|two| {
                let third = holding(thirds).find(|third| *third != one && *third != two)?;
                Some((one, two, third))
            })
        });
        let Some((one, two, third)) = apart else { continue };
        all.push(Found {
            grade: three.grade,
            of: format!("{}, {} and {}", one.said, two.said, third.said),
            what: three.what.to_owned(),
            act: three.act,
            from: Some(three.source),
        });
    }
    all
}

/// What is known of two things, over all that they may hold.
fn pair(one: &Thing, other: &Thing) -> Vec<Found> {
    if one.unknown() || other.unknown() {
        return Vec::new();
    }
    let of = format!("{} with {}", one.said, other.said);
    let mut rows: Vec<(usize, &Row)> = Vec::new();
    let mut unlisted = None;
    for a in &one.kinds {
        for b in &other.kinds {
            match row(*a, *b) {
                Some(found) if !rows.iter().any(|(at, _)| *at == found.0) => rows.push(found),
                Some(_) => {}
                None if listed_as_fine(*a, *b) => {}
                None => unlisted = unlisted.or(Some((*a, *b))),
            }
        }
    }
    rows.sort_by_key(|(at, _)| *at);
    let mut all: Vec<Found> = rows
        .iter()
        .map(|(_, row)| Found {
            grade: row.grade,
            of: of.clone(),
            what: row.what.to_owned(),
            act: row.act,
            from: Some(row.source),
        })
        .collect();
    all.extend(strength::beyond(one, other));
    if let Some((a, b)) = unlisted {
        all.push(Found {
            grade: Grade::Unknown,
            of: of.clone(),
            what: format!("nothing is listed here of {} with {}", a.words(), b.words()),
            act: READ_THE_LABEL,
            from: None,
        });
    }
    // What is fine in one of several things that a product may hold says nothing.
    if all.iter().any(|found| found.grade > Grade::Fine) {
        all.retain(|found| found.grade > Grade::Fine);
    }
    all.sort_by_key(|found| std::cmp::Reverse(found.grade));
    all
}

/// The first row of two kinds, and its place; the worst stand first.
fn row(one: Kind, other: Kind) -> Option<(usize, &'static Row)> {
    rows::all().enumerate().find(|(_, row)| {
        (row.one.contains(&one) && row.other.contains(&other))
            || (row.one.contains(&other) && row.other.contains(&one))
    })
}

/// Whether nothing is known against two kinds of which no row speaks: one hardly reacts with
/// anything, or neither is a chemical.
fn listed_as_fine(one: Kind, other: Kind) -> bool {
    one == other
        || one.is_bland()
        || other.is_bland()
        || one.is_circumstance()
        || other.is_circumstance()
        || (one.is_quiet() && other.is_quiet())
}

#[cfg(test)]
mod tests;
