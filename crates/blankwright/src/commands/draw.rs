//! `draw`: the drawing at true size, as SVG or PNG.

use super::LoadedKnife;
use crate::{Failure, Outcome};
use host::Host;
use kurbo::Affine;
use marks::Drawing;
use sheets::printing;
use std::path::Path;

/// Dots to the inch of a PNG for which none were asked.
const DPI: f64 = 300.0;

/// What was wished for the drawing.
pub(super) struct DrawOptions {
    pub(super) dpi: Option<f64>,
    pub(super) sheet: Option<String>,
    pub(super) bare: bool,
}

pub(super) fn run(
    work: &LoadedKnife,
    file: &Path,
    out: &Path,
    options: &DrawOptions,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let LoadedKnife { knife, reckoning } = work;
    let dpi = options.dpi;
    if reckoning.outline.is_none() {
        return Err(Failure::NoOutline { path: super::read_from(file) });
    }
    let drawing = drawing(work, options)?;
    let window = sheets::drawing_window(&drawing);
    let ending = out.extension().and_then(|e| e.to_str()).unwrap_or_default().to_lowercase();
    // What has no name is an SVG, or a PNG where its dots are told.
    let ending = match (super::is_stream(out), dpi) {
        (true, Some(_)) => "png",
        (true, None) => "svg",
        (false, _) => ending.as_str(),
    };
    let bytes = match ending {
        "svg" if dpi.is_some() => return Err(Failure::NoDots { path: out.to_owned() }),
        "svg" => paper::svg(&drawing, window, &knife.name).into_bytes(),
        "png" => paper::png(&drawing, window, dpi.unwrap_or(DPI))?,
        _ => return Err(Failure::Ending { path: out.to_owned() }),
    };
    let sent = super::write(out, bytes, host)?;
    let message = format!(
        "Wrote the drawing to {}: {} × {} at true size.\n",
        super::written_to(out),
        units::show_mm(window.width(), 1),
        units::show_mm(window.height(), 1)
    );
    Ok(Outcome { out: message, file: sent, ..Outcome::default() })
}

/// The drawing wished for: what is cut alone, or a sheet's, its tables below it.
fn drawing(work: &LoadedKnife, options: &DrawOptions) -> Result<Drawing, Failure> {
    let LoadedKnife { knife, reckoning } = work;
    if options.bare {
        return Ok(sheets::bare_drawing(knife, reckoning));
    }
    let key = options.sheet.as_deref().map_or("profile", str::trim);
    let sheet = printing::sheet(key, knife, reckoning).ok_or_else(|| Failure::Unknown {
        what: "sheet",
        found: key.to_owned(),
        known: printing::SHEETS.join(", "),
    })?;
    let mut drawing = sheet.drawing;
    // What a page shows only where it has room is left out.
    let kept = sheet.inserts.into_iter().filter(|own| !matches!(own, marks::Insert::Spare(_)));
    for insert in kept.map(marks::Insert::into_drawing) {
        let Some(own) = paper::extent(&insert) else { continue };
        // A card or a table has no drawing to stand under.
        let by = paper::extent(&drawing).map_or(Affine::IDENTITY, |all| {
            Affine::translate((all.x0 - own.x0, all.y0 - sheets::AROUND_MM - own.y1))
        });
        drawing.extend(insert.moved(by));
    }
    Ok(drawing)
}
