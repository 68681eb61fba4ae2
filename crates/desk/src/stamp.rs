//! Whether a file is still as it was when it was read or written here.

use host::{FileError, FileProblem, Host};
use serde_json::{Value, json};
use std::hash::Hasher as _;
use std::path::Path;

/// What a file was when it was last read or written here. Its time says nothing: some disks tell it
/// to two seconds, and another program may set it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DiskStamp {
    length: usize,
    sum: u64,
}

impl DiskStamp {
    /// The stamp of a file that has just been read as, or written with, these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self { length: bytes.len(), sum: sum(bytes) }
    }

    /// As JSON.
    pub(crate) fn to_json(self) -> Value {
        json!({ "length": self.length, "sum": format!("{:016x}", self.sum) })
    }

    /// The stamp in such JSON.
    pub(crate) fn from_json(value: &Value) -> Option<Self> {
        let length = usize::try_from(value.get("length")?.as_u64()?).ok()?;
        let sum = u64::from_str_radix(value.get("sum")?.as_str()?, 16).ok()?;
        Some(Self { length, sum })
    }

    /// Whether something else has written the file since. One that is gone is no change, nor are
    /// bytes that were written again just as they were.
    ///
    /// # Errors
    /// [`FileError`] when it is there and can't be read: it may hold anything.
    pub fn is_changed(self, path: &Path, host: &dyn Host) -> Result<bool, FileError> {
        match host.read(path) {
            Ok(bytes) => Ok(Self::of(&bytes) != self),
            Err(why) if why.problem == FileProblem::NotFound => Ok(false),
            Err(why) => Err(why),
        }
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
        let stamp = DiskStamp::of(b"one");
        assert_eq!(stamp.is_changed(path, &host), Ok(false));
        host.now_ms = 5;
        host.write(path, b"one").unwrap();
        assert_eq!(stamp.is_changed(path, &host), Ok(false), "written again just as it was");
        // Within the time that a disk tells apart.
        host.write(path, b"two").unwrap();
        assert_eq!(stamp.is_changed(path, &host), Ok(true));
        assert_eq!(stamp.is_changed(path, &host), Ok(true), "until it is read or written here");
        host.remove(path).unwrap();
        assert_eq!(stamp.is_changed(path, &host), Ok(false), "gone");
        host.problems.insert(path.to_owned(), FileProblem::Forbidden);
        assert!(stamp.is_changed(path, &host).is_err());
    }
}
