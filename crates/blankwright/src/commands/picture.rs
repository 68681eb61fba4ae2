//! `new --picture`: a blank from a scan or a photograph.

use super::new;
use crate::args::PictureArgs;
use crate::{Failure, Outcome};
use host::Host;
use knife::svg_import::ImportedOutline;
use kurbo::{Point, Size};
use std::fmt::Write as _;
use std::path::Path;
use trace::{
    ExtractOptions, FitOptions, Found, LineSide, Progress, Squaring, Subject, TraceOptions, Traced,
};
use units::{LengthUnit, parse_length, show_mm};

pub(super) fn from_picture(
    picture: &Path,
    gap: Option<&str>,
    args: &PictureArgs,
    out: &Path,
    host: &mut dyn Host,
) -> Result<Outcome, Failure> {
    let options = options(gap, args)?;
    let untraceable = |why| Failure::Picture { path: picture.to_owned(), why };
    host.progress("Reading the picture");
    let decoded = trace::decode(&host.read(picture)?).map_err(untraceable);
    let traced = decoded.and_then(|decoded| {
        let watch = Progress::default();
        host.progress("Squaring it up");
        let squared = trace::square_up(&decoded, &options.squaring, &watch).map_err(untraceable)?;
        host.progress("Tracing it");
        let contours =
            trace::extract(&decoded, &squared, &options.extract, &watch).map_err(untraceable)?;
        let traced = trace::fit(&contours, &options.fit).map_err(untraceable)?;
        Ok((squared.found, traced))
    });
    host.progress("");
    let (found, traced) = traced?;
    let mut message = String::new();
    let _ = writeln!(message, "{}", by_what(&found, traced.uncertainty_mm));
    let _ = writeln!(
        message,
        "The outline is nowhere more than {} from the contour; traced ±{}.",
        show_mm(traced.max_distance_mm, 2),
        show_mm(traced.error_mm(), 2),
    );
    for note in &traced.notes {
        let _ = writeln!(message, "{note}");
    }
    let error_mm = traced.error_mm();
    let (Traced { outline, holes, .. }, turn_deg) = traced.levelled();
    if let Some(turn_deg) = turn_deg {
        let _ = writeln!(message, "It was rotated by {turn_deg:.1}° to lie level.");
    }
    let unit = LengthUnit::Millimetre;
    let taken = ImportedOutline { outline, holes, unit, warnings: Vec::new() };
    let traced_mm = error_mm.min(*knife::limits::TRACED_MM.end());
    new::write(picture, taken, Some(traced_mm), out, (message, String::new()), host)
}

/// The options as typed.
fn options(gap: Option<&str>, args: &PictureArgs) -> Result<TraceOptions, Failure> {
    let squaring = if args.mat {
        Squaring::Mat
    } else if let Some(dpi) = args.dpi {
        Squaring::Density(Some(dpi))
    } else if let Some(typed) = &args.between {
        between(typed)?
    } else if let Some(typed) = &args.rectangle {
        rectangle(typed, args.corners.as_deref())?
    } else {
        Squaring::Auto
    };
    let subject = match args.line.as_deref().map(str::trim) {
        None => Subject::Auto,
        Some("centre" | "center") => Subject::Line(LineSide::Centre),
        Some("outer") => Subject::Line(LineSide::Outer),
        Some("inner") => Subject::Line(LineSide::Inner),
        Some(other) => {
            return Err(Failure::Unknown {
                what: "side of a line",
                found: other.to_owned(),
                known: "centre, outer, inner".to_owned(),
            });
        }
    };
    let usual = ExtractOptions::default();
    let extract = ExtractOptions {
        subject,
        gap_mm: length("--gap", gap, usual.gap_mm)?,
        thickness_mm: length("--thickness", args.thickness.as_deref(), 0.0)?,
        at: None,
    };
    let usual = FitOptions::default();
    let tolerance_mm = length("--tolerance", args.tolerance.as_deref(), usual.tolerance_mm)?;
    Ok(TraceOptions { squaring, extract, fit: FitOptions { tolerance_mm, ..usual } })
}

fn length(option: &str, typed: Option<&str>, usual: f64) -> Result<f64, Failure> {
    let Some(typed) = typed else { return Ok(usual) };
    parse_length(typed, LengthUnit::Millimetre)
        .map(|length| length.to_mm())
        .map_err(|why| Failure::Usage(format!("{option}: {why}")))
}

/// Numbers separated by commas, as many as wanted.
fn numbers<const N: usize>(typed: &str) -> Option<[f64; N]> {
    let all: Option<Vec<f64>> = typed
        .split([',', ' ', ';'])
        .filter(|word| !word.is_empty())
        .map(|word| word.parse::<f64>().ok().filter(|number| number.is_finite()))
        .collect();
    all?.try_into().ok()
}

