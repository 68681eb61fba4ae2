//! One builder for each view of a knife.

mod bar;
mod bevels;
mod blank;
mod callout;
mod cards;
mod comb;
mod dimension;
mod drilling;
mod drills;
mod edge_on;
mod hand;
mod heat;
mod hole_names;
mod jigs;
mod measured;
#[cfg(test)]
mod overlaps;
mod plan;
mod profile;
mod reduced;
mod scales;
mod section;
mod sheath;
mod strips;
mod template;

pub use bar::{bar_notes, bar_sheet, chain_marks, nest_notes, nest_overview, nest_sheet};
pub use bevels::{bevel_inserts, bevel_notes, bevel_sections, bevel_sheet};
pub use blank::{Extent, blank_on_bar};
pub use callout::{Callout, callouts};
pub use comb::{Comb, comb, comb_radii};
pub use dimension::{dimension, dimension_text};
pub use drilling::{drilling_notes, drilling_sheet, drilling_tables, short_drilling_sheet};
pub use edge_on::{edge_on, edge_on_level};
pub use hand::{hand_note, hand_on_bar};
pub use heat::{build_text, chart, gauge, heat_sheet, heat_text};
pub use jigs::{has_jigs, jig_inserts, jig_notes};
pub use measured::{measured, measured_text};
pub use plan::{
    PLAN_SCALES, offset_tables, plan_notes, plan_sheet, plan_tables, reduced_plan, title_block,
};
pub use profile::{profile_notes, profile_sheet};
pub use scales::{has_scales, scales_notes, scales_sheet};
pub use section::section;
pub use sheath::{has_sheath, sheath_inserts, sheath_notes, sheath_on_knife, sheath_sheet};
pub use strips::{has_strips, strips_notes, strips_sheet};
pub use template::profile_other_face;
