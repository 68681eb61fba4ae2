//! The text of the cards: `assets/cards/*.csv`, a line each with named places for its figures.
//!
//! Code declares by [`card_lines`] which lines it writes and what their figures are called; a test
//! holds both against each other.

use super::{Figure, Line, LineKind, Span};
use crate::tables::{Row, TableError, rows};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A line as code declares it: where its text stands, and its figures' names in the order in which
/// they are given.
pub(super) struct CardLine<const N: usize> {
    pub(super) card: &'static str,
    /// In capitals, with `_` where the file has `-`.
    pub(super) key: &'static str,
    pub(super) names: [&'static str; N],
}

/// Declares lines of a card: `card_lines! { "harden": NORMALISE [heat times]; }` stands for the row
/// `normalise` of `assets/cards/harden.csv`, whose text has `{heat}` and `{times}`.
macro_rules! card_lines {
    ($card:literal: $($name:ident [$($figure:ident)*];)+) => {
        $(const $name: $crate::card::text::CardLine<
            { <[&str]>::len(&[$(stringify!($figure)),*]) },
        > = $crate::card::text::CardLine {
            card: $card,
            key: stringify!($name),
            names: [$(stringify!($figure)),*],
        };)+
        /// What is declared here, for the test that compares it with the file.
        #[cfg(test)]
        pub(super) const DECLARED: $crate::card::text::Declared =
            &[$(($card, stringify!($name), &[$(stringify!($figure)),*])),+];
    };
}
pub(super) use card_lines;

/// Card, key and figures' names of every line that a module declares.
#[cfg(test)]
pub(super) type Declared = &'static [(&'static str, &'static str, &'static [&'static str])];

/// What stands at a named place: a figure, or words and figures.
pub(super) struct Fill(Vec<Span>);

impl From<Figure> for Fill {
    fn from(figure: Figure) -> Self {
        Self(vec![Span::Figure(figure)])
    }
}

impl From<String> for Fill {
    fn from(words: String) -> Self {
        Self(vec![Span::Text(words)])
    }
}

impl From<Vec<Span>> for Fill {
    fn from(spans: Vec<Span>) -> Self {
        Self(spans)
    }
}

/// Figures one after the other.
pub(super) fn list(figures: Vec<Figure>, separator: &str) -> Fill {
    let mut spans = Vec::new();
    for figure in figures {
        if !spans.is_empty() {
            spans.push(Span::Text(separator.to_owned()));
        }
        spans.push(Span::Figure(figure));
    }
    Fill(spans)
}

impl<const N: usize> CardLine<N> {
    /// The line with its figures.
    pub(super) fn line<F: Into<Fill>>(&self, figures: [F; N]) -> Line {
        let kind = self.text().and_then(|text| text.kind).unwrap_or(LineKind::Note);
        Line { kind, spans: self.spans(figures) }
    }

    /// Its words and figures alone, for a piece of a line.
    pub(super) fn spans<F: Into<Fill>>(&self, figures: [F; N]) -> Vec<Span> {
        let mut fills: BTreeMap<&str, Vec<Span>> =
            self.names.into_iter().zip(figures.map(|figure| figure.into().0)).collect();
        let mut spans: Vec<Span> = Vec::new();
        for piece in self.text().map(|text| text.pieces.as_slice()).unwrap_or_default() {
            let own = match piece {
                Piece::Words(words) => vec![Span::Text(words.clone())],
                Piece::Place(name) => fills.remove(name.as_str()).unwrap_or_default(),
            };
            for span in own {
                match (spans.last_mut(), span) {
                    (Some(Span::Text(before)), Span::Text(words)) => before.push_str(&words),
                    (_, Span::Text(words)) if words.is_empty() => {}
                    (_, span) => spans.push(span),
                }
            }
        }
        spans
    }

    fn text(&self) -> Option<&'static CardText> {
        let text = TEXTS.get(&(self.card, self.key.to_owned()));
        debug_assert!(text.is_some(), "assets/cards/{}.csv has no {}", self.card, self.key);
        text
    }
}

impl CardLine<0> {
    /// The line, which has no figure.
    pub(super) fn plain(&self) -> Line {
        self.line::<Figure>([])
    }

