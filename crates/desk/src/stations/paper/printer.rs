//! The printer: its trim on the sheets, and the readings of its proof.

use crate::canvas::Read;
use crate::command::{Command, Commands, Wish};
use crate::field::Field;
use crate::session::Session;
use crate::stations::{button, choose, fold, pick, quiet};
use egui::{RichText, Ui};
use kurbo::Size;
use paper::PageSetup;
use reckon::shop::Printer;
use reckon::shop::trim::{GOOD_ERROR_MM, REFERENCE_LENGTH_MM};
use sheets::printer_trim::{self, PrintedWith, ProofLine};
use sheets::printing;
use units::show_number;

/// What stands for no trim.
const NONE: &str = "no correction";

/// The lines of a proof by their letters, each read twice.
const LINES: [(&str, &str, ProofLine, &str); 6] = [
    ("Line A", "A again", ProofLine::Across, "Across, below."),
    ("Line B", "B again", ProofLine::Across, "Across, above."),
    ("Line C", "C again", ProofLine::Up, "Up, left."),
    ("Line D", "D again", ProofLine::Up, "Up, right."),
    ("Line E", "E again", ProofLine::Rising, "The rising diagonal."),
    ("Line F", "F again", ProofLine::Falling, "The falling diagonal."),
];

/// What was read on a proof so far.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proofed {
    /// The printer's name.
    pub name: String,
    /// Each line's readings, mm, in the order A to F.
    pub readings_mm: [[Option<f64>; 2]; 6],
    /// How the proof was printed, where the shop has a trim for the printer.
    pub printed: PrintedWith,
    /// Why no trim came of them.
    pub(crate) refusal: Option<String>,
}

/// The trim that the sheets are put through, and how far it can be trusted.
pub(super) fn trim(ui: &mut Ui, read: &Read<'_>, session: &mut Session, out: &mut Commands) {
    let p = read.palette;
    let shop = read.derived.shop();
    let setup = super::setup(read, session);
    let measured = shop.printers.iter().filter(|printer| printer.trim.is_some());
    let names: Vec<&str> =
        std::iter::once(NONE).chain(measured.map(|printer| printer.name.as_str())).collect();
    let in_use = super::printer(session, shop).cloned();
    let now = in_use.as_ref().map_or(NONE, |printer| printer.name.as_str());
    let about = "Prints through the trim that was measured for this printer. It is true on no \
                 other, so it is chosen anew each time the desk is opened. On the command line: \
                 --trim.";
    if let Some(at) = pick(ui, ("Printer correction", about), now, &names, 150.0) {
        session.printer = (at > 0).then(|| names[at].to_owned());
    }
    if let Some(printer) = &in_use {
        told(ui, read, printer, setup.as_ref());
    }
    let about = "Print a proof, measure its lines and type them in: the sheets then come out true \
                 on that printer.";
    if !fold(ui, "Measure a printer", about, "", session, p) {
        return;
    }
    button(ui, Command::Proof, true, out);
    match setup.and_then(|setup| Some((paper::proof_sides(&setup).ok()?, setup))) {
        None => quiet(ui, "This paper has no room for a proof.", p),
        Some((sides, setup)) => readings(ui, read, (sides, &setup), session, out),
    }
}

/// What a trim in use does and how sure it is.
fn told(ui: &mut Ui, read: &Read<'_>, printer: &Printer, setup: Option<&PageSetup>) {
    let p = read.palette;
    let Some(trim) = &printer.trim else { return };
    quiet(ui, &format!("{}: {trim}. True on this printer only.", printer.name), p);
    let more = match trim.within_mm {
        None => Some("It was typed, not measured: nobody knows how good it is.".to_owned()),
        Some(within) if within > GOOD_ERROR_MM => Some(format!(
            "A line of {REFERENCE_LENGTH_MM} mm may still be {} mm off; reading every line once or twice more \
             makes that less.",
            show_number(within, 2)
        )),
        Some(_) => None,
    };
    let other = setup.and_then(|setup| printer_trim::other_paper_warning(printer, &setup.paper));
    let other = other.map(|words| crate::notices::sentence_start(&words) + ".");
    for words in more.into_iter().chain(other) {
        ui.label(RichText::new(words).small().color(p.care));
    }
}

