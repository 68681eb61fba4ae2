//! What a maker measures: between places, to and between edges, angles, radii, along the outline.

use crate::reading::Value;
use knife::{Anchor, Boundary, Dimension, Knife, NodeId};
use kurbo::{Circle, ParamCurve, ParamCurveNearest, PathSeg, Point, Vec2};
use outline::{Outline, OutlinePoint};

/// Accuracy of a nearest place, mm: far below what is told.
const ACCURACY_MM: f64 = 1e-6;
/// Parts that a stretch is sampled in to find where another is nearest: a cubic has no shorter waves.
const SAMPLES: usize = 32;
/// So many of the samples are followed to the nearest place.
const STARTS: usize = 4;
/// A curve of more than this radius is told as straight, mm (this program's own choice).
const STRAIGHT_MM: f64 = 5_000.0;
/// An angle between directions shorter than this is none, mm.
const NO_DIRECTION_MM: f64 = 1e-9;

/// Something measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// What was asked for.
    pub dimension: Dimension,
    /// What it is called: `Distance`, `Radius`.
    pub name: &'static str,
    /// A length, an angle, or a text where there is neither.
    pub value: Value,
    /// From where it is measured, in the knife's plane: of an angle, a place on its first side; of
    /// a radius, the centre.
    pub from: Point,
    /// To where: of an angle, a place on its other side; of a radius, the place on the curve.
    pub to: Point,
    /// Where an angle lies.
    pub vertex: Option<Point>,
    /// How the outline goes, of a length along it.
    pub along: Option<WayAlong>,
}

/// A way along the outline, as much of it as is drawn. Directions are of unit length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WayAlong {
    /// How it begins.
    pub begins: Vec2,
    /// How it ends.
    pub ends: Vec2,
    /// The place half way.
    pub middle: Point,
    /// How it goes there.
    pub at_middle: Vec2,
}

/// Measures on a knife; `outline` is that of its profile. `None` where a part is missing or there
/// is nothing between two places.
pub fn measure(knife: &Knife, outline: Option<&Outline>, of: &Dimension) -> Option<Measured> {
    let site = Site { knife, outline };
    let plain = |name, from: Point, to: Point| Measured {
        dimension: *of,
        name,
        value: Value::Length(from.distance(to)),
        from,
        to,
        vertex: None,
        along: None,
    };
    let measured = match *of {
        Dimension::Distance(a, b) => plain("Distance", site.place(a)?, site.place(b)?),
        Dimension::ToEdge(a, edge) => {
            let at = site.place(a)?;
            plain("To the edge", at, site.nearest(edge, at)?)
        }
        Dimension::Gap(a, b) => {
            let (from, to, gap_mm) = site.gap(a, b)?;
            Measured { value: Value::Length(gap_mm), ..plain("Edge to edge", from, to) }
        }
        Dimension::Angle { at, from, to } => {
            let (at, from, to) = (site.place(at)?, site.place(from)?, site.place(to)?);
            let (u, v) = (from - at, to - at);
            if u.hypot() < NO_DIRECTION_MM || v.hypot() < NO_DIRECTION_MM {
                return None;
            }
            let deg = u.cross(v).atan2(u.dot(v)).abs().to_degrees();
            Measured { value: Value::Angle(deg), vertex: Some(at), ..plain("Angle", from, to) }
        }
        Dimension::Radius(a) => site.radius(a, plain)?,
        Dimension::Along(a, b) => {
            let (from, to, way, length_mm) = site.along(a, b)?;
            Measured {
                value: Value::Length(length_mm),
                along: Some(way),
                ..plain("Along the outline", from, to)
            }
        }
    };
    let is_finite = measured.from.is_finite() && measured.to.is_finite();
    is_finite.then_some(measured)
}

/// Where is measured.
struct Site<'a> {
    knife: &'a Knife,
    outline: Option<&'a Outline>,
}

