//! A run of cubics as unknowns: places, directions and lengths of handles, and what they cost.

use super::{JUMP_MM, furthest_mm};
use crate::outline::Outline;
use crate::segment;
use kurbo::{CubicBez, ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};

/// Gauss–Legendre of eight points on −1 to 1 (Abramowitz & Stegun, table 25.4): half of them.
const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_5),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_3),
];
/// Places on a cubic at which its distance from the old one has a price.
const PRICED: usize = 6;
/// What one segment costs: its variation of curvature, then the price of its distance.
pub(super) const COSTS: usize = 2 * GAUSS.len() + PRICED;
/// Share of the price that lies on the nodes' own ways, so that they don't slide along the curve
/// for nothing.
const ON_NODES: f64 = 0.05;

/// One node of the run.
#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    pub(super) at: Point,
    /// Direction of travel, radians.
    pub(super) theta: f64,
    /// Logarithms of the two handles' lengths in mm.
    pub(super) into: f64,
    pub(super) out: f64,
}

/// Which of a node's values are unknowns.
#[derive(Clone, Copy, Debug)]
struct Free {
    at: bool,
    theta: bool,
    into: bool,
    out: bool,
    /// Whether one length stands for both handles.
    tied: bool,
}

impl Free {
    fn count(self) -> usize {
        let lengths = if self.tied { 1 } else { usize::from(self.into) + usize::from(self.out) };
        2 * usize::from(self.at) + usize::from(self.theta) + lengths
    }
}

/// A run of cubics between two nodes that stay.
pub(super) struct Chain {
    /// The segment with which it begins.
    pub(super) first: usize,
    old: Vec<CubicBez>,
    /// Length of each old cubic, mm.
    lengths: Vec<f64>,
    pub(super) nodes: Vec<State>,
    free: Vec<Free>,
    /// The first unknown of each node, and how many there are.
    offsets: Vec<usize>,
    /// Whether the curve runs on smoothly beyond either end.
    runs_on: [bool; 2],
    /// The curvature beyond the ends, 1/mm, where it is to be met.
    outside: [Option<f64>; 2],
}

impl Chain {
    pub(super) fn new(
        first: usize,
        old: Vec<CubicBez>,
        pinned: &[bool],
        tied: &[bool],
        runs_on: [bool; 2],
    ) -> Self {
        let last = old.len();
        let node = |k: usize| {
            let before = k.checked_sub(1).map(|k| old[k]);
            let behind = old.get(k);
            let leave = behind.map(|c| c.p1 - c.p0);
            let arrive = before.map(|c| c.p3 - c.p2);
            let unit = |v: Option<Vec2>| v.map_or(Vec2::ZERO, Vec2::normalize);
            let direction = unit(leave) + unit(arrive);
            let length = |v: Option<Vec2>| v.map_or(0.0, |v| v.hypot().ln());
            let (mut into, mut out) = (length(arrive), length(leave));
            if tied[k] {
                into = (into + out) / 2.0;
                out = into;
            }
            let at = behind.map_or_else(|| old[last - 1].p3, |c| c.p0);
            State { at, theta: direction.atan2(), into, out }
        };
        let free = |k: usize| Free {
            at: !pinned[k],
            theta: if k == 0 {
                !runs_on[0]
            } else if k == last {
                !runs_on[1]
            } else {
                true
            },
            into: k > 0,
            out: k < last,
            tied: tied[k],
        };
        let nodes = (0..=last).map(node).collect();
        let free: Vec<Free> = (0..=last).map(free).collect();
        let mut offsets = vec![0];
        for free in &free {
            offsets.push(offsets.last().copied().unwrap_or(0) + free.count());
        }
        let lengths = old.iter().map(|c| c.arclen(1e-3)).collect();
        Self { first, old, lengths, nodes, free, offsets, runs_on, outside: [None; 2] }
    }

    pub(super) fn segments(&self) -> usize {
        self.old.len()
    }

    pub(super) fn unknowns(&self) -> usize {
        self.offsets.last().copied().unwrap_or(0)
    }

    /// The unknowns of some nodes.
    pub(super) fn unknowns_of(&self, from: usize, to: usize) -> std::ops::Range<usize> {
        self.offsets[from]..self.offsets[(to + 1).min(self.nodes.len())]
    }

    /// Notes the curvature that is to be met beyond either end.
    pub(super) fn set_outside(&mut self, outline: &Outline) {
        let count = outline.segs().len();
        let whole = self.old.len() >= count;
        let before = outline.segs()[(self.first + count - 1) % count];
        let behind = outline.segs()[(self.first + self.old.len()) % count];
        let bend = |seg: PathSeg, t: f64| match seg {
            PathSeg::Cubic(c) => Some(segment::curvature(&c, t)).filter(|k| k.is_finite()),
            _ => None,
        };
        self.outside = [bend(before, 1.0), bend(behind, 0.0)];
        for end in 0..2 {
            if !self.runs_on[end] || whole {
                self.outside[end] = None;
            }
        }
        if whole {
            // The other run of the same ring may have moved it since.
            let now = |k: usize| segment::cubic(&outline.segs()[(self.first + k) % count]);
            let cubics: Vec<CubicBez> = (0..self.old.len()).map(now).collect();
            for (k, c) in cubics.iter().enumerate() {
                let leave = c.p1 - c.p0;
                self.nodes[k].at = c.p0;
                self.nodes[k].theta = leave.atan2();
                self.nodes[k].out = leave.hypot().ln();
                let arrive = c.p3 - c.p2;
                self.nodes[k + 1].into = arrive.hypot().ln();
                if k + 1 == cubics.len() {
                    self.nodes[k + 1].at = c.p3;
                    self.nodes[k + 1].theta = arrive.atan2();
                }
            }
        }
    }

