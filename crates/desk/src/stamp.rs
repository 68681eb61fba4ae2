//! Whether a file is still as it was when it was read or written here.

use host::Host;
use serde_json::{Value, json};
use std::hash::Hasher as _;
use std::path::Path;

/// What a file was when it was last read or written here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DiskStamp {
    modified_ms: Option<u64>,
    length: usize,
    sum: u64,
}

/// What has become of a file since.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OnDisk {
    /// It holds the same bytes.
    Same,
    /// Something else has written it.
    Changed,
    /// It is gone.
    Gone,
}

impl DiskStamp {
    /// The stamp of a file that has just been read as, or written with, these bytes.
    pub fn of(path: &Path, bytes: &[u8], host: &dyn Host) -> Self {
        Self { modified_ms: host.modified(path), ..Self::of_bytes(bytes) }
    }

    /// The stamp of these bytes, whenever they were written: the file is read the next time.
    pub(crate) fn of_bytes(bytes: &[u8]) -> Self {
        Self { modified_ms: None, length: bytes.len(), sum: sum(bytes) }
    }

    /// As JSON, without the time: that is another on another disk.
    pub(crate) fn to_json(self) -> Value {
        json!({ "length": self.length, "sum": format!("{:016x}", self.sum) })
    }

    /// The stamp in such JSON.
    pub(crate) fn from_json(value: &Value) -> Option<Self> {
        let length = usize::try_from(value.get("length")?.as_u64()?).ok()?;
        let sum = u64::from_str_radix(value.get("sum")?.as_str()?, 16).ok()?;
        Some(Self { modified_ms: None, length, sum })
    }

    /// What has become of the file. Its time is asked first: a file that wasn't written since
    /// isn't read again, so this may be asked often. Bytes that were written again just as they
    /// were are no change.
    pub fn now(&mut self, path: &Path, host: &dyn Host) -> OnDisk {
        let modified_ms = host.modified(path);
        if modified_ms.is_some() && modified_ms == self.modified_ms {
            return OnDisk::Same;
        }
        let Ok(bytes) = host.read(path) else {
            // What can't be read may be anybody's.
            return if host.exists(path) { OnDisk::Changed } else { OnDisk::Gone };
        };
        if (bytes.len(), sum(&bytes)) == (self.length, self.sum) {
            self.modified_ms = modified_ms;
            return OnDisk::Same;
        }
        OnDisk::Changed
    }
}

/// A sum by which bytes are told apart: FNV-1a, 64 bits (offset basis and prime as published by
/// its authors; RFC 9923). The same on every machine, so it may stand in files.
pub(crate) fn sum(bytes: &[u8]) -> u64 {
    let mut hasher = fnv::FnvHasher::default();
    hasher.write(bytes);
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use host::MemoryHost;

    #[test]
    fn sums_are_those_published() {
        // Test vectors of FNV-1a, 64 bits, as published with it.
        assert_eq!(sum(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(sum(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(sum(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn a_change_by_something_else_is_seen() {
        let path = Path::new("/a.blank.json");
        let mut host = MemoryHost::default();
        host.write(path, b"one").unwrap();
        let mut stamp = DiskStamp::of(path, b"one", &host);
        assert_eq!(stamp.now(path, &host), OnDisk::Same);
        host.now_ms = 5;
        host.write(path, b"one").unwrap();
        assert_eq!(stamp.now(path, &host), OnDisk::Same, "written again just as it was");
        host.now_ms = 6;
        host.write(path, b"two").unwrap();
        assert_eq!(stamp.now(path, &host), OnDisk::Changed);
        assert_eq!(stamp.now(path, &host), OnDisk::Changed, "until it is read or written here");
        host.remove(path).unwrap();
        assert_eq!(stamp.now(path, &host), OnDisk::Gone);
    }
}
