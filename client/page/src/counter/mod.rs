//! The counter: a visit as one form, kept while it is filled in.
//!
//! A form that nobody wrote yet lies in the bench folder as it was typed, so that it can be left and found
//! again. Writing takes its fields as the answers of the same visit that a terminal asks step by step.
//!
//! * [`form`]: fields as answers, and back

pub(crate) mod form;
