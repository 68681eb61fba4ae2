//! The temper chart: hardness against tempering heat, with what is chosen.

use crate::context::ViewContext;
use crate::theme::{Palette, figures};
use crate::widgets::bare_plot;
use egui::{Color32, Role, Stroke, Ui, WidgetInfo};
use egui_plot::{
    Axis, AxisHints, FilledArea, GridMark, Line, LineStyle, Plot, PlotBounds, PlotPoints, Points,
    Span, VLine, VPlacement,
};
use reckon::card::hardness_band;
use reckon::heat::{SteelHeat, TemperCurve, oven_setting};
use units::{Temperature, show_number, show_temperature};

/// How high the chart is, points.
const HIGH: f32 = 250.0;
/// ScallopSpacing in which the band is drawn, °C.
const STEP_C: f64 = 5.0;
/// Room left and right of the tables' heats, °C, and above and below their hardness, HRC.
const AROUND: (f64, f64) = (12.0, 1.0);

/// A run of heats that tables cover: heats in °C, least and greatest hardness in HRC.
type Run = (Vec<f64>, Vec<f64>, Vec<f64>);

/// The chart, or a sentence where there is nothing to draw.
pub(super) fn show(ui: &mut Ui, context: &ViewContext<'_>) {
    let p = context.palette;
    let heat = &context.reckoning().heat;
    let steel = heat.steel.as_ref();
    let Some((steel, (heats, hrc))) = steel.zip(heat.chart) else {
        let text = format!("No tempering points for {}: no chart.", context.knife.bar.grade.trim());
        ui.label(egui::RichText::new(text).color(p.weak));
        return;
    };
    let across = (heats.0 - AROUND.0, heats.1 + AROUND.0);
    let up = (hrc.0 - AROUND.1, hrc.1 + AROUND.1);
    let chosen = heat.temper.as_ref().and_then(|temper| temper.as_ref().ok());
    let many = across.1 - across.0 > 300.0;
    let shown = plot(p, many).show(ui, |plot| {
        plot.set_plot_bounds(PlotBounds::from_min_max([across.0, up.0], [across.1, up.1]));
        for (from, to) in keep_out(steel) {
            let span = Span::new("", from..=to).axis(Axis::X);
            plot.span(span.fill(faint(p.stop, 0.16)).border_width(0.0));
        }
        for run in runs(&steel.curve) {
            let area = FilledArea::new("", &run.0, &run.1, &run.2).allow_hover(false);
            plot.add(area.fill_color(faint(p.accent, 0.28)).stroke(Stroke::new(1.4, p.accent)));
        }
        if let Some((_, curve)) = &steel.compare {
            for run in runs(curve) {
                for values in [&run.1, &run.2] {
                    let points: Vec<[f64; 2]> =
                        run.0.iter().zip(values).map(|(x, y)| [*x, *y]).collect();
                    let line = Line::new("", PlotPoints::from(points)).allow_hover(false);
                    plot.line(line.color(p.weak).width(1.0).style(LineStyle::dashed_dense()));
                }
            }
        }
        for series in &steel.curve.series {
            let both = series.points.iter().flat_map(|at| [[at.0, at.1], [at.0, at.2]]);
            let points = Points::new("", PlotPoints::from_iter(both)).allow_hover(false);
            plot.points(points.color(p.accent).radius(2.5));
        }
        if let Some(temper) = chosen {
            let (cool, hot) = temper.heats_c;
            let span = Span::new("", cool..=hot).axis(Axis::X).fill(faint(p.note, 0.18));
            plot.span(span.border_width(0.0));
            for at in [cool, hot] {
                plot.vline(VLine::new("", at).color(p.note).width(1.6).allow_hover(false));
            }
            let ends = [[cool, temper.hrc.0], [cool, temper.hrc.1]];
            let line = Line::new("", PlotPoints::from(ends.to_vec())).allow_hover(false);
            plot.line(line.color(p.note).width(5.0));
        }
    });
    let text = sentence(steel, context);
    shown.response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &text));
    ui.label(egui::RichText::new(legend(steel, chosen.is_some())).small().color(p.weak));
}

/// The empty chart: °C below, °F above, HRC at the side.
fn plot<'a>(p: &Palette, many: bool) -> Plot<'a> {
    let font = || figures(12.5);
    let (by_c, by_f) = if many { (100.0, 200.0) } else { (50.0, 100.0) };
    let celsius = AxisHints::new_x().label("°C").formatter(move |mark: GridMark, _: &_| {
        round(mark.value, by_c).map_or_else(String::new, |value| show_number(value, 0))
    });
    let fahrenheit = AxisHints::new_x().label("°F").placement(VPlacement::Top);
    let fahrenheit = fahrenheit.formatter(move |mark: GridMark, _: &_| {
        let value = Temperature::celsius(mark.value).to_fahrenheit();
        round(value, by_f).map_or_else(String::new, |value| show_number(value, 0))
    });
    let hrc = AxisHints::new_y().label("HRC").formatter(|mark: GridMark, _: &_| {
        round(mark.value, 1.0).map_or_else(String::new, |value| show_number(value, 0))
    });
    let hints = |hints: AxisHints<'a>| {
        // Marks of the other scale lie between, so nearness says nothing of what has room.
        let hints = hints.label_spacing(egui::Rangef::new(2.0, 4.0));
        hints.tick_label_font(font()).tick_label_color(p.text)
    };
    bare_plot("temper chart")
        .height(HIGH)
        .custom_x_axes(vec![hints(celsius), hints(fahrenheit)])
        .custom_y_axes(vec![hrc.tick_label_font(font()).tick_label_color(p.text)])
        .x_grid_spacer(move |input| {
            let f = |celsius: f64| Temperature::celsius(celsius).to_fahrenheit();
            let c = |fahrenheit: f64| Temperature::fahrenheit(fahrenheit).to_celsius();
            let own = marks(input.bounds, by_c).into_iter();
            let other = marks((f(input.bounds.0), f(input.bounds.1)), by_f).into_iter().map(c);
            own.chain(other).map(|value| GridMark { value, step_size: by_c }).collect()
        })
        .y_grid_spacer(move |input| {
            let by = if input.bounds.1 - input.bounds.0 > 16.0 { 5.0 } else { 2.0 };
            let mark = |value| GridMark { value, step_size: by };
            marks(input.bounds, by).into_iter().map(mark).collect()
        })
        .show_grid([false, true])
}

