//! A photo's bytes, and nothing of where they come from or go to.
//!
//! * [`kind`]: what it is, by its content
//! * [`strip`](fn@strip): the copy without place and device, pixels untouched
//! * [`icc`]: which colour profiles say nothing of a device
//! * [`taken`](mod@taken): when its camera says that it was taken
//! * [`small`]: a small picture of it
//!
//! The copy is made by a walk over segments or chunks, to the end of the file. It passes on
//! what shows the picture and leaves out the rest: a telephone puts further pictures, with
//! positions of their own, behind the first. The compressed picture stays byte for byte. Of the
//! notes only the orientation is kept; of color profiles only those that name no device. A
//! photo that cannot be unfolded, or that has more than 100 megapixels, has no copy.

#![cfg_attr(
    test,
    allow(clippy::arithmetic_side_effects, reason = "an overflow in a test fails the test")
)]

pub mod icc;
mod jpeg;
pub mod kind;
mod orientation;
mod png;
pub mod small;
pub mod taken;

pub use kind::{Kind, NotTaken};
pub use taken::{Taken, taken};
use thiserror::Error;

/// Why there is no copy without place and device.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NoCopy {
    /// It is of no kind that is kept.
    #[error(transparent)]
    Kind(#[from] NotTaken),
    /// It ends too early.
    #[error("it is cut off")]
    CutOff,
    /// It is not formed as its kind is.
    #[error("it is damaged: {0}")]
    Damaged(String),
    /// It would unfold to more than can be held.
    #[error(
        "it has {0} pixels, more than the {most} that are unfolded",
        most = small::MOST_PIXELS
    )]
    TooManyPixels(u64),
}

/// Makes the copy of a photo without position, device, maker's notes, comments, other pictures in
/// the same file, and whatever stands behind its end. The compressed picture itself is the same,
/// byte for byte; how it is to be turned is kept. A copy of a copy is the same copy.
///
/// # Errors
/// [`NoCopy`] if it is cut off, damaged or of another kind; nothing is guessed.
pub fn strip(photo: &[u8]) -> Result<Vec<u8>, NoCopy> {
    match Kind::of(photo)? {
        Kind::Jpeg => jpeg::strip(photo),
        Kind::Png => png::strip(photo),
    }
}

/// Whether a photo is such a copy: whether stripping it changes nothing.
pub fn is_stripped(photo: &[u8]) -> bool {
    strip(photo).is_ok_and(|copy| copy == photo)
}
