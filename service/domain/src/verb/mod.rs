//! Everything that can be said, from the one [table](crate::with_verbs).

#[macro_use]
mod table;
mod act;
mod change;
mod ending;
mod written;

use rust_decimal::Decimal;

pub use act::{Act, Decision, Never, PlaceAct, ShopAct, SkullAct};
pub use ending::Ending;

use burrline_terms::{
    canon::{Canon, Canonical},
    field::{Arity, BadWord, Field, Kind},
    money::Money,
    name::{Digest, EntryName, Key32, Name, Phrase, Tag},
    parts::{Coins, Glance, PlanStep, PriceLine, Sealed, Skull, Stuff},
    time::{Day, Moment},
    units::{Length, Mass, Span, Strength, Temperature, Volume},
    words::{
        Arrival, Bearers, Capacity, CellKind, Firmness, Flame, Group, Headgear, Mark, Material,
        Means, Method, Much, Obtained, PartState, Piece, PlaceKind, Purse, ReachWish, Reached,
        Role, ScriptKind, Sex, Size, TestResult, Tissue, ToldFor, WaterLook, Whose, Wish,
        WriteOffAs, YesNo,
    },
};

/// Whether something has happened, or is being decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// It has happened; it is never refused.
    Fact,
    /// It needs the shop, which does it or refuses it.
    Decision,
}

/// What a verb is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// A head that comes in and starts a job.
    TakeIn,
    /// A skull, or a piece of it.
    Skull,
    /// A place and the water in it.
    Place,
    /// The shop at large.
    Shop,
}

/// One field of a verb, as help and the prompt see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FieldSpec {
    /// Its name, with `_` between words.
    pub name: &'static str,
    /// How often it is given.
    pub arity: Arity,
    /// What stands for its value in help.
    pub hint: &'static str,
    /// What kind of value its type has.
    value: Kind,
    /// What it means.
    pub help: &'static str,
}

impl FieldSpec {
    /// What kind of value it takes. A name is one of a list of the shop where its field says so.
    pub fn kind(&self) -> Kind {
        match (self.value, self.name) {
            (Kind::Open, "place") => Kind::Place,
            (Kind::Open, "species") => Kind::Species,
            (Kind::Open, "witness") => Kind::Hand,
            (Kind::Open, "recipe") => Kind::Recipe,
            (Kind::Open, "way") => Kind::Way,
            (Kind::Open, "setting") => Kind::Setting,
            (value, _) => value,
        }
    }

    /// Its name as it is typed.
    pub fn typed_name(&self) -> String {
        self.name.replace('_', "-")
    }
}

/// One line of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VerbSpec {
    /// Its number on the wire, for ever.
    pub number: u32,
    /// Its name at the prompt.
    pub word: &'static str,
    /// Fact or decision.
    pub class: Class,
    /// What it is about.
    pub on: On,
    /// The least role that may say it.
    pub role: Role,
    /// What it does.
    pub help: &'static str,
    /// Its fields, in the order in which they are typed.
    pub fields: &'static [FieldSpec],
}

impl VerbSpec {
    /// Whether a bench with this role may say the verb.
    pub fn may(&self, role: Role) -> bool {
        may(self.role, role)
    }
}

/// Whether a role may what needs another.
const fn may(needs: Role, role: Role) -> bool {
    match needs {
        Role::Bench => !matches!(role, Role::Viewer),
        Role::Counter => matches!(role, Role::Counter | Role::Owner),
        Role::Owner => matches!(role, Role::Owner),
        Role::Viewer => true,
    }
}

/// The words that a person gave for the fields of a verb.
pub trait Given {
    /// The words given for a field, none if it was not named.
    fn given(&self, field: &str) -> Vec<String>;
}

impl<F: Fn(&str) -> Vec<String>> Given for F {
    fn given(&self, field: &str) -> Vec<String> {
        self(field)
    }
}

macro_rules! class {
    (F) => {
        Class::Fact
    };
    (D) => {
        Class::Decision
    };
}

