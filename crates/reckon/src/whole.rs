//! Mass and balance of the whole knife: steel, scales, liners, bolsters, pins and glue.

use crate::context::FigureContext;
use crate::fit::{Body, prism, round_mm2};
use crate::scale_thickness_mm;
use crate::tables::GLUE;
use crate::{FitFigures, MassFigures, PiecePart, ScaleFigures, ScalePiece};
use knife::{HoleKind, Knife};
use kurbo::common::solve_quadratic;
use kurbo::{Circle, Point, Vec2};
use outline::Outline;

/// Mass and balance of the whole knife.
#[derive(Clone, Debug, PartialEq)]
pub struct WholeFigures {
    /// The ground steel, g.
    pub steel_g: f64,
    /// Both scales, their holes taken off, g.
    pub scales_g: f64,
    /// The right one of them, g.
    pub right_scale_g: f64,
    /// Both liners, their holes taken off, g; 0 without.
    pub liners_g: f64,
    /// Both pairs of bolsters, their holes taken off, g; 0 without.
    pub bolsters_g: f64,
    /// All pins, tubes and screws, filed flush, g.
    pub pins_g: f64,
    /// The glue in all joints, in the gaps round the pins and in relief holes, g.
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
        self.steel_g + self.scales_g + self.liners_g + self.bolsters_g + self.pins_g + self.glue_g
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

/// How near a piece's outline is followed where a joint cuts a hole, mm.
const NEAR_MM: f64 = 1e-4;

/// Grams and their first moment, g mm.
#[derive(Clone, Copy, Default)]
struct MassSum {
    g: f64,
    moment: Vec2,
}

impl MassSum {
    /// Adds a body of this density, g/cm³, and gives its mass, g.
    fn add(&mut self, body: Body, density: f64) -> f64 {
        let g = body.mm3 * density / 1000.0;
        self.g += g;
        self.moment += body.moment * density / 1000.0;
        g
    }
}

/// Works out the whole knife.
///
/// Scales and bolsters lie flush with the tang, as thick as stated, their fronts and corners
/// square; liners lie under all of both. Pins, tubes and screws go from face to face. Glue lies
/// evenly in every joint, fills the gaps round the pins, and the relief holes in the tang, which
/// key the bond.
///
/// # Errors
/// [`Missing`]: what has to be chosen first.
pub(crate) fn figures(
    ctx: &FigureContext<'_>,
    scales: &ScaleFigures,
    fit: &FitFigures,
    mass: &MassFigures,
) -> Result<WholeFigures, Missing> {
    let (knife, handle) = (ctx.knife, &ctx.knife.handle);
    let steel_g = mass.ground_g().ok_or(Missing::Steel)?;
    let density = |what: &'static str, name: Option<&str>| {
        let name = name.ok_or(Missing::NotChosen(what))?;
        let found = ctx.tables.material(name);
        found.map(|m| m.density_g_cm3).ok_or_else(|| Missing::Unknown(what, name.to_owned()))
    };
    let mut sum = MassSum { g: steel_g, moment: mass.centre.to_vec2() * steel_g };

    let (mut scales_g, mut right_scale_g, mut bolsters_g) = (0.0, 0.0, 0.0);
    let of_left = density("scales", handle.scales.as_deref())?;
    let of_right = match handle.right_scale.as_deref() {
        Some(name) => density("right scale", Some(name))?,
        None => of_left,
    };
    for piece in &scales.pieces {
        let body = drilled(ctx.knife, (scales, fit), piece);
        let bolster = match piece.part {
            PiecePart::Scale => {
                right_scale_g += sum.add(body, of_right);
                scales_g += right_scale_g + sum.add(body, of_left);
                continue;
            }
            PiecePart::FrontBolster => &handle.front_bolster,
            PiecePart::RearBolster => &handle.rear_bolster,
        };
        let name = bolster.as_ref().and_then(|bolster| bolster.material.as_deref());
        let of_bolster = density(piece.part.label(), name)?;
        bolsters_g += sum.add(body, of_bolster) + sum.add(body, of_bolster);
    }

