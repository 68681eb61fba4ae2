//! Edits of holes.

use super::{Edit, check, in_range};
use crate::{Hole, HoleId, Knife, Refusal, limits};

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    match edit {
        Edit::AddHole { name, kind, at, diameter_mm, drill, pin_mm } => {
            let most = *limits::HOLES.end();
            if knife.holes.len() >= most {
                return Err(Refusal::TooMany { what: "holes", most });
            }
            let id = HoleId(knife.holes.iter().map(|hole| hole.id.0 + 1).max().unwrap_or(1));
            let hole = Hole {
                id,
                name: name.clone(),
                kind: *kind,
                at: *at,
                diameter_mm: *diameter_mm,
                drill: drill.clone(),
                pin_mm: *pin_mm,
            };
            check_hole(&hole)?;
            knife.holes.push(hole);
            Ok(())
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
            Ok(())
        }
        _ => Ok(()),
    }
}

fn on(knife: &mut Knife, id: HoleId, change: impl FnOnce(&mut Hole)) -> Result<(), Refusal> {
    let hole = knife.holes.iter_mut().find(|h| h.id == id).ok_or(Refusal::NoSuchHole(id))?;
    change(hole);
    check_hole(hole)
}

fn check_hole(hole: &Hole) -> Result<(), Refusal> {
    check::point(hole.at)?;
    check::text("the name", &hole.name, limits::NAME_CHARS)?;
    in_range("a hole diameter", hole.diameter_mm, &limits::DIAMETER_MM)?;
    if let Some(pin) = hole.pin_mm {
        in_range("a pin diameter", pin, &limits::DIAMETER_MM)?;
    }
    Ok(())
}
