//! How one value of the domain goes over the wire.
//!
//! A value has one conversion, [`Wire`]. How often a field holds it ([`WireField`]) follows: once,
//! `Option` for not said, `Vec` for any number. What is read has passed the same limits as what is
//! typed, so a value that could not be typed is malformed.

use burrline_terms::{
    Amount, Coins, Day, Digest, EntryName, Glance, Key32, Length, Mass, Moment, Money, Name,
    Phrase, PlanStep, PriceLine, Sealed, Skull, Span, Strength, Stuff, Tag, Temperature, Typed,
    Volume,
    units::{Basis, LengthUnit, MassUnit, SpanUnit, VolumeUnit},
    words::{
        Arrival, Bearers, Capacity, CellKind, Firmness, Flame, Group, Headgear, Mark, Material,
        Means, Method, Much, Obtained, PartState, Piece, PlaceKind, Purse, ReachWish, Reached,
        Role, ScriptKind, Sex, Size, TestResult, Tissue, ToldFor, WaterLook, Whose, Wish,
        WriteOffAs, YesNo,
    },
};
use rust_decimal::Decimal;

use crate::{
    malformed::{Malformed, Wrong},
    v1,
};

/// A value and what stands for it on the wire.
pub trait Wire: Sized {
    /// What stands for it.
    type Item;
    /// The value as it goes over the wire.
    fn to_item(&self) -> Self::Item;
    /// Reads the value.
    ///
    /// # Errors
    /// [`Malformed`] if it is not a value that could have been typed.
    fn from_item(item: &Self::Item) -> Result<Self, Malformed>;
}

/// A field: a value and how often it is there.
pub trait WireField: Sized {
    /// What the generated message has for the field.
    type Field;
    /// The field as it goes over the wire.
    fn to_field(&self) -> Self::Field;
    /// Reads the field, whose name is for the error.
    ///
    /// # Errors
    /// [`Malformed`] if it is missing where it must be there, or its value is wrong.
    fn from_field(field: &Self::Field, name: &str) -> Result<Self, Malformed>;
}

impl<T: Wire> WireField for Option<T> {
    type Field = Option<T::Item>;

    fn to_field(&self) -> Self::Field {
        self.as_ref().map(Wire::to_item)
    }

    fn from_field(field: &Self::Field, name: &str) -> Result<Self, Malformed> {
        field.as_ref().map(|item| T::from_item(item).map_err(|e| e.within(name))).transpose()
    }
}

impl<T: Wire> WireField for Vec<T> {
    type Field = Vec<T::Item>;

    fn to_field(&self) -> Self::Field {
        self.iter().map(Wire::to_item).collect()
    }

    fn from_field(field: &Self::Field, name: &str) -> Result<Self, Malformed> {
        field
            .iter()
            .enumerate()
            .map(|(i, item)| T::from_item(item).map_err(|e| e.within(&format!("{name}[{i}]"))))
            .collect()
    }
}

/// Values that proto3 holds plainly, where empty or 0 means that the field is missing.
macro_rules! plain {
    ($item:ty, |$probe:ident| $missing:expr; $($ty:ty),+ $(,)?) => {$(
        impl WireField for $ty {
            type Field = $item;

            fn to_field(&self) -> Self::Field {
                self.to_item()
            }

            fn from_field($probe: &Self::Field, name: &str) -> Result<Self, Malformed> {
                if $missing {
                    return Err(Malformed::field(name, Wrong::Missing));
                }
                Self::from_item($probe).map_err(|e| e.within(name))
            }
        }
    )+};
}

/// Values whose typed form is what goes over the wire.
macro_rules! text {
    ($($ty:ty),+ $(,)?) => {
        $(impl Wire for $ty {
            type Item = String;

            fn to_item(&self) -> String {
                self.show()
            }

            fn from_item(item: &String) -> Result<Self, Malformed> {
                Ok(Self::read(item)?)
            }
        })+
        plain!(String, |text| text.is_empty(); $($ty),+);
    };
}

text!(Name, Phrase, Tag, Money, Day, Decimal);

