//! Finding the tracing mat: its targets, the lattice they stand on, its marks.

use crate::contour::{Contour, Field, contours};
use crate::homography::{apply, homography};
use crate::{Gray, Plane, Progress, TraceError, quad};
use kurbo::{Affine, Point, Vec2};
use mat::{MARK_CELLS, Mat, OPENING_MM, PITCH_MM, TARGET_MM};

/// Longest side of the picture in which targets are looked for, px.
const SEARCH_PX: usize = 2048;
/// Targets nearer to their places than this are never left out, mm.
const OFF_MM: f64 = 0.03;
/// The fewest targets from which anything is said.
const MIN_FOUND: usize = 8;

/// The mat found in a picture.
#[derive(Clone, Debug)]
pub(crate) struct FoundMat {
    pub(crate) plane: Plane,
    pub(crate) mat: Mat,
    /// Targets used.
    pub(crate) used: usize,
    /// Root mean square distance of the targets' corners from their places, mm.
    pub(crate) rms_mm: f64,
}

/// A target: the corners of its black and its white square, px.
#[derive(Clone, Debug)]
struct Target {
    outer: [Point; 4],
    inner: [Point; 4],
}

impl Target {
    fn centre(&self) -> Point {
        quad::centre(&self.outer).unwrap_or(self.outer[0])
    }

    fn turned(&self, by: usize) -> Self {
        let turn = |q: &[Point; 4]| std::array::from_fn(|i| q[(i + by) % 4]);
        Self { outer: turn(&self.outer), inner: turn(&self.inner) }
    }

    fn side(&self) -> f64 {
        quad::area(&self.outer).sqrt()
    }
}

/// A target and its place on the lattice.
#[derive(Clone, Debug)]
struct Placed {
    target: Target,
    at: (i64, i64),
}

/// Finds the mat in a picture and how the picture lies on it.
///
/// # Errors
/// [`TraceError::NoMat`], [`TraceError::PartOfMat`] and [`TraceError::NoMark`].
pub(crate) fn find(gray: &Gray, progress: &Progress) -> Result<FoundMat, TraceError> {
    let targets = targets(gray, progress)?;
    let placed = lattice(gray, &targets);
    match placed.len() {
        0..4 => return Err(TraceError::NoMat),
        4..MIN_FOUND => return Err(TraceError::PartOfMat { found: placed.len() }),
        _ => {}
    }
    let (mat, placed) = oriented(gray, &placed).ok_or(TraceError::NoMark)?;
    let found = placed.len();
    let (last_c, last_r) = (i64::from(mat.columns) - 1, i64::from(mat.rows) - 1);
    let any = |on: &dyn Fn((i64, i64)) -> bool| placed.iter().any(|p| on(p.at));
    let all_sides = any(&|at| at.0 == 0)
        && any(&|at| at.0 == last_c)
        && any(&|at| at.1 == 0)
        && any(&|at| at.1 == last_r);
    if !all_sides || found * 2 < mat.count() as usize {
        return Err(TraceError::PartOfMat { found });
    }
    settled(gray, mat, placed).ok_or(TraceError::PartOfMat { found })
}

/// The plane by least squares over all targets; those far off their places are left out.
fn settled(gray: &Gray, mat: Mat, mut placed: Vec<Placed>) -> Option<FoundMat> {
    let place = |at: (i64, i64)| mat.place(at.0 as f64, at.1 as f64);
    let mut plane = plane_of(gray, &placed, &place, true)?;
    for _ in 0..2 {
        let mut offs: Vec<f64> = placed.iter().map(|p| off(&plane, p, &place)).collect();
        let each = offs.clone();
        offs.sort_by(f64::total_cmp);
        let limit = (4.0 * offs[offs.len() / 2]).max(OFF_MM);
        let before = placed.len();
        placed = placed.into_iter().zip(each).filter(|(_, o)| *o <= limit).map(|p| p.0).collect();
        if placed.len() == before {
            break;
        }
        plane = plane_of(gray, &placed, &place, true)?;
    }
    let squares = placed.iter().map(|p| off(&plane, p, &place).powi(2));
    let rms_mm = (squares.sum::<f64>() / placed.len() as f64).sqrt();
    Some(FoundMat { plane, mat, used: placed.len(), rms_mm })
}

