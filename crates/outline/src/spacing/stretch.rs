//! Stretches of a ring: cut where there is no room, divided at corners.

use kurbo::Point;

/// Room is looked at no more sparsely than this along the curve, mm.
const LOOK_MM: f64 = 0.5;

/// What a stretch ends in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// A corner.
    Corner,
    /// No room from here on.
    Cut,
    /// Itself: it is a whole ring.
    Ring,
}

/// A stretch of curve; a ring's last point is its first again.
pub(super) struct Stretch {
    pub(super) points: Vec<Point>,
    pub(super) from: End,
    pub(super) to: End,
}

impl Stretch {
    pub(super) fn length_mm(&self) -> f64 {
        self.points.windows(2).map(|w| w[0].distance(w[1])).sum()
    }

    pub(super) fn is_ring(&self) -> bool {
        self.from == End::Ring
    }
}

/// What became of a ring.
pub(super) struct CutRing {
    pub(super) stretches: Vec<Stretch>,
    pub(super) left_out_mm: f64,
}

/// A point of the ring with what is known of it.
#[derive(Clone, Copy)]
struct Mark {
    at: Point,
    corner: bool,
    room: bool,
}

pub(super) fn stretches(ring: &[Point], room: &dyn Fn(Point) -> f64, corner_rad: f64) -> CutRing {
    let marks = marks(ring, room, corner_rad);
    let whole: f64 =
        (0..marks.len()).map(|i| marks[i].at.distance(marks[(i + 1) % marks.len()].at)).sum();
    // Begin where a stretch ends, if anywhere.
    let begin = marks.iter().position(|m| !m.room).or(marks.iter().position(|m| m.corner));
    let Some(begin) = begin else {
        let mut points: Vec<Point> = marks.iter().map(|m| m.at).collect();
        points.extend(points.first().copied());
        let stretches = if points.len() > 2 {
            vec![Stretch { points, from: End::Ring, to: End::Ring }]
        } else {
            Vec::new()
        };
        return CutRing { stretches, left_out_mm: 0.0 };
    };
    let mut open: Option<Stretch> = None;
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut last = marks[begin];
    if last.room {
        open = Some(Stretch { points: vec![last.at], from: End::Corner, to: End::Cut });
    }
    for k in 1..=marks.len() {
        let mark = marks[(begin + k) % marks.len()];
        match (open.take(), mark.room) {
            (Some(mut stretch), true) => {
                stretch.points.push(mark.at);
                if mark.corner {
                    stretch.to = End::Corner;
                    stretches.push(stretch);
                    stretch = Stretch { points: vec![mark.at], from: End::Corner, to: End::Cut };
                }
                open = Some(stretch);
            }
            (Some(mut stretch), false) => {
                stretch.points.push(edge(last.at, mark.at, room));
                stretches.push(stretch);
            }
            (None, true) => {
                let mut points = vec![edge(mark.at, last.at, room)];
                points.push(mark.at);
                let mut stretch = Stretch { points, from: End::Cut, to: End::Cut };
                if mark.corner {
                    stretch.to = End::Corner;
                    stretches.push(stretch);
                    stretch = Stretch { points: vec![mark.at], from: End::Corner, to: End::Cut };
                }
                open = Some(stretch);
            }
            (None, false) => {}
        }
        last = mark;
    }
    let kept: f64 = stretches.iter().map(Stretch::length_mm).sum();
    CutRing { stretches, left_out_mm: (whole - kept).max(0.0) }
}

/// The ring's points, and so many between that no gap is longer than [`LOOK_MM`].
fn marks(ring: &[Point], room: &dyn Fn(Point) -> f64, corner_rad: f64) -> Vec<Mark> {
    let n = ring.len();
    let mut marks = Vec::with_capacity(n);
    // Room changes no faster than the point moves: near where it was last measured it is known
    // whether there is any.
    let mut measured: Option<(Point, f64)> = None;
    let mut has_room = |p: Point| {
        let (at, mm) = measured
            .filter(|(at, mm)| at.distance(p) < 0.99 * mm.abs())
            .unwrap_or_else(|| (p, room(p)));
        measured = Some((at, mm));
        mm >= 0.0
    };
    for i in 0..n {
        let (before, at, next) = (ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]);
        let turn = crate::curvature::turn(at - before, next - at);
        marks.push(Mark { at, corner: turn.abs() > corner_rad, room: has_room(at) });
        let way_mm = at.distance(next);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "lengths of a blank over half a millimetre"
        )]
        let parts = (way_mm / LOOK_MM).ceil().clamp(1.0, 1e6) as u32;
        for k in 1..parts {
            let at = at.lerp(next, f64::from(k) / f64::from(parts));
            marks.push(Mark { at, corner: false, room: has_room(at) });
        }
    }
    marks
}

/// The last point with room on the way from one with to one without.
fn edge(with: Point, without: Point, room: &dyn Fn(Point) -> f64) -> Point {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..50 {
        let mid = 0.5 * (low + high);
        if room(with.lerp(without, mid)) >= 0.0 { low = mid } else { high = mid }
    }
    with.lerp(without, low)
}
