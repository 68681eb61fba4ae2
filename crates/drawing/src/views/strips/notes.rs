//! What is said beside the strips: how to lay them, what to cut, what to mind.

use super::has_strips;
use knife::{Groove, Knife};
use reckon::Reckoning;

/// Short lines for beside the strips.
pub fn strips_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    if !has_strips(reckoning) {
        return vec![
            "No strips: neither scallops nor jimping are decided, or they find no place; \
                     see the findings."
                .to_owned(),
        ];
    }
    let fine = |mm: f64| units::show_decimal(mm, knife.unit, (2, 3));
    let mut notes = vec![
        "Measure the line on each strip before you trust it. Each strip is as long as its edge \
         is, curves and all: cut it out and wrap it tight along that edge, across tang and both \
         scales, arrow to the front."
            .to_owned(),
    ];
    if let Some(scallops) = &reckoning.scallops {
        let stated = &scallops.stated;
        let land = scallops.land_mm.map_or(String::new(), |mm| format!(", land {}", fine(mm)));
        let pitch = scallops.pitch_mm.map_or(String::new(), |mm| format!(", {} apart", fine(mm)));
        notes.push(format!(
            "Scallops: lay the strip's front end on the scales' front corner and prick every tick \
             on the corner of both scales. {} above, {} below{pitch} along the handle. Drum {} at \
             {} to the face, {} deep: {} wide{land}, {} over the face, {} down the side.",
            scallops.upper.places.len(),
            scallops.lower.places.len(),
            fine(stated.drum_mm),
            units::show_angle(stated.angle_deg, 1),
            fine(stated.depth_mm),
            fine(scallops.width_mm),
            fine(scallops.face_mm),
            fine(scallops.side_mm),
        ));
    }
    if let Some(jimping) = &reckoning.jimping {
        let groove = match jimping.groove {
            Groove::Vee(deg) => format!("V of {}", units::show_angle(deg, 1)),
            Groove::Round(mm) => format!("round file of {}", fine(mm)),
        };
        notes.push(format!(
            "Jimping: {} notches, {} apart along the curve, {groove}, {} deep; flat left on a \
             tooth {}. File it before hardening.",
            jimping.notches.len(),
            fine(jimping.pitch_mm),
            fine(jimping.depth_mm),
            fine(jimping.tooth_flat_mm),
        ));
    }
    notes.push(
        "Dust of wood, resin and steel harms the lungs: extract it and wear a mask. Wear eye \
         protection and keep the edge covered while you shape the handle. Keep to the rules where \
         you are."
            .to_owned(),
    );
    notes
}
