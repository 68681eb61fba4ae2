//! How leather or sheet goes round the knife, section by section: what it takes more than the
//! closed sheath is deep.
//!
//! Where the knife has a step, as at the front of its scales, the piece rises to it gradually: the
//! thickness counted at a station is that of its neighbours less what the slope allows.
//!
//! In a section square to the fold the inner face lies taut: from the fold's bend over the knife
//! (its steel, its scales) to the welt's corner, the upper side of their convex hull; then along
//! the welt. The length that matters is that of the neutral line, a share k of the thickness t off
//! the inner face. Along any path that is longer than its inner one by k t times the angle it
//! turns by in all (outward bends counted minus): from square to the knife's plane at the fold to
//! parallel with it at the welt that is a quarter turn, whatever lies between. So half a folded
//! piece is L + k t π/2 with the inner path L, and a plain bend of half a turn about a radius r
//! takes π (r + k t): the bend allowance of the handbooks (Aviation Maintenance Technician Handbook,
//! Airframe, FAA-H-8083-31, chapter 4, with k = 1/2). Where nothing is folded the path begins and
//! ends parallel with the plane, and the neutral line is as long as the inner face.

use super::hull::upper_side;
use super::lay::KnifeInSheath;
use super::pocket::Pocket;
use crate::context::FigureContext;
use crate::{ScaleFigures, scale_thickness_mm};
use knife::Sheath;
use kurbo::{Affine, Point};
use std::f64::consts::{FRAC_PI_2, PI};

/// Sections along the sheath.
const STATIONS: usize = 72;
/// Places in a section.
const PLACES: usize = 96;
/// Leather and sheet stand off a step of the knife by so much along it, and no more steeply:
/// tangent (common practice, no source).
const STEEPEST: f64 = 0.5;
/// Corners of the bend's quarter circle.
const BEND_STEPS: usize = 32;

/// A bend of half a turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Its radius inside: half the stock, mm.
    pub radius_mm: f64,
    /// How far its neutral line lies off the inner face, mm.
    pub neutral_mm: f64,
    /// What it takes of the piece, mm: π (radius + neutral).
    pub allowance_mm: f64,
}

/// One section square to the fold.
#[derive(Clone, Debug, PartialEq)]
pub struct SheathStation {
    /// Where along the sheath, mm.
    pub x_mm: f64,
    /// Thickness of the knife there, relief included, mm.
    pub thickness_mm: f64,
    /// The corners of the taut inner face: depth below the fold (where nothing is folded, the
    /// height), and distance from the centre plane, mm. The first lies on the bend, the last on
    /// the inner edge of welt or flange.
    pub taut: Vec<Point>,
    /// How much longer the piece is than the closed sheath is deep, mm.
    pub take_up_mm: f64,
}

/// What a flat piece takes more than the closed sheath, along it.
#[derive(Clone, Debug, PartialEq)]
pub struct Development {
    /// The bend at the fold; where nothing is folded, none is made by it.
    pub bend: Bend,
    /// Whether the piece is folded.
    pub folded: bool,
    /// Sections from the tip to the mouth.
    pub stations: Vec<SheathStation>,
    /// Where nothing is folded: the middle of the knife there, y.
    middles: Vec<f64>,
}

impl Development {
    fn between<T>(&self, x_mm: f64, value: impl Fn(usize) -> T) -> (T, T, f64) {
        let last = self.stations.len() - 1;
        let i = self.stations.partition_point(|station| station.x_mm <= x_mm);
        if i == 0 || last == 0 {
            return (value(0), value(0), 0.0);
        }
        if i > last {
            return (value(last), value(last), 0.0);
        }
        let (a, b) = (self.stations[i - 1].x_mm, self.stations[i].x_mm);
        (value(i - 1), value(i), (x_mm - a) / (b - a))
    }

    /// How much longer the piece is than the closed sheath at a station, mm.
    pub fn take_up_at(&self, x_mm: f64) -> f64 {
        let (a, b, share) = self.between(x_mm, |i| self.stations[i].take_up_mm);
        a + share * (b - a)
    }

