//! The fields of the bevels: shape, sides, how high, how steep, and the plunge.

use super::{bands, line, set};
use crate::canvas::Read;
use crate::command::Commands;
use crate::field::Field;
use crate::session::Session;
use crate::stations::readings::{column, row};
use crate::stations::{choose, fold, place_along, quiet};
use egui::Ui;
use knife::limits::{GRIND_HEIGHT_MM, grind_height_on};
use knife::{Bevel, Grind, GrindLine, GroundSides};
use units::LengthUnit;

/// A wheel to begin with, mm across (10 in, common practice, no source).
const WHEEL_MM: f64 = 254.0;
/// A convex face to begin with, radius in mm: this program's own choice.
const CONVEX_MM: f64 = 300.0;

pub(super) fn ui(
    ui: &mut Ui,
    read: &Read<'_>,
    bevel: Bevel,
    session: &mut Session,
    out: &mut Commands,
) {
    let (p, unit) = (read.palette, read.knife.unit);
    let field = ("Plunge line", "Where the grind begins: its place along the knife.");
    if let Some(mm) = place_along(ui, read, session, field, bevel.plunge_x_mm) {
        out.edit(set(Bevel { plunge_x_mm: mm, ..bevel }));
    }
    up_to(ui, read, bevel, session, out);
    let field = (
        "Edge thickness",
        "What is left at the edge before hardening, so that it doesn't warp or burn.",
    );
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.edge_thickness_mm, unit) {
        out.edit(set(Bevel { edge_thickness_mm: mm, ..bevel }));
    }
    face(ui, read, bevel, session, out);
    let sides =
        [(GroundSides::Both, "Both"), (GroundSides::Left, "Left"), (GroundSides::Right, "Right")];
    let about = "On which faces the bevels are ground. The left face is the one seen with the \
                 tip to the left and the edge down.";
    if let Some(sides) = choose(ui, ("Faces", about), &sides, bevel.sides, p) {
        out.edit(set(Bevel { sides, ..bevel }));
    }
}

/// How the faces are ground.
fn face(ui: &mut Ui, read: &Read<'_>, bevel: Bevel, session: &mut Session, out: &mut Commands) {
    let (p, unit) = (read.palette, read.knife.unit);
    let (hollow, convex) = match bevel.grind {
        Grind::Hollow(wheel_mm) => (bevel.grind, Grind::Convex(wheel_mm / 2.0)),
        Grind::Convex(radius_mm) => (Grind::Hollow(radius_mm * 2.0), bevel.grind),
        Grind::Flat => (Grind::Hollow(WHEEL_MM), Grind::Convex(CONVEX_MM)),
    };
    let shapes = [(Grind::Flat, "Flat"), (hollow, "Hollow"), (convex, "Convex")];
    let about = "Flat from edge to grind line, hollow as a wheel leaves it, or convex.";
    if let Some(grind) = choose(ui, ("Shape", about), &shapes, bevel.grind, p) {
        out.edit(set(Bevel { grind, ..bevel }));
    }
    match bevel.grind {
        Grind::Flat => {}
        Grind::Hollow(wheel_mm) => {
            let field = ("Wheel", "Diameter of the wheel that grinds the hollow.");
            if let Some(mm) = session.drafts.length(ui, p, field, wheel_mm, unit) {
                out.edit(set(Bevel { grind: Grind::Hollow(mm), ..bevel }));
            }
        }
        Grind::Convex(radius_mm) => {
            let field = ("Radius", "Of the face, from edge to grind line; the less, the fuller.");
            if let Some(mm) = session.drafts.length(ui, p, field, radius_mm, unit) {
                out.edit(set(Bevel { grind: Grind::Convex(mm), ..bevel }));
            }
        }
    }
}

/// Up to where the bevels go: height and angle, of which either is typed.
fn up_to(ui: &mut Ui, read: &Read<'_>, bevel: Bevel, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    let figures = read.derived.reckoning.bevel.as_ref();
    let angle_deg = figures.map_or(0.0, |figures| figures.angle_deg);
    if read.knife.grind_line == GrindLine::Height {
        height_and_angle(ui, read, bevel, session, out);
    } else {
        column(ui, |ui| {
            let height_mm = figures.map_or(bevel.grind_height_mm, |figures| figures.height_mm);
            let height = units::show_length(height_mm, read.knife.unit);
            row(ui, "Height at the plunge", &height, 15.5, p);
            row(ui, "Angle per side there", &units::show_angle(angle_deg, 2), 15.5, p);
        });
    }
    if angle_deg > 0.0 {
        quiet(ui, &bands::grind(angle_deg, bevel.sides == GroundSides::Both), p);
    }
    line::choice(ui, read, session, out);
}

