//! What a photograph would show: one tone on a flat, a break at a grind line, mirrored blades
//! in mirrored light alike.

use super::*;
use egui::Color32;
use knife::{Edit, Knife};
use kurbo::{Affine, Rect, Vec2};
use proptest::prelude::*;
use reckon::{Reckoning, Shop, reckon};

fn reckoned(knife: &Knife) -> Reckoning {
    reckon(knife, &Shop::default(), reckon::tables::Tables::built_in())
}

/// A starter that lies with its tip to the left and its edge down, with everything on it.
fn full() -> Knife {
    let mut knife = knife::STARTERS[0].knife();
    let plunge_x_mm = knife.bevel.unwrap().plunge_x_mm;
    knife.taper = Some(knife::Taper { from_x_mm: plunge_x_mm, tip_mm: 1.8 });
    knife.swedge =
        Some(knife::Swedge { from_x_mm: plunge_x_mm * 0.5, height_mm: 5.0, thickness_mm: 1.2 });
    let bevel = knife.bevel.as_mut().unwrap();
    (bevel.plunge_file_mm, bevel.plunge_lean_deg) = (6.0, 10.0);
    knife
}

fn surface(reckoning: &Reckoning, left: bool) -> Surface<'_> {
    let (field, outline) = (reckoning.field.as_deref().unwrap(), reckoning.outline.as_ref());
    Surface { field, outline: outline.unwrap(), left }
}

/// A patch of so many pixels to the millimetre that is its own mirror image about x = 0.
fn even_patch(bounds: Rect) -> Patch {
    let wide = bounds.x0.abs().max(bounds.x1.abs()).ceil();
    Patch::over(Rect::new(-wide, bounds.y0, wide, bounds.y1), 2.0, 1_000_000)
}

fn pixel(picture: &ColorImage, patch: &Patch, at: Point) -> Color32 {
    let (x, y) =
        ((at.x - patch.corner.x) / patch.step_mm, (patch.bounds().y1 - at.y) / patch.step_mm);
    picture[(x as usize, y as usize)]
}

#[test]
fn a_flat_blank_is_of_one_tone() {
    let mut knife = knife::STARTERS[0].knife();
    knife.bevel = None;
    let reckoning = reckoned(&knife);
    let patch = Patch::over(reckoning.outline.as_ref().unwrap().bounds(), 3.0, 500_000);
    let picture = lit(&surface(&reckoning, true), &patch, &Light::plain(), &Tones::grey());
    let tone = picture.pixels[0];
    assert!(picture.pixels.iter().all(|pixel| *pixel == tone));
}

#[test]
fn the_tone_breaks_at_the_grind_line_and_shines_at_the_plunge() {
    let knife = full();
    let reckoning = reckoned(&knife);
    let bounds = reckoning.outline.as_ref().unwrap().bounds();
    let patch = Patch::over(bounds, 4.0, 1_000_000);
    let picture = lit(&surface(&reckoning, true), &patch, &Light::plain(), &Tones::grey());
    let figures = reckoning.bevel.as_ref().unwrap();
    let grey = |at: Point| i32::from(pixel(&picture, &patch, at).r());
    let plunge = figures.plunge.unwrap();
    let up = figures.plunge_frame.up;
    let flat = grey(Point::new(plunge.p0.x + 8.0, bounds.center().y));
    // Beside the grind line, away from its ends: half a millimetre makes the difference.
    let line = plunge.p1 - Vec2::new(15.0, 0.0);
    let (above, below) = (grey(line + up * 1.2), grey(line - up * 1.2));
    assert!(above - below > 25, "{above} {below}");
    // The bevel turns away from the light above; the round of the plunge turns towards it.
    let round = plunge.p0.midpoint(plunge.p1) + figures.plunge_frame.ahead * 0.6;
    assert!(grey(round) > flat + 40, "{} {flat}", grey(round));
    // The swedge turns towards it too.
    let swedge = reckoning.swedge.as_ref().unwrap();
    let seg = &swedge.spine[swedge.spine.len() - 1];
    let spine = kurbo::ParamCurve::eval(seg, 0.6) - Vec2::new(0.0, 1.5);
    assert!(grey(spine) > flat + 20, "{} {flat}", grey(spine));
}

