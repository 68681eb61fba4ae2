//! The solid summed up in columns across the blade: volume, centre, stiffness of each section.

use super::face::{Face, Shape};
use super::field::{Field, Sides};
use kurbo::{Line, ParamCurve, PathEl, Point};
use outline::Outline;

/// How near to the outline the summed section keeps, mm.
const TOLERANCE_MM: f64 = 1e-3;
/// Columns are no wider than this share of the blank's length.
const WIDEST_SHARE: f64 = 1.0 / 24.0;

/// Abscissae and weights of Gauss and Legendre's rule with four places on 0..1 (Abramowitz and
/// Stegun, table 25.4).
const FOUR: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
];

/// One section across the blade.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Its station, x in mm.
    pub x_mm: f64,
    /// Length along x that it stands for, mm.
    pub width_mm: f64,
    /// Area of the section, mm².
    pub area_mm2: f64,
    /// Area times height: ∫ y dA, mm³.
    pub area_y_mm3: f64,
    /// Second moment of area about the section's own middle for bending flat-wise (against the
    /// faces), mm⁴.
    pub flatwise_mm4: f64,
    /// Area that grinding has taken off the flat bar's section, mm².
    pub removed_mm2: f64,
    /// ∫ y over what was taken off, mm³.
    pub removed_y_mm3: f64,
}

/// The solid in columns.
#[derive(Clone, Debug, PartialEq)]
pub struct Columns {
    /// Its sections, in ascending x; holes are not taken off.
    pub columns: Vec<Column>,
    /// Volume of the ground blank, mm³; holes are not taken off.
    pub volume_mm3: f64,
    /// Its centre of mass in the knife's plane.
    pub centre: Point,
    /// Volume that taper and bevels take off, mm³.
    pub removed_mm3: f64,
}

impl Columns {
    /// Sums up the solid of an outline. The flat blank is taken exactly from the outline's area
    /// and centroid; only what grinding takes off is summed, by Gauss and Legendre's rule
    /// between the places where its slope breaks.
    pub fn of(field: &Field, outline: &Outline) -> Self {
        let stations = stations(field, outline);
        let sections = crossings(outline, &stations);
        let breaks = breaks(field, &stations);
        let columns: Vec<Column> = stations
            .iter()
            .zip(sections.iter().zip(&breaks))
            .map(|(&station, (ys, breaks))| column(field, station, ys, breaks))
            .collect();
        let sum = |of: fn(&Column) -> f64| -> f64 {
            columns.iter().map(|column| column.width_mm * of(column)).sum()
        };
        let (flat_mm3, centroid) = (field.stock_mm * outline.area(), outline.centroid());
        let removed_mm3 = sum(|column| column.removed_mm2);
        let volume_mm3 = flat_mm3 - removed_mm3;
        let moment_x = flat_mm3 * centroid.x - sum(|column| column.removed_mm2 * column.x_mm);
        let moment_y = flat_mm3 * centroid.y - sum(|column| column.removed_y_mm3);
        let centre = if volume_mm3 > 0.0 {
            Point::new(moment_x / volume_mm3, moment_y / volume_mm3)
        } else {
            centroid
        };
        Self { columns, volume_mm3, centre, removed_mm3 }
    }
}

/// A column's place before its section is known.
#[derive(Clone, Copy)]
struct Station {
    x_mm: f64,
    width_mm: f64,
}

/// Where to cut: Gauss's places between all stations where something begins or ends.
fn stations(field: &Field, outline: &Outline) -> Vec<Station> {
    let bounds = outline.bounds();
    let mut ends: Vec<f64> = vec![bounds.x0, bounds.x1];
    if outline.segs().len() <= 400 {
        ends.extend(outline.nodes().map(|node| node.x));
    }
    ends.extend(field.taper.iter().flat_map(|taper| [taper.from_x_mm, taper.to_x_mm]));
    for plunge in field.grounds.iter().filter_map(|ground| ground.plunge) {
        let tall = if plunge.ahead.x == 0.0 { 0.0 } else { plunge.ahead.y / plunge.ahead.x };
        let foot = |y: f64| plunge.at.x - (y - plunge.at.y) * tall;
        let (low, high) = (foot(bounds.y0), foot(bounds.y1));
        let reach = plunge.ahead.x.signum() * plunge.file_radius_mm.min(field.stock_mm * 2.0);
        ends.extend([low, high, low + reach, high + reach, low + reach / 2.0, high + reach / 2.0]);
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
            stations.extend(
                FOUR.map(|(at, weight)| Station {
                    x_mm: from + at * width,
                    width_mm: weight * width,
                }),
            );
        }
    }
    stations
}

