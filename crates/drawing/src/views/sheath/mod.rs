//! The `sheath` sheet: the main piece opened flat at true size with its row to punch, its fold and
//! what is glued; beside it the second side, the welt and the belt loop.

mod notes;
mod pieces;
#[cfg(test)]
mod tests;

pub use notes::sheath_notes;

use super::Callout;
use super::callout::callouts_within;
use crate::MarkPart as _;
use knife::{Knife, PartId};
use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign};
use pieces::Lay;
use reckon::{Reckoning, SheathFigures};

/// Height of the sheet's lettering, mm.
const LETTER_MM: f64 = 2.5;
/// A stitch is shown as a circle so wide, mm: an awl finds its middle.
const STITCH_MM: f64 = 0.8;
/// From a piece to the row of names below it, mm.
const ROW_MM: f64 = 7.0;

/// Whether there is a sheath to draw.
pub fn has_sheath(reckoning: &Reckoning) -> bool {
    matches!(reckoning.sheath, Some(Ok(_)))
}

/// The main piece, outside up: below the fold the side that is the knife's left, above it the
/// other; where nothing is folded, the knife's left side.
pub fn sheath_sheet(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let Some(Ok(figures)) = &reckoning.sheath else { return Drawing::new() };
    let view = SheathView { knife, reckoning, figures };
    let mut drawing = view.main_piece(Lay::Front);
    drawing.extend(view.names());
    drawing
}

/// What stands beside it, each to be kept whole: second side, welt, belt loop.
pub fn sheath_inserts(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let Some(Ok(figures)) = &reckoning.sheath else { return Vec::new() };
    let view = SheathView { knife, reckoning, figures };
    let second = (!figures.stated.folded).then(|| view.main_piece(Lay::Back));
    second.into_iter().chain(view.welt()).chain(view.belt_loop()).collect()
}

/// The closed sheath over the knife, in the knife's plane.
pub fn sheath_on_knife(reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(Ok(figures)) = &reckoning.sheath else { return drawing };
    let back = figures.lay.inverse();
    let mut run = |pen, points: &[Point]| {
        drawing.add_part(pen, Mark::Path(back * path(points, false)), PartId::Sheath);
    };
    let ring = figures.closed();
    run(Pen::Cut, &[&ring[..], &ring[..1]].concat());
    run(Pen::Guide, &figures.inner);
    if let (true, Some(tip_end)) = (figures.stated.folded, figures.rim.first()) {
        run(Pen::Centre, &[*tip_end, Point::new(figures.mouth_mm, 0.0)]);
    }
    let diameter = figures.stated.formed().map_or(STITCH_MM, |formed| formed.eyelet_mm);
    for hole in &figures.row.holes {
        let circle = Circle::new(back * *hole, diameter / 2.0);
        drawing.add_part(Pen::Hole, Mark::Circle(circle), PartId::Sheath);
    }
    if let (Some(at), Some(mm)) = (figures.drain, figures.stated.drain_mm) {
        let circle = Circle::new(back * at, mm / 2.0);
        drawing.add_part(Pen::Hole, Mark::Circle(circle), PartId::Sheath);
    }
    if let Some(own) = &figures.belt_loop {
        let tab = Mark::Path(back * own.tab.to_path(0.01));
        drawing.add_part(Pen::Scale, tab, PartId::Sheath);
    }
    drawing
}

/// What the sheet shows.
struct SheathView<'a> {
    knife: &'a Knife,
    reckoning: &'a Reckoning,
    figures: &'a SheathFigures,
}

impl SheathView<'_> {
    /// Names of the lines, in a row below the main piece.
    fn names(&self) -> Drawing {
        let figures = self.figures;
        let bounds = figures.body.outline.bounds();
        let row = &figures.row;
        let low = |share: f64| {
            let i = ((row.holes.len() - 1) as f64 * share).round();
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "in it")]
            let i = i as usize;
            figures.on_front(row.holes[i])
        };
        let fine = |mm: f64| units::show_decimal(mm, self.knife.unit, (2, 3));
        let mut names = Vec::new();
        let mut name = |at: Point, text: String| {
            names.push(Callout { at, text, part: Some(PartId::Sheath) });
        };
        let what = if figures.thread_mm.is_some() {
            format!("{} stitches of {}", row.steps, fine(row.pitch_mm))
        } else {
            format!("{} eyelets, {} apart", row.holes.len(), fine(row.pitch_mm))
        };
        name(low(0.6), what);
        let front: Vec<Point> = figures.body.glue.first().cloned().unwrap_or_default();
        let lowest = |from: f64, to: f64| {
            let span = bounds.width();
            let within = front
                .iter()
                .filter(|p| (bounds.x0 + from * span..=bounds.x0 + to * span).contains(&p.x));
            within.copied().min_by(|a, b| a.y.total_cmp(&b.y))
        };
        if let Some(at) = lowest(0.3, 0.5) {
            let glue =
                if figures.welt.is_some() { "glue outside this line" } else { "formed up to here" };
            name(at, glue.to_owned());
        }
        if let (Some(at), Some(mm)) = (figures.drain, figures.stated.drain_mm) {
            name(figures.on_front(at), format!("drain Ø {}", fine(mm)));
        }
        if let Some([a, b]) = row.clip {
            let middle = figures.on_front(row.holes[a]).midpoint(figures.on_front(row.holes[b]));
            let mm = row.holes[a].distance(row.holes[b]);
            name(middle, format!("clip: last two holes, {} apart", fine(mm)));
        }
        callouts_within(names, bounds.y0 - ROW_MM, (bounds.x0, bounds.x1))
    }
}

/// A run of points as a path.
pub(super) fn path(points: &[Point], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (i, p) in points.iter().enumerate() {
        if i == 0 { path.move_to(*p) } else { path.line_to(*p) }
    }
    if closed {
        path.close_path();
    }
    path
}

/// Words in the middle of a place.
fn words(drawing: &mut Drawing, at: Point, text: &str, bold: bool) {
    let label = Label::new(text, at, LETTER_MM).anchored(HAlign::Middle, VAlign::Middle);
    drawing.text(Pen::Lettering, if bold { label.bold() } else { label });
}

/// A stitch or a hole.
fn hole(drawing: &mut Drawing, at: Point, diameter_mm: Option<f64>) {
    let circle = Circle::new(at, diameter_mm.unwrap_or(STITCH_MM) / 2.0);
    if diameter_mm.is_some() {
        for mark in super::blank::centre_mark(circle) {
            drawing.add_part(Pen::Centre, mark, PartId::Sheath);
        }
    }
    drawing.add_part(Pen::Hole, Mark::Circle(circle), PartId::Sheath);
}

/// The same in a box moved so that its lower left corner is the origin.
fn to_origin(bounds: Rect) -> Affine {
    Affine::translate((-bounds.x0, -bounds.y0))
}
