//! What this program is.

use crate::theme::{Palette, bold};
use crate::widgets::{modal, width_up_to};
use egui::{RichText, Ui};

/// What is told, a paragraph each.
const TEXT: &[&str] = &[
    "Blankwright lays out a knife blank on a bar of steel, works out every number the bench needs, \
     and prints templates that are truly full size.",
    "Measure both rulers and the square of every printed page before you cut. Grinding dust, hot \
     oil, fire, epoxy and sharp edges can hurt: wear protective gear, follow local rules, and ask \
     a professional where you are not sure.",
    "Every figure says how it was worked out, and every limit where it comes from. The manual \
     (Help) has the sources.",
    "Free software under the licence that comes with it. It is written in Rust with egui, kurbo, lyon \
     and printpdf; the lettering is Barlow, under the SIL Open Font License 1.1.",
];

/// Shows it; whether it stays open.
pub(super) fn ui(ui: &Ui, palette: &Palette) -> bool {
    modal(ui, "about", width_up_to(ui, 480.0, 60.0), |ui| {
        ui.heading("About Blankwright");
        let version = format!("Version {}", env!("CARGO_PKG_VERSION"));
        ui.label(RichText::new(version).font(bold(15.5)));
        for text in TEXT {
            ui.add_space(4.0);
            ui.label(RichText::new(*text).color(palette.text));
        }
        ui.add_space(8.0);
        ui.button("Close").clicked()
    })
}
