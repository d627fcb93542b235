//! One row of a ledger: what would be said of it, what is there already, or what is wrong with it.

use std::collections::BTreeMap;

use burrline_domain::{SpeciesList, State, Verb, fold::Job, verb};
use burrline_line::{Details, typed};
use burrline_terms::{
    Day, Moment, Money, Name, Phrase, Sealed, Skull, Tag, Typed, counted,
    words::{Group, Sex},
};
use jiff::tz::TimeZone;

use super::{Column, Order, Row, dates, money::Balance};
use crate::{draft::Refers, together::Line};

/// What becomes of a row.
#[derive(Debug, Clone)]
pub enum Verdict {
    /// These lines would be said.
    New(Vec<Line>),
    /// It is there already, whole.
    There(String),
    /// Something is wrong with it, and nothing of it is said.
    Wrong(String),
}

impl Verdict {
    /// The lines as a hand would read them, with the day that each is said for.
    pub fn lines(&self, zone: &TimeZone) -> Vec<String> {
        let Self::New(lines) = self else { return Vec::new() };
        let day = |at: Option<Moment>| {
            at.map(|at| {
                format!("at {} ", burrline_line::when::local(at, zone).strftime("%Y-%m-%dT%H:%M"))
            })
        };
        let told = |line: &Line| {
            let sealed = if line.details.is_empty() { "" } else { " (sealed)" };
            format!("{}{}{sealed}", day(line.said).unwrap_or_default(), typed::typed(&line.verb))
        };
        lines.iter().map(told).collect()
    }
}

/// What is known beside the rows.
#[derive(Debug)]
pub struct Beside<'a> {
    /// The present.
    pub state: &'a State,
    /// The shop's zone.
    pub zone: &'a TimeZone,
    /// Now.
    pub now: Moment,
    /// What comes first in a day of numbers, if that was said.
    pub order: Option<Order>,
}

/// A row as far as its tag and days can be read.
struct Read {
    tag: Tag,
    came: Day,
    left: Option<Day>,
}

/// Species that are of no kind that the shop knows times and sizes for, each with the lines it is on.
pub fn unknown_species(rows: &[Row]) -> Vec<String> {
    let mut unknown: BTreeMap<String, Vec<u64>> = BTreeMap::new();
    for row in rows {
        let species = row.cell(Column::Species).to_lowercase();
        if !species.is_empty() && SpeciesList::builtin().group(&species) == Group::Other {
            unknown.entry(species).or_default().push(row.line);
        }
    }
    let told = |(species, lines): (String, Vec<u64>)| match lines.as_slice() {
        [one] => format!("{species} (line {one})"),
        [first, rest @ ..] => format!("{species} (line {first} and {} more)", rest.len()),
        [] => species,
    };
    unknown.into_iter().map(told).collect()
}

/// A verdict for each row, in order.
pub fn verdicts(rows: &[Row], beside: &Beside<'_>) -> Vec<Verdict> {
    let mut before: BTreeMap<Tag, Vec<(u64, Read)>> = BTreeMap::new();
    let mut verdicts = Vec::with_capacity(rows.len());
    for row in rows {
        verdicts.push(match read(row, beside) {
            Ok(read) => {
                let worn = before.entry(read.tag.clone()).or_default();
                let verdict = verdict(row, &read, worn, beside);
                worn.push((row.line, read));
                verdict.unwrap_or_else(Verdict::Wrong)
            }
            Err(words) => Verdict::Wrong(words),
        });
    }
    verdicts
}

fn read(row: &Row, beside: &Beside<'_>) -> Result<Read, String> {
    if row.beyond > 0 {
        return Err(format!(
            "it has {} more than the first line: put quotes around a cell with a comma or a semicolon in it",
            counted(row.beyond, "cell")
        ));
    }
    let tag = row.cell(Column::Tag);
    if tag.is_empty() {
        return Err("no tag".to_owned());
    }
    let tag = Tag::read(tag).map_err(|bad| bad.to_string())?;
    let day = |column| -> Result<Option<Day>, String> {
        let text = row.cell(column);
        (!text.is_empty()).then(|| dates::read(text, beside.order)).transpose()
    };
    let came = day(Column::DateIn)?.ok_or("no day on which it came in")?;
    let left = day(Column::DateOut)?;
    let today = burrline_line::when::day(beside.now, beside.zone);
    if came > today || left.is_some_and(|left| left > today) {
        return Err("its day is still to come".to_owned());
    }
    if left.is_some_and(|left| left < came) {
        return Err("it left before it came in".to_owned());
    }
    Ok(Read { tag, came, left })
}

