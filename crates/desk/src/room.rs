//! The two rooms in which the desk stands.

use serde::{Deserialize, Serialize};

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Room {
    /// A shop by daylight.
    Light,
    /// A shop by lamplight.
    #[default]
    Dark,
}
