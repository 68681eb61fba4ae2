//! Finger notches: the hollows of the underside in which fingers lie.

use crate::{HoleFigures, ProfileFigures};
use knife::Knife;
use kurbo::{ParamCurve, ParamCurveCurvature, ParamCurveExtrema, PathSeg, Point};
use outline::Outline;

/// Shallower than this it is a curve, not a notch, mm (this program's own choice).
const MIN_DEEP_MM: f64 = 1.5;
/// No finger goes into less than this, mm: a choil or a sharpening notch (own choice).
const MIN_BROAD_MM: f64 = 10.0;
/// A hollow so near behind the heel, along x, that bends tighter than a finger is a choil, where
/// the edge ends for the stone, mm (common practice, no source).
const CHOIL_NEAR_MM: f64 = 15.0;
const CHOIL_RADIUS_MM: f64 = 8.0;
/// Places whose heights differ by less lie level, mm.
const LEVEL_MM: f64 = 1e-6;
/// Steps along a segment when the deepest place is sought.
const STEPS: u32 = 32;

/// One notch, between the two places beside it that stand out farthest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FingerNotch {
    /// Its lip towards the tip.
    pub front: Point,
    /// Its lip towards the butt.
    pub rear: Point,
    /// Its deepest place.
    pub deepest: Point,
    /// From lip to lip, mm.
    pub breadth_mm: f64,
    /// How deep it is, square to the line from lip to lip, mm.
    pub depth_mm: f64,
    /// From its front lip to the heel, where the sharp edge begins, mm.
    pub to_heel_mm: f64,
    /// Steel from its deepest place to the nearest hole and that hole's number, mm; `None`
    /// without holes.
    pub to_hole: Option<(f64, usize)>,
}

/// The notches of the underside behind the heel, from the front on; none without tip and heel.
pub(crate) fn figures(
    knife: &Knife,
    outline: &Outline,
    profile: &ProfileFigures,
    holes: &[HoleFigures],
) -> Vec<FingerNotch> {
    let at =
        |id: Option<knife::NodeId>| id.and_then(|id| knife.profile.node(id)).map(|node| node.at);
    let (Some(tip), Some(heel)) = (at(knife.profile.tip), at(knife.profile.heel)) else {
        return Vec::new();
    };
    let Some(under) = underside(outline, (tip, heel), profile.towards_butt) else {
        return Vec::new();
    };
    // Outward is away from the spine.
    let out = if profile.edge_is_up { 1.0 } else { -1.0 };
    let turns = turns(&under, out);
    let mut notches = Vec::new();
    for three in turns.windows(3) {
        let [front, bottom, rear] = three else { continue };
        if !(front.stands_out && !bottom.stands_out && rear.stands_out) {
            continue;
        }
        let ((front, from), (rear, to)) = (front.last, rear.first);
        let direction = rear - front;
        let breadth_mm = direction.hypot();
        let depth = |p: Point| (direction.cross(p - front) / breadth_mm).abs();
        let between = under.iter().take(to + 1).skip(from);
        let places = between
            .flat_map(|seg| (0..=STEPS).map(move |i| (seg, f64::from(i) / f64::from(STEPS))))
            .map(|(seg, t)| (seg.eval(t), seg, t))
            .filter(|(p, ..)| (p.x - front.x) * (p.x - rear.x) <= 0.0);
        let Some((deepest, seg, t)) = places.max_by(|p, q| depth(p.0).total_cmp(&depth(q.0)))
        else {
            continue;
        };
        let depth_mm = depth(deepest);
        let is_choil = (deepest.x - heel.x).abs() <= CHOIL_NEAR_MM
            && seg.to_cubic().curvature(t).abs() > 1.0 / CHOIL_RADIUS_MM;
        if depth_mm < MIN_DEEP_MM || breadth_mm < MIN_BROAD_MM || is_choil {
            continue;
        }
        let webs = holes.iter().map(|h| (h.at.distance(deepest) - h.diameter_mm / 2.0, h.number));
        notches.push(FingerNotch {
            front,
            rear,
            deepest,
            breadth_mm,
            depth_mm,
            to_heel_mm: heel.distance(front),
            to_hole: webs.min_by(|a, b| a.0.total_cmp(&b.0)),
        });
    }
    notches
}

/// The outline's segments from the heel to the hindmost place, on the side without the tip.
fn underside(
    outline: &Outline,
    (tip, heel): (Point, Point),
    towards_butt: f64,
) -> Option<Vec<PathSeg>> {
    let segs = outline.segs();
    let n = segs.len();
    let near = |p: Point| {
        (0..n).min_by(|i, j| segs[*i].start().distance(p).total_cmp(&segs[*j].start().distance(p)))
    };
    let (tip, heel) = (near(tip)?, near(heel)?);
    let butt = (0..n).max_by(|i, j| {
        let along = |i: usize| segs[i].start().x * towards_butt;
        along(*i).total_cmp(&along(*j))
    })?;
    // Forward from the heel the tip comes after the butt, or the way goes the other round.
    let ahead = |to: usize| (to + n - heel) % n;
    if ahead(butt) < ahead(tip) {
        Some((0..ahead(butt)).map(|i| segs[(heel + i) % n]).collect())
    } else {
        let back = (heel + n - butt) % n;
        Some((1..=back).map(|i| segs[(heel + n - i) % n].reverse()).collect())
    }
}

