//! Contacts of an outline with itself: crossings, touches, overlaps, loops and spikes.
//!
//! The outline is cut into arcs that bend one way and by no more than a right angle. Two
//! places can only meet if the way between them turns by at least half a turn in all, both
//! ways round: a loop closed with one corner turns once round, and the corner takes no more
//! than half a turn of it. That tells neighbours apart from contacts without any tolerance
//! on lengths, also across segments of no length.

mod arcs;
mod search;

use crate::along::OutlinePoint;
use crate::box_tree::BoxTree;
use crate::outline::Outline;
use crate::tolerance::{MAX_CONTACTS, SAME_CONTACT_MM, TOUCH_MM};
use arcs::Arcs;
use kurbo::{Point, Vec2};
use std::f64::consts::TAU;

/// How two stretches of an outline meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContactKind {
    /// One passes through the other.
    Crosses,
    /// They meet without passing through: in a point, along a run, or as a spike that turns
    /// straight back.
    Touches,
}

/// A place where an outline meets itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// The place.
    pub at: Point,
    /// One way to it: segment and parameter.
    pub a: (usize, f64),
    /// The other way to it: segment and parameter.
    pub b: (usize, f64),
    /// How the two meet.
    pub kind: ContactKind,
}

/// A contact found, with the distances of its two places along the ring.
#[derive(Clone, Copy)]
struct Hit {
    at: Point,
    a: (usize, f64),
    b: (usize, f64),
    along_a: f64,
    along_b: f64,
}

impl Outline {
    /// Where the outline meets itself, in order round it: stretches that cross, touch or run
    /// along each other within 1e-7 mm, loops inside one cubic, and spikes that turn straight
    /// back. Neighbours meeting at their node are none, nor is a cusp whose sides part.
    ///
    /// A run along which two segments lie on each other gives at least one contact for each
    /// pair of segments. No more than [`MAX_CONTACTS`](crate::MAX_CONTACTS)
    /// are listed.
    pub fn contacts(&self) -> Vec<Contact> {
        let arcs = Arcs::new(self);
        let tree = BoxTree::new(arcs.all.iter().map(|arc| arc.bounds));
        let mut hits = arcs.spikes();
        tree.pairs(TOUCH_MM, |i, j| {
            search::find_contacts(&arcs, i, j, &mut hits);
            hits.len() < 4 * MAX_CONTACTS
        });
        let mut merged = merged(hits, arcs.length_mm());
        merged.truncate(MAX_CONTACTS);
        merged
            .into_iter()
            .map(|h| Contact { at: h.at, a: h.a, b: h.b, kind: kind(self, &h) })
            .collect()
    }
}

/// Hits at the same place of both stretches made one.
fn merged(mut hits: Vec<Hit>, round_mm: f64) -> Vec<Hit> {
    const NEAR_MM: f64 = 10.0 * SAME_CONTACT_MM;
    for h in &mut hits {
        // A place just before node 0 goes with those just behind it.
        if h.along_b > round_mm - NEAR_MM {
            (h.a, h.b) = (h.b, h.a);
            (h.along_a, h.along_b) = (h.along_b - round_mm, h.along_a);
        }
    }
    hits.sort_by(|g, h| g.along_a.total_cmp(&h.along_a).then(g.along_b.total_cmp(&h.along_b)));
    let mut kept: Vec<Hit> = vec![];
    for h in hits {
        let near = |k: &&Hit| h.along_a - k.along_a < NEAR_MM;
        let same = kept.iter().rev().take_while(near).any(|k| {
            h.at.distance(k.at) < SAME_CONTACT_MM && (h.along_b - k.along_b).abs() < NEAR_MM
        });
        if !same {
            kept.push(h);
        }
    }
    kept
}

/// Looks at the four ways out of the contact, nearer first: it is a crossing if the two of
/// one stretch lie on different sides of the other.
fn kind(outline: &Outline, hit: &Hit) -> ContactKind {
    for step_mm in [1e-3, 1e-2, 1e-1, 1.0] {
        let delta = |from: (usize, f64), by: f64| -> Vec2 {
            let OutlinePoint { at, .. } = outline.at_length(from, by);
            at - hit.at
        };
        let a = [delta(hit.a, step_mm), delta(hit.a, -step_mm)];
        let b = [delta(hit.b, step_mm), delta(hit.b, -step_mm)];
        let blur = 10.0 * TOUCH_MM / step_mm;
        let angle = |v: Vec2| (v.atan2() - a[0].atan2()).rem_euclid(TAU);
        let (back, one, two) = (angle(a[1]), angle(b[0]), angle(b[1]));
        let clear = |x: f64| x > blur && x < TAU - blur && (x - back).abs() > blur;
        if clear(one) && clear(two) {
            let crosses = (one < back) != (two < back);
            return if crosses { ContactKind::Crosses } else { ContactKind::Touches };
        }
    }
    ContactKind::Touches
}
