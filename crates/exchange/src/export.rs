//! A knife as files to hand on: what was asked for, the files, and what to say of them. The same
//! for command line and desk.

use crate::cut::{self, CutBlank, CutFault, CutHoles, CutSheet, CutWarning};
use crate::printed::{NotWritten, stl, three_mf};
use crate::solid::{MockUp, PRINTED_NOTE, Part, SolidFault, USUAL_CHORD_MM, knife_parts, mock_up};
use knife::Knife;
use reckon::Reckoning;
use reckon::tables::Tables;
use std::path::{Path, PathBuf};
use units::LengthUnit;

/// What kind of file a knife is handed on as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ExportFormat {
    /// Parts with names, materials and colours.
    ThreeMf,
    /// Shapes alone.
    Stl,
    /// What is cut, for a cutting shop.
    Dxf,
    /// What is cut, as a drawing.
    Svg,
}

impl ExportFormat {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::ThreeMf, Self::Stl, Self::Dxf, Self::Svg];

    /// The ending of its files' names, without the point.
    pub fn ending(self) -> &'static str {
        match self {
            Self::ThreeMf => "3mf",
            Self::Stl => "stl",
            Self::Dxf => "dxf",
            Self::Svg => "svg",
        }
    }

    /// The format that a file's name asks for by its ending.
    pub fn of_path(path: &Path) -> Option<Self> {
        let ending = path.extension()?;
        Self::ALL.into_iter().find(|format| ending.eq_ignore_ascii_case(format.ending()))
    }

    /// Whether it holds the solid; else what is cut of it.
    pub fn is_solid(self) -> bool {
        matches!(self, Self::ThreeMf | Self::Stl)
    }
}

/// How a solid is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SolidRequest {
    /// STL instead of 3MF.
    pub is_stl: bool,
    /// A mock-up instead of the knife's parts.
    pub mock_up: Option<MockUp>,
    /// Of an STL: a file for each part.
    pub each: bool,
    /// How far the surface may stray, mm.
    pub chord_mm: f64,
}

impl Default for SolidRequest {
    fn default() -> Self {
        Self { is_stl: false, mock_up: None, each: false, chord_mm: USUAL_CHORD_MM }
    }
}

/// Why there are no such files.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ExportFault {
    /// The knife is no solid.
    #[error(transparent)]
    Solid(#[from] SolidFault),
    /// The blank can't be cut.
    #[error(transparent)]
    Cut(#[from] CutFault),
    /// A file can't be put together.
    #[error(transparent)]
    NotWritten(#[from] NotWritten),
}

/// A solid's files with their paths, and what to say once they are written.
#[derive(Clone, Debug, PartialEq)]
pub struct SolidFiles {
    /// Where each goes, and its bytes.
    pub files: Vec<(PathBuf, Vec<u8>)>,
    names: Vec<String>,
    triangles: usize,
    chord_mm: f64,
}

/// The files of a solid, the first or only one at `out`.
///
/// # Errors
/// [`ExportFault`]: why there are none.
pub fn solid_files(
    knife: &Knife,
    reckoning: &Reckoning,
    tables: &Tables,
    request: &SolidRequest,
    out: &Path,
) -> Result<SolidFiles, ExportFault> {
    let chord_mm = request.chord_mm;
    let parts = match request.mock_up {
        None => knife_parts(knife, reckoning, tables, chord_mm)?,
        Some(how) => mock_up(knife, reckoning, tables, how, chord_mm)?,
    };
    let files = if !request.is_stl {
        vec![(out.to_owned(), three_mf(&knife.name, Some(PRINTED_NOTE), &parts)?)]
    } else if request.each {
        let one = |part: &Part| Ok((of_part(out, part), stl(std::slice::from_ref(part))?));
        parts.iter().map(one).collect::<Result<Vec<_>, NotWritten>>()?
    } else {
        vec![(out.to_owned(), stl(&parts)?)]
    };
    let triangles = parts.iter().map(|part| part.mesh.triangles.len()).sum();
    let names = parts.into_iter().map(|part| part.name).collect();
    Ok(SolidFiles { files, names, triangles, chord_mm })
}

/// `mine.stl` for the part "left scale": `mine-left-scale.stl`.
fn of_part(out: &Path, part: &Part) -> PathBuf {
    host::name_with(out, &format!("-{}", part.name.replace(' ', "-")), "stl")
}

impl SolidFiles {
    /// What was written where, with the note for everybody who prints it.
    pub fn describe(&self) -> String {
        let paths: Vec<String> =
            self.files.iter().map(|(path, _)| path.display().to_string()).collect();
        format!(
            "Wrote {} in millimetres to {}: {} triangles, nowhere farther than {} from the exact \
             shape.\n{PRINTED_NOTE}",
            self.names.join(", "),
            paths.join(", "),
            self.triangles,
            units::show_mm(self.chord_mm, 3),
        )
    }
}

/// A cutting shop's file, what to say once it is written, and what to mind.
#[derive(Clone, Debug, PartialEq)]
pub struct CutFile {
    /// The DXF.
    pub bytes: Vec<u8>,
    /// What the maker should know before the file goes out.
    pub warnings: Vec<CutWarning>,
    outlines: usize,
    holes: usize,
    later: usize,
    unit: LengthUnit,
}

/// The file of one blank.
///
/// # Errors
/// [`CutFault`]: why it can't be cut.
pub fn blank_file(
    knife: &Knife,
    reckoning: &Reckoning,
    holes: CutHoles,
    unit: LengthUnit,
) -> Result<CutFile, CutFault> {
    let blank = CutBlank::of(knife, reckoning, holes)?;
    sheet_file(&CutSheet { blanks: vec![blank], bars: Vec::new() }, unit)
}

/// The file of blanks that lie on bars or by themselves.
///
/// # Errors
/// [`CutFault`]: why one can't be cut.
pub fn sheet_file(sheet: &CutSheet, unit: LengthUnit) -> Result<CutFile, CutFault> {
    let warnings = cut::check(sheet)?;
    Ok(CutFile {
        bytes: cut::dxf(sheet, unit),
        warnings,
        outlines: sheet.blanks.len(),
        holes: sheet.blanks.iter().map(|blank| blank.holes.len()).sum(),
        later: sheet.blanks.iter().map(|blank| blank.drilled_later).sum(),
        unit,
    })
}

impl CutFile {
    /// What was written where, and what is left to the shop.
    pub fn describe(&self, out: &Path) -> String {
        let counted = |n: usize, one: &str| {
            if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
        };
        let mut note = format!(
            "Wrote {} with {} to {}, its numbers in {}; arcs keep within {} of the outline. The \
             cut lies outside the outlines and inside the holes: the shop takes off its own kerf \
             and adds its leads.",
            counted(self.outlines, "outline"),
            counted(self.holes, "hole"),
            out.display(),
            match self.unit {
                LengthUnit::Inch => "inches",
                LengthUnit::Millimetre => "millimetres",
            },
            units::show_mm(cut::CUT_MM, 3),
        );
        if self.later > 0 {
            note.push_str(&format!(" {} left to be drilled.", counted(self.later, "hole")));
        }
        note
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_tells_its_format_by_its_ending() {
        for (name, format) in [
            ("a.3MF", Some(ExportFormat::ThreeMf)),
            ("b/c.stl", Some(ExportFormat::Stl)),
            ("d.e.Dxf", Some(ExportFormat::Dxf)),
            ("f.svg", Some(ExportFormat::Svg)),
            ("g.step", None),
            ("dxf", None),
        ] {
            assert_eq!(ExportFormat::of_path(Path::new(name)), format, "{name}");
        }
    }
}
