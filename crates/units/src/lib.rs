//! Lengths, angles, masses and temperatures: how they are held, read and shown.
//!
//! Exact: 1 in = 25.4 mm and 1 lb = 453.59237 g (international yard and pound agreement of 1959).
//! Nothing here asks the machine for its language: a text is read and written alike everywhere.
//!
//! ```
//! use units::{LengthUnit, show_fraction_and_mm, parse_length};
//! let long = parse_length("8-1/2\"", LengthUnit::Millimetre)?;
//! assert_eq!(show_fraction_and_mm(long.to_mm()), "8 1/2 in · 215.9 mm");
//! # Ok::<(), units::ParseError>(())
//! ```

mod angle;
mod drill;
mod error;
mod fraction;
mod length;
mod mass;
mod number;
mod scan;
mod show;
mod size;
mod temperature;

pub use angle::{Angle, parse_angle};
pub use drill::{DrillName, parse_drill};
pub use error::{ExpectedKind, ParseError, one_line};
pub use fraction::InchFraction;
pub use length::{Length, LengthUnit, MM_PER_INCH, parse_length};
pub use mass::{GRAMS_PER_POUND, Mass, parse_mass};
pub use number::show_number;
pub use show::{
    show_angle, show_balance, show_decimal, show_fraction_and_mm, show_in_both, show_inch,
    show_length, show_mass, show_mm, show_significant, show_temperature, write_length,
};
pub use size::{HoleSize, parse_hole_size};
pub use temperature::{Temperature, parse_temperature};
