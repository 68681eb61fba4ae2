//! A simulated printer with known errors, measured by a simulated hand.

use super::*;
use kurbo::{Affine, Point};
use proptest::prelude::*;

/// What a printer does to the page, turned a little besides, which nobody can measure.
#[derive(Clone, Copy, Debug)]
struct Press {
    kx: f64,
    ky: f64,
    skew_deg: f64,
    turn_deg: f64,
}

impl Press {
    fn prints(self, sent: Vec2) -> Vec2 {
        let (sin, cos) = self.skew_deg.to_radians().sin_cos();
        let press = Affine::rotate(self.turn_deg.to_radians())
            * Affine::new([self.kx, 0.0, -self.ky * sin, self.ky * cos, 0.0, 0.0]);
        (press * Point::from(<(f64, f64)>::from(sent))).to_vec2()
    }

    /// The proof's six lines, each read so many times; readings are off by what `hand` says.
    fn proof(
        self,
        trim: Option<&Trim>,
        times: usize,
        hand: &mut dyn FnMut() -> f64,
    ) -> Vec<ProofReading> {
        let (w, h) = (175.0, 235.0);
        let lines = [(w, 0.0), (w, 0.0), (0.0, h), (0.0, h), (w, h), (w, -h)];
        let read = |line: &(f64, f64)| {
            let sent_mm = trim.map_or(Vec2::from(*line), |t| sent(t, Vec2::from(*line)));
            ProofReading { sent_mm, measured_mm: self.prints(sent_mm).hypot() + hand() }
        };
        std::iter::repeat_n(lines, times).flatten().collect::<Vec<_>>().iter().map(read).collect()
    }

    /// The error of a line of 250 mm that way, printed with a trim, mm.
    fn off_along(self, trim: &Trim, direction: Vec2) -> f64 {
        (self.prints(sent(trim, REFERENCE_LENGTH_MM * direction)).hypot() - REFERENCE_LENGTH_MM)
            .abs()
    }

    /// The worst error of a line of 250 mm printed with a trim, mm.
    fn off(self, trim: &Trim) -> f64 {
        worst(|direction| self.off_along(trim, direction))
    }
}

fn sent(trim: &Trim, v: Vec2) -> Vec2 {
    let [[a, b], [c, d]] = trim.correction();
    Vec2::new(a * v.x + b * v.y, c * v.x + d * v.y)
}

/// Anywhere within ±0.15 mm, by a plain congruential generator (constants of Knuth's MMIX).
fn hand(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
    move || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 11) as f64 / (1u64 << 53) as f64 * 2.0 - 1.0) * READING_ERROR_MM
    }
}

/// 2 % small, 0.4 % apart, 0.2° askew.
const POOR: Press = Press { kx: 0.978, ky: 0.982, skew_deg: 0.2, turn_deg: 0.3 };

#[test]
fn a_poor_printer_is_brought_true() {
    let untrimmed = Trim { scale_x: 1.0, scale_y: 1.0, ..Trim::default() };
    assert!(POOR.off(&untrimmed) > 5.0);
    let (mut good, mut held, mut max) = (0, [0; 4], 0.0_f64);
    let many = 1000;
    for seed in 0..many {
        let mut hand = hand(seed);
        let first = Trim::measure("letter", POOR.proof(None, 2, &mut hand)).unwrap();
        let second = first.confirm(POOR.proof(Some(&first), 2, &mut hand)).unwrap();
        let off = POOR.off(&second);
        max = max.max(off);
        good += u32::from(off <= GOOD_ERROR_MM);
        for (i, held) in held.iter_mut().enumerate() {
            let direction = Vec2::from_angle(std::f64::consts::FRAC_PI_4 * i as f64);
            *held += u32::from(POOR.off_along(&second, direction) <= second.within_mm.unwrap());
        }
        assert!((second.skew_deg - 0.2).abs() < 0.08, "{second:?}");
    }
    // Two proofs, each line read twice. The readings' error is all that is left; a run of bad
    // luck in twenty-four of them stays possible, and the trim tells how far it may reach.
    assert!(good >= 970, "{good} of {many} within 0.1 mm in every direction");
    assert!(held.iter().all(|n| *n >= 950), "{held:?} of {many} within what was told");
    assert!(max < 0.2, "the worst of {many} is off by {max} mm");
}

#[test]
fn more_readings_are_never_told_to_be_worse() {
    let mut message = f64::MAX;
    for times in 1..6 {
        let within = Trim::measure("a4", POOR.proof(None, times, &mut || 0.0)).unwrap().within_mm;
        assert!(within.unwrap() < message, "{within:?}");
        message = within.unwrap();
    }
    assert!(message < GOOD_ERROR_MM);
}