/// The part of a list that a field takes: money comes by other means than words do. What was recorded
/// before is read as it is.
const fn narrowed(verb: &str, field: &str, kind: Kind) -> Kind {
    match (verb.as_bytes(), field.as_bytes()) {
        (b"pay" | b"refund" | b"spent", b"means") => Kind::Listed(Means::MONEY),
        (b"tell" | b"agree", b"means") => Kind::Listed(Means::CONTACT),
        (b"contact", b"means") => Kind::Listed(Means::AWAY),
        _ => kind,
    }
}

/// The field of this name that says which skull, if it is that field.
macro_rules! pick_skull {
    ($verb:ident, skull) => {
        Some(&$verb.skull)
    };
    ($verb:ident, $other:ident) => {
        None
    };
}

/// The field of this name that says which place, if it is that field.
macro_rules! pick_place {
    ($verb:ident, place) => {
        NamesPlace::names(&$verb.place)
    };
    ($verb:ident, $other:ident) => {
        None
    };
}

trait NamesPlace {
    fn names(&self) -> Option<&Name>;
}

impl NamesPlace for Name {
    fn names(&self) -> Option<&Name> {
        Some(self)
    }
}

impl NamesPlace for Option<Name> {
    fn names(&self) -> Option<&Name> {
        self.as_ref()
    }
}

macro_rules! define_verbs {
    ($($number:literal $class:ident $on:ident $role:ident $Verb:ident $word:literal $help:literal {
        $($field:ident: $ty:ty = $fhelp:literal),* $(,)?
    })*) => {
        $(
            #[doc = concat!("`", $word, "`: ", $help, ".")]
            #[derive(Debug, Clone, PartialEq, Eq, Hash)]
            pub struct $Verb {
                $(#[doc = concat!($fhelp, ".")] pub $field: $ty,)*
            }

            impl $Verb {
                /// The verb's line in the table.
                pub const SPEC: &'static VerbSpec = &VerbSpec {
                    number: $number,
                    word: $word,
                    class: class!($class),
                    on: On::$on,
                    role: Role::$role,
                    help: $help,
                    fields: &[$(FieldSpec {
                        name: stringify!($field),
                        arity: <$ty as Field>::ARITY,
                        hint: <$ty as Field>::HINT,
                        value: narrowed($word, stringify!($field), <$ty as Field>::KIND),
                        help: $fhelp,
                    },)*],
                };

                fn skull(&self) -> Option<&Skull> {
                    [$(pick_skull!(self, $field),)*].into_iter().flatten().next()
                }

                fn place(&self) -> Option<&Name> {
                    [$(pick_place!(self, $field),)*].into_iter().flatten().next()
                }

                fn read(given: &impl Given) -> Result<Self, BadWord> {
                    Ok(Self { $($field: Field::from_words(stringify!($field), &given.given(stringify!($field)))?,)* })
                }

                fn said(&self) -> Vec<(&'static str, Vec<String>)> {
                    vec![$((stringify!($field), self.$field.to_words()),)*]
                }
            }

            impl Canonical for $Verb {
                fn canon(&self, out: &mut Canon) {
                    out.number($number);
                    $(out.add(&self.$field.to_words());)*
                }
            }
        )*

        /// Something said: a fact or a decision.
        #[derive(Debug, Clone, PartialEq, Eq, Hash)]
        pub enum Verb {
            $(#[doc = concat!("`", $word, "`: ", $help, ".")] $Verb($Verb),)*
        }

        $(impl From<$Verb> for Verb {
            fn from(verb: $Verb) -> Self { Self::$Verb(verb) }
        })*

        /// Every verb, in the order of the table.
        pub const VERBS: &[&VerbSpec] = &[$($Verb::SPEC,)*];

        impl Verb {
            /// The verb's number on the wire.
            pub const fn number(&self) -> u32 {
                match self { $(Self::$Verb(_) => $number,)* }
            }

            /// The verb's line in the table.
            pub const fn spec(&self) -> &'static VerbSpec {
                match self { $(Self::$Verb(_) => $Verb::SPEC,)* }
            }

            /// The skull that this is about, if it is about one.
            pub fn skull(&self) -> Option<&Skull> {
                match self { $(Self::$Verb(verb) => verb.skull(),)* }
            }

            /// The place that this is about or goes to, if it names one.
            pub fn place(&self) -> Option<&Name> {
                match self { $(Self::$Verb(verb) => verb.place(),)* }
            }

            /// Reads the verb with this name from the words given for its fields.
            ///
            /// # Errors
            /// [`BadWord`] if there is no such verb, or a field is wrong or missing.
            pub fn read(word: &str, given: &impl Given) -> Result<Self, BadWord> {
                match word {
                    $($word => $Verb::read(given).map(Self::$Verb),)*
                    _ => Err(BadWord::new(word, "a verb; see `burrline help`")),
                }
            }

            fn canon_said(&self, out: &mut Canon) {
                match self { $(Self::$Verb(verb) => out.add(verb),)* }
            }

            /// What was said, field by field, in typed form; empty for what was not said.
            pub fn said(&self) -> Vec<(&'static str, Vec<String>)> {
                match self { $(Self::$Verb(verb) => verb.said(),)* }
            }
        }
    };
}

