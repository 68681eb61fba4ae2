//! Edits of the sheath.

use super::{check, in_range};
use crate::{Knife, Refusal, Sheath, SheathBody, limits};

/// Sets or clears the sheath.
pub(super) fn change(sheath: Option<&Sheath>, knife: &mut Knife) -> Result<(), Refusal> {
    sheath.map_or(Ok(()), possible)?;
    knife.sheath = sheath.cloned();
    Ok(())
}

fn possible(sheath: &Sheath) -> Result<(), Refusal> {
    if let Some(name) = &sheath.material {
        check::text("the material's name", name, limits::NAME_CHARS)?;
    }
    in_range("a height up the handle", sheath.cover_mm, &limits::COVER_MM)?;
    in_range("room around the knife", sheath.clearance_mm, &limits::CLEARANCE_MM)?;
    in_range("relief over the scales", sheath.relief_mm, &limits::RELIEF_MM)?;
    in_range("a sheath's thickness", sheath.thickness_mm, &limits::SHEATH_THICKNESS_MM)?;
    in_range("a share of the thickness", sheath.neutral(), &limits::NEUTRAL)?;
    if let Some(mm) = sheath.drain_mm {
        in_range("a drain hole", mm, &limits::EYELET_MM)?;
    }
    match &sheath.body {
        SheathBody::Leather(leather) => {
            in_range("a welt's width", leather.welt_width_mm, &limits::WELT_WIDTH_MM)?;
            if let Some(mm) = leather.welt_thickness_mm {
                in_range("a welt's thickness", mm, &limits::WELT_THICKNESS_MM)?;
            }
            in_range("a stitch", leather.stitch_pitch_mm, &limits::STITCH_PITCH_MM)?;
            in_range("a distance to the rim", leather.stitch_margin_mm, &limits::ROW_MM)?;
            // The row lies in the welt.
            let max_mm = leather.welt_width_mm.min(*limits::ROW_MM.end());
            let in_welt = *limits::ROW_MM.start()..=max_mm;
            in_range("a distance to the rim", leather.stitch_margin_mm, &in_welt)?;
            leather.loop_for.map_or(Ok(()), |own| {
                in_range("a belt's width", own.belt_mm, &limits::BELT_MM)?;
                in_range("a belt loop's width", own.width_mm, &limits::BELT_MM)
            })
        }
        SheathBody::Formed(formed) => {
            in_range("an eyelet", formed.eyelet_mm, &limits::EYELET_MM)?;
            in_range("a distance of eyelets", formed.eyelet_pitch_mm, &limits::EYELET_PITCH_MM)?;
            in_range("a distance to the knife", formed.eyelet_offset_mm, &limits::ROW_MM)?;
            in_range("a distance to the rim", formed.eyelet_margin_mm, &limits::ROW_MM)?;
            if let Some(mm) = formed.clip_mm {
                in_range("a clip's spacing", mm, &limits::EYELET_PITCH_MM)?;
            }
            if let Some(ramp) = formed.ramp {
                in_range("a thumb ramp's width", ramp.width_mm, &limits::RAMP_MM)?;
                in_range("a thumb ramp's rise", ramp.rise_mm, &limits::RAMP_MM)?;
            }
            in_range("an allowance", formed.allowance_mm, &limits::LEFT_OVER_MM)
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::{Edit, STARTERS, Sheath, SheathBody, SheathKind};
    use units::LengthUnit;

    #[test]
    fn what_cannot_be_is_refused_in_a_sentence() {
        let knife = STARTERS[0].knife();
        let usual = |kind| Sheath::usual(kind, LengthUnit::Millimetre);
        let refused = |sheath: Sheath, starts: &str| {
            let message = Edit::SetSheath(Some(sheath)).apply(&knife).unwrap_err().to_string();
            assert!(message.starts_with(starts), "{message}");
        };
        let leather = usual(SheathKind::FoldedLeather);
        refused(Sheath { thickness_mm: 0.0, ..leather.clone() }, "a sheath's thickness of 0 is");
        refused(Sheath { cover_mm: f64::NAN, ..leather.clone() }, "a height up the handle of NaN");
        refused(
            Sheath { neutral: Some(1.5), ..leather.clone() },
            "a share of the thickness of 1.5",
        );
        refused(Sheath { drain_mm: Some(300.0), ..leather.clone() }, "a drain hole of 300 is");
        let mut close = leather;
        if let SheathBody::Leather(own) = &mut close.body {
            own.stitch_margin_mm = 13.0;
        }
        refused(
            close,
            "a distance to the rim of 13 is not possible; it must lie between 0.5 and 12",
        );
        let mut formed = usual(SheathKind::TwoSidedThermoplastic);
        if let SheathBody::Formed(own) = &mut formed.body {
            own.clip_mm = Some(0.0);
        }
        refused(formed, "a clip's spacing of 0 is");
    }

    #[test]
    fn a_sheath_is_set_and_cleared() {
        let knife = STARTERS[1].knife();
        let sheath = Sheath::usual(SheathKind::FoldedLeather, LengthUnit::Inch);
        let with = Edit::SetSheath(Some(sheath.clone()));
        assert_eq!(with.label(), "Change sheath");
        let there = with.apply(&knife).unwrap();
        assert_eq!(there.sheath, Some(sheath));
        let gone = Edit::SetSheath(None);
        assert_eq!(gone.label(), "Remove sheath");
        assert_eq!(gone.apply(&there).unwrap().sheath, None);
    }
}
