//! Mass and balance of the steel, before and after grinding.

use crate::context::FigureContext;
use crate::solid::Slices;
use knife::HoleKind;
use kurbo::{Point, Vec2};

/// Mass and balance of the steel alone, its holes taken off; scales, pins and glue come on top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MassFigures {
    /// Density of the steel, g/cm³; `None` when the grade isn't in the table.
    pub density_g_cm3: Option<f64>,
    /// The blank as it is cut from the bar, mm³.
    pub flat_mm3: f64,
    /// The blank with its bevels ground, mm³.
    pub ground_mm3: f64,
    /// Centre of mass of the ground blank, in the knife's plane.
    pub centre: Point,
    /// How far that lies behind the scales' front line, towards the butt, mm; negative ahead.
    pub behind_scale_front_mm: Option<f64>,
    /// How far it lies behind the pin nearest to the tip, mm; negative ahead.
    pub behind_front_pin_mm: Option<f64>,
}

impl MassFigures {
    /// Mass of so much of the steel, g.
    fn grams(&self, volume_mm3: f64) -> Option<f64> {
        self.density_g_cm3.map(|density| density * volume_mm3 / 1000.0)
    }

    /// Mass as cut from the bar, g.
    pub fn flat_g(&self) -> Option<f64> {
        self.grams(self.flat_mm3)
    }

    /// Mass with the bevels ground, g.
    pub fn ground_g(&self) -> Option<f64> {
        self.grams(self.ground_mm3)
    }

    /// What grinding takes off, g.
    pub fn removed_g(&self) -> Option<f64> {
        self.grams(self.flat_mm3 - self.ground_mm3)
    }
}

/// Works out mass and balance; `None` for a blank of no area.
pub(crate) fn figures(
    ctx: &FigureContext<'_>,
    whole: &Slices,
    density_g_cm3: Option<f64>,
) -> Option<MassFigures> {
    let FigureContext { knife, outline, profile, field, .. } = *ctx;
    let (mut flat_mm3, mut ground_mm3) = (field.stock_mm * outline.area(), whole.volume_mm3);
    let mut moment = whole.centre.to_vec2() * whole.volume_mm3;
    for hole in knife.holes.iter().filter(|hole| outline.contains(hole.at)) {
        let area_mm2 = std::f64::consts::PI * hole.diameter_mm * hole.diameter_mm / 4.0;
        let lost_mm3 = area_mm2 * field.half_thickness(hole.at).thickness_mm();
        flat_mm3 -= area_mm2 * field.stock_mm;
        ground_mm3 -= lost_mm3;
        moment -= hole.at.to_vec2() * lost_mm3;
    }
    if ground_mm3 <= 0.0 {
        return None;
    }
    let centre = Vec2::to_point(moment / ground_mm3);
    let behind = |x: f64| (centre.x - x) * profile.towards_butt;
    let pins = knife.holes.iter().filter(|hole| hole.kind == HoleKind::Pin);
    let front_pin = pins.map(|pin| behind(pin.at.x)).max_by(f64::total_cmp);
    Some(MassFigures {
        density_g_cm3,
        flat_mm3,
        ground_mm3,
        centre,
        behind_scale_front_mm: knife.scales.map(|scales| behind(scales.front_x_mm)),
        behind_front_pin_mm: front_pin,
    })
}

#[cfg(test)]
mod tests {
    use crate::sample::{blank, drilled, reckoned};
    use knife::{Bevel, Edit, Scales};

    // SAE 1084 at 7.85 g/cm³; a bar 200 × 30 × 3.175 mm by hand: 19 050 mm³, 149.5425 g.
    #[test]
    fn a_plain_bar_weighs_its_volume_and_balances_in_its_middle() {
        let mass = reckoned(&blank()).mass.unwrap();
        assert!((mass.flat_mm3 - 19_050.0).abs() < 1e-6);
        assert_eq!(mass.flat_mm3, mass.ground_mm3);
        assert!((mass.ground_g().unwrap() - 149.5425).abs() < 1e-9);
        assert!((mass.centre.x - 100.0).abs() < 1e-9 && mass.centre.y.abs() < 1e-9);
    }

    #[test]
    fn holes_are_taken_off_with_their_moment() {
        let mass = reckoned(&drilled(&[(150.0, 0.0, 10.0)])).mass.unwrap();
        let hole = std::f64::consts::PI * 25.0 * 3.175;
        assert!((mass.ground_mm3 - (19_050.0 - hole)).abs() < 1e-6);
        let x = (19_050.0 * 100.0 - hole * 150.0) / (19_050.0 - hole);
        assert!((mass.centre.x - x).abs() < 1e-9);
        assert!((mass.behind_front_pin_mm.unwrap() - (x - 150.0)).abs() < 1e-9);
    }

    // Bevel volume taken off a unit of length on both sides is H (t − e) / 2 (triangle, by
    // hand); here over 90 mm of straight edge ahead of the plunge.
    #[test]
    fn a_flat_bevel_takes_off_its_triangle() {
        let mut knife = blank();
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 0.5,
            ..Bevel::default()
        });
        knife.scales = Some(Scales { front_x_mm: 100.0, thickness_mm: 6.0 });
        let mass = reckoned(&knife).mass.unwrap();
        let removed = 90.0 * 20.0 * (3.175 - 0.5) / 2.0;
        assert!((mass.flat_mm3 - mass.ground_mm3 - removed).abs() < 1e-6 * removed);
        let x = (19_050.0 * 100.0 - removed * 45.0) / (19_050.0 - removed);
        assert!((mass.centre.x - x).abs() < 1e-4, "{} {x}", mass.centre.x);
        assert!((mass.behind_scale_front_mm.unwrap() - (x - 100.0)).abs() < 1e-4);
        // Turned end for end it weighs and balances the same.
        let other = reckoned(&Edit::MirrorAlong.apply(&knife).unwrap()).mass.unwrap();
        assert!((other.ground_mm3 - mass.ground_mm3).abs() < 1e-3, "{other:?} {mass:?}");
        let (a, b) = (other.behind_scale_front_mm.unwrap(), mass.behind_scale_front_mm.unwrap());
        assert!((a - b).abs() < 1e-4);
    }

    #[test]
    fn mass_falls_when_the_bevel_grows_and_a_grade_unknown_has_no_weight() {
        let ground_g = |grind_height_mm: f64| {
            let mut knife = blank();
            knife.bevel = Some(Bevel {
                plunge_x_mm: 90.0,
                grind_height_mm,
                edge_thickness_mm: 0.5,
                ..Bevel::default()
            });
            reckoned(&knife).mass.unwrap().ground_mm3
        };
        assert!(ground_g(10.0) > ground_g(15.0) && ground_g(15.0) > ground_g(40.0));
        let mut knife = blank();
        knife.bar.grade = "of my own".into();
        let mass = reckoned(&knife).mass.unwrap();
        assert!(mass.flat_g().is_none() && mass.flat_mm3 > 0.0);
    }
}
