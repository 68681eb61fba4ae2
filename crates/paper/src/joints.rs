//! Joints between tiles: a dashed line, register crosses and letters that must meet.

use crate::hull;
use crate::tiling::{Tiling, float, whole};
use kurbo::{BezPath, Circle, Point, Rect, Vec2};
use marks::{Drawing, HAlign, Item, Label, Mark, Pen, VAlign, lettering};

/// Half the length of a register cross's arms, mm.
pub(crate) const CROSS_MM: f64 = 4.0;

/// Height of a joint's letters, mm.
const LETTER_MM: f64 = 3.0;

/// Crosses and letters reach no farther than this from their joint, mm.
const REACH_MM: f64 = 40.0;

/// How much further from their joint letters may stand where they hit something, mm.
const AWAY_MM: [f64; 5] = [0.0, 3.0, 6.0, 10.0, 15.0];

/// Each of these steps is as bad as so many points hit.
const AWAY_COST: usize = 2;

/// A cross stands no further from its end of the joint than this share of it: two crosses in the
/// middle hold a joint no better than one, and their letters would stand side by side.
const NEAR_END: f64 = 0.36;

/// Words are hit at points this far apart, mm: a cross on a figure then counts for more than
/// letters on a line.
const WORDS_MM: f64 = 0.5;

/// White around crosses and letters, mm.
const WHITE_MM: f64 = 1.0;

/// A joint between two neighbouring tiles, in the sheet's own plane.
pub(crate) struct TileJoint {
    /// The left or upper tile, then the other.
    tiles: [(usize, usize); 2],
    /// The middle of the overlap, from end to end: upward or rightward.
    ends: [Point; 2],
    /// The same less what lies under labels.
    pieces: Vec<[Point; 2]>,
    crosses: Vec<Cross>,
}

/// A register cross with the letters that each of the two tiles shows.
struct Cross {
    at: Point,
    labels: [Label; 2],
}

impl TileJoint {
    /// Draws what a tile shows of this joint: nothing if it is not the tile's.
    pub(crate) fn draw(&self, drawing: &mut Drawing, tile: (usize, usize)) {
        let Some(side) = self.tiles.iter().position(|t| *t == tile) else { return };
        for piece in &self.pieces {
            dashes(drawing, *piece);
        }
        for cross in &self.crosses {
            for arm in [Vec2::new(CROSS_MM, 0.0), Vec2::new(0.0, CROSS_MM)] {
                drawing.line(Pen::Register, cross.at - arm, cross.at + arm);
            }
            drawing.add(Pen::Register, Mark::Circle(Circle::new(cross.at, 2.0)));
            drawing.text(Pen::Register, cross.labels[side].clone());
        }
    }
}

impl Cross {
    /// The box of the cross with white around it.
    fn own_box(at: Point) -> Rect {
        let side = 2.0 * (CROSS_MM + WHITE_MM);
        Rect::from_center_size(at, (side, side))
    }

    /// The boxes of cross and letters with white around them.
    fn boxes(&self) -> [Rect; 3] {
        [Self::own_box(self.at), label_box(&self.labels[0]), label_box(&self.labels[1])]
    }
}

fn label_box(label: &Label) -> Rect {
    let corners = hull::bounds(&lettering::corners(label));
    corners.unwrap_or_default().inflate(WHITE_MM, WHITE_MM)
}

