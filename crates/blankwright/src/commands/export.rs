//! `export`: the knife as a solid (3MF, STL), or what is cut of it for a shop (DXF, SVG).

use super::{LoadedKnife, draw};
use crate::args::{ExportArgs, HolesArg, MockUpArg};
use crate::{Failure, Outcome};
use exchange::cut::{CutBlank, CutHoles, CutSheet};
use exchange::export::{
    CutFile, ExportFault, ExportFormat, SolidRequest, blank_file, sheet_file, solid_files,
};
use exchange::solid::{MockUp, USUAL_CHORD_MM};
use host::Host;
use reckon::Nest;
use reckon::tables::Tables;
use std::fmt::Write as _;
use std::path::Path;
use units::LengthUnit;

pub(super) fn run(
    work: &LoadedKnife,
    args: &ExportArgs,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let format = ExportFormat::of_path(&args.out)
        .ok_or_else(|| Failure::ExportEnding { path: args.out.clone() })?;
    check_options(format, args)?;
    super::protect_input(&args.file, &args.shop, &args.out, host)?;
    let mut outcome = match format {
        ExportFormat::ThreeMf | ExportFormat::Stl => solid(work, args, format, host)?,
        ExportFormat::Dxf => blank(work, args, host)?,
        ExportFormat::Svg => {
            let options = draw::DrawOptions { dpi: None, sheet: None, bare: true };
            draw::run(work, &args.file, &args.out, &options, host)?
        }
    };
    if work.reckoning.stops() > 0 {
        let _ = writeln!(
            outcome.err,
            "blankwright: {} says stop: run blankwright check {} before you cut steel from it",
            if work.reckoning.stops() == 1 { "one finding" } else { "a finding" },
            args.file.display()
        );
    }
    Ok(outcome)
}

/// Refuses options that mean nothing for a format.
fn check_options(format: ExportFormat, args: &ExportArgs) -> Result<(), Failure> {
    let (is_stl, is_dxf) = (format == ExportFormat::Stl, format == ExportFormat::Dxf);
    let wrong = [
        ("--mock-up", args.mock_up.is_some() && !format.is_solid(), "a .3mf or .stl"),
        ("--tolerance", args.tolerance.is_some() && !format.is_solid(), "a .3mf or .stl"),
        ("--each", args.each && !is_stl, "an .stl"),
        ("--holes", args.holes.is_some() && !is_dxf, "a .dxf"),
        ("--units", args.units.is_some() && !is_dxf, "a .dxf"),
    ];
    match wrong.iter().find(|(_, is_wrong, _)| *is_wrong) {
        Some((option, _, of)) => {
            let path = args.out.display();
            Err(Failure::Usage(format!("{option} is for {of}; leave it out for {path}")))
        }
        None => Ok(()),
    }
}

fn solid(
    work: &LoadedKnife,
    args: &ExportArgs,
    format: ExportFormat,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let (knife, reckoning, tables) = (&work.knife, &work.reckoning, Tables::built_in());
    let chord_mm = match &args.tolerance {
        None => USUAL_CHORD_MM,
        Some(text) => units::parse_length(text, knife.unit)
            .map_err(|why| Failure::Usage(format!("--tolerance: {why}")))?
            .to_mm(),
    };
    let mock_up = args.mock_up.map(|how| match how {
        MockUpArg::OnePiece => MockUp::OnePiece,
        MockUpArg::Halves => MockUp::Halves,
    });
    let is_stl = format == ExportFormat::Stl;
    let request = SolidRequest { is_stl, mock_up, each: args.each, chord_mm };
    let solid = solid_files(knife, reckoning, tables, &request, &args.out);
    let solid = solid.map_err(|why| match why {
        ExportFault::Solid(why) => Failure::NoSolid { path: args.file.clone(), why },
        ExportFault::Cut(why) => Failure::Cut(why),
        ExportFault::NotWritten(why) => Failure::NotWritten(why),
    })?;
    for (path, _) in &solid.files {
        super::protect_input(&args.file, &args.shop, path, host)?;
    }
    let mut written = Vec::new();
    for (path, bytes) in &solid.files {
        match host.write(path, bytes) {
            Err(fault) if args.each => return Err(Failure::Partly { fault, written }),
            done => done?,
        }
        written.push(path.clone());
    }
    Ok(Outcome { out: solid.describe() + "\n", ..Outcome::default() })
}

fn cut_holes(holes: Option<HolesArg>) -> CutHoles {
    match holes.unwrap_or_default() {
        HolesArg::All => CutHoles::All,
        HolesArg::Relief => CutHoles::Relief,
        HolesArg::None => CutHoles::None,
    }
}

fn blank(work: &LoadedKnife, args: &ExportArgs, host: &mut dyn Host) -> Result<Outcome, Failure> {
    let unit = args.units.map_or(work.knife.unit, Into::into);
    let file = blank_file(&work.knife, &work.reckoning, cut_holes(args.holes), unit)?;
    let (out, err) = write(&file, &args.out, host)?;
    Ok(Outcome { out, err, ..Outcome::default() })
}

/// Writes blanks laid on bars as DXF; gives what to say and what to warn of.
pub(super) fn sheet(
    works: &[LoadedKnife],
    nest: &Nest,
    (holes, unit): (Option<HolesArg>, LengthUnit),
    out: &Path,
    host: &mut dyn Host,
) -> Result<(String, String), Failure> {
    let holes = cut_holes(holes);
    let blanks = works.iter().map(|work| CutBlank::of(&work.knife, &work.reckoning, holes));
    let blanks: Vec<CutBlank> = blanks.collect::<Result<_, _>>()?;
    write(&sheet_file(&CutSheet::of_nest(&blanks, nest), unit)?, out, host)
}

fn write(file: &CutFile, out: &Path, host: &mut dyn Host) -> Result<(String, String), Failure> {
    host.write(out, &file.bytes)?;
    let warned = file.warnings.iter().map(|warning| format!("blankwright: {warning}\n"));
    Ok((file.describe(out) + "\n", warned.collect()))
}
