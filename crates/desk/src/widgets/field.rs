//! A field for what is typed: every length in any unit, what is wrong with it below.

use crate::state::{FieldEdit, FieldEdits};
use crate::text::sentence;
use crate::theme::{Palette, figures};
use egui::text::{CCursor, CCursorRange};
use egui::{Align, Align2, Event, Id, Key, Layout, RichText, TextEdit, Ui};
use std::fmt::Display;
use std::ops::RangeInclusive;
use units::LengthUnit;

/// Room around the text of a field, points.
const AROUND: f32 = 22.0;

/// A field to be typed in.
pub(crate) struct Field<'a> {
    /// Its name, left of it and for screen readers.
    label: &'a str,
    /// What it means, shown when the pointer rests on it.
    tooltip: &'a str,
    /// What stands in it while nothing is typed.
    value: String,
    /// Least width, points.
    width: f32,
}

impl<'a> Field<'a> {
    /// A field as wide as a length.
    pub(crate) fn new((label, tooltip): (&'a str, &'a str), value: impl Into<String>) -> Self {
        Self { label, tooltip, value: value.into(), width: 104.0 }
    }

    /// The same with another least width, points.
    pub(crate) fn width(self, width: f32) -> Self {
        Self { width, ..self }
    }

    /// Shows it. What was typed is parsed when it is done, and given back once.
    pub(crate) fn show<T>(
        self,
        ui: &mut Ui,
        palette: &Palette,
        edits: &mut FieldEdits,
        parse: impl Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        let id = ui.make_persistent_id(("field", self.label));
        let mut given = None;
        ui.horizontal(|ui| {
            let mut label = ui.label(self.label);
            if !self.tooltip.is_empty() {
                label = label.on_hover_text(self.tooltip);
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let typed = edits.get(&id).map(|edit| edit.text.clone());
                // What stands in it is never cut, as long as there is room.
                let value =
                    ui.painter().layout_no_wrap(self.value.clone(), figures(15.5), palette.text);
                let mut text = typed.unwrap_or(self.value);
                let edit = TextEdit::singleline(&mut text)
                    .id(id)
                    .font(figures(15.5))
                    .align(Align2::RIGHT_CENTER)
                    .desired_width(self.width.max(value.size().x + AROUND));
                let response = ui.add(edit).labelled_by(label.id);
                if response.gained_focus() {
                    select_all(ui, id, text.chars().count());
                }
                if response.changed() {
                    edits.insert(id, FieldEdit { text: text.clone(), refusal: None });
                }
                if response.lost_focus() && edits.contains_key(&id) {
                    edits.remove(&id);
                    match parse(&text) {
                        _ if escape_pressed(ui) => {}
                        Ok(value) => given = Some(value),
                        Err(why) => {
                            let refusal = Some(sentence(&why));
                            edits.insert(id, FieldEdit { text, refusal });
                        }
                    }
                }
            });
        });
        if let Some(why) = edits.get(&id).and_then(|edit| edit.refusal.as_ref()) {
            ui.label(RichText::new(why).small().color(palette.stop));
        }
        given
    }
}

/// Reads a length, mm.
pub(crate) fn read_length(text: &str, unit: LengthUnit) -> Result<f64, String> {
    units::parse_length(text, unit).map(units::Length::to_mm).map_err(|why| why.to_string())
}

/// Reads what may be left empty: nothing then.
pub(crate) fn unless_empty<T, E: Display>(
    text: &str,
    parse: impl FnOnce(&str) -> Result<T, E>,
) -> Result<Option<T>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    parse(text).map(Some).map_err(|why| why.to_string())
}

/// A value within its range, or why it can't be.
pub(crate) fn in_range(
    value: f64,
    range: &RangeInclusive<f64>,
    show: impl Fn(f64) -> String,
) -> Result<f64, String> {
    if range.contains(&value) {
        return Ok(value);
    }
    Err(format!("It must lie between {} and {}", show(*range.start()), show(*range.end())))
}

/// Whether Escape was pressed. A field has lost the keyboard by then, and the key may have been
/// taken for a command, so what came from outside is asked.
pub(crate) fn escape_pressed(ui: &Ui) -> bool {
    let is = |event: &Event| matches!(event, Event::Key { key: Key::Escape, pressed: true, .. });
    ui.input(|input| input.raw.events.iter().any(is))
}

/// Selects all that stands in a field, so that typing replaces it.
fn select_all(ui: &Ui, id: Id, characters: usize) {
    let mut state = TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    let range = CCursorRange::two(CCursor::new(0), CCursor::new(characters));
    state.cursor.set_char_range(Some(range));
    TextEdit::store_state(ui.ctx(), id, state);
}
