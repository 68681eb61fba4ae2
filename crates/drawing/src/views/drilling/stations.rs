//! Which places are dimensioned, and from where their extension lines start.

use super::VisibleArea;
use super::ordinates::{self, Axis, Side, Station};
use crate::views::blank::PAST_CIRCLE_MM;
use knife::{Knife, PartId, ReferenceEdge, ReferenceEnd};
use kurbo::{Line, Point};
use marks::{Drawing, Pen};
use reckon::scribe::{BarDistances, LineDirection, ScribeLine, end_label};
use reckon::{HoleFigures, Reckoning};
use units::LengthUnit;

/// Least distance of parallel lines, mm (ISO 128-2).
const PARALLEL_MM: f64 = 0.7;
/// White between the blank's own line and an extension line, mm.
const GAP_MM: f64 = 1.0;

/// A figure in the knife's unit: `0.730`, `18.54`.
pub(in crate::views) fn first(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch => units::show_number(mm / 25.4, 3),
        LengthUnit::Millimetre => units::show_number(mm, 2),
    }
}

/// The same in the other unit, in brackets: `[18.54]`, `[0.730]`.
pub(in crate::views) fn second(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch => format!("[{}]", first(mm, LengthUnit::Millimetre)),
        LengthUnit::Millimetre => format!("[{}]", first(mm, LengthUnit::Inch)),
    }
}

/// Draws the running dimensions from the reference end and, if `heights` are wanted, from the
/// reference edge, and the lines that several holes lie on.
pub(super) fn draw(
    drawing: &mut Drawing,
    knife: &Knife,
    reckoning: &Reckoning,
    visible: VisibleArea,
    heights: bool,
) {
    for line in reckoning.scribe.lines.iter().filter(|line| line.holes.len() > 1) {
        shared_line(drawing, line, reckoning);
    }
    from_end(drawing, knife, reckoning, visible);
    if heights {
        from_edge(drawing, knife, reckoning, visible);
    }
}

/// Whether every hole is dimensioned on the drawing, from the end and from the edge.
pub(super) fn all_told(knife: &Knife, reckoning: &Reckoning, visible: VisibleArea) -> (bool, bool) {
    let mut unseen = Drawing::new();
    (
        from_end(&mut unseen, knife, reckoning, visible),
        from_edge(&mut unseen, knife, reckoning, visible),
    )
}

/// A line with several holes on it, from before the first to past the last.
fn shared_line(drawing: &mut Drawing, line: &ScribeLine, reckoning: &Reckoning) {
    let on: Vec<&HoleFigures> = line.holes.iter().filter_map(|n| hole(reckoning, *n)).collect();
    let (Some(a), Some(b)) = (on.first(), on.last()) else { return };
    let (from, to) = match line.direction {
        LineDirection::Along { lower_mm } => {
            (Point::new(a.on_bar.x, lower_mm), Point::new(b.on_bar.x, lower_mm))
        }
        LineDirection::Askew { from, to } => (from, to),
    };
    let direction = to - from;
    if direction.hypot() < 1e-6 {
        return;
    }
    let direction = direction.normalize();
    let past = |hole: &HoleFigures| direction * (hole.diameter_mm / 2.0 + 2.0 * PAST_CIRCLE_MM);
    drawing.line(Pen::Centre, from - past(a), to + past(b));
}

fn hole(reckoning: &Reckoning, number: usize) -> Option<&HoleFigures> {
    reckoning.holes.get(number.checked_sub(1)?)
}

/// Distances along the bar, below it.
fn from_end(
    drawing: &mut Drawing,
    knife: &Knife,
    reckoning: &Reckoning,
    visible: VisibleArea,
) -> bool {
    let (bar, scribe, unit) = (&knife.bar, &reckoning.scribe, knife.unit);
    let end = bar.reference.end;
    let from = |x: f64| BarDistances::of(Point::new(x, 0.0), bar).end_mm(end);
    let mut stations: Vec<Station> = Vec::new();
    if visible.reference_end {
        let at = if end == ReferenceEnd::Left { 0.0 } else { bar.length_mm };
        let rows = vec!["0".to_owned(), end_label(end).to_owned()];
        stations.push(Station::fixed(at, rows));
    }
    let show = |x: f64, name: String| vec![first(from(x), unit), second(from(x), unit), name];
    for line in &scribe.cross_lines {
        let lowest = line.holes.first().and_then(|number| hole(reckoning, *number));
        let Some(lowest) = lowest else { continue };
        let numbers: Vec<String> = line.holes.iter().map(ToString::to_string).collect();
        stations.push(Station {
            at: line.left_mm,
            from: Some(lowest.on_bar.y - lowest.diameter_mm / 2.0 - PAST_CIRCLE_MM),
            rows: show(line.left_mm, numbers.join(", ")),
            name: String::new(),
            fixed: false,
            part: Some(PartId::Hole(lowest.id)),
        });
    }
    for mark in &scribe.marks {
        let mut names = mark.kind.label().split(", ").map(str::to_owned);
        let mut rows = show(mark.at.x, names.next().unwrap_or_default());
        rows.extend(names);
        // Two places of one distance are one station with two names.
        let same = stations.iter_mut().find(|s| s.rows[0] == rows[0] && s.rows.len() > 2);
        match same {
            Some(station) => station.rows.push(mark.kind.label().to_owned()),
            None => stations.push(Station {
                at: mark.at.x,
                from: Some(mark.at.y - GAP_MM),
                rows,
                name: String::new(),
                fixed: false,
                part: None,
            }),
        }
    }
    stub_where_close(&mut stations, reckoning, |station| {
        let x = station.at;
        station.from.map(|y| Line::new((x, y), (x, visible.body.y0)))
    });
    let axis = Axis {
        side: Side::Below,
        base: visible.body.y0,
        span: (visible.body.x0, visible.body.x1),
        room: (visible.body.x0 - 3.2, visible.body.x1 + 6.0),
        origin: stations.first().filter(|_| visible.reference_end).map(|station| station.at),
        direction: if end == ReferenceEnd::Left { 1.0 } else { -1.0 },
        others_in: "table",
    };
    ordinates::draw(drawing, &axis, stations)
}

