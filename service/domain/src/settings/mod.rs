//! The shop's settings: one table of them, and the values in force.
//!
//! A setting is a row of [`TABLE`]: its name, what it takes, what holds where the shop
//! set nothing, its help. Checks, refusals, help, the list of `set-shop`, what a line is read by and
//! what scripts see come from that row, and so does its getter on [`Settings`].
//!
//! * [`table`]: the rows, each with its getter
//! * [`takes`]: what values a row takes, and how they are checked
//! * [`readings`]: what follows from several of them

pub mod readings;
pub mod table;
pub mod takes;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use burrline_terms::{
    canon::{Canon, Canonical},
    field::Typed,
    name::{Name, Phrase},
    words::Group,
};

pub use table::TABLE;
pub use takes::{MonthDay, Takes};

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// Its name. A part in capitals stands for what each one of a family is about: `holds.PLACE`.
    pub name: &'static str,
    /// What it is, in a sentence.
    pub help: &'static str,
    /// What values it takes.
    pub takes: Takes,
    /// What holds where the shop set nothing.
    pub unset: Unset,
    /// What its default rests on, where that is a figure of the trade.
    pub basis: Basis,
    /// A value that it takes.
    pub example: &'static str,
    /// One of its family, such as `pot-1`; empty for a setting without one.
    pub one: &'static str,
    /// The word that takes it back, such as `none`; empty where there is no such word.
    pub back: &'static str,
    /// Whether its values say from which day they hold.
    pub dated: bool,
}

/// What holds where the shop set nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unset {
    /// This value, as it would be typed.
    Is(&'static str),
    /// For each one of a family its own value.
    Each(&'static [(&'static str, &'static str)]),
    /// No value; this is what follows.
    Told(&'static str),
}

/// What a figure rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// It is no figure of the trade.
    Choice,
    /// Common practice, no source.
    Practice,
    /// A published text.
    Source(&'static str),
}

/// Why a setting may not have a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unfit {
    /// There is no such setting.
    Unknown(String),
    /// The value, or what the setting is about, is wrong: why, and what to type.
    Wrong(String),
}

impl Setting {
    /// What a row says unless it says otherwise.
    const ROW: Self = Self {
        name: "",
        help: "",
        takes: Takes::Text,
        unset: Unset::Told(""),
        basis: Basis::Choice,
        example: "",
        one: "",
        back: "",
        dated: false,
    };

    /// The row of a setting as it is typed, with which one of a family it is about.
    pub fn of(typed: &str) -> Option<(&'static Self, &str)> {
        TABLE.iter().find_map(|row| match row.family() {
            None => (row.name == typed).then_some((row, "")),
            Some((start, _)) => {
                let one = typed.strip_prefix(start).filter(|one| !one.is_empty())?;
                Some((row, one))
            }
        })
    }

    /// How the names of a family begin, and what stands for one of it: `holds.` and `PLACE`.
    pub fn family(&self) -> Option<(&'static str, &'static str)> {
        self.name.split_at_checked(self.name.find(|c: char| c.is_ascii_uppercase())?)
    }

    /// The name of one of a family, else the name.
    pub fn name_of(&self, one: &str) -> String {
        self.family().map_or_else(|| self.name.to_owned(), |(start, _)| format!("{start}{one}"))
    }

    /// A line that sets it.
    pub fn line(&self) -> String {
        let example = self.example;
        let quoted = example.contains(['$', ';', '(']);
        let example = if quoted { format!("'{example}'") } else { example.to_owned() };
        format!("set-shop {} {example}", self.name_of(self.one))
    }

    /// What it takes, in words: `a whole number from 1 to 20, or none`.
    pub fn takes_words(&self) -> String {
        let or = if self.back.is_empty() { String::new() } else { format!(", or {}", self.back) };
        format!("{}{or}", self.takes)
    }

    /// What holds where nothing is set, in words: `20min for pot, 60min for tub`.
    pub fn unset_words(&self) -> String {
        match self.unset {
            Unset::Is(value) => value.to_owned(),
            Unset::Told(words) => words.to_owned(),
            Unset::Each(each) => {
                let each = each.iter().map(|(one, value)| format!("{value} for {one}"));
                each.collect::<Vec<_>>().join(", ")
            }
        }
    }

    /// All of the row, for help: a sentence each.
    pub fn told(&self) -> String {
        let basis = match self.basis {
            Basis::Choice => String::new(),
            Basis::Practice => " (common practice, no source)".to_owned(),
            Basis::Source(source) => format!(" ({source})"),
        };
        let dated = if self.dated { " Each value says from which day it holds." } else { "" };
        format!(
            "{} It takes {}.{dated} Where nothing is set: {}{basis}. As in `{}`.",
            self.help,
            self.takes_words(),
            self.unset_words(),
            self.line()
        )
    }

    /// The default, for one of a family.
    fn default_of(&self, one: &str) -> Option<&'static str> {
        match self.unset {
            Unset::Is(value) => Some(value),
            Unset::Each(each) => {
                each.iter().find(|(name, _)| *name == one).map(|(_, value)| *value)
            }
            Unset::Told(_) => None,
        }
    }

    /// Whether a family has one of this name; else what is wrong with it.
    fn has(&self, one: &str, is_place: &dyn Fn(&str) -> bool) -> Result<(), String> {
        let Some((_, what)) = self.family() else { return Ok(()) };
        let each = match self.unset {
            Unset::Each(each) => each.iter().map(|(name, _)| *name).collect(),
            Unset::Is(_) | Unset::Told(_) => Vec::new(),
        };
        let wrong = match what {
            "KIND" if Group::ALL.iter().any(|group| group.word() == one) => return Ok(()),
            "KIND" => {
                let kinds: Vec<&str> = Group::ALL.iter().map(|group| group.word()).collect();
                format!("{one} is no kind of animal; there are {}", kinds.join(", "))
            }
            "STEP" | "WHY" if each.contains(&one) => return Ok(()),
            "STEP" => format!("{one} is no step of a hand; there are {}", each.join(", ")),
            "WHERE" if each.contains(&one) || is_place(one) => return Ok(()),
            "WHERE" => {
                format!("{one} is neither {} nor a place; add the place first", each.join(", "))
            }
            "WHY" => format!("nothing is sent for {one}; there are {}", each.join(", ")),
            "PLACE" if is_place(one) => return Ok(()),
            "PLACE" => format!("there is no place {one}; add it first"),
            // What else a name holds is checked with the value.
            _ => return Ok(()),
        };
        Err(wrong)
    }
}

