//! The shop's settings: what is in force, and what holds where nothing is set.

use burrline_domain::settings::{Setting, Settings, TABLE, Unset};
use serde_json::json;

use super::{Look, Page, Table};

/// Every setting, or one alone with all that there is to say of it.
pub fn settings(own: &Settings, only: Option<&Setting>, look: &Look) -> Page {
    let mut page = Page::default();
    let mut table = Table::new(&["SETTING", "IN FORCE", "", "WHAT IT IS"]);
    for row in TABLE.iter().filter(|row| only.is_none_or(|only| only.name == row.name)) {
        let set = of_row(own, row);
        if set.is_empty() || row.family().is_some() {
            let (value, from) = match row.unset {
                Unset::Is(value) => (value.to_owned(), "default"),
                Unset::Each(_) => (row.unset_words(), "default"),
                Unset::Told(words) => (format!("not set: {words}"), ""),
            };
            table.row([row.name.to_owned(), value, from.to_owned(), row.help.to_owned()]);
        }
        for (name, value) in &set {
            let help = if row.family().is_some() { "" } else { row.help };
            table.row([name.clone(), value.clone(), "set".to_owned(), help.to_owned()]);
        }
        page.json.push(json!({
            "setting": row.name,
            "set": set.into_iter().collect::<std::collections::BTreeMap<_, _>>(),
            "default": row.unset_words(),
            "takes": row.takes_words(),
            "what": row.help,
            "example": row.line(),
        }));
    }
    // What a newer program set is told as it is.
    let others = own.own().filter(|(name, _)| only.is_none() && Setting::of(name).is_none());
    for (name, value) in others {
        let what = "not known to this program".to_owned();
        table.row([name.to_owned(), value.to_owned(), "set".to_owned(), what.clone()]);
        page.json.push(json!({ "setting": name, "set": { name: value }, "what": what }));
    }
    page.text = table.lines(look);
    page.text.push(match only {
        Some(row) => row.told(),
        None => "Set one as in `burrline set-shop opens-at 7`; `burrline set-shop opens-at` tells \
                 of one, `burrline set-shop --help` of all."
            .to_owned(),
    });
    page
}

/// What the shop set by a row: for a family, each of it.
fn of_row(own: &Settings, row: &Setting) -> Vec<(String, String)> {
    own.own()
        .filter(|(name, _)| Setting::of(name).is_some_and(|(of, _)| of.name == row.name))
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect()
}

#[cfg(test)]
mod tests {
    use burrline_terms::Moment;

    use super::*;

    fn look() -> Look {
        Look { zone: jiff::tz::TimeZone::UTC, now: Moment(0), width: None, color: false }
    }

    #[test]
    fn the_list_tells_what_was_set_from_what_holds_by_default() {
        let own: Settings = [
            ("call-tries", "5"),
            ("holds.pot-1", "6"),
            ("look-again.tub", "2h"),
            ("of-a-newer-program", "yes"),
        ]
        .into_iter()
        .collect();
        let page = settings(&own, None, &look());
        let line = |name: &str| {
            let found = page.text.iter().find(|line| line.split(' ').next() == Some(name));
            found.unwrap_or_else(|| panic!("no {name} in {:#?}", page.text)).clone()
        };
        assert!(line("call-tries").contains('5') && line("call-tries").contains("set"));
        assert!(line("call-again").contains('7') && line("call-again").contains("default"));
        assert!(line("storage").contains("not set: no storage is charged"));
        assert!(line("holds.pot-1").contains("6  "));
        assert!(line("look-again.WHERE").contains("20min for pot"));
        assert!(line("of-a-newer-program").contains("not known to this program"));
        let told: std::collections::BTreeSet<&str> =
            page.json.iter().filter_map(|row| row["setting"].as_str()).collect();
        assert!(TABLE.iter().all(|row| told.contains(row.name)));
    }

    #[test]
    fn one_setting_is_told_with_all_that_there_is_to_say() {
        let row = Setting::of("call-tries").map(|(row, _)| row);
        let page = settings(&Settings::default(), row, &look());
        let words = page.text.join("\n");
        for part in ["1 to 20", "common practice, no source", "set-shop call-tries 4"] {
            assert!(words.contains(part), "{part}: {words}");
        }
        assert_eq!(page.json.len(), 1);
    }
}
