//! Paper: the pages as they will print.

mod arranging;
mod pages;
mod printer;

use crate::action::Action;
use crate::command::Command;
use crate::context::ViewContext;
use crate::state::{PrintState, ViewRequest};
use crate::widgets::{Field, Form, read_length, unless_empty};
use egui::{Align, Layout, RichText};
pub(crate) use pages::ui as pages_ui;
use paper::{PageSetup, Paper};
pub(crate) use printer::proof_pdf;
use reckon::tables::HandSize;
use sheets::{PrintRequest, printing};

/// How the paper that is chosen is printed on, without a correction; `None` where it can't be.
fn setup(context: &ViewContext<'_>, print: &PrintState) -> Option<PageSetup> {
    let request = print.request(context.unit(), context.shop());
    printing::setup_for("", &PrintRequest { printer: None, ..request }, context.shop()).ok()
}

/// `view` is where to look next.
pub(crate) fn card(form: &mut Form<'_>, print: &mut PrintState, view: &mut Option<ViewRequest>) {
    let context = form.context;
    form.heading("Paper");
    let now = print.request(context.unit(), context.shop()).paper;
    if pick_paper(form, print, &now) | size(form, print, &now) | margin(form, print) {
        *view = Some(ViewRequest::Fit);
    }
    printer::card(form, print);
    date(form, print);
    hand(form, print);
    if sheets(form, print) | arranging::list(form, print) {
        *view = Some(ViewRequest::Fit);
    }
    form.ui.add_space(8.0);
    let ready = matches!(context.derived.pages(), Some(Ok(layout)) if !layout.pages.is_empty());
    form.command(Command::Print, ready);
    form.command(Command::OpenPdf, print.printed.is_some());
    form.ui.add_space(4.0);
    form.note(
        "Print at actual size (100 %). Measure both rulers and the square on the page before you \
         trust it.",
    );
    match context.derived.pages() {
        Some(Ok(layout)) if layout.pages.is_empty() => form.note("No sheet is chosen."),
        Some(Ok(layout)) => {
            form.heading(if layout.pages.len() == 1 { "One page" } else { "Pages" });
            for page in &layout.pages {
                form.ui.label(format!("{}  {}", page.number, page.name));
                if page.turn_deg != 0.0 {
                    let turn = units::show_angle(page.turn_deg.abs(), 1);
                    form.note(&format!("Turned by {turn} to fit."));
                }
            }
        }
        Some(Err(why)) => {
            form.ui.label(RichText::new(why.to_string()).color(context.palette.stop));
        }
        None => {}
    }
    form.heading("Notes");
    let tooltip = "What whoever works from the sheets should know: heat, grit, fit. The beginning \
                   is printed on the profile sheet.";
    let (notes, max_chars) = (&context.knife.notes, knife::limits::NOTES_CHARS);
    form.long_text(("Notes", tooltip), notes, max_chars, knife::Edit::SetNotes);
}

/// The paper, from the list; whether another was chosen.
fn pick_paper(form: &mut Form<'_>, print: &mut PrintState, now: &str) -> bool {
    let papers = Paper::all().unwrap_or_default();
    let title = Paper::parse(now).map_or_else(|_| now.to_owned(), |paper| paper.title());
    let titles: Vec<String> = papers.iter().map(Paper::title).collect();
    let entries = papers
        .iter()
        .zip(&titles)
        .map(|(paper, title)| (title.as_str(), String::new(), paper.name == now));
    let caption = ("Paper size", "The paper in the printer.");
    let chosen = form.list(caption, &title, entries, 120.0).0;
    if let Some(chosen) = chosen {
        print.paper = Some(papers[chosen].name.clone());
    }
    chosen.is_some()
}

/// A size that the list doesn't have; whether one was typed.
fn size(form: &mut Form<'_>, print: &mut PrintState, now: &str) -> bool {
    let value = if Paper::named(now).is_ok() { "" } else { now };
    let tooltip = "Two sides, such as 300x600mm or 12x18in, or a roll, such as roll:610mm or \
                   roll:24in: each sheet is cut from it as long as needed. Leave it empty for the \
                   usual paper. On the command line: --paper.";
    let parse = |text: &str| {
        unless_empty(text, |text| Paper::parse(text.trim())).map(|paper| paper.map(|p| p.name))
    };
    let typed = form.field(Field::new(("Custom size", tooltip), value), parse).value;
    if let Some(paper) = typed.clone() {
        print.paper = paper;
    }
    typed.is_some()
}

/// The border left white; whether it was typed.
fn margin(form: &mut Form<'_>, print: &mut PrintState) -> bool {
    let context = form.context;
    let usual = printing::setup("", printing::default_paper(context.unit()), None);
    let Ok(usual) = usual else { return false };
    let tooltip = format!(
        "The border in which nothing is printed. Leave it empty for the usual {}. On the command \
         line: --margin.",
        context.typed_length(usual.margin_mm)
    );
    let value = context.typed_length(print.margin_mm.unwrap_or(usual.margin_mm));
    let typed = form
        .field(Field::new(("Margin", &tooltip), value), |text| {
            let mm = unless_empty(text, |text| read_length(text, context.unit()))?;
            if let Some(mm) = mm {
                usual.clone().with_margin_mm(mm).map_err(|why| why.to_string())?;
            }
            Ok(mm)
        })
        .value;
    if let Some(mm) = typed {
        print.margin_mm = mm;
    }
    typed.is_some()
}

/// The date on every sheet: none until one is typed or taken from the clock.
fn date(form: &mut Form<'_>, print: &mut PrintState) {
    let now = print.date.clone().unwrap_or_default();
    let tooltip = "Printed on every sheet; leave it empty for none. On the command line: --date.";
    let typed = form
        .field(Field::new(("Date", tooltip), now).width(240.0), |text| {
            sheets::check_date(text).map(|()| text.trim().to_owned()).map_err(|why| why.to_string())
        })
        .value;
    if let Some(typed) = typed {
        print.date = Some(typed).filter(|date| !date.is_empty());
    }
    form.ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
        let tooltip = "Puts today's date there, by this computer's clock and time zone.";
        if ui.button("Today").on_hover_text(tooltip).clicked() {
            form.actions.push(Action::InsertToday);
        }
        if print.date.is_some() && ui.button("No date").clicked() {
            print.date = None;
        }
    });
}

/// The hand on the template, where there is a handle to hold.
fn hand(form: &mut Form<'_>, print: &mut PrintState) {
    if form.context.reckoning().scales.is_none() {
        return;
    }
    let tooltip = "A hand around the handle on the profile sheet, drawn lightly, to judge the \
                   room for fingers. On the command line: --hand.";
    let mut sizes = vec![(None, "none")];
    sizes.extend(HandSize::ALL.map(|size| (Some(size), size.label())));
    if let Some(size) = form.choice(("Hand", tooltip), &sizes, print.hand).value {
        print.hand = size;
    }
}

/// Which sheets are printed; whether that changed.
fn sheets(form: &mut Form<'_>, print: &mut PrintState) -> bool {
    form.heading("Sheets");
    let mut changed = false;
    for (key, title) in &form.context.derived.sheets {
        let mut printed = !print.left_out.contains(*key);
        let tooltip = format!("On the command line: --sheets {key}.");
        if form.tick(&mut printed, (title, &tooltip)) {
            changed = true;
            if printed {
                print.left_out.remove(*key);
            } else {
                print.left_out.insert((*key).to_owned());
            }
        }
    }
    changed
}
