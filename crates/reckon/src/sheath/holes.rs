//! The row of stitches or eyelets: evenly spaced along its line, with a pair for a belt clip.

use super::pocket::Pocket;
use super::run;
use knife::{Sheath, SheathBody};
use kurbo::Point;

/// More holes than this are not laid out.
const MAX_HOLES: f64 = 4_000.0;

/// A row of stitches or eyelets in the closed sheath.
#[derive(Clone, Debug, PartialEq)]
pub struct RowFigures {
    /// Its line, from the tip's end (where nothing is folded, from the mouth at the spine) to the
    /// mouth at the edge.
    pub line: Vec<Point>,
    /// Length of that line, mm.
    pub length_mm: f64,
    /// Its holes, in that order.
    pub holes: Vec<Point>,
    /// Stitches, or steps from eyelet to eyelet.
    pub steps: usize,
    /// From hole to hole along the line, mm; of eyelets, between those that hold no clip.
    pub pitch_mm: f64,
    /// Which two holes hold the belt clip; the second one is nearest to the mouth.
    pub clip: Option<[usize; 2]>,
}

/// The row at its distance from the knife.
pub(super) fn row(pocket: &Pocket, sheath: &Sheath) -> Option<RowFigures> {
    let (before_mm, wanted_mm, clip_mm) = match &sheath.body {
        SheathBody::Leather(leather) => (leather.stitch_margin_mm, leather.stitch_pitch_mm, None),
        SheathBody::Formed(f) => (f.eyelet_margin_mm, f.eyelet_pitch_mm, f.clip_mm),
    };
    let line = pocket.run(sheath.row_mm(), before_mm)?;
    let length_mm = run::length(&line);
    let second = clip_mm.and_then(|mm| paired(&line, length_mm, mm));
    let until_mm = second.unwrap_or(length_mm);
    let steps = steps(until_mm, wanted_mm);
    let pitch_mm = until_mm / steps as f64;
    let mut along: Vec<f64> = (0..=steps).map(|i| pitch_mm * i as f64).collect();
    let mut clip = None;
    if second.is_some() {
        // Nothing lies under the clip between its two.
        along.push(length_mm);
        clip = Some([steps, steps + 1]);
    }
    let holes: Vec<Point> = along.iter().map(|mm| run::at(&line, *mm)).collect();
    Some(RowFigures { steps: holes.len() - 1, line, length_mm, holes, pitch_mm, clip })
}

/// As many steps as come nearest to the wanted one.
fn steps(length_mm: f64, wanted_mm: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within bounds")]
    let steps = (length_mm / wanted_mm).round().clamp(1.0, MAX_HOLES) as usize;
    steps
}

/// How far along a line lies the last place at a straight distance from its end; `None` when it is
/// too short for one.
fn paired(line: &[Point], length_mm: f64, apart_mm: f64) -> Option<f64> {
    let end = *line.last()?;
    let mut along = length_mm;
    for pair in line.windows(2).rev() {
        let side = pair[0].distance(pair[1]);
        if pair[0].distance(end) >= apart_mm {
            // On this side: nearer to its end than that, farther at its start.
            let (mut far, mut near) = (0.0, 1.0);
            for _ in 0..60 {
                let middle = f64::midpoint(far, near);
                let is_far = pair[0].lerp(pair[1], middle).distance(end) >= apart_mm;
                if is_far { far = middle } else { near = middle }
            }
            return Some(along - side * (1.0 - far)).filter(|mm| *mm > 0.0);
        }
        along -= side;
    }
    None
}
