//! `draw --view`: the knife as it will look, from any side, as PNG.

use super::LoadedKnife;
use crate::args::ViewArg;
use crate::{Failure, Outcome};
use exchange::solid::{USUAL_CHORD_MM, knife_parts};
use exchange::view::{Eye, Frame, Scene, picture};
use host::Host;
use reckon::tables::Tables;
use std::path::Path;

/// Dots across when no resolution was asked for, and at most down.
const DOTS: (usize, usize) = (1600, 1200);
/// The ground behind the knife: paper.
const GROUND: [u8; 3] = [244, 241, 234];
/// More dots than this are no picture to share.
const MAX_DOTS: f64 = 40e6;
/// White space around the knife, mm.
const AROUND_MM: f64 = 5.0;

/// What was wished for the picture.
pub(super) struct View {
    pub(super) side: ViewArg,
    pub(super) cut: Option<String>,
    pub(super) dpi: Option<f64>,
}

pub(super) fn run(
    work: &LoadedKnife,
    file: &Path,
    out: &Path,
    view: &View,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    super::protect_input(file, out, host)?;
    if !out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        let words = format!("{} should end in .png, as --view draws a picture", out.display());
        return Err(Failure::Usage(words));
    }
    // A picture shows the joints closed: light would fall through the glue's thickness.
    let mut closed = work.knife.clone();
    closed.handle.glue_mm = Some(0.0);
    let LoadedKnife { knife, reckoning } = &LoadedKnife::with_default_shop(closed);
    let parts = knife_parts(knife, reckoning, Tables::built_in(), USUAL_CHORD_MM)
        .map_err(|why| Failure::NoSolid { path: file.to_owned(), why })?;
    let scene = Scene::of(&parts);
    let eye = eye(work, view)?;
    let frame = frame(&scene, &eye, view.dpi)?;
    // Twice as fine, then halved, so that rims are smooth.
    let fine = Frame {
        mm_per_dot: frame.mm_per_dot / 2.0,
        width: 2 * frame.width,
        height: 2 * frame.height,
        ..frame
    };
    let drawn = picture(&scene, &eye, &fine).halved().on(GROUND);
    let whole = |dots: usize| u32::try_from(dots).unwrap_or(u32::MAX);
    let png = paper::picture_png(whole(drawn.width), whole(drawn.height), &drawn.dots, view.dpi)?;
    host.write(out, &png)?;
    let message =
        format!("Wrote the view to {}: {} × {} dots.\n", out.display(), drawn.width, drawn.height);
    Ok(Outcome { out: message, ..Outcome::default() })
}

/// From where it is looked at: as the person means it, whichever way the outline lies.
fn eye(work: &LoadedKnife, view: &View) -> Result<Eye, Failure> {
    let reckoning = &work.reckoning;
    let from_x_mm = match &view.cut {
        None => None,
        Some(text) => {
            let read = units::parse_length(text, work.knife.unit);
            let read = read.map_err(|why| Failure::Usage(format!("--cut: {why}")))?;
            Some(reckoning.origin.to_knife_x(read.to_mm()))
        }
    };
    let profile = reckoning.profile.as_ref();
    let towards_butt = profile.map_or(1.0, |profile| profile.towards_butt);
    let is_edge_up = profile.is_some_and(|profile| profile.edge_is_up);
    let up = if is_edge_up { -1.0 } else { 1.0 };
    // The left face lies at +z when tip and edge lie as a person holds them.
    let left = if towards_butt * up > 0.0 { 0.0 } else { 180.0 };
    let (turn_deg, lift_deg) = match view.side {
        ViewArg::ThreeQuarter => {
            let Eye { turn_deg, lift_deg, .. } = Eye::THREE_QUARTER;
            (left + turn_deg, lift_deg * up)
        }
        ViewArg::Left => (left, 0.0),
        ViewArg::Right => (left + 180.0, 0.0),
        ViewArg::Edge => (left, -90.0 * up),
        ViewArg::Spine => (left, 90.0 * up),
        ViewArg::Tip => (90.0 * towards_butt, 0.0),
        ViewArg::Butt => (-90.0 * towards_butt, 0.0),
    };
    Ok(Eye { turn_deg, lift_deg, from_x_mm })
}

/// As large as asked for at true size, else as fits.
fn frame(scene: &Scene, eye: &Eye, dpi: Option<f64>) -> Result<Frame, Failure> {
    let mut frame = Frame::around(scene, eye, DOTS.0, DOTS.1);
    let (width_mm, height_mm) = scene.size_mm(eye);
    let mm_per_dot = match dpi {
        Some(dpi) if dpi.is_finite() && dpi >= 1.0 => units::Length::inches(1.0).to_mm() / dpi,
        Some(dpi) => {
            return Err(Failure::Usage(format!("--dpi {dpi} is not possible; give 1 or more")));
        }
        None => frame.mm_per_dot,
    };
    let dots = |mm: f64| ((mm + 2.0 * AROUND_MM) / mm_per_dot).ceil().max(1.0);
    if dots(width_mm) * dots(height_mm) > MAX_DOTS {
        let words = "a picture so large has more dots than can be shared; lower --dpi";
        return Err(Failure::Usage(words.to_owned()));
    }
    frame.mm_per_dot = mm_per_dot;
    // Casting is exact: both are whole and were just bounded.
    (frame.width, frame.height) = (dots(width_mm) as usize, dots(height_mm) as usize);
    Ok(frame)
}
