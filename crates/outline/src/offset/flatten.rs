//! Cuts segments into chords fine enough for their offset, with the true normals at the ends.

use i_overlay::i_float::int::point::IntPoint;
use kurbo::{CubicBez, ParamCurve, ParamCurveDeriv, PathSeg, Point, Vec2};

/// Chords are no shorter than this part of the tolerance: strips far longer than wide would
/// be lost in the rounding to the grid.
const SHORTEST: f64 = 1.0 / 16.0;
/// The finest a piece of a cubic is cut, as repeated cutting.
const DEEPEST: u32 = 14;
/// The most parts a piece is cut into at once.
const MOST_PARTS: f64 = 32.0;
/// The largest value of `t·(1-t)²` on 0..1: how far a curve leaves its chord, for each unit
/// that the tangent at one end leads away from it (cubic Hermite form).
const HERMITE_PEAK: f64 = 4.0 / 27.0;

/// A short straight piece of the source, in grid steps, with the source's unit normals
/// (to the right of the way along) at both ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chord {
    pub(super) a: Point,
    pub(super) b: Point,
    pub(super) na: Vec2,
    pub(super) nb: Vec2,
}

impl Chord {
    /// A straight piece; its ends must differ.
    pub(super) fn straight(a: Point, b: Point) -> Self {
        let n = right_of((b - a).normalize());
        Self { a, b, na: n, nb: n }
    }

    /// The sides of a polygon on the grid.
    pub(super) fn polygon(ring: &[IntPoint<i32>]) -> Vec<Self> {
        let at = |i: usize| {
            let p = ring[i % ring.len()];
            Point::new(f64::from(p.x), f64::from(p.y))
        };
        (0..ring.len())
            .filter(|&i| at(i) != at(i + 1))
            .map(|i| Self::straight(at(i), at(i + 1)))
            .collect()
    }
}

pub(super) fn right_of(v: Vec2) -> Vec2 {
    Vec2::new(v.y, -v.x)
}

/// Cuts a run of segments into chords so that the curve at `distance` to the right of the run
/// stays within `tolerance` of the straight lines between the chords' offset ends. All in grid
/// steps; pieces shorter than a sixteenth of the tolerance are merged into their neighbours.
pub(super) fn chords_along(segs: &[PathSeg], distance: f64, tolerance: f64) -> Vec<Chord> {
    let shortest = (tolerance * SHORTEST).max(1.0);
    let mut cutter = Cutter {
        distance,
        // What the merging of short pieces may cost is taken off beforehand.
        tolerance: tolerance * (1.0 - SHORTEST),
        shortest2: shortest * shortest,
        chords: Vec::with_capacity(segs.len() * 8),
    };
    for seg in segs {
        match seg {
            PathSeg::Line(l) => cutter.line(l.p0, l.p1),
            _ => cutter.cubic(&seg.to_cubic()),
        }
    }
    if cutter.chords.len() > 1 && segs.first().map(PathSeg::start) == segs.last().map(PathSeg::end)
    {
        cutter.close();
    }
    cutter.chords
}

/// A point of a cubic: parameter, place, unit tangent, and place on the offset curve.
#[derive(Clone, Copy)]
struct Station {
    t: f64,
    p: Point,
    tangent: Vec2,
    q: Point,
}

struct Cutter {
    distance: f64,
    tolerance: f64,
    /// Square of the shortest length of a chord.
    shortest2: f64,
    chords: Vec<Chord>,
}

impl Cutter {
    /// Adds a chord from where the last one ended, unless it would be too short.
    fn push(&mut self, a: Point, b: Point, normals: Option<(Vec2, Vec2)>) {
        let a = self.chords.last().map_or(a, |c| c.b);
        if a.distance_squared(b) < self.shortest2 {
            return;
        }
        self.chords.push(match normals {
            Some((na, nb)) => Chord { a, b, na, nb },
            None => Chord::straight(a, b),
        });
    }

    /// Makes the last chord end where the first begins.
    fn close(&mut self) {
        let Some(start) = self.chords.first().map(|c| c.a) else { return };
        while self.chords.last().is_some_and(|c| c.a.distance_squared(start) < self.shortest2) {
            self.chords.pop();
        }
        if let Some(last) = self.chords.last_mut() {
            last.b = start;
        }
    }

    fn line(&mut self, a: Point, b: Point) {
        self.push(a, b, None);
    }

    fn cubic(&mut self, c: &CubicBez) {
        if c.p1 == c.p0 && c.p2 == c.p3 {
            return self.line(c.p0, c.p3);
        }
        let (start, end) = (self.station(c, 0.0), self.station(c, 1.0));
        self.piece(c, start, end, 0);
    }

