//! Forge, oven and quench tank: their insides, and what goes into them.

/// The inside of a forge, an oven or a tank (of a tank, up to the oil's level).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Chamber {
    /// A box.
    Box {
        /// Inside width, mm.
        width_mm: f64,
        /// Inside height, mm.
        height_mm: f64,
        /// Inside length (depth), mm.
        length_mm: f64,
    },
    /// A tube.
    Round {
        /// Inside diameter, mm.
        diameter_mm: f64,
        /// Inside length, mm.
        length_mm: f64,
    },
}

impl Chamber {
    /// Its inside length, mm.
    pub fn length_mm(&self) -> f64 {
        match *self {
            Self::Box { length_mm, .. } | Self::Round { length_mm, .. } => length_mm,
        }
    }

    /// Whether a flat piece goes in whole, standing, lying or slanted in one plane, with
    /// `clearance_mm` to every wall.
    pub fn fits(&self, piece: FlatPiece, clearance_mm: f64) -> bool {
        match self.less(clearance_mm) {
            Self::Box { width_mm: a, height_mm: b, length_mm: c } => {
                [(a, b, c), (b, a, c), (c, a, b)].into_iter().any(|(across, long, wide)| {
                    piece.thickness_mm <= across
                        && rectangle_fits((piece.length_mm, piece.width_mm), (long, wide))
                })
            }
            Self::Round { diameter_mm, length_mm } => {
                // The widest plane that leaves room for the thickness.
                let wide = (diameter_mm.powi(2) - piece.thickness_mm.powi(2)).max(0.0).sqrt();
                diameter_mm >= piece.thickness_mm
                    && rectangle_fits((piece.length_mm, piece.width_mm), (length_mm, wide))
            }
        }
    }

    /// Whether the section of a piece goes in at the mouth, the rest of its length sticking out,
    /// with `clearance_mm` to every wall.
    pub fn fits_section(&self, piece: FlatPiece, clearance_mm: f64) -> bool {
        let section = (piece.width_mm, piece.thickness_mm);
        match self.less(clearance_mm) {
            Self::Box { width_mm, height_mm, .. } => rectangle_fits(section, (width_mm, height_mm)),
            Self::Round { diameter_mm, .. } => section.0.hypot(section.1) <= diameter_mm,
        }
    }

    /// What is left within a clearance to every wall, the longest side first, mm.
    pub(crate) fn room_mm(&self, clearance_mm: f64) -> [f64; 3] {
        let mut sides = match self.less(clearance_mm) {
            Self::Box { width_mm, height_mm, length_mm } => [width_mm, height_mm, length_mm],
            Self::Round { diameter_mm, length_mm } => [diameter_mm, diameter_mm, length_mm],
        };
        sides.sort_by(|a, b| b.total_cmp(a));
        sides
    }

    /// Most of one measure of a piece that goes in, mm, found by halving: `with` gives the piece
    /// that measure and `goes` says whether it goes in then. 0 when none does.
    pub(crate) fn max_measure(
        &self,
        with: impl Fn(f64) -> FlatPiece,
        goes: impl Fn(&Self, FlatPiece) -> bool,
    ) -> f64 {
        let (mut low, mut high) = (0.0, LONGEST_MM);
        if !goes(self, with(low)) {
            return 0.0;
        }
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if goes(self, with(middle)) { low = middle } else { high = middle }
        }
        low
    }

    /// The room that is left within a clearance to every wall.
    fn less(&self, clearance_mm: f64) -> Self {
        let less = |size: f64| (size - 2.0 * clearance_mm).max(0.0);
        match *self {
            Self::Box { width_mm, height_mm, length_mm } => Self::Box {
                width_mm: less(width_mm),
                height_mm: less(height_mm),
                length_mm: less(length_mm),
            },
            Self::Round { diameter_mm, length_mm } => {
                Self::Round { diameter_mm: less(diameter_mm), length_mm: less(length_mm) }
            }
        }
    }
}

/// Nothing goes into a chamber that is longer than this, mm.
const LONGEST_MM: f64 = 20_000.0;
/// Halvings of that length: to less than a hundred-thousandth of a millimetre.
const HALVINGS: u32 = 40;

/// A flat piece: the box around a blade or a whole knife, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatPiece {
    /// Length.
    pub length_mm: f64,
    /// Width.
    pub width_mm: f64,
    /// Thickness.
    pub thickness_mm: f64,
}

/// Whether a rectangle goes into another, turned as it may be.
///
/// Straight when both sides fit; slanted, for p × q (p ≥ q) in a × b (a ≥ b) with p > a, just
/// when q ≤ b and ((a+b)/(p+q))² + ((a−b)/(p−q))² ≥ 2 (Carver's condition of 1957, as given by
/// J. E. Wetzel, "Rectangles in Rectangles", Mathematics Magazine 73, 2000; from memory, and
/// tested against turning by small steps).
pub fn rectangle_fits(piece: (f64, f64), room: (f64, f64)) -> bool {
    let (p, q) = (piece.0.max(piece.1), piece.0.min(piece.1));
    let (a, b) = (room.0.max(room.1), room.0.min(room.1));
    if p <= a {
        return q <= b;
    }
    q <= b && ((a + b) / (p + q)).powi(2) + ((a - b) / (p - q)).powi(2) >= 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const OVEN: Chamber = Chamber::Box { width_mm: 300.0, height_mm: 200.0, length_mm: 250.0 };

    fn knife(length_mm: f64) -> FlatPiece {
        FlatPiece { length_mm, width_mm: 30.0, thickness_mm: 3.0 }
    }

    #[test]
    fn a_knife_lies_straight_or_slanted_in_an_oven() {
        assert!(OVEN.fits(knife(300.0), 0.0));
        assert!(!OVEN.fits(knife(420.0), 0.0), "longer than every diagonal of a face");
        // The floor's diagonal is 390.5; a bar of 30 mm lies on it up to about 354.
        assert!(OVEN.fits(knife(350.0), 0.0));
        assert!(!OVEN.fits(knife(350.0), 10.0), "not with room to the walls");
    }

    #[test]
    fn in_a_tube_the_section_is_a_circle_around_width_and_thickness() {
        let forge = Chamber::Round { diameter_mm: 57.15, length_mm: 230.0 };
        assert!(forge.fits_section(knife(500.0), 6.0));
        // √(45² + 3²) = 45.1 goes through 57.15 − 12 = 45.15.
        assert!(forge.fits_section(FlatPiece { width_mm: 45.0, ..knife(500.0) }, 6.0));
        assert!(!forge.fits_section(FlatPiece { width_mm: 45.1, ..knife(500.0) }, 6.0));
        assert!(!forge.fits(knife(250.0), 0.0) && forge.fits(knife(229.0), 0.0));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// Against turning by steps: where some turn puts the piece inside, it fits; where it
        /// fits with a little to spare, some turn puts it inside.
        #[test]
        fn the_condition_agrees_with_turning(
            p in 1.0..300.0f64, q in 1.0..120.0f64, a in 1.0..250.0f64, b in 1.0..250.0f64,
        ) {
            let turns = |p: f64, q: f64| (0..=1800u32).any(|i| {
                let (sin, cos) = (f64::from(i) * std::f64::consts::FRAC_PI_2 / 1800.0).sin_cos();
                p * cos + q * sin <= a && p * sin + q * cos <= b
            });
            if turns(p, q) {
                prop_assert!(rectangle_fits((p, q), (a + 1e-9, b + 1e-9)));
            }
            if rectangle_fits((p, q), (a, b)) {
                prop_assert!(turns(0.998 * p, 0.998 * q));
            }
        }
    }
}
