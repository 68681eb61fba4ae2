//! A first look at a DXF file: whether it is one, and what it says that the library passes over in
//! silence, such as kinds of entities it doesn't know, and frozen layers.
//!
//! The library gets to see only what an outline is read from. What else a file may hold (dates,
//! thumbnails, groups in groups, data of other programs) it would read whole, without bounds.

use super::entity::MAX_ENTITIES;
use super::pairs::{Next, Pair, Pairs, whole};
use super::{Counts, DxfFault};

/// Kinds that are read, or told by what becomes of them, or only belong to others.
const KNOWN: &[&str] = &[
    "LINE",
    "3DLINE",
    "ARC",
    "CIRCLE",
    "ELLIPSE",
    "LWPOLYLINE",
    "POLYLINE",
    "VERTEX",
    "SEQEND",
    "SPLINE",
    "INSERT",
    "ATTRIB",
    "SECTION",
    "ENDSEC",
    "EOF",
];
/// Kinds told one by one; a file may name thousands that nobody knows.
const MAX_KINDS: usize = 30;

/// The most places that are read of all of them, corners of polylines counted.
const MAX_VERTICES: usize = 250_000;
/// Variables of the header that are read.
const VARIABLES: &[&[u8]] = &[b"$ACADVER", b"$INSUNITS"];

/// What the library passes over, and what it is given to read.
#[derive(Debug, Default)]
pub(super) struct Scan {
    /// Kinds of entities of the entities section that aren't read, with their counts.
    pub(super) unread: Counts,
    /// The pairs as text, frozen layers turned off, with a remark of as many lines for each pair that isn't read, so that
    /// faults are told at the file's own lines.
    pub(super) text: Vec<u8>,
    /// Whether those lines are the file's own.
    pub(super) has_lines: bool,
}

/// The part of a file that a pair stands in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Section {
    /// Of no use, or not named yet.
    Other,
    /// The header, and whether the variable is one that is read.
    Header(bool),
    Tables,
    Blocks,
    Entities,
}

/// The record of a table that a pair stands in.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Layer {
    /// It is of another kind.
    None,
    Thawed,
    Frozen,
}

/// Looks through the pairs of code and value.
pub(super) fn scan(bytes: &[u8]) -> Result<Scan, DxfFault> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(DxfFault::NoBytes);
    }
    let mut pairs = Pairs::new(bytes);
    let mut found = Scan { has_lines: !pairs.is_binary(), ..Scan::default() };
    let mut section = Section::Other;
    let (mut in_group, mut opens) = (false, false);
    let (mut count, mut entities) = (0_usize, 0_usize);
    let mut vertices = [0_usize; 50];
    let mut layer = Layer::None;
    loop {
        let here = found.has_lines.then_some(2 * count + 1);
        let Pair { code, value } = match pairs.next() {
            Next::Pair(pair) => pair,
            Next::End => break,
            Next::Fault if count == 0 && found.has_lines => return Err(DxfFault::NotDxf),
            Next::Fault => return Err(super::fault::faulty_at(here)),
        };
        count += 1;
        // The library reads other signs in these, and would see another kind than is seen here.
        let is_seen = section != Section::Other;
        if code == 0 && is_seen && value.iter().any(|byte| matches!(byte, b'\\' | b'^')) {
            return Err(super::fault::faulty_at(here));
        }
        let names_section = code == 2 && opens;
        if names_section {
            section = match &*value {
                b"HEADER" => Section::Header(false),
                b"TABLES" => Section::Tables,
                b"BLOCKS" => Section::Blocks,
                b"ENTITIES" => Section::Entities,
                _ => Section::Other,
            };
            if section == Section::Other {
                found.pass_over();
            } else {
                found.keep(0, b"SECTION");
            }
        } else if opens {
            // A section without a name.
            return Err(super::fault::faulty_at(here));
        }
        opens = code == 0 && *value == *b"SECTION";
        if opens {
            // It is kept with its name, if that is one that is read.
            continue;
        }
        // The library keeps each of them, as many as there are.
        entities += usize::from(code == 0 && *value != *b"VERTEX");
        let of_code = usize::try_from(code - 10).ok().and_then(|of| vertices.get_mut(of));
        let too_many = of_code.is_some_and(|of| {
            *of += 1;
            // A curve has some more knots than places.
            *of > if code == 10 { MAX_VERTICES } else { 2 * MAX_VERTICES }
        });
        if entities > MAX_ENTITIES || too_many {
            return Err(DxfFault::TooManyEntities { limit: MAX_ENTITIES });
        }
        let in_entities = section == Section::Entities;
        if code == 0 && in_entities {
            let kind = String::from_utf8_lossy(&value).into_owned();
            let unread = &mut found.unread;
            let is_told = unread.contains_key(&kind) || unread.len() < MAX_KINDS;
            if !KNOWN.contains(&kind.as_str()) && is_told {
                *unread.entry(kind).or_insert(0) += 1;
            }
        }
        match code {
            0 if *value == *b"LAYER" && section == Section::Tables => layer = Layer::Thawed,
            0 => layer = Layer::None,
            70 if layer == Layer::Thawed && whole(&value).is_some_and(|flags| flags & 1 == 1) => {
                layer = Layer::Frozen;
                // The library tells a colour below zero, and not this flag.
                found.keep(62, b"-7");
                continue;
            }
            62 if layer == Layer::Frozen => {
                found.pass_over();
                continue;
            }
            9 if matches!(section, Section::Header(_)) => {
                section = Section::Header(VARIABLES.contains(&&*value));
            }
            _ => {}
        }
        // What another program has put between braces.
        match code {
            0 => in_group = false,
            102 => in_group = value.starts_with(b"{"),
            _ => {}
        }
        let is_name = names_section && section != Section::Other;
        if !in_group && (is_name || is_read(section, code, &value)) {
            found.keep(code, &value);
        } else {
            found.pass_over();
        }
        match &*value {
            b"ENDSEC" if code == 0 => section = Section::Other,
            b"EOF" if code == 0 => break,
            _ => {}
        }
    }
    if count == 0 { Err(DxfFault::NotDxf) } else { Ok(found) }
}

/// Whether the library needs a pair: kinds, names, layers, places, sizes and flags.
fn is_read(section: Section, code: i32, value: &[u8]) -> bool {
    match section {
        Section::Other => code == 0 && value == b"EOF",
        Section::Header(wanted) => code == 0 || wanted,
        Section::Tables => matches!(code, 0 | 2 | 62 | 70),
        Section::Blocks | Section::Entities => {
            matches!(code, 0 | 2 | 8 | 10..=59 | 60 | 62 | 66..=79 | 90 | 210 | 220 | 230)
        }
    }
}

impl Scan {
    fn keep(&mut self, code: i32, value: &[u8]) {
        self.text.extend_from_slice(code.to_string().as_bytes());
        self.text.push(b'\n');
        // A file of bytes may hold what would end a line.
        self.text.extend(
            value.iter().map(|byte| if matches!(byte, b'\n' | b'\r') { b' ' } else { *byte }),
        );
        self.text.push(b'\n');
    }

    fn pass_over(&mut self) {
        if self.has_lines {
            self.text.extend_from_slice(b"999\n\n");
        }
    }
}
