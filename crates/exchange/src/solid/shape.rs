//! Curves as polygons: outlines, holes, notches.

use super::net::{Fineness, Region};
use kurbo::{BezPath, Circle, ParamCurve, PathSeg, Point, Vec2};
use outline::{Outline, Polyline};
use reckon::JimpingFigures;
use std::f64::consts::PI;

/// Circles are polygons of at least so many corners.
const MIN_CORNERS: f64 = 24.0;
/// A notch's sides are carried on beyond the outline, mm.
const BEYOND_MM: f64 = 1.0;
/// How far a line is carried on so that it parts a whole blank, mm.
const FAR_MM: f64 = 1e4;

/// The tolerances within which parts are made, for a chord tolerance that a person names: what is
/// bent is followed closer, so that volumes are right to a thousandth too.
pub(super) fn fineness(chord_mm: f64) -> Fineness {
    Fineness { spacing_mm: 3.0, chord_mm: chord_mm / 25.0 }
}

/// How near outlines are followed, mm.
pub(super) fn outline_chord_mm(chord_mm: f64) -> f64 {
    chord_mm / 10.0
}

/// A circle as a regular polygon of the circle's own area, its corners outside and the middles of
/// its sides inside the circle by at most the tolerance.
pub(super) fn circle(circle: Circle, chord_mm: f64) -> Vec<Point> {
    let corners = corners(circle.radius, chord_mm);
    let radius = equal_area_radius(circle.radius, corners);
    (0..corners)
        .map(|i| {
            circle.center + Vec2::from_angle(2.0 * PI * f64::from(i) / f64::from(corners)) * radius
        })
        .collect()
}

/// Corners of the polygon that stands for a circle: a multiple of four.
pub(super) fn corners(radius_mm: f64, chord_mm: f64) -> u32 {
    let turn = 2.0 * (1.0 - chord_mm / 10.0 / radius_mm).clamp(0.0, 1.0).acos();
    let wanted = (2.0 * PI / turn).clamp(MIN_CORNERS, 360.0);
    ((wanted / 4.0).ceil() * 4.0) as u32
}

/// Radius about the corners of the regular polygon that has a circle's area.
pub(super) fn equal_area_radius(radius_mm: f64, corners: u32) -> f64 {
    let turn = 2.0 * PI / f64::from(corners);
    radius_mm * (turn / turn.sin()).sqrt()
}

/// The corners of a path's polygon.
pub(super) fn flattened(path: &BezPath, chord_mm: f64) -> Vec<Point> {
    let mut points = Vec::new();
    kurbo::flatten(path, chord_mm, |el| points.extend(el.end_point()));
    points
}

/// A run of segments carried straight on far beyond both ends.
pub(super) fn carried_on(segs: &[PathSeg]) -> Option<Polyline> {
    let (first, last) = (segs.first()?, segs.last()?);
    let straight = |from: Point, to: Point| Line { from, to }.seg();
    let ahead = |at: Point, from: Point| at + (at - from).normalize() * FAR_MM;
    let (start, end) = (first.start(), last.end());
    let mut whole = vec![straight(ahead(start, first.eval(1e-3)), start)];
    whole.extend_from_slice(segs);
    whole.push(straight(end, ahead(end, last.eval(1.0 - 1e-3))));
    Polyline::new(&whole, 1e-3)
}

struct Line {
    from: Point,
    to: Point,
}

impl Line {
    fn seg(self) -> PathSeg {
        PathSeg::Line(kurbo::Line::new(self.from, self.to))
    }
}

/// The stretches of a line that run within a box.
pub(super) fn within(line: &[Point], bounds: kurbo::Rect) -> Vec<Vec<Point>> {
    let mut stretches: Vec<Vec<Point>> = vec![Vec::new()];
    for side in line.windows(2) {
        let is_near = kurbo::Rect::from_points(side[0], side[1]).overlaps(bounds);
        let Some(last) = stretches.last_mut() else { continue };
        if is_near {
            if last.is_empty() {
                last.push(side[0]);
            }
            last.push(side[1]);
        } else if !last.is_empty() {
            stretches.push(Vec::new());
        }
    }
    stretches.retain(|stretch| stretch.len() > 1);
    stretches
}

/// The blank with its jimping and with these circles cut out.
pub(super) fn blank_region(
    outline: &Outline,
    jimping: Option<&JimpingFigures>,
    holes: impl Iterator<Item = Circle>,
    chord_mm: f64,
) -> Region {
    let mut cuts: Vec<Vec<Point>> = holes.map(|hole| circle(hole, chord_mm)).collect();
    if let Some(jimping) = jimping {
        cuts.extend(jimping.notches.iter().map(|notch| {
            let section = flattened(&jimping.section(notch), outline_chord_mm(chord_mm));
            let out = notch.inward * -BEYOND_MM;
            let first = section.first().map(|p| *p + out);
            let last = section.last().map(|p| *p + out);
            first.into_iter().chain(section).chain(last).collect()
        }));
    }
    Region { outer: vec![outline.polyline(outline_chord_mm(chord_mm))], cuts }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_keeps_its_area_and_its_tolerance() {
        for radius in [0.5, 3.0, 12.0] {
            let polygon = circle(Circle::new((40.0, 5.0), radius), 0.05);
            let area = Outline::polygon(&polygon).unwrap().area();
            assert!((area / (PI * radius * radius) - 1.0).abs() < 1e-9, "{radius}");
            let stray = |p: &Point| (p.distance(Point::new(40.0, 5.0)) - radius).abs();
            assert!(polygon.iter().map(stray).fold(0.0, f64::max) < 0.01);
        }
    }

    #[test]
    fn a_line_is_kept_where_it_runs_through_the_box() {
        let line = [(-9.0, 0.0), (-1.0, 0.0), (1.0, 0.0), (9.0, 0.0), (9.0, 9.0)].map(Point::from);
        let kept = within(&line, kurbo::Rect::new(-2.0, -2.0, 2.0, 2.0));
        assert_eq!(kept.len(), 1);
        assert_eq!(kept[0].len(), 4);
    }
}
