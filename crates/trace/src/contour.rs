//! Closed contours of a field at sub-pixel places: marching squares.

use crate::{Progress, TraceError};
use kurbo::{Point, Rect};

/// More points, or more contours, than these come from no thing on a plain ground.
const MAX_POINTS: usize = 6_000_000;
const MAX_CONTOURS: usize = 60_000;

/// A closed contour, in pixels. The dark side lies on the left of the way along it as the picture
/// is seen (y down).
#[derive(Clone, Debug)]
pub(crate) struct Contour {
    pub(crate) points: Vec<Point>,
    /// Twice the signed area as the picture's own axes give it: positive around light.
    pub(crate) area2: f64,
    /// Whether it runs along the field's border.
    pub(crate) at_border: bool,
    pub(crate) bounds: Rect,
}

impl Contour {
    /// Whether dark lies inside it.
    pub(crate) fn is_dark(&self) -> bool {
        self.area2 < 0.0
    }

    /// The area it encloses, px².
    pub(crate) fn area(&self) -> f64 {
        self.area2.abs() / 2.0
    }

    pub(crate) fn centroid(&self) -> Point {
        let n = self.points.len() as f64;
        (self.points.iter().fold(kurbo::Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n).to_point()
    }

    /// Whether a point lies inside (even-odd).
    pub(crate) fn contains(&self, p: Point) -> bool {
        if !self.bounds.contains(p) {
            return false;
        }
        let mut inside = false;
        let mut last = self.points[self.points.len() - 1];
        for at in &self.points {
            if (at.y > p.y) != (last.y > p.y) {
                let x = at.x + (p.y - at.y) / (last.y - at.y) * (last.x - at.x);
                inside ^= p.x < x;
            }
            last = *at;
        }
        inside
    }
}

/// What contours are taken of: negative is dark. Outside `rows` and their spans all is light.
pub(crate) trait Field {
    /// Width and height, px.
    fn size(&self) -> (usize, usize);
    /// The first and the end of the pixels of a row that are looked at.
    fn span(&self, y: usize) -> (usize, usize);
    /// The value at a pixel.
    fn value(&self, x: usize, y: usize) -> f32;
    /// Writes the values of a row's span, each to the last digit as [`Field::value`] gives it.
    fn row(&self, y: usize, out: &mut Vec<f32>) {
        let (from, to) = self.span(y);
        out.clear();
        out.extend((from..to).map(|x| self.value(x, y)));
    }
}

/// The value beyond the border.
const BEYOND: f32 = 1.0;

struct Walker<'a, F> {
    field: &'a F,
    width: usize,
    height: usize,
    /// One bit for each crossing from light to dark between a pixel and its right neighbour.
    seen: Vec<u64>,
}

/// All closed contours of the zero level with at least `min_points` points.
///
/// # Errors
/// [`TraceError::Cluttered`] when there are too many, [`TraceError::Cancelled`] when they are no
/// longer wanted.
pub(crate) fn contours<F: Field>(
    field: &F,
    min_points: usize,
    progress: &Progress,
) -> Result<Vec<Contour>, TraceError> {
    let (width, height) = field.size();
    let bits = (width + 1) * height;
    let mut walker = Walker { field, width, height, seen: vec![0; bits.div_ceil(64)] };
    let mut all = Vec::new();
    let mut total = 0;
    let mut values = Vec::new();
    for y in 0..height {
        progress.at(y, height)?;
        let (from, _) = field.span(y);
        field.row(y, &mut values);
        let mut left_dark = false;
        for (i, value) in values.iter().enumerate() {
            let dark = *value < 0.0;
            let x = (from + i) as i64 - 1;
            if dark && !left_dark && !walker.seen(x, y as i64) {
                let contour = walker.follow(x, y as i64);
                if contour.points.len() >= min_points {
                    total += contour.points.len();
                    if total > MAX_POINTS || all.len() >= MAX_CONTOURS {
                        return Err(TraceError::Cluttered);
                    }
                    all.push(contour);
                }
            }
            left_dark = dark;
        }
    }
    Ok(all)
}

