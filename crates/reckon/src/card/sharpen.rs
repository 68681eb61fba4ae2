//! The card for the stones.

use super::{Bench, Line, Part, note, step, worked};
use crate::heat::StoneStep;
use units::show_angle;

/// Sharpening: angle, edge, spine height, stones.
pub fn sharpen_part(bench: &Bench<'_>) -> Part {
    Part { title: "Sharpening".to_owned(), lines: lines(bench) }
}

pub(super) fn lines(bench: &Bench<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("sharp").into_iter().collect();
    let Some(stone) = &bench.reckoning.heat.stone else {
        lines.push(note(
            "Mark tip and heel, or set the plunge line: the spine's height over the stone follows \
             from the blade's width.",
            [],
        ));
        return lines;
    };
    lines.push(note(
        "At {} of blade width and {} of steel, edge down on the stone:",
        [
            bench.worked(stone.width_mm, "outline square to the knife's length at the heel"),
            bench.stated(stone.thickness_mm),
        ],
    ));
    lines.extend(stone.steps.iter().map(|step| at_stone(bench, step)));
    if bench.knife.sharpening.is_none() {
        lines.push(note("No sharpening angle is stated yet: these are to choose from.", []));
    }
    lines.push(step(
        "Stones {}, {}, {} by number: a burr along the whole edge before the next, then the last \
         strokes light and alternating.",
        [
            bench.practice("stone-coarse"),
            bench.practice("stone-middle"),
            bench.practice("stone-fine"),
        ],
    ));
    lines
}

fn at_stone(bench: &Bench<'_>, at: &StoneStep) -> Line {
    let angle = match bench.knife.sharpening {
        Some(_) => super::stated(show_angle(at.angle_deg, 1)),
        None => worked(show_angle(at.angle_deg, 1), "one of a row to choose from"),
    };
    let mut words = "{} a side:".to_owned();
    let mut figures = vec![angle];
    match at.spine_mm {
        Some(mm) => {
            words += " block under the spine {}";
            let how = "w·sin b − t/2·cos b to the spine's lower corner";
            figures.push(bench.worked(mm, how));
        }
        None => words += " too steep to set by the spine of so narrow a blade",
    }
    if let Some(mm) = at.raise_mm {
        words += "; or the blade level and one end of a {} stone raised {}";
        figures.push(bench.practice("stone-length"));
        figures.push(bench.worked(mm, "stone's length times sin b"));
    }
    if let Some(mm) = at.facet_mm {
        words += "; sharpened facet {} wide";
        figures.push(bench.worked(mm, "e/(2 sin b) with the edge's thickness e"));
    }
    words += ".";
    step(&words, figures)
}
