//! Outlines drawn by a line: its centre or one of its sides, with small gaps closed.

use crate::contour::{Contour, Field, contours};
use crate::line_side::LineSide;
use crate::line_tips::tips;
use crate::shaded::Shaded;
use crate::{Progress, TraceError};
use kurbo::{Point, Rect, Vec2};

/// A line that encloses less than this of its own outline's area is open.
const ENCLOSED: f64 = 0.3;
/// A line wider than this times the usual width is two lines that touch.
const TOO_WIDE: f64 = 2.2;
/// Samples per pixel across a line.
const PER_PX: f64 = 4.0;
/// How far before the grown line a profile begins, px.
const BEFORE_PX: f64 = 3.0;
/// The widest line, px.
const MAX_WIDTH_PX: f64 = 60.0;
/// Openings smaller across than this are specks, px.
const MIN_OPENING_PX: f64 = 8.0;
/// Ground around the shape that is looked at, px.
const BORDER_PX: f64 = 24.0;

/// What was drawn by a line.
pub(crate) struct Drawn {
    pub(crate) outline: Vec<Point>,
    /// The ends of slender tips, where its own sides run into one another.
    pub(crate) tips: Vec<Point>,
    pub(crate) openings: Vec<Vec<Point>>,
    /// The longest stretch on which the line was missing, px.
    pub(crate) longest_gap_px: f64,
}

/// How far each pixel lies from the nearest dark one, less a radius: the dark grown by it.
struct Grown {
    width: usize,
    height: usize,
    distances: Vec<f32>,
    radius: f32,
}

impl Field for Grown {
    fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }
    fn span(&self, _: usize) -> (usize, usize) {
        (0, self.width)
    }
    fn value(&self, x: usize, y: usize) -> f32 {
        self.distances[y * self.width + x] - self.radius
    }
}

/// Traces the largest line in a part of the field, or that around a pixel; gaps up to `gap_px` are
/// closed.
pub(crate) fn trace(
    field: &Shaded<'_>,
    part: Rect,
    at: Option<Point>,
    (side, gap_px): (LineSide, f64),
    progress: &Progress,
) -> Result<Drawn, TraceError> {
    let radius = gap_px / 2.0 + 0.75;
    let grow = BORDER_PX + radius;
    let (corner, grown) = grown(field, part.inflate(grow, grow), radius);
    let all = contours(&grown, 16, progress)?;
    let outer = all
        .iter()
        .filter(|c| c.is_dark() && at.is_none_or(|at| c.contains(at - corner)))
        .max_by(|a, b| a.area().total_cmp(&b.area()))
        .ok_or(TraceError::NoContour)?;
    if outer.at_border {
        return Err(TraceError::RunsOut);
    }
    let enclosed = largest_inside(&all, outer).ok_or(TraceError::OpenLine)?;
    if enclosed.area() < ENCLOSED * outer.area() {
        return Err(TraceError::OpenLine);
    }
    let Followed { outline, tips, longest_gap_px } =
        along(field, outer, corner, side, radius).ok_or(TraceError::OpenLine)?;
    // Circles drawn inside have their own outer contours within the enclosed ground.
    let openings = all
        .iter()
        .filter(|c| c.is_dark() && c.bounds.width().min(c.bounds.height()) >= MIN_OPENING_PX)
        .filter(|c| enclosed.contains(c.points[0]))
        .filter(|c| largest_inside(&all, c).is_some())
        .filter_map(|c| along(field, c, corner, side, radius).map(|all| all.outline));
    Ok(Drawn { outline, tips, openings: openings.collect(), longest_gap_px })
}

/// The largest light contour inside a dark one.
fn largest_inside<'a>(all: &'a [Contour], outer: &Contour) -> Option<&'a Contour> {
    all.iter()
        .filter(|c| !c.is_dark() && c.area() < outer.area() && outer.contains(c.points[0]))
        .max_by(|a, b| a.area().total_cmp(&b.area()))
}