/// Places for the letters beside a cross on one of its sides (0 the left or upper tile's), the
/// best first, each with what it costs to stand so far away: what stands apart from its cross may
/// be taken for a name of something else.
fn label_places(at: Point, upright: bool, side: usize, text: &str) -> Vec<(usize, Label)> {
    let label = |off: (f64, f64), across: HAlign| {
        Label::new(text, at + off, LETTER_MM).anchored(across, VAlign::Middle).bold()
    };
    let sign = if side == 0 { 1.0 } else { -1.0 };
    let beside = CROSS_MM + 2.0;
    let places = AWAY_MM.into_iter().enumerate().flat_map(|(rank, away)| {
        let labels: Vec<Label> = if upright {
            let across = if side == 0 { HAlign::End } else { HAlign::Start };
            let line = LETTER_MM + 1.0;
            [0.0, line, -line, 2.0 * line, -2.0 * line]
                .map(|up| label((-sign * (beside + away), up), across))
                .to_vec()
        } else {
            let up = sign * (LETTER_MM + away);
            vec![label((beside, up), HAlign::Start), label((-beside, up), HAlign::End)]
        };
        labels.into_iter().map(move |label| (AWAY_COST * rank, label))
    });
    places.collect()
}

/// All joints of a tiling, lettered from the upper left; crosses keep clear of the content and of
/// each other where they can.
pub(crate) fn joints(tiling: &Tiling, content: &Drawing) -> Vec<TileJoint> {
    let mut stands = dense_points(content);
    let mut joins: Vec<TileJoint> = Vec::new();
    let mut lines: Vec<[Point; 2]> = Vec::new();
    for (column, row) in tiling.tiles() {
        for other in [(column + 1, row), (column, row + 1)] {
            if other.0 >= tiling.columns || other.1 >= tiling.rows {
                continue;
            }
            let shared = tiling.tile(column, row).intersect(tiling.tile(other.0, other.1));
            let middle = shared.center();
            let upright = other.0 > column;
            let ends = if upright {
                [Point::new(middle.x, shared.y0), Point::new(middle.x, shared.y1)]
            } else {
                [Point::new(shared.x0, middle.y), Point::new(shared.x1, middle.y)]
            };
            lines.push(ends);
            let pieces = beside_labels(ends, content);
            joins.push(TileJoint {
                tiles: [(column, row), other],
                ends,
                pieces,
                crosses: Vec::new(),
            });
        }
    }
    for line in &lines {
        dense(line, false, &mut stands);
    }
    for (k, join) in joins.iter_mut().enumerate() {
        let beside = near(&stands, join.ends);
        join.crosses = crosses(join.ends, &format!("Join {}", letter(k)), &beside);
        for rect in join.crosses.iter().flat_map(Cross::boxes) {
            let corners = [
                Point::new(rect.x0, rect.y0),
                Point::new(rect.x1, rect.y0),
                Point::new(rect.x1, rect.y1),
                Point::new(rect.x0, rect.y1),
            ];
            dense(&corners, true, &mut stands);
        }
    }
    joins
}

/// A joint's line less what lies under labels: a figure that must stay where it is stays legible.
fn beside_labels(ends: [Point; 2], content: &Drawing) -> Vec<[Point; 2]> {
    let direction = (ends[1] - ends[0]).normalize();
    let along = |p: Point| direction.dot(p - ends[0]);
    let mut covered: Vec<(f64, f64)> = content
        .items
        .iter()
        .filter_map(|item| if let Mark::Text(label) = &item.mark { Some(label) } else { None })
        .map(label_box)
        .filter(|rect| Rect::from_points(ends[0], ends[1]).inflate(1e-6, 1e-6).overlaps(*rect))
        .map(|rect| {
            let (a, b) = (along(rect.origin()), along(Point::new(rect.x1, rect.y1)));
            (a.min(b), a.max(b))
        })
        .collect();
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut pieces = Vec::new();
    let mut from = 0.0;
    let whole = along(ends[1]);
    for (low, high) in covered.into_iter().chain([(whole, whole)]) {
        if low > from {
            pieces.push([ends[0] + direction * from, ends[0] + direction * low.min(whole)]);
        }
        from = from.max(high);
    }
    pieces
}

/// More points than this around a joint are not looked at: of a drawing that covers all of a page,
/// one in so many tells as well where least is hit.
const MAX_NEAR: usize = 20_000;

