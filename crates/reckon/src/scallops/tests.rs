//! Laws of the scallops: rows that line up, figures by hand, what they refuse.

use super::*;
use crate::sample::{blank, reckoned};
use knife::{Edit, Knife, Profile, Scales};
use kurbo::{BezPath, ParamCurve, ParamCurveNearest, PathSeg};
use proptest::prelude::*;

/// The plain blank with scales from x = 100 to its butt at 200.
pub(crate) fn scalloped(steps: ScallopSpacing) -> Knife {
    let mut knife = blank();
    knife.scales = Some(Scales { front_x_mm: 100.0, thickness_mm: 6.0 });
    knife.handle.scallops = Some(Scallops {
        spacing: steps,
        front_mm: 10.0,
        butt_mm: 10.0,
        drum_mm: 26.0,
        angle_deg: 30.0,
        depth_mm: 1.0,
    });
    knife
}

fn xs(row: &ScallopRow) -> Vec<f64> {
    row.places.iter().map(|place| (place.at.x * 1e6).round() / 1e6).collect()
}

// By hand: from 110 to 190 five places lie 20 mm apart, four between them; by 15 mm there are six
// at 110 … 185, and of the lower row five at 117.5 … 177.5, the next (192.5) being too near to
// the butt. Along straight edges from the corner at x = 100.
#[test]
fn places_are_even_and_the_lower_row_lies_halfway() {
    let by_count = reckoned(&scalloped(ScallopSpacing::Count(5))).scallops.unwrap();
    assert_eq!(xs(&by_count.upper), [110.0, 130.0, 150.0, 170.0, 190.0]);
    assert_eq!(xs(&by_count.lower), [120.0, 140.0, 160.0, 180.0]);
    assert!((by_count.upper.places[1].along_mm - 30.0).abs() < 1e-9);
    assert!((by_count.lower.places[1].along_mm - 40.0).abs() < 1e-9);
    assert!((by_count.upper.places[0].at.y - 15.0).abs() < 1e-9);
    assert!((by_count.lower.places[0].at.y + 15.0).abs() < 1e-9);
    let by_pitch = reckoned(&scalloped(ScallopSpacing::Pitch(15.0))).scallops.unwrap();
    assert_eq!(xs(&by_pitch.upper), [110.0, 125.0, 140.0, 155.0, 170.0, 185.0]);
    assert_eq!(xs(&by_pitch.lower), [117.5, 132.5, 147.5, 162.5, 177.5]);
    assert!((by_pitch.rest_mm - 5.0).abs() < 1e-9);
    let one = reckoned(&scalloped(ScallopSpacing::Count(1))).scallops.unwrap();
    assert_eq!((xs(&one.upper), one.lower.places.len()), (vec![110.0], 0));
    assert_eq!((one.pitch_mm, one.land_mm), (None, None));
}

// By hand: a drum of 26 mm 1 mm deep cuts 2√(169 − 144) = 10 mm wide; at 30° to the face it
// reaches 1 / sin 30° = 2 mm over the face and 1 / cos 30° = 1.1547 mm down the side.
/// As many as may be asked for by number, however small the pitch.
#[test]
fn a_pitch_of_a_hair_makes_no_thousands() {
    let figures = reckoned(&scalloped(ScallopSpacing::Pitch(0.1))).scallops.unwrap();
    assert_eq!((figures.upper.places.len(), figures.lower.places.len()), (200, 200));
}

#[test]
fn a_scallop_is_the_drums_chord_wide_and_its_flat_deep() {
    let figures = reckoned(&scalloped(ScallopSpacing::Count(5))).scallops.unwrap();
    assert!((figures.width_mm - 10.0).abs() < 1e-12);
    assert!((figures.land_mm.unwrap() - 10.0).abs() < 1e-9);
    assert!((figures.face_mm - 2.0).abs() < 1e-12);
    assert!((figures.side_mm - 1.154_700_538).abs() < 1e-8);
}

// By hand: on the plain blank's straight edges (y = ±15) the rims of the 10 mm wide, 2 mm reaching
// scallops run 5 mm to either side of their places and 2 mm in; between, the drum's own circle
// tells: 3 mm beside the middle it has risen 13 − √(169 − 9) = 0.350889 mm, which is 0.701778 mm
// less over the face at 30°.
#[test]
fn a_rim_runs_from_edge_to_edge_as_the_drum_cuts_it() {
    let reckoning = reckoned(&scalloped(ScallopSpacing::Count(5)));
    let (figures, scales) = (reckoning.scallops.unwrap(), reckoning.scales.unwrap());
    for (row, place) in [(&figures.upper, 1), (&figures.lower, 2)] {
        let at = row.places[place].at;
        let rim = figures.rim(row, &row.places[place], &scales.outline);
        let bounds = rim.bounding_box();
        assert!((bounds.x0 - (at.x - 5.0)).abs() < 1e-3 && (bounds.x1 - (at.x + 5.0)).abs() < 1e-3);
        let (edge, bottom) =
            if row.up > 0.0 { (bounds.y1, bounds.y0) } else { (bounds.y0, bounds.y1) };
        assert!((edge - at.y).abs() < 1e-3 && (bottom - (at.y - row.up * 2.0)).abs() < 1e-3);
        let beside = Point::new(at.x + 3.0, at.y - row.up * (2.0 - 0.701_778));
        let off =
            rim.segments().map(|seg| seg.nearest(beside, 1e-9).distance_sq).fold(9.0, f64::min);
        assert!(off.sqrt() < 1e-3, "{off}");
    }
}

