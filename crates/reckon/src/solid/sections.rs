//! The sections across the knife over which the solid is summed up, each looked at once.

use super::face::Face;
use super::field::{Field, HalfThickness};
use kurbo::{Line, ParamCurve, PathEl, Point};
use outline::Outline;

/// How near to the outline the summed section keeps, mm.
const TOLERANCE_MM: f64 = 1e-3;
/// Columns are no wider than this share of the blank's length.
const WIDEST_SHARE: f64 = 1.0 / 24.0;

/// Abscissae and weights of Gauss and Legendre's rule with four places on 0..1 (Abramowitz and
/// Stegun, table 25.4).
pub(super) const FOUR: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
];

/// The same rule with two places, for columns so narrow that it is as good there.
const TWO: [(f64, f64); 2] = [(0.211_324_865_405_187_1, 0.5), (0.788_675_134_594_812_9, 0.5)];
/// Columns end so far from the tip, mm.
const NEAR_TIP_MM: [f64; 3] = [0.0, 0.75, 2.5];
/// Columns narrower than this share of the widest are narrow.
const NARROW_SHARE: f64 = 1.0 / 4.0;

/// Sections across the whole knife, in ascending x; holes are not taken off.
#[derive(Clone, Debug, PartialEq)]
pub struct Sections(pub(super) Vec<Section>);

/// One section across the knife.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Section {
    /// Its station, x in mm.
    pub x_mm: f64,
    /// Length along x that it stands for, mm.
    pub width_mm: f64,
    /// Its steel from the lowest place up, in parts over which the thickness varies smoothly.
    pub parts: Vec<Part>,
}

/// A part of a section.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Part {
    /// Where it begins, y in mm.
    pub from_mm: f64,
    /// How tall it is, mm.
    pub tall_mm: f64,
    /// The places of [`FOUR`] on it.
    pub places: [SectionPoint; 4],
}

/// What the knife is like at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SectionPoint {
    /// Its height, y in mm.
    pub y_mm: f64,
    /// The height that it stands for, mm.
    pub weight_mm: f64,
    /// How thick the knife is there.
    pub halves: HalfThickness,
    /// The face of the first bevel there and the share of its way, where that is ground.
    pub first: Option<(Face, f64)>,
}

impl Part {
    /// Whether the edge lies above it, as far as it is ground.
    pub(super) fn is_towards_edge(&self) -> bool {
        let direction =
            |place: &SectionPoint| place.first.map(|(face, share)| share * face.height_mm);
        let ends =
            self.places.first().and_then(direction).zip(self.places.last().and_then(direction));
        ends.is_some_and(|(low, high)| high < low)
    }
}

impl Sections {
    /// Cuts the knife so closely that its volume can be summed by Gauss and Legendre's rule:
    /// between all places where its slope breaks.
    pub fn of(field: &Field, outline: &Outline) -> Self {
        let stations = stations(field, outline);
        let spans = crossings(outline, &stations);
        let breaks = breaks(field, &stations);
        let cut = |(station, (ys, breaks)): (&SectionStation, (&Vec<f64>, &Vec<f64>))| Section {
            x_mm: station.x_mm,
            width_mm: station.width_mm,
            parts: parts(field, station.x_mm, ys, breaks),
        };
        Self(stations.iter().zip(spans.iter().zip(&breaks)).map(cut).collect())
    }
}

/// A column's place before its section is known.
#[derive(Clone, Copy)]
struct SectionStation {
    x_mm: f64,
    width_mm: f64,
}

/// Where to cut: Gauss's places between all stations where something begins or ends.
fn stations(field: &Field, outline: &Outline) -> Vec<SectionStation> {
    let bounds = outline.bounds();
    let mut ends: Vec<f64> = vec![bounds.x0, bounds.x1];
    if outline.segs().len() <= 400 {
        ends.extend(outline.nodes().map(|node| node.x));
    }
    ends.extend(field.taper.iter().flat_map(|taper| [taper.from_x_mm, taper.to_x_mm]));
    // At the tip the blade soon comes to be lower than a facet is.
    for tip in field.bevels.iter().filter_map(|ground| ground.from.points().first()) {
        ends.extend(NEAR_TIP_MM.iter().flat_map(|mm| [tip.x - mm, tip.x + mm]));
    }
    for plunge in field.bevels.iter().filter_map(|ground| ground.plunge) {
        let tall = if plunge.ahead.x == 0.0 { 0.0 } else { plunge.ahead.y / plunge.ahead.x };
        let foot = |y: f64| plunge.at.x - (y - plunge.at.y) * tall;
        let (low, high) = (foot(bounds.y0), foot(bounds.y1));
        let reach = plunge.ahead.x.signum() * plunge.file_radius_mm.min(field.stock_mm * 2.0);
        let shares = [0.0, 0.125, 0.5, 1.0];
        ends.extend(shares.iter().flat_map(|share| [low + reach * share, high + reach * share]));
    }
    ends.retain(|x| (bounds.x0..=bounds.x1).contains(x));
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| *a - *b < 1e-6);
    let widest = bounds.width() * WIDEST_SHARE;
    let mut stations = Vec::new();
    for pair in ends.windows(2) {
        let parts = ((pair[1] - pair[0]) / widest).ceil().max(1.0);
        let width = (pair[1] - pair[0]) / parts;
        for part in 0..parts as usize {
            let from = pair[0] + width * part as f64;
            let rule: &[(f64, f64)] = if width < NARROW_SHARE * widest { &TWO } else { &FOUR };
            stations.extend(rule.iter().map(|(at, weight)| SectionStation {
                x_mm: from + at * width,
                width_mm: weight * width,
            }));
        }
    }
    stations
}

