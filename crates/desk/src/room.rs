//! The two rooms in which the desk stands.

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Room {
    /// A shop by daylight.
    Light,
    /// A shop by lamplight.
    #[default]
    Dark,
}