impl<F: Field> Walker<'_, F> {
    fn value(&self, x: i64, y: i64) -> (f32, bool) {
        let (Ok(px), Ok(py)) = (usize::try_from(x), usize::try_from(y)) else {
            return (BEYOND, true);
        };
        if px >= self.width || py >= self.height {
            return (BEYOND, true);
        }
        let (from, to) = self.field.span(py);
        if px < from || px >= to { (BEYOND, true) } else { (self.field.value(px, py), false) }
    }

    fn bit(&self, x: i64, y: i64) -> (usize, u64) {
        let bit = (x + 1) as usize + y as usize * (self.width + 1);
        (bit / 64, 1 << (bit % 64))
    }

    fn seen(&self, x: i64, y: i64) -> bool {
        let (word, bit) = self.bit(x, y);
        self.seen[word] & bit != 0
    }

    /// Follows the contour that crosses between pixels (x, y) and (x + 1, y) going down, from
    /// light on the left to dark on the right.
    fn follow(&mut self, x: i64, y: i64) -> Contour {
        // The cell's pixels: a (x, y), b (x+1, y), c (x+1, y+1), d (x, y+1); its sides: 0 above,
        // 1 right, 2 below, 3 left.
        let (mut cx, mut cy, mut entry) = (x, y, 0_usize);
        let mut points = Vec::new();
        let mut at_border = false;
        loop {
            let corners = [(cx, cy), (cx + 1, cy), (cx + 1, cy + 1), (cx, cy + 1)];
            let values = corners.map(|(x, y)| self.value(x, y));
            at_border |= values.iter().any(|(_, beyond)| *beyond);
            if entry == 0 {
                let (word, bit) = self.bit(cx, cy);
                if self.seen[word] & bit != 0 {
                    break;
                }
                self.seen[word] |= bit;
            }
            points.push(crossing(corners, values.map(|(v, _)| v), entry));
            let dark = values.map(|(v, _)| v < 0.0);
            let crossed = |side: usize| dark[side] != dark[(side + 1) % 4];
            let exit = if crossed((entry + 1) % 4) && crossed((entry + 3) % 4) {
                // A saddle: joined through the middle by the mean of the four.
                let middle: f32 = values.iter().map(|(v, _)| v).sum();
                if middle < 0.0 { (entry + 3) % 4 } else { (entry + 1) % 4 }
            } else if crossed((entry + 1) % 4) {
                (entry + 1) % 4
            } else if crossed((entry + 3) % 4) {
                (entry + 3) % 4
            } else {
                (entry + 2) % 4
            };
            let (dx, dy) = [(0, -1), (1, 0), (0, 1), (-1, 0)][exit];
            (cx, cy, entry) = (cx + dx, cy + dy, (exit + 2) % 4);
        }
        closed(points, at_border)
    }
}

/// Where the level crosses a side of a cell, px.
fn crossing(corners: [(i64, i64); 4], values: [f32; 4], side: usize) -> Point {
    let (i, j) = (side, (side + 1) % 4);
    let (a, b) = (f64::from(values[i]), f64::from(values[j]));
    let t = if a == b { 0.5 } else { (a / (a - b)).clamp(0.0, 1.0) };
    let point = |(x, y): (i64, i64)| Point::new(x as f64 + 0.5, y as f64 + 0.5);
    point(corners[i]).lerp(point(corners[j]), t)
}

fn closed(points: Vec<Point>, at_border: bool) -> Contour {
    let mut area2 = 0.0;
    let mut bounds = Rect::from_points(points[0], points[0]);
    let mut last = points[points.len() - 1];
    for p in &points {
        area2 += last.to_vec2().cross(p.to_vec2());
        bounds = bounds.union_pt(*p);
        last = *p;
    }
    Contour { points, area2, at_border, bounds }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A distance field of discs.
    struct Discs(Vec<(Point, f64)>, usize);

    impl Field for Discs {
        fn size(&self) -> (usize, usize) {
            (self.1, self.1)
        }
        fn span(&self, _: usize) -> (usize, usize) {
            (0, self.1)
        }
        fn value(&self, x: usize, y: usize) -> f32 {
            let p = Point::new(x as f64 + 0.5, y as f64 + 0.5);
            let all = self
                .0
                .iter()
                .map(|(c, r)| if *r > 0.0 { p.distance(*c) - r } else { -r - p.distance(*c) });
            let dark = all.clone().zip(&self.0).filter(|(_, (_, r))| *r > 0.0);
            let light = all.zip(&self.0).filter(|(_, (_, r))| *r < 0.0);
            let dark = dark.map(|(v, _)| v).fold(f64::INFINITY, f64::min);
            light.map(|(v, _)| v).fold(dark, f64::max) as f32
        }
    }

    #[test]
    fn a_disc_with_a_hole_gives_two_contours_at_their_places() {
        let centre = Point::new(50.2, 49.7);
        let field = Discs(vec![(centre, 30.0), (centre, -10.0)], 100);
        let found = contours(&field, 8, &Progress::default()).unwrap();
        assert_eq!(found.len(), 2);
        assert!(found[0].is_dark() && !found[1].is_dark());
        for (contour, radius) in found.iter().zip([30.0, 10.0]) {
            assert!(!contour.at_border);
            let off = contour.points.iter().map(|p| (p.distance(centre) - radius).abs());
            assert!(off.fold(0.0, f64::max) < 0.02);
            assert!((contour.area() - std::f64::consts::PI * radius * radius).abs() < 3.0);
            assert!(contour.contains(centre) && !contour.contains(Point::new(50.0, 85.0)));
        }
    }

    #[test]
    fn what_runs_out_is_closed_along_the_border_and_says_so() {
        let field = Discs(vec![(Point::new(2.0, 50.0), 30.0)], 100);
        let found = contours(&field, 8, &Progress::default()).unwrap();
        assert!(found.len() == 1 && found[0].at_border);
    }
}
