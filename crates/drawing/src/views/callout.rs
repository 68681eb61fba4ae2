//! Short texts in a row, each led to its place on the drawing, none touching another.

use crate::MarkPart as _;
use knife::PartId;
use kurbo::{BezPath, Point};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign, lettering};

/// Height of a callout's letters, mm.
const LETTER_MM: f64 = 2.5;
/// Clear space between two texts, mm.
const APART_MM: f64 = 2.5;
/// The slanted piece of a leader, mm high.
const SLANT_MM: f64 = 4.0;

/// A text to be led to a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Callout {
    /// Where its leader ends.
    pub at: Point,
    /// What it says.
    pub text: String,
    /// The part it is about.
    pub part: Option<PartId>,
}

/// The callouts in a row whose near side lies at `row_y`; their leaders run up or down to it.
pub fn callouts(labels: Vec<Callout>, row_y: f64) -> Drawing {
    callouts_within(labels, row_y, (f64::MIN, f64::MAX))
}

/// The same, the row kept between two ends as far as it can be.
pub(super) fn callouts_within(mut labels: Vec<Callout>, row_y: f64, ends: (f64, f64)) -> Drawing {
    labels.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    let widths: Vec<f64> = labels
        .iter()
        .map(|callout| lettering::width_mm(&callout.text, marks::FontFace::Regular, LETTER_MM))
        .collect();
    let targets: Vec<f64> = labels.iter().map(|callout| callout.at.x).collect();
    let mut middles = spread(&targets, &widths, APART_MM);
    keep_within(&mut middles, &widths, APART_MM, ends);
    let mut drawing = Drawing::new();
    for ((callout, middle), width) in labels.into_iter().zip(middles).zip(widths) {
        let up = (row_y - callout.at.y).signum();
        // To the near end of a text that stands aside, so that no leader runs under another.
        let half = (width / 2.0 - 1.0).max(0.0);
        let near = Point::new(callout.at.x.clamp(middle - half, middle + half), row_y - up * 0.8);
        let mut leader = BezPath::new();
        leader.move_to(callout.at);
        leader.line_to((callout.at.x, row_y - up * SLANT_MM));
        leader.line_to(near);
        let upright = if up > 0.0 { VAlign::Base } else { VAlign::Top };
        let label = Label::new(callout.text, Point::new(middle, row_y), LETTER_MM)
            .anchored(HAlign::Middle, upright);
        for mark in [Mark::Path(leader), Mark::Text(label)] {
            drawing.add_part(Pen::Dimension, mark, callout.part);
        }
    }
    drawing
}

/// How long a row of these texts is, mm.
pub(super) fn row_mm(texts: impl Iterator<Item = String>) -> f64 {
    let width = |text: &str| lettering::width_mm(text, marks::FontFace::Regular, LETTER_MM);
    texts.map(|text| width(&text) + APART_MM).sum::<f64>() - APART_MM
}

/// Middles for texts of these widths, in order and apart, as near to the wishes as a simple
/// merging of neighbours gets: touching texts form a block that centres on its wishes.
pub(super) fn spread(targets: &[f64], widths: &[f64], apart_mm: f64) -> Vec<f64> {
    struct Block {
        members: Vec<usize>,
        from: f64,
        width: f64,
    }
    let place = |members: Vec<usize>| {
        let mut run = 0.0;
        let mut shift = 0.0;
        for &i in &members {
            let middle = run + widths[i] / 2.0;
            shift += targets[i] - middle;
            run += widths[i] + apart_mm;
        }
        #[expect(clippy::cast_precision_loss, reason = "a handful of texts")]
        let from = shift / members.len() as f64;
        Block { members, from, width: run }
    };
    let mut blocks: Vec<Block> = Vec::new();
    for i in 0..targets.len() {
        let mut block = place(vec![i]);
        while let Some(last) = blocks.pop_if(|last| last.from + last.width > block.from) {
            let mut members = last.members;
            members.extend(block.members);
            block = place(members);
        }
        blocks.push(block);
    }
    let mut middles = vec![0.0; targets.len()];
    for block in blocks {
        let mut run = block.from;
        for i in block.members {
            middles[i] = run + widths[i] / 2.0;
            run += widths[i] + apart_mm;
        }
    }
    middles
}

/// Pushes texts that stand in order and apart back between two ends, still apart; where they
/// are too many for that, they run over the second end.
pub(super) fn keep_within(middles: &mut [f64], widths: &[f64], apart_mm: f64, ends: (f64, f64)) {
    let mut max = ends.1;
    for (middle, width) in middles.iter_mut().zip(widths).rev() {
        *middle = middle.min(max - width / 2.0);
        max = *middle - width / 2.0 - apart_mm;
    }
    let mut min = ends.0;
    for (middle, width) in middles.iter_mut().zip(widths) {
        *middle = middle.max(min + width / 2.0);
        min = *middle + width / 2.0 + apart_mm;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn texts_never_touch_and_keep_their_order(
            texts in prop::collection::vec((0.0..250.0f64, 1.0..30.0f64), 0..20),
            kept in any::<bool>(),
        ) {
            let mut targets: Vec<f64> = texts.iter().map(|t| t.0).collect();
            targets.sort_by(f64::total_cmp);
            let widths: Vec<f64> = texts.iter().map(|t| t.1).collect();
            let mut middles = spread(&targets, &widths, APART_MM);
            if kept {
                keep_within(&mut middles, &widths, APART_MM, (50.0, 150.0));
                prop_assert!(middles.iter().zip(&widths).all(|(m, w)| m - w / 2.0 >= 50.0 - 1e-9));
            }
            for i in 1..middles.len() {
                let gap = middles[i] - middles[i - 1] - (widths[i] + widths[i - 1]) / 2.0;
                prop_assert!(gap >= APART_MM - 1e-9);
            }
        }
    }

    #[test]
    fn a_text_with_room_stands_at_its_wish() {
        assert_eq!(spread(&[10.0, 100.0], &[8.0, 8.0], APART_MM), vec![10.0, 100.0]);
        let tight = spread(&[10.0, 10.0], &[8.0, 8.0], APART_MM);
        assert!((tight[0] + tight[1] - 20.0).abs() < 1e-9);
    }
}
