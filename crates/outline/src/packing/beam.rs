//! The search: one shape after another, each where it makes the best of the strip.

use super::form::{COARSE_MM, FINE_MM, Form, PROFILE_MM};
use super::slide::{Slides, height, height_mm, least_free};
use super::{Effort, Laid, Packing, Progress, Shape, Strip, better};
use kurbo::Affine;

/// Heights across the strip that are tried for a shape, besides those beside other shapes.
const HEIGHTS: i64 = 14;
/// Heights lie this far apart or twice, four times, … as far: pairs of shapes then meet again at
/// the same heights, and need no new sliding; micrometres.
const FINEST: i64 = 250;
/// Heights beside so many of the shapes laid last are tried.
const BESIDE: usize = 24;
/// When more shapes than this are laid, the next one goes on ahead of them: gaps left far behind
/// are not looked through again for each.
const MANY: usize = 60;
/// One laying takes no more placings than this, unless following a single one up does.
const MOST_PLACINGS: usize = 150_000;
/// Rounding is no length, mm.
const SLACK_MM: f64 = 1e-9;

/// An item put in the strip: `x` and the height of its true box from the margins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Put {
    pub(super) item: usize,
    pub(super) form: usize,
    pub(super) x: f64,
    pub(super) y: i64,
}

/// By what shapes keep apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Their boxes.
    Boxes,
    /// Their true outlines.
    Shapes,
}

impl Kind {
    /// A form's right side at each height.
    fn profile(self, form: &Form) -> impl Iterator<Item = f64> + '_ {
        form.right.iter().map(move |right| if self == Self::Boxes { form.size.x } else { *right })
    }
}

/// A laying of items.
#[derive(Clone, Debug, Default)]
pub(super) struct Laying {
    pub(super) puts: Vec<Put>,
    pub(super) left: Vec<usize>,
    pub(super) length_mm: f64,
    pub(super) area_mm2: f64,
}

impl Laying {
    /// Whether this one lays more, or as much in less length.
    pub(super) fn beats(&self, other: &Self) -> bool {
        let slack = 1e-9 * self.area_mm2.max(1.0);
        self.area_mm2 > other.area_mm2 + slack
            || self.area_mm2 > other.area_mm2 - slack && self.length_mm < other.length_mm - SLACK_MM
    }
}

/// A laying under way: how far it has got at each height.
#[derive(Clone)]
struct State {
    laying: Laying,
    front: Vec<f64>,
}

/// A next step of a laying under way; no put when the item finds no room.
struct Next {
    of: usize,
    put: Option<Put>,
    cost: f64,
}

/// Everything a search needs.
pub(super) struct Search<'a> {
    pub(super) forms: Vec<Form>,
    /// The forms of each shape.
    pub(super) of_shape: Vec<Vec<usize>>,
    pub(super) wanted: &'a [usize],
    strip: Strip,
    by_shape: Slides,
    by_box: Slides,
    steps: u64,
    effort: Effort,
    go_on: &'a mut dyn FnMut(Progress) -> bool,
    stopped: bool,
    next_ask: u64,
    best: Laying,
}

/// How often the caller is asked, in placings.
const ASK_EVERY: u64 = 500;

impl<'a> Search<'a> {
    pub(super) fn new(
        shapes: &[Shape],
        wanted: &'a [usize],
        strip: &Strip,
        effort: Effort,
        go_on: &'a mut dyn FnMut(Progress) -> bool,
    ) -> Self {
        let forms = Form::all(shapes, strip, COARSE_MM);
        let of = |shape| (0..forms.len()).filter(|i| forms[*i].shape == shape).collect();
        let of_shape: Vec<Vec<usize>> = (0..shapes.len()).map(of).collect();
        Self {
            of_shape,
            forms,
            wanted,
            strip: *strip,
            by_shape: Slides::new(false),
            by_box: Slides::new(true),
            steps: 0,
            effort,
            go_on,
            stopped: false,
            next_ask: ASK_EVERY,
            best: Laying { left: (0..wanted.len()).collect(), ..Laying::default() },
        }
    }

    pub(super) fn steps(&self) -> u64 {
        self.steps
    }

    /// Room between the margins along the strip, mm.
    pub(super) fn long_mm(&self) -> f64 {
        self.strip.length_mm - 2.0 * self.strip.margin_mm
    }

    /// The greatest height of a form's box.
    pub(super) fn slack(&self, form: usize) -> i64 {
        let room = self.strip.width_mm - 2.0 * self.strip.margin_mm;
        height(room - self.forms[form].size.y).max(0)
    }

    /// Heights to try for a form: evenly spaced from the lower margin on, and at the upper one.
    /// Each `finer` halves the distance.
    pub(super) fn grid(&self, form: usize, finer: u32) -> (i64, i64) {
        let slack = self.slack(form);
        let mut step = FINEST;
        while slack > HEIGHTS * step {
            step *= 2;
        }
        (slack, (step >> finer).max(1))
    }

