//! What to have for the handle: blocks, liners, rod, glue.

use super::{CardContext, Figure, Line, have, stated, worked};
use crate::{Block, PiecePart, PinKind, RodFigures, ScalePiece};
use knife::Bolster;
use units::show_number;

pub(super) fn lines(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, reckoning) = (bench.knife, bench.reckoning);
    let (Some(scales), Some(fit)) = (&reckoning.scales, &reckoning.fit) else {
        return Vec::new();
    };
    let handle = &knife.handle;
    let named = |name: Option<&str>| stated(name.unwrap_or("material not chosen").to_owned());
    let of = |bolster: &Option<Bolster>| {
        named(bolster.as_ref().and_then(|bolster| bolster.material.as_deref()))
    };
    let mut lines = Vec::new();
    for piece in &scales.pieces {
        let (words, material) = match piece.part {
            PiecePart::Scale => match handle.right_scale.as_deref() {
                Some(right) if handle.scales.as_deref() != Some(right) => {
                    lines.push(block(bench, "Right scale: one of {}", named(Some(right)), piece));
                    ("Left scale: one of {}", named(handle.scales.as_deref()))
                }
                _ => ("Scales: two of {}", named(handle.scales.as_deref())),
            },
            PiecePart::FrontBolster => ("Front bolsters: two of {}", of(&handle.front_bolster)),
            PiecePart::RearBolster => ("Rear bolsters: two of {}", of(&handle.rear_bolster)),
        };
        lines.push(block(bench, words, material, piece));
    }
    if let Some(liners) = &handle.liners {
        let figures = [named(liners.material.as_deref()), bench.stated(liners.thickness_mm)];
        lines.push(have("Liners: two of {}, {} thick, to cover scales and bolsters.", figures));
    }
    lines.extend(fit.rods.iter().map(|stock| rod(bench, stock)));
    let glue = &fit.glue;
    let ml = |ml: f64, how| worked(format!("{} ml", show_number(ml, 1)), how);
    lines.push(have(
        "Epoxy: {} stays in the knife; mix {}, {} times what the joints take and all that holes take.",
        [
            ml(glue.stays_ml(), "glued areas times glue line, relief holes and gaps"),
            ml(glue.mixed_ml, "so many times what the joints take, and what holes take"),
            bench.practice("glue-mixed"),
        ],
    ));
    lines
}

/// A rough block; its words end before its size.
fn block(bench: &CardContext<'_>, words: &str, material: Figure, piece: &ScalePiece) -> Line {
    let allowance = match bench.knife.handle.allowance_mm {
        Some(mm) => bench.stated(mm),
        None => bench.practice("block-room"),
    };
    let rough = |mm: f64| bench.worked(mm, "the piece's box and the room on all four sides");
    let Block { length_mm, width_mm, thickness_mm } = piece.block;
    have(
        &format!("{words}, rough {{}} × {{}} × {{}}, which is {{}} more on each side."),
        [material, rough(length_mm), rough(width_mm), bench.stated(thickness_mm), allowance],
    )
}

/// Rod, tube or screws of one diameter.
fn rod(bench: &CardContext<'_>, stock: &RodFigures) -> Line {
    let handle = &bench.knife.handle;
    let proud = match handle.proud_mm {
        Some(mm) => bench.stated(mm),
        None => bench.practice("pin-room"),
    };
    let material = handle.pins.clone().unwrap_or_else(|| "material not chosen".to_owned());
    let count = stated(stock.count.to_string());
    let diameter = bench.stated(stock.diameter_mm);
    let long = bench.worked(
        stock.longest_mm,
        "steel, and glue, liner, scale and what stands out on both sides; the longest",
    );
    let rest = "each {} long, {} standing out on both sides.";
    match stock.kind {
        PinKind::Rod => have(
            &format!("Pins: {{}} of {{}}, {{}} thick, {rest}"),
            [count, stated(material), diameter, long, proud],
        ),
        PinKind::Tube { bore_mm } => have(
            &format!("Tubes: {{}} of {{}}, {{}} thick with a bore of {{}}, {rest}"),
            [count, stated(material), diameter, bench.stated(bore_mm), long, proud],
        ),
        PinKind::Screw { head_mm, .. } => have(
            &format!("Screws: {{}} of {{}}, {{}} thick with heads of {{}}, {rest}"),
            [count, stated(material), diameter, bench.stated(head_mm), long, proud],
        ),
    }
}
