//! Plane figures with known measures: Machinery's Handbook, "Areas and Dimensions of Plane
//! Figures", "Centers of Gravity" and "Segments of Circles"; moments of inertia from its
//! "Moments of Inertia, Section Moduli, and Radii of Gyration". Formulas stand beside each.

#![expect(clippy::unwrap_used, reason = "a figure that can't be drawn has failed")]

use outline::Outline;
use outline::kurbo::{Affine, Arc, BezPath, Circle, Ellipse, Point, RoundedRect, Shape};
use std::f64::consts::PI;

fn figure(shape: impl Shape) -> Outline {
    Outline::from_path(&shape.to_path(1e-11)).unwrap()
}

fn near(got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within, "{got} where {want} is right");
}

/// The part of a circle round the origin above the chord at `height`, from many short arcs.
fn circle_segment(r: f64, height: f64) -> Outline {
    let from = (height / r).asin();
    let sweep = PI - 2.0 * from;
    let arc = Arc::new((0., 0.), (r, r), from, sweep, 0.0);
    let mut path = arc.to_path(1e-11);
    path.close_path();
    Outline::from_path(&path).unwrap()
}

#[test]
fn closed_form_ellipse() {
    let (a, b) = (30.0, 12.0);
    let o = figure(Ellipse::new((5., -2.), (a, b), 0.4));
    near(o.area(), PI * a * b, 1e-6);
    near(o.area(), 1_130.973_355_3, 1e-6);
    // Complete elliptic integral: 4a·E(1 − b²/a²) = 138.0786756.
    near(o.perimeter(), 138.078_675_6, 1e-6);
    assert!(o.centroid().distance(Point::new(5., -2.)) < 1e-9);
    let m = o.second_moments();
    near(m.ixx_mm4 + m.iyy_mm4, PI * a * b * (a * a + b * b) / 4.0, 1e-3);
    let min = o.min_width();
    near(min.width_mm, 2.0 * b, 1e-8);
    near(min.turn_rad, -0.4, 1e-5);
    near(o.largest_circle().radius, b, 1e-3);
    assert!(o.tightest_inside().is_none());
    // Radius of curvature at the ends of the axes: b²/a and a²/b.
    let end = o.nearest(Point::new(5.0 + 40.0 * 0.4_f64.cos(), -2.0 + 40.0 * 0.4_f64.sin()));
    near(1.0 / o.curvature_at(end.segment, end.t), b * b / a, 1e-3);
}

#[test]
fn closed_form_circle_segment() {
    // r = 10, height of the segment 4: area 44.7295218, centroid c³/(12A) = 7.6310526.
    let o = circle_segment(10.0, 6.0);
    near(o.area(), 44.729_521_8, 1e-6);
    near(o.centroid().y, 16.0_f64.powi(3) / (12.0 * 44.729_521_8), 1e-6);
    near(o.perimeter(), 16.0 + 18.545_904_4, 1e-6);
    near(o.min_width().width_mm, 4.0, 1e-8);
    near(o.largest_circle().radius, 2.0, 1e-3);
    assert_eq!(o.corners().len(), 2);
    // The corner turns by what the half sweep leaves of half a turn.
    let half_sweep = (0.6_f64).acos();
    assert!(o.corners().iter().all(|c| (c.turn_rad - (PI - half_sweep)).abs() < 1e-6));
}

#[test]
fn closed_form_semicircle() {
    let o = circle_segment(12.5, 0.0);
    near(o.area(), 245.436_926_1, 1e-6);
    near(o.centroid().y, 4.0 * 12.5 / (3.0 * PI), 1e-7);
    near(o.largest_circle().radius, 6.25, 1e-3);
}

#[test]
fn closed_form_stadium() {
    let o = figure(RoundedRect::new(0., 0., 100., 25., 12.5));
    near(o.area(), 2_365.873_852_1, 1e-5);
    near(o.perimeter(), 228.539_816_3, 1e-6);
    near(o.min_width().width_mm, 25.0, 1e-8);
    assert!(o.min_width().turn_rad.abs() < 1e-6);
    near(o.largest_circle().radius, 12.5, 1e-3);
    assert!(o.corners().is_empty() && o.contacts().is_empty());
    near(o.web(Circle::new((50., 12.5), 3.0)), 9.5, 1e-9);
}

#[test]
fn closed_form_rectangle_with_a_round_end() {
    // Both right corners rounded by half the height leave a semicircle.
    let corners = [(0., 0.), (87.5, 0.), (87.5, 25.), (0., 25.)].map(Point::from);
    let plate = Outline::polygon(&corners).unwrap();
    let once = plate.round_corner(1, 12.5).unwrap();
    let node = once.nodes().position(|p| p == Point::new(87.5, 25.)).unwrap();
    let o = once.round_corner(node, 12.5).unwrap();
    // Cubics of 30° hold the arc to 0.4 µm here.
    near(o.area(), 2_120.436_926_1, 1e-4);
    near(o.centroid().x, 42.454_624_2, 1e-5);
    assert_eq!(o.corners().len(), 2);
}

#[test]
fn closed_form_parabola_is_exact() {
    // Base 60, height 15: area ⅔·b·h, centroid ⅖·h above the base.
    let path = BezPath::from_svg("M-30 0 L30 0 Q0 30 -30 0 Z").unwrap();
    let o = Outline::from_path(&path).unwrap();
    near(o.area(), 600.0, 1e-9);
    near(o.centroid().y, 6.0, 1e-10);
    near(o.centroid().x, 0.0, 1e-10);
    // Radius at the crown of y = 15 − x²/60 is 30; the bend is outward.
    let crown = o.nearest(Point::new(0., 20.));
    near(o.curvature_at(crown.segment, crown.t), 1.0 / 30.0, 1e-9);
}

#[test]
fn closed_form_trapezoid() {
    let corners = [(0., 0.), (25.4, 1.3335), (25.4, 1.8415), (0., 3.175)].map(Point::from);
    let o = Outline::polygon(&corners).unwrap();
    near(o.area(), 46.7741, 1e-9);
    near(o.centroid().x, 9.634_482_8, 1e-7);
}

#[test]
fn far_from_the_origin_nothing_is_lost() {
    let near_o = figure(Ellipse::new((0., 0.), (30., 12.), 0.4));
    let far = near_o.transformed(Affine::translate((1e6, -1e6)));
    near(far.area() / near_o.area(), 1.0, 1e-9);
    let by = far.centroid() - near_o.centroid();
    near(by.x, 1e6, 1e-8);
    near(by.y, -1e6, 1e-8);
    near(far.second_moments().ixx_mm4 / near_o.second_moments().ixx_mm4, 1.0, 1e-9);
    near(far.min_width().width_mm, 24.0, 1e-8);
    assert!(far.contacts().is_empty());
    near(far.largest_circle().radius, 12.0, 1e-3);
}
