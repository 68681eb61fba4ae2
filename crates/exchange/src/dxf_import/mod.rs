//! Taking a closed outline from DXF, of release 12 to the newest that the `dxf` library reads.
//!
//! Lines, arcs, circles, ellipses, polylines with bulges and splines of the model space, blocks
//! expanded where they are inserted; what else there is is counted and told. Which ring is the
//! outline and which are holes is decided as for SVG drawings.

mod entity;
mod fault;
mod pairs;
mod scan;
mod spline;

pub use fault::{DxfFault, LeftOut};

use dxf::Drawing;
use dxf::enums::Units;
use knife::svg_import::{ImportedOutline, import_pieces};
use std::collections::BTreeMap;
use units::{Length, LengthUnit};

/// The largest file that is read, bytes.
const MAX_BYTES: usize = 50_000_000;
/// Ends no farther apart than this are made to meet unless another gap is asked for, mm.
pub const USUAL_GAP_MM: f64 = 0.01;
/// The widest gap that may be asked for, mm.
const MAX_GAP_MM: f64 = 5.0;

/// What a DXF drawing gave.
#[derive(Clone, Debug, PartialEq)]
pub struct DxfOutline {
    /// Outline and holes, with what was adjusted.
    pub taken: ImportedOutline,
    /// What of the drawing was left out.
    pub left_out: Vec<LeftOut>,
}

/// Takes the profile and the holes from a DXF drawing. Ends within `gap_mm` are made to meet.
/// `unit` is what its numbers stand for where the file itself does not say.
///
/// # Errors
/// [`DxfFault`], one plain sentence, when the bytes are not such a drawing.
pub fn take_dxf(
    bytes: &[u8],
    unit: Option<LengthUnit>,
    gap_mm: f64,
) -> Result<DxfOutline, DxfFault> {
    if !(gap_mm.is_finite() && (0.0..=MAX_GAP_MM).contains(&gap_mm)) {
        return Err(DxfFault::Gap { gap_mm });
    }
    if bytes.len() > MAX_BYTES {
        return Err(DxfFault::TooBig { bytes: bytes.len() });
    }
    let scan::Scan { mut unread, text, has_lines } = scan::scan(bytes)?;
    let drawing = Drawing::load(&mut &text[..]).map_err(|error| fault::broken(error, has_lines))?;
    drop(text);
    let (scale_mm, read_in) = scale(&drawing, unit)?;
    let found = entity::gather(&drawing, scale_mm)?;
    for (kind, count) in found.left_out {
        unread.insert(kind, count);
    }
    let mut left_out: Vec<LeftOut> =
        unread.into_iter().map(|(kind, count)| LeftOut::Kind { kind, count }).collect();
    if found.hidden > 0 {
        left_out.push(LeftOut::Hidden { count: found.hidden });
    }
    if found.tilted > 0 {
        left_out.push(LeftOut::Tilted { count: found.tilted });
    }
    if found.through_points > 0 {
        left_out.push(LeftOut::ThroughPoints { count: found.through_points });
    }
    let taken = import_pieces(found.pieces, read_in, gap_mm)?;
    Ok(DxfOutline { taken, left_out })
}

/// Counts by kind of entity.
type Counts = BTreeMap<String, usize>;

/// Millimetres of one unit of the drawing, and the unit that a person reads it in.
fn scale(drawing: &Drawing, unit: Option<LengthUnit>) -> Result<(f64, LengthUnit), DxfFault> {
    let inch = Length::inches(1.0).to_mm();
    let of_file = match drawing.header.default_drawing_units {
        Units::Inches => (inch, LengthUnit::Inch),
        Units::Feet => (12.0 * inch, LengthUnit::Inch),
        Units::Mils => (inch / 1000.0, LengthUnit::Inch),
        Units::Microns => (1e-3, LengthUnit::Millimetre),
        Units::Millimeters => (1.0, LengthUnit::Millimetre),
        Units::Centimeters => (10.0, LengthUnit::Millimetre),
        Units::Decimeters => (100.0, LengthUnit::Millimetre),
        Units::Meters => (1000.0, LengthUnit::Millimetre),
        _ => {
            let unit = unit.ok_or(DxfFault::NoUnits)?;
            let mm = if unit == LengthUnit::Inch { inch } else { 1.0 };
            (mm, unit)
        }
    };
    Ok(of_file)
}
