//! Figures on a card: a name, its figure, and how it was worked out when the pointer rests on it.

use super::Form;
use super::basic::{figure_column, figure_row};
use crate::context::ViewContext;
use reckon::{Group, Reading, Value};

/// Figures that are from before the last change are shown fainter.
const BEHIND_OPACITY: f32 = 0.5;

impl Form<'_> {
    /// The readings of the group with this title, but for those named in `except`.
    pub(crate) fn readings(&mut self, title: &str, except: &[&str]) {
        self.readings_of(|other| other == title, except);
    }

    /// The readings of the groups whose titles are wanted, but for those named in `except`.
    pub(crate) fn readings_of(&mut self, titles: impl Fn(&str) -> bool, except: &[&str]) {
        let groups = &self.context.derived.readings;
        for group in groups.iter().filter(|group| titles(&group.title)) {
            self.heading(&group.title);
            self.readings_in(group, |name| !except.contains(&name));
        }
    }

    /// Those readings of a group that are wanted.
    pub(crate) fn readings_in(&mut self, group: &Group, wanted: impl Fn(&str) -> bool) {
        let context = self.context;
        figure_column(self.ui, |ui| {
            if context.derived.is_behind() {
                ui.multiply_opacity(BEHIND_OPACITY);
            }
            for reading in group.readings.iter().filter(|reading| wanted(reading.name)) {
                let text = reading.text(context.unit());
                let shown = brief(reading, context);
                let more = if text.starts_with(&shown) && !text.contains(" · ") {
                    String::new()
                } else {
                    format!("{text}. ")
                };
                let tooltip = format!("{more}{}: {}.", reading.name, reading.explanation);
                figure_row(ui, reading.name, &shown, 15.5, context.palette).on_hover_text(tooltip);
            }
        });
    }
}

/// The groups shown elsewhere than at the handle; of the rest, each goes with what it is of, or
/// stands at the foot of the card.
const NOT_OF_THE_HANDLE: [&str; 12] = [
    "Bar",
    "Profile",
    "Scribing",
    "Tang",
    "Bevels",
    "Filing by hand",
    "Sharpening",
    "Heat and finish",
    "Chain drilling",
    "Steel alone",
    "Sheath",
    "Jigs",
];

/// Whether the readings of this title belong to the handle.
pub(crate) fn belongs_to_handle(title: &str) -> bool {
    !NOT_OF_THE_HANDLE.contains(&title) && !title.starts_with("Hole ")
}

/// A figure without what its tooltip has besides: its value in the other unit.
fn brief(reading: &Reading, context: &ViewContext<'_>) -> String {
    if let Value::Place(at) = reading.value {
        return format!("x {}, y {}", context.short(at.x), context.short(at.y));
    }
    let text = reading.text(context.unit());
    let Some((first, other)) = text.split_once(" · ") else { return text };
    // A text of more than one figure stays whole, and so do heats: ovens are set in either scale.
    let several = other.split(' ').count() > 2 || text.contains("°C");
    if several && matches!(reading.value, Value::Text(_)) { text } else { first.to_owned() }
}
