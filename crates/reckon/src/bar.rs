//! How the blank lies on its bar, and the turn at which it would lie best.

use crate::tables::{BarSide, Tables};
use knife::{Bar, Placement};
use kurbo::{Affine, ParamCurve, PathSeg, Point, Rect, Shape, Vec2};
use outline::Outline;
use units::LengthUnit;

/// Clear steel between the blank and each side of its bar, mm; negative where it sticks out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// To the lower long edge.
    pub lower_mm: f64,
    /// To the upper long edge.
    pub upper_mm: f64,
    /// To the left end.
    pub left_mm: f64,
    /// To the right end.
    pub right_mm: f64,
}

impl Margins {
    /// The least of the four, mm.
    pub fn min_mm(&self) -> f64 {
        self.lower_mm.min(self.upper_mm).min(self.left_mm).min(self.right_mm)
    }
}

/// How the blank lies on its bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BarFigures {
    /// Whether the blank lies within its bar, as placed.
    pub fits: bool,
    /// Clear steel on each side, as placed.
    pub margins: Margins,
    /// The turn at which the least margin is largest, degrees, in (−90, 90].
    pub best_turn_deg: f64,
    /// That largest least margin, mm, with the blank in the middle of the bar.
    pub best_margin_mm: f64,
    /// Where the knife's origin would then lie on the bar.
    pub best_at: Point,
}

impl BarFigures {
    /// Whether the blank could be laid on its bar at all.
    pub fn could_fit(&self) -> bool {
        self.best_margin_mm >= -SLACK_MM
    }
}

/// A blank that lies on the bar's very edge still fits: rounding is not a millimetre.
const SLACK_MM: f64 = 1e-9;
/// Stretches in which the half turn is first looked at.
const COARSE: u32 = 90;
/// Stretches about the hull's best turn.
const FEW: u32 = 16;
/// So many stretches are halved at most, the most promising first.
const MAX_CELLS: usize = 256;

pub(crate) fn figures(bar: &Bar, outline: &Outline) -> BarFigures {
    let placed = outline.transformed(bar.placement.bar_from_knife()).bounds();
    let margins = Margins {
        lower_mm: placed.y0,
        upper_mm: bar.width_mm - placed.y1,
        left_mm: placed.x0,
        right_mm: bar.length_mm - placed.x1,
    };
    let (best_turn_deg, best_at) = best(bar, outline);
    let best_box = outline.transformed(place(best_turn_deg, best_at)).bounds();
    let best_margin_mm = (bar.width_mm - best_box.height()).min(bar.length_mm - best_box.width());
    BarFigures {
        fits: margins.min_mm() >= -SLACK_MM,
        margins,
        best_turn_deg,
        best_margin_mm: best_margin_mm / 2.0,
        best_at,
    }
}

/// Steel that should be left on every side when a bar is chosen for a blank, mm (this program's
/// own choice: room for a saw cut's wander).
const ROOM_MM: f64 = 1.0;
/// Where the blank starts from the bar's left end when there is room, mm (own choice).
const FROM_END_MM: f64 = 10.0;

/// The first of the usual bars, from `first` upwards in width and length, that takes the
/// outline with room on every side (sizes of one system of units), and how the outline lies on it: straight where that fits,
/// else at its best turn. `first` itself when none does.
pub fn first_stock_bar(
    first: &Bar,
    outline: &Outline,
    system: LengthUnit,
    tables: &Tables,
) -> (Bar, Placement) {
    let from = |side: BarSide, min_mm: f64| {
        let larger = tables.bar_sizes(side, system).map(|size| size.size_mm);
        let mut sizes = vec![min_mm];
        sizes.extend(larger.filter(|size| *size > min_mm));
        sizes
    };
    let lengths = from(BarSide::Length, first.length_mm);
    let sizes = from(BarSide::Width, first.width_mm)
        .into_iter()
        .flat_map(|width_mm| lengths.iter().map(move |length_mm| (width_mm, *length_mm)));
    for (width_mm, length_mm) in sizes {
        let bar = Bar { width_mm, length_mm, ..first.clone() };
        if let Some(placement) = lain(&bar, outline) {
            return (bar, placement);
        }
    }
    let figures = figures(first, outline);
    (first.clone(), Placement { at: figures.best_at, turn_deg: figures.best_turn_deg })
}

