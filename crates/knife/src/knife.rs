//! The whole document.

use crate::{
    Bar, Bevel, ChainDrilling, Dimension, Filing, GrindLine, Handle, Hole, HoleId, Origin, Picture,
    Placement, Profile, Reference, ReferenceEdge, ReferenceEnd, Scales, SetAside, Sharpening,
    Sheath, Swedge, Taper, Treatment,
};
use kurbo::Point;
use units::LengthUnit;

/// A knife as its maker decided it.
#[derive(Clone, Debug, PartialEq)]
pub struct Knife {
    /// What it is called; printed on every sheet.
    pub name: String,
    /// The maker's notes.
    pub notes: String,
    /// The unit in which lengths are shown first.
    pub unit: LengthUnit,
    /// Where the coordinates that a person reads are counted from.
    pub origin: Origin,
    /// The bar it is cut from.
    pub bar: Bar,
    /// Its outline.
    pub profile: Profile,
    /// What its outline may be off by, mm, where it was traced from a picture.
    pub traced_mm: Option<f64>,
    /// The picture that lies under it, if any.
    pub picture: Option<Picture>,
    /// Its holes, in the order they were made.
    pub holes: Vec<Hole>,
    /// Its bevels, once decided.
    pub bevel: Option<Bevel>,
    /// Up to where the bevels go.
    pub grind_line: GrindLine,
    /// Its distal taper, if any.
    pub taper: Option<Taper>,
    /// Its swedge, if any.
    pub swedge: Option<Swedge>,
    /// How the bevels are filed, once chosen.
    pub filing: Option<Filing>,
    /// How it is sharpened, once chosen.
    pub sharpening: Option<Sharpening>,
    /// Its scales, once decided.
    pub scales: Option<Scales>,
    /// What the handle is made of.
    pub handle: Handle,
    /// Its sheath, once decided.
    pub sheath: Option<Sheath>,
    /// Findings set aside, each with its reason.
    pub set_aside: Vec<SetAside>,
    /// Dimensions kept, printed on the plan.
    pub dimensions: Vec<Dimension>,
    /// How it is cut out, once chosen.
    pub cutting: Option<ChainDrilling>,
    /// What is chosen for fire, oven and abrasives.
    pub treatment: Treatment,
}

impl Knife {
    /// A knife without outline or holes, on the bar a first blank is usually cut from:
    /// 1-1/2 × 1/8 in of SAE 1084, a foot long (common practice, no source).
    pub fn empty() -> Self {
        Self {
            name: String::new(),
            notes: String::new(),
            unit: LengthUnit::Inch,
            origin: Origin::default(),
            bar: Bar {
                grade: "SAE 1084".to_owned(),
                width_mm: 38.1,
                thickness_mm: 3.175,
                length_mm: 304.8,
                placement: Placement { at: Point::new(0.0, 19.05), turn_deg: 0.0 },
                reference: Reference { edge: ReferenceEdge::Lower, end: ReferenceEnd::Left },
            },
            profile: Profile { nodes: Vec::new(), tip: None, heel: None },
            traced_mm: None,
            picture: None,
            holes: Vec::new(),
            bevel: None,
            grind_line: GrindLine::Height,
            taper: None,
            swedge: None,
            filing: None,
            sharpening: None,
            scales: None,
            handle: Handle::default(),
            sheath: None,
            set_aside: Vec::new(),
            dimensions: Vec::new(),
            cutting: None,
            treatment: Treatment::default(),
        }
    }

    /// How it is cut out: as chosen, else as usual.
    pub fn cutting(&self) -> ChainDrilling {
        self.cutting.clone().unwrap_or_else(|| ChainDrilling::default_for(self.unit))
    }

    /// The hole of this name.
    pub fn hole(&self, id: HoleId) -> Option<&Hole> {
        self.holes.iter().find(|hole| hole.id == id)
    }
}
