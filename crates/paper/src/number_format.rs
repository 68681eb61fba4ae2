//! The one place where a number becomes text in an output file.

/// Decimals kept, and the parts of one they count.
const DECIMALS: usize = 6;
const PARTS: f64 = 1e6;
/// Whole numbers below this are exact in a float.
const EXACT: f64 = 9e15;

/// The shortest text that is within half a millionth of `value`: at most six decimals, no
/// trailing zeros, no exponent, never "-0".
pub fn number(value: f64) -> String {
    let parts = (value * PARTS).round();
    if parts.abs() < EXACT {
        #[expect(clippy::cast_possible_truncation, reason = "far below the largest whole number")]
        return plain(parts as i64);
    }
    let mut text = format!("{value:.DECIMALS$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    text
}

fn plain(parts: i64) -> String {
    let digits = parts.unsigned_abs().to_string();
    let mut text = String::with_capacity(digits.len() + 3);
    if parts < 0 {
        text.push('-');
    }
    let whole = digits.len().saturating_sub(DECIMALS);
    text.push_str(if whole == 0 { "0" } else { &digits[..whole] });
    let rest = &digits[whole..];
    let kept = rest.trim_end_matches('0');
    if !kept.is_empty() {
        text.push('.');
        text.extend(std::iter::repeat_n('0', DECIMALS - rest.len()));
        text.push_str(kept);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn short_and_plain() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (-1e-9, "0"),
            (100.0, "100"),
            (0.5, "0.5"),
            (1.0 / 3.0, "0.333333"),
            (-2.50, "-2.5"),
            (1e9, "1000000000"),
            (0.000_123, "0.000123"),
            (-0.05, "-0.05"),
            (10.01, "10.01"),
            (1e17, "100000000000000000"),
        ] {
            assert_eq!(number(value), text);
        }
    }

    proptest! {
        #[test]
        fn reads_back(value in -1e5..1e5f64) {
            let back: f64 = number(value).parse().unwrap();
            prop_assert!((back - value).abs() <= 0.5001e-6);
        }
    }
}
