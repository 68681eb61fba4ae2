//! The shop card's pages for drills, and for files, drums, dowels and saws.

use super::{Card, add, beside, remove};
use crate::field::Field;
use crate::stations::{heading, quiet, ticked};
use egui::Ui;
use reckon::shop::{DrillSet, InsideTool, Saw};
use reckon::tables::Tables;
use units::DrillName;

pub(super) fn drills(ui: &mut Ui, card: &mut Card<'_>) {
    heading(ui, "Whole sets", card.palette());
    ui.scope(|ui| sets(ui, card));
    heading(ui, "Single drills", card.palette());
    let names: Vec<String> = card.shop.drills.iter().map(ToString::to_string).collect();
    let field = Field {
        name: "Drills besides",
        about: "Single drills, separated by commas: #30, F, 5/32, 3.2 mm.",
        value: names.join(", "),
        width: 300.0,
    };
    let palette = card.read.palette;
    if let Some(drills) = card.drafts.field(ui, palette, field, read_drills) {
        card.shop.drills = drills;
    }
    let count = card.shop.drills_on_hand(Tables::built_in()).count();
    quiet(ui, &format!("{count} drills on hand."), palette);
}

fn sets(ui: &mut Ui, card: &mut Card<'_>) {
    ticked(ui, card.palette());
    for (set, words) in [
        (DrillSet::Number, "Number drills, #1 to #80"),
        (DrillSet::Letter, "Letter drills, A to Z"),
        (DrillSet::Fraction, "Fractional drills, 1/16 to 1/2 in by 64ths"),
        (DrillSet::Metric, "Metric drills, to 3 mm by 0.05, to 13 mm by 0.1"),
    ] {
        let mut has = card.shop.drill_sets.contains(&set);
        if ui.checkbox(&mut has, words).changed() {
            card.shop.drill_sets.retain(|other| *other != set);
            card.shop.drill_sets.extend(has.then_some(set));
            card.shop.drill_sets.sort_by_key(|set| DrillSet::ALL.iter().position(|s| s == set));
        }
    }
}

fn read_drills(text: &str) -> Result<Vec<DrillName>, String> {
    let names = text.split([',', ';']).map(str::trim).filter(|name| !name.is_empty());
    names
        .map(|name| {
            let drill = Tables::built_in().drill(name);
            drill.map(|drill| drill.name).ok_or_else(|| {
                format!("\"{name}\" isn't in the drill table; type such as #30, F, 5/32 or 3.2 mm")
            })
        })
        .collect()
}

pub(super) fn tools(ui: &mut Ui, card: &mut Card<'_>) {
    let unit = card.unit();
    heading(ui, "Files, drums and dowels for inside curves", card.palette());
    quiet(ui, "Measure yours: a tool leaves half its diameter, and its paper.", card.palette());
    let mut gone = None;
    for i in 0..card.shop.inside_tools.len() {
        let tool = card.shop.inside_tools[i].clone();
        let leaves = units::show_length(tool.radius_mm(), unit);
        let name = format!("Diameter of {}", tool.name);
        let about = format!("As measured; it leaves a radius of {leaves}.");
        let size = tool.measured_mm.unwrap_or(tool.diameter_mm);
        let p = card.read.palette;
        let more = |ui: &mut Ui| {
            if remove(ui, &tool.name) {
                gone = Some(i);
            }
            quiet(ui, &format!("leaves {leaves}"), p);
        };
        let field = |ui: &mut Ui| card.length(ui, (&name, &about), size, &(0.2..=500.0));
        if let Some(mm) = beside(ui, field, more) {
            card.shop.inside_tools[i].measured_mm = Some(mm);
        }
        if tool.kind.takes_abrasive_paper() {
            let name = format!("Paper on {}", tool.name);
            let about = "Thickness of the paper around it.";
            let field = |ui: &mut Ui| card.length(ui, (&name, about), tool.paper_mm, &(0.0..=5.0));
            if let Some(mm) = beside(ui, field, |_| {}) {
                card.shop.inside_tools[i].paper_mm = mm;
            }
        }
    }
    if let Some(i) = gone {
        card.shop.inside_tools.remove(i);
    }
    let rows = Tables::built_in().inside_tools();
    let chosen = add(ui, "Add a file, drum or dowel", rows.iter().map(|row| row.name.clone()));
    card.shop.inside_tools.extend(chosen.and_then(|i| rows.get(i)).map(InsideTool::from));

    heading(ui, "Saws", card.palette());
    let mut gone = None;
    for i in 0..card.shop.saws.len() {
        let saw = card.shop.saws[i].clone();
        let name = format!("Cut of {}", saw.name);
        let more = |ui: &mut Ui| {
            if remove(ui, &saw.name) {
                gone = Some(i);
            }
        };
        let about = "Width of its cut.";
        let field = |ui: &mut Ui| card.length(ui, (&name, about), saw.kerf_mm, &(0.05..=10.0));
        if let Some(mm) = beside(ui, field, more) {
            card.shop.saws[i].kerf_mm = mm;
        }
    }
    if let Some(i) = gone {
        card.shop.saws.remove(i);
    }
    let rows = Tables::built_in().saws();
    let chosen = add(ui, "Add a saw", rows.iter().map(|row| row.name.clone()));
    card.shop.saws.extend(chosen.and_then(|i| rows.get(i)).map(Saw::from));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_drills_are_read_or_refused() {
        assert_eq!(read_drills("#30, F ;3.2mm,").unwrap().len(), 3);
        assert_eq!(read_drills(""), Ok(vec![]));
        assert!(read_drills("#30, 7.77 mm").unwrap_err().contains("7.77 mm"));
    }
}
