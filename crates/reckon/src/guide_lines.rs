//! The guide lines to scribe on the blade: how far up each facet of the ladder is filed.

use crate::bevel::pieces;
use crate::solid::{BevelSurface, Face, Field};
use crate::{BevelFigures, Reckoning};
use kurbo::{BezPath, ParamCurve, Point, Rect, Vec2};
use outline::{Outline, simplify_polyline};
use rayon::iter::{
    IndexedParallelIterator as _, IntoParallelIterator as _, IntoParallelRefIterator as _,
    ParallelIterator as _,
};
use std::collections::BTreeMap;

/// Side of the grid cells, mm.
const CELL_MM: f64 = 1.0;
/// A blade of more cells than this gets larger ones.
const MAX_CELLS: f64 = 60_000.0;
/// Tolerance of the polyline to the true line, mm.
const NEAR_MM: f64 = 5e-4;
/// Subdivisions of a segment outside the tolerance.
const DEEPEST: u32 = 8;
/// Iterations of the root search between two points.
const HALVINGS: u32 = 60;
/// Convergence of the root search, mm.
const ON_MM: f64 = 1e-8;

/// The guide line of one facet.
#[derive(Clone, Debug, PartialEq)]
pub struct GuideLine {
    /// Where the facet stands in the ladder, from 0.
    pub facet: usize,
    /// Its height above the edge at the plunge line, mm.
    pub height_mm: f64,
    /// The facet's angle a side at the plunge line, degrees.
    pub angle_deg: f64,
    /// The line in the knife's plane where it lies on the blade ahead of the plunge; in several
    /// pieces, or in none, where the blade is lower. The last facet's is the grind line.
    pub pieces: Vec<BezPath>,
}

/// The guide lines of all facets, the one at 45° first; empty without a ladder of facets.
///
/// The line of facet k of n lies where the distance to the edge is f + (h − f)·k/n, with h the
/// way from edge over that place to grind line and f by how much a face falls there from grind
/// line to edge. For a grind line at a height, on a stock without taper, it is thus the edge's
/// parallel at the facet's height. Where h is less than f the bevel is steeper than 45° and no
/// guide line runs.
pub fn guide_lines(reckoning: &Reckoning) -> Vec<GuideLine> {
    let all = (reckoning.bevel.as_ref())
        .zip(reckoning.filing.as_ref())
        .zip(reckoning.field.as_deref().zip(reckoning.outline.as_ref()));
    let Some(((bevel, filing), (field, outline))) = all else { return Vec::new() };
    let Some(looked) = LevelSetGrid::at(field, bevel, outline) else { return Vec::new() };
    let Some(last) = filing.facets.len().checked_sub(1) else { return Vec::new() };
    (filing.facets.par_iter().enumerate())
        .map(|(k, facet)| GuideLine {
            facet: k,
            height_mm: facet.height_mm,
            angle_deg: facet.angle_deg,
            pieces: if k == last {
                bevel.grind.clone()
            } else {
                let on = |p: Point| bevel.plunge_frame.ahead_of(p) >= -1e-9 && outline.contains(p);
                let lines = looked.contours(share(k, last));
                lines.iter().flat_map(|line| pieces(line, &on)).collect()
            },
        })
        .collect()
}

#[expect(clippy::cast_precision_loss, reason = "a handful of facets")]
fn share(k: usize, last: usize) -> f64 {
    k as f64 / last as f64
}

/// The bevel surface sampled at a point.
#[derive(Clone, Copy)]
struct Sample {
    /// Distance from the edge, mm; negative on the far side of it.
    off_mm: f64,
    /// From edge to grind line there, mm.
    way_mm: f64,
    /// Fall of a face over that distance, mm.
    fall_mm: f64,
}

impl Sample {
    /// Signed distance above the level set of a share of the ladder, mm.
    fn above_mm(self, share: f64) -> f64 {
        self.off_mm - self.fall_mm - (self.way_mm - self.fall_mm) * share
    }
}

/// A grid corner, and a cell side: from its corner rightward or upward.
type Corner = (usize, usize);
type Side = (Corner, bool);

