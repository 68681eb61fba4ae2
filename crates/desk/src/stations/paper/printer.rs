//! The printer: its correction on the sheets, and the readings of its proof.

use crate::action::Action;
use crate::command::Command;
use crate::context::ViewContext;
use crate::state::{PrintState, ProofReadings};
use crate::text::capitalized;
use crate::widgets::{Field, Form, unless_empty};
use egui::RichText;
use kurbo::Size;
use paper::PageSetup;
use reckon::shop::Printer;
use reckon::shop::trim::{GOOD_ERROR_MM, REFERENCE_LENGTH_MM};
use sheets::printer_trim::{self, PrintedWith, ProofLine};
use sheets::printing;
use units::show_number;

/// What stands for no correction.
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

/// The correction that the sheets are put through, and how far it can be trusted.
pub(super) fn card(form: &mut Form<'_>, print: &mut PrintState) {
    let shop = form.context.shop();
    let setup = super::setup(form.context, print);
    let measured = shop.printers.iter().filter(|printer| printer.trim.is_some());
    let names: Vec<&str> =
        std::iter::once(NONE).chain(measured.map(|printer| printer.name.as_str())).collect();
    let in_use = print.printer_in(shop);
    let now = in_use.map_or(NONE, |printer| printer.name.as_str());
    let tooltip = "Prints with the correction measured for this printer. It is right for no other \
                   printer, so it has to be chosen each time the program starts. On the command \
                   line: --trim.";
    if let Some(at) = form.pick(("Printer correction", tooltip), now, &names, 150.0).value {
        print.printer = (at > 0).then(|| names[at].to_owned());
    }
    if let Some(printer) = in_use {
        describe(form, printer, setup.as_ref());
    }
    let tooltip = "Print a proof, measure its lines and type them in: the sheets then come out \
                   true on that printer.";
    if !form.section("Measure a printer", tooltip, "") {
        return;
    }
    form.command(Command::Proof, true);
    match setup.and_then(|setup| Some((paper::proof_sides(&setup).ok()?, setup))) {
        None => form.note("This paper has no room for a proof."),
        Some((sides, setup)) => readings(form, (sides, &setup), &mut print.proof),
    }
}

/// What a correction in use does and how sure it is.
fn describe(form: &mut Form<'_>, printer: &Printer, setup: Option<&PageSetup>) {
    let Some(trim) = &printer.trim else { return };
    form.note(&format!("{}: {trim}. True on this printer only.", printer.name));
    let more = match trim.within_mm {
        None => Some("It was typed, not measured: how good it is isn't known.".to_owned()),
        Some(within) if within > GOOD_ERROR_MM => Some(format!(
            "A line of {REFERENCE_LENGTH_MM} mm may still be {} mm off; read every line once or \
             twice more to reduce that.",
            show_number(within, 2)
        )),
        Some(_) => None,
    };
    let other = setup.and_then(|setup| printer_trim::other_paper_warning(printer, &setup.paper));
    let other = other.map(|words| capitalized(&words) + ".");
    for text in more.into_iter().chain(other) {
        form.ui.label(RichText::new(text).small().color(form.context.palette.care));
    }
}

