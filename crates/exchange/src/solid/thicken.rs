//! From a net with heights to a closed mesh: two faces, and a wall wherever they break.

use super::SolidFault;
use super::lattice::Lattice;
use super::mesh::Mesh;
use super::net::{Cell, Net};
use std::collections::HashMap;

/// Heights over one point that differ by no more steps of the lattice are one.
const SAME_STEPS: i64 = 8;

/// The lower and the upper face over a point, in steps of the lattice.
type Span = (i64, i64);

/// The mesh of a net: its lower and its upper face, and vertical walls along its rim and along
/// every edge at which neighbours stand at different heights.
///
/// Over each point of the net all heights in use are corners of the mesh, and every wall beside
/// it uses all of those that it spans: so walls of different height still share their edges.
///
/// # Errors
/// [`SolidFault`] where a face lies beneath the other one.
pub(crate) fn thicken(net: &Net, lattice: Lattice) -> Result<Mesh, SolidFault> {
    let mut posts = Posts { lattice, net, levels: vec![Vec::new(); net.points.len()] };
    let mut spans = Vec::with_capacity(net.cells.len());
    for cell in &net.cells {
        let mut span = [(0, 0); 3];
        for (i, &corner) in cell.corners.iter().enumerate() {
            let (low, high) = (lattice.steps(cell.low_mm[i]), lattice.steps(cell.high_mm[i]));
            if high < low - SAME_STEPS {
                let at = net.points[corner];
                return Err(SolidFault::NoThickness { x_mm: at.x, y_mm: at.y });
            }
            span[i] = (posts.level(corner, low), posts.level(corner, high.max(low)));
        }
        spans.push(span);
    }
    // Where the faces meet over a whole triangle there is nothing.
    let solid = net.cells.iter().zip(spans);
    let solid = solid.filter(|(_, span)| span.iter().any(|(low, high)| low != high));
    let (cells, spans): (Vec<&Cell>, Vec<[Span; 3]>) = solid.unzip();
    let ids = posts.numbered();
    let mut builder = Builder { posts: &posts, ids: &ids, triangles: Vec::new() };
    let mut sides: HashMap<(usize, usize), (Span, Span)> = HashMap::new();
    for (cell, span) in cells.iter().zip(&spans) {
        let [a, b, c] = cell.corners;
        builder.triangle([(a, span[0].1), (b, span[1].1), (c, span[2].1)]);
        builder.triangle([(a, span[0].0), (c, span[2].0), (b, span[1].0)]);
        for i in 0..3 {
            let j = (i + 1) % 3;
            sides.insert((cell.corners[i], cell.corners[j]), (span[i], span[j]));
        }
    }
    for (cell, span) in cells.iter().zip(&spans) {
        for i in 0..3 {
            let j = (i + 1) % 3;
            let (a, b) = (cell.corners[i], cell.corners[j]);
            match sides.get(&(b, a)) {
                None => builder.wall(a, b, (span[i].0, span[j].0), (span[i].1, span[j].1)),
                // Each pair of neighbours once.
                Some((of_b, of_a)) if a < b => {
                    builder.wall(a, b, (of_a.1, of_b.1), (span[i].1, span[j].1));
                    builder.wall(a, b, (span[i].0, span[j].0), (of_a.0, of_b.0));
                }
                Some(_) => {}
            }
        }
    }
    let mesh = Mesh { points: posts.points(), triangles: builder.triangles };
    if mesh.is_closed() { Ok(mesh) } else { Err(SolidFault::NotClosed) }
}

/// The heights in use over each point of the net, in steps of the lattice.
struct Posts<'a> {
    lattice: Lattice,
    net: &'a Net,
    levels: Vec<Vec<i64>>,
}

impl Posts<'_> {
    /// The height over a point that stands for this one.
    fn level(&mut self, point: usize, steps: i64) -> i64 {
        let levels = &mut self.levels[point];
        let near = levels.iter().find(|level| (**level - steps).abs() <= SAME_STEPS);
        near.copied().unwrap_or_else(|| {
            let at = levels.partition_point(|level| *level < steps);
            levels.insert(at, steps);
            steps
        })
    }

    /// The number of each point's lowest corner.
    fn numbered(&self) -> Vec<usize> {
        let mut next = 0;
        let number = |levels: &Vec<i64>| {
            let first = next;
            next += levels.len();
            first
        };
        self.levels.iter().map(number).collect()
    }

    fn points(&self) -> Vec<[f64; 3]> {
        let post = |(p, levels): (&kurbo::Point, &Vec<i64>)| {
            let (x, y) = (p.x + 0.0, p.y + 0.0);
            levels.iter().map(|level| [x, y, self.lattice.mm(*level) + 0.0]).collect::<Vec<_>>()
        };
        self.net.points.iter().zip(&self.levels).flat_map(post).collect()
    }
}

struct Builder<'a> {
    posts: &'a Posts<'a>,
    ids: &'a [usize],
    triangles: Vec<[u32; 3]>,
}

impl Builder<'_> {
    fn id(&self, (point, level): (usize, i64)) -> u32 {
        let at = self.posts.levels[point].partition_point(|other| *other < level);
        u32::try_from(self.ids[point] + at).unwrap_or(u32::MAX)
    }

    /// Adds a triangle, unless two of its corners are one.
    fn triangle(&mut self, corners: [(usize, i64); 3]) {
        let [a, b, c] = corners.map(|corner| self.id(corner));
        if a != b && b != c && c != a {
            self.triangles.push([a, b, c]);
        }
    }

    /// The heights over a point from one to another.
    fn between(&self, point: usize, from: i64, to: i64) -> Vec<(usize, i64)> {
        let (low, high) = (from.min(to), from.max(to));
        let levels = self.posts.levels[point].iter().filter(|level| (low..=high).contains(level));
        let mut chain: Vec<(usize, i64)> = levels.map(|level| (point, *level)).collect();
        if from > to {
            chain.reverse();
        }
        chain
    }

    /// A wall over the edge from `a` to `b`, from the first pair of heights (over `a`, over `b`)
    /// up to the second; it faces to the right of the edge.
    fn wall(&mut self, a: usize, b: usize, from: (i64, i64), to: (i64, i64)) {
        let (left, right) = (self.between(a, from.0, to.0), self.between(b, from.1, to.1));
        let (mut i, mut j) = (0, 0);
        while i + 1 < left.len() || j + 1 < right.len() {
            let goes_left = match (left.get(i + 1), right.get(j + 1)) {
                (Some(next), Some(other)) => (next.1 - from.0).abs() <= (other.1 - from.1).abs(),
                (next, _) => next.is_some(),
            };
            if goes_left {
                self.triangle([left[i], right[j], left[i + 1]]);
                i += 1;
            } else {
                self.triangle([left[i], right[j], right[j + 1]]);
                j += 1;
            }
        }
    }
}
