//! The parallel of an open run of segments: one side of everything at a distance from it.

use std::collections::HashMap;

use i_overlay::i_float::int::point::IntPoint;
use kurbo::{BezPath, PathSeg, Point};

use super::flatten::{Chord, chords_along};
use super::frame::Frame;
use super::thread::grid_point;
use super::{FURTHEST_OFFSET_MM, overlay, strip};

/// The parallel of an open run of segments at a distance, to the left of the way along it if
/// positive and to the right if negative, as polylines that run the same way as the source
/// and are in its order.
///
/// Only points that are truly at that distance remain: whatever is nearer to any part of the
/// run, its ends and its other side included, is taken out, so that the parallel may fall
/// apart into several pieces or vanish. Round corners stand where the run turns away; there
/// are no caps at its ends. The polylines' corners lie on the true curve and their sides
/// within `tolerance_mm` of it, with the limits told at
/// [`offset_with`](crate::Outline::offset_with).
///
/// Each segment starts where the one before it ends; a gap is bridged by a straight line. At
/// distance 0 the run itself comes back as one path with its curves. A run without segments,
/// of no length or with coordinates that are not finite, and a distance that is not a number,
/// have no parallel.
#[must_use]
pub fn open_offset(segs: &[PathSeg], distance_mm: f64, tolerance_mm: f64) -> Vec<BezPath> {
    if distance_mm.is_nan() {
        return Vec::new();
    }
    if distance_mm == 0.0 {
        return if segs.is_empty() { Vec::new() } else { vec![run_itself(segs)] };
    }
    let reach_mm = distance_mm.abs().min(FURTHEST_OFFSET_MM);
    let Some(frame) = Frame::around(segs, reach_mm) else {
        return Vec::new();
    };
    let (reach, tolerance) = (reach_mm * frame.per_mm(), frame.tolerance(tolerance_mm));
    let along = frame.to_grid(segs);
    let back: Vec<_> = along.iter().rev().map(PathSeg::reverse).collect();
    // The wanted side first, walked so that it lies to the right.
    let (wanted, other) = if distance_mm > 0.0 { (&back, &along) } else { (&along, &back) };
    let wanted = chords_along(wanted, reach, tolerance);
    let other = chords_along(other, reach, tolerance);
    if wanted.is_empty() || other.is_empty() {
        return Vec::new();
    }
    let sides = Sides::new(&wanted, &other, reach, tolerance);
    let mut pieces: Vec<(usize, Vec<Point>)> = Vec::new();
    for ring in overlay::positive(std::slice::from_ref(&sides.raw)) {
        for piece in sides.wanted_pieces(&ring, &wanted) {
            let place = nearest(&wanted, middle(piece[0], piece[1])).chord;
            pieces.push((place, piece.iter().map(|p| frame.to_mm(*p)).collect()));
        }
    }
    pieces.sort_by_key(|(place, _)| *place);
    if distance_mm > 0.0 {
        pieces.reverse();
        for (_, points) in &mut pieces {
            points.reverse();
        }
    }
    pieces.iter().map(|(_, points)| polyline(points)).collect()
}

fn run_itself(segs: &[PathSeg]) -> BezPath {
    BezPath::from_path_segments(segs.iter().copied())
}

fn polyline(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 { path.move_to(*p) } else { path.line_to(*p) }
    }
    path
}

/// What a corner of the raw ring belongs to.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Wanted,
    Other,
    /// The end of both a side and a cap, or the same place on both sides.
    Both,
}

/// The raw ring around the whole run, and which of its corners lie on the wanted side.
struct Sides {
    raw: Vec<IntPoint<i32>>,
    of: HashMap<(i32, i32), Side>,
}

