//! `draw`: the drawing at true size, as SVG or PNG.

use super::Work;
use crate::{Failure, Outcome};
use desk::Host;
use drawing::views;
use kurbo::Rect;
use std::path::Path;

/// White space around the drawing, mm.
const AROUND_MM: f64 = 5.0;
/// Dots to the inch of a PNG for which none were asked.
const DPI: f64 = 300.0;

pub(super) fn run(
    work: &Work,
    file: &Path,
    out: &Path,
    dpi: Option<f64>,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let Work { knife, reckoning } = work;
    super::keep_the_blank(file, out, host)?;
    if reckoning.outline.is_none() {
        return Err(Failure::NoOutline { path: file.to_owned() });
    }
    let drawing = views::profile_sheet(knife, reckoning);
    let window = paper::extent(&drawing).unwrap_or(Rect::ZERO).inflate(AROUND_MM, AROUND_MM);
    let ending = out.extension().and_then(|e| e.to_str()).unwrap_or_default().to_lowercase();
    let bytes = match ending.as_str() {
        "svg" if dpi.is_some() => return Err(Failure::NoDots { path: out.to_owned() }),
        "svg" => paper::svg(&drawing, window, &knife.name).into_bytes(),
        "png" => paper::png(&drawing, window, dpi.unwrap_or(DPI))?,
        _ => return Err(Failure::Ending { path: out.to_owned() }),
    };
    host.write(out, &bytes)?;
    let told = format!(
        "Wrote the drawing to {}: {} × {} at true size.\n",
        out.display(),
        units::show_mm(window.width(), 1),
        units::show_mm(window.height(), 1)
    );
    Ok(Outcome { out: told, ..Outcome::default() })
}
