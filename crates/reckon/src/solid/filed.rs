//! What filing takes off the blade, facet by facet.

use super::face::{Face, FaceShape};
use super::field::{BevelSurface, Field, Sides};
use super::sections::{FOUR, Part, Sections};
use kurbo::Point;

/// A part of a section is summed over so many cells, the finer the nearer to the edge, where the
/// first facet ends somewhere within them.
const CELLS: usize = 16;

/// What filing takes off the whole blade up to facets of the first bevel, mm³, all ground faces
/// together, of the stock as long as no swedge is cut yet. A facet is given by the share of the way from the height at 45° (0) to the whole
/// height (1) that it reaches; every facet is flat and starts at the edge.
pub fn filed_mm3(field: &Field, sections: &Sections, shares: &[f64]) -> Vec<f64> {
    let mut filed = vec![0.0; shares.len()];
    let Some(ground) = field.bevels.first() else { return filed };
    let faces = if ground.sides == Sides::Both { 2.0 } else { 1.0 };
    let rising = Cells::graded(false);
    let falling = Cells::graded(true);
    for section in &sections.0 {
        let half_mm = field.stock_at(section.x_mm) / 2.0;
        for part in &section.parts {
            let cells = if part.is_towards_edge() { &falling } else { &rising };
            let along = BevelPoint::along(part, ground, (section.x_mm, half_mm), cells);
            let Some(along) = along else { continue };
            // Off the plunge's arc a facet is nothing but flat.
            let is_clear = ground.plunge.is_none_or(|plunge| {
                let ends = [part.from_mm, part.from_mm + part.tall_mm];
                let ahead_mm = ends.map(|y| plunge.ahead_of(Point::new(section.x_mm, y)));
                ahead_mm.into_iter().all(|mm| mm >= plunge.file_radius_mm)
            });
            for (mm3, share) in filed.iter_mut().zip(shares) {
                let offs: [f64; CELLS + 1] = std::array::from_fn(|i| match &along[i] {
                    Some(at) if is_clear => at.flat_mm(*share),
                    Some(at) => at.off_mm(ground, *share),
                    None => 0.0,
                });
                let parts = offs.windows(2).zip(cells.ends.windows(2));
                let mean_mm: f64 =
                    parts.map(|(off, ends)| above(off[0], off[1]) * (ends[1] - ends[0])).sum();
                *mm3 += mean_mm * part.tall_mm * section.width_mm * faces;
            }
        }
    }
    filed
}

/// A place beneath the grind line: how far it lies from the edge, and how far the grind line
/// does there, mm.
#[derive(Clone, Copy)]
struct BevelPoint {
    at: Point,
    from_edge_mm: f64,
    face: Face,
}

impl BevelPoint {
    /// The ends of a part's cells; `None` where the part is not ground.
    ///
    /// Distances from lines vary so evenly between breaks that the four places known give all
    /// others by the cubic through them. Where some of the four are not ground, a grind line
    /// that isn't known runs across the part, and each end is looked at for itself.
    fn along(
        part: &Part,
        ground: &BevelSurface,
        (x_mm, half_mm): (f64, f64),
        cells: &Cells,
    ) -> Option<[Option<Self>; CELLS + 1]> {
        let end = |i: usize| Point::new(x_mm, part.from_mm + part.tall_mm * cells.ends[i]);
        let known = part.places.map(|place| place.first);
        if let [Some(a), Some(b), Some(c), Some(d)] = known {
            let known = [a, b, c, d];
            return Some(std::array::from_fn(|i| {
                let cubic = |of: fn(&(Face, f64)) -> f64| -> f64 {
                    cells.shares[i].iter().zip(&known).map(|(share, known)| share * of(known)).sum()
                };
                let height_mm = cubic(|(face, _)| face.height_mm);
                let from_edge_mm = cubic(|(face, share)| share * face.height_mm);
                Some(Self { at: end(i), from_edge_mm, face: Face { height_mm, ..a.0 } })
            }));
        }
        let evaluate = |i: usize| {
            let (face, share) = ground.face(end(i), half_mm)?;
            Some(Self { at: end(i), from_edge_mm: share * face.height_mm, face })
        };
        known.iter().any(Option::is_some).then(|| std::array::from_fn(evaluate))
    }

    /// By how much the face falls from grind line to edge, and how high the facet up to a share
    /// of the way reaches, mm.
    fn facet(&self, share: f64) -> (f64, f64) {
        let fall_mm = self.face.stock_mm - self.face.edge_mm;
        (fall_mm, fall_mm + (self.face.height_mm - fall_mm) * share)
    }

    /// As [`BevelPoint::off_mm`] where the plunge's arc does not reach.
    fn flat_mm(&self, share: f64) -> f64 {
        let (fall_mm, height_mm) = self.facet(share);
        fall_mm * (1.0 - self.from_edge_mm / height_mm)
    }

    /// How deep a facet up to a share of the way lies beneath the stock's face, mm; above it
    /// where negative.
    fn off_mm(&self, ground: &BevelSurface, share: f64) -> f64 {
        let (_, height_mm) = self.facet(share);
        let facet = Face { shape: FaceShape::Flat, height_mm, ..self.face };
        self.face.stock_mm - ground.left_by(&facet, self.from_edge_mm / height_mm, self.at)
    }
}

/// Mean of what lies above nothing along a straight line from one value to another.
fn above(from: f64, to: f64) -> f64 {
    let (low, high) = (from.min(to), from.max(to));
    if high <= 0.0 {
        0.0
    } else if low >= 0.0 {
        f64::midpoint(low, high)
    } else {
        high * high / (2.0 * (high - low))
    }
}