#[test]
fn a_wrong_setting_is_refused_and_the_right_one_told() {
    for (kx, ky) in [(0.94, 0.94), (0.9693, 0.97), (1.05, 1.0), (1.0, 1.042)] {
        let press = Press { kx, ky, skew_deg: 0.0, turn_deg: 0.0 };
        let fault = Trim::measure("a4", press.proof(None, 1, &mut || 0.0)).unwrap_err();
        let message = fault.to_string();
        assert!(message.contains("actual size") && message.contains("100 %"), "{message}");
    }
    let press = Press { kx: 0.971, ky: 1.029, skew_deg: 0.0, turn_deg: 0.0 };
    let trim = Trim::measure("a4", press.proof(None, 1, &mut || 0.0)).unwrap();
    assert!(trim.is_believable() && press.off(&trim) < 1e-6);
}

#[test]
fn a_slip_of_the_pen_or_the_paper_is_found() {
    let mut readings = POOR.proof(None, 1, &mut || 0.0);
    readings[3].measured_mm += 3.0;
    let message = Trim::measure("a4", readings.clone()).unwrap_err().to_string();
    assert!(message.contains("lines up") && message.contains("measure it again"), "{message}");
    readings[3].measured_mm += 60.0;
    let message = Trim::measure("a4", readings.clone()).unwrap_err().to_string();
    assert!(message.contains("lines up") && message.contains("measure it again"), "{message}");
    let askew = Press { skew_deg: 1.4, ..POOR };
    let message = Trim::measure("a4", askew.proof(None, 1, &mut || 0.0)).unwrap_err().to_string();
    assert!(message.contains("1.4°") && message.contains("slipped"), "{message}");
    assert_eq!(Trim::measure("a4", vec![]), Err(TrimError::TooFew));
    readings.retain(|r| r.line() == "lines across");
    assert_eq!(Trim::measure("a4", readings), Err(TrimError::TooFew));
}

#[test]
fn a_second_proof_from_elsewhere_confirms_nothing() {
    let trim = Trim::measure("a4", POOR.proof(None, 1, &mut || 0.0)).unwrap();
    // Printed without the trim, but typed in as printed with it.
    let mut without = POOR.proof(None, 1, &mut || 0.0);
    for (one, with) in without.iter_mut().zip(POOR.proof(Some(&trim), 1, &mut || 0.0)) {
        one.sent_mm = with.sent_mm;
    }
    assert!(matches!(trim.confirm(without), Err(TrimError::NotConfirmed { .. })));
    let other = Press { kx: 0.999, ..POOR };
    let fault = trim.confirm(other.proof(Some(&trim), 1, &mut || 0.0)).unwrap_err();
    assert!(fault.to_string().contains("another printer"), "{fault}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Without reading errors any printer is brought true to a hair, whichever way its errors lie.
    #[test]
    fn exact_readings_give_an_exact_trim(
        kx in 0.971..1.029f64, ky in 0.971..1.029f64, skew_deg in -0.9..0.9f64,
        turn_deg in -2.0..2.0f64,
    ) {
        let press = Press { kx, ky, skew_deg, turn_deg };
        // The diagonals of a page that is askew as well as off may be further off than its sides.
        let readings = press.proof(None, 1, &mut || 0.0);
        prop_assume!(readings.iter().all(|r| (r.ratio() - 1.0).abs() <= MAX_SCALE_ERROR));
        let trim = Trim::measure("a4", readings).unwrap();
        prop_assert!(press.off(&trim) < 1e-6, "{:?}", trim);
        prop_assert!((trim.scale_x * kx - 1.0).abs() < 1e-9);
        prop_assert!((trim.scale_y * ky - 1.0).abs() < 1e-9);
        prop_assert!((trim.skew_deg - skew_deg).abs() < 1e-7, "{:?}", trim);
    }
}

#[test]
fn no_reading_is_zero_or_less() {
    for wrong in [0.0, -180.0, f64::NAN] {
        let mut readings = POOR.proof(None, 1, &mut || 0.0);
        readings[0].measured_mm = wrong;
        let message = Trim::measure("letter", readings).unwrap_err().to_string();
        assert!(message.contains("of the lines across isn't a length"), "{message}");
    }
}

/// Each line in turn is misread, once in both of its readings and once in one.
#[test]
fn the_line_that_is_wrong_is_blamed() {
    for off in [4.0, -5.0] {
        let lines = [
            (vec![0, 1], "lines across"),
            (vec![2, 3], "lines up"),
            (vec![2], "lines up"),
            (vec![4], "rising diagonal"),
            (vec![5], "falling diagonal"),
        ];
        for (which, line) in lines {
            let mut readings = POOR.proof(None, 1, &mut || 0.0);
            for k in &which {
                readings[*k].measured_mm += off;
            }
            // Several readings out of all reason tell of a wrong setting, which is said first.
            match Trim::measure("letter", readings).unwrap_err() {
                TrimError::Misread { line: blamed, .. } => {
                    assert_eq!(blamed, line, "{which:?} {off}")
                }
                TrimError::WrongSetting { .. } => {}
                other => panic!("{line} {off}: {other}"),
            }
        }
    }
}
