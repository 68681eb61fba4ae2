//! How the handle is shaped: thickness along it, the faces left flat, and how it fills the hand.

use crate::ScaleFigures;
use crate::context::FigureContext;
use crate::intervals::spans;
use crate::scale_thickness_mm;
use knife::Corner;

/// Where along the scales the handle is looked at, as shares of their length from the front, with
/// the words for each. (Nearer to its ends the section is that of a front bevel or a round butt.)
const STATIONS: [(f64, &str); 5] = [
    (0.1, "front"),
    (0.3, "before the middle"),
    (0.5, "middle"),
    (0.7, "behind the middle"),
    (0.9, "butt"),
];

/// The handle cut through at one station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GripStation {
    /// Where, in words.
    pub label: &'static str,
    /// Where, x in mm.
    pub x_mm: f64,
    /// Width of the tang, and of the flush scales, mm.
    pub width_mm: f64,
    /// Thickness of one scale, mm.
    pub scale_mm: f64,
    /// Thickness of the whole handle: tang, joints, liners and scales, mm.
    pub thickness_mm: f64,
    /// Width of a scale's face left flat between its two corners, mm; negative when they meet.
    pub face_mm: f64,
    /// Girth round the handle, mm: the rectangle's, less what each of its four corners saves. A
    /// chamfer w wide at the angle a from the face saves w + w tan a − w / cos a, a quarter round
    /// of radius r saves 2 r − π r / 2. `None` when a corner doesn't go onto its scale.
    pub girth_mm: Option<f64>,
}

/// How the handle is shaped.
#[derive(Clone, Debug, PartialEq)]
pub struct ShapingFigures {
    /// The stations, from the front to the butt.
    pub stations: Vec<GripStation>,
    /// The girth that the maker's own hand likes, mm.
    pub hand_mm: Option<f64>,
    /// How far the chamfer or the round reaches over the face, from the edge, mm; 0 without.
    pub over_face_mm: f64,
    /// How far it reaches down the scale's side, from the face, mm; 0 without.
    pub down_side_mm: f64,
}

impl GripStation {
    /// How much more there is round the handle than the hand likes, mm.
    pub fn over_hand_mm(&self, hand_mm: f64) -> Option<f64> {
        Some(self.girth_mm? - hand_mm)
    }
}

/// `None` without scales or with nothing stated of their shape.
pub(crate) fn figures(ctx: &FigureContext<'_>, scales: &ScaleFigures) -> Option<ShapingFigures> {
    let shaping = &ctx.knife.handle.shaping;
    if *shaping == knife::Shaping::default() {
        return None;
    }
    let CornerReach { over_face_mm, down_side_mm, .. } = CornerReach::of(shaping.corner);
    let stations = stations(ctx, scales);
    Some(ShapingFigures { stations, hand_mm: shaping.hand_mm, over_face_mm, down_side_mm })
}

/// How far a corner reaches, and what it saves of the girth, mm.
struct CornerReach {
    over_face_mm: f64,
    down_side_mm: f64,
    saved_mm: f64,
}

impl CornerReach {
    fn of(corner: Option<Corner>) -> Self {
        let (over_face_mm, down_side_mm, saved_mm) = match corner {
            None => (0.0, 0.0, 0.0),
            Some(Corner::Chamfer { width_mm, angle_deg }) => {
                let angle = angle_deg.to_radians();
                let side = width_mm * angle.tan();
                (width_mm, side, width_mm + side - width_mm / angle.cos())
            }
            Some(Corner::Round(radius)) => {
                (radius, radius, radius * (2.0 - std::f64::consts::FRAC_PI_2))
            }
        };
        Self { over_face_mm, down_side_mm, saved_mm }
    }
}

/// The handle cut through at its five places, from the front to the butt, where there is a tang.
pub(crate) fn stations(ctx: &FigureContext<'_>, scales: &ScaleFigures) -> Vec<GripStation> {
    let FigureContext { knife, outline, profile, field, .. } = *ctx;
    let corner = CornerReach::of(knife.handle.shaping.corner);
    let bounds = scales.outline.bounds();
    let front = if profile.towards_butt > 0.0 { bounds.x0 } else { bounds.x1 };
    let station = |(share, label): (f64, &'static str)| {
        let x_mm = front + profile.towards_butt * share * bounds.width();
        let width_mm: f64 = spans(outline, x_mm).iter().map(|(low, high)| high - low).sum();
        let scale_mm = scale_thickness_mm(knife, x_mm)?;
        let thickness_mm = field.stock_at(x_mm) + 2.0 * (knife.handle.under_scale_mm() + scale_mm);
        let face_mm = width_mm - 2.0 * corner.over_face_mm;
        let fits = face_mm >= 0.0 && corner.down_side_mm <= scale_mm;
        let around_mm = 2.0 * (width_mm + thickness_mm) - 4.0 * corner.saved_mm;
        let girth_mm = fits.then_some(around_mm);
        let sound =
            GripStation { label, x_mm, width_mm, scale_mm, thickness_mm, face_mm, girth_mm };
        (width_mm > 0.0).then_some(sound)
    };
    STATIONS.into_iter().filter_map(station).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, reckoned};
    use knife::{Knife, Scales};

    fn shaped(corner: Option<Corner>) -> Knife {
        let mut knife = blank();
        knife.bar.thickness_mm = 4.0;
        knife.scales = Some(Scales { front_x_mm: 100.0, thickness_mm: 6.0 });
        knife.handle.glue_mm = Some(0.0);
        knife.handle.shaping.corner = corner;
        knife.handle.shaping.hand_mm = Some(90.0);
        knife
    }

    // By hand: tang 30 × 4, scales 6: a rectangle of 30 × 16, 92 mm round. A chamfer 3 mm wide at
    // 45° takes 3 + 3 − 3√2 off each corner, a round of 4 mm 8 − 2π.
    #[test]
    fn girth_and_faces_are_those_of_the_rectangle_with_its_corners() {
        let plain = reckoned(&shaped(None)).shaping.unwrap();
        assert_eq!(plain.stations.len(), 5);
        assert_eq!(plain.stations[2].x_mm, 150.0);
        let middle = |corner| reckoned(&shaped(Some(corner))).shaping.unwrap().stations[2];
        assert!((plain.stations[2].girth_mm.unwrap() - 92.0).abs() < 1e-9);
        let flat = middle(Corner::Chamfer { width_mm: 3.0, angle_deg: 45.0 });
        assert!((flat.girth_mm.unwrap() - (92.0 - 24.0 + 12.0 * 2.0_f64.sqrt())).abs() < 1e-9);
        assert!((flat.face_mm - 24.0).abs() < 1e-9);
        let round = middle(Corner::Round(4.0));
        let by_hand = 92.0 - 32.0 + 8.0 * std::f64::consts::PI;
        assert!((round.girth_mm.unwrap() - by_hand).abs() < 1e-9);
        assert!((round.face_mm - 22.0).abs() < 1e-9);
        assert!((round.over_hand_mm(90.0).unwrap() - (by_hand - 90.0)).abs() < 1e-9);
        // A round of 7 mm doesn't go onto a scale of 6.
        assert_eq!(middle(Corner::Round(7.0)).girth_mm, None);
        assert!(reckoned(&blank()).shaping.is_none());
    }
}
