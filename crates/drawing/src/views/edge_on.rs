//! The knife seen on its edge: stock, bevels, plunge and scales, aligned with the blank in x.

use crate::{Drawing, Mark, Pen};
use knife::{Knife, PartId};
use kurbo::{
    Affine, BezPath, Line, ParamCurve, ParamCurveNearest, PathEl, PathSeg, Point, Rect, Shape,
};
use reckon::Reckoning;

/// The centre line goes past the blank by so much, mm (common drawing practice).
const PAST_MM: f64 = 3.0;
/// Places between the tip and where the spine has its full thickness.
const TIP_STEPS: u32 = 8;
/// Accuracy asked of the nearest place, by the parameter of its curve.
const DISTANCE: f64 = 1e-6;

/// The knife seen from its edge. x is the bar's x, so that the view lies under
/// [`super::blank_on_bar`] in line with it; y is the distance from the centre plane.
///
/// Ahead of the plunge the edge shows as two lines, as far apart as the edge is thick. Where
/// the blade near the tip is lower than the bevel, the bevel runs out on the spine before it
/// reaches the full thickness: with T and E the half thickness of stock and edge, h the grind
/// height and d the spine's distance from the edge, the half thickness there is
/// E + (T − E)·d/h (flat bevel). Empty when there is no outline.
pub fn edge_on(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let Some(outline) = &reckoning.outline else { return drawing };
    let bar_from_knife = knife.bar.placement.bar_from_knife();
    let blank = outline.transformed(bar_from_knife).bounds();
    let half_mm = knife.bar.thickness_mm / 2.0;
    if let (Some(stated), Some(scales)) = (knife.scales, &reckoning.scales) {
        let on_bar = scales.outline.transformed(bar_from_knife).bounds();
        for (low, high) in
            [(half_mm, half_mm + stated.thickness_mm), (-half_mm - stated.thickness_mm, -half_mm)]
        {
            let rect = Rect::new(on_bar.x0, low, on_bar.x1, high);
            drawing.add_part(Pen::Scale, Mark::Path(rect.to_path(0.0)), PartId::Scales);
        }
    }
    let blade = Blade::of(knife, reckoning, bar_from_knife);
    if let Some(blade) = &blade {
        bevels(&mut drawing, blade, half_mm);
    }
    let centre = Line::new((blank.x0 - PAST_MM, 0.0), (blank.x1 + PAST_MM, 0.0));
    drawing.add_part(Pen::Centre, centre.into(), PartId::Bar);
    let side = silhouette(blank, half_mm, blade.as_ref());
    drawing.add_part(Pen::Cut, Mark::Path(side), PartId::Profile);
    drawing
}

/// What the bevels look like on edge, in the view's plane.
struct Blade {
    /// x of the plunge line.
    plunge_x: f64,
    /// x of the tip.
    tip_x: f64,
    /// Half the edge's thickness, mm.
    edge_half_mm: f64,
    /// Half the spine's thickness from the tip on until it is full: x and thickness.
    tip: Vec<(f64, f64)>,
}

impl Blade {
    fn of(knife: &Knife, reckoning: &Reckoning, bar_from_knife: Affine) -> Option<Self> {
        let stated = knife.bevel?;
        let profile = reckoning.profile.as_ref()?;
        let plunge = reckoning.bevel.as_ref()?.plunge?;
        let edge = profile.edge.as_ref()?;
        let tip = edge.segs.first().map(PathSeg::start)?;
        let tip = (bar_from_knife * tip).x;
        let plunge_x = (bar_from_knife * plunge.p0).x;
        let half_mm = knife.bar.thickness_mm / 2.0;
        let edge_half_mm = (stated.edge_thickness_mm / 2.0).min(half_mm);
        let mut blade = Self { plunge_x, tip_x: tip, edge_half_mm, tip: Vec::new() };
        let Some(full_x) = full_from(reckoning, bar_from_knife, tip) else { return Some(blade) };
        let knife_from_bar = bar_from_knife.inverse();
        for i in 0..=TIP_STEPS {
            let x = tip + (full_x - tip) * f64::from(i) / f64::from(TIP_STEPS);
            let high = spine_height(reckoning, &edge.segs, knife_from_bar, x);
            let deep = (high / stated.grind_height_mm).min(1.0);
            blade.tip.push((x, edge_half_mm + (half_mm - edge_half_mm) * deep));
        }
        if let Some(last) = blade.tip.last_mut() {
            last.1 = half_mm;
        }
        Some(blade)
    }
}

/// x where the grind line's end towards the tip lies: from there on the spine is full.
fn full_from(reckoning: &Reckoning, bar_from_knife: Affine, tip_x: f64) -> Option<f64> {
    let bevel = reckoning.bevel.as_ref()?;
    let ends = bevel.grind.iter().flat_map(|piece| piece.elements()).filter_map(PathEl::end_point);
    ends.map(|p| (bar_from_knife * p).x)
        .min_by(|a, b| (a - tip_x).abs().total_cmp(&(b - tip_x).abs()))
}

/// The largest distance from the edge of the outline across the bar at x, mm.
fn spine_height(reckoning: &Reckoning, edge: &[PathSeg], knife_from_bar: Affine, x: f64) -> f64 {
    let Some(outline) = &reckoning.outline else { return 0.0 };
    let across =
        Line::new(knife_from_bar * Point::new(x, 0.0), knife_from_bar * Point::new(x, 1.0));
    let distance = |p: Point| {
        let square = |seg: &PathSeg| seg.nearest(p, DISTANCE).distance_sq;
        edge.iter().map(square).fold(f64::INFINITY, f64::min).sqrt()
    };
    outline.crossings_with(across).iter().map(|c| distance(c.at)).fold(0.0, f64::max)
}

