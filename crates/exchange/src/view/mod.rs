//! The knife seen from any side: its parts' meshes drawn by the processor, each in the look of its
//! material.
//!
//! Parallel projection, so that lengths across the line of sight are true; a depth buffer decides
//! what hides what. The same parts and the same eye give the same picture on every machine.

mod raster;
mod scene;
mod shade;
mod side;

pub use scene::{Scene, seen_parts};
pub use side::{Lie, Side};

use kurbo::{Point, Vec2};

/// From where the knife is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// Rows of the turn from the knife's axes to the picture's: right, up, and towards the eye.
    axes: [[f64; 3]; 3],
    /// Where the knife is cut open, if it is.
    pub cut: Option<Cut>,
}

/// A plane at which the knife is cut open: what lies on its far side alone is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Direction, of length 1, towards what is kept.
    pub keeps: [f64; 3],
    /// How far the plane lies from the origin in that direction, mm.
    pub from_mm: f64,
}

impl Cut {
    /// Square to the knife's length at a station; `towards` is +1 to keep larger x, −1 smaller.
    pub fn across(x_mm: f64, towards: f64) -> Self {
        Self { keeps: [towards, 0.0, 0.0], from_mm: x_mm * towards }
    }

    /// Parallel to the faces at a height over the centre plane; `towards` is +1 to keep what lies
    /// at larger z, −1 at smaller.
    pub fn along(z_mm: f64, towards: f64) -> Self {
        Self { keeps: [0.0, 0.0, towards], from_mm: z_mm * towards }
    }

    /// How far a place lies on the side that is kept, mm; negative where it is cut away.
    pub(crate) fn kept_mm(&self, p: [f64; 3]) -> f64 {
        crate::solid::dot(self.keeps, p) - self.from_mm
    }
}

impl Eye {
    /// Turned about the knife's upright, then about the picture's level, degrees. At 0 and 0 the
    /// face at +z is seen, x to the right and y up; a positive lift looks from above.
    pub fn turned(turn_deg: f64, lift_deg: f64) -> Self {
        let (st, ct) = turn_deg.to_radians().sin_cos();
        let (sl, cl) = lift_deg.to_radians().sin_cos();
        Self { axes: [[ct, 0.0, st], [st * sl, cl, -ct * sl], [-st * cl, sl, ct * cl]], cut: None }
    }

    /// The same with the knife turned as it is seen, degrees: about the picture's upright, so that
    /// what is near goes to the right, then about its level, so that what is near goes down.
    #[must_use]
    pub fn turned_by(self, right_deg: f64, down_deg: f64) -> Self {
        let [right, up, near] = self.axes;
        let (s, c) = right_deg.to_radians().sin_cos();
        let (right, near) = (mixed(right, c, near, s), mixed(near, c, right, -s));
        let (s, c) = down_deg.to_radians().sin_cos();
        let (up, near) = (mixed(up, c, near, -s), mixed(near, c, up, s));
        Self { axes: squared([right, up, near]), ..self }
    }

    /// The same with the knife rolled in the picture's plane, counter-clockwise, degrees.
    #[must_use]
    pub fn rolled_by(self, degrees: f64) -> Self {
        let [right, up, near] = self.axes;
        let (s, c) = degrees.to_radians().sin_cos();
        let (right, up) = (mixed(right, c, up, -s), mixed(up, c, right, s));
        Self { axes: squared([right, up, near]), ..self }
    }

    /// The same, cut open there.
    #[must_use]
    pub fn with_cut(self, cut: Option<Cut>) -> Self {
        Self { cut, ..self }
    }

    /// Whether both look from the same direction, but for rounding.
    pub fn looks_as(&self, other: &Self) -> bool {
        let pairs = self.axes.iter().flatten().zip(other.axes.iter().flatten());
        pairs.into_iter().all(|(a, b)| (a - b).abs() < 1e-6)
    }

