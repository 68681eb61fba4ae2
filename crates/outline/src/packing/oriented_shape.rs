//! A shape in one orientation: grown by half the gap and cut into slabs across the strip.

use super::{Orientation, Shape, Strip};
use crate::convex_hull::hull_of;
use crate::simplify::{thinned_ring, thinned_ring_to};
use crate::{FURTHEST_OFFSET_MM, Outline};
use kurbo::{Affine, Point, Rect, Vec2};

/// How far the grown polygon may lie outside the true one while searching, mm; it never lies
/// inside.
pub(super) const COARSE_MM: f64 = 0.01;
/// The same for the final compaction.
pub(super) const FINE_MM: f64 = 0.002;
/// An outline of more segments than this is thinned before it is grown, and packed by its convex
/// hull if it has more corners than that even then.
const MAX_STRETCHES: usize = 600;
/// A polygon of more corners than this is packed by its convex hull.
const MAX_CORNERS: usize = 1_500;
/// So is one with more pairs of spans than this, summed over all heights: the cost of one no-fit
/// computation against its like.
const MAX_PAIRS: usize = 20_000;
/// How near a thinned outline, and the hull of an outline's polygon, keep to the outline, mm.
const HULL_MM: f64 = 0.005;
/// Spacing of the heights at which a shape's right side is sampled, mm.
pub(super) const PROFILE_MM: f64 = 1.0;

/// An interval of a slab that a shape covers: left and right at the lower height, mm, and their
/// slopes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    low: (f64, f64),
    slope: (f64, f64),
}

impl Span {
    /// By left and right at the lower and the upper height, so far apart.
    fn between(low: (f64, f64), high: (f64, f64), rise: f64) -> Self {
        Self { low, slope: ((high.0 - low.0) / rise, (high.1 - low.1) / rise) }
    }

    /// Left and right so far above the lower height.
    pub(super) fn at(&self, up: f64) -> (f64, f64) {
        (self.low.0 + up * self.slope.0, self.low.1 + up * self.slope.1)
    }
}

/// What a shape covers between two heights.
#[derive(Clone, Debug)]
pub(super) struct Slab {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) spans: Vec<Span>,
}

/// A shape in one orientation, its true box's lower left corner at the origin.
pub(super) struct OrientedShape {
    pub(super) shape: usize,
    pub(super) orientation: Orientation,
    /// From the shape's own plane.
    pub(super) transform: Affine,
    pub(super) size: Vec2,
    pub(super) area_mm2: f64,
    /// The grown polygon, from below.
    pub(super) slabs: Vec<Slab>,
    /// The grown box, by the same rules.
    pub(super) boxed: Vec<Slab>,
    /// The right side at heights [`PROFILE_MM`] apart.
    pub(super) right: Vec<f64>,
    /// Whether it is packed by its hull, its own shape being too intricate.
    pub(super) coarse: bool,
}

impl OrientedShape {
    /// All orientations of all shapes that fit between the strip's margins.
    pub(super) fn all(shapes: &[Shape], strip: &Strip, coarse_mm: f64) -> Vec<Self> {
        let mut all = Vec::new();
        for (index, shape) in shapes.iter().enumerate() {
            let grow = (strip.gap_mm.max(0.0) / 2.0 + coarse_mm).min(FURTHEST_OFFSET_MM);
            let Some((grown, by_hull)) = grown(&shape.outline, grow, coarse_mm) else { continue };
            let as_it_is = [Orientation { mirrored: false, turn_rad: 0.0 }];
            let orientations =
                if shape.orientations.is_empty() { &as_it_is[..] } else { &shape.orientations };
            for orientation in orientations {
                let mut oriented = Self::new(index, &shape.outline, *orientation, &grown, grow);
                oriented.coarse |= by_hull;
                let room = strip.width_mm - 2.0 * strip.margin_mm;
                let long = strip.length_mm - 2.0 * strip.margin_mm;
                if oriented.size.y <= room + 1e-9 && oriented.size.x <= long + 1e-9 {
                    all.push(oriented);
                }
            }
        }
        all
    }