/// How far a target's corners lie from their places, root mean square, mm.
fn off(plane: &Plane, placed: &Placed, place: &impl Fn((i64, i64)) -> Point) -> f64 {
    let pairs = pairs(placed, place(placed.at));
    let sum: f64 = pairs.iter().map(|(mm, px)| plane.mm(*px).distance_squared(*mm)).sum();
    (sum / pairs.len() as f64).sqrt()
}

/// The corners of a square of this side about the origin, counter-clockwise.
fn square(side: f64) -> [Vec2; 4] {
    let h = side / 2.0;
    [Vec2::new(-h, -h), Vec2::new(h, -h), Vec2::new(h, h), Vec2::new(-h, h)]
}

/// A target's corners: where they are and where they are seen.
fn pairs(placed: &Placed, centre: Point) -> Vec<(Point, Point)> {
    let outer = square(TARGET_MM).into_iter().zip(placed.target.outer);
    let inner = square(OPENING_MM).into_iter().zip(placed.target.inner);
    outer.chain(inner).map(|(d, px)| (centre + d, px)).collect()
}

/// The plane through all corners of these targets, with lens distortion if there are enough.
fn plane_of(
    gray: &Gray,
    placed: &[Placed],
    place: &impl Fn((i64, i64)) -> Point,
    with_lens: bool,
) -> Option<Plane> {
    let pairs: Vec<_> = placed.iter().flat_map(|p| pairs(p, place(p.at))).collect();
    Plane::fitted(gray, &pairs, with_lens)
}

/// Dark against the mean of what is around.
struct Local<'a> {
    gray: &'a Gray,
    /// Sums over all pixels above and to the left, one row and column wider.
    sums: Vec<u32>,
    half: usize,
}

impl<'a> Local<'a> {
    fn new(gray: &'a Gray) -> Self {
        let (width, height) = (gray.width(), gray.height());
        let mut sums = vec![0_u32; (width + 1) * (height + 1)];
        for y in 0..height {
            let mut row = 0_u32;
            for (x, tone) in gray.row(y).iter().enumerate() {
                row += u32::from(*tone);
                let above = sums[y * (width + 1) + x + 1];
                sums[(y + 1) * (width + 1) + x + 1] = above.wrapping_add(row);
            }
        }
        let half = (width.max(height) / 36).max(8);
        Self { gray, sums, half }
    }
}

impl Field for Local<'_> {
    fn size(&self) -> (usize, usize) {
        (self.gray.width(), self.gray.height())
    }

    fn span(&self, _: usize) -> (usize, usize) {
        (0, self.gray.width())
    }

    fn value(&self, x: usize, y: usize) -> f32 {
        let (width, height) = (self.gray.width(), self.gray.height());
        let (x0, x1) = (x.saturating_sub(self.half), (x + self.half).min(width));
        let (y0, y1) = (y.saturating_sub(self.half), (y + self.half).min(height));
        let sum = |x: usize, y: usize| self.sums[y * (width + 1) + x];
        let total = sum(x1, y1)
            .wrapping_add(sum(x0, y0))
            .wrapping_sub(sum(x0, y1))
            .wrapping_sub(sum(x1, y0));
        let mean = total as f32 / ((x1 - x0) * (y1 - y0)) as f32;
        self.gray.at(x, y) as f32 - (mean - (0.14 * mean).max(12.0))
    }
}

/// All targets in a picture.
fn targets(gray: &Gray, progress: &Progress) -> Result<Vec<Target>, TraceError> {
    let factor = gray.factor_to(SEARCH_PX);
    let small = gray.reduced(factor);
    let all = contours(&Local::new(&small), 12, progress)?;
    let largest = (small.width() * small.height()) as f64 / 40.0;
    let quads = |dark: bool| -> Vec<(&Contour, [Point; 4])> {
        all.iter()
            .filter(|c| c.is_dark() == dark && !c.at_border && c.area() < largest)
            .filter_map(|c| {
                let corners = quad::corners_of(&c.points)?;
                let filled = c.area() / quad::area(&corners);
                (0.85..1.15).contains(&filled).then_some((c, corners))
            })
            .collect()
    };
    let (outer, inner) = (quads(true), quads(false));
    let found = outer.iter().filter_map(|(contour, corners)| {
        let centre = quad::centre(corners)?;
        let side = contour.area().sqrt();
        let (_, opening) = inner.iter().find(|(inner, other)| {
            let near = quad::centre(other).is_some_and(|c| c.distance(centre) < 0.12 * side);
            near && (0.18..0.56).contains(&(inner.area() / contour.area()))
        })?;
        refine(gray, corners, opening, factor as f64)
    });
    Ok(found.collect())
}

