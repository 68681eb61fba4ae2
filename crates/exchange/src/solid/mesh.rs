//! A closed triangle mesh, what it measures, and whether it is one.

use std::collections::HashMap;

/// A triangle mesh; each triangle runs counter-clockwise seen from outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corners, mm.
    pub points: Vec<[f64; 3]>,
    /// Triangles, by their corners.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// A triangle's three corners, mm.
    pub fn corners(&self, triangle: [u32; 3]) -> [[f64; 3]; 3] {
        triangle.map(|corner| self.points[corner as usize])
    }

    /// Volume enclosed, mm³; positive when triangles face outward (divergence theorem).
    pub fn volume_mm3(&self) -> f64 {
        self.signed().0
    }

    /// Centre of the volume, mm; the origin for a mesh without volume.
    pub fn centre_mm(&self) -> [f64; 3] {
        let (volume, moment) = self.signed();
        if volume == 0.0 { [0.0; 3] } else { moment.map(|m| m / volume) }
    }

    /// Volume and its first moments, from tetrahedra with a common corner on the mesh.
    fn signed(&self) -> (f64, [f64; 3]) {
        let Some(&apex) = self.points.first() else { return (0.0, [0.0; 3]) };
        let (mut volume, mut moment) = (0.0, [0.0; 3]);
        for triangle in &self.triangles {
            let [a, b, c] = self.corners(*triangle).map(|p| minus(p, apex));
            let tetrahedron = dot(a, cross(b, c)) / 6.0;
            volume += tetrahedron;
            for axis in 0..3 {
                moment[axis] += tetrahedron * (a[axis] + b[axis] + c[axis]) / 4.0;
            }
        }
        let from_origin = [0, 1, 2].map(|axis| moment[axis] + apex[axis] * volume);
        (volume, from_origin)
    }

    /// The lowest and the highest coordinates, mm; `None` without points.
    pub fn bounds_mm(&self) -> Option<([f64; 3], [f64; 3])> {
        let first = *self.points.first()?;
        let wider = |(low, high): ([f64; 3], [f64; 3]), p: &[f64; 3]| {
            ([0, 1, 2].map(|i| low[i].min(p[i])), [0, 1, 2].map(|i| high[i].max(p[i])))
        };
        Some(self.points.iter().fold((first, first), wider))
    }

    /// Whether every edge belongs to exactly two triangles that run along it in opposite
    /// directions, so that the mesh is closed and faces one way everywhere.
    pub fn is_closed(&self) -> bool {
        let edges = self.directed_edges();
        edges.iter().all(|((a, b), count)| {
            a != b && *count == 1 && edges.get(&(*b, *a)).is_some_and(|back| *back == 1)
        })
    }

    /// Euler's characteristic, points − edges + triangles: of a closed surface 2 for each
    /// connected piece less 2 for each hole through it.
    pub fn euler_characteristic(&self) -> i64 {
        let count = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
        let mut used = vec![false; self.points.len()];
        self.triangles.iter().flatten().for_each(|corner| used[*corner as usize] = true);
        let points = used.iter().filter(|is_used| **is_used).count();
        count(points) - count(self.directed_edges().len() / 2) + count(self.triangles.len())
    }

    fn directed_edges(&self) -> HashMap<(u32, u32), u32> {
        let mut edges = HashMap::with_capacity(3 * self.triangles.len());
        for [a, b, c] in &self.triangles {
            for edge in [(*a, *b), (*b, *c), (*c, *a)] {
                *edges.entry(edge).or_insert(0) += 1;
            }
        }
        edges
    }

    /// The mesh with every point taken elsewhere by a rigid motion. A motion that mirrors turns
    /// triangles round, so that they still face outward.
    #[must_use]
    pub fn moved(&self, motion: impl Fn([f64; 3]) -> [f64; 3]) -> Self {
        let points: Vec<[f64; 3]> = self.points.iter().map(|p| motion(*p)).collect();
        let at = |p: [f64; 3]| motion(p);
        let origin = at([0.0; 3]);
        let [x, y, z] =
            [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|axis| minus(at(axis), origin));
        let triangles = if dot(x, cross(y, z)) < 0.0 {
            self.triangles.iter().map(|[a, b, c]| [*a, *c, *b]).collect()
        } else {
            self.triangles.clone()
        };
        Self { points, triangles }
    }

    /// Adds another mesh's triangles as a further piece.
    pub fn append(&mut self, other: &Self) {
        let first = u32::try_from(self.points.len()).unwrap_or(u32::MAX);
        self.points.extend_from_slice(&other.points);
        let shifted = other.triangles.iter().map(|triangle| triangle.map(|corner| corner + first));
        self.triangles.extend(shifted);
    }
}

pub(crate) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A box by its opposite corners.
    fn cuboid(low: [f64; 3], high: [f64; 3]) -> Mesh {
        let points = (0..8)
            .map(|i| [0, 1, 2].map(|axis| if i >> axis & 1 == 1 { high[axis] } else { low[axis] }));
        let quads =
            [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]];
        let triangles = quads.iter().flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]]);
        Mesh { points: points.collect(), triangles: triangles.collect() }
    }

    #[test]
    fn a_box_measures_what_it_does_by_hand() {
        let mesh = cuboid([10.0, 20.0, 30.0], [12.0, 23.0, 37.0]);
        assert!(mesh.is_closed());
        assert_eq!(mesh.euler_characteristic(), 2);
        assert!((mesh.volume_mm3() - 42.0).abs() < 1e-9);
        let centre = mesh.centre_mm();
        for (found, wanted) in centre.iter().zip([11.0, 21.5, 33.5]) {
            assert!((found - wanted).abs() < 1e-9);
        }
    }

    #[test]
    fn a_missing_or_turned_triangle_is_noticed() {
        let mut open = cuboid([0.0; 3], [1.0; 3]);
        open.triangles.pop();
        assert!(!open.is_closed());
        let mut turned = cuboid([0.0; 3], [1.0; 3]);
        turned.triangles[0].swap(0, 1);
        assert!(!turned.is_closed());
    }

    #[test]
    fn a_mirrored_mesh_still_faces_outward() {
        let mesh = cuboid([0.0; 3], [2.0, 3.0, 4.0]);
        let mirrored = mesh.moved(|[x, y, z]| [x + 5.0, y, -z]);
        assert!(mirrored.is_closed() && (mirrored.volume_mm3() - 24.0).abs() < 1e-9);
        let mut both = mesh.clone();
        both.append(&mirrored.moved(|[x, y, z]| [x, y, z - 10.0]));
        assert!(both.is_closed() && (both.volume_mm3() - 48.0).abs() < 1e-9);
        assert_eq!(both.euler_characteristic(), 4);
    }
}
