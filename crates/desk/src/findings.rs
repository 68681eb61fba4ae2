//! The findings along the bottom, as sentences; choosing one goes to the place.

use crate::Station;
use crate::canvas::Read;
use crate::command::{Commands, Wish};
use crate::session::{Aim, Session};
use crate::theme::{Palette, bold};
use egui::{
    Align, Color32, FontId, Layout, Pos2, RichText, ScrollArea, Sense, Shape, Stroke, Ui, pos2,
    vec2,
};
use reckon::{Finding, Severity};

/// The findings, the gravest first.
pub(crate) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let findings = &read.derived.reckoning.findings;
    if crate::draw::is_drawing(session, read.knife) {
        ui.horizontal(|ui| {
            sign(ui, Some(Severity::Note), read.palette);
            ui.label(RichText::new("Not closed yet.").font(bold(15.5)));
            let words = "The blank is checked as soon as its outline is closed.";
            ui.label(RichText::new(words).color(read.palette.weak));
        });
        return;
    }
    if findings.is_empty() {
        ui.horizontal(|ui| {
            sign(ui, None, read.palette);
            ui.label(RichText::new("No problems found.").font(bold(15.5)));
            ui.label(
                RichText::new("Print, then measure both rulers and the square before you cut.")
                    .color(read.palette.weak),
            );
        });
        return;
    }
    let words = findings.iter().map(|finding| wide(ui, &word(finding), bold(15.5)));
    let words = words.fold(0.0, f32::max).ceil();
    let rows = ScrollArea::vertical().auto_shrink([false, true]).id_salt("findings");
    rows.show(ui, |ui| {
        for (i, finding) in findings.iter().enumerate() {
            ui.push_id((i, finding.rule), |ui| row(ui, finding, words, read, session, out));
        }
    });
}

/// Its severity as a word.
fn word(finding: &Finding) -> String {
    crate::notices::sentence_start(finding.label())
}

/// How wide words are, points.
fn wide(ui: &Ui, words: &str, font: FontId) -> f32 {
    ui.painter().layout_no_wrap(words.to_owned(), font, Color32::PLACEHOLDER).size().x
}

/// Something in a column of this width.
fn column<T>(ui: &mut Ui, wide: f32, add: impl FnOnce(&mut Ui) -> T) -> T {
    ui.allocate_ui_with_layout(vec2(wide, 0.0), Layout::top_down(Align::Min), |ui| {
        ui.set_width(wide);
        add(ui)
    })
    .inner
}

/// Sign, word, sentence, buttons: each in its column, the buttons below where there is no room.
fn row(
    ui: &mut Ui,
    finding: &Finding,
    words: f32,
    read: &Read<'_>,
    session: &mut Session,
    out: &mut Commands,
) {
    let remedy = finding.remedy.as_ref().filter(|_| finding.set_aside.is_none());
    let remedies = remedy.map(|remedy| remedy.label.as_str());
    let buttons: f32 = [Some(crate::aside::words(finding)), remedies]
        .into_iter()
        .flatten()
        .map(|words| {
            let font = FontId::proportional(15.5);
            wide(ui, words, font)
                + 2.0 * ui.spacing().button_padding.x
                + ui.spacing().item_spacing.x
        })
        .sum();
    let narrow = ui.available_width() - buttons < 480.0;
    let mut act = |ui: &mut Ui, session: &mut Session| {
        if let Some(remedy) = remedy
            && ui.button(&remedy.label).clicked()
        {
            out.push(Wish::Edit(vec![remedy.edit.clone()]));
        }
        crate::aside::button(ui, finding, session, out);
    };
    ui.horizontal_top(|ui| {
        let severity = if finding.set_aside.is_some() { Severity::Note } else { finding.severity };
        sign(ui, Some(severity), read.palette);
        column(ui, words, |ui| {
            let colour = colour(severity, read.palette);
            ui.label(RichText::new(word(finding)).font(bold(15.5)).color(colour));
        });
        let beside = if narrow { 0.0 } else { buttons + 8.0 };
        let room = (ui.available_width() - beside).max(160.0);
        column(ui, room, |ui| sentence(ui, finding, session));
        if !narrow {
            act(ui, session);
        }
    });
    if narrow {
        ui.horizontal(|ui| {
            ui.add_space(18.0 + words + 2.0 * ui.spacing().item_spacing.x);
            act(ui, session);
        });
    }
}

