//! What the desk does with a drawing of one's own: begin it, close it, keep it from being lost.

use super::Desk;
use crate::asking::Question;
use crate::session::Aim;
use crate::{Open, Station};
use knife::{Bar, Edit, Knife};

impl Desk {
    /// Whether leaving would lose work: in the knife, or points of a drawing under way.
    pub(super) fn is_unsaved(&self) -> bool {
        let drawn = self.open.knife().profile.nodes.is_empty() && self.session.draw.has_points();
        drawn || self.open.is_dirty()
    }

    /// Begins a drawing on an empty bar; unsaved work is asked about first.
    pub(super) fn draw_on(&mut self, bar: Bar) {
        if self.keeps(Question::Draw(Box::new(bar.clone()))) {
            self.empty_bar(bar);
        }
    }

    /// An empty bar in place of what is open.
    pub(super) fn empty_bar(&mut self, bar: Bar) {
        let unit = self.settings.unit;
        self.put(Open::fresh(Knife { bar, unit, ..Knife::empty() }));
        self.session.greeted = true;
        self.session.station = Station::Profile;
    }

    /// Goes on with the drawing of this knife's outline, or begins it.
    pub(super) fn draw_outline(&mut self) {
        self.go_to(Station::Profile);
        self.session.draw.active = true;
        self.session.greeted = true;
    }

    /// The outline is closed as one step, or what is missing is said and nothing is lost.
    pub(super) fn close_outline(&mut self) {
        let profile = match self.session.draw.profile() {
            Ok(profile) => profile,
            Err(why) => return self.session.notices.say(why.to_string()),
        };
        let crossing = profile.outline().is_ok_and(|outline| !outline.contacts().is_empty());
        if let Err(why) = self.open.edit(&[Edit::DrawProfile(profile)]) {
            return self.session.notices.say(why.to_string());
        }
        self.session.draw.close();
        self.session.selection.clear();
        self.session.aim = Some(Aim::Fit);
        if crossing {
            let words = "The outline is closed, but it crosses itself: drag the nodes apart where \
                         it is ringed, or undo and draw that part again.";
            self.session.notices.say(words);
        }
    }

    /// One point back or one step back; what was taken back is said.
    pub(super) fn undo(&mut self) {
        if self.draws() && self.session.draw.has_points() {
            return self.session.draw.take_back();
        }
        let Some(step) = self.open.undo() else { return };
        self.session.notices.say(format!("Undid: {}", step.to_lowercase()));
        if self.open.knife().profile.nodes.is_empty() {
            self.session.draw.reopen();
            self.session.aim = Some(Aim::Fit);
        }
    }

    /// One point or one step again.
    pub(super) fn redo(&mut self) {
        if self.draws() && self.session.draw.can_put_again() {
            return self.session.draw.put_again();
        }
        let Some(step) = self.open.redo() else { return };
        self.session.notices.say(format!("Redid: {}", step.to_lowercase()));
        if !self.open.knife().profile.nodes.is_empty() && self.session.draw.active {
            self.session.draw.close();
            self.session.draw.just_closed = false;
            self.session.aim = Some(Aim::Fit);
        }
    }

    /// Whether there is an outline to save; else that is said.
    pub(super) fn has_outline_to_save(&mut self) -> bool {
        let has = !self.open.knife().profile.nodes.is_empty();
        if !has {
            let words = "There is no outline to save yet: close the drawing first. The bar stays \
                         as it is.";
            self.session.notices.say(words);
        }
        has
    }

    fn draws(&self) -> bool {
        crate::draw::is_drawing(&self.session, self.open.knife())
    }
}
