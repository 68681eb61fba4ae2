//! Running dimensions from one origin (ISO 129-1, superimposed running dimensioning): one
//! dimension line, its origin an open circle, and each figure at the end of its extension line,
//! jogged aside where two would touch.

use super::super::callout::{keep_within, spread};
use super::super::dimension::{ARROW_MM, arrow};
use crate::MarkPart as _;
use knife::PartId;
use kurbo::{BezPath, Circle, Point, Shape, Vec2};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};

/// Height of a figure, mm.
const FIGURE_MM: f64 = 3.0;
/// Height of the other unit's figure and of a name, mm.
const SMALL_MM: f64 = 2.5;
/// White between the rows of one figure, mm.
const ROW_GAP_MM: f64 = 1.4;
/// White between two figures in the row and in the column, mm.
const APART_MM: (f64, f64) = (2.4, 1.9);
/// The dimension line lies this far outside the body: below it and beside it, mm (ISO 129-1 asks
/// for 10 from an outline and 7 between parallel dimension lines, from memory; beside the body the
/// bar's edge or a break lies between).
const LINE_MM: (f64, f64) = (10.0, 5.0);
/// Heights nearer to one another than this can't be told apart by their lines: the first is drawn,
/// the table has the others, mm.
const CLOSE_MM: f64 = 2.0;
/// A leader runs on straight this far past the dimension line before its jog, mm.
const PAST_MM: f64 = 1.5;
/// Least and greatest height of a jog below and beside the body, mm.
const JOG_MM: [(f64, f64); 2] = [(3.0, 8.0), (3.0, 4.5)];
/// White between a leader and its figure, mm.
const WHITE_MM: f64 = 1.0;
/// Terminators closer than this would run into each other, mm.
const ARROW_ROOM_MM: f64 = ARROW_MM + 0.4;
/// A level row may be this much wider than its room before its figures are turned, mm.
const SPARE_MM: f64 = 10.0;
/// Radius of the origin's circle, mm.
const ORIGIN_MM: f64 = 1.2;

/// A place to be dimensioned.
#[derive(Clone, Debug)]
pub(in crate::views) struct Station {
    /// Where along the axis, mm in the bar's plane.
    pub(in crate::views) at: f64,
    /// Where across the axis its extension line starts, mm in the bar's plane; `None` for one
    /// that starts at the body's side, where lines through the body would touch others.
    pub(in crate::views) from: Option<f64>,
    /// The figure, then what stands below it.
    pub(in crate::views) rows: Vec<String>,
    /// What it is called where only the table tells its figure.
    pub(in crate::views) name: String,
    /// Whether it is drawn however close it lies to another.
    pub(in crate::views) fixed: bool,
    /// The part it is about.
    pub(in crate::views) part: Option<PartId>,
}

impl Station {
    /// A station that belongs to no part and is always drawn.
    pub(in crate::views) fn fixed(at: f64, rows: Vec<String>) -> Self {
        Self { at, from: None, rows, name: String::new(), fixed: true, part: None }
    }
}

/// Which way the axis runs and on which side of the body the figures stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::views) enum Side {
    /// Along x, below the body.
    Below,
    /// Along y, right of the body.
    Right,
    /// Along y, left of the body.
    Left,
}

/// How figures stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Arrangement {
    /// Level, a row to each text.
    Rows,
    /// All in one line: level in a column, turned in a row.
    Line,
}

/// The frame of one set of running dimensions.
#[derive(Clone, Copy, Debug)]
pub(in crate::views) struct Axis {
    /// On which side.
    pub(in crate::views) side: Side,
    /// The body's side across the axis, mm in the bar's plane.
    pub(in crate::views) base: f64,
    /// The body's stretch along the axis, mm.
    pub(in crate::views) span: (f64, f64),
    /// Figures keep between these along the axis, mm.
    pub(in crate::views) room: (f64, f64),
    /// Where the distances start; `None` when that lies out of sight.
    pub(in crate::views) origin: Option<f64>,
    /// The way along the axis in which distances grow, ±1.
    pub(in crate::views) direction: f64,
    /// Where a figure stands that finds no room here, in a word.
    pub(in crate::views) others_in: &'static str,
}

impl Axis {
    /// A point of the bar's plane: this far along, this far outward from the body's side.
    fn at(&self, along: f64, out: f64) -> Point {
        match self.side {
            Side::Below => Point::new(along, self.base - out),
            Side::Right => Point::new(self.base + out, along),
            Side::Left => Point::new(self.base - out, along),
        }
    }