/// A finding told where its cause is decided: sign and sentence alone.
pub(crate) fn told_here(ui: &mut Ui, finding: &Finding, palette: &Palette) {
    ui.horizontal_top(|ui| {
        let severity = if finding.set_aside.is_some() { Severity::Note } else { finding.severity };
        sign(ui, Some(severity), palette);
        ui.add(egui::Label::new(finding.message()).wrap());
    });
}

/// The sentence; a click on it goes to the place.
fn sentence(ui: &mut Ui, finding: &Finding, session: &mut Session) {
    let label = egui::Label::new(finding.message()).wrap().sense(Sense::click());
    let mut response = ui.add(label).on_hover_cursor(egui::CursorIcon::PointingHand);
    if !["", "geometry"].contains(&finding.limit_source) {
        response = response.on_hover_text(format!("The limit is {}.", finding.limit_source));
    }
    if response.clicked() {
        go_to(finding, session);
    }
}

/// Chooses what a finding is about and looks there.
fn go_to(finding: &Finding, session: &mut Session) {
    session.selection = finding.parts.iter().copied().collect();
    if let Some(part) = finding.parts.first()
        && !session.station.works_on(*part)
    {
        session.station = Station::of(*part);
    }
    if let Some(place) = finding.place {
        session.aim = Some(Aim::Place(place));
    }
}

fn colour(severity: Severity, palette: &Palette) -> Color32 {
    match severity {
        Severity::Stop => palette.stop,
        Severity::Care => palette.care,
        Severity::Note => palette.note,
    }
}

/// A small sign for a severity, told apart by its shape: an octagon to stop, a triangle to take
/// care, a disc to note, a tick for nothing.
fn sign(ui: &mut Ui, severity: Option<Severity>, palette: &Palette) {
    let (rect, _) = ui.allocate_exact_size(vec2(18.0, 20.0), Sense::hover());
    let c = rect.center();
    let around = |n: u8, turn: f32, r: f32| -> Vec<Pos2> {
        (0..n)
            .map(|i| {
                let a = std::f32::consts::TAU * (f32::from(i) + turn) / f32::from(n);
                c + vec2(a.sin(), -a.cos()) * r
            })
            .collect()
    };
    let painter = ui.painter();
    match severity {
        Some(Severity::Stop) => {
            painter.add(Shape::convex_polygon(around(8, 0.5, 8.0), palette.stop, Stroke::NONE));
            let bar = Stroke::new(2.0, palette.card);
            painter.line_segment([c - vec2(4.0, 0.0), c + vec2(4.0, 0.0)], bar);
        }
        Some(Severity::Care) => {
            painter.add(Shape::convex_polygon(around(3, 0.0, 9.0), palette.care, Stroke::NONE));
            painter.line_segment(
                [c - vec2(0.0, 4.0), c + vec2(0.0, 1.0)],
                Stroke::new(2.0, palette.card),
            );
            painter.circle_filled(pos2(c.x, c.y + 3.0), 1.1, palette.card);
        }
        Some(Severity::Note) => {
            painter.circle_stroke(c, 6.5, Stroke::new(1.8, palette.note));
            painter.circle_filled(c, 2.0, palette.note);
        }
        None => {
            let tick = vec![c + vec2(-6.0, 0.0), c + vec2(-2.0, 5.0), c + vec2(6.0, -5.0)];
            painter.add(Shape::line(tick, Stroke::new(2.2, palette.note)));
        }
    }
}
