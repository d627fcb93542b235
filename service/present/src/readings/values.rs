//! Values that readings alone take.

use burrline_proto::{Malformed, Wire, WireField, malformed::Wrong, v1};
use burrline_terms::{Arity, BadWord, Day, Field, Kind, Moment, Skull, Typed, field::one};

use super::Then;
use crate::{
    desk,
    tally::{By, What},
};

/// Values whose typed form is what goes over the wire.
macro_rules! text {
    ($($ty:ty),+) => {$(
        impl Wire for $ty {
            type Item = String;

            fn to_item(&self) -> String {
                self.show()
            }

            fn from_item(item: &String) -> Result<Self, Malformed> {
                Ok(<Self as Typed>::read(item)?)
            }
        }
    )+};
}

text!(Days, Stretch, What, By);

/// A stretch of days, both ends counted in: `2026-11-14`, `2026-11`, `2026-11-01..2026-11-14`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Days {
    /// The first day.
    pub from: Day,
    /// The last day.
    pub to: Day,
}

impl Days {
    /// One day.
    pub const fn of(day: Day) -> Self {
        Self { from: day, to: day }
    }

    /// The months that these days are in, whole.
    #[must_use]
    pub fn whole_months(self) -> Self {
        let (from, to) = (self.from.0.first_of_month(), self.to.0.last_of_month());
        Self { from: Day(from), to: Day(to) }
    }

    /// The days with ends that need not be said.
    pub const fn open(self) -> desk::Days {
        desk::Days { from: Some(self.from), to: Some(self.to) }
    }
}

impl Typed for Days {
    const HINT: &'static str = "DAYS";
    const KIND: Kind = Kind::Day;

    fn read(word: &str) -> Result<Self, BadWord> {
        let one = |word: &str| match Day::read(&format!("{word}-01")) {
            Ok(first) => Ok(Self::of(first).whole_months()),
            Err(_) => Day::read(word).map(Self::of),
        };
        let days = match word.split_once("..") {
            Some((from, to)) => Self { from: one(from)?.from, to: one(to)?.to },
            None => one(word)?,
        };
        if days.to < days.from {
            let wanted = "some days: say the earlier day first";
            return Err(BadWord::new(word, wanted));
        }
        Ok(days)
    }

    fn show(&self) -> String {
        if self.from == self.to {
            return self.from.show();
        }
        format!("{}..{}", self.from, self.to)
    }
}

/// How long a stretch of the till is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stretch {
    /// A day.
    Day,
    /// A month.
    Month,
}

impl Typed for Stretch {
    const HINT: &'static str = "SPAN";
    const KIND: Kind = Kind::Listed(&["day", "month"]);

    fn read(word: &str) -> Result<Self, BadWord> {
        match word {
            "day" => Ok(Self::Day),
            "month" => Ok(Self::Month),
            _ => Err(BadWord::new(word, "one of: day, month")),
        }
    }

    fn show(&self) -> String {
        match self {
            Self::Day => "day".to_owned(),
            Self::Month => "month".to_owned(),
        }
    }
}

impl Typed for What {
    const HINT: &'static str = "WHAT";
    const KIND: Kind = Kind::Listed(Self::WORDS);

    fn read(word: &str) -> Result<Self, BadWord> {
        Self::read(word).map_err(|_| {
            let all = Self::WORDS.join(", ");
            BadWord::new(word, format!("something that is tallied; say one of {all}"))
        })
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

impl Field for What {
    const ARITY: Arity = Arity::One;
    const HINT: &'static str = <Self as Typed>::HINT;
    const KIND: Kind = <Self as Typed>::KIND;

    fn from_words(field: &str, words: &[String]) -> Result<Self, BadWord> {
        one(field, words)
    }

    fn to_words(&self) -> Vec<String> {
        vec![self.show()]
    }
}

impl WireField for What {
    type Field = String;

    fn to_field(&self) -> String {
        self.to_item()
    }

    fn from_field(field: &String, name: &str) -> Result<Self, Malformed> {
        if field.is_empty() {
            return Err(Malformed::field(name, Wrong::Missing));
        }
        Self::from_item(field).map_err(|e| e.within(name))
    }
}

impl Typed for By {
    const HINT: &'static str = "WHICH";
    const KIND: Kind = Kind::Listed(Self::WORDS);

    fn read(word: &str) -> Result<Self, BadWord> {
        Self::read(word).map_err(|_| {
            let all = Self::WORDS.join(", ");
            BadWord::new(word, format!("what a tally goes by; say one of {all}"))
        })
    }

    fn show(&self) -> String {
        self.word().to_owned()
    }
}

/// One side of a comparison: a skull or the floor, as of when. Nobody types it as one word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Side {
    /// Which skull; none for the floor.
    pub skull: Option<Skull>,
    /// As of when.
    pub then: Then,
}

impl Field for Side {
    const ARITY: Arity = Arity::One;
    const HINT: &'static str = "SIDE";
    const KIND: Kind = Kind::Other;

    fn from_words(field: &str, words: &[String]) -> Result<Self, BadWord> {
        Err(BadWord::new(
            words.join(" "),
            format!("a way to say {field}; see `burrline help compare`"),
        ))
    }

    fn to_words(&self) -> Vec<String> {
        self.skull.iter().map(Typed::show).collect()
    }
}

impl WireField for Side {
    type Field = Option<v1::Side>;

    fn to_field(&self) -> Self::Field {
        Some(v1::Side {
            skull: self.skull.to_field(),
            as_of_ms: self.then.of.map(|moment| moment.0),
            as_known: self.then.known,
        })
    }

    fn from_field(field: &Self::Field, name: &str) -> Result<Self, Malformed> {
        let side = field.as_ref().ok_or_else(|| Malformed::field(name, Wrong::Missing))?;
        let skull =
            WireField::from_field(&side.skull, "skull").map_err(|e: Malformed| e.within(name))?;
        Ok(Self { skull, then: Then { of: side.as_of_ms.map(Moment), known: side.as_known } })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_typed_as_one_as_a_month_or_from_one_to_another() {
        for (typed, shown) in [
            ("2026-11-14", "2026-11-14"),
            ("2026-11", "2026-11-01..2026-11-30"),
            ("2026-10..2026-11-14", "2026-10-01..2026-11-14"),
        ] {
            let days = Days::read(typed).unwrap();
            assert_eq!(days.show(), shown, "{typed}");
            assert_eq!(Days::read(&days.show()), Ok(days));
        }
        for wrong in ["2026-11-14..2026-11-01", "november", "..", ""] {
            assert!(Days::read(wrong).is_err(), "{wrong}");
        }
    }
}
