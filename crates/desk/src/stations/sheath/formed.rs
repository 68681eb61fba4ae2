//! A formed sheath: sheet, eyelets, belt clip, thumb ramp.

use super::{set, stock, thickness};
use crate::widgets::Form;
use knife::{Edit, FormedSheath, Sheath, SheathBody, ThumbRamp};
use reckon::tables::SheathStockKind;

/// A thumb ramp to begin with, mm (common practice, no source).
const RAMP: ThumbRamp = ThumbRamp { width_mm: 16.0, rise_mm: 6.0 };

pub(super) fn card(form: &mut Form<'_>, sheath: &Sheath, own: &FormedSheath) {
    let with = |formed: FormedSheath| with(sheath, formed);
    form.heading("Sheet");
    thickness(form, sheath, "Sheet", SheathStockKind::Sheet);
    let caption =
        ("Sheet allowance", "How much larger the sheet is than the trimmed rim, on every side.");
    form.length(caption, own.allowance_mm)
        .edit(|allowance_mm| with(FormedSheath { allowance_mm, ..*own }));
    form.heading("Eyelets");
    if let Some(mm) = stock(form, "Eyelet", SheathStockKind::Eyelet, own.eyelet_mm) {
        form.actions.edit(with(FormedSheath { eyelet_mm: mm, ..*own }));
    }
    let caption = ("Eyelet hole", "Diameter of the hole for its barrel.");
    form.length(caption, own.eyelet_mm).edit(|eyelet_mm| with(FormedSheath { eyelet_mm, ..*own }));
    let caption = (
        "Eyelets apart",
        "From one to the next; the row is divided evenly, as close to it as \
                           possible.",
    );
    form.length(caption, own.eyelet_pitch_mm)
        .edit(|eyelet_pitch_mm| with(FormedSheath { eyelet_pitch_mm, ..*own }));
    let caption = ("Eyelets from the knife", "From the outline to their middle.");
    form.length(caption, own.eyelet_offset_mm)
        .edit(|eyelet_offset_mm| with(FormedSheath { eyelet_offset_mm, ..*own }));
    let caption = ("Eyelets from the rim", "From their middle to the rim.");
    form.length(caption, own.eyelet_margin_mm)
        .edit(|eyelet_margin_mm| with(FormedSheath { eyelet_margin_mm, ..*own }));
    let caption = (
        "Clip spacing",
        "Straight from hole to hole of the belt clip: the last two eyelets at the mouth. Leave it \
         empty for no clip.",
    );
    form.optional_length(caption, own.clip_mm)
        .edit(|clip_mm| with(FormedSheath { clip_mm, ..*own }));
    ramp(form, sheath, own);
}

fn ramp(form: &mut Form<'_>, sheath: &Sheath, own: &FormedSheath) {
    let with_ramp = |ramp: Option<ThumbRamp>| with(sheath, FormedSheath { ramp, ..*own });
    form.heading("Thumb ramp");
    let Some(stated) = own.ramp else {
        let caption = ("Add a thumb ramp", "A lip at the mouth over the spine, to push against.");
        return form.edit_button(caption, with_ramp(Some(RAMP)));
    };
    let caption = ("Ramp width", "How far it reaches down from the spine.");
    form.length(caption, stated.width_mm)
        .edit(|width_mm| with_ramp(Some(ThumbRamp { width_mm, ..stated })));
    let caption = ("Ramp rise", "How far it stands out from the mouth.");
    form.length(caption, stated.rise_mm)
        .edit(|rise_mm| with_ramp(Some(ThumbRamp { rise_mm, ..stated })));
    form.edit_button(("Remove the thumb ramp", ""), with_ramp(None));
}

fn with(sheath: &Sheath, formed: FormedSheath) -> Edit {
    set(Sheath { body: SheathBody::Formed(formed), ..sheath.clone() })
}
