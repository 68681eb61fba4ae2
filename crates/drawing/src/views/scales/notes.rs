//! What is said beside the pair: how to lay it, what to saw, from which blocks, what to mind.

use crate::views::drills::{drill_name, shortened};
use knife::{Fixing, HoleKind, Knife};
use reckon::tables::{MaterialKind, Tables};
use reckon::{Block, HoleFigures, PiecePart, Reckoning, ScaleFigures};
use units::LengthUnit;

/// Longer names of materials are cut short on the sheet, characters.
const NAME_CHARS: usize = 28;

/// Whether the pair is wood, as far as is known, sawn from one block.
pub(super) fn opens_like_a_book(knife: &Knife, reckoning: &Reckoning) -> bool {
    let name = knife.handle.scales.as_deref();
    let kind = name.and_then(|name| Tables::built_in().material(name)).map(|m| m.kind);
    let wood = kind.map_or(name.is_none() || knife.handle.grain_deg.is_some(), |kind| {
        kind == MaterialKind::Wood
    });
    wood && reckoning.scales.as_ref().is_some_and(|scales| scales.book.is_some())
}

/// Short lines for beside the drawing.
pub fn scales_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let Some(scales) = &reckoning.scales else {
        return vec![
            "No scales: they are not stated, or their front finds no room; see the findings."
                .to_owned(),
        ];
    };
    let mut notes = vec![lay(scales)];
    notes.extend(sawn(knife, scales));
    notes.extend(drills(knife, reckoning, scales));
    notes.extend(blocks(knife, scales));
    if opens_like_a_book(knife, reckoning) {
        notes.extend(book(knife, scales));
    }
    notes.extend(grain(knife));
    let rule = |finding: &&reckon::Finding| finding.rule == "handle-out-of-room";
    notes.extend(reckoning.findings.iter().filter(rule).map(reckon::Finding::message));
    if reckoning.scallops.is_some() {
        notes
            .push("Arcs at the edges: rims of the scallops. Mark them with the strips.".to_owned());
    }
    notes.push(
        "Dust of handle materials and glue harms lungs and skin: extract it, wear mask and eye \
         protection. Tape the edge, clamp the work, keep to the rules where you are."
            .to_owned(),
    );
    notes
}

fn lay(scales: &ScaleFigures) -> String {
    let each = if scales.pieces.len() > 1 { "piece" } else { "scale" };
    format!(
        "Stick each half on the outside of its own {each}; on glue faces left and right change \
         places."
    )
}

fn sawn(knife: &Knife, scales: &ScaleFigures) -> Vec<String> {
    let over = knife.handle.overhang_mm();
    let mut words = if over > 0.0 {
        format!(
            "Saw along the full line, {} outside the tang; trim flush (dashed) once glued.",
            fine(knife, over)
        )
    } else {
        "Saw along the full line: it is the tang's own, nothing is left to trim.".to_owned()
    };
    words += if scales.pieces.len() > 1 { " Front and joints are" } else { " The front is" };
    words += " exact: finish both fronts as a pair before you glue.";
    let mut notes = vec![words];
    if scales.outer_front.is_some() {
        notes.push(format!(
            "Bevelled {} from square: \"bevel\" is the front's line on the outside, {} behind \
             \"front\" on the tang.",
            units::show_angle(scales.bevel_deg, 1),
            fine(knife, scales.setback_mm)
        ));
    }
    if !scales.corner.is_empty() {
        notes.push("\"corner\": where the long edges' chamfer or round begins.".to_owned());
    }
    notes
}