    /// Where a place of the knife's side lies on the flat piece: as far along the taut section as it
    /// lies deep.
    pub fn on_wall(&self, p: Point) -> Point {
        let at = |i: usize| {
            let station = &self.stations[i];
            let start = station.taut.first().copied().unwrap_or_default();
            let along = along_to_depth(&station.taut, -p.y);
            if self.folded {
                -(along + self.bend.neutral_mm * FRAC_PI_2)
            } else {
                -start.x + station.take_up_mm / 2.0 - along
            }
        };
        let (a, b, share) = self.between(p.x, at);
        Point::new(p.x, a + share * (b - a))
    }

    /// Where a place on welt or flange of the closed sheath lies on the flat piece.
    pub fn flat(&self, p: Point) -> Point {
        let take_up = self.take_up_at(p.x);
        if self.folded {
            return Point::new(p.x, p.y - take_up);
        }
        let (a, b, share) = self.between(p.x, |i| self.middles[i]);
        let middle = a + share * (b - a);
        let by = if p.y >= middle { take_up / 2.0 } else { -take_up / 2.0 };
        Point::new(p.x, p.y + by)
    }
}

/// What sections are cut from.
pub(super) struct Sections<'a> {
    pub ctx: &'a FigureContext<'a>,
    pub scales: Option<&'a ScaleFigures>,
    pub laid: &'a KnifeInSheath,
    pub pocket: &'a Pocket,
    pub sheath: &'a Sheath,
}

impl Sections<'_> {
    /// Every section; and by how much the knife is thicker somewhere than nearer to the mouth, mm,
    /// where the sheath follows it.
    pub(super) fn develop(&self, welt_mm: f64) -> (Development, f64) {
        let radius_mm = self.ctx.knife.bar.thickness_mm / 2.0;
        let neutral_mm = self.sheath.neutral() * self.sheath.thickness_mm;
        let bend = Bend { radius_mm, neutral_mm, allowance_mm: PI * (radius_mm + neutral_mm) };
        let (from, to) = (self.laid.tip.x, self.laid.mouth_mm);
        let ys = self.laid.ring.iter().map(|p| p.y);
        let low = ys.clone().fold(f64::MAX, f64::min);
        let high = if self.sheath.folded { 0.0 } else { ys.fold(f64::MIN, f64::max) };
        let heights: Vec<f64> =
            (0..=PLACES).map(|k| high + (low - high) * k as f64 / PLACES as f64).collect();
        let to_knife = self.laid.lay.inverse();
        let station = |i: usize| from + (to - from) * i as f64 / STATIONS as f64;
        let mut halves: Vec<Vec<f64>> = (0..=STATIONS)
            .map(|i| {
                let at = |y: &f64| self.half_mm(&to_knife, Point::new(station(i), *y));
                heights.iter().map(at).collect()
            })
            .collect();
        let catch_mm = thickness_catch(&halves);
        if !self.sheath.close_fit {
            sweep(&mut halves);
        }
        stand_off(&mut halves, STEEPEST * (to - from) / STATIONS as f64);
        let mut stations = Vec::with_capacity(STATIONS + 1);
        let mut middles = Vec::with_capacity(STATIONS + 1);
        for (i, halves) in halves.iter().enumerate() {
            let x_mm = station(i);
            let solid: Vec<Point> = heights
                .iter()
                .zip(halves)
                .filter(|(_, half)| **half > 0.0)
                .map(|(y, half)| Point::new(-y, *half))
                .collect();
            let (bottom, top) = self.pocket.span_at(x_mm);
            let corner = |y: f64| Point::new(-y, welt_mm / 2.0);
            let room = self.sheath.clearance_mm;
            let thickness_mm = 2.0 * halves.iter().copied().fold(0.0, f64::max);
            let end = corner(bottom - room);
            let (taut, take_up_mm) = if self.sheath.folded {
                let taut = taut(&bend_corners(radius_mm), &solid, end);
                let take_up_mm = length(&taut) - end.x + neutral_mm * FRAC_PI_2;
                (taut, take_up_mm)
            } else {
                let start = corner(top + room);
                let taut = taut(&[start], &solid, end);
                let take_up_mm = (length(&taut) - (end.x - start.x)).max(0.0);
                (taut, take_up_mm)
            };
            middles.push(f64::midpoint(bottom, top));
            stations.push(SheathStation { x_mm, thickness_mm, taut, take_up_mm });
        }
        let catch_mm = if self.sheath.close_fit { 2.0 * catch_mm } else { 0.0 };
        (Development { bend, folded: self.sheath.folded, stations, middles }, catch_mm)
    }

    /// How far the knife reaches from its centre plane at a place, on the thicker side: steel, or
    /// scale with what is laid on it.
    fn half_mm(&self, to_knife: &Affine, p: Point) -> f64 {
        let p = *to_knife * p;
        if !self.ctx.outline.contains(p) {
            return 0.0;
        }
        let halves = self.ctx.field.half_thickness(p);
        let steel = halves.left_mm.max(halves.right_mm).max(0.0);
        let knife = self.ctx.knife;
        let scale = self.scales.filter(|scales| scales.outline.contains(p)).and_then(|_| {
            let scale = scale_thickness_mm(knife, p.x)?;
            let under = knife.bar.thickness_mm / 2.0 + knife.handle.under_scale_mm();
            Some(under + scale + self.sheath.relief_mm)
        });
        scale.map_or(steel, |scale| scale.max(steel))
    }
}