impl Site<'_> {
    fn place(&self, anchor: Anchor) -> Option<Point> {
        match anchor {
            Anchor::Place(at) => Some(at),
            Anchor::Node(id) => self.knife.profile.node(id).map(|node| node.at),
            Anchor::Hole(id) => self.knife.hole(id).map(|hole| hole.at),
            Anchor::Outline { .. } => self.on_outline(anchor).map(|place| place.at),
        }
    }

    /// A place on the outline: that of an anchor which lies on it, else the nearest.
    fn on_outline(&self, anchor: Anchor) -> Option<OutlinePoint> {
        let outline = self.outline?;
        let on = |id: NodeId, t: f64| {
            let segment = self.knife.profile.index_of(id)?;
            Some(OutlinePoint { at: outline.point_at(segment, t), segment, t })
        };
        match anchor {
            Anchor::Outline { stretch, t } => on(stretch, t),
            Anchor::Node(id) => on(id, 0.0),
            _ => {
                let near = outline.nearest(self.place(anchor)?);
                Some(OutlinePoint { at: near.at, segment: near.segment, t: near.t })
            }
        }
    }

    fn stretch(&self, id: NodeId) -> Option<PathSeg> {
        self.outline?.segs().get(self.knife.profile.index_of(id)?).copied()
    }

    /// The place of an edge nearest to a point.
    fn nearest(&self, edge: Boundary, to: Point) -> Option<Point> {
        match edge {
            Boundary::Stretch(id) => {
                let seg = self.stretch(id)?;
                Some(seg.eval(seg.nearest(to, ACCURACY_MM).t))
            }
            Boundary::Hole(id) => Some(rim_towards(self.knife.hole(id)?.circle(), to)),
        }
    }

    /// The nearest places of two edges, and their distance; negative where holes overlap.
    fn gap(&self, a: Boundary, b: Boundary) -> Option<(Point, Point, f64)> {
        match (a, b) {
            (Boundary::Hole(a), Boundary::Hole(b)) => {
                let (a, b) = (self.knife.hole(a)?.circle(), self.knife.hole(b)?.circle());
                let way = b.center - a.center;
                if way.hypot() < NO_DIRECTION_MM {
                    return None;
                }
                let way = way.normalize();
                let (from, to) = (a.center + way * a.radius, b.center - way * b.radius);
                Some((from, to, outline::circle_gap(a, b)))
            }
            (Boundary::Hole(hole), edge @ Boundary::Stretch(_)) => {
                let circle = self.knife.hole(hole)?.circle();
                let to = self.nearest(edge, circle.center)?;
                let gap_mm = to.distance(circle.center) - circle.radius;
                Some((rim_towards(circle, to), to, gap_mm))
            }
            (edge @ Boundary::Stretch(_), hole @ Boundary::Hole(_)) => {
                let (from, to, gap_mm) = self.gap(hole, edge)?;
                Some((to, from, gap_mm))
            }
            (Boundary::Stretch(a), Boundary::Stretch(b)) => {
                let (a, b) = (self.stretch(a)?, self.stretch(b)?);
                let (from, to) = nearest_places(&a, &b);
                Some((from, to, from.distance(to)))
            }
        }
    }

    fn radius(
        &self,
        anchor: Anchor,
        plain: impl Fn(&'static str, Point, Point) -> Measured,
    ) -> Option<Measured> {
        if let Anchor::Hole(id) = anchor {
            let circle = self.knife.hole(id)?.circle();
            let rim = circle.center + Vec2::from_angle(0.8) * circle.radius;
            return Some(plain("Radius", circle.center, rim));
        }
        let (outline, on) = (self.outline?, self.on_outline(anchor)?);
        let curvature = outline.curvature_at(on.segment, on.t);
        let radius_mm = 1.0 / curvature.abs();
        let outward = if outline.signed_area() < 0.0 { 1.0 } else { -1.0 };
        let normal = outward * outline.tangent_at(on.segment, on.t).turn_90();
        if radius_mm.is_nan() || radius_mm >= STRAIGHT_MM {
            let text = Value::Text("straight".to_owned());
            return Some(Measured { value: text, ..plain("Radius", on.at, on.at) });
        }
        // The centre lies inside where the outline is convex.
        let centre = on.at - normal * radius_mm.copysign(curvature);
        Some(Measured { value: Value::Length(radius_mm), ..plain("Radius", centre, on.at) })
    }

    /// From where to where it is shorter along the outline, how that goes, and its length, mm.
    fn along(&self, a: Anchor, b: Anchor) -> Option<(Point, Point, WayAlong, f64)> {
        let (outline, a, b) = (self.outline?, self.on_outline(a)?, self.on_outline(b)?);
        let length = |a: &OutlinePoint, b: &OutlinePoint| {
            outline.length_between((a.segment, a.t), (b.segment, b.t))
        };
        let (ahead, back) = (length(&a, &b), length(&b, &a));
        let (from, to, length_mm) = if ahead <= back { (a, b, ahead) } else { (b, a, back) };
        let middle = outline.at_length((from.segment, from.t), length_mm / 2.0);
        let way = |on: &OutlinePoint| outline.tangent_at(on.segment, on.t);
        // At a corner it begins with what comes after, and ends with what comes before.
        let hair_mm = NO_DIRECTION_MM.min(length_mm);
        let way = WayAlong {
            begins: way(&outline.at_length((from.segment, from.t), hair_mm)),
            ends: way(&outline.at_length((to.segment, to.t), -hair_mm)),
            middle: middle.at,
            at_middle: way(&middle),
        };
        Some((from.at, to.at, way, length_mm))
    }
}

