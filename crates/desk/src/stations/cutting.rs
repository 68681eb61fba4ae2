//! Cutting out, at the Bar station: the chain of holes along the outline and the saw cuts.

use super::holes::{read_size, size_text};
use super::readings::readings;
use super::{heading, quiet, tick};
use crate::canvas::Read;
use crate::command::{Command, Commands};
use crate::field::Field;
use crate::session::Session;
use egui::Ui;
use knife::{ChainDrilling, Edit};

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (unit, p) = (read.knife.unit, read.palette);
    heading(ui, "Cutting out", p);
    let mut shown = session.chain;
    let about = "A row of holes just outside the outline, so that only thin bridges are left to \
                 saw. Shown on the bar.  (D)";
    if tick(ui, &mut shown, "Chain drilling", about, p) {
        out.run(Command::Chain);
    }
    if !session.chain {
        return;
    }
    let cutting = read.knife.cutting();
    let field = Field {
        name: "Chain drill",
        about: "A drill by its number, letter or fraction, or any diameter.",
        value: size_text(cutting.drill_mm, cutting.drill.as_deref(), unit),
        width: 112.0,
    };
    let drafts = &mut session.drafts;
    let typed = drafts.field(ui, p, field, |text| read_size(text, unit));
    if let Some((drill_mm, drill)) = typed {
        out.edit(set(ChainDrilling { drill_mm, drill, ..cutting.clone() }));
    }
    let field = ("Bridge", "Steel between one hole and the next.");
    if let Some(bridge_mm) = drafts.length(ui, p, field, cutting.bridge_mm, unit) {
        out.edit(set(ChainDrilling { bridge_mm, ..cutting.clone() }));
    }
    let field = ("Left to file", "Steel between the holes and the outline.");
    if let Some(leave_mm) = drafts.length(ui, p, field, cutting.leave_mm, unit) {
        out.edit(set(ChainDrilling { leave_mm, ..cutting.clone() }));
    }
    if let Some(chain) = &read.derived.reckoning.chain {
        for sentence in chain.describe(unit) {
            quiet(ui, &sentence, p);
        }
    }
    let stated = ["Chain drill", "Bridge wanted", "Left to file"];
    readings(ui, read, |title| title == "Chain drilling", &stated);
}

fn set(cutting: ChainDrilling) -> Edit {
    Edit::SetCutting(Some(cutting))
}
