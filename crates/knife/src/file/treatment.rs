//! What is chosen for fire, oven and abrasives, as a file holds it.

use super::fault::Problem;
use super::fields::{Faults, Fields};
use crate::{Finish, Heating, Temper, Treatment, limits};
use serde_json::{Map, Value};

pub(super) fn read(file: &Fields<'_>, faults: &mut Faults) -> Treatment {
    let none = Treatment::default();
    let Some(value) = file.get("treatment") else { return none };
    let known = ["hardness_hrc", "temper_c", "finish", "heating"];
    let Some(fields) = Fields::open(value, "treatment", &known, faults) else { return none };
    let hardness = fields.optional_number("hardness_hrc", &limits::HARDNESS_HRC, faults);
    let heat = fields.optional_number("temper_c", &limits::TEMPER_C, faults);
    if let (Some(_), Some(found)) = (hardness, heat) {
        // One follows from the other: which of the two is meant can't be told.
        let expected = "left out beside hardness_hrc (one of the two is chosen)";
        let problem = Problem::WrongKind { expected, found: found.to_string() };
        faults.note(fields.at("temper_c"), problem);
    }
    Treatment {
        temper: hardness.map(Temper::Hardness).or(heat.map(Temper::Heat)),
        finish: fields.optional_keyword("finish", Finish::LABELS, &Finish::ALL, faults),
        heating: fields.optional_keyword("heating", Heating::LABELS, &Heating::ALL, faults),
    }
}

/// The treatment; `None` when nothing of it is chosen.
pub(super) fn write(treatment: &Treatment) -> Option<Value> {
    let mut map = Map::new();
    match treatment.temper {
        Some(Temper::Hardness(hrc)) => map.insert("hardness_hrc".into(), hrc.into()),
        Some(Temper::Heat(celsius)) => map.insert("temper_c".into(), celsius.into()),
        None => None,
    };
    if let Some(finish) = treatment.finish {
        map.insert("finish".into(), finish.label().into());
    }
    if let Some(heating) = treatment.heating {
        map.insert("heating".into(), heating.label().into());
    }
    (!map.is_empty()).then_some(Value::Object(map))
}