/// The points that crosses and letters on a joint could hit.
fn near(stands: &[Point], [from, to]: [Point; 2]) -> Vec<Point> {
    let around = Rect::from_points(from, to).inflate(REACH_MM, REACH_MM);
    let all: Vec<Point> = stands.iter().copied().filter(|p| around.contains(*p)).collect();
    let one_in = all.len().div_ceil(MAX_NEAR).max(1);
    all.into_iter().step_by(one_in).collect()
}

/// Two crosses along a joint, the nearest to either end that hit nothing but the joint
/// itself, or as little as can be.
fn crosses([from, to]: [Point; 2], text: &str, stands: &[Point]) -> Vec<Cross> {
    let length = (to - from).hypot();
    let along = (to - from) / length;
    let upright = along.y > along.x;
    let on_joint = |p: Point| (p - from).cross(along).abs() < 1e-6;
    // In the order of x, for hundreds of places are tried among thousands of points.
    let mut stands: Vec<Point> = stands.iter().copied().filter(|p| !on_joint(*p)).collect();
    stands.sort_by(|a, b| a.x.total_cmp(&b.x));
    let hits = |rect: Rect| {
        let first = stands.partition_point(|p| p.x < rect.x0);
        let right = stands[first..].iter().take_while(|p| p.x < rect.x1);
        right.filter(|p| rect.contains(**p)).count()
    };
    // Letters must not run past the joint's ends: the page may end there.
    let within = |label: &Label| {
        let rect = label_box(label);
        let ends = [Point::new(rect.x0, rect.y0), Point::new(rect.x1, rect.y1)];
        ends.iter().all(|p| (0.0..=length).contains(&(*p - from).dot(along)))
    };
    let lettered = |at: Point, side: usize| {
        label_places(at, upright, side, text)
            .into_iter()
            .filter(|(_, label)| within(label))
            .map(|(away, label)| (away + hits(label_box(&label)), label))
            .min_by_key(|(hits, _)| *hits)
    };
    let end = CROSS_MM + WHITE_MM;
    let steps: Vec<f64> = (0_u32..)
        .map(|k| end + f64::from(k))
        .take_while(|at| *at <= (NEAR_END * length).max(end))
        .collect();
    let found = |back: bool| {
        let mut best: Option<(usize, Cross)> = None;
        for step in &steps {
            let at = from + along * if back { length - step } else { *step };
            let Some(((a, first), (b, second))) = lettered(at, 0).zip(lettered(at, 1)) else {
                continue;
            };
            // What lies on letters makes them illegible; a cross is still seen.
            let hits = hits(Cross::own_box(at)) + 50 * (a + b);
            if best.as_ref().is_none_or(|(fewest, _)| hits < *fewest) {
                best = Some((hits, Cross { at, labels: [first, second] }));
            }
            if hits == 0 {
                break;
            }
        }
        best.map(|(_, cross)| cross)
    };
    [found(false), found(true)].into_iter().flatten().collect()
}

/// A dashed line along a joint.
fn dashes(drawing: &mut Drawing, [from, to]: [Point; 2]) {
    let length = (to - from).hypot();
    let along = (to - from) / length;
    let mut path = BezPath::new();
    let mut at = 0.0;
    while at < length {
        path.move_to(from + along * at);
        path.line_to(from + along * (at + 2.0).min(length));
        at += 5.0;
    }
    drawing.add(Pen::Register, Mark::Path(path));
}

