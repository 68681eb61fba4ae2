//! `draw --view`: the knife as it will look, from any side, as PNG.

use super::LoadedKnife;
use crate::args::ViewArg;
use crate::{Failure, Outcome};
use exchange::solid::USUAL_CHORD_MM;
use exchange::view::{Cut, Eye, Frame, Lie, Scene, Side, picture, seen_parts};
use host::Host;
use reckon::Shop;
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
    if !out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        let words = format!("{} should end in .png, as --view draws a picture", out.display());
        return Err(Failure::Usage(words));
    }
    let shop = Shop::default();
    let parts = seen_parts(&work.knife, &shop, Tables::built_in(), USUAL_CHORD_MM)
        .map_err(|why| Failure::NoSolid { path: file.to_owned(), why })?;
    let scene = Scene::of(&parts);
    let eye = eye(work, view)?;
    let frame = frame(&scene, &eye, view.dpi)?;
    // Twice as fine, then halved, so that rims are smooth.
    let drawn = picture(&scene, &eye, &frame.scaled(2.0)).halved().on(GROUND);
    let whole = |dots: usize| u32::try_from(dots).unwrap_or(u32::MAX);
    let png = paper::picture_png(whole(drawn.width), whole(drawn.height), &drawn.dots, view.dpi)?;
    host.write(out, &png)?;
    let message = format!(
        "Wrote the view to {}: {} × {} pixels.\n",
        out.display(),
        drawn.width,
        drawn.height
    );
    Ok(Outcome { out: message, ..Outcome::default() })
}

/// From where it is looked at: as the person means it, whichever way the outline lies.
fn eye(work: &LoadedKnife, view: &View) -> Result<Eye, Failure> {
    let reckoning = &work.reckoning;
    let cut = match &view.cut {
        None => None,
        Some(text) => {
            let read = units::parse_length(text, work.knife.unit);
            let read = read.map_err(|why| Failure::Usage(format!("--cut: {why}")))?;
            Some(Cut::across(reckoning.origin.to_knife_x(read.to_mm()), 1.0))
        }
    };
    let side = match view.side {
        ViewArg::ThreeQuarter => Side::ThreeQuarter,
        ViewArg::Left => Side::Left,
        ViewArg::Right => Side::Right,
        ViewArg::Edge => Side::Edge,
        ViewArg::Spine => Side::Spine,
        ViewArg::Tip => Side::Tip,
        ViewArg::Butt => Side::Butt,
    };
    Ok(Lie::of(reckoning.profile.as_ref()).eye(side).with_cut(cut))
}

/// As large as asked for at true size, else as fits.
fn frame(scene: &Scene, eye: &Eye, dpi: Option<f64>) -> Result<Frame, Failure> {
    let mut frame = Frame::around(scene, eye, DOTS.0, DOTS.1);
    let (width_mm, height_mm) = scene.size_mm(eye);
    if width_mm <= 0.0 && height_mm <= 0.0 {
        let words = "--cut leaves nothing to be seen; cut across the knife itself";
        return Err(Failure::Usage(words.to_owned()));
    }
    let mm_per_dot = match dpi {
        Some(dpi) if dpi.is_finite() && dpi >= 1.0 => units::Length::inches(1.0).to_mm() / dpi,
        Some(dpi) => {
            return Err(Failure::Usage(format!("--dpi {dpi} is not possible; give 1 or more")));
        }
        None => frame.mm_per_dot,
    };
    let dots = |mm: f64| ((mm + 2.0 * AROUND_MM) / mm_per_dot).ceil().max(1.0);
    if dots(width_mm) * dots(height_mm) > MAX_DOTS {
        let words = "a picture this large has too many pixels; lower --dpi";
        return Err(Failure::Usage(words.to_owned()));
    }
    frame.mm_per_dot = mm_per_dot;
    // Casting is exact: both are whole and were just bounded.
    (frame.width, frame.height) = (dots(width_mm) as usize, dots(height_mm) as usize);
    Ok(frame)
}
