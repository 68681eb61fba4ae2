//! The blank on its bar: steel, outline, holes, plunge, grind and scale lines.

use crate::MarkPart as _;
use knife::{Knife, PartId};
use kurbo::{Affine, BezPath, Circle, Line, Point, Rect};
use marks::{Drawing, Mark, Pen};
use reckon::Reckoning;

/// How much of the bar is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Extent {
    /// All of it.
    Whole,
    /// The stretch around the blank, broken off beyond; an end nearer than this is drawn, mm.
    Around(f64),
    /// From here to there along the bar, broken off at either where that is no end, mm.
    Between(f64, f64),
}

/// A centre mark's arms reach this far past the circle, mm (ISO 128 practice, from memory: 2–3).
pub(super) const PAST_CIRCLE_MM: f64 = 2.5;

/// The bar's centre line reaches this far out of and into its ends, mm.
const CENTRE_OUT_MM: f64 = 3.0;
const CENTRE_IN_MM: f64 = 4.0;

/// The blank on its bar, in the bar's plane.
pub fn blank_on_bar(knife: &Knife, reckoning: &Reckoning, extent: Extent) -> Drawing {
    let mut drawing = Drawing::new();
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    bar(&mut drawing, knife, reckoning, extent);
    centre_ticks(&mut drawing, knife, reckoning, extent);
    lines(&mut drawing, reckoning, bar_from_knife);
    filed(&mut drawing, reckoning, bar_from_knife);
    if let Some(outline) = &reckoning.outline {
        let path = bar_from_knife * outline.to_path();
        drawing.add_part(Pen::Cut, Mark::Path(path), PartId::Profile);
    }
    holes(&mut drawing, knife, bar_from_knife);
    drawing
}

/// The blank without its bar, in its own plane: outline, plunge, grind and scale lines.
pub(super) fn blank_alone(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    lines(&mut drawing, reckoning, Affine::IDENTITY);
    filed(&mut drawing, reckoning, Affine::IDENTITY);
    if let Some(outline) = &reckoning.outline {
        drawing.add_part(Pen::Cut, Mark::Path(outline.to_path()), PartId::Profile);
    }
    holes(&mut drawing, knife, Affine::IDENTITY);
    drawing
}

/// The holes with their centre marks.
fn holes(drawing: &mut Drawing, knife: &Knife, to_plane: Affine) {
    for hole in &knife.holes {
        let circle = Circle::new(to_plane * hole.at, hole.diameter_mm / 2.0);
        for mark in centre_mark(circle) {
            drawing.add_part(Pen::Centre, mark, PartId::Hole(hole.id));
        }
        drawing.add_part(Pen::Hole, Mark::Circle(circle), PartId::Hole(hole.id));
    }
}

/// The stretch of the bar's length that is drawn, from and to, mm.
pub(super) fn stretch(knife: &Knife, reckoning: &Reckoning, extent: Extent) -> (f64, f64) {
    let length_mm = knife.bar.length_mm;
    match (extent, placed_bounds(knife, reckoning)) {
        (Extent::Between(from, to), _) if from < to => (from, to),
        (Extent::Around(near_mm), Some(bounds)) if lies_beside(knife, reckoning) => {
            (bounds.x0 - near_mm, bounds.x1 + near_mm)
        }
        (Extent::Around(near_mm), Some(bounds)) => {
            let from = if bounds.x0 <= 2.0 * near_mm { 0.0 } else { bounds.x0 - near_mm };
            let to = if bounds.x1 >= length_mm - 2.0 * near_mm {
                length_mm
            } else {
                bounds.x1 + near_mm
            };
            // A blank that lies off its bar still gets a stretch to be seen against.
            if from < to { (from, to) } else { (0.0, length_mm) }
        }
        _ => (0.0, length_mm),
    }
}

/// Whether the blank lies wholly off its bar. A sheet then shows it alone; a finding says why.
pub(super) fn lies_beside(knife: &Knife, reckoning: &Reckoning) -> bool {
    let bar = Rect::new(0.0, 0.0, knife.bar.length_mm, knife.bar.width_mm);
    placed_bounds(knife, reckoning).is_some_and(|bounds| !bounds.overlaps(bar))
}

/// The placed blank's box in the bar's plane.
pub(super) fn placed_bounds(knife: &Knife, reckoning: &Reckoning) -> Option<Rect> {
    let outline = reckoning.outline.as_ref()?;
    Some(outline.transformed(knife.bar.placement.bar_from_knife()).bounds())
}

