//! How brightly the ground is lit: a smooth surface through its lightest tones.

use crate::Gray;
use crate::region::Region;
use nalgebra::{DMatrix, DVector};

/// Blocks along the longer side of the region.
const BLOCKS: usize = 32;
/// The share of a block's pixels that are darker than the tone taken for it.
const QUANTILE: f64 = 0.7;
/// A block so much darker than the surface holds no ground.
const DARKER: f64 = 0.88;
const TERMS: usize = 6;

/// The tone of the lit ground at each pixel: quadratic in x and y.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Illumination {
    terms: [f64; TERMS],
    scale: f64,
}

impl Illumination {
    /// The light on the ground of a region, from the lightest tones of its blocks; those that
    /// hold no ground are left out by residual.
    pub(crate) fn of(gray: &Gray, region: &Region) -> Self {
        let scale = 2.0 / gray.width().max(gray.height()) as f64;
        let mut blocks = block_tones(gray, region);
        let most = blocks.iter().map(|b| b.2).fold(1.0, f64::max);
        let level = Self { terms: [most, 0.0, 0.0, 0.0, 0.0, 0.0], scale };
        // Blocks far below the lightest are no ground from the first, whatever the shading.
        blocks.retain(|(_, _, tone)| *tone > 0.45 * most);
        let mut surface = level.fitted(&blocks).unwrap_or_else(|| level.clone());
        for _ in 0..8 {
            let keep = |b: &&(f64, f64, f64)| b.2 > DARKER * surface.at(b.0, b.1);
            let kept: Vec<_> = blocks.iter().filter(keep).copied().collect();
            match surface.fitted(&kept) {
                Some(next) => surface = next,
                None => break,
            }
        }
        surface
    }

    fn basis(&self, x: f64, y: f64) -> [f64; TERMS] {
        let (x, y) = (x * self.scale - 1.0, y * self.scale - 1.0);
        [1.0, x, y, x * x, x * y, y * y]
    }

    /// The surface through these; `None` where they are too few.
    fn fitted(&self, blocks: &[(f64, f64, f64)]) -> Option<Self> {
        if blocks.len() < 3 * TERMS {
            return None;
        }
        let rows = |i: usize, j: usize| self.basis(blocks[i].0, blocks[i].1)[j];
        let a = DMatrix::from_fn(blocks.len(), TERMS, rows);
        let b = DVector::from_iterator(blocks.len(), blocks.iter().map(|b| b.2));
        let solved = a.svd(true, true).solve(&b, 1e-9).ok()?;
        let mut terms = [0.0; TERMS];
        terms.copy_from_slice(solved.as_slice());
        Some(Self { terms, scale: self.scale })
    }

    /// The tone of lit ground at a pixel, never below 1.
    pub(crate) fn at(&self, x: f64, y: f64) -> f64 {
        let basis = self.basis(x, y);
        basis.iter().zip(&self.terms).map(|(b, t)| b * t).sum::<f64>().max(1.0)
    }

    /// The tone of lit ground along a row, never below 1.
    pub(crate) fn along(&self, y: f64) -> impl Fn(usize) -> f32 + use<> {
        let t = self.terms;
        let (scale, y) = (self.scale, y * self.scale - 1.0);
        let (c, b, a) = (t[0] + t[2] * y + t[5] * y * y, t[1] + t[4] * y, t[3]);
        move |x| {
            let x = (x as f64 + 0.5) * scale - 1.0;
            (c + x * (b + a * x)).max(1.0) as f32
        }
    }
}

/// The middle of each block and the tone of the ground there, if it has any.
fn block_tones(gray: &Gray, region: &Region) -> Vec<(f64, f64, f64)> {
    let size = gray.width().max(gray.height()).div_ceil(BLOCKS).max(8);
    let across = gray.width().div_ceil(size);
    let mut tones = Vec::new();
    let mut histograms = vec![[0_u32; 256]; across];
    let mut rows = region.rows().peekable();
    while let Some((y, (from, to))) = rows.next() {
        for (x, tone) in (from..to).zip(&gray.row(y)[from..to]) {
            histograms[x / size][usize::from(*tone)] += 1;
        }
        let band = y / size;
        if rows.peek().is_none_or(|(next, _)| next / size != band) {
            for (column, histogram) in histograms.iter_mut().enumerate() {
                let count: u32 = histogram.iter().sum();
                if f64::from(count) > 0.3 * (size * size) as f64 {
                    let middle = |i: usize| (i as f64 + 0.5) * size as f64;
                    tones.push((middle(column), middle(band), quantile(histogram, count)));
                }
                histogram.fill(0);
            }
        }
    }
    tones
}

fn quantile(histogram: &[u32; 256], count: u32) -> f64 {
    let wanted = QUANTILE * f64::from(count);
    let mut below = 0.0;
    for (tone, n) in histogram.iter().enumerate() {
        below += f64::from(*n);
        if below >= wanted {
            return tone as f64;
        }
    }
    255.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dark_thing_leaves_the_shading_of_the_ground() {
        let (width, height) = (400, 300);
        let light = |x: f64, y: f64| 230.0 - 0.15 * x - 0.0004 * y * y;
        let data = (0..width * height).map(|i| {
            let (x, y) = (i % width, i / width);
            let dark = (60..340).contains(&x) && (120..180).contains(&y);
            (light(x as f64, y as f64) * if dark { 0.2 } else { 1.0 }) as u8
        });
        let gray = Gray::new(width, height, data.collect()).unwrap();
        let surface = Illumination::of(&gray, &Region::whole(&gray));
        for (x, y) in [(5.0, 5.0), (200.0, 150.0), (395.0, 290.0), (20.0, 280.0)] {
            assert!((surface.at(x, y) - light(x, y)).abs() < 5.0, "{}", surface.at(x, y));
            assert!(
                (f64::from(surface.along(y)(x as usize)) - surface.at(x + 0.5, y)).abs() < 1e-3
            );
        }
    }
}
