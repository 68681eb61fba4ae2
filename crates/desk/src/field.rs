//! Fields for typed values: every length in any unit, the refusal said below it.

use crate::notices::capitalised;
use crate::theme::{Palette, figures};
use egui::{Event, Id, Key, RichText, TextEdit, Ui};
use std::collections::HashMap;
use units::{LengthUnit, parse_angle, parse_length, write_length};

/// What is being typed, by field.
#[derive(Default)]
pub struct Drafts {
    typed: HashMap<Id, Draft>,
}

#[derive(Clone, Default)]
struct Draft {
    text: String,
    refusal: Option<String>,
}

/// How a field is made up.
pub(crate) struct Field<'a> {
    /// Its name, left of it and for screen readers.
    pub(crate) name: &'a str,
    /// What it means, told when the pointer rests on it.
    pub(crate) about: &'a str,
    /// What stands in it while nothing is typed.
    pub(crate) value: String,
    /// Least width, points.
    pub(crate) width: f32,
}

/// Room around the text of a field, points.
const AROUND: f32 = 22.0;

impl Drafts {
    /// A field; what was typed is read by `read` when it is done, and given back once.
    pub(crate) fn field<T>(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        field: Field<'_>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Option<T> {
        let id = ui.make_persistent_id(("field", field.name));
        let mut given = None;
        ui.horizontal(|ui| {
            let label = ui.label(field.name);
            let label =
                if field.about.is_empty() { label } else { label.on_hover_text(field.about) };
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let mut text =
                    self.typed.get(&id).map_or_else(|| field.value.clone(), |d| d.text.clone());
                // What stands in it is never cut, as long as there is room.
                let value =
                    ui.painter().layout_no_wrap(field.value.clone(), figures(15.5), palette.text);
                let width = field.width.max(value.size().x + AROUND);
                let edit = TextEdit::singleline(&mut text)
                    .id(id)
                    .font(figures(15.5))
                    .align(egui::Align2::RIGHT_CENTER)
                    .desired_width(width);
                let response = ui.add(edit).labelled_by(label.id);
                if response.gained_focus() {
                    choose_all(ui, id, text.chars().count());
                }
                if response.changed() {
                    self.typed.insert(id, Draft { text: text.clone(), refusal: None });
                }
                let dropped = response.lost_focus();
                if dropped && escaped(ui) {
                    self.typed.remove(&id);
                } else if dropped && self.typed.contains_key(&id) {
                    match read(&text) {
                        Ok(value) => {
                            self.typed.remove(&id);
                            given = Some(value);
                        }
                        Err(why) => {
                            let refusal = Some(capitalised(why));
                            self.typed.insert(id, Draft { text, refusal });
                        }
                    }
                }
            });
        });
        if let Some(why) = self.typed.get(&id).and_then(|draft| draft.refusal.clone()) {
            ui.label(RichText::new(why).small().color(palette.stop));
        }
        given
    }

    /// A field for a length.
    pub(crate) fn length(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        (name, about): (&str, &str),
        value_mm: f64,
        unit: LengthUnit,
    ) -> Option<f64> {
        let value = write_length(value_mm, unit);
        self.field(ui, palette, Field { name, about, value, width: 104.0 }, |text| {
            parse_length(text, unit).map(|length| length.to_mm()).map_err(|e| e.to_string())
        })
    }

    /// A field for a length that is not yet decided: it starts empty.
    pub(crate) fn new_length(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        (name, about): (&str, &str),
        unit: LengthUnit,
    ) -> Option<f64> {
        let field = Field { name, about, value: String::new(), width: 104.0 };
        self.field(ui, palette, field, |text| {
            parse_length(text, unit).map(|length| length.to_mm()).map_err(|e| e.to_string())
        })
    }

    /// A field for an angle, degrees.
    pub(crate) fn angle(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        (name, about): (&str, &str),
        value_deg: Option<f64>,
    ) -> Option<f64> {
        let value = value_deg.map(|deg| {
            let text = units::show_number(deg, 3);
            let text = text.trim_end_matches('0').trim_end_matches('.');
            format!("{text}°")
        });
        let field = Field { name, about, value: value.unwrap_or_default(), width: 104.0 };
        self.field(ui, palette, field, |text| {
            parse_angle(text).map(units::Angle::to_degrees).map_err(|e| e.to_string())
        })
    }

    /// A field for words.
    pub(crate) fn words(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        (name, about): (&str, &str),
        value: &str,
    ) -> Option<String> {
        // As wide as the name leaves room for.
        let field = Field { name, about, value: value.to_owned(), width: 240.0 };
        self.field(ui, palette, field, |text| Ok(text.trim().to_owned()))
    }
}

/// Whether Escape was pressed. A field has lost the keyboard by then, and the key may have been
/// taken for a command, so what came from outside is asked.
pub(crate) fn escaped(ui: &Ui) -> bool {
    let is = |event: &Event| matches!(event, Event::Key { key: Key::Escape, pressed: true, .. });
    ui.input(|input| input.raw.events.iter().any(is))
}

/// Chooses all that stands in a field, so that typing replaces it.
fn choose_all(ui: &Ui, id: Id, signs: usize) {
    let mut state = TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    let range =
        egui::text::CCursorRange::two(egui::text::CCursor::new(0), egui::text::CCursor::new(signs));
    state.cursor.set_char_range(Some(range));
    TextEdit::store_state(ui.ctx(), id, state);
}
