//! Tells at little cost that a ring of chords neither touches nor crosses itself.

use kurbo::Point;

use super::flatten::Chord;

/// Pairs looked at for each chord before the search is given up as too dear.
const PATIENCE: usize = 64;

/// True if the ring certainly meets itself nowhere. False if it does, or if telling would
/// take long: the caller then has the region worked out, which is right for any ring.
pub(super) fn is_plain_ring(chords: &[Chord]) -> bool {
    let n = chords.len();
    if n < 3 {
        return false;
    }
    let boxes: Vec<[f64; 4]> = along_longer_axis(chords);
    let mut order: Vec<u32> = (0..u32::try_from(n).unwrap_or(u32::MAX)).collect();
    order.sort_by(|&i, &j| boxes[i as usize][0].total_cmp(&boxes[j as usize][0]));
    let mut open: Vec<u32> = Vec::new();
    let mut looks = 0;
    for &i in &order {
        let [low, _, bottom, top] = boxes[i as usize];
        let mut k = 0;
        while k < open.len() {
            let j = open[k];
            let other = boxes[j as usize];
            if other[1] < low {
                open.swap_remove(k);
                continue;
            }
            k += 1;
            looks += 1;
            if other[2] <= top && bottom <= other[3] && meet(chords, i as usize, j as usize) {
                return false;
            }
        }
        if looks > PATIENCE * n {
            return false;
        }
        open.push(i);
    }
    true
}

/// Each chord's box: low and high along the ring's longer axis, low and high across it.
fn along_longer_axis(chords: &[Chord]) -> Vec<[f64; 4]> {
    let span = |of: fn(Point) -> f64| {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for c in chords {
            low = low.min(of(c.a));
            high = high.max(of(c.a));
        }
        high - low
    };
    let wide = span(|p| p.x) >= span(|p| p.y);
    let turned = |p: Point| if wide { (p.x, p.y) } else { (p.y, p.x) };
    chords
        .iter()
        .map(|c| {
            let ((ax, ay), (bx, by)) = (turned(c.a), turned(c.b));
            [ax.min(bx), ax.max(bx), ay.min(by), ay.max(by)]
        })
        .collect()
}

/// Whether two chords meet, other than at the corner that neighbours share.
fn meet(chords: &[Chord], i: usize, j: usize) -> bool {
    let n = chords.len();
    let (p, q) = (&chords[i], &chords[j]);
    let follows = (i + 1) % n == j;
    if follows || (j + 1) % n == i {
        let (first, second) = if follows { (p, q) } else { (q, p) };
        let (u, v) = (first.b - first.a, second.b - second.a);
        // Folded back upon itself, or a ring of three with no area.
        return u.cross(v) == 0.0 && u.dot(v) < 0.0;
    }
    let side = |a: Point, b: Point, c: Point| (b - a).cross(c - a);
    let apart = |s: f64, t: f64| s * t > 0.0;
    !apart(side(p.a, p.b, q.a), side(p.a, p.b, q.b))
        && !apart(side(q.a, q.b, p.a), side(q.a, q.b, p.b))
}
