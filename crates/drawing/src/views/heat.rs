//! The heat sheet: the gauge of sharpening angles at true size, and the temper chart.

use super::cards::card_text;
use knife::Knife;
use kurbo::{BezPath, Circle, Point, Rect, Shape, Vec2};
use marks::lettering::wrap_lines;
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, TextFlow, VAlign};
use reckon::Reckoning;
use reckon::card::hardness_band;
use reckon::card::{self, CardContext};
use reckon::heat::{SteelHeat, TemperCurve, oven_setting};
use reckon::tables::Tables;
use units::{show_angle, show_number};

/// The chart's inside, mm.
const WIDE_MM: f64 = 150.0;
const HIGH_MM: f64 = 62.0;
const LABEL_MM: f64 = 2.5;
const SMALL_MM: f64 = 2.5;
/// From one line to the next where a range is hatched, mm.
const HATCH_MM: f64 = 4.0;
/// Steps in which the band is drawn and hatched, °C.
const STEP_C: f64 = 5.0;
/// Radius of the gauge, mm.
const GAUGE_MM: f64 = 74.0;
/// From one line of its words to the next, mm.
const PITCH_MM: f64 = 4.0;
/// Angles a side on the gauge, degrees.
const GAUGE_DEG: [f64; 8] = [10.0, 12.5, 15.0, 17.5, 20.0, 22.5, 25.0, 30.0];

/// What is to be measured on it: the gauge, at true size. The chart stands beside it.
pub fn heat_sheet(knife: &Knife) -> Drawing {
    gauge(knife)
}

/// Cards of fire, abrasives and stones, as text that flows.
pub fn heat_text(knife: &Knife, reckoning: &Reckoning) -> TextFlow {
    let bench = CardContext { knife, reckoning, tables: Tables::built_in() };
    card_text(&card::heat_card(&bench))
}

/// The build card, as text that flows.
pub fn build_text(knife: &Knife, reckoning: &Reckoning) -> TextFlow {
    let bench = CardContext { knife, reckoning, tables: Tables::built_in() };
    card_text(&card::build_card(&bench))
}

/// Where heats and hardness lie on the chart.
struct Axes {
    heats_c: (f64, f64),
    hrc: (f64, f64),
}

impl Axes {
    fn at(&self, heat_c: f64, hrc: f64) -> Point {
        let share = |v: f64, (low, high): (f64, f64)| (v - low) / (high - low);
        Point::new(WIDE_MM * share(heat_c, self.heats_c), HIGH_MM * share(hrc, self.hrc))
    }

    /// Whether the chart reaches so far.
    fn shows(&self, heat_c: f64) -> bool {
        (self.heats_c.0..=self.heats_c.1).contains(&heat_c)
    }
}

/// Hardness against tempering heat: the tables' band, their points, and what is chosen.
pub fn chart(knife: &Knife, reckoning: &Reckoning) -> Drawing {
    let mut drawing = Drawing::new();
    let heat = &reckoning.heat;
    let Some((steel, (heats, hrc))) = heat.steel.as_ref().zip(heat.chart) else {
        let words = format!("No tempering points for {}: no chart.", knife.bar.grade);
        drawing.text(Pen::Lettering, Label::new(words, Point::new(0.0, 0.0), LABEL_MM));
        return drawing;
    };
    let widest = |(low, high): (f64, f64), grid: f64| {
        ((low / grid).floor() * grid - 0.2 * grid, (high / grid).ceil() * grid + 0.2 * grid)
    };
    let axes = Axes { heats_c: widest(heats, 25.0), hrc: widest(hrc, 2.0) };
    brittle(&mut drawing, &axes, steel);
    grid(&mut drawing, &axes);
    band(&mut drawing, &axes, &steel.curve);
    if let Some((name, curve)) = &steel.compare {
        beside(&mut drawing, &axes, curve, name);
    }
    chosen(&mut drawing, &axes, knife, reckoning);
    let title = format!("{}: hardness after tempering", steel.grade);
    let at = Point::new(0.0, HIGH_MM + 11.0);
    drawing.text(Pen::Lettering, Label::new(title, at, 3.5).bold());
    drawing
}

