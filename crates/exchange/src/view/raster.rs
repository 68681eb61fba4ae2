//! Which triangle is seen at each dot (Pineda 1988: half planes of the sides; depth buffer after
//! Catmull 1974).

use super::scene::Scene;
use super::{Eye, Frame};
use kurbo::Vec2;

/// Nothing is seen at a dot.
pub(super) const NOTHING: u32 = u32::MAX;

/// What is seen at a dot: a triangle, and the shares of its corners in the place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hit {
    pub(super) triangle: u32,
    pub(super) shares: [f32; 2],
    depth: f32,
}

/// What is seen at every dot of the frame.
pub(super) fn hits(scene: &Scene, eye: &Eye, frame: &Frame) -> Vec<Hit> {
    let none = Hit { triangle: NOTHING, shares: [0.0; 2], depth: f32::NEG_INFINITY };
    let mut hits = vec![none; frame.width * frame.height];
    let axes = eye.axes();
    let places: Vec<[f64; 3]> = scene
        .points
        .iter()
        .map(|p| {
            let [x, y, near] = axes.map(|axis| axis[0] * p[0] + axis[1] * p[1] + axis[2] * p[2]);
            let [x, y] = frame.dots(Vec2::new(x, y));
            [x, y, near]
        })
        .collect();
    for (i, facet) in scene.triangles.iter().enumerate() {
        let corners = facet.corners.map(|corner| places[corner as usize]);
        let along = facet.corners.map(|corner| scene.points[corner as usize][0]);
        let triangle = Triangle { corners, along, number: i as u32 };
        triangle.draw(&mut hits, eye, frame);
    }
    hits
}

struct Triangle {
    corners: [[f64; 3]; 3],
    /// Stations of its corners along the knife.
    along: [f64; 3],
    number: u32,
}

impl Triangle {
    fn draw(&self, hits: &mut [Hit], eye: &Eye, frame: &Frame) {
        let [a, b, c] = self.corners;
        // Dots count downward: what faces the eye turns the other way round here.
        let twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        // What faces away is only seen where the knife is cut open.
        if twice == 0.0 || (twice > 0.0 && eye.from_x_mm.is_none()) {
            return;
        }
        let span = |axis: usize, most: usize| {
            let low = a[axis].min(b[axis]).min(c[axis]) - 0.5;
            let high = a[axis].max(b[axis]).max(c[axis]) - 0.5;
            // Casting saturates: what lies outside ends at the frame.
            (low.ceil().max(0.0) as usize, ((high.floor() + 1.0).max(0.0) as usize).min(most))
        };
        let (columns, rows) = (span(0, frame.width), span(1, frame.height));
        if columns.0 >= columns.1 {
            return;
        }
        let per_x = [(b[1] - c[1]) / twice, (c[1] - a[1]) / twice];
        for row in rows.0..rows.1 {
            let y = row as f64 + 0.5;
            let x = columns.0 as f64 + 0.5;
            let share = |p: [f64; 3], q: [f64; 3]| {
                ((p[0] - x) * (q[1] - y) - (p[1] - y) * (q[0] - x)) / twice
            };
            let (mut u, mut v) = (share(b, c), share(c, a));
            for hit in &mut hits[row * frame.width + columns.0..row * frame.width + columns.1] {
                let w = 1.0 - u - v;
                if u >= 0.0 && v >= 0.0 && w >= 0.0 {
                    let depth = (u * a[2] + v * b[2] + w * c[2]) as f32;
                    let station = u * self.along[0] + v * self.along[1] + w * self.along[2];
                    if depth > hit.depth && eye.from_x_mm.is_none_or(|x| station >= x) {
                        *hit = Hit { triangle: self.number, shares: [u as f32, v as f32], depth };
                    }
                }
                u += per_x[0];
                v += per_x[1];
            }
        }
    }
}