/// The verdict on a row; `worn` are the rows above it with the same tag.
fn verdict(
    row: &Row,
    read: &Read,
    worn: &[(u64, Read)],
    beside: &Beside<'_>,
) -> Result<Verdict, String> {
    let overlaps = |from: Day, to: Option<Day>| {
        to.is_none_or(|to| read.came < to) && read.left.is_none_or(|left| from < left)
    };
    let clash =
        worn.iter().find(|(_, other)| other.came == read.came || overlaps(other.came, other.left));
    if let Some((line, _)) = clash {
        return Err(format!("{} is on line {line} at the same time", read.tag));
    }
    let day = |at: Moment| burrline_line::when::day(at, beside.zone);
    for job in beside.state.ever_wore(&read.tag).into_iter().filter_map(|id| beside.state.job(id)) {
        let Some(taken) = job.taken_in.map(|taken| day(taken.at)) else { continue };
        let ended = job.ended.as_ref().map(|(when, _)| day(when.at));
        if taken == read.came {
            return known(row, read, job, ended, beside);
        }
        if overlaps(taken, ended) {
            return Err(format!(
                "{} is on job {} at that time, which came in on {taken}",
                read.tag,
                job.id.job_number()
            ));
        }
    }
    new(row, read, beside).map(Verdict::New)
}

/// A row that is there already: nothing, or only the money that nobody said yet, and that it has left
/// meanwhile.
fn known(
    row: &Row,
    read: &Read,
    job: &Job,
    ended: Option<Day>,
    beside: &Beside<'_>,
) -> Result<Verdict, String> {
    let number = job.id.job_number();
    let skull = Skull { job: Some(job.id), ..Skull::tagged(read.tag.clone()) };
    let (money, differs) = money_of_known(row, job, &skull, beside.state)?;
    let came = Some(noon(read.came, beside));
    let money = money.into_iter().map(|verb| Line { said: came, ..Line::new(verb) });
    let left = read.left.filter(|_| ended.is_none()).map(|left| {
        let said = Some(noon(left, beside));
        let out = verb::HandOver { skull: skull.clone(), collector: None, words: words_of(row) };
        Line { said, ..Line::new(out) }
    });
    let lines: Vec<Line> = money.chain(left).collect();
    Ok(match (lines.is_empty(), differs) {
        (false, _) => Verdict::New(lines),
        (true, None) => Verdict::There(format!("there already: job {number}")),
        (true, Some(words)) => Verdict::There(format!("there already: job {number}; {words}")),
    })
}

/// What a row says of money and nobody said yet of its job, and where both say something else. What was
/// heard is never said anew by a ledger.
fn money_of_known(
    row: &Row,
    job: &Job,
    skull: &Skull,
    state: &State,
) -> Result<(Vec<Verb>, Option<String>), String> {
    let balance = Balance::of(row, state.settings().minor_digits())?;
    let share = state.share(job.id);
    let mut verbs = money(row, skull, state)?;
    let mut differs = Vec::new();
    let shown = |amount| state.settings().shown(amount);
    if let Some(price) = balance.price
        && (job.quoted.is_some() || !job.charges.is_empty())
    {
        verbs.retain(|verb| !matches!(verb, Verb::Quote(_)));
        if share.charged != price {
            let (ledger, log) = (shown(price), shown(share.charged));
            differs.push(format!("its price is {ledger} in the ledger and {log} here"));
        }
    }
    if let Some(paid) = balance.paid
        && share.paid != Money::ZERO
    {
        verbs.retain(|verb| !matches!(verb, Verb::Pay(_)));
        // More may have been paid here since.
        if share.paid < paid {
            let (ledger, log) = (shown(paid), shown(share.paid));
            differs.push(format!("{ledger} was paid by the ledger and {log} here"));
        }
    }
    let told = (!differs.is_empty())
        .then(|| format!("{}: what was said here stands", differs.join(", and ")));
    Ok((verbs, told))
}

fn words_of(row: &Row) -> Option<Phrase> {
    let step = row.cell(Column::Step);
    (!step.is_empty()).then(|| Phrase::clipped(&format!("in the old ledger: {step}")))
}

fn new(row: &Row, read: &Read, beside: &Beside<'_>) -> Result<Vec<Line>, String> {
    let came = Some(noon(read.came, beside));
    let mut lines = Vec::new();
    let details = details(row);
    let mut refers = Refers::default();
    if !details.is_empty() {
        let nothing = Sealed { key_id: [0; 16], nonce: Vec::new(), ciphertext: Vec::new() };
        let add = verb::AddCustomer { details: nothing, class: None };
        lines.push(Line { details, said: came, ..Line::new(add) });
        refers.customer = Some(0);
        let note = Some(Phrase::clipped("from the old ledger"));
        let ticket = verb::Ticket { customer: None, bringer: None, note };
        lines.push(Line { refers, said: came, ..Line::new(ticket) });
    }
    let ticket = (!lines.is_empty()).then_some(1);
    let job = u64::try_from(lines.len()).unwrap_or(u64::MAX);
    let refers = Refers { ticket, ..Refers::default() };
    let take_in = Line::new(take_in(row, read)?);
    lines.push(Line { refers, said: came, asked: true, ..take_in });
    let of_job = |verb: Verb, said: Option<Moment>| Line {
        refers: Refers { job: Some(job), ..Refers::default() },
        said,
        ..Line::new(verb)
    };
    lines.extend(papers(row, &read.tag)?.map(|papers| of_job(papers.into(), came)));
    let skull = Skull::tagged(read.tag.clone());
    let money = money(row, &skull, beside.state)?;
    lines.extend(money.into_iter().map(|verb| of_job(verb, came)));
    if let Some(left) = read.left {
        let out = verb::HandOver { skull, collector: None, words: words_of(row) };
        lines.push(of_job(out.into(), Some(noon(left, beside))));
    } else {
        // When a step was done nobody knows any more, so it is said as of now.
        lines.extend(steps(row, &skull, beside.state)?.into_iter().map(|verb| of_job(verb, None)));
    }
    Ok(lines)
}

