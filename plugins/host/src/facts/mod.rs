//! What a script may see: plain values of what the shop knows at that moment.
//!
//! They are put together once, shared by all scripts, and shown name by name (`shown`).
//!
//! Every name below is the name a script uses (`job.group`, `act.place.bath.strength_wv`). What is not
//! known is `()` in a script where the type is an `Option`, and `""` where it is a text. A name that is
//! not listed here is an error in the script, never an empty value. The comments beside the names are
//! what an owner reads in `plugins/REFERENCE.md`, so they are written for owners.

mod act;
mod job;
mod tables;

pub use act::{Added, BathFacts, Other, PlaceFacts, VerbFacts};
pub use tables::{Cell, TableFacts};

pub(crate) use tables::register;

pub use job::{Damage, Extra, JobFacts, Measure, Part, Season, Step, WaterFacts, Wishes};

/// The version of what scripts see, which grows when a name is added. No name ever goes or changes.
pub const FACTS_VERSION: u32 = 6;

/// A value with names in it, as the reference shows it.
#[derive(Debug, Clone, Copy)]
pub struct Group {
    /// Its name in the code.
    pub name: &'static str,
    /// What it is.
    pub about: &'static str,
    /// What is in it.
    pub fields: &'static [Field],
}

/// One name in a group.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// The name that a script writes.
    pub name: &'static str,
    /// What it is.
    pub about: &'static str,
    /// The kind of value, in words.
    pub kind: fn() -> String,
    /// What is in it, if it has names in it.
    pub group: Option<&'static Group>,
}

/// Declares a struct of facts once, for Rust, for scripts and for the reference, so that the three
/// cannot drift apart.
macro_rules! facts {
    ($(#[doc = $about:literal])+ $name:ident {
        $($(#[doc = $field_about:literal])+ $field:ident: $type:ty,)*
    }) => {
        $(#[doc = $about])+
        #[derive(Debug, Clone, Default, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(default, deny_unknown_fields)]
        pub struct $name {
            $($(#[doc = $field_about])+ pub $field: $type,)*
        }

        impl crate::value::ScriptValue for $name {
            const GROUP: Option<&'static crate::facts::Group> = Some(&crate::facts::Group {
                name: stringify!($name),
                about: concat!($($about),+),
                fields: &[$(crate::facts::Field {
                    name: stringify!($field),
                    about: concat!($($field_about),+),
                    kind: <$type as crate::value::ScriptValue>::kind,
                    group: <$type as crate::value::ScriptValue>::GROUP,
                }),*],
            });

            fn kind() -> String {
                "map".to_owned()
            }

            fn to_script<P: 'static>(
                whole: &crate::shown::Whole<P>,
                go: impl crate::value::Way<P, Self>,
            ) -> rhai::Dynamic {
                crate::shown::Shown::part(whole, go)
            }

            fn from_script(value: rhai::Dynamic) -> Result<Self, String> {
                Self::default().overridden(value)
            }
        }

        impl crate::shown::Facts for $name {
            fn names(&self) -> Vec<&str> {
                vec![$(stringify!($field)),*]
            }

            fn read(whole: &crate::shown::Whole<Self>, name: &str) -> Option<rhai::Dynamic> {
                use crate::value::ScriptValue;
                match name {
                    $(stringify!($field) => Some(crate::unknown::read(
                        stringify!($field),
                        <$type as ScriptValue>::FIGURE,
                        <$type as ScriptValue>::to_script(whole, |facts: &Self| Some(&facts.$field)),
                    )),)*
                    _ => None,
                }
            }
        }

        impl $name {
            /// What is in it, for the reference.
            #[allow(dead_code, reason = "only the outermost groups are asked for by name")]
            pub(crate) fn group() -> &'static crate::facts::Group {
                const NONE: crate::facts::Group =
                    crate::facts::Group { name: "", about: "", fields: &[] };
                <Self as crate::value::ScriptValue>::GROUP.unwrap_or(&NONE)
            }

            /// These facts with some replaced by what a script's case wrote.
            pub(crate) fn overridden(mut self, value: rhai::Dynamic) -> Result<Self, String> {
                let mut map = crate::value::map_from(value, "a map #{...}")?;
                $(if let Some(given) = map.remove(stringify!($field)) {
                    self.$field = <$type as crate::value::ScriptValue>::from_script(given)
                        .map_err(|why| format!("{}: {why}", stringify!($field)))?;
                })*
                crate::value::nothing_left_of(&map, &[$(stringify!($field)),*])?;
                Ok(self)
            }
        }
    };
}
use facts;

/// Every name that any facts have.
pub(crate) fn names() -> std::collections::BTreeSet<&'static str> {
    fn collect(group: &'static Group, names: &mut std::collections::BTreeSet<&'static str>) {
        for field in group.fields {
            names.insert(field.name);
            if let Some(inner) = field.group {
                collect(inner, names);
            }
        }
    }
    let mut names = std::collections::BTreeSet::new();
    collect(JobFacts::group(), &mut names);
    collect(VerbFacts::group(), &mut names);
    names
}
