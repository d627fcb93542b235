//! What is counted, and by what.

/// What is counted, timed or reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Any damage that was not there when it came.
    Damage,
    /// Damage to the nose bones.
    NoseDamage,
    /// Damage to the ear bones.
    EarDamage,
    /// More than one go in a pot.
    SecondGoes,
    /// Disputes.
    Disputes,
    /// Heads that were brought back.
    BroughtBack,
    /// Days from take-in to ready.
    Days,
    /// Minutes of heat.
    Heat,
    /// Money.
    Earned,
    /// Skulls in places.
    SkullDays,
    /// Skulls that a grade wants done again.
    Quality,
}

impl What {
    /// Each with its word and what it is.
    pub const ALL: &'static [(Self, &'static str, &'static str)] = &[
        (Self::Damage, "damage", "heads with any damage that was not there when they came"),
        (Self::NoseDamage, "nose-damage", "the same, of the nose bones"),
        (Self::EarDamage, "ear-damage", "the same, of the ear bones"),
        (Self::SecondGoes, "second-goes", "heads that went into a pot more than once"),
        (Self::Disputes, "disputes", "heads over which there was a dispute"),
        (Self::BroughtBack, "brought-back", "heads that were brought back after their end"),
        (Self::Days, "days", "days from take-in to ready, without those on hold"),
        (Self::Heat, "heat", "minutes in hot water, all goes together, counted at their longest"),
        (Self::Earned, "earned", "money a head and a bench hour"),
        (Self::Quality, "quality", "heads of which something was graded fails or redo, whenever"),
        (Self::SkullDays, "skull-days", "skull-days by place and week, against what a place holds"),
    ];

    /// The words alone.
    pub const WORDS: &'static [&'static str] = &[
        "damage",
        "nose-damage",
        "ear-damage",
        "second-goes",
        "disputes",
        "brought-back",
        "days",
        "heat",
        "earned",
        "quality",
        "skull-days",
    ];

    /// The word.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(one, _, _)| *one == self).map_or("", |(_, word, _)| word)
    }

    /// Reads the word.
    ///
    /// # Errors
    /// The words to tell.
    pub fn read(word: &str) -> Result<Self, String> {
        let found = Self::ALL.iter().find(|(_, known, _)| *known == word);
        found.map(|(one, _, _)| *one).ok_or_else(|| {
            let all: Vec<&str> = Self::ALL.iter().map(|(_, word, _)| *word).collect();
            format!("nothing is tallied as \u{201c}{word}\u{201d}; say one of {}", all.join(", "))
        })
    }
}

/// By what it is told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// All together.
    All,
    /// How the nose bones were looked after: off, tied, left.
    Nose,
    /// How the ear bones were: off, left.
    Ears,
    /// The recipe of the first pot.
    Recipe,
    /// The species, in the counter's words.
    Species,
    /// The kind of animal.
    Kind,
    /// The age class.
    Age,
    /// The state it came in.
    Arrival,
    /// The season.
    Season,
    /// The month it came in.
    Month,
    /// The hand at the pot.
    Hand,
    /// The way by which it was cleaned.
    Way,
    /// The recipes of all its waters.
    Waters,
}

impl By {
    /// Each with its word.
    pub const ALL: &'static [(Self, &'static str)] = &[
        (Self::Nose, "nose"),
        (Self::Ears, "ears"),
        (Self::Recipe, "recipe"),
        (Self::Species, "species"),
        (Self::Kind, "kind"),
        (Self::Age, "age"),
        (Self::Arrival, "arrival"),
        (Self::Season, "season"),
        (Self::Month, "month"),
        (Self::Hand, "hand"),
        (Self::Way, "way"),
        (Self::Waters, "waters"),
    ];

    /// The words alone.
    pub const WORDS: &'static [&'static str] = &[
        "nose", "ears", "recipe", "species", "kind", "age", "arrival", "season", "month", "hand",
        "way", "waters",
    ];

    /// The word.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(one, _)| *one == self).map_or("all", |(_, word)| word)
    }

    /// Reads the word; all together if it is empty.
    ///
    /// # Errors
    /// The words to tell.
    pub fn read(word: &str) -> Result<Self, String> {
        if word.is_empty() || word == "all" {
            return Ok(Self::All);
        }
        let found = Self::ALL.iter().find(|(_, known)| *known == word);
        found.map(|(one, _)| *one).ok_or_else(|| {
            let all: Vec<&str> = Self::ALL.iter().map(|(_, word)| *word).collect();
            format!("nothing is tallied by \u{201c}{word}\u{201d}; say one of {}", all.join(", "))
        })
    }
}

/// What was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// What is counted.
    pub what: What,
    /// By what.
    pub by: By,
    /// The season, by the year in which it began; all if none.
    pub season: Option<i16>,
}

impl Asked {
    /// Reads what was asked.
    ///
    /// # Errors
    /// The words to tell.
    pub fn read(what: &str, by: &str, season: i32) -> Result<Self, String> {
        let season = match season {
            0 => None,
            year => Some(i16::try_from(year).ok().filter(|year| *year > 0).ok_or_else(|| {
                format!("{year} is no season; say the year in which it began, such as 2025")
            })?),
        };
        Ok(Self { what: What::read(what)?, by: By::read(by)?, season })
    }

    /// Whether the two go together.
    ///
    /// # Errors
    /// The words to tell, if they do not.
    pub fn goes_together(self) -> Result<(), String> {
        match (self.what, self.by) {
            (What::SkullDays, By::All) => Ok(()),
            (What::SkullDays, _) => Err("skull-days are by place and week alone; say `tally \
                                         skull-days`"
                .to_owned()),
            (What::Earned, By::Hand) => {
                Err("earned is not told by hand: what a head brings is not the doing of whoever \
                     stood at its pot; say by species, kind or month"
                    .to_owned())
            }
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_reads_back_and_a_wrong_one_says_which_there_are() {
        for (what, word, _) in What::ALL {
            assert_eq!((What::read(word), what.word()), (Ok(*what), *word));
        }
        for (by, word) in By::ALL {
            assert_eq!((By::read(word), by.word()), (Ok(*by), *word));
        }
        assert!(What::ALL.iter().map(|(_, word, _)| *word).eq(What::WORDS.iter().copied()));
        assert!(By::ALL.iter().map(|(_, word)| *word).eq(By::WORDS.iter().copied()));
        assert!(What::read("luck").unwrap_err().contains("say one of damage, nose-damage"));
        assert!(By::read("moon").unwrap_err().contains("say one of nose, ears"));
        assert!(Asked::read("days", "kind", 99_999).unwrap_err().contains("such as 2025"));
        let together = |what, by| Asked::read(what, by, 0).unwrap().goes_together();
        assert!(together("earned", "hand").is_err() && together("skull-days", "kind").is_err());
        assert!(together("earned", "kind").is_ok() && together("damage", "hand").is_ok());
    }
}