    /// Whether to search on after so many placings.
    pub(super) fn goes_on(&mut self, most: u64) -> bool {
        if self.steps >= self.next_ask && !self.stopped {
            self.next_ask = self.steps + ASK_EVERY;
            let progress = Progress {
                steps: self.steps,
                laid: self.best.puts.len(),
                length_mm: self.strip_length_mm(&self.best),
            };
            self.stopped = !(self.go_on)(progress);
        }
        !self.stopped && self.steps < most
    }

    /// The best laying found.
    pub(super) fn best(&mut self) -> Laying {
        let items: Vec<usize> =
            (0..self.wanted.len()).filter(|i| !self.of_shape[self.wanted[*i]].is_empty()).collect();
        let orders = self.orders(&items);
        // By boxes first: whatever comes later must beat them.
        let boxes = self.forms_where(|form, before| {
            before.iter().all(|other| (other.size - form.size).hypot() > SLACK_MM)
        });
        for order in orders.iter().take(3) {
            let boxed = self.beam(order, &boxes, Kind::Boxes);
            let laying = self.pushed(&boxed);
            self.offer(laying);
        }
        // What may be mirrored is tried unmirrored too, which leaves fewer wrong turnings.
        let plain = self.forms_where(|form, _| !form.way.mirrored);
        let all = self.of_shape.clone();
        let sets = if plain == all { vec![all] } else { vec![plain, all] };
        for (i, set) in sets.iter().enumerate() {
            for (k, order) in orders.iter().enumerate() {
                // Half of the search is kept for bettering what is found.
                if i + k == 0 || self.goes_on(self.effort.steps / 2) {
                    let laying = self.beam(order, set, Kind::Shapes);
                    self.offer(laying);
                }
            }
        }
        let steps = self.effort.steps;
        better::better(self, steps);
        self.best.clone()
    }

    /// The forms of each shape that are wanted, given those of it wanted already.
    fn forms_where(&self, wanted: impl Fn(&Form, &[&Form]) -> bool) -> Vec<Vec<usize>> {
        let some = |forms: &Vec<usize>| {
            let mut kept: Vec<usize> = Vec::new();
            for &form in forms {
                let before: Vec<&Form> = kept.iter().map(|i| &self.forms[*i]).collect();
                if wanted(&self.forms[form], &before) {
                    kept.push(form);
                }
            }
            kept
        };
        self.of_shape.iter().map(some).collect()
    }

    pub(super) fn offer(&mut self, laying: Laying) {
        if laying.beats(&self.best) {
            self.best = laying;
        }
    }

    pub(super) fn found(&self) -> &Laying {
        &self.best
    }

    /// Orders of laying, none of them twice by shape.
    fn orders(&self, items: &[usize]) -> Vec<Vec<usize>> {
        let form = |item: &usize| &self.forms[self.of_shape[self.wanted[*item]][0]];
        let mut orders: Vec<Vec<usize>> = Vec::new();
        let mut add = |order: Vec<usize>| {
            let shapes = |o: &[usize]| o.iter().map(|i| self.wanted[*i]).collect::<Vec<_>>();
            if orders.iter().all(|known| shapes(known) != shapes(&order)) {
                orders.push(order);
            }
        };
        let sorted = |key: &dyn Fn(&usize) -> f64| {
            let mut order = items.to_vec();
            order.sort_by(|a, b| key(b).total_cmp(&key(a)));
            order
        };
        let long = sorted(&|i| form(i).size.x);
        add(long.clone());
        add(sorted(&|i| form(i).size.y));
        add(sorted(&|i| form(i).area_mm2));
        add(items.to_vec());
        add(long.iter().rev().copied().collect());
        // One of each shape in turn.
        let mut turns: Vec<(usize, usize, usize)> = Vec::new();
        for &item in &long {
            let before = turns.iter().filter(|t| self.wanted[t.2] == self.wanted[item]).count();
            turns.push((before, turns.len(), item));
        }
        turns.sort_unstable();
        add(turns.into_iter().map(|t| t.2).collect());
        orders
    }

    /// Where a form lies leftmost at a height among others.
    pub(super) fn least_x(&mut self, puts: &[Put], form: usize, y: i64, kind: Kind) -> f64 {
        self.least_x_from(0.0, puts, form, y, kind)
    }

