//! A head: what it is, what is wished, and how far it has come.

use crate::{
    dice::Dice,
    time::{DayNo, Minute},
};

/// Kinds that are worked alike; the words are those of the domain's own groups.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Deer.
    Deer,
    /// Elk.
    Elk,
    /// Moose.
    Moose,
    /// Bears.
    Bear,
    /// Hogs.
    Hog,
    /// With sheaths on their horns.
    Horned,
    /// Small carnivores.
    Small,
}

impl Kind {
    /// Whether grease must come out for weeks, whatever the skull looks like.
    pub const fn fat(self) -> bool {
        matches!(self, Self::Bear | Self::Hog)
    }

    /// Whether its males have antlers.
    pub const fn grows_antlers(self) -> bool {
        matches!(self, Self::Deer | Self::Elk | Self::Moose)
    }

    /// How often one is degreased, in a hundred. Common practice, no source; the figures are made up.
    const fn greasy_percent(self) -> u64 {
        match self {
            Self::Deer => 72,
            Self::Elk => 90,
            Self::Moose | Self::Bear | Self::Hog => 100,
            Self::Horned => 60,
            Self::Small => 85,
        }
    }

    /// Minutes of the first go, and of a second.
    pub const fn simmer(self) -> (i64, i64) {
        match self {
            Self::Deer => (85, 40),
            Self::Elk => (130, 60),
            Self::Moose => (150, 70),
            Self::Bear => (90, 40),
            Self::Hog => (110, 45),
            Self::Horned => (45, 25),
            Self::Small => (25, 15),
        }
    }

    /// Days in degreasing water, if it needs any: within what is common practice, no source. A batch
    /// stays in for as long as the greasiest of it.
    pub const fn soak(self) -> (i64, i64) {
        match self {
            Self::Bear => (24, 38),
            Self::Hog => (17, 30),
            Self::Moose => (8, 18),
            Self::Horned => (7, 12),
            Self::Elk => (4, 9),
            Self::Small => (3, 8),
            Self::Deer => (2, 5),
        }
    }

    /// The price of cleaning one, in cents.
    pub const fn cleaning(self) -> i64 {
        match self {
            Self::Deer => 12_000,
            Self::Elk => 21_000,
            Self::Moose => 29_000,
            Self::Bear => 16_500,
            Self::Hog => 15_000,
            Self::Horned => 14_000,
            Self::Small => 7_500,
        }
    }

    /// Grams of the clean, dry skull.
    const fn grams(self) -> (i64, i64) {
        match self {
            Self::Deer => (900, 1_700),
            Self::Elk => (4_800, 8_900),
            Self::Moose => (9_000, 14_000),
            Self::Bear => (1_100, 2_100),
            Self::Hog => (1_000, 2_200),
            Self::Horned => (700, 1_300),
            Self::Small => (90, 240),
        }
    }
}

/// How the nose bones are looked after in the pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nose {
    /// Taken off and bagged.
    Off,
    /// Tied on.
    Tied,
    /// Left as they are.
    Left,
}

/// Where a head stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// In the freezer or on the shelf, until papers or a test are there.
    Waiting,
    /// Washed, not clean: another go.
    Again,
    /// Clean, and greasy.
    Greasy,
    /// In a tank.
    Soaking,
    /// Clean: to be whitened.
    White,
    /// On a rack since then.
    Drying(DayNo),
    /// Inspected.
    Ready,
    /// Gone.
    Gone,
}

