//! Cutting out, at the Bar station: the chain of holes along the outline and the saw cuts.

use super::drill;
use crate::command::Command;
use crate::widgets::Form;
use knife::{ChainDrilling, Edit};

pub(super) fn card(form: &mut Form<'_>, shown: bool) {
    let context = form.context;
    form.heading("Cutting out");
    let tooltip = "A row of holes just outside the outline, so that only thin bridges are left to \
                   saw. Shown on the bar.  (D)";
    form.command_tick(Command::Chain, shown, ("Chain drilling", tooltip));
    if !shown {
        return;
    }
    let cutting = context.knife.cutting();
    let set = |change: &dyn Fn(&mut ChainDrilling)| {
        let mut changed = cutting.clone();
        change(&mut changed);
        Edit::SetCutting(Some(changed))
    };
    let now = (cutting.drill_mm, cutting.drill.as_deref());
    if let Some((drill_mm, drill)) = drill::field(form, "Chain drill", now, 112.0, Ok) {
        form.actions.edit(Edit::SetCutting(Some(ChainDrilling {
            drill_mm,
            drill,
            ..cutting.clone()
        })));
    }
    let caption = ("Bridge", "Steel between one hole and the next.");
    form.length(caption, cutting.bridge_mm).edit(|mm| set(&|cutting| cutting.bridge_mm = mm));
    let caption = ("Left to file", "Steel between the holes and the outline.");
    form.length(caption, cutting.leave_mm).edit(|mm| set(&|cutting| cutting.leave_mm = mm));
    if let Some(chain) = &context.reckoning().chain {
        for sentence in chain.describe(context.unit()) {
            form.note(&sentence);
        }
    }
    form.readings("Chain drilling", &["Chain drill", "Bridge wanted", "Left to file"]);
}