/// By how much half of the knife is thicker somewhere than nearer to the mouth, mm.
fn thickness_catch(halves: &[Vec<f64>]) -> f64 {
    let (mut thickest, mut catch_mm) = (0.0_f64, 0.0_f64);
    for own in halves {
        let here = own.iter().copied().fold(0.0, f64::max);
        thickest = thickest.max(here);
        catch_mm = catch_mm.max(thickest - here);
    }
    catch_mm
}

/// What lies farther in has to pass every station nearer to the mouth.
fn sweep(halves: &mut [Vec<f64>]) {
    for i in 1..halves.len() {
        let (before, here) = halves.split_at_mut(i);
        let before = &before[i - 1];
        here[0].iter_mut().zip(before).for_each(|(here, before)| *here = here.max(*before));
    }
}

/// No place is thinner than its neighbours along the sheath by more than a step's share of the
/// slope.
fn stand_off(halves: &mut [Vec<f64>], by_mm: f64) {
    let last = halves.len().saturating_sub(1);
    let mut raise = |to: usize, from: usize| {
        for k in 0..halves[to].len() {
            let least = halves[from][k] - by_mm;
            halves[to][k] = halves[to][k].max(least);
        }
    };
    (0..last).for_each(|i| raise(i + 1, i));
    (0..last).rev().for_each(|i| raise(i, i + 1));
}

/// The quarter circle from the bend's crown to where its wall begins.
fn bend_corners(radius_mm: f64) -> Vec<Point> {
    (0..=BEND_STEPS)
        .map(|i| {
            let (sin, cos) = (FRAC_PI_2 * i as f64 / BEND_STEPS as f64).sin_cos();
            Point::new(-radius_mm * cos, radius_mm * sin)
        })
        .collect()
}

/// The taut line from the first of some corners over a solid to an end: the upper side of the
/// convex hull.
fn taut(from: &[Point], solid: &[Point], end: Point) -> Vec<Point> {
    let start = from.first().copied().unwrap_or(end);
    let within = |p: &Point| p.x > start.x && p.x <= end.x;
    let mut points: Vec<Point> = from.iter().skip(1).chain(solid).copied().filter(within).collect();
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(b.y.total_cmp(&a.y)));
    upper_side([start].into_iter().chain(points).chain([end]))
}

/// Length of a section from its first corner to a depth, mm; past its end it goes on straight.
fn along_to_depth(corners: &[Point], depth_mm: f64) -> f64 {
    let mut along = 0.0;
    for pair in corners.windows(2) {
        let side = pair[0].distance(pair[1]);
        if depth_mm <= pair[1].x {
            let share = (depth_mm - pair[0].x) / (pair[1].x - pair[0].x).max(1e-12);
            return along + side * share.clamp(0.0, 1.0);
        }
        along += side;
    }
    let end = corners.last().map_or(0.0, |end| end.x);
    along + (depth_mm - end).max(0.0)
}

fn length(corners: &[Point]) -> f64 {
    corners.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}