/// Whole steps within a range.
fn marks(range: (f64, f64), by: f64) -> Vec<f64> {
    let first = (range.0 / by).ceil();
    (0..100_u32).map(|i| (first + f64::from(i)) * by).take_while(|at| *at <= range.1).collect()
}

/// The value, if it is a whole step.
fn round(value: f64, by: f64) -> Option<f64> {
    let step = (value / by).round() * by;
    ((value - step).abs() < 1e-6).then_some(step)
}

fn faint(colour: Color32, share: f32) -> Color32 {
    colour.gamma_multiply(share)
}

/// The tables' band, in as many runs as heats they cover without a gap.
fn runs(curve: &TemperCurve) -> Vec<Run> {
    let Some((low, high)) = curve.heats_c() else { return Vec::new() };
    let mut heats = curve.stations_c();
    heats.extend(marks((low, high), STEP_C));
    heats.sort_by(f64::total_cmp);
    let mut runs: Vec<Run> = Vec::new();
    let mut open = false;
    for heat in heats {
        let Some((least, most)) = curve.at(heat) else {
            open = false;
            continue;
        };
        if !open {
            runs.push(Run::default());
            open = true;
        }
        if let Some((xs, lows, highs)) = runs.last_mut() {
            xs.push(heat);
            lows.push(least);
            highs.push(most);
        }
    }
    runs
}

/// The heats to keep out of: those in which the steel loses toughness, or its source says so, °C.
fn keep_out(steel: &SteelHeat) -> impl Iterator<Item = (f64, f64)> {
    steel.brittle_c.into_iter().chain(steel.avoid().map(|avoid| avoid.range))
}

/// What the colours stand for.
fn legend(steel: &SteelHeat, chosen: bool) -> String {
    let mut text =
        "Band: the range that the sources give, straight between their points.".to_owned();
    if let Some((name, _)) = &steel.compare {
        text.push_str(&format!(" Dashed: {name}, for comparison."));
    }
    if steel.brittle_c.is_some() {
        text.push_str(" Red: temper embrittlement, keep out.");
    } else if steel.avoid().is_some() {
        text.push_str(" Red: keep out.");
    }
    if chosen {
        text.push_str(" Upright lines: the temperatures that give it; begin with the lower one.");
    }
    text
}

/// The chart in one sentence, for those who hear it.
fn sentence(steel: &SteelHeat, context: &ViewContext<'_>) -> String {
    let show = |celsius: f64| show_temperature(Temperature::celsius(celsius));
    let at = |celsius: f64| {
        let band = steel.curve.at(celsius);
        band.map_or_else(String::new, |band| {
            format!("{} gives {}", show(celsius), hardness_band(band))
        })
    };
    let ends = steel.curve.heats_c().map(|(low, high)| format!("{}, {}", at(low), at(high)));
    let chosen = match &context.reckoning().heat.temper {
        None => "no temper is chosen".to_owned(),
        Some(Err(fault)) => fault.to_string(),
        Some(Ok(temper)) => {
            let at = oven_setting(temper.heats_c, context.unit());
            let brittle = if temper.brittle_c.is_some() {
                "; it reaches into temper embrittlement"
            } else {
                ""
            };
            format!("chosen {at}, then {}{brittle}", hardness_band(temper.swing_hrc))
        }
    };
    format!("Temper chart of {}: {}; {chosen}", steel.grade, ends.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use reckon::tables::Tables;

    #[test]
    fn a_mark_is_written_only_where_it_is_round() {
        assert_eq!((round(250.0 + 1e-9, 50.0), round(204.4, 50.0)), (Some(250.0), None));
        assert_eq!(marks((120.0, 260.0), 50.0), [150.0, 200.0, 250.0]);
    }

    /// The tables' own points of SAE 1084: 400 °F gives 61 to 62 HRC.
    #[test]
    fn the_band_goes_through_the_tables_points() {
        let curve = TemperCurve::of(Tables::built_in().temper_points("SAE 1084"));
        let runs = runs(&curve);
        let heat = Temperature::fahrenheit(400.0).to_celsius();
        let at = runs[0].0.iter().position(|x| (x - heat).abs() < 1e-9).unwrap();
        assert_eq!((runs[0].1[at], runs[0].2[at]), (61.0, 62.0));
        assert!(runs[0].0.windows(2).all(|pair| pair[0] <= pair[1]));
    }
}