fn drills(knife: &Knife, reckoning: &Reckoning, scales: &ScaleFigures) -> Option<String> {
    let in_a_piece = |hole: &&HoleFigures| {
        hole.kind != HoleKind::Relief && scales.pieces.iter().any(|p| p.holes.contains(&hole.id))
    };
    let mut drills: Vec<(String, Vec<String>)> = Vec::new();
    for hole in reckoning.holes.iter().filter(in_a_piece) {
        let mut name = drill_name(hole);
        if let Some(size) = hole.drill_size(knife.unit) {
            name += &format!(" ({size})");
        }
        if let Some(Fixing::Screw { head_mm, head_deep_mm }) = knife.handle.fixing(hole.id) {
            let (head, deep) = (fine(knife, head_mm), fine(knife, head_deep_mm));
            name += &format!(" with a head {head} wide, {deep} deep");
        }
        let number = hole.number.to_string();
        match drills.iter_mut().find(|(known, _)| *known == name) {
            Some((_, numbers)) => numbers.push(number),
            None => drills.push((name, vec![number])),
        }
    }
    let message: Vec<String> = drills
        .iter()
        .take(6)
        .map(|(name, numbers)| shortened(&format!("{name} for {}", numbers.join(", ")), 60))
        .collect();
    (!message.is_empty()).then(|| {
        format!(
            "Drills: {}; through the tang's own holes, one scale after the other.",
            message.join("; ")
        )
    })
}

fn blocks(knife: &Knife, scales: &ScaleFigures) -> Vec<String> {
    let handle = &knife.handle;
    let name = |material: Option<&str>| {
        material.map_or(String::new(), |name| format!(" ({})", shortened(name, NAME_CHARS)))
    };
    let message: Vec<String> = scales
        .pieces
        .iter()
        .map(|piece| {
            let material = match piece.part {
                PiecePart::FrontBolster => {
                    name(handle.front_bolster.as_ref().and_then(|b| b.material.as_deref()))
                }
                PiecePart::RearBolster => {
                    name(handle.rear_bolster.as_ref().and_then(|b| b.material.as_deref()))
                }
                PiecePart::Scale => match (handle.scales.as_deref(), handle.right_scale.as_deref())
                {
                    (Some(left), Some(right)) if left != right => format!(
                        " (left {}, right {})",
                        shortened(left, NAME_CHARS),
                        shortened(right, NAME_CHARS)
                    ),
                    (material, _) => name(material),
                },
            };
            format!("{}{material} {}", piece.part.label(), block(knife, piece.block))
        })
        .collect();
    vec![format!(
        "Rough blocks, two of each: {}; {} allowed on every side, thickness as it will be.",
        message.join("; "),
        fine(knife, handle.allowance_mm())
    )]
}

fn book(knife: &Knife, scales: &ScaleFigures) -> Option<String> {
    let book = scales.book.as_ref()?;
    Some(format!(
        "Book-matched: saw one block of {} through its thickness (kerf {}, {}; {} to flatten each \
         sawn face) and open it like a book about the line between them: both sawn faces lie outside.",
        block(knife, book.block),
        fine(knife, book.kerf_mm),
        shortened(&book.kerf_of, 40),
        fine(knife, book.flat_mm)
    ))
}

fn grain(knife: &Knife) -> Option<String> {
    let grain_deg = knife.handle.grain_deg?;
    Some(if grain_deg == 0.0 {
        "The grain runs along the handle.".to_owned()
    } else {
        format!(
            "The grain runs {} off the handle's length, as the arrows point.",
            units::show_angle(grain_deg.abs(), 1)
        )
    })
}

fn block(knife: &Knife, block: Block) -> String {
    let sizes = [block.length_mm, block.width_mm, block.thickness_mm];
    let (message, unit) = match knife.unit {
        LengthUnit::Millimetre => (sizes.map(|mm| units::show_number(mm, 2)), "mm"),
        LengthUnit::Inch => (sizes.map(|mm| units::show_number(mm / 25.4, 3)), "in"),
    };
    format!("{} {unit}", message.join(" × "))
}

/// A small length in the maker's unit.
fn fine(knife: &Knife, mm: f64) -> String {
    units::show_decimal(mm, knife.unit, (2, 3))
}
