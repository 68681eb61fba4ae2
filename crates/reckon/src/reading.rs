//! Readings: every figure with its name, value, unit and how it was worked out.

mod blade;
mod fit;
mod heat;
mod scales;
mod scribe;
mod shaping;
mod sheath;

use crate::{FilingFigures, InsideReach, MassFigures, OriginFrame, Reckoning, TangFigures};
use knife::{GrindLine, Knife};
use kurbo::Point;
use units::LengthUnit;

/// What a reading holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length, mm.
    Length(f64),
    /// Where something balances, mm behind a place; negative ahead of it.
    Balance(f64),
    /// An area, mm².
    Area(f64),
    /// A second moment of area, mm⁴.
    SecondMoment(f64),
    /// An angle, degrees.
    Angle(f64),
    /// A place as it is read from the knife's origin, mm.
    Place(Point),
    /// A text, such as a drill's name.
    Text(String),
    /// Yes or no.
    Flag(bool),
}

/// One figure that explains itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What it is called.
    pub name: &'static str,
    /// Its value and unit.
    pub value: Value,
    /// One line on how it was worked out.
    pub explanation: &'static str,
}

/// Readings of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The part's name.
    pub title: String,
    /// Its readings.
    pub readings: Vec<Reading>,
}

impl Reading {
    /// The value as a person reads it, in the unit asked for first.
    pub fn text(&self, unit: LengthUnit) -> String {
        match &self.value {
            Value::Length(mm) => length(*mm, unit),
            Value::Area(mm2) => match unit {
                LengthUnit::Millimetre => format!("{} mm²", units::show_number(*mm2, 1)),
                LengthUnit::Inch => format!(
                    "{} in² · {} mm²",
                    units::show_number(mm2 / (25.4 * 25.4), 3),
                    units::show_number(*mm2, 1)
                ),
            },
            // Of a section that is filed by hand three digits are more than enough.
            Value::SecondMoment(mm4) => format!("{} mm⁴", units::show_significant(*mm4, 3)),
            Value::Balance(mm) => balance(*mm, unit),
            Value::Angle(deg) => units::show_angle(*deg, 2),
            Value::Place(p) => format!("x {}, y {}", length(p.x, unit), length(p.y, unit)),
            Value::Text(text) => text.clone(),
            Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        }
    }
}

/// A balance point as near as it is found on a finger, in words.
fn balance(mm: f64, unit: LengthUnit) -> String {
    let ahead = if mm < 0.0 { " ahead of it" } else { "" };
    units::show_balance(mm.abs(), unit) + ahead
}

fn length(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 3),
        LengthUnit::Inch => {
            format!("{} · {}", units::show_length(mm, unit), units::show_mm(mm, 3))
        }
    }
}

/// Every reading of a knife, in groups, in the order of the work.
pub fn readings(knife: &Knife, reckoning: &Reckoning) -> Vec<Group> {
    let mut groups = Vec::new();
    groups.push(coordinates(knife, reckoning));
    groups.extend(bar(knife, reckoning));
    groups.extend(profile(reckoning));
    groups.extend(reckoning.holes.iter().map(|figures| hole(knife, reckoning, figures)));
    groups.extend(scribe::readings(knife, reckoning));
    groups.extend(reckoning.tang.as_ref().map(tang));
    groups.extend(bevel(knife, reckoning));
    groups.extend(reckoning.filing.as_ref().map(|figures| filing(figures, knife.unit)));
    groups.extend(scales::group(knife, reckoning));
    groups.extend(fit::groups(knife, reckoning));
    groups.extend(shaping::groups(knife, reckoning));
    groups.extend(reckoning.mass.as_ref().map(|figures| mass(knife, &reckoning.origin, figures)));
    groups.extend(blade::groups(knife, reckoning));
    groups.extend(sheath::groups(knife, reckoning));
    groups.push(heat::heat(&reckoning.heat, knife.unit));
    groups.extend(chain(knife, reckoning));
    groups
}

fn reading(name: &'static str, value: Value, how: &'static str) -> Reading {
    Reading { name, value, explanation: how }
}

/// Where places are counted from, told before the first of them.
fn coordinates(knife: &Knife, reckoning: &Reckoning) -> Group {
    let origin = &reckoning.origin;
    let message = if origin.origin == knife.origin {
        origin.noun_phrase().to_owned()
    } else {
        format!("{}, as there is no {}", origin.noun_phrase(), knife.origin.label())
    };
    let value = Value::Text(message);
    let how = if origin.x_sign < 0.0 {
        "every x and y below counts from here along the knife: x to the left, y up"
    } else {
        "every x and y below counts from here along the knife: x to the right, y up"
    };
    Group { title: "Coordinates".to_owned(), readings: vec![reading("Origin", value, how)] }
}

