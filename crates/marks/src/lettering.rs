//! How wide lettering is: the advances of the shipped faces, without their font files.
//!
//! The table holds the advances of Barlow 1.408 (SIL Open Font License 1.1) as its `hmtx` tables
//! give them; a test of `paper`, which ships the files, holds the two equal.

use crate::{FontFace, HAlign, Label, VAlign};
use kurbo::{Affine, Point, Rect};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Units of the font's square in which advances are told.
pub const UNITS_PER_EM: f64 = 1000.0;

/// Height of the capitals in the font's units, the same in both faces.
pub const CAP_HEIGHT: f64 = 700.0;

/// How far tails (g, p, Q) and the comma reach below the base line, as a part of the cap height.
pub const DESCENT: f64 = 0.32;

/// What stands where a face has no sign of its own and no near one.
pub const FALLBACK: char = '?';

/// The advances, one sign a line: code point, regular, bold.
const ADVANCES: &str = include_str!("../../../assets/fonts/advances.csv");

static TABLE: LazyLock<BTreeMap<char, [u16; 2]>> = LazyLock::new(|| {
    let row = |line: &str| {
        let mut cells = line.split(',');
        let sign = char::from_u32(u32::from_str_radix(cells.next()?, 16).ok()?)?;
        Some((sign, [cells.next()?.parse().ok()?, cells.next()?.parse().ok()?]))
    };
    ADVANCES.lines().skip(1).filter_map(row).collect()
});

/// Signs below this are looked up at once: texts are measured thousands of times for a page.
const COMMON: usize = 0x250;

/// The advances of the common signs by code point.
static COMMON_TABLE: LazyLock<Vec<Option<[u16; 2]>>> = LazyLock::new(|| {
    let sign = |code: usize| u32::try_from(code).ok().and_then(char::from_u32);
    (0..COMMON).map(|code| TABLE.get(&sign(code)?).copied()).collect()
});

/// The advances of a sign, if the faces have it.
fn glyph_advances(sign: char) -> Option<[u16; 2]> {
    match COMMON_TABLE.get(sign as usize) {
        Some(common) => *common,
        None => TABLE.get(&sign).copied(),
    }
}

/// The size of type whose capitals are `cap_height_mm` high, in mm.
pub fn type_size_mm(cap_height_mm: f64) -> f64 {
    cap_height_mm * UNITS_PER_EM / CAP_HEIGHT
}

/// How wide `text` is when its capitals are `cap_height_mm` high, in mm. No kerning is applied,
/// here or on paper.
pub fn width_mm(text: &str, face: FontFace, cap_height_mm: f64) -> f64 {
    mm(units(text, face), cap_height_mm)
}

/// So many of the font's units in mm.
fn mm(units: u32, cap_height_mm: f64) -> f64 {
    f64::from(units) / CAP_HEIGHT * cap_height_mm
}

/// How wide `text` is as the faces can show it, in the font's units.
fn units(text: &str, face: FontFace) -> u32 {
    text.chars().map(|sign| u32::from(advance(sign, face))).sum()
}

/// Words after which a figure is read with what it counts.
const UNITS: [&str; 16] =
    ["in", "ft", "mm", "cm", "m", "µm", "°C", "°F", "HRC", "h", "min", "s", "g", "oz", "l", "%"];

/// Breaks a text into lines, each as full as can be within `max_mm`; a single word that is wider
/// stays whole. No line ends between a figure and its unit, or within `7 7/8`, unless both
/// together are wider than a line.
pub fn wrap_lines(text: &str, face: FontFace, height_mm: f64, max_mm: f64) -> Vec<String> {
    let space = units(" ", face);
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut lines: Vec<String> = Vec::new();
    // Without kerning a line is as wide as its words and spaces are.
    let mut filled = 0;
    let mut rest = words.as_slice();
    while let Some(first) = rest.first() {
        let wide = |words: &[&str]| units(&words.join(" "), face);
        let mut many = bound(rest);
        let mut own = if many > 1 { wide(&rest[..many]) } else { units(first, face) };
        if many > 1 && mm(own, height_mm) > max_mm {
            (many, own) = (1, units(first, face));
        }
        let (taken, left) = rest.split_at(many);
        match lines.last_mut() {
            Some(line) if mm(filled + space + own, height_mm) <= max_mm => {
                line.push(' ');
                line.push_str(&taken.join(" "));
                filled += space + own;
            }
            _ => {
                lines.push(taken.join(" "));
                filled = own;
            }
        }
        rest = left;
    }
    lines
}

