//! A printer in the shop file: its name, its trim and the readings behind it.

use super::ENTRIES;
use crate::shop::Printer;
use crate::shop::trim::{MAX_SCALE_ERROR, ProofReading, Trim};
use knife::file::{Faults, Fields};
use knife::limits as knife_limits;
use kurbo::Vec2;
use serde_json::{Value, json};
use std::ops::RangeInclusive;

/// A trim's factor: more is no printer at actual size.
const SCALE: RangeInclusive<f64> =
    1.0 / (1.0 + MAX_SCALE_ERROR) - 1e-6..=1.0 / (1.0 - MAX_SCALE_ERROR) + 1e-6;
/// A trim's skew, degrees.
const SKEW_DEG: RangeInclusive<f64> = -2.0..=2.0;
/// What is still unsure of a line of 250 mm, mm.
const WITHIN_MM: RangeInclusive<f64> = 0.0..=5.0;
/// The length of a line of a proof, mm.
const LINE_MM: RangeInclusive<f64> = 10.0..=5000.0;

pub(super) fn read(value: &Value, place: &str, faults: &mut Faults) -> Option<Printer> {
    let fields = Fields::open(value, place, &["name", "trim"], faults)?;
    let name = fields.text("name", knife_limits::NAME_CHARS, faults);
    let trim = fields.get("trim").and_then(|value| read_trim(value, &fields.at("trim"), faults));
    Some(Printer { name, trim })
}

fn read_trim(value: &Value, place: &str, faults: &mut Faults) -> Option<Trim> {
    let known = ["scale_x", "scale_y", "skew_deg", "within_mm", "paper", "readings"];
    let fields = Fields::open(value, place, &known, faults)?;
    let scale_x = fields.number("scale_x", &SCALE, faults);
    let scale_y = fields.number("scale_y", &SCALE, faults);
    let skew_deg = fields.optional_number("skew_deg", &SKEW_DEG, faults).unwrap_or(0.0);
    let within_mm = fields.optional_number("within_mm", &WITHIN_MM, faults);
    let paper = fields.optional_text("paper", knife_limits::NAME_CHARS, faults).unwrap_or_default();
    let mut readings = Vec::new();
    for (i, value) in fields.list("readings", &ENTRIES, faults).iter().enumerate() {
        readings.extend(read_reading(value, &format!("{place}.readings[{i}]"), faults));
    }
    let (scale_x, scale_y) = (scale_x?, scale_y?);
    Some(Trim { scale_x, scale_y, skew_deg, within_mm, paper, readings })
}

fn read_reading(value: &Value, place: &str, faults: &mut Faults) -> Option<ProofReading> {
    let fields = Fields::open(value, place, &["sent_mm", "measured_mm"], faults)?;
    let sent = fields.point("sent_mm", &knife_limits::COORDINATE_MM, faults);
    let measured_mm = fields.number("measured_mm", &LINE_MM, faults);
    Some(ProofReading { sent_mm: sent?.to_vec2(), measured_mm: measured_mm? })
}

pub(super) fn write(printer: &Printer) -> Value {
    let reading = |ProofReading { sent_mm: Vec2 { x, y }, measured_mm }: &ProofReading| json!({ "sent_mm": [x, y], "measured_mm": measured_mm });
    json!({
        "name": printer.name,
        "trim": printer.trim.as_ref().map(|trim| json!({
            "scale_x": trim.scale_x,
            "scale_y": trim.scale_y,
            "skew_deg": trim.skew_deg,
            "within_mm": trim.within_mm,
            "paper": trim.paper,
            "readings": trim.readings.iter().map(reading).collect::<Vec<_>>(),
        })),
    })
}
