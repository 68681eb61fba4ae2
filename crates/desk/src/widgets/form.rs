//! A card under construction: every field has a label, a tooltip and a value, and gives what was
//! typed once, to make an edit of it.

use super::basic::{command_button, text_width};
use super::field::{Field, read_length, unless_empty};
use crate::action::{Action, ActionQueue};
use crate::command::Command;
use crate::context::ViewContext;
use crate::state::FormState;
use crate::text::trimmed;
use crate::theme::bold;
use egui::{
    Align, Button, ComboBox, Layout, Response, RichText, Role, Shape, Stroke, TextStyle, Ui,
    WidgetInfo, vec2,
};
use knife::Edit;
use kurbo::Point;

/// Less room than this on a card is little, points.
const NARROW: f32 = 250.0;

/// A label and its tooltip.
pub(crate) type Caption<'a> = (&'a str, &'a str);

/// A card under construction.
pub(crate) struct Form<'a> {
    pub(crate) ui: &'a mut Ui,
    pub(crate) context: &'a ViewContext<'a>,
    pub(crate) state: &'a mut FormState,
    pub(crate) actions: &'a mut ActionQueue,
}

/// What was typed or chosen, once that is done.
#[must_use]
pub(crate) struct Change<'a, T> {
    pub(crate) value: Option<T>,
    actions: &'a mut ActionQueue,
}

impl<'a, T> Change<'a, T> {
    /// Makes an edit of it, as one step.
    pub(crate) fn edit(self, edit: impl FnOnce(T) -> Edit) {
        if let Some(value) = self.value {
            self.actions.edit(edit(value));
        }
    }

    fn map<U>(self, map: impl FnOnce(T) -> U) -> Change<'a, U> {
        Change { value: self.value.map(map), actions: self.actions }
    }
}