/// The blade ahead of the plunge sampled on a grid; contours by marching squares.
struct LevelSetGrid<'a> {
    field: &'a Field,
    /// The bevel, as if it went on behind the plunge.
    ground: BevelSurface,
    /// +1 when the steel lies to the left of the way along the edge, −1 when to the right.
    inside: f64,
    from: Point,
    cell_mm: f64,
    columns: usize,
    rows: usize,
    /// Samples at the corners, row by row; `None` above the grind line.
    corners: Vec<Option<Sample>>,
}

impl<'a> LevelSetGrid<'a> {
    fn at(field: &'a Field, bevel: &BevelFigures, outline: &Outline) -> Option<Self> {
        let ground = BevelSurface { plunge: None, ..field.bevels.first()?.clone() };
        let plunge = bevel.plunge?;
        let bounds =
            ahead(outline.bounds(), bevel, [plunge.p0, plunge.p1]).inflate(CELL_MM, CELL_MM);
        let cell_mm = CELL_MM.max((bounds.area() / MAX_CELLS).sqrt());
        let count = |length: f64| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded")]
            let count = (length / cell_mm).ceil().clamp(1.0, MAX_CELLS) as usize;
            count + 1
        };
        if !bounds.is_finite() {
            return None;
        }
        let foot = ground.from.nearest(plunge.eval(0.5));
        let mut looked = Self {
            field,
            inside: foot.side_of(plunge.eval(0.5)),
            ground,
            from: bounds.origin(),
            cell_mm,
            columns: count(bounds.width()),
            rows: count(bounds.height()),
            corners: Vec::new(),
        };
        let corners = (0..looked.rows * looked.columns).into_par_iter();
        let corners = corners.map(|k| (k % looked.columns, k / looked.columns));
        looked.corners = corners.map(|corner| looked.sample_at(looked.point(corner))).collect();
        Some(looked)
    }

    fn point(&self, (i, j): Corner) -> Point {
        #[expect(clippy::cast_precision_loss, reason = "bounded")]
        let steps = Vec2::new(i as f64, j as f64);
        self.from + steps * self.cell_mm
    }

    fn sample_at(&self, p: Point) -> Option<Sample> {
        let half_mm = self.field.stock_at(p.x) / 2.0;
        let foot = self.ground.from.nearest(p);
        if foot.side_of(p) != self.inside {
            return Some(Sample { off_mm: -foot.distance_mm, way_mm: 0.0, fall_mm: 0.0 });
        }
        let (face, share): (Face, f64) = self.ground.face(p, half_mm)?;
        let (way_mm, fall_mm) = (face.height_mm, face.stock_mm - face.edge_mm);
        Some(Sample { off_mm: share * way_mm, way_mm, fall_mm })
    }

    /// Whether a point lies between the edge and a level set.
    fn is_below(&self, p: Point, share: f64) -> bool {
        self.sample_at(p).is_some_and(|sample| sample.above_mm(share) < 0.0)
    }

    /// Where the level set crosses between a point below it and one above; `None` when the grind
    /// line is crossed there.
    ///
    /// By false position (Illinois variant) with an occasional bisection where the surface bends
    /// sharply, and by bisection alone while the upper point lies beyond the grind line.
    fn crossed(&self, below: Point, above: Point, share: f64) -> Option<Point> {
        let off =
            |t: f64| self.sample_at(below.lerp(above, t)).map(|sample| sample.above_mm(share));
        let (mut low, mut high) = (0.0, 1.0);
        let (mut low_mm, mut high_mm) = (off(low)?, off(high));
        // Illinois: an end that stays put counts half the next time.
        let mut moved = None;
        for step in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            let t = match high_mm {
                Some(high_mm) if step % 4 < 3 => {
                    (low * high_mm - high * low_mm) / (high_mm - low_mm)
                }
                _ => middle,
            };
            let t = if t > low && t < high { t } else { middle };
            match off(t) {
                Some(mm) if mm.abs() < ON_MM => return Some(below.lerp(above, t)),
                Some(mm) if mm < 0.0 => {
                    (low, low_mm) = (t, mm);
                    if moved == Some(false) {
                        high_mm = high_mm.map(|mm| mm / 2.0);
                    }
                    moved = Some(false);
                }
                other => {
                    (high, high_mm) = (t, other);
                    if moved == Some(true) {
                        low_mm /= 2.0;
                    }
                    moved = Some(true);
                }
            }
        }
        let at = below.lerp(above, low);
        let on = self.sample_at(at).is_some_and(|sample| sample.above_mm(share) > -1e-6);
        on.then_some(at)
    }

    /// The contour of a level, in as many pieces as it has.
    fn contours(&self, share: f64) -> Vec<BezPath> {
        let below: Vec<bool> = (self.corners.iter())
            .map(|sample| sample.is_some_and(|sample| sample.above_mm(share) < 0.0))
            .collect();
        let is_below = |(i, j): Corner| below[j * self.columns + i];
        let mut places: BTreeMap<Side, Point> = BTreeMap::new();
        let mut next: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
        for j in 0..self.rows - 1 {
            for i in 0..self.columns - 1 {
                let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)];
                let signs = corners.map(is_below);
                // Round the cell: below, right, above, left.
                let sides = [
                    (corners[0], false),
                    (corners[1], true),
                    (corners[3], false),
                    (corners[0], true),
                ];
                let mut hit: Vec<Side> = Vec::new();
                for (k, side) in sides.into_iter().enumerate() {
                    let ends = [k, (k + 1) % 4];
                    if signs[ends[0]] == signs[ends[1]] {
                        continue;
                    }
                    hit.push(side);
                    let (low, high) = if signs[ends[0]] { (0, 1) } else { (1, 0) };
                    let (low, high) = (corners[ends[low]], corners[ends[high]]);
                    if !places.contains_key(&side)
                        && let Some(at) = self.crossed(self.point(low), self.point(high), share)
                    {
                        places.insert(side, at);
                    }
                }
                // Saddle: where all four sides are crossed, the centre decides which connect.
                if hit.len() == 4 {
                    let middle = self.point(corners[0]).midpoint(self.point(corners[2]));
                    if self.is_below(middle, share) != signs[0] {
                        hit.rotate_left(1);
                    }
                }
                for pair in hit.chunks_exact(2) {
                    next.entry(pair[0]).or_default().push(pair[1]);
                    next.entry(pair[1]).or_default().push(pair[0]);
                }
            }
        }
        next.retain(|side, _| places.contains_key(side));
        for sides in next.values_mut() {
            sides.retain(|side| places.contains_key(side));
        }
        link_segments(next).iter().filter_map(|chain| self.contour(chain, &places, share)).collect()
    }

    fn contour(
        &self,
        chain: &[Side],
        places: &BTreeMap<Side, Point>,
        share: f64,
    ) -> Option<BezPath> {
        let points: Vec<Point> =
            chain.iter().filter_map(|side| places.get(side).copied()).collect();
        let mut fine: Vec<Point> = points.first().copied().into_iter().collect();
        for pair in points.windows(2) {
            self.finer(pair[0], pair[1], share, DEEPEST, &mut fine);
        }
        let kept = simplify_polyline(&fine, NEAR_MM);
        let mut line = BezPath::new();
        for (k, p) in kept.iter().enumerate() {
            if k == 0 { line.move_to(*p) } else { line.line_to(*p) }
        }
        (kept.len() > 1).then_some(line)
    }

    /// Adds the end of a segment, and before it as many points as the tolerance needs.
    fn finer(&self, from: Point, to: Point, share: f64, deep: u32, out: &mut Vec<Point>) {
        let (middle, direction) = (from.midpoint(to), to - from);
        let aside = direction.turn_90() * 0.25;
        let is_below = |p: Point| self.is_below(p, share);
        let ends = [middle + aside, middle - aside];
        let between = match ends.map(is_below) {
            [true, false] => self.crossed(ends[0], ends[1], share),
            [false, true] => self.crossed(ends[1], ends[0], share),
            _ => None,
        };
        if let Some(at) = between.filter(|at| deep > 0 && at.distance(middle) > NEAR_MM) {
            self.finer(from, at, share, deep - 1, out);
            self.finer(at, to, share, deep - 1, out);
        } else {
            out.push(to);
        }
    }
}

