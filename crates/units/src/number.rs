//! How a number is written for a person.

/// More decimals than this tell nothing of a length.
const MAX_DECIMALS: usize = 12;

/// A number with so many decimals (at most 12): `38.10`, `−0.5`; zero has no sign. A half is rounded
/// away from zero, also one such as 3.175 that a float holds only nearly. What isn't a finite number
/// is shown as a dash.
pub fn show_number(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let size = value.abs() * (1.0 + 4.0 * f64::EPSILON);
    let size = format!("{size:.*}", decimals.min(MAX_DECIMALS));
    let is_zero = size.bytes().all(|b| matches!(b, b'0' | b'.'));
    if value < 0.0 && !is_zero { format!("−{size}") } else { size }
}
