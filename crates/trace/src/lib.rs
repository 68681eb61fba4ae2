//! Pictures to outlines in millimetres.
//!
//! Bytes of a picture go in, a closed outline in true size comes out; no file is touched. The
//! work has three steps, so that a person can change the last without waiting for the first:
//! [`square_up`] finds how pixels lie on the plane in millimetres, [`extract`] finds the thing's
//! contour there, [`fit`] lays a fair outline of few nodes through it. [`trace`] does all three.
//!
//! Picture plane: pixels, x right, y down, centre of the top-left pixel at (0.5, 0.5). Plane of
//! the thing: millimetres, y up.
//!
//! ```
//! use trace::{Picture, Squaring, TraceOptions, decode, trace};
//!
//! // A black bar of 400 × 80 pixels, scanned at 254 dots to the inch: 40 × 8 mm.
//! let mut scan = image::GrayImage::from_pixel(600, 200, image::Luma([255]));
//! image::imageops::replace(&mut scan, &image::GrayImage::new(400, 80), 100, 60);
//! let mut png = std::io::Cursor::new(Vec::new());
//! scan.write_to(&mut png, image::ImageFormat::Png).expect("it is encoded");
//!
//! let options = TraceOptions { squaring: Squaring::Density(Some(254.0)), ..TraceOptions::default() };
//! let traced = trace(&decode(png.get_ref())?, &options)?;
//! assert!((traced.outline.bounds().width() - 40.0).abs() < 0.1);
//! # Ok::<(), trace::TraceError>(())
//! ```

mod camera;
mod contour;
mod corners;
mod decode;
mod density;
mod edge;
mod edges;
mod error;
mod extract;
mod fit;
mod gray;
mod holes;
mod homography;
mod illumination;
mod least_squares;
mod line;
mod line_side;
mod line_tips;
mod note;
mod otsu;
mod pose;
mod progress;
mod quad;
mod rectangle;
mod region;
mod seen;
mod shaded;
mod smooth;
mod squaring;
mod taper;
mod targets;
mod tiff_tags;
mod tips;

pub use camera::Plane;
pub use decode::{MAX_BYTES, MAX_PIXELS, Picture, decode, decode_to_show};
pub use edges::{Edges, edges};
pub use error::TraceError;
pub use extract::{Contours, ExtractOptions, Subject, extract};
pub use fit::{FitOptions, Traced, USUAL_CORNER_DEG, USUAL_TOLERANCE_MM, fit};
pub use gray::Gray;
pub use holes::{FittedCircle, fit_circle};
pub use homography::homography;
pub use line_side::LineSide;
pub use note::Note;
pub use otsu::otsu;
pub use pose::{CameraPose, camera_pose};
pub use progress::Progress;
pub use seen::Seen;
pub use squaring::{Found, SquaredUp, Squaring, square_up};

/// Everything that can be chosen about a trace.
#[derive(Clone, Debug, Default)]
pub struct TraceOptions {
    /// How the picture is squared up.
    pub squaring: Squaring,
    /// What is looked for in it.
    pub extract: ExtractOptions,
    /// How the outline is laid through it.
    pub fit: FitOptions,
}

/// Traces a picture in one go: [`square_up`], [`extract`], [`fit`].
///
/// # Errors
/// [`TraceError`], one plain sentence.
pub fn trace(picture: &Picture, options: &TraceOptions) -> Result<Traced, TraceError> {
    let progress = Progress::default();
    let squared = square_up(picture, &options.squaring, &progress)?;
    let contours = extract(picture, &squared, &options.extract, &progress)?;
    fit(&contours, &options.fit)
}

/// Values of general-purpose libraries, with the script that made them beside them.
#[cfg(test)]
const REFERENCE: &str = include_str!("../../../tests/reference/tracing.json");
