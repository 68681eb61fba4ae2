//! Blanks laid on one bar by hand: what they take, what is left, what it costs, and where they
//! come too near to one another or to the bar's sides.

use kurbo::{ParamCurve, ParamCurveArclen, Point};
use outline::Outline;

/// Places along an outline are no farther apart than this, mm.
const STEP_MM: f64 = 1.5;
/// So many places are looked at on one segment at most.
const MAX_PLACES: usize = 64;
/// What is lacking by less than this is rounding, mm.
const ROUNDING_MM: f64 = 1e-3;

/// The bar that blanks are laid on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlannedBar {
    /// Length, mm.
    pub length_mm: f64,
    /// Width, mm.
    pub width_mm: f64,
    /// Room for the saw between two blanks, mm.
    pub kerf_mm: f64,
    /// Clear steel along its edges and ends, mm.
    pub margin_mm: f64,
    /// What a metre of it costs, where that is known.
    pub price_per_m: Option<f64>,
}

/// Figures of blanks laid on a bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BarPlanFigures {
    /// Length of bar that they take from its left end, margin and a last saw cut included, mm.
    pub used_mm: f64,
    /// Length left over, mm.
    pub offcut_mm: f64,
    /// Share of the length taken that the blanks are.
    pub used_share: f64,
    /// What the length taken costs, where a price is known.
    pub cost: Option<f64>,
    /// Where something is too near.
    pub clashes: Vec<Clash>,
}

/// A blank that comes too near to another, or to the bar's side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clash {
    /// Which blank.
    pub blank: usize,
    /// Which other; `None` for the bar's sides and ends.
    pub other: Option<usize>,
    /// By how much there is too little room, mm; what overlaps lacks more than the saw needs.
    pub lacking_mm: f64,
}

/// Figures of outlines as they lie on a bar: x along it from its left end, y from its lower edge.
pub fn bar_plan_figures(bar: &PlannedBar, placed: &[Outline]) -> BarPlanFigures {
    let mut figures = BarPlanFigures { offcut_mm: bar.length_mm, ..BarPlanFigures::default() };
    let boxes: Vec<kurbo::Rect> = placed.iter().map(Outline::bounds).collect();
    for (blank, bounds) in boxes.iter().enumerate() {
        let sides = [bounds.x0, bounds.y0, bar.length_mm - bounds.x1, bar.width_mm - bounds.y1];
        let room_mm = sides.into_iter().fold(f64::INFINITY, f64::min);
        let lacking_mm = bar.margin_mm - room_mm;
        if lacking_mm > ROUNDING_MM {
            figures.clashes.push(Clash { blank, other: None, lacking_mm });
        }
    }
    for (i, a) in placed.iter().enumerate() {
        for (j, b) in placed.iter().enumerate().skip(i + 1) {
            let near = boxes[i].inflate(bar.kerf_mm, bar.kerf_mm);
            if near.intersect(boxes[j]).area() <= 0.0 {
                continue;
            }
            let lacking_mm = bar.kerf_mm - distance_mm(a, b);
            if lacking_mm > ROUNDING_MM {
                figures.clashes.push(Clash { blank: i, other: Some(j), lacking_mm });
            }
        }
    }
    let end = boxes.iter().map(|bounds| bounds.x1).fold(f64::NEG_INFINITY, f64::max);
    if end.is_finite() {
        let last_cut = if end + bar.kerf_mm < bar.length_mm { bar.kerf_mm } else { 0.0 };
        figures.used_mm = (end + last_cut).clamp(0.0, bar.length_mm);
        figures.offcut_mm = bar.length_mm - figures.used_mm;
        let area_mm2: f64 = placed.iter().map(Outline::area).sum();
        figures.used_share = area_mm2 / (figures.used_mm * bar.width_mm).max(f64::MIN_POSITIVE);
        figures.cost = bar.price_per_m.map(|price| price * figures.used_mm / 1000.0);
    }
    figures
}

/// The least distance between two outlines, mm; negative by how far one reaches into the other.
fn distance_mm(a: &Outline, b: &Outline) -> f64 {
    let from = |a: &Outline, b: &Outline| {
        places(a)
            .map(|at| {
                let away = b.nearest(at).distance_mm;
                if b.contains(at) { -away } else { away }
            })
            .fold(f64::INFINITY, f64::min)
    };
    from(a, b).min(from(b, a))
}

/// Places along an outline.
fn places(outline: &Outline) -> impl Iterator<Item = Point> {
    outline.segs().iter().flat_map(|seg| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
        let count = (seg.arclen(0.1) / STEP_MM).ceil().clamp(2.0, 1e3) as usize;
        let count = count.min(MAX_PLACES);
        #[expect(clippy::cast_precision_loss, reason = "few")]
        (0..count).map(move |i| seg.eval(i as f64 / count as f64))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAR: PlannedBar = PlannedBar {
        length_mm: 1000.0,
        width_mm: 40.0,
        kerf_mm: 2.0,
        margin_mm: 1.0,
        price_per_m: Some(20.0),
    };

    /// A plate 100 × 30 with its lower left corner here.
    fn plate(x: f64, y: f64) -> Outline {
        let corners = [(x, y), (x + 100.0, y), (x + 100.0, y + 30.0), (x, y + 30.0)];
        Outline::polygon(&corners.map(Point::from)).unwrap()
    }

    // By hand: two plates of 100 mm, 1 mm in and 3 mm apart, end at 204; a cut of 2 makes 206 of
    // 1000 mm at 20 a metre; 6000 of 8240 mm² are blank.
    #[test]
    fn two_plates_are_reckoned_by_hand() {
        let figures = bar_plan_figures(&BAR, &[plate(1.0, 5.0), plate(104.0, 5.0)]);
        assert!((figures.used_mm - 206.0).abs() < 1e-9);
        assert!((figures.offcut_mm - 794.0).abs() < 1e-9);
        assert!((figures.cost.unwrap() - 4.12).abs() < 1e-9);
        assert!((figures.used_share - 6000.0 / 8240.0).abs() < 1e-9);
        assert!(figures.clashes.is_empty());
    }

    #[test]
    fn too_near_is_told_of_the_pair_and_of_the_sides() {
        let near = bar_plan_figures(&BAR, &[plate(1.0, 5.0), plate(102.5, 5.0)]);
        assert_eq!(near.clashes.len(), 1);
        let clash = near.clashes[0];
        assert_eq!((clash.blank, clash.other), (0, Some(1)));
        // 1.5 mm apart, 2 wanted.
        assert!((clash.lacking_mm - 0.5).abs() < 1e-6, "{clash:?}");
        let over = bar_plan_figures(&BAR, &[plate(1.0, 5.0), plate(91.0, 5.0)]);
        assert!(over.clashes[0].lacking_mm > 2.0, "they overlap");
        let off = bar_plan_figures(&BAR, &[plate(1.0, 9.5)]);
        assert_eq!(off.clashes[0].other, None);
        // 0.5 mm from the upper edge, 1 wanted.
        assert!((off.clashes[0].lacking_mm - 0.5).abs() < 1e-9);
        assert_eq!(bar_plan_figures(&BAR, &[]).offcut_mm, 1000.0);
    }
}
