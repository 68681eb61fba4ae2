//! What is fuzzed, one function a target: each takes any bytes and panics where a law is broken.
//! `desk_paths.rs` and `pictures.rs` stand outside, each with its target, so that this is built
//! without a desk and without pictures. `tests/tests/fuzz_replay.rs` runs the same functions on everything in `corpus` and on seeds that
//! are spoilt by rule, in every `cargo test`.

mod bytes;
mod knives;

pub use bytes::{
    dxf_any_bytes, open_any_bytes, shop_any_bytes, svg_any_bytes, trim_any_readings, value_any_text,
};
pub use knives::{edit_any_sequence, print_any_knife};

/// A target: its name, and what it does.
pub type Target = (&'static str, fn(&[u8]));

/// Every target but those of the desk and of pictures.
pub const TARGETS: [Target; 8] = [
    ("open_any_bytes", open_any_bytes),
    ("shop_any_bytes", shop_any_bytes),
    ("svg_any_bytes", svg_any_bytes),
    ("dxf_any_bytes", dxf_any_bytes),
    ("value_any_text", value_any_text),
    ("trim_any_readings", trim_any_readings),
    ("edit_any_sequence", edit_any_sequence),
    ("print_any_knife", print_any_knife),
];
