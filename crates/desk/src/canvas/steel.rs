//! The finished knife on the canvas: bare steel in light from the side, its scales and pins.

use super::{Read, Sight, paint};
use crate::session::Session;
use crate::shaded::{Shaded, Wanted};
use crate::theme::{Ink, Palette};
use egui::{Color32, Pos2, TextureId, TextureOptions, Ui, pos2};
use knife::{Fixing, Hole, HoleKind};
use kurbo::{Affine, BezPath, Circle, Shape as _};
use marks::{Item, Pen};
use reckon::PiecePart;

/// Which part of the knife is to be lit, and how finely; nothing where none is seen.
pub(super) fn wanted(ui: &Ui, read: &Read<'_>, sight: &Sight, moves: bool) -> Option<Wanted> {
    let bounds = read.derived.reckoning.outline.as_ref()?.bounds();
    let knife_from_plane = sight.plane_from_knife.inverse();
    let seen = knife_from_plane.transform_rect_bbox(sight.view.seen());
    let [a, b, c, d, ..] = knife_from_plane.as_coeffs();
    (bounds.intersect(seen).area() > 0.0).then(|| Wanted {
        seen,
        pixels_per_mm: sight.view.camera.points_per_mm * f64::from(ui.ctx().pixels_per_point()),
        moves,
        knife_from_screen: Affine::new([a, b, c, d, 0.0, 0.0]),
        tones: read.palette.steel_tones,
    })
}

/// Paints the knife as it will be.
pub(super) fn paint(ui: &Ui, read: &Read<'_>, session: &mut Session, sight: &Sight) {
    let Some(outline) = &read.derived.reckoning.outline else { return };
    let (painter, view, p) = (ui.painter(), &sight.view, read.palette);
    let path = sight.plane_from_knife * outline.to_path();
    let shadow = Ink { colour: p.paper_shade.gamma_multiply(0.5), width: 7.0, dashes: Vec::new() };
    paint::path_line(painter, view, &path, &shadow);
    painter.extend(paint::filled(view, &path, p.metal, p.metal));
    if let Some(shaded) = read.derived.shaded() {
        let texture = texture(ui, shaded, session);
        let bounds = shaded.patch.bounds();
        let on_picture = |pos: Pos2| {
            let at = sight.knife_from_ui(pos);
            let (x, y) =
                ((at.x - bounds.x0) / bounds.width(), (bounds.y1 - at.y) / bounds.height());
            #[expect(clippy::cast_possible_truncation, reason = "a place on a picture")]
            let (x, y) = (x as f32, y as f32);
            pos2(x, y)
        };
        painter.extend(paint::pictured(view, &path, texture, on_picture));
    }
    let scales = read.derived.reckoning.scales.as_ref();
    let covered = |hole: &Hole| scales.is_some_and(|scales| scales.outline.contains(hole.at));
    for hole in read.knife.holes.iter().filter(|hole| !covered(hole)) {
        through(ui, sight, hole, p);
    }
    let Some(scales) = scales else { return };
    let line = |path: &BezPath, colour: Color32, width: f32| {
        paint::path_line(painter, view, path, &Ink { colour, width, dashes: Vec::new() });
    };
    for piece in &scales.pieces {
        let path = sight.plane_from_knife * piece.outline.to_path();
        let [high, low] = tones(piece.part, p);
        painter.extend(paint::filled(view, &path, high, low));
        line(&path, low, 1.6);
    }
    if let Some(outer) = &scales.outer_front {
        let path = BezPath::from_path_segments(outer.iter().copied());
        let front = scales.pieces.first().map_or(PiecePart::Scale, |piece| piece.part);
        line(&(sight.plane_from_knife * path), tones(front, p)[1], 1.2);
    }
    for hole in read.knife.holes.iter().filter(|hole| covered(hole)) {
        match hole.kind {
            HoleKind::Pin => pin(ui, sight, hole, read.knife.handle.fixing(hole.id), p),
            HoleKind::Thong => {
                // Lined with a tube, its rim is seen round the hole.
                if let Some(tube) = read.knife.handle.fixing(hole.id) {
                    pin(ui, sight, hole, Some(tube), p);
                } else {
                    through(ui, sight, hole, p);
                }
            }
            HoleKind::Relief => {}
        }
    }
}