/// The outline on a bar with room on every side; `None` when there is none.
fn lain(bar: &Bar, outline: &Outline) -> Option<Placement> {
    let bounds = outline.bounds();
    let (spare, across) = (bar.length_mm - bounds.width(), bar.width_mm - bounds.height());
    if spare.min(across) >= 2.0 * ROOM_MM {
        let left = Point::new((spare / 2.0).min(FROM_END_MM), across / 2.0);
        let at = Point::ORIGIN + (left - Point::new(bounds.x0, bounds.y0));
        return Some(Placement { at, turn_deg: 0.0 });
    }
    let figures = figures(bar, outline);
    (figures.best_margin_mm >= ROOM_MM)
        .then_some(Placement { at: figures.best_at, turn_deg: figures.best_turn_deg })
}

fn place(turn_deg: f64, at: Point) -> Affine {
    Affine::translate(at.to_vec2()) * Affine::rotate(turn_deg.to_radians())
}

/// Turns whose margins differ by less are equals, mm.
const EQUAL_MM: f64 = 1e-6;
/// How near the best turn is found before the search goes on by golden section, degrees.
const FINE_DEG: f64 = 2e-3;
/// How far from the best turn of the hull, whose sides cut its curves short, the outline's own best
/// turn is looked for, degrees.
const ABOUT_DEG: f64 = 0.5;
/// An outline of more segments than this is as good as its hull.
const MAX_SEGMENTS: usize = 1000;

/// The best turn, and where the knife's origin lies then, the blank in the middle of the bar.
fn best(bar: &Bar, outline: &Outline) -> (f64, Point) {
    let origin = ParamCurve::start(&outline.segs()[0]);
    let hull: Vec<Vec2> = outline.hull().into_iter().map(|p| p - origin).collect();
    let of_hull = |turn_deg: f64| {
        let (sin, cos) = turn_deg.to_radians().sin_cos();
        let along = extent(&hull, Vec2::new(cos, -sin));
        let across = extent(&hull, Vec2::new(sin, cos));
        (bar.width_mm - across).min(bar.length_mm - along)
    };
    // No extent changes faster with the turn than the outline is wide.
    let steepest = outline.bounds().size().to_vec2().hypot().to_radians();
    let mut turn = highest(&of_hull, (-90.0, 90.0), COARSE, steepest);
    if outline.segs().len() <= MAX_SEGMENTS {
        let segs = outermost(outline, turn, steepest * 2.0 * ABOUT_DEG);
        let exact = |turn_deg: f64| {
            let turned = Affine::rotate(turn_deg.to_radians());
            let boxes = segs.iter().map(|seg| (turned * *seg).bounding_box());
            let Some(lain) = boxes.reduce(|a, b| a.union(b)) else { return f64::NEG_INFINITY };
            (bar.width_mm - lain.height()).min(bar.length_mm - lain.width())
        };
        turn = highest(&exact, (turn - ABOUT_DEG, turn + ABOUT_DEG), FEW, steepest);
    }
    // Half a turn brings the same box.
    if turn <= -90.0 {
        turn += 180.0;
    } else if turn > 90.0 {
        turn -= 180.0;
    }
    let lain = outline.transformed(Affine::rotate(turn.to_radians())).bounds();
    let middle = Point::new(bar.length_mm / 2.0, bar.width_mm / 2.0);
    (turn, Point::ORIGIN + (middle - lain.center()))
}

/// The segments that may reach the box's sides at turns near to this one: those whose control
/// points come within `slack_mm` of them.
fn outermost(outline: &Outline, turn_deg: f64, slack_mm: f64) -> Vec<PathSeg> {
    let turned = Affine::rotate(turn_deg.to_radians());
    let reach = |seg: &PathSeg| {
        let curve = (turned * *seg).to_cubic();
        Rect::from_points(curve.p0, curve.p3).union(Rect::from_points(curve.p1, curve.p2))
    };
    let whole = outline.transformed(turned).bounds().inset(-slack_mm);
    let far =
        |r: &Rect| r.x0 <= whole.x0 || r.x1 >= whole.x1 || r.y0 <= whole.y0 || r.y1 >= whole.y1;
    outline.segs().iter().filter(|seg| far(&reach(seg))).copied().collect()
}

