//! Sections of the blade, lying with the edge to the left: enlarged, with its thickness behind
//! the edge, and at true size.

use super::stations::{self, Station};
use super::{BladeView, LETTER_MM};
use crate::views::callout::{keep_within, spread};
use kurbo::{Affine, BezPath, Line, PathEl, Point, Shape};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};
use reckon::Section;
use units::LengthUnit;

/// Scales at which a section is drawn, the first that goes into the width.
const SCALES: [u32; 3] = [4, 3, 2];
/// So wide a section may become, mm.
const MAX_MM: f64 = 100.0;
/// Height of its letter, mm.
const TITLE_MM: f64 = 3.5;
/// Lines at which the thickness is told go so far past the face, mm.
const PAST_MM: f64 = 1.2;
/// The slanted piece of a leader, mm high.
const SLANT_MM: f64 = 4.0;
/// The centre plane goes past the steel by so much, mm.
const CENTRE_MM: f64 = 2.0;
/// Distance between two hatching lines, mm (ISO 128-50 leaves it to the size of the area).
const HATCH_MM: f64 = 1.6;
/// White between the parts of a section's drawing, mm.
const WHITE_MM: f64 = 2.5;
/// White between two figures in a row, mm.
const APART_MM: f64 = 2.5;

pub(super) fn drawn(view: &BladeView<'_>) -> Vec<Drawing> {
    let stations = stations::all(view);
    stations.iter().enumerate().map(|(i, station)| one(view, station, i == 0)).collect()
}

/// One section; the first tells how to read them.
fn one(view: &BladeView<'_>, station: &Station, first: bool) -> Drawing {
    let mut drawing = Drawing::new();
    let section = &station.section;
    let fits = |scale: &u32| section.height_mm * f64::from(*scale) <= MAX_MM;
    let scale = SCALES.into_iter().find(fits).unwrap_or(1);
    let letter = station.letter;
    let unit = match view.knife.unit {
        LengthUnit::Inch => "inches",
        LengthUnit::Millimetre => "mm",
    };
    let title = format!("{letter}–{letter}   {scale} : 1   {unit}");
    let title = Label::new(title, Point::ORIGIN, TITLE_MM).bold();
    let beside = lettering::width_mm(&title.text, FontFace::Bold, TITLE_MM) + 3.0;
    drawing.text(Pen::Lettering, title);
    let words = Label::new(words(view, station), Point::new(beside, 0.0), LETTER_MM);
    drawing.text(Pen::Lettering, words);
    let facts = Label::new(facts(view, section), Point::new(0.0, -LETTER_MM - 2.2), LETTER_MM);
    drawing.text(Pen::Lettering, facts);
    let half_mm = section.stock_mm / 2.0 * f64::from(scale);
    let mut figures_y = -2.0 * (LETTER_MM + 2.2) - 0.8;
    if first {
        let how = format!("Above: thickness, {unit}. Below: how far behind the edge, {unit}.");
        drawing.text(Pen::Lettering, Label::new(how, Point::new(0.0, figures_y + 0.8), LETTER_MM));
        figures_y -= LETTER_MM + 2.2;
    }
    let middle = figures_y - SLANT_MM - PAST_MM - half_mm;
    let at = Placed { view, section, scale: f64::from(scale), middle };
    at.faces(&mut drawing);
    at.figures(&mut drawing, figures_y);
    let true_half = section.stock_mm / 2.0;
    let below = middle - half_mm - PAST_MM - SLANT_MM - LETTER_MM - WHITE_MM - true_half;
    let at = Placed { view, section, scale: 1.0, middle: below };
    at.faces(&mut drawing);
    let beside = Point::new(section.height_mm + CENTRE_MM + 2.0, below);
    let label = Label::new("1 : 1", beside, LETTER_MM).anchored(HAlign::Start, VAlign::Middle);
    drawing.text(Pen::Lettering, label);
    drawing
}

/// Where it is cut: "ahead of the plunge, x 88.0 from the tip".
fn words(view: &BladeView<'_>, station: &Station) -> String {
    let origin = &view.reckoning.origin;
    let x = view.fine(origin.to_local_x(station.section.x_mm));
    format!("{}, x {x} {}", station.label, origin.from_phrase())
}

fn facts(view: &BladeView<'_>, section: &Section) -> String {
    let Some(bevel) = &section.bevel else { return String::new() };
    let face = match view.ground_face() {
        Some(face) => format!("{face} face alone"),
        None => "per side".to_owned(),
    };
    format!(
        "{} {face}; face {} high; stock {}",
        units::show_angle(bevel.angle_deg, 2),
        view.fine(bevel.face_mm),
        view.fine(section.stock_mm)
    )
}

/// A section lying on the sheet.
struct Placed<'a> {
    view: &'a BladeView<'a>,
    section: &'a Section,
    scale: f64,
    /// Where its centre plane lies.
    middle: f64,
}

