//! The place of an edge between its own bright and dark plateaus.

use crate::Gray;
use kurbo::{Point, Vec2};

/// The least step between plateaus that counts as an edge, tones.
const MIN_STEP: f64 = 16.0;
/// Samples along a profile to each side of its middle.
const HALF: usize = 12;

/// The edge near `at` along the unit normal `toward_light`, looked for within `reach` pixels: the
/// place half way between the mean tones of the outer thirds of the profile. `None` where there is
/// no step from dark to light.
///
/// One threshold for the whole picture moves an edge by a part of the blur wherever its plateaus
/// differ from the picture's; half way between its own plateaus it stays.
pub(crate) fn edge(gray: &Gray, at: Point, toward_light: Vec2, reach: f64) -> Option<Point> {
    let step = reach / HALF as f64;
    let mut tones = [0.0; 2 * HALF + 1];
    for (i, tone) in tones.iter_mut().enumerate() {
        let along = (i as f64 - HALF as f64) * step;
        *tone = gray.sample(at + toward_light * along);
    }
    let third = 2 * HALF / 3 / 2;
    let mean = |tones: &[f64]| tones.iter().sum::<f64>() / tones.len() as f64;
    let (dark, light) = (mean(&tones[..=third]), mean(&tones[2 * HALF - third..]));
    if light - dark < MIN_STEP {
        return None;
    }
    let level = (dark + light) / 2.0;
    let crossing = |i: usize| {
        let (a, b) = (tones[i] - level, tones[i + 1] - level);
        (a < 0.0 && b >= 0.0).then(|| i as f64 + a / (a - b))
    };
    let middle = HALF as f64;
    let nearest = (0..2 * HALF)
        .filter_map(crossing)
        .min_by(|a, b| (a - middle).abs().total_cmp(&(b - middle).abs()))?;
    Some(at + toward_light * ((nearest - middle) * step))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ramp_is_halved_whatever_its_plateaus() {
        for (dark, light) in [(10.0, 240.0), (60.0, 110.0)] {
            let tone = |x: usize| {
                let part = ((x as f64 + 0.5 - 17.3) / 4.0).clamp(0.0, 1.0);
                (dark + (light - dark) * part) as u8
            };
            let data = (0..40 * 40).map(|i| tone(i % 40)).collect();
            let gray = Gray::new(40, 40, data).unwrap();
            let found = edge(&gray, Point::new(18.0, 20.0), Vec2::new(1.0, 0.0), 7.0).unwrap();
            assert!((found.x - 19.3).abs() < 0.06, "{found}");
            assert!(edge(&gray, Point::new(18.0, 20.0), Vec2::new(-1.0, 0.0), 7.0).is_none());
        }
    }
}