/// The cells of a part.
struct Cells {
    /// Where they end, as shares of the part from its lower end.
    ends: [f64; CELLS + 1],
    /// For each end the shares of the values at the places of [`FOUR`] (Lagrange's cubic).
    shares: [[f64; 4]; CELLS + 1],
}

impl Cells {
    /// Finest at the part's lower end, or at its upper one.
    fn graded(at_top: bool) -> Self {
        let ends = std::array::from_fn(|i| {
            let share = i as f64 / CELLS as f64;
            if at_top { 1.0 - (1.0 - share).powi(2) } else { share * share }
        });
        let share = |x: f64, k: usize| -> f64 {
            let others = (0..4).filter(|other| *other != k);
            others.map(|j| (x - FOUR[j].0) / (FOUR[k].0 - FOUR[j].0)).product()
        };
        Self { ends, shares: ends.map(|end| std::array::from_fn(|k| share(end, k))) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::reckoned;
    use knife::STARTERS;
    use kurbo::ParamCurve;

    /// Against a plain sum over a fine raster, facet by facet, of every starter.
    #[test]
    fn facets_take_off_what_a_fine_raster_counts() {
        let shares = [0.0, 0.3, 0.65, 1.0];
        for starter in STARTERS {
            let reckoning = reckoned(&starter.knife());
            let (field, outline) = (reckoning.field.unwrap(), reckoning.outline.unwrap());
            let Some(ground) = field.bevels.first() else { continue };
            let filed = filed_mm3(&field, &Sections::of(&field, &outline), &shares);
            let (bounds, columns, step) = (outline.bounds(), 1500_u32, 0.02);
            let wide = bounds.width() / f64::from(columns);
            let mut counted = [0.0; 4];
            for x in (0..columns).map(|i| bounds.x0 + (f64::from(i) + 0.5) * wide) {
                let half_mm = field.stock_at(x) / 2.0;
                let foot = kurbo::Line::new((x, bounds.y0 - 1.0), (x, bounds.y1 + 1.0));
                let meets = outline.segs().iter().flat_map(|seg| seg.intersect_line(foot));
                let mut ys: Vec<f64> = meets.map(|meet| foot.eval(meet.line_t).y).collect();
                ys.sort_by(f64::total_cmp);
                for span in ys.chunks_exact(2) {
                    let parts = ((span[1] - span[0]) / step).ceil();
                    let tall = (span[1] - span[0]) / parts;
                    for i in 0..parts as u32 {
                        let at = Point::new(x, span[0] + (f64::from(i) + 0.5) * tall);
                        let Some((face, share)) = ground.face(at, half_mm) else { continue };
                        let from_edge_mm = share * face.height_mm;
                        let place = BevelPoint { at, from_edge_mm, face };
                        for (sum, share) in counted.iter_mut().zip(shares) {
                            *sum += 2.0 * wide * tall * place.off_mm(ground, share).max(0.0);
                        }
                    }
                }
            }
            for (mm3, counted) in filed.iter().zip(counted) {
                let off = (mm3 - counted).abs() / filed[3];
                assert!(off < 1e-3, "{}: {mm3} {counted}, off {off}", starter.key);
            }
        }
    }

    /// The first facet alone, the smallest, against a plain sum over a raster so fine that it is
    /// good to some parts in ten thousand; looked at from the edge up to where it ends.
    #[test]
    fn the_first_facet_is_as_exact_as_the_rest() {
        for starter in STARTERS.iter().step_by(2) {
            let reckoning = reckoned(&starter.knife());
            let (field, outline) = (reckoning.field.unwrap(), reckoning.outline.unwrap());
            let up = if reckoning.profile.unwrap().edge_is_up { -1.0 } else { 1.0 };
            let Some(ground) = field.bevels.first() else { continue };
            let filed = filed_mm3(&field, &Sections::of(&field, &outline), &[0.0, 1.0]);
            let (bounds, columns, tall) = (outline.bounds(), 6000_u32, 0.01);
            let wide = bounds.width() / f64::from(columns);
            let mut counted = 0.0;
            for x in (0..columns).map(|i| bounds.x0 + (f64::from(i) + 0.5) * wide) {
                let half_mm = field.stock_at(x) / 2.0;
                let line = kurbo::Line::new((x, 0.0), (x, up));
                let spans = outline.inside_intervals(line);
                let edge = spans.iter().flat_map(|(a, b)| [a.y, b.y]);
                let Some(low) = edge.min_by(|a, b| (a * up).total_cmp(&(b * up))) else { continue };
                let max = spans.iter().map(|(a, b)| (a.y - b.y).abs()).sum::<f64>();
                for i in 0..(max / tall) as u32 {
                    let at = Point::new(x, low + up * (f64::from(i) + 0.5) * tall);
                    let Some((face, share)) = ground.face(at, half_mm) else { break };
                    let from_edge_mm = share * face.height_mm;
                    let off = BevelPoint { at, from_edge_mm, face }.off_mm(ground, 0.0);
                    if off <= 0.0 && from_edge_mm > 2.0 {
                        break;
                    }
                    counted += 2.0 * wide * tall * off.max(0.0);
                }
            }
            let off = filed[0] / counted - 1.0;
            assert!(off.abs() < 2e-3, "{}: {} {counted}, off {off}", starter.key, filed[0]);
        }
    }

    /// By hand: a triangle, a trapezium, and the part of a triangle above the line.
    #[test]
    fn what_lies_below_nothing_does_not_count() {
        assert_eq!(above(0.0, 2.0), 1.0);
        assert_eq!(above(3.0, 1.0), 2.0);
        assert_eq!(above(-1.0, 1.0), 0.25);
        assert_eq!(above(-1.0, -2.0), 0.0);
    }
}
