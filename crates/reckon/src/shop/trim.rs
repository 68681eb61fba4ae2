//! The trim of a printer: how long lines really come out, from what was measured on a proof, and
//! what to send so that they come out true.
//!
//! A printer's error is taken as the same all over the page: lengths across are multiplied by one
//! factor, lengths up by another, and a right angle is off by the skew. Squared lengths are then
//! `G₁₁x² + 2·G₁₂xy + G₂₂y²` for a line sent as (x, y), with three unknowns, fitted to all
//! readings by least squares.

use kurbo::Vec2;
use std::collections::BTreeSet;
use std::fmt;

/// Length over which a trim's uncertainty is told, mm: about that of a knife.
pub const REFERENCE_LENGTH_MM: f64 = 250.0;
/// How far off a careful reading by rule or calipers may be, mm: common practice, no source.
pub const READING_ERROR_MM: f64 = 0.15;
/// More than this off is no printer's error but a wrong setting: common practice, no source.
pub const MAX_SCALE_ERROR: f64 = 0.03;
/// A trim whose lengths are not surely this good over [`REFERENCE_LENGTH_MM`] is worth more readings, mm.
pub const GOOD_ERROR_MM: f64 = 0.1;
/// Two readings of one proof that differ by more than this are not of the same sheet, mm.
const DISAGREE_MM: f64 = 1.0;
/// A right angle further off than this is paper that slipped, degrees.
const MAX_SKEW_DEG: f64 = 1.0;
/// Twice the standard uncertainty: about 95 in 100 lie within it (JCGM 100:2008, 6.2 and G.6.6).
const COVERAGE: f64 = 2.0;

/// What makes a printer's sheets come true, on paper held upright.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trim {
    /// Factor across the page: true length over printed length.
    pub scale_x: f64,
    /// Factor up the page: true length over printed length.
    pub scale_y: f64,
    /// By how much a printed right angle is over 90°, degrees.
    pub skew_deg: f64,
    /// By how much a line of [`REFERENCE_LENGTH_MM`] may still be off, mm (about 95 in 100 are better);
    /// `None` when it was typed and not measured.
    pub within_mm: Option<f64>,
    /// The paper it was measured on; empty when that is not known.
    pub paper: String,
    /// What was measured, of all proofs.
    pub readings: Vec<ProofReading>,
}

/// A line of a proof as it was sent to the printer and as it came out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProofReading {
    /// From its one end to the other, as sent, paper upright, mm.
    pub sent_mm: Vec2,
    /// Its length on the paper, mm.
    pub measured_mm: f64,
}

impl ProofReading {
    fn ratio(&self) -> f64 {
        self.measured_mm / self.sent_mm.hypot()
    }

    /// Which line of the proof it is.
    fn line(&self) -> &'static str {
        let Vec2 { x, y } = self.sent_mm;
        if y.abs() < 0.1 * x.abs() {
            "lines across"
        } else if x.abs() < 0.1 * y.abs() {
            "lines up"
        } else if x * y > 0.0 {
            "rising diagonal"
        } else {
            "falling diagonal"
        }
    }
}

/// Why readings make no trim.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TrimError {
    /// Too few lines for three unknowns.
    #[error("measure at least one line across, one up and one diagonal of the proof")]
    TooFew,
    /// A reading that no line has.
    #[error(
        "the reading {measured} mm of the {line} isn't a length: type what the rule shows from \
         cross to cross"
    )]
    NoLength {
        /// Which line.
        line: &'static str,
        /// The reading.
        measured: String,
    },
    /// The sheet was not printed at actual size.
    #[error(
        "the {line} came out at {percent} % of their length, and no printer is that far off: the \
         proof was printed by a wrong setting. Choose \"actual size\", \"100 %\" or \"no scaling\" \
         (never \"fit\", \"shrink\" or \"fill\"), and the paper that is in the printer; then print \
         the proof again"
    )]
    WrongSetting {
        /// Which lines are the furthest off.
        line: &'static str,
        /// Printed over sent, percent.
        percent: String,
    },
    /// One reading is far from what the others say.
    #[error(
        "the reading {measured} mm of the {line} is {off} mm from what the others say: measure it \
         again, cross to cross"
    )]
    Misread {
        /// Which line.
        line: &'static str,
        /// The reading.
        measured: String,
        /// By how much it is off, mm.
        off: String,
    },
    /// Right angles are not right.
    #[error(
        "right angles came out {off}° off: the paper slipped in the printer. Square the stack, \
         close its guides and print the proof again"
    )]
    Slipped {
        /// By how much, degrees.
        off: String,
    },
    /// A second proof does not bear the trim out.
    #[error(
        "by this proof a line of 250 mm is still {off} mm off, more than its correction allows: \
         it was printed without the correction, on another printer or another paper, or the \
         printer changed. Print a proof without a correction and measure again"
    )]
    NotConfirmed {
        /// By how much a line of 250 mm is off, mm.
        off: String,
    },
}

