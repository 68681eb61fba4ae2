//! What the handle is made of, as a file holds it.

use super::fields::{Faults, Fields};
use crate::{Handle, limits};
use serde_json::{Map, Value};

pub(super) fn read(file: &Fields<'_>, faults: &mut Faults) -> Handle {
    let Some(value) = file.get("handle") else { return Handle::default() };
    let known = ["scales", "pins", "glue_mm"];
    let Some(fields) = Fields::open(value, "handle", &known, faults) else {
        return Handle::default();
    };
    Handle {
        scales: fields.optional_text("scales", limits::NAME_CHARS, faults),
        pins: fields.optional_text("pins", limits::NAME_CHARS, faults),
        glue_mm: fields.optional_number("glue_mm", &limits::GLUE_MM, faults),
    }
}

/// The handle; `None` when nothing of it is chosen.
pub(super) fn write(handle: &Handle) -> Option<Value> {
    let mut map = Map::new();
    for (key, name) in [("scales", &handle.scales), ("pins", &handle.pins)] {
        if let Some(name) = name {
            map.insert(key.into(), name.as_str().into());
        }
    }
    if let Some(mm) = handle.glue_mm {
        map.insert("glue_mm".into(), mm.into());
    }
    (!map.is_empty()).then_some(Value::Object(map))
}
