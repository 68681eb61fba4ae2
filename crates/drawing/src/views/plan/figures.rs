//! What a plan says in words: holes, steel, blade and handle.

use crate::views::drills::{drill_name, shortened};
use knife::{Grind, GroundSides, Knife};
use kurbo::Point;
use marks::{Drawing, FontFace, HAlign, Label, Pen, VAlign, lettering};
use reckon::Reckoning;

const TITLE_MM: f64 = 4.0;
const TEXT_MM: f64 = 2.5;
/// From one row to the next, mm.
const ROW_MM: f64 = 5.2;
/// White between columns, mm.
const GUTTER_MM: f64 = 6.0;
/// More holes than this are told by the drilling sheet only.
const MAX_HOLES: usize = 24;
/// Longer words are cut short, characters.
const CHARS: usize = 70;

/// The holes: number, name, place from the origin, diameter and drill.
pub(super) fn holes(knife: &Knife, reckoning: &Reckoning) -> Option<Drawing> {
    let both = |mm| units::show_in_both(mm, knife.unit);
    let origin = &reckoning.origin;
    let mut rows = vec![["Hole", "x", "y", "Diameter", "Drill"].map(str::to_owned)];
    for hole in reckoning.holes.iter().take(MAX_HOLES) {
        let named = hole.name.trim();
        let named = if named.is_empty() { hole.kind.label() } else { named };
        rows.push([
            format!("{}  {}", hole.number, shortened(named, 18)),
            both(origin.to_local_x(hole.at.x)),
            both(origin.to_local_y(hole.at.y)),
            both(hole.diameter_mm),
            drill_name(hole),
        ]);
    }
    (rows.len() > 1).then(|| grid(&format!("Holes, {}", origin.from_phrase()), &rows))
}

/// Steel, blade and handle.
pub(super) fn table(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let both = |mm| units::show_in_both(mm, knife.unit);
    let mut rows: Vec<[String; 2]> = Vec::new();
    let mut row =
        |name: &str, words: String| rows.push([name.to_owned(), shortened(&words, CHARS)]);
    row("Steel", format!("{}, {} thick", knife.bar.grade, both(knife.bar.thickness_mm)));
    if let Some(profile) = &reckoning.profile {
        row("Overall", format!("{} × {}", both(profile.length_mm), both(profile.width_mm)));
    }
    if let (Some(bevel), Some(figures)) = (&knife.bevel, &reckoning.bevel) {
        let shape = match bevel.grind {
            Grind::Flat => "flat".to_owned(),
            Grind::Hollow(wheel_mm) => format!("hollow, wheel {}", both(wheel_mm)),
            Grind::Convex(radius_mm) => format!("convex, radius {}", both(radius_mm)),
        };
        let sides = match bevel.sides {
            GroundSides::Both => "both sides",
            GroundSides::Left => "left face only",
            GroundSides::Right => "right face only",
        };
        let angle = units::show_angle(figures.angle_deg, 1);
        row("Bevels", format!("{shape}, {sides}, {angle} per side"));
        row("Grind line", format!("{} above the edge", both(figures.height_mm)));
        row("Edge before heat treatment", both(bevel.edge_thickness_mm));
        let lean = if bevel.plunge_lean_deg.abs() < 0.05 {
            "square to the length".to_owned()
        } else {
            format!("leaning {}", units::show_angle(bevel.plunge_lean_deg, 1))
        };
        let file = if bevel.plunge_file_mm > 0.0 {
            format!(", round file {}", both(bevel.plunge_file_mm))
        } else {
            String::new()
        };
        row("Plunge", format!("{lean}{file}"));
    }
    if let Some(taper) = knife.taper {
        let from = both(reckoning.origin.to_local_x(taper.from_x_mm));
        row("Taper", format!("from x {from} to {} at the tip", both(taper.tip_mm)));
    }
    if let Some(swedge) = knife.swedge {
        row(
            "Swedge",
            format!("{} high, {} left", both(swedge.height_mm), both(swedge.thickness_mm)),
        );
    }
    if let Some(sharpening) = knife.sharpening {
        row("Final edge", format!("{} per side", units::show_angle(sharpening.angle_deg, 1)));
    }
    if let Some(scales) = knife.scales {
        let material = knife.handle.scales.as_deref().map(|m| format!("{m}, ")).unwrap_or_default();
        row("Scales", format!("{material}{} thick each", both(scales.thickness_mm)));
    }
    if let Some(pins) = knife.handle.pins.as_deref() {
        row("Pins", pins.to_owned());
    }
    if let Some(Ok(whole)) = &reckoning.whole {
        row("Mass", units::show_mass(units::Mass::grams(whole.mass_g())));
    }
    grid("Making", &rows)
}

/// Words in columns under a title, its upper left corner at the origin.
pub(super) fn grid<const N: usize>(title: &str, rows: &[[String; N]]) -> Drawing {
    let mut drawing = Drawing::new();
    let width = |i: usize| {
        let cells = rows.iter().map(|row| lettering::width_mm(&row[i], FontFace::Bold, TEXT_MM));
        cells.fold(0.0, f64::max)
    };
    let mut lefts = [0.0; N];
    for i in 1..N {
        lefts[i] = lefts[i - 1] + width(i - 1) + GUTTER_MM;
    }
    let whole = lefts[N - 1] + width(N - 1);
    let title = Label::new(title, Point::ORIGIN, TITLE_MM).bold();
    drawing.text(Pen::Lettering, title.anchored(HAlign::Start, VAlign::Top));
    let mut y = -TITLE_MM - 2.5;
    drawing.line(Pen::Lettering, Point::new(0.0, y), Point::new(whole, y));
    for (k, row) in rows.iter().enumerate() {
        if k > 0 {
            drawing.line(Pen::Frame, Point::new(0.0, y), Point::new(whole, y));
        }
        for (i, (cell, left)) in row.iter().zip(lefts).enumerate() {
            let at = Point::new(left, y - ROW_MM / 2.0);
            let label = Label::new(cell.as_str(), at, TEXT_MM);
            let label = label.anchored(HAlign::Start, VAlign::Middle);
            let heads = N > 2 && k == 0 || N == 2 && i == 0;
            if !cell.is_empty() {
                drawing.text(Pen::Lettering, if heads { label.bold() } else { label });
            }
        }
        y -= ROW_MM;
    }
    drawing.line(Pen::Lettering, Point::new(0.0, y), Point::new(whole, y));
    drawing
}
