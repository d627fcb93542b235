//! The register: every head in the order in which it came in, as an inspector reads it. Blanks are
//! shown as blanks, and no money is in it.
//!
//! Which columns a state asks for, and for how long, differs; these are what the texts that were read
//! ask for between them (4VAC15-290-80; 15A NCAC 10H .1003; NY ECL 11-1733). Ask the agency.

use burrline_domain::{
    State, Verb,
    fold::Job,
    verb::{Papers, TakeIn},
};
use burrline_proto::v1;
use burrline_terms::words::{Means, Obtained, Reached, WriteOffAs};

use super::{
    Days, called, day_of, day_text,
    people::{Eyes, Who},
};
use crate::readings::{self, Reading, Unreadable, View};
use crate::view::Zone;

/// What stands below every register.
pub const BELOW: [&str; 2] = [
    "Which of these a state asks for, how long they are kept and who may look at them differs and \
     changes: ask your agency, or a lawyer. `burrline dates TAG` lists what the shop's own rows say.",
    "An amended or struck line stays on the log; this page has what is known now.",
];

impl Reading for readings::Register {
    type Response = v1::RegisterResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::RegisterResponse, Unreadable> {
        let days = Days::between(self.from, self.to).map_err(Unreadable::malformed)?;
        let whole = register(view.state, view.eyes(), days);
        Ok(if self.gaps { gaps(whole) } else { whole })
    }
}

/// The heads of which something is missing alone. What is still here can be asked for; what has left comes
/// after it.
fn gaps(mut register: v1::RegisterResponse) -> v1::RegisterResponse {
    register.lines.retain(|line| !line.blanks.is_empty() || !line.untold.is_empty());
    let back = |line: &v1::RegisterLine| {
        line.later.last().is_some_and(|last| last.starts_with(Leaving::BACK))
    };
    register.lines.sort_by_key(|line| !line.out_day.is_empty() && !back(line));
    register.gaps = true;
    register
}

/// The register of the heads that came in on these days.
pub fn register(state: &State, eyes: Eyes<'_>, days: Days) -> v1::RegisterResponse {
    let mut jobs: Vec<&Job> = state
        .jobs()
        .values()
        .filter(|job| job.taken_in.is_some() && days.has(day_of(state, job.taken_in)))
        .collect();
    jobs.sort_by_key(|job| (job.taken_in.map(|taken| taken.at), job.id));
    v1::RegisterResponse {
        heads: u32::try_from(jobs.len()).unwrap_or(u32::MAX),
        gaps: false,
        shop: state.settings().shop_name().unwrap_or("shop").to_owned(),
        lines: jobs.into_iter().map(|job| line(state, job, eyes)).collect(),
        cautions: BELOW.map(str::to_owned).to_vec(),
    }
}

