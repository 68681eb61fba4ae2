//! The table of offsets: heights of belly and spine at even stations, to draw the outline again.

use super::figures::grid;
use super::origin;
use crate::Drawing;
use crate::views::drilling::stations::first;
use knife::Knife;
use kurbo::{Line, Point};
use outline::Outline;
use reckon::Reckoning;
use units::LengthUnit;

/// Stations of one table at most; a longer knife has them farther apart.
const STATIONS: usize = 40;
/// Blocks of columns side by side.
const BLOCKS: usize = 3;

/// Heights above the blank's lowest line, at even stations from the tip.
pub(super) fn table(knife: &Knife, reckoning: &Reckoning) -> Option<Drawing> {
    let (profile, outline) = (reckoning.profile.as_ref()?, reckoning.outline.as_ref()?);
    let (tip, way) = origin(profile);
    let step = step_mm(profile.length_mm, knife.unit);
    let told = |mm: f64| first(mm, knife.unit);
    let mut stations: Vec<[String; 3]> = Vec::new();
    let mut along = step / 2.0;
    while along < profile.length_mm - 1e-6 && stations.len() < 2 * STATIONS {
        if let Some((low, high)) = heights(outline, tip + way * along) {
            let base = profile.bounds.y0;
            stations.push([told(along), told(low - base), told(high - base)]);
        }
        // Closer at the tip, where the outline turns most.
        along += if along < 2.0 * step { step / 2.0 } else { step };
    }
    let tall = stations.len().div_ceil(BLOCKS);
    if tall == 0 {
        return None;
    }
    let mut rows = vec![heads()];
    for k in 0..tall {
        let cell = |i: usize| {
            let station = stations.get(k + tall * (i / 3));
            station.and_then(|s| s.get(i % 3)).cloned().unwrap_or_default()
        };
        rows.push(std::array::from_fn(cell));
    }
    let unit = match knife.unit {
        LengthUnit::Inch => "inches",
        LengthUnit::Millimetre => "millimetres",
    };
    Some(grid(&format!("Outline: heights above its lowest line, {unit}"), &rows))
}

fn heads() -> [String; BLOCKS * 3] {
    std::array::from_fn(|i| ["From tip", "Belly", "Spine"][i % 3].to_owned())
}

/// A round step that gives no more than so many stations, mm.
fn step_mm(length_mm: f64, unit: LengthUnit) -> f64 {
    let steps = match unit {
        LengthUnit::Inch => [12.7, 25.4, 50.8, 127.0],
        LengthUnit::Millimetre => [10.0, 20.0, 50.0, 100.0],
    };
    let [.., last] = steps;
    #[expect(clippy::cast_precision_loss, reason = "a handful of stations")]
    let most = STATIONS as f64 - 4.0;
    steps.into_iter().find(|step| length_mm / step <= most).unwrap_or(last)
}

/// The outline's lowest and highest place at a station.
fn heights(outline: &Outline, x: f64) -> Option<(f64, f64)> {
    let inside = outline.inside_on(Line::new(Point::new(x, 0.0), Point::new(x, 1.0)));
    let ys = || inside.iter().flat_map(|(a, b)| [a.y, b.y]);
    (!inside.is_empty()).then(|| (ys().fold(f64::MAX, f64::min), ys().fold(f64::MIN, f64::max)))
}