impl Placed<'_> {
    /// From the edge's height and way towards the spine to x on the sheet.
    fn up_mm(&self, y_mm: f64) -> f64 {
        let spans = self.section.steel.iter().map(reckon::SectionSpan::span);
        let (low, high) =
            spans.fold((f64::MAX, f64::MIN), |(low, high), (a, b)| (low.min(a), high.max(b)));
        if self.view.profile.edge_is_up { high - y_mm } else { y_mm - low }
    }

    /// The left face upward.
    fn faces(&self, drawing: &mut Drawing) {
        let place = Affine::translate((0.0, self.middle)) * Affine::scale(self.scale);
        for stretch in &self.section.steel {
            let left = stretch.offsets.iter().map(|p| (self.up_mm(p.y_mm), p.left_mm));
            let right = stretch.offsets.iter().rev().map(|p| (self.up_mm(p.y_mm), -p.right_mm));
            let mut path = BezPath::new();
            for (i, at) in left.chain(right).enumerate() {
                if i == 0 { path.move_to(at) } else { path.line_to(at) }
            }
            path.close_path();
            let path = place * path;
            if self.scale > 1.0 {
                hatch(drawing, &path);
            }
            drawing.add(Pen::Section, Mark::Path(path));
        }
        let long = self.section.height_mm * self.scale;
        let centre = Line::new((-CENTRE_MM, self.middle), (long + CENTRE_MM, self.middle));
        drawing.add(Pen::Centre, centre.into());
    }

    /// The thickness at the edge and some ways behind it in a row above, these ways in a row
    /// below.
    fn figures(&self, drawing: &mut Drawing, row_y: f64) {
        let Some(bevel) = &self.section.bevel else { return };
        let mut message = vec![(0.0, self.view.figure(bevel.edge_mm))];
        let behind = bevel.behind.iter();
        message.extend(behind.map(|at| (at.up_mm, self.view.figure(at.thickness_mm))));
        let half = self.section.stock_mm / 2.0 * self.scale;
        let (upper, lower): (Vec<FigureLabel>, Vec<FigureLabel>) = message
            .into_iter()
            .map(|(up_mm, thick)| {
                let x = up_mm * self.scale;
                let (left, right) = self.face_offsets(up_mm);
                let above = FigureLabel { at: Point::new(x, self.middle + left), text: thick };
                let text = match self.view.knife.unit {
                    _ if up_mm == 0.0 => "edge".to_owned(),
                    LengthUnit::Inch => units::InchFraction::nearest(up_mm, 32).text(),
                    LengthUnit::Millimetre => up_mm.to_string(),
                };
                (above, FigureLabel { at: Point::new(x, self.middle - right), text })
            })
            .unzip();
        for (above, below) in upper.iter().zip(&lower) {
            drawing.line(Pen::Dimension, above.at, below.at);
        }
        let foot = self.middle - half - PAST_MM - SLANT_MM;
        row(drawing, &upper, (self.middle + half + PAST_MM, row_y), VAlign::Base);
        row(drawing, &lower, (self.middle - half - PAST_MM, foot), VAlign::Top);
    }

    /// Both faces' distances from the centre plane some way behind the edge, as drawn.
    fn face_offsets(&self, up_mm: f64) -> (f64, f64) {
        let high = self.section.height_mm;
        let inside = up_mm.max(1e-6).min((high - 1e-6).max(high / 2.0));
        let spans = self.section.steel.iter().map(reckon::SectionSpan::span);
        let y_mm = if self.view.profile.edge_is_up {
            spans.map(|span| span.1).fold(f64::MIN, f64::max) - inside
        } else {
            spans.map(|span| span.0).fold(f64::MAX, f64::min) + inside
        };
        let at = self.section.at(y_mm);
        at.map_or((0.0, 0.0), |at| (at.left_mm * self.scale, at.right_mm * self.scale))
    }
}

/// A figure and the place on a face that it tells of.
struct FigureLabel {
    at: Point,
    text: String,
}

/// Figures in a row, each led to its place: straight to `bend_y`, then aslant to `row_y`.
fn row(
    drawing: &mut Drawing,
    message: &[FigureLabel],
    (bend_y, row_y): (f64, f64),
    upright: VAlign,
) {
    let widths: Vec<f64> = message
        .iter()
        .map(|message| lettering::width_mm(&message.text, FontFace::Regular, LETTER_MM))
        .collect();
    let xs: Vec<f64> = message.iter().map(|message| message.at.x).collect();
    let mut middles = spread(&xs, &widths, APART_MM);
    keep_within(&mut middles, &widths, APART_MM, (0.0, f64::MAX));
    let near_y = row_y - (row_y - bend_y).signum() * 0.8;
    for (message, middle) in message.iter().zip(middles) {
        let mut leader = BezPath::new();
        leader.move_to(message.at);
        leader.line_to((message.at.x, bend_y));
        leader.line_to((middle, near_y));
        drawing.add(Pen::Dimension, Mark::Path(leader));
        let label = Label::new(message.text.as_str(), Point::new(middle, row_y), LETTER_MM);
        drawing.text(Pen::Dimension, label.anchored(HAlign::Middle, upright));
    }
}

/// Hatches a closed polygon with lines at 45°.
fn hatch(drawing: &mut Drawing, area: &BezPath) {
    let corners: Vec<Point> = area.elements().iter().filter_map(PathEl::end_point).collect();
    let bounds = area.bounding_box();
    let mut lines = BezPath::new();
    // Along a line x − y is the same.
    let pitch = HATCH_MM * std::f64::consts::SQRT_2;
    let mut at = bounds.x0 - bounds.y1 + pitch / 2.0;
    while at < bounds.x1 - bounds.y0 {
        let side = |p: Point| p.x - p.y - at;
        let mut hits: Vec<Point> = corners
            .iter()
            .zip(corners.iter().cycle().skip(1))
            .take(corners.len())
            .filter(|(a, b)| (side(**a) < 0.0) != (side(**b) < 0.0))
            .map(|(a, b)| a.lerp(*b, side(*a) / (side(*a) - side(*b))))
            .collect();
        hits.sort_by(|a, b| a.x.total_cmp(&b.x));
        for pair in hits.chunks_exact(2) {
            lines.move_to(pair[0]);
            lines.line_to(pair[1]);
        }
        at += pitch;
    }
    drawing.add(Pen::Frame, Mark::Path(lines));
}
