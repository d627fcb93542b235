//! One job as a page.

use burrline_domain::{
    State, Verb,
    fold::{Job, Quoted, Standing, Stay, Until},
};
use burrline_proto::{Wire, v1};
use burrline_terms::{
    Happened, Moment, Money, Name,
    words::{Mark, Piece, PlaceKind},
};

use super::{Zone, clash_line, kind_of, paper::paper_lines, skull::doing_in, skull_line};
use crate::readings::{self, Reading, Unreadable, View};
use crate::{Opens, brief::Brief, condition, contact, money, units::Units};

impl Reading for readings::Show {
    type Response = v1::ShowResponse;

    fn answer(&self, view: &View<'_>) -> Result<v1::ShowResponse, Unreadable> {
        let job = view.job(&self.skull)?;
        let mut whole = job_view(view.state, job, view.keys(), view.now());
        if let Some(tag) = view.tag_said(&self.skull, job) {
            whole.facts.insert(0, format!("its tag: {tag}"));
            whole.facts_first = whole.facts_first.map(|first| first.saturating_add(1));
        }
        if !view.eyes().see() {
            leave_out(&mut whole);
        }
        Ok(v1::ShowResponse { job: Some(whole) })
    }
}

/// Leaves out names and money, which are for a counter and the owner.
fn leave_out(view: &mut v1::JobView) {
    view.customer_name.clear();
    view.money.clear();
    view.charges.clear();
    for amount in [&mut view.charged, &mut view.paid, &mut view.owed, &mut view.in_cash] {
        amount.clear();
    }
}

/// One job with all that is known of it.
pub fn job_view(state: &State, job: &Job, keyring: &dyn Opens, now: Moment) -> v1::JobView {
    let share = state.share(job.id);
    let account = state.account(job.id);
    let shown = |amount: Money| state.settings().shown(amount);
    let quoted = job.quoted.iter().flat_map(|q| quoted_lines(state, q));
    let charged = job.charges.iter().map(|(_, what, amount)| v1::PriceLine {
        what: what.as_ref().map_or_else(|| "charge".to_owned(), ToString::to_string),
        amount: shown(*amount),
    });
    let facts = facts(state, job).and(reckoned(state, job, now));
    v1::JobView {
        line: Some(skull_line(state, job)),
        customer_name: customer_name(state, job, keyring).unwrap_or_default(),
        facts_first: Some(facts.count()),
        facts: facts.in_parts(),
        stays: job.stays.iter().map(|stay| stay_line(state, stay)).collect(),
        money: money::notes(state, job, &share)
            .into_iter()
            .chain(money::of_the_others(state, job, &account))
            .collect(),
        charges: quoted.chain(charged).collect(),
        charged: shown(share.charged),
        paid: shown(share.net()),
        owed: shown(share.owed()),
        in_cash: state.settings().in_cash(share.owed()).map(shown).unwrap_or_default(),
        hold: job.hold.as_ref().map(ToString::to_string).unwrap_or_default(),
        damage: job
            .damages
            .iter()
            .map(|damage| {
                let by = state.fact(damage.entry).map(|fact| condition::by_whom(state, fact.key));
                let by = by.unwrap_or_default();
                format!("{}: {} ({}; {by})", damage.piece, damage.what, damage.whose)
            })
            .collect(),
        clashes: state.clashes_of(job.id).into_iter().map(|c| clash_line(state, c)).collect(),
        plan: job.plan.iter().map(Wire::to_item).collect(),
        papers: paper_lines(state, job, now),
    }
}

/// The lines of a price that was heard, and its tax: what the total is over their sum.
fn quoted_lines(state: &State, quoted: &Quoted) -> Vec<v1::PriceLine> {
    let line = |what: &str, amount: Money| v1::PriceLine {
        what: what.to_owned(),
        amount: state.settings().shown(amount),
    };
    let mut lines: Vec<v1::PriceLine> =
        quoted.lines.iter().map(|one| line(one.what.as_str(), one.amount)).collect();
    let sum = Money::sum(quoted.lines.iter().map(|one| one.amount));
    match quoted.total.checked_sub(sum) {
        // A price that was heard as one figure has no lines.
        Some(_) if lines.is_empty() => lines.push(line("price", quoted.total)),
        Some(over) if over > Money::ZERO => lines.push(line("tax", over)),
        Some(under) if under < Money::ZERO => lines.push(line("less", under)),
        Some(_) | None => {}
    }
    lines
}

fn customer_name(state: &State, job: &Job, keyring: &dyn Opens) -> Option<String> {
    let ticket = state.shop().tickets.get(&job.ticket()?)?;
    let customer = state.shop().customers.get(&ticket.customer?)?;
    let (_, sealed) = customer.details.last_key_value()?;
    keyring.open_details(sealed).map(|details| details.name)
}

