//! What cards, panels and dialogs are made of.

mod basic;
mod choices;
mod field;
mod form;
pub(crate) mod icons;
mod readings;

pub(crate) use basic::{bare_plot, figure_column, figure_row, modal, text_width, width_up_to};
pub(crate) use field::{Field, in_range, read_length, unless_empty};
pub(crate) use form::{Caption, Form};
pub(crate) use icons::Icon;
pub(crate) use readings::belongs_to_handle;
