//! Every edge of a picture, for points that are drawn over it to snap to.

use crate::contour::{Contour, contours};
use crate::extract::{FILLED, dark_share, has_dark_border, level, placed};
use crate::illumination::Illumination;
use crate::region::Region;
use crate::shaded::Shaded;
use crate::{LineSide, Picture, Progress, TraceError, line};
use kurbo::Point;

/// Shorter edges are specks, points of a contour.
const MIN_POINTS: usize = 40;
/// Every so many points of a contour are enough to snap to.
const EVERY: usize = 3;
/// The most points that are kept in all; the longest edges go first.
const MAX_POINTS: usize = 200_000;
/// How far from the threshold an edge is looked for, px.
const REACH_PX: f64 = 5.0;

/// Of a drawn line, gaps narrower than this are closed, px.
const GAP_PX: f64 = 4.0;

/// What a hand follows that draws over a picture, px, each closed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Edges {
    /// The centres of the lines of the largest shape, where that is drawn by a line.
    pub lines: Vec<Vec<Point>>,
    /// Where dark meets light, the longest first.
    pub sides: Vec<Vec<Point>>,
}

/// Every closed edge between dark and light in a picture, each place half way between its own
/// plateaus, as [`crate::extract`] puts it; of a drawn outline its centre too.
///
/// # Errors
/// [`TraceError`] when the picture is all one tone or too cluttered, or the work was cancelled.
pub fn edges(picture: &Picture, progress: &Progress) -> Result<Edges, TraceError> {
    progress.step(300, 900);
    let turned;
    let gray = if has_dark_border(&picture.gray) {
        turned = picture.gray.inverted();
        &turned
    } else {
        &picture.gray
    };
    let region = Region::whole(gray);
    let light = Illumination::of(gray, &region);
    let level = level(gray, &region, &light)?;
    let field = Shaded { gray, region: &region, light, level };
    let mut all = contours(&field, MIN_POINTS, progress)?;
    let lines = lines(&field, &all, progress)?;
    all.sort_by_key(|contour: &Contour| std::cmp::Reverse(contour.points.len()));
    let mut room = MAX_POINTS;
    let mut sides = Vec::new();
    for contour in all {
        let placed = placed(gray, &contour.points, REACH_PX);
        let points: Vec<Point> = placed.into_iter().step_by(EVERY).collect();
        if points.len() > room {
            break;
        }
        progress.at(0, 1)?;
        room -= points.len();
        sides.push(points);
    }
    Ok(Edges { lines, sides })
}

/// The centres of the lines of the largest shape, if it is drawn by a closed line.
fn lines(
    field: &Shaded<'_>,
    all: &[Contour],
    progress: &Progress,
) -> Result<Vec<Vec<Point>>, TraceError> {
    let inside = all.iter().filter(|contour| contour.is_dark() && !contour.at_border);
    let largest = inside.max_by(|a, b| a.area().total_cmp(&b.area()));
    let Some(largest) = largest.filter(|largest| dark_share(all, largest) < FILLED) else {
        return Ok(Vec::new());
    };
    let centre = (LineSide::Centre, GAP_PX);
    match line::trace(field, largest.bounds, None, centre, progress) {
        Err(TraceError::Cancelled) => Err(TraceError::Cancelled),
        // An open line has sides all the same.
        Err(_) => Ok(Vec::new()),
        Ok(drawn) => {
            let thin = |points: Vec<Point>| points.into_iter().step_by(EVERY).collect();
            Ok(std::iter::once(drawn.outline).chain(drawn.openings).map(thin).collect())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Gray;

    #[test]
    fn a_ring_has_two_edges_and_a_light_one_on_dark_the_same() {
        let centre = Point::new(150.0, 120.0);
        let tone = |i: usize| {
            let p = Point::new((i % 300) as f64 + 0.5, (i / 300) as f64 + 0.5);
            let off = (p.distance(centre) - 70.0).abs() - 20.0;
            let dark = (0.5 - off).clamp(0.0, 1.0);
            (230.0 - 190.0 * dark) as u8
        };
        let gray = Gray::new(300, 240, (0..300 * 240).map(tone).collect()).unwrap();
        for gray in [gray.inverted(), gray] {
            let picture = Picture { gray, dpi: None, focal_35mm: None, seen: None };
            let found = edges(&picture, &Progress::default()).unwrap();
            assert_eq!(found.sides.len(), 2);
            for (edge, radius) in found.sides.iter().zip([90.0, 50.0]) {
                let off = edge.iter().map(|p| (p.distance(centre) - radius).abs());
                assert!(off.fold(0.0, f64::max) < 0.15);
            }
            assert_eq!(found.lines, Vec::<Vec<Point>>::new());
            let cancelled = Progress::default();
            cancelled.cancel();
            assert_eq!(edges(&picture, &cancelled), Err(TraceError::Cancelled));
        }
    }

    #[test]
    fn a_drawn_line_has_its_centre_too() {
        let centre = Point::new(150.0, 120.0);
        let tone = |i: usize| {
            let p = Point::new((i % 300) as f64 + 0.5, (i / 300) as f64 + 0.5);
            let off = (p.distance(centre) - 80.0).abs() - 3.0;
            (230.0 - 150.0 * (0.5 - off).clamp(0.0, 1.0)) as u8
        };
        let gray = Gray::new(300, 240, (0..300 * 240).map(tone).collect()).unwrap();
        let picture = Picture { gray, dpi: None, focal_35mm: None, seen: None };
        let found = edges(&picture, &Progress::default()).unwrap();
        assert_eq!((found.lines.len(), found.sides.len()), (1, 2));
        let off = found.lines[0].iter().map(|p| (p.distance(centre) - 80.0).abs());
        assert!(off.fold(0.0, f64::max) < 0.3);
    }
}