/// The place of a hole's rim towards a point; of its centre, any.
fn rim_towards(hole: Circle, to: Point) -> Point {
    let way = to - hole.center;
    let out = if way.hypot() > 0.0 { way.normalize() } else { Vec2::new(1.0, 0.0) };
    hole.center + out * hole.radius
}

/// The nearest places of two stretches: from where the samples of both lie nearest, each place goes
/// to the nearest one of the other in turn until neither moves. `kurbo`'s own search halves
/// stretches that run alongside each other until nothing is left of them, and may end a tenth of a
/// millimetre beside the nearest place.
fn nearest_places(a: &PathSeg, b: &PathSeg) -> (Point, Point) {
    if let PathSeg::Line(line) = b
        && let Some(hit) = a.intersect_line(*line).first()
    {
        let at = a.eval(hit.segment_t);
        return (at, at);
    }
    let to = |seg: &PathSeg, p: Point| seg.eval(seg.nearest(p, ACCURACY_MM).t);
    let settled = nearest_samples(a, b).into_iter().map(|mut on_b| {
        let mut on_a = to(a, on_b);
        for _ in 0..30 {
            let was = on_b;
            on_b = to(b, on_a);
            on_a = to(a, on_b);
            if on_b.distance(was) < ACCURACY_MM {
                break;
            }
        }
        (on_a, on_b)
    });
    let nearer =
        |x: &(Point, Point), y: &(Point, Point)| x.0.distance(x.1).total_cmp(&y.0.distance(y.1));
    settled.min_by(nearer).unwrap_or((a.start(), b.start()))
}