/// A place of the underside, and the segment it lies on.
type UndersidePoint = (Point, usize);

/// Where the underside turns from going out to going in, or back: a level stretch, or one place.
struct Turn {
    first: UndersidePoint,
    last: UndersidePoint,
    /// Whether it stands out, not in.
    stands_out: bool,
}

fn turns(under: &[PathSeg], out: f64) -> Vec<Turn> {
    let mut places: Vec<UndersidePoint> = Vec::new();
    for (i, seg) in under.iter().enumerate() {
        places.push((seg.start(), i));
        places.extend(ParamCurveExtrema::extrema(seg).iter().map(|t| (seg.eval(*t), i)));
    }
    places.extend(under.last().map(|seg| (seg.end(), under.len() - 1)));
    let height = |place: &UndersidePoint| place.0.y * out;
    let level: Vec<&[UndersidePoint]> =
        places.chunk_by(|a, b| (height(a) - height(b)).abs() < LEVEL_MM).collect();
    let ends = level.iter().filter_map(|run| Some((*run.first()?, *run.last()?)));
    let ends: Vec<(UndersidePoint, UndersidePoint)> = ends.collect();
    let mut turns: Vec<Turn> = Vec::new();
    for (k, (first, last)) in ends.iter().enumerate() {
        let before = k.checked_sub(1).map(|k| height(&ends[k].1) < height(first));
        let after = ends.get(k + 1).map(|next| height(&next.0) < height(last));
        let stands_out = match (before, after) {
            (Some(a), Some(b)) if a == b => a,
            (None, Some(only)) | (Some(only), None) => only,
            _ => continue,
        };
        turns.push(Turn { first: *first, last: *last, stands_out });
    }
    turns
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, drilled, reckoned};
    use knife::{Edit, Profile, STARTERS};

    /// The plain blank (200 × 30 mm) with its underside hollowed behind the heel by a parabola 30 mm
    /// broad and 5 mm deep (a cubic whose handles lie 4/3 as deep: Bernstein's middle is 3/4 of it).
    fn notched() -> Knife {
        let mut knife = blank();
        let path = "M0,0 L0,15 L200,15 L200,-15 L150,-15 C140,-8.33333333333333 \
                    130,-8.33333333333333 120,-15 L100,-15 Z";
        let path = kurbo::BezPath::from_svg(path).unwrap();
        knife.profile = Profile::from_outline(&Outline::from_path(&path).unwrap());
        let id = |at: Point| {
            knife.profile.nodes.iter().find(|node| node.at.distance(at) < 1e-9).map(|node| node.id)
        };
        let (tip, heel) = (id(Point::ORIGIN), id(Point::new(100.0, -15.0)));
        (knife.profile.tip, knife.profile.heel) = (tip, heel);
        knife.holes.clear();
        knife
    }

    // By hand: lips at x 120 and 150, 30 mm apart; 5 mm deep at x 135; 20 mm behind the heel; to a
    // hole of 6 mm at (135, 0) there are 10 − 3 = 7 mm of steel.
    #[test]
    fn a_notch_is_told_by_its_lips_and_its_bottom() {
        let mut knife = notched();
        knife.holes = drilled(&[(135.0, 0.0, 6.0)]).holes;
        for (edit, sign) in [(None, 1.0), (Some(Edit::MirrorAlong), -1.0)] {
            let knife = edit.map_or(knife.clone(), |edit| edit.apply(&knife).unwrap());
            let notches = reckoned(&knife).finger_notches;
            assert_eq!(notches.len(), 1, "{notches:?}");
            let notch = notches[0];
            assert!((notch.breadth_mm - 30.0).abs() < 1e-9 && (notch.depth_mm - 5.0).abs() < 1e-9);
            assert!((notch.to_heel_mm - 20.0).abs() < 1e-9);
            assert!(((notch.rear.x - notch.front.x) * sign - 30.0).abs() < 1e-9);
            let (web, number) = notch.to_hole.unwrap();
            assert!((web - 7.0).abs() < 1e-9 && number == 1);
        }
    }

    #[test]
    fn a_plain_handle_has_none_and_every_starter_tells_sound_ones() {
        assert_eq!(reckoned(&blank()).finger_notches, []);
        let mut found = 0;
        for starter in STARTERS {
            for notch in reckoned(&starter.knife()).finger_notches {
                found += 1;
                assert!(notch.depth_mm >= MIN_DEEP_MM && notch.depth_mm < notch.breadth_mm);
                assert!(notch.to_hole.is_none_or(|(web, _)| web > 0.0), "{}", starter.key);
            }
        }
        assert!(found > 0, "some starter has a finger notch");
    }
}
