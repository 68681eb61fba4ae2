//! `schema`: the JSON Schema of what a command writes with `--json`.

use super::{json_of, papers::Papers, starters::Starters, trim::KeptTrim};
use crate::{Failure, Outcome};
use schemars::{Schema, schema_for};

/// The schemas of every command that writes JSON, by the command.
pub(crate) fn schemas() -> Vec<(&'static str, Schema)> {
    let own = [
        ("papers", schema_for!(Papers)),
        ("starters", schema_for!(Starters)),
        ("trim", schema_for!(KeptTrim)),
    ];
    reckon::schemas().into_iter().chain(own).collect()
}

pub(super) fn run(of: &str) -> Result<Outcome, Failure> {
    let schemas = schemas();
    let known: Vec<&str> = schemas.iter().map(|(name, _)| *name).collect();
    let schema = schemas.iter().find(|(name, _)| *name == of).ok_or_else(|| Failure::Unknown {
        what: "schema",
        found: of.to_owned(),
        known: known.join(", "),
    })?;
    Ok(Outcome { out: json_of(&schema.1), ..Outcome::default() })
}
