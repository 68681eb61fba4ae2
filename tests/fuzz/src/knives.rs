//! Knives of any kind, and whatever may be done to them.

use super::bytes::is_sound;
use super::commands::typed;
use arbitrary::{Result, Unstructured};
use host::MemoryHost;
use knife::{
    Bevel, ChainDrilling, Edit, GrindLine, Hand, HandleSide, History, HoleId, HoleKind, Knife,
    NodeId, Placement, STARTERS, Scales, Sharpening, Sheath, SheathBody, SheathKind, Swedge, Taper,
    file,
};
use kurbo::{Point, Vec2};
use serde_json::Value;
use std::path::Path;
use units::LengthUnit;

/// Numbers at which something may change.
const NUMBERS: [f64; 18] = [
    0.0, -0.0, 1e-12, 1e-6, 0.001, 0.1, 0.5, 1.0, 3.0, 5.0, 25.4, 90.0, 180.0, 200.0, 1e4, 1e7,
    -1.0, -50.0,
];

/// What is printed at once.
const SHEETS: [&str; 8] =
    ["profile", "drilling", "bevels", "scales,strips", "bar", "plan", "heat,build", "sheath,jigs"];

/// A starter or a sample, and the edits of [`any_edit`] on it: undo leads back, redo forth again, and
/// the file holds all of it, and every figure of the end is one. One in eight is printed, one of
/// [`SHEETS`]: all at once take longer than everything else here together.
pub fn edit_any_sequence(data: &[u8]) {
    let _ = edited(&mut Unstructured::new(data));
}

fn edited(u: &mut Unstructured<'_>) -> Result<()> {
    let first = STARTERS[u.choose_index(STARTERS.len())?].knife();
    let printed_sheets = if u.ratio(1, 8)? { Some(*u.choose(&SHEETS)?) } else { None };
    let mut history = History::new(first.clone());
    let mut states = vec![first];
    while states.len() < 12 && !u.is_empty() {
        let edit = any_edit(u, history.knife())?;
        if history.edit(&edit).is_ok() && **history.knife() != states[states.len() - 1] {
            states.push(Knife::clone(history.knife()));
        }
    }
    let last = states[states.len() - 1].clone();
    let saved = file::save_read_back(&last).unwrap_or_else(|why| panic!("an edit made {why}"));
    assert_eq!(file::open(&saved).expect("a blank").knife, last, "saved and opened it is another");
    for state in states.iter().rev().skip(1) {
        assert!(history.undo().is_some());
        assert_eq!(**history.knife(), *state, "undo");
    }
    assert!(history.undo().is_none());
    while history.redo().is_some() {}
    assert_eq!(**history.knife(), last, "redo");
    is_sound(&last);
    if let Some(sheets) = printed_sheets {
        printed(&last, sheets, "letter");
    }
    Ok(())
}

/// A number at which something may change, or any near the blank.
fn number(u: &mut Unstructured<'_>) -> Result<f64> {
    Ok(match u.int_in_range(0..=3)? {
        0 => *u.choose(&NUMBERS)?,
        1 => f64::from(u.int_in_range(-3000..=3000)?) / 10.0,
        2 => f64::from(u.int_in_range(-2_000_000..=2_000_000)?) / 1e5,
        _ => u.arbitrary::<f64>()?,
    })
}

fn point(u: &mut Unstructured<'_>) -> Result<Point> {
    Ok(Point::new(number(u)?, number(u)?))
}

fn words(u: &mut Unstructured<'_>) -> Result<String> {
    let count = u.int_in_range(0..=260)?;
    let sign = *u.choose(&['x', 'Ω', '\n', '"', '\u{301}', ' '])?;
    Ok(std::iter::repeat_n(sign, count).collect())
}

