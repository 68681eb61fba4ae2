//! The outline cut into arcs that bend one way, with the turning between them.

use super::Hit;
use crate::curvature::{bend_coefficients, turn};
use crate::nearest::{Nearest, nearest_on};
use crate::outline::Outline;
use crate::roots::each_root;
use crate::segment::{self, cubic};
use crate::tolerance::{LOOP_MM, TOUCH_MM, tiny_mm};
use kurbo::{CubicBez, ParamCurve, PathSeg, Point, Rect, Vec2};
use std::f64::consts::PI;

/// A joint that turns back by all but this angle may be a spike, in radians.
pub(super) const SPIKE_RAD: f64 = 1e-3;

/// A part of a segment that bends one way, by no more than a right angle.
pub(super) struct Arc {
    pub(super) segment: usize,
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) curve: CubicBez,
    pub(super) bounds: Rect,
    pub(super) leave: Vec2,
    pub(super) arrive: Vec2,
    /// How far it turns, without sign, in radians.
    turn_rad: f64,
    /// Turn of the joint at its start, without sign.
    corner_rad: f64,
    length_mm: f64,
}

/// What holds a whole arc, small enough to ask millions of pairs: its chord, and how far the arc may
/// lie off it. An arc that bends one way by no more than a right angle lies along its chord, between
/// its ends.
#[derive(Clone, Copy)]
struct Strip {
    ends: [Point; 2],
    /// Across the chord, of length one; of no length where the chord has none.
    normal: Vec2,
    off_mm: f64,
}

impl Strip {
    fn new(curve: &CubicBez) -> Self {
        let normal = (curve.p3 - curve.p0).turn_90();
        let length = normal.hypot();
        let normal = if length > f64::MIN_POSITIVE { normal / length } else { Vec2::ZERO };
        Self { ends: [curve.p0, curve.p3], normal, off_mm: bow(curve) }
    }

    /// Whether the other lies more than touching distance to one side of this chord's strip.
    fn clears(&self, other: &Self) -> bool {
        let [p, q] = other.ends.map(|end| self.normal.dot(end - self.ends[0]));
        let reach = self.off_mm + other.off_mm + TOUCH_MM;
        p.min(q) > reach || p.max(q) < -reach
    }
}

/// How far a cubic's control points lie off its chord: it misses the chord by no more.
pub(super) fn bow(c: &CubicBez) -> f64 {
    let chord = c.p3 - c.p0;
    let (u, v) = (c.p1 - c.p0, c.p2 - c.p0);
    let length = chord.hypot();
    if length <= f64::MIN_POSITIVE {
        return u.hypot().max(v.hypot());
    }
    (chord.cross(u).abs().max(chord.cross(v).abs())) / length
}

/// All arcs in order, with sums of turning and length before each.
pub(super) struct Arcs {
    pub(super) all: Vec<Arc>,
    strips: Vec<Strip>,
    cumulative_turn: Vec<f64>,
    cumulative_length: Vec<f64>,
}

impl Arcs {
    pub(super) fn new(outline: &Outline) -> Self {
        let mut all: Vec<Arc> = Vec::with_capacity(2 * outline.segs().len());
        for (segment, seg) in outline.segs().iter().enumerate() {
            cut(segment, seg, &mut all);
        }
        for k in 0..all.len() {
            let before = all[(k + all.len() - 1) % all.len()].arrive;
            all[k].corner_rad = turn(before, all[k].leave).abs();
        }
        let (mut turned, mut gone) = (vec![0.0], vec![0.0]);
        let (mut angle, mut delta) = (0.0, 0.0);
        for arc in &all {
            angle += arc.corner_rad + arc.turn_rad;
            delta += arc.length_mm;
            turned.push(angle);
            gone.push(delta);
        }
        let strips = all.iter().map(|arc| Strip::new(&arc.curve)).collect();
        Self { all, strips, cumulative_turn: turned, cumulative_length: gone }
    }

    /// Whether two arcs are more than touching distance apart by the strips along their chords:
    /// most of those whose boxes overlap are, and nothing else needs to be looked at.
    pub(super) fn clearly_apart(&self, i: usize, j: usize) -> bool {
        let (a, b) = (&self.strips[i], &self.strips[j]);
        a.clears(b) || b.clears(a)
    }

