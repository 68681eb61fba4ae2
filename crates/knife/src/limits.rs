//! What a knife's numbers may be, for the file and for edits alike.

use crate::Profile;
use std::ops::RangeInclusive;

/// Any coordinate, mm. Wide enough for an outline drawn far from its origin.
pub const COORDINATE_MM: RangeInclusive<f64> = -1.0e7..=1.0e7;
/// Width of a bar, mm.
pub const BAR_WIDTH_MM: RangeInclusive<f64> = 1.0..=1000.0;
/// Thickness of a bar, mm.
pub const BAR_THICKNESS_MM: RangeInclusive<f64> = 0.1..=50.0;
/// Length of a bar, mm.
pub const BAR_LENGTH_MM: RangeInclusive<f64> = 10.0..=10_000.0;
/// What a traced outline may be off by, mm.
pub const TRACED_MM: RangeInclusive<f64> = 0.001..=100.0;
/// A lens's distortion over half the diagonal of a picture: no lens that a person would measure by
/// bends more (own choice).
pub const DISTORTION: RangeInclusive<f64> = -1.0..=1.0;
/// Characters of a picture's path.
pub const PATH_CHARS: usize = 1_000;
/// Turn of the blank on its bar, degrees.
pub const TURN_DEG: RangeInclusive<f64> = -360.0..=360.0;
/// Diameter of a hole or a pin, mm.
pub const DIAMETER_MM: RangeInclusive<f64> = 0.1..=100.0;
/// A blank shorter than this is no blank, mm: the smallest usual folding blades are several times
/// as long (common practice, no source).
pub const MIN_LENGTH_MM: f64 = 5.0;
/// Height of the grind line above the edge, mm, on any profile; [`grind_height_on`] bounds it on
/// one.
pub const GRIND_HEIGHT_MM: RangeInclusive<f64> = 0.1..=500.0;
/// Thickness left at the edge, mm.
pub const EDGE_THICKNESS_MM: RangeInclusive<f64> = 0.0..=20.0;
/// Lean of the plunge line, degrees.
pub const LEAN_DEG: RangeInclusive<f64> = -60.0..=60.0;
/// Diameter of the round file that cuts the plunge, mm; 0 for none.
pub const PLUNGE_FILE_MM: RangeInclusive<f64> = 0.0..=50.0;
/// Diameter of a grinding wheel, mm.
pub const WHEEL_MM: RangeInclusive<f64> = 1.0..=5_000.0;
/// Radius of a convex face, mm.
pub const CONVEX_MM: RangeInclusive<f64> = 1.0..=10_000.0;
/// Points of a grind line of its own.
pub const LINE_POINTS: RangeInclusive<usize> = 2..=100;
/// Thickness that a taper leaves at the tip, mm.
pub const TAPERED_MM: RangeInclusive<f64> = 0.0..=50.0;
/// Facets after the first.
pub const FACETS: RangeInclusive<u32> = 1..=24;
/// A timed piece of work, minutes.
pub const MINUTES: RangeInclusive<f64> = 0.1..=600.0;
/// Steel filed off in that time, g.
pub const FILED_G: RangeInclusive<f64> = 0.01..=10_000.0;
/// Angle a side of the final edge, degrees.
pub const SHARPENING_DEG: RangeInclusive<f64> = 5.0..=45.0;
/// Thickness of one scale, mm.
pub const SCALE_THICKNESS_MM: RangeInclusive<f64> = 0.1..=50.0;
/// Thickness of the glue under a scale, mm.
pub const GLUE_MM: RangeInclusive<f64> = 0.0..=2.0;
/// Radius of the scales' front, mm.
pub const FRONT_RADIUS_MM: RangeInclusive<f64> = 1.0..=10_000.0;
/// Bevel of the scales' front, degrees from square.
pub const FRONT_BEVEL_DEG: RangeInclusive<f64> = 0.0..=80.0;
/// Thickness of a liner, mm.
pub const LINER_MM: RangeInclusive<f64> = 0.01..=20.0;
/// Length of a bolster along the handle, mm.
pub const BOLSTER_MM: RangeInclusive<f64> = 0.5..=200.0;
/// What is left over for trimming, filing or sawing, mm.
pub const LEFT_OVER_MM: RangeInclusive<f64> = 0.0..=50.0;
/// Direction of the grain, degrees.
pub const GRAIN_DEG: RangeInclusive<f64> = -90.0..=90.0;
/// Pitch of jimping or scallops, mm.
pub const PITCH_MM: RangeInclusive<f64> = 0.1..=200.0;
/// Lines to the inch of a checkering file.
pub const LINES_PER_INCH: RangeInclusive<f64> = 2.0..=100.0;
/// Depth of jimping or of a scallop, mm.
pub const NOTCH_DEPTH_MM: RangeInclusive<f64> = 0.05..=25.0;
/// Included angle of a V-shaped groove, degrees.
pub const VEE_DEG: RangeInclusive<f64> = 10.0..=170.0;
/// Diameter of a file or a drum, mm.
pub const DRUM_MM: RangeInclusive<f64> = 0.5..=500.0;
/// Scallops of one row.
pub const SCALLOPS: RangeInclusive<u32> = 1..=200;
/// From a handle's end to its nearest scallop, mm.
pub const SCALLOP_END_MM: RangeInclusive<f64> = 0.0..=500.0;
/// Between a scale's face and a cut over its corner, degrees.
pub const CORNER_DEG: RangeInclusive<f64> = 5.0..=85.0;
/// Width of a chamfer or radius of a roundover, mm.
pub const CORNER_MM: RangeInclusive<f64> = 0.05..=50.0;
/// Places at which a scale's thickness is stated.
pub const THICK_PLACES: RangeInclusive<usize> = 0..=50;
/// Girth that suits a hand, mm.
pub const HAND_MM: RangeInclusive<f64> = 20.0..=500.0;
/// How far a sheath reaches up the handle, mm.
pub const COVER_MM: RangeInclusive<f64> = 0.0..=300.0;
/// Room in a sheath around the knife, mm.
pub const CLEARANCE_MM: RangeInclusive<f64> = 0.0..=20.0;
/// What is laid on the scales while a sheath is formed, mm.
pub const RELIEF_MM: RangeInclusive<f64> = 0.0..=10.0;
/// Thickness of a sheath's leather or thermoplastic, mm.
pub const SHEATH_THICKNESS_MM: RangeInclusive<f64> = 0.3..=10.0;
/// The neutral line of a bend, share of the thickness from the inside.
pub const NEUTRAL: RangeInclusive<f64> = 0.0..=1.0;
/// Width of a welt, mm.
pub const WELT_WIDTH_MM: RangeInclusive<f64> = 2.0..=60.0;
/// Thickness of a welt, mm.
pub const WELT_THICKNESS_MM: RangeInclusive<f64> = 0.3..=40.0;
/// From stitch to stitch, mm.
pub const STITCH_PITCH_MM: RangeInclusive<f64> = 1.0..=20.0;
/// From a row of stitches or eyelets to the rim or the knife, mm.
pub const ROW_MM: RangeInclusive<f64> = 0.5..=60.0;
/// Width of a belt or its loop, mm.
pub const BELT_MM: RangeInclusive<f64> = 8.0..=150.0;
/// Diameter of an eyelet's hole or a drain hole, mm.
pub const EYELET_MM: RangeInclusive<f64> = 1.0..=20.0;
/// From eyelet to eyelet, mm.
pub const EYELET_PITCH_MM: RangeInclusive<f64> = 4.0..=200.0;
/// A thumb ramp's width or rise, mm.
pub const RAMP_MM: RangeInclusive<f64> = 1.0..=60.0;
/// Drill for the chain of holes along the outline, mm.
pub const CHAIN_DRILL_MM: RangeInclusive<f64> = 0.5..=25.0;
/// Bridge between two holes of the chain, mm.
pub const BRIDGE_MM: RangeInclusive<f64> = 0.1..=20.0;
/// Steel left between the chain and the outline, mm.
pub const LEAVE_MM: RangeInclusive<f64> = 0.0..=20.0;
/// A wanted hardness, HRC: steel that cuts and can be filed at all.
pub const HARDNESS_HRC: RangeInclusive<f64> = 20.0..=70.0;
/// A tempering heat, °C.
pub const TEMPER_C: RangeInclusive<f64> = 50.0..=750.0;
/// Nodes of a profile; none where nothing is drawn yet. A blank is seldom more than a metre round:
/// more than this lie a tenth of a millimetre apart, as near as a scribed line is wide (common
/// practice, no source), and take longer to reckon with than anyone waits.
pub const NODES: RangeInclusive<usize> = 0..=10_000;
/// Holes of a knife.
pub const HOLES: RangeInclusive<usize> = 0..=1_000;
/// Characters of the name, a grade, a drill.
pub const NAME_CHARS: usize = 200;
/// Findings set aside in a knife.
pub const SET_ASIDE: RangeInclusive<usize> = 0..=1_000;
/// Dimensions kept in a knife.
pub const DIMENSIONS: RangeInclusive<usize> = 0..=1_000;
/// Parts that one finding is about.
pub const PARTS: RangeInclusive<usize> = 0..=1_000;
/// Characters of a reason.
pub const REASON_CHARS: usize = 500;
/// Characters of the notes.
pub const NOTES_CHARS: usize = 20_000;

/// Rounding that a height may lie above its bound by, mm.
const ROUNDING_MM: f64 = 1e-6;

/// Height of a grind line or a swedge on this profile, mm: no higher than the profile is wide,
/// for there is no blade above that. Any height where there is no profile with breadth yet.
pub fn grind_height_on(profile: &Profile) -> RangeInclusive<f64> {
    let (min, max) = (*GRIND_HEIGHT_MM.start(), *GRIND_HEIGHT_MM.end());
    match profile.size_mm() {
        Some(size) if size.min_side() > ROUNDING_MM => {
            min..=(size.min_side() + ROUNDING_MM).clamp(min, max)
        }
        _ => GRIND_HEIGHT_MM,
    }
}