    fn station(&self, c: &CubicBez, t: f64) -> Station {
        let p = c.eval(t);
        let tangent = tangent_at(c, t);
        Station { t, p, tangent, q: p + right_of(tangent) * self.distance }
    }

    fn piece(&mut self, c: &CubicBez, from: Station, to: Station, depth: u32) {
        let mut excess = self.guess(&from, &to) / self.tolerance;
        // The ends alone can be fooled by a piece that is long for its bends: look inside.
        if excess <= 1.0 && depth < DEEPEST {
            let middle = self.station(c, (from.t + to.t) / 2.0);
            excess =
                self.guess(&from, &middle).max(self.guess(&middle, &to)) / self.tolerance * 4.0;
            excess = excess.max(line_distance(middle.q, from.q, to.q) / self.tolerance);
            if excess <= 1.5 {
                excess = 1.0;
            }
        }
        let tiny = from.p.distance_squared(to.p) < self.shortest2 && to.t - from.t < 0.02;
        if excess <= 1.0 || depth >= DEEPEST || tiny {
            let normals = (right_of(from.tangent), right_of(to.tangent));
            self.push(from.p, to.p, Some(normals));
            return;
        }
        let parts = excess.sqrt().ceil().clamp(2.0, MOST_PARTS);
        let mut before = from;
        let mut i = 1.0;
        while i < parts {
            let next = self.station(c, from.t + (to.t - from.t) * i / parts);
            self.piece(c, before, next, depth + 1);
            before = next;
            i += 1.0;
        }
        self.piece(c, before, to, depth + 1);
    }

    /// How far a piece may stray from its chords, judged by its ends; scaled so that it is to
    /// be held against the tolerance.
    fn guess(&self, from: &Station, to: &Station) -> f64 {
        let (source, source_run) = stray(from.p, to.p, from.tangent, to.tangent);
        let (offset, offset_run) = stray(from.q, to.q, from.tangent, to.tangent);
        match (source_run, offset_run) {
            (Run::Along, Run::Along) => offset.max(source),
            // Past its centres of curvature the offset curve runs backwards; nothing of it
            // is seen there, but the chord itself must be right.
            (Run::Along, Run::Back) => source,
            (Run::Along, Run::Turning) => source.max(offset),
            _ => source.max(offset) * 4.0,
        }
    }
}

/// Which way a piece runs against its tangents.
#[derive(Clone, Copy, PartialEq)]
enum Run {
    Along,
    Back,
    Turning,
}

/// How far the curve between two points strays from the straight line, by its end tangents.
fn stray(a: Point, b: Point, ta: Vec2, tb: Vec2) -> (f64, Run) {
    let chord = b - a;
    let (da, db) = (ta.dot(chord), tb.dot(chord));
    let (ha, hb) = (ta.cross(chord), -tb.cross(chord));
    if da > 0.0 && db > 0.0 {
        // Both tangents lead to one side: an arc, less than the sum of the two peaks.
        let peak = if ha * hb > 0.0 {
            (ha.abs() + hb.abs()) / 8.0
        } else {
            ha.abs().max(hb.abs()) * HERMITE_PEAK
        };
        let steep = chord.hypot() / da.min(db);
        return (peak * steep, Run::Along);
    }
    let run = if da < 0.0 && db < 0.0 { Run::Back } else { Run::Turning };
    (chord.hypot() / 2.0, run)
}

fn line_distance(p: Point, a: Point, b: Point) -> f64 {
    let chord = b - a;
    let length = chord.hypot();
    if length > 0.0 { chord.cross(p - a).abs() / length } else { p.distance(a) }
}

/// The unit tangent, also where handles of no length leave no derivative.
pub(super) fn tangent_at(c: &CubicBez, t: f64) -> Vec2 {
    let size = (c.p1 - c.p0).hypot2().max((c.p2 - c.p1).hypot2()).max((c.p3 - c.p2).hypot2());
    let derivative = c.deriv().eval(t).to_vec2();
    if derivative.hypot2() > 1e-18 * size {
        return derivative.normalize();
    }
    let ways = if t < 0.5 {
        [c.p1 - c.p0, c.p2 - c.p0, c.p3 - c.p0]
    } else {
        [c.p3 - c.p2, c.p3 - c.p1, c.p3 - c.p0]
    };
    let way = ways.into_iter().find(|w| w.hypot2() > 1e-18 * size);
    way.map_or(Vec2::new(1.0, 0.0), Vec2::normalize)
}
