//! Two knives held against each other: where their outlines part most, and which figures differ.

use crate::{Group, Reckoning, readings};
use knife::Knife;
use kurbo::{Affine, ParamCurve, ParamCurveArclen, Point, Vec2};
use outline::Outline;
use units::LengthUnit;

/// Places along an outline are no farther apart than this, mm, as long as there are not too many.
const STEP_MM: f64 = 2.0;
/// So many places are looked at on one segment at most.
const MAX_PLACES: usize = 48;
/// Outlines nearer than this are the same there, mm (this program's own choice: what a scriber's
/// line is wide).
const SAME_MM: f64 = 0.05;
/// So many places are told, each well away from the others: by this share of the length.
const MAX_GAPS: usize = 4;
const APART: f64 = 0.15;

/// How two knives differ.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// By how much the other knife is moved so that both origins meet, mm.
    pub moved: Vec2,
    /// Where the outlines part most, the widest first.
    pub gaps: Vec<Gap>,
    /// Figures that differ, in the order of the work.
    pub changed: Vec<ChangedReading>,
}

/// A place where two outlines part, in this knife's plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// On this knife's outline.
    pub this: Point,
    /// On the other's.
    pub other: Point,
    /// How far they part, mm.
    pub mm: f64,
}

/// A figure that differs; `None` where a knife has no such figure.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangedReading {
    /// The part it is of.
    pub group: String,
    /// What it is called.
    pub name: &'static str,
    /// This knife's, in its own unit.
    pub this: Option<String>,
    /// The other's, in the same unit.
    pub other: Option<String>,
}

/// The other knife as it is compared: in this one's unit, counted from the same kind of origin.
pub fn comparable(this: &Knife, other: &Knife) -> Knife {
    Knife { unit: this.unit, origin: this.origin, ..other.clone() }
}

/// Compares two knives. The other one should be [`comparable`]; both are laid with their origins
/// on each other.
pub fn compare(this: (&Knife, &Reckoning), other: (&Knife, &Reckoning)) -> Comparison {
    let moved = this.1.origin.at - other.1.origin.at;
    let gaps = match (&this.1.outline, &other.1.outline) {
        (Some(own), Some(others)) => gaps(own, &others.transformed(Affine::translate(moved))),
        _ => Vec::new(),
    };
    let (own, others) = (readings(this.0, this.1), readings(other.0, other.1));
    Comparison { moved, gaps, changed: changed(&own, &others, this.0.unit) }
}

fn gaps(this: &Outline, other: &Outline) -> Vec<Gap> {
    let from_this = places(this).map(|at| {
        let near = other.nearest(at);
        Gap { this: at, other: near.at, mm: near.distance_mm }
    });
    let from_other = places(other).map(|at| {
        let near = this.nearest(at);
        Gap { this: near.at, other: at, mm: near.distance_mm }
    });
    let mut all: Vec<Gap> = from_this.chain(from_other).filter(|gap| gap.mm > SAME_MM).collect();
    all.sort_by(|a, b| b.mm.total_cmp(&a.mm));
    let apart_mm = APART * this.bounds().width().max(1.0);
    let mut found: Vec<Gap> = Vec::new();
    for gap in all {
        let clear = found.iter().all(|other| other.this.distance(gap.this) >= apart_mm);
        if clear && found.len() < MAX_GAPS {
            found.push(gap);
        }
    }
    found
}

/// Places along an outline.
fn places(outline: &Outline) -> impl Iterator<Item = Point> {
    outline.segs().iter().flat_map(|seg| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
        let count = (seg.arclen(0.1) / STEP_MM).ceil().clamp(2.0, 1e3) as usize;
        let count = count.min(MAX_PLACES);
        #[expect(clippy::cast_precision_loss, reason = "few")]
        (0..count).map(move |i| seg.eval(i as f64 / count as f64))
    })
}

fn changed(this: &[Group], other: &[Group], unit: LengthUnit) -> Vec<ChangedReading> {
    let mut changed = Vec::new();
    for group in this {
        let others = other.iter().find(|one| one.title == group.title);
        for reading in &group.readings {
            let own = reading.text(unit);
            let theirs = others
                .and_then(|others| others.readings.iter().find(|one| one.name == reading.name));
            let theirs = theirs.map(|one| one.text(unit));
            if theirs.as_ref() != Some(&own) {
                let group = group.title.clone();
                let name = reading.name;
                changed.push(ChangedReading { group, name, this: Some(own), other: theirs });
            }
        }
    }
    for group in other {
        let own = this.iter().find(|one| one.title == group.title);
        let lacks = |name: &str| {
            own.is_none_or(|own| own.readings.iter().all(|reading| reading.name != name))
        };
        changed.extend(group.readings.iter().filter(|reading| lacks(reading.name)).map(
            |reading| {
                let theirs = Some(reading.text(unit));
                let group = group.title.clone();
                ChangedReading { group, name: reading.name, this: None, other: theirs }
            },
        ));
    }
    changed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{blank, drilled, reckoned};
    use knife::{Edit, Origin};

    fn compared(this: &Knife, other: &Knife) -> Comparison {
        let other = comparable(this, other);
        compare((this, &reckoned(this)), (&other, &reckoned(&other)))
    }

    #[test]
    fn a_knife_differs_in_nothing_from_itself() {
        let knife = drilled(&[(150.0, 0.0, 6.0)]);
        let same = compared(&knife, &knife);
        assert!(same.gaps.is_empty() && same.changed.is_empty(), "{same:?}");
        // Nor from itself drawn elsewhere, counted from its own tip.
        let mut knife = knife;
        knife.origin = Origin::Tip;
        let shifted = Edit::Shift(Vec2::new(31.0, -4.0)).apply(&knife).unwrap();
        let same = compared(&knife, &shifted);
        assert!(same.gaps.is_empty(), "{:?}", same.gaps);
        assert!((same.moved - Vec2::new(-31.0, 4.0)).hypot() < 1e-9);
    }

    // By hand: one corner of the butt drawn in by 3 mm along and 4 mm down parts by 5 mm there.
    #[test]
    fn the_widest_gap_is_where_a_node_was_moved() {
        let knife = blank();
        let corner = knife.profile.nodes[4].id;
        let moved = Edit::MoveNodes { nodes: vec![corner], by: Vec2::new(-3.0, -4.0) };
        let moved = moved.apply(&knife).unwrap();
        let found = compared(&moved, &knife);
        let gap = found.gaps[0];
        assert_eq!(gap.other, Point::new(200.0, 15.0));
        assert!((gap.mm - 5.0).abs() < 1e-6, "{gap:?}");
        assert!((gap.this.distance(gap.other) - gap.mm).abs() < 1e-9);
        assert!(
            found.changed.iter().any(|row| row.name == "Overall length" || row.this != row.other)
        );
    }

    #[test]
    fn a_hole_that_only_one_has_is_told() {
        let (plain, drilled) = (blank(), drilled(&[(150.0, 0.0, 6.0)]));
        let more = compared(&drilled, &plain);
        assert!(more.changed.iter().any(|row| row.other.is_none() && row.this.is_some()));
        let less = compared(&plain, &drilled);
        assert!(less.changed.iter().any(|row| row.this.is_none() && row.other.is_some()));
    }
}
