//! How stiff each section of the knife is against bending flat-wise, plotted along the blank.

use crate::context::{KnifeView, ViewContext};
use crate::theme::figures;
use crate::widgets::bare_plot;
use egui::{Align2, Rect, Role, Stroke, Ui, UiBuilder, WidgetInfo, pos2};
use egui_plot::{HLine, Line, LineStyle, PlotBounds, PlotPoint, PlotPoints, VLine};
use kurbo::Point;
use reckon::solid::Slice;
use units::LengthUnit;

/// How high the plot is when the canvas has this height, points; nothing on a low one.
pub(crate) fn height(canvas: f32) -> f32 {
    if canvas < 360.0 { 0.0 } else { (canvas * 0.22).clamp(84.0, 130.0) }
}

/// What the plot spans, as powers of ten of mm⁴: always the same, so that two knives are told
/// apart at a glance.
const SPAN: [f64; 2] = [-0.5, 3.4];

/// A size with its name.
type Size = (f64, &'static str);

/// Flat bars to hold the knife against: breadth and thicknesses, mm.
fn bars(unit: LengthUnit) -> (Size, [Size; 3]) {
    match unit {
        LengthUnit::Inch => (
            (25.4, "1 in"),
            [(25.4 / 16.0, "1/16 in"), (25.4 / 8.0, "1/8 in"), (25.4 / 4.0, "1/4 in")],
        ),
        LengthUnit::Millimetre => {
            ((25.0, "25 mm"), [(1.5, "1.5 mm"), (3.0, "3 mm"), (6.0, "6 mm")])
        }
    }
}

/// Second moment of a flat bar of this breadth and thickness, bent flat-wise, mm⁴: b t³/12
/// (Machinery's Handbook, "Moments of inertia of sections").
fn of_bar(breadth_mm: f64, thick_mm: f64) -> f64 {
    breadth_mm * thick_mm.powi(3) / 12.0
}

/// The plot, in line with the canvas above it.
pub(crate) fn show(ui: &mut Ui, rect: Rect, knife_view: &KnifeView, context: &ViewContext<'_>) {
    if rect.height() < 40.0 {
        return;
    }
    let p = context.palette;
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 0.0, p.rule);
    painter.hline(rect.x_range(), rect.min.y, Stroke::new(1.0, p.hair));
    let Some(slices) = &context.reckoning().slices else { return };
    let inner = Rect::from_x_y_ranges(knife_view.view.rect.x_range(), rect.y_range())
        .shrink2(egui::vec2(0.0, 3.0));
    let seen = knife_view.view.seen();
    let middle = context.reckoning().outline.as_ref().map_or(0.0, |o| o.bounds().center().y);
    let on_plane = |x_mm: f64| (knife_view.plane_from_knife * Point::new(x_mm, middle)).x;
    let points: Vec<[f64; 2]> =
        slices.slices.iter().map(|c| [on_plane(c.x_mm), power(c.flatwise_mm4)]).collect();
    let ((breadth_mm, _), sizes) = bars(context.unit());
    let at = context.derived.section_mm();
    let marked = at.and_then(|x_mm| stiffness_at(&slices.slices, x_mm).map(|mm4| (x_mm, mm4)));
    let mut inside = ui.new_child(UiBuilder::new().max_rect(inner).id_salt("stiffness"));
    inside.set_clip_rect(inner.intersect(ui.clip_rect()));
    let plot = bare_plot("stiffness").show_axes(false).show_grid(false).show_background(false);
    let shown = plot.show(&mut inside, |plot| {
        plot.set_plot_bounds(PlotBounds::from_min_max([seen.x0, SPAN[0]], [seen.x1, SPAN[1]]));
        for (thick_mm, _) in sizes {
            let y = power(of_bar(breadth_mm, thick_mm));
            let line = HLine::new("", y).color(p.hair).width(1.0);
            plot.hline(line.style(LineStyle::dashed_dense()).allow_hover(false));
        }
        #[expect(clippy::cast_possible_truncation, reason = "the plot's foot")]
        let foot = SPAN[0] as f32;
        let line = Line::new("stiffness", PlotPoints::from(points));
        plot.line(line.color(p.accent).width(1.8).fill(foot).fill_alpha(0.16).allow_hover(false));
        if let Some((x_mm, _)) = marked {
            plot.vline(
                VLine::new("", on_plane(x_mm)).color(p.accent).width(1.2).allow_hover(false),
            );
        }
    });
    let label = sentence(&slices.slices, context);
    shown.response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
    let y = |mm4: f64| shown.transform.position_from_point(&PlotPoint::new(0.0, power(mm4))).y;
    for (thick_mm, name) in sizes {
        let label = format!("flat bar {name}");
        let at = pos2(inner.max.x - 8.0, y(of_bar(breadth_mm, thick_mm)) - 1.0);
        painter.text(at, Align2::RIGHT_BOTTOM, label, figures(12.0), p.weak);
    }
    let (_, breadth) = bars(context.unit()).0;
    let label = format!("stiffness flatwise, against flat bars {breadth} wide");
    let at = inner.min + egui::vec2(10.0, 3.0);
    painter.text(at, Align2::LEFT_TOP, label, figures(12.5), p.weak);
    if let Some((x_mm, mm4)) = marked {
        let x = shown.transform.position_from_point(&PlotPoint::new(on_plane(x_mm), 0.0)).x;
        let at = pos2(x + 6.0, inner.max.y - 3.0);
        painter.text(at, Align2::LEFT_BOTTOM, show_mm4(mm4), figures(13.0), p.accent);
    }
}

