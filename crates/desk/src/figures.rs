//! Live figures at the pointer, as named values: of a place of the outline, and of a hole.

use knife::{HoleId, Knife};
use kurbo::{Circle, ParamCurve, ParamCurveArclen, Point, Vec2};
use outline::{Nearest, Outline, circle_gap};
use reckon::{ProfileFigures, Reckoning};
use units::LengthUnit;

/// Accuracy asked of lengths along the outline, mm: finer than any text tells.
const LENGTH_MM: f64 = 1e-3;
/// A curve of more than this radius is told as straight, mm (this program's own choice).
const STRAIGHT_MM: f64 = 5_000.0;
/// A place nearer than this to a corner has no radius, mm.
const AT_CORNER_MM: f64 = 1e-6;
/// How far inside the outline its width is taken at a place on it, mm.
const INSIDE_MM: f64 = 1e-4;

/// One named figure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Figure {
    /// What it is.
    pub(crate) name: String,
    /// Its value, mm.
    pub(crate) value_mm: f64,
    /// Its value as a person reads it, in the knife's unit.
    pub(crate) text: String,
    /// From where to where it is measured, in the knife's plane, where that is a straight line.
    pub(crate) span: Option<Span>,
}

/// From where to where something is measured.
pub(crate) type Span = (Point, Point);

impl Figure {
    fn new(
        unit: LengthUnit,
        name: impl Into<String>,
        value_mm: f64,
        span: impl Into<Option<Span>>,
    ) -> Self {
        let text = units::show_length(value_mm, unit);
        Self { name: name.into(), value_mm, text, span: span.into() }
    }

    /// Its name and value as a tag tells them: `width here 1.500 in (1 1/2)`.
    pub(crate) fn describe(&self) -> String {
        self.describe_as(&self.text)
    }

    /// The same with the value told otherwise.
    pub(crate) fn describe_as(&self, text: &str) -> String {
        let mut signs = self.name.chars();
        let name: String =
            signs.next().into_iter().flat_map(char::to_lowercase).chain(signs).collect();
        format!("{name} {text}")
    }
}

/// Figures of the place of the outline that is nearest to the pointer.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct AtPointer {
    /// The place, in the knife's plane.
    pub(crate) place: Nearest,
    /// Length of the stretch, from the tip along the outline, width, radius of curvature: those
    /// that are known.
    pub(crate) figures: Vec<Figure>,
}

/// Lengths along an outline, worked out once a revision so that the pointer needn't wait.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lengths {
    starts_mm: Vec<f64>,
    whole_mm: f64,
}

impl Lengths {
    /// Measures every stretch of an outline.
    pub fn of(outline: &Outline) -> Self {
        let mut lengths = Self::default();
        for seg in outline.segs() {
            lengths.starts_mm.push(lengths.whole_mm);
            lengths.whole_mm += seg.arclen(LENGTH_MM);
        }
        lengths
    }

    /// The length of one stretch, mm.
    fn of_stretch(&self, segment: usize) -> Option<f64> {
        let end = self.starts_mm.get(segment + 1).copied().unwrap_or(self.whole_mm);
        self.starts_mm.get(segment).map(|start| end - start)
    }

    /// The shorter way along the outline from a node to a place, mm.
    fn arc_from(&self, outline: &Outline, node: usize, segment: usize, t: f64) -> Option<f64> {
        let seg = outline.segs().get(segment)?;
        let part = if t > 0.0 { seg.subsegment(0.0..t).arclen(LENGTH_MM) } else { 0.0 };
        let ahead = self.starts_mm.get(segment)? + part - self.starts_mm.get(node)?;
        let ahead = ahead.rem_euclid(self.whole_mm);
        Some(ahead.min(self.whole_mm - ahead))
    }
}