impl Trim {
    /// The trim that a proof's readings give.
    ///
    /// # Errors
    /// [`TrimError`]: readings that are too few, of a wrong print setting, or that disagree.
    pub fn measure(paper: &str, readings: Vec<ProofReading>) -> Result<Self, TrimError> {
        let fit = Fit::of(&readings)?;
        let (kx, ky) = (fit.metric[0].sqrt(), fit.metric[1].sqrt());
        let cosine = fit.metric[2] / (kx * ky);
        Ok(Self {
            scale_x: 1.0 / kx,
            scale_y: 1.0 / ky,
            skew_deg: -cosine.clamp(-1.0, 1.0).asin().to_degrees(),
            within_mm: Some(fit.within_mm),
            paper: paper.to_owned(),
            readings,
        })
    }

    /// The trim of these readings together with all that were measured before, once they bear
    /// the trim out: they are of a proof printed with it.
    ///
    /// # Errors
    /// [`TrimError::NotConfirmed`] when they don't; else as [`Trim::measure`].
    pub fn confirm(&self, readings: Vec<ProofReading>) -> Result<Self, TrimError> {
        let own = Fit::of(&readings).map_err(|fault| match fault {
            // Lines that far off were printed without the trim, more likely.
            TrimError::WrongSetting { .. } => {
                let off = readings.iter().map(|r| (REFERENCE_LENGTH_MM * (r.ratio() - 1.0)).abs());
                TrimError::NotConfirmed { off: units::show_number(off.fold(0.0, f64::max), 1) }
            }
            other => other,
        })?;
        // Both may be off by what they say of themselves, in 95 of 100; half as much again in all
        // but one of 300.
        let allowed =
            1.5 * self.within_mm.unwrap_or(GOOD_ERROR_MM).hypot(own.within_mm) + GOOD_ERROR_MM;
        let [[a, b], [_, d]] = self.correction();
        let left = worst(|direction| {
            let sent =
                Vec2::new(a * direction.x + b * direction.y, b * direction.x + d * direction.y);
            (REFERENCE_LENGTH_MM * (own.length(sent) - 1.0)).abs()
        });
        if left > allowed {
            return Err(TrimError::NotConfirmed { off: units::show_number(left, 1) });
        }
        Self::measure(&self.paper, self.readings.iter().copied().chain(readings).collect())
    }

    /// What to multiply places by before they are sent, paper upright: rows of a symmetric
    /// matrix, so that nothing is turned more than it must be.
    pub fn correction(&self) -> [[f64; 2]; 2] {
        let (kx, ky) = (1.0 / self.scale_x, 1.0 / self.scale_y);
        let off = -kx * ky * self.skew_deg.to_radians().sin();
        // The root of a symmetric 2 × 2 matrix A is (A + √det·1)/√(trace + 2√det); then inverted.
        let root_det = (kx * kx * ky * ky - off * off).max(0.0).sqrt();
        let by = (kx * kx + ky * ky + 2.0 * root_det).sqrt();
        let (a, b, d) = ((kx * kx + root_det) / by, off / by, (ky * ky + root_det) / by);
        let det = a * d - b * b;
        [[d / det, -b / det], [-b / det, a / det]]
    }

    /// Whether its factors can be a printer's error at all.
    pub fn is_believable(&self) -> bool {
        let believable = |scale: f64| (1.0 / scale - 1.0).abs() <= MAX_SCALE_ERROR + 1e-9;
        believable(self.scale_x) && believable(self.scale_y) && self.skew_deg.abs() <= MAX_SKEW_DEG
    }
}

