//! A picture in its own colours, to be looked at.

use image::{DynamicImage, RgbImage, Rgba, imageops};

/// Its longer side at most, px: so it takes no more than 50 MB whatever the file.
const LONGEST_PX: u32 = 4096;

/// A picture in its own colours, no larger than to be looked at; what is traced is
/// [`crate::Gray`].
#[derive(Clone, Debug, PartialEq)]
pub struct Seen(RgbImage);

impl Seen {
    /// The picture reduced, transparent parts laid on white.
    pub(crate) fn of(image: &DynamicImage) -> Self {
        let small = if image.width().max(image.height()) > LONGEST_PX {
            &image.thumbnail(LONGEST_PX, LONGEST_PX)
        } else {
            image
        };
        if !small.color().has_alpha() {
            return Self(small.to_rgb8());
        }
        let small = small.to_rgba8();
        let blended =
            |Rgba([r, g, b, alpha]): &Rgba<u8>| [r, g, b].map(|tone| over_white(*tone, *alpha));
        let rgb = small.pixels().flat_map(blended).collect();
        Self(RgbImage::from_raw(small.width(), small.height(), rgb).unwrap_or_default())
    }

    /// Pixels across and down.
    pub fn size(&self) -> [usize; 2] {
        [self.0.width() as usize, self.0.height() as usize]
    }

    /// Red, green and blue of each pixel, row by row from the top.
    pub fn rgb(&self) -> &[u8] {
        self.0.as_raw()
    }

    /// The picture reduced so that its longer side is at most `longest` pixels.
    #[must_use]
    pub fn reduced_to(&self, longest: usize) -> Self {
        let [width, height] = self.size();
        let most = width.max(height);
        if most <= longest {
            return self.clone();
        }
        let reduced = |side: usize| (side * longest / most).max(1) as u32;
        Self(imageops::thumbnail(&self.0, reduced(width), reduced(height)))
    }
}

/// A tone of which a part is seen, laid on white.
pub(crate) fn over_white(tone: u8, alpha: u8) -> u8 {
    let (tone, alpha) = (u32::from(tone), u32::from(alpha));
    ((tone * alpha + 255 * (255 - alpha) + 127) / 255) as u8
}