/// How many of the first words belong on one line.
fn bound(words: &[&str]) -> usize {
    1 + words.windows(2).take_while(|pair| is_bound(pair[0], pair[1])).count()
}

/// Whether a word is a figure and the next its fraction or its unit.
fn is_bound(word: &str, next: &str) -> bool {
    let is_number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let next = next.trim_end_matches(['.', ',', ';', ':', ')', ']', '*']);
    let is_fraction = next.split_once('/').is_some_and(|(n, d)| is_number(n) && is_number(d));
    if is_fraction {
        return is_number(word.trim_start_matches(['(', '[']));
    }
    let figure = word.trim_end_matches('*');
    UNITS.contains(&next) && figure.ends_with(|sign: char| sign.is_ascii_digit())
}

/// The text as the shipped faces can show it: a missing sign becomes a near one, or
/// [`FALLBACK`]. Control signs become spaces.
pub fn with_fallbacks(text: &str) -> Cow<'_, str> {
    if text.chars().all(has_glyph) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(near).collect())
}

/// The signs of a text that the shipped faces show as [`FALLBACK`], each once.
pub fn missing_glyphs(text: &str) -> Vec<char> {
    let mut missing: Vec<char> =
        text.chars().filter(|sign| !has_glyph(*sign) && near(*sign) == FALLBACK).collect();
    missing.sort_unstable();
    missing.dedup();
    missing
}

/// Signs that the shipped faces show as [`FALLBACK`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnprintableSigns {
    /// Each once, in order.
    pub signs: Vec<char>,
}

/// So many of them are named, the others counted.
const SIGNS_NAMED: usize = 8;

impl std::fmt::Display for UnprintableSigns {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let named: Vec<String> =
            self.signs.iter().take(SIGNS_NAMED).map(|sign| format!("\"{sign}\"")).collect();
        let more = if self.signs.len() > SIGNS_NAMED { " and others" } else { "" };
        write!(
            f,
            "the sheets have no lettering for {}{more}: \"{FALLBACK}\" is printed there",
            named.join(", ")
        )
    }
}

impl std::error::Error for UnprintableSigns {}

/// Checks that the shipped faces have a sign for all of a text, or a near one.
///
/// # Errors
/// [`UnprintableSigns`] names those that they don't have: of Greek, Cyrillic, Arabic or Japanese
/// names nearly all.
pub fn check_printable(text: &str) -> Result<(), UnprintableSigns> {
    let signs = missing_glyphs(text);
    if signs.is_empty() { Ok(()) } else { Err(UnprintableSigns { signs }) }
}

/// Whether the shipped faces have this sign.
pub fn has_glyph(sign: char) -> bool {
    glyph_advances(sign).is_some()
}

/// The signs of the shipped faces with their advances in font units: regular, bold.
pub fn advances() -> impl Iterator<Item = (char, [u16; 2])> {
    TABLE.iter().map(|(&sign, &widths)| (sign, widths))
}

/// The four corners of a label's box in drawing order: start below, end below, end above, start
/// above. The box holds tails and capitals, so nothing of the label lies outside it but accents
/// on capitals.
pub fn corners(label: &Label) -> [Point; 4] {
    let boxed = level_box(label);
    let turn = Affine::translate(label.at.to_vec2()) * Affine::rotate(label.turn_deg.to_radians());
    [
        turn * Point::new(boxed.x0, boxed.y0),
        turn * Point::new(boxed.x1, boxed.y0),
        turn * Point::new(boxed.x1, boxed.y1),
        turn * Point::new(boxed.x0, boxed.y1),
    ]
}

