//! What stations work with on the canvas: handles, snapping, live figures, and how marks are
//! painted. The panel that shows the canvas stands above the stations.

pub(crate) mod comb;
pub(crate) mod fitting;
pub(crate) mod ghost;
pub(crate) mod grid;
pub(crate) mod handles;
pub(crate) mod hover;
pub(crate) mod input;
pub(crate) mod navigation;
pub(crate) mod origin;
pub(crate) mod paint;
pub(crate) mod picture;
pub(crate) mod rulers;
pub(crate) mod section;
pub(crate) mod snap;
mod snapping;
pub(crate) mod steel;
pub(crate) mod thumbnail;