    /// How far outward a coordinate across the axis lies.
    fn out(&self, across: f64) -> f64 {
        match self.side {
            Side::Below | Side::Left => self.base - across,
            Side::Right => across - self.base,
        }
    }

    /// How far outside the body the dimension line lies, mm.
    fn line_mm(&self) -> f64 {
        if self.side == Side::Below { LINE_MM.0 } else { LINE_MM.1 }
    }

    /// White between two figures, mm.
    fn apart_mm(&self) -> f64 {
        if self.side == Side::Below { APART_MM.0 } else { APART_MM.1 }
    }

    fn along(&self) -> Vec2 {
        if self.side == Side::Below { Vec2::new(1.0, 0.0) } else { Vec2::new(0.0, 1.0) }
    }
}

/// Draws the stations; `false`, and nothing drawn, when there are more than can be set legibly.
pub(in crate::views) fn draw(
    drawing: &mut Drawing,
    axis: &Axis,
    mut stations: Vec<Station>,
) -> bool {
    stations.sort_by(|a, b| a.at.total_cmp(&b.at));
    if axis.side != Side::Below {
        stations = apart(stations, axis.others_in);
    }
    let span = axis.span.1 - axis.span.0;
    let takes = |set: Arrangement| -> f64 {
        stations.iter().map(|station| breadth(axis, set, &station.rows) + axis.apart_mm()).sum()
    };
    let column = axis.side != Side::Below;
    let set = if takes(Arrangement::Rows)
        <= if column { span + 36.0 } else { axis.room.1 - axis.room.0 + SPARE_MM }
    {
        Arrangement::Rows
    } else {
        Arrangement::Line
    };
    if takes(set) > if column { span.max(38.0) + 75.0 } else { span + 40.0 } {
        return false;
    }
    let targets: Vec<f64> = stations.iter().map(|station| station.at).collect();
    let breadths: Vec<f64> =
        stations.iter().map(|station| breadth(axis, set, &station.rows)).collect();
    let mut middles = spread(&targets, &breadths, axis.apart_mm());
    // A full row reaches out on its free side.
    let lack = (takes(set) - axis.apart_mm() - (axis.room.1 - axis.room.0)).max(0.0);
    let room = (axis.room.0 - lack, axis.room.1);
    keep_within(&mut middles, &breadths, axis.apart_mm(), room);
    let shift = targets.iter().zip(&middles).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    let (min, max) = JOG_MM[usize::from(column)];
    let jog = (shift * 0.6).clamp(min, max);
    for (station, middle) in stations.iter().zip(middles) {
        leader(drawing, axis, station, middle, jog);
        figure(
            drawing,
            axis,
            set,
            station,
            axis.at(middle, axis.line_mm() + PAST_MM + jog + WHITE_MM),
        );
    }
    line(drawing, axis, &targets);
    true
}

/// The stations without those that lie close to the one before; each that stays says which.
fn apart(stations: Vec<Station>, others_in: &str) -> Vec<Station> {
    let mut kept: Vec<Station> = Vec::new();
    let mut close: Vec<String> = Vec::new();
    let mark_close = |kept: &mut Vec<Station>, close: &mut Vec<String>| {
        if let Some(last) = kept.last_mut().filter(|_| !close.is_empty()) {
            last.rows.push(match close.as_slice() {
                [one] => format!("{one}: {others_in}"),
                more => format!("+{}: {others_in}", more.len()),
            });
        }
        close.clear();
    };
    for station in stations {
        if kept.last().is_some_and(|last| station.at - last.at < CLOSE_MM && !station.fixed) {
            close.push(station.name);
        } else {
            mark_close(&mut kept, &mut close);
            kept.push(station);
        }
    }
    mark_close(&mut kept, &mut close);
    kept
}

/// How much of the axis a figure takes up, mm.
fn breadth(axis: &Axis, set: Arrangement, rows: &[String]) -> f64 {
    match (axis.side, set) {
        (Side::Below, Arrangement::Rows) => {
            let widths = (0..rows.len())
                .map(|i| lettering::width_mm(&rows[i], FontFace::Regular, height(set, i)));
            widths.fold(0.0, f64::max)
        }
        (_, Arrangement::Rows) => tall(rows),
        (_, Arrangement::Line) => SMALL_MM + 0.6,
    }
}