fn line(state: &State, job: &Job, eyes: Eyes<'_>) -> v1::RegisterLine {
    let (taken, papers) = (job.take_in.as_ref(), job.papers.as_ref());
    let customer = eyes.customer(state, job);
    let hunter = eyes.hunter(state, job);
    let word = |word: Option<String>| word.unwrap_or_default();
    let mut row = Row {
        line: v1::RegisterLine {
            number: job.id.job_number(),
            tag: state.tag_of(job.id).map(ToString::to_string).unwrap_or_default(),
            in_day: day_text(day_of(state, job.taken_in)),
            species: word(job.species().map(ToString::to_string)),
            sex: word(taken.and_then(|t| t.sex).map(|sex| sex.to_string())),
            papers: papers.map(paper_numbers).unwrap_or_default(),
            county: papers.map(county).unwrap_or_default(),
            killed: killed(taken, papers),
            place: job.place().map(ToString::to_string).unwrap_or_default(),
            ..v1::RegisterLine::default()
        },
    };
    row.person("hunter", &hunter, &customer, |d| &d.name, |line| &mut line.hunter);
    row.person("address", &hunter, &customer, |d| &d.address, |line| &mut line.address);
    row.person("phone", &hunter, &customer, |d| &d.phone, |line| &mut line.phone);
    let found = found_dead(taken);
    if !found {
        row.person("licence", &hunter, &customer, |d| &d.licence, |line| &mut line.licence);
    }
    let leavings = leavings(state, job, eyes);
    if let Some(first) = leavings.iter().find_map(Leaving::out) {
        row.line.out_day.clone_from(&first.day);
        row.line.how.clone_from(&first.how);
        row.line.to_whom.clone_from(&first.to_whom);
        if first.sealed {
            row.line.sealed.push("to_whom".to_owned());
        }
    }
    if let (true, Some((when, how))) = (leavings.is_empty(), &job.ended) {
        // The line that began it was crossed out.
        row.line.out_day = day_text(day_of(state, Some(*when)));
        row.line.how = how.to_string();
    }
    // A head that came back keeps its first leaving; the rest comes after it.
    row.line.later = leavings.iter().skip(1).map(Leaving::words).collect();
    row.blanks(found);
    row.line.say = say(job, &called(state, job), &row.line.blanks, found);
    for (words, line) in untold(state, job) {
        row.line.untold.push(words);
        row.line.say.push(line);
    }
    row.line
}

/// One line while it is filled.
struct Row {
    line: v1::RegisterLine,
}

impl Row {
    /// Fills a column from the hunter, else from the customer; notes it if it is blank or sealed.
    fn person(
        &mut self,
        column: &str,
        hunter: &Who,
        customer: &Who,
        of: impl Fn(&crate::Details) -> &String,
        cell: impl Fn(&mut v1::RegisterLine) -> &mut String,
    ) {
        let text = [hunter, customer]
            .into_iter()
            .filter_map(Who::details)
            .map(&of)
            .find(|text| !text.is_empty());
        match text {
            Some(text) => cell(&mut self.line).clone_from(text),
            None if *hunter == Who::Sealed || *customer == Who::Sealed => {
                self.line.sealed.push(column.to_owned());
            }
            None => self.line.blanks.push(column.to_owned()),
        }
    }

    /// The columns that nobody filled.
    fn blanks(&mut self, found: bool) {
        let line = &self.line;
        let columns = [
            ("species", line.species.is_empty()),
            ("sex", line.sex.is_empty()),
            ("papers", line.papers.is_empty()),
            ("county", line.county.is_empty()),
            ("killed", line.killed.is_empty() && !found),
            (
                "to_whom",
                !line.out_day.is_empty() && line.to_whom.is_empty() && !self.is_sealed("to_whom"),
            ),
        ];
        let blank = columns.into_iter().filter(|(_, blank)| *blank);
        let blank: Vec<String> = blank.map(|(column, _)| column.to_owned()).collect();
        self.line.blanks.extend(blank);
    }

    fn is_sealed(&self, column: &str) -> bool {
        self.line.sealed.iter().any(|sealed| sealed == column)
    }
}

/// Kill tag, permit and seal, whatever was noted.
fn paper_numbers(papers: &Papers) -> String {
    let numbers = [
        ("", &papers.kill_tag),
        ("permit ", &papers.salvage_permit),
        ("seal ", &papers.agency_seal),
    ];
    let said = numbers
        .into_iter()
        .filter_map(|(what, number)| number.as_ref().map(|number| format!("{what}{number}")));
    said.collect::<Vec<_>>().join(", ")
}

