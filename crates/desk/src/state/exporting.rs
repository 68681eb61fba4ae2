//! How the knife is exported, and a DXF drawing that is being imported.

use exchange::cut::CutHoles;
use exchange::dxf_import::{DxfFault, DxfOutline, USUAL_GAP_MM, take_dxf};
use exchange::export::{ExportFormat, SolidRequest};
use exchange::solid::{MockUp, USUAL_CHORD_MM};
use std::path::Path;
use std::sync::Arc;
use units::LengthUnit;

/// What was chosen in the Export dialog, kept while the desk is open.
#[derive(Clone, Debug, PartialEq)]
pub struct ExportState {
    /// What kind of file.
    pub format: ExportFormat,
    /// Of a solid: a mock-up instead of the knife's parts.
    pub mock_up: Option<MockUp>,
    /// Of an STL: a file for each part.
    pub each: bool,
    /// Of a solid: how far its surface may stray, mm.
    pub chord_mm: f64,
    /// Of a DXF: which holes are cut along.
    pub holes: CutHoles,
    /// Of a DXF: what its numbers stand for, when it isn't the knife's own unit.
    pub unit: Option<LengthUnit>,
}

impl Default for ExportState {
    fn default() -> Self {
        Self {
            format: ExportFormat::ThreeMf,
            mock_up: None,
            each: false,
            chord_mm: USUAL_CHORD_MM,
            holes: CutHoles::default(),
            unit: None,
        }
    }
}

impl ExportState {
    /// The solid as it is asked for.
    pub(crate) fn solid(&self) -> SolidRequest {
        let is_stl = self.format == ExportFormat::Stl;
        SolidRequest { is_stl, mock_up: self.mock_up, each: self.each, chord_mm: self.chord_mm }
    }
}

/// A DXF drawing that is being imported.
#[derive(Clone, Debug)]
pub struct DxfImport {
    /// The name that the blank gets.
    pub(crate) name: String,
    bytes: Arc<Vec<u8>>,
    /// Ends so far apart are made to meet, mm.
    pub(crate) gap_mm: f64,
    /// Whether the drawing leaves open what its numbers stand for.
    pub(crate) asks_unit: bool,
    /// What they stand for, as chosen.
    pub(crate) unit: Option<LengthUnit>,
    /// What was found in it.
    pub(crate) found: Result<DxfOutline, DxfFault>,
}

impl DxfImport {
    /// Reads a file's bytes.
    pub(crate) fn begin(path: &Path, bytes: Vec<u8>) -> Self {
        let found = take_dxf(&bytes, None, USUAL_GAP_MM);
        Self {
            name: path.file_stem().unwrap_or_default().to_string_lossy().into_owned(),
            bytes: Arc::new(bytes),
            gap_mm: USUAL_GAP_MM,
            asks_unit: matches!(found, Err(DxfFault::NoUnits)),
            unit: None,
            found,
        }
    }

    /// Reads it again as chosen now.
    pub(crate) fn again(&mut self) {
        self.found = take_dxf(&self.bytes, self.unit, self.gap_mm);
    }
}