fn height_and_angle(
    ui: &mut Ui,
    read: &Read<'_>,
    bevel: Bevel,
    session: &mut Session,
    out: &mut Commands,
) {
    let (p, unit) = (read.palette, read.knife.unit);
    let field = ("Grind height", "How far up from the edge the bevel reaches: the grind line.");
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.grind_height_mm, unit) {
        out.edit(set(Bevel { grind_height_mm: mm, ..bevel }));
    }
    let Some(figures) = read.derived.reckoning.bevel.as_ref().filter(|f| f.fall_mm > 0.0) else {
        return;
    };
    let value = units::show_number(figures.angle_deg, 3);
    let field = Field {
        name: "Angle per side",
        about: "Of one face to the middle plane. Typed, the grind height follows from it: half of \
                stock less edge over the tangent of the angle.",
        value: format!("{}°", value.trim_end_matches('0').trim_end_matches('.')),
        width: 104.0,
    };
    let fall_mm = figures.fall_mm;
    let most_mm = *grind_height_on(&read.knife.profile).end();
    let read = |text: &str| height_for(text, (fall_mm, most_mm), unit);
    if let Some(mm) = session.drafts.field(ui, p, field, read) {
        out.edit(set(Bevel { grind_height_mm: mm, ..bevel }));
    }
}

/// The grind height that an angle a side asks for: fall / tan(angle).
fn height_for(text: &str, (fall_mm, most_mm): (f64, f64), unit: LengthUnit) -> Result<f64, String> {
    let angle = units::parse_angle(text).map_err(|e| e.to_string())?;
    let degrees = angle.to_degrees();
    if !(degrees > 0.0 && degrees < 90.0) {
        return Err(format!("{} is no angle to grind; type one like 3°", show(degrees)));
    }
    let height_mm = fall_mm / degrees.to_radians().tan();
    if (*GRIND_HEIGHT_MM.start()..=most_mm).contains(&height_mm) {
        return Ok(height_mm);
    }
    let (height, most) = (units::show_length(height_mm, unit), units::show_length(most_mm, unit));
    Err(format!(
        "{} would make a bevel {height} high on a profile {most} wide; type another angle",
        show(degrees)
    ))
}

fn show(degrees: f64) -> String {
    units::show_angle(degrees, 2)
}

/// Where the bevels end: how the plunge line leans, and the file that cuts it.
pub(super) fn plunge(
    ui: &mut Ui,
    read: &Read<'_>,
    bevel: Bevel,
    session: &mut Session,
    out: &mut Commands,
) {
    let (p, unit) = (read.palette, read.knife.unit);
    let file = if bevel.plunge_file_mm > 0.0 {
        format!("{} file", crate::canvas::hover::short(bevel.plunge_file_mm, unit))
    } else {
        "sharp".to_owned()
    };
    let now = if bevel.plunge_lean_deg == 0.0 {
        format!("square, {file}")
    } else {
        format!("{} lean, {file}", units::show_angle(bevel.plunge_lean_deg, 1))
    };
    let about = "How the plunge line leans, and the round file that cuts it.";
    if !fold(ui, "Plunge", about, &now, session, p) {
        return;
    }
    let field =
        ("Plunge lean", "From square to the knife; with its end at the spine nearer to the butt.");
    if let Some(deg) = session.drafts.angle(ui, p, field, Some(bevel.plunge_lean_deg)) {
        out.edit(set(Bevel { plunge_lean_deg: deg, ..bevel }));
    }
    let field =
        ("Plunge file", "Diameter of the round file that cuts the plunge; 0 for a sharp step.");
    if let Some(mm) = session.drafts.length(ui, p, field, bevel.plunge_file_mm, unit) {
        out.edit(set(Bevel { plunge_file_mm: mm, ..bevel }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Machinery's Handbook, solution of right triangles: t 1/8 in, e 0.020 in and 3° a side give
    // a height of 1.0017597 in.
    #[test]
    fn an_angle_asks_for_the_handbooks_height() {
        let fall_mm = (3.175 - 0.508) / 2.0;
        let height_mm = height_for("3°", (fall_mm, 500.0), LengthUnit::Inch).unwrap();
        assert!((height_mm / 25.4 - 1.001_759_7).abs() < 1e-7);
        for wrong in ["0", "-3", "90", "nothing"] {
            assert!(height_for(wrong, (fall_mm, 500.0), LengthUnit::Inch).is_err(), "{wrong}");
        }
        let flat = height_for("0.001°", (fall_mm, 500.0), LengthUnit::Millimetre).unwrap_err();
        assert!(flat.contains("would make a bevel"), "{flat}");
    }
}
