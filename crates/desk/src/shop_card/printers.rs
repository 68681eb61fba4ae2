//! The shop card's page for papers and printers.

use super::{Card, remove};
use crate::stations::{heading, quiet, ticked};
use egui::Ui;
use reckon::shop::Printer;
use reckon::tables::Tables;

pub(super) fn page(ui: &mut Ui, card: &mut Card<'_>) {
    heading(ui, "Name", card.palette());
    let words = ("Shop's name", "Stands as the author in every PDF; may be empty.");
    let (palette, name) = (card.read.palette, card.shop.name.clone());
    if let Some(name) = card.drafts.words(ui, palette, words, &name) {
        card.shop.name = name;
    }
    heading(ui, "Paper on hand", card.palette());
    ui.horizontal_wrapped(|ui| {
        ticked(ui, card.palette());
        for paper in Tables::built_in().papers() {
            let mut has = card.shop.papers.contains(&paper.name);
            let words = crate::notices::capitalised(paper.name.clone());
            if ui.checkbox(&mut has, words.trim_end_matches('.')).changed() {
                card.shop.papers.retain(|name| *name != paper.name);
                card.shop.papers.extend(has.then(|| paper.name.clone()));
            }
        }
    });
    heading(ui, "Printers", card.palette());
    let mut gone = None;
    for (i, printer) in card.shop.printers.iter().enumerate() {
        let trim = match &printer.trim {
            None => "no trim measured".to_owned(),
            Some(trim) => format!("trim {trim}"),
        };
        ui.horizontal(|ui| {
            ui.label(&printer.name);
            quiet(ui, &trim, card.read.palette);
            if remove(ui, &printer.name) {
                gone = Some(i);
            }
        });
    }
    if let Some(i) = gone {
        card.shop.printers.remove(i);
    }
    let words = ("New printer", "A name for it, as --trim will name it.");
    let palette = card.read.palette;
    if let Some(name) = card.drafts.words(ui, palette, words, "")
        && !name.is_empty()
        && card.shop.printers.iter().all(|printer| printer.name != name)
    {
        card.shop.printers.push(Printer { name, trim: None });
    }
}