/// How a piece of the handle looks in the light and in the shade: scales as wood, bolsters as
/// the metal that they usually are.
fn tones(part: PiecePart, p: &Palette) -> [Color32; 2] {
    match part {
        PiecePart::Scale => [p.wood, p.wood.lerp_to_gamma(p.ink, 0.34)],
        PiecePart::FrontBolster | PiecePart::RearBolster => {
            [p.pin, p.pin.lerp_to_gamma(p.ink, 0.34)]
        }
    }
}

/// What is seen of a pin: its end; of a tube its rim and through it; of a screw its head with
/// the recess in the middle.
fn pin(ui: &Ui, sight: &Sight, hole: &Hole, fixing: Option<Fixing>, p: &Palette) {
    let metal = [p.pin, p.pin.lerp_to_gamma(p.ink, 0.2)];
    let outer_mm = hole.pin_mm.unwrap_or(hole.diameter_mm);
    match fixing {
        None => disc(ui, sight, hole, outer_mm, metal),
        Some(Fixing::Tube { bore_mm }) => {
            disc(ui, sight, hole, outer_mm, metal);
            disc(ui, sight, hole, bore_mm.min(outer_mm), dark(p));
        }
        Some(Fixing::Screw { head_mm, .. }) => {
            disc(ui, sight, hole, head_mm, metal);
            disc(ui, sight, hole, head_mm * 0.35, [metal[1], p.pin.lerp_to_gamma(p.ink, 0.6)]);
        }
    }
}

/// A hole through which the bench is seen under its own shadow.
fn through(ui: &Ui, sight: &Sight, hole: &Hole, p: &Palette) {
    disc(ui, sight, hole, hole.diameter_mm, dark(p));
}

fn dark(p: &Palette) -> [Color32; 2] {
    [p.bench.lerp_to_gamma(p.ink, 0.75), p.bench.lerp_to_gamma(p.ink, 0.55)]
}

fn disc(ui: &Ui, sight: &Sight, hole: &Hole, diameter_mm: f64, [high, low]: [Color32; 2]) {
    let circle = Circle::new(sight.plane_from_knife * hole.at, diameter_mm / 2.0);
    let path = circle.to_path(1e-2);
    ui.painter().extend(paint::filled(&sight.view, &path, high, low));
    let colour = low.lerp_to_gamma(Color32::BLACK, 0.5);
    let rim = Ink { colour, width: 1.2, dashes: Vec::new() };
    paint::path_line(ui.painter(), &sight.view, &path, &rim);
}

/// The picture as the window's driver has it; handed over anew when it is another.
fn texture(ui: &Ui, shaded: &Shaded, session: &mut Session) -> TextureId {
    let (made, handle) = session.texture.get_or_insert_with(|| {
        let image = shaded.image.clone();
        (image.clone(), ui.ctx().load_texture("shaded", image, TextureOptions::LINEAR))
    });
    if !std::sync::Arc::ptr_eq(made, &shaded.image) {
        *made = shaded.image.clone();
        handle.set(shaded.image.clone(), TextureOptions::LINEAR);
    }
    handle.id()
}

/// The stroke of a mark on bare steel; none for what isn't seen on a finished knife.
pub(super) fn ink(read: &Read<'_>, item: &Item) -> Option<Ink> {
    let p = read.palette;
    let (colour, width) = match item.pen {
        Pen::Bar => (p.hair, 1.0),
        Pen::Cut => (p.ink, 1.2),
        Pen::Bevel => (p.ink.gamma_multiply(0.55), 0.8),
        Pen::Hole | Pen::Centre => (p.ink.gamma_multiply(0.3), 0.8),
        Pen::Scale => return None,
        _ => (p.ink.gamma_multiply(0.5), 0.8),
    };
    Some(Ink { colour, width, dashes: Vec::new() })
}
