//! The scribing in the stable JSON of `numbers`.

use super::point;
use crate::Reckoning;
use crate::scribe::{
    FromBar, LineWay, ONE_LINE_MM, cross_line_words, edge_words, end_words, line_words,
};
use knife::Knife;
use kurbo::Point;
use serde_json::{Value, json};

pub(super) fn scribe(knife: &Knife, reckoning: &Reckoning) -> Value {
    let (scribe, bar) = (&reckoning.scribe, &knife.bar);
    json!({
        "from_edge": edge_words(bar.reference.edge),
        "from_end": end_words(bar.reference.end),
        "one_line_mm": ONE_LINE_MM,
        "row": scribe.row,
        "holes": scribe.holes.iter().map(|hole| json!({
            "number": hole.number,
            "from_lower_edge_mm": hole.from.lower_mm,
            "from_upper_edge_mm": hole.from.upper_mm,
            "from_left_end_mm": hole.from.left_mm,
            "from_right_end_mm": hole.from.right_mm,
            "to_spine_mm": hole.spine_mm,
            "to_belly_mm": hole.belly_mm,
            "hole_before": hole.before.map(|before| before.0),
            "along_row_mm": hole.before.map(|before| before.1),
            "line": hole.line,
        })).collect::<Vec<_>>(),
        "lines": scribe.lines.iter().map(|line| {
            let (from, to, askew) = match line.way {
                LineWay::Along { lower_mm } => {
                    (Point::new(0.0, lower_mm), Point::new(bar.length_mm, lower_mm), false)
                }
                LineWay::Askew { from, to } => (from, to, true),
            };
            let edge = |p: Point| FromBar::of(p, bar).edge_mm(bar.reference.edge);
            json!({
                "name": line.name,
                "askew": askew,
                "from_edge_mm": [edge(from), edge(to)],
                "on_bar_mm": [point(from), point(to)],
                "holes": line.holes,
                "off_mm": line.off_mm,
                "words": line_words(line, bar, knife.unit),
            })
        }).collect::<Vec<_>>(),
        "cross_lines": scribe.cross_lines.iter().map(|line| json!({
            "from_end_mm": FromBar::of(Point::new(line.left_mm, 0.0), bar)
                .end_mm(bar.reference.end),
            "holes": line.holes,
            "off_mm": line.off_mm,
            "words": cross_line_words(line, bar, knife.unit),
        })).collect::<Vec<_>>(),
        "marks": scribe.marks.iter().map(|mark| json!({
            "name": mark.kind.words(),
            "from_lower_edge_mm": mark.from.lower_mm,
            "from_upper_edge_mm": mark.from.upper_mm,
            "from_left_end_mm": mark.from.left_mm,
            "from_right_end_mm": mark.from.right_mm,
        })).collect::<Vec<_>>(),
    })
}