fn bevels(drawing: &mut Drawing, blade: &Blade, half_mm: f64) {
    for side in [1.0, -1.0] {
        let edge = side * blade.edge_half_mm;
        let line = Line::new((blade.tip_x, edge), (blade.plunge_x, edge));
        drawing.add_part(Pen::Bevel, line.into(), PartId::GrindLine);
        let wall = Line::new((blade.plunge_x, edge), (blade.plunge_x, side * half_mm));
        drawing.add_part(Pen::Bevel, wall.into(), PartId::Plunge);
    }
}

/// The blank's own outline on edge: the stock, thinner where the bevel runs out on the spine.
fn silhouette(blank: Rect, half_mm: f64, blade: Option<&Blade>) -> BezPath {
    let mut upper = vec![Point::new(blank.x0, half_mm), Point::new(blank.x1, half_mm)];
    if let Some(blade) = blade.filter(|blade| !blade.tip.is_empty()) {
        let mut tip: Vec<Point> = blade.tip.iter().map(|(x, z)| Point::new(*x, *z)).collect();
        if blade.tip_x <= blank.center().x {
            tip.push(upper[1]);
            upper = tip;
        } else {
            tip.push(upper[0]);
            tip.reverse();
            upper = tip;
        }
    }
    let mut path = BezPath::new();
    for (i, p) in upper.iter().enumerate() {
        if i == 0 { path.move_to(*p) } else { path.line_to(*p) }
    }
    for p in upper.iter().rev() {
        path.line_to((p.x, -p.y));
    }
    path.close_path();
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Edit, starter};
    use reckon::{Shop, reckon, tables::Tables};

    fn seen(knife: &Knife) -> Drawing {
        edge_on(knife, &reckon(knife, &Shop::default(), Tables::built_in()))
    }

    fn boxes(drawing: &Drawing, pen: Pen) -> Vec<Rect> {
        let of_pen = drawing.items.iter().filter(|item| item.pen == pen);
        of_pen.map(|item| Drawing { items: vec![item.clone()] }.bounds().unwrap()).collect()
    }

    #[test]
    fn it_is_aligned_with_the_blank_and_as_thick_as_the_stock() {
        for (turn_deg, mirrored) in [(0.0, false), (8.0, false), (-4.0, true)] {
            let mut knife = starter("drop-point").unwrap().knife();
            if mirrored {
                knife = Edit::MirrorAlong.apply(&knife).unwrap();
            }
            knife.bar.placement.turn_deg = turn_deg;
            let view = seen(&knife);
            let placed = knife.profile.outline().unwrap();
            let placed = placed.transformed(knife.bar.placement.bar_from_knife()).bounds();
            let cut = boxes(&view, Pen::Cut)[0];
            assert!((cut.x0 - placed.x0).abs() < 0.2 && (cut.x1 - placed.x1).abs() < 0.2);
            assert!((cut.y1 - 3.175 / 2.0).abs() < 1e-9 && (cut.y0 + 3.175 / 2.0).abs() < 1e-9);
            let scales = boxes(&view, Pen::Scale);
            let thick = knife.scales.unwrap().thickness_mm;
            assert_eq!(scales.len(), 2);
            assert!(scales.iter().all(|scale| (scale.height() - thick).abs() < 1e-9));
            assert!((scales[0].y0 - 3.175 / 2.0).abs() < 1e-9, "on the stock's face");
        }
    }

    #[test]
    fn the_edge_is_as_thick_as_stated_up_to_the_plunge() {
        let knife = starter("drop-point").unwrap().knife();
        let stated = knife.bevel.unwrap();
        let view = seen(&knife);
        let lines = boxes(&view, Pen::Bevel);
        let edges: Vec<&Rect> = lines.iter().filter(|line| line.height() < 1e-9).collect();
        assert_eq!(edges.len(), 2);
        assert!(((edges[0].y0 - edges[1].y0).abs() - stated.edge_thickness_mm).abs() < 1e-9);
        let plunge = knife.bar.placement.at.x + stated.plunge_x_mm;
        assert!(edges.iter().all(|edge| (edge.x1 - plunge).abs() < 1e-9));
        // At the very tip only the edge's thickness is left.
        let Mark::Path(path) = &view.items.last().unwrap().mark else { panic!("no path") };
        let tip = path.elements()[0].end_point().unwrap();
        assert!((tip.y - stated.edge_thickness_mm / 2.0).abs() < 0.02, "{tip:?}");
    }

    #[test]
    fn without_bevels_scales_or_outline_it_shows_what_there_is() {
        let mut knife = starter("drop-point").unwrap().knife();
        knife.bevel = None;
        knife.scales = None;
        assert_eq!(seen(&knife).items.len(), 2, "stock and centre line");
        assert!(seen(&Knife::empty()).items.is_empty());
        for starter in knife::STARTERS {
            let view = seen(&starter.knife());
            let finite = view.bounds().is_some_and(|b| b.is_finite() && b.width() > 50.0);
            assert!(finite, "{}", starter.key);
        }
    }
}
