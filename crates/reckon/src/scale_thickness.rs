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