    pub(super) fn cubic(&self, k: usize) -> CubicBez {
        between(&self.nodes[k], &self.nodes[k + 1])
    }

    /// The furthest that anything has moved, mm.
    pub(super) fn moved_mm(&self) -> f64 {
        let new: Vec<CubicBez> = (0..self.segments()).map(|k| self.cubic(k)).collect();
        furthest_mm(&new, &self.old)
    }

    /// A node with one of its unknowns changed.
    pub(super) fn changed(&self, node: usize, unknown: usize, by: f64) -> State {
        let mut state = self.nodes[node];
        let mut value = 0;
        let mut is = |free: bool| {
            value += usize::from(free);
            free && value == unknown + 1
        };
        let free = self.free[node];
        if is(free.at) {
            state.at.x += by;
        } else if is(free.at) {
            state.at.y += by;
        } else if is(free.theta) {
            state.theta += by;
        } else if free.tied {
            if is(true) {
                state.into += by;
                state.out += by;
            }
        } else if is(free.into) {
            state.into += by;
        } else if is(free.out) {
            state.out += by;
        }
        state
    }

    /// All unknowns changed.
    pub(super) fn stepped(&self, by: &[f64]) -> Vec<State> {
        let mut nodes = self.nodes.clone();
        for (k, node) in nodes.iter_mut().enumerate() {
            let mut values = by[self.offsets[k]..self.offsets[k + 1]].iter().copied();
            let mut next = |free: bool| if free { values.next().unwrap_or(0.0) } else { 0.0 };
            let free = self.free[k];
            node.at += Vec2::new(next(free.at), next(free.at));
            node.theta += next(free.theta);
            if free.tied {
                let by = next(true);
                node.into += by;
                node.out += by;
            } else {
                node.into += next(free.into);
                node.out += next(free.out);
            }
        }
        nodes
    }

    /// What a segment costs between two states of its nodes.
    pub(super) fn costs(&self, k: usize, a: &State, b: &State, price: f64) -> [f64; COSTS] {
        let c = between(a, b);
        let mut costs = [0.0; COSTS];
        for (i, (x, weight)) in GAUSS.into_iter().enumerate() {
            for (side, sign) in [(0, -1.0), (1, 1.0)] {
                costs[2 * i + side] = variation(&c, 0.5 + 0.5 * sign * x, 0.5 * weight);
            }
        }
        let old = &self.old[k];
        let whole: f64 = self.lengths.iter().sum();
        let root = (price * self.lengths[k] / (PRICED as f64 * whole)).sqrt();
        for i in 0..PRICED {
            let t = (i as f64 + 0.5) / PRICED as f64;
            let normal = segment::derivatives(old, t).0.turn_90().normalize();
            costs[2 * GAUSS.len() + i] = root * (c.eval(t) - old.eval(t)).dot(normal);
        }
        costs
    }

    /// What the jump of the curvature at a node costs, and the node's own way.
    pub(super) fn joint_costs(
        &self,
        k: usize,
        around: [Option<&State>; 3],
        price: f64,
    ) -> [f64; 3] {
        let [before, Some(here), behind] = around else { return [0.0; 3] };
        let arriving = before.map(|before| end_curvature(&between(before, here)));
        let leaving = behind.map(|behind| start_curvature(&between(here, behind)));
        let pair = match (arriving, leaving) {
            (Some(arriving), Some(leaving)) => Some((arriving, leaving)),
            (None, Some(leaving)) => self.outside[0].map(|outside| (outside, leaving)),
            (Some(arriving), None) => self.outside[1].map(|outside| (arriving, outside)),
            (None, None) => None,
        };
        let jump = pair.map_or(0.0, |(a, b)| (b - a) / JUMP_MM.sqrt());
        let from = self.old.get(k).map_or_else(|| self.old[k - 1].p3, |c| c.p0);
        let root = (price * ON_NODES / self.nodes.len() as f64).sqrt();
        let way = (here.at - from) * root;
        [jump, way.x, way.y]
    }
}

/// The cubic from one node to the next.
fn between(a: &State, b: &State) -> CubicBez {
    let leave = Vec2::from_angle(a.theta) * a.out.exp();
    let arrive = Vec2::from_angle(b.theta) * b.into.exp();
    CubicBez::new(a.at, a.at + leave, b.at - arrive, b.at)
}

/// dκ/ds at a parameter times the root of the length that it stands for.
fn variation(c: &CubicBez, t: f64, weight: f64) -> f64 {
    let (d1, d2) = segment::derivatives(c, t);
    let d3 = 6.0 * ((c.p3 - c.p0) - 3.0 * (c.p2 - c.p1));
    let speed = d1.hypot();
    let bend = d1.cross(d3) / speed.powi(3) - 3.0 * d1.cross(d2) * d1.dot(d2) / speed.powi(5);
    bend / speed * (weight * speed).sqrt()
}

fn start_curvature(c: &CubicBez) -> f64 {
    let (a, b) = (c.p1 - c.p0, c.p2 - c.p1);
    2.0 / 3.0 * a.cross(b) / a.hypot().powi(3)
}

fn end_curvature(c: &CubicBez) -> f64 {
    let (a, b) = (c.p2 - c.p1, c.p3 - c.p2);
    2.0 / 3.0 * a.cross(b) / b.hypot().powi(3)
}
