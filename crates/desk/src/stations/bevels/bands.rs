//! What is usual for a use: told as a caution, never more.

/// A use, and from which value to which it is usual.
type Band = (&'static str, f64, f64);

/// Angle a side of bevels ground on both faces, degrees (common practice, no source).
const GRIND_DEG: [Band; 3] =
    [("a slicer", 1.0, 2.5), ("a field knife", 2.5, 4.0), ("a chopper", 4.0, 6.5)];
/// The same of a bevel ground on one face alone (common practice, no source).
const ONE_SIDED_DEG: [Band; 1] = [("a blade ground on one side", 10.0, 12.5)];
/// Angle a side of the final edge, degrees (common practice, no source).
const EDGE_DEG: [Band; 3] =
    [("a slicer", 12.0, 17.0), ("a field knife", 17.0, 22.0), ("a chopper", 22.0, 28.0)];

/// What the angle of a bevel is usual for.
pub(super) fn grind(angle_deg: f64, both: bool) -> String {
    band_text(angle_deg, if both { &GRIND_DEG } else { &ONE_SIDED_DEG })
}

/// What the angle of a final edge is usual for.
pub(super) fn edge(angle_deg: f64) -> String {
    band_text(angle_deg, &EDGE_DEG)
}

fn band_text(value: f64, bands: &[Band]) -> String {
    let says = |band: &Band, how: &str| {
        let (name, low, high) = band;
        format!("{how} {name}: {low}° to {high}° per side (common practice, no source).")
    };
    let is = |band: &&Band| (band.1..=band.2).contains(&value);
    let ends = bands.first().zip(bands.last());
    match (bands.iter().find(is), ends) {
        (Some(band), _) => says(band, "Usual for"),
        (None, Some((first, _))) if value < first.1 => says(first, "Less than is usual for"),
        (None, Some((_, last))) => says(last, "More than is usual for"),
        (None, None) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_angle_has_its_use_or_lies_outside_them_all() {
        assert!(grind(2.0, true).starts_with("Usual for a slicer: 1° to 2.5° per side"));
        assert!(grind(3.0, true).starts_with("Usual for a field knife"));
        assert!(grind(0.5, true).starts_with("Less than is usual for a slicer"));
        assert!(grind(9.0, true).starts_with("More than is usual for a chopper"));
        assert!(grind(11.0, false).starts_with("Usual for a blade ground on one side"));
        assert!(edge(20.0).contains("a field knife: 17° to 22° per side"));
        // The bands of a kind meet without a gap.
        for bands in [GRIND_DEG, EDGE_DEG] {
            assert!(bands.windows(2).all(|pair| pair[0].2 == pair[1].1));
        }
    }
}