/// Anything a maker may do, to parts that are there and to some that aren't.
fn any_edit(u: &mut Unstructured<'_>, knife: &Knife) -> Result<Edit> {
    let nodes: Vec<NodeId> = knife.profile.nodes.iter().map(|node| node.id).collect();
    let node = if nodes.is_empty() || u.ratio(1, 20)? {
        NodeId(u.arbitrary()?)
    } else {
        *u.choose(&nodes)?
    };
    let holes: Vec<HoleId> = knife.holes.iter().map(|hole| hole.id).collect();
    let hole = if holes.is_empty() || u.ratio(1, 20)? {
        HoleId(u.arbitrary()?)
    } else {
        *u.choose(&holes)?
    };
    let kind = *u.choose(&HoleKind::ALL)?;
    Ok(match u.int_in_range(0..=31)? {
        0 => Edit::Rename(words(u)?),
        1 => Edit::SetNotes(words(u)?),
        2 => Edit::SetUnit(*u.choose(&[LengthUnit::Inch, LengthUnit::Millimetre])?),
        3 => Edit::SetBar {
            grade: words(u)?,
            width_mm: number(u)?,
            thickness_mm: number(u)?,
            length_mm: number(u)?,
        },
        4 => Edit::Place(Placement { at: point(u)?, turn_deg: number(u)? }),
        5 => Edit::MoveNodes { nodes: vec![node], by: Vec2::new(number(u)?, number(u)?) },
        6 => Edit::PlaceNode { node, to: point(u)? },
        7 => Edit::MoveHandle {
            node,
            side: if u.arbitrary()? { HandleSide::In } else { HandleSide::Out },
            to: point(u)?,
        },
        8 => Edit::AddNode { stretch: node, t: number(u)? },
        9 => Edit::RemoveNode(node),
        10 => Edit::MakeCorner(node),
        11 => Edit::MakeSmooth(node),
        12 => Edit::Straighten { stretch: node },
        13 => Edit::Bend { stretch: node },
        14 => Edit::RoundCorner { node, radius_mm: number(u)? },
        15 => Edit::InsertNotch {
            stretch: node,
            t: number(u)?,
            diameter_mm: number(u)?,
            depth_mm: number(u)?,
            lip_radius_mm: number(u)?,
        },
        16 => Edit::MarkTip(node),
        17 => Edit::MarkHeel(node),
        18 => Edit::TakeProfile(STARTERS[u.choose_index(STARTERS.len())?].knife().profile),
        19 => Edit::MirrorAcross,
        20 => Edit::MirrorAlong,
        21 => Edit::Turn(number(u)?),
        22 => Edit::ScaleToLength(number(u)?),
        23 => Edit::AddHole {
            name: words(u)?,
            kind,
            at: point(u)?,
            diameter_mm: number(u)?,
            drill: if u.arbitrary()? { Some(words(u)?) } else { None },
            pin_mm: if u.arbitrary()? { Some(number(u)?) } else { None },
        },
        24 => Edit::SizeHole { hole, diameter_mm: number(u)?, drill: None, pin_mm: None },
        25 => Edit::MoveHole { hole, to: point(u)? },
        26 => Edit::SetBevel(knife.bevel.map_or_else(
            || Ok(None),
            |bevel| {
                Ok(Some(Bevel {
                    plunge_x_mm: number(u)?,
                    grind_height_mm: number(u)?,
                    edge_thickness_mm: number(u)?,
                    ..bevel
                }))
            },
        )?),
        27 => {
            let count = u.int_in_range(0..=6)?;
            let points = (0..count).map(|_| point(u)).collect::<Result<_>>()?;
            Edit::SetGrindLine(GrindLine::Through(points))
        }
        28 => Edit::SetTaper(Some(Taper { from_x_mm: number(u)?, tip_mm: number(u)? })),
        29 => Edit::SetSwedge(Some(Swedge {
            from_x_mm: number(u)?,
            height_mm: number(u)?,
            thickness_mm: number(u)?,
        })),
        30 => Edit::SetScales(Some(Scales { front_x_mm: number(u)?, thickness_mm: number(u)? })),
        _ => match u.int_in_range(0..=3)? {
            0 => Edit::SetSharpening(Some(Sharpening { angle_deg: number(u)?, edge_mm: None })),
            1 => Edit::SetCutting(Some(ChainDrilling {
                drill_mm: number(u)?,
                drill: None,
                bridge_mm: number(u)?,
                leave_mm: number(u)?,
            })),
            2 => Edit::SetSheath(Some(any_sheath(u)?)),
            _ => Edit::RemoveHole(hole),
        },
    })
}

