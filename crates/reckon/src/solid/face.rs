//! One bevelled face in section: from the edge up to the grind line.

use kurbo::common::solve_quadratic;
use kurbo::{Point, Vec2};

/// The shape a bevel is ground to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FaceShape {
    /// Straight from edge to grind line.
    Flat,
    /// An arc bulging into the steel, as a wheel of this radius leaves it, mm.
    Hollow(f64),
    /// An arc bulging out of the steel, of this radius, mm.
    Convex(f64),
}

/// A face in section: half thickness `edge_mm` at the edge, `stock_mm` at the grind line, which
/// lies `height_mm` above the edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Face {
    /// How it is ground.
    pub shape: FaceShape,
    /// Half thickness at the edge, mm.
    pub edge_mm: f64,
    /// Half thickness at the grind line, mm.
    pub stock_mm: f64,
    /// Height from edge to grind line, mm; positive.
    pub height_mm: f64,
}

/// The circle that a face lies on, in the plane of height over the edge and half thickness.
struct Arc {
    centre: Point,
    radius: f64,
    /// +1 when the face bulges into the steel, −1 when out of it.
    inward: f64,
}

impl Face {
    /// Half thickness at the share `u` of the height, from 0 at the edge to 1 at the grind
    /// line, mm.
    ///
    /// An arc through both ends with the radius given (circular segments: Machinery's Handbook,
    /// "Segments of circles"). A radius too small to span the chord is taken as the smallest
    /// that does; [`Face::spans`] tells.
    pub fn half_mm(&self, u: f64) -> f64 {
        let straight_mm = self.edge_mm + (self.stock_mm - self.edge_mm) * u;
        self.arc().map_or(straight_mm, |arc| {
            let along = u * self.height_mm - arc.centre.x;
            arc.centre.y - arc.inward * (arc.radius * arc.radius - along * along).max(0.0).sqrt()
        })
    }

    /// The circle of a hollow or convex face.
    fn arc(&self) -> Option<Arc> {
        let (radius_mm, inward) = match self.shape {
            FaceShape::Flat => return None,
            FaceShape::Hollow(radius_mm) => (radius_mm, 1.0),
            FaceShape::Convex(radius_mm) => (radius_mm, -1.0),
        };
        let (rise, half) = (self.stock_mm - self.edge_mm, self.chord_mm() / 2.0);
        if half == 0.0 {
            return None;
        }
        let radius = radius_mm.max(half);
        let away = inward * (radius * radius - half * half).max(0.0).sqrt();
        // The arc's centre lies beside the chord's middle, outside the steel for a hollow.
        let normal = Vec2::new(-rise, self.height_mm) / (2.0 * half);
        let middle = Point::new(self.height_mm / 2.0, f64::midpoint(self.edge_mm, self.stock_mm));
        Some(Arc { centre: middle + normal * away, radius, inward })
    }

    /// How far up from the edge the face is met by a plane that rises at this angle from the
    /// plane that half thicknesses are measured from, mm: the first place at which the steel
    /// comes to lie within it. `None` when that is not below the grind line.
    pub fn met_by_plane_mm(&self, angle_deg: f64) -> Option<f64> {
        /// A place beyond the grind line by no more than rounding lies on it, mm.
        const ON_MM: f64 = 1e-9;
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        if self.edge_mm >= self.stock_mm {
            return None;
        }
        let below_top = |up: &f64| (-ON_MM..=self.height_mm + ON_MM).contains(up);
        let Some(Arc { centre, radius, inward }) = self.arc() else {
            let steeper = sin / cos - (self.stock_mm - self.edge_mm) / self.height_mm;
            return Some(self.edge_mm / steeper).filter(|up| steeper > 0.0 && below_top(up));
        };
        let direction = Vec2::new(cos, sin);
        let from_centre = centre.to_vec2();
        let roots = solve_quadratic(
            from_centre.hypot2() - radius * radius,
            -2.0 * from_centre.dot(direction),
            1.0,
        );
        // On the arc's own side of the circle, and where the plane comes out of the steel: into
        // the wheel, or out of the round of a convex face.
        let meets = |s: &f64| {
            let out = direction * *s - from_centre;
            out.y * inward <= 0.0 && out.dot(direction) * inward <= 0.0
        };
        roots.into_iter().filter(meets).map(|s| s * cos).filter(below_top).min_by(f64::total_cmp)
    }

    /// Length of the straight line from edge to grind line on the face, mm.
    pub fn chord_mm(&self) -> f64 {
        self.height_mm.hypot(self.stock_mm - self.edge_mm)
    }

    /// Whether an arc of the stated radius can span the face at all.
    pub fn spans(&self) -> bool {
        match self.shape {
            FaceShape::Flat => true,
            FaceShape::Hollow(radius_mm) | FaceShape::Convex(radius_mm) => {
                radius_mm >= self.chord_mm() / 2.0
            }
        }
    }

    /// Angle a side, degrees, of the straight line from edge to grind line: atan((T − E) / h).
    pub fn angle_deg(&self) -> f64 {
        (self.stock_mm - self.edge_mm).atan2(self.height_mm).to_degrees()
    }

