//! What is fuzzed, one function a target: each takes any bytes and panics where a law is broken.
//! Here stand those that need nothing that takes long to compile; commands, knives, pictures and the
//! desk are modules of their own targets. `tests/tests/fuzz_replay.rs` runs the same functions on
//! everything in `corpus` and on seeds that are spoilt by rule, in every `cargo test`.

pub mod bytes;

/// A target: its name, and what it does.
pub type Target = (&'static str, fn(&[u8]));

/// Every target of this library.
pub const TARGETS: [Target; 5] = [
    ("open_any_bytes", bytes::open_any_bytes),
    ("shop_any_bytes", bytes::shop_any_bytes),
    ("svg_any_bytes", bytes::svg_any_bytes),
    ("dxf_any_bytes", bytes::dxf_any_bytes),
    ("value_any_text", bytes::value_any_text),
];
