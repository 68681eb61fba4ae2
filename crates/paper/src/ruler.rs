//! Rules and the proof square: what shows whether a printer kept the size.

use kurbo::{Point, Rect, Vec2};
use marks::{Drawing, FontFace, HAlign, Label, Pen, VAlign};

/// Millimetres to the inch, exact (international yard and pound agreement of 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// Side of the proof square, mm. The inner square's side is one inch.
pub const PROOF_MM: f64 = 50.0;

/// How far a rule reaches to its inch side (ticks and figures), mm.
pub(crate) const INCH_SIDE_MM: f64 = 8.8;

/// How far a rule reaches to its millimetre side, mm.
pub(crate) const MM_SIDE_MM: f64 = 8.2;

/// Breadth of a rule, mm.
pub(crate) const BREADTH_MM: f64 = INCH_SIDE_MM + MM_SIDE_MM;

/// How far figures reach past a rule's end, mm.
pub(crate) const OVERHANG_MM: f64 = 3.5;

const FIGURE_MM: f64 = 2.5;
const FIGURE_GAP_MM: f64 = 0.7;

/// Which way a rule runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Axis {
    /// To the right, millimetres above, inches below.
    Horizontal,
    /// Upward, millimetres to the right, inches to the left.
    Vertical,
}

impl Axis {
    /// Its direction and the direction of its millimetre side.
    fn directions(self) -> (Vec2, Vec2) {
        match self {
            Self::Horizontal => (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)),
            Self::Vertical => (Vec2::new(0.0, 1.0), Vec2::new(1.0, 0.0)),
        }
    }
}

/// Draws a rule with both graduations from a common zero along a common base line: whole
/// centimetres and half inches, as many as go into `room_mm`.
pub(crate) fn rule(drawing: &mut Drawing, zero: Point, axis: Axis, room_mm: f64) {
    let (along, mm_side) = axis.directions();
    let tens = whole(room_mm / 10.0);
    let halves = whole(room_mm / MM_PER_INCH * 2.0);
    let length = (f64::from(tens) * 10.0).max(f64::from(halves) * MM_PER_INCH / 2.0);
    drawing.line(Pen::Ruler, zero, zero + along * length);
    let mut tick = |at_mm: f64, side: Vec2, length_mm: f64| {
        let foot = zero + along * at_mm;
        drawing.line(Pen::Ruler, foot, foot + side * length_mm);
    };
    for mm in 0..=tens * 10 {
        tick(f64::from(mm), mm_side, mm_tick(mm));
    }
    for part in 0..=halves * 16 {
        if part <= 32 || part % 2 == 0 {
            tick(f64::from(part) * MM_PER_INCH / 32.0, -mm_side, inch_tick(part));
        }
    }
    let mm = Graduation { zero, axis, side: 1.0, tick_mm: mm_tick(0) };
    mm.figure(drawing, 0.6, "mm", HAlign::Start);
    for ten in 1..=tens {
        mm.figure(drawing, f64::from(ten) * 10.0, &(ten * 10).to_string(), HAlign::Middle);
    }
    let inch = Graduation { zero, axis, side: -1.0, tick_mm: inch_tick(0) };
    inch.figure(drawing, 0.6, "in", HAlign::Start);
    for n in 1..=halves / 2 {
        inch.figure(drawing, f64::from(n) * MM_PER_INCH, &n.to_string(), HAlign::Middle);
    }
}

/// Draws the proof square, 50 mm, with a square of one inch in its corner.
pub(crate) fn proof_square(drawing: &mut Drawing, corner: Point) {
    let outer = Rect::from_origin_size(corner, (PROOF_MM, PROOF_MM));
    let inner = Rect::from_origin_size(corner, (MM_PER_INCH, MM_PER_INCH));
    drawing.rect(Pen::Ruler, outer);
    drawing.rect(Pen::Ruler, inner);
    let middle = |text: &str, at: Point, height_mm: f64| {
        Label::new(text, at, height_mm).anchored(HAlign::Middle, VAlign::Middle)
    };
    drawing.text(Pen::Ruler, middle("1 in", inner.center(), 3.5));
    let between = (outer.y1 + inner.y1) / 2.0;
    drawing.text(Pen::Ruler, middle("50 mm", Point::new(outer.center().x, between), 3.5).bold());
}

/// Breadth of a slim rule's side: ticks, and figures beside the long ones, mm.
pub(crate) const SLIM_SIDE_MM: f64 = 5.35;
/// Breadth of a slim rule, mm.
pub(crate) const SLIM_MM: f64 = 2.0 * SLIM_SIDE_MM;
/// Length of a slim rule with its last figure: it carries 150 mm and 6 in.
pub(crate) const SLIM_LONG_MM: f64 = 6.0 * MM_PER_INCH + SLIM_FIGURE_MM;
/// How far a slim rule's last figure with its unit reaches past the last tick, mm.
const SLIM_FIGURE_MM: f64 = 13.0;
/// Long ticks of a slim rule, and where its figures begin beside the short ones of millimetres and
/// of inches, mm.
const SLIM_TICK_MM: f64 = 4.6;
const SLIM_FOOT_MM: [f64; 2] = [2.5, 2.0];

