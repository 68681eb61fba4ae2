//! The sheath, as a file holds it.

use super::fields::{Faults, Fields};
use super::values::word;
use crate::{
    BeltLoop, FormedSheath, Hand, LeatherSheath, Sheath, SheathBody, SheathKind, ThumbRamp, limits,
};
use serde_json::{Map, Value};
use std::ops::RangeInclusive;
use units::LengthUnit;

const SHARED: [&str; 10] = [
    "kind",
    "hand",
    "cover_mm",
    "clearance_mm",
    "relief_mm",
    "close_fit",
    "drain_mm",
    "thickness_mm",
    "neutral",
    "material",
];
const LEATHER: [&str; 6] = [
    "welt_width_mm",
    "welt_thickness_mm",
    "stitch_pitch_mm",
    "stitch_margin_mm",
    "belt_mm",
    "loop_width_mm",
];
const FORMED: [&str; 8] = [
    "eyelet_mm",
    "eyelet_pitch_mm",
    "eyelet_offset_mm",
    "eyelet_margin_mm",
    "clip_mm",
    "ramp_width_mm",
    "ramp_rise_mm",
    "allowance_mm",
];

/// Takes a number that must be there; a faulty one leaves the usual.
fn set(
    slot: &mut f64,
    fields: &Fields<'_>,
    key: &str,
    range: &RangeInclusive<f64>,
    faults: &mut Faults,
) {
    if let Some(mm) = fields.number(key, range, faults) {
        *slot = mm;
    }
}

/// The sheath, if there is one; what is faulty of it stands as usual, one of no known kind is left
/// out.
pub(super) fn read(file: &Fields<'_>, unit: LengthUnit, faults: &mut Faults) -> Option<Sheath> {
    let value = file.get("sheath")?;
    let word = value.get("kind").and_then(Value::as_str);
    let known = SheathKind::ALL.into_iter().find(|kind| Some(kind.label()) == word);
    let own: &[&str] = if known.is_none_or(SheathKind::is_leather) { &LEATHER } else { &FORMED };
    let fields = Fields::open(value, "sheath", &[&SHARED[..], own].concat(), faults)?;
    let kind = fields.keyword("kind", SheathKind::LABELS, &SheathKind::ALL, faults)?;
    let mut sheath = Sheath::usual(kind, unit);
    sheath.hand =
        fields.optional_keyword("hand", Hand::LABELS, &Hand::ALL, faults).unwrap_or_default();
    set(&mut sheath.cover_mm, &fields, "cover_mm", &limits::COVER_MM, faults);
    set(&mut sheath.clearance_mm, &fields, "clearance_mm", &limits::CLEARANCE_MM, faults);
    set(&mut sheath.thickness_mm, &fields, "thickness_mm", &limits::SHEATH_THICKNESS_MM, faults);
    sheath.relief_mm =
        fields.optional_number("relief_mm", &limits::RELIEF_MM, faults).unwrap_or(0.0);
    sheath.close_fit = fields.flag("close_fit", faults);
    sheath.drain_mm = fields.optional_number("drain_mm", &limits::EYELET_MM, faults);
    sheath.neutral = fields.optional_number("neutral", &limits::NEUTRAL, faults);
    sheath.material = fields.optional_text("material", limits::NAME_CHARS, faults);
    match &mut sheath.body {
        SheathBody::Leather(leather) => read_leather(leather, &fields, unit, faults),
        SheathBody::Formed(formed) => read_formed(formed, &fields, faults),
    }
    Some(sheath)
}

fn read_leather(
    leather: &mut LeatherSheath,
    fields: &Fields<'_>,
    unit: LengthUnit,
    faults: &mut Faults,
) {
    set(&mut leather.welt_width_mm, fields, "welt_width_mm", &limits::WELT_WIDTH_MM, faults);
    leather.welt_thickness_mm =
        fields.optional_number("welt_thickness_mm", &limits::WELT_THICKNESS_MM, faults);
    set(&mut leather.stitch_pitch_mm, fields, "stitch_pitch_mm", &limits::STITCH_PITCH_MM, faults);
    let max_mm = leather.welt_width_mm.min(*limits::ROW_MM.end());
    leather.stitch_margin_mm = leather.stitch_margin_mm.min(max_mm);
    let in_welt = *limits::ROW_MM.start()..=max_mm;
    set(&mut leather.stitch_margin_mm, fields, "stitch_margin_mm", &in_welt, faults);
    let usual = BeltLoop::usual(unit);
    let belt = fields.optional_number("belt_mm", &limits::BELT_MM, faults);
    let width = fields.optional_number("loop_width_mm", &limits::BELT_MM, faults);
    let any = belt.is_some() || width.is_some();
    leather.loop_for = any.then(|| BeltLoop {
        belt_mm: belt.unwrap_or(usual.belt_mm),
        width_mm: width.unwrap_or(usual.width_mm),
    });
}

