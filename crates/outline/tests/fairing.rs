//! Fairing against curves that are known: twelve plane curves with their published equations, and
//! the long curves of reference outlines, each disturbed by up to ±0.3 mm at its nodes.
//!
//! Sources of the curves: J. D. Lawrence, "A Catalog of Special Plane Curves" (Dover, 1972), of
//! which the chapters are named beside each; the thickness of an aerofoil by I. H. Abbott and A. E.
//! von Doenhoff, "Theory of Wing Sections" (Dover, 1959), chapter 6. (From memory.)
//!
//! What falls is the variation of curvature, Σ (Δκ)²/Δs over places a millimetre apart, jumps at
//! the nodes among it: worked out here from places alone, not by the code that is tried.

#[path = "support/reference.rs"]
mod reference;

use outline::kurbo::{CubicBez, ParamCurve, ParamCurveArclen, PathSeg, Point, Vec2};
use std::time::Instant;

use outline::{FairOptions, Knot, Outline, Run, closed_curve_through};

/// The disturbance of each coordinate of each node, mm.
const OFF_MM: f64 = 0.3;
/// The tolerance typed, mm: that of a node moved by 0.3 in both directions and a little more.
const TOLERANCE_MM: f64 = 0.45;

/// Even numbers from −1 to 1 that anyone can make again (the minimal standard generator: S. K.
/// Park and K. W. Miller, Comm. ACM 31 (1988), 1192–1201).
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        self.0 = self.0 * 16_807 % 2_147_483_647;
        self.0 as f64 / 1_073_741_823.5 - 1.0
    }

    fn vec(&mut self) -> Vec2 {
        Vec2::new(self.next(), self.next()) * OFF_MM
    }
}

