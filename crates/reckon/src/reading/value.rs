//! One figure with its name, and how a person reads it.

use kurbo::Point;
use units::LengthUnit;

/// What a reading holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length, mm.
    Length(f64),
    /// Where something balances, mm behind a place; negative ahead of it.
    Balance(f64),
    /// An area, mm².
    Area(f64),
    /// A second moment of area, mm⁴.
    SecondMoment(f64),
    /// An angle, degrees.
    Angle(f64),
    /// A place as it is read from the knife's origin, mm.
    Place(Point),
    /// A text, such as a drill's name.
    Text(String),
    /// Yes or no.
    Flag(bool),
}

/// One figure that explains itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What it is called.
    pub name: &'static str,
    /// Its value and unit.
    pub value: Value,
    /// One line on how it was worked out.
    pub explanation: &'static str,
}

impl Reading {
    /// The value as a person reads it, in the unit asked for first.
    pub fn text(&self, unit: LengthUnit) -> String {
        match &self.value {
            Value::Length(mm) => length(*mm, unit),
            Value::Area(mm2) => match unit {
                LengthUnit::Millimetre => format!("{} mm²", units::show_number(*mm2, 1)),
                LengthUnit::Inch => format!(
                    "{} in² · {} mm²",
                    units::show_number(mm2 / (25.4 * 25.4), 3),
                    units::show_number(*mm2, 1)
                ),
            },
            // Of a section that is filed by hand three digits are more than enough.
            Value::SecondMoment(mm4) => format!("{} mm⁴", units::show_significant(*mm4, 3)),
            Value::Balance(mm) => balance(*mm, unit),
            Value::Angle(deg) => units::show_angle(*deg, 2),
            Value::Place(p) => format!("x {}, y {}", length(p.x, unit), length(p.y, unit)),
            Value::Text(text) => text.clone(),
            Value::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        }
    }
}

/// A balance point as near as it is found on a finger, in words.
fn balance(mm: f64, unit: LengthUnit) -> String {
    let ahead = if mm < 0.0 { " ahead of it" } else { "" };
    units::show_balance(mm.abs(), unit) + ahead
}

pub(super) fn length(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Millimetre => units::show_mm(mm, 3),
        LengthUnit::Inch => {
            format!("{} · {}", units::show_length(mm, unit), units::show_mm(mm, 3))
        }
    }
}
