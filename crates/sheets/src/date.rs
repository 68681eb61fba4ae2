//! A date as it is typed for the sheets.

use jiff::civil::Date;

/// A date that no calendar has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0} isn't a date; write one such as 2026-03-09")]
pub struct InvalidDate(String);

/// Looks whether a typed date can be. Three numbers must be a day of the calendar: year, month
/// and day as ISO 8601 has them, or day and month in either order before the year. Words are left
/// to whoever wrote them.
///
/// # Errors
/// [`InvalidDate`]
pub fn check_date(text: &str) -> Result<(), InvalidDate> {
    let text = text.trim();
    let parts: Vec<&str> = text.split(['-', '/', '.']).map(str::trim).collect();
    let is_number = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let &[first, second, third] = parts.as_slice() else { return Ok(()) };
    if !parts.iter().all(is_number) {
        return Ok(());
    }
    let is_day = |year: &str, month: &str, day: &str| {
        let year = year.parse().ok().map(|y: i16| if year.len() < 3 { 2000 + y } else { y });
        let (month, day) = (month.parse().ok(), day.parse().ok());
        matches!((year, month, day), (Some(y), Some(m), Some(d)) if Date::new(y, m, d).is_ok())
    };
    let can_be = if first.len() > 2 {
        is_day(first, second, third)
    } else {
        is_day(third, second, first) || is_day(third, first, second)
    };
    if can_be { Ok(()) } else { Err(InvalidDate(text.to_owned())) }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Leap years as the Gregorian calendar has them (ISO 8601): 2024 and 2000, not 2026 or 1900.
    #[test]
    fn three_numbers_are_a_day_or_refused() {
        for day in ["2026-03-09", "2024-02-29", "2000-2-29", "9.3.2026", "3/29/2026", "29/3/26"] {
            assert_eq!(check_date(day), Ok(()), "{day}");
        }
        for day in
            ["2026-13-45", "2026-02-29", "1900-02-29", "2026-00-10", "13/32/2026", "99-99-99"]
        {
            assert!(check_date(day).is_err(), "{day}");
        }
        for words in ["", "9 March 2026", "spring class", "week 3-4", "a-b-c"] {
            assert_eq!(check_date(words), Ok(()), "{words}");
        }
    }
}