/// A curve of a name, from a parameter to another.
type Curve = (&'static str, f64, f64, fn(f64) -> (f64, f64));

/// The curves, mm, about as long as blades.
const CURVES: [Curve; 12] = [
    ("circle", 0.3, 2.8, |t| (90.0 * t.cos(), 90.0 * t.sin())),
    ("ellipse", 0.2, 2.9, |t| (120.0 * t.cos(), 45.0 * t.sin())),
    ("parabola", -1.0, 1.0, |t| (110.0 * t, 45.0 * t * t)),
    ("hyperbola", -1.2, 1.2, |t| (60.0 * t.cosh(), 55.0 * t.sinh())),
    ("catenary", -1.5, 1.5, |t| (80.0 * t, 80.0 * t.cosh())),
    ("cycloid", 0.8, 5.4, |t| (35.0 * (t - t.sin()), 35.0 * (1.0 - t.cos()))),
    ("logarithmic spiral", 0.0, 2.0, |t| {
        (60.0 * (0.3 * t).exp() * t.cos(), 60.0 * (0.3 * t).exp() * t.sin())
    }),
    ("spiral of Archimedes", 1.0, 3.0, |t| (40.0 * t * t.cos(), 40.0 * t * t.sin())),
    ("cardioid", 0.2, 2.2, |t| {
        (50.0 * (1.0 + t.cos()) * t.cos(), 50.0 * (1.0 + t.cos()) * t.sin())
    }),
    ("involute of a circle", 1.0, 3.0, |t| {
        (30.0 * (t.cos() + t * t.sin()), 30.0 * (t.sin() - t * t.cos()))
    }),
    ("tractrix", 0.4, 2.2, |t| (90.0 * (t - t.tanh()), 90.0 / t.cosh())),
    ("aerofoil of four digits", 0.05, 0.95, |x| {
        let y = 0.2969 * x.sqrt() - 0.1260 * x - 0.3516 * x * x + 0.2843 * x * x * x
            - 0.1015 * x * x * x * x;
        (240.0 * x, 240.0 * 5.0 * 0.15 * y)
    }),
];

/// The curve through nodes about 12 mm apart, each moved by a little, closed far away by three
/// straight sides; and the nodes that may move.
fn disturbed(curve: &Curve, noise: &mut Noise) -> (Outline, Vec<usize>) {
    let (_, from, to, at) = *curve;
    let fine: Vec<Point> =
        (0..=4000).map(|i| Point::from(at(from + (to - from) * f64::from(i) / 4000.0))).collect();
    let length: f64 = fine.windows(2).map(|p| p[0].distance(p[1])).sum();
    let count = (length / 12.0).round();
    let mut knots: Vec<Knot> = Vec::new();
    let (mut run, mut next) = (0.0, 0.0);
    for pair in fine.windows(2) {
        if run >= next * length / count {
            knots.push(Knot::smooth(pair[0]));
            next += 1.0;
        }
        run += pair[0].distance(pair[1]);
    }
    knots.push(Knot::smooth(fine[4000]));
    let last = knots.len() - 1;
    for knot in &mut knots[1..last] {
        knot.at += noise.vec();
    }
    let (start, end) = (knots[0].at, knots[last].at);
    let away = (end - start).turn_90().normalize() * 300.0;
    let middle = knots[last / 2].at - start.midpoint(end);
    let away = if away.dot(middle) > 0.0 { -away } else { away };
    knots[0].corner = true;
    knots[last] = Knot { corner: true, run: Run::Straight, at: end };
    for at in [end + away, start + away] {
        knots.push(Knot { corner: true, run: Run::Straight, at });
    }
    let outline = Outline::new(closed_curve_through(&knots)).expect("a closed curve");
    (outline, (0..=last).collect())
}

/// Σ (Δκ)²/Δs from node to node, 1/mm³.
fn variation(outline: &Outline, from: usize, to: usize) -> f64 {
    let mut sum = 0.0;
    let mut before: Option<f64> = None;
    let mut place = (from, 0.0);
    let whole = outline.length_between((from, 0.0), (to, 0.0));
    let mut run = 0.0;
    while run <= whole {
        let curvature = outline.curvature_at(place.0, place.1);
        if let Some(before) = before {
            sum += (curvature - before).powi(2);
        }
        before = Some(curvature);
        let next = outline.at_length(place, 1.0);
        place = (next.segment, next.t);
        run += 1.0;
    }
    sum
}

/// The furthest that any node or any point of one outline lies from the other, mm.
fn moved_mm(old: &Outline, new: &Outline) -> f64 {
    let nodes = old.nodes().zip(new.nodes()).map(|(a, b)| a.distance(b));
    let along = new
        .segs()
        .iter()
        .flat_map(|seg| (0..=50).map(|i| old.nearest(seg.eval(f64::from(i) / 50.0)).distance_mm));
    nodes.chain(along).fold(0.0, f64::max)
}

fn largest_jump(outline: &Outline, nodes: &[usize]) -> f64 {
    let count = outline.segs().len();
    let jump = |i: usize| {
        (outline.curvature_at((i + count - 1) % count, 1.0) - outline.curvature_at(i, 0.0)).abs()
    };
    nodes.iter().map(|i| jump(*i)).fold(0.0, f64::max)
}

#[test]
fn twelve_known_curves() {
    let mut noise = Noise(2_026);
    for curve in &CURVES {
        let (outline, nodes) = disturbed(curve, &mut noise);
        let options =
            FairOptions { nodes: &nodes, pinned: &[], symmetric: &[], tolerance_mm: TOLERANCE_MM };
        let start = Instant::now();
        let fair = outline.faired(&options);
        let took_ms = start.elapsed().as_secs_f64() * 1e3;
        let last = nodes.len() - 1;
        let (before, after) = (variation(&outline, 0, last), variation(&fair.outline, 0, last));
        let moved = moved_mm(&outline, &fair.outline);
        let inner = &nodes[1..last];
        println_of(&format!(
            "{:<24} {:>3} nodes: variation {before:.3e} -> {after:.3e}, {:.0} times less; moved \
             {moved:.3} mm; largest jump {:.1e} -> {:.1e} 1/mm; {took_ms:.0} ms",
            curve.0,
            nodes.len(),
            before / after,
            largest_jump(&outline, inner),
            largest_jump(&fair.outline, inner)
        ));
        assert!(after <= before / 10.0, "{}: {before} {after}", curve.0);
        assert!(moved <= TOLERANCE_MM, "{}: {moved}", curve.0);
    }
}

/// What is seen with `--nocapture`.
fn println_of(text: &str) {
    use std::io::Write as _;
    let _ = writeln!(std::io::stdout(), "{text}");
}

/// The longest smooth run of cubics of no radius under 15 mm: from node to node.
fn long_run(outline: &Outline) -> Option<(usize, usize)> {
    let count = outline.segs().len();
    let corners: Vec<usize> = outline.corners().iter().map(|c| c.node).collect();
    let gentle = |i: usize| {
        let seg = &outline.segs()[i % count];
        matches!(seg, PathSeg::Cubic(_))
            && (0..=40).all(|k| {
                outline.curvature_at(i % count, 0.01 + 0.98 * f64::from(k) / 40.0).abs()
                    < 1.0 / 15.0
            })
    };
    let mut best: Option<(usize, usize, f64)> = None;
    for from in (0..count).filter(|i| gentle(*i)) {
        let mut to = from + 1;
        while to < from + count && gentle(to) && !corners.contains(&(to % count)) {
            to += 1;
        }
        let length: f64 = (from..to).map(|i| outline.segs()[i % count].arclen(1e-3)).sum();
        if best.is_none_or(|(_, _, known)| length > known) {
            best = Some((from, to, length));
        }
    }
    best.filter(|(_, _, length)| *length > 60.0).map(|(from, to, _)| (from, to))
}

#[test]
fn the_long_curves_of_reference_outlines() {
    let mut noise = Noise(7_919);
    let mut tried = 0;
    for name in ["outlines.json", "outlines_own.json"] {
        let all = reference::read(name);
        for case in all["outlines"].as_array().unwrap() {
            if case["valid"].as_bool() == Some(false) {
                continue;
            }
            let outline = reference::outline(&case["outline"]);
            let Some((from, to)) = long_run(&outline) else { continue };
            // Nodes about 8 mm apart on the run, moved by a little; smooth through them.
            let count = outline.segs().len();
            let whole = outline.length_between((from, 0.0), (to % count, 0.0));
            let parts = (whole / 8.0).round();
            let mut knots: Vec<Knot> = (0..=(parts as u32))
                .map(|k| {
                    let run = whole * f64::from(k) / parts;
                    Knot::smooth(outline.at_length((from, 0.0), run.min(whole - 1e-6)).at)
                })
                .collect();
            let last = knots.len() - 1;
            for knot in &mut knots[1..last] {
                knot.at += noise.vec();
            }
            let mut segs = outline::curve_through(&knots);
            let rest = count - (to - from);
            let mut end = knots[last].at;
            for k in 0..rest {
                let seg = outline.segs()[(to + k) % count].to_cubic();
                let next = if k + 1 == rest { knots[0].at } else { seg.p3 };
                segs.push(PathSeg::Cubic(CubicBez::new(end, seg.p1, seg.p2, next)));
                end = next;
            }
            let disturbed = Outline::new(segs).unwrap();
            let nodes: Vec<usize> = (0..=last).collect();
            let options = FairOptions {
                nodes: &nodes[1..last],
                pinned: &[],
                symmetric: &[],
                tolerance_mm: TOLERANCE_MM,
            };
            let fair = disturbed.faired(&options);
            let (before, after) =
                (variation(&disturbed, 0, last), variation(&fair.outline, 0, last));
            let moved = moved_mm(&disturbed, &fair.outline);
            let truly = variation(&outline, from, to % count);
            let name = case["id"].as_str().unwrap_or("?");
            println_of(&format!(
                "{name:<8} {whole:>6.1} mm, {:>3} nodes: variation {before:.3e} -> {after:.3e} (of the \
                 outline itself {truly:.3e}), {:.0} times less; moved {moved:.3} mm",
                nodes.len(),
                before / after
            ));
            assert!(after <= before / 10.0, "{name}: {before} {after}");
            assert!(moved <= TOLERANCE_MM, "{name}: {moved}");
            tried += 1;
        }
    }
    assert!(tried >= 8, "{tried}");
}
