//! Finding: by tags of now and then, numbers of papers, names, places, and words that were noted.
//!
//! Every word must be found, each anywhere; a result says what each was found in. Jobs that have left
//! are found as well, the newest first.

use burrline_domain::{State, Verb, fold::Job};
use burrline_proto::{Wire, v1};
use burrline_terms::{EntryName, Skull, Tag, Typed, words::Piece};

use super::{
    Zone,
    skull::{part_line, skull_line},
};
use crate::readings::{self, Reading, Unreadable, View};
use crate::{
    Details, Opens,
    desk::people::{Eyes, Who},
};

/// How many jobs that have left are listed at most.
const MOST_LEFT: usize = 30;

/// Less than this of a number finds too much.
const LEAST_DIGITS: usize = 3;

/// How much of a note is told with what was found in it.
const MOST_TOLD: usize = 80;

/// In what a word was found; what identifies goes before what describes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum In {
    /// The tag that it wears, or its own number; there is nothing to tell.
    Itself,
    /// A tag that it wore.
    Tag(String),
    /// A number that it has or had.
    Number(String),
    /// What it is, where it is, and how it stands.
    State(String),
    /// Words that were noted.
    Words(String),
}

impl In {
    fn told(self) -> Option<String> {
        match self {
            Self::Itself => None,
            Self::Tag(told) | Self::Number(told) | Self::State(told) | Self::Words(told) => {
                Some(told)
            }
        }
    }
}

impl Reading for readings::Find {
    type Response = v1::FindResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::FindResponse, Unreadable> {
        let mut found = find(view.state, view.keys(), view.eyes(), self.words.as_str());
        if !view.eyes().see() {
            found.customers.clear();
        }
        Ok(found)
    }
}

/// Jobs and customers by words. `eyes` are those of the reader: licences are searched only where they
/// may be read.
pub fn find(state: &State, keyring: &dyn Opens, eyes: Eyes<'_>, words: &str) -> v1::FindResponse {
    let words = words.trim();
    let wanted: Vec<&str> = words.split_whitespace().collect();
    let mut found: Vec<(Vec<In>, &Job)> = state
        .jobs()
        .values()
        .filter_map(|job| Some((found_in(state, job, eyes, &wanted)?, job)))
        .collect();
    found.sort_by_key(|(by, job)| {
        let newest = std::cmp::Reverse(job.taken_in.map(|taken| taken.at));
        let left = job.ended.is_some();
        (left, by.first().map(rank), if left { Some(newest) } else { None }, job.id)
    });
    let all_left = found.iter().filter(|(_, job)| job.ended.is_some()).count();
    let more = all_left.saturating_sub(MOST_LEFT);
    found.truncate(found.len().saturating_sub(more));
    let lines = found.into_iter().map(|(by, job)| v1::SkullLine {
        found_by: by.into_iter().filter_map(In::told).collect(),
        ..skull_line(state, job)
    });
    v1::FindResponse {
        skulls: parts(state, words).into_iter().chain(lines).collect(),
        customers: customers(state, keyring, eyes, words),
        more: u32::try_from(more).unwrap_or(u32::MAX),
    }
}

const fn rank(found: &In) -> u8 {
    match found {
        In::Itself => 0,
        In::Tag(_) => 1,
        In::Number(_) => 2,
        In::State(_) => 3,
        In::Words(_) => 4,
    }
}

/// What each word was found in; nothing if one of them was not.
fn found_in(state: &State, job: &Job, eyes: Eyes<'_>, words: &[&str]) -> Option<Vec<In>> {
    let fields = fields(state, job, eyes);
    let animal = job.species().and_then(|said| state.species().one(said.as_str()));
    let mut found: Vec<In> = Vec::new();
    for word in words {
        let hits = fields.iter().filter(|field| field.has(word)).map(|field| field.told.clone());
        // However it is spelled: `white-tail` finds what was taken in as `wt`.
        let same = animal.is_some() && state.species().one(word) == animal;
        let hit = hits.chain(same.then(|| In::State("species".to_owned()))).min()?;
        if !found.contains(&hit) {
            found.push(hit);
        }
    }
    found.sort();
    (!found.is_empty()).then_some(found)
}

/// Something that a word can be found in.
struct Field {
    what: What,
    told: In,
}

enum What {
    /// A tag: leading zeros do not count.
    Tag(Tag),
    /// The name of an entry, or a job's number.
    Name(EntryName),
    /// A number: punctuation does not count, and a part of it will do.
    Number(String),
    /// Words: a part of one will do, but for numbers.
    Words(String),
}

