//! Cards: what to do at the bench, line by line, each figure with what it rests on.
//!
//! The words stand in `assets/cards`. A line keeps words and figures apart: no digit stands in
//! words, so that every figure on a card can be compared with its row of a table, its formula or
//! what the maker stated.

mod build;
mod finish;
mod harden;
mod sharpen;
mod sheath;
mod stock;
mod text;

pub use build::build_card;

/// Heat, finish and sharpening, in the order of the work; a forge to build comes last.
pub fn heat_card(bench: &CardContext<'_>) -> Card {
    let mut parts = vec![harden::steel_part(bench), finish::before_part(bench)];
    parts.extend(harden::fire_parts(bench));
    parts.extend(finish::finish_parts(bench));
    parts.push(sharpen::sharpen_part(bench));
    parts.extend(harden::brick_part(bench));
    Card { parts }
}

use crate::Reckoning;
use crate::tables::{MaterialKind, Practice, Provenance, Tables};
use knife::Knife;
use units::{LengthUnit, Temperature, show_number};

/// What a figure rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The maker stated it.
    Stated,
    /// It was worked out, in words.
    Computed(&'static str),
    /// A row of a table.
    Table(Provenance),
}

impl Basis {
    /// Whether it is common practice or this program's choice, without a published source.
    pub fn is_practice(&self) -> bool {
        matches!(self, Self::Table(origin) if origin.source.starts_with("common practice")
            || origin.source.starts_with("this program's choice"))
    }
}

/// A figure and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// As a person reads it.
    pub text: String,
    /// What it rests on.
    pub basis: Basis,
}

/// A piece of a line.
#[derive(Clone, Debug, PartialEq)]
pub enum Span {
    /// Words, without a digit.
    Text(String),
    /// A figure, or a sentence of a table.
    Figure(Figure),
}

/// What a line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineKind {
    /// Something to do: it has a box to tick.
    Step,
    /// Something to have at hand.
    Prepare,
    /// Something to know.
    Note,
    /// Something to mind.
    Caution,
}

/// One line of a card.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is for.
    pub kind: LineKind,
    /// Its words and figures.
    pub spans: Vec<Span>,
}

/// A part of a card.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is about.
    pub title: String,
    /// Its lines.
    pub lines: Vec<Line>,
}

/// A card.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Card {
    /// Its parts, in the order of the work.
    pub parts: Vec<Part>,
}

impl Line {
    /// The line with its marks: `*` after what is common practice, `[n]` after what stands in the
    /// list of sources. A mark is set once for figures that follow each other on one basis.
    pub fn text(&self, sources: &[String]) -> String {
        let mut text = String::new();
        let mark = |basis: Option<&Basis>| -> String {
            match basis {
                Some(basis) if basis.is_practice() => "*".to_owned(),
                Some(Basis::Table(origin)) => {
                    let own = published(&origin.source);
                    let at = sources.iter().position(|source| *source == own);
                    at.map_or_else(String::new, |at| format!(" [{}]", at + 1))
                }
                _ => String::new(),
            }
        };
        let figures: Vec<&Figure> = self.figures().collect();
        let mut seen = 0;
        for piece in &self.spans {
            match piece {
                Span::Text(words) => text += words,
                Span::Figure(figure) => {
                    seen += 1;
                    text += &figure.text;
                    if figures.get(seen).is_none_or(|next| next.basis != figure.basis) {
                        text += &mark(Some(&figure.basis));
                    }
                }
            }
        }
        text
    }

    /// Its figures.
    pub fn figures(&self) -> impl Iterator<Item = &Figure> {
        self.spans.iter().filter_map(|piece| match piece {
            Span::Figure(figure) => Some(figure),
            Span::Text(_) => None,
        })
    }
}

impl Card {
    /// Every published source that its figures rest on, in the order they are met, without how
    /// it was looked up: the tables tell that.
    pub fn sources(&self) -> Vec<String> {
        let mut sources: Vec<String> = Vec::new();
        let lines = self.parts.iter().flat_map(|part| &part.lines);
        for figure in lines.flat_map(Line::figures) {
            if let Basis::Table(origin) = &figure.basis
                && !figure.basis.is_practice()
            {
                let source = published(&origin.source);
                if !sources.contains(&source) {
                    sources.push(source);
                }
            }
        }
        sources
    }