with_verbs!(define_verbs);

/// What the charge of a sale is for.
pub(crate) const SOLD: &str = "sale of the skull";

impl Verb {
    /// The details about a person that this carries, sealed.
    #[allow(
        clippy::wildcard_enum_match_arm,
        reason = "all others carry no details; a test goes through the table for them"
    )]
    pub fn sealed(&self) -> Option<&Sealed> {
        match self {
            Self::Ticket(verb) => verb.bringer.as_ref(),
            Self::Papers(verb) => verb.details.as_ref(),
            Self::HandOver(verb) => verb.collector.as_ref(),
            Self::Person(verb) => verb.details.as_ref(),
            Self::Sell(verb) => verb.buyer.as_ref(),
            Self::AddCustomer(verb) => Some(&verb.details),
            Self::AmendCustomer(verb) => verb.details.as_ref(),
            Self::Amend(verb) => verb.verb.sealed(),
            _ => None,
        }
    }

    /// What this charges beside the price that was told, and what for.
    #[allow(clippy::wildcard_enum_match_arm, reason = "these verbs alone charge something so")]
    pub fn charges(&self) -> Option<(&str, Money)> {
        match self {
            Self::Charge(verb) => {
                Some((verb.what.as_ref().map_or("charge", Phrase::as_str), verb.amount))
            }
            Self::Sell(verb) => Some((SOLD, verb.price)),
            _ => None,
        }
    }

    /// Whether this ends a job.
    pub const fn ends_job(&self) -> bool {
        self.ending().is_some()
    }

    /// How this ends a job, if it does.
    pub const fn ending(&self) -> Option<Ending> {
        #[allow(clippy::wildcard_enum_match_arm, reason = "few verbs end a job")]
        match self {
            Self::HandOver(_) => Some(Ending::HandOver),
            Self::Ship(_) => Some(Ending::Ship),
            Self::GiveBack(_) => Some(Ending::GiveBack),
            Self::OfficerTakes(_) => Some(Ending::OfficerTakes),
            Self::WriteOff(_) => Some(Ending::WriteOff),
            Self::Sell(_) => Some(Ending::Sell),
            _ => None,
        }
    }

    /// Whether this is work on the skull, which makes no sense once the job has ended.
    pub fn is_work(&self) -> bool {
        self.spec().on == On::Skull
            && self.spec().class == Class::Fact
            && self.spec().role == Role::Bench
            && !matches!(
                self,
                Self::Note(_)
                    | Self::Photograph(_)
                    | Self::Damage(_)
                    | Self::Grade(_)
                    | Self::Recognize(_)
            )
            || self.ends_job()
    }

    /// Whether whoever does this has had the skull in their hands as a worker, and is the wrong one to
    /// inspect it. Carrying it somewhere, weighing it or looking at it is not that.
    pub fn is_handiwork(&self) -> bool {
        self.is_work()
            && !self.ends_job()
            && !matches!(
                self,
                Self::In(_)
                    | Self::Out(_)
                    | Self::FoundIn(_)
                    | Self::Gone(_)
                    | Self::Look(_)
                    | Self::Weigh(_)
                    | Self::Inspect(_)
            )
    }

    /// Whether this cannot be done while the piece is in a place: it had left by then. A skull is
    /// coated where it stands, which is on its rack.
    pub const fn leaves_place(&self) -> bool {
        self.ends_job()
            || matches!(
                self,
                Self::Flesh(_)
                    | Self::Wash(_)
                    | Self::Rinse(_)
                    | Self::Whiten(_)
                    | Self::Stain(_)
                    | Self::Repair(_)
                    | Self::Mount(_)
                    | Self::Weigh(_)
            )
    }

    /// Whether the till goes by this: it moves money, or puts right the clock that closed a till.
    pub const fn is_of_till(&self) -> bool {
        matches!(
            self,
            Self::Pay(_)
                | Self::Refund(_)
                | Self::PayIn(_)
                | Self::PayOut(_)
                | Self::Spent(_)
                | Self::ReceiveStock(_)
                | Self::CardBatch(_)
                | Self::Float(_)
                | Self::CountTill(_)
                | Self::PutClockRight(_)
        )
    }

    /// The least role that may say this: of a correction, what it puts in the place of a line.
    pub fn for_role(&self) -> Role {
        if let Self::Amend(amend) = self { amend.verb.for_role() } else { self.spec().role }
    }

    /// Whether a bench with this role may say this.
    pub fn is_for(&self, role: Role) -> bool {
        may(self.for_role(), role)
    }

    /// The entries that it corrects: amends, strikes or assigns.
    pub fn corrects(&self) -> &[EntryName] {
        if let Self::Amend(amend) = self {
            std::slice::from_ref(&amend.entry)
        } else if let Self::Strike(strike) = self {
            &strike.entries
        } else if let Self::Assign(assign) = self {
            std::slice::from_ref(&assign.entry)
        } else {
            &[]
        }
    }

    /// Whether this is work after which a finished skull wants to be inspected again.
    pub const fn needs_a_new_look(&self) -> bool {
        matches!(
            self,
            Self::Flesh(_)
                | Self::Wash(_)
                | Self::Glue(_)
                | Self::Whiten(_)
                | Self::Coat(_)
                | Self::Stain(_)
                | Self::Repair(_)
                | Self::Mount(_)
                | Self::BringBack(_)
        )
    }
}

