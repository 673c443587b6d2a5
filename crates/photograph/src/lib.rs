//! Photographs made safe to keep.
//!
//! What a phone sends is decoded within limits, turned upright, made no larger than a screen
//! needs, and written anew as JPEG: nothing of the file that came in is kept but its picture.
//! Where it was taken is left out unless somebody asks to keep it.

mod place;
#[cfg(test)]
mod tests;

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{
    DynamicImage, ImageDecoder, ImageEncoder, ImageError, ImageFormat, ImageReader, Limits,
};
use thiserror::Error;

/// A photograph of a phone has 4 to 12 MB.
pub const FILE_BYTES_MAX: usize = 30_000_000;
/// Of the largest phone cameras, 200 megapixels are 16 320 across.
const SIDE_MAX: u32 = 20_000;
/// Decoded at three bytes a picture element: 130 megapixels. Small files can claim huge pictures.
const DECODED_BYTES_MAX: u64 = 400_000_000;
/// Long side of what is kept: a label on a plate across the room can be read from it.
const KEPT_SIDE_MAX: u32 = 2400;
/// JPEG quality from 1 to 100.
const QUALITY: u8 = 85;

/// A photograph as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// A JPEG file.
    pub jpeg: Vec<u8>,
    /// Across, in picture elements.
    pub width: u32,
    /// Down, in picture elements.
    pub height: u32,
    /// Whether it says where it was taken.
    pub has_location: bool,
}

/// Whether a photograph may say where it was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Location {
    /// It is left out.
    Strip,
    /// It is kept, because somebody asked for it.
    Keep,
}

/// Why a file is no photograph to keep.
#[derive(Debug, Error)]
pub enum PhotographError {
    /// Too many bytes.
    #[error("the photograph has {found_mb} MB; at most {} MB are taken", FILE_BYTES_MAX / 1_000_000)]
    TooLarge {
        /// Its size.
        found_mb: usize,
    },
    /// Too many picture elements.
    #[error(
        "the picture is too large to open safely; at most {SIDE_MAX} picture elements a side and 130 megapixels are taken"
    )]
    TooManyPixels,
    /// Not a picture of a known kind.
    #[error(
        "the file is no JPEG, PNG or WebP picture; on a phone choose \"most compatible\" for its camera"
    )]
    Unknown,
    /// A picture that is cut short or broken.
    #[error("the picture can't be read to its end: {0}")]
    Broken(String),
}

/// Reads a picture and writes it anew.
pub fn keep(bytes: &[u8], location: Location) -> Result<Kept, PhotographError> {
    if bytes.len() > FILE_BYTES_MAX {
        return Err(PhotographError::TooLarge {
            found_mb: bytes.len().div_ceil(1_000_000),
        });
    }
    let picture = upright(bytes)?;
    let picture = match picture.width().max(picture.height()) > KEPT_SIDE_MAX {
        true => picture.thumbnail(KEPT_SIDE_MAX, KEPT_SIDE_MAX),
        false => picture,
    }
    .into_rgb8();
    let exif = match location {
        Location::Keep => place::taken_at(bytes),
        Location::Strip => None,
    };
    let has_location = exif.is_some();
    let mut jpeg = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut jpeg, QUALITY);
    if let Some(exif) = exif {
        encoder
            .set_exif_metadata(exif)
            .map_err(|error| PhotographError::Broken(error.to_string()))?;
    }
    let (width, height) = picture.dimensions();
    encoder
        .write_image(&picture, width, height, image::ExtendedColorType::Rgb8)
        .map_err(broken)?;
    Ok(Kept {
        jpeg,
        width,
        height,
        has_location,
    })
}

/// Decodes within limits and turns as the camera was held.
fn upright(bytes: &[u8]) -> Result<DynamicImage, PhotographError> {
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|_| PhotographError::Unknown)?;
    // By name: other crates of the program may have taught the library further kinds.
    let known = [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP];
    if !reader
        .format()
        .is_some_and(|format| known.contains(&format))
    {
        return Err(PhotographError::Unknown);
    }
    let mut limits = Limits::default();
    limits.max_image_width = Some(SIDE_MAX);
    limits.max_image_height = Some(SIDE_MAX);
    limits.max_alloc = Some(DECODED_BYTES_MAX);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(broken)?;
    if decoder.total_bytes() > DECODED_BYTES_MAX {
        return Err(PhotographError::TooManyPixels);
    }
    let orientation = decoder.orientation();
    let mut picture = DynamicImage::from_decoder(decoder).map_err(broken)?;
    if let Ok(orientation) = orientation {
        picture.apply_orientation(orientation);
    }
    Ok(picture)
}

fn broken(error: ImageError) -> PhotographError {
    match error {
        ImageError::Limits(_) => PhotographError::TooManyPixels,
        ImageError::Unsupported(_) => PhotographError::Unknown,
        other => PhotographError::Broken(other.to_string()),
    }
}
