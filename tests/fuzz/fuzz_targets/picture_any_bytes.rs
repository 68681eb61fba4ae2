//! `picture_any_bytes` under libFuzzer.
#![no_main]

#[path = "../src/pictures.rs"]
mod pictures;

libfuzzer_sys::fuzz_target!(|data: &[u8]| pictures::picture_any_bytes(data));
