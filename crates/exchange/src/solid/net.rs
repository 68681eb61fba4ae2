//! A region of the plane as triangles, fine enough that a body's two faces lie on them.

use super::SolidFault;
use super::lattice::Lattice;
use kurbo::Point;
use spade::handles::{FixedFaceHandle, InnerTag};
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};
use std::collections::{BTreeSet, HashMap, HashSet};

/// Rounds of refinement: each halves edges, so these reach any tolerance that makes sense.
const ROUNDS: usize = 10;
/// Edges shorter than this are not halved, mm.
const SHORTEST_MM: f64 = 0.2;
/// A net of more points is no net for a file to hand on.
const MAX_POINTS: usize = 300_000;

/// A body between two faces over the plane.
pub(crate) trait Body {
    /// Which of the cells, in which both faces are continuous, a place lies in.
    fn cell(&self, p: Point) -> u32;
    /// The lower and the upper face at a place, as they are in a cell or on its border, mm.
    fn heights(&self, p: Point, cell: u32) -> (f64, f64);
}

/// What a body covers: inside one of the outer rings and in none of the cuts. Rings may cross.
#[derive(Clone, Debug, Default)]
pub(crate) struct Region {
    /// Rings around it.
    pub(crate) outer: Vec<Vec<Point>>,
    /// What is cut out of it.
    pub(crate) cuts: Vec<Vec<Point>>,
}

impl Region {
    fn contains(&self, p: Point) -> bool {
        self.outer.iter().any(|ring| holds(ring, p)) && !self.cuts.iter().any(|ring| holds(ring, p))
    }
}

/// Whether a polygon holds a point (even-odd rule).
pub(crate) fn holds(ring: &[Point], p: Point) -> bool {
    let ends = ring.iter().zip(ring.iter().cycle().skip(1));
    ends.filter(|(a, b)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y)
    })
    .count()
        % 2
        == 1
}

/// How fine a net is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fineness {
    /// How far points lie apart where nothing asks for more, mm.
    pub(crate) spacing_mm: f64,
    /// How far the faces may lie from their triangles, mm.
    pub(crate) chord_mm: f64,
}

/// A triangle of a net, counter-clockwise, with the heights of both faces at its corners, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cell {
    pub(crate) corners: [usize; 3],
    pub(crate) low_mm: [f64; 3],
    pub(crate) high_mm: [f64; 3],
}

/// Triangles that cover a region.
pub(crate) struct Net {
    pub(crate) points: Vec<Point>,
    pub(crate) cells: Vec<Cell>,
}

type Cdt = ConstrainedDelaunayTriangulation<Point2<f64>>;

/// Covers a region with triangles whose edges follow its rings and the lines given (where faces
/// break or bend), then halves edges until both faces lie within the chord tolerance.
///
/// Constrained Delaunay triangulation by a library, points on a triangular grid within. Every
/// triangle that is looked at is taken off what is left of the budget.
///
/// # Errors
/// [`SolidFault::TooFine`] once the budget is used up, or when it would be from the start.
pub(crate) fn cover(
    region: &Region,
    lines: &[Vec<Point>],
    fineness: Fineness,
    lattice: Lattice,
    body: &dyn Body,
    budget: &mut usize,
) -> Result<Net, SolidFault> {
    let area_mm2 = bounds(region.outer.iter().flatten()).map_or(0.0, |bounds| bounds.area());
    // Two triangles a point of the grid.
    if 2.0 * area_mm2 / fineness.spacing_mm.powi(2) > *budget as f64 {
        return Err(SolidFault::TooFine);
    }
    let mut weave = Weave { cdt: Cdt::new(), lattice, fineness, taken: HashSet::new() };
    for ring in region.outer.iter().chain(&region.cuts) {
        weave.chain(ring, true)?;
    }
    for line in lines {
        weave.chain(line, false)?;
    }
    weave.fill(region)?;
    let mut known = HashMap::new();
    for _ in 0..ROUNDS {
        let cells = weave.cells(region, body, &mut known);
        *budget = budget.checked_sub(cells.len()).ok_or(SolidFault::TooFine)?;
        let more = weave.wanting(&cells, body);
        if more.is_empty() || weave.cdt.num_vertices() > MAX_POINTS {
            return Ok(weave.net(cells));
        }
        for p in more {
            weave.insert(p)?;
        }
    }
    let cells = weave.cells(region, body, &mut known);
    Ok(weave.net(cells))
}

struct Weave {
    cdt: Cdt,
    lattice: Lattice,
    fineness: Fineness,
    /// Squares of half a spacing through which rings and lines run.
    taken: HashSet<(i64, i64)>,
}

fn point(p: Point2<f64>) -> Point {
    Point::new(p.x, p.y)
}

