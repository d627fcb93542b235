//! Settings of the shop as they are spoken, put as the shop reads them: `open-days monday to friday`,
//! `state Colorado`, `zone Denver`, `tax-rate 8.25%`.

use super::{Reader, counties};
use crate::{Error, calendar, doubt, text, unclear::Unclear};

impl Reader<'_> {
    /// Puts the value of a setting as the shop reads it; asks where it says that there is none.
    pub(super) fn setting_said(&mut self) -> Result<(), Error> {
        if self.spec.word != "set-shop" || self.options.contains_key("value") {
            return Ok(());
        }
        let given =
            |name: &str| self.sorted.given.get(name).and_then(|words| words.first()).cloned();
        let (Some(setting), Some(value)) = (given("setting"), given("value")) else {
            return Ok(());
        };
        self.is_of_a_place(&setting)?;
        let first = value.split_whitespace().next().unwrap_or_default();
        if setting == "name" && text::is_negative(first) {
            let mut line = vec!["set-shop".to_owned(), setting];
            line.extend(["--value".to_owned(), value.clone()]);
            return Err(doubt::unclear(
                format!("set-shop: is the shop called \u{201c}{value}\u{201d}?"),
                [(format!("name \u{201c}{value}\u{201d}"), line)],
            ));
        }
        let meant = match setting.as_str() {
            "open-days" => open_days(&value),
            "state" => counties::code_of(&value).map(str::to_owned),
            "zone" => zone(&value),
            "tax-rate" => self.rate(&value),
            _ => None,
        };
        if let Some(meant) = meant {
            self.sorted.given.insert("value", vec![meant]);
        }
        Ok(())
    }

    /// `burner-pot-9` where there is no such pot.
    fn is_of_a_place(&self, setting: &str) -> Result<(), Error> {
        let place = ["burner-", "across-"].iter().find_map(|front| setting.strip_prefix(front));
        let known = self.lexicon.known && !self.lexicon.places.is_empty();
        match place.filter(|place| known && self.lexicon.place(place).is_none()) {
            Some(place) => Err(Error::Unclear(Unclear::without_choice(format!(
                "set-shop: there is no place \u{201c}{place}\u{201d}"
            )))),
            None => Ok(()),
        }
    }

    /// A rate without its day holds from today on.
    fn rate(&self, value: &str) -> Option<String> {
        let percent = value.strip_suffix('%').unwrap_or(value).trim();
        let plain = percent.chars().all(|c| c.is_ascii_digit() || c == '.') && !percent.is_empty();
        let today = self.lexicon.today.filter(|_| plain)?;
        Some(format!("{percent}% from {today}"))
    }
}

/// `Mon Tue Wed`, `monday to friday`, `tue, thu and sat` as the shop reads them.
fn open_days(value: &str) -> Option<String> {
    let small = value.to_lowercase().replace(',', " ");
    let mut said = String::new();
    let mut run = false;
    for word in small.split_whitespace() {
        match word {
            "and" | "&" => continue,
            "to" | "through" | "thru" | "till" | "-" => {
                run = true;
                continue;
            }
            _ => {}
        }
        let ends: Vec<&str> = word.split('-').collect();
        let known = ends.iter().all(|day| calendar::weekday(day.trim_end_matches('s')).is_some());
        if !known || ends.len() > 2 {
            return None;
        }
        let short: Vec<&str> = ends.iter().filter_map(|day| day.get(..3)).collect();
        if !said.is_empty() {
            said.push(if run { '-' } else { ',' });
        }
        said.push_str(&short.join("-"));
        run = false;
    }
    (!said.is_empty() && !run).then_some(said)
}

/// The one zone that a town names.
fn zone(value: &str) -> Option<String> {
    let town = value.trim().replace(' ', "_");
    if town.contains('/') || town.len() < 4 {
        return None;
    }
    let all = jiff::tz::db().available().map(|name| name.to_string());
    let ends = |name: &String| {
        name.rsplit('/').next().is_some_and(|last| last.eq_ignore_ascii_case(&town))
            && name.contains('/')
    };
    let found: Vec<String> = all.filter(ends).collect();
    match found.as_slice() {
        [one] => Some(one.clone()),
        [] | [_, ..] => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_are_read_as_they_are_spoken() {
        for (said, read) in [
            ("Mon Tue Wed Thu Fri", Some("mon,tue,wed,thu,fri")),
            ("monday to friday", Some("mon-fri")),
            ("tue, thu and sat", Some("tue,thu,sat")),
            ("mon-sat", Some("mon-sat")),
            ("any", None),
            ("not monday", None),
        ] {
            assert_eq!(open_days(said).as_deref(), read, "{said}");
        }
        assert_eq!(zone("Denver").as_deref(), Some("America/Denver"));
        assert_eq!(zone("America/Denver"), None);
    }
}
