//! `export`: the knife as a solid (3MF, STL), or what is cut of it for a shop (DXF, SVG).

use super::{LoadedKnife, draw};
use crate::args::{ExportArgs, HolesArg, MockUpArg};
use crate::{Failure, Outcome};
use exchange::cut::{self, CutBlank, CutHoles, CutSheet};
use exchange::printed::{stl, three_mf};
use exchange::solid::{MockUp, PRINTED_NOTE, Part, USUAL_CHORD_MM, knife_parts, mock_up};
use host::Host;
use reckon::Nest;
use reckon::tables::Tables;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use units::LengthUnit;

pub(super) fn run(
    work: &LoadedKnife,
    args: &ExportArgs,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let ending = args.out.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    let format = match ending.to_lowercase().as_str() {
        "3mf" => Format::ThreeMf,
        "stl" => Format::Stl,
        "dxf" => Format::Dxf,
        "svg" => Format::Svg,
        _ => return Err(Failure::ExportEnding { path: args.out.clone() }),
    };
    format.takes(args)?;
    super::protect_input(&args.file, &args.out, host)?;
    let mut outcome = match format {
        Format::ThreeMf | Format::Stl => solid(work, args, format, host)?,
        Format::Dxf => blank(work, args, host)?,
        Format::Svg => {
            let wish = draw::DrawOptions { dpi: None, sheet: None, bare: true };
            draw::run(work, &args.file, &args.out, &wish, host)?
        }
    };
    if work.reckoning.stops() > 0 {
        let _ = writeln!(
            outcome.err,
            "blankwright: {} says stop: run blankwright check {} before you cut steel by it",
            if work.reckoning.stops() == 1 { "one finding" } else { "a finding" },
            args.file.display()
        );
    }
    Ok(outcome)
}

/// What is written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Format {
    ThreeMf,
    Stl,
    Dxf,
    Svg,
}

impl Format {
    /// Refuses options that mean nothing here.
    fn takes(self, args: &ExportArgs) -> Result<(), Failure> {
        let is_solid = matches!(self, Self::ThreeMf | Self::Stl);
        let wrong = [
            ("--mock-up", args.mock_up.is_some() && !is_solid, "a .3mf or .stl"),
            ("--tolerance", args.tolerance.is_some() && !is_solid, "a .3mf or .stl"),
            ("--each", args.each && self != Self::Stl, "an .stl"),
            ("--holes", args.holes.is_some() && self != Self::Dxf, "a .dxf"),
            ("--units", args.units.is_some() && self != Self::Dxf, "a .dxf"),
        ];
        match wrong.iter().find(|(_, is_wrong, _)| *is_wrong) {
            Some((option, _, of)) => {
                let path = args.out.display();
                Err(Failure::Usage(format!("{option} is for {of}; leave it out for {path}")))
            }
            None => Ok(()),
        }
    }
}

fn solid(
    work: &LoadedKnife,
    args: &ExportArgs,
    format: Format,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let (knife, reckoning, tables) = (&work.knife, &work.reckoning, Tables::built_in());
    let chord_mm = match &args.tolerance {
        None => USUAL_CHORD_MM,
        Some(text) => units::parse_length(text, knife.unit)
            .map_err(|why| Failure::Usage(format!("--tolerance: {why}")))?
            .to_mm(),
    };
    let parts = match args.mock_up {
        None => knife_parts(knife, reckoning, tables, chord_mm),
        Some(MockUpArg::OnePiece) => mock_up(knife, reckoning, tables, MockUp::OnePiece, chord_mm),
        Some(MockUpArg::Halves) => mock_up(knife, reckoning, tables, MockUp::Halves, chord_mm),
    };
    let parts = parts.map_err(|why| Failure::NoSolid { path: args.file.clone(), why })?;
    let mut files: Vec<(PathBuf, Vec<u8>)> = Vec::new();
    match format {
        Format::Stl if args.each => {
            for part in &parts {
                files.push((of_part(&args.out, part), stl(std::slice::from_ref(part))?));
            }
        }
        Format::Stl => files.push((args.out.clone(), stl(&parts)?)),
        _ => {
            let bytes = three_mf(&knife.name, Some(PRINTED_NOTE), &parts)?;
            files.push((args.out.clone(), bytes));
        }
    }
    for (path, _) in &files {
        super::protect_input(&args.file, path, host)?;
    }
    let mut written = Vec::new();
    for (path, bytes) in files {
        match host.write(&path, &bytes) {
            Err(fault) if args.each => return Err(Failure::Partly { fault, written }),
            done => done?,
        }
        written.push(path);
    }
    let names: Vec<&str> = parts.iter().map(|part| part.name.as_str()).collect();
    let triangles: usize = parts.iter().map(|part| part.mesh.triangles.len()).sum();
    let paths: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    let out = format!(
        "Wrote {} in millimetres to {}: {triangles} triangles, nowhere farther than {} from the \
         knife's figures.\n{PRINTED_NOTE}\n",
        names.join(", "),
        paths.join(", "),
        units::show_mm(chord_mm, 3),
    );
    Ok(Outcome { out, ..Outcome::default() })
}

