//! Takes a typed text apart: signs, decimals, fractions, mixed numbers, words.

use crate::error::{ExpectedKind, ParseError, quoted};

/// A text longer than this is no quantity; refusing it early keeps every number finite.
const MAX_CHARS: usize = 100;

/// How a number was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Notation {
    /// `3`, `3.2`, `3,2`.
    Decimal,
    /// `3/16`, `1 1/2`, `1-1/2`, `½`.
    Fraction,
}

/// A number with no sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Number {
    pub(crate) value: f64,
    pub(crate) notation: Notation,
}

/// A quantity that is one number and one word.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Quantity {
    pub(crate) value: f64,
    /// Lower case; empty when none was typed.
    pub(crate) unit: String,
}

/// Reads `[sign] number [unit]` and nothing more.
pub(crate) fn read_quantity(text: &str, expected: ExpectedKind) -> Result<Quantity, ParseError> {
    let normal = normalised(text, expected)?;
    let mut scan = Scanner::new(&normal, text, expected);
    let sign = scan.sign();
    let number = scan.number()?;
    let unit = scan.unit();
    scan.end()?;
    Ok(Quantity { value: sign * number.value, unit })
}

/// Brings the many ways to type the same sign to one: plain fractions, straight quotes, lower case.
pub(crate) fn normalised(text: &str, expected: ExpectedKind) -> Result<String, ParseError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ParseError::Empty { expected });
    }
    if text.chars().nth(MAX_CHARS).is_some() {
        return Err(ParseError::NotUnderstood { text: quoted(text), expected });
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if let Some(fraction) = vulgar_fraction(c) {
            if out.ends_with(|last: char| last.is_ascii_digit()) {
                out.push(' ');
            }
            out.push_str(fraction);
            // So that a digit typed behind it doesn't lengthen the denominator.
            out.push(' ');
        } else {
            push_plain(&mut out, c);
        }
    }
    Ok(out.replace("''", "\"").trim().to_owned())
}

fn push_plain(out: &mut String, c: char) {
    match c {
        '⁄' | '∕' | '÷' => out.push('/'),
        '″' | '“' | '”' | '„' | '〃' => out.push('"'),
        '′' | '‘' | '’' => out.push('\''),
        '−' | '‐' | '‑' | '–' => out.push('-'),
        'μ' => out.push('µ'),
        'º' | '˚' => out.push('°'),
        '℃' => out.push_str("°c"),
        '℉' => out.push_str("°f"),
        '№' => out.push('#'),
        c if c.is_whitespace() => out.push(' '),
        c => out.push(c.to_ascii_lowercase()),
    }
}

fn vulgar_fraction(c: char) -> Option<&'static str> {
    Some(match c {
        '½' => "1/2",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '¼' => "1/4",
        '¾' => "3/4",
        '⅕' => "1/5",
        '⅖' => "2/5",
        '⅗' => "3/5",
        '⅘' => "4/5",
        '⅙' => "1/6",
        '⅚' => "5/6",
        '⅐' => "1/7",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        '⅑' => "1/9",
        '⅒' => "1/10",
        _ => return None,
    })
}

/// Walks over a normalised text.
pub(crate) struct Scanner<'a> {
    rest: &'a str,
    /// What was typed, for the sentence of an error.
    typed: &'a str,
    expected: ExpectedKind,
}

impl<'a> Scanner<'a> {
    pub(crate) fn new(normal: &'a str, typed: &'a str, expected: ExpectedKind) -> Self {
        Self { rest: normal, typed, expected }
    }

    /// The error for a text of the wrong form.
    pub(crate) fn not_understood(&self) -> ParseError {
        ParseError::NotUnderstood { text: quoted(self.typed), expected: self.expected }
    }

