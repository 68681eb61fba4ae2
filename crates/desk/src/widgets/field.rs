//! Fields for what is typed: every length in any unit, what is wrong with it below.

use super::form::{Caption, Change, Form};
use crate::action::Action;
use crate::state::{FieldEdit, FieldEdits};
use crate::text::{sentence, trimmed};
use crate::theme::{Palette, figures};
use egui::text::{CCursor, CCursorRange};
use egui::{Align, Align2, Event, Id, Key, Layout, RichText, TextEdit, Ui};
use knife::Edit;
use kurbo::Point;
use marks::lettering::check_printable;
use std::fmt::Display;
use std::ops::RangeInclusive;
use units::LengthUnit;

/// Room around the text of a field, points.
const AROUND: f32 = 22.0;
/// Said without the signs themselves: the window's own lettering may lack them too.
const UNPRINTABLE: &str = "The sheets have no lettering for some of these characters: \"?\" is \
                           printed in their place.";

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
    /// Whether the words are printed, so that a sign without lettering is told at once.
    printed: bool,
}

impl<'a> Field<'a> {
    /// A field as wide as a length.
    pub(crate) fn new((label, tooltip): Caption<'a>, value: impl Into<String>) -> Self {
        Self { label, tooltip, value: value.into(), width: 104.0, printed: false }
    }

    /// The same with another least width, points.
    pub(crate) fn width(self, width: f32) -> Self {
        Self { width, ..self }
    }

    /// The same for words that are printed.
    pub(crate) fn printed(self) -> Self {
        Self { printed: true, ..self }
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
        let mut missing = false;
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
                missing = self.printed && check_printable(&text).is_err();
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
        if missing {
            ui.label(RichText::new(UNPRINTABLE).small().color(palette.care));
        }
        given
    }
}

impl Form<'_> {
    /// A field; what was typed is parsed when it is done.
    pub(crate) fn field<T>(
        &mut self,
        field: Field<'_>,
        parse: impl Fn(&str) -> Result<T, String>,
    ) -> Change<'_, T> {
        let typed = field.show(self.ui, self.context.palette, &mut self.state.edits, parse);
        self.change(typed)
    }

    /// A field for a length, mm; empty until one is decided.
    pub(crate) fn length(
        &mut self,
        caption: Caption<'_>,
        mm: impl Into<Option<f64>>,
    ) -> Change<'_, f64> {
        let context = self.context;
        let value = mm.into().map(|mm| context.typed_length(mm)).unwrap_or_default();
        self.field(Field::new(caption, value), |text| read_length(text, context.unit()))
    }

    /// A field for a length that may be left open: emptied, it is.
    pub(crate) fn optional_length(
        &mut self,
        caption: Caption<'_>,
        mm: Option<f64>,
    ) -> Change<'_, Option<f64>> {
        let context = self.context;
        let value = mm.map(|mm| context.typed_length(mm)).unwrap_or_default();
        let parse = |text: &str| unless_empty(text, |text| read_length(text, context.unit()));
        self.field(Field::new(caption, value), parse)
    }

    /// A field for a length that has a usual: emptied, it goes back to that.
    pub(crate) fn usual_length(
        &mut self,
        (label, tooltip): Caption<'_>,
        (mm, usual_mm): (Option<f64>, f64),
    ) -> Change<'_, Option<f64>> {
        let usual = self.context.typed_length(usual_mm);
        let tooltip = format!("{tooltip} Leave it empty for the usual {usual}.");
        self.optional_length((label, &tooltip), mm.or(Some(usual_mm)))
    }

    /// A field for an angle, degrees; empty until one is decided.
    pub(crate) fn angle(
        &mut self,
        caption: Caption<'_>,
        degrees: impl Into<Option<f64>>,
    ) -> Change<'_, f64> {
        let value = degrees.into().map(|degrees| format!("{}°", trimmed(degrees, 3)));
        let field = Field::new(caption, value.unwrap_or_default());
        self.field(field, |text| read_angle(text).map_err(|why| why.to_string()))
    }

    /// A field for an angle, degrees, that may be left open: emptied, it is.
    pub(crate) fn optional_angle(
        &mut self,
        caption: Caption<'_>,
        degrees: Option<f64>,
    ) -> Change<'_, Option<f64>> {
        let value = degrees.map(|degrees| units::show_angle(degrees, 1)).unwrap_or_default();
        self.field(Field::new(caption, value), |text| unless_empty(text, read_angle))
    }

    /// A field for words that are printed, as wide as its label leaves room for.
    pub(crate) fn text(&mut self, caption: Caption<'_>, value: &str) -> Change<'_, String> {
        let field = Field::new(caption, value).width(240.0).printed();
        self.field(field, |text| Ok(text.trim().to_owned()))
    }

    /// A field for a place along the knife, typed from its origin; its x in the knife's plane, mm.
    pub(crate) fn x(&mut self, (label, tooltip): Caption<'_>, x_mm: f64) -> Change<'_, f64> {
        let origin = self.context.origin;
        let tooltip = format!("{tooltip} Counted {}.", origin.from_phrase());
        let typed = self.length((label, &tooltip), origin.to_local_x(x_mm));
        typed.map(|mm| origin.to_knife_x(mm))
    }

    /// Two fields for a point, typed from the knife's origin.
    pub(crate) fn point(&mut self, what: &str, point: Point) -> Change<'_, Point> {
        let origin = self.context.origin;
        let x = self.x((&format!("{what} x"), "Along the knife."), point.x).value;
        let tooltip = format!("Up as the drawing lies. Counted {}.", origin.from_phrase());
        let y = self.length((&format!("{what} y"), &tooltip), origin.to_local_y(point.y)).value;
        let to = Point::new(x.unwrap_or(point.x), y.map_or(point.y, |mm| origin.to_knife_y(mm)));
        self.change((to != point).then_some(to))
    }

    /// Text over several lines. What is typed shows at once, and is one step when it is left.
    pub(crate) fn long_text(
        &mut self,
        (label, tooltip): Caption<'_>,
        value: &str,
        max_chars: usize,
        edit: impl FnOnce(String) -> Edit,
    ) {
        let mut text = value.to_owned();
        let field = TextEdit::multiline(&mut text)
            .id_salt(label)
            .desired_rows(4)
            .desired_width(f32::INFINITY)
            .char_limit(max_chars);
        let response = self.ui.add(field).accessible_name(label).on_hover_text(tooltip);
        if check_printable(value).is_err() {
            let colour = self.context.palette.care;
            self.ui.label(RichText::new(UNPRINTABLE).small().color(colour));
        }
        if response.gained_focus() {
            self.actions.push(Action::BeginGesture);
        }
        if response.changed() {
            self.actions.preview(vec![edit(text)]);
        }
        if response.lost_focus() {
            let escaped = escape_pressed(self.ui);
            self.actions.push(if escaped { Action::CancelGesture } else { Action::CommitGesture });
        }
    }
}

fn read_angle(text: &str) -> Result<f64, units::ParseError> {
    units::parse_angle(text).map(units::Angle::to_degrees)
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
fn escape_pressed(ui: &Ui) -> bool {
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
