//! The finished knife in light from the side: from the thickness everywhere to a picture.
//!
//! Pure: the same solid, patch and light give the same picture. It knows no window; the canvas
//! lays the picture on the blank.

mod light;
mod patch;
mod quad;

pub use light::{Light, Tones};
pub use patch::{Patch, ShadeRequest};

use egui::{Color32, ColorImage};
use kurbo::Point;
use outline::Outline;
use quad::{Band, TILE};
use reckon::solid::Field;
use std::sync::Arc;

/// More threads than this gain nothing on so small a picture.
const MAX_THREADS: usize = 8;

/// What is lit: one face of a solid within its outline.
#[derive(Clone, Copy, Debug)]
pub struct Surface<'a> {
    /// The solid.
    pub field: &'a Field,
    /// Its outline; what lies outside is left in the middle tone.
    pub outline: &'a Outline,
    /// Whether the left face is seen.
    pub left: bool,
}

impl Surface<'_> {
    /// How high the face stands over the centre plane, mm.
    fn height_mm(&self, p: Point) -> f64 {
        let halves = self.field.half_thickness(p);
        if self.left { halves.left_mm } else { halves.right_mm }
    }
}

/// A picture as the graphics driver has it, and the one it was made of.
pub(crate) type Texture = (Arc<ColorImage>, egui::TextureHandle);

/// A picture that was made, and what of the knife's plane it shows.
#[derive(Clone, Debug)]
pub struct Shaded {
    /// Its pixels; the first row lies highest.
    pub image: Arc<ColorImage>,
    /// Where its pixels lie.
    pub patch: Patch,
}

/// Lights a face over a patch of the knife's plane.
///
/// ```
/// use desk::shaded::{Light, Patch, Surface, Tones, lit};
/// use reckon::solid::Field;
///
/// let outline = outline::Outline::polygon(&[(0.0, 0.0).into(), (90.0, 0.0).into(), (90.0, 9.0).into()])?;
/// let field = Field { stock_mm: 3.0, taper: None, bevels: Vec::new() };
/// let surface = Surface { field: &field, outline: &outline, left: true };
/// let patch = Patch::over(outline.bounds(), 4.0, 100_000);
/// let picture = lit(&surface, &patch, &Light::plain(), &Tones::grey());
/// assert_eq!(picture.size, [patch.columns, patch.rows]);
/// # Ok::<(), outline::OutlineError>(())
/// ```
pub fn lit(surface: &Surface<'_>, patch: &Patch, light: &Light, tones: &Tones) -> ColorImage {
    let mut pixels = vec![Color32::TRANSPARENT; patch.columns * patch.rows];
    let bands: Vec<&mut [Color32]> = pixels.chunks_mut((patch.columns * TILE).max(1)).collect();
    let spans = patch.spans(surface.outline);
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(MAX_THREADS);
    // Every thread takes each nth band: what is ground lies low, what is flat above it.
    let mut shares: Vec<Vec<Band<'_>>> = (0..threads).map(|_| Vec::new()).collect();
    for (i, pixels) in bands.into_iter().enumerate() {
        shares[i % threads].push(Band { first: i * TILE, pixels });
    }
    let work = |share: Vec<Band<'_>>| {
        let mut band = quad::Lit::new(surface, patch, light, tones, &spans);
        share.into_iter().for_each(|one| band.fill(one));
    };
    std::thread::scope(|scope| {
        let own = shares.pop();
        for share in shares.into_iter().filter(|share| !share.is_empty()) {
            scope.spawn(|| work(share));
        }
        own.into_iter().for_each(work);
    });
    ColorImage::new([patch.columns, patch.rows], pixels)
}

#[cfg(test)]
mod tests;