fn bar(knife: &Knife, reckoning: &Reckoning) -> Option<Group> {
    let figures = reckoning.bar.as_ref()?;
    let bar = &knife.bar;
    let readings = vec![
        reading("Grade", Value::Text(bar.grade.clone()), "as stated"),
        reading("Width", Value::Length(bar.width_mm), "as stated"),
        reading("Thickness", Value::Length(bar.thickness_mm), "as stated"),
        reading("Length", Value::Length(bar.length_mm), "as stated"),
        reading("Turn on the bar", Value::Angle(bar.placement.turn_deg), "as placed"),
        reading("Fits", Value::Flag(figures.fits), "the placed outline lies within the bar"),
        reading(
            "Margin",
            Value::Length(figures.margins.min_mm()),
            "least distance from the placed outline to the bar's edges and ends",
        ),
        reading(
            "Best turn",
            Value::Angle(figures.best_turn_deg),
            "the turn at which the least margin is largest, the blank in the bar's middle",
        ),
        reading(
            "Margin at best turn",
            Value::Length(figures.best_margin_mm),
            "the same at that turn",
        ),
    ];
    Some(Group { title: "Bar".to_owned(), readings })
}

fn profile(reckoning: &Reckoning) -> Option<Group> {
    let figures = reckoning.profile.as_ref()?;
    let mut readings = vec![
        reading("Overall length", Value::Length(figures.length_mm), "extent along x"),
        reading("Overall width", Value::Length(figures.width_mm), "extent along y"),
        reading(
            "Least width",
            Value::Length(figures.min_width.width_mm),
            "least extent over all directions",
        ),
        reading(
            "Turn of least width",
            Value::Angle(figures.min_width.turn_rad.to_degrees()),
            "turn that lays the least width across the bar",
        ),
        reading(
            "Outline's length",
            Value::Length(figures.perimeter_mm),
            "arc length of the outline",
        ),
        reading(
            "Area",
            Value::Area(figures.area_mm2),
            "exact integral over the outline, holes included",
        ),
        reading(
            "Area less holes",
            Value::Area(figures.net_area_mm2),
            "the same less the holes' circles",
        ),
        reading(
            "Centroid",
            Value::Place(reckoning.origin.to_local(figures.centroid)),
            "first moments over area, holes included",
        ),
        reading(
            "Second moment about x",
            Value::SecondMoment(figures.second_moments.ixx_mm4),
            "∫ y² dA about the centroid, holes included",
        ),
        reading(
            "Second moment about y",
            Value::SecondMoment(figures.second_moments.iyy_mm4),
            "∫ x² dA about the centroid, holes included",
        ),
    ];
    match &figures.tightest_inside {
        Some(inside) => readings.push(reading(
            "Tightest inside radius",
            Value::Length(inside.radius_mm),
            "least radius of curvature over the smooth concave stretches",
        )),
        None => readings.push(reading(
            "Tightest inside radius",
            Value::Text("no inside curve".to_owned()),
            "no smooth stretch is concave",
        )),
    }
    if let Some(inside) = &reckoning.inside {
        readings.push(reading(
            "Tool for it",
            Value::Text(reaching(inside)),
            "the largest on hand that leaves no larger a radius: half its diameter, and its paper",
        ));
    }
    if let Some(edge) = &figures.edge {
        readings.push(reading(
            "Edge, along the curve",
            Value::Length(edge.length_mm),
            "arc length from tip to heel",
        ));
        readings.push(reading(
            "Edge, straight",
            Value::Length(edge.straight_mm),
            "distance from tip to heel along x",
        ));
    }
    Some(Group { title: "Profile".to_owned(), readings })
}