#[test]
fn a_mirrored_blade_in_mirrored_light_is_the_mirrored_picture() {
    let knife = full();
    let (here, there) = (reckoned(&knife), Edit::MirrorAlong.apply(&knife).unwrap());
    // Mirroring keeps the blank where it is: its middle is the mirror.
    let there = reckoned(&there);
    let (a, b) =
        (here.outline.as_ref().unwrap().bounds(), there.outline.as_ref().unwrap().bounds());
    assert!((a.center() - b.center()).hypot() < 1e-9 || (a.x0 + b.x1).abs() < 1e-6);
    let mirror = a.x0 + b.x1;
    let patch = even_patch(a.union(b));
    let wide = patch.columns as f64 * patch.step_mm;
    let at = |corner_x: f64| Patch { corner: Point::new(corner_x, patch.corner.y), ..patch };
    let (left, right) = (at(patch.corner.x), at(mirror - patch.corner.x - wide));
    let light = Light::plain();
    let turned = light.turned(Affine::new([-1.0, 0.0, 0.0, 1.0, 0.0, 0.0]));
    let one = lit(&surface(&here, true), &left, &light, &Tones::grey());
    let other = lit(&surface(&there, false), &right, &turned, &Tones::grey());
    let off = |x: usize, y: usize| {
        if !here.outline.as_ref().unwrap().contains(left.low(x, y)) {
            return 0;
        }
        let (a, b) = (one[(x, y)].r(), other[(patch.columns - 1 - x, y)].r());
        a.abs_diff(b)
    };
    let places = (0..patch.rows).flat_map(|y| (0..patch.columns).map(move |x| (x, y)));
    let wrong = places.filter(|(x, y)| off(*x, *y) > 6).count();
    // A line that falls between two pixels may fall to either.
    assert!(wrong < patch.columns * patch.rows / 300, "{wrong}");
}

#[test]
fn what_is_ground_on_one_face_shows_on_that_face_alone() {
    let mut knife = knife::STARTERS[0].knife();
    knife.bevel.as_mut().unwrap().sides = knife::GroundSides::Left;
    let reckoning = reckoned(&knife);
    let patch = Patch::over(reckoning.outline.as_ref().unwrap().bounds(), 2.0, 500_000);
    let tones = |left| {
        let picture = lit(&surface(&reckoning, left), &patch, &Light::plain(), &Tones::grey());
        let mut tones: Vec<u8> = picture.pixels.iter().map(Color32::r).collect();
        tones.sort_unstable();
        tones.dedup();
        tones.len()
    };
    assert!(tones(true) > 5);
    assert_eq!(tones(false), 1);
}

/// Tiles that are filled from a few places look like every pixel worked out by itself.
#[test]
fn a_picture_from_few_places_is_that_from_all() {
    let knife = full();
    let reckoning = reckoned(&knife);
    let surface = surface(&reckoning, true);
    let outline = surface.outline;
    let patch = Patch::over(outline.bounds(), 3.0, 1_000_000);
    let light = Light::plain();
    let picture = lit(&surface, &patch, &light, &Tones::grey());
    let step = patch.step_mm;
    let mut wrong = 0;
    for y in 0..patch.rows {
        for x in 0..patch.columns {
            let low = patch.low(x, y);
            let middle = low + Vec2::new(step, step) / 2.0;
            if !outline.contains(middle) {
                continue;
            }
            let at = |dx: f64, dy: f64| surface.height_mm(low + Vec2::new(dx, dy) * step);
            let (a, b, c, d) = (at(0.0, 1.0), at(1.0, 1.0), at(0.0, 0.0), at(1.0, 0.0));
            let rise = Vec2::new(b + d - a - c, a + b - c - d) / (2.0 * step);
            let tone = (light.tone(rise, middle) * 255.0).round() as i32;
            wrong += i32::from((tone - i32::from(picture[(x, y)].r())).abs() > 4);
        }
    }
    let all = (patch.columns * patch.rows) as i32;
    assert!(wrong < all / 500, "{wrong} of {all}");
}

proptest! {
    #[test]
    fn a_patch_covers_its_box_in_so_many_pixels(
        x in -1e4..1e4f64, y in -1e4..1e4f64, wide in 0.0..900.0f64, tall in 0.0..300.0f64,
        zoom in 0.01..1500.0f64, most in 1usize..200_000,
    ) {
        let bounds = Rect::new(x, y, x + wide, y + tall);
        let patch = Patch::over(bounds, zoom, most);
        prop_assert!(patch.columns >= 1 && patch.rows >= 1);
        prop_assert!(patch.columns * patch.rows <= 6 * most + 6, "{patch:?}");
        let low = patch.bounds();
        prop_assert!(low.x0 <= x + 1e-6 && low.y0 <= y + 1e-6);
        if wide * tall > most as f64 / zoom / zoom * 0.01 && wide.min(tall) > 1.0 {
            prop_assert!(low.x1 >= x + wide - 1e-6 && low.y1 >= y + tall - 1e-6);
        }
    }
}
