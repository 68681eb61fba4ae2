//! From a file's bytes to a picture in shades of grey, within limits.

use crate::seen::over_white;
use crate::tiff_tags::Tags;
use crate::{Gray, Seen, TraceError, density};
use image::error::{ImageError, LimitErrorKind, UnsupportedErrorKind};
use image::{DynamicImage, ImageDecoder as _, ImageFormat, ImageReader, Limits};
use std::io::Cursor;

/// The most pixels that are read.
pub const MAX_PIXELS: u64 = 100_000_000;
/// The most memory that decoding may take, bytes.
pub const MAX_BYTES: u64 = 512 * 1024 * 1024;
/// The fewest pixels along a side.
const MIN_SIDE: u32 = 64;

/// A decoded picture, upright as its orientation tag says.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Its tones.
    pub gray: Gray,
    /// The density that the file states, dots per inch.
    pub dpi: Option<f64>,
    /// The focal length as that of a camera with a 24 × 36 mm frame, mm, if the file tells it.
    pub focal_35mm: Option<f64>,
    /// The same in its own colours, where it is to be looked at.
    pub seen: Option<Seen>,
}

/// Decodes a PNG, JPEG, WebP, TIFF or BMP picture: orientation applied, transparent parts taken
/// as white, of an animation the first frame.
///
/// # Errors
/// [`TraceError`] when the bytes are no such picture, damaged, or more than [`MAX_PIXELS`] or
/// [`MAX_BYTES`].
pub fn decode(bytes: &[u8]) -> Result<Picture, TraceError> {
    decoded(bytes, false)
}

/// The same, in its own colours besides.
///
/// # Errors
/// As [`decode`].
pub fn decode_to_show(bytes: &[u8]) -> Result<Picture, TraceError> {
    decoded(bytes, true)
}

fn decoded(bytes: &[u8], to_show: bool) -> Result<Picture, TraceError> {
    let reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format();
    let mut reader = reader.map_err(|error| damaged(&error))?;
    let format = reader.format().ok_or(TraceError::NotAPicture)?;
    if format == ImageFormat::Jpeg && !density::is_whole_jpeg(bytes) {
        return Err(TraceError::Damaged);
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MAX_BYTES);
    reader.limits(limits.clone());
    let mut decoder = reader.into_decoder().map_err(failed)?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(TraceError::TooManyPixels { width, height });
    }
    if width < MIN_SIDE || height < MIN_SIDE {
        return Err(TraceError::TooFewPixels { width, height });
    }
    if decoder.total_bytes() > MAX_BYTES {
        return Err(TraceError::TooMuchMemory);
    }
    decoder.set_limits(limits).map_err(failed)?;
    let exif = decoder.exif_metadata().ok().flatten();
    let focal_35mm = exif.as_deref().and_then(Tags::read).and_then(|tags| tags.focal_35mm());
    // A tag that makes no sense is taken as upright.
    let orientation = decoder.orientation().ok();
    let mut image = DynamicImage::from_decoder(decoder).map_err(failed)?;
    if let Some(orientation) = orientation {
        image.apply_orientation(orientation);
    }
    let seen = to_show.then(|| Seen::of(&image));
    let gray = grey(image).ok_or(TraceError::Damaged)?;
    Ok(Picture { gray, dpi: density::stated(bytes, format), focal_35mm, seen })
}

/// The tones, transparent parts laid on white.
fn grey(image: DynamicImage) -> Option<Gray> {
    let (width, height) = (image.width() as usize, image.height() as usize);
    let data = if image.color().has_alpha() {
        let pixels = image.into_luma_alpha8();
        pixels.pixels().map(|pixel| over_white(pixel.0[0], pixel.0[1])).collect()
    } else {
        image.into_luma8().into_raw()
    };
    Gray::new(width, height, data)
}

fn damaged(_: &std::io::Error) -> TraceError {
    TraceError::Damaged
}

fn failed(error: ImageError) -> TraceError {
    match error {
        ImageError::Unsupported(why) => match why.kind() {
            UnsupportedErrorKind::Format(_) => TraceError::NotAPicture,
            kind => TraceError::Unsupported { what: plain(&kind) },
        },
        ImageError::Limits(why) => match why.kind() {
            LimitErrorKind::DimensionError | LimitErrorKind::InsufficientMemory => {
                TraceError::TooMuchMemory
            }
            _ => TraceError::Damaged,
        },
        _ => TraceError::Damaged,
    }
}

fn plain(kind: &UnsupportedErrorKind) -> String {
    match kind {
        UnsupportedErrorKind::Color(color) => format!("colours of the kind {color:?}"),
        UnsupportedErrorKind::GenericFeature(what) => what.clone(),
        _ => "an unusual variant".to_owned(),
    }
}
