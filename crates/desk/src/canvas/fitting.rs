//! What the canvas looks at by itself: all that a station works on, what is selected, and how it
//! holds still when the window around it changes.

use crate::context::ViewContext;
use crate::state::{Camera, PictureState, Plane, Selection, Station, View};
use egui::Rect;
use knife::PartId;

/// The camera under which everything stays where it is on the screen, when only the foot of the
/// canvas has moved: findings that come and go must not push the blank from under the pointer.
pub(crate) fn hold_still(camera: Camera, before: Option<Rect>, now: Rect) -> Camera {
    let same = |before: &Rect| before.min == now.min && before.max.x == now.max.x;
    let Some(before) = before.filter(same) else { return camera };
    let view = View { rect: now, camera };
    let by = view.mm_from_ui_vec(now.center() - before.center());
    Camera { centre: camera.centre + by, ..camera }
}

/// The camera that shows all of `bounds`, clear of the panel in the upper corner.
pub(crate) fn fitted(bounds: kurbo::Rect, rect: Rect, panel: Option<Rect>) -> Camera {
    let camera = Camera::fitting(bounds, rect);
    let Some(panel) = panel else { return camera };
    let view = View { rect, camera };
    let shown = view.ui_rect(bounds);
    if !shown.intersects(panel) {
        return camera;
    }
    // As little lower as it must be; or as near as there is room below the panel.
    let by = panel.max.y - shown.min.y;
    if shown.max.y + by <= rect.max.y {
        return view.panned(egui::vec2(0.0, by));
    }
    let room = rect.with_min_y(panel.max.y);
    let view = View { rect, camera: Camera::fitting(bounds, room) };
    view.panned(room.center() - rect.center())
}

/// What Fit shows at this station, in the plane of the canvas.
pub(crate) fn fit_box(context: &ViewContext<'_>, picture: &PictureState) -> kurbo::Rect {
    let (knife, plane) = (context.knife, context.derived.plane());
    let whole = kurbo::Rect::new(0.0, 0.0, knife.bar.length_mm, knife.bar.width_mm);
    let whole = plane.plane_from_bar(knife).transform_rect_bbox(whole);
    let Some(outline) = &context.reckoning().outline else {
        // A picture is there to be drawn over.
        let picture = picture.bounds().filter(|_| plane == Plane::Knife && picture.visible);
        return picture.unwrap_or(whole);
    };
    let blank = outline.transformed(plane.plane_from_knife(knife)).bounds();
    match context.station {
        Station::Bar | Station::Paper => whole.union(blank),
        Station::Sheath => {
            let around = context.derived.sheath.bounds();
            blank.union(around.unwrap_or(blank)).inflate(6.0, 6.0)
        }
        _ => blank.inflate(6.0, 6.0),
    }
}

/// What is selected, with some room around it, in the plane of the canvas.
pub(crate) fn selected_box(
    context: &ViewContext<'_>,
    selection: &Selection,
) -> Option<kurbo::Rect> {
    let plane_from_knife = context.derived.plane().plane_from_knife(context.knife);
    let profile = &context.knife.profile;
    let outline = context.reckoning().outline.as_ref();
    let of_part = |part: PartId| match part {
        PartId::Node(id) => {
            let at = plane_from_knife * profile.node(id)?.at;
            Some(kurbo::Rect::from_center_size(at, (AROUND_MM, AROUND_MM)))
        }
        PartId::Stretch(id) => {
            let seg = outline?.segs().get(profile.index_of(id)?)?;
            let seg = plane_from_knife * *seg;
            Some(kurbo::ParamCurveExtrema::bounding_box(&seg))
        }
        part => {
            let items = context.derived.drawing.items.iter();
            let own = items.filter(|item| drawing::part_of(item) == Some(part));
            own.map(|item| item.mark.bounds()).reduce(|a, b| a.union(b))
        }
    };
    let boxes = selection.parts.iter().filter_map(|part| of_part(*part));
    boxes.reduce(|a, b| a.union(b)).map(|all| all.inflate(AROUND_MM / 2.0, AROUND_MM / 2.0))
}

/// The room around a node that is looked at alone, mm.
const AROUND_MM: f64 = 8.0;

#[cfg(test)]
mod tests {
    use super::super::section;
    use super::*;
    use egui::pos2;
    use kurbo::Point;

    #[test]
    fn what_is_fitted_is_clear_of_the_panel() {
        let blank = kurbo::Rect::new(0.0, 0.0, 220.0, 36.0);
        for height in [500.0, 400.0, 320.0] {
            let rect = Rect::from_min_size(pos2(24.0, 108.0), egui::vec2(940.0, height));
            let panel = section::place(rect).unwrap();
            let view = View { rect, camera: fitted(blank, rect, Some(panel)) };
            let shown = view.ui_rect(kurbo::Rect::new(0.0, 0.0, 220.0, 36.0));
            assert!(!shown.shrink(0.1).intersects(panel), "{height}: {shown:?} {panel:?}");
            assert!(rect.contains_rect(shown));
        }
        let rect = Rect::from_min_size(pos2(0.0, 0.0), egui::vec2(940.0, 545.0));
        assert_eq!(fitted(blank, rect, section::place(rect)), Camera::fitting(blank, rect));
    }

    #[test]
    fn nothing_moves_when_only_the_foot_of_the_canvas_does() {
        let rect = Rect::from_min_max(pos2(24.0, 100.0), pos2(960.0, 650.0));
        let lower = rect.with_max_y(560.0);
        let camera = Camera { centre: Point::new(90.0, 12.0), points_per_mm: 4.0 };
        let after = hold_still(camera, Some(rect), lower);
        let p = Point::new(40.0, 5.0);
        let at = |rect, camera| View { rect, camera }.ui_from_mm(p);
        assert!(at(rect, camera).distance(at(lower, after)) < 1e-3);
        // A window of another width stays looking at the same middle.
        let wider = rect.with_max_x(1200.0);
        assert_eq!(hold_still(camera, Some(rect), wider), camera);
        assert_eq!(hold_still(camera, None, rect), camera);
    }
}
