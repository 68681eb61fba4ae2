//! The findings along the bottom, as sentences; choosing one goes to the place.

use crate::Station;
use crate::canvas::Read;
use crate::command::{Commands, Wish};
use crate::session::{Aim, Session};
use crate::theme::{Palette, bold};
use egui::{Color32, Pos2, RichText, ScrollArea, Sense, Shape, Stroke, Ui, pos2, vec2};
use reckon::{Finding, Severity};

/// The findings, the gravest first.
pub(crate) fn ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let findings = &read.derived.reckoning.findings;
    if findings.is_empty() {
        ui.horizontal(|ui| {
            sign(ui, None, read.palette);
            ui.label(RichText::new("Nothing to mind.").font(bold(15.5)));
            ui.label(
                RichText::new("Print, then measure both rulers and the square before you cut.")
                    .color(read.palette.weak),
            );
        });
        return;
    }
    let rows = ScrollArea::vertical().auto_shrink([false, true]).id_salt("findings");
    rows.show(ui, |ui| {
        for (i, finding) in findings.iter().enumerate() {
            ui.push_id((i, finding.rule), |ui| row(ui, finding, read, session, out));
        }
    });
}

fn row(ui: &mut Ui, finding: &Finding, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    ui.horizontal_top(|ui| {
        let severity = if finding.set_aside.is_some() { Severity::Note } else { finding.severity };
        sign(ui, Some(severity), read.palette);
        let word = crate::notices::capitalised(finding.word().to_owned());
        let word = word.trim_end_matches('.').to_owned();
        ui.label(RichText::new(word).font(bold(15.5)).color(colour(severity, read.palette)));
        let room = if finding.remedy.is_some() { 310.0 } else { 120.0 };
        ui.scope(|ui| {
            ui.set_max_width((ui.available_width() - room).max(160.0));
            let sentence = egui::Label::new(finding.told()).wrap().sense(Sense::click());
            let mut response = ui.add(sentence).on_hover_cursor(egui::CursorIcon::PointingHand);
            if !finding.limit_source.is_empty() {
                response =
                    response.on_hover_text(format!("The limit is {}.", finding.limit_source));
            }
            if response.clicked() {
                go_to(finding, read, session);
            }
        });
        if let Some(remedy) = finding.remedy.as_ref().filter(|_| finding.set_aside.is_none())
            && ui.button(&remedy.words).clicked()
        {
            out.push(Wish::Edit(vec![remedy.edit.clone()]));
        }
        crate::aside::button(ui, finding, session, out);
    });
}

/// Chooses what a finding is about and looks there.
fn go_to(finding: &Finding, read: &Read<'_>, session: &mut Session) {
    session.selection = finding.parts.iter().copied().collect();
    if let Some(part) = finding.parts.first()
        && !session.station.works_on(*part)
    {
        session.station = Station::of(*part);
    }
    if let Some(place) = finding.place {
        session.aim = Some(Aim::Place(read.knife.bar.placement.bar_from_knife() * place));
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
