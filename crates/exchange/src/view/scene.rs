//! Parts made ready to be drawn: triangles with the directions of their faces.

use super::Eye;
use crate::solid::{Look, Part, SolidFault, cross, dot, knife_parts, minus};
use knife::Knife;
use kurbo::Point;
use reckon::tables::Tables;
use reckon::{Shop, reckon};

/// Faces that meet at a smaller angle than this are one round face, degrees.
const SMOOTH_DEG: f64 = 24.0;

/// The parts of a knife as they are looked at: as [`knife_parts`] makes them, but with the joints
/// closed, as light would fall through the glue's thickness.
///
/// # Errors
/// [`SolidFault`]: why there is no such solid.
pub fn seen_parts(
    knife: &Knife,
    shop: &Shop,
    tables: &Tables,
    chord_mm: f64,
) -> Result<Vec<Part>, SolidFault> {
    let mut closed = knife.clone();
    closed.handle.glue_mm = Some(0.0);
    knife_parts(&closed, &reckon(&closed, shop, tables), tables, chord_mm)
}

/// Parts made ready to be drawn.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    pub(super) points: Vec<[f64; 3]>,
    pub(super) triangles: Vec<Facet>,
    pub(super) looks: Vec<Look>,
}

/// A triangle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facet {
    pub(super) corners: [u32; 3],
    /// Directions out of the face at its corners.
    pub(super) normals: [[f32; 3]; 3],
    pub(super) look: u32,
}

impl Scene {
    /// Makes parts ready.
    pub fn of(parts: &[Part]) -> Self {
        let mut scene = Self::default();
        for part in parts {
            scene.add(part);
        }
        scene
    }

    fn add(&mut self, part: &Part) {
        let mesh = &part.mesh;
        let wide: Vec<[f64; 3]> = mesh
            .triangles
            .iter()
            .map(|t| {
                let [a, b, c] = mesh.corners(*t);
                cross(minus(b, a), minus(c, a))
            })
            .collect();
        let unit: Vec<[f64; 3]> = wide.iter().map(|normal| normalized(*normal)).collect();
        // The triangles round each point.
        let mut around: Vec<Vec<usize>> = vec![Vec::new(); mesh.points.len()];
        for (i, triangle) in mesh.triangles.iter().enumerate() {
            triangle.iter().for_each(|corner| around[*corner as usize].push(i));
        }
        let min_cos = SMOOTH_DEG.to_radians().cos();
        let first = u32::try_from(self.points.len()).unwrap_or(u32::MAX);
        let look = u32::try_from(self.looks.len()).unwrap_or(u32::MAX);
        self.looks.push(part.material.look);
        self.points.extend_from_slice(&mesh.points);
        for (i, triangle) in mesh.triangles.iter().enumerate() {
            let normals = triangle.map(|corner| {
                let alike = around[corner as usize]
                    .iter()
                    .filter(|other| **other == i || dot(unit[**other], unit[i]) > min_cos);
                let sum = alike.fold([0.0; 3], |sum: [f64; 3], other| {
                    [0, 1, 2].map(|axis| sum[axis] + wide[*other][axis])
                });
                normalized(sum).map(|v| v as f32)
            });
            let corners = triangle.map(|corner| corner + first);
            self.triangles.push(Facet { corners, normals, look });
        }
    }

    /// How wide and how tall it is in the picture's plane, mm.
    pub fn size_mm(&self, eye: &Eye) -> (f64, f64) {
        let (low, high) = self.extent(eye);
        (high.x - low.x, high.y - low.y)
    }

    /// How many triangles there are.
    pub fn triangle_count(&self) -> usize {
        self.triangles.len()
    }

    /// The lowest and the highest coordinates, mm; `None` without points.
    pub fn bounds_mm(&self) -> Option<([f64; 3], [f64; 3])> {
        let first = *self.points.first()?;
        let wider = |(low, high): ([f64; 3], [f64; 3]), p: &[f64; 3]| {
            ([0, 1, 2].map(|i| low[i].min(p[i])), [0, 1, 2].map(|i| high[i].max(p[i])))
        };
        Some(self.points.iter().fold((first, first), wider))
    }

    /// The corners of what is seen, in the picture's plane, mm.
    pub(super) fn extent(&self, eye: &Eye) -> (Point, Point) {
        let shown = |p: &&[f64; 3]| eye.cut.is_none_or(|cut| cut.kept_mm(**p) >= 0.0);
        let seen = self.points.iter().filter(shown).map(|p| eye.seen(*p));
        let first = (
            Point::new(f64::INFINITY, f64::INFINITY),
            Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
        );
        let (low, high) = seen.fold(first, |(low, high), [x, y, _]| {
            (Point::new(low.x.min(x), low.y.min(y)), Point::new(high.x.max(x), high.y.max(y)))
        });
        if low.x <= high.x { (low, high) } else { (Point::ORIGIN, Point::ORIGIN) }
    }
}

fn normalized(v: [f64; 3]) -> [f64; 3] {
    let length = dot(v, v).sqrt();
    if length > 0.0 { v.map(|v| v / length) } else { [0.0, 0.0, 1.0] }
}