/// `mine.stl` for the part "left scale": `mine-left-scale.stl`.
fn of_part(out: &Path, part: &Part) -> PathBuf {
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    let ending = out.extension().map_or("stl".into(), std::ffi::OsStr::to_string_lossy);
    out.with_file_name(format!("{stem}-{}.{ending}", part.name.replace(' ', "-")))
}

fn blank(work: &LoadedKnife, args: &ExportArgs, host: &mut dyn Host) -> Result<Outcome, Failure> {
    let holes = match args.holes.unwrap_or_default() {
        HolesArg::All => CutHoles::All,
        HolesArg::Relief => CutHoles::Relief,
        HolesArg::None => CutHoles::None,
    };
    let blank = CutBlank::of(&work.knife, &work.reckoning, holes)?;
    let sheet = CutSheet { blanks: vec![blank], bars: Vec::new() };
    let unit = args.units.map_or(work.knife.unit, Into::into);
    let (out, err) = write(&sheet, unit, &args.out, host)?;
    Ok(Outcome { out, err, ..Outcome::default() })
}

/// Writes blanks laid on bars as DXF; gives what to say and what to warn of.
pub(super) fn sheet(
    works: &[LoadedKnife],
    nest: &Nest,
    unit: LengthUnit,
    out: &Path,
    host: &mut dyn Host,
) -> Result<(String, String), Failure> {
    let blanks = works.iter().map(|work| CutBlank::of(&work.knife, &work.reckoning, CutHoles::All));
    let blanks: Vec<CutBlank> = blanks.collect::<Result<_, _>>()?;
    write(&CutSheet::of_nest(&blanks, nest), unit, out, host)
}

fn write(
    sheet: &CutSheet,
    unit: LengthUnit,
    out: &Path,
    host: &mut dyn Host,
) -> Result<(String, String), Failure> {
    let mut err = String::new();
    for warning in cut::check(sheet)? {
        let _ = writeln!(err, "blankwright: {warning}");
    }
    host.write(out, &cut::dxf(sheet, unit))?;
    let counted = |n: usize, one: &str| {
        if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
    };
    let holes: usize = sheet.blanks.iter().map(|blank| blank.holes.len()).sum();
    let later: usize = sheet.blanks.iter().map(|blank| blank.drilled_later).sum();
    let mut message = format!(
        "Wrote {} with {} to {}, its numbers in {}; arcs keep within {} of the outline. The cut \
         lies outside the outlines and inside the holes: the shop takes off its own kerf and adds \
         its leads.",
        counted(sheet.blanks.len(), "outline"),
        counted(holes, "hole"),
        out.display(),
        match unit {
            LengthUnit::Inch => "inches",
            LengthUnit::Millimetre => "millimetres",
        },
        units::show_mm(cut::CUT_MM, 3),
    );
    if later > 0 {
        let _ = write!(message, " {} left to be drilled.", counted(later, "hole"));
    }
    message.push('\n');
    Ok((message, err))
}