// By hand: under the first scallop of the upper row, at (110, 15), the face is cut to y = 13; a
// circle of 4 mm about (110, 8) lies 3 mm below that. At (115, 15) the rim meets the edge: a
// circle of 3 mm about (119, 12) lies √(16 + 9) − 3 = 2 mm from it.
#[test]
fn gaps_to_circles_on_the_face_are_measured_from_the_rim() {
    let figures = reckoned(&scalloped(ScallopSpacing::Count(5))).scallops.unwrap();
    let row = &figures.upper;
    let gap = |x, y, r| figures.face_gap_mm(row, &row.places[0], Point::new(x, y), r);
    assert!((gap(110.0, 8.0, 2.0) - 3.0).abs() < 1e-9);
    assert!((gap(119.0, 12.0, 3.0) - 2.0).abs() < 1e-9);
    assert!(gap(110.0, 14.0, 1.0) < 0.0);
}

#[test]
fn a_mirrored_knife_has_the_same_strips() {
    let knife = scalloped(ScallopSpacing::Count(5));
    let figures = reckoned(&knife).scallops.unwrap();
    let along = |row: &ScallopRow| row.places.iter().map(|p| p.along_mm).collect::<Vec<_>>();
    for edit in [Edit::MirrorAlong, Edit::MirrorAcross] {
        let other = reckoned(&edit.apply(&knife).unwrap()).scallops.unwrap();
        for (a, b) in [(&figures.upper, &other.upper), (&figures.lower, &other.lower)] {
            assert!(along(a).iter().zip(along(b)).all(|(a, b)| (a - b).abs() < 1e-6));
        }
    }
}

/// A blank whose handle waves: its edges behind x = 100 are cubics.
fn waving(up: [f64; 4], down: [f64; 4]) -> (Knife, [Vec<PathSeg>; 2]) {
    let mut path = BezPath::new();
    path.move_to((0.0, -10.0));
    path.line_to((100.0, -12.0));
    path.curve_to((120.0, down[0]), (140.0, down[1]), (150.0, -12.0));
    path.curve_to((160.0, down[2]), (180.0, down[3]), (200.0, -9.0));
    path.line_to((200.0, 9.0));
    path.curve_to((180.0, up[3]), (160.0, up[2]), (150.0, 12.0));
    path.curve_to((140.0, up[1]), (120.0, up[0]), (100.0, 12.0));
    path.line_to((0.0, 10.0));
    path.close_path();
    let outline = Outline::from_path(&path).unwrap();
    let segs = outline.segs().to_vec();
    let mut knife = scalloped(ScallopSpacing::Count(7));
    knife.profile = Profile::from_outline(&outline);
    knife.profile.tip = Some(knife.profile.nodes[0].id);
    knife.profile.heel = Some(knife.profile.nodes[1].id);
    let upper = vec![segs[5].reverse(), segs[4].reverse()];
    (knife, [upper, segs[1..3].to_vec()])
}

/// Arc length along segments to a station, summed over a hundred thousand chords.
fn summed_to_x(segs: &[PathSeg], x_mm: f64) -> f64 {
    let mut sum = 0.0;
    for seg in segs {
        let mut before = seg.start();
        for i in 1..=50_000 {
            let p = seg.eval(f64::from(i) / 50_000.0);
            if p.x >= x_mm {
                return sum + before.distance(p) * (x_mm - before.x) / (p.x - before.x);
            }
            sum += before.distance(p);
            before = p;
        }
    }
    sum
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    // A strip laid along either edge puts its marks where the drum is to go in: the same x on
    // both scales, the lower row halfway, by arc lengths summed over chords.
    #[test]
    fn strips_put_their_marks_at_the_places(
        up in prop::array::uniform4(9.0..18.0_f64),
        down in prop::array::uniform4(-18.0..-9.0_f64),
        count in 2_u32..14,
    ) {
        let (mut knife, [upper, lower]) = waving(up, down);
        knife.handle.scallops.as_mut().unwrap().spacing = ScallopSpacing::Count(count);
        let figures = reckoned(&knife).scallops.unwrap();
        let pitch = 80.0 / f64::from(count - 1);
        prop_assert_eq!(figures.upper.places.len(), count as usize);
        prop_assert_eq!(figures.lower.places.len(), count as usize - 1);
        for (row, segs, shift) in
            [(&figures.upper, &upper, 0.0), (&figures.lower, &lower, pitch / 2.0)]
        {
            for (i, place) in (0_u32..).zip(&row.places) {
                let x = 110.0 + shift + f64::from(i) * pitch;
                prop_assert!((place.at.x - x).abs() < 0.01, "{} {x}", place.at.x);
                let summed = summed_to_x(segs, x);
                prop_assert!((place.along_mm - summed).abs() < 0.01, "{place:?} {summed}");
            }
        }
    }
}
