//! A guess at tip and heel of an outline that comes without marks.

use super::ring::{signed_area, tangents};
use kurbo::{ParamCurve, PathSeg, Point, Rect, Shape, Vec2};
use outline::Outline;

/// The stretch at either end that is compared, as a share of the length.
const END_SHARE: f64 = 0.08;
/// How much of the length the blade has at the least.
const BLADE_SHARE: f64 = 0.25;
/// And at the most.
const MAX_BLADE_SHARE: f64 = 0.75;
/// A turn of more than this counts as a corner, degrees.
const CORNER_DEG: f64 = 8.0;
/// A stretch that turns inward by more than this counts as hollow, degrees.
const HOLLOW_DEG: f64 = 3.0;
/// A stretch that turns outward by more than this rounds a heel off, degrees.
const ROUND_DEG: f64 = 30.0;
/// Stretches shorter than this share of the length say nothing about direction.
const SPECK_SHARE: f64 = 1e-4;
/// How many of them in a row are passed over.
const MAX_SPECKS: usize = 8;

/// The nodes guessed to be tip and heel, by their place in the outline.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MarkGuess {
    /// The tip.
    pub tip: Option<usize>,
    /// The heel, where the edge ends.
    pub heel: Option<usize>,
}

/// Guesses the tip and the heel.
///
/// The tip is the outermost node at the end of the longer side of the outline's box where
/// the outline is narrower, measured over the last 8 % of the length; when both are as
/// narrow within a tenth, the end with the sharper corner. The heel is the first node along
/// the lower side, between a quarter and three quarters of the length from the tip, that is a corner or where
/// a hollow or a rounded corner begins; there may be none. Only outlines that lie along x have a lower side.
pub fn guess_marks(outline: &Outline) -> MarkGuess {
    let ring = Ring::of(outline);
    let Some(tip) = ring.tip() else { return MarkGuess::default() };
    MarkGuess { tip: Some(tip), heel: ring.heel(tip) }
}

struct Ring<'a> {
    segs: &'a [PathSeg],
    bounds: Rect,
    upright: bool,
    length: f64,
    /// +1 when it runs counter-clockwise, −1 when clockwise.
    sense: f64,
}

impl<'a> Ring<'a> {
    fn of(outline: &'a Outline) -> Self {
        let segs = outline.segs();
        let bounds = segs.iter().map(Shape::bounding_box).reduce(|a, b| a.union(b));
        let bounds = bounds.unwrap_or(Rect::ZERO);
        let area = signed_area(segs);
        Self {
            segs,
            bounds,
            upright: bounds.height() > bounds.width(),
            length: bounds.width().max(bounds.height()),
            sense: area.signum(),
        }
    }

    fn along(&self, p: Point) -> f64 {
        if self.upright { p.y } else { p.x }
    }

    fn across(&self, p: Point) -> f64 {
        if self.upright { p.x } else { p.y }
    }

    fn tip(&self) -> Option<usize> {
        let (low, high) = if self.upright {
            (self.bounds.y0, self.bounds.y1)
        } else {
            (self.bounds.x0, self.bounds.x1)
        };
        let reach = END_SHARE * self.length;
        let (at_low, at_high) = (self.width(low, low + reach), self.width(high - reach, high));
        let (first, last) = (self.outermost(-1.0)?, self.outermost(1.0)?);
        if (at_low - at_high).abs() <= 0.1 * at_low.max(at_high) {
            let sharper = self.turn_deg(first).abs() > self.turn_deg(last).abs();
            return Some(if sharper { first } else { last });
        }
        Some(if at_low < at_high { first } else { last })
    }

    /// The node farthest out in this sense along the length; of several the sharpest.
    fn outermost(&self, direction: f64) -> Option<usize> {
        let far = |i: usize| direction * self.along(self.segs[i].start());
        let max = (0..self.segs.len()).map(far).reduce(f64::max)?;
        (0..self.segs.len())
            .filter(|&i| far(i) >= max - 1e-3 * self.length)
            .max_by(|&a, &b| self.turn_deg(a).abs().total_cmp(&self.turn_deg(b).abs()))
    }

    /// The extent across the length of what lies between two stations.
    fn width(&self, from: f64, to: f64) -> f64 {
        let mut low = f64::INFINITY;
        let mut high = f64::NEG_INFINITY;
        for seg in self.segs {
            for i in 0..=32 {
                let p = seg.eval(f64::from(i) / 32.0);
                if (from..=to).contains(&self.along(p)) {
                    low = low.min(self.across(p));
                    high = high.max(self.across(p));
                }
            }
        }
        (high - low).max(0.0)
    }

    /// The stretch next to a node, going on (`+1`) or back (`−1`), that is long enough to
    /// have a direction, or the last one looked at.
    fn neighbour(&self, node: usize, step: isize) -> &PathSeg {
        let n = self.segs.len();
        let mut index = if step > 0 { node } else { (node + n - 1) % n };
        for _ in 0..MAX_SPECKS {
            let seg = &self.segs[index];
            let size = seg.bounding_box().size();
            if size.width.max(size.height) > SPECK_SHARE * self.length {
                break;
            }
            index = if step > 0 { (index + 1) % n } else { (index + n - 1) % n };
        }
        &self.segs[index]
    }

    /// The turn at a node as the outline runs; positive outward (a convex corner), degrees.
    fn turn_deg(&self, node: usize) -> f64 {
        let (_, arriving) = tangents(self.neighbour(node, -1));
        let (leaving, _) = tangents(self.neighbour(node, 1));
        self.sense * angle_deg(arriving, leaving)
    }

    fn heel(&self, tip: usize) -> Option<usize> {
        if self.upright || self.sense == 0.0 {
            return None;
        }
        let n = self.segs.len();
        let tip_at = self.segs[tip].start();
        let butt_side = if tip_at.x > self.bounds.center().x { -1.0 } else { 1.0 };
        // Run counter-clockwise, the lower side is passed from left to right.
        let ahead = butt_side * self.sense > 0.0;
        for step in 1..n {
            let node = if ahead { (tip + step) % n } else { (tip + n - step) % n };
            let gone = butt_side * (self.segs[node].start().x - tip_at.x);
            if gone > MAX_BLADE_SHARE * self.length {
                return None;
            }
            if gone >= BLADE_SHARE * self.length && self.ends_edge(node, ahead) {
                return Some(node);
            }
        }
        None
    }

    /// Whether the outline has a corner at the node, or turns hollow or rounds off after it.
    fn ends_edge(&self, node: usize, ahead: bool) -> bool {
        let next = self.neighbour(node, if ahead { 1 } else { -1 });
        let (start, end) = tangents(next);
        let bend = self.sense * angle_deg(start, end);
        self.turn_deg(node).abs() > CORNER_DEG || !(-HOLLOW_DEG..=ROUND_DEG).contains(&bend)
    }
}

fn angle_deg(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to)).to_degrees()
}
