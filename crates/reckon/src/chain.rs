//! Chain drilling: a row of holes just outside the outline, and saw cuts into its hollows.

mod describe;
mod relief;

use crate::shop::Shop;
use knife::{ChainDrilling, Knife};
use kurbo::{Point, Rect, Vec2};
use outline::{OFFSET_TOLERANCE_MM, Outline, SpacingOptions, space_evenly};

pub use relief::SawCut;

/// Between two inside corners the bridge may come down to this share of the one chosen.
const THINNEST_BRIDGE: f64 = 0.5;
/// A bridge is as chosen within this share of it.
pub(crate) const BRIDGE_SLACK: f64 = 0.05;
/// The line on which the holes lie has a corner where it turns by more than this, degrees. The
/// line is rounded wherever the outline stands out, so that only inside corners are corners.
const CORNER_DEG: f64 = 25.0;
/// An outline longer than this many pitches is not drilled out by anyone.
const MAX_PITCHES: f64 = 5000.0;

/// The chain of holes by which a blank is cut from its bar.
///
/// The holes' centres lie on the outline offset outward by half the drill and the leave. They
/// are evenly divided, by straight distance, between the corners of that line; where a hole
/// would not lie wholly on the bar, or would come into the leave of another blank, the line is
/// left out. See [`space_evenly`] for what happens on short stretches.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainFigures {
    /// Drill, bridge and leave, as chosen or as usual.
    pub drilling: ChainDrilling,
    /// Centres of the holes, in the bar's plane, in the order of drilling.
    pub holes: Vec<Point>,
    /// Holes that follow each other.
    pub rows: Vec<ChainRow>,
    /// Length of the line along which holes are drilled, mm.
    pub line_mm: f64,
    /// Length of the line left out because a hole would not lie on the bar, mm.
    pub left_out_mm: f64,
    /// Thickness of the stock, once for each hole, mm.
    pub depth_mm: f64,
    /// Straight way from hole to hole in the order of drilling, mm.
    pub travel_mm: f64,
    /// Share, by area, that the holes take of the steel along the line, one drill wide: their
    /// number times π d²/4, over the line's length times d.
    pub drilled_share: f64,
    /// Relief saw cuts from the bar's edge into hollows.
    pub cuts: Vec<SawCut>,
    /// Hollows without a cut because they are too many to be looked into one by one.
    pub uncut_hollows: usize,
}

/// Holes that follow each other at one pitch.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainRow {
    /// Indices into the holes. A hole at a corner belongs to both rows that meet there.
    pub holes: Vec<usize>,
    /// Whether the last hole is followed by the first.
    pub closed: bool,
    /// The bridge between neighbours, mm; `None` for a single hole.
    pub bridge_mm: Option<f64>,
}

impl ChainFigures {
    /// The thinnest and the thickest bridge, mm.
    pub fn bridges_mm(&self) -> Option<(f64, f64)> {
        let bridges = self.rows.iter().filter_map(|row| row.bridge_mm);
        bridges.fold(None, |ends, mm| {
            let (low, high) = ends.unwrap_or((mm, mm));
            Some((low.min(mm), high.max(mm)))
        })
    }

    /// The rows whose bridge differs from the one chosen by more than a twentieth of it: such as
    /// lie between two corners and are too short to be divided better.
    pub fn uneven_rows(&self) -> impl Iterator<Item = &ChainRow> {
        let chosen = self.drilling.bridge_mm;
        self.rows.iter().filter(move |row| {
            row.bridge_mm.is_some_and(|mm| (mm - chosen).abs() > BRIDGE_SLACK * chosen)
        })
    }
}

/// A bar with what else is to be cut from it.
pub(crate) struct BarSpace<'a> {
    pub(crate) length_mm: f64,
    pub(crate) width_mm: f64,
    pub(crate) thickness_mm: f64,
    /// The other blanks in the bar's plane.
    pub(crate) others: &'a [Outline],
    /// Holes drilled for the other blanks.
    pub(crate) reserved: &'a [Point],
}

impl BarSpace<'_> {
    fn rect(&self) -> Rect {
        Rect::new(0.0, 0.0, self.length_mm, self.width_mm)
    }

    /// How much farther than `off_mm` a point lies from the other blanks, mm; from one that is
    /// farther off than that, at least.
    fn room_beside(&self, p: Point, off_mm: f64, boxes: &[Rect]) -> f64 {
        let room = |(other, bounds): (&Outline, &Rect)| {
            let to_box = Vec2::new(
                (bounds.x0 - p.x).max(p.x - bounds.x1).max(0.0),
                (bounds.y0 - p.y).max(p.y - bounds.y1).max(0.0),
            );
            let gap = if to_box.hypot() > off_mm {
                to_box.hypot()
            } else {
                other.nearest(p).distance_mm * if other.contains(p) { -1.0 } else { 1.0 }
            };
            gap - off_mm
        };
        self.others.iter().zip(boxes).map(room).fold(f64::INFINITY, f64::min)
    }
}

