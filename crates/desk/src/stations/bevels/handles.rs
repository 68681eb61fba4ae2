//! What of the bevels is dragged: plunge, grind line, taper and swedge on the blank, edge and
//! tip on the knife seen on edge.

use super::set;
use crate::canvas::handles::DragHandle;
use crate::canvas::hover;
use crate::canvas::input::is_fine;
use crate::command::Command;
use crate::context::{CanvasContext, ViewContext};
use crate::stations::balance;
use egui::{Shape, Stroke};
use knife::limits::{LEAN_DEG, grind_height_on};
use knife::{Bevel, Edit, GrindLine, Swedge, Taper};
use kurbo::{ParamCurve as _, Point, Vec2};
use units::LengthUnit;

/// What is thin on the screen is dragged finely: half of it changes by at most this for each
/// point, mm.
const FINE_MM: f64 = 0.01;
/// How far above the blank the handle of the taper's line stands, points.
const ABOVE: f64 = 16.0;

pub(crate) fn on_canvas(cx: &mut CanvasContext<'_>) {
    let context = cx.context;
    balance::mark(cx);
    if let Some(taper) = context.knife.taper {
        taper_start(cx, taper);
    }
    if let Some(swedge) = context.knife.swedge {
        swedge_end(cx, swedge);
        swedge_height(cx, swedge);
    }
    let Some(bevel) = context.knife.bevel else { return };
    lean(cx, bevel);
    plunge(cx, bevel);
    match &context.knife.grind_line {
        GrindLine::Height => grind(cx, bevel),
        GrindLine::Spine => {}
        GrindLine::Through(points) => own_line(cx, points),
    }
}

/// The upper end of the plunge line, by which it leans.
fn lean(cx: &mut CanvasContext<'_>, bevel: Bevel) {
    let context = cx.context;
    let reckoning = context.reckoning();
    let Some((figures, profile)) = reckoning.bevel.as_ref().zip(reckoning.profile.as_ref()) else {
        return;
    };
    let Some(line) = figures.plunge else { return };
    let up = if profile.edge_is_up { -1.0 } else { 1.0 };
    let round_deg = if is_fine(cx.ui) { 0.1 } else { 0.5 };
    // An arrow key leans it by a degree.
    let step_mm = line.p0.distance(line.p1) * 1.0_f64.to_radians();
    cx.drag_handle(
        &DragHandle { step_mm: Some(step_mm), ..DragHandle::new("Plunge lean", line.p1) },
        |from, by| {
            let arm = from + by - line.p0;
            let lean = (arm.x * profile.towards_butt).atan2(arm.y * up).to_degrees();
            let lean = (lean / round_deg).round() * round_deg;
            let lean = lean.clamp(*LEAN_DEG.start(), *LEAN_DEG.end());
            set(Bevel { plunge_lean_deg: lean, ..bevel })
        },
        || format!("plunge leans {}", units::show_angle(bevel.plunge_lean_deg, 1)),
    );
}

/// Where the taper begins: a dashed line across, with its handle above the blank.
fn taper_start(cx: &mut CanvasContext<'_>, taper: Taper) {
    let context = cx.context;
    let Some(profile) = &context.reckoning().profile else { return };
    let (bounds, origin) = (profile.bounds, context.origin);
    let above = cx.knife_view.mm(ABOVE);
    let (low, high) = if profile.edge_is_up {
        (bounds.y1, bounds.y0 - above)
    } else {
        (bounds.y0, bounds.y1 + above)
    };
    let ends = [low, high].map(|y| cx.knife_view.ui_from_knife(Point::new(taper.from_x_mm, y)));
    let stroke = Stroke::new(1.0, context.palette.grip_chosen);
    cx.ui.painter().extend(Shape::dashed_line(&ends, stroke, 3.0, 4.0));
    let at = Point::new(taper.from_x_mm, high);
    let label = || {
        let (from, tip) = (origin.to_local_x(taper.from_x_mm), taper.tip_mm);
        let (from, tip) = (context.length(from), context.length(tip));
        format!("taper from {from}\nto {tip} at the tip")
    };
    cx.drag_handle(
        &DragHandle::across("Taper start", at),
        |from, by| Edit::SetTaper(Some(Taper { from_x_mm: from.x + by.x, ..taper })),
        label,
    );
}