/// A target's squares in the full picture, its opening's corners in the order of the outer ones.
fn refine(gray: &Gray, outer: &[Point; 4], inner: &[Point; 4], factor: f64) -> Option<Target> {
    let scaled = |q: &[Point; 4]| q.map(|p| (p.to_vec2() * factor).to_point());
    let (outer, mut inner) = (scaled(outer), scaled(inner));
    // Light contours run the other way round.
    inner.reverse();
    let start = (0..4)
        .min_by(|i, j| inner[*i].distance(outer[0]).total_cmp(&inner[*j].distance(outer[0])))?;
    inner.rotate_left(start);
    let ring = quad::area(&outer).sqrt() * (TARGET_MM - OPENING_MM) / TARGET_MM / 2.0;
    let reach = (0.45 * ring).clamp(1.5, 6.0).max(factor.min(0.8 * ring));
    let (mut o, mut i) = (outer, inner);
    for reach in [reach, (0.42 * ring).clamp(1.5, 6.0)] {
        o = quad::refined(gray, &o, true, reach)?;
        i = quad::refined(gray, &i, false, reach)?;
    }
    Some(Target { outer: o, inner: i })
}

/// The largest set of targets that stand on one lattice, each with its place there.
fn lattice(gray: &Gray, targets: &[Target]) -> Vec<Placed> {
    let mut free: Vec<Option<Target>> = targets.iter().cloned().map(Some).collect();
    let mut best: Vec<Placed> = Vec::new();
    let mut rest: Vec<Target> = Vec::new();
    for seed in 0..free.len() {
        let Some(target) = free[seed].take() else { continue };
        let grown = grown(target, &mut free);
        let smaller =
            if grown.len() > best.len() { std::mem::replace(&mut best, grown) } else { grown };
        rest.extend(smaller.into_iter().map(|p| p.target));
    }
    if best.len() >= 3 { joined(gray, best, rest) } else { best }
}

/// Grows a lattice from one target to its neighbours and on.
fn grown(seed: Target, free: &mut [Option<Target>]) -> Vec<Placed> {
    let mut placed = vec![Placed { target: seed, at: (0, 0) }];
    let mut next = 0;
    while next < placed.len() {
        let Placed { target, at } = placed[next].clone();
        next += 1;
        let local = square(TARGET_MM).map(Vec2::to_point);
        let Some(h) = homography(&local, &target.outer) else { continue };
        for (dx, dy) in [(1, 0), (0, 1), (-1, 0), (0, -1)] {
            let shift = Vec2::new(dx as f64, dy as f64) * PITCH_MM;
            let predicted = local.map(|p| apply(&h, p + shift));
            let fits = |candidate: &Option<Target>| matching(candidate.as_ref()?, &predicted);
            let limit = 0.35 * target.side();
            let found = (0..free.len())
                .filter_map(|i| fits(&free[i]).map(|(off, turn)| (i, off, turn)))
                .filter(|(_, off, _)| *off < limit)
                .min_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((i, _, turn)) = found
                && let Some(candidate) = free[i].take()
            {
                let at = (at.0 + dx, at.1 + dy);
                placed.push(Placed { target: candidate.turned(turn), at });
            }
        }
    }
    placed
}