    /// Where a place of the knife lies in the picture's plane, and how near to the eye, mm.
    pub fn seen(&self, p: [f64; 3]) -> [f64; 3] {
        self.axes.map(|axis| crate::solid::dot(axis, p))
    }
}

fn mixed(a: [f64; 3], share_a: f64, b: [f64; 3], share_b: f64) -> [f64; 3] {
    [0, 1, 2].map(|axis| a[axis] * share_a + b[axis] * share_b)
}

/// Axes made square to each other and of length 1 again (Gram and Schmidt), so that turning on
/// and on distorts nothing.
fn squared([right, up, _]: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let unit = |v: [f64; 3]| mixed(v, 1.0 / crate::solid::dot(v, v).sqrt(), v, 0.0);
    let right = unit(right);
    let up = unit(mixed(up, 1.0, right, -crate::solid::dot(up, right)));
    [right, up, crate::solid::cross(right, up)]
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

    /// The same frame with so many dots for each of its own, at least one in all.
    #[must_use]
    pub fn scaled(&self, by: f64) -> Self {
        // Casting saturates.
        let dots = |n: usize| ((n as f64 * by).round() as usize).max(1);
        let (width, height) = (dots(self.width), dots(self.height));
        let mm_per_dot = self.mm_per_dot * self.width as f64 / width as f64;
        Self { middle: self.middle, mm_per_dot, width, height }
    }

    /// A place of the picture's plane in dots from the upper left corner.
    pub fn dots(&self, at: Vec2) -> [f64; 2] {
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

/// More threads than this gain nothing on so small a picture.
const MAX_THREADS: usize = 8;
/// A picture of fewer dots is drawn before a thread has started.
const FEW_DOTS: usize = 20_000;

/// The picture of a scene; where there is no knife it is transparent. Bands of it are drawn side
/// by side on as many threads as there are processors; the dots don't depend on how many.
pub fn picture(scene: &Scene, eye: &Eye, frame: &Frame) -> Picture {
    let Frame { width, height, .. } = *frame;
    let seen = raster::Seen::of(scene, eye, frame);
    let mut dots = vec![[0; 4]; width * height];
    let threads = match width * height {
        0..FEW_DOTS => 1,
        _ => std::thread::available_parallelism().map_or(1, usize::from).min(MAX_THREADS),
    };
    // More bands than threads: the knife fills some of them and hardly touches others.
    let rows = height.div_ceil(4 * threads).max(1);
    let mut shares: Vec<Vec<_>> = (0..threads).map(|_| Vec::new()).collect();
    for (i, band) in dots.chunks_mut((rows * width).max(1)).enumerate() {
        shares[i % threads].push((i * rows, band));
    }
    let work = |share: Vec<(usize, &mut [[u8; 4]])>| {
        for (first, band) in share {
            let hits = seen.hits(first, band.len() / width.max(1));
            shade::shade(scene, eye, frame, first, &hits, band);
        }
    };
    std::thread::scope(|scope| {
        let own = shares.pop();
        for share in shares {
            scope.spawn(|| work(share));
        }
        own.into_iter().for_each(work);
    });
    Picture { width, height, dots }
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
            let eye = Eye::turned(turn_deg, lift_deg);
            let scene = slab();
            let mut frame = Frame::around(&scene, &eye, 200, 200);
            frame.mm_per_dot = 0.25;
            let found = opaque(&picture(&scene, &eye, &frame));
            assert_eq!(found, dots, "{turn_deg} {lift_deg}");
        }
    }

    #[test]
    fn from_a_station_on_the_rest_is_cut_away() {
        let eye = Eye::turned(0.0, 0.0).with_cut(Some(Cut::across(30.0, 1.0)));
        let scene = slab();
        let frame =
            Frame { middle: Point::new(20.0, 10.0), mm_per_dot: 0.25, width: 200, height: 200 };
        assert_eq!(opaque(&picture(&scene, &eye, &frame)), 40 * 80);
        // The other half, and the lower one seen from above: the cut itself is seen.
        let other = eye.with_cut(Some(Cut::across(30.0, -1.0)));
        assert_eq!(opaque(&picture(&scene, &other, &frame)), 120 * 80);
        let lower = eye.with_cut(Some(Cut::along(1.0, -1.0)));
        assert_eq!(opaque(&picture(&scene, &lower, &frame)), 160 * 80);
        let gone = eye.with_cut(Some(Cut::along(5.0, 1.0)));
        assert_eq!(opaque(&picture(&scene, &gone, &frame)), 0);
    }

    #[test]
    fn turning_by_steps_goes_where_one_turn_goes() {
        let eye = (0..9).fold(Eye::turned(0.0, 0.0), |eye, _| eye.turned_by(0.0, 10.0));
        assert!(eye.looks_as(&Eye::turned(0.0, 90.0)));
        let eye = (0..18).fold(Eye::turned(0.0, 0.0), |eye, _| eye.turned_by(10.0, 0.0));
        assert!(eye.looks_as(&Eye::turned(180.0, 0.0)));
        let round = (0..36).fold(eye, |eye, _| eye.rolled_by(10.0));
        assert!(round.looks_as(&eye) && !eye.rolled_by(90.0).looks_as(&eye));
        // By hand: a quarter roll counter-clockwise brings x up.
        assert!(
            (Eye::turned(0.0, 0.0).rolled_by(90.0).seen([1.0, 0.0, 0.0])[1] - 1.0).abs() < 1e-12
        );
        // What is near goes to the right, and down.
        let near = |eye: Eye| eye.seen([0.0, 0.0, 1.0]);
        assert!(near(Eye::turned(0.0, 0.0).turned_by(30.0, 0.0))[0] > 0.4);
        assert!(near(Eye::turned(0.0, 0.0).turned_by(0.0, 30.0))[1] < -0.4);
    }

    #[test]
    fn a_cut_face_is_told_from_an_outer_one() {
        let scene = slab();
        let frame =
            Frame { middle: Point::new(0.0, 10.0), mm_per_dot: 0.1, width: 60, height: 220 };
        let eye = Eye::turned(90.0, 0.0);
        let whole = picture(&scene, &eye, &frame);
        let cut = picture(&scene, &eye.with_cut(Some(Cut::across(20.0, 1.0))), &frame);
        assert_eq!(opaque(&whole), opaque(&cut));
        let colors = |picture: &Picture| {
            let mut all: Vec<[u8; 4]> =
                picture.dots.iter().filter(|d| d[3] == 255).copied().collect();
            all.sort_unstable();
            all.dedup();
            all
        };
        // Hatched in two tones, none of them the face's own.
        assert_eq!(colors(&cut).len(), 2);
        assert!(colors(&cut).iter().all(|color| !colors(&whole).contains(color)));
    }

    #[test]
    fn what_lies_beside_the_frame_is_not_drawn() {
        let scene = slab();
        let eye = Eye::turned(-24.0, 30.0);
        for middle in [(1e3, 0.0), (-1e3, 5.0), (9.0, 1e3), (0.0, -1e3), (38.0, 18.0)] {
            let frame = Frame { middle: middle.into(), mm_per_dot: 0.1, width: 60, height: 40 };
            assert_eq!(picture(&scene, &eye, &frame).dots.len(), 60 * 40);
        }
    }

    #[test]
    fn rims_are_mixed_with_the_ground() {
        let eye = Eye::turned(-24.0, 30.0);
        let scene = slab();
        let frame = Frame::around(&scene, &eye, 300, 200);
        let small = picture(&scene, &eye, &frame).halved();
        assert_eq!((small.width, small.height), (150, 100));
        assert!(small.dots.iter().any(|dot| dot[3] > 0 && dot[3] < 255));
        assert!(small.on([9, 9, 9]).dots.iter().all(|dot| dot[3] == 255));
    }
}
