//! What is typed and expanded on cards.

use egui::Id;
use knife::PartId;
use std::collections::{BTreeSet, HashMap};

/// What is typed into fields, by field.
pub(crate) type FieldEdits = HashMap<Id, FieldEdit>;

/// What is typed into one field, and why it can't be used.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct FieldEdit {
    pub(crate) text: String,
    pub(crate) refusal: Option<String>,
}

/// The state of the cards.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FormState {
    /// What is being typed.
    pub(crate) edits: FieldEdits,
    /// The labels of the sections that are expanded.
    pub(crate) expanded: BTreeSet<&'static str>,
    /// The parts that were selected when the card was last shown.
    pub(crate) shown_parts: BTreeSet<PartId>,
    /// For how long filing was timed, minutes, until what it did is typed too.
    pub(crate) filed_min: Option<f64>,
    /// Whether something was being typed when the last frame ended.
    pub(crate) typing: bool,
}
