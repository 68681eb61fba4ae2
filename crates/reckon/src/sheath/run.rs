//! Open runs of points: their length, places along them, parts inside something.

use kurbo::Point;

/// The longest run of a ring's points where a signed distance isn't negative, cut where it is 0.
pub(super) fn longest_inside(ring: &[Point], inside: &dyn Fn(Point) -> f64) -> Option<Vec<Point>> {
    let count = ring.len();
    let signs: Vec<f64> = ring.iter().map(|p| inside(*p)).collect();
    let start = (0..count).find(|i| signs[*i] < 0.0)?;
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut run: Vec<Point> = Vec::new();
    for k in 0..count {
        let (i, j) = ((start + k) % count, (start + k + 1) % count);
        let (a, b) = (signs[i], signs[j]);
        let cut = || {
            // Between two lines that bound it the distance isn't linear: halve.
            let (mut from, mut to) = (0.0, 1.0);
            for _ in 0..48 {
                let middle = f64::midpoint(from, to);
                let same = (inside(ring[i].lerp(ring[j], middle)) < 0.0) == (a < 0.0);
                if same { from = middle } else { to = middle }
            }
            ring[i].lerp(ring[j], if a < 0.0 { to } else { from })
        };
        if a < 0.0 && b >= 0.0 {
            run = vec![cut()];
        }
        if b >= 0.0 {
            run.push(ring[j]);
        } else if a >= 0.0 {
            run.push(cut());
            runs.push(std::mem::take(&mut run));
        }
    }
    let mut longest = runs.into_iter().max_by(|a, b| length(a).total_cmp(&length(b)))?;
    longest.dedup_by(|a, b| a.distance(*b) < 1e-9);
    (longest.len() > 1).then_some(longest)
}

/// Length of a run, mm.
pub(super) fn length(run: &[Point]) -> f64 {
    run.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

/// The place so far along a run, mm.
pub(super) fn at(run: &[Point], along_mm: f64) -> Point {
    let mut left = along_mm;
    for pair in run.windows(2) {
        let side = pair[0].distance(pair[1]);
        if left <= side && side > 0.0 {
            return pair[0].lerp(pair[1], left.max(0.0) / side);
        }
        left -= side;
    }
    run.last().copied().unwrap_or_default()
}

/// No run is divided into more sides than about this.
const MAX_SIDES: f64 = 4_000.0;

/// The same run with no side longer than this, mm.
pub(super) fn fine(run: &[Point], longest_mm: f64) -> Vec<Point> {
    let longest_mm = longest_mm.max(length(run) / MAX_SIDES);
    let mut points: Vec<Point> = run.first().copied().into_iter().collect();
    for pair in run.windows(2) {
        let steps = (pair[0].distance(pair[1]) / longest_mm).ceil().clamp(1.0, MAX_SIDES);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "in bounds")]
        let count = steps as usize;
        points.extend((1..=count).map(|i| pair[0].lerp(pair[1], i as f64 / steps)));
    }
    points
}