/// What it does, for the sheets: "101.94 % across, 101.63 % up, 0.20° skew, ±0.08 mm in 250 mm".
impl fmt::Display for Trim {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |scale: f64| units::show_number(100.0 * scale, 2);
        write!(f, "{} % across, {} % up", percent(self.scale_x), percent(self.scale_y))?;
        write!(f, ", {}° skew", units::show_number(self.skew_deg, 2))?;
        if let Some(within) = self.within_mm {
            write!(f, ", ±{} mm in {REFERENCE_LENGTH_MM} mm", units::show_number(within, 2))?;
        }
        if !self.paper.is_empty() {
            write!(f, ", measured on {}", self.paper)?;
        }
        Ok(())
    }
}

/// Least squares over readings.
struct Fit {
    /// G₁₁, G₂₂, G₁₂.
    metric: [f64; 3],
    within_mm: f64,
}

impl Fit {
    fn of(readings: &[ProofReading]) -> Result<Self, TrimError> {
        setting(readings)?;
        let all: Vec<&ProofReading> = readings.iter().collect();
        let (metric, spread) = solved(&all).ok_or(TrimError::TooFew)?;
        let fit = Self { metric, within_mm: 0.0 };
        let off = |r: &ProofReading| r.measured_mm - fit.length(r.sent_mm);
        // What a reading differs by from what all others say: its own weight is taken out.
        let alone = |r: &ProofReading| {
            off(r) / (1.0 - square(&spread, slope(&metric, r.sent_mm))).max(0.05)
        };
        if let Some(worst) =
            readings.iter().max_by(|a, b| alone(a).abs().total_cmp(&alone(b).abs()))
            && alone(worst).abs() > DISAGREE_MM
        {
            let (worst, off_mm) = misread(readings).unwrap_or((*worst, alone(worst)));
            return Err(TrimError::Misread {
                line: worst.line(),
                measured: units::show_number(worst.measured_mm, 2),
                off: units::show_number(off_mm.abs(), 1),
            });
        }
        let skew_deg = (metric[2] / (metric[0] * metric[1]).sqrt()).asin().to_degrees().abs();
        if skew_deg > MAX_SKEW_DEG {
            return Err(TrimError::Slipped { off: units::show_number(skew_deg, 1) });
        }
        // Few readings may agree by chance: never take them for better than readings are. A
        // reading anywhere within ±a has the standard uncertainty a/√3 (JCGM 100:2008, 4.3.7).
        #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
        let free = readings.len().saturating_sub(3).max(1) as f64;
        let seen = (readings.iter().map(|r| off(r).powi(2)).sum::<f64>() / free).sqrt();
        let sigma = seen.max(READING_ERROR_MM / 3.0_f64.sqrt());
        let within_mm = worst(|direction| {
            COVERAGE
                * sigma
                * square(&spread, slope(&metric, REFERENCE_LENGTH_MM * direction)).max(0.0).sqrt()
        });
        Ok(Self { within_mm, ..fit })
    }

    fn length(&self, sent: Vec2) -> f64 {
        length(&self.metric, sent)
    }
}

/// The metric that fits the readings best, and its spread; `None` with too few lines.
fn solved(readings: &[&ProofReading]) -> Option<([f64; 3], [[f64; 3]; 3])> {
    let mut metric = [1.0, 1.0, 0.0];
    let mut spread = [[0.0; 3]; 3];
    // Lengths are all but linear in the metric: three steps are enough, a few more do no harm.
    for _step in 0..6 {
        let mut normal = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        for reading in readings {
            let slope = slope(&metric, reading.sent_mm);
            let off = reading.measured_mm - length(&metric, reading.sent_mm);
            for i in 0..3 {
                right[i] += slope[i] * off;
                for j in 0..3 {
                    normal[i][j] += slope[i] * slope[j];
                }
            }
        }
        spread = inverse(normal)?;
        for i in 0..3 {
            metric[i] += (0..3).map(|j| spread[i][j] * right[j]).sum::<f64>();
        }
    }
    Some((metric, spread))
}

