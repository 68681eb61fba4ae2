//! What of the bevels is dragged: plunge, grind line, taper and swedge on the blank, edge and
//! tip on the knife seen on edge.

use super::set;
use crate::canvas::handles::{self, Grip};
use crate::canvas::{self, Hands, Read, hover, step_mm};
use crate::command::Command;
use crate::stations::balance;
use egui::{Shape, Stroke};
use knife::limits::{LEAN_DEG, grind_height_on};
use knife::{Bevel, Edit, GrindLine, Swedge, Taper};
use kurbo::{ParamCurve as _, Point, Vec2};
use units::LengthUnit;

/// What is thin on the screen is dragged finely: half of it changes by at most this for each
/// point, mm.
const FINE_MM: f64 = 0.01;
/// How far above the blank the grip of the taper's line stands, points.
const ABOVE: f64 = 16.0;

pub(crate) fn on_canvas(hands: &mut Hands<'_>) {
    balance::mark(hands);
    if let Some(taper) = hands.read.knife.taper {
        taper_start(hands, taper);
    }
    if let Some(swedge) = hands.read.knife.swedge {
        swedge_end(hands, swedge);
        swedge_height(hands, swedge);
    }
    let Some(bevel) = hands.read.knife.bevel else { return };
    lean(hands, bevel);
    plunge(hands, bevel);
    match &hands.read.knife.grind_line {
        GrindLine::Height => grind(hands, bevel),
        GrindLine::Spine => {}
        GrindLine::Through(points) => own_line(hands, points),
    }
}

/// The upper end of the plunge line, by which it leans.
fn lean(hands: &mut Hands<'_>, bevel: Bevel) {
    let reckoning = &hands.read.derived.reckoning;
    let Some((figures, profile)) = reckoning.bevel.as_ref().zip(reckoning.profile.as_ref()) else {
        return;
    };
    let Some(line) = figures.plunge else { return };
    let up = if profile.edge_is_up { -1.0 } else { 1.0 };
    let round_deg = if canvas::is_fine(hands.ui) { 0.1 } else { 0.5 };
    // An arrow key leans it by a degree.
    let step_mm = line.p0.distance(line.p1) * 1.0_f64.to_radians();
    handles::grip(
        hands,
        &Grip::new("Plunge lean", line.p1, step_mm),
        |from, by| {
            let way = from + by - line.p0;
            let lean = (way.x * profile.towards_butt).atan2(way.y * up).to_degrees();
            let lean = (lean / round_deg).round() * round_deg;
            let lean = lean.clamp(*LEAN_DEG.start(), *LEAN_DEG.end());
            set(Bevel { plunge_lean_deg: lean, ..bevel })
        },
        || format!("plunge leans {}", units::show_angle(bevel.plunge_lean_deg, 1)),
    );
}

/// Where the taper begins: a dashed line across, with its grip above the blank.
fn taper_start(hands: &mut Hands<'_>, taper: Taper) {
    let Some(profile) = &hands.read.derived.reckoning.profile else { return };
    let (unit, bounds, origin) = (hands.read.knife.unit, profile.bounds, hands.read.origin);
    let above = hands.sight.mm(ABOVE);
    let (low, high) = if profile.edge_is_up {
        (bounds.y1, bounds.y0 - above)
    } else {
        (bounds.y0, bounds.y1 + above)
    };
    let ends = [low, high].map(|y| hands.sight.ui_from_knife(Point::new(taper.from_x_mm, y)));
    let stroke = Stroke::new(1.0, hands.read.palette.grip_chosen);
    hands.ui.painter().extend(Shape::dashed_line(&ends, stroke, 3.0, 4.0));
    let at = Point::new(taper.from_x_mm, high);
    let words = || {
        let (from, tip) = (origin.to_local_x(taper.from_x_mm), taper.tip_mm);
        let (from, tip) = (hover::length(from, unit), hover::length(tip, unit));
        format!("taper from {from}\nto {tip} at the tip")
    };
    handles::grip(
        hands,
        &Grip::across("Taper start", at, step_mm(unit)),
        |from, by| Edit::SetTaper(Some(Taper { from_x_mm: from.x + by.x, ..taper })),
        words,
    );
}

