//! The table of offsets: heights of belly and spine at even stations, to draw the outline again.

use super::figures::grid;
use crate::views::drilling::stations::first;
use knife::Knife;
use kurbo::{Line, Point};
use marks::Drawing;
use outline::Outline;
use reckon::{OriginFrame, ProfileFigures, Reckoning};
use units::LengthUnit;

/// Stations of one table at most; a longer knife has them farther apart.
const STATIONS: usize = 40;
/// Nearer to an end of the knife, where its outline stands upright, no height is told, mm.
const END_MM: f64 = 1.0;
/// Blocks of columns side by side.
const BLOCKS: usize = 3;

/// Heights of belly and spine at even stations, all from the origin.
pub(super) fn table(knife: &Knife, reckoning: &Reckoning) -> Option<Drawing> {
    let (profile, outline) = (reckoning.profile.as_ref()?, reckoning.outline.as_ref()?);
    let origin = &reckoning.origin;
    let step = step_mm(profile.length_mm, knife.unit);
    let show = |mm: f64| first(mm, knife.unit);
    let mut stations: Vec<[String; 3]> = Vec::new();
    for along in places(profile, origin, step).into_iter().take(2 * STATIONS) {
        if let Some((low, high)) = heights(outline, origin.to_knife_x(along)) {
            stations.push([
                show(along),
                show(origin.to_local_y(low)),
                show(origin.to_local_y(high)),
            ]);
        }
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
    Some(grid(&format!("Outline {}, {unit}", origin.from_phrase()), &rows))
}

/// Round coordinates along the knife, from the tip on: at every step, and at every half step near
/// the tip, where the outline turns most.
fn places(profile: &ProfileFigures, origin: &OriginFrame, step: f64) -> Vec<f64> {
    let bounds = profile.bounds;
    let (tip, butt) = if profile.towards_butt > 0.0 {
        (origin.to_local_x(bounds.x0), origin.to_local_x(bounds.x1))
    } else {
        (origin.to_local_x(bounds.x1), origin.to_local_x(bounds.x0))
    };
    let (low, high) = (tip.min(butt) + END_MM, tip.max(butt) - END_MM);
    let half = step / 2.0;
    let (first, last) = ((low / half).ceil(), (high / half).floor());
    #[expect(clippy::cast_possible_truncation, reason = "at most some hundred half steps")]
    let halves = first as i64..=last as i64;
    #[expect(clippy::cast_precision_loss, reason = "at most some hundred half steps")]
    let at = |i: i64| i as f64 * half;
    let wanted = |i: &i64| i % 2 == 0 || (at(*i) - tip).abs() < 2.0 * step;
    let mut places: Vec<f64> = halves.filter(wanted).map(at).collect();
    if tip > butt {
        places.reverse();
    }
    places
}

fn heads() -> [String; BLOCKS * 3] {
    std::array::from_fn(|i| ["x", "Belly y", "Spine y"][i % 3].to_owned())
}

/// A round step that gives no more than so many stations, mm.
fn step_mm(length_mm: f64, unit: LengthUnit) -> f64 {
    let steps = match unit {
        LengthUnit::Inch => [12.7, 25.4, 50.8, 127.0],
        LengthUnit::Millimetre => [10.0, 20.0, 50.0, 100.0],
    };
    let [.., last] = steps;
    #[expect(clippy::cast_precision_loss, reason = "a handful of stations")]
    let max = STATIONS as f64 - 4.0;
    steps.into_iter().find(|step| length_mm / step <= max).unwrap_or(last)
}

/// The outline's lowest and highest place at a station.
fn heights(outline: &Outline, x: f64) -> Option<(f64, f64)> {
    let inside = outline.inside_intervals(Line::new(Point::new(x, 0.0), Point::new(x, 1.0)));
    let ys = || inside.iter().flat_map(|(a, b)| [a.y, b.y]);
    (!inside.is_empty()).then(|| (ys().fold(f64::MAX, f64::min), ys().fold(f64::MIN, f64::max)))
}