/// Draws a slim rule: whole centimetres on one side, whole inches on the other, as many as go into
/// `room_mm` with the last one's figure, and no more than 150 mm and 6 in.
pub(crate) fn slim_rule(drawing: &mut Drawing, zero: Point, axis: Axis, room_mm: f64) {
    let (along, mm_side) = axis.directions();
    let room = room_mm - SLIM_FIGURE_MM;
    let tens = whole(room / 10.0).min(15);
    let inches = whole(room / MM_PER_INCH).min(6);
    let length = (f64::from(tens) * 10.0).max(f64::from(inches) * MM_PER_INCH);
    drawing.line(Pen::Ruler, zero, zero + along * length);
    let mut tick = |at_mm: f64, side: Vec2, length_mm: f64| {
        let foot = zero + along * at_mm;
        drawing.line(Pen::Ruler, foot, foot + side * length_mm);
    };
    for mm in 0..=tens * 10 {
        let long = match mm {
            _ if mm.is_multiple_of(10) => SLIM_TICK_MM,
            _ if mm.is_multiple_of(5) => 2.1,
            _ => 1.4,
        };
        tick(f64::from(mm), mm_side, long);
    }
    for part in 0..=inches * 16 {
        let long = match part % 16 {
            0 => SLIM_TICK_MM,
            8 => 2.2,
            p if p % 4 == 0 => 1.9,
            p if p % 2 == 0 => 1.5,
            _ => 1.1,
        };
        tick(f64::from(part) * MM_PER_INCH / 16.0, -mm_side, long);
    }
    let sides = [(1.0, "mm", tens, 10.0, 10), (-1.0, "in", inches, MM_PER_INCH, 1)];
    for ((side, unit, last, step_mm, by), foot_mm) in sides.into_iter().zip(SLIM_FOOT_MM) {
        let side = Graduation { zero, axis, side, tick_mm: foot_mm - FIGURE_GAP_MM };
        for n in 0..=last {
            let figure = match n {
                _ if n == last => format!("{} {unit}", n * by),
                0 => unit.to_owned(),
                _ => (n * by).to_string(),
            };
            side.figure(drawing, f64::from(n) * step_mm + 0.6, &figure, HAlign::Start);
        }
    }
}

/// Sides of the small squares, mm: 25 mm, and one inch.
const SMALL_MM: [f64; 2] = [25.0, MM_PER_INCH];
/// White between the small squares, mm.
const SMALL_GAP_MM: f64 = 3.0;

/// The room that the small squares take, mm.
pub(crate) const SMALL_SQUARES_MM: (f64, f64) =
    (SMALL_MM[0] + SMALL_GAP_MM + SMALL_MM[1], SMALL_MM[1]);

/// Draws a square of 25 mm and one of one inch side by side.
pub(crate) fn small_squares(drawing: &mut Drawing, corner: Point) {
    let mut x = corner.x;
    for (side, text) in SMALL_MM.into_iter().zip(["25 mm", "1 in"]) {
        let square = Rect::from_origin_size((x, corner.y), (side, side));
        drawing.rect(Pen::Ruler, square);
        let label = Label::new(text, square.center(), 3.0);
        drawing.text(Pen::Ruler, label.anchored(HAlign::Middle, VAlign::Middle));
        x += side + SMALL_GAP_MM;
    }
}

/// One side of a rule.
struct Graduation {
    zero: Point,
    axis: Axis,
    side: f64,
    tick_mm: f64,
}

impl Graduation {
    fn figure(&self, drawing: &mut Drawing, at_mm: f64, text: &str, across: HAlign) {
        let (along, mm_side) = self.axis.directions();
        let off = mm_side * self.side * (self.tick_mm + FIGURE_GAP_MM);
        let at = self.zero + along * at_mm + off;
        // Figures read along the rule; on an upright rule their tops look to the left.
        let (turn_deg, upright) = match (self.axis, self.side > 0.0) {
            (Axis::Horizontal, true) => (0.0, VAlign::Base),
            (Axis::Horizontal, false) => (0.0, VAlign::Top),
            (Axis::Vertical, true) => (90.0, VAlign::Top),
            (Axis::Vertical, false) => (90.0, VAlign::Base),
        };
        let mut label = Label::new(text, at, FIGURE_MM).anchored(across, upright).turned(turn_deg);
        label.face = FontFace::Regular;
        drawing.text(Pen::Ruler, label);
    }
}

fn mm_tick(mm: u32) -> f64 {
    match mm {
        _ if mm.is_multiple_of(10) => 4.2,
        _ if mm.is_multiple_of(5) => 3.1,
        _ => 2.0,
    }
}

/// Length of the tick at so many 1/32 in.
fn inch_tick(part: u32) -> f64 {
    match part % 32 {
        0 => 4.8,
        16 => 4.0,
        8 | 24 => 3.3,
        p if p % 4 == 0 => 2.6,
        p if p % 2 == 0 => 1.9,
        _ => 1.2,
    }
}

/// The whole number of steps that go into a length; none into one that is no number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to a range that u32 holds"
)]
fn whole(steps: f64) -> u32 {
    (steps + 1e-9).floor().clamp(0.0, 10_000.0) as u32
}
