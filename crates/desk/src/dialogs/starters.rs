//! The starters, offered as pictures.

use crate::action::{Action, ActionQueue};
use crate::canvas::{paint, thumbnail};
use crate::command::Command;
use crate::theme::{Ink, Palette};
use crate::widgets::{modal, width_up_to};
use drawing::views;
use egui::{Align, Grid, Layout, Rect, RichText, ScrollArea, Ui, vec2};
use knife::{Knife, STARTERS};
use marks::Drawing;
use reckon::tables::Tables;
use reckon::{Reckoning, Shop, reckon};
use std::sync::LazyLock;

/// A starter, ready to be shown.
struct Picture {
    key: &'static str,
    knife: Knife,
    reckoning: Reckoning,
    drawing: Drawing,
}

static PICTURES: LazyLock<Vec<Picture>> = LazyLock::new(|| {
    STARTERS
        .iter()
        .map(|starter| {
            let knife = starter.knife();
            let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
            let drawing = views::blank_on_bar(&knife, &reckoning, views::Extent::Around(4.0));
            Picture { key: starter.key, knife, reckoning, drawing }
        })
        .collect()
});

/// Offers the starters; whether they stay open.
pub(super) fn ui(ui: &Ui, palette: &Palette, actions: &mut ActionQueue) -> bool {
    let tall = ui.ctx().content_rect().height() - 190.0;
    modal(ui, "starters", width_up_to(ui, 900.0, 80.0), |ui| {
        let mut done = false;
        ui.horizontal(|ui| {
            ui.heading("Start from a knife");
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                done |= ui.button("Cancel").clicked();
                let tooltip = "Begin with an empty bar and draw the outline on it.";
                if ui.button("Draw my own").on_hover_text(tooltip).clicked() {
                    actions.run(Command::DrawNew);
                }
            });
        });
        let text = "Each is a finished blank on a bar of steel. Choose the closest and change it.";
        ui.label(RichText::new(text).color(palette.weak));
        ui.add_space(4.0);
        let columns: usize = if ui.available_width() > 560.0 { 3 } else { 2 };
        #[expect(clippy::cast_precision_loss, reason = "two or three")]
        let wide = (ui.available_width() - 10.0 * (columns as f32)) / columns as f32;
        let area = ScrollArea::vertical().max_height(tall).min_scrolled_height(tall);
        area.show(ui, |ui| {
            Grid::new("pictures").spacing(vec2(10.0, 10.0)).show(ui, |ui| {
                for (i, picture) in PICTURES.iter().enumerate() {
                    if tile(ui, picture, wide, palette) {
                        actions.push(Action::OpenStarter(picture.key));
                        done = true;
                    }
                    if i % columns == columns - 1 {
                        ui.end_row();
                    }
                }
            });
        });
        done
    })
}

/// One picture; whether it was chosen.
fn tile(ui: &mut Ui, picture: &Picture, wide: f32, palette: &Palette) -> bool {
    let length_mm = picture.reckoning.profile.as_ref().map_or(0.0, |profile| profile.length_mm);
    let below = format!("{} overall", units::show_fraction_and_mm(length_mm));
    let texts = (picture.knife.name.trim(), below.as_str());
    let tile = thumbnail::tile(ui, vec2(wide, 124.0), texts, palette, |painter, rect| {
        picture_of(painter, rect, picture, palette);
    });
    tile.clicked()
}

/// The blank on a strip of painted steel.
fn picture_of(painter: &egui::Painter, rect: Rect, picture: &Picture, palette: &Palette) {
    let Some(outline) = &picture.reckoning.outline else { return };
    let painter = &painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    let (view, steel) = thumbnail::view(rect, &picture.knife, outline);
    painter.rect_filled(steel, 2.0, palette.steel_low);
    let path = picture.knife.bar.placement.bar_from_knife() * outline.to_path();
    painter.extend(paint::filled(&view, &path, palette.blank, palette.blank));
    paint::drawing(painter, &view, &picture.drawing, |item| {
        let wanted =
            drawing::part_of(item) != Some(knife::PartId::Bar) && item.pen != marks::Pen::Centre;
        let ink = palette.on_steel(item.pen);
        wanted.then_some(Ink { width: ink.width * 0.65, ..ink })
    });
}