/// Points along everything in a drawing.
fn dense_points(content: &Drawing) -> Vec<Point> {
    let mut points = Vec::new();
    for item in &content.items {
        let closed = !matches!(item.mark, Mark::Path(_));
        let corners = match &item.mark {
            Mark::Path(path) | Mark::Fill(path) => {
                let mut corners = Vec::new();
                hull::along(path, &mut corners);
                corners
            }
            _ => hull::points(&Drawing { items: vec![Item::clone(item)] }),
        };
        dense(&corners, closed, &mut points);
        if let Mark::Text(label) = &item.mark {
            // Words under letters are lost: they weigh more than a line does.
            let rect = label_box(label).inset(-WHITE_MM);
            let steps = |mm: f64| whole((mm / WORDS_MM).clamp(0.0, 500.0).ceil());
            points.extend((0..=steps(rect.width())).flat_map(|i| {
                let x = (rect.x0 + WORDS_MM * float(i)).min(rect.x1);
                (0..=steps(rect.height()))
                    .map(move |j| Point::new(x, (rect.y0 + WORDS_MM * float(j)).min(rect.y1)))
            }));
        }
    }
    points
}

/// Points no farther apart than 2 mm along a polyline.
fn dense(polyline: &[Point], closed: bool, out: &mut Vec<Point>) {
    out.extend_from_slice(polyline);
    let last = if closed { polyline.len() } else { polyline.len().saturating_sub(1) };
    for (a, b) in polyline.iter().zip(polyline.iter().cycle().skip(1)).take(last) {
        let steps = whole((a.distance(*b) / 2.0).ceil().min(5000.0));
        out.extend((1..steps).map(|k| a.lerp(*b, float(k) / float(steps))));
    }
}

/// A, B … Z, AA, AB …
fn letter(n: usize) -> String {
    let last = char::from(b'A' + u8::try_from(n % 26).unwrap_or(0));
    if n < 26 { last.to_string() } else { letter(n / 26 - 1) + &last.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(letter(0), "A");
        assert_eq!(letter(25), "Z");
        assert_eq!(letter(26), "AA");
        assert_eq!(letter(52), "BA");
    }

    // A short joint in a crowd of figures: letters pass over lines before they pass over words,
    // and the two crosses keep apart.
    #[test]
    fn letters_cover_no_word_and_crosses_keep_to_their_ends() {
        let mut content = Drawing::new();
        for i in 0..12 {
            let x = 8.0 * f64::from(i);
            content.line(Pen::Dimension, Point::new(x, -30.0), Point::new(x, 60.0));
            content.text(Pen::Dimension, Label::new("1.234", Point::new(x, 12.0), 2.5));
        }
        let stands = dense_points(&content);
        for ends in [
            [Point::new(50.0, 0.0), Point::new(50.0, 45.0)],
            [Point::new(0.0, 5.0), Point::new(100.0, 5.0)],
        ] {
            let found = crosses(ends, "Join D", &stands);
            assert!(found[0].at.distance(found[1].at) > 0.25 * ends[0].distance(ends[1]));
            let words = content.items.iter().filter_map(|item| match &item.mark {
                Mark::Text(label) => Some(label_box(label).inset(-WHITE_MM)),
                _ => None,
            });
            for word in words {
                for label in found.iter().flat_map(|cross| &cross.labels) {
                    let own = label_box(label).inset(-WHITE_MM);
                    assert!(!own.overlaps(word), "{own:?} {word:?}");
                }
            }
        }
    }

    #[test]
    fn no_more_points_are_held_against_a_joint_than_its_budget() {
        let ends = [Point::new(50.0, 0.0), Point::new(50.0, 100.0)];
        let stands: Vec<Point> =
            (0..90_000).map(|i| Point::new(49.0, f64::from(i) / 900.0)).collect();
        let beside = near(&stands, ends);
        assert_eq!(beside.len(), 18_000);
        assert_eq!(near(&stands[..900], ends).len(), 900);
    }

    #[test]
    fn crosses_keep_clear_of_what_stands_there() {
        let ends = [Point::new(50.0, 0.0), Point::new(50.0, 100.0)];
        let mut stands = Vec::new();
        dense(&[Point::new(0.0, 12.0), Point::new(100.0, 12.0)], false, &mut stands);
        for cross in crosses(ends, "Join A", &stands) {
            for rect in cross.boxes() {
                assert!(stands.iter().all(|p| !rect.contains(*p)));
            }
        }
    }
}
