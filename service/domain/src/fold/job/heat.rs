//! How long a skull was in hot water, over all its goes.

use std::fmt;

use burrline_terms::{name::Name, time::Happened};

use super::{Job, Piece};

/// All the heat that a skull had.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Heat {
    /// How often it went in.
    pub goes: usize,
    /// The least that it can have been, in milliseconds.
    pub shortest_ms: i64,
    /// The most that it can have been, in milliseconds.
    pub longest_ms: i64,
    /// Whether it is in now.
    pub is_in: bool,
}

impl Job {
    /// The heat of the skull over all its goes, as of an act, in places that are hot.
    pub fn heat(&self, is_hot: impl Fn(&Name) -> bool, as_of: Happened) -> Heat {
        let began = self.stays.iter().filter(|stay| stay.from.at <= as_of.at);
        let hot = began.filter(|stay| stay.piece == Piece::Skull && is_hot(&stay.place));
        hot.fold(Heat::default(), |heat, stay| Heat {
            goes: heat.goes.saturating_add(1),
            shortest_ms: heat.shortest_ms.saturating_add(stay.shortest_ms(as_of.not_before)),
            longest_ms: heat.longest_ms.saturating_add(stay.longest_ms(as_of.not_after)),
            is_in: heat.is_in || stay.open(),
        })
    }
}

/// `2nd go, 3 h 05 in all`; with doubt, `2nd go, 2 h 10 to 3 h 05 in all`.
impl fmt::Display for Heat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (short, long) = (clock(self.shortest_ms), clock(self.longest_ms));
        write!(f, "{} go, ", nth(self.goes))?;
        if short == long { f.write_str(&long) } else { write!(f, "{short} to {long}") }?;
        if self.goes > 1 { f.write_str(" in all") } else { Ok(()) }
    }
}

/// Hours and minutes, as a hand says them; milliseconds in.
fn clock(ms: i64) -> String {
    let minutes = ms.max(0).checked_div(60_000).unwrap_or(0);
    let (hours, rest) = (minutes.checked_div(60), minutes.checked_rem(60));
    format!("{} h {:02}", hours.unwrap_or(0), rest.unwrap_or(0))
}

fn nth(n: usize) -> String {
    let teen = matches!(n.checked_rem(100), Some(11..=13));
    let ending = match n.checked_rem(10) {
        Some(1) if !teen => "st",
        Some(2) if !teen => "nd",
        Some(3) if !teen => "rd",
        Some(_) | None => "th",
    };
    format!("{n}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn goes_are_counted_as_people_do() {
        let said = [1, 2, 3, 4, 11, 12, 13, 21, 22, 101, 111].map(nth);
        let wanted =
            ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "22nd", "101st", "111th"];
        assert_eq!(said, wanted);
    }
}
