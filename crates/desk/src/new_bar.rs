//! The bar for a drawing of one's own: typed, or one that the shop has.

use crate::canvas::Read;
use crate::command::{Commands, Wish};
use crate::field::{Drafts, Field};
use crate::session::Session;
use crate::stations::{heading, quiet};
use crate::theme::{self, Palette};
use egui::{ComboBox, RichText, ScrollArea, Ui};
use knife::{Bar, Knife, Placement, limits};
use kurbo::Point;
use reckon::tables::{BarSide, Tables};
use std::ops::RangeInclusive;
use units::LengthUnit;

/// A bar to begin with: what a first blank is usually cut from, or the usual metric size nearest
/// to it. The knife's origin lies at its left end, on its centre line.
pub(crate) fn usual(unit: LengthUnit) -> Bar {
    let bar = Knife::empty().bar;
    let near = |side: BarSide, mm: f64| {
        let sizes = Tables::built_in().bar_sizes(side, unit).map(|size| size.size_mm);
        sizes.min_by(|a, b| (a - mm).abs().total_cmp(&(b - mm).abs())).unwrap_or(mm)
    };
    laid(Bar {
        width_mm: near(BarSide::Width, bar.width_mm),
        thickness_mm: near(BarSide::Thickness, bar.thickness_mm),
        length_mm: near(BarSide::Length, bar.length_mm),
        ..bar
    })
}

/// The bar with the knife's origin at its left end, on its centre line.
fn laid(bar: Bar) -> Bar {
    let placement = Placement { at: Point::new(0.0, bar.width_mm / 2.0), turn_deg: 0.0 };
    Bar { placement, ..bar }
}

/// Asks for the bar; it goes out as a wish.
pub(crate) fn ui(ui: &Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let Some(mut bar) = session.new_bar.take() else { return };
    let unit = read.settings.unit;
    let mut over = false;
    let modal = theme::sheet(ui, "new bar").show(ui.ctx(), |ui| {
        ui.set_width(400.0_f32.min(ui.ctx().content_rect().width() - 60.0));
        ui.heading("Draw my own");
        let about = "On which bar of steel? Its size can be changed at any time, at Bar.";
        ui.label(RichText::new(about).color(read.palette.weak));
        ui.add_space(4.0);
        on_hand(ui, read, unit, &mut bar);
        heading(ui, "The bar", read.palette);
        grade(ui, &mut bar);
        sizes(ui, &mut session.drafts, read.palette, unit, &mut bar);
        ui.add_space(8.0);
        ui.horizontal(|ui| {
            if ui.button("Begin drawing").clicked() {
                out.push(Wish::Draw(Box::new(laid(bar.clone()))));
                over = true;
            }
            over |= ui.button("Cancel").clicked();
        });
    });
    if !over && !modal.should_close() {
        session.new_bar = Some(bar);
    }
}

/// The shop's bars, each to be taken by one click.
fn on_hand(ui: &mut Ui, read: &Read<'_>, unit: LengthUnit, bar: &mut Bar) {
    let bars = &read.derived.shop().bars;
    if bars.is_empty() {
        return quiet(
            ui,
            "Bars that the shop has on hand are offered here; add them in Shop.",
            read.palette,
        );
    }
    heading(ui, "On hand", read.palette);
    ScrollArea::vertical().max_height(110.0).auto_shrink([false, true]).show(ui, |ui| {
        for known in bars {
            let size = |mm| units::write_length(mm, unit);
            let words = format!(
                "{}, {} × {} × {}",
                known.grade,
                size(known.width_mm),
                size(known.thickness_mm),
                size(known.length_mm)
            );
            let is = (&bar.grade, bar.width_mm, bar.thickness_mm, bar.length_mm)
                == (&known.grade, known.width_mm, known.thickness_mm, known.length_mm);
            if ui.selectable_label(is, words).clicked() {
                bar.grade.clone_from(&known.grade);
                bar.width_mm = known.width_mm;
                bar.thickness_mm = known.thickness_mm;
                bar.length_mm = known.length_mm;
            }
        }
    });
}

fn grade(ui: &mut Ui, bar: &mut Bar) {
    ui.horizontal(|ui| {
        let label = ui.label("Grade").on_hover_text("The steel by its standard name.");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let combo = ComboBox::from_id_salt("new grade").selected_text(&bar.grade).width(150.0);
            let shown = combo.show_ui(ui, |ui| {
                for steel in Tables::built_in().steels() {
                    let choice = ui.selectable_label(steel.grade == bar.grade, &steel.grade);
                    if choice.on_hover_text(steel.other_names.join(", ")).clicked() {
                        bar.grade.clone_from(&steel.grade);
                    }
                }
            });
            shown.response.labelled_by(label.id);
        });
    });
}

fn sizes(ui: &mut Ui, drafts: &mut Drafts, palette: &Palette, unit: LengthUnit, bar: &mut Bar) {
    let rows = [
        ("Width", "Across the bar, from edge to edge.", &mut bar.width_mm, &limits::BAR_WIDTH_MM),
        (
            "Thickness",
            "Of the bar as it is bought.",
            &mut bar.thickness_mm,
            &limits::BAR_THICKNESS_MM,
        ),
        ("Length", "Of the piece at hand.", &mut bar.length_mm, &limits::BAR_LENGTH_MM),
    ];
    for (name, about, mm, range) in rows {
        let field = Field { name, about, value: units::write_length(*mm, unit), width: 104.0 };
        if let Some(typed) = drafts.field(ui, palette, field, |text| in_range(text, unit, range)) {
            *mm = typed;
        }
    }
}

fn in_range(text: &str, unit: LengthUnit, range: &RangeInclusive<f64>) -> Result<f64, String> {
    let mm = units::parse_length(text, unit).map_err(|why| why.to_string())?.to_mm();
    let told = |mm: f64| units::write_length(mm, unit);
    range.contains(&mm).then_some(mm).ok_or_else(|| {
        let (least, most) = (told(*range.start()), told(*range.end()));
        format!("{} is not possible; type a length from {least} to {most}", told(mm))
    })
}
