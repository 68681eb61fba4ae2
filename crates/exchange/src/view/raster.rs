//! Which triangle is seen at each dot (Pineda 1988: half planes of the sides; depth buffer after
//! Catmull 1974).

use super::scene::Scene;
use super::{Eye, Frame};
use kurbo::Vec2;

/// A share of a corner no less than this is none: on a common side of two triangles rounding must
/// not leave a dot to neither.
const ON_SIDE: f64 = -1e-9;
/// Twice the area of a triangle that is seen edge-on, but for rounding, square dots.
const EDGE_ON: f64 = 1e-6;
/// Nothing is seen at a dot.
pub(super) const NOTHING: u32 = u32::MAX;

/// What is seen at a dot: a triangle, and the shares of its corners in the place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hit {
    pub(super) triangle: u32,
    pub(super) shares: [f32; 2],
    /// Whether the triangle faces away, as only a cut lays it open.
    pub(super) is_inner: bool,
    depth: f32,
}

/// A scene's points as the eye sees them.
pub(super) struct Seen<'a> {
    scene: &'a Scene,
    frame: &'a Frame,
    /// Each point in dots from the upper left corner, and how near it is, mm.
    places: Vec<[f64; 3]>,
    /// How far each point lies on the side that a cut keeps, mm; empty without a cut.
    kept_mm: Vec<f64>,
}

impl<'a> Seen<'a> {
    pub(super) fn of(scene: &'a Scene, eye: &Eye, frame: &'a Frame) -> Self {
        let place = |p: &[f64; 3]| {
            let [x, y, near] = eye.seen(*p);
            let [x, y] = frame.dots(Vec2::new(x, y));
            [x, y, near]
        };
        let places = scene.points.iter().map(place).collect();
        let kept_mm = eye.cut.map(|cut| scene.points.iter().map(|p| cut.kept_mm(*p)).collect());
        Self { scene, frame, places, kept_mm: kept_mm.unwrap_or_default() }
    }

    /// What is seen at every dot of so many rows, from the first on.
    pub(super) fn hits(&self, first: usize, rows: usize) -> Vec<Hit> {
        let none =
            Hit { triangle: NOTHING, shares: [0.0; 2], is_inner: false, depth: f32::NEG_INFINITY };
        let mut band = Band {
            hits: vec![none; self.frame.width * rows],
            width: self.frame.width,
            rows: (first, first + rows),
        };
        for (number, facet) in (0..).zip(&self.scene.triangles) {
            let corners = facet.corners.map(|corner| self.places[corner as usize]);
            let at = |corner: u32| self.kept_mm[corner as usize];
            let kept_mm = (!self.kept_mm.is_empty()).then(|| facet.corners.map(at));
            band.draw(number, corners, kept_mm);
        }
        band.hits
    }
}

/// Some rows of the picture.
struct Band {
    hits: Vec<Hit>,
    width: usize,
    rows: (usize, usize),
}

impl Band {
    fn draw(&mut self, number: u32, [a, b, c]: [[f64; 3]; 3], kept_mm: Option<[f64; 3]>) {
        // Dots count downward: what faces the eye turns the other way round here.
        let twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        // What faces away is only seen where the knife is cut open.
        if twice.abs() < EDGE_ON || (twice > 0.0 && kept_mm.is_none()) {
            return;
        }
        let whole = kept_mm.is_none_or(|kept_mm| kept_mm.iter().all(|mm| *mm >= 0.0));
        if !whole && kept_mm.is_some_and(|kept_mm| kept_mm.iter().all(|mm| *mm < 0.0)) {
            return;
        }
        let span = |axis: usize, (first, last): (usize, usize)| {
            let low = a[axis].min(b[axis]).min(c[axis]) - 0.5;
            let high = a[axis].max(b[axis]).max(c[axis]) - 0.5;
            // Casting saturates: what lies outside ends at the frame.
            let (low, high) =
                (low.ceil().max(0.0) as usize, (high.floor() + 1.0).max(0.0) as usize);
            (low.max(first), high.min(last))
        };
        let (columns, rows) = (span(0, (0, self.width)), span(1, self.rows));
        if columns.0 >= columns.1 {
            return;
        }
        let per_x = [(b[1] - c[1]) / twice, (c[1] - a[1]) / twice];
        let corners_mm = kept_mm.filter(|_| !whole).unwrap_or_default();
        for row in rows.0..rows.1 {
            let y = row as f64 + 0.5;
            let x = columns.0 as f64 + 0.5;
            let share = |p: [f64; 3], q: [f64; 3]| {
                ((p[0] - x) * (q[1] - y) - (p[1] - y) * (q[0] - x)) / twice
            };
            let (mut u, mut v) = (share(b, c), share(c, a));
            let first = (row - self.rows.0) * self.width;
            for hit in &mut self.hits[first + columns.0..first + columns.1] {
                let w = 1.0 - u - v;
                if u >= ON_SIDE && v >= ON_SIDE && w >= ON_SIDE {
                    let depth = (u * a[2] + v * b[2] + w * c[2]) as f32;
                    let kept_mm = u * corners_mm[0] + v * corners_mm[1] + w * corners_mm[2];
                    if depth > hit.depth && kept_mm >= 0.0 {
                        let shares = [u as f32, v as f32];
                        *hit = Hit { triangle: number, shares, is_inner: twice > 0.0, depth };
                    }
                }
                u += per_x[0];
                v += per_x[1];
            }
        }
    }
}
