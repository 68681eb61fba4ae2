//! Figures of the holes: drill, webs, and distances for scribing.

use crate::Shop;
use crate::pin::PinFit;
use crate::tables::Tables;
use knife::{Hole, HoleId, HoleKind, Knife, ReferenceEdge, ReferenceEnd};
use kurbo::{Point, Vec2};
use outline::{Outline, circle_gap};
use units::{DrillName, LengthUnit};

/// The nearest other hole and the web to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearestHole {
    /// Which hole.
    pub id: HoleId,
    /// Its number, from 1.
    pub number: usize,
    /// The web between the two, mm; negative when they overlap.
    pub web_mm: f64,
}

/// Figures of one hole.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleFigures {
    /// Which hole.
    pub id: HoleId,
    /// Its number in the knife's list, from 1.
    pub number: usize,
    /// What the maker calls it; may be empty.
    pub name: String,
    /// What it is for.
    pub kind: HoleKind,
    /// Centre in the knife's plane.
    pub at: Point,
    /// Centre in the bar's plane.
    pub on_bar: Point,
    /// Diameter, mm.
    pub diameter_mm: f64,
    /// The drill: the one named, or the table's nearest where that is within 0.025 mm.
    pub drill: Option<String>,
    /// Diameter of the named drill by the table, mm; `None` when none is named or known.
    pub drill_mm: Option<f64>,
    /// Least web to the outline, mm; negative when the hole breaks it.
    pub edge_web_mm: Option<f64>,
    /// Where on the outline that web ends.
    pub edge_at: Option<Point>,
    /// The nearest other hole.
    pub nearest: Option<NearestHole>,
    /// Centre from the bar's reference edge, mm.
    pub from_bar_edge_mm: f64,
    /// Centre from the bar's reference end, mm.
    pub from_bar_end_mm: f64,
    /// Centre to the outline on the upper side, square to the bar, mm.
    pub from_upper_mm: Option<f64>,
    /// Centre to the outline on the lower side, square to the bar, mm.
    pub from_lower_mm: Option<f64>,
    /// Clearance on the diameter of the pin, mm, when the pin's stock is known.
    pub pin_gap_mm: Option<f64>,
    /// How that pin goes in and which drills would suit it.
    pub pin_fit: Option<PinFit>,
}

impl HoleFigures {
    /// The hole as a sentence names it: `hole 2 (front pin)`.
    pub fn label(&self) -> String {
        let what = if self.name.trim().is_empty() { self.kind.label() } else { self.name.trim() };
        format!("hole {} ({what})", self.number)
    }

    /// The drill's diameter where its name doesn't tell it, as a number's or a letter's doesn't, in a
    /// unit: `0.191 in`. None without a drill.
    pub fn drill_size(&self, unit: LengthUnit) -> Option<String> {
        let name = units::parse_drill(self.drill.as_deref()?);
        let is_told = matches!(name, Ok(DrillName::Fraction { .. } | DrillName::Metric { .. }));
        let mm = self.drill_mm.unwrap_or(self.diameter_mm);
        (!is_told).then(|| units::show_decimal(mm, unit, (2, 3)))
    }
}

/// A drill within this of a hole drawn elsewhere is taken for its drill, mm (a thousandth of
/// an inch; this program's own choice).
const SAME_DRILL_MM: f64 = 0.0254;

pub(crate) fn figures(
    knife: &Knife,
    outline: Option<&Outline>,
    shop: &Shop,
    tables: &Tables,
) -> Vec<HoleFigures> {
    let fit =
        |hole: &Hole| hole.pin_mm.map(|pin_mm| PinFit::new(pin_mm, hole.diameter_mm, shop, tables));
    let one =
        |(i, hole)| HoleFigures { pin_fit: fit(hole), ..one(knife, i, hole, outline, tables) };
    knife.holes.iter().enumerate().map(one).collect()
}

