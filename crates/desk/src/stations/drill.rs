//! A field that takes a drill's name or a diameter.

use crate::widgets::{Field, Form};
use knife::limits::DIAMETER_MM;
use reckon::tables::Tables;
use units::{HoleSize, LengthUnit};

/// A diameter, mm, and the drill of that size if there is one.
pub(super) type Drilled = (f64, Option<String>);

/// The field, for a drill that is named or a diameter in mm. `check` refuses what can't be used.
pub(super) fn field(
    form: &mut Form<'_>,
    label: &str,
    (diameter_mm, drill): (f64, Option<&str>),
    width: f32,
    check: impl Fn(Drilled) -> Result<Drilled, String>,
) -> Option<Drilled> {
    let context = form.context;
    let tooltip = "A drill by its number, letter or fraction, or any diameter.";
    let value = drill.map_or_else(|| context.typed_length(diameter_mm), ToOwned::to_owned);
    let field = Field::new((label, tooltip), value).width(width);
    form.field(field, |text| read(text, context.unit()).and_then(&check)).value
}

/// Refuses a diameter that no hole can have.
pub(super) fn drillable(size: Drilled) -> Result<Drilled, String> {
    if DIAMETER_MM.contains(&size.0) {
        return Ok(size);
    }
    let show = |mm| units::write_length(mm, LengthUnit::Millimetre);
    let (min, max) = (show(*DIAMETER_MM.start()), show(*DIAMETER_MM.end()));
    Err(format!("A hole must lie between {min} and {max}"))
}

fn read(text: &str, unit: LengthUnit) -> Result<Drilled, String> {
    let tables = Tables::built_in();
    match units::parse_hole_size(text, unit).map_err(|why| why.to_string())? {
        HoleSize::Drill(name) => {
            let drill = tables.drill_named(name).ok_or_else(|| {
                format!("{name} isn't in the drill table; type its diameter instead")
            })?;
            Ok((drill.diameter_mm, Some(drill.label.clone())))
        }
        HoleSize::Length(length) => {
            let drill = tables.drill_of_size(length.to_mm(), unit);
            Ok((length.to_mm(), drill.map(|drill| drill.label.clone())))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_read_as_drill_or_diameter() {
        let inch = |text| read(text, LengthUnit::Inch).unwrap();
        assert_eq!(inch("#30"), (3.2639, Some("#30".to_owned())));
        assert_eq!(inch("1/4"), (6.35, Some("1/4".to_owned())));
        assert_eq!(inch("7.03 mm").1, None);
        assert!(read("wide", LengthUnit::Inch).is_err());
    }
}