/// Values of 32 bytes.
macro_rules! bytes32 {
    ($($ty:ty),+) => {
        $(impl Wire for $ty {
            type Item = Vec<u8>;

            fn to_item(&self) -> Vec<u8> {
                self.0.to_vec()
            }

            fn from_item(item: &Vec<u8>) -> Result<Self, Malformed> {
                fixed(item).map(Self)
            }
        })+
        plain!(Vec<u8>, |bytes| bytes.is_empty(); $($ty),+);
    };
}

bytes32!(Digest, Key32);

/// Closed lists, whose numbers in the schema are those of the domain.
macro_rules! list {
    ($ty:ident) => {
        impl Wire for $ty {
            type Item = i32;

            fn to_item(&self) -> i32 {
                self.number()
            }

            fn from_item(item: &i32) -> Result<Self, Malformed> {
                Self::from_number(*item).ok_or_else(|| Wrong::UnknownNumber(*item).into())
            }
        }
        plain!(i32, |number| *number == 0; $ty);
    };
}

burrline_terms::with_word_lists!(list);
list!(VolumeUnit);
list!(MassUnit);
list!(LengthUnit);
list!(SpanUnit);
list!(Basis);

impl Wire for u32 {
    type Item = Self;

    fn to_item(&self) -> Self {
        *self
    }

    fn from_item(item: &Self) -> Result<Self, Malformed> {
        Ok(*item)
    }
}

plain!(u32, |_number| false; u32);
plain!(i64, |_moment| false; Moment);

impl WireField for bool {
    type Field = Self;

    fn to_field(&self) -> Self {
        *self
    }

    fn from_field(field: &Self, _name: &str) -> Result<Self, Malformed> {
        Ok(*field)
    }
}

/// Values that are messages: how to make one, and how to read one.
macro_rules! message {
    ($($ty:ident: |$value:ident| $make:expr, |$message:ident| $read:expr;)+) => {$(
        impl Wire for $ty {
            type Item = v1::$ty;

            fn to_item(&self) -> Self::Item {
                let $value = self;
                $make
            }

            fn from_item($message: &Self::Item) -> Result<Self, Malformed> {
                $read
            }
        }

        impl WireField for $ty {
            type Field = Option<v1::$ty>;

            fn to_field(&self) -> Self::Field {
                Some(self.to_item())
            }

            fn from_field(field: &Self::Field, name: &str) -> Result<Self, Malformed> {
                required(field.as_ref(), name)
            }
        }
    )+};
}

/// Messages that have the same fields as the value, field by field.
macro_rules! alike {
    ($($ty:ident { $($field:ident),+ $(,)? })+) => {
        message! {$(
            $ty: |value| v1::$ty { $($field: value.$field.to_field()),+ },
            |message| Ok(Self {
                $($field: WireField::from_field(&message.$field, stringify!($field))?),+
            });
        )+}
    };
}

alike! {
    Stuff { what, amount, strength }
    PriceLine { what, amount }
    Coins { count, of }
    PlanStep { step, expected }
    Glance { what, times, about }
}

/// Quantities; the limits are those of the typed form.
macro_rules! quantity {
    ($($ty:ident $unit:ident)+) => {
        message! {$(
            $ty: |value| v1::$ty {
                number: value.number.to_string(),
                $unit: value.$unit.to_field(),
            },
            |message| typed(&Self {
                number: number(&message.number)?,
                $unit: WireField::from_field(&message.$unit, stringify!($unit))?,
            });
        )+}
    };
}

quantity! {
    Volume unit
    Mass unit
    Length unit
    Span unit
    Strength basis
}