/// The dark of a part of the field, grown; with the part's upper left corner.
fn grown(field: &Shaded<'_>, part: Rect, radius: f64) -> (Vec2, Grown) {
    let (w, h) = field.size();
    let clamp = |v: f64, most: usize| v.clamp(0.0, most as f64) as usize;
    let (x0, y0) = (clamp(part.x0, w), clamp(part.y0, h));
    let (x1, y1) = (clamp(part.x1.ceil(), w), clamp(part.y1.ceil(), h));
    let (width, height) = (x1 - x0, y1 - y0);
    let mut distances = vec![f32::INFINITY; width * height];
    let mut row = Vec::new();
    for y in y0..y1 {
        let (from, to) = field.span(y);
        field.row(y, &mut row);
        for x in from.max(x0)..to.min(x1) {
            if row[x - from] < 0.0 {
                distances[(y - y0) * width + x - x0] = 0.0;
            }
        }
    }
    distance_transform(&mut distances, width, height);
    (Vec2::new(x0 as f64, y0 as f64), Grown { width, height, distances, radius: radius as f32 })
}

/// Distances from the cells that are 0, the others infinite (Felzenszwalb & Huttenlocher 2012,
/// "Distance transforms of sampled functions"), in cells.
fn distance_transform(cells: &mut [f32], width: usize, height: usize) {
    let mut line = vec![0.0_f32; width.max(height)];
    let mut scratch = Scratch::default();
    for y in 0..height {
        let row = &mut cells[y * width..(y + 1) * width];
        line[..width].copy_from_slice(row);
        scratch.parabolas(&line[..width], row);
    }
    let mut out = vec![0.0_f32; height];
    for x in 0..width {
        for y in 0..height {
            line[y] = cells[y * width + x];
        }
        scratch.parabolas(&line[..height], &mut out);
        for y in 0..height {
            cells[y * width + x] = out[y].sqrt();
        }
    }
}

#[derive(Default)]
struct Scratch {
    vertices: Vec<usize>,
    starts: Vec<f32>,
}

impl Scratch {
    /// The lower envelope of parabolas on squared distances.
    fn parabolas(&mut self, squares: &[f32], out: &mut [f32]) {
        self.vertices.clear();
        self.starts.clear();
        for (q, f) in squares.iter().enumerate().filter(|(_, f)| f.is_finite()) {
            let lift = |at: usize, f: f32| f + (at * at) as f32;
            let start = loop {
                let Some(v) = self.vertices.last().copied() else { break f32::NEG_INFINITY };
                let s = (lift(q, *f) - lift(v, squares[v])) / (2.0 * (q - v) as f32);
                if self.starts.last().is_some_and(|last| s <= *last) {
                    self.vertices.pop();
                    self.starts.pop();
                } else {
                    break s;
                }
            };
            self.vertices.push(q);
            self.starts.push(start);
        }
        if self.vertices.is_empty() {
            out.fill(f32::INFINITY);
            return;
        }
        let mut k = 0;
        for (at, value) in out.iter_mut().enumerate() {
            while k + 1 < self.vertices.len() && self.starts[k + 1] < at as f32 {
                k += 1;
            }
            let v = self.vertices[k];
            let off = at as f32 - v as f32;
            *value = off * off + squares[v];
        }
    }
}

/// Where a profile from outside first crosses the line, px along it.
#[derive(Clone, Copy)]
struct Crossing {
    outer: f64,
    centre: f64,
    inner: f64,
}

impl Crossing {
    fn width(&self) -> f64 {
        self.inner - self.outer
    }
}

/// A line as it was followed.
struct Followed {
    outline: Vec<Point>,
    tips: Vec<Point>,
    longest_gap_px: f64,
}

