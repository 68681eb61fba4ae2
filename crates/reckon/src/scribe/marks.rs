//! Places worth scribing besides the holes: tip, heel, plunge line, scale front, and the
//! blank's own reach along the bar.

use super::{BarDistances, along};
use crate::ScaleFigures;
use crate::context::FigureContext;
use knife::FrontCurve;
use kurbo::{Line, Point};
use outline::Outline;

/// What a mark is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarkKind {
    /// Where the blank begins, seen from the reference end.
    Near,
    /// Where the blank stops, seen from the reference end.
    Far,
    /// The marked tip.
    Tip,
    /// The marked heel.
    Heel,
    /// The plunge line, square to the bar.
    Plunge,
    /// The plunge line's end at the belly, where it lies askew to the bar.
    PlungeBelly,
    /// The plunge line's end at the grind line or the spine, where it lies askew to the bar.
    PlungeTop,
    /// The scale front, square to the bar.
    ScaleFront,
    /// The scale front at the belly, where it lies askew to the bar.
    ScaleFrontBelly,
    /// The scale front in the middle of the tang, where it is an arc.
    ScaleFrontMiddle,
    /// The scale front at the spine, where it lies askew to the bar.
    ScaleFrontSpine,
}

impl MarkKind {
    /// In words.
    pub fn label(self) -> &'static str {
        match self {
            Self::Near => "blank begins",
            Self::Far => "blank ends",
            Self::Tip => "tip",
            Self::Heel => "heel",
            Self::Plunge => "plunge line",
            Self::PlungeBelly => "plunge line, belly",
            Self::PlungeTop => "plunge line, top",
            Self::ScaleFront => "scale front",
            Self::ScaleFrontBelly => "scale front, belly",
            Self::ScaleFrontMiddle => "scale front, middle",
            Self::ScaleFrontSpine => "scale front, spine",
        }
    }

    /// The name of its reading.
    pub(crate) fn reading(self) -> &'static str {
        match self {
            Self::Near => "Blank begins at",
            Self::Far => "Blank ends at",
            Self::Tip => "Tip at",
            Self::Heel => "Heel at",
            Self::Plunge => "Plunge line at",
            Self::PlungeBelly => "Plunge line, belly, at",
            Self::PlungeTop => "Plunge line, top, at",
            Self::ScaleFront => "Scale front at",
            Self::ScaleFrontBelly => "Scale front, belly, at",
            Self::ScaleFrontMiddle => "Scale front, middle, at",
            Self::ScaleFrontSpine => "Scale front, spine, at",
        }
    }

    /// Whether it is a line square to the bar: its distance from the end tells all of it.
    pub fn is_line(self) -> bool {
        matches!(self, Self::Plunge | Self::ScaleFront)
    }
}

/// A place worth scribing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScribeMark {
    /// What it is.
    pub kind: MarkKind,
    /// Where it lies in the bar's plane; of a line, its end nearer to the lower edge.
    pub at: Point,
    /// The same from the bar's four sides.
    pub from: BarDistances,
}

/// A line within this of square to the bar over its length is told by one distance, mm.
const SQUARE_MM: f64 = 0.01;

/// Marks from the reference end on; `up` is whether the spine lies towards the bar's upper edge.
pub(super) fn marks(
    ctx: &FigureContext<'_>,
    scales: Option<&ScaleFigures>,
    up: bool,
) -> Vec<ScribeMark> {
    let (knife, outline, bar) = (ctx.knife, ctx.outline, &ctx.knife.bar);
    let on_bar = bar.placement.bar_from_knife();
    let mut found: Vec<(MarkKind, Point)> = Vec::new();
    let direction = along(bar.reference);
    let near = far(outline, on_bar, -direction);
    let distant = far(outline, on_bar, direction);
    found.push((MarkKind::Near, near));
    found.push((MarkKind::Far, distant));
    for (kind, id) in [(MarkKind::Tip, knife.profile.tip), (MarkKind::Heel, knife.profile.heel)] {
        if let Some(node) = id.and_then(|id| knife.profile.node(id)) {
            found.push((kind, on_bar * node.at));
        }
    }
    if let Some(line) = ctx.bevel.and_then(|bevel| bevel.plunge) {
        let kinds = [MarkKind::Plunge, MarkKind::PlungeBelly, MarkKind::PlungeTop];
        found.extend(line_marks(on_bar * line, kinds, up));
    }
    if let Some(scales) = scales {
        let kinds = [MarkKind::ScaleFront, MarkKind::ScaleFrontBelly, MarkKind::ScaleFrontSpine];
        let ends = on_bar * scales.front_ends();
        if knife.handle.front.curve == FrontCurve::Straight {
            found.extend(line_marks(ends, kinds, up));
        } else {
            // Of an arc no one distance tells all: both ends and the middle.
            let (belly, spine) = belly_and_spine(ends, up);
            found.push((MarkKind::ScaleFrontBelly, belly));
            found.push((MarkKind::ScaleFrontMiddle, on_bar * scales.middle));
            found.push((MarkKind::ScaleFrontSpine, spine));
        }
    }
    // A tip that is also the blank's end is told once, as the tip.
    let is_tip =
        |at: Point| found.iter().any(|f| f.0 == MarkKind::Tip && (f.1.x - at.x).abs() < 0.005);
    let kept = found
        .iter()
        .filter(|(kind, at)| !matches!(kind, MarkKind::Near | MarkKind::Far) || !is_tip(*at))
        .map(|&(kind, at)| ScribeMark { kind, at, from: BarDistances::of(at, bar) });
    let mut marks: Vec<ScribeMark> = kept.collect();
    let end = bar.reference.end;
    marks.sort_by(|a, b| a.from.end_mm(end).total_cmp(&b.from.end_mm(end)));
    marks
}

/// The outline's place farthest along a way of the bar.
fn far(outline: &Outline, on_bar: kurbo::Affine, direction: kurbo::Vec2) -> Point {
    use kurbo::{ParamCurve, ParamCurveExtrema};
    let placed = outline.transformed(on_bar);
    let mut best = (f64::MIN, Point::ORIGIN);
    for seg in placed.segs() {
        for t in seg.extrema().into_iter().chain([0.0]) {
            let at = seg.eval(t);
            let reach = direction.dot(at.to_vec2());
            if reach > best.0 {
                best = (reach, at);
            }
        }
    }
    best.1
}

/// One mark for a line square to the bar, else one for each of its ends.
fn line_marks(line: Line, kinds: [MarkKind; 3], spine_is_up: bool) -> Vec<(MarkKind, Point)> {
    let (belly, spine) = belly_and_spine(line, spine_is_up);
    if (belly.x - spine.x).abs() <= SQUARE_MM {
        return vec![(kinds[0], if spine_is_up { belly } else { spine })];
    }
    vec![(kinds[1], belly), (kinds[2], spine)]
}

/// A line's two ends.
fn belly_and_spine(line: Line, spine_is_up: bool) -> (Point, Point) {
    let up = line.p0.y <= line.p1.y;
    if up == spine_is_up { (line.p0, line.p1) } else { (line.p1, line.p0) }
}
