//! Slender tips: a lens between a straight line and an arc, drawn as a camera sees it, has two of a
//! known angle at known places; a wedge with a round end has one that is none.

#![expect(clippy::unwrap_used, reason = "a test says so by failing")]

use kurbo::Point;
use trace::{ExtractOptions, Gray, LineSide, Picture, Squaring, Subject, TraceOptions, trace};

const PX_PER_MM: f64 = 8.0;
const RADIUS_MM: f64 = 150.0;
const BORDER_MM: f64 = 10.0;

/// The lens whose sides meet at this angle: its tips lie on a level line.
struct Lens {
    length_mm: f64,
    /// Centre of its arc; the chord runs from the origin along x.
    centre: Point,
    radius_mm: f64,
}

impl Lens {
    fn of(angle_deg: f64, radius_mm: f64) -> Self {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        Self {
            length_mm: 2.0 * radius_mm * sin,
            centre: Point::new(radius_mm * sin, radius_mm * cos),
            radius_mm,
        }
    }

    fn contains(&self, p: Point) -> bool {
        p.y < 0.0 && p.distance(self.centre) < self.radius_mm
    }

    fn depth_mm(&self) -> f64 {
        self.radius_mm - self.centre.y
    }

    fn picture(&self, shift: f64) -> Picture {
        let size = (self.length_mm, self.depth_mm());
        seen(size, shift, |mm| self.contains(mm))
    }
}

/// The line that a lens is drawn by.
#[derive(Clone, Copy, Debug)]
enum Line {
    /// By a pen.
    Round,
    /// By a machine, its corners sharp.
    Sharp,
}

impl Lens {
    /// Whether a line of this width along its sides covers a place.
    fn line_covers(&self, line: Line, half_mm: f64, p: Point) -> bool {
        let off = p.distance(self.centre) - self.radius_mm;
        match line {
            Line::Sharp => {
                let grown = p.y < half_mm && off < half_mm;
                grown && !(p.y < -half_mm && off < -half_mm)
            }
            Line::Round => {
                let ends = [Point::ORIGIN, Point::new(self.length_mm, 0.0)];
                let end = ends.iter().map(|end| p.distance(*end)).fold(f64::MAX, f64::min);
                let chord = (0.0..=self.length_mm).contains(&p.x) && p.y.abs() < half_mm;
                // Below the chord as seen from the arc's centre.
                let [a, b] = ends.map(|end| end - self.centre);
                let way = p - self.centre;
                let arc = a.cross(way) >= 0.0 && way.cross(b) >= 0.0 && off.abs() < half_mm;
                chord || arc || end < half_mm
            }
        }
    }

    fn drawn(&self, line: Line, line_mm: f64, shift: f64) -> Picture {
        let size = (self.length_mm, self.depth_mm());
        seen(size, shift, |mm| self.line_covers(line, line_mm / 2.0, mm))
    }
}

/// A slender wedge with its point at the origin, ended by a circle that touches both sides.
struct Wedge {
    half_rad: f64,
    radius_mm: f64,
}

impl Wedge {
    const LENGTH_MM: f64 = 45.0;

    /// How far from the point the circle's centre lies.
    fn centre_mm(&self) -> f64 {
        self.radius_mm / self.half_rad.sin()
    }

    fn end_mm(&self) -> f64 {
        self.centre_mm() - self.radius_mm
    }

    fn contains(&self, p: Point) -> bool {
        let touches = self.centre_mm() - self.radius_mm * self.half_rad.sin();
        let within = p.y.abs() < p.x * self.half_rad.tan() && p.x < Self::LENGTH_MM;
        within && (p.x > touches || p.distance(Point::new(self.centre_mm(), 0.0)) < self.radius_mm)
    }

    fn half_width_mm(&self) -> f64 {
        Self::LENGTH_MM * self.half_rad.tan()
    }

    fn picture(&self, shift: f64) -> Picture {
        let half = self.half_width_mm();
        seen((Self::LENGTH_MM, 2.0 * half), shift, |p| self.contains(Point::new(p.x, p.y + half)))
    }
}

/// The picture of a shape of this size below the origin: dark on light, blurred over a pixel and a
/// half, with noise.
fn seen((long, deep): (f64, f64), shift: f64, contains: impl Fn(Point) -> bool) -> Picture {
    let wide = ((long + 2.0 * BORDER_MM) * PX_PER_MM) as usize;
    let high = ((deep + 2.0 * BORDER_MM) * PX_PER_MM) as usize;
    let mut state = 7_u64;
    let mut tones = Vec::with_capacity(wide * high);
    for y in 0..high {
        for x in 0..wide {
            let dark = (0..49).filter(|k| {
                let off = |k: usize| (k as f64 - 3.0) / 7.0 * 1.5;
                let (u, v) = (x as f64 + 0.5 + off(k % 7), y as f64 + 0.5 + off(k / 7));
                let mm = Point::new(
                    (u - shift) / PX_PER_MM - BORDER_MM,
                    BORDER_MM - (v - shift) / PX_PER_MM,
                );
                contains(mm)
            });
            let part = dark.count() as f64 / 49.0;
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            let noise = (state >> 40) as f64 / f64::from(1 << 24) * 14.0 - 7.0;
            tones.push((225.0 - 185.0 * part + noise).clamp(0.0, 255.0) as u8);
        }
    }
    let gray = Gray::new(wide, high, tones).unwrap();
    Picture { gray, dpi: None, focal_35mm: None, seen: None }
}