fn facts(state: &State, job: &Job) -> Brief {
    let mut needed = Vec::new();
    let mut first = |name: &str, value: Option<String>| {
        needed.extend(value.map(|value| format!("{name}: {value}")));
    };
    let yes = |flag: bool| flag.then(|| "yes".to_owned());
    first("condition", condition::as_last_said(state, job));
    first("wrapped", yes(job.wrapped));
    first("brain out", yes(job.brain_out));
    first("greasy", yes(job.greasy));
    first("disputed", yes(job.disputed));
    let not_by = contact::words(&contact::not_by(state, job));
    first("contact", Some(not_by).filter(|words| !words.is_empty()));
    let drying = super::drying(state, job, Moment(i64::MAX));
    first("drying", drying.map(|drying| drying.words));
    first("last look", job.look.as_ref().and_then(|l| l.tissue).map(|t| t.to_string()));
    let mut beside = Vec::new();
    let mut rest = |name: &str, value: Option<String>| {
        beside.extend(value.map(|value| format!("{name}: {value}")));
    };
    if let Some(t) = &job.take_in {
        rest("sex", t.sex.map(|x| x.to_string()));
        rest("age", t.age.as_ref().map(ToString::to_string));
        rest("obtained", t.obtained.map(|x| x.to_string()));
        rest("arrived", t.arrival.map(|x| x.to_string()));
    }
    for before in condition::said_before(state, job) {
        rest("condition before", Some(before));
    }
    if let Some(p) = &job.papers {
        rest("kill tag", p.kill_tag.as_ref().map(ToString::to_string));
        rest("killed", p.killed_on.map(|x| x.to_string()));
        rest("county", p.county.as_ref().map(ToString::to_string));
        rest("state", p.state.as_ref().map(ToString::to_string));
        rest("disease area", p.disease_area.map(|x| x.to_string()));
        rest("disease test", p.test.map(|x| x.to_string()));
        rest("papers lie", p.lies.as_ref().map(ToString::to_string));
    }
    rest("way", job.way.as_ref().map(ToString::to_string));
    rest("graded", grades(state, job));
    rest("agreed", yes(job.agreed));
    rest("weighed", job.masses.last().map(|(_, mass)| Units::of(state).mass(*mass)));
    rest("official measuring", super::dry::measuring_words(state, job));
    Brief::needed(needed).and(Brief::beside(beside))
}

/// What is told by laying its stays beside the places, the waters and the holds, up to a moment.
fn reckoned(state: &State, job: &Job, now: Moment) -> Brief {
    let kind = |name: &Name| kind_of(state, name);
    let now = Happened::exactly(now);
    let mut facts = Brief::default();
    if job.ended.is_none() && !job.stays.is_empty() {
        facts.need(format!("stands: {}", stands(state, job, Piece::Skull)));
    }
    let heat = job.heat(|name| kind(name) == Some(PlaceKind::Pot), now);
    if heat.goes > 0 {
        facts.need(format!("heat: {heat}"));
    }
    let changes = state.changes_of(job);
    if changes > 0 {
        facts.add(format!("water changed around it: {}", times(changes)));
    }
    for piece in job.parts_away() {
        let mark = state.bag_mark(job, piece).map(|mark| format!(", bag {mark}"));
        let doing = stands(state, job, piece);
        facts.need(format!("{piece}: {doing}{}", mark.unwrap_or_default()));
    }
    for (why, ms) in job.paused(now) {
        let hours = ms.checked_div(3_600_000).unwrap_or(0);
        facts.add(format!("was on hold for {why}: {hours} h"));
    }
    for other in super::other_wearers(state, job) {
        facts.add(format!("its tag: {other}"));
    }
    facts
}

/// How often: "once", "3 times".
pub(crate) fn times(count: usize) -> String {
    if count == 1 { "once".to_owned() } else { format!("{count} times") }
}

/// How it came out, by the last word on each thing: `tissue good, grease fair`.
fn grades(state: &State, job: &Job) -> Option<String> {
    let mut last: Vec<(&'static str, Mark)> = Vec::new();
    for (key, active) in job.facts() {
        let Some(Verb::Grade(grade)) = state.meaning(key.name).filter(|_| active) else { continue };
        let said = [
            ("tissue", grade.tissue),
            ("grease", grade.grease),
            ("smell", grade.smell),
            ("dust", grade.dust),
            ("seams", grade.seams),
            ("teeth", grade.teeth),
            ("burr", grade.burr),
            ("whiteness", grade.whiteness),
        ];
        for (what, mark) in said.into_iter().filter_map(|(what, mark)| Some((what, mark?))) {
            last.retain(|(other, _)| *other != what);
            last.push((what, mark));
        }
    }
    let words: Vec<String> = last.iter().map(|(what, mark)| format!("{what} {mark}")).collect();
    (!words.is_empty()).then(|| words.join(", "))
}

/// How a piece stands, by the step that its job is at.
fn stands(state: &State, job: &Job, piece: Piece) -> String {
    let standing = job.standing(piece, |name| kind_of(state, name));
    if let Standing::In(stay, Some(kind)) = standing {
        return doing_in(state, job, &stay.place, kind);
    }
    standing.word().to_owned()
}

fn stay_line(state: &State, stay: &Stay) -> v1::StayLine {
    let zone = Zone::of(state);
    let (until_ms, until_unsaid) = match stay.until {
        Until::Now => (None, false),
        Until::Said(h) => (Some(h.at.0), false),
        Until::Unsaid(h) => (Some(h.at.0), true),
    };
    let bath = state.waters().get(&stay.place).and_then(|water| water.bath_at(stay.from.at));
    let level = bath.and_then(|bath| bath.level_at(stay.from.at));
    let strength =
        level.filter(|l| l.has_peroxide()).and_then(burrline_domain::fold::Level::percent_wv);
    v1::StayLine {
        piece: stay.piece.word().to_owned(),
        place: stay.place.to_string(),
        from_ms: stay.from.at.0,
        until_ms,
        until_unsaid,
        doubt: zone.doubt(stay.from),
        bath: match (level, strength) {
            (_, Some(strength)) => format!("{} % w/v peroxide", strength.round_dp(2).normalize()),
            (Some(level), None) => format!("{} of water", Units::of(state).litres(level.litres)),
            (None, None) => String::new(),
        },
    }
}