/// Where a label's base line starts, before its turn, seen from its anchor, mm.
pub fn start_mm(label: &Label) -> (f64, f64) {
    let width = width_mm(&label.text, label.face, label.height_mm);
    let x = match label.h_align {
        HAlign::Start => 0.0,
        HAlign::Middle => -width / 2.0,
        HAlign::End => -width,
    };
    let y = match label.v_align {
        VAlign::Base => 0.0,
        VAlign::Middle => -label.height_mm / 2.0,
        VAlign::Top => -label.height_mm,
    };
    (x, y)
}

/// The label's box seen from its anchor before its turn, mm.
fn level_box(label: &Label) -> Rect {
    let (x, y) = start_mm(label);
    let width = width_mm(&label.text, label.face, label.height_mm);
    Rect::new(x, y - DESCENT * label.height_mm, x + width, y + 1.06 * label.height_mm)
}

fn advance(sign: char, face: FontFace) -> u16 {
    let widths = glyph_advances(sign).or_else(|| glyph_advances(near(sign))).unwrap_or([0, 0]);
    match face {
        FontFace::Regular => widths[0],
        FontFace::Bold => widths[1],
    }
}

fn near(sign: char) -> char {
    match sign {
        _ if has_glyph(sign) => sign,
        '⌀' | '∅' => 'Ø',
        '→' => '›',
        '←' => '‹',
        '‑' | '‒' | '―' => '-',
        '∆' => 'Δ',
        _ if sign.is_whitespace() || sign.is_control() => ' ',
        _ => FALLBACK,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_as_wide_as_the_font_says() {
        // Barlow Regular 1.408: "1" is 350 units, "0" 565, of 1000, capitals 700.
        assert!((width_mm("10", FontFace::Regular, 7.0) - 9.15).abs() < 1e-12);
        assert!(width_mm("10", FontFace::Bold, 7.0) > 9.15);
        assert!((type_size_mm(7.0) - 10.0).abs() < 1e-12);
    }

    #[test]
    fn signs_a_drawing_needs_are_there() {
        for sign in "°×±–—·″′Ø½¼¾⅛⅜⅝⅞≤≥≈−…µ²³".chars() {
            assert!(has_glyph(sign), "{sign}");
        }
        assert_eq!(with_fallbacks("⌀6 → 7\u{2009}mm"), "Ø6 › 7 mm");
        assert_eq!(with_fallbacks("刀"), "?");
        assert_eq!(missing_glyphs("刀? → 刀\n"), ['刀']);
        assert_eq!(check_printable("Größe, čepel, żuraw, Ø 1/4"), Ok(()));
        for name in ["Χήνα", "刀鍛冶", "سكين", "Нож"] {
            let message = check_printable(name).unwrap_err().to_string();
            assert!(message.contains(&format!("\"{}\"", missing_glyphs(name)[0])), "{message}");
        }
    }

    #[test]
    fn no_line_ends_between_a_figure_and_its_unit() {
        let text = "warmed to 120–140 °F (49–60 °C)*: a stone of 7 7/8 in (200 mm)* raised, 1–5* min, \
                    drilled 1/2 in deep, then in oil";
        let apart = ["140 °F", "60 °C)*:", "7 7/8 in", "(200 mm)*", "5* min,", "1/2 in"];
        for max in 25..120 {
            let lines = wrap_lines(text, FontFace::Regular, 2.5, f64::from(max));
            assert_eq!(lines.join(" "), text.split_whitespace().collect::<Vec<_>>().join(" "));
            for words in apart {
                assert!(lines.iter().any(|line| line.contains(words)), "{words}: {lines:?}");
            }
        }
        // Where a line takes but one of them, both are told all the same.
        assert_eq!(wrap_lines("120 °F", FontFace::Regular, 2.5, 6.0), ["120", "°F"]);
    }

    #[test]
    fn a_box_turns_with_its_label() {
        let label = Label::new("Blank", Point::new(10.0, 20.0), 3.5)
            .anchored(HAlign::End, VAlign::Top)
            .turned(90.0);
        let [a, b, c, _] = corners(&label);
        assert!((b.x - a.x).abs() < 1e-9 && b.y > a.y && c.x < b.x);
        assert!((b.y - 20.0).abs() < 1e-9);
    }
}
