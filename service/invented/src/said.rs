//! A line of the season: what a hand says at a bench, before it is an entry or a line of text.

use crate::time::Minute;

/// A bench of the invented shop, in the order in which they join.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Desk {
    /// The owner's.
    Office,
    /// Where customers stand.
    Counter,
    /// Knife, pots and tanks.
    Yard1,
    /// Knife, pots and tanks.
    Yard2,
    /// Whitening, racks and coats.
    Finish,
}

impl Desk {
    /// All of them.
    pub const ALL: &'static [Self] =
        &[Self::Office, Self::Counter, Self::Yard1, Self::Yard2, Self::Finish];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Office => "office",
            Self::Counter => "counter",
            Self::Yard1 => "yard-1",
            Self::Yard2 => "yard-2",
            Self::Finish => "finish",
        }
    }

    /// Its role, in the word for it.
    pub const fn role(self) -> &'static str {
        match self {
            Self::Office => "owner",
            Self::Counter => "counter",
            Self::Yard1 | Self::Yard2 | Self::Finish => "bench",
        }
    }

    /// Its life: the shop counts the benches as they join.
    pub const fn life(self) -> u32 {
        match self {
            Self::Office => 1,
            Self::Counter => 2,
            Self::Yard1 => 3,
            Self::Yard2 => 4,
            Self::Finish => 5,
        }
    }

    /// The hand that stands there.
    pub const fn hand(self) -> &'static str {
        match self {
            Self::Office | Self::Counter => "ines",
            Self::Yard1 => "tom",
            Self::Yard2 => "bo",
            Self::Finish => "ada",
        }
    }
}

/// What is said once, of one skull or of many.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// When it is typed.
    pub at: Minute,
    /// When it happened, if the hand says another time than now.
    pub when: Option<Minute>,
    /// Where.
    pub desk: Desk,
    /// The verb.
    pub verb: &'static str,
    /// The skulls, each a tag, or a tag and a piece.
    pub skulls: Vec<String>,
    /// What is typed, field by field; `$label` stands for the name of an entry.
    pub fields: Vec<(&'static str, String)>,
    /// What the bench fills in by itself.
    pub filled: Vec<(&'static str, String)>,
    /// Details of a person, which are sealed.
    pub details: Vec<(&'static str, String)>,
    /// What the entry is called further down.
    pub label: Option<String>,
    /// Why it is done against a rule.
    pub anyway: Option<&'static str>,
    /// Whether the hand answers a question with "it was done, not said": something before it was
    /// forgotten.
    pub forgot: bool,
    /// The line that an amendment puts in place of another.
    pub instead: Option<Box<Self>>,
}

impl Said {
    /// Something said now.
    pub fn new(at: Minute, desk: Desk, verb: &'static str) -> Self {
        Self {
            at,
            when: None,
            desk,
            verb,
            skulls: Vec::new(),
            fields: Vec::new(),
            filled: Vec::new(),
            details: Vec::new(),
            label: None,
            anyway: None,
            forgot: false,
            instead: None,
        }
    }

    /// Of this skull.
    #[must_use]
    pub fn of(mut self, skull: impl Into<String>) -> Self {
        self.skulls.push(skull.into());
        self
    }

    /// Of these skulls.
    #[must_use]
    pub fn of_all(mut self, skulls: impl IntoIterator<Item = String>) -> Self {
        self.skulls.extend(skulls);
        self
    }

    /// With a field.
    #[must_use]
    pub fn with(mut self, field: &'static str, value: impl Into<String>) -> Self {
        self.fields.push((field, value.into()));
        self
    }

    /// With a field, if there is something to say in it.
    #[must_use]
    pub fn maybe(self, field: &'static str, value: &str) -> Self {
        if value.is_empty() { self } else { self.with(field, value) }
    }

    /// With something that the bench fills in.
    #[must_use]
    pub fn filled(mut self, field: &'static str, value: impl Into<String>) -> Self {
        self.filled.push((field, value.into()));
        self
    }

    /// With a detail of a person.
    #[must_use]
    pub fn sealed(mut self, detail: &'static str, value: impl Into<String>) -> Self {
        self.details.push((detail, value.into()));
        self
    }

    /// Under a label.
    #[must_use]
    pub fn named(mut self, label: impl Into<String>) -> Self {
        self.label = Some(label.into());
        self
    }

    /// Of another time than now.
    #[must_use]
    pub const fn happened(mut self, when: Minute) -> Self {
        self.when = Some(when);
        self
    }

    /// Against a rule, for a reason.
    #[must_use]
    pub const fn anyway(mut self, why: &'static str) -> Self {
        self.anyway = Some(why);
        self
    }
}
