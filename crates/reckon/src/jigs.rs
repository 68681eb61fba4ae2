//! Jigs: what the bench makes once for this knife, each with its own figures.

use crate::PlungeFrame;
use crate::context::FigureContext;
use crate::heat::{HeatFigures, blade_mm};
use crate::tables::Practice;
use crate::{HoleFigures, ScaleFigures, SharpeningFigures};
use knife::{HoleId, HoleKind};
use kurbo::{Point, Vec2};
use units::LengthUnit;

/// The centring block is turned to about so far from square, degrees: steep enough to be held, with
/// pegs that don't lock (common practice, no source).
const TURN_DEG: f64 = 40.0;
/// A size that nothing but custom decides: as round in inches as in millimetres.
#[derive(Clone, Copy)]
struct RoundSize {
    inch: f64,
    mm: f64,
}

impl RoundSize {
    /// In millimetres, for a knife in this unit.
    const fn mm(self, unit: LengthUnit) -> f64 {
        match unit {
            LengthUnit::Inch => self.inch * 25.4,
            LengthUnit::Millimetre => self.mm,
        }
    }
}

/// Pegs of the centring block and bolts of the filing guide (common practice, no source).
const PEG: RoundSize = RoundSize { inch: 0.25, mm: 6.0 };
/// The guide's jaws reach so far behind the plunge (common practice, no source).
const JAW: RoundSize = RoundSize { inch: 1.0, mm: 25.0 };
/// Room between a bolt of the guide and the steel, mm (common practice, no source).
const BOLT_ROOM_MM: f64 = 1.0;
/// A block that is laid under or over the work is at least so thick (common practice, no source).
const BLOCK: RoundSize = RoundSize { inch: 0.5, mm: 12.0 };
/// A block of an angle reaches so far past what lies on it, mm (common practice, no source).
const PAST_MM: f64 = 10.0;
/// The block for the scales' front is so high and so deep at its foot (common practice, no source).
const FRONT: RoundSize = RoundSize { inch: 1.5, mm: 40.0 };
/// The slope of the stand: a bench stone of 8 in or 200 mm lies on it with its ends over (common
/// practice, no source).
const STAND: RoundSize = RoundSize { inch: 6.0, mm: 150.0 };
/// A hole of the drilling support is so much wider than the drill, mm (common practice, no source).
const CLEAR_MM: f64 = 2.0;
/// What the chamber is longer than the blade, mm (common practice, no source).
const BEYOND_MM: f64 = 25.4;

/// Every jig for one knife.
#[derive(Clone, Debug, PartialEq)]
pub struct JigFigures {
    /// To scribe the middle of the stock's edge.
    pub centring: CentringBlock,
    /// To file the plunge square, when the bevels are decided.
    pub guide: Option<FilingGuide>,
    /// Holds the blade so that its bevel is level, when the bevels are decided.
    pub bevel: Option<AngleBlock>,
    /// Lies under the tang when it is drilled, when there are holes.
    pub support: Option<DrillSupport>,
    /// To finish the scales' front by, when they have one that leans.
    pub front: Option<AngleBlock>,
    /// Two soft bricks about the blade.
    pub chamber: Option<BrickChamber>,
    /// Holds the stone at the sharpening angle, when it is stated.
    pub stand: Option<AngleBlock>,
}

/// A block with two pegs and a scriber midway between them: turned until both pegs touch the
/// stock, one on each face, the scriber stands over its middle, however thick it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CentringBlock {
    /// Thickness of the stock, mm.
    pub stock_mm: f64,
    /// Diameter of the pegs, mm.
    pub peg_mm: f64,
    /// From middle to middle of the pegs, mm, rounded up to a whole one.
    pub apart_mm: f64,
    /// How far it is turned from lying across, degrees: asin((stock + peg) / apart).
    pub turn_deg: f64,
}

/// One jaw of the filing guide, seen from the side: its front on the plunge line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilingGuide {
    /// Height of the blank where the jaw holds it, mm.
    pub blank_mm: f64,
    /// Length of the jaw along the knife, mm.
    pub long_mm: f64,
    /// Height of the jaw, mm.
    pub high_mm: f64,
    /// Diameter of its bolts, mm.
    pub bolt_mm: f64,
    /// Middle of the bolts behind its front, mm.
    pub behind_mm: f64,
    /// Middles of the bolts along the plunge line from its foot at the edge, mm: the lower one is
    /// negative.
    pub bolts_mm: [f64; 2],
    /// Where the blank's outline crosses the jaw's front, and its back, along the plunge line, mm.
    pub front_mm: (f64, f64),
    /// The same at its back.
    pub back_mm: (f64, f64),
}

