//! `open_any_bytes` under libFuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| blankwright_fuzz::bytes::open_any_bytes(data));
