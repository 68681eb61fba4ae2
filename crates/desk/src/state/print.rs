//! What is to be printed, and on what.

use reckon::Shop;
use reckon::shop::Printer;
use reckon::tables::HandSize;
use sheets::printer_trim::{self, PrintedWith};
use sheets::{PrintRequest, Sharing, printing};
use std::collections::BTreeSet;
use std::path::PathBuf;
use units::LengthUnit;

/// The state of the Paper station.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PrintState {
    /// The paper chosen, if any.
    pub paper: Option<String>,
    /// The border in which nothing is printed, mm, when it isn't the usual one.
    pub margin_mm: Option<f64>,
    /// The printer whose correction is used, by its name. Never stored: another printer may stand
    /// there the next time.
    pub printer: Option<String>,
    /// The sheets that are not printed, by their keys.
    pub left_out: BTreeSet<String>,
    /// Which sheets share a page.
    pub sharing: Sharing,
    /// What was said of sheets that found no room where they were arranged to be.
    pub(crate) apart: Vec<String>,
    /// The size of the hand that is drawn on the template, if any.
    pub hand: Option<HandSize>,
    /// The date to print on every sheet, if any.
    pub date: Option<String>,
    /// What was read on a printer's proof so far.
    pub proof: ProofReadings,
    /// The PDF that was written last, if any.
    pub printed: Option<PathBuf>,
}

/// What was read on a proof so far.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ProofReadings {
    /// The printer's name.
    pub name: String,
    /// Each line's readings, mm, in the order A to F.
    pub readings_mm: [[Option<f64>; 2]; 6],
    /// How the proof was printed, where the shop has a correction for the printer.
    pub printed: PrintedWith,
    /// Why no correction came of them.
    pub(crate) refusal: Option<String>,
}

impl PrintState {
    /// What is to be printed, and on what: the paper chosen, or the usual one.
    pub(crate) fn request(&self, unit: LengthUnit, shop: &Shop) -> PrintRequest {
        PrintRequest {
            paper: self.paper.clone().unwrap_or_else(|| printing::default_paper(unit).to_owned()),
            margin_mm: self.margin_mm,
            printer: self.printer_in(shop).map(|printer| printer.name.clone()),
            excluded: self.left_out.clone(),
            sharing: self.sharing.clone(),
            hand: self.hand,
            date: self.date.clone(),
        }
    }

    /// The printer whose correction is used: none that the shop has no correction for.
    pub(crate) fn printer_in<'a>(&self, shop: &'a Shop) -> Option<&'a Printer> {
        let name = self.printer.as_deref()?;
        printer_trim::find_printer(shop, name).filter(|printer| printer.trim.is_some())
    }
}