/// Samples of the second stretch that lie nearer to the first than those beside them, the nearest
/// few of all.
fn nearest_samples(a: &PathSeg, b: &PathSeg) -> Vec<Point> {
    let samples = |seg: &PathSeg| -> Vec<Point> {
        (0..=SAMPLES).map(|i| seg.eval(i as f64 / SAMPLES as f64)).collect()
    };
    let (on_a, on_b) = (samples(a), samples(b));
    let off = |p: &Point| {
        let off = on_a.iter().map(|q| p.distance_squared(*q));
        off.min_by(f64::total_cmp).unwrap_or(f64::INFINITY)
    };
    let offs: Vec<f64> = on_b.iter().map(off).collect();
    let is_minimum = |i: &usize| {
        (*i == 0 || offs[i - 1] >= offs[*i]) && (*i == SAMPLES || offs[i + 1] >= offs[*i])
    };
    let mut minima: Vec<usize> = (0..=SAMPLES).filter(is_minimum).collect();
    minima.sort_by(|i, j| offs[*i].total_cmp(&offs[*j]));
    minima.iter().take(STARTS).map(|i| on_b[*i]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Edit, HoleId, HoleKind, Profile};

    /// A plate 100 × 30 with two holes of 10 mm at (30, 15) and (70, 12), and a round corner.
    fn plate() -> Knife {
        let corners = [(0., 0.), (100., 0.), (100., 30.), (0., 30.)].map(Point::from);
        let mut knife = Knife::empty();
        knife.profile = Profile::from_outline(&Outline::polygon(&corners).unwrap());
        for at in [(30.0, 15.0), (70.0, 12.0)] {
            let edit = Edit::AddHole {
                name: String::new(),
                kind: HoleKind::Pin,
                at: at.into(),
                diameter_mm: 10.0,
                drill: None,
                pin_mm: None,
            };
            knife = edit.apply(&knife).unwrap();
        }
        Edit::RoundCorner { node: NodeId(3), radius_mm: 8.0 }.apply(&knife).unwrap()
    }

    fn measured(of: Dimension) -> Measured {
        let knife = plate();
        measure(&knife, knife.profile.outline().ok().as_ref(), &of).unwrap()
    }

    fn value(of: Dimension) -> f64 {
        match measured(of).value {
            Value::Length(value) | Value::Angle(value) => value,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn distances_angles_and_radii_are_those_of_plain_geometry() {
        let (one, two) = (Anchor::Hole(HoleId(1)), Anchor::Hole(HoleId(2)));
        let corner = |id| Anchor::Node(NodeId(id));
        assert!((value(Dimension::Distance(one, two)) - 40.0_f64.hypot(3.0)).abs() < 1e-12);
        assert_eq!(value(Dimension::ToEdge(one, Boundary::Stretch(NodeId(1)))), 15.0);
        let (a, b) = (Boundary::Hole(HoleId(1)), Boundary::Hole(HoleId(2)));
        assert!((value(Dimension::Gap(a, b)) - (40.0_f64.hypot(3.0) - 10.0)).abs() < 1e-12);
        assert_eq!(value(Dimension::Gap(Boundary::Stretch(NodeId(1)), b)), 7.0);
        let across = Dimension::Gap(Boundary::Stretch(NodeId(1)), Boundary::Stretch(NodeId(4)));
        assert!((value(across) - 0.0).abs() < 1e-5, "they meet at a corner");
        let right = Dimension::Angle { at: corner(1), from: corner(2), to: corner(4) };
        assert!((value(right) - 90.0).abs() < 1e-12);
        assert_eq!(measured(right).vertex, Some(Point::ORIGIN));
        assert_eq!(value(Dimension::Radius(one)), 5.0);
    }

    /// Both places lie on their curves, and no two samples of the curves lie nearer.
    #[test]
    fn no_places_of_two_curves_are_nearer_than_those_found() {
        let mut state = 7_u32;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1 << 24) * 60.0
        };
        for _ in 0..150 {
            let mut curve = |x: f64| {
                let mut p = || Point::new(x + next(), next());
                PathSeg::Cubic(kurbo::CubicBez::new(p(), p(), p(), p()))
            };
            let (a, b) = (curve(0.0), curve(40.0));
            let (from, to) = nearest_places(&a, &b);
            assert!(a.nearest(from, 1e-9).distance_sq < 1e-9);
            assert!(b.nearest(to, 1e-9).distance_sq < 1e-9);
            let samples =
                |seg: &PathSeg| (0..=300).map(|i| seg.eval(f64::from(i) / 300.0)).collect();
            let (on_a, on_b): (Vec<Point>, Vec<Point>) = (samples(&a), samples(&b));
            let apart = on_a.iter().flat_map(|p| on_b.iter().map(|q| p.distance_squared(*q)));
            let min = apart.fold(f64::INFINITY, f64::min).sqrt();
            assert!(from.distance(to) < min + 1e-4, "{} {min}", from.distance(to));
        }
    }

    /// Edges that run alongside each other, and an edge and itself, took seconds each: an hour here.
    #[test]
    fn a_thousand_gaps_of_edges_alongside_each_other_are_no_work() {
        let corners = [(0., 0.), (100., 0.), (100., 30.), (0., 30.)].map(Point::from);
        let mut knife = Knife::empty();
        knife.profile = Profile::from_outline(&Outline::polygon(&corners).unwrap());
        let outline = knife.profile.outline().ok();
        let edge = |id| Boundary::Stretch(NodeId(id));
        for _ in 0..1000 {
            let across = measure(&knife, outline.as_ref(), &Dimension::Gap(edge(1), edge(3)));
            assert_eq!(across.unwrap().value, Value::Length(30.0));
            let itself = measure(&knife, outline.as_ref(), &Dimension::Gap(edge(1), edge(1)));
            assert_eq!(itself.unwrap().value, Value::Length(0.0));
        }
    }

    #[test]
    fn an_edge_through_a_holes_middle_lies_within_it_by_the_radius() {
        let mut knife = plate();
        knife.holes[0].at = (40.0, 0.0).into();
        let of = Dimension::Gap(Boundary::Hole(HoleId(1)), Boundary::Stretch(NodeId(1)));
        let found = measure(&knife, knife.profile.outline().ok().as_ref(), &of).unwrap();
        assert_eq!(found.value, Value::Length(-5.0));
    }

    #[test]
    fn a_rounded_corner_tells_its_radius_and_a_side_that_it_is_straight() {
        let knife = plate();
        let new = knife.profile.nodes.iter().find(|node| node.id.0 > 4).unwrap().id;
        let at = Anchor::Outline { stretch: new, t: 0.5 };
        let round = measured(Dimension::Radius(at));
        let Value::Length(radius) = round.value else { panic!() };
        assert!((radius - 8.0).abs() < 0.01, "{radius}");
        assert!(round.from.distance(Point::new(92.0, 22.0)) < 0.02, "{:?}", round.from);
        let side = Anchor::Outline { stretch: NodeId(1), t: 0.5 };
        assert_eq!(measured(Dimension::Radius(side)).value, Value::Text("straight".to_owned()));
    }

    #[test]
    fn along_the_outline_goes_the_shorter_way() {
        let half = Anchor::Outline { stretch: NodeId(1), t: 0.5 };
        let found = measured(Dimension::Along(half, Anchor::Node(NodeId(4))));
        assert_eq!(found.value, Value::Length(80.0));
        let way = found.along.unwrap();
        // From the corner at the origin's upper side down, round it and along: 80 mm of 30 + 50.
        assert!(way.middle.distance(Point::new(10.0, 0.0)) < 1e-6, "{:?}", way.middle);
        assert!((way.at_middle - Vec2::new(1.0, 0.0)).hypot() < 1e-9);
        assert!((way.begins - Vec2::new(0.0, -1.0)).hypot() < 1e-9, "{:?}", way.begins);
        assert!((way.ends - Vec2::new(1.0, 0.0)).hypot() < 1e-9, "{:?}", way.ends);
        assert!(measure(&plate(), None, &Dimension::Along(half, half)).is_none());
        let gone = Dimension::Radius(Anchor::Hole(HoleId(7)));
        assert!(measure(&plate(), None, &gone).is_none());
    }
}
