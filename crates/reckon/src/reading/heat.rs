//! Readings of heat, temper and finish: the lines of their cards are the words.

use super::{Group, Reading, Value, reading};
use crate::heat::HeatFigures;
use units::{Temperature, show_number, show_temperature};

fn heats((low, high): (f64, f64)) -> String {
    let show = |celsius| show_temperature(Temperature::celsius(celsius));
    if high - low < 0.05 { show(low) } else { format!("{} to {}", show(low), show(high)) }
}

fn hardness((low, high): (f64, f64)) -> Value {
    Value::Text(format!("{} to {} HRC", show_number(low, 1), show_number(high, 1)))
}

/// What follows for fire and abrasives.
pub(super) fn heat(heat: &HeatFigures) -> Group {
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
                readings.push(reading("Harden from", Value::Text(heats(range)), how));
            }
            if let Some(hrc) = steel.quenched_hrc() {
                readings.push(reading("As quenched", hardness(hrc), "the tables' sources"));
            }
        }
    }
    match &heat.temper {
        None => {}
        Some(Ok(temper)) => {
            let how = "the heats at which the tables' band holds what is wanted";
            readings.push(reading("Temper at", Value::Text(heats(temper.heats_c)), how));
            let how = "the tables' band at the cooler end, straight between their points";
            readings.push(reading("Hardness then", hardness(temper.hrc), how));
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
