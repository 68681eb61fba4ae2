//! Readings of the scales: front, bevel, pieces, blocks.

use super::{Group, Reading, Value, length, reading};
use crate::{Block, Reckoning, ScaleFigures, ScalePiece};
use knife::{FrontCurve, HoleId, Knife};
use units::LengthUnit;

pub(super) fn group(knife: &Knife, reckoning: &Reckoning) -> Option<Group> {
    let (stated, figures) = (knife.scales?, reckoning.scales.as_ref()?);
    let mut readings = vec![
        reading(
            "Front line",
            Value::Length(reckoning.origin.to_local_x(stated.front_x_mm)),
            "x, from the origin, as stated",
        ),
        reading("Thickness", Value::Length(stated.thickness_mm), "of one scale, as stated"),
        reading("Length", Value::Length(figures.length_mm), "extent along x behind the front line"),
        reading(
            "Area of one",
            Value::Area(figures.area_mm2),
            "the outline behind the front line, holes included",
        ),
        reading(
            "Front",
            Value::Text(front(knife)),
            "as stated; the line goes through the middle of the tang, the lean is positive when \
             its end at the spine lies nearer to the butt",
        ),
        reading(
            "Bevel of the front",
            Value::Angle(figures.bevel_deg),
            "back from square, as stated or usual",
        ),
        reading(
            "Bevel set back",
            Value::Length(figures.setback_mm),
            "from the front line to its line on the outer face, square to it: thickness there times \
             the bevel's tangent",
        ),
        reading(
            "Trim allowance",
            Value::Length(knife.handle.overhang_mm()),
            "what each piece is sawn larger along the tang's outline; front and joints are exact",
        ),
    ];
    for piece in &figures.pieces {
        readings.extend(pieces(knife, figures, piece));
    }
    if let Some(book) = &figures.book {
        let words = format!(
            "{}; kerf {} ({})",
            block(book.block, knife.unit),
            length(book.kerf_mm, knife.unit),
            book.kerf_of
        );
        readings.push(reading(
            "Book-matched block",
            Value::Text(words),
            "the scale's rough block, twice its thickness, the kerf, and what flattening takes off \
             both sawn faces; the kerf of the shop's widest saw",
        ));
    }
    Some(Group { title: "Scales".to_owned(), readings })
}

/// The front's shape in words.
fn front(knife: &Knife) -> String {
    let front = knife.handle.front;
    let mut words = match front.curve {
        FrontCurve::Straight => "straight".to_owned(),
        FrontCurve::Round(mm) => format!("round, radius {}", length(mm, knife.unit)),
        FrontCurve::Hollow(mm) => format!("hollow, radius {}", length(mm, knife.unit)),
    };
    if front.lean_deg != 0.0 {
        words += &format!(", leaning {}", units::show_angle(front.lean_deg, 1));
    }
    words
}

fn pieces(knife: &Knife, figures: &ScaleFigures, piece: &ScalePiece) -> [Reading; 2] {
    let bounds = piece.outline.bounds();
    let mut words = format!(
        "{}: {} × {}",
        piece.part.label(),
        length(bounds.width(), knife.unit),
        length(bounds.height(), knife.unit)
    );
    let number = |id: &HoleId| knife.holes.iter().position(|hole| hole.id == *id).map(|i| i + 1);
    let numbers: Vec<String> =
        piece.holes.iter().filter_map(number).map(|number| number.to_string()).collect();
    match numbers.len() {
        0 => {}
        1 => words += &format!(", hole {}", numbers[0]),
        _ => words += &format!(", holes {}", numbers.join(", ")),
    }
    let whose = if figures.pieces.len() > 1 { piece.part.label() } else { "each scale" };
    [
        reading(
            "Piece",
            Value::Text(words),
            "its flush outline along x and y, with the pin and thong holes whose centres lie in it",
        ),
        reading(
            "Rough block",
            Value::Text(format!("{whose}: {}", block(piece.block, knife.unit))),
            "the flush outline's box and the allowance on all four sides, never less than what is \
             sawn; as thick as the piece",
        ),
    ]
}

fn block(block: Block, unit: LengthUnit) -> String {
    format!(
        "{} × {} × {}",
        length(block.length_mm, unit),
        length(block.width_mm, unit),
        length(block.thickness_mm, unit)
    )
}
