//! Values of several parts that verbs carry.

use rust_decimal::Decimal;

use crate::{
    field::{BadWord, Kind, Typed, plain_fields},
    money::Money,
    name::{EntryName, Name, Phrase, Tag},
    units::{Amount, Span, Strength},
    words::Piece,
};

/// Which skull, and which piece of it, as the bench said it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Skull {
    /// The tag that was read; none when the job was named by its number.
    pub tag: Option<Tag>,
    /// The job that the bench meant, where it knew: the name of its take-in.
    pub job: Option<EntryName>,
    /// The piece; the skull itself if none was named.
    pub piece: Piece,
}

impl Skull {
    /// What is typed for a head that wears no tag yet.
    pub const UNTAGGED: &'static str = "untagged";

    /// The skull that wears a tag.
    pub const fn tagged(tag: Tag) -> Self {
        Self { tag: Some(tag), job: None, piece: Piece::Skull }
    }

    /// The skull of a job.
    pub const fn of(job: EntryName) -> Self {
        Self { tag: None, job: Some(job), piece: Piece::Skull }
    }
}

impl Typed for Skull {
    const HINT: &'static str = "TAG";
    const KIND: Kind = Kind::Skull;

    fn read(word: &str) -> Result<Self, BadWord> {
        let mut parts = word.split('/');
        let first = parts.next().unwrap_or_default();
        let (mut tag, mut job) = (None, None);
        let mut piece = Piece::Skull;
        // What stands on a bag: `0417-N` is the nose of 0417.
        if let Some((number, marked)) = bagged(first) {
            tag = Some(number);
            piece = marked;
        } else if first == Self::UNTAGGED {
            // A head that is tagged later, by clip-tag.
        } else if Tag::looks_like(first) {
            tag = Some(Tag::read(first)?);
        } else {
            job = Some(EntryName::read(first)?);
        }
        for part in parts {
            if part.contains(':') {
                job = Some(EntryName::read(part)?);
            } else {
                piece = Piece::read(part)?;
            }
        }
        Ok(Self { tag, job, piece })
    }

    fn show(&self) -> String {
        let mut words: Vec<String> = Vec::new();
        words.extend(self.tag.iter().map(Typed::show));
        words.extend(self.job.iter().map(Typed::show));
        if words.is_empty() {
            words.push(Self::UNTAGGED.to_owned());
        }
        if self.piece != Piece::Skull {
            words.push(self.piece.show());
        }
        words.join("/")
    }
}

/// The tag and the piece of a mark such as `0417-N`.
fn bagged(word: &str) -> Option<(Tag, Piece)> {
    let (number, letters) = word.rsplit_once('-')?;
    Some((Tag::read(number).ok()?, Piece::from_letters(letters)?))
}

/// Something that goes into water or stock: `peroxide=2L@12%`.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Stuff {
    /// What it is.
    pub what: Name,
    /// How much, as typed.
    pub amount: Amount,
    /// How strong, for peroxide.
    pub strength: Option<Strength>,
}

impl Stuff {
    /// Whether this is peroxide, by its name.
    pub fn is_peroxide(&self) -> bool {
        self.what.as_str().to_lowercase().contains("peroxide")
    }

    /// Litres that it adds to a water; solids add none.
    pub fn litres(&self) -> Decimal {
        match self.amount {
            Amount::Volume(volume) => volume.litres(),
            Amount::Mass(_) | Amount::Count(_) => Decimal::ZERO,
        }
    }

    /// Grams of hydrogen peroxide that it adds.
    pub fn peroxide_grams(&self) -> Decimal {
        let wv = self.strength.map(Strength::percent_wv).unwrap_or_default();
        if self.is_peroxide() {
            self.litres().saturating_mul(wv).saturating_mul(Decimal::TEN).normalize()
        } else {
            Decimal::ZERO
        }
    }
}

impl Typed for Stuff {
    const HINT: &'static str = "WHAT=AMOUNT[@STRENGTH]";
    const KIND: Kind = Kind::Stuff;

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong =
            || BadWord::new(word, "what and how much, such as peroxide=2L@12% or soap=30mL");
        let (what, rest) = word.split_once('=').ok_or_else(wrong)?;
        let (amount, strength) = match rest.split_once('@') {
            Some((amount, strength)) => (amount, Some(Strength::read(strength)?)),
            None => (rest, None),
        };
        Ok(Self { what: Name::read(what)?, amount: Amount::read(amount)?, strength })
    }

    fn show(&self) -> String {
        let strength = self.strength.map(|s| format!("@{}", s.show())).unwrap_or_default();
        format!("{}={}{strength}", self.what, self.amount.show())
    }
}

/// One line of a price.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct PriceLine {
    /// What it is for.
    pub what: Phrase,
    /// How much, before tax.
    pub amount: Money,
}

impl Typed for PriceLine {
    const HINT: &'static str = "WHAT=MONEY";
    const KIND: Kind = Kind::PriceLine;

    fn read(word: &str) -> Result<Self, BadWord> {
        let (what, amount) = word
            .rsplit_once('=')
            .ok_or_else(|| BadWord::new(word, "a line such as cleaning=150.00"))?;
        Ok(Self { what: Phrase::read(what)?, amount: Money::read(amount)? })
    }

