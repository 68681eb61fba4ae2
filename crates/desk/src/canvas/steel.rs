//! The finished knife on the canvas: bare steel in light from the side, its scales and pins.

use super::paint;
use crate::context::{CanvasContext, KnifeView, ViewContext};
use crate::shaded::{ShadeRequest, Shaded, Texture};
use crate::state::View;
use crate::theme::{HandleColors, Ink, Palette};
use egui::{Color32, Painter, Pos2, TextureId, TextureOptions, Ui, pos2};
use knife::{Fixing, Hole, HoleKind};
use kurbo::{Affine, BezPath, Circle, Shape as _};
use marks::{Drawing, Item, Mark, Pen};
use reckon::PiecePart;

/// Which part of the knife is to be lit, and how finely; nothing where none is seen.
pub(crate) fn shade_request(cx: &CanvasContext<'_>, moves: bool) -> Option<ShadeRequest> {
    let knife_view = cx.knife_view;
    let bounds = cx.context.reckoning().outline.as_ref()?.bounds();
    let knife_from_plane = knife_view.plane_from_knife.inverse();
    let seen = knife_from_plane.transform_rect_bbox(knife_view.view.seen());
    let [a, b, c, d, ..] = knife_from_plane.as_coeffs();
    (bounds.intersect(seen).area() > 0.0).then(|| ShadeRequest {
        seen,
        pixels_per_mm: knife_view.view.camera.points_per_mm
            * f64::from(cx.ui.ctx().pixels_per_point()),
        moves,
        knife_from_screen: Affine::new([a, b, c, d, 0.0, 0.0]),
        tones: cx.context.palette.steel_tones,
    })
}

/// Paints the knife as it will be.
pub(crate) fn paint(cx: &CanvasContext<'_>, texture: &mut Option<Texture>) {
    let (ui, context, knife_view) = (cx.ui, cx.context, cx.knife_view);
    let Some(outline) = &context.reckoning().outline else { return };
    let (painter, view, p) = (ui.painter(), &knife_view.view, context.palette);
    let path = knife_view.plane_from_knife * outline.to_path();
    let shadow = Ink::solid(p.paper_shade.gamma_multiply(0.5), 7.0);
    paint::path_line(painter, view, &path, &shadow);
    painter.extend(paint::filled(view, &path, p.metal, p.metal));
    if let Some(shaded) = context.derived.shaded() {
        let texture = texture_id(ui, shaded, texture);
        let bounds = shaded.patch.bounds();
        let on_picture = |pos: Pos2| {
            let at = knife_view.knife_from_ui(pos);
            let (x, y) =
                ((at.x - bounds.x0) / bounds.width(), (bounds.y1 - at.y) / bounds.height());
            #[expect(clippy::cast_possible_truncation, reason = "a place on a picture")]
            let (x, y) = (x as f32, y as f32);
            pos2(x, y)
        };
        painter.extend(paint::pictured(view, &path, texture, on_picture));
    }
    let scales = context.reckoning().scales.as_ref();
    let covered = |hole: &Hole| scales.is_some_and(|scales| scales.outline.contains(hole.at));
    for hole in context.knife.holes.iter().filter(|hole| !covered(hole)) {
        through(ui, knife_view, hole, p);
    }
    let Some(scales) = scales else { return };
    let line = |path: &BezPath, colour: Color32, width: f32| {
        paint::path_line(painter, view, path, &Ink::solid(colour, width));
    };
    let colors = HandleColors::of(&context.knife.handle, p);
    let is_right = context
        .reckoning()
        .profile
        .as_ref()
        .is_some_and(|profile| (profile.towards_butt > 0.0) == profile.edge_is_up);
    let tones = |part| {
        let high = colors.of_piece(part, is_right);
        [high, high.lerp_to_gamma(p.ink, 0.34)]
    };
    for piece in &scales.pieces {
        let path = knife_view.plane_from_knife * piece.outline.to_path();
        let [high, low] = tones(piece.part);
        painter.extend(paint::filled(view, &path, high, low));
        line(&path, low, 1.6);
    }
    if let Some(outer) = &scales.outer_front {
        let path = BezPath::from_path_segments(outer.iter().copied());
        let front = scales.pieces.first().map_or(PiecePart::Scale, |piece| piece.part);
        line(&(knife_view.plane_from_knife * path), tones(front)[1], 1.2);
    }
    for hole in context.knife.holes.iter().filter(|hole| covered(hole)) {
        match hole.kind {
            HoleKind::Pin => {
                let fixing = context.knife.handle.fixing(hole.id);
                pin(ui, knife_view, hole, (fixing, colors.pins), p);
            }
            HoleKind::Thong => {
                // Lined with a tube, its rim is seen round the hole.
                if let Some(tube) = context.knife.handle.fixing(hole.id) {
                    pin(ui, knife_view, hole, (Some(tube), colors.pins), p);
                } else {
                    through(ui, knife_view, hole, p);
                }
            }
            HoleKind::Relief => {}
        }
    }
}

