//! The card of the chosen station, on the right.

use crate::action::ActionQueue;
use crate::context::ViewContext;
use crate::state::{Session, Station};
use crate::stations;
use crate::theme::bold;
use crate::widgets::{Form, text_width};
use egui::{Align, ComboBox, FontId, Layout, RichText, ScrollArea, Ui};
use knife::{Edit, Origin};

/// Shows the card.
pub(crate) fn ui(
    ui: &mut Ui,
    context: &ViewContext<'_>,
    session: &mut Session,
    actions: &mut ActionQueue,
) {
    let station = context.station;
    let has_origin = station != Station::Paper;
    ui.horizontal(|ui| {
        ui.label(RichText::new(station.name()).font(bold(26.0)));
        if has_origin {
            let right = Layout::right_to_left(Align::Center);
            ui.with_layout(right, |ui| origin(ui, context, actions));
        }
    });
    ui.label(RichText::new(station.tooltip()).color(context.palette.weak));
    if has_origin && !context.origin.is_chosen(context.knife) {
        let chosen = context.knife.origin.label();
        let text = format!("No {chosen} yet: x and y count {}.", context.origin.from_phrase());
        Form { ui, context, state: &mut session.form, actions }.note(&text);
    }
    ui.add_space(6.0);
    let mut area = ScrollArea::vertical().auto_shrink(false).id_salt(station.name());
    // What was selected just now stands at the top, so the card begins there.
    if session.form.shown_parts != session.selection.parts {
        session.form.shown_parts.clone_from(&session.selection.parts);
        area = area.vertical_scroll_offset(0.0);
    }
    area.show(ui, |ui| {
        let Session {
            view, selection, section, holes, drawing, picture, tools, print, form, ..
        } = session;
        let form = &mut Form { ui, context, state: form, actions };
        let needs_outline = !matches!(station, Station::Bar | Station::Profile);
        let none = needs_outline && context.reckoning().outline.is_none();
        if none {
            stations::drawing::no_outline(form);
        }
        if station.shows_knife() {
            stations::measuring::card::ui(form, &mut tools.measuring);
        }
        match station {
            Station::Bevels | Station::Handle | Station::Sheath if none => {}
            Station::Holes if none && context.knife.holes.is_empty() => {}
            Station::Bar => stations::bar::card(form, view.chain),
            Station::Profile => {
                stations::profile::card(form, selection, drawing, picture, tools, view.comb_radii);
            }
            Station::Holes => stations::holes::card(form, selection, holes),
            Station::Bevels => stations::bevels::card(form, selection, section),
            Station::Handle => stations::handle::card(form, section),
            Station::Sheath => stations::sheath::card(form),
            Station::Paper => stations::paper::card(form, print, &mut view.request),
        }
        form.ui.add_space(12.0);
    });
}

/// Where coordinates count from, and a choice of it; from the right, beside the card's title,
/// where it takes nothing from what was selected.
fn origin(ui: &mut Ui, context: &ViewContext<'_>, actions: &mut ActionQueue) {
    let chosen = context.knife.origin;
    let tooltip = "Where the rulers, the grid and every x and y count from, here and on the \
                   sheets: x along the knife, y up. The bar corner is the bar's left end at its \
                   lower edge.";
    let label_width = text_width(ui, "Origin", FontId::proportional(15.5));
    let width = (ui.available_width() - label_width - 16.0).clamp(60.0, 120.0);
    let combo = ComboBox::from_id_salt("Origin").selected_text(chosen.label()).width(width);
    let shown = combo.truncate().show_ui(ui, |ui| {
        for origin in Origin::ALL {
            let is = origin == chosen;
            if ui.selectable_label(is, origin.label()).clicked() && !is {
                actions.edit(Edit::SetOrigin(origin));
            }
        }
    });
    let label = RichText::new("Origin").color(context.palette.weak);
    let label = ui.label(label).on_hover_text(tooltip);
    shown.response.labelled_by(label.id).on_hover_text(tooltip);
}