impl Field {
    fn has(&self, word: &str) -> bool {
        match &self.what {
            What::Tag(tag) => Tag::read(word).is_ok_and(|wanted| wanted == *tag),
            What::Name(name) => EntryName::read(word).is_ok_and(|wanted| wanted == *name),
            What::Number(number) => {
                let (number, word) = (plain(number), plain(word));
                let part = word.len() >= LEAST_DIGITS && number.contains(&word);
                !word.is_empty() && (number == word || part)
            }
            What::Words(words) => {
                let (words, word) = (words.to_lowercase(), word.to_lowercase());
                if word.chars().any(char::is_alphabetic) {
                    return words.contains(&word);
                }
                let mut said = words.split(|c: char| !c.is_alphanumeric());
                said.any(|said| said == word)
            }
        }
    }
}

/// Letters and digits alone, in small letters.
fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// All that a job can be found by.
fn fields(state: &State, job: &Job, eyes: Eyes<'_>) -> Vec<Field> {
    let mut fields = tags(state, job);
    let mut add = |what: What, told: In| fields.push(Field { what, told });
    add(What::Name(job.id), In::Itself);
    if let Some(ticket) = job.ticket() {
        add(What::Name(ticket), In::Number(format!("ticket {ticket}")));
    }
    if let Some(species) = job.species() {
        add(What::Words(species.to_string()), In::State("species".to_owned()));
        // `muley` finds a mule deer.
        if let Some(known) = state.species().one(species.as_str()) {
            let spellings = known.spellings.iter().chain([&known.name]);
            for spelling in spellings {
                add(What::Words(spelling.to_string()), In::State("species".to_owned()));
            }
        }
    }
    for place in job.places() {
        add(What::Words(place.to_string()), In::State(format!("in {place}")));
    }
    if let Some(why) = &job.hold {
        add(What::Words(why.to_string()), In::State(format!("held: {why}")));
    }
    if let Some((_, how)) = &job.ended {
        add(What::Words(how.to_string()), In::State(format!("left: {how}")));
    }
    if let Some(papers) = &job.papers {
        let numbers = [
            ("kill tag", &papers.kill_tag),
            ("salvage permit", &papers.salvage_permit),
            ("agency seal", &papers.agency_seal),
        ];
        for (what, number) in numbers {
            if let Some(number) = number {
                add(What::Number(number.to_string()), In::Number(format!("{what} {number}")));
            }
        }
        for (what, name) in [("county", &papers.county), ("state", &papers.state)] {
            if let Some(name) = name {
                add(What::Words(name.to_string()), In::State(format!("{what} {name}")));
            }
        }
        if let Some(lies) = &papers.lies {
            add(What::Words(lies.to_string()), In::Words(format!("papers lie: {lies}")));
        }
        // The customer's own licence is found with the customer.
        if let Who::Known(hunter) = eyes.who(papers.details.as_ref())
            && !hunter.licence.is_empty()
        {
            add(What::Number(hunter.licence), In::Number("the hunter's licence".to_owned()));
        }
    }
    let facts = job.facts().filter(|(_, counts)| *counts);
    for verb in facts.filter_map(|(key, _)| state.meaning(key.name)) {
        for text in texts(verb) {
            let told = format!("{}: {}", verb.spec().word, shortened(&text));
            add(What::Words(text), In::Words(told));
        }
        for number in numbers(verb) {
            let told = format!("{}: {number}", verb.spec().word);
            add(What::Number(number), In::Number(told));
        }
    }
    fields
}

/// Every tag that it wears or wore, with until when.
fn tags(state: &State, job: &Job) -> Vec<Field> {
    let zone = Zone::of(state);
    let spans = state.tag_spans(job.id).into_iter();
    spans
        .map(|(tag, _, until)| {
            let when = until.map(|until| zone.time(until.at, Some(state.last_shop_time())));
            let ended = until.and_then(|until| state.meaning(until.name));
            let told = match (when, ended) {
                (None, _) => In::Itself,
                (Some(when), Some(Verb::SwapTag(swap))) => {
                    In::Tag(format!("tag {tag} until {when}, then {}", swap.tag))
                }
                (Some(when), _) => In::Tag(format!("tag {tag} until it left {when}")),
            };
            Field { what: What::Tag(tag.clone()), told }
        })
        .collect()
}

/// What was said of it in a hand's own words.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone carry words about a skull")]
fn texts(verb: &Verb) -> Vec<String> {
    let said = match verb {
        Verb::TakeIn(v) => vec![&v.condition],
        Verb::Condition(v) => vec![&v.words],
        Verb::Note(v) => return vec![v.words.to_string()],
        Verb::Damage(v) => return once_and(v.what.to_string(), v.noticed.as_ref()),
        Verb::Repair(v) => vec![&v.what],
        Verb::Inspect(v) => vec![&v.faults],
        Verb::Photograph(v) => vec![&v.words],
        Verb::SwapTag(v) => vec![&v.why],
        Verb::BringBack(v) => vec![&v.why],
        Verb::GiveBack(v) => vec![&v.why],
        Verb::Extra(v) => return once_and(v.what.to_string(), v.why.as_ref()),
        Verb::Charge(v) => vec![&v.what],
        Verb::Promise(v) => vec![&v.why],
        Verb::Tell(v) => vec![&v.words],
        Verb::HandOver(v) => vec![&v.words],
        Verb::Sell(v) => vec![&v.papers],
        Verb::OfficerTakes(v) => vec![&v.words],
        Verb::Dispute(v) => vec![&v.words],
        Verb::Answer(v) => return vec![v.words.to_string()],
        Verb::CloseDispute(v) => vec![&v.words],
        Verb::Identify(v) => vec![&v.why],
        Verb::Recognize(v) => vec![&v.words],
        _ => return Vec::new(),
    };
    said.into_iter().flatten().map(ToString::to_string).collect()
}

