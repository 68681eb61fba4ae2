//! The findings along the bottom, as sentences; clicking one goes to the place.

use crate::action::{Action, ActionQueue};
use crate::context::ViewContext;
use crate::state::{Acceptance, Dialog, Dialogs, FindingsState, Session, Station, ViewRequest};
use crate::theme::{Palette, bold};
use crate::widgets::text_width;
use egui::{
    Align, Color32, CursorIcon, FontId, Label, Layout, Pos2, RichText, ScrollArea, Sense, Shape,
    Stroke, Ui, pos2, vec2,
};
use knife::PartId;
use reckon::{Finding, Severity};

/// The findings, the gravest first.
pub(crate) fn ui(
    ui: &mut Ui,
    context: &ViewContext<'_>,
    session: &mut Session,
    actions: &mut ActionQueue,
) {
    let palette = context.palette;
    let findings = &context.reckoning().findings;
    if session.is_drawing(context.knife) {
        let text = "The blank is checked as soon as its outline is closed.";
        return summary(ui, Some(Severity::Note), "Not closed yet.", text, palette);
    }
    let behind = context.derived.is_behind();
    if findings.is_empty() && behind {
        let text = "The figures are being worked out.";
        return summary(ui, Some(Severity::Note), "Not checked yet.", text, palette);
    }
    if findings.is_empty() {
        let text = "Print, then measure both rulers and the square before you cut.";
        return summary(ui, None, "No problems found.", text, palette);
    }
    let widths = findings.iter().map(|finding| text_width(ui, word(finding), bold(15.5)));
    let width = widths.fold(0.0, f32::max).ceil();
    let rows = ScrollArea::vertical().auto_shrink(false).id_salt("findings");
    rows.show(ui, |ui| {
        // What mends an earlier state of the blank may harm this one.
        if behind {
            ui.disable();
        }
        for (i, finding) in findings.iter().enumerate() {
            let states = (&mut session.findings, &mut session.dialogs);
            let row = |ui: &mut Ui| row(ui, finding, width, palette, states, actions);
            if ui.push_id((i, finding.rule), row).inner {
                go_to(finding, session);
            }
        }
    });
}

/// What stands in place of findings.
fn summary(ui: &mut Ui, severity: Option<Severity>, title: &str, text: &str, palette: &Palette) {
    ui.horizontal(|ui| {
        sign(ui, severity, palette);
        ui.label(RichText::new(title).font(bold(15.5)));
        ui.label(RichText::new(text).color(palette.weak));
    });
}

/// Its severity as a word.
fn word(finding: &Finding) -> &'static str {
    match finding.severity {
        _ if finding.set_aside.is_some() => "Accepted",
        Severity::Stop => "Stop",
        Severity::Care => "Caution",
        Severity::Note => "Note",
    }
}

/// How grave it still is.
fn severity(finding: &Finding) -> Severity {
    if finding.set_aside.is_some() { Severity::Note } else { finding.severity }
}

/// Something in a column of this width.
fn column<T>(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui) -> T) -> T {
    ui.allocate_ui_with_layout(vec2(width, 0.0), Layout::top_down(Align::Min), |ui| {
        ui.set_width(width);
        add(ui)
    })
    .inner
}

