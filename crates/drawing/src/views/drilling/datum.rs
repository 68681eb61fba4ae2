//! The reference edge and end marked with a filled triangle on each (ISO 5459) and in words,
//! and which face of the bar is up.

use super::{VisibleArea, stations};
use knife::{Knife, ReferenceEdge, ReferenceEnd};
use kurbo::{BezPath, Point, Vec2};
use marks::{Drawing, FontFace, HAlign, Label, Mark, Pen, VAlign, lettering};
use reckon::Reckoning;
use reckon::scribe::describe_face_up;

/// Height of the words, mm.
const WORDS_MM: f64 = 2.5;
/// Height of the words about the face, mm.
const FACE_MM: f64 = 3.0;
/// The triangle's base and height, mm.
const TRIANGLE_MM: (f64, f64) = (4.0, 3.2);
/// A blank may stick out over the bar by so much and still leave room for the words, mm.
const OVER_MM: f64 = 0.2;
/// White between the triangle and its words, and beside both, mm.
const WHITE_MM: f64 = 1.6;

/// Draws the marks. `names` are the callouts above the body, their leaders at `taken`.
pub(super) fn draw(
    drawing: &mut Drawing,
    knife: &Knife,
    reckoning: &Reckoning,
    visible: VisibleArea,
    (taken, names): (&[f64], &Drawing),
) {
    // Where the blank sticks out over an edge or end there is no room for words, and the finding
    // that says so comes first.
    let inside_edges =
        visible.body.y0 >= -OVER_MM && visible.body.y1 <= knife.bar.width_mm + OVER_MM;
    let inside_ends =
        visible.body.x0 >= -OVER_MM && visible.body.x1 <= knife.bar.length_mm + OVER_MM;
    if !super::lies_beside(knife, reckoning) {
        if inside_edges {
            edge(drawing, knife, reckoning, visible, taken);
        }
        if inside_ends && visible.reference_end {
            end(drawing, knife, reckoning, visible);
        }
    }
    face(drawing, knife, reckoning, visible, names);
}

/// The reference edge's triangle and words, in the widest gap between the extension lines.
fn edge(
    drawing: &mut Drawing,
    knife: &Knife,
    reckoning: &Reckoning,
    visible: VisibleArea,
    taken: &[f64],
) {
    let words = "reference edge";
    let need = width(words) + TRIANGLE_MM.0 + 3.0 * WHITE_MM;
    let lower = knife.bar.reference.edge == ReferenceEdge::Lower;
    let mut lines: Vec<f64> = if lower {
        let scribe = &reckoning.scribe;
        let holes = scribe.cross_lines.iter().map(|line| line.left_mm);
        holes.chain(scribe.marks.iter().map(|mark| mark.at.x)).collect()
    } else {
        taken.to_vec()
    };
    lines.extend([visible.body.x0, visible.body.x1]);
    lines.sort_by(f64::total_cmp);
    let widest = lines
        .windows(2)
        .map(|pair| (pair[1] - pair[0], pair[0]))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((gap, from)) = widest else { return };
    let (y, out) = if lower { (0.0, -1.0) } else { (knife.bar.width_mm, 1.0) };
    let start = from + (gap - need).max(0.0) / 2.0 + WHITE_MM;
    let foot = Point::new(start + TRIANGLE_MM.0 / 2.0, y);
    triangle(drawing, foot, Vec2::new(0.0, out));
    if gap >= need {
        let at = Point::new(start + TRIANGLE_MM.0 + WHITE_MM, y + out * WHITE_MM);
        let upright = if lower { VAlign::Top } else { VAlign::Base };
        let label = Label::new(words, at, WORDS_MM).bold().anchored(HAlign::Start, upright);
        // A figure's pen: where the drawing is cut over pages it stays beside its triangle.
        drawing.text(Pen::Dimension, label);
    }
}

/// The reference end's triangle and words, reading from the right: the words inside the bar
/// where the blank leaves room, else outside; both inside where figures stand beyond the end.
fn end(drawing: &mut Drawing, knife: &Knife, reckoning: &Reckoning, visible: VisibleArea) {
    let words = "reference end";
    let left = knife.bar.reference.end == ReferenceEnd::Left;
    let (x, out) = if left { (0.0, -1.0) } else { (knife.bar.length_mm, 1.0) };
    let clear = super::placed_bounds(knife, reckoning)
        .map_or(0.0, |blank| if left { blank.x0 } else { knife.bar.length_mm - blank.x1 });
    let inside = clear >= WORDS_MM + 2.5 * WHITE_MM;
    let crowded = !reckoning.holes.is_empty()
        && stations::at_reference_end(knife, stations::side(reckoning, visible), visible);
    if crowded && !inside {
        return;
    }
    let room = knife.bar.width_mm;
    let both = width(words) + TRIANGLE_MM.0 + WHITE_MM;
    let start = (room - both).max(0.0) / 2.0;
    let direction = if crowded { -out } else { out };
    triangle(drawing, Point::new(x, start + TRIANGLE_MM.0 / 2.0), Vec2::new(direction, 0.0));
    if room >= both {
        let direction = if inside { -out } else { out };
        let at = Point::new(x + direction * WHITE_MM, start + TRIANGLE_MM.0 + WHITE_MM);
        let upright = if direction < 0.0 { VAlign::Base } else { VAlign::Top };
        let label = Label::new(words, at, WORDS_MM).bold();
        drawing.text(Pen::Lettering, label.anchored(HAlign::Start, upright).turned(90.0));
    }
}

const FACE_UP: &str = "This face up:";

/// Which face is up: above the body at its left, clear of the callouts.
fn face(
    drawing: &mut Drawing,
    knife: &Knife,
    reckoning: &Reckoning,
    visible: VisibleArea,
    names: &Drawing,
) {
    let words = describe_face_up(knife, reckoning.profile.as_ref());
    if words.is_empty() {
        return;
    }
    let row = visible.names_y;
    let width = |words: &str| lettering::width_mm(words, FontFace::Bold, FACE_MM);
    let lead = width(FACE_UP) + 1.5;
    let wide = lead + width(&words);
    let first = names.bounds().map_or(f64::MAX, |bounds| bounds.x0 - 12.0);
    let above = first < visible.body.x0 + wide;
    let y = if above && !names.items.is_empty() { row + 5.5 } else { row };
    // Two labels, so that each is short enough for any tile.
    let at = Point::new(visible.body.x0, y);
    drawing.text(Pen::Lettering, Label::new(FACE_UP, at, FACE_MM).bold());
    drawing.text(Pen::Lettering, Label::new(words, at + Vec2::new(lead, 0.0), FACE_MM).bold());
}

fn width(words: &str) -> f64 {
    lettering::width_mm(words, FontFace::Bold, WORDS_MM)
}

/// A filled triangle standing with its base on a line at `foot`.
fn triangle(drawing: &mut Drawing, foot: Point, out: Vec2) {
    let along = out.turn_90() * (TRIANGLE_MM.0 / 2.0);
    let mut path = BezPath::new();
    path.move_to(foot + along);
    path.line_to(foot - along);
    path.line_to(foot + out * TRIANGLE_MM.1);
    path.close_path();
    drawing.add(Pen::Lettering, Mark::Fill(path));
}
