//! Stable names for whatever a person can point at.

/// A node of the profile; kept when other nodes come and go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NodeId(pub u32);

/// A hole; kept when other holes come and go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct HoleId(pub u32);

/// A part of the knife or of its bar: what a drawn mark stands for and a finding points to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PartId {
    /// The whole outline.
    Profile,
    /// The stretch of outline that starts at this node.
    Stretch(NodeId),
    /// One node of the outline.
    Node(NodeId),
    /// One hole.
    Hole(HoleId),
    /// The plunge line.
    Plunge,
    /// The grind line.
    GrindLine,
    /// The scales.
    Scales,
    /// The bar of steel.
    Bar,
    /// The sheath.
    Sheath,
}