    fn new(
        shape: usize,
        outline: &Outline,
        orientation: Orientation,
        grown: &[Point],
        grow: f64,
    ) -> Self {
        let turned = orientation.transform();
        let bounds = outline.transformed(turned).bounds();
        let by = Affine::translate(-bounds.origin().to_vec2()) * turned;
        let ring: Vec<Point> = grown.iter().map(|p| by * *p).collect();
        let size = Vec2::new(bounds.width(), bounds.height());
        let (slabs, coarse) = few_slabs(&ring);
        let frame = Rect::new(-grow, -grow, size.x + grow, size.y + grow);
        let boxed = vec![Slab {
            from: frame.y0,
            to: frame.y1,
            spans: vec![Span { low: (frame.x0, frame.x1), slope: (0.0, 0.0) }],
        }];
        let right = profile(&slabs, size.y);
        Self {
            shape,
            orientation,
            transform: by,
            size,
            area_mm2: outline.area(),
            slabs,
            boxed,
            right,
            coarse,
        }
    }
}

/// The outline grown, as a polygon none of which lies inside the true one; and whether it is that
/// of its hull.
fn grown(outline: &Outline, grow: f64, coarse_mm: f64) -> Option<(Vec<Point>, bool)> {
    let mut thinned = None;
    let mut is_hull = false;
    if outline.segs().len() > MAX_STRETCHES {
        let few = thinned_ring_to(&outline.polyline(0.5 * HULL_MM), 0.5 * HULL_MM, MAX_STRETCHES);
        is_hull = few.is_none();
        thinned = Outline::polygon(&few.unwrap_or_else(|| outline.hull())).ok();
    }
    let (outline, grow) = match &thinned {
        Some(thinned) => (thinned, grow + HULL_MM),
        None => (outline, grow),
    };
    let rings = outline.offset_with(grow, coarse_mm / 4.0);
    let corners: Vec<Point> = rings.first()?.nodes().collect();
    Some((thinned_ring(&corners, coarse_mm * 0.75), is_hull))
}

/// The polygon's slabs, or its hull's where its own are too many; and whether it is the hull's.
fn few_slabs(ring: &[Point]) -> (Vec<Slab>, bool) {
    if ring.len() <= MAX_CORNERS {
        let own = slabs(ring);
        let pairs: usize = own.iter().map(|slab| slab.spans.len().pow(2)).sum();
        if pairs <= MAX_PAIRS {
            return (own, false);
        }
    }
    let hull: Vec<Point> = hull_of(ring).into_iter().map(|i| ring[i]).collect();
    (slabs(&hull), true)
}

/// The right side at each height from 0 to `height`.
fn profile(slabs: &[Slab], height: f64) -> Vec<f64> {
    let mut right = Vec::new();
    let mut y = 0.0;
    while y <= height {
        let slab = slabs.iter().find(|slab| slab.from <= y && y <= slab.to);
        let at = |slab: &Slab| {
            let ends = slab.spans.iter().map(|s| s.at(y - slab.from).1);
            ends.fold(f64::NEG_INFINITY, f64::max)
        };
        right.push(slab.map_or(0.0, at));
        y += PROFILE_MM;
    }
    right
}

/// The polygon between each two neighbouring heights of its corners, by the non-zero rule.
fn slabs(ring: &[Point]) -> Vec<Slab> {
    let n = ring.len();
    let mut heights: Vec<f64> = ring.iter().map(|p| p.y).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| *a - *b <= 1e-9);
    let mut slabs = Vec::with_capacity(heights.len());
    for pair in heights.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let mid = 0.5 * (from + to);
        let mut sides: Vec<(f64, f64, f64, i32)> = Vec::new();
        for i in 0..n {
            let (p, q) = (ring[i], ring[(i + 1) % n]);
            let (lower, upper) = if p.y <= q.y { (p, q) } else { (q, p) };
            if lower.y < mid && upper.y > mid {
                let at = |y: f64| {
                    let t = ((y - lower.y) / (upper.y - lower.y)).clamp(0.0, 1.0);
                    lower.x + t * (upper.x - lower.x)
                };
                sides.push((at(mid), at(from), at(to), if p.y < q.y { 1 } else { -1 }));
            }
        }
        sides.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut spans: Vec<Span> = Vec::new();
        let (mut winding, mut left) = (0, (0.0, 0.0));
        for (_, low, high, orientation) in sides {
            if winding == 0 {
                left = (low, high);
            }
            winding += orientation;
            if winding == 0 {
                spans.push(Span::between((left.0, low), (left.1, high), to - from));
            }
        }
        slabs.push(Slab { from, to, spans });
    }
    slabs
}