pub(super) fn bar(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning, extent: Extent) {
    let (width_mm, length_mm) = (knife.bar.width_mm, knife.bar.length_mm);
    if extent != Extent::Whole && lies_beside(knife, reckoning) {
        return;
    }
    let (from, to) = stretch(knife, reckoning, extent);
    let mut add = |mark: Mark| drawing.add_part(Pen::Bar, mark, PartId::Bar);
    if from <= 0.0 && to >= length_mm {
        let mut outline = BezPath::new();
        outline.move_to((0.0, 0.0));
        for corner in [(length_mm, 0.0), (length_mm, width_mm), (0.0, width_mm)] {
            outline.line_to(corner);
        }
        outline.close_path();
        add(Mark::Path(outline));
    } else {
        for y in [0.0, width_mm] {
            add(Line::new((from, y), (to, y)).into());
        }
        for (x, is_end) in [(from, from <= 0.0), (to, to >= length_mm)] {
            if is_end {
                add(Line::new((x, 0.0), (x, width_mm)).into());
            } else {
                add(Mark::Path(break_line(x, width_mm)));
            }
        }
    }
}

/// The bar's centre line, told at both ends only: across the blank it would be one line too many.
fn centre_ticks(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning, extent: Extent) {
    if extent != Extent::Whole && lies_beside(knife, reckoning) {
        return;
    }
    let (from, to) = stretch(knife, reckoning, extent);
    let middle = knife.bar.width_mm / 2.0;
    for (x, direction) in [(from, 1.0), (to, -1.0)] {
        let tick = Line::new(
            (x - direction * CENTRE_OUT_MM, middle),
            (x + direction * CENTRE_IN_MM, middle),
        );
        drawing.add_part(Pen::Centre, tick.into(), PartId::Bar);
    }
}

/// A thin line with a zigzag in its middle: the bar goes on (common drawing practice).
pub(super) fn break_line(x: f64, width_mm: f64) -> BezPath {
    let (middle, arm) = (width_mm * 0.3, (width_mm / 12.0).min(2.5));
    let mut path = BezPath::new();
    path.move_to((x, -2.0));
    path.line_to((x, middle - arm));
    path.line_to((x + arm, middle - arm / 3.0));
    path.line_to((x - arm, middle + arm / 3.0));
    path.line_to((x, middle + arm));
    path.line_to((x, width_mm + 2.0));
    path
}

fn lines(drawing: &mut Drawing, reckoning: &Reckoning, bar_from_knife: Affine) {
    if let Some(scales) = &reckoning.scales {
        let path = bar_from_knife * scales.outline.to_path();
        drawing.add_part(Pen::Scale, Mark::Path(path), PartId::Scales);
    }
    if let Some(bevel) = &reckoning.bevel {
        for piece in &bevel.grind {
            let piece = bar_from_knife * piece.clone();
            drawing.add_part(Pen::Bevel, Mark::Path(piece), PartId::GrindLine);
        }
        if let Some(line) = bevel.plunge {
            drawing.add_part(Pen::Bevel, (bar_from_knife * line).into(), PartId::Plunge);
        }
    }
    for piece in reckoning.swedge.iter().flat_map(|swedge| &swedge.grind) {
        let piece = bar_from_knife * piece.clone();
        drawing.add_part(Pen::Bevel, Mark::Path(piece), PartId::GrindLine);
    }
}

/// Notches to be filed in the edge and scallops to be ground in the scales' corners: their own
/// shapes, so that the picture is the handle as it will be.
fn filed(drawing: &mut Drawing, reckoning: &Reckoning, to_plane: Affine) {
    if let Some(jimping) = &reckoning.jimping {
        for notch in &jimping.notches {
            let section = to_plane * jimping.section(notch);
            drawing.add_part(Pen::Bevel, Mark::Path(section), PartId::Profile);
        }
    }
    for rim in scallop_rims(reckoning) {
        drawing.add_part(Pen::Bevel, Mark::Path(to_plane * rim), PartId::Scales);
    }
}

/// The scallops' rims on a scale's face, in the knife's plane.
pub(super) fn scallop_rims(reckoning: &Reckoning) -> Vec<BezPath> {
    let (Some(scallops), Some(scales)) = (&reckoning.scallops, &reckoning.scales) else {
        return Vec::new();
    };
    [&scallops.upper, &scallops.lower]
        .into_iter()
        .flat_map(|row| row.places.iter().map(move |place| (row, place)))
        .map(|(row, place)| scallops.rim(row, place, &scales.outline))
        .filter(|rim| !rim.elements().is_empty())
        .collect()
}

pub(super) fn centre_mark(circle: Circle) -> [Mark; 2] {
    let reach = circle.radius + PAST_CIRCLE_MM;
    let arm = |dx: f64, dy: f64| {
        let Point { x, y } = circle.center;
        Line::new((x - dx, y - dy), (x + dx, y + dy)).into()
    };
    [arm(reach, 0.0), arm(0.0, reach)]
}
