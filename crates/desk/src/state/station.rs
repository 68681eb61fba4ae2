//! The seven stations, and which parts are worked on at each.

use knife::PartId;

/// One of the seven stations, in the order of the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Station {
    /// The bar of steel and the blank's place on it.
    Bar,
    /// The outline.
    #[default]
    Profile,
    /// Pin, relief and thong holes.
    Holes,
    /// Plunge and grind lines.
    Bevels,
    /// The scales.
    Handle,
    /// The sheath.
    Sheath,
    /// The pages to print.
    Paper,
}

impl Station {
    /// Every station, in the order of the work.
    pub const ALL: [Self; 7] = [
        Self::Bar,
        Self::Profile,
        Self::Holes,
        Self::Bevels,
        Self::Handle,
        Self::Sheath,
        Self::Paper,
    ];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bar => "Bar",
            Self::Profile => "Profile",
            Self::Holes => "Holes",
            Self::Bevels => "Bevels",
            Self::Handle => "Handle",
            Self::Sheath => "Sheath",
            Self::Paper => "Paper",
        }
    }

    /// What is done there, in one line.
    pub fn tooltip(self) -> &'static str {
        match self {
            Self::Bar => "The steel, and where the blank lies on it.",
            Self::Profile => "The outline to be cut.",
            Self::Holes => "For pins, for lightness and for a lanyard.",
            Self::Bevels => "Ground, filed and sharpened.",
            Self::Handle => "The pair of scales on the tang.",
            Self::Sheath => "Leather or thermoplastic round the knife.",
            Self::Paper => "The pages as they will print, full size.",
        }
    }

    /// Whether the canvas shows the knife itself, so that it can be measured there.
    pub(crate) fn shows_knife(self) -> bool {
        matches!(self, Self::Profile | Self::Holes | Self::Bevels | Self::Handle)
    }

    /// Whether a part is worked on here.
    pub fn works_on(self, part: PartId) -> bool {
        match self {
            Self::Bar => part == PartId::Bar || part == PartId::Profile,
            Self::Profile => {
                matches!(part, PartId::Profile | PartId::Node(_) | PartId::Stretch(_))
            }
            Self::Holes => matches!(part, PartId::Hole(_)),
            Self::Bevels => matches!(part, PartId::Plunge | PartId::GrindLine),
            Self::Handle => part == PartId::Scales,
            Self::Sheath => part == PartId::Sheath,
            Self::Paper => false,
        }
    }

    /// The station where a part is worked on.
    pub fn of(part: PartId) -> Self {
        let works = |station: &Self| station.works_on(part);
        // The outline is drawn at Profile; Bar only lays it.
        let order =
            [Self::Profile, Self::Holes, Self::Bevels, Self::Handle, Self::Sheath, Self::Bar];
        order.into_iter().find(works).unwrap_or(Self::Bar)
    }
}