/// Height of a row's letters.
fn height(set: Arrangement, row: usize) -> f64 {
    if row == 0 && set == Arrangement::Rows { FIGURE_MM } else { SMALL_MM }
}

/// Height of rows one below the other.
fn tall(rows: &[String]) -> f64 {
    let heights: f64 = (0..rows.len()).map(|i| height(Arrangement::Rows, i) + ROW_GAP_MM).sum();
    heights - ROW_GAP_MM
}

fn leader(drawing: &mut Drawing, axis: &Axis, station: &Station, middle: f64, jog: f64) {
    let from = station.from.map_or(0.8, |across| axis.out(across));
    let mut path = BezPath::new();
    path.move_to(axis.at(station.at, from));
    let bend = axis.line_mm() + PAST_MM;
    path.line_to(axis.at(station.at, bend));
    if (middle - station.at).abs() > 1e-6 {
        path.line_to(axis.at(middle, bend + jog));
    } else {
        path.line_to(axis.at(station.at, bend + jog));
    }
    let mark = Mark::Path(path);
    drawing.add_part(Pen::Dimension, mark, station.part);
}

fn figure(drawing: &mut Drawing, axis: &Axis, set: Arrangement, station: &Station, at: Point) {
    let mut write = |label: Label| {
        let mark = Mark::Text(label);
        drawing.add_part(Pen::Dimension, mark, station.part);
    };
    let across = match axis.side {
        Side::Below => HAlign::Middle,
        Side::Right => HAlign::Start,
        Side::Left => HAlign::End,
    };
    match (axis.side, set) {
        (Side::Below, Arrangement::Line) => {
            // It reads from the right (ISO 129-1), its end at the leader.
            let label = Label::new(station.rows.join("  "), at, SMALL_MM);
            write(label.anchored(HAlign::End, VAlign::Middle).turned(90.0));
        }
        (_, Arrangement::Line) => {
            let label = Label::new(station.rows.join("  "), at, SMALL_MM);
            write(label.anchored(across, VAlign::Middle));
        }
        (side, Arrangement::Rows) => {
            let up = if side == Side::Below { 0.0 } else { tall(&station.rows) / 2.0 };
            let mut top = at.y + up;
            for (i, row) in station.rows.iter().enumerate() {
                let label = Label::new(row.as_str(), Point::new(at.x, top), height(set, i));
                write(label.anchored(across, VAlign::Top));
                top -= height(set, i) + ROW_GAP_MM;
            }
        }
    }
}

/// The dimension line with its origin and its arrow heads; where two would run into each
/// other, a dot stands for the second (ISO 129-1).
fn line(drawing: &mut Drawing, axis: &Axis, stations: &[f64]) {
    let (Some(first), Some(last)) = (stations.first(), stations.last()) else { return };
    // Broken off where the origin lies out of sight; on both sides of it where it lies between.
    let start = axis.origin.unwrap_or(if axis.direction > 0.0 { axis.span.0 } else { axis.span.1 });
    let (low, high) = (first.min(start), last.max(start));
    let (from, to) = if axis.direction > 0.0 { (low, high) } else { (high, low) };
    drawing.line(Pen::Dimension, axis.at(from, axis.line_mm()), axis.at(to, axis.line_mm()));
    if let Some(origin) = axis.origin {
        let circle = Circle::new(axis.at(origin, axis.line_mm()), ORIGIN_MM);
        drawing.add(Pen::Dimension, Mark::Circle(circle));
    }
    let mut sorted: Vec<f64> = stations.to_vec();
    sorted.sort_by(|a, b| (a * axis.direction).total_cmp(&(b * axis.direction)));
    let mut before = axis.origin.unwrap_or(f64::MIN);
    for at in sorted {
        let from_origin = axis.origin.map_or(f64::MAX, |origin| (at - origin).abs());
        let away = (at - before).abs().min(from_origin);
        if away < 1e-9 {
            continue;
        }
        // A negative distance points the other way.
        let direction =
            if axis.origin.is_some_and(|o| (at - o) * axis.direction < 0.0) { -1.0 } else { 1.0 };
        if away >= ARROW_ROOM_MM {
            let head =
                arrow(axis.at(at, axis.line_mm()), axis.along() * (axis.direction * direction));
            drawing.add(Pen::Dimension, Mark::Fill(head));
        } else {
            let dot = Circle::new(axis.at(at, axis.line_mm()), 0.4).to_path(0.01);
            drawing.add(Pen::Dimension, Mark::Fill(dot));
        }
        before = at;
    }
}
