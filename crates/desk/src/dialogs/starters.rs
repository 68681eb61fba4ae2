//! The starters, offered as pictures.

use crate::action::{Action, ActionQueue};
use crate::canvas::paint;
use crate::command::Command;
use crate::state::{Camera, View};
use crate::theme::{Ink, Palette, bold, figures};
use crate::widgets::{modal, width_up_to};
use drawing::views;
use egui::{
    Align, Align2, Grid, Layout, Rect, RichText, ScrollArea, Sense, Stroke, Ui, pos2, vec2,
};
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
            ui.heading("New from starter");
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                done |= ui.button("Cancel").clicked();
                let tooltip = "Begin with an empty bar and draw the outline on it.";
                if ui.button("Draw my own").on_hover_text(tooltip).clicked() {
                    actions.run(Command::DrawNew);
                }
            });
        });
        let text = "Each is a finished blank on a bar of steel. Take the nearest and change it.";
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
    let (rect, response) = ui.allocate_exact_size(vec2(wide, 124.0), Sense::click());
    let name = picture.knife.name.trim();
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, name));
    let near = response.hovered() || response.has_focus();
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    let edge = if near { Stroke::new(2.0, palette.accent) } else { Stroke::new(1.0, palette.hair) };
    painter.rect(rect, 8.0, palette.field, edge, egui::StrokeKind::Inside);
    let shown =
        Rect::from_min_max(rect.min + vec2(8.0, 8.0), pos2(rect.max.x - 8.0, rect.max.y - 46.0));
    picture_of(
        &painter.with_clip_rect(shown.intersect(painter.clip_rect())),
        shown,
        picture,
        palette,
    );
    painter.text(
        pos2(rect.min.x + 12.0, rect.max.y - 42.0),
        Align2::LEFT_TOP,
        name,
        bold(15.0),
        palette.text,
    );
    let length_mm = picture.reckoning.profile.as_ref().map_or(0.0, |profile| profile.length_mm);
    painter.text(
        pos2(rect.min.x + 12.0, rect.max.y - 22.0),
        Align2::LEFT_TOP,
        format!("{} overall", units::show_fraction_and_mm(length_mm)),
        figures(13.0),
        palette.weak,
    );
    response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked()
}

/// The blank on a strip of painted steel.
fn picture_of(painter: &egui::Painter, rect: Rect, picture: &Picture, palette: &Palette) {
    let Some(outline) = &picture.reckoning.outline else { return };
    let bar_from_knife = picture.knife.bar.placement.bar_from_knife();
    let bounds = outline.transformed(bar_from_knife).bounds().inflate(5.0, 0.0);
    let width_mm = picture.knife.bar.width_mm;
    let across = f64::from(rect.width()) / bounds.width();
    let up = f64::from(rect.height()) / (width_mm + 2.0);
    let middle = kurbo::Point::new(bounds.center().x, width_mm / 2.0);
    let camera = Camera { centre: middle, points_per_mm: across.min(up) };
    let view = View { rect, camera };
    let steel = view.ui_rect(kurbo::Rect::new(bounds.x0, 0.0, bounds.x1, width_mm));
    painter.rect_filled(steel, 2.0, palette.steel_low);
    let path = bar_from_knife * outline.to_path();
    painter.extend(paint::filled(&view, &path, palette.blank, palette.blank));
    paint::drawing(painter, &view, &picture.drawing, |item| {
        let wanted =
            drawing::part_of(item) != Some(knife::PartId::Bar) && item.pen != marks::Pen::Centre;
        let ink = palette.on_steel(item.pen);
        wanted.then_some(Ink { width: ink.width * 0.65, ..ink })
    });
}
