//! The least price on distance at which a run stays within its tolerance.

use super::USED;
use super::banded::Banded;
use super::chain::{COSTS, Chain, State};

/// An unknown meets at most those of its own node and two beside it, of five each.
const WIDTH: usize = 14;
/// By how much the price falls from one attempt to the next.
const FALL: f64 = 8.0;
/// Halvings of the last interval of prices.
const HALVINGS: usize = 6;
/// Steps at one price.
const STEPS: usize = 14;
/// Least share by which a step must better the whole, to be followed by another.
const WORTH: f64 = 1e-5;
/// Changes by which derivatives are taken: of mm, radians and logarithms.
const DELTA: f64 = 1e-6;

/// Work that may still be done, in steps over one segment.
pub(super) struct Budget(usize);

impl Budget {
    /// Enough for any outline drawn by hand; a traced one of a thousand nodes gets less care.
    pub(super) fn new(segments: usize) -> Self {
        Self((40 * segments).max(60_000.min(400 * segments)))
    }

    fn spend(&mut self, segments: usize) -> bool {
        let enough = self.0 >= segments;
        self.0 = self.0.saturating_sub(segments);
        enough
    }
}

impl Chain {
    /// Moves the nodes; the variation of curvature before and after.
    pub(super) fn solve(&mut self, tolerance_mm: f64, budget: &mut Budget) -> (f64, f64) {
        let before = self.cost(&self.nodes, 0.0);
        let start = self.nodes.clone();
        let mut best = (before, start.clone());
        if !(before.is_finite() && before > 0.0) || self.unknowns() == 0 {
            return (before, before);
        }
        let per_mm2 = 1.0 / (tolerance_mm * tolerance_mm);
        let (mut price, mut held) = (before * per_mm2, None);
        // Down until something moves too far; up where it does at once.
        for _ in 0..24 {
            if self.attempt(price, tolerance_mm, &mut best, budget) {
                held = Some(price);
                price /= FALL;
            } else if held.is_some() {
                break;
            } else {
                self.nodes.clone_from(&start);
                price *= FALL * FALL;
            }
        }
        if let Some(mut high) = held {
            let mut low = price;
            for _ in 0..HALVINGS {
                let middle = (low * high).sqrt();
                self.nodes.clone_from(&best.1);
                if self.attempt(middle, tolerance_mm, &mut best, budget) {
                    high = middle;
                } else {
                    low = middle;
                }
            }
        }
        self.nodes = best.1;
        (before, best.0)
    }

    /// The variation of curvature as it is now.
    pub(super) fn variation(&self) -> f64 {
        self.cost(&self.nodes, 0.0)
    }

    /// Solves at a price; whether nothing moved too far. The best such state is kept.
    fn attempt(
        &mut self,
        price: f64,
        tolerance_mm: f64,
        best: &mut (f64, Vec<State>),
        budget: &mut Budget,
    ) -> bool {
        let mut damping = 1e-4;
        let mut cost = self.cost(&self.nodes, price);
        for _ in 0..STEPS {
            if !budget.spend(self.segments()) {
                break;
            }
            let was = cost;
            cost = self.step(price, cost, &mut damping);
            if was - cost <= WORTH * was {
                break;
            }
        }
        let held = self.moved_mm() <= USED * tolerance_mm;
        let variation = self.cost(&self.nodes, 0.0);
        if held && variation < best.0 {
            *best = (variation, self.nodes.clone());
        }
        held
    }

    /// One step; the cost afterwards.
    fn step(&mut self, price: f64, cost: f64, damping: &mut f64) -> f64 {
        let (equations, gradient) = self.equations(price);
        for _ in 0..8 {
            let mut damped = Banded::new(self.unknowns(), WIDTH);
            damped.clone_from_band(&equations);
            for i in 0..self.unknowns() {
                damped.add(i, i, *damping * equations.diagonal(i) + 1e-300);
            }
            let Some(by) = damped.solve(&gradient) else {
                *damping *= 10.0;
                continue;
            };
            let nodes = self.stepped(&by);
            let new = self.cost(&nodes, price);
            if new.is_finite() && new < cost {
                self.nodes = nodes;
                *damping = (*damping * 0.2).max(1e-12);
                return new;
            }
            *damping *= 10.0;
        }
        cost
    }

