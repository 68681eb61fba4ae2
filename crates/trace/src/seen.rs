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
        let longer = width.max(height);
        if longer <= longest {
            return self.clone();
        }
        let reduced = |side: usize| (side * longest / longer).max(1) as u32;
        Self(imageops::thumbnail(&self.0, reduced(width), reduced(height)))
    }
}

/// A tone of which a part is seen, laid on white.
pub(crate) fn over_white(tone: u8, alpha: u8) -> u8 {
    let (tone, alpha) = (u32::from(tone), u32::from(alpha));
    ((tone * alpha + 255 * (255 - alpha) + 127) / 255) as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{Rgb, RgbaImage};

    #[test]
    fn colours_stay_and_what_is_transparent_is_white() {
        let mut picture = RgbaImage::from_pixel(100, 80, Rgba([200, 40, 10, 255]));
        picture.put_pixel(3, 2, Rgba([9, 9, 9, 0]));
        let seen = Seen::of(&picture.into());
        assert_eq!((seen.size(), &seen.rgb()[..3]), ([100, 80], &[200, 40, 10][..]));
        assert_eq!(seen.rgb()[3 * 203..3 * 204], [255; 3]);
        let small = seen.reduced_to(50);
        assert_eq!((small.size(), &small.rgb()[3000..3003]), ([50, 40], &[200, 40, 10][..]));
    }

    #[test]
    fn however_large_a_picture_is_it_is_kept_small() {
        let long = RgbImage::from_pixel(30_000, 70, Rgb([7, 8, 9]));
        let seen = Seen::of(&long.into());
        let [width, height] = seen.size();
        assert_eq!((width, &seen.rgb()[..3]), (4096, &[7, 8, 9][..]));
        assert!((9..=10).contains(&height));
    }
}
