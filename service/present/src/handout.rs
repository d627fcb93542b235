//! What is handed out to a customer: slip, receipt, statement and pick-up notice.
//!
//! Each is a face without keys or numbers of entries: the shop with its address and licence, the
//! customer, the heads, a table of money, the next day that matters, the shop's own terms. What is
//! owed is told as everywhere else, by [`State::account`].

use std::collections::BTreeMap;

use burrline_domain::{State, Verb, fold::Job};
use burrline_terms::{Day, EntryName, Moment, Money};

use crate::{
    desk::called,
    evidence::counted::lines_of,
    named,
    taxes::{self, Told},
    view,
    view::Zone,
};

/// What stands before the number of a job's lines on record, by which a packet is checked for holes.
pub const ON_RECORD: &str = "lines on record: ";

/// Which paper it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// What a visit leaves with: heads, condition, price, promise.
    Slip,
    /// What was charged and paid, with its tax.
    Receipt,
    /// Every visit of a customer, with what is owed.
    Statement,
    /// That the heads are ready, and until when they lie here free.
    Notice,
}

impl Kind {
    /// What stands at the head of it.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Slip => "Slip",
            Self::Receipt => "Receipt",
            Self::Statement => "Statement",
            Self::Notice => "Ready for pick-up",
        }
    }
}

/// A line of a table: what, and how much.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it is.
    pub what: String,
    /// How much; empty where the line says it all.
    pub amount: String,
    /// A sum, which stands out.
    pub sum: bool,
}

/// One head.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// Tag, and what it is.
    pub title: String,
    /// The job's number, by which it is found again.
    pub number: String,
    /// When it came, how it is, what is promised.
    pub lines: Vec<String>,
    /// Its price, part by part.
    pub rows: Vec<Row>,
}

/// A paper, before it is laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Handout {
    /// Which paper it is.
    pub kind: Kind,
    /// The shop's name.
    pub shop: String,
    /// Its address, telephone and licence, a line each.
    pub about: Vec<String>,
    /// The visit's number; none if the job came without one.
    pub visit: Option<EntryName>,
    /// The customer's name; empty if it is sealed here or was not said.
    pub customer: String,
    /// The day on which it is printed, with its year.
    pub day: String,
    /// The heads, in the order in which they came.
    pub heads: Vec<Head>,
    /// What was charged, its tax by rate, what was paid and by what means, and what is owed.
    pub money: Vec<Row>,
    /// The next day that matters, and what to do; empty if nothing is to come.
    pub next: Vec<String>,
    /// What the shop wrote as its terms.
    pub terms: Vec<String>,
    /// There is a place for a signature.
    pub signature: bool,
}

/// The paper of the visit that a job belongs to; of a statement, of all visits of its customer.
pub fn handout(state: &State, job: &Job, kind: Kind, customer: String, now: Moment) -> Handout {
    let settings = state.settings();
    let jobs = jobs_of(state, job, kind);
    let printed = Zone::of(state).day(now);
    let told: Vec<Vec<Told>> = jobs.iter().map(|job| taxes::told(state, job)).collect();
    let style = Style::of(&told);
    let lines = [
        settings.shop_address().map(split),
        settings.shop_phone().map(|phone| vec![phone.to_owned()]),
        settings.shop_licence().map(|licence| vec![format!("Licence {licence}")]),
    ];
    Handout {
        kind,
        shop: settings.shop_name().unwrap_or("The shop").to_owned(),
        about: lines.into_iter().flatten().flatten().collect(),
        visit: job.ticket().filter(|_| kind != Kind::Statement),
        customer,
        day: printed.map(with_year).unwrap_or_default(),
        heads: jobs
            .iter()
            .zip(&told)
            .map(|(job, told)| head(state, job, kind, rows(state, told, style)))
            .collect(),
        money: money(state, &jobs, style),
        next: next(state, &jobs, kind, now),
        terms: settings.terms().map(split).unwrap_or_default(),
        signature: matches!(kind, Kind::Slip | Kind::Receipt),
    }
}

/// Whether a job is here and finished: it was inspected since the last work, without a fault.
pub fn is_ready(state: &State, job: &Job) -> bool {
    job.ended.is_none() && state.milestones(job).completed.is_some()
}

