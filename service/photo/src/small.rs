//! A small picture of a photo. Photos come from anywhere: what they unfold to is limited before
//! anything is unfolded.

use std::io::Cursor;

use image::{
    DynamicImage, ImageDecoder, ImageFormat, Limits, codecs::jpeg::JpegEncoder,
    imageops::FilterType,
};

use crate::{Kind, NoCopy};

/// The most pixels that are unfolded: a camera of 100 megapixels.
pub const MOST_PIXELS: u64 = 100_000_000;
const MOST_BYTES: u64 = 512 * 1024 * 1024;
const MOST_SIDE: u32 = 65_535;
/// The quality of small pictures, of 100.
const QUALITY: u8 = 75;

/// Unfolds a photo to look whether it can be shown; gives its width and height as stored.
///
/// # Errors
/// [`NoCopy`] if it is of another kind, damaged, or too large to unfold.
pub fn look(photo: &[u8]) -> Result<(u32, u32), NoCopy> {
    let image = unfold(photo)?;
    Ok((image.width(), image.height()))
}

/// A JPEG of a photo, turned as it is to be, with no side longer than so many pixels.
///
/// # Errors
/// As [`look`].
pub fn small(photo: &[u8], side: u32) -> Result<Vec<u8>, NoCopy> {
    let image = shrunk(photo, side)?;
    let mut out = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    image.to_rgb8().write_with_encoder(encoder).map_err(|e| NoCopy::Damaged(e.to_string()))?;
    Ok(out)
}

/// Whether so many pixels are unfolded.
pub(crate) fn few_enough(width: u64, height: u64) -> Result<(), NoCopy> {
    let pixels = width.saturating_mul(height);
    if pixels > MOST_PIXELS { Err(NoCopy::TooManyPixels(pixels)) } else { Ok(()) }
}

pub(crate) fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_BYTES);
    limits.max_image_width = Some(MOST_SIDE);
    limits.max_image_height = Some(MOST_SIDE);
    limits
}

fn shrunk(photo: &[u8], side: u32) -> Result<DynamicImage, NoCopy> {
    Ok(turned_and_shrunk(unfold(photo)?, side))
}

fn turned_and_shrunk(image: DynamicImage, side: u32) -> DynamicImage {
    if image.width().max(image.height()) <= side {
        return image;
    }
    // A box first, for it is quick; the filter then works on little.
    let twice = side.saturating_mul(2);
    let image = if image.width().max(image.height()) > twice.saturating_mul(2) {
        image.thumbnail(twice, twice)
    } else {
        image
    };
    image.resize(side, side, FilterType::Triangle)
}

/// Unfolds a photo, turned as it is to be.
fn unfold(photo: &[u8]) -> Result<DynamicImage, NoCopy> {
    let format = match Kind::of(photo)? {
        Kind::Jpeg => ImageFormat::Jpeg,
        Kind::Png => ImageFormat::Png,
    };
    let damaged = |error: image::ImageError| NoCopy::Damaged(error.to_string());
    let mut reader = image::ImageReader::with_format(Cursor::new(photo), format);
    reader.limits(limits());
    let mut decoder = reader.into_decoder().map_err(damaged)?;
    let (width, height) = decoder.dimensions();
    few_enough(width.into(), height.into())?;
    let turn = decoder.orientation().map_err(damaged)?;
    let mut image = DynamicImage::from_decoder(decoder).map_err(damaged)?;
    image.apply_orientation(turn);
    Ok(image)
}
