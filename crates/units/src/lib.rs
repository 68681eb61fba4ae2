//! Lengths, angles, masses and temperatures: how they are held, read and shown.
//!
//! Exact: 1 in = 25.4 mm (international yard and pound agreement of 1959).

/// The unit in which a person reads and writes lengths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}