/// The part of a box ahead of the plunge line.
fn ahead(bounds: Rect, bevel: &BevelFigures, plunge: [Point; 2]) -> Rect {
    let xs = plunge.map(|p| p.x);
    let (min, max) = (xs[0].min(xs[1]), xs[0].max(xs[1]));
    if bevel.plunge_frame.ahead.x < 0.0 {
        Rect::new(bounds.x0, bounds.y0, max.min(bounds.x1), bounds.y1)
    } else {
        Rect::new(min.max(bounds.x0), bounds.y0, bounds.x1, bounds.y1)
    }
}

/// Follows linked segments from open end to open end, then round closed loops.
fn link_segments(mut next: BTreeMap<Side, Vec<Side>>) -> Vec<Vec<Side>> {
    let ends: Vec<Side> =
        next.iter().filter(|(_, sides)| sides.len() == 1).map(|(side, _)| *side).collect();
    let mut chains = Vec::new();
    for start in ends {
        chains.extend(follow(&mut next, start));
    }
    while let Some(start) = next.keys().next().copied() {
        let ring = follow(&mut next, start).map(|mut ring| {
            ring.push(start);
            ring
        });
        chains.extend(ring);
    }
    chains
}

fn follow(next: &mut BTreeMap<Side, Vec<Side>>, start: Side) -> Option<Vec<Side>> {
    let mut chain = vec![start];
    let mut sides = next.remove(&start)?;
    while let Some(side) = sides.iter().find(|side| next.contains_key(side)).copied() {
        chain.push(side);
        sides = next.remove(&side)?;
    }
    (chain.len() > 1).then_some(chain)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use knife::{Bevel, Edit, GrindLine, Knife, STARTERS, Taper};
    use kurbo::{ParamCurveNearest, PathSeg};
    use outline::open_offset;

    /// Places along a path, 0.2 mm apart.
    fn along(path: &BezPath) -> Vec<Point> {
        path.segments()
            .flat_map(|seg| {
                let steps = (seg.start().distance(seg.end()) / 0.2).ceil().max(1.0);
                (0..=steps as u32).map(move |i| seg.eval(f64::from(i) / steps))
            })
            .collect()
    }

    fn distance(segs: &[PathSeg], p: Point) -> f64 {
        let square = segs.iter().map(|seg| seg.nearest(p, 1e-9).distance_sq);
        square.fold(f64::INFINITY, f64::min).sqrt()
    }

    /// The edge from the tip, run on straight from the heel, well past the plunge line.
    fn edge(reckoning: &Reckoning) -> Vec<PathSeg> {
        let mut segs = reckoning.profile.as_ref().unwrap().edge.as_ref().unwrap().segs.clone();
        let last = *segs.last().unwrap();
        let direction = (last.end() - last.eval(1.0 - 1e-6)).normalize();
        segs.push(PathSeg::Line(kurbo::Line::new(last.end(), last.end() + direction * 90.0)));
        segs
    }

    /// Every place of every guide line has its facet's distance from the edge, and they reach
    /// the plunge line.
    #[test]
    fn on_every_starter_they_are_the_edges_parallels() {
        let mut sample = 0;
        for starter in STARTERS {
            let knife = starter.knife();
            let reckoning = reckoned(&knife);
            let frame = reckoning.bevel.as_ref().unwrap().plunge_frame;
            let edge = edge(&reckoning);
            let lines = guide_lines(&reckoning);
            assert_eq!(lines.len(), reckoning.filing.as_ref().unwrap().facets.len());
            for line in &lines {
                for p in line.pieces.iter().flat_map(along) {
                    let off = (distance(&edge, p) - line.height_mm).abs();
                    assert!(off < 0.01, "{}: {off} at {p:?} of {}", starter.key, line.height_mm);
                    sample += 1;
                }
                // Or to where the blade's own outline cuts them off.
                let outline = reckoning.outline.as_ref().unwrap();
                let ended =
                    |p: Point| frame.ahead_of(p) < 1e-3 || distance(outline.segs(), p) < 0.01;
                let ends = line.pieces.iter().flat_map(|piece| {
                    let points: Vec<Point> = along(piece);
                    [points[0], points[points.len() - 1]]
                });
                for end in ends {
                    assert!(ended(end), "{}: {end:?} of {}", starter.key, line.height_mm);
                }
            }
        }
        assert!(sample > 20_000, "{sample}");
    }

    /// Nothing of a parallel is left out: the same length as the parallel that is worked out in
    /// another way, where it lies on the blade.
    #[test]
    fn none_of_the_parallel_is_missing() {
        let length = |paths: &[BezPath]| -> f64 {
            paths.iter().flat_map(BezPath::segments).map(|s| s.start().distance(s.end())).sum()
        };
        for starter in STARTERS {
            let reckoning = reckoned(&starter.knife());
            let (bevel, outline) =
                (reckoning.bevel.as_ref().unwrap(), reckoning.outline.as_ref().unwrap());
            let edge = edge(&reckoning);
            for line in guide_lines(&reckoning).iter().rev().skip(1) {
                let on = |p: Point| bevel.plunge_frame.ahead_of(p) >= -1e-9 && outline.contains(p);
                let other = [1.0, -1.0].map(|side| {
                    let all = open_offset(&edge, side * line.height_mm, 0.001);
                    all.iter().flat_map(|path| pieces(path, &on)).collect::<Vec<_>>()
                });
                let want = length(&other[0]).max(length(&other[1]));
                let is = length(&line.pieces);
                assert!((is - want).abs() < 0.05, "{}: {is} for {want}", starter.key);
            }
        }
    }

    fn ground(line: GrindLine) -> Knife {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 12.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        knife.grind_line = line;
        knife
    }

    /// A grind line that rises straight from 8 to 20 mm over a straight edge: with de and dg the
    /// distances to the two lines, by hand.
    #[test]
    fn under_a_line_of_its_own_they_share_the_way() {
        let points = vec![Point::new(-10.0, -7.0), Point::new(90.0, 5.0)];
        let knife = ground(GrindLine::Through(points));
        let reckoning = reckoned(&knife);
        let (rise, fall) = ((12.0f64 / 100.0).atan(), (3.175 - 0.5) / 2.0);
        let lines = guide_lines(&reckoning);
        assert_eq!(lines.len(), 5);
        for (k, line) in lines.iter().enumerate() {
            assert_eq!(line.pieces.len(), 1, "{k}");
            for p in along(&line.pieces[0]) {
                let de = p.y + 15.0;
                let dg = (-5.8 + 0.12 * p.x - p.y) * rise.cos();
                let want = fall + (de + dg - fall) * k as f64 / 4.0;
                assert!((de - want).abs() < 0.01, "{k}: {p:?}");
            }
        }
    }

    /// To the spine, and on a stock that tapers to the edge's thickness at the tip, there is no
    /// line where the way is shorter than the fall, and all are finite.
    #[test]
    fn spine_and_taper_have_lines_too() {
        let mut knife = ground(GrindLine::Spine);
        let spine = guide_lines(&reckoned(&knife));
        assert!(spine[..4].iter().all(|line| !line.pieces.is_empty()));
        assert!(spine[4].pieces.is_empty());
        knife.grind_line = GrindLine::Height;
        knife.taper = Some(Taper { from_x_mm: 90.0, tip_mm: 1.5 });
        let reckoning = reckoned(&knife);
        for p in guide_lines(&reckoning)[0].pieces.iter().flat_map(along) {
            // At 45° as high as the face falls: half of what the taper leaves less the edge.
            let stock = 1.5 + (3.175 - 1.5) * p.x / 90.0;
            assert!((p.y + 15.0 - (stock - 0.5) / 2.0).abs() < 0.01, "{p:?}");
        }
    }

    #[test]
    fn they_turn_with_the_knife_and_there_are_none_without_a_ladder() {
        let knife = STARTERS[0].knife();
        let other = Edit::MirrorAlong.apply(&knife).unwrap();
        let boxes = |knife: &Knife| -> Vec<f64> {
            guide_lines(&reckoned(knife))
                .iter()
                .flat_map(|line| &line.pieces)
                .map(|piece| kurbo::Shape::bounding_box(piece).width())
                .collect()
        };
        let (own, others) = (boxes(&knife), boxes(&other));
        assert_eq!(own.len(), others.len());
        for (a, b) in own.iter().zip(&others) {
            assert!((a - b).abs() < 0.05, "{a} {b}");
        }
        assert!(guide_lines(&reckoned(&blank())).is_empty());
        assert!(guide_lines(&reckoned(&Knife::empty())).is_empty());
    }
}