/// Sign, word, short text, buttons: each in its column, the buttons below where there is no room;
/// the whole text below where it is asked for. Whether the text was clicked.
fn row(
    ui: &mut Ui,
    finding: &Finding,
    word_width: f32,
    palette: &Palette,
    (shown, dialogs): (&mut FindingsState, &mut Dialogs),
    actions: &mut ActionQueue,
) -> bool {
    let expanded = shown.is_expanded(finding);
    let remedy = finding.remedy.as_ref().filter(|_| finding.set_aside.is_none());
    let more = if expanded { "Less" } else { "More" };
    let labels = [remedy.map(|remedy| remedy.label.as_str()), Some(more)];
    let labels = labels.into_iter().chain([Some(accept_label(finding))]);
    let spacing = ui.spacing();
    let around = 2.0 * spacing.button_padding.x + spacing.item_spacing.x;
    let font = FontId::proportional(15.5);
    let width = |label| text_width(ui, label, font.clone()) + around;
    let buttons_width: f32 = labels.flatten().map(width).sum();
    let narrow = ui.available_width() - buttons_width < 420.0;
    let mut buttons = |ui: &mut Ui| {
        if let Some(remedy) = remedy
            && ui.button(&remedy.label).on_hover_text("Fixes it, as one step.").clicked()
        {
            actions.push(Action::Edit(remedy.edits.clone()));
        }
        if ui.button(more).on_hover_text("What is wrong, where, and what to do.").clicked() {
            shown.toggle(finding);
        }
        accept_button(ui, finding, dialogs, actions);
    };
    let row = ui.horizontal_top(|ui| {
        let severity = severity(finding);
        sign(ui, Some(severity), palette);
        column(ui, word_width, |ui| {
            let colour = colour(severity, palette);
            ui.label(RichText::new(word(finding)).font(bold(15.5)).color(colour));
        });
        let beside = if narrow { 0.0 } else { buttons_width + 8.0 };
        let room = (ui.available_width() - beside).max(160.0);
        let clicked = column(ui, room, |ui| short(ui, finding));
        if !narrow {
            buttons(ui);
        }
        clicked
    });
    let indent = 18.0 + word_width + 2.0 * ui.spacing().item_spacing.x;
    if narrow {
        ui.horizontal(|ui| {
            ui.add_space(indent);
            buttons(ui);
        });
    }
    if expanded {
        ui.horizontal_top(|ui| {
            ui.add_space(indent);
            column(ui, ui.available_width(), |ui| at_length(ui, finding, palette));
        });
    }
    row.inner
}

/// What the button that accepts a finding says.
fn accept_label(finding: &Finding) -> &'static str {
    if finding.set_aside.is_some() { "Stop accepting" } else { "Accept…" }
}

/// The button that accepts a finding, or stops accepting it.
fn accept_button(ui: &mut Ui, finding: &Finding, dialogs: &mut Dialogs, actions: &mut ActionQueue) {
    let accepted = finding.set_aside.is_some();
    let tooltip = if accepted {
        "It counts as a problem again."
    } else {
        "Give the reason why this is acceptable; it is kept in the blank and printed, but no longer stops."
    };
    if !ui.button(accept_label(finding)).on_hover_text(tooltip).clicked() {
        return;
    }
    if accepted {
        actions.edit(finding.restore_edit());
    } else {
        let acceptance = Acceptance { finding: finding.clone(), reason: String::new() };
        dialogs.open = Some(Dialog::Accept(Box::new(acceptance)));
    }
}

/// A finding shown where its cause is decided: sign and short text alone.
pub(crate) fn finding_row(ui: &mut Ui, finding: &Finding, palette: &Palette) {
    ui.horizontal_top(|ui| {
        sign(ui, Some(severity(finding)), palette);
        ui.add(Label::new(&finding.short).wrap()).on_hover_text(finding.message());
    });
}

/// The short text; whether it was clicked.
fn short(ui: &mut Ui, finding: &Finding) -> bool {
    let label = Label::new(&finding.short).wrap().sense(Sense::click());
    let response = ui.add(label).on_hover_cursor(CursorIcon::PointingHand);
    response.on_hover_text("Show the place.").clicked()
}

/// The whole text, and where its limit comes from.
fn at_length(ui: &mut Ui, finding: &Finding, palette: &Palette) {
    ui.add(Label::new(finding.message()).wrap());
    if !["", "geometry"].contains(&finding.limit_source) {
        let limit = format!("The limit is {}.", finding.limit_source);
        ui.add(Label::new(RichText::new(limit).small().color(palette.weak)).wrap());
    }
}

/// Selects what a finding is about, as far as it is worked on at one station, and looks there.
fn go_to(finding: &Finding, session: &mut Session) {
    if let Some(part) = finding.parts.first()
        && !session.station.works_on(*part)
    {
        session.station = Station::of(*part);
    }
    let station = session.station;
    // A place on the outline is marked; all of the outline needn't light up for it.
    let concerned = |part: &PartId| {
        station.works_on(*part) && !(*part == PartId::Profile && finding.place.is_some())
    };
    session.selection.parts = finding.parts.iter().copied().filter(concerned).collect();
    if let Some(place) = finding.place {
        session.view.request = Some(ViewRequest::CentreOn(place));
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
