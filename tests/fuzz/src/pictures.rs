//! Pictures of any bytes.

/// A picture of more pixels than this is decoded only.
const TRACED_PIXELS: usize = 60_000;

/// A picture, traced by whatever is found in it.
pub fn picture_any_bytes(data: &[u8]) {
    let Ok(picture) = trace::decode(data) else { return };
    if picture.gray.width() * picture.gray.height() > TRACED_PIXELS {
        return;
    }
    for squaring in [trace::Squaring::Auto, trace::Squaring::Density(Some(100.0))] {
        let options = trace::TraceOptions { squaring, ..trace::TraceOptions::default() };
        if let Ok(traced) = trace::trace(&picture, &options) {
            assert!(traced.outline.area().is_finite());
        }
    }
}
