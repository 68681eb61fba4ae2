//! `new`: a blank from a starter, or from a closed outline drawn elsewhere.

use super::LoadedKnife;
use crate::args::OutlineArgs;
use crate::{CLEAN, Failure, Outcome, STOP};
use host::{FileError, Host, UnusableFile};
use knife::svg_import::ImportedOutline;
use knife::{Edit, Knife, STARTERS, file, limits, starter, svg_import};
use reckon::tables::Tables;
use std::fmt::Write as _;
use std::path::Path;

pub(super) fn from_starter(key: &str, out: &Path, host: &mut dyn Host) -> Result<Outcome, Failure> {
    let starter = starter(key).ok_or_else(|| Failure::Unknown {
        what: "starter",
        found: key.to_owned(),
        known: STARTERS.iter().map(|s| s.key).collect::<Vec<_>>().join(", "),
    })?;
    let (mut message, file) = save(&starter.knife(), out, host)?;
    let _ = writeln!(message, "Wrote {} to {}.", starter.knife().name, super::written_to(out));
    Ok(Outcome { out: message, file, ..Outcome::default() })
}

pub(super) fn from_outline(
    shape: &Path,
    args: &OutlineArgs,
    out: &Path,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let (taken, left_out) = take(shape, args, host)?;
    let mut err = String::new();
    let remarks = taken.warnings.iter().map(ToString::to_string);
    for remark in remarks.chain(left_out) {
        let _ = writeln!(err, "blankwright: {}: {remark}", shape.display());
    }
    write(shape, taken, None, out, (String::new(), err), host)
}

/// Writes the blank of an outline, and tells what was guessed after what there is to say already
/// on standard output and error. `traced_mm`: what an outline from a picture may be off by, mm.
pub(super) fn write(
    shape: &Path,
    taken: ImportedOutline,
    traced_mm: Option<f64>,
    out: &Path,
    (first, mut err): (String, String),
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let name = shape.file_stem().unwrap_or_default().to_string_lossy().trim().to_owned();
    if name.chars().count() > limits::NAME_CHARS {
        let max = limits::NAME_CHARS;
        let _ = writeln!(err, "blankwright: the blank's name was cut to {max} characters");
    }
    let mut drawn = taken.into_knife(name, Knife::empty().bar);
    drawn.traced_mm = traced_mm;
    let LoadedKnife { knife, reckoning } = LoadedKnife::with_default_shop(laid_on_bar(drawn));
    let (kept, file) = save(&knife, out, host)?;
    let mut message = first + &kept;
    let bar = &knife.bar;
    let size = |mm| units::write_length(mm, knife.unit);
    let _ = writeln!(
        message,
        "Wrote {} to {}: {} nodes, {}, on a bar taken as {} × {} × {} of {}.",
        knife.name,
        super::written_to(out),
        knife.profile.nodes.len(),
        match knife.holes.len() {
            1 => "1 hole".to_owned(),
            n => format!("{n} holes"),
        },
        size(bar.width_mm),
        size(bar.thickness_mm),
        size(bar.length_mm),
        bar.grade,
    );
    let mark = |id| knife.profile.node(id).map(|node| node.at);
    for (what, at) in
        [("tip", knife.profile.tip.and_then(mark)), ("heel", knife.profile.heel.and_then(mark))]
    {
        let _ = match at {
            Some(at) => {
                let (x, y) = (units::show_mm(at.x, 1), units::show_mm(at.y, 1));
                writeln!(
                    message,
                    "The {what} was guessed at x {x}, y {y} of the drawing: check that it is \
                     right."
                )
            }
            None => writeln!(message, "The {what} could not be guessed: set it at the desk."),
        };
    }
    let crossing = reckoning.profile.as_ref().is_some_and(|profile| !profile.contacts.is_empty());
    if crossing {
        // It is written all the same, so that it can be mended; the exit code says stop.
        for finding in reckoning.findings.iter().filter(|f| f.rule == "outline-crosses-itself") {
            let _ = writeln!(err, "blankwright: {}: {}", shape.display(), finding.sentence);
        }
    }
    Ok(Outcome { out: message, err, code: if crossing { STOP } else { CLEAN }, file })
}

/// The outline and holes of a drawing, DXF by its name's ending, else SVG, and what of it was left
/// out.
fn take(
    shape: &Path,
    args: &OutlineArgs,
    host: &dyn Host,
) -> Result<(ImportedOutline, Vec<String>), Failure> {
    let ending = shape.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    if !ending.eq_ignore_ascii_case("dxf") {
        if args.gap.is_some() || args.units.is_some() {
            let words = "--gap and --units are for a DXF; an SVG says its size itself";
            return Err(Failure::Usage(words.to_owned()));
        }
        let taken = svg_import::import_svg(&host.read(shape)?);
        let taken = taken.map_err(|why| UnusableFile { path: shape.to_owned(), why })?;
        return Ok((taken, Vec::new()));
    }
    #[cfg(feature = "solids")]
    return super::dxf_outline::import(shape, args, host);
    #[cfg(not(feature = "solids"))]
    Err(super::NO_SOLIDS)
}

/// The knife laid on the first of the usual bars that takes it, straight where that does.
fn laid_on_bar(knife: Knife) -> Knife {
    let Ok(outline) = knife.profile.outline() else { return knife };
    let (bar, placement) =
        reckon::first_stock_bar(&knife.bar, &outline, knife.unit, Tables::built_in());
    let edits = [
        Edit::SetBar {
            grade: bar.grade,
            width_mm: bar.width_mm,
            thickness_mm: bar.thickness_mm,
            length_mm: bar.length_mm,
        },
        Edit::Place(placement),
    ];
    // A refusal (an outline far beyond any bar) leaves the knife on its first bar.
    edits.iter().fold(knife, |knife, edit| edit.apply(&knife).unwrap_or(knife))
}

/// Writes a blank file. An earlier one of other content is kept beside it.
fn save(knife: &Knife, out: &Path, host: &mut dyn Host) -> Result<Saved, Failure> {
    let bytes = file::save_read_back(knife).map_err(|why| FileError::unreadable(out, why))?;
    if super::is_stream(out) {
        return Ok((String::new(), Some(bytes)));
    }
    host.check_writable(out)?;
    let mut message = String::new();
    // What another run writes meanwhile is an earlier file too.
    let _held = host.lock(out)?;
    if host.exists(out) {
        let earlier = host.read(out)?;
        if earlier != bytes {
            let kept = host::backup_path(out, &earlier, host)?.ok_or_else(|| {
                Failure::Usage(format!(
                    "{} has {} earlier files kept beside it; remove those you don't want, or name \
                     another file",
                    out.display(),
                    host::MAX_KEPT
                ))
            })?;
            host.write_like(out, &kept, &earlier)?;
            let _ = writeln!(message, "The earlier file is kept as {}.", kept.display());
        }
    }
    host.write(out, &bytes)?;
    Ok((message, None))
}

/// What there is to tell of saving, and the file where standard output is to have it.
type Saved = (String, Option<Vec<u8>>);
