//! `desk_any_recovery` under libFuzzer.
#![no_main]

#[path = "../src/desk_paths.rs"]
mod desk_paths;

libfuzzer_sys::fuzz_target!(|data: &[u8]| desk_paths::desk_any_recovery(data));
