//! Every verb of the one table, to and from its message.

use burrline_domain::{Verb, verb, with_verbs};

use crate::{
    malformed::{Malformed, Wrong},
    v1::{self, verb::Kind},
    wire::WireField,
};

impl WireField for Box<Verb> {
    type Field = Option<Box<v1::Verb>>;

    fn to_field(&self) -> Self::Field {
        Some(Box::new(v1::Verb::from(self.as_ref())))
    }

    fn from_field(field: &Self::Field, name: &str) -> Result<Self, Malformed> {
        let message = field.as_ref().ok_or_else(|| Malformed::field(name, Wrong::Missing))?;
        // Replacing what a replacement said would leave no one line that holds, and lets bytes nest
        // without end.
        if matches!(message.kind, Some(Kind::Amend(_))) {
            return Err(Malformed::field(name, Wrong::NestedAmend));
        }
        Verb::try_from(message.as_ref()).map(Self::new).map_err(|e| e.within(name))
    }
}

macro_rules! convert_verbs {
    ($($number:literal $class:ident $on:ident $role:ident $Verb:ident $word:literal $help:literal {
        $($field:ident: $ty:ty = $fhelp:literal),* $(,)?
    })*) => {
        $(
            impl From<&verb::$Verb> for v1::$Verb {
                fn from(verb: &verb::$Verb) -> Self {
                    Self { $($field: verb.$field.to_field(),)* }
                }
            }

            impl TryFrom<&v1::$Verb> for verb::$Verb {
                type Error = Malformed;

                fn try_from(message: &v1::$Verb) -> Result<Self, Malformed> {
                    Ok(Self {
                        $($field: WireField::from_field(&message.$field, stringify!($field))?,)*
                    })
                }
            }
        )*

        impl From<&Verb> for v1::Verb {
            fn from(verb: &Verb) -> Self {
                // `into` also puts the one message that can hold a verb into its box.
                let kind = match verb {
                    $(Verb::$Verb(verb) => Kind::$Verb(v1::$Verb::from(verb).into()),)*
                };
                Self { kind: Some(kind) }
            }
        }

        impl TryFrom<&v1::Verb> for Verb {
            type Error = Malformed;

            fn try_from(message: &v1::Verb) -> Result<Self, Malformed> {
                match &message.kind {
                    $(Some(Kind::$Verb(message)) => {
                        let message: &v1::$Verb = message;
                        verb::$Verb::try_from(message)
                            .map(Self::$Verb)
                            .map_err(|e| e.within($word))
                    })*
                    None => Err(Wrong::UnknownVerb.into()),
                }
            }
        }
    };
}

with_verbs!(convert_verbs);
