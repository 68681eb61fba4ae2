//! Commands on a host in memory: what is typed is done or refused in words.

use host::MemoryHost;
use reckon::shop;
use std::ffi::OsString;
use std::path::Path;

/// Runs a command on a host in memory.
pub fn typed(words: &[&str], host: &mut MemoryHost) -> blankwright::Outcome {
    let words = std::iter::once("blankwright").chain(words.iter().copied()).map(OsString::from);
    let done = blankwright::run(words, host);
    assert!(done.code <= blankwright::FAILED);
    if done.code == blankwright::FAILED {
        assert!(!done.err.trim().is_empty(), "refused without a word");
    }
    done
}

/// The four readings of a proof, as they are typed, lines of a text: what is stored can be read
/// again, whatever it was, and a second proof counts with the first.
pub fn trim_any_readings(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let _ = sheets::check_date(text);
    let mut lines = text.lines().map(str::to_owned);
    let [name, across, up, rising, falling, again] =
        std::array::from_fn(|_| lines.next().unwrap_or_default());
    let paper = if again.len() % 2 == 0 { "letter" } else { "a4" };
    let mut host = MemoryHost::default();
    for across in [&across, &again] {
        let mut words = vec!["trim", name.as_str(), "--shop", "/s.json", "--paper", paper];
        for (key, reading) in
            [("--across", across), ("--up", &up), ("--rising", &rising), ("--falling", &falling)]
        {
            if !reading.is_empty() {
                words.extend([key, reading.as_str()]);
            }
        }
        let done = typed(&words, &mut host);
        if let Some(bytes) = host.files.get(Path::new("/s.json")) {
            let opened = shop::file::open(bytes).expect("what trim wrote is a shop");
            assert!(opened.faults.is_empty(), "{:?} after {}", opened.faults, done.out);
        }
    }
}