fn hole(knife: &Knife, reckoning: &Reckoning, hole: &crate::HoleFigures) -> Group {
    let none = || Value::Text("–".to_owned());
    let mut readings = vec![
        reading("Use", Value::Text(hole.kind.label().to_owned()), "as stated"),
        reading(
            "Place",
            Value::Place(reckoning.origin.to_local(hole.at)),
            "centre, from the origin",
        ),
        reading("Diameter", Value::Length(hole.diameter_mm), "as stated"),
        reading(
            "Drill",
            hole.drill.clone().map_or_else(none, Value::Text),
            "as stated, or the table's nearest within a thousandth of an inch",
        ),
        reading(
            "Web to the outline",
            hole.edge_web_mm.map_or_else(none, Value::Length),
            "least distance from the hole's circle to the outline",
        ),
    ];
    if let Some(nearest) = &hole.nearest {
        readings.push(reading(
            "Web to the nearest hole",
            Value::Length(nearest.web_mm),
            "least distance from circle to circle",
        ));
    }
    readings.extend(scribe::of_hole(knife, reckoning, hole.number));
    if let Some(gap) = hole.pin_gap_mm {
        readings.push(reading(
            "Gap around the pin",
            Value::Length(gap),
            "hole's diameter less the pin's",
        ));
    }
    if let Some(fit) = &hole.pin_fit {
        readings.push(reading(
            "Drill for the pin",
            Value::Text(fit.describe(knife.unit)),
            "the drills on hand that leave the gap the limits ask for, the closest fit first",
        ));
    }
    Group { title: format!("Hole {}{}", hole.number, named(&hole.name)), readings }
}

fn tang(tang: &TangFigures) -> Group {
    let readings = vec![
        reading(
            "Least width at a hole",
            Value::Length(tang.min_width.net_mm),
            "width across the blade axis less the holes, from the handle's front to the last pin",
        ),
        reading(
            "Share of the whole width",
            Value::Text(share(tang.width_share())),
            "that width over the width there with the holes taken as filled",
        ),
        reading(
            "Least second moment",
            Value::SecondMoment(tang.min_stiffness.second_moment_mm4),
            "t · ∫(y − ȳ)² dy over what the holes leave, wherever it is least: bending in the \
             blade's plane",
        ),
        reading(
            "Share of stiffness",
            Value::Text(share(tang.stiffness_share())),
            "that moment over the least of the same tang undrilled",
        ),
    ];
    Group { title: "Tang".to_owned(), readings }
}

fn reaching(inside: &InsideReach) -> String {
    match (&inside.tool, &inside.to_get) {
        (Some(tool), _) => tool.name.clone(),
        (None, Some(tool)) => format!("none on hand; get a {}", tool.name),
        (None, None) => "none on hand and none in the table".to_owned(),
    }
}

fn share(share: f64) -> String {
    format!("{} %", units::show_number(100.0 * share, 1))
}

fn named(name: &str) -> String {
    if name.trim().is_empty() { String::new() } else { format!(", {}", name.trim()) }
}

fn bevel(knife: &Knife, reckoning: &Reckoning) -> Option<Group> {
    let (stated, figures) = (knife.bevel?, reckoning.bevel.as_ref()?);
    let readings = vec![
        reading(
            "Plunge line",
            Value::Length(reckoning.origin.to_local_x(stated.plunge_x_mm)),
            "x, from the origin, as stated",
        ),
        reading(
            "Grind height",
            Value::Length(figures.height_mm),
            match knife.grind_line {
                GrindLine::Height => "distance from the edge, as stated",
                _ => "distance from edge to grind line at the plunge line",
            },
        ),
        reading("Edge before hardening", Value::Length(stated.edge_thickness_mm), "as stated"),
        reading(
            "Angle per side",
            Value::Angle(figures.angle_deg),
            "atan(fall / height): (t − e)/2 a face, t − e when one face alone is ground",
        ),
        reading(
            "Usual for",
            blade::usual(figures.angle_deg),
            "bands of 1 to 2.5, 4 and 6.5 degrees (common practice, no source): a caution only",
        ),
    ];
    Some(Group { title: "Bevels".to_owned(), readings })
}

/// What a facet is called, in the order of filing.
const FACETS: [&str; 6] =
    ["First facet", "Second facet", "Third facet", "Fourth facet", "Fifth facet", "Sixth facet"];
const FACET: &str = "Further facet";
const LAST_FACET: &str = "Last facet";
const FACET_HOW: &str = "angle from the fall of one face over the height; steel summed over the \
                         blade, no swedge cut yet; equal shares of a section";
const TIME_HOW: &str = "from your own timed filing alone, all faces, at that rate";