/// Hatching where the steel loses toughness, and its name.
fn brittle(drawing: &mut Drawing, axes: &Axes, steel: &SteelHeat) {
    let message = steel.brittle_c.map(|range| (range, "temper embrittlement: keep out"));
    let message = message.or(steel.avoid().map(|avoid| (avoid.range, "keep out")));
    let Some(((from, to), name)) = message else { return };
    let (low, high) = (
        axes.at(from.max(axes.heats_c.0), axes.hrc.0),
        axes.at(to.min(axes.heats_c.1), axes.hrc.1),
    );
    if low.x >= high.x {
        return;
    }
    for x in marks((low.x - HIGH_MM, high.x), HATCH_MM) {
        // A slope of 45 degrees, from where it enters the band to where it leaves it.
        let (start, end) = (x.max(low.x), (x + HIGH_MM).min(high.x));
        if start < end {
            drawing.line(Pen::Frame, Point::new(start, start - x), Point::new(end, end - x));
        }
    }
    for x in [low.x, high.x] {
        drawing.line(Pen::Frame, Point::new(x, 0.0), Point::new(x, HIGH_MM));
    }
    // Over the scale of degrees Fahrenheit, where nothing runs through it.
    let at = Point::new(high.x, HIGH_MM + 6.3);
    let label = Label::new(format!("hatched: {name}"), at, SMALL_MM);
    drawing.text(Pen::Lettering, label.anchored(HAlign::End, VAlign::Base));
}

/// Even values of a grid within a range.
fn marks(range: (f64, f64), by: f64) -> Vec<f64> {
    let first = (range.0 / by).ceil();
    (0..200_u32).map(|i| (first + f64::from(i)) * by).take_while(|v| *v <= range.1).collect()
}

fn grid(drawing: &mut Drawing, axes: &Axes) {
    drawing.rect(Pen::Dimension, Rect::new(0.0, 0.0, WIDE_MM, HIGH_MM));
    let mut label = |text: String, at: Point, across, upright| {
        drawing.text(Pen::Lettering, Label::new(text, at, SMALL_MM).anchored(across, upright));
    };
    let (low, high) = axes.heats_c;
    let many = high - low > 300.0;
    let by_c = if many { 50.0 } else { 25.0 };
    for celsius in marks(axes.heats_c, by_c) {
        let at = axes.at(celsius, axes.hrc.0) + Vec2::new(0.0, -1.5);
        label(show_number(celsius, 0), at, HAlign::Middle, VAlign::Top);
    }
    let fahrenheit = (low * 1.8 + 32.0, high * 1.8 + 32.0);
    for f in marks(fahrenheit, if many { 100.0 } else { 50.0 }) {
        let at = axes.at((f - 32.0) / 1.8, axes.hrc.1) + Vec2::new(0.0, 1.5);
        label(show_number(f, 0), at, HAlign::Middle, VAlign::Base);
    }
    let by_hrc = if axes.hrc.1 - axes.hrc.0 > 16.0 { 5.0 } else { 2.0 };
    for hrc in marks(axes.hrc, by_hrc) {
        let at = axes.at(low, hrc) + Vec2::new(-1.5, 0.0);
        label(show_number(hrc, 0), at, HAlign::End, VAlign::Middle);
    }
    label("°C".to_owned(), Point::new(WIDE_MM + 3.0, -1.5), HAlign::Start, VAlign::Top);
    label("°F".to_owned(), Point::new(WIDE_MM + 3.0, HIGH_MM + 1.5), HAlign::Start, VAlign::Base);
    label("HRC".to_owned(), Point::new(-6.0, HIGH_MM + 1.5), HAlign::End, VAlign::Base);
    for celsius in marks(axes.heats_c, by_c) {
        drawing.line(Pen::Frame, axes.at(celsius, axes.hrc.0), axes.at(celsius, axes.hrc.1));
    }
    for hrc in marks(axes.hrc, by_hrc) {
        drawing.line(Pen::Frame, axes.at(low, hrc), axes.at(high, hrc));
    }
}

