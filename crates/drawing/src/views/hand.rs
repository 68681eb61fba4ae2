//! A hand round the handle, to judge length and finger room by.

use knife::Knife;
use kurbo::{BezPath, Line, Point, Rect, RoundedRect, Shape as _};
use marks::{Drawing, Mark, Pen};
use reckon::Reckoning;
use reckon::tables::Hand;

/// Breadth of the four fingers to that of the index finger: of a closed hand (own construction).
const FINGERS: [f64; 4] = [1.0, 1.0, 0.95, 0.83];
/// The thumb's breadth to that of the index finger (own construction).
const THUMB: f64 = 1.15;
/// The thumb's length to that of the hand (own construction).
const THUMB_LONG: f64 = 0.33;
/// How far a finger stands out below the handle, and the thumb above it, to its breadth (own
/// construction).
const STANDS_OUT: f64 = 0.55;
/// Between the front of the scales and the index finger, mm (own construction).
const BEHIND_FRONT_MM: f64 = 1.0;
/// How near the rounded ends are followed, mm.
const TOLERANCE_MM: f64 = 0.01;

/// Four fingers round the underside and the thumb along the spine, as closed paths in the knife's
/// plane, index finger first; `None` without scales.
///
/// The index finger lies in the first finger notch behind the front, else behind the front of the
/// scales; the four fill the breadth of the hand.
pub(crate) fn hand_paths(reckoning: &Reckoning, hand: &Hand) -> Option<Vec<BezPath>> {
    let (scales, outline) = (reckoning.scales.as_ref()?, reckoning.outline.as_ref()?);
    let profile = reckoning.profile.as_ref()?;
    let (back, up) = (profile.towards_butt, if profile.edge_is_up { -1.0 } else { 1.0 });
    let breadths = FINGERS.map(|share| share * hand.index_mm);
    let gap_mm = (hand.breadth_mm - breadths.iter().sum::<f64>()).max(0.0) / 3.0;
    let front_mm = scales.middle.x + back * (BEHIND_FRONT_MM + breadths[0] / 2.0);
    let is_behind = |x: f64| (x - front_mm) * back > -breadths[0];
    let notch = reckoning.finger_notches.iter().find(|notch| is_behind(notch.deepest.x));
    // A notch far back is for another finger.
    let notch = notch.filter(|notch| (notch.deepest.x - front_mm).abs() < breadths[0]);
    let mut x_mm = notch.map_or(front_mm, |notch| notch.deepest.x);
    // Heights of underside and spine at a station; behind the butt those of the butt.
    let bounds = scales.outline.bounds();
    let sides = |x: f64| {
        let x = x.clamp(bounds.x0 + 0.5, bounds.x1 - 0.5);
        let line = Line::new(Point::new(x, 0.0), Point::new(x, 1.0));
        let spans = outline.inside_intervals(line);
        let ys = spans.iter().flat_map(|(a, b)| [a.y, b.y]);
        let (low, high) =
            ys.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (a.min(y), b.max(y)));
        (low < high).then_some(if up > 0.0 { (low, high) } else { (high, low) })
    };
    let thumb_mm = THUMB * hand.index_mm;
    let mut paths = Vec::new();
    let mut middles = Vec::new();
    for (i, breadth) in breadths.iter().enumerate() {
        if i > 0 {
            x_mm += back * (breadths[i - 1] / 2.0 + gap_mm + breadth / 2.0);
        }
        let (under, spine) = sides(x_mm)?;
        let width = (spine - under).abs();
        // Up the face to beneath the thumb, or over the middle of a narrow handle.
        let reach = (width - (1.0 - STANDS_OUT) * thumb_mm).max(0.55 * width);
        let (from, to) = (under - up * STANDS_OUT * breadth, under + up * reach);
        paths.push(capsule(x_mm - breadth / 2.0, x_mm + breadth / 2.0, from, to));
        middles.push(x_mm);
    }
    // The thumb lies along the spine, its tip ahead of the index finger's middle.
    let tip_mm = middles[0] - back * 0.3 * breadths[0];
    let root_mm = tip_mm + back * THUMB_LONG * hand.length_mm;
    let (_, spine) = sides((tip_mm + root_mm) / 2.0)?;
    let from = spine - up * (1.0 - STANDS_OUT) * thumb_mm;
    paths.push(capsule(tip_mm, root_mm, from, from + up * thumb_mm));
    Some(paths)
}

/// A box with ends as round as they go.
fn capsule(x0: f64, x1: f64, y0: f64, y1: f64) -> BezPath {
    let rect = Rect::new(x0, y0, x1, y1).abs();
    let round = rect.width().min(rect.height()) / 2.0;
    RoundedRect::from_rect(rect, round).to_path(TOLERANCE_MM)
}

/// The hand on the blank as it lies on its bar, for the profile sheet; empty without scales.
pub fn hand_on_bar(knife: &Knife, reckoning: &Reckoning, hand: &Hand) -> Drawing {
    let mut drawing = Drawing::new();
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    for path in hand_paths(reckoning, hand).unwrap_or_default() {
        drawing.add(Pen::Hand, Mark::Path(bar_from_knife * path));
    }
    drawing
}

/// What to say of it beside the drawing.
pub fn hand_note(knife: &Knife, hand: &Hand) -> String {
    let show = |mm: f64| super::dimension_text(mm, knife.unit);
    format!(
        "Thin grey: a {} hand ({}, {} across and {} long), to judge finger room by; no line to \
         cut by. Drawn from those measures alone, not from a hand.",
        hand.size.label(),
        hand.whose,
        show(hand.breadth_mm),
        show(hand.length_mm)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::Edit;
    use reckon::tables::Tables;
    use reckon::{Shop, reckon};

    fn drawn(knife: &Knife, hand: &Hand) -> Vec<BezPath> {
        let reckoning = reckon(knife, &Shop::default(), Tables::built_in());
        hand_paths(&reckoning, hand).unwrap()
    }

    /// Four fingers take the hand's breadth, whichever way the knife lies, and stand out below.
    #[test]
    fn fingers_fill_the_breadth_of_the_hand() {
        for starter in knife::STARTERS {
            let knife = starter.knife();
            if knife.scales.is_none() {
                continue;
            }
            let turned = Edit::MirrorAlong.apply(&Edit::MirrorAcross.apply(&knife).unwrap());
            for knife in [knife.clone(), turned.unwrap()] {
                for hand in Tables::built_in().hands() {
                    let paths = drawn(&knife, hand);
                    assert_eq!(paths.len(), 5);
                    let boxes: Vec<Rect> = paths.iter().map(BezPath::control_box).collect();
                    let four = boxes[..4].iter().copied().reduce(|a, b| a.union(b)).unwrap();
                    assert!((four.width() - hand.breadth_mm).abs() < 1e-6, "{}", starter.key);
                    for pair in boxes[..4].windows(2) {
                        assert!(pair[0].intersect(pair[1]).area() < 1e-9, "{}", starter.key);
                    }
                    let thumb = boxes[4].width();
                    assert!((thumb - THUMB_LONG * hand.length_mm).abs() < 1e-6);
                }
            }
        }
    }

    #[test]
    fn without_scales_there_is_no_hand() {
        let knife = Knife { scales: None, ..knife::STARTERS[0].knife() };
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        let hand = &Tables::built_in().hands()[1];
        assert!(hand_on_bar(&knife, &reckoning, hand).items.is_empty());
        assert!(hand_note(&knife, hand).contains("medium hand"));
    }
}