fn read_formed(formed: &mut FormedSheath, fields: &Fields<'_>, faults: &mut Faults) {
    set(&mut formed.eyelet_mm, fields, "eyelet_mm", &limits::EYELET_MM, faults);
    set(&mut formed.eyelet_pitch_mm, fields, "eyelet_pitch_mm", &limits::EYELET_PITCH_MM, faults);
    set(&mut formed.eyelet_offset_mm, fields, "eyelet_offset_mm", &limits::ROW_MM, faults);
    set(&mut formed.eyelet_margin_mm, fields, "eyelet_margin_mm", &limits::ROW_MM, faults);
    set(&mut formed.allowance_mm, fields, "allowance_mm", &limits::LEFT_OVER_MM, faults);
    formed.clip_mm = fields.optional_number("clip_mm", &limits::EYELET_PITCH_MM, faults);
    if fields.get("ramp_width_mm").or(fields.get("ramp_rise_mm")).is_some() {
        let width = fields.number("ramp_width_mm", &limits::RAMP_MM, faults);
        let rise = fields.number("ramp_rise_mm", &limits::RAMP_MM, faults);
        formed.ramp = width.zip(rise).map(|(width_mm, rise_mm)| ThumbRamp { width_mm, rise_mm });
    }
}

/// The sheath; what stands as it does by itself is left out.
pub(super) fn write(sheath: &Sheath) -> Value {
    let mut map = Map::new();
    let mut put = |key: &str, value: Value| map.insert(key.into(), value);
    put("kind", sheath.kind().label().into());
    put("hand", word(Hand::LABELS, &Hand::ALL, sheath.hand).into());
    put("cover_mm", sheath.cover_mm.into());
    put("clearance_mm", sheath.clearance_mm.into());
    if sheath.relief_mm != 0.0 {
        put("relief_mm", sheath.relief_mm.into());
    }
    if sheath.close_fit {
        put("close_fit", true.into());
    }
    let mut may = |key: &str, value: Option<f64>| {
        if let Some(value) = value {
            put(key, value.into());
        }
    };
    may("drain_mm", sheath.drain_mm);
    may("thickness_mm", Some(sheath.thickness_mm));
    may("neutral", sheath.neutral);
    match &sheath.body {
        SheathBody::Leather(leather) => {
            may("welt_width_mm", Some(leather.welt_width_mm));
            may("welt_thickness_mm", leather.welt_thickness_mm);
            may("stitch_pitch_mm", Some(leather.stitch_pitch_mm));
            may("stitch_margin_mm", Some(leather.stitch_margin_mm));
            may("belt_mm", leather.loop_for.map(|own| own.belt_mm));
            may("loop_width_mm", leather.loop_for.map(|own| own.width_mm));
        }
        SheathBody::Formed(formed) => {
            may("eyelet_mm", Some(formed.eyelet_mm));
            may("eyelet_pitch_mm", Some(formed.eyelet_pitch_mm));
            may("eyelet_offset_mm", Some(formed.eyelet_offset_mm));
            may("eyelet_margin_mm", Some(formed.eyelet_margin_mm));
            may("clip_mm", formed.clip_mm);
            may("ramp_width_mm", formed.ramp.map(|ramp| ramp.width_mm));
            may("ramp_rise_mm", formed.ramp.map(|ramp| ramp.rise_mm));
            may("allowance_mm", Some(formed.allowance_mm));
        }
    }
    if let Some(material) = &sheath.material {
        map.insert("material".into(), material.as_str().into());
    }
    Value::Object(map)
}

#[cfg(test)]
mod tests {
    use crate::edit::strategies;
    use crate::file::{open, save};
    use proptest::prelude::*;

    fn with(sheath: &str) -> crate::file::Opened {
        let text = String::from_utf8(save(&crate::STARTERS[2].knife())).unwrap();
        let text = text.replacen('{', &format!("{{ \"sheath\": {sheath},"), 1);
        open(text.as_bytes()).unwrap()
    }

    const LEATHER: &str = r#""cover_mm": 30, "clearance_mm": 1, "thickness_mm": 3,
        "welt_width_mm": 12, "stitch_pitch_mm": 4, "stitch_margin_mm": 4"#;

    #[test]
    fn faults_of_a_sheath_are_told_and_the_rest_is_kept() {
        for (part, expected) in [
            (
                format!(r#"{{ "kind": "tin", {LEATHER} }}"#),
                "sheath.kind is \"tin\"; it must be one of folded leather, two-sided leather",
            ),
            (
                format!(r#"{{ "kind": "folded leather", {LEATHER}, "neutral": 2 }}"#),
                "sheath.neutral is 2; it must lie between 0 and 1",
            ),
            (
                format!(r#"{{ "kind": "folded leather", {LEATHER}, "eyelet_mm": 6 }}"#),
                "sheath.eyelet_mm is not a field of this format",
            ),
            (
                LEATHER.replace("\"thickness_mm\": 3,", "\"kind\": \"folded leather\","),
                "sheath.thickness_mm is missing; give it a number",
            ),
            (
                format!(
                    r#"{{ "kind": "folded leather", {} }}"#,
                    LEATHER.replace("margin_mm\": 4", "margin_mm\": 14")
                ),
                "sheath.stitch_margin_mm is 14; it must lie between 0.5 and 12",
            ),
        ] {
            let part = if part.starts_with('{') { part } else { format!("{{ {part} }}") };
            let opened = with(&part);
            let message: Vec<String> = opened.faults.iter().map(ToString::to_string).collect();
            assert!(message.len() == 1 && message[0].starts_with(expected), "{part}: {message:?}");
            assert_eq!(opened.knife.sheath.is_some(), !part.contains("tin"), "{part}");
        }
        assert_eq!(with("7").faults.len(), 1);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn a_sheath_written_is_read_the_same(sheath in strategies::sheath()) {
            let mut knife = crate::STARTERS[2].knife();
            knife.sheath = Some(sheath);
            let opened = open(&save(&knife)).unwrap();
            prop_assert_eq!(opened.faults, vec![]);
            prop_assert_eq!(opened.knife, knife);
        }
    }
}
