//! The card's part for the sheath.

use super::text::{Fill, card_lines};
use super::{CardContext, Line, worked};
use crate::SheathFigures;
use knife::{Hand, SheathBody};

card_lines! { "sheath":
    CANNOT_BE_LAID [];
    CUT_MAIN_PIECE [size thickness];
    CUT_BOTH_SIDES [size thickness];
    CUT_WELT [thickness layers];
    WELT_LAYERS [count];
    BELT_LOOP [where_it_lies length width count];
    ABOVE_FOLD [];
    BELOW_FOLD [];
    WET_AND_GLUE [];
    PUNCH_ROW [count pitch per_inch distance];
    STITCH [thread times];
    FINISH_LEATHER [];
    CUT_SHEET [size thickness];
    CUT_TWO_SHEETS [size thickness];
    TAPE_SCALES [tape];
    FORM [heat];
    DRILL_EYELETS [count eyelet pitch];
    CLIP [distance];
    THUMB_RAMP [];
    FINISH_FORMED [];
    DRAIN [diameter];
}

/// Nothing where no sheath is stated.
pub(super) fn lines(bench: &CardContext<'_>) -> Vec<Line> {
    let Some(sheath) = &bench.reckoning.sheath else { return Vec::new() };
    let Ok(sheath) = sheath else {
        return vec![CANNOT_BE_LAID.plain()];
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
    let mut lines = bench.cautions(&["leather-knife", "sheath-rust"]);
    let text = if sheath.pieces == 1 { CUT_MAIN_PIECE } else { CUT_BOTH_SIDES };
    lines.push(text.line([size(bench, sheath), bench.stated(sheath.stated.thickness_mm)]));
    if let Some(welt) = &sheath.welt {
        let how = "layers that come nearest to the stock";
        let layers = welt.layers.filter(|layers| *layers > 1);
        let layers = layers.map(|layers| WELT_LAYERS.spans([worked(layers.to_string(), how)]));
        let thickness = bench.worked(welt.thickness_mm, how);
        lines.push(CUT_WELT.line([Fill::from(thickness), layers.unwrap_or_default().into()]));
    }
    if let Some(own) = &sheath.belt_loop {
        let side = match sheath.stated.hand {
            Hand::Right => ABOVE_FOLD,
            Hand::Left => BELOW_FOLD,
        };
        lines.push(BELT_LOOP.line([
            Fill::from(side.words()),
            bench.worked(own.length_mm, "tabs, legs and the turn about the belt").into(),
            bench.stated(own.stated.width_mm).into(),
            worked(own.row.steps.to_string(), "round the tab at the stitch's pitch").into(),
        ]));
    }
    lines.extend(bench.cautions(&["contact-glue", "leather-dust"]));
    lines.push(WET_AND_GLUE.plain());
    lines.extend(bench.cautions(&["awl"]));
    lines.push(PUNCH_ROW.line([
        worked(sheath.row.steps.to_string(), "the row evenly divided"),
        bench.worked(sheath.row.pitch_mm, "the row evenly divided"),
        worked(units::show_number(sheath.per_inch(), 1), "an inch over the stitch"),
        bench.stated(sheath.stated.rim_mm() - sheath.stated.row_mm()),
    ]));
    if let Some(thread_mm) = sheath.thread_mm {
        lines.push(STITCH.line([
            worked(
                crate::sheath::show_thread(thread_mm, bench.knife.unit),
                "both ends along every stitch and through every hole",
            ),
            bench.practice("thread-times"),
        ]));
    }
    drain(bench, sheath, &mut lines);
    lines.push(FINISH_LEATHER.plain());
    lines.extend(bench.cautions(&["sheath-try"]));
    lines
}

fn formed(bench: &CardContext<'_>, sheath: &SheathFigures) -> Vec<Line> {
    let mut lines = bench.cautions(&["forming", "forming-edge"]);
    let text = if sheath.pieces == 1 { CUT_SHEET } else { CUT_TWO_SHEETS };
    lines.push(text.line([size(bench, sheath), bench.stated(sheath.stated.thickness_mm)]));
    if sheath.stated.relief_mm > 0.0 {
        lines.push(TAPE_SCALES.line([bench.stated(sheath.stated.relief_mm)]));
    }
    lines.push(FORM.line([bench.practice("forming-heat")]));
    if let Some(formed) = sheath.stated.formed() {
        lines.push(DRILL_EYELETS.line([
            worked(sheath.row.holes.len().to_string(), "the row evenly divided"),
            bench.stated(formed.eyelet_mm),
            bench.worked(sheath.row.pitch_mm, "the row evenly divided"),
        ]));
        if let Some(clip_mm) = formed.clip_mm.filter(|_| sheath.row.clip.is_some()) {
            lines.push(CLIP.line([bench.stated(clip_mm)]));
        }
        if formed.ramp.is_some() {
            lines.push(THUMB_RAMP.plain());
        }
    }
    drain(bench, sheath, &mut lines);
    lines.push(FINISH_FORMED.plain());
    lines.extend(bench.cautions(&["handle-dust", "sheath-try"]));
    lines
}

fn drain(bench: &CardContext<'_>, sheath: &SheathFigures, lines: &mut Vec<Line>) {
    if let Some(mm) = sheath.stated.drain_mm {
        lines.push(DRAIN.line([bench.stated(mm)]));
    }
}
