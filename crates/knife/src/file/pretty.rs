//! Writes JSON for people: small objects and points on one line, the rest indented.

use serde_json::Value;
use std::fmt::Write as _;

/// Widest object or list that is put on one line, in characters.
const ONE_LINE: usize = 120;

/// The value as indented text, ending in a newline.
pub fn write(value: &Value) -> String {
    let mut out = String::new();
    put(value, 0, &mut out);
    out.push('\n');
    out
}

fn put(value: &Value, depth: usize, out: &mut String) {
    let line = one_line(value);
    if is_flat(value, depth) && line.len() + 2 * depth <= ONE_LINE {
        out.push_str(&line);
        return;
    }
    let inner = "  ".repeat(depth + 1);
    match value {
        Value::Object(map) if !map.is_empty() => {
            out.push('{');
            for (i, (key, value)) in map.iter().enumerate() {
                let comma = if i == 0 { "" } else { "," };
                let _ = write!(out, "{comma}\n{inner}{}: ", Value::from(key.as_str()));
                put(value, depth + 1, out);
            }
            let _ = write!(out, "\n{}}}", "  ".repeat(depth));
        }
        Value::Array(list) if !list.is_empty() => {
            out.push('[');
            for (i, value) in list.iter().enumerate() {
                let comma = if i == 0 { "" } else { "," };
                let _ = write!(out, "{comma}\n{inner}");
                put(value, depth + 1, out);
            }
            let _ = write!(out, "\n{}]", "  ".repeat(depth));
        }
        _ => out.push_str(&line),
    }
}

/// Whether a value may stand on one line: no list of objects, and not the file itself.
fn is_flat(value: &Value, depth: usize) -> bool {
    match value {
        Value::Object(map) => depth > 0 && map.values().all(|v| !v.is_object() && is_flat(v, 1)),
        Value::Array(list) => list.iter().all(|v| !v.is_object() && !v.is_array()),
        _ => true,
    }
}

fn one_line(value: &Value) -> String {
    match value {
        Value::Object(map) if map.is_empty() => "{}".to_owned(),
        Value::Object(map) => {
            let fields: Vec<String> = map
                .iter()
                .map(|(key, v)| format!("{}: {}", Value::from(key.as_str()), one_line(v)))
                .collect();
            format!("{{ {} }}", fields.join(", "))
        }
        Value::Array(list) => {
            let entries: Vec<String> = list.iter().map(one_line).collect();
            format!("[{}]", entries.join(", "))
        }
        other => other.to_string(),
    }
}
