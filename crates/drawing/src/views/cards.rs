//! Cards as text that flows: headings, boxes to tick, signs of caution.

use marks::{Bullet, Paragraph, TextFlow};
use reckon::card::{Card, Line, LineKind, Part};

/// A card's text. Sources stand in the tables and are told by the command line; on paper a line
/// says what is common practice.
pub(super) fn card_text(card: &Card) -> TextFlow {
    let mut paragraphs = Vec::new();
    for (number, part) in (1..).zip(&card.parts) {
        paragraphs.extend(part_text(number, part));
    }
    if card.has_practice() {
        let words = "* Common practice, no published source.";
        paragraphs.push(Paragraph::Small(words.to_owned()));
    }
    TextFlow { paragraphs }
}

fn part_text(number: usize, part: &Part) -> Vec<Paragraph> {
    let heading = Paragraph::Heading(format!("{number}  {}", part.title));
    let line = |line: &Line| {
        let bullet = match line.kind {
            LineKind::Step | LineKind::Prepare => Bullet::Box,
            LineKind::Note => Bullet::None,
            LineKind::Caution => Bullet::Caution,
        };
        Paragraph::Body(bullet, line.text(&[]))
    };
    std::iter::once(heading).chain(part.lines.iter().map(line)).collect()
}