/// Figures of the outline where it is nearest to a place of the knife's plane. `None` without an
/// outline, and farther from it than `reach_mm`. `lengths` must be those of the reckoning's
/// outline.
pub(crate) fn at_pointer(
    knife: &Knife,
    reckoning: &Reckoning,
    lengths: &Lengths,
    pointer: Point,
    reach_mm: f64,
) -> Option<AtPointer> {
    let outline = reckoning.outline.as_ref()?;
    if !pointer.is_finite() {
        return None;
    }
    let place = outline.nearest(pointer);
    if place.distance_mm > reach_mm {
        return None;
    }
    let unit = knife.unit;
    let mut figures = Vec::new();
    let stretch = lengths.of_stretch(place.segment);
    figures.extend(stretch.map(|mm| Figure::new(unit, "Segment", mm, None)));
    let tip = knife.profile.tip.and_then(|tip| knife.profile.index_of(tip));
    let along = tip.and_then(|tip| lengths.arc_from(outline, tip, place.segment, place.t));
    figures.extend(along.map(|mm| Figure::new(unit, "Along the line from the tip", mm, None)));
    if let Some((lower, upper)) = width_at(knife, outline, pointer, &place) {
        figures.push(Figure::new(unit, "Width here", lower.distance(upper), (lower, upper)));
    }
    figures.push(radius(outline, &place, unit));
    Some(AtPointer { place, figures })
}

/// Figures of a hole as it would be with its centre at `at` (in the knife's plane): to spine
/// and belly square to the bar, webs to the outline and to the nearest other hole, and from
/// the bar's edges and ends. `own` is the hole that is dragged, so that it isn't measured
/// against itself; `None` for one that is still to be added.
pub(crate) fn of_hole(
    knife: &Knife,
    reckoning: &Reckoning,
    own: Option<HoleId>,
    at: Point,
    diameter_mm: f64,
) -> Vec<Figure> {
    let mut found = Vec::new();
    let unit = knife.unit;
    let circle = Circle::new(at, diameter_mm / 2.0);
    if let (Some(outline), Some(profile)) = (&reckoning.outline, &reckoning.profile) {
        if outline.contains(at)
            && let Some((lower, upper)) = outline.chord(at, across(knife))
        {
            let (spine, belly) = sides(profile, (lower, upper));
            found.push(Figure::new(unit, "Centre to the spine", at.distance(spine), (at, spine)));
            found.push(Figure::new(unit, "Centre to the belly", at.distance(belly), (at, belly)));
        }
        let near = outline.nearest(at).at;
        let rim = at + (near - at).normalize() * circle.radius;
        let span = rim.is_finite().then_some((rim, near));
        found.push(Figure::new(unit, "Web to the outline", outline.web(circle), span));
    }
    let others = knife.holes.iter().enumerate().filter(|(_, hole)| Some(hole.id) != own);
    let webs = others.map(|(i, hole)| (i + 1, hole, circle_gap(circle, hole.circle())));
    if let Some((number, hole, web)) = webs.min_by(|a, b| a.2.total_cmp(&b.2)) {
        let direction = (hole.at - at).normalize();
        let (from, to) =
            (at + direction * circle.radius, hole.at - direction * hole.diameter_mm / 2.0);
        let span = direction.is_finite().then_some((from, to));
        found.push(Figure::new(unit, format!("Web to hole {number}"), web, span));
    }
    found.extend(from_bar(knife, at));
    found
}

/// A centre's distances from the bar's edges and its reference end.
fn from_bar(knife: &Knife, at: Point) -> [Figure; 3] {
    let bar = &knife.bar;
    let bar_from_knife = bar.placement.bar_from_knife();
    let on_bar = bar_from_knife * at;
    let (end, end_x) = match bar.reference.end {
        knife::ReferenceEnd::Left => ("left end", 0.0),
        knife::ReferenceEnd::Right => ("right end", bar.length_mm),
    };
    let back = bar_from_knife.inverse();
    let figure = |name: &str, value_mm: f64, to: Point| {
        Figure::new(knife.unit, format!("From the bar's {name}"), value_mm, (at, back * to))
    };
    let Point { x, y } = on_bar;
    [
        figure("lower edge", y, Point::new(x, 0.0)),
        figure("upper edge", bar.width_mm - y, Point::new(x, bar.width_mm)),
        figure(end, (x - end_x).abs(), Point::new(end_x, y)),
    ]
}

/// Square to the bar, upwards, in the knife's plane.
fn across(knife: &Knife) -> Vec2 {
    Vec2::from_angle((90.0 - knife.bar.placement.turn_deg).to_radians())
}

