//! The six stations: each its card and what is worked on on the canvas.

mod balance;
mod bar;
pub(crate) mod bevels;
mod cutting;
pub(crate) mod handle;
mod holes;
pub(crate) mod paper;
mod profile;
pub(crate) mod readings;
pub(crate) mod relief;

use crate::Station;
use crate::canvas::{Hands, Read};
use crate::command::{Command, Commands, Wish, row_of};
use crate::field::{self, Field};
use crate::session::Session;
use crate::settings::GRID_MM;
use crate::theme::{Palette, bold};
use egui::{Align, ComboBox, Layout, RichText, ScrollArea, TextEdit, Ui};
use knife::{Edit, Origin};
use kurbo::Point;
use units::LengthUnit;

/// Less room than this on a card is little, points.
const NARROW: f32 = 250.0;

/// The card of the chosen station.
pub(crate) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    ui.horizontal(|ui| {
        ui.label(RichText::new(session.station.name()).font(bold(26.0)));
        if session.station != Station::Paper {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| origin(ui, read, out));
        }
    });
    ui.label(RichText::new(session.station.about()).color(read.palette.weak));
    if session.station != Station::Paper && !read.origin.is_chosen(read.knife) {
        let chosen = read.knife.origin.label();
        let words = format!("No {chosen} yet: x and y count {}.", read.origin.from_phrase());
        quiet(ui, &words, read.palette);
    }
    ui.add_space(6.0);
    let mut area = ScrollArea::vertical().auto_shrink(false).id_salt(session.station.name());
    // What was chosen just now stands at the top, so the card begins there.
    if session.told != session.selection {
        session.told.clone_from(&session.selection);
        area = area.vertical_scroll_offset(0.0);
    }
    let needs = !matches!(session.station, Station::Bar | Station::Profile);
    let none = needs && read.derived.reckoning.outline.is_none();
    area.show(ui, |ui| {
        if none {
            crate::draw::card::none_yet(ui, read.palette, out);
        }
        match session.station {
            Station::Bevels | Station::Handle if none => {}
            Station::Holes if none && read.knife.holes.is_empty() => {}
            Station::Bar => bar::card(ui, read, session, out),
            Station::Profile => profile::card(ui, read, session, out),
            Station::Holes => holes::card(ui, read, session, out),
            Station::Bevels => bevels::card(ui, read, session, out),
            Station::Handle => handle::card(ui, read, session, out),
            Station::Paper => paper::card(ui, read, session, out),
        }
        ui.add_space(12.0);
    });
}

/// What the station works on, on the canvas.
pub(crate) fn on_canvas(hands: &mut Hands<'_>) {
    match hands.session.station {
        Station::Bar => bar::on_canvas(hands),
        Station::Profile => profile::on_canvas(hands),
        Station::Holes => holes::on_canvas(hands),
        Station::Bevels => bevels::on_canvas(hands),
        Station::Handle => handle::on_canvas(hands),
        Station::Paper => {}
    }
}

/// A heading inside a card.
pub(crate) fn heading(ui: &mut Ui, words: &str, palette: &Palette) {
    ui.add_space(10.0);
    ui.label(RichText::new(words).font(bold(15.5)).color(palette.accent));
    let line = ui.max_rect().x_range();
    let y = ui.cursor().min.y - 4.0;
    ui.painter().hline(line, y, egui::Stroke::new(1.0, palette.hair));
    ui.add_space(2.0);
}

/// What a card says of something that was not decided yet: its title, what it is, and a button
/// that begins it.
fn not_yet(
    ui: &mut Ui,
    (title, about, begin): (&str, &str, &str),
    first: Option<Edit>,
    read: &Read<'_>,
    out: &mut Commands,
) {
    heading(ui, title, read.palette);
    quiet(ui, about, read.palette);
    if let Some(edit) = first
        && ui.button(begin).on_hover_text(about).clicked()
    {
        out.edit(edit);
    }
}

/// A part of a card that is put away until its heading is clicked; whether it is open. `now`
/// tells beside it what is decided there.
fn fold(
    ui: &mut Ui,
    words: &'static str,
    about: &str,
    now: &str,
    session: &mut Session,
    palette: &Palette,
) -> bool {
    let open = session.unfolded.contains(words);
    let text = RichText::new(words).color(palette.accent);
    let row = ui.horizontal(|ui| {
        let response = ui.add(egui::Button::new(text).frame(false)).on_hover_text(about);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.label(RichText::new(now).small().color(palette.weak));
        });
        response
    });
    let response = row.inner;
    response.widget_info(|| {
        egui::WidgetInfo::selected(egui::Role::DisclosureTriangle, true, open, words)
    });
    // A small arrow after the words: down when there is more, up when it can be put away.
    let middle = response.rect.right_center() + egui::vec2(9.0, 1.0);
    let way = if open { -2.5 } else { 2.5 };
    let arms = [egui::vec2(-4.5, -way), egui::vec2(0.0, way), egui::vec2(4.5, -way)];
    let stroke = egui::Stroke::new(1.6, palette.accent);
    ui.painter().add(egui::Shape::line(arms.map(|arm| middle + arm).to_vec(), stroke));
    if response.clicked() {
        if open {
            session.unfolded.remove(words);
        } else {
            session.unfolded.insert(words);
        }
    }
    open
}

