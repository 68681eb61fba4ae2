//! What to have for the handle: blocks, liners, rod, glue.

use super::text::{CardLine, card_lines};
use super::{CardContext, Figure, Line, stated, worked};
use crate::{Block, PiecePart, PinKind, RodFigures, ScalePiece};
use knife::Bolster;
use units::show_number;

card_lines! { "stock":
    RIGHT_SCALE [material length width thickness allowance];
    LEFT_SCALE [material length width thickness allowance];
    SCALES [material length width thickness allowance];
    FRONT_BOLSTERS [material length width thickness allowance];
    REAR_BOLSTERS [material length width thickness allowance];
    LINERS [material thickness];
    EPOXY [stays mixed times];
    PINS [count material diameter length proud];
    TUBES [count material diameter bore length proud];
    SCREWS [count material diameter head length proud];
}

pub(super) fn lines(bench: &CardContext<'_>) -> Vec<Line> {
    let (knife, reckoning) = (bench.knife, bench.reckoning);
    let (Some(scales), Some(fit)) = (&reckoning.scales, &reckoning.fit) else {
        return Vec::new();
    };
    let handle = &knife.handle;
    let named = |name: Option<&str>| stated(name.unwrap_or("any material").to_owned());
    let of = |bolster: &Option<Bolster>| {
        named(bolster.as_ref().and_then(|bolster| bolster.material.as_deref()))
    };
    let mut lines = Vec::new();
    for piece in &scales.pieces {
        let (text, material) = match piece.part {
            PiecePart::Scale => match handle.right_scale.as_deref() {
                Some(right) if handle.scales.as_deref() != Some(right) => {
                    lines.push(block(bench, &RIGHT_SCALE, named(Some(right)), piece));
                    (&LEFT_SCALE, named(handle.scales.as_deref()))
                }
                _ => (&SCALES, named(handle.scales.as_deref())),
            },
            PiecePart::FrontBolster => (&FRONT_BOLSTERS, of(&handle.front_bolster)),
            PiecePart::RearBolster => (&REAR_BOLSTERS, of(&handle.rear_bolster)),
        };
        lines.push(block(bench, text, material, piece));
    }
    if let Some(liners) = &handle.liners {
        let figures = [named(liners.material.as_deref()), bench.stated(liners.thickness_mm)];
        lines.push(LINERS.line(figures));
    }
    lines.extend(fit.rods.iter().map(|stock| rod(bench, stock)));
    let glue = &fit.glue;
    let ml = |ml: f64, how| worked(format!("{} ml", show_number(ml, 1)), how);
    lines.push(EPOXY.line([
        ml(glue.stays_ml(), "glued areas times glue line, relief holes and gaps"),
        ml(glue.mixed_ml, "so many times what the joints take, and what holes take"),
        bench.practice("glue-mixed"),
    ]));
    lines
}

/// A rough block.
fn block(
    bench: &CardContext<'_>,
    text: &CardLine<5>,
    material: Figure,
    piece: &ScalePiece,
) -> Line {
    let allowance = match bench.knife.handle.allowance_mm {
        Some(mm) => bench.stated(mm),
        None => bench.practice("block-room"),
    };
    let rough = |mm: f64| bench.worked(mm, "the piece's box and the room on all four sides");
    let Block { length_mm, width_mm, thickness_mm } = piece.block;
    text.line([material, rough(length_mm), rough(width_mm), bench.stated(thickness_mm), allowance])
}

/// Rod, tube or screws of one diameter.
fn rod(bench: &CardContext<'_>, stock: &RodFigures) -> Line {
    let handle = &bench.knife.handle;
    let proud = match handle.proud_mm {
        Some(mm) => bench.stated(mm),
        None => bench.practice("pin-room"),
    };
    let material = handle.pins.clone().unwrap_or_else(|| "any material".to_owned());
    let count = stated(stock.count.to_string());
    let diameter = bench.stated(stock.diameter_mm);
    let long = bench.worked(
        stock.longest_mm,
        "steel, and glue, liner, scale and what stands out on both sides; the longest",
    );
    match stock.kind {
        PinKind::Rod => PINS.line([count, stated(material), diameter, long, proud]),
        PinKind::Tube { bore_mm } => {
            TUBES.line([count, stated(material), diameter, bench.stated(bore_mm), long, proud])
        }
        PinKind::Screw { head_mm, .. } => {
            SCREWS.line([count, stated(material), diameter, bench.stated(head_mm), long, proud])
        }
    }
}
