//! Slender tips that the picture's blur has cut short.

use crate::Gray;
use crate::illumination::Illumination;
use crate::taper::{Axis, Taper, taper};
use kurbo::{Point, Vec2};

/// Only tips sharper than this are looked at: others come out right by their sides. 72°.
const APEX_RAD: f64 = 1.25;
/// How far along its sides a tip's angle is taken, px.
const ALONG_PX: f64 = 30.0;
/// A tip is measured where it is narrower than this, mm, and no finer than so many pixels to the
/// millimetre; it is followed until it is wider by some pixels, or so far inside, mm.
const MEASURED_MM: f64 = 2.2;
const MIN_PX_PER_MM: f64 = 8.0;
const WIDER_PX: f64 = 4.0;
const INSIDE_MM: f64 = 16.0;
/// A side that turns back by this is that of something else, px.
const BACK_PX: f64 = 2.0;
/// No outline has more tips than this; the sharpest are taken.
const MAX_TIPS: usize = 12;
/// Sides come out right by themselves where a tip is so much wider than profiles across them reach,
/// px.
const SOUND_PX: f64 = 5.0;
/// The farthest that a tip is drawn out, and moved in, px.
const OUT_PX: f64 = 45.0;
const IN_PX: f64 = 3.0;
/// The end is laid by points so far apart, px, over so many.
const FINE_PX: f64 = 0.25;
const FINE: usize = 24;

/// The tips of a contour, by index, each with the way inward: the sharpest first.
fn tips(contour: &[Point]) -> Vec<(usize, Vec2)> {
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
        if found.len() < MAX_TIPS && !found.iter().any(near) {
            found.push(i);
        }
    }
    let inward = |i: usize| {
        let [a, b] = sides(i);
        (i, (a.normalize() + b.normalize()).normalize())
    };
    found.into_iter().map(inward).collect()
}

/// The sides of a tip along its axis, for each pixel inward, until it is wide.
fn sides(contour: &[Point], index: usize, axis: &Axis<'_>, scale: f64) -> Vec<[f64; 2]> {
    let n = contour.len();
    let side = |forward: bool| {
        let mut along = Vec::new();
        let mut last = (0.0, 0.0);
        for d in 0..n / 2 {
            let p = contour[(index + if forward { d } else { n - d }) % n] - axis.tip;
            let (s, x) = (p.dot(axis.inward), p.dot(axis.inward.turn_90()));
            if s < last.0 - BACK_PX || along.len() as f64 > INSIDE_MM * scale {
                break;
            }
            if s > last.0 || d == 0 {
                while along.len() as f64 <= s {
                    let part = (along.len() as f64 - last.0) / (s - last.0).max(1e-9);
                    along.push(last.1 + (x - last.1) * part);
                }
                last = (s, x);
            }
        }
        along
    };
    let pairs = side(true).into_iter().zip(side(false)).map(|(a, b)| [a, b]);
    let widest = MEASURED_MM * scale + WIDER_PX;
    pairs.take_while(|[a, b]| (a - b).abs() < widest).collect()
}

/// The outline, whose places lie on their edges, with each slender tip drawn out to its end, and
/// those ends; `contour` is the same outline by one threshold, `reach` how far from it edges were
/// looked for, px.
pub(crate) fn drawn_out(
    (gray, light): (&Gray, &Illumination),
    contour: &[Point],
    mut outline: Vec<Point>,
    (reach, px_per_mm): (f64, f64),
) -> (Vec<Point>, Vec<Point>) {
    let scale = px_per_mm.max(MIN_PX_PER_MM);
    let mut ends = Vec::new();
    for (index, inward) in tips(contour) {
        let axis = Axis { gray, light, tip: contour[index], inward };
        let sides = sides(contour, index, &axis, scale);
        let found = taper(&axis, &sides, (reach + SOUND_PX, MEASURED_MM * scale));
        if let Some(taper) = found.filter(|taper| (-OUT_PX..IN_PX).contains(&taper.end())) {
            ends.push(lay(&mut outline, &axis, &taper));
        }
    }
    (outline, ends)
}

/// Puts a tip's own sides in place of what the outline has there, and gives its end.
fn lay(outline: &mut Vec<Point>, axis: &Axis<'_>, taper: &Taper) -> Point {
    let n = outline.len();
    let off = |i: &usize| outline[*i].distance_squared(axis.tip);
    let nearest = (0..n).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or_default();
    outline.rotate_left((nearest + n - n / 2) % n);
    let depth = |i: usize| (outline[i] - axis.tip).dot(axis.inward);
    let (mut from, mut to) = (n / 2, n / 2);
    while from > n / 8 && depth(from) < taper.inside {
        from -= 1;
    }
    while to < n - n / 8 && depth(to) < taper.inside {
        to += 1;
    }
    let left = |p: Point| (p - axis.tip).dot(axis.inward.turn_90());
    let first = usize::from(left(outline[from]) < left(outline[to]));
    let end = taper.end();
    let fine = (1..FINE).map(|k| k as f64 * FINE_PX);
    let coarse = (0..).map(|k| FINE as f64 * FINE_PX + f64::from(k));
    let along: Vec<f64> =
        fine.chain(coarse).map(|off| end + off).take_while(|s| *s < taper.inside).collect();
    let side = |k: usize| along.iter().map(move |s| axis.at(*s, taper.sides(*s)[k]));
    let [a, b] = taper.sides(end);
    let end = axis.at(end, (a + b) / 2.0);
    let mut anew: Vec<Point> = side(first).rev().collect();
    anew.push(end);
    anew.extend(side(1 - first));
    outline.splice(from + 1..to, anew);
    end
}
