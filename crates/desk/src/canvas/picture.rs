//! The picture under the blank: painted at true size, moved and turned while it is unlocked, and
//! its edges, to which drawn points and nodes snap.

use super::handles::DragHandle;
use super::snap::{SnapHit, SnapTarget, Snapped};
use crate::context::{CanvasContext, KnifeView};
use crate::state::PictureState;
use egui::{Color32, ColorImage, Mesh, Shape, Stroke, TextureFilter, TextureOptions, Ui, pos2};
use knife::{Edit, PartId, Picture};
use kurbo::{Affine, Point, Vec2};

/// The longest side of the picture as the graphics driver gets it, px: at most 64 MB there.
const LONGEST_PX: usize = 4096;

/// How bright its white is, so that bright lines stand out on it.
const BRIGHTEST: u8 = 200;
/// Where the handle stands that turns it, half diagonals right of its middle.
const BESIDE: Point = Point::new(0.4, 0.0);

/// Makes ready what is to be seen of the picture; before anything is shown.
pub(crate) fn prepare(ui: &Ui, state: &mut PictureState, wanted: Option<&Picture>, dragging: bool) {
    state.prepare(wanted, dragging);
    if state.texture.is_none()
        && state.visible
        && let Some(seen) = state.picture().and_then(|picture| picture.seen.as_ref())
    {
        let longest = ui.ctx().input(|input| input.max_texture_side).min(LONGEST_PX);
        let small = seen.reduced_to(longest);
        let image = ColorImage::from_rgb(small.size(), small.rgb());
        let options =
            TextureOptions { mipmap_mode: Some(TextureFilter::Linear), ..TextureOptions::LINEAR };
        state.texture = Some(ui.ctx().load_texture("picture under the blank", image, options));
    }
}

/// Paints the picture as it lies.
pub(crate) fn paint(ui: &Ui, knife_view: &KnifeView, state: &PictureState) {
    let (Some(texture), Some(corners)) = (&state.texture, state.mesh()) else { return };
    let mut mesh = Mesh::with_texture(texture.id());
    let colour = Color32::from_gray(BRIGHTEST).gamma_multiply(state.opacity);
    for (at, (u, v)) in corners {
        #[expect(clippy::cast_possible_truncation, reason = "a place on a picture")]
        let uv = pos2(u as f32, v as f32);
        let pos = knife_view.ui_from_knife(at);
        mesh.vertices.push(egui::epaint::Vertex { pos, uv, color: colour });
    }
    let row = u32::try_from(PictureState::cells()).unwrap_or(0);
    for cell in 0..row * row {
        let first = cell / row * (row + 1) + cell % row;
        let below = first + row + 1;
        mesh.add_triangle(first, first + 1, below);
        mesh.add_triangle(first + 1, below + 1, below);
    }
    ui.painter().add(Shape::mesh(mesh));
}

/// The handles of an unlocked picture: its middle moves it, the one beside it turns it.
pub(crate) fn handles(cx: &mut CanvasContext<'_>) {
    let Some(picture) = &cx.context.knife.picture else { return };
    if cx.picture.locked || !cx.picture.visible {
        return;
    }
    let placement = picture.placement;
    let (middle, beside) = (placement.place(Point::ORIGIN), placement.place(BESIDE));
    let ends = [middle, beside].map(|at| cx.knife_view.ui_from_knife(at));
    let line = Stroke::new(1.5, cx.context.palette.grip_chosen);
    cx.ui.painter().extend(Shape::dashed_line(&ends, line, 4.0, 3.0));
    let moved = |from: Point, by: Vec2| {
        let by = Affine::translate(from + by - middle);
        Edit::PlacePicture(placement.transformed(by))
    };
    let handle = DragHandle::new("Move picture", middle);
    let context = cx.context;
    cx.drag_handle(&handle, moved, || format!("Picture\n{}", context.point(middle)));
    let turned = |from: Point, by: Vec2| {
        let angle = (from + by - middle).angle() - (beside - middle).angle();
        Edit::PlacePicture(placement.transformed(Affine::rotate_about(angle, middle)))
    };
    cx.drag_handle(&DragHandle::new("Turn picture", beside), turned, || "Turn picture".to_owned());
}

impl CanvasContext<'_> {
    /// The same place, or where it is near the picture's edge, the place on that: for nodes and
    /// drawn points. What snapped to a node, a hole or a point stays there.
    pub(super) fn on_picture_edge(
        &self,
        snapped: Snapped,
        wanted: Point,
        reach_mm: f64,
    ) -> Snapped {
        let whole = |hit: &SnapHit| {
            matches!(hit.target, SnapTarget::Node(_) | SnapTarget::Hole(..) | SnapTarget::Drawn(_))
        };
        let on_point = |(x, y): (SnapHit, SnapHit)| x.target == y.target && whole(&x);
        if snapped.x.zip(snapped.y).is_some_and(on_point) {
            return snapped;
        }
        let in_knife = self.knife_view.knife_from_plane(wanted);
        let Some(edge) = self.picture.nearest_edge(in_knife, reach_mm) else { return snapped };
        let at = self.knife_view.plane_from_knife * edge;
        let hit = Some(SnapHit { target: SnapTarget::PictureEdge, from: at });
        Snapped { at, x: hit, y: hit }
    }
}

/// Whether only nodes are moved: holes and lines do not belong on an edge.
pub(super) fn moves_nodes(moving: &[PartId]) -> bool {
    !moving.is_empty() && moving.iter().all(|part| matches!(part, PartId::Node(_)))
}
