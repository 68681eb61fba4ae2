//! The scribing in the stable JSON of `numbers`.

use super::{Xy, xy};
use crate::Reckoning;
use crate::scribe::{
    BarDistances, CrossLine, LineDirection, SAME_LINE_MM, ScribeLine, ScribeMark, ScribedHole,
    describe_cross_line, describe_line, edge_label, end_label,
};
use knife::Knife;
use kurbo::Point;
use schemars::JsonSchema;
use serde::Serialize;

/// What to scribe on the bar.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Scribe {
    /// The chosen edge of the bar.
    from_edge: &'static str,
    /// The chosen end of the bar.
    from_end: &'static str,
    /// Within this, holes count as on one line.
    one_line_mm: f64,
    /// The holes' numbers from that end.
    row: Vec<usize>,
    /// The holes.
    holes: Vec<Hole>,
    /// Lines along the bar.
    lines: Vec<Line>,
    /// Lines across the bar.
    cross_lines: Vec<Across>,
    /// Other marks.
    marks: Vec<Mark>,
}

impl Scribe {
    pub(super) fn of(knife: &Knife, reckoning: &Reckoning) -> Self {
        let (scribe, bar) = (&reckoning.scribe, &knife.bar);
        Self {
            from_edge: edge_label(bar.reference.edge),
            from_end: end_label(bar.reference.end),
            one_line_mm: SAME_LINE_MM,
            row: scribe.row.clone(),
            holes: scribe.holes.iter().map(Hole::of).collect(),
            lines: scribe.lines.iter().map(|line| Line::of(line, knife)).collect(),
            cross_lines: scribe.cross_lines.iter().map(|line| Across::of(line, knife)).collect(),
            marks: scribe.marks.iter().map(Mark::of).collect(),
        }
    }
}

/// A hole's centre.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "ScribedHole")]
pub(super) struct Hole {
    /// Its number.
    number: usize,
    /// From the bar's lower edge.
    from_lower_edge_mm: f64,
    /// From the bar's upper edge.
    from_upper_edge_mm: f64,
    /// From the bar's left end.
    from_left_end_mm: f64,
    /// From the bar's right end.
    from_right_end_mm: f64,
    /// Square to the bar up to the spine.
    to_spine_mm: Option<f64>,
    /// Square to the bar down to the belly.
    to_belly_mm: Option<f64>,
    /// The number of the hole before it in the row.
    hole_before: Option<usize>,
    /// Centre to centre from that.
    along_row_mm: Option<f64>,
    /// The line that it lies on.
    line: String,
}

impl Hole {
    pub(super) fn of(hole: &ScribedHole) -> Self {
        Self {
            number: hole.number,
            from_lower_edge_mm: hole.from.lower_mm,
            from_upper_edge_mm: hole.from.upper_mm,
            from_left_end_mm: hole.from.left_mm,
            from_right_end_mm: hole.from.right_mm,
            to_spine_mm: hole.spine_mm,
            to_belly_mm: hole.belly_mm,
            hole_before: hole.before.map(|before| before.0),
            along_row_mm: hole.before.map(|before| before.1),
            line: hole.line.clone(),
        }
    }
}

/// A line along the bar.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Line {
    /// Its name.
    name: String,
    /// Whether it runs askew.
    askew: bool,
    /// From the chosen edge, at its two ends.
    from_edge_mm: [f64; 2],
    /// Its two ends on the bar.
    on_bar_mm: [Xy; 2],
    /// The numbers of the holes on it.
    holes: Vec<usize>,
    /// By how much the worst centre lies off it.
    off_mm: f64,
    /// In words.
    words: String,
}

impl Line {
    pub(super) fn of(line: &ScribeLine, knife: &Knife) -> Self {
        let bar = &knife.bar;
        let (from, to, askew) = match line.direction {
            LineDirection::Along { lower_mm } => {
                (Point::new(0.0, lower_mm), Point::new(bar.length_mm, lower_mm), false)
            }
            LineDirection::Askew { from, to } => (from, to, true),
        };
        let edge = |p: Point| BarDistances::of(p, bar).edge_mm(bar.reference.edge);
        Self {
            name: line.name.clone(),
            askew,
            from_edge_mm: [edge(from), edge(to)],
            on_bar_mm: [xy(from), xy(to)],
            holes: line.holes.clone(),
            off_mm: line.off_mm,
            words: describe_line(line, bar, knife.unit),
        }
    }
}

/// A line across the bar.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Across {
    /// From the chosen end.
    from_end_mm: f64,
    /// The numbers of the holes on it.
    holes: Vec<usize>,
    /// By how much the worst centre lies off it.
    off_mm: f64,
    /// In words.
    words: String,
}

impl Across {
    pub(super) fn of(line: &CrossLine, knife: &Knife) -> Self {
        let bar = &knife.bar;
        Self {
            from_end_mm: BarDistances::of(Point::new(line.left_mm, 0.0), bar)
                .end_mm(bar.reference.end),
            holes: line.holes.clone(),
            off_mm: line.off_mm,
            words: describe_cross_line(line, bar, knife.unit),
        }
    }
}

/// Another mark.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Mark {
    /// What it marks.
    name: &'static str,
    /// From the bar's lower edge.
    from_lower_edge_mm: f64,
    /// From the bar's upper edge.
    from_upper_edge_mm: f64,
    /// From the bar's left end.
    from_left_end_mm: f64,
    /// From the bar's right end.
    from_right_end_mm: f64,
}

impl Mark {
    pub(super) fn of(mark: &ScribeMark) -> Self {
        Self {
            name: mark.kind.label(),
            from_lower_edge_mm: mark.from.lower_mm,
            from_upper_edge_mm: mark.from.upper_mm,
            from_left_end_mm: mark.from.left_mm,
            from_right_end_mm: mark.from.right_mm,
        }
    }
}
