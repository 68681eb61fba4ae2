//! The shop file, `shop.json`: text in, shop out, with every fault told; and back.

mod printer;
mod steel;

use super::{BarOnHand, Chamber, DrillSet, InsideTool, LIMITS, Limits, PinOnHand, Saw, Shop};
use crate::tables::{InsideKind, Tables};
use knife::file::{
    Fault, Faults, Fields, JsonError, MAX_FIELDS, MAX_VALUES, Problem, Unreadable, json_for_people,
    json_reason, read_json, version,
};
use knife::limits as knife_limits;
use serde_json::{Map, Value, json};
use std::ops::RangeInclusive;

/// The file's usual name.
pub const NAME: &str = "shop.json";
/// The format's name inside the file.
const FORMAT: &str = "blankwright-shop";
/// The newest version written and read.
const NEWEST: u64 = 1;
/// Entries of any list of the shop.
pub const ENTRIES: RangeInclusive<usize> = 0..=500;
/// A tool's diameter, mm.
const TOOL_MM: RangeInclusive<f64> = 0.2..=500.0;
/// Thickness of abrasive paper, mm.
const PAPER_MM: RangeInclusive<f64> = 0.0..=5.0;
/// Width of a saw's cut, mm.
const KERF_MM: RangeInclusive<f64> = 0.05..=10.0;
/// Inside sizes of a chamber, mm.
const CHAMBER_MM: RangeInclusive<f64> = 5.0..=5000.0;
/// What a metre of bar may cost, in any money.
pub const PRICE_PER_M: RangeInclusive<f64> = 0.0..=1e6;
/// How many bars of one kind.
const COUNT: RangeInclusive<f64> = 1.0..=10_000.0;

const FIELDS: &[&str] = &[
    "format",
    "version",
    "name",
    "drill_sets",
    "drills",
    "inside_tools",
    "saws",
    "pins",
    "bars",
    "steels",
    "papers",
    "printers",
    "oven",
    "forge",
    "quench_tank",
    "limits",
];

/// What a shop file gave: the shop as far as it could be read, and all that was wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenedShop {
    /// The shop; what is missing stands at its default, what was faulty is left out.
    pub shop: Shop,
    /// The faults with their places, the first of them if there are very many. Empty for a sound
    /// file.
    pub faults: Vec<Fault>,
    /// How many faults there are besides.
    pub more_faults: usize,
}

/// Why a file is no shop file at all.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ShopFileError {
    /// There are no bytes, or only white space.
    #[error("it is empty; take an earlier copy, or leave it out for the usual shop")]
    Empty,
    /// The bytes are not JSON.
    #[error("it is not readable as JSON: {why} (line {line}, column {column}); correct it there")]
    NotJson {
        /// What the JSON reader says.
        why: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
    },
    /// Millions of values.
    #[error(
        "it holds more than {MAX_VALUES} values, or more than {MAX_FIELDS} fields in one place, \
         as no shop does; use an earlier copy"
    )]
    TooMuch,
    /// It is JSON, but of something else.
    #[error("it is JSON, but not a shop: its \"format\" should be \"blankwright-shop\"")]
    OtherFormat,
    /// No usable version number.
    #[error("its \"version\" should be a whole number such as 1")]
    NoVersion,
    /// Written by a later program.
    #[error("it is of version {found}, made by a newer Blankwright; this one reads up to {newest}")]
    Newer {
        /// Its version.
        found: u64,
        /// The newest this program reads.
        newest: u64,
    },
}

/// Reads a shop file. A partial one takes the defaults for the rest.
///
/// # Errors
/// [`ShopFileError`] only when the bytes are no shop file at all.
pub fn open(bytes: &[u8]) -> Result<OpenedShop, ShopFileError> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.trim_ascii().is_empty() {
        return Err(ShopFileError::Empty);
    }
    let mut faults = Faults::default();
    let value = read_json(bytes, &mut faults).map_err(|why| match why {
        JsonError::NotJson(error) => ShopFileError::NotJson {
            why: json_reason(&error),
            line: error.line(),
            column: error.column(),
        },
        JsonError::TooMuch => ShopFileError::TooMuch,
    })?;
    if value.get("format").and_then(Value::as_str) != Some(FORMAT) {
        return Err(ShopFileError::OtherFormat);
    }
    match value.get("version").and_then(version) {
        None | Some(0) => Err(ShopFileError::NoVersion),
        Some(1) => {
            let shop = read(&value, &mut faults);
            Ok(OpenedShop { shop, faults: faults.listed, more_faults: faults.more })
        }
        Some(found) => Err(ShopFileError::Newer { found, newest: NEWEST }),
    }
}

