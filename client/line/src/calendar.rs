//! Months and days of the week as they are typed: by their name, or three letters of it and more.

use jiff::civil::Weekday;

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

const WEEK: [(&str, Weekday); 7] = [
    ("monday", Weekday::Monday),
    ("tuesday", Weekday::Tuesday),
    ("wednesday", Weekday::Wednesday),
    ("thursday", Weekday::Thursday),
    ("friday", Weekday::Friday),
    ("saturday", Weekday::Saturday),
    ("sunday", Weekday::Sunday),
];

/// The month of this name in small letters, as its number.
pub fn month(word: &str) -> Option<i8> {
    (1..).zip(MONTHS).find(|(_, name)| begins(name, word)).map(|(number, _)| number)
}

/// The day of the week of this name in small letters.
pub fn weekday(word: &str) -> Option<Weekday> {
    WEEK.iter().find(|(name, _)| begins(name, word)).map(|(_, day)| *day)
}

fn begins(name: &str, word: &str) -> bool {
    word.len() >= 3 && name.starts_with(word)
}
