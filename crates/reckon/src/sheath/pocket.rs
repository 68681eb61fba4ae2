//! The pocket: what of the plane the knife takes up in the closed sheath, and everything at a
//! distance from it.

use super::SheathError;
use super::lay::KnifeInSheath;
use super::run;
use knife::Sheath;
use kurbo::Point;
use outline::{Outline, simplify_polyline};

/// The outline is sampled so finely along the sheath, mm.
const STEP_MM: f64 = 0.1;
/// No more samples than this.
const MAX_STEPS: f64 = 6_000.0;
/// Sides that turn by less than this far are one, mm.
const SAME_MM: f64 = 0.002;

/// The room of the knife in its sheath.
pub(super) struct Pocket {
    /// Its outline; at the mouth it goes on straight.
    region: Outline,
    folded: bool,
    mouth_mm: f64,
    pub tip: Point,
    /// Stations with the lowest and the highest place of the pocket there.
    envelope: Vec<(f64, f64, f64)>,
    /// By how much it is narrower somewhere than farther in, mm.
    pub catch_mm: f64,
    /// Depth inside at the mouth, and of what has to pass it, mm.
    pub mouth_depth_mm: (f64, f64),
}

impl Pocket {
    pub(super) fn of(laid: &KnifeInSheath, sheath: &Sheath) -> Result<Self, SheathError> {
        let (from, to) = (laid.tip.x, laid.mouth_mm);
        let step = STEP_MM.max((to - from) / MAX_STEPS);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "in bounds")]
        let steps = ((to - from) / step).ceil() as usize;
        let station = |i: usize| from + (to - from) * i as f64 / steps as f64;
        let spans = spans(&laid.ring, (from, to), steps);
        let mut envelope = Vec::with_capacity(spans.len());
        let (mut low_most, mut high_most) = (f64::MAX, f64::MIN);
        let mut catch_mm = 0.0_f64;
        for (i, (low, high)) in spans.into_iter().enumerate() {
            (low_most, high_most) = (low_most.min(low), high_most.max(high));
            let catch =
                if sheath.folded { low - low_most } else { (low - low_most).max(high_most - high) };
            catch_mm = catch_mm.max(catch);
            let top = |high: f64| if sheath.folded { 0.0 } else { high };
            envelope.push(if sheath.close_fit {
                (station(i), low, top(high))
            } else {
                (station(i), low_most, top(high_most))
            });
        }
        let &(_, low, high) = envelope.last().ok_or(SheathError::NoRoom)?;
        let widest = high_most.min(if sheath.folded { 0.0 } else { f64::MAX }) - low_most;
        let mut pocket = Self {
            region: region(&envelope, to + 2.0 * sheath.rim_mm() + 10.0)?,
            folded: sheath.folded,
            mouth_mm: to,
            tip: laid.tip,
            envelope,
            catch_mm: if sheath.close_fit { catch_mm } else { 0.0 },
            mouth_depth_mm: (high - low, widest),
        };
        // Above the fold there is nothing: the line touches the spine from above.
        pocket.tip.y = pocket.tip.y.min(if sheath.folded { 0.0 } else { f64::MAX });
        Ok(pocket)
    }

    /// The lowest and the highest place of the pocket at a station.
    pub(super) fn span_at(&self, x: f64) -> (f64, f64) {
        let (Some(first), Some(last)) = (self.envelope.first(), self.envelope.last()) else {
            return (0.0, 0.0);
        };
        let i = self.envelope.partition_point(|(at, _, _)| *at <= x);
        if i == 0 {
            return (first.1, first.2);
        }
        let Some(&(x1, low1, high1)) = self.envelope.get(i) else { return (last.1, last.2) };
        let (x0, low0, high0) = self.envelope[i - 1];
        let share = (x - x0) / (x1 - x0);
        (low0 + share * (low1 - low0), high0 + share * (high1 - high0))
    }

    /// The line at a distance from the pocket, open at the mouth: from the tip's end of the fold
    /// (where nothing is folded, from the mouth's end at the spine) to the mouth's end at the
    /// edge. It ends so far before the mouth and the fold.
    pub(super) fn run(&self, off_mm: f64, before_mm: f64) -> Option<Vec<Point>> {
        let rings = self.region.offset(off_mm);
        let inside = |p: Point| {
            let mouth = self.mouth_mm - before_mm - p.x;
            if self.folded { mouth.min(-before_mm - p.y) } else { mouth }
        };
        let ring: Vec<Point> = rings.first()?.nodes().collect();
        let mut run = run::longest_inside(&ring, &inside)?;
        let (first, last) = (*run.first()?, *run.last()?);
        // The end at the mouth on the edge's side comes last.
        if (first.x > last.x + 1e-6 && self.folded) || (!self.folded && first.y < last.y) {
            run.reverse();
        }
        Some(run)
    }
}

/// The lowest and the highest place of a ring at evenly spaced stations. Whatever lies between two
/// of them counts at both.
fn spans(ring: &[Point], (from, to): (f64, f64), steps: usize) -> Vec<(f64, f64)> {
    let mut spans = vec![(f64::MAX, f64::MIN); steps + 1];
    let at = |x: f64| ((x - from) / (to - from)).clamp(0.0, 1.0) * steps as f64;
    let mut add = |i: usize, y: f64| {
        if let Some(span) = spans.get_mut(i) {
            *span = (span.0.min(y), span.1.max(y));
        }
    };
    for (i, a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let (left, right) = if a.x <= b.x { (*a, b) } else { (b, *a) };
        if left.x > to {
            continue;
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "in bounds")]
        let (first, last) = (at(left.x).floor() as usize, at(right.x).ceil() as usize);
        for k in first..=last {
            let x = (from + (to - from) * k as f64 / steps as f64).clamp(left.x, right.x.min(to));
            let y = if left.x < right.x {
                left.lerp(right, (x - left.x) / (right.x - left.x)).y
            } else {
                left.y
            };
            add(k, y);
        }
        // An end between two stations counts at both.
        add(first, left.y);
        add((first + 1).min(last), left.y);
        if right.x <= to {
            add(last, right.y);
            add(last.saturating_sub(1).max(first), right.y);
        }
    }
    spans
}

/// The pocket's outline, run on straight past the mouth.
fn region(envelope: &[(f64, f64, f64)], end_mm: f64) -> Result<Outline, SheathError> {
    let low: Vec<Point> = envelope.iter().map(|(x, low, _)| Point::new(*x, *low)).collect();
    let high: Vec<Point> = envelope.iter().map(|(x, _, high)| Point::new(*x, *high)).collect();
    let mut ring = simplify_polyline(&low, SAME_MM);
    let last = *low.last().ok_or(SheathError::NoRoom)?;
    ring.push(Point::new(end_mm, last.y));
    let last = *high.last().ok_or(SheathError::NoRoom)?;
    ring.push(Point::new(end_mm, last.y));
    ring.extend(simplify_polyline(&high, SAME_MM).into_iter().rev());
    super::polygon(ring).ok_or(SheathError::NoRoom)
}
