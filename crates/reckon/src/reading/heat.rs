//! Readings of heat, temper and finish: the lines of their cards are the words.

use super::{Group, Reading, Value, reading};
use crate::card::hardness_band;
use crate::heat::{HeatFigures, oven_setting};
use units::{LengthUnit, Temperature, show_number};

/// Heats of the tables in the knife's own scale first.
fn heats((low, high): (f64, f64), unit: LengthUnit) -> String {
    let f = |celsius| Temperature::celsius(celsius).to_fahrenheit();
    let range = |low: f64, high: f64, sign: &str| {
        let (low, high) = (show_number(low, 0), show_number(high, 0));
        if low == high { format!("{low} {sign}") } else { format!("{low} to {high} {sign}") }
    };
    let (c, f) = (range(low, high, "°C"), range(f(low), f(high), "°F"));
    match unit {
        LengthUnit::Millimetre => format!("{c} · {f}"),
        LengthUnit::Inch => format!("{f} · {c}"),
    }
}

fn hardness(hrc: (f64, f64)) -> Value {
    Value::Text(hardness_band(hrc))
}

/// What follows for fire and abrasives.
pub(super) fn heat(heat: &HeatFigures, unit: LengthUnit) -> Group {
    let mut readings: Vec<Reading> = Vec::new();
    match &heat.steel {
        None => readings.push(reading(
            "Steel",
            Value::Text("in no table".to_owned()),
            "neither the shop nor the tables know the grade",
        )),
        Some(steel) => {
            if let Some(range) = steel.harden_c() {
                let how = "least and greatest of the tables' sources; blankwright build tells each";
                readings.push(reading("Harden from", Value::Text(heats(range, unit)), how));
            }
            if let Some(hrc) = steel.quenched_hrc() {
                readings.push(reading("As quenched", hardness(hrc), "the tables' sources"));
            }
        }
    }
    match &heat.temper {
        None => {}
        Some(Ok(temper)) => {
            let how = "the heats at which the tables' band holds what is wanted, as an oven is set";
            let at = Value::Text(oven_setting(temper.heats_c, unit));
            readings.push(reading("Temper at", at, how));
            let how = "the tables' band at the cooler end over what an oven swings (common \
                       practice, no source)";
            readings.push(reading("Hardness then", hardness(temper.swing_hrc), how));
            if let Some(range) = temper.brittle_c {
                let how = "temper embrittlement of plain carbon and low-alloy steels (ASM Handbook \
                           Vol. 4, from memory)";
                let words = format!("{}: the temper reaches into it", oven_setting(range, unit));
                readings.push(reading("Brittle between", Value::Text(words), how));
            }
        }
        Some(Err(fault)) => readings.push(reading(
            "Temper",
            Value::Text(fault.to_string()),
            "held against the tables",
        )),
    }
    if let Some(litres) = heat.oil_l {
        readings.push(reading(
            "Quench oil at least",
            Value::Text(format!("{} l", show_number(litres, 1))),
            "ground mass, 1 US gallon to the pound (common practice, no source)",
        ));
    }
    if let Some(times) = heat.slenderness {
        readings.push(reading(
            "Blade's length in thicknesses",
            Value::Text(show_number(times, 1)),
            "tip to plunge line over the stock's thickness",
        ));
    }
    if !heat.ladders.blade.is_empty() {
        let names: Vec<&str> = heat.ladders.blade.iter().map(|grit| grit.name.as_str()).collect();
        readings.push(reading(
            "Grits after tempering",
            Value::Text(names.join(", ")),
            "usual FEPA P grits, each at most 1.75 times finer than the one before",
        ));
    }
    Group { title: "Heat and finish".to_owned(), readings }
}