/// Distances across the bar, beside it on the side nearer to the holes.
fn from_edge(
    drawing: &mut Drawing,
    knife: &Knife,
    reckoning: &Reckoning,
    visible: VisibleArea,
) -> bool {
    let (bar, scribe, unit) = (&knife.bar, &reckoning.scribe, knife.unit);
    if scribe.lines.is_empty() {
        return true;
    }
    let edge = bar.reference.edge;
    let from = |y: f64| BarDistances::of(Point::new(0.0, y), bar).edge_mm(edge);
    let side = side(reckoning, visible);
    let origin = if edge == ReferenceEdge::Lower { 0.0 } else { bar.width_mm };
    let rows = vec!["0".to_owned(), "edge".to_owned()];
    let mut stations = vec![Station::fixed(origin, rows)];
    for line in &scribe.lines {
        let ends = match line.direction {
            LineDirection::Along { lower_mm } => vec![(lower_mm, None)],
            LineDirection::Askew { from, to } => {
                vec![(from.y, line.holes.first()), (to.y, line.holes.last())]
            }
        };
        for (y, at_hole) in ends {
            let last = at_hole.copied().or_else(|| outermost(line, side, reckoning));
            let Some(last) = last.and_then(|number| hole(reckoning, number)) else { continue };
            let reach = last.diameter_mm / 2.0 + PAST_CIRCLE_MM;
            let out = if side == Side::Right { reach } else { -reach };
            let mut rows = vec![format!("{} {}", line.name, first(from(y), unit))];
            rows.push(match at_hole {
                Some(number) => format!("{} at {number}", second(from(y), unit)),
                None => second(from(y), unit),
            });
            stations.push(Station {
                at: y,
                from: Some(last.on_bar.x + out),
                rows,
                name: line.name.clone(),
                fixed: false,
                part: Some(PartId::Hole(last.id)),
            });
        }
    }
    let base = if side == Side::Right { visible.body.x1 } else { visible.body.x0 };
    if at_reference_end(knife, side, visible) {
        // The words that mark the end stand where the lines would run.
        stations.iter_mut().for_each(|station| station.from = None);
    }
    stub_where_close(&mut stations, reckoning, |station| {
        let y = station.at;
        station.from.map(|x| Line::new((x, y), (base, y)))
    });
    let axis = Axis {
        side,
        base,
        span: (visible.body.y0, visible.body.y1),
        room: (visible.body.y0 - 30.0, f64::MAX),
        origin: Some(origin),
        direction: if edge == ReferenceEdge::Lower { 1.0 } else { -1.0 },
        others_in: "table",
    };
    ordinates::draw(drawing, &axis, stations)
}

/// The side of the body nearer to the holes.
pub(super) fn side(reckoning: &Reckoning, visible: VisibleArea) -> Side {
    let xs: Vec<f64> = reckoning.holes.iter().map(|hole| hole.on_bar.x).collect();
    let (low, high) =
        xs.iter().fold((f64::MAX, f64::MIN), |(low, high), x| (low.min(*x), high.max(*x)));
    if f64::midpoint(low, high) >= visible.body.center().x { Side::Right } else { Side::Left }
}

/// Whether the figures on this side stand beyond the bar's reference end.
pub(super) fn at_reference_end(knife: &Knife, side: Side, visible: VisibleArea) -> bool {
    let end = if side == Side::Right { ReferenceEnd::Right } else { ReferenceEnd::Left };
    visible.reference_end && knife.bar.reference.end == end
}

/// The number of a line's hole nearest to the side where the figures stand.
fn outermost(line: &ScribeLine, side: Side, reckoning: &Reckoning) -> Option<usize> {
    let direction = if side == Side::Right { 1.0 } else { -1.0 };
    let x = |number: &usize| hole(reckoning, *number).map_or(f64::MIN, |h| h.on_bar.x * direction);
    line.holes.iter().copied().max_by(|a, b| x(a).total_cmp(&x(b)))
}

/// Lets those extension lines start at the body's side that would run through another hole's
/// circle, or along another line nearer than parallel lines may be drawn.
fn stub_where_close(
    stations: &mut [Station],
    reckoning: &Reckoning,
    drawn: impl Fn(&Station) -> Option<Line>,
) {
    let mut kept: Vec<Line> = Vec::new();
    for station in stations {
        let Some(line) = drawn(station) else { continue };
        let through = reckoning
            .holes
            .iter()
            .any(|hole| distance(line, hole.on_bar) < hole.diameter_mm / 2.0 + 0.3);
        let beside = kept.iter().any(|other| {
            [line.p0, line.p1].iter().any(|p| distance(*other, *p) < PARALLEL_MM)
                || [other.p0, other.p1].iter().any(|p| distance(line, *p) < PARALLEL_MM)
        });
        if through || beside {
            station.from = None;
        } else {
            kept.push(line);
        }
    }
}

/// Distance of a point from a stretch of line, mm.
fn distance(line: Line, p: Point) -> f64 {
    let direction = line.p1 - line.p0;
    let t = if direction.hypot2() > 0.0 {
        (direction.dot(p - line.p0) / direction.hypot2()).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (line.p0 + direction * t - p).hypot()
}
