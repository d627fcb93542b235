//! What is so of single words of the lists: letters on bags, what a place is for.

use crate::words::{Means, Piece, PlaceKind};

impl Means {
    /// How money is given.
    pub const MONEY: &'static [&'static str] = &["cash", "card", "check", "transfer"];
    /// How somebody is reached.
    pub const CONTACT: &'static [&'static str] = &["counter", "phone", "text", "email", "letter"];
    /// How somebody is reached who is not here.
    pub const AWAY: &'static [&'static str] = &["phone", "text", "email", "letter"];

    /// Whether money is given so.
    pub const fn is_money(self) -> bool {
        matches!(self, Self::Cash | Self::Card | Self::Check | Self::Transfer)
    }
}

impl Piece {
    /// The letters on a bag when nobody gave it a mark of its own.
    pub const fn letters(self) -> &'static str {
        match self {
            Self::Skull => "K",
            Self::Jaw => "J",
            Self::Nose => "N",
            Self::Ears => "E",
            Self::Teeth => "T",
            Self::Sheaths => "S",
            Self::JawLeft => "JL",
            Self::JawRight => "JR",
            Self::SheathLeft => "SL",
            Self::SheathRight => "SR",
            Self::Tusks => "U",
            Self::TuskLeft => "UL",
            Self::TuskRight => "UR",
            Self::WhetterLeft => "WL",
            Self::WhetterRight => "WR",
            Self::Ivories => "I",
            Self::IvoryLeft => "IL",
            Self::IvoryRight => "IR",
            Self::Canines => "C",
            Self::Hyoid => "H",
            Self::Plate => "P",
            Self::Backboard => "B",
        }
    }

    /// The piece that the letters on a bag stand for.
    pub fn from_letters(letters: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|piece| piece.letters().eq_ignore_ascii_case(letters))
    }

    /// Whether it is a piece of the horns: keratin, which peroxide spoils.
    pub const fn is_sheath(self) -> bool {
        matches!(self, Self::Sheaths | Self::SheathLeft | Self::SheathRight)
    }

    /// Whether it is a tusk or an ivory, which heat and haste split.
    pub const fn is_tusk(self) -> bool {
        matches!(
            self,
            Self::Tusks
                | Self::TuskLeft
                | Self::TuskRight
                | Self::WhetterLeft
                | Self::WhetterRight
                | Self::Ivories
                | Self::IvoryLeft
                | Self::IvoryRight
                | Self::Canines
        )
    }
}

impl PlaceKind {
    /// What a thing is doing in a place of this kind, where nobody said by which way it goes.
    pub const fn purpose(self) -> &'static str {
        match self {
            Self::Pot => "simmering",
            Self::Tub => "whitening",
            Self::Tank => "degreasing",
            Self::Freezer => "frozen",
            Self::Rack | Self::Dryer => "drying",
            Self::Shelf => "waiting",
            Self::Board => "on the board",
            Self::Colony => "with the beetles",
            Self::WarmBath => "in the warm bath",
            Self::Soak => "soaking",
            Self::Oven => "in the oven",
            Self::Ground => "buried",
        }
    }

    /// Whether what lies in it lies in water.
    pub const fn is_wet(self) -> bool {
        matches!(self, Self::Pot | Self::Tub | Self::Tank | Self::WarmBath | Self::Soak)
    }

    /// Whether bone comes clean of tissue in it.
    pub const fn cleans(self) -> bool {
        matches!(self, Self::Pot | Self::Colony | Self::WarmBath | Self::Soak | Self::Ground)
    }
}
