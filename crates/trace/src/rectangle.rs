//! Squaring up by a sheet of paper of known sides.

use crate::camera::{UNIT_MM, from_units, undistorted};
use crate::contour::{Contour, Field, contours};
use crate::edge::edge;
use crate::homography::{apply, elements, homography, of_elements};
use crate::least_squares::minimise;
use crate::{Gray, Plane, Progress, TraceError, otsu, pose, quad};
use kurbo::{Point, Size};

/// Longest side of the picture in which the sheet is looked for, px.
const SEARCH_PX: usize = 1000;
/// The least share of the picture that the sheet fills.
const MIN_SHARE: f64 = 0.08;
/// Places along each side at which its edge is measured, at most.
const PER_SIDE: usize = 160;
/// The part of a side at either end that is left out.
const LEFT_OUT: f64 = 0.04;
/// Sides may differ from those given by this much before it is another sheet.
const OTHER_SHEET: f64 = 0.075;
/// Corners given may be off by so much of half the diagonal.
const GIVEN_WITHIN: f64 = 0.012;
/// The focal length of an ordinary camera's wide lens in half diagonals, where nothing tells it
/// (28 mm on a 24 × 36 mm frame; common practice, no source).
const USUAL_FOCAL: f64 = 28.0 / 21.633;
/// How far a lens may be thought to distort before the sides say so, k1.
const USUAL_K1: f64 = 0.1;

/// A sheet found in a picture.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    /// Corners in the picture, counter-clockwise as it is seen, px.
    pub(crate) corners: [Point; 4],
    /// Measured places of its edge, px, and the side each lies on (0 from corner 0 to 1).
    edges: Vec<(usize, Point)>,
    /// The corners were given, not found.
    given: bool,
}

/// How a picture lies on a sheet.
#[derive(Clone, Debug)]
pub(crate) struct OnSheet {
    pub(crate) plane: Plane,
    /// Sides, mm.
    pub(crate) size: Size,
    /// What one pixel of error at each corner does at the worst place of the sheet, mm.
    pub(crate) uncertainty_mm: f64,
    /// How far the ratio of the sides is from the given one, natural logarithm.
    pub(crate) mismatch: f64,
}

struct Tones<'a> {
    gray: &'a Gray,
    level: f32,
}

impl Field for Tones<'_> {
    fn size(&self) -> (usize, usize) {
        (self.gray.width(), self.gray.height())
    }
    fn span(&self, _: usize) -> (usize, usize) {
        (0, self.gray.width())
    }
    fn value(&self, x: usize, y: usize) -> f32 {
        self.gray.at(x, y) as f32 - self.level
    }
}

/// Finds the largest whole sheet that is lighter than what it lies on.
///
/// # Errors
/// [`TraceError::NoSheet`] when none stands out with all four corners.
pub(crate) fn find(gray: &Gray, progress: &Progress) -> Result<Sheet, TraceError> {
    let factor = gray.factor_to(SEARCH_PX);
    let small = gray.reduced(factor);
    let mut histogram = [0_u64; 256];
    small.data().iter().for_each(|tone| histogram[usize::from(*tone)] += 1);
    let level = otsu(&histogram).ok_or(TraceError::OneTone)? as f32 + 0.5;
    let all = contours(&Tones { gray: &small, level }, 40, progress)?;
    let min_area = MIN_SHARE * (small.width() * small.height()) as f64;
    let mut light: Vec<&Contour> =
        all.iter().filter(|c| !c.is_dark() && c.area() > min_area).collect();
    light.sort_by(|a, b| b.area().total_cmp(&a.area()));
    light.iter().find_map(|c| sheet_of(gray, c, factor as f64)).ok_or(TraceError::NoSheet)
}

/// A contour as a sheet, if it has four straight sides.
fn sheet_of(gray: &Gray, contour: &Contour, factor: f64) -> Option<Sheet> {
    let inside = |p: &Point| {
        let (w, h) = (gray.width() as f64 / factor, gray.height() as f64 / factor);
        p.x > 1.0 && p.y > 1.0 && p.x < w - 1.0 && p.y < h - 1.0
    };
    let corners = quad::corners_of(&contour.points)?;
    let filled = contour.area() / quad::area(&corners);
    if !(0.7..1.12).contains(&filled) || !corners.iter().all(inside) {
        return None;
    }
    let mut corners = corners.map(|p| (p.to_vec2() * factor).to_point());
    // Light contours run clockwise as the picture is seen.
    corners.reverse();
    let points: Vec<Point> =
        contour.points.iter().map(|p| (p.to_vec2() * factor).to_point()).collect();
    let edges = edges(gray, &corners, &points, 2.0 * factor + 4.0);
    let enough = |side: usize| edges.iter().filter(|e| e.0 == side).count() >= 12;
    (0..4).all(enough).then_some(Sheet { corners, edges, given: false })
}