/// A choice of one from a few, each with its word; what was chosen anew.
pub(crate) fn choose<T: Copy + PartialEq>(
    ui: &mut Ui,
    (name, about): (&str, &str),
    options: &[(T, &str)],
    now: T,
    palette: &Palette,
) -> Option<T> {
    let mut chosen = None;
    let mut words = |ui: &mut Ui| {
        ticked(ui, palette);
        for (option, word) in options.iter().rev() {
            let response = ui.radio(now == *option, *word).on_hover_text(about);
            if response.clicked() && now != *option {
                chosen = Some(*option);
            }
        }
    };
    let right = Layout::right_to_left(Align::Center);
    // Below their name where there is no room beside it.
    let around = ui.spacing().icon_width + ui.spacing().icon_spacing + ui.spacing().item_spacing.x;
    let long: f32 = options.iter().map(|(_, word)| around + wide(ui, word)).sum();
    if ui.available_width() < NARROW.max(wide(ui, name) + long + 8.0) {
        ui.label(name).on_hover_text(about);
        ui.horizontal(|ui| ui.with_layout(right, &mut words));
    } else {
        ui.horizontal(|ui| {
            ui.label(name).on_hover_text(about);
            ui.with_layout(right, &mut words);
        });
    }
    chosen
}

/// How wide words are, points.
fn wide(ui: &Ui, words: &str) -> f32 {
    let font = egui::TextStyle::Body.resolve(ui.style());
    ui.painter().layout_no_wrap(words.to_owned(), font, egui::Color32::PLACEHOLDER).size().x
}

/// A choice of one from a list, by its name; which was chosen anew.
pub(crate) fn pick(
    ui: &mut Ui,
    (name, about): (&str, &str),
    now: &str,
    options: &[&str],
    wide: f32,
) -> Option<usize> {
    let mut chosen = None;
    ui.horizontal(|ui| {
        let label = ui.label(name).on_hover_text(about);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let wide = wide.min(ui.available_width() - 4.0).max(60.0);
            let combo = ComboBox::from_id_salt(name).selected_text(now).width(wide).truncate();
            let shown = combo.show_ui(ui, |ui| {
                for (i, option) in options.iter().enumerate() {
                    let is = *option == now;
                    if ui.selectable_label(is, *option).clicked() && !is {
                        chosen = Some(i);
                    }
                }
            });
            shown.response.labelled_by(label.id).on_hover_text(now);
        });
    });
    chosen
}

/// A place along the knife, typed from its origin; its x in the knife's plane, mm.
pub(crate) fn place_along(
    ui: &mut Ui,
    read: &Read<'_>,
    session: &mut Session,
    (name, about): (&str, &str),
    x_mm: f64,
) -> Option<f64> {
    let about = format!("{about} Counted {}.", read.origin.from_phrase());
    let (shown_mm, unit) = (read.origin.to_local_x(x_mm), read.knife.unit);
    let typed_mm = session.drafts.length(ui, read.palette, (name, &about), shown_mm, unit)?;
    Some(read.origin.to_knife_x(typed_mm))
}

/// The two coordinates of a place, typed from the knife's origin; the place that is meant.
pub(crate) fn at(
    ui: &mut Ui,
    read: &Read<'_>,
    session: &mut Session,
    what: &str,
    place: Point,
) -> Option<Point> {
    let mut to = place;
    if let Some(x_mm) =
        place_along(ui, read, session, (&format!("{what} x"), "Along the knife."), to.x)
    {
        to.x = x_mm;
    }
    let about = format!("Up as the drawing lies. Counted {}.", read.origin.from_phrase());
    let (name, shown_mm) = (format!("{what} y"), read.origin.to_local_y(to.y));
    let typed_mm =
        session.drafts.length(ui, read.palette, (&name, &about), shown_mm, read.knife.unit);
    if let Some(typed_mm) = typed_mm {
        to.y = read.origin.to_knife_y(typed_mm);
    }
    (to != place).then_some(to)
}