/// The highest place of a function between two places that nowhere rises or falls steeper than
/// `steepest` (Piyavskii 1972): from `cells` even stretches on, those are halved again and again
/// that may hold a higher place than the highest so far. Of equals the place nearest to nothing.
fn highest(height: &dyn Fn(f64) -> f64, (low, high): (f64, f64), cells: u32, steepest: f64) -> f64 {
    let evaluate = |at: f64| (at, height(at));
    let mut width = (high - low) / f64::from(cells);
    let looks: Vec<(f64, f64)> =
        (0..=cells).map(|i| evaluate(low + width * f64::from(i))).collect();
    let better = |new: &(f64, f64), old: &(f64, f64)| {
        new.1 > old.1 + EQUAL_MM || (new.1 > old.1 - EQUAL_MM && new.0.abs() < old.0.abs())
    };
    let mut best = looks[0];
    for new in &looks {
        if better(new, &best) {
            best = *new;
        }
    }
    let mut pairs: Vec<[(f64, f64); 2]> = looks.windows(2).map(|w| [w[0], w[1]]).collect();
    while width > FINE_DEG {
        let promise = |[a, b]: &[(f64, f64); 2]| (a.1 + b.1 + steepest * width) / 2.0;
        pairs.retain(|pair| promise(pair) > best.1 + EQUAL_MM);
        pairs.sort_by(|a, b| promise(b).total_cmp(&promise(a)));
        pairs.truncate(MAX_CELLS);
        let mut halves = Vec::with_capacity(2 * pairs.len());
        for [a, b] in pairs {
            let middle = evaluate(f64::midpoint(a.0, b.0));
            if better(&middle, &best) {
                best = middle;
            }
            halves.extend([[a, middle], [middle, b]]);
        }
        pairs = halves;
        width /= 2.0;
    }
    let refined = evaluate(peak(height, best.0 - width, best.0 + width));
    if refined.1 > best.1 + EQUAL_MM / 100.0 { refined.0 } else { best.0 }
}

/// How near the best turn is found, degrees: on the longest bar far less than it could be laid to.
const NEAR_DEG: f64 = 1e-8;

/// Golden-section search for the highest place of a single peak.
fn peak(height: &dyn Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (high - ratio * (high - low), low + ratio * (high - low));
    let (mut at_a, mut at_b) = (height(a), height(b));
    while high - low > NEAR_DEG {
        // The inner place that is kept is where the next one would be looked for.
        if at_a < at_b {
            (low, a, at_a) = (a, b, at_b);
            b = low + ratio * (high - low);
            at_b = height(b);
        } else {
            (high, b, at_b) = (b, a, at_a);
            a = high - ratio * (high - low);
            at_a = height(a);
        }
    }
    f64::midpoint(low, high)
}