/// The price that was told and what was paid of it, for this head alone; by what means, no ledger
/// says.
fn money(row: &Row, skull: &Skull, state: &State) -> Result<Vec<Verb>, String> {
    let balance = Balance::of(row, state.settings().minor_digits())?;
    let price = balance.price.map(|total| {
        let (skull, total) = (skull.clone(), Some(total));
        verb::Quote { skull, lines: Vec::new(), total, script: None }.into()
    });
    let paid = balance.paid.map(|amount| {
        let skull = skull.clone();
        verb::Pay { skull, amount, means: None, only_this: true }.into()
    });
    Ok(price.into_iter().chain(paid).collect())
}

fn details(row: &Row) -> Details {
    let text = |column| Some(row.cell(column).to_owned()).filter(|text| !text.is_empty());
    Details {
        name: text(Column::Name),
        phone: text(Column::Phone),
        email: None,
        address: text(Column::Address),
        licence: text(Column::Licence),
    }
}

fn take_in(row: &Row, read: &Read) -> Result<verb::TakeIn, String> {
    let sex = match row.cell(Column::Sex).to_lowercase().as_str() {
        "" => None,
        "m" | "male" | "buck" | "bull" | "boar" => Some(Sex::Male),
        "f" | "female" | "doe" | "cow" | "sow" => Some(Sex::Female),
        other => return Err(format!("sex: \u{201c}{other}\u{201d} is not male or female")),
    };
    let points = row.cell(Column::Points).trim_end_matches(|c: char| !c.is_ascii_digit());
    let points = (!points.is_empty()).then(|| u32::read(points)).transpose();
    Ok(verb::TakeIn {
        skull: Skull::tagged(read.tag.clone()),
        ticket: None,
        species: name(row, Column::Species)?,
        sex,
        age: None,
        obtained: None,
        arrival: None,
        nose: None,
        ears: None,
        jaw: None,
        teeth: None,
        whiteness: None,
        points: points.map_err(|bad| format!("points: {bad}"))?,
        condition: None,
        hide_on: false,
        plan: Vec::new(),
    })
}

fn name(row: &Row, column: Column) -> Result<Option<Name>, String> {
    let text = row.cell(column);
    let small = if column == Column::Species { text.to_lowercase() } else { text.to_owned() };
    (!text.is_empty()).then(|| Name::read(&small)).transpose().map_err(|bad| bad.to_string())
}

fn papers(row: &Row, tag: &Tag) -> Result<Option<verb::Papers>, String> {
    let (kill_tag, county) = (name(row, Column::KillTag)?, name(row, Column::County)?);
    if kill_tag.is_none() && county.is_none() {
        return Ok(None);
    }
    Ok(Some(verb::Papers {
        skull: Skull::tagged(tag.clone()),
        details: None,
        kill_tag,
        killed_on: None,
        county,
        state: None,
        salvage_permit: None,
        agency_seal: None,
        disease_area: None,
        test: None,
        lies: None,
    }))
}

/// How far it is and where, as lines; a word that is no step of the shop's stays as a note.
fn steps(row: &Row, skull: &Skull, state: &State) -> Result<Vec<Verb>, String> {
    let mut verbs: Vec<Verb> = Vec::new();
    let skull = || skull.clone();
    let step = row.cell(Column::Step);
    match step.to_lowercase().as_str() {
        "" => {}
        "flesh" | "fleshed" | "skinned" => {
            verbs.push(verb::Flesh { skull: skull(), brain: false }.into());
        }
        "wrap" | "wrapped" => verbs.push(verb::Wrap { skull: skull() }.into()),
        "wash" | "washed" => verbs.push(verb::Wash { skull: skull(), brain: false }.into()),
        "coat" | "coated" => verbs.push(verb::Coat { skull: skull(), with: None }.into()),
        _ => {
            let words = Phrase::clipped(&format!("in the old ledger: {step}"));
            verbs.push(verb::Note { skull: skull(), words }.into());
        }
    }
    if let Some(place) = name(row, Column::Place)? {
        if !state.shop().places.contains_key(&place) {
            return Err(format!(
                "no place is called {place}; write one of the shop's, or add it with `burrline add-place`"
            ));
        }
        verbs.push(verb::In { skull: skull(), place }.into());
    }
    Ok(verbs)
}

/// Noon of a day, for a ledger has no times; not later than now.
fn noon(day: Day, beside: &Beside<'_>) -> Moment {
    let noon = day.0.to_datetime(jiff::civil::Time::constant(12, 0, 0, 0));
    let noon = noon.to_zoned_datetime(beside.zone.clone());
    let noon = noon.map_or(beside.now, |noon| Moment(noon.timestamp().as_millisecond()));
    noon.min(beside.now)
}
