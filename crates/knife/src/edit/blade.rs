//! Edits of how the blade is ground and filed.

use super::{Edit, check, in_range};
use crate::{Bevel, FiledAmount, Grind, GrindLine, Knife, Profile, Refusal, limits};
use std::ops::RangeInclusive;

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    match edit {
        Edit::SetBevel(stated) => {
            if let Some(stated) = stated {
                bevel(stated, &knife.profile)?;
            } else {
                knife.grind_line = GrindLine::Height;
            }
            knife.bevel = *stated;
        }
        Edit::SetGrindLine(line) => {
            if knife.bevel.is_none() {
                return Err(Refusal::NoBevels);
            }
            if let GrindLine::Through(points) = line {
                let count = points.len() as f64;
                in_range("a number of points for the grind line", count, &line_points())?;
                points.iter().try_for_each(|p| check::point(*p))?;
            }
            knife.grind_line.clone_from(line);
        }
        Edit::SetTaper(taper) => {
            if let Some(taper) = taper {
                in_range("the taper's beginning", taper.from_x_mm, &limits::COORDINATE_MM)?;
                in_range("a thickness at the tip", taper.tip_mm, &limits::TAPERED_MM)?;
            }
            knife.taper = *taper;
        }
        Edit::SetSwedge(swedge) => {
            if let Some(swedge) = swedge {
                in_range("the swedge's end", swedge.from_x_mm, &limits::COORDINATE_MM)?;
                check::height("a swedge's height", swedge.height_mm, &knife.profile)?;
                let left = swedge.thickness_mm;
                in_range("a thickness left by the swedge", left, &limits::EDGE_THICKNESS_MM)?;
            }
            knife.swedge = *swedge;
        }
        Edit::SetFiling(filing) => {
            if let Some(filing) = filing {
                in_range("a number of facets", f64::from(filing.facets), &facets())?;
                if let Some(timing) = filing.timing {
                    in_range("a time", timing.minutes, &limits::MINUTES)?;
                    match timing.done {
                        FiledAmount::Height(mm) => {
                            in_range("a height", mm, &limits::GRIND_HEIGHT_MM)?
                        }
                        FiledAmount::Grams(g) => in_range("a mass", g, &limits::FILED_G)?,
                    }
                }
            }
            knife.filing = *filing;
        }
        Edit::SetSharpening(sharpening) => {
            if let Some(sharpening) = sharpening {
                in_range("an angle per side", sharpening.angle_deg, &limits::SHARPENING_DEG)?;
                if let Some(mm) = sharpening.edge_mm {
                    in_range("an edge thickness", mm, &limits::EDGE_THICKNESS_MM)?;
                }
            }
            knife.sharpening = *sharpening;
        }
        _ => {}
    }
    Ok(())
}

fn line_points() -> RangeInclusive<f64> {
    *limits::LINE_POINTS.start() as f64..=*limits::LINE_POINTS.end() as f64
}

fn facets() -> RangeInclusive<f64> {
    f64::from(*limits::FACETS.start())..=f64::from(*limits::FACETS.end())
}

fn bevel(bevel: &Bevel, profile: &Profile) -> Result<(), Refusal> {
    in_range("a plunge line", bevel.plunge_x_mm, &limits::COORDINATE_MM)?;
    check::height("a grind height", bevel.grind_height_mm, profile)?;
    in_range("an edge thickness", bevel.edge_thickness_mm, &limits::EDGE_THICKNESS_MM)?;
    in_range("a lean of the plunge line", bevel.plunge_lean_deg, &limits::LEAN_DEG)?;
    in_range("a file for the plunge", bevel.plunge_file_mm, &limits::PLUNGE_FILE_MM)?;
    match bevel.grind {
        Grind::Flat => Ok(()),
        Grind::Hollow(wheel) => in_range("a wheel", wheel, &limits::WHEEL_MM),
        Grind::Convex(radius) => in_range("a radius", radius, &limits::CONVEX_MM),
    }
}
