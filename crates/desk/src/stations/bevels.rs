//! Bevels: plunge line, grind line, edge.

use super::readings::readings;
use super::{heading, not_yet};
use crate::canvas::handles::{self, Grip};
use crate::canvas::{self, Hands, Read, hover, step_mm};
use crate::command::Commands;
use crate::section;
use crate::session::Session;
use egui::Ui;
use knife::{Bevel, Edit};
use kurbo::{ParamCurve as _, Point, Vec2};
use units::LengthUnit;

/// What is left at the edge before hardening when nothing was decided, mm (0.020 in, common
/// practice, no source).
const EDGE_MM: f64 = 0.508;
/// The edge is so thin on the screen that its line is dragged finely: its half thickness
/// changes by at most this for each point, mm.
const EDGE_FINE_MM: f64 = 0.01;

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let Some(bevel) = read.knife.bevel else {
        let words = (
            "No bevels yet",
            "Begin with a plunge line just ahead of the heel and a grind two thirds up.",
            "Begin the bevels",
        );
        let first = first(read).map(|first| Edit::SetBevel(Some(first)));
        return not_yet(ui, words, first, read, out);
    };
    heading(ui, "As decided", p);
    let field = ("Plunge line", "Where the grind begins: its place along the knife.");
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.plunge_x_mm, unit) {
        out.edit(set(Bevel { plunge_x_mm: mm, ..bevel }));
    }
    let field = ("Grind height", "How far up from the edge the bevel reaches: the grind line.");
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.grind_height_mm, unit) {
        out.edit(set(Bevel { grind_height_mm: mm, ..bevel }));
    }
    let field = (
        "Edge thickness",
        "What is left at the edge before hardening, so that it doesn't warp or burn.",
    );
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.edge_thickness_mm, unit) {
        out.edit(set(Bevel { edge_thickness_mm: mm, ..bevel }));
    }
    if ui.button("Remove the bevels").clicked() {
        out.edit(Edit::SetBevel(None));
    }
    let stated = ["Plunge line", "Grind height", "Edge before hardening"];
    readings(ui, read, |title| title == "Bevels", &stated);
    let at_handle = ["Centre of mass", "Behind the scale front", "Behind the front pin"];
    readings(ui, read, |title| title == "Steel alone", &at_handle);
    section::card(ui, read, session);
}

fn set(bevel: Bevel) -> Edit {
    Edit::SetBevel(Some(bevel))
}

/// A bevel to begin with: plunge at the heel, grind line two thirds up the blade.
fn first(read: &Read<'_>) -> Option<Bevel> {
    let profile = read.derived.reckoning.profile.as_ref()?;
    let heel = read.knife.profile.heel.and_then(|id| read.knife.profile.node(id));
    let middle = profile.bounds.center().x - profile.towards_butt * profile.length_mm / 20.0;
    Some(Bevel {
        plunge_x_mm: heel.map_or(middle, |node| node.at.x),
        grind_height_mm: (profile.width_mm * 0.55).clamp(1.0, 100.0),
        edge_thickness_mm: EDGE_MM.min(read.knife.bar.thickness_mm),
        ..Bevel::default()
    })
}

pub(super) fn on_canvas(hands: &mut Hands<'_>) {
    let Some(bevel) = hands.read.knife.bevel else { return };
    plunge(hands, bevel);
    grind(hands, bevel);
}

fn plunge(hands: &mut Hands<'_>, bevel: Bevel) {
    let (reckoning, unit) = (&hands.read.derived.reckoning, hands.read.knife.unit);
    let line = reckoning.bevel.as_ref().and_then(|bevel| bevel.plunge);
    let middle_y = reckoning.outline.as_ref().map_or(0.0, |o| o.bounds().center().y);
    let at = line.map_or(Point::new(bevel.plunge_x_mm, middle_y), |line| line.eval(0.5));
    let grip = Grip::across("Plunge line", at, step_mm(unit));
    handles::grip(
        hands,
        &grip,
        |from, by| set(Bevel { plunge_x_mm: from.x + by.x, ..bevel }),
        || format!("plunge line at {}", hover::length(bevel.plunge_x_mm, unit)),
    );
}

fn grind(hands: &mut Hands<'_>, bevel: Bevel) {
    // Beside the middle of the edge; from there straight off the edge into the blade.
    let (reckoning, unit) = (&hands.read.derived.reckoning, hands.read.knife.unit);
    let Some(profile) = &reckoning.profile else { return };
    let Some(edge) = profile.edge.as_ref().filter(|edge| !edge.segs.is_empty()) else { return };
    let foot = edge.segs[edge.segs.len() / 2].eval(0.5);
    let into = Vec2::new(0.0, if profile.edge_is_up { -1.0 } else { 1.0 });
    let grip = Grip::new("Grind line", foot + into * bevel.grind_height_mm, step_mm(unit));
    let angle_deg = reckoning.bevel.as_ref().map_or(0.0, |b| b.angle_deg);
    let response = handles::grip(
        hands,
        &grip,
        |from, by| {
            let height_mm = ((from + by) - foot).dot(into).max(0.2);
            set(Bevel { grind_height_mm: height_mm, ..bevel })
        },
        || {
            format!(
                "grind height {}\nangle a side {}",
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

/// The edge's line on the knife seen on edge, where y is the distance from the centre plane and
/// x that of the bar.
pub(crate) fn on_edge(hands: &mut Hands<'_>) {
    let Some(bevel) = hands.read.knife.bevel else { return };
    let Some(middle) = blade_middle(hands.read) else { return };
    let (unit, most_mm) = (hands.read.knife.unit, hands.read.knife.bar.thickness_mm);
    let (round_mm, arrow_mm) = match unit {
        LengthUnit::Inch => (0.0127, 0.0254),
        LengthUnit::Millimetre => (0.01, 0.05),
    };
    let gear = (EDGE_FINE_MM * hands.sight.view.camera.points_per_mm).min(1.0);
    let fine = if canvas::is_fine(hands.ui) { 0.1 } else { 1.0 };
    let round_mm = round_mm * fine;
    let at = Point::new(middle.x, bevel.edge_thickness_mm / 2.0);
    let grip = Grip::new("Edge line", at, arrow_mm / 2.0);
    handles::grip(
        hands,
        &Grip { gear: gear * fine, ..grip },
        |from, by| {
            let edge_mm = ((from.y + by.y) * 2.0 / round_mm).round() * round_mm;
            set(Bevel { edge_thickness_mm: edge_mm.clamp(0.0, most_mm), ..bevel })
        },
        || format!("edge thickness {}", hover::length(bevel.edge_thickness_mm, unit)),
    );
}

/// A place of the bar past the middle of the ground blade, on the way from the tip.
fn blade_middle(read: &Read<'_>) -> Option<Point> {
    let reckoning = &read.derived.reckoning;
    let plunge = reckoning.bevel.as_ref()?.plunge?;
    let tip = reckoning.profile.as_ref()?.edge.as_ref()?.segs.first()?.start();
    Some(read.knife.bar.placement.bar_from_knife() * tip.lerp(plunge.p0, 0.6))
}