/// One head.
#[derive(Debug, Clone)]
pub struct Head {
    /// Its number in the season.
    pub number: usize,
    /// The tag.
    pub tag: String,
    /// The ticket it came on.
    pub ticket: usize,
    /// When it came.
    pub came: Minute,
    /// Trade word.
    pub species: &'static str,
    /// How it is worked.
    pub kind: Kind,
    /// Sex.
    pub sex: &'static str,
    /// Age class.
    pub age: &'static str,
    /// Antler points.
    pub points: i64,
    /// How it was obtained.
    pub obtained: &'static str,
    /// The state it came in.
    pub arrival: &'static str,
    /// Wishes for nose, ears, jaw and teeth.
    pub wishes: [&'static str; 4],
    /// What is seen at the counter; none with the hide on.
    pub seen: Option<&'static str>,
    /// The day the papers are there; at the counter, usually.
    pub papers: DayNo,
    /// The day a disease test came back, for a head from a disease area.
    pub test: Option<DayNo>,
    /// How the nose is handled.
    pub nose: Nose,
    /// Whether the ear bones are bagged.
    pub ears_off: bool,
    /// Whether the first go will not do.
    pub second: bool,
    /// Whether it needs degreasing.
    pub greasy: bool,
    /// Days in the tank.
    pub soak: i64,
    /// Dry mass in grams.
    pub grams: i64,
    /// Where it stands.
    pub stage: Stage,
    /// Goes in a pot so far.
    pub goes: i64,
    /// The price in cents.
    pub price: i64,
    /// The day of its last wash.
    pub washed: Option<DayNo>,
    /// Pieces in bags.
    pub bagged: Vec<&'static str>,
    /// Its own dice, for whatever befalls it.
    pub dice: Dice,
}

/// What comes at which time of the year.
const EARLY: &[(u64, &str)] =
    &[(35, "black bear"), (25, "pronghorn"), (30, "elk"), (6, "coyote"), (4, "wild hog")];
const OCTOBER: &[(u64, &str)] = &[
    (45, "mule deer"),
    (30, "elk"),
    (10, "black bear"),
    (5, "pronghorn"),
    (5, "moose"),
    (5, "wild hog"),
];
const NOVEMBER: &[(u64, &str)] = &[
    (74, "whitetail"),
    (9, "mule deer"),
    (5, "elk"),
    (7, "wild hog"),
    (3, "black bear"),
    (2, "bobcat"),
];
const WINTER: &[(u64, &str)] =
    &[(45, "whitetail"), (38, "wild hog"), (9, "coyote"), (5, "bobcat"), (3, "pronghorn")];

const fn kind_of(species: &str) -> Kind {
    match species.as_bytes() {
        b"elk" => Kind::Elk,
        b"moose" => Kind::Moose,
        b"black bear" => Kind::Bear,
        b"wild hog" => Kind::Hog,
        b"pronghorn" => Kind::Horned,
        b"coyote" | b"bobcat" => Kind::Small,
        _ => Kind::Deer,
    }
}

impl Head {
    /// A head that comes at a minute on a ticket.
    pub fn that_comes(number: usize, ticket: usize, came: Minute, mut dice: Dice) -> Self {
        let day = came.day();
        let mix = match day.0 {
            ..35 => EARLY,
            35..63 => OCTOBER,
            63..112 => NOVEMBER,
            _ => WINTER,
        };
        let species = dice.weighed(mix, "whitetail");
        let kind = kind_of(species);
        let sex = if dice.percent(86) { "male" } else { "female" };
        let age = dice.weighed(&[(12, "yearling"), (78, "adult"), (10, "old")], "adult");
        let arrival = arrival(kind, &mut dice);
        let low_high = kind.grams();
        let second = second(kind, arrival);
        Self {
            number,
            tag: format!("{:04}", number.saturating_add(1001)),
            ticket,
            came,
            species,
            kind,
            sex,
            age,
            points: points(kind, sex, &mut dice),
            obtained: dice.weighed(&[(94, "hunted"), (4, "road-kill"), (2, "farmed")], "hunted"),
            arrival,
            wishes: wishes(kind, &mut dice),
            seen: seen(arrival, &mut dice),
            papers: if dice.percent(6) { day.plus(dice.between(4, 12)) } else { day },
            test: dice.percent(5).then(|| day.plus(dice.between(9, 18))),
            nose: Nose::Left,
            ears_off: dice.percent(55),
            second: dice.percent(second),
            greasy: dice.percent(kind.greasy_percent()),
            soak: dice.between(kind.soak().0, kind.soak().1),
            grams: dice.between(low_high.0, low_high.1),
            stage: Stage::Waiting,
            goes: 0,
            price: 0,
            washed: None,
            bagged: Vec::new(),
            dice,
        }
    }

