//! The one place where a number becomes text in an output file.

/// Powers of ten, by the number of decimals.
const SCALES: [f64; 7] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];
/// Whole numbers below this are exact in a float.
const EXACT: f64 = 9e15;

/// The shortest text that is within half a millionth of `value`: at most six decimals, no
/// trailing zeros, no exponent, never "-0".
pub fn number(value: f64) -> String {
    rounded(value, 6)
}

/// The shortest text within half a unit of the given decimal.
pub(crate) fn rounded(value: f64, decimals: usize) -> String {
    match scaled(value, decimals) {
        Some(units) => plain(units, decimals),
        None => {
            let mut text = format!("{value:.decimals$}");
            if text.contains('.') {
                text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
            }
            if text == "-0" { "0".into() } else { text }
        }
    }
}

/// The value in whole units of its last decimal; `None` for what is too large to be told so.
fn scaled(value: f64, decimals: usize) -> Option<i64> {
    let scale = SCALES.get(decimals)?;
    let units = (value * scale).round();
    #[expect(clippy::cast_possible_truncation, reason = "far below the largest whole number")]
    (units.abs() < EXACT).then_some(units as i64)
}

fn plain(units: i64, decimals: usize) -> String {
    let digits = units.unsigned_abs().to_string();
    let mut text = String::with_capacity(digits.len() + 3);
    if units < 0 {
        text.push('-');
    }
    let whole = digits.len().saturating_sub(decimals);
    text.push_str(if whole == 0 { "0" } else { &digits[..whole] });
    let rest = &digits[whole..];
    let zeros = decimals - rest.len();
    let kept = rest.trim_end_matches('0');
    if !kept.is_empty() {
        text.push('.');
        text.extend(std::iter::repeat_n('0', zeros));
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