fn read(value: &Value, faults: &mut Faults) -> Shop {
    let mut shop = Shop::default();
    let Some(file) = Fields::open(value, "", FIELDS, faults) else { return shop };
    shop.name = file.text("name", knife_limits::NAME_CHARS, faults);
    read_words(&file, "drill_sets", &mut shop.drill_sets, faults, |text| {
        let at = DrillSet::LABELS.iter().position(|word| *word == text);
        at.and_then(|at| DrillSet::ALL.get(at).copied()).ok_or(DrillSet::LABELS)
    });
    one_of_each(&mut shop.drill_sets, faults);
    read_words(&file, "drills", &mut shop.drills, faults, |text| {
        let drill = Tables::built_in().drill(text).map(|drill| drill.name);
        drill.ok_or(&["a drill of the table such as #30, F, 5/32 or 3.2 mm"])
    });
    read_words(&file, "papers", &mut shop.papers, faults, |text| {
        let papers = Tables::built_in().papers();
        let known = papers.iter().any(|paper| paper.name.eq_ignore_ascii_case(text));
        if known {
            Ok(text.to_owned())
        } else {
            Err(&["a paper of the table such as letter or A4"])
        }
    });
    read_list(&file, "inside_tools", &mut shop.inside_tools, faults, read_tool);
    read_list(&file, "saws", &mut shop.saws, faults, read_saw);
    read_list(&file, "pins", &mut shop.pins, faults, read_pin);
    read_list(&file, "bars", &mut shop.bars, faults, read_bar);
    read_list(&file, "steels", &mut shop.steels, faults, steel::read);
    read_list(&file, "printers", &mut shop.printers, faults, printer::read);
    shop.oven = read_chamber(&file, "oven", faults);
    shop.forge = read_chamber(&file, "forge", faults);
    shop.quench_tank = read_chamber(&file, "quench_tank", faults);
    read_limits(&file, &mut shop.limits, faults);
    shop
}

/// A list of words; an absent one leaves the default.
fn read_words<T>(
    file: &Fields<'_>,
    key: &str,
    into: &mut Vec<T>,
    faults: &mut Faults,
    read: impl Fn(&str) -> Result<T, &'static [&'static str]>,
) {
    if file.get(key).is_none() {
        return;
    }
    into.clear();
    for (i, value) in file.list(key, &ENTRIES, faults).iter().enumerate() {
        let place = format!("{key}[{i}]");
        let Some(text) = value.as_str() else {
            let expected = "a word in quotes";
            faults.note(place, Problem::WrongKind { expected, found: short(&value.to_string()) });
            continue;
        };
        match read(text) {
            Ok(entry) => into.push(entry),
            Err(known) => faults.note(place, Problem::UnknownWord { found: short(text), known }),
        }
    }
}

/// Tells of a drill set that stands there twice, and keeps it once.
fn one_of_each(sets: &mut Vec<DrillSet>, faults: &mut Faults) {
    let mut once: Vec<DrillSet> = Vec::with_capacity(sets.len());
    for set in std::mem::take(sets) {
        if once.contains(&set) {
            let word = DrillSet::ALL.iter().position(|known| *known == set);
            let word = word.and_then(|at| DrillSet::LABELS.get(at)).copied().unwrap_or_default();
            faults.note(format!("drill_sets: \"{word}\""), Problem::Twice);
        } else {
            once.push(set);
        }
    }
    *sets = once;
}

/// A list of objects; an absent one leaves the default.
fn read_list<T>(
    file: &Fields<'_>,
    key: &str,
    into: &mut Vec<T>,
    faults: &mut Faults,
    read: impl Fn(&Value, &str, &mut Faults) -> Option<T>,
) {
    if file.get(key).is_none() {
        return;
    }
    into.clear();
    for (i, value) in file.list(key, &ENTRIES, faults).iter().enumerate() {
        into.extend(read(value, &format!("{key}[{i}]"), faults));
    }
}

