//! `blankwright_fuzz::edit_any_sequence` under libFuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| blankwright_fuzz::edit_any_sequence(data));
