//! The shop's page for papers and printers.

use super::{remove, retain};
use crate::text::capitalized;
use crate::widgets::Form;
use reckon::Shop;
use reckon::shop::Printer;
use reckon::tables::Tables;

pub(super) fn page(form: &mut Form<'_>, shop: &mut Shop) {
    let context = form.context;
    form.heading("Name");
    let caption = ("Shop's name", "Given as the author in every PDF; may be left empty.");
    if let Some(name) = form.text(caption, &shop.name).value {
        shop.name = name;
    }
    form.heading("Paper on hand");
    form.ui.horizontal_wrapped(|ui| {
        Form::outline_ticks(ui, context);
        for paper in Tables::built_in().papers() {
            let mut has = shop.papers.contains(&paper.name);
            if ui.checkbox(&mut has, capitalized(&paper.name)).changed() {
                shop.papers.retain(|name| *name != paper.name);
                shop.papers.extend(has.then(|| paper.name.clone()));
            }
        }
    });
    form.heading("Printers");
    retain(&mut shop.printers, |_, printer| {
        let trim = match &printer.trim {
            None => "no correction measured".to_owned(),
            Some(trim) => format!("correction {trim}"),
        };
        let Form { ui, state, actions, .. } = &mut *form;
        let row = ui.horizontal(|ui| {
            ui.label(&printer.name);
            Form { ui, context, state, actions }.note(&trim);
            !remove(ui, &printer.name)
        });
        row.inner
    });
    let caption = ("New printer", "The name to choose it by. On the command line: --trim.");
    if let Some(name) = form.text(caption, "").value
        && !name.is_empty()
        && shop.printers.iter().all(|printer| printer.name != name)
    {
        shop.printers.push(Printer { name, trim: None });
    }
}
