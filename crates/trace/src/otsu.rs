//! The threshold between dark and light.

/// Otsu's threshold of a histogram: the bin at which splitting into bins up to it and bins above
/// it makes the variance between the two classes largest (Otsu 1979, "A threshold selection
/// method from gray-level histograms"). `None` when fewer than two bins hold anything.
pub fn otsu(histogram: &[u64]) -> Option<usize> {
    let total: u64 = histogram.iter().sum();
    let weighted =
        |bins: &[u64]| -> f64 { bins.iter().enumerate().map(|(i, n)| i as f64 * *n as f64).sum() };
    let sum = weighted(histogram);
    let (mut below, mut sum_below) = (0_u64, 0.0);
    let mut best: Option<(f64, usize)> = None;
    for (bin, count) in histogram.iter().enumerate() {
        below += count;
        sum_below += bin as f64 * *count as f64;
        let above = total - below;
        if below == 0 || above == 0 {
            continue;
        }
        let difference = sum_below / below as f64 - (sum - sum_below) / above as f64;
        let between = below as f64 * above as f64 * difference * difference;
        if best.is_none_or(|(most, _)| between > most) {
            best = Some((between, bin));
        }
    }
    best.map(|(_, bin)| bin)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against scikit-image's `threshold_otsu` on the same histograms.
    #[test]
    fn scikit_image_finds_the_same() {
        let reference: serde_json::Value = serde_json::from_str(crate::REFERENCE).unwrap();
        let cases = reference["otsu"].as_array().unwrap();
        assert!(cases.len() >= 5);
        for case in cases {
            let histogram: Vec<u64> =
                case["histogram"].as_array().unwrap().iter().map(|v| v.as_u64().unwrap()).collect();
            assert_eq!(otsu(&histogram).map(|bin| bin as u64), case["bin"].as_u64());
        }
        assert_eq!(otsu(&[0, 0, 9, 0]), None);
        assert_eq!(otsu(&[]), None);
    }
}
