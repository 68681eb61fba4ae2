//! The shop: what the maker owns and the limits to work by, in typed fields.

mod fire;
mod limits;
mod printers;
mod stock;
mod tools;

use crate::action::Action;
use crate::state::ShopPage;
use crate::widgets::{Caption, Field, Form, in_range, modal, read_length, width_up_to};
use egui::{ComboBox, RichText, Role, ScrollArea, Ui, WidgetInfo, vec2};
use std::ops::RangeInclusive;

/// The pages in their order.
const PAGES: [(ShopPage, &str); 6] = [
    (ShopPage::Drills, "Drills"),
    (ShopPage::Tools, "Files and saws"),
    (ShopPage::Stock, "Steel and pins"),
    (ShopPage::Fire, "Fire and oil"),
    (ShopPage::Printers, "Printers"),
    (ShopPage::Limits, "Limits"),
];
/// Room beside a field, points.
const BESIDE: f32 = 290.0;

/// Shows a page; whether it stays open. A changed shop goes out as an action.
pub(super) fn ui(form: &mut Form<'_>, page: &mut ShopPage) -> bool {
    let context = form.context;
    let mut shop = context.shop().clone();
    let high = (form.ui.ctx().content_rect().height() - 250.0).clamp(120.0, 460.0);
    let shown = *page;
    let Form { ui, state, actions, .. } = form;
    let stays = modal(ui, "shop", width_up_to(ui, 660.0, 60.0), |ui| {
        ui.heading("Shop");
        let text = "What is on hand, and the limits that problems are judged by. It is kept on \
                    this computer, not in the blank.";
        ui.label(RichText::new(text).color(context.palette.weak));
        ui.horizontal_wrapped(|ui| {
            for (other, name) in PAGES {
                if ui.selectable_label(shown == other, name).clicked() {
                    *page = other;
                }
            }
        });
        ui.separator();
        let area = ScrollArea::vertical().max_height(high).min_scrolled_height(high);
        area.auto_shrink(false).id_salt(shown).show(ui, |ui| {
            let form = &mut Form { ui, context, state, actions };
            match shown {
                ShopPage::Drills => tools::drills(form, &mut shop),
                ShopPage::Tools => tools::tools(form, &mut shop),
                ShopPage::Stock => stock::page(form, &mut shop),
                ShopPage::Fire => fire::page(form, &mut shop),
                ShopPage::Printers => printers::page(form, &mut shop),
                ShopPage::Limits => limits::page(form, &mut shop.limits),
            }
        });
        ui.add_space(4.0);
        ui.button("Close").clicked()
    });
    if shop != *context.shop() {
        actions.push(Action::SetShop(Box::new(shop)));
    }
    stays
}

/// A field for a length that must lie within a range, mm.
fn length(
    form: &mut Form<'_>,
    caption: Caption<'_>,
    mm: f64,
    range: &RangeInclusive<f64>,
) -> Option<f64> {
    let context = form.context;
    form.field(Field::new(caption, context.typed_length(mm)), |text| {
        in_range(read_length(text, context.unit())?, range, |mm| context.typed_length(mm))
    })
    .value
}

/// The same with something beside it.
fn length_beside(
    form: &mut Form<'_>,
    caption: Caption<'_>,
    mm: f64,
    range: &RangeInclusive<f64>,
    beside: impl FnOnce(&mut Form<'_>),
) -> Option<f64> {
    let Form { ui, context, state, actions } = form;
    let row = ui.horizontal(|ui| {
        let wide = (ui.available_width() - BESIDE).max(200.0);
        let room = vec2(wide, ui.spacing().interact_size.y);
        let typed = ui.allocate_ui(room, |ui| {
            let field =
                |ui: &mut Ui| length(&mut Form { ui, context, state, actions }, caption, mm, range);
            ui.vertical(field).inner
        });
        // In the middle of the field's height.
        ui.horizontal(|ui| beside(&mut Form { ui, context, state, actions }));
        typed.inner
    });
    row.inner
}

/// A list of things to add, by their names; which was chosen.
fn add(ui: &mut Ui, label: &str, names: impl Iterator<Item = String>) -> Option<usize> {
    let mut chosen = None;
    let combo = ComboBox::from_id_salt(label).selected_text(label).width(240.0);
    let shown = combo.show_ui(ui, |ui| {
        for (i, name) in names.enumerate() {
            if ui.selectable_label(false, name).clicked() {
                chosen = Some(i);
            }
        }
    });
    shown.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, label));
    chosen
}

/// A button that takes an entry away.
fn remove(ui: &mut Ui, name: &str) -> bool {
    let button = ui.button("Remove");
    let label = format!("Remove {name}");
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    button.on_hover_text(format!("Remove {name} from the shop.")).clicked()
}

/// Takes out the entries whose button was clicked: `keep` shows one.
fn retain<T>(entries: &mut Vec<T>, mut keep: impl FnMut(usize, &mut T) -> bool) {
    let mut number = 0;
    entries.retain_mut(|entry| {
        number += 1;
        keep(number, entry)
    });
}
