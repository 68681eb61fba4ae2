//! Numbers as a sentence shows them: no more figures than a person needs.

/// Places that are shown where they suffice.
const PLACES: usize = 4;
/// More places than this say nothing any more.
const MAX_PLACES: usize = 15;

/// A number in as few places as show on which side of its limits it lies, and that it isn't zero.
pub(crate) fn format_against(value: f64, limits: &[f64]) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    if value.abs() >= 1e12 {
        return format!("{value:e}");
    }
    let tells = |text: &String| {
        let shown: f64 = text.parse().unwrap_or(f64::NAN);
        let same = |limit: &f64| shown.total_cmp(limit) == value.total_cmp(limit);
        (shown != 0.0 || value == 0.0) && limits.iter().all(same)
    };
    let places = |n: usize| trimmed(&format!("{value:.n$}"));
    (PLACES..MAX_PLACES).map(places).find(tells).unwrap_or_else(|| places(MAX_PLACES))
}

/// The least allowed, never shown as less than it is.
pub(crate) fn format_min(limit: f64) -> String {
    format_against((limit * 1e3 - 1e-6).ceil() / 1e3, &[])
}

/// The most allowed, never shown as more than it is.
pub(crate) fn format_max(limit: f64) -> String {
    format_against((limit * 1e3 + 1e-6).floor() / 1e3, &[])
}

fn trimmed(text: &str) -> String {
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_few_figures_as_tell() {
        assert_eq!(format_against(38.099_999_999_999_994, &[30.0]), "38.1");
        assert_eq!(format_against(38.100_4, &[38.1]), "38.1004");
        assert_eq!(format_against(-0.000_02, &[]), "-0.00002");
        assert_eq!(format_against(500.0, &[0.1, 38.1]), "500");
        assert_eq!(format_against(-0.0, &[]), "0");
        assert_eq!(format_against(1e300, &[1.0]), "1e300");
        assert_eq!(
            (format_max(30.000_000_4), format_min(0.1)),
            ("30".to_owned(), "0.1".to_owned())
        );
        assert_eq!(format_max(12.345_678_9), "12.345");
        assert_eq!(format_min(12.345_678_9), "12.346");
    }
}
