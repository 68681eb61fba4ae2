//! Sharp tips that the picture's blur has cut short.
//!
//! Near a sharp tip the two sides lie in one another's blur, so no threshold finds them. What blur
//! leaves as it is, is the darkness summed across the tip and its centre: the sum over the contrast
//! of the thick part is the width. Where width and centre are known along the tip, its sides are,
//! and where these meet it ends.

use crate::Gray;
use crate::corners::{Parabola, meeting, on, parabola};
use kurbo::{Point, Vec2};

/// Only tips sharper than this are looked at: others come out right by their sides. 40°.
const APEX_RAD: f64 = 0.7;
/// How far along its sides a tip's angle is taken, px.
const ALONG_PX: f64 = 30.0;
/// How far outside a tip cuts across it begin, and how far inside they end at the latest, px.
const OUTSIDE_PX: i32 = 12;
const INSIDE_PX: i32 = 240;
/// Samples to the pixel along a cut.
const PER_PX: i32 = 4;
/// Ground on either side of a cut, px, and the part of it that tells the ground's tone.
const GROUND_PX: f64 = 8.0;
const TONE_PX: f64 = 2.5;
/// The tip is thick, so that its tone is its own, where it is wider than this, px.
const THICK_PX: f64 = 9.0;
/// Its sides are taken where it is so wide, px.
const SIDES_PX: std::ops::RangeInclusive<f64> = 2.0..=14.0;
/// And laid anew where it is narrower than this, px.
const ANEW_PX: f64 = 10.0;
/// The fewest cuts from which anything is said.
const MIN_CUTS: usize = 10;
/// Sides that lie farther from their curves than this are those of something else, px.
const OFF_PX: f64 = 0.7;
/// The farthest that a tip is moved, px.
const FARTHEST_PX: f64 = 40.0;
/// The least contrast, tones.
const MIN_CONTRAST: f64 = 24.0;

/// The tips of a dark shape's contour, px: the sharpest first.
fn tips(contour: &[Point]) -> Vec<(Point, Vec2)> {
    let n = contour.len();
    let next = contour.iter().cycle().skip(1);
    let length: f64 = contour.iter().zip(next).map(|(a, b)| a.distance(*b)).sum();
    let reach = (ALONG_PX * n as f64 / length).round() as usize;
    if n < 8 * reach.max(1) {
        return Vec::new();
    }
    let sides = |i: usize| {
        let at = contour[i];
        [contour[(i + n - reach) % n] - at, contour[(i + reach) % n] - at]
    };
    let apex = |i: usize| {
        let [a, b] = sides(i);
        a.cross(b).atan2(a.dot(b)).abs()
    };
    let mut sharp: Vec<(f64, usize)> =
        (0..n).map(|i| (apex(i), i)).filter(|(apex, _)| *apex < APEX_RAD).collect();
    sharp.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut found: Vec<usize> = Vec::new();
    for (_, i) in sharp {
        let near = |j: &usize| (i + n - j) % n < 2 * reach || (j + n - i) % n < 2 * reach;
        if !found.iter().any(near) {
            found.push(i);
        }
    }
    let inward = |i: usize| {
        let [a, b] = sides(i);
        (contour[i], (a.normalize() + b.normalize()).normalize())
    };
    found.into_iter().map(inward).collect()
}

/// A cut across a tip.
struct Cut {
    /// How far inside the contour's own tip, px.
    s: f64,
    /// The darkness summed across it, tones × px, and its middle, px from the axis.
    sum: f64,
    middle: f64,
    /// The darkness in its middle, tones.
    depth: f64,
}

/// The cuts across a tip, from outside it inward until it is thick.
fn cuts(gray: &Gray, tip: Point, inward: Vec2) -> Vec<Cut> {
    let across = inward.turn_90();
    let (mut width, mut middle) = (0.0, 0.0);
    let mut found: Vec<Cut> = Vec::new();
    for s in -OUTSIDE_PX..=INSIDE_PX {
        let s = f64::from(s);
        let half = (width / 2.0_f64 + GROUND_PX).ceil();
        let steps = (half * f64::from(PER_PX)) as i32;
        let place = |k: i32| middle + f64::from(k) / f64::from(PER_PX);
        let tone = |x: f64| gray.sample(tip + inward * s + across * x);
        let ground_steps = (TONE_PX * f64::from(PER_PX)) as i32;
        let ground = |side: i32| {
            let all = (0..ground_steps).map(|k| tone(place(side * (steps - k))));
            all.sum::<f64>() / f64::from(ground_steps)
        };
        let (low, high) = (ground(-1), ground(1));
        let dark = |k: i32| {
            let part = (f64::from(k) / f64::from(steps) + 1.0) / 2.0;
            low + (high - low) * part - tone(place(k))
        };
        let step = 1.0 / f64::from(PER_PX);
        let (mut sum, mut moment) = (0.0, 0.0);
        for k in -steps..=steps {
            sum += dark(k) * step;
            moment += dark(k) * place(k) * step;
        }
        let own = if sum > MIN_CONTRAST { moment / sum } else { middle };
        let depth = (-PER_PX..=PER_PX)
            .map(|k| dark(((own - middle) * f64::from(PER_PX)).round() as i32 + k))
            .sum::<f64>()
            / f64::from(2 * PER_PX + 1);
        found.push(Cut { s, sum, middle: own, depth });
        if depth > MIN_CONTRAST {
            (width, middle) = (sum / depth, own);
        }
        if width > *SIDES_PX.end() + 2.0 {
            break;
        }
    }
    found
}

