//! What goes through a hole in place of a solid pin.

/// A tube or a screw. Its outer diameter is the pin stock stated for the hole, else the hole's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fixing {
    /// A tube with this bore, mm; in a thong hole it lines the hole.
    Tube {
        /// Inner diameter, mm.
        bore_mm: f64,
    },
    /// A shouldered screw: its shank goes through the tang, a larger head lies in each scale.
    Screw {
        /// Diameter of a head, mm.
        head_mm: f64,
        /// How deep a head goes into its scale, mm.
        head_deep_mm: f64,
    },
}
