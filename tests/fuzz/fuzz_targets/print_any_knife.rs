//! `print_any_knife` under libFuzzer.
#![no_main]

use blankwright_fuzz::bytes;

#[allow(dead_code, reason = "it serves other targets too")]
#[path = "../src/commands.rs"]
mod commands;
#[allow(dead_code, reason = "it serves other targets too")]
#[path = "../src/knives.rs"]
mod knives;

libfuzzer_sys::fuzz_target!(|data: &[u8]| knives::print_any_knife(data));
