//! Everything that can be read, from the one [table](crate::with_readings).
//!
//! A reading is a request of typed fields, and a pure answer over a [`View`]. The shop and a bench that is
//! away answer by the same [`read`], each over its own [`Present`].
//!
//! * [`view`](mod@view): what an answer is made from
//! * [`values`]: values that readings alone take
//! * [`unreadable`]: why there is none

#[macro_use]
mod table;
pub mod unreadable;
pub mod values;
pub mod view;

use std::collections::BTreeSet;

use burrline_domain::{State, verb::Given};
use burrline_proto::{
    Malformed, WireField,
    malformed::Wrong,
    v1::{self, read_request, read_response},
};
use burrline_terms::{
    Arity, BadWord, Day, Field, Kind, Moment, Name, Phrase, Skull, Span, Tag,
    words::{Group, Role},
};

use rust_decimal::Decimal;

use crate::{
    looks,
    tally::{By, What},
};

pub use unreadable::Unreadable;
pub use values::{Days, Side, Stretch};
pub use view::{Present, View};

/// What was true then, and what did we know then.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Then {
    /// As it was at this moment.
    pub of: Option<Moment>,
    /// As it was known by the first so many records.
    pub known: Option<u64>,
}

impl Then {
    /// Whether it is the present that is asked about.
    pub const fn is_now(self) -> bool {
        self.of.is_none() && self.known.is_none()
    }
}

/// Who may read something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reader {
    /// Whoever reaches the shop; names and money are left out where they are not for the reader.
    Anybody,
    /// A counter and the owner.
    Counter,
    /// The owner.
    Owner,
}

/// Whether something can be read as of another moment than now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// As it is now alone.
    Now,
    /// As of any moment, and by what was known then.
    AnyMoment,
}

/// One field of a reading, as help and the command line see it.
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
            (Kind::Open, "recipe") => Kind::Recipe,
            (Kind::Open, "way") => Kind::Way,
            (Kind::Open, "species") => Kind::Species,
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
pub struct ReadingSpec {
    /// The group of its command in the screens of help; empty if it has no command of its own.
    pub group: &'static str,
    /// Its name at the prompt.
    pub word: &'static str,
    /// Who may read it.
    pub reader: Reader,
    /// As of when it can be read.
    pub when: When,
    /// What it tells.
    pub help: &'static str,
    /// The name of the message that answers it.
    pub answer: &'static str,
    /// Its fields, in the order in which they are typed.
    pub fields: &'static [FieldSpec],
}

/// A reading with its answer.
pub trait Reading: Sized {
    /// What is told.
    type Response;

    /// Tells it, from what is there to see. Pure: the same view gives the same answer at the shop and at a
    /// bench.
    ///
    /// # Errors
    /// [`Unreadable`] says why there is no answer.
    fn answer(&self, view: &View<'_>) -> Result<Self::Response, Unreadable>;

    /// Whether it is asked of a bench's own copy alone, since a call does not prove who makes it.
    fn of_own_copy(&self) -> bool {
        false
    }
}

/// A reading of a kind that is known where it is asked: its way into the request and out of the response.
pub trait Asks: Reading + Into<Asked> {
    /// The reading's line in the table.
    const SPEC: &'static ReadingSpec;

    /// The answer in a response, if it is the one to this.
    fn told(response: v1::ReadResponse) -> Option<Self::Response>;
}

macro_rules! define_readings {
    ($($group:literal $reader:ident $when:ident $Name:ident $Request:ident $Response:ident
        $word:literal $help:literal { $($field:ident: $ty:ty = $fhelp:literal),* $(,)? })*) => {
        $(
            #[doc = concat!("`", $word, "`: ", $help, ".")]
            #[derive(Debug, Clone, PartialEq, Eq)]
            pub struct $Name {
                $(#[doc = concat!($fhelp, ".")] pub $field: $ty,)*
            }

            impl $Name {
                fn read(given: &impl Given) -> Result<Self, BadWord> {
                    let _ = given;
                    Ok(Self { $($field: Field::from_words(stringify!($field), &given.given(stringify!($field)))?,)* })
                }
            }

            impl From<&$Name> for v1::$Request {
                fn from(reading: &$Name) -> Self {
                    let _ = reading;
                    Self { $($field: reading.$field.to_field(),)* }
                }
            }

            impl TryFrom<&v1::$Request> for $Name {
                type Error = Malformed;

                fn try_from(message: &v1::$Request) -> Result<Self, Malformed> {
                    let _ = message;
                    Ok(Self { $($field: WireField::from_field(&message.$field, stringify!($field))?,)* })
                }
            }

            impl From<$Name> for Asked {
                fn from(reading: $Name) -> Self {
                    Self::$Name(reading)
                }
            }

            impl Asks for $Name {
                const SPEC: &'static ReadingSpec = &ReadingSpec {
                    group: $group,
                    word: $word,
                    reader: Reader::$reader,
                    when: When::$when,
                    help: $help,
                    answer: stringify!($Response),
                    fields: &[$(FieldSpec {
                        name: stringify!($field),
                        arity: <$ty as Field>::ARITY,
                        hint: <$ty as Field>::HINT,
                        value: <$ty as Field>::KIND,
                        help: $fhelp,
                    },)*],
                };

                fn told(response: v1::ReadResponse) -> Option<v1::$Response> {
                    match response.answer {
                        Some(read_response::Answer::$Name(answer)) => Some(answer),
                        _ => None,
                    }
                }
            }
        )*

        /// Something that is asked.
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum Asked {
            $(#[doc = concat!("`", $word, "`: ", $help, ".")] $Name($Name),)*
        }

        /// Every reading, in the order of the table.
        pub const READINGS: &[&ReadingSpec] = &[$(<$Name as Asks>::SPEC,)*];

        impl Asked {
            /// The reading's line in the table.
            pub const fn spec(&self) -> &'static ReadingSpec {
                match self { $(Self::$Name(_) => <$Name as Asks>::SPEC,)* }
            }

            /// Reads the reading with this name from the words given for its fields.
            ///
            /// # Errors
            /// [`BadWord`] if there is no such reading, or a field is wrong or missing.
            pub fn read(word: &str, given: &impl Given) -> Result<Self, BadWord> {
                match word {
                    $($word => $Name::read(given).map(Self::$Name),)*
                    _ => Err(BadWord::new(word, "a reading; see `burrline help look-up`")),
                }
            }

            /// Whether it is asked of a bench's own copy alone.
            pub fn of_own_copy(&self) -> bool {
                match self { $(Self::$Name(reading) => reading.of_own_copy(),)* }
            }

            fn answer(&self, view: &View<'_>) -> Result<read_response::Answer, Unreadable> {
                Ok(match self {
                    $(Self::$Name(reading) => read_response::Answer::$Name(reading.answer(view)?),)*
                })
            }

            fn on_wire(&self) -> read_request::Reading {
                match self { $(Self::$Name(reading) => read_request::Reading::$Name(reading.into()),)* }
            }

            fn of_wire(reading: &read_request::Reading) -> Result<Self, Malformed> {
                match reading {
                    $(read_request::Reading::$Name(message) => {
                        $Name::try_from(message).map(Self::$Name).map_err(|e| e.within($word))
                    })*
                }
            }
        }
    };
}

with_readings!(define_readings);

/// Looks a reading up by its name at the prompt.
pub fn spec(word: &str) -> Option<&'static ReadingSpec> {
    READINGS.iter().copied().find(|spec| spec.word == word)
}

