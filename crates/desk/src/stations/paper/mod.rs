//! Paper: the pages as they will print.

mod arranging;
mod printer;

use super::{button, heading, notes, quiet, tick};
use crate::canvas::{self, Camera, Read, View, paint};
use crate::command::{Command, Commands, Wish};
use crate::field::Field;
use crate::session::Session;
use egui::{ComboBox, Rect, RichText, Ui};
use paper::{Page, PageSetup, Paper};
pub use printer::Proofed;
pub(crate) use printer::proof_pdf;
use reckon::Shop;
use reckon::shop::Printer;
use sheets::{PrintRequest, printer_trim, printing};

/// Between two pages, mm.
const APART_MM: f64 = 14.0;

/// What is to be printed, and on what: the paper chosen, or the usual one.
pub(crate) fn wanted(session: &Session, unit: units::LengthUnit, shop: &Shop) -> PrintRequest {
    let usual = || printing::default_paper(unit).to_owned();
    PrintRequest {
        paper: session.paper.clone().unwrap_or_else(usual),
        margin_mm: session.margin_mm,
        printer: printer(session, shop).map(|printer| printer.name.clone()),
        excluded: session.left_out.clone(),
        sharing: session.sharing.clone(),
        date: session.date.clone(),
    }
}

/// The printer whose trim is used: none that the shop has no trim for.
fn printer<'a>(session: &Session, shop: &'a Shop) -> Option<&'a Printer> {
    let name = session.printer.as_deref()?;
    printer_trim::find_printer(shop, name).filter(|printer| printer.trim.is_some())
}

/// How the paper that is chosen is printed on, without a trim; `None` where it can't be.
fn setup(read: &Read<'_>, session: &Session) -> Option<PageSetup> {
    let wanted = wanted(session, read.knife.unit, read.derived.shop());
    printing::setup_for("", &PrintRequest { printer: None, ..wanted }, read.derived.shop()).ok()
}

pub(super) fn card(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    heading(ui, "Paper", p);
    let now = wanted(session, read.knife.unit, read.derived.shop()).paper;
    let papers = Paper::all().unwrap_or_default();
    ui.horizontal(|ui| {
        let label = ui.label("Paper size").on_hover_text("What lies in the printer.");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let title = |name: &str| {
                Paper::parse(name).map_or_else(|_| name.to_owned(), |paper| paper.title())
            };
            let combo = ComboBox::from_id_salt("paper").selected_text(title(&now)).width(120.0);
            let shown = combo.show_ui(ui, |ui| {
                for paper in &papers {
                    if ui.selectable_label(paper.name == now, paper.title()).clicked() {
                        session.paper = Some(paper.name.clone());
                        session.aim = Some(crate::session::Aim::Fit);
                    }
                }
            });
            shown.response.labelled_by(label.id);
        });
    });
    size(ui, read, session, &now);
    printer::trim(ui, read, session, out);
    date(ui, read, session, out);
    sheets(ui, read, session);
    arranging::list(ui, read, session);
    ui.add_space(8.0);
    let ready = matches!(read.derived.pages(), Some(Ok(laid)) if !laid.pages.is_empty());
    button(ui, Command::Print, ready, out);
    button(ui, Command::OpenPdf, session.printed.is_some(), out);
    ui.add_space(4.0);
    quiet(
        ui,
        "Print at actual size (100 %). Measure both rulers and the square on the page before you \
         trust it.",
        p,
    );
    match read.derived.pages() {
        Some(Ok(laid)) if laid.pages.is_empty() => quiet(ui, "No sheet is chosen.", p),
        Some(Ok(laid)) => {
            let pages = &laid.pages;
            heading(ui, if pages.len() == 1 { "One page" } else { "Pages" }, p);
            for page in pages {
                ui.label(format!("{}  {}", page.number, page.name));
                if page.turn_deg != 0.0 {
                    quiet(
                        ui,
                        &format!("Turned by {} to fit.", units::show_angle(page.turn_deg.abs(), 1)),
                        p,
                    );
                }
            }
        }
        Some(Err(why)) => {
            ui.label(RichText::new(why.to_string()).color(p.stop));
        }
        None => {}
    }
    notes(ui, read, out);
}

