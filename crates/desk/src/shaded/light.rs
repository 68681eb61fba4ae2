//! Light, and the tones of steel that it makes.

use egui::Color32;
use kurbo::{Point, Vec2};

/// Light from the side. Slopes of a blade are a few degrees, so light that comes in low tells
/// them apart as on a photograph.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Way towards the light in the plane of the face; its length is the cosine of the light's
    /// height over that plane.
    pub from: Vec2,
    /// How strongly a slope changes the tone.
    pub gain: f64,
    /// How strongly the light is mirrored as a soft band, 0 for none.
    pub sheen: f64,
    /// Where that band lies, and how wide it is, mm.
    pub band: (Point, f64),
    /// How strong the marks of the last belt are, 0 for none.
    pub grain: f64,
}

/// The middle tone: that of a face without slope.
pub(super) const MIDDLE: f64 = 0.62;
/// Marks of the belt: how far apart, and how long, mm.
const MARKS_MM: (f64, f64) = (0.16, 17.0);

impl Light {
    /// Light from the upper left alone, without sheen or grain.
    pub fn plain() -> Self {
        Self {
            from: Vec2::new(-0.58, 0.66),
            gain: 5.2,
            sheen: 0.0,
            band: (Point::ORIGIN, 1.0),
            grain: 0.0,
        }
    }

    /// Light on a knife that lies in this box: with a soft band over its blade and the marks of
    /// the belt along it.
    pub fn over(bounds: kurbo::Rect) -> Self {
        let middle = bounds.center();
        Self { sheen: 0.13, band: (middle, bounds.width() * 0.16), grain: 0.016, ..Self::plain() }
    }

    /// The same light as it is seen in a plane that is turned or mirrored.
    #[must_use]
    pub fn turned(self, plane_from_screen: kurbo::Affine) -> Self {
        let turned = plane_from_screen * self.from.to_point() - plane_from_screen * Point::ORIGIN;
        Self { from: turned.normalize() * self.from.hypot(), ..self }
    }

    /// The tone of a face that rises by these slopes along x and y, at a place; 0 is dark, 1 is
    /// bright.
    pub(super) fn tone(&self, rise: Vec2, at: Point) -> f64 {
        let up = (1.0 - self.from.hypot2()).max(0.0).sqrt();
        let long = (1.0 + rise.hypot2()).sqrt();
        let facing = (up - rise.dot(self.from)) / long - up;
        let room = if facing < 0.0 { MIDDLE } else { 1.0 - MIDDLE } * 0.94;
        let tone = MIDDLE + room * (self.gain * facing / room).tanh();
        if self.sheen == 0.0 {
            return tone;
        }
        // A slope moves the band as a tilted mirror would.
        let (middle, wide) = self.band;
        let off =
            (at - middle).dot(self.from) / self.from.hypot() + rise.dot(self.from) * wide * 6.0;
        (tone + self.sheen * (-(off / wide).powi(2)).exp()).clamp(0.0, 1.0)
    }

    /// By how much the marks of the belt change the tone at a place.
    pub(super) fn marks(&self, at: Point) -> f64 {
        let along = at.x / MARKS_MM.1;
        let row = (at.y / MARKS_MM.0).floor() as i64;
        let cell = along.floor();
        let share = along - cell;
        let smooth = share * share * (3.0 - 2.0 * share);
        let (a, b) = (noise(row, cell as i64), noise(row, cell as i64 + 1));
        self.grain * (a + (b - a) * smooth)
    }
}

/// A number from −1 to 1 that looks like chance and is always the same.
fn noise(row: i64, cell: i64) -> f64 {
    let mut bits = (row as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ (cell as u64) << 32;
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    f64::from((bits >> 40) as u32) / f64::from(1_u32 << 23) - 1.0
}

/// The tones of steel from dark to bright.
#[derive(Clone, Debug)]
pub struct Tones([Color32; 256]);

impl Tones {
    /// Tones from dark over a middle one to bright.
    pub fn of([dark, middle, bright]: [Color32; 3]) -> Self {
        let tone = |i: usize| {
            #[expect(clippy::cast_precision_loss, reason = "256 tones")]
            let tone = i as f32 / 255.0;
            #[expect(clippy::cast_possible_truncation, reason = "a tone")]
            let middle_at = MIDDLE as f32;
            if tone < middle_at {
                dark.lerp_to_gamma(middle, tone / middle_at)
            } else {
                middle.lerp_to_gamma(bright, (tone - middle_at) / (1.0 - middle_at))
            }
        };
        Self(std::array::from_fn(tone))
    }

    /// Plain greys, of which each tells its tone.
    pub fn grey() -> Self {
        Self(std::array::from_fn(|i| Color32::from_gray(i as u8)))
    }

    /// The colour of a tone.
    pub(super) fn colour(&self, tone: f64) -> Color32 {
        self.0[(tone.clamp(0.0, 1.0) * 255.0).round() as usize]
    }
}
