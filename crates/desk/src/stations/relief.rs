//! Filling the tang between its pins with relief holes.

use super::{heading, quiet};
use crate::canvas::Read;
use crate::command::Commands;
use crate::field::Field;
use crate::session::Session;
use egui::Ui;
use knife::{HoleKind, Knife};
use reckon::{ReliefOptions, Shop};
use units::LengthUnit;

/// What the maker wants of a row of relief holes; its web follows the shop's limits until one
/// is typed.
#[derive(Clone, Debug, PartialEq)]
pub struct ReliefWish {
    /// Their diameter, mm.
    pub diameter_mm: f64,
    /// The drill's designation.
    pub drill: Option<String>,
    /// The web to leave, mm, once typed.
    pub web_mm: Option<f64>,
}

impl Default for ReliefWish {
    /// A 1/4 in drill, as is usual (common practice, no source).
    fn default() -> Self {
        Self { diameter_mm: 6.35, drill: Some("1/4".to_owned()), web_mm: None }
    }
}

impl ReliefWish {
    /// What is asked for by the limits of a shop: its care limits for a web between holes.
    pub(crate) fn ask(&self, shop: &Shop) -> ReliefOptions {
        let limits = &shop.limits;
        let usual_mm = (limits.web_care_diameters.max(limits.edge_care_diameters - 0.5)
            * self.diameter_mm)
            .max(limits.web_care_mm);
        ReliefOptions {
            diameter_mm: self.diameter_mm,
            drill: self.drill.clone(),
            web_mm: self.web_mm.unwrap_or(usual_mm),
        }
    }
}

/// Whether the knife has two pins to put a row between.
pub(crate) fn has_room(knife: &Knife) -> bool {
    knife.holes.iter().filter(|hole| hole.kind == HoleKind::Pin).count() >= 2
}

pub(super) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    if !has_room(read.knife) {
        return;
    }
    let (p, unit) = (read.palette, read.knife.unit);
    heading(ui, "Relief holes", p);
    let ask = session.relief.ask(read.derived.shop());
    let field = Field {
        name: "Relief drill",
        about: "A drill by its number, letter or fraction, or any diameter.",
        value: super::holes::size_text(ask.diameter_mm, ask.drill.as_deref(), unit),
        width: 104.0,
    };
    let read_size = |text: &str| super::holes::read_size(text, unit).and_then(drillable);
    if let Some((diameter_mm, drill)) = session.drafts.field(ui, p, field, read_size) {
        session.relief.diameter_mm = diameter_mm;
        session.relief.drill = drill;
    }
    let about = "Steel to leave to the outline, to the scales' front and between holes.";
    if let Some(mm) = session.drafts.length(ui, p, ("Minimum web", about), ask.web_mm, unit) {
        session.relief.web_mm = Some(mm.max(0.0));
    }
    let Some(row) = read.derived.relief() else { return };
    quiet(ui, &row.describe(), p);
    if let Some(edit) = row.edit()
        && ui.button(edit.label()).on_hover_text("Between the pins, along the middle.").clicked()
    {
        out.edit(edit);
    }
}

fn drillable(size: (f64, Option<String>)) -> Result<(f64, Option<String>), String> {
    let most = knife::limits::DIAMETER_MM;
    if most.contains(&size.0) {
        return Ok(size);
    }
    let words = |mm| units::write_length(mm, LengthUnit::Millimetre);
    Err(format!("A hole must lie between {} and {}", words(*most.start()), words(*most.end())))
}