    /// Whether there are antlers to wrap.
    pub fn antlered(&self) -> bool {
        self.points > 0
    }

    /// Whether the hide is on.
    pub fn hide_on(&self) -> bool {
        self.seen.is_none()
    }

    /// Whether papers and test are there by a day.
    pub fn may_be_worked(&self, day: DayNo) -> bool {
        self.papers_there(day) && self.test.is_none_or(|back| back < day)
    }

    fn papers_there(&self, day: DayNo) -> bool {
        self.papers == self.came.day() || self.papers < day
    }

    /// Whether it must share no water with others: it came rotten.
    pub fn rotten(&self) -> bool {
        self.arrival == "rotten"
    }

    /// The skull's piece, as it is typed.
    pub fn piece(&self, piece: &str) -> String {
        format!("{}/{piece}", self.tag)
    }
}

fn arrival(kind: Kind, dice: &mut Dice) -> &'static str {
    let mix: &[(u64, &str)] = match kind {
        Kind::Bear | Kind::Small => &[(55, "skin-on"), (35, "frozen"), (10, "skinned")],
        Kind::Hog => &[(40, "skin-on"), (40, "skinned"), (15, "frozen"), (5, "rotten")],
        Kind::Deer | Kind::Elk | Kind::Moose | Kind::Horned => {
            &[(58, "skinned"), (22, "skin-on"), (12, "frozen"), (4, "rotten"), (4, "dried-on")]
        }
    };
    dice.weighed(mix, "skinned")
}

/// How often a first go will not do, in a hundred.
const fn second(kind: Kind, arrival: &str) -> u64 {
    let base: u64 = match arrival.as_bytes() {
        b"dried-on" => 65,
        b"skin-on" | b"frozen" => 34,
        b"rotten" => 12,
        _ => 24,
    };
    match kind {
        Kind::Elk | Kind::Moose | Kind::Hog => base.saturating_add(12),
        Kind::Small => 8,
        Kind::Deer | Kind::Bear | Kind::Horned => base,
    }
}

fn points(kind: Kind, sex: &str, dice: &mut Dice) -> i64 {
    if sex == "female" {
        return 0;
    }
    match kind {
        Kind::Deer => dice.between(2, 12),
        Kind::Elk => dice.between(4, 14),
        Kind::Moose => dice.between(8, 22),
        Kind::Bear | Kind::Hog | Kind::Horned | Kind::Small => 0,
    }
}

fn wishes(kind: Kind, dice: &mut Dice) -> [&'static str; 4] {
    let nose = dice.weighed(&[(70, "keep"), (12, "leave-off"), (18, "")], "keep");
    let ears = dice.weighed(&[(50, "keep"), (20, "leave-off"), (30, "")], "keep");
    let jaw = match kind {
        Kind::Bear | Kind::Hog | Kind::Small => {
            dice.weighed(&[(90, "keep"), (10, "leave-off")], "")
        }
        Kind::Deer | Kind::Elk | Kind::Moose | Kind::Horned => {
            dice.weighed(&[(35, "keep"), (50, "leave-off"), (15, "")], "")
        }
    };
    let teeth = dice.weighed(&[(22, "keep"), (78, "")], "");
    [nose, ears, jaw, teeth]
}

/// What is seen at the counter; nothing with the hide on.
fn seen(arrival: &str, dice: &mut Dice) -> Option<&'static str> {
    if matches!(arrival, "skin-on" | "frozen" | "dried-on") {
        return None;
    }
    let all = [
        (60, "looks whole"),
        (12, "nose chipped at the tip"),
        (8, "shot through the back of the skull"),
        (8, "left brow tine broken off"),
        (7, "knife marks on the forehead"),
        (5, "one ear bone gone"),
    ];
    Some(dice.weighed(&all, "looks whole"))
}