    let (liners, glue) = layers(ctx, scales, fit);
    let liners_g = match &handle.liners {
        Some(stated) => sum.add(liners, density("liners", stated.material.as_deref())?),
        None => 0.0,
    };
    let mut pins = Body::default();
    fit.pins.iter().for_each(|pin| pins.add(pin.at, pin.flush_mm3()));
    let of_pins = if fit.pins.is_empty() { 0.0 } else { density("pins", handle.pins.as_deref())? };
    let pins_g = sum.add(pins, of_pins);
    let glue_g = sum.add(glue, density("glue", Some(GLUE))?);

    let centre = (sum.moment / sum.g).to_point();
    let behind = |x: f64| (centre.x - x) * ctx.profile.towards_butt;
    let pin_holes = knife.holes.iter().filter(|hole| hole.kind == HoleKind::Pin);
    Ok(WholeFigures {
        steel_g,
        scales_g,
        right_scale_g,
        liners_g,
        bolsters_g,
        pins_g,
        glue_g,
        centre,
        behind_scale_front_mm: behind(knife.scales.map_or(0.0, |scales| scales.front_x_mm)),
        behind_front_pin_mm: pin_holes.map(|pin| behind(pin.at.x)).max_by(f64::total_cmp),
    })
}

/// A piece of one side less what is drilled away of it.
fn drilled(knife: &Knife, (scales, fit): (&ScaleFigures, &FitFigures), piece: &ScalePiece) -> Body {
    let mut body = prism(knife, &piece.outline);
    let through = knife.holes.iter().filter(|hole| hole.kind != HoleKind::Relief);
    for hole in through.filter(|hole| scales.outline.contains(hole.at)) {
        let bores = match fit.pins.iter().find(|pin| pin.hole == hole.id) {
            Some(pin) => pin.bores_mm(),
            None => {
                let thick_mm = scale_thickness_mm(knife, hole.at.x).unwrap_or_default();
                [(hole.diameter_mm, thick_mm), (0.0, 0.0)]
            }
        };
        for (diameter_mm, deep_mm) in bores {
            let open = open_area(&piece.outline, Circle::new(hole.at, diameter_mm / 2.0));
            body.mm3 -= open.mm3 * deep_mm;
            body.moment -= open.moment * deep_mm;
        }
    }
    body
}

/// What a circle takes of a piece, for each mm of depth: all of it, or what a joint leaves on
/// this side.
fn open_area(piece: &Outline, circle: Circle) -> Body {
    let mut open = Body::default();
    let (centre, radius) = (circle.center, circle.radius);
    if radius <= 0.0 {
        return open;
    }
    if piece.web(circle) >= 0.0 {
        if piece.contains(centre) {
            open.add(centre, round_mm2(2.0 * radius));
        }
        return open;
    }
    let mut points: Vec<Vec2> = Vec::new();
    kurbo::flatten(piece.to_path(), NEAR_MM, |el| {
        points.extend(el.end_point().map(|p| p - centre));
    });
    points.extend(points.first().copied());
    // Seen from the circle's middle each side of the piece bounds a triangle where it runs within
    // the circle, and a sector where it runs outside.
    let (mut mm2, mut moment) = (0.0, Vec2::ZERO);
    for side in points.windows(2) {
        let (a, direction) = (side[0], side[1] - side[0]);
        let meets = solve_quadratic(
            a.hypot2() - radius * radius,
            2.0 * a.dot(direction),
            direction.hypot2(),
        );
        let mut cuts: Vec<f64> = meets.into_iter().filter(|t| (0.0..1.0).contains(t)).collect();
        cuts.extend([0.0, 1.0]);
        cuts.sort_by(f64::total_cmp);
        for pair in cuts.windows(2) {
            let (p, q) = (a + direction * pair[0], a + direction * pair[1]);
            if (p + q).hypot() <= 2.0 * radius {
                let area = p.cross(q) / 2.0;
                mm2 += area;
                moment += (p + q) * (area / 3.0);
            } else {
                let (from, turn) = (p.atan2(), p.cross(q).atan2(p.dot(q)));
                let to = from + turn;
                mm2 += radius * radius * turn / 2.0;
                moment += Vec2::new(to.sin() - from.sin(), from.cos() - to.cos())
                    * (radius.powi(3) / 3.0);
            }
        }
    }
    let sense = mm2.signum();
    open.mm3 = sense * mm2;
    open.moment = centre.to_vec2() * open.mm3 + moment * sense;
    open
}

