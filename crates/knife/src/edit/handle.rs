//! Edits of the handle.

use super::{Edit, check, in_range};
use crate::{
    Corner, Fixing, FrontCurve, Groove, Handle, Jimping, Knife, Pitch, Refusal, ScaleFront,
    ScallopSpacing, Scallops, Shaping, limits,
};
use std::ops::RangeInclusive;

pub(super) fn change(edit: &Edit, knife: &mut Knife) -> Result<(), Refusal> {
    let mut handle = knife.handle.clone();
    match edit {
        Edit::SetHandle(stated) => handle.clone_from(stated),
        Edit::SetFront(front) => handle.front = *front,
        Edit::SetLiners(liners) => handle.liners.clone_from(liners),
        Edit::SetBolsters { front, rear } => {
            handle.front_bolster.clone_from(front);
            handle.rear_bolster.clone_from(rear);
        }
        Edit::SetFixing { hole, fixing } => {
            knife.hole(*hole).ok_or(Refusal::NoSuchHole(*hole))?;
            handle.fixings.retain(|(id, _)| id != hole);
            handle.fixings.extend(fixing.map(|fixing| (*hole, fixing)));
        }
        Edit::SetJimping(jimping) => handle.jimping = *jimping,
        Edit::SetShaping(shaping) => handle.shaping.clone_from(shaping),
        Edit::SetScallops(scallops) => handle.scallops = *scallops,
        _ => {}
    }
    handle.fixings.sort_by_key(|(id, _)| *id);
    handle.fixings.dedup_by_key(|(id, _)| *id);
    handle.shaping.thickness.sort_by(|a, b| a.x_mm.total_cmp(&b.x_mm));
    possible(&handle)?;
    knife.handle = handle;
    Ok(())
}

fn possible(handle: &Handle) -> Result<(), Refusal> {
    for (_, name) in handle.materials() {
        check::text("the material's name", name, limits::NAME_CHARS)?;
    }
    let stated = [
        ("a glue line", handle.glue_mm, &limits::GLUE_MM),
        ("an overhang", handle.overhang_mm, &limits::LEFT_OVER_MM),
        ("an allowance", handle.allowance_mm, &limits::LEFT_OVER_MM),
        ("a grain direction", handle.grain_deg, &limits::GRAIN_DEG),
        ("a pin's stand", handle.proud_mm, &limits::LEFT_OVER_MM),
        ("a liner", handle.liners.as_ref().map(|liners| liners.thickness_mm), &limits::LINER_MM),
        ("a hand's girth", handle.shaping.hand_mm, &limits::HAND_MM),
    ];
    for (what, value, range) in stated {
        value.map_or(Ok(()), |value| in_range(what, value, range))?;
    }
    for bolster in [&handle.front_bolster, &handle.rear_bolster].into_iter().flatten() {
        in_range("a bolster's length", bolster.length_mm, &limits::BOLSTER_MM)?;
    }
    handle.fixings.iter().try_for_each(|(_, fixing)| possible_fixing(fixing))?;
    possible_front(&handle.front)?;
    possible_shaping(&handle.shaping)?;
    handle.jimping.as_ref().map_or(Ok(()), possible_jimping)?;
    handle.scallops.as_ref().map_or(Ok(()), possible_scallops)
}

fn possible_fixing(fixing: &Fixing) -> Result<(), Refusal> {
    match *fixing {
        Fixing::Tube { bore_mm } => in_range("a tube's bore", bore_mm, &limits::DIAMETER_MM),
        Fixing::Screw { head_mm, head_deep_mm } => {
            in_range("a screw's head", head_mm, &limits::DIAMETER_MM)?;
            in_range("a screw's head, its depth,", head_deep_mm, &limits::SCALE_THICKNESS_MM)
        }
    }
}

fn possible_front(front: &ScaleFront) -> Result<(), Refusal> {
    in_range("a lean of the front", front.lean_deg, &limits::LEAN_DEG)?;
    in_range("a bevel of the front", front.bevel_deg(), &limits::FRONT_BEVEL_DEG)?;
    match front.curve {
        FrontCurve::Straight => Ok(()),
        FrontCurve::Round(mm) | FrontCurve::Hollow(mm) => {
            in_range("a radius of the front", mm, &limits::FRONT_RADIUS_MM)
        }
    }
}

fn possible_shaping(shaping: &Shaping) -> Result<(), Refusal> {
    let max = *limits::THICK_PLACES.end();
    if shaping.thickness.len() > max {
        return Err(Refusal::TooMany { what: "places with a thickness", max });
    }
    for place in &shaping.thickness {
        in_range("a place along the handle", place.x_mm, &limits::COORDINATE_MM)?;
        in_range("a scale thickness", place.thickness_mm, &limits::SCALE_THICKNESS_MM)?;
    }
    match shaping.corner {
        None => Ok(()),
        Some(Corner::Chamfer { width_mm, angle_deg }) => {
            in_range("a chamfer", width_mm, &limits::CORNER_MM)?;
            in_range("an angle of the chamfer", angle_deg, &limits::CORNER_DEG)
        }
        Some(Corner::Round(mm)) => in_range("a roundover", mm, &limits::CORNER_MM),
    }
}