fn read_tool(value: &Value, place: &str, faults: &mut Faults) -> Option<InsideTool> {
    let known = ["kind", "name", "diameter_mm", "measured_mm", "paper_mm"];
    let fields = Fields::open(value, place, &known, faults)?;
    let kind = fields.keyword("kind", InsideKind::LABELS, &InsideKind::ALL, faults);
    let name = fields.text("name", knife_limits::NAME_CHARS, faults);
    let diameter_mm = fields.number("diameter_mm", &TOOL_MM, faults);
    let measured_mm = fields.optional_number("measured_mm", &TOOL_MM, faults);
    let paper_mm = fields.optional_number("paper_mm", &PAPER_MM, faults).unwrap_or(0.0);
    let (kind, diameter_mm) = (kind?, diameter_mm?);
    Some(InsideTool { kind, name, diameter_mm, measured_mm, paper_mm })
}

fn read_saw(value: &Value, place: &str, faults: &mut Faults) -> Option<Saw> {
    let fields = Fields::open(value, place, &["name", "kerf_mm"], faults)?;
    let name = fields.text("name", knife_limits::NAME_CHARS, faults);
    let kerf_mm = fields.number("kerf_mm", &KERF_MM, faults)?;
    Some(Saw { name, kerf_mm })
}

fn read_pin(value: &Value, place: &str, faults: &mut Faults) -> Option<PinOnHand> {
    let fields = Fields::open(value, place, &["material", "diameter_mm"], faults)?;
    let material = fields.text("material", knife_limits::NAME_CHARS, faults);
    let diameter_mm = fields.number("diameter_mm", &knife_limits::DIAMETER_MM, faults)?;
    Some(PinOnHand { material, diameter_mm })
}

fn write_bar(bar: &BarOnHand) -> Value {
    let mut value = json!({
        "grade": bar.grade,
        "width_mm": bar.width_mm,
        "thickness_mm": bar.thickness_mm,
        "length_mm": bar.length_mm,
        "count": bar.count,
    });
    if let Some(price) = bar.price_per_m {
        value["price_per_m"] = json!(price);
    }
    value
}

fn read_bar(value: &Value, place: &str, faults: &mut Faults) -> Option<BarOnHand> {
    let known = ["grade", "width_mm", "thickness_mm", "length_mm", "count", "price_per_m"];
    let fields = Fields::open(value, place, &known, faults)?;
    let grade = fields.text("grade", knife_limits::NAME_CHARS, faults);
    let width = fields.number("width_mm", &knife_limits::BAR_WIDTH_MM, faults);
    let thickness = fields.number("thickness_mm", &knife_limits::BAR_THICKNESS_MM, faults);
    let length = fields.number("length_mm", &knife_limits::BAR_LENGTH_MM, faults);
    let count = fields.optional_number("count", &COUNT, faults).unwrap_or(1.0);
    if count.fract() > 0.0 {
        faults.note(fields.at("count"), Problem::NotWhole { value: count });
    }
    let price_per_m = fields.optional_number("price_per_m", &PRICE_PER_M, faults);
    Some(BarOnHand {
        price_per_m,
        grade,
        width_mm: width?,
        thickness_mm: thickness?,
        length_mm: length?,
        // In range as just read.
        count: count.round() as u32,
    })
}

fn read_chamber(file: &Fields<'_>, key: &str, faults: &mut Faults) -> Option<Chamber> {
    let value = file.get(key)?;
    let known = ["shape", "width_mm", "height_mm", "diameter_mm", "length_mm"];
    let fields = Fields::open(value, key, &known, faults)?;
    let is_round = fields.keyword("shape", &["box", "round"], &[false, true], faults)?;
    let idle: (&[&str], _) = if is_round {
        (&["width_mm", "height_mm"], "the shape is round")
    } else {
        (&["diameter_mm"], "the shape is box")
    };
    for key in idle.0.iter().filter(|key| fields.get(key).is_some()) {
        faults.note(fields.at(key), Problem::Unused { beside: idle.1 });
    }
    let length_mm = fields.number("length_mm", &CHAMBER_MM, faults);
    if is_round {
        let diameter_mm = fields.number("diameter_mm", &CHAMBER_MM, faults);
        return Some(Chamber::Round { diameter_mm: diameter_mm?, length_mm: length_mm? });
    }
    let width_mm = fields.number("width_mm", &CHAMBER_MM, faults);
    let height_mm = fields.number("height_mm", &CHAMBER_MM, faults);
    Some(Chamber::Box { width_mm: width_mm?, height_mm: height_mm?, length_mm: length_mm? })
}

