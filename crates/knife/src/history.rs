//! Undo without end: snapshots of the knife, one step a gesture.

use crate::{Edit, Knife, Refusal};
use std::sync::Arc;

/// One undoable step: what it was called and the knife on its other side.
#[derive(Clone, Debug)]
pub struct Step {
    /// What was done, as the menu says it.
    pub label: String,
    knife: Arc<Knife>,
}

/// The knife in work and every step that led to it.
///
/// A single edit is a step ([`History::edit`]). A drag is one step too: [`History::begin`],
/// any number of [`History::preview`], then [`History::commit`] or [`History::cancel`].
/// Each preview starts from the knife as it was at the beginning, so a drag moves by its total.
#[derive(Clone, Debug)]
pub struct History {
    current: Arc<Knife>,
    before_gesture: Option<Arc<Knife>>,
    gesture_label: Option<String>,
    past: Vec<Step>,
    future: Vec<Step>,
    revision: u64,
}

impl History {
    /// Starts with a knife and no steps.
    pub fn new(knife: Knife) -> Self {
        Self {
            current: Arc::new(knife),
            before_gesture: None,
            gesture_label: None,
            past: Vec::new(),
            future: Vec::new(),
            revision: 0,
        }
    }

    /// The knife as it stands, gesture included.
    pub fn knife(&self) -> &Arc<Knife> {
        &self.current
    }

    /// Grows whenever [`History::knife`] changes.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Does one edit as a step of its own. An edit that changes nothing leaves no step.
    /// A gesture under way is committed first.
    ///
    /// # Errors
    /// [`Refusal`] when the edit can't be done; nothing is changed then.
    pub fn edit(&mut self, edit: &Edit) -> Result<(), Refusal> {
        self.commit();
        self.begin();
        let done = self.preview(std::slice::from_ref(edit));
        self.commit();
        done
    }

    /// Begins a gesture; one under way is committed first.
    pub fn begin(&mut self) {
        self.commit();
        self.before_gesture = Some(self.current.clone());
    }

    /// Whether a gesture is under way.
    pub fn in_gesture(&self) -> bool {
        self.before_gesture.is_some()
    }

    /// Shows these edits done to the knife as it was when the gesture began. The last one
    /// names the step. Outside a gesture, one is begun.
    ///
    /// # Errors
    /// [`Refusal`] when one can't be done; what was shown before then stays.
    pub fn preview(&mut self, edits: &[Edit]) -> Result<(), Refusal> {
        let before = self.before_gesture.get_or_insert_with(|| self.current.clone()).clone();
        let mut knife = Knife::clone(&before);
        for edit in edits {
            knife = edit.apply(&knife)?;
        }
        self.gesture_label = edits.last().map(Edit::label);
        self.set(Arc::new(knife));
        Ok(())
    }

    /// Ends the gesture as one step; without a change it leaves none.
    pub fn commit(&mut self) {
        let Some(before) = self.before_gesture.take() else { return };
        let label = self.gesture_label.take().unwrap_or_default();
        if *before != *self.current {
            self.past.push(Step { label, knife: before });
            self.future.clear();
        }
    }

    /// Ends the gesture and takes its changes back.
    pub fn cancel(&mut self) {
        self.gesture_label = None;
        if let Some(before) = self.before_gesture.take() {
            self.set(before);
        }
    }

    /// Takes the last step back; `None` when there is none. Commits a gesture first.
    pub fn undo(&mut self) -> Option<&str> {
        self.commit();
        let step = self.past.pop()?;
        let undone = Step { label: step.label, knife: self.current.clone() };
        self.set(step.knife);
        self.future.push(undone);
        self.redo_label()
    }

    /// Does the last step taken back again; `None` when there is none. Commits a gesture first.
    pub fn redo(&mut self) -> Option<&str> {
        self.commit();
        let step = self.future.pop()?;
        let redone = Step { label: step.label, knife: self.current.clone() };
        self.set(step.knife);
        self.past.push(redone);
        self.undo_label()
    }

    /// Puts another knife in place of this one, such as an earlier version of it, as a step of its
    /// own. A gesture under way is committed first.
    pub fn replace(&mut self, label: impl Into<String>, knife: Knife) {
        self.begin();
        self.gesture_label = Some(label.into());
        self.set(Arc::new(knife));
        self.commit();
    }

    /// Goes to the knife as it was after so many of all its steps, those taken back included.
    /// Commits a gesture first.
    pub fn go_to(&mut self, steps: usize) {
        self.commit();
        while self.past.len() > steps && self.undo().is_some() {}
        while self.past.len() < steps && self.redo().is_some() {}
    }

    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.past.last().map(|step| step.label.as_str())
    }

    /// What redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.future.last().map(|step| step.label.as_str())
    }

    /// All steps that can be taken back, oldest first.
    pub fn past(&self) -> &[Step] {
        &self.past
    }

    /// All steps that were taken back and can be done again, the next one first.
    pub fn future(&self) -> impl Iterator<Item = &Step> {
        self.future.iter().rev()
    }

    fn set(&mut self, knife: Arc<Knife>) {
        if *self.current != *knife {
            self.revision += 1;
        }
        self.current = knife;
    }
}