fn possible_jimping(jimping: &Jimping) -> Result<(), Refusal> {
    in_range("the jimping's beginning", jimping.from_x_mm, &limits::COORDINATE_MM)?;
    in_range("the jimping's end", jimping.to_x_mm, &limits::COORDINATE_MM)?;
    match jimping.pitch {
        Pitch::Mm(mm) => in_range("a pitch", mm, &limits::PITCH_MM)?,
        Pitch::PerInch(n) => in_range("lines to the inch", n, &limits::LINES_PER_INCH)?,
    }
    in_range("a depth of the jimping", jimping.depth_mm, &limits::NOTCH_DEPTH_MM)?;
    match jimping.groove {
        Groove::Vee(deg) => in_range("an angle of the groove", deg, &limits::VEE_DEG),
        Groove::Round(mm) => in_range("a round file", mm, &limits::DRUM_MM),
    }
}

fn possible_scallops(scallops: &Scallops) -> Result<(), Refusal> {
    match scallops.spacing {
        ScallopSpacing::Count(n) => in_range("a number of scallops", f64::from(n), &count())?,
        ScallopSpacing::Pitch(mm) => in_range("a pitch", mm, &limits::PITCH_MM)?,
    }
    in_range("a distance from the front", scallops.front_mm, &limits::SCALLOP_END_MM)?;
    in_range("a distance from the butt", scallops.butt_mm, &limits::SCALLOP_END_MM)?;
    in_range("a drum", scallops.drum_mm, &limits::DRUM_MM)?;
    in_range("a drum's angle", scallops.angle_deg, &limits::CORNER_DEG)?;
    in_range("a depth of the scallops", scallops.depth_mm, &limits::NOTCH_DEPTH_MM)
}

fn count() -> RangeInclusive<f64> {
    f64::from(*limits::SCALLOPS.start())..=f64::from(*limits::SCALLOPS.end())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{HoleId, STARTERS, ThicknessAt};

    fn knife() -> Knife {
        STARTERS[0].knife()
    }

    #[test]
    fn what_cannot_be_is_refused_in_a_sentence() {
        let message = |edit: Edit| edit.apply(&knife()).unwrap_err().to_string();
        let front = ScaleFront { lean_deg: 90.0, ..ScaleFront::default() };
        assert!(message(Edit::SetFront(front)).starts_with("a lean of the front of 90"));
        let scallops = Scallops {
            spacing: ScallopSpacing::Count(0),
            front_mm: 10.0,
            butt_mm: 10.0,
            drum_mm: 20.0,
            angle_deg: 45.0,
            depth_mm: 2.0,
        };
        assert!(
            message(Edit::SetScallops(Some(scallops))).starts_with("a number of scallops of 0")
        );
        let nan = Handle { glue_mm: Some(f64::NAN), ..Handle::default() };
        assert!(message(Edit::SetHandle(nan)).starts_with("a glue line of NaN"));
        let fixing = Some(Fixing::Tube { bore_mm: 3.0 });
        let gone = Edit::SetFixing { hole: HoleId(99), fixing };
        assert_eq!(gone.apply(&knife()), Err(Refusal::NoSuchHole(HoleId(99))));
    }

    #[test]
    fn a_fixing_goes_with_its_hole() {
        let hole = knife().holes[0].id;
        let tube = Some(Fixing::Tube { bore_mm: 3.0 });
        let knife = Edit::SetFixing { hole, fixing: tube }.apply(&knife()).unwrap();
        assert_eq!(knife.handle.fixing(hole), tube);
        let without = Edit::RemoveHole(hole).apply(&knife).unwrap();
        assert_eq!(without.handle.fixings, vec![]);
        let solid = Edit::SetFixing { hole, fixing: None }.apply(&knife).unwrap();
        assert_eq!(solid.handle.fixing(hole), None);
    }

    #[test]
    fn places_along_the_handle_go_with_the_knife_and_stay_in_order() {
        let thickness = [(150.0, 6.0), (120.0, 5.0)]
            .map(|(x_mm, thickness_mm)| ThicknessAt { x_mm, thickness_mm })
            .to_vec();
        let shaped = Edit::SetShaping(Shaping { thickness, ..Shaping::default() });
        let knife = shaped.apply(&knife()).unwrap();
        assert_eq!(knife.handle.shaping.thickness[0].x_mm, 120.0);
        let there = Edit::MirrorAlong.apply(&knife).unwrap();
        let places = &there.handle.shaping.thickness;
        assert!(places[0].x_mm < places[1].x_mm && places[0].thickness_mm == 6.0);
        let back = Edit::MirrorAlong.apply(&there).unwrap();
        let far = back.handle.shaping.thickness[0].x_mm - 120.0;
        assert!(far.abs() < 1e-9);
    }
}
