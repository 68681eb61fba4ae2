//! From stretches of path to closed rings: joining, closing, and dropping what has no length.

use super::walk::PathPiece;
use kurbo::{
    BezPath, Circle, CubicBez, Line, ParamCurve, ParamCurveArea, PathSeg, Point, Rect, Shape, Vec2,
};
use std::collections::{HashMap, HashSet};

/// Segments shorter than this, handles and all, are no segments, mm.
const NOTHING_MM: f64 = 1e-9;
/// A stretch as small as so many gaps is not closed onto itself.
const SPECK_GAPS: f64 = 2.0;
/// How many ends at one place are weighed against each other.
const MAX_RIVALS: usize = 32;

/// A closed ring.
#[derive(Clone, Debug)]
pub(super) struct Ring {
    /// Its segments; the last ends where the first starts.
    pub(super) segs: Vec<PathSeg>,
    /// The circle it is, when the drawing says so.
    pub(super) circle: Option<Circle>,
    /// The area it encloses, without sign, mm².
    pub(super) area_mm2: f64,
    /// Its box.
    pub(super) bounds: Rect,
    /// From how many stretches it was joined.
    pub(super) pieces: usize,
    /// The widest gap closed, and where.
    pub(super) gap: Option<(f64, Point)>,
}

/// A run of segments that does not close.
#[derive(Clone, Debug)]
pub(super) struct OpenPath {
    /// Its segments.
    pub(super) segs: Vec<PathSeg>,
    /// Its box.
    pub(super) bounds: Rect,
    pieces: usize,
    gap: Option<(f64, Point)>,
}

impl OpenPath {
    /// Where it starts.
    pub(super) fn start(&self) -> Point {
        self.segs[0].start()
    }

    /// Where it ends.
    pub(super) fn end(&self) -> Point {
        self.segs[self.segs.len() - 1].end()
    }

    fn reverse(&mut self) {
        self.segs.reverse();
        for seg in &mut self.segs {
            *seg = seg.reverse();
        }
    }

    /// Appends another run that starts near the end of this one.
    fn append(&mut self, mut next: Self) {
        let end = self.end();
        let gap = end.distance(next.start());
        if gap > NOTHING_MM {
            widen(&mut self.gap, (gap, end));
        }
        if let Some(gap) = next.gap {
            widen(&mut self.gap, gap);
        }
        set_start(&mut next.segs[0], end);
        self.bounds = self.bounds.union(next.bounds);
        self.segs.append(&mut next.segs);
        self.pieces += next.pieces;
    }

    /// Whether its ends are to be made to meet each other.
    fn closes(&self, gap_mm: f64) -> bool {
        let is_speck = self.bounds.width().max(self.bounds.height()) <= SPECK_GAPS * gap_mm;
        self.start().distance(self.end()) <= gap_mm && !is_speck
    }
}

/// Sorts stretches into rings and runs that stay open, each in the order of the drawing. Ends no
/// farther apart than the gap are made to meet.
pub(super) fn rings(pieces: Vec<PathPiece>, gap_mm: f64) -> (Vec<Ring>, Vec<OpenPath>) {
    let mut rings = Vec::new();
    let mut runs = Vec::new();
    let mut seen = HashSet::new();
    for piece in pieces {
        let segs = tidied(piece.segs);
        if segs.is_empty() {
            continue;
        }
        let run = OpenPath { bounds: bounds(&segs), segs, pieces: 1, gap: None };
        if piece.closed {
            rings.push(ring(run, piece.circle));
        } else if run.closes(gap_mm) {
            rings.push(ring(run, None));
        } else if seen.insert(fingerprint(&run.segs)) {
            runs.push(run);
        }
    }
    let (joined, open) = join(runs, gap_mm);
    rings.extend(joined);
    (rings, open)
}

