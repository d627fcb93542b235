//! Days: a promise in the past or on a closed day, a kill that is still to come.

use burrline_domain::Verb;
use burrline_terms::Day;

use super::{Doubts, Line, usual};
use crate::view::Zone;

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Some(today) = Zone::of(line.state).day(line.now) else { return };
    if let Verb::Promise(promise) = line.verb {
        promised(line, promise.by, today, out);
    }
    if let Verb::Papers(papers) = line.verb
        && let Some(killed) = papers.killed_on
    {
        if killed > today {
            out.add("kill-day", format!("killed on {killed}: that day is still to come"));
        } else if let Some(came) = line
            .job
            .and_then(|job| Zone::of(line.state).day(job.taken_in?.at))
            .filter(|d| killed > *d)
        {
            out.add("kill-day", format!("killed on {killed}, and it was taken in on {came}"));
        } else if days(killed, today) > usual::KILLED_DAYS {
            out.add("kill-day", format!("killed on {killed}: {} ago", span(killed, today)));
        }
    }
}

fn promised(line: &Line<'_>, by: Day, today: Day, out: &mut Doubts) {
    if by < today {
        out.add("past-day", format!("{by} is past: {} ago", span(by, today)));
        return;
    }
    if days(today, by) > usual::PROMISED_DAYS {
        out.add("far-day", format!("{by} is {} away", span(today, by)));
    }
    if let Some(why) = line.state.settings().closed(by) {
        out.add("closed-day", why);
    }
}

fn days(from: Day, to: Day) -> i32 {
    from.0.until(to.0).map_or(0, |span| span.get_days())
}

/// "1 day", "9 days", "5 years".
fn span(from: Day, to: Day) -> String {
    let count = days(from, to);
    let (count, unit) = match count.checked_div(365).unwrap_or(0) {
        years if count > 730 => (years, "year"),
        _ => (count, "day"),
    };
    if count == 1 { format!("1 {unit}") } else { format!("{count} {unit}s") }
}