/// Parts of a card.
impl Form<'_> {
    /// The same form in a part of the card that `within` makes.
    fn inside<T>(
        &mut self,
        within: impl FnOnce(&mut Ui, &mut dyn FnMut(&mut Ui)) -> T,
        mut add: impl FnMut(&mut Form<'_>),
    ) -> T {
        let Self { ui, context, state, actions } = self;
        within(ui, &mut |ui| add(&mut Form { ui, context, state, actions }))
    }

    /// Things side by side, in as many rows as they need.
    pub(crate) fn wrapped(&mut self, add: impl FnMut(&mut Form<'_>)) {
        self.inside(|ui, add| ui.horizontal_wrapped(add).inner, add);
    }

    /// Things that may be disabled together.
    pub(crate) fn enabled(&mut self, enabled: bool, add: impl FnMut(&mut Form<'_>)) {
        self.inside(|ui, add| ui.add_enabled_ui(enabled, add).inner, add);
    }

    /// Things whose spacing and names are their own.
    pub(crate) fn group(
        &mut self,
        id: impl std::hash::Hash + std::fmt::Debug,
        add: impl FnMut(&mut Form<'_>),
    ) {
        self.inside(|ui, add| ui.push_id(id, add).inner, add);
    }

    /// Whether there is little room beside one another.
    pub(crate) fn is_narrow(&self) -> bool {
        self.ui.available_width() < NARROW
    }

    /// A heading.
    pub(crate) fn heading(&mut self, label: &str) {
        let palette = self.context.palette;
        self.ui.add_space(10.0);
        self.ui.label(RichText::new(label).font(bold(15.5)).color(palette.accent));
        let line = self.ui.max_rect().x_range();
        let y = self.ui.cursor().min.y - 4.0;
        self.ui.painter().hline(line, y, Stroke::new(1.0, palette.hair));
        self.ui.add_space(2.0);
    }

    /// A quiet sentence.
    pub(crate) fn note(&mut self, text: &str) {
        self.ui.label(RichText::new(text).small().color(self.context.palette.weak));
    }

    /// A part of a card that is collapsed until its heading is clicked; whether it is expanded.
    /// `summary` says beside it what is decided there.
    pub(crate) fn section(&mut self, label: &'static str, tooltip: &str, summary: &str) -> bool {
        let palette = self.context.palette;
        let expanded = self.state.expanded.contains(label);
        let text = RichText::new(label).color(palette.accent);
        let row = self.ui.horizontal(|ui| {
            let response = ui.add(Button::new(text).frame(false)).on_hover_text(tooltip);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                ui.label(RichText::new(summary).small().color(palette.weak));
            });
            response
        });
        let response = row.inner;
        response
            .widget_info(|| WidgetInfo::selected(Role::DisclosureTriangle, true, expanded, label));
        // A small arrow after the label: down when there is more, up when it can be collapsed.
        let middle = response.rect.right_center() + vec2(9.0, 1.0);
        let down = if expanded { -2.5 } else { 2.5 };
        let arms = [vec2(-4.5, -down), vec2(0.0, down), vec2(4.5, -down)];
        let stroke = Stroke::new(1.6, palette.accent);
        self.ui.painter().add(Shape::line(arms.map(|arm| middle + arm).to_vec(), stroke));
        if response.clicked() && !self.state.expanded.remove(label) {
            self.state.expanded.insert(label);
        }
        expanded
    }

    /// A section for what a knife may do without: while it has none, a button that begins it.
    /// Gives what there is when the section is expanded.
    pub(crate) fn optional_section<T>(
        &mut self,
        (label, tooltip): (&'static str, &str),
        summary: &str,
        value: Option<T>,
        begin: &str,
        first: impl FnOnce() -> Option<Edit>,
    ) -> Option<T> {
        if !self.section(label, tooltip, summary) {
            return None;
        }
        if value.is_none() {
            self.edit_button((begin, tooltip), first());
        }
        value
    }

    /// What a card says of something that was not decided yet: its title, what it is, and a
    /// button that begins it.
    pub(crate) fn missing(&mut self, title: &str, text: &str, begin: &str, first: Option<Edit>) {
        self.heading(title);
        self.note(text);
        self.edit_button((begin, text), first);
    }
}

/// Buttons, ticks and choices.
impl Form<'_> {
    /// A button; whether it was clicked.
    pub(crate) fn button(&mut self, caption: Caption<'_>) -> bool {
        self.button_if(true, caption)
    }

    /// A button that may be disabled; whether it was clicked.
    pub(crate) fn button_if(&mut self, enabled: bool, (label, tooltip): Caption<'_>) -> bool {
        let response = self.ui.add_enabled(enabled, Button::new(label));
        if tooltip.is_empty() { response } else { response.on_hover_text(tooltip) }.clicked()
    }

    /// A button that makes an edit, if there is one to make.
    pub(crate) fn edit_button(&mut self, caption: Caption<'_>, edit: impl Into<Option<Edit>>) {
        if let Some(edit) = edit.into()
            && self.button(caption)
        {
            self.actions.edit(edit);
        }
    }

    /// A button for a command of the table.
    pub(crate) fn command(&mut self, command: Command, enabled: bool) {
        command_button(self.ui, command, enabled, self.actions);
    }

    /// Makes the boxes and rings of what can be ticked stand out, in this part of the window.
    pub(crate) fn outline_ticks(ui: &mut Ui, context: &ViewContext<'_>) {
        ui.visuals_mut().widgets.inactive.bg_stroke = Stroke::new(1.2, context.palette.weak);
    }

    /// A check box; whether it was changed.
    pub(crate) fn tick(&mut self, ticked: &mut bool, (label, tooltip): Caption<'_>) -> bool {
        let context = self.context;
        self.ui
            .scope(|ui| {
                Self::outline_ticks(ui, context);
                ui.checkbox(ticked, label).on_hover_text(tooltip).changed()
            })
            .inner
    }

    /// A check box for a command that switches something.
    pub(crate) fn command_tick(&mut self, command: Command, mut on: bool, caption: Caption<'_>) {
        if self.tick(&mut on, caption) {
            self.actions.run(command);
        }
    }

    /// A choice of one from a few in a row of their own.
    pub(crate) fn radio<T: Copy + PartialEq>(
        &mut self,
        options: &[(T, &str)],
        value: T,
    ) -> Change<'_, T> {
        let context = self.context;
        let mut chosen = None;
        self.ui.horizontal_wrapped(|ui| {
            Self::outline_ticks(ui, context);
            for (option, label) in options {
                if ui.radio(value == *option, *label).clicked() && value != *option {
                    chosen = Some(*option);
                }
            }
        });
        self.change(chosen)
    }

    /// A choice of one from a few.
    pub(crate) fn choice<T: Copy + PartialEq>(
        &mut self,
        (label, tooltip): Caption<'_>,
        options: &[(T, &str)],
        value: T,
    ) -> Change<'_, T> {
        let (context, ui) = (self.context, &mut *self.ui);
        let mut chosen = None;
        let mut buttons = |ui: &mut Ui| {
            Self::outline_ticks(ui, context);
            for (option, label) in options.iter().rev() {
                let response = ui.radio(value == *option, *label).on_hover_text(tooltip);
                if response.clicked() && value != *option {
                    chosen = Some(*option);
                }
            }
        };
        let right = Layout::right_to_left(Align::Center);
        let spacing = ui.spacing();
        let around = spacing.icon_width + spacing.icon_spacing + spacing.item_spacing.x;
        let font = TextStyle::Body.resolve(ui.style());
        let wide = |text: &str| text_width(ui, text, font.clone());
        let long: f32 = options.iter().map(|(_, label)| around + wide(label)).sum();
        // Below their name where there is no room beside it.
        if ui.available_width() < NARROW.max(wide(label) + long + 8.0) {
            ui.label(label).on_hover_text(tooltip);
            ui.horizontal(|ui| ui.with_layout(right, &mut buttons));
        } else {
            ui.horizontal(|ui| {
                ui.label(label).on_hover_text(tooltip);
                ui.with_layout(right, &mut buttons);
            });
        }
        self.change(chosen)
    }

    /// A choice of one from a list, by its name; its place in the list.
    pub(crate) fn pick(
        &mut self,
        caption: Caption<'_>,
        value: &str,
        options: &[&str],
        width: f32,
    ) -> Change<'_, usize> {
        let entries = options.iter().map(|option| (*option, String::new(), *option == value));
        let (chosen, response) = self.list(caption, value, entries, width);
        response.on_hover_text(value);
        self.change(chosen.filter(|chosen| options[*chosen] != value))
    }

    /// A choice of one from a list of names with tooltips and whether each is the one chosen;
    /// which was clicked.
    pub(crate) fn list<'b>(
        &mut self,
        (label, tooltip): Caption<'_>,
        value: &str,
        entries: impl Iterator<Item = (&'b str, String, bool)>,
        width: f32,
    ) -> (Option<usize>, Response) {
        let mut clicked = None;
        let row = self.ui.horizontal(|ui| {
            let named = ui.label(label).on_hover_text(tooltip);
            let list = ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let width = width.min(ui.available_width() - 4.0).max(60.0);
                let combo = ComboBox::from_id_salt(label).selected_text(value).width(width);
                let shown = combo.truncate().show_ui(ui, |ui| {
                    for (i, (name, tooltip, is)) in entries.enumerate() {
                        let mut entry = ui.selectable_label(is, name);
                        if !tooltip.is_empty() {
                            entry = entry.on_hover_text(tooltip);
                        }
                        if entry.clicked() {
                            clicked = Some(i);
                        }
                    }
                });
                shown.response.labelled_by(named.id)
            });
            list.inner
        });
        (clicked, row.inner)
    }
}