/// `X1,Y1,X2,Y2=LENGTH`.
fn between(typed: &str) -> Result<Squaring, Failure> {
    let message = "--between: type two points in pixels and their distance, such as \
                120,80,1890,95=150mm";
    let wrong = || Failure::Usage(message.to_owned());
    let (points, distance) = typed.split_once('=').ok_or_else(wrong)?;
    let [x1, y1, x2, y2] = numbers(points).ok_or_else(wrong)?;
    let mm = length("--between", Some(distance), 0.0)?;
    Ok(Squaring::TwoPoints { from: Point::new(x1, y1), to: Point::new(x2, y2), mm })
}

/// A paper's name or two sides, and its corners if they were typed.
fn rectangle(typed: &str, corners: Option<&str>) -> Result<Squaring, Failure> {
    let size = match paper::Paper::named(typed) {
        Ok(paper) => paper.size_mm,
        Err(_) => sides(typed).ok_or_else(|| {
            let message = format!(
                "--rectangle: \"{typed}\" is neither a paper nor two sides; type letter, a4, or \
                 sides such as 100x150mm"
            );
            Failure::Usage(message)
        })?,
    };
    let corners = corners.map(|typed| {
        let [a, b, c, d, e, f, g, h] = numbers(typed).ok_or_else(|| {
            let message = "--corners: type the four corners in pixels, top left, top right, bottom \
                        right, bottom left, such as 90,80,1890,95,1905,1400,70,1380";
            Failure::Usage(message.to_owned())
        })?;
        Ok::<_, Failure>([(a, b), (c, d), (e, f), (g, h)].map(Point::from))
    });
    Ok(Squaring::Rectangle { size, corners: corners.transpose()? })
}

/// Two sides such as `100x150mm`; a unit at the end holds for both.
fn sides(typed: &str) -> Option<Size> {
    let text = typed.trim().to_lowercase();
    let (width, height) = text.split_once(['x', '×'])?;
    let unit = height.trim_start_matches(|c: char| c.is_ascii_digit() || ".,/ -".contains(c));
    let has_unit = width.chars().any(char::is_alphabetic) || width.contains('"');
    let width = if has_unit { width.to_owned() } else { format!("{width}{unit}") };
    let mm = |text: &str| parse_length(text, LengthUnit::Millimetre).ok().map(|l| l.to_mm());
    Some(Size::new(mm(&width)?, mm(height)?))
}

/// By what the picture was squared up, as a sentence.
fn by_what(found: &Found, uncertainty_mm: f64) -> String {
    let exact = format!("±{}", show_mm(uncertainty_mm, 2));
    match found {
        Found::Density { dpi } => {
            format!("Squared up by its scan density, {dpi:.0} dots per inch: {exact}.")
        }
        Found::TwoPoints => {
            format!("Scaled by two points: {exact} for one pixel of error at each.")
        }
        Found::Rectangle { size, guessed } => {
            let sides = format!("{:.1} × {}", size.width, show_mm(size.height, 1));
            let guess = match guessed {
                Some(name) => format!(", guessed to be {name}"),
                None => String::new(),
            };
            format!(
                "Squared up by the sheet of paper, {sides}{guess}: {exact} for one pixel of error \
                 at each corner."
            )
        }
        Found::Mat { columns, rows, used } => format!(
            "Squared up by the tracing mat of {columns} × {rows} targets ({used} used): {exact}."
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_read_or_told() {
        let Ok(Squaring::TwoPoints { from, to, mm }) = between("1,2,300.5,4=150mm") else {
            panic!("two points")
        };
        assert_eq!((from, to, mm), (Point::new(1.0, 2.0), Point::new(300.5, 4.0), 150.0));
        assert!(
            matches!(between("1,2,3,4=6in"), Ok(Squaring::TwoPoints { mm, .. }) if (mm - 152.4).abs() < 1e-9)
        );
        for wrong in ["", "1,2,3=4", "1,2,3,4", "1,2,3,x=4mm", "1,2,3,4=x", "1,2,3,inf=4"] {
            assert!(between(wrong).is_err(), "{wrong}");
        }
        let size = |typed| match rectangle(typed, None) {
            Ok(Squaring::Rectangle { size, corners: None }) => {
                // Inches are read to the last digit but one.
                Some([size.width, size.height].map(|mm| (mm * 1e9).round() / 1e9).into())
            }
            _ => None,
        };
        assert_eq!(size("Letter"), Some((215.9, 279.4)));
        assert_eq!(size("100x150mm"), Some((100.0, 150.0)));
        assert_eq!(size("4x6in"), Some((101.6, 152.4)));
        assert_eq!(size("100 x 150"), Some((100.0, 150.0)));
        for wrong in ["", "x", "letterish", "100", "100xmm"] {
            assert_eq!(size(wrong), None, "{wrong}");
        }
        assert!(rectangle("a4", Some("1,2,3,4,5,6,7")).is_err());
        assert!(rectangle("a4", Some("1,2,3,4,5,6,7,8")).is_ok());
    }
}
