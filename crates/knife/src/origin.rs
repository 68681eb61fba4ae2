//! The point from which a person reads coordinates.

/// Where the coordinates that a person reads are counted from. The document itself, and every
/// JSON, stays in the drawing's own coordinates.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Origin {
    /// The node marked as the tip.
    #[default]
    Tip,
    /// The node marked as the heel.
    Heel,
    /// Where the plunge line meets the edge.
    Plunge,
    /// The bar's corner at its left end and lower edge, as the blank lies on it.
    BarCorner,
    /// The zero of the drawing's own coordinates.
    Drawing,
}

impl Origin {
    /// All there are, in the order in which they are offered.
    pub const ALL: [Self; 5] =
        [Self::Tip, Self::Heel, Self::Plunge, Self::BarCorner, Self::Drawing];

    /// Its words in a file, in the order of [`Self::ALL`].
    pub const KEYS: &[&'static str] = &["tip", "heel", "plunge", "bar-corner", "drawing"];

    /// Its word in a file and in JSON.
    pub fn key(self) -> &'static str {
        let at = Self::ALL.iter().position(|origin| *origin == self);
        at.and_then(|at| Self::KEYS.get(at)).copied().unwrap_or("drawing")
    }

    /// What a person calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Tip => "tip",
            Self::Heel => "heel",
            Self::Plunge => "plunge",
            Self::BarCorner => "bar corner",
            Self::Drawing => "drawing zero",
        }
    }
}