    fn show(&self) -> String {
        format!("{}={}", self.what, self.amount)
    }
}

/// How many coins or notes of one value: `7x20`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Coins {
    /// How many.
    pub count: u32,
    /// What each is worth.
    pub of: Money,
}

impl Coins {
    /// What all of them are worth; none past what a decimal can hold.
    pub fn worth(self) -> Option<Money> {
        self.of.amount().checked_mul(Decimal::from(self.count)).map(Money::new)
    }
}

impl Typed for Coins {
    const HINT: &'static str = "COUNTxMONEY";
    const KIND: Kind = Kind::Coins;

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "a count of coins or notes, such as 7x20 or 18x0.25");
        let (count, of) = word.split_once(['x', 'X', '\u{d7}', '*']).ok_or_else(wrong)?;
        let of = Money::read(of).map_err(|_| wrong())?;
        if of <= Money::ZERO {
            return Err(wrong());
        }
        Ok(Self { count: count.trim().parse().map_err(|_| wrong())?, of })
    }

    fn show(&self) -> String {
        format!("{}x{}", self.count, self.of)
    }
}

/// One step of a plan and how long it is expected to take.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct PlanStep {
    /// The step, in the shop's words.
    pub step: Name,
    /// How long it is expected to take.
    pub expected: Span,
}

impl Typed for PlanStep {
    const HINT: &'static str = "STEP=SPAN";
    const KIND: Kind = Kind::PlanStep;

    fn read(word: &str) -> Result<Self, BadWord> {
        let (step, span) = word
            .rsplit_once('=')
            .ok_or_else(|| BadWord::new(word, "a step such as simmer=120min"))?;
        Ok(Self { step: Name::read(step)?, expected: Span::read(span)? })
    }

    fn show(&self) -> String {
        format!("{}={}", self.step, self.expected.show())
    }
}

/// What was looked at, and how often: `showx3`, `showx3@2:17` of one job, ticket or customer.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Glance {
    /// Which reading, or what was taken: `show`, `photo-as-taken`, `packet`.
    pub what: Name,
    /// How often.
    pub times: u32,
    /// Of which job, ticket or customer; none where they were many.
    pub about: Option<EntryName>,
}

impl Typed for Glance {
    const HINT: &'static str = "WHATxTIMES[@ENTRY]";

    fn read(word: &str) -> Result<Self, BadWord> {
        let wrong = || BadWord::new(word, "what was looked at and how often, such as showx3@2:17");
        let (rest, about) = match word.rsplit_once('@') {
            Some((rest, about)) => (rest, Some(EntryName::read(about)?)),
            None => (word, None),
        };
        let (what, times) = rest.rsplit_once('x').ok_or_else(wrong)?;
        let times = times.parse().map_err(|_| wrong())?;
        Ok(Self { what: Name::read(what)?, times, about })
    }

    fn show(&self) -> String {
        let about = self.about.map(|about| format!("@{}", about.show())).unwrap_or_default();
        format!("{}x{}{about}", self.what, self.times)
    }
}

/// Details that only the holder of a key can read; the key is never on the log.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Sealed {
    /// Which key opens it.
    pub key_id: [u8; 16],
    /// The nonce of the seal.
    pub nonce: Vec<u8>,
    /// The details, sealed.
    pub ciphertext: Vec<u8>,
}

impl Typed for Sealed {
    const HINT: &'static str = "SEALED";
    const KIND: Kind = Kind::Sealed;

    fn read(word: &str) -> Result<Self, BadWord> {
        // Only a bench with a key can make one, so there is nothing that a hand could type.
        Err(BadWord::new(word, "typed: give --name, --phone and the like instead"))
    }

    fn show(&self) -> String {
        let id = self.key_id.iter().fold(0_u128, |id, byte| id << 8_u32 | u128::from(*byte));
        format!("sealed under {id:032x}")
    }
}

plain_fields!(Skull, Stuff, PriceLine, Coins, PlanStep, Glance, Sealed);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn composite_words_read_back_as_shown() {
        for word in ["0417", "0417/jaw", "0417/3:9/jaw", "3:9"] {
            assert_eq!(Skull::read(word).unwrap().show(), word);
        }
        for word in ["peroxide=2L@12%", "soap=30mL", "soda=120g"] {
            assert_eq!(Stuff::read(word).unwrap().show(), word);
        }
        for word in ["showx3", "photo-as-takenx1@2:17", "boxx2@7:1"] {
            assert_eq!(Glance::read(word).unwrap().show(), word);
        }
        assert_eq!(Skull::read("0417-N").unwrap(), Skull::read("0417/nose").unwrap());
        assert_eq!(Skull::read("417-j").unwrap(), Skull::read("0417/jaw").unwrap());
        assert_eq!(Skull::read("0417-SL").unwrap(), Skull::read("0417/sheath-l").unwrap());
        assert!(Skull::read("0417-X").is_err());
        assert_eq!(PriceLine::read("whole head=150.00").unwrap().show(), "whole head=150.00");
    }

    #[test]
    fn two_litres_at_twelve_per_cent_carry_240_grams() {
        let stuff = Stuff::read("peroxide=2L@12%").unwrap();
        assert_eq!(stuff.peroxide_grams(), Decimal::from(240));
    }
}
