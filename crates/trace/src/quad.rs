//! Quadrilaterals: their corners from a contour, refined by lines fitted to their sides.

use crate::Gray;
use crate::edge::edge;
use kurbo::{Line, Point};

/// Profiles across each side.
const PROFILES: usize = 24;
/// The part of a side at either end that is left out, as the corner rounds it.
const LEFT_OUT: f64 = 0.16;

/// The four corners of a contour that is a quadrilateral, in its own order; `None` if it isn't.
pub(crate) fn corners_of(points: &[Point]) -> Option<[Point; 4]> {
    let n = points.len() as f64;
    let centre = (points.iter().fold(kurbo::Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n).to_point();
    let farthest = |from: Point| {
        (0..points.len()).max_by(|i, j| {
            points[*i].distance_squared(from).total_cmp(&points[*j].distance_squared(from))
        })
    };
    let a = farthest(centre)?;
    let c = farthest(points[a])?;
    let side = points[c] - points[a];
    let off = |i: &usize| side.cross(points[*i] - points[a]);
    let b = (0..points.len()).max_by(|i, j| off(i).total_cmp(&off(j)))?;
    let d = (0..points.len()).min_by(|i, j| off(i).total_cmp(&off(j)))?;
    let mut order = [a, b, c, d];
    order.sort_unstable();
    let corners = order.map(|i| points[i]);
    let distinct = order.windows(2).all(|pair| pair[0] != pair[1]);
    (distinct && is_convex(&corners)).then_some(corners)
}

/// Whether the corners turn the same way all round.
pub(crate) fn is_convex(corners: &[Point; 4]) -> bool {
    let turn = |i: usize| {
        let [a, b, c] = [0, 1, 2].map(|k| corners[(i + k) % 4]);
        (b - a).cross(c - b)
    };
    let first = turn(0);
    first != 0.0 && (1..4).all(|i| turn(i) * first > 0.0)
}

/// The area of a quadrilateral.
pub(crate) fn area(corners: &[Point; 4]) -> f64 {
    ((corners[2] - corners[0]).cross(corners[3] - corners[1]) / 2.0).abs()
}

/// Where two diagonals cross.
pub(crate) fn centre(corners: &[Point; 4]) -> Option<Point> {
    Line::new(corners[0], corners[2]).crossing_point(Line::new(corners[1], corners[3]))
}

/// The corners where lines fitted to the sides meet; `None` if a side has no clear edge.
/// `light_outside`: the ground around it is the lighter.
pub(crate) fn refined(
    gray: &Gray,
    corners: &[Point; 4],
    light_outside: bool,
    reach: f64,
) -> Option<[Point; 4]> {
    let middle = centre(corners)?;
    let mut sides = [Line::new((0.0, 0.0), (1.0, 0.0)); 4];
    for (i, line) in sides.iter_mut().enumerate() {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        let normal = (b - a).turn_90().normalize();
        let outward = if normal.dot(a - middle) < 0.0 { -normal } else { normal };
        let light = if light_outside { outward } else { -outward };
        let found: Vec<Point> = (0..PROFILES)
            .filter_map(|k| {
                let t = (k as f64 + 0.5) / PROFILES as f64;
                let at = a.lerp(b, LEFT_OUT + (1.0 - 2.0 * LEFT_OUT) * t);
                edge(gray, at, light, reach)
            })
            .collect();
        *line = fitted_line(&found).filter(|_| found.len() * 2 >= PROFILES)?;
    }
    let mut out = [Point::ORIGIN; 4];
    for (i, corner) in out.iter_mut().enumerate() {
        *corner = sides[(i + 3) % 4].crossing_point(sides[i])?;
        if corner.distance(corners[i]) > 3.0 * reach {
            return None;
        }
    }
    Some(out)
}

/// The line through points by total least squares; those far off it are left out once.
pub(crate) fn fitted_line(points: &[Point]) -> Option<Line> {
    let line = through(points)?;
    let off = |p: &Point| (line.p1 - line.p0).normalize().cross(*p - line.p0).abs();
    let mut offs: Vec<f64> = points.iter().map(off).collect();
    offs.sort_by(f64::total_cmp);
    let limit = (3.0 * offs[offs.len() / 2]).max(0.05);
    let near: Vec<Point> = points.iter().filter(|p| off(p) <= limit).copied().collect();
    through(&near)
}

fn through(points: &[Point]) -> Option<Line> {
    if points.len() < 2 {
        return None;
    }
    let n = points.len() as f64;
    let centre = points.iter().fold(kurbo::Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n;
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for p in points {
        let d = p.to_vec2() - centre;
        (xx, xy, yy) = (xx + d.x * d.x, xy + d.x * d.y, yy + d.y * d.y);
    }
    let angle = (2.0 * xy).atan2(xx - yy) / 2.0;
    let along = kurbo::Vec2::from_angle(angle) * 100.0;
    let centre = centre.to_point();
    (xx + yy > 0.0).then(|| Line::new(centre - along, centre + along))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_of_a_contour_are_found_and_a_circle_has_none_that_fill_it() {
        let truth = [(10.0, 10.0), (12.0, 60.0), (70.0, 66.0), (64.0, 8.0)].map(Point::from);
        let mut points = Vec::new();
        for i in 0..4 {
            points.extend((0..50).map(|k| truth[i].lerp(truth[(i + 1) % 4], k as f64 / 50.0)));
        }
        let found = corners_of(&points).unwrap();
        assert!(truth.iter().all(|t| found.iter().any(|f| f.distance(*t) < 1e-9)));
        let circle: Vec<Point> = (0..100)
            .map(|i| (kurbo::Vec2::from_angle(f64::from(i) * 0.0628) * 20.0).to_point())
            .collect();
        assert!(area(&corners_of(&circle).unwrap()) < 0.7 * std::f64::consts::PI * 400.0);
    }
}