    /// Length once round (along the control points: no less than the true length).
    pub(super) fn length_mm(&self) -> f64 {
        self.cumulative_length[self.all.len()]
    }

    /// Turning from the end of arc `i` forward to the start of arc `j`, joints included.
    pub(super) fn turn_between(&self, i: usize, j: usize) -> f64 {
        let joint = self.all[j].corner_rad;
        if i < j {
            self.cumulative_turn[j] - self.cumulative_turn[i + 1] + joint
        } else {
            self.cumulative_turn[self.all.len()] - self.cumulative_turn[i + 1]
                + self.cumulative_turn[j]
                + joint
        }
    }

    /// Length from the end of arc `i` forward to the start of arc `j`.
    pub(super) fn length_between(&self, i: usize, j: usize) -> f64 {
        if i < j {
            self.cumulative_length[j] - self.cumulative_length[i + 1]
        } else {
            self.length_mm() - self.cumulative_length[i + 1] + self.cumulative_length[j]
        }
    }

    /// Turning of a whole arc.
    pub(super) fn turn_of(&self, i: usize) -> f64 {
        self.all[i].turn_rad
    }

    /// A hit between two arcs at parameters of their own curves.
    pub(super) fn hit(&self, at: Point, i: usize, u: f64, j: usize, v: f64) -> Hit {
        let place = |arc: &Arc, u: f64| (arc.segment, arc.from + u * (arc.to - arc.from));
        Hit {
            at,
            a: place(&self.all[i], u),
            b: place(&self.all[j], v),
            along_a: self.cumulative_length[i] + self.run(i, u),
            along_b: self.cumulative_length[j] + self.run(j, v),
        }
    }

    /// Roughly the length of arc `i` up to its parameter `u`.
    pub(super) fn run(&self, i: usize, u: f64) -> f64 {
        part_length_mm(&self.all[i].curve, 0.0, u)
    }

    /// Roughly the length of arc `i` from its parameter `u` on.
    pub(super) fn rest(&self, i: usize, u: f64) -> f64 {
        part_length_mm(&self.all[i].curve, u, 1.0)
    }

    /// Joints at which the outline turns straight back over itself.
    pub(super) fn spikes(&self) -> Vec<Hit> {
        let count = self.all.len();
        let mut found = vec![];
        for k in 0..count {
            let before = (k + count - 1) % count;
            if before != k && self.all[k].corner_rad >= PI - SPIKE_RAD && self.retraced(before, k) {
                let mut hit = self.hit(self.all[k].curve.p0, before, 1.0, k, 0.0);
                if before > k {
                    (hit.a, hit.b) = (hit.b, hit.a);
                    (hit.along_a, hit.along_b) = (hit.along_b, hit.along_a);
                }
                found.push(hit);
            }
        }
        found
    }

    /// Whether the shorter of two arcs lies on the other.
    fn retraced(&self, i: usize, j: usize) -> bool {
        let (a, b) = (&self.all[i], &self.all[j]);
        let (short, long) = if a.length_mm <= b.length_mm { (a, b) } else { (b, a) };
        short.length_mm > LOOP_MM
            && [0.25, 0.5, 0.75].iter().all(|t| {
                let p = short.curve.eval(*t);
                let far = Nearest { at: p, distance_mm: f64::INFINITY, segment: 0, t: 0.0 };
                let mut near = far;
                nearest_on(&PathSeg::Cubic(long.curve), 0, p, &mut near);
                near.distance_mm <= TOUCH_MM
            })
    }
}

/// Length of a part of a curve along its control points.
fn part_length_mm(curve: &CubicBez, from: f64, to: f64) -> f64 {
    let whole = from <= 0.0 && to >= 1.0;
    let part = if whole { *curve } else { curve.subsegment(from..to) };
    segment::control_length_mm(&PathSeg::Cubic(part))
}

