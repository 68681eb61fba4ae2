//! Filing by hand: how many facets, what each takes off, and the time by the maker's own hand.

use crate::theme::figures;
use crate::widgets::{Field, Form, figure_column, figure_row};
use egui::{Align, Grid, Layout, RichText, Ui};
use knife::limits::{FACETS, MINUTES};
use knife::{Edit, FiledAmount, Filing, FilingTrial};
use reckon::{DEFAULT_FACETS, FilingFigures};
use units::Mass;

/// For how long filing is timed to begin with, minutes: this program's choice.
const TIMED_MIN: f64 = 10.0;

pub(super) fn card(form: &mut Form<'_>) {
    let context = form.context;
    let stated = context.knife.filing.unwrap_or(Filing { facets: DEFAULT_FACETS, timing: None });
    let Some(filing) = &context.reckoning().filing else { return };
    let summary = match &filing.time {
        Some(time) => format!("{} left", minutes(time.left_min)),
        None if filing.facets.is_empty() => String::new(),
        None => format!("{} facets", filing.facets.len()),
    };
    let tooltip = "From 45° down to the bevel in facets that each remove the same amount.";
    if !form.section("Filing by hand", tooltip, &summary) {
        return;
    }
    if filing.facets.is_empty() {
        return form.note("Facets are for a flat bevel of less than 45° per side.");
    }
    let caption =
        ("Facets after the first", "The first stands at 45°; the last is the bevel itself.");
    let field = Field::new(caption, stated.facets.to_string()).width(60.0);
    form.field(field, read_count).edit(|facets| Edit::SetFiling(Some(Filing { facets, ..stated })));
    table(form, filing);
    timing(form, stated);
}

fn read_count(text: &str) -> Result<u32, String> {
    let count = text.trim().parse().ok().filter(|count| FACETS.contains(count));
    let (min, max) = (FACETS.start(), FACETS.end());
    count
        .ok_or_else(|| format!("\"{text}\" isn't a number of facets; type one from {min} to {max}"))
}

/// A facet a line.
fn table(form: &mut Form<'_>, filing: &FilingFigures) {
    let context = form.context;
    let mut heads = vec!["per side", "up to", "mm³"];
    // Where there is little room, what is the same for all but the first gives way.
    let shares = !form.is_narrow() || filing.time.is_none();
    heads.extend(shares.then_some("share"));
    heads.extend(filing.time.map(|_| "min"));
    Grid::new("facets").num_columns(heads.len()).spacing([10.0, 2.0]).show(form.ui, |ui| {
        for head in heads {
            cell(ui, RichText::new(head).size(13.0).color(context.palette.weak));
        }
        ui.end_row();
        for facet in &filing.facets {
            let mut cells = vec![
                units::show_angle(facet.angle_deg, 2),
                context.short(facet.height_mm),
                units::show_number(facet.volume_mm3, 0),
            ];
            let share = || format!("{} %", units::show_number(100.0 * facet.share, 1));
            cells.extend(shares.then(share));
            let min = |rate_mm3: f64| units::show_number(facet.volume_mm3 / rate_mm3, 0);
            cells.extend(filing.time.map(|time| min(time.rate_mm3)));
            for text in cells {
                cell(ui, RichText::new(text).font(figures(14.0)));
            }
            ui.end_row();
        }
    });
    form.note(
        "How far up from the edge each reaches at the plunge, what it takes off the whole \
         blade, all ground faces together, and its share of a section.",
    );
}

fn cell(ui: &mut Ui, text: RichText) {
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.label(text));
}

/// A piece of filing that the maker timed, and what follows from it.
fn timing(form: &mut Form<'_>, stated: Filing) {
    let min = stated.timing.map_or(form.state.filed_min.unwrap_or(TIMED_MIN), |t| t.minutes);
    let done = stated.timing.map(|timing| timing.done);
    let set =
        |timing: FilingTrial| Edit::SetFiling(Some(Filing { timing: Some(timing), ..stated }));
    form.ui.add_space(4.0);
    form.note(
        "No rate of filing is published, so the time comes from your own hand alone: file \
         one face for ten minutes, then type how far up it reaches or what the blank lost.",
    );
    let caption = ("Filed for", "One face, from the unfiled edge on, in minutes.");
    if let Some(min) = form.field(Field::new(caption, minutes(min)), read_minutes).value {
        form.state.filed_min = Some(min);
        if let Some(timing) = stated.timing {
            form.actions.edit(set(FilingTrial { minutes: min, ..timing }));
        }
    }
    let (height_mm, grams) = match done {
        Some(FiledAmount::Height(mm)) => (Some(mm), None),
        Some(FiledAmount::Grams(g)) => (None, Some(g)),
        None => (None, None),
    };
    let caption = ("Height reached", "How far up from the edge the filed face reaches.");
    form.length(caption, height_mm)
        .edit(|mm| set(FilingTrial { minutes: min, done: FiledAmount::Height(mm) }));
    let caption = ("Steel filed off", "How much lighter the blank is than before, by the scale.");
    let value = grams.map(|g| units::show_mass(Mass::grams(g))).unwrap_or_default();
    let parse = |text: &str| {
        let bare = text.trim().parse::<f64>().map(Mass::grams);
        bare.or_else(|_| units::parse_mass(text)).map(Mass::to_grams).map_err(|e| e.to_string())
    };
    form.field(Field::new(caption, value), parse)
        .edit(|g| set(FilingTrial { minutes: min, done: FiledAmount::Grams(g) }));
    let context = form.context;
    if let Some(time) = context.reckoning().filing.as_ref().and_then(|filing| filing.time) {
        figure_column(form.ui, |ui| {
            let rate = format!("{} mm³ a minute", units::show_number(time.rate_mm3, 0));
            for (label, value) in [
                ("By your hand", rate),
                ("All filing", minutes(time.whole_min)),
                ("Filing left", minutes(time.left_min)),
            ] {
                figure_row(ui, label, &value, 15.5, context.palette);
            }
        });
    }
    if stated.timing.is_some() {
        let edit = Edit::SetFiling(Some(Filing { timing: None, ..stated }));
        form.edit_button(("Discard the time", ""), edit);
    }
}

fn minutes(min: f64) -> String {
    let text = if min < 10.0 { units::show_number(min, 1) } else { units::show_number(min, 0) };
    format!("{} min", text.strip_suffix(".0").unwrap_or(&text))
}

/// Reads minutes: `10`, `7.5 min`.
fn read_minutes(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches(|c: char| c.is_alphabetic()).trim();
    let minutes = number.replace(',', ".").parse().ok().filter(|min| MINUTES.contains(min));
    let (min, max) = (MINUTES.start(), MINUTES.end());
    minutes.ok_or_else(|| format!("\"{text}\" isn't a time; type minutes from {min} to {max}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_and_facets_are_read_or_refused() {
        for (text, min) in [("10", 10.0), ("7.5 min", 7.5), ("12,5 minutes", 12.5)] {
            assert_eq!(read_minutes(text), Ok(min));
        }
        for text in ["", "0", "ten", "-3", "1e9"] {
            assert!(read_minutes(text).unwrap_err().contains("type minutes"), "{text}");
        }
        assert_eq!(read_count(" 6 "), Ok(6));
        for text in ["0", "25", "4.5", "x"] {
            assert!(read_count(text).unwrap_err().contains("from 1 to 24"), "{text}");
        }
        assert_eq!((minutes(9.96).as_str(), minutes(123.4).as_str()), ("10 min", "123 min"));
    }
}
