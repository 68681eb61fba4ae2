//! What is to be printed, and on what.

use crate::Sharing;
use reckon::tables::HandSize;
use std::collections::BTreeSet;

/// What is to be printed, and on what.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PrintRequest {
    /// The paper's name, or its size as typed.
    pub paper: String,
    /// The border in which nothing is printed, mm; `None` for the usual.
    pub margin_mm: Option<f64>,
    /// The printer whose trim it goes through, by its name; `None` for no trim.
    pub printer: Option<String>,
    /// The keys of the sheets that are left out.
    pub excluded: BTreeSet<String>,
    /// Which of the others share a page.
    pub sharing: Sharing,
    /// The size of the hand that is drawn on the template, if any.
    pub hand: Option<HandSize>,
    /// The date to print on every sheet, if any.
    pub date: Option<String>,
}