impl Sides {
    fn new(wanted: &[Chord], other: &[Chord], reach: f64, tolerance: f64) -> Self {
        let fit = |c: &Chord| strip::fit_normals(c, reach);
        let (first, last) = (fit(&wanted[0]), fit(&wanted[wanted.len() - 1]));
        let mut all = wanted.to_vec();
        all.extend_from_slice(other);
        let raw = strip::ring(&all, reach, tolerance);
        // Where the wanted side begins and ends, as corners of the raw ring.
        let from = grid_point(first.a + first.na * reach);
        let to = grid_point(last.b + last.nb * reach);
        let begin = raw.iter().position(|p| *p == from).unwrap_or(0);
        let end = raw.iter().position(|p| *p == to).unwrap_or(raw.len() - 1);
        let mut of = HashMap::with_capacity(raw.len());
        for (i, p) in raw.iter().enumerate() {
            let side = match i {
                _ if i == begin || i == end => Side::Both,
                _ if i > begin && i < end => Side::Wanted,
                _ => Side::Other,
            };
            of.entry((p.x, p.y))
                .and_modify(|s| {
                    if *s != side {
                        *s = Side::Both
                    }
                })
                .or_insert(side);
        }
        Self { raw, of }
    }

    /// Whether a side of the cleaned ring is a part of the wanted side.
    fn is_wanted(&self, a: IntPoint<i32>, b: IntPoint<i32>, wanted: &[Chord]) -> bool {
        let of = |p: IntPoint<i32>| self.of.get(&(p.x, p.y)).copied();
        match (of(a), of(b)) {
            (Some(Side::Wanted), Some(Side::Other)) | (Some(Side::Other), Some(Side::Wanted)) => {
                false
            }
            (Some(Side::Wanted), _) | (_, Some(Side::Wanted)) => true,
            (Some(Side::Other), _) | (_, Some(Side::Other)) => false,
            _ => nearest(wanted, middle(a, b)).right,
        }
    }

    /// The runs of wanted sides in a cleaned ring, each of two points or more.
    fn wanted_pieces(&self, ring: &[IntPoint<i32>], wanted: &[Chord]) -> Vec<Vec<IntPoint<i32>>> {
        let n = ring.len();
        let keep: Vec<bool> =
            (0..n).map(|i| self.is_wanted(ring[i], ring[(i + 1) % n], wanted)).collect();
        let Some(gap) = keep.iter().position(|k| !k) else {
            // All the way round: a closed piece.
            return vec![ring.iter().chain(ring.first()).copied().collect()];
        };
        let mut pieces: Vec<Vec<IntPoint<i32>>> = Vec::new();
        let mut running = false;
        for i in (gap + 1..=gap + n).map(|i| i % n) {
            if keep[i] {
                if !running {
                    pieces.push(vec![ring[i]]);
                }
                if let Some(piece) = pieces.last_mut() {
                    piece.push(ring[(i + 1) % n]);
                }
            }
            running = keep[i];
        }
        pieces
    }
}

fn middle(a: IntPoint<i32>, b: IntPoint<i32>) -> Point {
    let half = |u: i32, v: i32| (f64::from(u) + f64::from(v)) / 2.0;
    Point::new(half(a.x, b.x), half(a.y, b.y))
}

/// Where the nearest point of a run lies.
struct Nearest {
    chord: usize,
    /// Whether the point looked from is to the right of the run and beside it, not past an end.
    right: bool,
}

/// The nearest chord to a point. Ties at a corner that two chords share are settled by the
/// way the run takes on the whole there.
fn nearest(chords: &[Chord], p: Point) -> Nearest {
    let mut best = (f64::INFINITY, 0, 0.0);
    for (i, c) in chords.iter().enumerate() {
        let along = c.b - c.a;
        let t = ((p - c.a).dot(along) / along.hypot2()).clamp(0.0, 1.0);
        let off = (p - (c.a + along * t)).hypot2();
        if off < best.0 {
            best = (off, i, t);
        }
    }
    let (_, i, t) = best;
    let way = |i: usize| (chords[i].b - chords[i].a).normalize();
    let here = way(i);
    let past = 1e-6;
    let (corner, way) = if t <= 0.0 && i > 0 {
        (chords[i].a, here + way(i - 1))
    } else if t >= 1.0 && i + 1 < chords.len() {
        (chords[i].b, here + way(i + 1))
    } else {
        let end = if t >= 1.0 { chords[i].b } else { chords[i].a };
        let beyond = (p - end).normalize().dot(here);
        if (t <= 0.0 && beyond < -past) || (t >= 1.0 && beyond > past) {
            return Nearest { chord: i, right: false };
        }
        (end, here)
    };
    Nearest { chord: i, right: way.cross(p - corner) < 0.0 }
}
