//! What is left over to trim, saw and file, and the grain.

use super::handle_with;
use crate::widgets::Form;
use knife::{USUAL_ALLOWANCE_MM, USUAL_OVERHANG_MM, USUAL_PROUD_MM};

pub(super) fn card(form: &mut Form<'_>) {
    let context = form.context;
    let handle = &context.knife.handle;
    let tooltip = "How much scales, blocks and pins are left longer for trimming, and the grain.";
    if !form.section("Trim allowance", tooltip, "") {
        return;
    }
    let caption = (
        "Overhang",
        "How far the scales extend past the tang until they are trimmed \
                                flush.",
    );
    form.usual_length(caption, (handle.overhang_mm, USUAL_OVERHANG_MM))
        .edit(|mm| handle_with(context, |handle| handle.overhang_mm = mm));
    let caption = (
        "Block allowance",
        "How much larger a rough block is than its scale, on every \
                                       side.",
    );
    form.usual_length(caption, (handle.allowance_mm, USUAL_ALLOWANCE_MM))
        .edit(|mm| handle_with(context, |handle| handle.allowance_mm = mm));
    let caption =
        ("Pin overhang", "How far each pin sticks out of each scale until it is filed flush.");
    form.usual_length(caption, (handle.proud_mm, USUAL_PROUD_MM))
        .edit(|mm| handle_with(context, |handle| handle.proud_mm = mm));
    let caption = (
        "Grain",
        "On the left scale's outer face, from the handle's length, counter-clockwise with the tip \
         to the left and the edge down. Leave it empty if there is no grain.",
    );
    form.optional_angle(caption, handle.grain_deg)
        .edit(|deg| handle_with(context, |handle| handle.grain_deg = deg));
}