/// Where the swedge ends, on the spine.
fn swedge_end(hands: &mut Hands<'_>, swedge: Swedge) {
    let reckoning = &hands.read.derived.reckoning;
    let Some(end) = reckoning.swedge.as_ref().and_then(|figures| figures.spine.last()) else {
        return;
    };
    let (unit, origin) = (hands.read.knife.unit, hands.read.origin);
    let at = Point::new(swedge.from_x_mm, end.end().y);
    handles::grip(
        hands,
        &Grip::across("Swedge end", at, step_mm(unit)),
        |from, by| Edit::SetSwedge(Some(Swedge { from_x_mm: from.x + by.x, ..swedge })),
        || format!("swedge to {}", hover::length(origin.to_local_x(swedge.from_x_mm), unit)),
    );
}

/// How far down from the spine the swedge reaches: from the spine's middle straight into the
/// blade.
fn swedge_height(hands: &mut Hands<'_>, swedge: Swedge) {
    let reckoning = &hands.read.derived.reckoning;
    let (Some(figures), Some(outline)) = (&reckoning.swedge, &reckoning.outline) else { return };
    let Some(seg) = figures.spine.get(figures.spine.len() / 2) else { return };
    let (foot, unit) = (seg.eval(0.5), hands.read.knife.unit);
    let way = (seg.eval(0.51) - seg.eval(0.49)).normalize();
    let square = Vec2::new(-way.y, way.x);
    let into = if outline.contains(foot + square * 0.05) { square } else { -square };
    let angle_deg = figures.angle_deg;
    let heights = grind_height_on(&hands.read.knife.profile);
    let grip = Grip::new("Swedge height", foot + into * swedge.height_mm, step_mm(unit));
    handles::grip(
        hands,
        &grip,
        |from, by| {
            let height_mm = ((from + by) - foot).dot(into);
            let height_mm = height_mm.max(*heights.start()).min(*heights.end());
            Edit::SetSwedge(Some(Swedge { height_mm, ..swedge }))
        },
        || {
            let height = hover::length(swedge.height_mm, unit);
            format!("swedge {height} high\nangle per side {}", units::show_angle(angle_deg, 2))
        },
    );
}

/// The points of a grind line of its own.
fn own_line(hands: &mut Hands<'_>, points: &[Point]) {
    let (unit, origin) = (hands.read.knife.unit, hands.read.origin);
    for (i, at) in points.iter().enumerate() {
        let name = format!("Grind line point {}", i + 1);
        let grip = Grip {
            chosen: hands.session.grind_point == Some(i),
            ..Grip::place(&name, *at, step_mm(unit))
        };
        let response = handles::grip(
            hands,
            &grip,
            |from, by| {
                let mut points = points.to_vec();
                points[i] = from + by;
                Edit::SetGrindLine(GrindLine::Through(points))
            },
            || {
                let at = origin.to_local(*at);
                let (x, y) = (hover::short(at.x, unit), hover::short(at.y, unit));
                format!("grind line at x {x}, y {y}")
            },
        );
        if response.clicked() {
            response.request_focus();
        }
        if response.clicked() || response.gained_focus() || response.drag_started() {
            hands.session.grind_point = Some(i);
        }
    }
    if hands.ground.double_clicked() {
        hands.out.run(Command::AddLinePoint);
    } else if hands.ground.clicked() {
        hands.session.grind_point = None;
    }
}

fn plunge(hands: &mut Hands<'_>, bevel: Bevel) {
    let (reckoning, unit) = (&hands.read.derived.reckoning, hands.read.knife.unit);
    let origin = hands.read.origin;
    let line = reckoning.bevel.as_ref().and_then(|bevel| bevel.plunge);
    let middle_y = reckoning.outline.as_ref().map_or(0.0, |o| o.bounds().center().y);
    let at = line.map_or(Point::new(bevel.plunge_x_mm, middle_y), |line| line.eval(0.5));
    let grip = Grip::across("Plunge line", at, step_mm(unit));
    handles::grip(
        hands,
        &grip,
        |from, by| set(Bevel { plunge_x_mm: from.x + by.x, ..bevel }),
        || format!("plunge line at {}", hover::length(origin.to_local_x(bevel.plunge_x_mm), unit)),
    );
}

