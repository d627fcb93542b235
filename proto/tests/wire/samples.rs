//! Sample values of every type that a verb can carry, and from them verbs, entries and records.

use burrline_domain::{
    BenchClock, Entry, Outcome, Record, Refusal, Remark, Ruling, ScriptNotes, Verb, verb,
    with_verbs,
};
use burrline_terms::{
    Amount, Coins, Day, Digest, EntryName, Glance, Happened, Key32, Length, Mass, Moment, Money,
    Name, Phrase, PlanStep, PriceLine, SaidTime, Sealed, Skull, Span, Strength, Stuff, Tag,
    Temperature, Typed, Volume, with_word_lists,
    words::{
        Arrival, Bearers, Capacity, CellKind, Firmness, Flame, Group, Headgear, Mark, Material,
        Means, Method, Much, Obtained, PartState, Piece, PlaceKind, Purse, ReachWish, Reached,
        Role, ScriptKind, Sex, Size, TestResult, Tissue, ToldFor, WaterLook, Whose, Wish,
        WriteOffAs, YesNo,
    },
};
use rust_decimal::Decimal;

/// Chooses among samples: either to fill everything, or by draws from outside.
pub(crate) struct Dice {
    draws: Option<Vec<u16>>,
    at: usize,
}

impl Dice {
    /// Fills every field, with the first two samples of its type in turn. The golden bytes were
    /// made so: never change the first two samples of a type.
    pub(crate) fn full() -> Self {
        Self { draws: None, at: 0 }
    }

    pub(crate) fn drawn(draws: Vec<u16>) -> Self {
        Self { draws: Some(draws), at: 0 }
    }

    /// How many there are, at most `most`.
    fn count(&mut self, most: usize) -> usize {
        if self.draws.is_some() { self.next() % (most + 1) } else { most }
    }

    /// Which of `n` samples.
    fn which(&mut self, n: usize) -> usize {
        let n = if self.draws.is_some() { n } else { n.min(2) };
        self.next() % n
    }

    fn next(&mut self) -> usize {
        let at = self.at;
        self.at += 1;
        match &self.draws {
            Some(draws) => draws.get(at % draws.len().max(1)).map_or(0, |d| usize::from(*d)),
            None => at,
        }
    }
}

pub(crate) trait Sample: Sized {
    fn sample(dice: &mut Dice) -> Self;
}

/// Samples by their typed forms.
macro_rules! typed {
    ($($ty:ty: $($word:literal)+;)+) => {$(
        impl Sample for $ty {
            fn sample(dice: &mut Dice) -> Self {
                let words = [$($word),+];
                let word = words[dice.which(words.len())];
                <$ty>::read(word).unwrap()
            }
        }
    )+};
}

typed! {
    Name: "whitetail" "pot-1" "a" "a name that is as long as a name may be, 48 byte";
    Phrase: "two teeth missing" "Spoke to him, he will come on Friday" "\u{e9}\u{2014}\u{1f98c}";
    Tag: "0417" "B12" "0" "999999999999";
    Money: "185.00" "12.5" "-20" "0.005" "1000000000";
    Day: "2026-12-18" "2027-02-28" "2028-02-29";
    Decimal: "7.2" "0" "999999999.999999";
    EntryName: "3:41" "4:7" "0:1" "4294967295:18446744073709551615";
    Digest: "ab5df625bc76dbd4e163bed2dd888df828f90159bb93556525c31821b6541d46"
        "0000000000000000000000000000000000000000000000000000000000000001";
    Key32: "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";
    Skull: "0417" "0417/3:9/jaw" "3:9/teeth" "B12/nose";
    Stuff: "peroxide=2L@12%" "soap=30mL" "soda=120g" "aspen-bag=6" "peroxide=1gal@40vol";
    Coins: "7x20.00" "18x0.25" "0x100";
    Glance: "showx3@2:17" "callsx1" "photo-as-takenx4294967295@4294967295:1";
    PriceLine: "whole head=150.00" "rush=35.5" "credit=-10";
    PlanStep: "simmer=120min" "degrease=21d" "dry=36.5h";
    Volume: "18L" "750mL" "5gal" "2qt" "12.5floz" "1impgal";
    Mass: "1420g" "1.42kg" "3lb" "12.5oz";
    Length: "21.5cm" "8in" "215mm" "171/8in" "340/16in";
    Span: "90min" "21d" "36.5h";
    Strength: "12%" "40vol" "35%w/w" "0%";
    Temperature: "88C" "190F" "-18.5C";
    Amount: "2L" "250g" "6";
}

macro_rules! list {
    ($ty:ident) => {
        impl Sample for $ty {
            fn sample(dice: &mut Dice) -> Self {
                $ty::ALL[dice.which($ty::ALL.len())]
            }
        }
    };
}

with_word_lists!(list);

impl Sample for u32 {
    fn sample(dice: &mut Dice) -> Self {
        [8, 12, 0, Self::MAX][dice.which(4)]
    }
}

