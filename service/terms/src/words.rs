//! Closed lists of trade words.

use crate::{
    canon::{Canon, Canonical},
    field::{BadWord, Kind, Typed, plain_fields},
};

/// Makes a closed list of words with a number each; 0 stays free for "not said".
macro_rules! words {
    ($($(#[$doc:meta])* $ty:ident $hint:literal { $($(#[$vdoc:meta])* $variant:ident = $number:literal $word:literal),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $ty { $($(#[$vdoc])* $variant),+ }

        impl $ty {
            /// Every word of the list, in order.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The same as they are written.
            pub const WORDS: &'static [&'static str] = &[$($word),+];

            /// The number that stands for the word on the wire; never 0.
            pub const fn number(self) -> i32 {
                match self { $(Self::$variant => $number),+ }
            }

            /// The word that a number stands for.
            pub const fn from_number(number: i32) -> Option<Self> {
                match number { $($number => Some(Self::$variant),)+ _ => None }
            }

            /// The word.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }

        impl std::fmt::Display for $ty {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl AsRef<str> for $ty {
            fn as_ref(&self) -> &str {
                self.word()
            }
        }

        impl Typed for $ty {
            const HINT: &'static str = $hint;
            const KIND: Kind = Kind::Listed(Self::WORDS);

            fn read(word: &str) -> Result<Self, BadWord> {
                let word = word.trim().to_lowercase();
                Self::ALL.iter().copied().find(|x| x.word() == word).ok_or_else(|| {
                    let all: Vec<&str> = Self::ALL.iter().map(|x| x.word()).collect();
                    BadWord::new(&word, format!("one of: {}", all.join(", ")))
                })
            }

            fn show(&self) -> String { self.word().to_owned() }
        }

        plain_fields!($ty);

        impl Canonical for $ty {
            fn canon(&self, out: &mut Canon) {
                out.number(i64::from(self.number()));
            }
        }
    )+
        /// Hands each list of words to a macro of the caller, as `name!(Type)`.
        #[macro_export]
        macro_rules! with_word_lists { ($cb:ident) => { $($cb!($ty);)+ } }
    };
}

words! {
    /// A piece of a head that can be somewhere on its own.
    Piece "PIECE" {
        /// The skull itself, and what is said when no piece is named.
        Skull = 1 "skull",
        /// The lower jaw.
        Jaw = 2 "jaw",
        /// The nasal bones.
        Nose = 3 "nose",
        /// The ear bones.
        Ears = 4 "ears",
        /// Loose teeth.
        Teeth = 5 "teeth",
        /// Horn sheaths.
        Sheaths = 6 "sheaths",
        /// The left half of the lower jaw.
        JawLeft = 7 "jaw-l",
        /// The right half of the lower jaw.
        JawRight = 8 "jaw-r",
        /// The left horn sheath.
        SheathLeft = 9 "sheath-l",
        /// The right horn sheath.
        SheathRight = 10 "sheath-r",
        /// Tusks, all of them.
        Tusks = 11 "tusks",
        /// The left lower tusk.
        TuskLeft = 12 "tusk-l",
        /// The right lower tusk.
        TuskRight = 13 "tusk-r",
        /// The left upper tusk, which whets the lower one.
        WhetterLeft = 14 "whetter-l",
        /// The right upper tusk.
        WhetterRight = 15 "whetter-r",
        /// Ivories: the canine teeth of red deer, elk and sika.
        Ivories = 16 "ivories",
        /// The left ivory.
        IvoryLeft = 17 "ivory-l",
        /// The right ivory.
        IvoryRight = 18 "ivory-r",
        /// Canine teeth.
        Canines = 19 "canines",
        /// The bone at the root of the tongue.
        Hyoid = 20 "hyoid",
        /// The skull plate that was sawn off.
        Plate = 21 "sawn-plate",
        /// The board or stand that it goes on.
        Backboard = 22 "backboard",
    }
    /// Sex of the animal.
    Sex "SEX" {
        /// Male.
        Male = 1 "male",
        /// Female.
        Female = 2 "female",
        /// Cannot be told.
        Unknown = 3 "unknown",
    }
    /// How the animal was obtained.
    Obtained "HOW" {
        /// Taken by a hunter.
        Hunted = 1 "hunted",
        /// Found dead.
        FoundDead = 2 "found-dead",
        /// Killed on a road.
        RoadKill = 3 "road-kill",
        /// From a farm.
        Farmed = 4 "farmed",
        /// Nobody says.
        Unknown = 5 "unknown",
    }
    /// The state in which a head comes over the counter.
    Arrival "STATE" {
        /// With its hide on.
        SkinOn = 1 "skin-on",
        /// Skinned.
        Skinned = 2 "skinned",
        /// Frozen.
        Frozen = 3 "frozen",
        /// Gone off.
        Rotten = 4 "rotten",
        /// With the hide dried on.
        DriedOn = 5 "dried-on",
        /// Already bone.
        Bare = 6 "bare",
    }
    /// What the customer wishes for a part.
    Wish "WISH" {
        /// Keep it, and put it back.
        Keep = 1 "keep",
        /// Leave it off.
        LeaveOff = 2 "leave-off",
        /// Give it back loose.
        Loose = 3 "loose",
    }
    /// Yes, no, or nobody knows.
    YesNo "ANSWER" {
        /// Yes.
        Yes = 1 "yes",
        /// No.
        No = 2 "no",
        /// Nobody knows.
        Unknown = 3 "unknown",
    }
    /// The result of a disease test.
    TestResult "RESULT" {
        /// Not back yet.
        Pending = 1 "pending",
        /// Not detected.
        NotDetected = 2 "not-detected",
        /// Detected.
        Detected = 3 "detected",
        /// Not tested.
        NotTested = 4 "not-tested",
    }
    /// The state of a part of the bone.
    PartState "PART-STATE" {
        /// Whole.
        Whole = 1 "whole",
        /// Cracked.
        Cracked = 2 "cracked",
        /// Broken.
        Broken = 3 "broken",
        /// Missing.
        Missing = 4 "missing",
        /// Loose.
        Loose = 5 "loose",
        /// Cannot be seen.
        NotSeen = 6 "not-seen",
    }
    /// How somebody was reached, or money was given.
    Means "MEANS" {
        /// By word of mouth at the counter.
        Counter = 1 "counter",
        /// By telephone.
        Phone = 2 "phone",
        /// By a text message.
        Text = 3 "text",
        /// By electronic mail.
        Email = 4 "email",
        /// By letter.
        Letter = 5 "letter",
        /// Coins and notes.
        Cash = 6 "cash",
        /// A payment card.
        Card = 7 "card",
        /// A cheque.
        Check = 8 "check",
        /// A bank transfer.
        Transfer = 9 "transfer",
    }
    /// Where money of the till comes from or goes to that no customer paid and nothing was bought with.
    Purse "PURSE" {
        /// The shop's account at its bank.
        Bank = 1 "bank",
        /// The shop's safe.
        Safe = 2 "safe",
        /// The owner's own money.
        Owner = 3 "owner",
        /// Whoever is paid for what was booked in before, or gives back.
        Supplier = 5 "supplier",
        /// The hands, whose tips the shop kept for them.
        Hands = 6 "hands",
        /// Somewhere else, as said.
        Other = 4 "other",
    }
    /// What came of telling the customer.
    Reached "REACHED" {
        /// Spoke with them.
        Spoke = 1 "spoke",
        /// Left a message.
        Message = 2 "message",
        /// No answer.
        NoAnswer = 3 "no-answer",
        /// The number is wrong.
        WrongNumber = 4 "wrong-number",
        /// Sent.
        Sent = 5 "sent",
    }
    /// What a customer was told for.
    ToldFor "PURPOSE" {
        /// That it is finished and can be fetched.
        Ready = 1 "ready",
        /// What it costs.
        Price = 2 "price",
        /// Something that the customer has to decide.
        Question = 3 "question",
        /// That it takes longer.
        Delay = 4 "delay",
        /// That it is the last notice before it goes another way.
        LastNotice = 5 "last-notice",
        /// Anything else.
        Other = 6 "other",
    }
    /// Whether a customer wants to be reached by something.
    ReachWish "WHETHER" {
        /// Not by this.
        Never = 1 "never",
        /// By this again.
        Again = 2 "again",
    }
    /// Why a job is written off.
    WriteOffAs "AS" {
        /// Lost.
        Lost = 1 "lost",
        /// Ruined.
        Ruined = 2 "ruined",
        /// Nobody came for it.
        Unclaimed = 3 "unclaimed",
    }
    /// How the tissue looks.
    Tissue "TISSUE" {
        /// Still tight.
        Tight = 1 "tight",
        /// Softening.
        Softening = 2 "softening",
        /// Slipping off.
        Slipping = 3 "slipping",
        /// Clean bone.
        Clean = 4 "clean",
        /// Not done yet: it needs more time, without more being said.
        More = 5 "more",
    }
    /// How sutures or teeth hold.
    Firmness "FIRMNESS" {
        /// Fast.
        Fast = 1 "fast",
        /// Opening or loose.
        Opening = 2 "opening",
        /// Open or out.
        Open = 3 "open",
    }
    /// Whose a damage is.
    Whose "WHOSE" {
        /// It came so.
        AsFound = 1 "as-found",
        /// The shop did it.
        Ours = 2 "ours",
        /// Nobody knows.
        NotKnown = 3 "not-known",
    }
    /// What was done to the heat under a place.
    Flame "HEAT" {
        /// Lit.
        Lit = 1 "lit",
        /// It boils.
        Boil = 2 "boil",
        /// Turned down.
        Down = 3 "down",
        /// Off.
        Off = 4 "off",
    }
    /// How a reading was taken.
    Method "METHOD" {
        /// A test strip.
        Strip = 1 "strip",
        /// A titration.
        Titration = 2 "titration",
        /// A thermometer.
        Thermometer = 3 "thermometer",
        /// A meter.
        Meter = 4 "meter",
        /// By eye.
        Eye = 5 "eye",
    }
    /// How water looks when it is changed or dumped.
    WaterLook "LOOK" {
        /// Clear.
        Clear = 1 "clear",
        /// Cloudy.
        Cloudy = 2 "cloudy",
        /// Greasy.
        Greasy = 3 "greasy",
        /// Foul.
        Foul = 4 "foul",
    }
    /// What kind of place a place is.
    PlaceKind "KIND" {
        /// A pot over a flame.
        Pot = 1 "pot",
        /// A tub for whitening.
        Tub = 2 "tub",
        /// A tank for degreasing.
        Tank = 3 "tank",
        /// A freezer.
        Freezer = 4 "freezer",
        /// A drying rack.
        Rack = 5 "rack",
        /// A shelf.
        Shelf = 6 "shelf",
        /// A board with hooks.
        Board = 7 "board",
        /// A box with a colony of beetles.
        Colony = 8 "colony",
        /// A bath that is kept warm, for maceration and for enzyme.
        WarmBath = 9 "warm-bath",
        /// A tub with cold water, for soaking and for cold maceration.
        Soak = 10 "soak",
        /// A dryer with moving air.
        Dryer = 11 "dryer",
        /// An oven.
        Oven = 12 "oven",
        /// A place in the ground.
        Ground = 13 "ground",
    }
    /// How large a head is.
    Size "SIZE" {
        /// Less than 2 kg.
        Small = 1 "small",
        /// From 2 to 6 kg.
        Middle = 2 "middle",
        /// From 6 to 15 kg.
        Large = 3 "large",
        /// More than 15 kg.
        Huge = 4 "huge",
    }
    /// How much there is of a smell, of grease and the like.
    Much "MUCH" {
        /// None.
        None = 1 "none",
        /// A little, as is usual.
        Little = 2 "little",
        /// Much.
        Much = 3 "much",
        /// So much that something is wrong.
        Foul = 4 "foul",
    }
    /// How well a thing came out.
    Mark "MARK" {
        /// It fails: it is done again or held.
        Fails = 1 "fails",
        /// It wants doing again.
        Redo = 2 "redo",
        /// Fair.
        Fair = 3 "fair",
        /// Good.
        Good = 4 "good",
        /// As good as it gets.
        Best = 5 "best",
    }
    /// What a place is made of.
    Material "MATERIAL" {
        /// Plastic.
        Plastic = 1 "plastic",
        /// Glass.
        Glass = 2 "glass",
        /// Stainless steel.
        Stainless = 3 "stainless",
        /// Plain steel.
        Steel = 4 "steel",
        /// Aluminium.
        Aluminium = 5 "aluminium",
        /// Copper or brass.
        Copper = 6 "copper",
        /// Cast iron.
        Iron = 7 "iron",
        /// Wood.
        Wood = 8 "wood",
    }
    /// What a bench may say, by whose it is.
    Role "ROLE" {
        /// A bench at the work.
        Bench = 1 "bench",
        /// The counter, which also works.
        Counter = 2 "counter",
        /// The owner of the shop.
        Owner = 3 "owner",
        /// Reads and says nothing.
        Viewer = 4 "viewer",
    }
    /// What somebody other than the customer is to a job.
    Capacity "CAPACITY" {
        /// Who pays.
        Payer = 1 "payer",
        /// Who may collect.
        Collector = 2 "collector",
        /// Who gave the money of the payment that is said with it.
        Giver = 3 "giver",
    }
    /// What a script is for.
    ScriptKind "SCRIPT-KIND" {
        /// Prices a job.
        Pricing = 1 "pricing",
        /// Guards the stages.
        Stages = 2 "stages",
    }
    /// What the values of a table of the shop's own are.
    CellKind "CELL-KIND" {
        /// Amounts of money.
        Money = 1 "money",
        /// Numbers, whole or with a point.
        Number = 2 "number",
        /// Whole numbers.
        Whole = 3 "whole",
        /// Texts.
        Text = 4 "text",
        /// Yes or no.
        YesNo = 5 "yes-no",
    }
    /// What the head of an animal bears.
    Headgear "HEADGEAR" {
        /// Antlers: bone that is shed; wrapped before any water.
        Antlers = 1 "antlers",
        /// Horns: a sheath over a bony core.
        Horns = 2 "horns",
        /// Tusks.
        Tusks = 3 "tusks",
        /// None of these.
        Bare = 4 "none",
    }
    /// In which sex a head bears it.
    Bearers "BEARERS" {
        /// Males alone.
        Males = 1 "males",
        /// Males and females.
        Both = 2 "both",
    }
    /// A kind of animal; heads of one kind take alike times and go wrong alike.
    Group "ANIMAL-KIND" {
        /// Deer of middle size.
        Deer = 1 "deer",
        /// Elk and caribou.
        Elk = 2 "elk",
        /// Moose.
        Moose = 3 "moose",
        /// Bears: greasy.
        Bear = 4 "bear",
        /// Pigs: greasy.
        Hog = 5 "hog",
        /// Animals with horn sheaths.
        Horned = 6 "horned",
        /// Small carnivores and the like.
        Small = 7 "small",
        /// Anything else, and what nobody said.
        Other = 8 "other",
    }
}
