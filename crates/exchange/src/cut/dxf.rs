//! DXF of release 12, which every cutting shop reads: closed polylines with arcs, and circles.
//!
//! Written from the published reference of release 12: header, tables of line types and layers,
//! entities. One layer for each kind of line tells on which side of it the cut lies.

use super::{CutSheet, polyline};
use kurbo::{Point, Rect};
use outline::Outline;
use std::fmt::Write as _;
use units::{Length, LengthUnit};

/// Layer of outlines: the cut lies outside them.
const OUTLINE_LAYER: &str = "OUTLINE_CUT_OUTSIDE";
/// Layer of holes: the cut lies inside them.
const HOLE_LAYER: &str = "HOLES_CUT_INSIDE";
/// Layer of bars, which are not cut.
const BAR_LAYER: &str = "BAR_DO_NOT_CUT";
/// Every layer with its number among DXF's colours: red, blue, grey.
const LAYERS: [(&str, u8); 3] = [(OUTLINE_LAYER, 1), (HOLE_LAYER, 5), (BAR_LAYER, 8)];

/// What a file's unit is called, and its numbers for `$INSUNITS` and `$MEASUREMENT`.
fn unit_codes(unit: LengthUnit) -> (&'static str, u8, u8) {
    match unit {
        LengthUnit::Inch => ("inches", 1, 0),
        LengthUnit::Millimetre => ("millimetres", 4, 1),
    }
}

/// The sheet as DXF, its numbers in this unit. The same sheet gives the same bytes.
pub fn dxf(sheet: &CutSheet, unit: LengthUnit) -> Vec<u8> {
    let mut out = Writer { text: String::new(), unit };
    let (words, ..) = unit_codes(unit);
    out.pair(999, &format!("Blankwright, in {words}. The cut lies outside the outlines and"));
    out.pair(999, "inside the holes: no kerf is taken off, leads are left to the shop.");
    out.header(sheet);
    out.tables();
    out.pair(0, "SECTION");
    out.pair(2, "ENTITIES");
    for bar in &sheet.bars {
        out.outline(bar, BAR_LAYER);
    }
    for blank in &sheet.blanks {
        out.outline(&blank.outline, OUTLINE_LAYER);
        for hole in &blank.holes {
            out.pair(0, "CIRCLE");
            out.pair(8, HOLE_LAYER);
            out.point(10, hole.center);
            out.length(40, hole.radius);
        }
    }
    out.pair(0, "ENDSEC");
    out.pair(0, "EOF");
    out.text.into_bytes()
}

struct Writer {
    text: String,
    unit: LengthUnit,
}

impl Writer {
    fn pair(&mut self, code: u32, value: &str) {
        let _ = write!(self.text, "{code:>3}\r\n{value}\r\n");
    }

    fn number(&mut self, code: u32, value: f64, decimals: usize) {
        // Minus nought reads as a mistake.
        let text = format!("{value:.decimals$}");
        let is_nought = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
        self.pair(code, if is_nought { text.trim_start_matches('-') } else { &text });
    }

    /// A length to a millionth of a millimetre.
    fn length(&mut self, code: u32, mm: f64) {
        match self.unit {
            LengthUnit::Inch => self.number(code, mm / Length::inches(1.0).to_mm(), 8),
            LengthUnit::Millimetre => self.number(code, mm, 6),
        }
    }

    fn point(&mut self, code: u32, p: Point) {
        self.length(code, p.x);
        self.length(code + 10, p.y);
        self.length(code + 20, 0.0);
    }

    fn header(&mut self, sheet: &CutSheet) {
        let outlines = sheet.blanks.iter().map(|blank| &blank.outline).chain(&sheet.bars);
        let bounds = outlines.map(Outline::bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        let (_, insert, measurement) = unit_codes(self.unit);
        self.pair(0, "SECTION");
        self.pair(2, "HEADER");
        self.pair(9, "$ACADVER");
        self.pair(1, "AC1009");
        // Release 12 has no word for units; readers take these, which later ones brought.
        self.pair(9, "$INSUNITS");
        self.pair(70, &insert.to_string());
        self.pair(9, "$MEASUREMENT");
        self.pair(70, &measurement.to_string());
        self.pair(9, "$EXTMIN");
        self.point(10, Point::new(bounds.x0, bounds.y0));
        self.pair(9, "$EXTMAX");
        self.point(10, Point::new(bounds.x1, bounds.y1));
        self.pair(0, "ENDSEC");
    }

    fn tables(&mut self) {
        self.pair(0, "SECTION");
        self.pair(2, "TABLES");
        self.pair(0, "TABLE");
        self.pair(2, "LTYPE");
        self.pair(70, "1");
        self.pair(0, "LTYPE");
        self.pair(2, "CONTINUOUS");
        self.pair(70, "0");
        self.pair(3, "Solid line");
        self.pair(72, "65");
        self.pair(73, "0");
        self.pair(40, "0.0");
        self.pair(0, "ENDTAB");
        self.pair(0, "TABLE");
        self.pair(2, "LAYER");
        self.pair(70, &(LAYERS.len() + 1).to_string());
        for (name, color) in [("0", 7)].into_iter().chain(LAYERS) {
            self.pair(0, "LAYER");
            self.pair(2, name);
            self.pair(70, "0");
            self.pair(62, &color.to_string());
            self.pair(6, "CONTINUOUS");
        }
        self.pair(0, "ENDTAB");
        self.pair(0, "ENDSEC");
    }

    fn outline(&mut self, outline: &Outline, layer: &str) {
        self.pair(0, "POLYLINE");
        self.pair(8, layer);
        self.pair(66, "1");
        self.point(10, Point::ORIGIN);
        self.pair(70, "1");
        for corner in polyline(outline) {
            self.pair(0, "VERTEX");
            self.pair(8, layer);
            self.point(10, corner.at);
            if corner.bulge != 0.0 {
                self.number(42, corner.bulge, 10);
            }
        }
        self.pair(0, "SEQEND");
        self.pair(8, layer);
    }
}
