//! Packings keep their promises, by exact distance.

use super::*;
use kurbo::{BezPath, Point};
use proptest::prelude::*;
use std::f64::consts::PI;

/// A blank-like drop: pointed left, full right.
fn drop_shape(long: f64, high: f64) -> Outline {
    let path = format!(
        "M0 {a} C {b} 0 {c} 0 {d} 0 L {long} {e} L {long} {f} L {d} {high} C {c} {high} {b} {f} 0 {a} Z",
        a = 0.8 * high,
        b = 0.15 * long,
        c = 0.3 * long,
        d = 0.5 * long,
        e = 0.15 * high,
        f = 0.85 * high,
    );
    Outline::from_path(&BezPath::from_svg(&path).unwrap()).unwrap()
}

fn both_ways(outline: Outline) -> Shape {
    let orientation = |turn_rad| Orientation { mirrored: false, turn_rad };
    Shape { outline, orientations: vec![orientation(0.0), orientation(PI)] }
}

fn strip(length_mm: f64, width_mm: f64) -> Strip {
    Strip { length_mm, width_mm, margin_mm: 2.0, gap_mm: 1.5 }
}

/// Least distance of two outlines, from fine points of each to the other exactly.
fn gap(a: &Outline, b: &Outline) -> f64 {
    let one = |a: &Outline, b: &Outline| {
        let near = |p: Point| if b.contains(p) { -1.0 } else { b.nearest(p).distance_mm };
        a.polyline(0.0005).into_iter().map(near).fold(f64::INFINITY, f64::min)
    };
    one(a, b).min(one(b, a))
}

fn sound(shapes: &[Shape], items: &[usize], strip: &Strip, packing: &Packing) {
    let placed: Vec<Outline> = packing
        .placed
        .iter()
        .map(|l| shapes[items[l.item]].outline.transformed(l.transform))
        .collect();
    let mut items: Vec<usize> = packing.placed.iter().map(|l| l.item).collect();
    items.extend(&packing.unplaced);
    items.sort_unstable();
    assert_eq!(items, (0..items.len()).collect::<Vec<_>>(), "each item once");
    for (i, a) in placed.iter().enumerate() {
        let bounds = a.bounds();
        let m = strip.margin_mm - 1e-6;
        assert!(bounds.x0 >= m && bounds.y0 >= m, "{bounds:?}");
        assert!(bounds.x1 <= packing.length_mm - m && packing.length_mm <= strip.length_mm + 1e-6);
        assert!(bounds.y1 <= strip.width_mm - m, "{bounds:?}");
        for b in &placed[i + 1..] {
            if a.bounds().inflate(2.0, 2.0).overlaps(b.bounds()) {
                let gap = gap(a, b);
                assert!(gap >= strip.gap_mm - 1e-6, "{gap} between two shapes");
            }
        }
    }
}

fn packed(shapes: &[Shape], items: &[usize], strip: &Strip) -> Packing {
    let packing = pack(
        shapes,
        items,
        strip,
        Effort { max_steps: 4000, beam_width: 4, fine: true },
        &mut |_| true,
    );
    sound(shapes, items, strip, &packing);
    packing
}

#[test]
fn rectangles_lie_end_to_end() {
    let plate = Outline::polygon(&[(0., 0.), (50., 0.), (50., 20.), (0., 20.)].map(Point::from));
    let shapes = [both_ways(plate.unwrap())];
    let packing = packed(&shapes, &[0; 4], &strip(f64::INFINITY, 24.0));
    // Four of 50 mm, three gaps of 1.5 mm, two margins of 2 mm; a little for the rounding.
    assert!((packing.length_mm - 208.5).abs() < 0.3, "{}", packing.length_mm);
    // Two rows where the strip is wide enough.
    let packing = packed(&shapes, &[0; 4], &strip(f64::INFINITY, 46.0));
    assert!((packing.length_mm - 105.5).abs() < 0.2, "{}", packing.length_mm);
}

#[test]
fn pointed_shapes_lie_head_to_tail() {
    let shapes = [both_ways(drop_shape(200.0, 30.0))];
    let packing = packed(&shapes, &[0; 6], &strip(f64::INFINITY, 40.0));
    let boxes = 6.0 * 200.0 + 5.0 * 1.5 + 4.0;
    assert!(packing.length_mm < 0.95 * boxes, "{} {boxes}", packing.length_mm);
}

