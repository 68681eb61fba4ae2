//! What the desk does with a selection: copies and pastes it, makes it fair, measures.

use super::Desk;
use crate::command::Command;
use crate::state::{Clipping, FairPreview, FairResult, Station};
use drawing::views;
use egui::Event;
use knife::{Edit, Hole, HoleId, Knife, Node, NodeId, PartId, Profile, file};
use kurbo::{Point, Vec2};

/// Copies lie so far from what they were made of, mm.
const BESIDE_MM: f64 = 8.0;
/// What the knife that carries copied parts between windows is called.
const CLIPPING: &str = "copied parts";

impl Desk {
    /// Commands of this file; whether it was one.
    pub(super) fn run_drawing_command(&mut self, command: Command, ctx: &egui::Context) -> bool {
        match command {
            Command::Copy => {
                self.copy(ctx);
            }
            Command::Cut => {
                if self.copy(ctx) {
                    self.remove_selected();
                }
            }
            Command::Paste => self.paste(None),
            Command::Duplicate => self.duplicate(),
            Command::Fair => {
                let fairing = &mut self.session.tools.fairing;
                fairing.active = !fairing.active;
                fairing.preview = None;
                if self.session.tools.fairing.active {
                    self.go_to(Station::Profile);
                }
            }
            Command::Measure => {
                let tool = &mut self.session.tools.measuring;
                tool.active = !tool.active;
                tool.picks.clear();
                if !self.session.station.shows_knife() {
                    self.go_to(Station::Profile);
                }
            }
            Command::CombRadii => {
                let view = &mut self.session.view;
                view.comb_radii = !view.comb_radii;
                view.comb |= view.comb_radii;
            }
            Command::MakeSymmetric => {
                let nodes = self.session.selection.nodes();
                self.edit_each(nodes.into_iter().map(Edit::MakeSymmetric));
            }
            Command::MakeContinuous => {
                let nodes = self.session.selection.nodes();
                self.edit_each(nodes.into_iter().map(Edit::MakeCurvatureContinuous));
            }
            _ => return false,
        }
        true
    }

    fn edit_each(&mut self, edits: impl Iterator<Item = Edit>) {
        let edits: Vec<Edit> = edits.collect();
        if !edits.is_empty() {
            self.edit(&edits);
        }
    }

    /// The window's own events for copying and pasting, where no field takes them.
    pub(super) fn clipboard_events(&mut self, ctx: &egui::Context) {
        if self.session.form.typing || ctx.text_edit_focused() {
            return;
        }
        let events = ctx.input(|input| input.events.clone());
        for event in events {
            match event {
                Event::Copy => self.actions.run(Command::Copy),
                Event::Cut => self.actions.run(Command::Cut),
                Event::Paste(text) => {
                    if let Some(copied) = read_clipping(&text) {
                        self.session.tools.copied = Some(copied);
                    }
                    self.actions.run(Command::Paste);
                }
                _ => {}
            }
        }
    }

    /// Copies what is selected; whether there was something.
    fn copy(&mut self, ctx: &egui::Context) -> bool {
        let knife = self.document.knife();
        let selection = &self.session.selection;
        let holes = selection.holes().into_iter().filter_map(|id| knife.hole(id).cloned());
        let holes: Vec<Hole> = holes.collect();
        let nodes = run_of(&knife.profile, &selection.nodes(), &selection.segments());
        let copied = Clipping { holes, nodes: nodes.unwrap_or_default() };
        if copied.is_empty() {
            let message = "Select holes, or two or more neighbouring nodes of the outline";
            self.session.toasts.push(message);
            return false;
        }
        ctx.copy_text(write_clipping(&copied));
        self.session.toasts.push(format!("Copied {}", describe(&copied)));
        self.session.tools.copied = Some(copied);
        true
    }

    fn remove_selected(&mut self) {
        let holes = self.session.selection.holes().into_iter().map(Edit::RemoveHole);
        let nodes = self.session.selection.nodes();
        let nodes = (!nodes.is_empty()).then_some(Edit::RemoveNodes(nodes));
        let edits: Vec<Edit> = holes.chain(nodes).collect();
        if !edits.is_empty() {
            self.edit(&edits);
        }
    }