/// The heights at which each station's section line crosses the outline, ascending.
fn crossings(outline: &Outline, stations: &[SectionStation]) -> Vec<Vec<f64>> {
    let mut points: Vec<Point> = Vec::new();
    kurbo::flatten(outline.to_path(), TOLERANCE_MM, |el| match el {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => points.push(p),
        _ => {}
    });
    if let Some(&first) = points.first() {
        points.push(first);
    }
    let mut heights = vec![Vec::with_capacity(2); stations.len()];
    cross(&points, stations, &mut heights);
    heights
}

/// Adds the crossings of a polyline with the stations' section lines.
fn cross(points: &[Point], stations: &[SectionStation], heights: &mut [Vec<f64>]) {
    for side in points.windows(2) {
        let (a, b) = if side[0].x <= side[1].x { (side[0], side[1]) } else { (side[1], side[0]) };
        let first = stations.partition_point(|station| station.x_mm < a.x);
        for (station, ys) in stations[first..].iter().zip(&mut heights[first..]) {
            if station.x_mm >= b.x {
                break;
            }
            ys.push(Line::new(a, b).eval((station.x_mm - a.x) / (b.x - a.x)).y);
        }
    }
    for ys in heights {
        ys.sort_by(f64::total_cmp);
    }
}

/// Heights at each station where the thickness changes its slope: grind lines and plunges.
fn breaks(field: &Field, stations: &[SectionStation]) -> Vec<Vec<f64>> {
    let mut heights = vec![Vec::new(); stations.len()];
    for ground in &field.bevels {
        for line in &ground.kinks {
            cross(line.points(), stations, &mut heights);
        }
        if let Some(plunge) = ground.plunge.filter(|plunge| plunge.ahead.y.abs() > 1e-9) {
            for (station, ys) in stations.iter().zip(&mut heights) {
                let off = (station.x_mm - plunge.at.x) * plunge.ahead.x / plunge.ahead.y;
                ys.push(plunge.at.y - off);
            }
        }
    }
    heights
}

/// The parts of a section between its breaks.
fn parts(field: &Field, x_mm: f64, ys: &[f64], breaks: &[f64]) -> Vec<Part> {
    let mut parts = Vec::with_capacity(3);
    // Where every grind line is known, what lies between two breaks is ground, or is not, as its
    // middle is: looking for the nearest place of the edge is what takes the time.
    let is_known = field.bevels.iter().all(|ground| !ground.kinks.is_empty());
    let half_mm = field.stock_at(x_mm) / 2.0;
    let bare = HalfThickness { left_mm: half_mm, right_mm: half_mm };
    for span in ys.chunks_exact(2) {
        let is_handle = span.iter().all(|y| field.is_behind_bevels(Point::new(x_mm, *y)));
        let is_known = is_known && breaks.iter().any(|y| (span[0]..span[1]).contains(y));
        let ends = if is_handle { span.to_vec() } else { ends(span[0], span[1], breaks) };
        for ends in ends.windows(2) {
            let (from_mm, tall_mm) = (ends[0], ends[1] - ends[0]);
            let middle = Point::new(x_mm, from_mm + tall_mm / 2.0);
            let is_bare = is_handle || (is_known && field.bevels_at(middle) == 0);
            let places = FOUR.map(|(at, weight)| {
                let (y_mm, weight_mm) = (from_mm + at * tall_mm, weight * tall_mm);
                let (halves, first) =
                    if is_bare { (bare, None) } else { field.sample(Point::new(x_mm, y_mm)) };
                SectionPoint { y_mm, weight_mm, halves, first }
            });
            parts.push(Part { from_mm, tall_mm, places });
        }
    }
    parts
}

/// Where the summing over a span begins and ends anew: at the breaks in it. A span without any
/// may still have one that isn't known (an edge of too many nodes has no grind line), so it is
/// summed in a few parts.
fn ends(from: f64, to: f64, breaks: &[f64]) -> Vec<f64> {
    const PARTS: u32 = 3;
    let mut ends: Vec<f64> = breaks.iter().copied().filter(|y| (from..to).contains(y)).collect();
    if ends.is_empty() {
        ends.extend((1..PARTS).map(|i| from + (to - from) * f64::from(i) / f64::from(PARTS)));
    }
    ends.extend([from, to]);
    ends.sort_by(f64::total_cmp);
    ends
}
