//! Rules of money and paper, exact: each a value that a setting can have, with what follows from it.

pub mod brackets;
pub mod deposit;
pub mod lawdates;
pub mod notice;
pub mod opening;
pub mod sold;
pub mod storage;
pub mod tax;
pub mod taxation;
pub mod template;
pub mod uses;

use burrline_terms::field::{BadWord, Typed};

/// The units in which a shop reads its figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitSystem {
    /// US gallons, pounds, degrees Fahrenheit and inches.
    Us,
    /// Litres, grams, degrees Celsius and centimetres.
    Metric,
}

impl UnitSystem {
    /// The units of everyday use where a time zone lies, if that is told from it: the United States
    /// have theirs (zones by the tz database's `zone1970.tab`, from memory). A zone of `America/`
    /// alone tells nothing, for Toronto and Mexico City are metric.
    pub fn of_zone(zone: &str) -> Option<Self> {
        const REGIONS: [&str; 4] =
            ["America/Indiana/", "America/Kentucky/", "America/North_Dakota/", "US/"];
        const CITIES: [&str; 17] = [
            "New_York",
            "Detroit",
            "Louisville",
            "Indianapolis",
            "Chicago",
            "Menominee",
            "Denver",
            "Boise",
            "Phoenix",
            "Los_Angeles",
            "Anchorage",
            "Juneau",
            "Sitka",
            "Metlakatla",
            "Yakutat",
            "Nome",
            "Adak",
        ];
        let city = zone.strip_prefix("America/").is_some_and(|city| CITIES.contains(&city));
        let region = REGIONS.iter().any(|region| zone.starts_with(region));
        (city || region || zone == "Pacific/Honolulu").then_some(Self::Us)
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Metric => "metric",
        }
    }
}

impl Typed for UnitSystem {
    const HINT: &'static str = "UNITS";

    fn read(word: &str) -> Result<Self, BadWord> {
        match word.trim().to_lowercase().as_str() {
            "us" => Ok(Self::Us),
            "metric" => Ok(Self::Metric),
            _ => Err(BadWord::new(word, "us or metric")),
        }
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the tz database's `zone1970.tab` for the country of each zone (from memory).
    #[test]
    fn a_zone_of_the_united_states_reads_us_units_and_no_other_says_anything() {
        for zone in [
            "America/Denver",
            "America/New_York",
            "America/Indiana/Knox",
            "America/North_Dakota/Beulah",
            "Pacific/Honolulu",
            "US/Mountain",
        ] {
            assert_eq!(UnitSystem::of_zone(zone), Some(UnitSystem::Us), "{zone}");
        }
        for zone in ["America/Toronto", "America/Mexico_City", "Europe/Berlin", "UTC", "Denver"] {
            assert_eq!(UnitSystem::of_zone(zone), None, "{zone}");
        }
    }
}