    /// Pastes where the pointer is, else beside what was copied.
    fn paste(&mut self, beside: Option<Vec2>) {
        let Some(copied) = self.session.tools.copied.clone() else {
            return self.session.toasts.push("Nothing was copied yet");
        };
        let knife = self.document.knife().clone();
        if self.session.station == Station::Holes || copied.nodes.len() < 2 {
            self.paste_holes(&knife, &copied.holes, beside);
        } else {
            self.paste_run(&knife, &copied.nodes);
        }
    }

    fn paste_holes(&mut self, knife: &Knife, holes: &[Hole], beside: Option<Vec2>) {
        if holes.is_empty() {
            return self.session.toasts.push("No holes were copied");
        }
        let middle = |holes: &[Hole]| {
            let sum: Vec2 = holes.iter().map(|hole| hole.at.to_vec2()).sum();
            (sum / holes.len() as f64).to_point()
        };
        let by = match self.pointer_on(knife).filter(|_| beside.is_none()) {
            Some(at) => at - middle(holes),
            None => beside.unwrap_or(Vec2::new(BESIDE_MM, 0.0)),
        };
        let moved: Vec<Hole> =
            holes.iter().map(|hole| Hole { at: hole.at + by, ..hole.clone() }).collect();
        let next = knife.holes.iter().map(|hole| hole.id.0 + 1).max().unwrap_or(1);
        let count = u32::try_from(moved.len()).unwrap_or(0);
        if self.session.station != Station::Holes {
            self.go_to(Station::Holes);
        }
        self.edit(&[Edit::AddHoles(moved)]);
        self.session.selection.parts =
            (next..next + count).map(|id| PartId::Hole(HoleId(id))).collect();
    }

    /// Lays a copied run into the outline: where a segment was clicked last, else where the
    /// outline is nearest to the pointer.
    fn paste_run(&mut self, knife: &Knife, nodes: &[Node]) {
        self.catch_up();
        let Some(outline) = self.derived.reckoning.outline.as_ref() else { return };
        let near = |at: Point| {
            let found = outline.nearest(at);
            Some((knife.profile.nodes.get(found.segment)?.id, found.t))
        };
        let pointer = self.pointer_on(knife);
        let clicked = self.session.selection.on_outline;
        let clicked = clicked.filter(|(id, _)| self.session.selection.segments().contains(id));
        let Some((stretch, t)) = clicked.or_else(|| near(pointer?)) else {
            let message = "Click the segment of the outline to paste into, then paste again";
            return self.session.toasts.push(message);
        };
        self.edit(&[Edit::PasteStretch { stretch, t, nodes: nodes.to_vec() }]);
    }

    /// Copies of the selected holes beside them; of a run of nodes, behind it on the outline.
    fn duplicate(&mut self) {
        let knife = self.document.knife().clone();
        let selection = &self.session.selection;
        let holes: Vec<Hole> =
            selection.holes().into_iter().filter_map(|id| knife.hole(id).cloned()).collect();
        if !holes.is_empty() {
            let widest = holes.iter().map(|hole| hole.diameter_mm).fold(0.0, f64::max);
            let by = Vec2::new(BESIDE_MM.max(2.0 * widest), 0.0);
            return self.paste_holes(&knife, &holes, Some(by));
        }
        let run = run_of(&knife.profile, &selection.nodes(), &selection.segments());
        self.catch_up();
        let Some((run, outline)) = run.zip(self.derived.reckoning.outline.as_ref()) else {
            let message = "Select holes, or two or more neighbouring nodes of the outline";
            return self.session.toasts.push(message);
        };
        let span = run[0].at.distance(run[run.len() - 1].at);
        let end = knife.profile.index_of(run[run.len() - 1].id).unwrap_or(0);
        let place = outline.at_length((end, 0.0), span / 2.0 + 1.0);
        let Some(node) = knife.profile.nodes.get(place.segment) else { return };
        self.edit(&[Edit::PasteStretch { stretch: node.id, t: place.t, nodes: run }]);
    }

    /// Works out what fairing would do, once a revision, selection and tolerance.
    pub(super) fn refresh_fairing(&mut self) {
        let fairing = &mut self.session.tools.fairing;
        if !fairing.active || self.session.station != Station::Profile {
            fairing.active &= self.session.station == Station::Profile;
            fairing.preview = None;
            return;
        }
        if self.session.pointer.is_dragging() {
            return;
        }
        let tolerance_mm = fairing.tolerance_mm(self.document.knife().unit);
        let revision = self.document.revision();
        let nodes = self.session.selection.nodes();
        let known = fairing.preview.as_ref().is_some_and(|known| {
            known.revision == revision && known.nodes == nodes && known.tolerance_mm == tolerance_mm
        });
        if known {
            return;
        }
        let edit = Edit::FairNodes { nodes: nodes.clone(), tolerance_mm };
        let result = fairer(self.document.knife(), &edit, &nodes);
        fairing.preview = Some(FairPreview { revision, nodes, tolerance_mm, result });
    }
}