/// The places of the sheet's edge, measured in the full picture from a coarse contour.
fn edges(gray: &Gray, corners: &[Point; 4], coarse: &[Point], reach: f64) -> Vec<(usize, Point)> {
    let mut found = Vec::new();
    for side in 0..4 {
        let (a, b) = (corners[side], corners[(side + 1) % 4]);
        let length = a.distance(b);
        let along = (b - a) / length;
        // As the picture is seen, the sheet lies on the left of the way round.
        let inward = along.turn_90() * -1.0;
        let own: Vec<Point> = coarse
            .iter()
            .filter(|p| {
                let t = (**p - a).dot(along) / length;
                let bowed = (**p - a).dot(inward).abs() < 0.05 * length;
                (LEFT_OUT..1.0 - LEFT_OUT).contains(&t) && bowed
            })
            .copied()
            .collect();
        let step = own.len().div_ceil(PER_SIDE).max(1);
        found.extend(
            own.iter()
                .step_by(step)
                .filter_map(|p| edge(gray, *p, inward, reach))
                .map(|p| (side, p)),
        );
    }
    found
}

/// The sheet whose corners are given in order round it, measured again at its edges where the
/// given corners lie near them.
pub(crate) fn given(gray: &Gray, corners: [Point; 4]) -> Result<Sheet, TraceError> {
    if !corners.iter().all(|p| gray.contains(*p)) || !quad::is_convex(&corners) {
        return Err(TraceError::BadCorners);
    }
    let mut corners = corners;
    if (corners[1] - corners[0]).cross(corners[2] - corners[1]) > 0.0 {
        corners.swap(1, 3);
    }
    let smallest = gray.width().min(gray.height()) as f64;
    if (0..4).any(|i| corners[i].distance(corners[(i + 1) % 4]) < 0.02 * smallest) {
        return Err(TraceError::BadCorners);
    }
    Ok(Sheet { edges: near_chords(gray, &corners), corners, given: true })
}

/// The places of an edge along the straight lines between corners, the lens's bow and a few pixels
/// of error at the corners allowed for; none unless every side has an edge.
fn near_chords(gray: &Gray, corners: &[Point; 4]) -> Vec<(usize, Point)> {
    let mut found = Vec::new();
    for side in 0..4 {
        let (a, b) = (corners[side], corners[(side + 1) % 4]);
        let chord: Vec<Point> =
            (0..PER_SIDE).map(|i| a.lerp(b, (i as f64 + 0.5) / PER_SIDE as f64)).collect();
        let reach = 0.012 * a.distance(b) + 6.0;
        let on_side = |points: &[Point], reach: f64| -> Vec<Point> {
            let all = edges(gray, corners, points, reach);
            all.into_iter().filter(|(of, _)| *of == side).map(|(_, p)| p).collect()
        };
        let own = on_side(&on_side(&chord, reach), 5.0);
        if own.len() * 3 < PER_SIDE * 2 {
            return Vec::new();
        }
        found.extend(own.into_iter().map(|p| (side, p)));
    }
    found
}

/// The ratio of side 0–1 to side 1–2 as the view tells it, free of perspective.
fn ratio(gray: &Gray, corners: &[Point; 4], k1: f64, focal: f64) -> Option<f64> {
    let unit = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(Point::from);
    let (centre, d) = (gray.centre(), gray.half_diagonal());
    let view = corners.map(|p| undistorted(((p - centre) / d).to_point(), k1, 0.0));
    let h = homography(&unit, &view)?;
    Some(pose::side_ratio(&h, focal))
}

/// How the picture lies on a sheet of these sides, which may stand either way.
///
/// # Errors
/// [`TraceError::WrongSheet`] when the sheet seen has clearly other sides.
pub(crate) fn on_sheet(
    gray: &Gray,
    sheet: &Sheet,
    size: Size,
    focal_35mm: Option<f64>,
) -> Result<OnSheet, TraceError> {
    let focal = focal_35mm.map_or(USUAL_FOCAL, |mm| mm / 21.633);
    let seen = ratio(gray, &sheet.corners, 0.0, focal).ok_or(TraceError::BadCorners)?;
    let lying = size.max_side() / size.min_side();
    let size = if seen >= 1.0 {
        Size::new(size.max_side(), size.min_side())
    } else {
        Size::new(size.min_side(), size.max_side())
    };
    let mut fitted = fitted_to(gray, sheet, size).ok_or(TraceError::BadCorners)?;
    let moved = |plane: &Plane| {
        let pairs = corners_on(plane, size).into_iter().zip(sheet.corners);
        pairs.map(|(a, b)| a.distance(b)).fold(0.0, f64::max)
    };
    // Edges that lead away from the corners given are those of something else.
    if sheet.given && moved(&fitted.0) > GIVEN_WITHIN * gray.half_diagonal() {
        let alone = Sheet { edges: Vec::new(), ..sheet.clone() };
        fitted = fitted_to(gray, &alone, size).ok_or(TraceError::BadCorners)?;
    }
    let corners = corners_on(&fitted.0, size);
    let found = ratio(gray, &corners, fitted.1, focal).ok_or(TraceError::BadCorners)?;
    let mismatch = (found / (size.width / size.height)).ln().abs();
    if mismatch.is_nan() || mismatch > OTHER_SHEET {
        return Err(TraceError::WrongSheet { found: found.max(found.recip()), given: lying });
    }
    let uncertainty_mm = corner_error(gray, &corners, size).ok_or(TraceError::BadCorners)?;
    Ok(OnSheet { plane: fitted.0, size, uncertainty_mm, mismatch })
}

