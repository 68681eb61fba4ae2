//! Bettering a laying: one thing is changed at a time, and kept unless it makes it worse by
//! more than a patience that shrinks to nothing (threshold accepting, Dueck and Scheuer 1990).

use super::beam::{Kind, Laying, Put, Search};

/// A small generator of even numbers, the same on every machine (Knuth's MMIX constants).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let high = (self.0 >> 33) as usize;
        high % most.max(1)
    }
}

/// The patience to begin with, as a share of the length.
const PATIENCE: f64 = 0.004;
/// When this share of the search is left, heights are tried on a finer grid.
const FINE_FROM: f64 = 0.15;
/// How much a mean millimetre further left is worth beside a millimetre of length.
const LEFTWARD: f64 = 0.02;

/// Changes the best laying of a search until so many placings are tried.
pub(super) fn better(search: &mut Search<'_>, most: u64) {
    let mut now = in_order(search.found().clone());
    if now.puts.is_empty() {
        return;
    }
    let mut dice = Dice(0x2545_f491_4f6c_dd1d);
    let mut worth = worth(search, &now);
    let (first, patient) = (search.steps(), PATIENCE * worth);
    while search.goes_on(most) {
        #[expect(clippy::cast_precision_loss, reason = "steps are far below 2^53")]
        let left = 1.0 - (search.steps() - first) as f64 / (most - first).max(1) as f64;
        let (puts, from) = changed(search, &now, &mut dice, if left < FINE_FROM { 2 } else { 0 });
        let Some(mut next) = laid(search, &now, &puts, from) else { continue };
        if !next.left.is_empty() {
            fill(search, &mut next);
        }
        let next_worth = self::worth(search, &next);
        let more = next.area_mm2 > now.area_mm2 + 1e-6;
        let patience = patient * left.max(0.0).powi(2) + 1e-9;
        if more || next.area_mm2 > now.area_mm2 - 1e-6 && next_worth <= worth + patience {
            worth = next_worth;
            now = in_order(next);
            search.offer(now.clone());
        }
    }
}

fn in_order(mut laying: Laying) -> Laying {
    laying.puts.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.cmp(&b.y)));
    laying
}

fn worth(search: &Search<'_>, laying: &Laying) -> f64 {
    let ends = laying.puts.iter().map(|put| put.x + search.forms[put.form].size.x);
    #[expect(clippy::cast_precision_loss, reason = "some hundred shapes")]
    let mean = ends.sum::<f64>() / laying.puts.len().max(1) as f64;
    laying.length_mm + LEFTWARD * mean
}

/// The puts with one change, and the first that is touched by it.
fn changed(search: &Search<'_>, now: &Laying, dice: &mut Dice, finer: u32) -> (Vec<Put>, usize) {
    let mut puts = now.puts.clone();
    let n = puts.len();
    let i = dice.below(n);
    match dice.below(5) {
        0 | 1 => {
            puts[i].y = some_height(search, puts[i].form, dice, finer);
            (puts, i)
        }
        2 => {
            let forms = &search.of_shape[search.forms[puts[i].form].shape];
            puts[i].form = forms[dice.below(forms.len())];
            puts[i].y = some_height(search, puts[i].form, dice, finer);
            (puts, i)
        }
        3 => {
            // Two neighbours trade places, or the left one is taken by another shape's item.
            let j = (i + 1 + dice.below(3)).min(n - 1);
            puts.swap(i, j);
            (puts, i)
        }
        _ => {
            let put = puts.remove(i);
            let j = dice.below(n);
            puts.insert(j, put);
            (puts, i.min(j))
        }
    }
}

/// One of the heights of a form's grid.
fn some_height(search: &Search<'_>, form: usize, dice: &mut Dice, finer: u32) -> i64 {
    let (slack, step) = search.grid(form, finer);
    let count = usize::try_from(slack / step).unwrap_or(0) + 2;
    let k = i64::try_from(dice.below(count)).unwrap_or(0);
    (k * step).min(slack)
}

/// The puts pushed to the left in turn, from one on; `None` if one finds no room.
fn laid(search: &mut Search<'_>, now: &Laying, puts: &[Put], from: usize) -> Option<Laying> {
    let mut next = Laying { left: now.left.clone(), ..Laying::default() };
    for (k, put) in puts.iter().enumerate() {
        let x = if k < from {
            put.x
        } else {
            search.least_x(&next.puts, put.form, put.y, Kind::Shapes)
        };
        if x + search.forms[put.form].size.x > search.long_mm() + 1e-9 {
            return None;
        }
        search.lay(&mut next, Put { x, ..*put });
    }
    Some(next)
}

/// Lays what was left wherever it finds room now.
fn fill(search: &mut Search<'_>, laying: &mut Laying) {
    let mut tried: Vec<usize> = Vec::new();
    for item in std::mem::take(&mut laying.left) {
        let shape = search.wanted[item];
        let mut best: Option<Put> = None;
        if !tried.contains(&shape) {
            for form in search.of_shape[shape].clone() {
                let (slack, step) = search.grid(form, 0);
                for k in 0..=slack / step + 1 {
                    let y = (k * step).min(slack);
                    let x = search.least_x(&laying.puts, form, y, Kind::Shapes);
                    let fits = x + search.forms[form].size.x <= search.long_mm() + 1e-9;
                    if fits && best.is_none_or(|put| x < put.x) {
                        best = Some(Put { item, form, x, y });
                    }
                }
            }
        }
        match best {
            Some(put) => search.lay(laying, put),
            None => {
                tried.push(shape);
                laying.left.push(item);
            }
        }
    }
}
