//! The fields of the bevels: shape, sides, how high, how steep, and the plunge.

use super::{bands, line, set};
use crate::state::Selection;
use crate::text::trimmed;
use crate::widgets::{Field, Form, figure_column, figure_row};
use knife::limits::{GRIND_HEIGHT_MM, grind_height_on};
use knife::{Bevel, Grind, GrindLine, GroundSides};
use units::LengthUnit;

/// A wheel to begin with, mm across (10 in, common practice, no source).
const WHEEL_MM: f64 = 254.0;
/// A convex face to begin with, radius in mm: this program's own choice.
const CONVEX_MM: f64 = 300.0;

pub(super) fn card(form: &mut Form<'_>, bevel: Bevel, selection: &mut Selection) {
    let caption = ("Plunge line", "Where the grind begins: its place along the knife.");
    form.x(caption, bevel.plunge_x_mm).edit(|mm| set(Bevel { plunge_x_mm: mm, ..bevel }));
    up_to(form, bevel, selection);
    let tooltip = "What is left at the edge before hardening, so that it doesn't warp or burn.";
    form.length(("Edge thickness", tooltip), bevel.edge_thickness_mm)
        .edit(|mm| set(Bevel { edge_thickness_mm: mm, ..bevel }));
    face(form, bevel);
    let sides =
        [(GroundSides::Both, "Both"), (GroundSides::Left, "Left"), (GroundSides::Right, "Right")];
    let tooltip = "On which faces the bevels are ground. The left face is the one seen with the \
                   tip to the left and the edge down.";
    form.choice(("Faces", tooltip), &sides, bevel.sides)
        .edit(|sides| set(Bevel { sides, ..bevel }));
}

/// How the faces are ground.
fn face(form: &mut Form<'_>, bevel: Bevel) {
    let set = |grind: Grind| set(Bevel { grind, ..bevel });
    let (hollow, convex) = match bevel.grind {
        Grind::Hollow(wheel_mm) => (bevel.grind, Grind::Convex(wheel_mm / 2.0)),
        Grind::Convex(radius_mm) => (Grind::Hollow(radius_mm * 2.0), bevel.grind),
        Grind::Flat => (Grind::Hollow(WHEEL_MM), Grind::Convex(CONVEX_MM)),
    };
    let shapes = [(Grind::Flat, "Flat"), (hollow, "Hollow"), (convex, "Convex")];
    let tooltip = "Flat from edge to grind line, hollow as a wheel leaves it, or convex.";
    form.choice(("Shape", tooltip), &shapes, bevel.grind).edit(set);
    match bevel.grind {
        Grind::Flat => {}
        Grind::Hollow(wheel_mm) => {
            let caption = ("Wheel", "Diameter of the wheel that grinds the hollow.");
            form.length(caption, wheel_mm).edit(|mm| set(Grind::Hollow(mm)));
        }
        Grind::Convex(radius_mm) => {
            let caption = (
                "Radius",
                "Of the face, from edge to grind line; the smaller, the \
                                      fuller.",
            );
            form.length(caption, radius_mm).edit(|mm| set(Grind::Convex(mm)));
        }
    }
}

/// Up to where the bevels go: height and angle, of which either is typed.
fn up_to(form: &mut Form<'_>, bevel: Bevel, selection: &mut Selection) {
    let context = form.context;
    let figures = context.reckoning().bevel.as_ref();
    let angle_deg = figures.map_or(0.0, |figures| figures.angle_deg);
    if context.knife.grind_line == GrindLine::Height {
        height_and_angle(form, bevel);
    } else {
        figure_column(form.ui, |ui| {
            let height_mm = figures.map_or(bevel.grind_height_mm, |figures| figures.height_mm);
            let height = context.full_length(height_mm);
            figure_row(ui, "Height at the plunge", &height, 15.5, context.palette);
            let angle = units::show_angle(angle_deg, 2);
            figure_row(ui, "Angle per side there", &angle, 15.5, context.palette);
        });
    }
    if angle_deg > 0.0 {
        form.note(&bands::grind(angle_deg, bevel.sides == GroundSides::Both));
    }
    line::choice(form, selection);
}

fn height_and_angle(form: &mut Form<'_>, bevel: Bevel) {
    let context = form.context;
    let set = |mm: f64| set(Bevel { grind_height_mm: mm, ..bevel });
    let caption = ("Grind height", "How far up from the edge the bevel reaches: the grind line.");
    form.length(caption, bevel.grind_height_mm).edit(set);
    let figures = context.reckoning().bevel.as_ref().filter(|figures| figures.fall_mm > 0.0);
    let Some(figures) = figures else { return };
    let tooltip = "Of one face to the middle plane. Typed, the grind height follows from it: half \
                   of stock less edge over the tangent of the angle.";
    let value = format!("{}°", trimmed(figures.angle_deg, 3));
    let max_mm = *grind_height_on(&context.knife.profile).end();
    let parse = |text: &str| height_for(text, (figures.fall_mm, max_mm), context.unit());
    form.field(Field::new(("Angle per side", tooltip), value), parse).edit(set);
}

/// The grind height that an angle a side asks for: fall / tan(angle).
fn height_for(text: &str, (fall_mm, max_mm): (f64, f64), unit: LengthUnit) -> Result<f64, String> {
    let degrees = units::parse_angle(text).map_err(|why| why.to_string())?.to_degrees();
    let angle = units::show_angle(degrees, 2);
    if !(degrees > 0.0 && degrees < 90.0) {
        return Err(format!("{angle} isn't an angle to grind; type one like 3°"));
    }
    let height_mm = fall_mm / degrees.to_radians().tan();
    if (*GRIND_HEIGHT_MM.start()..=max_mm).contains(&height_mm) {
        return Ok(height_mm);
    }
    let (height, max) = (units::show_length(height_mm, unit), units::show_length(max_mm, unit));
    Err(format!(
        "{angle} would make a bevel {height} high on a profile {max} wide; type another angle"
    ))
}

/// Where the bevels end: how the plunge line leans, and the file that cuts it.
pub(super) fn plunge(form: &mut Form<'_>, bevel: Bevel) {
    let file = if bevel.plunge_file_mm > 0.0 {
        format!("{} file", form.context.short(bevel.plunge_file_mm))
    } else {
        "sharp".to_owned()
    };
    let summary = if bevel.plunge_lean_deg == 0.0 {
        format!("square, {file}")
    } else {
        format!("{} lean, {file}", units::show_angle(bevel.plunge_lean_deg, 1))
    };
    let tooltip = "How the plunge line leans, and the round file that cuts it.";
    if !form.section("Plunge", tooltip, &summary) {
        return;
    }
    let caption =
        ("Plunge lean", "From square to the knife; with its end at the spine nearer to the butt.");
    form.angle(caption, bevel.plunge_lean_deg)
        .edit(|deg| set(Bevel { plunge_lean_deg: deg, ..bevel }));
    let caption =
        ("Plunge file", "Diameter of the round file that cuts the plunge; 0 for a sharp step.");
    form.length(caption, bevel.plunge_file_mm)
        .edit(|mm| set(Bevel { plunge_file_mm: mm, ..bevel }));
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