impl Weave {
    fn insert(&mut self, p: Point) -> Result<spade::handles::FixedVertexHandle, SolidFault> {
        // Minus nought is no other place than nought.
        let placed = self.cdt.insert(Point2::new(p.x + 0.0, p.y + 0.0));
        placed.map_err(|_not_finite| SolidFault::NotFinite)
    }

    fn square(&self, p: Point) -> (i64, i64) {
        let side = self.fineness.spacing_mm / 2.0;
        ((p.x / side).floor() as i64, (p.y / side).floor() as i64)
    }

    /// Edges along a line, or round a ring, no longer than the spacing.
    fn chain(&mut self, line: &[Point], is_ring: bool) -> Result<(), SolidFault> {
        let mut through: Vec<Point> = Vec::new();
        let closing = if is_ring { line.first() } else { None };
        let corners: Vec<Point> = line.iter().chain(closing).copied().collect();
        for side in corners.windows(2) {
            let length_mm = side[0].distance(side[1]);
            let parts = (length_mm / self.fineness.spacing_mm).ceil().max(1.0);
            let at = |share: f64| side[0].lerp(side[1], share);
            through.extend((0..parts as usize).map(|i| self.lattice.coarse(at(i as f64 / parts))));
            for i in 0..(4.0 * parts) as usize {
                let square = self.square(at(i as f64 / (4.0 * parts)));
                self.taken.insert(square);
            }
        }
        through.extend(corners.last().map(|p| self.lattice.coarse(*p)));
        through.dedup();
        let placed: Vec<_> =
            through.into_iter().map(|p| self.insert(p)).collect::<Result<_, _>>()?;
        for ends in placed.windows(2) {
            self.cdt.add_constraint_and_split(ends[0], ends[1], |p| p);
        }
        Ok(())
    }

    /// Points on a triangular grid, off all rings and lines.
    fn fill(&mut self, region: &Region) -> Result<(), SolidFault> {
        let Some(bounds) = bounds(region.outer.iter().flatten()) else { return Ok(()) };
        let along = self.fineness.spacing_mm;
        let up = along * 0.75_f64.sqrt();
        for row in 0..=(bounds.height() / up) as usize {
            let shift = if row % 2 == 0 { 0.25 } else { 0.75 };
            for column in 0..=(bounds.width() / along) as usize {
                let off = ((column as f64 + shift) * along, (row as f64 + 0.5) * up);
                let p = self.lattice.coarse(Point::new(bounds.x0 + off.0, bounds.y0 + off.1));
                let (i, j) = self.square(p);
                let mut around = (-1..=1).flat_map(|di| (-1..=1).map(move |dj| (i + di, j + dj)));
                if !around.any(|square| self.taken.contains(&square)) && region.contains(p) {
                    self.insert(p)?;
                }
            }
        }
        Ok(())
    }

    /// Faces of the triangulation that the region holds. Whether it does is the same on both
    /// sides of an edge that no ring or line runs along, so it is asked once for each patch.
    fn inside(&self, region: &Region) -> Vec<FixedFaceHandle<InnerTag>> {
        let mut inside = Vec::new();
        let mut seen = vec![false; self.cdt.num_all_faces()];
        for face in self.cdt.inner_faces() {
            if std::mem::replace(&mut seen[face.fix().index()], true) {
                continue;
            }
            let mut patch = vec![face];
            let mut next = 0;
            while let Some(here) = patch.get(next).copied() {
                next += 1;
                for edge in here.adjacent_edges() {
                    let is_border = edge.as_undirected().is_constraint_edge();
                    let Some(beside) = edge.rev().face().as_inner().filter(|_| !is_border) else {
                        continue;
                    };
                    if !std::mem::replace(&mut seen[beside.fix().index()], true) {
                        patch.push(beside);
                    }
                }
            }
            let widest = patch.iter().max_by(|a, b| a.area().total_cmp(&b.area()));
            if widest.is_some_and(|face| region.contains(point(face.center()))) {
                inside.extend(patch.iter().map(|face| face.fix()));
            }
        }
        inside.sort_by_key(|face| face.index());
        inside
    }

    /// The region's triangles with their heights; those worked out before are known.
    fn cells(
        &self,
        region: &Region,
        body: &dyn Body,
        known: &mut HashMap<(usize, u32), (f64, f64)>,
    ) -> Vec<Cell> {
        let cell = |face: FixedFaceHandle<InnerTag>| {
            let face = self.cdt.face(face);
            let of = body.cell(point(face.center()));
            let corners = face.vertices();
            let heights = corners.map(|vertex| {
                let key = (vertex.fix().index(), of);
                *known.entry(key).or_insert_with(|| body.heights(point(vertex.position()), of))
            });
            Cell {
                corners: corners.map(|vertex| vertex.fix().index()),
                low_mm: heights.map(|(low, _)| low),
                high_mm: heights.map(|(_, high)| high),
            }
        };
        self.inside(region).into_iter().map(cell).collect()
    }

