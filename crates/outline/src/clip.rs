//! The part of an outline on one side of a straight line.

use crate::crossing::each_passage;
use crate::outline::Outline;
use kurbo::{Line, ParamCurve, PathSeg, Point, Vec2};

/// Pieces shorter than this are rounding, mm.
const SHORTEST_MM: f64 = 1e-9;

impl Outline {
    /// The part that lies on the side `towards` points to of the line through `at` square to
    /// it; straight along that line. `None` when no area lies there.
    ///
    /// Exact: curves are split where they cross the line. Where the line crosses several
    /// times, parts that fall apart stay joined along the line by runs of no width.
    pub fn clipped_to_half_plane(&self, at: Point, towards: Vec2) -> Option<Self> {
        let side = |p: Point| (p - at).dot(towards);
        let along = towards.normalize().turn_90();
        if !along.is_finite() {
            return None;
        }
        let mut kept: Vec<PathSeg> = Vec::new();
        for seg in self.segs() {
            let mut cuts = vec![0.0, 1.0];
            each_passage(seg, at, along, &mut |t, _| cuts.push(t));
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.windows(2) {
                let piece = seg.subsegment(pair[0]..pair[1]);
                if pair[1] > pair[0] && side(piece.eval(0.5)) > 0.0 {
                    join(&mut kept, piece);
                }
            }
        }
        let (first, last) = (kept.first()?.start(), kept.last()?.end());
        if last.distance(first) > SHORTEST_MM {
            kept.push(PathSeg::Line(Line::new(last, first)));
        }
        Self::new(kept).ok().filter(|part| part.area() > 0.0)
    }
}

/// Appends a piece, bridging the gap along the line.
fn join(kept: &mut Vec<PathSeg>, piece: PathSeg) {
    if let Some(end) = kept.last().map(PathSeg::end)
        && end.distance(piece.start()) > SHORTEST_MM
    {
        kept.push(PathSeg::Line(Line::new(end, piece.start())));
    }
    kept.push(piece);
}