/// The heats at which the band is drawn: every station, just beside each, and steps between, as
/// far as the chart reaches.
fn heats(axes: &Axes, curve: &TemperCurve) -> Vec<f64> {
    let stations = curve.stations_c();
    let mut all: Vec<f64> = stations.iter().flat_map(|c| [*c - 1e-6, *c, *c + 1e-6]).collect();
    if let Some(range) = curve.heats_c() {
        all.extend(marks(range, STEP_C));
    }
    all.extend([axes.heats_c.0, axes.heats_c.1]);
    all.retain(|heat| axes.shows(*heat));
    all.sort_by(f64::total_cmp);
    all
}

fn path(axes: &Axes, curve: &TemperCurve, side: fn((f64, f64)) -> f64) -> BezPath {
    let mut path = BezPath::new();
    for heat_c in heats(axes, curve) {
        let Some(band) = curve.at(heat_c) else { continue };
        let at = axes.at(heat_c, side(band));
        // A line may leave the chart just beyond the range that its scale was made for.
        let at = Point::new(at.x, at.y.clamp(0.0, HIGH_MM));
        if path.elements().is_empty() { path.move_to(at) } else { path.line_to(at) }
    }
    path
}

fn band(drawing: &mut Drawing, axes: &Axes, curve: &TemperCurve) {
    let steps = curve.heats_c().map_or_else(Vec::new, |range| marks(range, STEP_C));
    for heat_c in steps.into_iter().filter(|heat| axes.shows(*heat)) {
        if let Some((low, high)) = curve.at(heat_c).filter(|(low, high)| high > low) {
            drawing.line(Pen::Dimension, axes.at(heat_c, low), axes.at(heat_c, high));
        }
    }
    for side in [(|band| band.0) as fn((f64, f64)) -> f64, |band| band.1] {
        drawing.add(Pen::Blank, Mark::Path(path(axes, curve, side)));
    }
    let points = curve.series.iter().flat_map(|series| &series.points);
    for point in points.filter(|point| axes.shows(point.0)) {
        for hrc in [point.1, point.2] {
            let dot = Circle::new(axes.at(point.0, hrc), 0.7).to_path(0.01);
            drawing.add(Pen::Lettering, Mark::Fill(dot));
        }
    }
}

/// A near grade's band, in chain lines.
fn beside(drawing: &mut Drawing, axes: &Axes, curve: &TemperCurve, name: &str) {
    for side in [(|band| band.0) as fn((f64, f64)) -> f64, |band| band.1] {
        drawing.add(Pen::Centre, Mark::Path(path(axes, curve, side)));
    }
    // Below the title, where no line of the grid runs through it.
    let label =
        Label::new(format!("chain lines: {name}"), Point::new(0.0, HIGH_MM + 6.3), SMALL_MM);
    drawing.text(Pen::Lettering, label);
}

/// The chosen temper as cross lines with its words.
fn chosen(drawing: &mut Drawing, axes: &Axes, knife: &Knife, reckoning: &Reckoning) {
    let Some(Ok(temper)) = &reckoning.heat.temper else {
        let words = match &reckoning.heat.temper {
            Some(Err(fault)) => fault.to_string(),
            _ => "no hardness or temper is chosen yet".to_owned(),
        };
        return under(drawing, &words);
    };
    let (cool, hot) = temper.heats_c;
    for heat_c in [cool, hot] {
        drawing.line(Pen::Bar, axes.at(heat_c, axes.hrc.0), axes.at(heat_c, axes.hrc.1));
    }
    let mut words = format!(
        "chosen: {}; {} at the cooler end",
        oven_setting(temper.heats_c, knife.unit),
        hardness_band(temper.swing_hrc)
    );
    if let Some(brittle) = temper.brittle() {
        words += if brittle.is_all() {
            ". IT LIES WHERE THE STEEL LOSES TOUGHNESS"
        } else {
            ". Its hotter part lies where the steel loses toughness"
        };
    }
    under(drawing, &words);
}