/// The heights at which each station's section line crosses the outline, ascending.
fn crossings(outline: &Outline, stations: &[Station]) -> Vec<Vec<f64>> {
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
fn cross(points: &[Point], stations: &[Station], heights: &mut [Vec<f64>]) {
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

/// What filing takes off the whole blade up to facets of the first bevel, mm³, all ground faces
/// together. A facet is given by the share of the way from the height at 45° (0) to the whole
/// height (1) that it reaches; every facet is flat and starts at the edge.
pub fn filed_mm3(field: &Field, outline: &Outline, shares: &[f64]) -> Vec<f64> {
    const PARTS: u32 = 10;
    let mut filed = vec![0.0; shares.len()];
    let Some(ground) = field.grounds.first() else { return filed };
    let faces = if ground.sides == Sides::Both { 2.0 } else { 1.0 };
    let stations = stations(field, outline);
    let sections = crossings(outline, &stations);
    for (station, ys) in stations.iter().zip(&sections) {
        let half_mm = field.stock_at(station.x_mm) / 2.0;
        for span in ys.chunks_exact(2) {
            let tall = (span[1] - span[0]) / f64::from(PARTS);
            for (part, (at, weight)) in (0..PARTS).flat_map(|i| FOUR.map(|place| (i, place))) {
                let p = Point::new(station.x_mm, span[0] + (f64::from(part) + at) * tall);
                let Some((face, share)) = ground.face(p, half_mm) else { continue };
                let (off_mm, fall_mm) = (share * face.height_mm, face.stock_mm - face.edge_mm);
                let volume = weight * tall * station.width_mm * faces;
                for (mm3, share) in filed.iter_mut().zip(shares) {
                    let height_mm = fall_mm + (face.height_mm - fall_mm) * share;
                    if off_mm < height_mm {
                        let facet = Face { shape: Shape::Flat, height_mm, ..face };
                        let left = ground.left_by(&facet, off_mm / height_mm, p);
                        *mm3 += volume * (half_mm - left);
                    }
                }
            }
        }
    }
    filed
}

/// Heights at each station where the thickness changes its slope: grind lines and plunges.
fn breaks(field: &Field, stations: &[Station]) -> Vec<Vec<f64>> {
    let mut heights = vec![Vec::new(); stations.len()];
    for ground in &field.grounds {
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

/// One section, summed between its breaks.
fn column(field: &Field, station: Station, ys: &[f64], breaks: &[f64]) -> Column {
    let mut column = Column {
        x_mm: station.x_mm,
        width_mm: station.width_mm,
        area_mm2: 0.0,
        area_y_mm3: 0.0,
        flatwise_mm4: 0.0,
        removed_mm2: 0.0,
        removed_y_mm3: 0.0,
    };
    // ∫ z dA over the section, for the second moment about its own middle.
    let (mut off, mut about_plane) = (0.0, 0.0);
    for span in ys.chunks_exact(2) {
        let ends = ends(span[0], span[1], breaks);
        for part in ends.windows(2) {
            let tall = part[1] - part[0];
            for (at, weight) in FOUR {
                let y = part[0] + at * tall;
                let halves = field.halves(Point::new(station.x_mm, y));
                let (left, right) = (halves.left_mm, halves.right_mm);
                let (w, thick) = (weight * tall, left + right);
                column.area_mm2 += w * thick;
                column.area_y_mm3 += w * thick * y;
                column.removed_mm2 += w * (field.stock_mm - thick);
                column.removed_y_mm3 += w * (field.stock_mm - thick) * y;
                off += w * (left * left - right * right) / 2.0;
                about_plane += w * (left.powi(3) + right.powi(3)) / 3.0;
            }
        }
    }
    if column.area_mm2 > 0.0 {
        column.flatwise_mm4 = about_plane - off * off / column.area_mm2;
    }
    column
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