/// Which reading is wrong, where lines contradict each other, and by how much. Any three of the
/// four lines agree, whatever they are; but only those without the wrong one make a printer that
/// is nearly alike in all directions, as printers are.
fn misread(readings: &[ProofReading]) -> Option<(ProofReading, f64)> {
    let lines: BTreeSet<&'static str> = readings.iter().map(ProofReading::line).collect();
    let without = |line: &&'static str| {
        let rest: Vec<&ProofReading> = readings.iter().filter(|r| r.line() != *line).collect();
        let (metric, _) = solved(&rest)?;
        let spread = worst(|direction| length(&metric, direction))
            + worst(|direction| -length(&metric, direction) + 2.0);
        Some((spread, *line, metric))
    };
    let found = lines.iter().filter_map(without).min_by(|a, b| a.0.total_cmp(&b.0));
    let (_, line, metric) = found.filter(|_| lines.len() > 3)?;
    let off = |r: &ProofReading| r.measured_mm - length(&metric, r.sent_mm);
    let all = readings.iter().filter(|r| r.line() == line);
    all.map(|r| (*r, off(r))).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
}

/// Refuses what no printer does.
fn setting(readings: &[ProofReading]) -> Result<(), TrimError> {
    let is_length = |r: &ProofReading| r.measured_mm > 0.0 && r.ratio().is_finite();
    if let Some(none) = readings.iter().find(|r| !is_length(r)) {
        let (line, measured) = (none.line(), units::show_number(none.measured_mm, 2));
        return Err(TrimError::NoLength { line, measured });
    }
    let off = |r: &ProofReading| (r.ratio() - 1.0).abs();
    let far: Vec<&ProofReading> = readings.iter().filter(|r| off(r) > MAX_SCALE_ERROR).collect();
    let worst = far.iter().max_by(|a, b| off(a).total_cmp(&off(b)));
    // One alone is a slip of the pen: the fit will find it.
    let Some(worst) = worst.filter(|_| far.len() > 1) else { return Ok(()) };
    let percent = units::show_number(100.0 * worst.ratio(), 1);
    Err(TrimError::WrongSetting { line: worst.line(), percent })
}

fn length(metric: &[f64; 3], Vec2 { x, y }: Vec2) -> f64 {
    (metric[0] * x * x + metric[1] * y * y + 2.0 * metric[2] * x * y).max(0.0).sqrt()
}

/// What uncertain a figure with that slope is, by the spread of the metric.
fn square(spread: &[[f64; 3]; 3], slope: [f64; 3]) -> f64 {
    let terms = (0..3).flat_map(|i| (0..3).map(move |j| (i, j)));
    terms.map(|(i, j)| slope[i] * spread[i][j] * slope[j]).sum()
}

/// How a length changes with the metric.
fn slope(metric: &[f64; 3], sent: Vec2) -> [f64; 3] {
    let twice = 2.0 * length(metric, sent).max(1e-9);
    [sent.x * sent.x / twice, sent.y * sent.y / twice, 2.0 * sent.x * sent.y / twice]
}

/// The most of a figure over all directions.
fn worst(figure: impl Fn(Vec2) -> f64) -> f64 {
    (0..180u32).map(|deg| figure(Vec2::from_angle(f64::from(deg).to_radians()))).fold(0.0, f64::max)
}

/// The inverse of a symmetric matrix by its cofactors; `None` when there is none.
fn inverse(m: [[f64; 3]; 3]) -> Option<[[f64; 3]; 3]> {
    let cofactor = |i: usize, j: usize| {
        let (a, b, c, d) = ((i + 1) % 3, (i + 2) % 3, (j + 1) % 3, (j + 2) % 3);
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    let det: f64 = (0..3).map(|j| m[0][j] * cofactor(0, j)).sum();
    let size = m.iter().flatten().fold(0.0_f64, |max, v| max.max(v.abs()));
    if det.abs() <= 1e-9 * size.powi(3) || !det.is_finite() {
        return None;
    }
    let mut inverse = [[0.0; 3]; 3];
    for (i, row) in inverse.iter_mut().enumerate() {
        for (j, cell) in row.iter_mut().enumerate() {
            *cell = cofactor(j, i) / det;
        }
    }
    Some(inverse)
}

#[cfg(test)]
mod tests;