/// Where the swedge ends, on the spine.
fn swedge_end(cx: &mut CanvasContext<'_>, swedge: Swedge) {
    let context = cx.context;
    let reckoning = context.reckoning();
    let Some(end) = reckoning.swedge.as_ref().and_then(|figures| figures.spine.last()) else {
        return;
    };
    let origin = context.origin;
    let at = Point::new(swedge.from_x_mm, end.end().y);
    cx.drag_handle(
        &DragHandle::across("Swedge end", at),
        |from, by| Edit::SetSwedge(Some(Swedge { from_x_mm: from.x + by.x, ..swedge })),
        || format!("swedge to {}", context.length(origin.to_local_x(swedge.from_x_mm))),
    );
}

/// How far down from the spine the swedge reaches: from the spine's middle straight into the
/// blade.
fn swedge_height(cx: &mut CanvasContext<'_>, swedge: Swedge) {
    let context = cx.context;
    let reckoning = context.reckoning();
    let (Some(figures), Some(outline)) = (&reckoning.swedge, &reckoning.outline) else { return };
    let Some(seg) = figures.spine.get(figures.spine.len() / 2) else { return };
    let foot = seg.eval(0.5);
    let along = (seg.eval(0.51) - seg.eval(0.49)).normalize();
    let square = Vec2::new(-along.y, along.x);
    let into = if outline.contains(foot + square * 0.05) { square } else { -square };
    let angle_deg = figures.angle_deg;
    let heights = grind_height_on(&context.knife.profile);
    let handle = DragHandle::new("Swedge height", foot + into * swedge.height_mm);
    cx.drag_handle(
        &handle,
        |from, by| {
            let height_mm = ((from + by) - foot).dot(into);
            let height_mm = height_mm.max(*heights.start()).min(*heights.end());
            Edit::SetSwedge(Some(Swedge { height_mm, ..swedge }))
        },
        || {
            let height = context.length(swedge.height_mm);
            format!("swedge {height} high\nangle per side {}", units::show_angle(angle_deg, 2))
        },
    );
}

/// The points of a grind line of its own.
fn own_line(cx: &mut CanvasContext<'_>, points: &[Point]) {
    let context = cx.context;
    let origin = context.origin;
    for (i, at) in points.iter().enumerate() {
        let name = format!("Grind line point {}", i + 1);
        let handle = DragHandle {
            selected: cx.selection.grind_point == Some(i),
            ..DragHandle::point(&name, *at)
        };
        let response = cx.drag_handle(
            &handle,
            |from, by| {
                let mut points = points.to_vec();
                points[i] = from + by;
                Edit::SetGrindLine(GrindLine::Through(points))
            },
            || {
                let at = origin.to_local(*at);
                let (x, y) = (context.short(at.x), context.short(at.y));
                format!("grind line at x {x}, y {y}")
            },
        );
        if response.clicked() {
            response.request_focus();
        }
        if response.clicked() || response.gained_focus() || response.drag_started() {
            cx.selection.grind_point = Some(i);
        }
    }
    if cx.background.double_clicked() {
        cx.actions.run(Command::AddLinePoint);
    } else if cx.background.clicked() {
        cx.selection.grind_point = None;
    }
}

fn plunge(cx: &mut CanvasContext<'_>, bevel: Bevel) {
    let context = cx.context;
    let reckoning = context.reckoning();
    let origin = context.origin;
    let line = reckoning.bevel.as_ref().and_then(|bevel| bevel.plunge);
    let middle_y = reckoning.outline.as_ref().map_or(0.0, |o| o.bounds().center().y);
    let at = line.map_or(Point::new(bevel.plunge_x_mm, middle_y), |line| line.eval(0.5));
    let handle = DragHandle::across("Plunge line", at);
    cx.drag_handle(
        &handle,
        |from, by| set(Bevel { plunge_x_mm: from.x + by.x, ..bevel }),
        || format!("plunge line at {}", context.length(origin.to_local_x(bevel.plunge_x_mm))),
    );
}