fn once_and(first: String, then: Option<&burrline_terms::Phrase>) -> Vec<String> {
    std::iter::once(first).chain(then.map(ToString::to_string)).collect()
}

/// Numbers that were noted with it on its way.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone carry numbers of others")]
fn numbers(verb: &Verb) -> Vec<String> {
    match verb {
        Verb::Ship(v) => v.parcel.iter().map(ToString::to_string).collect(),
        Verb::Bag(v) => v.mark.iter().map(ToString::to_string).collect(),
        _ => Vec::new(),
    }
}

fn shortened(text: &str) -> String {
    if text.chars().count() <= MOST_TOLD {
        return text.to_owned();
    }
    let short: String = text.chars().take(MOST_TOLD).collect();
    format!("{short}\u{2026}")
}

/// Customers by name, by the last digits of their telephone, and by licence.
fn customers(
    state: &State,
    keyring: &dyn Opens,
    eyes: Eyes<'_>,
    words: &str,
) -> Vec<v1::FoundCustomer> {
    let by_words = found_customers(state, keyring, |details| found_by(details, eyes.see(), words));
    // Nobody is called so; somebody may be called nearly so.
    if by_words.is_empty() && words.chars().any(char::is_alphabetic) {
        let nearly = |details: &Details| {
            crate::alike_names::nearly(words, &details.name).then_some("nearly the name")
        };
        return found_customers(state, keyring, nearly);
    }
    by_words
}

/// The customers that are found by something, with their jobs.
fn found_customers(
    state: &State,
    keyring: &dyn Opens,
    by: impl Fn(&Details) -> Option<&'static str>,
) -> Vec<v1::FoundCustomer> {
    let mut found = Vec::new();
    for (customer, known) in &state.shop().customers {
        let Some(sealed) = known.details.last_key_value().map(|(_, sealed)| sealed) else {
            continue;
        };
        let Some(details) = keyring.open_details(sealed) else { continue };
        let Some(by) = by(&details) else { continue };
        let tickets = state.shop().tickets.iter();
        let tickets = tickets.filter(|(_, ticket)| ticket.customer == Some(*customer));
        let jobs = tickets.flat_map(|(ticket, _)| state.jobs_of_ticket(*ticket));
        let mut jobs: Vec<&Job> = jobs.filter_map(|id| state.job(id)).collect();
        jobs.sort_by_key(|job| (job.ended.is_some(), job.id));
        found.push(v1::FoundCustomer {
            customer: Some(customer.to_item()),
            name: details.name,
            phone: details.phone,
            jobs: jobs.into_iter().map(|job| skull_line(state, job)).collect(),
            found_by: by.to_owned(),
        });
    }
    found
}

/// By what a customer is found; a licence only for who may read it.
fn found_by(details: &Details, may_see: bool, words: &str) -> Option<&'static str> {
    let digits = |text: &str| -> String { text.chars().filter(char::is_ascii_digit).collect() };
    let wanted = digits(words);
    let letters = words.chars().any(char::is_alphabetic);
    if letters && details.name.to_lowercase().contains(&words.to_lowercase()) {
        return Some("name");
    }
    // The digits of a licence with letters are no telephone number.
    if !letters && wanted.len() >= LEAST_DIGITS && digits(&details.phone).ends_with(&wanted) {
        return Some("phone");
    }
    let licence = Field { what: What::Number(details.licence.clone()), told: In::Itself };
    (may_see && !details.licence.is_empty() && licence.has(words)).then_some("licence")
}

/// Pieces that are off their skull, by what stands on their bag: `0417-N`, or a mark of its own.
fn parts(state: &State, words: &str) -> Vec<v1::SkullLine> {
    let open = state.jobs().open();
    let marked = open.flat_map(|job| job.parts_away().into_iter().map(move |piece| (job, piece)));
    let by_number = Skull::read(words).ok().filter(|skull| skull.piece != Piece::Skull);
    marked
        .filter(|(job, piece)| {
            let meant = by_number.as_ref().filter(|skull| skull.piece == *piece);
            let job_meant = meant.and_then(|skull| state.find_job(skull));
            let mark = state.bag_mark(job, *piece);
            job_meant.is_some_and(|meant| meant.id == job.id)
                || mark.is_some_and(|mark| mark.eq_ignore_ascii_case(words))
        })
        .map(|(job, piece)| part_line(state, job, piece))
        .collect()
}