/// The sides of a tip, and where they meet.
struct Sides {
    /// By how far inside, px: the one on the left of the way inward, then the other.
    curves: [Parabola; 2],
    tip: Point,
    /// Where the tip is so wide that its sides need no mending, px inside.
    inside: f64,
}

fn sides(gray: &Gray, tip: Point, inward: Vec2) -> Option<Sides> {
    let cuts = cuts(gray, tip, inward);
    let mut depths: Vec<f64> = cuts
        .iter()
        .filter(|cut| cut.depth > MIN_CONTRAST && cut.sum > THICK_PX * cut.depth)
        .map(|cut| cut.depth)
        .collect();
    depths.sort_by(f64::total_cmp);
    let contrast = *depths.get(depths.len() / 2).filter(|_| depths.len() >= 3)?;
    let across = inward.turn_90();
    let wide = |cut: &&Cut| SIDES_PX.contains(&(cut.sum / contrast));
    let taken: Vec<&Cut> = cuts.iter().filter(wide).collect();
    if taken.len() < MIN_CUTS {
        return None;
    }
    let side = |sign: f64| -> Vec<(f64, Point)> {
        let place = |cut: &&Cut| {
            let x = cut.middle + sign * cut.sum / contrast / 2.0;
            (cut.s, tip + inward * cut.s + across * x)
        };
        taken.iter().map(place).collect()
    };
    let samples = [side(1.0), side(-1.0)];
    let curves = [parabola(&samples[0])?, parabola(&samples[1])?];
    let sound = samples
        .iter()
        .zip(&curves)
        .all(|(samples, curve)| samples.iter().all(|(s, p)| on(curve, *s).0.distance(*p) < OFF_PX));
    let meet = meeting(&curves[0], &curves[1], FARTHEST_PX)?;
    let out = (tip - meet).dot(inward);
    let inside = taken.iter().rev().find(|cut| cut.sum <= ANEW_PX * contrast)?.s;
    (sound && (-2.0..FARTHEST_PX).contains(&out)).then_some(Sides { curves, tip: meet, inside })
}

/// The outline, whose places lie on their edges, with each sharp tip drawn out to where its sides
/// meet; `contour` is the same outline by one threshold.
pub(crate) fn drawn_out(gray: &Gray, contour: &[Point], mut outline: Vec<Point>) -> Vec<Point> {
    for (tip, inward) in tips(contour) {
        if let Some(sides) = sides(gray, tip, inward) {
            lay(&mut outline, tip, inward, &sides);
        }
    }
    outline
}

/// Puts a tip's own sides in place of what the outline has there.
fn lay(outline: &mut Vec<Point>, tip: Point, inward: Vec2, sides: &Sides) {
    let n = outline.len();
    let off = |i: &usize| outline[*i].distance_squared(tip);
    let Some(nearest) = (0..n).min_by(|a, b| off(a).total_cmp(&off(b))) else { return };
    outline.rotate_left((nearest + n - n / 2) % n);
    let depth = |i: usize| (outline[i] - tip).dot(inward);
    let (mut from, mut to) = (n / 2, n / 2);
    while from > n / 8 && depth(from) < sides.inside {
        from -= 1;
    }
    while to < n - n / 8 && depth(to) < sides.inside {
        to += 1;
    }
    let left = |p: Point| (p - on(&sides.curves[0], sides.inside).0).hypot();
    let first = usize::from(left(outline[from]) > left(outline[to]));
    let end = (sides.tip - tip).dot(inward);
    let steps = (sides.inside - end).floor().max(1.0) as usize;
    let along = |curve: &Parabola| -> Vec<Point> {
        (1..steps).map(|k| on(curve, end + k as f64).0).collect()
    };
    let mut anew = along(&sides.curves[first]);
    anew.reverse();
    anew.push(sides.tip);
    anew.extend(along(&sides.curves[1 - first]));
    outline.splice(from + 1..to, anew);
}