fn power(mm4: f64) -> f64 {
    mm4.max(1e-6).log10().max(SPAN[0] - 1.0)
}

/// The second moment at a place along the knife, from the slices beside it.
fn stiffness_at(slices: &[Slice], x_mm: f64) -> Option<f64> {
    let after = slices.partition_point(|slice| slice.x_mm < x_mm);
    let (before, after) = (slices.get(after.checked_sub(1)?)?, slices.get(after)?);
    let share = (x_mm - before.x_mm) / (after.x_mm - before.x_mm);
    Some(before.flatwise_mm4 + (after.flatwise_mm4 - before.flatwise_mm4) * share)
}

fn show_mm4(mm4: f64) -> String {
    format!("{} mm⁴", units::show_number(mm4, if mm4 < 10.0 { 1 } else { 0 }))
}

/// The plot in one sentence, for those who hear it.
fn sentence(slices: &[Slice], context: &ViewContext<'_>) -> String {
    let Some(profile) = &context.reckoning().profile else { return "No stiffness yet".into() };
    let bounds = profile.bounds;
    let tip = if profile.towards_butt > 0.0 { bounds.x0 } else { bounds.x1 };
    let end = context.knife.bevel.map_or(bounds.center().x, |bevel| bevel.plunge_x_mm);
    let at = |share: f64| {
        stiffness_at(slices, tip + (end - tip) * share).map_or_else(|| "nothing".into(), show_mm4)
    };
    let ((breadth_mm, breadth), sizes) = bars(context.unit());
    let of = |(thick_mm, name): &Size| {
        format!("{name} thick {}", show_mm4(of_bar(breadth_mm, *thick_mm)))
    };
    let bars: Vec<String> = sizes.iter().map(of).collect();
    format!(
        "Stiffness along the knife: {} a quarter of the way from tip to plunge, {} half way, {} \
         just ahead of the plunge. Flat bars {} wide have: {}.",
        at(0.25),
        at(0.5),
        at(0.98),
        breadth,
        bars.join(", "),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    // By the handbook's b t³/12, by hand: 1 in by 1/8 in is 25.4 × 32.00573 / 12.
    #[test]
    fn a_flat_bar_is_as_stiff_as_the_handbook_says() {
        assert!((of_bar(25.4, 3.175) - 67.746).abs() < 1e-3);
        assert_eq!((show_mm4(8.4671), show_mm4(67.746)), ("8.5 mm⁴".into(), "68 mm⁴".into()));
    }

    #[test]
    fn between_slices_it_is_what_lies_between() {
        let slice = |x_mm, flatwise_mm4| Slice {
            x_mm,
            width_mm: 1.0,
            area_mm2: 0.0,
            area_y_mm3: 0.0,
            flatwise_mm4,
            removed_mm2: 0.0,
            removed_y_mm3: 0.0,
        };
        let slices = [slice(0.0, 10.0), slice(4.0, 30.0)];
        assert_eq!(stiffness_at(&slices, 1.0), Some(15.0));
        assert_eq!((stiffness_at(&slices, -1.0), stiffness_at(&slices, 5.0)), (None, None));
    }
}