/// Both liners, and the glue of both sides.
fn layers(ctx: &FigureContext<'_>, scales: &ScaleFigures, fit: &FitFigures) -> (Body, Body) {
    let handle = &ctx.knife.handle;
    let (glue_mm, joints) = (handle.glue_mm(), f64::from(handle.joints()));
    let middle = scales.outline.centroid();
    let (mut liners, mut glue) = (Body::default(), Body::default());
    liners.add(middle, 2.0 * scales.area_mm2 * handle.liner_mm());
    glue.add(middle, 2.0 * scales.area_mm2 * joints * glue_mm);
    for hole in ctx.knife.holes.iter().filter(|hole| scales.outline.contains(hole.at)) {
        let open_mm2 = round_mm2(hole.diameter_mm);
        if hole.kind == HoleKind::Relief {
            let steel_mm = ctx.field.half_thickness(hole.at).thickness_mm();
            glue.add(hole.at, open_mm2 * steel_mm);
        } else {
            liners.add(hole.at, -2.0 * open_mm2 * handle.liner_mm());
            glue.add(hole.at, -2.0 * open_mm2 * joints * glue_mm);
        }
    }
    fit.pins.iter().for_each(|pin| glue.add(pin.at, pin.gap_mm3()));
    (liners, glue)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{drilled, reckoned};
    use crate::tables::Tables;
    use knife::{Bolster, Edit, Fixing, Handle, HoleId, Liners, Scales};
    use std::f64::consts::PI;

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
        for (found, expected) in [
            (whole.steel_g, steel),
            (whole.scales_g, scales),
            (whole.pins_g, pins),
            (whole.glue_g, glue),
        ] {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
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

    /// By hand: a bar of 80 × 30 mm in three pieces (bolsters of 10 and 20 mm in front and behind),
    /// each side's liner 1 mm; a screw at x = 150, a tube in the thong hole at 190, a relief hole
    /// at 170. Densities of the table.
    #[test]
    fn liners_bolsters_tubes_screws_and_two_kinds_of_scales_are_all_weighed() {
        let mut knife = drilled(&[(150.0, 0.0, 4.0), (190.0, 0.0, 6.0), (170.0, 5.0, 8.0)]);
        knife.holes[1].kind = HoleKind::Thong;
        knife.holes[2].kind = HoleKind::Relief;
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        let some = |name: &str| Some(name.to_owned());
        let bolster = |length_mm, name| Some(Bolster { length_mm, material: some(name) });
        let screw = Fixing::Screw { head_mm: 8.0, head_deep_mm: 2.0 };
        knife.handle = Handle {
            scales: some("sugar maple"),
            right_scale: some("black walnut"),
            pins: some("brass C26000"),
            glue_mm: Some(0.1),
            liners: Some(Liners { thickness_mm: 1.0, material: some("glass-epoxy G-10") }),
            front_bolster: bolster(10.0, "nickel silver C75200"),
            rear_bolster: bolster(20.0, "copper C11000"),
            fixings: vec![(HoleId(1), screw), (HoleId(2), Fixing::Tube { bore_mm: 5.0 })],
            ..Handle::default()
        };
        let whole = reckoned(&knife).whole.unwrap().unwrap();
        let round = |mm: f64| PI * mm * mm / 4.0;
        let (shank, thong, relief) = (round(4.0), round(6.0), round(8.0));
        // (volume, its middle, density); one scale less shank and recess, one bolster less thong.
        let scale = [(50.0 * 30.0 * 6.0, 155.0), (-shank * 4.0 - relief * 2.0, 150.0)];
        let rear = [(20.0 * 30.0 * 6.0, 190.0), (-thong * 6.0, 190.0)];
        let liners = [(2.0 * 2400.0, 160.0), (-2.0 * shank, 150.0), (-2.0 * thong, 190.0)];
        let flush = 3.175 + 2.0 * (6.0 + 1.0 + 0.2);
        let pins =
            [(shank * (flush - 4.0) + relief * 4.0, 150.0), ((thong - round(5.0)) * flush, 190.0)];
        // Four joints of 0.1 mm, the relief hole's fill of 3.175 mm.
        let glue = [
            (0.4 * 2400.0, 160.0),
            (-0.4 * shank, 150.0),
            (-0.4 * thong, 190.0),
            (relief * 3.175, 170.0),
        ];
        let steel = [
            (19_050.0, 100.0),
            (-shank * 3.175, 150.0),
            (-thong * 3.175, 190.0),
            (-relief * 3.175, 170.0),
        ];
        let grams = |parts: &[(f64, f64)], density: f64| {
            parts.iter().map(|(mm3, _)| mm3 * density / 1000.0).sum::<f64>()
        };
        let front = [(2.0 * 10.0 * 30.0 * 6.0, 125.0)];
        let (maple, walnut, copper) = (0.706, 0.616, 8.89);
        let near = |found: f64, expected: f64| {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        };
        near(whole.right_scale_g, grams(&scale, walnut));
        near(whole.scales_g, grams(&scale, maple + walnut));
        near(whole.bolsters_g, grams(&front, 8.73) + grams(&rear, 2.0 * copper));
        near(whole.liners_g, grams(&liners, 1.8));
        near(whole.pins_g, grams(&pins, 8.53));
        near(whole.glue_g, grams(&glue, 1.15));
        let all: [(&[(f64, f64)], f64); 7] = [
            (&steel, 7.85),
            (&scale, maple + walnut),
            (&front, 8.73),
            (&rear, 2.0 * copper),
            (&liners, 1.8),
            (&pins, 8.53),
            (&glue, 1.15),
        ];
        near(whole.mass_g(), all.iter().map(|(parts, density)| grams(parts, *density)).sum());
        let moment: f64 = all
            .iter()
            .flat_map(|(parts, density)| parts.iter().map(move |(v, x)| v * x * density / 1000.0))
            .sum();
        near(whole.centre.x, moment / whole.mass_g());
        // A bolster whose material isn't chosen is told.
        knife.handle.rear_bolster = Some(Bolster { length_mm: 20.0, material: None });
        let missing = reckoned(&knife).whole.unwrap().unwrap_err();
        assert_eq!(missing, Missing::NotChosen("rear bolster"));
    }

    /// By hand: a hole of 6 mm whose middle lies 1 mm behind the joint of front bolster and scale.
    /// The segment cut off by a chord 1 mm from the middle is r² acos(1/r) − √(r² − 1)
    /// (Machinery's Handbook, "Segments of circles").
    #[test]
    fn a_hole_across_a_joint_is_taken_off_each_piece_by_its_own_area() {
        let mut knife = drilled(&[(131.0, 0.0, 6.0)]);
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife.handle.scales = Some("black walnut".to_owned());
        knife.handle.pins = Some("brass C26000".to_owned());
        knife.handle.front_bolster =
            Some(Bolster { length_mm: 10.0, material: Some("copper C11000".to_owned()) });
        let ahead = 9.0 * (1.0f64 / 3.0).acos() - 8f64.sqrt();
        let behind = 9.0 * PI - ahead;
        for turned in [false, true] {
            let knife =
                if turned { Edit::MirrorAlong.apply(&knife).unwrap() } else { knife.clone() };
            let whole = reckoned(&knife).whole.unwrap().unwrap();
            let bolsters = 2.0 * (10.0 * 30.0 - ahead) * 6.0 * 8.89 / 1000.0;
            let scales = 2.0 * (70.0 * 30.0 - behind) * 6.0 * 0.616 / 1000.0;
            assert!((whole.bolsters_g - bolsters).abs() < 1e-6, "{}", whole.bolsters_g);
            assert!((whole.scales_g - scales).abs() < 1e-6, "{}", whole.scales_g);
        }
    }

    /// Of a circle cut by a line, area and first moment: ∫ over the segment, 2/3 (r² − d²)^(3/2).
    #[test]
    fn what_a_joint_leaves_of_a_circle_has_its_own_middle() {
        let piece =
            Outline::polygon(&[(0.0, -9.0), (9.0, -9.0), (9.0, 9.0), (0.0, 9.0)].map(Point::from));
        let open = open_area(&piece.unwrap(), Circle::new((1.0, 0.5), 3.0));
        let lost = 9.0 * (1.0f64 / 3.0).acos() - 8f64.sqrt();
        assert!((open.mm3 - (9.0 * PI - lost)).abs() < 1e-9, "{open:?}");
        let moment = open.mm3 + 2.0 / 3.0 * 8f64.powf(1.5);
        assert!((open.moment.x - moment).abs() < 1e-9, "{open:?} {moment}");
        assert!((open.moment.y - 0.5 * open.mm3).abs() < 1e-9);
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
