//! The till: a day that is closed early or uncounted, and more out of the drawer than is in it.

use burrline_domain::Verb;
use burrline_terms::{
    Day, Money,
    words::{Means, Purse},
};

use super::{Doubts, Line};
use crate::{
    desk::till::{drawer, moves},
    view::Zone,
};

pub(super) fn doubts(line: &Line<'_>, out: &mut Doubts) {
    let Some(today) = Zone::of(line.state).day(line.now) else { return };
    match line.verb {
        Verb::CloseTill(v) => closed(line, v.day, today, out),
        Verb::PayIn(v) if v.purse == Purse::Other && v.why.is_none() => {
            out.add("why", "where it comes from is not said; say it behind `why`");
        }
        Verb::PayOut(v) => {
            if v.purse == Purse::Other && v.why.is_none() {
                out.add("why", "where it goes is not said; say it behind `why`");
            }
            goes_out(line, v.amount, out);
        }
        Verb::Spent(v) if v.means.is_none_or(|means| means == Means::Cash) => {
            goes_out(line, v.amount, out);
        }
        _ => {}
    }
}

fn closed(line: &Line<'_>, day: Day, today: Day, out: &mut Doubts) {
    if day > today {
        out.add("far-day", format!("{day} is still to come"));
        return;
    }
    let days = drawer::days(&moves(line.state));
    if days.get(&day).is_some_and(|drawer| drawer.cash != Money::ZERO && drawer.counted.is_none())
        && !line.before.iter().any(|verb| matches!(verb, Verb::CountTill(_)))
    {
        out.add("count", format!("the till of {day} was not counted; `count-till` counts it"));
    }
}

/// More cash than is in the drawer, as far as anybody knows what is in it.
fn goes_out(line: &Line<'_>, amount: Money, out: &mut Doubts) {
    let days = drawer::days(&moves(line.state));
    let Some(left) = days.last_key_value().and_then(|(_, day)| day.left) else { return };
    if amount > left {
        let shown = |amount: Money| line.state.settings().shown(amount);
        out.add("drawer", format!("{} out, and the till has {}", shown(amount), shown(left)));
    }
}