/// Where a place of a shape comes out in the plane of a picture of this height.
fn placed(place: Point, high: f64, shift: f64) -> Point {
    let px = Point::new(place.x + BORDER_MM, BORDER_MM - place.y).to_vec2() * PX_PER_MM;
    Point::new((px.x + shift) / PX_PER_MM, (high - px.y - shift) / PX_PER_MM)
}

fn options() -> TraceOptions {
    TraceOptions {
        squaring: Squaring::Density(Some(25.4 * PX_PER_MM)),
        // As thin as a line, the sharpest of them.
        extract: ExtractOptions { subject: Subject::Filled, ..ExtractOptions::default() },
        ..TraceOptions::default()
    }
}

#[test]
fn tips_come_out_where_they_are() {
    let mut failures = Vec::new();
    for (angle_deg, within_mm) in
        [(8.0, 0.2), (10.0, 0.15), (15.0, 0.1), (20.0, 0.1), (30.0, 0.1), (45.0, 0.1), (60.0, 0.1)]
    {
        let lens = Lens::of(angle_deg, RADIUS_MM);
        for shift in [0.0, 0.37, 0.71] {
            let picture = lens.picture(shift);
            let traced = trace(&picture, &options()).unwrap();
            let high = picture.gray.height() as f64;
            for x in [0.0, lens.length_mm] {
                let tip = placed(Point::new(x, 0.0), high, shift);
                let nodes = traced.outline.nodes();
                let off = nodes.map(|node| node.distance(tip)).fold(f64::MAX, f64::min);
                failures.push(format!("{angle_deg}° {off:.3}"));
                if off > within_mm {
                    failures.push("TOO FAR".to_owned());
                }
            }
        }
    }
    assert!(!failures.contains(&"TOO FAR".to_owned()), "{failures:?}");
}

#[test]
fn tips_of_drawn_lines_come_out_where_they_are() {
    let mut failures = Vec::new();
    for line in [Line::Round, Line::Sharp] {
        for (angle_deg, line_mm) in
            [(10.0, 0.5), (12.0, 0.5), (12.0, 1.0), (16.0, 0.7), (25.0, 0.5), (45.0, 0.8)]
        {
            let lens = Lens::of(angle_deg, 2.5 * RADIUS_MM);
            for shift in [0.0, 0.37] {
                let picture = lens.drawn(line, line_mm, shift);
                let mut options = options();
                options.extract.subject = Subject::Line(LineSide::Centre);
                let traced = trace(&picture, &options).unwrap();
                let high = picture.gray.height() as f64;
                for x in [0.0, lens.length_mm] {
                    let tip = placed(Point::new(x, 0.0), high, shift);
                    let nodes = traced.outline.nodes();
                    let off = nodes.map(|node| node.distance(tip)).fold(f64::MAX, f64::min);
                    failures.push(format!("{line:?} {angle_deg}° {line_mm} mm: {off:.3}"));
                    if off > 0.4 {
                        failures.push("TOO FAR".to_owned());
                    }
                }
            }
        }
    }
    assert!(!failures.contains(&"TOO FAR".to_owned()), "{failures:#?}");
}

/// Their sides would meet up to 4 mm beyond.
#[test]
fn a_rounded_tip_is_not_carried_on_to_a_point() {
    let mut failures = Vec::new();
    for (angle_deg, radius_mm) in [(10.0, 0.3), (15.0, 0.5), (25.0, 0.3), (40.0, 0.7), (60.0, 0.4)]
    {
        let wedge = Wedge { half_rad: f64::to_radians(angle_deg) / 2.0, radius_mm };
        for shift in [0.0, 0.37, 0.71] {
            let picture = wedge.picture(shift);
            let traced = trace(&picture, &options()).unwrap();
            let high = picture.gray.height() as f64;
            let end = Point::new(wedge.end_mm(), -wedge.half_width_mm());
            let found = traced.outline.bounds().x0 - placed(end, high, shift).x;
            failures.push(format!("{angle_deg}° {radius_mm} mm: {found:.3}"));
            if found.abs() > 0.15 {
                failures.push("TOO FAR".to_owned());
            }
        }
    }
    assert!(!failures.contains(&"TOO FAR".to_owned()), "{failures:?}");
}
