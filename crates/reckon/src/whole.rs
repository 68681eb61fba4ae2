//! Mass and balance of the whole knife: steel, scales, pins and glue.

use crate::solid::Field;
use crate::tables::Tables;
use crate::{MassFigures, ProfileFigures, ScaleFigures};
use knife::{Hole, HoleKind, Knife};
use kurbo::{Point, Vec2};
use std::f64::consts::PI;

/// Density of set epoxy, by its name in the table of materials.
const GLUE: &str = "cured epoxy, unfilled";

/// Mass and balance of the whole knife.
#[derive(Clone, Debug, PartialEq)]
pub struct WholeFigures {
    /// The ground steel, g.
    pub steel_g: f64,
    /// Both scales, their holes taken off, g.
    pub scales_g: f64,
    /// All pins, from face to face of the scales, g.
    pub pins_g: f64,
    /// The glue under both scales, and in relief holes under them, g.
    pub glue_g: f64,
    /// Centre of mass in the knife's plane.
    pub centre: Point,
    /// How far that lies behind the scales' front line, towards the butt, mm; negative ahead.
    pub behind_scale_front_mm: f64,
    /// How far it lies behind the pin nearest to the tip, mm; negative ahead.
    pub behind_front_pin_mm: Option<f64>,
}

impl WholeFigures {
    /// All of it, g.
    pub fn mass_g(&self) -> f64 {
        self.steel_g + self.scales_g + self.pins_g + self.glue_g
    }
}

/// What stands in the way of the whole knife's mass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Missing {
    /// The steel's grade has no density in the table.
    Steel,
    /// No material is chosen for this part.
    NotChosen(&'static str),
    /// The part's material, by its name, is not in the table.
    Unknown(&'static str, String),
}

/// A body of even thickness: its volume, mm³, and its moment, mm⁴.
#[derive(Clone, Copy, Default)]
struct Body {
    mm3: f64,
    moment: Vec2,
}

impl Body {
    fn add(&mut self, at: Point, mm3: f64) {
        self.mm3 += mm3;
        self.moment += at.to_vec2() * mm3;
    }
}

/// What the whole is worked out from.
pub(crate) struct Given<'a> {
    pub knife: &'a Knife,
    pub profile: &'a ProfileFigures,
    pub scales: &'a ScaleFigures,
    pub field: &'a Field,
    pub mass: &'a MassFigures,
    pub tables: &'a Tables,
}