/// A block cut to an angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AngleBlock {
    /// The angle, degrees.
    pub angle_deg: f64,
    /// Length of its foot, mm.
    pub foot_mm: f64,
    /// Thickness at its thin end, mm.
    pub thin_mm: f64,
    /// By how much it rises, mm.
    pub rise_mm: f64,
}

/// A board under the tang, with wide holes where drills come through.
#[derive(Clone, Debug, PartialEq)]
pub struct DrillSupport {
    /// Its holes: which of the knife, where (in the knife's plane), how wide, mm.
    pub holes: Vec<(HoleId, Point, f64)>,
    /// Thickness of the board, mm.
    pub thick_mm: f64,
}

/// Two halves of a chamber cut into soft bricks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BrickChamber {
    /// Length of the blade that goes in, mm.
    pub blade_mm: f64,
    /// Bore, mm.
    pub bore_mm: f64,
    /// Length of one brick, mm.
    pub brick_mm: f64,
    /// Its width and its thickness, mm.
    pub section_mm: (f64, f64),
    /// Bricks in a row, of each half.
    pub bricks: u32,
    /// Diameter of the burner's hole, mm.
    pub burner_mm: f64,
    /// How far it is turned back from square, degrees.
    pub back_deg: f64,
    /// From the bore's middle line to that of the burner, so that the flame runs along the wall,
    /// mm: half the bore less half the burner.
    pub beside_mm: f64,
    /// How much nearer to the mouth the hole lies outside than where it meets the bore's middle,
    /// mm: the brick's thickness times the tangent of that turn.
    pub ahead_mm: f64,
}

pub(crate) fn figures(
    ctx: &FigureContext<'_>,
    scales: Option<&ScaleFigures>,
    holes: &[HoleFigures],
    sharpening: Option<&SharpeningFigures>,
    heat: &HeatFigures,
) -> JigFigures {
    let unit = ctx.knife.unit;
    JigFigures {
        centring: centring(ctx),
        guide: ctx.bevel.and_then(|bevel| guide(ctx, &bevel.plunge_frame)),
        bevel: ctx.bevel.map(|bevel| {
            let under_mm = guide(ctx, &bevel.plunge_frame)
                .map_or(ctx.profile.width_mm, |guide| guide.blank_mm);
            wedge(bevel.angle_deg, under_mm + 2.0 * PAST_MM, BLOCK.mm(unit))
        }),
        support: support(holes, unit),
        front: scales
            .filter(|scales| scales.bevel_deg > 0.0)
            .map(|scales| front_block(scales.bevel_deg, unit)),
        // A steel that needs an oven has no place in a fire of bricks.
        chamber: if heat.steel.as_ref().is_some_and(|steel| steel.needs_oven) {
            None
        } else {
            chamber(ctx)
        },
        stand: sharpening.map(|sharpening| {
            let angle = sharpening.angle_deg.to_radians();
            AngleBlock {
                angle_deg: sharpening.angle_deg,
                foot_mm: STAND.mm(unit) * angle.cos(),
                thin_mm: 0.0,
                rise_mm: STAND.mm(unit) * angle.sin(),
            }
        }),
    }
}

fn centring(ctx: &FigureContext<'_>) -> CentringBlock {
    let (stock_mm, peg_mm) = (ctx.knife.bar.thickness_mm, PEG.mm(ctx.knife.unit));
    let reach = stock_mm + peg_mm;
    let apart_mm = (reach / TURN_DEG.to_radians().sin()).ceil();
    CentringBlock { stock_mm, peg_mm, apart_mm, turn_deg: (reach / apart_mm).asin().to_degrees() }
}

