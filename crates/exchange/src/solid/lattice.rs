//! Places that a 32-bit float holds exactly, so that a mesh is the same in every format.

use super::SolidFault;
use kurbo::{Point, Rect};

/// A 32-bit float holds whole numbers up to two to this power exactly (IEEE 754, binary32).
const FLOAT_BITS: i32 = 23;
/// Edges between snapped points can be halved so often and still end on the lattice.
const HALVINGS: i32 = 3;
/// A lattice coarser than this would show, mm.
const COARSEST_MM: f64 = 2e-3;

/// A square lattice fine enough for a mesh and coarse enough for 32-bit floats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Lattice {
    fine_mm: f64,
}

impl Lattice {
    /// The lattice for everything within `bounds`, mm.
    ///
    /// # Errors
    /// [`SolidFault::TooFar`] when it lies so far from the origin that steps would show.
    pub(crate) fn within(bounds: Rect) -> Result<Self, SolidFault> {
        let far = |most: f64, v: f64| most.max(v.abs());
        let far_mm = [bounds.x0, bounds.x1, bounds.y0, bounds.y1].into_iter().fold(1.0, far);
        let fine_mm = (far_mm.log2().ceil() - f64::from(FLOAT_BITS)).exp2();
        if fine_mm.is_finite() && fine_mm * f64::from(HALVINGS).exp2() <= COARSEST_MM * 8.0 {
            Ok(Self { fine_mm })
        } else {
            Err(SolidFault::TooFar { distance_mm: far_mm })
        }
    }

    /// The nearest place from which edges can be halved.
    pub(crate) fn coarse(&self, p: Point) -> Point {
        let step = self.fine_mm * f64::from(HALVINGS).exp2();
        Point::new((p.x / step).round() * step, (p.y / step).round() * step)
    }

    /// The nearest place of the lattice.
    pub(crate) fn fine(&self, p: Point) -> Point {
        Point::new(
            (p.x / self.fine_mm).round() * self.fine_mm,
            (p.y / self.fine_mm).round() * self.fine_mm,
        )
    }

    /// Whether a place lies on the lattice.
    pub(crate) fn holds(&self, p: Point) -> bool {
        self.fine(p) == p
    }

    /// A height in steps of the lattice.
    pub(crate) fn steps(&self, mm: f64) -> i64 {
        // Casting saturates; heights are some mm.
        (mm / self.fine_mm).round() as i64
    }

    /// The height of so many steps, mm.
    pub(crate) fn mm(&self, steps: i64) -> f64 {
        steps as f64 * self.fine_mm
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn places_and_halved_edges_survive_a_32_bit_float(
            x in -600.0..600.0_f64, y in -600.0..600.0_f64, u in -600.0..600.0_f64,
        ) {
            let lattice = Lattice::within(Rect::new(-600.0, -600.0, 600.0, 600.0)).unwrap();
            let a = lattice.coarse(Point::new(x, y));
            let b = lattice.coarse(Point::new(u, y));
            prop_assert!(a.distance(Point::new(x, y)) < 1e-3);
            for p in [a, a.midpoint(b), a.midpoint(a.midpoint(b)), lattice.fine(Point::new(y, u))] {
                prop_assert!(lattice.holds(p));
                prop_assert_eq!(f64::from(p.x as f32).to_bits(), p.x.to_bits());
            }
            prop_assert_eq!(lattice.mm(lattice.steps(a.x)).to_bits(), a.x.to_bits());
        }
    }

    #[test]
    fn what_lies_ten_kilometres_off_is_refused() {
        assert!(Lattice::within(Rect::new(1e7, 0.0, 1e7 + 200.0, 30.0)).is_err());
        assert!(Lattice::within(Rect::new(-3000.0, 0.0, 0.0, 30.0)).is_ok());
    }
}