/// The places on a sheet of its four corners, corner 0 at the origin, mm.
fn targets(size: Size) -> [Point; 4] {
    let Size { width: w, height: h } = size;
    [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(Point::from)
}

fn corners_on(plane: &Plane, size: Size) -> [Point; 4] {
    targets(size).map(|mm| plane.px(mm))
}

/// The plane by the sheet's corners alone, or with the lens's k1 by all measured edges.
fn fitted_to(gray: &Gray, sheet: &Sheet, size: Size) -> Option<(Plane, f64)> {
    let (centre, d) = (gray.centre(), gray.half_diagonal());
    let view = |p: Point| ((p - centre) / d).to_point();
    let scaled = targets(size).map(|p| (p.to_vec2() / UNIT_MM).to_point());
    let mut params = elements(&homography(&scaled, &sheet.corners.map(view))?).to_vec();
    if sheet.edges.len() >= 60 {
        params.push(0.0);
        let places: Vec<(usize, Point)> =
            sheet.edges.iter().map(|(side, p)| (*side, view(*p))).collect();
        let (w, h) = (size.width / UNIT_MM, size.height / UNIT_MM);
        params = minimise(&params, |p| side_errors(p, &places, w, h));
        // Paper that is torn or covered at its edge: once more without what lies off.
        let offs = side_errors(&params, &places, w, h);
        let mut sorted: Vec<f64> = offs.iter().map(|o| o.abs()).collect();
        sorted.sort_by(f64::total_cmp);
        let limit = (4.0 * sorted[sorted.len() / 2]).max(0.05);
        let kept: Vec<_> =
            places.iter().zip(&offs).filter(|(_, o)| o.abs() <= limit).map(|(p, _)| *p).collect();
        params = minimise(&params, |p| side_errors(p, &kept, w, h));
    }
    let k1 = params.get(8).copied().unwrap_or(0.0);
    Some((Plane::new(gray, from_units(&params)?, [k1, 0.0])?, k1))
}

/// How far measured places lie from their sides, mm, and last k1, held near nothing where the
/// sides don't tell it. `p`: the homography from the sheet to the view, then k1; sides in
/// [`UNIT_MM`].
fn side_errors(p: &[f64], places: &[(usize, Point)], w: f64, h: f64) -> Vec<f64> {
    let Some(back) = of_elements(p).try_inverse() else {
        return vec![f64::NAN; places.len() + 1];
    };
    let off = |(side, seen): &(usize, Point)| {
        let at = apply(&back, undistorted(*seen, p[8], 0.0));
        UNIT_MM * [at.y, at.x - w, at.y - h, at.x][*side]
    };
    places.iter().map(off).chain([p[8] / USUAL_K1]).collect()
}

/// What one pixel of error at each corner does at the worst place of the sheet: the root sum of
/// squares over the corners and both ways, mm.
fn corner_error(gray: &Gray, corners: &[Point; 4], size: Size) -> Option<f64> {
    let (centre, d) = (gray.centre(), gray.half_diagonal());
    let view = |p: Point| ((p - centre) / d).to_point();
    let mm = targets(size);
    let places = [mm[0], mm[1], mm[2], mm[3], (size.to_vec2() / 2.0).to_point()];
    let true_h = homography(&mm, &corners.map(view))?;
    let mut sums = [0.0; 5];
    for i in 0..4 {
        for step in [kurbo::Vec2::new(1.0, 0.0), kurbo::Vec2::new(0.0, 1.0)] {
            let mut moved = *corners;
            moved[i] += step;
            let back = homography(&moved.map(view), &mm)?;
            for (sum, place) in sums.iter_mut().zip(places) {
                let seen = apply(&true_h, place);
                *sum += apply(&back, seen).distance_squared(place);
            }
        }
    }
    Some(sums.into_iter().fold(0.0, f64::max).sqrt())
}