/// Where coordinates count from, and a choice of it; from the right, beside the card's title,
/// where it takes nothing from what was chosen.
fn origin(ui: &mut Ui, read: &Read<'_>, out: &mut Commands) {
    let chosen = read.knife.origin;
    let about = "Where the rulers, the grid and every x and y count from, here and on the sheets: \
                 x along the knife, y up. The bar corner is the bar's left end at its lower edge.";
    let wide = (ui.available_width() - wide(ui, "Origin") - 16.0).clamp(60.0, 120.0);
    let combo = ComboBox::from_id_salt("Origin").selected_text(chosen.label()).width(wide);
    let shown = combo.truncate().show_ui(ui, |ui| {
        for origin in Origin::ALL {
            let is = origin == chosen;
            if ui.selectable_label(is, origin.label()).clicked() && !is {
                out.edit(Edit::SetOrigin(origin));
            }
        }
    });
    let label = ui.label(RichText::new("Origin").color(read.palette.weak)).on_hover_text(about);
    shown.response.labelled_by(label.id).on_hover_text(about);
}

/// The grid: whether it is there, and how far apart its lines are.
pub(crate) fn grid(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    heading(ui, "Grid", p);
    let mut is = read.settings.grid;
    let about = "Shows a grid that counts as the rulers do. Whatever is \
                 dragged sticks to it; hold Ctrl to drag freely.  (G)";
    if tick(ui, &mut is, "Snap to the grid", about, p) {
        out.run(Command::Grid);
    }
    let pitch_mm = read.settings.pitch_mm(unit);
    let field = Field {
        name: "Grid pitch",
        about: "From one line to the next. Zoomed out, only every second, fifth or tenth is drawn.",
        value: units::write_length(pitch_mm, unit),
        width: 104.0,
    };
    if let Some(mm) = session.drafts.field(ui, p, field, |text| read_pitch(text, unit)) {
        out.push(Wish::GridPitch(mm));
    }
}

fn read_pitch(text: &str, unit: LengthUnit) -> Result<f64, String> {
    let mm = units::parse_length(text, unit).map_err(|e| e.to_string())?.to_mm();
    if GRID_MM.contains(&mm) {
        return Ok(mm);
    }
    let told = |mm: f64| units::write_length(mm, unit);
    let (least, most) = (told(*GRID_MM.start()), told(*GRID_MM.end()));
    Err(format!("a pitch of {} is no grid; type one from {least} to {most}", told(mm)))
}

/// The maker's notes. What is typed shows at once, and is one step when the field is left.
pub(crate) fn notes(ui: &mut Ui, read: &Read<'_>, out: &mut Commands) {
    heading(ui, "Notes", read.palette);
    let about = "What the next one to hold the sheet should know: the heat, the grit, the fit. \
                 Their beginning is printed on the profile sheet.";
    let mut text = read.knife.notes.clone();
    let edit = TextEdit::multiline(&mut text)
        .id_salt("notes")
        .desired_rows(4)
        .desired_width(f32::INFINITY)
        .char_limit(knife::limits::NOTES_CHARS);
    let response = ui.add(edit).accessible_name("Notes").on_hover_text(about);
    if response.gained_focus() {
        out.push(Wish::Begin);
    }
    if response.changed() {
        out.preview(vec![Edit::SetNotes(text)]);
    }
    if response.lost_focus() {
        out.push(if field::escaped(ui) { Wish::Cancel } else { Wish::Commit });
    }
}

/// A button for a command of the table, told and enabled as in the menus.
pub(crate) fn button(ui: &mut Ui, command: Command, enabled: bool, out: &mut Commands) {
    let Some(row) = row_of(command) else { return };
    let mut told = format!("{}.", row.tooltip);
    if let Some(key) = &row.shortcut {
        told.push_str(&format!("  ({})", crate::shortcut_text(ui.ctx(), key)));
    }
    let response = ui.add_enabled(enabled, egui::Button::new(row.label));
    if response.on_hover_text(&told).on_disabled_hover_text(&told).clicked() {
        out.run(command);
    }
}

/// Makes the boxes and rings of what can be ticked stand out, in this part of the window.
pub(crate) fn ticked(ui: &mut Ui, palette: &Palette) {
    ui.visuals_mut().widgets.inactive.bg_stroke = egui::Stroke::new(1.2, palette.weak);
}

/// A tick with its words.
pub(crate) fn tick(
    ui: &mut Ui,
    is: &mut bool,
    words: &str,
    about: &str,
    palette: &Palette,
) -> bool {
    ui.scope(|ui| {
        ticked(ui, palette);
        ui.checkbox(is, words).on_hover_text(about).changed()
    })
    .inner
}

/// A quiet sentence.
pub(crate) fn quiet(ui: &mut Ui, words: &str, palette: &Palette) {
    ui.label(RichText::new(words).small().color(palette.weak));
}