    /// All that the run costs: variation of curvature, and distance at its price.
    fn cost(&self, nodes: &[State], price: f64) -> f64 {
        let square = |costs: &[f64]| costs.iter().map(|r| r * r).sum::<f64>();
        let along =
            (0..self.segments()).map(|k| square(&self.costs(k, &nodes[k], &nodes[k + 1], price)));
        let at = (0..nodes.len()).map(|k| {
            let before = k.checked_sub(1).map(|k| &nodes[k]);
            square(&self.joint_costs(k, [before, nodes.get(k), nodes.get(k + 1)], price))
        });
        along.sum::<f64>() + at.sum::<f64>()
    }

    /// The normal equations: JᵀJ and −Jᵀr.
    fn equations(&self, price: f64) -> (Banded, Vec<f64>) {
        let mut matrix = Banded::new(self.unknowns(), WIDTH);
        let mut gradient = vec![0.0; self.unknowns()];
        for k in 0..self.segments() {
            let value = |states: [&State; 2]| self.costs(k, states[0], states[1], price);
            let here = value([&self.nodes[k], &self.nodes[k + 1]]);
            let mut slopes: Vec<(usize, [f64; COSTS])> = Vec::with_capacity(10);
            for (side, node) in [k, k + 1].into_iter().enumerate() {
                let unknowns = self.unknowns_of(node, node);
                for unknown in unknowns.clone() {
                    let at = |by: f64| {
                        let state = self.changed(node, unknown - unknowns.start, by);
                        let mut states = [&self.nodes[k], &self.nodes[k + 1]];
                        states[side] = &state;
                        value(states)
                    };
                    slopes.push((unknown, difference(at(DELTA), at(-DELTA))));
                }
            }
            gather(&mut matrix, &mut gradient, &slopes, &here);
        }
        for k in 0..self.nodes.len() {
            let around =
                [k.checked_sub(1), Some(k), Some(k + 1)].map(|k| k.and_then(|k| self.nodes.get(k)));
            let here = self.joint_costs(k, around, price);
            let mut slopes: Vec<(usize, [f64; 3])> = Vec::with_capacity(15);
            for side in 0..3 {
                let Some(node) = (k + side).checked_sub(1).filter(|n| *n < self.nodes.len()) else {
                    continue;
                };
                let unknowns = self.unknowns_of(node, node);
                for unknown in unknowns.clone() {
                    let at = |by: f64| {
                        let state = self.changed(node, unknown - unknowns.start, by);
                        let mut around = around;
                        around[side] = Some(&state);
                        self.joint_costs(k, around, price)
                    };
                    slopes.push((unknown, difference(at(DELTA), at(-DELTA))));
                }
            }
            gather(&mut matrix, &mut gradient, &slopes, &here);
        }
        (matrix, gradient)
    }
}

fn difference<const N: usize>(ahead: [f64; N], back: [f64; N]) -> [f64; N] {
    std::array::from_fn(|i| (ahead[i] - back[i]) / (2.0 * DELTA))
}

/// Adds what some costs have to say to the equations.
fn gather<const N: usize>(
    matrix: &mut Banded,
    gradient: &mut [f64],
    slopes: &[(usize, [f64; N])],
    here: &[f64; N],
) {
    let dot = |a: &[f64; N], b: &[f64; N]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    for (n, (i, a)) in slopes.iter().enumerate() {
        gradient[*i] -= dot(a, here);
        for (j, b) in &slopes[..=n] {
            matrix.add(*i, *j, dot(a, b));
        }
    }
}