/// What an edit that makes fair would do.
fn fairer(knife: &Knife, edit: &Edit, nodes: &[NodeId]) -> Result<FairResult, String> {
    let new = edit.apply(knife).map_err(|why| crate::text::sentence(&why.to_string()))?;
    let outline = |knife: &Knife| {
        knife.profile.outline().map_err(|why| crate::text::sentence(&why.to_string()))
    };
    let (old, outline) = (outline(knife)?, outline(&new)?);
    let mut indices: Vec<usize> =
        nodes.iter().filter_map(|id| knife.profile.index_of(*id)).collect();
    if indices.is_empty() {
        indices = (0..knife.profile.nodes.len()).collect();
    }
    let comb = |outline| views::comb(outline, &views::Comb::default());
    Ok(FairResult {
        combs: [comb(&old), comb(&outline)],
        variation: [old.curvature_variation(&indices), outline.curvature_variation(&indices)],
        moved_mm: old.furthest_mm(&outline),
        outline,
    })
}

/// The selected nodes, or those of the selected segments, as one run in the outline's order.
fn run_of(profile: &Profile, nodes: &[NodeId], segments: &[NodeId]) -> Option<Vec<Node>> {
    let n = profile.nodes.len();
    let mut chosen = vec![false; n];
    for id in nodes {
        chosen[profile.index_of(*id)?] = true;
    }
    if nodes.is_empty() {
        for id in segments {
            let i = profile.index_of(*id)?;
            chosen[i] = true;
            chosen[(i + 1) % n] = true;
        }
    }
    let count = chosen.iter().filter(|is| **is).count();
    let starts: Vec<usize> = (0..n).filter(|i| chosen[*i] && !chosen[(*i + n - 1) % n]).collect();
    let [start] = starts[..] else { return None };
    (count >= 2 && count < n)
        .then(|| (0..count).map(|k| profile.nodes[(start + k) % n].clone()).collect())
}

fn describe(copied: &Clipping) -> String {
    match (copied.holes.len(), copied.nodes.len()) {
        (0, _) => "a piece of the outline".to_owned(),
        (1, _) => "1 hole".to_owned(),
        (holes, _) => format!("{holes} holes"),
    }
}

/// Copied parts as text, so that another window can paste them: a blank of nothing else.
fn write_clipping(copied: &Clipping) -> String {
    let mut knife = Knife::empty();
    CLIPPING.clone_into(&mut knife.name);
    knife.holes.clone_from(&copied.holes);
    knife.profile.nodes.clone_from(&copied.nodes);
    String::from_utf8(file::save(&knife)).unwrap_or_default()
}

fn read_clipping(text: &str) -> Option<Clipping> {
    let opened = file::open(text.as_bytes()).ok()?;
    let knife = opened.knife;
    let copied = Clipping { holes: knife.holes, nodes: knife.profile.nodes };
    (knife.name == CLIPPING && !copied.is_empty()).then_some(copied)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_is_one_wherever_the_ring_begins_and_goes_through_the_clipboard() {
        let knife = knife::starter("drop-point").unwrap().knife();
        let ids: Vec<NodeId> = knife.profile.nodes.iter().map(|node| node.id).collect();
        let n = ids.len();
        let run = run_of(&knife.profile, &[ids[0], ids[n - 1], ids[1]], &[]).unwrap();
        assert_eq!(run.iter().map(|n| n.id).collect::<Vec<_>>(), [ids[n - 1], ids[0], ids[1]]);
        assert_eq!(run_of(&knife.profile, &[], &ids[2..3]).unwrap().len(), 2);
        for bad in [&[ids[0], ids[3]][..], &ids[..1], &ids, &[]] {
            assert!(run_of(&knife.profile, bad, &[]).is_none());
        }
        let copied = Clipping { holes: knife.holes.clone(), nodes: run };
        assert_eq!(read_clipping(&write_clipping(&copied)), Some(copied));
        assert_eq!(read_clipping("38 mm"), None);
        assert_eq!(read_clipping(&String::from_utf8(file::save(&knife)).unwrap()), None);
    }
}
