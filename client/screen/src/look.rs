//! Zone, width and colour of what is shown.

use burrline_line::when;
use burrline_terms::Moment;
use jiff::tz::TimeZone;

/// How things look: everything that depends on the shop and the terminal.
#[derive(Debug, Clone)]
pub struct Look {
    /// The shop's zone.
    pub zone: TimeZone,
    /// Now, to leave out the day where it is today.
    pub now: Moment,
    /// Columns of the terminal; lines are cut to it. None if it is no terminal.
    pub width: Option<usize>,
    /// Whether to use colour.
    pub color: bool,
}

/// What is set apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// A heading.
    Heading,
    /// Something that wants a person.
    Alarm,
}

impl Look {
    /// A moment: `10:40` today, `Nov 24 17:00` this year, else with the year.
    pub fn time(&self, ms: i64) -> String {
        let (then, now) = (when::local(Moment(ms), &self.zone), when::local(self.now, &self.zone));
        let form = if then.date() == now.date() {
            "%H:%M"
        } else if then.year() == now.year() {
            "%b %-d %H:%M"
        } else {
            "%Y-%m-%d %H:%M"
        };
        then.strftime(form).to_string()
    }

    /// The later end of what began at `from`: without its day where that is the same one.
    pub fn until(&self, ms: i64, from: i64) -> String {
        let (end, begin) =
            (when::local(Moment(ms), &self.zone), when::local(Moment(from), &self.zone));
        if end.date() == begin.date() && self.time(ms) != self.time(from) {
            return end.strftime("%H:%M").to_string();
        }
        self.time(ms)
    }

    /// A moment for a program: RFC 3339 with the shop's offset.
    pub fn stamp(&self, ms: i64) -> String {
        let then = when::local(Moment(ms), &self.zone);
        then.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
    }

    /// Text in an ink, if there is colour.
    pub fn ink(&self, ink: Ink, text: &str) -> String {
        let code = match ink {
            Ink::Heading => "1",
            Ink::Alarm => "31",
        };
        if self.color && !text.is_empty() {
            format!("\u{1b}[{code}m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }
}
