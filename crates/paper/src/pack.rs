//! Boxes put on a page one after the other, each as high and then as far left as it goes, clear of
//! what stands there: the free area is kept as the largest rectangles that lie in it ("maximal
//! rectangles", Jylänki 2010, "A Thousand Ways to Pack the Bin", from memory).

use kurbo::{Point, Rect, Size, Vec2};

/// Steps in which what was packed is lowered towards the middle of its page.
const DROPS: u32 = 24;

/// The lower left corners of boxes that all go into a window, in order, with so much white around
/// each; `None` when one finds no place.
pub(crate) fn pack(
    window: Rect,
    obstacles: &[Rect],
    boxes: &[Size],
    white_mm: f64,
) -> Option<Vec<Point>> {
    let corners = pack_high(window, obstacles, boxes, white_mm)?;
    let by = towards_middle(window, obstacles, boxes, &corners, white_mm);
    Some(corners.into_iter().map(|corner| corner + by).collect())
}

/// The same, the boxes left as high and as far left as they went.
pub(crate) fn pack_high(
    window: Rect,
    obstacles: &[Rect],
    boxes: &[Size],
    white_mm: f64,
) -> Option<Vec<Point>> {
    let mut free = vec![window];
    for obstacle in obstacles {
        free = without(&free, obstacle.inflate(white_mm, white_mm));
    }
    let mut corners = Vec::with_capacity(boxes.len());
    for size in boxes {
        let fits =
            |area: &&Rect| area.width() + 1e-9 >= size.width && area.height() + 1e-9 >= size.height;
        let place = free
            .iter()
            .filter(fits)
            .map(|area| Point::new(area.x0, area.y1 - size.height))
            .min_by(|a, b| {
                // Level with one another reads from the left.
                let (top_a, top_b) = (a.y + size.height, b.y + size.height);
                top_b.total_cmp(&top_a).then(a.x.total_cmp(&b.x))
            })?;
        let own = Rect::from_origin_size(place, *size);
        free = without(&free, own.inflate(white_mm, white_mm));
        corners.push(place);
    }
    Some(corners)
}

/// The free area less a rectangle: what is left of each of its largest rectangles.
fn without(free: &[Rect], taken: Rect) -> Vec<Rect> {
    let mut left: Vec<Rect> = Vec::with_capacity(free.len() + 4);
    for area in free {
        let shared = area.intersect(taken);
        if shared.width() <= 1e-9 || shared.height() <= 1e-9 {
            left.push(*area);
            continue;
        }
        let pieces = [
            Rect { y0: taken.y1, ..*area },
            Rect { y1: taken.y0, ..*area },
            Rect { x0: taken.x1, ..*area },
            Rect { x1: taken.x0, ..*area },
        ];
        left.extend(pieces.into_iter().filter(|r| r.x1 - r.x0 > 1e-6 && r.y1 - r.y0 > 1e-6));
    }
    let inside = |a: &Rect, b: &Rect| b.union(*a) == *b;
    let kept = |(i, own): (usize, &Rect)| {
        let covered = left
            .iter()
            .enumerate()
            .any(|(k, other)| k != i && inside(own, other) && (own != other || k < i));
        (!covered).then_some(*own)
    };
    left.iter().enumerate().filter_map(kept).collect()
}

/// How far all boxes move together to stand in the middle of the white that they leave.
fn towards_middle(
    window: Rect,
    obstacles: &[Rect],
    boxes: &[Size],
    corners: &[Point],
    white_mm: f64,
) -> Vec2 {
    let own = |(corner, size): (&Point, &Size)| Rect::from_origin_size(*corner, *size);
    let placed: Vec<Rect> = corners.iter().zip(boxes).map(own).collect();
    let Some(all) = placed.iter().copied().reduce(|a, b| a.union(b)) else { return Vec2::ZERO };
    let clear = |by: Vec2| {
        let moved = all + by;
        window.inflate(1e-6, 1e-6).union(moved) == window.inflate(1e-6, 1e-6)
            && placed.iter().all(|own| {
                let near = (*own + by).inflate(white_mm - 1e-6, white_mm - 1e-6);
                obstacles.iter().all(|obstacle| near.intersect(*obstacle).area() <= 1e-9)
            })
    };
    let across = Vec2::new((window.x1 - all.x1 - all.x0 + window.x0) / 2.0, 0.0);
    let across = if clear(across) { across } else { Vec2::ZERO };
    let room = (all.y0 - window.y0).max(0.0);
    let drop = |k: u32| across - Vec2::new(0.0, room * f64::from(k) / f64::from(DROPS));
    let lowest = (0..=DROPS).take_while(|k| clear(drop(*k))).last().unwrap_or(0);
    drop(lowest) * 0.5 + across * 0.5
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn boxes_keep_apart_and_in_their_window(
            sizes in prop::collection::vec((2.0..90.0f64, 2.0..60.0f64), 1..9),
            obstacle in (0.0..150.0f64, 0.0..100.0f64, 5.0..60.0f64, 5.0..60.0f64),
            white_mm in 0.0..9.0f64,
        ) {
            let window = Rect::new(5.0, 5.0, 255.0, 180.0);
            let (x, y, wide, high) = obstacle;
            let obstacle = Rect::new(5.0 + x, 5.0 + y, 5.0 + x + wide, 5.0 + y + high);
            let sizes: Vec<Size> = sizes.into_iter().map(Size::from).collect();
            let Some(corners) = pack(window, &[obstacle], &sizes, white_mm) else { return Ok(()) };
            let placed: Vec<Rect> = corners
                .iter()
                .zip(&sizes)
                .map(|(corner, size)| Rect::from_origin_size(*corner, *size))
                .collect();
            for (i, own) in placed.iter().enumerate() {
                let wide = window.inflate(1e-5, 1e-5);
                prop_assert!(wide.union(*own) == wide);
                let near = own.inflate(white_mm - 1e-5, white_mm - 1e-5);
                for other in placed[i + 1..].iter().chain([&obstacle]) {
                    let both = near.intersect(*other);
                    prop_assert!(both.width() <= 1e-4 || both.height() <= 1e-4, "{own:?} {other:?}");
                }
            }
        }
    }

    /// By hand: a window of 100 × 60; 60 × 30, then 35 × 30 beside it, then 100 × 25 below both.
    #[test]
    fn a_full_window_is_filled_in_order() {
        let sizes = [(60.0, 30.0), (35.0, 30.0), (100.0, 25.0)].map(Size::from);
        let window = Rect::new(0.0, 0.0, 100.0, 60.0);
        let corners = pack(window, &[], &sizes, 5.0).unwrap();
        let wanted = [(0.0, 30.0), (65.0, 30.0), (0.0, 0.0)].map(Point::from);
        assert!(corners.iter().zip(wanted).all(|(a, b)| a.distance(b) < 1e-6), "{corners:?}");
        assert!(pack(window, &[], &[Size::new(101.0, 5.0)], 0.0).is_none());
    }
}