    fn at(&self, corner: usize) -> Point {
        let vertex = spade::handles::FixedVertexHandle::from_index(corner);
        point(self.cdt.vertex(vertex).position())
    }

    /// Where the faces stray from their triangles, and where they stray most on each.
    fn wanting(&self, cells: &[Cell], body: &dyn Body) -> Vec<Point> {
        let mut found: BTreeSet<(i64, i64)> = BTreeSet::new();
        for cell in cells {
            let corners = cell.corners.map(|corner| self.at(corner));
            let middle = ((corners[0].to_vec2() + corners[1].to_vec2() + corners[2].to_vec2())
                / 3.0)
                .to_point();
            let of = body.cell(middle);
            let steep = [cell.low_mm, cell.high_mm].map(|z| steepness(corners, z));
            let stray = |p: Point, shares: [f64; 3]| {
                let (low, high) = body.heights(p, of);
                let flat = |z: [f64; 3]| z[0] * shares[0] + z[1] * shares[1] + z[2] * shares[2];
                let off = [(low - flat(cell.low_mm)).abs(), (high - flat(cell.high_mm)).abs()];
                (off[0] / steep[0]).max(off[1] / steep[1])
            };
            let mut worst = (self.fineness.chord_mm, None);
            for i in 0..3 {
                let (a, b) = (corners[i], corners[(i + 1) % 3]);
                let mut shares = [0.5; 3];
                shares[(i + 2) % 3] = 0.0;
                let halfway = a.midpoint(b);
                let off = stray(halfway, shares);
                // A ring's or a line's own edge can be halved only where its middle is a place
                // of the lattice: it would be bent otherwise.
                let is_free = self.lattice.holds(halfway) || !self.is_line(cell, i);
                if off > worst.0 && a.distance(b) > SHORTEST_MM && is_free {
                    worst = (off, Some(halfway));
                }
            }
            let off = stray(middle, [1.0 / 3.0; 3]);
            if off > worst.0 && steepness(corners, [0.0; 3]) > 0.0 && wide(corners) {
                worst = (off, Some(middle));
            }
            if let Some(p) = worst.1 {
                found.insert((self.lattice.steps(p.x), self.lattice.steps(p.y)));
            }
        }
        found.into_iter().map(|(x, y)| Point::new(self.lattice.mm(x), self.lattice.mm(y))).collect()
    }

    /// Whether a side of a triangle is an edge of a ring or a line.
    fn is_line(&self, cell: &Cell, side: usize) -> bool {
        let ends = [cell.corners[side], cell.corners[(side + 1) % 3]]
            .map(spade::handles::FixedVertexHandle::from_index);
        self.cdt.exists_constraint(ends[0], ends[1])
    }

    /// The net on the lattice. Where a line crossed another so near to a point that both lie on
    /// one place of it, they are one.
    fn net(&self, cells: Vec<Cell>) -> Net {
        let mut places: HashMap<(i64, i64), usize> = HashMap::new();
        let mut points = Vec::with_capacity(self.cdt.num_vertices());
        let mut first = Vec::with_capacity(self.cdt.num_vertices());
        for (i, vertex) in self.cdt.vertices().enumerate() {
            let p = self.lattice.fine(point(vertex.position()));
            let key = (self.lattice.steps(p.x), self.lattice.steps(p.y));
            first.push(*places.entry(key).or_insert(i));
            points.push(p);
        }
        let kept = cells.into_iter().filter_map(|cell| {
            let [a, b, c] = cell.corners.map(|corner| first[corner]);
            (a != b && b != c && c != a).then_some(Cell { corners: [a, b, c], ..cell })
        });
        Net { cells: kept.collect(), points }
    }
}

/// Whether all sides of a triangle are long enough to put a point between them.
fn wide(corners: [Point; 3]) -> bool {
    let twice = (corners[1] - corners[0]).cross(corners[2] - corners[0]).abs();
    let longest = (0..3).map(|i| corners[i].distance(corners[(i + 1) % 3])).fold(0.0, f64::max);
    twice > longest * SHORTEST_MM
}

/// How much longer a way on the triangle is than in the plane: √(1 + slope²).
fn steepness(corners: [Point; 3], z: [f64; 3]) -> f64 {
    let (u, v) = (corners[1] - corners[0], corners[2] - corners[0]);
    let twice = u.cross(v);
    if twice == 0.0 {
        return f64::INFINITY;
    }
    let (du, dv) = (z[1] - z[0], z[2] - z[0]);
    let slope = [(du * v.y - dv * u.y) / twice, (dv * u.x - du * v.x) / twice];
    (1.0 + slope[0] * slope[0] + slope[1] * slope[1]).sqrt()
}

/// The box around points.
pub(crate) fn bounds<'a>(points: impl IntoIterator<Item = &'a Point>) -> Option<kurbo::Rect> {
    points.into_iter().map(|p| kurbo::Rect::from_points(*p, *p)).reduce(|a, b| a.union(b))
}