message! {
    EntryName: |name| v1::EntryName { life: name.life, n: name.n },
    |message| Ok(Self { life: message.life, n: message.n });

    Skull: |skull| v1::Skull {
        tag: skull.tag.to_field(),
        job: skull.job.to_field(),
        piece: skull.piece.to_field(),
    },
    |message| read_skull(message);

    Temperature: |temperature| v1::Temperature {
        number: temperature.number.to_string(),
        scale: scale(temperature.fahrenheit).into(),
    },
    |message| typed(&Self {
        number: number(&message.number)?,
        fahrenheit: fahrenheit(message.scale)?,
    });

    Amount: |amount| v1::Amount { by: Some(amount_by(amount)) },
    |message| read_amount(message);

    Sealed: |sealed| v1::Sealed {
        key_id: sealed.key_id.to_vec(),
        nonce: sealed.nonce.clone(),
        ciphertext: sealed.ciphertext.clone(),
    },
    |message| Ok(Self {
        key_id: fixed(&message.key_id).map_err(|e| e.within("key_id"))?,
        nonce: message.nonce.clone(),
        ciphertext: message.ciphertext.clone(),
    });
}

/// Reads a message that has to be there.
///
/// # Errors
/// [`Malformed`] if it is not, or is wrong within.
pub(crate) fn required<T: Wire>(field: Option<&T::Item>, name: &str) -> Result<T, Malformed> {
    let item = field.ok_or_else(|| Malformed::field(name, Wrong::Missing))?;
    T::from_item(item).map_err(|e| e.within(name))
}

/// Reads bytes of a fixed length.
///
/// # Errors
/// [`Malformed`] if they have another length.
pub(crate) fn fixed<const N: usize>(bytes: &[u8]) -> Result<[u8; N], Malformed> {
    bytes.try_into().map_err(|_| Wrong::Length { got: bytes.len(), want: N }.into())
}

/// Holds a value to the limits of its typed form.
fn typed<T: Typed>(value: &T) -> Result<T, Malformed> {
    Ok(T::read(&value.show())?)
}

fn number(text: &str) -> Result<Decimal, Malformed> {
    if text.is_empty() {
        return Err(Malformed::field("number", Wrong::Missing));
    }
    Decimal::from_str_exact(text).map_err(|_| {
        let bad = burrline_terms::BadWord::new(text, "a decimal number");
        Malformed::field("number", Wrong::Value(bad))
    })
}

fn read_skull(message: &v1::Skull) -> Result<Skull, Malformed> {
    Ok(Skull {
        tag: WireField::from_field(&message.tag, "tag")?,
        job: WireField::from_field(&message.job, "job")?,
        piece: WireField::from_field(&message.piece, "piece")?,
    })
}

const fn scale(fahrenheit: bool) -> v1::TemperatureScale {
    if fahrenheit { v1::TemperatureScale::Fahrenheit } else { v1::TemperatureScale::Celsius }
}

fn fahrenheit(number: i32) -> Result<bool, Malformed> {
    match v1::TemperatureScale::try_from(number) {
        Ok(v1::TemperatureScale::Celsius) => Ok(false),
        Ok(v1::TemperatureScale::Fahrenheit) => Ok(true),
        Ok(v1::TemperatureScale::Unspecified) => Err(Malformed::field("scale", Wrong::Missing)),
        Err(_) => Err(Malformed::field("scale", Wrong::UnknownNumber(number))),
    }
}

fn amount_by(amount: &Amount) -> v1::amount::By {
    match amount {
        Amount::Volume(volume) => v1::amount::By::Volume(volume.to_item()),
        Amount::Mass(mass) => v1::amount::By::Mass(mass.to_item()),
        Amount::Count(count) => v1::amount::By::Count(count.to_item()),
    }
}

fn read_amount(message: &v1::Amount) -> Result<Amount, Malformed> {
    match &message.by {
        Some(v1::amount::By::Volume(volume)) => {
            Volume::from_item(volume).map(Amount::Volume).map_err(|e| e.within("volume"))
        }
        Some(v1::amount::By::Mass(mass)) => {
            Mass::from_item(mass).map(Amount::Mass).map_err(|e| e.within("mass"))
        }
        Some(v1::amount::By::Count(count)) => {
            Decimal::from_item(count).map(Amount::Count).map_err(|e| e.within("count"))
        }
        None => Err(Malformed::field("by", Wrong::Missing)),
    }
}