    /// The thinnest place of a hollow face: its height above the edge and its half thickness,
    /// mm. At the edge itself unless the wheel is so small that it leaves a waist.
    pub fn thinnest(&self) -> (f64, f64) {
        let FaceShape::Hollow(radius_mm) = self.shape else {
            return if self.stock_mm < self.edge_mm {
                (self.height_mm, self.stock_mm)
            } else {
                (0.0, self.edge_mm)
            };
        };
        let half = self.chord_mm() / 2.0;
        let radius = radius_mm.max(half);
        let away = (radius * radius - half * half).max(0.0).sqrt();
        let nx = -(self.stock_mm - self.edge_mm) / (2.0 * half);
        // Thinnest where the arc runs along the blade: straight beneath its centre.
        let height_mm = (self.height_mm / 2.0 + nx * away).max(0.0).min(self.height_mm);
        (height_mm, self.half_mm(height_mm / self.height_mm))
    }

    /// The least wheel diameter that leaves no waist: 2 L² / (t − e) with chord L, stock t and
    /// edge e. `None` when the face doesn't rise.
    pub fn min_wheel_mm(&self) -> Option<f64> {
        let rise = 2.0 * (self.stock_mm - self.edge_mm);
        (rise > 0.0).then(|| 2.0 * self.chord_mm().powi(2) / rise)
    }

    /// Area of the half section between centre plane and face, mm², by Simpson's rule.
    pub fn half_area_mm2(&self) -> f64 {
        const STEPS: u32 = 64;
        let weight = |i: u32| {
            if i == 0 || i == STEPS {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            }
        };
        let at = |i: u32| self.half_mm(f64::from(i) / f64::from(STEPS));
        let sum: f64 = (0..=STEPS).map(|i| weight(i) * at(i)).sum();
        sum * self.height_mm / (3.0 * f64::from(STEPS))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn face(shape: FaceShape, t: f64, e: f64, height_mm: f64) -> Face {
        Face { shape, edge_mm: e / 2.0, stock_mm: t / 2.0, height_mm }
    }

    // Values worked from the formulas of Machinery's Handbook (solution of right triangles).
    #[test]
    fn the_angle_a_side_is_the_handbooks() {
        for (t, e, height, angle, chord) in [
            (3.175, 0.508, 25.4, 3.005_269_4, 25.434_980_3),
            (3.175, 0.508, 31.75, 2.405_009_3, 31.777_991_2),
            (4.7625, 0.635, 38.1, 3.100_491_4, 38.155_852_3),
            (3.0, 0.5, 25.0, 2.862_405_2, 25.031_230_5),
            (2.381_25, 0.254, 38.1, 1.599_091_9, 38.114_843_5),
        ] {
            let face = face(FaceShape::Flat, t, e, height);
            assert!((face.angle_deg() - angle).abs() < 5e-8);
            assert!((face.chord_mm() - chord).abs() < 5e-8);
        }
    }

    // Values worked from the formulas of Machinery's Handbook (segments of circles) and checked
    // numerically: thinnest place, mid-height thickness, area of the section, least wheel.
    #[test]
    fn a_hollow_may_leave_a_waist() {
        for (t, e, height, wheel, at, thinnest, middle, area, min) in [
            (3.175, 0.508, 25.4, 254.0, 6.075_14, 0.217_22, 0.563_04, 25.114_48, 485.143),
            (4.7625, 0.508, 25.4, 254.0, 2.154_36, 0.471_45, 1.348_64, 45.137_35, 305.411),
            (6.35, 0.635, 31.75, 355.6, 0.0016, 0.635, 2.054_96, 80.446_22, 355.635),
        ] {
            let face = face(FaceShape::Hollow(wheel / 2.0), t, e, height);
            let (place, half) = face.thinnest();
            assert!((place - at).abs() < 6e-5, "{place}");
            assert!((2.0 * half - thinnest).abs() < 6e-6, "{half}");
            assert!((2.0 * face.half_mm(0.5) - middle).abs() < 6e-6);
            assert!((2.0 * face.half_area_mm2() - area).abs() < 6e-6);
            assert!((face.min_wheel_mm().unwrap() - min).abs() < 6e-4);
        }
        let sound = face(FaceShape::Hollow(127.0), 4.7625, 0.508, 19.05);
        let (place, half) = sound.thinnest();
        assert!(place == 0.0 && (half - 0.254).abs() < 1e-9);
        assert!((2.0 * sound.half_area_mm2() - 40.942_89).abs() < 6e-6);
    }

    #[test]
    fn a_wheel_smaller_than_half_the_face_cannot_span_it() {
        assert!(!face(FaceShape::Hollow(12.0), 3.0, 0.5, 25.0).spans());
        assert!(face(FaceShape::Hollow(13.0), 3.0, 0.5, 25.0).spans());
        assert!(face(FaceShape::Hollow(12.0), 3.0, 0.5, 25.0).half_mm(0.5).is_finite());
    }

    proptest! {
        #[test]
        fn every_shape_meets_edge_and_grind_line(
            t in 1.0..8.0, e in 0.0..0.9, height_mm in 2.0..60.0, radius in 50.0..900.0,
        ) {
            for shape in [FaceShape::Flat, FaceShape::Hollow(radius), FaceShape::Convex(radius)] {
                let face = face(shape, t, e, height_mm);
                prop_assert!((face.half_mm(0.0) - e / 2.0).abs() < 1e-9);
                prop_assert!((face.half_mm(1.0) - t / 2.0).abs() < 1e-9);
            }
            let at = |shape| face(shape, t, e, height_mm).half_mm(0.5);
            prop_assert!(at(FaceShape::Hollow(radius)) < at(FaceShape::Flat));
            prop_assert!(at(FaceShape::Flat) < at(FaceShape::Convex(radius)));
        }
    }
}
