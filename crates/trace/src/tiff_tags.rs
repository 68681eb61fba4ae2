//! The few tags that are read from a TIFF file or from Exif data, which is laid out alike.

/// Tags: TIFF 6.0 (1992), section 8, and Exif 2.32 (CIPA DC-008).
const X_RESOLUTION: u16 = 282;
const Y_RESOLUTION: u16 = 283;
const RESOLUTION_UNIT: u16 = 296;
const EXIF_IFD: u16 = 34665;
const FOCAL_LENGTH_IN_35MM_FILM: u16 = 41989;
/// No directory has more entries than this.
const MAX_ENTRIES: usize = 1000;

/// A reader of tags; nothing is kept but the bytes.
pub(crate) struct Tags<'a> {
    bytes: &'a [u8],
    big_endian: bool,
    first: usize,
}

impl<'a> Tags<'a> {
    /// The tags in these bytes; `None` if they don't begin like TIFF.
    pub(crate) fn read(bytes: &'a [u8]) -> Option<Self> {
        let bytes = bytes.strip_prefix(b"Exif\0\0").unwrap_or(bytes);
        let big_endian = match bytes.get(..4)? {
            [b'M', b'M', 0, 42] => true,
            [b'I', b'I', 42, 0] => false,
            _ => return None,
        };
        let mut tags = Self { bytes, big_endian, first: 0 };
        tags.first = tags.u32(4)? as usize;
        Some(tags)
    }

    fn u16(&self, at: usize) -> Option<u16> {
        let raw = self.bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if self.big_endian { u16::from_be_bytes(raw) } else { u16::from_le_bytes(raw) })
    }

    fn u32(&self, at: usize) -> Option<u32> {
        let raw = self.bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        Some(if self.big_endian { u32::from_be_bytes(raw) } else { u32::from_le_bytes(raw) })
    }

    /// The place of a tag's value in the directory at `directory`.
    fn value_at(&self, directory: usize, tag: u16) -> Option<usize> {
        let entries = usize::from(self.u16(directory)?).min(MAX_ENTRIES);
        (0..entries)
            .map(|i| directory + 2 + 12 * i)
            .find(|at| self.u16(*at) == Some(tag))
            .map(|at| at + 8)
    }

    fn short(&self, directory: usize, tag: u16) -> Option<u16> {
        self.u16(self.value_at(directory, tag)?)
    }

    fn rational(&self, tag: u16) -> Option<f64> {
        let at = self.u32(self.value_at(self.first, tag)?)? as usize;
        let (over, under) = (self.u32(at)?, self.u32(at.checked_add(4)?)?);
        (under > 0).then(|| f64::from(over) / f64::from(under))
    }

    /// Dots per inch, if both ways alike.
    pub(crate) fn dpi(&self) -> Option<f64> {
        let (x, y) = (self.rational(X_RESOLUTION)?, self.rational(Y_RESOLUTION)?);
        let per_inch = match self.short(self.first, RESOLUTION_UNIT).unwrap_or(2) {
            2 => 1.0,
            3 => 2.54,
            _ => return None,
        };
        ((x - y).abs() <= x * 0.01).then_some(x * per_inch)
    }

    /// Focal length as that of a camera with a 24 × 36 mm frame, mm.
    pub(crate) fn focal_35mm(&self) -> Option<f64> {
        let exif = self.u32(self.value_at(self.first, EXIF_IFD)?)? as usize;
        let focal = self.short(exif, FOCAL_LENGTH_IN_35MM_FILM)?;
        (5..=1000).contains(&focal).then(|| f64::from(focal))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exif data by hand: a directory that leads to another with the focal length.
    fn exif(big: bool) -> Vec<u8> {
        let short = |v: u16| if big { v.to_be_bytes() } else { v.to_le_bytes() };
        let long = |v: u32| if big { v.to_be_bytes() } else { v.to_le_bytes() };
        let mut out = if big { b"MM\0\x2a".to_vec() } else { b"II\x2a\0".to_vec() };
        out.extend(long(8));
        out.extend(short(1));
        for part in [short(EXIF_IFD), short(4)] {
            out.extend(part);
        }
        for part in [long(1), long(26), long(0)] {
            out.extend(part);
        }
        out.extend(short(1));
        for part in [short(FOCAL_LENGTH_IN_35MM_FILM), short(3)] {
            out.extend(part);
        }
        out.extend(long(1));
        out.extend(short(26));
        out.extend(short(0));
        out
    }

    #[test]
    fn the_focal_length_is_found_in_either_byte_order_and_never_beyond_the_end() {
        for big in [false, true] {
            let bytes = exif(big);
            assert_eq!(Tags::read(&bytes).unwrap().focal_35mm(), Some(26.0));
            for end in 0..bytes.len() {
                let cut = Tags::read(&bytes[..end]).and_then(|tags| tags.focal_35mm());
                assert!(cut.is_none() || end >= bytes.len() - 2);
            }
        }
        assert!(Tags::read(b"II\x2a\0\xff\xff\xff\xff").unwrap().dpi().is_none());
    }
}
