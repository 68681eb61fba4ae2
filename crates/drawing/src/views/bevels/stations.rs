//! Where the blade is cut through for a section: just ahead of the plunge, in the middle, near
//! the tip, and where a swedge ends.

use super::BladeView;
use reckon::{Section, section_at};

/// The first section lies so far ahead of the plunge, of the arc its file leaves and of the heel, mm.
const AHEAD_MM: f64 = 3.0;
/// The last one lies where the blade is still as high as this, mm.
const MIN_MM: f64 = 6.0;
/// Sections nearer to one another than this tell the same, mm.
const APART_MM: f64 = 9.0;
/// Places along the blade that are looked at.
const STEPS: u32 = 60;

/// A section with its letter and where it lies, in words.
pub(super) struct Station {
    pub(super) letter: char,
    pub(super) label: String,
    pub(super) section: Section,
}

/// The stations, from the plunge to the tip.
pub(super) fn all(view: &BladeView<'_>) -> Vec<Station> {
    let mut all: Vec<(String, Section)> = Vec::new();
    let mut add = |words: &str, x_mm: f64| {
        let Some(section) = section_at(view.knife, view.reckoning, x_mm) else { return };
        if all.iter().all(|(_, other)| (other.x_mm - x_mm).abs() >= APART_MM) {
            all.push((words.to_owned(), section));
        }
    };
    let Some(bevel) = &view.reckoning.bevel else { return Vec::new() };
    let butt = view.profile.towards_butt;
    let Some(edge) = &view.profile.edge else { return Vec::new() };
    let Some(tip) = edge.segs.first().map(|seg| kurbo::ParamCurve::start(seg).x) else {
        return Vec::new();
    };
    let ends = bevel.plunge.map_or([bevel.plunge_frame.foot; 2], |line| [line.p0, line.p1]);
    let front = if butt > 0.0 { ends[0].x.min(ends[1].x) } else { ends[0].x.max(ends[1].x) };
    // A heel that lies farther ahead is a corner: cut there, the edge is thicker than along the blade.
    let heel = edge.segs.last().map_or(front, |seg| kurbo::ParamCurve::end(seg).x);
    let front = if (heel - front) * butt < 0.0 { heel } else { front };
    let file_mm = view.knife.bevel.map_or(0.0, |bevel| bevel.plunge_file_mm);
    let from = front - butt * (AHEAD_MM + file_mm / 2.0);
    if (from - tip) * butt <= MIN_MM {
        return Vec::new();
    }
    add("ahead of the plunge", from);
    let at = |share: f64| from + (tip - from) * share;
    let high = |x_mm: &f64| {
        section_at(view.knife, view.reckoning, *x_mm)
            .is_some_and(|section| section.height_mm >= MIN_MM && section.bevel.is_some())
    };
    let shares = (0..=STEPS).rev().map(|i| 0.4 + 0.5 * f64::from(i) / f64::from(STEPS));
    if let Some(x_mm) = shares.map(at).find(high) {
        add("near the tip", x_mm);
    }
    add("in the middle", at(0.5));
    if let Some(swedge) = view.knife.swedge {
        add("through the swedge", swedge.from_x_mm + (tip - swedge.from_x_mm) * 0.45);
    }
    if let Some(taper) = view.knife.taper {
        add("where the taper begins", taper.from_x_mm);
    }
    all.retain(|(_, section)| (section.x_mm - from) * butt <= 1e-9 && section.bevel.is_some());
    all.sort_by(|a, b| (b.1.x_mm * butt).total_cmp(&(a.1.x_mm * butt)));
    ('A'..)
        .zip(all)
        .map(|(letter, (words, section))| Station { letter, label: words, section })
        .collect()
}