    /// Whether any of its figures is common practice.
    pub fn has_practice(&self) -> bool {
        let mut lines = self.parts.iter().flat_map(|part| &part.lines);
        lines.any(|line| line.figures().any(|figure| figure.basis.is_practice()))
    }
}

/// What a card is written from.
#[derive(Clone, Copy)]
pub struct CardContext<'a> {
    /// The knife.
    pub knife: &'a Knife,
    /// What follows from it.
    pub reckoning: &'a Reckoning,
    /// The tables of the trade.
    pub tables: &'a Tables,
}

impl CardContext<'_> {
    /// A length in the knife's unit.
    fn length(&self, length_mm: f64) -> String {
        match self.knife.unit {
            // A tenth is enough for what is long, a hundredth for what is thin.
            LengthUnit::Millimetre => {
                units::show_mm(length_mm, if length_mm.abs() < 20.0 { 2 } else { 1 })
            }
            LengthUnit::Inch => units::show_inch(length_mm, 3),
        }
    }

    /// A place to scribe, as exactly as the drilling sheet tells it.
    fn place(&self, length_mm: f64) -> Figure {
        let text = units::show_decimal(length_mm, self.knife.unit, (2, 3));
        worked(text, "as placed on the bar")
    }

    /// A mass in the knife's own unit first.
    fn mass(&self, grams: f64) -> String {
        let mass = units::Mass::grams(grams);
        let both = units::show_mass(mass);
        match (self.knife.unit, both.split_once(" · ")) {
            (LengthUnit::Inch, Some((grams, ounces))) => format!("{ounces} ({grams})"),
            (LengthUnit::Millimetre, Some((grams, ounces))) => format!("{grams} ({ounces})"),
            _ => both,
        }
    }

    fn stated(&self, length_mm: f64) -> Figure {
        stated(self.length(length_mm))
    }

    fn worked(&self, length_mm: f64, how: &'static str) -> Figure {
        worked(self.length(length_mm), how)
    }

    /// Two heats as one range, in the knife's own scale first: `1475–1510 °F (802–821 °C)`.
    fn heats(&self, low: Temperature, high: Temperature) -> String {
        both_heats(low, high, self.knife.unit == LengthUnit::Inch)
    }

    /// How much hotter, °C from and to, in the knife's own scale first: `57–92 °F (32–51 °C)`.
    fn heat_step(&self, low: f64, high: f64) -> String {
        let range = |low: f64, high: f64| {
            let (low, high) = (show_number(low, 0), show_number(high, 0));
            if low == high { low } else { format!("{low}–{high}") }
        };
        let (c, f) = (range(low, high), range(low * 1.8, high * 1.8));
        match self.knife.unit {
            LengthUnit::Inch => format!("{f} °F ({c} °C)"),
            LengthUnit::Millimetre => format!("{c} °C ({f} °F)"),
        }
    }

    /// A volume of liquid in the knife's own unit first: `1.2 l (0.3 US gal)`.
    fn litres(&self, litres: f64) -> String {
        let gallons = format!("{} US gal", show_number(litres / 3.785_411_784, 1));
        let litres = format!("{} l", show_number(litres, 1));
        match self.knife.unit {
            LengthUnit::Inch => format!("{gallons} ({litres})"),
            LengthUnit::Millimetre => format!("{litres} ({gallons})"),
        }
    }

    /// A figure of practice in its own unit; a dash where the table has lost it.
    fn practice(&self, key: &str) -> Figure {
        let Some(row) = self.tables.practice(key) else {
            return worked("–".to_owned(), "missing in the table of practice");
        };
        Figure { text: self.practice_text(row), basis: Basis::Table(row.origin.clone()) }
    }

    /// The length of a bench stone.
    fn stone_length(&self) -> Figure {
        let row = crate::heat::stone_row(self.knife.unit, self.tables);
        self.practice(row.map_or("stone-length", |row| &row.key))
    }

    fn practice_text(&self, row: &Practice) -> String {
        let (low, high) = row.range;
        let number = |value: f64| show_number(value, if value.fract() == 0.0 { 0 } else { 2 });
        let range =
            if low == high { number(low) } else { format!("{}–{}", number(low), number(high)) };
        match row.unit.as_str() {
            "C" => self.heats(Temperature::celsius(low), Temperature::celsius(high)),
            "F" => self.heats(Temperature::fahrenheit(low), Temperature::fahrenheit(high)),
            "F apart" => self.heat_step(low / 1.8, high / 1.8),
            "C apart" => self.heat_step(low, high),
            "in" => match self.knife.unit {
                LengthUnit::Inch => format!("{range} in"),
                LengthUnit::Millimetre => units::show_mm((low * 25.4).round(), 0),
            },
            "mm" if self.knife.unit == LengthUnit::Inch && low >= LONG_MM => {
                // A round metric size: to the nearest sixteenth, with what it is sold as.
                let near = units::InchFraction::nearest(low, 16);
                format!("{} in ({} mm)", near.text(), number(low))
            }
            "mm" if self.knife.unit == LengthUnit::Inch => units::show_inch(low, 2),
            "mm" => self.length(low),
            "deg" => format!("{range}°"),
            "um" => {
                let near = self.tables.nearest_grit(crate::tables::GritSystem::P, low);
                near.map_or_else(|| format!("{range} µm"), |grit| grit.name.clone())
            }
            "times" | "JIS" => range,
            unit => format!("{range} {unit}"),
        }
    }

    /// A caution of the table, as a line of its own.
    fn caution(&self, key: &str) -> Option<Line> {
        let row = self.tables.caution(key)?;
        let text = row.sentence_in(self.knife.unit);
        let figure = Figure { text, basis: Basis::Table(row.origin.clone()) };
        Some(Line { kind: LineKind::Caution, spans: vec![Span::Figure(figure)] })
    }

    fn cautions(&self, keys: &[&str]) -> Vec<Line> {
        keys.iter().filter_map(|key| self.caution(key)).collect()
    }

    /// The caution for the dust of the handle's material.
    fn dust(&self) -> Option<Line> {
        let name = self.knife.handle.scales.as_deref();
        let material = name.and_then(|name| self.tables.material(name));
        self.caution(match material.map(|m| (m.kind, m.name.contains("glass"))) {
            Some((MaterialKind::Laminate, true)) => "glass",
            Some((MaterialKind::Laminate, false)) => "phenolic",
            Some((MaterialKind::Wood, _)) => "wood",
            _ => "handle-dust",
        })
    }
}

