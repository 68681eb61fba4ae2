//! A card under construction: headings, sections, and what a field or a choice gives.

use crate::action::ActionQueue;
use crate::context::ViewContext;
use crate::state::FormState;
use crate::theme::bold;
use egui::{Align, Button, Layout, RichText, Role, Shape, Stroke, Ui, WidgetInfo, vec2};
use knife::Edit;

/// Less room than this on a card is little, points.
pub(super) const NARROW: f32 = 250.0;

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

    pub(super) fn map<U>(self, map: impl FnOnce(T) -> U) -> Change<'a, U> {
        Change { value: self.value.map(map), actions: self.actions }
    }
}

impl Form<'_> {
    /// What was typed or chosen, to make an edit of it.
    pub(super) fn change<T>(&mut self, value: Option<T>) -> Change<'_, T> {
        Change { value, actions: self.actions }
    }

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
