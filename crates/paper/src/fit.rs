//! Where a drawing fits among what is already on a page.

use crate::hull::{self, PAD_MM};
use kurbo::{Point, Rect, Vec2};

/// Least white between the drawing and anything else on the page, mm.
const GAP_MM: f64 = 4.0;

/// Directions of the separating-axis test.
const DIRECTIONS: u32 = 36;

/// The free area of a page.
#[derive(Clone, Debug)]
pub(crate) struct FreeArea {
    /// It must lie in here.
    pub(crate) window: Rect,
    /// It must keep clear of these.
    pub(crate) obstacles: Vec<Rect>,
}

impl FreeArea {
    /// Whether what stands on the page itself lies in the window.
    pub(crate) fn is_sound(&self) -> bool {
        let window = self.window.inflate(1e-6, 1e-6);
        self.obstacles.iter().all(|rect| window.union(*rect) == window)
    }
}

/// Clearance of the hulls, as drawn, to each rectangle along every direction; a translation
/// changes it by its own component along the direction, the same for all.
struct Clearances {
    directions: Vec<Vec2>,
    /// For each rectangle, for each hull, along each direction, mm.
    gaps: Vec<Vec<Vec<f64>>>,
}

impl Clearances {
    fn of(hulls: &[Vec<Point>], occupied: &[Rect]) -> Self {
        let turn = |k| f64::from(k) * std::f64::consts::TAU / f64::from(DIRECTIONS);
        let directions: Vec<Vec2> = (0..DIRECTIONS).map(|k| Vec2::from_angle(turn(k))).collect();
        let reach = |hull: &[Point], along: Vec2| {
            hull.iter().map(|p| along.dot(p.to_vec2())).fold(f64::MIN, f64::max) + PAD_MM
        };
        let far: Vec<Vec<f64>> = hulls
            .iter()
            .map(|hull| directions.iter().map(|along| reach(hull, *along)).collect())
            .collect();
        let nearest = |rect: &Rect, along: Vec2| {
            let half = rect.size() / 2.0;
            let middle = rect.center().to_vec2();
            along.dot(middle) - along.x.abs() * half.width - along.y.abs() * half.height
        };
        let gaps = occupied
            .iter()
            .map(|rect| {
                let near: Vec<f64> = directions.iter().map(|d| nearest(rect, *d)).collect();
                let gap = |far: &Vec<f64>| near.iter().zip(far).map(|(n, f)| n - f).collect();
                far.iter().map(gap).collect()
            })
            .collect();
        Self { directions, gaps }
    }

    /// For each rectangle a lower bound of the distance to it after moving by `by`; negative
    /// when no direction tells hull and rectangle apart (separating axes: two convex shapes
    /// apart along any one axis don't meet).
    fn after(&self, by: Vec2) -> impl Iterator<Item = f64> {
        let moved: Vec<f64> = self.directions.iter().map(|along| along.dot(by)).collect();
        self.gaps.iter().map(move |hulls| {
            let gap = |gaps: &Vec<f64>| {
                gaps.iter().zip(&moved).map(|(gap, by)| gap - by).fold(f64::MIN, f64::max)
            };
            hulls.iter().map(gap).fold(f64::MAX, f64::min)
        })
    }
}

/// A translation that fits, and its score (more is better).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fit {
    pub(crate) by: Vec2,
    pub(crate) score: f64,
}

