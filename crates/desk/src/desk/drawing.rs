//! What the desk does with a drawing of one's own: begin it, close it, keep it from being lost.

use super::Desk;
use crate::document::Document;
use crate::state::{Question, Station, ViewRequest};
use knife::{Bar, Edit, Knife};

impl Desk {
    /// Whether leaving would lose work: in the knife, or points of a drawing under way.
    pub(super) fn is_unsaved(&self) -> bool {
        let drawn =
            self.document.knife().profile.nodes.is_empty() && self.session.drawing.has_points();
        drawn || self.document.is_dirty()
    }

    /// Begins a drawing on an empty bar; unsaved work is asked about first.
    pub(super) fn draw_on(&mut self, bar: Bar) {
        if self.may_discard(Question::Draw(Box::new(bar.clone()))) {
            self.open_empty_bar(bar);
        }
    }

    /// An empty bar in place of what is open.
    pub(super) fn open_empty_bar(&mut self, bar: Bar) {
        let unit = self.settings.unit;
        self.open_document(Document::fresh(Knife { bar, unit, ..Knife::empty() }));
        self.session.station = Station::Profile;
    }

    /// Goes on with the drawing of this knife's outline, or begins it.
    pub(super) fn draw_outline(&mut self) {
        self.go_to(Station::Profile);
        self.session.drawing.active = true;
        self.session.dialogs.welcomed = true;
    }

    /// The outline is closed as one step, or what is missing is said and nothing is lost.
    pub(super) fn close_outline(&mut self) {
        let profile = match self.session.drawing.profile() {
            Ok(profile) => profile,
            Err(why) => return self.session.toasts.push(why.to_string()),
        };
        let crossing = profile.outline().is_ok_and(|outline| !outline.contacts().is_empty());
        if let Err(why) = self.document.edit(&[Edit::DrawProfile(profile)]) {
            return self.session.toasts.push(why.to_string());
        }
        self.session.drawing.close();
        self.session.selection.clear();
        self.session.view.request = Some(ViewRequest::Fit);
        if crossing {
            let message = "The outline is closed, but it crosses itself: drag the nodes apart where \
                           it is ringed, or undo and draw that part again.";
            self.session.toasts.push(message);
        }
    }

    /// One point back or one step back; what was taken back is said.
    pub(super) fn undo(&mut self) {
        if self.is_drawing() && self.session.drawing.has_points() {
            return self.session.drawing.remove_last();
        }
        let Some(step) = self.document.undo() else { return };
        self.session.toasts.push(format!("Undid: {}", step.to_lowercase()));
        if self.document.knife().profile.nodes.is_empty() {
            self.session.drawing.reopen();
            self.session.view.request = Some(ViewRequest::Fit);
        }
    }

    /// One point or one step again.
    pub(super) fn redo(&mut self) {
        if self.is_drawing() && self.session.drawing.can_restore() {
            return self.session.drawing.restore_last();
        }
        let Some(step) = self.document.redo() else { return };
        self.session.toasts.push(format!("Redid: {}", step.to_lowercase()));
        if !self.document.knife().profile.nodes.is_empty() && self.session.drawing.active {
            self.session.drawing.close();
            self.session.drawing.just_closed = false;
            self.session.view.request = Some(ViewRequest::Fit);
        }
    }

    /// Whether there is an outline to save; else that is said.
    pub(super) fn has_outline_to_save(&mut self) -> bool {
        let has = !self.document.knife().profile.nodes.is_empty();
        if !has {
            let message = "There is no outline to save yet: close the drawing first. The bar stays \
                           as it is.";
            self.session.toasts.push(message);
        }
        has
    }

    fn is_drawing(&self) -> bool {
        self.session.is_drawing(self.document.knife())
    }
}
