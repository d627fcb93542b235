//! Names by which things are known, and what each usually holds. Whole words, the longest name first.
//!
//! What products hold is from memory where no source is named beside the rows; the label wins. Brands
//! are not listed.

mod chemicals;
mod household;
mod materials;
mod tails;

pub(super) use self::tails::{
    ADJECTIVES, BETWEEN, COLORS, DEEDS, DENIALS, FORMS, LIKE, MEASURES, NEGATIONS, ORDER, PRODUCTS,
    VESSELS,
};
use super::kinds::Kind;

/// A name, and the kinds of which a thing of that name usually holds one or more.
pub(super) type Name = (&'static str, &'static [Kind]);

/// Every name, in lower case and in the singular.
pub(super) fn names() -> impl Iterator<Item = &'static Name> {
    [chemicals::NAMES, household::NAMES, materials::NAMES].into_iter().flatten()
}