fn filing(filing: &FilingFigures, unit: LengthUnit) -> Group {
    let centre = match &filing.centre_drill {
        Some(drill) => drill.clone(),
        None => "none on hand".to_owned(),
    };
    let mut readings = vec![
        reading(
            "Lower line of the edge",
            Value::Length(filing.edge_lines_mm[0]),
            "scribe over one face: t/2 − e/2 with stock t, edge e",
        ),
        reading(
            "Upper line of the edge",
            Value::Length(filing.edge_lines_mm[1]),
            "scribe over the same face: t/2 + e/2",
        ),
        reading(
            "Drill to find the centre",
            Value::Text(centre),
            "as thick as the stock: laid beside it on a flat plate its point marks the middle",
        ),
    ];
    readings.extend(filing.facets.iter().enumerate().map(|(i, facet)| {
        let last = i + 1 == filing.facets.len();
        let name = if last { LAST_FACET } else { FACETS.get(i).copied().unwrap_or(FACET) };
        let value = format!(
            "{} per side up to {}; takes {} mm³, {} of a section",
            units::show_angle(facet.angle_deg, 2),
            length(facet.height_mm, unit),
            units::show_number(facet.volume_mm3, 0),
            share(facet.share),
        );
        reading(name, Value::Text(value), FACET_HOW)
    }));
    if let Some(time) = &filing.time {
        let value = |min: f64| Value::Text(format!("{} minutes", units::show_number(min, 0)));
        readings.push(reading("All the filing", value(time.whole_min), TIME_HOW));
        readings.push(reading("Filing left", value(time.left_min), TIME_HOW));
    }
    Group { title: "Filing by hand".to_owned(), readings }
}

fn mass(knife: &Knife, origin: &OriginFrame, mass: &MassFigures) -> Group {
    let weight = |grams: Option<f64>| {
        let unknown = || format!("no density for {} in the table", knife.bar.grade);
        Value::Text(grams.map_or_else(unknown, |g| units::show_mass(units::Mass::grams(g))))
    };
    let mut readings = vec![
        reading(
            "As cut",
            weight(mass.flat_g()),
            "area less the holes, times thickness and density",
        ),
        reading(
            "Ground",
            weight(mass.ground_g()),
            "thickness summed over the blank, less the holes, times density",
        ),
        reading("Taken off by grinding", weight(mass.removed_g()), "as cut less ground"),
        reading(
            "Centre of mass",
            Value::Place(origin.to_local(mass.centre)),
            "of the ground blank, steel alone",
        ),
    ];
    let behind = [
        ("Behind the scale front", mass.behind_scale_front_mm),
        ("Behind the front pin", mass.behind_front_pin_mm),
    ];
    readings.extend(behind.into_iter().filter_map(|(name, mm)| {
        Some(reading(
            name,
            Value::Balance(mm?),
            "the balance point of the steel alone, to half a millimetre, towards the butt unless it says ahead",
        ))
    }));
    Group { title: "Steel alone".to_owned(), readings }
}

fn chain(knife: &Knife, reckoning: &Reckoning) -> Option<Group> {
    let chain = reckoning.chain.as_ref()?;
    let cutting = &chain.drilling;
    let stated = if knife.cutting.is_some() { "as chosen" } else { "as usual; choose another" };
    let mut readings = vec![
        reading("Chain drill", Value::Length(cutting.drill_mm), stated),
        reading("Bridge wanted", Value::Length(cutting.bridge_mm), stated),
        reading("Left to file", Value::Length(cutting.leave_mm), stated),
        reading(
            "Chain holes",
            Value::Text(chain.holes.len().to_string()),
            "centres on the outline offset outward by half the drill and what is left to file, \
             evenly divided between corners, none off the bar",
        ),
    ];
    if let Some((thin, thick)) = chain.bridges_mm() {
        let how = "straight from hole to hole, less the drill";
        readings.push(reading("Thinnest bridge", Value::Length(thin), how));
        readings.push(reading("Thickest bridge", Value::Length(thick), how));
    }
    let share = |share: f64| Value::Text(format!("{} %", units::show_number(100.0 * share, 0)));
    readings.extend([
        reading(
            "Steel to drill through",
            Value::Text(format!("{} m", units::show_number(chain.depth_mm / 1000.0, 2))),
            "chain holes times stock thickness",
        ),
        reading(
            "Way of the drill",
            Value::Text(format!("{} m", units::show_number(chain.travel_mm / 1000.0, 2))),
            "straight from hole to hole",
        ),
        reading("Line drilled", Value::Length(chain.line_mm), "length of the holes' centre line"),
        reading(
            "Line without room",
            Value::Length(chain.left_out_mm),
            "where a hole would not lie wholly on the bar: to be sawn",
        ),
        reading(
            "Drilled away",
            share(chain.drilled_share),
            "share of the steel along the drilled line, one drill wide, that the holes take",
        ),
        reading(
            "Relief saw cuts",
            Value::Text(chain.cuts.len().to_string()),
            "one into each hollow at least 2 mm deep, straight from the bar's edge to what is \
             left to file at its deepest place",
        ),
    ]);
    Some(Group { title: "Chain drilling".to_owned(), readings })
}
