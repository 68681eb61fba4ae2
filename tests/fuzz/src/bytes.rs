//! Files and texts of any bytes: no panic, and what a writer writes its reader reads.

use exchange::dxf_import::take_dxf;
use knife::svg_import::{ImportedOutline, import_svg};
use knife::{Knife, file};
use reckon::tables::Tables;
use reckon::{Reckoning, Shop, reckon, shop};
use units::{LengthUnit, parse_length, write_length};

/// A blank of more nodes than this is opened and saved only: reckoning with it is slow, not new.
const RECKONED_NODES: usize = 300;

/// A blank file: opened without a fault it saves to itself, and everything worked out from it is a
/// number.
pub fn open_any_bytes(data: &[u8]) {
    let Ok(opened) = file::open(data) else { return };
    if opened.faults.is_empty() {
        let saved = file::save_read_back(&opened.knife).expect("what was sound can be written");
        let again = file::open(&saved).expect("a blank");
        assert_eq!(again.knife, opened.knife, "saved and opened it is another");
        assert_eq!(file::save(&again.knife), saved);
    }
    if opened.knife.profile.nodes.len() <= RECKONED_NODES {
        is_sound(&opened.knife);
    }
}

/// Works everything out; no figure is without a number, and every sentence is one.
pub fn is_sound(knife: &Knife) -> Reckoning {
    let reckoning = reckon(knife, &Shop::default(), Tables::built_in());
    for group in reckon::readings(knife, &reckoning) {
        for reading in &group.readings {
            let text = reading.text(knife.unit);
            let broken = ["NaN", "inf"].iter().any(|word| text.split(' ').any(|w| w == *word));
            assert!(!broken, "{}: {text}", reading.name);
        }
    }
    for finding in &reckoning.findings {
        assert!(!finding.message().contains('\n'), "{}", finding.message());
    }
    // A number that is none has no form in JSON, and becomes null there.
    let json = reckon::numbers_json(knife, &reckoning).to_string();
    assert!(!json.is_empty());
    reckoning
}

/// A shop file: opened without a fault it saves to itself.
pub fn shop_any_bytes(data: &[u8]) {
    let Ok(opened) = shop::file::open(data) else { return };
    if opened.faults.is_empty() {
        let saved =
            shop::file::save_read_back(&opened.shop).expect("what was sound can be written");
        let again = shop::file::open(saved.as_bytes()).expect("a shop");
        assert_eq!(again.shop, opened.shop, "saved and opened it is another");
    }
}

/// What was taken from a drawing is a blank that can be written and read.
fn is_writable(taken: ImportedOutline) {
    let knife = taken.into_knife("fuzzed".to_owned(), Knife::empty().bar);
    let saved = file::save_read_back(&knife).expect("what was taken can be written");
    assert_eq!(
        file::open(&saved).expect("a blank").knife.profile.nodes.len(),
        knife.profile.nodes.len()
    );
}

/// A vector drawing.
pub fn svg_any_bytes(data: &[u8]) {
    if let Ok(taken) = import_svg(data) {
        is_writable(taken);
    }
}

/// A DXF drawing, its unit stated or not.
pub fn dxf_any_bytes(data: &[u8]) {
    let (first, rest) = data.split_first().map_or((0, data), |(first, rest)| (*first, rest));
    let unit = [None, Some(LengthUnit::Inch), Some(LengthUnit::Millimetre)][usize::from(first) % 3];
    for bytes in [rest, data] {
        if let Ok(drawing) = take_dxf(bytes, unit, 0.01) {
            is_writable(drawing.taken);
        }
    }
}

/// Lengths, angles, drills, masses and heats as they are typed: what is read is a number, and
/// written it reads as the same.
pub fn value_any_text(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    for unit in [LengthUnit::Inch, LengthUnit::Millimetre] {
        if let Ok(length) = parse_length(text, unit) {
            let mm = length.to_mm();
            assert!(mm.is_finite(), "{text:?}");
            if mm.abs() < 1e7 {
                let written = write_length(mm, unit);
                let again = parse_length(&written, unit).map(|length| length.to_mm());
                let again = again.unwrap_or_else(|why| panic!("{text:?} → {written:?}: {why}"));
                assert!(
                    (again - mm).abs() <= 2e-4 + 1e-9 * mm.abs(),
                    "{mm} → {written:?} → {again}"
                );
            }
        }
        let _ = units::parse_hole_size(text, unit);
    }
    if let Ok(drill) = units::parse_drill(text) {
        let shown = drill.to_string();
        assert_eq!(units::parse_drill(&shown), Ok(drill), "{text:?} → {shown:?}");
    }
    let _ = (units::parse_angle(text), units::parse_mass(text), units::parse_temperature(text));
}