/// Drops segments without length; those kept start where the one before ended.
fn tidied(segs: Vec<PathSeg>) -> Vec<PathSeg> {
    let mut kept: Vec<PathSeg> = Vec::with_capacity(segs.len());
    for mut seg in segs {
        if let Some(last) = kept.last() {
            set_start(&mut seg, last.end());
        }
        let start = seg.start();
        if points(&seg).any(|p| p.distance(start) >= NOTHING_MM) {
            kept.push(seg);
        }
    }
    kept
}

fn ring(mut run: OpenPath, circle: Option<Circle>) -> Ring {
    let (start, end) = (run.start(), run.end());
    let gap = start.distance(end);
    if gap > NOTHING_MM {
        widen(&mut run.gap, (gap, end));
    }
    let last = run.segs.len() - 1;
    set_end(&mut run.segs[last], start);
    Ring {
        area_mm2: area(&run.segs),
        bounds: run.bounds,
        segs: run.segs,
        circle,
        pieces: run.pieces,
        gap: run.gap,
    }
}

/// The area enclosed by the run and the chord from its end to its start, without sign.
pub(super) fn area(segs: &[PathSeg]) -> f64 {
    signed_area(segs).abs()
}

/// The same with its sign: positive when run counter-clockwise.
pub(super) fn signed_area(segs: &[PathSeg]) -> f64 {
    let Some(first) = segs.first() else { return 0.0 };
    let origin = first.start().to_vec2();
    let sum: f64 = segs.iter().map(|seg| shifted(seg, -origin).signed_area()).sum();
    let last = segs[segs.len() - 1].end() - origin;
    sum + Line::new(last, Point::ORIGIN).signed_area()
}

/// The box around the segments.
pub(super) fn bounds(segs: &[PathSeg]) -> Rect {
    segs.iter().map(Shape::bounding_box).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}

impl Ring {
    /// The ring as one path.
    pub(super) fn path(&self) -> BezPath {
        let mut path = BezPath::from_path_segments(self.segs.iter().copied());
        path.close_path();
        path
    }

    /// Whether all of it lies on one straight line.
    pub(super) fn is_flat(&self) -> bool {
        let a = self.segs[0].start();
        let all = || self.segs.iter().flat_map(points);
        let far = all().fold(a, |best, p| if p.distance(a) > best.distance(a) { p } else { best });
        let length = far.distance(a);
        length == 0.0 || all().all(|p| ((far - a).cross(p - a) / length).abs() < 1e-6)
    }
}

/// Joins runs end to end where they meet, and closes those that come round.
fn join(runs: Vec<OpenPath>, gap_mm: f64) -> (Vec<Ring>, Vec<OpenPath>) {
    let mut ends = Ends::of(&runs, gap_mm);
    let mut left: Vec<Option<OpenPath>> = runs.into_iter().map(Some).collect();
    let (mut rings, mut open) = (Vec::new(), Vec::new());
    for first in 0..left.len() {
        let Some(mut run) = left[first].take() else { continue };
        let mut closed = false;
        for _side in 0..2 {
            loop {
                if run.closes(gap_mm) {
                    closed = true;
                    break;
                }
                let Some((next, reversed)) = ends.next_of(&run, &left) else { break };
                let Some(mut more) = left[next].take() else { break };
                if reversed {
                    more.reverse();
                }
                run.append(more);
            }
            if closed {
                break;
            }
            run.reverse();
        }
        if closed { rings.push(ring(run, None)) } else { open.push(run) }
    }
    (rings, open)
}

/// The ends of open runs, found by place.
struct Ends {
    gap_mm: f64,
    cells: HashMap<(i64, i64), Vec<(usize, bool)>>,
}

impl Ends {
    fn of(runs: &[OpenPath], gap_mm: f64) -> Self {
        let mut cells: HashMap<_, Vec<_>> = HashMap::new();
        for (index, run) in runs.iter().enumerate() {
            cells.entry(cell(run.start(), gap_mm)).or_default().push((index, false));
            cells.entry(cell(run.end(), gap_mm)).or_default().push((index, true));
        }
        Self { gap_mm, cells }
    }