/// The best place for hulls that move together: away from everything, or `None` if
/// they don't fit. `steps` is the number of places tried along each side.
pub(crate) fn place(hulls: &[Vec<Point>], room: &FreeArea, steps: u32) -> Option<Fit> {
    let boxes = hulls.iter().filter_map(|points| hull::bounds(points));
    let bounds = boxes.reduce(|a, b| a.union(b))?.inflate(PAD_MM, PAD_MM);
    let spare = room.window.size() - bounds.size();
    if spare.width < 0.0 || spare.height < 0.0 {
        return None;
    }
    let apart = Clearances::of(hulls, &room.obstacles);
    let corner = room.window.origin() - bounds.origin();
    let mut best: Option<Fit> = None;
    let mut span = spare;
    let mut middle = corner + spare.to_vec2() / 2.0;
    for _round in 0..4 {
        for place in grid(middle, span.to_vec2(), steps) {
            let inside = place - corner;
            if inside.x < -1e-9
                || inside.y < -1e-9
                || inside.x > spare.width + 1e-9
                || inside.y > spare.height + 1e-9
            {
                continue;
            }
            let min = best.map_or(f64::NEG_INFINITY, |best| best.score + 1e-9);
            if let Some(worth) = score(&apart, bounds, place, room.window, min) {
                best = Some(Fit { by: place, score: worth });
            }
        }
        middle = best?.by;
        span *= 3.0 / f64::from(steps);
    }
    best
}

/// Places on a grid around `middle`, the middle itself first.
fn grid(middle: Vec2, span: Vec2, steps: u32) -> impl Iterator<Item = Vec2> {
    let at = move |k: u32| f64::from(k) / f64::from(steps - 1) - 0.5;
    let rows = (0..steps).flat_map(move |i| (0..steps).map(move |j| (at(i), at(j))));
    std::iter::once(middle)
        .chain(rows.map(move |(u, v)| middle + Vec2::new(u * span.x, v * span.y)))
}

/// Score of a place: neighbours repel the harder the nearer they are. `None` when it is blocked,
/// or scores no more than `min`.
fn score(apart: &Clearances, bounds: Rect, by: Vec2, window: Rect, min: f64) -> Option<f64> {
    let at = bounds + by;
    let sides = [at.x0 - window.x0, window.x1 - at.x1, at.y0 - window.y0, window.y1 - at.y1];
    let mut push: f64 = sides.iter().map(|gap| 1.0 / (gap.max(0.0) + 8.0)).sum();
    if -push <= min {
        return None;
    }
    for gap in apart.after(by) {
        push += 1.0 / (gap + 4.0);
        if gap < GAP_MM || -push <= min {
            return None;
        }
    }
    Some(-push)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corners(rect: Rect) -> Vec<Point> {
        vec![
            Point::new(rect.x0, rect.y0),
            Point::new(rect.x1, rect.y0),
            Point::new(rect.x1, rect.y1),
            Point::new(rect.x0, rect.y1),
        ]
    }

    #[test]
    fn alone_it_stands_in_the_middle() {
        let room = FreeArea { window: Rect::new(0.0, 0.0, 200.0, 100.0), obstacles: vec![] };
        let found = place(&[corners(Rect::new(5.0, 5.0, 55.0, 25.0))], &room, 15).unwrap();
        assert!((found.by - Vec2::new(70.0, 35.0)).hypot() < 0.5, "{:?}", found.by);
    }

    #[test]
    fn it_keeps_clear_of_what_stands_there() {
        let occupied = Rect::new(0.0, 0.0, 120.0, 60.0);
        let room =
            FreeArea { window: Rect::new(0.0, 0.0, 200.0, 100.0), obstacles: vec![occupied] };
        let found = place(&[corners(Rect::new(0.0, 0.0, 150.0, 30.0))], &room, 15).unwrap();
        assert!(found.by.y >= 60.0 + GAP_MM + PAD_MM - 1e-9);
        assert!(place(&[corners(Rect::new(0.0, 0.0, 150.0, 40.0))], &room, 15).is_none());
        assert!(place(&[corners(Rect::new(0.0, 0.0, 210.0, 1.0))], &room, 15).is_none());
    }

    #[test]
    fn a_diagonal_passes_beside_a_corner() {
        let strip: Vec<Point> = [(0.0, 100.0), (100.0, 0.0), (105.0, 5.0), (5.0, 105.0)]
            .into_iter()
            .map(Point::from)
            .collect();
        let window = Rect::new(0.0, 0.0, 110.0, 110.0);
        let obstacles = vec![Rect::new(0.0, 0.0, 40.0, 40.0)];
        assert!(place(&[strip], &FreeArea { window, obstacles }, 15).is_some());
    }
}