    /// Words without a figure: a title, or a piece of a line.
    pub(super) fn words(&self) -> String {
        let text = |span| match span {
            Span::Text(words) => words,
            Span::Figure(figure) => figure.text,
        };
        self.spans::<Figure>([]).into_iter().map(text).collect()
    }
}

/// A line as its file has it.
#[derive(Debug)]
struct CardText {
    /// What the line is for; none for titles and pieces of lines.
    kind: Option<LineKind>,
    pieces: Vec<Piece>,
    /// Line of the file.
    #[cfg_attr(not(test), expect(dead_code, reason = "the test names it"))]
    at: u64,
}

#[derive(Debug)]
enum Piece {
    Words(String),
    Place(String),
}

/// The text's words and named places.
fn pieces(text: &str) -> Option<Vec<Piece>> {
    let mut pieces = Vec::new();
    for (i, part) in text.split('{').enumerate() {
        let words = if i == 0 {
            part
        } else {
            let (name, words) = part.split_once('}')?;
            pieces.push(Piece::Place(name.to_owned()));
            words
        };
        if words.contains('}') {
            return None;
        }
        if !words.is_empty() {
            pieces.push(Piece::Words(words.to_owned()));
        }
    }
    Some(pieces)
}

fn read(row: &Row<'_>) -> Result<(String, CardText), TableError> {
    let kind = match row.text("kind")? {
        "step" => Some(LineKind::Step),
        "prepare" => Some(LineKind::Prepare),
        "note" => Some(LineKind::Note),
        "caution" => Some(LineKind::Caution),
        "title" | "piece" => None,
        _ => return Err(row.fault("kind", "step, prepare, note, caution, title or piece")),
    };
    let pieces = pieces(row.text("text")?)
        .ok_or_else(|| row.fault("text", "a text in which every { has its }"))?;
    let key = row.text("key")?.to_uppercase().replace('-', "_");
    Ok((key, CardText { kind, pieces, at: row.line() }))
}

const FILES: [(&str, &str); 6] = [
    ("build", include_str!("../../../../assets/cards/build.csv")),
    ("finish", include_str!("../../../../assets/cards/finish.csv")),
    ("harden", include_str!("../../../../assets/cards/harden.csv")),
    ("sharpen", include_str!("../../../../assets/cards/sharpen.csv")),
    ("sheath", include_str!("../../../../assets/cards/sheath.csv")),
    ("stock", include_str!("../../../../assets/cards/stock.csv")),
];

static TEXTS: LazyLock<BTreeMap<(&str, String), CardText>> = LazyLock::new(|| {
    let mut all = BTreeMap::new();
    for (card, text) in FILES {
        let lines = rows(card, text, read).expect("the cards can be read: a test reads them all");
        all.extend(lines.into_iter().map(|(key, text)| ((card, key), text)));
    }
    all
});

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn declared() -> Vec<Declared> {
        use crate::card::{build, finish, harden, sharpen, sheath, stock};
        vec![
            build::DECLARED,
            finish::DECLARED,
            harden::DECLARED,
            sharpen::DECLARED,
            sheath::DECLARED,
            stock::DECLARED,
        ]
    }

    /// A text whose name or whose figures the code doesn't know fails here, with file and line.
    #[test]
    fn every_text_and_every_declared_line_agree() {
        let mut known = BTreeSet::new();
        for (card, key, names) in declared().into_iter().flatten() {
            let at = format!("assets/cards/{card}.csv");
            let text = TEXTS.get(&(*card, (*key).to_owned()));
            let text = text.unwrap_or_else(|| panic!("{at} has no row {key}"));
            let line = text.at;
            let places: Vec<&str> = (text.pieces.iter())
                .filter_map(|piece| match piece {
                    Piece::Place(name) => Some(name.as_str()),
                    Piece::Words(words) => {
                        let digit = words.contains(|c: char| c.is_numeric());
                        assert!(!digit, "{at}, line {line}: a figure in words: {words}");
                        None
                    }
                })
                .collect();
            for place in &places {
                assert!(names.contains(place), "{at}, line {line}: {key} has no {{{place}}}");
            }
            for name in *names {
                let times = places.iter().filter(|place| *place == name).count();
                assert!(times == 1, "{at}, line {line}: {key} has {{{name}}} {times} times");
            }
            known.insert((*card, (*key).to_owned()));
        }
        for (name @ (card, key), text) in &*TEXTS {
            assert!(
                known.contains(name),
                "assets/cards/{card}.csv, line {}: nobody writes {key}",
                text.at
            );
        }
    }

    #[test]
    fn a_name_is_not_given_twice() {
        for (card, text) in FILES {
            let lines = rows(card, text, read).unwrap();
            let own = TEXTS.keys().filter(|(of, _)| *of == card).count();
            assert_eq!(lines.len(), own, "a row of assets/cards/{card}.csv stands there twice");
        }
    }

    #[test]
    fn a_faulty_text_is_told_with_its_line() {
        let fault = |text: &str| rows("build", text, read).unwrap_err().to_string();
        assert!(fault("key,kind,text\na,step,x {b\n").contains("line 2"));
        assert!(fault("key,kind,text\na,step,x\nb,stop,y\n").contains("line 3"));
    }
}