fn grind(cx: &mut CanvasContext<'_>, bevel: Bevel) {
    let context = cx.context;
    // Beside the middle of the edge; from there straight off the edge into the blade.
    let reckoning = context.reckoning();
    let Some(profile) = &reckoning.profile else { return };
    let Some(edge) = profile.edge.as_ref().filter(|edge| !edge.segs.is_empty()) else { return };
    let foot = edge.segs[edge.segs.len() / 2].eval(0.5);
    let into = Vec2::new(0.0, if profile.edge_is_up { -1.0 } else { 1.0 });
    let heights = grind_height_on(&context.knife.profile);
    let handle = DragHandle::new("Grind line", foot + into * bevel.grind_height_mm);
    let angle_deg = reckoning.bevel.as_ref().map_or(0.0, |b| b.angle_deg);
    let response = cx.drag_handle(
        &handle,
        |from, by| {
            let height_mm = ((from + by) - foot).dot(into).max(0.2).min(*heights.end());
            set(Bevel { grind_height_mm: height_mm, ..bevel })
        },
        || {
            format!(
                "grind height {}\nangle per side {}",
                context.length(bevel.grind_height_mm),
                units::show_angle(angle_deg, 2)
            )
        },
    );
    if response.dragged() || response.hovered() {
        let (from, to) =
            (cx.knife_view.ui_from_knife(foot), cx.knife_view.ui_from_knife(handle.at));
        hover::measure(cx.ui, from, to, context.palette);
    }
}

/// What is dragged on the knife seen on edge, where y is the distance from the centre plane and
/// x that of the bar: the edge's line, and the tapered stock at the tip.
pub(crate) fn on_edge(cx: &mut CanvasContext<'_>) {
    let context = cx.context;
    let max_mm = context.knife.bar.thickness_mm;
    if let Some((bevel, middle)) = context.knife.bevel.zip(blade_middle(context)) {
        let edit = |mm: f64| set(Bevel { edge_thickness_mm: mm.min(max_mm), ..bevel });
        let now_mm = bevel.edge_thickness_mm;
        thickness(cx, "Edge line", "edge thickness", middle.x, now_mm, edit);
    }
    if let Some((taper, tip)) = context.knife.taper.zip(tip(context)) {
        let edit = |mm: f64| Edit::SetTaper(Some(Taper { tip_mm: mm.min(max_mm), ..taper }));
        thickness(cx, "Tip thickness", "stock at the tip", tip.x, taper.tip_mm, edit);
    }
}

/// A handle on half a thickness, finely geared.
fn thickness(
    cx: &mut CanvasContext<'_>,
    name: &str,
    what: &str,
    x_mm: f64,
    now_mm: f64,
    edit: impl Fn(f64) -> Edit,
) {
    let context = cx.context;
    let (round_mm, arrow_mm) = match context.unit() {
        LengthUnit::Inch => (0.0127, 0.0254),
        LengthUnit::Millimetre => (0.01, 0.05),
    };
    let gear = (FINE_MM * cx.knife_view.view.camera.points_per_mm).min(1.0);
    let fine = if is_fine(cx.ui) { 0.1 } else { 1.0 };
    let round_mm = round_mm * fine;
    let handle = DragHandle::new(name, Point::new(x_mm, now_mm / 2.0));
    cx.drag_handle(
        &DragHandle { gear: gear * fine, step_mm: Some(arrow_mm / 2.0), ..handle },
        |from, by| edit((((from.y + by.y) * 2.0 / round_mm).round() * round_mm).max(0.0)),
        || format!("{what} {}", context.length(now_mm)),
    );
}

/// The marked tip's place.
fn tip(context: &ViewContext<'_>) -> Option<Point> {
    let node = context.knife.profile.tip.and_then(|id| context.knife.profile.node(id))?;
    Some(node.at)
}

/// A place past the middle of the ground blade, on the way from the tip.
fn blade_middle(context: &ViewContext<'_>) -> Option<Point> {
    let reckoning = &context.reckoning();
    let plunge = reckoning.bevel.as_ref()?.plunge?;
    let tip = reckoning.profile.as_ref()?.edge.as_ref()?.segs.first()?.start();
    Some(tip.lerp(plunge.p0, 0.6))
}