/// Parts of a setting that stand in lines of their own: `12 Mill Road / Alder, CO 80002`.
fn split(text: &str) -> Vec<String> {
    text.split(" / ").map(|part| part.trim().to_owned()).filter(|part| !part.is_empty()).collect()
}

/// A day that is still known in ten years.
pub fn with_year(day: Day) -> String {
    day.0.strftime("%a %d %b %Y").to_string()
}

fn jobs_of<'a>(state: &'a State, job: &'a Job, kind: Kind) -> Vec<&'a Job> {
    let mut tickets: Vec<EntryName> = job.ticket().into_iter().collect();
    if kind == Kind::Statement
        && let Some(ticket) = tickets.first().and_then(|id| state.shop().tickets.get(id))
        && let Some(customer) = ticket.customer
    {
        let of_customer = state.shop().tickets.iter();
        let theirs = of_customer.filter(|(_, other)| other.customer == Some(customer));
        tickets = theirs.map(|(id, _)| *id).collect();
    }
    let mut jobs: Vec<&Job> = tickets
        .iter()
        .flat_map(|ticket| state.jobs_of_ticket(*ticket))
        .filter_map(|id| state.job(id))
        .collect();
    if jobs.is_empty() {
        jobs.push(job);
    }
    jobs.sort_by_key(|job| (job.taken_in.map(|taken| taken.at), job.id));
    // A notice is of what is ready alone.
    if kind == Kind::Notice {
        let here = |job: &&Job| job.ended.is_none();
        let ready = |job: &&Job| here(job) && is_ready(state, job);
        let chosen: Vec<&Job> = jobs.iter().copied().filter(ready).collect();
        let chosen =
            if chosen.is_empty() { jobs.iter().copied().filter(here).collect() } else { chosen };
        return if chosen.is_empty() { jobs } else { chosen };
    }
    jobs
}

fn head(state: &State, job: &Job, kind: Kind, rows: Vec<Row>) -> Head {
    let zone = Zone::of(state);
    let line = view::skull_line(state, job);
    let what = named::kind(&line);
    let tag = if line.tag.is_empty() { String::new() } else { format!("tag {}", line.tag) };
    let title = [tag, what].into_iter().filter(|part| !part.is_empty());
    let mut lines = Vec::new();
    let day = |at: Moment| zone.day(at).map(with_year).unwrap_or_default();
    lines.extend(job.taken_in.map(|taken| format!("came in {}", day(taken.at))));
    if matches!(kind, Kind::Slip) {
        lines.extend(condition(job));
        let damage = |d: &burrline_domain::fold::Damage| {
            format!("damage: {}: {} ({})", d.piece, d.what, d.whose.to_string().replace('-', " "))
        };
        lines.extend(job.damages.iter().map(damage));
    }
    if let Some(promise) = job.promise.filter(|_| job.ended.is_none() && kind != Kind::Notice) {
        lines.push(format!("promised for {}", with_year(promise)));
    }
    if let Some((at, how)) = &job.ended {
        lines.push(format!("{how} {}", day(at.at)));
    }
    lines.push(format!("{ON_RECORD}{}", lines_of(state, job.id)));
    if kind == Kind::Slip && job.quoted.is_none() {
        lines.push("no price was said yet".to_owned());
    } else if kind == Kind::Slip && !job.agreed {
        lines.push("price told, not agreed yet".to_owned());
    }
    let number = job.id.job_number();
    Head { title: title.collect::<Vec<_>>().join(", "), number, lines, rows }
}

/// How the lines of a paper stand to the tax, so that they add up by hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Style {
    /// Tax came on top of some of them: all are told before tax, and the tax is added.
    BeforeTax,
    /// All are tax and all, as they were heard, and the tax in them is told beside.
    TaxAndAll,
}

impl Style {
    fn of(told: &[Vec<Told>]) -> Self {
        let on_top = told.iter().flatten().any(|told| told.on_top);
        if on_top { Self::BeforeTax } else { Self::TaxAndAll }
    }
}