/// A sheath of any kind, some of its numbers changed.
fn any_sheath(u: &mut Unstructured<'_>) -> Result<Sheath> {
    let mut sheath = Sheath::usual(*u.choose(&SheathKind::ALL)?, LengthUnit::Millimetre);
    sheath.close_fit = u.arbitrary()?;
    sheath.hand = *u.choose(&Hand::ALL)?;
    match u.int_in_range(0..=6)? {
        0 => sheath.cover_mm = number(u)?,
        1 => sheath.clearance_mm = number(u)?,
        2 => sheath.relief_mm = number(u)?,
        3 => sheath.thickness_mm = number(u)?,
        4 => sheath.drain_mm = Some(number(u)?),
        5 => sheath.neutral = Some(number(u)?),
        _ => match &mut sheath.body {
            SheathBody::Leather(leather) => {
                leather.welt_width_mm = number(u)?;
                leather.stitch_margin_mm = number(u)?;
                leather.stitch_pitch_mm = number(u)?;
            }
            SheathBody::Formed(formed) => {
                formed.eyelet_offset_mm = number(u)?;
                formed.eyelet_pitch_mm = number(u)?;
                formed.clip_mm = Some(number(u)?);
            }
        },
    }
    Ok(sheath)
}

/// A starter's file, some of its values replaced, left out or doubled; what is still a blank is
/// printed on some paper.
pub fn print_any_knife(data: &[u8]) {
    let _ = spoilt_and_printed(&mut Unstructured::new(data));
}

fn spoilt_and_printed(u: &mut Unstructured<'_>) -> Result<()> {
    let starter = STARTERS[u.choose_index(STARTERS.len())?].knife();
    let bytes = file::save(&starter);
    let mut value: Value = serde_json::from_slice(&bytes).expect("JSON");
    for _ in 0..u.int_in_range(1..=6)? {
        spoil(u, &mut value)?;
    }
    let sheets = if u.ratio(1, 9)? { "all" } else { *u.choose(&SHEETS)? };
    let paper = *u.choose(&["letter", "a5", "a4", "a0", "140x400mm", "roll:610mm"])?;
    let Ok(opened) = file::open(value.to_string().as_bytes()) else { return Ok(()) };
    if opened.faults.is_empty() {
        is_sound(&opened.knife);
        printed(&opened.knife, sheets, paper);
    }
    Ok(())
}

fn printed(knife: &Knife, sheets: &str, paper: &str) {
    let mut host = MemoryHost::default();
    host.files.insert("/a.blank.json".into(), file::save(knife));
    let words = ["print", "/a.blank.json", "--sheets", sheets, "--paper", paper, "--out", "/o.pdf"];
    let done = typed(&words, &mut host);
    match host.files.get(Path::new("/o.pdf")) {
        Some(pdf) => assert!(done.code < blankwright::FAILED && pdf.starts_with(b"%PDF")),
        None => assert_eq!(done.code, blankwright::FAILED, "{}", done.out),
    }
}

/// Changes one value somewhere in a JSON text.
fn spoil(u: &mut Unstructured<'_>, value: &mut Value) -> Result<()> {
    match value {
        Value::Object(map) if !map.is_empty() => {
            let keys: Vec<String> = map.keys().cloned().collect();
            let key = u.choose(&keys)?.clone();
            if u.ratio(1, 12)? {
                map.remove(&key);
                return Ok(());
            }
            map.get_mut(&key).map_or(Ok(()), |value| spoil(u, value))
        }
        Value::Array(list) if !list.is_empty() => {
            let at = u.choose_index(list.len())?;
            match u.int_in_range(0..=12)? {
                0 => drop(list.remove(at)),
                1 => {
                    let again = list[at].clone();
                    list.insert(at, again);
                }
                2 => {
                    let other = u.choose_index(list.len())?;
                    list.swap(at, other);
                }
                _ => return spoil(u, &mut list[at]),
            }
            Ok(())
        }
        Value::Number(old) => {
            let old = old.as_f64().unwrap_or_default();
            let new = match u.int_in_range(0..=2)? {
                0 => old + f64::from(u.int_in_range(-200..=200)?) / 50.0,
                1 => old * number(u)?,
                _ => number(u)?,
            };
            *value = serde_json::Number::from_f64(new).map_or(Value::Null, Value::Number);
            Ok(())
        }
        Value::String(text) => {
            *text = words(u)?;
            Ok(())
        }
        other => {
            *other = Value::Bool(u.arbitrary()?);
            Ok(())
        }
    }
}
