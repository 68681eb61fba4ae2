//! The knife seen from any side: its parts' meshes drawn by the processor, each in the look of its
//! material.
//!
//! Parallel projection, so that lengths across the line of sight are true; a depth buffer decides
//! what hides what. The same parts and the same eye give the same picture on every machine.

mod raster;
mod scene;
mod shade;

pub use scene::Scene;

use kurbo::{Point, Vec2};

/// From where the knife is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// Turn about the upright of the picture, degrees; at 0 the face at +z is seen.
    pub turn_deg: f64,
    /// Turn about the picture's level, degrees; positive to look from the spine's side.
    pub lift_deg: f64,
    /// Only what lies at this station of the knife or behind it, towards larger x, is seen, mm.
    pub from_x_mm: Option<f64>,
}

impl Eye {
    /// Over the spine, half turned: the view that shows most of a knife at once.
    pub const THREE_QUARTER: Self = Self { turn_deg: -24.0, lift_deg: 30.0, from_x_mm: None };

    /// Rows of the turn from the knife's axes to the picture's: right, up, and towards the eye.
    fn axes(&self) -> [[f64; 3]; 3] {
        let (st, ct) = self.turn_deg.to_radians().sin_cos();
        let (sl, cl) = self.lift_deg.to_radians().sin_cos();
        [[ct, 0.0, st], [st * sl, cl, -ct * sl], [-st * cl, sl, ct * cl]]
    }

    /// Where a place of the knife lies in the picture's plane, and how near to the eye, mm.
    fn seen(&self, p: [f64; 3]) -> [f64; 3] {
        self.axes().map(|axis| axis[0] * p[0] + axis[1] * p[1] + axis[2] * p[2])
    }
}

/// Which part of the picture's plane is drawn, and how large.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// What lies in the middle, mm.
    pub middle: Point,
    /// Millimetres of one dot.
    pub mm_per_dot: f64,
    /// Dots across.
    pub width: usize,
    /// Dots down.
    pub height: usize,
}

impl Frame {
    /// All of a scene with a little air, so many dots across at most.
    pub fn around(scene: &Scene, eye: &Eye, width: usize, height: usize) -> Self {
        const AIR: f64 = 1.06;
        let (low, high) = scene.extent(eye);
        let size = high - low;
        let wide = size.x * AIR / width.max(1) as f64;
        let tall = size.y * AIR / height.max(1) as f64;
        let mm_per_dot = wide.max(tall).max(1e-6);
        Self { middle: low.midpoint(high), mm_per_dot, width, height }
    }

    /// A place of the picture's plane in dots from the upper left corner.
    fn dots(&self, at: Vec2) -> [f64; 2] {
        let off = (at - self.middle.to_vec2()) / self.mm_per_dot;
        [off.x + self.width as f64 / 2.0, self.height as f64 / 2.0 - off.y]
    }
}

/// A picture: red, green, blue and opacity of each dot, row by row from the top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Dots across.
    pub width: usize,
    /// Dots down.
    pub height: usize,
    /// The dots.
    pub dots: Vec<[u8; 4]>,
}

impl Picture {
    /// Half as large: each dot the mean of four, for smooth rims.
    #[must_use]
    pub fn halved(&self) -> Self {
        let (width, height) = (self.width / 2, self.height / 2);
        let mean = |i: usize| {
            let (x, y) = (2 * (i % width), 2 * (i / width));
            let four = [(x, y), (x + 1, y), (x, y + 1), (x + 1, y + 1)]
                .map(|(x, y)| self.dots[y * self.width + x]);
            let opaque: u32 = four.iter().map(|dot| u32::from(dot[3])).sum();
            // Colours count by how opaque they are, else rims go dark.
            let color = [0, 1, 2].map(|channel| {
                let sum: u32 =
                    four.iter().map(|dot| u32::from(dot[channel]) * u32::from(dot[3])).sum();
                sum.checked_div(opaque).unwrap_or(0) as u8
            });
            [color[0], color[1], color[2], (opaque / 4) as u8]
        };
        Self { width, height, dots: (0..width * height).map(mean).collect() }
    }