/// The lines of a job's price and charges; beside taxed ones, what is not taxed says so.
fn rows(state: &State, told: &[Told], style: Style) -> Vec<Row> {
    let lines = || told.iter().flat_map(|told| &told.lines);
    let any = lines().any(|line| line.taxed);
    lines()
        .map(|line| Row {
            what: if any && !line.taxed {
                format!("{}, not taxed", line.what)
            } else {
                line.what.clone()
            },
            amount: state.settings().shown(match style {
                Style::BeforeTax => line.before_tax,
                Style::TaxAndAll => line.heard,
            }),
            sum: false,
        })
        .collect()
}

fn condition(job: &Job) -> Option<String> {
    let take_in = job.take_in.as_ref()?;
    match (&take_in.condition, take_in.hide_on) {
        (Some(words), _) => Some(format!("condition: {words}")),
        (None, true) => Some("condition not seen: the hide is on".to_owned()),
        (None, false) => None,
    }
}

/// What was charged and paid, as a sum to add up by hand.
fn money(state: &State, jobs: &[&Job], style: Style) -> Vec<Row> {
    let shown = |amount: Money| state.settings().shown(amount);
    let row = |what: &str, amount: Money, sum: bool| Row {
        what: what.to_owned(),
        amount: shown(amount),
        sum,
    };
    let add = |a: Money, b: Money| a.checked_add(b).unwrap_or(a);
    let less = |a: Money, b: Money| a.checked_sub(b).unwrap_or(a);
    let mut rows = Vec::new();
    let mut taxes: BTreeMap<String, Money> = BTreeMap::new();
    for (label, tax) in jobs.iter().flat_map(|job| taxes_of(state, job)) {
        let sum = taxes.entry(label).or_default();
        *sum = add(*sum, tax);
    }
    let shares: Vec<_> = jobs.iter().map(|job| state.share(job.id)).collect();
    let charged = Money::sum(shares.iter().map(|share| share.charged));
    let tax = Money::sum(taxes.values().copied());
    let before = less(charged, tax);
    if style == Style::BeforeTax && tax != Money::ZERO {
        rows.push(row("before tax", before, false));
        rows.extend(taxes.iter().map(|(label, tax)| row(label, *tax, false)));
    }
    rows.push(row("total", charged, true));
    if style == Style::TaxAndAll && tax != Money::ZERO {
        // What is in the total is no summand: it stands in the words.
        let within = |label: &str, amount: Money| Row {
            what: format!("in it {label}: {}", shown(amount)),
            amount: String::new(),
            sum: false,
        };
        rows.extend(taxes.iter().map(|(label, tax)| within(label, *tax)));
        rows.push(within("before tax", before));
    }
    let (listed, payments) = paid(state, jobs);
    rows.extend(payments);
    // A payment counts for its whole visit, of which a notice may tell only a part.
    let counted = Money::sum(shares.iter().map(burrline_domain::fold::Share::net));
    let elsewhere = less(listed, counted);
    match elsewhere.cmp(&Money::ZERO) {
        std::cmp::Ordering::Greater => {
            rows.push(row("of it for other heads of the visit", elsewhere, false));
        }
        std::cmp::Ordering::Less => {
            rows.push(row("paid with other heads of the visit", elsewhere, false));
        }
        std::cmp::Ordering::Equal => {}
    }
    let owed = Money::sum(shares.iter().map(burrline_domain::fold::Share::owed));
    let let_off = Money::sum(shares.iter().map(burrline_domain::fold::Share::let_off));
    if let_off != Money::ZERO {
        rows.push(row("not asked for any more", less(Money::ZERO, let_off), false));
    }
    rows.push(match owed.cmp(&Money::ZERO) {
        std::cmp::Ordering::Greater => row("to pay", owed, true),
        std::cmp::Ordering::Less => row("in your favor", less(Money::ZERO, owed), true),
        std::cmp::Ordering::Equal if charged == Money::ZERO => row("to pay", owed, true),
        std::cmp::Ordering::Equal => row("paid in full; to pay", owed, true),
    });
    rows
}

