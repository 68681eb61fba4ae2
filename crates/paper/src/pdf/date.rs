//! The day a file was made.

/// `2026-11-25` as `D:20261125` (ISO 32000-1, 7.9.4).
pub(super) fn pdf_date(date: &str) -> Option<String> {
    let parts: Vec<&str> = date.split('-').collect();
    let digits = |part: &str, length: usize| {
        part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    match parts[..] {
        [year, month, day] if digits(year, 4) && digits(month, 2) && digits(day, 2) => {
            let within =
                |part: &str, max: u8| part.parse::<u8>().is_ok_and(|n| (1..=max).contains(&n));
            (within(month, 12) && within(day, 31)).then(|| format!("D:{year}{month}{day}"))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_real_day_becomes_a_date() {
        assert_eq!(pdf_date("2026-11-25").as_deref(), Some("D:20261125"));
        for wrong in ["", "yesterday", "2026-13-01", "2026-00-10", "26-11-25", "2026-11-25T10"] {
            assert_eq!(pdf_date(wrong), None, "{wrong}");
        }
    }
}
