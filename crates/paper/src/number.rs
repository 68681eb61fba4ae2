//! The one place where a number becomes text in an output file.

/// The shortest text that is within half a millionth of `value`: at most six decimals, no
/// trailing zeros, no exponent, never "-0".
pub fn number(value: f64) -> String {
    rounded(value, 6)
}

/// The shortest text within half a unit of the given decimal.
pub(crate) fn rounded(value: f64, decimals: usize) -> String {
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".into() } else { text }
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