pub(crate) fn figures(knife: &Knife, outline: &Outline, shop: &Shop) -> Option<ChainFigures> {
    let bar = &knife.bar;
    let placed = outline.transformed(bar.placement.bar_from_knife());
    let ground = BarSpace {
        length_mm: bar.length_mm,
        width_mm: bar.width_mm,
        thickness_mm: bar.thickness_mm,
        others: &[],
        reserved: &[],
    };
    let cutting = knife.cutting();
    chain(&placed, &drilling_lines(&placed, &cutting), &ground, &cutting, shop)
}

/// The lines on which the holes around an outline lie; none for an outline that [`is_too_long`], or
/// that has no offset for having too many corners.
pub(crate) fn drilling_lines(outline: &Outline, cutting: &ChainDrilling) -> Vec<Outline> {
    if is_too_long(outline, cutting) {
        return Vec::new();
    }
    // The offset's sides may lie its tolerance and a little too near; no hole may.
    outline.offset(cutting.offset_mm() + 1.5 * OFFSET_TOLERANCE_MM)
}

/// Whether an outline is so long that nobody would drill it out.
pub(crate) fn is_too_long(outline: &Outline, cutting: &ChainDrilling) -> bool {
    outline.perimeter() > MAX_PITCHES * cutting.pitch_mm()
}

/// About as many holes as a chain around an outline has when nothing else is near; 0 where it is
/// too long for one.
pub(crate) fn most_holes(outline: &Outline, cutting: &ChainDrilling) -> usize {
    if is_too_long(outline, cutting) {
        return 0;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousands")]
    let holes = (outline.perimeter() / cutting.pitch_mm()).ceil() as usize;
    holes
}

/// The chain of one blank, given with its [`drilling_lines`] in the bar's plane. `None` where there
/// are no such lines.
pub(crate) fn chain(
    placed: &Outline,
    lines: &[Outline],
    ground: &BarSpace<'_>,
    cutting: &ChainDrilling,
    shop: &Shop,
) -> Option<ChainFigures> {
    if lines.is_empty() {
        return None;
    }
    let (radius, bridge) = (cutting.drill_mm / 2.0, cutting.bridge_mm);
    let spacing = SpacingOptions {
        pitch_mm: cutting.pitch_mm(),
        min_pitch_mm: cutting.drill_mm + THINNEST_BRIDGE * bridge,
        min_separation_mm: cutting.drill_mm + (1.0 - BRIDGE_SLACK) * bridge,
        corner_rad: CORNER_DEG.to_radians(),
    };
    let boxes: Vec<Rect> = ground.others.iter().map(Outline::bounds).collect();
    let rect = ground.rect();
    let room = |p: Point| {
        let on_bar = (p.x - rect.x0).min(rect.x1 - p.x).min(p.y - rect.y0).min(rect.y1 - p.y);
        let near = ground.reserved.iter().map(|hole| hole.distance_squared(p));
        let drilled = near.fold(f64::INFINITY, f64::min).sqrt() - spacing.min_separation_mm;
        (on_bar - radius).min(drilled).min(ground.room_beside(p, cutting.offset_mm(), &boxes))
    };
    let spaced = space_evenly(lines, &room, &spacing);
    let holes = spaced.points;
    let rows: Vec<ChainRow> = spaced
        .rows
        .into_iter()
        .map(|row| {
            let steps = row.steps().map(|(a, b)| holes[a].distance(holes[b]) - cutting.drill_mm);
            let bridge_mm = steps.reduce(f64::min);
            ChainRow { bridge_mm, closed: row.closed, holes: row.indices }
        })
        .collect();
    #[expect(clippy::cast_precision_loss, reason = "at most some thousands of holes")]
    let count = holes.len() as f64;
    let cuts = relief::cuts(placed, ground, cutting.leave_mm, relief::kerf_mm(shop));
    let band_mm2 = spaced.length_mm * cutting.drill_mm;
    let drilled_mm2 = count * std::f64::consts::PI * radius * radius;
    Some(ChainFigures {
        depth_mm: count * ground.thickness_mm,
        travel_mm: holes.windows(2).map(|w| w[0].distance(w[1])).sum(),
        drilled_share: if band_mm2 > 0.0 { drilled_mm2 / band_mm2 } else { 0.0 },
        line_mm: spaced.length_mm,
        left_out_mm: spaced.left_out_mm,
        uncut_hollows: cuts.as_ref().err().copied().unwrap_or_default(),
        cuts: cuts.unwrap_or_default(),
        drilling: cutting.clone(),
        holes,
        rows,
    })
}

#[cfg(test)]
mod tests;
