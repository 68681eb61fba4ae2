//! From what a drawing gave to a knife.

use super::{ImportedOutline, guess_marks};
use crate::{Bar, Hole, HoleId, HoleKind, Knife, NodeId, Profile, limits};

/// Holes up to this diameter are taken for pins, mm: handle pins run to 1/4 in, and a hole is
/// drilled a little over its pin (common practice, no source). Larger ones lighten the tang.
const MAX_PIN_MM: f64 = 6.5;

impl ImportedOutline {
    /// A knife with this outline and these holes on the bar; its bevels and scales are left
    /// open. Tip and heel are guessed by [`guess_marks`]. A hole of up to 6.5 mm counts as a
    /// pin hole, a larger one as relief; the maker may say otherwise. A name longer than a
    /// blank's may be is cut.
    pub fn into_knife(self, name: impl Into<String>, bar: Bar) -> Knife {
        let marks = guess_marks(&self.outline);
        let mut profile = Profile::from_outline(&self.outline);
        let id = |index: usize| profile.nodes.get(index).map(|node| node.id);
        let (tip, heel): (Option<NodeId>, Option<NodeId>) =
            (marks.tip.and_then(id), marks.heel.and_then(id));
        profile.tip = tip;
        profile.heel = heel;
        let holes = (1..).zip(&self.holes).map(|(number, circle)| {
            let diameter_mm = 2.0 * circle.radius;
            Hole {
                id: HoleId(number),
                name: String::new(),
                kind: if diameter_mm <= MAX_PIN_MM { HoleKind::Pin } else { HoleKind::Relief },
                at: circle.center,
                diameter_mm,
                drill: None,
                pin_mm: None,
            }
        });
        Knife {
            name: name.into().chars().take(limits::NAME_CHARS).collect(),
            unit: self.unit,
            bar,
            holes: holes.collect(),
            profile,
            ..Knife::empty()
        }
    }
}
