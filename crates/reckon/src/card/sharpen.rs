//! The card for the stones.

use super::{CardContext, Line, Part, note, step, worked};
use crate::heat::StoneStep;
use knife::GroundSides;
use units::show_angle;

/// Sharpening: angle, edge, spine height, stones.
pub fn sharpen_part(bench: &CardContext<'_>) -> Part {
    Part { title: "Sharpening".to_owned(), lines: lines(bench) }
}

pub(super) fn lines(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines = Vec::new();
    let Some(stone) = &bench.reckoning.heat.stone else {
        lines.push(note(
            "Mark tip and heel, or set the plunge line: the spine's height over the stone follows \
             from the blade's width.",
            [],
        ));
        lines.extend(bench.caution("sharp"));
        return lines;
    };
    lines.push(note(
        "At {} of blade width and {} of steel at the spine, edge down on the stone:",
        [
            bench.worked(stone.width_mm, "outline square to the knife's length at the heel"),
            bench.worked(stone.thickness_mm, "of the solid at the spine there"),
        ],
    ));
    if bench.knife.sharpening.is_some() {
        lines.extend(stone.steps.iter().map(|step| at_stone(bench, step)));
    } else {
        lines.push(note(
            "No sharpening angle is stated yet. To choose from, a side: block under the spine, or \
             the blade level and one end of a {} stone raised; width of the sharpened facet.",
            [bench.practice("stone-length")],
        ));
        lines.extend(stone.steps.iter().map(|step| to_choose(bench, step)));
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
    lines.extend(bench.caution("sharp"));
    lines
}

/// How the block's height, the stone's and the facet's width are worked out.
const BLOCK: &str = "w·sin b − z·cos b to the spine's lower corner, z from the centre plane (or \
                     the flat face, when one face is ground) to the ground face";
const RAISED: &str = "stone's length times sin b";
const FACET: &str = "where the sharpening plane meets the bevel: height / cos b";

/// One angle of several, in a line.
fn to_choose(bench: &CardContext<'_>, at: &StoneStep) -> Line {
    let angle = worked(show_angle(at.angle_deg, 1), "one of a row to choose from");
    let mut figures = vec![angle];
    let message = [("block", at.spine_mm, BLOCK), ("stone", at.raise_mm, RAISED)];
    let message = message.into_iter().chain([("facet", at.facet_mm, FACET)]);
    let message: Vec<String> = message
        .filter_map(|(name, mm, how)| {
            figures.push(bench.worked(mm?, how));
            Some(format!("{name} {{}}"))
        })
        .collect();
    // A choice, not something to do: it has no box.
    note(&format!("{{}}: {}.", message.join(", ")), figures)
}

fn at_stone(bench: &CardContext<'_>, at: &StoneStep) -> Line {
    let one_face = bench.knife.bevel.is_some_and(|bevel| bevel.sides != GroundSides::Both);
    let side = if one_face { "on the ground face" } else { "a side" };
    let mut words = format!("{{}} {side}:");
    let mut figures = vec![super::stated(show_angle(at.angle_deg, 1))];
    match at.spine_mm {
        Some(mm) => {
            words += " block under the spine {}";
            figures.push(bench.worked(mm, BLOCK));
        }
        None => words += " too steep to set by the spine of so narrow a blade",
    }
    if let Some(mm) = at.raise_mm {
        words += "; or the blade level and one end of a {} stone raised {}";
        figures.push(bench.practice("stone-length"));
        figures.push(bench.worked(mm, RAISED));
    }
    if let Some(mm) = at.facet_mm {
        words += "; sharpened facet {} wide";
        figures.push(bench.worked(mm, FACET));
    }
    words += ".";
    step(&words, figures)
}