/// Whether a setting may have a value, in a shop that has these places.
///
/// # Errors
/// [`Unfit`] says why not, and what to type.
pub fn check(typed: &str, value: &str, is_place: &dyn Fn(&str) -> bool) -> Result<(), Unfit> {
    let (row, one) = Setting::of(typed).ok_or_else(|| Unfit::Unknown(typed.to_owned()))?;
    row.has(one, is_place).map_err(Unfit::Wrong)?;
    if !row.back.is_empty() && value == row.back {
        return Ok(());
    }
    let such = if one.is_empty() { row.line() } else { Setting { one: "", ..*row }.line_for(one) };
    row.takes.check(typed, value).map_err(|why| {
        let why = why.unwrap_or_else(|| {
            format!("{typed} takes {}, not \u{201c}{value}\u{201d}", row.takes_words())
        });
        Unfit::Wrong(format!("{why}; as in `{such}`"))
    })
}

impl Setting {
    fn line_for(&self, one: &str) -> String {
        self.line().replacen(&self.name_of(""), &self.name_of(one), 1)
    }
}

/// The settings of a shop: what it set, over what holds where it set nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Settings(BTreeMap<Name, Phrase>);

impl Settings {
    /// Sets one; it was checked when it was decided.
    pub fn set(&mut self, setting: Name, value: Phrase) {
        self.0.insert(setting, value);
    }

    /// What the shop set, by name, as it was typed.
    pub fn own(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value.as_str()))
    }

    /// Every setting that has one value in force, by its name: as set, else its default.
    pub fn in_force(&self) -> BTreeMap<String, String> {
        let defaults = TABLE.iter().filter_map(|row| match row.unset {
            Unset::Is(value) if row.family().is_none() => {
                Some((row.name.to_owned(), value.to_owned()))
            }
            Unset::Is(_) | Unset::Each(_) | Unset::Told(_) => None,
        });
        let own = self.own().filter(|(name, value)| !is_taken_back(name, value));
        let own = own.map(|(name, value)| (name.to_owned(), value.to_owned()));
        defaults.chain(own).collect()
    }

    /// What the shop set for a setting, for one of its family.
    pub fn own_of(&self, row: &Setting, one: &str) -> Option<&str> {
        let name = row.name_of(one);
        self.0.iter().find(|(key, _)| key.as_str() == name).map(|(_, value)| value.as_str())
    }

    /// The text in force; none where nothing is set and nothing is the default, or it was taken back.
    fn text(&self, row: &Setting, one: &str) -> Option<&str> {
        let own = self.own_of(row, one).filter(|own| row.back.is_empty() || *own != row.back);
        own.or_else(|| row.default_of(one))
    }

    /// The value in force. What cannot be read was refused when it was set; on a log of another
    /// program the default holds.
    fn read<T: Typed>(&self, row: &Setting, one: &str) -> Option<T> {
        let read = |text: &str| T::read(&row.takes.bare(text)).ok();
        let own = self.text(row, one).and_then(read);
        own.or_else(|| row.default_of(one).and_then(read))
    }
}

impl Canonical for Settings {
    fn canon(&self, out: &mut Canon) {
        let Self(own) = self;
        out.add(own);
    }
}

/// Settings as they were typed, such as those that a shop gives to a bench.
impl<'a> FromIterator<(&'a str, &'a str)> for Settings {
    fn from_iter<I: IntoIterator<Item = (&'a str, &'a str)>>(own: I) -> Self {
        let read = |(name, value)| Some((Name::read(name).ok()?, Phrase::read(value).ok()?));
        Self(own.into_iter().filter_map(read).collect())
    }
}

/// Whether a word of the shop's own for its scripts was taken back: to them it is as if it never was.
fn is_taken_back(name: &str, value: &str) -> bool {
    name.starts_with("my.") && Setting::of(name).is_some_and(|(row, _)| row.back == value)
}