    /// On a ground of one colour.
    #[must_use]
    pub fn on(mut self, ground: [u8; 3]) -> Self {
        for dot in &mut self.dots {
            let opaque = u32::from(dot[3]);
            for (channel, under) in dot.iter_mut().zip(ground) {
                let mixed = u32::from(*channel) * opaque + u32::from(under) * (255 - opaque);
                *channel = (mixed / 255) as u8;
            }
            dot[3] = 255;
        }
        self
    }
}

/// The picture of a scene; where there is no knife it is transparent.
pub fn picture(scene: &Scene, eye: &Eye, frame: &Frame) -> Picture {
    let hits = raster::hits(scene, eye, frame);
    shade::shaded(scene, eye, frame, &hits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::{Grain, Look, Material, Mesh, Part};

    fn slab() -> Scene {
        let points = (0..8).map(|i| {
            [f64::from(i & 1) * 40.0, f64::from(i >> 1 & 1) * 20.0, f64::from(i >> 2 & 1) * 4.0]
        });
        let quads =
            [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
        let triangles = quads.iter().flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]]);
        let mesh = Mesh { points: points.collect(), triangles: triangles.collect() };
        let look = Look { color: [180, 180, 180], shine: 0.2, polish: 10, grain: Grain::Plain };
        let material = Material { name: String::new(), look };
        Scene::of(&[Part { name: String::new(), material, mesh }])
    }

    fn opaque(picture: &Picture) -> usize {
        picture.dots.iter().filter(|dot| dot[3] == 255).count()
    }

    // By hand: 40 × 20 × 4 mm at a quarter of a millimetre a dot.
    #[test]
    fn six_sides_of_a_slab_are_as_large_as_they_are() {
        for (turn_deg, lift_deg, dots) in [
            (0.0, 0.0, 160 * 80),
            (180.0, 0.0, 160 * 80),
            (90.0, 0.0, 16 * 80),
            (-90.0, 0.0, 16 * 80),
            (0.0, 90.0, 160 * 16),
            (0.0, -90.0, 160 * 16),
        ] {
            let eye = Eye { turn_deg, lift_deg, from_x_mm: None };
            let scene = slab();
            let mut frame = Frame::around(&scene, &eye, 200, 200);
            frame.mm_per_dot = 0.25;
            let found = opaque(&picture(&scene, &eye, &frame));
            assert_eq!(found, dots, "{turn_deg} {lift_deg}");
        }
    }

    #[test]
    fn from_a_station_on_the_rest_is_cut_away() {
        let eye = Eye { turn_deg: 0.0, lift_deg: 0.0, from_x_mm: Some(30.0) };
        let scene = slab();
        let frame =
            Frame { middle: Point::new(20.0, 10.0), mm_per_dot: 0.25, width: 200, height: 200 };
        assert_eq!(opaque(&picture(&scene, &eye, &frame)), 40 * 80);
    }

    #[test]
    fn what_lies_beside_the_frame_is_not_drawn() {
        let scene = slab();
        let eye = Eye::THREE_QUARTER;
        for middle in [(1e3, 0.0), (-1e3, 5.0), (9.0, 1e3), (0.0, -1e3), (38.0, 18.0)] {
            let frame = Frame { middle: middle.into(), mm_per_dot: 0.1, width: 60, height: 40 };
            assert_eq!(picture(&scene, &eye, &frame).dots.len(), 60 * 40);
        }
    }

    #[test]
    fn rims_are_mixed_with_the_ground() {
        let eye = Eye::THREE_QUARTER;
        let scene = slab();
        let frame = Frame::around(&scene, &eye, 300, 200);
        let small = picture(&scene, &eye, &frame).halved();
        assert_eq!((small.width, small.height), (150, 100));
        assert!(small.dots.iter().any(|dot| dot[3] > 0 && dot[3] < 255));
        assert!(small.on([9, 9, 9]).dots.iter().all(|dot| dot[3] == 255));
    }
}