/// The readings, line by line, and what comes of them.
fn readings(
    ui: &mut Ui,
    read: &Read<'_>,
    (sides, setup): (Size, &PageSetup),
    session: &mut Session,
    out: &mut Commands,
) {
    let p = read.palette;
    let long = |line: ProofLine| show_number(line.true_mm(sides).hypot(), 2);
    quiet(
        ui,
        &format!(
            "Proof on {}: A and B are {} mm when true, C and D {} mm, E and F {} mm. Read each \
             twice, to 0.1 mm, cross to cross.",
            setup.paper.title(),
            long(ProofLine::Across),
            long(ProofLine::Up),
            long(ProofLine::Rising)
        ),
        p,
    );
    let name = session.proof.name.clone();
    let field = ("Printer's name", "As the shop is to keep it, and --trim to name it.");
    if let Some(name) = session.drafts.words(ui, p, field, &name) {
        session.proof.name = name;
    }
    for (at, (first, again, line, about)) in LINES.into_iter().enumerate() {
        for (turn, name) in [first, again].into_iter().enumerate() {
            let known = session.proof.readings_mm[at][turn];
            let value = known.map_or_else(String::new, |mm| units::show_mm(mm, 2));
            let field = Field { name, about, value, width: 96.0 };
            let typed = session.drafts.field(ui, p, field, |text| {
                if text.trim().is_empty() {
                    return Ok(None);
                }
                let true_mm = line.true_mm(sides).hypot();
                printer_trim::reading_mm(text, true_mm).map(Some).map_err(|why| why.to_string())
            });
            if let Some(mm) = typed {
                session.proof.readings_mm[at][turn] = mm;
                session.proof.refusal = None;
            }
        }
    }
    let has_trim = has_trim(read, &session.proof.name);
    if has_trim {
        let about = "With its trim: the proof confirms it, and all readings count together. \
                     Without: these readings alone make a new trim in its place.";
        let options = [(PrintedWith::ItsTrim, "with its trim"), (PrintedWith::NoTrim, "without")];
        if let Some(printed) = choose(ui, ("Printed", about), &options, session.proof.printed, p) {
            session.proof.printed = printed;
            session.proof.refusal = None;
        }
    }
    let proof = &session.proof;
    let ready = !proof.name.trim().is_empty()
        && proof.readings_mm.iter().flatten().any(Option::is_some)
        && (!has_trim || proof.printed != PrintedWith::Unsaid);
    let take = egui::Button::new("Take the readings");
    let about = "Works out the trim and keeps it in the shop under the printer's name.";
    if ui.add_enabled(ready, take).on_hover_text(about).clicked() {
        taken(read, setup, session, out);
    }
    if let Some(why) = &session.proof.refusal {
        ui.label(RichText::new(why).small().color(p.stop));
    }
}

/// Whether the shop has a trim for the printer of this name.
fn has_trim(read: &Read<'_>, name: &str) -> bool {
    printer_trim::find_printer(read.derived.shop(), name)
        .is_some_and(|printer| printer.trim.is_some())
}

/// Works out the trim of what was typed, and keeps it. Using it is another choice.
fn taken(read: &Read<'_>, setup: &PageSetup, session: &mut Session, out: &mut Commands) {
    let proof = session.proof.clone();
    let lines = LINES.iter().zip(proof.readings_mm).flat_map(|((_, _, line, _), readings)| {
        readings.into_iter().flatten().map(|measured_mm| (*line, measured_mm))
    });
    let lines: Vec<(ProofLine, f64)> = lines.collect();
    let mut shop = read.derived.shop().clone();
    let printed = if has_trim(read, &proof.name) { proof.printed } else { PrintedWith::default() };
    match printer_trim::measure(&shop, &proof.name, setup, printed, &lines) {
        Err(why) => {
            session.proof.refusal = Some(crate::notices::sentence_start(&why.to_string()) + ".");
        }
        Ok(printer) => {
            let trim = printer.trim.as_ref().map_or_else(String::new, ToString::to_string);
            let next = if printed == PrintedWith::ItsTrim {
                "The second proof bears it out."
            } else {
                "Choose it as the printer's trim and print a second proof to confirm it."
            };
            out.push(Wish::Say(format!("Trim of {}: {trim}. {next}", printer.name)));
            session.proof = Proofed { name: printer.name.clone(), ..Proofed::default() };
            printer_trim::store_printer(&mut shop, printer);
            out.push(Wish::Shop(Box::new(shop)));
        }
    }
}

/// The proof for the paper and trim that are chosen, as a PDF.
///
/// # Errors
/// [`paper::PaperError`] when the paper has no room for it.
pub(crate) fn proof_pdf(
    wanted: &sheets::PrintRequest,
    shop: &reckon::Shop,
) -> Result<Vec<u8>, paper::PaperError> {
    let printer = wanted.printer.as_deref().and_then(|name| printer_trim::find_printer(shop, name));
    let name = printer.map_or("Printer".to_owned(), |printer| format!("Printer {}", printer.name));
    let setup = printing::setup_for(&name, wanted, shop)?;
    let page = printing::proof(&setup, printer)?;
    printing::proof_pdf(&setup, &page)
}
