//! A verb by what it is about, so that each fold matches every verb that can reach it, and no other.

#[allow(clippy::wildcard_imports, reason = "the table names every verb")]
use super::*;

/// Stands for a verb that cannot be here. There is no value of it, so no match needs an arm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Never {}

/// The payload of a verb in the list of what is about one thing: itself there, nothing elsewhere.
macro_rules! only {
    (Skull Skull $class:ident $l:lifetime $Verb:ident) => { &$l $Verb };
    (Skull TakeIn $class:ident $l:lifetime $Verb:ident) => { &$l $Verb };
    (Place Place $class:ident $l:lifetime $Verb:ident) => { &$l $Verb };
    (Shop Shop F $l:lifetime $Verb:ident) => { &$l $Verb };
    (Decided $on:ident D $l:lifetime $Verb:ident) => { &$l $Verb };
    ($want:ident $on:ident $class:ident $l:lifetime $Verb:ident) => { Never };
}

macro_rules! act_of {
    (TakeIn $class:ident $Verb:ident $verb:ident) => {
        Act::Skull(SkullAct::$Verb($verb))
    };
    (Skull $class:ident $Verb:ident $verb:ident) => {
        Act::Skull(SkullAct::$Verb($verb))
    };
    (Place $class:ident $Verb:ident $verb:ident) => {
        Act::Place(PlaceAct::$Verb($verb))
    };
    (Shop F $Verb:ident $verb:ident) => {
        Act::Shop(ShopAct::$Verb($verb))
    };
    (Shop D $Verb:ident $verb:ident) => {
        Act::Decided(Decision::$Verb($verb))
    };
}

macro_rules! decision_of {
    (D $Verb:ident $verb:ident) => {
        Some(Decision::$Verb($verb))
    };
    (F $Verb:ident $verb:ident) => {
        None
    };
}

macro_rules! define_acts {
    ($($number:literal $class:ident $on:ident $role:ident $Verb:ident $word:literal $help:literal {
        $($field:ident: $ty:ty = $fhelp:literal),* $(,)?
    })*) => {
        /// What is said of a skull, its take-in included.
        #[derive(Debug, Clone, Copy)]
        pub enum SkullAct<'a> {
            $(#[doc = concat!("`", $word, "`.")] $Verb(only!(Skull $on $class 'a $Verb)),)*
        }

        /// What is said of a place and its water.
        #[derive(Debug, Clone, Copy)]
        pub enum PlaceAct<'a> {
            $(#[doc = concat!("`", $word, "`.")] $Verb(only!(Place $on $class 'a $Verb)),)*
        }

        /// What has happened in the shop at large.
        #[derive(Debug, Clone, Copy)]
        pub enum ShopAct<'a> {
            $(#[doc = concat!("`", $word, "`.")] $Verb(only!(Shop $on $class 'a $Verb)),)*
        }

        /// What is decided.
        #[derive(Debug, Clone, Copy)]
        pub enum Decision<'a> {
            $(#[doc = concat!("`", $word, "`.")] $Verb(only!(Decided $on $class 'a $Verb)),)*
        }

        impl Verb {
            /// The verb by what it is about.
            pub const fn act(&self) -> Act<'_> {
                match self { $(Self::$Verb(verb) => act_of!($on $class $Verb verb),)* }
            }

            /// The verb as a decision; none if it is a fact.
            #[allow(unused_variables, reason = "facts are not looked into")]
            pub const fn as_decision(&self) -> Option<Decision<'_>> {
                match self { $(Self::$Verb(verb) => decision_of!($class $Verb verb),)* }
            }
        }
    };
}

with_verbs!(define_acts);

/// A verb by what it is about.
#[derive(Debug, Clone, Copy)]
pub enum Act<'a> {
    /// Of a skull.
    Skull(SkullAct<'a>),
    /// Of a place.
    Place(PlaceAct<'a>),
    /// A fact of the shop at large.
    Shop(ShopAct<'a>),
    /// A decision about the shop at large.
    Decided(Decision<'a>),
}