    /// The run that goes on best from the end of `run`: one that meets it exactly before one
    /// that nearly does, the straightest among equals. Also whether it must be reversed.
    fn next_of(&mut self, run: &OpenPath, left: &[Option<OpenPath>]) -> Option<(usize, bool)> {
        let at = run.end();
        let heading = heading(&run.segs[run.segs.len() - 1].reverse()) * -1.0;
        let mut best: Option<((bool, f64), (usize, bool))> = None;
        let (cx, cy) = cell(at, self.gap_mm);
        for dx in -1..=1 {
            for dy in -1..=1 {
                let key = (cx.saturating_add(dx), cy.saturating_add(dy));
                let Some(here) = self.cells.get_mut(&key) else { continue };
                let mut slot = 0;
                while slot < here.len().min(MAX_RIVALS) {
                    let (index, reversed) = here[slot];
                    let Some(other) = &left[index] else {
                        here.swap_remove(slot);
                        continue;
                    };
                    slot += 1;
                    let (start, off) = leaving(other, reversed);
                    let gap = start.distance(at);
                    if gap > self.gap_mm {
                        continue;
                    }
                    let rank = (gap > 1e-6, -heading.dot(off));
                    if best.is_none_or(|(min, _)| rank < min) {
                        best = Some((rank, (index, reversed)));
                    }
                }
            }
        }
        best.map(|(_, choice)| choice)
    }
}

/// Where a run begins and in which direction it leaves, when taken that way round.
fn leaving(run: &OpenPath, reversed: bool) -> (Point, Vec2) {
    if reversed {
        (run.end(), heading(&run.segs[run.segs.len() - 1].reverse()))
    } else {
        (run.start(), heading(&run.segs[0]))
    }
}

/// The direction in which a segment leaves its start, of length 1 (or 0).
fn heading(seg: &PathSeg) -> Vec2 {
    let (leaving, _) = tangents(seg);
    let length = leaving.hypot();
    if length > 0.0 && length.is_finite() { leaving / length } else { Vec2::ZERO }
}

fn cell(at: Point, gap_mm: f64) -> (i64, i64) {
    let side = gap_mm.max(NOTHING_MM);
    // Casting saturates, which is all that is wanted of places without meaning.
    ((at.x / side).floor() as i64, (at.y / side).floor() as i64)
}

/// The bits of a run's points, the same whichever way it runs.
fn fingerprint(segs: &[PathSeg]) -> Vec<u64> {
    let ahead: Vec<u64> = segs.iter().flat_map(points).flat_map(bits).collect();
    let back: Vec<u64> = segs
        .iter()
        .rev()
        .map(PathSeg::reverse)
        .flat_map(|seg| points(&seg).collect::<Vec<_>>())
        .flat_map(bits)
        .collect();
    ahead.min(back)
}

fn bits(p: Point) -> [u64; 2] {
    [(p.x + 0.0).to_bits(), (p.y + 0.0).to_bits()]
}

/// The defining points of a segment.
pub(super) fn points(seg: &PathSeg) -> impl Iterator<Item = Point> + use<> {
    let (all, count) = match *seg {
        PathSeg::Line(l) => ([l.p0, l.p1, l.p1, l.p1], 2),
        PathSeg::Quad(q) => ([q.p0, q.p1, q.p2, q.p2], 3),
        PathSeg::Cubic(c) => ([c.p0, c.p1, c.p2, c.p3], 4),
    };
    all.into_iter().take(count)
}

fn shifted(seg: &PathSeg, by: Vec2) -> PathSeg {
    match *seg {
        PathSeg::Line(l) => PathSeg::Line(Line::new(l.p0 + by, l.p1 + by)),
        PathSeg::Quad(q) => PathSeg::Cubic(shift_cubic(q.raise(), by)),
        PathSeg::Cubic(c) => PathSeg::Cubic(shift_cubic(c, by)),
    }
}

fn shift_cubic(c: CubicBez, by: Vec2) -> CubicBez {
    CubicBez::new(c.p0 + by, c.p1 + by, c.p2 + by, c.p3 + by)
}

