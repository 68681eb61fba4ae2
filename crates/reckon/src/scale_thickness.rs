//! Thickness of a scale along the handle.

use knife::{Knife, ThicknessAt};

/// Thickness of one scale at a station, mm: through the places stated, even beyond the first and
/// the last; without any, as stated of the scales. `None` without scales.
///
/// Between two places it is the cubic with the slopes at both, a monotone one (Fritsch and Carlson
/// 1980); at the first and the last place the slope is 0, at one between them the weighted harmonic
/// mean of the slopes of the straight lines on both sides, or 0 where these differ in sign (Fritsch
/// and Butland 1984, as in SciPy's PCHIP): so the curve has no kink and rises and falls only as the
/// places do. With widths h₀, h₁ and slopes d₀, d₁ before and behind it that mean is
/// 3 (h₀ + h₁) / ((2 h₁ + h₀)/d₀ + (h₁ + 2 h₀)/d₁).
pub fn scale_thickness_mm(knife: &Knife, x_mm: f64) -> Option<f64> {
    let scales = knife.scales?;
    Some(smooth(&knife.handle.shaping.thickness, x_mm).unwrap_or(scales.thickness_mm))
}

fn smooth(places: &[ThicknessAt], x_mm: f64) -> Option<f64> {
    let (first, last) = (places.first()?, places.last()?);
    if x_mm <= first.x_mm {
        return Some(first.thickness_mm);
    }
    if x_mm >= last.x_mm {
        return Some(last.thickness_mm);
    }
    let i = places.partition_point(|place| place.x_mm <= x_mm) - 1;
    let (a, b) = (places[i], places[i + 1]);
    let (h, t) = (b.x_mm - a.x_mm, (x_mm - a.x_mm) / (b.x_mm - a.x_mm));
    let (t2, t3) = (t * t, t * t * t);
    Some(
        a.thickness_mm * (2.0 * t3 - 3.0 * t2 + 1.0)
            + b.thickness_mm * (3.0 * t2 - 2.0 * t3)
            + h * slope(places, i) * (t3 - 2.0 * t2 + t)
            + h * slope(places, i + 1) * (t3 - t2),
    )
}

/// Slope at a place.
fn slope(places: &[ThicknessAt], i: usize) -> f64 {
    let (Some(before), Some(after)) = (i.checked_sub(1).map(|k| places[k]), places.get(i + 1))
    else {
        return 0.0;
    };
    let at = places[i];
    let (h0, h1) = (at.x_mm - before.x_mm, after.x_mm - at.x_mm);
    let (d0, d1) =
        ((at.thickness_mm - before.thickness_mm) / h0, (after.thickness_mm - at.thickness_mm) / h1);
    // Places at the same x have no slope between them.
    if !(d0 * d1 > 0.0 && d0.is_finite() && d1.is_finite()) {
        return 0.0;
    }
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    (w0 + w1) / (w0 / d0 + w1 / d1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::blank;
    use knife::Scales;
    use proptest::prelude::*;

    // By hand: from 8 to 4 mm over 100 mm with level ends, 8 − 4 (3 t² − 2 t³): 6 in the middle,
    // 7.375 at a quarter; even beyond. With 6 mm at 150 the slopes there are equal on both sides
    // (−0.04), so is their mean: at a quarter of the first half
    // 8 (0.84375) + 6 (0.15625) + 50 × −0.04 × (0.015625 − 0.0625) = 7.78125.
    #[test]
    fn thickness_is_smooth_through_its_places_and_even_beyond() {
        let at = |x_mm: f64, thickness_mm: f64| ThicknessAt { x_mm, thickness_mm };
        let mut knife = blank();
        knife.scales = Some(Scales { front_x_mm: 100.0, thickness_mm: 6.0 });
        let thick = |knife: &Knife, x| scale_thickness_mm(knife, x).unwrap();
        assert_eq!(thick(&knife, 150.0), 6.0);
        knife.handle.shaping.thickness = vec![at(100.0, 8.0), at(200.0, 4.0)];
        for (x, expected) in [(50.0, 8.0), (150.0, 6.0), (125.0, 7.375), (250.0, 4.0)] {
            assert!((thick(&knife, x) - expected).abs() < 1e-12, "{x}");
        }
        knife.handle.shaping.thickness.insert(1, at(150.0, 6.0));
        assert!((thick(&knife, 112.5) - 7.781_25).abs() < 1e-12);
    }

    // Against SciPy 1.17.1: CubicHermiteSpline([0, 20, 50, 90], [7, 5, 6.5, 9], s), where s are
    // PchipInterpolator's own slopes with those at both ends set to 0.
    #[test]
    fn thickness_is_that_of_scipy() {
        let places = [(0.0, 7.0), (20.0, 5.0), (50.0, 6.5), (90.0, 9.0)]
            .map(|(x_mm, thickness_mm)| ThicknessAt { x_mm, thickness_mm });
        for (x, expected) in SCIPY {
            assert!((smooth(&places, x).unwrap() - expected).abs() < 1e-9, "{x}");
        }
    }

    const SCIPY: [(f64, f64); 4] = [
        (10.0, 6.000000000000),
        (30.0, 5.266081871345),
        (60.0, 7.201480263158),
        (80.0, 8.712993421053),
    ];

    proptest! {
        #[test]
        fn thickness_never_leaves_its_neighbours(
            thick in prop::collection::vec(3.0..12.0_f64, 2..8),
            steps in prop::collection::vec(1.0..40.0_f64, 8),
            share in 0.0..1.0_f64,
        ) {
            let mut x_mm = 0.0;
            let places: Vec<ThicknessAt> = thick.iter().zip(&steps).map(|(t, step)| {
                x_mm += step;
                ThicknessAt { x_mm, thickness_mm: *t }
            }).collect();
            for pair in places.windows(2) {
                let x = pair[0].x_mm + share * (pair[1].x_mm - pair[0].x_mm);
                let (a, b) = (pair[0].thickness_mm, pair[1].thickness_mm);
                let here = smooth(&places, x).unwrap();
                prop_assert!(here >= a.min(b) - 1e-9 && here <= a.max(b) + 1e-9, "{here}");
            }
        }
    }
}
