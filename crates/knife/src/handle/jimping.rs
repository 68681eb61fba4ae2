//! Jimping: a run of small notches that the thumb doesn't slip on.

/// On which side of the outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutlineSide {
    /// The upper side, tip to butt.
    Spine,
    /// The lower side: edge, choil and the handle's underside.
    Edge,
}

/// How far apart, the way a file tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pitch {
    /// From one to the next, mm.
    Mm(f64),
    /// Lines to the inch, as checkering files are sold.
    PerInch(f64),
}

impl Pitch {
    /// From one to the next, mm.
    pub fn mm(self) -> f64 {
        match self {
            Self::Mm(mm) => mm,
            Self::PerInch(lines) => 25.4 / lines,
        }
    }
}

/// The section of one notch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Groove {
    /// A V of this included angle, degrees.
    Vee(f64),
    /// Round, by a file of this diameter, mm.
    Round(f64),
}

/// A run of notches between two marks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jimping {
    /// On which side.
    pub side: OutlineSide,
    /// Where it begins, x in mm.
    pub from_x_mm: f64,
    /// Where it ends, x in mm.
    pub to_x_mm: f64,
    /// How far apart the notches are, along the curve.
    pub pitch: Pitch,
    /// How deep each is, mm.
    pub depth_mm: f64,
    /// Their section.
    pub groove: Groove,
}