    /// The same, no further left than a place.
    fn least_x_from(&mut self, from_x: f64, puts: &[Put], form: usize, y: i64, kind: Kind) -> f64 {
        self.steps += 1;
        let slides = match kind {
            Kind::Boxes => &mut self.by_box,
            Kind::Shapes => &mut self.by_shape,
        };
        let mut taken: Vec<(f64, f64)> = Vec::with_capacity(2 * puts.len());
        let gap = self.strip.gap_mm + 0.1;
        for put in puts {
            let up = y - put.y;
            let apart = height_mm(up);
            if put.x + self.forms[put.form].size.x + gap < from_x {
                continue;
            }
            if apart > self.forms[put.form].size.y + gap || -apart > self.forms[form].size.y + gap {
                continue;
            }
            let pair = slides.taken(&self.forms, put.form, form, up);
            taken.extend(pair.iter().map(|(low, high)| (put.x + low, put.x + high)));
        }
        least_free(from_x, &mut taken)
    }

    /// How far left a form may be looked for at a height, when much is laid already.
    fn leftmost_x(&self, state: &State, form: usize, y: i64) -> f64 {
        if state.laying.puts.len() <= MANY {
            return 0.0;
        }
        let (first, rows) = (first_row(y), self.forms[form].right.len());
        let covered = state.front.iter().skip(first).take(rows);
        let least = covered.copied().fold(f64::INFINITY, f64::min);
        if least.is_finite() { least.max(0.0) } else { 0.0 }
    }

    /// How many layings are followed up side by side: fewer when there is much to lay.
    fn breadth(&self, order: &[usize], forms: &[Vec<usize>]) -> usize {
        let most = order.iter().map(|item| forms[self.wanted[*item]].len()).max().unwrap_or(1);
        let heights = usize::try_from(2 * HEIGHTS).unwrap_or(0) + 2 * BESIDE.min(order.len());
        let each = order.len().max(1) * most.max(1) * heights;
        (MOST_PLACINGS / each).min(self.effort.breadth).max(1)
    }

    /// Heights worth trying for a form.
    fn heights(&self, puts: &[Put], form: usize) -> Vec<i64> {
        let (slack, step) = self.grid(form, 0);
        let mut heights: Vec<i64> = (0..=slack / step).map(|k| k * step).collect();
        heights.extend([slack / 2, slack]);
        let gap = height(self.strip.gap_mm + 0.1);
        let tall = height(self.forms[form].size.y) + 1;
        for put in puts.iter().rev().take(BESIDE) {
            heights.push(put.y + height(self.forms[put.form].size.y) + 1 + gap);
            heights.push(put.y - tall - gap);
        }
        heights.retain(|y| (0..=slack).contains(y));
        heights.sort_unstable();
        heights.dedup();
        heights
    }

