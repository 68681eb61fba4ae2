//! Evenly spaced places along closed curves, divided at their corners and where there is no room.

mod arc_length;
mod distribute;
mod stretch;

use crate::Outline;
use kurbo::Point;

/// How far apart places shall lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpacingOptions {
    /// Straight distance wanted from each place to the next, mm.
    pub pitch_mm: f64,
    /// A stretch between two corners is divided into no shorter steps than this, mm.
    pub min_pitch_mm: f64,
    /// Places that are not neighbours in a row lie no nearer to each other than this, mm.
    pub min_separation_mm: f64,
    /// A vertex at which the direction turns by more than this is a corner, radians.
    pub corner_rad: f64,
}

/// Places along curves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SpacedPoints {
    /// The places, each once.
    pub points: Vec<Point>,
    /// Which of them follow each other along the curves.
    pub rows: Vec<SpacedRow>,
    /// Length of curve along which there was room, mm.
    pub length_mm: f64,
    /// Length of curve along which there was none, mm.
    pub left_out_mm: f64,
}

/// Places that follow each other along a curve at one pitch.
#[derive(Clone, Debug, PartialEq)]
pub struct SpacedRow {
    /// Indices of its places in order. A place at a corner belongs to both rows that meet there.
    pub indices: Vec<usize>,
    /// Whether the last is followed by the first.
    pub closed: bool,
}

impl SpacedRow {
    /// Each place of the row with the one that follows it.
    pub fn steps(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        let back = if self.closed { self.indices.first() } else { None };
        let next = self.indices.iter().skip(1).chain(back);
        self.indices.iter().zip(next).map(|(a, b)| (*a, *b))
    }
}

/// Evenly spaced places along closed polygons with fine sides, such as an offset gives.
///
/// `room` tells how far around a point, in mm, there is room for certain, or, negative, for certain
/// none. Where there is none the curve is cut. Between cuts and corners lie stretches, each divided by
/// straight steps of one length:
///
/// - from corner to corner with a place at both, and once round a ring without corner or cut:
///   by the whole number of steps whose length is nearest to the pitch and no shorter than the
///   shortest; if there is no such number, a ring gets one place, and of two corners nearer to
///   each other than that the second gets none;
/// - from a corner to a cut: by steps of exactly the pitch from the corner on;
/// - from cut to cut: by steps of exactly the pitch, what is left over shared between both ends;
///   one place in the middle if it is shorter than a pitch.
///
/// Where stretches come so near to each other that places would lie closer than `apart_mm`, the
/// one told first stays (corners before others) and the row of the other is broken there.
pub fn space_evenly(
    rings: &[Outline],
    room: &dyn Fn(Point) -> f64,
    spacing: &SpacingOptions,
) -> SpacedPoints {
    let mut spaced = SpacedPoints::default();
    if !(spacing.pitch_mm.is_finite() && spacing.pitch_mm > 0.0) {
        return spaced;
    }
    for ring in rings {
        let points: Vec<Point> = ring.nodes().collect();
        let cut = stretch::stretches(&points, room, spacing.corner_rad);
        spaced.left_out_mm += cut.left_out_mm;
        for stretch in &cut.stretches {
            spaced.length_mm += stretch.length_mm();
            distribute::add(&mut spaced, &distribute::along(stretch, spacing), stretch.is_ring());
        }
    }
    distribute::thin(&mut spaced, room, spacing.min_separation_mm);
    spaced
}

#[cfg(test)]
mod tests;