/// Spine and belly of a chord, however the blank is turned on the bar.
fn sides(profile: &ProfileFigures, (a, b): (Point, Point)) -> (Point, Point) {
    if (a.y > b.y) == profile.edge_is_up { (b, a) } else { (a, b) }
}

/// The material's width square to the bar: through the pointer when it is on the blank, else
/// at the nearest place of the outline.
fn width_at(
    knife: &Knife,
    outline: &Outline,
    pointer: Point,
    place: &Nearest,
) -> Option<(Point, Point)> {
    let inside = |p: Point| {
        if outline.contains(p) { outline.chord(p, across(knife)) } else { None }
    };
    let normal = outline.tangent_at(place.segment, place.t).turn_90();
    inside(pointer)
        .or_else(|| inside(place.at + normal * INSIDE_MM))
        .or_else(|| inside(place.at - normal * INSIDE_MM))
}

fn radius(outline: &Outline, place: &Nearest, unit: LengthUnit) -> Figure {
    let figure = |value_mm: f64, text: String| Figure {
        name: "Radius of curvature".to_owned(),
        value_mm,
        text,
        span: None,
    };
    let at_node = |p: Point| p.distance(place.at) < AT_CORNER_MM;
    let ends = place.t <= 0.0 || place.t >= 1.0;
    if ends && outline.corners().iter().any(|corner| at_node(corner.at)) {
        return figure(0.0, "a corner".to_owned());
    }
    let curvature = outline.curvature_at(place.segment, place.t);
    let radius_mm = 1.0 / curvature.abs();
    if radius_mm > STRAIGHT_MM {
        return figure(f64::INFINITY, "straight".to_owned());
    }
    let bend = if curvature < 0.0 { "concave" } else { "convex" };
    figure(radius_mm, format!("{}, {bend}", units::show_length(radius_mm, unit)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Edit, HoleKind, NodeId, Profile};
    use kurbo::Shape;
    use reckon::{Shop, reckon, tables::Tables};

    fn reckoned(knife: &Knife) -> Reckoning {
        reckon(knife, &Shop::default(), Tables::built_in())
    }

    fn on(outline: Outline) -> Knife {
        let mut knife = Knife::empty();
        knife.unit = LengthUnit::Millimetre;
        knife.bar.placement.at = Point::new(20.0, 5.0);
        knife.profile = Profile::from_outline(&outline);
        knife.profile.tip = Some(NodeId(1));
        knife
    }

    /// A plate 100 × 30 with its tip at the lower left corner.
    fn plate() -> Knife {
        let corners = [(0., 0.), (100., 0.), (100., 30.), (0., 30.)].map(Point::from);
        on(Outline::polygon(&corners).unwrap())
    }

    fn value(figures: &[Figure], name: &str) -> f64 {
        figures.iter().find(|figure| figure.name == name).unwrap().value_mm
    }

    fn at(knife: &Knife, on_bar: (f64, f64)) -> AtPointer {
        let reckoning = reckoned(knife);
        let lengths = Lengths::of(reckoning.outline.as_ref().unwrap());
        let pointer = knife.bar.placement.bar_from_knife().inverse() * Point::from(on_bar);
        at_pointer(knife, &reckoning, &lengths, pointer, f64::INFINITY).unwrap()
    }

    #[test]
    fn a_plates_figures_are_those_of_a_rectangle() {
        // 40 along and 30.5 up the plate.
        let found = at(&plate(), (60.0, 35.5));
        assert_eq!(found.place.at, Point::new(40.0, 30.0));
        assert_eq!(value(&found.figures, "Width here"), 30.0);
        // Round the short way: down 30 and along 40.
        assert!((value(&found.figures, "Along the line from the tip") - 70.0).abs() < 1e-9);
        let texts: Vec<&str> = found.figures.iter().map(|figure| &*figure.text).collect();
        assert_eq!(texts, ["100.00 mm", "70.00 mm", "30.00 mm", "straight"]);
        assert_eq!(found.figures[0].describe(), "segment 100.00 mm");
        let corner = at(&plate(), (121.0, 36.0));
        assert_eq!(corner.figures.last().unwrap().text, "a corner");
        let mut unmarked = plate();
        unmarked.profile.tip = None;
        assert_eq!(at(&unmarked, (60.0, 35.5)).figures.len(), 3);
    }

    #[test]
    fn a_discs_radius_and_chord_are_the_circles() {
        let disc = Circle::new((30.0, 0.0), 25.0).to_path(1e-9);
        let knife = on(Outline::from_path(&disc).unwrap());
        let found = at(&knife, (20.0 + 30.0 + 7.0, 5.0 + 26.0));
        let radius = value(&found.figures, "Radius of curvature");
        assert!((radius / 25.0 - 1.0).abs() < 0.01, "{radius}");
        assert!(found.figures.last().unwrap().text.ends_with(", convex"));
        // Pointer on the blank, 7 from the middle: the chord there is 2 √(25² − 7²) = 48.
        let chord = at(&knife, (20.0 + 37.0, 5.0));
        assert!((value(&chord.figures, "Width here") - 48.0).abs() < 1e-4);
        let mut inch = knife;
        inch.unit = LengthUnit::Inch;
        assert!(at(&inch, (57.0, 5.0)).figures[2].text.starts_with("1.890 in"));
    }

    #[test]
    fn a_holes_distances_on_a_plate() {
        let mut knife = plate();
        for x in [20.0, 50.0] {
            let edit = Edit::AddHole {
                name: String::new(),
                kind: HoleKind::Pin,
                at: Point::new(x, 12.0),
                diameter_mm: 4.0,
                drill: None,
                pin_mm: None,
            };
            knife = edit.apply(&knife).unwrap();
        }
        let reckoning = reckoned(&knife);
        let own = Some(knife.holes[1].id);
        let found = of_hole(&knife, &reckoning, own, Point::new(32.0, 17.0), 6.0);
        assert_eq!(value(&found, "Centre to the spine"), 13.0);
        assert_eq!(value(&found, "Centre to the belly"), 17.0);
        assert_eq!(value(&found, "Web to the outline"), 10.0);
        // 12 along and 5 up: 13 between the centres (5-12-13), less 3 and 2.
        assert_eq!(value(&found, "Web to hole 1"), 8.0);
        assert_eq!(value(&found, "From the bar's lower edge"), 22.0);
        assert!((value(&found, "From the bar's upper edge") - 16.1).abs() < 1e-9);
        assert_eq!(value(&found, "From the bar's left end"), 52.0);
        // PaperLayout upside down on the bar, spine and belly stay what they are.
        let mut turned = knife.clone();
        turned.bar.placement.turn_deg = 180.0;
        let upside_down = of_hole(&turned, &reckoned(&turned), own, Point::new(32.0, 17.0), 6.0);
        assert!((value(&upside_down, "Centre to the spine") - 13.0).abs() < 1e-9);
        assert!((value(&upside_down, "Centre to the belly") - 17.0).abs() < 1e-9);
        for figure in &found {
            let (from, to) = figure.span.unwrap();
            assert!((from.distance(to) - figure.value_mm).abs() < 1e-9, "{}", figure.name);
        }
        // The same as the reckoning tells of a hole that stands.
        let stands = &reckoning.holes[1];
        let found = of_hole(&knife, &reckoning, own, stands.at, stands.diameter_mm);
        assert_eq!(Some(value(&found, "Web to the outline")), stands.edge_web_mm);
        assert_eq!(Some(value(&found, "Centre to the spine")), stands.from_upper_mm);
        assert_eq!(value(&found, "Web to hole 1"), stands.nearest.unwrap().web_mm);
        // On top of another hole, off the blank, without an outline: no panic, no nonsense.
        for (knife, at) in [
            (&knife, Point::new(20.0, 12.0)),
            (&knife, Point::new(-300.0, 12.0)),
            (&Knife::empty(), Point::ORIGIN),
        ] {
            let found = of_hole(knife, &reckoned(knife), None, at, 4.0);
            assert!(found.iter().all(|figure| figure.value_mm.is_finite()), "{found:?}");
        }
    }
}
