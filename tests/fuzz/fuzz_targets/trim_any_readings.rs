//! `trim_any_readings` under libFuzzer.
#![no_main]

#[path = "../src/commands.rs"]
mod commands;

libfuzzer_sys::fuzz_target!(|data: &[u8]| commands::trim_any_readings(data));
