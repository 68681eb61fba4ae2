//! The card's part for the sheath.

use super::build::cautions;
use super::{CardContext, Line, note, stated, step, worked};
use crate::SheathFigures;
use knife::{Hand, SheathBody};

/// Nothing where no sheath is stated.
pub(super) fn lines(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(sheath) = &bench.reckoning.sheath else { return Vec::new() };
    let Ok(sheath) = sheath else {
        return vec![note("The sheath can't be laid round this knife: see the findings.", [])];
    };
    match &sheath.stated.body {
        SheathBody::Leather(_) => leather(bench, sheath),
        SheathBody::Formed(_) => formed(bench, sheath),
    }
}

fn size(bench: &CardContext<'_>, sheath: &SheathFigures) -> super::Figure {
    let (long, broad) = sheath.blank_mm;
    worked(format!("{} × {}", bench.length(long), bench.length(broad)), "box around the pattern")
}

fn leather(bench: &CardContext<'_>, sheath: &SheathFigures) -> Vec<Line> {
    let mut lines = cautions(bench, &["leather-knife", "sheath-rust"]);
    lines.push(step(
        if sheath.pieces == 1 {
            "Cut the main piece by the sheath sheet, from {} of leather {} thick; mark the fold on \
             the flesh side and groove it."
        } else {
            "Cut both sides by the sheath sheet, each from {} of leather {} thick: the second one \
             with the sheet turned over."
        },
        [size(bench, sheath), bench.stated(sheath.stated.thickness_mm)],
    ));
    if let Some(welt) = &sheath.welt {
        let words = "Cut the welt by its template, {} thick{}; skive it where the tip lies.";
        let layers = match welt.layers {
            Some(layers) if layers > 1 => format!(" ({layers} layers)"),
            _ => String::new(),
        };
        let how = "layers that come nearest to the stock";
        lines.push(step(words, [bench.worked(welt.thickness_mm, how), worked(layers, how)]));
    }
    if let Some(own) = &sheath.belt_loop {
        lines.push(step(
            "Belt loop first, on the back ({} as the sheet lies): a strip of {} × {}, folded double, \
             both tabs stitched down together with {} stitches, through all three layers.",
            [
                stated(match sheath.stated.hand {
                    Hand::Right => "above the fold",
                    Hand::Left => "below the fold",
                }),
                bench.worked(own.length_mm, "tabs, legs and the turn about the belt"),
                bench.stated(own.stated.width_mm),
                worked(own.row.steps.to_string(), "round the tab at the stitch's pitch"),
            ],
        ));
    }
    lines.extend(cautions(bench, &["contact-glue", "leather-dust"]));
    lines.push(step(
        "Wet, fold over the taped knife and let it dry to shape; then glue the welt between the rims, \
         rims flush, flesh side to flesh side.",
        [],
    ));
    lines.extend(cautions(bench, &["awl"]));
    lines.push(step(
        "Groove and punch the row by the sheet: {} stitches of {} ({} to the inch), {} from the rim, \
         square through all layers.",
        [
            worked(sheath.row.steps.to_string(), "the row evenly divided"),
            bench.worked(sheath.row.pitch_mm, "the row evenly divided"),
            worked(units::show_number(sheath.per_inch(), 1), "an inch over the stitch"),
            bench.stated(sheath.stated.rim_mm() - sheath.stated.row_mm()),
        ],
    ));
    if let Some(thread_mm) = sheath.thread_mm {
        lines.push(step(
            "Saddle-stitch with {} of thread on two needles ({} of the seam is a usual rule), locked by \
             a few stitches back.",
            [
                bench.worked(thread_mm, "both ends along every stitch and through every hole"),
                bench.practice("thread-times"),
            ],
        ));
    }
    drain(bench, sheath, &mut lines);
    lines.push(step("Sand the rims flush, burnish them, dye and finish; let it dry in full.", []));
    lines.extend(cautions(bench, &["sheath-try"]));
    lines
}

fn formed(bench: &CardContext<'_>, sheath: &SheathFigures) -> Vec<Line> {
    let mut lines = cautions(bench, &["forming", "forming-edge"]);
    lines.push(step(
        if sheath.pieces == 1 {
            "Cut the sheet to {}, {} thick, its fold marked in the middle."
        } else {
            "Cut two sheets to {}, {} thick."
        },
        [size(bench, sheath), bench.stated(sheath.stated.thickness_mm)],
    ));
    if sheath.stated.relief_mm > 0.0 {
        lines.push(step(
            "Lay {} of tape on each scale up to the mouth, so that a swollen handle still comes out.",
            [bench.stated(sheath.stated.relief_mm)],
        ));
    }
    lines.push(step(
        "Warm it until it hangs ({}, by its own data sheet), press it over the taped knife in foam, and \
         let it cool in the press.",
        [bench.practice("forming-heat")],
    ));
    if let Some(formed) = sheath.stated.formed() {
        lines.push(step(
            "Lay the sheet's template on, drill {} holes of {} through both sides, {} from one to the \
             next; set the eyelets from the mouth on.",
            [
                worked(sheath.row.holes.len().to_string(), "the row evenly divided"),
                bench.stated(formed.eyelet_mm),
                bench.worked(sheath.row.pitch_mm, "the row evenly divided"),
            ],
        ));
        if let Some(clip_mm) = formed.clip_mm.filter(|_| sheath.row.clip.is_some()) {
            let words = "The two nearest to the mouth hold the clip: {} apart, straight.";
            lines.push(step(words, [bench.stated(clip_mm)]));
        }
        if formed.ramp.is_some() {
            let words = "Warm the lip at the mouth and bend the thumb ramp outward.";
            lines.push(step(words, []));
        }
    }
    drain(bench, sheath, &mut lines);
    lines.push(step("Saw and sand to the rim, break its edges, smooth the mouth.", []));
    lines.extend(cautions(bench, &["handle-dust", "sheath-try"]));
    lines
}

fn drain(bench: &CardContext<'_>, sheath: &SheathFigures, lines: &mut Vec<Line>) {
    if let Some(mm) = sheath.stated.drain_mm {
        lines.push(step("Drain hole at the tip: {}.", [bench.stated(mm)]));
    }
}