/// How far a target's corners lie from predicted ones, and by how many corners it is turned.
fn matching(target: &Target, predicted: &[Point; 4]) -> Option<(f64, usize)> {
    (0..4)
        .map(|turn| {
            let turned = target.turned(turn).outer;
            let sum: f64 = turned.iter().zip(predicted).map(|(a, b)| a.distance(*b)).sum();
            (sum / 4.0, turn)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Adds targets beyond gaps, the nearest first, by the plane of those placed so far.
fn joined(gray: &Gray, mut placed: Vec<Placed>, mut rest: Vec<Target>) -> Vec<Placed> {
    let place = |at: (i64, i64)| Point::new(at.0 as f64, at.1 as f64).to_vec2() * PITCH_MM;
    let place = |at: (i64, i64)| place(at).to_point();
    for reach in [2, 3, 4, 6, 9, 64, 64] {
        if rest.is_empty() {
            break;
        }
        let with_lens = placed.len() >= 10;
        let Some(plane) = plane_of(gray, &placed, &place, with_lens) else { break };
        let mut later = Vec::new();
        for target in rest {
            let mm = plane.mm(target.centre()).to_vec2() / PITCH_MM;
            let at = (mm.x.round() as i64, mm.y.round() as i64);
            let near =
                placed.iter().any(|p| (p.at.0 - at.0).abs().max((p.at.1 - at.1).abs()) <= reach);
            let taken = placed.iter().any(|p| p.at == at);
            let corners = square(TARGET_MM).map(|d| plane.px(place(at) + d));
            match matching(&target, &corners) {
                Some((off, turn)) if near && !taken && off < 0.4 * target.side() => {
                    placed.push(Placed { target: target.turned(turn), at });
                }
                _ => later.push(target),
            }
        }
        rest = later;
    }
    placed
}

/// The mat that the marks tell, and the targets at their places in it.
fn oriented(gray: &Gray, placed: &[Placed]) -> Option<(Mat, Vec<Placed>)> {
    let place = |at: (i64, i64)| Point::new(at.0 as f64 * PITCH_MM, at.1 as f64 * PITCH_MM);
    let plane = plane_of(gray, placed, &place, placed.len() >= 10)?;
    let mut best: Option<(Mat, Vec<Placed>)> = None;
    for here in placed {
        for (dx, dy) in [(1, 0), (0, 1)] {
            let beside = (here.at.0 + dx, here.at.1 + dy);
            if !placed.iter().any(|p| p.at == beside) {
                continue;
            }
            let spot = place(here.at).midpoint(place(beside));
            let Some(level) = level_at(gray, &plane, place(here.at)) else { continue };
            for turn in 0..4 {
                let Some((mat, corner)) = read(gray, &plane, spot, turn, level) else { continue };
                let own = in_mat(placed, &mat, spot, mat.mark_at(corner), turn);
                let better = best.as_ref().is_none_or(|(_, b)| own.len() > b.len());
                if own.len() * 10 >= placed.len() * 8 && better {
                    best = Some((mat, own));
                }
            }
        }
    }
    best
}

/// The tone half way between a target's black and its white.
fn level_at(gray: &Gray, plane: &Plane, centre: Point) -> Option<f64> {
    let ring = (TARGET_MM + OPENING_MM) / 4.0;
    let black = square(2.0 * ring).map(|d| gray.sample(plane.px(centre + d)));
    let black = black.iter().sum::<f64>() / 4.0;
    let white = gray.sample(plane.px(centre));
    (white - black > 16.0).then_some((white + black) / 2.0)
}

/// A quarter turn, so many times, about the origin.
fn quarter(turn: usize) -> Affine {
    Affine::rotate(turn as f64 * std::f64::consts::FRAC_PI_2)
}

fn read(
    gray: &Gray,
    plane: &Plane,
    spot: Point,
    turn: usize,
    level: f64,
) -> Option<(Mat, mat::MatCorner)> {
    let mut cells = [[false; MARK_CELLS]; MARK_CELLS];
    for (row, line) in cells.iter_mut().enumerate() {
        for (column, cell) in line.iter_mut().enumerate() {
            let around = square(mat::CELL_MM / 2.5).map(|d| {
                let own = (mat::cell_at(column, row) + d).to_point();
                gray.sample(plane.px(spot + (quarter(turn) * own).to_vec2()))
            });
            *cell = around.iter().sum::<f64>() / 4.0 < level;
        }
    }
    Mat::read_mark(&cells)
}

/// The targets at their places in the mat, as a mark there tells it; others are left out.
fn in_mat(placed: &[Placed], mat: &Mat, spot: Point, mark: Point, turn: usize) -> Vec<Placed> {
    let back = quarter(4 - turn);
    let own = |p: &Placed| {
        let lattice = Point::new(p.at.0 as f64 * PITCH_MM, p.at.1 as f64 * PITCH_MM);
        let mm = mark + (back * (lattice - spot).to_point()).to_vec2();
        let at = (mm - mat.place(0.0, 0.0)) / PITCH_MM;
        let at = (at.x.round() as i64, at.y.round() as i64);
        let target = p.target.turned(turn % 4);
        mat.has(at.0, at.1).then_some(Placed { target, at })
    };
    placed.iter().filter_map(own).collect()
}