fn one(
    knife: &Knife,
    i: usize,
    hole: &Hole,
    outline: Option<&Outline>,
    tables: &Tables,
) -> HoleFigures {
    let bar = &knife.bar;
    let on_bar = bar.placement.bar_from_knife() * hole.at;
    let near = outline.map(|outline| outline.nearest(hole.at));
    let across = Vec2::from_angle((90.0 - bar.placement.turn_deg).to_radians());
    let chord = outline.and_then(|outline| outline.chord(hole.at, across));
    let named = hole.drill.as_deref().and_then(|name| tables.drill(name));
    HoleFigures {
        id: hole.id,
        number: i + 1,
        name: hole.name.clone(),
        kind: hole.kind,
        at: hole.at,
        on_bar,
        diameter_mm: hole.diameter_mm,
        drill: hole.drill.clone().or_else(|| nearest_drill(hole.diameter_mm, tables)),
        drill_mm: named.map(|drill| drill.diameter_mm),
        edge_web_mm: outline.map(|outline| outline.web(hole.circle())),
        edge_at: near.map(|near| near.at),
        nearest: nearest_hole(knife, i),
        from_bar_edge_mm: match bar.reference.edge {
            ReferenceEdge::Lower => on_bar.y,
            ReferenceEdge::Upper => bar.width_mm - on_bar.y,
        },
        from_bar_end_mm: match bar.reference.end {
            ReferenceEnd::Left => on_bar.x,
            ReferenceEnd::Right => bar.length_mm - on_bar.x,
        },
        from_upper_mm: chord.map(|(_, upper)| upper.distance(hole.at)),
        from_lower_mm: chord.map(|(lower, _)| lower.distance(hole.at)),
        pin_gap_mm: hole.pin_mm.map(|pin| hole.diameter_mm - pin),
        pin_fit: None,
    }
}

fn nearest_drill(diameter_mm: f64, tables: &Tables) -> Option<String> {
    let drill = tables.nearest_drill(diameter_mm)?;
    ((drill.diameter_mm - diameter_mm).abs() <= SAME_DRILL_MM).then(|| drill.label.clone())
}

fn nearest_hole(knife: &Knife, i: usize) -> Option<NearestHole> {
    let own = knife.holes[i].circle();
    knife
        .holes
        .iter()
        .enumerate()
        .filter(|(j, _)| *j != i)
        .map(|(j, hole)| NearestHole {
            id: hole.id,
            number: j + 1,
            web_mm: circle_gap(own, hole.circle()),
        })
        .min_by(|a, b| a.web_mm.total_cmp(&b.web_mm))
}

#[cfg(test)]
mod tests {
    use crate::sample::{drilled, reckoned};
    use knife::{Reference, ReferenceEdge, ReferenceEnd};

    #[test]
    fn distances_are_told_from_the_bars_own_edges() {
        let mut knife = drilled(&[(150.0, 2.0, 3.264), (170.0, 2.0, 6.0)]);
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
        let hole = reckoned(&knife).holes.remove(0);
        near(hole.from_bar_edge_mm, 21.05);
        near(hole.from_bar_end_mm, 160.0);
        near(hole.from_upper_mm.unwrap(), 13.0);
        near(hole.from_lower_mm.unwrap(), 17.0);
        near(hole.edge_web_mm.unwrap(), 13.0 - 1.632);
        near(hole.nearest.unwrap().web_mm, 20.0 - 1.632 - 3.0);
        // A hole of a drawing gets the drill it is within a thousandth of an inch of.
        assert_eq!(hole.drill.as_deref(), Some("#30"));
        knife.bar.reference = Reference { edge: ReferenceEdge::Upper, end: ReferenceEnd::Right };
        let hole = reckoned(&knife).holes.remove(0);
        near(hole.from_bar_edge_mm, 38.1 - 21.05);
        near(hole.from_bar_end_mm, 304.8 - 160.0);
    }

    #[test]
    fn square_to_the_bar_means_the_bar_not_the_knife() {
        let mut knife = drilled(&[(150.0, 0.0, 3.0)]);
        knife.bar.placement.turn_deg = 30.0;
        let hole = reckoned(&knife).holes.remove(0);
        let expected = 15.0 / 30.0_f64.to_radians().cos();
        assert!((hole.from_upper_mm.unwrap() - expected).abs() < 1e-9);
    }
}
