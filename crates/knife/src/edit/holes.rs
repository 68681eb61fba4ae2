//! Edits of holes.

use super::{Edit, check, in_range};
use crate::{Hole, HoleId, HoleKind, Knife, Refusal, limits};
use kurbo::{Point, Vec2};

/// Holes nearer than this leave no room for a row, mm.
const MIN_ROW_MM: f64 = 1e-3;
/// A hole this near to a place is there, mm: rounding.
const SAME_PLACE_MM: f64 = 1e-9;

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    match edit {
        Edit::AddHole { name, kind, at, diameter_mm, drill, pin_mm } => add(
            knife,
            Hole {
                id: next_id(knife),
                name: name.clone(),
                kind: *kind,
                at: *at,
                diameter_mm: *diameter_mm,
                drill: drill.clone(),
                pin_mm: *pin_mm,
            },
        ),
        Edit::AddHoleRow { from, to, count, kind, diameter_mm, drill, pin_mm } => {
            let (from, to) = (place(knife, *from)?, place(knife, *to)?);
            in_range("a number of holes", *count as f64, &(1.0..=100.0))?;
            if from.distance(to) < MIN_ROW_MM {
                return Err(Refusal::NoRow);
            }
            for i in 1..=*count {
                let hole = Hole {
                    id: next_id(knife),
                    name: String::new(),
                    kind: *kind,
                    at: from.lerp(to, i as f64 / (*count + 1) as f64),
                    diameter_mm: *diameter_mm,
                    drill: drill.clone(),
                    pin_mm: *pin_mm,
                };
                add(knife, hole)?;
            }
            Ok(())
        }
        Edit::AddHoles(holes) => holes
            .iter()
            .try_for_each(|hole| add(knife, Hole { id: next_id(knife), ..hole.clone() })),
        Edit::AddReliefRow(row) => row.at.iter().try_for_each(|at| {
            add(
                knife,
                Hole {
                    id: next_id(knife),
                    name: String::new(),
                    kind: HoleKind::Relief,
                    at: *at,
                    diameter_mm: row.diameter_mm,
                    drill: row.drill.clone(),
                    pin_mm: None,
                },
            )
        }),
        Edit::CentreHole(id) => {
            let middle = middle(knife, *id)?;
            on(knife, *id, |hole| hole.at = middle)
        }
        Edit::MoveHole { hole, to } => on(knife, *hole, |hole| hole.at = *to),
        Edit::SizeHole { hole, diameter_mm, drill, pin_mm } => on(knife, *hole, |hole| {
            hole.diameter_mm = *diameter_mm;
            hole.drill.clone_from(drill);
            hole.pin_mm = *pin_mm;
        }),
        Edit::SetHoleKind { hole, kind } => on(knife, *hole, |hole| hole.kind = *kind),
        Edit::RenameHole { hole, name } => on(knife, *hole, |hole| hole.name.clone_from(name)),
        Edit::RemoveHole(id) => {
            let at = knife.holes.iter().position(|hole| hole.id == *id);
            knife.holes.remove(at.ok_or(Refusal::NoSuchHole(*id))?);
            // A later hole may get its number.
            knife.handle.fixings.retain(|(hole, _)| hole != id);
            Ok(())
        }
        _ => Ok(()),
    }
}

fn add(knife: &mut Knife, hole: Hole) -> Result<(), Refusal> {
    let max = *limits::HOLES.end();
    if knife.holes.len() >= max {
        return Err(Refusal::TooMany { what: "holes", max });
    }
    check_hole(&hole)?;
    knife.holes.push(hole);
    Ok(())
}

fn next_id(knife: &Knife) -> HoleId {
    HoleId(knife.holes.iter().map(|hole| hole.id.0.saturating_add(1)).max().unwrap_or(1))
}

fn place(knife: &Knife, id: HoleId) -> Result<Point, Refusal> {
    knife.hole(id).map(|hole| hole.at).ok_or(Refusal::NoSuchHole(id))
}

/// The middle of the material through a hole, square to the bar as the blank lies on it.
fn middle(knife: &Knife, id: HoleId) -> Result<Point, Refusal> {
    let at = place(knife, id)?;
    let outline = knife.profile.outline().map_err(|_fault| Refusal::NoOutline)?;
    if !outline.contains(at) {
        return Err(Refusal::NothingAcross);
    }
    let across = Vec2::from_angle((90.0 - knife.bar.placement.turn_deg).to_radians());
    let (lower, upper) = outline.chord(at, across).ok_or(Refusal::NothingAcross)?;
    // Already there: a second centring changes nothing.
    let middle = lower.midpoint(upper);
    Ok(if middle.distance(at) < SAME_PLACE_MM { at } else { middle })
}

fn on(knife: &mut Knife, id: HoleId, change: impl FnOnce(&mut Hole)) -> Result<(), Refusal> {
    let hole = knife.holes.iter_mut().find(|h| h.id == id).ok_or(Refusal::NoSuchHole(id))?;
    change(hole);
    check_hole(hole)
}

fn check_hole(hole: &Hole) -> Result<(), Refusal> {
    check::point(hole.at)?;
    check::text("the name", &hole.name, limits::NAME_CHARS)?;
    check::drill(hole.drill.as_ref())?;
    in_range("a hole diameter", hole.diameter_mm, &limits::DIAMETER_MM)?;
    if let Some(pin) = hole.pin_mm {
        in_range("a pin diameter", pin, &limits::DIAMETER_MM)?;
    }
    Ok(())
}