/// The jaw holds the blank behind the plunge line; its bolts pass above the spine and below the
/// edge, clear of the blank along the whole jaw: it may be held anywhere in it.
fn guide(ctx: &FigureContext<'_>, frame: &PlungeFrame) -> Option<FilingGuide> {
    let bolt_mm = PEG.mm(ctx.knife.unit);
    let jaw_mm = JAW.mm(ctx.knife.unit);
    let behind_mm = jaw_mm / 2.0;
    let chord = |behind: f64| chord(ctx, frame, behind);
    let near = (0..=20).filter_map(|i| chord(jaw_mm * f64::from(i) / 20.0));
    let (low, high) = near.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
    let off_mm = BOLT_ROOM_MM + bolt_mm / 2.0;
    let bolts_mm = [low - off_mm, high + off_mm];
    let (front_mm, back_mm) = (chord(0.0)?, chord(jaw_mm).or_else(|| chord(behind_mm))?);
    Some(FilingGuide {
        blank_mm: high - low,
        long_mm: jaw_mm,
        high_mm: bolts_mm[1] - bolts_mm[0] + 3.0 * bolt_mm,
        bolt_mm,
        behind_mm,
        bolts_mm,
        front_mm,
        back_mm,
    })
}

/// From where to where along the plunge line's own direction the blank lies, so far behind it.
fn chord(ctx: &FigureContext<'_>, frame: &PlungeFrame, behind_mm: f64) -> Option<(f64, f64)> {
    let foot = frame.foot - frame.ahead * behind_mm;
    let reach = ctx.profile.bounds.width() + ctx.profile.bounds.height();
    let line = kurbo::Line::new(foot - frame.up * reach, foot + frame.up * reach);
    let along = |p: Point| (p - foot).dot(frame.up);
    let mut spans = ctx.outline.inside_intervals(line).into_iter().map(|(a, b)| {
        let (a, b) = (along(a), along(b));
        (a.min(b), a.max(b))
    });
    let first = spans.next()?;
    Some(spans.fold(first, |a, b| (a.0.min(b.0), a.1.max(b.1))))
}

fn wedge(angle_deg: f64, foot_mm: f64, thin_mm: f64) -> AngleBlock {
    AngleBlock { angle_deg, foot_mm, thin_mm, rise_mm: foot_mm * angle_deg.to_radians().tan() }
}

/// A block whose face leans back from square by the bevel of the scales' front: `foot_mm` is its
/// depth at the foot, `rise_mm` its height, `thin_mm` what is left of its depth at the top.
fn front_block(bevel_deg: f64, unit: LengthUnit) -> AngleBlock {
    let (front_mm, block_mm) = (FRONT.mm(unit), BLOCK.mm(unit));
    let lean_mm = front_mm * bevel_deg.to_radians().tan();
    AngleBlock {
        angle_deg: bevel_deg,
        foot_mm: lean_mm + block_mm,
        thin_mm: block_mm,
        rise_mm: front_mm,
    }
}

fn support(holes: &[HoleFigures], unit: LengthUnit) -> Option<DrillSupport> {
    let own = holes.iter().filter(|hole| hole.kind != HoleKind::Relief);
    let holes: Vec<_> = own.map(|hole| (hole.id, hole.at, hole.diameter_mm + CLEAR_MM)).collect();
    (!holes.is_empty()).then_some(DrillSupport { holes, thick_mm: BLOCK.mm(unit) })
}

fn chamber(ctx: &FigureContext<'_>) -> Option<BrickChamber> {
    let blade_mm = blade_mm(ctx.knife)?;
    // Bricks and bores are told in inches; a knife in millimetres has them to the whole one.
    let mm = |key| {
        let mm = practice(ctx, key)?;
        Some(if ctx.knife.unit == LengthUnit::Millimetre { mm.round() } else { mm })
    };
    let (bore_mm, brick_mm) = (mm("brick-chamber")?, mm("brick-length")?);
    let section_mm = (mm("brick-width")?, mm("brick-thick")?);
    let burner_mm = mm("burner-hole")?;
    let back_deg = ctx.tables.practice("burner-back")?.range.0;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few bricks")]
    let bricks = ((blade_mm + BEYOND_MM) / brick_mm).ceil().clamp(1.0, 20.0) as u32;
    Some(BrickChamber {
        blade_mm,
        bore_mm,
        brick_mm,
        section_mm,
        bricks,
        burner_mm,
        back_deg,
        beside_mm: (bore_mm - burner_mm) / 2.0,
        ahead_mm: section_mm.1 * back_deg.to_radians().tan(),
    })
}