/// A size that the list doesn't have, and the border left white.
fn size(ui: &mut Ui, read: &Read<'_>, session: &mut Session, now: &str) {
    let (p, unit) = (read.palette, read.knife.unit);
    let value = if Paper::named(now).is_ok() { String::new() } else { now.to_owned() };
    let about = "Two sides, such as 300x600mm or 12x18in, or a roll, such as roll:610mm or \
                 roll:24in: each sheet is cut off it as long as it must be. Emptied, it is the \
                 usual paper. On the command line: --paper.";
    let field = Field { name: "Custom size", about, value, width: 104.0 };
    let typed = session.drafts.field(ui, p, field, |text| match text.trim() {
        "" => Ok(None),
        text => Paper::parse(text).map(|paper| Some(paper.name)).map_err(|why| why.to_string()),
    });
    if let Some(paper) = typed {
        session.paper = paper;
        session.aim = Some(crate::session::Aim::Fit);
    }
    let Ok(usual) = printing::setup("", printing::default_paper(unit), None) else { return };
    let told = units::write_length(usual.margin_mm, unit);
    let about = format!(
        "The border in which nothing is printed. Emptied, it is the usual {told}. On the command \
         line: --margin."
    );
    let margin_mm = session.margin_mm.unwrap_or(usual.margin_mm);
    let value = units::write_length(margin_mm, unit);
    let field = Field { name: "Margin", about: &about, value, width: 104.0 };
    let typed = session.drafts.field(ui, p, field, |text| {
        if text.trim().is_empty() {
            return Ok(None);
        }
        let mm = units::parse_length(text, unit).map_err(|why| why.to_string())?.to_mm();
        usual.clone().with_margin_mm(mm).map_err(|why| why.to_string())?;
        Ok(Some(mm))
    });
    if let Some(mm) = typed {
        session.margin_mm = mm;
        session.aim = Some(crate::session::Aim::Fit);
    }
}

/// The date on every sheet: none until one is typed or taken from the clock.
fn date(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let now = session.date.clone().unwrap_or_default();
    let about = "Printed on every sheet; without one none is printed. On the command line: --date.";
    let field = Field { name: "Date", about, value: now, width: 240.0 };
    let typed = session.drafts.field(ui, read.palette, field, |text| {
        sheets::check_date(text).map(|()| text.trim().to_owned()).map_err(|why| why.to_string())
    });
    if let Some(typed) = typed {
        session.date = Some(typed).filter(|date| !date.is_empty());
    }
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
        let about = "Puts today's date there, by this computer's clock and time zone.";
        if ui.button("Today").on_hover_text(about).clicked() {
            out.push(Wish::Today);
        }
        if session.date.is_some() && ui.button("No date").clicked() {
            session.date = None;
        }
    });
}

/// Which sheets are printed.
fn sheets(ui: &mut Ui, read: &Read<'_>, session: &mut Session) {
    heading(ui, "Sheets", read.palette);
    for (key, title) in &read.derived.sheets {
        let mut is = !session.left_out.contains(*key);
        let about = format!("On the command line: --sheets {key}.");
        if tick(ui, &mut is, title, &about, read.palette) {
            if is {
                session.left_out.remove(*key);
            } else {
                session.left_out.insert((*key).to_owned());
            }
            session.aim = Some(crate::session::Aim::Fit);
        }
    }
}