fn read_limits(file: &Fields<'_>, limits: &mut Limits, faults: &mut Faults) {
    let Some(value) = file.get("limits") else { return };
    let known: Vec<&str> = LIMITS.iter().map(|row| row.key).collect();
    let Some(fields) = Fields::open(value, "limits", &known, faults) else { return };
    for row in LIMITS {
        if let Some(value) = fields.optional_number(row.key, &row.range, faults) {
            *(row.slot)(limits) = value;
        }
    }
    for (lower, upper) in Limits::IN_ORDER {
        let value = |key: &str| Limits::row(key).map_or(0.0, |row| (row.get)(limits));
        let (low, high) = (value(lower), value(upper));
        if low > high && lower == "web_stop_mm" && fields.get(lower).is_none() {
            // It came later than the limit beside it: an older file says nothing of it.
            limits.keep_in_order(upper);
        } else if low > high {
            let problem = Problem::Above { value: low, other: upper, max: high };
            faults.note(fields.at(lower), problem);
            limits.keep_in_order(lower);
        }
    }
}

fn short(text: &str) -> String {
    let shown = |sign: char| if sign.is_control() { ' ' } else { sign };
    text.chars().take(40).map(shown).collect()
}

/// Writes a shop as indented JSON. Limits are written where they differ from their defaults.
pub fn save(shop: &Shop) -> String {
    let usual = Limits::default();
    let limits: Map<String, Value> = (LIMITS.iter())
        .filter(|row| (row.get)(&shop.limits).to_bits() != (row.get)(&usual).to_bits())
        .map(|row| (row.key.to_owned(), (row.get)(&shop.limits).into()))
        .collect();
    let sets = DrillSet::ALL.iter().zip(DrillSet::LABELS);
    let sets: Vec<&str> =
        sets.filter(|(set, _)| shop.drill_sets.contains(set)).map(|(_, word)| *word).collect();
    json_for_people(&json!({
        "format": FORMAT,
        "version": NEWEST,
        "name": shop.name,
        "drill_sets": sets,
        "drills": shop.drills.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "inside_tools": shop.inside_tools.iter().map(|tool| json!({
            "kind": tool.kind.label(),
            "name": tool.name,
            "diameter_mm": tool.diameter_mm,
            "measured_mm": tool.measured_mm,
            "paper_mm": tool.paper_mm,
        })).collect::<Vec<_>>(),
        "saws": shop.saws.iter().map(|saw| json!({
            "name": saw.name,
            "kerf_mm": saw.kerf_mm,
        })).collect::<Vec<_>>(),
        "pins": shop.pins.iter().map(|pin| json!({
            "material": pin.material,
            "diameter_mm": pin.diameter_mm,
        })).collect::<Vec<_>>(),
        "bars": shop.bars.iter().map(write_bar).collect::<Vec<_>>(),
        "steels": shop.steels.iter().map(steel::write).collect::<Vec<_>>(),
        "papers": shop.papers,
        "printers": shop.printers.iter().map(printer::write).collect::<Vec<_>>(),
        "oven": shop.oven.map(chamber),
        "forge": shop.forge.map(chamber),
        "quench_tank": shop.quench_tank.map(chamber),
        "limits": limits,
    }))
}

/// The same, read back: what a writer writes, the reader reads.
///
/// # Errors
/// [`Unreadable`] with the first fault that [`open`] finds in it.
pub fn save_read_back(shop: &Shop) -> Result<String, Unreadable> {
    let text = save(shop);
    let opened = open(text.as_bytes()).map_err(|why| Unreadable(why.to_string()))?;
    match opened.faults.first() {
        Some(fault) => Err(Unreadable(fault.to_string())),
        None => Ok(text),
    }
}

fn chamber(chamber: Chamber) -> Value {
    match chamber {
        Chamber::Box { width_mm, height_mm, length_mm } => json!({
            "shape": "box",
            "width_mm": width_mm,
            "height_mm": height_mm,
            "length_mm": length_mm,
        }),
        Chamber::Round { diameter_mm, length_mm } => json!({
            "shape": "round",
            "diameter_mm": diameter_mm,
            "length_mm": length_mm,
        }),
    }
}

#[cfg(test)]
mod tests;
