//! `blankwright_fuzz::trim_any_readings` under libFuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| blankwright_fuzz::trim_any_readings(data));
