//! What a piece of a side is.

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PiecePart {
    /// The bolster in front of the scale.
    FrontBolster,
    /// The scale.
    Scale,
    /// The bolster at the butt.
    RearBolster,
}

impl PiecePart {
    /// In words.
    pub fn label(self) -> &'static str {
        match self {
            Self::FrontBolster => "front bolster",
            Self::Scale => "scale",
            Self::RearBolster => "rear bolster",
        }
    }
}