/// What is seen of a pin: its end; of a tube its rim and through it; of a screw its head with
/// the recess in the middle.
fn pin(
    ui: &Ui,
    knife_view: &KnifeView,
    hole: &Hole,
    (fixing, colour): (Option<Fixing>, Color32),
    p: &Palette,
) {
    let metal = [colour, colour.lerp_to_gamma(p.ink, 0.2)];
    let outer_mm = hole.pin_mm.unwrap_or(hole.diameter_mm);
    match fixing {
        None => disc(ui, knife_view, hole, outer_mm, metal),
        Some(Fixing::Tube { bore_mm }) => {
            disc(ui, knife_view, hole, outer_mm, metal);
            disc(ui, knife_view, hole, bore_mm.min(outer_mm), dark(p));
        }
        Some(Fixing::Screw { head_mm, .. }) => {
            disc(ui, knife_view, hole, head_mm, metal);
            disc(
                ui,
                knife_view,
                hole,
                head_mm * 0.35,
                [metal[1], colour.lerp_to_gamma(p.ink, 0.6)],
            );
        }
    }
}

/// A hole through which the bench is seen under its own shadow.
fn through(ui: &Ui, knife_view: &KnifeView, hole: &Hole, p: &Palette) {
    disc(ui, knife_view, hole, hole.diameter_mm, dark(p));
}

fn dark(p: &Palette) -> [Color32; 2] {
    [p.bench.lerp_to_gamma(p.ink, 0.75), p.bench.lerp_to_gamma(p.ink, 0.55)]
}

fn disc(ui: &Ui, knife_view: &KnifeView, hole: &Hole, diameter_mm: f64, [high, low]: [Color32; 2]) {
    let circle = Circle::new(knife_view.plane_from_knife * hole.at, diameter_mm / 2.0);
    let path = circle.to_path(1e-2);
    ui.painter().extend(paint::filled(&knife_view.view, &path, high, low));
    let colour = low.lerp_to_gamma(Color32::BLACK, 0.5);
    let rim = Ink::solid(colour, 1.2);
    paint::path_line(ui.painter(), &knife_view.view, &path, &rim);
}

/// The picture as the window's driver has it; handed over anew when it is another.
fn texture_id(ui: &Ui, shaded: &Shaded, texture: &mut Option<Texture>) -> TextureId {
    let (made, handle) = texture.get_or_insert_with(|| {
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
pub(crate) fn ink(context: &ViewContext<'_>, item: &Item) -> Option<Ink> {
    let p = context.palette;
    let (colour, width) = match item.pen {
        Pen::Bar => (p.hair, 1.0),
        Pen::Cut => (p.ink, 1.2),
        Pen::Bevel => (p.ink.gamma_multiply(0.55), 0.8),
        Pen::Hole | Pen::Centre => (p.ink.gamma_multiply(0.3), 0.8),
        Pen::Scale => return None,
        _ => (p.ink.gamma_multiply(0.5), 0.8),
    };
    Some(Ink::solid(colour, width))
}

/// Paints the knife as bare metal between its scales, a scale or a pin in the colour that `handle`
/// gives it.
pub(crate) fn cut_faces(
    painter: &Painter,
    view: &View,
    drawing: &Drawing,
    p: &Palette,
    handle: impl Fn(&Item) -> Color32,
) {
    for item in &drawing.items {
        let Mark::Path(path) = &item.mark else { continue };
        let fill = match item.pen {
            Pen::Scale | Pen::Hole => handle(item),
            Pen::Cut => p.metal,
            _ => continue,
        };
        painter.extend(paint::filled(view, path, fill, fill.lerp_to_gamma(p.ink, 0.12)));
    }
    paint::drawing(painter, view, drawing, |item| {
        let (colour, width) = match item.pen {
            Pen::Cut => (p.text, 1.2),
            Pen::Centre => (p.weak, 1.0),
            Pen::Scale | Pen::Hole => (p.hair, 1.0),
            _ => (p.ink, 1.0),
        };
        let dashes = if item.pen == Pen::Centre { vec![14.0, 4.0, 2.0, 4.0] } else { Vec::new() };
        Some(Ink { colour, width, dashes })
    });
}