    /// Lays items one after another, following several layings side by side.
    fn beam(&mut self, order: &[usize], forms: &[Vec<usize>], kind: Kind) -> Laying {
        let wide = self.strip.width_mm - 2.0 * self.strip.margin_mm;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a bar is no kilometre wide"
        )]
        let rows = (wide / PROFILE_MM).clamp(1.0, 1e5).ceil() as usize;
        let breadth = self.breadth(order, forms);
        let mut states = vec![State { laying: Laying::default(), front: vec![0.0; rows] }];
        for &item in order {
            let mut next: Vec<Next> = Vec::new();
            for (of, state) in states.iter().enumerate() {
                let before = next.len();
                for &form in &forms[self.wanted[item]] {
                    for y in self.heights(&state.laying.puts, form) {
                        let from_x = self.leftmost_x(state, form, y);
                        let x = self.least_x_from(from_x, &state.laying.puts, form, y, kind);
                        if x + self.forms[form].size.x > self.long_mm() + SLACK_MM {
                            continue;
                        }
                        let put = Put { item, form, x, y };
                        next.push(Next {
                            of,
                            put: Some(put),
                            cost: self.cost(state, &put, wide, kind),
                        });
                    }
                }
                if next.len() == before {
                    next.push(Next { of, put: None, cost: self.waste(state, wide) });
                }
            }
            next.sort_by(|a, b| a.cost.total_cmp(&b.cost));
            // Layings of one cost are mostly one laying in two orders.
            next.dedup_by(|a, b| (a.cost - b.cost).abs() < 1e-6);
            next.truncate(breadth);
            states = next.iter().map(|n| self.after(&states[n.of], n.put, item, kind)).collect();
        }
        let mut best = Laying::default();
        for state in states {
            if best.puts.is_empty() || state.laying.beats(&best) {
                best = state.laying;
            }
        }
        best
    }

    fn waste(&self, state: &State, wide: f64) -> f64 {
        let laying = &state.laying;
        let sum: f64 = state.front.iter().sum();
        wide * judged(sum, state.front.len(), laying.length_mm) - laying.area_mm2
    }

    /// The strip left behind the front less what is laid on it.
    fn cost(&self, state: &State, put: &Put, wide: f64, kind: Kind) -> f64 {
        let form = &self.forms[put.form];
        let mut sum: f64 = state.front.iter().sum();
        let first = first_row(put.y);
        for (k, right) in kind.profile(form).enumerate() {
            if let Some(front) = state.front.get(first + k) {
                sum += (put.x + right - front).max(0.0);
            }
        }
        let laying = &state.laying;
        let length = laying.length_mm.max(put.x + form.size.x);
        wide * judged(sum, state.front.len(), length) - (laying.area_mm2 + form.area_mm2)
    }

    fn after(&self, state: &State, put: Option<Put>, item: usize, kind: Kind) -> State {
        let mut state = state.clone();
        let Some(put) = put else {
            state.laying.left.push(item);
            return state;
        };
        let form = &self.forms[put.form];
        let first = first_row(put.y);
        for (k, right) in kind.profile(form).enumerate() {
            if let Some(front) = state.front.get_mut(first + k) {
                *front = front.max(put.x + right);
            }
        }
        state.laying.length_mm = state.laying.length_mm.max(put.x + form.size.x);
        state.laying.area_mm2 += form.area_mm2;
        state.laying.puts.push(put);
        state
    }

    /// A laying by boxes, pushed together by true shapes. Taken from left to right nothing
    /// comes to lie further right than it did.
    fn pushed(&mut self, boxed: &Laying) -> Laying {
        let mut puts = boxed.puts.clone();
        puts.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut laying = Laying { left: boxed.left.clone(), ..Laying::default() };
        for put in puts {
            // Whichever way round fills the same box comes furthest left.
            let size = self.forms[put.form].size;
            let mut best: Option<Put> = None;
            for form in self.of_shape[self.wanted[put.item]].clone() {
                if (self.forms[form].size - size).hypot() <= SLACK_MM {
                    let x = self.least_x(&laying.puts, form, put.y, Kind::Shapes);
                    if best.is_none_or(|known| x < known.x) {
                        best = Some(Put { form, x, ..put });
                    }
                }
            }
            self.lay(&mut laying, best.unwrap_or(put));
        }
        laying
    }

    /// The same laying pushed together by finer polygons, if it comes out no longer.
    pub(super) fn polished(&mut self, shapes: &[Shape], laying: &Laying) -> Laying {
        let coarse = std::mem::replace(&mut self.forms, Form::all(shapes, &self.strip, FINE_MM));
        let mut puts = laying.puts.clone();
        let same = self.forms.len() == coarse.len()
            && self.forms.iter().zip(&coarse).all(|(a, b)| (a.shape, a.way) == (b.shape, b.way));
        if !same {
            self.forms = coarse;
            return laying.clone();
        }
        self.by_shape = Slides::new(false);
        puts.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut fine = Laying { left: laying.left.clone(), ..Laying::default() };
        for put in puts {
            let x = self.least_x(&fine.puts, put.form, put.y, Kind::Shapes);
            self.lay(&mut fine, Put { x, ..put });
        }
        if fine.length_mm <= laying.length_mm { fine } else { laying.clone() }
    }

    /// Adds a put whose place is known.
    pub(super) fn lay(&self, laying: &mut Laying, put: Put) {
        let form = &self.forms[put.form];
        laying.length_mm = laying.length_mm.max(put.x + form.size.x);
        laying.area_mm2 += form.area_mm2;
        laying.puts.push(put);
    }

    fn strip_length_mm(&self, laying: &Laying) -> f64 {
        if laying.puts.is_empty() { 0.0 } else { laying.length_mm + 2.0 * self.strip.margin_mm }
    }

    pub(super) fn packing(&self, laying: &Laying) -> Packing {
        let margin = self.strip.margin_mm;
        let mut puts = laying.puts.clone();
        puts.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.cmp(&b.y)));
        let laid = puts.iter().map(|put| {
            let form = &self.forms[put.form];
            let at = (margin + put.x, margin + height_mm(put.y));
            Laid { item: put.item, way: form.way, by: Affine::translate(at) * form.by }
        });
        let laid: Vec<Laid> = laid.collect();
        let is_laid = |item: &usize| laid.iter().any(|l| l.item == *item);
        Packing {
            left: (0..self.wanted.len()).filter(|item| !is_laid(item)).collect(),
            length_mm: self.strip_length_mm(laying),
            laid,
            steps: self.steps,
            coarse: self.forms.iter().any(|form| form.coarse),
        }
    }
}

/// Between the mean of the front and its foremost place.
fn judged(sum: f64, rows: usize, length_mm: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "some thousand rows")]
    let mean = sum / rows.max(1) as f64;
    0.5 * mean + 0.5 * length_mm
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a height is not negative and no kilometre"
)]
fn first_row(y: i64) -> usize {
    (height_mm(y) / PROFILE_MM).max(0.0) as usize
}
