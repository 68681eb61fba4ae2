//! A first look at a DXF file: whether it is one, and what it says that the library passes over in
//! silence, such as kinds of entities it doesn't know, and frozen layers.
//!
//! The library gets to see only what an outline is read from. What else a file may hold (dates,
//! thumbnails, groups in groups, data of other programs) it would read whole, without bounds.

use super::entity::MAX_ENTITIES;
use super::pairs::{Next, Pair, Pairs, whole};
use super::{Counts, DxfFault};
use std::ops::ControlFlow;

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
/// The longest name of a layer or block that is read, bytes.
const MAX_NAME_BYTES: usize = 2_000;
/// Variables of the header that are read.
const VARIABLES: &[&[u8]] = &[b"$ACADVER", b"$INSUNITS"];

/// What the library passes over, and what it is given to read.
#[derive(Debug, Default)]
pub(super) struct Scan {
    /// Kinds of entities of the entities section that aren't read, with their counts.
    pub(super) unread: Counts,
    /// The pairs as text, frozen layers turned off, with a remark of as many lines for each pair that
    /// isn't read, so that faults are told at the file's own lines.
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
    let mut scanner = Scanner::new(!pairs.is_binary());
    loop {
        match pairs.next() {
            Next::Pair(pair) => {
                if scanner.take(&pair)?.is_break() {
                    break;
                }
            }
            Next::End => break,
            Next::Fault if scanner.count == 0 && scanner.found.has_lines => {
                return Err(DxfFault::NotDxf);
            }
            Next::Fault => return Err(scanner.fault_here()),
        }
    }
    if scanner.count == 0 { Err(DxfFault::NotDxf) } else { Ok(scanner.found) }
}

/// Where the looking through stands.
struct Scanner {
    found: Scan,
    section: Section,
    layer: Layer,
    /// Whether the pairs are another program's, between braces.
    in_group: bool,
    /// Whether the last pair opened a section, which is kept with its name.
    opens: bool,
    /// Pairs taken.
    count: usize,
    entities: usize,
    /// Pairs of each code from 10 on: places, and sizes, knots and bulges.
    of_codes: [usize; 50],
}

impl Scanner {
    fn new(has_lines: bool) -> Self {
        Self {
            found: Scan { has_lines, ..Scan::default() },
            section: Section::Other,
            layer: Layer::None,
            in_group: false,
            opens: false,
            count: 0,
            entities: 0,
            of_codes: [0; 50],
        }
    }

    /// What is wrong with the pair that comes next.
    fn fault_here(&self) -> DxfFault {
        super::fault::faulty_at(self.found.has_lines.then_some(2 * self.count + 1))
    }

    /// Takes the next pair; nothing is read after the last.
    fn take(&mut self, pair: &Pair<'_>) -> Result<ControlFlow<()>, DxfFault> {
        let (code, value) = (pair.code, &*pair.value);
        // Names are compared at every copy; the DXF reference allows 255 letters.
        if matches!(code, 2 | 8) && value.len() > MAX_NAME_BYTES && self.section != Section::Other {
            return Err(self.fault_here());
        }
        // The library reads other signs in these, and would see another kind than is seen here.
        let has_escape = value.iter().any(|byte| matches!(byte, b'\\' | b'^'));
        if code == 0 && has_escape && self.section != Section::Other {
            return Err(self.fault_here());
        }
        if self.opens {
            if code != 2 {
                return Err(self.fault_here());
            }
            self.count += 1;
            self.opens = false;
            self.enter_section(value);
            return Ok(ControlFlow::Continue(()));
        }
        self.count += 1;
        if code == 0 && value == b"SECTION" {
            self.opens = true;
            return Ok(ControlFlow::Continue(()));
        }
        self.count_kept(code, value)?;
        if code == 0 && self.section == Section::Entities {
            self.note_kind(value);
        }
        match code {
            0 => self.in_group = false,
            // What another program has put between braces.
            102 => self.in_group = value.starts_with(b"{"),
            9 if matches!(self.section, Section::Header(_)) => {
                self.section = Section::Header(VARIABLES.contains(&value));
            }
            _ => {}
        }
        if !self.in_group && self.take_of_layer(code, value) {
            return Ok(ControlFlow::Continue(()));
        }
        if !self.in_group && is_read(self.section, code, value) {
            self.found.keep(code, value);
        } else {
            self.found.pass_over();
        }
        Ok(match value {
            b"EOF" if code == 0 => ControlFlow::Break(()),
            b"ENDSEC" if code == 0 => {
                self.section = Section::Other;
                ControlFlow::Continue(())
            }
            _ => ControlFlow::Continue(()),
        })
    }

    /// A section's name, and the pair before it, are kept if it is one that is read.
    fn enter_section(&mut self, name: &[u8]) {
        self.section = match name {
            b"HEADER" => Section::Header(false),
            b"TABLES" => Section::Tables,
            b"BLOCKS" => Section::Blocks,
            b"ENTITIES" => Section::Entities,
            _ => Section::Other,
        };
        if self.section == Section::Other {
            self.found.pass_over();
            self.found.pass_over();
        } else {
            self.found.keep(0, b"SECTION");
            self.found.keep(2, name);
        }
    }

    /// Counts what the library keeps, as many as there are.
    fn count_kept(&mut self, code: i32, value: &[u8]) -> Result<(), DxfFault> {
        self.entities += usize::from(code == 0 && value != b"VERTEX");
        let of_code = usize::try_from(code - 10).ok().and_then(|of| self.of_codes.get_mut(of));
        let too_many = of_code.is_some_and(|of| {
            *of += 1;
            // A curve has some more knots than places.
            *of > if code == 10 { MAX_VERTICES } else { 2 * MAX_VERTICES }
        });
        if self.entities > MAX_ENTITIES || too_many {
            return Err(DxfFault::TooManyEntities { limit: MAX_ENTITIES });
        }
        Ok(())
    }

    /// Notes a kind of entity that isn't read.
    fn note_kind(&mut self, kind: &[u8]) {
        let kind = String::from_utf8_lossy(kind).into_owned();
        let unread = &mut self.found.unread;
        let is_told = unread.contains_key(&kind) || unread.len() < MAX_KINDS;
        if !KNOWN.contains(&kind.as_str()) && is_told {
            *unread.entry(kind).or_insert(0) += 1;
        }
    }

    /// Turns frozen layers off, which the library tells by a colour below zero; it doesn't tell the
    /// flag. Whether the pair was dealt with by that.
    fn take_of_layer(&mut self, code: i32, value: &[u8]) -> bool {
        match (code, self.layer) {
            (0, _) => {
                let is_layer = value == b"LAYER" && self.section == Section::Tables;
                self.layer = if is_layer { Layer::Thawed } else { Layer::None };
            }
            (70, Layer::Thawed) if whole(value).is_some_and(|flags| flags & 1 == 1) => {
                self.layer = Layer::Frozen;
                self.found.keep(62, b"-7");
                return true;
            }
            (62, Layer::Frozen) => {
                self.found.pass_over();
                return true;
            }
            _ => {}
        }
        false
    }
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
