//! The volume of a scale and where its middle lies, even where its thickness changes.

use crate::scale_thickness_mm;
use knife::Knife;
use kurbo::common::{GAUSS_LEGENDRE_COEFFS_3, GAUSS_LEGENDRE_COEFFS_16};
use kurbo::{ParamCurve, ParamCurveDeriv, Point, Vec2};
use outline::Outline;
use std::f64::consts::PI;

/// A volume, mm³, and its first moment in the knife's plane, mm⁴.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Body {
    pub(crate) mm3: f64,
    pub(crate) moment: Vec2,
}

impl Body {
    /// Adds a volume whose middle lies there.
    pub(crate) fn add(&mut self, at: Point, mm3: f64) {
        self.mm3 += mm3;
        self.moment += at.to_vec2() * mm3;
    }
}

/// Area of a circle of this diameter, mm².
pub(crate) fn round_mm2(diameter_mm: f64) -> f64 {
    PI * diameter_mm * diameter_mm / 4.0
}

/// What stands on an outline, as thick as a scale is there.
///
/// Exact. Where the thickness changes, the outline is cut at the places where it is stated: from
/// one to the next it is a cubic in x, and ∫ t dA = ∮ T dy with T = ∫ t dx (Green's theorem) is an
/// integral of polynomials, of degree 17 at most in a curve's own parameter.
pub(crate) fn prism(knife: &Knife, outline: &Outline) -> Body {
    let places = &knife.handle.shaping.thickness;
    let mut body = Body::default();
    if places.is_empty() {
        let thick_mm = knife.scales.map_or(0.0, |scales| scales.thickness_mm);
        body.add(outline.centroid(), outline.area() * thick_mm);
        return body;
    }
    let ahead = Vec2::new(1.0, 0.0);
    let mut rest = Some(outline.clone());
    for place in places {
        let Some(left) = rest.take() else { break };
        let bounds = left.bounds();
        if place.x_mm <= bounds.x0 {
            rest = Some(left);
            continue;
        }
        if place.x_mm >= bounds.x1 {
            add_strip(knife, &left, &mut body);
            return body;
        }
        let at = Point::new(place.x_mm, 0.0);
        if let Some(strip) = left.clipped_to_half_plane(at, -ahead) {
            add_strip(knife, &strip, &mut body);
        }
        rest = left.clipped_to_half_plane(at, ahead);
    }
    if let Some(strip) = &rest {
        add_strip(knife, strip, &mut body);
    }
    body
}

/// Adds a strip over which the thickness is one cubic.
fn add_strip(knife: &Knife, strip: &Outline, body: &mut Body) {
    let bounds = strip.bounds();
    let from = bounds.x0;
    // Rounding may lay a corner beyond the strip, where the thickness is another cubic.
    let thick =
        |x: f64| scale_thickness_mm(knife, x.max(bounds.x0).min(bounds.x1)).unwrap_or_default();
    let (mut mm3, mut moment) = (0.0, Vec2::ZERO);
    for seg in strip.segs() {
        let cubic = seg.to_cubic();
        let slope = cubic.deriv();
        for (weight, node) in GAUSS_LEGENDRE_COEFFS_16 {
            let s = 0.5 * (node + 1.0);
            let (p, dy) = (cubic.eval(s), slope.eval(s).y * 0.5 * weight);
            let half = 0.5 * (p.x - from);
            for (weight, node) in GAUSS_LEGENDRE_COEFFS_3 {
                let x = from + half * (node + 1.0);
                let share = weight * half * thick(x) * dy;
                mm3 += share;
                moment += Vec2::new(x, p.y) * share;
            }
        }
    }
    let sense = mm3.signum();
    body.mm3 += sense * mm3;
    body.moment += sense * moment;
}
