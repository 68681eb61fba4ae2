//! A picture in shades of grey.

use kurbo::Point;

/// A picture in shades of grey, 0 black to 255 white, rows from the top.
#[derive(Clone, Debug, PartialEq)]
pub struct Gray {
    width: usize,
    height: usize,
    data: Vec<u8>,
}

impl Gray {
    /// A picture of these rows; `None` unless there are `width` × `height` pixels.
    pub fn new(width: usize, height: usize, data: Vec<u8>) -> Option<Self> {
        (data.len() == width * height).then_some(Self { width, height, data })
    }

    /// Pixels across.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Pixels down.
    pub fn height(&self) -> usize {
        self.height
    }

    /// The pixels, row by row.
    pub fn data(&self) -> &[u8] {
        &self.data
    }

    pub(crate) fn row(&self, y: usize) -> &[u8] {
        &self.data[y * self.width..(y + 1) * self.width]
    }

    pub(crate) fn at(&self, x: usize, y: usize) -> f64 {
        f64::from(self.data[y * self.width + x])
    }

    pub(crate) fn contains(&self, p: Point) -> bool {
        p.x >= 0.0 && p.y >= 0.0 && p.x <= self.width as f64 && p.y <= self.height as f64
    }

    /// The picture's centre, px.
    pub(crate) fn centre(&self) -> Point {
        Point::new(self.width as f64 / 2.0, self.height as f64 / 2.0)
    }

    /// Half the picture's diagonal, px.
    pub(crate) fn half_diagonal(&self) -> f64 {
        (self.width as f64).hypot(self.height as f64) / 2.0
    }

    /// The tone at a place, bilinear between pixel centres; beyond the border that of the border.
    pub(crate) fn sample(&self, p: Point) -> f64 {
        let x = (p.x - 0.5).clamp(0.0, (self.width - 1) as f64);
        let y = (p.y - 0.5).clamp(0.0, (self.height - 1) as f64);
        let (x0, y0) = (x as usize, y as usize);
        let (x1, y1) = ((x0 + 1).min(self.width - 1), (y0 + 1).min(self.height - 1));
        let (u, v) = (x - x0 as f64, y - y0 as f64);
        let above = self.at(x0, y0) * (1.0 - u) + self.at(x1, y0) * u;
        let below = self.at(x0, y1) * (1.0 - u) + self.at(x1, y1) * u;
        above * (1.0 - v) + below * v
    }

    /// The picture reduced by a whole factor, each pixel the mean of those it stands for.
    pub(crate) fn reduced(&self, factor: usize) -> Self {
        if factor <= 1 {
            return self.clone();
        }
        let (width, height) = (self.width / factor, self.height / factor);
        let mut data = Vec::with_capacity(width * height);
        let count = (factor * factor) as u32;
        let mut sums = vec![0_u32; width];
        for y in 0..height {
            sums.fill(0);
            for row in 0..factor {
                let row = self.row(y * factor + row);
                for (sum, block) in sums.iter_mut().zip(row.chunks_exact(factor)) {
                    *sum += block.iter().map(|v| u32::from(*v)).sum::<u32>();
                }
            }
            data.extend(sums.iter().map(|sum| ((sum + count / 2) / count) as u8));
        }
        Self { width, height, data }
    }

    /// The factor by which to reduce so that the longer side is at most `longest` pixels.
    pub(crate) fn factor_to(&self, longest: usize) -> usize {
        self.width.max(self.height).div_ceil(longest).max(1)
    }

    /// Light and dark exchanged.
    pub(crate) fn inverted(&self) -> Self {
        Self { data: self.data.iter().map(|v| 255 - v).collect(), ..*self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn samples_lie_between_pixel_centres() {
        let gray = Gray::new(2, 2, vec![0, 100, 200, 100]).unwrap();
        assert_eq!(gray.sample(Point::new(0.5, 0.5)), 0.0);
        assert_eq!(gray.sample(Point::new(1.0, 0.5)), 50.0);
        assert_eq!(gray.sample(Point::new(1.0, 1.0)), 100.0);
        assert_eq!(gray.sample(Point::new(-9.0, 99.0)), 200.0);
        assert!(Gray::new(2, 2, vec![0; 3]).is_none());
    }

    #[test]
    fn reducing_takes_means() {
        let gray = Gray::new(4, 2, vec![0, 10, 50, 50, 20, 30, 50, 51]).unwrap();
        assert_eq!(gray.reduced(2).data(), [15, 50]);
        assert_eq!(gray.factor_to(4), 1);
        assert_eq!(gray.factor_to(3), 2);
    }
}
