//! Places along a stretch, and which of them stay.

use super::stretch::{End, Stretch};
use super::walk::Track;
use super::{Row, Spaced, Spacing};
use kurbo::Point;

/// The places along one stretch, in its order; a ring's first is not told again at its end.
pub(super) fn along(stretch: &Stretch, spacing: &Spacing) -> Vec<Point> {
    let pitch_mm = spacing.pitch_mm;
    let points = &stretch.points;
    let track = Track::new(points);
    match (stretch.from, stretch.to) {
        (End::Ring, _) | (_, End::Ring) => {
            let Some((steps, step_mm)) = division(&track, spacing, 2) else {
                return vec![points[0]];
            };
            let mut places = track.walk(0.0, step_mm, steps - 1);
            places.truncate(steps);
            places
        }
        (End::Corner, End::Corner) => {
            let (first, last) = (points[0], points[points.len() - 1]);
            let Some((steps, step_mm)) = division(&track, spacing, 1) else {
                return vec![first, last];
            };
            let mut places = track.walk(0.0, step_mm, steps - 1);
            places.truncate(steps);
            places.push(last);
            places
        }
        (End::Corner, End::Cut) => track.walk(0.0, pitch_mm, usize::MAX - 1),
        (End::Cut, End::Corner) => {
            let back: Vec<Point> = points.iter().rev().copied().collect();
            let mut places = Track::new(&back).walk(0.0, pitch_mm, usize::MAX - 1);
            places.reverse();
            places
        }
        (End::Cut, End::Cut) => {
            let places = track.walk(0.0, pitch_mm, usize::MAX - 1);
            let last = places[places.len() - 1];
            let rest = rest_mm(points, last);
            track.walk(rest / 2.0, pitch_mm, places.len() - 1)
        }
    }
}

/// The way from a place reached last to the end of the points.
fn rest_mm(points: &[Point], last: Point) -> f64 {
    let mut way = 0.0;
    for pair in points.windows(2).rev() {
        let (a, b) = (pair[0], pair[1]);
        let side = a.distance(b);
        if (a.distance(last) + last.distance(b) - side).abs() <= 1e-9 {
            return way + last.distance(b);
        }
        way += side;
    }
    way
}

/// The whole number of steps, at least `fewest`, whose length is nearest to the pitch and not
/// below the shortest; with that length.
fn division(track: &Track<'_>, spacing: &Spacing, fewest: usize) -> Option<(usize, f64)> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a length over a pitch, both positive"
    )]
    let most = (track.length_mm() / spacing.pitch_mm).ceil().clamp(1.0, 1e6) as usize;
    let mut best: Option<(usize, f64)> = None;
    // Fewer steps are longer ones: from the most on down, until they only get worse.
    for steps in (fewest..=most.max(fewest)).rev() {
        let step_mm = track.even_step_mm(steps);
        let off = (step_mm - spacing.pitch_mm).abs();
        if step_mm >= spacing.shortest_mm
            && best.is_none_or(|(_, best_mm)| off < (best_mm - spacing.pitch_mm).abs())
        {
            best = Some((steps, step_mm));
        }
        if step_mm > spacing.pitch_mm {
            break;
        }
    }
    best
}

/// Adds a stretch's places; a corner known already is not added twice.
pub(super) fn add(spaced: &mut Spaced, places: &[Point], closed: bool) {
    let mut row = Row { places: Vec::with_capacity(places.len()), closed };
    for (k, at) in places.iter().enumerate() {
        let end = k == 0 || k + 1 == places.len();
        let known = if end { spaced.places.iter().position(|p| p == at) } else { None };
        row.places.push(known.unwrap_or(spaced.places.len()));
        if known.is_none() {
            spaced.places.push(*at);
        }
    }
    spaced.rows.push(row);
}

/// Takes away what lies too near to a place that is no neighbour, or has no room.
pub(super) fn thin(spaced: &mut Spaced, room: &dyn Fn(Point) -> f64, apart_mm: f64) {
    let count = spaced.places.len();
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); count];
    let mut rows_of = vec![0_u32; count];
    for row in &spaced.rows {
        row.places.iter().for_each(|i| rows_of[*i] += 1);
        for (a, b) in row.steps() {
            // Two corners with no step between them are too near to be neighbours.
            if row.places.len() > 2 || spaced.places[a].distance(spaced.places[b]) >= apart_mm {
                near[a].push(b);
                near[b].push(a);
            }
        }
    }
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_key(|i| std::cmp::Reverse(rows_of[*i].min(2)));
    let mut stays: Vec<usize> = Vec::with_capacity(count);
    let mut kept = vec![false; count];
    for i in order {
        let at = spaced.places[i];
        let crowded = stays.iter().any(|&j| {
            spaced.places[j].distance_squared(at) < apart_mm * apart_mm && !near[i].contains(&j)
        });
        // What lies between two looks along the curve may still be short of room.
        if !crowded && room(at) >= -1e-9 {
            stays.push(i);
            kept[i] = true;
        }
    }
    renumber(spaced, &kept);
}

fn renumber(spaced: &mut Spaced, kept: &[bool]) {
    let mut number = vec![usize::MAX; kept.len()];
    let mut places = Vec::new();
    for (i, at) in spaced.places.iter().enumerate().filter(|(i, _)| kept[*i]) {
        number[i] = places.len();
        places.push(*at);
    }
    spaced.places = places;
    let mut rows: Vec<Row> = Vec::new();
    for row in std::mem::take(&mut spaced.rows) {
        let whole = row.places.iter().all(|i| kept[*i]);
        let mut run: Vec<usize> = Vec::new();
        let mut pieces: Vec<Vec<usize>> = Vec::new();
        for i in &row.places {
            if kept[*i] {
                run.push(number[*i]);
            } else if !run.is_empty() {
                pieces.push(std::mem::take(&mut run));
            }
        }
        if !run.is_empty() {
            pieces.push(run);
        }
        // A ring that is broken elsewhere still goes on from its last place to its first.
        if row.closed
            && !whole
            && pieces.len() > 1
            && kept[row.places[0]]
            && kept[row.places[row.places.len() - 1]]
            && let Some(mut last) = pieces.pop()
        {
            last.append(&mut pieces[0]);
            pieces[0] = last;
        }
        let closed = row.closed && whole && row.places.len() > 1;
        rows.extend(pieces.into_iter().map(|places| Row { places, closed }));
    }
    // A corner alone tells nothing that its other row doesn't.
    let long: Vec<usize> =
        rows.iter().filter(|r| r.places.len() > 1).flat_map(|r| r.places.iter().copied()).collect();
    rows.retain(|row| row.places.len() > 1 || !long.contains(&row.places[0]));
    spaced.rows = rows;
}