#[test]
fn what_finds_no_room_is_left() {
    let shapes = [both_ways(drop_shape(200.0, 30.0)), both_ways(drop_shape(90.0, 60.0))];
    let packing = packed(&shapes, &[0, 1, 0, 0, 0], &strip(450.0, 40.0));
    assert!(packing.unplaced.contains(&1), "it is too high");
    assert_eq!(packing.placed.len(), 2);
    let none = packed(&shapes, &[1], &strip(450.0, 40.0));
    assert_eq!((none.length_mm, none.unplaced.len()), (0.0, 1));
    assert!(packed(&shapes, &[], &strip(450.0, 40.0)).placed.is_empty());
}

#[test]
fn a_search_can_be_stopped_and_is_the_same_each_time() {
    let shapes = [both_ways(drop_shape(200.0, 30.0)), both_ways(drop_shape(120.0, 22.0))];
    let items = [0, 1, 0, 1, 0, 1];
    let strip = strip(f64::INFINITY, 50.0);
    let mut asked = 0;
    let stopped = pack(
        &shapes,
        &items,
        &strip,
        Effort { max_steps: 1_000_000, beam_width: 8, fine: true },
        &mut |_| {
            asked += 1;
            asked < 3
        },
    );
    assert!(asked == 3 && stopped.steps < 10_000 && stopped.unplaced.is_empty());
    assert_eq!(packed(&shapes, &items, &strip), packed(&shapes, &items, &strip));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn no_two_shapes_come_nearer_than_the_gap(
        sizes in prop::collection::vec((40.0..220.0f64, 12.0..36.0f64), 1..5),
        items in prop::collection::vec(0..100usize, 1..12),
        wide in 30.0..110.0f64,
        long in 200.0..1200.0f64,
    ) {
        let shapes: Vec<Shape> =
            sizes.iter().map(|(long, high)| both_ways(drop_shape(*long, *high))).collect();
        let items: Vec<usize> = items.into_iter().map(|i| i % shapes.len()).collect();
        packed(&shapes, &items, &strip(long, wide));
        packed(&shapes, &items, &strip(f64::INFINITY, wide));
    }
}

/// A bar 200 × 30 mm with teeth cut into its upper side.
fn comb(teeth: u32) -> Outline {
    let mut points = vec![Point::new(0.0, 0.0), Point::new(200.0, 0.0), Point::new(200.0, 30.0)];
    for i in 0..teeth {
        let x = 200.0 * (1.0 - f64::from(i) / f64::from(teeth));
        let half = 100.0 / f64::from(teeth);
        points.extend([Point::new(x - half, 25.0), Point::new(x - 2.0 * half, 30.0)]);
    }
    Outline::polygon(&points).unwrap()
}

#[test]
fn what_is_too_intricate_is_laid_by_its_hull_and_says_so() {
    for teeth in [600, 6_000] {
        let (shapes, items) = ([both_ways(comb(teeth))], [0; 4]);
        let strip = strip(f64::INFINITY, 75.0);
        let found = pack(&shapes, &items, &strip, Effort::default(), &mut |_| true);
        assert!(found.coarse, "{teeth}");
        // By hand: two rows of two, the gap of 1.5 between them, margins of 2.
        assert!(found.length_mm < 406.0, "{teeth}: {}", found.length_mm);
        sound(&shapes, &items, &strip, &found);
    }
    let plain = [both_ways(drop_shape(100.0, 20.0))];
    assert!(!pack(&plain, &[0], &strip(500.0, 40.0), Effort::default(), &mut |_| true).coarse);
}

/// The first layings, which are always made, keep to a budget too.
#[test]
fn hundreds_of_shapes_take_no_endless_search() {
    let (shapes, items) = ([both_ways(drop_shape(100.0, 20.0))], [0; 300]);
    let strip = strip(f64::INFINITY, 1000.0);
    let found = pack(&shapes, &items, &strip, Effort::default(), &mut |_| true);
    assert_eq!(found.placed.len(), 300);
    assert!(found.steps < 1_200_000, "{}", found.steps);
    assert!(found.length_mm < 1000.0, "{}", found.length_mm);
    sound(&shapes, &items, &strip, &found);
}
