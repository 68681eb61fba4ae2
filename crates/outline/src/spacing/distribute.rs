//! Places along a stretch, and which of them stay.

use super::arc_length::ArcLengthPolyline;
use super::stretch::{End, Stretch};
use super::{SpacedPoints, SpacedRow, SpacingOptions};
use kurbo::Point;

/// Starts that are tried on a ring, or ends on a stretch between corners, until the steps lead
/// to the end.
const STARTS: usize = 12;
/// Steps that miss the end by less lead to it, mm.
const MISS_MM: f64 = 1e-6;

/// The places along one stretch, in its order; a ring's first is not told again at its end.
pub(super) fn along(stretch: &Stretch, spacing: &SpacingOptions) -> Vec<Point> {
    let pitch_mm = spacing.pitch_mm;
    let points = &stretch.points;
    let track = ArcLengthPolyline::new(points);
    match (stretch.from, stretch.to) {
        (End::Ring, _) | (_, End::Ring) => {
            let ring = &points[..points.len() - 1];
            let from = |k: usize| -> Vec<Point> {
                let first = k * ring.len() / STARTS;
                (0..=ring.len()).map(|i| ring[(first + i) % ring.len()]).collect()
            };
            let Some(mut places) = best_of((0..STARTS).map(from), spacing, 2) else {
                return vec![points[0]];
            };
            places.pop();
            places
        }
        (End::Corner, End::Corner) => {
            let back: Vec<Point> = points.iter().rev().copied().collect();
            let both = [points.clone(), back];
            best_of(both.into_iter(), spacing, 1).map_or_else(
                || vec![points[0], points[points.len() - 1]],
                |mut places| {
                    if places[0] != points[0] {
                        places.reverse();
                    }
                    places
                },
            )
        }
        (End::Corner, End::Cut) => track.equal_steps(0.0, pitch_mm, usize::MAX - 1),
        (End::Cut, End::Corner) => {
            let back: Vec<Point> = points.iter().rev().copied().collect();
            let mut places =
                ArcLengthPolyline::new(&back).equal_steps(0.0, pitch_mm, usize::MAX - 1);
            places.reverse();
            places
        }
        (End::Cut, End::Cut) => {
            let places = track.equal_steps(0.0, pitch_mm, usize::MAX - 1);
            let last = places[places.len() - 1];
            let rest = rest_mm(points, last);
            track.equal_steps(rest / 2.0, pitch_mm, places.len() - 1)
        }
    }
}

/// The way from a place reached last to the end of the points.
fn rest_mm(points: &[Point], last: Point) -> f64 {
    let mut length = 0.0;
    for pair in points.windows(2).rev() {
        let (a, b) = (pair[0], pair[1]);
        let side = a.distance(b);
        if (a.distance(last) + last.distance(b) - side).abs() <= 1e-9 {
            return length + last.distance(b);
        }
        length += side;
    }
    length
}

/// The first of several ways to run along a stretch on which even steps lead to the end, with
/// the places on it, both ends told; if there is none, the first with its last step uneven.
fn best_of(
    runs: impl Iterator<Item = Vec<Point>>,
    spacing: &SpacingOptions,
    fewest: usize,
) -> Option<Vec<Point>> {
    let mut fallback: Option<Vec<Point>> = None;
    for points in runs {
        let track = ArcLengthPolyline::new(&points);
        let (steps, step_mm, miss_mm) = division(&track, spacing, fewest)?;
        if fallback.is_some() && miss_mm > MISS_MM {
            continue;
        }
        let mut places = track.equal_steps(0.0, step_mm, steps - 1);
        places.truncate(steps);
        let last = points[points.len() - 1];
        if places.len() > fewest && places[places.len() - 1].distance(last) < spacing.min_pitch_mm {
            places.pop();
        }
        places.push(last);
        if miss_mm <= MISS_MM {
            return Some(places);
        }
        fallback = Some(places);
    }
    fallback
}