fn county(papers: &Papers) -> String {
    let said = [&papers.county, &papers.state].into_iter().flatten();
    said.map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

fn killed(taken: Option<&TakeIn>, papers: Option<&Papers>) -> String {
    let day = papers.and_then(|papers| papers.killed_on);
    let found = taken.and_then(|taken| taken.obtained);
    match (day, found) {
        (Some(day), _) => day.to_string(),
        (None, Some(found @ (Obtained::FoundDead | Obtained::RoadKill))) => found.to_string(),
        (None, Some(Obtained::Hunted | Obtained::Farmed | Obtained::Unknown) | None) => {
            String::new()
        }
    }
}

/// Whether it was found or hit by a car: a permit stands for tag and licence then.
fn found_dead(taken: Option<&TakeIn>) -> bool {
    let obtained = taken.and_then(|taken| taken.obtained);
    matches!(obtained, Some(Obtained::FoundDead | Obtained::RoadKill))
}

/// One time that a head left, or came back.
enum Leaving {
    Out(Out),
    Back { day: String, why: String },
}

/// One time that a head left.
#[derive(Default)]
struct Out {
    day: String,
    how: String,
    to_whom: String,
    /// To whom is known, but not to this bench.
    sealed: bool,
}

impl Leaving {
    const BACK: &'static str = "back ";

    const fn out(&self) -> Option<&Out> {
        match self {
            Self::Out(out) => Some(out),
            Self::Back { .. } => None,
        }
    }

    fn words(&self) -> String {
        match self {
            Self::Back { day, why } if why.is_empty() => format!("{}{day}", Self::BACK),
            Self::Back { day, why } => format!("{}{day}: {why}", Self::BACK),
            Self::Out(Out { day, how, to_whom, .. }) => {
                let to_whom =
                    if to_whom.is_empty() { String::new() } else { format!(", {to_whom}") };
                format!("out {day}, {how}{to_whom}")
            }
        }
    }
}

/// Each time that it left and came back, in order. What ends a job that has ended already says nothing.
fn leavings(state: &State, job: &Job, eyes: Eyes<'_>) -> Vec<Leaving> {
    let mut leavings: Vec<Leaving> = Vec::new();
    for (key, _) in job.facts().filter(|(_, counts)| *counts) {
        let Some(verb) = state.meaning(key.name) else { continue };
        let is_out = leavings.last().is_some_and(|last| last.out().is_some());
        let day = || day_text(Zone::of(state).day(key.at));
        if let (Verb::BringBack(back), true) = (verb, is_out) {
            let why = back.why.as_ref().map(ToString::to_string).unwrap_or_default();
            leavings.push(Leaving::Back { day: day(), why });
        } else if verb.ends_job() && !is_out {
            let (to_whom, sealed) = to_whom(state, job, verb, eyes);
            let how = verb.spec().word.to_owned();
            leavings.push(Leaving::Out(Out { day: day(), how, to_whom, sealed }));
        }
    }
    leavings
}

/// To whom it went by the line that ended the job, and whether that is sealed here.
#[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone end a job")]
fn to_whom(state: &State, job: &Job, verb: &Verb, eyes: Eyes<'_>) -> (String, bool) {
    let customer = || eyes.customer(state, job);
    let (who, after) = match verb {
        Verb::HandOver(v) => (eyes.who(v.collector.as_ref()).or(customer), String::new()),
        Verb::GiveBack(_) => (customer(), String::new()),
        Verb::Ship(v) => {
            let by = [&v.carrier, &v.parcel].into_iter().flatten();
            let by = by.map(ToString::to_string).collect::<Vec<_>>().join(" ");
            (customer(), if by.is_empty() { by } else { format!("by {by}") })
        }
        Verb::Sell(v) => {
            let papers = v.papers.as_ref().map(|papers| format!("with {papers}"));
            (eyes.who(v.buyer.as_ref()), papers.unwrap_or_default())
        }
        Verb::OfficerTakes(v) => {
            let agency = v.agency.as_ref().map(ToString::to_string);
            return (agency.unwrap_or_default(), false);
        }
        Verb::WriteOff(v) => {
            let rule = v.rule.as_ref().map(|rule| format!(": {rule}")).unwrap_or_default();
            let nobody = match v.how {
                WriteOffAs::Lost => "nobody, lost".to_owned(),
                WriteOffAs::Ruined => "nobody, ruined".to_owned(),
                WriteOffAs::Unclaimed => format!("unclaimed{rule}"),
            };
            return (nobody, false);
        }
        _ => return (String::new(), false),
    };
    match who {
        Who::Known(details) => {
            let words = [details.name, after];
            let words = words.into_iter().filter(|word| !word.is_empty());
            (words.collect::<Vec<_>>().join(", "), false)
        }
        Who::Sealed => (String::new(), true),
        Who::Nobody => (after, false),
    }
}

/// What to type for the blanks of one head: words in capitals stand for what is on the paper, and a line
/// with one of them in it records nothing. A person's details are sealed in one piece, so they are said in
/// one line.
fn say(job: &Job, tag: &str, blanks: &[String], found: bool) -> Vec<String> {
    let blank = |column: &str| blanks.iter().any(|blank| blank == column);
    let mut lines = Vec::new();
    let people = ["hunter", "address", "phone", "licence"];
    if people.iter().any(|column| blank(column)) {
        let licence = if found { "" } else { " --licence NUMBER" };
        lines.push(format!(
            "papers {tag} --name \"HUNTER\" --phone NUMBER --address \"STREET, TOWN\"{licence}"
        ));
    }
    let mut papers = String::new();
    if blank("papers") {
        papers.push_str(if found { " --salvage-permit NUMBER" } else { " --kill-tag NUMBER" });
    }
    if blank("killed") {
        papers.push_str(" --killed-on YYYY-MM-DD");
    }
    if blank("county") {
        papers.push_str(" --county NAME --state XX");
    }
    if !papers.is_empty() {
        lines.push(format!("papers {tag}{papers}"));
    }
    if let Some(taken) = job.take_in.as_ref().filter(|_| blank("species") || blank("sex")) {
        let mut verb = taken.clone();
        verb.plan.clear();
        let mut line = format!("amend {} {}", job.id, Verb::from(verb).quoted_line());
        for (column, option) in [("species", " --species NAME"), ("sex", " --sex SEX")] {
            line.push_str(if blank(column) { option } else { "" });
        }
        lines.push(line);
    }
    lines
}

/// What the customer of a finished head was told without a word of what for, and the line that says it;
/// nothing once a notice counts.
fn untold(state: &State, job: &Job) -> Vec<(String, String)> {
    let milestones = state.milestones(job);
    let Some(completed) = milestones.completed.filter(|_| job.ended.is_none()) else {
        return Vec::new();
    };
    if milestones.notice.is_some() {
        return Vec::new();
    }
    let counts = state.settings().notice();
    let told = job.facts().filter(|(key, active)| *active && key.at >= completed.at);
    let told = told.filter_map(|(key, _)| match state.meaning(key.name) {
        Some(Verb::Tell(tell)) if counts.counts(tell) => Some((key, tell)),
        Some(_) | None => None,
    });
    let unsaid = told.filter(|(key, _)| state.told_for_as_said(job, key.name).is_none());
    unsaid
        .map(|(key, tell)| {
            let how = [tell.means.map(Means::word), tell.result.map(Reached::word)];
            let how: Vec<&str> = how.into_iter().flatten().collect();
            let day = Zone::of(state).time(key.at, None);
            let words = format!("told {day} ({}), not what for", how.join(", "));
            (words, format!("purpose {} PURPOSE --entry {}", called(state, job), key.name))
        })
        .collect()
}

/// What only the customer can say of a head that is still here, in words for a call.
pub(super) fn wanted(state: &State, job: &Job, eyes: Eyes<'_>) -> Vec<String> {
    let line = line(state, job, eyes);
    let asked = [
        ("hunter", "the hunter's name"),
        ("address", "address"),
        ("licence", "licence"),
        ("papers", "kill tag"),
        ("county", "county"),
        ("killed", "day of the kill"),
    ];
    let blank = |column: &str| line.blanks.iter().any(|blank| blank == column);
    let words = asked.into_iter().filter(|(column, _)| blank(column));
    words.map(|(_, words)| words.to_owned()).collect()
}
