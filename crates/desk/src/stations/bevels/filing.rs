//! Filing by hand: how many facets, what each takes off, and the time by the maker's own hand.

use crate::canvas::{Read, hover};
use crate::command::Commands;
use crate::field::Field;
use crate::session::Session;
use crate::stations::readings::{column, row};
use crate::stations::{NARROW, fold, quiet};
use crate::theme::{Palette, figures};
use egui::{Align, Grid, Layout, RichText, Ui};
use knife::limits::{FACETS, MINUTES};
use knife::{Edit, FiledAmount, Filing, FilingTrial};
use reckon::{DEFAULT_FACETS, FilingFigures};
use units::Mass;

/// For how long filing is timed to begin with, minutes: this program's choice.
const TIMED_MIN: f64 = 10.0;

pub(super) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    let stated = read.knife.filing.unwrap_or(Filing { facets: DEFAULT_FACETS, timing: None });
    let Some(filing) = &read.derived.reckoning.filing else { return };
    let now = match &filing.time {
        Some(time) => format!("{} left", minutes(time.left_min)),
        None if filing.facets.is_empty() => String::new(),
        None => format!("{} facets", filing.facets.len()),
    };
    let about = "From 45° down to the bevel in facets that each take off as much.";
    if !fold(ui, "Filing by hand", about, &now, session, p) {
        return;
    }
    if filing.facets.is_empty() {
        quiet(ui, "Facets are for a flat bevel of less than 45° per side.", p);
        return;
    }
    let field = Field {
        name: "Facets after the first",
        about: "The first stands at 45°; the last is the bevel itself.",
        value: stated.facets.to_string(),
        width: 60.0,
    };
    if let Some(facets) = session.drafts.field(ui, p, field, read_count) {
        out.edit(Edit::SetFiling(Some(Filing { facets, ..stated })));
    }
    table(ui, read, filing);
    timed(ui, read, stated, session, out);
}

fn read_count(text: &str) -> Result<u32, String> {
    let count = text.trim().parse().ok().filter(|count| FACETS.contains(count));
    let (least, most) = (FACETS.start(), FACETS.end());
    count.ok_or_else(|| {
        format!("\"{text}\" isn't a number of facets; type one from {least} to {most}")
    })
}

/// A facet a line.
fn table(ui: &mut Ui, read: &Read<'_>, filing: &FilingFigures) {
    let p = read.palette;
    let mut heads = vec!["per side", "up to", "mm³"];
    // Where there is little room, what is the same for all but the first gives way.
    let shares = ui.available_width() >= NARROW || filing.time.is_none();
    heads.extend(shares.then_some("share"));
    heads.extend(filing.time.map(|_| "min"));
    Grid::new("facets").num_columns(heads.len()).spacing([10.0, 2.0]).show(ui, |ui| {
        for head in heads {
            cell(ui, RichText::new(head).size(13.0).color(p.weak));
        }
        ui.end_row();
        for facet in &filing.facets {
            let mut cells = vec![
                units::show_angle(facet.angle_deg, 2),
                hover::short(facet.height_mm, read.knife.unit),
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
    let about = "How far up from the edge each reaches at the plunge, what it takes off the whole \
                 blade, all ground faces together, and its share of a section.";
    quiet(ui, about, p);
}

fn cell(ui: &mut Ui, text: RichText) {
    ui.with_layout(Layout::right_to_left(Align::Center), |ui| ui.label(text));
}

/// A piece of filing that the maker timed, and what follows from it.
fn timed(ui: &mut Ui, read: &Read<'_>, stated: Filing, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let min = stated.timing.map_or(session.filed_min.unwrap_or(TIMED_MIN), |t| t.minutes);
    let done = stated.timing.map(|timing| timing.done);
    let set =
        |timing: FilingTrial| Edit::SetFiling(Some(Filing { timing: Some(timing), ..stated }));
    ui.add_space(4.0);
    let words = "No rate of filing is published, so the time comes from your own hand alone: file \
                 one face for ten minutes, then type how far up it reaches or what the blank lost.";
    quiet(ui, words, p);
    let field = Field {
        name: "Filed for",
        about: "One face, from the unfiled edge on, in minutes.",
        value: minutes(min),
        width: 104.0,
    };
    if let Some(min) = session.drafts.field(ui, p, field, read_minutes) {
        session.filed_min = Some(min);
        out.edit_if(stated.timing.map(|timing| set(FilingTrial { minutes: min, ..timing })));
    }
    let field = ("Height reached", "How far up from the edge the filed face reaches.");
    let typed = match done {
        Some(FiledAmount::Height(mm)) => session.drafts.length(ui, p, field, mm, unit),
        _ => session.drafts.new_length(ui, p, field, unit),
    };
    out.edit_if(typed.map(|mm| set(FilingTrial { minutes: min, done: FiledAmount::Height(mm) })));
    let value = match done {
        Some(FiledAmount::Grams(g)) => units::show_mass(Mass::grams(g)),
        _ => String::new(),
    };
    let about = "What the blank weighs less than before, by the balance.";
    let field = Field { name: "Steel filed off", about, value, width: 104.0 };
    let typed = session.drafts.field(ui, p, field, |text| {
        let bare = text.trim().parse::<f64>().map(Mass::grams);
        bare.or_else(|_| units::parse_mass(text)).map(Mass::to_grams).map_err(|e| e.to_string())
    });
    out.edit_if(typed.map(|g| set(FilingTrial { minutes: min, done: FiledAmount::Grams(g) })));
    told(ui, read, p);
    if stated.timing.is_some() && ui.button("Forget the time").clicked() {
        out.edit(Edit::SetFiling(Some(Filing { timing: None, ..stated })));
    }
}

fn told(ui: &mut Ui, read: &Read<'_>, p: &Palette) {
    let Some(time) = read.derived.reckoning.filing.as_ref().and_then(|f| f.time) else { return };
    column(ui, |ui| {
        let rate = format!("{} mm³ a minute", units::show_number(time.rate_mm3, 0));
        row(ui, "By your hand", &rate, 15.5, p);
        row(ui, "All the filing", &minutes(time.whole_min), 15.5, p);
        row(ui, "Filing left", &minutes(time.left_min), 15.5, p);
    });
}

fn minutes(min: f64) -> String {
    let text = if min < 10.0 { units::show_number(min, 1) } else { units::show_number(min, 0) };
    format!("{} min", text.strip_suffix(".0").unwrap_or(&text))
}

/// Reads minutes: `10`, `7.5 min`.
fn read_minutes(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches(|c: char| c.is_alphabetic()).trim();
    let min = number.replace(',', ".").parse().ok().filter(|min| MINUTES.contains(min));
    let (least, most) = (MINUTES.start(), MINUTES.end());
    min.ok_or_else(|| format!("\"{text}\" isn't a time; type minutes from {least} to {most}"))
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
