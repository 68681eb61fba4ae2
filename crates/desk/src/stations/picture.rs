//! The picture under the blank, on the Profile card; and the mark that an outline was traced.

use crate::action::Action;
use crate::command::Command;
use crate::state::{PictureState, Purpose};
use crate::widgets::Form;
use egui::Slider;
use knife::{Edit, Picture};
use kurbo::{Affine, Point};
use std::path::Path;
use units::show_mm;

/// The name of its part of the card.
pub(crate) const SECTION: &str = "Picture under the blank";

/// Its part of the card.
pub(super) fn card(form: &mut Form<'_>, state: &mut PictureState) {
    let picture = form.context.knife.picture.as_ref();
    let name = picture.map(|picture| file_name(&picture.path)).unwrap_or_default();
    let tooltip = "A sketch, scan or photo at true size, to draw over.";
    let summary = if state.problem().is_some() { "see here" } else { "" };
    if !form.section(SECTION, tooltip, summary) {
        return;
    }
    let Some(picture) = picture else {
        form.note("Trace a picture, or lay it here at true size and draw over it.");
        return form.command(Command::TracePicture, true);
    };
    form.note(name);
    status(form, picture, state);
    let tooltip = "Shows it, or hides it.  (Shift+P)";
    form.tick(&mut state.visible, ("Show", tooltip));
    let tooltip = "It stays where it lies. Unlocked, it has handles to move and to turn it.";
    form.tick(&mut state.locked, ("Lock", tooltip));
    let tooltip = "Nodes and drawn points snap to its edges when they come near.";
    form.tick(&mut state.snaps, ("Snap to its edges", tooltip));
    form.ui.horizontal(|ui| {
        let label = ui.label("Opacity");
        let slider = Slider::new(&mut state.opacity, 0.05..=1.0).show_value(false);
        ui.add(slider).labelled_by(label.id);
    });
    if !state.locked {
        let caption = ("Rotate picture by", "About its middle, counter-clockwise.");
        let placement = picture.placement;
        let middle = placement.place(Point::ORIGIN);
        form.angle(caption, None).edit(|degrees| {
            let turn = Affine::rotate_about(degrees.to_radians(), middle);
            Edit::PlacePicture(placement.transformed(turn))
        });
    }
    form.wrapped(|form| {
        let tooltip = "Squares it up or traces it again.";
        if form.button_if(state.picture().is_some(), ("Square up or trace…", tooltip)) {
            form.actions.push(Action::SquareUp);
        }
        let tooltip = "Lays another picture in the same place, such as a sharper scan of it.";
        if form.button(("Replace…", tooltip)) {
            form.actions.push(Action::AskPath(Purpose::SwapPicture));
        }
        let tooltip = "Removes it from under the blank; its file stays.";
        form.edit_button(("Remove picture", tooltip), Edit::SetPicture(None));
    });
}

/// What is to be minded with it, and what can be done about that.
fn status(form: &mut Form<'_>, picture: &Picture, state: &PictureState) {
    if state.is_reading() && state.picture().is_none() {
        return form.note("Reading it…");
    }
    let Some(problem) = state.problem() else { return };
    let colour = form.context.palette.care;
    let text = egui::RichText::new(crate::text::sentence(problem)).small().color(colour);
    form.ui.label(text);
    if let Some(sum) = state.changed(picture) {
        let kept = Picture { sum, ..picture.clone() };
        let tooltip = "It still fits: the picture is used as it is now.";
        form.edit_button(("Use it as it is", tooltip), Edit::SetPicture(Some(kept)));
    } else if form.button(("Look again", "Reads it again, once it is back in its place.")) {
        form.actions.push(Action::FindPicture);
    }
}

fn file_name(path: &str) -> &str {
    Path::new(path).file_name().and_then(|name| name.to_str()).unwrap_or(path)
}

/// That the outline was traced, with its error, and the button that clears it.
pub(super) fn traced_mark(form: &mut Form<'_>) {
    let Some(mm) = form.context.knife.traced_mm else { return };
    form.note(&format!("Traced from a picture, ±{}; the sheet says so.", show_mm(mm, 2)));
    let tooltip = "You have measured what matters: the sheet no longer says that the outline was \
                   traced.";
    form.edit_button(("Clear traced mark", tooltip), Edit::SetTraced(None));
}