/// Fields.
impl Form<'_> {
    fn change<T>(&mut self, value: Option<T>) -> Change<'_, T> {
        Change { value, actions: self.actions }
    }

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
        let tooltip = format!("{tooltip} Emptied, it is the usual {usual}.");
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

    /// A field for words, as wide as its label leaves room for.
    pub(crate) fn text(&mut self, caption: Caption<'_>, value: &str) -> Change<'_, String> {
        self.field(Field::new(caption, value).width(240.0), |text| Ok(text.trim().to_owned()))
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
        let field = egui::TextEdit::multiline(&mut text)
            .id_salt(label)
            .desired_rows(4)
            .desired_width(f32::INFINITY)
            .char_limit(max_chars);
        let response = self.ui.add(field).accessible_name(label).on_hover_text(tooltip);
        if response.gained_focus() {
            self.actions.push(Action::BeginGesture);
        }
        if response.changed() {
            self.actions.preview(vec![edit(text)]);
        }
        if response.lost_focus() {
            let escaped = super::escape_pressed(self.ui);
            self.actions.push(if escaped { Action::CancelGesture } else { Action::CommitGesture });
        }
    }
}

fn read_angle(text: &str) -> Result<f64, units::ParseError> {
    units::parse_angle(text).map(units::Angle::to_degrees)
}
