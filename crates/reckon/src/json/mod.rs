//! The stable JSON of `numbers`, `check`, `bar`, `materials` and `build`: plain structs that
//! `serde` writes and `schemars` describes. Lengths in mm, areas in mm², angles in degrees
//! counter-clockwise, places as `[x, y]`; what is not known is `null`. A field may be added, never
//! renamed; what its comment says is what the schema tells a reader.

mod blade;
mod build;
mod check;
mod cutting;
mod fit;
mod heat;
mod jigs;
mod materials;
mod nest;
mod profile;
mod scales;
mod scribe;
mod shaping;
mod sheath;

pub use build::Build;
pub use check::Check;
pub use materials::Materials;
pub use nest::Bars;

use crate::card::Card;
use crate::{Finding, MaterialLine, Nest, Reckoning};
use knife::Knife;
use kurbo::{Point, Rect};
use schemars::{JsonSchema, Schema, schema_for};
use serde::Serialize;
use serde_json::Value;

/// A place: x, y.
type Xy = [f64; 2];
/// A box: x0, y0, x1, y1.
type Bounds = [f64; 4];
/// A range: from, to.
type Range = [f64; 2];

/// Every number worked out for one blank (`blankwright numbers --json`). What needs an inside is
/// `null` while the outline crosses itself.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Numbers {
    /// Always `blankwright-numbers`.
    format: &'static str,
    /// Always 1: fields are added, never renamed.
    version: u32,
    /// The blank's name.
    name: String,
    /// Where a person reads coordinates from. No other field counts from there.
    origin: profile::Origin,
    /// The outline.
    profile: Option<profile::Profile>,
    /// The holes, in the order of the file.
    holes: Vec<profile::Hole>,
    /// The bar of steel and the blank on it.
    bar: profile::Bar,
    /// The bevel at the plunge line.
    bevel: Option<blade::Bevel>,
    /// Filing that bevel by hand.
    filing: Option<blade::Filing>,
    /// The scales.
    scales: Option<scales::Scales>,
    /// The jimping, when it lies on the outline.
    jimping: Option<shaping::Jimping>,
    /// The scallops, when the scales have room for them.
    scallops: Option<shaping::Scallops>,
    /// The handle's shape, when anything is stated of it.
    shaping: Option<shaping::Shaping>,
    /// The handle against sizes of hands, when there are scales.
    hand: Option<shaping::HandSizes>,
    /// The hollows of the underside behind the heel in which fingers lie, from the front on.
    finger_notches: Vec<shaping::FingerNotch>,
    /// Pins and glue.
    fit: Option<fit::Fit>,
    /// The chain of holes along the outline, in the bar's plane.
    drilling: Option<cutting::Drilling>,
    /// What to scribe on the bar.
    scribe: scribe::Scribe,
    /// The tang's weakest sections.
    tang: Option<blade::Tang>,
    /// Mass and balance of the steel alone, holes taken off.
    mass: Option<blade::Mass>,
    /// Mass and balance of the finished knife, when the materials of all its parts are chosen.
    whole: Option<blade::Whole>,
    /// The sharpened edge, when stated.
    sharpening: Option<blade::Sharpening>,
    /// Heat, temper and finish; temperatures in °C, hardness in HRC.
    heat: heat::Heat,
    /// What reaches into the tightest inside curve.
    inside: Option<blade::Inside>,
    /// The sheath, when it is stated and can be laid.
    sheath: Option<sheath::Sheath>,
    /// What the bench makes once for this knife.
    jigs: Option<jigs::Jigs>,
}