/// Lengths of practice from here on are told as things are sold, not to the thousandth, mm.
const LONG_MM: f64 = 25.0;

/// A source as a reader is told it: what it is, without how it was looked up.
fn published(source: &str) -> String {
    const HOW: [&str; 6] = [
        ", read second hand",
        ", read",
        ", from memory",
        "from memory, not checked against a page",
        " told by one study",
        "from memory",
    ];
    let plain = HOW.iter().fold(source.to_owned(), |text, how| text.replace(how, ""));
    let plain = plain.trim_matches([' ', ';', ',', ':']).to_owned();
    if plain.is_empty() {
        "usual values: ask your steel maker's data sheet".to_owned()
    } else {
        plain
    }
}

fn stated(text: impl Into<String>) -> Figure {
    Figure { text: text.into(), basis: Basis::Stated }
}

fn worked(text: impl Into<String>, how: &'static str) -> Figure {
    Figure { text: text.into(), basis: Basis::Computed(how) }
}

fn written(text: impl Into<String>, origin: &Provenance) -> Figure {
    Figure { text: text.into(), basis: Basis::Table(origin.clone()) }
}

/// Two heats, in the scale asked for first: `1475–1510 °F (802–821 °C)`.
fn both_heats(low: Temperature, high: Temperature, fahrenheit: bool) -> String {
    let range = |a: f64, b: f64, unit: &str| {
        let (a, b) = (show_number(a, 0), show_number(b, 0));
        if a == b { format!("{a} {unit}") } else { format!("{a}–{b} {unit}") }
    };
    let f = range(low.to_fahrenheit(), high.to_fahrenheit(), "°F");
    let c = range(low.to_celsius(), high.to_celsius(), "°C");
    if fahrenheit { format!("{f} ({c})") } else { format!("{c} ({f})") }
}

/// A band of hardness, rounded outward to halves: `60.5–62 HRC`.
pub fn hardness_band(hrc: (f64, f64)) -> String {
    band(hrc)
}

fn band((low, high): (f64, f64)) -> String {
    let (low, high) = ((low * 2.0 + 1e-6).floor() / 2.0, (high * 2.0 - 1e-6).ceil() / 2.0);
    let number = |value: f64| show_number(value, usize::from(value.fract() != 0.0));
    if low == high {
        format!("{} HRC", number(low))
    } else {
        format!("{}–{} HRC", number(low), number(high))
    }
}

#[cfg(test)]
mod tests;