fn grind(hands: &mut Hands<'_>, bevel: Bevel) {
    // Beside the middle of the edge; from there straight off the edge into the blade.
    let (reckoning, unit) = (&hands.read.derived.reckoning, hands.read.knife.unit);
    let Some(profile) = &reckoning.profile else { return };
    let Some(edge) = profile.edge.as_ref().filter(|edge| !edge.segs.is_empty()) else { return };
    let foot = edge.segs[edge.segs.len() / 2].eval(0.5);
    let into = Vec2::new(0.0, if profile.edge_is_up { -1.0 } else { 1.0 });
    let heights = grind_height_on(&hands.read.knife.profile);
    let grip = Grip::new("Grind line", foot + into * bevel.grind_height_mm, step_mm(unit));
    let angle_deg = reckoning.bevel.as_ref().map_or(0.0, |b| b.angle_deg);
    let response = handles::grip(
        hands,
        &grip,
        |from, by| {
            let height_mm = ((from + by) - foot).dot(into).max(0.2).min(*heights.end());
            set(Bevel { grind_height_mm: height_mm, ..bevel })
        },
        || {
            format!(
                "grind height {}\nangle per side {}",
                hover::length(bevel.grind_height_mm, unit),
                units::show_angle(angle_deg, 2)
            )
        },
    );
    if response.dragged() || response.hovered() {
        let (from, to) = (hands.sight.ui_from_knife(foot), hands.sight.ui_from_knife(grip.at));
        hover::measure(hands.ui, from, to, hands.read.palette);
    }
}

/// What is dragged on the knife seen on edge, where y is the distance from the centre plane and
/// x that of the bar: the edge's line, and the tapered stock at the tip.
pub(crate) fn on_edge(hands: &mut Hands<'_>) {
    let most_mm = hands.read.knife.bar.thickness_mm;
    if let Some((bevel, middle)) = hands.read.knife.bevel.zip(blade_middle(hands.read)) {
        let edit = |mm: f64| set(Bevel { edge_thickness_mm: mm.min(most_mm), ..bevel });
        let now_mm = bevel.edge_thickness_mm;
        thickness(hands, "Edge line", "edge thickness", middle.x, now_mm, edit);
    }
    if let Some((taper, tip)) = hands.read.knife.taper.zip(tip(hands.read)) {
        let edit = |mm: f64| Edit::SetTaper(Some(Taper { tip_mm: mm.min(most_mm), ..taper }));
        thickness(hands, "Tip thickness", "stock at the tip", tip.x, taper.tip_mm, edit);
    }
}

/// A grip on half a thickness, finely geared.
fn thickness(
    hands: &mut Hands<'_>,
    name: &str,
    what: &str,
    x_mm: f64,
    now_mm: f64,
    edit: impl Fn(f64) -> Edit,
) {
    let unit = hands.read.knife.unit;
    let (round_mm, arrow_mm) = match unit {
        LengthUnit::Inch => (0.0127, 0.0254),
        LengthUnit::Millimetre => (0.01, 0.05),
    };
    let gear = (FINE_MM * hands.sight.view.camera.points_per_mm).min(1.0);
    let fine = if canvas::is_fine(hands.ui) { 0.1 } else { 1.0 };
    let round_mm = round_mm * fine;
    let grip = Grip::new(name, Point::new(x_mm, now_mm / 2.0), arrow_mm / 2.0);
    handles::grip(
        hands,
        &Grip { gear: gear * fine, ..grip },
        |from, by| edit((((from.y + by.y) * 2.0 / round_mm).round() * round_mm).max(0.0)),
        || format!("{what} {}", hover::length(now_mm, unit)),
    );
}

/// The marked tip's place.
fn tip(read: &Read<'_>) -> Option<Point> {
    let node = read.knife.profile.tip.and_then(|id| read.knife.profile.node(id))?;
    Some(node.at)
}

/// A place past the middle of the ground blade, on the way from the tip.
fn blade_middle(read: &Read<'_>) -> Option<Point> {
    let reckoning = &read.derived.reckoning;
    let plunge = reckoning.bevel.as_ref()?.plunge?;
    let tip = reckoning.profile.as_ref()?.edge.as_ref()?.segs.first()?.start();
    Some(tip.lerp(plunge.p0, 0.6))
}
