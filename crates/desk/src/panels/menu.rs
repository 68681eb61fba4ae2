//! The head of the desk: menus made from the table, and the seven stations as plain words.

use crate::action::{Action, ActionQueue};
use crate::command::{COMMANDS, Command, CommandInfo, Menu, shortcut_text};
use crate::document::Document;
use crate::settings::Settings;
use crate::state::{Purpose, Station};
use crate::theme::{Palette, bold};
use egui::text::{LayoutJob, TextFormat};
use egui::{
    Align, Button, CursorIcon, Id, Label, Layout, MenuBar, Modifiers, Popup, Response, RichText,
    Role, ScrollArea, Sense, Stroke, TextStyle, Ui, WidgetInfo, WidgetText, vec2,
};

/// What the menus need to know.
pub(crate) struct MenuContext<'a> {
    pub(crate) document: &'a Document,
    pub(crate) settings: &'a Settings,
    pub(crate) palette: &'a Palette,
    pub(crate) enabled: &'a dyn Fn(Command) -> bool,
}

/// The row of menus, with the blank's name at its end.
pub(crate) fn bar(ui: &mut Ui, context: &MenuContext<'_>, actions: &mut ActionQueue) {
    MenuBar::new().ui(ui, |ui| {
        let asked = take(ui, asked_id());
        for menu in Menu::ALL {
            let shown = ui.menu_button(menu_label(ui, menu), |ui| {
                ui.set_min_width(230.0);
                ui.spacing_mut().item_spacing.y = 1.0;
                // Between the row of menus and the window's foot; what is longer scrolls.
                let room = ui.ctx().content_rect().height() - 64.0;
                let rows = ScrollArea::vertical().max_height(room).min_scrolled_height(room);
                // Opened by its key, it is gone through by keys.
                let mut first = take(ui, focus_id()) == Some(menu.name());
                rows.show(ui, |ui| {
                    for info in COMMANDS.iter().filter(|info| info.menu == menu) {
                        let response = entry(ui, info, context, actions);
                        if first && response.enabled() {
                            response.request_focus();
                            first = false;
                        }
                        if info.command == Command::Open {
                            recents(ui, context, actions);
                        }
                    }
                    // While it is measured nothing in it can have the keyboard yet.
                    if first {
                        ui.data_mut(|data| data.insert_temp(focus_id(), menu.name()));
                    }
                });
            });
            if asked == Some(menu.name()) {
                Popup::close_all(ui.ctx());
                Popup::open_id(ui.ctx(), Popup::default_response_id(&shown.response));
                ui.data_mut(|data| data.insert_temp(focus_id(), menu.name()));
                ui.ctx().request_repaint();
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let dirty = context.document.is_dirty();
            if dirty {
                let tooltip = "Some changes aren't saved yet.";
                ui.label(RichText::new("unsaved").small().color(context.palette.accent))
                    .on_hover_text(tooltip);
            }
            let place = context.document.path().map_or_else(
                || "Not saved to a file yet.".to_owned(),
                |path| path.display().to_string(),
            );
            ui.add(Label::new(RichText::new(context.document.title()).font(bold(15.5))).truncate())
                .on_hover_text(place);
        });
    });
}

/// Looks whether a menu is asked for by Alt and its letter.
pub(crate) fn watch_keys(ui: &Ui) {
    let pressed = |menu: &Menu| ui.input_mut(|input| input.consume_key(Modifiers::ALT, menu.key()));
    if let Some(menu) = Menu::ALL.into_iter().find(pressed) {
        ui.data_mut(|data| data.insert_temp(asked_id(), menu.name()));
    }
}

/// The menu that was asked for by its key in this frame.
fn asked_id() -> Id {
    Id::unique("menu asked for")
}

/// The menu of which the first entry is to have the keyboard.
fn focus_id() -> Id {
    Id::unique("menu to go through")
}

fn take(ui: &Ui, id: Id) -> Option<&'static str> {
    ui.data_mut(|data| data.remove_temp(id))
}

/// A menu's name; while Alt is held, with its letter underlined.
fn menu_label(ui: &Ui, menu: Menu) -> WidgetText {
    if !ui.input(|input| input.modifiers.alt) {
        return menu.name().into();
    }
    let (font, colour) = (TextStyle::Button.resolve(ui.style()), ui.visuals().text_color());
    let plain = TextFormat::simple(font, colour);
    let lined = TextFormat { underline: Stroke::new(1.0, colour), ..plain.clone() };
    let mut job = LayoutJob::default();
    let (letter, rest) = menu.name().split_at(1);
    job.append(letter, 0.0, lined);
    job.append(rest, 0.0, plain);
    job.into()
}

fn entry(
    ui: &mut Ui,
    info: &CommandInfo,
    context: &MenuContext<'_>,
    actions: &mut ActionQueue,
) -> Response {
    let history = context.document.history();
    let step = match info.command {
        Command::Undo => history.undo_label(),
        Command::Redo => history.redo_label(),
        _ => None,
    };
    let label = step.map_or_else(
        || info.label.to_owned(),
        |step| format!("{}: {}", info.label, step.to_lowercase()),
    );
    let mut button = Button::new(label);
    if let Some(key) = &info.shortcut {
        button = button.shortcut_text(shortcut_text(ui.ctx(), key));
    }
    let response = ui.add_enabled((context.enabled)(info.command), button);
    let response = response.on_hover_text(format!("{}.", info.tooltip));
    if response.clicked() {
        actions.run(info.command);
        ui.close();
    }
    response
}

fn recents(ui: &mut Ui, context: &MenuContext<'_>, actions: &mut ActionQueue) {
    if context.settings.recents.is_empty() {
        return;
    }
    ui.menu_button("Recent files", |ui| {
        for path in &context.settings.recents {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            if ui.button(name).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::PathChosen(Purpose::Open, path.clone()));
                ui.close();
            }
        }
    });
}

/// The seven stations.
pub(crate) fn stations(ui: &mut Ui, chosen: Station, palette: &Palette, actions: &mut ActionQueue) {
    let narrow = ui.available_width() < 760.0;
    let (size, gap) = if narrow { (18.0, 14.0) } else { (24.0, 34.0) };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = gap;
        for station in Station::ALL {
            tab(ui, station, chosen == station, size, palette, actions);
        }
    });
}

/// A station's name: lit and underlined when it is the one worked at.
fn tab(
    ui: &mut Ui,
    station: Station,
    is: bool,
    size: f32,
    palette: &Palette,
    actions: &mut ActionQueue,
) {
    let font = bold(size);
    let galley = ui.painter().layout_no_wrap(station.name().to_owned(), font, palette.text);
    let (rect, response) = ui.allocate_exact_size(galley.size() + vec2(0.0, 8.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is, station.name()));
    let colour = if is {
        palette.accent
    } else if response.hovered() || response.has_focus() {
        palette.text
    } else {
        palette.weak
    };
    ui.painter().galley_with_override_text_color(rect.min, galley, colour);
    if is {
        ui.painter().hline(rect.x_range(), rect.max.y - 2.0, Stroke::new(3.0, palette.accent));
    } else if response.has_focus() {
        ui.painter().hline(rect.x_range(), rect.max.y - 2.0, Stroke::new(1.0, palette.text));
    }
    let tooltip = format!("{} ({})", station.tooltip(), usize::from(station as u8) + 1);
    if response.on_hover_cursor(CursorIcon::PointingHand).on_hover_text(tooltip).clicked() {
        actions.run(Command::Station(station));
    }
}