/// The whole number of steps, at least `fewest`, whose length is nearest to the pitch and not
/// below the shortest; with that length, and the way by which they miss the end. Such as don't
/// miss it come first.
fn division(
    track: &ArcLengthPolyline<'_>,
    spacing: &SpacingOptions,
    fewest: usize,
) -> Option<(usize, f64, f64)> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a length over a pitch, both positive"
    )]
    let max = (track.length_mm() / spacing.pitch_mm).ceil().clamp(1.0, 1e6) as usize;
    let mut best: Option<(usize, f64, f64)> = None;
    // Fewer steps are longer ones: from the most on down, until they only get worse.
    for steps in (fewest..=max.max(fewest)).rev() {
        let (step_mm, miss_mm) = track.even_step_mm(steps);
        let rank =
            |step_mm: f64, miss_mm: f64| (miss_mm > MISS_MM, (step_mm - spacing.pitch_mm).abs());
        if step_mm >= spacing.min_pitch_mm
            && best.is_none_or(|(_, step, miss)| rank(step_mm, miss_mm) < rank(step, miss))
        {
            best = Some((steps, step_mm, miss_mm));
        }
        if step_mm > spacing.pitch_mm {
            break;
        }
    }
    best
}

/// Adds a stretch's places; a corner known already is not added twice.
pub(super) fn add(spaced: &mut SpacedPoints, places: &[Point], closed: bool) {
    let mut row = SpacedRow { indices: Vec::with_capacity(places.len()), closed };
    for (k, at) in places.iter().enumerate() {
        let end = k == 0 || k + 1 == places.len();
        let known = if end { spaced.points.iter().position(|p| p == at) } else { None };
        row.indices.push(known.unwrap_or(spaced.points.len()));
        if known.is_none() {
            spaced.points.push(*at);
        }
    }
    spaced.rows.push(row);
}

/// Takes away what lies too near to a place that is no neighbour, or has no room.
pub(super) fn thin(spaced: &mut SpacedPoints, room: &dyn Fn(Point) -> f64, apart_mm: f64) {
    let count = spaced.points.len();
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); count];
    let mut rows_of = vec![0_u32; count];
    for row in &spaced.rows {
        row.indices.iter().for_each(|i| rows_of[*i] += 1);
        for (a, b) in row.steps() {
            // Two corners with no step between them are too near to be neighbours.
            if row.indices.len() > 2 || spaced.points[a].distance(spaced.points[b]) >= apart_mm {
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
        let at = spaced.points[i];
        let crowded = stays.iter().any(|&j| {
            spaced.points[j].distance_squared(at) < apart_mm * apart_mm && !near[i].contains(&j)
        });
        // What lies between two looks along the curve may still be short of room.
        if !crowded && room(at) >= -1e-9 {
            stays.push(i);
            kept[i] = true;
        }
    }
    renumber(spaced, &kept);
}

fn renumber(spaced: &mut SpacedPoints, kept: &[bool]) {
    let mut number = vec![usize::MAX; kept.len()];
    let mut places = Vec::new();
    for (i, at) in spaced.points.iter().enumerate().filter(|(i, _)| kept[*i]) {
        number[i] = places.len();
        places.push(*at);
    }
    spaced.points = places;
    let mut rows: Vec<SpacedRow> = Vec::new();
    for row in std::mem::take(&mut spaced.rows) {
        let whole = row.indices.iter().all(|i| kept[*i]);
        let mut run: Vec<usize> = Vec::new();
        let mut pieces: Vec<Vec<usize>> = Vec::new();
        for i in &row.indices {
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
            && kept[row.indices[0]]
            && kept[row.indices[row.indices.len() - 1]]
            && let Some(mut last) = pieces.pop()
        {
            last.append(&mut pieces[0]);
            pieces[0] = last;
        }
        let closed = row.closed && whole && row.indices.len() > 1;
        rows.extend(pieces.into_iter().map(|places| SpacedRow { indices: places, closed }));
    }
    // A corner alone tells nothing that its other row doesn't.
    let long: Vec<usize> = rows
        .iter()
        .filter(|r| r.indices.len() > 1)
        .flat_map(|r| r.indices.iter().copied())
        .collect();
    rows.retain(|row| row.indices.len() > 1 || !long.contains(&row.indices[0]));
    spaced.rows = rows;
}
