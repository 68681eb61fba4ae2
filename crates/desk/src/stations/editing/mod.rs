//! What is done to nodes and holes that are selected: arranged, pulled, made fair.

pub(crate) mod arrange;
pub(crate) mod fair;
pub(crate) mod frame;
pub(crate) mod segment;
