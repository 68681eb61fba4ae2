//! A day of the calendar from the clock.

/// The milliseconds of a day.
const DAY_MS: u64 = 86_400_000;

/// The day of a time since 1970 (UTC, Gregorian calendar) as ISO 8601 writes it: `2026-03-09`.
pub(crate) fn of_ms(ms: u64) -> String {
    let mut days = ms / DAY_MS;
    let mut year = 1970_u64;
    // Whole spans of 400 years are all as long; what is left is counted year by year.
    year += 400 * (days / 146_097);
    days %= 146_097;
    while days >= length_of(year) {
        days -= length_of(year);
        year += 1;
    }
    let february = if is_leap(year) { 29 } else { 28 };
    let mut month = 1;
    for length in [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    format!("{year:04}-{month:02}-{:02}", days + 1)
}

fn length_of(year: u64) -> u64 {
    if is_leap(year) { 366 } else { 365 }
}

fn is_leap(year: u64) -> bool {
    year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Days worked out by Python's datetime.
    #[test]
    fn days_are_those_of_the_calendar() {
        for (ms, day) in [
            (0, "1970-01-01"),
            (86_399_999, "1970-01-01"),
            (951_782_400_000, "2000-02-29"),
            (1_709_164_800_000, "2024-02-29"),
            (1_767_225_599_000, "2025-12-31"),
            (4_107_542_400_000, "2100-03-01"),
            (32_503_680_000_000, "3000-01-01"),
        ] {
            assert_eq!(of_ms(ms), day);
        }
        // No clock can make it hang.
        assert!(of_ms(u64::MAX).ends_with(|c: char| c.is_ascii_digit()));
    }
}
