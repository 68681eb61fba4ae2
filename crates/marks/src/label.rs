//! Lettering: a text with its anchor, height and turn.

use kurbo::Point;

/// Where along the text its anchor lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HAlign {
    /// At its start.
    Start,
    /// In its middle.
    Middle,
    /// At its end.
    End,
}

/// Where up the text its anchor lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VAlign {
    /// On the base line.
    Base,
    /// Halfway up the capitals.
    Middle,
    /// At the top of the capitals.
    Top,
}

/// The cut of the lettering.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FontFace {
    /// For most texts.
    Regular,
    /// For titles and what must not be missed.
    Bold,
}

/// One line of lettering.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// What it says: one line.
    pub text: String,
    /// The anchor, mm.
    pub at: Point,
    /// Height of the capitals, mm.
    pub height_mm: f64,
    /// Turn about the anchor, degrees, counter-clockwise.
    pub turn_deg: f64,
    /// Where along the text the anchor lies.
    pub h_align: HAlign,
    /// Where up the text the anchor lies.
    pub v_align: VAlign,
    /// The cut of the lettering.
    pub face: FontFace,
}

impl Label {
    /// A level regular label anchored at the start of its base line.
    pub fn new(text: impl Into<String>, at: Point, height_mm: f64) -> Self {
        Self {
            text: text.into(),
            at,
            height_mm,
            turn_deg: 0.0,
            h_align: HAlign::Start,
            v_align: VAlign::Base,
            face: FontFace::Regular,
        }
    }

    /// The same label with another anchor.
    #[must_use]
    pub fn anchored(mut self, across: HAlign, upright: VAlign) -> Self {
        self.h_align = across;
        self.v_align = upright;
        self
    }

    /// The same label anchored at another place.
    #[must_use]
    pub fn moved_to(mut self, at: Point) -> Self {
        self.at = at;
        self
    }

    /// The same label in bold.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.face = FontFace::Bold;
        self
    }

    /// The same label turned about its anchor, degrees counter-clockwise.
    #[must_use]
    pub fn turned(mut self, turn_deg: f64) -> Self {
        self.turn_deg = turn_deg;
        self
    }
}