/// Cuts a segment where its bend changes sense and where it runs along x or y.
fn cut(segment: usize, seg: &PathSeg, all: &mut Vec<Arc>) {
    let c = cubic(seg);
    let mut cuts = vec![0.0];
    if let PathSeg::Cubic(_) = seg {
        let (a, b, d) = (c.p1 - c.p0, c.p2 - c.p1, c.p3 - c.p2);
        let mut add = |t: f64| cuts.push(t);
        each_root(bend_coefficients(&c), &mut add);
        each_root([a.x, b.x, d.x], &mut add);
        each_root([a.y, b.y, d.y], &mut add);
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|t, kept| *t - *kept < 1e-7);
        if cuts.len() > 1 {
            cuts.retain(|t| *t < 1.0 - 1e-7);
        }
    }
    cuts.push(1.0);
    for ends in cuts.windows(2) {
        let whole = ends[0] == 0.0 && ends[1] == 1.0;
        let curve = if whole { c } else { c.subsegment(ends[0]..ends[1]) };
        let (Some(leave), Some(arrive)) =
            (segment::start_direction(&curve), segment::end_direction(&curve))
        else {
            continue;
        };
        let bounds = segment::control_box(&PathSeg::Cubic(curve));
        let length_mm = segment::control_length_mm(&PathSeg::Cubic(curve));
        if length_mm <= tiny_mm(bounds.x0.abs().max(bounds.y1.abs())) {
            continue;
        }
        all.push(Arc {
            segment,
            from: ends[0],
            to: ends[1],
            curve,
            bounds,
            leave,
            arrive,
            turn_rad: turn(leave, arrive).abs(),
            corner_rad: 0.0,
            length_mm,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn place() -> impl Strategy<Value = Point> {
        (-9.0..9.0, -9.0..9.0).prop_map(Point::from)
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..Default::default() })]

        /// Loops, cusps and bends of any kind, by places along them: none lies off its own strip, and
        /// none of two arcs told apart lies on the wrong side.
        #[test]
        fn arcs_stay_in_their_strips(at in prop::collection::vec(place(), 12)) {
            let seg = |i: usize| {
                let next = at[(3 * i + 3) % 12];
                PathSeg::Cubic(CubicBez::new(at[3 * i], at[3 * i + 1], at[3 * i + 2], next))
            };
            let arcs = Arcs::new(&Outline::new((0..4).map(seg).collect()).unwrap());
            let along = |i: usize| (0..=40).map(move |k| f64::from(k) / 40.0).map(move |t| (i, t));
            for i in 0..arcs.all.len() {
                let strip = &arcs.strips[i];
                for (_, t) in along(i) {
                    let from = arcs.all[i].curve.eval(t) - strip.ends[0];
                    let chord = strip.ends[1] - strip.ends[0];
                    prop_assert!(strip.normal.dot(from).abs() <= strip.off_mm + 1e-9);
                    prop_assert!((-1e-9..=chord.hypot2() + 1e-9).contains(&chord.dot(from)));
                }
                for j in (i + 1..arcs.all.len()).filter(|j| arcs.clearly_apart(i, *j)) {
                    for ((_, u), (_, v)) in along(i).flat_map(|u| along(j).map(move |v| (u, v))) {
                        let gap = arcs.all[i].curve.eval(u).distance(arcs.all[j].curve.eval(v));
                        prop_assert!(gap > TOUCH_MM, "{i} at {u} and {j} at {v}: {gap}");
                    }
                }
            }
        }
    }

    /// All but a few of the pairs whose boxes overlap are told apart by their strips.
    #[test]
    fn spokes_are_told_apart() {
        let spoke = |k: usize| {
            let (far, turn) = (if k.is_multiple_of(2) { 3.0 } else { 10.0 }, k as f64 * PI / 50.0);
            Point::new(far * turn.cos(), far * turn.sin())
        };
        let line = |k| PathSeg::Line(kurbo::Line::new(spoke(k), spoke((k + 1) % 100)));
        let arcs = Arcs::new(&Outline::new((0..100).map(line).collect()).unwrap());
        let pairs = (0..100).flat_map(|i| (i + 1..100).map(move |j| (i, j)));
        let near = pairs.filter(|(i, j)| !arcs.clearly_apart(*i, *j)).count();
        // Each touches the next, and is beside one or two more.
        assert!((100..=300).contains(&near), "{near}");
    }
}