/// The readings, line by line, and what comes of them.
fn readings(form: &mut Form<'_>, (sides, setup): (Size, &PageSetup), proof: &mut ProofReadings) {
    let long = |line: ProofLine| show_number(line.true_mm(sides).hypot(), 2);
    form.note(&format!(
        "Proof on {}: A and B are {} mm when true, C and D {} mm, E and F {} mm. Read each \
         twice, to 0.1 mm, cross to cross.",
        setup.paper.title(),
        long(ProofLine::Across),
        long(ProofLine::Up),
        long(ProofLine::Rising)
    ));
    let caption = ("Printer's name", "The name to choose it by. On the command line: --trim.");
    if let Some(name) = form.text(caption, &proof.name).value {
        proof.name = name;
    }
    for (at, (first, again, line, tooltip)) in LINES.into_iter().enumerate() {
        for (turn, label) in [first, again].into_iter().enumerate() {
            let known = proof.readings_mm[at][turn];
            let value = known.map_or_else(String::new, |mm| units::show_mm(mm, 2));
            let parse = |text: &str| {
                let true_mm = line.true_mm(sides).hypot();
                unless_empty(text, |text| printer_trim::reading_mm(text, true_mm))
            };
            let field = Field::new((label, tooltip), value).width(96.0);
            if let Some(mm) = form.field(field, parse).value {
                proof.readings_mm[at][turn] = mm;
                proof.refusal = None;
            }
        }
    }
    let corrected = is_corrected(form.context, &proof.name);
    if corrected {
        let tooltip = "With its correction: the proof confirms it, and all readings count \
                       together. Without: these readings alone make a new correction in its \
                       place.";
        let options =
            [(PrintedWith::ItsTrim, "with its correction"), (PrintedWith::NoTrim, "without")];
        if let Some(printed) = form.choice(("Printed", tooltip), &options, proof.printed).value {
            proof.printed = printed;
            proof.refusal = None;
        }
    }
    let ready = !proof.name.trim().is_empty()
        && proof.readings_mm.iter().flatten().any(Option::is_some)
        && (!corrected || proof.printed != PrintedWith::Unsaid);
    let tooltip = "Works out the correction and keeps it in the shop under the printer's name.";
    if form.button_if(ready, ("Use these readings", tooltip)) {
        take_readings(form, setup, proof);
    }
    if let Some(why) = &proof.refusal {
        form.ui.label(RichText::new(why).small().color(form.context.palette.stop));
    }
}

/// Whether the shop has a correction for the printer of this name.
fn is_corrected(context: &ViewContext<'_>, name: &str) -> bool {
    printer_trim::find_printer(context.shop(), name).is_some_and(|printer| printer.trim.is_some())
}

/// Works out the correction of what was typed, and keeps it. Using it is another choice.
fn take_readings(form: &mut Form<'_>, setup: &PageSetup, proof: &mut ProofReadings) {
    let context = form.context;
    let lines = LINES.iter().zip(proof.readings_mm).flat_map(|((_, _, line, _), readings)| {
        readings.into_iter().flatten().map(|measured_mm| (*line, measured_mm))
    });
    let lines: Vec<(ProofLine, f64)> = lines.collect();
    let mut shop = context.shop().clone();
    let corrected = is_corrected(context, &proof.name);
    let printed = if corrected { proof.printed } else { PrintedWith::default() };
    match printer_trim::measure(&shop, &proof.name, setup, printed, &lines) {
        Err(why) => proof.refusal = Some(capitalized(&why.to_string()) + "."),
        Ok(printer) => {
            let trim = printer.trim.as_ref().map_or_else(String::new, ToString::to_string);
            let next = if printed == PrintedWith::ItsTrim {
                "The second proof confirms it."
            } else {
                "Choose it as the printer correction and print a second proof to confirm it."
            };
            let message = format!("Correction for {}: {trim}. {next}", printer.name);
            form.actions.push(Action::Toast(message));
            *proof = ProofReadings { name: printer.name.clone(), ..ProofReadings::default() };
            printer_trim::store_printer(&mut shop, printer);
            form.actions.push(Action::SetShop(Box::new(shop)));
        }
    }
}

/// The proof for the paper and trim that are chosen, as a PDF.
///
/// # Errors
/// [`paper::PaperError`] when the paper has no room for it.
pub(crate) fn proof_pdf(
    request: &sheets::PrintRequest,
    shop: &reckon::Shop,
) -> Result<Vec<u8>, paper::PaperError> {
    let printer =
        request.printer.as_deref().and_then(|name| printer_trim::find_printer(shop, name));
    let name = printer.map_or("Printer".to_owned(), |printer| format!("Printer {}", printer.name));
    let setup = printing::setup_for(&name, request, shop)?;
    let page = printing::proof(&setup, printer)?;
    printing::proof_pdf(&setup, &page)
}
