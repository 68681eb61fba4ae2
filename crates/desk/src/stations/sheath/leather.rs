//! A leather sheath: leather, welt, stitches, belt loop.

use super::{set, stock, thickness};
use crate::widgets::Form;
use knife::{BeltLoop, Edit, LeatherSheath, Sheath, SheathBody};
use reckon::tables::SheathStockKind;

pub(super) fn card(form: &mut Form<'_>, sheath: &Sheath, own: &LeatherSheath) {
    let with = |leather: LeatherSheath| with(sheath, leather);
    form.heading("Leather");
    thickness(form, sheath, "Leather", SheathStockKind::Leather);
    form.heading("Welt and stitches");
    let caption = ("Welt width", "From its inner edge to the rim.");
    form.length(caption, own.welt_width_mm)
        .edit(|welt_width_mm| with(LeatherSheath { welt_width_mm, ..*own }));
    let caption = (
        "Welt thickness",
        "Of the whole welt. Leave it empty for as many layers of leather as come nearest to the \
         stock.",
    );
    form.optional_length(caption, own.welt_thickness_mm)
        .edit(|welt_thickness_mm| with(LeatherSheath { welt_thickness_mm, ..*own }));
    if let Some(mm) = stock(form, "Punch or wheel", SheathStockKind::Pitch, own.stitch_pitch_mm) {
        form.actions.edit(with(LeatherSheath { stitch_pitch_mm: mm, ..*own }));
    }
    let caption =
        ("Stitch", "From hole to hole; the row is divided evenly, as close to it as possible.");
    form.length(caption, own.stitch_pitch_mm)
        .edit(|stitch_pitch_mm| with(LeatherSheath { stitch_pitch_mm, ..*own }));
    let caption = ("Stitches from the rim", "From the rim to the row.");
    form.length(caption, own.stitch_margin_mm)
        .edit(|stitch_margin_mm| with(LeatherSheath { stitch_margin_mm, ..*own }));
    belt_loop(form, sheath, own);
}

fn belt_loop(form: &mut Form<'_>, sheath: &Sheath, own: &LeatherSheath) {
    let with_loop = |loop_for: Option<BeltLoop>| with(sheath, LeatherSheath { loop_for, ..*own });
    form.heading("Belt loop");
    let Some(belt) = own.loop_for else {
        let usual = BeltLoop::usual(form.context.unit());
        let caption = ("Add a belt loop", "A strip folded double, stitched to the back.");
        return form.edit_button(caption, with_loop(Some(usual)));
    };
    if let Some(belt_mm) = stock(form, "Belt", SheathStockKind::Belt, belt.belt_mm) {
        form.actions.edit(with_loop(Some(BeltLoop { belt_mm, ..belt })));
    }
    let caption = ("Belt width", "The belt it is for; room is added.");
    form.length(caption, belt.belt_mm)
        .edit(|belt_mm| with_loop(Some(BeltLoop { belt_mm, ..belt })));
    let caption = ("Loop width", "Of the strip, along the belt.");
    form.length(caption, belt.width_mm)
        .edit(|width_mm| with_loop(Some(BeltLoop { width_mm, ..belt })));
    form.edit_button(("Remove the belt loop", ""), with_loop(None));
}

fn with(sheath: &Sheath, leather: LeatherSheath) -> Edit {
    set(Sheath { body: SheathBody::Leather(leather), ..sheath.clone() })
}