/// Works out the whole knife.
///
/// Scales lie flush with the tang and are as thick as stated; pins fill their holes' pin stock
/// from face to face; glue lies evenly under both scales, and fills the relief holes there,
/// which key the bond.
///
/// # Errors
/// [`Missing`]: what has to be chosen first.
pub(crate) fn figures(given: &Given<'_>) -> Result<WholeFigures, Missing> {
    let (knife, scales) = (given.knife, given.scales);
    let steel_g = given.mass.ground_g().ok_or(Missing::Steel)?;
    let density = |what: &'static str, name: &Option<String>| {
        let name = name.as_deref().ok_or(Missing::NotChosen(what))?;
        let found = given.tables.material(name);
        found.map(|m| m.density_g_cm3).ok_or_else(|| Missing::Unknown(what, name.to_owned()))
    };
    let thick_mm = knife.scales.map_or(0.0, |scales| scales.thickness_mm);
    let glue_mm = knife.handle.glue_mm();
    let (area, middle) = (scales.area_mm2, scales.outline.centroid());
    let (mut wood, mut pins, mut glue) = (Body::default(), Body::default(), Body::default());
    wood.add(middle, 2.0 * area * thick_mm);
    glue.add(middle, 2.0 * area * glue_mm);
    let under = |hole: &&Hole| scales.outline.contains(hole.at);
    for hole in knife.holes.iter().filter(under) {
        let round = |diameter_mm: f64| PI * diameter_mm * diameter_mm / 4.0;
        let steel_mm = given.field.halves(hole.at).thickness_mm();
        let open = round(hole.diameter_mm);
        glue.add(hole.at, -2.0 * open * glue_mm);
        match hole.kind {
            HoleKind::Relief => glue.add(hole.at, open * (steel_mm + 2.0 * glue_mm)),
            HoleKind::Thong => wood.add(hole.at, -2.0 * open * thick_mm),
            HoleKind::Pin => {
                wood.add(hole.at, -2.0 * open * thick_mm);
                let long_mm = steel_mm + 2.0 * (thick_mm + glue_mm);
                pins.add(hole.at, round(hole.pin_mm.unwrap_or(hole.diameter_mm)) * long_mm);
            }
        }
    }
    let of_wood = density("scales", &knife.handle.scales)?;
    let of_pins = if pins.mm3 > 0.0 { density("pins", &knife.handle.pins)? } else { 0.0 };
    let of_glue = density("glue", &Some(GLUE.to_owned()))?;
    let grams = |body: Body, density: f64| body.mm3 * density / 1000.0;
    let (scales_g, pins_g, glue_g) =
        (grams(wood, of_wood), grams(pins, of_pins), grams(glue, of_glue));
    let moment = given.mass.centre.to_vec2() * steel_g
        + (wood.moment * of_wood + pins.moment * of_pins + glue.moment * of_glue) / 1000.0;
    let centre = (moment / (steel_g + scales_g + pins_g + glue_g)).to_point();
    let behind = |x: f64| (centre.x - x) * given.profile.towards_butt;
    let pin_holes = knife.holes.iter().filter(|hole| hole.kind == HoleKind::Pin);
    Ok(WholeFigures {
        steel_g,
        scales_g,
        pins_g,
        glue_g,
        centre,
        behind_scale_front_mm: behind(knife.scales.map_or(0.0, |scales| scales.front_x_mm)),
        behind_front_pin_mm: pin_holes.map(|pin| behind(pin.at.x)).max_by(f64::total_cmp),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, reckoned};
    use knife::{Edit, Handle, Scales};

    /// The bar of 200 × 30 × 3.175 mm with scales of 6 mm behind x = 120, a brass pin of
    /// 6.35 mm at x = 150.
    fn knife() -> Knife {
        let mut knife = drilled(&[(150.0, 0.0, 6.35)]);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife.handle = Handle {
            scales: Some("sugar maple".into()),
            pins: Some("brass C26000".into()),
            glue_mm: Some(0.1),
            ..Handle::default()
        };
        knife
    }

    /// By hand: densities 7.85, 0.706, 8.53 and the table's epoxy, volumes of bars and
    /// cylinders.
    #[test]
    fn every_part_weighs_its_volume_and_the_whole_balances() {
        let knife = knife();
        let whole = reckoned(&knife).whole.unwrap().unwrap();
        let round = PI * 6.35 * 6.35 / 4.0;
        let steel = (19_050.0 - round * 3.175) * 7.85 / 1000.0;
        let scales = 2.0 * 6.0 * (2400.0 - round) * 0.706 / 1000.0;
        let pins = round * (3.175 + 12.2) * 8.53 / 1000.0;
        let epoxy = Tables::built_in().material(GLUE).unwrap().density_g_cm3;
        let glue = 0.2 * (2400.0 - round) * epoxy / 1000.0;
        for (found, wanted) in [
            (whole.steel_g, steel),
            (whole.scales_g, scales),
            (whole.pins_g, pins),
            (whole.glue_g, glue),
        ] {
            assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
        }
        let x = (19_050.0 * 7.85 / 1000.0 * 100.0 - round * 3.175 * 7.85 / 1000.0 * 150.0
            + 2.0 * 6.0 * (2400.0 * 160.0 - round * 150.0) * 0.706 / 1000.0
            + pins * 150.0
            + 0.2 * (2400.0 * 160.0 - round * 150.0) * epoxy / 1000.0)
            / whole.mass_g();
        assert!((whole.centre.x - x).abs() < 1e-9);
        assert!((whole.behind_scale_front_mm - (x - 120.0)).abs() < 1e-9);
        let turned = Edit::MirrorAlong.apply(&knife).unwrap();
        let other = reckoned(&turned).whole.unwrap().unwrap();
        assert!((other.mass_g() - whole.mass_g()).abs() < 1e-9);
        assert!((other.behind_scale_front_mm - whole.behind_scale_front_mm).abs() < 1e-9);
    }

    /// C26000 brass, 6.35 × 25.4 mm: 6.861516 g (cylinder and density by hand).
    #[test]
    fn a_pin_weighs_what_its_cylinder_does() {
        let mut knife = knife();
        // Stock 3.175 and glue 2 × 0.1 leave 22.025 mm for both scales.
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 22.025 / 2.0 });
        let whole = reckoned(&knife).whole.unwrap().unwrap();
        assert!((whole.pins_g - 6.861_516).abs() < 1e-6, "{}", whole.pins_g);
    }

    #[test]
    fn what_is_missing_is_told() {
        let missing = |handle: Handle| {
            let mut knife = knife();
            knife.handle = handle;
            reckoned(&knife).whole.unwrap().unwrap_err()
        };
        let handle = knife().handle;
        assert_eq!(
            missing(Handle { scales: None, ..handle.clone() }),
            Missing::NotChosen("scales")
        );
        assert_eq!(missing(Handle { pins: None, ..handle.clone() }), Missing::NotChosen("pins"));
        let cheese = Some("cheese".to_owned());
        let unknown = Missing::Unknown("scales", "cheese".to_owned());
        assert_eq!(missing(Handle { scales: cheese, ..handle }), unknown);
        let mut bare = knife();
        bare.scales = None;
        assert!(reckoned(&bare).whole.is_none());
    }
}