    /// Steps over `c` if it comes next.
    pub(crate) fn accept(&mut self, c: char) -> bool {
        match self.rest.strip_prefix(c) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    pub(crate) fn skip_spaces(&mut self) {
        self.rest = self.rest.trim_start();
    }

    pub(crate) fn is_at_end(&self) -> bool {
        self.rest.is_empty()
    }

    /// All must have been read.
    pub(crate) fn end(&mut self) -> Result<(), ParseError> {
        self.skip_spaces();
        if self.is_at_end() { Ok(()) } else { Err(self.not_understood()) }
    }

    /// 1 or −1.
    pub(crate) fn sign(&mut self) -> f64 {
        let sign = if self.accept('-') {
            -1.0
        } else {
            self.accept('+');
            1.0
        };
        self.skip_spaces();
        sign
    }

    /// A word or sign for a unit, without the full stop of an abbreviation; empty if none comes.
    /// Degrees spelt out come as `°`, `degrees F` as `°f`.
    pub(crate) fn unit(&mut self) -> String {
        self.skip_spaces();
        if self.accept('"') {
            return "in".to_owned();
        }
        if self.accept('\'') {
            return "ft".to_owned();
        }
        let mut word = String::new();
        if self.accept('°') {
            word.push('°');
            self.skip_spaces();
        }
        let mut letters = self.letters();
        if matches!(letters, "deg" | "degree" | "degrees") && word.is_empty() {
            word.push('°');
            self.skip_spaces();
            letters = self.letters();
        }
        word.push_str(letters);
        word
    }

    /// Letters, stepping over the full stop of an abbreviation.
    fn letters(&mut self) -> &'a str {
        let letters = self.while_char(char::is_alphabetic);
        if !letters.is_empty() {
            self.accept('.');
        }
        letters
    }

    /// A decimal, a fraction or a mixed number.
    pub(crate) fn number(&mut self) -> Result<Number, ParseError> {
        let whole = self.digits();
        if self.rest.starts_with(['.', ',']) {
            return self.decimals_after(whole);
        }
        if whole.is_empty() {
            return Err(self.not_understood());
        }
        if let Some(below) = self.denominator() {
            return self.fraction(0.0, whole, below);
        }
        if let Some((above, below)) = self.fraction_of_mixed() {
            if value_of(above) >= value_of(below) && value_of(below) > 0.0 {
                return Err(self.not_understood());
            }
            return self.fraction(value_of(whole), above, below);
        }
        Ok(Number { value: value_of(whole), notation: Notation::Decimal })
    }

    fn decimals_after(&mut self, whole: &str) -> Result<Number, ParseError> {
        let has_comma = self.accept(',') || !self.accept('.');
        let part = self.digits();
        if whole.is_empty() && part.is_empty() || has_comma && part.is_empty() {
            return Err(self.not_understood());
        }
        if has_comma && looks_like_thousands(whole, part) {
            return Err(ParseError::AmbiguousComma {
                text: quoted(self.typed),
                as_decimal: format!("{whole}.{part}"),
                as_thousands: format!("{whole}{part}"),
            });
        }
        match format!("0{whole}.{part}0").parse() {
            Ok(value) => Ok(Number { value, notation: Notation::Decimal }),
            Err(_) => Err(self.not_understood()),
        }
    }

    fn fraction(&self, whole: f64, above: &str, below: &str) -> Result<Number, ParseError> {
        let below = value_of(below);
        if below < 1.0 {
            return Err(ParseError::DividedByZero {
                text: quoted(self.typed),
                expected: self.expected,
            });
        }
        let value = (whole * below + value_of(above)) / below;
        Ok(Number { value, notation: Notation::Fraction })
    }

    /// `/ 16`, or nothing read.
    fn denominator(&mut self) -> Option<&'a str> {
        let start = self.rest;
        self.skip_spaces();
        if self.accept('/') {
            self.skip_spaces();
            let below = self.digits();
            if !below.is_empty() {
                return Some(below);
            }
        }
        self.rest = start;
        None
    }

    /// ` 3/16` or `-3/16` behind a whole number, or nothing read.
    fn fraction_of_mixed(&mut self) -> Option<(&'a str, &'a str)> {
        let start = self.rest;
        let parted = self.accept('-') || {
            self.skip_spaces();
            self.rest.len() < start.len()
        };
        let above = self.digits();
        if parted
            && !above.is_empty()
            && let Some(below) = self.denominator()
        {
            return Some((above, below));
        }
        self.rest = start;
        None
    }

    /// The digits that come next; may be none.
    pub(crate) fn digits(&mut self) -> &'a str {
        self.while_char(|c| c.is_ascii_digit())
    }

    fn while_char(&mut self, is_wanted: impl Fn(char) -> bool) -> &'a str {
        let end = self.rest.find(|c| !is_wanted(c)).unwrap_or(self.rest.len());
        let (taken, rest) = self.rest.split_at(end);
        self.rest = rest;
        taken
    }
}

/// `1,250` may be 1.25 or 1250; `0,125`, `3,2` and `1250,125` can be read in one way only.
fn looks_like_thousands(whole: &str, part: &str) -> bool {
    part.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
}

/// The value of up to a hundred digits: always finite.
fn value_of(digits: &str) -> f64 {
    digits.bytes().fold(0.0, |sum, digit| sum * 10.0 + f64::from(digit.saturating_sub(b'0')))
}
