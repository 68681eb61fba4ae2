//! `schema`: the JSON Schema of what a command writes with `--json`.

use super::json_text;
use crate::{Failure, Outcome};

pub(super) fn run(of: &str) -> Result<Outcome, Failure> {
    let schemas = reckon::schemas();
    let known: Vec<&str> = schemas.iter().map(|(name, _)| *name).collect();
    let schema = schemas.iter().find(|(name, _)| *name == of).ok_or_else(|| Failure::Unknown {
        what: "schema",
        found: of.to_owned(),
        known: known.join(", "),
    })?;
    Ok(Outcome { out: json_text(schema.1.as_value()), ..Outcome::default() })
}
