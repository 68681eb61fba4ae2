//! The parallel of an open run of segments: one side of everything at a distance from it.

use i_overlay::i_float::int::point::IntPoint;
use kurbo::{BezPath, PathSeg, Point, Vec2};

use super::FURTHEST_OFFSET_MM;
use super::convolution::vector;
use super::grid::Grid;
use crate::Polyline;

/// Sine of the angle by which a place may lean past an end and count as beside the run: the
/// rounding to the grid.
const PAST_END: f64 = 1e-6;

/// The parallel of an open run of segments at a distance, to the left of the way along it if
/// positive and to the right if negative, as polylines that run the same way as the source
/// and are in its order.
///
/// Only points that are truly at that distance remain: whatever is nearer to any part of the
/// run, its ends and its other side included, is taken out, so that the parallel may fall
/// apart into several pieces or vanish. Round corners stand where the run turns away; there
/// are no caps at its ends. Each point of the polylines is at the distance within
/// `tolerance_mm`, with the limits told at [`offset_with`](crate::Outline::offset_with).
///
/// Each segment starts where the one before it ends; a gap is bridged by a straight line. At
/// distance 0 the run itself comes back as one path with its curves. A run without segments,
/// of no length or with coordinates that are not finite, and a distance that is not a number,
/// have no parallel.
#[must_use]
pub fn open_offset(segs: &[PathSeg], distance_mm: f64, tolerance_mm: f64) -> Vec<BezPath> {
    if segs.is_empty() || distance_mm.is_nan() {
        return Vec::new();
    }
    if distance_mm == 0.0 {
        return vec![BezPath::from_path_segments(segs.iter().copied())];
    }
    let reach_mm = distance_mm.abs().min(FURTHEST_OFFSET_MM);
    let Some(grid) = Grid::around(segs, reach_mm, tolerance_mm) else { return Vec::new() };
    let Some(run) = Polyline::new(segs, grid.flatness_mm()) else { return Vec::new() };
    let mut there: Vec<IntPoint<i32>> = run.points().iter().map(|p| grid.point(*p)).collect();
    there.dedup();
    let back = there.iter().rev().skip(1).take(there.len().saturating_sub(2));
    let ring: Vec<IntPoint<i32>> = there.iter().chain(back).copied().collect();
    // Square to the run at its ends, so that a parallel begins and ends beside them.
    let ends = there.first_chunk().into_iter().chain(there.last_chunk());
    let ends: Vec<Vec2> = ends.map(|[p, q]| vector(p, q)).collect();
    let shapes = grid.around_ring(&ring, reach_mm, &ends);
    let mut pieces: Vec<(usize, Vec<Point>)> = Vec::new();
    for ring in shapes.iter().flatten() {
        for mut piece in wanted_pieces(&grid.points(ring), &run, distance_mm) {
            // Rings keep what they go around to their left.
            if distance_mm > 0.0 {
                piece.reverse();
            }
            pieces.push((run.foot(piece[0].midpoint(piece[1])).0, piece));
        }
    }
    pieces.sort_by_key(|(place, _)| *place);
    pieces.iter().map(|(_, points)| polyline(&grid.smooth(points))).collect()
}

fn polyline(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 { path.move_to(*p) } else { path.line_to(*p) }
    }
    path
}

/// The stretches of a ring around a run that lie on one side of it, each of two points or more.
fn wanted_pieces(ring: &[Point], run: &Polyline, side: f64) -> Vec<Vec<Point>> {
    let n = ring.len();
    let middle = |i: usize| ring[i].midpoint(ring[(i + 1) % n]);
    let keep: Vec<bool> = (0..n).map(|i| is_beside(run, middle(i), side)).collect();
    let Some(gap) = keep.iter().position(|k| !k) else {
        // All the way round: a closed piece.
        return vec![ring.iter().chain(ring.first()).copied().collect()];
    };
    let mut pieces: Vec<Vec<Point>> = Vec::new();
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

/// Whether a place lies beside a run, not past an end, on its left (`side` positive) or right.
fn is_beside(run: &Polyline, p: Point, side: f64) -> bool {
    let (i, t) = run.foot(p);
    let points = run.points();
    let direction = |i: usize| (points[i + 1] - points[i]).normalize();
    let here = direction(i);
    let is_left = |at: Point, along: Vec2| along.cross(p - at) * side > 0.0;
    let corner = if t >= 1.0 { i + 1 } else { i };
    if t > 0.0 && t < 1.0 {
        return is_left(points[i], here);
    }
    if corner == 0 || corner == points.len() - 1 {
        let past = (p - points[corner]).normalize().dot(here);
        let past = if corner == 0 { -past } else { past };
        return past <= PAST_END && is_left(points[corner], here);
    }
    // At a corner of two sides, by the way the run takes on the whole.
    is_left(points[corner], direction(corner - 1) + direction(corner))
}
