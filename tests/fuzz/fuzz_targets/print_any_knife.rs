//! `blankwright_fuzz::print_any_knife` under libFuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| blankwright_fuzz::print_any_knife(data));
