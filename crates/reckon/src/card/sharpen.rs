//! The card for the stones.

use super::text::{Fill, card_lines};
use super::{CardContext, Figure, Line, Part, Span, worked};
use crate::heat::StoneStep;
use knife::GroundSides;
use units::show_angle;

card_lines! { "sharpen":
    TITLE [];
    NO_EDGE [];
    BLADE [width thickness];
    NO_ANGLE [stone];
    STONES [coarse middle fine];
    CHOICE [angle ways];
    CHOICE_BLOCK [height];
    CHOICE_STONE [height];
    CHOICE_FACET [width];
    ANGLE [angle side block stone facet];
    A_SIDE [];
    ONE_FACE [];
    BLOCK [height];
    TOO_STEEP [];
    STONE [stone height];
    FACET [width];
}

/// Sharpening: angle, edge, spine height, stones.
pub(super) fn sharpen_part(bench: &CardContext<'_>) -> Part {
    Part { title: TITLE.words(), lines: lines(bench) }
}

pub(super) fn lines(bench: &CardContext<'_>) -> Vec<Line> {
    let mut lines: Vec<Line> = bench.caution("sharp").into_iter().collect();
    let Some(stone) = &bench.reckoning.heat.stone else {
        lines.push(NO_EDGE.plain());
        return lines;
    };
    lines.push(BLADE.line([
        bench.worked(stone.width_mm, "outline square to the knife's length at the heel"),
        bench.worked(stone.thickness_mm, "of the solid at the spine there"),
    ]));
    if bench.knife.sharpening.is_some() {
        lines.extend(stone.steps.iter().map(|step| at_stone(bench, step)));
    } else {
        lines.push(NO_ANGLE.line([bench.stone_length()]));
        lines.extend(stone.steps.iter().map(|step| to_choose(bench, step)));
    }
    lines.push(STONES.line([
        bench.practice("stone-coarse"),
        bench.practice("stone-middle"),
        bench.practice("stone-fine"),
    ]));
    lines
}

/// How the block's height, the stone's and the facet's width are worked out.
const BY_BLOCK: &str = "w·sin b − z·cos b to the spine's lower corner, z from the centre plane (or \
                     the flat face, when one face is ground) to the ground face";
const BY_STONE: &str = "stone's length times sin b";
const BY_BEVEL: &str = "where the sharpening plane meets the bevel: height / cos b";

/// One angle of several, in a line. A choice, not something to do: it has no box.
fn to_choose(bench: &CardContext<'_>, at: &StoneStep) -> Line {
    let angle = worked(show_angle(at.angle_deg, 1), "one of a row to choose from");
    let ways = [
        (&CHOICE_BLOCK, at.spine_mm, BY_BLOCK),
        (&CHOICE_STONE, at.raise_mm, BY_STONE),
        (&CHOICE_FACET, at.facet_mm, BY_BEVEL),
    ];
    let mut spans: Vec<Span> = Vec::new();
    for (way, mm, how) in ways {
        let Some(mm) = mm else { continue };
        if !spans.is_empty() {
            spans.push(Span::Text(", ".to_owned()));
        }
        spans.extend(way.spans([bench.worked(mm, how)]));
    }
    CHOICE.line([angle.into(), Fill::from(spans)])
}

fn at_stone(bench: &CardContext<'_>, at: &StoneStep) -> Line {
    let one_face = bench.knife.bevel.is_some_and(|bevel| bevel.sides != GroundSides::Both);
    let block = match at.spine_mm {
        Some(mm) => BLOCK.spans([bench.worked(mm, BY_BLOCK)]),
        None => TOO_STEEP.spans::<Figure>([]),
    };
    let stone =
        at.raise_mm.map(|mm| STONE.spans([bench.stone_length(), bench.worked(mm, BY_STONE)]));
    let facet = at.facet_mm.map(|mm| FACET.spans([bench.worked(mm, BY_BEVEL)]));
    ANGLE.line([
        super::stated(show_angle(at.angle_deg, 1)).into(),
        if one_face { ONE_FACE.words() } else { A_SIDE.words() }.into(),
        Fill::from(block),
        stone.unwrap_or_default().into(),
        facet.unwrap_or_default().into(),
    ])
}