fn set_start(seg: &mut PathSeg, to: Point) {
    match seg {
        PathSeg::Line(l) => l.p0 = to,
        PathSeg::Quad(q) => q.p0 = to,
        PathSeg::Cubic(c) => c.p0 = to,
    }
}

fn set_end(seg: &mut PathSeg, to: Point) {
    match seg {
        PathSeg::Line(l) => l.p1 = to,
        PathSeg::Quad(q) => q.p2 = to,
        PathSeg::Cubic(c) => c.p3 = to,
    }
}

fn widen(gap: &mut Option<(f64, Point)>, by: (f64, Point)) {
    if gap.is_none_or(|(width, _)| width < by.0) {
        *gap = Some(by);
    }
}

/// The directions at a segment's start and end; handles that lie on their nodes are passed
/// over. Zero for a segment without length.
pub(super) fn tangents(seg: &PathSeg) -> (Vec2, Vec2) {
    let all: Vec<Point> = points(seg).collect();
    let (first, last) = (all[0], all[all.len() - 1]);
    let away = |p: &&Point, from: Point| p.distance(from) > NOTHING_MM;
    let out = all.iter().find(|p| away(p, first)).map_or(Vec2::ZERO, |p| *p - first);
    let into = all.iter().rev().find(|p| away(p, last)).map_or(Vec2::ZERO, |p| last - *p);
    (out, into)
}

#[cfg(test)]
mod tests {
    use super::super::MEET_MM;
    use super::*;

    fn pieces(data: &[&str]) -> Vec<PathPiece> {
        data.iter()
            .map(|d| {
                let segs = BezPath::from_svg(d).unwrap().segments().collect();
                PathPiece { segs, closed: d.ends_with('Z'), circle: None }
            })
            .collect()
    }

    #[test]
    fn pieces_join_in_any_order_and_sense() {
        let sides = ["M0 0L9 0", "M9 5L9 0", "M0 5L0 0", "M9 5L0 5"];
        for turn in 0..4 {
            let mut turned = sides;
            turned.rotate_left(turn);
            let (rings, open) = rings(pieces(&turned), MEET_MM);
            assert_eq!((rings.len(), open.len()), (1, 0));
            assert_eq!((rings[0].pieces, rings[0].area_mm2, rings[0].gap), (4, 45.0, None));
        }
    }

    #[test]
    fn gaps_are_closed_up_to_a_hundredth_and_told() {
        let (near, _) = rings(pieces(&["M0 0L9 0L9 5L0 5", "M0 5.009L0 0"]), MEET_MM);
        assert!((near[0].gap.unwrap().0 - 0.009).abs() < 1e-12);
        let (far, open) = rings(pieces(&["M0 0L9 0L9 5L0 5", "M0 5.011L0 0"]), MEET_MM);
        assert_eq!((far.len(), open.len()), (0, 1));
    }

    #[test]
    fn what_has_no_length_goes_and_micrometres_stay() {
        let (rings, _) = rings(pieces(&["M0 0L0 0L9 0L9 1e-6L9 5C9 5 9 5 9 5L0 5Z"]), MEET_MM);
        assert_eq!(rings[0].segs.len(), 5);
        // A handle that leaves and comes back is a loop, not nothing.
        let (loops, _) = super::rings(pieces(&["M0 0L9 0C12 3 6 3 9 0L9 5L0 5Z"]), MEET_MM);
        assert_eq!(loops[0].segs.len(), 5);
    }

    #[test]
    fn at_a_branch_the_straightest_goes_on() {
        let (rings, open) = rings(
            pieces(&["M0 0L5 0", "M5 0L5 5", "M5 0L9 0", "M9 0L9 5L5 5", "M5 5L0 5L0 0"]),
            MEET_MM,
        );
        assert_eq!((rings.len(), open.len()), (1, 1));
        assert_eq!(rings[0].area_mm2, 45.0);
    }
}
