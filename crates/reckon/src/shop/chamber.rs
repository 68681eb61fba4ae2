//! Forge, oven and quench tank: their insides.

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