/// The tax in what was charged for a job, by part of its rate.
fn taxes_of(state: &State, job: &Job) -> Vec<(String, Money)> {
    let parts = taxes::in_charges(state, job, Moment(i64::MAX)).parts.into_iter();
    let shown = parts.filter(|(_, (_, tax))| !tax.is_zero()).map(|(part, (_, tax))| {
        let name =
            if part.name.is_empty() { "tax".to_owned() } else { format!("tax, {}", part.name) };
        let percent = part.percent.normalize();
        let label = if percent.is_zero() { name } else { format!("{name} {percent} %") };
        (label, Money::new(tax))
    });
    shown.collect()
}

/// Each payment and refund, with its day and its means; and what they come to.
fn paid(state: &State, jobs: &[&Job]) -> (Money, Vec<Row>) {
    let zone = Zone::of(state);
    let mut moves: Vec<(Moment, EntryName, String, Money)> = Vec::new();
    for job in jobs {
        for (key, _) in job.facts().filter(|(_, counts)| *counts) {
            let (what, means, amount) = match state.meaning(key.name) {
                Some(Verb::Pay(v)) => ("paid", v.means, v.amount),
                Some(Verb::Refund(v)) => ("given back", v.means, v.amount),
                Some(_) | None => continue,
            };
            let means = means.map(|means| format!(" {means}")).unwrap_or_default();
            let day = zone.day(key.at).map(|day| day.to_string()).unwrap_or_default();
            let by = crate::desk::people::giver(state, job, key.name);
            let by = if by.is_some() { ", given by somebody else" } else { "" };
            let sign = if what == "paid" { Money::ZERO.checked_sub(amount) } else { Some(amount) };
            let words = format!("{day} {what}{means}{by}");
            moves.push((key.at, key.name, words, sign.unwrap_or(amount)));
        }
    }
    moves.sort();
    let listed = Money::sum(moves.iter().map(|(_, _, _, amount)| *amount));
    let row =
        |(_, _, what, amount)| Row { what, amount: state.settings().shown(amount), sum: false };
    let rows = moves.into_iter().map(row).collect();
    (Money::ZERO.checked_sub(listed).unwrap_or(listed), rows)
}

/// The next day that matters.
fn next(state: &State, jobs: &[&Job], kind: Kind, now: Moment) -> Vec<String> {
    let open: Vec<&&Job> = jobs.iter().filter(|job| job.ended.is_none()).collect();
    let mut next = Vec::new();
    let ready: Vec<&&Job> = open.iter().copied().filter(|job| is_ready(state, job)).collect();
    let later = open.iter().filter(|job| kind != Kind::Notice && !is_ready(state, job));
    if kind == Kind::Notice || !ready.is_empty() {
        if kind != Kind::Notice && ready.len() == open.len() {
            next.push("Ready: please come for it.".to_owned());
        } else if kind != Kind::Notice {
            let tags: Vec<String> = ready.iter().map(|job| called(state, job)).collect();
            next.push(format!("Ready: {}. Please come for it.", tags.join(", ")));
            if let Some(day) = later.clone().filter_map(|job| job.promise).max() {
                next.push(format!("The rest by {}.", with_year(day)));
            }
        } else if !open.is_empty() {
            next.push("Your work is ready. Please come for it, and bring this paper.".to_owned());
        }
        let stored = if ready.is_empty() { &open } else { &ready };
        let storage = stored.iter().filter_map(|job| storage(state, job, now)).min();
        if let (Some(day), Some(rule)) = (storage, state.settings().storage()) {
            use burrline_terms::Typed as _;
            next.push(format!("From {} storage is charged: {}.", with_year(day), rule.show()));
        }
    } else if let Some(day) = later.filter_map(|job| job.promise).max() {
        next.push(format!("Ready by {}.", with_year(day)));
    }
    next
}

/// The first day on which storage costs something: by the notice that was given, else by one of today.
fn storage(state: &State, job: &Job, now: Moment) -> Option<Day> {
    let zone = Zone::of(state);
    let notice = state.milestones(job).notice.map_or(now, |notice| notice.not_after);
    let (notice, today) = (zone.day(notice)?, zone.day(now)?);
    Some(state.settings().storage()?.clock(notice, today.max(notice))?.from)
}
