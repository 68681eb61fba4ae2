//! `new --outline` from a DXF.

use crate::Failure;
use crate::args::OutlineArgs;
use exchange::dxf_import::{USUAL_GAP_MM, take_dxf};
use host::{Host, UnusableFile};
use knife::svg_import::ImportedOutline;
use std::path::Path;
use units::LengthUnit;

/// The outline and holes of a DXF, and what of it was left out, a sentence each.
pub(super) fn import(
    shape: &Path,
    args: &OutlineArgs,
    host: &dyn Host,
) -> Result<(ImportedOutline, Vec<String>), Failure> {
    let gap_mm = match &args.gap {
        None => USUAL_GAP_MM,
        Some(text) => units::parse_length(text, LengthUnit::Millimetre)
            .map_err(|why| Failure::Usage(format!("--gap: {why}")))?
            .to_mm(),
    };
    let found = take_dxf(&host.read(shape)?, args.units.map(Into::into), gap_mm)
        .map_err(|why| UnusableFile { path: shape.to_owned(), why })?;
    Ok((found.taken, found.left_out.iter().map(ToString::to_string).collect()))
}