/// Words under the chart.
fn under(drawing: &mut Drawing, words: &str) {
    let mut y = -7.5;
    for line in wrap_lines(words, FontFace::Regular, LABEL_MM, WIDE_MM) {
        let label = Label::new(line, Point::new(0.0, y), LABEL_MM);
        drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Top));
        y -= PITCH_MM;
    }
}

/// Lines at the usual sharpening angles over one base, at true size.
pub fn gauge(knife: &Knife) -> Drawing {
    let mut drawing = Drawing::new();
    drawing.line(Pen::Dimension, Point::ORIGIN, Point::new(GAUGE_MM, 0.0));
    let stated = knife.sharpening.map(|sharpening| sharpening.angle_deg);
    let rest = GAUGE_DEG.into_iter().filter(|deg| stated.is_none_or(|own| (own - deg).abs() > 3.0));
    for deg in rest.chain(stated) {
        let is_own = stated == Some(deg);
        let direction = Vec2::from_angle(deg.to_radians());
        let end = Point::ORIGIN + GAUGE_MM * direction;
        drawing.line(if is_own { Pen::Bar } else { Pen::Dimension }, Point::ORIGIN, end);
        let places = usize::from(deg.fract() != 0.0);
        let mut label = Label::new(show_angle(deg, places), end + 1.5 * direction, LABEL_MM)
            .anchored(HAlign::Start, VAlign::Middle)
            .turned(deg);
        if is_own {
            label = label.bold();
        }
        drawing.text(Pen::Lettering, label);
    }
    let words = "Cut out along the base and one line, glue to card, stand it on the stone and lay the \
                 blade's face against it.";
    let title =
        Label::new("Sharpening angles per side, true size", Point::new(0.0, -2.0), LABEL_MM);
    let mut lines = vec![title.bold()];
    let wrapped = wrap_lines(words, FontFace::Regular, LABEL_MM, GAUGE_MM + 8.0);
    lines.extend(wrapped.into_iter().map(|line| Label::new(line, Point::ORIGIN, LABEL_MM)));
    let mut y = -2.0;
    for line in lines {
        let label = Label { at: Point::new(0.0, y), ..line };
        drawing.text(Pen::Lettering, label.anchored(HAlign::Start, VAlign::Top));
        y -= PITCH_MM;
    }
    drawing
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::{Finish, STARTERS, Temper};
    use reckon::{Shop, reckon};

    fn given(grade: &str) -> (Knife, Reckoning) {
        let mut knife = STARTERS[0].knife();
        knife.bar.grade = grade.to_owned();
        knife.treatment.temper = Some(Temper::Heat(210.0));
        knife.treatment.finish = Some(Finish::Etched);
        let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
        (knife, reckoning)
    }

    #[test]
    fn every_steel_has_a_chart_or_says_that_it_has_none() {
        for steel in Tables::built_in().steels() {
            let (knife, reckoning) = given(&steel.grade);
            let texts =
                chart(&knife, &reckoning).items.into_iter().filter_map(|item| match item.mark {
                    Mark::Text(label) => Some(label.text),
                    _ => None,
                });
            let texts: Vec<String> = texts.collect();
            let has_points = Tables::built_in().temper_points(&steel.grade).next().is_some();
            assert_eq!(texts[0].starts_with("No tempering points"), !has_points, "{texts:?}");
        }
    }

    /// Tangents by the handbook (Machinery's Handbook, trigonometric tables): tan 15° is 0.267949.
    #[test]
    fn the_gauge_is_true() {
        let mut knife = STARTERS[0].knife();
        knife.sharpening = None;
        let ends: Vec<Point> = gauge(&knife)
            .items
            .iter()
            .filter_map(|item| match &item.mark {
                Mark::Path(path) => path.elements().last().and_then(kurbo::PathEl::end_point),
                _ => None,
            })
            .collect();
        assert!(ends.iter().any(|end| (end.y / end.x - 0.267_949).abs() < 1e-6));
        assert!(ends.iter().all(|end| (end.to_vec2().hypot() - GAUGE_MM).abs() < 1e-9));
    }
}
