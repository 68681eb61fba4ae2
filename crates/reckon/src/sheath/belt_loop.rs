//! The belt loop: a strip folded double, both of its ends stitched to the back.

use super::develop::Development;
use super::holes::RowFigures;
use super::pocket::Pocket;
use super::{Piece, run, thread_mm};
use knife::{BeltLoop, LeatherSheath, Sheath};
use kurbo::{Point, Rect};
use std::f64::consts::PI;

/// Thickness of a belt, mm (common practice, no source).
const BELT_THICK_MM: f64 = 4.0;
/// Room for the belt across its width, mm (common practice, no source).
const BELT_ROOM_MM: f64 = 4.0;
/// Length of each end that is stitched down, mm (common practice, no source).
const TAB_MM: f64 = 25.0;
/// Stitches from the edge of the tab, mm, no more than of the sheath itself.
const TAB_MARGIN_MM: f64 = 4.0;

/// A belt loop worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct BeltLoopFigures {
    /// What is stated.
    pub stated: BeltLoop,
    /// The strip: its length along, its width across. Both tabs carry the same stitches.
    pub strip: Piece,
    /// Its length, mm.
    pub length_mm: f64,
    /// Where it is folded, from either end, mm.
    pub fold_mm: f64,
    /// The tab on the closed sheath, seen from outside.
    pub tab: Rect,
    /// The stitches of the tab on the closed sheath.
    pub row: RowFigures,
    /// Thread for them, mm.
    pub thread_mm: f64,
}

/// The strip is long enough for the belt: two tabs; two legs that lie a belt apart at the bend and
/// touch at the tabs; half a turn about the belt.
pub(super) fn figures(
    sheath: &Sheath,
    leather: &LeatherSheath,
    stated: BeltLoop,
    pocket: &Pocket,
    development: &Development,
) -> Option<BeltLoopFigures> {
    let neutral_mm = sheath.neutral() * sheath.thickness_mm;
    let leg_mm = (stated.belt_mm + BELT_ROOM_MM).hypot(BELT_THICK_MM / 2.0);
    let bend_mm = PI * (BELT_THICK_MM / 2.0 + neutral_mm);
    let length_mm = 2.0 * (TAB_MM + leg_mm) + bend_mm;
    let margin_mm = TAB_MARGIN_MM.min(leather.stitch_margin_mm);
    let mouth_mm = development.stations.last().map_or(0.0, |station| station.x_mm);
    let end_mm = mouth_mm - leather.stitch_margin_mm;
    let (low, high) = pocket.span_at(end_mm - TAB_MM / 2.0);
    let middle = f64::midpoint(low, high);
    let half = stated.width_mm.max(3.0 * margin_mm) / 2.0;
    let tab = Rect::new(end_mm - TAB_MM, middle - half, end_mm, middle + half);
    let row = around(tab.inset(-margin_mm), leather.stitch_pitch_mm);
    // On the strip the tabs lie at both ends, each as it is on the sheath.
    let on_strip = |p: Point| Point::new(p.x - tab.x0, p.y - tab.y0);
    let first = row.holes.iter().map(|p| (on_strip(*p), None));
    let second = row.holes.iter().map(|p| {
        let p = on_strip(*p);
        (Point::new(length_mm - p.x, p.y), None)
    });
    let corners =
        [(0.0, 0.0), (length_mm, 0.0), (length_mm, stated.width_mm), (0.0, stated.width_mm)];
    let strip = Piece {
        outline: super::polygon(corners.map(Point::from).to_vec())?,
        holes: first.chain(second).collect(),
        glue: Vec::new(),
    };
    let thread_mm = thread_mm(&row, 3.0 * sheath.thickness_mm);
    let fold_mm = length_mm / 2.0;
    Some(BeltLoopFigures { stated, strip, length_mm, fold_mm, tab, row, thread_mm })
}

/// Stitches round a box: at its corners, and evenly along each side between them.
fn around(tab: Rect, wanted_mm: f64) -> RowFigures {
    let corners = [(tab.x0, tab.y0), (tab.x1, tab.y0), (tab.x1, tab.y1), (tab.x0, tab.y1)];
    let mut line = corners.map(Point::from).to_vec();
    line.push(line[0]);
    let length_mm = run::length(&line);
    let mut holes = Vec::new();
    for side in line.windows(2) {
        let steps = (side[0].distance(side[1]) / wanted_mm).round().clamp(1.0, 200.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "in bounds")]
        let count = steps as usize;
        holes.extend((0..count).map(|i| side[0].lerp(side[1], i as f64 / steps)));
    }
    let steps = holes.len();
    RowFigures { line, length_mm, steps, pitch_mm: length_mm / steps as f64, holes, clip: None }
}
