//! Which side of a drawn line an outline follows.

/// Which side of a drawn line is wanted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LineSide {
    /// Its centre.
    #[default]
    Centre,
    /// Its outer side.
    Outer,
    /// Its inner side.
    Inner,
}