/// The pages side by side, where the canvas lies at the other stations.
pub(crate) fn pages_ui(ui: &mut Ui, read: &Read<'_>, session: &mut Session) {
    let rect = ui.available_rect_before_wrap();
    let empty = Vec::new();
    let pages = match read.derived.pages() {
        Some(Ok(laid)) => &laid.pages,
        _ => &empty,
    };
    let (places, gap_mm) = spread(pages, rect);
    let mut bounds = around(&places);
    // Room for the names over the topmost.
    bounds.y1 += gap_mm;
    // Other pages, or in other rows, are looked at anew.
    if session.paper_bounds.replace(bounds) != Some(bounds) {
        session.paper_camera = None;
    }
    let fitted = Camera::fitting(bounds, rect);
    let mut view = View { rect, camera: session.paper_camera.unwrap_or(fitted) };
    canvas::look(&mut view, fitted, read.settings, session, ui.ctx().pixels_per_point());
    let ground = canvas::ground(ui, rect, "Pages");
    view.camera = canvas::steer(ui, &ground, view, session);
    if ground.dragged_by(egui::PointerButton::Primary) && !session.panning {
        view.camera = view.panned(ground.drag_delta());
    }
    session.paper_camera = Some(view.camera);
    let p = read.palette;
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, p.bench);
    for (page, place) in pages.iter().zip(&places) {
        let sheet = view.ui_rect(*place);
        let shadow =
            egui::epaint::Shadow { offset: [0, 4], blur: 18, spread: 0, color: p.paper_shade };
        painter.add(shadow.as_shape(sheet, 0.0));
        painter.rect_filled(sheet, 0.0, p.paper);
        let off = place.origin().to_vec2();
        let camera = Camera { centre: view.camera.centre - off, ..view.camera };
        let page_view = View { camera, ..view };
        let inside = painter.with_clip_rect(sheet.intersect(rect));
        paint::drawing(&inside, &page_view, &page.drawing, |item| {
            Some(p.on_paper(item.pen, view.points(1.0)))
        });
        let response = ui.interact(
            sheet.intersect(rect),
            ui.make_persistent_id(("page", page.number)),
            egui::Sense::hover(),
        );
        response.widget_info(|| {
            egui::WidgetInfo::labeled(
                egui::Role::Image,
                true,
                format!("Page {}, {}", page.number, page.name),
            )
        });
    }
    let lying = pages.iter().zip(&places);
    let lying = lying.map(|(page, place)| arranging::Lying { key: page.key, place: *place });
    arranging::names(ui, read, session, &view, &lying.collect::<Vec<_>>());
    ui.advance_cursor_after_rect(rect);
}

/// Where each page lies, mm: in rows, as many side by side as shows them largest; and how far
/// below each other, so that the names of the sheets go between.
fn spread(pages: &[Page], room: Rect) -> (Vec<kurbo::Rect>, f64) {
    let shown = |places: &[kurbo::Rect]| Camera::fitting(around(places), room).points_per_mm;
    let apart = |across: usize| {
        // The wider apart the smaller they are shown, so once more.
        let mut gap_mm = APART_MM;
        for _ in 0..2 {
            let name_mm = f64::from(arranging::NAME_HIGH) / shown(&rows(pages, across, gap_mm));
            gap_mm = name_mm.max(APART_MM);
        }
        (rows(pages, across, gap_mm), gap_mm)
    };
    (1..=pages.len())
        .map(apart)
        .max_by(|a, b| shown(&a.0).total_cmp(&shown(&b.0)))
        .unwrap_or_default()
}

/// Pages in rows of so many, from the top, mm.
fn rows(pages: &[Page], across: usize, gap_mm: f64) -> Vec<kurbo::Rect> {
    let mut places = Vec::with_capacity(pages.len());
    let mut top = 0.0;
    for row in pages.chunks(across) {
        let (mut x, mut low): (f64, f64) = (0.0, top);
        for page in row {
            let place = kurbo::Rect::new(x, top - page.size_mm.height, x + page.size_mm.width, top);
            x = place.x1 + APART_MM;
            low = low.min(place.y0);
            places.push(place);
        }
        top = low - gap_mm;
    }
    places
}

/// The box around all of them.
fn around(places: &[kurbo::Rect]) -> kurbo::Rect {
    places.iter().copied().reduce(|a, b| a.union(b)).unwrap_or_default()
}
