//! Streams of the file, deflated.

use crate::PaperError;
use flate2::{Compression, write::ZlibEncoder};
use lopdf::{Dictionary, Stream};
use std::io::{self, Write as _};

/// Half the time of the best level, and a file larger by a few hundredths.
const LEVEL: Compression = Compression::new(6);

/// A stream with this dictionary and these bytes, deflated (ISO 32000-1, 7.4.4).
pub(super) fn packed(mut dictionary: Dictionary, bytes: &[u8]) -> Result<Stream, PaperError> {
    let deflated = deflated(bytes).map_err(lopdf::Error::IO)?;
    dictionary.set("Filter", "FlateDecode");
    Ok(Stream::new(dictionary, deflated))
}

fn deflated(bytes: &[u8]) -> io::Result<Vec<u8>> {
    let mut encoder = ZlibEncoder::new(Vec::new(), LEVEL);
    encoder.write_all(bytes)?;
    encoder.finish()
}