/// A question: a reading, who asks, and as of when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What is asked.
    pub asked: Asked,
    /// The life of the bench that asks; 0 for none.
    pub life: u32,
    /// As of when.
    pub then: Then,
}

impl From<&Question> for v1::ReadRequest {
    fn from(question: &Question) -> Self {
        Self {
            life: question.life,
            as_of_ms: question.then.of.map(|moment| moment.0),
            as_known: question.then.known,
            reading: Some(question.asked.on_wire()),
        }
    }
}

impl TryFrom<&v1::ReadRequest> for Question {
    type Error = Malformed;

    fn try_from(request: &v1::ReadRequest) -> Result<Self, Malformed> {
        let reading = request.reading.as_ref();
        let reading = reading.ok_or_else(|| Malformed::field("reading", Wrong::Missing))?;
        let then = Then { of: request.as_of_ms.map(Moment), known: request.as_known };
        Ok(Self { asked: Asked::of_wire(reading)?, life: request.life, then })
    }
}

/// Answers a question over a present: the one way in which anything is read, at the shop and at a bench.
///
/// # Errors
/// [`Unreadable`] says why there is no answer.
pub fn read(question: &Question, present: &dyn Present) -> Result<v1::ReadResponse, Unreadable> {
    let Question { asked, life, then } = question;
    let spec = asked.spec();
    if spec.when == When::Now && !then.is_now() {
        let words = format!("{} is read as it is now, and not as of a moment", spec.word);
        return Err(Unreadable::new(v1::Reason::NoMoment, words));
    }
    let role = present.state().shop().benches.get(life).filter(|bench| !bench.retired);
    let role = role.map(|bench| bench.role);
    if !may(spec.reader, role) {
        let words = if spec.reader == Reader::Owner { FOR_OWNER } else { crate::desk::NO_MONEY };
        return Err(Unreadable::new(v1::Reason::Role, words));
    }
    if asked.of_own_copy() && !present.is_own() {
        let words =
            "that is answered at a bench of the owner's, from its own copy, and not over the wire";
        return Err(Unreadable::new(v1::Reason::OwnCopy, words));
    }
    let earlier = if then.is_now() { None } else { Some(present.at(*then)?) };
    let state = earlier.as_ref().unwrap_or_else(|| present.state());
    let view = View::new(present, state, *life, role, *then);
    Ok(v1::ReadResponse { answer: Some(asked.answer(&view)?) })
}

impl Question {
    /// Of which jobs or customers the answer let its reader see details; none if it is no look.
    pub fn looked(
        &self,
        state: &State,
        answer: &v1::ReadResponse,
    ) -> Option<BTreeSet<burrline_terms::EntryName>> {
        let bench = state.shop().benches.get(&self.life);
        looks::looked(state, bench.map(|bench| bench.role), &self.asked, answer.answer.as_ref()?)
    }
}

/// Answers a reading of a kind that is known.
///
/// # Errors
/// As [`read`].
pub fn answer<R: Asks>(
    reading: R,
    life: u32,
    then: Then,
    present: &dyn Present,
) -> Result<R::Response, Unreadable> {
    let question = Question { asked: reading.into(), life, then };
    let response = read(&question, present)?;
    R::told(response).ok_or_else(Unreadable::other)
}

/// What a reading for the owner alone says to others.
const FOR_OWNER: &str = "that is read at a bench of the owner's";

const fn may(reader: Reader, role: Option<Role>) -> bool {
    match reader {
        Reader::Anybody => true,
        Reader::Counter => matches!(role, Some(Role::Counter | Role::Owner)),
        Reader::Owner => matches!(role, Some(Role::Owner)),
    }
}
