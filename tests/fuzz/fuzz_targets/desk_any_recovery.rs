//! `blankwright_fuzz::desk_any_recovery` under libFuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| blankwright_fuzz::desk_any_recovery(data));
