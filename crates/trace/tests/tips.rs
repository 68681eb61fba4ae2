//! Sharp tips: a lens between a straight line and an arc, drawn as a camera sees it, has two of a
//! known angle at known places.

#![expect(clippy::unwrap_used, reason = "a test says so by failing")]

use kurbo::Point;
use trace::{ExtractOptions, Gray, Picture, Squaring, Subject, TraceOptions, trace};

const PX_PER_MM: f64 = 8.0;
const RADIUS_MM: f64 = 150.0;
const BORDER_MM: f64 = 10.0;

/// The lens whose sides meet at this angle: its tips lie on a level line.
struct Lens {
    length_mm: f64,
    /// Centre of its arc; the chord runs from the origin along x.
    centre: Point,
}

impl Lens {
    fn of(angle_deg: f64) -> Self {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        Self {
            length_mm: 2.0 * RADIUS_MM * sin,
            centre: Point::new(RADIUS_MM * sin, RADIUS_MM * cos),
        }
    }

    fn contains(&self, p: Point) -> bool {
        p.y < 0.0 && p.distance(self.centre) < RADIUS_MM
    }

    fn depth_mm(&self) -> f64 {
        RADIUS_MM - self.centre.y
    }

    /// The picture: dark on light, blurred over a pixel and a half, with noise, its tips half way
    /// between pixels.
    fn picture(&self, shift: f64) -> Picture {
        let wide = ((self.length_mm + 2.0 * BORDER_MM) * PX_PER_MM) as usize;
        let high = ((self.depth_mm() + 2.0 * BORDER_MM) * PX_PER_MM) as usize;
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
                    self.contains(mm)
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
}

#[test]
fn tips_come_out_where_they_are() {
    let options = TraceOptions {
        squaring: Squaring::Density(Some(25.4 * PX_PER_MM)),
        // As thin as a line, the sharpest of them.
        extract: ExtractOptions { subject: Subject::Filled, ..ExtractOptions::default() },
        ..TraceOptions::default()
    };
    let mut failures = Vec::new();
    for (angle_deg, within_mm) in
        [(10.0, 0.25), (15.0, 0.25), (20.0, 0.3), (30.0, 0.25), (45.0, 0.15)]
    {
        let lens = Lens::of(angle_deg);
        for shift in [0.0, 0.37, 0.71] {
            let picture = lens.picture(shift);
            let traced = trace(&picture, &options).unwrap();
            let high = picture.gray.height() as f64;
            let tips = [0.0, lens.length_mm].map(|x| {
                let px = Point::new((x + BORDER_MM) * PX_PER_MM, BORDER_MM * PX_PER_MM);
                Point::new((px.x + shift) / PX_PER_MM, (high - px.y - shift) / PX_PER_MM)
            });
            for tip in tips {
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