/// Follows a contour of the grown line and finds the line itself inside it.
fn along(
    field: &Shaded<'_>,
    contour: &Contour,
    corner: Vec2,
    side: LineSide,
    radius: f64,
) -> Option<Followed> {
    let points = &contour.points;
    let n = points.len();
    let span = 5.min(n / 4).max(1);
    let normal = |i: usize| {
        let way = points[(i + span) % n] - points[(i + n - span) % n];
        // Dark lies on the left as the picture is seen.
        way.turn_90().normalize() * -1.0
    };
    let profile = |i: usize| crossing(field, points[i] + corner, normal(i), radius);
    let crossings: Vec<Option<Crossing>> = (0..n).map(profile).collect();
    let mut widths: Vec<f64> = crossings.iter().flatten().map(Crossing::width).collect();
    if widths.len() * 2 < n {
        return None;
    }
    widths.sort_by(f64::total_cmp);
    let width = widths[widths.len() / 2];
    let place = |i: usize| {
        let c = crossings[i]?;
        let depth = match side {
            LineSide::Centre => c.centre,
            LineSide::Outer => c.outer,
            LineSide::Inner => c.inner,
        };
        Some((points[i] + corner + normal(i) * depth, c.width() / width))
    };
    let found: Vec<Option<(Point, f64)>> = (0..n).map(place).collect();
    // Where two sides run into one another the outer side alone is seen.
    let ends = if side == LineSide::Outer { Vec::new() } else { tips(field, &found, side, width) };
    let limit = if side == LineSide::Outer { f64::INFINITY } else { TOO_WIDE };
    let mut outline = Vec::with_capacity(n);
    for (i, place) in found.iter().enumerate() {
        match ends.iter().find(|end| end.covers(i, n)) {
            Some(end) if i == end.middle(n) => outline.extend(&end.points),
            Some(_) => {}
            None => outline.extend(place.filter(|(_, wide)| *wide <= limit).map(|(p, _)| p)),
        }
    }
    let pairs = outline.iter().zip(outline.iter().cycle().skip(1));
    let longest = pairs.map(|(a, b)| a.distance(*b)).fold(0.0, f64::max);
    let tips = ends.iter().map(|end| end.tip).collect();
    Some(Followed { outline, tips, longest_gap_px: if longest > 4.0 { longest } else { 0.0 } })
}

/// The first dark run along a profile: its half-way points and its centre of darkness.
fn crossing(field: &Shaded<'_>, from: Point, inward: Vec2, radius: f64) -> Option<Crossing> {
    let dark = 1.0 - f64::from(field.level);
    let count = ((BEFORE_PX + radius + MAX_WIDTH_PX) * PER_PX) as usize;
    let depth = |i: f64| i / PER_PX - BEFORE_PX;
    let at = |i: usize| field.darkness(from + inward * depth(i as f64));
    let start = (0..count).find(|i| at(*i) > dark)?;
    if depth(start as f64) > 2.0 * radius + 4.0 {
        return None;
    }
    let end = (start..count).find(|i| at(*i) < dark)?;
    let peak_at = (start..end).max_by(|i, j| at(*i).total_cmp(&at(*j)))?;
    let peak = at(peak_at);
    let half = peak / 2.0;
    // From the peak half way down on either side.
    let outer = (0..peak_at).rev().find(|i| at(*i) < half)?;
    let inner = (peak_at..count).find(|i| at(*i) < half)?;
    let cross = |low: usize, high: usize| {
        let (a, b) = (at(low), at(high));
        let t = if a == b { 0.5 } else { ((half - a) / (b - a)).clamp(0.0, 1.0) };
        low as f64 + t * (high as f64 - low as f64)
    };
    let (outer, inner) = (cross(outer, outer + 1), cross(inner, inner - 1));
    let (mut sum, mut weighted) = (0.0, 0.0);
    for i in (outer - 2.0 * PER_PX).max(0.0) as usize..=(inner + 2.0 * PER_PX) as usize {
        let weight = (at(i) - 0.15 * peak).max(0.0);
        sum += weight;
        weighted += weight * i as f64;
    }
    let [outer, centre, inner] = [outer, weighted / sum, inner].map(depth);
    (sum > 0.0 && inner > outer).then_some(Crossing { outer, centre, inner })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Against the distance to every dark cell.
        #[test]
        fn distances_are_those_to_the_nearest_dark_cell(
            dark in proptest::collection::vec((0..9_usize, 0..7_usize), 1..6)
        ) {
            let (width, height) = (9, 7);
            let mut cells = vec![f32::INFINITY; width * height];
            for (x, y) in &dark {
                cells[y * width + x] = 0.0;
            }
            distance_transform(&mut cells, width, height);
            for y in 0..height {
                for x in 0..width {
                    let nearest = dark.iter().map(|(dx, dy)| {
                        (x as f32 - *dx as f32).hypot(y as f32 - *dy as f32)
                    });
                    let nearest = nearest.fold(f32::INFINITY, f32::min);
                    prop_assert!((cells[y * width + x] - nearest).abs() < 1e-4);
                }
            }
        }
    }
}
