//! The `jigs` sheet: what the bench makes once for this knife, each block at true size with its
//! own figures, to be stuck on wood, board or brick and cut by.

mod blocks;
mod brick;
mod guide;

use knife::Knife;
use kurbo::{Point, Rect, Vec2};
use marks::{Drawing, HAlign, Label, Mark, Pen, VAlign};
use reckon::tables::Tables;
use reckon::{JigFigures, Reckoning};

/// Height of the sheet's lettering, mm.
const LETTER_MM: f64 = 2.5;
/// From a jig to its title above it, mm.
const TITLE_MM: f64 = 3.0;
/// From one line of words to the next, mm.
const LINE_MM: f64 = 4.2;

/// Whether there are jigs to draw.
pub fn has_jigs(reckoning: &Reckoning) -> bool {
    reckoning.jigs.is_some()
}

/// Every jig, each to be kept whole.
pub fn jig_inserts(knife: &Knife, reckoning: &Reckoning) -> Vec<Drawing> {
    let Some(jigs) = &reckoning.jigs else { return Vec::new() };
    let view = JigView { knife, reckoning, jigs };
    let blocks = [
        Some(view.centring()),
        view.guide(),
        view.bevel_block(),
        view.support(),
        view.front_block(),
        view.stand(),
        view.brick_end(),
        view.brick_top(),
    ];
    blocks.into_iter().flatten().collect()
}

/// Short lines for beside the jigs.
pub fn jig_notes(knife: &Knife, reckoning: &Reckoning) -> Vec<String> {
    let Some(jigs) = &reckoning.jigs else {
        return vec!["No jigs: there is no outline yet.".to_owned()];
    };
    let mut notes = vec![
        "Measure rulers and square before you trust them. Stick each template on its block and cut \
         along the full line; thin lines only show how the knife lies."
            .to_owned(),
        "Sizes of pegs, bolts and blocks are common practice, no source; angles and places are this \
         knife's own."
            .to_owned(),
    ];
    let mut keys = vec!["eyes", "drilling"];
    if jigs.chamber.is_some() {
        notes.push(
            "Chamber of soft bricks: cut a half-round groove into each brick, lay them on each other, \
             burner hole through the upper one, turned back and along the wall (common practice, no \
             source)."
                .to_owned(),
        );
        keys.extend(["brick-dust", "gas", "hot-work"]);
    }
    let tables = Tables::built_in();
    notes.extend(
        keys.iter().filter_map(|key| tables.caution(key)).map(|row| row.sentence_in(knife.unit)),
    );
    notes
}

/// What the sheet shows.
struct JigView<'a> {
    knife: &'a Knife,
    reckoning: &'a Reckoning,
    jigs: &'a JigFigures,
}

impl JigView<'_> {
    /// A small length in the maker's unit.
    fn fine(&self, mm: f64) -> String {
        units::show_decimal(mm, self.knife.unit, (2, 3))
    }
}

/// The title and words of a jig, above its drawing.
fn titled(drawing: &mut Drawing, title: &str, words: &[String], above: Rect) {
    let mut y = above.y1 + TITLE_MM + LINE_MM * words.len() as f64;
    let at = |y: f64| Point::new(above.x0, y);
    drawing.text(Pen::Lettering, Label::new(title, at(y), LETTER_MM + 0.5).bold());
    for line in words {
        y -= LINE_MM;
        drawing.text(Pen::Lettering, Label::new(line.as_str(), at(y), LETTER_MM));
    }
}

/// Words in the middle of a place.
fn words(drawing: &mut Drawing, at: Point, text: &str) {
    let label = Label::new(text, at, LETTER_MM).anchored(HAlign::Middle, VAlign::Middle);
    drawing.text(Pen::Lettering, label);
}

/// A closed line.
fn closed(drawing: &mut Drawing, pen: Pen, corners: &[(f64, f64)]) {
    let points: Vec<Point> = corners.iter().copied().map(Point::from).collect();
    drawing.add(pen, Mark::Path(super::sheath::path(&points, true)));
}

/// A hole to drill, with its cross.
fn hole(drawing: &mut Drawing, at: Point, diameter_mm: f64) {
    let circle = kurbo::Circle::new(at, diameter_mm / 2.0);
    for mark in super::blank::centre_mark(circle) {
        drawing.add(Pen::Centre, mark);
    }
    drawing.add(Pen::Hole, Mark::Circle(circle));
}

/// A dimension with its text.
fn measured(drawing: &mut Drawing, (from, to): (Point, Point), off: (f64, f64), text: &str) {
    drawing.extend(super::dimension(from, to, Vec2::from(off), text));
}

#[cfg(test)]
mod tests {
    use super::*;
    use knife::STARTERS;
    use reckon::{Shop, reckon};

    #[test]
    fn every_starter_has_its_jigs_with_finite_marks() {
        for starter in STARTERS {
            let knife = starter.knife();
            let reckoning = reckon(&knife, &Shop::default(), Tables::built_in());
            let inserts = jig_inserts(&knife, &reckoning);
            assert!(inserts.len() >= 4, "{}: {}", starter.key, inserts.len());
            for jig in &inserts {
                let bounds = jig.bounds().unwrap();
                assert!(bounds.is_finite() && bounds.width() < 260.0, "{bounds:?}");
                let bold = jig.items.iter().any(
                    |item| matches!(&item.mark, Mark::Text(l) if l.face == marks::FontFace::Bold),
                );
                assert!(bold, "a title");
            }
            assert!(jig_notes(&knife, &reckoning).len() >= 4);
        }
    }
}