/// A length of practice, mm.
fn practice(ctx: &FigureContext<'_>, key: &str) -> Option<f64> {
    ctx.tables.practice(key).map(Practice::mm)
}

impl CentringBlock {
    /// Where the second peg stands from the first when the block is turned: along the stock, and
    /// square to its faces.
    pub fn offset(&self) -> Vec2 {
        let (sin, cos) = self.turn_deg.to_radians().sin_cos();
        Vec2::new(self.apart_mm * cos, self.apart_mm * sin)
    }
}

#[cfg(test)]
mod tests {
    use crate::sample::{drilled, reckoned};
    use knife::{Bevel, Grind, GroundSides, STARTERS, Scales, Sharpening};

    // By hand: stock of 4 mm between pegs of 6 mm is 10 mm from middle to middle across: 16 mm
    // apart they stand at asin(10/16) = 38.68°.
    #[test]
    fn the_centring_block_finds_the_middle() {
        let mut knife = drilled(&[]);
        knife.bar.thickness_mm = 4.0;
        let block = reckoned(&knife).jigs.unwrap().centring;
        assert_eq!(block.apart_mm, 16.0);
        assert!((block.turn_deg - 38.682).abs() < 1e-3);
        // Both pegs touch a face each, and the middle between them is the stock's.
        assert!((block.offset().y - (4.0 + 6.0)).abs() < 1e-9);
    }

    // By hand: the bar of 30 mm: bolts of 6 mm stand 4 mm off it; a bevel of atan(1.5/20) on a
    // foot of 30 + 20 mm rises 3.75 mm.
    #[test]
    fn guide_blocks_and_stand_by_hand() {
        let mut knife = drilled(&[(150.0, 0.0, 6.0), (170.0, 0.0, 4.0)]);
        knife.bar.thickness_mm = 4.0;
        knife.bevel = Some(Bevel {
            plunge_x_mm: 90.0,
            grind_height_mm: 20.0,
            edge_thickness_mm: 1.0,
            grind: Grind::Flat,
            sides: GroundSides::Both,
            plunge_lean_deg: 0.0,
            plunge_file_mm: 0.0,
        });
        knife.scales = Some(Scales { front_x_mm: 120.0, thickness_mm: 6.0 });
        knife.sharpening = Some(Sharpening { angle_deg: 30.0, edge_mm: None });
        let jigs = reckoned(&knife).jigs.unwrap();
        let guide = jigs.guide.unwrap();
        assert!((guide.blank_mm - 30.0).abs() < 1e-9);
        assert!((guide.bolts_mm[0] + 4.0).abs() < 1e-9 && (guide.bolts_mm[1] - 34.0).abs() < 1e-9);
        assert!((jigs.bevel.unwrap().rise_mm - 3.75).abs() < 1e-9);
        let stand = jigs.stand.unwrap();
        assert!((stand.rise_mm - 75.0).abs() < 1e-9);
        assert!((stand.rise_mm.hypot(stand.foot_mm) - 150.0).abs() < 1e-9);
        // The usual front leans 45°.
        let front = jigs.front.unwrap();
        assert!((front.foot_mm - front.thin_mm - front.rise_mm).abs() < 1e-9);
        let widths: Vec<f64> = jigs.support.unwrap().holes.iter().map(|hole| hole.2).collect();
        assert_eq!(widths, [8.0, 6.0]);
    }

    // By hand: bricks of 9 in: 90 mm of blade go in one; the burner of 1 in runs along the wall of
    // the bore of 2 1/4 in at 5/8 in from its middle; 2 1/2 in at 20° are 0.910 in.
    #[test]
    fn the_chamber_is_the_tables() {
        for starter in STARTERS {
            let reckoning = reckoned(&starter.knife());
            let Some(chamber) = reckoning.jigs.unwrap().chamber else { continue };
            assert!((chamber.beside_mm / 25.4 - 0.625).abs() < 1e-9);
            assert!((chamber.ahead_mm / 25.4 - 0.910).abs() < 1e-3);
            let long_mm = f64::from(chamber.bricks) * chamber.brick_mm;
            assert!(long_mm > chamber.blade_mm + 25.0, "{}", starter.key);
        }
    }
}