fn extent(points: &[Vec2], direction: Vec2) -> f64 {
    let (low, high) = points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
        let along = p.dot(direction);
        (low.min(along), high.max(along))
    });
    high - low
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use knife::Edit;
    use proptest::prelude::*;

    #[test]
    fn margins_are_told_on_every_side() {
        let knife = blank();
        let bar = reckoned(&knife).bar.unwrap();
        assert!(bar.fits);
        // 38.1 mm bar, 30 mm blank centred, 10 mm from the left end of 304.8 mm.
        let Margins { lower_mm, upper_mm, left_mm, right_mm } = bar.margins;
        for (message, expected) in
            [(lower_mm, 4.05), (upper_mm, 4.05), (left_mm, 10.0), (right_mm, 94.8)]
        {
            assert!((message - expected).abs() < 1e-9, "{message} {expected}");
        }
        assert!((bar.best_margin_mm - 4.05).abs() < 1e-6 && bar.best_turn_deg.abs() < 1e-3);
    }

    #[test]
    fn a_blank_that_fits_only_askew_is_turned() {
        // 304 mm long on a 300 mm bar 80 mm wide: straight it sticks out, askew it doesn't.
        let mut knife = Edit::ScaleToLength(304.0).apply(&blank()).unwrap();
        for node in &mut knife.profile.nodes {
            node.at.y *= 10.0 / 45.6;
        }
        (knife.bar.length_mm, knife.bar.width_mm) = (300.0, 80.0);
        let bar = reckoned(&knife).bar.unwrap();
        assert!(!bar.fits && bar.could_fit() && bar.best_turn_deg.abs() > 5.0, "{bar:?}");
        knife.bar.placement = Placement { at: bar.best_at, turn_deg: bar.best_turn_deg };
        let laid = reckoned(&knife).bar.unwrap();
        assert!(laid.fits && (laid.margins.min_mm() - bar.best_margin_mm).abs() < 1e-6);
    }

    #[test]
    fn the_usual_bar_is_the_first_that_takes_the_blank() {
        let tables = Tables::built_in();
        let outline = blank().profile.outline().unwrap();
        let first = blank().bar;
        let (bar, placement) = first_stock_bar(&first, &outline, LengthUnit::Inch, tables);
        assert_eq!((bar.width_mm, placement.turn_deg), (38.1, 0.0));
        let wide = outline.transformed(Affine::scale(1.6));
        let (bar, placement) = first_stock_bar(&first, &wide, LengthUnit::Inch, tables);
        // 320 × 48 mm wants 2 in and 18 in, common bar sizes.
        assert_eq!((bar.width_mm, bar.length_mm), (50.8, 457.2));
        let margin = wide.transformed(placement.bar_from_knife()).bounds();
        assert!(margin.y0 >= ROOM_MM && margin.x0 >= ROOM_MM);
        let huge = outline.transformed(Affine::scale(30.0));
        assert_eq!(first_stock_bar(&first, &huge, LengthUnit::Inch, tables).0, first);
    }

    /// Against a look at every 0.002° of the exact outline, for every starter on a bar on which
    /// both its length and its width matter.
    #[test]
    fn no_turn_of_a_curved_blank_is_better_than_the_best() {
        for starter in knife::STARTERS {
            let knife = starter.knife();
            let outline = knife.profile.outline().unwrap();
            let bounds = outline.bounds();
            for (longer, wider) in [(0.0, -3.0), (-1.0, 4.0), (30.0, 5.0)] {
                let bar = Bar {
                    length_mm: bounds.width() + longer,
                    width_mm: bounds.height() + wider,
                    ..knife.bar.clone()
                };
                let found = figures(&bar, &outline);
                let at = |turn_deg: f64| {
                    let lain = outline.transformed(Affine::rotate(turn_deg.to_radians())).bounds();
                    (bar.width_mm - lain.height()).min(bar.length_mm - lain.width()) / 2.0
                };
                let steps = (-900..900).map(|i| f64::from(i) * 0.1);
                let coarse = steps.max_by(|a, b| at(*a).total_cmp(&at(*b))).unwrap();
                let steps = (-1000..=1000).map(|i| coarse + f64::from(i) * 0.002);
                let fine = steps.max_by(|a, b| at(*a).total_cmp(&at(*b))).unwrap();
                assert!(
                    found.best_margin_mm >= at(fine) - 1e-6,
                    "{} {fine} {found:?}",
                    starter.key
                );
                let off = (found.best_turn_deg - fine).abs();
                let is_equal = found.best_margin_mm - at(fine) < 1e-4;
                assert!(off < 0.01 || is_equal, "{} {fine} {found:?}", starter.key);
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        #[test]
        fn the_best_turn_beats_every_other(turn in -60.0..60.0f64, other in -90.0..90.0f64) {
            let knife = Edit::Turn(turn).apply(&blank()).unwrap();
            let outline = knife.profile.outline().unwrap();
            let figures = figures(&knife.bar, &outline);
            let at = |turn_deg: f64| {
                let lain = outline.transformed(Affine::rotate(turn_deg.to_radians())).bounds();
                (knife.bar.width_mm - lain.height()).min(knife.bar.length_mm - lain.width()) / 2.0
            };
            prop_assert!(figures.best_margin_mm >= at(other) - 1e-4);
            prop_assert!((figures.best_margin_mm - at(figures.best_turn_deg)).abs() < 1e-9);
            prop_assert!((figures.best_turn_deg + turn).abs() < 1e-2);
        }
    }
}