impl Numbers {
    /// All of it.
    pub fn of(knife: &Knife, reckoning: &Reckoning) -> Self {
        Self {
            format: "blankwright-numbers",
            version: 1,
            name: knife.name.clone(),
            origin: profile::Origin::of(knife, reckoning),
            profile: profile::Profile::of(knife, reckoning),
            holes: reckoning.holes.iter().map(profile::Hole::of).collect(),
            bar: profile::Bar::of(knife, reckoning),
            bevel: blade::Bevel::of(knife, reckoning),
            filing: reckoning.filing.as_ref().map(blade::Filing::of),
            scales: scales::Scales::of(knife, reckoning),
            jimping: reckoning.jimping.as_ref().map(shaping::Jimping::of),
            scallops: reckoning.scallops.as_ref().map(shaping::Scallops::of),
            shaping: reckoning.shaping.as_ref().map(shaping::Shaping::of),
            hand: reckoning.hand.as_ref().map(shaping::HandSizes::of),
            finger_notches: reckoning.finger_notches.iter().map(shaping::FingerNotch::of).collect(),
            fit: reckoning.fit.as_ref().map(fit::Fit::of),
            drilling: reckoning.chain.as_ref().map(cutting::Drilling::of),
            scribe: scribe::Scribe::of(knife, reckoning),
            tang: reckoning.tang.as_ref().map(blade::Tang::of),
            mass: reckoning.mass.as_ref().map(blade::Mass::of),
            whole: blade::Whole::of(reckoning),
            sharpening: reckoning.sharpening.as_ref().map(blade::Sharpening::of),
            heat: heat::Heat::of(knife, &reckoning.heat),
            inside: reckoning.inside.as_ref().map(blade::Inside::of),
            sheath: sheath::Sheath::of(reckoning),
            jigs: reckoning.jigs.as_ref().map(jigs::Jigs::of),
        }
    }
}

/// Every reading as JSON.
pub fn numbers_json(knife: &Knife, reckoning: &Reckoning) -> Value {
    value(&Numbers::of(knife, reckoning))
}

/// Every finding as JSON.
pub fn check_json(knife: &Knife, reckoning: &Reckoning) -> Value {
    value(&Check::of(knife, reckoning))
}

/// A laying of many blanks as JSON; `knives` are those it was made of.
pub fn nest_json(knives: &[&Knife], nest: &Nest) -> Value {
    value(&Bars::of(knives, nest))
}

/// The list of materials as JSON.
pub fn materials_json(knife: &Knife, lines: &[MaterialLine]) -> Value {
    value(&Materials::of(knife, lines))
}

/// The card of the build as JSON.
pub fn build_json(knife: &Knife, card: &Card) -> Value {
    value(&Build::of(knife, card))
}

/// The JSON Schemas (draft 2020-12) of what these commands write with `--json`, by the command.
pub fn schemas() -> [(&'static str, Schema); 5] {
    [
        ("numbers", schema_for!(Numbers)),
        ("check", schema_for!(Check)),
        ("bar", schema_for!(Bars)),
        ("materials", schema_for!(Materials)),
        ("build", schema_for!(Build)),
    ]
}

/// Structs of text, numbers and lists can always be held as JSON.
fn value(of: &impl Serialize) -> Value {
    serde_json::to_value(of).unwrap_or_default()
}

fn xy(p: Point) -> Xy {
    [p.x, p.y]
}

fn bounds(rect: Rect) -> Bounds {
    [rect.x0, rect.y0, rect.x1, rect.y1]
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Every `properties` entry of a schema and whether it says what it is.
    fn undescribed(schema: &Value, path: &str, found: &mut BTreeSet<String>) {
        if let Some(properties) = schema.get("properties").and_then(Value::as_object) {
            for (name, property) in properties {
                if property.get("description").is_none() {
                    found.insert(format!("{path}.{name}"));
                }
            }
        }
        for (name, part) in schema.as_object().into_iter().flatten() {
            undescribed(part, &format!("{path}/{name}"), found);
        }
    }

    #[test]
    fn every_field_says_what_it_is() {
        for (name, schema) in schemas() {
            let mut found = BTreeSet::new();
            undescribed(schema.as_value(), name, &mut found);
            assert_eq!(found, BTreeSet::new(), "{name}");
        }
    }
}