/// Looks a verb up by its name at the prompt.
pub fn spec(word: &str) -> Option<&'static VerbSpec> {
    VERBS.iter().copied().find(|spec| spec.word == word)
}

impl Field for Box<Verb> {
    const ARITY: Arity = Arity::One;
    const HINT: &'static str = "LINE";
    const KIND: Kind = Kind::Line;

    fn from_words(field: &str, words: &[String]) -> Result<Self, BadWord> {
        // The prompt reads the inner line itself, with all that it knows of defaults.
        Err(BadWord::new(words.join(" "), format!("{field} as a line of its own")))
    }

    fn to_words(&self) -> Vec<String> {
        vec![self.line()]
    }
}

impl Canonical for Verb {
    fn canon(&self, out: &mut Canon) {
        self.canon_said(out);
        // The typed form of what is sealed names its key only.
        out.add(&self.sealed().cloned());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_verb_with_a_sealed_field_is_known_to_carry_details() {
        let carry: Vec<&str> = VERBS
            .iter()
            .filter(|spec| spec.fields.iter().any(|field| field.hint == "SEALED"))
            .map(|spec| spec.word)
            .collect();
        assert_eq!(
            carry,
            ["ticket", "papers", "hand-over", "add-customer", "amend-customer", "person", "sell"]
        );
    }
}
