//! The parts of the window: menus, findings, the card, the canvas. They stand above the stations.

pub(crate) mod canvas;
pub(crate) mod card;
pub(crate) mod context_menu;
pub(crate) mod edge_view;
pub(crate) mod file_drop;
pub(crate) mod findings;
pub(crate) mod menu;
pub(crate) mod status;
pub(crate) mod stiffness;
pub(crate) mod tabs;
pub(crate) mod toasts;
pub(crate) mod tools;
pub(crate) mod turning;
pub(crate) mod welcome;