impl Sample for bool {
    fn sample(dice: &mut Dice) -> Self {
        dice.count(1) == 1
    }
}

impl Sample for Sealed {
    fn sample(dice: &mut Dice) -> Self {
        let key_id = [[7; 16], [0xf0; 16]][dice.which(2)];
        Self { key_id, nonce: vec![9; 24], ciphertext: b"sealed details".to_vec() }
    }
}

impl<T: Sample> Sample for Option<T> {
    fn sample(dice: &mut Dice) -> Self {
        (dice.count(1) == 1).then(|| T::sample(dice))
    }
}

impl<T: Sample> Sample for Vec<T> {
    fn sample(dice: &mut Dice) -> Self {
        (0..dice.count(2)).map(|_| T::sample(dice)).collect()
    }
}

impl Sample for Box<Verb> {
    fn sample(dice: &mut Dice) -> Self {
        Self::new(verb_sample(["in", "wash", "take-in", "strike"][dice.which(4)], dice))
    }
}

macro_rules! sample_verbs {
    ($($number:literal $class:ident $on:ident $role:ident $Verb:ident $word:literal $help:literal {
        $($field:ident: $ty:ty = $fhelp:literal),* $(,)?
    })*) => {
        /// A sample of the verb with this name.
        pub(crate) fn verb_sample(word: &str, dice: &mut Dice) -> Verb {
            match word {
                $($word => verb::$Verb { $($field: <$ty>::sample(dice)),* }.into(),)*
                other => panic!("there is no verb {other}"),
            }
        }
    };
}

with_verbs!(sample_verbs);

impl Sample for Moment {
    fn sample(dice: &mut Dice) -> Self {
        Self([1_764_067_200_000, 1_764_070_800_000, 0, -1, i64::MAX, i64::MIN][dice.which(6)])
    }
}

impl Sample for SaidTime {
    fn sample(dice: &mut Dice) -> Self {
        Self::at(Moment::sample(dice))
    }
}

impl Sample for Ruling {
    fn sample(dice: &mut Dice) -> Self {
        Self { rule: Name::sample(dice), script: Digest::sample(dice), words: Phrase::sample(dice) }
    }
}

impl Sample for Remark {
    fn sample(dice: &mut Dice) -> Self {
        Self {
            rule: Name::sample(dice),
            script: Option::sample(dice),
            words: Phrase::sample(dice),
            objected: bool::sample(dice),
            not_checked: bool::sample(dice),
        }
    }
}

impl Sample for Refusal {
    fn sample(dice: &mut Dice) -> Self {
        match dice.which(13) {
            0 => Self::RoleMayNot { role: Role::sample(dice), needs: Role::sample(dice) },
            1 => Self::NoSuchJob,
            2 => Self::NoSuch(Name::sample(dice)),
            3 => Self::Already(Name::sample(dice)),
            4 => Self::NotOnHold,
            5 => Self::NoSuchCustomer,
            6 => Self::BadSetting(Phrase::sample(dice)),
            7 => Self::Retired,
            8 => Self::NoSuchSetting(Phrase::sample(dice)),
            9 => Self::NoSuchBench(u32::sample(dice)),
            10 => Self::NoSuchScript(Digest::sample(dice)),
            11 => Self::UnusableScript(Phrase::sample(dice)),
            _ => Self::Withdrawn,
        }
    }
}

impl Sample for Outcome {
    fn sample(dice: &mut Dice) -> Self {
        if dice.which(2) == 0 {
            Self::Done(Vec::sample(dice))
        } else {
            Self::Refused(Refusal::sample(dice))
        }
    }
}

impl Sample for Happened {
    fn sample(dice: &mut Dice) -> Self {
        let mut three = [Moment::sample(dice), Moment::sample(dice), Moment::sample(dice)];
        three.sort();
        let [not_before, at, not_after] = three;
        Self { at, not_before, not_after, typed: Moment::sample(dice), said: bool::sample(dice) }
    }
}

/// An entry with this verb.
pub(crate) fn entry_sample(verb: Verb, dice: &mut Dice) -> Entry {
    Entry {
        name: EntryName::sample(dice),
        hand: Option::sample(dice),
        clock: BenchClock {
            wall: Moment::sample(dice),
            boot: [[1; 16], [0xee; 16]][dice.which(2)],
            uptime_ms: u64::from(u32::sample(dice)),
        },
        said: Option::sample(dice),
        seen: u64::from(u32::sample(dice)),
        together: Option::sample(dice),
        anyway: Option::sample(dice),
        rulings: Vec::sample(dice),
        not_seen: bool::sample(dice),
        formerly: None,
        verb,
    }
}

/// A record of an entry.
pub(crate) fn record_sample(entry: Entry, dice: &mut Dice) -> Record {
    Record {
        position: u64::from(u32::sample(dice)),
        shop_time: Moment::sample(dice),
        happened: Happened::sample(dice),
        contact: None,
        doubted: None,
        notes: ScriptNotes::default(),
        on_jobs: Vec::new(),
        outcome: Outcome::sample(dice),
        entry,
    }
}
