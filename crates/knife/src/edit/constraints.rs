//! What holds between the profile and the rest of a knife, whatever changed the profile.

use crate::limits::{MIN_LENGTH_MM, grind_height_on};
use crate::{Knife, Profile, Refusal};

/// Refuses a profile too short to be a blank, unless it becomes longer than it was.
pub(super) fn length(before: &Profile, after: &Profile) -> Result<(), Refusal> {
    let length_mm = |profile: &Profile| profile.size_mm().map(|size| size.max_side());
    let Some(is) = length_mm(after).filter(|is| *is < MIN_LENGTH_MM) else { return Ok(()) };
    if length_mm(before).is_some_and(|was| was < is) {
        return Ok(());
    }
    Err(Refusal::TooShort { length_mm: is, min_mm: MIN_LENGTH_MM })
}

/// Bevels and swedge go no higher than the profile is wide, for what it lost they lose, and no lower
/// than may be.
pub(super) fn heights(knife: &mut Knife) {
    let bevel = knife.bevel.iter_mut().map(|bevel| &mut bevel.grind_height_mm);
    let swedge = knife.swedge.iter_mut().map(|swedge| &mut swedge.height_mm);
    let mut heights: Vec<&mut f64> = bevel.chain(swedge).collect();
    if heights.is_empty() {
        return;
    }
    let (min_mm, max_mm) = grind_height_on(&knife.profile).into_inner();
    for height_mm in &mut heights {
        **height_mm = height_mm.clamp(min_mm, max_mm);
    }
}
