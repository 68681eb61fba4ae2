//! Files put together in a ZIP archive, the same bytes for the same files.
//!
//! ISO/IEC 21320-1 (the plain part of ZIP that document formats use): deflated entries, a central
//! directory, no dates but the earliest there is.

use flate2::write::DeflateEncoder;
use flate2::{Compression, Crc};
use std::io::{self, Write as _};

/// Version needed to extract: deflated entries.
const VERSION: u16 = 20;
const DEFLATED: u16 = 8;
/// 1 January 1980.
const FIRST_DAY: u16 = 0x21;

/// The archive of these files, in this order.
pub(crate) fn zipped(files: &[(&str, &[u8])]) -> io::Result<Vec<u8>> {
    let (mut out, mut directory) = (Vec::new(), Vec::new());
    for (name, data) in files {
        let mut packer = DeflateEncoder::new(Vec::new(), Compression::default());
        packer.write_all(data)?;
        let packed = packer.finish()?;
        let mut crc = Crc::new();
        crc.update(data);
        let begins = size(out.len())?;
        let mut record = Vec::new();
        // Flags, method, time, date.
        [0, DEFLATED, 0, FIRST_DAY].iter().for_each(|v: &u16| record.extend(v.to_le_bytes()));
        for v in [crc.sum(), size(packed.len())?, size(data.len())?] {
            record.extend(v.to_le_bytes());
        }
        let name_bytes = u16::try_from(name.len()).map_err(io::Error::other)?;
        record.extend(name_bytes.to_le_bytes());
        record.extend(0_u16.to_le_bytes());
        out.extend(b"PK\x03\x04");
        out.extend(VERSION.to_le_bytes());
        out.extend(&record);
        out.extend(name.as_bytes());
        out.extend(&packed);
        directory.extend(b"PK\x01\x02");
        [VERSION, VERSION].iter().for_each(|v| directory.extend(v.to_le_bytes()));
        directory.extend(&record);
        // Comment, disk, internal attributes; external ones.
        directory.extend([0; 10]);
        directory.extend(begins.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let (begins, long) = (size(out.len())?, size(directory.len())?);
    let count = u16::try_from(files.len()).map_err(io::Error::other)?;
    out.extend(&directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    [count, count].iter().for_each(|v| out.extend(v.to_le_bytes()));
    [long, begins].iter().for_each(|v| out.extend(v.to_le_bytes()));
    out.extend([0; 2]);
    Ok(out)
}

fn size(bytes: usize) -> io::Result<u32> {
    u32::try_from(bytes).map_err(io::Error::other)
}
